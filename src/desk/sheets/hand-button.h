/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The player's hand: a button that says the force strings are plucked with, and in its popover three hands to choose
 * from, the force itself, and a rattle that was heard ("string 6 held at 2 rattles on 3"), which tells the force of the
 * hand that made it. Each choice is a step of the profile's history. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

GtkWidget *sl_hand_button_new (SlBench *bench);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The list of what the shop usually charges, for the preferences. */
#pragma once

#include <gtk/gtk.h>

#include "bench/usual-charges.h"

GtkWidget *sl_usual_charges_editor_new (void);

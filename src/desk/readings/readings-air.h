/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a reading set says beside its readings: whether the strings were at pitch, slack or off, and whether the
 * instrument had settled in the air it was read in. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

/* It follows the bench. */
GtkWidget *sl_readings_air_new (SlBench *bench);

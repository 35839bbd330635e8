/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The parts of the sheet of pitch; each follows the bench while it is seen. */
#pragma once

#include "desk/sheets/strings-parts.h"

/* The tuner's readings, and which end condition of the string they speak for. */
GtkWidget *sl_pitch_tuner_new (SlBench *bench);

/* Where crests are and should be, and the button that puts the tuner's moves into the plan. */
GtkWidget *sl_pitch_crests_new (SlBench *bench);

/* The model's cents for every string and fret. */
GtkWidget *sl_pitch_table_new (SlBench *bench);

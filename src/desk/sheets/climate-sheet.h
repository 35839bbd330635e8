/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The climate sheet: the air an instrument is in and what it does to the wood, what action and relief become in other
 * air by what was read over the seasons, and the hygrometer checked over a salt. */
#pragma once

#include "bench/bench.h"

#include <gtk/gtk.h>

GtkWidget *sl_climate_sheet_new (SlBench *bench);

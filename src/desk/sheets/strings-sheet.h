/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sheet of strings: the set on the instrument to edit and tune, another set compared with it and fitted, nut and
 * saddle as the strings want them, and posts moved to see what that does; beside it the picture of all that. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

GtkWidget *sl_strings_sheet_new (SlBench *bench);

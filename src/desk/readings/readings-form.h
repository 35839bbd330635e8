/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The readings of a bench as one form in the order of measuring. Enter moves to the next row and Shift+Enter to the one
 * before, so that a gauge that types a reading and Enter fills the form hands-free. Rows are asked of every instrument
 * by its shape (the outer strings always, the others behind "other strings"); readings at other frets or of held
 * strings have rows of their own, and any reading of the model can be added. The form scrolls by itself and follows the
 * bench; while a person types in a row, changes from elsewhere leave that text alone. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

#define SL_TYPE_READINGS_FORM (sl_readings_form_get_type ())
G_DECLARE_FINAL_TYPE (SlReadingsForm, sl_readings_form, SL, READINGS_FORM, GtkBox)

GtkWidget *sl_readings_form_new (SlBench *bench);

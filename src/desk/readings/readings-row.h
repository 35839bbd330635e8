/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One row of the readings form: a question's name, its entry, the ± of its tool (which opens what can be done with the
 * reading), and below, where there is something to say, what is assumed or carried over from an earlier set of the
 * visit, what disagrees, what the entry does not accept, and as a faint trace what was read before. */
#pragma once

#include <gtk/gtk.h>

#include "desk/kit/length-entry.h"
#include "bench/readings-question.h"

#define SL_TYPE_READING_ROW (sl_reading_row_get_type ())
G_DECLARE_FINAL_TYPE (SlReadingRow, sl_reading_row, SL, READING_ROW, GtkBox)

/* Signal: "removed" after its reading was taken away through the row's menu. */
GtkWidget *sl_reading_row_new (SlBench *bench, const SlQuestion *question);

const SlQuestion *sl_reading_row_get_question (SlReadingRow *self);
SlLengthEntry *sl_reading_row_get_entry (SlReadingRow *self);

GtkWidget *sl_reading_row_get_tolerance (SlReadingRow *self); /* for a size group: the column of ± */

/* Shows the bench's present state of its reading; what is being typed stays. @extra: whether it was asked for beyond
 * the usual ones, so that it can be removed even while it is empty. */
void sl_reading_row_update (SlReadingRow *self, gboolean extra);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A group of the readings form: its heading with the tools' button, a card of rows, and behind an expander the rows
 * that are asked for less often, made only when they are first looked at. */
#pragma once

#include <gtk/gtk.h>

#include "bench/readings-question.h"
#include "desk/readings/readings-row.h"

#define SL_TYPE_READINGS_GROUP (sl_readings_group_get_type ())
G_DECLARE_FINAL_TYPE (SlReadingsGroup, sl_readings_group, SL, READINGS_GROUP, GtkBox)

/* Signals: "expanded" (the expander was opened or closed), "row-added" (SlReadingRow *) for each new row. */
GtkWidget *sl_readings_group_new (SlBench *bench, SlQuestionGroup group);

/* Shows @questions (of this group, in order; the array may hold other groups' too), making and dropping rows as needed.
 * @extra holds those asked for beyond the usual ones. */
void sl_readings_group_sync (SlReadingsGroup *self, GArray *questions, GArray *extra);

/* Adds the rows that can be seen to @rows, in order, borrowed. */
void sl_readings_group_list (SlReadingsGroup *self, GPtrArray *rows);

/* The row of @question, opening the expander for it where needed; NULL where this group has none. */
SlReadingRow *sl_readings_group_reveal (SlReadingsGroup *self, const SlQuestion *question);

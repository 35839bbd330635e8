/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What cards of work and their column are made of. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

/* ---- amount-row ----
 *
 * One amount of an operation: a slider and an entry for the same length. Dragging the slider is one undo step, as is a
 * run of presses in the entry; each key press on the slider is a step of its own. The mouse wheel scrolls the panel and
 * leaves the amount alone.
 *
 * Signal: "moved" (double mm), by slider, entry or assistive technology, not by set_value. */

#define SL_TYPE_AMOUNT_ROW (sl_amount_row_get_type ())
G_DECLARE_FINAL_TYPE (SlAmountRow, sl_amount_row, SL, AMOUNT_ROW, GtkBox)

/* @undo_name: of its steps. @letter (such as "B") may be NULL; @bound must outlive the row and may be NULL. */
GtkWidget *sl_amount_row_new (SlBench *bench, const char *undo_name, const char *letter, const SlBound *bound);

/* The accessible name of both the slider and the entry ("cut saddle base, bass side"). */
void sl_amount_row_set_name (SlAmountRow *self, const char *name);

/* What the slider spans; it grows where a typed amount lies beyond, except under the pointer. With @least below 0 the
 * middle is marked. */
void sl_amount_row_set_span (SlAmountRow *self, double least_mm, double most_mm);

/* Shown in the units of the bench. */
void sl_amount_row_set_value (SlAmountRow *self, double mm);

/* ---- cut-passes ----
 *
 * What of a planned cut may come off at once: its bars, the first pass in words, and the button that ticks it off. The
 * saddle's underside has a bar for each end; work done string by string has one for the string that is looked at. A bar
 * is solid what is safe to take first, hatched what is left for after the next reading, and has the cut's U as a
 * whisker about its end. */

GtkWidget *sl_cut_passes_new (SlBench *bench, SlOperationKind kind);

/* Shows what the visit's plan has of the kind, at @string where it is done string by string; hidden while there is
 * none.
 */
void sl_cut_passes_update (GtkWidget *box, int string);

/* ---- replace-row ----
 *
 * Which frets are replaced, and by what wire: the first and last fret, and width and height of the new crowns where
 * they are not those of the instrument. */

GtkWidget *sl_replace_row_new (SlBench *bench);

/* Shows what is planned now; hidden while nothing is. */
void sl_replace_row_update (GtkWidget *row);

/* ---- strings-row ----
 *
 * Which strings are fitted: a set that is built in, or gauges of one's own as on a packet. */

GtkWidget *sl_strings_row_new (SlBench *bench);

/* Shows what is planned now; hidden while nothing is. */
void sl_strings_row_update (GtkWidget *row);

/* ---- bench-steps ----
 *
 * The card of the bench steps: work that changes no figure (settling, re-crowning, new strings …), each with a tick for
 * done, and a menu that adds one. */

/* It follows the bench. */
GtkWidget *sl_bench_steps_new (SlBench *bench);

/* ---- results-table ----
 *
 * The table "What it does": before, after and target of each figure with its ±, a mark of our own shape and a word for
 * how it compares. Rows are labels that change their text as the work moves; each row's accessible name says it whole.
 */

GtkWidget *sl_results_table_new (SlBench *bench);

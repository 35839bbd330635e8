/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One amount of an operation: a slider and an entry for the same length. Dragging the slider is one undo step, as is a
 * run of presses in the entry; each key press on the slider is a step of its own. The mouse wheel scrolls the panel and
 * leaves the amount alone.
 *
 * Signal: "moved" (double mm), by slider, entry or assistive technology, not by set_value. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

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

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One amount of an operation: a slider and an entry for the same length. Dragging the slider is one gesture; each key
 * press on it is a step of its own. The mouse wheel scrolls the panel and leaves the amount alone.
 *
 * Signals: "moved" (double mm), by slider, entry or assistive technology, not by set_value; "gesture-begin",
 * "gesture-end" around what is one undo step. */
#pragma once

#include <gtk/gtk.h>

#include "setup/profile/bounds.h"
#include "setup/profile/units.h"

#define SL_TYPE_AMOUNT_ROW (sl_amount_row_get_type ())
G_DECLARE_FINAL_TYPE (SlAmountRow, sl_amount_row, SL, AMOUNT_ROW, GtkBox)

/* @letter (such as "B") may be NULL; @bound must outlive the row and may be NULL. */
GtkWidget *sl_amount_row_new (const char *letter, const SlBound *bound);

/* The accessible name of both the slider and the entry ("cut saddle base, bass side"). */
void sl_amount_row_set_name (SlAmountRow *self, const char *name);

/* What the slider spans; it grows where a typed amount lies beyond, except under the pointer. With @least below 0 the
 * middle is marked. */
void sl_amount_row_set_span (SlAmountRow *self, double least_mm, double most_mm);

void sl_amount_row_set_value (SlAmountRow *self, double mm);
void sl_amount_row_set_lengths (SlAmountRow *self, SlLengths lengths);

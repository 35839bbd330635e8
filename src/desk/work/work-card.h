/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The card of one operation: its number, which is also where it is ticked off as done, its amount by slider and entry
 * (for a chosen string where it is done string by string), what it does to the figures, why it is proposed, and what to
 * mind. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

#define SL_TYPE_WORK_CARD (sl_work_card_get_type ())
G_DECLARE_FINAL_TYPE (SlWorkCard, sl_work_card, SL, WORK_CARD, GtkBox)

GtkWidget *sl_work_card_new (SlBench *bench, SlOperationKind kind);

/* Whether its card is there only where a plan has such work; the menu of bench steps adds it. */
gboolean sl_work_card_is_seldom (SlOperationKind kind);

/* Gives the keyboard to its amount; FALSE where nothing of it is still to be done. */
gboolean sl_work_card_focus (SlWorkCard *self);

/* Ticks its work off, or takes the tick back, as a click on its box would. */
void sl_work_card_tick (SlWorkCard *self);

/* Shows the bench as it is now. @number: its place among the cards shown; @caution: whether this card shows the caution
 * (the column shows dust once, not on every card); @told: bits of the gates that cards before it tell at length, to
 * which this one adds its own. */
void sl_work_card_update (SlWorkCard *self, int number, gboolean caution, guint *told);

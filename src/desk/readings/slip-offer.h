/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The offer below an entry whose value looks like inches typed as millimetres, or the other way round, or as if its
 * decimal point were lost: what was meant, to be taken, or what was typed, to be kept. Nothing is changed without an
 * answer. */
#pragma once

#include <gtk/gtk.h>

#include "bench/readings-question.h"

#define SL_TYPE_SLIP_OFFER (sl_slip_offer_get_type ())
G_DECLARE_FINAL_TYPE (SlSlipOffer, sl_slip_offer, SL, SLIP_OFFER, GtkBox)

/* Hidden until something is asked. Signal: "answered" (double), the value to stand, mm; the offer is hidden then. */
GtkWidget *sl_slip_offer_new (SlBench *bench);

/* Asks, where @value_mm looks like a slip as an answer to @question in the readings that are shown, and returns whether
 * it does. */
gboolean sl_slip_offer_ask (SlSlipOffer *self, const SlQuestion *question, double value_mm);

/* Withdraws what was asked; and where the value is another by now, taken back or read otherwise. */
void sl_slip_offer_withdraw (SlSlipOffer *self);
void sl_slip_offer_follow (SlSlipOffer *self, double value_mm);

/* Gives the keyboard to the answer that takes what was meant. */
void sl_slip_offer_focus (SlSlipOffer *self);

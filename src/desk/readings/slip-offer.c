/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/parts.h"

#include "setup/record/stages.h"

#define LENGTH_PLACES 2

typedef struct
{
  SlBench *bench;
  GtkWidget *box, *text, *take, *keep; /* bound in this order */
  double typed, meant;
  SlSlipAnswered answered;
  gpointer owner;
} Offer;

gboolean
sl_slip_offer_ask (GtkWidget *offer, const SlQuestion *question, double value_mm)
{
  Offer *self = sl_part_of (offer);
  SlReading reading;
  const SlLengths lengths = sl_bench_get_lengths (self->bench),
                  other = lengths == SL_LENGTHS_MM ? SL_LENGTHS_INCH : SL_LENGTHS_MM;
  const char *decimal = sl_decimal_sign ();

  sl_slip_offer_withdraw (offer);
  if (question->ask >= SL_READ_PITCH || isnan (value_mm))
    return FALSE;
  reading = sl_question_reading (question);
  if (!sl_reading_slip (sl_bench_get_profile (self->bench), sl_bench_get_visit (self->bench),
                        sl_bench_get_set (self->bench), &sl_bench_get_analysis (self->bench)->shop, &reading, value_mm,
                        lengths, &self->meant))
    return FALSE;
  self->typed = value_mm;
  g_autofree char *meant = sl_length_format (self->meant, lengths, LENGTH_PLACES, decimal, TRUE),
                  *meant_other = sl_length_format (self->meant, other, LENGTH_PLACES, decimal, TRUE);
  g_autofree char *typed =
      sl_length_format (self->typed, lengths, sl_places_for (self->typed, LENGTH_PLACES), decimal, TRUE);
  g_autofree char *take = g_strdup_printf (_ ("Take %s"), meant), *keep = g_strdup_printf (_ ("Keep %s"), typed);

  sl_label_say (self->text, _ ("Did you mean %s (%s)? %s is far from what is expected here."), meant, meant_other,
                typed);
  gtk_button_set_label (GTK_BUTTON (self->take), take);
  gtk_button_set_label (GTK_BUTTON (self->keep), keep);
  gtk_widget_set_visible (offer, TRUE);
  return TRUE;
}

void
sl_slip_offer_withdraw (GtkWidget *offer)
{
  gtk_widget_set_visible (offer, FALSE);
}

void
sl_slip_offer_follow (GtkWidget *offer, double value_mm)
{
  if (((const Offer *) sl_part_of (offer))->typed != value_mm)
    sl_slip_offer_withdraw (offer);
}

void
sl_slip_offer_focus (GtkWidget *offer)
{
  gtk_widget_grab_focus (((const Offer *) sl_part_of (offer))->take);
}

static void
on_answer (GtkWidget *offer, GtkWidget *button)
{
  g_autoptr (GtkWidget) alive = g_object_ref (offer);
  const Offer *self = sl_part_of (offer);

  self->answered (self->owner, button == self->take ? self->meant : self->typed);
  sl_slip_offer_withdraw (alive);
}

GtkWidget *
sl_slip_offer_new (SlBench *bench, SlSlipAnswered answered, gpointer owner)
{
  Offer *self = sl_part_new (bench, SL_PART (Offer, box, keep), g_free, "slip-offer", "box text take keep",
                             SL_CALL (on_answer), NULL);

  self->answered = answered;
  self->owner = owner;
  return self->box;
}

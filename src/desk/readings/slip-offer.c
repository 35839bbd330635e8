/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/parts.h"

#include "desk/kit/build.h"
#include "desk/kit/util.h"
#include "setup/record/stages.h"

#define LENGTH_PLACES 2

struct _SlSlipOffer
{
  GtkBox parent_instance;

  /* of the template, in the order they are bound in */
  GtkWidget *text, *take, *keep;
  SlBench *bench; /* owned */
  double typed, meant;
};

G_DEFINE_FINAL_TYPE (SlSlipOffer, sl_slip_offer, GTK_TYPE_BOX)

enum
{
  ANSWERED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

gboolean
sl_slip_offer_ask (SlSlipOffer *self, const SlQuestion *question, double value_mm)
{
  SlReading reading;
  const SlLengths lengths = sl_bench_get_lengths (self->bench),
                  other = lengths == SL_LENGTHS_MM ? SL_LENGTHS_INCH : SL_LENGTHS_MM;
  const char *decimal = sl_decimal_sign ();

  sl_slip_offer_withdraw (self);
  if (question->ask >= SL_READ_PITCH || isnan (value_mm))
    return FALSE;
  reading = sl_question_reading (question);
  if (!sl_reading_slip (sl_bench_get_profile (self->bench), sl_bench_get_visit (self->bench),
                        sl_bench_get_set (self->bench), &sl_bench_get_analysis (self->bench)->shop, &reading, value_mm,
                        &self->meant))
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
  gtk_widget_set_visible (GTK_WIDGET (self), TRUE);
  return TRUE;
}

void
sl_slip_offer_withdraw (SlSlipOffer *self)
{
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
}

void
sl_slip_offer_follow (SlSlipOffer *self, double value_mm)
{
  if (self->typed != value_mm)
    sl_slip_offer_withdraw (self);
}

void
sl_slip_offer_focus (SlSlipOffer *self)
{
  gtk_widget_grab_focus (self->take);
}

static void
on_answer (SlSlipOffer *self, GtkWidget *button)
{
  g_autoptr (SlSlipOffer) alive = g_object_ref (self);

  g_signal_emit (alive, signals[ANSWERED], 0, button == self->take ? self->meant : self->typed);
  sl_slip_offer_withdraw (alive);
}

static void
sl_slip_offer_class_init (SlSlipOfferClass *class)
{
  signals[ANSWERED] = g_signal_new ("answered", SL_TYPE_SLIP_OFFER, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE,
                                    1, G_TYPE_DOUBLE);
  sl_template_bind (class, "slip-offer", SL_MEMBERS (SlSlipOffer, text, keep), "text take keep", SL_CALL (on_answer),
                    NULL);
}

static void
sl_slip_offer_init (SlSlipOffer *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
sl_slip_offer_new (SlBench *bench)
{
  SlSlipOffer *self = g_object_new (SL_TYPE_SLIP_OFFER, NULL);

  self->bench = sl_keep (self, bench);
  return GTK_WIDGET (self);
}

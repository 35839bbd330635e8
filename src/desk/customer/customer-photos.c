/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/customer/parts.h"
#include "setup/record/photos.h"
#include "words/dates.h"
#include "words/photos.h"

typedef struct
{
  SlBench *bench;

  /* bound in this order */
  GtkWidget *page, *heading, *turning, *back, *number, *on, *caption;

  SlPhotoPairView *view;
  GArray *pairs; /* owned, of SlPhotoPair, what has no partner is one by itself; borrows from the visit */
  int at;
  SlTextStyle style;
} Photos;

/* "Before, 2 March 2026"; NULL for no photograph. */
static char *
label_of (const SlPhoto *photo, SlStage stage)
{
  const char *const words[] = { C_ ("photograph", "Before"), C_ ("photograph", "During the work"),
                                C_ ("photograph", "After") };
  g_autofree char *day = photo != NULL ? sl_date_text (photo->taken) : NULL;

  return day != NULL ? g_strdup_printf ("%s, %s", words[stage], day) : photo != NULL ? g_strdup (words[stage]) : NULL;
}

/* What is measured, as a customer calls it; NULL where it is the shop's alone. */
static char *
plain_name (const SlMark *mark)
{
  if (mark->of == SL_MEASURE_ACTION || mark->of == SL_MEASURE_FIRST_GAP)
    return g_strdup_printf (_ ("String %d above fret %d"), mark->string, MAX (1, mark->fret));
  return mark->of == SL_MEASURE_CROWN_HEIGHT ? g_strdup_printf (_ ("Height of fret %d"), mark->fret) : NULL;
}

/* What is measured in both. */
static void
add_measured (Photos *self, const SlPhotoPair *pair, GString *text)
{
  SL_EACH (const SlMark, after, pair->after->marks)
    SL_EACH (const SlMark, before, pair->before->marks)
      {
        g_autofree char *name = plain_name (after), *was = NULL, *is = NULL, *not_was = NULL, *not_is = NULL;
        SlMeasured first, then;

        if (name == NULL || before->of != after->of || before->string != after->string || before->fret != after->fret ||
            before->held != after->held)
          continue;
        not_was = sl_photo_measure (pair->before, before, &first);
        not_is = sl_photo_measure (pair->after, after, &then);
        if (not_was != NULL || not_is != NULL)
          continue;
        was = sl_text_measure (&self->style, first.value, 1, TRUE);
        is = sl_text_measure (&self->style, then.value, 1, TRUE);
        /* Translators: below two photographs: "String 6 above fret 12: 2.9 mm before, 2.3 mm after" */
        g_string_append_printf (g_string_append_c (text, '\n'), _ ("%1$s: %2$s before, %3$s after"), name, was, is);
      }
}

void
sl_customer_photos_turn (GtkWidget *page, int by)
{
  Photos *self = sl_part_of (page);
  const int n = (int) self->pairs->len;

  if (n == 0)
    return;
  self->at = CLAMP (self->at + by, 0, n - 1);

  const SlPhotoPair *pair = &g_array_index (self->pairs, SlPhotoPair, self->at);
  const SlPhoto *before = pair->before, *after = pair->after;
  g_autofree char *title = sl_photo_title (after != NULL ? after : before),
                  *first = label_of (before, after != NULL ? SL_STAGE_RECEIVED : before->stage),
                  *then = label_of (after, before != NULL ? SL_STAGE_FINAL : after->stage);
  g_autoptr (GString) text = g_string_new (NULL);

  for (int i = 0; i <= 1; i++)
    {
      const SlPhoto *photo = i == 0 ? before : after;
      g_autofree char *note = photo != NULL && photo->note != NULL ? sl_photo_caption (photo) : NULL;

      if (note != NULL && strstr (text->str, note) == NULL && !g_str_equal (note, title))
        g_string_append_printf (text, "%s%s", text->len > 0 ? " · " : "", note);
    }
  if (before != NULL && after != NULL)
    add_measured (self, pair, text);
  sl_label_set (self->heading, title);
  sl_label_set (self->caption, g_strstrip (text->str));
  sl_label_say (self->number, _ ("%d of %d"), self->at + 1, n);
  gtk_widget_set_visible (self->turning, n > 1);
  gtk_widget_set_sensitive (self->back, self->at > 0);
  gtk_widget_set_sensitive (self->on, self->at + 1 < n);
  sl_photo_pair_view_show (self->view, before, after, first, then);
}

static void
on_turner (Photos *self, GtkWidget *button)
{
  sl_customer_photos_turn (self->page, button == self->on ? 1 : -1);
}

gboolean
sl_customer_photos_show (GtkWidget *page, const SlVisit *visit, const SlTextStyle *style)
{
  Photos *self = sl_part_of (page);
  g_autoptr (GArray) pairs = sl_photo_pairs (visit);

  self->style = *style;
  g_array_set_size (self->pairs, 0);
  g_array_append_vals (self->pairs, pairs->data, pairs->len);
  SL_EACH (const SlPhoto, photo, visit != NULL ? visit->photos : NULL)
    {
      const SlPhotoPair alone = { photo->stage == SL_STAGE_RECEIVED ? photo : NULL,
                                  photo->stage == SL_STAGE_RECEIVED ? NULL : photo };
      gboolean is_paired = FALSE;

      SL_EACH (const SlPhotoPair, pair, pairs)
        is_paired = is_paired || pair->before == photo || pair->after == photo;
      if (!is_paired)
        g_array_append_val (self->pairs, alone);
    }
  sl_customer_photos_turn (page, 0);
  return self->pairs->len > 0;
}

static void
photos_free (gpointer data)
{
  g_array_unref (((Photos *) data)->pairs);
  g_free (data);
}

GtkWidget *
sl_customer_photos_new (SlBench *bench, GtkAdjustment *share, SlPhotoPairView **view, GtkWidget **slider)
{
  Photos *self = sl_part_new (bench, SL_PART (Photos, page, caption), photos_free, "customer-photos",
                              "page heading turning back number on caption", SL_CALL (on_turner), NULL);

  self->pairs = g_array_new (FALSE, FALSE, sizeof (SlPhotoPair));
  *view = self->view = sl_photo_pair_view_new (bench, share, slider);
  gtk_box_prepend (GTK_BOX (self->page), GTK_WIDGET (self->view));
  return self->page;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/customer/parts.h"

struct _SlCustomerWords
{
  GtkBox parent_instance;

  /* owned */
  SlBench *bench;
  GPtrArray *told[2]; /* of SlSentence: what was done, and what is planned where that is told */
  GPtrArray *rows;    /* of Row, while editing */
  gboolean editing;
};

G_DEFINE_FINAL_TYPE (SlCustomerWords, sl_customer_words, GTK_TYPE_BOX)

static const char *const headings[] = { N_ ("What was done, and why"), N_ ("What is planned, and why") };

/* An entry for one sentence. Its widgets are the box's, its sentence one of the arrays'. */
typedef struct
{
  SlCustomerWords *words;
  const SlSentence *sentence;
  GtkWidget *entry, *note, *again; /* bound in this order */
} Row;

/* ---- shown ---- */

void
sl_customer_words_add_to (SlCustomerWords *self, SlCustomerPages *pages)
{
  for (int part = 0; part < 2; part++)
    for (guint i = 0; i < self->told[part]->len; i++)
      {
        const SlSentence *sentence = g_ptr_array_index (self->told[part], i);
        g_autofree char *edited = sl_explanation_get (self->bench, sentence, NULL);
        const char *text = edited != NULL ? edited : sentence->text;

        if (*text != '\0')
          sl_customer_pages_add (pages, _ (headings[part]), text);
      }
}

/* ---- edited ---- */

static void
show_note (const Row *row)
{
  SlExplanationState state;
  g_autofree char *text = sl_explanation_get (row->words->bench, row->sentence, &state), *note = NULL;
  const char *failure = sl_explanation_failure (row->words->bench, row->sentence);
  gboolean outdated = state == SL_EXPLANATION_OUTDATED;

  if (failure != NULL)
    note = g_strdup_printf (_ ("Not kept once the program ends: %s"), failure);
  else if (outdated)
    note = g_strdup_printf (_ ("Edited before the plan changed. Generated now: %s"), row->sentence->text);
  else if (state == SL_EXPLANATION_EDITED)
    note = g_strdup (*text != '\0' ? _ ("Edited") : _ ("Left out"));
  sl_set_remark (row->note, note);
  gtk_widget_set_visible (row->again, state != SL_EXPLANATION_GENERATED);
  sl_set_class (row->note, "sl-wrong", failure != NULL || outdated);
  sl_set_accessible_description (row->entry, note != NULL ? note : "");
}

/* Rows may have come and gone meanwhile. */
static void
on_kept (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (SlCustomerWords) self = data;

  sl_explanation_put_finish (result, NULL); /* the note tells it, now or when the sentence is edited again */
  for (guint i = 0; i < self->rows->len; i++)
    show_note (g_ptr_array_index (self->rows, i));
}

static void
keep (const Row *row, const char *text)
{
  sl_explanation_put (row->words->bench, row->sentence, text, on_kept, g_object_ref (row->words));
  show_note (row);
}

/* What is typed, as one line: a sentence has no others. A text left unchanged is not edited: an outdated one stays
 * outdated until somebody changes it. */
static gboolean
take_text (gpointer data, const char *typed, GtkWidget *entry)
{
  const Row *row = data;
  g_autofree char *text = g_strstrip (g_strdelimit (g_strdup (typed), "\r\n\t", ' ')),
                  *kept = sl_explanation_get (row->words->bench, row->sentence, NULL);

  if (g_strcmp0 (text, kept != NULL ? kept : row->sentence->text) != 0)
    keep (row, g_str_equal (text, row->sentence->text) ? NULL : text);
  return TRUE;
}

static void
on_again (const Row *row)
{
  gtk_widget_grab_focus (row->entry); /* the button goes */
  gtk_text_buffer_set_text (gtk_text_view_get_buffer (GTK_TEXT_VIEW (row->entry)), row->sentence->text, -1);
  sl_typed_take_one (row->entry);
  keep (row, NULL);
}

static void
add_row (SlCustomerWords *self, const SlSentence *sentence, int number)
{
  Row *row = g_new0 (Row, 1);
  g_autofree char *edited = sl_explanation_get (self->bench, sentence, NULL);

  row->words = self;
  row->sentence = sentence;
  sl_build ("customer-sentence", row, SL_MEMBERS (Row, entry, again), "entry note again", NULL);
  sl_typed_bind (row->entry, take_text, row);
  sl_typed_show (row->entry, edited != NULL ? edited : sentence->text);
  sl_name_as (row->entry, _ ("Sentence %d"), number);
  sl_name_as (row->again, _ ("Generated text again, sentence %d"), number);
  sl_box_add (GTK_WIDGET (self), row->entry, row->note, row->again, NULL);
  g_signal_connect_swapped (row->again, "clicked", G_CALLBACK (on_again), row);
  g_ptr_array_add (self->rows, row);
  show_note (row);
}

/* ---- both ---- */

static void
accept_all (SlCustomerWords *self)
{
  for (guint i = 0; i < self->rows->len; i++)
    sl_typed_take_one (((Row *) g_ptr_array_index (self->rows, i))->entry);
}

/* All is accepted: a removed entry loses the focus some time later, when its row is gone. */
static void
clear (SlCustomerWords *self)
{
  sl_empty_box (GTK_WIDGET (self));
  g_ptr_array_set_size (self->rows, 0);
}

static void
fill (SlCustomerWords *self)
{
  clear (self);
  for (int part = 0; part < 2 && self->editing; part++)
    {
      if (self->told[part]->len > 0)
        sl_text_add (GTK_WIDGET (self), _ (headings[part]), "sl-customer-heading");
      for (guint i = 0; i < self->told[part]->len; i++)
        add_row (self, g_ptr_array_index (self->told[part], i), (int) self->rows->len + 1);
    }
}

void
sl_customer_words_show (SlCustomerWords *self, SlBench *bench, const SlOutcome *outcome, const SlSpeech *speech)
{
  accept_all (self);
  clear (self); /* before the sentences its rows speak of */
  g_set_object (&self->bench, bench);
  for (int part = 0; part < 2; part++)
    {
      g_ptr_array_unref (self->told[part]);
      self->told[part] =
          part == 0 || outcome->as_planned ? sl_explain_work (outcome, speech, part == 1) : g_ptr_array_new ();
    }
  fill (self);
}

gboolean
sl_customer_words_can_edit (SlCustomerWords *self)
{
  return self->told[0]->len + self->told[1]->len > 0;
}

gboolean
sl_customer_words_get_editing (SlCustomerWords *self)
{
  return self->editing;
}

void
sl_customer_words_set_editing (SlCustomerWords *self, gboolean editing)
{
  if (editing == self->editing)
    return;
  accept_all (self);
  self->editing = editing;
  fill (self);
  if (editing && self->rows->len > 0)
    gtk_widget_grab_focus (((Row *) g_ptr_array_index (self->rows, 0))->entry);
}

static void
sl_customer_words_dispose (GObject *object)
{
  SlCustomerWords *self = SL_CUSTOMER_WORDS (object);

  if (self->rows != NULL)
    {
      accept_all (self);
      clear (self);
    }
  G_OBJECT_CLASS (sl_customer_words_parent_class)->dispose (object);
  g_clear_pointer (&self->told[0], g_ptr_array_unref);
  g_clear_pointer (&self->told[1], g_ptr_array_unref);
  g_clear_pointer (&self->rows, g_ptr_array_unref);
  g_clear_object (&self->bench);
}

static void
sl_customer_words_class_init (SlCustomerWordsClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_customer_words_dispose;
}

static void
sl_customer_words_init (SlCustomerWords *self)
{
  self->rows = g_ptr_array_new_with_free_func (g_free);
  self->told[0] = g_ptr_array_new ();
  self->told[1] = g_ptr_array_new ();
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/baseline-note.h"
#include "desk/kit/util.h"

#include "bench/baseline-watch.h"
#include "bench/settings.h"

#include <glib/gi18n-lib.h>

struct _SlBaselineNote
{
  GtkBox parent_instance;

  GtkWidget *text; /* child */

  /* owned */
  SlBench *bench;
  SlBaselineWatch *baselines;
};

G_DEFINE_FINAL_TYPE (SlBaselineNote, sl_baseline_note, GTK_TYPE_BOX)

static void
update (SlBaselineNote *self)
{
  const char *failure = sl_baseline_watch_get_failure (self->baselines);
  const char *id = sl_bench_get_profile (self->bench)->baseline;
  const gboolean missing =
      sl_baseline_watch_norms (self->baselines, id) == NULL && sl_baseline_watch_is_missing (self->baselines, id);
  g_autoptr (GFile) folder = sl_shelf_folder ();
  g_autofree char *shown = g_file_get_parse_name (folder);
  /* Translators: %s is a folder */
  g_autofree char *more =
      g_strdup_printf (_ ("Put the baseline's file into %s, or choose the folder it is in as the shelf's."), shown);
  const char *text;

  if (!missing)
    text = "";
  else if (failure != NULL)
    text = _ ("The shelf can't be read, so how this differs from its baseline can't be shown.");
  else
    text = _ (
        "Its baseline isn't on the shelf, so how this differs from it can't be shown. It helps to put its file there.");
  gtk_label_set_label (GTK_LABEL (self->text), text);
  gtk_widget_set_tooltip_text (self->text, missing ? failure != NULL ? failure : more : NULL);
  gtk_widget_set_visible (GTK_WIDGET (self), missing);
}

static void
sl_baseline_note_class_init (SlBaselineNoteClass *class)
{
}

static void
sl_baseline_note_init (SlBaselineNote *self)
{
  GtkWidget *button = gtk_button_new_with_label (_ ("Shelf"));

  gtk_box_set_spacing (GTK_BOX (self), 8);
  self->text = sl_note_new (NULL);
  gtk_widget_set_hexpand (self->text, TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (self->text), PANGO_WRAP_WORD_CHAR);
  gtk_box_append (GTK_BOX (self), self->text);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "app.shelf");
  gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
  gtk_widget_set_tooltip_text (button, _ ("Open the shelf, where another folder can be chosen"));
  gtk_box_append (GTK_BOX (self), button);
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
}

GtkWidget *
sl_baseline_note_new (SlBench *bench)
{
  SlBaselineNote *self = g_object_new (SL_TYPE_BASELINE_NOTE, NULL);
  g_autoptr (SlBaselineWatch) baselines = sl_baseline_watch_get ();

  self->bench = sl_keep (self, bench);
  self->baselines = sl_keep (self, baselines);
  sl_bench_follow (bench, SL_CHANGED_INSTRUMENT, G_CALLBACK (update), self);
  g_signal_connect_object (self->baselines, "changed", G_CALLBACK (update), self, G_CONNECT_SWAPPED);
  update (self);
  return GTK_WIDGET (self);
}

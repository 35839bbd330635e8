/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is on the bench and another version of it brought together: what somebody else has saved, or another file of
 * that instrument. The result goes onto the bench, a step of its own; nothing is written. */
#include "desk/instrument/description-fields.h"
#include "desk/instrument/profile-changes.h"
#include "desk/photos/photos.h"
#include "desk/window/parts.h"
#include "desk/window/window-private.h"
#include "photo/folder.h"
#include "setup/record/merge.h"
#include "words/merge.h"

#define MESSAGE_MERGE "merge" /* its key */
#define MESSAGE_DOUBT "plan older than its readings"
#define BASE "merge-base" /* what the window's file held when it was read or written last */
#define WITH "merge-with" /* the file to merge with once the window has its own */
#define MOST_TAKEN 500    /* differences told of that nobody is asked about */

void
sl_window_set_base (SlWindow *self, const SlProfile *profile)
{
  g_object_set_data_full (G_OBJECT (self), BASE, profile != NULL ? sl_profile_copy (profile) : NULL,
                          (GDestroyNotify) sl_profile_free);
}

typedef struct
{
  SlWindow *bench_window; /* borrowed: this one goes with it */
  GFile *file;
  SlProfile *theirs;
  char *stamp;
  GFile *from, *to;  /* folders of photographs: theirs and the bench's */
  GHashTable *names; /* sl_photos_name_apart() */

  SlMerge *merge;
  GArray *choices; /* of SlSide */
  GtkWidget *window, *lead, *whole, *all_mine, *all_theirs, *scrolled, *rows, *taken_head, *taken, *remark, *accept;
} Merge;

static void
merge_free (gpointer data)
{
  Merge *self = data;

  g_clear_object (&self->file);
  g_clear_pointer (&self->theirs, sl_profile_free);
  g_free (self->stamp);
  g_clear_object (&self->from);
  g_clear_object (&self->to);
  g_clear_pointer (&self->names, g_hash_table_unref);
  g_clear_pointer (&self->merge, sl_merge_free);
  g_clear_pointer (&self->choices, g_array_unref);
  g_free (self);
}

/* Whether they are two versions of one file, rather than two files. */
static gboolean
is_own (const Merge *self)
{
  return g_file_equal (self->file, self->bench_window->file);
}

static void
try_merge (Merge *self)
{
  const SlProfile *base = is_own (self) ? g_object_get_data (G_OBJECT (self->bench_window), BASE) : NULL;

  g_clear_pointer (&self->merge, sl_merge_free);
  self->merge =
      sl_merge (base, sl_bench_get_profile (self->bench_window->bench), self->theirs, self->choices, SL_SIDE_NONE);
}

/* ---- the result ---- */

static void
bring_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  const Merge *self = data;
  GError *error = NULL;

  sl_photos_bring (self->merge->merged, self->names, self->from, self->to, NULL, &error);
  sl_thread_return (task, error);
}

static void
on_brought (GObject *source, GAsyncResult *result, gpointer data)
{
  SlWindow *self = SL_WINDOW (source);
  g_autoptr (GError) error = NULL;

  if (!g_task_propagate_boolean (G_TASK (result), &error) && self->bench != NULL)
    sl_window_say_left_photos (self, NULL, error);
  if (self->bench != NULL)
    g_signal_emit_by_name (self->bench, "changed", (guint) SL_CHANGED_PHOTOS); /* tiles look for them again */
}

static void
on_accept (GtkButton *button, gpointer data)
{
  Merge *self = data;
  SlWindow *window = self->bench_window;
  SlEdit edit = sl_bench_begin_edit (window->bench, C_ ("undo step", "merge"), SL_CHANGED_PROFILE, FALSE);
  SlProfile *merged = sl_profile_copy (self->merge->merged);
  const char *const doubt = sl_merge_doubt (self->merge);
  const SlProfile mine = *edit.profile;
  const gboolean own = is_own (self);

  *edit.profile = *merged;
  *merged = mine;
  sl_bench_end_edit (&edit);
  sl_profile_free (merged);
  if (own)
    {
      /* saving writes over what was merged, and over nothing newer */
      g_free (window->stamp);
      window->stamp = g_steal_pointer (&self->stamp);
      sl_journal_set_file (window->bench, window->file, window->stamp);
      sl_window_set_base (window, self->theirs);
      sl_message_withdraw (window->messages, MESSAGE_THEIRS);
    }
  sl_message_show (window->messages, MESSAGE_MERGE, SL_MESSAGE_NOTICE, NULL, "%s",
                   own ? _ ("Merged. Nothing is written until it is saved; undo brings back what was here.")
                       : _ ("Merged. Nothing is written until it is saved; the other file stays as it is."));
  if (doubt != NULL)
    sl_message_show (window->messages, MESSAGE_DOUBT, SL_MESSAGE_WARNING, NULL, "%s.", doubt);
  g_object_steal_data (G_OBJECT (self->window), "merge");
  gtk_window_destroy (GTK_WINDOW (self->window));
  sl_run_in_thread (window, NULL, bring_in_thread, self, merge_free, on_brought, NULL);
}

/* ---- choosing ---- */

static void
refresh (Merge *self)
{
  const guint open = self->merge->n_open;
  g_autofree char *left =
      open > 0 ? g_strdup_printf (ngettext ("%u choice is left.", "%u choices are left.", open), open) : NULL;
  g_autofree char *fault = self->merge->fault != NULL
                               ? g_strdup_printf (_ ("This can’t be one profile: %s."), self->merge->fault)
                               : NULL,
                  *both = fault != NULL && left != NULL ? g_strjoin (" ", fault, left, NULL) : NULL;

  gtk_widget_set_sensitive (self->accept, open == 0 && fault == NULL);
  sl_set_remark (self->remark, both != NULL ? both : fault != NULL ? fault : left);
}

static void
on_chosen (GtkCheckButton *button, gpointer data)
{
  Merge *self = data;
  const guint n = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "nth"));

  if (!gtk_check_button_get_active (button))
    return;
  g_array_index (self->choices, SlSide, n) = (SlSide) GPOINTER_TO_INT (g_object_get_data (G_OBJECT (button), "side"));
  try_merge (self);
  refresh (self);
}

static void
on_all (GtkButton *button, gpointer data)
{
  Merge *self = data;
  const char *which = GTK_WIDGET (button) == self->all_mine ? "mine" : "theirs";

  for (GtkWidget *row = gtk_widget_get_first_child (self->rows); row != NULL; row = gtk_widget_get_next_sibling (row))
    gtk_check_button_set_active (g_object_get_data (G_OBJECT (row), which), TRUE);
}

/* Whether an item is of one field of the description, or of all that have its child's name. */
static gboolean
is_of (const SlMergeItem *item, const SlDescriptionField *field)
{
  const char *name = item->field != NULL ? item->field->name : item->child != NULL ? item->child->element->name : NULL;

  return name != NULL && ((g_str_equal (field->element, item->element->name) && g_str_equal (field->attribute, name)) ||
                          (item->child != NULL && g_str_has_prefix (name, field->element)));
}

/* In the words of the description, NULL: it has none. @version: what of it differs there; NULL: what it is called. Free
 * with g_free(). */
static char *
description_text (const Merge *self, const SlMergeItem *item, const void *version, const SlTextStyle *style)
{
  const SlMerge *merge = self->merge;
  const SlProfile *profile = version == item->mine     ? merge->mine
                             : version == item->theirs ? merge->theirs
                                                       : merge->base;
  g_autoptr (GString) text = g_string_new (NULL);

  for (const SlDescriptionPage *page = sl_description_pages; page < sl_description_pages + sl_n_description_pages;
       page++)
    for (guint i = 0; i < page->n_fields + page->n_columns; i++)
      {
        const gboolean column = i >= page->n_fields;
        const SlDescriptionField *field = column ? &page->columns[i - page->n_fields] : &page->fields[i];

        if (!is_of (item, field))
          continue;
        if (version == NULL && !g_str_has_prefix (field->element, "string") && !g_str_equal (field->element, "targets"))
          return column ? g_strdup (g_dpgettext2 (GETTEXT_PACKAGE, "page", page->table_title))
                        : sl_field_name (field, 0);
        for (int n = column;
             version != NULL && n <= (column ? MAX (merge->mine->n_strings, merge->theirs->n_strings) : 0); n++)
          {
            g_autofree char *name = sl_field_name (field, n), *value = sl_field_text (profile, field, n, style),
                            *mine = sl_field_text (merge->mine, field, n, style),
                            *theirs = sl_field_text (merge->theirs, field, n, style);

            if (g_strcmp0 (mine, theirs) == 0)
              continue;
            if (item->field == NULL && !g_str_equal (field->attribute, "note"))
              g_string_append_printf (text, "%s%s: ", text->len > 0 ? "; " : "", name);
            g_string_append (text, value != NULL ? value : "–");
          }
      }
  return text->len > 0 ? g_strdup (text->str) : NULL;
}

static char *
value_text (const Merge *self, const SlMergeItem *item, const void *version, const SlTextStyle *style)
{
  char *text = version != NULL ? description_text (self, item, version, style) : NULL;

  return text != NULL ? text : sl_merge_value (self->merge, item, version, style);
}

static GtkWidget *
choice_new (Merge *self, const char *title, const char *format, const char *value, guint nth, SlSide side)
{
  g_autofree char *text = g_strdup_printf (format, value);
  GtkWidget *button = gtk_check_button_new (), *words = sl_text_new (text, NULL);

  gtk_widget_set_hexpand (words, TRUE);
  gtk_widget_set_margin_start (words, SL_SPACE_CLOSE);
  gtk_label_set_wrap_mode (GTK_LABEL (words), PANGO_WRAP_WORD_CHAR);
  gtk_check_button_set_child (GTK_CHECK_BUTTON (button), words);
  gtk_widget_set_valign (gtk_widget_get_first_child (button), GTK_ALIGN_START); /* beside the first line */
  gtk_widget_set_hexpand (button, TRUE);
  gtk_widget_set_valign (button, GTK_ALIGN_START);
  sl_name_as (button, "%s: %s", title, text);
  g_object_set_data (G_OBJECT (button), "nth", GUINT_TO_POINTER (nth));
  g_object_set_data (G_OBJECT (button), "side", GINT_TO_POINTER (side));
  g_signal_connect (button, "toggled", G_CALLBACK (on_chosen), self);
  return button;
}

static void
add_row (Merge *self, const SlMergeItem *item, const char *title, const char *place, const char *said,
         const SlTextStyle *style, guint nth)
{
  g_autofree char *mine = value_text (self, item, item->mine, style),
                  *theirs = value_text (self, item, item->theirs, style),
                  *base = item->base != NULL ? value_text (self, item, item->base, style) : NULL,
                  *before = base != NULL ? g_strdup_printf (_ ("Before: %s"), base) : NULL;
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_VERTICAL, SL_SPACE_CLOSE),
            *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, SL_SPACE_WIDE),
            *first = choice_new (self, title, _ ("Mine: %s"), mine, nth, SL_SIDE_MINE),
            *second = choice_new (self, title, _ ("Theirs: %s"), theirs, nth, SL_SIDE_THEIRS);

  gtk_box_set_homogeneous (GTK_BOX (line), TRUE);
  gtk_check_button_set_group (GTK_CHECK_BUTTON (second), GTK_CHECK_BUTTON (first));
  sl_box_add (line, first, second, NULL);
  if (*place != '\0' && !g_str_equal (place, said))
    sl_text_add (row, place, "sl-section");
  sl_text_add (row, strlen (title) > strlen (place) && *place != '\0' ? title + strlen (place) + strlen (": ") : title,
               NULL);
  gtk_box_append (GTK_BOX (row), line);
  if (before != NULL)
    sl_text_add (row, before, "sl-dim");
  g_object_set_data (G_OBJECT (row), "mine", first);
  g_object_set_data (G_OBJECT (row), "theirs", second);
  gtk_box_append (GTK_BOX (self->rows), row);
}

/* A row for each that is asked, those of one visit, set or photograph under its name; a line for each that is not. */
static void
fill (Merge *self)
{
  const SlTextStyle style = { sl_bench_get_lengths (self->bench_window->bench), sl_decimal_sign () };
  g_autoptr (GString) lines = g_string_new (NULL);
  g_autofree char *said = g_strdup ("");
  guint nth = 0, taken = 0;

  SL_EACH (const SlMergeItem, item, self->merge->items)
    {
      g_autofree char *own = description_text (self, item, NULL, NULL), *title = sl_merge_title (item, own),
                      *place = sl_merge_place (item);
      const void *from = item->side == SL_SIDE_THEIRS ? item->theirs : item->mine;

      if (item->asked)
        {
          add_row (self, item, title, place, said, &style, nth++);
          g_free (said);
          said = g_steal_pointer (&place);
        }
      else if (++taken <= MOST_TAKEN)
        {
          g_autofree char *whole = value_text (self, item, from, &style), *value = sl_text_shortened (whole, NULL),
                          *text = g_strdup_printf (
                              item->side == SL_SIDE_THEIRS ? _ ("%s: theirs, %s") : _ ("%s: mine, %s"), title, value);

          g_string_append_printf (lines, "%s%s", lines->len > 0 ? "\n" : "", text);
        }
    }
  if (taken > MOST_TAKEN)
    g_string_append_printf (
        g_string_append_c (lines, '\n'),
        g_dngettext (GETTEXT_PACKAGE, "%u more difference. ", "%u more differences. ", taken - MOST_TAKEN),
        taken - MOST_TAKEN);
  sl_label_set (self->taken, lines->str);
  gtk_widget_set_visible (self->taken_head, taken > 0);
  gtk_widget_set_visible (self->taken, taken > 0);
  gtk_widget_set_visible (self->whole, nth > 0);
  sl_label_set (self->lead, nth > 0 ? _ ("The two versions differ in what is listed here. Choose which to keep; "
                                         "everything else is taken from the version that changed it.")
                                    : _ ("The two versions don’t contradict each other: there is nothing to choose."));
}

static void
show (Merge *self)
{
  SlSide none = SL_SIDE_NONE;

  self->choices = g_array_new (FALSE, FALSE, sizeof (SlSide));
  try_merge (self);
  if (self->merge->merged == NULL)
    {
      sl_message_show (self->bench_window->messages, MESSAGE_MERGE, SL_MESSAGE_ERROR, NULL, "%s.", self->merge->fault);
      merge_free (self);
      return;
    }
  for (guint i = 0; i < self->merge->n_asked; i++)
    g_array_append_val (self->choices, none);
  sl_build ("merge-window", self, SL_MEMBERS (Merge, window, accept),
            "window lead whole all_mine all_theirs scrolled rows taken_head taken remark accept", NULL);
  g_object_set_data_full (G_OBJECT (self->window), "merge", self, merge_free);
  gtk_window_set_transient_for (GTK_WINDOW (self->window), GTK_WINDOW (self->bench_window));
  sl_name_scrolled (self->scrolled, _ ("Differences"));
  sl_colour_scheme_mark (self->window);
  g_signal_connect (self->all_mine, "clicked", G_CALLBACK (on_all), self);
  g_signal_connect (self->all_theirs, "clicked", G_CALLBACK (on_all), self);
  g_signal_connect (self->accept, "clicked", G_CALLBACK (on_accept), self);
  fill (self);
  refresh (self);
  gtk_window_present (GTK_WINDOW (self->window));
}

/* ---- the other version ---- */

static void
read_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Merge *self = data;
  GError *error = NULL;

  self->theirs = sl_document_read (self->file, &self->stamp, NULL, cancellable, &error);
  if (self->theirs != NULL)
    {
      self->from = sl_document_photos (self->file);
      self->names = sl_photos_name_apart (self->theirs, self->from, self->to);
    }
  sl_thread_return (task, error);
}

static void
on_read (GObject *source, GAsyncResult *result, gpointer data)
{
  SlWindow *window = SL_WINDOW (source);
  Merge *self = data;
  g_autoptr (GError) error = NULL;
  const gboolean read = g_task_propagate_boolean (G_TASK (result), &error);

  if (read && window->bench != NULL && window->file != NULL)
    {
      show (self);
      return;
    }
  if (window->bench != NULL && !g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    {
      g_autofree char *name = g_file_get_parse_name (self->file);

      sl_message_show (window->messages, MESSAGE_MERGE, SL_MESSAGE_ERROR, NULL, _ ("“%s” could not be opened: %s"),
                       name, error->message);
    }
  merge_free (self);
}

static void
merge_with (SlWindow *window, GFile *file)
{
  Merge *self = g_new0 (Merge, 1);

  self->bench_window = window;
  self->file = g_object_ref (file);
  self->to = sl_photos_folder (window->bench);
  sl_run_in_thread (window, window->cancellable, read_in_thread, self, NULL, on_read, self);
}

void
sl_window_merge (SlWindow *self)
{
  if (self->bench != NULL && self->file != NULL)
    merge_with (self, self->file);
}

void
sl_window_begin_merge (SlWindow *self)
{
  g_autoptr (GFile) file = g_object_steal_data (G_OBJECT (self), WITH);

  if (file != NULL && self->bench != NULL && self->file != NULL && sl_typed_take (GTK_WINDOW (self)))
    merge_with (self, file);
}

void
sl_window_merge_files (GtkApplication *app, GFile *file, GFile *other)
{
  SlWindow *showing = sl_window_showing (app, file, NULL), *self = showing != NULL ? showing : sl_window_new (app);

  g_object_set_data_full (G_OBJECT (self), WITH, g_object_ref (other), g_object_unref);
  sl_window_show_file (app, file, GTK_WINDOW (self));
  if (showing != NULL)
    sl_window_begin_merge (self);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shelf as one archive, out and in; and two files of one instrument, to be merged. */
#include "desk/shelf/parts.h"

#include "bench/settings.h"
#include "desk/window/window.h"
#include "file/shelf.h"
#include "photo/shelf-archive.h"
#include "words/one-line.h"

#define MESSAGE_ARCHIVE "archive" /* its key */
#define RUNNING "archive-running" /* the cancellable of the one under way */
#define LOOK_MS 250
#define MOST_TOLD 3

typedef struct
{
  gboolean import;
  GFile *archive, *folder;
  SlShop shop;
  GPtrArray *names; /* of the profiles to export; NULL: all */
  char *told;       /* how many those are, a sentence behind another */
  GPtrArray *fates;
  SlHowFar how_far;
} Work;

static void
work_free (gpointer data)
{
  Work *work = data;

  g_object_unref (work->archive);
  g_object_unref (work->folder);
  g_clear_pointer (&work->names, g_ptr_array_unref);
  g_free (work->told);
  g_ptr_array_unref (work->fates);
  g_free (work);
}

static void
work_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Work *work = data;
  g_autoptr (GFile) index = sl_shelf_index_folder ();
  GError *error = NULL;

  if (work->import)
    sl_shelf_unpack (work->archive, work->folder, index, &work->shop, work->fates, &work->how_far, cancellable, &error);
  else
    sl_shelf_pack (work->folder, work->names, work->archive, work->fates, &work->how_far, cancellable, &error);
  sl_thread_return (task, error);
}

/* ---- what became of it ---- */

/* What was refused, the first few by name. */
static char *
refused_text (const GPtrArray *fates)
{
  GString *text = g_string_new (NULL);
  int told = 0;

  SL_EACH_OF (const SlFateOf, fate, fates)
    if (fate->fate == SL_FATE_REFUSED && told++ < MOST_TOLD)
      {
        g_autofree char *name = sl_shown_name (fate->name), *why = sl_one_line (fate->why);

        /* Translators: name of a file, and why it was left out; it follows another sentence */
        g_string_append_printf (text, _ (" “%s” was left out: %s."), name, why);
      }
  return g_string_free (text, FALSE);
}

static void
report (SlShelfWindow *self, const Work *work, const GError *error)
{
  g_autofree char *name = g_file_get_basename (work->archive), *shown = sl_shown_name (name),
                  *text = sl_fates_text (work->fates), *refused = refused_text (work->fates),
                  *said = g_strconcat (work->told != NULL ? work->told : "", refused, NULL), *merge = NULL;
  const SlFateOf *beside = NULL;
  SlMessageButton buttons[] = { { _ ("Merge…"), NULL }, { NULL } };

  SL_EACH_OF (const SlFateOf, fate, work->fates)
    if (fate->fate == SL_FATE_BESIDE && beside == NULL)
      beside = fate;
  if (beside != NULL && g_utf8_validate (beside->other, -1, NULL) && g_utf8_validate (beside->now, -1, NULL))
    buttons[0].action = merge = g_strdup_printf ("win.merge-named::%s/%s", beside->other, beside->now);
  if (error != NULL)
    sl_message_show (self->messages, MESSAGE_ARCHIVE, SL_MESSAGE_ERROR, NULL, "%s%s%s.", error->message,
                     *text != '\0' ? " – " : "", text);
  else if (work->import)
    sl_message_show (self->messages, MESSAGE_ARCHIVE, *refused != '\0' ? SL_MESSAGE_WARNING : SL_MESSAGE_NOTICE,
                     merge != NULL ? buttons : NULL,
                     /* Translators: an archive, what became of the profiles in it ("3 new, 1 there already"), and what
                      * was left out, sentences of their own */
                     _ ("Imported from “%s”: %s.%s"), shown, *text != '\0' ? text : C_ ("imported", "nothing"),
                     refused);
  else
    sl_message_show (self->messages, MESSAGE_ARCHIVE, *refused != '\0' ? SL_MESSAGE_WARNING : SL_MESSAGE_NOTICE, NULL,
                     _ ("The shelf was exported to “%s”.%s"), shown, said);
}

static void
on_worked (GObject *source, GAsyncResult *result, gpointer data)
{
  SlShelfWindow *self = SL_SHELF_WINDOW (source);
  const Work *work = g_task_get_task_data (G_TASK (result));
  g_autoptr (GError) error = NULL;

  g_object_set_data (source, RUNNING, NULL);
  if (self->model == NULL) /* closed meanwhile */
    return;
  g_task_propagate_boolean (G_TASK (result), &error);
  /* of an export that was stopped nothing is left; an import leaves what was taken in until then */
  if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    report (self, work, error);
  else if (work->import)
    report (self, work, NULL);
  g_signal_emit_by_name (self->model, "progress"); /* takes the bar away */
  if (work->import && g_file_equal (work->folder, self->model->folder))
    gtk_widget_activate_action (GTK_WIDGET (self), "win.reload", NULL);
}

/* ---- on its way ---- */

static gboolean
look_how_far (gpointer data)
{
  SlShelfWindow *self = g_task_get_source_object (data);
  Work *work = g_task_get_task_data (data);
  const int total = g_atomic_int_get (&work->how_far.total);
  const char *what = work->import ? _ ("Import from an archive") : _ ("Export the shelf");

  if (g_task_get_completed (data) || self->model == NULL || g_object_get_data (G_OBJECT (self), RUNNING) == NULL)
    return G_SOURCE_REMOVE;
  gtk_widget_set_visible (self->progress, TRUE);
  sl_label_set (self->count_label, what);
  sl_set_accessible_label (self->progress, what);
  gtk_progress_bar_set_fraction (GTK_PROGRESS_BAR (self->progress),
                                 total > 0 ? (double) g_atomic_int_get (&work->how_far.done) / total : 0);
  gtk_button_set_label (GTK_BUTTON (self->stop_button), _ ("Stop"));
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self->stop_button), "win.stop");
  gtk_widget_set_visible (self->stop_button, TRUE);
  return G_SOURCE_CONTINUE;
}

static void
start (SlShelfWindow *self, GFile *archive, gboolean import)
{
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  g_autoptr (GTask) task = g_task_new (self, cancellable, on_worked, NULL);
  g_autofree char *count = sl_shelf_window_count (self);
  Work *work;

  if (g_object_get_data (G_OBJECT (self), RUNNING) != NULL)
    {
      sl_message_show (self->messages, MESSAGE_ARCHIVE, SL_MESSAGE_WARNING, NULL,
                       _ ("Another export or import is under way. Stop it, or wait for its end."));
      return;
    }
  work = g_new0 (Work, 1);
  work->import = import;
  work->archive = g_object_ref (archive);
  work->folder = g_object_ref (self->model->folder);
  work->shop = sl_settings_get_shop ();
  work->fates = sl_fates_new ();
  if (!import && sl_shelf_table_is_narrowed (self->table))
    {
      work->names = g_ptr_array_new_with_free_func (g_free);
      SL_EACH_OF (const SlShelfItem, item, self->table->rows->wanted)
        g_ptr_array_add (work->names, g_strdup (item->entry->name));
      work->told = g_strdup_printf (" %s.", count);
    }
  sl_message_withdraw (self->messages, MESSAGE_ARCHIVE);
  g_object_set_data_full (G_OBJECT (self), RUNNING, g_object_ref (cancellable), g_object_unref);
  g_task_set_task_data (task, work, work_free);
  sl_run_task (task, work_in_thread);
  g_timeout_add_full (G_PRIORITY_DEFAULT, LOOK_MS, look_how_far, g_object_ref (task), g_object_unref);
}

gboolean
sl_shelf_window_stop_archive (SlShelfWindow *self)
{
  GCancellable *running = g_object_get_data (G_OBJECT (self), RUNNING);

  g_cancellable_cancel (running);
  return running != NULL;
}

/* ---- which file ---- */

static void
on_response (GtkNativeDialog *dialog, int response, gpointer data)
{
  SlShelfWindow *self = data;
  g_autoptr (GFile) file =
      response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog)) : NULL;

  if (file != NULL)
    start (self, file, gtk_file_chooser_get_action (GTK_FILE_CHOOSER (dialog)) == GTK_FILE_CHOOSER_ACTION_OPEN);
  g_clear_object (&self->chooser);
}

void
sl_shelf_window_choose_archive (GtkWidget *widget, const char *action, GVariant *parameter)
{
  SlShelfWindow *self = SL_SHELF_WINDOW (widget);
  const gboolean import = g_str_equal (action, "win.import");
  g_autofree char *folder = g_file_get_basename (self->model->folder), *name = g_strconcat (folder, ".zip", NULL),
                  *count = sl_shelf_window_count (self),
                  *export = sl_shelf_table_is_narrowed (self->table)
                                ? g_strdup_printf ("%s: %s", _ ("Export the shelf"), count)
                                : g_strdup (_ ("Export the shelf"));

  g_clear_object (&self->chooser);
  self->chooser = gtk_file_chooser_native_new (import ? _ ("Import from an archive") : export, GTK_WINDOW (self),
                                               import ? GTK_FILE_CHOOSER_ACTION_OPEN : GTK_FILE_CHOOSER_ACTION_SAVE,
                                               import ? _ ("_Import") : _ ("_Export"), _ ("_Cancel"));
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->chooser), TRUE);
  if (!import && g_utf8_validate (name, -1, NULL))
    gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (self->chooser), name);
  g_signal_connect_object (self->chooser, "response", G_CALLBACK (on_response), self, 0);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

static gboolean
on_drop (GtkDropTarget *target, const GValue *value, double x, double y, gpointer data)
{
  g_autoptr (GSList) files = gdk_file_list_get_files (g_value_get_boxed (value));

  if (files != NULL)
    start (data, files->data, TRUE);
  return files != NULL;
}

void
sl_shelf_window_take_drops (SlShelfWindow *self)
{
  GtkDropTarget *target = gtk_drop_target_new (GDK_TYPE_FILE_LIST, GDK_ACTION_COPY);

  g_signal_connect (target, "drop", G_CALLBACK (on_drop), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (target));
}

/* ---- two files of one instrument ---- */

/* Of the chosen one and its twin, or of the files that are named, "OTHER/NOW". */
void
sl_shelf_window_merge_twins (GtkWidget *widget, const char *action, GVariant *parameter)
{
  SlShelfWindow *self = SL_SHELF_WINDOW (widget);
  g_auto (GStrv) names = parameter != NULL ? g_strsplit (g_variant_get_string (parameter, NULL), "/", 2) : NULL;
  const char *first = names != NULL ? names[0] : self->item->entry->name,
             *second = names != NULL ? names[1] : self->item->twin;
  g_autoptr (GFile) file = g_file_get_child (self->model->folder, first),
                    other = g_file_get_child (self->model->folder, second);

  sl_window_merge_files (gtk_window_get_application (GTK_WINDOW (self)), file, other);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/explanations.h"
#include "desk/photos/photos.h"
#include "desk/readings/readings.h"
#include "bench/settings.h"
#include "desk/window/window-private.h"

/* Keys of messages. */
#define MESSAGE_SAVE "save"

void
sl_window_forget_files (SlWindow *self)
{
  g_cancellable_cancel (self->cancellable);
  g_clear_object (&self->cancellable);
  sl_window_leave_file (self);
  g_clear_object (&self->chooser);
  g_clear_object (&self->file);
  g_clear_pointer (&self->file_id, g_free);
  g_clear_pointer (&self->stamp, g_free);
}

/* A file on its way in or out, in a thread: a share may be slow, the window is not. */
typedef struct
{
  GFile *file;
  SlProfile *profile;
  char *stamp;
  gboolean overwrite, keep_before;
  guint64 revision; /* the bench's, when saving began */
  GFile *photos;    /* the folder they were in then */
  gboolean first;   /* which goes */

  /* found out in the thread */
  char *file_id; /* the same by whichever path; NULL where the file system can't say */
  SlExplanations *explanations;
  GError *not_kept; /* why the version before is not */
  GPtrArray *left;  /* photographs that could not go along */
  gboolean gone;    /* the file, which was there */
} Transfer;

static void
transfer_free (Transfer *transfer)
{
  g_clear_object (&transfer->file);
  g_clear_pointer (&transfer->profile, sl_profile_free);
  g_free (transfer->stamp);
  g_free (transfer->file_id);
  g_clear_pointer (&transfer->explanations, sl_explanations_free);
  g_clear_error (&transfer->not_kept);
  g_clear_object (&transfer->photos);
  g_clear_pointer (&transfer->left, g_ptr_array_unref);
  g_free (transfer);
}

/* What the window keeps of a file that is its own from now on. */
static void
look_at_place (Transfer *transfer)
{
  g_autoptr (GFileInfo) info =
      g_file_query_info (transfer->file, G_FILE_ATTRIBUTE_ID_FILE, G_FILE_QUERY_INFO_NONE, NULL, NULL);

  if (info != NULL)
    transfer->file_id = g_strdup (g_file_info_get_attribute_string (info, G_FILE_ATTRIBUTE_ID_FILE));
}

static void
read_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Transfer *transfer = data;
  GError *error = NULL;

  look_at_place (transfer);
  transfer->profile = sl_document_read (transfer->file, &transfer->stamp, NULL, cancellable, &error);
  if (transfer->profile != NULL)
    transfer->explanations = sl_explanations_new (transfer->profile->id, TRUE);
  sl_thread_return (task, error);
}

static void on_read_again (GObject *source, GAsyncResult *result, gpointer data);

static void
start_reading (SlWindow *self, GFile *file, GAsyncReadyCallback done)
{
  Transfer *transfer = g_new0 (Transfer, 1);

  transfer->file = g_object_ref (file);
  sl_run_in_thread (self, self->cancellable, read_in_thread, transfer, (GDestroyNotify) transfer_free, done, NULL);
}

/* Under which key a message says that a file failed to open: the first of those asked for together is 0. */
static char *
unopened_key (guint number)
{
  return g_strdup_printf ("open %u", number);
}

/* Says that @file failed to open. The document layer's message begins with the line where the text is at fault. */
static void
report_failed_open (SlWindow *self, GFile *file, const GError *error)
{
  const gboolean in_line = g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_FAULT);
  g_autofree char *name = g_file_get_parse_name (file), *key = unopened_key (self->unopened++);

  sl_message_show (self->messages, key, SL_MESSAGE_ERROR, NULL,
                   /* Translators: file name, then what is wrong with it, which begins with a line number. */
                   in_line ? _ ("“%s” could not be opened. Line %s") : _ ("“%s” could not be opened: %s"), name,
                   error->message);
}

void
sl_window_look_at_file (gpointer data)
{
  SlWindow *self = data;

  if (self->file != NULL && !self->saving)
    start_reading (self, self->file, on_read_again);
}

/* From now on the window's document is where @transfer read it from or wrote it to. */
static void
adopt_file (SlWindow *self, Transfer *transfer)
{
  g_autoptr (GFile) folder = g_file_get_parent (transfer->file);
  const gboolean other = self->file == NULL || !g_file_equal (self->file, transfer->file);

  sl_window_set_base (self, transfer->profile);
  g_set_object (&self->file, transfer->file);
  g_free (self->file_id);
  self->file_id = g_steal_pointer (&transfer->file_id);
  if (other)
    sl_window_follow_file (self);
  g_free (self->stamp);
  self->stamp = g_steal_pointer (&transfer->stamp);
  if (self->bench != NULL)
    {
      sl_journal_set_file (self->bench, self->file, self->stamp);
      sl_photos_set_file (self->bench, self->file);
    }
  if (folder != NULL)
    {
      g_autofree char *uri = g_file_get_uri (folder);

      sl_settings_set (SL_SETTING_RECENT_FOLDER, g_variant_new_string (uri));
    }
  sl_recent_add (transfer->file);
}

/* A window for a document that is here already. It is shown first: some assistive technology loses the whole program
 * when the toolkit announces a window that is not shown yet. */
static SlWindow *
present_new_window (GtkApplication *app)
{
  SlWindow *self = sl_window_new (app);

  self->opening++; /* or it would start with the start page */
  gtk_window_present (GTK_WINDOW (self));
  self->opening--;
  return self;
}

static void
on_opened (GObject *source, GAsyncResult *result, gpointer data)
{
  SlWindow *self = SL_WINDOW (source), *other;
  GtkApplication *app = gtk_window_get_application (GTK_WINDOW (self));
  Transfer *transfer = g_task_get_task_data (G_TASK (result));
  g_autoptr (GError) error = NULL;

  self->opening--;
  if (!g_task_propagate_boolean (G_TASK (result), &error))
    {
      if (g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        return;
      sl_window_show_start_page (self);
      report_failed_open (self, transfer->file, error);
      return;
    }
  other = sl_window_showing (app, transfer->file, transfer->file_id);
  if (other != NULL) /* asked for twice, perhaps by two paths */
    {
      gtk_window_present (GTK_WINDOW (other));
      if (sl_window_is_empty (self) && self->start_page == NULL) /* made for this */
        gtk_window_destroy (GTK_WINDOW (self));
      return;
    }
  if (!sl_typed_take (GTK_WINDOW (self)) || self->bench != NULL)
    self = present_new_window (app);
  adopt_file (self, transfer);
  sl_window_put_on_bench (self, g_steal_pointer (&transfer->profile));
  sl_explanations_give (self->bench, g_steal_pointer (&transfer->explanations));
  sl_window_offer_left (self);
  gtk_window_present (GTK_WINDOW (self));
  sl_window_begin_merge (self);
}

void
sl_window_show_file (GtkApplication *app, GFile *file, GtkWindow *window)
{
  SlWindow *target = sl_window_showing (app, file, NULL);

  if (target == NULL)
    {
      target = SL_IS_WINDOW (window) ? SL_WINDOW (window) : sl_window_new (app);
      /* into this window where its bench is empty, else into a new one; a file that fails to open leaves this window as
       * it was and says why; of those that failed before nothing is said any more */
      while (target->opening == 0 && target->unopened > 0)
        {
          g_autofree char *key = unopened_key (--target->unopened);

          sl_message_withdraw (target->messages, key);
        }
      target->opening++;
      start_reading (target, file, on_opened);
    }
  gtk_window_present (GTK_WINDOW (target));
}

/* Saving. */

/* Photographs first: what is saved must not lack them. Nothing goes beside a file that saving would refuse to replace.
 */
static gboolean
take_photos_along (Transfer *transfer, GFile *to, GPtrArray *made, GError **error)
{
  return (!transfer->overwrite && transfer->stamp == NULL && g_file_query_exists (transfer->file, NULL)) ||
         sl_photos_carry (transfer->profile, transfer->photos, to, transfer->left, made, NULL, error);
}

static void
write_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Transfer *transfer = data;
  GError *error = NULL;
  g_autoptr (GFile) photos = sl_document_photos (transfer->file);
  g_autoptr (GPtrArray) made = g_ptr_array_new_with_free_func (g_object_unref);
  const gboolean saved =
      take_photos_along (transfer, photos, made, &error) &&
      sl_document_save_beside (transfer->file, transfer->profile, &transfer->stamp, transfer->overwrite,
                               transfer->keep_before ? &transfer->not_kept : NULL, &error);

  if (saved && transfer->first)
    sl_photos_clear_folder (transfer->photos, photos);
  if (saved || g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_UNCERTAIN))
    look_at_place (transfer);
  else
    sl_photos_take_back (made);
  transfer->gone = g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_CHANGED) &&
                   !g_file_query_exists (transfer->file, NULL);
  sl_thread_return (task, error);
}

/* Saving failed. The document is as it was, on the bench and on the disk. */
static void
report_failed_save (SlWindow *self, Transfer *transfer, const GError *error)
{
  const SlMessageButton buttons[] = { transfer->gone ? (SlMessageButton){ _ ("Save mine anyway"), "win.save-anyway" }
                                                     : (SlMessageButton){ _ ("Try again"), "win.save" },
                                      { _ ("Save as…"), "win.save-as" },
                                      { NULL } };
  g_autofree char *name = g_file_get_parse_name (transfer->file);

  /* Translators: first why it was not saved, sentences without the last one's full stop ("Not saved: the disk is
   * full"); then the file's name. */
  sl_message_show (self->messages, MESSAGE_SAVE, SL_MESSAGE_ERROR, buttons,
                   _ ("%s. Everything is still on the bench. (“%s”)"), error->message, name);
}

/* Another file has the name that was chosen. */
static void
report_in_the_way (SlWindow *self, GFile *file)
{
  const SlMessageButton buttons[] = { { _ ("Save as…"), "win.save-as" }, { NULL } };
  g_autofree char *name = g_file_get_parse_name (file);

  sl_message_show (self->messages, MESSAGE_SAVE, SL_MESSAGE_ERROR, buttons,
                   _ ("There is a file “%s” already. It was left alone; nothing has been saved yet."), name);
}

static void
report_changed_by_others (SlWindow *self, const char *text)
{
  const SlMessageButton buttons[] = { { _ ("Save mine anyway"), "win.save-anyway" },
                                      { _ ("Merge…"), "win.merge" },
                                      { _ ("Take theirs"), "win.take-theirs" },
                                      { _ ("Save mine as…"), "win.save-as" },
                                      { NULL } };

  sl_message_show (self->messages, MESSAGE_THEIRS, SL_MESSAGE_WARNING, buttons, "%s", text);
}

static void
on_saved (GObject *source, GAsyncResult *result, gpointer data)
{
  SlWindow *self = SL_WINDOW (source);
  Transfer *transfer = g_task_get_task_data (G_TASK (result));
  g_autoptr (GError) error = NULL;
  gboolean close = self->close_when_saved;

  self->saving = FALSE;
  self->close_when_saved = FALSE;
  if (self->bench == NULL || self->cancellable == NULL) /* closed meanwhile; the file is written anyway */
    return;
  if (g_task_propagate_boolean (G_TASK (result), &error))
    {
      adopt_file (self, transfer);
      sl_message_withdraw (self->messages, MESSAGE_SAVE);
      sl_message_withdraw (self->messages, MESSAGE_THEIRS);
      sl_window_say_not_kept (self, transfer->not_kept);
      sl_window_say_left_photos (self, transfer->left, NULL);
      if (sl_bench_get_revision (self->bench) != transfer->revision) /* more may have come meanwhile */
        sl_window_fetch_photos (self, transfer->photos);
      sl_bench_mark_saved (self->bench, transfer->revision);
      if (close)
        gtk_window_close (GTK_WINDOW (self));
    }
  else if (g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_UNCERTAIN))
    {
      adopt_file (self, transfer);
      report_failed_save (self, transfer, error);
    }
  else if (g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_CHANGED) &&
           !(self->file != NULL && g_file_equal (self->file, transfer->file)))
    report_in_the_way (self, transfer->file);
  else if (g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_CHANGED) && !transfer->gone)
    report_changed_by_others (self,
                              _ ("Somebody else has saved this file since you opened it. Nothing has been written; "
                                 "both versions are still whole."));
  else
    report_failed_save (self, transfer, error);
  sl_window_refresh_history (self);
}

static void
save_to (SlWindow *self, GFile *file, gboolean overwrite)
{
  g_autoptr (GVariant) keep_before = sl_settings_get_value (SL_SETTING_KEEP_BEFORE, "b");
  Transfer *transfer;

  if (self->saving)
    return;
  transfer = g_new0 (Transfer, 1);
  transfer->file = g_object_ref (file);
  transfer->overwrite = overwrite;
  transfer->keep_before = keep_before != NULL && g_variant_get_boolean (keep_before);
  if (self->file != NULL && g_file_equal (self->file, file))
    transfer->stamp = g_strdup (self->stamp);
  transfer->revision = sl_bench_get_revision (self->bench);
  transfer->profile = sl_profile_copy (sl_bench_get_profile (self->bench));
  transfer->photos = sl_photos_folder (self->bench);
  transfer->first = self->file == NULL;
  transfer->left = g_ptr_array_new_with_free_func (g_free);
  self->saving = TRUE;
  sl_window_refresh_history (self);
  sl_run_in_thread (self, NULL, write_in_thread, transfer, (GDestroyNotify) transfer_free, on_saved, NULL);
}

void
sl_window_save (SlWindow *self)
{
  if (self->bench == NULL)
    return;
  if (self->file == NULL)
    sl_window_choose_save (self);
  else
    save_to (self, self->file, FALSE);
}

void
sl_window_save_over_theirs (SlWindow *self)
{
  if (self->bench != NULL && self->file != NULL)
    save_to (self, self->file, TRUE);
}

/* Choosing files. */

static void
show_chooser (SlWindow *self, GtkFileChooser *chooser)
{
  sl_chooser_add_filter (chooser, _ ("Sidelong profiles"), SL_DOCUMENT_EXTENSION + 1); /* without its dot */
  sl_chooser_add_filter (chooser, _ ("All files"), NULL);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (chooser));
}

void
sl_window_show_all (SlWindow *self, GListModel *files)
{
  g_autoptr (GListStore) pictures = g_list_store_new (G_TYPE_FILE);

  for (guint i = 0; i < g_list_model_get_n_items (files); i++)
    {
      g_autoptr (GFile) file = g_list_model_get_item (files, i);
      g_autofree char *name = g_file_get_basename (file), *type = g_content_type_guess (name, NULL, 0, NULL);

      if (self->bench != NULL && g_str_has_prefix (type, "audio/"))
        sl_recording_window_present (GTK_WINDOW (self), self->bench, file);
      else if (self->bench != NULL && g_str_has_prefix (type, "image/"))
        g_list_store_append (pictures, file);
      else
        sl_window_show_file (gtk_window_get_application (GTK_WINDOW (self)), file, GTK_WINDOW (self));
    }
  if (self->bench != NULL)
    sl_photos_take (self->bench, G_LIST_MODEL (pictures), NULL, NULL);
}

static void
on_open_response (GtkNativeDialog *dialog, int response, SlWindow *self)
{
  g_autoptr (GListModel) files = gtk_file_chooser_get_files (GTK_FILE_CHOOSER (dialog));

  if (response == GTK_RESPONSE_ACCEPT)
    sl_window_show_all (self, files);
  g_clear_object (&self->chooser);
}

void
sl_window_choose_open (SlWindow *self)
{
  g_autofree char *uri = sl_settings_get_string (SL_SETTING_RECENT_FOLDER, "");
  g_autoptr (GFile) folder = self->file != NULL ? g_file_get_parent (self->file)
                             : *uri != '\0'     ? g_file_new_for_uri (uri)
                                                : NULL;
  GtkFileChooser *chooser = sl_window_new_chooser (self, _ ("Open a profile"), GTK_FILE_CHOOSER_ACTION_OPEN,
                                                   _ ("_Open"), folder, G_CALLBACK (on_open_response));

  gtk_file_chooser_set_select_multiple (chooser, TRUE);
  show_chooser (self, chooser);
}

void
sl_window_choose_recording (SlWindow *self)
{
  GtkFileChooser *chooser = sl_window_new_chooser (self, _ ("Open a recording"), GTK_FILE_CHOOSER_ACTION_OPEN,
                                                   _ ("_Open"), NULL, G_CALLBACK (on_open_response));
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  gtk_file_filter_set_name (filter, _ ("Recordings"));
  gtk_file_filter_add_mime_type (filter, "audio/*");
  gtk_file_chooser_add_filter (chooser, filter);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (chooser));
}

/* @file with the ending a profile has, without which it would not be on the shelf. */
static GFile *
with_extension (GFile *file)
{
  g_autofree char *name = g_file_get_basename (file);
  g_autofree char *full = g_strconcat (name, SL_DOCUMENT_EXTENSION, NULL);
  g_autoptr (GFile) folder = g_file_get_parent (file);

  if (folder == NULL || sl_document_has_name (name))
    return g_object_ref (file);
  return g_file_get_child (folder, full);
}

static void
on_save_response (GtkNativeDialog *dialog, int response, SlWindow *self)
{
  g_autoptr (GFile) chosen =
      response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog)) : NULL;

  if (chosen == NULL)
    self->close_when_saved = FALSE;
  else
    {
      g_autoptr (GFile) file = with_extension (chosen);

      /* The chooser asked before replacing @chosen; a file the extension leads to was not asked about. */
      save_to (self, file, g_file_equal (file, chosen));
    }
  g_clear_object (&self->chooser);
}

static void
make_shelf_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  sl_make_own_shelf (data);
  g_task_return_boolean (task, TRUE);
}

static void
on_shelf_made (GObject *source, GAsyncResult *result, gpointer data)
{
  SlWindow *self = SL_WINDOW (source);

  if (self->bench == NULL) /* closed meanwhile */
    return;
  g_autoptr (GFile) folder = self->file != NULL ? g_file_get_parent (self->file) : sl_shelf_folder ();
  GtkFileChooser *chooser = sl_window_new_chooser (self, _ ("Save the profile"), GTK_FILE_CHOOSER_ACTION_SAVE,
                                                   _ ("_Save"), folder, G_CALLBACK (on_save_response));
  g_autofree char *name = self->file != NULL ? g_file_get_basename (self->file)
                                             : g_strconcat (sl_bench_get_profile (self->bench)->identity.label,
                                                            SL_DOCUMENT_EXTENSION, NULL);

  sl_chooser_propose (chooser, name);
  show_chooser (self, chooser);
}

/* What was never saved is offered the shelf's folder. */
void
sl_window_choose_save (SlWindow *self)
{
  sl_run_in_thread (self, NULL, make_shelf_in_thread, sl_shelf_folder (), g_object_unref, on_shelf_made, NULL);
}

/* Others' saves. */

static void
on_theirs_read (GObject *source, GAsyncResult *result, gpointer data)
{
  SlWindow *self = SL_WINDOW (source);
  Transfer *transfer = g_task_get_task_data (G_TASK (result));
  g_autoptr (GError) error = NULL;
  SlProfile ours;
  SlEdit edit;

  if (!g_task_propagate_boolean (G_TASK (result), &error))
    {
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        report_failed_open (self, transfer->file, error);
      return;
    }
  if (g_strcmp0 (transfer->profile->id, sl_bench_get_profile (self->bench)->id) !=
      0) /* else what is held is newer, where some is on its way to the file */
    sl_explanations_give (self->bench, g_steal_pointer (&transfer->explanations));
  sl_window_set_base (self, transfer->profile);
  /* A step of its own, so that undo brings back what was on this bench. */
  edit = sl_bench_begin_edit (self->bench, C_ ("undo step", "take the other version"), SL_CHANGED_PROFILE, FALSE);
  ours = *edit.profile;
  *edit.profile = *transfer->profile;
  *transfer->profile = ours;
  sl_bench_end_edit (&edit);
  g_free (self->stamp);
  self->stamp = g_steal_pointer (&transfer->stamp);
  sl_journal_set_file (self->bench, self->file, self->stamp);
  sl_bench_mark_saved (self->bench, sl_bench_get_revision (self->bench));
  sl_message_withdraw (self->messages, MESSAGE_THEIRS);
}

void
sl_window_take_theirs (SlWindow *self)
{
  if (self->bench != NULL && self->file != NULL)
    start_reading (self, self->file, on_theirs_read);
}

/* The file was read again after it changed: ours, or somebody else's save? */
static void
on_read_again (GObject *source, GAsyncResult *result, gpointer data)
{
  SlWindow *self = SL_WINDOW (source);
  Transfer *transfer = g_task_get_task_data (G_TASK (result));

  if (!g_task_propagate_boolean (G_TASK (result), NULL) || self->saving || self->file == NULL ||
      !g_file_equal (self->file, transfer->file))
    return; /* gone, or half-way through somebody's copying: saving will tell */
  if (g_strcmp0 (transfer->stamp, self->stamp) == 0)
    sl_message_withdraw (self->messages, MESSAGE_THEIRS);
  else
    report_changed_by_others (
        self, _ ("Somebody else has just saved this file. What is on this bench is still the version you had."));
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/photos/photos.h"

#include "bench/folder-watch.h"
#include "bench/settings.h"
#include "desk/kit/kit.h"
#include "file/document.h"
#include "words/dates.h"
#include "words/one-line.h"

#define QUIET_MS 400
#define SHOWN_NAME 24        /* characters of a file's name on a button */
#define LINE "sl-photo-line" /* of the shop's list, which the picture is taken for */

/* For the line that @object has, or for what is worked on. */
static void
take_for (gpointer object, SlBench *bench, GListModel *files)
{
  SlPhoto like = sl_photo_guess (bench, g_object_get_data (object, LINE));

  sl_photos_take (bench, files, NULL, &like);
  sl_photo_clear (&like);
}

/* ---- chosen ---- */

static void
on_chosen (gpointer from, GListModel *files)
{
  take_for (from, *(SlBench **) sl_part_of (from), files);
}

void
sl_photos_choose (GtkWidget *from, const char *line)
{
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();
  GtkFileChooser *chooser =
      sl_choose_files (from, _ ("Add photographs"), GTK_FILE_CHOOSER_ACTION_OPEN, _ ("_Add"), NULL, on_chosen);

  g_object_set_data_full (G_OBJECT (from), LINE, g_strdup (line), g_free);
  gtk_file_chooser_set_select_multiple (chooser, line == NULL);
  gtk_file_filter_set_name (filter, _ ("Pictures (JPEG, PNG)"));
  gtk_file_filter_add_mime_type (filter, "image/jpeg");
  gtk_file_filter_add_mime_type (filter, "image/png");
  gtk_file_chooser_add_filter (chooser, filter);
}

/* ---- pasted ---- */

static void
encode_in_thread (GTask *task, gpointer texture, gpointer data, GCancellable *cancellable)
{
  g_task_return_pointer (task, gdk_texture_save_to_png_bytes (texture), (GDestroyNotify) g_bytes_unref);
}

static void
on_encoded (GObject *texture, GAsyncResult *result, gpointer data)
{
  g_autoptr (SlBench) bench = data;
  g_autoptr (GBytes) bytes = g_task_propagate_pointer (G_TASK (result), NULL);

  sl_photos_take (bench, NULL, bytes, NULL);
}

static void
on_pasted (GObject *clipboard, GAsyncResult *result, gpointer data)
{
  g_autoptr (SlBench) bench = data;
  const GValue *value = gdk_clipboard_read_value_finish (GDK_CLIPBOARD (clipboard), result, NULL);

  if (value == NULL)
    g_signal_emit_by_name (bench, "refused", _ ("There is neither a picture nor a file on the clipboard."));
  else if (G_VALUE_HOLDS (value, GDK_TYPE_TEXTURE))
    sl_run_in_thread (g_value_get_object (value), NULL, encode_in_thread, NULL, NULL, on_encoded,
                      g_steal_pointer (&bench));
  else
    {
      g_autoptr (GListStore) list = g_list_store_new (G_TYPE_FILE);
      g_autoptr (GSList) files = gdk_file_list_get_files (g_value_get_boxed (value));

      for (GSList *l = files; l != NULL; l = l->next)
        g_list_store_append (list, l->data);
      sl_photos_take (bench, G_LIST_MODEL (list), NULL, NULL);
    }
}

void
sl_photos_paste (GtkWidget *from, SlBench *bench)
{
  GdkClipboard *clipboard = gtk_widget_get_clipboard (from);
  g_autoptr (GdkContentFormats) offered =
      gdk_content_formats_union_deserialize_gtypes (gdk_content_formats_ref (gdk_clipboard_get_formats (clipboard)));
  const gboolean files = gdk_content_formats_contain_gtype (offered, GDK_TYPE_FILE_LIST);

  gdk_clipboard_read_value_async (clipboard, files ? GDK_TYPE_FILE_LIST : GDK_TYPE_TEXTURE, G_PRIORITY_DEFAULT, NULL,
                                  on_pasted, g_object_ref (bench));
}

/* ---- the newest in a folder ---- */

typedef struct
{
  SlBench *bench;
  GtkWidget *box, *take, *choose; /* bound in this order */
  SlFolderWatch *watch;
  GFile *folder;
  GListModel *newest; /* of one or none */
} Newest;

static void
show_newest (Newest *self)
{
  g_autoptr (GFile) newest = self->newest != NULL ? g_list_model_get_item (self->newest, 0) : NULL;
  g_autofree char *name = newest != NULL ? g_file_get_basename (newest) : NULL,
                  *shown = name != NULL ? sl_shown_name (name) : g_strdup (""),
                  *start = g_utf8_substring (shown, 0, MIN (SHOWN_NAME, g_utf8_strlen (shown, -1))), *label = NULL;

  if (newest != NULL)
    {
      const gint64 *written = g_object_get_data (G_OBJECT (newest), "written");
      g_autoptr (GDateTime) time = g_date_time_new_from_unix_local (*written / G_USEC_PER_SEC);
      g_autofree char *iso = g_date_time_format_iso8601 (time), *when = sl_date_and_time (iso);

      /* Translators: a file, and when it was written: "Take IMG_0042.jpg (9 Feb 14:20)" */
      label = g_strdup_printf (_ ("Take %s (%s)"), start, when);
    }
  else
    label = g_strdup (self->folder == NULL ? _ ("Newest picture of a folder…") : _ ("No new picture yet"));
  gtk_button_set_label (GTK_BUTTON (self->take), label);
  gtk_widget_set_sensitive (self->take, self->folder == NULL || newest != NULL);
  gtk_widget_set_visible (self->choose, self->folder != NULL);
}

static void
on_found (GObject *folder, GAsyncResult *result, gpointer data)
{
  g_autoptr (GtkWidget) box = data;
  Newest *self = sl_part_of (box);

  g_clear_object (&self->newest);
  self->newest = G_LIST_MODEL (gtk_slice_list_model_new (g_task_propagate_pointer (G_TASK (result), NULL), 0, 1));
  show_newest (self);
}

static void
look (gpointer data)
{
  Newest *self = data;

  sl_photos_look (self->folder, NULL, on_found, g_object_ref (self->box));
}

static void
on_folder_changed (GHashTable *names, gpointer data)
{
  look (data);
}

/* The folder in the settings, if there is one, is followed once the button is seen. */
static void
follow_folder (GtkWidget *box)
{
  Newest *self = sl_part_of (box);
  g_autofree char *uri = sl_settings_get_string (SL_SETTING_PICTURE_FOLDER, "");
  g_autoptr (GFile) folder = *uri != '\0' ? g_file_new_for_uri (uri) : NULL;

  if (gtk_widget_get_mapped (box) && g_set_object (&self->folder, folder) && folder != NULL)
    sl_folder_watch_follow (self->watch, folder, FALSE); /* which looks once it is followed */
}

static void
on_folder_chosen (gpointer box, GListModel *files)
{
  g_autoptr (GFile) folder = g_list_model_get_item (files, 0);

  sl_settings_set (SL_SETTING_PICTURE_FOLDER, g_variant_new_take_string (g_file_get_uri (folder)));
}

static void
on_choose (Newest *self)
{
  sl_choose_files (self->box, _ ("Folder of new pictures"), GTK_FILE_CHOOSER_ACTION_SELECT_FOLDER, _ ("_Choose"), NULL,
                   on_folder_chosen);
}

static void
on_take (Newest *self)
{
  if (self->newest == NULL) /* there is no folder, else it can't be pressed */
    {
      on_choose (self);
      return;
    }
  take_for (self->box, self->bench, self->newest);
  g_clear_object (&self->newest); /* until the next one comes */
  show_newest (self);
}

static void
newest_free (Newest *self)
{
  sl_folder_watch_free (self->watch);
  g_clear_object (&self->folder);
  g_clear_object (&self->newest);
  g_free (self);
}

void
sl_latest_picture_set_line (GtkWidget *newest, const char *line)
{
  g_object_set_data_full (G_OBJECT (newest), LINE, g_strdup (line), g_free);
}

GtkWidget *
sl_latest_picture_new (SlBench *bench)
{
  Newest *self = sl_part_new (bench, SL_PART (Newest, box, choose), (GDestroyNotify) newest_free, "newest-picture",
                              "box take choose", SL_CALL (on_take), SL_CALL (on_choose), NULL);

  self->watch =
      sl_folder_watch_new (&(SlFolderUser){ QUIET_MS, on_folder_changed, look, NULL, sl_photo_has_ending }, self);
  g_signal_connect (self->box, "map", G_CALLBACK (follow_folder), NULL);
  sl_settings_follow (SL_SETTING_PICTURE_FOLDER, self->box, G_CALLBACK (follow_folder));
  show_newest (self);
  return self->box;
}

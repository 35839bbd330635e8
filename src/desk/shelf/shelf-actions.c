/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/shelf/parts.h"

#include "bench/profiles.h"
#include "bench/settings.h"
#include "desk/window/window.h"
#include "photo/folder.h"
#include "setup/record/baseline.h"
#include "words/one-line.h"

static void
say (SlShelfWindow *self, SlMessageKind kind, const char *text)
{
  sl_message_show (self->messages, "work", kind, NULL, "%s", text);
}

/* ---- work on files, in a thread: a share may be slow, the window is not ---- */

typedef enum
{
  WORK_DUPLICATE,
  WORK_RENAME,
  WORK_TRASH,
  WORK_RESTORE,
  WORK_BASELINE
} WorkKind;

typedef struct
{
  WorkKind kind;
  SlShelfWindow *window; /* owned, while it waits until it is known which file that is */
  GFile *file, *result;
  char *title, *label, *stem, *pictures; /* the last: of what is in the trash */
  GPtrArray *others;                     /* of a baseline: the instruments beside @file */
  GBytes *bytes;
  GPtrArray *left; /* pictures that were not copied */
  int taken;       /* how many of them stand in it */
  gboolean anyway; /* also where somebody else has the file open */
} Work;

static void
work_free (Work *work)
{
  g_clear_object (&work->window);
  g_clear_object (&work->file);
  g_clear_object (&work->result);
  g_clear_pointer (&work->others, g_ptr_array_unref);
  g_clear_pointer (&work->bytes, g_bytes_unref);
  g_clear_pointer (&work->left, g_ptr_array_unref);
  g_free (work->title);
  g_free (work->label);
  g_free (work->stem);
  g_free (work->pictures);
  g_free (work);
}

G_DEFINE_AUTOPTR_CLEANUP_FUNC (Work, work_free)

static GFile *
make_baseline (Work *work, GCancellable *cancellable, GError **error)
{
  g_autoptr (GPtrArray) profiles = g_ptr_array_new_with_free_func ((GDestroyNotify) sl_profile_free);
  g_autoptr (SlProfile) baseline = NULL;
  g_autoptr (GFile) folder = g_file_get_parent (work->file);
  SlProfile *profile = sl_document_read (work->file, NULL, NULL, cancellable, error);

  if (profile == NULL)
    return NULL;
  g_ptr_array_add (profiles, profile);
  for (guint i = 0; i < work->others->len; i++)
    /* one that went bad meanwhile is left out */
    if ((profile = sl_document_read (g_ptr_array_index (work->others, i), NULL, NULL, cancellable, NULL)) != NULL)
      g_ptr_array_add (profiles, profile);
  baseline = sl_baseline_new ((const SlProfile *const *) profiles->pdata, (int) profiles->len, &work->taken);
  return sl_shelf_add (folder, baseline, baseline->identity.label, cancellable, error);
}

static void
work_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Work *work = data;
  GError *error = NULL;

  switch (work->kind)
    {
    case WORK_DUPLICATE:
      work->left = g_ptr_array_new_with_free_func (g_free);
      work->result = sl_photos_duplicate (work->file, work->left, cancellable, &error);
      break;
    case WORK_RENAME: work->result = sl_shelf_rename (work->file, work->label, work->stem, cancellable, &error); break;
    case WORK_TRASH: sl_shelf_trash (work->file, &work->bytes, &work->pictures, cancellable, &error); break;
    case WORK_RESTORE:
      if (sl_shelf_restore (work->file, work->bytes, work->pictures, cancellable, &error))
        work->result = g_object_ref (work->file);
      break;
    case WORK_BASELINE: work->result = make_baseline (work, cancellable, &error); break;
    }
  sl_thread_return (task, error);
}

/* Where what was in the file is known, the work that brings it back is kept for a button. */
static gboolean
keep_undo (SlShelfWindow *self, const Work *work)
{
  g_autofree char *name = g_file_get_basename (work->file);
  Work *undo = NULL;

  if (work->bytes != NULL)
    {
      undo = g_new0 (Work, 1);
      undo->kind = WORK_RESTORE;
      undo->file = g_object_ref (work->file);
      undo->bytes = g_bytes_ref (work->bytes);
      undo->pictures = g_strdup (work->pictures);
      undo->title = g_filename_display_name (name);
    }
  g_object_set_data_full (G_OBJECT (self), "undo-trash", undo, (GDestroyNotify) work_free);
  return undo != NULL;
}

static void
report_failure (SlShelfWindow *self, const Work *work, const GError *error)
{
  const SlMessageButton again[] = { { _ ("Try again"), "win.undo-trash" }, { NULL } };
  static const char *const texts[] = {
    /* Translators: %1$s a profile, %2$s why */
    [WORK_DUPLICATE] = N_ ("“%1$s” could not be copied. %2$s"),
    [WORK_RENAME] = N_ ("“%1$s” keeps its name. %2$s"),
    [WORK_TRASH] = N_ ("“%1$s” was not moved to the trash. %2$s"),
    [WORK_RESTORE] = N_ ("“%1$s” could not be brought back; it is in the trash. %2$s"),
    [WORK_BASELINE] = N_ ("No baseline was made from “%1$s”. %2$s"),
  };
  const gboolean restore = work->kind == WORK_RESTORE && keep_undo (self, work);

  sl_message_show (self->messages, "work", SL_MESSAGE_ERROR, restore ? again : NULL, _ (texts[work->kind]), work->title,
                   error->message);
}

static void
report_trashed (SlShelfWindow *self, const Work *work)
{
  const SlMessageButton buttons[] = { { _ ("Undo"), "win.undo-trash" }, { NULL } };

  sl_message_show (self->messages, "work", SL_MESSAGE_NOTICE, keep_undo (self, work) ? buttons : NULL,
                   _ ("“%s” was moved to the trash."), work->title);
}

static void
report_copied (SlShelfWindow *self, const Work *work)
{
  g_autofree char *names = sl_shown_names (work->left);

  if (names != NULL)
    sl_message_show (self->messages, "work", SL_MESSAGE_WARNING, NULL,
                     /* Translators: names of files */
                     _ ("“%1$s” was copied without pictures that are not in its folder, or can't be read: %2$s."),
                     work->title, names);
}

static void
report_baseline (SlShelfWindow *self, const Work *work)
{
  g_autofree char *text =
      work->taken == 1
          ? g_strdup_printf (_ ("A baseline was made from “%s”."), work->title)
          /* Translators: %1$d is at least 2 */
          : g_strdup_printf (_ ("A baseline was made from %1$d instruments like “%2$s”."), work->taken, work->title);

  say (self, SL_MESSAGE_NOTICE, text);
}

static void
on_worked (GObject *source, GAsyncResult *result, gpointer data)
{
  SlShelfWindow *self = SL_SHELF_WINDOW (source);
  const Work *work = g_task_get_task_data (G_TASK (result));
  g_autoptr (GError) error = NULL;

  if (self->model == NULL) /* closed meanwhile; the work is done anyway */
    return;
  if (!g_task_propagate_boolean (G_TASK (result), &error))
    {
      report_failure (self, work, error);
      return;
    }
  if (work->kind == WORK_TRASH)
    report_trashed (self, work);
  else if (work->kind == WORK_DUPLICATE)
    report_copied (self, work);
  else if (work->kind == WORK_BASELINE)
    report_baseline (self, work);
  if (work->result != NULL)
    {
      g_autofree char *name = g_file_get_basename (work->result);

      sl_shelf_table_choose (self->table, name);
      sl_shelf_model_look_at (self->model, work->result);
    }
  sl_shelf_model_look_at (self->model, work->file);
}

static void
start (SlShelfWindow *self, Work *work)
{
  sl_run_in_thread (self, NULL, work_in_thread, work, (GDestroyNotify) work_free, on_worked, NULL);
}

/* ---- the chosen profile ---- */

static Work *
work_on_chosen (SlShelfWindow *self, WorkKind kind)
{
  Work *work = g_new0 (Work, 1);

  work->kind = kind;
  work->file = sl_shelf_window_dup_chosen_file (self);
  work->title = g_strdup (self->item->title);
  return work;
}

/* Somebody else has the file open, by what the shelf last saw. TRUE: that is asked about first. */
static gboolean
warn_in_use (SlShelfWindow *self, Work *work)
{
  const SlMessageButton buttons[] = {
    { work->kind == WORK_TRASH ? _ ("Move to trash anyway") : _ ("Rename anyway"), "win.work-anyway" }, { NULL }
  };
  g_autofree char *name = g_file_get_basename (work->file);
  SlShelfItem *item = g_hash_table_lookup (self->model->by_name, name);

  if (work->anyway || item == NULL || item->in_use == NULL || item->left_open)
    return FALSE;
  sl_message_show (self->messages, "work", SL_MESSAGE_WARNING, buttons,
                   /* Translators: %1$s a profile, %2$s as in "open: N. N. on bench-two, since 9 Feb 10:04" */
                   _ ("“%1$s” is %2$s. What is worked on there could then be saved only under another name."),
                   work->title, item->in_use);
  work->anyway = TRUE;
  g_object_set_data_full (G_OBJECT (self), "work-anyway", work, (GDestroyNotify) work_free);
  return TRUE;
}

static void
on_id_known (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (Work) work = data;
  g_autoptr (SlShelfWindow) self = g_steal_pointer (&work->window);
  g_autoptr (GFile) chosen = NULL;
  g_autoptr (GFileInfo) info = g_file_query_info_finish (G_FILE (source), result, NULL);
  const char *id = info != NULL ? g_file_info_get_attribute_string (info, G_FILE_ATTRIBUTE_ID_FILE) : NULL;

  if (g_cancellable_is_cancelled (self->cancellable)) /* closed meanwhile */
    return;
  chosen = sl_shelf_window_dup_chosen_file (self);
  if (sl_window_showing (gtk_window_get_application (GTK_WINDOW (self)), work->file, id) != NULL)
    say (self, SL_MESSAGE_WARNING, _ ("This profile is open in a window. Close it there first."));
  else if (warn_in_use (self, work))
    work = NULL; /* kept for the button */
  else if (work->kind == WORK_TRASH)
    start (self, g_steal_pointer (&work));
  else if (chosen != NULL && g_file_equal (chosen, work->file))
    sl_shelf_side_ask_name (self);
}

/* A profile lying on a bench is named and kept there; changing its file from here would only make that bench's save
 * fail. It may lie there by another path. */
static void
on_unless_on_bench (GtkWidget *widget, const char *action, GVariant *parameter)
{
  SlShelfWindow *self = SL_SHELF_WINDOW (widget);
  Work *work = g_str_equal (action, "win.work-anyway")
                   ? g_object_steal_data (G_OBJECT (self), "work-anyway")
                   : work_on_chosen (self, g_str_equal (action, "win.trash") ? WORK_TRASH : WORK_RENAME);

  if (work == NULL)
    return;
  sl_message_withdraw (self->messages, "work");
  work->window = g_object_ref (self);
  g_file_query_info_async (work->file, G_FILE_ATTRIBUTE_ID_FILE, G_FILE_QUERY_INFO_NONE, G_PRIORITY_DEFAULT,
                           self->cancellable, on_id_known, work);
}

static void
on_open (GtkWidget *widget, const char *action, GVariant *parameter)
{
  SlShelfWindow *self = SL_SHELF_WINDOW (widget);
  g_autoptr (GFile) file = sl_shelf_window_dup_chosen_file (self);
  g_autofree char *text = NULL;

  if (self->item->entry->fault == NULL)
    {
      sl_window_show_file (gtk_window_get_application (GTK_WINDOW (self)), file, NULL);
      return;
    }
  text = g_strdup_printf (_ ("“%s” can't be opened: %s"), self->item->title, self->item->note);
  say (self, SL_MESSAGE_ERROR, text);
}

static void
on_duplicate (GtkWidget *widget, const char *action, GVariant *parameter)
{
  start (SL_SHELF_WINDOW (widget), work_on_chosen (SL_SHELF_WINDOW (widget), WORK_DUPLICATE));
}

void
sl_shelf_window_rename (SlShelfWindow *self, const char *label, const char *stem)
{
  Work *work = work_on_chosen (self, WORK_RENAME);

  work->label = g_strdup (label);
  work->stem = g_strdup (stem);
  start (self, work);
}

static void
on_undo_trash (GtkWidget *widget, const char *action, GVariant *parameter)
{
  Work *undo = g_object_steal_data (G_OBJECT (widget), "undo-trash");

  if (undo != NULL)
    start (SL_SHELF_WINDOW (widget), undo);
}

/* ---- baselines ---- */

/* Of the chosen one, or of all instruments of its model. */
static void
on_baseline (GtkWidget *widget, const char *action, GVariant *parameter)
{
  SlShelfWindow *self = SL_SHELF_WINDOW (widget);
  const SlShelfEntry *chosen = self->item->entry;
  GListModel *list = G_LIST_MODEL (self->model->items);
  const gboolean whole_model = g_str_equal (action, "win.baseline-model");
  Work *work = work_on_chosen (self, WORK_BASELINE);

  work->others = g_ptr_array_new_with_free_func (g_object_unref);
  for (guint i = 0; whole_model && i < g_list_model_get_n_items (list); i++)
    {
      g_autoptr (SlShelfItem) item = g_list_model_get_item (list, i);
      const SlShelfEntry *entry = item->entry;

      if (entry != chosen && entry->fault == NULL && entry->kind == SL_KIND_INSTRUMENT && *chosen->model != '\0' &&
          g_strcmp0 (chosen->model, entry->model) == 0 && g_strcmp0 (chosen->maker, entry->maker) == 0)
        g_ptr_array_add (work->others, g_file_get_child (self->model->folder, entry->name));
    }
  start (self, work);
}

/* ---- what a new instrument is begun from ---- */

static void
on_baseline_read (GObject *source, GAsyncResult *result, gpointer data)
{
  SlShelfWindow *self = SL_SHELF_WINDOW (source);
  g_autoptr (GError) error = NULL;
  g_autoptr (SlProfile) profile = sl_read_profile_finish (result, &error);
  SlWindow *window;

  if (profile == NULL)
    {
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        say (self, SL_MESSAGE_ERROR, error->message);
      return;
    }
  window = sl_window_new (gtk_window_get_application (GTK_WINDOW (self)));
  /* Shown first: of a window that is filled while hidden, GTK 4.8 tells assistive technology that the whole program has
   * gone. */
  gtk_window_present (GTK_WINDOW (window));
  sl_window_put_on_bench (window, sl_instrument_from_baseline (profile));
}

/* From a baseline, which the new instrument then names as its own; from an instrument, whose baseline, if any, is taken
 * over with its construction. @parameter is a file's name in the folder, NULL for the chosen one. */
static void
on_begin_from (GtkWidget *widget, const char *action, GVariant *parameter)
{
  SlShelfWindow *self = SL_SHELF_WINDOW (widget);
  const char *name = parameter != NULL ? g_variant_get_bytestring (parameter) : self->item->entry->name;
  g_autoptr (GFile) file = g_file_get_child (self->model->folder, name);

  sl_read_profile_async (self, file, self->cancellable, on_baseline_read);
}

static int
by_title (gconstpointer a, gconstpointer b)
{
  return sl_shelf_item_compare (*(SlShelfItem *const *) a, *(SlShelfItem *const *) b, SL_SHELF_COLUMN_LABEL);
}

void
sl_shelf_window_list_baselines (SlShelfWindow *self)
{
  GListModel *list = G_LIST_MODEL (self->model->items);
  g_autoptr (GPtrArray) baselines = g_ptr_array_new_with_free_func (g_object_unref);

  for (guint i = 0; i < g_list_model_get_n_items (list); i++)
    {
      g_autoptr (SlShelfItem) item = g_list_model_get_item (list, i);
      const SlShelfEntry *entry = item->entry;

      if (entry->fault == NULL && entry->kind == SL_KIND_BASELINE)
        g_ptr_array_add (baselines, g_steal_pointer (&item));
    }
  g_ptr_array_sort (baselines, by_title);
  g_menu_remove_all (self->shop_baselines);
  SL_EACH_OF (SlShelfItem, item, baselines)
    {
      g_autoptr (GMenuItem) choice = g_menu_item_new (NULL, NULL);
      g_autoptr (GString) label = g_string_new (item->title);

      g_string_replace (label, "_", "__", 0); /* no mnemonic: it is somebody's text */
      g_menu_item_set_label (choice, label->str);
      g_menu_item_set_action_and_target_value (choice, "win.begin-from-named",
                                               g_variant_new_bytestring (item->entry->name));
      g_menu_append_item (self->shop_baselines, choice);
    }
}

/* ---- the folder ---- */

static void
on_folder_chosen (gpointer self, GListModel *folders)
{
  g_autoptr (GFile) folder = g_list_model_get_item (folders, 0);

  sl_shelf_window_open_folder (self, folder, TRUE);
}

static void
on_choose_folder (GtkWidget *widget, const char *action, GVariant *parameter)
{
  sl_choose_files (widget, _ ("Choose the shelf's folder"), GTK_FILE_CHOOSER_ACTION_SELECT_FOLDER, _ ("_Choose"),
                   SL_SHELF_WINDOW (widget)->model->folder, on_folder_chosen);
}

static void
on_own_shelf (GtkWidget *widget, const char *action, GVariant *parameter)
{
  g_autoptr (GFile) own = sl_own_shelf_folder ();

  sl_shelf_window_open_folder (SL_SHELF_WINDOW (widget), own, TRUE);
}

static void
on_reload (GtkWidget *widget, const char *action, GVariant *parameter)
{
  SlShelfWindow *self = SL_SHELF_WINDOW (widget);
  g_autoptr (GFile) folder = g_object_ref (self->model->folder);

  sl_shelf_window_open_folder (self, folder, FALSE);
}

static void
on_stop (GtkWidget *widget, const char *action, GVariant *parameter)
{
  if (!sl_shelf_window_stop_archive (SL_SHELF_WINDOW (widget)))
    sl_shelf_model_stop (SL_SHELF_WINDOW (widget)->model);
}

static void
on_show_all (GtkWidget *widget, const char *action, GVariant *parameter)
{
  SlShelfWindow *self = SL_SHELF_WINDOW (widget);

  gtk_editable_set_text (GTK_EDITABLE (self->search), "");
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->kinds), SL_SHELF_ALL);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->visits), SL_SHELF_ANY_VISIT);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->ages), 0);
  gtk_widget_grab_focus (self->search);
}

static void
on_find (GtkWidget *widget, const char *action, GVariant *parameter)
{
  gtk_widget_grab_focus (SL_SHELF_WINDOW (widget)->search);
}

/* ---- all of them ---- */

static const struct
{
  const char *name, *parameter_type;
  GtkWidgetActionActivateFunc activate;
  enum
  {
    ALWAYS,
    ON_CHOSEN,
    ON_SOUND, /* a chosen profile that can be read */
    ON_TWIN   /* one with another file of the same instrument */
  } enabled;
} actions[] = {
  { "win.open-chosen", NULL, on_open, ON_CHOSEN },
  { "win.begin-from", NULL, on_begin_from, ON_SOUND },
  { "win.begin-from-named", "ay", on_begin_from, ALWAYS },
  { "win.baseline-one", NULL, on_baseline, ON_SOUND },
  { "win.baseline-model", NULL, on_baseline, ON_SOUND },
  { "win.duplicate", NULL, on_duplicate, ON_SOUND },
  { "win.merge-twin", NULL, sl_shelf_window_merge_twins, ON_TWIN },
  { "win.merge-named", "s", sl_shelf_window_merge_twins, ALWAYS },
  { "win.rename", NULL, on_unless_on_bench, ON_CHOSEN },
  { "win.trash", NULL, on_unless_on_bench, ON_CHOSEN },
  { "win.work-anyway", NULL, on_unless_on_bench, ALWAYS },
  { "win.undo-trash", NULL, on_undo_trash, ALWAYS },
  { "win.choose-folder", NULL, on_choose_folder, ALWAYS },
  { "win.own-shelf", NULL, on_own_shelf, ALWAYS },
  { "win.reload", NULL, on_reload, ALWAYS },
  { "win.export", NULL, sl_shelf_window_choose_archive, ALWAYS },
  { "win.import", NULL, sl_shelf_window_choose_archive, ALWAYS },
  { "win.stop", NULL, on_stop, ALWAYS },
  { "win.show-all", NULL, on_show_all, ALWAYS },
  { "win.find", NULL, on_find, ALWAYS },
};

void
sl_shelf_window_refresh_actions (SlShelfWindow *self)
{
  const gboolean sound = self->item != NULL && self->item->entry->fault == NULL;
  const gboolean on[] = { TRUE, self->item != NULL, sound, sound && self->item->twin != NULL };

  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    if (actions[i].enabled != ALWAYS)
      gtk_widget_action_set_enabled (GTK_WIDGET (self), actions[i].name, on[actions[i].enabled]);
}

void
sl_shelf_window_class_add_actions (GtkWidgetClass *class)
{
  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    gtk_widget_class_install_action (class, actions[i].name, actions[i].parameter_type, actions[i].activate);
  gtk_widget_class_add_binding_action (class, GDK_KEY_f, GDK_CONTROL_MASK, "win.find", NULL);
  gtk_widget_class_add_binding_action (class, GDK_KEY_r, GDK_CONTROL_MASK, "win.reload", NULL);
  gtk_widget_class_add_binding_action (class, GDK_KEY_F2, 0, "win.rename", NULL);
}

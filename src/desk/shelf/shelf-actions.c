/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/shelf/shelf-window-private.h"

#include "bench/settings.h"
#include "desk/window/window.h"
#include "file/shelf-work.h"
#include "setup/record/baseline.h"

#include <glib/gi18n-lib.h>

#define MESSAGE_WORK "work"

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
  GFile *file, *folder, *result;
  char *title, *label, *stem;
  GPtrArray *files; /* of a baseline: the instruments */
  GBytes *bytes;
  int taken; /* how many of them stand in it */
} Work;

static void
work_free (gpointer data)
{
  Work *work = data;

  g_clear_object (&work->file);
  g_clear_object (&work->folder);
  g_clear_object (&work->result);
  g_clear_pointer (&work->files, g_ptr_array_unref);
  g_clear_pointer (&work->bytes, g_bytes_unref);
  g_free (work->title);
  g_free (work->label);
  g_free (work->stem);
  g_free (work);
}

static GFile *
make_baseline (Work *work, GCancellable *cancellable, GError **error)
{
  g_autoptr (GPtrArray) profiles = g_ptr_array_new_with_free_func ((GDestroyNotify) sl_profile_free);
  g_autoptr (SlProfile) baseline = NULL;

  for (guint i = 0; i < work->files->len; i++)
    {
      /* the first is the one that was chosen; another that went bad meanwhile is left out */
      SlProfile *profile =
          sl_document_read (g_ptr_array_index (work->files, i), NULL, NULL, cancellable, i == 0 ? error : NULL);

      if (profile != NULL)
        g_ptr_array_add (profiles, profile);
      else if (i == 0)
        return NULL;
    }
  baseline = sl_baseline_new ((const SlProfile *const *) profiles->pdata, (int) profiles->len, &work->taken);
  return sl_shelf_add (work->folder, baseline, baseline->identity.label, cancellable, error);
}

static void
work_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Work *work = data;
  GError *error = NULL;

  switch (work->kind)
    {
    case WORK_DUPLICATE: work->result = sl_shelf_duplicate (work->file, cancellable, &error); break;
    case WORK_RENAME: work->result = sl_shelf_rename (work->file, work->label, work->stem, cancellable, &error); break;
    case WORK_TRASH: sl_shelf_trash (work->file, &work->bytes, cancellable, &error); break;
    case WORK_RESTORE:
      if (sl_shelf_restore (work->file, work->bytes, cancellable, &error))
        work->result = g_object_ref (work->file);
      break;
    case WORK_BASELINE: work->result = make_baseline (work, cancellable, &error); break;
    }
  if (error != NULL)
    g_task_return_error (task, error);
  else
    g_task_return_boolean (task, TRUE);
}

static void
report_failure (SlShelfWindow *self, const Work *work, const GError *error)
{
  static const char *const texts[] = {
    /* Translators: %1$s a profile, %2$s why */
    [WORK_DUPLICATE] = N_ ("“%1$s” could not be copied. %2$s"),
    [WORK_RENAME] = N_ ("“%1$s” keeps its name. %2$s"),
    [WORK_TRASH] = N_ ("“%1$s” was not moved to the trash. %2$s"),
    [WORK_RESTORE] = N_ ("“%1$s” could not be brought back; it is in the trash. %2$s"),
    [WORK_BASELINE] = N_ ("No baseline was made from “%1$s”. %2$s"),
  };
  g_autofree char *text = g_strdup_printf (_ (texts[work->kind]), work->title, error->message);

  sl_shelf_window_say (self, MESSAGE_WORK, SL_MESSAGE_ERROR, text, NULL);
}

static void
report_trashed (SlShelfWindow *self, Work *work)
{
  const SlMessageButton buttons[] = { { _ ("Undo"), "win.undo-trash" }, { NULL } };
  g_autofree char *text = g_strdup_printf (_ ("“%s” was moved to the trash."), work->title);

  g_set_object (&self->trashed, work->file);
  g_clear_pointer (&self->trashed_bytes, g_bytes_unref);
  self->trashed_bytes = g_steal_pointer (&work->bytes);
  sl_shelf_window_say (self, MESSAGE_WORK, SL_MESSAGE_NOTICE, text, self->trashed_bytes != NULL ? buttons : NULL);
}

static void
report_baseline (SlShelfWindow *self, const Work *work)
{
  g_autofree char *text =
      work->taken == 1
          ? g_strdup_printf (_ ("A baseline was made from “%s”."), work->title)
          /* Translators: %1$d is at least 2 */
          : g_strdup_printf (_ ("A baseline was made from %1$d instruments like “%2$s”."), work->taken, work->title);

  sl_shelf_window_say (self, MESSAGE_WORK, SL_MESSAGE_NOTICE, text, NULL);
}

static void
on_worked (GObject *source, GAsyncResult *result, gpointer data)
{
  SlShelfWindow *self = SL_SHELF_WINDOW (source);
  Work *work = g_task_get_task_data (G_TASK (result));
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
  else if (work->kind == WORK_BASELINE)
    report_baseline (self, work);
  if (work->result != NULL)
    {
      g_autofree char *name = g_file_get_basename (work->result);

      sl_shelf_table_choose (self->table, name);
      sl_shelf_model_look_at (self->model, work->result);
    }
  if (work->file != NULL)
    sl_shelf_model_look_at (self->model, work->file);
}

static void
start (SlShelfWindow *self, Work *work)
{
  g_autoptr (GTask) task = g_task_new (self, NULL, on_worked, NULL);

  g_task_set_task_data (task, work, work_free);
  g_task_run_in_thread (task, work_in_thread);
}

/* ---- the chosen profile ---- */

static Work *
work_on_chosen (SlShelfWindow *self, WorkKind kind)
{
  SlShelfItem *item = sl_shelf_table_get_chosen (self->table);
  Work *work = g_new0 (Work, 1);

  work->kind = kind;
  work->file = sl_shelf_window_dup_chosen_file (self);
  work->folder = g_object_ref (sl_shelf_model_get_folder (self->model));
  work->title = g_strdup (sl_shelf_item_get_title (item));
  return work;
}

static gboolean
is_on_bench (SlShelfWindow *self, GFile *file, const char *id)
{
  if (sl_window_showing (gtk_window_get_application (GTK_WINDOW (self)), file, id) == NULL)
    return FALSE;
  sl_shelf_window_say (self, MESSAGE_WORK, SL_MESSAGE_WARNING,
                       _ ("This profile is open in a window. Close it there first."), NULL);
  return TRUE;
}

/* Work that waits until it is known which file that is. */
typedef struct
{
  SlShelfWindow *self;
  Work *work;
} Asked;

static void
on_id_known (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autofree Asked *asked = data;
  g_autoptr (SlShelfWindow) self = asked->self;
  g_autoptr (GFile) chosen = NULL;
  g_autoptr (GFileInfo) info = g_file_query_info_finish (G_FILE (source), result, NULL);
  Work *work = asked->work;

  if (self->model == NULL ||
      is_on_bench (self, work->file,
                   info == NULL ? NULL : g_file_info_get_attribute_string (info, G_FILE_ATTRIBUTE_ID_FILE)))
    {
      work_free (work);
      return;
    }
  if (work->kind == WORK_TRASH)
    {
      start (self, work);
      return;
    }
  chosen = sl_shelf_window_dup_chosen_file (self);
  if (chosen != NULL && g_file_equal (chosen, work->file))
    sl_shelf_side_ask_name (self->side);
  work_free (work);
}

/* A profile lying on a bench is named and kept there; changing its file from here would only make that bench's save
 * fail. It may lie there by another path. */
static void
start_unless_on_bench (SlShelfWindow *self, WorkKind kind)
{
  Asked *asked = g_new (Asked, 1);

  *asked = (Asked){ g_object_ref (self), work_on_chosen (self, kind) };
  g_file_query_info_async (asked->work->file, G_FILE_ATTRIBUTE_ID_FILE, G_FILE_QUERY_INFO_NONE, G_PRIORITY_DEFAULT,
                           self->cancellable, on_id_known, asked);
}

static void
on_open (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlShelfWindow *self = data;
  SlShelfItem *item = sl_shelf_table_get_chosen (self->table);
  g_autoptr (GFile) file = sl_shelf_window_dup_chosen_file (self);

  if (item == NULL)
    return;
  if (sl_shelf_item_get_entry (item)->fault != NULL)
    {
      g_autofree char *text = g_strdup_printf (_ ("“%s” can't be opened: %s"), sl_shelf_item_get_title (item),
                                               sl_shelf_item_get_note (item));

      sl_shelf_window_say (self, MESSAGE_WORK, SL_MESSAGE_ERROR, text, NULL);
      return;
    }
  sl_window_show_file (gtk_window_get_application (GTK_WINDOW (self)), file, NULL);
}

static void
on_duplicate (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  start (data, work_on_chosen (data, WORK_DUPLICATE));
}

static void
on_rename (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  start_unless_on_bench (data, WORK_RENAME);
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
on_trash (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  start_unless_on_bench (data, WORK_TRASH);
}

static void
on_undo_trash (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlShelfWindow *self = data;
  Work *work;
  g_autofree char *name = NULL;

  if (self->trashed == NULL || self->trashed_bytes == NULL)
    return;
  work = g_new0 (Work, 1);
  name = g_file_get_basename (self->trashed);
  work->kind = WORK_RESTORE;
  work->file = g_object_ref (self->trashed);
  work->bytes = g_bytes_ref (self->trashed_bytes);
  work->title = g_filename_display_name (name);
  start (self, work);
}

/* ---- baselines ---- */

static gboolean
same_model (const SlShelfEntry *a, const SlShelfEntry *b)
{
  return b->fault == NULL && b->kind == SL_KIND_INSTRUMENT && *a->model != '\0' &&
         g_strcmp0 (a->model, b->model) == 0 && g_strcmp0 (a->maker, b->maker) == 0;
}

static void
start_baseline (SlShelfWindow *self, gboolean whole_model)
{
  const SlShelfEntry *chosen = sl_shelf_item_get_entry (sl_shelf_table_get_chosen (self->table));
  GListModel *list = sl_shelf_model_get_list (self->model);
  Work *work = work_on_chosen (self, WORK_BASELINE);

  work->files = g_ptr_array_new_with_free_func (g_object_unref);
  g_ptr_array_add (work->files, g_steal_pointer (&work->file));
  for (guint i = 0; whole_model && i < g_list_model_get_n_items (list); i++)
    {
      g_autoptr (SlShelfItem) item = g_list_model_get_item (list, i);
      const SlShelfEntry *entry = sl_shelf_item_get_entry (item);

      if (entry != chosen && same_model (chosen, entry))
        g_ptr_array_add (work->files, g_file_get_child (work->folder, entry->name));
    }
  start (self, work);
}

static void
on_baseline_one (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  start_baseline (data, FALSE);
}

static void
on_baseline_model (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  start_baseline (data, TRUE);
}

/* From a baseline, which the new instrument then names as its own; from an instrument, whose baseline, if any, is taken
 * over with its construction. */
static void
on_begin_from (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  g_autoptr (GFile) file = sl_shelf_window_dup_chosen_file (data);

  sl_shelf_window_begin_from (data, file);
}

static void
on_new (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlShelfWindow *self = data;

  sl_shelf_window_suggest_folder (self);
  g_action_group_activate_action (G_ACTION_GROUP (gtk_window_get_application (GTK_WINDOW (self))), "new", NULL);
}

/* ---- the folder ---- */

static void
on_folder_response (GtkNativeDialog *dialog, int response, gpointer data)
{
  SlShelfWindow *self = data;
  g_autoptr (GFile) folder =
      response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog)) : NULL;

  if (folder != NULL)
    sl_shelf_window_open_folder (self, folder, TRUE);
  g_clear_object (&self->chooser);
}

static void
on_choose_folder (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlShelfWindow *self = data;

  g_clear_object (&self->chooser);
  self->chooser = gtk_file_chooser_native_new (_ ("Choose the shelf's folder"), GTK_WINDOW (self),
                                               GTK_FILE_CHOOSER_ACTION_SELECT_FOLDER, _ ("_Choose"), _ ("_Cancel"));
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->chooser), TRUE);
  gtk_file_chooser_set_file (GTK_FILE_CHOOSER (self->chooser), sl_shelf_model_get_folder (self->model), NULL);
  g_signal_connect_object (self->chooser, "response", G_CALLBACK (on_folder_response), self, 0);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

static void
on_own_shelf (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  g_autoptr (GFile) own = NULL;

  sl_settings_set (SL_SETTING_SHELF_FOLDER, g_variant_new_string (""));
  own = g_file_new_build_filename (g_get_user_data_dir (), "sidelong", "shelf", NULL);
  sl_shelf_window_open_folder (data, own, TRUE);
}

static void
on_reload (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlShelfWindow *self = data;
  g_autoptr (GFile) folder = g_object_ref (sl_shelf_model_get_folder (self->model));

  sl_shelf_window_open_folder (self, folder, FALSE);
}

static void
on_stop (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  sl_shelf_model_stop (SL_SHELF_WINDOW (data)->model);
}

static void
on_show_all (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlShelfWindow *self = data;

  gtk_editable_set_text (GTK_EDITABLE (self->search), "");
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->kinds), SL_SHELF_ALL);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->visits), SL_SHELF_ANY_VISIT);
  gtk_widget_grab_focus (self->search);
}

static void
on_find (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  gtk_widget_grab_focus (SL_SHELF_WINDOW (data)->search);
}

static const GActionEntry actions[] = {
  { .name = "open-chosen", .activate = on_open },
  { .name = "begin-from", .activate = on_begin_from },
  { .name = "baseline-one", .activate = on_baseline_one },
  { .name = "baseline-model", .activate = on_baseline_model },
  { .name = "duplicate", .activate = on_duplicate },
  { .name = "rename", .activate = on_rename },
  { .name = "trash", .activate = on_trash },
  { .name = "undo-trash", .activate = on_undo_trash },
  { .name = "new", .activate = on_new },
  { .name = "choose-folder", .activate = on_choose_folder },
  { .name = "own-shelf", .activate = on_own_shelf },
  { .name = "reload", .activate = on_reload },
  { .name = "stop", .activate = on_stop },
  { .name = "show-all", .activate = on_show_all },
  { .name = "find", .activate = on_find },
};

void
sl_shelf_window_refresh_actions (SlShelfWindow *self)
{
  static const char *const of_sound[] = { "begin-from", "baseline-one", "baseline-model", "duplicate" };
  static const char *const of_any[] = { "open-chosen", "rename", "trash" };
  SlShelfItem *item = sl_shelf_table_get_chosen (self->table);
  gboolean sound = item != NULL && sl_shelf_item_get_entry (item)->fault == NULL;

  for (guint i = 0; i < G_N_ELEMENTS (of_any); i++)
    g_simple_action_set_enabled (G_SIMPLE_ACTION (g_action_map_lookup_action (G_ACTION_MAP (self), of_any[i])),
                                 item != NULL);
  for (guint i = 0; i < G_N_ELEMENTS (of_sound); i++)
    g_simple_action_set_enabled (G_SIMPLE_ACTION (g_action_map_lookup_action (G_ACTION_MAP (self), of_sound[i])),
                                 sound);
}

static void
add_key (GtkEventController *controller, guint key, GdkModifierType modifiers, const char *action)
{
  gtk_shortcut_controller_add_shortcut (
      GTK_SHORTCUT_CONTROLLER (controller),
      gtk_shortcut_new (gtk_keyval_trigger_new (key, modifiers), gtk_named_action_new (action)));
}

void
sl_shelf_window_add_actions (SlShelfWindow *self)
{
  GtkEventController *keys = gtk_shortcut_controller_new (), *table_keys = gtk_shortcut_controller_new ();

  g_action_map_add_action_entries (G_ACTION_MAP (self), actions, G_N_ELEMENTS (actions), self);
  gtk_shortcut_controller_set_scope (GTK_SHORTCUT_CONTROLLER (keys), GTK_SHORTCUT_SCOPE_GLOBAL);
  add_key (keys, GDK_KEY_f, GDK_CONTROL_MASK, "win.find");
  add_key (keys, GDK_KEY_r, GDK_CONTROL_MASK, "win.reload");
  add_key (keys, GDK_KEY_F2, 0, "win.rename");
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  /* not while something is typed */
  add_key (table_keys, GDK_KEY_Delete, 0, "win.trash");
  gtk_widget_add_controller (self->scroller, table_keys);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a new instrument is begun from: the baselines on the shelf, and the starting profiles, which are the built-in
 * ones. */
#include "desk/shelf/shelf-window-private.h"

#include "bench/read-profile.h"
#include "bench/settings.h"
#include "bench/starting.h"
#include "desk/kit/util.h"
#include "desk/window/window.h"
#include "setup/record/baseline.h"

#include <glib/gi18n-lib.h>

#define MESSAGE_BEGIN "work"

void
sl_shelf_window_suggest_folder (SlShelfWindow *self)
{
  g_autofree char *uri = g_file_get_uri (sl_shelf_model_get_folder (self->model));

  sl_settings_set (SL_SETTING_RECENT_FOLDER, g_variant_new_string (uri));
}

static void
on_baseline_read (GObject *source, GAsyncResult *result, gpointer data)
{
  SlShelfWindow *self = SL_SHELF_WINDOW (source);
  GtkApplication *app = gtk_window_get_application (GTK_WINDOW (self));
  g_autoptr (GError) error = NULL;
  g_autoptr (SlProfile) profile = sl_read_profile_finish (result, &error);
  SlWindow *window;

  if (profile == NULL)
    {
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        sl_shelf_window_say (self, MESSAGE_BEGIN, SL_MESSAGE_ERROR, error->message, NULL);
      return;
    }
  sl_shelf_window_suggest_folder (self);
  window = sl_window_new (app);
  /* Shown first: of a window that is filled while hidden, GTK 4.8 tells assistive technology that the whole program has
   * gone. */
  gtk_window_present (GTK_WINDOW (window));
  sl_window_put_on_bench (window, sl_instrument_from_baseline (profile));
}

void
sl_shelf_window_begin_from (SlShelfWindow *self, GFile *file)
{
  sl_read_profile_async (self, file, self->cancellable, on_baseline_read);
}

/* The parameter is a file's name in the folder. */
static void
on_begin_from_named (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlShelfWindow *self = data;
  g_autoptr (GFile) file =
      g_file_get_child (sl_shelf_model_get_folder (self->model), g_variant_get_bytestring (parameter));

  sl_shelf_window_begin_from (self, file);
}

static void
on_begin_from_built_in (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  SlShelfWindow *self = data;

  sl_shelf_window_suggest_folder (self);
  g_action_group_activate_action (G_ACTION_GROUP (gtk_window_get_application (GTK_WINDOW (self))), "new-from",
                                  parameter);
}

/* ---- the menu ---- */

static int
by_title (gconstpointer a, gconstpointer b)
{
  return sl_shelf_item_compare (*(SlShelfItem *const *) a, *(SlShelfItem *const *) b, SL_SHELF_COLUMN_LABEL);
}

static GPtrArray *
find_baselines (SlShelfWindow *self)
{
  GListModel *list = sl_shelf_model_get_list (self->model);
  GPtrArray *found = g_ptr_array_new_with_free_func (g_object_unref);

  for (guint i = 0; i < g_list_model_get_n_items (list); i++)
    {
      g_autoptr (SlShelfItem) item = g_list_model_get_item (list, i);
      const SlShelfEntry *entry = sl_shelf_item_get_entry (item);

      if (entry->fault == NULL && entry->kind == SL_KIND_BASELINE)
        g_ptr_array_add (found, g_steal_pointer (&item));
    }
  g_ptr_array_sort (found, by_title);
  return found;
}

static void
append (GMenu *menu, const char *title, const char *action, GVariant *target)
{
  g_autoptr (GMenuItem) item = g_menu_item_new (NULL, NULL);
  g_autoptr (GString) label = g_string_new (title);

  g_string_replace (label, "_", "__", 0); /* no mnemonic: it is somebody's text */
  g_menu_item_set_label (item, label->str);
  g_menu_item_set_action_and_target_value (item, action, target);
  g_menu_append_item (menu, item);
}

static void
fill_menu (SlShelfWindow *self)
{
  g_autoptr (GPtrArray) baselines = find_baselines (self);

  g_menu_remove_all (self->shop_baselines);
  for (guint i = 0; i < baselines->len; i++)
    {
      SlShelfItem *item = g_ptr_array_index (baselines, i);

      append (self->shop_baselines, sl_shelf_item_get_title (item), "win.begin-from-named",
              g_variant_new_bytestring (sl_shelf_item_get_entry (item)->name));
    }
}

void
sl_shelf_window_add_baselines (SlShelfWindow *self)
{
  static const GActionEntry actions[] = {
    { .name = "begin-from-named", .activate = on_begin_from_named, .parameter_type = "ay" },
    { .name = "begin-from-built-in", .activate = on_begin_from_built_in, .parameter_type = "s" },
  };
  g_autoptr (GMenu) menu = g_menu_new (), built_in = g_menu_new ();

  g_action_map_add_action_entries (G_ACTION_MAP (self), actions, G_N_ELEMENTS (actions), self);
  self->shop_baselines = g_menu_new ();
  for (guint i = 0; sl_starting_names[i] != NULL; i++)
    append (built_in, _ (sl_starting_titles[i]), "win.begin-from-built-in",
            g_variant_new_string (sl_starting_names[i]));
  g_menu_append_section (menu, _ ("Baselines on this shelf"), G_MENU_MODEL (self->shop_baselines));
  g_menu_append_section (menu, _ ("Built-in baselines"), G_MENU_MODEL (built_in));
  gtk_menu_button_set_menu_model (GTK_MENU_BUTTON (self->new_from_button), G_MENU_MODEL (menu));
  sl_set_accessible_label (self->new_from_button, _ ("New from"));
  g_signal_connect_object (self->model, "changed", G_CALLBACK (fill_menu), self, G_CONNECT_SWAPPED);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/window/parts.h"

#include "file/shelf.h"

#define SEARCH_KEY "sl-recent-search" /* the latest of its source; only to compare */
#define MOST_ENTRIES 10

static int
later_first (gconstpointer a, gconstpointer b)
{
  return g_date_time_compare (gtk_recent_info_get_visited ((GtkRecentInfo *) b),
                              gtk_recent_info_get_visited ((GtkRecentInfo *) a));
}

char *
sl_recent_name (GtkRecentInfo *info)
{
  return sl_shelf_display_name (gtk_recent_info_get_display_name (info));
}

/* Which of the profiles opened before are still there. */
typedef struct
{
  GPtrArray *infos; /* latest first; only the main thread touches them */
  GPtrArray *paths; /* of each; NULL where it has none, and after the search where nothing is there */
  guint most;
  gboolean missing_too;
} Search;

static void
search_free (Search *search)
{
  g_clear_pointer (&search->infos, g_ptr_array_unref);
  g_ptr_array_unref (search->paths);
  g_free (search);
}

static void
look_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Search *search = data;

  for (guint i = 0, n = 0; i < search->paths->len; i++)
    {
      char **path = (char **) &search->paths->pdata[i];

      if (n < search->most && *path != NULL && (search->missing_too || g_file_test (*path, G_FILE_TEST_EXISTS)))
        n++;
      else
        g_clear_pointer (path, g_free);
    }
  g_task_return_boolean (task, TRUE);
}

void
sl_recent_profiles_async (gpointer source, guint most, gboolean missing_too, GAsyncReadyCallback done)
{
  GList *items = g_list_sort (gtk_recent_manager_get_items (gtk_recent_manager_get_default ()), later_first);
  g_autoptr (GTask) task = g_task_new (source, NULL, done, NULL);
  Search *search = g_new0 (Search, 1);

  search->infos = g_ptr_array_new_with_free_func ((GDestroyNotify) gtk_recent_info_unref);
  search->paths = g_ptr_array_new_with_free_func (g_free);
  search->most = most;
  search->missing_too = missing_too;
  for (GList *l = items; l != NULL; l = l->next)
    if (sl_document_has_name (gtk_recent_info_get_uri (l->data)) ||
        g_strcmp0 (gtk_recent_info_get_mime_type (l->data), SL_DOCUMENT_MEDIA_TYPE) == 0)
      {
        g_ptr_array_add (search->infos, gtk_recent_info_ref (l->data));
        g_ptr_array_add (search->paths, g_filename_from_uri (gtk_recent_info_get_uri (l->data), NULL, NULL));
      }
  g_list_free_full (items, (GDestroyNotify) gtk_recent_info_unref);
  g_object_set_data (source, SEARCH_KEY, task);
  g_task_set_task_data (task, search, (GDestroyNotify) search_free);
  sl_run_task (task, look_in_thread);
}

GPtrArray *
sl_recent_profiles_finish (GAsyncResult *result)
{
  Search *search = g_task_get_task_data (G_TASK (result));
  g_autoptr (GPtrArray) infos = g_steal_pointer (&search->infos);

  if (g_object_get_data (g_task_get_source_object (G_TASK (result)), SEARCH_KEY) != (gpointer) result)
    return NULL;
  for (guint i = infos->len; i-- > 0;)
    if (g_ptr_array_index (search->paths, i) == NULL)
      g_ptr_array_remove_index (infos, i);
  return g_steal_pointer (&infos);
}

static void
on_found (GObject *source, GAsyncResult *result, gpointer data)
{
  GMenu *menu = G_MENU (source);
  g_autoptr (GPtrArray) profiles = sl_recent_profiles_finish (result);

  if (profiles == NULL)
    return;
  g_menu_remove_all (menu);
  SL_EACH_OF (GtkRecentInfo, info, profiles)
    {
      g_autofree char *name = sl_recent_name (info);
      g_auto (GStrv) parts = g_strsplit (name, "_", -1); /* underscores in a file's name are not mnemonics */
      g_autofree char *label = g_strjoinv ("__", parts);
      g_autoptr (GMenuItem) item = g_menu_item_new (label, NULL);

      g_menu_item_set_action_and_target (item, "app.open-recent", "s", gtk_recent_info_get_uri (info));
      g_menu_append_item (menu, item);
    }
  if (profiles->len == 0)
    g_menu_append (menu, _ ("Nothing opened yet"), "app.nothing-recent"); /* no such action: shown greyed */
}

static void
on_changed (GtkRecentManager *manager, gpointer data)
{
  sl_recent_profiles_async (data, MOST_ENTRIES, FALSE, on_found);
}

static gboolean
fill_when_idle (gpointer data)
{
  GtkRecentManager *manager = gtk_recent_manager_get_default ();

  g_signal_connect_object (manager, "changed", G_CALLBACK (on_changed), data, 0);
  on_changed (manager, data);
  return G_SOURCE_REMOVE;
}

GMenu *
sl_recent_menu_new (void)
{
  GMenu *menu = g_menu_new ();

  g_idle_add_full (G_PRIORITY_LOW, fill_when_idle, g_object_ref (menu), g_object_unref);
  return menu;
}

void
sl_recent_add (GFile *file)
{
  g_autofree char *uri = g_file_get_uri (file);
  GtkRecentData data = { .mime_type = (char *) SL_DOCUMENT_MEDIA_TYPE,
                         .app_name = (char *) "Sidelong",
                         .app_exec = (char *) "sidelong %u" };

  gtk_recent_manager_add_full (gtk_recent_manager_get_default (), uri, &data);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The version that a save replaces, kept beside it. */
#include <errno.h>
#include <fcntl.h>
#include <unistd.h>

#include "file/document.h"

#define BEFORE ".before"
#define HELD_ACCESS 0600 /* of a copy: never more than the file's own */

GFile *
sl_before_hold (GFile *file, GError **error)
{
  g_autofree char *name = g_file_get_basename (file), *path = g_file_get_path (file), *own = NULL;
  g_autoptr (GFile) folder = g_file_get_parent (file), held = NULL;
  g_autoptr (GError) inner = NULL;

  own = g_strdup_printf (".%.100s" BEFORE "-%08x", name, g_random_int ());
  held = g_file_get_child (folder, own);
  /* saving puts another file in its place, so that a second name keeps it as it is, with all that belongs to it */
  if (path != NULL && linkat (AT_FDCWD, path, AT_FDCWD, g_file_peek_path (held), AT_SYMLINK_FOLLOW) == 0)
    return g_steal_pointer (&held);
  if (g_file_copy (file, held, G_FILE_COPY_NONE, NULL, NULL, NULL, &inner))
    {
      g_file_set_attribute_uint32 (held, G_FILE_ATTRIBUTE_UNIX_MODE, HELD_ACCESS, G_FILE_QUERY_INFO_NONE, NULL, NULL);
      return g_steal_pointer (&held);
    }
  g_file_delete (held, NULL, NULL); /* half of it */
  if (!g_error_matches (inner, G_IO_ERROR, G_IO_ERROR_NOT_FOUND))
    g_propagate_error (error, g_steal_pointer (&inner));
  return NULL;
}

gboolean
sl_before_settle (GFile *file, GFile *held, gboolean saved, GError **error)
{
  g_autoptr (GFile) taken = held, folder = g_file_get_parent (file), before = NULL;
  g_autofree char *name = g_file_get_basename (file), *kept = g_strconcat (name, BEFORE, NULL);

  before = g_file_get_child (folder, kept);
  if (saved && g_file_move (held, before, G_FILE_COPY_OVERWRITE, NULL, NULL, NULL, error))
    return TRUE;
  g_file_delete (held, NULL, NULL);
  return !saved;
}

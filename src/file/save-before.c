/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The version that a save replaces, kept beside it. */
#include <fcntl.h>
#include <unistd.h>

#include "file/document-private.h"

#define BEFORE ".before"
#define HELD_ACCESS 0600 /* of a copy: never more than the file's own */

/* What is there under a name of its own; NULL: nothing is, or with @error it can't be held. */
static GFile *
hold (GFile *file, GError **error)
{
  g_autofree char *path = g_file_get_path (file);
  g_autoptr (GFile) held = sl_file_beside (file);
  g_autoptr (GError) inner = NULL;

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
sl_document_save_beside (GFile *file, const SlProfile *profile, char **stamp, gboolean overwrite, GError **not_kept,
                         GError **error)
{
  g_autofree char *name = g_file_get_basename (file), *kept = g_strconcat (name, BEFORE, NULL);
  g_autoptr (GFile) held = not_kept != NULL ? hold (file, not_kept) : NULL, folder = g_file_get_parent (file),
                    before = NULL;
  GError *inner = NULL;
  const gboolean saved = sl_document_save (file, profile, stamp, overwrite, NULL, &inner);

  before = g_file_get_child (folder, kept);
  if (held != NULL && (!(saved || g_error_matches (inner, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_UNCERTAIN)) ||
                       !g_file_move (held, before, G_FILE_COPY_OVERWRITE, NULL, NULL, NULL, not_kept)))
    g_file_delete (held, NULL, NULL);
  if (inner != NULL)
    g_propagate_error (error, inner);
  return saved;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file/shelf.h"

#include <unistd.h>

#define MOST_TRIES 10000
#define MOVE_FLAGS (G_FILE_COPY_NO_FALLBACK_FOR_MOVE | G_FILE_COPY_NOFOLLOW_SYMLINKS)
#define MOST_STEM_BYTES 120 /* with its ending and a number well below the 255 bytes most file systems take */

char *
sl_shelf_stem (const char *text)
{
  g_autofree char *valid = g_utf8_make_valid (text, -1);
  GString *stem = g_string_new (NULL);

  for (const char *c = valid; *c != '\0' && stem->len < MOST_STEM_BYTES; c = g_utf8_next_char (c))
    {
      gunichar point = g_utf8_get_char (c);

      /* what Windows shares refuse, besides what every system does; a leading dot would hide the file */
      if (g_unichar_iscntrl (point) || (point < 128 && strchr ("/\\:*?\"<>|", (int) point) != NULL) ||
          (point == '.' && stem->len == 0))
        point = '-';
      g_string_append_unichar (stem, point);
    }
  g_strstrip (stem->str);
  stem->len = strlen (stem->str);
  if (stem->len == 0)
    g_string_append (stem, _ ("instrument"));
  return g_string_free (stem, FALSE);
}

static GFile *
child_named (GFile *folder, const char *stem, int number)
{
  g_autofree char *name = number > 1 ? g_strdup_printf ("%s %d" SL_DOCUMENT_EXTENSION, stem, number)
                                     : g_strconcat (stem, SL_DOCUMENT_EXTENSION, NULL);

  return g_file_get_child (folder, name);
}

static gboolean
is_there (GFile *file)
{
  return g_file_query_file_type (file, G_FILE_QUERY_INFO_NOFOLLOW_SYMLINKS, NULL) != G_FILE_TYPE_UNKNOWN;
}

/* @profile, or where it is NULL @bytes as they are. */
static GFile *
add (GFile *folder, const SlProfile *profile, GBytes *bytes, const char *stem, GCancellable *cancellable,
     GError **error)
{
  g_autofree char *safe = sl_shelf_stem (stem);

  for (int number = 1; number <= MOST_TRIES; number++)
    {
      g_autoptr (GFile) file = child_named (folder, safe, number), pictures = sl_document_photos (file);
      g_autoptr (GError) inner = NULL;

      if (is_there (pictures)) /* somebody else's */
        continue;

      /* without a stamp the file must not be there: nobody else's is replaced, also if it comes at this moment */
      if (profile != NULL ? sl_document_save (file, profile, NULL, FALSE, cancellable, &inner)
                          : sl_file_replace (file, bytes, NULL, FALSE, cancellable, &inner))
        return g_steal_pointer (&file);
      if (!g_error_matches (inner, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_CHANGED))
        {
          g_propagate_error (error, g_steal_pointer (&inner));
          return NULL;
        }
    }
  g_set_error (error, G_IO_ERROR, G_IO_ERROR_EXISTS, _ ("Every name “%s”, with a number or without, is taken"), safe);
  return NULL;
}

GFile *
sl_shelf_add (GFile *folder, const SlProfile *profile, const char *stem, GCancellable *cancellable, GError **error)
{
  return add (folder, profile, NULL, stem, cancellable, error);
}

GFile *
sl_shelf_add_bytes (GFile *folder, GBytes *bytes, const char *stem, GCancellable *cancellable, GError **error)
{
  return add (folder, NULL, bytes, stem, cancellable, error);
}

GFile *
sl_shelf_duplicate (GFile *file, GCancellable *cancellable, GError **error)
{
  g_autoptr (SlProfile) profile = sl_document_read (file, NULL, NULL, cancellable, error);
  g_autoptr (GFile) folder = g_file_get_parent (file);
  g_autofree char *name = g_file_get_basename (file), *stem = sl_shelf_display_name (name), *label = NULL;

  if (profile == NULL)
    return NULL;
  g_free (profile->id);
  profile->id = g_uuid_string_random ();
  /* Translators: label of a copy of a profile */
  label = g_strdup_printf (_ ("%s (copy)"), profile->identity.label);
  g_free (profile->identity.label);
  profile->identity.label = g_steal_pointer (&label);
  return sl_shelf_add (folder, profile, stem, cancellable, error);
}

static gboolean
save_label (GFile *file, const char *label, GCancellable *cancellable, GError **error)
{
  g_autofree char *stamp = NULL;
  g_autoptr (SlProfile) profile = sl_document_read (file, &stamp, NULL, cancellable, error);
  gboolean saved = profile != NULL;

  if (saved && g_strcmp0 (profile->identity.label, label) != 0)
    {
      g_free (profile->identity.label);
      profile->identity.label = g_strdup (label);
      saved = sl_document_save (file, profile, &stamp, FALSE, cancellable, error);
    }
  return saved;
}

/* Moves a profile and its folder of photographs, or neither. Moving without G_FILE_COPY_OVERWRITE fails where a name is
 * taken. */
static gboolean
move_both (GFile *from, GFile *to, GCancellable *cancellable, GError **error)
{
  g_autoptr (GFile) pictures = sl_document_photos (from), target = sl_document_photos (to);
  const gboolean has_pictures = is_there (pictures);

  if (is_there (target)) /* also where there are none to move: they would be taken for this profile's */
    {
      g_autofree char *name = g_file_get_basename (target), *shown = g_filename_display_name (name);

      g_set_error (error, G_IO_ERROR, G_IO_ERROR_EXISTS,
                   _ ("There is already a folder “%s”, with another profile's pictures"), shown);
      return FALSE;
    }
  if (has_pictures && !g_file_move (pictures, target, MOVE_FLAGS, cancellable, NULL, NULL, error))
    return FALSE;
  if (g_file_move (from, to, MOVE_FLAGS, cancellable, NULL, NULL, error))
    return TRUE;
  if (has_pictures)
    g_file_move (target, pictures, MOVE_FLAGS, NULL, NULL, NULL, NULL);
  return FALSE;
}

GFile *
sl_shelf_rename (GFile *file, const char *label, const char *stem, GCancellable *cancellable, GError **error)
{
  g_autofree char *safe = sl_shelf_stem (stem), *name = g_file_get_basename (file),
                  *before = sl_shelf_display_name (name);
  g_autoptr (GFile) folder = g_file_get_parent (file);
  g_autoptr (GFile) renamed = g_strcmp0 (safe, before) == 0 ? g_object_ref (file) : child_named (folder, safe, 1);

  if (renamed != file && !move_both (file, renamed, cancellable, error))
    return NULL;
  if (label != NULL && !save_label (renamed, label, cancellable, error))
    {
      if (renamed != file)
        move_both (renamed, file, NULL, NULL);
      return NULL;
    }
  return g_steal_pointer (&renamed);
}

/* ---- the trash ----
 *
 * A folder in it is found again by what it is (G_FILE_ATTRIBUTE_ID_FILE), which moving does not change. Where trashes
 * lie, and what goes with a file there: freedesktop.org's Trash specification 1.0, "Trash directories". */

static char *
id_of (GFile *file)
{
  g_autoptr (GFileInfo) info =
      g_file_query_info (file, G_FILE_ATTRIBUTE_ID_FILE, G_FILE_QUERY_INFO_NOFOLLOW_SYMLINKS, NULL, NULL);

  return info != NULL ? g_strdup (g_file_info_get_attribute_string (info, G_FILE_ATTRIBUTE_ID_FILE)) : NULL;
}

/* Moves the file of that id to @target, out of whichever trash a file beside it came into: the person's own, or one on
 * its disk; and it is forgotten there. TRUE also where it is in none: it was emptied. */
static gboolean
take_from_trash (const char *id, GFile *target, GError **error)
{
  g_autoptr (GPtrArray) trashes = g_ptr_array_new_with_free_func (g_free);
  const char *path = g_file_peek_path (target);
  g_autofree char *above = g_path_get_dirname (path != NULL ? path : "");

  g_ptr_array_add (trashes, g_build_filename (g_get_user_data_dir (), "Trash", NULL));
  for (char *end = above + strlen (above); end != NULL; end = strrchr (above, '/'))
    {
      *end = '\0';
      g_ptr_array_add (trashes, g_strdup_printf ("%s/.Trash-%u", above, (unsigned) getuid ()));
      g_ptr_array_add (trashes, g_strdup_printf ("%s/.Trash/%u", above, (unsigned) getuid ()));
    }
  SL_EACH_OF (const char, trash, trashes)
    {
      g_autofree char *files = g_build_filename (trash, "files", NULL);
      g_autoptr (GDir) dir = g_dir_open (files, 0, NULL);

      for (const char *name; dir != NULL && (name = g_dir_read_name (dir)) != NULL;)
        {
          g_autoptr (GFile) file = g_file_new_build_filename (files, name, NULL);
          g_autofree char *its = id_of (file), *info = g_strdup_printf ("%s/info/%s.trashinfo", trash, name);

          if (g_strcmp0 (its, id) == 0)
            return g_file_move (file, target, MOVE_FLAGS, NULL, NULL, NULL, error) && (unlink (info), TRUE);
        }
    }
  return TRUE;
}

gboolean
sl_shelf_trash (GFile *file, GBytes **kept, char **pictures, GCancellable *cancellable, GError **error)
{
  g_autoptr (GBytes) bytes = sl_file_bytes (file, cancellable, NULL);
  g_autoptr (GFile) folder = sl_document_photos (file);
  g_autofree char *id = is_there (folder) ? id_of (folder) : NULL;

  if (id != NULL && !g_file_trash (folder, cancellable, error))
    return FALSE;
  if (!g_file_trash (file, cancellable, error))
    {
      if (id != NULL)
        take_from_trash (id, folder, NULL);
      return FALSE;
    }
  *kept = bytes != NULL && g_bytes_get_size (bytes) <= SL_DOCUMENT_MOST_BYTES ? g_steal_pointer (&bytes) : NULL;
  *pictures = g_steal_pointer (&id);
  return TRUE;
}

gboolean
sl_shelf_restore (GFile *file, GBytes *kept, const char *pictures, GCancellable *cancellable, GError **error)
{
  g_autoptr (GFile) folder = sl_document_photos (file);

  if (pictures != NULL && !take_from_trash (pictures, folder, error))
    return FALSE;
  if (sl_file_replace (file, kept, NULL, FALSE, cancellable, error))
    return TRUE;
  if (pictures != NULL)
    g_file_trash (folder, NULL, NULL); /* what it is stays the same, so that another try finds it */
  return FALSE;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file/shelf.h"

#define MOST_TRIES 10000
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

GFile *
sl_shelf_add (GFile *folder, const SlProfile *profile, const char *stem, GCancellable *cancellable, GError **error)
{
  g_autofree char *safe = sl_shelf_stem (stem);

  for (int number = 1; number <= MOST_TRIES; number++)
    {
      g_autoptr (GFile) file = child_named (folder, safe, number);
      g_autoptr (GError) inner = NULL;

      /* without a stamp the file must not be there: nobody else's is replaced, also if it comes at this moment */
      if (sl_document_save (file, profile, NULL, FALSE, cancellable, &inner))
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

GFile *
sl_shelf_rename (GFile *file, const char *label, const char *stem, GCancellable *cancellable, GError **error)
{
  g_autofree char *safe = sl_shelf_stem (stem), *name = g_file_get_basename (file),
                  *before = sl_shelf_display_name (name);
  g_autoptr (GFile) folder = g_file_get_parent (file);
  g_autoptr (GFile) renamed = g_strcmp0 (safe, before) == 0 ? g_object_ref (file) : child_named (folder, safe, 1);

  /* moving without G_FILE_COPY_OVERWRITE fails where the name is taken */
  if (renamed != file && !g_file_move (file, renamed, G_FILE_COPY_NO_FALLBACK_FOR_MOVE | G_FILE_COPY_NOFOLLOW_SYMLINKS,
                                       cancellable, NULL, NULL, error))
    return NULL;
  if (label != NULL && !save_label (renamed, label, cancellable, error))
    {
      if (renamed != file)
        g_file_move (renamed, file, G_FILE_COPY_NO_FALLBACK_FOR_MOVE | G_FILE_COPY_NOFOLLOW_SYMLINKS, NULL, NULL, NULL,
                     NULL);
      return NULL;
    }
  return g_steal_pointer (&renamed);
}

gboolean
sl_shelf_trash (GFile *file, GBytes **kept, GCancellable *cancellable, GError **error)
{
  g_autoptr (GBytes) bytes = sl_file_bytes (file, NULL, cancellable, NULL);

  if (!g_file_trash (file, cancellable, error))
    return FALSE;
  *kept = bytes != NULL && g_bytes_get_size (bytes) <= SL_DOCUMENT_MOST_BYTES ? g_steal_pointer (&bytes) : NULL;
  return TRUE;
}

gboolean
sl_shelf_restore (GFile *file, GBytes *kept, GCancellable *cancellable, GError **error)
{
  return sl_file_replace (file, kept, NULL, FALSE, cancellable, error);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "photo/folder.h"

#include "file/shelf.h"

#define MOST_NUMBERS 100000 /* far more than a document may have photographs */
#define MOST_STEM_BYTES 200 /* with number and ending well below the 255 bytes most file systems take */
#define LONG_STEM "photo"   /* in place of a longer one */

static gboolean
refuse (GFile *folder, const char *name, GError **error)
{
  g_autofree char *base = g_file_get_basename (folder), *shown = g_filename_display_name (base);

  /* Translators: “NAME.photos”, a folder; then a file's name. What follows it begins a sentence of its own. */
  g_set_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE,
               _ ("Not saved: the folder “%s” there has another picture “%s”. Save under another name"), shown, name);
  return FALSE;
}

/* Adds a file that @to lacks to @wanted, one that can't be a file to @left. FALSE: @to has another of the name, or it
 * was cancelled. */
static gboolean
compare (const char *name, GFile *from, GFile *to, GPtrArray *left, GPtrArray *wanted, GCancellable *cancellable,
         GError **error)
{
  g_autoptr (GError) inner = NULL;
  g_autoptr (GBytes) there = sl_photo_bytes (to, name, cancellable, &inner), here = NULL;

  if (g_cancellable_set_error_if_cancelled (cancellable, error))
    return FALSE;
  if (!sl_photo_name_is_safe (name))
    return g_ptr_array_add (left, g_strdup (name)), TRUE;
  if (g_error_matches (inner, SL_IMAGE_ERROR, SL_IMAGE_MISSING))
    return g_ptr_array_add (wanted, (gpointer) name), TRUE;
  here = sl_photo_bytes (from, name, cancellable, NULL);
  /* what is gone here may be the one that somebody put there */
  return (there != NULL && (here == NULL || g_bytes_equal (here, there))) || refuse (to, name, error);
}

static GPtrArray *
made_or_new (GPtrArray *made)
{
  return made != NULL ? g_ptr_array_ref (made) : g_ptr_array_new_with_free_func (g_object_unref);
}

static gboolean
need_folder (GFile *to, GPtrArray *made, GCancellable *cancellable, GError **error)
{
  const gboolean was_there = g_file_query_exists (to, NULL);

  if (!sl_photo_need_folder (to, cancellable, error))
    return FALSE;
  if (!was_there)
    g_ptr_array_add (made, g_object_ref (to));
  return TRUE;
}

static gboolean
put (GBytes *bytes, const char *name, GFile *to, GPtrArray *made, GCancellable *cancellable, GError **error)
{
  g_autoptr (GFile) target = g_file_get_child (to, name);
  g_autoptr (GError) inner = NULL;

  if (sl_file_replace (target, bytes, NULL, FALSE, cancellable, &inner) ||
      g_error_matches (inner, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_UNCERTAIN))
    {
      g_ptr_array_add (made, g_steal_pointer (&target));
      return TRUE;
    }
  if (g_error_matches (inner, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_CHANGED)) /* somebody put one there just now */
    return refuse (to, name, error);
  g_propagate_error (error, g_steal_pointer (&inner));
  return FALSE;
}

static gboolean
copy (const char *name, GFile *from, GFile *to, GPtrArray *left, GPtrArray *made, GCancellable *cancellable,
      GError **error)
{
  g_autoptr (GBytes) bytes = sl_photo_bytes (from, name, cancellable, NULL);

  if (g_cancellable_set_error_if_cancelled (cancellable, error))
    return FALSE;
  if (bytes == NULL)
    return g_ptr_array_add (left, g_strdup (name)), TRUE;
  return put (bytes, name, to, made, cancellable, error);
}

void
sl_photos_take_back (GPtrArray *made)
{
  for (guint i = made->len; i > 0; i--)
    g_file_delete (made->pdata[i - 1], NULL, NULL);
  g_ptr_array_set_size (made, 0);
}

gboolean
sl_photos_carry (const SlProfile *profile, GFile *from, GFile *to, GPtrArray *left, GPtrArray *made,
                 GCancellable *cancellable, GError **error)
{
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);
  g_autoptr (GPtrArray) wanted = g_ptr_array_new (), own = made_or_new (made);
  gboolean copied = TRUE;

  if (sl_file_is (from, to))
    return TRUE;
  SL_EACH (const SlVisit, visit, profile->visits)
    SL_EACH (const SlPhoto, photo, visit->photos)
      if (g_hash_table_add (seen, photo->file) && !compare (photo->file, from, to, left, wanted, cancellable, error))
        return FALSE;
  if (wanted->len == 0)
    return TRUE;
  if (!need_folder (to, own, cancellable, error))
    {
      g_prefix_error (error, _ ("Not saved: the folder for the photographs can't be made here: "));
      return FALSE;
    }
  for (guint i = 0; i < wanted->len && copied; i++)
    copied = copy (wanted->pdata[i], from, to, left, own, cancellable, error);
  if (!copied)
    sl_photos_take_back (own);
  else if (own->len > 0 && g_file_equal (own->pdata[own->len - 1], to))
    g_file_delete (to, NULL, NULL); /* nothing came into it */
  return copied;
}

GFile *
sl_photos_duplicate (GFile *file, GPtrArray *left, GCancellable *cancellable, GError **error)
{
  g_autoptr (GFile) made = sl_shelf_duplicate (file, cancellable, error), from = NULL, to = NULL;
  g_autoptr (SlProfile) profile = made != NULL ? sl_document_read (made, NULL, NULL, cancellable, error) : NULL;

  if (made == NULL)
    return NULL;
  from = sl_document_photos (file);
  to = sl_document_photos (made);
  if (profile != NULL && sl_photos_carry (profile, from, to, left, NULL, cancellable, error))
    return g_steal_pointer (&made);
  sl_photos_clear_folder (to, NULL); /* made here: sl_shelf_add() takes a name whose folder is free */
  g_file_delete (made, NULL, NULL);
  return NULL;
}

void
sl_photos_clear_folder (GFile *folder, GFile *to)
{
  g_autoptr (GFileEnumerator) list = g_file_enumerate_children (folder, G_FILE_ATTRIBUTE_STANDARD_NAME,
                                                                G_FILE_QUERY_INFO_NOFOLLOW_SYMLINKS, NULL, NULL);
  GFile *file = NULL;

  while (list != NULL && g_file_enumerator_iterate (list, NULL, &file, NULL, NULL) && file != NULL)
    {
      g_autofree char *name = g_file_get_basename (file);
      g_autoptr (GFile) target = to != NULL ? g_file_get_child (to, name) : NULL;
      g_autoptr (GBytes) here = to != NULL ? sl_photo_bytes (folder, name, NULL, NULL) : NULL,
                         there = to != NULL ? sl_photo_bytes (to, name, NULL, NULL) : NULL;

      if (to == NULL || (here != NULL && there != NULL && g_bytes_equal (here, there)))
        g_file_delete (file, NULL, NULL);
      else if (sl_photo_need_folder (to, NULL, NULL))
        g_file_move (file, target, G_FILE_COPY_NOFOLLOW_SYMLINKS, NULL, NULL, NULL, NULL);
    }
  g_file_delete (folder, NULL, NULL); /* which fails where something is left */
}

/* ---- two folders of one instrument ---- */

static gboolean
has_another (GFile *folder, const char *name, GBytes *bytes)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) there = sl_photo_bytes (folder, name, NULL, &error);

  return there != NULL ? !g_bytes_equal (there, bytes) : !g_error_matches (error, SL_IMAGE_ERROR, SL_IMAGE_MISSING);
}

GHashTable *
sl_photos_name_apart (SlProfile *theirs, GFile *from, GFile *mine)
{
  GHashTable *names = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);

  SL_EACH (const SlVisit, visit, sl_file_is (from, mine) ? NULL : theirs->visits)
    SL_EACH (SlPhoto, photo, visit->photos)
      {
        g_autofree char *old = g_steal_pointer (&photo->file);
        g_autoptr (GBytes) bytes = sl_photo_bytes (from, old, NULL, NULL);
        const char *dot = strrchr (old, '.');
        const int length = dot != NULL ? (int) (dot - old) : (int) strlen (old), is_long = length > MOST_STEM_BYTES;

        photo->file = g_strdup (old);
        for (int n = 2; bytes != NULL && n < MOST_NUMBERS &&
                        (has_another (mine, photo->file, bytes) || has_another (from, photo->file, bytes));
             n++)
          {
            g_free (photo->file);
            photo->file = g_strdup_printf ("%.*s-%d%s", is_long ? (int) strlen (LONG_STEM) : length,
                                           is_long ? LONG_STEM : old, n, dot != NULL ? dot : "");
          }
        g_hash_table_insert (names, g_strdup (photo->file), g_steal_pointer (&old));
      }
  return names;
}

gboolean
sl_photos_bring (const SlProfile *merged, GHashTable *names, GFile *from, GFile *to, GPtrArray *made, GError **error)
{
  g_autoptr (GPtrArray) own = made_or_new (made);

  SL_EACH (const SlVisit, visit, merged->visits)
    SL_EACH (const SlPhoto, photo, visit->photos)
      {
        const char *old = g_hash_table_lookup (names, photo->file);
        g_autoptr (GBytes) bytes = old != NULL ? sl_photo_bytes (from, old, NULL, NULL) : NULL,
                           there = bytes != NULL ? sl_photo_bytes (to, photo->file, NULL, NULL) : NULL;

        if (there != NULL && !g_bytes_equal (there, bytes))
          return refuse (to, photo->file, error);
        if (bytes != NULL && there == NULL &&
            !(need_folder (to, own, NULL, error) && put (bytes, photo->file, to, own, NULL, error)))
          return FALSE;
      }
  return TRUE;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "photo/shelf-archive.h"

#include <archive.h>
#include <archive_entry.h>
#include <errno.h>
#include <locale.h>

#include "file/in-use.h"
#include "file/shelf.h"
#include "words/one-line.h"

#define FILE_MODE 0644
#define CHUNK_BYTES (64 * 1024)
#define MOST_ENTRIES 1000000           /* twenty times the largest shelf, each with some pictures */
#define MOST_GROWTH 200                /* times what the archive has; profiles are packed to a tenth or more */
#define GROWTH_FREE ((gint64) 1 << 26) /* bytes that a small archive may grow to in any case */

static void
fate_free (gpointer data)
{
  SlFateOf *fate = data;

  g_free (fate->name);
  g_free (fate->now);
  g_free (fate->other);
  g_free (fate->why);
  g_free (fate);
}

GPtrArray *
sl_fates_new (void)
{
  return g_ptr_array_new_with_free_func (fate_free);
}

char *
sl_fates_text (const GPtrArray *fates)
{
  /* Translators: a list of these, each with a number of files: "3 new, 1 there already" */
  static const char *const texts[] = { N_ ("%u new"), N_ ("%u there already"), N_ ("%u beside another version"),
                                       N_ ("%u refused") };
  guint n[G_N_ELEMENTS (texts)] = { 0 };
  GString *text = g_string_new (NULL);

  SL_EACH_OF (const SlFateOf, fate, fates)
    n[fate->fate]++;
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    if (n[i] > 0)
      {
        g_string_append (text, text->len > 0 ? ", " : "");
        g_string_append_printf (text, _ (texts[i]), n[i]);
      }
  return g_string_free (text, FALSE);
}

static void
tell (GPtrArray *fates, SlFate fate, const char *name, const char *now, const char *other, const char *why)
{
  const SlFateOf told = { fate, g_strdup (name), g_strdup (now), g_strdup (other), g_strdup (why) };

  g_ptr_array_add (fates, g_memdup2 (&told, sizeof told));
}

static void
refuse (GPtrArray *fates, const char *name, const char *why)
{
  tell (fates, SL_FATE_REFUSED, name, NULL, NULL, why);
}

/* The library turns names into this thread's characters and back: they are UTF-8 whatever the person's locale. */
static locale_t
use_utf8 (void)
{
  locale_t utf8 = newlocale (LC_CTYPE_MASK, "C.UTF-8", duplocale (uselocale ((locale_t) 0)));

  return uselocale (utf8);
}

static void
use_again (locale_t before)
{
  const locale_t now = uselocale (before);

  if (now != before)
    freelocale (now);
}

/* ---- packing ---- */

typedef struct
{
  struct archive *archive;
  GOutputStream *stream;
  GCancellable *cancellable;
  GError *error;
} Packing;

static la_ssize_t
on_write (struct archive *archive, void *data, const void *bytes, size_t length)
{
  Packing *packing = data;

  if (packing->error == NULL && /* closing tries again */
      g_output_stream_write_all (packing->stream, bytes, length, NULL, packing->cancellable, &packing->error))
    return (la_ssize_t) length;
  archive_set_error (archive, EIO, "%s", packing->error->message);
  return -1;
}

static gboolean
put (Packing *packing, const char *name, GFile *file, GBytes *bytes, gboolean packed)
{
  g_autoptr (GFileInfo) info =
      g_file_query_info (file, G_FILE_ATTRIBUTE_TIME_MODIFIED, G_FILE_QUERY_INFO_NONE, packing->cancellable, NULL);
  struct archive_entry *entry = archive_entry_new ();
  gsize length;
  const void *data = g_bytes_get_data (bytes, &length);
  gboolean done;

  archive_entry_set_pathname_utf8 (entry, name);
  archive_entry_set_filetype (entry, AE_IFREG);
  archive_entry_set_perm (entry, FILE_MODE);
  archive_entry_set_size (entry, (la_int64_t) length);
  if (info != NULL)
    archive_entry_set_mtime (entry, (time_t) g_file_info_get_attribute_uint64 (info, G_FILE_ATTRIBUTE_TIME_MODIFIED),
                             0);
  if (packed)
    archive_write_zip_set_compression_deflate (packing->archive);
  else
    archive_write_zip_set_compression_store (packing->archive); /* a camera's picture is packed as it is */
  done = archive_write_header (packing->archive, entry) >= ARCHIVE_WARN &&
         (length == 0 || archive_write_data (packing->archive, data, length) == (la_ssize_t) length);
  archive_entry_free (entry);
  return done;
}

static int
by_bytes (gconstpointer a, gconstpointer b)
{
  return strcmp (*(char *const *) a, *(char *const *) b);
}

/* The names in a folder, in order; @profiles: only of profiles. */
static GPtrArray *
names_in (GFile *folder, gboolean profiles, GCancellable *cancellable, GError **error)
{
  g_autoptr (GFileEnumerator) list =
      g_file_enumerate_children (folder, G_FILE_ATTRIBUTE_STANDARD_NAME, G_FILE_QUERY_INFO_NONE, cancellable, error);
  g_autoptr (GPtrArray) names = g_ptr_array_new_with_free_func (g_free);
  GFileInfo *info = NULL;

  if (list == NULL)
    return NULL;
  while (g_file_enumerator_iterate (list, &info, NULL, cancellable, error))
    {
      const char *name = info != NULL ? g_file_info_get_name (info) : NULL;

      if (name == NULL)
        {
          g_ptr_array_sort (names, by_bytes);
          return g_steal_pointer (&names);
        }
      if (*name != '.' && (!profiles || sl_document_has_name (name)))
        g_ptr_array_add (names, g_strdup (name));
    }
  return NULL;
}

/* One profile with its photographs. FALSE: the archive can't be written. */
static gboolean
pack_profile (Packing *packing, GFile *file, const char *name, GPtrArray *fates)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = sl_file_bytes (file, packing->cancellable, &error);
  g_autoptr (GFile) folder = sl_document_photos (file);
  g_autofree char *folder_name = g_file_get_basename (folder);
  g_autoptr (GPtrArray) pictures = NULL;

  if (bytes == NULL || g_bytes_get_size (bytes) > SL_DOCUMENT_MOST_BYTES || !sl_photo_name_is_safe (name))
    {
      refuse (fates, name, error != NULL ? error->message : _ ("no profile is so large, or is called so"));
      return TRUE;
    }
  if (!put (packing, name, file, bytes, TRUE))
    return FALSE;
  pictures = names_in (folder, FALSE, packing->cancellable, NULL);
  SL_EACH_OF (const char, picture, pictures)
    {
      g_autoptr (GError) fault = NULL;
      g_autoptr (GBytes) data = sl_photo_bytes (folder, picture, packing->cancellable, &fault);
      g_autoptr (GFile) its = g_file_get_child (folder, picture);
      g_autofree char *path = g_build_path ("/", folder_name, picture, NULL);

      if (data == NULL)
        refuse (fates, path, fault->message);
      else if (!put (packing, path, its, data, FALSE))
        return FALSE;
    }
  return TRUE;
}

gboolean
sl_shelf_pack (GFile *folder, GPtrArray *names, GFile *archive, GPtrArray *fates, SlHowFar *how_far,
               GCancellable *cancellable, GError **error)
{
  g_autoptr (GPtrArray) all = names != NULL ? g_ptr_array_ref (names) : names_in (folder, TRUE, cancellable, error);
  /* what is there already is replaced by another file once that is whole; nothing would be written bit by bit */
  g_autoptr (GFileOutputStream) claim = all == NULL ? NULL : g_file_create (archive, G_FILE_CREATE_NONE, NULL, NULL);
  g_autoptr (GFileOutputStream) stream =
      all == NULL ? NULL : g_file_replace (archive, NULL, FALSE, G_FILE_CREATE_REPLACE_DESTINATION, cancellable, error);
  Packing packing = { NULL, G_OUTPUT_STREAM (stream), cancellable, NULL };
  locale_t before;
  gboolean done;

  if (stream == NULL)
    {
      if (claim != NULL)
        g_file_delete (archive, NULL, NULL);
      return FALSE;
    }
  g_ptr_array_sort (all, by_bytes);
  before = use_utf8 ();
  packing.archive = archive_write_new ();
  archive_write_set_format_zip (packing.archive);
  archive_write_set_options (packing.archive, "zip:hdrcharset=UTF-8");
  archive_write_set_bytes_in_last_block (packing.archive, 1);
  done = archive_write_open (packing.archive, &packing, NULL, on_write, NULL) == ARCHIVE_OK;
  g_atomic_int_set (&how_far->total, (gint) all->len);
  SL_EACH_OF (const char, name, all)
    {
      g_autoptr (GFile) file = g_file_get_child (folder, name);

      done = done && !g_cancellable_set_error_if_cancelled (cancellable, packing.error == NULL ? &packing.error : NULL);
      done = done && pack_profile (&packing, file, name, fates);
      g_atomic_int_inc (&how_far->done);
    }
  done = archive_write_close (packing.archive) == ARCHIVE_OK && done;
  if (!done && packing.error == NULL)
    g_set_error_literal (&packing.error, G_IO_ERROR, G_IO_ERROR_FAILED, archive_error_string (packing.archive));
  archive_write_free (packing.archive);
  use_again (before);
  if (done && g_output_stream_close (packing.stream, cancellable, error))
    return TRUE;
  if (!done)
    {
      g_autoptr (GCancellable) give_up = g_cancellable_new ();

      g_cancellable_cancel (give_up); /* drops what was written instead of putting it in place */
      g_output_stream_close (packing.stream, give_up, NULL);
      g_propagate_error (error, packing.error);
    }
  if (claim != NULL)
    g_file_delete (archive, NULL, NULL);
  return FALSE;
}

/* ---- taking in ---- */

typedef struct
{
  struct archive *archive;
  GInputStream *stream;
  char chunk[CHUNK_BYTES];
  gint64 size, unpacked; /* bytes: of the archive, of what came out of it */

  GFile *folder;
  GHashTable *names;  /* id → GPtrArray of the names on the shelf */
  GHashTable *places; /* path of a profile in the archive, without its ending → its GFile on the shelf */
  GPtrArray *fates;
  SlHowFar *how_far;
  GCancellable *cancellable;
} Unpacking;

static la_ssize_t
on_read (struct archive *archive, void *data, const void **chunk)
{
  Unpacking *unpacking = data;
  g_autoptr (GError) error = NULL;
  const gssize n =
      g_input_stream_read (unpacking->stream, unpacking->chunk, CHUNK_BYTES, unpacking->cancellable, &error);

  *chunk = unpacking->chunk;
  if (n < 0)
    archive_set_error (archive, EIO, "%s", error->message);
  return n;
}

static la_int64_t
on_seek (struct archive *archive, void *data, la_int64_t offset, int whence)
{
  Unpacking *unpacking = data;
  GSeekable *seekable = G_SEEKABLE (unpacking->stream);
  const GSeekType type = whence == SEEK_SET ? G_SEEK_SET : whence == SEEK_CUR ? G_SEEK_CUR : G_SEEK_END;

  return g_seekable_seek (seekable, offset, type, unpacking->cancellable, NULL) ? g_seekable_tell (seekable)
                                                                                : ARCHIVE_FATAL;
}

/* What an entry holds, at most @most bytes of it. */
static GBytes *
entry_bytes (Unpacking *unpacking, gsize most, GError **error)
{
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  la_ssize_t n = 1;

  while (n > 0 && bytes->len <= most)
    {
      const guint so_far = bytes->len;

      g_byte_array_set_size (bytes, so_far + CHUNK_BYTES);
      n = archive_read_data (unpacking->archive, bytes->data + so_far, CHUNK_BYTES);
      g_byte_array_set_size (bytes, so_far + (guint) MAX (n, 0));
      unpacking->unpacked += MAX (n, 0);
    }
  if (n >= 0 && bytes->len <= most)
    return g_byte_array_free_to_bytes (g_steal_pointer (&bytes));
  if (n < 0)
    {
      g_autofree char *said = g_strchomp (g_strdup (archive_error_string (unpacking->archive)));
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, _ ("it is damaged, or locked by a password: %s"), said);
    }
  else
    g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, _ ("it is larger than %d MiB"), (int) (most >> 20));
  return NULL;
}

/* Tells why an entry was not taken, unless all of it was stopped. */
static void
refuse_entry (const Unpacking *unpacking, const char *path, const GError *error)
{
  if (!g_cancellable_is_cancelled (unpacking->cancellable))
    refuse (unpacking->fates, path, error->message);
}

/* The name on the shelf of a file with these very bytes, or else of any with that id; NULL: there is none. */
static const char *
find_there (const Unpacking *unpacking, const char *id, GBytes *bytes, gboolean *equal)
{
  const GPtrArray *names = g_hash_table_lookup (unpacking->names, id);

  *equal = FALSE;
  SL_EACH_OF (const char, name, names)
    {
      g_autoptr (GFile) file = g_file_get_child (unpacking->folder, name);
      g_autoptr (GBytes) there = sl_file_bytes (file, unpacking->cancellable, NULL);

      if (there == NULL || !g_bytes_equal (there, bytes))
        continue;
      *equal = TRUE;
      return name;
    }
  return names != NULL ? names->pdata[0] : NULL;
}

static void
note_name (GHashTable *names, const char *id, const char *name)
{
  GPtrArray *of_id = g_hash_table_lookup (names, id);

  if (of_id == NULL)
    g_hash_table_insert (names, g_strdup (id), of_id = g_ptr_array_new_with_free_func (g_free));
  g_ptr_array_add (of_id, g_strdup (name));
}

static SlProfile *
parse (GBytes *bytes, GError **error)
{
  g_autoptr (GPtrArray) faults = sl_document_faults_new ();
  SlProfile *profile = sl_document_parse (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes), faults);
  const SlDocumentFault *fault = profile == NULL ? faults->pdata[0] : NULL;

  if (fault != NULL)
    g_set_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_FAULT, _ ("it is no valid profile, line %d: %s"),
                 MAX (1, fault->line), fault->message);
  return profile;
}

static void
take_profile (Unpacking *unpacking, const char *path, const char *base)
{
  g_autofree char *stem = sl_shelf_display_name (base), *now = NULL, *stem_path = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = entry_bytes (unpacking, SL_DOCUMENT_MOST_BYTES, &error);
  g_autoptr (SlProfile) profile = bytes != NULL ? parse (bytes, &error) : NULL;
  g_autoptr (GFile) file = NULL;
  gboolean equal = FALSE;
  const char *other = profile != NULL ? find_there (unpacking, profile->id, bytes, &equal) : NULL;

  if (profile != NULL)
    file = equal ? g_file_get_child (unpacking->folder, other)
                 : sl_shelf_add_bytes (unpacking->folder, bytes, stem, unpacking->cancellable, &error);
  if (file == NULL)
    {
      refuse_entry (unpacking, path, error);
      return;
    }
  now = g_file_get_basename (file);
  tell (unpacking->fates,
        equal           ? SL_FATE_THERE
        : other != NULL ? SL_FATE_BESIDE
                        : SL_FATE_TAKEN,
        path, now, other, NULL);
  if (equal)
    sl_save_lock_tidy (file); /* of an import that was killed once it had put the file in place */
  else
    note_name (unpacking->names, profile->id, now);
  stem_path = g_strndup (path, strlen (path) - strlen (SL_DOCUMENT_EXTENSION));
  if (g_str_has_suffix (path, SL_DOCUMENT_EXTENSION) || !g_hash_table_contains (unpacking->places, stem_path))
    g_hash_table_insert (unpacking->places, g_steal_pointer (&stem_path), g_object_ref (file));
  g_hash_table_insert (unpacking->places, g_strdup (path), g_steal_pointer (&file));
}

/* @key: its profile's path, or that without the ending (sl_document_photos()). */
static void
take_photo (Unpacking *unpacking, const char *path, const char *key, const char *name)
{
  GFile *file = g_hash_table_lookup (unpacking->places, key);
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = file != NULL ? entry_bytes (unpacking, SL_IMAGE_MOST_BYTES, &error) : NULL, there = NULL;
  g_autoptr (GFile) folder = file != NULL ? sl_document_photos (file) : NULL, target = NULL;
  SlImageFacts facts;

  if (file == NULL)
    error = g_error_new_literal (G_IO_ERROR, G_IO_ERROR_NOT_FOUND, _ ("its profile did not come in"));
  else if (bytes != NULL && sl_image_facts (bytes, &facts, &error))
    {
      there = sl_photo_bytes (folder, name, unpacking->cancellable, NULL);
      if (there != NULL && g_bytes_equal (there, bytes))
        return;
      target = g_file_get_child (folder, name);
      if (sl_photo_need_folder (folder, unpacking->cancellable, &error))
        sl_file_replace (target, bytes, NULL, FALSE, unpacking->cancellable, &error);
    }
  if (error != NULL && !g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_UNCERTAIN))
    refuse_entry (unpacking, path, error);
}

/* Whether a name is one in a folder and below it; ".." and the like are in none that a person packed. */
static gboolean
is_plain_path (const char *path)
{
  g_auto (GStrv) parts = g_strsplit (path, "/", -1);

  for (char **part = parts; *part != NULL; part++)
    if (!sl_photo_name_is_safe (*part))
      return FALSE;
  return TRUE;
}

static void
take_entry (Unpacking *unpacking, struct archive_entry *entry, gboolean photos)
{
  const char *path = archive_entry_pathname_utf8 (entry);
  const char *raw = path != NULL ? path : archive_entry_pathname (entry),
             *base = raw != NULL ? strrchr (raw, '/') : NULL;
  g_autofree char *folder = base != NULL ? g_strndup (raw, (gsize) (base - raw)) : g_strdup ("");

  base = base != NULL ? base + 1 : raw;
  if (archive_entry_filetype (entry) == AE_IFDIR)
    return;
  const gboolean plain = raw != NULL && is_plain_path (raw) && archive_entry_filetype (entry) == AE_IFREG &&
                         archive_entry_hardlink (entry) == NULL,
                 profile = plain && sl_document_has_name (base),
                 photo = plain && !profile && g_str_has_suffix (folder, SL_DOCUMENT_PHOTOS);

  if (photo && photos)
    {
      folder[strlen (folder) - strlen (SL_DOCUMENT_PHOTOS)] = '\0';
      take_photo (unpacking, raw, folder, base);
    }
  else if (photo || photos)
    return;
  else if (profile)
    take_profile (unpacking, raw, base);
  else
    refuse (unpacking->fates, raw != NULL ? raw : "?",
            plain ? _ ("it is neither a profile nor a photograph of one")
                  : _ ("it is a link, or its name is none that a file of a shelf can have"));
}

/* Whether an archive grows beyond what a shelf can: a skipped entry is unpacked too where the whole is packed. */
static gboolean
is_bomb (const Unpacking *unpacking, struct archive_entry *entry)
{
  const gint64 most = unpacking->size * MOST_GROWTH + GROWTH_FREE;
  const gboolean whole = archive_filter_count (unpacking->archive) > 1;

  return MAX (unpacking->unpacked, archive_filter_bytes (unpacking->archive, 0)) > most ||
         (whole && archive_entry_size (entry) > SL_IMAGE_MOST_BYTES);
}

/* Goes through the archive, for profiles or for photographs, which may stand before their profile. */
static gboolean
go_through (Unpacking *unpacking, GFile *file, gboolean photos, GError **error)
{
  g_autoptr (GFileInputStream) stream = g_file_read (file, unpacking->cancellable, error);
  struct archive *archive = stream != NULL ? archive_read_new () : NULL;
  struct archive_entry *entry = NULL;
  g_autofree char *name = g_file_get_basename (file), *shown = sl_shown_name (name);
  const char *fault = NULL;
  int result;

  if (stream == NULL)
    return FALSE;
  unpacking->stream = G_INPUT_STREAM (stream);
  unpacking->archive = archive;
  archive_read_support_format_zip (archive);
  archive_read_support_format_tar (archive);
  archive_read_support_filter_gzip (archive);
  archive_read_support_filter_bzip2 (archive);
  archive_read_support_filter_xz (archive);
  archive_read_support_filter_zstd (archive);
  archive_read_set_read_callback (archive, on_read);
  if (g_seekable_can_seek (G_SEEKABLE (stream)))
    archive_read_set_seek_callback (archive, on_seek);
  archive_read_set_callback_data (archive, unpacking);
  result = archive_read_open1 (archive);
  for (int n = 0; fault == NULL && result >= ARCHIVE_WARN; n++)
    {
      result = archive_read_next_header (archive, &entry);
      if (result < ARCHIVE_WARN || result == ARCHIVE_EOF)
        break;
      if (n >= MOST_ENTRIES || is_bomb (unpacking, entry))
        fault = _ ("it holds more than a shelf can have");
      else
        take_entry (unpacking, entry, photos);
      g_atomic_int_set (&unpacking->how_far->done, (gint) (archive_filter_bytes (archive, -1) >> 10) +
                                                       (photos ? unpacking->how_far->total / 2 : 0));
      if (g_cancellable_is_cancelled (unpacking->cancellable))
        break;
    }
  if (result < ARCHIVE_WARN && fault == NULL)
    fault = archive_error_string (archive);
  if (fault != NULL && !g_cancellable_is_cancelled (unpacking->cancellable))
    /* Translators: name of a file, and what is wrong with it */
    g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, _ ("“%s” is no archive that can be taken in: %s"), shown,
                 fault);
  archive_read_free (archive);
  return fault == NULL && !g_cancellable_set_error_if_cancelled (unpacking->cancellable, error);
}

gboolean
sl_shelf_unpack (GFile *archive, GFile *folder, GFile *index_folder, const SlShop *shop, GPtrArray *fates,
                 SlHowFar *how_far, GCancellable *cancellable, GError **error)
{
  g_autoptr (GPtrArray) entries = sl_shelf_read (folder, index_folder, shop, NULL, NULL, cancellable, error);
  g_autoptr (GFileInfo) info =
      entries != NULL ? g_file_query_info (archive, G_FILE_ATTRIBUTE_STANDARD_SIZE "," G_FILE_ATTRIBUTE_STANDARD_TYPE,
                                           G_FILE_QUERY_INFO_NONE, cancellable, error)
                      : NULL;
  g_autofree Unpacking *unpacking = g_new0 (Unpacking, 1);
  locale_t before;
  gboolean done;

  if (info != NULL && g_file_info_get_file_type (info) == G_FILE_TYPE_SPECIAL) /* a pipe would wait for ever */
    g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_NOT_REGULAR_FILE,
                         _ ("it is a device or a pipe, not an ordinary file"));
  if (info == NULL || g_file_info_get_file_type (info) == G_FILE_TYPE_SPECIAL)
    return FALSE;
  unpacking->size = g_file_info_get_size (info);
  unpacking->folder = folder;
  unpacking->names = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) g_ptr_array_unref);
  unpacking->places = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_object_unref);
  unpacking->fates = fates;
  unpacking->how_far = how_far;
  unpacking->cancellable = cancellable;
  g_atomic_int_set (&how_far->total, (gint) (unpacking->size >> 9)); /* twice, in KiB */
  SL_EACH_OF (const SlShelfEntry, entry, entries)
    if (entry->fault == NULL)
      note_name (unpacking->names, entry->id, entry->name);
  before = use_utf8 ();
  done = go_through (unpacking, archive, FALSE, error) && go_through (unpacking, archive, TRUE, error);
  use_again (before);
  g_hash_table_unref (unpacking->names);
  g_hash_table_unref (unpacking->places);
  return done;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <gio/gunixinputstream.h>
#include <glib/gstdio.h>

#include "file/document.h"
#include "photo/folder.h"
#include "setup/profile/bounds.h"
#include "words/one-line.h"

#define MOST_NAME_BYTES 255 /* NAME_MAX of Linux's file systems */
#define MOST_STEM_BYTES 64  /* of a name of our own, without number and ending */
#define MOST_NUMBERS 100000 /* far more than a document may have photographs */

gboolean
sl_photo_name_is_safe (const char *name)
{
  if (*name == '\0' || *name == '.' || strlen (name) > MOST_NAME_BYTES || !g_utf8_validate (name, -1, NULL))
    return FALSE;
  for (const char *at = name; *at != '\0'; at = g_utf8_next_char (at))
    if (strchr ("/\\", *at) != NULL || g_unichar_iscntrl (g_utf8_get_char (at)))
      return FALSE;
  return TRUE;
}

/* ---- keeping ---- */

/* @stem's letters, digits and hyphens; what else stands in it becomes one hyphen. Never a name that Windows keeps for a
 * device (CON, LPT1: common practice), which on a share could not be copied. */
static char *
safe_stem (const char *stem)
{
  g_autoptr (GString) safe = g_string_new (NULL);
  g_autofree char *lower = NULL;

  for (; *stem != '\0' && safe->len < MOST_STEM_BYTES; stem++)
    if (g_ascii_isalnum (*stem))
      g_string_append_c (safe, *stem);
    else if (safe->len > 0 && safe->str[safe->len - 1] != '-')
      g_string_append_c (safe, '-');
  if (g_str_has_suffix (safe->str, "-"))
    g_string_truncate (safe, safe->len - 1);
  lower = g_ascii_strdown (safe->str, -1);
  if (safe->len == 0 || g_regex_match_simple ("^(con|prn|aux|nul|(com|lpt)[0-9])$", lower, 0, 0))
    g_string_prepend (safe, safe->len == 0 ? "photo" : "photo-");
  return g_string_free (g_steal_pointer (&safe), FALSE);
}

gboolean
sl_photo_need_folder (GFile *folder, GCancellable *cancellable, GError **error)
{
  g_autoptr (GError) inner = NULL;
  g_autoptr (GFile) parent = g_file_get_parent (folder);
  const char *path = g_file_is_native (folder) ? g_file_peek_path (folder) : NULL;
  struct stat above;

  if (path != NULL && g_str_has_prefix (path, g_get_user_state_dir ())) /* of a profile never saved */
    g_mkdir_with_parents (path, S_IRWXU);
  if (path == NULL || parent == NULL)
    g_file_make_directory (folder, cancellable, &inner);
  else if (stat (g_file_peek_path (parent), &above) != 0 ||
           g_mkdir (path, S_IRWXU | (above.st_mode & 0777)) != 0) /* the umask takes from it */
    g_set_error_literal (&inner, G_IO_ERROR, g_io_error_from_errno (errno), g_strerror (errno));
  if (inner == NULL || g_file_query_file_type (folder, G_FILE_QUERY_INFO_NONE, NULL) == G_FILE_TYPE_DIRECTORY)
    return TRUE;
  g_propagate_error (error, g_steal_pointer (&inner));
  return FALSE;
}

/* An empty file, which nobody else then makes, becomes the whole one: not every share can do both at once. FALSE with
 * G_IO_ERROR_EXISTS: the name is taken. */
static gboolean
keep_as (GFile *file, GBytes *bytes, GCancellable *cancellable, GError **error)
{
  g_autoptr (GFileOutputStream) claim = g_file_create (file, G_FILE_CREATE_NONE, cancellable, error);

  if (claim == NULL)
    return FALSE;
  if (g_output_stream_close (G_OUTPUT_STREAM (claim), cancellable, error) &&
      sl_file_replace (file, bytes, NULL, TRUE, cancellable, error))
    return TRUE;
  g_file_delete (file, NULL, NULL);
  return FALSE;
}

char *
sl_photo_keep (GFile *folder, const char *stem, GBytes *bytes, GCancellable *cancellable, GError **error)
{
  g_autofree char *safe = safe_stem (stem), *where = g_file_get_parse_name (folder), *shown = sl_one_line (where);
  g_autoptr (GError) inner = NULL;
  SlImageFacts facts;

  if (!sl_image_facts (bytes, &facts, error))
    return NULL;
  sl_photo_need_folder (folder, cancellable, &inner);
  for (int n = 1; inner == NULL && n <= MOST_NUMBERS; n++)
    {
      g_autofree char *name =
          n == 1 ? g_strdup_printf ("%s.%s", safe, facts.ending) : g_strdup_printf ("%s-%d.%s", safe, n, facts.ending);
      g_autoptr (GFile) file = g_file_get_child (folder, name);

      if (keep_as (file, bytes, cancellable, &inner))
        return g_steal_pointer (&name);
      if (g_error_matches (inner, G_IO_ERROR, G_IO_ERROR_EXISTS) && n < MOST_NUMBERS)
        g_clear_error (&inner);
    }
  g_propagate_error (error, g_steal_pointer (&inner));
  if (!g_cancellable_is_cancelled (cancellable))
    /* Translators: %s is a folder; why not follows, as in "Permission denied". */
    g_prefix_error (error, _ ("The photograph can’t be kept in %s: "), shown);
  return NULL;
}

/* ---- reading ---- */

/* Opens nothing but an ordinary file, which it may have ceased to be since it was looked at: to open a pipe waits for
 * who writes into it, and a device may act on it. */
static GInputStream *
open_ordinary (GFile *file, GCancellable *cancellable, GError **error)
{
  const char *path = g_file_is_native (file) ? g_file_peek_path (file) : NULL;
  struct stat now;

  if (path == NULL)
    return G_INPUT_STREAM (g_file_read (file, cancellable, error));
  const int fd = open (path, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
  if (fd >= 0 && fstat (fd, &now) == 0 && S_ISREG (now.st_mode))
    return g_unix_input_stream_new (fd, TRUE);
  g_set_error_literal (error, G_IO_ERROR, g_io_error_from_errno (errno), g_strerror (errno));
  if (fd >= 0)
    close (fd);
  return NULL;
}

static GBytes *
read_photo (GFile *file, const char *name, const char *folder, GCancellable *cancellable, GError **error)
{
  g_autoptr (GFileInfo) info =
      g_file_query_info (file, G_FILE_ATTRIBUTE_STANDARD_TYPE "," G_FILE_ATTRIBUTE_STANDARD_SIZE,
                         G_FILE_QUERY_INFO_NOFOLLOW_SYMLINKS, cancellable, error);
  g_autoptr (GInputStream) stream = NULL;
  g_autofree char *data = NULL;
  gsize length;

  if (info == NULL)
    return NULL;
  if (g_file_info_get_file_type (info) == G_FILE_TYPE_SYMBOLIC_LINK)
    sl_image_refuse (error, SL_IMAGE_FOREIGN, _ ("%s in %s is a link. Put the picture itself there"), name, folder);
  else if (g_file_info_get_file_type (info) != G_FILE_TYPE_REGULAR &&
           g_file_info_get_file_type (info) != G_FILE_TYPE_UNKNOWN) /* in a folder that may not be entered */
    sl_image_refuse (error, SL_IMAGE_FOREIGN, _ ("%s in %s is no ordinary file. Put a picture in its place"), name,
                     folder);
  else if (g_file_info_get_size (info) > SL_IMAGE_MOST_BYTES)
    sl_image_refuse (error, SL_IMAGE_TOO_LARGE, _ ("%s in %s is larger than %d MiB: save it smaller"), name, folder,
                     SL_IMAGE_MOST_BYTES >> 20);
  else
    stream = open_ordinary (file, cancellable, error);
  if (stream == NULL)
    return NULL;
  /* no more than it had when it was looked at, should it grow */
  data = g_malloc ((gsize) g_file_info_get_size (info) + 1);
  return g_input_stream_read_all (stream, data, (gsize) g_file_info_get_size (info), &length, cancellable, error)
             ? g_bytes_new_take (g_steal_pointer (&data), length)
             : NULL;
}

GBytes *
sl_photo_bytes (GFile *folder, const char *name, GCancellable *cancellable, GError **error)
{
  g_autofree char *shown = sl_one_line (name), *where = g_file_get_parse_name (folder), *place = sl_one_line (where);
  g_autoptr (GError) inner = NULL;
  g_autoptr (GBytes) bytes = NULL;

  if (sl_photo_name_is_safe (name))
    {
      g_autoptr (GFile) file = g_file_get_child (folder, name);

      bytes = read_photo (file, shown, place, cancellable, &inner);
    }
  else
    sl_image_refuse (
        &inner, SL_IMAGE_FOREIGN,
        _ ("“%s” is no name for a photograph’s file: no slash, no dot at its beginning, at most 255 bytes"), shown);
  if (g_error_matches (inner, G_IO_ERROR, G_IO_ERROR_NOT_FOUND))
    sl_image_refuse (&inner, SL_IMAGE_MISSING, _ ("%s is not in %s. Put it there again"), shown, place);
  else if (inner != NULL && inner->domain == G_IO_ERROR && !g_error_matches (inner, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    sl_image_refuse (&inner, SL_IMAGE_MISSING, _ ("%s in %s can’t be read: %s"), shown, place, inner->message);
  if (inner != NULL)
    g_propagate_error (error, g_steal_pointer (&inner));
  return g_steal_pointer (&bytes);
}

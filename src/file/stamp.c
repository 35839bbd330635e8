/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file/stamp.h"

#include <glib/gi18n-lib.h>

#include "file/faults.h"

void
sl_document_stamp_clear (SlDocumentStamp *stamp)
{
  g_clear_pointer (&stamp->etag, g_free);
  g_clear_pointer (&stamp->checksum, g_free);
}

void
sl_stamp_set (SlDocumentStamp *stamp, const char *etag, GBytes *bytes)
{
  if (stamp == NULL)
    return;
  sl_document_stamp_clear (stamp);
  stamp->etag = g_strdup (etag);
  stamp->checksum = g_compute_checksum_for_bytes (G_CHECKSUM_SHA256, bytes);
}

/* Opens only what is an ordinary file: a pipe would wait for ever, a device never end. */
static GFileInputStream *
open_file (GFile *file, GCancellable *cancellable, GError **error)
{
  g_autoptr (GFileInfo) info =
      g_file_query_info (file, G_FILE_ATTRIBUTE_STANDARD_TYPE, G_FILE_QUERY_INFO_NONE, cancellable, error);
  if (info == NULL)
    return NULL;
  GFileType type = g_file_info_get_file_type (info);
  if (type == G_FILE_TYPE_DIRECTORY)
    {
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_IS_DIRECTORY, _ ("it is a folder"));
      return NULL;
    }
  if (type == G_FILE_TYPE_SPECIAL)
    {
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_NOT_REGULAR_FILE,
                   _ ("it is a device or a pipe, not an ordinary file"));
      return NULL;
    }
  return g_file_read (file, cancellable, error);
}

GBytes *
sl_file_bytes (GFile *file, char **etag, GCancellable *cancellable, GError **error)
{
  g_autoptr (GFileInputStream) stream = open_file (file, cancellable, error);
  if (stream == NULL)
    return NULL;
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  guint8 chunk[16384];
  for (;;)
    {
      /* One byte more than the cap tells that there is too much. */
      gsize room = MIN (sizeof chunk, SL_DOCUMENT_MOST_BYTES + 1 - bytes->len);
      gssize n = room > 0 ? g_input_stream_read (G_INPUT_STREAM (stream), chunk, room, cancellable, error) : 0;
      if (n < 0)
        return NULL;
      if (n == 0)
        break;
      g_byte_array_append (bytes, chunk, (guint) n);
    }
  if (etag != NULL)
    {
      g_autoptr (GFileInfo) info =
          g_file_input_stream_query_info (stream, G_FILE_ATTRIBUTE_ETAG_VALUE, cancellable, NULL);
      *etag = info != NULL ? g_strdup (g_file_info_get_etag (info)) : NULL;
    }
  return g_byte_array_free_to_bytes (g_steal_pointer (&bytes));
}

gboolean
sl_set_changed (GError **error, const char *message)
{
  g_set_error_literal (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_CHANGED, message);
  return FALSE;
}

gboolean
sl_stamp_is_empty (const SlDocumentStamp *stamp)
{
  return stamp == NULL || (stamp->etag == NULL && stamp->checksum == NULL);
}

gboolean
sl_stamp_check (GFile *file, const SlDocumentStamp *stamp, char **etag, GCancellable *cancellable, GError **error)
{
  g_autoptr (GError) inner = NULL;
  g_autofree char *now = NULL;
  g_autoptr (GBytes) bytes = sl_file_bytes (file, &now, cancellable, &inner);
  if (bytes == NULL && !g_error_matches (inner, G_IO_ERROR, G_IO_ERROR_NOT_FOUND))
    {
      g_set_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE,
                   _ ("Not saved: what is there now can't be read: %s. Save under another name"), inner->message);
      return FALSE;
    }
  if (sl_stamp_is_empty (stamp))
    return bytes == NULL || sl_set_changed (error, _ ("Not saved: there is already a file of this name"));
  if (bytes == NULL)
    return sl_set_changed (error, _ ("Not saved: the file was moved or deleted since it was opened"));
  g_autofree char *checksum = g_compute_checksum_for_bytes (G_CHECKSUM_SHA256, bytes);
  /* The bytes decide: a clock as coarse as a file system's gives two saves in a row one tag, and a touched file another
   * although nothing changed. */
  gboolean same = stamp->checksum != NULL ? g_str_equal (checksum, stamp->checksum) : g_strcmp0 (now, stamp->etag) == 0;
  if (!same)
    return sl_set_changed (error, _ ("Not saved: someone else saved this file since it was opened"));
  if (etag != NULL)
    *etag = g_steal_pointer (&now);
  return TRUE;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gi18n-lib.h>

#include "file/document.h"
#include "file/replace.h"

/* Not through a path: a share that GIO reaches itself. Its own replacement writes beside the file first where the
 * protocol can. */
static gboolean
replace_remote (GFile *file, GBytes *bytes, const SlDocumentStamp *stamp, gboolean overwrite, GCancellable *cancellable,
                GError **error)
{
  g_autofree char *etag = NULL;
  g_autoptr (GError) inner = NULL;
  g_autoptr (GFileOutputStream) stream = NULL;
  if (!overwrite && !sl_stamp_check (file, stamp, &etag, cancellable, error))
    return FALSE;
  if (!overwrite && sl_stamp_is_empty (stamp))
    stream = g_file_create (file, G_FILE_CREATE_NONE, cancellable, &inner);
  else
    stream = g_file_replace (file, etag, FALSE, G_FILE_CREATE_NONE, cancellable, &inner);
  gsize length;
  const void *data = g_bytes_get_data (bytes, &length);
  if (stream != NULL && g_output_stream_write_all (G_OUTPUT_STREAM (stream), data, length, NULL, cancellable, &inner) &&
      g_output_stream_close (G_OUTPUT_STREAM (stream), cancellable, &inner))
    return TRUE;
  if (stream != NULL)
    {
      /* Closing a stream that is cancelled gives the temporary file up instead of putting it in place. */
      g_autoptr (GCancellable) give_up = g_cancellable_new ();
      g_cancellable_cancel (give_up);
      g_output_stream_close (G_OUTPUT_STREAM (stream), give_up, NULL);
    }
  if (g_error_matches (inner, G_IO_ERROR, G_IO_ERROR_WRONG_ETAG))
    return sl_set_changed (error, _ ("Not saved: someone else saved this file since it was opened"));
  if (g_error_matches (inner, G_IO_ERROR, G_IO_ERROR_EXISTS))
    return sl_set_changed (error, _ ("Not saved: there is already a file of this name"));
  g_set_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE,
               _ ("Not saved: %s. Try again, or save in another place"), inner->message);
  return FALSE;
}

gboolean
sl_replace (GFile *file, GBytes *bytes, const SlDocumentStamp *stamp, gboolean overwrite, GCancellable *cancellable,
            GError **error)
{
  g_autofree char *path = g_file_is_native (file) ? g_file_get_path (file) : NULL;

  return path != NULL ? sl_replace_local (path, file, bytes, stamp, overwrite, cancellable, error)
                      : replace_remote (file, bytes, stamp, overwrite, cancellable, error);
}

/* What could not be read again must not be written. */
static gboolean
check_readable (GBytes *bytes, GError **error)
{
  g_autoptr (GPtrArray) faults = sl_document_faults_new ();
  gsize length;
  const char *text = g_bytes_get_data (bytes, &length);
  g_autoptr (SlProfile) back = sl_document_parse (text, length, faults);
  if (back != NULL)
    return TRUE;
  const SlDocumentFault *first = faults->pdata[0];
  g_set_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_FAULT, _ ("Not saved: %s"), first->message);
  return FALSE;
}

gboolean
sl_document_save (GFile *file, const SlProfile *profile, SlDocumentStamp *stamp, gboolean overwrite,
                  GCancellable *cancellable, GError **error)
{
  g_autoptr (GBytes) bytes = sl_document_print (profile);
  if (!check_readable (bytes, error) || g_cancellable_set_error_if_cancelled (cancellable, error))
    return FALSE;
  if (!sl_replace (file, bytes, stamp, overwrite, cancellable, error))
    return FALSE;
  g_autoptr (GFileInfo) info =
      g_file_query_info (file, G_FILE_ATTRIBUTE_ETAG_VALUE, G_FILE_QUERY_INFO_NONE, NULL, NULL);
  sl_stamp_set (stamp, info != NULL ? g_file_info_get_etag (info) : NULL, bytes);
  return TRUE;
}

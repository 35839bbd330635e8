/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file/document.h"

#include <glib/gi18n-lib.h>
#include <libxml/parser.h>
#include <string.h>

#include "file/reader.h"
#include "setup/profile/bounds.h"

static int
compare_lines (gconstpointer a, gconstpointer b)
{
  int first = (*(SlDocumentFault *const *) a)->line, second = (*(SlDocumentFault *const *) b)->line;
  return (first > second) - (first < second);
}

static gboolean
has_line (GPtrArray *faults, guint n, int line)
{
  for (guint i = 0; i < n; i++)
    if (((SlDocumentFault *) faults->pdata[i])->line == line)
      return TRUE;
  return FALSE;
}

/* The validator's complaints about lines that nothing else was said of. */
static void
add_complaints (GPtrArray *faults, GPtrArray *complaints)
{
  guint ours = faults->len;
  for (guint i = 0; i < complaints->len; i++)
    {
      SlDocumentFault *complaint = complaints->pdata[i];
      if (!has_line (faults, ours, complaint->line))
        sl_faults_add (faults, complaint->line, "%s", complaint->message);
    }
}

static void
add_checks (GPtrArray *faults, const GArray *places, const SlProfile *profile)
{
  g_autoptr (GPtrArray) checks = sl_profile_check (profile);
  for (guint i = 0; i < checks->len && faults->len < SL_MOST_FAULTS; i++)
    {
      SlFault *check = checks->pdata[i];
      sl_faults_add (faults, sl_place_line (places, check->where), "%s", check->message);
    }
}

/* The profile a loaded document holds, with what is wrong with it in @faults. */
static SlProfile *
profile_of (xmlDoc *doc, GPtrArray *faults)
{
  g_autoptr (GPtrArray) complaints = sl_document_faults_new ();
  gboolean valid = sl_validate (doc, complaints);
  g_autoptr (GArray) places = NULL;
  SlProfile *profile = sl_convert (xmlDocGetRootElement (doc), faults, &places);
  if (!valid)
    add_complaints (faults, complaints);
  if (places != NULL)
    add_checks (faults, places, profile);
  return profile;
}

SlProfile *
sl_document_parse (const char *text, gsize length, GPtrArray *faults)
{
  static gsize ready;
  if (g_once_init_enter (&ready))
    {
      xmlInitParser ();
      g_once_init_leave (&ready, 1);
    }
  g_autoptr (GPtrArray) unheard = faults == NULL ? sl_document_faults_new () : NULL;
  if (faults == NULL)
    faults = unheard;
  if (!sl_scan (text, length, faults))
    return NULL;
  xmlDoc *doc = sl_load (text, length, faults);
  if (doc == NULL)
    return NULL;
  g_autoptr (SlProfile) profile = profile_of (doc, faults);
  xmlFreeDoc (doc);
  if (faults->len == 0)
    return g_steal_pointer (&profile);
  g_ptr_array_sort (faults, compare_lines);
  if (faults->len >= SL_MOST_FAULTS)
    {
      SlDocumentFault *last = faults->pdata[faults->len - 1];
      sl_faults_take (faults, last->line, g_strdup_printf (_ ("only the first %d faults are listed"), SL_MOST_FAULTS));
    }
  return NULL;
}

SlProfile *
sl_document_read (GFile *file, SlDocumentStamp *stamp, GPtrArray *faults, GCancellable *cancellable, GError **error)
{
  g_autoptr (GPtrArray) own = faults == NULL ? sl_document_faults_new () : NULL;
  if (faults == NULL)
    faults = own;
  g_autoptr (GError) inner = NULL;
  g_autofree char *etag = NULL;
  g_autoptr (GBytes) bytes = sl_file_bytes (file, &etag, cancellable, &inner);
  if (bytes == NULL)
    {
      if (g_error_matches (inner, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        g_propagate_error (error, g_steal_pointer (&inner));
      else
        /* the system's message names the whole path before it comes to the point */
        g_set_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_READ, _ ("The file can't be read: %s"),
                     g_error_matches (inner, G_IO_ERROR, G_IO_ERROR_PERMISSION_DENIED) ? _ ("permission is missing")
                                                                                       : inner->message);
      return NULL;
    }
  gsize length;
  const char *text = g_bytes_get_data (bytes, &length);
  SlProfile *profile = sl_document_parse (text, length, faults);
  if (profile == NULL)
    {
      const SlDocumentFault *first = faults->pdata[0];
      g_set_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_FAULT, "%d: %s", first->line, first->message);
      return NULL;
    }
  sl_stamp_set (stamp, etag, bytes);
  return profile;
}

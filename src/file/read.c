/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file/document.h"

#include <libxml/parser.h>
#include <libxml/xmlschemas.h>
#include <semaphore.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "file-resources.h"
#include "file/document-private.h"
#include "setup/profile/bounds.h"
#include "words/one-line.h"

G_DEFINE_QUARK (sl_document_error_quark, sl_document_error)

static void
fault_free (gpointer data)
{
  SlDocumentFault *fault = data;
  g_free (fault->message);
  g_free (fault);
}

gboolean
sl_document_has_name (const char *name)
{
  const gsize length = strlen (name), ending = strlen (SL_DOCUMENT_EXTENSION);
  return length > ending && g_ascii_strcasecmp (name + length - ending, SL_DOCUMENT_EXTENSION) == 0;
}

GFile *
sl_document_photos (GFile *file)
{
  g_autofree char *name = g_file_get_basename (file), *whole = g_strconcat (name, SL_DOCUMENT_PHOTOS, NULL);
  g_autoptr (GFile) above = g_file_get_parent (file);
  GFile *const parent = above != NULL ? above : file;
  g_autoptr (GFile) own = g_file_get_child (parent, whole);
  if (!sl_document_has_name (name))
    return g_steal_pointer (&own);
  g_autofree char *stem = g_strndup (name, strlen (name) - strlen (SL_DOCUMENT_EXTENSION)),
                  *usual = g_strconcat (stem, SL_DOCUMENT_PHOTOS, NULL),
                  *plain = g_strconcat (stem, SL_DOCUMENT_EXTENSION, NULL);
  g_autoptr (GFile) namesake = g_file_get_child (parent, plain);
  if (!g_str_equal (name, plain) &&
      (g_file_query_exists (own, NULL) || (g_file_query_exists (namesake, NULL) && !sl_file_is (namesake, file))))
    return g_steal_pointer (&own);
  return g_file_get_child (parent, usual);
}

GPtrArray *
sl_document_faults_new (void)
{
  return g_ptr_array_new_with_free_func (fault_free);
}

static void
add_fault (GPtrArray *faults, int line, char *message)
{
  SlDocumentFault *fault = g_new (SlDocumentFault, 1);
  *fault = (SlDocumentFault){ line, message };
  g_ptr_array_add (faults, fault);
}

void
sl_faults_add (GPtrArray *faults, int line, const char *format, ...)
{
  if (faults->len >= SL_MOST_FAULTS)
    return;
  va_list args;
  va_start (args, format);
  add_fault (faults, line, g_strdup_vprintf (format, args));
  va_end (args);
}

char *
sl_shown_within (const char *text, int most)
{
  const char *end = text;
  for (int i = 0; i < most && *end != '\0'; i++)
    end = g_utf8_next_char (end);
  g_autofree char *part = g_strndup (text, end - text);
  char *shown = sl_one_line (part);
  if (*end == '\0')
    return shown;
  char *cut = g_strconcat (shown, "…", NULL);
  g_free (shown);
  return cut;
}

char *
sl_shown (const char *text)
{
  return sl_shown_within (text, SL_MOST_SHOWN);
}

void
sl_stamp_set (char **stamp, GBytes *bytes)
{
  if (stamp == NULL)
    return;
  g_free (*stamp);
  *stamp = g_compute_checksum_for_bytes (G_CHECKSUM_SHA256, bytes);
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
sl_file_bytes (GFile *file, GCancellable *cancellable, GError **error)
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
  return g_byte_array_free_to_bytes (g_steal_pointer (&bytes));
}

gboolean
sl_file_is (GFile *a, GFile *b)
{
  const char *const what = G_FILE_ATTRIBUTE_ID_FILE;
  g_autoptr (GFileInfo) first = g_file_query_info (a, what, G_FILE_QUERY_INFO_NONE, NULL, NULL),
                        second = g_file_query_info (b, what, G_FILE_QUERY_INFO_NONE, NULL, NULL);
  const char *id = first != NULL ? g_file_info_get_attribute_string (first, what) : NULL;
  return g_file_equal (a, b) ||
         (id != NULL && second != NULL && g_strcmp0 (id, g_file_info_get_attribute_string (second, what)) == 0);
}

/* A compiled schema is only read while it validates, so that threads share it; it lives as long as the program. */
static xmlSchema *
shared_schema (void)
{
  static xmlSchema *schema;
  static gsize ready;
  if (g_once_init_enter (&ready))
    {
      /* Named here, so that linking the static library keeps the resource. */
      g_autoptr (GBytes) bytes = g_resource_lookup_data (sl_file_get_resource (), "/org/sidelong/file/profile.xsd",
                                                         G_RESOURCE_LOOKUP_FLAGS_NONE, NULL);
      gsize size;
      const char *data = g_bytes_get_data (bytes, &size);
      xmlSchemaParserCtxt *parser = xmlSchemaNewMemParserCtxt (data, (int) size);
      schema = xmlSchemaParse (parser);
      xmlSchemaFreeParserCtxt (parser);
      if (schema == NULL)
        g_error ("the XSD compiled into this program can't be read");
      g_once_init_leave (&ready, 1);
    }
  return schema;
}

/* "Element '{urn:…}neck': …" becomes "<neck>: …": the namespace is the same everywhere and says nothing. */
static char *
tidy (const char *message)
{
  g_autoptr (GString) text = g_string_new (message);
  g_string_replace (text, "{" SL_DOCUMENT_NAMESPACE "}", "", 0);
  g_string_replace (text, "p:", "", 0);
  if (g_str_has_prefix (text->str, "Element '"))
    {
      g_string_erase (text, 0, (gssize) strlen ("Element '"));
      g_string_prepend_c (text, '<');
      char *quote = strchr (text->str, '\'');
      if (quote != NULL)
        *quote = '>';
    }
  return g_strchomp (g_string_free (g_steal_pointer (&text), FALSE));
}

static void
on_complaint (void *data, xmlError *error)
{
  const xmlNode *node = error->node;
  if (error->code == XML_SCHEMAV_CVC_MAXLENGTH_VALID)
    return; /* the profile's own check says it */
  while (node != NULL && node->type != XML_ELEMENT_NODE)
    node = node->parent;
  g_autofree char *message = tidy (error->message != NULL ? error->message : "");
  g_autofree char *shown = sl_shown_within (message, SL_MOST_SENTENCE);
  sl_faults_add (data, sl_node_line (node), "%s", shown);
}

/* Validates against the XSD, which is compiled once. Its complaints go to @complaints, as faults. */
static gboolean
validate (xmlDoc *doc, GPtrArray *complaints)
{
  xmlSchemaValidCtxt *context = xmlSchemaNewValidCtxt (shared_schema ());
  xmlSchemaSetValidStructuredErrors (context, on_complaint, complaints);
  /* Beside faults (> 0) there is −1, an error inside libxml2: that is no valid document either. */
  int result = xmlSchemaValidateDoc (context, doc);
  xmlSchemaFreeValidCtxt (context);
  return result == 0;
}

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
  for (guint i = 0; i < checks->len; i++)
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
  gboolean valid = validate (doc, complaints);
  g_autoptr (GArray) places = NULL;
  SlProfile *profile = sl_convert (xmlDocGetRootElement (doc), faults, &places);
  if (places != NULL)
    add_checks (faults, places, profile);
  if (!valid)
    add_complaints (faults, complaints);
  if (!valid && faults->len == 0)
    sl_faults_add (faults, sl_node_line (xmlDocGetRootElement (doc)),
                   _ ("the document does not have the form of a profile"));
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
  xmlDoc *doc = sl_load (text, length, faults);
  g_autoptr (SlProfile) profile = doc != NULL ? profile_of (doc, faults) : NULL;
  g_clear_pointer (&doc, xmlFreeDoc);
  if (faults->len == 0)
    return g_steal_pointer (&profile);
  g_ptr_array_sort (faults, compare_lines);
  if (faults->len >= SL_MOST_FAULTS)
    {
      SlDocumentFault *last = faults->pdata[faults->len - 1];
      add_fault (faults, last->line, g_strdup_printf (_ ("only the first %d faults are listed"), SL_MOST_FAULTS));
    }
  return NULL;
}

/* Waiting for a share costs nothing, parsing does (up to 64 MiB): however many threads read files, so many parse as
 * there are processors. */
static SlProfile *
parse_in_turn (const char *text, gsize length, GPtrArray *faults)
{
  static sem_t turns;
  static gsize ready;
  if (g_once_init_enter (&ready))
    {
      sem_init (&turns, 0, g_get_num_processors ());
      g_once_init_leave (&ready, 1);
    }
  while (sem_wait (&turns) != 0)
    ; /* a signal */
  SlProfile *profile = sl_document_parse (text, length, faults);
  sem_post (&turns);
  return profile;
}

SlProfile *
sl_document_read (GFile *file, char **stamp, GPtrArray *faults, GCancellable *cancellable, GError **error)
{
  g_autoptr (GPtrArray) own = faults == NULL ? sl_document_faults_new () : NULL;
  if (faults == NULL)
    faults = own;
  g_autoptr (GError) inner = NULL;
  g_autoptr (GBytes) bytes = sl_file_bytes (file, cancellable, &inner);
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
  SlProfile *profile = parse_in_turn (text, length, faults);
  if (profile == NULL)
    {
      const SlDocumentFault *first = faults->pdata[0];
      g_set_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_FAULT, "%d: %s", first->line, first->message);
      return NULL;
    }
  sl_stamp_set (stamp, bytes);
  return profile;
}

/* ---- threads ---- */

static int working; /* threads that are not done, atomically */

/* What the program ends with takes apart what such a thread may still be using. Nothing in it is waited for: it may
 * hang on a share. */
static void
leave_working (int status, gpointer unused)
{
  if (g_atomic_int_get (&working) == 0)
    return;
  fflush (NULL);
  _exit (status);
}

void
sl_thread_begin (void)
{
  static gboolean is_told;

  if (!is_told)
    on_exit (leave_working, NULL);
  is_told = TRUE;
  g_atomic_int_inc (&working);
}

void
sl_thread_end (void)
{
  g_atomic_int_add (&working, -1);
}

static void
do_work (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  ((GTaskThreadFunc) g_task_get_source_tag (task)) (task, source, data, cancellable);
  sl_thread_end ();
}

void
sl_run_task (GTask *task, GTaskThreadFunc work)
{
  sl_thread_begin ();
  g_task_set_source_tag (task, (gpointer) work);
  g_task_run_in_thread (task, do_work);
}

void
sl_run_in_thread (gpointer source, GCancellable *cancellable, GTaskThreadFunc work, gpointer data,
                  GDestroyNotify free_data, GAsyncReadyCallback done, gpointer done_data)
{
  g_autoptr (GTask) task = g_task_new (source, cancellable, done, done_data);

  g_task_set_task_data (task, data, free_data);
  sl_run_task (task, work);
}

static GThreadPool *turns; /* of one thread; NULL until it is needed */

static void
take_turn (gpointer data, gpointer unused)
{
  g_autoptr (GTask) task = data;
  GTaskThreadFunc work = (GTaskThreadFunc) g_task_get_source_tag (task);

  work (task, g_task_get_source_object (task), g_task_get_task_data (task), NULL);
}

void
sl_run_in_turn (gpointer source, GTaskThreadFunc work, gpointer data, GDestroyNotify free_data,
                GAsyncReadyCallback done, gpointer done_data)
{
  GTask *task = g_task_new (source, NULL, done, done_data);

  g_task_set_source_tag (task, (gpointer) work);
  g_task_set_task_data (task, data, free_data);
  if (turns == NULL)
    turns = g_thread_pool_new (take_turn, NULL, 1, FALSE, NULL);
  g_thread_pool_push (turns, task, NULL);
}

void
sl_finish_turns (void)
{
  if (turns != NULL)
    g_thread_pool_free (turns, FALSE, TRUE);
  turns = NULL;
}

void
sl_thread_return (GTask *task, GError *error)
{
  if (error != NULL)
    g_task_return_error (task, error);
  else
    g_task_return_boolean (task, TRUE);
}

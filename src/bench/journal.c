/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/journal.h"

#include "bench/photo-edit.h"
#include "file/document.h"
#include "file/in-use.h"
#include "words/dates.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <sys/stat.h>
#include <unistd.h>

#define FOLDER_MODE 0700 /* it holds owners and contacts */
#define FILE_MODE 0600
#define EXTENSION ".journal"
#define ASIDE ".discarded" /* behind that */
#define GROUP "journal"
#define VERSION 1
#define DAY_SECONDS (24 * 3600)
/* Whether a program runs on another machine that shares the folder can't be seen: its journals are offered here once
 * they are so old. */
#define ELSEWHERE_SECONDS (7 * DAY_SECONDS)
#define PART_SECONDS 3600 /* a part of a journal so old belongs to a killed program */

void
sl_journal_free (gpointer data)
{
  SlJournal *journal = data;

  g_free (journal->path);
  g_clear_pointer (&journal->profile, sl_profile_free);
  g_clear_object (&journal->file);
  g_free (journal->stamp);
  g_free (journal->written);
  g_strfreev (journal->typed);
  g_free (journal);
}

static char *
journal_folder (void)
{
  return g_build_filename (g_get_user_state_dir (), "sidelong", "journal", NULL);
}

char *
sl_journal_new_path (void)
{
  g_autofree char *folder = journal_folder (), *id = g_uuid_string_random (), *name = g_strconcat (id, EXTENSION, NULL);

  return g_build_filename (folder, name, NULL);
}

/* ---- the folder ---- */

static gint64
age_of (const char *path)
{
  struct stat info;

  return lstat (path, &info) == 0 ? g_get_real_time () / G_USEC_PER_SEC - info.st_mtim.tv_sec : 0;
}

static gboolean
is_aside (const char *path)
{
  return g_str_has_suffix (path, ASIDE);
}

/* In the order in which they may go: those put aside first, the oldest of each first. */
static int
compare (gconstpointer a, gconstpointer b)
{
  const char *one = *(char *const *) a, *other = *(char *const *) b;
  const gint64 age = age_of (one), other_age = age_of (other);

  return is_aside (one) != is_aside (other) ? is_aside (other) - is_aside (one) : (age < other_age) - (age > other_age);
}

/* The paths of what it holds; parts that killed programs left are removed. */
static GPtrArray *
look_into_folder (void)
{
  g_autofree char *folder = journal_folder ();
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  GPtrArray *paths = g_ptr_array_new_with_free_func (g_free);

  for (const char *name; dir != NULL && (name = g_dir_read_name (dir)) != NULL;)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);

      if (g_str_has_suffix (name, EXTENSION) || g_str_has_suffix (name, EXTENSION ASIDE))
        g_ptr_array_add (paths, g_steal_pointer (&path));
      else if (strstr (name, EXTENSION ".") != NULL && age_of (path) > PART_SECONDS)
        g_unlink (path);
    }
  g_ptr_array_sort (paths, compare);
  return paths;
}

/* Whether there is room for one at @path, which is made where it may be. */
static gboolean
make_room (const char *path)
{
  g_autoptr (GPtrArray) paths = look_into_folder ();
  guint n = paths->len + !g_file_test (path, G_FILE_TEST_EXISTS);

  for (guint i = 0; i < paths->len && n > SL_JOURNAL_MOST; i++)
    if ((is_aside (paths->pdata[i]) || age_of (paths->pdata[i]) > SL_JOURNAL_KEPT_DAYS * DAY_SECONDS) &&
        !g_str_equal (paths->pdata[i], path) && g_unlink (paths->pdata[i]) == 0)
      n--;
  return n <= SL_JOURNAL_MOST;
}

/* The photographs of profiles never saved, whose folders have the names of their ids: those of discarded journals go
 * with them, those of none (a program was killed as it saved) once they are so old that no running one has them. */
static void
tidy_photos (const GPtrArray *journals)
{
  g_autoptr (GFile) all = sl_photos_state_folder (NULL);
  g_autoptr (GDir) dir = g_dir_open (g_file_peek_path (all), 0, NULL);

  for (const char *id; dir != NULL && (id = g_dir_read_name (dir)) != NULL;)
    {
      g_autoptr (GFile) folder = g_file_get_child (all, id);
      gboolean kept = FALSE, discarded = age_of (g_file_peek_path (folder)) > ELSEWHERE_SECONDS;

      for (guint i = 0; i < journals->len && !kept; i++)
        {
          g_autofree char *text = NULL;
          gsize length = 0;

          /* wherever the id stands, also in one that can't be read as a journal */
          if (g_file_get_contents (journals->pdata[i], &text, &length, NULL) &&
              g_strstr_len (text, (gssize) length, id) != NULL)
            *(is_aside (journals->pdata[i]) ? &discarded : &kept) = TRUE;
        }
      if (discarded && !kept)
        sl_photos_clear_folder (folder, NULL);
    }
}

GPtrArray *
sl_journal_list (void)
{
  static int started;
  const gboolean first = g_atomic_int_compare_and_exchange (&started, 0, 1);
  g_autoptr (GPtrArray) all = look_into_folder ();
  GPtrArray *paths = g_ptr_array_new_with_free_func (g_free);

  if (first)
    tidy_photos (all);
  for (guint i = all->len; i-- > 0;)
    if (!is_aside (all->pdata[i]))
      g_ptr_array_add (paths, g_steal_pointer (&all->pdata[i]));
    else if (first)
      g_unlink (all->pdata[i]);
  return paths;
}

/* ---- who wrote it ---- */

/* Whether the program that wrote this header into @path may still run. */
static gboolean
is_running (GKeyFile *keys, const char *path)
{
  g_autofree char *host = g_key_file_get_string (keys, GROUP, "host", NULL),
                  *mark = g_key_file_get_string (keys, GROUP, "process", NULL);

  return g_strcmp0 (host, g_get_host_name ()) != 0 ? age_of (path) < ELSEWHERE_SECONDS : sl_process_runs (mark);
}

/* ---- writing and reading ---- */

static void
set_text (GKeyFile *keys, const char *key, const char *text)
{
  if (text != NULL)
    g_key_file_set_string (keys, GROUP, key, text);
}

gboolean
sl_journal_write (const SlJournal *journal, GError **error)
{
  g_autoptr (GKeyFile) keys = g_key_file_new ();
  g_autoptr (GBytes) document = sl_document_print (journal->profile);
  g_autofree char *sum = g_compute_checksum_for_bytes (G_CHECKSUM_SHA256, document), *now = sl_now_iso (),
                  *mark = sl_process_mark ((int) getpid ()), *folder = g_path_get_dirname (journal->path),
                  *uri = journal->file != NULL ? g_file_get_uri (journal->file) : NULL, *header = NULL;
  g_autoptr (GString) text = NULL;

  g_key_file_set_integer (keys, GROUP, "version", VERSION);
  set_text (keys, "file", uri);
  set_text (keys, "stamp", journal->stamp);
  set_text (keys, "written", now);
  set_text (keys, "host", g_get_host_name ());
  set_text (keys, "process", mark);
  if (journal->typed != NULL)
    g_key_file_set_string_list (keys, GROUP, "typed", (const char *const *) journal->typed,
                                g_strv_length (journal->typed));
  set_text (keys, "document", sum);
  header = g_key_file_to_data (keys, NULL, NULL);
  text = g_string_new (header);
  g_string_append_len (text, g_bytes_get_data (document, NULL), (gssize) g_bytes_get_size (document));
  g_mkdir_with_parents (folder, FOLDER_MODE); /* where it can't be, writing into it says so */
  if (text->len > SL_DOCUMENT_MOST_BYTES || !make_room (journal->path))
    {
      g_set_error_literal (error, G_FILE_ERROR, G_FILE_ERROR_NOSPC,
                           _ ("Too much unsaved work is kept already: it is offered when a window opens."));
      return FALSE;
    }
  return g_file_set_contents_full (journal->path, text->str, (gssize) text->len,
                                   G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE, FILE_MODE, error);
}

/* Whether a header is one that is written here, and belongs to the document behind it. */
static gboolean
accept_header (SlJournal *journal, GKeyFile *keys, const char *document, gsize length)
{
  g_autofree char *uri = g_key_file_get_string (keys, GROUP, "file", NULL),
                  *sum = g_key_file_get_string (keys, GROUP, "document", NULL),
                  *actual = g_compute_checksum_for_data (G_CHECKSUM_SHA256, (const guchar *) document, length);

  journal->stamp = g_key_file_get_string (keys, GROUP, "stamp", NULL);
  journal->written = g_key_file_get_string (keys, GROUP, "written", NULL);
  journal->typed = g_key_file_get_string_list (keys, GROUP, "typed", NULL, NULL);
  journal->file = uri != NULL ? g_file_new_for_uri (uri) : NULL;
  return g_key_file_get_integer (keys, GROUP, "version", NULL) == VERSION && g_strcmp0 (sum, actual) == 0 &&
         journal->written != NULL && (journal->typed == NULL || g_strv_length (journal->typed) % 2 == 0);
}

SlJournal *
sl_journal_read (const char *path, GError **error)
{
  g_autoptr (SlJournal) journal = g_new0 (SlJournal, 1);
  g_autoptr (GKeyFile) keys = g_key_file_new ();
  g_autoptr (GPtrArray) faults = sl_document_faults_new ();
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GBytes) bytes = sl_file_bytes (file, NULL, error);
  gsize length = 0, header;
  const char *text = bytes != NULL ? g_bytes_get_data (bytes, &length) : NULL, *document;

  if (bytes == NULL)
    return NULL;
  journal->path = g_strdup (path);
  /* a value's line breaks are spelled out, so nothing of the header looks like the document's first line */
  document = length > 0 ? g_strstr_len (text, (gssize) length, "\n<") : NULL;
  header = document != NULL ? (gsize) (++document - text) : 0;
  if (header > 0 && g_key_file_load_from_data (keys, text, header, G_KEY_FILE_NONE, NULL) &&
      accept_header (journal, keys, document, length - header))
    journal->profile = sl_document_parse (document, length - header, faults);
  if (journal->profile == NULL)
    g_set_error (error, G_FILE_ERROR, G_FILE_ERROR_INVAL, "“%s” is no journal: %s", path,
                 faults->len > 0 ? ((const SlDocumentFault *) faults->pdata[0])->message : "its header is broken");
  return journal->profile == NULL || is_running (keys, path) ? NULL : g_steal_pointer (&journal);
}

gboolean
sl_journal_put_aside (const char *path, gboolean back)
{
  g_autofree char *aside = g_strconcat (path, ASIDE, NULL);
  g_autoptr (SlJournal) left = back ? NULL : sl_journal_read (path, NULL);

  return (back || left != NULL) && g_rename (back ? aside : path, back ? path : aside) == 0;
}

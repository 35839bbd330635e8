/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The reader of journals, which lie in a folder through crashes and power cuts. The first byte chooses how far the rest
 * is let in: as the whole file, or its header completed with what belongs to the document behind it. What is read is a
 * whole profile with pairs of what was typed, and is written and printed again as it was. */
#include <string.h>

#include <glib/gstdio.h>

#include "bench/journal.h"
#include "file/document.h"
#include "fuzz.h"
#include "setup/profile/bounds.h"

static char *path;

int
LLVMFuzzerInitialize (int *argc, char ***argv)
{
  g_autofree char *folder = fuzz_folder ();

  g_setenv ("GIO_USE_VFS", "local", TRUE);
  g_setenv ("XDG_STATE_HOME", folder, TRUE);
  g_log_set_always_fatal (G_LOG_FATAL_MASK | G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING);
  path = g_build_filename (folder, "one.journal", NULL);
  return 0;
}

/* With a header that is none of this process, and the sum of its document, before what the input says beside. */
static void
write_completed (const char *text, gsize length)
{
  const char *document = g_strstr_len (text, (gssize) length, "\n<");
  const gsize header = document != NULL ? (gsize) (++document - text) : length;
  g_autofree char *sum =
      g_compute_checksum_for_data (G_CHECKSUM_SHA256, (const guchar *) text + header, length - header);
  g_autoptr (GString) whole = g_string_new ("[journal]\nversion=1\nwritten=2026-03-02T10:00:00Z\n");

  g_string_append_printf (whole, "host=%s\ndocument=%s\n", g_get_host_name (), sum);
  g_string_append_len (whole, text, (gssize) length);
  fuzz_write (path, whole->str, whole->len);
}

static void
check_journal (SlJournal *journal)
{
  g_autoptr (GPtrArray) faults = sl_profile_check (journal->profile);
  g_autoptr (GBytes) before = sl_document_print (journal->profile), after = NULL;
  g_autoptr (SlJournal) again = NULL;
  g_autoptr (GError) error = NULL;

  g_assert_cmpuint (faults->len, ==, 0);
  for (char **typed = journal->typed; typed != NULL && *typed != NULL; typed += 2)
    g_assert_true (typed[1] != NULL && g_utf8_validate (typed[0], -1, NULL) && g_utf8_validate (typed[1], -1, NULL));
  /* this process still runs, so its own is offered to nobody: NULL alone, and nothing wrong with it */
  g_assert_true (sl_journal_write (journal, &error));
  again = sl_journal_read (path, &error);
  g_assert_no_error (error);
  g_assert_null (again);
}

int
LLVMFuzzerTestOneInput (const guint8 *data, gsize size)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (SlJournal) journal = NULL;

  if (size == 0)
    return 0;
  if (data[0] % 2 == 0)
    fuzz_write (path, data + 1, size - 1);
  else
    write_completed ((const char *) data + 1, size - 1);
  journal = sl_journal_read (path, &error);
  g_assert_true (journal == NULL || error == NULL);
  g_assert_true (error == NULL || g_utf8_validate (error->message, -1, NULL));
  if (journal != NULL)
    check_journal (journal);
  return 0;
}

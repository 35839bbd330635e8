/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Journals of unsaved work: what is written is read again, privately and within bounds; nothing of a running program is
 * offered, nothing odd is believed, and a disk that refuses is told once. No display. */
#include "bench/bench.h"
#include "bench/journal.h"
#include "bench/photo-edit.h"
#include "bench/profiles.h"

#include "file/document.h"

#include "../rounds.h"

#include <glib/gstdio.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>
#include <utime.h>

#define DAY 86400
#define FILE_URI "file:///workshop/slipway%20parlour.sidelong"
#define STAMP "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef"

static char *
folder (void)
{
  return g_build_filename (g_get_user_state_dir (), "sidelong", "journal", NULL);
}

static SlJournal *
make_journal (void)
{
  static const char *const typed[] = { "Relief at fret 6, string 6", "0,3;x", "Note", "line one\nline <two>\\" };
  SlJournal *journal = g_new0 (SlJournal, 1);

  journal->path = sl_journal_new_path ();
  journal->profile = sl_starting_profile ("flat-top");
  journal->file = g_file_new_for_uri (FILE_URI);
  journal->stamp = g_strdup (STAMP);
  journal->typed = g_new0 (char *, G_N_ELEMENTS (typed) + 1);
  for (gsize i = 0; i < G_N_ELEMENTS (typed); i++)
    journal->typed[i] = g_strdup (typed[i]);
  return journal;
}

static void
write_journal (const SlJournal *journal)
{
  g_autoptr (GError) error = NULL;

  sl_journal_write (journal, &error);
  g_assert_no_error (error);
}

/* As a program that was killed leaves it: written by a child that is gone. */
static void
leave (const SlJournal *journal)
{
  const pid_t child = fork ();
  int status;

  if (child == 0)
    {
      umask (0); /* however open the person's files are */
      _exit (sl_journal_write (journal, NULL) ? 0 : 1);
    }
  g_assert_cmpint (waitpid (child, &status, 0), ==, child);
  g_assert_cmpint (status, ==, 0);
}

static char *
leave_journal (void)
{
  g_autoptr (SlJournal) journal = make_journal ();

  leave (journal);
  return g_strdup (journal->path);
}

/* How many would be offered. */
static guint
count_left (void)
{
  g_autoptr (GPtrArray) paths = sl_journal_list ();
  guint n = 0;

  for (guint i = 0; i < paths->len; i++)
    {
      g_autoptr (SlJournal) journal = sl_journal_read (paths->pdata[i], NULL);

      n += journal != NULL;
    }
  return n;
}

static void
empty_folder (void)
{
  g_autofree char *path = folder ();
  g_autoptr (GDir) dir = g_dir_open (path, 0, NULL);
  const char *name;

  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *file = g_build_filename (path, name, NULL);

      g_unlink (file);
    }
}

static void
on_failed (gpointer data, const char *reason)
{
  g_test_message ("%s", reason);
  ++*(int *) data;
}

static gboolean
is_there (const char *path)
{
  return g_file_test (path, G_FILE_TEST_EXISTS);
}

static void
test_round_trip (void)
{
  g_autoptr (SlJournal) journal = make_journal (), back = NULL;
  g_autoptr (GBytes) text = sl_document_print (journal->profile), again = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *uri = NULL, *place = folder ();
  struct stat info;

  leave (journal);
  back = sl_journal_read (journal->path, &error);
  g_assert_no_error (error);
  again = sl_document_print (back->profile);
  uri = g_file_get_uri (back->file);
  g_assert_true (g_bytes_equal (text, again));
  g_assert_cmpstr (uri, ==, FILE_URI);
  g_assert_cmpstr (back->stamp, ==, STAMP);
  g_assert_cmpstrv (back->typed, journal->typed);
  g_assert_nonnull (back->written);
  g_assert_cmpint (stat (journal->path, &info), ==, 0);
  g_assert_cmpint (info.st_mode & 07777, ==, 0600);
  g_assert_cmpint (stat (place, &info), ==, 0);
  g_assert_cmpint (info.st_mode & 07777, ==, 0700);
}

/* Only what a program left that has ended is offered; its process's number in use again by another is no life. */
static void
test_running (void)
{
  g_autoptr (SlJournal) own = make_journal ();
  g_autofree char *left = NULL, *text = NULL, *ours = NULL, *number = g_strdup_printf (" %d ", (int) getpid ());
  g_auto (GStrv) parts = NULL;
  struct utimbuf old = { time (NULL) - 8 * DAY, time (NULL) - 8 * DAY };

  write_journal (own);
  g_assert_cmpuint (count_left (), ==, 0);
  left = leave_journal ();
  g_assert_cmpuint (count_left (), ==, 1);

  g_assert_true (g_file_get_contents (own->path, &text, NULL, NULL));
  parts = g_strsplit (text, number, 2); /* behind the number stands when this process started */
  ours = g_strdup_printf ("%s%s1%s", parts[0], number, parts[1]);
  g_assert_true (g_file_set_contents (own->path, ours, -1, NULL));
  g_assert_cmpuint (count_left (), ==, 2);

  /* of another machine: whether it runs there can't be seen, until it is a week old */
  g_clear_pointer (&ours, g_free);
  g_strfreev (parts);
  parts = g_strsplit (text, g_get_host_name (), 2);
  ours = g_strdup_printf ("%selsewhere%s", parts[0], parts[1]);
  g_assert_true (g_file_set_contents (own->path, ours, -1, NULL));
  g_assert_cmpuint (count_left (), ==, 1);
  g_assert_cmpint (utime (own->path, &old), ==, 0);
  g_assert_cmpuint (count_left (), ==, 2);
}

static void
test_aside (void)
{
  g_autoptr (SlJournal) journal = make_journal ();
  g_autofree char *left = NULL;

  g_assert_cmpuint (count_left (), ==, 0); /* the program has started */
  left = leave_journal ();
  g_assert_true (sl_journal_put_aside (left, FALSE));
  g_assert_cmpuint (count_left (), ==, 0);
  g_assert_true (sl_journal_put_aside (left, TRUE));
  g_assert_cmpuint (count_left (), ==, 1);

  /* kept in one window, and then discarded in another that still offers it */
  g_free (journal->path);
  journal->path = g_strdup (left);
  write_journal (journal);
  g_assert_false (sl_journal_put_aside (left, FALSE));
  g_assert_true (is_there (left));
}

/* What is put aside goes at the next start of the program, which another process stands for; what is left stays. */
static void
test_next_start (void)
{
  g_autofree char *left = NULL, *aside = NULL, *aside_path = NULL;

  if (!g_test_subprocess ())
    {
      g_test_trap_subprocess (NULL, 0, G_TEST_SUBPROCESS_INHERIT_STDERR);
      g_test_trap_assert_passed ();
      return;
    }
  left = leave_journal ();
  aside = leave_journal ();
  aside_path = g_strconcat (aside, ".discarded", NULL);
  g_assert_true (sl_journal_put_aside (aside, FALSE));
  g_assert_true (is_there (aside_path));
  g_assert_cmpuint (count_left (), ==, 1);
  g_assert_false (is_there (aside_path));
  g_assert_true (is_there (left));
}

/* The folder of photographs of a profile never saved, with one in it, @days old. */
static char *
put_photo (const char *id, int days)
{
  g_autoptr (GFile) place = sl_photos_state_folder (id);
  g_autofree char *file = g_build_filename (g_file_peek_path (place), "nut.jpg", NULL);
  struct utimbuf then = { time (NULL) - days * DAY, time (NULL) - days * DAY };

  g_assert_cmpint (g_mkdir_with_parents (g_file_peek_path (place), 0700), ==, 0);
  g_assert_true (g_file_set_contents (file, "nut", -1, NULL));
  g_assert_cmpint (utime (g_file_peek_path (place), &then), ==, 0);
  return g_strdup (g_file_peek_path (place));
}

/* Photographs of what was never saved stay as long as a journal may need them: those of a discarded one go with it,
 * those of none once they are so old that no program can have them. */
static void
test_photos_next_start (void)
{
  g_autoptr (SlJournal) left = make_journal (), aside = make_journal (), elsewhere = make_journal ();
  g_autofree char *of_left = NULL, *of_aside = NULL, *fresh = NULL, *old = NULL, *broken = NULL,
                  *name = g_uuid_string_random (), *other = g_uuid_string_random (), *third = g_uuid_string_random ();

  if (!g_test_subprocess ())
    {
      g_test_trap_subprocess (NULL, 0, G_TEST_SUBPROCESS_INHERIT_STDERR);
      g_test_trap_assert_passed ();
      return;
    }
  g_clear_object (&left->file);
  g_clear_object (&aside->file);
  leave (left);
  leave (aside);
  g_assert_true (sl_journal_put_aside (aside->path, FALSE));
  of_left = put_photo (left->profile->id, 100);
  of_aside = put_photo (aside->profile->id, 0);
  fresh = put_photo (name, 6);
  old = put_photo (other, 8);
  /* one that can't be read as a journal may be of a later version */
  broken = put_photo (third, 100);
  g_assert_true (g_file_set_contents (elsewhere->path, third, -1, NULL));
  g_assert_cmpuint (count_left (), ==, 1);
  g_assert_true (is_there (of_left));
  g_assert_false (is_there (of_aside));
  g_assert_true (is_there (fresh));
  g_assert_false (is_there (old));
  g_assert_true (is_there (broken));
}

/* Given up on purpose they go with the journal; of what has a file, none is touched. */
static void
test_photos_stop (void)
{
  g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile ("flat-top")),
                      other = sl_bench_new (sl_starting_profile ("flat-top"));
  g_autoptr (GFile) file = g_file_new_for_uri (FILE_URI);
  g_autofree char *photos = put_photo (sl_bench_get_profile (bench)->id, 0),
                  *kept = put_photo (sl_bench_get_profile (other)->id, 0);

  sl_journal_keep (bench, TRUE, on_failed, NULL);
  sl_journal_keep (other, TRUE, on_failed, NULL);
  sl_journal_set_file (other, file, STAMP);
  sl_journal_stop (bench, TRUE);
  sl_journal_stop (other, TRUE);
  sl_journal_finish ();
  g_assert_false (is_there (photos));
  g_assert_true (is_there (kept));
}

/* A file of the folder, @days old. */
static char *
put_old (const char *suffix, int days)
{
  g_autofree char *path = sl_journal_new_path (), *full = g_strconcat (path, suffix, NULL);
  g_autofree char *place = folder ();
  struct utimbuf then = { time (NULL) - days * DAY, time (NULL) - days * DAY };

  g_assert_cmpint (g_mkdir_with_parents (place, 0700), ==, 0);
  g_assert_true (g_file_set_contents (full, "x", 1, NULL));
  g_assert_cmpint (utime (full, &then), ==, 0);
  return g_steal_pointer (&full);
}

static void
test_bounds (void)
{
  g_autoptr (SlJournal) journal = make_journal ();
  g_autoptr (GError) error = NULL;
  g_autofree char *old_discarded = NULL, *discarded = NULL, *oldest = NULL, *young = NULL, *part = NULL;

  part = put_old (".ABC123", 1);
  discarded = put_old (".discarded", 1);
  old_discarded = put_old (".discarded", 2);
  oldest = put_old ("", SL_JOURNAL_KEPT_DAYS + 1);
  young = put_old ("", SL_JOURNAL_KEPT_DAYS - 1);
  for (int i = 5; i <= SL_JOURNAL_MOST; i++)
    g_free (put_old ("", 1));
  write_journal (journal); /* one too many: the oldest discarded one */
  g_assert_false (is_there (old_discarded));
  g_assert_false (is_there (part));
  g_assert_true (is_there (discarded) && is_there (oldest) && is_there (young));
  for (int i = 0; i < 2; i++)
    {
      g_free (journal->path);
      journal->path = sl_journal_new_path ();
      write_journal (journal);
    }
  g_assert_false (is_there (discarded) || is_there (oldest));
  g_assert_true (is_there (young));

  /* now each is one that nobody has decided on */
  write_journal (journal); /* in its own place */
  g_free (journal->path);
  journal->path = sl_journal_new_path ();
  g_assert_false (sl_journal_write (journal, &error));
  g_assert_error (error, G_FILE_ERROR, G_FILE_ERROR_NOSPC);
  g_assert_true (is_there (young));
  g_assert_false (is_there (journal->path));
}

/* Nothing that was damaged, or that somebody else put there, is believed: it is refused, offered to nobody, and stays
 * where it is. */
static void
test_hostile (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (20);
  g_autofree char *left = NULL, *text = NULL, *header = NULL, *place = folder ();
  gsize length;

  left = leave_journal ();
  g_assert_true (g_file_get_contents (left, &text, &length, NULL));
  for (gsize cut = 0; cut < length; cut += 397)
    {
      g_assert_true (g_file_set_contents (left, text, (gssize) cut, NULL));
      g_assert_cmpuint (count_left (), ==, 0);
    }
  for (int i = 0; i < test_rounds (150); i++)
    {
      g_autofree char *copy = g_memdup2 (text, length);
      g_autoptr (GError) error = NULL;
      g_autoptr (SlJournal) read = NULL;

      for (int n = g_rand_int_range (rand, 1, 6); n > 0; n--)
        copy[g_rand_int_range (rand, 0, (int) length)] = (char) g_rand_int_range (rand, 0, 256);
      g_assert_true (g_file_set_contents (left, copy, (gssize) length, NULL));
      read = sl_journal_read (left, &error); /* with another time or place it is a journal still */
      g_assert_true (error == NULL || read == NULL);
      g_assert_true (read == NULL || (read->profile != NULL && read->written != NULL));
    }
  for (const char *const *bad = (const char *const[]){ "version=2", "typed=one;", NULL }; *bad != NULL; bad++)
    {
      header = (g_free (header), g_strconcat (*bad, "\ndocument=", NULL)); /* a later value wins */
      g_auto (GStrv) parts = g_strsplit (text, "document=", 2);
      g_autofree char *whole = g_strconcat (parts[0], header, parts[1], NULL);

      g_assert_true (g_file_set_contents (left, whole, -1, NULL));
      g_assert_cmpuint (count_left (), ==, 0);
    }
  g_assert_true (g_file_set_contents (left, text, (gssize) length, NULL));
  g_assert_cmpuint (count_left (), ==, 1);
  g_assert_cmpint (mkfifo ((g_free (place), place = sl_journal_new_path ()), 0600), ==, 0);
  g_assert_cmpuint (count_left (), ==, 1);
}

/* ---- of a bench ---- */

static void
rename_it (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  g_free (profile->identity.label);
  profile->identity.label = g_strdup (data);
}

/* Lets the main loop run until @path is there, or gone. */
static void
wait_for (const char *path, gboolean there)
{
  while (is_there (path) != there)
    g_main_context_iteration (NULL, TRUE);
}

/* A keeper's first journal, and where it is. */
static char *
wait_for_first (void)
{
  for (;;)
    {
      g_autoptr (GPtrArray) paths = sl_journal_list ();

      if (paths->len > 0)
        return g_strdup (paths->pdata[0]);
      g_main_context_iteration (NULL, TRUE);
    }
}

static gboolean
tick (gpointer data)
{
  return G_SOURCE_CONTINUE;
}

/* Whether the journal holds a text; it is this process's, which nobody is offered. */
static gboolean
holds (const char *path, const char *part)
{
  g_autofree char *text = NULL;

  return g_file_get_contents (path, &text, NULL, NULL) && strstr (text, part) != NULL;
}

static void
test_keeper (void)
{
  g_autofree char *path = NULL, *other = sl_journal_new_path ();
  g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile ("flat-top"));
  g_autoptr (GFile) file = g_file_new_for_uri (FILE_URI);
  const guint ticks = g_timeout_add (20, tick, NULL);
  static const char *const typed[] = { "Relief", "0.3", NULL };

  sl_journal_keep (bench, TRUE, on_failed, NULL);
  path = wait_for_first (); /* never saved: there is something to lose from the first moment */
  sl_journal_set_file (bench, file, STAMP);
  wait_for (path, FALSE);
  sl_bench_edit (bench, "rename", SL_CHANGED_TEXT, FALSE, rename_it, (gpointer) "Cooper's bench");
  wait_for (path, TRUE);
  g_assert_true (holds (path, "Cooper's bench") && holds (path, STAMP));
  sl_bench_undo (bench); /* as it is in the file */
  wait_for (path, FALSE);
  sl_bench_set_typed (bench, g_strdupv ((char **) typed));
  wait_for (path, TRUE);
  g_assert_true (holds (path, "typed=Relief;0.3;"));
  sl_bench_set_typed (bench, NULL);
  wait_for (path, FALSE);
  sl_bench_redo (bench);
  wait_for (path, TRUE);
  sl_bench_mark_saved (bench, sl_bench_get_revision (bench));
  wait_for (path, FALSE);
  sl_bench_undo (bench);
  wait_for (path, TRUE);
  sl_journal_take_over (bench, other); /* as if it came from there */
  wait_for (path, FALSE);
  wait_for (other, TRUE);
  path = (g_free (path), g_steal_pointer (&other));
  sl_bench_redo (bench);
  wait_for (path, FALSE);
  /* the program ends: what is due is written without waiting */
  sl_bench_undo (bench);
  sl_journal_finish ();
  g_assert_true (is_there (path));
  /* given up on purpose, a write still on its way */
  sl_bench_redo (bench);
  sl_bench_undo (bench);
  sl_journal_stop (bench, TRUE);
  sl_journal_finish ();
  g_assert_false (is_there (path));
  g_source_remove (ticks);
}

/* A disk that takes no more, or a folder that can't be made: told once, and work goes on; then it is written again. */
static void
test_refused (void)
{
  g_autofree char *path = NULL, *place = folder (), *before = NULL, *after = NULL;
  g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile ("flat-top"));
  const guint ticks = g_timeout_add (20, tick, NULL);
  struct rlimit usual, small = { 100, 100 };
  int failures = 0;

  sl_journal_keep (bench, TRUE, on_failed, &failures);
  path = wait_for_first ();
  g_assert_true (g_file_get_contents (path, &before, NULL, NULL));
  signal (SIGXFSZ, SIG_IGN);
  g_assert_cmpint (getrlimit (RLIMIT_FSIZE, &usual), ==, 0);
  small.rlim_max = usual.rlim_max;
  g_assert_cmpint (setrlimit (RLIMIT_FSIZE, &small), ==, 0);
  sl_bench_edit (bench, "rename", SL_CHANGED_TEXT, FALSE, rename_it, (gpointer) "One");
  while (failures == 0)
    g_main_context_iteration (NULL, TRUE);
  g_assert_true (g_file_get_contents (path, &after, NULL, NULL));
  g_assert_cmpstr (before, ==, after); /* the earlier one is whole */
  sl_bench_edit (bench, "rename", SL_CHANGED_TEXT, FALSE, rename_it, (gpointer) "Two");
  sl_journal_finish ();
  g_assert_cmpint (setrlimit (RLIMIT_FSIZE, &usual), ==, 0);
  while (!holds (path, "\"Two\""))
    g_main_context_iteration (NULL, TRUE); /* by itself, without a change */
  g_assert_cmpint (failures, ==, 1);

  empty_folder ();
  g_assert_cmpint (g_rmdir (place), ==, 0);
  g_assert_true (g_file_set_contents (place, "a file is in the way", -1, NULL));
  sl_bench_edit (bench, "rename", SL_CHANGED_TEXT, FALSE, rename_it, (gpointer) "Three");
  while (failures == 1)
    g_main_context_iteration (NULL, TRUE);
  g_assert_cmpint (g_unlink (place), ==, 0);
  wait_for (path, TRUE);
  g_source_remove (ticks);
}

static const struct
{
  const char *path;
  void (*test) (void);
} tests[] = {
  { "/journal/round-trip", test_round_trip },
  { "/journal/running", test_running },
  { "/journal/aside", test_aside },
  { "/journal/next-start", test_next_start },
  { "/journal/photos-next-start", test_photos_next_start },
  { "/journal/photos-stop", test_photos_stop },
  { "/journal/bounds", test_bounds },
  { "/journal/hostile", test_hostile },
  { "/journal/keeper", test_keeper },
  { "/journal/refused", test_refused },
};

/* Each begins with no journal there. */
/* Of what a test left there. */
static void
remove_photos (void)
{
  g_autoptr (GFile) all = sl_photos_state_folder (NULL);
  g_autoptr (GDir) dir = g_dir_open (g_file_peek_path (all), 0, NULL);

  for (const char *name; dir != NULL && (name = g_dir_read_name (dir)) != NULL;)
    {
      g_autoptr (GFile) one = g_file_get_child (all, name);

      sl_photos_clear_folder (one, NULL);
    }
  g_rmdir (g_file_peek_path (all));
}

static void
run (gconstpointer test)
{
  g_autofree char *place = folder ();
  GDir *left;

  tests[GPOINTER_TO_SIZE (test)].test ();
  left = g_dir_open (place, 0, NULL);
  for (const char *name; left != NULL && (name = g_dir_read_name (left)) != NULL;)
    {
      g_autofree char *path = g_build_filename (place, name, NULL);

      g_remove (path);
    }
  g_clear_pointer (&left, g_dir_close);
  g_rmdir (place);
  remove_photos ();
}

/* Not in folders that GLib isolates: each test there leaks their names, and sanitizers say so. */
int
main (int argc, char **argv)
{
  g_autofree char *state = g_dir_make_tmp ("sidelong-journal-XXXXXX", NULL),
                  *own = g_build_filename (state, "sidelong", NULL);
  int result;

  g_setenv ("XDG_STATE_HOME", state, TRUE);
  g_test_init (&argc, &argv, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (tests); i++)
    g_test_add_data_func (tests[i].path, GSIZE_TO_POINTER (i), run);
  result = g_test_run ();
  g_rmdir (own);
  g_rmdir (state);
  return result;
}

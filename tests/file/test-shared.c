/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Several programs save the same profiles at once, each adding a mark of its own by reading, changing and saving with
 * the stamp of what it read. Every mark whose save was reported done has to stand in the final file; every other saver
 * was told. Some of the programs are killed at any moment. With folders named on the command line the programs share
 * those, in turn (several ways to one folder, as from several machines), and figures are printed; else a folder on the
 * disk and one in memory are tried. A folder may have words of environment before it, which a program that uses it
 * gets. Other options make the program a single one of several that shared-folder.py leads. */
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include <glib/gstdio.h>

#include "file/document.h"
#include "file/folder-poll.h"
#include "file/in-use.h"
#include "support.h"

#define WORKERS 4
#define PROFILES 3
#define KILL_EACH_MS 150
#define LONGEST_S 240 /* only a fault takes so long */

static const char *program;
static int saves = 12;   /* of each worker */
static int kill_each_ms; /* 0: none is */

static char *
name_of (int profile)
{
  return g_strdup_printf ("profile-%d" SL_DOCUMENT_EXTENSION, profile);
}

/* ---- one of the programs ---- */

static void
write_log (FILE *log, const char *word, const char *mark)
{
  fprintf (log, "%s %s\n", word, mark);
  fflush (log);
}

/* Adds @mark to a profile; tries until it is there. */
static void
add_mark (GFile *file, const char *mark, FILE *log)
{
  static pid_t parent;

  if (parent == 0)
    parent = getppid ();
  while (getppid () == parent) /* once that is gone nobody counts any more */
    {
      g_autoptr (GError) error = NULL;
      g_autofree char *stamp = NULL, *before = NULL;
      g_autoptr (SlProfile) profile = sl_document_read (file, &stamp, NULL, NULL, &error);

      if (profile == NULL)
        {
          write_log (log, "unread", error->message);
          g_usleep (1000);
          continue;
        }
      if (profile->identity.note != NULL && strstr (profile->identity.note, mark) != NULL)
        {
          write_log (log, "saved", mark); /* before this one was told that it can't be known */
          return;
        }
      before = profile->identity.note;
      profile->identity.note = g_strconcat (before != NULL ? before : "", mark, NULL);
      write_log (log, "tries", mark);
      if (sl_document_save (file, profile, &stamp, FALSE, NULL, &error))
        {
          write_log (log, "saved", mark);
          return;
        }
      write_log (log,
                 g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_CHANGED)     ? "changed"
                 : g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_UNCERTAIN) ? "uncertain"
                                                                                           : "failed",
                 error->message);
    }
}

static int
work (const char *folder, int worker, int from, int to, const char *log_path)
{
  FILE *log = fopen (log_path, "a");

  for (int i = from; i < to; i++)
    {
      g_autofree char *name = name_of ((i + worker) % PROFILES), *mark = g_strdup_printf ("[%d.%d]", worker, i),
                      *path = g_build_filename (folder, name, NULL);
      g_autoptr (GFile) file = g_file_new_for_commandline_arg (path);

      add_mark (file, mark, log);
    }
  fclose (log);
  return 0;
}

/* ---- one that looks ---- */

/* Looks every second, as the shelf does; tells what it saw and when, s since 1970. */
static int
follow (const char *folder)
{
  g_autoptr (GFile) place = g_file_new_for_commandline_arg (folder);
  SlFolderPoll *poll = sl_folder_poll_new (place, sl_document_has_name, NULL);

  sl_folder_poll_look (poll, NULL);
  for (puts ("ready"); fflush (stdout) == 0; g_usleep (G_USEC_PER_SEC))
    {
      g_autoptr (GHashTable) changed = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
      GHashTableIter iter;
      gpointer name;

      sl_folder_poll_look (poll, changed);
      g_hash_table_iter_init (&iter, changed);
      while (g_hash_table_iter_next (&iter, &name, NULL))
        printf ("%s %.6f\n", (const char *) name, (double) g_get_real_time () / G_USEC_PER_SEC);
    }
  return 0;
}

/* Has a profile open until its input ends, and tells who else has. */
static int
have_open (const char *folder)
{
  g_autofree char *name = name_of (0), *path = g_build_filename (folder, name, NULL);
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (path);
  SlInUseNote *note = sl_in_use_take (file);
  g_autoptr (GPtrArray) others = NULL;

  g_assert_nonnull (note);
  others = sl_in_use_look (file, sl_in_use_beat (note), TRUE);
  for (guint i = 0; i < others->len; i++)
    {
      const SlInUse *other = others->pdata[i];

      printf ("%s %s, ", other->machine, other->left ? "left it" : "has it");
    }
  puts (others->len > 0 ? "" : "nobody");
  fflush (stdout);
  while (getchar () != EOF)
    ;
  sl_in_use_drop (note);
  return 0;
}

/* ---- all of them ---- */

typedef struct
{
  char *log;
  const char *folder;
  GPid pid; /* 0: done */
} Worker;

/* The first save a log has no end of. */
static int
next_of (const Worker *worker)
{
  g_autofree char *text = NULL;
  int n = 0;

  if (!g_file_get_contents (worker->log, &text, NULL, NULL))
    return 0;
  for (const char *line = text; (line = strstr (line, "saved [")) != NULL; line++)
    n++;
  return n;
}

static void
start (Worker *worker, int number)
{
  const int from = next_of (worker);
  g_autofree char *n = g_strdup_printf ("%d", number), *first = g_strdup_printf ("%d", from),
                  *last = g_strdup_printf ("%d", saves);
  g_auto (GStrv) words = g_strsplit (worker->folder, " ", -1), environment = g_get_environ ();
  char **word = words;

  for (; word[1] != NULL; word++)
    {
      g_auto (GStrv) pair = g_strsplit (*word, "=", 2);

      environment = g_environ_setenv (environment, pair[0], pair[1], TRUE);
    }
  char *argv[] = { (char *) program, "--work", *word, n, first, last, worker->log, NULL };

  worker->pid = 0;
  if (from < saves)
    g_assert_true (g_spawn_async (NULL, argv, environment, G_SPAWN_DO_NOT_REAP_CHILD, NULL, NULL, &worker->pid, NULL));
}

static void
run_workers (Worker *workers)
{
  const gint64 end = g_get_monotonic_time () + (gint64) LONGEST_S * G_USEC_PER_SEC * MAX (1, saves / 12);
  gint64 next_kill = g_get_monotonic_time () + kill_each_ms * 1000;

  for (int i = 0; i < WORKERS; i++)
    start (&workers[i], i);
  for (int running = WORKERS; running > 0; g_usleep (2000))
    {
      running = 0;
      for (int i = 0; i < WORKERS; i++)
        {
          int status;

          if (workers[i].pid != 0 && waitpid (workers[i].pid, &status, WNOHANG) == workers[i].pid)
            start (&workers[i], i); /* one that was killed goes on where it was */
          running += workers[i].pid != 0;
        }
      if (kill_each_ms > 0 && running > 0 && g_get_monotonic_time () > next_kill)
        {
          const int victim = g_random_int_range (0, WORKERS);

          if (workers[victim].pid != 0)
            kill (workers[victim].pid, SIGKILL);
          next_kill = g_get_monotonic_time () + kill_each_ms * 1000;
        }
      g_assert_cmpint (g_get_monotonic_time (), <, end);
    }
}

typedef struct
{
  int tried, saved, changed, failed, unread, lost;
} Figures;

static void
count (const Worker *worker, const char *notes, Figures *figures)
{
  g_autofree char *text = NULL;
  g_auto (GStrv) lines = NULL;

  g_assert_true (g_file_get_contents (worker->log, &text, NULL, NULL));
  lines = g_strsplit (text, "\n", -1);
  for (char **line = lines; *line != NULL; line++)
    {
      figures->tried += g_str_has_prefix (*line, "tries ");
      figures->changed += g_str_has_prefix (*line, "changed ");
      figures->failed += g_str_has_prefix (*line, "failed ") || g_str_has_prefix (*line, "uncertain ");
      figures->unread += g_str_has_prefix (*line, "unread ");
      if (g_str_has_prefix (*line, "failed ") || g_str_has_prefix (*line, "un"))
        fprintf (stderr, "%s\n", *line);
      if (!g_str_has_prefix (*line, "saved "))
        continue;
      figures->saved++;
      if (strstr (notes, *line + strlen ("saved ")) == NULL)
        {
          figures->lost++;
          printf ("# lost: %s\n", *line);
        }
    }
}

static Figures
share (const char *const *folders, int n_folders)
{
  g_autofree char *logs = g_dir_make_tmp ("sidelong-shared-XXXXXX", NULL);
  g_autoptr (GString) notes = g_string_new (NULL);
  const char *first = strrchr (folders[0], ' ') != NULL ? strrchr (folders[0], ' ') + 1 : folders[0];
  Worker workers[WORKERS] = { 0 };
  Figures figures = { 0 };

  for (int i = 0; i < PROFILES; i++)
    {
      g_autofree char *name = name_of (i), *path = g_build_filename (first, name, NULL), *text = test_example (NULL);
      g_autoptr (GFile) file = g_file_new_for_commandline_arg (path);
      g_autoptr (SlProfile) profile = test_parse (text);
      g_autoptr (GError) error = NULL;

      sl_document_save (file, profile, NULL, TRUE, NULL, &error);
      g_assert_no_error (error);
    }
  for (int i = 0; i < WORKERS; i++)
    {
      workers[i].log = g_strdup_printf ("%s/%d", logs, i);
      workers[i].folder = folders[i % n_folders];
    }
  run_workers (workers);
  for (int i = 0; i < PROFILES; i++)
    {
      g_autofree char *name = name_of (i), *path = g_build_filename (first, name, NULL);
      g_autoptr (GFile) file = g_file_new_for_commandline_arg (path);
      g_autoptr (GError) error = NULL;
      g_autoptr (SlProfile) profile = sl_document_read (file, NULL, NULL, NULL, &error);

      g_assert_no_error (error);
      g_string_append (notes, profile->identity.note);
      g_file_delete (file, NULL, NULL);
    }
  for (int i = 0; i < WORKERS; i++)
    {
      count (&workers[i], notes->str, &figures);
      g_unlink (workers[i].log);
      g_free (workers[i].log);
    }
  g_rmdir (logs);
  return figures;
}

static void
assert_none_lost (const char *place, const Figures *f)
{
  g_test_message ("%s: %d saves tried, %d done, %d told of another's, %d otherwise failed, %d lost", place, f->tried,
                  f->saved, f->changed, f->failed, f->lost);
  g_assert_cmpint (f->saved, ==, WORKERS * saves);
  g_assert_cmpint (f->lost, ==, 0);
}

static void
share_in (const char *template)
{
  g_autofree char *folder = g_strdup (template);
  const char *const folders[] = { folder };
  Figures figures;

  if (g_mkdtemp (folder) == NULL)
    {
      g_test_skip (template);
      return;
    }
  figures = share (folders, 1);
  assert_none_lost (folder, &figures);
  test_folder_free (g_steal_pointer (&folder));
}

static void
test_disk (void)
{
  kill_each_ms = 0;
  share_in ("/var/tmp/sidelong-shared-XXXXXX");
}

static void
test_killed (void)
{
  kill_each_ms = KILL_EACH_MS;
  share_in ("/var/tmp/sidelong-shared-XXXXXX");
}

static void
test_memory (void)
{
  kill_each_ms = KILL_EACH_MS;
  share_in ("/dev/shm/sidelong-shared-XXXXXX");
}

/* test-shared SAVES KILL_EACH_MS FOLDER...: a line of figures. */
static int
print_figures (char **argv, int argc)
{
  Figures f;

  saves = atoi (argv[1]);
  kill_each_ms = atoi (argv[2]);
  f = share ((const char *const *) argv + 3, argc - 3);
  printf ("%d tried, %d saved, %d told changed, %d told otherwise, %d unread, %d lost\n", f.tried, f.saved, f.changed,
          f.failed, f.unread, f.lost);
  return f.lost == 0 && f.saved == WORKERS * saves ? 0 : 1;
}

int
main (int argc, char **argv)
{
  program = argv[0];
  if (argc == 7 && g_str_equal (argv[1], "--work"))
    return work (argv[2], atoi (argv[3]), atoi (argv[4]), atoi (argv[5]), argv[6]);
  if (argc == 3 && g_str_equal (argv[1], "--follow"))
    return follow (argv[2]);
  if (argc == 3 && g_str_equal (argv[1], "--open"))
    return have_open (argv[2]);
  if (argc > 3 && g_ascii_isdigit (*argv[1]))
    return print_figures (argv, argc);
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/shared/disk", test_disk);
  g_test_add_func ("/shared/killed", test_killed);
  g_test_add_func ("/shared/memory", test_memory);
  return g_test_run ();
}

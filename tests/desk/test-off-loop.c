/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window's own thread asks no file for anything: a share that hangs holds up nobody who works. A stand-in for a
 * file on a share counts who asks it
 * (../file/remote-file.h); a pipe in a file's place (mkfifo(3): opening it waits for the other end) is as slow as can
 * be. Skipped where there is no display. */
#include "../file/remote-file.h"

#include "desk/app.h"
#include "bench/explanations.h"
#include "desk/window/parts.h"
#include "desk/window/window-private.h"
#include "draw/draw.h"
#include "words/explain.h"

#include <fcntl.h>
#include <glib/gstdio.h>
#include <locale.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#define SKIPPED 77
#define LONGEST_WAIT_US (120 * G_USEC_PER_SEC) /* only a fault takes so long */

#define wait_for(condition)                                                                                            \
  G_STMT_START                                                                                                         \
  {                                                                                                                    \
    const gint64 end = g_get_monotonic_time () + LONGEST_WAIT_US;                                                      \
    while (!(condition))                                                                                               \
      {                                                                                                                \
        g_assert_cmpint (g_get_monotonic_time (), <, end);                                                             \
        g_main_context_iteration (NULL, FALSE);                                                                        \
        g_usleep (500);                                                                                                \
      }                                                                                                                \
  }                                                                                                                    \
  G_STMT_END

static char *folder;
static GtkApplication *app;

static char *
copy_example (const char *name)
{
  g_autofree char *from = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "tests", "example.sidelong", NULL),
                  *text = NULL;
  char *to = g_build_filename (folder, name, NULL);

  g_assert_true (g_file_get_contents (from, &text, NULL, NULL));
  g_assert_true (g_file_set_contents (to, text, -1, NULL));
  return to;
}

static SlBench *
example_bench (void)
{
  g_autofree char *path = copy_example ("bench.sidelong");
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  SlProfile *profile = sl_document_read (file, NULL, NULL, NULL, &error);

  g_assert_no_error (error);
  return sl_bench_new (profile);
}

static guint
count_windows (void)
{
  return g_list_length (gtk_application_get_windows (GTK_APPLICATION (app)));
}

static void
edit_note (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  g_free (visit->note);
  visit->note = g_strdup (data);
}

/* Opening, opening once more by another path, and saving. */
static void
test_window (void)
{
  g_autofree char *path = copy_example ("share.sidelong"), *other = g_build_filename (folder, "link.sidelong", NULL);
  g_autoptr (GFile) local = g_file_new_for_path (path), remote = test_remote_file_new (local),
                    link = g_file_new_for_path (other);
  g_autoptr (GFile) remote_link = test_remote_file_new (link);
  SlWindow *window = sl_window_new (GTK_APPLICATION (app));

  g_assert_cmpint (symlink (path, other), ==, 0);
  test_remote_file_calls (g_thread_self ());
  gtk_window_present (GTK_WINDOW (window));
  sl_window_show_file (GTK_APPLICATION (app), remote, GTK_WINDOW (window));
  wait_for (window->bench != NULL);
  g_assert_nonnull (window->file_id);
  g_assert_nonnull (window->watch);
  sl_window_show_file (GTK_APPLICATION (app), remote_link, NULL); /* as the shelf asks for it */
  g_assert_cmpuint (count_windows (), ==, 2);
  wait_for (count_windows () == 1);
  sl_bench_edit (window->bench, "note", SL_CHANGED_VISIT, TRUE, edit_note, (gpointer) "buzz at fret 7");
  sl_window_save (window);
  wait_for (!window->saving);
  g_assert_false (sl_bench_is_modified (window->bench));
  g_assert_cmpuint (test_remote_file_calls (g_thread_self ()), ==, 0);
  gtk_window_destroy (GTK_WINDOW (window));
}

typedef struct
{
  gboolean done;
  int n_written, n_pages;
  GError *error;
} Export;

static void
on_exported (GObject *source, GAsyncResult *result, gpointer data)
{
  Export *export = data;
  const SlExportOutcome *outcome;

  sl_export_finish (result, &outcome, &export->error);
  export->n_written = (int) outcome->files->len;
  export->n_pages = outcome->n_pages;
  export->done = TRUE;
}

static void
export_and_wait (SlBench *bench, SlExportKind kind, const SlExportTarget *target, GCancellable *cancellable,
                 Export *export)
{
  const SlExportChoices choices = { 0 };

  *export = (Export){ 0 };
  test_remote_file_calls (g_thread_self ());
  sl_export_async (bench, bench, kind, target, &choices, cancellable, on_exported, export);
  wait_for (export->done);
  g_assert_cmpuint (test_remote_file_calls (g_thread_self ()), ==, 0);
}

/* What is exported is the bench as it was when it was asked for. */
static void
test_export (void)
{
  g_autoptr (SlBench) bench = example_bench ();
  g_autofree char *path = g_build_filename (folder, "picture.svg", NULL), *text = NULL;
  g_autoptr (GFile) local = g_file_new_for_path (path), remote = test_remote_file_new (local);
  g_autoptr (GBytes) expected = NULL;
  SlPictureOptions options;
  Export export;
  gsize n;

  sl_picture_options_init (&options);
  options.kind = SL_PICTURE_ALL;
  options.width = SL_EXPORT_SHEET_WIDTH;
  options.height = SL_EXPORT_SHEET_HEIGHT;
  options.string = sl_bench_get_string (bench);
  options.decimal = sl_decimal_sign ();
  expected = sl_picture_render (sl_bench_get_analysis (bench), &options, SL_FORMAT_SVG, 1, NULL);
  export_and_wait (bench, SL_EXPORT_PICTURE, &(SlExportTarget){ .file = remote, .format = SL_FORMAT_SVG }, NULL,
                   &export);
  g_assert_no_error (export.error);
  g_assert_cmpint (export.n_written, ==, 1);
  g_assert_true (g_file_get_contents (path, &text, &n, NULL));
  g_assert_cmpmem (text, n, g_bytes_get_data (expected, NULL), g_bytes_get_size (expected));
}

/* Stopped while a page is written: that one is not put in place, nor any further; the file that was there stays. */
static void
test_stop (void)
{
  g_autoptr (SlBench) bench = example_bench ();
  g_autofree char *path = g_build_filename (folder, "t.svg", NULL), *first = g_build_filename (folder, "t-1.svg", NULL),
                  *text = NULL;
  g_autofree char *second = g_build_filename (folder, "t-2.svg", NULL);
  g_autoptr (GFile) local = g_file_new_for_path (path), remote = test_remote_file_new (local);
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  const SlExportTarget target = { .file = remote, .format = SL_FORMAT_SVG, .replaces_pages = TRUE };
  Export export;

  g_assert_true (g_file_set_contents (first, "as it was", -1, NULL));
  test_remote_file_cancel_at_write (cancellable);
  export_and_wait (bench, SL_EXPORT_TEMPLATES, &target, cancellable, &export);
  test_remote_file_cancel_at_write (NULL);
  g_assert_error (export.error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
  g_clear_error (&export.error);
  g_assert_cmpint (export.n_pages, >, 1);
  g_assert_cmpint (export.n_written, ==, 0);
  g_assert_true (g_file_get_contents (first, &text, NULL, NULL));
  g_assert_cmpstr (text, ==, "as it was");
  g_assert_false (g_file_test (second, G_FILE_TEST_EXISTS));

  export_and_wait (bench, SL_EXPORT_TEMPLATES, &target, NULL, &export);
  g_assert_no_error (export.error);
  g_assert_cmpint (export.n_written, ==, export.n_pages);
  g_assert_true (g_file_test (second, G_FILE_TEST_EXISTS));
}

/* The pages of a name that was free may not be; they are named, and nothing is written unless they may be replaced. */
static void
test_pages_in_the_way (void)
{
  g_autoptr (SlBench) bench = example_bench ();
  g_autofree char *path = g_build_filename (folder, "w.svg", NULL),
                  *second = g_build_filename (folder, "w-2.svg", NULL),
                  *first = g_build_filename (folder, "w-1.svg", NULL), *text = NULL;
  g_autoptr (GFile) file = g_file_new_for_path (path);
  SlExportTarget target = { .file = file, .format = SL_FORMAT_SVG };
  Export export;

  g_assert_true (g_file_set_contents (second, "somebody's", -1, NULL));
  export_and_wait (bench, SL_EXPORT_TEMPLATES, &target, NULL, &export);
  g_assert_error (export.error, G_IO_ERROR, G_IO_ERROR_EXISTS);
  g_assert_nonnull (strstr (export.error->message, "“w-2.svg”"));
  g_assert_null (strstr (export.error->message, "w-1.svg"));
  g_clear_error (&export.error);
  g_assert_cmpint (export.n_written, ==, 0);
  g_assert_false (g_file_test (first, G_FILE_TEST_EXISTS));
  g_assert_true (g_file_get_contents (second, &text, NULL, NULL));
  g_assert_cmpstr (text, ==, "somebody's");
  target.replaces_pages = TRUE;
  export_and_wait (bench, SL_EXPORT_TEMPLATES, &target, NULL, &export);
  g_assert_no_error (export.error);
  g_assert_cmpint (export.n_written, ==, export.n_pages);
}

/* Exported over, by whichever path, the profile would be lost. */
static void
test_over_the_profile (void)
{
  g_autoptr (SlBench) bench = example_bench ();
  g_autofree char *path = copy_example ("own.pdf"), *link = g_build_filename (folder, "link.pdf", NULL), *before = NULL,
                  *after = NULL;
  g_autoptr (GFile) profile = g_file_new_for_path (path), linked = g_file_new_for_path (link);
  GFile *const files[] = { profile, linked };
  Export export;

  g_assert_cmpint (symlink (path, link), ==, 0);
  g_assert_true (g_file_get_contents (path, &before, NULL, NULL));
  for (guint i = 0; i < G_N_ELEMENTS (files); i++)
    {
      const SlExportTarget target = { .file = files[i], .profile = profile, .format = SL_FORMAT_PDF };

      export_and_wait (bench, SL_EXPORT_SHEET, &target, NULL, &export);
      g_assert_error (export.error, G_IO_ERROR, G_IO_ERROR_FAILED);
      g_clear_error (&export.error);
    }
  g_assert_true (g_file_get_contents (path, &after, NULL, NULL));
  g_assert_cmpstr (after, ==, before);
}

/* A disk without room (RLIMIT_FSIZE, getrlimit(2)): the file that was there is whole, whatever is exported. */
static void
test_full_disk (void)
{
  static const struct
  {
    const char *name;
    SlFormat format;
    SlExportKind kind;
  } rows[] = { { "full.svg", SL_FORMAT_SVG, SL_EXPORT_PICTURE },
               { "full.png", SL_FORMAT_PNG, SL_EXPORT_PICTURE },
               { "full.pdf", SL_FORMAT_PDF, SL_EXPORT_SHEET },
               { "full.csv", SL_FORMAT_PDF, SL_EXPORT_TABLE } };
  g_autoptr (SlBench) bench = example_bench ();
  struct rlimit before, full;

  signal (SIGXFSZ, SIG_IGN);
  g_assert_cmpint (getrlimit (RLIMIT_FSIZE, &before), ==, 0);
  full = (struct rlimit){ 300, before.rlim_max };
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autofree char *path = g_build_filename (folder, rows[i].name, NULL), *text = NULL;
      g_autoptr (GFile) file = g_file_new_for_path (path);
      const SlExportTarget target = { .file = file, .format = rows[i].format };
      Export export;

      g_assert_true (g_file_set_contents (path, "as it was", -1, NULL));
      g_assert_cmpint (setrlimit (RLIMIT_FSIZE, &full), ==, 0);
      export_and_wait (bench, rows[i].kind, &target, NULL, &export);
      g_assert_cmpint (setrlimit (RLIMIT_FSIZE, &before), ==, 0);
      g_assert_error (export.error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_WRITE);
      g_clear_error (&export.error);
      g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
      g_assert_cmpstr (text, ==, "as it was");
    }
}

static void
on_refused (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GError) error = NULL;

  g_assert_false (sl_explanation_put_finish (result, &error));
  g_assert_nonnull (error);
  ++*(int *) data;
}

static void
on_put (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GError) error = NULL;

  sl_explanation_put_finish (result, &error);
  g_assert_no_error (error);
  ++*(int *) data;
}

/* The file of one's own words is as slow as can be: they are in force at once, the last one typed is what stands in the
 * file at the end. */
static void
test_own_words (void)
{
  g_autoptr (SlBench) bench = example_bench ();
  const SlSpeech speech = { .style = { SL_LENGTHS_MM, "." } };
  g_autoptr (GPtrArray) told = NULL;
  g_autofree char *words = g_build_filename (g_get_user_data_dir (), "sidelong", "explanations", NULL), *now = NULL,
                  *kept = NULL;
  g_autofree char *name = g_strconcat (sl_bench_get_profile (bench)->id, ".ini", NULL),
                  *pipe_path = g_build_filename (words, name, NULL);
  const SlSentence *sentence;
  SlOutcome outcome;
  int done = 0, writing_end;

  sl_explanations_give (bench, sl_explanations_new (sl_bench_get_profile (bench)->id, FALSE)); /* as the window does */
  sl_outcome_init (&outcome, sl_bench_get_profile (bench), NULL, &sl_bench_get_analysis (bench)->shop);
  told = sl_explain_work (&outcome, &speech, TRUE);
  sentence = g_ptr_array_index (told, 0);
  g_assert_cmpint (g_mkdir_with_parents (words, 0700), ==, 0);
  g_assert_cmpint (mkfifo (pipe_path, 0600), ==, 0);
  sl_explanation_put (bench, sentence, "Typed first.", on_refused, &done);
  now = sl_explanation_get (bench, sentence, NULL);
  g_assert_cmpstr (now, ==, "Typed first.");
  g_assert_cmpint (done, ==, 0);
  wait_for ((writing_end = open (pipe_path, O_WRONLY | O_NONBLOCK)) >= 0); /* not before the thread reads */
  close (writing_end);
  wait_for (done == 1); /* a pipe is no file of words */
  g_assert_cmpint (g_unlink (pipe_path), ==, 0);
  for (int i = 1; i <= 9; i++)
    {
      g_autofree char *text = g_strdup_printf ("Typed for the %dth time.", i);

      sl_explanation_put (bench, sentence, text, on_put, &done);
    }
  wait_for (done == 10);
  g_assert_null (sl_explanation_failure (bench, sentence));
  g_assert_true (g_file_get_contents (pipe_path, &kept, NULL, NULL));
  g_assert_nonnull (strstr (kept, "Typed for the 9th time."));
  sl_outcome_clear (&outcome);
}

/* What can't be written is told of its sentence, and no longer once it can. */
static void
test_words_unkept (void)
{
  g_autoptr (SlBench) bench = example_bench ();
  const SlSpeech speech = { .style = { SL_LENGTHS_MM, "." } };
  g_autoptr (GPtrArray) told = NULL;
  g_autofree char *name = g_strconcat (sl_bench_get_profile (bench)->id, ".ini", NULL);
  g_autofree char *path = g_build_filename (g_get_user_data_dir (), "sidelong", "explanations", name, NULL);
  const SlSentence *sentence;
  SlOutcome outcome;
  int done = 0;

  sl_outcome_init (&outcome, sl_bench_get_profile (bench), NULL, &sl_bench_get_analysis (bench)->shop);
  told = sl_explain_work (&outcome, &speech, TRUE);
  sentence = g_ptr_array_index (told, 0);
  g_unlink (path);
  g_assert_cmpint (g_mkdir_with_parents (path, 0700), ==, 0); /* in the way */
  sl_explanation_put (bench, sentence, "Cannot be kept.", on_refused, &done);
  wait_for (done == 1);
  g_assert_nonnull (sl_explanation_failure (bench, sentence));
  g_assert_cmpint (g_rmdir (path), ==, 0);
  sl_explanation_put (bench, sentence, "Can be kept.", on_put, &done);
  sl_finish_turns (); /* as when the program ends */
  g_assert_true (g_file_test (path, G_FILE_TEST_IS_REGULAR));
  wait_for (done == 2);
  g_assert_null (sl_explanation_failure (bench, sentence));
  sl_outcome_clear (&outcome);
}

int
main (int argc, char **argv)
{
  int status;

  setlocale (LC_ALL, "");
  g_test_init (&argc, &argv, NULL);
  folder = g_dir_make_tmp ("sidelong-off-loop-XXXXXX", NULL);
  g_setenv ("XDG_DATA_HOME", folder, TRUE);
  if (!gtk_init_check ())
    return SKIPPED;
  app = sl_app_new ();
  g_application_set_flags (G_APPLICATION (app),
                           g_application_get_flags (G_APPLICATION (app)) | G_APPLICATION_NON_UNIQUE);
  g_assert_true (g_application_register (G_APPLICATION (app), NULL, NULL));
  g_test_add_func ("/off-loop/window", test_window);
  g_test_add_func ("/off-loop/export", test_export);
  g_test_add_func ("/off-loop/stop", test_stop);
  g_test_add_func ("/off-loop/pages-in-the-way", test_pages_in_the_way);
  g_test_add_func ("/off-loop/over-the-profile", test_over_the_profile);
  g_test_add_func ("/off-loop/full-disk", test_full_disk);
  g_test_add_func ("/off-loop/own-words", test_own_words);
  g_test_add_func ("/off-loop/words-unkept", test_words_unkept);
  status = g_test_run ();
  g_object_unref (app);
  return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Work that was left unsaved, on its way back into a window: it comes onto the bench with its own file only. Skipped
 * where there is no display. */
#include "live-window.h"

#include "bench/journal.h"
#include "bench/profiles.h"
#include "file/document.h"

#include <glib/gstdio.h>

#define SKIPPED 77
#define THEIRS "What was left"
#define OTHER "Another instrument"

static GtkApplication *app;

typedef struct
{
  char *folder;
  GFile *file, *other; /* the first is not there */
  SlWindow *window;
} Fixture;

static SlProfile *
new_profile (const char *label)
{
  SlProfile *profile = sl_starting_profile ("flat-top");

  g_free (profile->identity.label);
  profile->identity.label = g_strdup (label);
  return profile;
}

static void
set_up (Fixture *f, gconstpointer data)
{
  g_autoptr (SlProfile) other = new_profile (OTHER);

  f->folder = g_dir_make_tmp ("sidelong-left-XXXXXX", NULL);
  f->file = g_file_new_build_filename (f->folder, "left.sidelong", NULL);
  f->other = g_file_new_build_filename (f->folder, "other.sidelong", NULL);
  g_assert_true (sl_document_save (f->other, other, NULL, FALSE, NULL, NULL));
  f->window = sl_window_new (app);
  f->window->left = g_new0 (SlJournal, 1);
  f->window->left->path = sl_journal_new_path ();
  f->window->left->file = g_object_ref (f->file);
  f->window->left->profile = new_profile (THEIRS);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  gtk_window_destroy (GTK_WINDOW (f->window));
  while (g_main_context_iteration (NULL, FALSE))
    ;
  sl_in_use_finish (); /* the note on the file goes in a thread */
  g_assert_cmpint (g_remove (g_file_peek_path (f->other)), ==, 0);
  g_assert_cmpint (g_rmdir (f->folder), ==, 0);
  g_object_unref (f->file);
  g_object_unref (f->other);
  g_free (f->folder);
}

static void
open_into (Fixture *f, GFile *file)
{
  sl_window_show_file (app, file, GTK_WINDOW (f->window));
  while (f->window->opening > 0)
    g_main_context_iteration (NULL, TRUE);
}

/* Opened in the window while its own file was still being read. */
static void
test_another_file (Fixture *f, gconstpointer data)
{
  open_into (f, f->other);
  g_assert_nonnull (f->window->bench);
  g_assert_cmpstr (sl_bench_get_profile (f->window->bench)->identity.label, ==, OTHER);
  g_assert_false (sl_bench_is_modified (f->window->bench));
}

/* It went between the offer and the opening. */
static void
test_no_file (Fixture *f, gconstpointer data)
{
  open_into (f, f->file);
  g_assert_null (f->window->bench);
  g_assert_true (f->window->start_page != NULL);
}

/* A message of one long word leaves the window as narrow as it may be: the word is broken. */
static void
test_long_word (Fixture *f, gconstpointer data)
{
  g_autofree char *word = g_strnfill (5000, 'x');
  int before, after;

  gtk_widget_measure (GTK_WIDGET (f->window), GTK_ORIENTATION_HORIZONTAL, -1, &before, NULL, NULL, NULL);
  sl_message_show (f->window->messages, "long", SL_MESSAGE_WARNING, NULL, "%s", word);
  gtk_widget_measure (GTK_WIDGET (f->window), GTK_ORIENTATION_HORIZONTAL, -1, &after, NULL, NULL, NULL);
  g_assert_cmpint (after, ==, before);
}

int
main (int argc, char **argv)
{
  int status;

  g_test_init (&argc, &argv, NULL);
  if (!gtk_init_check ())
    return SKIPPED;
  app = live_app_new ();
#define ADD(name, function) g_test_add ("/left-work/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("another-file", test_another_file);
  ADD ("no-file", test_no_file);
  ADD ("long-word", test_long_word);
  status = g_test_run ();
  g_object_unref (app);
  return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Calls of the command-line program: an argument a line, the command first. It runs in a folder of its own that holds a
 * profile (p.sidelong), a document at fault (b.sidelong) and a shop's file (shop); pictures and papers are left
 * undrawn, which other tests do. Every call ends with a status of the manual's; what is refused is told. */
#include <locale.h>
#include <string.h>
#include <unistd.h>

#include <glib/gstdio.h>

#include "fuzz.h"

int sl_calc_main (int argc, char **argv);
#define main sl_calc_main
#include "calc/main.c"
#undef main

#define MOST_ARGUMENTS 16

static GString *told; /* on standard error */
static char *profile_text;
static gsize profile_length;

static void
on_message (const char *text)
{
  g_string_append (told, text);
}

GBytes *__wrap_sl_picture_render (const SlAnalysis *analysis, const void *options, SlFormat format, double scale,
                                  GError **error);
GBytes *
__wrap_sl_picture_render (const SlAnalysis *analysis, const void *options, SlFormat format, double scale,
                          GError **error)
{
  return g_bytes_new_static ("picture", 7);
}

GBytes *__wrap_sl_pages_pdf (const SlPages *pages, GError **error);
GBytes *
__wrap_sl_pages_pdf (const SlPages *pages, GError **error)
{
  return g_bytes_new_static ("pages", 5);
}

/* What the folder holds, and nothing else. */
static void
fill_folder (void)
{
  g_autoptr (GDir) dir = g_dir_open (".", 0, NULL);
  const char *name;

  while ((name = g_dir_read_name (dir)) != NULL)
    g_unlink (name);
  fuzz_write ("p.sidelong", profile_text, profile_length);
  fuzz_write ("b.sidelong", "<profile/>", 10);
  fuzz_write ("shop", "[shop]\ncut-step=0.05\n", 21);
}

int
LLVMFuzzerInitialize (int *argc, char ***argv)
{
  const char *root = g_getenv ("SL_SOURCE_ROOT");
  g_autofree char *path = g_build_filename (root != NULL ? root : ".", "tests", "example.sidelong", NULL), *folder;
  g_autoptr (GError) error = NULL;

  g_setenv ("GIO_USE_VFS", "local", TRUE);
  setlocale (LC_ALL, "");
  g_log_set_always_fatal (G_LOG_FATAL_MASK | G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING);
  g_file_get_contents (path, &profile_text, &profile_length, &error);
  g_assert_no_error (error);
  folder = fuzz_folder ();
  g_assert_cmpint (g_chdir (folder), ==, 0);
  fill_folder ();
  told = g_string_new (NULL);
  g_assert_nonnull (freopen ("/dev/null", "r", stdin));
  g_assert_nonnull (freopen ("/dev/null", "w", stdout));
  return 0;
}

/* Help ends the process, and a path could lead out of the folder. */
static gboolean
is_tried (char **arguments)
{
  for (char **argument = arguments; *argument != NULL; argument++)
    if (strchr (*argument, '/') != NULL || g_str_equal (*argument, "..") || g_str_has_prefix (*argument, "--help") ||
        (**argument == '-' && (*argument)[1] != '-' && strpbrk (*argument, "h?") != NULL))
      return FALSE;
  return TRUE;
}

/* The program keeps its options in variables, for it runs one command. */
static void
forget_options (const GOptionEntry *entries)
{
  for (; entries != NULL && entries->long_name != NULL; entries++)
    if (entries->arg == G_OPTION_ARG_NONE)
      *(gboolean *) entries->arg_data = FALSE;
    else
      g_clear_pointer ((char **) entries->arg_data, g_free);
}

static void
forget_call (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (commands); i++)
    {
      forget_options (commands[i].shared);
      forget_options (commands[i].entries);
    }
  forget_options (sl_many_entries);
  for (GOptionEntry *entry = sl_draw_entries; entry->long_name != NULL; entry++)
    if (g_str_equal (entry->long_name, "other"))
      g_clear_pointer ((char **) &entry->description, g_free);
  g_clear_pointer (&shop_file, g_free);
  running = NULL;
  g_string_truncate (told, 0);
}

int
LLVMFuzzerTestOneInput (const guint8 *data, gsize size)
{
  g_autofree char *text = size > 0 ? g_strndup ((const char *) data, size) : g_strdup ("");
  g_auto (GStrv) arguments = g_strsplit (text, "\n", MOST_ARGUMENTS);
  char *argv[MOST_ARGUMENTS + 2] = { (char *) "sidelong-calc" };
  int argc = 1;

  if (!is_tried (arguments))
    return 0;
  /* the parser moves the arguments about in argv, and frees none */
  for (char **argument = arguments; *argument != NULL; argument++)
    argv[argc++] = *argument;
  g_set_printerr_handler (on_message);
  const SlExit status = run (argc, argv);
  g_set_printerr_handler (NULL);
  g_assert_cmpint (status, <=, SL_EXIT_FILE);
  g_assert_true (g_utf8_validate (told->str, (gssize) told->len, NULL));
  g_assert_true (status == SL_EXIT_DONE || (told->len > 0 && told->str[told->len - 1] == '\n'));
  if (status == SL_EXIT_DONE && argc > 3)
    fill_folder ();
  forget_call ();
  return 0;
}

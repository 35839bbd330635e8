/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <locale.h>
#include <stdio.h>

#include "calc.h"
#include "words/one-line.h"

static const SlCommand commands[] = {
  { "check", N_ ("FILE…"), N_ ("Validates profiles and prints one line a fault."), NULL, NULL, 0, FALSE, TRUE,
    sl_check },
  { "compute", N_ ("FILE…"), N_ ("Prints what the model says of the last readings and of their plan."),
    sl_format_entries, sl_compute_entries, 0, TRUE, TRUE, sl_compute },
  { "plan", N_ ("FILE…"), N_ ("Proposes the work that brings the instrument to its targets."), sl_format_entries,
    sl_plan_entries, 0, TRUE, TRUE, sl_plan, .writes = sl_plan_writes },
  { "draw", N_ ("FILE -o OUT"), N_ ("Draws the side view, the close-ups or a sheet as SVG, PNG or PDF."), NULL,
    sl_draw_entries, 1, TRUE, TRUE, sl_draw, sl_draw_prepare },
  { "sheet", N_ ("FILE -o OUT"), N_ ("Writes the hand-over sheet of the last visit as a PDF."), sl_page_entries,
    sl_sheet_entries, 1, TRUE, TRUE, sl_sheet },
  { "template", N_ ("FILE -o OUT"), N_ ("Writes full-size templates of nut, saddle and frets as a PDF."),
    sl_page_entries, sl_template_entries, 1, TRUE, TRUE, sl_template },
  { "list", N_ ("FOLDER…"), N_ ("Lists the profiles of a folder, broken ones with their fault."), sl_format_entries,
    NULL, 0, TRUE, .run = sl_list },
  { "history", N_ ("FILE…"), N_ ("Prints every reading set of every visit."), sl_rows_entries, NULL, 0, TRUE, TRUE,
    sl_history },
  { "pitch", N_ ("[FILE] SOUND"), N_ ("Hears how high the plucked strings of a recording sound."), sl_format_entries,
    sl_pitch_entries, 2, .run = sl_pitch },
  { "photos", N_ ("FILE…"), N_ ("Lists the photographs and what was measured in them, or copies them out."),
    sl_format_entries, sl_photos_entries, .run = sl_photos, .writes = sl_photos_writes },
  { "copy", N_ ("FILE -o OUT"), N_ ("Copies a profile with its photographs."), NULL, sl_copy_entries, 1,
    .run = sl_copy },
  { "merge", N_ ("MINE THEIRS -o OUT"), N_ ("Merges two versions of one profile."), NULL, sl_merge_entries, 2,
    .run = sl_merge_files },
  { "pack", N_ ("FOLDER|FILE… -o OUT"), N_ ("Packs the profiles of a folder, with their photographs, into a ZIP."),
    NULL, sl_pack_entries, G_MAXINT, .run = sl_archive },
  { "unpack", N_ ("FILE -o FOLDER"), N_ ("Takes the profiles of an archive into a folder; replaces none."), NULL,
    sl_unpack_entries, 1, .run = sl_archive },
};

static const SlCommand *running; /* the one called */
static char *shop_file;          /* as --shop gave it */

#define OUTPUT_BUFFER_BYTES (1 << 18) /* a report of a few hundred rows leaves in one write */
#define NAME_COLUMN 10                /* characters, in the list of commands */

/* The list of commands as the help shows it. */
static char *
describe_commands (void)
{
  GString *text = g_string_new (_ ("Commands:"));
  int width = 0; /* of the longest arguments */
  g_string_append_c (text, '\n');
  for (gsize i = 0; i < G_N_ELEMENTS (commands); i++)
    width = MAX (width, (int) g_utf8_strlen (_ (commands[i].arguments), -1) + 2);
  for (gsize i = 0; i < G_N_ELEMENTS (commands); i++)
    {
      g_string_append (text, "  ");
      sl_append_padded (text, commands[i].name, NAME_COLUMN);
      sl_append_padded (text, _ (commands[i].arguments), width);
      g_string_append_printf (text, "%s\n", _ (commands[i].summary));
    }
  g_string_append_c (text, '\n');
  g_string_append (
      text, _ ("“sidelong-calc COMMAND --help” lists a command's options.\n\n"
               "Exit status: 0 done, 1 a document is at fault, 2 wrong usage, 3 a file can't be read or written."));
  return g_string_free (text, FALSE);
}

SlExit
sl_usage_error (const char *format, ...)
{
  va_list arguments;
  va_start (arguments, format);
  g_autofree char *message = g_strdup_vprintf (format, arguments), *line = sl_one_line (message);
  va_end (arguments);
  g_printerr ("%s: %s\n", g_get_prgname (), line);
  if (running != NULL)
    g_printerr (_ ("“sidelong-calc %s --help” shows how it is called."), running->name);
  else
    g_printerr ("%s", _ ("“sidelong-calc --help” lists the commands."));
  g_printerr ("\n");
  return SL_EXIT_USAGE;
}

static SlExit
read_shop (SlShop *shop)
{
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (shop_file);
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = sl_file_bytes (file, NULL, &error);
  gsize length = 0;
  const char *text = bytes != NULL ? g_bytes_get_data (bytes, &length) : NULL;

  if (bytes != NULL && sl_shop_parse (text != NULL ? text : "", length, shop, &error))
    return SL_EXIT_DONE;
  sl_file_message (shop_file, error->message);
  return error->domain == G_KEY_FILE_ERROR ? SL_EXIT_FAULT : SL_EXIT_FILE;
}

/* For text output: which shop it was. */
static char *
tell_shop (void)
{
  g_autofree char *shown = shop_file != NULL ? sl_shown_name (shop_file) : NULL;

  return shown == NULL ? g_strconcat (_ ("Shop: the defaults"), "\n", NULL)
                       : g_strdup_printf (_ ("Shop: as in %s\n"), shown);
}

/* SL_EXIT_USAGE after saying what is wrong with the files that were named. */
static SlExit
check_files (const SlCommand *command, char **files, int n)
{
  int n_input = sl_files_from != NULL && sl_is_standard (sl_files_from);

  if (n == 0 && sl_files_from == NULL)
    return sl_usage_error ("%s", _ ("no file given"));
  if (command->most_files > 0 && n > command->most_files)
    {
      g_autofree char *shown = sl_shown_name (files[command->most_files]);
      return sl_usage_error (command->most_files == 1 ? _ ("one file at a time: “%s” is one too many")
                                                      : _ ("two files at most: “%s” is one too many"),
                             shown);
    }
  for (int i = 0; command->takes_input && i < n; i++)
    if (sl_is_standard (files[i]) && command->writes != NULL && command->writes ())
      return sl_usage_error ("%s", _ ("standard input is no file that --write could change"));
    else
      n_input += sl_is_standard (files[i]);
  return n_input > 1 ? sl_usage_error ("%s", _ ("“-” twice: standard input can be read only once")) : SL_EXIT_DONE;
}

/* Parses the command's arguments and runs it. */
static SlExit
run_command (const SlCommand *command, int argc, char **argv)
{
  g_auto (GStrv) files = NULL;
  const GOptionEntry remaining[] = {
    { G_OPTION_REMAINING, 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &files, NULL, command->arguments }, { NULL }
  };
  const GOptionEntry shop_entry[] = { { "shop", 0, 0, G_OPTION_ARG_FILENAME, &shop_file,
                                        N_ ("How the shop works: its cutting step and what its work is uncertain by"),
                                        N_ ("FILE") },
                                      { NULL } };
  const GOptionEntry *const groups[] = { command->shared, command->entries, command->takes_shop ? shop_entry : NULL,
                                         command->most_files == 0 ? sl_many_entries : NULL, remaining };
  g_autofree char *program = g_strdup_printf ("sidelong-calc %s", command->name);
  g_autoptr (GOptionContext) context = g_option_context_new (NULL);
  g_autoptr (GError) error = NULL;
  SlShop shop = SL_SHOP_DEFAULT;
  SlForm form = command->shared == sl_rows_entries ? SL_FORM_CSV : SL_FORM_TEXT;

  running = command;
  if (command->prepare != NULL)
    command->prepare ();
  g_set_prgname (program);
  g_option_context_set_summary (context, _ (command->summary));
  for (gsize i = 0; i < G_N_ELEMENTS (groups); i++)
    if (groups[i] != NULL)
      g_option_context_add_main_entries (context, groups[i], GETTEXT_PACKAGE);
  if (!g_option_context_parse (context, &argc, &argv, &error))
    return sl_usage_error ("%s", error->message);
  SlExit status = sl_list_files (&files);
  const int n = files != NULL ? (int) g_strv_length (files) : 0;
  if (status != SL_EXIT_DONE || (status = check_files (command, files, n)) != SL_EXIT_DONE ||
      (shop_file != NULL && (status = read_shop (&shop)) != SL_EXIT_DONE) ||
      (status = sl_parse_form (&form)) != SL_EXIT_DONE)
    return status;
  g_autofree char *told = command->takes_shop ? tell_shop () : NULL;
  const gboolean one = command->most_files > 0; /* a recording and its profile are one call */
  return sl_answer_files (command, files, one ? 1 : (guint) n, !one && (n > 1 || sl_files_from != NULL), form, &shop,
                          told);
}

/* Options before the command; the command's own begin at its name. */
static SlExit
run (int argc, char **argv)
{
  gboolean version = FALSE;
  const GOptionEntry entries[] = {
    { "version", 0, 0, G_OPTION_ARG_NONE, &version, N_ ("Show the program's version"), NULL }, { NULL }
  };
  g_autoptr (GOptionContext) context = g_option_context_new (_ ("COMMAND FILE…"));
  g_autofree char *description = describe_commands ();
  g_option_context_set_summary (context, _ ("Computes what a setup of a fretted instrument does, without a display."));
  g_option_context_set_description (context, description);
  g_option_context_add_main_entries (context, entries, GETTEXT_PACKAGE);
  g_option_context_set_strict_posix (context, TRUE);

  g_autoptr (GError) error = NULL;
  if (!g_option_context_parse (context, &argc, &argv, &error))
    return sl_usage_error ("%s", error->message);
  if (version)
    {
      printf ("sidelong-calc %s\n", SL_VERSION);
      return SL_EXIT_DONE;
    }
  /* strict POSIX parsing keeps a leading "--" */
  int first = argc > 1 && g_str_equal (argv[1], "--") ? 2 : 1;
  if (argc <= first)
    return sl_usage_error ("%s", _ ("no command given"));
  for (gsize i = 0; i < G_N_ELEMENTS (commands); i++)
    if (g_str_equal (commands[i].name, argv[first]))
      return run_command (&commands[i], argc - first, argv + first);
  g_autofree char *shown = sl_shown_name (argv[first]);
  return sl_usage_error (_ ("there is no command “%s”"), shown);
}

int
main (int argc, char **argv)
{
  /* for a program that is built but not installed */
  const char *folder = g_getenv ("SIDELONG_LOCALE_DIR");

  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, folder != NULL && *folder != '\0' ? folder : SL_LOCALE_DIR);
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
  g_set_prgname ("sidelong-calc");
  setvbuf (stdout, NULL, _IOFBF, OUTPUT_BUFFER_BYTES);

  SlExit status = run (argc, argv);
  if (fflush (stdout) != 0 || ferror (stdout))
    {
      g_printerr ("sidelong-calc: %s\n", _ ("what was computed can't be written to standard output"));
      status = MAX (status, SL_EXIT_FILE);
    }
  return (int) status;
}

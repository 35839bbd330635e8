/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gi18n.h>
#include <locale.h>
#include <stdio.h>

#include "calc.h"

static const SlCommand *const commands[] = { &sl_check_command, &sl_compute_command, &sl_plan_command,
                                             &sl_draw_command,  &sl_sheet_command,   &sl_template_command,
                                             &sl_list_command,  &sl_history_command };

#define OUTPUT_BUFFER_BYTES (1 << 18) /* a report of a few hundred rows leaves in one write */
#define NAME_COLUMN 10                /* characters, in the list of commands */
#define ARGUMENTS_COLUMN 14

static const SlCommand *
find_command (const char *name)
{
  for (gsize i = 0; i < G_N_ELEMENTS (commands); i++)
    if (g_str_equal (commands[i]->name, name))
      return commands[i];
  return NULL;
}

/* The list of commands as the help shows it. */
static char *
describe_commands (void)
{
  GString *text = g_string_new (_ ("Commands:"));
  g_string_append_c (text, '\n');
  for (gsize i = 0; i < G_N_ELEMENTS (commands); i++)
    {
      g_string_append (text, "  ");
      sl_append_padded (text, commands[i]->name, NAME_COLUMN);
      sl_append_padded (text, _ (commands[i]->arguments), ARGUMENTS_COLUMN);
      g_string_append_printf (text, "%s\n", _ (commands[i]->summary));
    }
  g_string_append_c (text, '\n');
  g_string_append (
      text, _ ("“sidelong-calc COMMAND --help” lists a command's options.\n\n"
               "Exit status: 0 done, 1 a document is at fault, 2 wrong usage, 3 a file can't be read or written."));
  return g_string_free (text, FALSE);
}

static SlExit
usage (const char *message)
{
  g_printerr ("sidelong-calc: %s\n%s\n", message, _ ("“sidelong-calc --help” lists the commands."));
  return SL_EXIT_USAGE;
}

static SlExit
run_command (int argc, char **argv)
{
  const SlCommand *command = find_command (argv[0]);
  if (command != NULL)
    return command->run (argc, argv);
  g_autofree char *shown = g_filename_display_name (argv[0]);
  g_autofree char *message = g_strdup_printf (_ ("there is no command “%s”"), shown);
  return usage (message);
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
    return usage (error->message);
  if (version)
    {
      printf ("sidelong-calc %s\n", SL_VERSION);
      return SL_EXIT_DONE;
    }
  /* strict POSIX parsing keeps a leading "--" */
  int first = argc > 1 && g_str_equal (argv[1], "--") ? 2 : 1;
  if (argc <= first)
    return usage (_ ("no command given"));
  return run_command (argc - first, argv + first);
}

/* Where the translations are: SIDELONG_LOCALE_DIR is for a program that is built but not installed. */
static const char *
locale_folder (void)
{
  const char *folder = g_getenv ("SIDELONG_LOCALE_DIR");

  return folder != NULL && *folder != '\0' ? folder : SL_LOCALE_DIR;
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, locale_folder ());
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
  g_set_prgname ("sidelong-calc");
  setvbuf (stdout, NULL, _IOFBF, OUTPUT_BUFFER_BYTES);

  SlExit status = run (argc, argv);
  if (fflush (stdout) != 0 || ferror (stdout))
    {
      g_printerr ("sidelong-calc: %s\n", _ ("what was computed can't be written to standard output"));
      status = sl_exit_worse (status, SL_EXIT_FILE);
    }
  return (int) status;
}

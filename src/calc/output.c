/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the commands that write documents share. */
#include <glib/gi18n.h>
#include <stdio.h>

#include "calc.h"

#define PDF_ENDING ".pdf"

const char *const sl_unit_names[] = { "mm", "inch", "64ths", NULL };

void
sl_print (const GString *out, gboolean csv)
{
  if (csv || g_get_charset (NULL))
    fwrite (out->str, 1, out->len, stdout);
  else
    g_print ("%s", out->str);
}

gboolean
sl_choose (const SlCommand *command, const char *option, const char *text, const char *const *names, int *value)
{
  if (text == NULL)
    return TRUE;
  for (int i = 0; names[i] != NULL; i++)
    if (g_str_equal (names[i], text))
      {
        *value = i;
        return TRUE;
      }
  g_autofree char *list = g_strjoinv (", ", (char **) names);
  sl_usage_error (command, _ ("--%s is “%s”; it can be one of: %s"), option, text, list);
  return FALSE;
}

/* Whether @output names a PDF; FALSE after saying what is wrong. */
static gboolean
check_output (const SlCommand *command, const char *output)
{
  if (output == NULL)
    {
      sl_usage_error (command, "%s", _ ("name the file to write: -o OUT.pdf"));
      return FALSE;
    }
  g_autofree char *folded = g_ascii_strdown (output, -1);
  if (g_str_has_suffix (folded, PDF_ENDING))
    return TRUE;
  g_autofree char *shown = g_filename_display_name (output);
  sl_usage_error (command, _ ("“%s” must end in .pdf"), shown);
  return FALSE;
}

SlExit
sl_parse_pages (const SlCommand *command, const GOptionEntry *entries, const char *units_help, int argc, char **argv,
                SlPageArguments *arguments, char **file, SlPaper *paper, SlLengths *lengths)
{
  const GOptionEntry shared[] = {
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &arguments->output, N_ ("The PDF to write"), N_ ("OUT.pdf") },
    { "paper", 0, 0, G_OPTION_ARG_STRING, &arguments->paper, N_ ("Size of the paper"), "a4|letter" },
    { "units", 0, 0, G_OPTION_ARG_STRING, &arguments->units, units_help, "mm|inch|64ths" },
  };
  g_autoptr (GArray) all = g_array_new (TRUE, FALSE, sizeof (GOptionEntry));
  g_auto (GStrv) files = NULL;
  int chosen_paper = SL_PAPER_A4, chosen_lengths = SL_LENGTHS_MM;

  g_array_append_vals (all, shared, G_N_ELEMENTS (shared));
  for (; entries->long_name != NULL; entries++)
    g_array_append_vals (all, entries, 1);
  SlExit status =
      sl_command_parse (command, (const GOptionEntry *) (gpointer) all->data, 1, argc, argv, &arguments->shop, &files);
  if (status != SL_EXIT_DONE)
    return status;
  if (!check_output (command, arguments->output) ||
      !sl_choose (command, "paper", arguments->paper, sl_paper_names, &chosen_paper) ||
      !sl_choose (command, "units", arguments->units, sl_unit_names, &chosen_lengths))
    return SL_EXIT_USAGE;
  *file = g_strdup (files[0]);
  *paper = (SlPaper) chosen_paper;
  *lengths = (SlLengths) chosen_lengths;
  return SL_EXIT_DONE;
}

void
sl_page_arguments_clear (SlPageArguments *arguments)
{
  g_free (arguments->output);
  g_free (arguments->paper);
  g_free (arguments->units);
  sl_shop_argument_clear (&arguments->shop);
}

SlExit
sl_write_output (const char *output, GBytes *bytes, const GError *drawing)
{
  if (bytes == NULL)
    {
      sl_file_message (output, drawing->message);
      return SL_EXIT_FILE;
    }
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (output);
  g_autoptr (GError) error = NULL;
  gsize n;
  const char *data = g_bytes_get_data (bytes, &n);
  if (g_file_replace_contents (file, data, n, NULL, FALSE, G_FILE_CREATE_NONE, NULL, NULL, &error))
    return SL_EXIT_DONE;
  sl_file_message (output, error->message);
  return SL_EXIT_FILE;
}

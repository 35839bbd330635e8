/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the commands share. */
#include <errno.h>
#include <stdio.h>
#include <unistd.h>

#include "calc.h"
#include "words/one-line.h"

char *
sl_message_line (const char *name, int line, const char *message)
{
  g_autofree char *shown = sl_shown_name (name), *text = sl_one_line (message);

  return line > 0 ? g_strdup_printf ("%s:%d: %s\n", shown, line, text) : g_strdup_printf ("%s: %s\n", shown, text);
}

void
sl_file_message (const char *name, const char *message)
{
  g_autofree char *line = sl_message_line (name, 0, message);

  g_printerr ("%s", line);
}

/* Standard input as sl_document_read() reads a file. */
static SlProfile *
read_input (GPtrArray *faults, GError **error)
{
  g_autoptr (GBytes) bytes = sl_read_stream (stdin, SL_DOCUMENT_MOST_BYTES);
  gsize length;

  if (bytes == NULL)
    {
      g_set_error_literal (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_READ, g_strerror (errno));
      return NULL;
    }
  const char *text = g_bytes_get_data (bytes, &length);
  return sl_document_parse (text != NULL ? text : "", length, faults);
}

SlProfile *
sl_load_profile (SlAnswer *answer, char **stamp)
{
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (answer->name);
  g_autoptr (GPtrArray) faults = sl_document_faults_new ();
  g_autoptr (GError) error = NULL;
  SlProfile *profile =
      sl_answer_is_input (answer) ? read_input (faults, &error) : sl_document_read (file, stamp, faults, NULL, &error);
  if (profile != NULL)
    return profile;
  if (faults->len == 0)
    sl_answer_fault (answer, SL_EXIT_FILE, 0, error->message);
  /* what is wrong with the document as a whole stands at its beginning */
  SL_EACH_OF (const SlDocumentFault, fault, faults)
    sl_answer_fault (answer, SL_EXIT_FAULT, MAX (fault->line, 1), fault->message);
  return NULL;
}

/* ---- options ---- */

const char *const sl_unit_names[] = { "mm", "inch", "64ths", NULL };
static const char *const form_names[] = { "text", "csv", "json", NULL }; /* indexed by SlForm */

static char *format;
const GOptionEntry sl_format_entries[] = {
  { "format", 'f', 0, G_OPTION_ARG_STRING, &format,
    N_ ("How to print: “text” (the default) for people, or “csv” or “json”"), "text|csv|json" },
  { NULL },
};
const GOptionEntry sl_rows_entries[] = {
  { "format", 'f', 0, G_OPTION_ARG_STRING, &format,
    N_ ("How to print: “csv” (the default) or “json”, or “text” for people"), "csv|json|text" },
  { NULL },
};

SlExit
sl_parse_form (SlForm *form)
{
  int chosen = (int) *form;
  const SlExit status = sl_choose ("format", format, form_names, &chosen);

  *form = (SlForm) chosen;
  return status;
}

SlExit
sl_choose (const char *option, const char *text, const char *const *names, int *value)
{
  if (text == NULL)
    return SL_EXIT_DONE;
  for (int i = 0; names[i] != NULL; i++)
    if (g_str_equal (names[i], text))
      {
        *value = i;
        return SL_EXIT_DONE;
      }
  g_autofree char *list = g_strjoinv (", ", (char **) names);
  return sl_usage_error (_ ("--%s is “%s”; it can be one of: %s"), option, text, list);
}

SlExit
sl_parse_count (const char *option, const char *text, int least, int most, int *value)
{
  gint64 parsed = *value;
  if (text != NULL && !g_ascii_string_to_signed (text, 10, least, most, &parsed, NULL))
    return sl_usage_error (_ ("--%s is “%s”; on this instrument it can be %d to %d"), option, text, least, most);
  *value = (int) parsed;
  return SL_EXIT_DONE;
}

SlExit
sl_parse_number (const char *option, const char *text, double least, double most, double *value)
{
  if (text == NULL || (sl_plain_parse (text, sl_decimal_sign (), value, NULL) && *value >= least && *value <= most))
    return SL_EXIT_DONE;
  return sl_usage_error (_ ("--%s is “%s”; it can be a number from %g to %g"), option, text, least, most);
}

/* ---- documents to write ---- */

SlExit
sl_check_output (const char *output)
{
  if (!sl_is_standard (output) || !isatty (STDOUT_FILENO))
    return SL_EXIT_DONE;
  return sl_usage_error ("%s", _ ("standard output is a terminal; lead it into a file or another program"));
}

void
sl_write_output (SlAnswer *answer, const char *output, GBytes *bytes, const GError *drawing)
{
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (output);
  g_autoptr (GFile) profile = g_file_new_for_commandline_arg (answer->name);
  g_autoptr (GError) error = NULL;
  if (bytes == NULL)
    sl_answer_note (answer, SL_EXIT_FILE, output, drawing->message);
  else if (sl_is_standard (output))
    fwrite (g_bytes_get_data (bytes, NULL), 1, g_bytes_get_size (bytes), stdout);
  else if (!sl_answer_is_input (answer) && sl_file_is (file, profile))
    {
      g_autofree char *shown = g_filename_display_name (output);
      answer->status =
          sl_usage_error (_ ("“%s” is the profile itself, which would be lost; write to another file"), shown);
    }
  else if (!sl_file_replace (file, bytes, NULL, TRUE, NULL, &error))
    sl_answer_note (answer, SL_EXIT_FILE, output, error->message);
}

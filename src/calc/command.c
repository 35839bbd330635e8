/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the commands share. */
#include <stdio.h>

#include "calc.h"
#include "words/one-line.h"

void
sl_file_message (const char *name, const char *message)
{
  g_autofree char *shown = sl_shown_name (name);
  g_autofree char *line = sl_one_line (message);
  g_printerr ("%s: %s\n", shown, line);
}

static void
print_faults (const char *name, const GPtrArray *faults)
{
  g_autofree char *shown = sl_shown_name (name);
  SL_EACH_OF (const SlDocumentFault, fault, faults)
    {
      g_autofree char *line = sl_one_line (fault->message);
      /* what is wrong with the document as a whole stands at its beginning */
      g_printerr ("%s:%d: %s\n", shown, MAX (fault->line, 1), line);
    }
}

SlProfile *
sl_load_profile (const char *name, char **stamp, SlExit *status)
{
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (name);
  g_autoptr (GPtrArray) faults = sl_document_faults_new ();
  g_autoptr (GError) error = NULL;
  SlProfile *profile = sl_document_read (file, stamp, faults, NULL, &error);
  if (profile != NULL)
    {
      *status = SL_EXIT_DONE;
      return profile;
    }
  gboolean fault = g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_FAULT);
  *status = fault ? SL_EXIT_FAULT : SL_EXIT_FILE;
  if (fault && faults->len > 0)
    print_faults (name, faults);
  else
    sl_file_message (name, error->message);
  return NULL;
}

void
sl_put (const GString *out, gboolean csv)
{
  if (csv || g_get_charset (NULL))
    fwrite (out->str, 1, out->len, stdout);
  else
    g_print ("%s", out->str);
}

/* ---- options ---- */

const char *const sl_unit_names[] = { "mm", "inch", "64ths", NULL };

static char *format;
const GOptionEntry sl_format_entries[] = {
  { "format", 'f', 0, G_OPTION_ARG_STRING, &format, N_ ("How to print: “text” (the default) for people, or “csv”"),
    "text|csv" },
  { NULL },
};

SlExit
sl_parse_format (gboolean *csv)
{
  *csv = g_strcmp0 (format, "csv") == 0;
  if (format == NULL || *csv || g_str_equal (format, "text"))
    return SL_EXIT_DONE;
  return sl_usage_error (_ ("--format is “%s”; it can be “text” or “csv”"), format);
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
sl_write_output (const char *output, const char *input, GBytes *bytes, const GError *drawing)
{
  if (bytes == NULL)
    {
      sl_file_message (output, drawing->message);
      return SL_EXIT_FILE;
    }
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (output);
  g_autoptr (GFile) profile = g_file_new_for_commandline_arg (input);
  g_autoptr (GError) error = NULL;
  if (sl_file_is (file, profile))
    {
      g_autofree char *shown = g_filename_display_name (output);
      return sl_usage_error (_ ("“%s” is the profile itself, which would be lost; write to another file"), shown);
    }
  if (sl_file_replace (file, bytes, NULL, TRUE, NULL, &error))
    return SL_EXIT_DONE;
  sl_file_message (output, error->message);
  return SL_EXIT_FILE;
}

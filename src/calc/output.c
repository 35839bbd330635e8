/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the commands that write documents share. */
#include <glib/gi18n.h>

#include "calc.h"

#define PDF_ENDING ".pdf"

const char *const sl_unit_names[] = { "mm", "inch", "64ths", NULL };

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
  sl_usage_error (command, _("--%s is “%s”; it can be one of: %s"), option, text, list);
  return FALSE;
}

gboolean
sl_check_output (const SlCommand *command, const char *output)
{
  if (output == NULL)
    {
      sl_usage_error (command, "%s", _("no file to write is named: -o OUT.pdf"));
      return FALSE;
    }
  g_autofree char *folded = g_ascii_strdown (output, -1);
  if (g_str_has_suffix (folded, PDF_ENDING))
    return TRUE;
  g_autofree char *shown = g_filename_display_name (output);
  sl_usage_error (command, _("“%s” does not end with .pdf"), shown);
  return FALSE;
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

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gi18n.h>

#include "calc.h"

SlExit
sl_exit_worse (SlExit a, SlExit b)
{
  return MAX (a, b);
}

SlExit
sl_usage_error (const SlCommand *command, const char *format, ...)
{
  va_list arguments;
  va_start (arguments, format);
  g_autofree char *message = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_printerr ("sidelong-calc %s: %s\n", command->name, message);
  g_printerr (_ ("“sidelong-calc %s --help” shows how it is called."), command->name);
  g_printerr ("\n");
  return SL_EXIT_USAGE;
}

/* Reads the file that --shop names. */
static SlExit
read_shop (SlShopArgument *shop)
{
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (shop->file);
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;
  gsize length;

  if (g_file_load_contents (file, NULL, &text, &length, NULL, &error) &&
      sl_shop_parse (text, length, &shop->values, &error))
    return SL_EXIT_DONE;
  sl_file_message (shop->file, error->message);
  return error->domain == G_KEY_FILE_ERROR ? SL_EXIT_FAULT : SL_EXIT_FILE;
}

void
sl_shop_argument_clear (SlShopArgument *shop)
{
  g_clear_pointer (&shop->file, g_free);
}

void
sl_print_shop (const SlShopArgument *shop)
{
  g_autofree char *shown = shop->file != NULL ? g_filename_display_name (shop->file) : NULL;

  if (shown == NULL)
    g_print ("%s\n", _ ("Shop: the defaults"));
  else
    g_print (_ ("Shop: as in %s\n"), shown);
}

SlExit
sl_command_parse (const SlCommand *command, const GOptionEntry *entries, int most_files, int argc, char **argv,
                  SlShopArgument *shop, char ***files)
{
  g_auto (GStrv) rest = NULL;
  g_autofree char *shop_file = NULL;
  const GOptionEntry remaining[] = {
    { G_OPTION_REMAINING, 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &rest, NULL, command->arguments }, { NULL }
  };
  const GOptionEntry shop_entry[] = { { "shop", 0, 0, G_OPTION_ARG_FILENAME, &shop_file,
                                        N_ ("How the shop works: its cutting step and what its work is uncertain by"),
                                        N_ ("FILE") },
                                      { NULL } };
  g_autofree char *program = g_strdup_printf ("sidelong-calc %s", command->name);
  g_set_prgname (program);
  g_autoptr (GOptionContext) context = g_option_context_new (NULL);
  g_option_context_set_summary (context, _ (command->summary));
  if (entries != NULL)
    g_option_context_add_main_entries (context, entries, GETTEXT_PACKAGE);
  if (shop != NULL)
    g_option_context_add_main_entries (context, shop_entry, GETTEXT_PACKAGE);
  g_option_context_add_main_entries (context, remaining, GETTEXT_PACKAGE);

  g_autoptr (GError) error = NULL;
  if (!g_option_context_parse (context, &argc, &argv, &error))
    return sl_usage_error (command, "%s", error->message);
  int n = rest == NULL ? 0 : (int) g_strv_length (rest);
  if (n == 0)
    return sl_usage_error (command, "%s", _ ("no file given"));
  if (most_files > 0 && n > most_files)
    {
      g_autofree char *shown = g_filename_display_name (rest[most_files]);
      return sl_usage_error (command, _ ("one file at a time: “%s” is one too many"), shown);
    }
  *files = g_steal_pointer (&rest);
  if (shop == NULL)
    return SL_EXIT_DONE;
  *shop = (SlShopArgument){ SL_SHOP_DEFAULT, g_steal_pointer (&shop_file) };
  return shop->file != NULL ? read_shop (shop) : SL_EXIT_DONE;
}

/* A message that quotes a document could carry its line breaks. */
static char *
one_line (const char *message)
{
  char *line = g_strstrip (g_strdup (message));
  for (char *c = line; *c != '\0'; c++)
    if (g_ascii_iscntrl (*c))
      *c = ' ';
  return line;
}

void
sl_file_message (const char *name, const char *message)
{
  g_autofree char *shown = g_filename_display_name (name);
  g_autofree char *line = one_line (message);
  g_printerr ("%s: %s\n", shown, line);
}

static void
print_faults (const char *name, const GPtrArray *faults)
{
  g_autofree char *shown = g_filename_display_name (name);
  for (guint i = 0; i < faults->len; i++)
    {
      const SlDocumentFault *fault = g_ptr_array_index (faults, i);
      g_autofree char *line = one_line (fault->message);
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

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/app.h"
#include "words/one-line.h"

#include <glib/gi18n-lib.h>
#include <locale.h>
#include <malloc.h>

/* Return large frees to the system. Large blocks are the pictures that frames are drawn in, up to a window's worth of
 * pixels; by default the allocator soon keeps them among the small ones, where widgets made in the meantime pin them
 * down. A part of a frame stays cheap. */
#define GIVEN_BACK_BYTES (1024 * 1024)

/* What is said on standard error, the libraries' own words about an option among it, may repeat a file's name. */
static void
print_error (const char *text)
{
  g_autofree char *line = g_strchomp (g_strdup (text)), *shown = sl_one_line (line);

  g_set_printerr_handler (NULL);
  g_printerr ("%s\n", shown);
  g_set_printerr_handler (print_error);
}

int
main (int argc, char **argv)
{
  const char *locales = g_getenv ("SIDELONG_LOCALE_DIR"); /* for a program that is built but not installed */
  g_autoptr (GtkApplication) app = NULL;

  mallopt (M_MMAP_THRESHOLD, GIVEN_BACK_BYTES);
  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, locales != NULL && *locales != '\0' ? locales : SL_LOCALE_DIR);
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
  g_set_application_name (_ ("Sidelong"));
  g_set_printerr_handler (print_error);

  app = sl_app_new ();
  return g_application_run (G_APPLICATION (app), argc, argv);
}

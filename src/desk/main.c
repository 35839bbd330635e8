/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/app.h"

#include <glib/gi18n-lib.h>
#include <locale.h>

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
  g_autoptr (SlApp) app = NULL;

  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, locale_folder ());
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
  g_set_application_name (_ ("Sidelong"));

  app = sl_app_new ();
  return g_application_run (G_APPLICATION (app), argc, argv);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Locales other than C, one with a decimal comma above all, also on machines that have none installed: they are then
 * built from the C library's sources in a folder of its own. */
#pragma once

#include <glib.h>
#include <glib/gstdio.h>
#include <locale.h>
#include <string.h>

#define COMMA_LOCALE "de_DE.UTF-8"

/* Switches to @name, "de_DE.UTF-8"; FALSE where the machine can't. Undo with test_comma_locale_end(). */
static inline gboolean
test_locale_begin (const char *name, char **built)
{
  *built = NULL;
  if (setlocale (LC_ALL, name) != NULL)
    return TRUE;
  g_autofree char *folder = g_dir_make_tmp ("sidelong-locale-XXXXXX", NULL);
  g_autofree char *target = g_build_filename (folder, name, NULL), *source = g_strndup (name, strcspn (name, "."));
  const char *argv[] = { "localedef", "-i", source, "-f", "UTF-8", target, NULL };
  if (g_spawn_sync (NULL, (char **) argv, NULL,
                    G_SPAWN_SEARCH_PATH | G_SPAWN_STDOUT_TO_DEV_NULL | G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL, NULL,
                    NULL, NULL, NULL))
    {
      g_setenv ("LOCPATH", folder, TRUE);
      *built = g_steal_pointer (&folder);
      return setlocale (LC_ALL, name) != NULL;
    }
  g_rmdir (folder);
  return FALSE;
}

static inline gboolean
test_comma_locale_begin (char **built)
{
  return test_locale_begin (COMMA_LOCALE, built);
}

static inline void
test_comma_locale_end (char *built)
{
  setlocale (LC_ALL, "C.UTF-8");
  if (built != NULL)
    g_unsetenv ("LOCPATH");
  if (built != NULL)
    {
      const char *argv[] = { "rm", "-rf", "--", built, NULL };
      g_spawn_sync (NULL, (char **) argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, NULL, NULL, NULL, NULL);
    }
  g_free (built);
}

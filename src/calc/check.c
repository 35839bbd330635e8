/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gi18n.h>

#include "calc.h"

static SlExit
run (int argc, char **argv)
{
  g_auto (GStrv) files = NULL;
  SlExit worst = sl_command_parse (&sl_check_command, NULL, 0, argc, argv, NULL, &files);
  if (worst != SL_EXIT_DONE)
    return worst;
  for (char **name = files; *name != NULL; name++)
    {
      SlExit status;
      g_autoptr (SlProfile) profile = sl_load_profile (*name, NULL, &status);
      worst = sl_exit_worse (worst, status);
    }
  return worst;
}

const SlCommand sl_check_command = { "check", N_ ("FILE…"), N_ ("Validates profiles and prints one line a fault."),
                                     run };

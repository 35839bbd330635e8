/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gi18n.h>

#include "calc.h"

static SlExit
run (char **files, const SlShop *shop)
{
  SlExit worst = SL_EXIT_DONE;
  for (char **name = files; *name != NULL; name++)
    {
      SlExit status;
      g_autoptr (SlProfile) profile = sl_load_profile (*name, NULL, &status);
      worst = MAX (worst, status);
    }
  return worst;
}

const SlCommand sl_check_command = { "check", N_ ("FILE…"), N_ ("Validates profiles and prints one line a fault."),
                                     .run = run };

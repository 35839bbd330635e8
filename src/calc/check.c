/* SPDX-License-Identifier: GPL-3.0-or-later */

#include "calc.h"

SlExit
sl_check (char **files, const SlShop *shop)
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

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The reader of a shop's file (--shop): what it takes is within its bounds, and is written and read again unchanged. */
#include <math.h>
#include <string.h>

#include "fuzz.h"
#include "setup/profile/shop.h"

int
LLVMFuzzerInitialize (int *argc, char ***argv)
{
  g_log_set_always_fatal (G_LOG_FATAL_MASK | G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING);
  return 0;
}

int
LLVMFuzzerTestOneInput (const guint8 *data, gsize size)
{
  SlShop shop = SL_SHOP_DEFAULT, back;
  const SlShop before = shop;
  g_autoptr (GError) error = NULL;

  if (!sl_shop_parse ((const char *) data, size, &shop, &error))
    {
      g_assert_true (error->domain == G_KEY_FILE_ERROR && g_utf8_validate (error->message, -1, NULL));
      g_assert_true (sl_shop_equal (&shop, &before));
      return 0;
    }
  for (const SlBound *bound = sl_shop_bounds; bound->element != NULL; bound++)
    {
      const double value = *sl_shop_value (&shop, bound);

      g_assert_true (value >= bound->least && value <= bound->most);
    }
  g_autofree char *text = sl_shop_print (&shop), *again = NULL;
  g_assert_true (sl_shop_parse (text, strlen (text), &back, NULL) && sl_shop_equal (&shop, &back));
  again = sl_shop_print (&back);
  g_assert_cmpstr (again, ==, text);
  return 0;
}

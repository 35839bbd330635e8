/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/shop.h"

static SlShop shop = { .work = { 0.20, 0.05, 0.05, 0.05, 0.02 }, .cut_step_mm = 0 }; /* SL_SHOP_DEFAULT */

const SlShop *
sl_shop (void)
{
  return &shop;
}

void
sl_shop_set (const SlShop *wanted)
{
  shop = *wanted;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/paper/paper-options.h"

void
sl_template_options_init (SlTemplateOptions *options)
{
  *options = (SlTemplateOptions){
    .paper = SL_PAPER_A4,
    .nut = TRUE,
    .saddle = TRUE,
    .rule = TRUE,
    .correction_x = 1,
    .correction_y = 1,
    .lengths = SL_LENGTHS_MM,
    .decimal = ".",
    .shop = SL_SHOP_DEFAULT,
  };
}

void
sl_handover_options_init (SlHandoverOptions *options)
{
  *options =
      (SlHandoverOptions){ .paper = SL_PAPER_A4, .lengths = SL_LENGTHS_MM, .decimal = ".", .shop = SL_SHOP_DEFAULT };
}

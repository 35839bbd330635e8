/* SPDX-License-Identifier: GPL-3.0-or-later */

#include "calc.h"
#include "draw/paper/documents.h"

static char *units, *name, *address;
static gboolean charges;
const GOptionEntry sl_sheet_entries[] = {
  { "units", 0, 0, G_OPTION_ARG_STRING, &units, N_ ("How lengths are written"), "mm|inch|64ths" },
  { "charges", 0, 0, G_OPTION_ARG_NONE, &charges, N_ ("List the charges"), NULL },
  { "shop-name", 0, 0, G_OPTION_ARG_STRING, &name, N_ ("Name of the shop, for the head of the sheet"), N_ ("NAME") },
  { "address", 0, 0, G_OPTION_ARG_STRING, &address, N_ ("Its address, lines separated by “;”"), N_ ("LINES") },
  { NULL },
};

SlExit
sl_sheet (char **files, const SlShop *shop)
{
  SlHandoverOptions options;
  sl_handover_options_init (&options);
  if (!sl_parse_pages (units, &options.paper, &options.lengths))
    return SL_EXIT_USAGE;
  options.decimal = sl_decimal_sign ();
  options.show_charges = charges;
  options.shop_name = name;
  options.shop = *shop;
  options.shop_address = address != NULL ? g_strdelimit (address, ";", '\n') : NULL;
  SlExit status;
  g_autoptr (SlProfile) profile = sl_load_profile (files[0], NULL, &status);
  if (profile == NULL)
    return status;
  g_autoptr (SlPages) pages = sl_handover_new (profile, &options);
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = sl_pages_pdf (pages, &error);
  return sl_write_pages (files[0], bytes, error);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gi18n.h>

#include "calc.h"
#include "draw/paper/documents.h"

/* The options as typed; NULL where not given. */
typedef struct
{
  SlPageArguments page;
  char *name, *address;
  gboolean charges;
} Arguments;

static void
arguments_clear (Arguments *a)
{
  sl_page_arguments_clear (&a->page);
  g_free (a->name);
  g_free (a->address);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Arguments, arguments_clear)

static SlExit
write_sheet (const char *name, const Arguments *a, const SlHandoverOptions *options)
{
  SlExit status;
  g_autoptr (SlProfile) profile = sl_load_profile (name, NULL, &status);
  if (profile == NULL)
    return status;
  g_autoptr (SlPages) pages = sl_handover_new (profile, NULL, options);
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = sl_pages_pdf (pages, &error);
  return sl_write_output (a->page.output, bytes, error);
}

static SlExit
run (int argc, char **argv)
{
  g_auto (Arguments) a = { 0 };
  const GOptionEntry entries[] = {
    { "charges", 0, 0, G_OPTION_ARG_NONE, &a.charges, N_ ("List the charges"), NULL },
    { "shop-name", 0, 0, G_OPTION_ARG_STRING, &a.name, N_ ("Name of the shop, for the head of the sheet"),
      N_ ("NAME") },
    { "address", 0, 0, G_OPTION_ARG_STRING, &a.address, N_ ("Its address, lines separated by “;”"), N_ ("LINES") },
    { NULL },
  };
  g_autofree char *file = NULL;
  SlHandoverOptions options;
  sl_handover_options_init (&options);
  SlExit status = sl_parse_pages (&sl_sheet_command, entries, N_ ("How lengths are written"), argc, argv, &a.page,
                                  &file, &options.paper, &options.lengths);
  if (status != SL_EXIT_DONE)
    return status;
  options.decimal = sl_decimal_sign ();
  options.show_charges = a.charges;
  options.shop_name = a.name;
  options.shop = a.page.shop.values;
  options.shop_address = a.address != NULL ? g_strdelimit (a.address, ";", '\n') : NULL;
  return write_sheet (file, &a, &options);
}

const SlCommand sl_sheet_command = { "sheet", N_ ("FILE -o OUT"),
                                     N_ ("Writes the hand-over sheet of the last visit as a PDF."), run };

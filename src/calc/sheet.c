/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gi18n.h>

#include "calc.h"
#include "draw/handover.h"

/* The options as typed; NULL where not given. */
typedef struct
{
  char *output, *paper, *units, *shop, *address;
  gboolean charges;
} Arguments;

static void
arguments_clear (Arguments *a)
{
  char *const texts[] = { a->output, a->paper, a->units, a->shop, a->address };
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    g_free (texts[i]);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Arguments, arguments_clear)

static SlExit
write_sheet (const char *name, const Arguments *a, const SlHandoverOptions *options)
{
  SlExit status;
  g_autoptr (SlProfile) profile = sl_load_profile (name, NULL, &status);
  if (profile == NULL)
    return status;
  g_autoptr (SlHandover) handover = sl_handover_new (profile, NULL, options);
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = sl_pages_pdf (sl_handover_pages (handover), &error);
  return sl_write_output (a->output, bytes, error);
}

static SlExit
run (int argc, char **argv)
{
  g_auto (Arguments) a = { NULL };
  const GOptionEntry entries[] = {
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &a.output, N_("The PDF to write"), N_("OUT.pdf") },
    { "paper", 0, 0, G_OPTION_ARG_STRING, &a.paper, N_("Size of the paper"), "a4|letter" },
    { "units", 0, 0, G_OPTION_ARG_STRING, &a.units, N_("How lengths are written"), "mm|inch|64ths" },
    { "charges", 0, 0, G_OPTION_ARG_NONE, &a.charges, N_("List the charges"), NULL },
    { "shop", 0, 0, G_OPTION_ARG_STRING, &a.shop, N_("Name of the shop, for the head of the sheet"), N_("NAME") },
    { "address", 0, 0, G_OPTION_ARG_STRING, &a.address, N_("Its address, lines parted by “;”"), N_("LINES") },
    { NULL },
  };
  g_auto (GStrv) files = NULL;
  if (!sl_command_parse (&sl_sheet_command, entries, 1, argc, argv, &files) || !sl_check_output (&sl_sheet_command, a.output))
    return SL_EXIT_USAGE;
  SlHandoverOptions options;
  sl_handover_options_init (&options);
  int paper = SL_PAPER_A4, lengths = SL_LENGTHS_MM;
  if (!sl_choose (&sl_sheet_command, "paper", a.paper, sl_paper_names, &paper) || !sl_choose (&sl_sheet_command, "units", a.units, sl_unit_names, &lengths))
    return SL_EXIT_USAGE;
  options.paper = (SlPaper) paper;
  options.lengths = (SlLengths) lengths;
  options.decimal = sl_decimal_sign ();
  options.show_charges = a.charges;
  options.shop_name = a.shop;
  options.shop_address = a.address != NULL ? g_strdelimit (a.address, ";", '\n') : NULL;
  return write_sheet (files[0], &a, &options);
}

const SlCommand sl_sheet_command = { "sheet", N_ ("FILE -o OUT"), N_("Writes the hand-over sheet of the last visit as a PDF."), run };

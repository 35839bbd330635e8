/* SPDX-License-Identifier: GPL-3.0-or-later */

#include "calc.h"
#include "draw/paper/documents.h"

static const char *const parts[] = { "all", "nut", "saddle", "rule", NULL };

static char *units, *part, *correction_x, *correction_y;
static gboolean half_tiles;
const GOptionEntry sl_template_entries[] = {
  { "units", 0, 0, G_OPTION_ARG_STRING, &units, N_ ("How lengths are written; the drawing is full size"),
    "mm|inch|64ths" },
  { "part", 0, 0, G_OPTION_ARG_STRING, &part, N_ ("Which template"), "all|nut|saddle|rule" },
  { "half-tiles", 0, 0, G_OPTION_ARG_NONE, &half_tiles, N_ ("Two strips of the fret rule on a page"), NULL },
  { "correction-x", 0, 0, G_OPTION_ARG_STRING, &correction_x,
    N_ ("For a printer that is off: 100 divided by the printed length of the bar in mm, across the paper"),
    N_ ("FACTOR") },
  { "correction-y", 0, 0, G_OPTION_ARG_STRING, &correction_y, N_ ("The same along the paper's long side"),
    N_ ("FACTOR") },
  { NULL },
};

static gboolean
parse_options (SlTemplateOptions *options)
{
  int chosen = 0;
  if (!sl_parse_pages (units, &options->paper, &options->lengths) || !sl_choose ("part", part, parts, &chosen))
    return FALSE;
  options->decimal = sl_decimal_sign ();
  options->half_tiles = half_tiles;
  if (chosen > 0)
    {
      options->nut = chosen == 1;
      options->saddle = chosen == 2;
      options->rule = chosen == 3;
    }
  return sl_parse_number ("correction-x", correction_x, SL_CORRECTION_LEAST, SL_CORRECTION_MOST,
                          &options->correction_x) &&
         sl_parse_number ("correction-y", correction_y, SL_CORRECTION_LEAST, SL_CORRECTION_MOST,
                          &options->correction_y);
}

SlExit
sl_template (char **files, const SlShop *shop)
{
  SlTemplateOptions options;
  sl_template_options_init (&options);
  if (!parse_options (&options))
    return SL_EXIT_USAGE;
  options.shop = *shop;
  SlExit status;
  g_autoptr (SlProfile) profile = sl_load_profile (files[0], NULL, &status);
  if (profile == NULL)
    return status;
  g_autoptr (GError) error = NULL;
  g_autoptr (SlPages) pages = sl_template_new (profile, &options, &error);
  if (pages == NULL)
    {
      sl_file_message (files[0], error->message);
      return SL_EXIT_FAULT;
    }
  if (pages->left_out != NULL)
    sl_file_message (files[0], pages->left_out);
  g_autoptr (GBytes) bytes = sl_pages_pdf (pages, &error);
  return sl_write_pages (files[0], bytes, error);
}

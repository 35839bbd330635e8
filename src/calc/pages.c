/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is written as pages: the hand-over sheet and the templates. */

#include "calc.h"
#include "photo/sheet-pictures.h"
#include "words/one-line.h"

static char *output, *paper, *units;
const GOptionEntry sl_page_entries[] = {
  { "output", 'o', 0, G_OPTION_ARG_FILENAME, &output, N_ ("The PDF to write"), N_ ("OUT.pdf") },
  { "paper", 0, 0, G_OPTION_ARG_STRING, &paper, N_ ("Size of the paper"), "a4|letter" },
  { NULL },
};

/* The options of all pages; SL_EXIT_USAGE after saying what is wrong. */
static SlExit
parse_pages (SlPaper *to_paper, SlLengths *to_lengths)
{
  int chosen_paper = SL_PAPER_A4, chosen_lengths = SL_LENGTHS_MM;
  if (output == NULL)
    return sl_usage_error ("%s", _ ("name the file to write: -o OUT.pdf"));
  g_autofree char *folded = g_ascii_strdown (output, -1), *shown = sl_shown_name (output);
  if (!sl_is_standard (output) && !g_str_has_suffix (folded, ".pdf"))
    return sl_usage_error (_ ("“%s” must end in .pdf"), shown);
  if (sl_check_output (output) || sl_choose ("paper", paper, sl_paper_names, &chosen_paper) ||
      sl_choose ("units", units, sl_unit_names, &chosen_lengths))
    return SL_EXIT_USAGE;
  *to_paper = (SlPaper) chosen_paper;
  *to_lengths = (SlLengths) chosen_lengths;
  return SL_EXIT_DONE;
}

/* Writes them to --output. */
static void
write_pages (SlAnswer *answer, const SlPages *pages)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = sl_pages_pdf (pages, &error);
  sl_write_output (answer, output, bytes, error);
}

/* ---- the hand-over sheet ---- */

static char *name, *address, *photos;
static gboolean charges;
const GOptionEntry sl_sheet_entries[] = {
  { "units", 0, 0, G_OPTION_ARG_STRING, &units, N_ ("How lengths are written"), "mm|inch|64ths" },
  { "charges", 0, 0, G_OPTION_ARG_NONE, &charges, N_ ("List the charges"), NULL },
  { "photos", 0, 0, G_OPTION_ARG_STRING, &photos, N_ ("Whether it shows photographs of the visit"), "yes|no" },
  { "shop-name", 0, 0, G_OPTION_ARG_STRING, &name, N_ ("Name of the shop, for the head of the sheet"), N_ ("NAME") },
  { "address", 0, 0, G_OPTION_ARG_STRING, &address, N_ ("Its address, lines separated by “;”"), N_ ("LINES") },
  { NULL },
};

void
sl_sheet (SlAnswer *answer, const SlShop *shop)
{
  static const char *const answers[] = { "yes", "no", NULL };
  SlHandoverOptions options;
  int without_photos = FALSE;
  sl_handover_options_init (&options);
  if (parse_pages (&options.paper, &options.lengths) || sl_choose ("photos", photos, answers, &without_photos))
    {
      answer->status = SL_EXIT_USAGE;
      return;
    }
  options.decimal = sl_decimal_sign ();
  options.show_charges = charges;
  options.shop_name = name;
  options.shop = *shop;
  options.shop_address = address != NULL ? g_strdelimit (address, ";", '\n') : NULL;
  g_autoptr (SlProfile) profile = sl_load_profile (answer, NULL);
  if (profile == NULL)
    return;
  if (!without_photos)
    {
      const SlTextStyle style = { options.lengths, options.decimal };
      g_autoptr (GFile) file = g_file_new_for_commandline_arg (answer->name), folder = sl_document_photos (file);
      g_autofree char *left_out =
          sl_sheet_pictures_load (profile, folder, &style, NULL, &options.pictures, &options.measured);
      if (left_out != NULL)
        sl_answer_note (answer, SL_EXIT_DONE, sl_answer_called (answer), left_out);
    }
  g_autoptr (SlPages) pages = sl_handover_new (profile, &options);
  g_clear_pointer (&options.pictures, g_hash_table_unref);
  g_clear_pointer (&options.measured, g_hash_table_unref);
  write_pages (answer, pages);
}

/* ---- templates ---- */

static const char *const parts[] = { "all", "nut", "saddle", "rule", NULL };

static char *part, *correction_x, *correction_y;
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

static SlExit
parse_template (SlTemplateOptions *options)
{
  int chosen = 0;
  if (parse_pages (&options->paper, &options->lengths) || sl_choose ("part", part, parts, &chosen) ||
      sl_parse_number ("correction-x", correction_x, SL_CORRECTION_LEAST, SL_CORRECTION_MOST, &options->correction_x))
    return SL_EXIT_USAGE;
  options->decimal = sl_decimal_sign ();
  options->half_tiles = half_tiles;
  if (chosen > 0)
    {
      options->nut = chosen == 1;
      options->saddle = chosen == 2;
      options->rule = chosen == 3;
    }
  return sl_parse_number ("correction-y", correction_y, SL_CORRECTION_LEAST, SL_CORRECTION_MOST,
                          &options->correction_y);
}

void
sl_template (SlAnswer *answer, const SlShop *shop)
{
  SlTemplateOptions options;
  sl_template_options_init (&options);
  if ((answer->status = parse_template (&options)) != SL_EXIT_DONE)
    return;
  options.shop = *shop;
  g_autoptr (SlProfile) profile = sl_load_profile (answer, NULL);
  if (profile == NULL)
    return;
  g_autoptr (GError) error = NULL;
  g_autoptr (SlPages) pages = sl_template_new (profile, &options, &error);
  if (pages == NULL)
    {
      sl_answer_fault (answer, SL_EXIT_FAULT, 0, error->message);
      return;
    }
  if (pages->left_out != NULL)
    sl_answer_note (answer, SL_EXIT_DONE, sl_answer_called (answer), pages->left_out);
  write_pages (answer, pages);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gi18n.h>

#include "calc.h"
#include "draw/paper/documents.h"

static const char *const parts[] = { "all", "nut", "saddle", "rule", NULL };

/* The options as typed; NULL where not given. */
typedef struct
{
  SlPageArguments page;
  char *part, *correction_x, *correction_y;
  gboolean half_tiles;
} Arguments;

static void
arguments_clear (Arguments *a)
{
  sl_page_arguments_clear (&a->page);
  g_free (a->part);
  g_free (a->correction_x);
  g_free (a->correction_y);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Arguments, arguments_clear)

static gboolean
parse_correction (const char *option, const char *text, double *value)
{
  if (text == NULL)
    return TRUE;
  if (sl_plain_parse (text, sl_decimal_sign (), value, NULL) && *value >= SL_CORRECTION_LEAST &&
      *value <= SL_CORRECTION_MOST)
    return TRUE;
  sl_usage_error (&sl_template_command, _ ("--%s is “%s”; it can be a number from %g to %g"), option, text,
                  SL_CORRECTION_LEAST, SL_CORRECTION_MOST);
  return FALSE;
}

static gboolean
parse_options (const Arguments *a, SlTemplateOptions *options)
{
  int part = 0;
  if (!sl_choose (&sl_template_command, "part", a->part, parts, &part))
    return FALSE;
  options->decimal = sl_decimal_sign ();
  options->half_tiles = a->half_tiles;
  if (part > 0)
    {
      options->nut = part == 1;
      options->saddle = part == 2;
      options->rule = part == 3;
    }
  return parse_correction ("correction-x", a->correction_x, &options->correction_x) &&
         parse_correction ("correction-y", a->correction_y, &options->correction_y);
}

static SlExit
write_template (const char *name, const Arguments *a, const SlTemplateOptions *options)
{
  SlExit status;
  g_autoptr (SlProfile) profile = sl_load_profile (name, NULL, &status);
  if (profile == NULL)
    return status;
  g_autoptr (GError) error = NULL;
  g_autoptr (SlPages) pages = sl_template_new (profile, NULL, options, &error);
  if (pages == NULL)
    {
      sl_file_message (name, error->message);
      return SL_EXIT_FAULT;
    }
  if (pages->left_out != NULL)
    sl_file_message (name, pages->left_out);
  g_autoptr (GBytes) bytes = sl_pages_pdf (pages, &error);
  return sl_write_output (a->page.output, bytes, error);
}

static SlExit
run (int argc, char **argv)
{
  g_auto (Arguments) a = { 0 };
  const GOptionEntry entries[] = {
    { "part", 0, 0, G_OPTION_ARG_STRING, &a.part, N_ ("Which template"), "all|nut|saddle|rule" },
    { "half-tiles", 0, 0, G_OPTION_ARG_NONE, &a.half_tiles, N_ ("Two strips of the fret rule on a page"), NULL },
    { "correction-x", 0, 0, G_OPTION_ARG_STRING, &a.correction_x,
      N_ ("For a printer that is off: 100 divided by the printed length of the bar in mm, across the paper"),
      N_ ("FACTOR") },
    { "correction-y", 0, 0, G_OPTION_ARG_STRING, &a.correction_y, N_ ("The same along the paper's long side"),
      N_ ("FACTOR") },
    { NULL },
  };
  g_autofree char *file = NULL;
  SlTemplateOptions options;
  sl_template_options_init (&options);
  SlExit status =
      sl_parse_pages (&sl_template_command, entries, N_ ("How lengths are written; the drawing is full size"), argc,
                      argv, &a.page, &file, &options.paper, &options.lengths);
  if (status != SL_EXIT_DONE)
    return status;
  if (!parse_options (&a, &options))
    return SL_EXIT_USAGE;
  options.shop = a.page.shop.values;
  return write_template (file, &a, &options);
}

const SlCommand sl_template_command = { "template", N_ ("FILE -o OUT"),
                                        N_ ("Writes full-size templates of nut, saddle and frets as a PDF."), run };

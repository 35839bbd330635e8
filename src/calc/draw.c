/* SPDX-License-Identifier: GPL-3.0-or-later */

#include "calc.h"
#include "draw/draw.h"
#include "words/one-line.h"

#define LEAST_SIZE 200.0
#define MOST_SIZE 10000.0 /* a PNG of this size takes 400 MB: more is a typing error */
#define MOST_HEIGHT_FACTOR 100.0

static const char *const views[] = { "all", "side", "nut", "fret-12", "bridge", NULL };
static const SlPictureKind view_kinds[] = { SL_PICTURE_ALL, SL_PICTURE_SIDE, SL_PICTURE_NUT, SL_PICTURE_FRET_12,
                                            SL_PICTURE_BRIDGE };
/* The sheets that stand below the side view in the window, as SlPictureKind has them. */
static const char *const sheets[] = { "strings", "pitch", "frets", "gaps", NULL };

/* The options as typed; NULL where not given. */
static char *output, *type, *view, *sheet, *other, *string, *held, *units, *width, *height, *height_factor;
static gboolean dark, replace, measured;
GOptionEntry sl_draw_entries[] = {
  { "output", 'o', 0, G_OPTION_ARG_FILENAME, &output,
    N_ ("The picture to write; its ending decides the format: .svg, .png or .pdf"), N_ ("OUT") },
  { "type", 0, 0, G_OPTION_ARG_STRING, &type, N_ ("The format instead; needed where OUT is “-”, standard output"),
    "svg|png|pdf" },
  { "view", 0, 0, G_OPTION_ARG_STRING, &view, N_ ("What to draw: the side view with the close-ups, or one of them"),
    "all|side|nut|fret-12|bridge" },
  { "sheet", 0, 0, G_OPTION_ARG_STRING, &sheet, N_ ("Draw a sheet of figures instead"), "strings|pitch|frets|gaps" },
  { "other", 0, 0, G_OPTION_ARG_STRING, &other, NULL, N_ ("SET") },
  { "replace", 0, 0, G_OPTION_ARG_NONE, &replace, N_ ("On the frets sheet, new frets in place of those past saving"),
    NULL },
  { "measured", 0, 0, G_OPTION_ARG_NONE, &measured,
    N_ ("On the gaps sheet, margins as measured rather than as planned"), NULL },
  { "string", 0, 0, G_OPTION_ARG_STRING, &string, N_ ("The string to draw, or all of them"), "N|all" },
  { "held", 0, 0, G_OPTION_ARG_STRING, &held, N_ ("The fret the string is held at, 0 for open"), "N" },
  { "units", 0, 0, G_OPTION_ARG_STRING, &units, N_ ("How lengths are written"), "mm|inch|64ths" },
  { "dark", 0, 0, G_OPTION_ARG_NONE, &dark, N_ ("Draw light on dark"), NULL },
  { "width", 0, 0, G_OPTION_ARG_STRING, &width, N_ ("Width in pixels, or in points for a PDF"), "W" },
  { "height", 0, 0, G_OPTION_ARG_STRING, &height, N_ ("Height, in the same units"), "H" },
  { "height-factor", 0, 0, G_OPTION_ARG_STRING, &height_factor, N_ ("How many times heights are magnified"), "K" },
  { NULL },
};
#define OTHER_ENTRY 4

/* The ids of the sets with @n_strings strings (0: all sets), in a row. */
static char *
list_sets (int n_strings)
{
  GString *list = g_string_new (NULL);
  int n;
  const SlStringSet *sets = sl_string_sets (&n);
  for (int i = 0; i < n; i++)
    if (n_strings == 0 || sets[i].n_strings == n_strings)
      g_string_append_printf (list, "%s%s", list->len > 0 ? ", " : "", sets[i].id);
  return g_string_free (list, FALSE);
}

void
sl_draw_prepare (void)
{
  g_autofree char *ids = list_sets (0);
  sl_draw_entries[OTHER_ENTRY].description =
      g_strdup_printf (_ ("A set of strings to compare on the strings sheet: gauges, or %s"), ids);
}

/* What can be told without the profile. */
static SlExit
parse_options (SlPictureOptions *options)
{
  int chosen_view = 0, chosen_sheet = 0, lengths = SL_LENGTHS_MM;
  if (sl_choose ("view", view, views, &chosen_view) || sl_choose ("sheet", sheet, sheets, &chosen_sheet) ||
      sl_choose ("units", units, sl_unit_names, &lengths))
    return SL_EXIT_USAGE;
  options->kind = sheet != NULL ? (SlPictureKind) (SL_PICTURE_STRINGS + chosen_sheet) : view_kinds[chosen_view];
  const struct
  {
    gboolean broken;
    const char *message;
  } rules[] = {
    { view != NULL && sheet != NULL, _ ("--view and --sheet each name a picture; give one of them") },
    { other != NULL && options->kind != SL_PICTURE_STRINGS, _ ("--other goes with --sheet=strings only") },
    { replace && options->kind != SL_PICTURE_FRETS, _ ("--replace goes with --sheet=frets only") },
    { measured && options->kind != SL_PICTURE_GAPS, _ ("--measured goes with --sheet=gaps only") },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (rules); i++)
    if (rules[i].broken)
      return sl_usage_error ("%s", rules[i].message);
  options->replacing = replace;
  options->measured = measured;
  options->lengths = (SlLengths) lengths;
  options->decimal = sl_decimal_sign ();
  options->look = dark ? SL_LOOK_DARK : SL_LOOK_LIGHT;
  if (sl_parse_number ("width", width, LEAST_SIZE, MOST_SIZE, &options->width) ||
      sl_parse_number ("height", height, LEAST_SIZE, MOST_SIZE, &options->height))
    return SL_EXIT_USAGE;
  return sl_parse_number ("height-factor", height_factor, 1, MOST_HEIGHT_FACTOR, &options->height_factor);
}

/* How high a sheet's picture is where none is given: as high as what it shows needs at the usual width. */
static double
usual_height (SlPictureKind kind, int n_strings, double otherwise)
{
  switch (kind)
    {
    case SL_PICTURE_FRETS: return 460;
    case SL_PICTURE_GAPS: return 140 + 56 * n_strings;
    case SL_PICTURE_STRINGS: return 420 + 20 * n_strings;
    default: return otherwise;
    }
}

/* What depends on the instrument. */
static SlExit
parse_places (const SlProfile *profile, SlPictureOptions *options)
{
  if (height == NULL)
    options->height = usual_height (options->kind, profile->n_strings, options->height);
  options->string = SL_ALL_STRINGS;
  options->held = 0;
  if (g_strcmp0 (string, "all") != 0 && sl_parse_count ("string", string, 1, profile->n_strings, &options->string))
    return SL_EXIT_USAGE;
  return sl_parse_count ("held", held, 0, profile->neck.frets - 1, &options->held);
}

/* The other set of strings, by its id or its gauges; without a string where none is asked for. */
static SlExit
find_other (const SlProfile *profile, SlStringSet *set)
{
  g_autoptr (GError) error = NULL;
  SlInstrument on;
  sl_instrument_from_profile (profile, &on);
  if (other == NULL || sl_string_set_parse (other, &on, set, &error))
    return SL_EXIT_DONE;
  g_autofree char *fitting = list_sets (profile->n_strings);
  return sl_usage_error (_ ("--other is “%s”: %s; built in for %d strings: %s"), other, error->message,
                         profile->n_strings, *fitting != '\0' ? fitting : "–");
}

static GBytes *
render (const SlProfile *profile, const SlShop *shop, SlPictureOptions *options, const SlStringSet *set,
        SlFormat format, GError **error)
{
  g_autoptr (SlAnalysis) analysis = g_new0 (SlAnalysis, 1);
  g_autofree SlComparison *comparison = g_new0 (SlComparison, 1);
  sl_analyse_last (profile, shop, analysis);
  g_autofree char *name = sl_string_set_name (set);
  if (set->n_strings > 0)
    {
      sl_compare (&analysis->planned_instrument, analysis->has_plan ? &analysis->planned : &analysis->measured,
                  set->strings, set->n_strings, comparison);
      options->other = comparison;
      options->other_name = name;
    }
  return sl_picture_render (analysis, options, format, 1.0, error);
}

/* The output's, by what was asked for or else its ending. */
static SlExit
parse_format (SlFormat *format)
{
  static const char *const types[] = {
    [SL_FORMAT_SVG] = "svg", [SL_FORMAT_PNG] = "png", [SL_FORMAT_PDF] = "pdf", NULL
  };
  int chosen = SL_FORMAT_SVG;
  if (output == NULL)
    return sl_usage_error ("%s", _ ("name the picture to write: -o OUT.svg, OUT.png or OUT.pdf"));
  if (sl_choose ("type", type, types, &chosen) || sl_check_output (output))
    return SL_EXIT_USAGE;
  *format = (SlFormat) chosen;
  if (type != NULL || sl_format_from_name (output, format))
    return SL_EXIT_DONE;
  g_autofree char *shown = sl_shown_name (output);
  return sl_is_standard (output)
             ? sl_usage_error ("%s", _ ("say what standard output is to be: --type=svg, png or pdf"))
             : sl_usage_error (_ ("“%s” must end in .svg, .png or .pdf"), shown);
}

void
sl_draw (SlAnswer *answer, const SlShop *shop)
{
  SlFormat format;
  SlPictureOptions options;
  sl_picture_options_init (&options);
  if ((answer->status = parse_format (&format)) != SL_EXIT_DONE ||
      (answer->status = parse_options (&options)) != SL_EXIT_DONE)
    return;
  g_autoptr (SlProfile) profile = sl_load_profile (answer, NULL);
  if (profile == NULL)
    return;
  SlStringSet set = { 0 };
  if ((answer->status = parse_places (profile, &options)) != SL_EXIT_DONE ||
      (answer->status = find_other (profile, &set)) != SL_EXIT_DONE)
    return;
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = render (profile, shop, &options, &set, format, &error);
  sl_write_output (answer, output, bytes, error);
}

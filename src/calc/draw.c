/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gi18n.h>

#include "calc.h"
#include "draw/draw.h"
#include "draw/base/picture.h"
#include "setup/profile/sets.h"

#define LEAST_SIZE 200.0
#define MOST_SIZE 10000.0 /* a PNG of this size takes 400 MB: more is a typing error */
#define MOST_HEIGHT_FACTOR 100.0

/* A choice and its spelling on the command line. */
typedef struct
{
  const char *name;
  int value;
} Choice;

static const Choice views[] = {
  { "all", SL_PICTURE_ALL },         { "side", SL_PICTURE_SIDE },     { "nut", SL_PICTURE_NUT },
  { "fret-12", SL_PICTURE_FRET_12 }, { "bridge", SL_PICTURE_BRIDGE }, { NULL },
};
/* The sheets that stand below the side view in the window. */
static const Choice sheets[] = {
  { "strings", SL_PICTURE_STRINGS },
  { "pitch", SL_PICTURE_PITCH },
  { "frets", SL_PICTURE_FRETS },
  { "gaps", SL_PICTURE_GAPS },
  { NULL },
};
static const Choice units[] = {
  { "mm", SL_LENGTHS_MM }, { "inch", SL_LENGTHS_INCH }, { "64ths", SL_LENGTHS_64THS }, { NULL }
};

/* The options as typed; NULL where not given. */
typedef struct
{
  char *output, *view, *string, *held, *units, *width, *height, *height_factor, *sheet, *other;
  gboolean dark, replace, measured;
  SlShopArgument shop;
} Arguments;

static void
arguments_clear (Arguments *a)
{
  char *const texts[] = { a->output, a->view,   a->string,        a->held,  a->units,
                          a->width,  a->height, a->height_factor, a->sheet, a->other };
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    g_free (texts[i]);
  sl_shop_argument_clear (&a->shop);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Arguments, arguments_clear)

static char *
list_choices (const Choice *choices)
{
  GString *list = g_string_new (NULL);
  for (const Choice *c = choices; c->name != NULL; c++)
    g_string_append_printf (list, "%s%s", c == choices ? "" : ", ", c->name);
  return g_string_free (list, FALSE);
}

static gboolean
choose (const char *option, const char *text, const Choice *choices, int *value)
{
  for (const Choice *c = choices; text != NULL && c->name != NULL; c++)
    if (g_str_equal (c->name, text))
      {
        *value = c->value;
        return TRUE;
      }
  if (text == NULL)
    return TRUE;
  g_autofree char *list = list_choices (choices);
  sl_usage_error (&sl_draw_command, _ ("--%s is “%s”; it can be one of: %s"), option, text, list);
  return FALSE;
}

static gboolean
parse_number (const char *option, const char *text, double least, double most, double *value)
{
  if (text == NULL)
    return TRUE;
  if (sl_plain_parse (text, sl_decimal_sign (), value, NULL) && *value >= least && *value <= most)
    return TRUE;
  sl_usage_error (&sl_draw_command, _ ("--%s is “%s”; it can be a number from %g to %g"), option, text, least, most);
  return FALSE;
}

static gboolean
parse_count (const char *option, const char *text, int least, int most, int *value)
{
  gint64 parsed;
  if (text == NULL)
    return TRUE;
  if (g_ascii_string_to_signed (text, 10, least, most, &parsed, NULL))
    {
      *value = (int) parsed;
      return TRUE;
    }
  sl_usage_error (&sl_draw_command, _ ("--%s is “%s”; on this instrument it can be %d to %d"), option, text, least,
                  most);
  return FALSE;
}

/* What can be told without the profile. */
static gboolean
parse_options (const Arguments *a, SlPictureOptions *options)
{
  int kind = SL_PICTURE_ALL, lengths = SL_LENGTHS_MM;
  if (!choose ("view", a->view, views, &kind) || !choose ("sheet", a->sheet, sheets, &kind) ||
      !choose ("units", a->units, units, &lengths))
    return FALSE;
  if (a->view != NULL && a->sheet != NULL)
    {
      sl_usage_error (&sl_draw_command, "%s", _ ("--view and --sheet each name a picture; give one of them"));
      return FALSE;
    }
  if (a->other != NULL && kind != SL_PICTURE_STRINGS)
    {
      sl_usage_error (&sl_draw_command, "%s", _ ("--other goes with --sheet=strings only"));
      return FALSE;
    }
  if (a->replace && kind != SL_PICTURE_FRETS)
    {
      sl_usage_error (&sl_draw_command, "%s", _ ("--replace goes with --sheet=frets only"));
      return FALSE;
    }
  if (a->measured && kind != SL_PICTURE_GAPS)
    {
      sl_usage_error (&sl_draw_command, "%s", _ ("--measured goes with --sheet=gaps only"));
      return FALSE;
    }
  options->replacing = a->replace;
  options->measured = a->measured;
  options->kind = (SlPictureKind) kind;
  options->lengths = (SlLengths) lengths;
  options->decimal = sl_decimal_sign ();
  options->dark = a->dark;
  return parse_number ("width", a->width, LEAST_SIZE, MOST_SIZE, &options->width) &&
         parse_number ("height", a->height, LEAST_SIZE, MOST_SIZE, &options->height) &&
         parse_number ("height-factor", a->height_factor, 1, MOST_HEIGHT_FACTOR, &options->height_factor);
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
static gboolean
parse_places (const Arguments *a, const SlProfile *profile, SlPictureOptions *options)
{
  if (a->height == NULL)
    options->height = usual_height (options->kind, profile->n_strings, options->height);
  options->string = SL_ALL_STRINGS;
  options->held = 0;
  if (g_strcmp0 (a->string, "all") != 0 && !parse_count ("string", a->string, 1, profile->n_strings, &options->string))
    return FALSE;
  return parse_count ("held", a->held, 0, profile->neck.frets - 1, &options->held);
}

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

/* The other set of strings, which must have as many as the instrument; NULL in @set where none is asked for. */
static gboolean
find_other (const Arguments *a, const SlProfile *profile, const SlStringSet **set)
{
  *set = a->other != NULL ? sl_string_set_find (a->other) : NULL;
  if (a->other == NULL || (*set != NULL && (*set)->n_strings == profile->n_strings))
    return TRUE;
  g_autofree char *fitting = list_sets (profile->n_strings);
  g_autofree char *all = list_sets (0);
  if (*fitting == '\0')
    sl_usage_error (&sl_draw_command, _ ("--other is “%s”; there is no set of %d strings among them: %s"), a->other,
                    profile->n_strings, all);
  else
    sl_usage_error (&sl_draw_command, _ ("--other is “%s”; on this instrument of %d strings it can be one of: %s"),
                    a->other, profile->n_strings, fitting);
  return FALSE;
}

static GBytes *
render (const SlProfile *profile, const SlShop *shop, SlPictureOptions *options, const SlStringSet *other,
        SlFormat format, GError **error)
{
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  g_autofree SlComparison *comparison = g_new0 (SlComparison, 1);
  sl_analyse_last (profile, shop, analysis);
  if (other != NULL)
    {
      sl_compare (&analysis->instrument, analysis->has_plan ? &analysis->planned : &analysis->measured, other->strings,
                  other->n_strings, NULL, comparison);
      options->other = comparison;
      options->other_name = _ (other->name);
    }
  GBytes *bytes = sl_picture_render (analysis, options, format, 1.0, error);
  sl_analysis_clear (analysis);
  return bytes;
}

static SlExit
draw_file (const char *name, const Arguments *a, SlPictureOptions *options, SlFormat format)
{
  SlExit status;
  g_autoptr (SlProfile) profile = sl_load_profile (name, NULL, &status);
  if (profile == NULL)
    return status;
  const SlStringSet *other;
  if (!parse_places (a, profile, options) || !find_other (a, profile, &other))
    return SL_EXIT_USAGE;
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = render (profile, &a->shop.values, options, other, format, &error);
  g_autoptr (GFile) output = g_file_new_for_commandline_arg (a->output);
  gsize n = 0;
  const char *data = bytes != NULL ? g_bytes_get_data (bytes, &n) : NULL;
  if (bytes == NULL || !g_file_replace_contents (output, data, n, NULL, FALSE, G_FILE_CREATE_NONE, NULL, NULL, &error))
    {
      sl_file_message (a->output, error->message);
      return SL_EXIT_FILE;
    }
  return SL_EXIT_DONE;
}

static SlExit
run (int argc, char **argv)
{
  g_auto (Arguments) a = { NULL };
  g_autofree char *set_ids = list_sets (0);
  g_autofree char *other_help = g_strdup_printf (_ ("A set of strings to compare on the strings sheet: %s"), set_ids);
  const GOptionEntry entries[] = {
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &a.output,
      N_ ("The picture to write; its ending decides the format: .svg, .png or .pdf"), N_ ("OUT") },
    { "view", 0, 0, G_OPTION_ARG_STRING, &a.view, N_ ("What to draw: the side view with the close-ups, or one of them"),
      "all|side|nut|fret-12|bridge" },
    { "sheet", 0, 0, G_OPTION_ARG_STRING, &a.sheet, N_ ("Draw a sheet of figures instead"),
      "strings|pitch|frets|gaps" },
    { "other", 0, 0, G_OPTION_ARG_STRING, &a.other, other_help, N_ ("SET") },
    { "replace", 0, 0, G_OPTION_ARG_NONE, &a.replace,
      N_ ("On the frets sheet, new frets in place of those past saving"), NULL },
    { "measured", 0, 0, G_OPTION_ARG_NONE, &a.measured,
      N_ ("On the gaps sheet, margins as measured rather than as planned"), NULL },
    { "string", 0, 0, G_OPTION_ARG_STRING, &a.string, N_ ("The string to draw, or all of them"), "N|all" },
    { "held", 0, 0, G_OPTION_ARG_STRING, &a.held, N_ ("The fret the string is held at, 0 for open"), "N" },
    { "units", 0, 0, G_OPTION_ARG_STRING, &a.units, N_ ("How lengths are written"), "mm|inch|64ths" },
    { "dark", 0, 0, G_OPTION_ARG_NONE, &a.dark, N_ ("Draw light on dark"), NULL },
    { "width", 0, 0, G_OPTION_ARG_STRING, &a.width, N_ ("Width in pixels, or in points for a PDF"), "W" },
    { "height", 0, 0, G_OPTION_ARG_STRING, &a.height, N_ ("Height, in the same units"), "H" },
    { "height-factor", 0, 0, G_OPTION_ARG_STRING, &a.height_factor, N_ ("How many times heights are magnified"), "K" },
    { NULL },
  };
  g_auto (GStrv) files = NULL;
  SlExit status = sl_command_parse (&sl_draw_command, entries, 1, argc, argv, &a.shop, &files);
  if (status != SL_EXIT_DONE)
    return status;
  if (a.output == NULL)
    return sl_usage_error (&sl_draw_command, "%s", _ ("name the picture to write: -o OUT.svg, OUT.png or OUT.pdf"));
  SlFormat format;
  if (!sl_format_from_name (a.output, &format))
    {
      g_autofree char *shown = g_filename_display_name (a.output);
      return sl_usage_error (&sl_draw_command, _ ("“%s” must end in .svg, .png or .pdf"), shown);
    }
  SlPictureOptions options;
  sl_picture_options_init (&options);
  if (!parse_options (&a, &options))
    return SL_EXIT_USAGE;
  return draw_file (files[0], &a, &options, format);
}

const SlCommand sl_draw_command = { "draw", N_ ("FILE -o OUT"),
                                    N_ ("Draws the side view, the close-ups or a sheet as SVG, PNG or PDF."), run };

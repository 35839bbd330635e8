/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A set of strings written by its gauges (model 7.1). */
#include "setup/profile/sets.h"

#include "setup/physics/forces.h"
#include "setup/profile/bounds.h"
#include "setup/profile/units.h"

#define THOU_MM (SL_MM_PER_INCH / 1000)
#define NYLON_KAPPA 51 /* EA/T: the mean of the table of Anderson and Beausoleil (2024) */
#define ROUNDING_MM 1e-4
#define FINE(mm) sl_number (round ((mm) *1e6) / 1e6) /* what comes of inches is no finer */
#define SEPARATORS " \t\r\n,;"

/* A material; or a string: its gauge, w where it is wound, /core, and @ what is published of it: unit mass, EA, EI. */
#define AMOUNT "[0-9]*\\.?[0-9]+)"
#define LENGTH "[0-9]*\\.?[0-9]+(?:\\s*(?:mm|in|thou|\"|″))?)"
#define GRAMMAR                                                                                                        \
  "\\G[\\s,;]*(?:(?<material>[a-z][a-z-]{2,})|(?<gauge>" LENGTH "\\s*(?:(?<wound>w|wound)|p|plain)?"                   \
  "(?:\\s*/\\s*(?<core>" LENGTH ")?(?:@(?<mass>" AMOUNT "(?:/(?<ea>" AMOUNT "(?:/(?<ei>" AMOUNT ")?)?)?)(?=[\\s,;]|$)"

/* What strings are made of: the word, of which its beginning or end will do. The first row that has it is meant: a
 * packet that says nickel means plated steel (common practice). A wound string in a set of fluorocarbon or gut is of
 * nylon. */
typedef struct
{
  const char *word;
  SlCore core;
  SlWrap wrap;
} Material;
static const Material materials[] = {
  { "nickel-plated-steel", SL_CORE_STEEL, SL_WRAP_NICKEL_PLATED_STEEL },
  { "stainless-steel", SL_CORE_STEEL, SL_WRAP_STAINLESS_STEEL },
  { "phosphor-bronze", SL_CORE_STEEL, SL_WRAP_PHOSPHOR_BRONZE },
  { "pure-nickel", SL_CORE_STEEL, SL_WRAP_NICKEL },
  { "brass", SL_CORE_STEEL, SL_WRAP_BRASS },
  { "nylon", SL_CORE_NYLON, SL_WRAP_SILVER_PLATED_COPPER },
  { "fluorocarbon", SL_CORE_FLUOROCARBON, SL_WRAP_SILVER_PLATED_COPPER },
  { "gut", SL_CORE_GUT, SL_WRAP_SILVER_PLATED_COPPER },
};
#define MATERIALS "nickel, stainless, bronze, pure-nickel, brass, nylon, fluorocarbon, gut"

/* Of the instrument's strings: the first one's and the last wound one's. */
static const Material *
material_on (const SlProfile *profile)
{
  int wound = profile == NULL ? 0 : profile->n_strings - 1;

  while (wound > 0 && profile->strings[wound].build != SL_BUILD_WOUND)
    wound--;
  for (gsize i = 0; i < G_N_ELEMENTS (materials) && profile != NULL; i++)
    if (materials[i].core == profile->strings[0].core &&
        (materials[i].core != SL_CORE_STEEL || materials[i].wrap == profile->strings[wound].wrap))
      return &materials[i];
  return &materials[0];
}

static const Material *
find_material (const char *word)
{
  g_autofree char *lower = g_ascii_strdown (word, -1);

  for (gsize i = 0; i < G_N_ELEMENTS (materials); i++)
    if (g_str_has_prefix (materials[i].word, lower) || g_str_has_suffix (materials[i].word, lower))
      return &materials[i];
  return NULL;
}

static SlNumber
amount (const GMatchInfo *match, const char *part)
{
  g_autofree char *text = g_match_info_fetch_named (match, part);
  SlNumber n = SL_NUMBER_ABSENT;

  if (text != NULL)
    sl_number_parse (text, &n);
  return n;
}

/* A number of 1 or more without a unit counts thousandths of an inch. */
static double
length_mm (const GMatchInfo *match, const char *part)
{
  g_autofree char *text = g_match_info_fetch_named (match, part);
  double mm = NAN;

  if (text == NULL || !sl_length_parse (text, SL_LENGTHS_INCH, ".", &mm, NULL))
    return NAN;
  return mm >= SL_MM_PER_INCH && g_ascii_isdigit (text[strlen (text) - 1]) ? mm / SL_MM_PER_INCH * THOU_MM : mm;
}

static double
outside_mm (const SlString *string)
{
  return string->core_diameter.v + 2 * sl_number_or (string->wrap_diameter, 0);
}

/* The first of the string's measures that can't be, in words; NULL: all can. @name: as it is written. */
static char *
complaint (const SlString *string, const char *name)
{
  const gboolean plain = string->build == SL_BUILD_PLAIN;
  /* plain steel is sold up to 0.027 in (common practice) */
  const SlBound outside = { .element = name,
                            .attribute = plain ? C_ ("string", "plain") : C_ ("string", "wound"),
                            .least = plain ? 0.1 : 0.3,
                            .most = !plain                          ? 5
                                    : string->core == SL_CORE_STEEL ? 0.7
                                                                    : 2,
                            .unit = SL_UNIT_MM };
  char *text = sl_bound_complaint (&outside, outside_mm (string));

  for (const SlBound *bound = sl_bounds; bound->element != NULL && text == NULL; bound++)
    if (g_str_equal (bound->element, "string") && bound->offset >= 0)
      {
        const SlBound named = { name, bound->attribute, bound->least, bound->most, bound->unit, -1 };
        const SlNumber *n = (gconstpointer) ((const char *) string + bound->offset);

        text = sl_number_is_set (*n) ? sl_bound_complaint (&named, n->v) : NULL;
      }
  return text;
}

/* How thick the core of a wound string is, where it isn't given, and a nylon string's unit mass in g/m by its gauge as
 * sold: own fits to the built-in sets and to string charts (model 7.1), in thousandths of an inch. */
static void
make_string (const GMatchInfo *match, const Material *of, SlString *out)
{
  g_autofree char *wound_text = g_match_info_fetch_named (match, "wound");
  const gboolean wound = wound_text != NULL && *wound_text != '\0';
  const SlCore core = wound && of->core != SL_CORE_STEEL ? SL_CORE_NYLON : of->core;
  const double outside = length_mm (match, "gauge"), thou = outside / THOU_MM, given = length_mm (match, "core"),
               usual = THOU_MM * round (core == SL_CORE_NYLON ? 2.0 * pow (thou, 0.67) : 2.9 * pow (thou, 0.47)),
               core_mm = !wound          ? outside
                         : isnan (given) ? usual
                                         : given,
               nylon = wound ? 2.37e-4 * pow (thou, 2.67) : 4.915e-4 * thou * thou;

  *out = (SlString){ NULL,
                     SL_NUMBER_ABSENT,
                     wound ? SL_BUILD_WOUND : SL_BUILD_PLAIN,
                     core,
                     FINE (core_mm),
                     wound ? of->wrap : SL_WRAP_NONE,
                     wound ? FINE ((outside - core_mm) / 2) : SL_NUMBER_ABSENT,
                     amount (match, "mass"),
                     amount (match, "ea"),
                     amount (match, "ei") };
  if (core == SL_CORE_NYLON && !sl_number_is_set (out->unit_mass))
    out->unit_mass = sl_number (round (nylon * 1e4) / 1e4);
}

/* Takes a match: a material, or a string. FALSE where it can't be, with @why where it is known. */
static gboolean
take (const GMatchInfo *match, const Material **of, SlStringSet *set, char **why)
{
  g_autofree char *whole = g_match_info_fetch (match, 0), *word = g_match_info_fetch_named (match, "material");
  const char *name = whole + strspn (whole, SEPARATORS);

  if (*word != '\0')
    return (*of = find_material (word)) != NULL;
  if (set->n_strings == SL_MAX_STRINGS)
    *why = g_strdup_printf (_ ("“%s” is one string too many; there can be %d"), name, SL_MAX_STRINGS);
  else
    {
      make_string (match, *of, &set->strings[set->n_strings]);
      *why = complaint (&set->strings[set->n_strings++], name);
    }
  return *why == NULL;
}

/* Nylon is the stiffer the harder it is pulled: EA = κ T, and EI that of a rod as thick as the string (model 7.1). Of
 * fluorocarbon no table was at hand: it is taken to be like nylon (own choice). */
static void
stiffen (SlString *string, const SlString *present, double scale_mm)
{
  SlString tuned = *string;
  SlStringData data;

  if ((string->core != SL_CORE_NYLON && string->core != SL_CORE_FLUOROCARBON) ||
      sl_number_is_set (string->axial_stiffness))
    return;
  tuned.note = present->note;
  tuned.frequency = present->frequency;
  sl_string_data (&tuned, &data);
  const double ea = NYLON_KAPPA * sl_tension (&data, scale_mm);
  string->axial_stiffness = sl_number (round (ea));
  string->bending_stiffness = sl_number (round (ea * data.outside_mm * data.outside_mm / 16));
}

/* Fits a set to an instrument: courses of two like strings that it names once, and nylon. What is wrong where it has
 * not as many strings, in words. */
static char *
suit (SlStringSet *set, const SlProfile *profile)
{
  const int n = profile->n_strings;
  gboolean once = n == 2 * set->n_strings;

  for (int i = 0; i < n && once; i += 2)
    once = g_strcmp0 (profile->strings[i].note, profile->strings[i + 1].note) == 0;
  if (!once && n != set->n_strings)
    return g_strdup_printf (SL_SET_COUNT, set->n_strings, n);
  for (int i = n - 1; i >= 0; i--)
    {
      set->strings[i] = set->strings[once ? i / 2 : i];
      stiffen (&set->strings[i], &profile->strings[i], profile->neck.scale_length.v);
    }
  set->n_strings = n;
  return NULL;
}

/* "10", "26 wound": in thousandths of an inch where it is of some, else "0.71 mm". */
static char *
gauge_text (const SlString *string)
{
  const double mm = outside_mm (string), thou = round (10 * mm / THOU_MM) / 10;
  const gboolean inches = fabs (thou * THOU_MM - mm) < ROUNDING_MM;
  g_autofree char *number = sl_plain_shortest (inches ? thou : mm),
                  *gauge = g_strconcat (number, inches ? "" : " mm", NULL);

  /* Translators: a string's gauge, as on a packet: "26 wound" */
  return string->build == SL_BUILD_PLAIN ? g_steal_pointer (&gauge) : g_strdup_printf (_ ("%s wound"), gauge);
}

/* What is wrong with a set of which @rest could not be taken, in words; NULL: nothing. */
static char *
fault_of (const SlStringSet *set, const char *rest)
{
  double thickest = 0;

  if (*rest != '\0' || set->n_strings == 0)
    return g_strdup_printf (
        _ ("“%.*s” is no gauge; accepted are gauges from the treble up, such as 10 13 17 26w 36w 46w "
           "(w: wound), 0.25 mm or 46w/18 (with its core), and before them %s"),
        (int) strcspn (rest, SEPARATORS), rest, MATERIALS);
  for (int i = 1; i < set->n_strings; i++)
    thickest = MAX (thickest, outside_mm (&set->strings[i]));
  if (set->n_strings == 1 || outside_mm (&set->strings[0]) <= thickest)
    return NULL;
  g_autofree char *first = gauge_text (&set->strings[0]);
  return g_strdup_printf (_ ("the set begins with its thickest string, %s; write it from the treble up"), first);
}

gboolean
sl_string_set_parse (const char *text, const SlProfile *profile, SlStringSet *set, GError **error)
{
  g_autoptr (GRegex) grammar = g_regex_new (GRAMMAR, G_REGEX_CASELESS, 0, NULL);
  g_autoptr (GMatchInfo) match = NULL;
  g_autofree char *why = NULL;
  const Material *of = material_on (profile);
  int end = 0;

  *set = (SlStringSet){ 0 };
  for (g_regex_match (grammar, text, 0, &match); g_match_info_matches (match) && take (match, &of, set, &why);
       g_match_info_next (match, NULL))
    g_match_info_fetch_pos (match, 0, NULL, &end);
  if (why == NULL)
    why = fault_of (set, text + end + strspn (text + end, SEPARATORS));
  if (why == NULL && profile != NULL)
    why = suit (set, profile);
  if (why != NULL)
    g_set_error_literal (error, SL_UNITS_ERROR, 0, why);
  return why == NULL;
}

char *
sl_strings_text (const SlString *strings, int n_strings)
{
  GString *text = g_string_new (NULL);

  for (int i = 0; i < n_strings; i++)
    {
      g_autofree char *gauge = gauge_text (&strings[i]);

      g_string_append_printf (text, "%s%s", i > 0 ? ", " : "", gauge);
    }
  return g_string_free (text, FALSE);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/sets.h"

#include "setup/physics/forces.h"
#include "setup/profile/bounds.h"
#include "setup/profile/moment.h"
#include "setup/profile/units.h"

#define SAME_MASS 1e-6 /* of a mass or a core: the same string */

/* ---- a set written by its gauges (model 7.1) ---- */

#define THOU_MM (SL_MM_PER_INCH / 1000)
#define THICKEST_STEEL_MM 0.7                        /* plain ones are sold up to 0.027 in (common practice) */
#define NYLON_KAPPA 51                               /* EA/T: the mean of the table of Anderson and Beausoleil (2024) */
#define FINE(mm) sl_number (round ((mm) *1e6) / 1e6) /* what comes of inches is no finer */
#define MM_PER_M 1000.0
#define G_PER_KG 1000.0
#define MM2_PER_M2 1e6
#define SEPARATORS " \t\r\n,;"

/* A material; or a string: its gauge, w where it is wound, /core, and @ what is published of it. */
#define AMOUNT "[0-9]*\\.?[0-9]+)"
#define LENGTH "[0-9]*\\.?[0-9]+(?:\\s*(?:mm|in|thou|\"|″))?)"
#define GRAMMAR                                                                                                        \
  "\\G[\\s,;]*(?:(?<material>[a-z][a-z-]{2,})|(?<gauge>" LENGTH "\\s*(?:(?<wound>w|wound)|p|plain)?"                   \
  "(?:\\s*/\\s*(?<core>" LENGTH ")?(?:@(?<mass>" AMOUNT "(?:/(?<ea>" AMOUNT "(?:/(?<ei>" AMOUNT ")?)?)?)(?=[\\s,;]|$)"
#define MATERIALS "steel, nickel, stainless, bronze, brass, nylon, fluorocarbon, gut"

/* A part of a match; a length, in mm, counts thousandths of an inch where it is 1 or more and has no unit. NAN where
 * the match has no such part. */
static double
value (const GMatchInfo *match, const char *part, gboolean is_length)
{
  g_autofree char *text = g_match_info_fetch_named (match, part);
  double v = NAN;

  if (text == NULL || *text == '\0')
    return NAN;
  if (!is_length)
    return g_ascii_strtod (text, NULL);
  sl_length_parse (text, SL_LENGTHS_INCH, ".", &v, NULL);
  return v >= SL_MM_PER_INCH && g_ascii_isdigit (text[strlen (text) - 1]) ? v / SL_MM_PER_INCH * THOU_MM : v;
}

/* What the strings to come are of, by a word of the document; of a wrap its beginning or end will do, and a packet that
 * says nickel means plated steel (common practice). */
static gboolean
find_material (const char *word, SlString *like)
{
  g_autofree char *lower = g_ascii_strdown (word, -1);

  for (int i = 0; i < SL_N_CORES; i++)
    if (i != SL_CORE_STAINLESS_STEEL && g_str_equal (sl_core_names[i], lower))
      {
        like->core = (SlCore) i;
        like->wrap = i == SL_CORE_STEEL ? SL_WRAP_NICKEL_PLATED_STEEL : SL_WRAP_SILVER_PLATED_COPPER;
        return TRUE;
      }
  for (int i = SL_WRAP_STAINLESS_STEEL; i > SL_WRAP_NONE; i--)
    if (g_str_has_prefix (sl_wrap_names[i], lower) || g_str_has_suffix (sl_wrap_names[i], lower))
      {
        like->core = SL_CORE_STEEL;
        like->wrap = (SlWrap) i;
        return TRUE;
      }
  return FALSE;
}

/* What the instrument's strings are of: the first one, and what the last wound one is wound with. */
static SlString
material_on (const SlInstrument *on)
{
  SlString like = { .core = SL_CORE_STEEL, .wrap = SL_WRAP_NICKEL_PLATED_STEEL };

  if (on != NULL)
    find_material (sl_core_names[on->strings[0].core], &like);
  for (int i = 0; on != NULL && i < on->n_strings; i++)
    if (on->strings[i].wrap != SL_WRAP_NONE)
      like.wrap = on->strings[i].wrap;
  return like;
}

/* The string of a match. How thick the core of a wound one is, where it isn't given, and a nylon string's unit mass in
 * g/m by its gauge as sold: own fits to the built-in sets and to string charts, in thousandths of an inch (model 7.1).
 * In a set of fluorocarbon or gut what is wound is nylon. */
static SlString
make_string (const GMatchInfo *match, const SlString *like)
{
  g_autofree char *word = g_match_info_fetch_named (match, "wound");
  const gboolean wound = word != NULL && *word != '\0';
  const SlCore core = wound && like->core != SL_CORE_STEEL ? SL_CORE_NYLON : like->core;
  const double outside = value (match, "gauge", TRUE), thou = outside / THOU_MM, given = value (match, "core", TRUE),
               usual = THOU_MM * ceil (core == SL_CORE_NYLON ? 1.95 * pow (thou, 0.67) : 2.9 * pow (thou, 0.47)),
               core_mm = wound ? (isnan (given) ? usual : given) : outside, mass = value (match, "mass", FALSE),
               nylon = wound ? 2.37e-4 * pow (thou, 2.67) : 4.915e-4 * thou * thou;

  return (SlString){ NULL,
                     SL_NUMBER_ABSENT,
                     wound ? SL_BUILD_WOUND : SL_BUILD_PLAIN,
                     core,
                     FINE (core_mm),
                     wound ? like->wrap : SL_WRAP_NONE,
                     wound ? FINE ((outside - core_mm) / 2) : SL_NUMBER_ABSENT,
                     sl_number (core == SL_CORE_NYLON && isnan (mass) ? round (nylon * 1e4) / 1e4 : mass),
                     sl_number (value (match, "ea", FALSE)),
                     sl_number (value (match, "ei", FALSE)) };
}

static double
outside_mm (const SlString *string)
{
  return string->core_diameter.v + 2 * sl_number_or (string->wrap_diameter, 0);
}

/* The first of a string's numbers that can't be, in words; NULL: all can. @name: the string as it is written. */
static char *
complaint (const SlString *string, const char *name)
{
  const gboolean plain = string->build == SL_BUILD_PLAIN;
  const double thickest = string->core == SL_CORE_STEEL ? THICKEST_STEEL_MM : 2;
  SlBound bound = {
    name, plain ? C_ ("string", "plain") : C_ ("string", "wound"), plain ? 0.1 : 0.3, plain ? thickest : 5, SL_UNIT_MM,
    -1
  };
  char *text = sl_bound_complaint (&bound, outside_mm (string));

  for (const SlBound *row = sl_bounds; row->element != NULL && text == NULL; row++)
    if (g_str_equal (row->element, "string") && row->offset >= 0)
      {
        const SlNumber *n = (gconstpointer) ((const char *) string + row->offset);

        bound = *row;
        bound.element = name;
        text = sl_number_is_set (*n) ? sl_bound_complaint (&bound, n->v) : NULL;
      }
  return text;
}

/* Takes a material or a string. FALSE where it can't be, with @why where that is known. */
static gboolean
take (const GMatchInfo *match, SlString *like, SlStringSet *set, char **why)
{
  g_autofree char *whole = g_match_info_fetch (match, 0), *word = g_match_info_fetch_named (match, "material");
  const char *name = whole + strspn (whole, SEPARATORS);

  if (*word != '\0')
    return find_material (word, like);
  if (set->n_strings == SL_MAX_STRINGS)
    *why = g_strdup_printf (_ ("“%s” is one string too many; there can be %d"), name, SL_MAX_STRINGS);
  else
    {
      set->strings[set->n_strings] = make_string (match, like);
      *why = complaint (&set->strings[set->n_strings++], name);
    }
  return *why == NULL;
}

/* Nylon is the stiffer the harder it is pulled: EA = κ T, and EI that of a rod as thick as the string (model 7.1). Of
 * fluorocarbon no table was at hand: it is taken to be like nylon (own choice). */
static void
stiffen (SlString *string, double frequency_hz, double scale_mm)
{
  SlStringData data;

  if ((string->core != SL_CORE_NYLON && string->core != SL_CORE_FLUOROCARBON) ||
      sl_number_is_set (string->axial_stiffness))
    return;
  sl_string_data (string, &data);
  data.frequency_hz = frequency_hz;
  const double ea = NYLON_KAPPA * sl_tension (&data, scale_mm);
  string->axial_stiffness = sl_number (round (ea));
  string->bending_stiffness = sl_number (round (ea * data.outside_mm * data.outside_mm / 16));
}

/* Makes a set suit an instrument; what is wrong, in words, NULL where nothing is. */
static char *
suit (SlStringSet *set, const SlInstrument *on)
{
  const int n = on->n_strings;
  gboolean once = n == 2 * set->n_strings;

  for (int i = 0; i < n && once; i += 2)
    once = on->strings[i].frequency_hz == on->strings[i + 1].frequency_hz;
  if (!once && n != set->n_strings)
    return g_strdup_printf (_ ("the set has %d strings; the instrument has %d"), set->n_strings, n);
  set->n_strings = n;
  for (int i = n - 1; i >= 0; i--)
    {
      set->strings[i] = set->strings[once ? i / 2 : i];
      stiffen (&set->strings[i], on->strings[i].frequency_hz, on->scale[i]);
    }
  return NULL;
}

/* In thousandths of an inch: "10", "26 wound". */
static char *
gauge_text (double outside, gboolean wound)
{
  g_autofree char *gauge = sl_plain_shortest (round (10 * outside / THOU_MM) / 10);

  /* Translators: a string's gauge, as on a packet: "26 wound" */
  return wound ? g_strdup_printf (_ ("%s wound"), gauge) : g_steal_pointer (&gauge);
}

char *
sl_gauges_text (const SlStringData *strings, int n_strings)
{
  char *gauges[SL_MAX_STRINGS + 1] = { NULL };

  for (int i = 0; i < n_strings; i++)
    gauges[i] = gauge_text (strings[i].outside_mm, strings[i].wrap != SL_WRAP_NONE);
  char *text = g_strjoinv (", ", gauges);
  for (int i = 0; i < n_strings; i++)
    g_free (gauges[i]);
  return text;
}

/* Reads gauges into strings; what is wrong, as above. */
static char *
read_gauges (const char *text, const SlInstrument *on, SlStringSet *set)
{
  g_autoptr (GRegex) grammar = g_regex_new (GRAMMAR, G_REGEX_CASELESS, 0, NULL);
  g_autoptr (GMatchInfo) match = NULL;
  char *why = NULL;
  SlString like = material_on (on);
  double thickest = 0;
  int end = 0;

  for (g_regex_match (grammar, text, 0, &match); g_match_info_matches (match) && take (match, &like, set, &why);
       g_match_info_next (match, NULL))
    g_match_info_fetch_pos (match, 0, NULL, &end);
  if (why != NULL)
    return why;
  const char *rest = text + end + strspn (text + end, SEPARATORS);
  if (*rest != '\0' || set->n_strings == 0)
    return g_strdup_printf (
        _ ("“%.*s” is no gauge; accepted are gauges from the treble up, such as 10 13 17 26w 36w 46w "
           "(w: wound), 0.25 mm or 46w/18 (with its core), and before them %s"),
        (int) strcspn (rest, SEPARATORS), rest, MATERIALS);
  for (int i = 1; i < set->n_strings; i++)
    thickest = MAX (thickest, outside_mm (&set->strings[i]));
  if (set->n_strings == 1 || outside_mm (&set->strings[0]) <= thickest)
    return NULL;
  g_autofree char *first = gauge_text (outside_mm (&set->strings[0]), set->strings[0].build == SL_BUILD_WOUND);
  return g_strdup_printf (_ ("the set begins with its thickest string, %s; write it from the treble up"), first);
}

/* ---- what is built in ---- */

static const SlTuning tunings[] = {
#include "tuning-rows.h"
};

static SlStringSet sets[] = {
#include "set-rows.h"
};

/* Makes the strings of a built-in set, tuned, with the stiffness that nylon has so. */
static void
build (SlStringSet *set)
{
  SlInstrument on = { .n_strings = 0 };
  const SlTuning *tuning = tunings;

  while (!g_str_equal (tuning->id, set->tuning))
    tuning++;
  read_gauges (set->gauges, NULL, set);
  for (on.n_strings = 0; on.n_strings < tuning->n_strings; on.n_strings++)
    {
      set->strings[on.n_strings].note = (char *) tuning->notes[on.n_strings];
      on.strings[on.n_strings].frequency_hz = sl_note_frequency (tuning->notes[on.n_strings]);
      on.scale[on.n_strings] = set->scale_mm;
    }
  suit (set, &on);
}

const SlStringSet *
sl_string_sets (int *n)
{
  static gsize built;

  if (g_once_init_enter (&built))
    {
      for (gsize i = 0; i < G_N_ELEMENTS (sets); i++)
        build (&sets[i]);
      g_once_init_leave (&built, 1);
    }
  *n = G_N_ELEMENTS (sets);
  return sets;
}

const SlStringSet *
sl_string_set_find (const char *id)
{
  int n;

  sl_string_sets (&n);
  for (int i = 0; i < n; i++)
    if (g_strcmp0 (sets[i].id, id) == 0)
      return &sets[i];
  return NULL;
}

gboolean
sl_string_set_parse (const char *text, const SlInstrument *on, SlStringSet *set, GError **error)
{
  const SlStringSet *built_in = sl_string_set_find (text);
  g_autofree char *why = NULL;

  *set = built_in != NULL ? *built_in : (SlStringSet){ 0 };
  if (built_in == NULL)
    why = read_gauges (text != NULL ? text : "", on, set);
  if (why == NULL && on != NULL)
    why = suit (set, on);
  if (why != NULL)
    g_set_error_literal (error, SL_UNITS_ERROR, 0, why);
  return why == NULL;
}

char *
sl_string_set_name (const SlStringSet *set)
{
  SlStringData strings[SL_MAX_STRINGS];

  for (int i = 0; i < set->n_strings; i++)
    sl_string_data (&set->strings[i], &strings[i]);
  return set->name != NULL ? g_strdup (_ (set->name)) : sl_gauges_text (strings, set->n_strings);
}

/* @places decimals, fewer where they are 0, in the C locale. */
static void
append (GString *text, const char *before, double value, int places)
{
  char number[SL_NUMBER_CHARS];
  const double whole = pow (10, places);

  g_string_append_printf (text, "%s%s", before, sl_number_format (sl_number (round (value * whole) / whole), number));
}

char *
sl_string_set_text (const SlStringData *strings, int n_strings, gboolean whole)
{
  g_autoptr (GString) text = g_string_new (NULL);
  const char *material = NULL;

  for (int s = 0; s < n_strings; s++)
    {
      const SlStringData *on = &strings[s];
      const gboolean wound = on->wrap != SL_WRAP_NONE, metal = sl_core_is_metal (on->core);
      const char *of = !metal  ? sl_core_names[on->core]
                       : wound ? sl_wrap_names[on->wrap]
                               : sl_core_names[SL_CORE_STEEL];

      if (whole && of != material)
        g_string_append_printf (text, " %s", of);
      material = of;
      append (text, " ", on->outside_mm / THOU_MM, 1);
      if (wound)
        append (text, "w/", 2 * sqrt (on->core_area_m2 / G_PI) * MM_PER_M / THOU_MM, 1);
      if (!whole)
        continue;
      append (text, "@", on->unit_mass_kg_m * G_PER_KG, 4);
      append (text, "/", on->ea_n, 0);
      append (text, "/", on->ei_nm2 * MM2_PER_M2, 2);
    }
  return g_strdup (text->str + 1);
}

const SlTuning *
sl_tunings (int *n)
{
  *n = G_N_ELEMENTS (tunings);
  return tunings;
}

/* How far the set's string @string is from sounding @frequency_hz, as the size of a logarithm; 0 where either is not
 * known. */
static double
apart (const SlString *string, double frequency_hz)
{
  double own = sl_number_is_set (string->frequency) ? string->frequency.v : sl_note_frequency (string->note);

  return own > 0 && frequency_hz > 0 ? fabs (log (own / frequency_hz)) : 0;
}

void
sl_match_courses (const SlString *strings, int n_strings, const double *frequencies_hz, int n_places,
                  int order[SL_MAX_STRINGS])
{
  for (int i = 0; i < SL_MAX_STRINGS; i++)
    order[i] = i;
  if (n_strings != SL_MAX_STRINGS || n_places != SL_MAX_STRINGS)
    return;
  for (int i = 0; i < SL_MAX_STRINGS; i += 2)
    if (apart (&strings[i + 1], frequencies_hz[i]) + apart (&strings[i], frequencies_hz[i + 1]) <
        apart (&strings[i], frequencies_hz[i]) + apart (&strings[i + 1], frequencies_hz[i + 1]))
      {
        order[i] = i + 1;
        order[i + 1] = i;
      }
}

void
sl_profile_fit_strings (SlProfile *profile, const SlStringSet *set, gboolean keep_notes)
{
  double tuned[SL_MAX_STRINGS];
  int order[SL_MAX_STRINGS];

  for (int s = 0; s < SL_MAX_STRINGS; s++)
    {
      const SlString *now = &profile->strings[s];

      tuned[s] = !keep_notes || s >= profile->n_strings ? NAN
                 : sl_number_is_set (now->frequency)    ? now->frequency.v
                                                        : sl_note_frequency (now->note);
    }
  sl_match_courses (set->strings, set->n_strings, tuned, profile->n_strings, order);
  for (int s = 0; s < MIN (profile->n_strings, set->n_strings); s++)
    {
      const SlString *from = &set->strings[order[s]];
      SlString *to = &profile->strings[s];
      char *note = to->note;
      SlNumber frequency = to->frequency;

      *to = *from;
      if (keep_notes && (note != NULL || sl_number_is_set (frequency)))
        {
          to->note = note;
          to->frequency = frequency;
          continue;
        }
      to->note = g_strdup (from->note);
      g_free (note);
    }
}

static gboolean
same_string (const SlStringData *present, const SlString *string)
{
  SlStringData data;

  sl_string_data (string, &data);
  return fabs (data.unit_mass_kg_m - present->unit_mass_kg_m) <= SAME_MASS * data.unit_mass_kg_m &&
         data.core == present->core &&
         fabs (data.core_area_m2 - present->core_area_m2) <=
             SAME_MASS * data.core_area_m2; /* whatever was heard of it */
}

gboolean
sl_string_set_is_on (const SlStringSet *set, const SlInstrument *instrument)
{
  const int course = set->n_strings == SL_MAX_STRINGS ? 1 : 0;

  if (set->n_strings != instrument->n_strings)
    return FALSE;
  for (int i = 0; i < set->n_strings; i++)
    if (!same_string (&instrument->strings[i], &set->strings[i]) &&
        !same_string (&instrument->strings[i], &set->strings[i ^ course]))
      return FALSE;
  return TRUE;
}

void
sl_profile_tune (SlProfile *profile, const SlTuning *tuning)
{
  for (int s = 0; s < MIN (profile->n_strings, tuning->n_strings); s++)
    {
      g_free (profile->strings[s].note);
      profile->strings[s].note = g_strdup (tuning->notes[s]);
      profile->strings[s].frequency = SL_NUMBER_ABSENT;
    }
}

double
sl_slot_width (const SlInstrument *instrument, int string)
{
  return instrument->strings[string - 1].outside_mm + instrument->slot_allowance;
}

/* ---- strings that were fitted ---- */

int
sl_instrument_restring (SlInstrument *instrument, const SlString *strings, int n_strings)
{
  const int n = MIN (n_strings, instrument->n_strings);
  double tuned[SL_MAX_STRINGS];
  int order[SL_MAX_STRINGS];

  for (int i = 0; i < instrument->n_strings; i++)
    tuned[i] = instrument->strings[i].frequency_hz;
  sl_match_courses (strings, n_strings, tuned, instrument->n_strings, order);
  for (int i = 0; i < n; i++)
    {
      sl_string_data (&strings[order[i]], &instrument->strings[i]);
      instrument->strings[i].frequency_hz = tuned[i];
    }
  return n;
}

gboolean
sl_instrument_fit (SlInstrument *instrument, const SlOperation *operation)
{
  SlStringSet set;

  if (operation->kind != SL_OP_FIT_STRINGS || !sl_string_set_parse (operation->set, instrument, &set, NULL))
    return FALSE;
  return sl_instrument_restring (instrument, set.strings, set.n_strings) > 0;
}

static gboolean
no_later (const char *a, const char *b)
{
  int order;

  return sl_moment_compare (a, b, &order) && order <= 0;
}

SlOperation *
sl_strings_fitted_by (const SlProfile *profile, const SlVisit *visit, const char *moment, const SlOperation *but)
{
  const char *by = moment != NULL || visit == NULL ? moment : visit->opened;
  SlOperation *last = NULL;

  SL_EACH (const SlVisit, other, profile != NULL ? profile->visits : NULL)
    SL_EACH (SlOperation, op, profile->kind == SL_KIND_INSTRUMENT || other == visit ? other->plan : NULL)
      if (op->kind == SL_OP_FIT_STRINGS && op->done != NULL && op != but && (by == NULL || no_later (op->done, by)) &&
          (last == NULL || no_later (last->done, op->done)))
        last = op;
  if (last != NULL && no_later (last->done, profile->fitted) && (by == NULL || no_later (profile->fitted, by)))
    return NULL;
  return last;
}

void
sl_instrument_strings_at (SlInstrument *instrument, const SlProfile *profile, const SlVisit *visit, const char *moment,
                          const SlOperation *but)
{
  const SlOperation *last = sl_strings_fitted_by (profile, visit, moment, but);

  if (profile == NULL)
    return;
  for (int s = 0; s < profile->n_strings; s++)
    sl_string_data (&profile->strings[s], &instrument->strings[s]);
  if (last != NULL)
    sl_instrument_fit (instrument, last);
}

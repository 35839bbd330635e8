/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/sets.h"

#include "setup/profile/bounds.h"
#include "setup/profile/moment.h"
#include "setup/profile/units.h"

#define SAME_MASS 1e-6 /* of a mass: the same string */

static const SlTuning tunings[] = {
  { "standard", N_ ("Standard"), 6, { "E4", "B3", "G3", "D3", "A2", "E2" } },
  { "half-step-down", N_ ("Half-step down"), 6, { "Eb4", "Bb3", "Gb3", "Db3", "Ab2", "Eb2" } },
  { "drop-d", N_ ("Drop D"), 6, { "E4", "B3", "G3", "D3", "A2", "D2" } },
  { "dadgad", N_ ("DADGAD"), 6, { "D4", "A3", "G3", "D3", "A2", "D2" } },
  { "open-g", N_ ("Open G"), 6, { "D4", "B3", "G3", "D3", "G2", "D2" } },
  { "open-g-lap", N_ ("Open G, lap style"), 6, { "D4", "B3", "G3", "D3", "B2", "G2" } },
  { "seven-standard", N_ ("Seven-string, standard"), 7, { "E4", "B3", "G3", "D3", "A2", "E2", "B1" } },
  { "eight-standard", N_ ("Eight-string, standard"), 8, { "E4", "B3", "G3", "D3", "A2", "E2", "B1", "F#1" } },
  { "bass-standard", N_ ("Bass, standard"), 4, { "G2", "D2", "A1", "E1" } },
  { "bass-five-standard", N_ ("Five-string bass, standard"), 5, { "G2", "D2", "A1", "E1", "B0" } },
  { "ukulele", N_ ("Ukulele, high G"), 4, { "A4", "E4", "C4", "G4" } },
  { "ukulele-low-g", N_ ("Ukulele, low G"), 4, { "A4", "E4", "C4", "G3" } },
  { "ukulele-baritone", N_ ("Baritone ukulele"), 4, { "E4", "B3", "G3", "D3" } },
  { "mandolin", N_ ("Mandolin"), 8, { "E5", "E5", "A4", "A4", "D4", "D4", "G3", "G3" } },
  { "twelve-standard",
    N_ ("Twelve-string, standard"),
    12,
    { "E4", "E4", "B3", "B3", "G3", "G4", "D3", "D4", "A2", "A3", "E2", "E3" } },
};

/* Outsides as such sets are known by, cores as is typical where one is given (common practice); nylon for six strings
 * with unit masses of string charts and the stiffness of Anderson and Beausoleil's table (model 7). */
static SlStringSet sets[] = {
  { "acoustic-light", N_ ("Acoustic steel, light (0.012–0.053 in)"), "standard", 647.7,
    "bronze 12 16 24w/13 32w/14 42w/17 53w/19" },
  { "acoustic-medium", N_ ("Acoustic steel, medium (0.013–0.056 in)"), "standard", 647.7,
    "bronze 13 17 26w/14 35w/15 45w/18 56w/20" },
  { "electric-9", N_ ("Electric steel, 9 (0.009–0.042 in)"), "standard", 647.7, "nickel 9 11 16 24w/13 32w/15 42w/17" },
  { "electric-10", N_ ("Electric steel, 10 (0.010–0.046 in)"), "standard", 647.7,
    "nickel 10 13 17 26w/13 36w/15 46w/18" },
  { "electric-11", N_ ("Electric steel, 11 (0.011–0.049 in)"), "standard", 647.7,
    "nickel 11 14 18 28w/14 38w/16 49w/18" },
  { "seven-string", N_ ("Electric steel, 7 strings (0.010–0.059 in)"), "seven-standard", 647.7,
    "nickel 10 13 17 26w/13 36w/15 46w/18 59w" },
  { "eight-string", N_ ("Electric steel, 8 strings (0.010–0.074 in)"), "eight-standard", 685.8,
    "nickel 10 13 17 30w 42w 54w 64w 74w" },
  { "eight-string-light", N_ ("Electric steel, 8 strings (0.009–0.080 in)"), "eight-standard", 685.8,
    "nickel 9 12 16 24w/13 34w 46w/18 64w 80w" },
  { "nylon-normal", N_ ("Nylon, normal tension"), "standard", 650,
    "nylon 0.71mm@0.3736/3307/104.6 0.82mm@0.5048/2532/106.3 1.02mm@0.8356/3176/207.5 "
    "0.74mmw/0.48mm@1.920/3220/109.0 0.91mmw/0.57mm@3.289/3278/162.4 1.11mmw/0.63mm@5.470/3655/273.4" },
  { "nylon-hard", N_ ("Nylon, hard tension"), "standard", 650,
    "nylon 0.73mm@0.3859/3416/111.6 0.84mm@0.5222/2619/113.8 1.05mm@0.8563/3255/217.9 "
    "0.76mmw/0.48mm@2.007/3367/119.2 0.95mmw/0.57mm@3.486/3473/182.4 1.15mmw/0.65mm@5.666/3786/293.4" },
  { "bass-45", N_ ("Bass steel, 45–105"), "bass-standard", 863.6, "nickel 45w/17 65w/21 85w/23 105w/25" },
  { "bass-five", N_ ("Bass steel, 5 strings, 45–130"), "bass-five-standard", 863.6,
    "nickel 45w/17 65w/21 85w/23 105w/25 130w" },
  { "bass-acoustic", N_ ("Acoustic bass, bronze, 45–105"), "bass-standard", 863.6, "bronze 45w 65w 85w 105w" },
  { "ukulele-soprano", N_ ("Ukulele, soprano, nylon"), "ukulele", 346, "nylon 26 32 40 28" },
  { "ukulele-concert", N_ ("Ukulele, concert, nylon"), "ukulele", 381, "nylon 24 32 40 28" },
  { "ukulele-fluorocarbon", N_ ("Ukulele, soprano or concert, fluorocarbon"), "ukulele", 381,
    "fluorocarbon 20.5 26 32 22.5" },
  { "ukulele-tenor", N_ ("Ukulele, tenor, nylon, high G"), "ukulele", 432, "nylon 24 32 40 28" },
  { "ukulele-tenor-low-g", N_ ("Ukulele, tenor, nylon, low G"), "ukulele-low-g", 432, "nylon 24 32 40 28w" },
  { "ukulele-baritone", N_ ("Ukulele, baritone, nylon"), "ukulele-baritone", 510, "nylon 28 34 42 30w" },
  { "ukulele-baritone-fluorocarbon", N_ ("Ukulele, baritone, fluorocarbon"), "ukulele-baritone", 510,
    "fluorocarbon 22 26 33 29w" },
  { "mandolin", N_ ("Mandolin, bronze (0.011–0.040 in)"), "mandolin", 352.4, "bronze 11 11 15 15 26w 26w 40w 40w" },
  { "resonator", N_ ("Resonator, bronze (0.016–0.056 in)"), "open-g-lap", 635, "bronze 16 18 26w/14 36w 46w 56w/20" },
  /* the octave string lies on the bass side of its course: common practice */
  { "twelve-string", N_ ("Twelve-string steel, light (0.010–0.047 in)"), "twelve-standard", 647.7,
    "bronze 10 10 14 14 23w/13 8 30w/14 12 38w/16 18w/11 47w/18 27w/14" },
};

/* Makes the strings of a built-in set, tuned, with the stiffness that nylon has so. */
static void
build (SlStringSet *set)
{
  SlInstrument on = { .n_strings = 0 };
  const SlTuning *tuning = tunings;

  while (!g_str_equal (tuning->id, set->tuning))
    tuning++;
  sl_gauges_read (set->gauges, NULL, set);
  for (on.n_strings = 0; on.n_strings < tuning->n_strings; on.n_strings++)
    {
      set->strings[on.n_strings].note = (char *) tuning->notes[on.n_strings];
      on.strings[on.n_strings].frequency_hz = sl_note_frequency (tuning->notes[on.n_strings]);
      on.scale[on.n_strings] = set->scale_mm;
    }
  sl_gauges_suit (set, &on);
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
    why = sl_gauges_read (text != NULL ? text : "", on, set);
  if (why == NULL && on != NULL)
    why = sl_gauges_suit (set, on);
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
         fabs (data.ea_n - present->ea_n) <= SAME_MASS * data.ea_n;
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

void
sl_instrument_strings_at (SlInstrument *instrument, const SlProfile *profile, const SlVisit *visit, const char *moment,
                          const SlOperation *but)
{
  const char *by = moment != NULL || visit == NULL ? moment : visit->opened;
  const SlOperation *last = NULL;
  gboolean any = FALSE;

  SL_EACH (const SlVisit, other, profile != NULL ? profile->visits : NULL)
    SL_EACH (const SlOperation, op, profile->kind == SL_KIND_INSTRUMENT || other == visit ? other->plan : NULL)
      {
        if (op->kind != SL_OP_FIT_STRINGS || op->done == NULL)
          continue;
        any = TRUE;
        if (op != but && (by == NULL || no_later (op->done, by)) && (last == NULL || no_later (last->done, op->done)))
          last = op;
      }
  if (!any)
    return;
  for (int s = 0; s < profile->n_strings; s++)
    sl_string_data (&profile->strings[s], &instrument->strings[s]);
  if (last != NULL && !(no_later (last->done, profile->fitted) && (by == NULL || no_later (profile->fitted, by))))
    sl_instrument_fit (instrument, last);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/sets.h"

#define SAME_MASS 1e-6 /* of a mass: the same string */

#define NUMBER(value)                                                                                                  \
  {                                                                                                                    \
    (value), -1                                                                                                        \
  }
#define NOT_GIVEN                                                                                                      \
  {                                                                                                                    \
    NAN, -1                                                                                                            \
  }
#define STRING(note, build, core, core_mm, wrap, wrap_mm, mass, ea, ei)                                                \
  {                                                                                                                    \
    (char *) note, NOT_GIVEN, build, core, NUMBER (core_mm), wrap, wrap_mm, mass, ea, ei                               \
  }
/* Steel by inches, nylon by millimetres, as they are sold. */
#define INCH(d) ((d) *25.4)
#define STEEL(note, d)                                                                                                 \
  STRING (note, SL_BUILD_PLAIN, SL_CORE_STEEL, INCH (d), SL_WRAP_NONE, NOT_GIVEN, NOT_GIVEN, NOT_GIVEN, NOT_GIVEN)
#define WOUND(note, core, wrap, d)                                                                                     \
  STRING (note, SL_BUILD_WOUND, SL_CORE_STEEL, INCH (core), wrap, NUMBER (INCH (d)), NOT_GIVEN, NOT_GIVEN, NOT_GIVEN)
#define BRONZE(note, core, d) WOUND (note, core, SL_WRAP_PHOSPHOR_BRONZE, d)
#define PLATED(note, core, d) WOUND (note, core, SL_WRAP_NICKEL_PLATED_STEEL, d)
/* Nylon with g/m, EA in N and EI in N mm². */
#define NYLON(note, d, mass, ea, ei)                                                                                   \
  STRING (note, SL_BUILD_PLAIN, SL_CORE_NYLON, d, SL_WRAP_NONE, NOT_GIVEN, NUMBER (mass), NUMBER (ea), NUMBER (ei))
#define SILVERED(note, core, d, mass, ea, ei)                                                                          \
  STRING (note, SL_BUILD_WOUND, SL_CORE_NYLON, core, SL_WRAP_SILVER_PLATED_COPPER, NUMBER (d), NUMBER (mass),          \
          NUMBER (ea), NUMBER (ei))

/* Outside diameters are those by which such sets are known in the trade (common practice); how a wound string's
 * diameter is shared between core and wrap varies, the shares here are typical ones.
 *
 * Nylon draws out under its tension and grows stiffer with it, and a bass's core is a floss: neither mass nor stiffness
 * follows from diameters as sold (Lynch-Aird and Woodhouse, Materials 10, 497 (2017) and 11, 2160 (2018), from memory).
 * So nylon sets carry them. Unit masses are those of string charts (common practice). Stiffness of the normal tension:
 * EA = κ T and EI = (ε0 L)² T, L 650 mm, from the table of string constants of Anderson and Beausoleil, J. Acoust. Soc.
 * Am. 156, 683 (2024). Of the hard tension derived from it: the same stuff a little thicker, so EA goes with the unit
 * mass and EI with its square. */
static const SlStringSet sets[] = {
  { "acoustic-light",
    N_ ("Acoustic steel, light (0.012–0.053 in)"),
    6,
    { STEEL ("E4", 0.012), STEEL ("B3", 0.016), BRONZE ("G3", 0.0130, 0.0055), BRONZE ("D3", 0.0140, 0.0090),
      BRONZE ("A2", 0.0170, 0.0125), BRONZE ("E2", 0.0190, 0.0170) } },
  { "acoustic-medium",
    N_ ("Acoustic steel, medium (0.013–0.056 in)"),
    6,
    { STEEL ("E4", 0.013), STEEL ("B3", 0.017), BRONZE ("G3", 0.0140, 0.0060), BRONZE ("D3", 0.0150, 0.0100),
      BRONZE ("A2", 0.0180, 0.0135), BRONZE ("E2", 0.0200, 0.0180) } },
  { "electric-9",
    N_ ("Electric steel, 9 (0.009–0.042 in)"),
    6,
    { STEEL ("E4", 0.009), STEEL ("B3", 0.011), STEEL ("G3", 0.016), PLATED ("D3", 0.0130, 0.0055),
      PLATED ("A2", 0.0150, 0.0085), PLATED ("E2", 0.0170, 0.0125) } },
  { "electric-10",
    N_ ("Electric steel, 10 (0.010–0.046 in)"),
    6,
    { STEEL ("E4", 0.010), STEEL ("B3", 0.013), STEEL ("G3", 0.017), PLATED ("D3", 0.0130, 0.0065),
      PLATED ("A2", 0.0150, 0.0105), PLATED ("E2", 0.0180, 0.0140) } },
  { "electric-11",
    N_ ("Electric steel, 11 (0.011–0.049 in)"),
    6,
    { STEEL ("E4", 0.011), STEEL ("B3", 0.014), STEEL ("G3", 0.018), PLATED ("D3", 0.0140, 0.0070),
      PLATED ("A2", 0.0160, 0.0110), PLATED ("E2", 0.0180, 0.0155) } },
  { "nylon-normal",
    N_ ("Nylon, normal tension"),
    6,
    { NYLON ("E4", 0.71, 0.3736, 3307, 104.6), NYLON ("B3", 0.82, 0.5048, 2532, 106.3),
      NYLON ("G3", 1.02, 0.8356, 3176, 207.5), SILVERED ("D3", 0.48, 0.13, 1.920, 3220, 109.0),
      SILVERED ("A2", 0.57, 0.17, 3.289, 3278, 162.4), SILVERED ("E2", 0.63, 0.24, 5.470, 3655, 273.4) } },
  { "nylon-hard",
    N_ ("Nylon, hard tension"),
    6,
    { NYLON ("E4", 0.73, 0.3859, 3416, 111.6), NYLON ("B3", 0.84, 0.5222, 2619, 113.8),
      NYLON ("G3", 1.05, 0.8563, 3255, 217.9), SILVERED ("D3", 0.48, 0.14, 2.007, 3367, 119.2),
      SILVERED ("A2", 0.57, 0.19, 3.486, 3473, 182.4), SILVERED ("E2", 0.65, 0.25, 5.666, 3786, 293.4) } },
  { "bass-45",
    N_ ("Bass steel, 45–105"),
    4,
    { PLATED ("G2", 0.0170, 0.0140), PLATED ("D2", 0.0210, 0.0220), PLATED ("A1", 0.0230, 0.0310),
      PLATED ("E1", 0.0250, 0.0400) } },
  { "twelve-string",
    N_ ("Twelve-string steel, light (0.010–0.047 in)"),
    12,
    { STEEL ("E4", 0.010), STEEL ("E4", 0.010), STEEL ("B3", 0.014), STEEL ("B3", 0.014),
      /* the octave string lies on the bass side of its course: common practice */
      BRONZE ("G3", 0.0130, 0.0050), STEEL ("G4", 0.008), BRONZE ("D3", 0.0140, 0.0080), STEEL ("D4", 0.012),
      BRONZE ("A2", 0.0160, 0.0110), BRONZE ("A3", 0.0110, 0.0035), BRONZE ("E2", 0.0180, 0.0145),
      BRONZE ("E3", 0.0140, 0.0065) } },
};

static const SlTuning tunings[] = {
  { "standard", N_ ("Standard"), 6, { "E4", "B3", "G3", "D3", "A2", "E2" } },
  { "half-step-down", N_ ("Half-step down"), 6, { "Eb4", "Bb3", "Gb3", "Db3", "Ab2", "Eb2" } },
  { "drop-d", N_ ("Drop D"), 6, { "E4", "B3", "G3", "D3", "A2", "D2" } },
  { "dadgad", N_ ("DADGAD"), 6, { "D4", "A3", "G3", "D3", "A2", "D2" } },
  { "open-g", N_ ("Open G"), 6, { "D4", "B3", "G3", "D3", "G2", "D2" } },
  { "bass-standard", N_ ("Bass, standard"), 4, { "G2", "D2", "A1", "E1" } },
  { "twelve-standard",
    N_ ("Twelve-string, standard"),
    12,
    { "E4", "E4", "B3", "B3", "G3", "G4", "D3", "D4", "A2", "A3", "E2", "E3" } },
};

const SlStringSet *
sl_string_sets (int *n)
{
  *n = G_N_ELEMENTS (sets);
  return sets;
}

const SlStringSet *
sl_string_set_find (const char *id)
{
  for (gsize i = 0; i < G_N_ELEMENTS (sets); i++)
    if (g_strcmp0 (sets[i].id, id) == 0)
      return &sets[i];
  return NULL;
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

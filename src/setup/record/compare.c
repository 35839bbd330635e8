/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/compare.h"

#include "setup/physics/clearance.h"
#include "setup/physics/forces.h"
#include "setup/physics/pitch.h"

#define PERCENT 100.0
#define LENGTH_PLACES 2

static const SlStringWorth no_worth = { NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, 0, 0, NAN };

static void
string_worth (const SlInstrument *in, const SlState *state, int string, SlStringWorth *out)
{
  const SlStringData *data = &in->strings[string - 1];
  const double x = in->x[string - 1][SL_OCTAVE_FRET];
  SlStringState s;
  double angle, before;

  *out = no_worth;
  out->unit_mass_kg_m = data->unit_mass_kg_m;
  out->outside_mm = data->outside_mm;
  out->slot_width = sl_slot_width (in, string);
  out->frequency_hz = data->frequency_hz;
  if (!(data->frequency_hz > 0) || !(data->unit_mass_kg_m > 0))
    return;
  sl_state_string (in, state, string, &s);
  out->tension = sl_tension (data, sl_open_length (&s));
  out->stress_share = out->tension / data->core_area_m2 / data->strength_pa;
  /* pulled aside at x a string is held back by T/x + T/(L − x) */
  out->side_give = out->tension / x + out->tension / (s.x_s - x);
  angle = sl_nut_break (&s);
  if (!isnan (angle))
    out->nut_force = sl_resultant_force (out->tension, angle);
  if (sl_saddle_angles (&s, &angle, &before))
    out->saddle_force = sl_saddle_forces (out->tension, angle, before).down;
  out->setback_needed = sl_setback_needed (&s, NULL);
  out->least_margin = sl_least_margin (&s, out->tension, &out->least_margin_held, &out->least_margin_fret);
}

void
sl_set_worth (const SlInstrument *instrument, const SlState *state, SlSetWorth *out)
{
  memset (out, 0, sizeof *out);
  out->n_strings = instrument->n_strings;
  for (int s = 1; s <= instrument->n_strings; s++)
    {
      SlStringWorth *w = &out->strings[s - 1];

      string_worth (instrument, state, s, w);
      out->tension_total += w->tension;
      out->nut_force_total += w->nut_force;
      out->saddle_force_total += w->saddle_force;
    }
}

void
sl_compare (const SlInstrument *instrument, const SlState *state, const SlString *strings, int n_strings,
            SlComparison *out)
{
  SlInstrument *other = &out->instrument;

  *other = *instrument;
  out->n_changed = sl_instrument_restring (other, strings, n_strings);
  sl_set_worth (instrument, state, &out->present);
  sl_set_worth (other, state, &out->other);
  out->tension_change = out->other.tension_total - out->present.tension_total;
  out->tension_share = out->tension_change / out->present.tension_total;
  out->before = out->after = *state;
  if (isnan (out->tension_change))
    return;
  sl_state_pull (instrument, out->tension_change, &out->after);
  sl_set_worth (other, &out->after, &out->other);
}

/* A length with its U, "0.19 ± 0.06". */
static char *
with_spread (double mm, double u, SlLengths lengths, const char *decimal)
{
  g_autofree char *value = sl_length_format (mm, lengths, LENGTH_PLACES, decimal, FALSE),
                  *spread = sl_length_format (SL_COVERAGE * u, lengths, LENGTH_PLACES, decimal, TRUE);

  return g_strdup_printf ("%s ± %s", value, spread);
}

static char *
predicted_action (const SlComparison *comparison, int string, SlLengths lengths, const char *decimal)
{
  SlStringState s;
  double g[SL_N_P];

  sl_state_string (&comparison->instrument, &comparison->after, string, &s);
  sl_gap_gradient (&s, 0, SL_OCTAVE_FRET, g);
  return with_spread (sl_gap (&s, 0, SL_OCTAVE_FRET), sl_string_u (&s, g), lengths, decimal);
}

/* Where relief and the action of the outer strings are predicted to go. */
static char *
predicted_text (const SlComparison *comparison, SlLengths told, const char *decimal)
{
  const SlState *after = &comparison->after;
  const int n = after->n_strings;
  const SlLengths lengths = sl_lengths_for (told, sl_state_mean_relief (after));
  const double share = n < 2 ? 1 : 0.5,
               row[SL_MAX_UNKNOWNS] = { [SL_RELIEF_TREBLE] = share, [SL_RELIEF_BASS] = 1 - share };
  g_autofree char *from = sl_length_format (sl_state_mean_relief (&comparison->before), lengths, LENGTH_PLACES, decimal,
                                            FALSE),
                  *relief =
                      with_spread (sl_state_mean_relief (after), sqrt (sl_row_variance (after, row)), lengths, decimal),
                  *bass = predicted_action (comparison, n, lengths, decimal),
                  *treble = predicted_action (comparison, 1, lengths, decimal);

  /* Translators: a length; lengths with their uncertainties and unit, "0.19 ± 0.06 mm"; a string's number after each
   * of the last two */
  return g_strdup_printf (
      _ ("Predicted: relief from %s to %s, action at fret 12 of %s at string %d and %s at string 1. "
         "Read relief and action again once it has settled."),
      from, relief, bass, n, treble);
}

char *
sl_comparison_sentence (const SlComparison *comparison, SlLengths lengths, const char *decimal)
{
  g_autofree char *newtons = sl_plain_format (fabs (comparison->tension_change), 0, decimal);
  g_autofree char *percent = sl_plain_format (PERCENT * fabs (comparison->tension_share), 1, decimal);

  if (isnan (comparison->tension_change))
    return g_strdup (_ ("The tension in all can’t be given: one of the strings has no note."));
  if (fabs (comparison->tension_share) < SL_TENSION_SAME_SHARE)
    /* Translators: newtons, percent */
    return g_strdup_printf (
        _ ("Tension in all differs by only %s N (%s %%). Relief should stay; read it again anyway."), newtons, percent);
  g_autofree char *predicted = predicted_text (comparison, lengths, decimal);

  /* Translators: newtons, percent; the sentences that begin with “Predicted:” */
  return g_strdup_printf (comparison->tension_change > 0
                              ? _ ("%s N (%s %%) more tension in all: the neck will bow further forward. %s")
                              : _ ("%s N (%s %%) less tension in all: the neck will straighten. %s"),
                          newtons, percent, predicted);
}

char *
sl_stress_percent (double stress_share, const char *decimal)
{
  double percent = PERCENT * stress_share, limit = PERCENT * SL_STRESS_WARNING;

  return sl_plain_format (percent, percent > limit && round (percent) <= round (limit) ? 1 : 0, decimal);
}

char *
sl_stress_warning (int string, double stress_share, const char *decimal)
{
  g_autofree char *percent = NULL;
  g_autofree char *accepted = NULL;

  if (!(stress_share > SL_STRESS_WARNING))
    return NULL;
  percent = sl_stress_percent (stress_share, decimal);
  accepted = sl_plain_format (PERCENT * SL_STRESS_WARNING, 0, decimal);
  if (stress_share >= 1)
    /* Translators: string number, percent, percent */
    return g_strdup_printf (_ ("String %d: at pitch its core carries %s %% of the strength music wire has at least "
                               "(ASTM A228): it is likely to break. Up to %s %% is sound."),
                            string, percent, accepted);
  return g_strdup_printf (_ ("String %d: at pitch its core carries %s %% of the strength music wire has at least (ASTM "
                             "A228). Up to %s %% is sound."),
                          string, percent, accepted);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/air.h"

#include "setup/profile/moment.h"
#include "setup/record/visit.h"
#include "setup/wood/climate.h"

#define OUTSIDE_RH 5.0   /* beyond the band, % RH: our own choice */
#define MOVED_POINTS 1.5 /* of moisture content, some 8 % RH within the band: our own choice */
#define FIT_LIMIT 3.0    /* normalised residual of a reading that is left out (model 3.2) */
#define A_HAIR_MM 1e-9   /* so that a figure brought exactly to the edge of its range is inside it */

/* An earlier set that can be compared with. */
typedef struct
{
  const SlVisit *visit;
  const SlReadingSet *set;
  gint64 time;
  double moisture;
} Earlier;

double
sl_air_moisture (const SlReadingSet *set)
{
  if (!sl_number_is_set (set->temperature) || !sl_number_is_set (set->humidity))
    return NAN;
  return sl_moisture_content (set->temperature.v, set->humidity.v);
}

gboolean
sl_air_tells (const SlReadingSet *set)
{
  return sl_set_at_pitch (set) && set->settled != SL_SETTLED_NO && isfinite (sl_air_moisture (set));
}

/* ---- what was in range ---- */

static gboolean
in_range (double value, double target, double tolerance)
{
  return fabs (value - target) <= tolerance + A_HAIR_MM;
}

/* Whether relief and every first gap and action that was read were within their tolerances. Of a set that says nothing
 * of relief or of any action it can't be told. */
static gboolean
met_targets (const SlInstrument *in, const SlFit *fit)
{
  const SlState *state = &fit->state;
  gboolean relief_read = !fit->relief_assumed_treble || !fit->relief_assumed_bass, action_read = FALSE;

  if (!relief_read || !in_range (sl_state_mean_relief (state), in->target_relief, in->relief_tolerance))
    return FALSE;
  for (int fret = 1; fret <= SL_OCTAVE_FRET; fret += SL_OCTAVE_FRET - 1)
    for (int s = 1; s <= in->n_strings; s++)
      {
        double tolerance, target = sl_gap_target (in, s, fret, &tolerance);

        if (sl_fit_assumes (fit, s, fret))
          continue;
        if (!in_range (sl_state_gap (in, state, s, fret), target, tolerance))
          return FALSE;
        action_read = action_read || fret == SL_OCTAVE_FRET;
      }
  return action_read;
}

/* Whether a reading is too far out for any fit: one that is not left out stays within 3 u of its state (model 3.2). One
 * that is left out leaves in doubt whether everything was in range. */
static gboolean
plainly_out (const SlInstrument *in, const SlReadingSet *set)
{
  SL_EACH (const SlReading, r, set->readings)
    {
      const int fret = r->kind == SL_READ_FIRST_GAP                             ? 1
                       : r->kind == SL_READ_ACTION && r->fret == SL_OCTAVE_FRET ? SL_OCTAVE_FRET
                                                                                : 0;
      double tolerance, target;

      if (r->use == SL_USE_NEVER || r->held > SL_HELD_OPEN || r->string < 1 || r->string > in->n_strings || fret == 0)
        continue;
      target = sl_gap_target (in, r->string, fret, &tolerance);
      if (!in_range (r->value.v, target, tolerance + FIT_LIMIT * sl_reading_own_u (set, r)))
        return TRUE;
    }
  return FALSE;
}

/* Where @earlier met its targets @out gets its air and its actions. */
static void
look_at (SlInstrument *in, const Earlier *earlier, const SlShop *shop, SlAirFound *out)
{
  SlFit fit;

  if (plainly_out (in, earlier->set))
    return;
  sl_fit_visit (in, NULL, earlier->visit, earlier->set, &shop->work, NULL, NULL, &fit);
  if (met_targets (in, &fit))
    {
      out->good = earlier->set;
      out->good_moisture = earlier->moisture;
      if (!fit.action_assumed[0])
        out->good_action_treble = sl_state_gap (in, &fit.state, 1, SL_OCTAVE_FRET);
      if (!fit.action_assumed[in->n_strings - 1])
        out->good_action_bass = sl_state_gap (in, &fit.state, in->n_strings, SL_OCTAVE_FRET);
    }
  sl_fit_clear (&fit);
}

/* ---- earlier sets ---- */

static int
latest_first (gconstpointer a, gconstpointer b)
{
  const Earlier *first = a, *second = b;

  return (first->time < second->time) - (first->time > second->time);
}

/* The sets before @set that tell of the air, latest first; of baselines none, whose visits are of several
 * instruments. */
static GArray *
earlier_sets (const SlProfile *profile, const SlReadingSet *set)
{
  GArray *sets = g_array_new (FALSE, FALSE, sizeof (Earlier));
  const gint64 now = sl_time_of (set->taken);

  SL_EACH (const SlVisit, visit, profile->kind == SL_KIND_INSTRUMENT ? profile->visits : NULL)
    SL_EACH (const SlReadingSet, other, visit->sets)
      {
        const Earlier earlier = { visit, other, sl_time_of (other->taken), sl_air_moisture (other) };

        if (earlier.time < now && sl_air_tells (other))
          g_array_append_val (sets, earlier);
      }
  g_array_sort (sets, latest_first);
  return sets;
}

static gboolean
in_other_air (double moisture, double other)
{
  return fabs (moisture - other) > MOVED_POINTS;
}

/* The last earlier set that met its targets, if that was in other air. A set is fitted only where there is one in other
 * air at all. */
static void
find_good (const SlProfile *profile, const SlReadingSet *set, const SlShop *shop, SlAirFound *out)
{
  g_autoptr (GArray) sets = earlier_sets (profile, set);
  SlAirFound found = *out;
  SlInstrument in;
  gboolean other = FALSE;

  for (guint i = 0; i < sets->len; i++)
    other = other || in_other_air (out->moisture, g_array_index (sets, Earlier, i).moisture);
  if (!other)
    return;
  sl_instrument_from_profile (profile, &in);
  for (guint i = 0; i < sets->len && found.good == NULL; i++)
    look_at (&in, &g_array_index (sets, Earlier, i), shop, &found);
  if (found.good != NULL && in_other_air (out->moisture, found.good_moisture))
    *out = found;
}

void
sl_find_air (const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set, const SlShop *shop,
             SlAirFound *out)
{
  const SlReadingSet *read = set;

  *out = (SlAirFound){ .humidity = NAN,
                       .moisture = NAN,
                       .good_moisture = NAN,
                       .good_action_treble = NAN,
                       .good_action_bass = NAN,
                       .middle = (shop->keep_least + shop->keep_most) / 2 };
  if (set == NULL)
    return;
  SL_EACH (const SlReadingSet, other, visit != NULL && !sl_number_is_set (set->humidity) ? visit->sets : NULL)
    if (other < set && sl_number_is_set (other->humidity))
      read = other;
  SL_EACH (const SlOperation, op, visit != NULL ? visit->plan : NULL)
    if (op->kind == SL_OP_BENCH_STEP && op->step == SL_BENCH_SETTLE && op->done != NULL)
      out->settling = out->settling || !sl_operation_is_past (op, read->taken);
  out->read = read;
  out->humidity = sl_number_or (read->humidity, NAN);
  out->moisture = sl_air_moisture (read);
  if (isfinite (out->moisture))
    find_good (profile, read, shop, out);
  if ((set->settled == SL_SETTLED_DEFAULT ? read : set)->settled == SL_SETTLED_NO)
    out->state = SL_AIR_UNSETTLED;
  else if (out->humidity < shop->keep_least - OUTSIDE_RH || out->humidity > shop->keep_most + OUTSIDE_RH)
    out->state = SL_AIR_OUTSIDE;
  else if (out->good != NULL)
    out->state = SL_AIR_MOVED;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/visit.h"

#include "setup/profile/sets.h"

/* how far a turn that was read on both sides is left to the readings, which are behind its factors already */
#define OBSERVED_FACTOR_U 1.0
#define DOUBT_LIMIT 3.0 /* as for readings that disagree (model 3.2) */

/* ---- carrying a state through work ---- */

/* Leaves what a rod turn did to crests and nut open where the readings around it decide: they must not count twice, in
 * the neck's factors and by themselves. */
static void
widen_turn (const SlInstrument *instrument, const SlTurnRead *read, SlState *state)
{
  double crest[SL_MAX_UNKNOWNS], nut[SL_MAX_UNKNOWNS];

  sl_bending_effect (instrument, sl_number_or (read->turn->amount, 0), state, crest, nut);
  if (read->crest)
    sl_state_widen (state, crest, OBSERVED_FACTOR_U);
  if (read->nut)
    sl_state_widen (state, nut, OBSERVED_FACTOR_U);
}

static const SlTurnRead *
find_read (const GArray *read, const SlOperation *turn)
{
  for (guint i = 0; read != NULL && i < read->len; i++)
    if (g_array_index (read, SlTurnRead, i).turn == turn)
      return &g_array_index (read, SlTurnRead, i);
  return NULL;
}

#define CREST_CUTS (1u << SL_OP_CUT_SADDLE_BASE | 1u << SL_OP_SHAPE_CREST)

/* As far as a cut that is doubted goes, from not at all to twice as deep. */
static SlWorkUncertainty
doubted (const SlOperation *operation, SlWorkUncertainty uncertainty)
{
  double most = MAX (fabs (sl_number_or (operation->amount, 0)), fabs (sl_number_or (operation->amount_treble, 0)));

  uncertainty.base_mm = MAX (uncertainty.base_mm, most);
  uncertainty.shape_mm = MAX (uncertainty.shape_mm, most);
  return uncertainty;
}

/* What happened between the sets of a visit. */
typedef struct
{
  const SlInstrument *instrument;
  const SlVisit *visit;
  const SlWorkUncertainty *uncertainty;
  const GArray *read; /* of SlTurnRead, or NULL: turns of the rod read on both sides */
} Work;

/* With @doubt the crests did not come down as noted. */
static void
carry_between (const Work *work, const SlReadingSet *from, const SlReadingSet *to, gboolean doubt, SlState *state)
{
  SL_EACH (const SlOperation, operation, work->visit->plan)
    {
      if (!sl_operation_between (operation, from->taken, to->taken))
        continue;
      const SlTurnRead *read = find_read (work->read, operation);
      const SlWorkUncertainty own =
          doubt && CREST_CUTS >> operation->kind & 1 ? doubted (operation, *work->uncertainty) : *work->uncertainty;

      if (read != NULL)
        widen_turn (work->instrument, read, state);
      sl_operation_carry (work->instrument, operation, &own, state);
    }
}

/* ---- what a cut did ---- */

/* Whether a reading was repeated in its set, or is always to be kept: who read it stands by it. */
static gboolean
stood_by (const SlReadingSet *set, const SlReading *reading)
{
  int times = 0;

  SL_EACH (const SlReading, other, set->readings)
    times += other->use != SL_USE_NEVER && sl_reading_same_question (reading, other);
  return reading->use == SL_USE_ALWAYS || times > 1;
}

/* Whether the crests came down as the base cuts and crest shaping noted between two sets say. @before is the state
 * after the set @from, @carried what that becomes by the work as noted; an action of @to that is read 3 standard
 * uncertainties or more from what is carried is told of. */
static void
find_work_doubt (const SlInstrument *instrument, const SlVisit *visit, const SlReadingSet *from, const SlReadingSet *to,
                 const SlState *before, const SlState *carried, SlWorkDoubt *out)
{
  double worst = DOUBT_LIMIT;

  *out = (SlWorkDoubt){ .confirmed = TRUE };
  if (!sl_work_between (visit, CREST_CUTS, from, to))
    return;
  SL_EACH (const SlReading, r, to->readings)
    {
      double u;

      if (r->kind != SL_READ_ACTION || r->use == SL_USE_NEVER || r->string < 1 || r->string > instrument->n_strings ||
          r->fret < 2)
        continue;
      double past = sl_predict_reading (instrument, before, r, NULL),
             now = sl_predict_reading (instrument, carried, r, &u);
      double off_u = hypot (u, sl_reading_own_u (to, r)), off = fabs (r->value.v - now) / off_u;

      if (off < DOUBT_LIMIT)
        continue;
      out->found = TRUE;
      out->confirmed = out->confirmed && stood_by (to, r);
      if (off <= worst && out->string > 0)
        continue;
      worst = off;
      out->string = r->string;
      out->fret = r->fret;
      out->moved = r->value.v - past;
      out->predicted = now - past;
      out->u = off_u;
    }
}

/* What the work as it was noted would have each reading be, however much of it is believed. */
static void
foresee (const SlInstrument *instrument, const SlReadingSet *to, const SlState *noted, SlFit *fit)
{
  for (guint i = 0; i < fit->n_readings; i++)
    if (fit->readings[i].in_fit)
      fit->readings[i].carried = sl_predict_reading (instrument, noted, &g_array_index (to->readings, SlReading, i),
                                                     &fit->readings[i].carried_u);
}

/* The fit of @to with what the set before it left, which it releases. */
static void
fit_next (const Work *work, const SlReadingSet *from, const SlReadingSet *to, SlFit *carried, SlFit *out)
{
  const SlInstrument *instrument = work->instrument;
  const SlState before = carried->state;
  SlState noted;
  SlWorkDoubt doubt;

  carry_between (work, from, to, FALSE, &carried->state);
  noted = carried->state;
  find_work_doubt (instrument, work->visit, from, to, &before, &noted, &doubt);
  if (doubt.found)
    {
      carried->state = before;
      carry_between (work, from, to, TRUE, &carried->state);
    }
  sl_fit_after (instrument, to, carried, &carried->state, out);
  memcpy (out->state.unit_mass, carried->state.unit_mass, sizeof out->state.unit_mass);
  out->doubt = doubt;
  if (doubt.found)
    foresee (instrument, to, &noted, out);
  sl_fit_clear (carried);
}

void
sl_strings_before (const SlInstrument *instrument, const SlProfile *profile, const SlVisit *visit,
                   const SlOperation *fitting, SlState *state)
{
  SlInstrument before = *instrument;

  sl_instrument_strings_at (&before, profile, visit, fitting->done, fitting);
  for (int s = 0; s < instrument->n_strings; s++)
    state->unit_mass[s] = before.strings[s].unit_mass_kg_m;
}

/* From here on they are what @instrument has. */
static void
string_as_read (SlInstrument *instrument, const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set,
                SlFit *fit)
{
  sl_instrument_strings_at (instrument, profile, visit, set != NULL ? set->taken : NULL, NULL);
  memset (fit->state.unit_mass, 0, sizeof fit->state.unit_mass);
}

void
sl_fit_visit (SlInstrument *instrument, const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set,
              const SlWorkUncertainty *uncertainty, SlNeckMemory *memory, GArray *earlier, SlFit *out)
{
  const SlReadingSet *first =
      visit != NULL && set != NULL && visit->sets->len > 0 ? &g_array_index (visit->sets, SlReadingSet, 0) : set;
  sl_instrument_strings_at (instrument, profile, visit, first != NULL ? first->taken : NULL, NULL);
  g_autoptr (GArray) read = sl_learn_neck (instrument, profile, visit, set, uncertainty, memory);
  const Work work = { instrument, visit, uncertainty, read };
  const SlReadingSet *from = NULL;
  SlFit carried, next;

  SL_EACH (const SlReadingSet, to, visit != NULL && set != NULL ? visit->sets : NULL)
    {
      if (from == NULL)
        sl_fit (instrument, to, &next);
      else
        fit_next (&work, from, to, &carried, &next);
      if (to == set)
        {
          *out = next;
          string_as_read (instrument, profile, visit, set, out);
          return;
        }
      if (earlier != NULL)
        g_array_append_vals (earlier, &(SlEarlier){ to, next.state }, 1);
      carried = next;
      from = to;
    }
  /* a set that is none of the visit's has nothing before it */
  if (from != NULL)
    sl_fit_clear (&carried);
  if (earlier != NULL)
    g_array_set_size (earlier, 0);
  sl_fit (instrument, set, out);
  string_as_read (instrument, profile, visit, set, out);
}

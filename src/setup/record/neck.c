/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/neck.h"

#include "setup/physics/forces.h"
#include "setup/profile/sets.h"
#include "setup/profile/moment.h"
#include "setup/wood/climate.h"

/* All our own choice. */
#define LEAST_RELIEF_CHANGE_MM 0.03        /* a smaller change is in the noise of the readings */
#define LEAST_COUNTED 2                    /* turns of the nut that a straight line needs */
#define LONGEST_BETWEEN_S (14 * 24 * 3600) /* between visits: later the year has moved the wood as well */
#define MOST_MOISTURE_CHANGE 1.0           /* between two sets, points of moisture content: the same */

/* Half of what the stiffest, twice what the softest beam of tests/setup/neck-beams.c gives: beyond, a reading is wrong
 * or work was not noted. */
typedef struct
{
  double least, most;
} Limits;
static const Limits crest_limits = { 0.35, 2.0 }, nut_limits = { 0.3, 2.4 };

#define TURNS (1u << SL_OP_TURN_ROD)

/* ---- what was learned so far ---- */

/* A reading set, and the visit it is of. */
typedef struct
{
  const SlVisit *visit;
  const SlReadingSet *set;
} Place;

/* All of it is from the profile's first visits, and from the first sets of the next one. */
struct _SlNeckMemory
{
  guint n_visits, n_sets;
  Place before; /* the last set at pitch */
  SlNeckBending neck;
  SlInstrument *instrument; /* that learns it, and gets what is in @neck */
  const SlProfile *profile; /* may be NULL */
  const SlWorkUncertainty *uncertainty;
  GArray *read; /* of SlTurnRead; NULL while there are none */
  /* sums over turns that were counted, n, and their changes of relief, r, by weight */
  double nn, nr, rr;
  int n_counted;
  double pulls, pull_weights; /* relief a newton, by weight */
  const SlReadingSet *fitted; /* the set fitted last, which is the first of the next turn as often as not; NULL: none */
  SlFit fit;                  /* of it, without its readings */
};

SlNeckMemory *
sl_neck_memory_new (void)
{
  SlNeckMemory *memory = g_new0 (SlNeckMemory, 1);

  memory->neck = SL_NECK_BENDING_ASSUMED;
  return memory;
}

void
sl_neck_memory_free (SlNeckMemory *memory)
{
  g_clear_pointer (&memory->read, g_array_unref);
  g_free (memory);
}

/* The next operation from place @i on that was done between two sets, in the plans of their visits one after the other;
 * NULL behind the last. */
static const SlOperation *
next_between (Place from, Place to, guint *i)
{
  const GArray *first = from.visit->plan, *second = to.visit->plan;
  const guint n = first->len + (from.visit != to.visit ? second->len : 0);

  while (*i < n)
    {
      const guint at = (*i)++;
      const SlOperation *operation = at < first->len ? &g_array_index (first, SlOperation, at)
                                                     : &g_array_index (second, SlOperation, at - first->len);

      if (sl_operation_between (operation, from.set->taken, to.set->taken))
        return operation;
    }
  return NULL;
}

/* ---- two sets, each by itself ---- */

/* What is known without a fit before a set of its visit's: crowns, setbacks, exposures. FALSE where it is the first. */
static gboolean
known_before (const SlInstrument *instrument, Place place, SlState *state)
{
  const SlOperation *operation;
  SlState before;

  memset (state, 0, sizeof *state);
  state->n_strings = instrument->n_strings;
  state->n_unknowns = SL_NUT_HEIGHT + 2 * instrument->n_strings;
  for (guint k = 0; k < place.visit->sets->len; k++)
    {
      const SlReadingSet *set = &g_array_index (place.visit->sets, SlReadingSet, k);
      const Place here = { place.visit, set }, next = { place.visit, set + 1 };

      if (set == place.set)
        return k > 0;
      before = *state;
      sl_fill_known (instrument, set, k > 0 ? &before : NULL, state);
      for (guint i = 0; k + 1 < place.visit->sets->len && (operation = next_between (here, next, &i)) != NULL;)
        sl_operation_apply (instrument, operation, state);
    }
  return FALSE;
}

/* Carries a state through all the work between two sets but the rod's, and other strings', whose pull bends a neck as
 * the rod does. */
static void
carry_other_work (const SlNeckMemory *l, Place from, Place to, SlState *state)
{
  const SlOperation *operation;

  for (guint i = 0; (operation = next_between (from, to, &i)) != NULL;)
    if (operation->kind != SL_OP_TURN_ROD && operation->kind != SL_OP_FIT_STRINGS)
      sl_operation_carry (l->instrument, operation, l->uncertainty, state);
}

/* The fit of a set by itself, without its readings; of one not read at pitch that of its relief alone. */
static void
fit_alone (SlNeckMemory *l, const SlReadingSet *set, const SlState *known, SlFit *out)
{
  SlReadingSet relief = *set;
  g_autoptr (GArray) readings = g_array_new (FALSE, FALSE, sizeof (SlReading));

  for (guint i = 0; i < set->readings->len && !sl_set_at_pitch (set); i++)
    {
      const SlReading *reading = &g_array_index (set->readings, SlReading, i);

      if (reading->kind == SL_READ_RELIEF || reading->kind > SL_READ_ACTION)
        g_array_append_vals (readings, reading, 1);
    }
  relief.strings = SL_STRINGS_AT_PITCH;
  relief.readings = readings;
  sl_fit_after (l->instrument, sl_set_at_pitch (set) ? set : &relief, NULL, known, out);
  sl_fit_clear (out);
  l->fitted = set;
  l->fit = *out;
}

/* Two sets with what the work other than the rod's makes of the first. */
typedef struct
{
  SlFit before, after;
  SlState worked;
  double relief_row[SL_MAX_UNKNOWNS];
  double relief, relief_u; /* its change in the mean over the outer strings, NAN where it was not read in both */
} Change;

/* What a row of the unknowns says of the change, and its standard uncertainty. */
static double
change_of (const Change *c, const double *row, double *u)
{
  *u = sqrt (sl_row_variance (&c->worked, row) + sl_row_variance (&c->after.state, row));
  return sl_row_value (&c->after.state, row) - sl_row_value (&c->worked, row);
}

static gboolean
relief_was_read (const SlFit *fit)
{
  return !fit->relief_assumed_treble || !fit->relief_assumed_bass;
}

static void
look_at_change (SlNeckMemory *l, Place from, Place to, Change *c)
{
  const SlInstrument *instrument = l->instrument;

  if (l->fitted == from.set)
    c->before = l->fit;
  else
    fit_alone (l, from.set, known_before (instrument, from, &c->worked) ? &c->worked : NULL, &c->before);
  c->worked = c->before.state;
  carry_other_work (l, from, to, &c->worked);
  fit_alone (l, to.set, &c->worked, &c->after);
  memset (c->relief_row, 0, sizeof c->relief_row);
  c->relief_row[SL_RELIEF_TREBLE] = instrument->n_strings < 2 ? 1 : 0.5;
  c->relief_row[SL_RELIEF_BASS] = 1 - c->relief_row[SL_RELIEF_TREBLE];
  c->relief = change_of (c, c->relief_row, &c->relief_u);
  if (!relief_was_read (&c->before) || !relief_was_read (&c->after))
    c->relief = NAN;
}

/* ---- turns of the rod ---- */

/* The row that takes the mean of the nut or crest heights, which begin at @first, over the strings read in both sets;
 * FALSE where there is none. */
static gboolean
mean_row (int n_strings, int first, const gboolean *assumed_before, const gboolean *assumed_after, double *row)
{
  int n = 0;

  memset (row, 0, SL_MAX_UNKNOWNS * sizeof *row);
  for (int s = 0; s < n_strings; s++)
    n += !assumed_before[s] && !assumed_after[s];
  for (int s = 0; s < n_strings; s++)
    if (!assumed_before[s] && !assumed_after[s])
      row[first + s] = 1.0 / n;
  return n > 0;
}

/* Moves what is believed of a factor by what two sets say of it. @row takes the mean that it moves, @effect is what one
 * mm of relief does to the unknowns where the factor is 1. The u of what they say is that of Δz − k ΔR · effect at the
 * factor believed so far: taken at what they say themselves it would go with its error, and draw the mean aside. */
static gboolean
learn_factor (const Change *c, const double *row, const double *effect, const Limits *limits, double *factor,
              double *factor_u)
{
  const int p = c->worked.n_unknowns;
  double off[SL_MAX_UNKNOWNS] = { 0 }, lever = 0, u, u_moved;

  for (int i = 0; i < p; i++)
    lever += row[i] * effect[i];
  for (int i = 0; i < p; i++)
    off[i] = row[i] - *factor * lever * c->relief_row[i];
  change_of (c, off, &u);
  u /= fabs (lever * c->relief);
  const double seen = change_of (c, row, &u_moved) / (lever * c->relief);

  if (seen + SL_COVERAGE * u < limits->least || seen - SL_COVERAGE * u > limits->most)
    return FALSE;
  const double before = 1 / (*factor_u * *factor_u), now = 1 / (u * u);

  *factor = (before * *factor + now * seen) / (before + now);
  *factor_u = 1 / sqrt (before + now);
  return TRUE;
}

/* What sets around a turn say of the factors at crest and nut. */
static void
learn_bending (SlNeckMemory *l, Place from, Place to, const Change *c)
{
  const int n = l->instrument->n_strings;
  SlNeckBending *neck = &l->instrument->neck;
  double crest_row[SL_MAX_UNKNOWNS], nut_row[SL_MAX_UNKNOWNS], crest[SL_MAX_UNKNOWNS], nut[SL_MAX_UNKNOWNS];
  SlTurnRead read;
  gboolean learned = FALSE;

  read.crest = mean_row (n, SL_NUT_HEIGHT + n, c->before.action_assumed, c->after.action_assumed, crest_row);
  read.nut = mean_row (n, SL_NUT_HEIGHT, c->before.first_gap_assumed, c->after.first_gap_assumed, nut_row);
  sl_bending_effect (l->instrument, 1, &c->worked, crest, nut);
  if (read.crest)
    learned = learn_factor (c, crest_row, crest, &crest_limits, &neck->crest, &neck->crest_u);
  if (read.nut)
    learned = learn_factor (c, nut_row, nut, &nut_limits, &neck->nut, &neck->nut_u) || learned;
  neck->turns += learned;
  if (l->read == NULL)
    l->read = g_array_new (FALSE, FALSE, sizeof (SlTurnRead));
  for (guint i = 0; (read.turn = next_between (from, to, &i)) != NULL;)
    if (read.turn->kind == SL_OP_TURN_ROD)
      g_array_append_val (l->read, read);
}

/* One point of the straight line of relief over turns of the nut, if all were counted. */
static void
count_turns (SlNeckMemory *l, Place from, Place to, const Change *c)
{
  const double weight = 1 / (c->relief_u * c->relief_u);
  const SlOperation *operation;
  double turns = 0;

  for (guint i = 0; (operation = next_between (from, to, &i)) != NULL;)
    if (operation->kind == SL_OP_TURN_ROD || operation->kind == SL_OP_FIT_STRINGS)
      turns += sl_number_or (operation->turns, NAN); /* of what strings did no turn tells */
  if (isnan (turns) || turns == 0)
    return;
  l->nn += weight * turns * turns;
  l->nr += weight * turns * c->relief;
  l->rr += weight * c->relief * c->relief;
  l->n_counted++;
}

/* The line through the origin: ΔR = −b N, by least squares. Its u is that of the readings, or what the points scatter
 * by where that is more. */
static void
learn_per_turn (const SlNeckMemory *l)
{
  SlNeckBending *neck = &l->instrument->neck;

  if (l->n_counted < LEAST_COUNTED)
    return;
  const double b = -l->nr / l->nn, scatter = (l->rr - b * b * l->nn) / (l->n_counted - 1),
               u = sqrt (MAX (1, scatter) / l->nn);

  if (b < SL_COVERAGE * u)
    return; /* it could as well be none */
  neck->per_turn = b;
  neck->per_turn_u = u;
  neck->n_per_turn = l->n_counted;
}

/* ---- the strings' pull ---- */

/* Relief read slack in one set and at pitch in the other. */
static void
learn_pull (SlNeckMemory *l, Place from, Place to)
{
  const gboolean slackened = sl_set_at_pitch (from.set);
  const Place at_pitch = slackened ? from : to;
  SlInstrument strung = *l->instrument;
  Change c;
  double tension = 0;

  sl_instrument_strings_at (&strung, l->profile, at_pitch.visit, at_pitch.set->taken, NULL);

  look_at_change (l, from, to, &c);
  for (int s = 1; s <= strung.n_strings; s++)
    {
      SlStringState string;

      sl_state_string (&strung, slackened ? &c.before.state : &c.after.state, s, &string);
      tension += sl_tension (&strung.strings[s - 1], sl_open_length (&string));
    }
  const double pull = (slackened ? -c.relief : c.relief) / tension, u = c.relief_u / tension;

  if (isnan (pull) || pull + SL_COVERAGE * u < 0)
    return; /* no string straightens a neck */
  l->pulls += pull / (u * u);
  l->pull_weights += 1 / (u * u);
}

/* ---- from set to set ---- */

static gboolean
turn_between (Place from, Place to)
{
  return sl_work_between (from.visit, TURNS, from.set, to.set) ||
         (from.visit != to.visit && sl_work_between (to.visit, TURNS, from.set, to.set));
}

/* Whether the wood may be taken to be as it was. */
static gboolean
comparable (Place from, Place to)
{
  const double moved = sl_moisture_content (to.set->temperature.v, to.set->humidity.v) -
                       sl_moisture_content (from.set->temperature.v, from.set->humidity.v);

  if (fabs (moved) > MOST_MOISTURE_CHANGE) /* never where the air was not read */
    return FALSE;
  return from.visit == to.visit || sl_time_of (to.set->taken) - sl_time_of (from.set->taken) <= LONGEST_BETWEEN_S;
}

static void
learn_turn (SlNeckMemory *l, Place from, Place to)
{
  Change c;

  if (!turn_between (from, to) || !comparable (from, to))
    return;
  look_at_change (l, from, to, &c);
  if (!isnan (c.relief))
    {
      count_turns (l, from, to, &c);
      if (fabs (c.relief) >= MAX (LEAST_RELIEF_CHANGE_MM, SL_COVERAGE * c.relief_u))
        learn_bending (l, from, to, &c);
    }
}

/* Goes on through the sets of a visit up to @last (NULL: all). */
static void
learn_visit (SlNeckMemory *memory, const SlVisit *visit, const SlReadingSet *last)
{
  for (; memory->n_sets < visit->sets->len; memory->n_sets++)
    {
      const guint k = memory->n_sets;
      const Place here = { visit, &g_array_index (visit->sets, SlReadingSet, k) };
      const Place previous = { visit, here.set - 1 };

      if (sl_set_at_pitch (here.set) && memory->before.set != NULL)
        learn_turn (memory, memory->before, here);
      if (k > 0 && sl_set_at_pitch (here.set) != sl_set_at_pitch (previous.set) && !turn_between (previous, here))
        learn_pull (memory, previous, here);
      if (sl_set_at_pitch (here.set))
        memory->before = here;
      if (here.set == last)
        {
          memory->n_sets++;
          return;
        }
    }
}

/* What the sets up to @last, one of @visit's, say, into @memory, which may know some of them. */
static void
learn_on (SlNeckMemory *memory, SlInstrument *instrument, const SlProfile *profile, const SlVisit *visit,
          const SlReadingSet *last)
{
  memory->instrument = instrument;
  instrument->neck = memory->neck;
  while (profile != NULL && profile->kind == SL_KIND_INSTRUMENT && memory->n_visits < profile->visits->len)
    {
      const SlVisit *earlier = &g_array_index (profile->visits, SlVisit, memory->n_visits);

      if (earlier == visit)
        break;
      learn_visit (memory, earlier, NULL);
      memory->n_visits++;
      memory->n_sets = 0;
    }
  learn_visit (memory, visit, last);
  memory->neck = instrument->neck;
}

GArray *
sl_learn_neck (SlInstrument *instrument, const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set,
               const SlWorkUncertainty *uncertainty, SlNeckMemory *memory)
{
  g_autoptr (SlNeckMemory) own = memory == NULL ? sl_neck_memory_new () : NULL;

  instrument->neck = SL_NECK_BENDING_ASSUMED;
  if (visit == NULL || set == NULL)
    return NULL;
  memory = memory != NULL ? memory : own;
  memory->profile = profile;
  memory->uncertainty = uncertainty;
  learn_on (memory, instrument, profile, visit, set);
  learn_per_turn (memory);
  if (memory->pull_weights > 0)
    {
      instrument->neck.per_newton = memory->pulls / memory->pull_weights;
      instrument->neck.per_newton_u = 1 / sqrt (memory->pull_weights);
      instrument->neck.per_newton_read = TRUE;
    }
  return memory->read != NULL ? g_array_copy (memory->read) : NULL;
}

/* ---- what follows ---- */

double
sl_rod_turns (const SlInstrument *instrument, double change, double *u)
{
  const SlNeckBending *neck = &instrument->neck;
  const double turns = -change / neck->per_turn;

  if (u != NULL)
    *u = fabs (turns * neck->per_turn_u / neck->per_turn);
  return turns;
}

gboolean
sl_turn_unread (const SlVisit *visit, const SlReadingSet *set, guint *turn)
{
  for (guint i = visit->plan->len; i-- > 0;)
    {
      const SlOperation *operation = &g_array_index (visit->plan, SlOperation, i);
      gboolean before = FALSE, after = FALSE;

      if (operation->kind != SL_OP_TURN_ROD || !sl_operation_is_past (operation, set->taken))
        continue;
      SL_EACH (const SlReadingSet, other, visit->sets)
        {
          if (sl_read_at_pitch (other, SL_READ_RELIEF, 0))
            *(sl_operation_is_past (operation, other->taken) ? &after : &before) = TRUE;
          if (other == set)
            break;
        }
      *turn = i;
      if (!before || !after)
        return TRUE;
    }
  return FALSE;
}

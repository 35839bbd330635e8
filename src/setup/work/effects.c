/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What operations do to a state, and what they are uncertain by (model 5). */
#include "setup/work/work.h"

#include "setup/physics/forces.h"
#include "setup/physics/frets.h"
#include "setup/profile/sets.h"

/* What settling in other air may move, standard uncertainties: our own choice, wide enough for five points of moisture
 * content. */
#define SETTLED_CREST_MM 0.4
#define SETTLED_RELIEF_MM 0.06
/* Standard uncertainties of what has no tool of its own in the shop's settings, own choice: an end set by its screw or
 * wheel, a wedge as a share of what it moves, on both sides and on each, and what stays open of a tremolo's height
 * until it is read. */
#define ADJUSTED_MM 0.03
#define WEDGE_SHARE 0.10
#define TWIST_SHARE 0.05
#define UNBALANCED_MM 0.25

static double *
nut_of (SlState *state, int string)
{
  return &state->u[SL_NUT_HEIGHT + string - 1];
}

static double *
crest_of (SlState *state, int string)
{
  return &state->u[SL_NUT_HEIGHT + state->n_strings + string - 1];
}

/* The body, and so the tangent at the joint, stays: the chord turns under the nut and over the bridge (model 5). */
static void
turn_rod (const SlInstrument *instrument, double change, SlState *state)
{
  const double nut = change * instrument->neck.nut * sl_bow_shape (instrument, 1, 0);

  state->u[SL_RELIEF_TREBLE] += change;
  if (state->n_strings > 1)
    state->u[SL_RELIEF_BASS] += change;
  for (int s = 1; s <= state->n_strings; s++)
    {
      double x_s = instrument->scale[s - 1] + state->setback[s - 1];

      *nut_of (state, s) -= nut;
      *crest_of (state, s) += sl_rod_lift (instrument, s, change, x_s);
    }
  if (instrument->frets > instrument->joint)
    state->u[SL_FALL_AWAY] -= sl_rod_lift (instrument, 1, change, instrument->x[0][instrument->frets]);
}

static void
lower_crest (SlState *state, int string, double by)
{
  *crest_of (state, string) -= by;
  /* also where none was read: what is assumed comes down with the crest, so that before and after compare as they
   * should */
  state->exposure[string - 1] -= by;
}

/* What an operation with two ends says at a string. */
static double
at_string (const SlOperation *operation, const SlState *state, int string)
{
  return sl_between_strings (sl_number_or (operation->amount_treble, 0), sl_number_or (operation->amount, 0), string,
                             state->n_strings);
}

/* How far a new saddle stands higher at an end: not at all where nothing is said of it. */
static double
raised (const SlOperation *new, const SlState *state, gboolean treble)
{
  const double now = state->exposure[treble ? 0 : state->n_strings - 1];

  return sl_number_or (treble ? new->amount_treble : new->amount, now) - now;
}

/* What lies between the ends keeps the curve it has. */
static void
make_saddle (const SlOperation *new, SlState *state)
{
  const double treble = raised (new, state, TRUE), bass = raised (new, state, FALSE);

  for (int s = 1; s <= state->n_strings; s++)
    lower_crest (state, s, -sl_between_strings (treble, bass, s, state->n_strings));
  for (int i = 0; i < new->n_ends; i++)
    state->setback[new->ends[i].string - 1] = new->ends[i].value.v;
  state->exposure_read |= sl_number_is_set (new->amount) && sl_number_is_set (new->amount_treble);
  state->setback_read |= new->n_ends == state->n_strings;
}

/* Puts other strings on, and returns how much more they pull in all, N; of one without a pitch nothing is known. */
static double
restring (const SlInstrument *instrument, const SlOperation *operation, SlState *state)
{
  SlInstrument other = *instrument;
  const gboolean fitted = sl_instrument_fit (&other, operation);
  double newtons = 0;

  for (int s = 0; s < state->n_strings && fitted; s++)
    {
      const double mass = other.strings[s].unit_mass_kg_m,
                   before = state->unit_mass[s] > 0 ? state->unit_mass[s] : instrument->strings[s].unit_mass_kg_m;
      SlStringState string;

      sl_state_string (instrument, state, s + 1, &string);
      if (other.strings[s].frequency_hz > 0 && mass > 0)
        newtons += sl_tension (&other.strings[s], sl_open_length (&string)) * (1 - before / mass);
      state->unit_mass[s] = mass;
    }
  return newtons;
}

void
sl_operation_apply (const SlInstrument *instrument, const SlOperation *operation, SlState *state)
{
  const double amount = sl_number_or (operation->amount, 0);

  switch (operation->kind)
    {
    case SL_OP_LEVEL_FRETS:
    case SL_OP_REPLACE_FRETS: sl_work_crowns (instrument, operation, state); break;
    case SL_OP_TURN_ROD: turn_rod (instrument, amount, state); break;
    case SL_OP_LOWER_SLOT: *nut_of (state, operation->string) -= amount; break;
    case SL_OP_CUT_SADDLE_BASE:
      for (int s = 1; s <= state->n_strings; s++)
        lower_crest (state, s, at_string (operation, state, s) * cos (instrument->saddle_lean_rad));
      break;
    case SL_OP_SHAPE_CREST: lower_crest (state, operation->string, amount); break;
    case SL_OP_MOVE_CREST: state->setback[operation->string - 1] += amount; break;
    case SL_OP_MOVE_SADDLE:
      for (int s = 1; s <= state->n_strings; s++)
        lower_crest (state, s, -at_string (operation, state, s));
      break;
    case SL_OP_SHIFT_BRIDGE:
      for (int s = 1; s <= state->n_strings; s++)
        state->setback[s - 1] += at_string (operation, state, s);
      break;
    case SL_OP_SET_NECK_ANGLE: /* the bridge stays where it is, and so does what stands out of it */
      for (int s = 1; s <= state->n_strings; s++)
        *crest_of (state, s) -= amount;
      break;
    case SL_OP_MAKE_NUT:
      for (int i = 0; i < operation->n_ends; i++)
        *nut_of (state, operation->ends[i].string) = operation->ends[i].value.v;
      break;
    case SL_OP_MAKE_SADDLE: make_saddle (operation, state); break;
    case SL_OP_FIT_STRINGS:
      turn_rod (instrument, instrument->neck.per_newton * restring (instrument, operation, state), state);
      break;
    default: break;
    }
}

gboolean
sl_operation_between (const SlOperation *operation, const char *from, const char *to)
{
  return operation->done != NULL && !sl_operation_is_past (operation, from) && sl_operation_is_past (operation, to);
}

gboolean
sl_work_between (const SlVisit *visit, guint kinds, const SlReadingSet *from, const SlReadingSet *to)
{
  SL_EACH (const SlOperation, operation, visit->plan)
    if ((kinds >> operation->kind & 1) != 0 && sl_operation_between (operation, from->taken, to->taken))
      return TRUE;
  return FALSE;
}

/* ---- what the work itself is uncertain by ---- */

void
sl_state_widen (SlState *state, const double *v, double u)
{
  const int p = state->n_unknowns;

  for (int i = 0; i < p && u > 0; i++)
    for (int j = 0; j < p; j++)
      state->cov[i * p + j] += u * u * v[i] * v[j];
}

/* A further turn bends the neck by @v a unit of one of its factors, which is the same factor in the turns before:
 * C += u² ((b + v)(b + v)ᵀ − b bᵀ), b being what they have bent. */
static void
widen_bent (SlState *state, const double *v, double u, double *bent)
{
  const int p = state->n_unknowns;

  for (int i = 0; i < p; i++)
    for (int j = 0; j < p; j++)
      state->cov[i * p + j] += u * u * (v[i] * v[j] + v[i] * bent[j] + bent[i] * v[j]);
  for (int i = 0; i < p; i++)
    bent[i] += v[i];
}

void
sl_operation_effect (const SlInstrument *instrument, SlOperation operation, gboolean treble, const SlState *state,
                     double *v)
{
  SlState unit = *state, none = *state;

  operation.amount = sl_number (treble ? 0 : 1);
  operation.amount_treble = sl_number (treble ? 1 : 0);
  sl_operation_apply (instrument, &operation, &unit);
  operation.amount = operation.amount_treble = sl_number (0);
  sl_operation_apply (instrument, &operation, &none);
  for (int i = 0; i < state->n_unknowns; i++)
    v[i] = unit.u[i] - none.u[i];
}

void
sl_bending_effect (const SlInstrument *instrument, double change, const SlState *state, double *v_crest, double *v_nut)
{
  SlInstrument stiff = *instrument, crest = *instrument, nut = *instrument;
  SlOperation turn = sl_operation_init (SL_OP_TURN_ROD);
  double rest[SL_MAX_UNKNOWNS];

  stiff.neck.crest = stiff.neck.nut = crest.neck.nut = nut.neck.crest = 0;
  crest.neck.crest = nut.neck.nut = 1;
  sl_operation_effect (&stiff, turn, FALSE, state, rest);
  sl_operation_effect (&crest, turn, FALSE, state, v_crest);
  sl_operation_effect (&nut, turn, FALSE, state, v_nut);
  for (int i = 0; i < state->n_unknowns; i++)
    {
      v_crest[i] = change * (v_crest[i] - rest[i]);
      v_nut[i] = change * (v_nut[i] - rest[i]);
    }
}

double
sl_work_u (const SlWorkUncertainty *uncertainty, SlOperationKind kind, double by_mm)
{
  const double by = fabs (by_mm);

  switch (kind)
    {
    case SL_OP_LEVEL_FRETS:
    case SL_OP_REPLACE_FRETS: return uncertainty->level_mm;
    case SL_OP_TURN_ROD: return uncertainty->rod_share * by;
    case SL_OP_LOWER_SLOT:
    case SL_OP_MAKE_NUT: return uncertainty->slot_mm + uncertainty->slot_share * by;
    case SL_OP_CUT_SADDLE_BASE:
    case SL_OP_MAKE_SADDLE: return uncertainty->base_mm + uncertainty->base_share * by;
    case SL_OP_SHAPE_CREST: return uncertainty->shape_mm + uncertainty->shape_share * by;
    case SL_OP_MOVE_SADDLE: return by > 0 ? ADJUSTED_MM : 0;
    case SL_OP_SET_NECK_ANGLE: return WEDGE_SHARE * by;
    default: return 0;
    }
}

void
sl_state_pull (const SlInstrument *instrument, double newtons, SlState *state)
{
  static const SlWorkUncertainty none = { 0 }; /* nobody's hand is in it */
  SlOperation turn = sl_operation_init (SL_OP_TURN_ROD);
  double v[SL_MAX_UNKNOWNS];

  turn.amount = sl_number (instrument->neck.per_newton * newtons);
  sl_operation_effect (instrument, turn, FALSE, state, v);
  sl_state_widen (state, v, instrument->neck.per_newton_u * fabs (newtons));
  sl_operation_carry (instrument, &turn, &none, state);
}

/* All crests are off together by @u[s], or by @each where that is NULL. */
static void
widen_crests (SlState *state, const double *u, double each)
{
  double v[SL_MAX_UNKNOWNS] = { 0 };

  for (int s = 0; s < state->n_strings; s++)
    v[SL_NUT_HEIGHT + state->n_strings + s] = u != NULL ? u[s] : each;
  sl_state_widen (state, v, 1);
}

/* A neck's angle is set by as much on either side but for a twist: the outer crests go apart by it. */
static void
widen_twist (SlState *state, double mm)
{
  double each[SL_MAX_STRINGS];

  for (int s = 1; s <= state->n_strings; s++)
    each[s - 1] = mm * (2 * sl_bass_share (s, state->n_strings) - 1);
  widen_crests (state, each, 0);
}

/* What the air did comes back as it settles, and how far is not known before it is read: the top and with it all
 * crests, and the neck, which bends as by a turn. */
static void
widen_settled (const SlInstrument *instrument, SlState *state)
{
  double v[SL_MAX_UNKNOWNS];

  widen_crests (state, NULL, SETTLED_CREST_MM);
  sl_operation_effect (instrument, sl_operation_init (SL_OP_TURN_ROD), FALSE, state, v);
  sl_state_widen (state, v, SETTLED_RELIEF_MM);
}

static gboolean
is_step (const SlOperation *operation, SlBenchStep step)
{
  return operation->kind == SL_OP_BENCH_STEP && operation->step == step;
}

/* Whether work moves the crowns up to the joint as a whole, rather than some of them to where the rest is. */
static gboolean
moves_board (const SlInstrument *instrument, const SlOperation *operation)
{
  return (operation->kind == SL_OP_LEVEL_FRETS && sl_levels_board (instrument, operation)) ||
         (operation->kind == SL_OP_REPLACE_FRETS && operation->from <= 1 && operation->to >= instrument->joint);
}

/* How far the crowns as a whole came down: nut and crests stand higher or lower over them together. */
static void
whole_board (const SlState *state, double *v)
{
  for (int i = 0; i < state->n_unknowns; i++)
    v[i] = i >= SL_NUT_HEIGHT;
}

/* Unknown @i is set: to what @row makes of the others, with @u of its own. */
static void
set_unknown (SlState *state, int i, const double *row, double u)
{
  const int p = state->n_unknowns;
  const double own = sl_row_variance (state, row) + u * u;
  double with[SL_MAX_UNKNOWNS] = { 0 }, crest = 0, nut = 0;

  for (int j = 0; j < p; j++)
    {
      crest += row[j] * state->bent_crest[j];
      nut += row[j] * state->bent_nut[j];
      for (int k = 0; k < p; k++)
        with[k] += row[j] * state->cov[j * p + k];
    }
  for (int k = 0; k < p; k++)
    state->cov[i * p + k] = state->cov[k * p + i] = k == i ? own : with[k];
  state->bent_crest[i] = crest;
  state->bent_nut[i] = nut;
}

/* What new work set stands where it was put, wherever it was before: slots of a new nut, and a zero fret that was
 * brought to the line of the crowns below each string. */
static void
widen_set (const SlInstrument *instrument, const SlOperation *operation, const SlWorkUncertainty *uncertainty,
           const double *before, SlState *state)
{
  for (int s = 1; s <= state->n_strings; s++)
    {
      const int nut = SL_NUT_HEIGHT + s - 1;
      const double by = state->u[nut] - before[nut], bass = sl_bass_share (s, state->n_strings),
                   bow = sl_bow_shape (instrument, s, 0);
      double row[SL_MAX_UNKNOWNS] = { 0 };

      if (operation->kind != SL_OP_MAKE_NUT && by != 0)
        {
          row[SL_RELIEF_TREBLE] = -bow * (1 - bass);
          row[SL_RELIEF_BASS] = -bow * bass;
          set_unknown (state, nut, row, sl_work_u (uncertainty, operation->kind, by));
        }
      for (int i = 0; i < operation->n_ends && operation->kind == SL_OP_MAKE_NUT; i++)
        if (operation->ends[i].string == s)
          set_unknown (state, nut, row, sl_work_u (uncertainty, operation->kind, by));
    }
}

/* A crest that goes by an exposure is no better known than that was; what is made is known by the hand that made it. */
static void
widen_made (const SlOperation *made, const SlWorkUncertainty *uncertainty, SlState *state)
{
  const double treble = sl_work_u (uncertainty, made->kind, raised (made, state, TRUE)),
               bass = sl_work_u (uncertainty, made->kind, raised (made, state, FALSE));
  double u[SL_MAX_STRINGS];

  for (int s = 1; s <= state->n_strings; s++)
    {
      const double t = sl_bass_share (s, state->n_strings),
                   set = sl_number_is_set (made->amount_treble) * (1 - t) + sl_number_is_set (made->amount) * t;

      u[s - 1] = set * state->exposure_u[s - 1];
      state->exposure_u[s - 1] =
          (1 - set) * state->exposure_u[s - 1] + set * sl_between_strings (treble, bass, s, state->n_strings);
    }
  widen_crests (state, u, 0);
}

/* The amount that an end's uncertainty goes by. */
static double
amount_at_end (const SlOperation *operation, const SlState *state, gboolean treble)
{
  if (operation->kind == SL_OP_MAKE_SADDLE)
    return raised (operation, state, treble);
  return sl_number_or (treble ? operation->amount_treble : operation->amount, 0);
}

void
sl_operation_carry (const SlInstrument *instrument, const SlOperation *operation, const SlWorkUncertainty *uncertainty,
                    SlState *state)
{
  const gboolean fretwork = SL_FRETWORK >> operation->kind & 1,
                 two_ends = operation->kind == SL_OP_CUT_SADDLE_BASE || operation->kind == SL_OP_MOVE_SADDLE ||
                            operation->kind == SL_OP_MAKE_SADDLE,
                 unbalances = instrument->bridge == SL_BRIDGE_TREMOLO && instrument->balance == SL_BALANCE_FLOATING &&
                              (SL_UNBALANCES >> operation->kind & 1 || is_step (operation, SL_BENCH_REBALANCE));
  double v[SL_MAX_UNKNOWNS], v_nut[SL_MAX_UNKNOWNS], before[SL_MAX_UNKNOWNS];

  /* the two ends of a saddle are worked on apart from each other */
  for (int end = 0; end <= two_ends && operation->kind != SL_OP_MAKE_NUT; end++)
    {
      const double u = sl_work_u (uncertainty, operation->kind, amount_at_end (operation, state, end == 1));

      /* what only some crowns come down by is read off the rest, and no unknown moves */
      if (u == 0 || (fretwork && !moves_board (instrument, operation)))
        continue;
      if (moves_board (instrument, operation))
        whole_board (state, v);
      else
        sl_operation_effect (instrument, *operation, end == 1, state, v);
      sl_state_widen (state, v, u);
    }
  if (operation->kind == SL_OP_TURN_ROD)
    {
      sl_bending_effect (instrument, sl_number_or (operation->amount, 0), state, v, v_nut);
      widen_bent (state, v, instrument->neck.crest_u, state->bent_crest);
      widen_bent (state, v_nut, instrument->neck.nut_u, state->bent_nut);
    }
  if (is_step (operation, SL_BENCH_SETTLE))
    widen_settled (instrument, state);
  if (operation->kind == SL_OP_SET_NECK_ANGLE)
    widen_twist (state, TWIST_SHARE * fabs (sl_number_or (operation->amount, 0)));
  if (operation->kind == SL_OP_MAKE_SADDLE)
    widen_made (operation, uncertainty, state);
  if (unbalances && !state->unbalanced)
    widen_crests (state, NULL, UNBALANCED_MM);
  state->unbalanced = state->unbalanced || unbalances;
  memcpy (before, state->u, sizeof before);
  if (operation->kind == SL_OP_FIT_STRINGS)
    sl_state_pull (instrument, restring (instrument, operation, state), state);
  else
    sl_operation_apply (instrument, operation, state);
  if (operation->kind == SL_OP_MAKE_NUT || (fretwork && sl_moves_zero_fret (operation)))
    widen_set (instrument, operation, uncertainty, before, state);
}

void
sl_plan_apply (const SlInstrument *instrument, const GArray *plan, const char *taken, gboolean done_only,
               const SlWorkUncertainty *uncertainty, SlState *state)
{
  SL_EACH (const SlOperation, operation, plan)
    if (!sl_operation_is_past (operation, taken) && (operation->done != NULL || !done_only))
      sl_operation_carry (instrument, operation, uncertainty, state);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/work/work.h"

#include "setup/physics/forces.h"
#include "setup/physics/frets.h"
#include "setup/profile/bounds.h"
#include "setup/profile/fitted.h"

/* What settling in other air may move, standard uncertainties: our own choice, wide enough for five points of moisture
 * content. */
#define SETTLED_CREST_MM 0.4
#define SETTLED_RELIEF_MM 0.06
/* Standard uncertainties of what has no tool of its own in the shop's settings, own choice: an end set by its screw or
 * wheel, a wedge as a share of what it moves, and what stays open of a tremolo's height until it is read. */
#define ADJUSTED_MM 0.03
#define WEDGE_SHARE 0.10
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

static gboolean
is_fretwork (const SlOperation *operation)
{
  return operation->kind == SL_OP_LEVEL_FRETS || operation->kind == SL_OP_REPLACE_FRETS;
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
  const gboolean two_ends = operation->kind == SL_OP_CUT_SADDLE_BASE || operation->kind == SL_OP_MOVE_SADDLE ||
                            operation->kind == SL_OP_MAKE_SADDLE,
                 unbalances = instrument->bridge == SL_BRIDGE_TREMOLO && instrument->balance == SL_BALANCE_FLOATING &&
                              (SL_UNBALANCES >> operation->kind & 1 || is_step (operation, SL_BENCH_REBALANCE));
  double v[SL_MAX_UNKNOWNS], v_nut[SL_MAX_UNKNOWNS], before[SL_MAX_UNKNOWNS];

  /* the two ends of a saddle are worked on apart from each other */
  for (int end = 0; end <= two_ends && operation->kind != SL_OP_MAKE_NUT; end++)
    {
      const double u = sl_work_u (uncertainty, operation->kind, amount_at_end (operation, state, end == 1));

      /* what only some crowns come down by is read off the rest, and no unknown moves */
      if (u == 0 || (is_fretwork (operation) && !moves_board (instrument, operation)))
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
  if (operation->kind == SL_OP_MAKE_NUT || (is_fretwork (operation) && sl_moves_zero_fret (operation)))
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

/* How far nut or crest comes down for an open gap, at fret 1 or 12, to meet its target with the other as it is;
 * @per_gap: for one mm of gap. */
static double
gap_need (const SlInstrument *instrument, const SlState *state, int string, int fret, double *u, double *per_gap)
{
  SlStringState s;
  double g[SL_N_P], tolerance, target = sl_gap_target (instrument, string, fret, &tolerance);

  sl_state_string (instrument, state, string, &s);
  sl_gap_gradient (&s, 0, fret, g);
  const double per = 1 / g[fret == 1 ? SL_P_NUT : SL_P_CREST];

  if (u != NULL)
    *u = sl_string_u (&s, g) * per;
  if (per_gap != NULL)
    *per_gap = per;
  return (sl_gap (&s, 0, fret) - target) * per;
}

double
sl_need (const SlInstrument *instrument, const SlState *state, int string, double *u)
{
  return gap_need (instrument, state, string, SL_OCTAVE_FRET, u, NULL);
}

double
sl_slot_need (const SlInstrument *instrument, const SlState *state, int string, double *u, double *per_gap)
{
  return gap_need (instrument, state, string, 1, u, per_gap);
}

double
sl_round_cut (const SlShop *shop, double mm)
{
  const double step = MAX (SL_LEAST_STEP_MM, shop->cut_step_mm);

  /* the small addend keeps 0.15 from becoming 0.10 because 0.15/0.05 is 2.999… */
  return round (floor (mm / step + 1e-6) * step * 1e6) / 1e6;
}

double
sl_first_pass (const SlShop *shop, double cut_mm, double edge_mm, double u_mm)
{
  return sl_round_cut (shop, MAX (0, MIN (cut_mm, edge_mm - SL_COVERAGE * u_mm)));
}

double
sl_slot_pass (const SlInstrument *instrument, const SlState *state, const SlShop *shop, int string, double by)
{
  const SlShop hand = { .cut_step_mm = shop->cut_step_mm > 0 ? MIN (shop->cut_step_mm, SL_HAND_MM) : SL_HAND_MM };
  double u, per_gap, need = sl_slot_need (instrument, state, string, &u, &per_gap);

  return sl_first_pass (&hand, by, need + instrument->first_gap_tolerance * per_gap,
                        hypot (u, sl_work_u (&shop->work, SL_OP_LOWER_SLOT, by)));
}

/* The cut that brings a string's action to the lower edge of its tolerance, at the crest. */
static double
crest_edge (const SlInstrument *instrument, const SlState *state, int string, double *u)
{
  double per_action, need = gap_need (instrument, state, string, SL_OCTAVE_FRET, u, &per_action);

  return need + instrument->action_tolerance * per_action;
}

double
sl_crest_pass (const SlInstrument *instrument, const SlState *state, const SlShop *shop, int string, double by)
{
  double u, edge = crest_edge (instrument, state, string, &u);

  return sl_first_pass (shop, by, edge, hypot (u, sl_work_u (&shop->work, SL_OP_SHAPE_CREST, by)));
}

void
sl_base_pass (const SlInstrument *instrument, const SlState *state, const SlShop *shop, double bass, double treble,
              double *pass_bass, double *pass_treble)
{
  const int n = instrument->n_strings;
  const double upright = cos (instrument->saddle_lean_rad);
  const double bass_u = sl_work_u (&shop->work, SL_OP_CUT_SADDLE_BASE, bass),
               treble_u = sl_work_u (&shop->work, SL_OP_CUT_SADDLE_BASE, treble);
  double safe[SL_MAX_STRINGS];

  for (int s = 1; s <= n; s++)
    {
      const double t = sl_bass_share (s, n), hand = hypot ((1 - t) * treble_u, t * bass_u) * upright;
      double u, edge = crest_edge (instrument, state, s, &u);

      safe[s - 1] =
          MAX (0, MIN (sl_between_strings (treble, bass, s, n) * upright, edge - SL_COVERAGE * hypot (u, hand)));
    }
  sl_cut_line (safe, n, pass_treble, pass_bass);
  *pass_treble = sl_round_cut (shop, MIN (treble, *pass_treble / upright));
  *pass_bass = sl_round_cut (shop, MIN (bass, *pass_bass / upright));
}

SlBlock
sl_cutting_block (const SlFit *fit)
{
  return fit->n_suspects > 0                         ? SL_BLOCK_READING
         : fit->doubt.found && !fit->doubt.confirmed ? SL_BLOCK_WORK
                                                     : SL_BLOCK_NONE;
}

double
sl_heel_wedge (const SlInstrument *instrument, const SlState *state, int string, double drop_mm, double heel_mm)
{
  return drop_mm * heel_mm /
         (instrument->scale[string - 1] + state->setback[string - 1] - instrument->x[string - 1][instrument->joint]);
}

void
sl_cut_line (const double *room, int n_strings, double *treble, double *bass)
{
  double over = 0;

  *treble = room[0];
  *bass = room[n_strings - 1];
  for (int s = 1; s <= n_strings; s++)
    over = MAX (over, sl_between_strings (*treble, *bass, s, n_strings) - room[s - 1]);
  *treble = MAX (0, *treble - over);
  *bass = MAX (0, *bass - over);
  /* Where an end was raised to 0 the line is above what it was: turn it about that end until no string is cut below
   * its target. */
  for (int s = 1; s <= n_strings; s++)
    {
      const double t = sl_bass_share (s, n_strings), spare = MAX (0, room[s - 1]);

      if (sl_between_strings (*treble, *bass, s, n_strings) <= spare + 1e-12)
        continue;
      if (*treble == 0)
        *bass = MIN (*bass, spare / t);
      else
        *treble = MIN (*treble, MAX (0, spare - t * *bass) / (1 - t));
    }
}

void
sl_base_cut (const SlInstrument *instrument, const SlState *state, const SlShop *shop, SlBaseCut *out)
{
  const int n = instrument->n_strings;
  const double upright = cos (instrument->saddle_lean_rad);
  double needs[SL_MAX_STRINGS];

  *out = (SlBaseCut){ 0 };
  for (int s = 1; s <= n; s++)
    needs[s - 1] = sl_need (instrument, state, s, NULL);
  if (instrument->adjust == SL_ADJUST_SCREWS)
    return;
  sl_cut_line (needs, n, &out->treble, &out->bass);
  out->treble /= upright;
  out->bass /= upright;
  sl_base_pass (instrument, state, shop, out->bass, out->treble, &out->first_pass_bass, &out->first_pass_treble);
}

/* ---- the order of work ---- */

static gboolean
moves_along (const SlOperation *operation)
{
  return operation->kind == SL_OP_MOVE_CREST || operation->kind == SL_OP_SHIFT_BRIDGE;
}

/* Why @first can't be done before @second. */
static SlObjection
order_objection (const SlOperation *first, const SlOperation *second)
{
  const gboolean takes_off = sl_operations[first->kind].cuts,
                 fits = takes_off || sl_operations[first->kind].makes || first->kind == SL_OP_MOVE_SADDLE,
                 angles = first->kind == SL_OP_SET_NECK_ANGLE,
                 saddle = first->kind == SL_OP_SHAPE_CREST || first->kind == SL_OP_CUT_SADDLE_BASE;

  if ((fits && is_fretwork (second)) || (first->kind == SL_OP_LEVEL_FRETS && second->kind == SL_OP_REPLACE_FRETS))
    return SL_OBJECTION_FRETS_FIRST;
  if ((fits || angles || first->kind == SL_OP_TURN_ROD) && second->kind == SL_OP_FIT_STRINGS)
    return SL_OBJECTION_STRINGS_FIRST;
  if ((fits || angles) && second->kind == SL_OP_TURN_ROD)
    return SL_OBJECTION_ROD_FIRST;
  if (fits && second->kind == SL_OP_SET_NECK_ANGLE)
    return SL_OBJECTION_NECK_FIRST;
  if ((saddle && second->kind == SL_OP_MAKE_SADDLE) ||
      (first->kind == SL_OP_LOWER_SLOT && second->kind == SL_OP_MAKE_NUT))
    return SL_OBJECTION_NEW_FIRST;
  if (first->kind == SL_OP_SHAPE_CREST && second->kind == SL_OP_CUT_SADDLE_BASE)
    return SL_OBJECTION_BASE_FIRST;
  if ((moves_along (first) && !moves_along (second) && second->kind != SL_OP_BENCH_STEP) ||
      (first->kind == SL_OP_MOVE_CREST && second->kind == SL_OP_SHIFT_BRIDGE))
    return SL_OBJECTION_CRESTS_LAST;
  return SL_OBJECTION_NONE;
}

SlObjection
sl_plan_move_objection (const GArray *plan, guint from, guint to)
{
  const SlOperation *moved = &g_array_index (plan, SlOperation, from);

  g_return_val_if_fail (from < plan->len && to < plan->len, SL_OBJECTION_NONE);
  if (from == to)
    return SL_OBJECTION_NONE;
  if (moved->done != NULL)
    return SL_OBJECTION_DONE;
  for (guint i = MIN (from, to); i <= MAX (from, to); i++)
    {
      const SlOperation *other = &g_array_index (plan, SlOperation, i);
      SlObjection objection;

      if (i == from)
        continue;
      if (to < from && other->done != NULL)
        return SL_OBJECTION_BEFORE_DONE;
      objection = to < from ? order_objection (moved, other) : order_objection (other, moved);
      if (objection != SL_OBJECTION_NONE)
        return objection;
    }
  return SL_OBJECTION_NONE;
}

SlObjection
sl_plan_move (GArray *plan, guint from, guint to)
{
  const SlObjection objection = sl_plan_move_objection (plan, from, to);
  SlOperation moved;

  if (objection != SL_OBJECTION_NONE || from == to)
    return objection;
  moved = g_array_index (plan, SlOperation, from);
  /* taken out without freeing what it holds: the array's own removal would */
  for (guint i = from; i < to; i++)
    g_array_index (plan, SlOperation, i) = g_array_index (plan, SlOperation, i + 1);
  for (guint i = from; i > to; i--)
    g_array_index (plan, SlOperation, i) = g_array_index (plan, SlOperation, i - 1);
  g_array_index (plan, SlOperation, to) = moved;
  return SL_OBJECTION_NONE;
}

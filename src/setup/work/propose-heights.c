/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The part of a proposal that slots and saddle are the reason for, and the pitch that comes after them (model 6, steps
 * 3 to 5). How the saddle is set decides what of it can be proposed (sl_saddles). Slots and crests depend on each other
 * (a crest that comes down takes some of the first gap with it), so both are found together and the slots are cut only
 * as deep as the finished job wants them. */

#include <gsl/gsl_fit.h>

#include "setup/physics/forces.h"
#include "setup/physics/intonation.h"
#include "setup/physics/pitch.h"
#include "setup/profile/construction.h"
#include "setup/work/propose-private.h"

#define LEAST_CREST_MOVE_MM 0.05
#define PITCH_STEP_MM 0.01
#define COUPLING_ROUNDS 8 /* slots and crests feed back by about x_1/x_s each round: 8 rounds are below 1e-9 mm */

/* The least a cut of the saddle is proposed of. */
static double
least_cut (const SlProposing *p)
{
  return p->a->shop.cut_step_mm > 0 ? p->a->shop.cut_step_mm : SL_HAND_MM;
}

static gboolean
is_high (const SlProposing *p, const SlState *state, int string, int fret)
{
  const SlWant want = sl_want (p->in, state, string, fret);

  return want.over > sl_slack (p, want.tolerance);
}

/* ---- slots and saddle ---- */

/* What the finished job wants of each string: how far slot and crest come down, in all and of the crest by dressing or
 * by its own screw. */
typedef struct
{
  double slot[SL_MAX_STRINGS], crest[SL_MAX_STRINGS], dressed[SL_MAX_STRINGS];
  double left[SL_MAX_STRINGS]; /* how far the crest comes down by the neck's angle, where the saddle can't */
  double treble, bass;         /* how far the ends come down: by a base cut, along the saddle; else less than 0 is up */
} Target;

static void
find_slots (const SlProposing *p, Target *t)
{
  const int n = p->in->n_strings;
  SlState state = p->state;

  for (int s = 1; s <= n && sl_has_work (p->in, SL_OP_LOWER_SLOT); s++)
    {
      state.u[SL_NUT_HEIGHT + n + s - 1] -= t->crest[s - 1] + t->left[s - 1];
      double cut = is_high (p, &state, s, 1) ? sl_want (p->in, &state, s, 1).by : 0;

      cut = sl_within (SL_OP_LOWER_SLOT, sl_round_cut (&SL_SHOP_DEFAULT, MAX (0, cut)));
      /* a shop's step is one of its saddles, and only a finer one tells what its hands can do */
      t->slot[s - 1] = cut >= MIN (SL_HAND_MM, least_cut (p)) ? cut : 0;
    }
}

/* An end of the base cut as it is made. */
static double
end_cut (const SlProposing *p, double line)
{
  const double cut = sl_within (SL_OP_CUT_SADDLE_BASE, sl_round_cut (&p->a->shop, line / cos (p->in->saddle_lean_rad)));

  return cut >= least_cut (p) ? cut : 0;
}

/* The straight cut for the outer strings that are out of range; what is in range is left alone, so far as a straight
 * cut can. */
static void
find_base (const SlProposing *p, const SlState *state, Target *t)
{
  const int n = p->in->n_strings;
  const gboolean high[2] = { is_high (p, state, 1, SL_OCTAVE_FRET), is_high (p, state, n, SL_OCTAVE_FRET) };
  double room[SL_MAX_STRINGS];

  if (!high[0] && !high[1])
    return;
  for (int s = 1; s <= n; s++)
    room[s - 1] = MIN (sl_want (p->in, state, s, SL_OCTAVE_FRET).by, sl_crest_room (p->in, state, s));
  if (!high[0])
    room[0] = MIN (room[0], 0);
  if (!high[1])
    room[n - 1] = MIN (room[n - 1], 0);
  sl_cut_line (room, n, &t->treble, &t->bass);
  t->treble = end_cut (p, t->treble);
  t->bass = end_cut (p, t->bass);
}

/* What one crest wants by itself: down to its target, as far as the saddle allows; what can be put back goes up, too.
 * Of a saddle set at its ends it is what the end wants. */
static double
find_crest (const SlProposing *p, const SlState *state, int string)
{
  const SlSaddleTraits *saddle = &sl_saddles[p->in->adjust];
  const SlWant want = sl_want (p->in, state, string, SL_OCTAVE_FRET);
  const double room = sl_crest_room (p->in, state, string);
  double by;

  if ((saddle->goes_up ? fabs (want.over) : want.over) <= sl_slack (p, want.tolerance))
    return 0;
  by = want.by > 0 ? MAX (0, MIN (want.by, room)) : want.by;
  by = saddle->goes_up ? round (by / SL_LEAST_STEP_MM) * SL_LEAST_STEP_MM : sl_round_cut (&p->a->shop, by);
  /* by screws never lower than the saddle allows */
  if (saddle->goes_up && by > 0 && by > room)
    by -= SL_LEAST_STEP_MM;
  by = sl_within (saddle->goes_up ? saddle->work : SL_OP_SHAPE_CREST, by);
  return fabs (by) >= least_cut (p) ? by : 0;
}

/* What is done to the saddle as a whole; of a kind that nobody has where it isn't done so. */
static SlOperation
whole_saddle (const SlProposing *p, const Target *t)
{
  const SlSaddleTraits *saddle = &sl_saddles[p->in->adjust];

  return saddle->goes_up ? sl_operation_of (saddle->work, 0, 0 - t->bass, 0 - t->treble)
                         : sl_operation_of (saddle->work, 0, t->bass, t->treble);
}

static void
find_crests (const SlProposing *p, Target *t)
{
  const SlSaddleTraits *saddle = &sl_saddles[p->in->adjust];
  const int n = p->in->n_strings;
  SlState state = p->state, set;

  for (int s = 1; s <= n; s++)
    state.u[SL_NUT_HEIGHT + s - 1] -= t->slot[s - 1];
  t->treble = t->bass = 0;
  if (saddle->work == SL_OP_CUT_SADDLE_BASE)
    find_base (p, &state, t);
  else if (saddle->work == SL_OP_MOVE_SADDLE)
    {
      t->treble = find_crest (p, &state, 1);
      t->bass = find_crest (p, &state, n);
    }
  set = state;
  if (t->treble != 0 || t->bass != 0)
    {
      const SlOperation whole = whole_saddle (p, t);

      sl_operation_apply (p->in, &whole, &set);
    }
  for (int s = 1; s <= n; s++)
    {
      t->left[s - 1] = sl_rod_is_awaited (p->a, &state) ? 0 : sl_crest_short (p->in, &state, s);
      t->dressed[s - 1] = saddle->single ? find_crest (p, &set, s) : 0;
      t->crest[s - 1] = t->dressed[s - 1] + sl_state_crest_height (&state, s) - sl_state_crest_height (&set, s);
    }
}

static void
find_target (const SlProposing *p, Target *t)
{
  *t = (Target){ 0 };
  /* screws come before any slot: what they bring into range is not filed */
  if (sl_saddles[p->in->adjust].goes_up)
    find_crests (p, t);
  for (int round = 0; round < COUPLING_ROUNDS; round++)
    {
      find_slots (p, t);
      find_crests (p, t);
    }
}

static void
propose_slots (SlProposing *p, const Target *t)
{
  for (int s = 1; s <= p->in->n_strings; s++)
    if (t->slot[s - 1] > 0)
      sl_add_step (p, sl_operation_of (SL_OP_LOWER_SLOT, s, t->slot[s - 1], NAN),
                   (double[4]){ sl_state_gap (p->in, &p->state, s, 1), p->in->target_first_gap[s - 1],
                                t->left[s - 1] > 0    ? 2
                                : t->crest[s - 1] > 0 ? 1
                                                      : 0 });
}

static void
propose_crests (SlProposing *p, const Target *t)
{
  const int n = p->in->n_strings;

  if (t->bass != 0 || t->treble != 0)
    {
      const SlOperation whole = whole_saddle (p, t);
      SlState after = p->state;

      sl_operation_apply (p->in, &whole, &after);
      sl_add_step (p, whole,
                   (double[4]){ sl_state_gap (p->in, &p->state, n, SL_OCTAVE_FRET),
                                sl_state_gap (p->in, &after, n, SL_OCTAVE_FRET),
                                sl_state_gap (p->in, &p->state, 1, SL_OCTAVE_FRET),
                                sl_state_gap (p->in, &after, 1, SL_OCTAVE_FRET) });
    }
  for (int s = 1; s <= n; s++)
    if (t->dressed[s - 1] != 0)
      sl_add_step (p, sl_operation_of (SL_OP_SHAPE_CREST, s, t->dressed[s - 1], NAN),
                   (double[4]){ sl_state_gap (p->in, &p->state, s, SL_OCTAVE_FRET), p->in->target_action[s - 1],
                                fabs (t->dressed[s - 1]) / p->in->height_screw_pitch, t->bass > 0 || t->treble > 0 });
}

/* Screws, which can be turned back, come before any file, and a tremolo's balance with them. */
void
sl_propose_heights (SlProposing *p)
{
  const gboolean first = sl_saddles[p->in->adjust].goes_up;
  SlState before = p->state;
  Target t;

  find_target (p, &t);
  for (int s = 1; s <= p->in->n_strings; s++)
    before.u[SL_NUT_HEIGHT + s - 1] -= t.slot[s - 1];
  sl_find_neck_angle (p, &before, t.crest[p->in->n_strings - 1], t.crest[0]);
  if (first)
    {
      propose_crests (p, &t);
      sl_propose_balance (p);
    }
  propose_slots (p, &t);
  if (!first)
    propose_crests (p, &t);
}

/* ---- pitch ---- */

/* A move as it is told. */
static double
moved (SlOperationKind kind, double mm)
{
  return sl_within (kind, round (mm / PITCH_STEP_MM) * PITCH_STEP_MM);
}

/* What the tuner says of a string at the 12th fret: as it was read, as the work since and the work above leave it, and
 * how far its break point goes for that to be 0. */
typedef struct
{
  double read, left, by;
  gboolean out; /* of range, by more than the readings can be wrong */
} Pitch;

static gboolean
pitch_of (const SlProposing *p, const SlState *state, int string, Pitch *out)
{
  SlStringState before, after;

  if (!sl_tuner_cents (p->a->set, string, &out->read))
    return FALSE;
  sl_state_string (p->in, &p->a->measured, string, &before);
  sl_state_string (p->in, state, string, &after);
  out->left =
      out->read + sl_pitch_error (&after, SL_OCTAVE_FRET, NULL) - sl_pitch_error (&before, SL_OCTAVE_FRET, NULL);
  out->by = moved (SL_OP_MOVE_CREST, sl_crest_move (sl_open_length (&after), out->left));
  out->out = fabs (out->left) > sl_slack (p, p->in->pitch_tolerance) &&
             fabs (out->left) >= SL_COVERAGE * sl_reading_mean_u (p->a->set, SL_READ_PITCH, string, SL_OCTAVE_FRET) &&
             fabs (out->by) >= LEAST_CREST_MOVE_MM;
  return TRUE;
}

/* How many strings' pitch is out of range. */
static int
n_out (const SlProposing *p, const SlState *state)
{
  int n = 0;
  Pitch pitch;

  for (int s = 1; s <= p->in->n_strings; s++)
    n += pitch_of (p, state, s, &pitch) && pitch.out;
  return n;
}

/* The straight line, least squares, through what the strings that were read want; of one the same at both ends. */
static SlOperation
fitted_shift (const SlProposing *p)
{
  double at[SL_MAX_STRINGS], by[SL_MAX_STRINGS], treble = 0, slope = 0, cov[3], squares;
  gsize n = 0;
  Pitch pitch;

  for (int s = 1; s <= p->in->n_strings; s++)
    if (pitch_of (p, &p->state, s, &pitch))
      {
        at[n] = sl_bass_share (s, p->in->n_strings);
        by[n++] = treble = pitch.by;
      }
  if (n > 1)
    gsl_fit_linear (at, 1, by, 1, n, &treble, &slope, &cov[0], &cov[1], &cov[2], &squares);
  return sl_operation_of (SL_OP_SHIFT_BRIDGE, 0, moved (SL_OP_SHIFT_BRIDGE, treble + slope),
                          moved (SL_OP_SHIFT_BRIDGE, treble));
}

/* A bridge that floats goes as a whole, if that brings more strings into range than it takes out. */
static void
propose_shift (SlProposing *p)
{
  const SlOperation shift = fitted_shift (p);
  const int before = n_out (p, &p->state);
  SlState after = p->state;

  sl_operation_apply (p->in, &shift, &after);
  if (before > 0 && n_out (p, &after) < before)
    sl_add_step (p, shift, (double[4]){ before, n_out (p, &after) });
}

void
sl_propose_pitch (SlProposing *p)
{
  double farthest = 0, apart;
  int string = 0;

  if (sl_has_work (p->in, SL_OP_SHIFT_BRIDGE))
    propose_shift (p);
  for (int s = 1; s <= p->in->n_strings; s++)
    {
      Pitch pitch;

      /* the tuner read the instrument as it was; the work since and the work above change the pitch by what the model
       * says of it */
      if (!pitch_of (p, &p->state, s, &pitch) || !pitch.out)
        continue;
      sl_add_step (p, sl_operation_of (SL_OP_MOVE_CREST, s, pitch.by, NAN),
                   (double[4]){ pitch.read, pitch.left, fabs (pitch.by) / p->in->length_screw_pitch });
      if (fabs (pitch.by) > farthest)
        {
          farthest = fabs (pitch.by);
          string = s;
        }
    }
  if (string == 0 || !isnan (p->in->length_screw_pitch))
    return;
  if (p->state.setback_read ? sl_crests_fit (p->in, p->state.setback, &apart) : farthest <= p->in->saddle_thickness)
    return;
  if (p->state.setback_read)
    string = 0; /* it is for all of them */
  else
    apart = farthest; /* wherever on the saddle it breaks now */
  sl_add_finding (p, (SlFinding){ .kind = SL_FINDING_CREST_MOVE,
                                  .string = string,
                                  .amount = apart - p->in->saddle_thickness,
                                  .values = { apart, p->in->saddle_thickness } });
}

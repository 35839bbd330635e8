/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The plan proposal (model 6). Steps are worked out in the order they are done, each from the state the ones before
 * leave. Slots and crests depend on each other (a crest that comes down takes some of the first gap with it), so both
 * are found together and the slots are cut only as deep as the finished job wants them. */
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <string.h>

#include "setup/physics/forces.h"
#include "setup/physics/frets.h"
#include "setup/physics/intonation.h"
#include "setup/physics/pitch.h"
#include "setup/profile/bounds.h"

#define CROWN_TOLERANCE_MM 0.03 /* model 10.1 */
#define LEAST_SHORTFALL_MM 0.005
#define LEAST_ROD_TURN_MM 0.005 /* a smaller change can't be read */
#define LEAST_SLOT_MM 0.01      /* less is the file's own scratch: our own choice */
#define LEAST_SCREWING_MM 0.005
#define LEAST_SHAPING_MM 0.02 /* half of it at the 12th fret: our own choice */
#define LEAST_CREST_MOVE_MM 0.05
#define STEP_MM 0.001 /* amounts are proposed in these steps, rounded so that never more comes off */
#define PITCH_STEP_MM 0.01
#define COUPLING_ROUNDS 8 /* slots and crests feed back by about x_1/x_s each round: 8 rounds are below 1e-9 mm */
#define HEEL_MM 100.0     /* a wedge is told over this length of heel */

typedef struct
{
  const SlInstrument *in;
  const SlFit *fit;
  const SlReadingSet *set;
  double cut_step; /* the shop's, no finer than STEP_MM */
  SlState state;   /* as the steps so far leave it */
  SlProposal *out;
} Proposing;

static void
add_finding (Proposing *p, SlFinding finding)
{
  g_array_append_val (p->out->findings, finding);
}

/* The gap of the open string over a fret in a state, mm. */
static double
gap (const Proposing *p, const SlState *state, int string, int fret)
{
  SlStringState s;

  sl_state_string (p->in, state, string, &s);
  return sl_gap (&s, 0, fret);
}

/* How far string @string's crest may come down for the saddle to keep its least exposure. One nobody read holds nothing
 * back: its reading is asked for. */
static double
crest_room (const Proposing *p, int string)
{
  return p->state.exposure_read ? p->state.exposure[string - 1] - p->in->least_exposure : INFINITY;
}

/* How far down the slot goes for the first gap to meet its target with the crest where @state has it. */
static double
slot_cut (const Proposing *p, const SlState *state, int string)
{
  SlStringState s;
  double g[SL_N_P];

  sl_state_string (p->in, state, string, &s);
  sl_gap_gradient (&s, 0, 1, g);
  return (sl_gap (&s, 0, 1) - p->in->target_first_gap[string - 1]) / g[SL_P_NUT];
}

static double
round_down (double mm, double step)
{
  return floor (mm / step + 1e-6) * step;
}

/* Adds a step and does it to the state. @because: what speaks for it, as many as its kind has (SlStep); the rest may be
 * anything. */
static SlStep *
add_step (Proposing *p, SlOperationKind kind, int string, double amount, double treble, const double because[4])
{
  SlStep step = { .operation = sl_operation_init (kind), .first_pass = NAN, .first_pass_treble = NAN };

  memcpy (step.values, because, sizeof step.values);
  step.operation.string = string;
  /* without the binary dust that 0.1 · 3 leaves */
  step.operation.amount.v = round (amount * 1e6) / 1e6;
  step.operation.amount_treble.v = round (treble * 1e6) / 1e6;
  g_array_append_val (p->out->steps, step);
  sl_operation_apply (p->in, &step.operation, &p->state);
  return &g_array_index (p->out->steps, SlStep, p->out->steps->len - 1);
}

/* Nothing is cut while something is to be read again. */
static void
block_step (const Proposing *p, SlStep *step)
{
  step->block = sl_cutting_block (p->fit);
  if (step->block == SL_BLOCK_NONE)
    return;
  step->first_pass = 0;
  if (!isnan (step->operation.amount_treble.v))
    step->first_pass_treble = 0;
}

/* ---- what no step can mend ---- */

static void
find_suspects (Proposing *p)
{
  for (guint i = 0; i < p->fit->n_readings; i++)
    {
      const SlReadingFit *rf = &p->fit->readings[i];
      const SlReading *r = &g_array_index (p->set->readings, SlReading, i);

      if (!rf->suspect)
        continue;
      add_finding (p, (SlFinding){ .kind = SL_FINDING_SUSPECT,
                                   .string = r->string,
                                   .fret = r->fret,
                                   .amount = r->value.v - rf->predicted,
                                   .reading = r->kind,
                                   .values = { r->value.v, rf->predicted, SL_COVERAGE * rf->predicted_u } });
    }
}

/* Readings that stand by themselves, since they don't follow from those before; and what a cut did that was not
 * predicted. */
static void
find_doubt (Proposing *p)
{
  const SlWorkDoubt *doubt = &p->fit->doubt;

  if (p->fit->apart)
    add_finding (p, (SlFinding){ .kind = SL_FINDING_APART });
  if (doubt->found)
    add_finding (p, (SlFinding){ .kind = doubt->moved > doubt->predicted ? SL_FINDING_WORK_SHORT : SL_FINDING_WORK_FAR,
                                 .string = doubt->string,
                                 .fret = doubt->fret,
                                 .amount = doubt->moved - doubt->predicted,
                                 .values = { doubt->moved, doubt->predicted, SL_COVERAGE * doubt->u } });
}

/* Says so where levelling would take a crown below its least height, and which frets replaced would save the others. */
static void
find_lost_frets (Proposing *p, int lowest)
{
  SlLevelling work, other;
  double left = INFINITY;

  sl_level (p->in, &p->state, p->set, 0, &work);
  if (work.n_lost == 0)
    return;
  for (int n = 1; n <= work.n; n++)
    left = MIN (left, work.frets[n].left);
  sl_level_replacing (p->in, &p->state, p->set, 0, &other);
  guint64 replaced = 0;

  for (int n = 1; n <= other.n && other.n_replaced < other.n; n++)
    if (other.frets[n].replaced)
      replaced |= G_GUINT64_CONSTANT (1) << n;
  add_finding (p, (SlFinding){ .kind = SL_FINDING_FRET_HEIGHT,
                               .fret = lowest,
                               .amount = p->in->crown_least - left,
                               .replaced = replaced,
                               .values = { left, p->in->crown_least } });
}

/* Slots that end below their target: only more material helps. */
static void
find_low_slots (Proposing *p)
{
  for (int s = 1; s <= p->in->n_strings; s++)
    {
      const double wanted = -slot_cut (p, &p->state, s), first = gap (p, &p->state, s, 1);
      const double target = p->in->target_first_gap[s - 1];

      if (wanted <= LEAST_SHORTFALL_MM || p->fit->first_gap_assumed[s - 1])
        continue;
      add_finding (p, (SlFinding){ .kind = SL_FINDING_SLOT_LOW,
                                   .string = s,
                                   .fret = 1,
                                   .amount = wanted,
                                   .in_range = first >= target - p->in->first_gap_tolerance,
                                   .values = { first, target } });
    }
}

/* Whether the saddle comes down without anybody having read how much of it there is. On height screws that matters
 * where a least exposure is given. */
static gboolean
lowers_unread (const Proposing *p)
{
  if (p->state.exposure_read || (!isnan (p->in->height_screw_pitch) && p->in->least_exposure <= 0))
    return FALSE;
  for (guint i = 0; i < p->out->steps->len; i++)
    {
      const SlOperation *operation = &g_array_index (p->out->steps, SlStep, i).operation;

      if (operation->kind == SL_OP_CUT_SADDLE_BASE || (operation->kind == SL_OP_SHAPE_CREST && operation->amount.v > 0))
        return TRUE;
    }
  return FALSE;
}

/* Crests that end below their target, and cuts the saddle's exposure did not allow. */
static void
find_crest_limits (Proposing *p)
{
  const gboolean screws = !isnan (p->in->height_screw_pitch);
  int worst = 0;
  double most = LEAST_SHORTFALL_MM;

  for (int s = 1; s <= p->in->n_strings; s++)
    {
      const double left = sl_need (p->in, &p->state, s, NULL), action = gap (p, &p->state, s, SL_OCTAVE_FRET);
      const double target = p->in->target_action[s - 1];

      if (left > most && crest_room (p, s) < left)
        {
          most = left;
          worst = s;
        }
      if (left >= -LEAST_SHORTFALL_MM || p->fit->action_assumed[s - 1] || screws)
        continue;
      add_finding (p, (SlFinding){ .kind = SL_FINDING_CREST_LOW,
                                   .string = s,
                                   .fret = SL_OCTAVE_FRET,
                                   .amount = -left,
                                   .in_range = action >= target - p->in->action_tolerance,
                                   .values = { action, target } });
    }
  if (lowers_unread (p))
    add_finding (p, (SlFinding){ .kind = SL_FINDING_EXPOSURE, .amount = NAN });
  if (worst == 0)
    return;

  /* the crest wanted lower by `most` over a lever from the joint to the crest: the neck's angle that would do it */
  const double lever = p->in->scale + p->state.setback[worst - 1] - p->in->x[p->in->joint];

  add_finding (p, (SlFinding){ .kind = SL_FINDING_EXPOSURE,
                               .string = worst,
                               .fret = SL_OCTAVE_FRET,
                               .amount = most,
                               .screws = screws,
                               .values = { p->in->least_exposure, gap (p, &p->state, worst, SL_OCTAVE_FRET),
                                           p->in->target_action[worst - 1], most / lever * 180 / G_PI,
                                           sl_heel_wedge (p->in, &p->state, worst, most, HEEL_MM) } });
}

static void
propose_levelling (Proposing *p)
{
  const double *crowns = p->state.crown + 1;
  size_t lowest, highest;

  gsl_stats_minmax_index (&lowest, &highest, crowns, 1, (size_t) p->in->frets);
  const double off = crowns[highest] - crowns[lowest];

  if (!p->state.crowns_read || off <= CROWN_TOLERANCE_MM)
    return;
  find_lost_frets (p, (int) lowest + 1);
  add_step (p, SL_OP_LEVEL_FRETS, 0, NAN, NAN, (double[4]){ off, (double) lowest + 1 });
}

static void
propose_rod (Proposing *p)
{
  const double before = sl_state_mean_relief (&p->state);
  const double least = p->in->n_strings < 2 ? p->state.u[SL_RELIEF_TREBLE]
                                            : MIN (p->state.u[SL_RELIEF_TREBLE], p->state.u[SL_RELIEF_BASS]);
  const double wanted = p->in->target_relief - before;
  /* with a side already below 0 the rod is let out until it is at 0 */
  const gboolean held_back = wanted < -least;
  const double change = held_back ? -round_down (least, STEP_MM) : round (wanted / STEP_MM) * STEP_MM;
  const double off = before + change - p->in->target_relief;

  if (held_back && off > LEAST_SHORTFALL_MM)
    add_finding (
        p,
        (SlFinding){ .kind = SL_FINDING_RELIEF, .amount = off, .values = { p->in->target_relief, before + change } });
  if (fabs (change) < LEAST_ROD_TURN_MM)
    return;

  SlState turned = p->state;
  SlOperation turn = sl_operation_init (SL_OP_TURN_ROD);
  int bass = p->in->n_strings;

  turn.amount = sl_number (change);
  sl_operation_apply (p->in, &turn, &turned);
  add_step (p, SL_OP_TURN_ROD, 0, change, NAN,
            (double[4]){ before, before + change,
                         gap (p, &turned, bass, SL_OCTAVE_FRET) - gap (p, &p->state, bass, SL_OCTAVE_FRET) });
}

/* ---- slots and saddle ---- */

/* What the finished job wants of each string: how far slot and crest come down. */
typedef struct
{
  double slot[SL_MAX_STRINGS], crest[SL_MAX_STRINGS];
  double treble, bass; /* base cut, before cos(lean) */
} Target;

static void
find_target (const Proposing *p, Target *t)
{
  const int n = p->in->n_strings;
  const gboolean screws = !isnan (p->in->height_screw_pitch);

  *t = (Target){ 0 };
  for (int round = 0; round < COUPLING_ROUNDS; round++)
    {
      SlState state = p->state;
      double room[SL_MAX_STRINGS];

      for (int s = 1; s <= n; s++)
        {
          state.u[SL_NUT_HEIGHT + n + s - 1] -= t->crest[s - 1];
          t->slot[s - 1] = MAX (0, slot_cut (p, &state, s));
        }
      state = p->state;
      for (int s = 1; s <= n; s++)
        {
          state.u[SL_NUT_HEIGHT + s - 1] -= t->slot[s - 1];
          const double need = sl_need (p->in, &state, s, NULL); /* with the slots cut */

          room[s - 1] = MIN (need, crest_room (p, s));
          t->crest[s - 1] = screws && need < 0 ? need : MAX (0, room[s - 1]);
        }
      if (!screws)
        sl_cut_line (room, n, &t->treble, &t->bass);
    }
}

static void
propose_slots (Proposing *p, const Target *t)
{
  for (int s = 1; s <= p->in->n_strings; s++)
    {
      const double by = round_down (t->slot[s - 1], STEP_MM);
      const gboolean assumed = p->fit->first_gap_assumed[s - 1];

      if (by < LEAST_SLOT_MM)
        continue;
      SlStep *step = add_step (p, SL_OP_LOWER_SLOT, s, by, NAN,
                               (double[4]){ gap (p, &p->state, s, 1), p->in->target_first_gap[s - 1] });

      step->assumed = assumed;
      /* nothing comes off on an assumption: the string is read first */
      if (assumed)
        step->first_pass = 0;
      block_step (p, step);
    }
}

static void
propose_base_cut (Proposing *p, const Target *t)
{
  const double upright = cos (p->in->saddle_lean_rad);
  double bass = round_down (t->bass / upright, p->cut_step), treble = round_down (t->treble / upright, p->cut_step);
  double bass_u, treble_u;
  const int n = p->in->n_strings;

  if (bass < LEAST_SLOT_MM && treble < LEAST_SLOT_MM)
    return;
  sl_need (p->in, &p->state, n, &bass_u);
  sl_need (p->in, &p->state, 1, &treble_u);
  SlStep *step = add_step (p, SL_OP_CUT_SADDLE_BASE, 0, bass, treble,
                           (double[4]){ gap (p, &p->state, n, SL_OCTAVE_FRET), p->in->target_action[n - 1],
                                        gap (p, &p->state, 1, SL_OCTAVE_FRET), p->in->target_action[0] });

  step->first_pass = 0;
  step->first_pass_treble = 0;
  block_step (p, step);
}

static void
propose_shaping (Proposing *p)
{
  const gboolean screws = !isnan (p->in->height_screw_pitch);

  for (int s = 1; s <= p->in->n_strings; s++)
    {
      const gboolean assumed = p->fit->action_assumed[s - 1];
      double u, left = sl_need (p->in, &p->state, s, &u), by;

      /* down only as far as the saddle's least exposure allows; screws also go up */
      const gboolean held_back = left > crest_room (p, s) && left > 0;

      if (held_back)
        left = MAX (0, crest_room (p, s));
      if (screws ? fabs (left) < LEAST_SCREWING_MM : left < LEAST_SHAPING_MM)
        continue;
      by = !screws     ? round_down (left, p->cut_step)
           : held_back ? round_down (left, STEP_MM)
                       : round (left / STEP_MM) * STEP_MM;
      if (by == 0)
        continue;
      SlStep *step = add_step (p, SL_OP_SHAPE_CREST, s, by, NAN,
                               (double[4]){ gap (p, &p->state, s, SL_OCTAVE_FRET), p->in->target_action[s - 1],
                                            screws ? fabs (by) / p->in->height_screw_pitch : NAN });

      step->assumed = assumed;
      if (screws)
        continue;
      step->first_pass = assumed ? 0 : 0;
      block_step (p, step);
    }
}

static void
propose_crest_moves (Proposing *p)
{
  gboolean moved = FALSE;

  for (int s = 1; s <= p->in->n_strings; s++)
    {
      SlStringState before, after;
      double cents;

      if (!sl_tuner_cents (p->set, s, &cents))
        continue;
      /* the tuner read the instrument as it was; the work since and the work above change the pitch by what the model
       * says of it */
      sl_state_string (p->in, &p->fit->state, s, &before);
      sl_state_string (p->in, &p->state, s, &after);
      double expected =
          cents + sl_pitch_error (&after, SL_OCTAVE_FRET, NULL) - sl_pitch_error (&before, SL_OCTAVE_FRET, NULL);
      double by = round (sl_crest_move (sl_open_length (&after), expected) / PITCH_STEP_MM) * PITCH_STEP_MM;

      if (fabs (by) < LEAST_CREST_MOVE_MM)
        continue;
      add_step (p, SL_OP_MOVE_CREST, s, by, NAN, (double[4]){ cents, expected, fabs (by) / p->in->length_screw_pitch });
      moved = TRUE;
    }
  if (!moved || !p->state.setback_read || !isnan (p->in->length_screw_pitch))
    return;
  double apart;

  if (sl_crests_fit (p->in, p->state.setback, &apart))
    return;
  add_finding (p, (SlFinding){ .kind = SL_FINDING_CREST_MOVE,
                               .amount = apart - p->in->saddle_thickness,
                               .values = { apart, p->in->saddle_thickness } });
}

void
sl_propose (const SlInstrument *instrument, const SlFit *fit, const SlReadingSet *set, const GArray *plan,
            const SlShop *shop, SlProposal *out)
{
  Proposing p = { instrument, fit, set, MAX (STEP_MM, shop->cut_step_mm), fit->state, out };
  Target target;

  out->steps = g_array_new (FALSE, TRUE, sizeof (SlStep));
  out->findings = g_array_new (FALSE, TRUE, sizeof (SlFinding));
  sl_plan_apply (instrument, plan, set != NULL ? set->taken : NULL, TRUE, &shop->work, &p.state);
  find_suspects (&p);
  find_doubt (&p);
  propose_levelling (&p);
  propose_rod (&p);
  find_target (&p, &target);
  propose_slots (&p, &target);
  propose_base_cut (&p, &target);
  propose_shaping (&p);
  find_low_slots (&p);
  find_crest_limits (&p);
  propose_crest_moves (&p);
}

void
sl_proposal_clear (SlProposal *proposal)
{
  g_clear_pointer (&proposal->steps, g_array_unref);
  g_clear_pointer (&proposal->findings, g_array_unref);
}

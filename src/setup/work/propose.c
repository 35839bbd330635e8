/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The plan proposal (model 6). Steps are worked out in the order they are done, each from the state the ones before
 * leave. Slots and crests depend on each other (a crest that comes down takes some of the first gap with it), so both
 * are found together and the slots are cut only as deep as the finished job wants them. */
#include <glib/gi18n-lib.h>
#include <math.h>

#include "setup/physics/forces.h"
#include "setup/physics/frets.h"
#include "setup/physics/intonation.h"
#include "setup/physics/pitch.h"
#include "setup/work/propose-parts.h"

#define CROWN_TOLERANCE_MM 0.03 /* model 10.1 */
#define LEAST_ROD_TURN_MM 0.005 /* a smaller change can't be read */
#define LEAST_SLOT_MM 0.01      /* less is the file's own scratch: our own choice */
#define LEAST_SCREWING_MM 0.005
#define LEAST_SHAPING_MM 0.02 /* half of it at the 12th fret: our own choice */
#define LEAST_CREST_MOVE_MM 0.05
#define STEP_MM 0.001 /* amounts are proposed in these steps, rounded so that never more comes off */
#define PITCH_STEP_MM 0.01
#define COUPLING_ROUNDS 8 /* slots and crests feed back by about x_1/x_s each round: 8 rounds are below 1e-9 mm */

/* Rounded to the nearest step, without the binary dust that 0.1 · 3 leaves. */
static double
tidy (double mm)
{
  return round (mm * 1e6) / 1e6;
}

static SlStep *
add_step (SlProposing *p, SlOperationKind kind, int string, double amount, double treble, char *reason)
{
  SlStep step = { sl_operation_init (kind), NAN, NAN, FALSE, reason };

  step.operation.string = string;
  step.operation.amount = isnan (amount) ? SL_NUMBER_ABSENT : sl_number (tidy (amount));
  step.operation.amount_treble = isnan (treble) ? SL_NUMBER_ABSENT : sl_number (tidy (treble));
  g_array_append_val (p->out->steps, step);
  sl_operation_apply (p->in, &step.operation, &p->state);
  return &g_array_index (p->out->steps, SlStep, p->out->steps->len - 1);
}

/* Nothing is cut while something is to be read again: says so on the step. */
static void
block_step (const SlProposing *p, SlStep *step)
{
  const char *why = sl_cutting_blocked_text (p->fit);

  if (why == NULL)
    return;
  g_autofree char *reason = step->reason;

  step->blocked = TRUE;
  step->first_pass = 0;
  if (!isnan (step->operation.amount_treble.v))
    step->first_pass_treble = 0;
  step->reason = g_strdup_printf ("%s. %s", reason, why);
}

/* Down to the shop's step. */
static double
shop_step (const SlProposing *p, double mm)
{
  return sl_round_down (mm, MAX (STEP_MM, p->shop->cut_step_mm));
}

/* ---- frets ---- */

static void
propose_levelling (SlProposing *p)
{
  double lowest = INFINITY, highest = -INFINITY;
  int at = 1;

  if (!p->state.crowns_read)
    return;
  for (int n = 1; n <= p->in->frets; n++)
    {
      if (p->state.crown[n] < lowest)
        {
          lowest = p->state.crown[n];
          at = n;
        }
      highest = MAX (highest, p->state.crown[n]);
    }
  if (highest - lowest <= CROWN_TOLERANCE_MM)
    return;

  g_autofree char *off = sl_proposal_length (p, highest - lowest, 2);

  sl_find_lost_frets (p, at);
  add_step (p, SL_OP_LEVEL_FRETS, 0, NAN, NAN,
            g_strdup_printf (_ ("crowns are off by up to %s; fret %d is the lowest"), off, at));
}

/* ---- rod ---- */

static void
propose_rod (SlProposing *p)
{
  const double before = sl_state_mean_relief (&p->state);
  const double least = p->in->n_strings < 2 ? p->state.u[SL_RELIEF_TREBLE]
                                            : MIN (p->state.u[SL_RELIEF_TREBLE], p->state.u[SL_RELIEF_BASS]);
  double change = p->in->target_relief - before;
  gboolean held_back = FALSE;

  if (change < -least)
    {
      /* with a side already below 0 the rod is let out until it is at 0 */
      change = -least;
      held_back = TRUE;
    }
  change = held_back ? -sl_round_down (-change, STEP_MM) : round (change / STEP_MM) * STEP_MM;
  if (held_back)
    {
      double off = before + change - p->in->target_relief;
      g_autofree char *mean = sl_proposal_length (p, before + change, 2),
                      *target = sl_proposal_length (p, p->in->target_relief, 2);

      if (off > SL_LEAST_SHORTFALL_MM)
        sl_add_finding (p, SL_FINDING_RELIEF, 0, 0, off,
                        g_strdup_printf (_ ("Mean relief of %s can't be met, because one side would bow backward: it "
                                            "stays at %s. Work on the twist (levelling the board, heat) would."),
                                         target, mean));
    }
  if (fabs (change) < LEAST_ROD_TURN_MM)
    return;

  g_autofree char *earlier = sl_proposal_length (p, before, 2), *present = sl_proposal_length (p, before + change, 2);
  SlState turned = p->state;
  SlOperation turn = sl_operation_init (SL_OP_TURN_ROD);
  int bass = p->in->n_strings;

  turn.amount = sl_number (change);
  sl_operation_apply (p->in, &turn, &turned);
  g_autofree char *action = sl_proposal_length (
      p, sl_proposal_gap (p, &turned, bass, SL_OCTAVE_FRET) - sl_proposal_gap (p, &p->state, bass, SL_OCTAVE_FRET), 2);

  add_step (p, SL_OP_TURN_ROD, 0, change, NAN,
            g_strdup_printf (_ ("mean relief %s to %s; that alone changes the action of string %d by %s"), earlier,
                             present, bass, action));
}

/* ---- slots and saddle ---- */

/* What the finished job wants of each string: how far slot and crest come down. */
typedef struct
{
  double slot[SL_MAX_STRINGS], crest[SL_MAX_STRINGS];
  double need[SL_MAX_STRINGS]; /* with the slots cut */
  double treble, bass;         /* base cut, before cos(lean) */
} Target;

double
sl_slot_cut (const SlProposing *p, const SlState *state, int string)
{
  SlStringState s;
  double g[SL_N_P];

  sl_state_string (p->in, state, string, &s);
  sl_gap_gradient (p->in, &s, 0, 1, g);
  return (sl_gap (p->in, state, &s, 0, 1) - p->in->target_first_gap[string - 1]) / g[SL_P_NUT];
}

static void
find_target (const SlProposing *p, Target *t)
{
  const int n = p->in->n_strings;
  const gboolean screws = !isnan (p->in->height_screw_pitch);

  *t = (Target){ 0 };
  for (int round = 0; round < COUPLING_ROUNDS; round++)
    {
      SlState state = p->state;
      double room[SL_MAX_STRINGS];

      for (int s = 1; s <= n; s++)
        state.u[SL_NUT_HEIGHT + n + s - 1] -= t->crest[s - 1];
      for (int s = 1; s <= n; s++)
        t->slot[s - 1] = MAX (0, sl_slot_cut (p, &state, s));
      state = p->state;
      for (int s = 1; s <= n; s++)
        {
          state.u[SL_NUT_HEIGHT + s - 1] -= t->slot[s - 1];
          t->need[s - 1] = sl_need (p->in, &state, s, NULL);
          room[s - 1] = MIN (t->need[s - 1], sl_crest_room (p, s));
          t->crest[s - 1] = screws && t->need[s - 1] < 0 ? t->need[s - 1] : MAX (0, room[s - 1]);
        }
      if (!screws)
        sl_cut_line (room, n, &t->treble, &t->bass);
    }
}

/* " (assumed)" where the string was not read. */
static const char *
assumed_mark (gboolean assumed)
{
  return assumed ? _ (" (not read, only assumed: read it before cutting)") : "";
}

static void
propose_slots (SlProposing *p, const Target *t)
{
  for (int s = 1; s <= p->in->n_strings; s++)
    {
      double by = sl_round_down (t->slot[s - 1], STEP_MM);
      double first = sl_proposal_gap (p, &p->state, s, 1);
      g_autofree char *earlier = sl_proposal_length (p, first, 2),
                      *target = sl_proposal_length (p, p->in->target_first_gap[s - 1], 2);

      if (by < LEAST_SLOT_MM)
        continue;
      SlStep *step = add_step (p, SL_OP_LOWER_SLOT, s, by, NAN,
                               g_strdup_printf (_ ("height at fret 1 %s%s, target %s when the saddle is done"), earlier,
                                                assumed_mark (p->fit->first_gap_assumed[s - 1]), target));

      /* nothing comes off on an assumption: the string is read first */
      if (p->fit->first_gap_assumed[s - 1])
        step->first_pass = 0;
      block_step (p, step);
    }
}

static void
propose_base_cut (SlProposing *p, const Target *t)
{
  const double upright = cos (p->in->saddle_lean_rad);
  double bass = shop_step (p, t->bass / upright), treble = shop_step (p, t->treble / upright);
  double bass_u, treble_u;
  const int n = p->in->n_strings;

  if (bass < LEAST_SLOT_MM && treble < LEAST_SLOT_MM)
    return;
  sl_need (p->in, &p->state, n, &bass_u);
  sl_need (p->in, &p->state, 1, &treble_u);
  g_autofree char *earlier = sl_proposal_length (p, sl_proposal_gap (p, &p->state, n, SL_OCTAVE_FRET), 2),
                  *target = sl_proposal_length (p, p->in->target_action[n - 1], 2);
  g_autofree char *was_1 = sl_proposal_length (p, sl_proposal_gap (p, &p->state, 1, SL_OCTAVE_FRET), 2),
                  *target_1 = sl_proposal_length (p, p->in->target_action[0], 2);
  SlStep *step =
      add_step (p, SL_OP_CUT_SADDLE_BASE, 0, bass, treble,
                g_strdup_printf (_ ("action at 12 of string %d from %s toward %s, of string 1 from %s toward %s"), n,
                                 earlier, target, was_1, target_1));

  step->first_pass = sl_first_pass (bass, bass_u);
  step->first_pass_treble = sl_first_pass (treble, treble_u);
  block_step (p, step);
}

static void
propose_shaping (SlProposing *p)
{
  const gboolean screws = !isnan (p->in->height_screw_pitch);

  for (int s = 1; s <= p->in->n_strings; s++)
    {
      double left = sl_need (p->in, &p->state, s, NULL);
      double u, by;

      /* down only as far as the saddle's least exposure allows; screws also go up */
      const gboolean held_back = left > sl_crest_room (p, s) && left > 0;

      if (held_back)
        left = MAX (0, sl_crest_room (p, s));
      if (screws ? fabs (left) < LEAST_SCREWING_MM : left < LEAST_SHAPING_MM)
        continue;
      sl_need (p->in, &p->state, s, &u);
      by = !screws ? shop_step (p, left) : held_back ? sl_round_down (left, STEP_MM) : round (left / STEP_MM) * STEP_MM;
      if (by == 0)
        continue;
      g_autofree char *earlier = sl_proposal_length (p, sl_proposal_gap (p, &p->state, s, SL_OCTAVE_FRET), 2),
                      *target = sl_proposal_length (p, p->in->target_action[s - 1], 2);
      char *reason;

      if (screws)
        {
          g_autofree char *turns = sl_plain_format (fabs (by) / p->in->height_screw_pitch, 2, p->decimal);

          reason = g_strdup_printf (by > 0 ? _ ("action at 12 %s%s, target %s: screws down %s turns")
                                           : _ ("action at 12 %s%s, target %s: screws up %s turns"),
                                    earlier, assumed_mark (p->fit->action_assumed[s - 1]), target, turns);
        }
      else
        reason = g_strdup_printf (_ ("action at 12 %s%s, target %s: left over by the straight cut off the underside"),
                                  earlier, assumed_mark (p->fit->action_assumed[s - 1]), target);
      SlStep *step = add_step (p, SL_OP_SHAPE_CREST, s, by, NAN, reason);

      if (!screws)
        {
          step->first_pass = p->fit->action_assumed[s - 1] ? 0 : sl_first_pass (by, u);
          block_step (p, step);
        }
    }
}

/* ---- pitch ---- */

static void
propose_crest_moves (SlProposing *p)
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
      double expected = cents + sl_pitch_error (p->in, &p->state, &after, s, SL_OCTAVE_FRET) -
                        sl_pitch_error (p->in, &p->fit->state, &before, s, SL_OCTAVE_FRET);
      double by = round (sl_crest_move (sl_open_length (&after), expected) / PITCH_STEP_MM) * PITCH_STEP_MM;

      if (fabs (by) < LEAST_CREST_MOVE_MM)
        continue;
      g_autofree char *read = sl_plain_format (cents, 1, p->decimal), *left = sl_plain_format (expected, 1, p->decimal);
      char *reason =
          g_strdup_printf (_ ("tuner reads %s cents at the 12th fret, %s are left after the work above"), read, left);

      if (!isnan (p->in->length_screw_pitch))
        {
          g_autofree char *first = reason;
          g_autofree char *turns = sl_plain_format (fabs (by) / p->in->length_screw_pitch, 2, p->decimal);

          reason = g_strdup_printf (by > 0 ? _ ("%s; length screw %s turns, away from the nut")
                                           : _ ("%s; length screw %s turns, toward the nut"),
                                    first, turns);
        }
      add_step (p, SL_OP_MOVE_CREST, s, by, NAN, reason);
      moved = TRUE;
    }
  if (!moved || !p->state.setback_read || !isnan (p->in->length_screw_pitch))
    return;
  double apart;

  if (sl_crests_fit (p->in, p->state.setback, &apart))
    return;
  g_autofree char *spread = sl_proposal_length (p, apart, 2),
                  *thick = sl_proposal_length (p, p->in->saddle_thickness, 2);

  sl_add_finding (p, SL_FINDING_CREST_MOVE, 0, 0, apart - p->in->saddle_thickness,
                  g_strdup_printf (_ ("Pitch can't be met, because the break points would lie %s apart on a saddle %s "
                                      "thick; a thicker saddle or a moved slot would."),
                                   spread, thick));
}

static void
clear_step (gpointer data)
{
  SlStep *step = data;

  g_free (step->reason);
  g_free (step->operation.done);
}

static void
clear_finding (gpointer data)
{
  g_free (((SlFinding *) data)->message);
}

void
sl_propose_worded (const SlInstrument *instrument, const SlFit *fit, const SlReadingSet *set, const GArray *plan,
                   const SlShop *shop, SlLengths lengths, const char *decimal, SlProposal *out)
{
  SlProposing p = { instrument, fit, set, shop, lengths, decimal, fit->state, out };
  Target target;

  out->steps = g_array_new (FALSE, TRUE, sizeof (SlStep));
  out->findings = g_array_new (FALSE, TRUE, sizeof (SlFinding));
  g_array_set_clear_func (out->steps, clear_step);
  g_array_set_clear_func (out->findings, clear_finding);
  sl_plan_apply_done (instrument, plan, set != NULL ? set->taken : NULL, &p.state);
  sl_find_suspects (&p);
  sl_find_apart (&p);
  sl_find_doubt (&p);
  propose_levelling (&p);
  propose_rod (&p);
  find_target (&p, &target);
  propose_slots (&p, &target);
  propose_base_cut (&p, &target);
  propose_shaping (&p);
  sl_find_low_slots (&p);
  sl_find_crest_limits (&p);
  propose_crest_moves (&p);
}

void
sl_propose (const SlInstrument *instrument, const SlFit *fit, const SlReadingSet *set, const GArray *plan,
            const SlShop *shop, SlProposal *out)
{
  sl_propose_worded (instrument, fit, set, plan, shop, SL_LENGTHS_MM, sl_decimal_sign (), out);
}

void
sl_proposal_clear (SlProposal *proposal)
{
  g_clear_pointer (&proposal->steps, g_array_unref);
  g_clear_pointer (&proposal->findings, g_array_unref);
}

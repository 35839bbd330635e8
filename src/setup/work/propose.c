/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The plan proposal (model 6). Steps are worked out in the order they are done, each from the state the ones before
 * leave. Slots and crests depend on each other (a crest that comes down takes some of the first gap with it), so both
 * are found together and the slots are cut only as deep as the finished job wants them. */
#include <glib/gi18n-lib.h>
#include <math.h>

#include "setup/physics/figures.h"
#include "setup/physics/forces.h"
#include "setup/physics/frets.h"
#include "setup/physics/intonation.h"
#include "setup/physics/pitch.h"
#include "setup/profile/kinds.h"
#include "setup/work/work.h"

#define CROWN_TOLERANCE_MM 0.03 /* model 10.1 */
#define LEAST_ROD_TURN_MM 0.005 /* a smaller change can't be read */
#define LEAST_SLOT_MM 0.01      /* less is the file's own scratch: our own choice */
#define LEAST_SCREWING_MM 0.005
#define LEAST_SHAPING_MM 0.02 /* half of it at the 12th fret: our own choice */
#define LEAST_CREST_MOVE_MM 0.05
#define LEAST_SHORTFALL_MM 0.005
#define STEP_MM 0.001 /* amounts are proposed in these steps, rounded so that never more comes off */
#define PITCH_STEP_MM 0.01
#define HEEL_MM 100.0     /* a wedge is told over this length of heel */
#define COUPLING_ROUNDS 8 /* slots and crests feed back by about x_1/x_s each round: 8 rounds are below 1e-9 mm */

typedef struct
{
  const SlInstrument *in;
  const SlFit *fit;
  const SlReadingSet *set;
  const SlShop *shop;
  SlLengths lengths;
  const char *decimal;
  SlState state; /* as the steps so far leave it */
  SlProposal *out;
} Proposal;

static char *
length_text (const Proposal *p, double mm, int places)
{
  return sl_length_format (mm, sl_lengths_for (p->lengths, mm), places, p->decimal, TRUE);
}

static double
round_down (double mm, double step)
{
  return floor (mm / step + 1e-6) * step;
}

/* Rounded to the nearest step, without the binary dust that 0.1 · 3 leaves. */
static double
tidy (double mm)
{
  return round (mm * 1e6) / 1e6;
}

static SlStep *
add_step (Proposal *p, SlOperationKind kind, int string, double amount, double treble, char *reason)
{
  SlStep step = { sl_operation_init (kind), NAN, NAN, FALSE, reason };

  step.operation.string = string;
  step.operation.amount = isnan (amount) ? SL_NUMBER_ABSENT : sl_number (tidy (amount));
  step.operation.amount_treble = isnan (treble) ? SL_NUMBER_ABSENT : sl_number (tidy (treble));
  g_array_append_val (p->out->steps, step);
  sl_operation_apply (p->in, &step.operation, &p->state);
  return &g_array_index (p->out->steps, SlStep, p->out->steps->len - 1);
}

static void
add_finding (Proposal *p, SlFindingKind kind, int string, int fret, double amount, char *message)
{
  SlFinding finding = { kind, string, fret, amount, message };

  g_array_append_val (p->out->findings, finding);
}

static double
gap_at (const Proposal *p, const SlState *state, int string, int fret)
{
  SlStringState s;

  sl_state_string (p->in, state, string, &s);
  return sl_gap (p->in, state, &s, 0, fret);
}

/* ---- readings that disagree ---- */

static void
name_suspects (Proposal *p)
{
  for (guint i = 0; i < p->fit->n_readings; i++)
    {
      const SlReadingFit *rf = &p->fit->readings[i];
      const SlReading *r = &g_array_index (p->set->readings, SlReading, i);

      if (!rf->suspect)
        continue;
      g_autofree char *read = length_text (p, r->value.v, 2), *would = length_text (p, rf->predicted, 2);
      g_autofree char *u = length_text (p, SL_COVERAGE * rf->predicted_u, 2);
      g_autofree char *what =
          r->string > 0
              /* Translators: kind of reading ("action"), string, fret */
              ? g_strdup_printf (_ ("%s of string %d at fret %d"), _ (sl_readings[r->kind].said), r->string, r->fret)
              : g_strdup (_ (sl_readings[r->kind].said));

      add_finding (
          p, SL_FINDING_SUSPECT, r->string, r->fret, r->value.v - rf->predicted,
          g_strdup_printf (_ ("%s reads %s; the other readings expect %s ± %s, so it is excluded. Read it again "
                              "before cutting."),
                           what, read, would, u));
    }
}

/* What a cut did that was not predicted, and what could be behind it. */
static void
name_doubt (Proposal *p)
{
  const SlWorkDoubt *doubt = &p->fit->doubt;

  if (!doubt->found)
    return;
  g_autofree char *moved = length_text (p, doubt->moved, 2), *predicted = length_text (p, doubt->predicted, 2),
                  *u = length_text (p, SL_COVERAGE * doubt->u, 2);
  gboolean less = doubt->moved > doubt->predicted;

  add_finding (
      p, less ? SL_FINDING_WORK_SHORT : SL_FINDING_WORK_FAR, doubt->string, doubt->fret,
      doubt->moved - doubt->predicted,
      g_strdup_printf (less ? _ ("The action of string %d at fret %d moved by %s after the cut; %s ± %s was predicted. "
                                 "The saddle may not be seated, or stand on an uneven slot floor or a shim, or less "
                                 "came off than noted. Look, and read it again before cutting.")
                            : _ ("The action of string %d at fret %d moved by %s after the cut; %s ± %s was predicted. "
                                 "More may have come off than noted, a shim may be missing, or the rod or the air "
                                 "moved the neck. Read it again before cutting."),
                       doubt->string, doubt->fret, moved, predicted, u));
}

/* Readings that stand by themselves, since they don't follow from those before. */
static void
name_apart (Proposal *p)
{
  if (p->fit->apart)
    add_finding (
        p, SL_FINDING_APART, 0, 0, 0,
        g_strdup (
            _ ("These readings agree with each other, but not with those before and the work noted since: they stand "
               "by themselves, and what was not read again is assumed. Note the work that was done, or read again.")));
}

/* Nothing is cut while something is to be read again: says so on the step. */
static void
block_step (const Proposal *p, SlStep *step)
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
shop_step (const Proposal *p, double mm)
{
  return round_down (mm, MAX (STEP_MM, p->shop->cut_step_mm));
}

/* ---- frets ---- */

/* "7", "7 and 9", "7, 8 and 9". */
static char *
replaced_text (const SlLevelling *work)
{
  GString *text = g_string_new (NULL);
  int left = work->n_replaced;

  for (int n = 1; n <= work->n; n++)
    if (work->frets[n].replaced)
      {
        left--;
        /* Translators: the last of several fret numbers, such as "7, 8 and 9" */
        g_string_append_printf (text, text->len == 0 ? "%d" : left == 0 ? _ (" and %d") : ", %d", n);
      }
  return g_string_free (text, FALSE);
}

/* Reports where levelling would take a crown below its least height, and which frets to replace to save the others. */
static void
find_lost_frets (Proposal *p, int lowest)
{
  SlLevelling work, other;
  double left = INFINITY;

  sl_level (p->in, &p->state, p->set, 0, &work);
  if (work.n_lost == 0)
    return;
  for (int n = 1; n <= work.n; n++)
    left = MIN (left, work.frets[n].left);
  sl_level_replacing (p->in, &p->state, p->set, 0, &other);
  g_autofree char *height = length_text (p, left, 2), *least = length_text (p, p->in->crown_least, 2),
                  *frets = replaced_text (&other);

  if (other.n_replaced == other.n)
    add_finding (p, SL_FINDING_FRET_HEIGHT, 0, lowest, p->in->crown_least - left,
                 g_strdup_printf (_ ("Levelling to fret %d can't be met, because it would leave a crown only %s high "
                                     "and %s is the least; new frets throughout would."),
                                  lowest, height, least));
  else
    add_finding (p, SL_FINDING_FRET_HEIGHT, 0, lowest, p->in->crown_least - left,
                 g_strdup_printf (g_dngettext (GETTEXT_PACKAGE,
                                               "Levelling to fret %d can't be met, because it would leave a crown only "
                                               "%s high and %s is the least; replacing fret %s would.",
                                               "Levelling to fret %d can't be met, because it would leave a crown only "
                                               "%s high and %s is the least; replacing frets %s would.",
                                               (gulong) other.n_replaced),
                                  lowest, height, least, frets));
}

static void
propose_levelling (Proposal *p)
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

  g_autofree char *off = length_text (p, highest - lowest, 2);

  find_lost_frets (p, at);
  add_step (p, SL_OP_LEVEL_FRETS, 0, NAN, NAN,
            g_strdup_printf (_ ("crowns are off by up to %s; fret %d is the lowest"), off, at));
}

/* ---- rod ---- */

static void
propose_rod (Proposal *p)
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
  change = held_back ? -round_down (-change, STEP_MM) : round (change / STEP_MM) * STEP_MM;
  if (held_back)
    {
      double off = before + change - p->in->target_relief;
      g_autofree char *mean = length_text (p, before + change, 2), *target = length_text (p, p->in->target_relief, 2);

      if (off > LEAST_SHORTFALL_MM)
        add_finding (p, SL_FINDING_RELIEF, 0, 0, off,
                     g_strdup_printf (_ ("Mean relief of %s can't be met, because one side would bow backward: it "
                                         "stays at %s. Work on the twist (levelling the board, heat) would."),
                                      target, mean));
    }
  if (fabs (change) < LEAST_ROD_TURN_MM)
    return;

  g_autofree char *earlier = length_text (p, before, 2), *present = length_text (p, before + change, 2);
  SlState turned = p->state;
  SlOperation turn = sl_operation_init (SL_OP_TURN_ROD);
  int bass = p->in->n_strings;

  turn.amount = sl_number (change);
  sl_operation_apply (p->in, &turn, &turned);
  g_autofree char *action =
      length_text (p, gap_at (p, &turned, bass, SL_OCTAVE_FRET) - gap_at (p, &p->state, bass, SL_OCTAVE_FRET), 2);

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

/* How far string @string's crest may come down for the saddle to keep its least exposure. One nobody read holds nothing
 * back: its reading is asked for. */
static double
crest_room (const Proposal *p, int string)
{
  return p->state.exposure_read ? p->state.exposure[string - 1] - p->in->least_exposure : INFINITY;
}

/* How far down the slot goes for the first gap to meet its target with the crest where @state has it. */
static double
slot_cut (const Proposal *p, const SlState *state, int string)
{
  SlStringState s;
  double g[SL_N_P];

  sl_state_string (p->in, state, string, &s);
  sl_gap_gradient (p->in, &s, 0, 1, g);
  return (sl_gap (p->in, state, &s, 0, 1) - p->in->target_first_gap[string - 1]) / g[SL_P_NUT];
}

static void
find_target (const Proposal *p, Target *t)
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
        t->slot[s - 1] = MAX (0, slot_cut (p, &state, s));
      state = p->state;
      for (int s = 1; s <= n; s++)
        {
          state.u[SL_NUT_HEIGHT + s - 1] -= t->slot[s - 1];
          t->need[s - 1] = sl_need (p->in, &state, s, NULL);
          room[s - 1] = MIN (t->need[s - 1], crest_room (p, s));
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
propose_slots (Proposal *p, const Target *t)
{
  for (int s = 1; s <= p->in->n_strings; s++)
    {
      double by = round_down (t->slot[s - 1], STEP_MM);
      double first = gap_at (p, &p->state, s, 1);
      g_autofree char *earlier = length_text (p, first, 2),
                      *target = length_text (p, p->in->target_first_gap[s - 1], 2);

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

/* Slots that end below their target: only more material helps. */
static void
find_low_slots (Proposal *p)
{
  for (int s = 1; s <= p->in->n_strings; s++)
    {
      double wanted = -slot_cut (p, &p->state, s);

      if (wanted <= LEAST_SHORTFALL_MM || p->fit->first_gap_assumed[s - 1])
        continue;
      double first = gap_at (p, &p->state, s, 1);
      g_autofree char *present = length_text (p, first, 2),
                      *target = length_text (p, p->in->target_first_gap[s - 1], 2);
      g_autofree char *up = length_text (p, wanted, 2);
      gboolean within = first >= p->in->target_first_gap[s - 1] - p->in->first_gap_tolerance;

      add_finding (
          p, SL_FINDING_SLOT_LOW, s, 1, wanted,
          g_strdup_printf (
              within ? _ ("Height of string %d at fret 1 ends at %s, target %s: still in range, but a slot can't be "
                          "cut upward; filling and recutting it %s higher, or a new nut, would meet it.")
                     : _ ("Height of string %d at fret 1 can't be met, because its slot is already too low (it ends at "
                          "%s, target %s); filling and recutting it %s higher, a shimmed or a new nut would."),
              s, present, target, up));
    }
}

static void
propose_base_cut (Proposal *p, const Target *t)
{
  const double upright = cos (p->in->saddle_lean_rad);
  double bass = shop_step (p, t->bass / upright), treble = shop_step (p, t->treble / upright);
  double bass_u, treble_u;
  const int n = p->in->n_strings;

  if (bass < LEAST_SLOT_MM && treble < LEAST_SLOT_MM)
    return;
  sl_need (p->in, &p->state, n, &bass_u);
  sl_need (p->in, &p->state, 1, &treble_u);
  g_autofree char *earlier = length_text (p, gap_at (p, &p->state, n, SL_OCTAVE_FRET), 2),
                  *target = length_text (p, p->in->target_action[n - 1], 2);
  g_autofree char *was_1 = length_text (p, gap_at (p, &p->state, 1, SL_OCTAVE_FRET), 2),
                  *target_1 = length_text (p, p->in->target_action[0], 2);
  SlStep *step =
      add_step (p, SL_OP_CUT_SADDLE_BASE, 0, bass, treble,
                g_strdup_printf (_ ("action at 12 of string %d from %s toward %s, of string 1 from %s toward %s"), n,
                                 earlier, target, was_1, target_1));

  step->first_pass = sl_first_pass (bass, bass_u);
  step->first_pass_treble = sl_first_pass (treble, treble_u);
  block_step (p, step);
}

static void
propose_shaping (Proposal *p)
{
  const gboolean screws = !isnan (p->in->height_screw_pitch);

  for (int s = 1; s <= p->in->n_strings; s++)
    {
      double left = sl_need (p->in, &p->state, s, NULL);
      double u, by;

      /* down only as far as the saddle's least exposure allows; screws also go up */
      const gboolean held_back = left > crest_room (p, s) && left > 0;

      if (held_back)
        left = MAX (0, crest_room (p, s));
      if (screws ? fabs (left) < LEAST_SCREWING_MM : left < LEAST_SHAPING_MM)
        continue;
      sl_need (p->in, &p->state, s, &u);
      by = !screws ? shop_step (p, left) : held_back ? round_down (left, STEP_MM) : round (left / STEP_MM) * STEP_MM;
      if (by == 0)
        continue;
      g_autofree char *earlier = length_text (p, gap_at (p, &p->state, s, SL_OCTAVE_FRET), 2),
                      *target = length_text (p, p->in->target_action[s - 1], 2);
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

/* Whether the saddle comes down without anybody having read how much of it there is. On height screws that matters
 * where a least exposure is given. */
static gboolean
lowers_unread (const Proposal *p)
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
find_crest_limits (Proposal *p)
{
  int worst = 0;
  double most = LEAST_SHORTFALL_MM;

  for (int s = 1; s <= p->in->n_strings; s++)
    {
      double left = sl_need (p->in, &p->state, s, NULL);
      double action = gap_at (p, &p->state, s, SL_OCTAVE_FRET);

      if (left > most && crest_room (p, s) < left)
        {
          most = left;
          worst = s;
        }
      if (left >= -LEAST_SHORTFALL_MM || p->fit->action_assumed[s - 1] || !isnan (p->in->height_screw_pitch))
        continue;
      g_autofree char *present = length_text (p, action, 2), *target = length_text (p, p->in->target_action[s - 1], 2);
      g_autofree char *up = length_text (p, -left, 2);
      gboolean within = action >= p->in->target_action[s - 1] - p->in->action_tolerance;

      add_finding (
          p, SL_FINDING_CREST_LOW, s, SL_OCTAVE_FRET, -left,
          g_strdup_printf (
              within ? _ ("Action of string %d ends at %s, target %s: still in range, but a saddle can't be cut "
                          "upward; a shim of %s under it, or a saddle that much higher, would meet it.")
                     : _ ("Action of string %d can't be met, because the saddle is already too low there (it ends at "
                          "%s, target %s); a shim of %s under the saddle, or a saddle that much higher, would."),
              s, present, target, up));
    }
  if (lowers_unread (p))
    add_finding (p, SL_FINDING_EXPOSURE, 0, 0, NAN,
                 g_strdup (_ ("The saddle's exposure was not read, only assumed: how much saddle this work would leave "
                              "is not known yet. Read it at the outer strings before anything comes off.")));
  if (worst == 0)
    return;

  /* the crest wanted lower by `most` over a lever from the joint to the crest: the neck's angle that would do it */
  const double lever = p->in->scale + p->state.setback[worst - 1] - p->in->x[p->in->joint];
  const double tilt = most / lever;
  g_autofree char *present = length_text (p, gap_at (p, &p->state, worst, SL_OCTAVE_FRET), 2),
                  *target = length_text (p, p->in->target_action[worst - 1], 2);
  g_autofree char *least = length_text (p, p->in->least_exposure, 2), *lower = length_text (p, most, 2);
  g_autofree char *degrees = sl_plain_format (tilt * 180 / G_PI, 2, p->decimal),
                  *wedge = length_text (p, sl_heel_wedge (p->in, &p->state, worst, most, HEEL_MM), 2);

  add_finding (p, SL_FINDING_EXPOSURE, worst, SL_OCTAVE_FRET, most,
               g_strdup_printf (!isnan (p->in->height_screw_pitch)
                                    ? _ ("Action of string %d can't be met, because its screws would take the saddle "
                                         "below its least exposure of %s: it ends at %s, target %s. A neck angle %s° "
                                         "steeper would (a wedge or shim at the heel growing %s over each 100 mm), "
                                         "or a bridge top %s lower.")
                                    : _ ("Action of string %d can't be met, because the cut would leave less saddle "
                                         "than its least exposure of %s: it ends at %s, target %s. A neck angle %s° "
                                         "steeper would (a wedge or shim at the heel growing %s over each 100 mm), "
                                         "or a bridge top %s lower."),
                                worst, least, present, target, degrees, wedge, lower));
}

/* ---- pitch ---- */

static void
propose_crest_moves (Proposal *p)
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
  g_autofree char *spread = length_text (p, apart, 2), *thick = length_text (p, p->in->saddle_thickness, 2);

  add_finding (p, SL_FINDING_CREST_MOVE, 0, 0, apart - p->in->saddle_thickness,
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
  Proposal p = { instrument, fit, set, shop, lengths, decimal, fit->state, out };
  Target target;

  out->steps = g_array_new (FALSE, TRUE, sizeof (SlStep));
  out->findings = g_array_new (FALSE, TRUE, sizeof (SlFinding));
  g_array_set_clear_func (out->steps, clear_step);
  g_array_set_clear_func (out->findings, clear_finding);
  sl_plan_apply_done (instrument, plan, set != NULL ? set->taken : NULL, &p.state);
  name_suspects (&p);
  name_apart (&p);
  name_doubt (&p);
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

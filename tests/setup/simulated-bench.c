/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "simulated-bench.h"

#include <string.h>

#include "setup/profile/shop.h"
#include "setup/work/propose.h"

#define MOST_ROUNDS 20
#define MOST_CARE_ROUNDS 4
#define MOST_TURNS 4
#define STANDS_OUT_MM 0.3 /* a reading so far from those beside it is taken once more */
#define OUTSIDE_RH 5      /* of the band instruments are kept in */
#define DEAD_SHARE 0.33   /* a rod that gives less of what was meant does nothing */
#define DEAD_TURNS 2      /* in so many turns */
#define AT_THE_CREST 2    /* mm for one at fret 12 */

/* ---- the rod, in anybody's hands ---- */

typedef struct
{
  int turns, vain; /* in all, and those in a row that did nothing */
} Rod;

/* Turns it and reads everything again. A rod that does nothing is noticed, and so is one that can't do better: then
 * relief is taken as it is. */
static void
turn_rod (SimBench *b, Rod *rod, SlOperation turn)
{
  const double before = sim_last_relief (b);

  sim_work (b, turn);
  sim_read (b, SIM_READ_ALL);
  rod->turns++;
  rod->vain = fabs (sim_last_relief (b) - before) < DEAD_SHARE * fabs (turn.amount.v) ? rod->vain + 1 : 0;
  if (rod->vain >= DEAD_TURNS || rod->turns >= MOST_TURNS)
    sim_accept_relief (b);
}

/* ---- the program's way ---- */

/* Reads again what disagrees; what reads the same once more is kept. */
static void
read_doubted (SimBench *b, const SlFit *fit)
{
  SlReadingSet *set = sl_visit_last_set (sl_profile_last_visit (b->profile));

  for (guint i = 0; i < set->readings->len; i++)
    {
      SlReading *r = &g_array_index (set->readings, SlReading, i);
      const gboolean doubted = fit->doubt.found && !fit->doubt.confirmed && r->kind == SL_READ_ACTION;

      if (r->kind <= SL_READ_ACTION && (fit->readings[i].suspect || doubted))
        sim_read_again (b, r);
    }
}

/* Analyses the last set, reading again what disagrees until nothing does. */
static void
analyse (SimBench *b, SlAnalysis *analysis)
{
  for (int again = 0;; again++)
    {
      sl_analyse_last (b->profile, &SL_SHOP_DEFAULT, analysis);
      if (sl_cutting_block (&analysis->fit) == SL_BLOCK_NONE || again >= SIM_STRINGS)
        return;
      read_doubted (b, &analysis->fit);
      sl_analysis_clear (analysis);
    }
}

static gboolean
is_found (const SlProposal *proposal, SlFindingKind kind)
{
  for (guint i = 0; i < proposal->findings->len; i++)
    if (g_array_index (proposal->findings, SlFinding, i).kind == kind)
      return TRUE;
  return FALSE;
}

/* Does the steps in their order, of each cut its first pass, up to the first turn of the rod. FALSE where there is
 * nothing to do. */
static gboolean
do_steps (SimBench *b, Rod *rod, const SlProposal *proposal)
{
  gboolean cut = FALSE, saddle = FALSE;

  for (guint i = 0; i < proposal->steps->len; i++)
    {
      const SlStep *step = &g_array_index (proposal->steps, SlStep, i);
      SlOperation op = step->operation;

      if (op.kind == SL_OP_TURN_ROD)
        {
          if (cut)
            break;
          turn_rod (b, rod, op);
          return TRUE;
        }
      if (!(step->pass.pass > 0 || step->pass.pass_treble > 0))
        continue;
      op.amount = sl_number (step->pass.pass);
      op.amount_treble = sl_number (step->pass.pass_treble);
      sim_work (b, op);
      cut = TRUE;
      saddle = saddle || op.kind != SL_OP_LOWER_SLOT;
    }
  b->out->strings_off += saddle;
  if (cut)
    sim_read (b, SIM_READ_GAPS | SIM_READ_ACTIONS);
  return cut;
}

void
sim_by_plan (guint32 seed, SimResult *out)
{
  g_auto (SimBench) b = { 0 };
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  gboolean more = TRUE;
  Rod rod = { 0 };

  sim_bench_init (&b, seed, out);
  sim_read (&b, SIM_READ_ALL);
  for (int rounds = 0; more; rounds++)
    {
      SlProposal proposal;

      out->unfinished = rounds == MOST_ROUNDS;
      analyse (&b, analysis);
      sl_propose (analysis, &proposal);
      out->saddle_left = is_found (&proposal, SL_FINDING_NECK_ANGLE);
      if (out->unfinished)
        more = FALSE;
      else if (analysis->air.state != SL_AIR_SETTLED)
        {
          sim_settle (&b);
          sim_read (&b, SIM_READ_ALL);
        }
      else if (sl_rod_is_awaited (analysis, &analysis->measured)) /* nobody here sees to it */
        sim_accept_relief (&b);
      else
        more = do_steps (&b, &rod, &proposal);
      sl_proposal_clear (&proposal);
      sl_analysis_clear (analysis);
    }
  sim_finish (&b);
}

/* ---- the careful way ---- */

/* What the last readings say of a string, less its target. */
static double
off_target (const SimBench *b, SlReadingKind kind, int string)
{
  return sim_last (b, kind, string) -
         (kind == SL_READ_ACTION ? b->in.target_action[string - 1] : b->in.target_first_gap[string - 1]);
}

/* How far a reading stands from the mean of the others of its kind in the set, targets taken off. */
static double
stands_out (const SimBench *b, const SlReading *r)
{
  double others = 0;

  if (r->kind == SL_READ_RELIEF)
    return sim_last (b, r->kind, 1) - sim_last (b, r->kind, SIM_STRINGS);
  for (int s = 1; s <= SIM_STRINGS; s++)
    others += s == r->string ? 0 : off_target (b, r->kind, s) / (SIM_STRINGS - 1);
  return off_target (b, r->kind, r->string) - others;
}

/* Reads, and once more what looks odd beside the rest. */
static void
read_with_care (SimBench *b, SlReadingSet *set)
{
  for (guint i = 0; i < set->readings->len; i++)
    {
      SlReading *r = &g_array_index (set->readings, SlReading, i);
      const gboolean compared = r->kind == SL_READ_RELIEF || r->kind == SL_READ_FIRST_GAP || r->kind == SL_READ_ACTION;

      if (compared && fabs (stands_out (b, r)) > STANDS_OUT_MM)
        sim_read_again (b, r);
    }
}

static gboolean
is_outside (const SimBench *b)
{
  const SlReadingSet *set = sl_visit_last_set (sl_profile_last_visit (b->profile));
  const SlShop shop = SL_SHOP_DEFAULT;

  return set->humidity.v < shop.keep_least - OUTSIDE_RH || set->humidity.v > shop.keep_most + OUTSIDE_RH;
}

static void
set_rod_with_care (SimBench *b)
{
  Rod rod = { 0 };

  while (fabs (sim_last_relief (b) - b->in.target_relief) > b->in.relief_tolerance)
    {
      SlOperation turn = sl_operation_init (SL_OP_TURN_ROD);

      turn.amount = sl_number (b->in.target_relief - sim_last_relief (b));
      turn_rod (b, &rod, turn);
      read_with_care (b, sl_visit_last_set (sl_profile_last_visit (b->profile)));
    }
}

/* Slots that are out of range, to their targets. */
static gboolean
cut_slots (SimBench *b)
{
  gboolean cut = FALSE;

  for (int s = 1; s <= SIM_STRINGS; s++)
    if (off_target (b, SL_READ_FIRST_GAP, s) > b->in.first_gap_tolerance)
      {
        SlOperation slot = sl_operation_init (SL_OP_LOWER_SLOT);

        slot.string = s;
        slot.amount = sl_number (off_target (b, SL_READ_FIRST_GAP, s));
        sim_work (b, slot);
        cut = TRUE;
      }
  return cut;
}

/* What was meant to come off below a string's crest so far. */
static double
noted_off (const SimBench *b, int string)
{
  const GArray *plan = sl_profile_last_visit (b->profile)->plan;
  double off = 0;

  for (guint i = 0; i < plan->len; i++)
    {
      const SlOperation *op = &g_array_index (plan, SlOperation, i);

      if (op->kind == SL_OP_CUT_SADDLE_BASE)
        off += sl_between_strings (op->amount_treble.v, op->amount.v, string, SIM_STRINGS);
      else if (op->kind == SL_OP_SHAPE_CREST && op->string == string)
        off += op->amount.v;
    }
  return off;
}

/* How far a string's crest may still come down. */
static double
room (const SimBench *b, int string)
{
  return MAX (0, sim_last (b, SL_READ_EXPOSURE, string) - noted_off (b, string) - b->in.least_exposure);
}

/* Whether the saddle can't give what a string wants of it: then the neck's angle is wrong, and the saddle stays. */
static gboolean
is_short (const SimBench *b)
{
  for (int s = 1; s <= SIM_STRINGS; s++)
    if (AT_THE_CREST * off_target (b, SL_READ_ACTION, s) - room (b, s) > AT_THE_CREST * b->in.action_tolerance)
      return TRUE;
  return FALSE;
}

/* Twice what is left, off the underside for the outer strings, no string taken below its target; then off the top what
 * a string has more. */
static gboolean
cut_saddle (SimBench *b)
{
  SlOperation base = sl_operation_init (SL_OP_CUT_SADDLE_BASE);
  double off[SIM_STRINGS], wanted[SIM_STRINGS], treble, bass;
  gboolean cut = FALSE;

  for (int s = 1; s <= SIM_STRINGS; s++)
    {
      off[s - 1] = off_target (b, SL_READ_ACTION, s);
      wanted[s - 1] = MIN (AT_THE_CREST * off[s - 1], room (b, s));
    }
  for (int end = 0; end < SIM_STRINGS; end += SIM_STRINGS - 1)
    if (off[end] <= b->in.action_tolerance)
      wanted[end] = MIN (wanted[end], 0);
  sl_cut_line (wanted, SIM_STRINGS, &treble, &bass);
  base.amount = sl_number (bass);
  base.amount_treble = sl_number (treble);
  if (bass > 0 || treble > 0)
    {
      sim_work (b, base);
      cut = TRUE;
    }
  for (int s = 1; s <= SIM_STRINGS; s++)
    {
      SlOperation shape = sl_operation_init (SL_OP_SHAPE_CREST);
      const double by = sl_between_strings (treble, bass, s, SIM_STRINGS);

      shape.string = s;
      shape.amount = sl_number (wanted[s - 1] - by);
      if (off[s - 1] - by / AT_THE_CREST <= b->in.action_tolerance || shape.amount.v <= 0)
        continue;
      sim_work (b, shape);
      cut = TRUE;
    }
  b->out->strings_off += cut;
  return cut;
}

static gboolean
do_slots (SimBench *b)
{
  const gboolean cut = cut_slots (b);

  if (cut)
    read_with_care (b, sim_read (b, SIM_READ_GAPS | SIM_READ_ACTIONS));
  return cut;
}

static gboolean
do_saddle (SimBench *b)
{
  b->out->saddle_left = is_short (b);
  if (b->out->saddle_left || !cut_saddle (b))
    return FALSE;
  read_with_care (b, sim_read (b, SIM_READ_GAPS | SIM_READ_ACTIONS));
  return TRUE;
}

static void
work_with_care (guint32 seed, gboolean nut_last, SimResult *out)
{
  g_auto (SimBench) b = { 0 };
  gboolean cut = TRUE;

  sim_bench_init (&b, seed, out);
  read_with_care (&b, sim_read (&b, SIM_READ_ALL));
  if (is_outside (&b))
    {
      sim_settle (&b);
      read_with_care (&b, sim_read (&b, SIM_READ_ALL));
    }
  set_rod_with_care (&b);
  for (int rounds = 0; cut && rounds < MOST_CARE_ROUNDS; rounds++)
    {
      cut = nut_last ? do_saddle (&b) : do_slots (&b);
      cut = (nut_last ? do_slots (&b) : do_saddle (&b)) || cut;
    }
  sim_finish (&b);
}

void
sim_by_care (guint32 seed, SimResult *out)
{
  work_with_care (seed, FALSE, out);
}

void
sim_by_care_nut_last (guint32 seed, SimResult *out)
{
  work_with_care (seed, TRUE, out);
}

/* ---- the rule's way ---- */

void
sim_by_rule (guint32 seed, SimResult *out)
{
  g_auto (SimBench) b = { 0 };
  SlOperation cut = sl_operation_init (SL_OP_CUT_SADDLE_BASE), turn = sl_operation_init (SL_OP_TURN_ROD);

  sim_bench_init (&b, seed, out);
  sim_read (&b, SIM_READ_ALL);
  cut_slots (&b);
  cut.amount =
      sl_number (CLAMP (AT_THE_CREST * off_target (&b, SL_READ_ACTION, SIM_STRINGS), 0, room (&b, SIM_STRINGS)));
  cut.amount_treble = sl_number (CLAMP (AT_THE_CREST * off_target (&b, SL_READ_ACTION, 1), 0, room (&b, 1)));
  sim_work (&b, cut);
  out->strings_off = 1;
  turn.amount = sl_number (b.in.target_relief - sim_last_relief (&b));
  sim_work (&b, turn);
  sim_finish (&b);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "simulated-bench.h"

#include <string.h>

#include "setup/profile/shop.h"
#include "support.h"

#define STRINGS 6
#define MIDDLE_FRET 7
#define ACTION_FRET 12
#define MOST_ROUNDS 40
#define LEAST_TURN_MM 0.02 /* a smaller turn of the rod is not worth slackening the strings for: common practice */
#define SLIP_MM 0.6        /* a misread scale */
#define SLIP_SHARE 0.005   /* of all readings: invented */

/* How uneven the neck bends: share of the relief by which the bow leans toward one end, and how far a turn's effect at
 * the crest is off, standard deviations. The second is the model's own doubt of a turn; the first is invented, several
 * times what a taper of a tenth makes. */
#define LEAN_U 0.10
#define ROD_U 0.20

/* What a fitter's tools are like (invented): display step and error limit, mm. */
static const struct
{
  SlToolKind measures;
  double resolution, error_limit;
} tools[] = {
  { SL_TOOL_RELIEF, 0.02, 0.01 },
  { SL_TOOL_TONGUE, 0.05, 0.02 },
  { SL_TOOL_FIRST_GAP, 0.05, 0.02 },
  { SL_TOOL_ACTION, 0.05, 0.05 },
};

typedef struct
{
  GRand *rand;
  SlProfile *profile;
  SlInstrument in, real; /* as told, and with the rod as it is */
  SlState truth;         /* crown deviations hold what the bow's lean makes of the relief */
  double lean;
  double bias[SL_N_TOOLS]; /* each tool's own error, the same in every reading of it */
  int minutes;             /* since the visit began */
  SimResult *out;
} Bench;

/* ---- the true instrument ---- */

/* A bow that leans: beside R φ there is lean · R φ (1 − 2t), 0 at both ends. It is kept as crown deviations, which
 * nobody reads. */
static void
lean_bow (Bench *b)
{
  const double x1 = b->in.x[1], length = b->in.x[b->in.joint] - x1;

  for (int n = 1; n <= b->in.joint; n++)
    {
      double t = (b->in.x[n] - x1) / length;

      b->truth.crown[n] = -b->lean * sl_state_mean_relief (&b->truth) * 4 * t * (1 - t) * (1 - 2 * t);
    }
}

static void
gaps_of (Bench *b, int string, double first, double action)
{
  const double x_s = b->in.scale + b->truth.setback[string - 1], x1 = b->in.x[1], x12 = b->in.x[ACTION_FRET];
  double z1 = first + test_ruler_crown (&b->in, &b->truth, string, 1),
         z12 = action + test_ruler_crown (&b->in, &b->truth, string, ACTION_FRET);
  double slope = (z12 - z1) / (x12 - x1);

  test_set_string (&b->truth, string, z1 - slope * x1, z1 + slope * (x_s - x1));
}

/* Comes in too high everywhere, as what is brought to be lowered does: relief 0.15–0.45, first gaps 0.05–0.35 and
 * actions 0.3–1.4 mm above target. */
static void
draw_instrument (Bench *b)
{
  GRand *r = b->rand;
  double action = test_between (r, 0.4, 1.3), relief = test_between (r, 0.17, 0.43);

  b->profile = test_profile (r, STRINGS, 20, 14);
  sl_instrument_from_profile (b->profile, &b->in);
  b->real = b->in;
  b->real.neck.crest = CLAMP (1 + ROD_U * test_normal (r), 0.4, 1.6);
  b->lean = LEAN_U * test_normal (r);
  test_straight_state (&b->in, &b->truth);
  b->truth.u[SL_RELIEF_TREBLE] = relief + test_between (r, -0.02, 0.02);
  b->truth.u[SL_RELIEF_BASS] = relief + test_between (r, -0.02, 0.02);
  b->truth.u[SL_FALL_AWAY] = test_between (r, -0.05, 0.2);
  lean_bow (b);
  for (int s = 1; s <= STRINGS; s++)
    {
      b->truth.setback[s - 1] = 2; /* as the profile's readings say */
      gaps_of (b, s, b->in.target_first_gap[s - 1] + test_between (r, 0.05, 0.35),
               b->in.target_action[s - 1] + action + test_between (r, -0.1, 0.1));
    }
  for (gsize i = 0; i < G_N_ELEMENTS (tools); i++)
    b->bias[tools[i].measures] = tools[i].error_limit * test_between (r, -1, 1);
}

static void
bench_init (Bench *b, guint32 seed, SimResult *out)
{
  SlVisit visit = sl_visit_init ();

  memset (out, 0, sizeof *out);
  *b = (Bench){ .rand = g_rand_new_with_seed (seed), .out = out };
  draw_instrument (b);
  visit.id = g_strdup ("v1");
  visit.opened = g_strdup ("2026-03-02");
  g_array_append_val (b->profile->visits, visit);
  out->n_strings = STRINGS;
}

static void
bench_clear (Bench *b)
{
  sl_profile_free (b->profile);
  g_rand_free (b->rand);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Bench, bench_clear)

static SlVisit *
visit_of (Bench *b)
{
  return sl_profile_last_visit (b->profile);
}

/* ---- reading ---- */

static char *
time_text (Bench *b)
{
  b->minutes++;
  return g_strdup_printf ("2026-03-%02dT%02d:%02d:00Z", 2 + b->minutes / 1440, b->minutes / 60 % 24, b->minutes % 60);
}

static double
look (Bench *b, SlToolKind tool, SlReadingKind kind, int string, int fret)
{
  double value = test_ruler (&b->in, &b->truth, kind, string, fret, SL_HELD_OPEN) + b->bias[tool];

  for (gsize i = 0; i < G_N_ELEMENTS (tools); i++)
    if (tools[i].measures == tool)
      value = round (value / tools[i].resolution) * tools[i].resolution;
  return value;
}

static void
read_one (Bench *b, SlReadingSet *set, SlToolKind tool, SlReadingKind kind, int string, int fret)
{
  double value = look (b, tool, kind, string, fret);

  if (g_rand_double (b->rand) < SLIP_SHARE)
    value += g_rand_boolean (b->rand) ? SLIP_MM : -SLIP_MM;
  test_add (set, kind, string, fret, kind == SL_READ_RELIEF || kind == SL_READ_TONGUE ? SL_HELD_DEFAULT : SL_HELD_OPEN,
            MAX (value, 0));
}

enum
{
  READ_NECK = 1,
  READ_GAPS = 2,
  READ_ACTIONS = 4,
  READ_ALL = 7
};

static SlReadingSet *
read_set (Bench *b, int what)
{
  SlReadingSet set = sl_reading_set_init ();
  SlVisit *visit = visit_of (b);

  set.taken = time_text (b);
  set.stage = visit->sets->len == 0 ? SL_STAGE_RECEIVED : SL_STAGE_DURING;
  for (gsize i = 0; i < G_N_ELEMENTS (tools); i++)
    test_add_tool (&set, tools[i].measures, tools[i].resolution, tools[i].error_limit);
  if (what & READ_NECK)
    {
      read_one (b, &set, SL_TOOL_RELIEF, SL_READ_RELIEF, 1, MIDDLE_FRET);
      read_one (b, &set, SL_TOOL_RELIEF, SL_READ_RELIEF, STRINGS, MIDDLE_FRET);
      read_one (b, &set, SL_TOOL_TONGUE, SL_READ_TONGUE, 0, 0);
    }
  for (int s = 1; s <= STRINGS; s++)
    {
      if (what & READ_GAPS)
        read_one (b, &set, SL_TOOL_FIRST_GAP, SL_READ_FIRST_GAP, s, 1);
      if (what & READ_ACTIONS)
        read_one (b, &set, SL_TOOL_ACTION, SL_READ_ACTION, s, ACTION_FRET);
      if (visit->sets->len == 0)
        test_read (&b->in, &b->truth, &set, SL_READ_SETBACK, s, 0, SL_HELD_DEFAULT);
    }
  g_array_append_val (visit->sets, set);
  b->out->sets++;
  return sl_visit_last_set (visit);
}

static SlToolKind
tool_of (SlReadingKind kind)
{
  return kind == SL_READ_RELIEF      ? SL_TOOL_RELIEF
         : kind == SL_READ_TONGUE    ? SL_TOOL_TONGUE
         : kind == SL_READ_FIRST_GAP ? SL_TOOL_FIRST_GAP
                                     : SL_TOOL_ACTION;
}

/* Reads again what disagrees; what reads the same once more is kept. */
static void
read_again (Bench *b, SlReadingSet *set, const SlFit *fit)
{
  for (guint i = 0; i < set->readings->len; i++)
    {
      SlReading *r = &g_array_index (set->readings, SlReading, i);
      gboolean doubted = fit->doubt.found && !fit->doubt.confirmed && r->kind == SL_READ_ACTION;

      if (r->kind > SL_READ_ACTION || !(fit->readings[i].suspect || doubted))
        continue;
      r->value = sl_number (MAX (0, look (b, tool_of (r->kind), r->kind, r->string, r->fret)));
      r->use = SL_USE_ALWAYS;
      b->out->read_again++;
    }
}

/* ---- hands ---- */

/* What was meant is what is noted; what happens to the instrument is off by what hands and rod are uncertain by. */
static void
work (Bench *b, SlOperation op)
{
  const SlWorkUncertainty w = SL_WORK_UNCERTAINTY_DEFAULT;
  SlOperation done = op;

  op.done = time_text (b);
  g_array_append_val (visit_of (b)->plan, op);
  if (op.kind == SL_OP_TURN_ROD)
    done.amount.v *= 1 + w.rod_share * test_normal (b->rand);
  else
    {
      double u = op.kind == SL_OP_LOWER_SLOT ? w.slot_mm : op.kind == SL_OP_SHAPE_CREST ? w.shape_mm : w.base_mm;

      /* a file takes nothing where nothing is meant to come off, and never puts anything back */
      done.amount.v = op.amount.v > 0 ? MAX (0, op.amount.v + u * test_normal (b->rand)) : 0;
      done.amount_treble.v = op.amount_treble.v > 0 ? MAX (0, op.amount_treble.v + u * test_normal (b->rand)) : 0;
    }
  sl_operation_apply (&b->real, &done, &b->truth);
  lean_bow (b);
  for (int s = 1; s <= STRINGS; s++)
    {
      SimString *string = &b->out->strings[s - 1];

      string->cut = string->cut || op.kind == SL_OP_CUT_SADDLE_BASE || (op.kind == SL_OP_SHAPE_CREST && op.string == s);
      string->slot_cut = string->slot_cut || (op.kind == SL_OP_LOWER_SLOT && op.string == s);
    }
}

static void
finish (Bench *b, const SlAnalysis *analysis)
{
  for (int s = 1; s <= STRINGS; s++)
    {
      SimString *string = &b->out->strings[s - 1];

      string->off = test_ruler_gap (&b->in, &b->truth, s, 0, ACTION_FRET) - b->in.target_action[s - 1];
      string->gap_off = test_ruler_gap (&b->in, &b->truth, s, 0, 1) - b->in.target_first_gap[s - 1];
      string->u = analysis->measured_figures.action[s - 1][ACTION_FRET].u;
      string->gap_u = analysis->measured_figures.first_gap[s - 1].u;
    }
}

/* ---- the program's way ---- */

/* Does what the plan has first, of a cut the first pass only. Returns what that changes and has to be read again, 0
 * where nothing safe is left. */
static int
do_next (Bench *b, const SlProposal *proposal)
{
  int read = 0;

  for (guint i = 0; i < proposal->steps->len; i++)
    {
      const SlStep *step = &g_array_index (proposal->steps, SlStep, i);
      SlOperation op = step->operation;

      if (op.kind == SL_OP_TURN_ROD && fabs (op.amount.v) >= LEAST_TURN_MM)
        {
          work (b, op);
          return READ_ALL;
        }
      if (op.kind == SL_OP_LOWER_SLOT && step->pass.gate == SL_GATE_NONE && step->pass.pass != 0)
        {
          work (b, op);
          read |= READ_GAPS | READ_ACTIONS;
        }
      if (op.kind != SL_OP_CUT_SADDLE_BASE && op.kind != SL_OP_SHAPE_CREST)
        continue;
      if (read != 0) /* slots first, then read */
        break;
      if (!(step->pass.pass > 0 || step->pass.pass_treble > 0))
        continue;
      op.amount = sl_number (step->pass.pass);
      op.amount_treble = sl_number (step->pass.pass_treble);
      work (b, op);
      b->out->passes += op.kind == SL_OP_CUT_SADDLE_BASE;
      if (op.kind == SL_OP_CUT_SADDLE_BASE)
        return READ_ACTIONS;
      read = READ_ACTIONS;
    }
  return read;
}

/* Analyses the last set, reading again what disagrees until nothing does. */
static void
analyse (Bench *b, SlAnalysis *analysis)
{
  for (int again = 0;; again++)
    {
      sl_analyse_last (b->profile, &SL_SHOP_DEFAULT, analysis);
      if (sl_cutting_block (&analysis->fit) == SL_BLOCK_NONE || again >= STRINGS)
        return;
      read_again (b, sl_visit_last_set (visit_of (b)), &analysis->fit);
      sl_analysis_clear (analysis);
    }
}

void
sim_by_plan (guint32 seed, SimResult *out)
{
  g_auto (Bench) b = { 0 };
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  int read = READ_ALL, rounds = 0;

  bench_init (&b, seed, out);
  for (;;)
    {
      SlProposal proposal = { 0 };

      read_set (&b, read);
      analyse (&b, analysis);
      sl_propose (analysis, &proposal);
      read = ++rounds < MOST_ROUNDS ? do_next (&b, &proposal) : 0;
      sl_proposal_clear (&proposal);
      if (read == 0)
        break;
      sl_analysis_clear (analysis);
    }
  out->unfinished = rounds >= MOST_ROUNDS;
  finish (&b, analysis);
  sl_analysis_clear (analysis);
}

/* ---- the rule's way ---- */

void
sim_by_rule (guint32 seed, SimResult *out)
{
  g_auto (Bench) b = { 0 };
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  SlOperation cut = sl_operation_init (SL_OP_CUT_SADDLE_BASE), turn = sl_operation_init (SL_OP_TURN_ROD);
  const SlReadingSet *set;

  bench_init (&b, seed, out);
  read_set (&b, READ_ALL);
  analyse (&b, analysis);
  set = analysis->set;
  for (int s = 1; s <= STRINGS; s++)
    {
      SlOperation slot = sl_operation_init (SL_OP_LOWER_SLOT);

      slot.string = s;
      slot.amount = sl_number (sl_reading_set_find (set, SL_READ_FIRST_GAP, s, 1, SL_HELD_OPEN)->value.v -
                               b.in.target_first_gap[s - 1]);
      if (slot.amount.v > 0)
        work (&b, slot);
    }
  cut.amount =
      sl_number (2 * MAX (0, sl_reading_set_find (set, SL_READ_ACTION, STRINGS, ACTION_FRET, SL_HELD_OPEN)->value.v -
                                 b.in.target_action[STRINGS - 1]));
  cut.amount_treble =
      sl_number (2 * MAX (0, sl_reading_set_find (set, SL_READ_ACTION, 1, ACTION_FRET, SL_HELD_OPEN)->value.v -
                                 b.in.target_action[0]));
  work (&b, cut);
  turn.amount = sl_number (b.in.target_relief - sl_state_mean_relief (&analysis->measured));
  work (&b, turn);
  out->passes = 1;
  finish (&b, analysis);
  sl_analysis_clear (analysis);
}

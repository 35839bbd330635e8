/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "simulated-instrument.h"

#include <string.h>

#include "setup/profile/shop.h"
#include "setup/wood/climate.h"
#include "setup/work/work.h"
#include "support.h"

#define FRETS 20
#define MIDDLE_FRET 7
#define SLIP_MM 0.6      /* a misread scale */
#define SLIP_SHARE 0.005 /* of all readings: invented */
#define LEAST_EXPOSURE 1.5

/* How instruments come in, invented: they were set up once, some better than others, and then the neck moved. */
#define DEAD_SHARE (1.0 / 6)
#define MOVED_SHARE (1.0 / 3)
#define LEAST_RELIEF -0.15
#define MOST_RELIEF 0.60
#define TWIST_MM 0.04     /* of either side */
#define LEAST_ACTION -0.3 /* less target, with relief at its target */
#define MOST_ACTION 1.1
#define ACTION_SPREAD 0.1 /* of a string about the others */
#define LEAST_GAP -0.1    /* less target, with relief and action at theirs */
#define MOST_GAP 0.25

/* What a point of moisture content does: damp lifts the top and with it the bridge, and the fingerboard swells and
 * bends the neck back (from memory). */
#define CREST_PER_POINT_LEAST 0.1
#define CREST_PER_POINT_MOST 0.3
#define RELIEF_PER_POINT_LEAST -0.03
#define RELIEF_PER_POINT_MOST 0
#define SETTLE_DAYS 10
#define ROOM_LEAST 46.0
#define ROOM_MOST 54.0
#define ROOM_MIDDLE 50.0

/* What a fitter's tools are like (invented): display step and error limit, mm; % RH. */
static const struct
{
  SlToolKind measures;
  double resolution, error_limit;
} tools[] = {
  { SL_TOOL_RELIEF, 0.02, 0.01 }, { SL_TOOL_TONGUE, 0.05, 0.02 },  { SL_TOOL_FIRST_GAP, 0.02, 0.01 },
  { SL_TOOL_ACTION, 0.05, 0.05 }, { SL_TOOL_EXPOSURE, 0.1, 0.05 },
};
#define HUMIDITY_LIMIT 2.0

/* ---- the true instrument ---- */

/* Relief keeps to the shape the neck bends in, not to even curvature's: the difference is kept as crown deviations,
 * which nobody reads. */
static void
shape_bow (const SimBench *b, SlState *state)
{
  for (int n = 1; n <= b->in.joint; n++)
    state->crown[n] = -sl_state_mean_relief (state) *
                      (neck_beam_shape (&b->beam, b->in.x[0][n]) - sl_bow_shape (&b->in, 1, b->in.x[0][n]));
}

static void
bend (const SimBench *b, double change, SlState *state)
{
  SlOperation turn = sl_operation_init (SL_OP_TURN_ROD);

  turn.amount = sl_number (change);
  sl_operation_apply (&b->real, &turn, state);
  shape_bow (b, state);
}

/* As it is in the air it is in now. */
static SlState
state_now (const SimBench *b)
{
  SlState now = b->truth;

  bend (b, b->air_relief, &now);
  for (int s = 0; s < SIM_STRINGS; s++)
    now.u[SL_NUT_HEIGHT + SIM_STRINGS + s] += b->air_crest;
  return now;
}

/* Nut and crest of a string with these gaps once it is set up, the crest then raised for an action @high mm too high.
 */
static void
set_gaps (SimBench *b, int string, double first, double action, double high)
{
  const double x_s = b->in.scale[string - 1] + b->truth.setback[string - 1], x1 = b->in.x[string - 1][1],
               x12 = b->in.x[string - 1][SIM_ACTION_FRET];
  double z1 = first + test_ruler_crown (&b->in, &b->truth, string, 1),
         z12 = action + test_ruler_crown (&b->in, &b->truth, string, SIM_ACTION_FRET);
  double slope = (z12 - z1) / (x12 - x1);

  test_set_string (&b->truth, string, z1 - slope * x1, z1 + slope * (x_s - x1) + high * x_s / x12);
}

static void
draw_neck (SimBench *b)
{
  GRand *r = b->rand;
  static const int joints[] = { 12, 14, 16 };

  b->profile = test_profile (r, SIM_STRINGS, FRETS, joints[g_rand_int_range (r, 0, G_N_ELEMENTS (joints))]);
  b->profile->saddle.least_exposure = sl_number (LEAST_EXPOSURE);
  sl_instrument_from_profile (b->profile, &b->in);
  neck_beam_of (&neck_bendings[g_rand_int_range (r, 0, N_NECK_BENDINGS)], b->in.scale[0], b->in.joint, &b->beam);
  b->real = b->in;
  b->real.neck.crest = b->beam.crest;
  b->real.neck.nut = b->beam.nut;
  b->rod_works = g_rand_double (r) >= DEAD_SHARE;
  b->out->dead = !b->rod_works;
}

static void
draw_heights (SimBench *b)
{
  GRand *r = b->rand;
  const double action = test_between (r, LEAST_ACTION, MOST_ACTION), exposure = test_between (r, 2.2, 5.2);

  test_straight_state (&b->in, &b->truth);
  b->truth.u[SL_RELIEF_TREBLE] = b->in.target_relief + test_between (r, -TWIST_MM, TWIST_MM);
  b->truth.u[SL_RELIEF_BASS] = b->in.target_relief + test_between (r, -TWIST_MM, TWIST_MM);
  b->truth.u[SL_FALL_AWAY] = test_between (r, -0.05, 0.2);
  shape_bow (b, &b->truth);
  for (int s = 1; s <= SIM_STRINGS; s++)
    {
      b->truth.setback[s - 1] = 2;
      b->truth.exposure[s - 1] = exposure + test_between (r, -0.2, 0.2);
      set_gaps (b, s, b->in.target_first_gap[s - 1] + test_between (r, LEAST_GAP, MOST_GAP), b->in.target_action[s - 1],
                action + test_between (r, -ACTION_SPREAD, ACTION_SPREAD));
    }
  bend (b, test_between (r, LEAST_RELIEF, MOST_RELIEF) - sl_state_mean_relief (&b->truth), &b->truth);
}

static void
draw_air (SimBench *b)
{
  GRand *r = b->rand;
  double points;

  b->temperature = test_between (r, 18, 24);
  b->humidity = test_between (r, ROOM_LEAST, ROOM_MOST);
  b->humidity_bias = HUMIDITY_LIMIT * test_between (r, -1, 1);
  b->out->moved = g_rand_double (r) < MOVED_SHARE;
  if (!b->out->moved)
    return;
  b->humidity = g_rand_boolean (r) ? test_between (r, 25, 38) : test_between (r, 63, 80);
  points = sl_moisture_content (b->temperature, b->humidity) - sl_moisture_content (b->temperature, ROOM_MIDDLE);
  b->air_crest = points * test_between (r, CREST_PER_POINT_LEAST, CREST_PER_POINT_MOST);
  b->air_relief = points * test_between (r, RELIEF_PER_POINT_LEAST, RELIEF_PER_POINT_MOST);
}

void
sim_bench_init (SimBench *b, guint32 seed, SimResult *out)
{
  SlVisit visit = sl_visit_init ();

  memset (out, 0, sizeof *out);
  *b = (SimBench){ .rand = g_rand_new_with_seed (seed), .out = out };
  draw_neck (b);
  draw_heights (b);
  draw_air (b);
  b->uncut = b->truth;
  for (gsize i = 0; i < G_N_ELEMENTS (tools); i++)
    b->bias[tools[i].measures] = tools[i].error_limit * test_between (b->rand, -1, 1);
  visit.id = g_strdup ("v1");
  visit.opened = g_strdup ("2026-03-02");
  g_array_append_val (b->profile->visits, visit);
}

void
sim_bench_clear (SimBench *b)
{
  sl_profile_free (b->profile);
  g_rand_free (b->rand);
}

/* ---- reading ---- */

static SlVisit *
visit_of (const SimBench *b)
{
  return sl_profile_last_visit (b->profile);
}

static char *
time_text (SimBench *b)
{
  b->minutes++;
  return g_strdup_printf ("2026-03-%02dT%02d:%02d:00Z", 2 + b->minutes / 1440, b->minutes / 60 % 24, b->minutes % 60);
}

static SlToolKind
tool_of (SlReadingKind kind)
{
  return kind == SL_READ_RELIEF      ? SL_TOOL_RELIEF
         : kind == SL_READ_TONGUE    ? SL_TOOL_TONGUE
         : kind == SL_READ_FIRST_GAP ? SL_TOOL_FIRST_GAP
         : kind == SL_READ_EXPOSURE  ? SL_TOOL_EXPOSURE
                                     : SL_TOOL_ACTION;
}

static double
look (SimBench *b, SlReadingKind kind, int string, int fret)
{
  const SlState now = state_now (b);
  const SlToolKind tool = tool_of (kind);
  double value = test_ruler (&b->in, &now, kind, string, fret, SL_HELD_OPEN) + b->bias[tool];

  b->out->readings++;
  for (gsize i = 0; i < G_N_ELEMENTS (tools); i++)
    if (tools[i].measures == tool)
      value = round (value / tools[i].resolution) * tools[i].resolution;
  /* only a straightedge shows less than nothing, rocking */
  return kind == SL_READ_RELIEF || kind == SL_READ_TONGUE ? value : MAX (value, 0);
}

static void
read_one (SimBench *b, SlReadingSet *set, SlReadingKind kind, int string, int fret)
{
  double value = look (b, kind, string, fret);

  if (g_rand_double (b->rand) < SLIP_SHARE)
    value += g_rand_boolean (b->rand) || value < SLIP_MM ? SLIP_MM : -SLIP_MM;
  test_add (set, kind, string, fret,
            kind == SL_READ_FIRST_GAP || kind == SL_READ_ACTION ? SL_HELD_OPEN : SL_HELD_DEFAULT, value);
}

static void
read_strings (SimBench *b, SlReadingSet *set, SlReadingKind kind, int fret)
{
  for (int s = 1; s <= SIM_STRINGS; s++)
    read_one (b, set, kind, s, fret);
}

SlReadingSet *
sim_read (SimBench *b, int what)
{
  SlReadingSet set = sl_reading_set_init ();
  SlVisit *visit = visit_of (b);
  const gboolean first = visit->sets->len == 0;

  set.taken = time_text (b);
  set.stage = first ? SL_STAGE_RECEIVED : SL_STAGE_DURING;
  set.temperature = sl_number (round (b->temperature));
  set.humidity = sl_number (round (b->humidity + b->humidity_bias));
  for (gsize i = 0; i < G_N_ELEMENTS (tools); i++)
    test_add_tool (&set, tools[i].measures, tools[i].resolution, tools[i].error_limit);
  if (what & SIM_READ_NECK)
    {
      read_one (b, &set, SL_READ_RELIEF, 1, MIDDLE_FRET);
      read_one (b, &set, SL_READ_RELIEF, SIM_STRINGS, MIDDLE_FRET);
      read_one (b, &set, SL_READ_TONGUE, 0, 0);
    }
  if (what & SIM_READ_GAPS)
    read_strings (b, &set, SL_READ_FIRST_GAP, 1);
  if (what & SIM_READ_ACTIONS)
    read_strings (b, &set, SL_READ_ACTION, SIM_ACTION_FRET);
  if (first)
    {
      read_strings (b, &set, SL_READ_EXPOSURE, 0);
      for (int s = 1; s <= SIM_STRINGS; s++)
        test_read (&b->in, &b->truth, &set, SL_READ_SETBACK, s, 0, SL_HELD_DEFAULT);
    }
  g_array_append_val (visit->sets, set);
  b->out->sets++;
  return sl_visit_last_set (visit);
}

void
sim_read_again (SimBench *b, SlReading *reading)
{
  reading->value = sl_number (look (b, reading->kind, reading->string, reading->fret));
  reading->use = SL_USE_ALWAYS;
  b->out->read_again++;
}

double
sim_last (const SimBench *b, SlReadingKind kind, int string)
{
  const GArray *sets = visit_of (b)->sets;

  for (guint i = sets->len; i > 0; i--)
    {
      const GArray *readings = g_array_index (sets, SlReadingSet, i - 1).readings;

      for (guint k = 0; k < readings->len; k++)
        {
          const SlReading *r = &g_array_index (readings, SlReading, k);

          if (r->kind == kind && r->string == string)
            return r->value.v;
        }
    }
  return NAN;
}

double
sim_last_relief (const SimBench *b)
{
  return (sim_last (b, SL_READ_RELIEF, 1) + sim_last (b, SL_READ_RELIEF, SIM_STRINGS)) / 2;
}

/* ---- hands ---- */

/* What really happens where @meant is meant to: a file takes nothing where nothing is meant to come off, and never puts
 * anything back. */
static double
by_hand (SimBench *b, SlOperationKind kind, double meant)
{
  const SlWorkUncertainty w = SL_WORK_UNCERTAINTY_DEFAULT;
  const double error = sl_work_u (&w, kind, meant) * test_normal (b->rand);

  return meant > 0 ? MAX (0, meant + error) : 0;
}

static void
cut (SimBench *b, const SlOperation *op)
{
  const SlState before = b->truth;
  SlOperation done = *op;

  done.amount.v = by_hand (b, op->kind, op->amount.v);
  done.amount_treble.v = op->kind == SL_OP_CUT_SADDLE_BASE ? by_hand (b, op->kind, op->amount_treble.v) : NAN;
  sl_operation_apply (&b->real, &done, &b->truth);
  for (int s = 0; s < SIM_STRINGS; s++)
    {
      SimString *string = &b->out->strings[s];

      string->slot_off += before.u[SL_NUT_HEIGHT + s] - b->truth.u[SL_NUT_HEIGHT + s];
      string->crest_off += before.u[SL_NUT_HEIGHT + SIM_STRINGS + s] - b->truth.u[SL_NUT_HEIGHT + SIM_STRINGS + s];
    }
}

void
sim_work (SimBench *b, SlOperation op)
{
  const SlWorkUncertainty w = SL_WORK_UNCERTAINTY_DEFAULT;

  op.done = time_text (b);
  g_array_append_val (visit_of (b)->plan, op);
  if (op.kind == SL_OP_TURN_ROD)
    {
      const double change = b->rod_works ? op.amount.v * (1 + w.rod_share * test_normal (b->rand)) : 0;

      bend (b, change, &b->truth);
      bend (b, change, &b->uncut);
    }
  else if (op.kind != SL_OP_BENCH_STEP)
    cut (b, &op);
}

void
sim_settle (SimBench *b)
{
  SlOperation settle = sl_operation_init (SL_OP_BENCH_STEP);

  settle.step = SL_BENCH_SETTLE;
  b->minutes += SETTLE_DAYS * 24 * 60;
  b->air_relief = b->air_crest = 0;
  b->humidity = test_between (b->rand, ROOM_LEAST, ROOM_MOST);
  sim_work (b, settle);
}

void
sim_accept_relief (SimBench *b)
{
  const double treble = sim_last (b, SL_READ_RELIEF, 1), bass = sim_last (b, SL_READ_RELIEF, SIM_STRINGS);
  const double least = MIN (treble, bass);

  b->profile->targets.relief = sl_number ((treble + bass) / 2);
  b->profile->targets.relief_tolerance = sl_number (MAX (0.1, 0.05 - least));
  sl_instrument_from_profile (b->profile, &b->in);
}

void
sim_finish (SimBench *b)
{
  SimResult *out = b->out;

  out->action_tolerance = b->in.action_tolerance;
  out->gap_tolerance = b->in.first_gap_tolerance;
  out->per_action = (b->in.scale[0] + b->truth.setback[0]) / b->in.x[0][SIM_ACTION_FRET];
  for (int s = 1; s <= SIM_STRINGS; s++)
    {
      SimString *string = &out->strings[s - 1];
      const double action = b->in.target_action[s - 1], gap = b->in.target_first_gap[s - 1];

      string->action = test_ruler_gap (&b->in, &b->truth, s, 0, SIM_ACTION_FRET) - action;
      string->gap = test_ruler_gap (&b->in, &b->truth, s, 0, 1) - gap;
      string->action_uncut = test_ruler_gap (&b->in, &b->uncut, s, 0, SIM_ACTION_FRET) - action;
      string->gap_uncut = test_ruler_gap (&b->in, &b->uncut, s, 0, 1) - gap;
    }
}

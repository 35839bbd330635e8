/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/physics/figures.h"

#include "setup/physics/clearance.h"
#include "setup/physics/pitch.h"
#include "setup/physics/forces.h"
#include "setup/profile/sets.h"

#define CENTS_PER_OCTAVE 1200
#define DEGREE (180 / G_PI)
#define LEAST_SLOPE 1e-9 /* less than that of a figure is what rounding leaves of none */
#define STEP_MM 1e-5     /* for the numerical slope of the nut's break angle, which is smooth on this scale */

/* What all figures of one state are worked out from. */
typedef struct
{
  const SlInstrument *in;
  const SlState *state;
  const SlFit *fit;
  const SlReadingSet *set;
  const SlShop *shop;
  gboolean measured; /* the state is the fit's own: its readings' basis shows */
  SlFigures *out;
  gboolean assumed[SL_N_P]; /* which of the numbers of the string at hand are */
} Job;

static const SlFigure no_figure = { NAN, NAN, SL_BASIS_COMPUTED };

static SlFigure
figure (double value, double u, SlBasis basis)
{
  return (SlFigure){ value, u, basis };
}

/* ---- basis ---- */

/* Whether the fit stands on a reading of a kind. */
static gboolean
stands_read (const Job *job, SlReadingKind kind, int string, int fret)
{
  if (job->fit == NULL || job->set == NULL)
    return FALSE;
  for (guint i = 0; i < job->set->readings->len; i++)
    {
      const SlReading *r = &g_array_index (job->set->readings, SlReading, i);

      if (r->kind != kind || r->string != string || (fret > 0 && r->fret != fret) || r->use == SL_USE_NEVER)
        continue;
      if (job->fit->readings[i].in_fit && !job->fit->readings[i].used)
        continue;
      if ((kind == SL_READ_ACTION || kind == SL_READ_FIRST_GAP) && r->held != SL_HELD_DEFAULT &&
          r->held != SL_HELD_OPEN)
        continue;
      return TRUE;
    }
  return FALSE;
}

static gboolean
is_read (const Job *job, SlReadingKind kind, int string, int fret)
{
  return job->measured && stands_read (job, kind, string, fret);
}

static SlBasis
basis_of (gboolean assumed, gboolean read)
{
  if (read)
    return SL_BASIS_MEASURED;
  return assumed ? SL_BASIS_ASSUMED : SL_BASIS_COMPUTED;
}

static void
fill_assumed (const SlFit *fit, int string, int n_strings, gboolean assumed[SL_N_P])
{
  const gboolean treble = fit->relief_assumed_treble, bass = fit->relief_assumed_bass;

  assumed[SL_P_NUT] = fit->first_gap_assumed[string - 1];
  assumed[SL_P_CREST] = fit->action_assumed[string - 1];
  assumed[SL_P_RELIEF] = string == 1 ? treble : string == n_strings ? bass : treble || bass;
  assumed[SL_P_FALL_AWAY] = fit->tongue_assumed;
}

/* Basis of a figure with gradient @g in the string's four numbers: assumed where one it depends on is. */
static SlBasis
basis_by_gradient (const gboolean assumed[SL_N_P], const double g[SL_N_P])
{
  for (int k = 0; k < SL_N_P; k++)
    if (assumed[k] && fabs (g[k]) > LEAST_SLOPE)
      return SL_BASIS_ASSUMED;
  return SL_BASIS_COMPUTED;
}

SlBasis
sl_gap_basis (const SlFit *fit, const SlStringState *s, int held, int n)
{
  gboolean assumed[SL_N_P];
  double g[SL_N_P];

  fill_assumed (fit, s->string, s->in->n_strings, assumed);
  sl_gap_gradient (s, held, n, g);
  return basis_by_gradient (assumed, g);
}

/* ---- one string ---- */

/* Of the open gap over fret @n, of gradient @g: nut and crest stand on those at fret 1 and 12, whatever the relief and
 * the tongue are; over other frets it rests on them, unless it was read there. */
static SlBasis
action_basis (const Job *job, const SlStringState *s, int n, const double g[SL_N_P])
{
  if (is_read (job, SL_READ_ACTION, s->string, n))
    return SL_BASIS_MEASURED;
  if (n == 1)
    return basis_of (job->assumed[SL_P_NUT], FALSE);
  if (n == SL_OCTAVE_FRET || stands_read (job, SL_READ_ACTION, s->string, n))
    return basis_of (job->assumed[SL_P_CREST], FALSE);
  return basis_by_gradient (job->assumed, g);
}

static void
height_figures (const Job *job, const SlStringState *s)
{
  const int string = s->string, i = string - 1;
  SlFigures *out = job->out;
  const gboolean gap_assumed = job->assumed[SL_P_NUT], action_assumed = job->assumed[SL_P_CREST];
  const SlWant want = sl_want (job->in, job->state, string, SL_OCTAVE_FRET);
  double g[SL_N_P];

  out->relief[i] = figure (s->p[SL_P_RELIEF], sqrt (s->cov[SL_P_RELIEF][SL_P_RELIEF]),
                           basis_of (job->assumed[SL_P_RELIEF], is_read (job, SL_READ_RELIEF, string, 0)));
  out->nut_height[i] = figure (s->p[SL_P_NUT], sqrt (s->cov[SL_P_NUT][SL_P_NUT]), basis_of (gap_assumed, FALSE));
  out->crest_height[i] =
      figure (s->p[SL_P_CREST], sqrt (s->cov[SL_P_CREST][SL_P_CREST]), basis_of (action_assumed, FALSE));
  if (job->in->adjust != SL_ADJUST_FIXED)
    out->need[i] = figure (want.by, want.u, basis_of (action_assumed, FALSE));
  for (int n = 1; n <= job->in->frets; n++)
    {
      sl_gap_gradient (s, 0, n, g);
      out->action[i][n] = figure (sl_gap (s, 0, n), sl_string_u (s, g), action_basis (job, s, n, g));
    }
  out->first_gap[i] = out->action[i][1];
  out->first_gap[i].basis = basis_of (gap_assumed, is_read (job, SL_READ_FIRST_GAP, string, 0));
  out->exposure[i] = figure (s->exposure, s->exposure_u > 0 ? s->exposure_u : NAN,
                             basis_of (!job->state->exposure_read, is_read (job, SL_READ_EXPOSURE, string, 0)));
  out->board_line[i] = figure (s->exposure - s->p[SL_P_CREST], hypot (s->exposure_u, out->crest_height[i].u),
                               basis_of (action_assumed || !job->state->exposure_read, FALSE));
}

/* Standard uncertainty of the force 2 T sin(break/2) by a quantity of standard uncertainty @u that moves tension and
 * break angle by these slopes. */
static double
resultant_u (double tension, double angle, double tension_slope, double angle_slope, double u)
{
  return fabs (2 * sin (angle / 2) * tension_slope + tension * cos (angle / 2) * angle_slope) * u;
}

/* How tension, and the string's angle before the saddle, go with its rise from nut to crest. */
typedef struct
{
  double tension, tension_slope, angle_slope, u; /* u: of the rise */
} Rise;

/* The break at the saddle stands and falls with the exposure. */
static void
saddle_figures (const Job *job, const SlStringState *s, const Rise *rise)
{
  const int i = s->string - 1;
  const SlInstrument *in = job->in;
  const SlBasis basis = basis_of (!job->state->exposure_read, FALSE);
  SlFigures *out = job->out;
  double behind, before;

  if (!sl_saddle_angles (s, &behind, &before))
    return;
  const double t = rise->tension, a = in->anchor_distance[i], e = s->exposure + in->anchor_drop[i];
  const double by_exposure = a / (a * a + e * e), by_rise = rise->angle_slope, angle = behind + before;
  const SlSaddleForces forces = sl_saddle_forces (t, behind, before), unit = sl_saddle_forces (1, behind, before);
  const double down_u = (rise->tension_slope * unit.down + t * cos (before) * by_rise) * rise->u,
               push_u = (rise->tension_slope * unit.push - t * sin (before) * by_rise) * rise->u;

  out->saddle_break[i] =
      figure (angle * DEGREE, hypot (by_exposure * s->exposure_u, by_rise * rise->u) * DEGREE, basis);
  out->saddle_force[i] = figure (forces.down, hypot (t * cos (behind) * by_exposure * s->exposure_u, down_u), basis);
  out->saddle_resultant[i] = figure (forces.resultant,
                                     hypot (resultant_u (t, angle, 0, by_exposure, s->exposure_u),
                                            resultant_u (t, angle, rise->tension_slope, by_rise, rise->u)),
                                     basis);
  out->saddle_push[i] = figure (forces.push, hypot (t * sin (behind) * by_exposure * s->exposure_u, push_u), basis);
}

static void
nut_figures (const Job *job, const SlStringState *s, const Rise *rise)
{
  const double nut = sl_nut_break (s);
  const int i = s->string - 1;
  SlStringState higher = *s;

  if (isnan (nut))
    return;
  higher.p[SL_P_CREST] += STEP_MM;
  const double slope = (sl_nut_break (&higher) - nut) / STEP_MM, u = fabs (slope) * rise->u;

  job->out->nut_break[i] = figure (nut * DEGREE, u * DEGREE, SL_BASIS_COMPUTED);
  job->out->nut_force[i] =
      figure (sl_resultant_force (rise->tension, nut),
              resultant_u (rise->tension, nut, rise->tension_slope, slope, rise->u), SL_BASIS_COMPUTED);
  job->out->nut_stick[i] =
      figure (sl_stick_cents (job->in->friction, nut), sl_stick_cents (job->in->friction, u), SL_BASIS_COMPUTED);
}

/* Angles and tension depend on nut and crest height through the rise of the string, which is too little for an assumed
 * height to make them assumed. */
static void
force_figures (const Job *job, const SlStringState *s)
{
  const int i = s->string - 1;
  const SlInstrument *in = job->in;
  const double length = sl_open_length (s), height = s->p[SL_P_CREST] - s->p[SL_P_NUT];
  double g[SL_N_P] = { [SL_P_CREST] = 1, [SL_P_NUT] = -1 };
  Rise rise = { .tension = sl_tension (&in->strings[i], length), .u = sl_string_u (s, g) };

  rise.tension_slope = 2 * rise.tension * height / (length * length);
  rise.angle_slope = s->x_s / (length * length);
  job->out->tension[i] = figure (rise.tension, fabs (rise.tension_slope) * rise.u, SL_BASIS_COMPUTED);
  job->out->core_stress_share[i] = rise.tension / in->strings[i].core_area_m2 / in->strings[i].strength_pa;
  saddle_figures (job, s, &rise);
  nut_figures (job, s, &rise);
}

/* A figure that moves by @share times how far the string swings over @fret held at @held, which is as uncertain as the
 * player's hand. */
static SlFigure
figure_by_hand (const Job *job, const SlStringState *s, double tension, double value, int held, int fret, double share,
                const double g[SL_N_P])
{
  SlFigure moved = figure (value, sl_string_u (s, g), basis_by_gradient (job->assumed, g));
  SlClearance there;

  sl_clearance (s, tension, held, fret, &there);
  moved.u = hypot (moved.u, share * there.swing_u);
  return moved;
}

static void
clearance_figures (const Job *job, const SlStringState *s)
{
  const int string = s->string, i = string - 1;
  SlFigures *out = job->out;
  const double tension = out->tension[i].value;
  double g[SL_N_P], pair[SL_N_P];
  int held = 0, fret = 0;

  if (isnan (tension))
    return; /* how far the string swings can't be said */
  const double margin = sl_least_margin (s, tension, &out->least_margin_held[i], &out->least_margin_fret[i]);

  sl_gap_gradient (s, out->least_margin_held[i], out->least_margin_fret[i], g);
  out->least_margin[i] =
      figure_by_hand (job, s, tension, margin, out->least_margin_held[i], out->least_margin_fret[i], 1, g);

  /* the crest follows the deciding pair: slope of the 12th-fret gap less what the crest takes back */
  const double action = sl_lowest_clean_action (s, tension, &held, &fret);

  sl_gap_gradient (s, 0, SL_OCTAVE_FRET, g);
  sl_gap_gradient (s, held, fret, pair);
  double share = g[SL_P_CREST] / pair[SL_P_CREST];

  for (int k = 0; k < SL_N_P; k++)
    g[k] -= share * pair[k];
  out->lowest_clean_action[i] = figure_by_hand (job, s, tension, action, held, fret, share, g);
}

/* Standard uncertainty of the cents at fret @n where nobody read how far the crest lies beyond the scale length. */
static double
unread_setback_u (const SlStringState *s, int n, double cents)
{
  SlStringState farther = *s;

  farther.x_s += STEP_MM;
  return fabs (sl_pitch_error (&farther, n, NULL) - cents) / STEP_MM * SL_ASSUMED_SETBACK_U_MM;
}

static void
pitch_figures (const Job *job, const SlStringState *s)
{
  const int string = s->string, i = string - 1;
  SlFigures *out = job->out;
  const gboolean assumed = job->assumed[SL_P_NUT] || job->assumed[SL_P_CREST] || job->assumed[SL_P_RELIEF];
  const SlBasis basis = basis_of (assumed || !job->state->setback_read, FALSE);
  double u, needed;

  for (int n = 1; n <= job->in->frets; n++)
    {
      double cents = sl_pitch_error (s, n, &u);

      if (!job->state->setback_read)
        u = hypot (u, unread_setback_u (s, n, cents));
      out->pitch_error[i][n] = figure (cents, u, basis);
    }
  needed = sl_setback_needed (s, &u);
  if (!isnan (needed))
    out->setback_needed[i] = figure (needed, u, basis_of (assumed, FALSE));
}

int
sl_least_margin_string (const SlFigures *figures, int n_strings)
{
  int worst = 0;

  for (int i = 0; i < n_strings; i++)
    if (!isnan (figures->least_margin[i].value) &&
        (worst == 0 || figures->least_margin[i].value < figures->least_margin[worst - 1].value))
      worst = i + 1;
  return worst;
}

gboolean
sl_tuner_cents (const SlReadingSet *set, int string, double *cents)
{
  return sl_reading_set_mean (set, SL_READ_PITCH, string, SL_OCTAVE_FRET, cents) > 0;
}

double
sl_crest_move (double length_mm, double cents)
{
  double r = exp2 (-cents / CENTS_PER_OCTAVE);

  return length_mm * (1 - r) / (2 * r - 1);
}

double
sl_crest_move_u (double length_mm, const SlReadingSet *set, int string)
{
  return length_mm * G_LN2 / CENTS_PER_OCTAVE * sl_reading_mean_u (set, SL_READ_PITCH, string, SL_OCTAVE_FRET);
}

/* ---- the whole state ---- */

static void
tension_total_figure (const Job *job)
{
  const SlState *state = job->state;
  const int n = state->n_strings;
  double g[SL_MAX_UNKNOWNS] = { 0 }, sum = 0;

  for (int s = 1; s <= n; s++)
    {
      double x_s = job->in->scale[s - 1] + state->setback[s - 1];
      double rise = sl_state_crest_height (state, s) - sl_state_nut_height (state, s);
      double slope = 2 * job->out->tension[s - 1].value * rise / (x_s * x_s + rise * rise);

      sum += job->out->tension[s - 1].value;
      g[SL_NUT_HEIGHT + s - 1] = -slope;
      g[SL_NUT_HEIGHT + n + s - 1] = slope;
    }
  job->out->tension_total = figure (sum, sqrt (sl_row_variance (state, g)), SL_BASIS_COMPUTED);
  if (job->in->bridge == SL_BRIDGE_TREMOLO)
    job->out->spring_force =
        figure (sl_spring_force (sum), sl_spring_force (job->out->tension_total.u), SL_BASIS_COMPUTED);
}

static void
cut_figures (const Job *job)
{
  SlFigures *out = job->out;
  const SlFigure *treble = &out->need[0], *bass = &out->need[job->in->n_strings - 1];
  SlBaseCut cut;

  if (!(job->in->work >> SL_OP_CUT_SADDLE_BASE & 1))
    return;
  sl_base_cut (job->in, job->state, job->shop, &cut);
  out->base_cut_bass = figure (cut.bass, bass->u, bass->basis);
  out->base_cut_treble = figure (cut.treble, treble->u, treble->basis);
  out->first_pass_bass = figure (cut.first_pass_bass, NAN, SL_BASIS_COMPUTED);
  out->first_pass_treble = figure (cut.first_pass_treble, NAN, SL_BASIS_COMPUTED);
}

/* A factor that no turn has moved is assumed. */
static SlFigure
factor_figure (double factor, double u, double assumed_u)
{
  return figure (factor, u, u < assumed_u ? SL_BASIS_MEASURED : SL_BASIS_ASSUMED);
}

static void
rod_figures (const Job *job)
{
  const SlNeckBending *neck = &job->in->neck, assumed = SL_NECK_BENDING_ASSUMED;

  job->out->rod_crest_factor = factor_figure (neck->crest, neck->crest_u, assumed.crest_u);
  job->out->rod_nut_factor = factor_figure (neck->nut, neck->nut_u, assumed.nut_u);
  job->out->rod_per_turn = figure (neck->per_turn, neck->per_turn_u, SL_BASIS_MEASURED);
}

static void
clear_figures (SlFigures *out)
{
  SlFigure *each = (SlFigure *) out;

  /* every member before the shares is an SlFigure; those behind them are set with what they belong to */
  memset (out, 0, sizeof *out);
  for (gsize i = 0; i < offsetof (SlFigures, core_stress_share) / sizeof (SlFigure); i++)
    each[i] = no_figure;
}

void
sl_figures (const SlInstrument *instrument, const SlState *state, const SlFit *fit, const SlReadingSet *set,
            const SlShop *shop, SlFigures *out)
{
  Job job = { instrument, state, fit, set, shop, fit != NULL && state == &fit->state, out, { FALSE } };

  clear_figures (out);
  for (int string = 1; string <= instrument->n_strings; string++)
    {
      SlStringState s;
      double cents;

      sl_state_string (instrument, state, string, &s);
      if (fit != NULL)
        fill_assumed (fit, string, instrument->n_strings, job.assumed);
      height_figures (&job, &s);
      force_figures (&job, &s);
      clearance_figures (&job, &s);
      pitch_figures (&job, &s);
      if (job.measured && sl_tuner_cents (set, string, &cents))
        out->crest_move[string - 1] = figure (sl_crest_move (sl_open_length (&s), cents),
                                              sl_crest_move_u (sl_open_length (&s), set, string), SL_BASIS_MEASURED);
    }
  if (instrument->frets > instrument->joint)
    out->tongue = figure (state->u[SL_FALL_AWAY], sqrt (state->cov[SL_FALL_AWAY * state->n_unknowns + SL_FALL_AWAY]),
                          basis_of (fit != NULL && fit->tongue_assumed, is_read (&job, SL_READ_TONGUE, 0, 0)));
  tension_total_figure (&job);
  cut_figures (&job);
  rod_figures (&job);
  out->best_relief.value = sl_best_relief (instrument, state, &out->best_relief.u);
  out->pluck_force = figure (instrument->pluck_force_n, instrument->pluck_force_share * instrument->pluck_force_n,
                             basis_of (TRUE, instrument->pluck_force_heard));
  if (set != NULL)
    out->moisture_content = figure (sl_air_moisture (set), NAN, SL_BASIS_COMPUTED);
}

/* The strings that the plan still fits after the readings, the last of them. */
static void
fit_planned_strings (const GArray *plan, const char *taken, SlInstrument *instrument)
{
  SL_EACH (const SlOperation, op, plan)
    if (op->kind == SL_OP_FIT_STRINGS && !sl_operation_is_past (op, taken))
      sl_instrument_fit (instrument, op);
}

void
sl_analyse (const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set, const SlShop *shop,
            SlAnalysis *out)
{
  const GArray *plan = visit != NULL ? visit->plan : NULL;
  const char *taken = set != NULL ? set->taken : NULL;

  out->shop = *shop;
  out->profile = profile;
  out->visit = visit;
  sl_find_air (profile, visit, set, shop, &out->air);
  sl_instrument_from_profile (profile, &out->instrument);
  out->earlier = visit != NULL && visit->sets->len > 1 ? g_array_new (FALSE, FALSE, sizeof (SlEarlier)) : NULL;
  sl_fit_visit (&out->instrument, profile, visit, set, &out->shop.work, NULL, out->earlier, &out->fit);
  out->set = set;
  out->plan = plan;
  out->has_plan = plan != NULL && plan->len > 0;
  out->measured = out->planned = out->fit.state;
  sl_plan_apply (&out->instrument, plan, taken, FALSE, &shop->work, &out->planned);
  out->planned_instrument = out->instrument;
  fit_planned_strings (plan, taken, &out->planned_instrument);
  sl_figures (&out->instrument, &out->fit.state, &out->fit, set, shop, &out->measured_figures);
  if (out->has_plan)
    sl_figures (&out->planned_instrument, &out->planned, &out->fit, set, shop, &out->planned_figures);
  else
    out->planned_figures = out->measured_figures;
}

void
sl_analyse_last (const SlProfile *profile, const SlShop *shop, SlAnalysis *out)
{
  const SlVisit *visit = sl_profile_last_visit (profile);

  sl_analyse (profile, visit, visit != NULL ? sl_visit_last_set (visit) : NULL, shop, out);
}

void
sl_analysis_clear (SlAnalysis *analysis)
{
  sl_fit_clear (&analysis->fit);
  g_clear_pointer (&analysis->earlier, g_array_unref);
}

void
sl_analysis_free (SlAnalysis *analysis)
{
  sl_analysis_clear (analysis);
  g_free (analysis);
}

SlWord
sl_word (const SlFigure *figure, double target, double tolerance)
{
  double off = fabs (figure->value - target);

  if (isnan (off) || figure->basis == SL_BASIS_ASSUMED)
    return SL_WORD_NONE;
  /* a hair of slack, so that a figure brought exactly to the edge of its range is inside it */
  if (off <= tolerance + 1e-9)
    return SL_WORD_IN_RANGE;
  return off <= tolerance + SL_COVERAGE * (isnan (figure->u) ? 0 : figure->u) ? SL_WORD_CLOSE : SL_WORD_OUT;
}

SlWord
sl_word_at_least (const SlFigure *figure, double least)
{
  return figure->value >= least ? sl_word (figure, figure->value, 0) : sl_word (figure, least, 0);
}

const char *
sl_word_text (SlWord word)
{
  /* Translators: a figure lies within the tolerance of its target; is off it by no more than the tolerance and its own
   * uncertainty; is off */
  static const char *const texts[] = { [SL_WORD_IN_RANGE] = NC_ ("figure against target", "in range"),
                                       [SL_WORD_CLOSE] = NC_ ("figure against target", "close"),
                                       [SL_WORD_OUT] = NC_ ("figure against target", "out") };

  return word == SL_WORD_NONE ? "" : g_dpgettext2 (GETTEXT_PACKAGE, "figure against target", texts[word]);
}

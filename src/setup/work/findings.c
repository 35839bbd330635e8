/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What stands in the way of a proposal, and what would meet it (model 6.3). */

#include "setup/profile/construction.h"
#include "setup/work/propose-private.h"

#define LEAST_TRIED_MM 0.05   /* a smaller turn can't be told from none: our own choice */
#define STILL_SHARE (1.0 / 3) /* of what was wanted; a turn is uncertain by a fifth: our own choice */
#define HEEL_MM 100.0         /* a wedge is told over this length of heel */

static void
find_suspects (SlProposing *p)
{
  const SlFit *fit = &p->a->fit;

  for (guint i = 0; i < fit->n_readings; i++)
    {
      const SlReadingFit *rf = &fit->readings[i];
      const SlReading *r = &g_array_index (p->a->set->readings, SlReading, i);

      if (!rf->suspect)
        continue;
      sl_add_finding (p, (SlFinding){ .kind = SL_FINDING_SUSPECT,
                                      .string = r->string,
                                      .fret = r->fret,
                                      .amount = r->value.v - rf->predicted,
                                      .reading = r->kind,
                                      .values = { r->value.v, rf->predicted, SL_COVERAGE * rf->predicted_u } });
    }
}

void
sl_find_doubt (SlProposing *p)
{
  const SlWorkDoubt *doubt = &p->a->fit.doubt;

  find_suspects (p);
  if (p->a->fit.apart)
    sl_add_finding (p, (SlFinding){ .kind = SL_FINDING_APART });
  if (doubt->found)
    sl_add_finding (p,
                    (SlFinding){ .kind = doubt->moved > doubt->predicted ? SL_FINDING_WORK_SHORT : SL_FINDING_WORK_FAR,
                                 .string = doubt->string,
                                 .fret = doubt->fret,
                                 .amount = doubt->moved - doubt->predicted,
                                 .values = { doubt->moved, doubt->predicted, SL_COVERAGE * doubt->u } });
}

/* Relief as read in one of the visit's sets, @k, or in the one that is shown; FALSE where it was not read there. */
static gboolean
relief_read (const SlAnalysis *a, guint k, const SlReadingSet **set, double *relief)
{
  const SlState *state;

  *set = &g_array_index (a->visit->sets, SlReadingSet, k);
  if (*set != a->set && (a->earlier == NULL || k >= a->earlier->len))
    return FALSE;
  state = *set == a->set ? &a->measured : &g_array_index (a->earlier, SlEarlier, k).state;
  *relief = sl_state_mean_relief (state);
  return sl_read_at_pitch (*set, SL_READ_RELIEF, 1) && sl_read_at_pitch (*set, SL_READ_RELIEF, a->instrument.n_strings);
}

/* How far relief was to move by the turns between two sets, mm; NAN where other strings went on in between. */
static double
turned_between (const SlAnalysis *a, const SlReadingSet *from, const SlReadingSet *to)
{
  double change = 0;

  SL_EACH (const SlOperation, op, a->visit->plan)
    if (sl_operation_between (op, from->taken, to->taken))
      change += op->kind == SL_OP_TURN_ROD ? sl_number_or (op->amount, 0) : op->kind == SL_OP_FIT_STRINGS ? NAN : 0;
  return change;
}

gboolean
sl_rod_still (const SlAnalysis *a, const SlOperation *turn, double *wanted, double *moved)
{
  const SlReadingSet *before = NULL, *set = NULL;
  double from = NAN, last = NAN, now, turned;
  gboolean followed = FALSE, found = turn == NULL;

  *wanted = *moved = 0;
  for (guint k = 0; a->visit != NULL && a->set != NULL && k < a->visit->sets->len && set != a->set; k++)
    {
      if (!relief_read (a, k, &set, &now))
        continue;
      turned = before != NULL ? turned_between (a, before, set) : 0;
      if (fabs (turned) >= LEAST_TRIED_MM)
        {
          if (found && turn != NULL)
            break;
          from = last;
          *wanted = 0;
          followed = TRUE;
          found = found || sl_operation_between (turn, before->taken, set->taken);
        }
      followed = followed && !isnan (turned);
      if (followed) /* a neck that is slow goes on moving after its turn */
        {
          *wanted += turned;
          *moved = now - from;
        }
      before = set;
      last = now;
    }
  return found && *wanted != 0 && *moved / *wanted < STILL_SHARE;
}

gboolean
sl_rod_is_awaited (const SlAnalysis *a, const SlState *state)
{
  const SlInstrument *in = &a->instrument;
  double wanted, moved;

  return fabs (in->target_relief - sl_state_mean_relief (state)) > in->relief_tolerance + SL_EDGE_MM &&
         sl_rod_still (a, NULL, &wanted, &moved) && !(a->visit->passed >> SL_GATE_ROD & 1);
}

void
sl_find_rod (SlProposing *p)
{
  double wanted, moved;
  guint turn;

  if (p->a->visit == NULL || p->a->set == NULL)
    return;
  if (p->a->set->readings->len > 0 && sl_turn_unread (p->a->visit, p->a->set, &turn)) /* one begun is yet to be read */
    sl_add_finding (p, (SlFinding){ .kind = SL_FINDING_RELIEF_UNREAD });
  if (sl_rod_still (p->a, NULL, &wanted, &moved))
    sl_add_finding (p,
                    (SlFinding){ .kind = SL_FINDING_ROD_STILL,
                                 .amount = wanted,
                                 .values = { wanted, moved, p->in->target_relief, sl_state_mean_relief (&p->state) } });
}

void
sl_find_rodless (SlProposing *p)
{
  const double relief = sl_state_mean_relief (&p->state), wanted = p->in->target_relief - relief;
  SlFinding finding = { .kind = SL_FINDING_RODLESS,
                        .amount = -wanted,
                        .values = { p->in->target_relief, relief, wanted / p->in->neck.per_newton,
                                    p->a->measured_figures.tension_total.value } };

  if (p->a->fit.relief_assumed_treble && p->a->fit.relief_assumed_bass)
    return;
  if (fabs (wanted) <= p->in->relief_tolerance) /* it is one side that bows backward */
    finding.kind = SL_FINDING_RELIEF;
  sl_add_finding (p, finding);
}

double
sl_crest_room (const SlInstrument *instrument, const SlState *state, int string)
{
  if (sl_saddles[instrument->adjust].work == SL_N_OPS)
    return 0;
  return state->exposure_read ? state->exposure[string - 1] - instrument->least_exposure : INFINITY;
}

double
sl_crest_short (const SlInstrument *in, const SlState *state, int string)
{
  const SlWant want = sl_want (in, state, string, SL_OCTAVE_FRET);
  const double left = want.by - MAX (0, sl_crest_room (in, state, string));

  return left > want.edge - want.by ? left : 0;
}

/* Whether a string is one of those that a saddle set as a whole is set by. */
static gboolean
is_set_by (const SlInstrument *in, int string)
{
  return sl_saddles[in->adjust].single || string == 1 || string == in->n_strings;
}

int
sl_saddle_short (const SlAnalysis *analysis, const SlState *state, double *most)
{
  const SlInstrument *in = &analysis->instrument;
  const gboolean fixed = sl_saddles[in->adjust].work == SL_N_OPS;
  double furthest = 0;
  int worst = 0;

  for (int s = 1; s <= in->n_strings; s++)
    {
      const double left = sl_crest_short (in, state, s);

      if (analysis->fit.action_assumed[s - 1] || left <= furthest || !is_set_by (in, s))
        continue;
      furthest = left;
      worst = s;
    }
  /* the neck's angle lowers all strings alike: where nothing else can, it is no help to one at the cost of another */
  for (int s = 1; s <= in->n_strings && fixed; s++)
    if (is_set_by (in, s) && sl_want (in, state, s, SL_OCTAVE_FRET).edge < furthest)
      worst = 0;
  if (most != NULL)
    *most = furthest;
  return worst;
}

void
sl_find_neck_angle (SlProposing *p, const SlState *before, double bass, double treble)
{
  double most;
  const int worst = sl_saddle_short (p->a, before, &most);

  if (worst == 0 || sl_rod_is_awaited (p->a, &p->state))
    return;

  /* the crest wanted lower by `most` over a lever from the joint to the crest: the neck's angle that would do it */
  const double *x = p->in->x[worst - 1], x_s = p->in->scale[worst - 1] + before->setback[worst - 1],
               lever = x_s - x[p->in->joint];

  const SlFinding finding = { .kind = SL_FINDING_NECK_ANGLE,
                              .string = worst,
                              .fret = SL_OCTAVE_FRET,
                              .amount = most,
                              .values = { p->in->least_exposure,
                                          p->in->target_action[worst - 1] + most * x[SL_OCTAVE_FRET] / x_s,
                                          p->in->target_action[worst - 1], most / lever * 180 / G_PI,
                                          sl_heel_wedge (p->in, before, worst, most, HEEL_MM), bass, treble } };

  guint at = p->n_first;

  /* a bow that no rod takes out raises the strings too, and is looked at before a neck is reset */
  for (; at < p->out->findings->len; at++)
    {
      const SlFinding *other = &g_array_index (p->out->findings, SlFinding, at);

      if (other->before > 0 || (other->kind != SL_FINDING_RODLESS && other->kind != SL_FINDING_ROD_STILL))
        break;
    }
  g_array_insert_val (p->out->findings, at, finding);
}

static gboolean
lowers_saddle (const SlOperation *op)
{
  switch (op->kind)
    {
    case SL_OP_CUT_SADDLE_BASE:
    case SL_OP_MAKE_SADDLE: return TRUE;
    case SL_OP_SHAPE_CREST: return op->amount.v > 0;
    case SL_OP_MOVE_SADDLE: return op->amount.v < 0 || op->amount_treble.v < 0;
    default: return FALSE;
    }
}

/* The first step that lowers the saddle, or with @slots one of them; as many as there are steps where none does. */
static guint
first_lowering (const SlProposing *p, gboolean slots)
{
  guint i = 0;

  for (; i < p->out->steps->len; i++)
    {
      const SlOperation *operation = &g_array_index (p->out->steps, SlStep, i).operation;

      if ((slots && operation->kind == SL_OP_LOWER_SLOT) || lowers_saddle (operation))
        break;
    }
  return i;
}

/* A gap that stays off its target. */
static void
find_off (SlProposing *p, SlFindingKind kind, int string, int fret, const SlWant *want)
{
  sl_add_finding (
      p,
      (SlFinding){
          .kind = kind, .string = string, .fret = fret, .amount = want->over, .values = { want->gap, want->target } });
}

/* What stays out of range because it is less than a hand, or the shop's step, can take off. */
static void
find_left (SlProposing *p, int string, int fret)
{
  const SlWant want = sl_want (p->in, &p->state, string, fret);
  const gboolean stopped = sl_crest_short (p->in, &p->state, string) > 0;

  if (want.over > want.tolerance + SL_EDGE_MM && !sl_fit_assumes (&p->a->fit, string, fret) && !stopped)
    find_off (p, SL_FINDING_LEFT, string, fret, &want);
}

/* What the string's action is off by and no step meets, because this saddle is not set string by string. What is too
 * low on one that can't be set at all needs material (find_low()); what the neck's angle is to bring down, nothing
 * else. */
static void
find_curve (SlProposing *p, int string)
{
  const gboolean fixed = sl_saddles[p->in->adjust].work == SL_N_OPS;
  const SlWant want = sl_want (p->in, &p->state, string, SL_OCTAVE_FRET);

  if (!sl_saddles[p->in->adjust].single && (!is_set_by (p->in, string) || fixed) &&
      fabs (want.over) > want.tolerance + SL_EDGE_MM && !sl_fit_assumes (&p->a->fit, string, SL_OCTAVE_FRET) &&
      !(fixed && want.over < 0) &&
      !(sl_crest_short (p->in, &p->state, string) > 0 && sl_saddle_short (p->a, &p->state, NULL) > 0))
    find_off (p, SL_FINDING_CURVE, string, SL_OCTAVE_FRET, &want);
}

/* Whether what the heights will be is read before anybody can say that they stay so: the air or the rod has still to
 * move them. */
static gboolean
heights_still_move (const SlProposing *p)
{
  gboolean moves = sl_air_is_awaited (p->a) || sl_rod_is_awaited (p->a, &p->state);

  for (guint i = 0; i < p->out->steps->len; i++)
    moves = moves || g_array_index (p->out->steps, SlStep, i).operation.kind == SL_OP_TURN_ROD;
  return moves;
}

/* A slot or a crest that ends below its range: only more material helps. What was in range when it was read, or still
 * moves, is read again before anything is made good. */
static void
find_low (SlProposing *p, int string, int fret)
{
  const gboolean slot = fret == 1;
  const SlWant want = sl_want (p->in, &p->state, string, fret);
  const double least = want.target - want.tolerance - SL_EDGE_MM;

  if (sl_fit_assumes (&p->a->fit, string, fret) || want.gap >= least)
    return;
  /* the nut is made good before the saddle comes down; whether it is to be a new one, before its other slots are filed
   */
  sl_insert_finding (
      p,
      (SlFinding){ .kind = slot ? SL_FINDING_SLOT_LOW : SL_FINDING_CREST_LOW,
                   .string = string,
                   .fret = fret,
                   .amount = -want.by,
                   .predicted = heights_still_move (p) || sl_state_gap (p->in, &p->a->measured, string, fret) >= least,
                   .values = { want.gap, want.target } },
      slot ? first_lowering (p, TRUE) : p->out->steps->len);
}

/* The saddle comes down without anybody having read how much of it there is. Where it can be put back that matters if a
 * least exposure is given. */
static void
find_unread_exposure (SlProposing *p)
{
  const guint lowering = first_lowering (p, FALSE);

  if (p->state.exposure_read || (sl_saddles[p->in->adjust].goes_up && p->in->least_exposure <= 0))
    return;
  if (lowering < p->out->steps->len)
    sl_insert_finding (p, (SlFinding){ .kind = SL_FINDING_EXPOSURE, .amount = NAN }, lowering);
}

double
sl_zero_fret_over (const SlInstrument *instrument, const SlState *state, int string)
{
  return sl_state_nut_height (state, string) + sl_state_relief (state, string) * sl_bow_shape (instrument, string, 0);
}

/* A zero fret is one crown for all strings: the string it is worst for stands for all, and the height a new one would
 * have lies in the middle of what the strings want. */
static void
find_zero_fret (SlProposing *p)
{
  SlFinding worst = { .kind = SL_FINDING_ZERO_FRET, .fret = 1 };
  double off = 0, least = INFINITY, most = -INFINITY;

  for (int s = 1; s <= p->in->n_strings; s++)
    {
      const SlWant want = sl_want (p->in, &p->state, s, 1);
      const double over = sl_zero_fret_over (p->in, &p->state, s) - want.by;

      if (sl_fit_assumes (&p->a->fit, s, 1))
        continue;
      least = MIN (least, over);
      most = MAX (most, over);
      if (fabs (want.over) <= want.tolerance + SL_EDGE_MM || fabs (want.over) <= off)
        continue;
      off = fabs (want.over);
      worst.string = s;
      worst.amount = -want.by;
      worst.values[0] = want.gap;
      worst.values[1] = want.target;
      worst.values[3] = over;
      worst.predicted = heights_still_move (p) || fabs (sl_want (p->in, &p->a->measured, s, 1).over) <= want.tolerance;
    }
  worst.values[2] = p->in->crown_height + (least + most) / 2;
  if (worst.string > 0)
    sl_insert_finding (p, worst, first_lowering (p, TRUE));
}

void
sl_find_limits (SlProposing *p)
{
  const gboolean zero_fret = p->in->nut_kind == SL_NUT_ZERO_FRET, goes_up = sl_saddles[p->in->adjust].goes_up;

  if (zero_fret)
    find_zero_fret (p);
  for (int s = 1; s <= p->in->n_strings && !zero_fret; s++)
    find_low (p, s, 1);
  for (int s = 1; s <= p->in->n_strings && !goes_up; s++)
    find_low (p, s, SL_OCTAVE_FRET);
  for (int s = 1; s <= p->in->n_strings && !zero_fret; s++)
    find_left (p, s, 1);
  for (int s = 1; s <= p->in->n_strings; s++)
    if (sl_saddles[p->in->adjust].work != SL_N_OPS && is_set_by (p->in, s))
      find_left (p, s, SL_OCTAVE_FRET);
  for (int s = 1; s <= p->in->n_strings; s++)
    find_curve (p, s);
  find_unread_exposure (p);
}

void
sl_find_touching (SlProposing *p, const SlState *before)
{
  const SlState *const states[] = { before, &p->state };

  for (int string = 1; string <= p->in->n_strings; string++)
    {
      SlFinding deepest = { .kind = SL_FINDING_TOUCHES, .string = string, .values = { SL_EDGE_MM } };

      for (int later = 0; later < 2 && deepest.fret == 0; later++)
        for (int fret = 1; fret <= p->in->frets; fret++)
          {
            const double by = -sl_state_gap (p->in, states[later], string, fret);

            if (by <= deepest.values[0] || sl_fit_assumes (&p->a->fit, string, fret))
              continue;
            deepest.fret = fret;
            deepest.values[0] = by;
            deepest.predicted = later;
          }
      if (deepest.fret > 0)
        sl_insert_finding (p, deepest, 0);
    }
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What stands in the way of a proposal, and what would meet it (model 6.3). */
#include <math.h>

#include "setup/record/neck.h"
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

static gboolean
reads_relief (const SlReadingSet *set, int string)
{
  for (guint i = 0; i < set->readings->len; i++)
    {
      const SlReading *r = &g_array_index (set->readings, SlReading, i);

      if (r->kind == SL_READ_RELIEF && r->string == string && r->use != SL_USE_NEVER)
        return TRUE;
    }
  return FALSE;
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
  return (*set)->strings <= SL_STRINGS_AT_PITCH && reads_relief (*set, 1) &&
         reads_relief (*set, a->instrument.n_strings);
}

/* How far relief was to move by the turns between two sets, mm. */
static double
turned_between (const SlAnalysis *a, const SlReadingSet *from, const SlReadingSet *to)
{
  double change = 0;

  for (guint i = 0; i < a->visit->plan->len; i++)
    {
      const SlOperation *op = &g_array_index (a->visit->plan, SlOperation, i);

      if (op->kind == SL_OP_TURN_ROD && sl_operation_between (op, from->taken, to->taken))
        change += sl_number_or (op->amount, 0);
    }
  return change;
}

/* Relief read before and after the last turns that moved by less than a third of what was wanted. */
static void
find_still_rod (SlProposing *p)
{
  const SlAnalysis *a = p->a;
  const SlReadingSet *before = NULL;
  double relief = NAN, wanted = 0, moved = 0;

  for (guint k = 0; k < a->visit->sets->len; k++)
    {
      const SlReadingSet *set;
      double now, turned;

      if (relief_read (a, k, &set, &now))
        {
          turned = before != NULL ? turned_between (a, before, set) : 0;
          if (fabs (turned) >= LEAST_TRIED_MM)
            {
              wanted = turned;
              moved = now - relief;
            }
          before = set;
          relief = now;
        }
      if (set == a->set)
        break;
    }
  if (wanted != 0 && moved / wanted < STILL_SHARE)
    sl_add_finding (p, (SlFinding){ .kind = SL_FINDING_ROD_STILL, .amount = wanted, .values = { wanted, moved } });
}

void
sl_find_rod (SlProposing *p)
{
  guint turn;

  if (p->a->visit == NULL || p->a->set == NULL)
    return;
  if (sl_turn_unread (p->a->visit, p->a->set, &turn))
    sl_add_finding (p, (SlFinding){ .kind = SL_FINDING_RELIEF_UNREAD });
  find_still_rod (p);
}

double
sl_crest_room (const SlProposing *p, const SlState *state, int string)
{
  return state->exposure_read ? state->exposure[string - 1] - p->in->least_exposure : INFINITY;
}

void
sl_find_neck_angle (SlProposing *p, const SlState *before, double bass, double treble)
{
  int worst = 0;
  double most = 0;

  for (int s = 1; s <= p->in->n_strings; s++)
    {
      const double x_s = p->in->scale + before->setback[s - 1];
      const double left = sl_need (p->in, before, s, NULL) - MAX (0, sl_crest_room (p, before, s));

      if (p->a->fit.action_assumed[s - 1] || left <= p->in->action_tolerance * x_s / p->in->x[SL_OCTAVE_FRET] ||
          left <= most)
        continue;
      most = left;
      worst = s;
    }
  if (worst == 0)
    return;

  /* the crest wanted lower by `most` over a lever from the joint to the crest: the neck's angle that would do it */
  const double x_s = p->in->scale + before->setback[worst - 1], lever = x_s - p->in->x[p->in->joint];

  const SlFinding finding = { .kind = SL_FINDING_NECK_ANGLE,
                              .string = worst,
                              .fret = SL_OCTAVE_FRET,
                              .amount = most,
                              .screws = !isnan (p->in->height_screw_pitch),
                              .values = { p->in->least_exposure,
                                          p->in->target_action[worst - 1] + most * p->in->x[SL_OCTAVE_FRET] / x_s,
                                          p->in->target_action[worst - 1], most / lever * 180 / G_PI,
                                          sl_heel_wedge (p->in, before, worst, most, HEEL_MM), bass, treble } };

  g_array_insert_val (p->out->findings, p->n_first, finding);
}

/* The first step that lowers the saddle; as many as there are steps where none does. */
static guint
first_lowering (const SlProposing *p)
{
  guint i = 0;

  for (; i < p->out->steps->len; i++)
    {
      const SlOperation *operation = &g_array_index (p->out->steps, SlStep, i).operation;

      if (operation->kind == SL_OP_CUT_SADDLE_BASE || (operation->kind == SL_OP_SHAPE_CREST && operation->amount.v > 0))
        break;
    }
  return i;
}

/* How far an open gap at fret 1 or 12 stands over the target, mm; its target and tolerance. */
static double
over_target (const SlProposing *p, const SlState *state, int string, int fret, double *target, double *tolerance)
{
  *target = fret == 1 ? p->in->target_first_gap[string - 1] : p->in->target_action[string - 1];
  *tolerance = fret == 1 ? p->in->first_gap_tolerance : p->in->action_tolerance;
  return sl_proposing_gap (p, state, string, fret) - *target;
}

/* Whether an open gap that ends too low was in range when it was read: then it is read again before anything is made
 * good. */
static gboolean
only_predicted (const SlProposing *p, int string, int fret)
{
  double target, tolerance;

  return over_target (p, &p->a->measured, string, fret, &target, &tolerance) >= -tolerance - SL_EDGE_MM;
}

/* What stays out of range because it is less than a hand, or the shop's step, can take off. */
static void
find_left (SlProposing *p, int string, int fret)
{
  double target, tolerance;
  const double over = over_target (p, &p->state, string, fret, &target, &tolerance);
  const gboolean assumed = fret == 1 ? p->a->fit.first_gap_assumed[string - 1] : p->a->fit.action_assumed[string - 1];
  const gboolean stopped = fret != 1 && sl_need (p->in, &p->state, string, NULL) > sl_crest_room (p, &p->state, string);

  if (over > tolerance + SL_EDGE_MM && !assumed && !stopped)
    sl_add_finding (p, (SlFinding){ .kind = SL_FINDING_LEFT,
                                    .string = string,
                                    .fret = fret,
                                    .amount = over,
                                    .values = { target + over, target } });
}

/* Slots that end below their range: only more material helps. */
static void
find_low_slots (SlProposing *p)
{
  for (int s = 1; s <= p->in->n_strings; s++)
    {
      const double first = sl_proposing_gap (p, &p->state, s, 1), target = p->in->target_first_gap[s - 1];

      if (p->a->fit.first_gap_assumed[s - 1] || first >= target - p->in->first_gap_tolerance - SL_EDGE_MM)
        continue;
      /* the nut is made good before the saddle comes down */
      sl_insert_finding (p,
                         (SlFinding){ .kind = SL_FINDING_SLOT_LOW,
                                      .string = s,
                                      .fret = 1,
                                      .amount = -sl_slot_need (p->in, &p->state, s, NULL, NULL),
                                      .predicted = only_predicted (p, s, 1),
                                      .values = { first, target } },
                         first_lowering (p));
    }
}

/* The same of crests; height screws go up again. */
static void
find_low_crests (SlProposing *p)
{
  for (int s = 1; isnan (p->in->height_screw_pitch) && s <= p->in->n_strings; s++)
    {
      const double action = sl_proposing_gap (p, &p->state, s, SL_OCTAVE_FRET), target = p->in->target_action[s - 1];

      if (p->a->fit.action_assumed[s - 1] || action >= target - p->in->action_tolerance - SL_EDGE_MM)
        continue;
      sl_add_finding (p, (SlFinding){ .kind = SL_FINDING_CREST_LOW,
                                      .string = s,
                                      .fret = SL_OCTAVE_FRET,
                                      .amount = -sl_need (p->in, &p->state, s, NULL),
                                      .predicted = only_predicted (p, s, SL_OCTAVE_FRET),
                                      .values = { action, target } });
    }
}

/* The saddle comes down without anybody having read how much of it there is. On height screws that matters where a
 * least exposure is given. */
static void
find_unread_exposure (SlProposing *p)
{
  const guint lowering = first_lowering (p);

  if (p->state.exposure_read || (!isnan (p->in->height_screw_pitch) && p->in->least_exposure <= 0))
    return;
  if (lowering < p->out->steps->len)
    sl_insert_finding (p, (SlFinding){ .kind = SL_FINDING_EXPOSURE, .amount = NAN }, lowering);
}

void
sl_find_limits (SlProposing *p)
{
  find_low_slots (p);
  find_low_crests (p);
  for (int fret = 1; fret <= SL_OCTAVE_FRET; fret += SL_OCTAVE_FRET - 1)
    for (int s = 1; s <= p->in->n_strings; s++)
      find_left (p, s, fret);
  find_unread_exposure (p);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The part of a proposal that crowns are the reason for (model 6): the least metal that levels them, what a rising
 * fingerboard extension costs, and crowns that levelling would lose. */

#include "setup/physics/clearance.h"
#include "setup/physics/forces.h"
#include "setup/physics/frets.h"
#include "setup/physics/pitch.h"
#include "setup/work/propose-private.h"

#define BIT(n) (G_GUINT64_CONSTANT (1) << (n))
#define SPOT_RUN 2 /* a file that takes more crowns in a row down has no neighbours to lie on: our own choice */

/* ---- which crowns ---- */

/* The crowns beyond the joint that stand higher than they may. */
static guint64
high_beyond (const SlInstrument *in, const SlState *state)
{
  guint64 high = 0;

  for (int n = in->joint + 1; n <= in->frets; n++)
    if (sl_tongue_crown_high (in, state, n))
      high |= BIT (n);
  return high;
}

/* The crowns up to the joint that would have to come down for all to be level; FALSE where those are not single ones.
 */
static gboolean
single_high (const SlInstrument *in, const SlState *state, guint64 *high)
{
  const double most = sl_lowest_crown (in, state) + SL_CROWN_TOLERANCE_MM + SL_EDGE_MM;
  int run = 0;

  *high = 0;
  for (int n = 1; n <= in->joint; n++)
    {
      run = state->crown[n] > most ? run + 1 : 0;
      *high |= run > 0 ? BIT (n) : 0;
      if (run > SPOT_RUN)
        return FALSE;
    }
  return TRUE;
}

/* ---- the two ways ---- */

static SlOperation
levelling (const SlInstrument *in, guint64 frets, gboolean tongue)
{
  SlOperation level = sl_operation_init (SL_OP_LEVEL_FRETS);

  level.frets = frets;
  if (tongue && in->target_fall_away > 0)
    level.amount = sl_number (in->target_fall_away);
  return level;
}

/* Single crowns, and with @tongue the crowns beyond the joint that would stand too high over the rest; with none it
 * names no fret. FALSE where those that have to come down up to the joint are not single ones. */
static gboolean
level_singles (const SlInstrument *in, const SlState *state, gboolean tongue, SlOperation *spot)
{
  SlState levelled = *state;
  guint64 singles, beyond;

  if (!single_high (in, state, &singles))
    return FALSE;
  *spot = levelling (in, singles, FALSE);
  if (singles != 0)
    sl_work_crowns (in, spot, &levelled);
  beyond = tongue ? high_beyond (in, &levelled) : 0;
  *spot = levelling (in, singles | beyond, beyond != 0);
  return TRUE;
}

/* The whole board, and with @tongue the crowns beyond the joint that would stand too high over it as levelled; where
 * the tongue may rise or not, no others of them. */
static SlOperation
level_board (const SlInstrument *in, const SlState *state, gboolean tongue)
{
  const guint64 board = sl_fret_bits (1, in->joint);
  const double level = sl_lowest_crown (in, state);
  SlState lowered = *state;
  guint64 high;

  for (int n = 1; n <= in->joint; n++)
    lowered.crown[n] = MIN (lowered.crown[n], level);
  high = tongue ? high_beyond (in, &lowered) : 0;
  return levelling (in, tongue && sl_tongue_fall (in, state) > -SL_CROWN_TOLERANCE_MM ? 0 : board | high, high != 0);
}

/* The way that takes off less and leaves every crown within tolerance, single crowns before the board; @instead: where
 * it is single ones, what the board would take off in all, mm, else NAN. FALSE where nothing has to come down. */
static gboolean
choose (const SlInstrument *in, const SlState *state, gboolean tongue, SlOperation *best, double *instead)
{
  const SlOperation board = level_board (in, state, tongue);
  SlLevelling by_spot, by_board;
  SlState after = *state;
  SlOperation spot;

  *best = board;
  *instead = NAN;
  if (!level_singles (in, state, tongue, &spot))
    return TRUE;
  if (spot.frets != 0)
    sl_work_crowns (in, &spot, &after);
  if (sl_crown_spread (in, &after) > SL_CROWN_TOLERANCE_MM + SL_EDGE_MM)
    return TRUE;
  if (spot.frets == 0)
    return FALSE;
  sl_level (in, state, &spot, &by_spot);
  sl_level (in, state, &board, &by_board);
  if (by_spot.sum_off > by_board.sum_off + SL_EDGE_MM)
    return TRUE;
  *best = spot;
  *instead = by_board.sum_off;
  return TRUE;
}

/* ---- the fingerboard extension ---- */

static double
least_margin_beyond (const SlProposing *p, const SlState *state)
{
  double least = INFINITY;

  for (int string = 1; string <= p->in->n_strings; string++)
    {
      SlStringState s;

      sl_state_string (p->in, state, string, &s);
      const double tension = sl_tension (&p->in->strings[string - 1], sl_open_length (&s));

      for (int held = 0; held < p->in->frets; held++)
        for (int n = MAX (held, p->in->joint) + 1; n <= p->in->frets; n++)
          {
            SlClearance over;

            sl_clearance (&s, tension, held, n, &over);
            least = MIN (least, over.margin);
          }
    }
  return least;
}

/* Says that the tongue rises, what that costs and whether its crowns could be dressed to the fall-away; returns the
 * latter. */
static gboolean
find_tongue (SlProposing *p)
{
  SlState dressed = p->state;
  double u, left = INFINITY;

  const SlOperation dress = levelling (p->in, sl_fret_bits (p->in->joint + 1, p->in->frets), TRUE);

  sl_tongue_rises (p->in, &p->state, &u);
  sl_work_crowns (p->in, &dress, &dressed);
  for (int n = p->in->joint + 1; n <= p->in->frets; n++)
    left = MIN (left, sl_state_crown_over_board (p->in, &dressed, n));
  sl_add_finding (p, (SlFinding){ .kind = SL_FINDING_TONGUE,
                                  .amount = -sl_tongue_fall (p->in, &p->state),
                                  .values = { -sl_tongue_fall (p->in, &p->state), SL_COVERAGE * u,
                                              least_margin_beyond (p, &dressed) - least_margin_beyond (p, &p->state),
                                              MAX (0, left) } });
  return left >= p->in->crown_least - SL_EDGE_MM;
}

/* ---- crowns past saving ---- */

/* Whether a crown was read and is still the one that was: neither reckoned between others nor replaced before. */
static gboolean
stands_as_read (const SlProposing *p, int n)
{
  gboolean read = FALSE;

  SL_EACH (const SlReading, r, p->a->set != NULL ? p->a->set->readings : NULL)
    read = read || ((r->kind == SL_READ_CROWN_GAP || r->kind == SL_READ_CROWN_WEAR) && r->fret == n);
  SL_EACH (const SlStep, step, p->out->steps)
    read =
        read && !(step->operation.kind == SL_OP_REPLACE_FRETS && n >= step->operation.from && n <= step->operation.to);
  return read;
}

/* The fret that crowns come down to: of several as low one that was read, for it is named. */
static int
lowest_fret (const SlProposing *p)
{
  int lowest = 1;

  for (int n = 2; n <= p->in->joint; n++)
    {
      const double lower = sl_crown_low_point (&p->state, lowest) - sl_crown_low_point (&p->state, n);

      if (lower > SL_EDGE_MM || (lower > -SL_EDGE_MM && stands_as_read (p, n) && !stands_as_read (p, lowest)))
        lowest = n;
    }
  return lowest;
}

/* New frets in place of those in @other's table, a step for each row of neighbours. */
static void
propose_new_frets (SlProposing *p, const SlLevelling *other)
{
  for (int from = 1, to; from <= other->n; from = to + 1)
    {
      SlOperation new = sl_operation_init (SL_OP_REPLACE_FRETS);

      for (to = from; to < other->n && other->frets[to + 1].replaced; to++)
        ;
      if (!other->frets[from].replaced)
        {
          to = from;
          continue;
        }
      new.from = from;
      new.to = to;
      sl_add_step (p, new, (double[4]){ 0 });
    }
}

/* Where levelling would take a crown below its least height, says which new frets would save the others and proposes
 * them: no crown is spoilt for one that is worn. FALSE where levelling loses none. */
static gboolean
save_lost_frets (SlProposing *p, const SlLevelling *work)
{
  SlLevelling other;
  double left = INFINITY;
  guint64 replaced = 0;

  for (int n = 1; n <= work->n; n++)
    if (work->frets[n].off > 0 && !work->frets[n].saved)
      left = MIN (left, work->frets[n].left);
  if (isinf (left))
    return FALSE;
  sl_level_replacing (p->in, &p->state, work->fall_away, &other);
  for (int n = 1; n <= other.n && other.n_replaced < other.n; n++)
    if (other.frets[n].replaced)
      replaced |= BIT (n);
  sl_add_finding (p, (SlFinding){ .kind = SL_FINDING_FRET_HEIGHT,
                                  .fret = lowest_fret (p),
                                  .amount = p->in->crown_least - left,
                                  .replaced = replaced,
                                  .values = { MAX (0, left), p->in->crown_least } });
  propose_new_frets (p, &other);
  return other.n_replaced > 0;
}

/* ---- bench steps ---- */

/* Levelled crowns are flat until they are re-crowned. */
static void
propose_dressing (SlProposing *p, gboolean levelled)
{
  static const SlBenchStep steps[] = { SL_BENCH_RECROWN, SL_BENCH_POLISH };

  for (gsize i = 0; i < G_N_ELEMENTS (steps); i++)
    if (levelled || sl_is_owed (p, SL_FRETWORK, steps[i], FALSE))
      sl_add_bench_step (p, steps[i]);
}

/* Levels what is uneven; FALSE where nothing is. */
static gboolean
propose_levelling (SlProposing *p, gboolean tongue)
{
  SlOperation level;
  SlLevelling work;
  double instead;
  gboolean renewed;

  if (!choose (p->in, &p->state, tongue, &level, &instead))
    return FALSE;
  sl_level (p->in, &p->state, &level, &work);
  renewed = save_lost_frets (p, &work);
  if (renewed && !choose (p->in, &p->state, tongue, &level, &instead))
    return TRUE;
  sl_level (p->in, &p->state, &level, &work);
  for (int n = 1; n <= work.n; n++)
    p->out->level_off[n] = round (work.frets[n].off / SL_LEAST_STEP_MM) * SL_LEAST_STEP_MM;
  sl_add_step (p, level, (double[4]){ sl_crown_spread (p->in, &p->state), lowest_fret (p), work.sum_off, instead });
  return TRUE;
}

/* Brings a zero fret down to its neighbours' line: where a string lies too high over fret 1 for it, and none too low
 * then. FALSE where it is left alone. */
static gboolean
propose_zero_fret (SlProposing *p)
{
  const SlOperation level = levelling (p->in, BIT (0), FALSE);
  SlState after = p->state;
  double over = 0;

  if (p->in->nut_kind != SL_NUT_ZERO_FRET)
    return FALSE;
  sl_work_crowns (p->in, &level, &after);
  for (int s = 1; s <= p->in->n_strings; s++)
    {
      const SlWant want = sl_want (p->in, &p->state, s, 1);

      if (sl_fit_assumes (&p->a->fit, s, 1))
        continue;
      if (sl_want (p->in, &after, s, 1).over < -want.tolerance)
        return FALSE;
      if (want.over > sl_slack (p, want.tolerance))
        over = MAX (over, sl_state_nut_height (&p->state, s) - sl_state_nut_height (&after, s));
    }
  if (over <= SL_CROWN_TOLERANCE_MM + SL_EDGE_MM)
    return FALSE;
  p->out->level_off[0] = round (over / SL_LEAST_STEP_MM) * SL_LEAST_STEP_MM;
  sl_add_step (p, level, (double[4]){ over, 1, over, NAN });
  return TRUE;
}

void
sl_propose_frets (SlProposing *p)
{
  const gboolean rises = !p->a->fit.tongue_assumed && sl_tongue_rises (p->in, &p->state, NULL);
  /* a tongue without the height to be dressed is left to work on the neck */
  const gboolean tongue = !rises || find_tongue (p);

  /* marks are deep in crowns nobody read, too */
  const gboolean worn = sl_crown_spread (p->in, &p->state) > SL_CROWN_TOLERANCE_MM + SL_EDGE_MM;

  gboolean levelled = (p->state.crowns_read || rises || worn) && propose_levelling (p, tongue);

  levelled = propose_zero_fret (p) || levelled;
  propose_dressing (p, levelled);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The part of a proposal that crowns are the reason for (model 6). */
#include <gsl/gsl_statistics_double.h>

#include "setup/physics/frets.h"
#include "setup/work/propose-private.h"

#define CROWN_TOLERANCE_MM 0.03 /* model 10.1 */

/* Says so where levelling would take a crown below its least height, and which frets replaced would save the others. */
static void
find_lost_frets (SlProposing *p, int lowest)
{
  SlLevelling work, other;
  double left = INFINITY;

  sl_level (p->in, &p->state, p->a->set, 0, &work);
  if (work.n_lost == 0)
    return;
  for (int n = 1; n <= work.n; n++)
    left = MIN (left, work.frets[n].left);
  sl_level_replacing (p->in, &p->state, p->a->set, 0, &other);
  guint64 replaced = 0;

  for (int n = 1; n <= other.n && other.n_replaced < other.n; n++)
    if (other.frets[n].replaced)
      replaced |= G_GUINT64_CONSTANT (1) << n;
  sl_add_finding (p, (SlFinding){ .kind = SL_FINDING_FRET_HEIGHT,
                                  .fret = lowest,
                                  .amount = p->in->crown_least - left,
                                  .replaced = replaced,
                                  .values = { left, p->in->crown_least } });
}

void
sl_propose_frets (SlProposing *p)
{
  const double *crowns = p->state.crown + 1;
  const SlState before = p->state;
  size_t lowest, highest;

  gsl_stats_minmax_index (&lowest, &highest, crowns, 1, (size_t) p->in->frets);
  const double off = crowns[highest] - crowns[lowest];

  if (!p->state.crowns_read || off <= CROWN_TOLERANCE_MM)
    return;
  find_lost_frets (p, (int) lowest + 1);
  sl_add_step (p, sl_operation_init (SL_OP_LEVEL_FRETS), (double[4]){ off, (double) lowest + 1 });
  for (int n = 1; n <= p->in->frets; n++)
    p->out->level_off[n] = before.crown[n] - p->state.crown[n];
}

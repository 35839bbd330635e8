/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A bench to raise gates on: the plain instrument, 632 mm joined at 14, the crest twice as far from the nut as fret 12,
 * with readings, a plan and what is proposed for it. */
#pragma once

#include "setup/physics/figures.h"
#include "setup/work/work.h"
#include "support.h"

#define READ "2026-03-02T10:00:00Z"
#define DONE "2026-03-02T11:00:00Z"
#define AGAIN "2026-03-02T12:00:00Z"

typedef struct
{
  SlProfile *profile;
  SlInstrument in;
  SlAnalysis *analysis;
  SlProposal proposal;
} Bench;

static inline void
bench_clear (Bench *b)
{
  if (b->analysis != NULL)
    {
      sl_proposal_clear (&b->proposal);
      sl_analysis_clear (b->analysis);
      g_free (b->analysis);
    }
  sl_profile_free (b->profile);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Bench, bench_clear)

static inline SlVisit *
visit_of (const Bench *b)
{
  return sl_profile_last_visit (b->profile);
}

static inline SlReadingSet *
add_set (const Bench *b, const char *taken)
{
  SlReadingSet set = sl_reading_set_init ();

  set.taken = g_strdup (taken);
  g_array_append_val (visit_of (b)->sets, set);
  return &g_array_index (visit_of (b)->sets, SlReadingSet, visit_of (b)->sets->len - 1);
}

static inline void
read_relief (const Bench *b, SlReadingSet *set, int string, double relief)
{
  test_add (set, SL_READ_RELIEF, string, 7, SL_HELD_DEFAULT, relief * sl_bow_shape (&b->in, 1, b->in.x[0][7]));
}

static inline void
read_gaps (const Bench *b, SlReadingSet *set, SlReadingKind kind, int string, double over)
{
  const gboolean first = kind == SL_READ_FIRST_GAP;

  test_add (set, kind, string, first ? 1 : 12, SL_HELD_DEFAULT,
            (first ? b->in.target_first_gap : b->in.target_action)[string - 1] + over);
}

/* All of it too high: relief, first gaps, actions. */
static inline void
bench_begin (Bench *b, double relief, double first_over, double action_over)
{
  SlVisit visit = sl_visit_init ();
  SlReadingSet *set;

  b->profile = test_plain_profile ();
  g_array_append_val (b->profile->visits, visit);
  sl_instrument_from_profile (b->profile, &b->in);
  set = add_set (b, READ);
  read_relief (b, set, 1, relief);
  read_relief (b, set, 6, relief);
  test_add (set, SL_READ_TONGUE, 0, 0, SL_HELD_DEFAULT, 0.1);
  for (int s = 1; s <= 6; s++)
    {
      read_gaps (b, set, SL_READ_FIRST_GAP, s, first_over);
      read_gaps (b, set, SL_READ_ACTION, s, action_over);
      test_add (set, SL_READ_EXPOSURE, s, 0, SL_HELD_DEFAULT, 5);
    }
}

static inline void
propose (Bench *b)
{
  if (b->analysis != NULL)
    {
      sl_proposal_clear (&b->proposal);
      sl_analysis_clear (b->analysis);
    }
  else
    b->analysis = g_new0 (SlAnalysis, 1);
  sl_analyse_last (b->profile, &SL_SHOP_DEFAULT, b->analysis);
  sl_propose (b->analysis, &b->proposal);
}

/* Adds an operation to the plan, done or not. */
static inline void
plan (const Bench *b, SlOperationKind kind, int string, double amount, const char *done)
{
  SlOperation op = sl_operation_init (kind);

  op.string = string;
  op.amount = op.amount_treble = sl_number (amount);
  op.done = g_strdup (done);
  g_array_append_val (visit_of (b)->plan, op);
}

static inline const SlStep *
step (const Bench *b, SlOperationKind kind, int string)
{
  for (guint i = 0; i < b->proposal.steps->len; i++)
    {
      const SlStep *found = &g_array_index (b->proposal.steps, SlStep, i);

      if (found->operation.kind == kind && (string == 0 || found->operation.string == string))
        return found;
    }
  return NULL;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Whatever is read of whatever instrument: the plan that is proposed for it can be written and read back. */
#include <string.h>

#include "../rounds.h"
#include "setup/profile/bounds.h"
#include "setup/work/propose.h"
#include "support.h"

#define CROWN_MM 0.1 /* the least height of a crown: no gap or wear of it may be more */

/* Anywhere within a bound, now and then at an end of it. */
static SlNumber
anywhere (GRand *rand, const SlBound *bound)
{
  const double at = g_rand_double_range (rand, -0.1, 1.1);

  return sl_number (bound->least + CLAMP (at, 0, 1) * (bound->most - bound->least));
}

/* Readings and targets that fit no instrument, but that a document may hold. */
static void
stretch (GRand *rand, SlProfile *profile)
{
  for (guint v = 0; v < profile->visits->len; v++)
    {
      const SlVisit *visit = &g_array_index (profile->visits, SlVisit, v);

      for (guint s = 0; s < visit->sets->len; s++)
        {
          const SlReadingSet *set = &g_array_index (visit->sets, SlReadingSet, s);

          for (guint i = 0; i < set->readings->len; i++)
            {
              SlReading *r = &g_array_index (set->readings, SlReading, i);
              SlBound bound = sl_readings[r->kind].bound;

              if (r->kind == SL_READ_CROWN_GAP || r->kind == SL_READ_CROWN_WEAR)
                bound.most = CROWN_MM;
              r->value = anywhere (rand, &bound);
              r->use = g_rand_boolean (rand) ? SL_USE_ALWAYS : r->use;
            }
        }
    }
  for (const SlBound *bound = sl_bounds; bound->element != NULL; bound++)
    if (strcmp (bound->element, "targets") == 0 && g_rand_boolean (rand))
      *(SlNumber *) (void *) ((char *) &profile->targets + bound->offset) = anywhere (rand, bound);
}

static gboolean
says_limit (const SlProposal *proposal, const SlOperation *op)
{
  for (guint i = 0; i < proposal->findings->len; i++)
    {
      const SlFinding *finding = &g_array_index (proposal->findings, SlFinding, i);

      if (finding->kind == SL_FINDING_LIMIT && finding->work == op->kind && finding->string == op->string)
        return TRUE;
    }
  return FALSE;
}

/* Whether an amount stands at an end of its range, other than at 0. */
static gboolean
at_end (const SlBound *bound, SlNumber amount)
{
  return bound->element != NULL && amount.v != 0 && (amount.v == bound->least || amount.v == bound->most);
}

/* Proposes for the last visit and enters it; counts the steps of each kind that were held back. */
static void
propose (SlProfile *profile, int *held_back)
{
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  const SlShop shop = SL_SHOP_DEFAULT;
  SlVisit *visit = sl_profile_last_visit (profile);
  SlProposal proposal;

  sl_analyse_last (profile, &shop, analysis);
  sl_propose (analysis, &proposal);
  for (guint i = 0; i < proposal.steps->len; i++)
    {
      const SlOperation *op = &g_array_index (proposal.steps, SlStep, i).operation;
      const SlOperationTraits *kind = &sl_operations[op->kind];

      if (op->kind == SL_OP_LEVEL_FRETS || op->kind == SL_OP_REPLACE_FRETS ||
          (!at_end (&kind->bound, op->amount) && !at_end (&kind->treble, op->amount_treble)))
        continue;
      held_back[op->kind]++;
      g_assert_true (says_limit (&proposal, op));
    }
  sl_proposal_enter (&proposal, visit->plan);
  sl_proposal_clear (&proposal);
  sl_analysis_clear (analysis);
}

static void
test_written_and_read (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (4711);
  int held_back[SL_N_OPS] = { 0 };

  for (int i = test_rounds (600); i > 0; i--)
    {
      g_autoptr (SlProfile) profile = test_random_profile (rand);

      if (sl_profile_last_visit (profile) == NULL)
        continue;
      stretch (rand, profile);
      g_autoptr (GPtrArray) faults = sl_profile_check (profile);
      if (faults->len > 0)
        continue; /* a wear deeper than a crown that was read so low */
      propose (profile, held_back);
      g_autofree char *text = test_print (profile);
      g_autoptr (SlProfile) read = test_parse (text);
      g_autofree char *again = test_print (read);
      g_assert_cmpstr (again, ==, text);
    }
  if (test_rounds (600) < 600)
    return;
  for (int kind = SL_OP_TURN_ROD; kind <= SL_OP_MOVE_CREST; kind++)
    {
      g_test_message ("operation %d held back %d times", kind, held_back[kind]);
      g_assert_cmpint (held_back[kind], >, 0);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/proposals/written-and-read", test_written_and_read);
  return g_test_run ();
}

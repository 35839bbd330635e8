/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What would meet a finding, as a step to choose (model 6.3). Each is tried before it is offered: with it planned, the
 * proposal must no longer have the finding, and no string may go out of range for it. */

#include "setup/profile/construction.h"
#include "setup/profile/sets.h"
#include "setup/work/propose-private.h"

#define MADE_MM 0.01 /* what is made is told in such steps */
#define NUT_ROUNDS 3 /* a nut's slots and the saddle feed back by a few percent each round */
#define BIT(kind) (1u << (kind))

/* ---- a plan with one step more ---- */

/* Proposes with @offer planned, too (NULL: without). */
static void
try (const SlAnalysis *analysis, const SlOperation *offer, SlProposal *out)
{
  g_autofree SlAnalysis *with = g_memdup2 (analysis, sizeof *analysis);
  g_autoptr (GArray) plan = g_array_new (FALSE, FALSE, sizeof (SlOperation)); /* what they hold stays the others' */

  SL_EACH (const SlOperation, op, analysis->plan)
    g_array_append_vals (plan, op, 1);
  if (offer != NULL)
    g_array_append_vals (plan, offer, 1);
  with->plan = plan;
  sl_propose (with, out);
}

/* The instrument when what is done and what is proposed is done, but for some kinds of work (a bit each). */
static SlState
end_of (const SlAnalysis *analysis, const SlProposal *proposal, guint but)
{
  SlState end = analysis->measured;

  sl_plan_apply (&analysis->instrument, analysis->plan, analysis->set != NULL ? analysis->set->taken : NULL, TRUE,
                 &analysis->shop.work, &end);
  SL_EACH (const SlStep, step, proposal->steps)
    if (!(but >> step->operation.kind & 1))
      sl_operation_apply (&analysis->instrument, &step->operation, &end);
  return end;
}

/* How a string's action ends: below its range (−1), in it, or above; what nobody read is taken to be in it. */
static int
ends (const SlAnalysis *analysis, const SlState *end, int string)
{
  const SlWant want = sl_want (&analysis->instrument, end, string, SL_OCTAVE_FRET);

  if (sl_fit_assumes (&analysis->fit, string, SL_OCTAVE_FRET) || fabs (want.over) <= want.tolerance + SL_EDGE_MM)
    return 0;
  return want.over > 0 ? 1 : -1;
}

/* Whether the finding is gone with @offer planned, and no string's action goes out of range for it. */
static gboolean
meets (const SlAnalysis *analysis, const SlFinding *finding, const SlOperation *offer)
{
  g_auto (SlProposal) without, with;
  gboolean good = TRUE;

  try (analysis, NULL, &without);
  try (analysis, offer, &with);
  const SlState before = end_of (analysis, &without, 0), after = end_of (analysis, &with, 0);

  SL_EACH (const SlFinding, other, with.findings)
    good = good && (other->kind != finding->kind || other->string != finding->string);
  for (int s = 1; s <= analysis->instrument.n_strings; s++)
    good = good && (ends (analysis, &after, s) == 0 || ends (analysis, &after, s) == ends (analysis, &before, s));
  return good;
}

/* ---- each ---- */

static double
made (double mm)
{
  return round (mm / MADE_MM) * MADE_MM + 0.0; /* never the 0 below 0 */
}

/* A height for every string, the saddle done as it then has to be. */
static void
new_nut (const SlAnalysis *analysis, SlOperation *out)
{
  const SlInstrument *in = &analysis->instrument;

  *out = sl_operation_init (SL_OP_MAKE_NUT);
  for (int round = 0; round < NUT_ROUNDS; round++)
    {
      g_auto (SlProposal) proposal;

      try (analysis, round == 0 ? NULL : out, &proposal);
      const SlState end = end_of (analysis, &proposal, 0);

      out->n_ends = in->n_strings;
      for (int s = 1; s <= in->n_strings; s++)
        out->ends[s - 1] =
            (SlStringEnd){ s, sl_number (made (sl_state_nut_height (&end, s) - sl_want (in, &end, s, 1).by)) };
    }
}

/* An exposure for either end that takes every string to its target or above it: what stands above is dressed. What lies
 * between keeps the curve it has. Of an exposure nobody read nothing can be told. */
static gboolean
new_saddle (const SlAnalysis *analysis, SlOperation *out)
{
  const SlInstrument *in = &analysis->instrument;
  const int n = in->n_strings;
  g_auto (SlProposal) proposal;
  double lift[SL_MAX_STRINGS] = { 0 }, short_of = 0;

  try (analysis, NULL, &proposal);
  const SlState end = end_of (analysis, &proposal, BIT (SL_OP_CUT_SADDLE_BASE) | BIT (SL_OP_SHAPE_CREST));

  for (int s = 1; s <= n; s++)
    lift[s - 1] = -sl_want (in, &end, s, SL_OCTAVE_FRET).by;
  for (int s = 1; s <= n; s++)
    short_of = MAX (short_of, lift[s - 1] - sl_between_strings (lift[0], lift[n - 1], s, n));
  *out = sl_operation_of (SL_OP_MAKE_SADDLE, 0,
                          sl_within (SL_OP_MAKE_SADDLE, made (end.exposure[n - 1] + lift[n - 1] + short_of)),
                          sl_within (SL_OP_MAKE_SADDLE, made (end.exposure[0] + lift[0] + short_of)));
  return end.exposure_read;
}

/* Whether a set is as many strings of the same stuff. */
static gboolean
is_like (const SlStringSet *set, const SlProfile *profile)
{
  gboolean like = set->n_strings == profile->n_strings;

  for (int s = 0; s < profile->n_strings && like; s++)
    like = set->strings[s].core == profile->strings[s].core &&
           (profile->strings[s].wrap == SL_WRAP_NONE || set->strings[s].wrap == profile->strings[s].wrap);
  return like;
}

/* The set like this one that brings relief nearest to its target. */
static gboolean
other_strings (const SlAnalysis *analysis, SlOperation *out)
{
  const SlInstrument *in = &analysis->instrument;
  double nearest = INFINITY, off;
  const char *best = NULL;
  int n;
  const SlStringSet *sets = sl_string_sets (&n);

  *out = sl_operation_init (SL_OP_FIT_STRINGS);
  for (int i = 0; i < n && analysis->profile != NULL; i++)
    {
      SlState after = analysis->measured;

      out->set = (char *) sets[i].id;
      sl_operation_apply (in, out, &after);
      off = fabs (sl_state_mean_relief (&after) - in->target_relief);
      if (off >= nearest || !is_like (&sets[i], analysis->profile))
        continue;
      nearest = off;
      best = sets[i].id;
    }
  out->set = g_strdup (best);
  return best != NULL;
}

static gboolean
candidate (const SlAnalysis *analysis, const SlFinding *finding, SlOperation *out)
{
  const SlInstrument *in = &analysis->instrument;

  switch (finding->kind)
    {
    case SL_FINDING_NECK_ANGLE:
      *out = sl_operation_of (SL_OP_SET_NECK_ANGLE, 0,
                              sl_within (SL_OP_SET_NECK_ANGLE, made (finding->amount + MADE_MM / 2)), NAN);
      return TRUE;
    case SL_FINDING_SLOT_LOW: new_nut (analysis, out); return TRUE;
    case SL_FINDING_CREST_LOW:
      if (sl_has_work (in, SL_OP_MAKE_SADDLE))
        return new_saddle (analysis, out);
      /* nothing at the saddle goes up: where the heel is set by a shim or a screw, the neck is let back */
      *out = sl_operation_of (SL_OP_SET_NECK_ANGLE, 0, sl_within (SL_OP_SET_NECK_ANGLE, -made (finding->amount)), NAN);
      return in->heel_adjust != SL_HEEL_NONE;
    case SL_FINDING_ZERO_FRET:
      *out = sl_operation_of (SL_OP_REPLACE_FRETS, 0, NAN, made (finding->values[2]));
      return finding->amount > 0 && out->amount_treble.v <= sl_operations[SL_OP_REPLACE_FRETS].treble.most;
    case SL_FINDING_RODLESS: return other_strings (analysis, out);
    default: return FALSE;
    }
}

gboolean
sl_finding_offer (const SlAnalysis *analysis, const SlFinding *finding, SlOperation *out)
{
  *out = sl_operation_init (SL_OP_BENCH_STEP);
  if (!finding->predicted && candidate (analysis, finding, out) && sl_has_work (&analysis->instrument, out->kind) &&
      meets (analysis, finding, out))
    return TRUE;
  sl_operation_clear (out);
  return FALSE;
}

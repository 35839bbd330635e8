/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Work that is in a plan or not, as it begins there. */
#include "bench/bench.h"

#include "setup/profile/units.h"

#define FIRST_WORN 5        /* frets up to this one wear first: common practice */
#define WORKED_PER_MM 100.0 /* what new work is planned to */

SlNumber *
sl_operation_amount_place (SlOperation *operation, int string, gboolean treble)
{
  int i = 0;

  if (operation->kind != SL_OP_MAKE_NUT)
    return treble ? &operation->amount_treble : &operation->amount;
  while (i < operation->n_ends && operation->ends[i].string != string)
    i++;
  if (i == operation->n_ends)
    operation->ends[operation->n_ends++] = (SlStringEnd){ string, SL_NUMBER_ABSENT };
  return &operation->ends[i].value;
}

SlNumber
sl_operation_amount_at (const SlOperation *operation, int string, gboolean treble)
{
  SlOperation copy = *operation;

  return *sl_operation_amount_place (&copy, string, treble);
}

/* What a finding offers of a kind; FALSE: none does. Clear @out in any case. */
static gboolean
offered (SlBench *bench, SlOperationKind kind, SlOperation *out)
{
  SL_EACH (const SlFinding, finding, sl_bench_get_proposal (bench)->findings)
    {
      sl_operation_clear (out);
      if (sl_finding_offer (sl_bench_get_analysis (bench), finding, out) && out->kind == kind)
        return TRUE;
    }
  return FALSE;
}

/* The gauges of the strings that are on, as a document has them. */
static char *
present_gauges (const SlProfile *profile, const SlInstrument *instrument)
{
  GString *text = g_string_new (NULL);

  for (int s = 0; s < profile->n_strings; s++)
    {
      g_autofree char *gauge = sl_plain_shortest (instrument->strings[s].outside_mm);

      g_string_append_printf (text, "%s%s mm%s", s > 0 ? ", " : "", gauge,
                              profile->strings[s].build == SL_BUILD_WOUND ? " w" : "");
    }
  return g_string_free (text, FALSE);
}

static SlNumber
worked (double mm)
{
  return sl_number (round (mm * WORKED_PER_MM) / WORKED_PER_MM);
}

/* Before anything is said of it: the first frets, the heights there are, the strings that are on. */
static SlOperation
as_it_is (SlBench *bench, SlOperationKind kind)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (bench);
  const SlState *state = analysis->has_plan ? &analysis->planned : &analysis->measured;
  SlOperation operation = sl_operation_init (kind);

  operation.from = 1;
  operation.to = MIN (FIRST_WORN, analysis->instrument.frets);
  if (kind == SL_OP_SET_NECK_ANGLE)
    operation.amount = sl_number (0);
  operation.n_ends = kind == SL_OP_MAKE_NUT ? state->n_strings : 0;
  for (int i = 0; i < operation.n_ends; i++)
    operation.ends[i] = (SlStringEnd){ i + 1, worked (sl_state_nut_height (state, i + 1)) };
  if (kind == SL_OP_MAKE_SADDLE)
    {
      operation.amount = worked (state->exposure[state->n_strings - 1]);
      operation.amount_treble = worked (state->exposure[0]);
    }
  if (kind == SL_OP_FIT_STRINGS)
    operation.set = present_gauges (sl_bench_get_profile (bench), &analysis->instrument);
  return operation;
}

void
sl_edit_begin_work (SlBench *bench, SlOperationKind kind)
{
  SlOperation operation = sl_operation_init (kind);

  if (sl_bench_find_operation (bench, kind, 0) != NULL)
    return;
  if (!offered (bench, kind, &operation))
    {
      sl_operation_clear (&operation);
      operation = as_it_is (bench, kind);
    }
  sl_bench_put_operation (bench, sl_operation_undo_name (kind), operation);
  sl_operation_clear (&operation);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Work that is in a plan or not, as it begins there. */
#include "bench/bench.h"

#include "setup/profile/sets.h"
#include "setup/profile/units.h"

#define FIRST_WORN 5        /* frets up to this one wear first: common practice */
#define WORKED_PER_MM 100.0 /* what new work is planned to */
#define MM_PER_M 1000.0

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

/* To a tenth of a thousandth of an inch, in the C locale. */
static const char *
thousandths (double mm, char *buffer)
{
  return sl_number_format (sl_number (round (mm / SL_MM_PER_INCH * 10000) / 10), buffer);
}

/* The strings that are on, as a document has a set: a built-in one's id, else gauges and cores. NULL where no set has
 * such strings. */
static char *
present_set (const SlInstrument *instrument)
{
  g_autoptr (GString) text = g_string_new (NULL);
  char number[SL_NUMBER_CHARS];
  SlStringSet set;
  int n;
  const SlStringSet *sets = sl_string_sets (&n);

  for (int i = 0; i < n; i++)
    if (sl_string_set_is_on (&sets[i], instrument))
      return g_strdup (sets[i].id);
  for (int s = 0; s < instrument->n_strings; s++)
    {
      const SlStringData *on = &instrument->strings[s];

      g_string_append_printf (text, "%s%s", s > 0 ? " " : "", thousandths (on->outside_mm, number));
      if (on->wrap != SL_WRAP_NONE)
        g_string_append_printf (text, "w/%s", thousandths (2 * sqrt (on->core_area_m2 / G_PI) * MM_PER_M, number));
    }
  return sl_string_set_parse (text->str, instrument, &set, NULL) ? g_strdup (text->str) : NULL;
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
    operation.set = present_set (&analysis->instrument);
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
  if (kind != SL_OP_FIT_STRINGS || operation.set != NULL)
    sl_bench_put_operation (bench, sl_operation_undo_name (kind), operation);
  sl_operation_clear (&operation);
}

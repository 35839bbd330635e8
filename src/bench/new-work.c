/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Work that is in a plan or not, as it begins there; and what is kept of strings that were heard. */
#include "bench/bench.h"

#include "words/effect.h"

#define FIRST_WORN 5        /* frets up to this one wear first: common practice */
#define WORKED_PER_MM 100.0 /* what new work is planned to */
#define MM2_PER_M2 1e6

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

/* The strings that are on, as a document has a set: a built-in one's id, else gauges and cores. NULL where no set has
 * such strings. */
static char *
present_set (const SlInstrument *instrument)
{
  g_autofree char *text = sl_string_set_text (instrument->strings, instrument->n_strings, FALSE);
  SlStringSet set;
  int n;
  const SlStringSet *sets = sl_string_sets (&n);

  for (int i = 0; i < n; i++)
    if (sl_string_set_is_on (&sets[i], instrument))
      return g_strdup (sets[i].id);
  return sl_string_set_parse (text, instrument, &set, NULL) ? g_steal_pointer (&text) : NULL;
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

/* ---- what was heard of a string ---- */

typedef struct
{
  int string;
  double ei_nmm2, ea_n;
} Kept;

/* To two digits of its U. */
static double
rounded (double value, double U)
{
  if (isnan (value))
    return NAN;
  const int places = 1 - (int) floor (log10 (U > 0 ? U : fabs (value) / 10));

  return places > 0 ? round (value * pow (10, places)) / pow (10, places)
                    : round (value / pow (10, -places)) * pow (10, -places);
}

static void
keep_stiffness (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const Kept *kept = data;
  SlOperation *fitting = sl_strings_fitted_by (profile, visit, set != NULL ? set->taken : NULL, NULL);
  SlString *string = &profile->strings[kept->string - 1];
  SlInstrument in;

  if (fitting == NULL)
    {
      string->bending_stiffness = isnan (kept->ei_nmm2) ? string->bending_stiffness : sl_number (kept->ei_nmm2);
      string->axial_stiffness = isnan (kept->ea_n) ? string->axial_stiffness : sl_number (kept->ea_n);
      return;
    }
  sl_instrument_from_profile (profile, &in);
  if (!sl_instrument_fit (&in, fitting))
    return;
  SlStringData *on = &in.strings[kept->string - 1];

  on->ei_nm2 = isnan (kept->ei_nmm2) ? on->ei_nm2 : kept->ei_nmm2 / MM2_PER_M2;
  on->ea_n = isnan (kept->ea_n) ? on->ea_n : kept->ea_n;
  if (fitting->set_name == NULL)
    fitting->set_name = sl_fitted_name (fitting);
  g_free (fitting->set);
  fitting->set = sl_string_set_text (in.strings, in.n_strings, TRUE);
}

char *
sl_edit_keep_stiffness (SlBench *bench, int string, double ei_nmm2, double ei_U, double ea_n, double ea_U)
{
  const Kept kept = { string, rounded (ei_nmm2, ei_U), rounded (ea_n, ea_U) };

  return sl_checked_edit (bench, C_ ("undo step", "keep stiffness"), SL_CHANGED_INSTRUMENT | SL_CHANGED_DONE,
                          keep_stiffness, &kept);
}

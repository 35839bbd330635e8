/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/base/plan.h"

static gboolean
counts (const SlOperation *operation, SlOperationKind kind)
{
  return operation->kind == kind && operation->done == NULL;
}

gboolean
sl_is_planned (const SlAnalysis *analysis, SlOperationKind kind)
{
  for (guint i = 0; analysis->plan && i < analysis->plan->len; i++)
    if (counts (&g_array_index (analysis->plan, SlOperation, i), kind))
      return TRUE;
  return FALSE;
}

double
sl_planned_amount (const SlAnalysis *analysis, SlOperationKind kind, int string)
{
  double sum = 0;

  for (guint i = 0; analysis->plan && i < analysis->plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (analysis->plan, SlOperation, i);

      if (counts (operation, kind) && operation->string == string)
        sum += sl_number_or (operation->amount, 0);
    }
  return sum;
}

double
sl_planned_base_cut (const SlAnalysis *analysis, int string)
{
  double sum = 0;

  for (guint i = 0; analysis->plan && i < analysis->plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (analysis->plan, SlOperation, i);

      if (counts (operation, SL_OP_CUT_SADDLE_BASE))
        {
          double bass = sl_number_or (operation->amount, 0), treble = sl_number_or (operation->amount_treble, bass);

          sum += sl_between_strings (treble, bass, string, analysis->instrument.n_strings);
        }
    }
  return sum;
}

double
sl_planned_first_pass (const SlAnalysis *analysis, int string, double cut)
{
  double u = 0;

  sl_need (&analysis->instrument, &analysis->planned, string, &u);
  return sl_first_pass (cut, u);
}

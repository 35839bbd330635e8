/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/base/plan.h"

static gboolean
counts (const SlAnalysis *analysis, const SlOperation *operation, SlOperationKind kind)
{
  return operation->kind == kind && !(analysis->set && sl_operation_is_past (operation, analysis->set->taken));
}

double
sl_planned_amount (const SlAnalysis *analysis, SlOperationKind kind, int string)
{
  double sum = 0;

  for (guint i = 0; analysis->plan && i < analysis->plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (analysis->plan, SlOperation, i);

      if (counts (analysis, operation, kind) && operation->string == string)
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

      if (counts (analysis, operation, SL_OP_CUT_SADDLE_BASE))
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

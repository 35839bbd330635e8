/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/base/plan.h"

double
sl_planned_amount (const SlAnalysis *analysis, SlOperationKind kind, int string)
{
  double sum = 0;

  for (guint i = 0; analysis->plan && i < analysis->plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (analysis->plan, SlOperation, i);
      double amount = sl_number_or (operation->amount, 0);

      if (operation->kind != kind || operation->done != NULL)
        continue;
      if (kind == SL_OP_CUT_SADDLE_BASE)
        sum += sl_between_strings (sl_number_or (operation->amount_treble, amount), amount, string,
                                   analysis->instrument.n_strings);
      else if (operation->string == string)
        sum += amount;
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

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What would meet a finding, as a step to choose (model 6.3). */

#include "setup/work/propose.h"

gboolean
sl_finding_offer (const SlAnalysis *analysis, const SlFinding *finding, SlOperation *out)
{
  switch (finding->kind)
    {
    case SL_FINDING_NECK_ANGLE:
      *out = sl_operation_init (SL_OP_SET_NECK_ANGLE);
      out->amount = sl_number (finding->amount);
      break;
    default: return FALSE;
    }
  return (analysis->instrument.work >> out->kind & 1) != 0;
}

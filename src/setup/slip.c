/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/slip.h"

#include <math.h>

#include "setup/units.h"

#define FAR 3.0                /* standard uncertainties: as for readings that disagree (design 3.3) */
#define LEAST_SHARE 0.25       /* of what is expected: instruments differ by as much without anybody's slip; our own choice */

gboolean
sl_expected_reading (const SlAnalysis *analysis, const SlReading *question, double *expected_mm, double *u_mm)
{
  const SlState *state = &analysis->measured;
  const int p = state->n_unknowns;
  double row[SL_MAX_UNKNOWNS], value, variance = 0;

  if (question->kind >= SL_N_FIT_KINDS)
    return FALSE;
  sl_reading_row (&analysis->instrument, state, question, row, &value);
  for (int i = 0; i < p; i++)
    {
      value += row[i] * state->u[i];
      for (int j = 0; j < p; j++)
        variance += row[i] * state->cov[i * p + j] * row[j];
    }
  *expected_mm = value;
  *u_mm = sqrt (MAX (0, variance));
  return TRUE;
}

gboolean
sl_unit_slip (double value_mm, double expected_mm, double u_mm, double *meant_mm)
{
  const double room = FAR * MAX (u_mm, LEAST_SHARE * fabs (expected_mm));
  const double candidates[] = { value_mm * SL_MM_PER_INCH, value_mm / SL_MM_PER_INCH };

  if (fabs (value_mm - expected_mm) <= room)
    return FALSE;
  for (gsize i = 0; i < G_N_ELEMENTS (candidates); i++)
    if (fabs (candidates[i] - expected_mm) <= room)
      {
        *meant_mm = candidates[i];
        return TRUE;
      }
  return FALSE;
}

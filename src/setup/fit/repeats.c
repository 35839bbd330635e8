/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Repeats of a reading: what they are uncertain by, and which tool it was read with before. */
#include "setup/fit/fit.h"

#include <math.h>
#include <string.h>

#define FORGOTTEN_U_MM 10.0 /* far beyond what any reading is uncertain by */
#define LEAST_LEFT 1e-9     /* of the largest variance; below it there is only rounding */

double
sl_repeated_u (const SlReadingSet *set, const SlReadingFit *readings, guint i)
{
  const SlReading *reading = &g_array_index (set->readings, SlReading, i);
  const double u = sl_reading_u (set, reading->kind);
  double sum = 0, squares = 0;
  int k = 0;

  for (guint j = 0; j < set->readings->len; j++)
    {
      const SlReading *other = &g_array_index (set->readings, SlReading, j);

      if (!readings[j].used || !sl_reading_same_question (reading, other))
        continue;
      double off = other->value.v - reading->value.v; /* from a value near by, so that nothing cancels */

      sum += off;
      squares += off * off;
      k++;
    }
  return k < 2 ? u : sqrt (k * u * u + MAX (0, squares - sum * sum / k) / (k - 1));
}

static int
place_of (const SlReading *reading)
{
  return reading->string > 0 ? reading->string - 1 : 0;
}

void
sl_note_tools (const SlReadingSet *set, const SlFit *carried, SlFit *fit)
{
  const SlTool never = { SL_TOOL_RELIEF, SL_NUMBER_ABSENT, SL_NUMBER_ABSENT };

  for (int kind = 0; kind < SL_N_FIT_KINDS; kind++)
    for (int s = 0; s < SL_MAX_STRINGS; s++)
      fit->read_with[kind][s] = carried != NULL ? carried->read_with[kind][s] : never;
  for (guint i = 0; i < fit->n_readings; i++)
    {
      const SlReading *reading = &g_array_index (set->readings, SlReading, i);

      if (fit->readings[i].used)
        fit->read_with[reading->kind][place_of (reading)] = sl_reading_tool (set, reading->kind);
    }
}

gboolean
sl_read_before (const SlReadingSet *set, guint i, const SlFit *carried)
{
  const SlReading *reading = &g_array_index (set->readings, SlReading, i);
  const SlTool now = sl_reading_tool (set, reading->kind);

  if (reading->kind >= SL_N_FIT_KINDS)
    return FALSE;
  const SlTool *then = &carried->read_with[reading->kind][place_of (reading)];

  return then->resolution.v == now.resolution.v &&
         then->error_limit.v == now.error_limit.v; /* NAN, not read, equals nothing */
}

/* Takes row · u out of @rest (C −= v g gᵀ, g = C a/v, v = aᵀ C a), leaving what is known of the others given it. Where
 * nothing is left to take out, as of a row that others before it make up, FALSE. */
static gboolean
project_out (const double *row, int p, double least, double *rest, double *g)
{
  double v = 0;

  for (int i = 0; i < p; i++)
    {
      g[i] = 0;
      for (int j = 0; j < p; j++)
        g[i] += rest[i * p + j] * row[j];
      v += row[i] * g[i];
    }
  if (!(v > least))
    return FALSE;
  for (int i = 0; i < p; i++)
    g[i] /= v;
  for (int i = 0; i < p; i++)
    for (int j = 0; j < p; j++)
      rest[i * p + j] -= v * g[i] * g[j];
  return TRUE;
}

/* One row after the other: C is the sum of their v g gᵀ and of the rest; each v becomes far larger than anything read.
 */
void
sl_forget_rows (const double *rows, guint n, int p, double *cov)
{
  double rest[SL_MAX_UNKNOWNS * SL_MAX_UNKNOWNS], g[SL_MAX_UNKNOWNS], largest = 0;

  memcpy (rest, cov, (gsize) (p * p) * sizeof *cov);
  for (int i = 0; i < p; i++)
    largest = MAX (largest, cov[i * p + i]);
  for (guint k = 0; k < n; k++)
    {
      if (!project_out (rows + k * SL_MAX_UNKNOWNS, p, largest * LEAST_LEFT, rest, g))
        continue;
      for (int i = 0; i < p; i++)
        for (int j = 0; j < p; j++)
          cov[i * p + j] += FORGOTTEN_U_MM * FORGOTTEN_U_MM * g[i] * g[j];
    }
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a tool's resolution and error limit make of a reading's uncertainty. */
#include <math.h>

#include "setup/fit.h"

/* Default resolutions of a tool, mm (design 3.3). */
static const double default_resolution_mm[SL_N_READINGS] = {
  [SL_READ_RELIEF] = 0.02,
  [SL_READ_TONGUE] = 0.05,
  [SL_READ_FIRST_GAP] = 0.05,
  [SL_READ_ACTION] = 0.1,
};

const SlTool *
sl_set_tool (const SlReadingSet *set, SlReadingKind kind)
{
  static const int tool_of[SL_N_READINGS] = {
    [SL_READ_RELIEF] = SL_TOOL_RELIEF,       [SL_READ_TONGUE] = SL_TOOL_TONGUE,     [SL_READ_FIRST_GAP] = SL_TOOL_FIRST_GAP,
    [SL_READ_ACTION] = SL_TOOL_ACTION,       [SL_READ_EXPOSURE] = SL_TOOL_EXPOSURE, [SL_READ_SETBACK] = -1,
    [SL_READ_CROWN_GAP] = SL_TOOL_CROWN,     [SL_READ_CROWN_HEIGHT] = SL_TOOL_CROWN, [SL_READ_PITCH] = -1,
  };

  if (set == NULL || set->tools == NULL || tool_of[kind] < 0)
    return NULL;
  for (guint i = 0; i < set->tools->len; i++)
    {
      const SlTool *tool = &g_array_index (set->tools, SlTool, i);

      if ((int) tool->measures == tool_of[kind])
        return tool;
    }
  return NULL;
}

double
sl_reading_u (const SlReadingSet *set, SlReadingKind kind)
{
  const SlTool *tool = sl_set_tool (set, kind);
  double r = default_resolution_mm[kind], a = 0;

  if (tool != NULL)
    {
      r = sl_number_or (tool->resolution, r);
      a = sl_number_or (tool->error_limit, 0);
    }
  /* a rectangle r wide has variance r²/12 (GUM F.2.2.1), one of half-width a has a²/3 (GUM 4.3.7) */
  return sqrt (r * r / 12 + a * a / 3);
}

static SlHeld
held_of (const SlReading *reading)
{
  return reading->held == SL_HELD_DEFAULT ? SL_HELD_OPEN : reading->held;
}

gboolean
sl_reading_same_question (const SlReading *a, const SlReading *b)
{
  return a->kind == b->kind && a->string == b->string && a->fret == b->fret && held_of (a) == held_of (b);
}

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

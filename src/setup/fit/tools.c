/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/fit/tools.h"

#include "setup/profile/kinds.h"

#include <math.h>

const SlTool *
sl_set_tool (const SlReadingSet *set, SlReadingKind kind)
{
  const int measures = sl_readings[kind].tool;

  if (set == NULL || set->tools == NULL || measures < 0)
    return NULL;
  for (guint i = 0; i < set->tools->len; i++)
    {
      const SlTool *tool = &g_array_index (set->tools, SlTool, i);

      if ((int) tool->measures == measures)
        return tool;
    }
  return NULL;
}

SlTool
sl_reading_tool (const SlReadingSet *set, SlReadingKind kind)
{
  const SlTool *tool = sl_set_tool (set, kind);
  SlTool whole = { SL_TOOL_RELIEF, sl_number (sl_readings[kind].resolution_mm), sl_number (0) };

  if (tool != NULL)
    {
      whole.resolution = sl_number (sl_number_or (tool->resolution, sl_readings[kind].resolution_mm));
      whole.error_limit = sl_number (sl_number_or (tool->error_limit, 0));
    }
  return whole;
}

double
sl_reading_u (const SlReadingSet *set, SlReadingKind kind)
{
  const SlTool tool = sl_reading_tool (set, kind);
  const double r = tool.resolution.v, a = tool.error_limit.v;

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

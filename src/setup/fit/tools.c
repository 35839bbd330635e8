/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/fit/tools.h"

#include "setup/profile/kinds.h"
#include "setup/profile/tool-list.h"

#include <math.h>

SlTool
sl_reading_tool (const SlReadingSet *set, SlReadingKind kind)
{
  SlTool tool = sl_reading_set_tool (set, (SlToolKind) sl_readings[kind].tool);

  tool.resolution = sl_number (sl_number_or (tool.resolution, sl_readings[kind].resolution_mm));
  tool.error_limit = sl_number (sl_number_or (tool.error_limit, 0));
  return tool;
}

double
sl_reading_u (const SlReadingSet *set, SlReadingKind kind)
{
  const SlTool tool = sl_reading_tool (set, kind);
  const double r = tool.resolution.v, a = tool.error_limit.v;

  /* a rectangle r wide has variance r²/12 (GUM F.2.2.1), one of half-width a has a²/3 (GUM 4.3.7) */
  return sqrt (r * r / 12 + a * a / 3);
}

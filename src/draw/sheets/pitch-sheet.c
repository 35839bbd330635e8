/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Layout of the pitch sheet. */
#include "draw/sheets/pitch-parts.h"

#define CENTS_SHARE 0.56 /* of the width */
#define GAP 26.0

void
sl_pitch_draw (SlScene *scene)
{
  const SlRect stage = scene->stage;
  double left = (stage.width - GAP) * CENTS_SHARE;
  SlSheet sheet;

  sl_sheet_init (&sheet, scene);
  sl_pitch_draw_cents (&sheet, (SlRect){ stage.x, stage.y, left, stage.height });
  sl_pitch_draw_crests (&sheet, (SlRect){ stage.x + left + GAP, stage.y, stage.width - left - GAP, stage.height });
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Layout of the strings sheet. */
#include "draw/sheets/strings-parts.h"

#include <glib/gi18n-lib.h>

#define BARS_SHARE 0.6   /* of the width */
#define SLOTS_SHARE 0.46 /* of the height, at the right */
#define GAP 26.0

void
sl_strings_draw (SlScene *scene)
{
  const SlRect stage = scene->stage;
  const SlPictureOptions *o = scene->options;
  double left = (stage.width - GAP) * BARS_SHARE, right_x = stage.x + left + GAP, right = stage.width - left - GAP;
  double slots = (stage.height - GAP) * SLOTS_SHARE;
  SlStrings s = { .other = NULL };

  sl_sheet_init (&s.sheet, scene);
  sl_set_worth (s.sheet.in, s.sheet.scene->after_state, &s.present);
  if (o->other != NULL && o->other->other.n_strings == s.present.n_strings)
    {
      s.comparison = o->other;
      s.other = &o->other->other;
      s.other_name = o->other_name != NULL ? o->other_name : _ ("other strings");
    }
  sl_strings_draw_bars (&s, (SlRect){ stage.x, stage.y, left, stage.height });
  sl_strings_draw_slots (&s, (SlRect){ right_x, stage.y, right, slots });
  sl_strings_draw_saddle (&s, (SlRect){ right_x, stage.y + slots + GAP, right, stage.height - slots - GAP });
  sl_scene_place (scene);
}

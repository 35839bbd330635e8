/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/sheets/strings-parts.h"

#define HATCH_SPACING 3.5

void
sl_strings_fill (const SlStrings *s, gboolean other, double x, double y, double width, double height)
{
  SlScene *scene = s->sheet.scene;

  if (!(width > 0) || !(height > 0))
    return;
  cairo_rectangle (scene->cr, x, y, width, height);
  if (other)
    {
      sl_hatch (scene, SL_INK_QUIET, HATCH_SPACING);
      return;
    }
  sl_set_ink (scene->cr, scene->palette, SL_INK_PLANNED);
  cairo_fill (scene->cr);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/closeup/closeup.h"

#include <glib/gi18n-lib.h>

#include "draw/base/labels.h"
#include "draw/closeup/closeup-frame.h"

#define HEADING_GAP 8.0

static void
draw_heading (SlCloseup *c, const char *heading)
{
  SlScene *scene = c->scene;
  SlWording wording = { .n = 0 };
  g_autofree char *string = g_strdup_printf (_ (", string %d"), c->string);

  sl_wording_add (&wording, SL_INK_TEXT, TRUE, FALSE, heading);
  sl_wording_add (&wording, SL_INK_QUIET, FALSE, FALSE, string);
  if (!sl_scene_fixed (scene, &wording, scene->stage.x, scene->stage.y, 0))
    {
      wording.n = wording.n_above = 1;
      sl_scene_fixed (scene, &wording, scene->stage.x, scene->stage.y, 0);
    }
}

void
sl_closeup_draw (SlScene *scene, SlPictureKind kind)
{
  const SlAnalysis *a = scene->analysis;
  int chosen = scene->options->string, n = a->instrument.n_strings;
  SlCloseup c = {
    .scene = scene,
    .instrument = &a->instrument,
    .string = chosen >= 1 && chosen <= n ? chosen : n,
  };
  double row = sl_scene_text_height (scene) + HEADING_GAP;

  c.spoken = (SlSpoken){ { c.string, c.string }, 1 };
  c.diameter = a->instrument.strings[c.string - 1].outside_mm;
  c.area = (SlRect){ scene->stage.x, scene->stage.y + row, scene->stage.width, MAX (1, scene->stage.height - row) };
  sl_state_string (c.instrument, scene->before_state, c.string, &c.before);
  sl_state_string (c.instrument, scene->after_state, c.string, &c.after);
  draw_heading (&c, kind == SL_PICTURE_NUT      ? _ ("Nut end")
                    : kind == SL_PICTURE_BRIDGE ? _ ("Saddle and bridge")
                                                : _ ("12th fret"));
  cairo_save (scene->cr);
  if (kind == SL_PICTURE_NUT)
    sl_closeup_nut (&c);
  else if (kind == SL_PICTURE_BRIDGE)
    sl_closeup_bridge (&c);
  else
    sl_closeup_fret (&c, MIN (SL_OCTAVE_FRET, a->instrument.frets));
  cairo_restore (scene->cr);
  sl_scene_place (scene);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Figures in words for the pictures: lengths in the chosen units with their ±, what they were, and shorter forms where
 * there is little room. Nothing that isn't a number is ever written. */
#pragma once

#include "draw/base/scene.h"
#include "words/figures.h"

static inline SlTextStyle
sl_scene_style (const SlScene *scene)
{
  return (SlTextStyle){ scene->options->lengths, scene->options->decimal };
}

typedef enum
{
  SL_SAY_LENGTH,
  SL_SAY_COARSE, /* a length of the hardware: one decimal less */
  SL_SAY_DEGREES,
  SL_SAY_NEWTONS
} SlSay;

/* A value without its unit, and the unit to go with it ("" where the value carries it). Lengths below a millimetre are
 * given in thousandths of an inch where 64ths are chosen: a 64th is 0.4 mm, too coarse for a gap at the nut (common
 * practice). The scene keeps it. */
const char *sl_say_value (const SlScene *scene, SlSay kind, double value, const char **unit);

/* Value with unit. */
const char *sl_say (const SlScene *scene, SlSay kind, double value);

/* Asks for a label of one figure of the strings the scene speaks of, as planned and, where the plan changes it, as it
 * was; @aside a force to tell beside it, or NULL. Nothing is asked for where the figure can't be given. */
void sl_scene_figure (SlScene *scene, SlRequest request, const char *name, SlSay kind, SlPlaceOfFigure place,
                      const SlPlaceOfFigure *aside);

/* "saddle top %s lower" for mm that come off a string's crest; a saddle on height screws goes "down" or "up". */
const char *sl_crest_change (const SlInstrument *instrument, double mm);

/* What the plan still does to a string's slot and, where a new saddle is made, to its crest: mm, up is positive. 0
 * where nothing is planned. */
double sl_planned_slot (const SlScene *scene, int string);
double sl_planned_saddle (const SlScene *scene, int string);

/* "slot %s higher". */
const char *sl_slot_change (double mm);

/* Asks for a label of an amount of work at (x, y), on the side (dx, dy) and @clear away: "slot 0.08 mm lower", with the
 * length in @format. */
void sl_scene_amount (SlScene *scene, double x, double y, double dx, double dy, double clear, const char *format,
                      double mm);

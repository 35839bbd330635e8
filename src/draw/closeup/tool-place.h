/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A sketch of where a tool goes for one reading: the neck from the side, heights far out of scale, with the
 * straightedge, the feeler or the rule at its fret and the finger or capo that holds the string; below it the board
 * from the front with the string and the place marked. A left-handed instrument has its head to the right. */
#pragma once

#include <cairo.h>

#include "draw/base/style.h"
#include "setup/profile/instrument.h"

typedef struct
{
  const SlInstrument *instrument;
  SlReadingKind kind;
  int string, fret; /* 0 where the kind has none */
  SlHeld held;
  SlLook look;
} SlToolPlace;

void sl_tool_place_draw (cairo_t *cr, const SlToolPlace *place, double width, double height);

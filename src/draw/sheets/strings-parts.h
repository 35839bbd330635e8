/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The strings sheet's parts: bars of tension and forces with the other set beside. */
#pragma once

#include "setup/record/compare.h"
#include "draw/sheets/sheet.h"

typedef struct
{
  SlSheet sheet;
  SlSetWorth present;      /* as planned */
  const SlSetWorth *other; /* NULL: no other set */
  const SlComparison *comparison;
  const char *other_name;
} SlStrings;

/* A bar or a slot of the present set (solid) or the other (hatched). */
void sl_strings_fill (const SlStrings *s, gboolean other, double x, double y, double width, double height);

void sl_strings_draw_bars (const SlStrings *s, SlRect part);

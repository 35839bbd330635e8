/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/side/side.h"

#include <math.h>

double
sl_side_x (const SlSide *side, double x_mm)
{
  return side->origin_x + x_mm * side->units_x;
}

double
sl_side_y (const SlSide *side, double z_mm)
{
  return side->origin_y - z_mm * side->units_z;
}

/* Turning the rod leaves the body, and so the tangent at the joint, in place (model 5): in the planned chord's frame
 * a point that did not move is higher by the rod's lift. */
double
sl_side_z_from (const SlSide *side, const SlSideString *s, const SlStringState *other, double x_mm, double z_mm)
{
  return z_mm + sl_rod_lift (side->instrument, s->after.p[SL_P_RELIEF] - other->p[SL_P_RELIEF], x_mm);
}

double
sl_side_ghost_y (const SlSide *side, const SlSideString *s, double x_mm, double z_mm)
{
  return sl_side_y (side, sl_side_z_from (side, s, &s->before, x_mm, z_mm));
}

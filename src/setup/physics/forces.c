/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/physics/forces.h"

#define MM_PER_M 1000.0

double
sl_tension (const SlStringData *string, double length_mm)
{
  double speed = 2 * length_mm / MM_PER_M * string->frequency_hz;

  return string->unit_mass_kg_m * speed * speed;
}

double
sl_open_length (const SlStringState *s)
{
  return hypot (s->x_s, s->p[SL_P_CREST] - s->p[SL_P_NUT]);
}

gboolean
sl_saddle_angles (const SlStringState *s, double *behind, double *before)
{
  int i = s->string - 1;

  *behind = atan ((s->exposure + s->in->anchor_drop[i]) / s->in->anchor_distance[i]);
  *before = atan ((s->p[SL_P_CREST] - s->p[SL_P_NUT]) / s->x_s);
  return s->in->has_anchor[i];
}

SlSaddleForces
sl_saddle_forces (double tension_n, double behind_rad, double before_rad)
{
  return (SlSaddleForces){ tension_n * (sin (behind_rad) + sin (before_rad)),
                           sl_resultant_force (tension_n, behind_rad + before_rad),
                           tension_n * (cos (before_rad) - cos (behind_rad)) };
}

gboolean
sl_rear_vector (const SlInstrument *instrument, int string, double rear[3])
{
  const int i = string - 1;
  const double st = sin (instrument->tilt_rad), ct = cos (instrument->tilt_rad);
  const double over = instrument->post_wrap[i] - instrument->string_rise, p = instrument->post_distance[i];

  rear[0] = -p * ct - over * st;
  rear[1] = instrument->post_side[i];
  rear[2] = -p * st + over * ct;
  return instrument->has_post[i];
}

double
sl_nut_break (const SlStringState *s)
{
  double rear[3];

  if (!sl_rear_vector (s->in, s->string, rear))
    return NAN;
  const double front[3] = { s->x_s, 0, s->p[SL_P_CREST] - s->p[SL_P_NUT] };
  const double back[3] = { -rear[0], -rear[1], -rear[2] };
  const double cross[3] = { front[1] * back[2] - front[2] * back[1], front[2] * back[0] - front[0] * back[2],
                            front[0] * back[1] - front[1] * back[0] };
  double dot = front[0] * back[0] + front[1] * back[1] + front[2] * back[2];

  /* atan2 of cross and dot product: exact for small angles too, where acos is not */
  return atan2 (sqrt (cross[0] * cross[0] + cross[1] * cross[1] + cross[2] * cross[2]), dot);
}

double
sl_resultant_force (double tension_n, double break_rad)
{
  return 2 * tension_n * sin (break_rad / 2);
}

double
sl_spring_force (double tension_n)
{
  return tension_n * SL_TREMOLO_STRING_ARM_MM / SL_TREMOLO_SPRING_ARM_MM;
}

double
sl_stick_cents (double friction, double break_rad)
{
  /* half the relative tension error e^(μβ) − 1 ≈ μβ, in cents: 1200/ln 2 · μβ/2 */
  return 600 * friction * break_rad / G_LN2;
}

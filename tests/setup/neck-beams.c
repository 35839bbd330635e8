/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "neck-beams.h"

#include <math.h>

#define ELSEWHERE 0.15 /* of the bending between two frets, outside them */

/* Depths and widths as necks are made, common practice: 20 to 21 mm at the nut, 22.5 to 25 at the joint, 43 to 55 mm
 * wide. */
const NeckBending neck_bendings[N_NECK_BENDINGS + 1] = {
  { "even", 1, 1, 1, 1 },
  { "taper, 20.5 to 23.5 mm deep", 20.5, 23.5, 43.5, 54 },
  { "taper, 20 to 25 mm deep", 20, 25, 43, 55 },
  { "taper, 20.5 to 22.5 mm, heel stiff over 45 mm", 20.5, 22.5, 43.5, 54, .stiff_heel = 45 },
  { "moment a parabola", 1, 1, 1, 1, .parabola = TRUE },
  { "moment a parabola, taper 20.5 to 23.5 mm", 20.5, 23.5, 43.5, 54, .parabola = TRUE },
  { "between frets 4 and 10", 1, 1, 1, 1, .from = 4, .to = 10 },
  { NULL },
};

const NeckLength neck_lengths[N_NECK_LENGTHS + 1] = { { 645, 14 }, { 628, 12 }, { 648, 16 }, { 864, 16 }, { 0 } };

/* M/EI at @x mm from the nut, EI being 1 at the nut. */
static double
curvature (const NeckBending *b, double scale, double length, double x)
{
  const double t = x / length, depth = 1 + (b->depth_joint / b->depth_nut - 1) * t,
               width = 1 + (b->width_joint / b->width_nut - 1) * t;
  const double moment = b->parabola ? 4 * t * (1 - t) : 1;

  if (x > length - b->stiff_heel)
    return 0;
  if (b->to > 0 && (x < sl_fret_place (scale, b->from) || x > sl_fret_place (scale, b->to)))
    return ELSEWHERE * moment;
  return moment / (width * depth * depth * depth);
}

static double
rise_at (const NeckBeam *beam, double x)
{
  const double place = x / beam->length * NECK_BEAM_STEPS;
  const int below = CLAMP ((int) place, 0, NECK_BEAM_STEPS - 1);

  return beam->rise[below] + (place - below) * (beam->rise[below + 1] - beam->rise[below]);
}

static double
sag_at (const NeckBeam *beam, double x)
{
  return rise_at (beam, beam->near) * (beam->length - x) / (beam->length - beam->near) - rise_at (beam, x);
}

void
neck_beam_bend (const NeckBending *bending, double scale, int joint, double near, NeckBeam *out)
{
  const double length = sl_fret_place (scale, joint), step = length / NECK_BEAM_STEPS;
  double slope = 0, bent = curvature (bending, scale, length, length);

  *out = (NeckBeam){ .length = length, .near = near };
  /* trapezoids, twice, from the joint to the nut */
  for (int i = NECK_BEAM_STEPS - 1; i >= 0; i--)
    {
      const double before = slope, next = curvature (bending, scale, length, i * step);

      slope += (bent + next) / 2 * step;
      out->rise[i] = out->rise[i + 1] + (before + slope) / 2 * step;
      bent = next;
    }
  for (int i = 0; i <= NECK_BEAM_STEPS; i++)
    if (sag_at (out, i * step) > out->sag)
      {
        out->sag = sag_at (out, i * step);
        out->sag_at = i * step;
      }
  /* the body stays, so the chord turns over the crest by what fret 1 rises: even curvature's rise is four sags, and
   * -φ(0) sags at the nut (model 1.3) */
  out->crest = rise_at (out, near) / (4 * out->sag);
  out->nut = -sag_at (out, 0) / (out->sag * 4 * near * length / ((length - near) * (length - near)));
}

void
neck_beam_of (const NeckBending *bending, double scale, int joint, NeckBeam *out)
{
  neck_beam_bend (bending, scale, joint, sl_fret_place (scale, 1), out);
}

double
neck_beam_shape (const NeckBeam *beam, double x)
{
  return sag_at (beam, x) / beam->sag;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a rod does to a neck that does not bend evenly: Euler-Bernoulli beams, y'' = M/EI, held at the joint, where the
 * body and the board's tangent stay. What a program assumes of a neck it has not seen is read from these (model 5), and
 * the simulated bench takes its necks from them. */
#pragma once

#include "setup/profile/instrument.h"

/* How one neck bends. Only proportions count: the moment is 1 at most, and EI is width times the cube of depth. */
typedef struct
{
  const char *name;
  double depth_nut, depth_joint, width_nut, width_joint; /* mm, linear between; 1 at both: even */
  double stiff_heel;                                     /* mm in front of the joint that don't bend */
  gboolean parabola;                                     /* the moment is a parabola, 0 at nut and joint; else even */
  int from, to;                                          /* frets it bends between, little elsewhere; 0: all along */
} NeckBending;

/* The seven that the assumption rests on; its end marked by a NULL name. */
extern const NeckBending neck_bendings[];
#define N_NECK_BENDINGS 7

/* The necks: scale length, mm, and the fret at the joint; its end marked by a 0 scale. */
typedef struct
{
  double scale;
  int joint;
} NeckLength;
extern const NeckLength neck_lengths[];
#define N_NECK_LENGTHS 4

#define NECK_BEAM_STEPS 4000

typedef struct
{
  double length, near;              /* mm from the nut to the joint, and to the fret 1 its relief is measured from */
  double rise[NECK_BEAM_STEPS + 1]; /* over the body's line, at equal steps from the nut, for a moment of 1 */
  double sag, sag_at; /* the largest below the chord from fret 1 to the joint, and mm from the nut to it */
  double crest, nut;  /* of what even curvature of the same sag moves over that chord: crest and nut */
} NeckBeam;

/* Bends a neck of @scale mm joined at fret @joint; its relief counts from @near mm in front of the nut's place, which
 * is fret 1. */
void neck_beam_bend (const NeckBending *bending, double scale, int joint, double near, NeckBeam *out);

/* The same from fret 1. */
void neck_beam_of (const NeckBending *bending, double scale, int joint, NeckBeam *out);

/* The shape of its bow: how far the place @x mm from the nut lies below the chord, for a largest sag of 1. */
double neck_beam_shape (const NeckBeam *beam, double x);

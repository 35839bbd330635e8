/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Crowns: what levelling takes off each, what land it leaves to re-crown, what height is left, which frets are past
 * saving and what replacing just those would change; and which crowns rock (model 10.1). */
#pragma once

#include "setup/fit/state.h"

#define SL_ROCKING_TOLERANCE_MM 0.03

/* Radius of a crown's circular arc of width W and height h: (W²/4 + h²)/(2h), mm. */
double sl_crown_radius (double width_mm, double height_mm);

/* Width of the flat land left when @depth_mm comes off an arc of @radius_mm: 2 sqrt(2 r δ − δ²); at most the arc's
 * diameter. */
double sl_crown_land (double radius_mm, double depth_mm);

typedef struct
{
  double before;     /* how the crown departs from the smooth board as it is: a crown gap's negative */
  double after;      /* the same as levelled */
  double height;     /* before; in the alternative, where a new fret goes in, the wire's own */
  double off;        /* comes off by levelling */
  double land;       /* to be re-crowned */
  double left;       /* height left */
  gboolean saved;    /* left is at least the least height */
  gboolean rocks;    /* before: higher than the line of its two neighbours by more than the tolerance */
  double rocking;    /* by how much (negative: lower than the line); NAN for the first and last fret */
  gboolean lowest;   /* the fret the others come down to */
  gboolean replaced; /* in the alternative: a new fret goes in here */
} SlFretWork;

typedef struct
{
  int n; /* frets */
  SlFretWork frets[SL_MAX_FRETS + 1];
  double most_off;
  int n_lost; /* frets levelling would leave below the least height */
  int n_replaced;
  gboolean read; /* any crown gap was read */
  double level;  /* what the crowns up to the joint come down to */
} SlLevelling;

/* Levels @state's crowns to the lowest, with a fall-away over the tongue growing to @fall_away_mm at the last fret.
 * @set gives crown heights read (may be NULL). A height not read follows from the board below the crowns: how deep it
 * lies below them is interpolated in fret number between read frets, the nearest one outside them; where none is read
 * it lies the wire's own height below the highest crown, so that a crown that lies low is one that is worn. */
void sl_level (const SlInstrument *instrument, const SlState *state, const SlReadingSet *set, double fall_away_mm,
               SlLevelling *out);

/* The alternative where frets would be lost: new ones replace as few of the frets as leave every other at its least
 * height or more, and of equally few those that let the rest keep most; new crowns stand at the wire's full height over
 * the board below and come down to the level of the rest. Where levelling loses none it is the same as sl_level(). */
void sl_level_replacing (const SlInstrument *instrument, const SlState *state, const SlReadingSet *set,
                         double fall_away_mm, SlLevelling *out);

/* The levelling that @plan still holds for readings taken at @taken; its fall-away (0 where there is none). */
gboolean sl_planned_levelling (const GArray *plan, const char *taken, double *fall_away_mm);

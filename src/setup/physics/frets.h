/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Crowns: what levelling and new frets make of them, what that takes off each, what land it leaves to re-crown, what
 * height is left, which frets are past saving and what replacing some would change; and which crowns rock (model 5,
 * 10.1). */
#pragma once

#include "setup/fit/state.h"

#define SL_ROCKING_TOLERANCE_MM 0.03
#define SL_CROWN_TOLERANCE_MM 0.03 /* crowns that differ by no more are level: our own choice */
#define SL_MARK_LEFT_MM 0.05       /* marks no deeper are left in levelled crowns: our own choice */

/* Radius of a crown's circular arc of width W and height h: (W²/4 + h²)/(2h), mm. */
double sl_crown_radius (double width_mm, double height_mm);

/* Width of the flat land left when @depth_mm comes off an arc of @radius_mm: 2 sqrt(2 r δ − δ²); at most the arc's
 * diameter. */
double sl_crown_land (double radius_mm, double depth_mm);

/* How far fret @n lies along the tongue: 0 at the joint, 1 at the last fret. */
double sl_tongue_share (const SlInstrument *instrument, int n);

/* The tongue's fall-away at the last fret, mm: as it is, or where relief is above its range, as tightening the rod to
 * its target will leave it, if that is lower (nothing comes off the tongue for what the rod does). */
double sl_played_fall (const SlInstrument *instrument, const SlState *state);

/* Height of the crown of fret @n beyond the joint over the crown chord carried on, mm: d_n less the board's level and
 * the tongue's fall (model 1.3), as the neck is played. */
double sl_height_over_chord (const SlInstrument *instrument, const SlState *state, int n);

/* By how much the tongue falls away at the last fret, mm: the straight line from the joint that fits the heights of
 * its crowns over the chord best, whatever of them stands in F and what in d_n. Negative: it rises. */
double sl_tongue_fall (const SlInstrument *instrument, const SlState *state);

/* Whether it rises by more than 0.05 mm and its U; @u (may be NULL): the standard uncertainty of the fall. */
gboolean sl_tongue_rises (const SlInstrument *instrument, const SlState *state, double *u);

/* Whether the crown of a fret beyond the joint stands higher than it may: above the chord carried on by more than the
 * tolerance. What F lets it stand higher by counts only where the tongue rises for certain. */
gboolean sl_tongue_crown_high (const SlInstrument *instrument, const SlState *state, int n);

/* How low a crown is, mm: by the bottom of a mark that is not left in it. */
double sl_crown_low_point (const SlState *state, int n);

/* How high the crown up to the joint is over the smooth line on which a string can lie lowest: on its top, or at the
 * bottom of its deepest mark where that is deeper than levelling leaves. */
double sl_lowest_crown (const SlInstrument *instrument, const SlState *state);

/* By how much the crowns up to the joint differ: the highest top less the lowest point. */
double sl_crown_spread (const SlInstrument *instrument, const SlState *state);

/* A bit each for frets @from to @to, as SlOperation.frets has them. */
guint64 sl_fret_bits (int from, int to);

/* Whether a levelling takes all crowns up to the joint down to the lowest of them: it names no frets, or all of these.
 */
gboolean sl_levels_board (const SlInstrument *instrument, const SlOperation *level);

/* Whether fretwork has the crown at the nut, below a zero fret's strings, among those it works on. */
gboolean sl_moves_zero_fret (const SlOperation *work);

/* Does an operation of kind level-frets or replace-frets to the crowns and their marks, and to what a zero fret's
 * strings rest on (model 5). */
void sl_work_crowns (const SlInstrument *instrument, const SlOperation *operation, SlState *state);

typedef struct
{
  double before;     /* how the crown departs from the smooth board as it is: a crown gap's negative */
  double after;      /* the same as levelled */
  double height;     /* before; where a new fret goes in, the wire's own */
  double off;        /* comes off by levelling */
  double width;      /* of the crown */
  double land;       /* to be re-crowned */
  double left;       /* height left */
  double mark;       /* depth of the deepest mark levelling leaves */
  gboolean saved;    /* left is at least the least height */
  gboolean rocks;    /* before: higher than the line of its two neighbours by more than the tolerance */
  double rocking;    /* by how much (negative: lower than the line); NAN for the first and last fret */
  gboolean lowest;   /* the fret the others come down to */
  gboolean replaced; /* a new fret goes in here */
} SlFretWork;

typedef struct
{
  int n; /* frets */
  SlFretWork frets[SL_MAX_FRETS + 1];
  double most_off, sum_off;
  double deepest;    /* levelling to the deepest mark would take so much more off than leaving marks of 0.05 mm */
  double least_left; /* height left of the lowest crown */
  int n_lost;        /* frets levelling would leave below the least height */
  int n_replaced;
  int lowest;       /* the fret the others come down to; 0: single crowns come down to the rest */
  gboolean read;    /* any crown gap was read */
  guint64 named;    /* bits of the only frets that come down; 0: the board and the tongue */
  double level;     /* what the crowns up to the joint come down to */
  double fall_away; /* what the levelling takes the tongue to, at the last fret */
} SlLevelling;

/* Levels @state's crowns as @level (of kind level-frets) says. */
void sl_level (const SlInstrument *instrument, const SlState *state, const SlOperation *level, SlLevelling *out);

/* The alternative: new frets. Where levelling the board loses frets, as few as leave every other at its least height or
 * more, and of equally few those that let the rest keep most. Where it loses none, the few frets in a row (at most
 * five) that let the rest keep most, if that is 0.05 mm or more; else the same as levelling. New crowns stand at the
 * wire's full height over the board below and come down to the level of the rest. */
void sl_level_replacing (const SlInstrument *instrument, const SlState *state, double fall_away_mm, SlLevelling *out);

/* The levelling and the new frets that @plan still holds for readings taken at @taken, done to @state. Where no
 * levelling is planned, what levelling the board would do, and FALSE. */
gboolean sl_level_planned (const SlInstrument *instrument, const SlState *state, const GArray *plan, const char *taken,
                           SlLevelling *out);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From pitch to where crest and nut should stand: least-squares setback and nut offset over frets 1–12 (after Anderson
 * & Beausoleil, J. Acoust. Soc. Am. 156, 683 (2024)), and which end condition of the string the tuner's readings speak
 * for (model 9.1). */
#pragma once

#include "setup/physics/figures.h"

typedef struct
{
  double setback;    /* of the crest beyond the nominal scale, mm */
  double nut_offset; /* of the nut's front edge away from the bridge, mm: negative shortens the open string */
  double rms;        /* root mean square of the cents left over frets 1–12 */
  double rms_now;    /* the same as it is */
} SlNutAndSetback;

/* Linear least squares around the present setback with no nut offset: the cents of frets 1–12 are taken as straight in
 * both, and the string's own constants (EA/T, stiffness) as they are, as the source does. */
void sl_fit_nut_and_setback (const SlInstrument *instrument, const SlState *state, int string, SlNutAndSetback *out);

/* Root mean square difference between all tuner readings of a set and the model's cents in @state for each end
 * condition; how many readings there were. The better one is what the readings speak for. */
typedef struct
{
  int n;
  double rms_one, rms_both; /* cents; NAN where n is 0 */
  SlStiffEnds better;
} SlEndsFit;
void sl_fit_ends (const SlInstrument *instrument, const SlState *state, const SlReadingSet *set, SlEndsFit *out);

/* Where one string's crest breaks and where pitch needs it, as setbacks beyond the nominal scale length, mm; NAN where
 * there is nothing to say. The tuner read the instrument as measured: what the plan changes of it is taken from the
 * model (as the proposal of work does). */
typedef struct
{
  double before, now;    /* as measured, as planned */
  double model, model_u; /* what the model needs in the planned state, and its standard uncertainty */
  double read, left;     /* tuner's mean at the 12th fret, and what of it the plan leaves, cents */
  double tuner;          /* what the tuner asks for after the plan */
  double wanted;         /* the tuner's where it was read, else the model's */
} SlCrestPlace;
void sl_crest_place (const SlAnalysis *analysis, int string, SlCrestPlace *out);

/* Whether a crest moved by @move_mm stays on the saddle: the crests' departures from the straight line between the
 * outer strings' setbacks must fit into its thickness. @spread (may be NULL) gets how far apart they would lie. Always
 * TRUE on saddles with length screws. */
gboolean sl_crests_fit (const SlInstrument *instrument, const double *setbacks, double *spread);

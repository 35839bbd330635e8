/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From readings to a state: weighted least squares over all readings of a set, assumed rows where a kind is missing,
 * and the search for readings that disagree with the others (model 2, 3). Standard uncertainties from a tool's
 * resolution and error limit by GUM (JCGM 100:2008) 4.3.7 and F.2.2.1: u² = r²/12 + a²/3. */
#pragma once

#include "setup/fit/reading-row.h"

typedef enum
{
  SL_BASIS_MEASURED,
  SL_BASIS_ASSUMED,
  SL_BASIS_COMPUTED
} SlBasis;
extern const char *const sl_basis_names[];

/* Relief, tongue, first gap, action: the kinds of reading that are rows of the fit. */
#define SL_N_FIT_KINDS (SL_READ_ACTION + 1)

/* What became of one reading. Readings that are not rows of the fit (exposure, setback, crowns, pitch) have used =
 * FALSE and in_fit = FALSE. */
typedef struct
{
  gboolean in_fit;    /* a row of this kind exists in the model */
  gboolean used;      /* it stands behind the state */
  gboolean suspect;   /* left out: it disagrees with the others */
  double u;           /* its standard uncertainty, mm */
  double predicted;   /* what the final state would expect it to be */
  double predicted_u; /* standard uncertainty of that */
  double carried;     /* what the visit's earlier readings and the work since would expect it to be; NAN where there are
                         none */
  double carried_u;   /* standard uncertainty of that */
  double normalised;  /* for a suspect: the normalised residual when it was left out; else NAN */
} SlReadingFit;

/* Whether the crests came down as the cuts noted since the set before say (visit.h): the reading furthest from what was
 * predicted. */
typedef struct
{
  gboolean found;
  gboolean confirmed; /* every reading behind it was repeated, or is always to be kept: the crests are where they were
                         read */
  int string, fret;
  double moved, predicted; /* change of the action read and predicted there, mm */
  double u;                /* standard uncertainty of their difference */
} SlWorkDoubt;

typedef struct
{
  SlState state;
  SlReadingFit *readings; /* one for each reading of the set, same order; owned */
  guint n_readings;
  gboolean relief_assumed_treble, relief_assumed_bass, tongue_assumed;
  gboolean first_gap_assumed[SL_MAX_STRINGS], action_assumed[SL_MAX_STRINGS];
  int n_suspects;
  SlWorkDoubt doubt; /* of the work before this set */
  gboolean apart;    /* several readings agree with each other but not with what was carried, which is left out: see
                        sl_fit_after() */
  SlTool read_with[SL_N_FIT_KINDS][SL_MAX_STRINGS]; /* what each was last read with in this visit; both numbers absent
                                                       where it was not. Tongue: [0] */
  gboolean singular;                                /* the readings leave something undetermined: said, not hidden */
} SlFit;

/* Fits @set (NULL: nothing read, all assumed). @out is filled; release with sl_fit_clear(). */
void sl_fit (const SlInstrument *instrument, const SlReadingSet *set, SlFit *out);
void sl_fit_clear (SlFit *fit);

/* Whether the open gap over fret 1 or 12 is assumed. */
gboolean sl_fit_assumes (const SlFit *fit, int string, int fret);

/* Whether it is so of any string, of what the fit says of each. */
gboolean sl_any_assumed (const gboolean *assumed, int n_strings);

/* Fills crowns, setbacks and exposures of @state, which are known without a fit (model 1.2), from a set, on top of what
 * an earlier set of the visit left (@carried, may be NULL): a place read now is as read; between places read now the
 * correction is interpolated. Exposures nobody has read so far are assumed, 3 mm ± 1.5 mm (u). */
void sl_fill_known (const SlInstrument *instrument, const SlReadingSet *set, const SlState *carried, SlState *state);

/* The same on crowns, setbacks and exposures that @known has from before (NULL: none); what was fitted there does not
 * enter. And with @carried, what an earlier set of the visit left, carried through the work since (visit.h), standing
 * as rows beside the readings (NULL: nothing); it stands in for every assumption. What was read before with the same
 * tool and is read again is taken from the new reading alone, for a tool errs twice the same way: the earlier one only
 * helps to find a slip. Where most readings of a kind, and more than one, would be left out for what was carried, but
 * not for each other, something happened that was not noted: then the set stands by itself, and of what was before only
 * @known remains. */
void sl_fit_after (const SlInstrument *instrument, const SlReadingSet *set, const SlFit *carried, const SlState *known,
                   SlFit *out);

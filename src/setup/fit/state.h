/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The state of a neck: where the crowns, the nut and the saddle's crest are below and above the crown chord, string by
 * string, with the covariance of what was fitted. Frame (per string): x from the nut's front edge to the bridge, z
 * height over the straight line through the ideal crowns of fret 1 and the joint fret, up toward the string. All mm. */
#pragma once

#include "setup/profile/instrument.h"

/* The unknowns in one vector: relief of the treble string, relief of the bass string, tongue fall-away, then the nut
 * heights, then the crest heights. With one string there is one relief (the bass entry stays 0 and carries no
 * variance). */
#define SL_MAX_UNKNOWNS (3 + 2 * SL_MAX_STRINGS)
enum
{
  SL_RELIEF_TREBLE,
  SL_RELIEF_BASS,
  SL_FALL_AWAY,
  SL_NUT_HEIGHT /* + string index; crest heights follow at SL_NUT_HEIGHT + n_strings + index */
};

typedef struct
{
  int n_strings;
  int n_unknowns; /* 3 + 2 n_strings */
  double u[SL_MAX_UNKNOWNS];
  double cov[SL_MAX_UNKNOWNS * SL_MAX_UNKNOWNS]; /* row-major, n_unknowns wide, mm² */
  double bent_crest[SL_MAX_UNKNOWNS],
      bent_nut[SL_MAX_UNKNOWNS];  /* what one unit of the neck's factors at crest and nut does to the unknowns in all
                                     turns carried since the fit: each is one number for them all (model 5) */
  double crown[SL_MAX_FRETS + 1]; /* crown deviations d_n, [1…frets] */
  double board[SL_MAX_FRETS + 1]; /* by how much the board lies nearer the smooth line than a new crown is high,
                                     [1…frets]; no work on the frets moves it */
  guint16 wear[SL_MAX_STRINGS][SL_MAX_FRETS + 1]; /* µm, how deep the crown is worn below that string */
  double setback[SL_MAX_STRINGS];
  double exposure[SL_MAX_STRINGS];
  double
      exposure_u[SL_MAX_STRINGS]; /* standard uncertainty of the exposure, 0 where one was read and no tool is stated */
  double unit_mass[SL_MAX_STRINGS]; /* kg/m, of the strings that are on; 0: they are the instrument's own */
  gboolean unbalanced;              /* a tremolo's balance was disturbed since it was read */
  gboolean exposure_read, setback_read, crowns_read, heights_read; /* at least one reading stands behind them: without
                                                                      one an exposure is assumed (fit-parts.h), the
                                                                      others are 0 */
} SlState;

/* One string's share of a state: four numbers say everything about its gaps. */
enum
{
  SL_P_NUT,
  SL_P_CREST,
  SL_P_RELIEF,
  SL_P_FALL_AWAY,
  SL_N_P
};

typedef struct
{
  const SlInstrument *in; /* borrowed, and so is the state: crowns are its */
  const SlState *state;
  int string;                 /* from 1 */
  double p[SL_N_P];           /* nut height, crest height, relief below this string, fall-away */
  double cov[SL_N_P][SL_N_P]; /* their covariance */
  double scale;               /* this string's */
  const double *x;            /* its fret places, borrowed from the instrument */
  double x_s;                 /* place of the crest: scale + setback */
  double exposure, exposure_u;
} SlStringState;

double sl_state_relief (const SlState *state, int string); /* below string @string (from 1), linear in string number */
double sl_state_mean_relief (const SlState *state);
double sl_state_nut_height (const SlState *state, int string);
double sl_state_crest_height (const SlState *state, int string);
void sl_state_string (const SlInstrument *instrument, const SlState *state, int string, SlStringState *out);

/* How deep the crown of fret @n is worn below string @string (from 1), mm, kept to the micrometre; and the deepest of
 * its marks. */
double sl_state_wear (const SlState *state, int string, int n);
void sl_state_set_wear (SlState *state, int string, int n, double mm);
double sl_state_mark (const SlState *state, int n);

/* How high the crown of fret @n stands over the board, mm, beside its marks. */
double sl_state_crown_over_board (const SlInstrument *instrument, const SlState *state, int n);

/* φ(x) = 4 (x − x_1)(x_J − x)/(x_J − x_1)²: the even curvature's shape, 1 in its middle, negative in front of fret 1
 * (model 1.3). @x_mm is a place along string @string, as below. */
double sl_bow_shape (const SlInstrument *instrument, int string, double x_mm);

/* What a rod turn that changes relief by @change adds to the height over the crown chord of a point of the body at
 * @x_mm, which stays where it is: k_c · change · 4 (x − x_J)/(x_J − x_1) (model 5). */
double sl_rod_lift (const SlInstrument *instrument, int string, double change, double x_mm);

/* A crown's height is relief · R + fall · F + d: the two weights for fret @n (1…frets). */
void sl_crown_weights (const SlInstrument *instrument, int n, double *relief, double *fall);

/* Height of the crown of fret @n (1…frets) below a string, in its mark where it is worn there; of a point of the string
 * held at @held (0: the nut). */
double sl_crown_height (const SlStringState *s, int n);
double sl_held_height (const SlStringState *s, int held);

/* gap(h, n): the string held at @held, straight to the crest, at fret @n, less the crown there (model 1.3). */
double sl_gap (const SlStringState *s, int held, int n);

/* gap(0, n) below a string of a state. */
double sl_state_gap (const SlInstrument *instrument, const SlState *state, int string, int n);

/* The same as an affine function of the string's four numbers: gradient into @g. */
void sl_gap_gradient (const SlStringState *s, int held, int n, double g[SL_N_P]);

/* sqrt(gᵀ C g): standard uncertainty of a quantity with gradient @g in the string's four numbers. */
double sl_string_u (const SlStringState *s, const double g[SL_N_P]);

/* Crest height that gives @action_mm open at fret @n, the nut where it is. */
double sl_crest_for_action (const SlStringState *s, int n, double action_mm);

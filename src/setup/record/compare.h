/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What strings do on an instrument as it is, and what another set, or the same one tuned otherwise, would do there
 * (model 9.2): tension, stress of the core, side give, forces at nut and saddle, setback, clearance, slots. Another
 * tension bends the neck as a turn of the rod does (model 5.1): where relief and heights go is predicted, and to be
 * read again. */
#pragma once

#include "setup/profile/sets.h"
#include "setup/profile/units.h"
#include "setup/work/work.h"

/* One string. Figures that can't be given are NAN. */
typedef struct
{
  double frequency_hz, unit_mass_kg_m, outside_mm;
  double tension;      /* N */
  double stress_share; /* of the core's minimum tensile strength (ASTM A228); NAN for cores other than music wire */
  double side_give;    /* N per mm of side pull at SL_OCTAVE_FRET */
  double nut_force, saddle_force; /* N: on the nut, and down on the top; NAN without a post, an anchor */
  double setback_needed;          /* mm */
  double least_margin;            /* mm */
  int least_margin_held, least_margin_fret;
  double slot_width; /* mm */
} SlStringWorth;

typedef struct
{
  int n_strings;
  SlStringWorth strings[SL_MAX_STRINGS];
  double tension_total, nut_force_total, saddle_force_total; /* N; NAN where one string has none */
} SlSetWorth;

/* Works out what @instrument's strings do in @state. */
void sl_set_worth (const SlInstrument *instrument, const SlState *state, SlSetWorth *out);

typedef struct
{
  SlSetWorth present, other;
  int n_changed;         /* strings the other set has one for: 1…n_changed; those beyond stay the instrument's own */
  double tension_change; /* N, in all */
  double tension_share;  /* the same as a share of the present tension */
  SlInstrument instrument; /* the instrument with the other strings on */
  SlState before, after;   /* what was compared in, and what the other tension makes of it, with its covariance */
} SlComparison;

/* Compares the instrument's own strings in @state with @n_strings others in the state that their tension brings. Each
 * is tuned as the instrument's own is, and of a course's two strings each takes the place of the one it sounds like
 * (sl_match_courses()). A string of unknown pitch has figures of NAN. */
void sl_compare (const SlInstrument *instrument, const SlState *state, const SlString *strings, int n_strings,
                 SlComparison *out);

/* Whether two numbers of newtons in all are near enough for relief to stay within what a feeler gauge tells apart: 2 %,
 * our own choice. */
#define SL_TENSION_SAME_SHARE 0.02

/* What the change of tension means for relief, in a sentence or two, translated: how many newtons and percent, where
 * relief and the action of the outer strings are predicted to go, each with its U, and that they should be read again.
 * Free with g_free(). */
char *sl_comparison_sentence (const SlComparison *comparison, SlLengths lengths, const char *decimal);

/* A share of strength in percent without the sign, with a decimal where it would else read as the limit itself. Free
 * with g_free(). */
char *sl_stress_percent (double stress_share, const char *decimal);

/* String @string's core carries more than SL_STRESS_WARNING of its strength (or all of it): a sentence naming the share
 * and what is accepted, translated; NULL where it does not. Free with g_free(). */
char *sl_stress_warning (int string, double stress_share, const char *decimal);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Generic string sets by gauge and material, and tunings; what a set does on an instrument as it is (model 9.2).
 * The gauges are those of common practice, named by their outer diameters, not any maker's. */
#pragma once

#include "setup/physics/figures.h"

typedef struct
{
  const char *id;   /* stable: "acoustic-light" */
  const char *name; /* untranslated; translate with _() */
  int n_strings;
  SlString strings[SL_MAX_STRINGS]; /* notes are of standard tuning; borrowed text */
} SlStringSet;

/* All sets; @n gets how many. The array and its text belong to the program. */
const SlStringSet *sl_string_sets (int *n);
const SlStringSet *sl_string_set_find (const char *id);

typedef struct
{
  const char *id;
  const char *name; /* untranslated */
  int n_strings;
  const char *notes[SL_MAX_STRINGS]; /* string 1 first */
} SlTuning;

const SlTuning *sl_tunings (int *n);

/* Of two strings in one course either may lie nearer the treble. @order gets which of @strings belongs in each place of
 * an instrument tuned to @frequencies_hz: in a twelve-string's courses the one that sounds like the string there, else
 * one after the other. Frequencies that are NAN are matched by nothing. */
void sl_match_courses (const SlString *strings, int n_strings, const double *frequencies_hz, int n_places,
                       int order[SL_MAX_STRINGS]);

/* Whether the instrument carries the set's strings, a course's either way round. */
gboolean sl_string_set_is_on (const SlStringSet *set, const SlInstrument *instrument);

/* Puts the set's strings (as many as both have) into a profile, keeping its notes where @keep_notes: then each string
 * of a course goes where its note is. */
void sl_profile_fit_strings (SlProfile *profile, const SlStringSet *set, gboolean keep_notes);

/* Tunes a profile's strings: notes set, given frequencies dropped. */
void sl_profile_tune (SlProfile *profile, const SlTuning *tuning);

/* What a string wants of the slot it lies in: its outside diameter and the allowance. */
double sl_slot_width (const SlInstrument *instrument, int string);

/* N per mm of side pull at the 12th fret: a string pulled aside at x is held back by T/x + T/(L − x). */
double sl_side_stiffness (const SlStringState *s, double tension_n, int fret);

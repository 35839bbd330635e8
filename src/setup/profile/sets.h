/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Generic string sets by gauge and material, own ones written as on a packet, and tunings (model 7.1, 9.2). The gauges
 * are those of common practice, named by their outer diameters, not any maker's. */
#pragma once

#include "setup/profile/instrument.h"

typedef struct
{
  const char *id;   /* stable: "acoustic-light"; NULL of an own set, as are the four after it */
  const char *name; /* untranslated; see sl_string_set_name() */
  const char *tuning;
  double scale_mm; /* of the instruments it is for */
  const char *gauges;
  int n_strings;
  SlString strings[SL_MAX_STRINGS]; /* with notes of the tuning, borrowed text; without of an own set */
} SlStringSet;

/* All sets that are built in; @n gets how many. The array and its text belong to the program. */
const SlStringSet *sl_string_sets (int *n);
const SlStringSet *sl_string_set_find (const char *id);

/* Reads a set: the id of one that is built in, or gauges from the treble up, "10 13 17 26w 36w 46w" (docs/format.md),
 * of the materials that are @on the instrument where they name none (NULL: nickel-plated steel). It also says how many
 * there must be; of courses of two like strings half will do. Nylon gets the stiffness it has at its pitch.
 * FALSE with @error naming what was typed and what is accepted. */
gboolean sl_string_set_parse (const char *text, const SlInstrument *on, SlStringSet *set, GError **error);

/* Translated: a built-in set's name, or its gauges. Free with g_free(). */
char *sl_string_set_name (const SlStringSet *set);

/* The parts of it. Gauges into strings, and as they are shown: "10, 13, 17, 26 wound"; a set made to suit an
 * instrument. Owned texts; what is wrong, NULL where nothing is. */
char *sl_gauges_read (const char *text, const SlInstrument *on, SlStringSet *set);
char *sl_gauges_suit (SlStringSet *set, const SlInstrument *on);
char *sl_gauges_text (const SlStringData *strings, int n_strings);

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

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Generic string sets by gauge and material, own ones written as on a packet, and tunings (model 7.1, 9.2). The gauges
 * are those of common practice, named by their outer diameters, not any maker's. */
#pragma once

#include "setup/physics/figures.h"

typedef struct
{
  const char *id;   /* stable: "acoustic-light"; NULL of an own set */
  const char *name; /* untranslated; see sl_string_set_name() */
  int n_strings;
  double scale_mm;                  /* of the instruments it is for; 0 of an own set */
  SlString strings[SL_MAX_STRINGS]; /* notes are of standard tuning, borrowed text; an own set has none */
} SlStringSet;

/* All sets that are built in; @n gets how many. The array and its text belong to the program. */
const SlStringSet *sl_string_sets (int *n);
const SlStringSet *sl_string_set_find (const char *id);

/* Reads a set by its gauges, from the treble up: "10 13 17 26w 36w 46w" in thousandths of an inch, or "0.010", "0.25
 * mm"; w, or wound, behind a wound string, then "/18" for its core and "@5.47/3655/273" for its unit mass in g/m, EA in
 * N and EI in N mm² where they are published. Words of the document ("phosphor-bronze", or a part, "bronze") say what
 * the strings behind them are of; else they are as those of @profile, or nickel-plated steel where that is NULL.
 * @profile also says how many there must be; courses of two like strings may be given once. FALSE with @error naming
 * what was typed and what is accepted. */
gboolean sl_string_set_parse (const char *text, const SlProfile *profile, SlStringSet *set, GError **error);

/* Of how many strings a set has, and how many the instrument. */
#define SL_SET_COUNT _ ("the set has %d strings; the instrument has %d")

/* The same of the id of a built-in set, or gauges. */
gboolean sl_string_set_for (const char *id_or_gauges, const SlProfile *profile, SlStringSet *set, GError **error);

/* Translated: a built-in set's name, or gauges, "10, 13, 17, 26 wound". Free with g_free(). */
char *sl_string_set_name (const SlStringSet *set);
char *sl_strings_text (const SlString *strings, int n_strings);

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

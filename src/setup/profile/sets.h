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

/* Strings as a document has a set of them: gauges and cores; @whole: with what they are of, unit mass and
 * stiffness. In the C locale. Free with g_free(). */
char *sl_string_set_text (const SlStringData *strings, int n_strings, gboolean whole);

/* Gauges as they are shown: "10, 13, 17, 26 wound". Free with g_free(). */
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

/* Whether the instrument carries the set's strings, a course's either way round, whatever stiffness was heard of them.
 */
gboolean sl_string_set_is_on (const SlStringSet *set, const SlInstrument *instrument);

/* Puts the set's strings (as many as both have) into a profile, keeping its notes where @keep_notes: then each string
 * of a course goes where its note is. */
void sl_profile_fit_strings (SlProfile *profile, const SlStringSet *set, gboolean keep_notes);

/* Tunes a profile's strings: notes set, given frequencies dropped. */
void sl_profile_tune (SlProfile *profile, const SlTuning *tuning);

/* What a string wants of the slot it lies in: its outside diameter and the allowance. */
double sl_slot_width (const SlInstrument *instrument, int string);

/* ---- strings that were fitted: those of the document are on until work fits others ---- */

/* Puts other strings on, each tuned as the one in its place is; of a course's two each takes the place of the one it
 * sounds like (sl_match_courses()). Returns how many; those beyond stay. */
int sl_instrument_restring (SlInstrument *instrument, const SlString *strings, int n_strings);

/* Puts on what an operation fits; FALSE where it fits none, or none that the instrument can have. */
gboolean sl_instrument_fit (SlInstrument *instrument, const SlOperation *operation);

/* Puts on the strings that were on at @moment (NULL: as the visit began): those of the last operation done by then that
 * fitted any, other than @but, unless those of the document were fitted since; else the document's. Of a baseline,
 * whose visits are of several instruments, only @visit counts (it may be NULL). */
void sl_instrument_strings_at (SlInstrument *instrument, const SlProfile *profile, const SlVisit *visit,
                               const char *moment, const SlOperation *but);

/* The operation that fitted those; NULL: they are the document's. */
SlOperation *sl_strings_fitted_by (const SlProfile *profile, const SlVisit *visit, const char *moment,
                                   const SlOperation *but);

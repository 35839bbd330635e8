/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A visit in words for the person who plays the instrument: four figures beside things everybody has handled, what was
 * done and why, how to look after it, and the cautions that apply. Everything is translated; lengths are written in the
 * chosen units. */
#pragma once

#include "setup/record/outcome.h"
#include "setup/wood/climate.h"
#include "words/figures.h"

#define SL_CARD_MM 0.76 /* thickness of a bank card: ISO/IEC 7810, ID-1 */
#define SL_SHEET_MM 0.1 /* of a sheet of 80 g/m² office paper: common practice */

/* How figures are written. */
typedef struct
{
  SlTextStyle style;
  SlKeeping keeping; /* the band for keeping an instrument; all 0: the default */
} SlSpeech;

/* One large figure. */
typedef struct
{
  char *name;   /* "String height at the 12th fret, thick-string side" */
  char *before; /* "3.25"; NULL where nothing was read before */
  char *after;  /* "2.30 mm" */
  char *words;  /* "from about four bank cards to three"; NULL where nothing fits */
} SlPlainFigure;

/* The figures, at most SL_PLAIN_FIGURES; returns how many. Clear each with sl_plain_figure_clear(). */
#define SL_PLAIN_FIGURES 4
int sl_plain_figures (const SlOutcome *outcome, const SlSpeech *speech, SlPlainFigure figures[SL_PLAIN_FIGURES]);
void sl_plain_figure_clear (SlPlainFigure *figure);

/* How thick @mm is in bank cards or sheets of paper, from and to; @before NAN: there is only one. NULL where a
 * thickness is below none. Free with g_free(). */
char *sl_thickness_words (double before_mm, double after_mm);

/* One step of the work as a sentence with its reason. */
typedef struct
{
  char *id;    /* the same for the same step of a visit, whatever is decided about its amount: "cut-saddle-base-1" */
  char *basis; /* what the sentence says, free of language and units: it changes when, and only when, the step does */
  char *text;
} SlSentence;

/* What was done, one sentence a step, or that nothing had to be; with @planned what is planned and not done. An array
 * of SlSentence that owns them. */
GPtrArray *sl_explain_work (const SlOutcome *outcome, const SlSpeech *speech, gboolean planned);

/* What was passed over on purpose before something was cut, where it matters to who plays the instrument: the air, a
 * reading that disagreed. NULL where nothing was; free with g_free(). */
char *sl_explain_passed (const SlOutcome *outcome);

/* How to look after the instrument, one sentence each: humidity by its own readings and the band for keeping, what the
 * seasons did to its action, cleaning, strings, when to come back. An array of char * that owns them. */
GPtrArray *sl_explain_care (const SlOutcome *outcome, const SlSpeech *speech);

/* Cautions where they apply to this visit's work, an array of char * that owns them. */
GPtrArray *sl_explain_cautions (const SlOutcome *outcome);

/* A check's state as a word: "sound", "mended" … */
const char *sl_check_state_text (SlCheckState state);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the parts of the proposal share: the instrument as the steps so far leave it. */
#pragma once

#include "setup/work/propose.h"

typedef struct
{
  const SlAnalysis *a;
  const SlInstrument *in;
  SlState state; /* as the steps so far leave it, with what they are uncertain by */
  SlProposal *out;
  guint n_first; /* findings that are dealt with before any work */
} SlProposing;

/* A hair of slack, so that a figure brought exactly to the edge of its range is inside it. */
#define SL_EDGE_MM 1e-6

/* Adds a step and does it to the state. @because: what speaks for it, as many as its kind has (SlStep); the rest may be
 * anything. */
void sl_add_step (SlProposing *p, SlOperation operation, const double because[4]);

/* Adds a finding to be dealt with before the next step that is added. */
void sl_add_finding (SlProposing *p, SlFinding finding);

/* The same before the step at @before (as many as there are: behind them all), after other findings there. */
void sl_insert_finding (SlProposing *p, SlFinding finding, guint before);

/* Levelling, and what it can't meet (propose-frets.c). */
void sl_propose_frets (SlProposing *p);

/* Whether the instrument has still to settle, and nobody has passed that on purpose. */
gboolean sl_air_is_awaited (const SlAnalysis *analysis);

/* Readings to be taken again, and what the work since did that was not predicted (findings.c). */
void sl_find_doubt (SlProposing *p);

/* What the rod did: turns that say nothing for want of a reading, or to which relief did not answer (findings.c). */
void sl_find_rod (SlProposing *p);

/* Slots and crests that end below their range, exposures nobody read: with every step done (findings.c). */
void sl_find_limits (SlProposing *p);

/* Strings that lie on a fret in the state @before any step, or would once all are done (findings.c). */
void sl_find_touching (SlProposing *p, const SlState *before);

/* The saddle can't come down as far as wanted: found before any step, in the state before the saddle is worked on
 * (findings.c). @bass and @treble: what the saddle could give, mm. */
void sl_find_neck_angle (SlProposing *p, const SlState *before, double bass, double treble);

/* How far down string @string's crest may come for the saddle to keep its least exposure, mm. One nobody read holds
 * nothing back: its reading is asked for. */
double sl_crest_room (const SlInstrument *instrument, const SlState *state, int string);

/* The string that the saddle can't come down for as far as its action wants, by most and by more than the action's
 * tolerance; 0: none. @most gets by how much, at the crest, mm. */
int sl_saddle_short (const SlAnalysis *analysis, const SlState *state, double *most);

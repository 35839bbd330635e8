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

/* Whether the instrument is built so that an operation can be done to it. */
static inline gboolean
sl_has_work (const SlInstrument *instrument, SlOperationKind kind)
{
  return (instrument->work >> kind & 1) != 0;
}

/* An operation of one string or none, by one amount or two. */
SlOperation sl_operation_of (SlOperationKind kind, int string, double amount, double treble);

/* An amount that a document takes: readings gone astray may ask for more than any work does. */
double sl_within (SlOperationKind kind, double amount);

/* How far a figure may be off before a step is proposed for it: its tolerance; with the shop's wish, nothing. */
double sl_slack (const SlProposing *p, double tolerance);

/* Adds a step and does it to the state. @because: what speaks for it, as many as its kind has (SlStep); the rest may be
 * anything. */
void sl_add_step (SlProposing *p, SlOperation operation, const double because[4]);

void sl_add_bench_step (SlProposing *p, SlBenchStep step);

/* Whether work of some kinds (a bit each) that the readings don't show was done, or is @proposed so far, and the bench
 * step that it wants not since. */
gboolean sl_is_owed (const SlProposing *p, guint kinds, SlBenchStep step, gboolean proposed);

/* Adds a finding to be dealt with before the next step that is added. */
void sl_add_finding (SlProposing *p, SlFinding finding);

/* The same before the step at @before (as many as there are: behind them all), after other findings there. */
void sl_insert_finding (SlProposing *p, SlFinding finding, guint before);

/* Levelling, and what it can't meet (propose-frets.c). */
void sl_propose_frets (SlProposing *p);

/* Slots and saddle; break points, by what the tuner reads (propose-heights.c). */
void sl_propose_heights (SlProposing *p);
/* A tremolo's springs, where what was done or proposed upsets their balance: before anything is filed behind it. */
void sl_propose_balance (SlProposing *p);
void sl_propose_pitch (SlProposing *p);

/* Relief out of range, and no rod to bring it back (findings.c). */
void sl_find_rodless (SlProposing *p);

/* Whether the instrument has still to settle, and nobody has passed that on purpose. */
gboolean sl_air_is_awaited (const SlAnalysis *analysis);

/* Readings to be taken again, and what the work since did that was not predicted (findings.c). */
void sl_find_doubt (SlProposing *p);

/* What the rod did: turns that say nothing for want of a reading, or to which relief did not answer (findings.c). */
void sl_find_rod (SlProposing *p);

/* Slots and crests that end below their range, exposures nobody read: with every step done (findings.c). */
void sl_find_limits (SlProposing *p);

/* How far a zero fret stands over the line that the crowns follow to the nut, below a string, mm (findings.c). */
double sl_zero_fret_over (const SlInstrument *instrument, const SlState *state, int string);

/* Strings that lie on a fret in the state @before any step, or would once all are done (findings.c). */
void sl_find_touching (SlProposing *p, const SlState *before);

/* The saddle can't come down as far as wanted: found before any step, in the state before the saddle is worked on
 * (findings.c). @bass and @treble: what the saddle could give, mm. */
void sl_find_neck_angle (SlProposing *p, const SlState *before, double bass, double treble);

/* How far down string @string's crest may come for the saddle to keep its least exposure, mm. One nobody read holds
 * nothing back: its reading is asked for. */
double sl_crest_room (const SlInstrument *instrument, const SlState *state, int string);

/* How far a crest stays too high with all of the saddle's room used, mm at the crest; 0 where that is in range. */
double sl_crest_short (const SlInstrument *instrument, const SlState *state, int string);

/* The string that the saddle can't come down for as far as its action wants, by most and by more than the action's
 * tolerance; 0: none. @most gets by how much, at the crest, mm. */
int sl_saddle_short (const SlAnalysis *analysis, const SlState *state, double *most);

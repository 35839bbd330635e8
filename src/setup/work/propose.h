/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The plan that brings an instrument to its targets, what keeps it from being carried out yet, and what no work can
 * meet (model 6). words/proposal.h says it. */
#pragma once

#include "setup/physics/figures.h"

/* What of one operation may be done at once. */
typedef struct
{
  SlGate gate;              /* what keeps anything from coming off; then the first pass is 0 */
  double pass, pass_treble; /* first pass, mm; NAN where the operation has none */
  double u, u_treble;       /* standard uncertainty of the figure it is for, in its amount's unit; NAN where none */
} SlPass;

/* The passes of a plan's operations, one each, as planned at that point: the state of @analysis is carried through what
 * was done since its readings and through the plan before the operation. Operations that the readings show, or that are
 * done, have none. */
void sl_plan_passes (const SlAnalysis *analysis, const GArray *plan, SlPass *passes);

/* Whether relief, read before and after, moved by less than a third of what a turn of the rod wanted, and nobody turned
 * it with more success since: the last turn of the visit, or @turn with those done between the same readings. @wanted
 * and @moved get how far, mm. What such a rod was to do, no step asks of it again. */
gboolean sl_rod_still (const SlAnalysis *analysis, const SlOperation *turn, double *wanted, double *moved);

/* Whether such a rod has still to be seen to, as relief in @state is out of range and nobody has accepted that. */
gboolean sl_rod_is_awaited (const SlAnalysis *analysis, const SlState *state);

/* Whether what an operation is for was not read, only assumed. */
gboolean sl_operation_unread (const SlAnalysis *analysis, const SlOperation *operation);

/* The plan as proposed: an operation, and the figures that speak for it. */
typedef struct
{
  SlOperation operation;
  SlPass pass;
  /* level-frets: how far the crowns up to the joint are off, mm; the lowest fret; what comes off all crowns together,
   * where it is single crowns what levelling the board would take, else NAN, mm. turn-rod: mean relief before and
   * after, what that changes of the bass string's action, mm. lower-slot: gap at fret 1 and its target, mm; what is
   * done before it is met, SL_SLOT_…. cut-saddle-base: action of the bass string before and after, then of the
   * treble's, mm. shape-crest: action and target, mm; turns of the height screws or NAN; 1 where a straight cut comes
   * before. move-saddle: as cut-saddle-base. shift-bridge: how many strings' pitch is out of range before and after.
   * move-crest: cents read, cents left after the steps before, turns of the length screw or NAN. */
  double values[4];
} SlStep;

/* What stands in the way, and what would meet it. */
typedef enum
{
  SL_FINDING_SLOT_LOW,      /* a slot already below its target: fill or replace, with the height it wants */
  SL_FINDING_CREST_LOW,     /* a crest already below its target: shim or new saddle */
  SL_FINDING_NECK_ANGLE,    /* the saddle can't come down as far as the action wants: the neck's angle would do it */
  SL_FINDING_EXPOSURE,      /* nobody read how much saddle there is */
  SL_FINDING_RELIEF,        /* the rod can't bring the mean to target without a side going below 0 */
  SL_FINDING_RELIEF_UNREAD, /* a turn of the rod has no relief read on one side of it */
  SL_FINDING_ROD_STILL,     /* the rod was turned and relief hardly moved */
  SL_FINDING_CREST_MOVE,    /* pitch wants the crest beyond the saddle's thickness; of one string: farther than that */
  SL_FINDING_SUSPECT,       /* a reading disagrees: read again before cutting */
  SL_FINDING_FRET_HEIGHT,   /* levelling leaves a crown below its least height */
  SL_FINDING_TONGUE,        /* the fingerboard extension rises */
  SL_FINDING_WORK_SHORT,    /* after a cut the action moved less than predicted */
  SL_FINDING_WORK_FAR,      /* or more */
  SL_FINDING_APART,         /* the readings agree with each other, but not with those before and the work noted since */
  SL_FINDING_AIR,           /* the instrument has not settled in the air it is kept in: SlAnalysis.air */
  SL_FINDING_LIMIT,         /* readings or targets ask for more of an operation than a document takes */
  SL_FINDING_TOUCHES,       /* a string lies on a fret, or would once the work is done */
  SL_FINDING_LEFT,          /* a gap stays too high by less than a hand, or the shop's step, can take off */
  SL_FINDING_CURVE,         /* an action stays out of range on a saddle that isn't set string by string */
  SL_FINDING_RODLESS,       /* relief is out of range, and there is no rod */
  SL_FINDING_ZERO_FRET,     /* a zero fret is too low or too high for the height over fret 1 */
  SL_FINDING_BALANCE,       /* a tremolo's balance is disturbed */
  SL_N_FINDINGS
} SlFindingKind;

typedef struct
{
  SlFindingKind kind;
  guint before;          /* the step it is to be dealt with before; as many as there are: after all */
  int string;            /* 0: none */
  int fret;              /* 0: none */
  double amount;         /* mm missing, or wanted */
  SlReadingKind reading; /* suspect: which */
  SlOperationKind work;  /* limit: of what */
  gboolean predicted;    /* slot, crest or zero fret: it was in range as read, or air or rod still
                            move it: to be read then. touches: not yet */
  guint64 replaced;      /* fret height: bits of the frets that would have to be replaced; 0: all */
  /* slot or crest low, left, curve, zero fret: where the figure ends, its target; of a zero fret also the height of a
   * crown that would meet it, and how far over the line of its neighbours this one would. rodless: target, relief, how
   * many newtons more all strings together would have to pull, and what they pull, N. touches: how far below 0 its gap
   * there is, mm. neck angle: the least exposure, where the action ends, its target, mm; degrees of neck angle; mm of
   * wedge over 100 mm; what the saddle could give in the meantime, bass and treble, mm. relief: target, where it stays.
   * crest move: how far break points lie apart, the saddle's thickness. rod still: how far relief was to move, how far
   * it moved, its target, the mean it stays at, mm. suspect: read, expected, its U. fret height: what is left of the
   * lowest crown, the least. limit: the most, mm. work short or far: moved, predicted, its U. tongue: how far it rises,
   * its U, what that costs in margin, the least height its crowns would have left if dressed to the fall-away. */
  double values[7];
} SlFinding;

typedef struct
{
  GArray *steps;                      /* of SlStep */
  GArray *findings;                   /* of SlFinding, in the order they are to be dealt with */
  double level_off[SL_MAX_FRETS + 1]; /* what levelling takes off each crown, mm; 0 where none is proposed */
} SlProposal;

/* Proposes work for @analysis, in order: settle, level frets, turn rod, lower slots, cut the base, shape crests, move
 * crests (model 6), and never what its construction hasn't. What was done of the visit's plan since the readings is
 * where the proposal starts from, and what was chosen and isn't done yet (sl_finding_offer()) is part of it. Only what
 * is out of range gets a step, which then aims at the target itself. Clear with sl_proposal_clear(). */
void sl_propose (const SlAnalysis *analysis, SlProposal *out);
void sl_proposal_clear (SlProposal *proposal);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (SlProposal, sl_proposal_clear)

/* Puts what is proposed into @plan in place of the operations not yet done. */
void sl_proposal_enter (const SlProposal *proposal, GArray *plan);

/* The step that would meet a finding of the proposal for @analysis, where there is one that the technician may choose:
 * a new nut with a height for every string, a new saddle, the neck's angle, a new zero fret, other strings. Planned, it
 * stays in what is proposed anew, which then no longer has the finding. FALSE where no single step does. Clear @out
 * with sl_operation_clear(). */
gboolean sl_finding_offer (const SlAnalysis *analysis, const SlFinding *finding, SlOperation *out);

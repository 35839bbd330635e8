/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Work: the operations as functions from state to state, the plan that brings a state to its targets, and what
 * can't be met (model 5, 6). */
#pragma once

#include "setup/fit/fit.h"
#include "setup/profile/shop.h"

/* Applies one operation to @state in place, as it is written. The covariance is unchanged. */
void sl_operation_apply (const SlInstrument *instrument, const SlOperation *operation, SlState *state);

/* The same, and widens the covariance by what the work itself is uncertain by: the hands (@uncertainty), of a rod's
 * turn how far it goes and how this neck bends (model 5), and of settling in other air what that moves. */
void sl_operation_carry (const SlInstrument *instrument, const SlOperation *operation,
                         const SlWorkUncertainty *uncertainty, SlState *state);

/* The standard uncertainty of the hand in a cut of @by_mm: of a slot, an end of the saddle's base, a crest; of
 * levelling the same however much comes off; of a turn of the rod a share of what relief is to change, and of a wedge
 * of what it moves the crests by; of a new nut and saddle as of a cut by as much as they differ from the old. */
double sl_work_u (const SlWorkUncertainty *uncertainty, SlOperationKind kind, double by_mm);

/* Kinds of work, a bit each: on crowns; that moves break points along their strings. */
#define SL_FRETWORK (1u << SL_OP_LEVEL_FRETS | 1u << SL_OP_REPLACE_FRETS)
#define SL_ALONG (1u << SL_OP_MOVE_CREST | 1u << SL_OP_SHIFT_BRIDGE)

/* Work that changes the strings' pull on a tremolo or the arm it has, a bit for each kind. A turn of the rod does
 * neither: at pitch the strings pull as before. */
#define SL_UNBALANCES                                                                                                  \
  (1u << SL_OP_SHAPE_CREST | 1u << SL_OP_MOVE_SADDLE | 1u << SL_OP_CUT_SADDLE_BASE | 1u << SL_OP_MAKE_SADDLE |         \
   1u << SL_OP_FIT_STRINGS)

/* Carries, in order, the operations of @plan that the readings taken at @taken don't already show (those not done, or
 * done later); with @done_only none that is only planned: then it is the instrument as it is now. */
void sl_plan_apply (const SlInstrument *instrument, const GArray *plan, const char *taken, gboolean done_only,
                    const SlWorkUncertainty *uncertainty, SlState *state);

/* What a change of the strings' tension by @newtons makes of a state: relief changes by c_T ΔT, c_T as this neck was
 * read or as is assumed, and nut and crests follow as they do when the rod is turned; the covariance has what c_T and
 * the neck's factors are uncertain by (model 5.1). */
void sl_state_pull (const SlInstrument *instrument, double newtons, SlState *state);

/* C += u² v vᵀ */
void sl_state_widen (SlState *state, const double *v, double u);

/* What one unit of an operation's amount (with @treble, of its second one) does to the unknowns: they are affine in
 * it. */
void sl_operation_effect (const SlInstrument *instrument, SlOperation operation, gboolean treble, const SlState *state,
                          double *v);

/* What one unit of the neck's factors at crest and nut does to the unknowns in a turn that changes relief by @change:
 * v_c and v_n of model 5, each as long as the state has unknowns. */
void sl_bending_effect (const SlInstrument *instrument, double change, const SlState *state, double *v_crest,
                        double *v_nut);

/* Whether an operation was done after the readings taken at @from and no later than those taken at @to. */
gboolean sl_operation_between (const SlOperation *operation, const char *from, const char *to);

/* Whether one of a visit's operations of some kinds was done between two sets (a bit, 1 << SlOperationKind, for each).
 */
gboolean sl_work_between (const SlVisit *visit, guint kinds, const SlReadingSet *from, const SlReadingSet *to);

/* What would bring an open gap, at fret 1 or 12, to its target: how far the slot or the crest comes down with the other
 * as it is; all mm. */
typedef struct
{
  double gap, target, tolerance, over; /* over its target */
  double by, u;                        /* how far down, (gap − target) over ∂gap, and its standard uncertainty */
  double edge;                         /* how far down to the lower edge of the tolerance */
} SlWant;
SlWant sl_want (const SlInstrument *instrument, const SlState *state, int string, int fret);

/* The deepest cut, straight from bass to treble, that takes no string below its target: a line through the outer
 * strings' needs, lowered by its worst overshoot, never negative, over cos(lean); and its first pass. */
typedef struct
{
  double bass, treble;
  double first_pass_bass, first_pass_treble;
} SlBaseCut;
void sl_base_cut (const SlInstrument *instrument, const SlState *state, const SlShop *shop, SlBaseCut *out);

/* What of a cut can't take its figure below the lower edge of its tolerance: min(cut, max(0, edge − 2u)) rounded down
 * to the shop's step, @edge_mm being the cut to that edge and @u_mm the standard uncertainty of the figure with the
 * hand's (model 6.1). */
double sl_first_pass (const SlShop *shop, double cut_mm, double edge_mm, double u_mm);

/* The first pass of a base cut of @bass and @treble mm: no string's action may go below the lower edge of its
 * tolerance, which at the crest is x_s/x_12 of it. */
void sl_base_pass (const SlInstrument *instrument, const SlState *state, const SlShop *shop, double bass, double treble,
                   double *pass_bass, double *pass_treble);

/* The first pass of @by mm off a slot, @state being that in which its gap is to end, or off the crest of one string. A
 * slot's pass is rounded down to what a hand can file, SL_HAND_MM, or the shop's step where that is finer: with several
 * slots to a nut, one in forty of each too deep would be too often, and nothing puts it back (docs/simulation.md). */
double sl_slot_pass (const SlInstrument *instrument, const SlState *state, const SlShop *shop, int string, double by);
double sl_crest_pass (const SlInstrument *instrument, const SlState *state, const SlShop *shop, int string, double by);

/* Less than this no hand cuts to measure: our own choice. */
#define SL_HAND_MM 0.05

/* Amounts are proposed in these steps, mm, or the shop's larger ones, rounded so that never more comes off. */
#define SL_LEAST_STEP_MM 0.001
double sl_round_cut (const SlShop *shop, double mm);

/* What keeps anything from being taken off until something is read again or set aside: a reading disagrees with the
 * others, or the last cut did not do what was predicted and nobody has stood by the readings that say so. */
typedef enum
{
  SL_BLOCK_NONE,
  SL_BLOCK_READING,
  SL_BLOCK_WORK
} SlBlock;
SlBlock sl_cutting_block (const SlFit *fit);

/* A wedge between heel and body that tips the neck so that string @string's crest may stand @drop_mm lower over the
 * chord: how thick it is at one end of a heel
 * @heel_mm long, drop · heel / (joint to crest). */
double sl_heel_wedge (const SlInstrument *instrument, const SlState *state, int string, double drop_mm, double heel_mm);

/* The straight line from treble to bass that stays at or below room[s] for every string and at or above 0: through the
 * outer strings' room, lowered by its worst overshoot. Where an outer string has no room its end is 0 and the other end
 * gives way. */
void sl_cut_line (const double *room, int n_strings, double *treble, double *bass);

/* Crest move from a tuner reading: c cents at the 12th fret against the retuned open string of length L: L (1 − r)/(2r
 * − 1), r = 2^(−c/1200) (model 6). */
double sl_crest_move (double length_mm, double cents);
/* Its standard uncertainty by that of the readings of @string at the 12th fret, mm: one cent is about L ln 2/1200.
 * @set may be NULL: the usual tuner. */
double sl_crest_move_u (double length_mm, const SlReadingSet *set, int string);

/* Why an operation can't stand at another place of the plan. What may be done before what is common practice, and what
 * of it the model itself shows: a step that moves the readings of another comes first. What is done was done in its
 * order: it neither moves nor is anything put before it. */
typedef enum
{
  SL_OBJECTION_NONE,
  SL_OBJECTION_FRETS_FIRST,
  SL_OBJECTION_NECK_FIRST,
  SL_OBJECTION_STRINGS_FIRST,
  SL_OBJECTION_ROD_FIRST,
  SL_OBJECTION_NEW_FIRST,
  SL_OBJECTION_BASE_FIRST,
  SL_OBJECTION_CRESTS_LAST,
  SL_OBJECTION_DONE,
  SL_OBJECTION_BEFORE_DONE
} SlObjection;

/* What stands against moving the operation at @from of a plan to @to (counted with it taken out). */
SlObjection sl_plan_move_objection (const GArray *plan, guint from, guint to);

/* Moves it there; returns the objection instead where there is one, and moves nothing. */
SlObjection sl_plan_move (GArray *plan, guint from, guint to);

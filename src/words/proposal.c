/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/proposal.h"

#include "setup/physics/frets.h"
#include "setup/profile/construction.h"
#include "setup/record/stages.h"
#include "words/kinds.h"
#include "words/said.h"
#include "words/saying.h"

#define STRAIGHT_MM 0.05 /* of a neck that frets are levelled on: our own choice */
#define LESS_MM 0.005    /* what two amounts differ by at least to be told: less is written alike */

const char *
sl_block_text (SlBlock block)
{
  return block == SL_BLOCK_READING ? _ ("Nothing comes off until the reading that disagrees is read again or excluded.")
         : block == SL_BLOCK_WORK
             ? _ ("Nothing comes off until the action that did not move as predicted is read again, or kept.")
             : NULL;
}

const char *
sl_gate_title (SlGate gate)
{
  static const char *const titles[SL_N_GATES] = {
#include "gate-rows.h"
  };

  return gate == SL_GATE_NONE ? "" : g_dpgettext2 (GETTEXT_PACKAGE, "gate", titles[gate]);
}

const char *
sl_bench_step_title (SlBenchStep step)
{
  static const char *const titles[SL_N_BENCH_STEPS] = {
#include "step-rows.h"
  };

  return _ (titles[step]);
}

static const char *
reading_gate_text (const SlAnalysis *analysis, const SlOperation *operation)
{
  const SlBlock block = sl_cutting_block (&analysis->fit);
  const gboolean undoes = operation->kind == SL_OP_TURN_ROD || operation->kind == SL_OP_MOVE_SADDLE ||
                          operation->kind == SL_OP_SHIFT_BRIDGE ||
                          (operation->kind == SL_OP_SHAPE_CREST && sl_saddles[analysis->instrument.adjust].goes_up);

  const gboolean unread = sl_operation_unread (analysis, operation);

  if (block == SL_BLOCK_NONE && !unread)
    return _ ("Nothing comes off before relief was read: what the rod still has to do moves everything else.");
  if (block == SL_BLOCK_NONE || (undoes && unread))
    return _ ("Only assumed, not read: a reading comes before anything is done.");
  return undoes ? _ ("Not before the relief that disagrees is read again or excluded.") : sl_block_text (block);
}

const char *
sl_pass_text (const SlAnalysis *analysis, const SlOperation *operation, const SlPass *pass)
{
  const gboolean treble = operation->kind == SL_OP_CUT_SADDLE_BASE && !(pass->pass_treble <= 0);
  switch (pass->gate)
    {
    case SL_GATE_READING: return reading_gate_text (analysis, operation);
    case SL_GATE_ROD:
      if (sl_rod_is_awaited (analysis, &analysis->measured))
        return _ ("Nothing is turned or cut until the rod is seen to and relief read again, or relief is accepted as "
                  "it is.");
      return _ ("Nothing comes off until the rod is set and these are read: relief on both sides, height at fret 1 and "
                "action of the outer strings.");
    case SL_GATE_AIR:
      return _ ("Nothing is done until it has settled in the air it should be kept in and is read again.");
    case SL_GATE_NECK_ANGLE: return _ ("Nothing comes off the saddle before the neck’s angle is decided on.");
    case SL_GATE_FRETS: return _ ("Nothing comes off until the frets are level and the string heights are read again.");
    default:
      return pass->pass != 0 || treble ? NULL
             : operation->kind == SL_OP_CUT_SADDLE_BASE &&
                     sl_any_assumed (analysis->fit.action_assumed, analysis->instrument.n_strings)
                 ? _ ("No safe first pass while the action of some strings is only assumed: read it.")
                 : _ ("No safe first pass: what is known of it is too uncertain. Read it again, with a finer tool if "
                      "there is one.");
    }
}

const char *
sl_objection_text (SlObjection objection)
{
  static const char *const texts[] = {
#include "objection-rows.h"
  };

  return objection == SL_OBJECTION_NONE ? NULL : _ (texts[objection]);
}

/* ---- steps ---- */

static char *
shaping_reason (const Saying *say, const SlStep *step, const char *assumed)
{
  const char *now = length (say, step->values[0]), *target = length (say, step->values[1]);

  if (isnan (step->values[2]))
    return g_strdup_printf (step->values[3] > 0
                                ? _ ("action at 12 %s%s, target %s: left over by the straight cut off the underside")
                                : _ ("action at 12 %s%s, target %s"),
                            now, assumed, target);
  return g_strdup_printf (step->operation.amount.v > 0 ? _ ("action at 12 %s%s, target %s: screws down %s turns")
                                                       : _ ("action at 12 %s%s, target %s: screws up %s turns"),
                          now, assumed, target, number (say, step->values[2], 2));
}

static char *
moving_reason (const Saying *say, const SlStep *step)
{
  const char *read = number (say, step->values[0], 1), *left = number (say, step->values[1], 1), *why, *by = "";

  why = !g_str_equal (read, left)
            ? said (say, _ ("tuner reads %s cents at the 12th fret, the work above should leave %s"), read, left)
            : said (say, _ ("tuner reads %s cents at the 12th fret"), read);
  if (!isnan (step->values[2]))
    by = said (say,
               step->operation.amount.v > 0 ? _ ("; length screw %s turns, away from the nut")
                                            : _ ("; length screw %s turns, toward the nut"),
               number (say, step->values[2], 2));
  return g_strconcat (why, by, NULL);
}

/* Where the action of one string goes. */
static const char *
action_text (const Saying *say, int string, double before, double after)
{
  const char *name = string_name (say, string), *from = length (say, before), *to = length (say, after);

  return own (say, g_str_equal (from, to) ? g_strdup_printf (_ ("string %s stays at %s"), name, from)
                                          : g_strdup_printf (_ ("string %s from %s to %s"), name, from, to));
}

static char *
base_reason (const Saying *say, int n_strings, const double *v)
{
  const char *bass = action_text (say, n_strings, v[0], v[1]);

  if (n_strings == 1)
    return g_strdup_printf (_ ("action at 12: %s"), bass);
  return g_strdup_printf (_ ("action at 12: %s, %s"), bass, action_text (say, 1, v[2], v[3]));
}

static char *
rod_reason (const Saying *say, int n_strings, const double *v)
{
  if (n_strings == 1)
    return g_strdup_printf (v[2] < 0 ? _ ("relief from %s to %s; that alone lowers the action by %s. Then read relief, "
                                          "height at fret 1 and action")
                                     : _ ("relief from %s to %s; that alone raises the action by %s. Then read relief, "
                                          "height at fret 1 and action"),
                            length (say, v[0]), length (say, v[1]), length (say, fabs (v[2])));
  return g_strdup_printf (
      v[2] < 0 ? _ ("mean relief from %s to %s; that alone lowers the action of string %s by %s. Then read relief on "
                    "both sides, and height at fret 1 and action of the outer strings")
               : _ ("mean relief from %s to %s; that alone raises the action of string %s by %s. Then read relief on "
                    "both sides, and height at fret 1 and action of the outer strings"),
      length (say, v[0]), length (say, v[1]), string_name (say, n_strings), length (say, fabs (v[2])));
}

/* And how far to turn the rod's nut, where this neck's own turns were counted; and where a rod that only pulls back may
 * have nothing left to give. */
static char *
turn_reason (const Saying *say, const SlInstrument *instrument, const SlStep *step)
{
  const char *turns = own (say, sl_rod_turns_text (instrument, step->operation.amount.v, say->style)),
             *why = own (say, rod_reason (say, instrument->n_strings, step->values)), *slack = "";

  if (step->operation.amount.v > 0 && instrument->rod == SL_ROD_SINGLE)
    slack = _ (". This rod can’t push the neck forward: if its nut turns free and relief stays short, stop. Heavier "
               "strings would bow it further, or heat by a specialist");
  return turns == NULL ? g_strconcat (why, slack, NULL) : g_strconcat (turns, "; ", why, slack, NULL);
}

static const char *
bench_reason (const SlInstrument *instrument, SlBenchStep step)
{
  switch (step)
    {
    case SL_BENCH_REBALANCE:
      return instrument->balance == SL_BALANCE_DECKED
                 ? _ ("tune to pitch; the springs must hold it down on the body with every string at pitch; then read "
                      "everything again")
                 : _ ("tune to pitch, bring it level with the spring screws, tune and level again until both hold; "
                      "then read everything again");
    case SL_BENCH_SETTLE:
      return _ ("strings on, in its case or hung where that air is kept; then read everything again");
    case SL_BENCH_RECROWN: return _ ("levelling left the crowns flat: round them again, without touching their tops");
    case SL_BENCH_POLISH: return _ ("until the strings bend over them without a scratch");
    default: return _ ("to be ticked off when done");
    }
}

/* What levelling is for, what it takes against the other way, and how it is done. */
static char *
levelling_reason (const Saying *say, const SlInstrument *instrument, const SlStep *step)
{
  const double *v = step->values;
  const guint64 frets = step->operation.frets;
  const gboolean board = sl_levels_board (instrument, &step->operation);
  gulong n = 0;
  const char *named = own (say, sl_frets_text (frets, &n)), *why, *other = "";

  if (frets == 1)
    return g_strdup_printf (_ ("the zero fret stands %s over the line of its neighbours. Take the strings off it, mask "
                               "the board and dress it down to them, then read the height at fret 1"),
                            length (say, v[0]));
  if (board)
    why = said (say, _ ("crowns are off by up to %s; fret %d is the lowest"), length (say, v[0]), (int) v[1]);
  else
    why = said (
        say,
        g_dngettext (GETTEXT_PACKAGE, "fret %s stands higher than the rest", "frets %s stand higher than the rest", n),
        named);
  if (v[3] > v[2] + LESS_MM)
    other =
        said (say, _ (" (%s off in all; levelling the board would take %s)"), length (say, v[2]), length (say, v[3]));
  return g_strdup_printf (_ ("%s%s. Slacken the strings, straighten the neck to within %s, mask the board, and read "
                             "the crown gaps so: what they say then is what comes off"),
                          why, other, length (say, STRAIGHT_MM));
}

static char *
reason (const Saying *say, const SlAnalysis *analysis, const SlStep *step)
{
  const SlInstrument *instrument = &analysis->instrument;
  const double *v = step->values;
  const SlOperation *op = &step->operation;
  const int fret = op->kind == SL_OP_LOWER_SLOT ? 1 : SL_OCTAVE_FRET;
  const gboolean moved =
      op->string > 0 && fabs (v[0] - sl_state_gap (instrument, &analysis->measured, op->string, fret)) >= LESS_MM;
  /* Translators: of a height that was read, or of one that nobody has read yet: "1.05 mm after the steps above" */
  const char *assumed = sl_operation_unread (analysis, op) ? _ (" (assumed)")
                        : moved                            ? _ (" after the steps above")
                                                           : "";

  switch (step->operation.kind)
    {
    case SL_OP_LEVEL_FRETS: return levelling_reason (say, instrument, step);
    case SL_OP_TURN_ROD: return turn_reason (say, instrument, step);
    case SL_OP_LOWER_SLOT:
      return g_strdup_printf (v[2] > 1   ? _ ("height at fret 1 %s%s, target %s when the neck’s angle is set")
                              : v[2] > 0 ? _ ("height at fret 1 %s%s, target %s when the saddle is done")
                                         : _ ("height at fret 1 %s%s, target %s"),
                              length (say, v[0]), assumed, length (say, v[1]));
    case SL_OP_CUT_SADDLE_BASE:
    case SL_OP_MOVE_SADDLE: return base_reason (say, instrument->n_strings, v);
    case SL_OP_SHAPE_CREST: return shaping_reason (say, step, assumed);
    case SL_OP_MOVE_CREST: return moving_reason (say, step);
    case SL_OP_BENCH_STEP: return g_strdup (bench_reason (instrument, step->operation.step));
    case SL_OP_SHIFT_BRIDGE:
      return g_strdup_printf (_ ("strings out of tune at the 12th fret: %d, then %d. Mark where the bridge stands, "
                                 "slacken the strings, keep its feet flat on the top, retune and read the pitch again"),
                              (int) v[0], (int) v[1]);
    case SL_OP_REPLACE_FRETS:
      return g_strdup (op->to > 0
                           ? _ ("new crowns are levelled with the rest: seat them, then level, re-crown and polish")
                           : _ ("seat the new zero fret, dress it to its height, then read the height at fret 1"));
    case SL_OP_MAKE_NUT:
      return g_strdup (_ ("leave its slots a little high, and file each to its height at fret 1 with the strings on"));
    default: return g_strdup (_ ("tune to pitch, let it come to rest, then read everything again before more is cut"));
    }
}

char *
sl_step_cause (const SlAnalysis *analysis, const SlStep *step, const SlTextStyle *style)
{
  g_auto (Saying) say = saying (style, analysis->profile);

  return reason (&say, analysis, step);
}

char *
sl_step_reason (const SlAnalysis *analysis, const SlStep *step, const SlTextStyle *style)
{
  const char *opens = sl_pass_text (analysis, &step->operation, &step->pass);
  g_autofree char *why = sl_step_cause (analysis, step, style);

  return opens == NULL ? g_steal_pointer (&why) : g_strdup_printf ("%s. %s", why, opens);
}

const char *
sl_nothing_to_do_text (const SlAnalysis *analysis, const SlProposal *proposal)
{
  g_autoptr (GArray) again =
      analysis->set == NULL ? NULL : sl_questions_since (analysis, analysis->visit, SL_N_OPS, analysis->set->taken);

  /* what was worked on since is in range only as predicted */
  if ((again != NULL && again->len > 0) || analysis->fit.n_readings == 0 || analysis->fit.singular ||
      proposal->steps->len > 0 || proposal->findings->len > 0)
    return NULL;
  return _ ("Nothing to do: everything that was read is in range.");
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/proposal.h"

#include "setup/physics/frets.h"
#include "setup/record/stages.h"
#include "words/said.h"
#include "words/kinds.h"

#define STRAIGHT_MM 0.05 /* of a neck that frets are levelled on: our own choice */
#define LESS_MM 0.005    /* what two amounts differ by at least to be told: less is written alike */

/* The texts of the figures a sentence names, until it is made. */
typedef struct
{
  const SlTextStyle *style;
  GPtrArray *texts;
} Saying;

static const char *
own (const Saying *say, char *text)
{
  g_ptr_array_add (say->texts, text);
  return text;
}

static const char *
length (const Saying *say, double mm)
{
  return own (say, sl_text_length_unit (say->style, mm));
}

static const char *
number (const Saying *say, double value, int places)
{
  return own (say, sl_plain_format (value, places, say->style->decimal));
}

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
    [SL_GATE_READING] = NC_ ("gate", "a doubted reading"),
    [SL_GATE_ROD] = NC_ ("gate", "the rod"),
    [SL_GATE_AIR] = NC_ ("gate", "the air"),
    [SL_GATE_NECK_ANGLE] = NC_ ("gate", "the neck’s angle"),
    [SL_GATE_FRETS] = NC_ ("gate", "the frets"),
  };

  return gate == SL_GATE_NONE ? "" : g_dpgettext2 (GETTEXT_PACKAGE, "gate", titles[gate]);
}

const char *
sl_bench_step_title (SlBenchStep step)
{
  static const char *const titles[SL_N_BENCH_STEPS] = {
    [SL_BENCH_RECROWN] = N_ ("re-crown the frets"), [SL_BENCH_POLISH] = N_ ("polish the frets"),
    [SL_BENCH_ENDS] = N_ ("dress the fret ends"),   [SL_BENCH_SEAT] = N_ ("seat loose frets"),
    [SL_BENCH_NEW_STRINGS] = N_ ("new strings"),    [SL_BENCH_SETTLE] = N_ ("let it settle in the air it is kept in"),
    [SL_BENCH_CLEAN] = N_ ("clean and oil"),
  };

  return _ (titles[step]);
}

static const char *
reading_gate_text (const SlAnalysis *analysis, const SlOperation *operation)
{
  const SlBlock block = sl_cutting_block (&analysis->fit);
  const gboolean undoes = operation->kind == SL_OP_TURN_ROD ||
                          (operation->kind == SL_OP_SHAPE_CREST && !isnan (analysis->instrument.height_screw_pitch));

  if (block == SL_BLOCK_NONE && !sl_operation_unread (analysis, operation))
    return _ ("Nothing comes off before relief was read: what the rod still has to do moves everything else.");
  if (block == SL_BLOCK_NONE)
    return _ ("It was not read, only assumed: read it before anything is done.");
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
      return _ ("Nothing comes off until the rod is set and these are read: relief on both sides, height at fret 1 and "
                "action of the outer strings.");
    case SL_GATE_AIR: return _ ("Nothing is done until it has settled in the air it is kept in and is read again.");
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
    [SL_OBJECTION_FRETS_FIRST] =
        N_ ("New frets come first, then levelling, then slots and saddle: each moves the crowns, and with them every "
            "gap that is worked to after it."),
    [SL_OBJECTION_ROD_FIRST] =
        N_ ("The rod is adjusted before slots and saddle are cut: it changes the action they would be cut for, and "
            "what is cut can't be put back."),
    [SL_OBJECTION_NECK_FIRST] =
        N_ ("The neck's angle is set before nut and saddle are cut or made: it changes what they would be made to."),
    [SL_OBJECTION_STRINGS_FIRST] =
        N_ ("Other strings are fitted before the rod, the nut and the saddle are set for them: their pull changes "
            "relief and action."),
    [SL_OBJECTION_NEW_FIRST] = N_ ("A new nut or saddle is made before it is worked on."),
    [SL_OBJECTION_BASE_FIRST] = N_ (
        "The saddle's underside is cut before its top is dressed: dressing takes what the straight cut leaves over."),
    [SL_OBJECTION_CRESTS_LAST] =
        N_ ("Break points are moved last: every change of height changes the pitch they would be moved for."),
    [SL_OBJECTION_DONE] = N_ ("This is done already: it stays where it was done."),
    [SL_OBJECTION_BEFORE_DONE] = N_ ("What it would go before is done already."),
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
            ? own (say, g_strdup_printf (_ ("tuner reads %s cents at the 12th fret, the work above should leave %s"),
                                         read, left))
            : own (say, g_strdup_printf (_ ("tuner reads %s cents at the 12th fret"), read));
  if (!isnan (step->values[2]))
    by = own (say, g_strdup_printf (step->operation.amount.v > 0 ? _ ("; length screw %s turns, away from the nut")
                                                                 : _ ("; length screw %s turns, toward the nut"),
                                    number (say, step->values[2], 2)));
  return g_strconcat (why, by, NULL);
}

/* Where the action of one string goes. */
static const char *
action_text (const Saying *say, int string, double before, double after)
{
  const char *from = length (say, before), *to = length (say, after);

  return own (say, g_str_equal (from, to) ? g_strdup_printf (_ ("string %d stays at %s"), string, from)
                                          : g_strdup_printf (_ ("string %d from %s to %s"), string, from, to));
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
  return g_strdup_printf (v[2] < 0 ? _ ("mean relief from %s to %s; that alone lowers the action of string %d by %s. "
                                        "Then read relief on both sides, and height at fret 1 and action of the outer "
                                        "strings")
                                   : _ ("mean relief from %s to %s; that alone raises the action of string %d by %s. "
                                        "Then read relief on both sides, and height at fret 1 and action of the outer "
                                        "strings"),
                          length (say, v[0]), length (say, v[1]), n_strings, length (say, fabs (v[2])));
}

/* And how far to turn the rod's nut, where this neck's own turns were counted. */
static char *
turn_reason (const Saying *say, const SlInstrument *instrument, const SlStep *step)
{
  char *turns = sl_rod_turns_text (instrument, step->operation.amount.v, say->style),
       *why = rod_reason (say, instrument->n_strings, step->values);

  if (turns == NULL)
    return why;
  return g_strdup_printf ("%s; %s", own (say, turns), own (say, why));
}

static const char *
bench_reason (SlBenchStep step)
{
  switch (step)
    {
    case SL_BENCH_SETTLE:
      return _ ("strings on, in its case or hung where the air is kept; then read everything again");
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

  if (board)
    why = own (
        say, g_strdup_printf (_ ("crowns are off by up to %s; fret %d is the lowest"), length (say, v[0]), (int) v[1]));
  else
    why = own (say, g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "fret %s stands higher than the rest",
                                                  "frets %s stand higher than the rest", n),
                                     named));
  if (v[3] > v[2] + LESS_MM)
    other = own (say, g_strdup_printf (_ (" (%s off in all; levelling the board would take %s)"), length (say, v[2]),
                                       length (say, v[3])));
  return g_strdup_printf (
      _ ("%s%s. Slacken the strings, straighten the neck to within %s, mask the board, and read the "
         "crown gaps so: what they say then is what comes off"),
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
      return g_strdup_printf (v[2] > 0 ? _ ("height at fret 1 %s%s, target %s when the saddle is done")
                                       : _ ("height at fret 1 %s%s, target %s"),
                              length (say, v[0]), assumed, length (say, v[1]));
    case SL_OP_CUT_SADDLE_BASE: return base_reason (say, instrument->n_strings, v);
    case SL_OP_SHAPE_CREST: return shaping_reason (say, step, assumed);
    case SL_OP_MOVE_CREST: return moving_reason (say, step);
    case SL_OP_BENCH_STEP: return g_strdup (bench_reason (step->operation.step));
    case SL_OP_REPLACE_FRETS:
      return g_strdup (_ ("new crowns are levelled with the rest: seat them, then level, re-crown and polish"));
    case SL_N_OPS:
    default: g_return_val_if_reached (NULL);
    }
}

char *
sl_step_cause (const SlAnalysis *analysis, const SlStep *step, const SlTextStyle *style)
{
  g_autoptr (GPtrArray) texts = g_ptr_array_new_with_free_func (g_free);

  return reason (&(Saying){ style, texts }, analysis, step);
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

/* ---- findings ---- */

static char *
suspect_text (const Saying *say, const SlFinding *finding)
{
  const double *v = finding->values;
  const char *what = sl_reading_said (finding->reading);

  if (finding->reading == SL_READ_FIRST_GAP)
    /* Translators: kind of reading ("string height at fret 1"), string */
    what = own (say, g_strdup_printf (_ ("%s of string %d"), what, finding->string));
  else if (finding->string > 0)
    /* Translators: kind of reading ("action"), string, fret */
    what = own (say, g_strdup_printf (_ ("%s of string %d at fret %d"), what, finding->string, finding->fret));
  return g_strdup_printf (_ ("%s reads %s; the other readings expect %s ± %s, so it is excluded. Read it again "
                             "before cutting."),
                          what, length (say, v[0]), length (say, v[1]), length (say, v[2]));
}

static char *
fret_height_text (const Saying *say, const SlFinding *finding)
{
  const char *left = length (say, finding->values[0]), *least = length (say, finding->values[1]);
  gulong n;

  if (finding->replaced == 0)
    return g_strdup_printf (_ ("Levelling to fret %d can't be met, because it would leave a crown only %s high "
                               "and %s is the least; new frets throughout would."),
                            finding->fret, left, least);

  const char *frets = own (say, sl_frets_text (finding->replaced, &n));

  return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE,
                                       "Levelling to fret %d can't be met, because it would leave a crown only "
                                       "%s high and %s is the least; replacing fret %s would.",
                                       "Levelling to fret %d can't be met, because it would leave a crown only "
                                       "%s high and %s is the least; replacing frets %s would.",
                                       n),
                          finding->fret, left, least, frets);
}

static char *
tongue_text (const Saying *say, const SlInstrument *instrument, const SlFinding *finding)
{
  const double *v = finding->values;
  const char *left = length (say, v[3]), *least = length (say, instrument->crown_least),
             *fall = length (say, instrument->target_fall_away);
  g_autofree char *rises = g_strdup_printf (
      _ ("With relief in its range the fingerboard extension rises by %s ± %s at the last fret: beyond the "
         "joint that costs %s of margin against a fall-away of %s."),
      length (say, v[0]), length (say, v[1]), length (say, v[2]), fall);

  if (v[3] >= instrument->crown_least)
    return g_strdup_printf (_ ("%s Its crowns can be dressed to that: the lowest keeps %s, %s is the least."), rises,
                            left, least);
  return g_strdup_printf (_ ("%s Its crowns lack the height to be dressed to that: the lowest would keep %s, and %s is "
                             "the least. It takes work on the neck (the extension planed, or its joint reset)."),
                          rises, left, least);
}

/* A slot or a saddle that ends too low. */
static char *
low_text (const Saying *say, const SlFinding *finding)
{
  const gboolean slot = finding->kind == SL_FINDING_SLOT_LOW;
  const char *ends = length (say, finding->values[0]), *target = length (say, finding->values[1]),
             *wanted = length (say, finding->amount);

  if (finding->predicted)
    return g_strdup_printf (slot ? _ ("String %d may end at about %s over fret 1, target %s, once the work is done: "
                                      "read it then, before anything is done to the nut.")
                                 : _ ("String %d may end at an action of about %s, target %s, once the work is done: "
                                      "read it then, before anything is done to the saddle."),
                            finding->string, ends, target);
  return g_strdup_printf (
      slot
          ? _ ("String %d ends at %s over fret 1, target %s: its slot is too low. Filling and recutting it %s higher, "
               "a shimmed or a new nut would meet it.")
          : _ ("String %d ends at an action of %s, target %s: the saddle is too low there. A shim of %s under it, or a "
               "saddle that much higher, would meet it."),
      finding->string, ends, target, wanted);
}

static char *
angle_text (const Saying *say, const SlInstrument *instrument, const SlFinding *finding)
{
  const double *v = finding->values;
  g_autofree char *angle = g_strdup_printf (
      finding->screws
          ? _ ("The neck’s angle comes first: with the screws down to the least exposure of %s, the action of string "
               "%d would end at %s, target %s. An angle %s° steeper would meet it (a wedge or shim at the heel growing "
               "%s over each 100 mm, or the neck reset).")
          : _ ("The neck’s angle comes first: with the saddle down to its least exposure of %s, the action of string "
               "%d would end at %s, target %s. An angle %s° steeper would meet it (a wedge or shim at the heel growing "
               "%s over each 100 mm, or the neck reset)."),
      length (say, v[0]), finding->string, length (say, v[1]), length (say, v[2]), number (say, v[3], 2),
      length (say, v[4]));

  if (v[5] <= 0 && v[6] <= 0)
    return g_strdup_printf (_ ("%s The saddle has nothing to give in the meantime."), angle);
  return g_strdup_printf (_ ("%s Second choice, until then: what the saddle could give, %s at string %d and %s at "
                             "string 1."),
                          angle, length (say, v[5]), instrument->n_strings, length (say, v[6]));
}

static char *
limit_text (const Saying *say, const SlFinding *finding)
{
  const char *most = length (say, finding->values[0]), *title = sl_operation_title (finding->work);

  if (finding->string > 0)
    /* Translators: a string, the title of an operation, and the most of it */
    return g_strdup_printf (_ ("String %d, %s: more is wanted than the %s there can be. Look at the readings and "
                               "targets again: one of them is far from any instrument."),
                            finding->string, title, most);
  return g_strdup_printf (_ ("%s: more is wanted than the %s there can be. Look at the readings and targets again: one "
                             "of them is far from any instrument."),
                          title, most);
}

/* "6 at 0.38 mm (target 0.50 mm)", from the bass. */
static char *
strings_text (const Saying *say, const SlFinding *findings, guint n)
{
  GString *list = g_string_new (NULL);

  for (guint i = n; i-- > 0;)
    {
      const SlFinding *one = &findings[i];
      const char *ends = length (say, one->values[0]), *target = length (say, one->values[1]);

      g_string_append (list, list->len > 0 ? ", " : "");
      if (one->kind == SL_FINDING_TOUCHES)
        /* Translators: a string's number, a fret it lies on, and how deep: "6 on fret 1 by 0.05 mm" */
        g_string_append_printf (list, _ ("%d on fret %d by %s"), one->string, one->fret, ends);
      else if (one->predicted || one->kind == SL_FINDING_LEFT)
        /* Translators: a string's number and where its height should end: "6 at 0.38 mm (target 0.50 mm)" */
        g_string_append_printf (list, _ ("%d at %s (target %s)"), one->string, ends, target);
      else
        /* Translators: the same, and how much higher slot or saddle have to be */
        g_string_append_printf (list, _ ("%d at %s (target %s, %s higher)"), one->string, ends, target,
                                length (say, one->amount));
    }
  return g_string_free (list, FALSE);
}

static char *
several_text (const Saying *say, const SlFinding *findings, guint n)
{
  const gboolean slot = findings->kind == SL_FINDING_SLOT_LOW;
  const char *list = own (say, strings_text (say, findings, n));

  if (findings->kind == SL_FINDING_LEFT)
    return g_strdup_printf (
        _ ("Over fret %d these stay too high: string %s. It is less than a hand, or the shop’s step, "
           "can take off."),
        findings->fret, list);
  if (findings->kind == SL_FINDING_TOUCHES)
    return g_strdup_printf (findings->predicted
                                ? _ ("The plan as it stands would leave strings lying on a fret: string %s. "
                                     "Read again after each step, before the next is begun.")
                                : _ ("These lie on a fret and can’t sound when played open: string %s. Follow "
                                     "the order of the work, and read again after each step."),
                            list);
  if (findings->predicted)
    return g_strdup_printf (slot ? _ ("Over fret 1 these may end too low once the work is done: string %s. Read them "
                                      "then, before anything is done to the nut.")
                                 : _ ("The action of these may end too low once the work is done: string %s. Read "
                                      "them then, before anything is done to the saddle."),
                            list);
  return g_strdup_printf (slot ? _ ("Over fret 1 these end too low: string %s. Filling and recutting the slots, a "
                                    "shimmed or a new nut would meet it.")
                               : _ ("The action of these ends too low: string %s. A shim under the saddle or a new "
                                    "saddle would meet it."),
                          list);
}

static char *
finding_text (const Saying *say, const SlAnalysis *analysis, const SlFinding *finding)
{
  const double *v = finding->values;

  switch (finding->kind)
    {
    case SL_FINDING_SLOT_LOW:
    case SL_FINDING_CREST_LOW: return low_text (say, finding);
    case SL_FINDING_LEFT:
      return g_strdup_printf (
          _ ("String %d stays at %s over fret %d, target %s: what is too much is less than a hand, or "
             "the shop’s step, can take off."),
          finding->string, length (say, v[0]), finding->fret, length (say, v[1]));
    case SL_FINDING_TOUCHES: return several_text (say, finding, 1);
    case SL_FINDING_LIMIT: return limit_text (say, finding);
    case SL_FINDING_NECK_ANGLE: return angle_text (say, &analysis->instrument, finding);
    case SL_FINDING_EXPOSURE:
      return g_strdup (_ ("The saddle's exposure was not read, only assumed: how much saddle this work would leave "
                          "is not known yet. Read it at the outer strings before anything comes off."));
    case SL_FINDING_AIR: return sl_air_finding_text (analysis, say->style);
    case SL_FINDING_TONGUE: return tongue_text (say, &analysis->instrument, finding);
    case SL_FINDING_ROD_STILL:
      return g_strdup_printf (
          _ ("The rod was adjusted for a relief of %s, and relief moved by %s: it may be at its end, "
             "seized or broken. Don't force it: look at it before it is turned further, and take "
             "the relief as it is where it does nothing."),
          length (say, v[0]), length (say, v[1]));
    case SL_FINDING_RELIEF_UNREAD:
      return g_strdup (_ ("The rod was adjusted without relief read before and after: nothing is learned from it. Read "
                          "relief on both sides next time."));
    case SL_FINDING_RELIEF:
      return g_strdup_printf (_ ("Mean relief of %s can't be met, because one side would bow backward: it "
                                 "stays at %s. Work on the twist (levelling the board, heat) would."),
                              length (say, v[0]), length (say, v[1]));
    case SL_FINDING_CREST_MOVE:
      return g_strdup_printf (_ ("Pitch can't be met, because the break points would lie %s apart on a saddle %s "
                                 "thick; a thicker saddle or a moved slot would."),
                              length (say, v[0]), length (say, v[1]));
    case SL_FINDING_SUSPECT: return suspect_text (say, finding);
    case SL_FINDING_FRET_HEIGHT: return fret_height_text (say, finding);
    case SL_FINDING_WORK_SHORT:
    case SL_FINDING_WORK_FAR:
      return g_strdup_printf (
          finding->kind == SL_FINDING_WORK_SHORT
              ? _ ("The action of string %d at fret %d moved by %s after the cut; %s ± %s was predicted. "
                   "The saddle may not be seated, or stand on an uneven slot floor or a shim, or less "
                   "came off than noted. Look, and read it again before cutting.")
              : _ ("The action of string %d at fret %d moved by %s after the cut; %s ± %s was predicted. "
                   "More may have come off than noted, a shim may be missing, or the rod or the air "
                   "moved the neck. Read it again before cutting."),
          finding->string, finding->fret, length (say, v[0]), length (say, v[1]), length (say, v[2]));
    case SL_FINDING_APART:
      return g_strdup (
          _ ("These readings agree with each other, but not with those before and the work noted since: they stand "
             "by themselves, and what was not read again is assumed. Note the work that was done, or read again."));
    default: g_return_val_if_reached (NULL);
    }
}

char *
sl_finding_text (const SlAnalysis *analysis, const SlFinding *finding, const SlTextStyle *style)
{
  g_autoptr (GPtrArray) texts = g_ptr_array_new_with_free_func (g_free);

  return finding_text (&(Saying){ style, texts }, analysis, finding);
}

guint
sl_findings_alike (const SlProposal *proposal, guint first)
{
  const SlFinding *finding = &g_array_index (proposal->findings, SlFinding, first);
  guint n = 1;

  while (finding->string > 0 && finding->fret > 0 && finding->kind != SL_FINDING_SUSPECT &&
         first + n < proposal->findings->len)
    {
      const SlFinding *next = &g_array_index (proposal->findings, SlFinding, first + n);

      if (next->kind != finding->kind || (next->fret != finding->fret && next->kind != SL_FINDING_TOUCHES) ||
          next->predicted != finding->predicted || next->before != finding->before)
        break;
      n++;
    }
  return n;
}

char *
sl_findings_text (const SlAnalysis *analysis, const SlProposal *proposal, guint first, guint n,
                  const SlTextStyle *style)
{
  g_autoptr (GPtrArray) texts = g_ptr_array_new_with_free_func (g_free);
  const SlFinding *findings = &g_array_index (proposal->findings, SlFinding, first);
  const Saying say = { style, texts };

  return n > 1 ? several_text (&say, findings, n) : finding_text (&say, analysis, findings);
}

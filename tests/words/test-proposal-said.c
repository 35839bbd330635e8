/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is said of each step and finding of a proposal, in each of its forms. The figures are given, so only what is
 * said of them is tried; where they come from is tried beside the model. */
#include <math.h>
#include <string.h>

#include "../setup/support.h"
#include "words/effect.h"
#include "words/proposal.h"

static const SlTextStyle mm = { SL_LENGTHS_MM, "." };

static SlAnalysis *
analysis_new (int n_strings)
{
  SlAnalysis *a = g_new0 (SlAnalysis, 1);

  a->instrument.n_strings = n_strings;
  a->instrument.frets = 20;
  a->instrument.joint = 14;
  a->instrument.crown_least = 0.6;
  a->instrument.target_fall_away = 0.1;
  a->instrument.height_screw_pitch = a->instrument.length_screw_pitch = NAN;
  a->instrument.neck = SL_NECK_BENDING_ASSUMED;
  return a;
}

static void
test_findings (void)
{
  static const struct
  {
    SlFinding finding;
    const char *says;
    SlSaddleAdjust adjust;
    SlHeelAdjust heel;
    SlBalance balance;
    double thickness; /* of the bridge, its least being 6 mm */
  } rows[] = {
    { { SL_FINDING_SLOT_LOW, .string = 6, .amount = 0.1, .values = { 0.4, 0.5 } },
      "String 6 ends at 0.40 mm over fret 1, target 0.50 mm: its slot is too low. Filling and recutting it 0.10 mm "
      "higher, a shimmed or a new nut would meet it; that comes before the saddle, because the action rises with it." },
    { { SL_FINDING_SLOT_LOW, .string = 6, .predicted = TRUE, .values = { 0.4, 0.5 } },
      "String 6 may end at about 0.40 mm over fret 1, target 0.50 mm, once the work is done: read it then, before "
      "anything is done to the nut." },
    { { SL_FINDING_CREST_LOW, .string = 1, .amount = 0.3, .values = { 1.5, 1.8 } },
      "String 1 ends at an action of 1.50 mm, target 1.80 mm: the saddle is too low there. A shim of 0.30 mm under it, "
      "or a saddle that much higher, would meet it." },
    { { SL_FINDING_CREST_LOW, .string = 1, .predicted = TRUE, .values = { 1.5, 1.8 } },
      "String 1 may end at an action of about 1.50 mm, target 1.80 mm, once the work is done: read it then, before "
      "anything is done to the saddle." },
    { { SL_FINDING_TOUCHES, .string = 6, .fret = 5, .values = { 0.06 } },
      "These lie on a fret and can’t sound when played open: string 6 on fret 5 by 0.06 mm. Follow the order of the "
      "work, and read "
      "again after each step." },
    { { SL_FINDING_TOUCHES, .string = 6, .fret = 1, .predicted = TRUE, .values = { 0.06 } },
      "The plan as it stands would leave strings lying on a fret: string 6 on fret 1 by 0.06 mm. Read again after each "
      "step, before "
      "the next is begun." },
    { { SL_FINDING_LEFT, .string = 2, .fret = 1, .values = { 0.46, 0.45 } },
      "String 2 stays at 0.46 mm over fret 1, target 0.45 mm: what is too much is less than a hand, or the shop’s "
      "step, "
      "can take off." },
    { { SL_FINDING_CREST_LOW, .string = 1, .amount = 0.3, .values = { 1.5, 1.8 } },
      "String 1 ends at an action of 1.50 mm, target 1.80 mm, and nothing at this saddle can be set. A saddle or "
      "bridge "
      "0.30 mm higher, or the neck let back at its heel, would meet it.",
      SL_ADJUST_FIXED },
    { { SL_FINDING_NECK_ANGLE, .string = 6, .amount = 0.4, .values = { 1.6, 2.9, 2.3, 0.21, 0.37, 0.2, -0.1 } },
      "The neck’s angle comes first: with the saddle down to its least exposure of 1.60 mm, the action of string 6 "
      "would end at 2.90 mm, target 2.30 mm. An angle 0.21° steeper would meet it: the neck reset by a specialist, as "
      "by a wedge at the heel that grows 0.37 mm over each 100 mm. Second choice, until then: what the saddle could "
      "give, 0.20 mm at string 6 and 0.00 mm at string 1.",
      SL_ADJUST_BASE,
      SL_HEEL_NONE,
      .thickness = 6.3 },
    /* 0.37 mm over 100 mm is 0.28 mm over 75 mm; a bridge is spoken of where its thickness leaves the least */
    { { SL_FINDING_NECK_ANGLE, .string = 6, .amount = 0.4, .values = { 0, 2.9, 2.3, 0.21, 0.37, 0, 0 } },
      "The neck’s angle comes first: set down to the least exposure of 0.00 mm, the action of string 6 "
      "would end at 2.90 mm, target 2.30 mm. An angle 0.21° steeper would meet it: a shim in the neck pocket that "
      "grows "
      "from nothing to 0.28 mm at the bridge’s end of a pocket of 75 mm. So would a bridge planed 0.40 mm lower: it is "
      "6.50 mm thick, and 6.00 mm is the least. The saddle has nothing to give in the meantime.",
      SL_ADJUST_SCREWS,
      SL_HEEL_SHIM,
      .thickness = 6.5 },
    { { SL_FINDING_NECK_ANGLE, .string = 6, .values = { 2, 2.9, 2.3, 0.21, 0.37, 0, 0 } },
      "The neck’s angle comes first: set down to the least exposure of 2.00 mm, the action of string 6 "
      "would end at 2.90 mm, target 2.30 mm. An angle 0.21° steeper would meet it: the tilt screw in, until it lifts "
      "the neck by 0.28 mm at the bridge’s end of a pocket of 75 mm. The saddle has nothing to give in the meantime.",
      SL_ADJUST_POSTS,
      SL_HEEL_TILT_SCREW },
    { { SL_FINDING_NECK_ANGLE, .string = 6, .values = { 0, 2.9, 2.3, 0.21, 0.37, 0, 0 } },
      "The neck’s angle comes first: nothing at this saddle can be set, and the action of string 6 ends at 2.90 mm, "
      "target 2.30 mm. An angle 0.21° steeper would meet it: the neck reset by a specialist, as by a wedge at the heel "
      "that grows 0.37 mm over each 100 mm.",
      SL_ADJUST_FIXED,
      SL_HEEL_NONE },
    { { SL_FINDING_CURVE, .string = 3, .fret = 12, .values = { 2.4, 2.0 } },
      "The action ends out of range between the ends that can be set, string 3 at 2.40 mm (target 2.00 mm): the "
      "bridge’s curve is not the board’s. Its notches recut to the board’s radius would meet it.",
      SL_ADJUST_WHEELS },
    { { SL_FINDING_CURVE, .string = 3, .fret = 12, .values = { 2.4, 2.0 } },
      "The action ends out of range, string 3 at 2.40 mm (target 2.00 mm), and nothing at this saddle can be set. A "
      "saddle recut by hand, or a new one, would meet it.",
      SL_ADJUST_FIXED },
    /* 0.0004 ± 2 · 0.0003 mm/N, in the 100 N that sets differ by */
    { { SL_FINDING_RODLESS, .values = { 0.15, 0.18, -75, 400 } },
      "Mean relief is 0.18 mm, target 0.15 mm, and this neck has no rod. Strings that pull about 75 N less in all, of "
      "400 N, would bring it there (a neck gives 0.04 ± 0.06 mm for each 100 N, as far as is known); else "
      "heat or fret work by a specialist. Or accept it: the steps here set nut and saddle to it as it is." },
    { { SL_FINDING_RODLESS, .values = { 0.15, 0.45, -750, 400 } },
      "Mean relief is 0.45 mm, target 0.15 mm, and this neck has no rod. Other strings alone would not bring it there "
      "(a neck gives 0.04 ± 0.06 mm for each 100 N, as far as is known); else heat or fret work by a "
      "specialist. Or accept it: the steps here set nut and saddle to it as it is." },
    { { SL_FINDING_ZERO_FRET, .string = 2, .amount = 0.1, .values = { 0.1, 0.2, 1.3 } },
      "String 2 ends at 0.10 mm over fret 1, target 0.20 mm: the zero fret is too low or worn. A new one, 1.30 mm high "
      "over the board, would meet it; the nut behind it only guides the strings." },
    { { SL_FINDING_ZERO_FRET, .string = 2, .amount = -0.1, .values = { 0.3, 0.2, 1.3 } },
      "String 2 ends at 0.30 mm over fret 1, target 0.20 mm: the zero fret is too high, and level with the frets it "
      "would be too low. Dressing it by hand, 0.10 mm lower, would meet it." },
    { { SL_FINDING_ZERO_FRET, .string = 2, .amount = -0.1, .values = { 0.3, 0.2, 1.3, -0.1 } },
      "String 2 ends at 0.30 mm over fret 1, target 0.20 mm, and the zero fret is as low as the frets let it be. A "
      "lower action would bring the string down; else accept it." },
    { { SL_FINDING_ZERO_FRET, .string = 2, .predicted = TRUE, .values = { 0.1, 0.2, 1.3 } },
      "String 2 may end at about 0.10 mm over fret 1, target 0.20 mm, once the work is done: read it then, before "
      "anything is done to the zero fret." },
    { { SL_FINDING_BALANCE },
      "This work upsets the tremolo’s balance: level it with its springs at pitch, retune, and read everything again. "
      "Until then no height behind it is sure." },
    { { SL_FINDING_BALANCE },
      "This work changes what the springs have to hold: see that they keep the tremolo down on the body at pitch, "
      "retune, and read everything again.",
      .balance = SL_BALANCE_DECKED },
    { { SL_FINDING_TONGUE, .values = { 0.2, 0.05, 0.3, 0.8 } },
      "With relief in its range the fingerboard extension rises by 0.20 mm ± 0.05 mm at the last fret: beyond the "
      "joint "
      "that costs 0.30 mm of margin against a fall-away of 0.10 mm. Its crowns can be dressed to that: the lowest "
      "keeps "
      "0.80 mm, 0.60 mm is the least." },
    { { SL_FINDING_TONGUE, .values = { 0.2, 0.05, 0.3, 0.5 } },
      "With relief in its range the fingerboard extension rises by 0.20 mm ± 0.05 mm at the last fret: beyond the "
      "joint "
      "that costs 0.30 mm of margin against a fall-away of 0.10 mm. Its crowns lack the height to be dressed to that: "
      "the "
      "lowest would keep 0.50 mm, and 0.60 mm is the least. It takes work on the neck (the extension planed, or its "
      "joint "
      "reset)." },
    { { SL_FINDING_ROD_STILL, .values = { 0.2, 0.02, 0.15, 0.04 } },
      "The rod was adjusted to change relief by 0.20 mm, and relief changed by 0.02 mm: it may be at its end, seized "
      "or broken, or the neck slow to follow. Mean relief is 0.04 mm, target 0.15 mm. Don’t force it: leave the "
      "instrument at pitch for a day and read relief again; if it stays, see to the rod before it is turned further, "
      "or set the neck by heat or fret work. Or accept it: once the rod is passed over, the steps here set nut and "
      "saddle to it as it is." },
    { { SL_FINDING_RELIEF_UNREAD },
      "The rod was adjusted without relief read before and after: nothing is learned from it. Read relief on both "
      "sides "
      "next time." },
    { { SL_FINDING_RELIEF, .values = { 0.15, 0.2 } },
      "Mean relief of 0.15 mm can't be met, because one side would bow backward: it stays at 0.20 mm. Work on the "
      "twist "
      "(levelling the board, heat) would." },
    { { SL_FINDING_CREST_MOVE, .string = 3, .values = { 4.5, 2.5 } },
      "Pitch can't be met, because the break point of string 3 would move by 4.50 mm on a saddle 2.50 mm thick; a true "
      "string, a thicker saddle or a moved slot would." },
    { { SL_FINDING_CREST_MOVE, .values = { 2.8, 2.4 } },
      "Pitch can't be met, because the break points would lie 2.80 mm apart on a saddle 2.40 mm thick; a thicker "
      "saddle "
      "or a moved slot would." },
    { { SL_FINDING_SUSPECT, .reading = SL_READ_ACTION, .string = 6, .fret = 5, .values = { 2.9, 2.35, 0.2 } },
      "action of string 6 at fret 5 reads 2.90 mm; the other readings expect 2.35 mm ± 0.20 mm, so it is excluded. "
      "Read "
      "it again before cutting." },
    { { SL_FINDING_SUSPECT, .reading = SL_READ_FIRST_GAP, .string = 6, .fret = 1, .values = { 0.9, 0.5, 0.2 } },
      "string height at fret 1 of string 6 reads 0.90 mm; the other readings expect 0.50 mm ± 0.20 mm, so it is "
      "excluded. Read it again before cutting." },
    { { SL_FINDING_SUSPECT, .reading = SL_READ_TONGUE, .values = { 0.9, 0.5, 0.2 } },
      "fingerboard extension reads 0.90 mm; the other readings expect 0.50 mm ± 0.20 mm, so it is excluded. Read it "
      "again before cutting." },
    { { SL_FINDING_FRET_HEIGHT, .fret = 7, .values = { 0.5, 0.6 } },
      "Levelling down to fret 7 won't do: it would leave a crown only 0.50 mm high, and 0.60 mm is the least; "
      "new "
      "frets throughout would." },
    { { SL_FINDING_FRET_HEIGHT, .fret = 7, .replaced = 1 << 7, .values = { 0.5, 0.6 } },
      "Levelling down to fret 7 won't do: it would leave a crown only 0.50 mm high, and 0.60 mm is the least; "
      "replacing fret 7 would." },
    { { SL_FINDING_FRET_HEIGHT, .fret = 7, .replaced = 1 << 7 | 1 << 8, .values = { 0.5, 0.6 } },
      "Levelling down to fret 7 won't do: it would leave a crown only 0.50 mm high, and 0.60 mm is the least; "
      "replacing frets 7 and 8 would." },
    { { SL_FINDING_WORK_SHORT, .string = 6, .fret = 12, .values = { -0.1, -0.3, 0.1 } },
      "The action of string 6 at fret 12 moved by −0.10 mm after the cut; −0.30 mm ± 0.10 mm was predicted. The saddle "
      "may not be seated, or stand on an uneven slot floor or a shim, or less came off than noted. Look, and read it "
      "again before cutting." },
    { { SL_FINDING_WORK_FAR, .string = 6, .fret = 12, .values = { -0.5, -0.3, 0.1 } },
      "The action of string 6 at fret 12 moved by −0.50 mm after the cut; −0.30 mm ± 0.10 mm was predicted. More may "
      "have come off than noted, a shim may be missing, or the rod or the air moved the neck. Read it again before "
      "cutting." },
    { { SL_FINDING_APART },
      "These readings agree with each other, but not with those before and the work noted since: they stand by "
      "themselves, and what was not read again is assumed. Note the work that was done, or read again." },
    { { SL_FINDING_LIMIT, .work = SL_OP_SHAPE_CREST, .string = 3, .values = { 20 } },
      "String 3, Saddle top: more is wanted than the 20.00 mm there can be. Look at the readings and targets again: "
      "one of "
      "them is far from any instrument." },
    { { SL_FINDING_LIMIT, .work = SL_OP_TURN_ROD, .values = { 5 } },
      "Truss rod: more is wanted than the 5.00 mm there can be. Look at the readings and targets again: one of them is "
      "far "
      "from any instrument." },
    { { SL_FINDING_EXPOSURE },
      "The saddle's exposure was not read, only assumed: how much saddle this work would leave is not known yet. Read "
      "it "
      "at the outer strings before anything comes off." },
  };
  g_autofree SlAnalysis *a = analysis_new (6);

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      a->instrument.adjust = rows[i].adjust == SL_ADJUST_DEFAULT ? SL_ADJUST_BASE : rows[i].adjust;
      a->instrument.heel_adjust = rows[i].heel;
      a->instrument.balance = rows[i].balance;
      a->instrument.bridge_thickness = rows[i].thickness > 0 ? rows[i].thickness : NAN;
      a->instrument.bridge_least_thickness = 6;
      g_autofree char *said = sl_finding_text (a, &rows[i].finding, &mm);

      g_assert_cmpstr (said, ==, rows[i].says);
    }
}

/* Strings that want the same are one finding from the bass, as long as nothing else stands between them. */
static void
test_findings_alike (void)
{
  static const struct
  {
    SlFindingKind kind;
    gboolean predicted;
    const char *says;
  } rows[] = {
    { SL_FINDING_SLOT_LOW, FALSE,
      "Over fret 1 these end too low: string 2 at 0.40 mm (target 0.50 mm, 0.10 mm higher), 1 at 0.40 mm (target 0.50 "
      "mm, "
      "0.10 mm higher). Filling and recutting the slots, a shimmed or a new nut would meet it; that comes before the "
      "saddle, because the action rises with it." },
    { SL_FINDING_SLOT_LOW, TRUE,
      "Over fret 1 these may end too low once the work is done: string 2 at 0.40 mm (target 0.50 mm), 1 at 0.40 mm "
      "(target "
      "0.50 mm). Read them then, before anything is done to the nut." },
    { SL_FINDING_CREST_LOW, FALSE,
      "The action of these ends too low: string 2 at 0.40 mm (target 0.50 mm, 0.10 mm higher), 1 at 0.40 mm (target "
      "0.50 "
      "mm, 0.10 mm higher). A shim under the saddle or a new saddle would meet it." },
    { SL_FINDING_CREST_LOW, TRUE,
      "The action of these may end too low once the work is done: string 2 at 0.40 mm (target 0.50 mm), 1 at 0.40 mm "
      "(target 0.50 mm). Read them then, before anything is done to the saddle." },
    { SL_FINDING_TOUCHES, FALSE,
      "These lie on a fret and can’t sound when played open: string 2 on fret 1 by 0.40 mm, 1 on fret 1 by 0.40 mm. "
      "Follow the "
      "order of the work, and read again after each step." },
    { SL_FINDING_CURVE, FALSE,
      "The action ends out of range between the ends that can be set, string 2 at 0.40 mm (target 0.50 mm), 1 at 0.40 "
      "mm "
      "(target 0.50 mm): the bridge’s curve is not the board’s. Its notches recut to the board’s radius would meet "
      "it." },
    { SL_FINDING_LEFT, FALSE,
      "Over fret 1 these stay too high: string 2 at 0.40 mm (target 0.50 mm), 1 at 0.40 mm (target 0.50 mm). It is "
      "less "
      "than a hand, or the shop’s step, can take off." },
  };
  g_autofree SlAnalysis *a = analysis_new (6);

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (GArray) findings = g_array_new (FALSE, FALSE, sizeof (SlFinding));
      const SlProposal proposal = { .findings = findings };
      SlFinding finding = { rows[i].kind, .fret = 1, .predicted = rows[i].predicted, .amount = 0.1,
                            .values = { 0.4, 0.5 } };

      for (finding.string = 1; finding.string <= 3; finding.string++)
        {
          finding.before = finding.string == 3; /* to be dealt with later than the two */
          g_array_append_val (findings, finding);
        }
      g_assert_cmpuint (sl_findings_alike (&proposal, 0), ==, 2);
      g_assert_cmpuint (sl_findings_alike (&proposal, 2), ==, 1);
      g_autofree char *said = sl_findings_text (a, &proposal, 0, 2, &mm),
                      *one = sl_findings_text (a, &proposal, 2, 1, &mm),
                      *alone = sl_finding_text (a, &g_array_index (findings, SlFinding, 2), &mm);
      g_assert_cmpstr (said, ==, rows[i].says);
      g_assert_cmpstr (one, ==, alone);
    }
}

static SlOperation
operation (SlOperationKind kind, int string, double amount)
{
  SlOperation o = sl_operation_init (kind);

  o.string = string;
  o.amount = sl_number (amount);
  return o;
}

/* Takes the cause of a step with these values. */
static void
assert_cause (int n_strings, SlOperation o, const double values[4], const char *expected)
{
  g_autofree SlAnalysis *a = analysis_new (n_strings);
  SlStep step = { .operation = o };

  memcpy (step.values, values, 4 * sizeof *values);
  g_autofree char *said = sl_step_cause (a, &step, &mm);
  g_assert_cmpstr (said, ==, expected);
}

static void
test_causes (void)
{
  assert_cause (6, operation (SL_OP_TURN_ROD, 0, -0.12), (double[4]){ 0.28, 0.16, -0.26 },
                "mean relief from 0.28 mm to 0.16 mm; that alone lowers the action of string 6 by 0.26 mm. Then read "
                "relief on both sides, and height at fret 1 and action of the outer strings");
  assert_cause (6, operation (SL_OP_TURN_ROD, 0, 0.1), (double[4]){ 0.02, 0.12, 0.2 },
                "mean relief from 0.02 mm to 0.12 mm; that alone raises the action of string 6 by 0.20 mm. Then read "
                "relief on both sides, and height at fret 1 and action of the outer strings");
  assert_cause (1, operation (SL_OP_TURN_ROD, 0, -0.12), (double[4]){ 0.28, 0.16, -0.26 },
                "relief from 0.28 mm to 0.16 mm; that alone lowers the action by 0.26 mm. Then read relief, height at "
                "fret 1 and action");
  assert_cause (1, operation (SL_OP_TURN_ROD, 0, 0.12), (double[4]){ 0.04, 0.16, 0.26 },
                "relief from 0.04 mm to 0.16 mm; that alone raises the action by 0.26 mm. Then read relief, height at "
                "fret 1 and action");
  assert_cause (6, operation (SL_OP_CUT_SADDLE_BASE, 0, 0.7), (double[4]){ 3.1, 2.3, 1.8, 1.8 },
                "action at 12: string 6 from 3.10 mm to 2.30 mm, string 1 stays at 1.80 mm");
  assert_cause (1, operation (SL_OP_CUT_SADDLE_BASE, 0, 0.7), (double[4]){ 3.1, 2.3, 0, 0 },
                "action at 12: string 1 from 3.10 mm to 2.30 mm");
  assert_cause (6, operation (SL_OP_SHAPE_CREST, 3, 0.1), (double[4]){ 2.2, 2.0, NAN, 1 },
                "action at 12 2.20 mm, target 2.00 mm: left over by the straight cut off the underside");
  assert_cause (6, operation (SL_OP_SHAPE_CREST, 3, 0.1), (double[4]){ 2.2, 2.0, NAN, 0 },
                "action at 12 2.20 mm, target 2.00 mm");
  assert_cause (6, operation (SL_OP_SHAPE_CREST, 3, 0.1), (double[4]){ 2.2, 2.0, 0.4, 0 },
                "action at 12 2.20 mm, target 2.00 mm: screws down 0.40 turns");
  assert_cause (6, operation (SL_OP_SHAPE_CREST, 3, -0.1), (double[4]){ 1.8, 2.0, 0.4, 0 },
                "action at 12 1.80 mm, target 2.00 mm: screws up 0.40 turns");
  assert_cause (6, operation (SL_OP_MOVE_CREST, 2, 0.4), (double[4]){ 5.5, 1.2, NAN, 0 },
                "tuner reads 5.5 cents at the 12th fret, the work above should leave 1.2");
  assert_cause (6, operation (SL_OP_MOVE_CREST, 2, 0.4), (double[4]){ 5.5, 5.5, 0.8, 0 },
                "tuner reads 5.5 cents at the 12th fret; length screw 0.80 turns, away from the nut");
  assert_cause (6, operation (SL_OP_MOVE_CREST, 2, -0.4), (double[4]){ -5.5, -5.5, 0.8, 0 },
                "tuner reads −5.5 cents at the 12th fret; length screw 0.80 turns, toward the nut");
  assert_cause (6, operation (SL_OP_LOWER_SLOT, 2, 0.1), (double[4]){ 0.55, 0.45, 0, 0 },
                "height at fret 1 0.55 mm, target 0.45 mm");
  assert_cause (6, operation (SL_OP_LOWER_SLOT, 2, 0.1), (double[4]){ 0.55, 0.45, 1, 0 },
                "height at fret 1 0.55 mm, target 0.45 mm when the saddle is done");
}

/* The work of instruments as they are built. */
static void
test_built_causes (void)
{
  g_autofree SlAnalysis *a = analysis_new (6);
  SlStep step = { .operation = operation (SL_OP_MOVE_SADDLE, 0, -0.4), .values = { 2.2, 2.0, 1.6, 1.6 } };

  step.operation.amount_treble = sl_number (0);
  assert_cause (6, step.operation, step.values,
                "action at 12: string 6 from 2.20 mm to 2.00 mm, string 1 stays at 1.60 mm");
  assert_cause (
      6, operation (SL_OP_SHIFT_BRIDGE, 0, 1), (double[4]){ 3, 1 },
      "strings out of tune at the 12th fret: 3, then 1. Mark where the bridge stands, slacken the strings, keep "
      "its feet flat on the top, retune and read the pitch again");
  step = (SlStep){ .operation = sl_operation_init (SL_OP_LEVEL_FRETS), .values = { 0.3, 1, 0.3, NAN } };
  step.operation.frets = 1; /* bit of fret 0 */
  g_autofree char *zero = sl_step_cause (a, &step, &mm);
  g_assert_cmpstr (zero, ==,
                   "the zero fret stands 0.30 mm over the line of its neighbours. Take the strings off it, mask the "
                   "board and dress it down to them, then read the height at fret 1");
  step = (SlStep){ .operation = operation (SL_OP_TURN_ROD, 0, 0.1), .values = { 0.02, 0.12, 0.2 } };
  a->instrument.rod = SL_ROD_SINGLE;
  g_autofree char *pull = sl_step_cause (a, &step, &mm);
  g_assert_cmpstr (
      pull, ==,
      "mean relief from 0.02 mm to 0.12 mm; that alone raises the action of string 6 by 0.20 mm. Then read "
      "relief on both sides, and height at fret 1 and action of the outer strings. This rod can’t push the "
      "neck forward: if its nut turns free and relief stays short, stop. Heavier strings would "
      "bow it further, or heat by a specialist");
}

/* Strings in courses are named as such, alone and in a list. */
static void
test_courses_named (void)
{
  g_autoptr (SlProfile) profile = sl_profile_new ();
  g_autofree SlAnalysis *a = analysis_new (4);
  SlFinding finding = { SL_FINDING_LEFT, .string = 4, .fret = 1, .values = { 0.46, 0.45 } };
  static const char *const notes[] = { "E4", "E4", "G3", "G4" };

  profile->n_strings = 4;
  profile->courses = 2;
  for (int s = 0; s < 4; s++)
    {
      profile->strings[s].frequency = SL_NUMBER_ABSENT;
      profile->strings[s].note = g_strdup (notes[s]);
    }
  a->profile = profile;
  g_autofree char *said = sl_finding_text (a, &finding, &mm);
  g_assert_cmpstr (said, ==,
                   "String 4 (course 2, octave) stays at 0.46 mm over fret 1, target 0.45 mm: what is too much is "
                   "less than a hand, or the shop’s step, can take off.");
  g_autofree char *first = sl_string_named (profile, 1), *plain = sl_string_named (NULL, 1);
  g_assert_cmpstr (first, ==, "1 (course 1)");
  g_assert_cmpstr (plain, ==, "1");
}

/* Bench steps have nothing to compute; each says what it is for. */
static void
test_bench_steps (void)
{
  g_autofree SlAnalysis *a = analysis_new (6);

  for (int step = 0; step < SL_N_BENCH_STEPS; step++)
    {
      SlStep s = { .operation = sl_operation_init (SL_OP_BENCH_STEP) };

      s.operation.step = (SlBenchStep) step;
      g_autofree char *said = sl_step_cause (a, &s, &mm);
      g_assert_true (g_str_equal (said, "to be ticked off when done") ==
                     (step != SL_BENCH_SETTLE && step != SL_BENCH_RECROWN && step != SL_BENCH_POLISH &&
                      step != SL_BENCH_REBALANCE));
    }
}

/* What keeps a step, gate by gate, and what does where no gate does but nothing is safe either. */
static void
test_passes (void)
{
  static const struct
  {
    SlGate gate;
    const char *starts;
  } rows[] = {
    { SL_GATE_ROD, "Nothing comes off until the rod is set" },
    { SL_GATE_AIR, "Nothing is done until it has settled" },
    { SL_GATE_NECK_ANGLE, "Nothing comes off the saddle before the neck’s angle" },
    { SL_GATE_FRETS, "Nothing comes off until the frets are level" },
  };
  g_autofree SlAnalysis *a = analysis_new (6);
  const SlOperation cut = operation (SL_OP_CUT_SADDLE_BASE, 0, 0.7), slot = operation (SL_OP_LOWER_SLOT, 1, 0.1);

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_assert_true (g_str_has_prefix (sl_pass_text (a, &cut, &(SlPass){ .gate = rows[i].gate }), rows[i].starts));
      g_assert_cmpstr (sl_gate_title (rows[i].gate), !=, "");
    }
  g_assert_cmpstr (sl_gate_title (SL_GATE_NONE), ==, "");
  g_assert_null (sl_pass_text (a, &slot, &(SlPass){ .gate = SL_GATE_NONE, .pass = 0.05 }));
  g_assert_null (sl_pass_text (a, &cut, &(SlPass){ .gate = SL_GATE_NONE, .pass_treble = 0.05 }));
  g_assert_true (g_str_has_prefix (sl_pass_text (a, &slot, &(SlPass){ .gate = SL_GATE_NONE }),
                                   "No safe first pass: what is known"));
  g_assert_true (g_str_has_prefix (sl_pass_text (a, &cut, &(SlPass){ .gate = SL_GATE_NONE }),
                                   "No safe first pass: what is known"));
  a->fit.action_assumed[3] = TRUE;
  g_assert_true (g_str_has_prefix (sl_pass_text (a, &cut, &(SlPass){ .gate = SL_GATE_NONE }),
                                   "No safe first pass while the action of some"));
  g_assert_true (g_str_has_prefix (sl_block_text (SL_BLOCK_READING), "Nothing comes off until the reading"));
  g_assert_true (g_str_has_prefix (sl_block_text (SL_BLOCK_WORK), "Nothing comes off until the action"));
  g_assert_null (sl_block_text (SL_BLOCK_NONE));
  /* a first pass of 0 is nothing yet, or nothing where nothing is to come off */
  g_assert_null (sl_no_pass_text (0.05, 0.3));
  g_assert_cmpstr (sl_no_pass_text (0, 0.3), ==, "nothing yet");
  g_assert_cmpstr (sl_no_pass_text (0, 0), ==, "nothing");
}

/* What ticking off a kind of work means while others stand before it, or while only a first pass was safe. */
static void
test_ticks (void)
{
  g_autoptr (GArray) plan = g_array_new (FALSE, FALSE, sizeof (SlOperation));
  const SlOperation rod = operation (SL_OP_TURN_ROD, 0, -0.1), slot = operation (SL_OP_LOWER_SLOT, 6, 0.1),
                    other = operation (SL_OP_LOWER_SLOT, 5, 0.1), cut = operation (SL_OP_CUT_SADDLE_BASE, 0, 0.7);
  SlOperation done = operation (SL_OP_LEVEL_FRETS, 0, 0);
  const SlPass safe[] = { { .pass = NAN },
                          { .pass = NAN },
                          { .pass = 0.1 },
                          { .pass = 0.1 },
                          { .pass = 0.7, .pass_treble = 0.5 } },
               half[] = { { .pass = NAN },
                          { .pass = NAN },
                          { .pass = 0.1 },
                          { .pass = 0.1 },
                          { .pass = 0.35, .pass_treble = 0.5 } };

  done.done = (char *) "2026-03-02T12:00:00Z";
  g_array_append_val (plan, done);
  g_array_append_val (plan, rod);
  g_array_append_val (plan, slot);
  g_array_append_val (plan, other);
  g_array_append_val (plan, cut);
  g_assert_null (sl_tick_text (plan, safe, SL_OP_TURN_ROD));
  g_autofree char *last = sl_tick_text (plan, safe, SL_OP_CUT_SADDLE_BASE),
                  *all = sl_tick_text (plan, half, SL_OP_CUT_SADDLE_BASE);
  g_assert_cmpstr (last, ==, "The plan has these before it: Truss rod, Lower slots.");
  g_assert_cmpstr (
      all, ==,
      "The plan has these before it: Truss rod, Lower slots. All of it is ticked off; the rest was to wait "
      "until the first pass is read.");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/proposal-said/findings", test_findings);
  g_test_add_func ("/proposal-said/findings-alike", test_findings_alike);
  g_test_add_func ("/proposal-said/ticks", test_ticks);
  g_test_add_func ("/proposal-said/causes", test_causes);
  g_test_add_func ("/proposal-said/built-causes", test_built_causes);
  g_test_add_func ("/proposal-said/courses-named", test_courses_named);
  g_test_add_func ("/proposal-said/bench-steps", test_bench_steps);
  g_test_add_func ("/proposal-said/passes", test_passes);
  return g_test_run ();
}

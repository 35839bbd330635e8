/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What stands in the way of a proposal, in words. */
#include "words/proposal.h"

#include "setup/physics/frets.h"
#include "setup/profile/construction.h"
#include "words/kinds.h"
#include "words/said.h"
#include "words/saying.h"

#define HEEL_MM 100       /* a wedge is told over this length of heel */
#define POCKET_MM 75      /* how long the pocket of a screwed-on neck is about: common practice */
#define EACH_NEWTONS 100  /* what strings do to relief is told for */
#define STRINGS_SHARE 0.2 /* of all they pull: lighter and heavier sets differ by no more, from memory */

static char *
suspect_text (const Saying *say, const SlFinding *finding)
{
  const double *v = finding->values;
  const char *what = sl_reading_said (finding->reading);

  if (finding->reading == SL_READ_FIRST_GAP)
    /* Translators: kind of reading ("string height at fret 1"), string */
    what = said (say, _ ("%s of string %s"), what, string_name (say, finding->string));
  else if (finding->string > 0)
    /* Translators: kind of reading ("action"), string, fret */
    what = said (say, _ ("%s of string %s at fret %d"), what, string_name (say, finding->string), finding->fret);
  return g_strdup_printf (
      _ ("%s reads %s; the other readings expect %s ± %s, so it is excluded. Read it again before cutting."), what,
      length (say, v[0]), length (say, v[1]), length (say, v[2]));
}

static char *
fret_height_text (const Saying *say, const SlFinding *finding)
{
  const char *left = length (say, finding->values[0]), *least = length (say, finding->values[1]);
  gulong n;

  if (finding->replaced == 0)
    return g_strdup_printf (_ ("Levelling down to fret %d won't do: it would leave a crown only %s high, and %s is the "
                               "least; new frets throughout would."),
                            finding->fret, left, least);

  const char *frets = own (say, sl_frets_text (finding->replaced, &n));

  return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE,
                                       "Levelling down to fret %d won't do: it would leave a crown only %s high, and "
                                       "%s is the least; replacing fret %s would.",
                                       "Levelling down to fret %d won't do: it would leave a crown only %s high, and "
                                       "%s is the least; replacing frets %s would.",
                                       n),
                          finding->fret, left, least, frets);
}

static char *
tongue_text (const Saying *say, const SlInstrument *instrument, const SlFinding *finding)
{
  const double *v = finding->values;
  const char *left = length (say, v[3]), *least = length (say, instrument->crown_least),
             *fall = length (say, instrument->target_fall_away);
  g_autofree char *rises =
      g_strdup_printf (_ ("With relief in its range the fingerboard extension rises by %s ± %s at the last fret: "
                          "beyond the joint that costs %s of margin against a fall-away of %s."),
                       length (say, v[0]), length (say, v[1]), length (say, v[2]), fall);

  if (v[3] >= instrument->crown_least)
    return g_strdup_printf (_ ("%s Its crowns can be dressed to that: the lowest keeps %s, %s is the least."), rises,
                            left, least);
  return g_strdup_printf (_ ("%s Its crowns lack the height to be dressed to that: the lowest would keep %s, and %s is "
                             "the least. It takes work on the neck (the extension planed, or its joint reset)."),
                          rises, left, least);
}

/* What may end too low or too high once the work is done. */
static char *
foretold_text (const Saying *say, const SlFinding *finding)
{
  const char *const texts[SL_N_FINDINGS] = {
    [SL_FINDING_SLOT_LOW] = _ ("String %s may end at about %s over fret 1, target %s, once the work is done: read it "
                               "then, before anything is done to the nut."),
    [SL_FINDING_CREST_LOW] = _ ("String %s may end at an action of about %s, target %s, once the work is done: read it "
                                "then, before anything is done to the saddle."),
    [SL_FINDING_ZERO_FRET] = _ ("String %s may end at about %s over fret 1, target %s, once the work is done: read it "
                                "then, before anything is done to the zero fret."),
  };

  return g_strdup_printf (texts[finding->kind], string_name (say, finding->string), length (say, finding->values[0]),
                          length (say, finding->values[1]));
}

/* A saddle that ends too low: one that nothing can be put under is raised with what it stands on. */
static char *
crest_low_text (const Saying *say, const SlInstrument *instrument, const SlFinding *finding)
{
  return g_strdup_printf (
      instrument->adjust == SL_ADJUST_FIXED
          ? _ ("String %s ends at an action of %s, target %s, and nothing at this saddle can be set. A saddle or "
               "bridge %s higher, or the neck let back at its heel, would meet it.")
          : _ ("String %s ends at an action of %s, target %s: the saddle is too low there. A shim of %s under it, or a "
               "saddle that much higher, would meet it."),
      string_name (say, finding->string), length (say, finding->values[0]), length (say, finding->values[1]),
      length (say, finding->amount));
}

static char *
slot_low_text (const Saying *say, const SlFinding *finding)
{
  return g_strdup_printf (
      _ ("String %s ends at %s over fret 1, target %s: its slot is too low. Filling and recutting "
         "it %s higher, a shimmed or a new nut would meet it; that comes before the saddle, because the "
         "action rises with it."),
      string_name (say, finding->string), length (say, finding->values[0]), length (say, finding->values[1]),
      length (say, finding->amount));
}

static char *
zero_fret_text (const Saying *say, const SlFinding *finding)
{
  const char *name = string_name (say, finding->string), *ends = length (say, finding->values[0]),
             *target = length (say, finding->values[1]);

  if (finding->amount > 0)
    return g_strdup_printf (
        _ ("String %s ends at %s over fret 1, target %s: the zero fret is too low or worn. A new one, %s high over the "
           "board, would meet it; the nut behind it only guides the strings."),
        name, ends, target, length (say, finding->values[2]));
  if (finding->values[3] < -SL_CROWN_TOLERANCE_MM)
    return g_strdup_printf (_ ("String %s ends at %s over fret 1, target %s, and the zero fret is as low as the frets "
                               "let it be. A lower action would bring the string down; else accept it."),
                            name, ends, target);
  return g_strdup_printf (_ ("String %s ends at %s over fret 1, target %s: the zero fret is too high, and level with "
                             "the frets it would be too low. Dressing it by hand, %s lower, would meet it."),
                          name, ends, target, length (say, -finding->amount));
}

/* What keeps the saddle from coming down as far as it should. */
static const char *
stopped_text (const Saying *say, const SlInstrument *instrument, const SlFinding *finding)
{
  const char *least = length (say, finding->values[0]), *name = string_name (say, finding->string),
             *ends = length (say, finding->values[1]), *target = length (say, finding->values[2]);

  if (instrument->adjust == SL_ADJUST_FIXED)
    return said (say,
                 _ ("The neck’s angle comes first: nothing at this saddle can be set, and the action of string %s ends "
                    "at %s, target %s."),
                 name, ends, target);
  return said (say,
               sl_saddles[instrument->adjust].goes_up
                   ? _ ("The neck’s angle comes first: set down to the least exposure of %s, the action of string %s "
                        "would end at %s, target %s.")
                   : _ ("The neck’s angle comes first: with the saddle down to its least exposure of %s, the action of "
                        "string %s would end at %s, target %s."),
               least, name, ends, target);
}

/* What gives the neck its angle: the heel's own means, with how much of it. */
static const char *
remedy_text (const Saying *say, const SlInstrument *instrument, const SlFinding *finding)
{
  static const char *const remedies[] = {
    [SL_HEEL_NONE] = N_ ("An angle %s° steeper would meet it: the neck reset by a specialist, as by a wedge at the "
                         "heel that grows %s over each %d mm."),
    [SL_HEEL_SHIM] = N_ ("An angle %s° steeper would meet it: a shim in the neck pocket that grows from nothing to %s "
                         "at the bridge’s end of a pocket of %d mm."),
    [SL_HEEL_TILT_SCREW] = N_ ("An angle %s° steeper would meet it: the tilt screw in, until it lifts the neck by %s "
                               "at the bridge’s end of a pocket of %d mm."),
  };
  const int over_mm = instrument->heel_adjust > SL_HEEL_NONE ? POCKET_MM : HEEL_MM;

  return said (say, _ (remedies[instrument->heel_adjust]), number (say, finding->values[3], 2),
               length (say, finding->values[4] * over_mm / HEEL_MM), over_mm);
}

static char *
angle_text (const Saying *say, const SlInstrument *instrument, const SlFinding *finding)
{
  const double *v = finding->values;
  const char *planed = "", *second = "";

  if (instrument->bridge_thickness - instrument->bridge_least_thickness >= finding->amount)
    planed = said (say, _ (" So would a bridge planed %s lower: it is %s thick, and %s is the least."),
                   length (say, finding->amount), length (say, instrument->bridge_thickness),
                   length (say, instrument->bridge_least_thickness));
  if (v[5] > 0 || v[6] > 0)
    second =
        said (say, _ (" Second choice, until then: what the saddle could give, %s at string %s and %s at string %s."),
              length (say, MAX (0, v[5])), string_name (say, instrument->n_strings), length (say, MAX (0, v[6])),
              string_name (say, 1));
  else if (instrument->adjust != SL_ADJUST_FIXED)
    second = _ (" The saddle has nothing to give in the meantime.");
  return g_strdup_printf ("%s %s%s%s", stopped_text (say, instrument, finding), remedy_text (say, instrument, finding),
                          planed, second);
}

/* Relief that no rod brings back: what strings would have to pull, with how little is known of what that does. */
static char *
rodless_text (const Saying *say, const SlInstrument *instrument, const SlFinding *finding)
{
  const double *v = finding->values;
  const char *per = number (say, instrument->neck.per_newton * EACH_NEWTONS, 2),
             *u = length (say, SL_COVERAGE * instrument->neck.per_newton_u * EACH_NEWTONS);
  const char *strings =
      !(fabs (v[2]) <= STRINGS_SHARE * v[3])
          ? _ ("Other strings alone would not bring it there")
          : said (say,
                  v[2] < 0 ? _ ("Strings that pull about %s N less in all, of %s N, would bring it there")
                           : _ ("Strings that pull about %s N more in all, of %s N, would bring it there"),
                  number (say, fabs (v[2]), 0), number (say, v[3], 0));

  return g_strdup_printf (_ ("Mean relief is %s, target %s, and this neck has no rod. %s (a neck gives %s ± %s for "
                             "each %d N, as far as is known); else heat or fret work by a specialist. Or accept it: "
                             "the steps here set nut and saddle to it as it is."),
                          length (say, v[1]), length (say, v[0]), strings, per, u, EACH_NEWTONS);
}

static char *
curve_text (const Saying *say, const SlInstrument *instrument, const char *which)
{
  return g_strdup_printf (
      instrument->adjust == SL_ADJUST_FIXED
          ? _ ("The action ends out of range, string %s, and nothing at this saddle can be set. A saddle recut by "
               "hand, or a new one, would meet it.")
          : _ ("The action ends out of range between the ends that can be set, string %s: the bridge’s curve is not "
               "the board’s. Its notches recut to the board’s radius would meet it."),
      which);
}

static char *
limit_text (const Saying *say, const SlFinding *finding)
{
  const char *most = length (say, finding->values[0]), *title = sl_operation_title (finding->work);

  if (finding->string > 0)
    /* Translators: a string, the title of an operation, and the most of it */
    return g_strdup_printf (_ ("String %s, %s: more is wanted than the %s there can be. Look at the readings and "
                               "targets again: one of them is far from any instrument."),
                            string_name (say, finding->string), title, most);
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
      const char *name = string_name (say, one->string), *ends = length (say, one->values[0]),
                 *target = length (say, one->values[1]);

      g_string_append (list, list->len > 0 ? ", " : "");
      if (one->kind == SL_FINDING_TOUCHES)
        /* Translators: a string's number, a fret it lies on, and how deep: "6 on fret 1 by 0.05 mm" */
        g_string_append_printf (list, _ ("%s on fret %d by %s"), name, one->fret, ends);
      else if (one->predicted || one->kind == SL_FINDING_LEFT || one->kind == SL_FINDING_CURVE)
        /* Translators: a string's number and where its height should end: "6 at 0.38 mm (target 0.50 mm)" */
        g_string_append_printf (list, _ ("%s at %s (target %s)"), name, ends, target);
      else
        /* Translators: the same, and how much higher slot or saddle have to be */
        g_string_append_printf (list, _ ("%s at %s (target %s, %s higher)"), name, ends, target,
                                length (say, one->amount));
    }
  return g_string_free (list, FALSE);
}

static char *
several_text (const Saying *say, const SlInstrument *instrument, const SlFinding *findings, guint n)
{
  const gboolean slot = findings->kind == SL_FINDING_SLOT_LOW;
  const char *list = own (say, strings_text (say, findings, n));

  if (findings->kind == SL_FINDING_CURVE)
    return curve_text (say, instrument, list);
  if (findings->kind == SL_FINDING_LEFT)
    return g_strdup_printf (
        _ ("Over fret %d these stay too high: string %s. It is less than a hand, or the shop’s step, can take off."),
        findings->fret, list);
  if (findings->kind == SL_FINDING_TOUCHES)
    return g_strdup_printf (findings->predicted ? _ ("The plan as it stands would leave strings lying on a fret: "
                                                     "string %s. Read again after each step, before the next is begun.")
                                                : _ ("These lie on a fret and can’t sound when played open: string %s. "
                                                     "Follow the order of the work, and read again after each step."),
                            list);
  if (findings->predicted)
    return g_strdup_printf (slot ? _ ("Over fret 1 these may end too low once the work is done: string %s. Read them "
                                      "then, before anything is done to the nut.")
                                 : _ ("The action of these may end too low once the work is done: string %s. Read them "
                                      "then, before anything is done to the saddle."),
                            list);
  return g_strdup_printf (
      slot ? _ ("Over fret 1 these end too low: string %s. Filling and recutting the slots, a shimmed or a new nut "
                "would meet it; that comes before the saddle, because the action rises with it.")
      : instrument->adjust == SL_ADJUST_FIXED
          ? _ ("The action of these ends too low: string %s. Nothing at this saddle can be set; a higher saddle or "
               "bridge would meet it.")
          : _ ("The action of these ends too low: string %s. A shim under the saddle or a new saddle would meet it."),
      list);
}

static char *
finding_text (const Saying *say, const SlAnalysis *analysis, const SlFinding *finding)
{
  const double *v = finding->values;

  if (finding->predicted && finding->kind != SL_FINDING_TOUCHES)
    return foretold_text (say, finding);
  switch (finding->kind)
    {
    case SL_FINDING_SLOT_LOW: return slot_low_text (say, finding);
    case SL_FINDING_CREST_LOW: return crest_low_text (say, &analysis->instrument, finding);
    case SL_FINDING_ZERO_FRET: return zero_fret_text (say, finding);
    case SL_FINDING_CURVE:
    case SL_FINDING_TOUCHES: return several_text (say, &analysis->instrument, finding, 1);
    case SL_FINDING_RODLESS: return rodless_text (say, &analysis->instrument, finding);
    case SL_FINDING_BALANCE:
      return g_strdup (analysis->instrument.balance == SL_BALANCE_DECKED
                           ? _ ("This work changes what the springs have to hold: see that they keep the tremolo down "
                                "on the body at pitch, retune, and read everything again.")
                           : _ ("This work upsets the tremolo’s balance: level it with its springs at pitch, retune, "
                                "and read everything again. Until then no height behind it is sure."));
    case SL_FINDING_LEFT:
      return g_strdup_printf (_ ("String %s stays at %s over fret %d, target %s: what is too much is less than a hand, "
                                 "or the shop’s step, can take off."),
                              string_name (say, finding->string), length (say, v[0]), finding->fret,
                              length (say, v[1]));
    case SL_FINDING_LIMIT: return limit_text (say, finding);
    case SL_FINDING_NECK_ANGLE: return angle_text (say, &analysis->instrument, finding);
    case SL_FINDING_EXPOSURE:
      return g_strdup (_ ("The saddle's exposure was not read, only assumed: how much saddle this work would leave is "
                          "not known yet. Read it at the outer strings before anything comes off."));
    case SL_FINDING_AIR: return sl_air_finding_text (analysis, say->style);
    case SL_FINDING_TONGUE: return tongue_text (say, &analysis->instrument, finding);
    case SL_FINDING_ROD_STILL:
      return g_strdup_printf (
          _ ("The rod was adjusted to change relief by %s, and relief changed by %s: it may be at its end, seized or "
             "broken, or the neck slow to follow. Mean relief is %s, target %s. Don’t force it: leave the instrument "
             "at pitch for a day and read relief again; if it stays, see to the rod before it is turned further, or "
             "set the neck by heat or fret work. Or accept it: once the rod is passed over, the steps here set nut "
             "and saddle to it as it is."),
          length (say, v[0]), length (say, v[1]), length (say, v[3]), length (say, v[2]));
    case SL_FINDING_RELIEF_UNREAD:
      return g_strdup (_ ("The rod was adjusted without relief read before and after: nothing is learned from it. Read "
                          "relief on both sides next time."));
    case SL_FINDING_RELIEF:
      return g_strdup_printf (_ ("Mean relief of %s can't be met, because one side would bow backward: it stays at %s. "
                                 "Work on the twist (levelling the board, heat) would."),
                              length (say, v[0]), length (say, v[1]));
    case SL_FINDING_CREST_MOVE:
      if (finding->string > 0)
        return g_strdup_printf (_ ("Pitch can't be met, because the break point of string %d would move by %s on a "
                                   "saddle %s thick; a true string, a thicker saddle or a moved slot would."),
                                finding->string, length (say, v[0]), length (say, v[1]));
      return g_strdup_printf (_ ("Pitch can't be met, because the break points would lie %s apart on a saddle %s "
                                 "thick; a thicker saddle or a moved slot would."),
                              length (say, v[0]), length (say, v[1]));
    case SL_FINDING_SUSPECT: return suspect_text (say, finding);
    case SL_FINDING_FRET_HEIGHT: return fret_height_text (say, finding);
    case SL_FINDING_WORK_SHORT:
    case SL_FINDING_WORK_FAR:
      return g_strdup_printf (finding->kind == SL_FINDING_WORK_SHORT
                                  ? _ ("The action of string %s at fret %d moved by %s after the cut; %s ± %s was "
                                       "predicted. The saddle may not be seated, or stand on an uneven slot floor or a "
                                       "shim, or less came off than noted. Look, and read it again before cutting.")
                                  : _ ("The action of string %s at fret %d moved by %s after the cut; %s ± %s was "
                                       "predicted. More may have come off than noted, a shim may be missing, or the "
                                       "rod or the air moved the neck. Read it again before cutting."),
                              string_name (say, finding->string), finding->fret, length (say, v[0]), length (say, v[1]),
                              length (say, v[2]));
    case SL_FINDING_APART:
      return g_strdup (
          _ ("These readings agree with each other, but not with those before and the work noted since: they stand by "
             "themselves, and what was not read again is assumed. Note the work that was done, or read again."));
    default: g_return_val_if_reached (NULL);
    }
}

char *
sl_finding_text (const SlAnalysis *analysis, const SlFinding *finding, const SlTextStyle *style)
{
  g_auto (Saying) say = saying (style, analysis->profile);

  return finding_text (&say, analysis, finding);
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
  const SlFinding *findings = &g_array_index (proposal->findings, SlFinding, first);
  g_auto (Saying) say = saying (style, analysis->profile);

  return n > 1 ? several_text (&say, &analysis->instrument, findings, n) : finding_text (&say, analysis, findings);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/said.h"

#include "setup/record/history.h"
#include "words/dates.h"
#include "words/saying.h"

#define TURN_PLACES 2

/* "45–55 %" */
static const char *
band (const Saying *say, const SlShop *shop)
{
  /* Translators: a range of humidity, "45–55 %": %2$s has the percent sign */
  return said (say, C_ ("percentage", "%1$s–%2$s"), number (say, shop->keep_least, 0), percent (say, shop->keep_most));
}

/* "1.85 / 2.40 mm", each with its U (0: none). */
static const char *
actions (const Saying *say, double treble, double U_treble, double bass, double U_bass)
{
  /* Translators: action of the treble and of the bass string, each with " ± 0.20" or nothing behind it; unit */
  return said (say, _ ("%1$s%2$s / %3$s%4$s %5$s"), fine (say, treble),
               own (say, sl_text_spread (say->style, U_treble / SL_COVERAGE)), fine (say, bass),
               own (say, sl_text_spread (say->style, U_bass / SL_COVERAGE)), sl_text_unit (say->style));
}

/* How the wood has moved since everything was in range. */
static char *
moved (const Saying *say, const SlAirFound *air)
{
  const gboolean wetter = air->moisture > air->good_moisture;
  const char *now = percent (say, air->humidity), *day = own (say, sl_date_text (air->good->taken)),
             *points = number (say, fabs (air->moisture - air->good_moisture), 1);

  if (isnan (air->good_action_treble) || isnan (air->good_action_bass))
    return g_strdup_printf (wetter
                                ? _ ("%1$s: the wood is %2$s points wetter than on %3$s, when everything was in range.")
                                : _ ("%1$s: the wood is %2$s points drier than on %3$s, when everything was in range."),
                            now, points, day);
  return g_strdup_printf (
      wetter ? _ ("%1$s: the wood is %2$s points wetter than on %3$s, when everything was in range: action %4$s.")
             : _ ("%1$s: the wood is %2$s points drier than on %3$s, when everything was in range: action %4$s."),
      now, points, day, actions (say, air->good_action_treble, 0, air->good_action_bass, 0));
}

static char *
what_it_is (const Saying *say, const SlAirFound *air, const SlShop *shop)
{
  if (air->good != NULL)
    return moved (say, air);
  if (air->state == SL_AIR_UNSETTLED)
    return NULL;
  return g_strdup_printf (air->humidity > shop->keep_most
                              ? _ ("%1$s: the air is damper than the %2$s it should be kept in.")
                              : _ ("%1$s: the air is drier than the %2$s it should be kept in."),
                          percent (say, air->humidity), band (say, shop));
}

static char *
what_to_do (const Saying *say, const SlAirFound *air, const SlShop *shop)
{
  const gboolean there = air->humidity >= shop->keep_least && air->humidity <= shop->keep_most;

  if (there && air->state == SL_AIR_MOVED)
    return g_strdup_printf (_ ("It is in the %s it should be kept in now: once it has been there for one to two weeks, "
                               "set it up for this air."),
                            band (say, shop));
  if (!air->foretold)
    return g_strdup_printf (
        there ? _ ("Leave it at %s for one to two weeks and read again: what the air did comes back by itself.")
              : _ ("Bring it to %s for one to two weeks and read again: what the air did comes back by itself."),
        band (say, shop));
  return g_strdup_printf (there ? _ ("Leave it at %1$s for one to two weeks and read again: what the air did comes "
                                     "back by itself; at %2$s the action is foretold as %3$s.")
                                : _ ("Bring it to %1$s for one to two weeks and read again: what the air did comes "
                                     "back by itself; at %2$s the action is foretold as %3$s."),
                          band (say, shop), percent (say, air->middle),
                          actions (say, air->action_treble, air->U_treble, air->action_bass, air->U_bass));
}

char *
sl_air_text (const SlAirFound *air, const SlReadingSet *set, const SlShop *shop, const SlTextStyle *style)
{
  g_auto (Saying) say = saying (style, NULL);
  const char *parts[5] = { NULL }, *is;
  int n = 0;

  if (air->state == SL_AIR_SETTLED)
    return NULL;
  if (air->state == SL_AIR_UNSETTLED)
    parts[n++] = _ ("Marked as not settled in its air.");
  is = own (&say, what_it_is (&say, air, shop));
  if (is != NULL)
    parts[n++] = is;
  if (air->read != set)
    parts[n++] = said (&say, _ ("The air was last read on %s."), own (&say, sl_date_text (air->read->taken)));
  parts[n++] = own (&say, what_to_do (&say, air, shop));
  return g_strjoinv (" ", (char **) parts);
}

char *
sl_air_finding_text (const SlAnalysis *analysis, const SlTextStyle *style)
{
  SlAirFound air = analysis->air;

  sl_air_foretell (analysis->profile, air.read, &analysis->shop, &air);
  return sl_air_text (&air, analysis->set, &analysis->shop, style);
}

char *
sl_neck_text (const SlNeckBending *neck, const SlTextStyle *style)
{
  g_auto (Saying) say = saying (style, NULL);

  if (neck->turns == 0)
    return NULL;
  /* Translators: how far the saddle moves when the rod is turned, of what even curvature of the neck would make it:
   * "0.79 ± 0.06" */
  return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "this neck, from %d turn: %s%s of an even bend",
                                       "this neck, from %d turns: %s%s of an even bend", (gulong) neck->turns),
                          neck->turns, number (&say, neck->crest, TURN_PLACES),
                          own (&say, sl_text_plain_spread (style, neck->crest_u, TURN_PLACES)));
}

char *
sl_rod_turns_text (const SlInstrument *instrument, double change, const SlTextStyle *style)
{
  double u, turns = sl_rod_turns (instrument, change, &u);
  g_auto (Saying) say = saying (style, NULL);

  if (isnan (turns))
    return NULL;
  return g_strdup_printf (_ ("about %s%s turns"), number (&say, fabs (turns), TURN_PLACES),
                          own (&say, sl_text_plain_spread (style, u, TURN_PLACES)));
}

/* ---- strings that were heard ---- */

#define MM2_PER_M2 1e6
#define PA_PER_GPA 1e9
#define SECOND_PLACES 1

/* "40.9 ± 3.5": a figure and its U, which has two digits where that needs no more than three decimals. */
static const char *
with_spread (const Saying *say, double value, double u)
{
  const double U = SL_COVERAGE * u;
  const int places = U > 0 ? CLAMP (1 - (int) floor (log10 (U)), 0, 3) : 0;

  return said (say, "%s ± %s", number (say, value, places), number (say, U, places));
}

char *
sl_bending_text (const SlHeardBending *heard, const SlTextStyle *style)
{
  g_auto (Saying) say = saying (style, NULL);

  return g_strdup_printf (
      !heard->judged  ? _ ("Bending stiffness %1$s N mm², by core and modulus %2$s.")
      : heard->agrees ? _ ("Bending stiffness %1$s N mm², by core and modulus %2$s: %3$s GPa, as of its material.")
                      : _ ("Bending stiffness %1$s N mm², by core and modulus %2$s: %3$s GPa, not as of its material; "
                           "check gauge and note."),
      with_spread (&say, heard->ei_nm2 * MM2_PER_M2, heard->ei_u * MM2_PER_M2),
      number (&say, heard->by_core_nm2 * MM2_PER_M2, 1),
      with_spread (&say, heard->modulus_pa / PA_PER_GPA, heard->modulus_u / PA_PER_GPA));
}

char *
sl_stretch_text (const SlHeardStretch *heard, const SlTextStyle *style)
{
  g_auto (Saying) say = saying (style, NULL);

  if (heard->word == SL_STRETCH_TOO_FEW)
    return g_strdup (_ ("Stretch stiffness is told by the pitch at three frets or more."));
  return g_strdup_printf (heard->word == SL_STRETCH_TOLD
                              /* Translators: a figure with its uncertainty; how many frets, three or more */
                              ? _ ("Stretch stiffness %s N, by the pitch at %d frets.")
                              : _ ("Stretch stiffness %s N: the pitch at these %d frets doesn't tell it; more frets "
                                   "from the nut to the 12th, pressed alike, do."),
                          with_spread (&say, heard->ea_n, heard->ea_u), heard->n_frets);
}

char *
sl_early_fret_text (const SlEarlyFret *early, const SlTextStyle *style)
{
  g_auto (Saying) say = saying (style, NULL);
  /* Translators: how long notes sound: fret number, seconds, seconds */
  const char *dies = said (&say, _ ("Fret %d dies in %s s, its neighbours in %s s."), early->fret,
                           number (&say, early->t60, SECOND_PLACES), number (&say, early->neighbours, SECOND_PLACES));

  if (early->closest == 0)
    return g_strdup (dies);
  /* Translators: the sentence above; fret number, a length with its uncertainty, mm or in */
  return g_strdup_printf (_ ("%s Held there, the string comes closest to fret %d: margin %s%s %s."), dies,
                          early->closest, fine (&say, early->margin),
                          own (&say, sl_text_spread (style, early->margin_u)), sl_text_unit (style));
}

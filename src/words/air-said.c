/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/said.h"

#include "setup/record/history.h"
#include "words/dates.h"

static char *
band (const SlTextStyle *style, const SlShop *shop)
{
  g_autofree char *least = sl_plain_format (shop->keep_least, 0, style->decimal),
                  *most = sl_text_percent (style, shop->keep_most);

  /* Translators: a range of humidity, "45–55 %": %2$s has the percent sign */
  return g_strdup_printf (C_ ("percentage", "%1$s–%2$s"), least, most);
}

/* "1.85 / 2.40 mm", each with its U (0: none). */
static char *
actions (const SlTextStyle *style, double treble, double U_treble, double bass, double U_bass)
{
  g_autofree char *first = sl_text_fine (style, treble), *second = sl_text_fine (style, bass),
                  *first_U = sl_text_spread (style, U_treble / SL_COVERAGE),
                  *second_U = sl_text_spread (style, U_bass / SL_COVERAGE);

  /* Translators: action of the treble and of the bass string, each with " ± 0.20" or nothing behind it; unit */
  return g_strdup_printf (_ ("%1$s%2$s / %3$s%4$s %5$s"), first, first_U, second, second_U, sl_text_unit (style));
}

/* How the wood has moved since everything was in range. */
static char *
moved (const SlAirFound *air, const SlTextStyle *style)
{
  const gboolean wetter = air->moisture > air->good_moisture;
  g_autofree char *now = sl_text_percent (style, air->humidity), *day = sl_date_text (air->good->taken),
                  *points = sl_plain_format (fabs (air->moisture - air->good_moisture), 1, style->decimal);

  if (isnan (air->good_action_treble) || isnan (air->good_action_bass))
    return g_strdup_printf (wetter
                                ? _ ("%1$s: the wood is %2$s points wetter than on %3$s, when everything was in range.")
                                : _ ("%1$s: the wood is %2$s points drier than on %3$s, when everything was in range."),
                            now, points, day);

  g_autofree char *then = actions (style, air->good_action_treble, 0, air->good_action_bass, 0);

  return g_strdup_printf (
      wetter ? _ ("%1$s: the wood is %2$s points wetter than on %3$s, when everything was in range: action %4$s.")
             : _ ("%1$s: the wood is %2$s points drier than on %3$s, when everything was in range: action %4$s."),
      now, points, day, then);
}

static char *
what_it_is (const SlAirFound *air, const SlShop *shop, const SlTextStyle *style)
{
  if (air->good != NULL)
    return moved (air, style);
  if (air->state == SL_AIR_UNSETTLED)
    return NULL;

  g_autofree char *now = sl_text_percent (style, air->humidity), *kept = band (style, shop);

  return g_strdup_printf (air->humidity > shop->keep_most
                              ? _ ("%1$s: the air is damper than the %2$s it should be kept in.")
                              : _ ("%1$s: the air is drier than the %2$s it should be kept in."),
                          now, kept);
}

static char *
what_to_do (const SlAirFound *air, const SlShop *shop, const SlTextStyle *style)
{
  const gboolean there = air->humidity >= shop->keep_least && air->humidity <= shop->keep_most;
  g_autofree char *kept = band (style, shop);

  if (there && air->state == SL_AIR_MOVED)
    return g_strdup_printf (_ ("It is in the %s it should be kept in now: once it has been there for one to two weeks, "
                               "set it up for this air."),
                            kept);
  if (!air->foretold)
    return g_strdup_printf (there ? _ ("Leave it at %s for one to two weeks and read again: what the air did comes "
                                       "back by itself.")
                                  : _ ("Bring it to %s for one to two weeks and read again: what the air did comes "
                                       "back by itself."),
                            kept);

  g_autofree char *middle = sl_text_percent (style, air->middle),
                  *action = actions (style, air->action_treble, air->U_treble, air->action_bass, air->U_bass);

  return g_strdup_printf (there
                              ? _ ("Leave it at %1$s for one to two weeks and read again: what the air did comes back "
                                   "by itself; at %2$s the action is foretold as %3$s.")
                              : _ ("Bring it to %1$s for one to two weeks and read again: what the air did comes back "
                                   "by itself; at %2$s the action is foretold as %3$s."),
                          kept, middle, action);
}

char *
sl_air_text (const SlAirFound *air, const SlReadingSet *set, const SlShop *shop, const SlTextStyle *style)
{
  const char *parts[5] = { NULL };
  int n = 0;

  if (air->state == SL_AIR_SETTLED)
    return NULL;

  g_autofree char *is = what_it_is (air, shop, style), *todo = what_to_do (air, shop, style),
                  *day = air->read != set ? sl_date_text (air->read->taken) : NULL,
                  *last = day != NULL ? g_strdup_printf (_ ("The air was last read on %s."), day) : NULL;

  if (air->state == SL_AIR_UNSETTLED)
    parts[n++] = _ ("Marked as not settled in its air.");
  if (is != NULL)
    parts[n++] = is;
  if (last != NULL)
    parts[n++] = last;
  parts[n++] = todo;
  return g_strjoinv (" ", (char **) parts);
}

char *
sl_air_finding_text (const SlAnalysis *analysis, const SlTextStyle *style)
{
  SlAirFound air = analysis->air;

  sl_air_foretell (analysis->profile, air.read, &analysis->shop, &air);
  return sl_air_text (&air, analysis->set, &analysis->shop, style);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/said.h"

#define TURN_PLACES 2

char *
sl_neck_text (const SlNeckBending *neck, const SlTextStyle *style)
{
  g_autofree char *factor = sl_text_plain (style, neck->crest, TURN_PLACES, FALSE),
                  *u = sl_text_plain_spread (style, neck->crest_u, TURN_PLACES);

  if (neck->turns == 0)
    return NULL;
  /* Translators: how far the saddle moves when the rod is turned, of what even curvature of the neck would make it:
   * "0.79 ± 0.06" */
  return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "this neck, from %d turn: %s%s of an even bend",
                                       "this neck, from %d turns: %s%s of an even bend", (gulong) neck->turns),
                          neck->turns, factor, u);
}

char *
sl_rod_turns_text (const SlInstrument *instrument, double change, const SlTextStyle *style)
{
  double u, turns = sl_rod_turns (instrument, change, &u);
  g_autofree char *amount = sl_text_plain (style, fabs (turns), TURN_PLACES, FALSE),
                  *spread = sl_text_plain_spread (style, u, TURN_PLACES);

  return isnan (turns) ? NULL : g_strdup_printf (_ ("about %s%s turns"), amount, spread);
}

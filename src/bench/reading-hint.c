/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/reading-hint.h"

#include <glib/gi18n-lib.h>

char *
sl_reading_hint (const SlQuestion *question, const SlProfile *profile)
{
  switch (question->ask)
    {
    case SL_READ_RELIEF:
      return g_strdup_printf (
          _ ("Strings in tune. Straightedge on frets 1 and %d beneath string %d; the gap over fret %d."),
          profile->neck.joint_fret, question->string, question->fret);
    case SL_READ_TONGUE:
      return g_strdup (_ ("Straightedge carried on to the last fret: how far the fingerboard extension falls away. One "
                          "that rises is negative."));
    case SL_READ_FIRST_GAP:
      return question->held == SL_HELD_3
                 ? g_strdup (_ ("String stopped behind fret 3; its underside over fret 1."))
                 : g_strdup (_ ("String open, neck as it is played; its underside over fret 1."));
    case SL_READ_ACTION:
      return g_strdup_printf (question->held == SL_HELD_1
                                  ? _ ("Capo at fret 1; the string's underside over fret %d.")
                                  : _ ("String open, neck as it is played; its underside over fret %d."),
                              question->fret);
    case SL_READ_EXPOSURE:
      return g_strdup_printf (_ ("From the bridge top to the top of the saddle, at string %d."), question->string);
    case SL_READ_SETBACK:
      return g_strdup_printf (_ ("How far the break point lies beyond the scale length, at string %d."),
                              question->string);
    case SL_READ_CROWN_GAP:
      return g_strdup_printf (_ ("Board set flat; the straightedge over fret %d."), question->fret);
    case SL_READ_PITCH: return g_strdup_printf (_ ("Tuned open; cents at fret %d."), question->fret);
    default: return g_strdup (_ ("The air around the instrument."));
    }
}

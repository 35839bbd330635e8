/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/gaps-text.h"

#include <glib/gi18n-lib.h>

SlWord
sl_clearance_word (const SlClearance *clearance)
{
  return sl_word_at_least (&(SlFigure){ clearance->margin, clearance->gap_u, SL_BASIS_COMPUTED }, 0);
}

static char *
place_text (int string, int held, int fret)
{
  if (held == 0)
    return g_strdup_printf (_ ("String %d, open, fret %d"), string, fret);
  return g_strdup_printf (_ ("String %d, held at %d, fret %d"), string, held, fret);
}

char *
sl_clearance_sentence (const SlTextStyle *style, const SlClearance *clearance, int string, int held, int fret,
                       gboolean assumed)
{
  g_autofree char *place = place_text (string, held, fret), *sentence = NULL;
  g_autofree char *gap = NULL, *swing = NULL, *margin = NULL, *u = NULL;
  const char *format;

  if (fret <= held)
    return g_strdup_printf (_ ("%s: the string is held here or beyond"), place);
  gap = sl_text_length (style, clearance->gap);
  swing = sl_text_fine (style, clearance->swing);
  margin = sl_text_fine (style, clearance->margin);
  u = sl_text_uncertainty (style, clearance->gap_u);
  switch (sl_clearance_word (clearance))
    {
    case SL_WORD_OUT: format = _ ("%s: gap %s %s, swing %s, margin %s %s: touches"); break;
    case SL_WORD_CLOSE: format = _ ("%s: gap %s %s, swing %s, margin %s %s: close"); break;
    default: format = _ ("%s: gap %s %s, swing %s, margin %s %s"); break;
    }
  sentence = g_strdup_printf (format, place, gap, u == NULL ? "" : u, swing, margin, u == NULL ? "" : u);
  return assumed ? g_strdup_printf (_ ("%s (assumed)"), sentence) : g_steal_pointer (&sentence);
}

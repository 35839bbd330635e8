/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/sheet-text.h"

#include "setup/physics/intonation.h"
#include "words/saying.h"

const char *
sl_fret_word (const SlFretWork *fret)
{
  if (fret->replaced)
    return C_ ("fret", "new");
  if (!fret->saved)
    /* Translators: a fret whose crown would be left too low to be dressed; keep it as short as four or five letters */
    return C_ ("fret", "lost");
  if (fret->rocks)
    return C_ ("fret", "high");
  if (fret->lowest)
    return C_ ("fret", "low");
  return "";
}

char *
sl_fret_sentence (const SlTextStyle *style, const SlFretWork *fret, int n)
{
  g_auto (Saying) say = saying (style, NULL);
  GString *out = g_string_new (NULL);

  g_string_append_printf (out, _ ("Fret %d: %s off, land %s, %s left"), n, fine (&say, fret->off),
                          fine (&say, fret->land), fine (&say, fret->left));
  if (fret->replaced)
    g_string_append (out, _ (", a new fret"));
  if (!fret->saved)
    g_string_append (out, _ (", past saving"));
  if (fret->lowest)
    g_string_append (out, _ (", the lowest"));
  if (fret->rocks && !fret->replaced)
    g_string_append_printf (out, _ (", high by %s against its neighbours"), fine (&say, fret->rocking));
  return g_string_free (out, FALSE);
}

/* "7, 8, 9" of the frets with the flag at @offset in SlFretWork; NULL where there is none. */
static const char *
list_frets (const Saying *say, const SlLevelling *work, gsize offset)
{
  g_autoptr (GString) list = g_string_new (NULL);

  for (int n = 1; n <= work->n; n++)
    if (G_STRUCT_MEMBER (gboolean, &work->frets[n], offset))
      g_string_append_printf (list, "%s%d", list->len > 0 ? ", " : "", n);
  return list->len > 0 ? own (say, g_strdup (list->str)) : NULL;
}

char *
sl_levelling_summary (const SlTextStyle *style, const SlInstrument *instrument, const SlLevelling *work)
{
  g_auto (Saying) say = saying (style, NULL);
  GString *out = g_string_new (NULL);
  const char *rocking = list_frets (&say, work, G_STRUCT_OFFSET (SlFretWork, rocks)),
             *replaced = list_frets (&say, work, G_STRUCT_OFFSET (SlFretWork, replaced)),
             *most = fine (&say, work->most_off);

  if (!work->read)
    g_string_append (out, _ ("Crown gaps not read: assumed level"));
  else if (work->most_off < SL_FRET_SHOWN_MM)
    g_string_append (out, _ ("Crowns level"));
  else if (work->n_replaced == work->n)
    g_string_append (out, _ ("Only new frets throughout would save it"));
  else if (work->lowest == 0)
    g_string_append_printf (out, _ ("Single crowns to the rest, at most %s off"), most);
  else if (replaced != NULL)
    g_string_append_printf (out, _ ("New at %s, the others down to fret %d, at most %s off"), replaced, work->lowest,
                            most);
  else
    g_string_append_printf (out, _ ("Down to fret %d, at most %s off"), work->lowest, most);
  if (work->n_lost > 0)
    g_string_append_printf (out,
                            g_dngettext (GETTEXT_PACKAGE, " · %d fret past saving: less than %s left",
                                         " · %d frets past saving: less than %s left", (gulong) work->n_lost),
                            work->n_lost, fine (&say, instrument->crown_least));
  else if (work->read)
    g_string_append_printf (out, _ (" · %s left to be dressed away"),
                            fine (&say, work->least_left - instrument->crown_least));
  if (work->deepest >= SL_FRET_SHOWN_MM)
    g_string_append_printf (out, _ (" · marks of %s stay"), fine (&say, work->deepest));
  if (rocking != NULL)
    g_string_append_printf (out, _ (" · high: %s"), rocking);
  return g_string_free (out, FALSE);
}

static void
append_string (GString *out, const Saying *say, const SlAnalysis *a, const SlState *after, int string)
{
  SlStringState s, t;

  sl_state_string (&a->instrument, &a->measured, string, &s);
  sl_state_string (&a->instrument, after, string, &t);
  g_string_append_printf (out, _ (" string %s: height at fret 1 %s → %s, action %s → %s"),
                          own (say, sl_text_string_course (say->profile, string)), fine (say, sl_gap (&s, 0, 1)),
                          fine (say, sl_gap (&t, 0, 1)), fine (say, sl_gap (&s, 0, SL_OCTAVE_FRET)),
                          fine (say, sl_gap (&t, 0, SL_OCTAVE_FRET)));
}

char *
sl_levelling_effect (const SlTextStyle *style, const SlAnalysis *analysis, const SlProfile *profile,
                     const SlLevelling *work)
{
  const int last = analysis->instrument.n_strings;
  g_autofree SlState *after = g_memdup2 (&analysis->measured, sizeof analysis->measured);
  g_auto (Saying) say = saying (style, profile);
  GString *out;

  if (!work->read || work->most_off < SL_FRET_SHOWN_MM)
    return g_strdup ("");
  out = g_string_new (_ ("This alone,"));
  for (int n = 1; n <= work->n; n++)
    {
      after->crown[n] = work->frets[n].after;
      for (int s = 1; s <= last; s++)
        sl_state_set_wear (after, s, n, MAX (0, sl_state_wear (after, s, n) - work->frets[n].off));
    }
  append_string (out, &say, analysis, after, last);
  if (last > 1)
    {
      g_string_append_c (out, ';');
      append_string (out, &say, analysis, after, 1);
    }
  g_string_append (out, _ (". Slots and saddle follow."));
  return g_string_free (out, FALSE);
}

SlWord
sl_clearance_word (const SlClearance *clearance)
{
  return sl_word_at_least (&(SlFigure){ clearance->margin, clearance->margin_u, SL_BASIS_COMPUTED }, 0);
}

char *
sl_clearance_sentence (const SlTextStyle *style, const SlClearance *clearance, int string, int held, int fret,
                       gboolean assumed)
{
  g_auto (Saying) say = saying (style, NULL);
  const char *place =
                 own (&say, held == 0 ? g_strdup_printf (_ ("String %d, open, fret %d"), string, fret)
                                      : g_strdup_printf (_ ("String %d, held at %d, fret %d"), string, held, fret)),
             *gap_u = own (&say, sl_text_uncertainty (style, clearance->gap_u)),
             *margin_u = own (&say, sl_text_uncertainty (style, clearance->margin_u)), *format, *sentence;

  if (fret <= held)
    return g_strdup_printf (_ ("%s: the string is held here or beyond"), place);
  switch (sl_clearance_word (clearance))
    {
    case SL_WORD_OUT: format = _ ("%s: gap %s %s, swing %s, margin %s %s: touches"); break;
    case SL_WORD_CLOSE: format = _ ("%s: gap %s %s, swing %s, margin %s %s: close"); break;
    default: format = _ ("%s: gap %s %s, swing %s, margin %s %s"); break;
    }
  sentence = said (&say, format, place, fine (&say, clearance->gap), gap_u == NULL ? "" : gap_u,
                   fine (&say, clearance->swing), fine (&say, clearance->margin), margin_u == NULL ? "" : margin_u);
  return assumed ? g_strdup_printf (_ ("%s (assumed)"), sentence) : g_strdup (sentence);
}

char *
sl_crests_sentence (const SlTextStyle *style, const SlAnalysis *analysis, gboolean *fits)
{
  const SlInstrument *in = &analysis->instrument;
  double wanted[SL_MAX_STRINGS], spread;
  gboolean tuner = FALSE;
  g_auto (Saying) say = saying (style, NULL);

  *fits = TRUE;
  if (!isnan (in->length_screw_pitch))
    return g_strdup (_ ("Each saddle has its length screw: its travel is the limit."));
  if (in->n_strings < 3 || !analysis->measured.setback_read)
    return NULL;
  for (int s = 1; s <= in->n_strings; s++)
    tuner = tuner || sl_tuner_cents (analysis->set, s, &spread);
  for (int s = 1; s <= in->n_strings; s++)
    {
      SlCrestPlace place;

      sl_crest_place (analysis, s, &place);
      /* once the tuner was read, strings it was not read for stay where they are */
      wanted[s - 1] = !tuner ? place.model : isnan (place.tuner) ? place.now : place.tuner;
      if (isnan (wanted[s - 1]))
        return NULL;
    }
  *fits = sl_crests_fit (in, wanted, &spread);
  return g_strdup_printf (
      *fits ? _ ("The break points would then lie %s apart on a saddle %s thick: they fit.")
            : _ ("The break points would then lie %s apart on a saddle only %s thick: they don’t fit."),
      own (&say, sl_text_measure (style, spread, 2, TRUE)),
      own (&say, sl_text_measure (style, in->saddle_thickness, 2, TRUE)));
}

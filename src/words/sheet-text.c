/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/sheet-text.h"

#include "setup/physics/intonation.h"

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
  GString *out = g_string_new (NULL);
  g_autofree char *off = sl_text_fine (style, fret->off), *land = sl_text_fine (style, fret->land),
                  *left = sl_text_fine (style, fret->left);

  g_string_append_printf (out, _ ("Fret %d: %s off, land %s, %s left"), n, off, land, left);
  if (fret->replaced)
    g_string_append (out, _ (", a new fret"));
  if (!fret->saved)
    g_string_append (out, _ (", past saving"));
  if (fret->lowest)
    g_string_append (out, _ (", the lowest"));
  if (fret->rocks && !fret->replaced)
    {
      g_autofree char *by = sl_text_fine (style, fret->rocking);

      g_string_append_printf (out, _ (", high by %s against its neighbours"), by);
    }
  return g_string_free (out, FALSE);
}

/* "7, 8, 9" of the frets with the flag at @offset in SlFretWork; NULL where there is none. */
static char *
list_frets (const SlLevelling *work, gsize offset)
{
  g_autoptr (GString) list = g_string_new (NULL);

  for (int n = 1; n <= work->n; n++)
    if (G_STRUCT_MEMBER (gboolean, &work->frets[n], offset))
      g_string_append_printf (list, "%s%d", list->len > 0 ? ", " : "", n);
  return list->len > 0 ? g_string_free (g_steal_pointer (&list), FALSE) : NULL;
}

char *
sl_levelling_summary (const SlTextStyle *style, const SlInstrument *instrument, const SlLevelling *work)
{
  GString *out = g_string_new (NULL);
  g_autofree char *rocking = list_frets (work, G_STRUCT_OFFSET (SlFretWork, rocks)),
                  *most = sl_text_fine (style, work->most_off), *least = sl_text_fine (style, instrument->crown_least);
  g_autofree char *replaced = list_frets (work, G_STRUCT_OFFSET (SlFretWork, replaced)),
                  *life = sl_text_fine (style, work->least_left - instrument->crown_least),
                  *marks = sl_text_fine (style, work->deepest);

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
                            work->n_lost, least);
  else if (work->read)
    g_string_append_printf (out, _ (" · %s left to be dressed away"), life);
  if (work->deepest >= SL_FRET_SHOWN_MM)
    g_string_append_printf (out, _ (" · marks of %s stay"), marks);
  if (rocking != NULL)
    g_string_append_printf (out, _ (" · high: %s"), rocking);
  return g_string_free (out, FALSE);
}

static void
append_string (GString *out, const SlTextStyle *style, const SlAnalysis *a, const SlProfile *profile,
               const SlState *after, int string)
{
  SlStringState s, t;

  sl_state_string (&a->instrument, &a->measured, string, &s);
  sl_state_string (&a->instrument, after, string, &t);
  g_autofree char *name = sl_text_string_course (profile, string);
  g_autofree char *first = sl_text_fine (style, sl_gap (&s, 0, 1)),
                  *first_after = sl_text_fine (style, sl_gap (&t, 0, 1));
  g_autofree char *action = sl_text_fine (style, sl_gap (&s, 0, SL_OCTAVE_FRET));
  g_autofree char *action_after = sl_text_fine (style, sl_gap (&t, 0, SL_OCTAVE_FRET));

  g_string_append_printf (out, _ (" string %s: height at fret 1 %s → %s, action %s → %s"), name, first, first_after,
                          action, action_after);
}

char *
sl_levelling_effect (const SlTextStyle *style, const SlAnalysis *analysis, const SlProfile *profile,
                     const SlLevelling *work)
{
  const int last = analysis->instrument.n_strings;
  g_autofree SlState *after = g_memdup2 (&analysis->measured, sizeof analysis->measured);
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
  append_string (out, style, analysis, profile, after, last);
  if (last > 1)
    {
      g_string_append_c (out, ';');
      append_string (out, style, analysis, profile, after, 1);
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
  g_autofree char *place = held == 0 ? g_strdup_printf (_ ("String %d, open, fret %d"), string, fret)
                                     : g_strdup_printf (_ ("String %d, held at %d, fret %d"), string, held, fret);
  g_autofree char *gap = NULL, *swing = NULL, *margin = NULL, *gap_u = NULL, *margin_u = NULL, *sentence = NULL;
  const char *format;

  if (fret <= held)
    return g_strdup_printf (_ ("%s: the string is held here or beyond"), place);
  gap = sl_text_fine (style, clearance->gap);
  swing = sl_text_fine (style, clearance->swing);
  margin = sl_text_fine (style, clearance->margin);
  gap_u = sl_text_uncertainty (style, clearance->gap_u);
  margin_u = sl_text_uncertainty (style, clearance->margin_u);
  switch (sl_clearance_word (clearance))
    {
    case SL_WORD_OUT: format = _ ("%s: gap %s %s, swing %s, margin %s %s: touches"); break;
    case SL_WORD_CLOSE: format = _ ("%s: gap %s %s, swing %s, margin %s %s: close"); break;
    default: format = _ ("%s: gap %s %s, swing %s, margin %s %s"); break;
    }
  sentence =
      g_strdup_printf (format, place, gap, gap_u == NULL ? "" : gap_u, swing, margin, margin_u == NULL ? "" : margin_u);
  return assumed ? g_strdup_printf (_ ("%s (assumed)"), sentence) : g_steal_pointer (&sentence);
}

char *
sl_crests_sentence (const SlTextStyle *style, const SlAnalysis *analysis, gboolean *fits)
{
  const SlInstrument *in = &analysis->instrument;
  double wanted[SL_MAX_STRINGS], spread;
  gboolean tuner = FALSE;
  g_autofree char *apart = NULL, *thick = NULL;

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
  apart = sl_text_measure (style, spread, 2, TRUE);
  thick = sl_text_measure (style, in->saddle_thickness, 2, TRUE);
  return g_strdup_printf (
      *fits ? _ ("The break points would then lie %s apart on a saddle %s thick: they fit.")
            : _ ("The break points would then lie %s apart on a saddle only %s thick: they don’t fit."),
      apart, thick);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Large figures beside things everybody has handled. */
#include "words/explain.h"

#define CARDS_FROM_MM 1.0 /* thinner than this, sheets of paper say more */
#define WHOLE_FROM 2.75   /* from here on whole things are near enough: our own choice */
#define MOST_HALVES 24    /* counts above are written as digits */

/* A count in halves as a word. */
static char *
halves_text (int halves)
{
  static const char *const words[] = {
#include "count-rows.h"
  };

  G_STATIC_ASSERT (G_N_ELEMENTS (words) == MOST_HALVES + 1);
  if (halves <= MOST_HALVES)
    return g_strdup (g_dpgettext2 (GETTEXT_PACKAGE, "count", words[halves]));
  return g_strdup_printf ("%d", (halves + 1) / 2);
}

/* "four bank cards", "half a bank card" */
static char *
things_text (gboolean cards, int halves)
{
  g_autofree char *count = halves_text (halves);

  if (halves == 0)
    return g_steal_pointer (&count);
  if (halves == 1)
    return g_strdup (cards ? _ ("half a bank card") : _ ("half a sheet of paper"));
  /* Translators: %s is a number as a word, such as "three" or "three and a half" */
  if (cards)
    return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%s bank card", "%s bank cards", halves == 2 ? 1 : 2), count);
  return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%s sheet of paper", "%s sheets of paper", halves == 2 ? 1 : 2),
                          count);
}

/* Halves count where there are few. */
static int
count_halves (double things)
{
  return things < WHOLE_FROM ? (int) lround (2 * things) : 2 * (int) lround (things);
}

char *
sl_thickness_words (double before_mm, double after_mm)
{
  gboolean one = isnan (before_mm), cards = fmax (before_mm, after_mm) >= CARDS_FROM_MM;
  double thing = cards ? SL_CARD_MM : SL_SHEET_MM;
  int before = one ? 0 : count_halves (before_mm / thing), after = count_halves (after_mm / thing);

  if (before < 0 || after < 0 || !isfinite (after_mm))
    return NULL;
  if (!cards) /* half a sheet of paper is nothing anybody has handled */
    {
      before = 2 * (int) lround (before / 2.0);
      after = 2 * (int) lround (after / 2.0);
    }
  if (fabs (after_mm - before_mm) < thing / 4) /* no change that can be seen, wherever it is rounded */
    before = after;
  g_autofree char *to = things_text (cards, after), *from = things_text (cards, before),
                  *to_brief = halves_text (after);

  if (after == 0 && (one || before == 0))
    return g_strdup (cards ? _ ("less than half a bank card") : _ ("less than a sheet of paper"));
  if (one)
    /* Translators: %s is a thickness in things: "three bank cards" */
    return g_strdup_printf (_ ("about %s"), to);
  if (before == after)
    return g_strdup_printf (_ ("still about %s"), to);
  if (before == 0)
    return g_strdup_printf (_ ("from next to nothing to about %s"), to);
  if (after == 0)
    return g_strdup_printf (_ ("from about %s to next to nothing"), from);
  /* Translators: %1$s is a thickness in things ("four bank cards"), %2$s a number as a word ("three") */
  return g_strdup_printf (_ ("from about %1$s to %2$s"), from, to_brief);
}

/* Adds a figure, and what it was where that was read or follows from what was; what is only assumed is not told to a
 * customer. */
static int
put_figure (SlPlainFigure *out, const SlOutcome *outcome, const SlSpeech *speech, const char *name, SlFigure before,
            SlFigure after)
{
  if (after.basis == SL_BASIS_ASSUMED || !isfinite (after.value))
    return 0;
  if (!sl_outcome_has_change (outcome) || before.basis == SL_BASIS_ASSUMED)
    before.value = NAN;
  *out = (SlPlainFigure){
    .name = g_strdup (name),
    .before = isnan (before.value) ? NULL : sl_text_length (&speech->style, before.value),
    .after = sl_text_length_unit (&speech->style, after.value),
    .words = sl_thickness_words (before.value, after.value),
  };
  return 1;
}

/* Of the neck's middle line; assumed only where nothing was read on either side. */
static SlFigure
mean_relief (const SlState *state, const SlFigures *figures, int bass)
{
  SlFigure relief = figures->relief[0];

  relief.value = sl_state_mean_relief (state);
  if (figures->relief[bass].basis != SL_BASIS_ASSUMED)
    relief.basis = figures->relief[bass].basis;
  return relief;
}

int
sl_plain_figures (const SlOutcome *outcome, const SlSpeech *speech, SlPlainFigure figures[SL_PLAIN_FIGURES])
{
  const SlFigures *before = outcome->before_figures, *after = outcome->after_figures;
  const int bass = outcome->instrument.n_strings - 1;
  int n = 0;

  n += put_figure (&figures[n], outcome, speech,
                   bass > 0 ? _ ("Thick-string side at the 12th fret") : _ ("String height at the 12th fret"),
                   before->action[bass][SL_OCTAVE_FRET], after->action[bass][SL_OCTAVE_FRET]);
  if (bass > 0)
    n += put_figure (&figures[n], outcome, speech, _ ("Thin-string side at the 12th fret"),
                     before->action[0][SL_OCTAVE_FRET], after->action[0][SL_OCTAVE_FRET]);
  n += put_figure (&figures[n], outcome, speech,
                   bass > 0 ? _ ("Thick-string side at the 1st fret") : _ ("String height at the 1st fret"),
                   before->first_gap[bass], after->first_gap[bass]);
  n += put_figure (&figures[n], outcome, speech, _ ("Forward bow of the neck"),
                   mean_relief (outcome->before_state, before, bass), mean_relief (outcome->after_state, after, bass));
  return n;
}

void
sl_plain_figure_clear (SlPlainFigure *figure)
{
  g_free (figure->name);
  g_free (figure->before);
  g_free (figure->after);
  g_free (figure->words);
  *figure = (SlPlainFigure){ NULL };
}

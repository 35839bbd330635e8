/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The report on levelling: what comes off each crown, what land it leaves, what is left of it; and where frets would be
 * past saving, what replacing some would do. */

#include "calc.h"
#include "setup/physics/frets.h"
#include "words/kinds.h"

#define PLACES 2
#define COLUMN 9
#define FRET_COLUMN 5
#define SHOWN_MM 0.005 /* less than this comes off: nothing */

static void
append_cell (GString *out, const char *text, int width)
{
  g_string_append_c (out, ' ');
  sl_append_padded (out, text, 1 - width);
}

static void
append_heading (GString *out)
{
  const char *const heads[] = { C_ ("column of frets", "stands"), C_ ("column of frets", "off"),
                                C_ ("column of frets", "land"), C_ ("column of frets", "left") };
  g_string_append_c (out, ' ');
  append_cell (out, C_ ("column of frets", "fret"), FRET_COLUMN);
  for (gsize i = 0; i < G_N_ELEMENTS (heads); i++)
    append_cell (out, heads[i], COLUMN);
  g_string_append_c (out, '\n');
}

static void
append_value (GString *out, double value)
{
  g_string_append_c (out, ' ');
  sl_append_value (out, value, PLACES, 1 - COLUMN);
}

static void
append_words (GString *out, const SlFretWork *work)
{
  g_autofree char *by = sl_plain (work->rocking, PLACES),
                  *rocks = g_strdup_printf (C_ ("fret", "high by %s: rocks on its neighbours"), by),
                  *depth = sl_plain (work->mark, PLACES), *worn = g_strdup_printf (C_ ("fret", "worn by %s"), depth);
  const char *const words[] = { work->lowest ? C_ ("fret", "lowest") : NULL, work->replaced ? C_ ("fret", "new") : NULL,
                                work->mark >= SHOWN_MM ? worn : NULL, !work->saved ? C_ ("fret", "past saving") : NULL,
                                work->rocks && !work->replaced ? rocks : NULL };
  const char *separator = "  ";
  for (gsize i = 0; i < G_N_ELEMENTS (words); i++)
    if (words[i] != NULL)
      {
        g_string_append_printf (out, "%s%s", separator, words[i]);
        separator = ", ";
      }
}

/* Those replaced, or past saving: "7, 8, 9". */
static char *
list_frets (const SlLevelling *work, gboolean replaced)
{
  GString *list = g_string_new (NULL);
  for (int n = 1; n <= work->n; n++)
    if (replaced ? work->frets[n].replaced : !work->frets[n].saved)
      g_string_append_printf (list, "%s%d", list->len > 0 ? ", " : "", n);
  return g_string_free (list, FALSE);
}

static void
append_title (GString *out, const SlLevelling *work, gboolean planned)
{
  g_autofree char *frets = sl_frets_text (work->named, NULL);
  const char *title = planned ? _ ("Levelling to the lowest fret, as planned, mm")
                              : _ ("Levelling to the lowest fret, which is not in the plan, mm");
  if (work->named != 0)
    g_string_append_printf (out, _ ("\nLevelling of frets %s to the rest, as planned, mm\n"), frets);
  else
    g_string_append_printf (out, "\n%s\n", title);
}

/* Which crowns would be past saving, and what is left of the lowest otherwise. */
static void
append_life (GString *out, const SlAnalysis *a, const SlLevelling *work)
{
  g_autofree char *lost = list_frets (work, FALSE), *least = sl_plain (a->instrument.crown_least, PLACES),
                  *left = sl_plain (work->least_left, PLACES),
                  *life = sl_plain (work->least_left - a->instrument.crown_least, PLACES);
  if (work->n_lost > 0)
    g_string_append_printf (out,
                            g_dngettext (GETTEXT_PACKAGE, "  %d fret would be less than %s mm high, past saving: %s\n",
                                         "  %d frets would be less than %s mm high, past saving: %s\n",
                                         (gulong) work->n_lost),
                            work->n_lost, least, lost);
  else
    g_string_append_printf (
        out, _ ("  The lowest crown keeps %s mm: %s mm to be dressed away before it is past saving\n"), left, life);
}

/* Marks that levelling leaves, and what it would take to be rid of them. */
static void
append_marks (GString *out, const SlLevelling *work)
{
  g_autofree char *deepest = sl_plain (work->deepest, PLACES);
  if (work->deepest >= SHOWN_MM)
    g_string_append_printf (
        out, _ ("  Marks up to %s mm deep stay: levelling to the deepest would take that much more off every crown\n"),
        deepest);
}

/* What the crowns that stay would lose and keep with new frets in place of some. */
static void
append_alternative (GString *out, const SlAnalysis *a, const SlLevelling *work)
{
  SlLevelling other;
  double least_left = INFINITY, most_off = 0;
  sl_level_replacing (&a->instrument, &a->measured, work->fall_away, &other);
  if (other.n_replaced == 0)
    return;
  if (other.n_replaced == other.n)
    {
      g_string_append_printf (out, "  %s\n", _ ("Only new frets throughout would save it."));
      return;
    }
  for (int n = 1; n <= other.n; n++)
    if (!other.frets[n].replaced)
      {
        least_left = MIN (least_left, other.frets[n].left);
        most_off = MAX (most_off, other.frets[n].off);
      }
  g_autofree char *frets = list_frets (&other, TRUE), *off = sl_plain (most_off, PLACES),
                  *left = sl_plain (least_left, PLACES),
                  *life = sl_plain (least_left - a->instrument.crown_least, PLACES);
  g_string_append_printf (out,
                          g_dngettext (GETTEXT_PACKAGE,
                                       "  Replacing fret %s instead: the others lose at most %s mm and keep at least "
                                       "%s mm, %s mm to be dressed away\n",
                                       "  Replacing frets %s instead: the others lose at most %s mm and keep at least "
                                       "%s mm, %s mm to be dressed away\n",
                                       (gulong) other.n_replaced),
                          frets, off, left, life);
}

void
sl_text_frets (GString *out, const SlAnalysis *a)
{
  SlLevelling work;
  if (!a->measured.crowns_read)
    return;
  gboolean planned =
      sl_level_planned (&a->instrument, &a->measured, a->plan, a->set != NULL ? a->set->taken : NULL, &work);
  append_title (out, &work, planned);
  append_heading (out);
  for (int n = 1; n <= work.n; n++)
    {
      const SlFretWork *f = &work.frets[n];
      g_string_append_printf (out, "  %4d", n);
      append_value (out, f->before);
      append_value (out, f->off < SHOWN_MM ? 0 : f->off);
      append_value (out, f->off < SHOWN_MM ? 0 : f->land);
      append_value (out, f->left);
      append_words (out, f);
      g_string_append_c (out, '\n');
    }
  append_life (out, a, &work);
  append_marks (out, &work);
  if (work.named == 0 && work.n_replaced == 0)
    append_alternative (out, a, &work);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The report on levelling: what comes off each crown, what land it leaves, what is left of it; and where frets would be
 * past saving, what replacing some would do. */
#include <glib/gi18n.h>

#include "calc.h"
#include "setup/physics/frets.h"
#include "setup/profile/units.h"

#define PLACES 2
#define COLUMN 9
#define SHOWN_MM 0.005 /* less than this comes off: nothing */

typedef gboolean (*Has) (const SlFretWork *work);

static void
append_cell (GString *out, double value, const char *decimal)
{
  g_autofree char *text = sl_plain_format (value, PLACES, decimal);
  g_string_append_printf (out, "%*s%s", MAX (1, COLUMN - (int) g_utf8_strlen (text, -1)), "", text);
}

static void
append_heading (GString *out)
{
  const char *const heads[] = { C_ ("column of frets", "fret"), C_ ("column of frets", "stands"),
                                C_ ("column of frets", "off"), C_ ("column of frets", "land"),
                                C_ ("column of frets", "left") };
  g_string_append (out, "  ");
  for (gsize i = 0; i < G_N_ELEMENTS (heads); i++)
    {
      int width = i == 0 ? 4 : COLUMN;
      g_string_append_printf (out, "%*s%s", MAX (1, width - (int) g_utf8_strlen (heads[i], -1)) - (i == 0), "",
                              heads[i]);
    }
  g_string_append_c (out, '\n');
}

static void
append_words (GString *out, const SlFretWork *work, const char *decimal)
{
  const char *separator = "  ";
  if (work->lowest)
    {
      g_string_append_printf (out, "%s%s", separator, C_ ("fret", "lowest"));
      separator = ", ";
    }
  if (!work->saved)
    {
      g_string_append_printf (out, "%s%s", separator, C_ ("fret", "past saving"));
      separator = ", ";
    }
  if (work->rocks)
    {
      g_autofree char *by = sl_plain_format (work->rocking, PLACES, decimal);
      g_string_append_printf (out, "%s", separator);
      g_string_append_printf (out, C_ ("fret", "high by %s: rocks on its neighbours"), by);
    }
}

/* "7, 8, 9". */
static char *
list_frets (const SlLevelling *work, Has has)
{
  GString *list = g_string_new (NULL);
  for (int n = 1; n <= work->n; n++)
    if (has (&work->frets[n]))
      g_string_append_printf (list, "%s%d", list->len > 0 ? ", " : "", n);
  return g_string_free (list, FALSE);
}

static gboolean
is_lost (const SlFretWork *work)
{
  return !work->saved;
}

static gboolean
is_replaced (const SlFretWork *work)
{
  return work->replaced;
}

static void
append_alternative (GString *out, const SlAnalysis *a, double fall_away, const SlLevelling *work, const char *decimal)
{
  SlLevelling other;
  double least_left = INFINITY, most_off = 0;
  g_autofree char *lost = list_frets (work, is_lost),
                  *least = sl_plain_format (a->instrument.crown_least, PLACES, decimal);
  g_string_append_printf (out,
                          g_dngettext (GETTEXT_PACKAGE, "  %d fret would be less than %s mm high, past saving: %s\n",
                                       "  %d frets would be less than %s mm high, past saving: %s\n",
                                       (gulong) work->n_lost),
                          work->n_lost, least, lost);
  sl_level_replacing (&a->instrument, &a->measured, a->set, fall_away, &other);
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
  g_autofree char *frets = list_frets (&other, is_replaced), *off = sl_plain_format (most_off, PLACES, decimal),
                  *left = sl_plain_format (least_left, PLACES, decimal);
  g_string_append_printf (
      out,
      g_dngettext (GETTEXT_PACKAGE,
                   "  Replacing fret %s instead: the others lose at most %s mm and keep at least %s mm\n",
                   "  Replacing frets %s instead: the others lose at most %s mm and keep at least %s mm\n",
                   (gulong) other.n_replaced),
      frets, off, left);
}

void
sl_text_frets (GString *out, const SlAnalysis *a)
{
  const char *decimal = sl_decimal_sign ();
  SlLevelling work;
  double fall_away;
  gboolean planned = sl_planned_levelling (a->plan, a->set != NULL ? a->set->taken : NULL, &fall_away);
  if (!a->measured.crowns_read)
    return;
  sl_level (&a->instrument, &a->measured, a->set, fall_away, &work);
  g_string_append_printf (out, "\n%s\n",
                          planned ? _ ("Levelling to the lowest fret, as planned, mm")
                                  : _ ("Levelling to the lowest fret, which is not in the plan, mm"));
  append_heading (out);
  for (int n = 1; n <= work.n; n++)
    {
      const SlFretWork *f = &work.frets[n];
      g_string_append_printf (out, "  %4d", n);
      append_cell (out, f->before, decimal);
      append_cell (out, f->off < SHOWN_MM ? 0 : f->off, decimal);
      append_cell (out, f->off < SHOWN_MM ? 0 : f->land, decimal);
      append_cell (out, f->left, decimal);
      append_words (out, f, decimal);
      g_string_append_c (out, '\n');
    }
  if (work.n_lost > 0)
    append_alternative (out, a, fall_away, &work, decimal);
}

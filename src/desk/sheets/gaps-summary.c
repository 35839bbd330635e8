/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/gaps-summary.h"

#include "desk/kit/cells.h"
#include "words/results.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

/* Room, in characters of average width. */
#define MARGIN_CHARS 7
#define CLEAN_CHARS 7
#define WORD_CHARS 13

static const char *const word_classes[] = {
  [SL_WORD_NONE] = NULL, [SL_WORD_IN_RANGE] = "sl-good", [SL_WORD_CLOSE] = "sl-close", [SL_WORD_OUT] = "sl-wrong"
};

void
sl_gaps_summary_build (SlGapsSummary *self, int n_strings)
{
  sl_grid_empty (self->grid);
  sl_cell_set (sl_cell_new (self->grid, SL_GAPS_MARGIN, 0, MARGIN_CHARS, 1, "sl-dim"), C_ ("column", "margin"));
  sl_cell_set (sl_cell_new (self->grid, SL_GAPS_WHERE, 0, WORD_CHARS, 0, "sl-dim"), C_ ("column", "held → fret"));
  sl_cell_set (sl_cell_new (self->grid, SL_GAPS_CLEAN, 0, CLEAN_CHARS, 1, "sl-dim"), C_ ("column", "clean 12"));
  for (int s = 1; s <= n_strings; s++)
    {
      const int row = n_strings - s + 1;

      self->cell[s][SL_GAPS_MARGIN] = sl_cell_new (self->grid, SL_GAPS_MARGIN, row, MARGIN_CHARS, 1, NULL);
      self->cell[s][SL_GAPS_WHERE] = sl_cell_new (self->grid, SL_GAPS_WHERE, row, WORD_CHARS, 0, NULL);
      self->cell[s][SL_GAPS_CLEAN] = sl_cell_new (self->grid, SL_GAPS_CLEAN, row, CLEAN_CHARS, 1, NULL);
    }
}

void
sl_gaps_summary_show (SlGapsSummary *self, const SlFigures *figures, const SlTextStyle *style, int string)
{
  static const char *const marks[] = {
    [SL_WORD_NONE] = "", [SL_WORD_IN_RANGE] = "●", [SL_WORD_CLOSE] = "◐", [SL_WORD_OUT] = "○"
  };
  const char *const words[] = {
    [SL_WORD_NONE] = "", [SL_WORD_IN_RANGE] = _ ("clear"), [SL_WORD_CLOSE] = _ ("close"), [SL_WORD_OUT] = _ ("touches")
  };
  const int i = string - 1;
  const SlFigure *margin = &figures->least_margin[i];
  SlWord word = sl_word_at_least (margin, 0);
  g_autofree char *margin_text = sl_text_fine (style, margin->value);
  g_autofree char *marked = g_strdup_printf ("%s %s", marks[word], margin_text);
  g_autofree char *where = NULL, *clean = sl_text_length (style, figures->lowest_clean_action[i].value);
  g_autofree char *u = sl_text_uncertainty (style, margin->u),
                  *clean_u = sl_text_uncertainty (style, figures->lowest_clean_action[i].u);
  g_autofree char *margin_name = NULL, *clean_name = NULL;

  /* Translators: "touches 7 → 8": held at fret 7, over fret 8 */
  where = word == SL_WORD_NONE ? g_strdup ("")
                               : g_strdup_printf (_ ("%s %d → %d"), words[word], figures->least_margin_held[i],
                                                  figures->least_margin_fret[i]);
  sl_cell_set (self->cell[string][SL_GAPS_MARGIN], marked);
  sl_cell_set (self->cell[string][SL_GAPS_WHERE], where);
  sl_cell_set (self->cell[string][SL_GAPS_CLEAN], clean);
  for (int w = SL_WORD_IN_RANGE; w <= SL_WORD_OUT; w++)
    {
      sl_set_class (self->cell[string][SL_GAPS_MARGIN], word_classes[w], w == (int) word);
      sl_set_class (self->cell[string][SL_GAPS_WHERE], word_classes[w], w == (int) word);
    }
  margin_name =
      g_strdup_printf (_ ("String %d: least margin %s %s, %s, held at %d over fret %d"), string, margin_text,
                       u == NULL ? "" : u, words[word], figures->least_margin_held[i], figures->least_margin_fret[i]);
  sl_set_accessible_description (self->cell[string][SL_GAPS_MARGIN], margin_name);
  sl_set_accessible_description (self->cell[string][SL_GAPS_WHERE], margin_name);
  clean_name =
      g_strdup_printf (_ ("String %d: lowest clean action %s %s"), string, clean, clean_u == NULL ? "" : clean_u);
  sl_set_accessible_description (self->cell[string][SL_GAPS_CLEAN], clean_name);
}

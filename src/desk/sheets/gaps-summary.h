/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the sheet of gaps says of each string beside its frets: the least margin, where it is, and the lowest clean
 * action. */
#pragma once

#include <gtk/gtk.h>

#include "words/figures.h"

enum
{
  SL_GAPS_MARGIN,
  SL_GAPS_WHERE,
  SL_GAPS_CLEAN,
  SL_GAPS_N_SUMMARIES
};

typedef struct
{
  GtkWidget *grid;                                          /* borrowed; it owns the cells */
  GtkWidget *cell[SL_MAX_STRINGS + 1][SL_GAPS_N_SUMMARIES]; /* by string, from 1 */
} SlGapsSummary;

/* Makes the cells again, the bass on top. */
void sl_gaps_summary_build (SlGapsSummary *self, int n_strings);

void sl_gaps_summary_show (SlGapsSummary *self, const SlFigures *figures, const SlTextStyle *style, int string);

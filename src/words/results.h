/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the work does, as rows of words and digits: before, after, target, each figure with its U, and a word for how
 * the figure after the work stands to its target. No GTK here. */
#pragma once

#include "words/figures.h"
#include "setup/record/baseline.h"

typedef struct
{
  char *name;                 /* "Action, 6" */
  char *before, *before_more; /* a figure, and beside it its ±; more may be NULL */
  char *after, *after_more;
  char *target;      /* "2.30", "≥ 1.60"; NULL where there is none */
  char *remark;      /* "assumed", "tuner"; NULL for none */
  gboolean assumed;  /* rests on what was not read */
  SlWord word;       /* of the figure after the work */
  char *usual;       /* how the figure before lies to the baseline; NULL where there is none or it gives no normal */
  char *sentence;    /* the whole row for assistive technology */
  const char *field; /* what sets its target, by its attribute in the document; NULL: nothing does */
} SlResult;

/* Rows for the outer strings and for @string (0: none chosen) of what @analysis says, in a GPtrArray of SlResult that
 * owns them. @norms: what is normal by the instrument's baseline, or NULL. */
GPtrArray *sl_results (const SlAnalysis *analysis, int string, const SlNorms *norms, const SlTextStyle *style);

/* What of the figures as planned changed most since they were @before, in one sentence: "Action, string 6: 2.30 mm, in
 * range"; NULL where nothing did. By the tolerance of each; those without one count where no other changed. */
char *sl_change_text (const SlAnalysis *now, const SlFigures *before, const SlTextStyle *style);

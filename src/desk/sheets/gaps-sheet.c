/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/sheets.h"

#include "desk/kit/kit.h"
#include "words/sheet-text.h"

/* The frets shown unless all are asked for or find room, with the last fret and the one next to the held one: where
 * gaps are usually read (common practice). */
static const int key_frets[] = { 1, 3, 5, 7, 9, 12, 15 };

/* The columns before those of the frets, and those after. */
enum
{
  COLUMN_NAME,
  COLUMN_ASSUMED,
  N_BEFORE
};
enum
{
  AFTER_CLEAN,
  AFTER_WHERE,
  AFTER_MARGIN /* stays where the others scroll */
};

typedef struct
{
  SlBench *bench;

  /* bound in this order */
  GtkWidget *sheet, *head, *title, *all_frets, *margins, *planned, *foot, *status, *legend;
  SlFigureTable *table;

  SlClearance clear[SL_MAX_STRINGS + 1][SL_MAX_FRETS + 1]; /* of the state shown, by string and fret from 1 */
  gboolean assumed[SL_MAX_STRINGS + 1][SL_MAX_FRETS + 1];  /* which of them rest on what was not read */
  int n_strings, n_frets;                                  /* of the table as built */
  int held;
  int least_string, least_fret; /* where the least margin of those shown is */
  gboolean any_assumed, any_marked;
} Gaps;

static const SlFigures *
figures_of (Gaps *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);

  return sl_is_on (self->planned) ? &analysis->planned_figures : &analysis->measured_figures;
}

/* The bass is on top. */
static guint
row_of (Gaps *self, int string)
{
  return (guint) (self->n_strings - string);
}

static guint
column_of (int fret)
{
  return (guint) (N_BEFORE + fret - 1);
}

static gboolean
is_assumed (Gaps *self, int string)
{
  const SlFit *fit = &sl_bench_get_analysis (self->bench)->fit;

  return fit->action_assumed[string - 1] || fit->first_gap_assumed[string - 1];
}

/* ---- what a cell says ---- */

static const char *
margin_word (SlWord word)
{
  return word == SL_WORD_IN_RANGE ? _ ("clear")
         : word == SL_WORD_CLOSE  ? _ ("close")
         : word == SL_WORD_OUT    ? _ ("touches")
                                  : "";
}

static char *
margin_sentence (Gaps *self, const SlTextStyle *style, int string)
{
  const SlFigures *figures = figures_of (self);
  const SlFigure *margin = &figures->least_margin[string - 1];
  g_autofree char *text = sl_text_fine (style, margin->value), *u = sl_text_uncertainty (style, margin->u);

  return g_strdup_printf (_ ("String %d: least margin %s %s, %s, held at %d over fret %d"), string, text,
                          u == NULL ? "" : u, margin_word (sl_word_at_least (margin, 0)),
                          figures->least_margin_held[string - 1], figures->least_margin_fret[string - 1]);
}

static char *
clean_sentence (Gaps *self, const SlTextStyle *style, int string)
{
  const SlFigure *clean = &figures_of (self)->lowest_clean_action[string - 1];
  const double force = sl_bench_get_analysis (self->bench)->instrument.pluck_force_n;
  g_autofree char *text = sl_text_fine (style, clean->value), *u = sl_text_uncertainty (style, clean->u),
                  *hand = sl_text_hand (force, style->decimal);

  /* Translators: string, length, "±0.16" or nothing, "by a hand of 1.6 N" */
  return g_strdup_printf (_ ("String %d: lowest clean action %s %s %s"), string, text, u == NULL ? "" : u, hand);
}

static char *
cell_sentence (gpointer owner, guint row, guint column)
{
  Gaps *self = owner;
  const SlTextStyle style = sl_bench_text_style (self->bench);
  const int string = self->n_strings - (int) row, fret = (int) (column - N_BEFORE) + 1;

  if (column < N_BEFORE)
    return is_assumed (self, string)
               ? g_strdup (
                     _ ("Not read: its height at fret 1 or its action is assumed from the other strings or the target"))
               : NULL;
  if (fret > self->n_frets)
    return fret == self->n_frets + 1 + AFTER_CLEAN ? clean_sentence (self, &style, string)
                                                   : margin_sentence (self, &style, string);
  return sl_clearance_sentence (&style, &self->clear[string][fret], string, self->held, fret,
                                fret > self->held && self->assumed[string][fret]);
}

static void
show_status (Gaps *self)
{
  g_autofree char *text = NULL;
  guint row, column;

  if (!sl_figure_table_get_cursor (self->table, &row, &column))
    return;
  text = cell_sentence (self, row, column);
  sl_label_set (self->status, text);
}

/* ---- showing figures ---- */

static void
show_cell (Gaps *self, const SlTextStyle *style, int string, int fret)
{
  const SlClearance *c = &self->clear[string][fret];
  const gboolean margins = sl_is_on (self->margins);
  const gboolean held = fret <= self->held; /* nothing where it is held */
  const SlWord word = held || self->assumed[string][fret] ? SL_WORD_NONE : sl_clearance_word (c);
  const guint row = row_of (self, string), column = column_of (fret);
  g_autofree char *figure =
      held || isnan (c->margin) ? g_strdup ("–") : sl_text_fine (style, margins ? c->margin : c->gap);

  self->any_marked = self->any_marked || word == SL_WORD_OUT || word == SL_WORD_CLOSE;
  sl_figure_table_set (self->table, row, column, figure);
  sl_figure_table_set_class (self->table, row, column, "sl-key-fret", fret == SL_OCTAVE_FRET);
  sl_figure_table_set_class (self->table, row, column, "sl-wrong", word == SL_WORD_OUT);
  /* patterns, so that the map is read without colour */
  sl_figure_table_set_class (self->table, row, column, "sl-touches", word == SL_WORD_OUT);
  sl_figure_table_set_class (self->table, row, column, "sl-near", word == SL_WORD_CLOSE);
  sl_figure_table_set_class (self->table, row, column, "sl-least",
                             margins && string == self->least_string && fret == self->least_fret);
}

/* The least margin, where it is, and the lowest clean action. */
static void
show_summary (Gaps *self, const SlTextStyle *style, int string)
{
  const SlFigures *figures = figures_of (self);
  const int i = string - 1;
  const guint row = row_of (self, string), first = column_of (self->n_frets + 1);
  const SlWord word = sl_word_at_least (&figures->least_margin[i], 0);
  g_autofree char *margin = sl_text_fine (style, figures->least_margin[i].value);

  sl_figure_table_take (self->table, row, first + AFTER_MARGIN, g_strdup_printf ("%s %s", sl_word_mark (word), margin));
  sl_figure_table_take (self->table, row, first + AFTER_WHERE,
                        word == SL_WORD_NONE
                            ? NULL
                            : g_strdup_printf ("%s%d → %d", sl_number_mark (), figures->least_margin_held[i],
                                               figures->least_margin_fret[i]));
  sl_figure_table_take (self->table, row, first + AFTER_CLEAN,
                        sl_text_fine (style, figures->lowest_clean_action[i].value));
  sl_figure_table_set_word (self->table, row, first + AFTER_MARGIN, word);
  sl_figure_table_set_word (self->table, row, first + AFTER_WHERE, word);
}

static void
compute (Gaps *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlFigures *figures = figures_of (self);
  const SlState *state = figures == &analysis->planned_figures ? &analysis->planned : &analysis->measured;
  double least = INFINITY;

  self->held = sl_bench_get_held (self->bench);
  self->least_string = self->least_fret = 0; /* none where no margin is known */
  for (int string = 1; string <= self->n_strings; string++)
    {
      SlStringState s;

      sl_state_string (&analysis->instrument, state, string, &s);
      for (int n = self->held + 1; n <= self->n_frets; n++)
        {
          SlClearance *c = &self->clear[string][n];

          sl_clearance (&s, figures->tension[string - 1].value, self->held, n, c);
          self->assumed[string][n] = sl_gap_basis (&analysis->fit, &s, self->held, n) == SL_BASIS_ASSUMED;
          if (!(c->margin < least)) /* nor one that is not known */
            continue;
          least = c->margin;
          self->least_string = string;
          self->least_fret = n;
        }
    }
}

static void
show_title (Gaps *self)
{
  g_autofree char *title = self->held == 0 ? g_strdup (C_ ("string held at no fret", "open"))
                                           : g_strdup_printf (_ ("held at %d"), self->held),
                  *legend = g_strconcat (self->any_assumed ? _ ("≈ assumed") : "",
                                         self->any_assumed && self->any_marked ? " · " : "",
                                         self->any_marked ? _ ("Hatched touches, dotted is close") : "", NULL);

  sl_label_set (self->title, title);
  sl_label_set (self->legend, legend);
}

/* A string whose gaps rest on what was assumed has a mark beside its name, which the title explains. */
static void
show_names (Gaps *self)
{
  self->any_assumed = FALSE;
  for (int s = 1; s <= self->n_strings; s++)
    {
      const gboolean assumed = is_assumed (self, s);

      sl_figure_table_take (self->table, row_of (self, s), COLUMN_NAME,
                            sl_text_string_course (sl_bench_get_profile (self->bench), s));
      sl_figure_table_set_class (self->table, row_of (self, s), COLUMN_NAME, "sl-dim", assumed);
      sl_figure_table_set (self->table, row_of (self, s), COLUMN_ASSUMED, assumed ? "≈" : "");
      sl_figure_table_set_row_class (self->table, row_of (self, s), "sl-chosen",
                                     s == sl_bench_get_string (self->bench));
      self->any_assumed = self->any_assumed || assumed;
    }
  sl_figure_table_show_column (self->table, COLUMN_ASSUMED, self->any_assumed);
}

/* All where the sheet is larger, which then does not ask. */
static gboolean
fret_is_shown (Gaps *self, int fret)
{
  for (int s = 1; s <= self->n_strings && fret > self->held; s++)
    if (sl_clearance_word (&self->clear[s][fret]) == SL_WORD_OUT && !self->assumed[s][fret])
      return TRUE;
  if (!gtk_widget_get_visible (self->all_frets) || sl_is_on (self->all_frets) || fret == self->n_frets ||
      fret == self->held + 1 || (sl_is_on (self->margins) && fret == self->least_fret))
    return TRUE;
  for (guint i = 0; i < G_N_ELEMENTS (key_frets); i++)
    if (fret == key_frets[i])
      return TRUE;
  return FALSE;
}

/* Made when the sheet is first looked at, and anew where the number of strings or frets changes. */
static void
build_table (Gaps *self)
{
  const SlInstrument *in = &sl_bench_get_analysis (self->bench)->instrument;

  self->n_strings = in->n_strings;
  self->n_frets = in->frets;
  sl_figure_table_cut_columns (self->table, N_BEFORE);
  sl_figure_table_add_frets (self->table, self->n_frets, 0, SL_COLUMN_WIDE | SL_COLUMN_SNUG);
  sl_figure_table_set_rows (self->table, (guint) self->n_strings);
  if (self->n_frets < 1)
    return;
  sl_figure_table_set_class (self->table, SL_TABLE_HEAD, column_of (MIN (SL_OCTAVE_FRET, self->n_frets)), "sl-figure",
                             TRUE);
}

static void
update (Gaps *self)
{
  const SlInstrument *in = &sl_bench_get_analysis (self->bench)->instrument;
  const SlTextStyle style = sl_bench_text_style (self->bench);
  guint row, column;

  if (self->n_strings != in->n_strings || self->n_frets != in->frets)
    build_table (self);
  compute (self);
  show_names (self);
  self->any_marked = FALSE;
  gtk_widget_set_visible (self->all_frets, !gtk_widget_has_css_class (self->sheet, "sl-larger"));
  for (int n = 1; n <= self->n_frets; n++)
    {
      sl_figure_table_set_spare (self->table, column_of (n), !fret_is_shown (self, n));
      for (int s = 1; s <= self->n_strings; s++)
        show_cell (self, &style, s, n);
    }
  for (int s = 1; s <= self->n_strings; s++)
    show_summary (self, &style, s);
  if (self->n_strings > 0 && !sl_figure_table_get_cursor (self->table, &row, &column))
    {
      const gboolean touches = sl_clearance_word (&self->clear[self->least_string][self->least_fret]) == SL_WORD_OUT;

      /* this column is in sight where not all are */
      sl_figure_table_set_cursor (self->table, row_of (self, touches ? self->least_string : self->n_strings),
                                  column_of (touches ? self->least_fret : MIN (SL_OCTAVE_FRET, self->n_frets)));
    }
  show_title (self);
  show_status (self);
}

static void
on_row (Gaps *self, guint row)
{
  sl_bench_set_string (self->bench, self->n_strings - (int) row);
}

/* ---- building ---- */

GtkWidget *
sl_gaps_sheet_new (SlBench *bench)
{
  Gaps *self = sl_part_new (bench, SL_PART (Gaps, sheet, table), g_free, "gaps",
                            "sheet head title all_frets margins planned foot status legend table",
                            SL_CALL (sl_update_seen), SL_CALL (show_status), SL_CALL (on_row), NULL);

  sl_follow_while_seen (self->sheet, bench,
                        SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS | SL_CHANGED_STRING | SL_CHANGED_HELD,
                        G_CALLBACK (update), self);
  g_signal_connect_swapped (self->sheet, "notify::css-classes", G_CALLBACK (sl_update_seen), self->sheet);
  sl_flow (self->head, SL_SPACE_WIDE);
  sl_flow (self->foot, SL_SPACE_PART);
  gtk_box_insert_child_after (GTK_BOX (self->head), sl_hand_button_new (bench), self->title);
  sl_figure_table_set_sentences (self->table, cell_sentence, self);
  return self->sheet;
}

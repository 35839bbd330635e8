/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The gaps sheet: a map of what a plucked string leaves over each crown, string by fret, and below it the least of it
 * for every fret the string can be held at. Cells show their figure and, by pattern, what it means: hatched where the
 * string touches, dotted where it is close; the least one has a frame. */
#include "draw/sheets/sheet.h"

#include "words/sheet-text.h"

#define HATCH_SPACING 4.0
#define DOT_SPACING 5.0
#define DOT_RADIUS 0.9
#define PLATE_MARGIN 1.5 /* of paper round a figure on a pattern */
#define ASSUMED_MARK "≈"
#define SWATCH 13.0
#define MOST_ROW 30.0
#define LEAST_LINE (SL_LINE_THICK / 0.75) /* of the frame round the least cell */

typedef struct
{
  SlClearance of;
  gboolean known, assumed; /* assumed: rests on what was not read, and gets no word */
} Cell;

typedef struct
{
  SlSheet sheet;
  const SlState *state;
  const SlFigures *figures;
  int held;
  double names; /* width of the column of string names */
  double row;   /* height of a row of cells */
  double y;     /* where the next thing goes */
  Cell cells[SL_MAX_STRINGS][SL_MAX_FRETS + 1];
} Map;

static SlWord
word_of (const Cell *cell)
{
  return !cell->known || cell->assumed ? SL_WORD_NONE : sl_clearance_word (&cell->of);
}

/* ---- patterns ---- */

static void
dot (SlScene *scene, SlRect r)
{
  int row = 0;

  for (double y = r.y + DOT_SPACING / 2; y < r.y + r.height - DOT_RADIUS; y += DOT_SPACING, row++)
    for (double x = r.x + (row % 2 ? DOT_SPACING : DOT_SPACING / 2); x < r.x + r.width - DOT_RADIUS; x += DOT_SPACING)
      sl_circle (scene->cr, x, y, DOT_RADIUS);
  sl_fill (scene->cr, scene->palette, SL_INK_THIN);
}

static void
fill_pattern (SlScene *scene, SlWord word, SlRect r)
{
  if (word == SL_WORD_OUT)
    sl_hatch_rectangle (scene, SL_INK_CUT, r.x, r.y, r.width, r.height, HATCH_SPACING);
  else if (word == SL_WORD_CLOSE)
    dot (scene, r);
}

static void
frame (SlScene *scene, SlInk ink, double width, SlRect r)
{
  cairo_rectangle (scene->cr, r.x, r.y, r.width, r.height);
  sl_stroke (scene->cr, scene->palette, ink, width);
}

/* ---- cells ---- */

/* A figure on a plate of paper; left out where the cell is too narrow for it. */
static void
draw_figure (const Map *m, const Cell *cell, SlRect r, gboolean least)
{
  SlScene *scene = m->sheet.scene;
  SlWording wording = { .n = 0 };
  SlWord word = word_of (cell);
  double width, height = sl_scene_text_height (scene);

  sl_wording_add (&wording, word == SL_WORD_OUT ? SL_INK_CUT : SL_INK_TEXT, least, TRUE,
                  sl_sheet_length (&m->sheet, cell->of.margin));
  width = sl_wording_size (scene, &wording).width;
  if (width + 2 * PLATE_MARGIN > r.width - 1 || height > r.height)
    return;
  if (word == SL_WORD_OUT || word == SL_WORD_CLOSE)
    {
      cairo_rectangle (scene->cr, r.x + (r.width - width) / 2 - PLATE_MARGIN, r.y + (r.height - height) / 2,
                       width + 2 * PLATE_MARGIN, height);
      sl_fill (scene->cr, scene->palette, SL_INK_PAPER);
    }
  sl_scene_fixed (scene, &wording, r.x + r.width / 2, r.y + (r.height - height) / 2, 0.5);
}

static SlRect
cell_rect (const Map *m, int from, int to, int string, int column, double top)
{
  const SlRect stage = m->sheet.scene->stage;
  double width = (stage.width - m->names) / (to - from + 1);

  return (SlRect){ stage.x + m->names + (column - from) * width, top + (m->sheet.in->n_strings - string) * m->row,
                   width, m->row };
}

/* The least of all cells, where any is known. */
static void
find_least (const Map *m, int from, int to, int *string, int *column)
{
  double least = INFINITY;

  for (int s = 1; s <= m->sheet.in->n_strings; s++)
    for (int c = from; c <= to; c++)
      if (m->cells[s - 1][c].known && m->cells[s - 1][c].of.margin < least)
        {
          least = m->cells[s - 1][c].of.margin;
          *string = s;
          *column = c;
        }
}

/* A string whose gaps rest on what was not read has a mark beside its name. */
static gboolean
is_assumed (const Map *m, int string)
{
  const SlFit *fit = &m->sheet.scene->analysis->fit;

  return fit->action_assumed[string - 1] || fit->first_gap_assumed[string - 1];
}

static gboolean
any_assumed (const Map *m)
{
  const SlFit *fit = &m->sheet.scene->analysis->fit;
  const int n = m->sheet.in->n_strings;

  return sl_any_assumed (fit->action_assumed, n) || sl_any_assumed (fit->first_gap_assumed, n);
}

static void
draw_names (const Map *m, double top)
{
  const double x = m->sheet.scene->stage.x;

  for (int s = 1; s <= m->sheet.in->n_strings; s++)
    {
      const double middle = cell_rect (m, 0, 0, s, 0, top).y + m->row / 2;

      sl_sheet_name (&m->sheet, s, TRUE, x, middle, 0);
      if (is_assumed (m, s))
        sl_scene_text (m->sheet.scene, SL_INK_QUIET, FALSE, TRUE, ASSUMED_MARK, x + m->names - SL_SPACE / 2,
                       middle - m->sheet.half, 1);
    }
}

static void
draw_numbers (const Map *m, int from, int to, double y)
{
  for (int c = from; c <= to; c++)
    {
      SlRect r = cell_rect (m, from, to, 1, c, 0);

      sl_scene_text (m->sheet.scene, SL_INK_QUIET, FALSE, TRUE,
                     c == 0 ? C_ ("string held at no fret", "open") : sl_print (m->sheet.scene, "%d", c),
                     r.x + r.width / 2, y, 0.5);
    }
}

/* Heading, numbers, cells. */
static void
draw_map (Map *m, const char *heading, const char *remark, int from, int to)
{
  SlScene *scene = m->sheet.scene;
  const SlRect stage = scene->stage;
  int least_string = 0, least_column = 0;
  double top;

  m->y += sl_sheet_heading (&m->sheet, (SlRect){ stage.x, m->y, stage.width, stage.height }, heading, remark);
  draw_numbers (m, from, to, m->y);
  top = m->y + m->sheet.row;
  draw_names (m, top);
  find_least (m, from, to, &least_string, &least_column);
  for (int s = 1; s <= m->sheet.in->n_strings; s++)
    for (int c = from; c <= to; c++)
      {
        const Cell *cell = &m->cells[s - 1][c];
        SlRect r = cell_rect (m, from, to, s, c, top);

        fill_pattern (scene, word_of (cell), r);
        frame (scene, SL_INK_PANEL_EDGE, SL_LINE_THIN, r);
        if (cell->known)
          draw_figure (m, cell, r, s == least_string && c == least_column);
      }
  if (least_string > 0)
    {
      SlRect r = cell_rect (m, from, to, least_string, least_column, top);

      frame (scene, SL_INK_TEXT, LEAST_LINE, (SlRect){ r.x + 1, r.y + 1, r.width - 2, r.height - 2 });
    }
  m->y = top + m->sheet.in->n_strings * m->row;
}

/* ---- the two maps ---- */

/* Every cell of a map: the margin over a fret, the string held where the sheet has it; or the least of them over all
 * frets, the string held at the cell's own. */
static void
fill (Map *m, gboolean over)
{
  const SlInstrument *in = m->sheet.in;

  memset (m->cells, 0, sizeof m->cells);
  const SlFit *fit = &m->sheet.scene->analysis->fit;

  for (int string = 1; string <= in->n_strings; string++)
    {
      SlStringState s;

      sl_state_string (in, m->state, string, &s);
      for (int held = over ? m->held : 0; held <= (over ? m->held : in->frets - 1); held++)
        for (int n = held + 1; n <= in->frets; n++)
          {
            Cell *cell = &m->cells[string - 1][over ? n : held];
            SlClearance c;

            sl_clearance (&s, m->figures->tension[string - 1].value, held, n, &c);
            if (isfinite (c.margin) && (!cell->known || c.margin < cell->of.margin))
              *cell = (Cell){ c, TRUE, sl_gap_basis (fit, &s, held, n) == SL_BASIS_ASSUMED };
          }
    }
}

/* "least 0.05 mm: string 6, held at 2, over fret 3" of all strings, wherever they are held. */
static const char *
least_text (const Map *m)
{
  const SlScene *scene = m->sheet.scene;
  const int string = sl_least_margin_string (m->figures, m->sheet.in->n_strings), i = MAX (0, string - 1),
            held = m->figures->least_margin_held[i], fret = m->figures->least_margin_fret[i];
  const char *margin = sl_say (scene, SL_SAY_LENGTH, m->figures->least_margin[i].value);

  return string == 0 ? ""
         : held == 0
             ? sl_print (scene, _ ("least of all %s: string %d, open, over fret %d"), margin, string, fret)
             : sl_print (scene, _ ("least of all %s: string %d, held at %d, over fret %d"), margin, string, held, fret);
}

/* One swatch with its word; returns where the next begins. */
static double
legend_word (const Map *m, SlWord word, const char *text, double x)
{
  SlScene *scene = m->sheet.scene;
  SlRect r = { x, m->y, SWATCH, SWATCH };
  double next = sl_sheet_legend (&m->sheet, SWATCH + 5, text, x, m->y);

  if (next == x)
    return x;
  fill_pattern (scene, word, r);
  frame (scene, word == SL_WORD_NONE ? SL_INK_TEXT : SL_INK_PANEL_EDGE,
         word == SL_WORD_NONE ? LEAST_LINE : SL_LINE_THIN, r);
  return next;
}

static void
draw_legend (Map *m)
{
  double x = m->sheet.scene->stage.x;

  m->y += 5;
  x = legend_word (m, SL_WORD_OUT, _ ("touches"), x);
  x = legend_word (m, SL_WORD_CLOSE, _ ("close: touches by less than its uncertainty"), x);
  x = legend_word (m, SL_WORD_IN_RANGE, _ ("clear"), x);
  legend_word (m, SL_WORD_NONE, least_text (m), x);
  m->y += SWATCH;
}

static const char *
pluck_text (const Map *m)
{
  const SlScene *scene = m->sheet.scene;
  /* Translators: the pluck that margins are worked out for: a force in newtons, a length from the saddle */
  const char *pluck = sl_print (scene, _ ("plucked with %s N, %s from the saddle"),
                                sl_sheet_number (&m->sheet, m->sheet.in->pluck_force_n, 1),
                                sl_say (scene, SL_SAY_COARSE, m->sheet.in->pluck_distance));

  return any_assumed (m) ? sl_print (scene, _ ("%s · ≈ assumed"), pluck) : pluck;
}

void
sl_gaps_draw (SlScene *scene)
{
  const SlAnalysis *a = scene->analysis;
  const SlRect stage = scene->stage;
  const gboolean planned = a->has_plan && !scene->options->measured;
  const char *state = planned ? _ ("as planned") : _ ("as measured");
  g_autofree Map *m = g_new0 (Map, 1);
  const char *over;
  double fixed, room;
  gboolean both;

  sl_sheet_init (&m->sheet, scene);
  m->state = planned ? &a->planned : &a->measured;
  m->figures = planned ? &a->planned_figures : &a->measured_figures;
  m->held = CLAMP (scene->options->held, 0, m->sheet.in->frets - 1);
  m->names = sl_sheet_names_width (&m->sheet, TRUE) + SL_SPACE;
  if (any_assumed (m))
    m->names += SL_SPACE / 2 + sl_sheet_width (&m->sheet, FALSE, TRUE, ASSUMED_MARK);
  m->y = stage.y;
  fixed = 2 * m->sheet.row + 6;
  room = stage.height - SWATCH - 5;
  both = room >= 2 * (fixed + m->sheet.in->n_strings * m->sheet.row) + SL_SPACE_WIDE;
  m->row = MIN (MOST_ROW, both ? ((room - SL_SPACE_WIDE) / 2 - fixed) / m->sheet.in->n_strings
                               : (room - fixed) / m->sheet.in->n_strings);
  if (m->row <= 0)
    return;
  over = m->held == 0 ? sl_print (scene, _ ("Margin over each fret, open, %s"), state)
                      : sl_print (scene, _ ("Margin over each fret, held at %d, %s"), m->held, state);
  fill (m, TRUE);
  draw_map (m, over, pluck_text (m), m->held + 1, m->sheet.in->frets);
  if (both)
    {
      m->y += SL_SPACE_WIDE;
      fill (m, FALSE);
      draw_map (m, sl_print (scene, _ ("Least margin for each fret held, %s"), state), NULL, 0, m->sheet.in->frets - 1);
    }
  draw_legend (m);
}

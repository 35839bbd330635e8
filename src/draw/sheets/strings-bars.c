/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Tension and down forces as bars, one row a string, the other set below the present one; the core's stress with its
 * mark; what else the strings are worth as figures; totals; what a change of strings means. */
#include "draw/sheets/sheet.h"

#include <stddef.h>

#include "setup/physics/forces.h"

#define PERCENT 100.0
#define BAR_SHARE 0.62 /* of a row's height */
#define BAR_MOST 26.0
#define ROW_MOST 66.0
#define VALUE_GAP SL_SPACE   /* between a bar's end and its value */
#define BARS_LEAST_SHARE 0.5 /* of the width, before figures get columns of their own */
#define MARK_OVER 2.0        /* what a stress mark stands out over its bar */

typedef enum
{
  COLUMN_STRESS,
  COLUMN_SIDE_GIVE,
  COLUMN_SETBACK,
  COLUMN_MARGIN,
  N_COLUMNS
} Column;

/* What is shown of every string, and its title: whole, and where there is little room. */
typedef struct
{
  gsize value; /* in an SlStringWorth */
  const char *titles[2];
} Shown;

static const Shown columns[N_COLUMNS] = {
  { offsetof (SlStringWorth, stress_share), { N_ (/* xgettext:no-c-format */ "core, % of strength"), N_ ("core %") } },
  { offsetof (SlStringWorth, side_give), { N_ ("side give, N/mm at 12"), N_ ("N/mm") } },
  { offsetof (SlStringWorth, setback_needed), { N_ ("compensation needed"), N_ ("compensation") } },
  { offsetof (SlStringWorth, least_margin), { N_ ("least margin"), N_ ("margin") } },
};

#define N_BARS 3
static const Shown bars[N_BARS] = {
  { offsetof (SlStringWorth, tension), { N_ ("tension, N"), N_ ("N") } },
  { offsetof (SlStringWorth, nut_force), { N_ ("on the nut, N"), N_ ("nut, N") } },
  { offsetof (SlStringWorth, saddle_force), { N_ ("down on the top, N"), N_ ("top, N") } },
};
static const gsize bar_totals[N_BARS] = { offsetof (SlSetWorth, tension_total), offsetof (SlSetWorth, nut_force_total),
                                          offsetof (SlSetWorth, saddle_force_total) };
static const double bar_weights[N_BARS] = { 1.5, 1, 1 };

typedef struct
{
  const SlStrings *s;
  const SlSetWorth *sets[2]; /* on the instrument; the other, NULL: none */
  SlRect part;
  double name_width;
  double top, row;                                        /* of the first string's row */
  double bar_x[N_BARS], bar_width[N_BARS], units[N_BARS]; /* units per N */
  double value_width;                                     /* room for the values beside a bar */
  double column_x[N_COLUMNS], column_width;               /* right edges */
  int first_column, n_columns; /* first: the core's stress is left out where no core is of music wire */
} Bars;

/* NAN where there is no such set. */
static double
value_of (const SlSetWorth *set, int i, gsize offset)
{
  return set != NULL ? G_STRUCT_MEMBER (double, &set->strings[i], offset) : NAN;
}

/* "72", with the other set's value after it, both "≈ 72" where they are assumed: the runs of one text. */
static void
add_values (const Bars *b, SlWording *wording, gboolean bold, gboolean assumed, double present, double other,
            int places, const char *unit)
{
  const char *now = isfinite (present) ? sl_sheet_number (&b->s->sheet, present, places) : "–",
             *then = isfinite (other) ? sl_sheet_number (&b->s->sheet, other, places) : "–";

  sl_wording_printf (wording, bold ? SL_INK_PLANNED : SL_INK_TEXT, bold, !bold, "%s%s%s", assumed ? "≈ " : "", now,
                     b->sets[1] == NULL ? unit : "");
  if (b->sets[1] != NULL)
    /* Translators: between the present strings' value and the other strings': "72 | 80 N" */
    sl_wording_printf (wording, SL_INK_QUIET, FALSE, TRUE, _ (" | %s%s"), then, unit);
}

static double
widest (const Bars *b, int places, double value, gboolean bold)
{
  SlWording wording = { .n = 0 };

  add_values (b, &wording, bold, FALSE, value, value, places, "");
  return sl_wording_size (b->s->sheet.scene, &wording).width;
}

static double
most_of (const Bars *b, int bar)
{
  double most = 0;

  for (int k = 0; k < 2; k++)
    for (int i = 0; i < b->sets[0]->n_strings; i++)
      most = fmax (most, value_of (b->sets[k], i, bars[bar].value));
  return most;
}

static gboolean
has_stress (const Bars *b)
{
  for (int k = 0; k < 2; k++)
    for (int i = 0; i < b->sets[0]->n_strings; i++)
      if (isfinite (value_of (b->sets[k], i, columns[COLUMN_STRESS].value)))
        return TRUE;
  return FALSE;
}

static void
lay_out (Bars *b)
{
  const SlSheet *sheet = &b->s->sheet;
  double room, forces = 0, weights = 0, given = 0;

  b->name_width = sl_sheet_names_width (sheet, FALSE) + SL_SPACE_WIDE;
  b->column_width = widest (b, 2, -10.55, FALSE) + SL_SPACE_WIDE;
  b->value_width = widest (b, 0, 188, TRUE) + VALUE_GAP + SL_SPACE_WIDE;
  room = b->part.width - b->name_width;
  b->first_column = has_stress (b) ? COLUMN_STRESS : COLUMN_STRESS + 1;
  for (b->n_columns = N_COLUMNS - b->first_column; b->n_columns > 1; b->n_columns--)
    if (room - b->n_columns * b->column_width >= BARS_LEAST_SHARE * b->part.width &&
        room - b->n_columns * b->column_width >= N_BARS * (b->value_width + 40))
      break;
  for (int i = 0; i < b->n_columns; i++)
    b->column_x[b->first_column + i] = b->part.x + b->part.width - (b->n_columns - 1 - i) * b->column_width;
  room -= b->n_columns * b->column_width;
  for (int i = 0; i < N_BARS; i++)
    {
      given += most_of (b, i) > 0 ? bar_weights[i] : 0;
      weights += bar_weights[i];
    }
  weights = given > 0 ? given : weights;
  forces = MAX (most_of (b, 1), most_of (b, 2));
  for (int i = 0, x = 0; i < N_BARS; i++)
    {
      double most = i == 0 ? most_of (b, 0) : forces, share = most_of (b, i) > 0 ? bar_weights[i] / weights : 0;

      b->bar_x[i] = b->part.x + b->name_width + x;
      b->bar_width[i] = room * share;
      x += (int) b->bar_width[i];
      b->units[i] = most > 0 ? MAX (0, b->bar_width[i] - b->value_width) / most : 0;
    }
}

/* The tension at which the core reaches the warning's share of its strength. Returns the mark's place, 0 where it lies
 * past the scale. */
static double
draw_stress_mark (const Bars *b, const SlStringWorth *worth, double y, double height)
{
  double x = b->bar_x[0] + worth->tension / worth->stress_share * SL_STRESS_WARNING * b->units[0];

  if (!isfinite (x) || x > b->bar_x[0] + b->bar_width[0] - b->value_width + 1)
    return 0;
  sl_stroke_line (b->s->sheet.scene, SL_INK_CUT, SL_LINE_THICK, SL_DASH_NONE, x, y - MARK_OVER, x,
                  y + height + MARK_OVER);
  return x;
}

static void
draw_bars_of (const Bars *b, int i, double y)
{
  const gboolean two = b->sets[1] != NULL;
  const double height = MIN (BAR_MOST, b->row * BAR_SHARE), each = two ? height / 2 : height;

  y += (b->row - height) / 2;
  for (int k = 0; k < N_BARS; k++)
    {
      SlWording wording = { .n = 0 };
      double values[2], end = b->bar_x[k];

      if (!(b->units[k] > 0))
        continue;
      for (int set = 0; set <= two; set++)
        {
          values[set] = value_of (b->sets[set], i, bars[k].value);
          sl_strings_fill (b->s, set, b->bar_x[k], y + set * each, values[set] * b->units[k],
                           each - (two && set == 0 ? 1 : 0));
          end = fmax (end, b->bar_x[k] + values[set] * b->units[k]);
        }
      for (int set = 0; k == 0 && set <= two; set++)
        end = MAX (end,
                   draw_stress_mark (b, &b->sets[set]->strings[i], y + set * each, each - (two && set == 0 ? 1 : 0)));
      add_values (b, &wording, TRUE, FALSE, values[0], two ? values[1] : NAN, 0, "");
      sl_scene_fixed (b->s->sheet.scene, &wording, end + VALUE_GAP, y + height / 2 - b->s->sheet.half, 0);
    }
}

static void
add_stress (SlWording *wording, double share, gboolean other, const char *decimal)
{
  g_autofree char *percent = isfinite (share) ? sl_stress_percent (share, decimal) : g_strdup ("–");
  const gboolean high = share > SL_STRESS_WARNING;

  if (other)
    sl_wording_add (wording, SL_INK_QUIET, FALSE, TRUE, " | ");
  /* Translators: a share of a core's strength that is too high: "! 71 %" */
  sl_wording_printf (wording,
                     high    ? SL_INK_CUT
                     : other ? SL_INK_QUIET
                             : SL_INK_TEXT,
                     high, TRUE,
                     high               ? _ ("! %s %%")
                     : isfinite (share) ? _ ("%s %%")
                                        : "%s",
                     percent);
}

/* What a column says of a string rests on heights that were not read. */
static gboolean
is_assumed (const Bars *b, int column, int i)
{
  const SlFigures *f = b->s->sheet.scene->after_figures;

  return (column == COLUMN_SETBACK && f->setback_needed[i].basis == SL_BASIS_ASSUMED) ||
         (column == COLUMN_MARGIN && f->least_margin[i].basis == SL_BASIS_ASSUMED);
}

static void
draw_columns_of (const Bars *b, int i, double y)
{
  SlScene *scene = b->s->sheet.scene;
  const SlPictureOptions *o = scene->options;

  y += b->row / 2 - b->s->sheet.half + 1;
  for (int k = b->first_column; k < b->first_column + b->n_columns; k++)
    {
      SlWording wording = { .n = 0 };
      gboolean length = k == COLUMN_SETBACK || k == COLUMN_MARGIN;
      double mm = length && o->lengths != SL_LENGTHS_MM ? SL_MM_PER_INCH : 1;
      double a = value_of (b->sets[0], i, columns[k].value) / mm, c = value_of (b->sets[1], i, columns[k].value) / mm;

      if (k == COLUMN_STRESS)
        {
          add_stress (&wording, a, FALSE, o->decimal);
          if (b->sets[1] != NULL)
            add_stress (&wording, c, TRUE, o->decimal);
        }
      else
        add_values (b, &wording, FALSE, is_assumed (b, k, i), a, c, mm > 1 ? 3 : 2, "");
      sl_scene_fixed (scene, &wording, b->column_x[k], y, 1);
    }
}

static void
draw_title (const Bars *b, const Shown *shown, double width, double x, double y, double align)
{
  /* the break over the saddle stands and falls with the exposure */
  const gboolean assumed =
      shown->value == offsetof (SlStringWorth, saddle_force) && !b->s->sheet.scene->before_state->exposure_read;
  SlScene *scene = b->s->sheet.scene;
  const char *const texts[] = { sl_print (scene, "%s%s", assumed ? "≈ " : "", _ (shown->titles[0])),
                                sl_print (scene, "%s%s", assumed ? "≈ " : "", _ (shown->titles[1])) };

  sl_scene_text (scene, SL_INK_QUIET, FALSE, TRUE, sl_sheet_fitting (&b->s->sheet, texts, 2, FALSE, TRUE, width), x, y,
                 align);
}

static void
draw_titles (const Bars *b, double y)
{
  for (int k = 0; k < N_BARS; k++)
    if (b->units[k] > 0)
      draw_title (b, &bars[k], b->bar_width[k] - SL_SPACE_WIDE, b->bar_x[k], y, 0);
  for (int k = b->first_column; k < b->first_column + b->n_columns; k++)
    draw_title (b, &columns[k], b->column_width - VALUE_GAP, b->column_x[k], y, 1);
}

static void
draw_totals (const Bars *b, double y)
{
  const SlSheet *sheet = &b->s->sheet;

  sl_stroke_line (sheet->scene, SL_INK_THIN, SL_LINE_THIN, SL_DASH_NONE, b->part.x, y, b->part.x + b->part.width, y);
  sl_scene_text (sheet->scene, SL_INK_TEXT, TRUE, FALSE, _ ("in all"), b->part.x, y + 4, 0);
  for (int k = 0; k < N_BARS; k++)
    {
      SlWording wording = { .n = 0 };

      if (!(b->units[k] > 0))
        continue;
      add_values (b, &wording, TRUE, FALSE, G_STRUCT_MEMBER (double, b->sets[0], bar_totals[k]),
                  b->sets[1] != NULL ? G_STRUCT_MEMBER (double, b->sets[1], bar_totals[k]) : NAN, 0, _ (" N"));
      sl_scene_fixed (sheet->scene, &wording, b->bar_x[k], y + 4, 0);
    }
}

/* All strings of a set whose core carries too much, in one sentence; NULL where none does. */
static const char *
warnings_text (const SlSheet *sheet, const SlSetWorth *set, const char *name)
{
  g_autoptr (GString) list = g_string_new (NULL);
  const char *limit = sl_sheet_number (sheet, PERCENT * SL_STRESS_WARNING, 0);

  for (int i = 0; i < set->n_strings; i++)
    if (set->strings[i].stress_share > SL_STRESS_WARNING)
      {
        g_autofree char *percent = sl_stress_percent (set->strings[i].stress_share, sheet->scene->options->decimal);

        g_string_append_printf (list, _ ("%s%d (%s %%)"), list->len > 0 ? ", " : "", i + 1, percent);
      }
  if (list->len == 0)
    return NULL;
  if (name == NULL)
    /* Translators: percent, then string numbers with percent: "6 (72 %), 8 (66 %)" */
    return sl_print (sheet->scene, _ ("Core over %s %% of its least strength (ASTM A228) on string %s."), limit,
                     list->str);
  /* Translators: name of a set, percent, string numbers with percent */
  return sl_print (sheet->scene, _ ("%s: core over %s %% of its least strength (ASTM A228) on string %s."), name, limit,
                   list->str);
}

static void
draw_sentences (const Bars *b, double y, int lines)
{
  const SlSheet *sheet = &b->s->sheet;
  const SlPictureOptions *o = sheet->scene->options;
  g_autofree char *change =
      b->s->comparison != NULL ? sl_comparison_sentence (b->s->comparison, o->lengths, o->decimal) : NULL;
  const char *mark =
      sl_print (sheet->scene, _ ("Upright mark: where the core carries %s %% of its least strength (ASTM A228)."),
                sl_sheet_number (sheet, PERCENT * SL_STRESS_WARNING, 0));
  const SlParagraph paragraphs[] = {
    { change, SL_INK_TEXT, TRUE },
    { warnings_text (sheet, &b->s->present, NULL), SL_INK_CUT, FALSE },
    { b->s->other != NULL ? warnings_text (sheet, b->s->other, b->s->other_name) : NULL, SL_INK_CUT, FALSE },
    { b->first_column == COLUMN_STRESS ? mark : NULL, SL_INK_QUIET, FALSE },
  };

  sl_sheet_paragraphs (sheet, paragraphs, G_N_ELEMENTS (paragraphs), b->part, y, lines);
}

void
sl_strings_draw_bars (const SlStrings *s, SlRect part)
{
  const SlSheet *sheet = &s->sheet;
  Bars b = { .s = s, .sets = { &s->present, s->other }, .part = part };
  const int n = s->present.n_strings;
  const char *remark = s->other != NULL
                           ? sl_print (sheet->scene, _ ("solid: on the instrument now · hatched: %s"), s->other_name)
                           : NULL;
  double top = part.y + sl_sheet_heading (sheet, part, _ ("Strings"), remark), bottom = part.y + part.height;
  const int most_lines = s->other != NULL ? 5 : 2;

  lay_out (&b);
  draw_titles (&b, top);
  b.top = top + sheet->row;
  /* sentences get what is left where every string has its line of text */
  double fixed = sheet->row + 6, spare = bottom - b.top - fixed - n * sheet->row;
  int lines = CLAMP ((int) (spare / sheet->row), 0, most_lines);

  b.row = MIN ((bottom - lines * sheet->row - fixed - b.top) / n, ROW_MOST);
  for (int i = 0; i < n; i++)
    {
      double y = b.top + i * b.row;

      sl_sheet_name (sheet, i + 1, FALSE, part.x, y + b.row / 2, 0);
      draw_bars_of (&b, i, y);
      draw_columns_of (&b, i, y);
    }
  draw_totals (&b, b.top + n * b.row + 1);
  draw_sentences (&b, b.top + n * b.row + fixed + 2, lines);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Tension and down forces as bars, one row a string, the other set below the present one; the core's stress with its
 * mark; what else the strings are worth as figures; totals; what a change of strings means. */
#include "draw/sheets/strings-parts.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <stddef.h>

#include "setup/physics/forces.h"

#define PERCENT 100.0
#define BAR_SHARE 0.62 /* of a row's height */
#define BAR_MOST 26.0
#define ROW_MOST 66.0
#define COLUMN_GAP 12.0
#define VALUE_GAP 5.0        /* between a bar's end and its value */
#define BARS_LEAST_SHARE 0.5 /* of the width, before figures get columns of their own */
#define MARK_OVER 2.0        /* what a stress mark stands out over its bar */
#define VALUE_CHARS 48

typedef enum
{
  COLUMN_STRESS,
  COLUMN_SIDE_GIVE,
  COLUMN_SETBACK,
  COLUMN_MARGIN,
  N_COLUMNS
} Column;

#define N_BARS 3
static const gsize bar_values[N_BARS] = { offsetof (SlStringWorth, tension), offsetof (SlStringWorth, nut_force),
                                          offsetof (SlStringWorth, saddle_force) };
static const double bar_weights[N_BARS] = { 1.5, 1, 1 };

typedef struct
{
  const SlStrings *s;
  SlRect part;
  double name_width;
  double top, row;                                        /* of the first string's row */
  double bar_x[N_BARS], bar_width[N_BARS], units[N_BARS]; /* units per N */
  double value_width;                                     /* room for the values beside a bar */
  double column_x[N_COLUMNS], column_width;               /* right edges */
  int first_column, n_columns; /* first: the core's stress is left out where no core is of music wire */
} Bars;

static double
value_of (const SlStringWorth *worth, gsize offset)
{
  return *(const double *) (gconstpointer) ((const char *) worth + offset);
}

static double
total_of (const SlSetWorth *set, int bar)
{
  return bar == 0 ? set->tension_total : bar == 1 ? set->nut_force_total : set->saddle_force_total;
}

/* "72", with the other set's value after it: the runs of one text. */
static void
add_values (const Bars *b, SlWording *wording, gboolean bold, double present, double other, int places,
            const char *unit)
{
  const char *decimal = b->s->sheet.scene->options->decimal;
  g_autofree char *now = isfinite (present) ? sl_plain_format (present, places, decimal) : g_strdup ("–");
  g_autofree char *then = b->s->other == NULL ? NULL
                          : isfinite (other)  ? sl_plain_format (other, places, decimal)
                                              : g_strdup ("–");
  g_autofree char *with_unit = g_strconcat (now, then == NULL ? unit : "", NULL);

  sl_wording_add (wording, bold ? SL_INK_PLANNED : SL_INK_TEXT, bold, !bold, with_unit);
  if (then != NULL)
    {
      /* Translators: between the present strings' value and the other strings': "72 | 80 N" */
      g_autofree char *text = g_strdup_printf (_ (" | %s%s"), then, unit);

      sl_wording_add (wording, SL_INK_QUIET, FALSE, TRUE, text);
    }
}

static double
widest (const Bars *b, int places, double value, gboolean bold)
{
  SlWording wording = { .n = 0 };

  add_values (b, &wording, bold, value, value, places, "");
  return sl_wording_width (b->s->sheet.scene, &wording);
}

static double
most_of (const Bars *b, int bar)
{
  double most = 0;

  for (int i = 0; i < b->s->present.n_strings; i++)
    {
      most = fmax (most, value_of (&b->s->present.strings[i], bar_values[bar]));
      if (b->s->other != NULL)
        most = fmax (most, value_of (&b->s->other->strings[i], bar_values[bar]));
    }
  return most;
}

static const char *
column_title (const Bars *b, Column column, double width)
{
  const char *titles[N_COLUMNS][2] = { { _ (/* xgettext:no-c-format */ "core, % of strength"), _ ("core %") },
                                       { _ ("side give, N/mm at 12"), _ ("N/mm") },
                                       { _ ("compensation needed"), _ ("compensation") },
                                       { _ ("least margin"), _ ("margin") } };

  return sl_sheet_fitting (&b->s->sheet, titles[column], 2, FALSE, TRUE, width);
}

static gboolean
has_stress (const SlSetWorth *set)
{
  for (int i = 0; i < set->n_strings; i++)
    if (isfinite (set->strings[i].stress_share))
      return TRUE;
  return FALSE;
}

static void
lay_out (Bars *b)
{
  const SlSheet *sheet = &b->s->sheet;
  double room, forces = 0, weights = 0, given = 0;

  b->name_width = sl_sheet_names_width (sheet, FALSE) + COLUMN_GAP;
  b->column_width = widest (b, 2, -10.55, FALSE) + COLUMN_GAP;
  b->value_width = widest (b, 0, 188, TRUE) + VALUE_GAP + COLUMN_GAP;
  room = b->part.width - b->name_width;
  b->first_column = has_stress (&b->s->present) || (b->s->other != NULL && has_stress (b->s->other))
                        ? COLUMN_STRESS
                        : COLUMN_STRESS + 1;
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
  const SlStringWorth *now = &b->s->present.strings[i], *then = b->s->other != NULL ? &b->s->other->strings[i] : NULL;
  double height = MIN (BAR_MOST, b->row * BAR_SHARE), each = then != NULL ? height / 2 : height,
         text = sl_scene_text_height (b->s->sheet.scene);

  y += (b->row - height) / 2;
  for (int k = 0; k < N_BARS; k++)
    {
      SlWording wording = { .n = 0 };
      double a = value_of (now, bar_values[k]), c = then != NULL ? value_of (then, bar_values[k]) : NAN, end;

      if (!(b->units[k] > 0))
        continue;
      sl_strings_fill (b->s, FALSE, b->bar_x[k], y, a * b->units[k], each - (then != NULL ? 1 : 0));
      if (then != NULL)
        sl_strings_fill (b->s, TRUE, b->bar_x[k], y + each, c * b->units[k], each);
      end = b->bar_x[k] + fmax (isnan (a) ? 0 : a, isnan (c) ? 0 : c) * b->units[k];
      if (k == 0)
        end = MAX (end, draw_stress_mark (b, now, y, each - (then != NULL ? 1 : 0)));
      if (k == 0 && then != NULL)
        end = MAX (end, draw_stress_mark (b, then, y + each, each));
      add_values (b, &wording, TRUE, a, c, 0, "");
      sl_scene_fixed (b->s->sheet.scene, &wording, end + VALUE_GAP, y + (height - text) / 2, 0);
    }
}

static void
add_stress (SlWording *wording, double share, gboolean other, const char *decimal)
{
  g_autofree char *percent = isfinite (share) ? sl_stress_percent (share, decimal) : g_strdup ("–");
  gboolean high = share > SL_STRESS_WARNING;
  /* Translators: a share of a core's strength that is too high: "! 71 %" */
  g_autofree char *text = g_strdup_printf (high ? _ ("! %s %%") : isfinite (share) ? _ ("%s %%") : "%s", percent);

  if (other)
    sl_wording_add (wording, SL_INK_QUIET, FALSE, TRUE, " | ");
  sl_wording_add (wording, high ? SL_INK_CUT : other ? SL_INK_QUIET : SL_INK_TEXT, high, TRUE, text);
}

static void
draw_columns_of (const Bars *b, int i, double y)
{
  const SlStringWorth *now = &b->s->present.strings[i], *then = b->s->other != NULL ? &b->s->other->strings[i] : NULL;
  SlScene *scene = b->s->sheet.scene;
  const SlPictureOptions *o = scene->options;
  static const gsize values[N_COLUMNS] = { offsetof (SlStringWorth, stress_share), offsetof (SlStringWorth, side_give),
                                           offsetof (SlStringWorth, setback_needed),
                                           offsetof (SlStringWorth, least_margin) };

  y += (b->row - sl_scene_text_height (scene)) / 2 + 1;
  for (int k = b->first_column; k < b->first_column + b->n_columns; k++)
    {
      SlWording wording = { .n = 0 };
      gboolean length = k == COLUMN_SETBACK || k == COLUMN_MARGIN;
      double mm = length && o->lengths != SL_LENGTHS_MM ? SL_MM_PER_INCH : 1;
      double a = value_of (now, values[k]) / mm, c = then != NULL ? value_of (then, values[k]) / mm : NAN;

      if (k == COLUMN_STRESS)
        {
          add_stress (&wording, a, FALSE, o->decimal);
          if (then != NULL)
            add_stress (&wording, c, TRUE, o->decimal);
        }
      else
        add_values (b, &wording, FALSE, a, c, mm > 1 ? 3 : 2, "");
      sl_scene_fixed (scene, &wording, b->column_x[k], y, 1);
    }
}

static void
draw_titles (const Bars *b, double y)
{
  const SlSheet *sheet = &b->s->sheet;
  const char *bars[N_BARS][2] = { { _ ("tension, N"), _ ("N") },
                                  { _ ("down at the nut, N"), _ ("nut, N") },
                                  { _ ("down at the saddle, N"), _ ("saddle, N") } };

  for (int k = 0; k < N_BARS; k++)
    if (b->units[k] > 0)
      sl_sheet_text (sheet, SL_INK_QUIET, FALSE, TRUE,
                     sl_sheet_fitting (sheet, bars[k], 2, FALSE, TRUE, b->bar_width[k] - COLUMN_GAP), b->bar_x[k], y,
                     0);
  for (int k = b->first_column; k < b->first_column + b->n_columns; k++)
    sl_sheet_text (sheet, SL_INK_QUIET, FALSE, TRUE, column_title (b, (Column) k, b->column_width - VALUE_GAP),
                   b->column_x[k], y, 1);
}

static void
draw_totals (const Bars *b, double y)
{
  const SlSheet *sheet = &b->s->sheet;

  sl_stroke_line (sheet->scene, SL_INK_THIN, SL_LINE_THIN, SL_DASH_NONE, b->part.x, y, b->part.x + b->part.width, y);
  sl_sheet_text (sheet, SL_INK_TEXT, TRUE, FALSE, _ ("in all"), b->part.x, y + 4, 0);
  for (int k = 0; k < N_BARS; k++)
    {
      SlWording wording = { .n = 0 };

      if (!(b->units[k] > 0))
        continue;
      add_values (b, &wording, TRUE, total_of (&b->s->present, k),
                  b->s->other != NULL ? total_of (b->s->other, k) : NAN, 0, _ (" N"));
      sl_scene_fixed (sheet->scene, &wording, b->bar_x[k], y + 4, 0);
    }
}

/* All strings of a set whose core carries too much, in one sentence; NULL where none does. */
static char *
warnings_text (const SlSetWorth *set, const char *name, const char *decimal)
{
  g_autoptr (GString) list = g_string_new (NULL);
  g_autofree char *limit = sl_plain_format (PERCENT * SL_STRESS_WARNING, 0, decimal);

  for (int i = 0; i < set->n_strings; i++)
    if (set->strings[i].stress_share > SL_STRESS_WARNING)
      {
        g_autofree char *percent = sl_stress_percent (set->strings[i].stress_share, decimal);

        g_string_append_printf (list, _ ("%s%d (%s %%)"), list->len > 0 ? ", " : "", i + 1, percent);
      }
  if (list->len == 0)
    return NULL;
  if (name == NULL)
    /* Translators: percent, then string numbers with percent: "6 (72 %), 8 (66 %)" */
    return g_strdup_printf (_ ("Core over %s %% of its least strength (ASTM A228) on string %s."), limit, list->str);
  /* Translators: name of a set, percent, string numbers with percent */
  return g_strdup_printf (_ ("%s: core over %s %% of its least strength (ASTM A228) on string %s."), name, limit,
                          list->str);
}

static void
draw_sentences (const Bars *b, double y, int lines)
{
  const SlSheet *sheet = &b->s->sheet;
  const char *decimal = sheet->scene->options->decimal;
  g_autofree char *change = b->s->comparison != NULL ? sl_comparison_sentence (b->s->comparison, decimal) : NULL;
  g_autofree char *now = warnings_text (&b->s->present, NULL, decimal),
                  *then = b->s->other != NULL ? warnings_text (b->s->other, b->s->other_name, decimal) : NULL;
  g_autofree char *percent = sl_plain_format (PERCENT * SL_STRESS_WARNING, 0, decimal);
  g_autofree char *mark =
      g_strdup_printf (_ ("Upright mark: where the core carries %s %% of its least strength (ASTM A228)."), percent);
  const SlParagraph paragraphs[] = { { change, SL_INK_TEXT, TRUE },
                                     { now, SL_INK_CUT, FALSE },
                                     { then, SL_INK_CUT, FALSE },
                                     { b->first_column == COLUMN_STRESS ? mark : NULL, SL_INK_QUIET, FALSE } };

  sl_sheet_paragraphs (sheet, paragraphs, G_N_ELEMENTS (paragraphs), b->part, y, lines);
}

void
sl_strings_draw_bars (const SlStrings *s, SlRect part)
{
  const SlSheet *sheet = &s->sheet;
  Bars b = { .s = s, .part = part };
  const int n = s->present.n_strings;
  g_autofree char *remark =
      s->other != NULL ? g_strdup_printf (_ ("solid: on the instrument now · hatched: %s"), s->other_name) : NULL;
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

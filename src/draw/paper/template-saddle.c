/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The saddle: its top as seen from the board, with the line at which it leaves the bridge now and after the cut; its
 * underside with what comes off; and its crest from above. Heights are along the saddle, which may lean. */
#include "draw/paper/template-parts.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "draw/base/plan.h"

#define OVERHANG_MM 4.0   /* of a saddle beyond the outer strings: common practice; the document has no length of it */
#define PROFILE_MM 56.0   /* from the top of the page to the bridge's top after the work */
#define UNDERSIDE_MM 84.0 /* to the underside as it is now */
#define UNDERSIDE_SHOWN_MM 9.0
#define ABOVE_MM 116.0 /* to the line of the nominal scale length */
#define TABLE_MM 138.0
#define LABEL_STEP_MM 2.8
#define TICK_MM 1.5
#define LEAST_CUT_MM 0.005

typedef struct
{
  const SlTemplateSheet *sheet;
  int n;
  double y[SL_MAX_STRINGS];     /* across, positive to the treble */
  double top[SL_MAX_STRINGS];   /* crest over the bridge's top after the work, along the saddle */
  double shape[SL_MAX_STRINGS]; /* what is still to be shaped off */
  double setback[SL_MAX_STRINGS];
  double left, right;          /* ends of the saddle, across */
  double cut_bass, cut_treble; /* still to come off the base, along the saddle, at the outer strings */
  gboolean exposure;           /* anything is known of the bridge's top */
  double radius;
} Saddle;

static double
place (const Saddle *saddle, double y)
{
  return saddle->sheet->width / 2 + y;
}

/* A straight line from the bass to the treble string, carried on to the ends. */
static double
between (const Saddle *saddle, double bass, double treble, double y)
{
  double y_bass = saddle->y[saddle->n - 1], y_treble = saddle->y[0];

  return saddle->n > 1 ? bass + (treble - bass) * (y - y_bass) / (y_treble - y_bass) : treble;
}

/* The bridge's top is straight, at each outer string its exposure below the crest; the crests between follow from the
 * gaps over an arched board. */
static Saddle
measure (const SlTemplateSheet *sheet)
{
  const SlAnalysis *a = sheet->template->analysis;
  const SlInstrument *in = sheet->instrument;
  const int n = in->n_strings;
  double height[SL_MAX_STRINGS];
  Saddle s = { .sheet = sheet, .n = n, .exposure = sheet->state->exposure_read };

  sl_saddle_top (in, sheet->state, s.y, height);
  double base_bass = height[n - 1] - sheet->state->exposure[n - 1], base_treble = height[0] - sheet->state->exposure[0];

  s.radius = sl_fit_radius (s.y, height, n, NULL);
  for (int i = 0; i < n; i++)
    {
      s.top[i] = (height[i] - between (&s, base_bass, base_treble, s.y[i])) / cos (in->saddle_lean_rad);
      s.shape[i] = sl_planned_amount (a, SL_OP_SHAPE_CREST, i + 1) / cos (in->saddle_lean_rad);
      s.setback[i] = sheet->state->setback[i];
    }
  s.left = s.y[n - 1] - OVERHANG_MM;
  s.right = s.y[0] + OVERHANG_MM;
  s.cut_bass = sl_planned_base_cut (a, n);
  s.cut_treble = sl_planned_base_cut (a, 1);
  return s;
}

static gboolean
has_cut (const Saddle *saddle)
{
  return saddle->cut_bass > LEAST_CUT_MM || saddle->cut_treble > LEAST_CUT_MM;
}

/* Points through the strings from the bass end, carried on straight to the saddle's ends; @offset is taken from each.
 * Returns how many. */
static int
crest_points (const Saddle *saddle, const double *value, const double *more, double points[SL_MAX_STRINGS + 2][2])
{
  const int n = saddle->n;
  int at = 1;

  for (int i = n - 1; i >= 0; i--, at++)
    {
      points[at][0] = saddle->y[i];
      points[at][1] = value[i] + (more != NULL ? more[i] : 0);
    }
  for (int end = 0; end < 2; end++)
    {
      int to = end ? n + 1 : 0, from = end ? n : 1, next = end ? n - 1 : 2;
      double slope = n > 1 ? (points[from][1] - points[next][1]) / (points[from][0] - points[next][0]) : 0;

      points[to][0] = end ? saddle->right : saddle->left;
      points[to][1] = points[from][1] + slope * (points[to][0] - points[from][0]);
    }
  return n + 2;
}

static void
draw_crest (const Saddle *saddle, SlStroke stroke, const double *value, const double *more, double origin, double sign)
{
  double points[SL_MAX_STRINGS + 2][2];
  int n = crest_points (saddle, value, more, points);

  for (int i = 0; i < n; i++)
    {
      points[i][0] = place (saddle, points[i][0]);
      points[i][1] = origin + sign * points[i][1];
    }
  sl_template_polyline (saddle->sheet, stroke, (const double (*)[2]) points, n, FALSE);
}

/* What lies between two straight lines over the saddle's length, given at the outer strings as heights over @origin. */
static void
hatch_between (const Saddle *saddle, double origin, double bass0, double treble0, double bass1, double treble1)
{
  double l = saddle->left, r = saddle->right;
  const double points[][2] = {
    { place (saddle, l), origin - between (saddle, bass0, treble0, l) },
    { place (saddle, r), origin - between (saddle, bass0, treble0, r) },
    { place (saddle, r), origin - between (saddle, bass1, treble1, r) },
    { place (saddle, l), origin - between (saddle, bass1, treble1, l) },
  };

  sl_template_hatch (saddle->sheet, points, 4);
}

static void
draw_straight (const Saddle *saddle, SlStroke stroke, double origin, double bass, double treble)
{
  sl_template_line (saddle->sheet, stroke, place (saddle, saddle->left),
                    origin - between (saddle, bass, treble, saddle->left), place (saddle, saddle->right),
                    origin - between (saddle, bass, treble, saddle->right));
}

static void
label (const Saddle *saddle, const char *text, double y, gboolean right)
{
  double x = place (saddle, right ? saddle->right : saddle->left) + (right ? 3 : -3);

  sl_template_text (saddle->sheet, text, SL_TEMPLATE_SMALL_MM, FALSE, SL_INK_QUIET, x, y, right ? 0 : 1, FALSE);
}

static void
caption (const Saddle *saddle, const char *text, double y)
{
  sl_template_text (saddle->sheet, text, SL_TEMPLATE_TEXT_MM, TRUE, SL_INK_TEXT, SL_TEMPLATE_MARGIN_MM, y, 0, FALSE);
}

static gboolean
has_shape (const Saddle *saddle)
{
  for (int i = 0; i < saddle->n; i++)
    if (fabs (saddle->shape[i]) > LEAST_CUT_MM)
      return TRUE;
  return FALSE;
}

static void
draw_profile (const Saddle *saddle)
{
  double l = place (saddle, saddle->left), r = place (saddle, saddle->right), points[SL_MAX_STRINGS + 2][2],
         highest = 0;
  int n = crest_points (saddle, saddle->top, NULL, points);

  for (int i = 0; i < saddle->n; i++)
    highest = MAX (highest, saddle->top[i] + MAX (0, saddle->shape[i]));
  caption (saddle, _ ("Top, from the board"), PROFILE_MM - highest - 9);
  if (has_shape (saddle))
    draw_crest (saddle, SL_STROKE_DASH, saddle->top, saddle->shape, PROFILE_MM, -1);
  draw_crest (saddle, SL_STROKE_LINE, saddle->top, NULL, PROFILE_MM, -1);
  for (int i = 0; i < saddle->n; i++)
    {
      g_autofree char *number = g_strdup_printf ("%d", i + 1);
      double x = place (saddle, saddle->y[i]), y = PROFILE_MM - saddle->top[i];

      sl_template_line (saddle->sheet, SL_STROKE_HAIR, x, y, x, saddle->exposure ? PROFILE_MM : y + TICK_MM);
      sl_template_text (saddle->sheet, number, SL_TEMPLATE_SMALL_MM, TRUE, SL_INK_TEXT, x, PROFILE_MM - highest - 2.5,
                        0.5, FALSE);
    }
  label (saddle, _ ("bass"), PROFILE_MM - MAX (saddle->top[saddle->n - 1], LABEL_STEP_MM), FALSE);
  label (saddle, _ ("treble"), PROFILE_MM - MAX (saddle->top[0], LABEL_STEP_MM), TRUE);
  if (!saddle->exposure)
    return;
  draw_straight (saddle, SL_STROKE_LINE, PROFILE_MM, 0, 0);
  label (saddle, has_cut (saddle) ? _ ("bridge top, after") : _ ("bridge top"), PROFILE_MM, FALSE);
  sl_template_line (saddle->sheet, SL_STROKE_LINE, l, PROFILE_MM, l, PROFILE_MM - points[0][1]);
  sl_template_line (saddle->sheet, SL_STROKE_LINE, r, PROFILE_MM, r, PROFILE_MM - points[n - 1][1]);
  if (!has_cut (saddle))
    return;
  draw_straight (saddle, SL_STROKE_DASH, PROFILE_MM, -saddle->cut_bass, -saddle->cut_treble);
  label (saddle, _ ("bridge top, now"),
         PROFILE_MM + between (saddle, saddle->cut_bass, saddle->cut_treble, saddle->right) + 1, TRUE);
}

/* A line that keeps what is safe to take before reading again. */
static void
draw_first_pass (const Saddle *saddle)
{
  const SlAnalysis *a = saddle->sheet->template->analysis;
  double bass = sl_planned_first_pass (a, saddle->n, saddle->cut_bass),
         treble = sl_planned_first_pass (a, 1, saddle->cut_treble);

  if (bass <= 0 && treble <= 0)
    return;
  draw_straight (saddle, SL_STROKE_CHAIN, UNDERSIDE_MM, bass, treble);
  label (saddle, _ ("first pass, then read again"), UNDERSIDE_MM - between (saddle, bass, treble, saddle->right), TRUE);
}

static void
draw_underside (const Saddle *saddle)
{
  double l = place (saddle, saddle->left), r = place (saddle, saddle->right), top = UNDERSIDE_MM - UNDERSIDE_SHOWN_MM;
  g_autofree char *bass = sl_text_length_unit (&saddle->sheet->template->style, saddle->cut_bass),
                  *treble = sl_text_length_unit (&saddle->sheet->template->style, saddle->cut_treble);
  g_autofree char *off =
      g_strdup_printf (_ ("off: %1$s under the lowest string, %2$s under the highest"), bass, treble);

  if (!has_cut (saddle))
    return;
  caption (saddle, _ ("Underside, from the board"), top - 3);
  sl_template_line (saddle->sheet, SL_STROKE_LINE, l, top, l, UNDERSIDE_MM);
  sl_template_line (saddle->sheet, SL_STROKE_LINE, r, top, r, UNDERSIDE_MM);
  hatch_between (saddle, UNDERSIDE_MM, 0, 0, saddle->cut_bass, saddle->cut_treble);
  draw_straight (saddle, SL_STROKE_DASH, UNDERSIDE_MM, 0, 0);
  draw_straight (saddle, SL_STROKE_LINE, UNDERSIDE_MM, saddle->cut_bass, saddle->cut_treble);
  draw_first_pass (saddle);
  label (saddle, _ ("after the cut"),
         UNDERSIDE_MM - between (saddle, saddle->cut_bass, saddle->cut_treble, saddle->left) - LABEL_STEP_MM / 2,
         FALSE);
  label (saddle, _ ("now"), UNDERSIDE_MM + LABEL_STEP_MM / 2, FALSE);
  sl_template_text (saddle->sheet, off, SL_TEMPLATE_SMALL_MM, FALSE, SL_INK_CUT,
                    place (saddle, (saddle->left + saddle->right) / 2), UNDERSIDE_MM + 2 * LABEL_STEP_MM, 0.5, FALSE);
  for (int i = 0; i < saddle->n; i++)
    sl_template_line (saddle->sheet, SL_STROKE_HAIR, place (saddle, saddle->y[i]), top, place (saddle, saddle->y[i]),
                      top + TICK_MM);
}

static void
draw_from_above (const Saddle *saddle)
{
  const SlInstrument *in = saddle->sheet->instrument;
  double half = in->saddle_thickness / 2, l = saddle->left, r = saddle->right, bass = saddle->setback[saddle->n - 1],
         treble = saddle->setback[0];
  double at_left = ABOVE_MM + between (saddle, bass, treble, l),
         at_right = ABOVE_MM + between (saddle, bass, treble, r);
  const double outline[][2] = {
    { place (saddle, l), at_left - half },
    { place (saddle, r), at_right - half },
    { place (saddle, r), at_right + half },
    { place (saddle, l), at_left + half },
  };

  caption (saddle, _ ("Break points, from above; the nut is toward the top of the page"), ABOVE_MM - half - 6);
  sl_template_polyline (saddle->sheet, SL_STROKE_LINE, outline, 4, TRUE);
  sl_template_line (saddle->sheet, SL_STROKE_CHAIN, place (saddle, l) - 6, ABOVE_MM, place (saddle, r) + 6, ABOVE_MM);
  draw_crest (saddle, SL_STROKE_HAIR, saddle->setback, NULL, ABOVE_MM, 1);
  for (int i = 0; i < saddle->n; i++)
    {
      double x = place (saddle, saddle->y[i]), y = ABOVE_MM + saddle->setback[i];

      sl_template_line (saddle->sheet, SL_STROKE_LINE, x, y - TICK_MM / 2, x, y + TICK_MM / 2);
      sl_template_line (saddle->sheet, SL_STROKE_HAIR, x, ABOVE_MM, x, y);
    }
  sl_template_text (saddle->sheet, _ ("nominal scale length"), SL_TEMPLATE_SMALL_MM, FALSE, SL_INK_QUIET,
                    place (saddle, r) + 8, ABOVE_MM, 0, FALSE);
}

static void
draw_table (const Saddle *saddle)
{
  const SlTemplateSheet *sheet = saddle->sheet;
  gboolean mm = sheet->template->options.lengths == SL_LENGTHS_MM;
  g_auto (SlTable) table = { .n_columns = 0 };

  sl_table_column (&table, _ ("string"), 0.12, SL_ALIGN_LEFT, TRUE, SL_INK_TEXT);
  sl_table_column (&table, mm ? _ ("from the middle, mm") : _ ("from the middle, in"), 0.22, SL_ALIGN_RIGHT, FALSE,
                   SL_INK_TEXT);
  sl_table_column (&table, mm ? _ ("saddle top over the bridge top, mm") : _ ("saddle top over the bridge top, in"),
                   0.24, SL_ALIGN_RIGHT, TRUE, SL_INK_TEXT);
  sl_table_column (&table, mm ? _ ("of it still to dress off, mm") : _ ("of it still to dress off, in"), 0.22,
                   SL_ALIGN_RIGHT, FALSE, SL_INK_TEXT);
  sl_table_column (&table, mm ? _ ("compensation, mm") : _ ("compensation, in"), 0.20, SL_ALIGN_RIGHT, FALSE,
                   SL_INK_TEXT);
  for (int i = 0; i < saddle->n; i++)
    sl_table_cells (&table, g_strdup_printf ("%d", i + 1), sl_template_length (sheet, saddle->y[i]),
                    sl_template_length (sheet, saddle->exposure ? saddle->top[i] : NAN),
                    sl_template_length (sheet, saddle->shape[i]), sl_template_length (sheet, saddle->setback[i]), NULL);
  double y = sl_template_table (sheet, &table, TABLE_MM) + 4;

  if (isfinite (saddle->radius))
    {
      g_autofree char *radius = sl_text_measure (&sheet->template->style, saddle->radius, 0, TRUE);
      g_autofree char *text = g_strdup_printf (_ ("The saddle top has a radius of %s."), radius);

      y = sl_template_paragraph (sheet, text, y);
    }
  y = sl_template_paragraph (sheet,
                             _ ("The outline reaches 4 mm beyond the outer strings and is as thick as the saddle: "
                                "trace your own. Dashed is as it is now, hatched comes off."),
                             y);
  if (!saddle->exposure)
    y = sl_template_paragraph (sheet,
                               _ ("No exposure was read, so the bridge’s top is not shown: the line gives the shape of "
                                  "the top, not its height."),
                               y);
  if (sheet->instrument->saddle_lean_rad != 0)
    sl_template_paragraph (sheet, _ ("Heights are measured along the leaning saddle."), y);
}

void
sl_template_draw_saddle (const SlTemplateSheet *sheet)
{
  Saddle saddle = measure (sheet);

  draw_profile (&saddle);
  draw_underside (&saddle);
  draw_from_above (&saddle);
  draw_table (&saddle);
}

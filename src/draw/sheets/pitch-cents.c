/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How sharp every fret sounds, one line a string: as planned, as measured, and what the tuner read or was heard. Frets
 * lie as far apart as on the instrument, so that those past the octave, which a saddle is not set by, take little room.
 */
#include "draw/sheets/sheet.h"

#include "setup/physics/intonation.h"

#define CENTS_SHARE 0.56 /* of the sheet's width */
#define GAP SL_SPACE_PAGE
#define LEAST_SPAN 4.0 /* cents shown at least */
#define SPAN_PAD 0.07
#define UNITS_PER_STEP 34       /* of the scale of cents, at least */
#define LABEL_GAP SL_SPACE_PART /* between lines and labels: room for leaders */
#define POINT_RADIUS 3.4
#define LINE_CHOSEN 2.4
#define LINE_PLAIN 1.3
#define COST_OVER_LINE 70.0 /* of a label on another string's line: see labels.c */
#define COST_OVER_GRID 3.0

typedef struct
{
  const SlSheet *sheet;
  SlRect plot;
  double least, most;
  int last;     /* fret */
  double right; /* edge of the part */
} Cents;

static double
px (const Cents *c, int fret)
{
  return c->plot.x + c->plot.width * c->sheet->in->x[0][fret] / c->sheet->in->x[0][c->last];
}

static double
py (const Cents *c, double cents)
{
  return c->plot.y + c->plot.height * (c->most - cents) / (c->most - c->least);
}

static gboolean
in_front (const Cents *c, int string)
{
  return c->sheet->chosen == SL_ALL_STRINGS || c->sheet->chosen == string;
}

/* The pitch of a fret of @string, or of any (SL_ALL_STRINGS), that counts. */
static gboolean
is_pitch (const SlSheet *sheet, const SlReading *r, int string)
{
  return r->kind == SL_READ_PITCH && r->fret >= 1 && r->fret <= sheet->in->frets && r->string >= 1 &&
         r->string <= sheet->in->n_strings && r->use != SL_USE_NEVER &&
         (string == SL_ALL_STRINGS || string == r->string);
}

/* Whether the tuner read this string: then what it read stands beside what the model says of the string as it was. */
static gboolean
has_reading (const SlSheet *sheet, int string)
{
  const SlReadingSet *set = sheet->scene->analysis->set;

  SL_EACH (const SlReading, r, set != NULL ? set->readings : NULL)
    if (is_pitch (sheet, r, string))
      return TRUE;
  return FALSE;
}

static void
widen (Cents *c, double cents)
{
  if (!isfinite (cents))
    return;
  c->least = MIN (c->least, cents);
  c->most = MAX (c->most, cents);
}

/* What of a tuner's reading at the octave the plan leaves; NAN without one, or without a plan. */
static double
left_by_plan (const SlSheet *sheet, int string)
{
  SlCrestPlace place;

  sl_crest_place (sheet->scene->analysis, string, &place);
  return sheet->scene->ghost ? place.left : NAN;
}

static void
find_range (Cents *c)
{
  const SlSheet *sheet = c->sheet;
  const SlReadingSet *set = sheet->scene->analysis->set;

  for (int i = 0; i < sheet->in->n_strings; i++)
    for (int n = 1; n <= c->last; n++)
      {
        const SlFigure *f = &sheet->scene->after_figures->pitch_error[i][n];
        /* past the octave the band may run off the chart: an unread tongue makes it wider than everything else */
        double band = i + 1 == sheet->chosen && n <= SL_OCTAVE_FRET && isfinite (f->u) ? SL_COVERAGE * f->u : 0;

        widen (c, f->value + band);
        widen (c, f->value - band);
        if (i + 1 == sheet->chosen || (in_front (c, i + 1) && has_reading (sheet, i + 1)))
          widen (c, sheet->scene->before_figures->pitch_error[i][n].value);
      }
  for (int s = 1; s <= sheet->in->n_strings; s++)
    if (in_front (c, s))
      widen (c, left_by_plan (sheet, s));
  SL_EACH (const SlReading, r, set != NULL ? set->readings : NULL)
    if (r->kind == SL_READ_PITCH && r->fret > 0 && in_front (c, r->string))
      widen (c, r->value.v);
  double short_of = MAX (0, LEAST_SPAN - (c->most - c->least)) / 2,
         pad = MAX (LEAST_SPAN, c->most - c->least) * SPAN_PAD;

  c->least -= short_of + pad;
  c->most += short_of + pad;
}

static void
draw_grid (const Cents *c)
{
  const SlSheet *sheet = c->sheet;
  const SlRect *p = &c->plot;
  double step = sl_sheet_step (c->most - c->least, MAX (2, (int) (p->height / UNITS_PER_STEP)));

  for (int n = 1; n <= c->last; n++)
    sl_stroke_line (sheet->scene, SL_INK_PANEL_EDGE, n == SL_OCTAVE_FRET ? SL_LINE_THICK : SL_LINE_THIN, SL_DASH_NONE,
                    px (c, n), p->y, px (c, n), p->y + p->height);
  for (double cents = ceil (c->least / step) * step; cents <= c->most + 1e-9; cents += step)
    {
      gboolean zero = fabs (cents) < step / 2;
      const char *text = zero ? "0 ¢"
                              : sl_print (sheet->scene, cents > 0 ? "+%s" : "%s",
                                          sl_sheet_number (sheet, cents, sl_sheet_places (step)));

      sl_stroke_line (sheet->scene, zero ? SL_INK_THIN : SL_INK_PANEL_EDGE, SL_LINE_THIN, SL_DASH_NONE, p->x,
                      py (c, cents), p->x + p->width, py (c, cents));
      sl_scene_line (sheet->scene, p->x, py (c, cents), p->x + p->width, py (c, cents), COST_OVER_GRID);
      sl_scene_text (sheet->scene, zero ? SL_INK_TEXT : SL_INK_QUIET, FALSE, TRUE, text, p->x - 5,
                     py (c, cents) - sheet->half, 1);
    }
}

static void
draw_fret_numbers (const Cents *c)
{
  /* those with marks on most boards first: common practice */
  static const int order[] = { 12, 5, 7, 9, 3, 1, 15, 19, 17, 24, 21, 2, 4, 6, 8, 10 };

  for (gsize i = 0; i < G_N_ELEMENTS (order); i++)
    if (order[i] <= c->last)
      sl_scene_text (c->sheet->scene, order[i] > SL_OCTAVE_FRET ? SL_INK_QUIET : SL_INK_TEXT,
                     order[i] == SL_OCTAVE_FRET, TRUE, sl_print (c->sheet->scene, "%d", order[i]), px (c, order[i]),
                     c->plot.y + c->plot.height + 3, 0.5);
}

/* Adds what a string's line runs through to the path, @bands times its expanded uncertainty above. */
static void
trace (const Cents *c, const SlFigure *f, int from, int to, double bands)
{
  for (int n = from; from <= to ? n <= to : n >= to; n += from <= to ? 1 : -1)
    {
      double cents = f[n].value + (bands != 0 ? bands * SL_COVERAGE * f[n].u : 0);

      if (isfinite (cents))
        cairo_line_to (c->sheet->scene->cr, px (c, n), py (c, cents));
    }
}

/* A string's line between two frets. */
static void
stroke_string (const Cents *c, const SlFigures *figures, int string, int from, int to, SlInk ink, double width,
               SlDash dash)
{
  cairo_t *cr = c->sheet->scene->cr;

  cairo_new_path (cr);
  trace (c, figures->pitch_error[string - 1], from, to, 0);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  sl_stroke_path (c->sheet->scene, ink, width, dash);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_MITER);
}

static void
draw_band (const Cents *c)
{
  SlScene *scene = c->sheet->scene;
  const SlFigure *f = scene->after_figures->pitch_error[MAX (0, c->sheet->chosen - 1)];

  if (c->sheet->chosen == SL_ALL_STRINGS)
    return;
  cairo_new_path (scene->cr);
  trace (c, f, 1, c->last, 1);
  trace (c, f, c->last, 1, -1);
  cairo_close_path (scene->cr);
  sl_fill (scene->cr, scene->palette, SL_INK_SWING);
}

/* Makes labels dear on a line. */
static void
keep_off (const Cents *c, const SlFigure *f, double cost)
{
  for (int n = 1; n < c->last; n++)
    if (isfinite (f[n].value) && isfinite (f[n + 1].value))
      sl_scene_line (c->sheet->scene, px (c, n), py (c, f[n].value), px (c, n + 1), py (c, f[n + 1].value), cost);
}

static void
draw_string (const Cents *c, int string)
{
  const SlSheet *sheet = c->sheet;
  gboolean front = in_front (c, string), chosen = string == sheet->chosen;

  if (sheet->scene->ghost && (chosen || (front && has_reading (sheet, string))))
    {
      stroke_string (c, sheet->scene->before_figures, string, 1, c->last, SL_INK_GHOST, LINE_PLAIN, SL_DASH_GHOST);
      keep_off (c, sheet->scene->before_figures->pitch_error[string - 1], COST_OVER_LINE);
    }
  stroke_string (c, sheet->scene->after_figures, string, SL_OCTAVE_FRET, c->last, SL_INK_GHOST, SL_LINE_THIN,
                 SL_DASH_NONE);
  stroke_string (c, sheet->scene->after_figures, string, 1, SL_OCTAVE_FRET, front ? SL_INK_PLANNED : SL_INK_GHOST,
                 chosen ? LINE_CHOSEN : LINE_PLAIN, SL_DASH_NONE);
  keep_off (c, sheet->scene->after_figures->pitch_error[string - 1], chosen ? 3 * COST_OVER_LINE : COST_OVER_LINE);
}

/* "6 E2 +1.3": the line's name, and the cents at the octave, as the table has them: by the tuner where it read. */
static void
end_wording (const SlSheet *sheet, int string, gboolean bold, SlWording *wording)
{
  const double left = left_by_plan (sheet, string),
               cents =
                   isfinite (left) ? left : sheet->scene->after_figures->pitch_error[string - 1][SL_OCTAVE_FRET].value;

  sl_wording_add (wording, SL_INK_TEXT, bold, TRUE, sl_sheet_string_name (sheet, string));
  if (isfinite (cents))
    sl_wording_printf (wording, SL_INK_PLANNED, bold, TRUE, cents > 0.05 ? "  +%s" : "  %s",
                       sl_sheet_number (sheet, cents, 1));
}

static double
widest_end (const SlSheet *sheet)
{
  double widest = 0;

  for (int s = 1; s <= sheet->in->n_strings; s++)
    {
      SlWording wording = { .n = 0 };

      end_wording (sheet, s, TRUE, &wording);
      widest = MAX (widest, sl_wording_size (sheet->scene, &wording).width);
    }
  return widest;
}

/* Labels at the lines' ends: as near as may be to where each line ends, in the lines' order, a line of text apart. */
static void
draw_ends (const Cents *c)
{
  const SlSheet *sheet = c->sheet;
  const int n = sheet->in->n_strings;
  int order[SL_MAX_STRINGS], count = 0;
  double end[SL_MAX_STRINGS], place[SL_MAX_STRINGS], right = c->plot.x + c->plot.width;
  double least = c->plot.y, most = c->plot.y + c->plot.height;

  for (int s = 0; s < n; s++)
    if (isfinite (sheet->scene->after_figures->pitch_error[s][c->last].value))
      {
        int k = count++;

        end[s] = py (c, sheet->scene->after_figures->pitch_error[s][c->last].value);
        for (; k > 0 && end[order[k - 1]] > end[s]; k--)
          order[k] = order[k - 1];
        order[k] = s;
      }
  /* down, each below the one before; then up from the foot where they went past it */
  for (int k = 0; k < count; k++)
    place[k] = MAX (end[order[k]], k > 0 ? place[k - 1] + sheet->row : least);
  for (int k = count - 1; k >= 0; k--)
    place[k] = MIN (place[k], k < count - 1 ? place[k + 1] - sheet->row : most);
  for (int k = 0; k < count; k++)
    {
      SlWording wording = { .n = 0 };

      end_wording (sheet, order[k] + 1, order[k] + 1 == sheet->chosen, &wording);
      sl_stroke_line (sheet->scene, SL_INK_GHOST, SL_LINE_THIN, SL_DASH_NONE, right + 2, end[order[k]],
                      right + LABEL_GAP - 4, place[k]);
      sl_scene_fixed (sheet->scene, &wording, right + LABEL_GAP, place[k] - sheet->half, 0);
    }
}

/* What a pitch that was heard is uncertain by, where it is more than its ring. */
static void
draw_range (const Cents *c, const SlReading *r, SlInk ink)
{
  const double x = px (c, r->fret), top = py (c, r->value.v + r->uncertainty.v),
               bottom = py (c, r->value.v - r->uncertainty.v);

  if (bottom - top <= 2 * POINT_RADIUS)
    return;
  sl_stroke_line (c->sheet->scene, ink, SL_LINE_THIN, SL_DASH_NONE, x, top, x, bottom);
  for (int side = 0; side < 2; side++)
    sl_stroke_line (c->sheet->scene, ink, SL_LINE_THIN, SL_DASH_NONE, x - POINT_RADIUS, side ? top : bottom,
                    x + POINT_RADIUS, side ? top : bottom);
}

/* One reading against what the model says of the instrument as it was read. What was heard may be every fret: it is
 * named at the octave alone. */
static void
draw_reading (const Cents *c, const SlReading *r)
{
  const SlSheet *sheet = c->sheet;
  cairo_t *cr = sheet->scene->cr;
  double said = sheet->scene->before_figures->pitch_error[r->string - 1][r->fret].value, x = px (c, r->fret),
         y = py (c, r->value.v);
  const gboolean front = in_front (c, r->string), heard = sl_number_is_set (r->uncertainty);
  SlRequest request = sl_request (x, y, -0.6, -1, 12, SL_LEADER_PLAIN, SL_INK_THIN);

  if (y < c->plot.y - 1 || y > c->plot.y + c->plot.height + 1)
    return;
  if (heard)
    draw_range (c, r, front ? SL_INK_TEXT : SL_INK_GHOST);
  else if (front && isfinite (said))
    sl_stroke_line (sheet->scene, SL_INK_TEXT, SL_LINE_THIN, SL_DASH_TRACE, x, y, x, py (c, said));
  sl_circle (cr, x, y, POINT_RADIUS);
  sl_fill_and_stroke (cr, sheet->scene->palette, SL_INK_PAPER, front ? SL_INK_TEXT : SL_INK_GHOST, SL_LINE_THICK);
  sl_scene_block (sheet->scene, x - POINT_RADIUS - 1, y - POINT_RADIUS - 1, 2 * POINT_RADIUS + 2, 2 * POINT_RADIUS + 2,
                  SL_NEVER);
  if (!front || (heard && r->fret != SL_OCTAVE_FRET))
    return;
  for (; request.n_wordings < 2; request.n_wordings++)
    sl_wording_printf (&request.wordings[request.n_wordings], SL_INK_TEXT, TRUE, FALSE,
                       heard            ? r->value.v > 0 ? _ ("%s: heard +%s") : _ ("%s: heard %s")
                                  : r->value.v > 0 ? _ ("%s: tuner +%s")
                                        : _ ("%s: tuner %s"),
                       sl_sheet_string_name (sheet, r->string), sl_sheet_number (sheet, r->value.v, 1));
  if (isfinite (said))
    {
      sl_wording_break (&request.wordings[0]);
      sl_wording_printf (&request.wordings[0], SL_INK_QUIET, FALSE, TRUE,
                         r->value.v >= said ? _ ("%s over the prediction") : _ ("%s under the prediction"),
                         sl_sheet_number (sheet, fabs (r->value.v - said), 1));
    }
  sl_scene_request (sheet->scene, &request);
}

/* What the rings are: the tuner's, heard, or of both kinds; NULL: there are none. */
static const char *
draw_readings (const Cents *c)
{
  static const char *const rings[] = { NULL, N_ (" · rings: tuner"), N_ (" · rings: heard, bars ± U"),
                                       N_ (" · rings: tuner, or heard ± U") };
  const SlReadingSet *set = c->sheet->scene->analysis->set;
  guint any = 0;

  SL_EACH (const SlReading, r, set != NULL ? set->readings : NULL)
    if (is_pitch (c->sheet, r, SL_ALL_STRINGS))
      {
        draw_reading (c, r);
        any |= sl_number_is_set (r->uncertainty) ? 2 : 1;
      }
  for (int s = 1; s <= c->sheet->in->n_strings; s++)
    if (in_front (c, s) && isfinite (left_by_plan (c->sheet, s)))
      sl_pitch_diamond (c->sheet, px (c, SL_OCTAVE_FRET), py (c, left_by_plan (c->sheet, s)), SL_INK_PLANNED, TRUE);
  return any == 0 ? NULL : _ (rings[any]);
}

static void
draw_legend (const Cents *c, const char *readings, double y)
{
  const SlSheet *sheet = c->sheet;
  const gboolean ghost = sheet->scene->ghost, chosen = sheet->chosen != SL_ALL_STRINGS;
  const char *marks = sl_print (sheet->scene, "%s%s%s%s",
                                ghost && (chosen || readings != NULL) ? _ (" · dashed as measured") : "",
                                chosen ? _ (" · band ± U") : "", readings == NULL ? "" : readings,
                                readings != NULL && ghost ? _ (", diamonds: after the plan") : ""),
             *const texts[] = {
               sl_print (sheet->scene, "%s%s", _ ("by fret, cents over the open string; at the right: at fret 12"),
                         marks),
               sl_print (sheet->scene, "%s%s", _ ("cents over the open string"), marks),
               _ ("cents over the open string"),
             };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    if (sl_sheet_paragraph (sheet, SL_INK_QUIET, FALSE, texts[i], c->plot.x, y, c->right - c->plot.x, 1) > 0)
      break;
}

static void
draw_cents (const SlSheet *sheet, SlRect part)
{
  Cents c = { .sheet = sheet, .last = sheet->in->frets, .right = part.x + part.width };
  const char *ends = sheet->in->stiff_ends == SL_STIFF_ENDS_BOTH ? _ ("both ends of a string treated as clamped")
                                                                 : _ ("one end of a string treated as clamped");
  double head = sl_sheet_heading (sheet, part, _ ("Pitch"), ends), left, right;
  const char *readings;

  find_range (&c);
  left = sl_sheet_width (sheet, FALSE, TRUE, "−00.0") + 6;
  right = widest_end (sheet) + LABEL_GAP;
  c.plot = (SlRect){ part.x + left, part.y + head, MAX (10, part.width - left - right),
                     MAX (10, part.height - head - 2 * sheet->row - 8) };
  draw_grid (&c);
  draw_fret_numbers (&c);
  cairo_save (sheet->scene->cr);
  cairo_rectangle (sheet->scene->cr, c.plot.x, c.plot.y, c.plot.width + 1, c.plot.height);
  cairo_clip (sheet->scene->cr);
  draw_band (&c);
  cairo_restore (sheet->scene->cr);
  for (int s = 1; s <= sheet->in->n_strings; s++)
    if (s != sheet->chosen)
      draw_string (&c, s);
  if (sheet->chosen != SL_ALL_STRINGS)
    draw_string (&c, sheet->chosen);
  readings = draw_readings (&c);
  draw_ends (&c);
  draw_legend (&c, readings, c.plot.y + c.plot.height + 3 + sheet->row + 2);
  SlRect whole = sheet->scene->stage;

  /* what the readings say stays within the chart */
  sheet->scene->stage = c.plot;
  sl_scene_place (sheet->scene);
  sheet->scene->stage = whole;
}

void
sl_pitch_draw (SlScene *scene)
{
  const SlRect stage = scene->stage;
  double left = (stage.width - GAP) * CENTS_SHARE;
  SlSheet sheet;

  sl_sheet_init (&sheet, scene);
  draw_cents (&sheet, (SlRect){ stage.x, stage.y, left, stage.height });
  sl_pitch_draw_crests (&sheet, (SlRect){ stage.x + left + GAP, stage.y, stage.width - left - GAP, stage.height });
}

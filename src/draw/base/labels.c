/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/base/labels.h"

#include <math.h>
#include <string.h>

#include "draw/base/dimension.h"

/* Costs of a place, in the unit of one unit of distance from what the label speaks of. Our own choice, by looking. */
#define COST_TURN 34.0            /* standing on the opposite side of the one wished for is twice this */
#define COST_LEADER_OVER_LINE 0.5 /* share of what the line would cost below the text */
#define COST_LEADER_OVER_STRING 40.0
#define COST_LEADER_OVER_LEADER 90.0
#define COST_LEADER_OVER_HANDLE 70.0
#define COST_LEADER_OVER_BLOCK 0.06 /* per unit of leader that runs over something text must not lie on */
#define COST_GOOD 90.0              /* the longest wording is kept while its best place costs less */
static const double cost_shorter[SL_MAX_WORDINGS] = { 0, 30, 70, 180 }; /* of what a shorter wording leaves out */

#define TEXT_CLEARANCE 3.0 /* between two texts */
#define LINE_CLEARANCE 1.5 /* between a text and a line */
#define LANDING_PAD 3.0    /* what a reference line is longer than its text, on the leader's side */
#define ROUNDING 1e-6
#define LANDING_GAP 1.0 /* between text and reference line */

typedef struct
{
  double x0, y0, x1, y1, cost;
  gboolean leader;
} Line;

typedef struct
{
  SlRect rect;
  double cost;
  gboolean handle;
} Block;

/* A label at a place. */
typedef struct
{
  SlRect box;            /* of the text */
  double foot_x, foot_y; /* where the leader meets the reference line */
  double landing_x, landing_y;
  double cost;
  gboolean to_right;
} Place;

void
sl_scene_init (SlScene *scene, cairo_t *cr, const SlAnalysis *analysis, const SlPictureOptions *options,
               SlPictureMap *map, SlRect stage)
{
  *scene = (SlScene){
    .cr = cr,
    .analysis = analysis,
    .instrument = &analysis->instrument,
    .options = options,
    .palette = sl_palette (options->dark),
    .map = map,
    .stage = stage,
    .texts = g_array_new (FALSE, FALSE, sizeof (SlRect)),
    .lines = g_array_new (FALSE, FALSE, sizeof (Line)),
    .blocks = g_array_new (FALSE, FALSE, sizeof (Block)),
    .requests = g_array_new (FALSE, FALSE, sizeof (SlRequest)),
  };
}

void
sl_scene_clear (SlScene *scene)
{
  g_clear_pointer (&scene->texts, g_array_unref);
  g_clear_pointer (&scene->lines, g_array_unref);
  g_clear_pointer (&scene->blocks, g_array_unref);
  g_clear_pointer (&scene->requests, g_array_unref);
}

static void
add_block (SlScene *scene, SlRect rect, double cost, gboolean handle)
{
  Block block = { rect, cost, handle };

  g_array_append_val (scene->blocks, block);
}

void
sl_scene_block (SlScene *scene, double x, double y, double width, double height, double cost)
{
  if (width > 0 && height > 0)
    add_block (scene, (SlRect){ x, y, width, height }, cost, FALSE);
}

void
sl_scene_line (SlScene *scene, double x0, double y0, double x1, double y1, double cost)
{
  Line line = { x0, y0, x1, y1, cost, FALSE };

  g_array_append_val (scene->lines, line);
}

void
sl_scene_handle (SlScene *scene, double x, double y)
{
  double r = SL_HANDLE_RADIUS + 3;

  add_block (scene, (SlRect){ x - r, y - r, 2 * r, 2 * r }, SL_NEVER, TRUE);
}

void
sl_scene_request (SlScene *scene, const SlRequest *request)
{
  if (isfinite (request->x) && isfinite (request->y) && request->n_wordings > 0)
    g_array_append_val (scene->requests, *request);
}

void
sl_wording_add (SlWording *wording, SlInk ink, gboolean bold, gboolean small, const char *text)
{
  SlRun *run;
  const char *end;

  if (wording->n == SL_MAX_RUNS || !*text)
    return;
  if (wording->n == wording->n_above)
    wording->n_above++;
  run = &wording->runs[wording->n++];
  *run = (SlRun){ ink, bold, small, "" };
  g_strlcpy (run->text, text, sizeof run->text);
  if (!g_utf8_validate (run->text, -1, &end))
    run->text[end - run->text] = '\0';
}

/* A wording is told to be on its second line by n_above staying behind n; an empty run marks the place. */
void
sl_wording_break (SlWording *wording)
{
  if (wording->n > 0 && wording->n < SL_MAX_RUNS)
    wording->runs[wording->n++] = (SlRun){ SL_INK_QUIET, FALSE, TRUE, "" };
}

static double
run_size (const SlScene *scene, const SlRun *run)
{
  return (run->small ? SL_TEXT_SIZE_SMALL : SL_TEXT_SIZE) * scene->options->text_scale;
}

/* Width and height of the runs @from to @to of a wording. */
static void
measure_runs (const SlScene *scene, const SlWording *wording, int from, int to, double *width, double *height)
{
  *width = *height = 0;
  for (int i = from; i < to; i++)
    if (wording->runs[i].text[0])
      {
        SlText text = sl_text (wording->runs[i].text, run_size (scene, &wording->runs[i]), wording->runs[i].bold);

        *width += text.width;
        *height = MAX (*height, text.height);
      }
}

static void
measure (const SlScene *scene, const SlWording *wording, double *width, double *above, double *below)
{
  double w0, w1;

  measure_runs (scene, wording, 0, wording->n_above, &w0, above);
  measure_runs (scene, wording, wording->n_above, wording->n, &w1, below);
  *width = MAX (w0, w1);
}

double
sl_wording_width (const SlScene *scene, const SlWording *wording)
{
  double width, above, below;

  measure (scene, wording, &width, &above, &below);
  return width;
}

double
sl_scene_text_height (const SlScene *scene)
{
  return sl_text ("0", SL_TEXT_SIZE * scene->options->text_scale, TRUE).height;
}

static void
show_runs (SlScene *scene, const SlWording *wording, int from, int to, double x, double y, double width, double align)
{
  double w, h, baseline = 0;

  measure_runs (scene, wording, from, to, &w, &h);
  x += (width - w) * align;
  for (int i = from; i < to; i++)
    if (wording->runs[i].text[0])
      baseline =
          MAX (baseline,
               sl_text (wording->runs[i].text, run_size (scene, &wording->runs[i]), wording->runs[i].bold).baseline);
  for (int i = from; i < to; i++)
    if (wording->runs[i].text[0])
      {
        SlText text = sl_text (wording->runs[i].text, run_size (scene, &wording->runs[i]), wording->runs[i].bold);

        sl_set_ink (scene->cr, scene->palette, wording->runs[i].ink);
        sl_text_show (scene->cr, &text, x, y + baseline - text.baseline);
        x += text.width;
      }
}

/* Draws a wording and enters it among the texts and into the map. */
static void
show (SlScene *scene, const SlWording *wording, SlRect box, double above, double between, double align)
{
  show_runs (scene, wording, 0, wording->n_above, box.x, box.y, box.width, align);
  show_runs (scene, wording, wording->n_above, wording->n, box.x, box.y + above + between, box.width, align);
  g_array_append_val (scene->texts, box);
  if (scene->map && scene->map->labels)
    {
      SlPictureLabel label = { .rect = box };
      g_autoptr (GString) text = g_string_new (NULL);
      const char *end;

      for (int i = 0; i < wording->n; i++)
        g_string_append (text, wording->runs[i].text[0] ? wording->runs[i].text : " ");
      g_strlcpy (label.text, text->str, sizeof label.text);
      if (!g_utf8_validate (label.text, -1, &end))
        label.text[end - label.text] = '\0';
      g_array_append_val (scene->map->labels, label);
    }
}

static gboolean
rects_meet (const SlRect *a, const SlRect *b, double clearance)
{
  return a->x < b->x + b->width + clearance && b->x < a->x + a->width + clearance &&
         a->y < b->y + b->height + clearance && b->y < a->y + a->height + clearance;
}

static gboolean
inside_stage (const SlScene *scene, const SlRect *r)
{
  const SlRect *s = &scene->stage;

  return r->x >= s->x - ROUNDING && r->y >= s->y - ROUNDING && r->x + r->width <= s->x + s->width + ROUNDING &&
         r->y + r->height <= s->y + s->height + ROUNDING;
}

static gboolean
free_of_texts (const SlScene *scene, const SlRect *box)
{
  for (guint i = 0; i < scene->texts->len; i++)
    if (rects_meet (box, &g_array_index (scene->texts, SlRect, i), TEXT_CLEARANCE))
      return FALSE;
  return TRUE;
}

gboolean
sl_scene_fixed (SlScene *scene, const SlWording *wording, double x, double y, double align)
{
  double width, above, below, between;
  SlRect box;

  measure (scene, wording, &width, &above, &below);
  between = below > 0 ? 2 * LANDING_GAP : 0;
  box = (SlRect){ x - align * width, y, width, above + between + below };
  if (!inside_stage (scene, &box) || !free_of_texts (scene, &box))
    return FALSE;
  show (scene, wording, box, above, between, align);
  return TRUE;
}

/* Whether a segment meets a rectangle: Liang and Barsky's clipping. */
static gboolean
segment_meets (double x0, double y0, double x1, double y1, const SlRect *r, double grow)
{
  double t0 = 0, t1 = 1, dx = x1 - x0, dy = y1 - y0;
  double p[4] = { -dx, dx, -dy, dy };
  double q[4] = { x0 - (r->x - grow), r->x + r->width + grow - x0, y0 - (r->y - grow), r->y + r->height + grow - y0 };

  for (int i = 0; i < 4; i++)
    {
      if (p[i] == 0)
        {
          if (q[i] < 0)
            return FALSE;
        }
      else
        {
          double t = q[i] / p[i];

          if (p[i] < 0)
            t0 = MAX (t0, t);
          else
            t1 = MIN (t1, t);
          if (t0 > t1)
            return FALSE;
        }
    }
  return TRUE;
}

static double
cross (double ax, double ay, double bx, double by)
{
  return ax * by - ay * bx;
}

static gboolean
segments_cross (const Line *l, double x0, double y0, double x1, double y1)
{
  double dx = x1 - x0, dy = y1 - y0, ex = l->x1 - l->x0, ey = l->y1 - l->y0;
  double a = cross (dx, dy, l->x0 - x0, l->y0 - y0), b = cross (dx, dy, l->x1 - x0, l->y1 - y0);
  double c = cross (ex, ey, x0 - l->x0, y0 - l->y0), d = cross (ex, ey, x1 - l->x0, y1 - l->y0);

  return ((a > 0) != (b > 0)) && ((c > 0) != (d > 0));
}

/* What the text's box costs where it is: INFINITY where it can't be there. */
static double
box_cost (const SlScene *scene, const SlRect *box)
{
  double cost = 0;

  if (!inside_stage (scene, box) || !free_of_texts (scene, box))
    return INFINITY;
  for (guint i = 0; i < scene->blocks->len; i++)
    {
      const Block *b = &g_array_index (scene->blocks, Block, i);

      if (rects_meet (box, &b->rect, 0))
        {
          cost += b->cost;
          if (isinf (cost))
            return cost;
        }
    }
  for (guint i = 0; i < scene->lines->len; i++)
    {
      const Line *l = &g_array_index (scene->lines, Line, i);

      if (segment_meets (l->x0, l->y0, l->x1, l->y1, box, LINE_CLEARANCE))
        {
          if (l->leader)
            return INFINITY;
          cost += l->cost;
          if (isinf (cost))
            return cost;
        }
    }
  return cost;
}

static double
leader_cost (const SlScene *scene, const SlRequest *request, const Place *p)
{
  double cost = 0, length = hypot (p->foot_x - request->x, p->foot_y - request->y);
  double ux = request->x, uy = request->y;

  /* Near what it points at a leader may touch what it points at. */
  if (length > 1)
    {
      ux += (p->foot_x - request->x) * MIN (0.5, 2 / length);
      uy += (p->foot_y - request->y) * MIN (0.5, 2 / length);
    }
  for (guint i = 0; i < scene->texts->len; i++)
    if (segment_meets (ux, uy, p->foot_x, p->foot_y, &g_array_index (scene->texts, SlRect, i), 1))
      return INFINITY;
  for (guint i = 0; i < scene->lines->len; i++)
    {
      const Line *l = &g_array_index (scene->lines, Line, i);

      if (segments_cross (l, ux, uy, p->foot_x, p->foot_y))
        cost += l->leader         ? COST_LEADER_OVER_LEADER
                : isinf (l->cost) ? COST_LEADER_OVER_STRING
                                  : l->cost * COST_LEADER_OVER_LINE;
    }
  for (guint i = 0; i < scene->blocks->len; i++)
    {
      const Block *b = &g_array_index (scene->blocks, Block, i);

      if (segment_meets (ux, uy, p->foot_x, p->foot_y, &b->rect, 0))
        cost += b->handle         ? COST_LEADER_OVER_HANDLE
                : isinf (b->cost) ? COST_LEADER_OVER_BLOCK * MIN (length, b->rect.height)
                                  : 0;
    }
  return cost;
}

/* The label of size @w by @above + @below with the leader's foot at (fx, fy), its text to the right or left of it. */
static Place
place_at (const SlRequest *request, double fx, double fy, gboolean to_right, double w, double above, double below)
{
  Place p = { .foot_x = fx, .foot_y = fy, .to_right = to_right };

  if (request->end == SL_LEADER_NONE)
    p.box = (SlRect){ fx - w / 2, fy - (above + below) / 2, w, above + below };
  else
    p.box = (SlRect){ to_right ? fx + LANDING_PAD : fx - LANDING_PAD - w, fy - LANDING_GAP - above, w,
                      above + (below > 0 ? below + 2 * LANDING_GAP : LANDING_GAP) };
  p.landing_x = to_right ? fx + LANDING_PAD + w : fx - LANDING_PAD - w;
  p.landing_y = fy;
  return p;
}

static void
consider (const SlScene *scene, const SlRequest *request, Place p, double distance, double turn, Place *best)
{
  double cost = distance + turn;

  if (cost >= best->cost)
    return;
  cost += box_cost (scene, &p.box);
  if (cost >= best->cost)
    return;
  if (request->end != SL_LEADER_NONE)
    {
      SlRect own = p.box;

      /* A leader must not run back through its own text. */
      if (segment_meets (request->x, request->y, p.foot_x + (p.to_right ? -1 : 1), p.foot_y, &own, 0))
        return;
      cost += leader_cost (scene, request, &p);
    }
  if (cost < best->cost)
    {
      *best = p;
      best->cost = cost;
    }
}

/* Rings round the point, nearest first. */
static void
search_rings (const SlScene *scene, const SlRequest *request, double w, double above, double below, Place *best)
{
  static const double steps[] = { 0, 8, 18, 30, 46, 66, 92, 124, 164, 214 };
  enum
  {
    N_DIRECTIONS = 20
  };
  double wish = hypot (request->dx, request->dy);

  for (guint k = 0; k < G_N_ELEMENTS (steps); k++)
    {
      double r = request->clear + steps[k];

      if (request->reach > 0 && r > request->reach)
        break;
      for (int i = 0; i < N_DIRECTIONS; i++)
        {
          double angle = 2 * G_PI * i / N_DIRECTIONS, c = cos (angle), s = sin (angle);
          double turn = wish > 0 ? COST_TURN * (1 - (c * request->dx + s * request->dy) / wish) : 0;
          double fx = request->x + r * c, fy = request->y + r * s;

          if (request->end == SL_LEADER_NONE)
            {
              /* The box's edge, not its middle, is r away. */
              double push = MIN (fabs (c) > 1e-9 ? w / 2 / fabs (c) : INFINITY,
                                 fabs (s) > 1e-9 ? (above + below) / 2 / fabs (s) : INFINITY);

              consider (scene, request, place_at (request, fx + push * c, fy + push * s, TRUE, w, above, below),
                        steps[k], turn, best);
              continue;
            }
          if (c > -0.35)
            consider (scene, request, place_at (request, fx, fy, TRUE, w, above, below), steps[k], turn, best);
          if (c < 0.35)
            consider (scene, request, place_at (request, fx, fy, FALSE, w, above, below), steps[k], turn, best);
        }
    }
}

/* Anywhere on the stage, when nothing near is free. */
static void
search_stage (const SlScene *scene, const SlRequest *request, double w, double above, double below, Place *best)
{
  enum
  {
    COLUMNS = 28,
    ROWS = 16
  };
  const SlRect *s = &scene->stage;

  for (int row = 0; row <= ROWS; row++)
    for (int column = 0; column <= COLUMNS; column++)
      {
        double fx = s->x + s->width * column / COLUMNS, fy = s->y + s->height * row / ROWS;
        double distance = hypot (fx - request->x, fy - request->y);

        if (distance < request->clear)
          continue;
        consider (scene, request, place_at (request, fx, fy, TRUE, w, above, below), distance, 0, best);
        consider (scene, request, place_at (request, fx, fy, FALSE, w, above, below), distance, 0, best);
      }
}

static void
draw_leader (SlScene *scene, const SlRequest *request, const Place *p)
{
  Line leader = { request->x, request->y, p->foot_x, p->foot_y, SL_NEVER, TRUE };
  Line landing = { p->foot_x, p->foot_y, p->landing_x, p->landing_y, SL_NEVER, TRUE };
  cairo_t *cr = scene->cr;

  sl_set_dash (cr, SL_DASH_NONE);
  cairo_set_line_width (cr, SL_LINE_THIN);
  sl_set_ink (cr, scene->palette, request->leader_ink);
  cairo_move_to (cr, request->x, request->y);
  cairo_line_to (cr, p->foot_x, p->foot_y);
  cairo_line_to (cr, p->landing_x, p->landing_y);
  cairo_stroke (cr);
  if (request->end == SL_LEADER_ARROW)
    sl_arrowhead (scene, request->leader_ink, request->x, request->y, request->x - p->foot_x, request->y - p->foot_y);
  else if (request->end == SL_LEADER_DOT)
    {
      cairo_arc (cr, request->x, request->y, 2, 0, 2 * G_PI);
      cairo_fill (cr);
    }
  g_array_append_val (scene->lines, leader);
  g_array_append_val (scene->lines, landing);
}

static void
place_one (SlScene *scene, const SlRequest *request)
{
  Place best = { .cost = INFINITY };
  int chosen = 0;

  for (int v = 0; v < request->n_wordings; v++)
    {
      Place place = { .cost = INFINITY };
      double w, above, below;

      measure (scene, &request->wordings[v], &w, &above, &below);
      search_rings (scene, request, w, above, below, &place);
      place.cost += cost_shorter[v];
      if (place.cost < best.cost)
        {
          best = place;
          chosen = v;
        }
      if (best.cost < COST_GOOD)
        break;
    }
  if (isinf (best.cost) && request->reach <= 0 && request->end != SL_LEADER_NONE)
    for (int v = 0; v < request->n_wordings && isinf (best.cost); v++)
      {
        double w, above, below;

        measure (scene, &request->wordings[v], &w, &above, &below);
        search_stage (scene, request, w, above, below, &best);
        chosen = v;
      }
  if (!isinf (best.cost))
    {
      double w, above, below;

      measure (scene, &request->wordings[chosen], &w, &above, &below);
      if (request->end != SL_LEADER_NONE)
        draw_leader (scene, request, &best);
      show (scene, &request->wordings[chosen], best.box, above, request->end != SL_LEADER_NONE ? 2 * LANDING_GAP : 0,
            request->end == SL_LEADER_NONE ? 0.5
            : best.to_right                ? 0
                                           : 1);
    }
}

void
sl_scene_place (SlScene *scene)
{
  for (guint i = 0; i < scene->requests->len; i++)
    place_one (scene, &g_array_index (scene->requests, SlRequest, i));
  g_array_set_size (scene->requests, 0);
}

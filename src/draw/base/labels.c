/* SPDX-License-Identifier: GPL-3.0-or-later */
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

#define BARE (SL_MAX_WORDINGS - 1) /* the wording that is a value alone: told only near what it is of */
#define BARE_REACH 60.0

#define LINE_CLEARANCE 1.5 /* between a text and a line */
#define TEXT_APART 5.0     /* beyond what keeps any two texts apart: side by side they would be read as one */
#define LANDING_PAD 3.0    /* what a reference line is longer than its text, on the leader's side */

/* What is searched: directions of a ring; the stage. */
#define DIRECTIONS 20
#define COLUMNS 28
#define ROWS 16

/* A label at a place. */
typedef struct
{
  SlRect box;            /* of the text */
  double foot_x, foot_y; /* where the leader meets the reference line */
  double landing_x;      /* where that ends */
  double cost;
  gboolean to_right;
} Place;

/* Whether a segment meets a rectangle: Liang and Barsky's clipping, where it isn't clear at a glance. */
static gboolean
segment_meets (double x0, double y0, double x1, double y1, const SlRect *r, double grow)
{
  if (MAX (x0, x1) < r->x - grow || MIN (x0, x1) > r->x + r->width + grow || MAX (y0, y1) < r->y - grow ||
      MIN (y0, y1) > r->y + r->height + grow)
    return FALSE;

  double t0 = 0, t1 = 1, dx = x1 - x0, dy = y1 - y0;
  double p[4] = { -dx, dx, -dy, dy };
  double q[4] = { x0 - (r->x - grow), r->x + r->width + grow - x0, y0 - (r->y - grow), r->y + r->height + grow - y0 };

  for (int i = 0; i < 4; i++)
    {
      if (p[i] == 0 && q[i] < 0)
        return FALSE;
      if (p[i] < 0)
        t0 = MAX (t0, q[i] / p[i]);
      else if (p[i] > 0)
        t1 = MIN (t1, q[i] / p[i]);
      if (t0 > t1)
        return FALSE;
    }
  return TRUE;
}

static double
cross (double ax, double ay, double bx, double by)
{
  return ax * by - ay * bx;
}

static gboolean
segments_cross (const SlSceneLine *l, double x0, double y0, double x1, double y1)
{
  double dx = x1 - x0, dy = y1 - y0, ex = l->x1 - l->x0, ey = l->y1 - l->y0;
  double a = cross (dx, dy, l->x0 - x0, l->y0 - y0), b = cross (dx, dy, l->x1 - x0, l->y1 - y0);
  double c = cross (ex, ey, x0 - l->x0, y0 - l->y0), d = cross (ex, ey, x1 - l->x0, y1 - l->y0);

  return ((a > 0) != (b > 0)) && ((c > 0) != (d > 0));
}

/* What the text's box costs where it is, or something from @most on where it costs that: INFINITY where it can't be
 * there. */
static double
box_cost (const SlScene *scene, const SlRect *box, double most)
{
  const SlRect apart = { box->x - TEXT_APART, box->y, box->width + 2 * TEXT_APART, box->height };
  double cost = 0;

  if (!sl_scene_is_free (scene, &apart))
    return INFINITY;
  for (guint i = 0; i < scene->blocks->len && cost < most; i++)
    {
      const SlSceneBlock *b = &g_array_index (scene->blocks, SlSceneBlock, i);

      if (sl_rects_meet (box, &b->rect, isinf (b->cost) ? LINE_CLEARANCE : 0))
        cost += b->cost;
    }
  for (guint i = 0; i < scene->lines->len && cost < most; i++)
    {
      const SlSceneLine *l = &g_array_index (scene->lines, SlSceneLine, i);

      if (segment_meets (l->x0, l->y0, l->x1, l->y1, box, LINE_CLEARANCE))
        cost += l->cost;
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
  SL_EACH (const SlSceneLine, l, scene->lines)
    if (segments_cross (l, ux, uy, p->foot_x, p->foot_y))
      cost += l->leader         ? COST_LEADER_OVER_LEADER
              : isinf (l->cost) ? COST_LEADER_OVER_STRING
                                : l->cost * COST_LEADER_OVER_LINE;
  SL_EACH (const SlSceneBlock, b, scene->blocks)
    if (segment_meets (ux, uy, p->foot_x, p->foot_y, &b->rect, 0))
      cost += b->handle         ? COST_LEADER_OVER_HANDLE
              : isinf (b->cost) ? COST_LEADER_OVER_BLOCK * MIN (length, b->rect.height)
                                : 0;
  return cost;
}

/* The label of this size with the leader's foot at (fx, fy), its text to the right or left of it. */
static Place
place_at (const SlRequest *request, double fx, double fy, gboolean to_right, const SlWordingSize *size)
{
  const double w = size->width, above = size->above, below = size->below;
  Place p = { .foot_x = fx, .foot_y = fy, .to_right = to_right };

  if (request->end == SL_LEADER_NONE)
    p.box = (SlRect){ fx - w / 2, fy - (above + below) / 2, w, above + below };
  else
    p.box = (SlRect){ to_right ? fx + LANDING_PAD : fx - LANDING_PAD - w, fy - SL_LANDING_GAP - above, w,
                      above + (below > 0 ? below + 2 * SL_LANDING_GAP : SL_LANDING_GAP) };
  p.landing_x = to_right ? fx + LANDING_PAD + w : fx - LANDING_PAD - w;
  return p;
}

/* Takes the place for the best where it costs less; @cost is what its distance and side cost. */
static void
consider (const SlScene *scene, const SlRequest *request, const SlWordingSize *size, double fx, double fy,
          gboolean to_right, double cost, Place *best)
{
  if (cost >= best->cost)
    return;

  Place p = place_at (request, fx, fy, to_right, size);

  cost += box_cost (scene, &p.box, best->cost - cost);
  if (cost < best->cost && request->end != SL_LEADER_NONE)
    {
      /* A leader must not run back through its own text. */
      if (segment_meets (request->x, request->y, fx + (to_right ? -1 : 1), fy, &p.box, 0))
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
search_rings (const SlScene *scene, const SlRequest *request, const SlWordingSize *size, Place *best)
{
  static const double steps[] = { 0, 8, 18, 30, 46, 66, 92, 124, 164, 214 };
  const gboolean leader = request->end != SL_LEADER_NONE;
  const double wish = hypot (request->dx, request->dy);

  for (guint k = 0; k < G_N_ELEMENTS (steps); k++)
    {
      double r = request->clear + steps[k];

      if (steps[k] >= best->cost || (request->reach > 0 && r > request->reach))
        break;
      for (int i = 0; i < DIRECTIONS; i++)
        {
          double angle = 2 * G_PI * i / DIRECTIONS, c = cos (angle), s = sin (angle);
          double turn = wish > 0 ? COST_TURN * (1 - (c * request->dx + s * request->dy) / wish) : 0;
          double fx = request->x + r * c, fy = request->y + r * s;

          if (!leader) /* the box's edge, not its middle, is r away */
            {
              double push = MIN (fabs (c) > 1e-9 ? size->width / 2 / fabs (c) : INFINITY,
                                 fabs (s) > 1e-9 ? (size->above + size->below) / 2 / fabs (s) : INFINITY);

              fx += push * c;
              fy += push * s;
            }
          if (!leader || c > -0.35)
            consider (scene, request, size, fx, fy, TRUE, steps[k] + turn, best);
          if (leader && c < 0.35)
            consider (scene, request, size, fx, fy, FALSE, steps[k] + turn, best);
        }
    }
}

/* Anywhere on the stage, when nothing near is free. */
static void
search_stage (const SlScene *scene, const SlRequest *request, const SlWordingSize *size, Place *best)
{
  const SlRect *s = &scene->stage;

  for (int row = 0; row <= ROWS; row++)
    for (int column = 0; column <= COLUMNS; column++)
      {
        double fx = s->x + s->width * column / COLUMNS, fy = s->y + s->height * row / ROWS;
        double distance = hypot (fx - request->x, fy - request->y);

        if (distance < request->clear || (request->reach > 0 && distance > request->reach))
          continue;
        for (int right = 1; right >= 0; right--)
          consider (scene, request, size, fx, fy, right, distance, best);
      }
}

static void
draw_leader (SlScene *scene, const SlRequest *request, const Place *p)
{
  SlSceneLine leader = { request->x, request->y, p->foot_x, p->foot_y, SL_NEVER, TRUE };
  SlSceneLine landing = { p->foot_x, p->foot_y, p->landing_x, p->foot_y, SL_NEVER, TRUE };
  cairo_t *cr = scene->cr;

  cairo_move_to (cr, request->x, request->y);
  cairo_line_to (cr, p->foot_x, p->foot_y);
  cairo_line_to (cr, p->landing_x, p->foot_y);
  sl_stroke (cr, scene->palette, request->leader_ink, SL_LINE_THIN);
  if (request->end == SL_LEADER_ARROW)
    sl_arrowhead (scene, request->leader_ink, request->x, request->y, request->x - p->foot_x, request->y - p->foot_y);
  else if (request->end == SL_LEADER_DOT)
    {
      sl_circle (cr, request->x, request->y, 2);
      cairo_fill (cr);
    }
  g_array_append_val (scene->lines, leader);
  g_array_append_val (scene->lines, landing);
}

static void
place_one (SlScene *scene, const SlRequest *request)
{
  const gboolean leader = request->end != SL_LEADER_NONE;
  Place best = { .cost = INFINITY };
  SlWordingSize sizes[SL_MAX_WORDINGS] = { 0 };
  int chosen = 0;

  for (int v = 0; v < request->n_wordings && !(best.cost < COST_GOOD); v++)
    {
      Place place = { .cost = INFINITY };
      SlRequest tried = *request;

      if (v == BARE)
        tried.reach = tried.clear + BARE_REACH;
      sizes[v] = sl_wording_size (scene, &request->wordings[v]);
      search_rings (scene, &tried, &sizes[v], &place);
      place.cost += cost_shorter[v];
      if (place.cost < best.cost)
        {
          best = place;
          chosen = v;
        }
    }
  for (int v = 0; v < MIN (request->n_wordings, BARE) && isinf (best.cost) && leader; v++)
    {
      search_stage (scene, request, &sizes[v], &best);
      chosen = v;
    }
  if (isinf (best.cost))
    return;
  if (request->draw != NULL)
    request->draw (scene, request);
  if (leader)
    draw_leader (scene, request, &best);
  sl_scene_show (scene, &request->wordings[chosen], best.box, sizes[chosen].above, leader ? 2 * SL_LANDING_GAP : 0,
                 !leader         ? 0.5
                 : best.to_right ? 0
                                 : 1);
}

void
sl_scene_place (SlScene *scene)
{
  for (guint i = 0; i < scene->requests->len; i++)
    place_one (scene, &g_array_index (scene->requests, SlRequest, i));
  g_array_set_size (scene->requests, 0);
}

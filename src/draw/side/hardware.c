/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/side/hardware.h"

/* Sizes in mm: common practice; a document has none of them. */
#define PIN_HEAD 7.5
#define TURN 0.9       /* of a thread */
#define LEAST_TURN 2.6 /* units: closer together its lines would run into one */
#define BLOCK_WIDTH 12.0
#define SPRING_LENGTH 52.0
#define SPRING_DEPTH 15.0 /* of the hollow in the back that they lie in */
#define CONE_RADIUS 68.0
#define CONE_RISE 16.0

static void
keep_clear (const SlHardware *h, double left, double top, double right, double bottom)
{
  sl_scene_block (h->scene, left, top, right - left, bottom - top, SL_NEVER);
}

/* Fills and outlines the path, closed, and keeps labels off it. */
static void
fill (const SlHardware *h, SlInk ink, SlInk edge)
{
  double left, top, right, bottom;

  cairo_close_path (h->scene->cr);
  cairo_fill_extents (h->scene->cr, &left, &top, &right, &bottom);
  keep_clear (h, left, top, right, bottom);
  sl_fill_and_stroke (h->scene->cr, h->scene->palette, ink, edge, SL_LINE_THICK);
}

static void
box (const SlHardware *h, SlInk ink, double left, double top, double right, double bottom)
{
  cairo_rectangle (h->scene->cr, left, top, right - left, bottom - top);
  fill (h, ink, SL_INK_OUTLINE);
}

static void
polygon (const SlHardware *h, SlInk ink, int n, const SlPoint *points)
{
  sl_polygon (h->scene->cr, n, points);
  fill (h, ink, SL_INK_OUTLINE);
}

/* A screw with its turns, @wide in mm. */
static void
thread (const SlHardware *h, double x, double top, double bottom, double wide)
{
  const double half = MAX (1, wide * h->unit / 2), turn = MAX (LEAST_TURN, TURN * h->unit);

  if (bottom <= top)
    return;
  box (h, SL_INK_METAL, x - half, top, x + half, bottom);
  for (double y = top + turn; y < bottom - 0.5; y += turn)
    sl_stroke_line (h->scene, SL_INK_OUTLINE, SL_LINE_THIN, SL_DASH_NONE, x - half, y, x + half,
                    MAX (top, y - half * 0.5));
}

/* One block from front to back, its ends sloping down to the body. */
static void
draw_glued_bridge (const SlHardware *h)
{
  cairo_t *cr = h->scene->cr;
  const gboolean holds = h->in->bridge == SL_BRIDGE_PINNED;
  double reach = 13 * h->unit, slope = 8 * h->unit, front = h->crest.x - reach,
         back = holds ? h->anchor.x + reach * 0.9 : h->crest.x + reach;

  cairo_move_to (cr, front - slope, h->body);
  cairo_curve_to (cr, front - slope * 0.5, h->body, front - slope * 0.2, h->top, front + 2, h->top);
  cairo_line_to (cr, back - 2, h->top);
  cairo_curve_to (cr, back + slope * 0.2, h->top, back + slope * 0.5, h->body, back + slope, h->body);
  fill (h, SL_INK_BRIDGE, SL_INK_OUTLINE);
}

/* Saddle block in front, tie block behind, a trough between. */
static void
draw_tie_block (const SlHardware *h)
{
  const double crest = h->crest.x, anchor = h->anchor.x, reach = 9 * h->unit, half = 5 * h->unit,
               back = MAX (anchor + half, crest + reach + 2 * half), front = crest + sl_hardware_saddle (h).width,
               trough = h->top + (h->body - h->top) * 0.55;

  polygon (h, SL_INK_BRIDGE, 9,
           (SlPoint[]){ { crest - 2 * reach, h->body },
                        { crest - reach, h->top },
                        { front + 0.4 * half, h->top },
                        { front + 0.6 * half, trough },
                        { anchor - half, trough },
                        { anchor - half, h->top + 1 },
                        { back, h->top + 1 },
                        { back, trough },
                        { back + reach, h->body } });
}

/* Magnified as all heights are, the body reaches up to what is set in it: from @left to @right, at @top. */
static void
draw_rise (const SlHardware *h, double left, double right, double top)
{
  const double slope = MIN (8 * h->unit, h->body - top);

  if (slope <= 1)
    return;
  sl_polygon (h->scene->cr, 4,
              (SlPoint[]){ { left - slope, h->body }, { left, top }, { right, top }, { right + slope, h->body } });
  fill (h, SL_INK_BODY, SL_INK_BODY_EDGE);
  cairo_rectangle (h->scene->cr, left - slope + 1, h->body - 1, right - left + 2 * slope - 2, 2);
  sl_fill (h->scene->cr, h->scene->palette, SL_INK_BODY);
}

/* A low plate screwed to a solid body. */
static void
draw_plate (const SlHardware *h)
{
  const double reach = 11 * h->unit, front = h->crest.x - reach, back = MAX (h->anchor.x, h->crest.x) + reach,
               foot = MIN (h->body, h->top + MAX (2, 3 * h->unit));

  draw_rise (h, front, back, foot);
  box (h, SL_INK_METAL, front, h->top, back, foot);
}

/* A bushing in a solid body, from which the post comes out. */
static void
draw_bushing (const SlHardware *h)
{
  const double half = MAX (3, 4.5 * h->unit), foot = MIN (h->top + 18 * h->unit, (h->body + h->back) / 2);

  draw_rise (h, h->crest.x - 14 * h->unit, MAX (h->crest.x, h->anchor.x) + 14 * h->unit, h->top);
  box (h, SL_INK_METAL, h->crest.x - half, h->top, h->crest.x + half, foot);
}

/* Two feet on the top, held there by the strings alone. */
static void
draw_feet (const SlHardware *h)
{
  cairo_t *cr = h->scene->cr;
  const double x = h->crest.x, wide = 12 * h->unit, neck = 8 * h->unit,
               foot = MIN (4 * h->unit, (h->body - h->top) / 3), arch = (h->body - h->top) * 0.22;

  cairo_move_to (cr, x - neck * 0.8, h->top);
  cairo_line_to (cr, x + neck * 0.8, h->top);
  cairo_curve_to (cr, x + neck, h->body - 2 * foot, x + wide, h->body - foot, x + wide, h->body);
  cairo_line_to (cr, x + neck * 0.9, h->body);
  cairo_curve_to (cr, x + neck * 0.4, h->body - arch, x - neck * 0.4, h->body - arch, x - neck * 0.9, h->body);
  cairo_line_to (cr, x - wide, h->body);
  cairo_curve_to (cr, x - wide, h->body - foot, x - neck, h->body - 2 * foot, x - neck * 0.8, h->top);
  fill (h, SL_INK_BRIDGE, SL_INK_OUTLINE);
}

/* A hollow in the body, cut open. */
static void
draw_hollow (const SlHardware *h, double left, double top, double right, double bottom)
{
  cairo_rectangle (h->scene->cr, left, top, right - left, bottom - top);
  fill (h, SL_INK_PAPER, SL_INK_BODY_EDGE);
}

/* A coil between two places on a level. */
static void
draw_spring (const SlHardware *h, double left, double right, double y, double half)
{
  const int turns = MAX (6, (int) ((right - left) / MAX (LEAST_TURN, 2.2 * h->unit)));

  cairo_move_to (h->scene->cr, left, y);
  for (int i = 1; i < turns; i++)
    cairo_line_to (h->scene->cr, left + (right - left) * i / turns, y + (i % 2 ? -half : half));
  cairo_line_to (h->scene->cr, right, y);
  sl_stroke (h->scene->cr, h->scene->palette, SL_INK_OUTLINE, SL_LINE_THICK);
}

/* A tremolo's block reaches down to the springs. */
static double
block_foot (const SlHardware *h)
{
  return h->back - MIN (0.3 * SPRING_DEPTH * h->unit, (h->back - h->body) / 4);
}

/* A plate that turns on its front edge, which leans on a post; its block goes through the body to the springs. */
static void
draw_knife_edge (const SlHardware *h)
{
  const double u = h->unit, thick = MAX (2, 2.5 * u), edge = h->crest.x - 15 * u, back = h->crest.x + 20 * u,
               left = h->crest.x - 6 * u, right = left + BLOCK_WIDTH * u,
               hollow = MAX (h->back - SPRING_DEPTH * u, (h->body + h->back) / 2), foot = block_foot (h),
               claw = left - SPRING_LENGTH * u,
               plate = h->in->balance == SL_BALANCE_DECKED ? h->body - thick : MIN (h->top, h->body - thick);

  draw_hollow (h, left - 9 * u, h->body, right + 9 * u, h->back);
  draw_hollow (h, claw - 6 * u, hollow, left - 9 * u, h->back);
  if (h->in->balance == SL_BALANCE_BLOCKED)
    {
      box (h, SL_INK_NECK, left - 9 * u, (h->body + hollow) / 2, left, hollow);
      box (h, SL_INK_NECK, right, (h->body + hollow) / 2, right + 9 * u, hollow);
    }
  draw_spring (h, claw, left, (hollow + h->back) / 2, MAX (1.5, 2.6 * u));
  box (h, SL_INK_METAL, claw - 2 * u, hollow + 1, claw, h->back - 1);
  thread (h, edge - 2.5 * u, plate - 3 * u, h->body + 14 * u, 5);
  box (h, SL_INK_METAL, left, plate, right, foot);
  polygon (h, SL_INK_METAL, 5,
           (SlPoint[]){ { edge, plate + thick * 0.7 },
                        { edge + thick * 1.4, plate },
                        { back, plate },
                        { back, plate + thick },
                        { edge + thick, plate + thick } });
}

/* A wooden seat on a thin cone that is let into the top, under a cover. */
static void
draw_cone (const SlHardware *h)
{
  const double u = h->unit, x = h->crest.x, seat = 16 * u, wide = MIN (CONE_RADIUS * u, h->end - x - 3),
               apex = h->body - 2 * u, rim = MIN (h->body + CONE_RISE * u, (h->body + h->back) / 2),
               cover = MAX (2, 2.5 * u);

  draw_hollow (h, x - wide, h->body, x + wide, rim);
  polygon (h, SL_INK_METAL, 6,
           (SlPoint[]){ { x - wide, rim },
                        { x - seat * 0.7, apex },
                        { x + seat * 0.7, apex },
                        { x + wide, rim },
                        { x + seat * 0.6, apex + cover },
                        { x - seat * 0.6, apex + cover } });
  for (int way = -1; way <= 1; way += 2)
    polygon (h, SL_INK_METAL, 4,
             (SlPoint[]){ { x + way * (wide + 4 * u), h->body },
                          { x + way * (seat + 4 * u), h->body - cover * 1.6 },
                          { x + way * (seat + 4 * u), h->body - cover * 0.8 },
                          { x + way * (wide + 4 * u), h->body + 1 } });
  polygon (h, SL_INK_BRIDGE, 6,
           (SlPoint[]){ { x - seat, apex },
                        { x - seat, apex - 4 * u },
                        { x - 5 * u, MIN (h->top, apex - 5 * u) },
                        { x + 5 * u, MIN (h->top, apex - 5 * u) },
                        { x + seat, apex - 4 * u },
                        { x + seat, apex } });
}

static void
draw_pin (const SlHardware *h)
{
  cairo_t *cr = h->scene->cr;
  const double x = h->anchor.x, r = MAX (2.5, PIN_HEAD / 2 * h->unit), foot = (h->top + 2 * h->body) / 3;

  polygon (
      h, SL_INK_BONE, 4,
      (SlPoint[]){ { x - r * 0.45, h->top }, { x - r * 0.3, foot }, { x + r * 0.3, foot }, { x + r * 0.55, h->top } });
  cairo_move_to (cr, x - r, h->top - 1);
  cairo_curve_to (cr, x - r, h->top - r * 1.4, x + r, h->top - r * 1.4, x + r, h->top - 1);
  fill (h, SL_INK_BONE, SL_INK_OUTLINE);
}

/* A bar on two studs in the body. */
static void
draw_bar (const SlHardware *h)
{
  const double half = MAX (3, 6 * h->unit), x = h->anchor.x, y = h->anchor.y;

  thread (h, x, y, MAX (y + 2, h->top + 10 * h->unit), 5);
  sl_circle (h->scene->cr, x, y, half * 0.8);
  fill (h, SL_INK_METAL, SL_INK_OUTLINE);
}

/* A plate's back, turned up to hold the strings. */
static void
draw_lip (const SlHardware *h)
{
  const double x = h->anchor.x, half = MAX (1.5, 1.5 * h->unit), top = MIN (h->anchor.y - 2 * half, h->top - 2);

  box (h, SL_INK_METAL, x - half, top, x + half, h->top + 1);
}

/* A bar that takes the strings, held from the body's end. */
static void
draw_tail (const SlHardware *h)
{
  const double x = h->anchor.x, y = h->anchor.y, end = h->end - 5, half = MAX (2.5, 3 * h->unit),
               thick = MAX (1.5, 1.2 * h->unit);

  polygon (h, SL_INK_METAL, 4,
           (SlPoint[]){ { x, y - thick }, { end, h->body - 2 * thick }, { end, h->body }, { x, y + thick } });
  sl_circle (h->scene->cr, x, y, half);
  fill (h, SL_INK_METAL, SL_INK_OUTLINE);
}

/* The string goes on through the body to a ferrule in its back, or down a tremolo's block: hidden, so traced. */
static void
draw_ferrule (const SlHardware *h)
{
  const double x = h->anchor.x, half = MAX (1.5, 3 * h->unit), top = h->back - 1.6 * half;

  sl_stroke_line (h->scene, SL_INK_PLANNED, SL_LINE_THIN, SL_DASH_TRACE, x, h->anchor.y, x, top);
  box (h, SL_INK_METAL, x - half, top, x + half, h->back);
  sl_scene_line (h->scene, x, h->anchor.y, x, h->back, SL_NEVER);
}

static void
draw_in_block (const SlHardware *h)
{
  const double x = h->anchor.x, inside = MIN (x, h->crest.x + 3 * h->unit);

  sl_stroke_line (h->scene, SL_INK_PLANNED, SL_LINE_THIN, SL_DASH_TRACE, x, h->anchor.y, inside,
                  (h->body + block_foot (h)) / 2);
}

/* The string's turns round the tie block. */
static void
draw_tie (const SlHardware *h)
{
  cairo_t *cr = h->scene->cr;
  const double half = MAX (3, 4 * h->unit), round = MAX (2, 1.6 * h->unit), x = h->anchor.x, y = h->anchor.y,
               over = h->top - MAX (1, 0.8 * h->unit);

  cairo_move_to (cr, x - half, y);
  cairo_line_to (cr, x + half, y);
  cairo_curve_to (cr, x + half + round, y, x + half + round, over, x + half, over);
  cairo_line_to (cr, x - half, over);
  cairo_curve_to (cr, x - half - round, over, x - half - round, y, x - half, y);
  sl_stroke (cr, h->scene->palette, SL_INK_PLANNED, h->string);
  keep_clear (h, x - half - round, over - 2, x + half + round, over + 4);
}

/* The first row that fits: a bridge with a tailpiece is told by how its saddle is set, too, and stands on a solid body
 * where that is on posts or single screws. */
#define ANY SL_ADJUST_DEFAULT
#define SOLID TRUE, FALSE, FALSE
#define ARCHED FALSE, TRUE, FALSE
#define WOOD FALSE, FALSE, TRUE
#define HOLLOW FALSE, FALSE, FALSE
#define OVER TRUE
#define IN FALSE
static const struct
{
  SlBridgeKind kind;
  SlSaddleAdjust adjust;
  SlBridgeBuild build;
} builds[] = {
  { SL_BRIDGE_TAILPIECE, SL_ADJUST_POSTS, { draw_bushing, draw_bar, SOLID, OVER, 9, 0, 40, 46 } },
  { SL_BRIDGE_TAILPIECE, SL_ADJUST_SCREWS, { draw_plate, draw_lip, SOLID, OVER, 9, 3, 14, 46 } },
  { SL_BRIDGE_TAILPIECE, ANY, { draw_glued_bridge, draw_tail, WOOD, OVER, 9, 9, 90, 60 } },
  { SL_BRIDGE_PINNED, SL_ADJUST_SCREWS, { draw_plate, draw_lip, SOLID, OVER, 9, 3, 14, 46 } },
  { SL_BRIDGE_THROUGH_BODY, ANY, { draw_plate, draw_ferrule, SOLID, IN, 9, 3, 12, 46 } },
  { SL_BRIDGE_TIE_BLOCK, ANY, { draw_tie_block, draw_tie, WOOD, IN, 9, 9, 12, 50 } },
  { SL_BRIDGE_CONE, ANY, { draw_cone, draw_tail, HOLLOW, OVER, 14, 9, 90, 76 } },
  { SL_BRIDGE_FLOATING, ANY, { draw_feet, draw_tail, ARCHED, OVER, 12, 11, 90, 64 } },
  { SL_BRIDGE_TREMOLO, ANY, { draw_knife_edge, draw_in_block, SOLID, IN, 18, 5, 8, 76 } },
  { SL_BRIDGE_PINNED, ANY, { draw_glued_bridge, draw_pin, WOOD, IN, 9, 9, 8, 50 } },
};

const SlBridgeBuild *
sl_bridge_build (const SlInstrument *in)
{
  gsize i = 0;

  while (i + 1 < G_N_ELEMENTS (builds) &&
         (builds[i].kind != in->bridge || (builds[i].adjust != ANY && builds[i].adjust != in->adjust)))
    i++;
  return &builds[i].build;
}

/* And each saddle. */
typedef struct
{
  SlInk ink;
  double front, back; /* mm from the crest; 0: as thick as the document says */
  double high;        /* mm, of what hangs on threads */
  double thread;      /* mm: the screw it hangs on, or screws; 0: none */
  int n_threads;
  gboolean wheel, slot; /* a wheel on the thread; stands in a slot of the bridge */
} Form;

static const Form forms[SL_N_ADJUSTS] = {
  [SL_ADJUST_DEFAULT] = { SL_INK_BONE, .slot = TRUE },
  [SL_ADJUST_BASE] = { SL_INK_BONE, .slot = TRUE },
  [SL_ADJUST_SCREWS] = { SL_INK_METAL, 2, 5, 4, 1.6, 2 },
  [SL_ADJUST_POSTS] = { SL_INK_METAL, 5, 7, 8, 5, 1 },
  [SL_ADJUST_WHEELS] = { SL_INK_BRIDGE, 4, 5, 8, 3, 1, .wheel = TRUE },
  [SL_ADJUST_TOP] = { SL_INK_BONE },
  [SL_ADJUST_FIXED] = { SL_INK_METAL },
};

SlRect
sl_hardware_saddle (const SlHardware *h)
{
  const Form *form = &forms[h->in->adjust];
  const double thick = MAX (h->least, h->in->saddle_thickness * h->unit), high = h->crest.y,
               width = form->back > 0 ? MAX (h->least, (form->front + form->back) * h->unit) : thick,
               left = h->crest.x - (form->back > 0 ? form->front / (form->front + form->back) : 0.25) * width;
  double low = h->top + 1;

  if (form->thread > 0)
    low = MIN (high + MAX (0.9 * h->least, CLAMP (form->high * h->unit, (h->top - high) * 0.3, (h->top - high) * 0.6)),
               h->top - 2);
  else if (form->slot)
    low = h->top + MAX (3, (h->body - h->top) * 0.6);
  return (SlRect){ left, high, width, MAX (1, low - high) };
}

void
sl_hardware_draw_ghost (const SlHardware *h, SlPoint before)
{
  const SlRect r = sl_hardware_saddle (h);
  cairo_t *cr = h->scene->cr;
  const double x = r.x + before.x - h->crest.x, high = before.y, foot = r.y + 3;

  if (fabs (high - r.y) <= 1 && fabs (x - r.x) <= 1)
    return;
  cairo_move_to (cr, x, foot);
  cairo_line_to (cr, x, high + 2);
  cairo_curve_to (cr, x, high, x + r.width, high, x + r.width, high + 3);
  cairo_line_to (cr, x + r.width, foot);
  sl_stroke_path (h->scene, SL_INK_GHOST, SL_LINE_THIN, SL_DASH_TRACE);
}

void
sl_hardware_draw_saddle (const SlHardware *h)
{
  const Form *form = &forms[h->in->adjust];
  const SlRect r = sl_hardware_saddle (h);
  cairo_t *cr = h->scene->cr;
  const double right = r.x + r.width, low = r.y + r.height, round = MIN (4, r.height / 3);

  for (int i = 0; i < form->n_threads; i++)
    thread (h, r.x + r.width * (i + 0.5) / form->n_threads, low - 1, h->top, form->thread);
  if (form->wheel)
    {
      const double thick = MIN (MAX (2, 3 * h->unit), (h->top - low) * 0.7), wide = 2.5 * h->unit;

      box (h, SL_INK_METAL, r.x - wide, h->top - thick, right + wide, h->top);
    }
  cairo_move_to (cr, r.x, low);
  cairo_line_to (cr, r.x, r.y + round * 0.75);
  cairo_curve_to (cr, r.x, r.y, right, r.y, right, r.y + round);
  cairo_line_to (cr, right, low);
  sl_fill_closed (h->scene, form->ink);
  keep_clear (h, r.x, r.y, right, MAX (low, h->top));
}

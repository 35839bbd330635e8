/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/closeup/tool-place.h"

#include <math.h>

#include "draw/base/style.h"
#include "setup/profile/instrument.h"

/* Shares of the width and of the height: nut and saddle, board, crowns, strings. Our own composition. */
#define NUT_X 0.10
#define CREST_X 0.90
#define BOARD_Y 0.36
#define CROWN_HEIGHT 0.035
#define NUT_RISE 0.055
#define CREST_RISE 0.20
#define BOW 0.045 /* of the height, in the middle between fret 1 and the joint */
#define NECK_DEPTH 0.10
#define FRONT_TOP 0.64
#define FRONT_HEIGHT 0.28
#define FINGER_RADIUS 0.028
#define BLADE_WIDTH 0.016
#define EDGE_HEIGHT 0.06

typedef struct
{
  cairo_t *cr;
  const SlToolPlace *p;
  const SlColour *palette;
  double w, h;
  int frets, joint;
} Sketch;

static double
place_x (const Sketch *k, double share)
{
  return k->w * (NUT_X + (CREST_X - NUT_X) * share);
}

/* Of a fret, 0 the nut; twelve-tone places, as on the instrument. */
static double
fret_x (const Sketch *k, int fret)
{
  return place_x (k, sl_fret_place (1, fret));
}

/* Top of a crown: the bow, which is what most readings are about, far out of scale. */
static double
crown_y (const Sketch *k, int fret)
{
  const double t =
      (sl_fret_place (1, fret) - sl_fret_place (1, 1)) / (sl_fret_place (1, k->joint) - sl_fret_place (1, 1));
  const double dip = fret <= k->joint ? BOW * 4 * t * (1 - t) : BOW * 0.5 * (t - 1);

  return k->h * (BOARD_Y - CROWN_HEIGHT + dip);
}

static double
string_y (const Sketch *k, double x)
{
  const int held = k->p->held == SL_HELD_1 ? 1 : k->p->held == SL_HELD_3 ? 3 : 0;
  const double x0 = fret_x (k, held), x1 = place_x (k, 1);
  const double y0 = held > 0 ? crown_y (k, held) : k->h * (BOARD_Y - CROWN_HEIGHT - NUT_RISE),
               y1 = k->h * (BOARD_Y - CREST_RISE);
  const double nut_y = k->h * (BOARD_Y - CROWN_HEIGHT - NUT_RISE), nut_x = fret_x (k, 0);

  if (held > 0 && x < x0)
    return nut_y + (y0 - nut_y) * (x - nut_x) / (x0 - nut_x);
  return y0 + (y1 - y0) * (x - x0) / (x1 - x0);
}

static void
ink (const Sketch *k, SlInk which)
{
  sl_set_ink (k->cr, k->palette, which);
}

static void
draw_neck (const Sketch *k)
{
  const double left = fret_x (k, 0), joint = fret_x (k, k->joint), end = fret_x (k, k->frets);

  cairo_move_to (k->cr, left - 0.03 * k->w, k->h * BOARD_Y);
  for (int n = 1; n <= k->frets; n++)
    cairo_line_to (k->cr, fret_x (k, n), crown_y (k, n) + CROWN_HEIGHT * k->h);
  cairo_line_to (k->cr, end, k->h * (BOARD_Y + NECK_DEPTH * 0.5));
  cairo_line_to (k->cr, joint, k->h * (BOARD_Y + NECK_DEPTH));
  cairo_line_to (k->cr, left - 0.03 * k->w, k->h * (BOARD_Y + NECK_DEPTH * 0.7));
  cairo_close_path (k->cr);
  ink (k, SL_INK_BOARD);
  cairo_fill (k->cr);
  cairo_rectangle (k->cr, joint, k->h * (BOARD_Y + NECK_DEPTH * 0.5), k->w - joint, k->h * NECK_DEPTH);
  ink (k, SL_INK_BODY);
  cairo_fill (k->cr);
  for (int n = 1; n <= k->frets; n++)
    {
      /* as wide as its space leaves: toward the bridge they stand close */
      double half = MIN (CROWN_HEIGHT * k->h, 0.4 * (fret_x (k, n) - fret_x (k, n - 1)));

      cairo_save (k->cr);
      cairo_translate (k->cr, fret_x (k, n), crown_y (k, n) + CROWN_HEIGHT * k->h);
      cairo_scale (k->cr, half, CROWN_HEIGHT * k->h);
      cairo_arc (k->cr, 0, 0, 1, G_PI, 2 * G_PI);
      cairo_restore (k->cr);
      ink (k, n == k->p->fret ? SL_INK_PLANNED : SL_INK_METAL);
      cairo_fill (k->cr);
    }
}

static void
draw_ends (const Sketch *k)
{
  const double nut = fret_x (k, 0), crest = place_x (k, 1), thick = 0.012 * k->w;

  ink (k, SL_INK_BONE);
  cairo_rectangle (k->cr, nut - thick, k->h * (BOARD_Y - CROWN_HEIGHT - NUT_RISE), thick,
                   k->h * (CROWN_HEIGHT + NUT_RISE));
  cairo_rectangle (k->cr, crest - thick / 2, k->h * (BOARD_Y - CREST_RISE), thick,
                   k->h * (CREST_RISE + NECK_DEPTH * 0.3));
  cairo_fill_preserve (k->cr);
  ink (k, SL_INK_OUTLINE);
  cairo_set_line_width (k->cr, SL_LINE_THIN);
  cairo_stroke (k->cr);
  ink (k, SL_INK_BRIDGE);
  cairo_rectangle (k->cr, crest - 4 * thick, k->h * (BOARD_Y - 0.005), 8 * thick, k->h * NECK_DEPTH * 0.55);
  cairo_fill (k->cr);
}

static void
draw_string (const Sketch *k)
{
  const double nut = fret_x (k, 0), crest = place_x (k, 1);
  const int held = k->p->held == SL_HELD_1 ? 1 : k->p->held == SL_HELD_3 ? 3 : 0;

  ink (k, SL_INK_PLANNED);
  cairo_set_line_width (k->cr, SL_LINE_STRING);
  cairo_move_to (k->cr, nut, string_y (k, nut));
  if (held > 0)
    cairo_line_to (k->cr, fret_x (k, held), crown_y (k, held));
  cairo_line_to (k->cr, crest, string_y (k, crest));
  cairo_stroke (k->cr);
  if (held == 0)
    return;
  /* the finger lies behind its fret */
  cairo_arc (k->cr, (fret_x (k, held) + fret_x (k, held - 1)) / 2,
             string_y (k, (fret_x (k, held) + fret_x (k, held - 1)) / 2) - FINGER_RADIUS * k->h, FINGER_RADIUS * k->h,
             0, 2 * G_PI);
  sl_fill_and_stroke (k->cr, k->palette, SL_INK_NECK, SL_INK_OUTLINE, SL_LINE_OUTLINE);
}

/* A blade or rule that fills a gap. */
static void
draw_gap (const Sketch *k, double x, double top, double bottom)
{
  ink (k, SL_INK_CUT);
  cairo_rectangle (k->cr, x - BLADE_WIDTH * k->w / 2, top, BLADE_WIDTH * k->w, bottom - top);
  cairo_fill (k->cr);
  /* an arrow from above points at it */
  cairo_set_line_width (k->cr, SL_LINE_THICK);
  cairo_move_to (k->cr, x, 0.04 * k->h);
  cairo_line_to (k->cr, x, MIN (top, bottom) - 0.02 * k->h);
  cairo_stroke (k->cr);
  cairo_move_to (k->cr, x, MIN (top, bottom) - 0.005 * k->h);
  cairo_rel_line_to (k->cr, -0.008 * k->w, -0.03 * k->h);
  cairo_rel_line_to (k->cr, 0.016 * k->w, 0);
  cairo_close_path (k->cr);
  cairo_fill (k->cr);
}

/* A straightedge on the crowns of fret 1 and the joint, on to @end. */
static double
edge_y (const Sketch *k, double x)
{
  const double x0 = fret_x (k, 1), x1 = fret_x (k, k->joint);

  return crown_y (k, 1) + (crown_y (k, k->joint) - crown_y (k, 1)) * (x - x0) / (x1 - x0);
}

static void
draw_straightedge (const Sketch *k, double end)
{
  const double left = fret_x (k, 1) - 0.02 * k->w;

  cairo_move_to (k->cr, left, edge_y (k, left));
  cairo_line_to (k->cr, end, edge_y (k, end));
  cairo_line_to (k->cr, end, edge_y (k, end) - EDGE_HEIGHT * k->h);
  cairo_line_to (k->cr, left, edge_y (k, left) - EDGE_HEIGHT * k->h);
  cairo_close_path (k->cr);
  sl_fill_and_stroke (k->cr, k->palette, SL_INK_METAL, SL_INK_OUTLINE, SL_LINE_OUTLINE);
}

static void
draw_tool (const Sketch *k)
{
  const int fret = k->p->kind == SL_READ_FIRST_GAP ? 1 : CLAMP (k->p->fret, 0, k->frets);
  const double x = fret_x (k, fret), crest = place_x (k, 1), end = fret_x (k, k->frets);

  switch (k->p->kind)
    {
    case SL_READ_RELIEF:
      draw_straightedge (k, fret_x (k, k->joint) + 0.02 * k->w);
      draw_gap (k, x, edge_y (k, x), crown_y (k, fret));
      break;
    case SL_READ_TONGUE:
      draw_straightedge (k, end + 0.02 * k->w);
      draw_gap (k, end, edge_y (k, end), crown_y (k, k->frets));
      break;
    case SL_READ_CROWN_GAP:
      draw_straightedge (k, end + 0.02 * k->w);
      draw_gap (k, x, edge_y (k, x), crown_y (k, fret));
      break;
    case SL_READ_CROWN_HEIGHT: draw_gap (k, x, crown_y (k, fret), crown_y (k, fret) + CROWN_HEIGHT * k->h); break;
    case SL_READ_FIRST_GAP:
    case SL_READ_ACTION:
      draw_string (k);
      draw_gap (k, x, string_y (k, x), crown_y (k, fret));
      break;
    case SL_READ_EXPOSURE:
      draw_string (k);
      draw_gap (k, crest + 0.02 * k->w, k->h * (BOARD_Y - CREST_RISE), k->h * (BOARD_Y - 0.005));
      break;
    case SL_READ_SETBACK:
      draw_string (k);
      draw_gap (k, crest, k->h * (BOARD_Y - CREST_RISE - 0.02), k->h * (BOARD_Y - CREST_RISE));
      break;
    default: draw_string (k); break;
    }
}

/* The board from the front, the bass on top as a technician sees it. */
static void
draw_front (const Sketch *k)
{
  const int n = k->p->profile->n_strings;
  const double left = fret_x (k, 0), right = fret_x (k, k->frets), top = FRONT_TOP * k->h, height = FRONT_HEIGHT * k->h;
  const int fret = k->p->kind == SL_READ_FIRST_GAP ? 1 : k->p->fret;

  ink (k, SL_INK_BOARD);
  cairo_rectangle (k->cr, left, top, right - left, height);
  cairo_fill (k->cr);
  for (int f = 0; f <= k->frets; f++)
    {
      ink (k, f == fret && f > 0 ? SL_INK_CUT : SL_INK_METAL);
      cairo_set_line_width (k->cr, f == fret && f > 0 ? 2 * SL_LINE_STRING : SL_LINE_THICK);
      cairo_move_to (k->cr, fret_x (k, f), top);
      cairo_rel_line_to (k->cr, 0, height);
      cairo_stroke (k->cr);
    }
  for (int s = n; s >= 1; s--)
    {
      double y = top + height * (n - s + 0.5) / n;

      ink (k, s == k->p->string ? SL_INK_PLANNED : SL_INK_GHOST);
      cairo_set_line_width (k->cr, s == k->p->string ? 2 * SL_LINE_STRING : SL_LINE_OUTLINE);
      cairo_move_to (k->cr, left, y);
      cairo_line_to (k->cr, place_x (k, 1), y);
      cairo_stroke (k->cr);
      if (s == k->p->string && fret > 0)
        {
          ink (k, SL_INK_CUT);
          cairo_arc (k->cr, fret_x (k, fret), y, 0.022 * k->h, 0, 2 * G_PI);
          cairo_fill (k->cr);
        }
    }
}

void
sl_tool_place_draw (cairo_t *cr, const SlToolPlace *place, double width, double height)
{
  const Sketch k = {
    cr, place, sl_palette (place->dark), width, height, place->profile->neck.frets, place->profile->neck.joint_fret
  };

  draw_neck (&k);
  draw_ends (&k);
  draw_tool (&k);
  draw_front (&k);
}

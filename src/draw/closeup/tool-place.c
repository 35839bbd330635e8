/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/draw.h"

#include "draw/base/dimension.h"

/* Shares of the width and of the height: nut and saddle, board, crowns, strings. Our own composition. */
#define NUT_X 0.10
#define CREST_X 0.90
#define BOARD_Y 0.36
#define CROWN_HEIGHT 0.035
#define NUT_RISE 0.055
#define NUT_BEHIND 0.012 /* a zero fret */
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
  const SlInstrument *in;
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
      (sl_fret_place (1, fret) - sl_fret_place (1, 1)) / (sl_fret_place (1, k->in->joint) - sl_fret_place (1, 1));
  const double dip = fret <= k->in->joint ? BOW * 4 * t * (1 - t) : BOW * 0.5 * (t - 1);

  return k->h * (BOARD_Y - CROWN_HEIGHT + dip);
}

static gboolean
has_zero_fret (const Sketch *k)
{
  return k->in->nut_kind == SL_NUT_ZERO_FRET;
}

/* What the open string rests on. */
static double
nut_y (const Sketch *k)
{
  return has_zero_fret (k) ? crown_y (k, 0) : k->h * (BOARD_Y - CROWN_HEIGHT - NUT_RISE);
}

/* The fret a finger or capo holds the string at, 0 open. */
static int
held_fret (const Sketch *k)
{
  return k->p->held == SL_HELD_1 ? 1 : k->p->held == SL_HELD_3 ? 3 : 0;
}

static double
string_y (const Sketch *k, double x)
{
  const int held = held_fret (k);
  const double x0 = fret_x (k, held), x1 = place_x (k, 1), nut_x = fret_x (k, 0);
  const double y0 = held > 0 ? crown_y (k, held) : nut_y (k), y1 = k->h * (BOARD_Y - CREST_RISE);

  if (held > 0 && x < x0)
    return nut_y (k) + (y0 - nut_y (k)) * (x - nut_x) / (x0 - nut_x);
  return y0 + (y1 - y0) * (x - x0) / (x1 - x0);
}

static void
line (const Sketch *k, SlInk ink, double width, double x0, double y0, double x1, double y1)
{
  cairo_move_to (k->cr, x0, y0);
  cairo_line_to (k->cr, x1, y1);
  sl_stroke (k->cr, k->palette, ink, width);
}

static void
draw_neck (const Sketch *k)
{
  const double left = fret_x (k, 0) - 0.03 * k->w, joint = fret_x (k, k->in->joint),
               end = fret_x (k, k->in->frets) + 0.012 * k->w;

  for (int n = has_zero_fret (k) ? 0 : 1; n <= k->in->frets; n++)
    {
      /* as wide as its space leaves: toward the bridge they stand close; its foot is hidden by the board it stands on
       */
      const double half = MIN (CROWN_HEIGHT * k->h, 0.4 * (fret_x (k, MAX (n, 1)) - fret_x (k, MAX (n - 1, 0)))),
                   x = fret_x (k, n), top = crown_y (k, n), foot = top + 2 * CROWN_HEIGHT * k->h,
                   over = top - (foot - top) / 3;

      cairo_move_to (k->cr, x - half, foot);
      cairo_curve_to (k->cr, x - half, over, x + half, over, x + half, foot);
      sl_fill_and_stroke (k->cr, k->palette, n == k->p->fret ? SL_INK_PLANNED : SL_INK_METAL, SL_INK_OUTLINE,
                          SL_LINE_THIN);
    }
  cairo_move_to (k->cr, left, k->h * BOARD_Y);
  for (int n = 1; n <= k->in->frets; n++)
    cairo_line_to (k->cr, n < k->in->frets ? fret_x (k, n) : end, crown_y (k, n) + CROWN_HEIGHT * k->h);
  cairo_line_to (k->cr, end, k->h * (BOARD_Y + NECK_DEPTH * 0.5));
  cairo_line_to (k->cr, joint, k->h * (BOARD_Y + NECK_DEPTH));
  cairo_line_to (k->cr, left, k->h * (BOARD_Y + NECK_DEPTH * 0.7));
  cairo_close_path (k->cr);
  sl_fill_and_stroke (k->cr, k->palette, SL_INK_BOARD, SL_INK_OUTLINE, SL_LINE_THIN);
  cairo_rectangle (k->cr, joint, k->h * (BOARD_Y + NECK_DEPTH * 0.5), k->w - joint - 1, k->h * NECK_DEPTH);
  sl_fill_and_stroke (k->cr, k->palette, SL_INK_BODY, SL_INK_BODY_EDGE, SL_LINE_THICK);
}

/* Single saddles are metal blocks, on a plate. */
static gboolean
has_plate (const Sketch *k)
{
  return k->in->bridge == SL_BRIDGE_THROUGH_BODY || k->in->adjust == SL_ADJUST_SCREWS;
}

static void
draw_ends (const Sketch *k)
{
  const double nut = fret_x (k, 0) - (has_zero_fret (k) ? NUT_BEHIND * k->w : 0), crest = place_x (k, 1),
               thick = 0.012 * k->w;

  cairo_rectangle (k->cr, nut - thick, nut_y (k), thick, k->h * (CROWN_HEIGHT + NUT_RISE));
  sl_fill_and_stroke (k->cr, k->palette, SL_INK_BONE, SL_INK_OUTLINE, SL_LINE_THIN);
  cairo_rectangle (k->cr, crest - thick / 2, k->h * (BOARD_Y - CREST_RISE), thick,
                   k->h * (CREST_RISE + NECK_DEPTH * 0.3));
  sl_fill_and_stroke (k->cr, k->palette, has_plate (k) ? SL_INK_METAL : SL_INK_BONE, SL_INK_OUTLINE, SL_LINE_THIN);
  cairo_rectangle (k->cr, crest - 4 * thick, k->h * (BOARD_Y - 0.005), 8 * thick, k->h * NECK_DEPTH * 0.55);
  sl_fill_and_stroke (k->cr, k->palette, has_plate (k) ? SL_INK_METAL : SL_INK_BRIDGE, SL_INK_OUTLINE, SL_LINE_THIN);
}

static void
draw_string (const Sketch *k)
{
  const int held = held_fret (k);
  const double finger_x = (fret_x (k, held) + fret_x (k, MAX (held - 1, 0))) / 2;

  cairo_move_to (k->cr, fret_x (k, 0), string_y (k, fret_x (k, 0)));
  if (held > 0)
    cairo_line_to (k->cr, fret_x (k, held), crown_y (k, held));
  cairo_line_to (k->cr, place_x (k, 1), string_y (k, place_x (k, 1)));
  sl_stroke (k->cr, k->palette, SL_INK_PLANNED, SL_LINE_STRING);
  if (held == 0)
    return;
  /* the finger lies behind its fret */
  sl_circle (k->cr, finger_x, string_y (k, finger_x) - FINGER_RADIUS * k->h, FINGER_RADIUS * k->h);
  sl_fill_and_stroke (k->cr, k->palette, SL_INK_NECK, SL_INK_OUTLINE, SL_LINE_THICK);
}

/* A blade or rule that fills a gap. */
static void
draw_gap (const Sketch *k, double x, double top, double bottom)
{
  const SlReadingKind kind = k->p->kind;
  const gboolean edge = kind == SL_READ_RELIEF || kind == SL_READ_TONGUE || kind == SL_READ_CROWN_GAP;
  const double tip = MIN (top, bottom) - (edge ? EDGE_HEIGHT * k->h : 0);

  cairo_rectangle (k->cr, x - BLADE_WIDTH * k->w / 2, top, BLADE_WIDTH * k->w, bottom - top);
  sl_fill (k->cr, k->palette, SL_INK_CUT);
  /* an arrow from above points at it, or at the straightedge over it */
  line (k, SL_INK_CUT, SL_LINE_THICK, x, 0.04 * k->h, x, tip - 0.02 * k->h);
  sl_polygon (k->cr, 3,
              (SlPoint[]){ { x, tip - 0.005 * k->h },
                           { x - 0.008 * k->w, tip - 0.035 * k->h },
                           { x + 0.008 * k->w, tip - 0.035 * k->h } });
  sl_fill (k->cr, k->palette, SL_INK_CUT);
}

/* A straightedge on the crowns of fret 1 and the joint, on to @end. */
static double
edge_y (const Sketch *k, double x)
{
  const double x0 = fret_x (k, 1), x1 = fret_x (k, k->in->joint);

  return crown_y (k, 1) + (crown_y (k, k->in->joint) - crown_y (k, 1)) * (x - x0) / (x1 - x0);
}

static void
draw_straightedge (const Sketch *k, double end)
{
  const double left = fret_x (k, 1) - 0.02 * k->w;

  sl_polygon (k->cr, 4,
              (SlPoint[]){ { left, edge_y (k, left) },
                           { end, edge_y (k, end) },
                           { end, edge_y (k, end) - EDGE_HEIGHT * k->h },
                           { left, edge_y (k, left) - EDGE_HEIGHT * k->h } });
  sl_fill_and_stroke (k->cr, k->palette, SL_INK_METAL, SL_INK_OUTLINE, SL_LINE_THICK);
}

static void
draw_tool (const Sketch *k)
{
  const int fret = k->p->kind == SL_READ_FIRST_GAP ? 1 : CLAMP (k->p->fret, 0, k->in->frets);
  const double x = fret_x (k, fret), crest = place_x (k, 1), end = fret_x (k, k->in->frets);

  switch (k->p->kind)
    {
    case SL_READ_RELIEF:
    case SL_READ_CROWN_GAP:
      draw_straightedge (k, (k->p->kind == SL_READ_RELIEF ? fret_x (k, k->in->joint) : end) + 0.02 * k->w);
      draw_gap (k, x, edge_y (k, x), crown_y (k, fret));
      break;
    case SL_READ_TONGUE:
      draw_straightedge (k, end + 0.02 * k->w);
      draw_gap (k, end, edge_y (k, end), crown_y (k, k->in->frets));
      break;
    case SL_READ_CROWN_HEIGHT: draw_gap (k, x, crown_y (k, fret), crown_y (k, fret) + CROWN_HEIGHT * k->h); break;
    case SL_READ_CROWN_WEAR: draw_gap (k, x, crown_y (k, fret), crown_y (k, fret) + CROWN_HEIGHT * k->h / 2); break;
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

/* On the board from the front, where frets may slant: a fret's place at a string, or between strings and past the outer
 * ones; past the last fret the crest's. */
static double
front_x (const Sketch *k, int fret, double string)
{
  const int last = k->in->n_strings;
  const double bass = last > 1 ? (string - 1) / (last - 1) : 0;
  double at[2], longest = 0;

  for (int i = 0; i < 2; i++)
    {
      const int s = i == 0 ? 1 : last;

      at[i] = sl_nut_offset (k->in, s) + (fret > k->in->frets ? k->in->scale[s - 1] : k->in->x[s - 1][fret]);
      longest = MAX (longest, k->in->scale[s - 1]);
    }
  return place_x (k, (at[0] + bass * (at[1] - at[0])) / longest);
}

/* The board from the front, the bass below: what a right-handed instrument shows with its head to the left. */
static void
draw_front (const Sketch *k)
{
  const int n = k->in->n_strings, frets = k->in->frets;
  const double top = FRONT_TOP * k->h, height = FRONT_HEIGHT * k->h, upper = 0.5,
               lower = n + 0.5; /* edges, in strings */
  const int fret = k->p->kind == SL_READ_FIRST_GAP ? 1 : k->p->fret;

  sl_polygon (k->cr, 4,
              (SlPoint[]){ { front_x (k, 0, upper), top },
                           { front_x (k, frets, upper), top },
                           { front_x (k, frets, lower), top + height },
                           { front_x (k, 0, lower), top + height } });
  sl_fill (k->cr, k->palette, SL_INK_BOARD);
  for (int f = 0; f <= frets; f++)
    {
      const gboolean here = f == fret && f > 0;
      const double x0 = front_x (k, f, upper), x1 = front_x (k, f, lower);

      if (here)
        line (k, SL_INK_ON_WOOD, 2 * SL_LINE_STRING + 4, x0, top, x1, top + height);
      line (k, here ? SL_INK_CUT : SL_INK_METAL, here ? 2 * SL_LINE_STRING : SL_LINE_THICK, x0, top, x1, top + height);
    }
  for (int s = n; s >= 1; s--)
    {
      const double y = top + height * (s - 0.5) / n, left = front_x (k, 0, s), right = front_x (k, frets, s);
      const gboolean here = s == k->p->string;

      /* on the dark board light, or with a light edge */
      line (k, SL_INK_ON_WOOD, here ? 2 * SL_LINE_STRING + 4 : SL_LINE_THIN, left, y, right, y);
      line (k, here ? SL_INK_PLANNED : SL_INK_GHOST, here ? 2 * SL_LINE_STRING : SL_LINE_THIN, here ? left : right, y,
            front_x (k, frets + 1, s), y);
      if (here && fret > 0)
        {
          sl_circle (k->cr, front_x (k, fret, s), y, 0.022 * k->h);
          sl_fill_and_stroke (k->cr, k->palette, SL_INK_CUT, SL_INK_ON_WOOD, 2);
        }
    }
}

void
sl_tool_place_draw (cairo_t *cr, const SlToolPlace *place, double width, double height)
{
  const Sketch k = { cr, place, sl_palette (place->look), width, height, place->instrument };

  cairo_save (cr);
  if (place->instrument->left_handed)
    {
      cairo_translate (cr, width, 0);
      cairo_scale (cr, -1, 1);
    }
  draw_neck (&k);
  draw_ends (&k);
  draw_tool (&k);
  draw_front (&k);
  cairo_restore (cr);
}

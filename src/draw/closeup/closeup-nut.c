/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Nut end: the string's way over the nut down to its post, the slot's floor, the break angle, the string's rise over
 * the head's face. */
#include "draw/closeup/closeup-frame.h"
#include "draw/side/hardware.h"

/* Common practice, where the document has no figure. */
#define BOARD_MM 6.0
#define DEFAULT_RISE_MM 4.5
/* how much of the string's break the slot's floor falls back: less than the string does */
#define FLOOR_SHARE 0.6
#define VIEW_MM 24.0
#define BEHIND_SHARE 0.56 /* of the view that lies behind the nut's front */

typedef struct
{
  double tilt, rise;
  double front;          /* of the nut: 0, or behind the fret that stands there */
  double face_x, face_z; /* a point of the head's face, below the string at the nut's front */
  double rear_x, rear_z; /* direction of the string behind the nut, of length 1 */
  double slope;          /* of the string before it */
  gboolean post;
} Nut;

static Nut
nut_geometry (const SlCloseup *c, const SlStringState *s)
{
  const SlInstrument *in = c->instrument;
  int i = c->string - 1;
  Nut n = { .tilt = in->tilt_rad,
            .front = in->nut_kind == SL_NUT_ZERO_FRET ? -SL_NUT_BEHIND_MM : 0,
            .rise = in->string_rise > 0 ? in->string_rise : DEFAULT_RISE_MM,
            .post = in->has_post[i] };
  double p = n.post ? in->post_distance[i] : SL_POST_MM, wrap = n.post ? in->post_wrap[i] : SL_POST_WRAP_MM, length;

  n.face_x = n.rise * sin (n.tilt);
  n.face_z = s->p[SL_P_NUT] - n.rise * cos (n.tilt);
  n.rear_x = -p * cos (n.tilt) - (wrap - n.rise) * sin (n.tilt);
  n.rear_z = -p * sin (n.tilt) + (wrap - n.rise) * cos (n.tilt);
  length = hypot (n.rear_x, n.rear_z);
  n.rear_x /= length;
  n.rear_z /= length;
  n.slope = (s->p[SL_P_CREST] - s->p[SL_P_NUT]) / s->x_s;
  return n;
}

static double
face_at (const Nut *n, double x)
{
  return n->face_z - (n->face_x - x) * tan (n->tilt);
}

static void
draw_wood (SlCloseup *c, const Nut *n, double left, double right, double bottom)
{
  const double back = n->front - SL_NUT_MM;
  double board = -c->instrument->crown_height, seat = face_at (n, back), under = MIN (seat, board - BOARD_MM);

  sl_closeup_fill (c, SL_INK_NECK, 6,
                   (SlPoint[]){ { left - 1, face_at (n, left - 1) },
                                { back, seat },
                                { back, under },
                                { right + 1, under },
                                { right + 1, bottom - 1 },
                                { left - 1, bottom - 1 } });
  sl_fill_rectangle (c->scene, SL_INK_BOARD, sl_closeup_x (c, n->front), sl_closeup_y (c, board),
                     (right + 1 - n->front) * c->scale, (board - under) * c->scale);
  for (int i = 0; i < 6; i++)
    {
      double x0 = left + (back - left) * i / 6, x1 = left + (back - left) * (i + 1) / 6;

      sl_scene_block (c->scene, sl_closeup_x (c, x0), sl_closeup_y (c, face_at (n, x1)), (x1 - x0) * c->scale,
                      c->area.height, SL_NEVER);
    }
  sl_scene_block (c->scene, sl_closeup_x (c, back), sl_closeup_y (c, under), (right - back) * c->scale, c->area.height,
                  SL_NEVER);
  sl_closeup_block (c, n->front, board, right - n->front, board - under);
}

static void
draw_nut (SlCloseup *c, const Nut *n, double changed)
{
  cairo_t *cr = c->scene->cr;
  const double front = n->front, back = front - SL_NUT_MM, behind = MAX (0.2, -n->rear_x),
               z = c->after.p[SL_P_NUT] - n->rear_z * front / behind, half = MAX (0.15, c->diameter / 2),
               seat = MIN (face_at (n, back), -c->instrument->crown_height - BOARD_MM),
               fall = tan (FLOOR_SHARE * atan2 (-n->rear_z, -n->rear_x)) * SL_NUT_MM, low = MAX (z - fall, seat + 0.5);

  /* The slot's far wall, then the bone below its floor. */
  cairo_move_to (cr, sl_closeup_x (c, front), sl_closeup_y (c, z));
  cairo_line_to (cr, sl_closeup_x (c, front), sl_closeup_y (c, z + half));
  cairo_curve_to (cr, sl_closeup_x (c, front - SL_NUT_MM * 0.5), sl_closeup_y (c, z + half), sl_closeup_x (c, back),
                  sl_closeup_y (c, low + half * 1.4), sl_closeup_x (c, back), sl_closeup_y (c, low));
  sl_fill_closed (c->scene, SL_INK_BONE);
  sl_closeup_fill (c, SL_INK_BONE, 4, (SlPoint[]){ { front, seat }, { front, z }, { back, low }, { back, seat } });
  if (changed != 0)
    {
      sl_closeup_polygon (c, 4,
                          (SlPoint[]){ { front, z }, { front, z - changed }, { back, low - changed }, { back, low } });
      if (changed < 0)
        sl_hatch (c->scene, SL_INK_CUT, 3.5);
      else
        sl_dot (c->scene, SL_INK_PLANNED, 3.5);
    }
  sl_closeup_block (c, back, z, SL_NUT_MM, z - seat);
  if (front < 0)
    sl_closeup_crown (c, c->after.p[SL_P_NUT], -c->instrument->crown_height);
}

/* The string before and behind the nut. */
static void
string_points (const Nut *n, double z, double left, double right, SlPoint points[3])
{
  double far = (-left + 2) / MAX (0.2, -n->rear_x);

  points[0] = (SlPoint){ n->rear_x * far, z + n->rear_z * far };
  points[1] = (SlPoint){ 0, z };
  points[2] = (SlPoint){ right + 2, z + n->slope * (right + 2) };
}

/* The angle between the string behind the nut and its way before the nut carried on backward. */
static void
draw_break (SlCloseup *c, const Nut *n, double reach)
{
  double rear = atan2 (-n->rear_z, n->rear_x);

  sl_closeup_break (c, c->after.p[SL_P_NUT], MIN (reach * 0.8, 92), G_PI - atan (n->slope),
                    rear < 0 ? rear + 2 * G_PI : rear, 10,
                    sl_request (0, 0, -0.4, -1, 22, SL_LEADER_PLAIN, SL_INK_PLANNED),
                    (SlPlaceOfFigure) SL_BY_STRING (nut_break), (SlPlaceOfFigure) SL_BY_STRING (nut_force));
}

/* The string's height over the head's face, measured square to it at the nut's front: drawn a little further back,
 * between the face carried on below the nut and its parallel through the string. */
static void
draw_rise (SlCloseup *c, const Nut *n)
{
  SlScene *scene = c->scene;
  double back = SL_NUT_MM * 0.86, ux = -cos (n->tilt), uz = -sin (n->tilt), z = c->after.p[SL_P_NUT];
  double x0 = sl_closeup_x (c, back * ux), y0 = sl_closeup_y (c, z + back * uz),
         x1 = sl_closeup_x (c, n->face_x + back * ux), y1 = sl_closeup_y (c, n->face_z + back * uz);
  SlWording wording = { .n = 0 };

  sl_wording_printf (&wording, SL_INK_ON_BONE, FALSE, TRUE, _ ("rise %s"),
                     sl_say (scene, SL_SAY_COARSE, c->instrument->string_rise));
  if (!(c->instrument->string_rise > 0) || n->front < 0 || y1 - y0 < 3 * SL_ARROW_LENGTH ||
      (x0 + x1) / 2 + 8 + sl_wording_size (scene, &wording).width >= sl_closeup_x (c, 0) - 1)
    return; /* a length without its figure says nothing */
  sl_stroke_line (scene, SL_INK_ON_BONE, SL_LINE_THIN, SL_DASH_TRACE, sl_closeup_x (c, -SL_NUT_MM),
                  sl_closeup_y (c, face_at (n, -SL_NUT_MM)), sl_closeup_x (c, 0), sl_closeup_y (c, face_at (n, 0)));
  sl_stroke_line (scene, SL_INK_ON_BONE, SL_LINE_THIN, SL_DASH_TRACE, sl_closeup_x (c, 0), sl_closeup_y (c, z),
                  sl_closeup_x (c, (back + 0.6) * ux), sl_closeup_y (c, z + (back + 0.6) * uz));
  sl_stroke_line (scene, SL_INK_ON_BONE, SL_LINE_THIN, SL_DASH_NONE, x0, y0, x1, y1);
  sl_arrowhead (scene, SL_INK_ON_BONE, x0, y0, x0 - x1, y0 - y1);
  sl_arrowhead (scene, SL_INK_ON_BONE, x1, y1, x1 - x0, y1 - y0);
  sl_scene_fixed (scene, &wording, (x0 + x1) / 2 + 8, (y0 + y1 - sl_scene_text_height (scene)) / 2, 0);
}

static void
label_post (SlCloseup *c, const Nut *n, double left)
{
  const SlInstrument *in = c->instrument;
  int i = c->string - 1;
  double t = (-left - 1.5) / MAX (0.2, -n->rear_x), x = sl_closeup_x (c, n->rear_x * t),
         y = sl_closeup_y (c, c->after.p[SL_P_NUT] + n->rear_z * t) - c->diameter * c->scale;
  const char *text =
      n->post && fabs (in->post_side[i]) >= 0.5
          ? sl_print (c->scene, _ ("to the post, %s aside"), sl_say (c->scene, SL_SAY_COARSE, fabs (in->post_side[i])))
      : n->post ? _ ("to the post")
                : _ ("post not given");
  SlRequest request = sl_request (x + 8, y - 12, 0.6, -1, 6, SL_LEADER_NONE, SL_INK_TEXT);

  request.reach = 120;
  sl_arrowhead (c->scene, SL_INK_TEXT, x - 4, y - 6, n->rear_x, -n->rear_z);
  sl_stroke_line (c->scene, SL_INK_TEXT, SL_LINE_THIN, SL_DASH_NONE, x - 4, y - 6, x - 4 - 22 * n->rear_x,
                  y - 6 + 22 * n->rear_z);
  sl_scene_block (c->scene, x - 6, y - 22, 28, 20, 200);
  sl_scene_note (c->scene, request, SL_INK_QUIET, FALSE, text, NULL);
}

void
sl_closeup_nut (SlCloseup *c)
{
  Nut n = nut_geometry (c, &c->after), before = nut_geometry (c, &c->before);
  double behind = VIEW_MM * BEHIND_SHARE, z = c->after.p[SL_P_NUT], lowered, low, high, left, right, bottom;
  SlPoint points[3];
  const double slot = sl_planned_slot (c->scene, c->string);

  lowered = c->scene->ghost ? c->before.p[SL_P_NUT] - z : 0;
  high = z + c->diameter + MAX (0, lowered) + 2.5;
  low = MIN (face_at (&n, -behind * 0.8), -c->instrument->crown_height - BOARD_MM * 0.75);
  sl_closeup_scale (c, VIEW_MM * 0.9, low, high, 0.6);
  left = -c->area.width * BEHIND_SHARE / c->scale;
  right = c->area.width * (1 - BEHIND_SHARE) / c->scale;
  c->origin_x = c->area.x - left * c->scale;
  bottom = (c->origin_y - c->area.y - c->area.height) / c->scale;
  draw_wood (c, &n, left, right, bottom);
  draw_nut (c, &n, slot);
  draw_rise (c, &n);
  if (c->scene->ghost && (lowered != 0 || fabs (before.slope - n.slope) * right * c->scale > 1))
    {
      string_points (&before, z + lowered, left, right, points);
      sl_closeup_ghost_string (c, 3, points);
    }
  string_points (&n, z, left, right, points);
  sl_closeup_string (c, 3, points);
  if (n.post)
    draw_break (c, &n, -left * c->scale);
  if (slot != 0)
    sl_scene_amount (c->scene, sl_closeup_x (c, -SL_NUT_MM * 0.3), sl_closeup_y (c, z - slot * 0.4), 0.7, -1, 26,
                     sl_slot_change (slot), slot);
  label_post (c, &n, left);
}

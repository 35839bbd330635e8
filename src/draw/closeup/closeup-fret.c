/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The 12th fret: its crown, the string over it with its uncertainty and its swing, and a rule to read the action on. */
#include "draw/closeup/closeup-frame.h"

#include "setup/physics/clearance.h"
#include "setup/physics/forces.h"

#define BOARD_SHOWN_MM 1.3
#define AIR_MM 0.5
#define LEAST_VIEW_MM 9.0
#define TICK 5.0
#define TICK_LONG 9.0

/* Heights are over the crown: its top is z = 0. */
typedef struct
{
  int fret;
  double gap, gap_before, u, swing;
  double slope, slope_before;
  double top; /* of what is shown, mm */
} Fret;

static Fret
fret_geometry (const SlCloseup *c, int fret)
{
  const SlInstrument *in = c->instrument;
  double tension = c->scene->after_figures->tension[c->string - 1].value;
  Fret f = { .fret = fret };

  f.gap = sl_gap (&c->after, 0, fret);
  f.gap_before = sl_gap (&c->before, 0, fret);
  f.u = 2 * c->scene->after_figures->action[c->string - 1][fret].u;
  f.slope = (c->after.p[SL_P_CREST] - c->after.p[SL_P_NUT]) / c->after.x_s;
  f.slope_before = (c->before.p[SL_P_CREST] - c->before.p[SL_P_NUT]) / c->before.x_s;
  f.swing =
      isfinite (tension) && tension > 0 ? sl_swing (in, sl_open_length (&c->after), tension, c->after.x[fret]) : NAN;
  f.top = MAX (f.gap, c->scene->ghost ? f.gap_before : f.gap) + c->diameter + AIR_MM;
  return f;
}

/* A crown is a circular arc of the wire's width and height (model 10.1). */
void
sl_closeup_crown (SlCloseup *c, double top_mm, double base_mm)
{
  cairo_t *cr = c->scene->cr;
  double half = c->instrument->crown_width / 2, h = c->instrument->crown_height, r = (half * half + h * h) / (2 * h),
         sweep = h > half ? G_PI / 2 : asin (MIN (1, half / r)); /* higher than a half circle: upright sides below it */
  double x = sl_closeup_x (c, 0), top = sl_closeup_y (c, top_mm), base = sl_closeup_y (c, base_mm),
         wide = half * c->scale;

  cairo_save (cr);
  cairo_rectangle (cr, x - wide - 2, top, 2 * half * c->scale + 4, base - top + 1);
  cairo_clip (cr);
  cairo_move_to (cr, x - wide, base + 2);
  cairo_arc (cr, x, sl_closeup_y (c, MAX (top_mm, base_mm + h)) + r * c->scale, r * c->scale, -G_PI / 2 - sweep,
             -G_PI / 2 + sweep);
  cairo_line_to (cr, x + wide, base + 2);
  sl_fill_closed (c->scene, SL_INK_METAL);
  cairo_restore (cr);
  sl_scene_block (c->scene, x - wide, top, 2 * half * c->scale, base - top, SL_NEVER);
}

static void
draw_board (SlCloseup *c, const Fret *f)
{
  const SlInstrument *in = c->instrument;
  double loss = c->scene->before_state->crown[f->fret] - c->scene->after_state->crown[f->fret],
         base = -(in->crown_height + MIN (0, c->scene->after_state->crown[f->fret])), y = sl_closeup_y (c, base);

  sl_fill_rectangle (c->scene, SL_INK_BOARD, c->area.x - 6, y, c->area.width + 12, c->area.y + c->area.height + 8 - y);
  sl_scene_block (c->scene, c->area.x, y, c->area.width, c->area.height, SL_NEVER);
  sl_closeup_crown (c, 0, base);
  if (c->scene->ghost && loss > 0)
    {
      double half = MAX (2, sqrt (MAX (0, 2 * in->crown_width * loss)) * c->scale / 2);

      sl_hatch_rectangle (c->scene, SL_INK_CUT, sl_closeup_x (c, 0) - half, sl_closeup_y (c, loss), 2 * half,
                          MAX (1.5, loss * c->scale), 3);
    }
}

/* The rule: the step between its ticks in mm and in what its numbers count, ticks between numbers, its unit. */
static const struct
{
  double step_mm, shown;
  int every, places;
  const char *unit;
} rules[] = {
  [SL_LENGTHS_MM] = { 0.5, 0.5, 2, 0, N_ ("mm") },
  [SL_LENGTHS_INCH] = { SL_MM_PER_INCH / 100, 0.01, 5, 2, N_ ("in") },
  [SL_LENGTHS_64THS] = { SL_MM_PER_INCH / 64, 1, 2, 0, N_ ("64ths") },
};

static void
draw_rule (SlCloseup *c, const Fret *f)
{
  SlScene *scene = c->scene;
  const SlPictureOptions *o = scene->options;
  const double step = rules[o->lengths].step_mm, zero = sl_closeup_y (c, 0);
  double x = c->area.x + 30 * o->text_scale, text = sl_scene_text_height (scene), last = INFINITY;

  for (int i = 0; i * step <= f->top; i++)
    {
      gboolean numbered = i % rules[o->lengths].every == 0;
      double y = sl_closeup_y (c, i * step);

      if (y < c->area.y + 2)
        break;
      sl_stroke_line (scene, SL_INK_TEXT, SL_LINE_THIN, SL_DASH_NONE, x, y, x + (numbered ? TICK_LONG : TICK), y);
      if (numbered && last - y > text)
        {
          const char *value =
              sl_kept (scene, sl_plain_format (i * rules[o->lengths].shown, rules[o->lengths].places, o->decimal));

          if (sl_scene_text (scene, SL_INK_QUIET, FALSE, TRUE, value, x - 3, y - text / 2 + 1, 1))
            last = y;
        }
    }
  sl_stroke_line (scene, SL_INK_TEXT, SL_LINE_THIN, SL_DASH_NONE, x, zero, x,
                  MAX (c->area.y, sl_closeup_y (c, f->top)));
  sl_scene_block (scene, x - 1, sl_closeup_y (c, f->top), TICK_LONG + 2, f->top * c->scale, SL_NEVER);
  sl_scene_text (scene, SL_INK_QUIET, FALSE, TRUE, _ (rules[o->lengths].unit), x + TICK_LONG + 3, zero - text - 2, 0);
  /* The crown's height carried over to the rule's zero. */
  sl_stroke_line (scene, SL_INK_THIN, SL_LINE_THIN, SL_DASH_CHAIN, x + TICK_LONG, zero, c->area.x + c->area.width,
                  zero);
  sl_scene_line (scene, x + TICK_LONG, zero, c->area.x + c->area.width, zero, SL_NEVER);
}

/* What the action's uncertainty leaves open. */
static void
draw_band (SlCloseup *c, const Fret *f, double left, double right)
{
  const double z0 = f->gap + f->slope * left, z1 = f->gap + f->slope * right;

  if (!isfinite (f->u) || f->u * c->scale < 0.5)
    return;
  sl_closeup_polygon (
      c, 4, (SlPoint[]){ { left, z0 + f->u }, { right, z1 + f->u }, { right, z1 - f->u }, { left, z0 - f->u } });
  sl_fill (c->scene->cr, c->scene->palette, SL_INK_SWING);
  sl_scene_block (c->scene, sl_closeup_x (c, left), sl_closeup_y (c, f->gap + f->u), (right - left) * c->scale,
                  f->u * 2 * c->scale, 30);
}

static void
draw_swing (SlCloseup *c, const Fret *f, double left, double right)
{
  SlScene *scene = c->scene;
  double x0 = sl_closeup_x (c, left), x1 = sl_closeup_x (c, right),
         y0 = sl_closeup_y (c, f->gap + f->slope * left - f->swing),
         y1 = sl_closeup_y (c, f->gap + f->slope * right - f->swing), x = x0 + MIN (24, (x1 - x0) * 0.1);
  SlRequest request = sl_request (x, y0 + (y1 - y0) * (x - x0) / (x1 - x0), 0.6, 1, 10, SL_LEADER_ARROW, SL_INK_THIN);
  const char *value = sl_say (scene, SL_SAY_LENGTH, f->swing);

  if (!isfinite (f->swing))
    return;
  sl_stroke_line (scene, SL_INK_PLANNED, SL_LINE_THIN, SL_DASH_TRACE, x0, y0, x1, y1);
  sl_scene_line (scene, x0, y0, x1, y1, SL_NEVER);
  sl_wording_printf (&request.wordings[0], SL_INK_TEXT, FALSE, TRUE, _ ("swings down to here, %s"), value);
  sl_wording_printf (&request.wordings[1], SL_INK_TEXT, FALSE, TRUE, _ ("swing %s"), value);
  request.n_wordings = 2;
  sl_scene_request (scene, &request);
}

static void
draw_action (SlCloseup *c, const Fret *f, double left)
{
  double x = MAX (sl_closeup_x (c, 0) + c->instrument->crown_width / 2 * c->scale + 12, sl_closeup_x (c, left) + 12),
         x_mm = (x - c->origin_x) / c->scale, top = sl_closeup_y (c, f->gap + f->slope * x_mm),
         bottom = sl_closeup_y (c, 0);
  SlRequest request = sl_request (x, top * 0.325 + bottom * 0.675, 1, 0.3, 10, SL_LEADER_PLAIN, SL_INK_PLANNED);

  request = sl_dimension_upright (c->scene, request, top, bottom, x, sl_closeup_x (c, 0), 0);
  sl_scene_figure (c->scene, request, sl_print (c->scene, _ ("action at %d"), f->fret), SL_SAY_LENGTH,
                   (SlPlaceOfFigure) SL_BY_FRET (action, f->fret), NULL);
}

void
sl_closeup_fret (SlCloseup *c, int fret)
{
  const SlPictureOptions *o = c->scene->options;
  Fret f = fret_geometry (c, fret);
  double low = -c->instrument->crown_height - BOARD_SHOWN_MM, left, right;

  if (!isfinite (f.top))
    return;
  sl_closeup_scale (c, LEAST_VIEW_MM, low, f.top, 0.5);
  c->origin_x = c->area.x + c->area.width * 0.36;
  left = (c->area.x - c->origin_x) / c->scale;
  right = (c->area.x + c->area.width - c->origin_x) / c->scale;
  draw_board (c, &f);
  draw_rule (c, &f);
  /* all else begins behind the rule's unit */
  left += (30 * o->text_scale + TICK_LONG + 8 +
           sl_text (_ (rules[o->lengths].unit), SL_TEXT_SIZE_SMALL * o->text_scale, FALSE).width) /
          c->scale;
  draw_band (c, &f, left, right);
  if (c->scene->ghost && fabs (f.gap_before - f.gap) * c->scale > 0.7)
    sl_closeup_ghost_string (c, 2,
                             (SlPoint[]){ { left, f.gap_before + f.slope_before * left },
                                          { right, f.gap_before + f.slope_before * right } });
  sl_closeup_string (c, 2, (SlPoint[]){ { left, f.gap + f.slope * left }, { right, f.gap + f.slope * right } });
  draw_action (c, &f, left);
  draw_swing (c, &f, left, right);
}

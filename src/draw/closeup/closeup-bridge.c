/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Saddle and bridge: the saddle in its slot with what comes off its base, its exposure, the string over it down to its
 * anchor, the break angle. */
#include "draw/closeup/closeup-frame.h"
#include "draw/side/hardware.h"
#include "setup/profile/construction.h"

/* Common practice, where the document has no figure. */
#define SLOT_MM 4.5
#define BEHIND_MOST_MM 13.0
#define BELOW_SLOT_MM 2.2 /* of wood that is shown, and of the body */
#define BODY_SHOWN_MM 3.0

/* Relative to the crest's place along and the bridge top in height. */
typedef struct
{
  double crest, ghost; /* heights of the crest, planned and measured */
  double ghost_x;      /* where it stood */
  double slope;
  double anchor_x, anchor_z;
  double lean, half;
  double cut, shaped;
  gboolean far;     /* the anchor lies beyond the view */
  gboolean threads; /* the saddle hangs on threads */
  SlHardware hardware;
} Bridge;

static Bridge
bridge_geometry (const SlCloseup *c)
{
  const SlInstrument *in = c->instrument;
  int i = c->string - 1;
  double lift = sl_rod_lift (in, c->string, c->after.p[SL_P_RELIEF] - c->before.p[SL_P_RELIEF], c->before.x_s) -
                sl_planned_amount (c->scene->analysis, SL_OP_SET_NECK_ANGLE, 0);
  Bridge b = { .crest = c->after.exposure };

  b.slope = (c->after.p[SL_P_CREST] - c->after.p[SL_P_NUT]) / c->after.x_s;
  /* The body rests: what the turned rod or a set neck adds to the crest's height over the chord is no move of the
   * crest (model 5). */
  b.ghost = b.crest + c->before.p[SL_P_CREST] + lift - c->after.p[SL_P_CREST];
  b.ghost_x = c->before.x_s - c->after.x_s;
  b.anchor_x = in->has_anchor[i] ? in->anchor_distance[i] : sl_bridge_build (in)->anchor_at;
  b.anchor_z = in->has_anchor[i] ? -in->anchor_drop[i] : -1;
  b.lean = in->saddle_lean_rad;
  b.half = in->saddle_thickness / 2;
  b.cut = c->scene->ghost ? sl_planned_amount (c->scene->analysis, SL_OP_CUT_SADDLE_BASE, c->string) : 0;
  b.shaped = c->scene->ghost ? sl_planned_amount (c->scene->analysis, SL_OP_SHAPE_CREST, c->string) : 0;
  b.far = b.anchor_x > BEHIND_MOST_MM + 8;
  b.threads = sl_saddles[in->adjust].goes_up;
  return b;
}

static void
draw_block (SlCloseup *c, Bridge *b)
{
  const double depth = sl_bridge_build (c->instrument)->depth, body = sl_closeup_y (c, -depth);

  b->hardware = (SlHardware){
    .scene = c->scene,
    .in = c->instrument,
    .unit = c->scale,
    .string = MAX (SL_LINE_THICK, c->diameter * c->scale),
    .crest = { sl_closeup_x (c, 0), sl_closeup_y (c, b->crest) },
    .top = sl_closeup_y (c, 0),
    .body = body,
    .back = body + SL_SOLID_BODY_MM * c->scale,
    .anchor = { sl_closeup_x (c, b->anchor_x), sl_closeup_y (c, b->anchor_z) },
    .end = c->area.x + c->area.width + 8,
  };
  sl_fill_rectangle (c->scene, SL_INK_BODY, c->area.x - 8, body, c->area.width + 16, c->area.height + 20);
  sl_bridge_build (c->instrument)->bridge (&b->hardware);
}

/* From here to cairo_restore() a path is in the saddle's own frame, mm: across its thickness, and down along it from
 * the crest, which lies at (@x, @z). */
static void
enter_saddle (const SlCloseup *c, const Bridge *b, double x, double z)
{
  cairo_save (c->scene->cr);
  cairo_translate (c->scene->cr, sl_closeup_x (c, x), sl_closeup_y (c, z));
  cairo_rotate (c->scene->cr, b->lean);
  cairo_scale (c->scene->cr, c->scale, c->scale);
}

/* From the front's foot over the crown, rounded for the string, to the back's foot. */
static void
saddle_outline (const SlCloseup *c, const Bridge *b, double x, double z, double length)
{
  cairo_t *cr = c->scene->cr;
  const double h = b->half;

  enter_saddle (c, b, x, z);
  cairo_move_to (cr, -h, length);
  cairo_line_to (cr, -h, h * 0.7);
  cairo_curve_to (cr, -h, 0, -h * 0.4, 0, 0, 0);
  cairo_curve_to (cr, h * 0.5, 0, h, h * 0.3, h, h);
  cairo_line_to (cr, h, length);
  cairo_restore (cr);
}

static double
saddle_length (const Bridge *b)
{
  return (b->crest + (b->hardware.in->adjust == SL_ADJUST_BASE ? SLOT_MM : 0)) / cos (b->lean);
}

/* A path round the bone between two places, mm down along it from the crest. */
static void
bone_between (const SlCloseup *c, const Bridge *b, double from, double to)
{
  enter_saddle (c, b, 0, b->crest);
  cairo_rectangle (c->scene->cr, -b->half, from, 2 * b->half, to - from);
  cairo_restore (c->scene->cr);
}

/* Bone in its slot, with what comes off its underside, and of a new one what is more or less of it. */
static void
draw_bone (SlCloseup *c, const Bridge *b)
{
  const double length = saddle_length (b), made = sl_planned_saddle (c->scene, c->string) / cos (b->lean);

  saddle_outline (c, b, 0, b->crest, length);
  sl_fill_closed (c->scene, SL_INK_BONE);
  if (b->cut > 0)
    {
      bone_between (c, b, length - MIN (b->cut, length - 0.5), length);
      sl_hatch (c->scene, SL_INK_CUT, 4);
    }
  if (made < 0)
    {
      bone_between (c, b, made, 0);
      sl_hatch (c->scene, SL_INK_CUT, 4);
    }
  else if (made > 0)
    {
      bone_between (c, b, MIN (b->half, made) * 0.7, MIN (made, length));
      sl_dot (c->scene, SL_INK_PLANNED, 4);
    }
}

/* One that hangs on threads, and above it where it was, which labels keep off. */
static void
draw_metal (SlCloseup *c, const Bridge *b)
{
  const SlPoint was = { sl_closeup_x (c, b->ghost_x), sl_closeup_y (c, b->ghost) };
  const SlRect r = sl_hardware_saddle (&b->hardware);

  sl_hardware_draw_saddle (&b->hardware);
  if (!c->scene->ghost)
    return;
  sl_hardware_draw_ghost (&b->hardware, was);
  sl_scene_block (c->scene, r.x + was.x - b->hardware.crest.x, was.y, r.width, r.y - was.y, SL_NEVER);
}

static void
draw_saddle (SlCloseup *c, const Bridge *b)
{
  double half = b->half, high = MAX (b->crest, b->ghost);

  if (b->threads)
    draw_metal (c, b);
  else
    draw_bone (c, b);
  if (!b->threads && c->scene->ghost && (fabs (b->ghost - b->crest) * c->scale > 1 || fabs (b->ghost_x) * c->scale > 1))
    {
      saddle_outline (c, b, b->ghost_x, b->ghost, b->ghost);
      sl_stroke_path (c->scene, SL_INK_GHOST, SL_LINE_THIN, SL_DASH_GHOST);
    }
  sl_closeup_block (c, -half - 0.2, high, 2 * half + 0.4, high);
}

static void
draw_exposure (SlCloseup *c, const Bridge *b)
{
  double saddle = b->threads ? sl_hardware_saddle (&b->hardware).x : sl_closeup_x (c, -b->half),
         x = saddle - MIN (34, c->area.width * 0.07), top = sl_closeup_y (c, b->crest), bottom = sl_closeup_y (c, 0);
  SlRequest request = sl_request (x, (top + bottom) / 2, -1, 0, 9, SL_LEADER_PLAIN, SL_INK_PLANNED);

  sl_scene_figure (c->scene, sl_dimension_upright (c->scene, request, top, bottom, saddle + 2, saddle, 0),
                   _ ("exposure"), SL_SAY_LENGTH, (SlPlaceOfFigure) SL_BY_STRING (exposure), NULL);
}

/* What comes off the base: beside the saddle's foot, light on the bridge's wood with a short line to it, or where wood
 * or room is missing as a label. */
static void
label_cut (SlCloseup *c, const Bridge *b)
{
  const double down = saddle_length (b) - b->cut / 2;
  const SlPoint at = { sl_closeup_x (c, -b->half * cos (b->lean) - down * sin (b->lean)),
                       sl_closeup_y (c, b->crest - down * cos (b->lean) + b->half * sin (b->lean)) };
  double height = sl_scene_text_height (c->scene), right = at.x - 16, left,
         pass = sl_planned_first_pass (c->scene->analysis, c->string);
  SlWording words = { .n = 0 };
  const char *text = sl_print (c->scene, _ ("%s off the underside"), sl_say (c->scene, SL_SAY_LENGTH, b->cut)),
             *beneath = pass > 0 ? sl_print (c->scene, _ ("first pass %s"), sl_say (c->scene, SL_SAY_LENGTH, pass))
                                 : _ ("none of it yet");

  if (!(b->cut > 0) || b->threads || !isfinite (pass))
    return;
  sl_wording_add (&words, SL_INK_ON_WOOD, TRUE, FALSE, text);
  sl_wording_break (&words);
  sl_wording_add (&words, SL_INK_ON_WOOD, FALSE, TRUE, beneath);
  left = right - sl_wording_size (c->scene, &words).width;
  if (!sl_bridge_build (c->instrument)->wood || left < c->area.x + 4 || at.y - height - 2 < b->hardware.top ||
      at.y + height + 2 > MIN (b->hardware.body, c->area.y + c->area.height) ||
      !sl_scene_fixed (c->scene, &words, right, at.y - height - 1, 1))
    {
      sl_scene_note (c->scene, sl_request (at.x + 2, at.y, -1, 0.8, 24, SL_LEADER_DOT, SL_INK_CUT), SL_INK_CUT, TRUE,
                     text, beneath);
      return;
    }
  sl_stroke_line (c->scene, SL_INK_ON_WOOD, SL_LINE_THIN, SL_DASH_NONE, left, at.y, at.x, at.y);
  sl_arrowhead (c->scene, SL_INK_ON_WOOD, at.x, at.y, 1, 0);
}

void
sl_closeup_bridge (SlCloseup *c)
{
  Bridge b = bridge_geometry (c);
  double behind = b.far ? BEHIND_MOST_MM : MAX (BEHIND_MOST_MM, b.anchor_x + 5), high, left, front;
  const SlBridgeBuild *build = sl_bridge_build (c->instrument);
  const double low = build->wood ? SLOT_MM + BELOW_SLOT_MM : build->depth + BODY_SHOWN_MM;

  if (!isfinite (b.crest) || !isfinite (b.slope))
    return;
  high = MAX (b.crest, b.ghost) + c->diameter + 2;
  sl_closeup_scale (c, build->front + behind, -low, high, 0.6);
  front = c->area.width * build->front * 1.15 / (build->front * 1.15 + behind);
  c->origin_x = c->area.x + front;
  left = -front / c->scale;
  draw_block (c, &b);
  draw_saddle (c, &b);
  if (c->scene->ghost && (b.ghost - b.crest) * c->scale > 1)
    sl_closeup_ghost_string (c, 3,
                             (SlPoint[]){ { left, b.ghost + b.slope * (left - b.ghost_x) },
                                          { b.ghost_x, b.ghost },
                                          { b.anchor_x, b.anchor_z } });
  sl_closeup_string (
      c, 3, (SlPoint[]){ { left - 1, b.crest + b.slope * (left - 1) }, { 0, b.crest }, { b.anchor_x, b.anchor_z } });
  if (!b.far)
    build->anchor (&b.hardware);
  if (c->instrument->has_anchor[c->string - 1])
    sl_closeup_break (c, b.crest, MIN (MIN (c->area.width * 0.28, 84), b.anchor_x * c->scale * 0.8), -atan (b.slope),
                      atan2 (b.crest - b.anchor_z, b.anchor_x), 12,
                      sl_request (0, 0, 0.8, -0.8, 18, SL_LEADER_PLAIN, SL_INK_PLANNED),
                      (SlPlaceOfFigure) SL_BY_STRING (saddle_break), (SlPlaceOfFigure) SL_BY_STRING (saddle_force));
  draw_exposure (c, &b);
  label_cut (c, &b);
  if (fabs (b.shaped) > 0.004)
    sl_scene_amount (c->scene, sl_closeup_x (c, -b.half * 0.5), sl_closeup_y (c, b.crest - 0.3), -1, -0.6, 26,
                     sl_crest_change (c->instrument, b.shaped), b.shaped);
}

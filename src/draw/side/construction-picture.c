/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/draw.h"

#include "draw/side/side.h"

/* mm, our own choice by looking. */
#define HEAD_SHOWN 30.0
#define NECK_SHOWN 6.0  /* beyond fret 1, in true proportion from the nut on */
#define NOT_BEHIND 12.0 /* less behind the anchor than the side view has */
#define BETWEEN 34.0    /* what the rest of the neck is drawn as long as */
#define BREAK_AT 0.22   /* of that, where the break stands */
#define MOST_ANCHOR 56.0
#define ABOVE_CREST 8.0
#define HOLLOW_SHOWN 44.0 /* of a body's depth */

/* What is told of no instrument and differs from construction to construction, mm: how high the crest stands over the
 * body, and out of what it is set in. Common practice. */
static const struct
{
  double over_body, exposure;
} stands[SL_N_ADJUSTS] = {
  [SL_ADJUST_BASE] = { 13, 4 },    [SL_ADJUST_SCREWS] = { 13, 10 }, [SL_ADJUST_POSTS] = { 18, 18 },
  [SL_ADJUST_WHEELS] = { 26, 15 }, [SL_ADJUST_TOP] = { 15, 4 },     [SL_ADJUST_FIXED] = { 14, 3 },
};
#define FLOATING_OVER_BODY 24.0

/* An instrument that meets its targets, with a level board. */
static void
set_state (SlAnalysis *a)
{
  const SlInstrument *in = &a->instrument;
  SlState *state = &a->measured;

  state->n_strings = in->n_strings;
  state->n_unknowns = SL_NUT_HEIGHT + 2 * in->n_strings;
  for (int i = 0; i < in->n_strings; i++)
    {
      SlStringState s;

      state->u[SL_NUT_HEIGHT + i] = in->target_first_gap[i];
      sl_state_string (in, state, i + 1, &s);
      state->u[SL_NUT_HEIGHT + in->n_strings + i] =
          sl_crest_for_action (&s, MIN (SL_OCTAVE_FRET, in->frets), in->target_action[i]);
      state->exposure[i] = stands[in->adjust].exposure;
    }
}

static void
choose_scales (SlSide *side)
{
  const SlInstrument *in = side->instrument;
  const SlStringState *s = &side->lead->after;
  const gboolean solid = sl_bridge_build (in)->solid;
  const double crest = s->p[SL_P_CREST], body = solid ? SL_SOLID_BODY_MM : HOLLOW_SHOWN,
               over = in->bridge == SL_BRIDGE_FLOATING ? MAX (FLOATING_OVER_BODY, stands[in->adjust].over_body)
                                                       : stands[in->adjust].over_body;
  double high;

  side->right_mm -= NOT_BEHIND;
  side->left_mm = side->nut_mm - SL_NUT_MM - HEAD_SHOWN;
  side->short_from = side->x[1] + NECK_SHOWN;
  side->short_to = MAX (side->short_from + BETWEEN, s->x_s - sl_bridge_build (in)->before);
  side->short_share = BETWEEN / (side->short_to - side->short_from);
  side->units_x = side->units_z =
      MIN (side->area.width / (side->right_mm - side->left_mm - (side->short_to - side->short_from) + BETWEEN),
           side->area.height / (ABOVE_CREST + over + body));
  side->right_mm = side->left_mm + side->short_to - side->short_from - BETWEEN + side->area.width / side->units_x;
  side->origin_x = side->area.x - side->left_mm * side->units_x;
  /* a hollow body goes on below */
  high = (ABOVE_CREST + over + (solid ? body : 0)) * side->units_x;
  side->origin_y =
      side->area.y + (ABOVE_CREST + crest) * side->units_x + (solid ? MAX (0, side->area.height - high) / 2 : 0);
  side->board_thickness = 6 * side->units_x;
  side->neck_depth = 17 * side->units_x;
  side->board_bottom = sl_side_y (side, -in->crown_height) + side->board_thickness;
  side->body_top = MAX (side->board_bottom, sl_side_y (side, crest - over));
  side->body_bottom =
      solid ? side->body_top + body * side->units_x : side->body_top + SL_HOLLOW_BODY_MM * side->units_x;
  side->tilt = in->tilt_rad;
}

/* What is left out of the neck is told by a break through it. */
static void
draw_break (const SlSide *side)
{
  cairo_t *cr = side->scene->cr;
  const double x = sl_side_x (side, side->short_from + BREAK_AT * (side->short_to - side->short_from)),
               top = sl_side_y (side, 0), foot = side->board_bottom + 1.2 * side->neck_depth,
               half = 1.2 * side->units_x, lean = 3 * side->units_x;

  sl_polygon (
      cr, 4,
      (SlPoint[]){
          { x - half + lean, top }, { x + half + lean, top }, { x + half - lean, foot }, { x - half - lean, foot } });
  sl_fill (cr, side->scene->palette, SL_INK_PAPER);
  for (int way = -1; way <= 1; way += 2)
    sl_stroke_line (side->scene, SL_INK_OUTLINE, SL_LINE_THIN, SL_DASH_NONE, x + way * half + lean, top,
                    x + way * half - lean, foot);
}

void
sl_draw_construction (cairo_t *cr, const SlProfile *profile, SlLook look, double width, double height)
{
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  SlPictureOptions options;
  SlScene scene;
  SlSide side = {
    .scene = &scene, .instrument = &analysis->instrument, .bare = TRUE, .least_saddle = 3, .most_anchor = MOST_ANCHOR
  };

  sl_picture_options_init (&options);
  options.look = look;
  options.string = profile->n_strings;
  options.plain = options.still = TRUE;
  sl_instrument_from_profile (profile, &analysis->instrument);
  set_state (analysis);
  cairo_save (cr);
  cairo_rectangle (cr, 0, 0, width, height);
  cairo_clip (cr);
  sl_scene_init (&scene, cr, analysis, &options, NULL, (SlRect){ 0, 0, width, height });
  side.area = scene.stage;
  sl_side_choose (&side);
  choose_scales (&side);
  sl_side_place_strings (&side);
  sl_scene_turn (&scene);
  sl_side_draw_wood (&side);
  sl_side_draw_frets (&side);
  draw_break (&side);
  sl_side_draw_bridge (&side);
  sl_side_draw_strings (&side);
  sl_side_draw_anchor (&side);
  sl_scene_clear (&scene);
  cairo_restore (cr);
}

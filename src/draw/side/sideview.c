/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Layout of the side view. */
#include "draw/side/side.h"

#include "setup/profile/construction.h"

/* Where the document says nothing: usual sizes, common practice. */
#define DEFAULT_DROP_MM 1.0
#define HEAD_BEYOND_POST_MM 26.0
#define BODY_BEYOND_BRIDGE_MM 34.0
#define ARCH_MM 16.0 /* of a carved top, over its edge, and how far from its highest place that lies */
#define ARCH_HALF_MM 170.0
#define ARCH_MOST_SHARE 0.3 /* of the body as it is drawn */

/* of a line's height: small text beside the scale's line, within the stage at any text scale */
#define LEAST_ROWS_WITH_LEGEND 7 /* lines of text: in less the neck reaches down to it; our own choice */
#define LEGEND_TOP_SHARE 0.43

/* Shares of the stage: our own choice, by looking. */
#define BRIDGE_LEAST_UNITS 6.0
#define MOST_FACTOR 60.0
#define MOST_HUNG_FACTOR 32.0 /* chosen for a picture with a title, which is looked at from afar: frets no stilts */
#define LEAST_FACTOR 0.5
#define GUIDE_BELOW 2.0 /* a string at the nut's guide, below the crown before it */
#define BODY_LEAST_SHARE 0.16
#define BODY_MOST_SHARE 0.34

double
sl_side_x (const SlSide *side, double x_mm)
{
  const double within = CLAMP (x_mm, side->short_from, side->short_to) - side->short_from;

  return side->origin_x + (x_mm - within * (1 - side->short_share)) * side->units_x;
}

double
sl_side_string_x (const SlSide *side, const SlSideString *s, double x_mm)
{
  return sl_side_x (side, x_mm * (side->lead->after.scale / s->after.scale));
}

double
sl_side_y (const SlSide *side, double z_mm)
{
  return side->origin_y - z_mm * side->units_z;
}

double
sl_side_top (const SlSide *side, double x)
{
  const double away = fabs (x - side->lead->crest.x) / (ARCH_HALF_MM * side->units_x);

  if (!sl_bridge_build (side->instrument)->arched)
    return side->body_top;
  return side->body_top + MIN (ARCH_MM * side->units_x, ARCH_MOST_SHARE * (side->body_bottom - side->body_top)) *
                              (1 - cos (G_PI * MIN (1, away))) / 2;
}

/* Turning the rod leaves the body, and so the tangent at the joint, in place (model 5): in the planned chord's frame
 * a point that did not move is higher by the rod's lift. */
static double
z_from (const SlSide *side, const SlSideString *s, const SlStringState *other, double x_mm, double z_mm)
{
  return z_mm + sl_rod_lift (side->instrument, s->string, s->after.p[SL_P_RELIEF] - other->p[SL_P_RELIEF], x_mm);
}

double
sl_side_y_from (const SlSide *side, const SlSideString *s, const SlStringState *other, double x_mm, double z_mm)
{
  return sl_side_y (side, z_from (side, s, other, x_mm, z_mm));
}

static double
anchor_distance (const SlSide *side, int i)
{
  const SlInstrument *in = side->instrument;

  return MIN (side->most_anchor, in->has_anchor[i] ? in->anchor_distance[i] : sl_bridge_build (in)->anchor_at);
}

static void
choose_strings (SlSide *side)
{
  const SlInstrument *in = side->instrument;
  const int chosen = side->scene->chosen;

  for (int n = MAX (chosen, 1); n <= (chosen != SL_ALL_STRINGS ? chosen : in->n_strings); n++)
    {
      SlSideString *s = &side->strings[side->n_strings++];

      s->string = n;
      sl_state_string (in, side->scene->before_state, n, &s->before);
      sl_state_string (in, side->scene->after_state, n, &s->after);
    }
  side->lead = &side->strings[side->n_strings - 1];
  side->x = side->lead->after.x;
  side->bridge_top = side->lead->after.p[SL_P_CREST] - side->lead->after.exposure;
}

static void
choose_ends (SlSide *side)
{
  const SlInstrument *in = side->instrument;
  double post = 0, anchor = 0;

  for (int i = 0; i < in->n_strings; i++)
    {
      post = MAX (post, in->has_post[i] ? in->post_distance[i] : SL_POST_MM);
      anchor = MAX (anchor, anchor_distance (side, i));
    }
  side->head_length = post + HEAD_BEYOND_POST_MM;
  side->nut_mm = in->nut_kind == SL_NUT_ZERO_FRET ? -SL_NUT_BEHIND_MM : 0;
  side->left_mm = side->nut_mm - SL_NUT_MM - side->head_length * cos (in->tilt_rad) - 2;
  side->right_mm = MAX (side->lead->after.x_s, side->lead->after.scale) + anchor + BODY_BEYOND_BRIDGE_MM;
}

void
sl_side_choose (SlSide *side)
{
  choose_strings (side);
  choose_ends (side);
}

/* The higher of a string's two ends in another state. */
static double
highest_end (const SlSide *side, const SlSideString *s, const SlStringState *other)
{
  return MAX (z_from (side, s, other, other->x_s, other->p[SL_P_CREST]),
              z_from (side, s, other, 0, other->p[SL_P_NUT]));
}

/* Highest and lowest height that must be on the stage. */
static void
height_range (const SlSide *side, double *least, double *most)
{
  const GArray *earlier = sl_side_earlier (side);

  *most = 0.5;
  *least = -side->instrument->crown_height;
  for (int i = 0; i < side->n_strings; i++)
    {
      const SlSideString *s = &side->strings[i];

      *most = MAX (*most, MAX (s->after.p[SL_P_CREST], s->after.p[SL_P_NUT]));
      if (side->scene->ghost)
        *most = MAX (*most, highest_end (side, s, &s->before));
      for (guint k = 0; earlier != NULL && k < earlier->len; k++)
        {
          SlStringState past;

          sl_state_string (side->instrument, &g_array_index (earlier, SlEarlier, k).state, s->string, &past);
          *most = MAX (*most, highest_end (side, s, &past));
        }
      *least = MIN (*least, -side->instrument->crown_height -
                                MAX (0, MAX (s->after.p[SL_P_RELIEF], s->after.p[SL_P_FALL_AWAY])));
    }
}

/* Rounds a factor down to one that reads well. */
static double
round_factor (double factor)
{
  return factor >= 3 ? floor (factor) : factor >= 1 ? floor (factor * 2) / 2 : MAX (LEAST_FACTOR, factor);
}

static void
choose_scales (SlSide *side)
{
  const SlPictureOptions *o = side->scene->options;
  /* without handles and labels there is more room for heights, which are what it is about */
  double text = sl_scene_text_height (side->scene), over = o->plain ? text : 2 * text + 2 * SL_HANDLE_RADIUS,
         height = side->area.height;
  double true_body = sl_bridge_build (side->instrument)->solid ? SL_SOLID_BODY_MM : SL_HOLLOW_BODY_MM, least, most,
         body_least, most_factor, factor, slack, body;

  side->units_x = side->area.width / (side->right_mm - side->left_mm);
  side->origin_x = side->area.x - side->left_mm * side->units_x;
  side->board_thickness = CLAMP (height * 0.045, 10, 24);
  side->neck_depth = MAX (text * 1.5, MIN (17 * side->units_x, 0.085 * height));
  height_range (side, &least, &most);
  body_least = MAX (side->neck_depth * 1.25, BODY_LEAST_SHARE * height);
  body = o->plain ? body_least : CLAMP (true_body * side->units_x, body_least, BODY_MOST_SHARE * height);
  most_factor = MIN (MOST_FACTOR, MAX (LEAST_FACTOR, (height - over - side->board_thickness - body_least) /
                                                         (most - least) / side->units_x));
  factor = o->height_factor > 0
               ? CLAMP (o->height_factor, LEAST_FACTOR, most_factor)
               : round_factor (MIN (o->title != NULL ? MIN (most_factor, MOST_HUNG_FACTOR) : most_factor,
                                    (height - over - side->board_thickness - body) / (most - least) / side->units_x));
  side->units_z = factor * side->units_x;
  slack = height - over - side->board_thickness - (most - least) * side->units_z;
  body = MIN (slack, MAX (true_body * side->units_x, BODY_MOST_SHARE * height));
  /* What is left over stands half above, half below. */
  side->origin_y = side->area.y + over + (slack - body) / 2 + most * side->units_z;
  side->board_bottom = side->body_top = sl_side_y (side, least) + side->board_thickness;
  side->body_bottom = side->board_bottom + body;
  /* The board is no thicker than a symbol needs: a bridge top that would lie below it is drawn at its foot, and what
   * stands on it is drawn broken. */
  side->broken = sl_side_y (side, side->bridge_top) > side->board_bottom - BRIDGE_LEAST_UNITS;
  if (side->broken)
    side->bridge_top = (side->origin_y - side->board_bottom + BRIDGE_LEAST_UNITS) / side->units_z;
  side->tilt = MIN (side->instrument->tilt_rad,
                    asin (CLAMP ((side->area.y + side->area.height - side->board_bottom - side->neck_depth) /
                                     (side->head_length * side->units_x),
                                 0, 1)));
  if (side->scene->map)
    side->scene->map->height_factor = factor;
}

/* The post, drawn on the head's face at its true distance and angle. */
static SlPoint
post_place (const SlSide *side, int string)
{
  const SlInstrument *in = side->instrument;
  int i = string - 1;
  double p = in->has_post[i] ? in->post_distance[i] : SL_POST_MM,
         wrap = in->has_post[i] ? in->post_wrap[i] : SL_POST_WRAP_MM;
  double x0 = sl_side_x (side, side->nut_mm - SL_NUT_MM), y0 = side->board_bottom - side->board_thickness * 0.45,
         scale = side->units_x, tilt = side->tilt;

  return (SlPoint){ x0 - (p * cos (tilt) + wrap * sin (tilt)) * scale,
                    y0 + (p * sin (tilt) - wrap * cos (tilt)) * scale };
}

/* Magnified, a drop may reach through the body, and is then drawn only as far as the body's middle. */
static double
anchor_y (const SlSide *side, const SlSideString *s)
{
  const SlInstrument *in = side->instrument;
  const double drop = in->has_anchor[s->string - 1] ? in->anchor_drop[s->string - 1] : DEFAULT_DROP_MM;
  double y = sl_side_y (side, side->bridge_top - drop), top = sl_side_y (side, side->bridge_top),
         least = s->crest.y + 6;

  if (sl_bridge_build (in)->over)
    return CLAMP (y, least, MAX (least, sl_bridge_build (in)->solid ? top - 2 : side->body_top - 9));
  return CLAMP (y, MIN (top, side->body_top - 4), side->body_top + (side->body_bottom - side->body_top) * 0.4);
}

void
sl_side_place_strings (SlSide *side)
{
  for (int i = 0; i < side->n_strings; i++)
    {
      SlSideString *s = &side->strings[i];
      const double *before = s->before.p, *after = s->after.p;

      s->nut = (SlPoint){ sl_side_x (side, 0), sl_side_y (side, after[SL_P_NUT]) };
      s->guide = (SlPoint){ sl_side_x (side, side->nut_mm), s->nut.y + (side->nut_mm < 0 ? GUIDE_BELOW : 0) };
      s->crest = (SlPoint){ sl_side_x (side, s->after.x_s), sl_side_y (side, after[SL_P_CREST]) };
      s->nut_before = (SlPoint){ s->nut.x, sl_side_y_from (side, s, &s->before, 0, before[SL_P_NUT]) };
      s->crest_before = (SlPoint){ sl_side_string_x (side, s, s->before.x_s),
                                   sl_side_y_from (side, s, &s->before, s->before.x_s, before[SL_P_CREST]) };
      s->post = post_place (side, s->string);
      s->anchor = (SlPoint){ sl_side_string_x (side, s, s->after.x_s + anchor_distance (side, s->string - 1)),
                             anchor_y (side, s) };
    }
}

static void
fill_map (const SlSide *side)
{
  SlPictureMap *map = side->scene->map;
  const SlInstrument *in = side->instrument;

  if (!map)
    return;
  map->units_per_mm_along = side->scene->turned ? -side->units_x : side->units_x;
  map->units_per_mm_up = side->units_z;
  map->origin_x = sl_scene_seen_x (side->scene, side->origin_x);
  map->origin_y = side->origin_y;
  for (int n = 0; n <= in->frets; n++)
    map->fret_x[n] = sl_scene_seen_x (side->scene, sl_side_x (side, side->x[n]));
  map->board = (SlRect){ .x = MIN (map->fret_x[0], map->fret_x[in->frets] - 6),
                         .y = sl_side_y (side, side->lead->after.p[SL_P_CREST]),
                         .width = fabs (map->fret_x[in->frets] - map->fret_x[0]) + 6 };
  map->board.height = side->board_bottom + side->neck_depth - map->board.y;
  map->body_top = side->body_top;
  map->body_bottom = side->body_bottom;
}

static void
draw_caption (SlSide *side)
{
  SlScene *scene = side->scene;
  SlWording caption = { .n = 0 };
  const SlPictureOptions *o = scene->options;
  const double larger = side->units_z / side->units_x;
  const char *factor = sl_kept (scene, sl_plain_format (larger, larger < 3 ? 1 : 0, o->decimal));

  if (o->plain)
    {
      sl_wording_printf (&caption, SL_INK_QUIET, FALSE, TRUE, _ ("heights are drawn %s times as large"), factor);
      sl_scene_fixed (scene, &caption, scene->stage.x + scene->stage.width, scene->stage.y, 1);
      return;
    }
  if (scene->chosen != SL_ALL_STRINGS)
    sl_wording_printf (&caption, SL_INK_TEXT, TRUE, FALSE, _ ("String %d"), scene->chosen);
  else
    sl_wording_add (&caption, SL_INK_TEXT, TRUE, FALSE, side->n_strings > 1 ? _ ("All strings") : _ ("String 1"));
  sl_wording_add (&caption, SL_INK_TEXT, FALSE, FALSE, ", ");
  if (side->held > 0)
    sl_wording_printf (&caption, SL_INK_TEXT, FALSE, FALSE, _ ("held at fret %d"), side->held);
  else
    sl_wording_add (&caption, SL_INK_TEXT, FALSE, FALSE, _ ("open"));
  sl_wording_add (&caption, SL_INK_QUIET, FALSE, FALSE, "  ·  ");
  sl_wording_printf (&caption, SL_INK_QUIET, FALSE, FALSE, _ ("heights × %s"), factor);
  sl_scene_fixed (scene, &caption, scene->stage.x, scene->stage.y, 0);
}

static gboolean
draw_legend_text (SlSide *side, const char *text, double top)
{
  SlScene *scene = side->scene;

  /* apart from the scale's words */
  return sl_scene_text (scene, SL_INK_QUIET, FALSE, TRUE, sl_kept (scene, g_strconcat ("\u2003\u2003", text, NULL)),
                        scene->stage.x + scene->stage.width, top, 1);
}

/* How the lines tell the states apart; the first wording that finds room. */
static void
draw_legend_words (SlSide *side, double top)
{
  SlScene *scene = side->scene;
  /* without a plan, with one, with one that adds; without traces and with them */
  static const char *const keys[3][2][2] = {
    { { N_ ("as measured, nothing planned"), NULL },
      { N_ ("as measured, nothing planned · thin as read before"), N_ ("as measured · thin as read before") } },
    { { N_ ("dashed as measured · solid as planned · hatched comes off"),
        N_ ("dashed measured · solid planned · hatched off") },
      { N_ ("dashed as measured · solid as planned · hatched comes off · thin as read before"),
        N_ ("dashed measured · solid planned · hatched off · thin before") } },
    { { N_ ("dashed as measured · solid as planned · hatched comes off · dotted is added"),
        N_ ("dashed measured · solid planned · hatched off · dotted added") },
      { N_ ("dashed as measured · solid as planned · hatched comes off · dotted is added · thin as read before"),
        N_ ("dashed measured · solid planned · hatched off · dotted added · thin before") } },
  };
  const int string = side->lead->string;
  const gboolean adds = sl_planned_slot (scene, string) > 0 || sl_planned_saddle (scene, string) > 0;
  const char *const *key = keys[scene->ghost + adds][sl_side_earlier (side) != NULL];
  const char *legend = scene->options->legend;
  int pending = 0;

  for (int kind = 0; scene->ghost && kind < SL_N_OPS; kind++)
    pending += sl_count_operations (scene->analysis->plan, (SlOperationKind) kind).n_pending;
  if (legend == NULL && scene->ghost && pending == 0 && sl_side_earlier (side) == NULL)
    legend = _ ("dashed as measured · solid: done, not read again");
  if (legend != NULL)
    draw_legend_text (side, legend, top);
  else if (!draw_legend_text (side, _ (key[0]), top) && key[1] != NULL)
    draw_legend_text (side, _ (key[1]), top);
}

static void
draw_legend (SlSide *side)
{
  SlScene *scene = side->scene;
  gboolean mm = scene->options->lengths == SL_LENGTHS_MM;
  double text = sl_scene_text_height (scene), y = scene->stage.y + scene->stage.height - text / 2,
         x = scene->stage.x + 1;
  double end = x + (mm ? 100 : 4 * SL_MM_PER_INCH) * side->units_x, top = y - LEGEND_TOP_SHARE * text;

  if (!scene->options->plain)
    {
      sl_stroke_line (scene, SL_INK_TEXT, SL_LINE_THICK, SL_DASH_NONE, x, y, end, y);
      sl_stroke_line (scene, SL_INK_TEXT, SL_LINE_THICK, SL_DASH_NONE, x, y - 5, x, y + 5);
      sl_stroke_line (scene, SL_INK_TEXT, SL_LINE_THICK, SL_DASH_NONE, end, y - 5, end, y + 5);
      sl_scene_block (scene, x - 1, y - 6, end - x + 2, 12, SL_NEVER);
      sl_scene_text (scene, SL_INK_QUIET, FALSE, TRUE, mm ? _ ("100 mm along the neck") : _ ("4 in along the neck"),
                     end + 8, top, 0);
    }
  draw_legend_words (side, top);
}

/* The handles lie where the planned string touches nut and saddle, and on the crowns in the neck's middle. */
static void
draw_handles (SlSide *side)
{
  const SlInstrument *in = side->instrument;
  const SlSideString *s = side->lead;

  if (side->scene->options->still || side->scene->options->title != NULL)
    return;
  if (in->work & 1u << SL_OP_TURN_ROD)
    sl_draw_handle (side->scene, SL_HANDLE_NECK, sl_side_x (side, (side->x[1] + side->x[in->joint]) / 2),
                    sl_side_y (side, -s->after.p[SL_P_RELIEF]));
  if (side->n_strings == 1 && in->work & 1u << SL_OP_LOWER_SLOT)
    sl_draw_handle (side->scene, SL_HANDLE_SLOT, s->nut.x, s->nut.y);
  if (sl_saddles[in->adjust].work != SL_N_OPS)
    sl_draw_handle (side->scene, SL_HANDLE_CREST, s->crest.x, s->crest.y);
}

void
sl_side_draw (SlScene *scene)
{
  const SlAnalysis *a = scene->analysis;
  SlSide side = {
    .scene = scene,
    .instrument = &a->instrument,
    .held = CLAMP (scene->options->held, 0, a->instrument.frets - 1),
    .least_saddle = SL_SADDLE_LEAST_UNITS,
    .short_share = 1,
    .most_anchor = INFINITY,
  };
  const double row = sl_scene_text_height (scene) + 6;
  const gboolean foot =
      (!scene->options->plain || scene->options->legend != NULL) && scene->stage.height >= LEAST_ROWS_WITH_LEGEND * row;

  side.area = (SlRect){ scene->stage.x, scene->stage.y + row, scene->stage.width,
                        MAX (1, scene->stage.height - (foot ? 2 : 1) * row) };
  sl_side_choose (&side);
  choose_scales (&side);
  sl_side_place_strings (&side);
  if (foot)
    draw_legend (&side);
  draw_caption (&side);
  sl_scene_turn (scene);
  fill_map (&side);
  sl_side_draw_wood (&side);
  sl_side_draw_frets (&side);
  sl_side_draw_bridge (&side);
  sl_side_draw_traces (&side);
  sl_side_draw_strings (&side);
  sl_side_draw_anchor (&side);
  sl_side_draw_figures (&side);
  draw_handles (&side);
  sl_scene_place (scene);
}

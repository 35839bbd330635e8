/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The side view's dimensions and labels. */
#include "draw/side/side.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "setup/physics/clearance.h"

#define EXPOSURE_LINE_AWAY 26.0 /* of the exposure's dimension line from the saddle */
#define STEP_MM 0.005           /* a change smaller than this reads as none */

/* Asks for a label for one figure, with a force beside it or NULL. */
static void
ask (SlSide *side, SlRequest *request, const char *name, SlSay kind, SlPlaceOfFigure place,
     const SlPlaceOfFigure *aside)
{
  SlFigureWords words = { .name = name, .kind = kind, .ink = SL_INK_PLANNED };

  for (int i = 0; i < side->spoken.n; i++)
    {
      words.after[i] = sl_figure_at (side->scene->after_figures, place, side->spoken.strings[i]);
      words.before[i] =
          side->scene->ghost ? sl_figure_at (side->scene->before_figures, place, side->spoken.strings[i]) : NULL;
      words.aside[i] = aside ? sl_figure_at (side->scene->after_figures, *aside, side->spoken.strings[i]) : NULL;
    }
  request->n_wordings = sl_figure_wordings (side->scene, &side->spoken, &words, request->wordings);
  sl_scene_request (side->scene, request);
}

static double
string_y (const SlSide *side, double x_mm)
{
  const SlStringState *s = &side->lead->after;

  return sl_side_y (side, s->p[SL_P_NUT] + (s->p[SL_P_CREST] - s->p[SL_P_NUT]) * x_mm / s->x_s);
}

static double
crown_y (const SlSide *side, int n)
{
  return sl_side_y (side, sl_crown_height (&side->lead->after, n));
}

static void
dimension_obstacle (SlSide *side, double x, double y0, double y1)
{
  sl_scene_line (side->scene, x, MIN (y0, y1) - 2, x, MAX (y0, y1) + 2, SL_NEVER);
}

static void
show_action (SlSide *side)
{
  const SlInstrument *in = side->instrument;
  double x = sl_side_x (side, in->x[SL_OCTAVE_FRET]), top = string_y (side, in->x[SL_OCTAVE_FRET]),
         bottom = crown_y (side, SL_OCTAVE_FRET), y;

  if (in->frets < SL_OCTAVE_FRET || side->held > 0)
    return;
  y = sl_dimension_upright (side->scene, SL_INK_PLANNED, x, top, bottom, x, x);
  dimension_obstacle (side, x, top, bottom);
  ask (side,
       &(SlRequest){
           .x = x, .y = y, .dx = 1, .dy = 0.1, .clear = 9, .end = SL_LEADER_PLAIN, .leader_ink = SL_INK_PLANNED },
       _ ("action at 12"), SL_SAY_LENGTH, (SlPlaceOfFigure) SL_BY_FRET (action, SL_OCTAVE_FRET), NULL);
}

/* The one figure a customer can see and touch, of the highest string. */
static void
show_plain_action (SlSide *side)
{
  const SlInstrument *in = side->instrument;
  double x = sl_side_x (side, in->x[SL_OCTAVE_FRET]), top = string_y (side, in->x[SL_OCTAVE_FRET]),
         bottom = crown_y (side, SL_OCTAVE_FRET), y;
  const SlFigure *action = &side->scene->after_figures->action[side->lead->string - 1][SL_OCTAVE_FRET];
  SlRequest request = {
    .x = x, .dx = -0.1, .dy = -1, .clear = 14, .end = SL_LEADER_PLAIN, .leader_ink = SL_INK_PLANNED, .n_wordings = 2
  };

  if (in->frets < SL_OCTAVE_FRET || !isfinite (action->value))
    return;
  y = sl_dimension_upright (side->scene, SL_INK_PLANNED, x, top, bottom, x, x);
  dimension_obstacle (side, x, top, bottom);
  request.y = MIN (y, top);
  if (side->scene->ghost) /* beyond where the string was */
    {
      const SlStringState *earlier = &side->lead->before;
      double z =
          earlier->p[SL_P_NUT] + (earlier->p[SL_P_CREST] - earlier->p[SL_P_NUT]) * in->x[SL_OCTAVE_FRET] / earlier->x_s;

      request.clear += MAX (0, request.y - sl_side_ghost_y (side, side->lead, in->x[SL_OCTAVE_FRET], z));
    }
  for (int v = 0; v < request.n_wordings; v++)
    {
      g_autofree char *height = sl_say (side->scene, SL_SAY_LENGTH, action->value);

      sl_wording_add (&request.wordings[v], SL_INK_PLANNED, TRUE, FALSE, height);
      if (v == 0)
        sl_wording_add (&request.wordings[v], SL_INK_TEXT, FALSE, FALSE, _ (" at the 12th fret"));
    }
  sl_scene_request (side->scene, &request);
}

static void
show_first_gap (SlSide *side)
{
  double at = side->instrument->x[1], x = sl_side_x (side, at), top = string_y (side, at), bottom = crown_y (side, 1),
         y;

  if (side->held > 0)
    return;
  y = sl_dimension_upright (side->scene, SL_INK_PLANNED, x, top, bottom, x, x);
  dimension_obstacle (side, x, top, bottom);
  if (bottom - top < 2.6 * SL_ARROW_LENGTH)
    y = top - 2 * SL_ARROW_LENGTH; /* the arrows stand outside: the text goes with the upper one's tail */
  ask (side,
       &(SlRequest){
           .x = x, .y = y, .dx = 0.5, .dy = -1, .clear = 16, .end = SL_LEADER_PLAIN, .leader_ink = SL_INK_PLANNED },
       _ ("height at fret 1"), SL_SAY_LENGTH, (SlPlaceOfFigure) SL_BY_STRING (first_gap), NULL);
}

/* Fret with the deepest crown, where the relief is read off. */
static int
relief_fret (const SlSide *side)
{
  const SlInstrument *in = side->instrument;
  int deepest = (1 + in->joint) / 2;
  double least = INFINITY;

  for (int n = 2; n < in->joint; n++)
    {
      double z = sl_crown_height (&side->lead->after, n);

      if (z < least)
        {
          least = z;
          deepest = n;
        }
    }
  return deepest;
}

static void
show_relief (SlSide *side)
{
  int n = relief_fret (side);
  double chord = sl_side_y (side, 0), crown = crown_y (side, n), x = sl_side_x (side, side->instrument->x[n]);

  if (crown - chord > 1)
    {
      sl_dimension_upright (side->scene, SL_INK_PLANNED, x, chord, crown, x, x);
      dimension_obstacle (side, x, chord, crown);
    }
  ask (side,
       &(SlRequest){ .x = x,
                     .y = crown,
                     .dx = -0.2,
                     .dy = 1,
                     .clear = side->board_bottom + side->neck_depth + 12 - crown,
                     .end = SL_LEADER_PLAIN,
                     .leader_ink = SL_INK_THIN },
       _ ("relief"), SL_SAY_LENGTH, (SlPlaceOfFigure) SL_BY_STRING (relief), NULL);
}

static void
show_breaks (SlSide *side)
{
  const SlStringState *s = &side->lead->after;

  ask (side,
       &(SlRequest){ .x = sl_side_x (side, 0) - 3,
                     .y = sl_side_y (side, s->p[SL_P_NUT]) - SL_HANDLE_RADIUS - 1,
                     .dx = -0.6,
                     .dy = -1,
                     .clear = 22,
                     .end = SL_LEADER_ARROW,
                     .leader_ink = SL_INK_THIN },
       _ ("over the nut"), SL_SAY_DEGREES, (SlPlaceOfFigure) SL_BY_STRING (nut_break),
       &(SlPlaceOfFigure) SL_BY_STRING (nut_force));
  ask (side,
       &(SlRequest){ .x = sl_side_x (side, s->x_s) - 5,
                     .y = sl_side_y (side, s->p[SL_P_CREST]) - SL_HANDLE_RADIUS,
                     .dx = -1,
                     .dy = -0.5,
                     .clear = 22,
                     .end = SL_LEADER_ARROW,
                     .leader_ink = SL_INK_THIN },
       _ ("over the saddle"), SL_SAY_DEGREES, (SlPlaceOfFigure) SL_BY_STRING (saddle_break),
       &(SlPlaceOfFigure) SL_BY_STRING (saddle_force));
}

static void
show_exposure (SlSide *side)
{
  double saddle = sl_side_x (side, side->lead->after.x_s) - SL_SADDLE_LEAST_UNITS * 0.3,
         x = saddle - EXPOSURE_LINE_AWAY;
  double top = sl_side_y (side, side->lead->after.p[SL_P_CREST]), bottom = sl_side_y (side, side->bridge_top), y;

  if (bottom - top < 4)
    return;
  y = sl_dimension_upright (side->scene, SL_INK_PLANNED, x, top, bottom, saddle - SL_HANDLE_RADIUS, saddle);
  dimension_obstacle (side, x, top, bottom);
  if (side->broken)
    sl_break_mark (side->scene, SL_INK_PLANNED, x, bottom - (bottom - top) * 0.3, 6);
  if (bottom - top >= 2.6 * SL_ARROW_LENGTH)
    y = bottom - (bottom - top) * 0.08 - 4;
  ask (side,
       &(SlRequest){
           .x = x, .y = y, .dx = -1, .dy = 0.35, .clear = 8, .end = SL_LEADER_PLAIN, .leader_ink = SL_INK_PLANNED },
       _ ("exposure"), SL_SAY_LENGTH, (SlPlaceOfFigure) SL_BY_STRING (exposure), NULL);
}

/* "0.88", or "0.88 | 0.68" where both outer strings are spoken of. */
static char *
pair_text (const SlSide *side, const double mm[2])
{
  g_autofree char *first = sl_say (side->scene, SL_SAY_LENGTH, mm[0]), *second = NULL;
  const char *unit;

  if (side->spoken.n == 1)
    return g_steal_pointer (&first);
  g_free (first);
  first = sl_say_value (side->scene, SL_SAY_LENGTH, mm[0], &unit);
  second = sl_say (side->scene, SL_SAY_LENGTH, mm[1]);
  return g_strdup_printf ("%s | %s", first, second);
}

/* The planned base cut with the first pass, safe to take before reading again. */
static void
show_base_cut (SlSide *side)
{
  const SlStringState *s = &side->lead->after;
  double cut[2] = { 0, 0 }, pass[2] = { 0, 0 }, bottom = sl_side_y (side, side->bridge_top), body = side->board_bottom;
  SlRequest request = { .x = sl_side_x (side, s->x_s) + 1,
                        .dx = -0.9,
                        .dy = 1,
                        .end = SL_LEADER_DOT,
                        .leader_ink = SL_INK_CUT,
                        .n_wordings = 2 };
  g_autofree char *amount = NULL, *passes = NULL, *line = NULL;

  for (int i = 0; i < side->spoken.n; i++)
    {
      cut[i] = sl_planned_base_cut (side->scene->analysis, side->spoken.strings[i]);
      pass[i] = sl_planned_first_pass (side->scene->analysis, side->spoken.strings[i], cut[i]);
    }
  if (!side->scene->ghost || side->scene->options->still || !isfinite (cut[0] + cut[1] + pass[0] + pass[1]) ||
      MAX (cut[0], cut[1]) < STEP_MM)
    return;
  request.y = bottom + MAX (4, (body - bottom) * 0.6) - 2;
  request.clear = MAX (14, body - request.y + 20);
  amount = pair_text (side, cut);
  passes = pair_text (side, pass);
  line = g_strdup_printf (side->spoken.n == 1 ? _ ("first pass %s") : _ ("bass | treble, first pass %s"), passes);
  for (int v = 0; v < request.n_wordings; v++)
    {
      g_autofree char *take = g_strdup_printf (v == 0 ? _ ("take %s off the underside") : _ ("%s off"), amount);

      sl_wording_add (&request.wordings[v], SL_INK_CUT, TRUE, FALSE, take);
      sl_wording_break (&request.wordings[v]);
      sl_wording_add (&request.wordings[v], SL_INK_QUIET, FALSE, TRUE, line);
    }
  sl_scene_request (side->scene, &request);
}

/* Labels with one amount of work in them: "lower the slot 0.08 mm". */
static void
show_amount (SlSide *side, double x, double y, double dx, double dy, double clear, const char *format, double mm)
{
  SlRequest request = {
    .x = x, .y = y, .dx = dx, .dy = dy, .clear = clear, .end = SL_LEADER_DOT, .leader_ink = SL_INK_CUT, .n_wordings = 1
  };
  g_autofree char *amount = sl_say (side->scene, SL_SAY_LENGTH, fabs (mm));
  g_autofree char *text = g_strdup_printf (format, amount);

  if (side->scene->options->still)
    return;
  sl_wording_add (&request.wordings[0], SL_INK_CUT, TRUE, FALSE, text);
  sl_scene_request (side->scene, &request);
}

static void
show_levelling (SlSide *side)
{
  double most = 0;
  int where = 0;

  if (!sl_is_planned (side->scene->analysis, SL_OP_LEVEL_FRETS))
    return;
  for (int n = 1; n <= side->instrument->frets; n++)
    {
      double loss = side->scene->before_state->crown[n] - side->scene->after_state->crown[n];

      if (loss > most && n != relief_fret (side) && n != 12)
        {
          most = loss;
          where = n;
        }
    }
  if (most >= STEP_MM)
    show_amount (side, sl_side_x (side, side->instrument->x[where]), crown_y (side, where), 0.3, 1,
                 side->board_bottom + side->neck_depth + 10 - crown_y (side, where), _ ("level frets, most %s off"),
                 most);
}

static void
show_work (SlSide *side)
{
  const SlAnalysis *a = side->scene->analysis;
  const SlStringState *s = &side->lead->after;
  double crest_x = sl_side_x (side, s->x_s), crest_y = sl_side_y (side, s->p[SL_P_CREST]),
         slot = sl_planned_amount (a, SL_OP_LOWER_SLOT, side->lead->string);
  double shaped = sl_planned_amount (a, SL_OP_SHAPE_CREST, side->lead->string),
         moved = sl_planned_amount (a, SL_OP_MOVE_CREST, side->lead->string);

  if (!side->scene->ghost)
    return;
  show_levelling (side);
  if (side->n_strings > 1)
    return;
  if (slot >= STEP_MM)
    show_amount (side, sl_side_x (side, 0) - 5, sl_side_y (side, s->p[SL_P_NUT]) - SL_HANDLE_RADIUS - 1, -0.3, -1, 30,
                 _ ("slot %s lower"), slot);
  if (fabs (shaped) >= STEP_MM)
    show_amount (side, crest_x + 6, crest_y + 1, 1, -0.4, 16,
                 shaped > 0 ? _ ("saddle top %s lower") : _ ("saddle top %s higher"), shaped);
  if (fabs (moved) >= STEP_MM)
    show_amount (side, crest_x + 6, crest_y + 3, 1, 0, 16,
                 moved > 0 ? _ ("break point %s back") : _ ("break point %s forward"), moved);
}

/* Held: the crown the swinging string comes closest to, and what is left there. */
static void
show_closest (SlSide *side)
{
  const SlInstrument *in = side->instrument;
  const SlStringState *s = &side->lead->after;
  double tension = side->scene->after_figures->tension[side->lead->string - 1].value, x, y;
  SlClearance best = { .margin = INFINITY };
  int fret = 0;
  SlRequest request = { .dx = 0.3, .dy = 1, .end = SL_LEADER_ARROW, .leader_ink = SL_INK_TEXT, .n_wordings = 2 };

  if (side->held == 0 || !isfinite (tension))
    return;
  for (int n = side->held + 1; n <= in->frets; n++)
    {
      SlClearance c;

      sl_clearance (s, tension, side->held, n, &c);
      if (c.margin < best.margin)
        {
          best = c;
          fret = n;
        }
    }
  if (fret == 0 || !isfinite (best.margin))
    return;
  x = sl_side_x (side, in->x[fret]);
  y = crown_y (side, fret);
  request.x = x;
  request.y = y + 1;
  request.clear = side->board_bottom + side->neck_depth + 12 - y;
  for (int v = 0; v < request.n_wordings; v++)
    {
      g_autofree char *margin = sl_say (side->scene, SL_SAY_LENGTH, best.margin),
                      *gap = sl_say (side->scene, SL_SAY_LENGTH, best.gap),
                      *swing = sl_say (side->scene, SL_SAY_LENGTH, best.swing);
      g_autofree char *where = g_strdup_printf (_ ("closest at fret %d: "), fret), *left = NULL,
                      *line = g_strdup_printf (_ ("gap %s, swing %s"), gap, swing);

      /* Translators: what the swinging string leaves over the crown it comes closest to */
      left = g_strdup_printf (best.margin >= 0 ? _ ("margin %s") : _ ("margin %s, touches"), margin);
      sl_wording_add (&request.wordings[v], SL_INK_TEXT, FALSE, FALSE, where);
      sl_wording_add (&request.wordings[v], best.margin >= 0 ? SL_INK_PLANNED : SL_INK_CUT, TRUE, FALSE, left);
      if (v == 0)
        {
          sl_wording_break (&request.wordings[v]);
          sl_wording_add (&request.wordings[v], SL_INK_QUIET, FALSE, TRUE, line);
        }
    }
  cairo_new_sub_path (side->scene->cr);
  cairo_arc (side->scene->cr, x, y, 5, 0, 2 * G_PI);
  sl_stroke (side->scene->cr, side->scene->palette, best.margin >= 0 ? SL_INK_PLANNED : SL_INK_CUT, SL_LINE_THICK);
  sl_scene_request (side->scene, &request);
}

void
sl_side_draw_figures (SlSide *side)
{
  if (side->scene->options->plain)
    {
      show_plain_action (side);
      return;
    }
  show_closest (side);
  show_action (side);
  show_base_cut (side);
  show_relief (side);
  show_first_gap (side);
  show_breaks (side);
  show_exposure (side);
  show_work (side);
}

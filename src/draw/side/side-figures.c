/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The side view's dimensions and labels. */
#include "draw/side/side.h"

#include "setup/physics/clearance.h"

#define EXPOSURE_LINE_AWAY 26.0 /* of the exposure's dimension line from the saddle */
#define STEP_MM 0.005           /* a change smaller than this reads as none */

/* Height of a straight string over a place. */
static double
string_z (const SlStringState *s, double x_mm)
{
  return s->p[SL_P_NUT] + (s->p[SL_P_CREST] - s->p[SL_P_NUT]) * x_mm / s->x_s;
}

static double
string_y (const SlSide *side, double x_mm)
{
  return sl_side_y (side, string_z (&side->lead->after, x_mm));
}

static double
crown_y (const SlSide *side, int n)
{
  return sl_side_y (side, sl_crown_height (&side->lead->after, n));
}

static void
show_action (SlSide *side)
{
  const SlInstrument *in = side->instrument;
  double x = sl_side_x (side, side->x[SL_OCTAVE_FRET]), top = string_y (side, side->x[SL_OCTAVE_FRET]),
         bottom = crown_y (side, SL_OCTAVE_FRET);
  SlRequest request = sl_request (x, (top + bottom) / 2, 1, 0.1, 9, SL_LEADER_PLAIN, SL_INK_PLANNED);

  if (in->frets < SL_OCTAVE_FRET || side->held > 0)
    return;
  sl_scene_figure (side->scene, sl_dimension_upright (side->scene, request, top, bottom, x, x, 0), _ ("action at 12"),
                   SL_SAY_LENGTH, (SlPlaceOfFigure) SL_BY_FRET (action, SL_OCTAVE_FRET), NULL);
}

/* The one figure a customer can see and touch, of the highest string. */
static void
show_plain_action (SlSide *side)
{
  const SlInstrument *in = side->instrument;
  const SlFigure *action = &side->scene->after_figures->action[side->lead->string - 1][SL_OCTAVE_FRET];
  double at = side->x[SL_OCTAVE_FRET], x = sl_side_x (side, at), top = string_y (side, at), bottom;
  SlRequest request;

  if (in->frets < SL_OCTAVE_FRET || !isfinite (action->value))
    return;
  bottom = crown_y (side, SL_OCTAVE_FRET);
  request = sl_request (x, MIN ((top + bottom) / 2, top), -0.1, -1, 14, SL_LEADER_PLAIN, SL_INK_PLANNED);
  request = sl_dimension_upright (side->scene, request, top, bottom, x, x, 0);
  if (side->scene->ghost) /* beyond where the string was */
    request.clear += MAX (
        0, request.y - sl_side_y_from (side, side->lead, &side->lead->before, at, string_z (&side->lead->before, at)));
  for (; request.n_wordings < 2; request.n_wordings++)
    sl_wording_add (&request.wordings[request.n_wordings], SL_INK_PLANNED, TRUE, FALSE,
                    sl_say (side->scene, SL_SAY_LENGTH, action->value));
  sl_wording_add (&request.wordings[0], SL_INK_TEXT, FALSE, FALSE, _ (" at the 12th fret"));
  sl_scene_request (side->scene, &request);
}

static void
show_first_gap (SlSide *side)
{
  double at = side->x[1], x = sl_side_x (side, at), top = string_y (side, at), bottom = crown_y (side, 1);
  SlRequest request = sl_request (x, (top + bottom) / 2, 0.5, -1, 16, SL_LEADER_PLAIN, SL_INK_PLANNED);

  if (side->held > 0)
    return;
  if (bottom - top < 2.6 * SL_ARROW_LENGTH)
    request.y = top - 2 * SL_ARROW_LENGTH; /* the arrows stand outside: the text goes with the upper one's tail */
  sl_scene_figure (side->scene, sl_dimension_upright (side->scene, request, top, bottom, x, x, 0),
                   _ ("height at fret 1"), SL_SAY_LENGTH, (SlPlaceOfFigure) SL_BY_STRING (first_gap), NULL);
}

/* Fret with the deepest crown, where the relief is read off; of a neck bowed back the highest. */
static int
relief_fret (const SlSide *side)
{
  const SlInstrument *in = side->instrument;
  int deepest = (1 + in->joint) / 2;
  double least = INFINITY;

  for (int n = 2; n < in->joint; n++)
    {
      double z = sl_crown_height (&side->lead->after, n) * (side->lead->after.p[SL_P_RELIEF] < 0 ? -1 : 1);

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
  double chord = sl_side_y (side, 0), crown = crown_y (side, n), x = sl_side_x (side, side->x[n]);
  SlRequest request = crown < chord ? sl_request (x, crown, 0.3, -1, 16, SL_LEADER_PLAIN, SL_INK_THIN)
                                    : sl_request (x, crown, -0.2, 1, side->board_bottom + side->neck_depth + 12 - crown,
                                                  SL_LEADER_PLAIN, SL_INK_THIN);

  if (fabs (crown - chord) > 1)
    request = sl_dimension_upright (side->scene, request, chord, crown, x, x, 0);
  sl_scene_figure (side->scene, request, _ ("relief"), SL_SAY_LENGTH, (SlPlaceOfFigure) SL_BY_STRING (relief), NULL);
}

static void
show_breaks (SlSide *side)
{
  const SlPoint nut = side->lead->nut, crest = side->lead->crest;

  sl_scene_figure (side->scene,
                   sl_request (nut.x - 3, nut.y - SL_HANDLE_RADIUS - 1, -0.6, -1, 22, SL_LEADER_ARROW, SL_INK_THIN),
                   _ ("over the nut"), SL_SAY_DEGREES, (SlPlaceOfFigure) SL_BY_STRING (nut_break),
                   &(SlPlaceOfFigure) SL_BY_STRING (nut_force));
  sl_scene_figure (side->scene,
                   sl_request (crest.x - 5, crest.y - SL_HANDLE_RADIUS, -1, -0.5, 22, SL_LEADER_ARROW, SL_INK_THIN),
                   _ ("over the saddle"), SL_SAY_DEGREES, (SlPlaceOfFigure) SL_BY_STRING (saddle_break),
                   &(SlPlaceOfFigure) SL_BY_STRING (saddle_force));
}

static void
show_exposure (SlSide *side)
{
  double saddle = side->lead->crest.x - SL_SADDLE_LEAST_UNITS * 0.3, x = saddle - EXPOSURE_LINE_AWAY,
         top = side->lead->crest.y, bottom = sl_side_y (side, side->bridge_top);
  SlRequest request = sl_request (x, (top + bottom) / 2, -1, 0.35, 8, SL_LEADER_PLAIN, SL_INK_PLANNED);

  if (bottom - top < 4)
    return;
  if (bottom - top >= 2.6 * SL_ARROW_LENGTH)
    request.y = bottom - (bottom - top) * 0.08 - 4;
  request = sl_dimension_upright (side->scene, request, top, bottom, saddle - SL_HANDLE_RADIUS, saddle,
                                  side->broken ? bottom - (bottom - top) * 0.3 : 0);
  sl_scene_figure (side->scene, request, _ ("exposure"), SL_SAY_LENGTH, (SlPlaceOfFigure) SL_BY_STRING (exposure),
                   NULL);
}

/* "0.88", or "0.88 | 0.68" where both outer strings are spoken of; of a first pass what doesn't come off yet of @cut.
 */
static const char *
pair_text (const SlSide *side, const double mm[2], const double cut[2])
{
  const gboolean one = side->scene->n_spoken == 1;
  const char *unit, *first = sl_say_value (side->scene, SL_SAY_LENGTH, mm[0], &unit),
                    *none = cut != NULL && !one ? sl_no_pass_text (mm[0], cut[0]) : NULL,
                    *other = cut != NULL && !one ? sl_no_pass_text (mm[1], cut[1]) : NULL;

  if (one || other != NULL)
    return sl_kept (side->scene, g_strconcat (first, unit, one ? NULL : " | ", other, NULL));
  return sl_kept (side->scene,
                  g_strconcat (none != NULL ? none : first, " | ", sl_say (side->scene, SL_SAY_LENGTH, mm[1]), NULL));
}

/* The planned base cut with the first pass, safe to take before reading again. */
static void
show_base_cut (SlSide *side)
{
  double cut[2] = { 0, 0 }, pass[2] = { 0, 0 }, bottom = sl_side_y (side, side->bridge_top), body = side->board_bottom,
         y = bottom + MAX (4, (body - bottom) * 0.6) - 2;
  SlRequest request =
      sl_request (side->lead->crest.x + 1, y, -0.9, 1, MAX (14, body - y + 20), SL_LEADER_DOT, SL_INK_CUT);
  const char *line;

  for (int i = 0; i < side->scene->n_spoken; i++)
    {
      cut[i] = sl_planned_amount (side->scene->analysis, SL_OP_CUT_SADDLE_BASE, side->scene->spoken[i]);
      pass[i] = sl_planned_first_pass (side->scene->analysis, side->scene->spoken[i]);
    }
  if (!side->scene->ghost || side->scene->options->still || !isfinite (cut[0] + cut[1] + pass[0] + pass[1]) ||
      MAX (cut[0], cut[1]) < STEP_MM)
    return;
  line = MAX (pass[0], pass[1]) < STEP_MM
             ? _ ("none of it yet") /* the work column says what keeps it */
             : sl_print (side->scene,
                         side->scene->n_spoken == 1 ? _ ("first pass %s") : _ ("bass | treble, first pass %s"),
                         pair_text (side, pass, cut));
  for (int v = 0; v < 2; v++)
    {
      SlWording *wording = &request.wordings[request.n_wordings++];

      sl_wording_printf (wording, SL_INK_CUT, TRUE, FALSE, v == 0 ? _ ("take %s off the underside") : _ ("%s off"),
                         pair_text (side, cut, NULL));
      sl_wording_break (wording);
      sl_wording_add (wording, SL_INK_QUIET, FALSE, TRUE, line);
    }
  sl_scene_request (side->scene, &request);
}

static void
show_levelling (SlSide *side)
{
  double most = 0;
  int where = 0;

  if (sl_count_operations (side->scene->analysis->plan, SL_OP_LEVEL_FRETS).n_pending == 0)
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
    sl_scene_amount (side->scene, sl_side_x (side, side->x[where]), crown_y (side, where), 0.3, 1,
                     side->board_bottom + side->neck_depth + 10 - crown_y (side, where), _ ("level frets, most %s off"),
                     most);
}

/* What moves both ends of a bridge; @words for one way, for the other, and for each end its own. */
static void
show_ends (SlSide *side, SlOperationKind kind, const char *const words[3], double dy)
{
  const SlPoint crest = side->lead->crest;
  const SlTextStyle style = sl_scene_style (side->scene);
  SlRequest request = sl_request (crest.x + 6, crest.y + 1 + dy, 1, -0.4, 16, SL_LEADER_DOT, SL_INK_CUT);
  double by[2] = { 0, 0 };
  const char *amount;

  for (int i = 0; i < side->scene->n_spoken; i++)
    by[i] = sl_planned_amount (side->scene->analysis, kind, side->scene->spoken[i]);
  if (MAX (fabs (by[0]), fabs (by[1])) < STEP_MM)
    return;
  if (by[0] * by[1] < 0)
    amount = sl_kept (side->scene, g_strconcat (sl_kept (side->scene, sl_text_change (&style, by[0])), " | ",
                                                sl_kept (side->scene, sl_text_change (&style, by[1])), NULL));
  else
    amount = pair_text (side, (double[]){ fabs (by[0]), fabs (by[1]) }, NULL);
  sl_scene_note (side->scene, request, SL_INK_CUT, TRUE,
                 sl_print (side->scene,
                           _ (words[by[0] * by[1] < 0   ? 2
                                    : by[0] + by[1] > 0 ? 0
                                                        : 1]),
                           amount),
                 NULL);
}

/* Of one string: what its work comes to, each with its place about the crest. */
static void
show_string_work (SlSide *side)
{
  const SlAnalysis *a = side->scene->analysis;
  const SlPoint nut = side->lead->guide, crest = side->lead->crest;
  const int string = side->lead->string;
  const double slot = sl_planned_slot (side->scene, string), shaped = sl_planned_amount (a, SL_OP_SHAPE_CREST, string),
               moved = sl_planned_amount (a, SL_OP_MOVE_CREST, string), made = sl_planned_saddle (side->scene, string);
  const struct
  {
    double mm, dy;
    const char *words;
  } work[] = {
    { shaped, 1, sl_crest_change (side->instrument, shaped) },
    { made, 1, made > 0 ? _ ("new saddle %s higher") : _ ("new saddle %s lower") },
    { moved, 3, moved > 0 ? _ ("break point %s back") : _ ("break point %s forward") },
  };

  if (fabs (slot) >= STEP_MM)
    sl_scene_amount (side->scene, nut.x - 5, nut.y - SL_HANDLE_RADIUS - 1, -0.3, -1, 30, sl_slot_change (slot), slot);
  for (gsize i = 0; i < G_N_ELEMENTS (work); i++)
    if (fabs (work[i].mm) >= STEP_MM)
      sl_scene_amount (side->scene, crest.x + 6, crest.y + work[i].dy, 1, i == 2 ? 0 : -0.4, 16, work[i].words,
                       work[i].mm);
}

static void
show_work (SlSide *side)
{
  static const char *const height[] = { N_ ("bridge %s up"), N_ ("bridge %s down"), N_ ("bridge height %s") },
                           *const place[] = { N_ ("bridge %s back"), N_ ("bridge %s forward"),
                                              N_ ("bridge position %s") };
  const double angle = sl_planned_amount (side->scene->analysis, SL_OP_SET_NECK_ANGLE, 0),
               joint = sl_side_x (side, side->x[side->instrument->joint]);

  if (!side->scene->ghost || side->scene->options->still)
    return;
  show_levelling (side);
  show_ends (side, SL_OP_MOVE_SADDLE, height, 0);
  show_ends (side, SL_OP_SHIFT_BRIDGE, place, 3);
  if (fabs (angle) >= STEP_MM)
    /* Translators: what setting the neck's angle does to the saddle's height over the frets */
    sl_scene_amount (side->scene, joint, side->board_bottom + side->neck_depth, -0.6, 1, 24,
                     angle > 0 ? _ ("neck set, crest %s lower") : _ ("neck set, crest %s higher"), angle);
  if (side->n_strings == 1)
    show_string_work (side);
}

/* Held: the crown the swinging string comes closest to, and what is left there. */
static void
show_closest (SlSide *side)
{
  double tension = side->scene->after_figures->tension[side->lead->string - 1].value, x, y;
  SlClearance best;
  int fret;
  SlRequest request;
  SlInk ink;

  if (side->held == 0)
    return;
  fret = sl_closest_fret (&side->lead->after, tension, side->held, &best);
  if (fret == 0)
    return;
  x = sl_side_x (side, side->x[fret]);
  y = crown_y (side, fret);
  ink = best.margin >= 0 ? SL_INK_PLANNED : SL_INK_CUT;
  request = sl_request (x, y + 1, 0.3, 1, side->board_bottom + side->neck_depth + 12 - y, SL_LEADER_ARROW, SL_INK_TEXT);
  for (int v = 0; v < 2; v++)
    {
      SlWording *wording = &request.wordings[request.n_wordings++];

      sl_wording_printf (wording, SL_INK_TEXT, FALSE, FALSE, _ ("closest at fret %d: "), fret);
      /* Translators: what the swinging string leaves over the crown it comes closest to */
      sl_wording_printf (wording, ink, TRUE, FALSE, best.margin >= 0 ? _ ("margin %s") : _ ("margin %s, touches"),
                         sl_say (side->scene, SL_SAY_LENGTH, best.margin));
    }
  sl_wording_break (&request.wordings[0]);
  sl_wording_printf (&request.wordings[0], SL_INK_QUIET, FALSE, TRUE,
                     sl_gap_basis (&side->scene->analysis->fit, &side->lead->after, side->held, fret) ==
                             SL_BASIS_ASSUMED
                         ? _ ("gap %s, swing %s, assumed")
                         : _ ("gap %s, swing %s"),
                     sl_say (side->scene, SL_SAY_LENGTH, best.gap), sl_say (side->scene, SL_SAY_LENGTH, best.swing));
  sl_circle (side->scene->cr, x, y, 5);
  sl_stroke (side->scene->cr, side->scene->palette, ink, SL_LINE_THICK);
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
  show_first_gap (side);
  show_exposure (side);
  show_base_cut (side);
  show_breaks (side);
  show_relief (side);
  show_work (side);
}

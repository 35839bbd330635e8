/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The side view's traces: where the string ran and the crowns lay when the visit's earlier readings were taken. */
#include "draw/side/side.h"

#include <math.h>

#define LEAST_MOVE 1.0 /* units: crowns that moved less would only thicken what is drawn */

const GArray *
sl_side_earlier (const SlSide *side)
{
  const GArray *earlier = side->scene->analysis->earlier;
  const SlPictureOptions *o = side->scene->options;

  return earlier == NULL || earlier->len == 0 || o->still || o->plain ? NULL : earlier;
}

static double
y_from (const SlSide *side, const SlSideString *s, const SlStringState *past, double x_mm, double z_mm)
{
  return sl_side_y (side, sl_side_z_from (side, s, past, x_mm, z_mm));
}

static void
trace_string (SlSide *side, const SlSideString *s, const SlStringState *past)
{
  cairo_t *cr = side->scene->cr;
  double nut_y = y_from (side, s, past, 0, past->p[SL_P_NUT]), crest_x = sl_side_x (side, past->x_s);
  double crest_y = y_from (side, s, past, past->x_s, past->p[SL_P_CREST]);

  cairo_move_to (cr, sl_side_x (side, 0), nut_y);
  cairo_line_to (cr, crest_x, crest_y);
  sl_stroke (cr, side->scene->palette, SL_INK_TRACE, SL_LINE_THIN);
  sl_scene_line (side->scene, sl_side_x (side, 0), nut_y, crest_x, crest_y, SL_NEVER);
}

void
sl_side_trace_crowns (SlSide *side, const SlStringState *past, SlInk ink, double width, SlDash dash)
{
  const SlInstrument *in = side->instrument;
  const SlSideString *s = side->lead;
  double y[SL_MAX_FRETS + 1], moved = 0;

  for (int n = 1; n <= in->frets; n++)
    {
      y[n] = y_from (side, s, past, in->x[n], sl_crown_height (past, n));
      moved = MAX (moved, fabs (y[n] - sl_side_y (side, sl_crown_height (&s->after, n))));
    }
  if (moved <= LEAST_MOVE)
    return;
  for (int n = 1; n <= in->frets; n++)
    {
      cairo_line_to (side->scene->cr, sl_side_x (side, in->x[n]), y[n]);
      if (n > 1)
        sl_scene_line (side->scene, sl_side_x (side, in->x[n - 1]), y[n - 1], sl_side_x (side, in->x[n]), y[n],
                       SL_NEVER);
    }
  sl_set_dash (side->scene->cr, dash);
  sl_stroke (side->scene->cr, side->scene->palette, ink, width);
  sl_set_dash (side->scene->cr, SL_DASH_NONE);
}

void
sl_side_draw_traces (SlSide *side)
{
  const GArray *earlier = sl_side_earlier (side);

  for (guint k = 0; earlier != NULL && k < earlier->len; k++)
    {
      const SlState *state = &g_array_index (earlier, SlEarlier, k).state;

      /* of several strings the outer ones speak for all, as in the ghost */
      for (int i = 0; i < side->n_strings; i += MAX (1, side->n_strings - 1))
        {
          const SlSideString *s = &side->strings[i];
          SlStringState past;

          sl_state_string (side->instrument, state, s->string, &past);
          trace_string (side, s, &past);
          if (s == side->lead)
            sl_side_trace_crowns (side, &past, SL_INK_TRACE, SL_LINE_THIN, SL_DASH_NONE);
        }
    }
}

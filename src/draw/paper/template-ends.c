/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Nut and saddle at full size. The nut from above with slots, strings and the blank's outline, and from the board's end
 * with the slots' floors over the board. The saddle's top as seen from the tail, with the line at which it leaves the
 * bridge now and after the cut; its underside with what comes off; and its crest from above. Heights are along the
 * saddle, which may lean. */
#include "draw/paper/template-parts.h"

#include "draw/side/side.h"

#define HATCH_MM 0.6
#define DASH_MM 1.2

/* Adds a point to the path, in millimetres; a shape of four. */
static void
to (const SlTemplateSheet *sheet, double x, double y)
{
  const SlPoint at = sl_template_point (sheet, x, y);

  cairo_line_to (sheet->cr, at.x * sheet->scale_x, at.y * sheet->scale_y);
}

static void
quad (const SlTemplateSheet *sheet, double x0, double top0, double bottom0, double x1, double top1, double bottom1)
{
  to (sheet, x0, top0);
  to (sheet, x1, top1);
  to (sheet, x1, bottom1);
  to (sheet, x0, bottom0);
  cairo_close_path (sheet->cr);
}

static void
stroke (const SlTemplateSheet *sheet, SlStroke kind)
{
  const double dash = DASH_MM / SL_POINT_MM, dashes[] = { dash, dash * 0.7 },
               chain[] = { 3 * dash, dash * 0.7, dash * 0.3, dash * 0.7 };

  if (kind == SL_STROKE_DASH)
    cairo_set_dash (sheet->cr, dashes, G_N_ELEMENTS (dashes), 0);
  else if (kind == SL_STROKE_CHAIN)
    cairo_set_dash (sheet->cr, chain, G_N_ELEMENTS (chain), 0);
  sl_stroke (sheet->cr, sl_palette (SL_LOOK_LIGHT), kind == SL_STROKE_DASH ? SL_INK_GHOST : SL_INK_TEXT,
             (kind == SL_STROKE_LINE ? SL_TEMPLATE_LINE_MM : SL_TEMPLATE_HAIR_MM) / SL_POINT_MM);
  cairo_set_dash (sheet->cr, NULL, 0, 0);
}

void
sl_template_line (const SlTemplateSheet *sheet, SlStroke kind, double x0, double y0, double x1, double y1)
{
  cairo_new_path (sheet->cr);
  to (sheet, x0, y0);
  to (sheet, x1, y1);
  stroke (sheet, kind);
}

/* Hatches the path. */
static void
hatch (const SlTemplateSheet *sheet)
{
  double x0, y0, x1, y1, step = HATCH_MM / SL_POINT_MM;

  cairo_save (sheet->cr);
  cairo_path_extents (sheet->cr, &x0, &y0, &x1, &y1);
  cairo_clip (sheet->cr);
  for (double x = x0 - (y1 - y0); x < x1; x += step)
    {
      cairo_move_to (sheet->cr, x, y1);
      cairo_line_to (sheet->cr, x + (y1 - y0), y0);
    }
  sl_stroke (sheet->cr, sl_palette (SL_LOOK_LIGHT), SL_INK_CUT, SL_TEMPLATE_HAIR_MM / SL_POINT_MM);
  cairo_restore (sheet->cr);
}

static double
put_paragraph (const SlTemplateSheet *sheet, const char *text, double y)
{
  const SlType type = { .size = SL_TEMPLATE_TEXT_MM / SL_POINT_MM, .ink = SL_INK_TEXT };
  SlFlow flow = sl_template_flow (sheet, y);

  sl_flow_paragraph (&flow, text, &type, 0);
  return flow.y / sheet->scale_y;
}

static double
put_table (const SlTemplateSheet *sheet, const SlTable *table, double y)
{
  SlFlow flow = sl_template_flow (sheet, y);

  sl_flow_table (&flow, NULL, table);
  return flow.y / sheet->scale_y;
}

/* Places across come from the middle of the page: the treble on the right, seen from the bridge; the page's layout
 * turns that round for left-handed instruments. */
static double
place (const SlTemplateSheet *sheet, double y)
{
  return sheet->width / 2 + y;
}

static void
caption (const SlTemplateSheet *sheet, const char *text, double y)
{
  sl_template_text (sheet, text, SL_TEMPLATE_TEXT_MM, TRUE, SL_INK_TEXT, SL_TEMPLATE_MARGIN_MM,
                    sheet->slope == 0 ? y + sheet->down : y, 0, FALSE);
}

/* Lets what follows slant as the line does on which the outer strings lie, @along the centre line at @y across. Returns
 * how far below its highest place its lowest lies. */
static double
slant (SlTemplateSheet *sheet, const double *y, const double *along)
{
  const int last = sheet->instrument->n_strings - 1;
  const double nearest = MIN (along[0], along[last]);

  sheet->slope = along[0] != along[last] ? (along[0] - along[last]) / (y[0] - y[last]) : 0;
  sheet->down = along[0] - nearest - sheet->slope * y[0];
  return fabs (along[0] - along[last]);
}

/* And what follows that be drawn along this line, below it. */
static void
unslant (SlTemplateSheet *sheet, double down)
{
  sheet->stretch *= hypot (1, sheet->slope);
  sheet->slope = 0;
  sheet->down = down;
}

static void
label (const SlTemplateSheet *sheet, const char *text, double x, double y, double align)
{
  const SlPoint at = sl_template_point (sheet, x, y);

  sl_template_text (sheet, text, SL_TEMPLATE_SMALL_MM, FALSE, SL_INK_QUIET, at.x, at.y,
                    sheet->stretch < 0 ? 1 - align : align, FALSE);
}

/* Of a string. */
static void
number (const SlTemplateSheet *sheet, int string, double x, double y)
{
  g_autofree char *text = g_strdup_printf ("%d", string);
  const SlPoint at = sl_template_point (sheet, x, y);

  sl_template_text (sheet, text, SL_TEMPLATE_SMALL_MM, TRUE, SL_INK_TEXT, at.x, at.y, 0.5, FALSE);
}

/* ---- nut ---- */

#define NUT_ABOVE_MM 46.0     /* from the top of the page to the blank */
#define FRONT_MM 96.0         /* to the board's top in the middle */
#define CENTRE_OVER_MM 4.0    /* centre lines beyond the blank, away from the board */
#define STRING_BEYOND_MM 12.0 /* strings' edges beyond it, over the board */
#define TOP_ALLOWANCE_MM 1.0  /* of the blank over the strings' tops: our own choice */
#define BOARD_SHOWN_MM 5.0
#define ARC_STEPS 48
#define NUT_TABLE_MM 112.0
#define DEGREE (180 / G_PI)

static void
draw_nut_from_above (const SlTemplateSheet *sheet)
{
  const SlInstrument *in = sheet->instrument;
  double half = in->nut_width / 2, top = NUT_ABOVE_MM, bottom = NUT_ABOVE_MM + SL_NUT_MM;

  quad (sheet, place (sheet, -half), top, bottom, place (sheet, half), top, bottom);
  stroke (sheet, SL_STROKE_LINE);
  for (int s = 1; s <= in->n_strings; s++)
    {
      double radius = in->strings[s - 1].outside_mm / 2;
      SlSlot slot;

      sl_slot (in, sheet->state, s, &slot);
      double x = place (sheet, slot.centre), w = slot.width / 2;

      quad (sheet, x - w, top, bottom, x + w, top, bottom);
      sl_set_ink (sheet->cr, sl_palette (SL_LOOK_LIGHT), SL_INK_PANEL_EDGE);
      cairo_fill_preserve (sheet->cr);
      stroke (sheet, SL_STROKE_HAIR);
      sl_template_line (sheet, SL_STROKE_CHAIN, x, top - CENTRE_OVER_MM, x, bottom);
      sl_template_line (sheet, SL_STROKE_HAIR, x - radius, bottom, x - radius, bottom + STRING_BEYOND_MM);
      sl_template_line (sheet, SL_STROKE_HAIR, x + radius, bottom, x + radius, bottom + STRING_BEYOND_MM);
      number (sheet, s, x, top - CENTRE_OVER_MM - 2);
    }
  caption (sheet, _ ("From above"), top - CENTRE_OVER_MM - 6);
  label (sheet, _ ("bass"), place (sheet, -half) - 4, (top + bottom) / 2, 1);
  label (sheet, _ ("board"), place (sheet, -half) - 4, bottom + STRING_BEYOND_MM / 2, 1);
  label (sheet, _ ("treble"), place (sheet, half) + 4, (top + bottom) / 2, 0);
}

static void
draw_nut_from_front (const SlTemplateSheet *sheet)
{
  const SlInstrument *in = sheet->instrument;
  double half = in->nut_width / 2, edge = FRONT_MM - sl_board_arc (in, 1, 0, half), top = FRONT_MM;
  SlSlot slots[SL_MAX_STRINGS];

  for (int i = 0; i < in->n_strings; i++)
    {
      sl_slot (in, sheet->state, i + 1, &slots[i]);
      top = MIN (top, FRONT_MM - sl_board_arc (in, 1, 0, slots[i].centre) - slots[i].floor - in->strings[i].outside_mm);
    }
  top -= TOP_ALLOWANCE_MM;
  for (int i = 0; i <= ARC_STEPS; i++)
    {
      double y = -half + 2 * half * i / ARC_STEPS;

      to (sheet, place (sheet, y), FRONT_MM - sl_board_arc (in, 1, 0, y));
    }
  stroke (sheet, SL_STROKE_LINE);
  sl_template_line (sheet, SL_STROKE_LINE, place (sheet, -half), top, place (sheet, -half), edge + BOARD_SHOWN_MM);
  sl_template_line (sheet, SL_STROKE_LINE, place (sheet, half), top, place (sheet, half), edge + BOARD_SHOWN_MM);
  sl_template_line (sheet, SL_STROKE_LINE, place (sheet, -half), top, place (sheet, half), top);
  for (int i = 0; i < in->n_strings; i++)
    {
      double x = place (sheet, slots[i].centre), w = slots[i].width / 2,
             floor = FRONT_MM - sl_board_arc (in, 1, 0, slots[i].centre) - slots[i].floor;

      to (sheet, x - w, top);
      to (sheet, x - w, floor);
      to (sheet, x + w, floor);
      to (sheet, x + w, top);
      stroke (sheet, SL_STROKE_HAIR);
      number (sheet, i + 1, x, top - 2.5);
    }
  caption (sheet, _ ("From the board’s end"), top - 6);
  label (sheet, _ ("board"), place (sheet, -half) - 4, edge + BOARD_SHOWN_MM / 2, 1);
}

static void
add_nut_row (const SlTemplateSheet *sheet, SlTable *table, int string)
{
  const SlInstrument *in = sheet->instrument;
  SlSlot slot, next = { .centre = NAN };

  sl_slot (in, sheet->state, string, &slot);
  if (string < in->n_strings)
    sl_slot (in, sheet->state, string + 1, &next);
  sl_table_cells (table, g_strdup_printf ("%d", string),
                  sl_template_length (sheet, (slot.centre + in->nut_width / 2) * fabs (sheet->stretch)),
                  sl_template_length (sheet, (slot.centre - next.centre) * fabs (sheet->stretch)),
                  sl_template_length (sheet, slot.width), sl_template_length (sheet, slot.floor),
                  slot.has_angle ? sl_plain_format (slot.floor_angle * DEGREE, 1, sheet->template->options.decimal)
                                 : g_strdup ("–"),
                  NULL);
}

void
sl_template_draw_nut (SlTemplateSheet *sheet)
{
  double y[SL_MAX_STRINGS], along[SL_MAX_STRINGS], end;
  gboolean mm = sheet->template->options.lengths == SL_LENGTHS_MM;
  g_autofree char *outline = g_strdup_printf (
      sheet->instrument->nut_kind == SL_NUT_ZERO_FRET
          ? _ ("The outline is %s thick along the strings: a usual size, trace your own blank. Slots are drawn at the "
               "width that the string and its allowance ask for. They only guide the strings: deepen them below the "
               "floors given here, which are as high as the zero fret, until every string rests on it.")
          : _ ("The outline is %s thick along the strings: a usual size, trace your own blank. Slots are drawn at the "
               "width that the string and its allowance ask for. Deepen them to their floors last, a little at a time, "
               "and measure the string height at fret 1 in between."),
      mm ? _ ("6 mm") : _ ("0.24 in"));
  g_auto (SlTable) table = { .n_columns = 0 };

  sl_slot_centres (sheet->instrument, y);
  for (int i = 0; i < sheet->instrument->n_strings; i++)
    along[i] = sl_nut_offset (sheet->instrument, i + 1);
  end = slant (sheet, y, along);
  draw_nut_from_above (sheet);
  unslant (sheet, end);
  draw_nut_from_front (sheet);
  sl_table_column (&table, _ ("string"), 0.1, SL_ALIGN_LEFT, TRUE, SL_INK_TEXT);
  sl_table_column (&table, mm ? _ ("centre from the bass edge, mm") : _ ("centre from the bass edge, in"), 0.2,
                   SL_ALIGN_RIGHT, FALSE, SL_INK_TEXT);
  sl_table_column (&table, mm ? _ ("to the next centre, mm") : _ ("to the next centre, in"), 0.18, SL_ALIGN_RIGHT,
                   FALSE, SL_INK_TEXT);
  sl_table_column (&table, mm ? _ ("slot width, mm") : _ ("slot width, in"), 0.16, SL_ALIGN_RIGHT, FALSE, SL_INK_TEXT);
  sl_table_column (&table, mm ? _ ("floor over the board, mm") : _ ("floor over the board, in"), 0.18, SL_ALIGN_RIGHT,
                   TRUE, SL_INK_TEXT);
  sl_table_column (&table, _ ("floor falls back, degrees"), 0.18, SL_ALIGN_RIGHT, FALSE, SL_INK_TEXT);
  for (int s = 1; s <= sheet->instrument->n_strings; s++)
    add_nut_row (sheet, &table, s);
  end = put_paragraph (sheet, outline, put_table (sheet, &table, NUT_TABLE_MM + sheet->down) + 4);
  if (fabs (sheet->stretch) > 1)
    put_paragraph (sheet,
                   _ ("The nut slants: its view from the board’s end and the places in the table are along it, and its "
                      "slots run with the strings."),
                   end);
}

/* ---- saddle ---- */

#define OVERHANG_MM 4.0   /* of a saddle beyond the outer strings: common practice; the document has no length of it */
#define PROFILE_MM 56.0   /* from the top of the page to the bridge's top after the work */
#define UNDERSIDE_MM 84.0 /* to the underside as it is now */
#define UNDERSIDE_SHOWN_MM 9.0
#define SADDLE_ABOVE_MM 116.0 /* to the line of the nominal scale length */
#define SADDLE_TABLE_MM 138.0
#define LABEL_STEP_MM 2.8
#define TICK_MM 1.5
#define LEAST_CUT_MM 0.005

typedef struct
{
  const SlTemplateSheet *sheet;
  int n;
  double y[SL_MAX_STRINGS];     /* across, positive to the treble */
  double x[SL_MAX_STRINGS];     /* the same on the paper */
  double top[SL_MAX_STRINGS];   /* crest over the bridge's top after the work, along the saddle */
  double shape[SL_MAX_STRINGS]; /* what is still to be shaped off */
  double now[SL_MAX_STRINGS];   /* the crest before that */
  double left, right;           /* ends of the saddle, on the paper */
  double cut_bass, cut_treble;  /* still to come off the base, along the saddle, at the outer strings */
  gboolean exposure;            /* anything is known of the bridge's top */
  double radius;
} Saddle;

/* At @x on a straight line from the bass to the treble string, carried on to the ends. */
static double
between (const Saddle *saddle, double bass, double treble, double x)
{
  double x_bass = saddle->x[saddle->n - 1], x_treble = saddle->x[0];

  return saddle->n > 1 ? bass + (treble - bass) * (x - x_bass) / (x_treble - x_bass) : treble;
}

/* The bridge's top is straight, at each outer string its exposure below the crest; the crests between follow from the
 * gaps over an arched board. */
static Saddle
measure (const SlTemplateSheet *sheet)
{
  const SlAnalysis *a = sheet->template->analysis;
  const SlInstrument *in = sheet->instrument;
  const int n = in->n_strings;
  double height[SL_MAX_STRINGS];
  Saddle s = { .sheet = sheet, .n = n, .exposure = sheet->state->exposure_read };

  sl_saddle_top (in, sheet->state, s.y, height);
  double base_bass = height[n - 1] - sheet->state->exposure[n - 1], base_treble = height[0] - sheet->state->exposure[0];

  s.radius = sl_fit_radius (s.y, height, n, NULL);
  for (int i = 0; i < n; i++)
    s.x[i] = place (sheet, s.y[i]);
  for (int i = 0; i < n; i++)
    {
      s.top[i] = (height[i] - between (&s, base_bass, base_treble, s.x[i])) / cos (in->saddle_lean_rad);
      s.shape[i] = sl_planned_amount (a, SL_OP_SHAPE_CREST, i + 1) / cos (in->saddle_lean_rad);
      s.now[i] = s.top[i] + s.shape[i];
    }
  s.left = s.x[n - 1] - OVERHANG_MM;
  s.right = s.x[0] + OVERHANG_MM;
  s.cut_bass = sl_planned_amount (a, SL_OP_CUT_SADDLE_BASE, n);
  s.cut_treble = sl_planned_amount (a, SL_OP_CUT_SADDLE_BASE, 1);
  return s;
}

static gboolean
has_cut (const Saddle *saddle)
{
  return saddle->cut_bass > LEAST_CUT_MM || saddle->cut_treble > LEAST_CUT_MM;
}

/* At an end of the saddle, carried on straight from the two strings there. */
static double
at_end (const Saddle *saddle, const double *value, gboolean right)
{
  const int from = right ? 0 : saddle->n - 1, next = right ? 1 : saddle->n - 2;

  if (saddle->n < 2)
    return value[0];
  return value[from] + (value[from] - value[next]) / (saddle->x[from] - saddle->x[next]) *
                           ((right ? saddle->right : saddle->left) - saddle->x[from]);
}

/* Through the strings from the bass end. */
static void
draw_crest (const Saddle *saddle, SlStroke kind, const double *value, double origin, double sign)
{
  to (saddle->sheet, saddle->left, origin + sign * at_end (saddle, value, FALSE));
  for (int i = saddle->n - 1; i >= 0; i--)
    to (saddle->sheet, saddle->x[i], origin + sign * value[i]);
  to (saddle->sheet, saddle->right, origin + sign * at_end (saddle, value, TRUE));
  stroke (saddle->sheet, kind);
}

/* What still comes off the base at @x. */
static double
cut_at (const Saddle *saddle, double x)
{
  return between (saddle, saddle->cut_bass, saddle->cut_treble, x);
}

/* A straight line over the saddle's length, given at the outer strings as heights over @origin. */
static void
draw_straight (const Saddle *saddle, SlStroke kind, double origin, double bass, double treble)
{
  sl_template_line (saddle->sheet, kind, saddle->left, origin - between (saddle, bass, treble, saddle->left),
                    saddle->right, origin - between (saddle, bass, treble, saddle->right));
}

/* A label beside an end. */
static void
label_end (const Saddle *saddle, const char *text, double y, gboolean right)
{
  label (saddle->sheet, text, right ? saddle->right + 3 : saddle->left - 3, y, right ? 0 : 1);
}

static gboolean
has_shape (const Saddle *saddle)
{
  for (int i = 0; i < saddle->n; i++)
    if (fabs (saddle->shape[i]) > LEAST_CUT_MM)
      return TRUE;
  return FALSE;
}

static void
draw_profile (const Saddle *saddle)
{
  double l = saddle->left, r = saddle->right, highest = 0;

  for (int i = 0; i < saddle->n; i++)
    highest = MAX (highest, saddle->top[i] + MAX (0, saddle->shape[i]));
  caption (saddle->sheet, _ ("Top, from the tail"), PROFILE_MM - highest - 9);
  if (has_shape (saddle))
    draw_crest (saddle, SL_STROKE_DASH, saddle->now, PROFILE_MM, -1);
  draw_crest (saddle, SL_STROKE_LINE, saddle->top, PROFILE_MM, -1);
  for (int i = 0; i < saddle->n; i++)
    {
      double x = saddle->x[i], y = PROFILE_MM - saddle->top[i];

      sl_template_line (saddle->sheet, SL_STROKE_HAIR, x, y, x, saddle->exposure ? PROFILE_MM : y + TICK_MM);
      number (saddle->sheet, i + 1, x, PROFILE_MM - highest - 2.5);
    }
  label_end (saddle, _ ("bass"), PROFILE_MM - MAX (saddle->top[saddle->n - 1], LABEL_STEP_MM), FALSE);
  label_end (saddle, _ ("treble"), PROFILE_MM - MAX (saddle->top[0], LABEL_STEP_MM), TRUE);
  if (!saddle->exposure)
    return;
  draw_straight (saddle, SL_STROKE_LINE, PROFILE_MM, 0, 0);
  label_end (saddle, has_cut (saddle) ? _ ("bridge top, after") : _ ("bridge top"), PROFILE_MM, FALSE);
  sl_template_line (saddle->sheet, SL_STROKE_LINE, l, PROFILE_MM, l, PROFILE_MM - at_end (saddle, saddle->top, FALSE));
  sl_template_line (saddle->sheet, SL_STROKE_LINE, r, PROFILE_MM, r, PROFILE_MM - at_end (saddle, saddle->top, TRUE));
  if (!has_cut (saddle))
    return;
  draw_straight (saddle, SL_STROKE_DASH, PROFILE_MM, -saddle->cut_bass, -saddle->cut_treble);
  label_end (saddle, _ ("bridge top, now"), PROFILE_MM + cut_at (saddle, r) + 1, TRUE);
}

/* A line that keeps what is safe to take before reading again. */
static void
draw_first_pass (const Saddle *saddle)
{
  const SlAnalysis *a = saddle->sheet->template->analysis;
  double bass = sl_planned_first_pass (a, saddle->n), treble = sl_planned_first_pass (a, 1);

  if (bass <= 0 && treble <= 0)
    return;
  draw_straight (saddle, SL_STROKE_CHAIN, UNDERSIDE_MM, bass, treble);
  label_end (saddle, _ ("first pass, then read again"), UNDERSIDE_MM - between (saddle, bass, treble, saddle->right),
             TRUE);
}

static void
draw_underside (const Saddle *saddle)
{
  double l = saddle->left, r = saddle->right, top = UNDERSIDE_MM - UNDERSIDE_SHOWN_MM;
  g_autofree char *bass = sl_text_length_unit (&saddle->sheet->template->style, saddle->cut_bass),
                  *treble = sl_text_length_unit (&saddle->sheet->template->style, saddle->cut_treble);
  g_autofree char *off = g_strdup_printf (_ ("off: %1$s at the bass, %2$s at the treble"), bass, treble);

  if (!has_cut (saddle))
    return;
  caption (saddle->sheet, _ ("Underside, from the tail"), top - 3);
  sl_template_line (saddle->sheet, SL_STROKE_LINE, l, top, l, UNDERSIDE_MM);
  sl_template_line (saddle->sheet, SL_STROKE_LINE, r, top, r, UNDERSIDE_MM);
  quad (saddle->sheet, l, UNDERSIDE_MM, UNDERSIDE_MM - cut_at (saddle, l), r, UNDERSIDE_MM,
        UNDERSIDE_MM - cut_at (saddle, r));
  hatch (saddle->sheet);
  draw_straight (saddle, SL_STROKE_DASH, UNDERSIDE_MM, 0, 0);
  draw_straight (saddle, SL_STROKE_LINE, UNDERSIDE_MM, saddle->cut_bass, saddle->cut_treble);
  draw_first_pass (saddle);
  label_end (saddle, _ ("after the cut"), UNDERSIDE_MM - cut_at (saddle, l) - LABEL_STEP_MM / 2, FALSE);
  label_end (saddle, _ ("now"), UNDERSIDE_MM + LABEL_STEP_MM / 2, FALSE);
  sl_template_text (saddle->sheet, off, SL_TEMPLATE_SMALL_MM, FALSE, SL_INK_CUT, saddle->sheet->width / 2,
                    UNDERSIDE_MM + 2 * LABEL_STEP_MM, 0.5, FALSE);
  for (int i = 0; i < saddle->n; i++)
    sl_template_line (saddle->sheet, SL_STROKE_HAIR, saddle->x[i], top, saddle->x[i], top + TICK_MM);
}

static void
draw_saddle_from_above (const Saddle *saddle)
{
  const double *setback = saddle->sheet->state->setback;
  double half = saddle->sheet->instrument->saddle_thickness / 2, l = saddle->left, r = saddle->right,
         bass = setback[saddle->n - 1], treble = setback[0];
  double at_left = SADDLE_ABOVE_MM + between (saddle, bass, treble, l),
         at_right = SADDLE_ABOVE_MM + between (saddle, bass, treble, r);

  caption (saddle->sheet, _ ("Break points, from above; the nut is toward the top of the page"),
           SADDLE_ABOVE_MM - half - 6);
  quad (saddle->sheet, l, at_left - half, at_left + half, r, at_right - half, at_right + half);
  stroke (saddle->sheet, SL_STROKE_LINE);
  sl_template_line (saddle->sheet, SL_STROKE_CHAIN, l - 6, SADDLE_ABOVE_MM, r + 6, SADDLE_ABOVE_MM);
  draw_crest (saddle, SL_STROKE_HAIR, setback, SADDLE_ABOVE_MM, 1);
  for (int i = 0; i < saddle->n; i++)
    {
      double x = saddle->x[i], y = SADDLE_ABOVE_MM + setback[i];

      sl_template_line (saddle->sheet, SL_STROKE_LINE, x, y - TICK_MM / 2, x, y + TICK_MM / 2);
      sl_template_line (saddle->sheet, SL_STROKE_HAIR, x, SADDLE_ABOVE_MM, x, y);
    }
  label (saddle->sheet, _ ("nominal scale length"), r + 8, SADDLE_ABOVE_MM, 0);
}

/* Single saddles stand square one by one. */
static gboolean
slants_whole (const SlInstrument *in)
{
  return sl_frets_slant (in) && in->adjust != SL_ADJUST_SCREWS;
}

static void
draw_saddle_table (const Saddle *saddle)
{
  const SlTemplateSheet *sheet = saddle->sheet;
  gboolean mm = sheet->template->options.lengths == SL_LENGTHS_MM;
  g_auto (SlTable) table = { .n_columns = 0 };

  sl_table_column (&table, _ ("string"), 0.12, SL_ALIGN_LEFT, TRUE, SL_INK_TEXT);
  sl_table_column (&table, mm ? _ ("from the middle, mm") : _ ("from the middle, in"), 0.22, SL_ALIGN_RIGHT, FALSE,
                   SL_INK_TEXT);
  sl_table_column (&table, mm ? _ ("saddle top over the bridge top, mm") : _ ("saddle top over the bridge top, in"),
                   0.24, SL_ALIGN_RIGHT, TRUE, SL_INK_TEXT);
  sl_table_column (&table, mm ? _ ("of it still to dress off, mm") : _ ("of it still to dress off, in"), 0.22,
                   SL_ALIGN_RIGHT, FALSE, SL_INK_TEXT);
  sl_table_column (&table, mm ? _ ("compensation, mm") : _ ("compensation, in"), 0.20, SL_ALIGN_RIGHT, FALSE,
                   SL_INK_TEXT);
  for (int i = 0; i < saddle->n; i++)
    sl_table_cells (&table, g_strdup_printf ("%d", i + 1), sl_template_length (sheet, saddle->y[i]),
                    sl_template_length (sheet, saddle->exposure ? saddle->top[i] : NAN),
                    sl_template_length (sheet, saddle->shape[i]), sl_template_length (sheet, sheet->state->setback[i]),
                    NULL);
  double y = put_table (sheet, &table, SADDLE_TABLE_MM + sheet->down) + 4;

  if (isfinite (saddle->radius))
    {
      g_autofree char *radius = sl_text_radius (&sheet->template->style, saddle->radius);
      g_autofree char *text = g_strdup_printf (_ ("The saddle top fits a radius: %s."), radius);

      y = put_paragraph (sheet, text, y);
    }
  y = put_paragraph (sheet,
                     _ ("The outline reaches 4 mm beyond the outer strings and is as thick as the saddle: trace your "
                        "own. Dashed is as it is now, hatched comes off."),
                     y);
  if (!saddle->exposure)
    y = put_paragraph (sheet,
                       _ ("No exposure was read, so the bridge’s top is not shown: the line gives the shape of the "
                          "top, not its height."),
                       y);
  if (slants_whole (sheet->instrument))
    y = put_paragraph (sheet,
                       _ ("The saddle slants: its top and underside are drawn along it; places in the table are square "
                          "to the centre line."),
                       y);
  if (sheet->instrument->saddle_lean_rad != 0)
    put_paragraph (sheet, _ ("Heights are measured along the leaning saddle."), y);
}

void
sl_template_draw_saddle (SlTemplateSheet *sheet)
{
  const SlInstrument *in = sheet->instrument;
  Saddle saddle = measure (sheet);
  double ends[SL_MAX_STRINGS], crests[SL_MAX_STRINGS], face, end;

  for (int i = 0; i < in->n_strings; i++)
    {
      ends[i] = in->scale[i] + sl_nut_offset (in, i + 1);
      crests[i] = slants_whole (in) ? ends[i] + sheet->state->setback[i] : 0;
    }
  slant (sheet, saddle.y, crests);
  unslant (sheet, 0);
  face = fabs (sheet->stretch);
  saddle.radius *= face * face; /* an arc's, drawn out */
  draw_profile (&saddle);
  draw_underside (&saddle);
  sheet->stretch /= face;
  end = slant (sheet, saddle.y, ends);
  draw_saddle_from_above (&saddle);
  unslant (sheet, end);
  draw_saddle_table (&saddle);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The saddle from above, the nut to the left, treble at the top: where each string breaks as measured and as planned,
 * and where pitch needs it. Places along the strings are magnified against those across. */
#include "draw/sheets/sheet.h"

#include "setup/physics/intonation.h"
#include "setup/physics/nut.h"
#include "words/sheet-text.h"

#define BEYOND_MM 4.0     /* of the saddle past the outer strings: common practice */
#define LEAST_SPAN_MM 3.0 /* shown along the strings at least */
#define PAD_MM 0.6
#define UNITS_PER_STEP 30
#define MOST_FACTOR 40.0
#define DIAMOND 4.6
#define TICK_SHARE 0.36 /* of the distance between strings */
#define TICK_MOST 12.0
#define STAYS_MM 0.05     /* a crest this near is where it should be: finer than a file is guided, our own choice */
#define LABELS_SHARE 0.46 /* of the part's width, at most */
#define DRAWING_LEAST 90.0

typedef struct
{
  const SlSheet *sheet;
  SlRect plot;
  double y[SL_MAX_STRINGS];
  SlCrestPlace places[SL_MAX_STRINGS];
  double least, most; /* mm of setback shown */
  double across, along, middle;
  double mid; /* of the saddle, behind the line between the outer strings' crests */
  gboolean screws;
} Crests;

static double
px (const Crests *c, double setback)
{
  return c->plot.x + (setback - c->least) * c->along;
}

static double
py (const Crests *c, double y_mm)
{
  return c->middle - (c->sheet->in->left_handed ? -y_mm : y_mm) * c->across;
}

/* The straight line between the outer strings' crests as measured, at a place across. */
static double
line_at (const Crests *c, double y_mm)
{
  const int n = c->sheet->in->n_strings;
  double treble = c->places[0].before, bass = c->places[n - 1].before;

  if (n < 2 || c->y[0] <= c->y[n - 1])
    return treble;
  return treble + (bass - treble) * (c->y[0] - y_mm) / (c->y[0] - c->y[n - 1]);
}

/* A corner of the saddle along the strings: @side 1 at the treble, −1 at the bass, @face −1 in front, 1 behind. */
static double
corner (const Crests *c, int side, int face)
{
  const SlInstrument *in = c->sheet->in;

  return line_at (c, side * (in->spread / 2 + BEYOND_MM)) + c->mid + face * in->saddle_thickness / 2;
}

static void
widen (Crests *c, double mm)
{
  if (!isfinite (mm))
    return;
  c->least = MIN (c->least, mm - PAD_MM);
  c->most = MAX (c->most, mm + PAD_MM);
}

static void
find_places (Crests *c)
{
  const SlInstrument *in = c->sheet->in;
  double ahead = INFINITY, behind = -INFINITY;

  sl_bridge_places (in, c->y);
  c->least = INFINITY;
  c->most = -INFINITY;
  c->screws = !isnan (in->length_screw_pitch);
  for (int i = 0; i < in->n_strings; i++)
    {
      SlCrestPlace *p = &c->places[i];

      sl_crest_place (c->sheet->scene->analysis, i + 1, p);
      widen (c, p->before);
      widen (c, p->now);
      widen (c, p->model);
      widen (c, p->tuner);
    }
  for (int i = 0; i < in->n_strings; i++)
    {
      double off = c->places[i].before - line_at (c, c->y[i]);

      ahead = MIN (ahead, off);
      behind = MAX (behind, off);
    }
  c->mid = (ahead + behind) / 2;
  for (int side = -1; !c->screws && side <= 1; side += 2)
    {
      widen (c, corner (c, side, -1));
      widen (c, corner (c, side, 1));
    }
  if (c->most - c->least < LEAST_SPAN_MM)
    {
      double more = (LEAST_SPAN_MM - (c->most - c->least)) / 2;

      c->least -= more;
      c->most += more;
    }
}

static void
scale_to (Crests *c, SlRect plot)
{
  double factor;

  c->plot = plot;
  c->across = plot.height / (c->sheet->in->spread + 2 * BEYOND_MM);
  c->middle = plot.y + plot.height / 2;
  factor = plot.width / (c->most - c->least) / c->across;
  factor = MIN (MOST_FACTOR, factor >= 3 ? floor (factor) : floor (factor * 10) / 10);
  c->along = MAX (0.1, factor) * c->across;
  /* in the middle of the room there is */
  c->plot.x += MAX (0, plot.width - (c->most - c->least) * c->along) / 2;
  c->plot.width = (c->most - c->least) * c->along;
}

static void
draw_saddle (const Crests *c)
{
  double edge = c->sheet->in->spread / 2 + BEYOND_MM;

  if (!c->screws)
    sl_fill_polygon (c->sheet->scene, SL_INK_BODY, 4,
                     (SlPoint[]){ { px (c, corner (c, 1, -1)), py (c, edge) },
                                  { px (c, corner (c, 1, 1)), py (c, edge) },
                                  { px (c, corner (c, -1, 1)), py (c, -edge) },
                                  { px (c, corner (c, -1, -1)), py (c, -edge) } });
}

/* The scale along the strings, with the nominal scale length marked. */
static void
draw_scale (const Crests *c)
{
  const SlSheet *sheet = c->sheet;
  const SlPictureOptions *o = sheet->scene->options;
  double unit = o->lengths == SL_LENGTHS_MM ? 1 : SL_MM_PER_INCH, bottom = c->plot.y + c->plot.height;
  double step = sl_sheet_step ((c->most - c->least) / unit, MAX (2, (int) (c->plot.width / UNITS_PER_STEP)));

  for (double at = ceil (c->least / unit / step) * step; at <= c->most / unit; at += step)
    {
      gboolean zero = fabs (at) < step / 2;
      const char *text = sl_sheet_number (sheet, zero ? 0 : at, sl_sheet_places (step));
      double x = px (c, at * unit);

      sl_stroke_line (sheet->scene, zero ? SL_INK_THIN : SL_INK_PANEL_EDGE, SL_LINE_THIN,
                      zero ? SL_DASH_CHAIN : SL_DASH_NONE, x, c->plot.y, x, bottom);
      sl_scene_text (sheet->scene, zero ? SL_INK_TEXT : SL_INK_QUIET, FALSE, TRUE, text, x, bottom + 3, 0.5);
    }
}

void
sl_pitch_diamond (const SlSheet *sheet, double x, double y, SlInk ink, gboolean filled)
{
  cairo_t *cr = sheet->scene->cr;

  sl_polygon (cr, 4, (SlPoint[]){ { x, y - DIAMOND }, { x + DIAMOND, y }, { x, y + DIAMOND }, { x - DIAMOND, y } });
  sl_fill_and_stroke (cr, sheet->scene->palette, filled ? ink : SL_INK_PAPER, ink, SL_LINE_THICK);
}

static void
draw_string (const Crests *c, int i)
{
  SlScene *scene = c->sheet->scene;
  const SlCrestPlace *p = &c->places[i];
  gboolean chosen = i + 1 == c->sheet->chosen;
  double y = py (c, c->y[i]), spacing = c->plot.height / MAX (1, c->sheet->in->n_strings),
         tick = MIN (TICK_MOST, TICK_SHARE * spacing);
  double now = px (c, p->now), wanted = px (c, p->wanted);

  sl_stroke_line (scene, SL_INK_PLANNED, chosen ? SL_LINE_STRING : SL_LINE_THIN, SL_DASH_NONE, c->plot.x, y, now, y);
  if (c->sheet->scene->ghost && fabs (p->before - p->now) > 1e-6)
    sl_stroke_line (scene, SL_INK_GHOST, SL_LINE_THICK, SL_DASH_TRACE, px (c, p->before), y - tick, px (c, p->before),
                    y + tick);
  sl_stroke_line (scene, SL_INK_TEXT, SL_LINE_STRING, SL_DASH_NONE, now, y - tick, now, y + tick);
  if (isfinite (p->tuner) && fabs (wanted - now) > DIAMOND + SL_ARROW_LENGTH)
    {
      sl_stroke_line (scene, SL_INK_CUT, SL_LINE_THIN, SL_DASH_NONE, now, y, wanted, y);
      sl_arrowhead (scene, SL_INK_CUT, wanted + (wanted > now ? -DIAMOND : DIAMOND), y, wanted - now, 0);
    }
  if (isfinite (p->model))
    sl_pitch_diamond (c->sheet, px (c, p->model), y, SL_INK_THIN, FALSE);
  if (isfinite (p->tuner))
    sl_pitch_diamond (c->sheet, wanted, y, SL_INK_CUT, TRUE);
}

/* "0.45 mm back, 0.9 turns"; of a string without a tuner's reading "model: 0.45 mm back" */
static const char *
move_text (const Crests *c, const SlCrestPlace *p, gboolean brief)
{
  double by = p->wanted - p->now;
  const SlScene *scene = c->sheet->scene;
  const char *move =
      sl_print (scene, by > 0 ? _ ("%s back") : _ ("%s forward"), sl_say (scene, SL_SAY_LENGTH, fabs (by)));

  if (!isfinite (by))
    return "–";
  if (fabs (by) < STAYS_MM)
    return _ ("stays");
  if (!isfinite (p->tuner))
    return sl_print (scene, _ ("model: %s"), move);
  if (!c->screws || brief)
    return move;
  /* Translators: a crest's move and the turns of its length screw that make it */
  return sl_print (scene, _ ("%s, %s turns"), move,
                   sl_sheet_number (c->sheet, fabs (by) / c->sheet->in->length_screw_pitch, 2));
}

/* "at 2.40; model 1.95, tuner 1.70" */
static const char *
places_text (const Crests *c, const SlCrestPlace *p)
{
  const SlScene *scene = c->sheet->scene;
  const char *now = sl_sheet_length (c->sheet, p->now), *model = sl_sheet_length (c->sheet, p->model);

  if (isfinite (p->tuner))
    /* Translators: setbacks: where a crest is, where the model and the tuner put it */
    return sl_print (scene, _ ("at %s; model %s, tuner %s"), now, model, sl_sheet_length (c->sheet, p->tuner));
  if (isfinite (p->model_u) && p->model_u > 0)
    return sl_print (scene, _ ("at %s, needs %s ± %s"), now, model,
                     sl_sheet_length (c->sheet, SL_COVERAGE * p->model_u));
  return sl_print (scene, _ ("at %s, needs %s"), now, model);
}

static void
draw_labels (const Crests *c, double name_x, double x, double width)
{
  const SlSheet *sheet = c->sheet;
  double spacing = sheet->in->n_strings > 1 ? fabs (py (c, c->y[1]) - py (c, c->y[0])) : c->plot.height;
  gboolean two = spacing >= 2 * sheet->row + 2;

  for (int i = 0; i < sheet->in->n_strings && two; i++)
    two = sl_sheet_width (sheet, FALSE, TRUE, places_text (c, &c->places[i])) <= width;
  for (int i = 0; i < sheet->in->n_strings; i++)
    {
      double y = py (c, c->y[i]);
      const char *const moves_said[] = { move_text (c, &c->places[i], FALSE), move_text (c, &c->places[i], TRUE) },
                        *shown = sl_sheet_fitting (sheet, moves_said, 2, TRUE, FALSE, width);

      sl_sheet_name (sheet, i + 1, TRUE, name_x, y, 0);
      /* no plan moves one that no tuner has read */
      const gboolean moves = isfinite (c->places[i].tuner) && fabs (c->places[i].wanted - c->places[i].now) >= STAYS_MM;

      sl_scene_text (sheet->scene, moves ? SL_INK_CUT : SL_INK_TEXT, moves, !two, shown, x,
                     two ? y - sheet->row + 1 : y - sheet->half, 0);
      if (two)
        sl_scene_text (sheet->scene, SL_INK_QUIET, FALSE, TRUE, places_text (c, &c->places[i]), x, y + 2, 0);
    }
}

static void
draw_words (const Crests *c, SlRect part, double y, int lines)
{
  const SlSheet *sheet = c->sheet;
  const SlTextStyle style = sl_scene_style (sheet->scene);
  gboolean tuner = FALSE, fits;
  g_autofree char *room = sl_crests_sentence (&style, sheet->scene->analysis, &fits);

  for (int i = 0; i < sheet->in->n_strings; i++)
    tuner |= isfinite (c->places[i].tuner);
  const SlParagraph paragraphs[] = {
    { sheet->scene->before_state->setback_read
          ? NULL
          : _ ("Compensation was not read: break points are assumed to be at the scale length."),
      SL_INK_TEXT, FALSE },
    { room, fits ? SL_INK_TEXT : SL_INK_CUT, !fits },
    { tuner ? _ ("Bar: where the string breaks; diamond: where it should, filled by the tuner, open by the model.")
            : _ ("Bar: where the string breaks; diamond: where it should, by the model."),
      SL_INK_QUIET, FALSE },
  };

  sl_sheet_paragraphs (sheet, paragraphs, G_N_ELEMENTS (paragraphs), part, y, lines);
}

void
sl_pitch_draw_crests (const SlSheet *sheet, SlRect part)
{
  Crests c = { .sheet = sheet };
  double head = sheet->row + 6, words = part.height > 300 ? 4 * sheet->row : 2 * sheet->row,
         names = sl_sheet_names_width (sheet, TRUE) + 8, labels = 0, foot = sheet->row + 4;
  const char *factor;

  find_places (&c);
  for (int i = 0; i < sheet->in->n_strings; i++)
    labels = MAX (labels, MAX (sl_sheet_width (sheet, TRUE, FALSE, move_text (&c, &c.places[i], FALSE)),
                               sl_sheet_width (sheet, FALSE, TRUE, places_text (&c, &c.places[i]))) +
                              8);
  labels =
      MIN (labels, MAX (part.width * LABELS_SHARE, part.width - names - DRAWING_LEAST - (part.width - names) * 0.4));
  scale_to (&c, (SlRect){ part.x + names, part.y + head, MAX (10, part.width - names - labels - 8),
                          MAX (10, part.height - head - words - foot) });
  factor = sl_sheet_number (sheet, c.along / c.across, c.along / c.across >= 3 ? 0 : 1);
  sl_sheet_heading (sheet, part, _ ("Break points"),
                    sl_print (sheet->scene,
                              sheet->scene->options->lengths == SL_LENGTHS_MM
                                  ? _ ("from above; compensation in mm, × %s along")
                                  : _ ("from above; compensation in inches, × %s along"),
                              factor));
  draw_saddle (&c);
  draw_scale (&c);
  for (int i = 0; i < sheet->in->n_strings; i++)
    draw_string (&c, i);
  draw_labels (&c, part.x, part.x + part.width - labels + 4, labels - 4);
  draw_words (&c, part, c.plot.y + c.plot.height + foot + 2, (int) ((words - 2) / sheet->row + 0.5));
}

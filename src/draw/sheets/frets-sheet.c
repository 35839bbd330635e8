/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The frets sheet: every crown along the neck as it is and as levelled, heights magnified by a stated factor, over
 * the board below. What comes off is hatched. Marks have words of their own: a cross for a crown past saving, a wedge
 * above one that rocks, an outline of dashes for a new fret. */
#include "draw/sheets/sheet.h"

#include "words/sheet-text.h"

#define HATCH_SPACING 3.0
#define LEAST_CROWN_UNITS 7.0 /* a crown narrower than this would hide its hatching */
#define MOST_CROWN_UNITS 18.0
/* of the narrowest space between two frets: crowns are drawn as wide as there is room, so that what comes off shows */
#define CROWN_SHARE 0.6
#define CROWN_POINTS 24
#define BOARD_UNITS 9.0
#define HEAD_ROOM 14.0 /* above the highest crown, for marks */
#define END_ROOM 18.0  /* beyond the first and the last fret */
#define WEDGE 4.0
#define SWATCH 11.0
/* of heights over lengths, where nothing was read there are no differences to magnify */
#define MOST_LEVEL_FACTOR 15.0
#define LOW_STAGE 118.0 /* below it only numbers stand below: the sheet's own table says the rest */

typedef struct
{
  SlSheet sheet;
  SlLevelling work;
  gboolean planned; /* levelling is in the plan */
  SlRect plot;
  double units_x, units_z, origin_x, origin_y; /* where fret 0 and z = 0 lie */
  double crown_units;
} Frets;

static double
at_x (const Frets *f, int n)
{
  return f->origin_x + f->sheet.in->x[0][n] * f->units_x;
}

static double
at_y (const Frets *f, double z_mm)
{
  return f->origin_y - z_mm * f->units_z;
}

/* Board below a crown. */
static double
foot_z (const SlFretWork *work)
{
  return work->before - work->height;
}

/* ---- crowns ---- */

/* The arc of a crown from foot to top, as wide as it is drawn, cut off above @top_mm. */
static void
crown_path (const Frets *f, int n, double top_mm)
{
  const SlFretWork *work = &f->work.frets[n];
  const double width = f->sheet.in->crown_width, r = sl_crown_radius (width, work->height);
  cairo_t *cr = f->sheet.scene->cr;
  double foot = at_y (f, foot_z (work));

  cairo_move_to (cr, at_x (f, n) - f->crown_units / 2, foot);
  for (int i = 0; i <= CROWN_POINTS; i++)
    {
      double t = (double) i / CROWN_POINTS - 0.5;
      double z = foot_z (work) + sqrt (MAX (0, r * r - t * t * width * width)) - (r - work->height);

      cairo_line_to (cr, at_x (f, n) + t * f->crown_units, at_y (f, MIN (z, top_mm)));
    }
  cairo_line_to (cr, at_x (f, n) + f->crown_units / 2, foot);
  cairo_close_path (cr);
}

static void
draw_loss (const Frets *f, int n)
{
  const SlFretWork *work = &f->work.frets[n];
  cairo_t *cr = f->sheet.scene->cr;
  double bottom = at_y (f, work->after);

  if (work->off < SL_FRET_SHOWN_MM)
    return;
  cairo_save (cr);
  cairo_rectangle (cr, f->plot.x, f->plot.y, f->plot.width, bottom - f->plot.y);
  cairo_clip (cr);
  crown_path (f, n, INFINITY);
  sl_hatch (f->sheet.scene, SL_INK_CUT, HATCH_SPACING);
  cairo_restore (cr);
}

static void
draw_crown (const Frets *f, int n)
{
  const SlFretWork *work = &f->work.frets[n];
  SlScene *scene = f->sheet.scene;
  cairo_t *cr = scene->cr;

  crown_path (f, n, work->after);
  sl_set_dash (cr, work->replaced ? SL_DASH_GHOST : SL_DASH_NONE);
  sl_fill_and_stroke (cr, scene->palette, SL_INK_METAL, work->replaced ? SL_INK_PLANNED : SL_INK_OUTLINE,
                      work->replaced ? SL_LINE_THICK : SL_LINE_THIN);
  sl_set_dash (cr, SL_DASH_NONE);
  draw_loss (f, n);
}

/* A cross through what is left of a crown past saving. */
static void
draw_lost_mark (const Frets *f, double x, double y, double half)
{
  sl_stroke_line (f->sheet.scene, SL_INK_CUT, SL_LINE_THICK, SL_DASH_NONE, x - half, y - half, x + half, y + half);
  sl_stroke_line (f->sheet.scene, SL_INK_CUT, SL_LINE_THICK, SL_DASH_NONE, x - half, y + half, x + half, y - half);
}

/* A wedge pointing down at a crown that rocks. */
static void
draw_high_mark (const Frets *f, double x, double y)
{
  SlScene *scene = f->sheet.scene;

  sl_polygon (scene->cr, 3, (SlPoint[]){ { x, y }, { x - WEDGE, y - 1.6 * WEDGE }, { x + WEDGE, y - 1.6 * WEDGE } });
  sl_fill (scene->cr, scene->palette, SL_INK_CUT);
}

static void
draw_board (const Frets *f)
{
  SlScene *scene = f->sheet.scene;
  cairo_t *cr = scene->cr;
  const int last = f->work.n;
  double bottom = f->plot.y + f->plot.height;

  cairo_move_to (cr, at_x (f, 1) - END_ROOM, bottom);
  cairo_line_to (cr, at_x (f, 1) - END_ROOM, at_y (f, foot_z (&f->work.frets[1])));
  for (int n = 1; n <= last; n++)
    cairo_line_to (cr, at_x (f, n), at_y (f, foot_z (&f->work.frets[n])));
  cairo_line_to (cr, at_x (f, last) + END_ROOM, at_y (f, foot_z (&f->work.frets[last])));
  cairo_line_to (cr, at_x (f, last) + END_ROOM, bottom);
  cairo_close_path (cr);
  sl_fill (cr, scene->palette, SL_INK_BOARD);
}

/* The height below which a crown can't be dressed, over the board below. */
static void
draw_least (const Frets *f)
{
  const SlInstrument *in = f->sheet.in;
  SlScene *scene = f->sheet.scene;

  for (int n = 1; n < f->work.n; n++)
    sl_stroke_line (scene, SL_INK_QUIET, SL_LINE_THIN, SL_DASH_CHAIN, at_x (f, n),
                    at_y (f, foot_z (&f->work.frets[n]) + in->crown_least), at_x (f, n + 1),
                    at_y (f, foot_z (&f->work.frets[n + 1]) + in->crown_least));
}

/* Where the crowns come down to; past the joint with its fall-away. */
static void
draw_level (const Frets *f)
{
  for (int n = 1; n < f->work.n; n++)
    sl_stroke_line (f->sheet.scene, SL_INK_PLANNED, SL_LINE_THIN, SL_DASH_NONE, at_x (f, n),
                    at_y (f, f->work.frets[n].after), at_x (f, n + 1), at_y (f, f->work.frets[n + 1].after));
}

/* ---- rows below ---- */

typedef enum
{
  ROW_NUMBER,
  ROW_OFF,
  ROW_LAND, /* what is to be re-crowned */
  ROW_LEFT,
  N_ROWS
} Row;

static const char *
row_name (Row row)
{
  static const char *const names[N_ROWS] = { NC_ ("row of frets", "fret"), NC_ ("row of frets", "off"),
                                             NC_ ("row of frets", "land"), NC_ ("row of frets", "left") };

  return g_dpgettext2 (GETTEXT_PACKAGE, "row of frets", names[row]);
}

static const char *
cell_text (const Frets *f, Row row, int n)
{
  const SlFretWork *work = &f->work.frets[n];

  if (row == ROW_NUMBER)
    return sl_print (f->sheet.scene, "%d", n);
  if (row != ROW_LEFT && work->off < SL_FRET_SHOWN_MM)
    return "0";
  return sl_sheet_length (&f->sheet, row == ROW_OFF ? work->off : row == ROW_LAND ? work->land : work->left);
}

static SlInk
cell_ink (Row row, const SlFretWork *work)
{
  if (row == ROW_OFF)
    return SL_INK_CUT;
  return row != ROW_LEFT ? SL_INK_TEXT : work->saved ? SL_INK_PLANNED : SL_INK_CUT;
}

/* Frets with a remark are written first, so that they get the room there is. */
static int
weight (const SlFretWork *work)
{
  return work->lowest || work->replaced ? 0 : work->rocks ? 1 : !work->saved ? 2 : 3;
}

static void
draw_row (const Frets *f, Row row, double y)
{
  sl_scene_text (f->sheet.scene, SL_INK_QUIET, FALSE, TRUE, row_name (row), f->sheet.scene->stage.x, y, 0);
  for (int w = 0; w <= 3; w++)
    for (int n = 1; n <= f->work.n; n++)
      {
        const SlFretWork *work = &f->work.frets[n];

        if (weight (work) == w)
          sl_scene_text (f->sheet.scene, cell_ink (row, work), w == 0, TRUE, cell_text (f, row, n), at_x (f, n), y,
                         0.5);
      }
}

/* ---- words ---- */

static const char *
summary_text (const Frets *f)
{
  const SlLevelling *w = &f->work;
  const SlScene *scene = f->sheet.scene;
  const char *most = sl_say (scene, SL_SAY_LENGTH, w->most_off);

  if (!w->read)
    return _ ("crown gaps not read: assumed level");
  if (w->most_off < SL_FRET_SHOWN_MM)
    return _ ("level: nothing comes off");
  if (w->lowest == 0)
    return sl_print (scene, _ ("single crowns to the rest, most %s off"), most);
  if (w->n_replaced > 0)
    return sl_print (scene,
                     g_dngettext (GETTEXT_PACKAGE, "%d new fret, the others down to fret %d, most %s off",
                                  "%d new frets, the others down to fret %d, most %s off", (gulong) w->n_replaced),
                     w->n_replaced, w->lowest, most);
  if (w->n_lost > 0)
    return sl_print (scene,
                     g_dngettext (GETTEXT_PACKAGE, "down to fret %d, most %s off: %d fret past saving",
                                  "down to fret %d, most %s off: %d frets past saving", (gulong) w->n_lost),
                     w->lowest, most, w->n_lost);
  return sl_print (scene, _ ("down to fret %d, most %s off"), w->lowest, most);
}

static const char *
scale_text (const Frets *f)
{
  /* Translators: by how much heights are drawn larger than lengths along the neck */
  return sl_print (f->sheet.scene, _ ("heights × %s"), sl_sheet_number (&f->sheet, f->units_z / f->units_x, 0));
}

/* Where there is no room for all of it, the factor of the heights stays. */
static void
draw_heading (const Frets *f)
{
  const SlScene *scene = f->sheet.scene;
  const char *heading = f->work.n_replaced > 0 ? _ ("Frets, some replaced")
                        : f->work.read         ? _ ("Frets, levelled")
                                               : _ ("Frets as they are");
  const gboolean unplanned = !f->planned && f->work.most_off >= SL_FRET_SHOWN_MM;
  const char *summary = summary_text (f), *scale = scale_text (f),
             *shorter = sl_print (scene, "%s · %s", summary, scale);
  const char *const remarks[] = { unplanned ? sl_print (scene, "%s · %s · %s", summary, _ ("not in the plan"), scale)
                                            : shorter,
                                  shorter, scale };
  double room = scene->stage.width - sl_sheet_width (&f->sheet, TRUE, FALSE, heading) - 2 * SL_LEGEND_GAP;

  sl_sheet_heading (&f->sheet, scene->stage, heading,
                    sl_sheet_fitting (&f->sheet, remarks, G_N_ELEMENTS (remarks), FALSE, TRUE, room));
}

/* Says what a mark stands for, where it is shown and there is room; its swatch then goes to @at. */
static gboolean
explains (const Frets *f, gboolean shown, const char *words, double y, double *next, double *at)
{
  *at = *next;
  if (shown)
    *next = sl_sheet_legend (&f->sheet, SWATCH + 4, words, *at, y);
  return *next > *at;
}

/* Only what the picture shows is explained. */
static void
draw_legend (const Frets *f, double y)
{
  SlScene *scene = f->sheet.scene;
  const double middle = y + f->sheet.row / 2 - 2;
  double next = scene->stage.x, x;
  gboolean loses = FALSE, rocks = FALSE, lost = FALSE, replaced = FALSE;

  for (int n = 1; n <= f->work.n; n++)
    {
      const SlFretWork *work = &f->work.frets[n];

      loses |= work->off >= SL_FRET_SHOWN_MM;
      rocks |= work->rocks;
      lost |= !work->saved;
      replaced |= work->replaced;
    }
  if (explains (f, loses, _ ("comes off"), y, &next, &x))
    sl_hatch_rectangle (scene, SL_INK_CUT, x, middle - SWATCH / 2 + 1, SWATCH, SWATCH - 2, HATCH_SPACING);
  if (explains (f, TRUE,
                sl_print (scene, _ ("least height %s"), sl_say (scene, SL_SAY_LENGTH, f->sheet.in->crown_least)), y,
                &next, &x))
    sl_stroke_line (scene, SL_INK_QUIET, SL_LINE_THIN, SL_DASH_CHAIN, x, middle, x + SWATCH, middle);
  if (explains (f, rocks, _ ("high: rocks on its neighbours"), y, &next, &x))
    draw_high_mark (f, x + SWATCH / 2, middle + WEDGE);
  if (explains (f, lost, _ ("past saving"), y, &next, &x))
    draw_lost_mark (f, x + SWATCH / 2, middle, SWATCH / 2 - 1);
  if (explains (f, replaced, _ ("new fret"), y, &next, &x))
    {
      cairo_rectangle (scene->cr, x + 1, middle - SWATCH / 2 + 1, SWATCH - 2, SWATCH - 2);
      sl_stroke_path (scene, SL_INK_PLANNED, SL_LINE_THICK, SL_DASH_GHOST);
    }
}

/* ---- the picture ---- */

/* Heights fill the plot; lengths along the neck fill it too, so the factor between them follows from the stage. */
static void
choose_scale (Frets *f)
{
  const SlInstrument *in = f->sheet.in;
  double top = -INFINITY, bottom = INFINITY, narrowest = INFINITY;

  for (int n = 1; n <= f->work.n; n++)
    {
      top = MAX (top, f->work.frets[n].before);
      bottom = MIN (bottom, foot_z (&f->work.frets[n]));
      if (n > 1)
        narrowest = MIN (narrowest, in->x[0][n] - in->x[0][n - 1]);
    }
  f->units_x = MAX (1, f->plot.width - 2 * END_ROOM) / (in->x[0][in->frets] - in->x[0][1]);
  f->origin_x = f->plot.x + END_ROOM - in->x[0][1] * f->units_x;
  const double room = MAX (1, f->plot.height - HEAD_ROOM - BOARD_UNITS);

  f->units_z = room / (top - bottom);
  if (!f->work.read && f->units_z > MOST_LEVEL_FACTOR * f->units_x)
    {
      f->units_z = MOST_LEVEL_FACTOR * f->units_x;
      f->plot.y += (room - (top - bottom) * f->units_z) / 2;
      f->plot.height -= room - (top - bottom) * f->units_z;
    }
  f->origin_y = f->plot.y + HEAD_ROOM + top * f->units_z;
  f->crown_units = CLAMP (CROWN_SHARE * narrowest * f->units_x, LEAST_CROWN_UNITS,
                          MAX (MOST_CROWN_UNITS, in->crown_width * f->units_x));
}

static void
draw_marks (const Frets *f)
{
  for (int n = 1; n <= f->work.n; n++)
    {
      const SlFretWork *work = &f->work.frets[n];
      double top = at_y (f, work->before);

      if (work->rocks && !work->replaced)
        draw_high_mark (f, at_x (f, n), top - 3);
      if (!work->saved)
        draw_lost_mark (f, at_x (f, n), at_y (f, foot_z (work) + MAX (0, work->left) / 2), MIN (f->crown_units / 2, 5));
      if (work->lowest && f->work.read)
        {
          sl_stroke_line (f->sheet.scene, SL_INK_PLANNED, SL_LINE_THIN, SL_DASH_NONE, at_x (f, n), f->plot.y,
                          at_x (f, n), top - 2);
          sl_arrowhead (f->sheet.scene, SL_INK_PLANNED, at_x (f, n), top - 2, 0, 1);
        }
    }
}

/* "lowest" beside the arrow that points at it, on the side where there is room. */
static void
name_lowest (const Frets *f)
{
  const double x = at_x (f, f->work.lowest);
  const gboolean to_left = x > f->plot.x + f->plot.width * 0.8;

  if (f->work.lowest > 0 && f->work.read && f->work.most_off >= SL_FRET_SHOWN_MM)
    sl_scene_text (f->sheet.scene, SL_INK_PLANNED, TRUE, TRUE, _ ("lowest"), x + (to_left ? -6 : 6), f->plot.y,
                   to_left ? 1 : 0);
}

static void
fill_map (const Frets *f)
{
  SlPictureMap *map = f->sheet.scene->map;

  if (map == NULL)
    return;
  map->units_per_mm_along = f->units_x;
  map->units_per_mm_up = f->units_z;
  map->height_factor = f->units_z / f->units_x;
  map->origin_x = f->origin_x;
  map->origin_y = f->origin_y;
  map->board = f->plot;
  for (int n = 1; n <= f->work.n; n++)
    map->fret_x[n] = at_x (f, n);
}

void
sl_frets_draw (SlScene *scene)
{
  const SlAnalysis *a = scene->analysis;
  const SlRect stage = scene->stage;
  gboolean low;
  double names = 0, head, rows, beyond;
  Frets f = { .crown_units = 0 };

  sl_sheet_init (&f.sheet, scene);
  f.planned = sl_level_planned (f.sheet.in, &a->measured, a->plan, a->set != NULL ? a->set->taken : NULL, &f.work);
  if (scene->options->replacing)
    sl_level_replacing (f.sheet.in, &a->measured, f.work.fall_away, &f.work);
  for (int row = 0; row < N_ROWS; row++)
    names = MAX (names, sl_sheet_width (&f.sheet, FALSE, TRUE, row_name ((Row) row)));
  /* the outer frets' figures stand free of names and edge */
  beyond = MAX (0, sl_sheet_width (&f.sheet, TRUE, TRUE, cell_text (&f, ROW_LEFT, 1)) / 2 + 4 - END_ROOM);
  low = stage.height < LOW_STAGE;
  head = f.sheet.row + (low ? 0 : 6);
  rows = low ? f.sheet.row + 3 : (N_ROWS + 1) * f.sheet.row + 8;
  f.plot = (SlRect){ stage.x + names + beyond, stage.y + head, MAX (1, stage.width - names - 2 * beyond),
                     MAX (1, stage.height - head - rows) };
  choose_scale (&f);
  if (low)
    {
      sl_scene_text (f.sheet.scene, SL_INK_QUIET, FALSE, TRUE, scale_text (&f), stage.x + stage.width, stage.y, 1);
      draw_legend (&f, stage.y);
    }
  else
    draw_heading (&f);
  draw_board (&f);
  for (int n = 1; n <= f.work.n; n++)
    draw_crown (&f, n);
  draw_least (&f);
  if (f.work.read)
    draw_level (&f);
  draw_marks (&f);
  name_lowest (&f);
  fill_map (&f);
  double y = f.plot.y + f.plot.height + 3;
  for (int row = 0; row < (low ? 1 : N_ROWS); row++)
    draw_row (&f, (Row) row, y + row * f.sheet.row);
  if (!low)
    draw_legend (&f, y + N_ROWS * f.sheet.row + 4);
}

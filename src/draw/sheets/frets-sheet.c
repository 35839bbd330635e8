/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The frets sheet: every crown along the neck as it is and as levelled, heights magnified by a stated factor, over
 * the board below. What comes off is hatched. Marks have words of their own: a cross for a crown past saving, a wedge
 * above one that rocks, an outline of dashes for a new fret. */
#include "draw/sheets/sheet.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "draw/base/plan.h"
#include "setup/physics/frets.h"

#define HATCH_SPACING 3.0
#define LEAST_CROWN_UNITS 7.0 /* a crown narrower than this would hide its hatching */
#define MOST_CROWN_UNITS 18.0
/* of the narrowest space between two frets: crowns are drawn as wide as there is room, so that what comes off shows */
#define CROWN_SHARE 0.6
#define CROWN_POINTS 24
#define BOARD_UNITS 9.0
#define HEAD_ROOM 14.0 /* above the highest crown, for marks */
#define END_ROOM 18.0  /* beyond the first and the last fret */
#define ROWS_BELOW 4
#define WEDGE 4.0
#define SWATCH 11.0
#define LEGEND_GAP 16.0
#define SHOWN_MM 0.005 /* less than this comes off: nothing to draw */
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
  return f->origin_x + f->sheet.in->x[n] * f->units_x;
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

  cairo_new_sub_path (cr);
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

  if (work->off < SHOWN_MM)
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
  sl_set_ink (cr, scene->palette, SL_INK_METAL);
  cairo_fill_preserve (cr);
  sl_set_ink (cr, scene->palette, work->replaced ? SL_INK_PLANNED : SL_INK_OUTLINE);
  sl_set_dash (cr, work->replaced ? SL_DASH_GHOST : SL_DASH_NONE);
  cairo_set_line_width (cr, work->replaced ? SL_LINE_THICK : SL_LINE_OUTLINE);
  cairo_stroke (cr);
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

  cairo_move_to (scene->cr, x, y);
  cairo_line_to (scene->cr, x - WEDGE, y - 1.6 * WEDGE);
  cairo_line_to (scene->cr, x + WEDGE, y - 1.6 * WEDGE);
  cairo_close_path (scene->cr);
  sl_set_ink (scene->cr, scene->palette, SL_INK_CUT);
  cairo_fill (scene->cr);
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
  sl_set_ink (cr, scene->palette, SL_INK_BOARD);
  cairo_fill (cr);
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

typedef char *(*Say) (const Frets *f, const SlFretWork *work, int n, SlInk *ink);

static char *
number_text (const Frets *f, const SlFretWork *work, int n, SlInk *ink)
{
  *ink = SL_INK_TEXT;
  return g_strdup_printf ("%d", n);
}

static char *
off_text (const Frets *f, const SlFretWork *work, int n, SlInk *ink)
{
  const char *unit;

  *ink = SL_INK_CUT;
  return work->off < SHOWN_MM ? g_strdup ("0") : sl_say_value (f->sheet.scene, SL_SAY_LENGTH, work->off, &unit);
}

/* What is to be re-crowned. */
static char *
land_text (const Frets *f, const SlFretWork *work, int n, SlInk *ink)
{
  const char *unit;

  *ink = SL_INK_TEXT;
  return work->off < SHOWN_MM ? g_strdup ("0") : sl_say_value (f->sheet.scene, SL_SAY_LENGTH, work->land, &unit);
}

static char *
left_text (const Frets *f, const SlFretWork *work, int n, SlInk *ink)
{
  const char *unit;

  *ink = work->saved ? SL_INK_PLANNED : SL_INK_CUT;
  return sl_say_value (f->sheet.scene, SL_SAY_LENGTH, work->left, &unit);
}

/* Frets with a remark are written first, so that they get the room there is. */
static int
weight (const SlFretWork *work)
{
  return work->lowest || work->replaced ? 0 : work->rocks ? 1 : !work->saved ? 2 : 3;
}

static void
draw_row (const Frets *f, const char *name, Say say, double y)
{
  sl_sheet_text (&f->sheet, SL_INK_QUIET, FALSE, TRUE, name, f->sheet.scene->stage.x, y, 0);
  for (int w = 0; w <= 3; w++)
    for (int n = 1; n <= f->work.n; n++)
      {
        const SlFretWork *work = &f->work.frets[n];
        SlInk ink = SL_INK_TEXT;
        g_autofree char *text = NULL;

        if (weight (work) != w)
          continue;
        text = say (f, work, n, &ink);
        sl_sheet_text (&f->sheet, ink, w == 0, TRUE, text, at_x (f, n), y, 0.5);
      }
}

/* ---- words ---- */

static char *
summary_text (const Frets *f)
{
  const SlLevelling *w = &f->work;
  g_autofree char *most = sl_say (f->sheet.scene, SL_SAY_LENGTH, w->most_off);
  int lowest = 1;

  while (lowest < w->n && !w->frets[lowest].lowest)
    lowest++;
  if (!w->read)
    return g_strdup (_ ("crown gaps not read: assumed level"));
  if (w->most_off < SHOWN_MM)
    return g_strdup (_ ("level: nothing comes off"));
  if (w->n_replaced > 0)
    return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%d new fret, the others down to fret %d, most %s off",
                                         "%d new frets, the others down to fret %d, most %s off",
                                         (gulong) w->n_replaced),
                            w->n_replaced, lowest, most);
  if (w->n_lost > 0)
    return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "down to fret %d, most %s off: %d fret past saving",
                                         "down to fret %d, most %s off: %d frets past saving", (gulong) w->n_lost),
                            lowest, most, w->n_lost);
  return g_strdup_printf (_ ("down to fret %d, most %s off"), lowest, most);
}

static char *
scale_text (const Frets *f)
{
  g_autofree char *number = sl_plain_format (f->units_z / f->units_x, 0, f->sheet.scene->options->decimal);

  /* Translators: by how much heights are drawn larger than lengths along the neck */
  return g_strdup_printf (_ ("heights × %s"), number);
}

/* Where there is no room for all of it, the factor of the heights stays. */
static void
draw_heading (const Frets *f)
{
  const SlScene *scene = f->sheet.scene;
  const char *heading = f->work.n_replaced > 0 ? _ ("Frets, some replaced")
                        : f->work.read         ? _ ("Frets, levelled")
                                               : _ ("Frets as they are");
  const gboolean unplanned = !f->planned && f->work.most_off >= SHOWN_MM;
  g_autofree char *summary = summary_text (f), *scale = scale_text (f), *remark = NULL,
                  *shorter = g_strdup_printf ("%s · %s", summary, scale);
  SlWording wording = { .n = 0 };

  remark = unplanned ? g_strdup_printf ("%s · %s · %s", summary, _ ("not in the plan"), scale) : g_strdup (shorter);
  sl_wording_add (&wording, SL_INK_TEXT, TRUE, FALSE, heading);
  const char *const remarks[] = { remark, shorter, scale };
  double room = scene->stage.width - sl_wording_width (scene, &wording) - 2 * LEGEND_GAP;

  sl_sheet_heading (&f->sheet, scene->stage, heading,
                    sl_sheet_fitting (&f->sheet, remarks, G_N_ELEMENTS (remarks), FALSE, TRUE, room));
}

/* One mark of the legend with its word; returns where the next begins. */
static double
legend_word (const Frets *f, const char *word, double x, double y)
{
  SlWording wording = { .n = 0 };

  sl_wording_add (&wording, SL_INK_QUIET, FALSE, TRUE, word);
  if (!sl_scene_fixed (f->sheet.scene, &wording, x + SWATCH + 4, y, 0))
    return x;
  return x + SWATCH + 4 + sl_wording_width (f->sheet.scene, &wording) + LEGEND_GAP;
}

static gboolean
any (const Frets *f, gboolean (*has) (const SlFretWork *))
{
  for (int n = 1; n <= f->work.n; n++)
    if (has (&f->work.frets[n]))
      return TRUE;
  return FALSE;
}

static gboolean
is_lost (const SlFretWork *work)
{
  return !work->saved;
}

static gboolean
does_rock (const SlFretWork *work)
{
  return work->rocks;
}

static gboolean
loses (const SlFretWork *work)
{
  return work->off >= SHOWN_MM;
}

static gboolean
is_new (const SlFretWork *work)
{
  return work->replaced;
}

/* Only what the picture shows is explained. */
static void
draw_legend (const Frets *f, double y)
{
  SlScene *scene = f->sheet.scene;
  double x = scene->stage.x, middle = y + f->sheet.row / 2 - 2, next;
  g_autofree char *length = sl_say (scene, SL_SAY_LENGTH, f->sheet.in->crown_least);
  g_autofree char *least = g_strdup_printf (_ ("least height %s"), length);

  if (any (f, loses) && (next = legend_word (f, _ ("comes off"), x, y)) > x)
    {
      cairo_rectangle (scene->cr, x, middle - SWATCH / 2 + 1, SWATCH, SWATCH - 2);
      sl_hatch (scene, SL_INK_CUT, HATCH_SPACING);
      x = next;
    }
  if ((next = legend_word (f, least, x, y)) > x)
    {
      sl_stroke_line (scene, SL_INK_QUIET, SL_LINE_THIN, SL_DASH_CHAIN, x, middle, x + SWATCH, middle);
      x = next;
    }
  if (any (f, does_rock) && (next = legend_word (f, _ ("high: rocks on its neighbours"), x, y)) > x)
    {
      draw_high_mark (f, x + SWATCH / 2, middle + WEDGE);
      x = next;
    }
  if (any (f, is_lost) && (next = legend_word (f, _ ("past saving"), x, y)) > x)
    {
      draw_lost_mark (f, x + SWATCH / 2, middle, SWATCH / 2 - 1);
      x = next;
    }
  if (any (f, is_new) && legend_word (f, _ ("new fret"), x, y) > x)
    {
      cairo_rectangle (scene->cr, x + 1, middle - SWATCH / 2 + 1, SWATCH - 2, SWATCH - 2);
      sl_set_ink (scene->cr, scene->palette, SL_INK_PLANNED);
      sl_set_dash (scene->cr, SL_DASH_GHOST);
      cairo_set_line_width (scene->cr, SL_LINE_THICK);
      cairo_stroke (scene->cr);
      sl_set_dash (scene->cr, SL_DASH_NONE);
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
        narrowest = MIN (narrowest, in->x[n] - in->x[n - 1]);
    }
  f->units_x = MAX (1, f->plot.width - 2 * END_ROOM) / (in->x[in->frets] - in->x[1]);
  f->origin_x = f->plot.x + END_ROOM - in->x[1] * f->units_x;
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

static double
name_width (const Frets *f)
{
  const char *const names[ROWS_BELOW] = { C_ ("row of frets", "fret"), C_ ("row of frets", "off"),
                                          C_ ("row of frets", "land"), C_ ("row of frets", "left") };
  double widest = 0;

  for (int i = 0; i < ROWS_BELOW; i++)
    {
      SlWording wording = { .n = 0 };

      sl_wording_add (&wording, SL_INK_QUIET, FALSE, TRUE, names[i]);
      widest = MAX (widest, sl_wording_width (f->sheet.scene, &wording));
    }
  return widest;
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
  for (int n = 1; n <= f->work.n; n++)
    if (f->work.frets[n].lowest && f->work.read && f->work.most_off >= SHOWN_MM)
      {
        gboolean to_left = at_x (f, n) > f->plot.x + f->plot.width * 0.8;

        sl_sheet_text (&f->sheet, SL_INK_PLANNED, TRUE, TRUE, _ ("lowest"), at_x (f, n) + (to_left ? -6 : 6), f->plot.y,
                       to_left ? 1 : 0);
      }
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
  double fall_away, names, head, rows;
  Frets f = { .crown_units = 0 };

  sl_sheet_init (&f.sheet, scene);
  f.planned = sl_planned_levelling (a->plan, a->set != NULL ? a->set->taken : NULL, &fall_away);
  if (scene->options->replacing)
    sl_level_replacing (f.sheet.in, &a->measured, a->set, fall_away, &f.work);
  else
    sl_level (f.sheet.in, &a->measured, a->set, fall_away, &f.work);
  for (int n = 1; n <= f.work.n && !f.work.read; n++)
    f.work.frets[n].lowest = FALSE; /* all are taken as level */
  names = name_width (&f);
  low = stage.height < LOW_STAGE;
  head = f.sheet.row + (low ? 0 : 6);
  rows = low ? f.sheet.row + 3 : (ROWS_BELOW + 1) * f.sheet.row + 8;
  f.plot =
      (SlRect){ stage.x + names, stage.y + head, MAX (1, stage.width - names), MAX (1, stage.height - head - rows) };
  choose_scale (&f);
  if (low)
    {
      g_autofree char *scale = scale_text (&f);

      sl_sheet_text (&f.sheet, SL_INK_QUIET, FALSE, TRUE, scale, stage.x + stage.width, stage.y, 1);
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
  draw_row (&f, C_ ("row of frets", "fret"), number_text, y);
  if (low)
    return;
  draw_row (&f, C_ ("row of frets", "off"), off_text, y + f.sheet.row);
  draw_row (&f, C_ ("row of frets", "land"), land_text, y + 2 * f.sheet.row);
  draw_row (&f, C_ ("row of frets", "left"), left_text, y + 3 * f.sheet.row);
  draw_legend (&f, y + 4 * f.sheet.row + 4);
}

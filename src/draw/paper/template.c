/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The templates as pages: what every page carries, and the rule of the frets along the whole scale, in tiles that
 * overlap: marks in the overlap show how two tiles join. */
#include "draw/paper/template-parts.h"

#define BAR_MM 100.0
#define BAR_IN 4
#define TICK_MM 2.0
#define TITLE_MM 5.0
#define FACTOR_PLACES 4
#define TABLE_SHARE_MM 180.0 /* widest table */
#define LEAST_APART_MM 1.0   /* strings closer than this lie on no saddle: our own choice */

/* of the rule */
#define OVERLAP_MM 16.0
#define SIDE_MM 14.0        /* from the paper's edge to a tile's end: room for a label at the line */
#define BEYOND_MM 6.0       /* of the rule past the last line */
#define STRIP_MM 24.0       /* height of a strip's lines */
#define FIRST_STRIP_MM 60.0 /* from the top of the page to the first strip's upper edge */
#define STRIP_STEP_MM 62.0
#define SLANT_MIDDLE_MM 104.0 /* to a slanting strip's middle, and its most height */
#define SLANT_MOST_MM 104.0
#define BESIDE_STRING_MM 4.0 /* of it beside the outer strings */
#define WHOLE_PAGE_STRIP_MM 82.0
#define LABEL_GAP_MM 1.2
#define CROSS_MM 3.0
#define LEAST_LABEL_MM 3.2 /* frets closer than this are labelled in turns */

SlPoint
sl_template_point (const SlTemplateSheet *sheet, double x, double y)
{
  const double right = x - sheet->width / 2;

  return (SlPoint){ sheet->width / 2 + right * sheet->stretch, y + sheet->down + sheet->slope * right };
}

void
sl_template_text (const SlTemplateSheet *sheet, const char *text, double size_mm, gboolean bold, SlInk ink, double x,
                  double y, double align, gboolean turned)
{
  SlText line = sl_text (text, size_mm / SL_POINT_MM, bold);

  cairo_save (sheet->cr);
  cairo_translate (sheet->cr, x * sheet->scale_x, y * sheet->scale_y);
  if (turned)
    cairo_rotate (sheet->cr, -G_PI / 2);
  sl_set_ink (sheet->cr, sl_palette (SL_LOOK_LIGHT), ink);
  sl_text_show (sheet->cr, &line, -align * line.width, -line.height / 2);
  cairo_restore (sheet->cr);
  cairo_new_path (sheet->cr);
}

SlFlow
sl_template_flow (const SlTemplateSheet *sheet, double y)
{
  double width = MIN (sheet->width - 2 * SL_TEMPLATE_MARGIN_MM, TABLE_SHARE_MM) / SL_POINT_MM;

  return (SlFlow){
    .cr = sheet->cr,
    .left = (sheet->width / SL_POINT_MM - width) / 2,
    .top = y * sheet->scale_y,
    .y = y * sheet->scale_y,
    .width = width,
    .bottom = 1e6, /* a template's table is never longer than its page: twelve strings */
    .palette = sl_palette (SL_LOOK_LIGHT),
  };
}

char *
sl_template_length (const SlTemplateSheet *sheet, double mm)
{
  return isfinite (mm) ? sl_text_fine (&sheet->template->style, mm) : g_strdup ("–");
}

/* ---- what every page carries ---- */

static void
draw_bar (const SlTemplateSheet *sheet, double x, double y, double length, const char *text)
{
  sl_template_line (sheet, SL_STROKE_LINE, x, y, x + length, y);
  sl_template_line (sheet, SL_STROKE_HAIR, x, y - TICK_MM, x, y + TICK_MM);
  sl_template_line (sheet, SL_STROKE_HAIR, x + length, y - TICK_MM, x + length, y + TICK_MM);
  sl_template_text (sheet, text, SL_TEMPLATE_SMALL_MM, FALSE, SL_INK_TEXT, x + length + 2, y, 0, FALSE);
}

static void
draw_foot (const SlTemplateSheet *sheet)
{
  const SlTemplateOptions *o = &sheet->template->options;
  double y = sheet->height - SL_TEMPLATE_MARGIN_MM - 3;
  g_autofree char *x_factor = sl_plain_format (o->correction_x, FACTOR_PLACES, sheet->template->options.decimal);
  g_autofree char *y_factor = sl_plain_format (o->correction_y, FACTOR_PLACES, sheet->template->options.decimal);
  g_autofree char *factors =
      g_strdup_printf (_ ("corrected × %1$s across, × %2$s along the paper"), x_factor, y_factor);

  draw_bar (sheet, SL_TEMPLATE_MARGIN_MM + 2, y - 8, BAR_MM, _ ("100 mm: measure this bar"));
  draw_bar (sheet, SL_TEMPLATE_MARGIN_MM + 2, y - 1, BAR_IN * SL_MM_PER_INCH, _ ("4 in"));
  if (o->correction_x != 1 || o->correction_y != 1)
    sl_template_text (sheet, factors, SL_TEMPLATE_SMALL_MM, FALSE, SL_INK_CUT, sheet->width - SL_TEMPLATE_MARGIN_MM,
                      y - 1, 1, FALSE);
}

static void
draw_head (const SlTemplateSheet *sheet, const char *what, int page)
{
  const SlType title = { TITLE_MM / SL_POINT_MM, TRUE, SL_INK_TEXT, SL_ALIGN_LEFT, 1 };
  const SlType second = { SL_TEMPLATE_TEXT_MM / SL_POINT_MM, FALSE, SL_INK_QUIET, SL_ALIGN_LEFT, 1 };
  const SlType advice = { SL_TEMPLATE_TEXT_MM / SL_POINT_MM, TRUE, SL_INK_CUT, SL_ALIGN_LEFT, 2 };
  g_autofree char *number = g_strdup_printf (_ ("page %d of %d"), page + 1, sheet->template->pages.n_pages);
  g_autofree char *line = g_strdup_printf ("%s · %s", sheet->template->profile->identity.label, number);
  SlFlow flow = sl_template_flow (sheet, SL_TEMPLATE_MARGIN_MM);

  flow.left = SL_TEMPLATE_MARGIN_MM / SL_POINT_MM;
  flow.width = sheet->width / SL_POINT_MM - 2 * flow.left;
  flow.y += sl_flow_put (&flow, what, &title, flow.left, flow.y, flow.width);
  flow.y += sl_flow_put (&flow, line, &second, flow.left, flow.y, flow.width);
  sl_flow_put (&flow, _ ("Print at 100 %, not fitted to the page; then measure the bars below."), &advice, flow.left,
               flow.y, flow.width);
}

/* ---- the rule ---- */

static int
tiles_a_page (const SlTemplate *t)
{
  return t->options.half_tiles && !sl_frets_slant (&t->analysis->instrument) ? 2 : 1;
}

static double
tile_length (const SlTemplate *t)
{
  double width, height;

  sl_paper_size (t->options.paper, &width, &height);
  /* a correction above 1 must not push a tile over the edge */
  return (height - 2 * SIDE_MM) / MAX (1, t->options.correction_y);
}

/* Where the rule ends, from the longest string's nut: past the farthest crest. */
static double
rule_end (const SlTemplate *t)
{
  const SlInstrument *in = &t->analysis->instrument;
  double end = 0;

  for (int i = 0; i < in->n_strings; i++)
    end = MAX (end, sl_nut_offset (in, i + 1) + in->scale[i] + MAX (0, t->analysis->planned.setback[i]));
  return end + BEYOND_MM;
}

static double
tile_start (const SlTemplate *t, int tile)
{
  return tile * (tile_length (t) - OVERLAP_MM) - BEYOND_MM;
}

static int
rule_tiles (const SlTemplate *t)
{
  double length = tile_length (t), all = rule_end (t) + BEYOND_MM;

  return all <= length ? 1 : (int) ceil ((all - OVERLAP_MM) / (length - OVERLAP_MM));
}

typedef struct
{
  const SlTemplateSheet *sheet;
  double start, end; /* of the tile, along the neck */
  double top, middle, bottom;
} Strip;

static double
place (const Strip *strip, double x)
{
  return SIDE_MM + x - strip->start;
}

/* Where a line meets the strip's upper and lower edge that goes through the outer strings' places, each @x mm from its
 * own nut. */
static void
mark_ends (const Strip *strip, double x_treble, double x_bass, double *upper, double *lower)
{
  const SlInstrument *in = strip->sheet->instrument;
  const SlState *state = strip->sheet->state;
  const double treble = sl_nut_offset (in, 1) + x_treble, bass = sl_nut_offset (in, in->n_strings) + x_bass,
               half = strip->bottom - strip->middle, y_treble = sl_across (in, state, 1, x_treble);
  const double slope = treble != bass ? (treble - bass) / (y_treble - sl_across (in, state, in->n_strings, x_bass)) : 0;

  *upper = treble + slope * (half - y_treble);
  *lower = treble - slope * (half + y_treble);
}

/* Beside the strip, if that is on this tile. */
static void
label_at (const Strip *strip, const char *text, double size_mm, double x, double y, double align, gboolean turned)
{
  const SlPoint at = sl_template_point (strip->sheet, place (strip, x), y);

  if (x >= strip->start && x <= strip->end)
    sl_template_text (strip->sheet, text, size_mm, !turned, SL_INK_TEXT, at.x, at.y, align, turned);
}

/* Through the outer strings' places; @label, where there is one, with the distances from the nut. */
static void
draw_mark (const Strip *strip, double x_treble, double x_bass, SlStroke stroke, const char *label)
{
  double upper, lower;
  g_autofree char *treble = sl_template_length (strip->sheet, x_treble),
                  *bass = sl_template_length (strip->sheet, x_bass);

  mark_ends (strip, x_treble, x_bass, &upper, &lower);
  if (MAX (upper, lower) < strip->start || MIN (upper, lower) > strip->end)
    return;
  sl_template_line (strip->sheet, stroke, place (strip, upper), strip->top, place (strip, lower), strip->bottom);
  if (label == NULL)
    return;
  label_at (strip, label, SL_TEMPLATE_TEXT_MM, lower, strip->bottom + 3, 0.5, FALSE);
  label_at (strip, treble, SL_TEMPLATE_SMALL_MM, upper, strip->top - LABEL_GAP_MM, 0, TRUE);
  if (sl_frets_slant (strip->sheet->instrument))
    label_at (strip, bass, SL_TEMPLATE_SMALL_MM, lower, strip->bottom + 6, 1, TRUE);
}

static void
draw_frets (const Strip *strip)
{
  const SlInstrument *in = strip->sheet->instrument;
  const double *treble = in->x[0], *bass = in->x[in->n_strings - 1];
  double labelled = -INFINITY;

  for (int n = 1; n <= in->frets; n++)
    {
      g_autofree char *number = g_strdup_printf ("%d", n);
      gboolean room = treble[n] - labelled >= LEAST_LABEL_MM;

      draw_mark (strip, treble[n], bass[n], SL_STROKE_HAIR, room ? number : NULL);
      if (room)
        labelled = treble[n];
    }
}

/* An outer string over slanting frets, to lay the rule by. */
static void
draw_string (const Strip *strip, int string, const char *name)
{
  const SlTemplateSheet *sheet = strip->sheet;
  const SlInstrument *in = sheet->instrument;
  const double nut = sl_nut_offset (in, string), from = MAX (strip->start, nut),
               end = MIN (strip->end, nut + in->scale[string - 1]);

  if (from < end)
    sl_template_line (sheet, SL_STROKE_CHAIN, place (strip, from),
                      strip->middle - sl_across (in, sheet->state, string, from - nut), place (strip, end),
                      strip->middle - sl_across (in, sheet->state, string, end - nut));
  label_at (strip, name, SL_TEMPLATE_SMALL_MM, nut - 3, strip->middle - sl_across (in, sheet->state, string, 0), 0.5,
            TRUE);
}

/* The nut's front edge and the nominal scale length. */
static void
draw_ends (const Strip *strip)
{
  const SlInstrument *in = strip->sheet->instrument;

  draw_mark (strip, 0, 0, SL_STROKE_LINE, _ ("nut"));
  draw_mark (strip, in->scale[0], in->scale[in->n_strings - 1], SL_STROKE_LINE, _ ("scale"));
  if (!sl_frets_slant (in))
    return;
  draw_string (strip, 1, _ ("treble"));
  draw_string (strip, in->n_strings, _ ("bass"));
}

/* A cross in a ring's place, with a letter: the same in both tiles. */
static void
draw_cross (const Strip *strip, double x, int letter)
{
  g_autofree char *label = g_strdup_printf ("%c", 'A' + letter);
  const double heights[] = { strip->top + CROSS_MM + 1, strip->bottom - CROSS_MM - 1 };

  for (gsize i = 0; i < G_N_ELEMENTS (heights); i++)
    {
      sl_template_line (strip->sheet, SL_STROKE_HAIR, place (strip, x) - CROSS_MM, heights[i],
                        place (strip, x) + CROSS_MM, heights[i]);
      sl_template_line (strip->sheet, SL_STROKE_HAIR, place (strip, x), heights[i] - CROSS_MM, place (strip, x),
                        heights[i] + CROSS_MM);
    }
  sl_template_text (strip->sheet, label, SL_TEMPLATE_TEXT_MM, TRUE, SL_INK_CUT,
                    sl_template_point (strip->sheet, place (strip, x), 0).x, strip->middle, 0.5, FALSE);
}

static void
draw_tile (const SlTemplateSheet *sheet, int tile, double top)
{
  const SlTemplate *t = sheet->template;
  const SlInstrument *in = sheet->instrument;
  const int tiles = rule_tiles (t);
  /* slanting frets are drawn as long as they are */
  const double across = MAX (in->nut_width, in->spread) + 2 * BESIDE_STRING_MM,
               height = sl_frets_slant (in) ? MIN (across, SLANT_MOST_MM) : STRIP_MM;
  Strip strip = { .sheet = sheet, .start = tile_start (t, tile), .top = MIN (top, SLANT_MIDDLE_MM - height / 2) };

  strip.bottom = strip.top + height;
  strip.middle = strip.top + height / 2;
  strip.end = MIN (strip.start + tile_length (t), rule_end (t));
  sl_template_line (sheet, SL_STROKE_HAIR, place (&strip, strip.start), strip.bottom, place (&strip, strip.end),
                    strip.bottom);
  sl_template_line (sheet, SL_STROKE_HAIR, place (&strip, strip.start), strip.top, place (&strip, strip.end),
                    strip.top);
  draw_frets (&strip);
  draw_ends (&strip);
  if (tile > 0)
    draw_cross (&strip, strip.start + OVERLAP_MM / 2, tile - 1);
  if (tile + 1 < tiles)
    draw_cross (&strip, tile_start (t, tile + 1) + OVERLAP_MM / 2, tile);
}

static void
draw_rule (const SlTemplateSheet *sheet, int first_tile)
{
  const int tiles = rule_tiles (sheet->template), here = tiles_a_page (sheet->template);

  for (int i = 0; i < here && first_tile + i < tiles; i++)
    draw_tile (sheet, first_tile + i, here > 1 ? FIRST_STRIP_MM + i * STRIP_STEP_MM : WHOLE_PAGE_STRIP_MM);
  if (tiles > 1)
    sl_template_text (sheet,
                      _ ("Lay tiles over each other so that crosses of one letter meet. Distances are from the front "
                         "of the nut; each is right by itself, nothing adds up."),
                      SL_TEMPLATE_SMALL_MM, FALSE, SL_INK_QUIET, SL_TEMPLATE_MARGIN_MM,
                      sheet->height - SL_TEMPLATE_FOOT_MM - 4, 0, FALSE);
}

/* ---- pages ---- */

/* Which template a page holds; of the rule, the first tile on it. */
static SlTemplateKind
kind_of (const SlTemplate *t, int page, int *first_tile)
{
  *first_tile = (page - t->pages.n_upright) * tiles_a_page (t);
  return page >= t->pages.n_upright ? SL_TEMPLATE_RULE : page >= t->nut ? SL_TEMPLATE_SADDLE : SL_TEMPLATE_NUT;
}

static void
draw_page (gconstpointer data, cairo_t *cr, int page)
{
  static const char *const names[] = { N_ ("Nut template, 1:1"), N_ ("Saddle template, 1:1"), N_ ("Fret rule, 1:1") };
  const SlTemplate *t = data;
  int first_tile;
  const SlTemplateKind kind = kind_of (t, page, &first_tile);
  const gboolean lying = kind == SL_TEMPLATE_RULE;
  SlTemplateSheet sheet = {
    .template = t,
    .instrument = &t->analysis->planned_instrument,
    .state = &t->analysis->planned,
    .cr = cr,
    .scale_x = (lying ? t->options.correction_y : t->options.correction_x) / SL_POINT_MM,
    .scale_y = (lying ? t->options.correction_x : t->options.correction_y) / SL_POINT_MM,
    .stretch = 1,
  };

  sl_paper_size (t->options.paper, lying ? &sheet.height : &sheet.width, lying ? &sheet.width : &sheet.height);
  draw_head (&sheet, _ (names[kind]), page);
  draw_foot (&sheet);
  sheet.stretch = sheet.instrument->left_handed ? -1 : 1;
  if (kind == SL_TEMPLATE_NUT)
    sl_template_draw_nut (&sheet);
  else if (kind == SL_TEMPLATE_SADDLE)
    sl_template_draw_saddle (&sheet);
  else
    draw_rule (&sheet, first_tile);
}

/* ---- making them ---- */

void
sl_template_options_init (SlTemplateOptions *options)
{
  *options = (SlTemplateOptions){
    .paper = SL_PAPER_A4,
    .nut = TRUE,
    .saddle = TRUE,
    .rule = TRUE,
    .correction_x = 1,
    .correction_y = 1,
    .lengths = SL_LENGTHS_MM,
    .decimal = ".",
    .shop = SL_SHOP_DEFAULT,
  };
}

static void
template_free (gpointer data)
{
  SlTemplate *t = data;

  sl_analysis_free (t->analysis);
  sl_profile_free (t->profile);
  g_free (t->title);
  g_free (t->left_out);
  g_free ((gpointer) t->options.decimal);
  g_free (t);
}

/* Which of what was asked for is not drawn, and why; NULL: all is. A saddle whose strings lie on top of each other has
 * no top to draw, and slanting frets have no ends without a nut. */
static char *
say_left_out (const SlTemplate *t)
{
  const char *said[4] = { NULL };
  int n = 0;
  g_autofree char *spread = sl_text_length_unit (&t->style, t->analysis->instrument.spread),
                  *no_saddle = g_strdup_printf (
                      _ ("The saddle is not drawn: a string spread of %s leaves no room between its strings."), spread);

  if (t->options.nut && !t->nut)
    said[n++] = isnan (t->analysis->instrument.nut_width)
                    ? _ ("The nut is not drawn: the profile gives no width of the nut.")
                    : _ ("The nut is not drawn: the strings and the edge margins take more than its width.");
  if (t->options.saddle && !t->saddle)
    said[n++] = no_saddle;
  if (t->options.rule && !t->rule)
    said[n++] = _ ("The fret rule is not drawn: slanting frets need a nut wide enough for its strings.");
  return n > 0 ? g_strjoinv (" ", (char **) said) : NULL;
}

SlPages *
sl_template_new (const SlProfile *profile, const SlTemplateOptions *options, GError **error)
{
  SlTemplate *t = g_new0 (SlTemplate, 1);
  double places[SL_MAX_STRINGS];
  gboolean slots;

  t->profile = sl_profile_copy (profile);
  t->options = *options;
  t->options.decimal = g_strdup (options->decimal);
  t->style = (SlTextStyle){ options->lengths, t->options.decimal };
  t->analysis = g_new0 (SlAnalysis, 1);
  sl_analyse_last (t->profile, &options->shop, t->analysis);
  const SlVisit *visit = t->analysis->visit;
  const SlReadingSet *last = t->analysis->set;

  t->title = g_strdup_printf (_ ("Templates: %s"), t->profile->identity.label);
  slots = sl_slot_centres (&t->analysis->instrument, places);
  t->nut = options->nut && slots;
  t->rule = options->rule && (slots || !sl_frets_slant (&t->analysis->instrument));
  t->saddle =
      options->saddle && t->analysis->instrument.spread >= (t->analysis->instrument.n_strings - 1) * LEAST_APART_MM;
  t->pages = (SlPages){ .paper = options->paper,
                        .n_upright = t->nut + t->saddle,
                        .draw = draw_page,
                        .data = t,
                        .free = template_free,
                        .title = t->title,
                        .date = last != NULL    ? last->taken
                                : visit != NULL ? visit->opened
                                                : NULL,
                        .full_size = TRUE };
  t->pages.left_out = t->left_out = say_left_out (t);
  t->pages.n_pages = t->pages.n_upright;
  if (t->rule)
    t->pages.n_pages += (rule_tiles (t) + tiles_a_page (t) - 1) / tiles_a_page (t);
  if (t->pages.n_pages > 0)
    return &t->pages;
  g_set_error_literal (error, SL_PICTURE_ERROR, SL_PICTURE_ERROR_SIZE,
                       t->pages.left_out != NULL ? t->pages.left_out : _ ("No template was asked for."));
  template_free (t);
  return NULL;
}

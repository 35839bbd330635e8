/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The templates as pages: what every page carries, and how its lines are drawn. */
#include "draw/paper/template-parts.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <pango/pangocairo.h>

#define BAR_MM 100.0
#define BAR_IN 4
#define TICK_MM 2.0
#define TITLE_MM 5.0
#define TABLE_SHARE_MM 180.0 /* widest table */
#define HATCH_MM 0.6
#define DASH_MM 1.2
#define PLACES 2
#define FACTOR_PLACES 4

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

/* ---- lines and text ---- */

static void
trace (const SlTemplateSheet *sheet, const double (*points)[2], int n, gboolean closed)
{
  cairo_new_path (sheet->cr);
  for (int i = 0; i < n; i++)
    cairo_line_to (sheet->cr, points[i][0] * sheet->scale_x, points[i][1] * sheet->scale_y);
  if (closed)
    cairo_close_path (sheet->cr);
}

void
sl_template_polyline (const SlTemplateSheet *sheet, SlStroke stroke, const double (*points)[2], int n, gboolean closed)
{
  const double dash = DASH_MM / SL_POINT_MM, dashes[] = { dash, dash * 0.7 },
               chain[] = { 3 * dash, dash * 0.7, dash * 0.3, dash * 0.7 };

  cairo_save (sheet->cr);
  trace (sheet, points, n, closed);
  sl_set_ink (sheet->cr, sl_palette (FALSE), stroke == SL_STROKE_DASH ? SL_INK_GHOST : SL_INK_TEXT);
  cairo_set_line_width (sheet->cr,
                        (stroke == SL_STROKE_LINE ? SL_TEMPLATE_LINE_MM : SL_TEMPLATE_HAIR_MM) / SL_POINT_MM);
  if (stroke == SL_STROKE_DASH)
    cairo_set_dash (sheet->cr, dashes, G_N_ELEMENTS (dashes), 0);
  else if (stroke == SL_STROKE_CHAIN)
    cairo_set_dash (sheet->cr, chain, G_N_ELEMENTS (chain), 0);
  cairo_stroke (sheet->cr);
  cairo_restore (sheet->cr);
}

void
sl_template_line (const SlTemplateSheet *sheet, SlStroke stroke, double x0, double y0, double x1, double y1)
{
  const double points[][2] = { { x0, y0 }, { x1, y1 } };

  sl_template_polyline (sheet, stroke, points, 2, FALSE);
}

void
sl_template_fill (const SlTemplateSheet *sheet, SlInk ink, const double (*points)[2], int n)
{
  trace (sheet, points, n, TRUE);
  sl_set_ink (sheet->cr, sl_palette (FALSE), ink);
  cairo_fill (sheet->cr);
}

void
sl_template_hatch (const SlTemplateSheet *sheet, const double (*points)[2], int n)
{
  double x0, y0, x1, y1, step = HATCH_MM / SL_POINT_MM;

  cairo_save (sheet->cr);
  trace (sheet, points, n, TRUE);
  cairo_path_extents (sheet->cr, &x0, &y0, &x1, &y1);
  cairo_clip (sheet->cr);
  for (double x = x0 - (y1 - y0); x < x1; x += step)
    {
      cairo_move_to (sheet->cr, x, y1);
      cairo_line_to (sheet->cr, x + (y1 - y0), y0);
    }
  sl_set_ink (sheet->cr, sl_palette (FALSE), SL_INK_CUT);
  cairo_set_line_width (sheet->cr, SL_TEMPLATE_HAIR_MM / SL_POINT_MM);
  cairo_stroke (sheet->cr);
  cairo_restore (sheet->cr);
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
  sl_set_ink (sheet->cr, sl_palette (FALSE), ink);
  sl_text_show (sheet->cr, &line, -align * line.width, -line.height / 2);
  cairo_restore (sheet->cr);
}

/* A flow over what of the page is below @y mm. */
static SlFlow
flow_from (const SlTemplateSheet *sheet, double y)
{
  double width = MIN (sheet->width - 2 * SL_TEMPLATE_MARGIN_MM, TABLE_SHARE_MM) / SL_POINT_MM;

  return (SlFlow){
    .cr = sheet->cr,
    .left = (sheet->width / SL_POINT_MM - width) / 2,
    .top = y * sheet->scale_y,
    .y = y * sheet->scale_y,
    .width = width,
    .bottom = 1e6, /* a template's table is never longer than its page: twelve strings */
    .palette = sl_palette (FALSE),
  };
}

double
sl_template_paragraph (const SlTemplateSheet *sheet, const char *text, double y)
{
  const SlType type = { .size = SL_TEMPLATE_TEXT_MM / SL_POINT_MM, .ink = SL_INK_TEXT };
  SlFlow flow = flow_from (sheet, y);

  sl_flow_paragraph (&flow, text, &type, 0);
  return flow.y / sheet->scale_y;
}

double
sl_template_table (const SlTemplateSheet *sheet, const SlTable *table, double y)
{
  SlFlow flow = flow_from (sheet, y);

  sl_flow_table (&flow, table);
  return flow.y / sheet->scale_y;
}

char *
sl_template_say (const SlTemplateSheet *sheet, double mm)
{
  const SlTemplateOptions *o = &sheet->template->options;

  if (!isfinite (mm))
    return g_strdup ("–");
  return sl_length_format (mm, o->lengths == SL_LENGTHS_MM ? SL_LENGTHS_MM : SL_LENGTHS_INCH, PLACES,
                           sheet->template->decimal, FALSE);
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
  g_autofree char *x_factor = sl_plain_format (o->correction_x, FACTOR_PLACES, sheet->template->decimal);
  g_autofree char *y_factor = sl_plain_format (o->correction_y, FACTOR_PLACES, sheet->template->decimal);
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
  const SlType title = {
    .size = TITLE_MM / SL_POINT_MM, .bold = TRUE, .ink = SL_INK_TEXT, .align = SL_ALIGN_LEFT, .most_lines = 1
  };
  const SlType second = {
    .size = SL_TEMPLATE_TEXT_MM / SL_POINT_MM, .ink = SL_INK_QUIET, .align = SL_ALIGN_LEFT, .most_lines = 1
  };
  const SlType advice = {
    .size = SL_TEMPLATE_TEXT_MM / SL_POINT_MM, .bold = TRUE, .ink = SL_INK_CUT, .align = SL_ALIGN_LEFT, .most_lines = 2
  };
  g_autofree char *number = g_strdup_printf (_ ("page %d of %d"), page + 1, sheet->template->pages.n_pages);
  g_autofree char *line = g_strdup_printf ("%s · %s", sheet->template->profile->identity.label, number);
  SlFlow flow = flow_from (sheet, SL_TEMPLATE_MARGIN_MM);

  flow.left = SL_TEMPLATE_MARGIN_MM / SL_POINT_MM;
  flow.width = sheet->width / SL_POINT_MM - 2 * flow.left;
  flow.y += sl_flow_put (&flow, what, &title, flow.left, flow.y, flow.width);
  flow.y += sl_flow_put (&flow, line, &second, flow.left, flow.y, flow.width);
  sl_flow_put (&flow, _ ("Print at 100 %, not fitted to the page; then measure the bars below."), &advice, flow.left,
               flow.y, flow.width);
}

/* ---- pages ---- */

static void
page_mm (const SlTemplate *t, int page, double *width, double *height)
{
  const SlTemplatePage *p = &g_array_index (t->list, SlTemplatePage, page);

  if (p->kind == SL_TEMPLATE_RULE)
    sl_paper_size (t->options.paper, height, width);
  else
    sl_paper_size (t->options.paper, width, height);
}

static void
page_size (gconstpointer data, int page, double *width_pt, double *height_pt)
{
  page_mm (data, page, width_pt, height_pt);
  *width_pt /= SL_POINT_MM;
  *height_pt /= SL_POINT_MM;
}

static void
draw_page (gconstpointer data, cairo_t *cr, int page)
{
  static const char *const names[] = { N_ ("Nut template, 1:1"), N_ ("Saddle template, 1:1"), N_ ("Fret rule, 1:1") };
  const SlTemplate *t = data;
  const SlTemplatePage *p = &g_array_index (t->list, SlTemplatePage, page);
  gboolean lying = p->kind == SL_TEMPLATE_RULE;
  SlTemplateSheet sheet = {
    .template = t,
    .instrument = &t->analysis->instrument,
    .state = &t->analysis->planned,
    .cr = cr,
    .scale_x = (lying ? t->options.correction_y : t->options.correction_x) / SL_POINT_MM,
    .scale_y = (lying ? t->options.correction_x : t->options.correction_y) / SL_POINT_MM,
  };

  page_mm (t, page, &sheet.width, &sheet.height);
  draw_head (&sheet, _ (names[p->kind]), page);
  draw_foot (&sheet);
  if (p->kind == SL_TEMPLATE_NUT)
    sl_template_draw_nut (&sheet);
  else if (p->kind == SL_TEMPLATE_SADDLE)
    sl_template_draw_saddle (&sheet);
  else
    sl_template_draw_rule (&sheet, p->first_tile);
}

static void
add_page (SlTemplate *t, SlTemplateKind kind, int first_tile)
{
  SlTemplatePage page = { kind, first_tile };

  g_array_append_val (t->list, page);
}

static void
list_pages (SlTemplate *t)
{
  double places[SL_MAX_STRINGS];

  if (t->options.nut && sl_slot_centres (&t->analysis->instrument, places))
    add_page (t, SL_TEMPLATE_NUT, 0);
  else if (t->options.nut)
    t->left_out =
        g_strdup (isnan (t->analysis->instrument.nut_width)
                      ? _ ("The nut is not drawn: the profile gives no width of the nut.")
                      : _ ("The nut is not drawn: the strings and the edge margins take more than its width."));
  if (t->options.saddle)
    add_page (t, SL_TEMPLATE_SADDLE, 0);
  for (int tile = 0; t->options.rule && tile < sl_template_rule_tiles (t); tile += sl_template_tiles_a_page (t))
    add_page (t, SL_TEMPLATE_RULE, tile);
}

static const SlVisit *
same_visit (const SlProfile *profile, const SlVisit *visit, const SlProfile *copy)
{
  for (guint i = 0; visit != NULL && i < profile->visits->len; i++)
    if (&g_array_index (profile->visits, SlVisit, i) == visit)
      return &g_array_index (copy->visits, SlVisit, i);
  return sl_profile_last_visit (copy);
}

SlTemplate *
sl_template_new (const SlProfile *profile, const SlVisit *visit, const SlTemplateOptions *options, GError **error)
{
  g_autoptr (SlTemplate) t = g_new0 (SlTemplate, 1);
  const SlVisit *own;

  t->profile = sl_profile_copy (profile);
  t->options = *options;
  t->decimal = g_strdup (options->decimal);
  t->options.decimal = t->decimal;
  t->speech = (SlSpeech){ options->lengths, t->decimal };
  t->analysis = g_new0 (SlAnalysis, 1);
  own = same_visit (profile, visit, t->profile);
  sl_analyse (t->profile, own, own != NULL ? sl_visit_last_set (own) : NULL, &options->shop, t->analysis);
  t->title = g_strdup_printf (_ ("Templates: %s"), t->profile->identity.label);
  t->list = g_array_new (FALSE, FALSE, sizeof (SlTemplatePage));
  list_pages (t);
  if (t->list->len == 0)
    {
      g_set_error_literal (error, SL_PICTURE_ERROR, SL_PICTURE_ERROR_SIZE,
                           t->left_out != NULL ? t->left_out : _ ("No template was asked for."));
      return NULL;
    }
  const SlReadingSet *last = own != NULL ? sl_visit_last_set (own) : NULL;

  t->pages = (SlPages){
    .n_pages = (int) t->list->len, .size = page_size, .draw = draw_page, .data = t, .title = t->title, .full_size = TRUE
  };
  t->pages.date = last != NULL ? last->taken : own != NULL ? own->opened : NULL;
  return g_steal_pointer (&t);
}

void
sl_template_free (SlTemplate *template)
{
  if (template->analysis != NULL)
    sl_analysis_clear (template->analysis);
  g_free (template->analysis);
  g_clear_pointer (&template->list, g_array_unref);
  sl_profile_free (template->profile);
  g_free (template->title);
  g_free (template->decimal);
  g_free (template->left_out);
  g_free (template);
}

const char *
sl_template_left_out (const SlTemplate *template)
{
  return template->left_out;
}

const SlPages *
sl_template_pages (const SlTemplate *template)
{
  return &template->pages;
}

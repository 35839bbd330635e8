/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The templates as pages, and what every page carries. */
#include "draw/paper/template.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include "draw/paper/template-parts.h"

#define BAR_MM 100.0
#define BAR_IN 4
#define TICK_MM 2.0
#define TITLE_MM 5.0
#define FACTOR_PLACES 4

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
  SlFlow flow = sl_template_flow (sheet, SL_TEMPLATE_MARGIN_MM);

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
  t->style = (SlTextStyle){ options->lengths, t->decimal };
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

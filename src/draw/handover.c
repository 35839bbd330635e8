/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sheet as a whole: its head, its picture, the order of its parts, its pages. */
#include "handover-parts.h"

#include <glib/gi18n-lib.h>

#define MARGIN_MM 15.0
#define FOOT_MM 9.0          /* from the lower edge of the paper to the foot's text */
#define SHOP_SHARE 0.42      /* of the width, for the shop's name and address */
#define TITLE_SIZE 20.0
#define SHOP_SIZE 11.0
#define SMALL_SIZE 8.5
#define NOTICE_PAD 6.0
#define PICTURE_SHARE 0.27   /* height of the picture over what a page holds */
#define PICTURE_TEXT 0.66    /* of the text's size on screen */
#define MOST_TITLE_LINES 3
#define MOST_ADDRESS_LINES 5

void
sl_handover_options_init (SlHandoverOptions *options)
{
  *options = (SlHandoverOptions){ .paper = SL_PAPER_A4, .lengths = SL_LENGTHS_MM, .decimal = "." };
}

static gboolean
said (const char *text)
{
  return text != NULL && *text != '\0';
}

/* ---- head ---- */

static char *
describe (const SlIdentity *identity)
{
  const char *parts[] = { identity->maker, identity->model, identity->serial, identity->year };
  g_autoptr (GString) out = g_string_new (NULL);

  for (gsize i = 0; i < G_N_ELEMENTS (parts); i++)
    if (said (parts[i]))
      g_string_append_printf (out, "%s%s", out->len > 0 ? " · " : "", parts[i]);
  return g_string_free (g_steal_pointer (&out), FALSE);
}

static double
put_shop (const SlHandover *h, SlFlow *flow)
{
  const SlType name = { .size = SHOP_SIZE, .bold = TRUE, .ink = SL_INK_TEXT, .align = SL_ALIGN_RIGHT, .most_lines = 2 };
  const SlType address = { .size = SMALL_SIZE, .ink = SL_INK_QUIET, .align = SL_ALIGN_RIGHT, .most_lines = MOST_ADDRESS_LINES };
  double width = flow->width * SHOP_SHARE, x = flow->left + flow->width - width, y = flow->y;

  if (said (h->shop_name))
    y += sl_flow_put (flow, h->shop_name, &name, x, y, width) + 1;
  if (said (h->shop_address))
    y += sl_flow_put (flow, h->shop_address, &address, x, y, width);
  return y - flow->y;
}

static double
put_title (const SlHandover *h, SlFlow *flow, gboolean shop)
{
  const SlType kind = { .size = SL_HANDOVER_TEXT, .bold = TRUE, .ink = SL_INK_PLANNED };
  const SlType label = { .size = TITLE_SIZE, .bold = TRUE, .ink = SL_INK_TEXT, .align = SL_ALIGN_LEFT, .most_lines = MOST_TITLE_LINES };
  const SlType second = { .size = SL_HANDOVER_TEXT, .ink = SL_INK_QUIET, .align = SL_ALIGN_LEFT, .most_lines = MOST_TITLE_LINES };
  g_autofree char *what = describe (&h->profile->identity);
  double width = shop ? flow->width * (1 - SHOP_SHARE) - 12 : flow->width, y = flow->y;

  y += sl_flow_put (flow, _ ("Hand-over sheet"), &kind, flow->left, y, width) + 1;
  y += sl_flow_put (flow, h->profile->identity.label, &label, flow->left, y, width) + 1;
  if (*what)
    y += sl_flow_put (flow, what, &second, flow->left, y, width);
  return y - flow->y;
}

/* Owner and dates, side by side. */
static void
put_facts (const SlHandover *h, SlFlow *flow)
{
  const SlOutcome *o = &h->outcome;
  g_autofree char *opened = o->visit != NULL ? sl_date_text (o->visit->opened) : NULL;
  g_autofree char *closed = o->visit != NULL ? sl_date_text (o->visit->closed) : NULL;
  g_autofree char *final = o->final != NULL ? sl_date_text (o->final->taken) : g_strdup (o->visit != NULL ? _ ("none yet") : NULL);
  const struct
  {
    const char *name, *value;
  } facts[] = { { _ ("For"), h->profile->identity.owner }, { _ ("Received"), opened }, { _ ("Final readings"), final }, { _ ("Handed over"), closed } };
  const SlType name = { .size = SMALL_SIZE, .ink = SL_INK_QUIET, .align = SL_ALIGN_LEFT, .most_lines = 1 };
  const SlType value = { .size = SL_HANDOVER_TEXT, .bold = TRUE, .ink = SL_INK_TEXT, .align = SL_ALIGN_LEFT, .most_lines = 2 };
  double width = flow->width / G_N_ELEMENTS (facts), x = flow->left, height = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (facts); i++)
    {
      if (!said (facts[i].value))
        continue;
      double name_height = sl_flow_put (flow, facts[i].name, &name, x, flow->y, width - 8);

      height = MAX (height, name_height + sl_flow_put (flow, facts[i].value, &value, x, flow->y + name_height, width - 8));
      x += width;
    }
  flow->y += height;
}

static void
put_head (const SlHandover *h, SlFlow *flow)
{
  gboolean shop = said (h->shop_name) || said (h->shop_address);
  double title = put_title (h, flow, shop), beside = put_shop (h, flow);

  flow->y += MAX (title, beside) + 6;
  sl_flow_rule (flow, SL_INK_QUIET);
  flow->y += 5;
  put_facts (h, flow);
}

/* What is planned must not be taken for what was measured. */
static void
put_notice (const SlHandover *h, SlFlow *flow)
{
  const SlType type = { .size = SL_HANDOVER_TEXT, .bold = TRUE, .ink = SL_INK_CUT };
  const char *text = h->outcome.has_plan ? _ ("As planned: there are no final readings yet. What stands under “as planned” is worked out from the work that is still to be done, not measured.")
                                         : _ ("There are no final readings yet, and nothing is planned: this sheet shows the instrument as it is worked out from its last readings.");
  double height = sl_flow_measure (text, &type, flow->width - 2 * NOTICE_PAD) + 2 * NOTICE_PAD;

  if (!h->outcome.as_planned)
    return;
  flow->y += 8;
  sl_flow_need (flow, height);
  if (sl_flow_draws (flow))
    {
      cairo_new_path (flow->cr);
      cairo_rectangle (flow->cr, flow->left, flow->y, flow->width, height);
      sl_set_ink (flow->cr, flow->palette, SL_INK_CUT);
      cairo_set_line_width (flow->cr, SL_LINE_THIN);
      cairo_stroke (flow->cr);
    }
  sl_flow_put (flow, text, &type, flow->left + NOTICE_PAD, flow->y + NOTICE_PAD, flow->width - 2 * NOTICE_PAD);
  flow->y += height;
}

/* ---- picture ---- */

/* What the picture's line styles stand for. */
static const char *
legend (const SlHandover *h)
{
  if (h->outcome.first == NULL)
    return "";
  if (!h->outcome.as_planned)
    return _ ("dashed as received · solid as it goes home · hatched came off");
  return h->outcome.has_plan ? _ ("dashed as received · solid as planned · hatched is to come off") : "";
}

static char *
picture_caption (const SlHandover *h)
{
  const SlOutcome *o = &h->outcome;
  g_autofree char *first = o->first != NULL ? sl_date_text (o->first->taken) : NULL;
  g_autofree char *final = o->final != NULL ? sl_date_text (o->final->taken) : NULL;

  if (first != NULL && final != NULL)
    return g_strdup_printf (_ ("Before and after: as read on %1$s and on %2$s"), first, final);
  if (final != NULL)
    return g_strdup_printf (_ ("As read on %s"), final);
  if (first != NULL && o->has_plan)
    return g_strdup_printf (_ ("Before and after: as read on %s, and as planned"), first);
  return first != NULL ? g_strdup_printf (_ ("As read on %s"), first) : o->has_plan ? g_strdup (_ ("As planned")) : NULL;
}

static void
put_picture (const SlHandover *h, SlFlow *flow)
{
  const SlType type = { .size = SL_HANDOVER_TEXT, .bold = TRUE, .ink = SL_INK_TEXT };
  g_autofree char *caption = picture_caption (h);
  double height = (flow->bottom - flow->top) * PICTURE_SHARE;
  SlPictureOptions options;

  if (caption == NULL)
    return;
  double caption_height = sl_flow_measure (caption, &type, flow->width) + 2;

  sl_picture_options_init (&options);
  options.kind = SL_PICTURE_SIDE;
  options.width = flow->width;
  options.height = height;
  options.lengths = h->options.lengths;
  options.decimal = h->decimal;
  options.text_scale = PICTURE_TEXT;
  options.unit_mm = SL_POINT_MM;
  options.still = TRUE;
  options.legend = legend (h);
  sl_flow_need (flow, 8 + caption_height + height);
  sl_flow_skip (flow, 8);
  sl_flow_put (flow, caption, &type, flow->left, flow->y, flow->width);
  flow->y += caption_height;
  if (sl_flow_draws (flow))
    {
      cairo_save (flow->cr);
      cairo_translate (flow->cr, flow->left, flow->y);
      sl_picture_draw (flow->cr, h->picture, &options, NULL);
      cairo_rectangle (flow->cr, 0, 0, options.width, options.height);
      sl_set_ink (flow->cr, flow->palette, SL_INK_PANEL_EDGE);
      cairo_set_line_width (flow->cr, SL_LINE_THIN);
      cairo_stroke (flow->cr);
      cairo_restore (flow->cr);
    }
  flow->y += height;
}

/* The work that lies between the two states: what of it was done, where the instrument was read again. */
static GArray *
work_between (const SlOutcome *outcome)
{
  GArray *work = g_array_new (FALSE, FALSE, sizeof (SlOperation));

  for (guint i = 0; outcome->visit != NULL && i < outcome->visit->plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (outcome->visit->plan, SlOperation, i);

      if (outcome->as_planned || operation->done != NULL)
        g_array_append_vals (work, operation, 1);
    }
  return work;
}

/* Before as what was measured, after as what a picture shows in its place: one picture of both. */
static void
make_picture (SlHandover *h)
{
  const SlOutcome *o = &h->outcome;

  h->picture = g_new0 (SlAnalysis, 1);
  sl_outcome_blend (o, o->first != NULL ? 0 : 1, h->picture);
  if (o->first == NULL)
    return;
  h->work = work_between (o);
  h->picture->set = o->first;
  h->picture->plan = h->work;
  h->picture->has_plan = !o->as_planned || o->has_plan;
  h->picture->planned = *o->after_state;
  h->picture->planned_figures = *o->after_figures;
}

/* ---- pages ---- */

static void
page_size (gconstpointer data, int page, double *width_pt, double *height_pt)
{
  const SlHandover *h = data;

  sl_paper_size (h->options.paper, width_pt, height_pt);
  *width_pt /= SL_POINT_MM;
  *height_pt /= SL_POINT_MM;
}

static SlFlow
begin_flow (const SlHandover *h, cairo_t *cr, int wanted)
{
  const double margin = MARGIN_MM / SL_POINT_MM;
  double width, height;

  page_size (h, 0, &width, &height);
  return (SlFlow){
    .cr = cr,
    .wanted = wanted,
    .left = margin,
    .top = margin,
    .width = width - 2 * margin,
    .bottom = height - margin,
    .y = margin,
    .palette = sl_palette (FALSE),
  };
}

static void
fill (const SlHandover *h, SlFlow *flow)
{
  put_head (h, flow);
  put_notice (h, flow);
  put_picture (h, flow);
  sl_handover_figures (h, flow);
  sl_handover_readings (h, flow);
  sl_handover_work (h, flow);
  sl_handover_checks (h, flow);
  sl_handover_strings (h, flow);
  sl_handover_care (h, flow);
  if (h->options.show_charges)
    sl_handover_charges (h, flow);
  sl_handover_cautions (h, flow);
}

static void
put_foot (const SlHandover *h, SlFlow *flow, int page)
{
  const SlType left = { .size = SMALL_SIZE, .ink = SL_INK_QUIET, .align = SL_ALIGN_LEFT, .most_lines = 1 };
  const SlType right = { .size = SMALL_SIZE, .ink = SL_INK_QUIET, .align = SL_ALIGN_RIGHT, .most_lines = 1 };
  g_autofree char *number = g_strdup_printf (_ ("page %d of %d"), page + 1, h->pages.n_pages);
  double width, height;

  page_size (h, page, &width, &height);
  double y = height - FOOT_MM / SL_POINT_MM - SMALL_SIZE, wide = sl_flow_natural_width (number, &right) + 1;

  flow->page = page;
  sl_flow_put (flow, h->title, &left, flow->left, y, flow->width - wide - 12);
  sl_flow_put (flow, number, &right, flow->left + flow->width - wide, y, wide);
}

static void
draw_page (gconstpointer data, cairo_t *cr, int page)
{
  const SlHandover *h = data;
  SlFlow flow = begin_flow (h, cr, page);

  fill (h, &flow);
  put_foot (h, &flow, page);
}

static int
count_pages (const SlHandover *h)
{
  SlFlow flow = begin_flow (h, NULL, -1);

  fill (h, &flow);
  return flow.page + 1;
}

/* ---- making one ---- */

static const SlVisit *
same_visit (const SlProfile *profile, const SlVisit *visit, const SlProfile *copy)
{
  for (guint i = 0; visit != NULL && i < profile->visits->len; i++)
    if (&g_array_index (profile->visits, SlVisit, i) == visit)
      return &g_array_index (copy->visits, SlVisit, i);
  return sl_profile_last_visit (copy);
}

SlHandover *
sl_handover_new (const SlProfile *profile, const SlVisit *visit, const SlHandoverOptions *options)
{
  SlHandover *h = g_new0 (SlHandover, 1);

  h->profile = sl_profile_copy (profile);
  h->options = *options;
  h->shop_name = g_strdup (options->shop_name);
  h->shop_address = g_strdup (options->shop_address);
  h->decimal = g_strdup (options->decimal);
  h->options.shop_name = h->options.shop_address = h->options.decimal = NULL;
  if (options->rewritten != NULL)
    g_hash_table_ref (options->rewritten);
  h->speech = (SlSpeech){ options->lengths, h->decimal, options->keeping };
  sl_outcome_init (&h->outcome, h->profile, same_visit (profile, visit, h->profile));
  make_picture (h);
  h->title = g_strdup_printf (_ ("Hand-over sheet: %s"), h->profile->identity.label);
  h->pages = (SlPages){ .size = page_size, .draw = draw_page, .data = h, .title = h->title, .date = sl_outcome_date (&h->outcome) };
  h->pages.n_pages = count_pages (h);
  return h;
}

void
sl_handover_free (SlHandover *handover)
{
  char *const texts[] = { handover->shop_name, handover->shop_address, handover->decimal, handover->title };

  g_free (handover->picture);
  g_clear_pointer (&handover->options.rewritten, g_hash_table_unref);
  g_clear_pointer (&handover->work, g_array_unref);
  sl_outcome_clear (&handover->outcome);
  sl_profile_free (handover->profile);
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    g_free (texts[i]);
  g_free (handover);
}

const SlPages *
sl_handover_pages (const SlHandover *handover)
{
  return &handover->pages;
}

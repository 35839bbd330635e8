/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sheet as a whole: its head, its picture, the order of its parts, its pages. */
#include "draw/paper/handover-parts.h"

#include "draw/draw.h"
#include "setup/record/photos.h"
#include "words/dates.h"

#define MARGIN_MM 15.0
#define FOOT_MM 9.0     /* from the lower edge of the paper to the foot's text */
#define SHOP_SHARE 0.42 /* of the width, for the shop's name and address */
#define TITLE_SIZE 20.0
#define SHOP_SIZE 11.0
#define SMALL_SIZE 8.5
#define NOTICE_PAD 6.0
#define PICTURE_SHARE 0.20 /* height of a drawing over what a page holds */
#define PICTURE_TEXT 0.78  /* of the text's size on screen */
#define PICTURE_GAP 8.0
#define MOST_TITLE_LINES 3
#define MOST_ADDRESS_LINES 5
#define MOST_PAGES 2
#define LEAST_SCALE 0.85 /* text of 8 points: about the smallest that is printed to be read (common practice) */

static gboolean
said (const char *text)
{
  return text != NULL && *text != '\0';
}

/* ---- head ---- */

static char *
describe (const SlIdentity *identity)
{
  char *const parts[] = { identity->maker, identity->model, identity->serial, identity->year };
  char *given[G_N_ELEMENTS (parts) + 1] = { NULL };

  for (gsize i = 0, n = 0; i < G_N_ELEMENTS (parts); i++)
    if (said (parts[i]))
      given[n++] = parts[i];
  return g_strjoinv (" · ", given);
}

static double
put_shop (const SlHandover *h, SlFlow *flow)
{
  const SlType name = { .size = SHOP_SIZE, .bold = TRUE, .ink = SL_INK_TEXT, .align = SL_ALIGN_RIGHT, .most_lines = 2 };
  const SlType address = { .size = SMALL_SIZE, .ink = SL_INK_QUIET, .align = SL_ALIGN_RIGHT, .most_lines = 2 };
  g_auto (GStrv) lines = g_strsplit (h->options.shop_address != NULL ? h->options.shop_address : "", "\n", -1);
  double width = flow->width * SHOP_SHARE, x = flow->left + flow->width - width, y = flow->y;

  if (said (h->options.shop_name))
    y += sl_flow_put (flow, h->options.shop_name, &name, x, y, width) + 1;
  for (guint i = 0; said (h->options.shop_address) && i < MIN (MOST_ADDRESS_LINES, g_strv_length (lines)); i++)
    y += sl_flow_put (flow, lines[i], &address, x, y, width);
  return y - flow->y;
}

static double
put_title (const SlHandover *h, SlFlow *flow, gboolean shop)
{
  const SlType kind = { .size = SL_HANDOVER_TEXT, .bold = TRUE, .ink = SL_INK_PLANNED };
  const SlType label = { TITLE_SIZE, TRUE, SL_INK_TEXT, SL_ALIGN_LEFT, MOST_TITLE_LINES };
  const SlType second = { SL_HANDOVER_TEXT, FALSE, SL_INK_QUIET, SL_ALIGN_LEFT, MOST_TITLE_LINES };
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
  g_autofree char *final =
      o->final != NULL ? sl_date_text (o->final->taken) : g_strdup (o->visit != NULL ? _ ("none yet") : NULL);
  const struct
  {
    const char *name, *value;
  } facts[] = { { _ ("For"), h->profile->identity.owner },
                { _ ("Received"), opened },
                { _ ("Final readings"), final },
                { _ ("Handed over"), closed } };
  const SlType name = { .size = SMALL_SIZE, .ink = SL_INK_QUIET, .align = SL_ALIGN_LEFT, .most_lines = 1 };
  const SlType value = { SL_HANDOVER_TEXT, TRUE, SL_INK_TEXT, SL_ALIGN_LEFT, 2 };
  double width = flow->width / G_N_ELEMENTS (facts), x = flow->left, height = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (facts); i++)
    {
      if (!said (facts[i].value))
        continue;
      double bottom = sl_flow_put (flow, facts[i].name, &name, x, flow->y, width - 8);

      bottom += sl_flow_put (flow, facts[i].value, &value, x, flow->y + bottom, width - 8);
      height = MAX (height, bottom);
      x += width;
    }
  flow->y += height;
}

static void
put_head (const SlHandover *h, SlFlow *flow)
{
  gboolean shop = said (h->options.shop_name) || said (h->options.shop_address);
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
  const char *text = h->outcome.has_plan ? _ ("As planned: there are no final readings yet. Figures under “as planned” "
                                              "are worked out from the work that is still to be done, not measured.")
                                         : _ ("There are no final readings yet, and nothing is planned: this sheet "
                                              "shows the instrument by its last readings.");
  double height = sl_flow_measure (text, &type, flow->width - 2 * NOTICE_PAD) + 2 * NOTICE_PAD;

  if (!h->outcome.as_planned)
    return;
  flow->y += 8;
  sl_flow_need (flow, height);
  sl_flow_frame (flow, SL_INK_CUT, flow->left, flow->width, height);
  sl_flow_put (flow, text, &type, flow->left + NOTICE_PAD, flow->y + NOTICE_PAD, flow->width - 2 * NOTICE_PAD);
  flow->y += height;
}

/* ---- picture ---- */

/* What the second drawing's dashed line stands for; the first has none, but the same room. */
static const char *
legend (const SlHandover *h, int end)
{
  if (!sl_outcome_has_change (&h->outcome))
    return NULL;
  /* Translators: of a line in a drawing */
  return end == 0 ? "" : _ ("dashed: as it was before");
}

/* Whose state a drawing shows, and when it was read. */
static char *
before_text (const SlHandover *h)
{
  g_autofree char *first = sl_date_text (h->outcome.first->taken);

  /* Translators: heads the left one of two drawings */
  return g_strdup_printf (C_ ("drawing", "Before: as read on %s"), first);
}

static char *
after_text (const SlHandover *h)
{
  const SlOutcome *o = &h->outcome;
  const SlReadingSet *last = o->visit != NULL ? sl_visit_last_set (o->visit) : NULL;
  g_autofree char *date = last != NULL ? sl_date_text (last->taken) : NULL;

  if (sl_outcome_has_change (o))
    return o->final != NULL ? g_strdup_printf (C_ ("drawing", "After: as read on %s"), date)
                            : g_strdup (C_ ("drawing", "After: as planned"));
  if (o->has_plan && o->final == NULL)
    return g_strdup (_ ("As planned"));
  return date != NULL ? g_strdup_printf (_ ("As read on %s"), date) : NULL;
}

/* Draws one end of the outcome; returns the factor heights are magnified by (@factor, 0: as it fits). */
static double
draw_end (const SlHandover *h, cairo_t *cr, int end, double width, double height, double factor)
{
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  SlPictureOptions options;
  SlPictureMap map;

  sl_picture_options_init (&options);
  options.kind = SL_PICTURE_SIDE;
  options.width = width;
  options.height = height;
  options.height_factor = factor;
  options.lengths = h->options.lengths;
  options.decimal = h->options.decimal;
  options.text_scale = PICTURE_TEXT;
  options.unit_mm = SL_POINT_MM;
  options.still = TRUE;
  options.plain = TRUE;
  options.legend = legend (h, end);
  sl_outcome_change (&h->outcome, end, analysis);
  sl_picture_map_init (&map);
  sl_picture_draw (cr, analysis, &options, &map);
  factor = map.height_factor;
  sl_picture_map_clear (&map);
  return factor;
}

/* Both drawings magnify heights alike, or they could not be compared: the smaller of what each would choose. */
static double
height_factor (const SlHandover *h, double width, double height)
{
  cairo_surface_t *nowhere = cairo_recording_surface_create (CAIRO_CONTENT_COLOR_ALPHA, NULL);
  cairo_t *cr = cairo_create (nowhere);
  double before = draw_end (h, cr, 0, width, height, 0), after = draw_end (h, cr, 1, width, height, 0);

  cairo_destroy (cr);
  cairo_surface_destroy (nowhere);
  return MIN (before, after);
}

/* One end of the outcome, its heading above it, in a frame. */
static void
put_drawing (const SlHandover *h, SlFlow *flow, int end, const char *heading, double x, double width, double height,
             double factor)
{
  const SlType type = { .size = SL_HANDOVER_TEXT, .bold = TRUE, .ink = SL_INK_TEXT, .most_lines = 1 };
  double head = sl_flow_put (flow, heading, &type, x, flow->y, width) + 2;

  if (!sl_flow_draws (flow))
    return;
  cairo_save (flow->cr);
  cairo_translate (flow->cr, x, flow->y + head);
  draw_end (h, flow->cr, end, width, height, factor);
  cairo_rectangle (flow->cr, 0, 0, width, height);
  sl_stroke (flow->cr, flow->palette, SL_INK_PANEL_EDGE, SL_LINE_THIN);
  cairo_restore (flow->cr);
}

/* Before and after side by side, or where there is but one state that one over the whole width. */
static void
put_pictures (const SlHandover *h, SlFlow *flow)
{
  const SlType type = { .size = SL_HANDOVER_TEXT, .bold = TRUE };
  const gboolean both = sl_outcome_has_change (&h->outcome);
  g_autofree char *before = both ? before_text (h) : NULL, *after = after_text (h);
  double height = (flow->bottom - flow->top) * PICTURE_SHARE,
         width = both ? (flow->width - PICTURE_GAP) / 2 : flow->width;

  if (after == NULL)
    return;
  double needed = sl_flow_measure (after, &type, flow->width) + 2 + height,
         factor = both ? height_factor (h, width, height) : 0;

  sl_flow_need (flow, PICTURE_GAP + needed);
  sl_flow_skip (flow, PICTURE_GAP);
  if (both)
    put_drawing (h, flow, 0, before, flow->left, width, height, factor);
  put_drawing (h, flow, 1, after, flow->left + flow->width - width, width, height, factor);
  flow->y += needed;
}

/* ---- pages ---- */

/* In the lengths everything on the paper is laid out by. */
static SlFlow
begin_flow (const SlHandover *h, cairo_t *cr, int wanted)
{
  const double unit_mm = SL_POINT_MM * h->tight.scale, margin = MARGIN_MM / unit_mm;
  double width, height;

  sl_paper_size (h->options.paper, &width, &height);
  return (SlFlow){
    .cr = cr,
    .wanted = wanted,
    .most_pages = MOST_PAGES,
    .left = margin,
    .top = margin,
    .width = width / unit_mm - 2 * margin,
    .bottom = height / unit_mm - margin,
    .y = margin,
    .palette = sl_palette (SL_LOOK_LIGHT),
    .most_lines = h->tight.most_lines,
  };
}

/* Whoever reads "…" should know that there is more, and where. */
static void
put_shortened (SlFlow *flow)
{
  const SlType type = { .size = SMALL_SIZE, .ink = SL_INK_QUIET };

  if (flow->n_cut == 0)
    return;
  sl_flow_skip (flow, PICTURE_GAP);
  sl_flow_paragraph (flow,
                     _ ("Shortened to fit two pages where it says “…” or “more”: the shop keeps the full text with the "
                        "instrument. Sums include everything."),
                     &type, 0);
}

/* From the flow's page on: the text, or behind it photographs on pages of their own. */
static void
fill (const SlHandover *h, SlFlow *flow)
{
  if (flow->page > 0)
    {
      sl_handover_put_photos (h, flow);
      return;
    }
  put_head (h, flow);
  put_notice (h, flow);
  put_pictures (h, flow);
  sl_handover_parts (h, flow);
  put_shortened (flow);
}

static void
put_foot (const SlHandover *h, SlFlow *flow, int page)
{
  const SlType left = { .size = SMALL_SIZE, .ink = SL_INK_QUIET, .align = SL_ALIGN_LEFT, .most_lines = 1 };
  const SlType right = { .size = SMALL_SIZE, .ink = SL_INK_QUIET, .align = SL_ALIGN_RIGHT, .most_lines = 1 };
  g_autofree char *number = g_strdup_printf (_ ("page %d of %d"), page + 1, h->pages.n_pages);
  double y = flow->bottom + (MARGIN_MM - FOOT_MM) / SL_POINT_MM / h->tight.scale - SMALL_SIZE,
         wide = sl_flow_natural_width (number, &right) + 1;

  flow->page = page;
  sl_flow_put (flow, h->title, &left, flow->left, y, flow->width - wide - 12);
  sl_flow_put (flow, number, &right, flow->left + flow->width - wide, y, wide);
}

static void
draw_page (gconstpointer data, cairo_t *cr, int page)
{
  const SlHandover *h = data;
  SlFlow flow = begin_flow (h, cr, page);

  cairo_scale (cr, h->tight.scale, h->tight.scale);
  if (h->photo_page > 0 && page >= h->photo_page)
    flow.page = h->photo_page;
  fill (h, &flow);
  put_foot (h, &flow, page);
}

/* Photographs smaller first, then all of it, then texts shorter, then tables shorter: nothing is cut that a smaller
 * type would save. Returns how many pages the text has. */
static int
fit_text (SlHandover *h, gboolean cuts)
{
  static const SlTightness all[] = {
    { 1, 0, 0, 2, 0.2 },     { 1, 0, 0, 2, 0.16 },           { 1, 0, 0, 4, 0.14 },
    { 0.92, 0, 0, 4, 0.14 }, { LEAST_SCALE, 0, 0, 4, 0.14 }, { LEAST_SCALE, 8, 0 },
    { LEAST_SCALE, 4, 0 },   { LEAST_SCALE, 2, 0 },          { LEAST_SCALE, 2, 24 },
    { LEAST_SCALE, 1, 12 },  { LEAST_SCALE, 1, 4 },
  };
  int n_pages = MOST_PAGES + 1;

  for (gsize i = 0; i < G_N_ELEMENTS (all) && n_pages > MOST_PAGES && (cuts || all[i].most_lines == 0); i++)
    {
      h->tight = all[i];
      SlFlow flow = begin_flow (h, NULL, -1);

      fill (h, &flow);
      n_pages = flow.page + 1;
    }
  return n_pages;
}

/* Photographs stand among the text where they are few and nothing has to be cut for them; else behind it. */
static int
fit_pages (SlHandover *h)
{
  g_autoptr (GPtrArray) photos = sl_handover_photos (h);
  int n_pages = MOST_PAGES + 1;

  if (photos->len <= SL_SHEET_PHOTOS)
    n_pages = fit_text (h, photos->len == 0);
  if (n_pages <= MOST_PAGES || photos->len == 0)
    return n_pages;
  h->photo_page = MOST_PAGES; /* until it is known how many the text has */
  h->photo_page = fit_text (h, TRUE);
  SlFlow flow = begin_flow (h, NULL, -1);

  flow.page = h->photo_page;
  fill (h, &flow);
  return flow.page + 1;
}

/* ---- making one ---- */

void
sl_handover_options_init (SlHandoverOptions *options)
{
  *options =
      (SlHandoverOptions){ .paper = SL_PAPER_A4, .lengths = SL_LENGTHS_MM, .decimal = ".", .shop = SL_SHOP_DEFAULT };
}

static void
handover_free (gpointer data)
{
  SlHandover *h = data;
  const char *const texts[] = { h->options.shop_name, h->options.shop_address, h->options.decimal, h->title };

  g_clear_pointer (&h->options.rewritten, g_hash_table_unref);
  g_clear_pointer (&h->options.pictures, g_hash_table_unref);
  g_clear_pointer (&h->options.measured, g_hash_table_unref);
  g_ptr_array_unref (h->care);
  sl_outcome_clear (&h->outcome);
  sl_profile_free (h->profile);
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    g_free ((gpointer) texts[i]);
  g_free (h);
}

SlPages *
sl_handover_new (const SlProfile *profile, const SlHandoverOptions *options)
{
  SlHandover *h = g_new0 (SlHandover, 1);

  h->profile = sl_profile_copy (profile);
  h->options = *options;
  h->options.shop_name = g_strdup (options->shop_name);
  h->options.shop_address = g_strdup (options->shop_address);
  h->options.decimal = g_strdup (options->decimal);
  if (options->rewritten != NULL)
    g_hash_table_ref (options->rewritten);
  if (options->pictures != NULL)
    g_hash_table_ref (options->pictures);
  if (options->measured != NULL)
    g_hash_table_ref (options->measured);
  h->speech = (SlSpeech){ { options->lengths, h->options.decimal }, options->keeping };
  sl_outcome_init (&h->outcome, h->profile, NULL, &options->shop);
  h->title = g_strdup_printf (_ ("Hand-over sheet: %s"), h->profile->identity.label);
  h->pages = (SlPages){ .paper = options->paper,
                        .draw = draw_page,
                        .data = h,
                        .free = handover_free,
                        .title = h->title,
                        .date = sl_outcome_date (&h->outcome) };
  h->care = sl_explain_care (&h->outcome, &h->speech);
  h->pages.n_pages = h->pages.n_upright = fit_pages (h);
  return &h->pages;
}

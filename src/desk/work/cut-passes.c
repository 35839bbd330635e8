/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/parts.h"

#include "desk/kit/kit.h"
#include "words/effect.h"

/* Drawing sizes in the bar's units. */
#define BAR_HEIGHT 6.0
#define WHISKER_HEIGHT 10.0
#define HATCH_PITCH 4.0
#define LINE_WIDTH 1.0
#define TRACK_ALPHA 0.15f

/* One end of the cut, or one string's, mm. */
typedef struct
{
  double cut, u, first_pass;
} End;

typedef struct
{
  SlBench *bench; /* kept by the box */
  SlOperationKind kind;
  GtkWidget *bars[2], *line, *label; /* the bass first */
  End ends[2];
  double span; /* of both bars, mm */
} CutPasses;

/* ---- the bars ---- */

static void
hatch (cairo_t *cr, double x0, double x1, double top)
{
  cairo_save (cr);
  cairo_rectangle (cr, x0, top, x1 - x0, BAR_HEIGHT);
  cairo_stroke_preserve (cr);
  cairo_clip (cr);
  for (double x = x0 - BAR_HEIGHT; x < x1; x += HATCH_PITCH)
    {
      cairo_move_to (cr, x, top + BAR_HEIGHT);
      cairo_line_to (cr, x + BAR_HEIGHT, top);
    }
  cairo_stroke (cr);
  cairo_restore (cr);
}

static void
whisker (cairo_t *cr, double x0, double x1, double middle)
{
  cairo_move_to (cr, x0, middle);
  cairo_line_to (cr, x1, middle);
  cairo_move_to (cr, x0, middle - WHISKER_HEIGHT / 2);
  cairo_line_to (cr, x0, middle + WHISKER_HEIGHT / 2);
  cairo_move_to (cr, x1, middle - WHISKER_HEIGHT / 2);
  cairo_line_to (cr, x1, middle + WHISKER_HEIGHT / 2);
  cairo_stroke (cr);
}

static void
draw_bar (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  CutPasses *self = data;
  const End *end = &self->ends[GTK_WIDGET (area) == self->bars[1]];
  const double per_mm = self->span > 0 ? width / self->span : 0, top = (height - BAR_HEIGHT) / 2;
  GdkRGBA ink;

  gtk_style_context_get_color (gtk_widget_get_style_context (GTK_WIDGET (area)), &ink);
  cairo_set_source_rgba (cr, ink.red, ink.green, ink.blue, TRACK_ALPHA);
  cairo_rectangle (cr, 0, top, width, BAR_HEIGHT);
  cairo_fill (cr);
  gdk_cairo_set_source_rgba (cr, &ink);
  cairo_set_line_width (cr, LINE_WIDTH);
  cairo_rectangle (cr, 0, top, end->first_pass * per_mm, BAR_HEIGHT);
  cairo_fill (cr);
  if (end->cut > end->first_pass)
    hatch (cr, end->first_pass * per_mm, MIN (width, end->cut * per_mm), top);
  if (end->cut > 0)
    whisker (cr, MAX (LINE_WIDTH, (end->cut - end->u) * per_mm), MIN (width - LINE_WIDTH, (end->cut + end->u) * per_mm),
             height / 2.0);
}

/* ---- in words ---- */

static void
on_done (const CutPasses *self)
{
  sl_edit_first_pass_done (self->bench, self->kind);
}

/* What of the plan is shown. */
typedef struct
{
  gboolean any;     /* there is some to do that has a first pass */
  gboolean safe;    /* something of it may come off at once */
  gboolean whole;   /* all of it may */
  gboolean bars[2]; /* which bars there are */
  End ends[2];      /* what they show */
  GString *strings; /* "6 0.05, 5 0.04": first passes string by string */
} Shown;

static void
take_in (Shown *out, const SlOperation *operation, const SlPass *pass, int string, const SlTextStyle *style)
{
  const gboolean base = operation->kind == SL_OP_CUT_SADDLE_BASE;
  const double amount = sl_number_or (operation->amount, 0), treble = sl_number_or (operation->amount_treble, 0);

  if (isnan (pass->pass) || (amount <= 0 && treble <= 0))
    return;
  out->any = TRUE;
  out->safe = out->safe || pass->pass > 0 || (base && pass->pass_treble > 0);
  out->whole = out->whole && pass->pass > amount - SL_LEAST_STEP_MM / 2 &&
               (!base || pass->pass_treble > treble - SL_LEAST_STEP_MM / 2);
  if (base || operation->string == string)
    {
      out->bars[0] = TRUE;
      out->bars[1] = base;
      out->ends[0] = (End){ amount, SL_COVERAGE * pass->u, pass->pass };
      out->ends[1] = base ? (End){ treble, SL_COVERAGE * pass->u_treble, pass->pass_treble } : (End){ 0 };
    }
  if (!base && pass->pass > 0)
    {
      g_autofree char *length = sl_text_fine (style, pass->pass);

      g_string_append_printf (out->strings, out->strings->len == 0 ? _ ("string %d by %s") : _ (", %d by %s"),
                              operation->string, length);
    }
}

static char *
words_of (const CutPasses *self, const Shown *shown, const SlTextStyle *style)
{
  const End *e = shown->ends;
  g_autofree char *bass = sl_text_fine (style, e[0].first_pass), *treble = sl_text_fine (style, e[1].first_pass);
  const char *no_bass = sl_no_pass_text (e[0].first_pass, e[0].cut),
             *no_treble = sl_no_pass_text (e[1].first_pass, e[1].cut);
  g_autofree char *left = sl_text_fine (style, e[0].cut - e[0].first_pass),
                  *left_treble = sl_text_fine (style, e[1].cut - e[1].first_pass);

  if (shown->whole)
    return g_strdup (_ ("all of it at once, then read again"));
  if (self->kind == SL_OP_CUT_SADDLE_BASE)
    return g_strdup_printf (_ ("first pass %s / %s, then read again; %s / %s is left"),
                            no_bass != NULL ? no_bass : bass, no_treble != NULL ? no_treble : treble, left,
                            left_treble);
  /* Translators: "first pass: string 6 by 0.05, 5 by 0.04; then read again" */
  return g_strdup_printf (_ ("first pass: %s; then read again"), shown->strings->str);
}

static void
show_bars (CutPasses *self, const Shown *shown, int string, const SlTextStyle *style)
{
  const double span = MAX (shown->ends[0].cut + shown->ends[0].u, shown->ends[1].cut + shown->ends[1].u);

  for (int i = 0; i < 2; i++)
    {
      const End *end = &shown->ends[i];
      g_autofree char *pass = sl_text_fine (style, end->first_pass), *u = sl_text_fine (style, end->u), *text = NULL;

      gtk_widget_set_visible (self->bars[i], shown->bars[i]);
      if (!shown->bars[i])
        continue;
      if (self->kind != SL_OP_CUT_SADDLE_BASE)
        text =
            g_strdup_printf (_ ("String %d: first pass %s of the cut, whose end is uncertain by ±%s"), string, pass, u);
      else
        text = g_strdup_printf (i == 0 ? _ ("Bass side: first pass %s of the cut, whose end is uncertain by ±%s")
                                       : _ ("Treble side: first pass %s of the cut, whose end is uncertain by ±%s"),
                                pass, u);
      if (g_strcmp0 (gtk_widget_get_tooltip_text (self->bars[i]), text) != 0)
        sl_name_with_tip (self->bars[i], "%s", text);
      if (self->span != span || memcmp (&self->ends[i], end, sizeof *end) != 0)
        gtk_widget_queue_draw (self->bars[i]);
      self->ends[i] = *end;
    }
  self->span = span;
}

void
sl_cut_passes_update (GtkWidget *box, int string)
{
  CutPasses *self = g_object_get_data (G_OBJECT (box), "own");
  const SlTextStyle style = sl_bench_text_style (self->bench);
  const SlVisit *visit = sl_bench_get_visit (self->bench);
  const SlPass *passes = sl_bench_get_passes (self->bench);
  g_autoptr (GString) strings = g_string_new (NULL);
  Shown shown = { .whole = TRUE, .strings = strings };

  /* from the bass */
  for (guint i = visit == NULL ? 0 : visit->plan->len; i-- > 0;)
    {
      const SlOperation *operation = &g_array_index (visit->plan, SlOperation, i);

      if (operation->kind == self->kind && operation->done == NULL)
        take_in (&shown, operation, &passes[i], string, &style);
    }
  gtk_widget_set_visible (box, shown.any);
  gtk_widget_set_visible (self->line, shown.safe);
  if (!shown.any)
    return;
  show_bars (self, &shown, string, &style);
  if (!shown.safe)
    return; /* what keeps it is said beside it */
  g_autofree char *text = words_of (self, &shown, &style);

  sl_label_set (self->label, text);
}

GtkWidget *
sl_cut_passes_new (SlBench *bench, SlOperationKind kind)
{
  CutPasses *self = g_new0 (CutPasses, 1);
  GtkWidget *done, *box = sl_built_new ("work.ui", "passes", "bass", &self->bars[0], "treble", &self->bars[1], "line",
                                        &self->line, "words", &self->label, "done", &done, NULL);

  g_object_set_data_full (G_OBJECT (box), "own", self, g_free);
  self->bench = sl_keep (box, bench);
  self->kind = kind;
  for (int i = 0; i < 2; i++)
    gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (self->bars[i]), draw_bar, self, NULL);
  g_signal_connect_swapped (done, "clicked", G_CALLBACK (on_done), self);
  return box;
}

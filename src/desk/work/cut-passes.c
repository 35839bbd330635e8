/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/cut-passes.h"
#include "desk/kit/util.h"

#include "words/effect.h"
#include "words/proposal.h"

#include <glib/gi18n-lib.h>

#define SPACING 2
#define LINE_SPACING 6

/* Drawing sizes in the bar's units. */
#define BAR_HEIGHT 6.0
#define WHISKER_HEIGHT 10.0
#define LEAST_WIDTH 60
#define HATCH_PITCH 4.0
#define LINE_WIDTH 1.0
#define TRACK_ALPHA 0.15f

/* One end of the cut, mm. */
typedef struct
{
  double cut, u, first_pass;
} End;

struct _SlCutPasses
{
  GtkBox parent_instance;

  GtkWidget *bars[2], *label, *done; /* children; the bass first */
  SlBench *bench;                    /* owned */
  End ends[2];
  double span; /* of both bars, mm */
};

G_DEFINE_FINAL_TYPE (SlCutPasses, sl_cut_passes, GTK_TYPE_BOX)

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
  SlCutPasses *self = data;
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

static GtkWidget *
bar_new (SlCutPasses *self)
{
  GtkWidget *bar = /* named in show_bar() */
      g_object_new (GTK_TYPE_DRAWING_AREA, "css-name", "passbar", "accessible-role", GTK_ACCESSIBLE_ROLE_IMG,
                    "content-width", LEAST_WIDTH, "content-height", (int) WHISKER_HEIGHT + 2, "hexpand", TRUE, NULL);

  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (bar), draw_bar, self, NULL);
  return bar;
}

static void
show_bar (SlCutPasses *self, int i, End end, double span, const char *description)
{
  if (g_strcmp0 (gtk_widget_get_tooltip_text (self->bars[i]), description) != 0)
    sl_name_with_tip (self->bars[i], description);
  if (self->span != span || memcmp (&self->ends[i], &end, sizeof end) != 0)
    gtk_widget_queue_draw (self->bars[i]);
  self->ends[i] = end;
}

/* ---- in words ---- */

static void
on_done (SlCutPasses *self)
{
  sl_edit_first_pass_done (self->bench, self->ends[0].first_pass, self->ends[1].first_pass);
}

void
sl_cut_passes_update (SlCutPasses *self, const GArray *plan)
{
  const SlTextStyle style = sl_bench_text_style (self->bench);
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  SlCutPass pass;
  const gboolean shown = sl_cut_pass (analysis, plan, &pass);
  const gboolean safe = shown && (pass.first_pass_bass > 0 || pass.first_pass_treble > 0);
  const double span = MAX (pass.bass + pass.bass_u, pass.treble + pass.treble_u);

  gtk_widget_set_visible (GTK_WIDGET (self), shown);
  if (!shown)
    return;
  g_autofree char *bass = sl_text_fine (&style, pass.first_pass_bass),
                  *treble = sl_text_fine (&style, pass.first_pass_treble);
  g_autofree char *u = sl_text_fine (&style, pass.bass_u), *u_treble = sl_text_fine (&style, pass.treble_u);
  g_autofree char *left = sl_text_fine (&style, pass.bass - pass.first_pass_bass),
                  *left_treble = sl_text_fine (&style, pass.treble - pass.first_pass_treble);
  g_autofree char *text =
      safe           ? g_strdup_printf (_ ("first pass %s / %s, then read again; %s / %s is left"), bass, treble, left,
                                        left_treble)
      : pass.blocked ? g_strdup (pass.blocked)
                     : g_strdup_printf (_ ("no safe first pass: the cut is within its ±%s / ±%s"), u, u_treble);
  g_autofree char *bass_text =
      g_strdup_printf (_ ("Bass side: first pass %s of the cut, whose end is uncertain by ±%s"), bass, u);
  g_autofree char *treble_text =
      g_strdup_printf (_ ("Treble side: first pass %s of the cut, whose end is uncertain by ±%s"), treble, u_treble);

  sl_label_set (self->label, text);
  gtk_widget_set_visible (self->done, safe);
  show_bar (self, 0, (End){ pass.bass, pass.bass_u, pass.first_pass_bass }, span, bass_text);
  show_bar (self, 1, (End){ pass.treble, pass.treble_u, pass.first_pass_treble }, span, treble_text);
  self->span = span;
}

static void
sl_cut_passes_class_init (SlCutPassesClass *class)
{
}

static void
sl_cut_passes_init (SlCutPasses *self)
{
  /* no box: that one looks for the least width at which a wrapped text keeps its height, at every step of a slider */
  GtkWidget *line = gtk_grid_new (), *end = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  g_object_set (self, "orientation", GTK_ORIENTATION_VERTICAL, "spacing", SPACING, NULL);
  self->bars[0] = bar_new (self);
  self->bars[1] = bar_new (self);
  self->label = sl_text_new (NULL);
  gtk_label_set_wrap_mode (GTK_LABEL (self->label), PANGO_WRAP_WORD_CHAR);
  gtk_widget_add_css_class (self->label, "sl-more");
  gtk_widget_set_hexpand (self->label, TRUE);
  self->done = sl_button_add (end, _ ("First pass done"), _ ("Ticks off the first pass and leaves the rest planned"),
                              G_CALLBACK (on_done), self);
  sl_add_classes (self->done, "sl-link", "sl-more");
  gtk_grid_set_column_spacing (GTK_GRID (line), LINE_SPACING);
  gtk_grid_attach (GTK_GRID (line), self->label, 0, 0, 1, 1);
  gtk_grid_attach (GTK_GRID (line), end, 1, 0, 1, 1);
  sl_box_add (GTK_WIDGET (self), self->bars[0], self->bars[1], line, NULL);
}

GtkWidget *
sl_cut_passes_new (SlBench *bench)
{
  SlCutPasses *self = g_object_new (SL_TYPE_CUT_PASSES, NULL);

  self->bench = sl_keep (self, bench);
  return GTK_WIDGET (self);
}

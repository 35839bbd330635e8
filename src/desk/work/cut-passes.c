/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/cut-passes.h"
#include "desk/kit/util.h"

#include "words/effect.h"
#include "bench/operation-edit.h"
#include "desk/work/pass-bar.h"

#include <glib/gi18n-lib.h>

#define SPACING 2
#define LINE_SPACING 6

struct _SlCutPasses
{
  GtkBox parent_instance;

  GtkWidget *bass, *treble, *label, *done; /* children */
  SlBench *bench;                          /* owned */
};

G_DEFINE_FINAL_TYPE (SlCutPasses, sl_cut_passes, GTK_TYPE_BOX)

static gboolean
cut_pass (SlCutPasses *self, SlCutPass *out)
{
  const SlVisit *visit = sl_bench_get_visit (self->bench);

  return sl_cut_pass (sl_bench_get_analysis (self->bench), visit == NULL ? NULL : visit->plan, out);
}

static void
on_done (SlCutPasses *self)
{
  SlCutPass pass;

  if (cut_pass (self, &pass))
    sl_edit_first_pass_done (self->bench, pass.first_pass_bass, pass.first_pass_treble);
}

void
sl_cut_passes_update (SlCutPasses *self)
{
  const SlTextStyle whole = sl_bench_text_style (self->bench), *style = &whole;
  SlCutPass pass;
  g_autofree char *bass = NULL, *treble = NULL, *text = NULL, *bass_text = NULL, *treble_text = NULL, *u = NULL,
                  *u_treble = NULL;
  double span;

  if (!cut_pass (self, &pass))
    {
      gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
      return;
    }
  bass = sl_text_fine (style, pass.first_pass_bass);
  treble = sl_text_fine (style, pass.first_pass_treble);
  u = sl_text_fine (style, pass.bass_u);
  u_treble = sl_text_fine (style, pass.treble_u);
  if (pass.first_pass_bass > 0 || pass.first_pass_treble > 0)
    {
      g_autofree char *left = sl_text_fine (style, pass.bass - pass.first_pass_bass),
                      *left_treble = sl_text_fine (style, pass.treble - pass.first_pass_treble);

      text =
          g_strdup_printf (_ ("first pass %s / %s, then read again; %s / %s is left"), bass, treble, left, left_treble);
    }
  else if (pass.blocked)
    text = g_strdup (sl_cutting_blocked (&sl_bench_get_analysis (self->bench)->fit));
  else
    text = g_strdup_printf (_ ("no safe first pass: the cut is within its ±%s / ±%s"), u, u_treble);
  if (g_strcmp0 (gtk_label_get_text (GTK_LABEL (self->label)), text) != 0)
    gtk_label_set_text (GTK_LABEL (self->label), text);
  gtk_widget_set_visible (self->done, pass.first_pass_bass > 0 || pass.first_pass_treble > 0);
  bass_text = g_strdup_printf (_ ("Bass side: first pass %s of the cut, whose end is uncertain by ±%s"), bass, u);
  treble_text =
      g_strdup_printf (_ ("Treble side: first pass %s of the cut, whose end is uncertain by ±%s"), treble, u_treble);
  span = MAX (pass.bass + pass.bass_u, pass.treble + pass.treble_u);
  sl_pass_bar_set (SL_PASS_BAR (self->bass), span, pass.bass, pass.bass_u, pass.first_pass_bass, bass_text);
  sl_pass_bar_set (SL_PASS_BAR (self->treble), span, pass.treble, pass.treble_u, pass.first_pass_treble, treble_text);
  gtk_widget_set_visible (GTK_WIDGET (self), TRUE);
}

static void
sl_cut_passes_class_init (SlCutPassesClass *class)
{
}

static void
sl_cut_passes_init (SlCutPasses *self)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, LINE_SPACING);

  g_object_set (self, "orientation", GTK_ORIENTATION_VERTICAL, "spacing", SPACING, NULL);
  self->bass = sl_pass_bar_new ();
  self->treble = sl_pass_bar_new ();
  self->label = sl_text_add (line, NULL, "sl-more");
  gtk_widget_set_hexpand (self->label, TRUE);
  self->done = sl_button_add (line, _ ("First pass done"), _ ("Ticks off the first pass and leaves the rest planned"),
                              G_CALLBACK (on_done), self);
  sl_add_classes (self->done, "sl-link", "sl-more");
  gtk_box_append (GTK_BOX (self), self->bass);
  gtk_box_append (GTK_BOX (self), self->treble);
  gtk_box_append (GTK_BOX (self), line);
}

GtkWidget *
sl_cut_passes_new (SlBench *bench)
{
  SlCutPasses *self = g_object_new (SL_TYPE_CUT_PASSES, NULL);

  self->bench = sl_keep (self, bench);
  return GTK_WIDGET (self);
}

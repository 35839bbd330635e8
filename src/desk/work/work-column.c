/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/work-column.h"

#include "words/caution.h"
#include "words/effect.h"
#include "words/proposal.h"
#include "desk/work/results-table.h"
#include "desk/kit/util.h"
#include "desk/work/work-card.h"

#include <glib/gi18n-lib.h>

#include <math.h>

/* One line of a notice. Said outright because a wrapping label's own height comes out a pixel apart when asked with and
 * without a width, which GTK complains of. */
#define NOTICE_LEAST_HEIGHT 20

#define SL_TYPE_WORK_COLUMN (sl_work_column_get_type ())
G_DECLARE_FINAL_TYPE (SlWorkColumn, sl_work_column, SL, WORK_COLUMN, GtkBox)

#define LEAST_PART_HEIGHT 150
#define CARDS_SHARE 0.6 /* of the height to share out */

#define N_CARDS SL_OP_REPLACE_FRETS /* kinds of work that have a card */

struct _SlWorkColumn
{
  GtkBox parent_instance;

  /* owned widgets */
  GtkWidget *notices;
  GtkWidget *cards[N_CARDS];

  /* owned */
  SlBench *bench;
  char *shown_notices; /* what the notices say, to build them again only when that changes */
};

G_DEFINE_FINAL_TYPE (SlWorkColumn, sl_work_column, GTK_TYPE_BOX)

static void
add_notice (SlWorkColumn *self, const char *icon_name, const char *css_class, const char *text)
{
  GtkWidget *notice = g_object_new (GTK_TYPE_BOX, "spacing", 8, "accessible-role", GTK_ACCESSIBLE_ROLE_STATUS, NULL);
  GtkWidget *icon = gtk_image_new_from_icon_name (icon_name), *label;

  gtk_widget_set_valign (icon, GTK_ALIGN_START);
  sl_set_accessible_label (icon,
                           g_str_equal (css_class, "sl-doubt") ? C_ ("icon", "read again") : C_ ("icon", "warning"));
  gtk_box_append (GTK_BOX (notice), icon);
  label = sl_text_add (notice, text, NULL);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_widget_set_size_request (label, -1, NOTICE_LEAST_HEIGHT);
  sl_add_classes (notice, "sl-notice", css_class);
  sl_set_accessible_label (notice, text);
  gtk_box_append (GTK_BOX (self->notices), notice);
}

static void
show_notices (SlWorkColumn *self)
{
  const SlProposal *proposal = sl_bench_get_proposal (self->bench);
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlTextStyle style = sl_bench_text_style (self->bench);
  g_autoptr (GString) all = g_string_new (analysis->fit.singular ? "singular\n" : "");
  g_autoptr (GPtrArray) texts = g_ptr_array_new_with_free_func (g_free);

  for (guint i = 0; i < proposal->findings->len; i++)
    {
      g_ptr_array_add (texts, sl_finding_text (analysis, &g_array_index (proposal->findings, SlFinding, i), &style));
      g_string_append_printf (all, "%s\n", (char *) texts->pdata[i]);
    }
  if (g_strcmp0 (all->str, self->shown_notices) == 0)
    return;
  sl_empty_box (self->notices);
  if (analysis->fit.singular)
    add_notice (self, "dialog-warning-symbolic", "sl-warn",
                _ ("The readings leave something undetermined: figures that rest on it can't be trusted."));
  for (guint i = 0; i < proposal->findings->len; i++)
    {
      const gboolean suspect = g_array_index (proposal->findings, SlFinding, i).kind == SL_FINDING_SUSPECT;

      add_notice (self, suspect ? "dialog-question-symbolic" : "dialog-warning-symbolic",
                  suspect ? "sl-doubt" : "sl-warn", texts->pdata[i]);
    }
  gtk_widget_set_visible (self->notices, all->len > 0);
  g_free (self->shown_notices);
  self->shown_notices = g_strdup (all->str);
}

static gboolean
makes_dust (const SlInstrument *instrument, SlOperationKind kind)
{
  return (sl_operation_cautions (instrument, kind) & 1u << SL_CAUTION_DUST) != 0;
}

/* Screws take the place of the cut: its card is there only where a plan has one anyway. */
static gboolean
card_applies (SlWorkColumn *self, SlOperationKind kind, const SlOpCount *count)
{
  const SlInstrument *instrument = &sl_bench_get_analysis (self->bench)->instrument;

  return kind != SL_OP_CUT_SADDLE_BASE || isnan (instrument->height_screw_pitch) ||
         count->n_pending + count->n_done > 0;
}

static void
update (SlWorkColumn *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlVisit *visit = sl_bench_get_visit (self->bench);
  gboolean dust_said = FALSE;
  int number = 0;

  if (analysis->instrument.n_strings < 1)
    return;
  show_notices (self);
  for (int kind = 0; kind < N_CARDS; kind++)
    {
      SlOpCount count = sl_count_operations (visit == NULL ? NULL : visit->plan, (SlOperationKind) kind);
      gboolean applies = card_applies (self, (SlOperationKind) kind, &count);
      gboolean dust = makes_dust (&analysis->instrument, (SlOperationKind) kind);
      gboolean caution = kind == SL_OP_TURN_ROD || (dust && !dust_said);

      gtk_widget_set_visible (self->cards[kind], applies);
      if (!applies)
        continue;
      sl_work_card_update (SL_WORK_CARD (self->cards[kind]), ++number, caution);
      dust_said = dust_said || (dust && count.n_pending > 0);
    }
}

static void
sl_work_column_finalize (GObject *object)
{
  SlWorkColumn *self = SL_WORK_COLUMN (object);

  g_free (self->shown_notices);
  G_OBJECT_CLASS (sl_work_column_parent_class)->finalize (object);
}

static void
sl_work_column_class_init (SlWorkColumnClass *class)
{
  G_OBJECT_CLASS (class)->finalize = sl_work_column_finalize;
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (class), GTK_ACCESSIBLE_ROLE_REGION);
}

static void
sl_work_column_init (SlWorkColumn *self)
{
  g_object_set (self, "orientation", GTK_ORIENTATION_VERTICAL, "spacing", 8, NULL);
  gtk_widget_add_css_class (GTK_WIDGET (self), "sl-work-column");
  sl_set_accessible_label (GTK_WIDGET (self), _ ("Work"));
}

/* The cards get the larger share, once it is known of how much. */
static void
on_height_known (GtkPaned *paned, GParamSpec *pspec, gpointer data)
{
  int least, most;

  g_object_get (paned, "min-position", &least, "max-position", &most, NULL);
  if (most <= least || most == G_MAXINT)
    return;
  g_signal_handlers_disconnect_by_func (paned, on_height_known, data);
  gtk_paned_set_position (paned, least + (int) ((most - least) * CARDS_SHARE));
}

GtkWidget *
sl_work_column_new (SlBench *bench)
{
  SlWorkColumn *self = g_object_new (SL_TYPE_WORK_COLUMN, NULL);
  GtkWidget *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6), *steps = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8);
  GtkWidget *propose, *above, *below, *paned;

  self->bench = sl_keep (self, bench);
  gtk_widget_set_hexpand (sl_label_add (head, _ ("Work"), "sl-heading"), TRUE);
  propose =
      sl_button_add (head, _ ("Propose from targets"),
                     _ ("Plan the work that brings the readings to their targets, in place of what is not yet done"),
                     G_CALLBACK (sl_bench_propose_plan), bench);
  gtk_widget_add_css_class (propose, "sl-link");
  self->notices = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  gtk_widget_set_visible (self->notices, FALSE);
  gtk_box_append (GTK_BOX (steps), self->notices);
  for (int kind = 0; kind < N_CARDS; kind++)
    {
      self->cards[kind] = sl_work_card_new (bench, (SlOperationKind) kind);
      gtk_box_append (GTK_BOX (steps), self->cards[kind]);
    }
  /* What the work does stays in sight whichever card is worked on. */
  above = sl_scrolled_new (steps, _ ("Work"));
  below = sl_scrolled_new (sl_results_table_new (bench), _ ("What it does"));
  gtk_widget_set_size_request (above, -1, LEAST_PART_HEIGHT);
  gtk_widget_set_size_request (below, -1, LEAST_PART_HEIGHT);
  paned = g_object_new (GTK_TYPE_PANED, "orientation", GTK_ORIENTATION_VERTICAL, "start-child", above, "end-child",
                        below, "shrink-start-child", FALSE, "shrink-end-child", FALSE, "vexpand", TRUE, NULL);
  sl_name_paned (paned, _ ("Work and what it does"));
  g_signal_connect (paned, "notify::max-position", G_CALLBACK (on_height_known), NULL);
  sl_box_add (GTK_WIDGET (self), head, paned, NULL);
  sl_bench_follow (bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS | SL_CHANGED_STRING, G_CALLBACK (update), self);
  update (self);
  return GTK_WIDGET (self);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/work-column.h"

#include "words/caution.h"
#include "words/effect.h"
#include "words/proposal.h"
#include "desk/kit/kit.h"
#include "desk/work/parts.h"
#include "desk/work/work-card.h"

#define LEAST_PART_HEIGHT 150
#define CARDS_SHARE 0.6 /* of the height to share out */

/* Kinds of work that have a card, in the order of work; what is to be dealt with stands before the card it concerns, or
 * after all. */
static const SlOperationKind order[] = { SL_OP_REPLACE_FRETS,   SL_OP_LEVEL_FRETS,    SL_OP_FIT_STRINGS,
                                         SL_OP_TURN_ROD,        SL_OP_SET_NECK_ANGLE, SL_OP_MOVE_SADDLE,
                                         SL_OP_MAKE_NUT,        SL_OP_LOWER_SLOT,     SL_OP_MAKE_SADDLE,
                                         SL_OP_CUT_SADDLE_BASE, SL_OP_SHAPE_CREST,    SL_OP_SHIFT_BRIDGE,
                                         SL_OP_MOVE_CREST };
#define N_CARDS G_N_ELEMENTS (order)

/* What the work does stays in sight whichever card is worked on; the first notices are above all cards. */
typedef struct
{
  SlBench *bench;

  GtkWidget *column, *propose, *paned, *above, *steps, *first, *below; /* bound in this order */
  GtkWidget *notices[N_CARDS + 1];                                     /* before each card, and after all */
  GtkWidget *cards[N_CARDS];                                           /* NULL until it first applies */
  GtkWidget *bench_steps;

  /* owned */
  char *shown_notices; /* what the notices say, to build them again only when that changes */
  char *air; /* what is said of the air, which an instrument's whole history is worked out for: NULL until said */
} WorkColumn;

/* What is said in a notice, and how it looks. */
typedef enum
{
  NOTICE_WARN,
  NOTICE_DOUBT,
  NOTICE_GOOD
} NoticeKind;

/* One click, one step of undo; what is proposed then has the finding no more. */
static void
on_offer (GtkWidget *button)
{
  WorkColumn *self = sl_part_of (button);
  const GArray *findings = sl_bench_get_proposal (self->bench)->findings;
  const guint i = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "finding"));
  SlOperation offer;

  if (i < findings->len &&
      sl_finding_offer (sl_bench_get_analysis (self->bench), &g_array_index (findings, SlFinding, i), &offer))
    {
      sl_bench_put_operation (self->bench, sl_operation_undo_name (offer.kind), offer);
      sl_operation_clear (&offer);
    }
}

/* The button that plans what would meet the finding, where one step does. */
static void
show_offer (WorkColumn *self, GtkWidget *button, GtkWidget *label, guint finding)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlTextStyle style = sl_bench_text_style (self->bench);
  SlOperation offer;
  g_autofree char *amount = NULL, *text = NULL;

  if (!sl_finding_offer (analysis, &g_array_index (sl_bench_get_proposal (self->bench)->findings, SlFinding, finding),
                         &offer))
    return;
  amount = sl_operation_amount (&analysis->instrument, &offer, &style);
  /* Translators: the title of an operation and its amount, on a button: "Add to the plan: Neck angle, −2.10" */
  text = g_strdup_printf (_ ("Add to the plan: %s, %s"), sl_operation_title (offer.kind), amount);
  gtk_label_set_text (GTK_LABEL (label), text);
  sl_set_accessible_label (button, text);
  gtk_widget_set_visible (button, TRUE);
  g_object_set_data (G_OBJECT (button), "finding", GUINT_TO_POINTER (finding));
  g_signal_connect (button, "clicked", G_CALLBACK (on_offer), NULL);
  sl_operation_clear (&offer);
}

/* @finding: its place in what is proposed; −1: it is none. */
static void
add_notice (WorkColumn *self, GtkWidget *box, NoticeKind kind, const char *text, int finding)
{
  static const char *const icons[] = { "dialog-warning-symbolic", "dialog-question-symbolic", "emblem-ok-symbolic" };
  static const char *const classes[] = { "sl-warn", "sl-doubt", "sl-good" };
  static const char *const names[] = { NC_ ("icon", "warning"), NC_ ("icon", "read again"), NC_ ("icon", "in order") };
  GtkWidget *icon, *said, *offer, *offered,
      *notice =
          sl_built_new ("work.ui", "notice", "icon", &icon, "said", &said, "offer", &offer, "offered", &offered, NULL);

  gtk_image_set_from_icon_name (GTK_IMAGE (icon), icons[kind]);
  sl_set_accessible_label (icon, g_dpgettext2 (GETTEXT_PACKAGE, "icon", names[kind]));
  gtk_label_set_text (GTK_LABEL (said), text);
  gtk_widget_add_css_class (notice, classes[kind]);
  sl_set_accessible_label (notice, text);
  if (finding >= 0)
    show_offer (self, offer, offered, (guint) finding);
  gtk_box_append (GTK_BOX (box), notice);
}

/* Where a finding stands: above the card of the step it is to be dealt with before. */
static GtkWidget *
place_of (WorkColumn *self, const SlProposal *proposal, const SlFinding *finding)
{
  guint card = 0;

  if (finding->before == 0 || finding->before >= proposal->steps->len)
    return finding->before == 0 ? self->first : self->notices[N_CARDS];
  while (card < N_CARDS && order[card] != g_array_index (proposal->steps, SlStep, finding->before).operation.kind)
    card++;
  return card < N_CARDS ? self->notices[card] : self->first;
}

static gboolean
has_pending (const SlVisit *visit)
{
  for (guint i = 0; visit != NULL && i < visit->plan->len; i++)
    if (g_array_index (visit->plan, SlOperation, i).done == NULL)
      return TRUE;
  return FALSE;
}

static void
fill_notices (WorkColumn *self, const SlProposal *proposal, const GPtrArray *texts, gboolean singular, gboolean unread,
              const char *nothing)
{
  sl_empty_box (self->first);
  for (guint i = 0; i <= N_CARDS; i++)
    sl_empty_box (self->notices[i]);
  if (singular)
    add_notice (self, self->first, NOTICE_WARN,
                _ ("The readings leave something undetermined: figures that rest on it can't be trusted."), -1);
  if (unread)
    add_notice (self, self->first, NOTICE_DOUBT, _ ("Nothing is read yet: every figure here is assumed."), -1);
  if (nothing != NULL)
    add_notice (self, self->first, NOTICE_GOOD, nothing, -1);
  for (guint i = 0, said = 0; i < proposal->findings->len; i += sl_findings_alike (proposal, i))
    {
      const SlFinding *finding = &g_array_index (proposal->findings, SlFinding, i);

      add_notice (self, place_of (self, proposal, finding),
                  finding->kind == SL_FINDING_SUSPECT ? NOTICE_DOUBT : NOTICE_WARN, texts->pdata[said++], (int) i);
    }
  gtk_widget_set_visible (self->first, gtk_widget_get_first_child (self->first) != NULL);
  for (guint i = 0; i <= N_CARDS; i++)
    gtk_widget_set_visible (self->notices[i], gtk_widget_get_first_child (self->notices[i]) != NULL);
}

/* Planned work changes nothing of the air. */
static void
forget_air (GtkWidget *column)
{
  g_clear_pointer (&((WorkColumn *) sl_part_of (column))->air, g_free);
}

/* Of the proposal's findings, @n from @first on, alike but for the string. */
static char *
say (WorkColumn *self, const SlProposal *proposal, guint first, guint n)
{
  const SlFinding *finding = &g_array_index (proposal->findings, SlFinding, first);
  const SlTextStyle style = sl_bench_text_style (self->bench);
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const gboolean again = finding->kind == SL_FINDING_AIR && self->air != NULL;
  g_autofree char *text = again ? g_strdup (self->air) : sl_findings_text (analysis, proposal, first, n, &style);

  if (finding->kind == SL_FINDING_AIR && !again)
    self->air = g_strdup (text);
  return sl_capital (text);
}

static void
show_notices (WorkColumn *self)
{
  const SlProposal *proposal = sl_bench_get_proposal (self->bench);
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const char *nothing =
      has_pending (sl_bench_get_visit (self->bench)) ? NULL : sl_nothing_to_do_text (analysis, proposal);
  const gboolean unread = analysis->fit.n_readings == 0;
  g_autoptr (GString) all = g_string_new (analysis->fit.singular ? "singular\n" : unread ? "unread\n" : "");
  g_autoptr (GPtrArray) texts = g_ptr_array_new_with_free_func (g_free);

  g_string_append (all, nothing != NULL ? nothing : "");
  for (guint i = 0, n; i < proposal->findings->len; i += n)
    {
      n = sl_findings_alike (proposal, i);
      char *text = say (self, proposal, i, n);

      g_ptr_array_add (texts, text);
      g_string_append_printf (
          all, "%p %s\n", (void *) place_of (self, proposal, &g_array_index (proposal->findings, SlFinding, i)), text);
    }
  if (g_strcmp0 (all->str, self->shown_notices) == 0)
    return;
  fill_notices (self, proposal, texts, analysis->fit.singular, unread, nothing);
  g_free (self->shown_notices);
  self->shown_notices = g_strdup (all->str);
}

/* What the instrument hasn't, and what is seldom done, has a card only where a plan has such work. Makes it then. */
static gboolean
card_applies (WorkColumn *self, guint i, const SlOpCount *count)
{
  const SlInstrument *instrument = &sl_bench_get_analysis (self->bench)->instrument;
  const gboolean usual = !sl_work_card_is_seldom (order[i]) && (instrument->work >> order[i] & 1) != 0,
                 applies = usual || count->n_pending + count->n_done > 0;

  if (applies && self->cards[i] == NULL)
    {
      self->cards[i] = sl_work_card_new (self->bench, order[i]);
      gtk_box_insert_child_after (GTK_BOX (self->steps), self->cards[i], self->notices[i]);
    }
  if (self->cards[i] != NULL)
    gtk_widget_set_visible (self->cards[i], applies);
  return applies;
}

static void
update (GtkWidget *column)
{
  WorkColumn *self = sl_part_of (column);
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlVisit *visit = sl_bench_get_visit (self->bench);
  gboolean dust_said = FALSE;
  guint told = 0;
  int number = 0;

  if (analysis->instrument.n_strings < 1)
    return;
  show_notices (self);
  /* bench steps stand last, but before all until the instrument has settled and is read again */
  GtkWidget *after = analysis->air.settling ? self->first : self->notices[N_CARDS];

  SL_EACH (const SlOperation, operation, visit != NULL ? visit->plan : NULL)
    if (operation->kind == SL_OP_BENCH_STEP && operation->step == SL_BENCH_SETTLE && operation->done == NULL)
      after = self->first;
  if (gtk_widget_get_prev_sibling (self->bench_steps) != after)
    gtk_box_reorder_child_after (GTK_BOX (gtk_widget_get_parent (self->bench_steps)), self->bench_steps, after);
  for (guint i = 0; i < N_CARDS; i++)
    {
      const SlOperationKind kind = order[i];
      SlOpCount count = sl_count_operations (visit == NULL ? NULL : visit->plan, kind);
      gboolean applies = card_applies (self, i, &count);
      gboolean dust = sl_operation_cautions (&analysis->instrument, kind) >> SL_CAUTION_DUST & 1;
      gboolean caution = kind == SL_OP_TURN_ROD || (dust && !dust_said);

      if (!applies)
        continue;
      sl_work_card_update (SL_WORK_CARD (self->cards[i]), ++number, caution, &told);
      dust_said = dust_said || (dust && count.n_pending > 0);
    }
}

/* ---- gates that were passed on purpose stay in sight, with a way to take that back ---- */

static void
on_back (GtkWidget *button)
{
  sl_edit_pass_gate (g_object_get_data (G_OBJECT (button), "bench"),
                     (SlGate) GPOINTER_TO_INT (g_object_get_data (G_OBJECT (button), "gate")), FALSE);
}

/* A line for each gate, in the order of SlGate. */
static void
show_passed (GtkWidget *box)
{
  const SlVisit *visit = sl_bench_get_visit (g_object_get_data (G_OBJECT (box), "bench"));
  const guint64 passed = visit == NULL ? 0 : visit->passed;
  int gate = SL_GATE_NONE + 1;

  gtk_widget_set_visible (box, passed != 0);
  for (GtkWidget *line = gtk_widget_get_first_child (box); line != NULL; line = gtk_widget_get_next_sibling (line))
    gtk_widget_set_visible (line, (passed >> gate++ & 1) != 0);
}

static GtkWidget *
passed_gates_new (SlBench *bench)
{
  GtkWidget *box = sl_built_new ("work.ui", "passed_gates", NULL);

  g_object_set_data (G_OBJECT (box), "bench", sl_keep (box, bench));
  for (int gate = SL_GATE_NONE + 1; gate < SL_N_GATES; gate++)
    {
      GtkWidget *which, *back, *line = sl_built_new ("work.ui", "passed", "which", &which, "back", &back, NULL);

      sl_label_say (which, _ ("Passed over on purpose: %s."), sl_gate_title ((SlGate) gate));
      sl_name_as (back, _ ("Take it back: heed %s again"), sl_gate_title ((SlGate) gate));
      g_object_set_data (G_OBJECT (back), "gate", GINT_TO_POINTER (gate));
      g_object_set_data (G_OBJECT (back), "bench", bench);
      g_signal_connect (back, "clicked", G_CALLBACK (on_back), NULL);
      gtk_box_append (GTK_BOX (box), line);
    }
  show_passed (box);
  sl_bench_follow (bench, SL_CHANGED_PLAN | SL_CHANGED_VISIT, G_CALLBACK (show_passed), box);
  return box;
}

/* ---- the column ---- */

static void
work_column_free (WorkColumn *self)
{
  g_free (self->shown_notices);
  g_free (self->air);
  g_free (self);
}

/* The table gets what it needs of the height, where that leaves the cards the larger share; all else is theirs. */
static void
on_height_known (GtkPaned *paned, GParamSpec *pspec, gpointer data)
{
  GtkWidget *below = gtk_scrolled_window_get_child (GTK_SCROLLED_WINDOW (gtk_paned_get_end_child (paned)));
  int least, most;

  g_object_get (paned, "min-position", &least, "max-position", &most, NULL);
  if (most <= least || most == G_MAXINT)
    return;
  g_signal_handlers_disconnect_by_func (paned, on_height_known, data);
  gtk_paned_set_position (paned,
                          MAX (least + (int) ((most - least) * CARDS_SHARE),
                               most + LEAST_PART_HEIGHT - sl_natural_height (below, gtk_widget_get_width (below))));
}

GtkWidget *
sl_work_column_new (SlBench *bench)
{
  WorkColumn *self =
      sl_part_new (bench, SL_PART (WorkColumn, column, below), (GDestroyNotify) work_column_free, "work-column",
                   "column propose paned above steps first below", SL_CALL (on_height_known), NULL);

  sl_name_scrolled (self->above, _ ("Work"));
  sl_name_scrolled (self->below, _ ("What it does"));
  sl_name_paned (self->paned, _ ("Work and what it does"));
  g_signal_connect_object (self->propose, "clicked", G_CALLBACK (sl_bench_propose_plan), bench, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (self->steps), passed_gates_new (bench));
  for (guint i = 0; i <= N_CARDS; i++)
    sl_box_add (self->steps, self->notices[i] = sl_built_new ("work.ui", "notices", NULL), NULL);
  self->bench_steps = sl_bench_steps_new (bench);
  gtk_box_append (GTK_BOX (self->steps), self->bench_steps);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->below), sl_results_table_new (bench));
  sl_bench_follow (bench, (SL_CHANGED_FIGURES & ~SL_CHANGED_PLAN) | SL_CHANGED_LENGTHS, G_CALLBACK (forget_air),
                   self->column);
  sl_bench_follow (bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS | SL_CHANGED_STRING, G_CALLBACK (update),
                   self->column);
  update (self->column);
  return self->column;
}

/* Which card has the keyboard; −1: none. */
static int
card_with_focus (WorkColumn *self)
{
  GtkWidget *focus = gtk_root_get_focus (gtk_widget_get_root (self->column));

  for (int i = 0; focus != NULL && i < (int) N_CARDS; i++)
    if (self->cards[i] != NULL && gtk_widget_is_ancestor (focus, self->cards[i]))
      return i;
  return -1;
}

void
sl_work_column_jump (GtkWidget *column, gboolean back)
{
  WorkColumn *self = sl_part_of (column);
  const int n = N_CARDS, from = card_with_focus (self);

  for (int k = 1; k <= n; k++)
    {
      GtkWidget *card = self->cards[back ? (MAX (from, 0) - k + 2 * n) % n : (from + k) % n];

      if (card != NULL && gtk_widget_get_visible (card) && sl_work_card_focus (SL_WORK_CARD (card)))
        return;
    }
}

void
sl_work_column_tick (GtkWidget *column)
{
  WorkColumn *self = sl_part_of (column);
  const int card = card_with_focus (self);

  if (card >= 0)
    sl_work_card_tick (SL_WORK_CARD (self->cards[card]));
}

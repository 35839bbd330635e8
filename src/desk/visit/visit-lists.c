/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/visit/visit-sheet.h"

#include "desk/kit/kit.h"
#include "bench/visit-edit.h"
#include "words/effect.h"
#include "words/explain.h"
#include "setup/profile/money.h"

#define LONG_NOTE 24 /* characters: what is longer, its entry may not show whole */
#define EARLIER_COLUMN 1
#define LATER_COLUMN 2

/* A list of what the visit has: its text entry and its button do what the list's functions do at the row's place. */
typedef struct
{
  SlBench *bench; /* kept by the list's box */
  GtkWidget *rows, *start, *total, *part, *why;
  void (*set_text) (SlBench *bench, guint place, const char *text);
  gboolean charges;
} List;

/* The controls of a row, bound in this order. */
typedef struct
{
  GtkWidget *line, *name, *state, *text, *removing, *whole; /* the last: its note, where that is long */
} CheckRow;
typedef struct
{
  GtkWidget *line, *text, *minutes, *amount, *removing;
} ChargeRow;
typedef struct
{
  GtkWidget *line, *text, *earlier, *later;
} StepRow;

static SlBench *
bench_of (SlRow *row)
{
  return ((List *) row->owner)->bench;
}

static gboolean
take_text (gpointer row, const char *text, GtkWidget *entry)
{
  List *list = SL_ROW (row)->owner;
  const guint64 before = sl_bench_get_revision (list->bench);

  if (!sl_row_listens (row))
    return TRUE;
  list->set_text (list->bench, sl_row_get_place (row), text);
  return sl_bench_get_revision (list->bench) != before; /* else refused: it is too much for a document */
}

static void
on_remove (SlRow *row)
{
  List *list = row->owner;
  const guint place = sl_row_get_place (row);

  sl_row_list_remove (row);
  sl_visit_remove_nth (list->bench, list->charges, place);
}

/* The text of an entry is taken in by Enter and by leaving it. */
static void
bind_text (SlRow *row, GtkWidget *entry, const char *element, const char *attribute)
{
  gtk_entry_set_max_length (GTK_ENTRY (entry), (int) sl_amount_most (element, attribute));
  sl_typed_bind (entry, take_text, row);
}

/* Puts the list, made with its functions and their bench, below its @head in the box. It follows @which, and is
 * returned as the box keeps it. */
static List *
keep_list (GtkWidget *box, GtkWidget *head, List list, gsize size, SlRowFunc make, SlRowFunc fill, SlChanges which,
           GCallback update)
{
  List *kept = g_memdup2 (&list, sizeof list);

  sl_keep (box, list.bench);
  g_object_set_data_full (G_OBJECT (box), "list", kept, g_free);
  kept->rows = sl_row_list_new (gtk_label_get_text (GTK_LABEL (head)), SL_SPACE, size, make, fill, kept);
  gtk_box_insert_child_after (GTK_BOX (gtk_widget_get_parent (head)), kept->rows, head);
  sl_follow_while_seen (box, list.bench, which, update, kept);
  return kept;
}

/* ---- checks ---- */

static const SlCheckState states[] = { SL_CHECK_OPEN, SL_CHECK_SOUND, SL_CHECK_ATTEND, SL_CHECK_MENDED,
                                       SL_CHECK_NOT_APPLICABLE };

static void
on_state (SlRow *row)
{
  CheckRow *check = row->controls;

  if (sl_row_listens (row))
    sl_visit_set_check_state (bench_of (row), sl_row_get_place (row), states[sl_chosen (check->state)]);
}

static void
make_check_row (SlRow *row)
{
  CheckRow *check = row->controls;
  g_autoptr (GtkStringList) texts = gtk_string_list_new (NULL);

  sl_row_build (row, "check-row", SL_MEMBERS (CheckRow, line, whole), "line name state text removing whole",
                SL_CALL (on_state), SL_CALL (on_remove), NULL);
  for (guint i = 0; i < G_N_ELEMENTS (states); i++)
    gtk_string_list_append (texts, sl_check_state_text (states[i]));
  gtk_drop_down_set_model (GTK_DROP_DOWN (check->state), G_LIST_MODEL (texts));
  sl_guard_wheel (check->state);
  bind_text (row, check->text, "check", "note");
  gtk_box_append (GTK_BOX (row), check->whole);
}

static void
fill_check_row (SlRow *row)
{
  CheckRow *controls = row->controls;
  const SlCheck *check = &g_array_index (sl_bench_get_visit (bench_of (row))->checks, SlCheck, sl_row_get_place (row));

  sl_label_set (controls->name, check->name);
  sl_set_accessible_label (GTK_WIDGET (row), check->name);
  sl_name_as (controls->state, _ ("State of: %s"), check->name);
  sl_name_as (controls->text, _ ("Note on: %s"), check->name);
  sl_name_with_tip (controls->removing, _ ("Take “%s” off the list"), check->name);
  for (guint i = 0; i < G_N_ELEMENTS (states); i++)
    if (states[i] == MAX (check->state, SL_CHECK_OPEN))
      gtk_drop_down_set_selected (GTK_DROP_DOWN (controls->state), i);
  sl_set_class (controls->name, "sl-wrong", check->state == SL_CHECK_ATTEND);
  sl_typed_show (controls->text, check->note);
  sl_label_set (controls->whole, check->note != NULL ? check->note : "");
  gtk_widget_set_visible (controls->whole, check->note != NULL && g_utf8_strlen (check->note, -1) > LONG_NOTE);
}

static void
update_checks (List *list)
{
  const SlVisit *visit = sl_bench_get_visit (list->bench);
  const guint n = visit == NULL ? 0 : visit->checks->len;

  sl_row_list_update (SL_ROW_LIST (list->rows), n);
  gtk_widget_set_visible (list->start, n == 0);
}

static gboolean
take_check (gpointer bench, const char *name, GtkWidget *entry)
{
  const gboolean taken = sl_visit_add_check (bench, name);

  if (taken)
    sl_typed_show (entry, "");
  return taken;
}

GtkWidget *
sl_visit_checks_new (SlBench *bench)
{
  List list = { .bench = bench, .set_text = sl_visit_set_check_note };
  GtkWidget *head, *more,
      *box = sl_built_new ("visit-lists.ui", "checks", "head", &head, "start", &list.start, "more", &more, NULL);

  keep_list (box, head, list, sizeof (CheckRow), make_check_row, fill_check_row, SL_CHANGED_VISIT,
             G_CALLBACK (update_checks));
  g_signal_connect_object (list.start, "clicked", G_CALLBACK (sl_visit_start_checks), bench, G_CONNECT_SWAPPED);
  sl_set_accessible_label (more, _ ("Another check"));
  sl_typed_bind (more, take_check, bench);
  return box;
}

/* ---- charges ---- */

static void
on_number (SlRow *row, double value, GtkWidget *entry)
{
  ChargeRow *charge = row->controls;

  if (sl_row_listens (row))
    sl_visit_set_charge_number (bench_of (row), sl_row_get_place (row), entry == charge->amount, value);
}

static void
make_charge_row (SlRow *row)
{
  ChargeRow *charge = row->controls;

  sl_row_build (row, "charge-row", SL_MEMBERS (ChargeRow, line, removing), "line text minutes amount removing",
                SL_CALL (on_number), SL_CALL (on_remove), NULL);
  bind_text (row, charge->text, "charge", "what");
  sl_charge_entry_set_up (charge->minutes, "minutes");
  sl_charge_entry_set_up (charge->amount, "amount");
  sl_length_entry_join_steps (SL_LENGTH_ENTRY (charge->minutes), bench_of (row), C_ ("undo step", "charge"));
  sl_length_entry_join_steps (SL_LENGTH_ENTRY (charge->amount), bench_of (row), C_ ("undo step", "charge"));
}

static void
fill_charge_row (SlRow *row)
{
  ChargeRow *controls = row->controls;
  const guint place = sl_row_get_place (row);
  const SlCharge *charge = &g_array_index (sl_bench_get_visit (bench_of (row))->charges, SlCharge, place);
  g_autofree char *what_name = g_strdup_printf (_ ("Charge %u, what for"), place + 1);

  sl_set_accessible_label (GTK_WIDGET (row), charge->what == NULL || *charge->what == '\0' ? what_name : charge->what);
  sl_set_accessible_label (controls->text, what_name);
  sl_name_as (controls->minutes, _ ("Charge %u, minutes"), place + 1);
  sl_name_as (controls->amount, _ ("Charge %u, amount"), place + 1);
  sl_name_with_tip (controls->removing, _ ("Remove charge %u"), place + 1);
  sl_typed_show (controls->text, charge->what);
  sl_length_entry_set_value (SL_LENGTH_ENTRY (controls->minutes), charge->minutes.v);
  sl_length_entry_set_plain (SL_LENGTH_ENTRY (controls->amount), charge->currency == NULL ? "" : charge->currency);
  sl_length_entry_set_places (SL_LENGTH_ENTRY (controls->amount), sl_money_places (charge->currency));
  sl_length_entry_set_value (SL_LENGTH_ENTRY (controls->amount), charge->amount.v);
}

static void
update_charges (List *list)
{
  const SlVisit *visit = sl_bench_get_visit (list->bench);
  const guint n = visit == NULL ? 0 : visit->charges->len;
  double minutes;
  g_autofree char *money = sl_charges_total (visit, &minutes), *total = NULL,
                  *time = sl_plain_format (minutes, 0, sl_decimal_sign ());

  sl_row_list_update (SL_ROW_LIST (list->rows), n);
  /* Translators: the sum of a visit's charges, and of their minutes */
  total = g_strdup_printf (_ ("Total %s · %s min"), money, time);
  sl_label_set (list->total, total);
  gtk_widget_set_visible (list->total, n > 0);
}

static void
on_add_charge (SlBench *bench)
{
  sl_visit_add_charge (bench, NULL);
}

/* ---- usual charges ---- */

static void
on_usual_charge (GtkWidget *button, SlBench *bench)
{
  const guint place = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "place"));
  g_autoptr (GArray) charges = sl_usual_charges ();

  gtk_popover_popdown (GTK_POPOVER (gtk_widget_get_ancestor (button, GTK_TYPE_POPOVER)));
  if (place < charges->len)
    sl_visit_add_charge (bench, &g_array_index (charges, SlUsualCharge, place));
}

/* Made again each time it is opened: the preferences may have changed the list. */
static void
create_usual (GtkMenuButton *button, gpointer bench)
{
  g_autoptr (GArray) charges = sl_usual_charges ();
  GtkWidget *popover = gtk_popover_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);

  for (guint i = 0; i < charges->len; i++)
    {
      g_autofree char *text = sl_usual_charge_text (&g_array_index (charges, SlUsualCharge, i));
      GtkWidget *one = gtk_button_new_with_label (text);

      g_object_set_data (G_OBJECT (one), "place", GUINT_TO_POINTER (i));
      gtk_widget_add_css_class (one, "flat");
      gtk_widget_set_halign (gtk_button_get_child (GTK_BUTTON (one)), GTK_ALIGN_START);
      g_signal_connect_object (one, "clicked", G_CALLBACK (on_usual_charge), bench, 0);
      gtk_box_append (GTK_BOX (box), one);
    }
  if (charges->len == 0)
    gtk_box_append (GTK_BOX (box), gtk_label_new (_ ("None is kept yet: they are listed in the preferences.")));
  gtk_popover_set_child (GTK_POPOVER (popover), box);
  sl_set_accessible_label (popover, _ ("Usual charges"));
  gtk_menu_button_set_popover (button, popover);
}

GtkWidget *
sl_visit_charges_new (SlBench *bench)
{
  List list = { .bench = bench, .set_text = sl_visit_set_charge_what, .charges = TRUE };
  GtkWidget *head, *add, *usual,
      *box = sl_built_new ("visit-lists.ui", "charges", "head", &head, "total", &list.total, "add", &add, "usual",
                           &usual, NULL);
  const char *const heads[] = { _ ("What for"), _ ("Minutes"), _ ("Amount"), "", NULL };

  sl_flow (gtk_widget_get_parent (add), SL_SPACE);
  List *kept = keep_list (box, head, list, sizeof (ChargeRow), make_charge_row, fill_charge_row, SL_CHANGED_VISIT,
                          G_CALLBACK (update_charges));

  sl_row_list_set_heads (SL_ROW_LIST (kept->rows), heads);
  g_signal_connect_object (add, "clicked", G_CALLBACK (on_add_charge), bench, G_CONNECT_SWAPPED);
  gtk_menu_button_set_create_popup_func (GTK_MENU_BUTTON (usual), create_usual, bench, NULL);
  return box;
}

/* ---- what is still to be done ---- */

/* The places in the plan of what is not done, in order. */
static GArray *
places (const SlVisit *visit)
{
  GArray *places = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; visit != NULL && i < visit->plan->len; i++)
    if (g_array_index (visit->plan, SlOperation, i).done == NULL)
      g_array_append_val (places, i);
  return places;
}

/* The keyboard goes along with what it moves. */
static void
on_move (SlRow *row, GtkWidget *button)
{
  List *plan = row->owner;
  StepRow *controls = row->controls;
  g_autoptr (GArray) open = places (sl_bench_get_visit (plan->bench));
  const gboolean later = button == controls->later;
  const guint from = sl_row_get_place (row), to = later ? from + 1 : from - 1;
  const char *objection =
      sl_visit_move_operation (plan->bench, g_array_index (open, guint, from), g_array_index (open, guint, to));

  sl_set_remark (plan->why, objection);
  if (objection == NULL)
    sl_row_list_focus (SL_ROW_LIST (plan->rows), to, later ? LATER_COLUMN : EARLIER_COLUMN);
}

static void
make_plan_row (SlRow *row)
{
  sl_row_build (row, "step-row", SL_MEMBERS (StepRow, line, later), "line text earlier later", SL_CALL (on_move), NULL);
}

static void
fill_plan_row (SlRow *row)
{
  StepRow *controls = row->controls;
  List *plan = row->owner;
  const SlVisit *visit = sl_bench_get_visit (plan->bench);
  const SlTextStyle style = sl_bench_text_style (plan->bench);
  const guint place = sl_row_get_place (row);
  g_autoptr (GArray) open = places (visit);
  const SlOperation *operation = &g_array_index (visit->plan, SlOperation, g_array_index (open, guint, place));
  g_autofree char *amount = sl_operation_amount (&sl_bench_get_analysis (plan->bench)->instrument, operation, &style);
  g_autofree char *text = g_strdup_printf ("%s: %s", sl_operation_title (operation->kind), amount);

  sl_label_set (controls->text, text);
  sl_set_accessible_label (GTK_WIDGET (row), text);
  sl_name_with_tip (controls->earlier, _ ("Do earlier: %s"), text);
  sl_name_with_tip (controls->later, _ ("Do later: %s"), text);
  gtk_widget_set_sensitive (controls->earlier, place > 0);
  gtk_widget_set_sensitive (controls->later, place + 1 < open->len);
}

static void
update_plan (List *plan)
{
  g_autoptr (GArray) open = places (sl_bench_get_visit (plan->bench));

  sl_row_list_update (SL_ROW_LIST (plan->rows), open->len);
  sl_set_remark (plan->why, NULL);
  /* the outer box stays, or it would no longer be seen and told */
  gtk_widget_set_visible (plan->part, open->len > 0);
}

GtkWidget *
sl_visit_plan_new (SlBench *bench)
{
  List plan = { .bench = bench };
  GtkWidget *head,
      *outer = sl_built_new ("visit-lists.ui", "plan", "part", &plan.part, "head", &head, "why", &plan.why, NULL);

  gtk_widget_add_css_class (keep_list (outer, head, plan, sizeof (StepRow), make_plan_row, fill_plan_row,
                                       SL_CHANGED_WORK | SL_CHANGED_INSTRUMENT | SL_CHANGED_LENGTHS,
                                       G_CALLBACK (update_plan))
                                ->rows,
                            "sl-more");
  return outer;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/visit/visit-lists.h"

#include "desk/kit/length-entry.h"
#include "desk/kit/row-list.h"
#include "desk/kit/sheet-frame.h"
#include "desk/kit/util.h"
#include "bench/visit-edit.h"
#include "words/explain.h"
#include "setup/profile/money.h"

#include <glib/gi18n-lib.h>

#define SPACING 4
#define NOTE_CHARS 10
#define WHAT_CHARS 10
#define NUMBER_CHARS 6

/* A list of what the visit has. */
typedef struct
{
  SlBench *bench; /* owned */
  GtkWidget *rows, *start, *more, *total;
} List;

static void
list_free (gpointer data)
{
  List *list = data;

  g_object_unref (list->bench);
  g_free (list);
}

static List *
list_of (GtkWidget *box)
{
  return g_object_get_data (G_OBJECT (box), "list");
}

static SlBench *
bench_of (SlRow *row)
{
  return ((List *) sl_row_get_owner (row))->bench;
}

static void
set_entry (GtkWidget *entry, const char *text)
{
  if (gtk_widget_has_focus (entry) || gtk_widget_get_focus_child (entry) != NULL)
    return; /* somebody is typing */
  if (g_strcmp0 (gtk_editable_get_text (GTK_EDITABLE (entry)), text == NULL ? "" : text) != 0)
    gtk_editable_set_text (GTK_EDITABLE (entry), text == NULL ? "" : text);
}

/* The next column: an entry; @leave (row) takes its text in by Enter and by leaving it. */
static GtkWidget *
add_text_entry (SlRow *row, int chars, GCallback leave)
{
  GtkWidget *entry = sl_row_add (row, gtk_entry_new ()); /* named when its row is filled */
  GtkEventController *focus = gtk_event_controller_focus_new ();

  gtk_editable_set_width_chars (GTK_EDITABLE (entry), chars);
  gtk_widget_set_hexpand (entry, TRUE);
  g_signal_connect_swapped (entry, "activate", leave, row);
  g_signal_connect_swapped (focus, "leave", leave, row);
  gtk_widget_add_controller (entry, focus);
  return entry;
}

static GtkWidget *
list_new (SlBench *bench, const char *title, gsize size, SlRowFunc make, SlRowFunc fill, SlSeenUpdate update)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, SPACING), *heading = sl_label_new (title);
  List *list = g_new0 (List, 1);

  list->bench = g_object_ref (bench);
  list->rows = sl_row_list_new (title, SPACING, size, make, fill, list);
  gtk_widget_add_css_class (heading, "sl-section");
  gtk_box_append (GTK_BOX (box), heading);
  gtk_box_append (GTK_BOX (box), list->rows);
  g_object_set_data_full (G_OBJECT (box), "list", list, list_free);
  gtk_widget_add_css_class (box, "sl-dense");
  sl_follow_while_seen (box, bench, SL_CHANGED_VISIT, update);
  return box;
}

/* ---- checks ---- */

static const SlCheckState states[] = { SL_CHECK_OPEN, SL_CHECK_SOUND, SL_CHECK_ATTEND, SL_CHECK_MENDED,
                                       SL_CHECK_NOT_APPLICABLE };

typedef struct
{
  GtkWidget *name, *state, *note, *removing;
} CheckRow;

static void
on_state (SlRow *row)
{
  CheckRow *check = sl_row_get_controls (row);

  if (sl_row_listens (row))
    sl_visit_set_check_state (bench_of (row), sl_row_get_place (row),
                              states[gtk_drop_down_get_selected (GTK_DROP_DOWN (check->state))]);
}

static void
on_note_left (SlRow *row)
{
  CheckRow *check = sl_row_get_controls (row);

  if (sl_row_listens (row))
    sl_visit_set_check_note (bench_of (row), sl_row_get_place (row),
                             gtk_editable_get_text (GTK_EDITABLE (check->note)));
}

static void
on_remove_check (SlRow *row)
{
  SlBench *bench = bench_of (row);
  const guint place = sl_row_get_place (row);

  sl_row_list_remove (row);
  sl_visit_remove_check (bench, place);
}

static void
make_check_row (SlRow *row)
{
  CheckRow *check = sl_row_get_controls (row);
  const char *texts[G_N_ELEMENTS (states) + 1] = { NULL };

  for (guint i = 0; i < G_N_ELEMENTS (states); i++)
    texts[i] = sl_check_state_text (states[i]);
  check->name = sl_row_add (row, sl_text_new (NULL));
  gtk_widget_set_hexpand (check->name, TRUE);
  check->state = sl_row_add (row, gtk_drop_down_new_from_strings (texts)); /* named in fill_check_row() */
  sl_guard_wheel (check->state);
  g_signal_connect_swapped (check->state, "notify::selected", G_CALLBACK (on_state), row);
  check->note = add_text_entry (row, NOTE_CHARS, G_CALLBACK (on_note_left));
  check->removing = sl_row_add_button (row, "edit-clear-symbolic", G_CALLBACK (on_remove_check));
}

static void
fill_check_row (SlRow *row)
{
  CheckRow *controls = sl_row_get_controls (row);
  const SlCheck *check = &g_array_index (sl_bench_get_visit (bench_of (row))->checks, SlCheck, sl_row_get_place (row));
  g_autofree char *state_name = g_strdup_printf (_ ("State of: %s"), check->name),
                  *note_name = g_strdup_printf (_ ("Note on: %s"), check->name);
  g_autofree char *remove_name = g_strdup_printf (_ ("Take “%s” off the list"), check->name);

  gtk_label_set_text (GTK_LABEL (controls->name), check->name);
  sl_set_accessible_label (GTK_WIDGET (row), check->name);
  sl_set_accessible_label (controls->state, state_name);
  sl_set_accessible_label (controls->note, note_name);
  sl_name_with_tip (controls->removing, remove_name);
  for (guint i = 0; i < G_N_ELEMENTS (states); i++)
    if (states[i] == MAX (check->state, SL_CHECK_OPEN))
      gtk_drop_down_set_selected (GTK_DROP_DOWN (controls->state), i);
  sl_set_class (controls->name, "sl-wrong", check->state == SL_CHECK_ATTEND);
  set_entry (controls->note, check->note);
}

static void
update_checks (GtkWidget *box)
{
  List *list = list_of (box);
  const SlVisit *visit = sl_bench_get_visit (list->bench);
  const guint n = visit == NULL ? 0 : visit->checks->len;

  sl_row_list_update (SL_ROW_LIST (list->rows), n);
  gtk_widget_set_visible (list->start, n == 0);
}

static void
on_add_check (GtkWidget *entry, SlBench *bench)
{
  g_autofree char *name = g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry)));

  gtk_editable_set_text (GTK_EDITABLE (entry), "");
  sl_visit_add_check (bench, name);
}

GtkWidget *
sl_visit_checks_new (SlBench *bench)
{
  GtkWidget *box = list_new (bench, _ ("Checks"), sizeof (CheckRow), make_check_row, fill_check_row, update_checks);
  List *list = list_of (box);

  list->start = sl_button_add (box, _ ("Start the usual list"), NULL, G_CALLBACK (sl_visit_start_checks), bench);
  gtk_widget_set_halign (list->start, GTK_ALIGN_START);
  list->more = gtk_entry_new ();
  sl_set_accessible_label (list->more, _ ("Another check"));
  gtk_entry_set_placeholder_text (GTK_ENTRY (list->more), _ ("Another check, then Enter"));
  g_signal_connect_object (list->more, "activate", G_CALLBACK (on_add_check), bench, 0);
  gtk_box_append (GTK_BOX (box), list->more);
  return box;
}

/* ---- charges ---- */

typedef struct
{
  GtkWidget *what, *minutes, *amount, *removing;
} ChargeRow;

static void
on_what_left (SlRow *row)
{
  ChargeRow *charge = sl_row_get_controls (row);

  if (sl_row_listens (row))
    sl_visit_set_charge_what (bench_of (row), sl_row_get_place (row),
                              gtk_editable_get_text (GTK_EDITABLE (charge->what)));
}

static void
on_minutes (SlRow *row, double value)
{
  if (sl_row_listens (row))
    sl_visit_set_charge_minutes (bench_of (row), sl_row_get_place (row), value);
}

static void
on_amount (SlRow *row, double value)
{
  if (sl_row_listens (row))
    sl_visit_set_charge_amount (bench_of (row), sl_row_get_place (row), value);
}

static void
on_remove_charge (SlRow *row)
{
  SlBench *bench = bench_of (row);
  const guint place = sl_row_get_place (row);

  sl_row_list_remove (row);
  sl_visit_remove_charge (bench, place);
}

static void
make_charge_row (SlRow *row)
{
  ChargeRow *charge = sl_row_get_controls (row);

  charge->what = add_text_entry (row, WHAT_CHARS, G_CALLBACK (on_what_left));
  charge->minutes = sl_row_add_number (row, sl_charge_entry_new ("minutes"), NUMBER_CHARS, G_CALLBACK (on_minutes));
  charge->amount = sl_row_add_number (row, sl_charge_entry_new ("amount"), NUMBER_CHARS, G_CALLBACK (on_amount));
  sl_length_entry_join_steps (SL_LENGTH_ENTRY (charge->minutes), bench_of (row), C_ ("undo step", "charge"));
  sl_length_entry_join_steps (SL_LENGTH_ENTRY (charge->amount), bench_of (row), C_ ("undo step", "charge"));
  charge->removing = sl_row_add_button (row, "edit-clear-symbolic", G_CALLBACK (on_remove_charge));
}

static void
fill_charge_row (SlRow *row)
{
  ChargeRow *controls = sl_row_get_controls (row);
  const guint place = sl_row_get_place (row);
  const SlCharge *charge = &g_array_index (sl_bench_get_visit (bench_of (row))->charges, SlCharge, place);
  g_autofree char *what_name = g_strdup_printf (_ ("Charge %u, what for"), place + 1),
                  *minutes_name = g_strdup_printf (_ ("Charge %u, minutes"), place + 1);
  g_autofree char *amount_name = g_strdup_printf (_ ("Charge %u, amount"), place + 1),
                  *remove_name = g_strdup_printf (_ ("Remove charge %u"), place + 1);

  sl_set_accessible_label (GTK_WIDGET (row), charge->what == NULL || *charge->what == '\0' ? what_name : charge->what);
  sl_set_accessible_label (controls->what, what_name);
  sl_set_accessible_label (controls->minutes, minutes_name);
  sl_set_accessible_label (controls->amount, amount_name);
  sl_name_with_tip (controls->removing, remove_name);
  set_entry (controls->what, charge->what);
  sl_length_entry_set_value (SL_LENGTH_ENTRY (controls->minutes), charge->minutes.v);
  sl_length_entry_set_plain (SL_LENGTH_ENTRY (controls->amount), charge->currency == NULL ? "" : charge->currency);
  sl_length_entry_set_value (SL_LENGTH_ENTRY (controls->amount), charge->amount.v);
}

static void
update_charges (GtkWidget *box)
{
  List *list = list_of (box);
  const SlVisit *visit = sl_bench_get_visit (list->bench);
  const guint n = visit == NULL ? 0 : visit->charges->len;
  double minutes;
  g_autofree char *money = sl_charges_total (visit, &minutes), *total = NULL,
                  *time = sl_plain_format (minutes, 0, sl_decimal_sign ());

  sl_row_list_update (SL_ROW_LIST (list->rows), n);
  /* Translators: the sum of a visit's charges, and of their minutes */
  total = g_strdup_printf (_ ("Total %s · %s min"), money, time);
  gtk_label_set_text (GTK_LABEL (list->total), total);
  gtk_widget_set_visible (list->total, n > 0);
}

static void
on_add_charge (SlBench *bench)
{
  sl_visit_add_charge (bench, NULL);
}

/* ---- usual charges ---- */

typedef struct
{
  SlBench *bench; /* borrowed */
  guint place;
} UsualChoice;

static void
on_usual_charge (GtkWidget *button, UsualChoice *choice)
{
  g_autoptr (GArray) charges = sl_usual_charges ();

  gtk_popover_popdown (GTK_POPOVER (gtk_widget_get_ancestor (button, GTK_TYPE_POPOVER)));
  if (choice->place < charges->len)
    sl_visit_add_charge (choice->bench, &g_array_index (charges, SlUsualCharge, choice->place));
}

static void
choice_free (gpointer choice, GClosure *closure)
{
  g_free (choice);
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
      GtkWidget *button_of_one = gtk_button_new_with_label (text);
      UsualChoice *choice = g_new (UsualChoice, 1);

      *choice = (UsualChoice){ bench, i };
      gtk_widget_add_css_class (button_of_one, "flat");
      gtk_widget_set_halign (gtk_button_get_child (GTK_BUTTON (button_of_one)), GTK_ALIGN_START);
      g_signal_connect_data (button_of_one, "clicked", G_CALLBACK (on_usual_charge), choice, choice_free, 0);
      gtk_box_append (GTK_BOX (box), button_of_one);
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
  GtkWidget *box =
      list_new (bench, _ ("Charges"), sizeof (ChargeRow), make_charge_row, fill_charge_row, update_charges);
  GtkWidget *buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, SPACING), *usual = gtk_menu_button_new ();
  List *list = list_of (box);

  list->total = sl_label_new (NULL);
  gtk_widget_add_css_class (list->total, "sl-figure");
  list->more = sl_button_add (buttons, _ ("Add a charge"), NULL, G_CALLBACK (on_add_charge), bench);
  sl_set_accessible_label (usual, _ ("Add a usual charge"));
  gtk_menu_button_set_label (GTK_MENU_BUTTON (usual), _ ("Add a usual charge"));
  gtk_menu_button_set_create_popup_func (GTK_MENU_BUTTON (usual), create_usual, list->bench, NULL);
  gtk_box_append (GTK_BOX (buttons), usual);
  gtk_box_append (GTK_BOX (box), list->total);
  gtk_box_append (GTK_BOX (box), buttons);
  return box;
}

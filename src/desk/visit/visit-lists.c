/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/visit/visit-lists.h"

#include "desk/kit/length-entry.h"
#include "desk/kit/sheet-frame.h"
#include "desk/kit/util.h"
#include "bench/visit-edit.h"
#include "words/explain.h"
#include "setup/profile/money.h"

#include <glib/gi18n-lib.h>

#include <math.h>

#define SPACING 4
#define NOTE_CHARS 10
#define WHAT_CHARS 10
#define NUMBER_CHARS 6

/* A list of rows that belong to the array elements of the same places. Rows are made again only when their number
 * changes, so that what is typed stays. */
typedef struct
{
  SlBench *bench; /* owned */
  GtkWidget *rows, *start, *more, *total;
  GtkSizeGroup *column; /* owned; one width for the choices of all rows */
  guint n_rows;
  gboolean updating;
} List;

static void
list_free (gpointer data)
{
  List *list = data;

  g_object_unref (list->bench);
  g_object_unref (list->column);
  g_free (list);
}

static List *
list_of (GtkWidget *widget)
{
  return g_object_get_data (G_OBJECT (widget), "list");
}

static guint
index_of (GtkWidget *widget)
{
  return GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (widget), "index"));
}

/* A control of a row: knows its list, its place and what it is called; @name NULL where that follows what the row
 * shows. */
static GtkWidget *
control (List *list, GtkWidget *widget, guint index, const char *name)
{
  g_object_set_data (G_OBJECT (widget), "list", list);
  g_object_set_data (G_OBJECT (widget), "index", GUINT_TO_POINTER (index));
  if (name != NULL)
    sl_set_accessible_label (widget, name);
  gtk_widget_set_valign (widget, GTK_ALIGN_CENTER);
  return widget;
}

static void
set_entry (GtkWidget *entry, const char *text)
{
  if (gtk_widget_has_focus (entry) || gtk_widget_get_focus_child (entry) != NULL)
    return; /* somebody is typing */
  if (g_strcmp0 (gtk_editable_get_text (GTK_EDITABLE (entry)), text == NULL ? "" : text) != 0)
    gtk_editable_set_text (GTK_EDITABLE (entry), text == NULL ? "" : text);
}

typedef void (*TextTaken) (SlBench *bench, guint index, const char *text);

static void
accept_text (GtkWidget *entry)
{
  List *list = list_of (entry);
  TextTaken taken = (TextTaken) (void (*) (void)) g_object_get_data (G_OBJECT (entry), "taken");

  taken (list->bench, index_of (entry), gtk_editable_get_text (GTK_EDITABLE (entry)));
}

static void
on_focus_left (GtkEventControllerFocus *focus, GtkWidget *entry)
{
  accept_text (entry);
}

/* An entry whose text is taken in by Enter and by leaving it. */
static GtkWidget *
text_entry (List *list, guint index, const char *name, int chars, TextTaken taken)
{
  GtkWidget *entry = control (list, gtk_entry_new (), index, name); /* named by control() */
  GtkEventController *focus = gtk_event_controller_focus_new ();

  g_object_set_data (G_OBJECT (entry), "taken", (gpointer) (void (*) (void)) taken);
  gtk_editable_set_width_chars (GTK_EDITABLE (entry), chars);
  gtk_widget_set_hexpand (entry, TRUE);
  g_signal_connect (entry, "activate", G_CALLBACK (accept_text), NULL);
  g_signal_connect (focus, "leave", G_CALLBACK (on_focus_left), entry);
  gtk_widget_add_controller (entry, focus);
  return entry;
}

static GtkWidget *
remove_button (List *list, guint index, const char *name, GCallback clicked)
{
  GtkWidget *button =
      control (list, gtk_button_new_from_icon_name ("edit-clear-symbolic"), index, name); /* named by control() */

  gtk_widget_add_css_class (button, "flat");
  gtk_widget_set_tooltip_text (button, name); /* NULL: none */
  g_signal_connect (button, "clicked", clicked, NULL);
  return button;
}

static void
drop_rows (List *list)
{
  GtkWidget *row;

  while ((row = gtk_widget_get_first_child (list->rows)) != NULL)
    gtk_box_remove (GTK_BOX (list->rows), row);
}

static GtkWidget *
list_new (SlBench *bench, const char *title, SlSeenUpdate update)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, SPACING), *heading = gtk_label_new (title);
  List *list = g_new0 (List, 1);

  list->bench = g_object_ref (bench);
  list->column = gtk_size_group_new (GTK_SIZE_GROUP_HORIZONTAL);
  list->rows = gtk_box_new (GTK_ORIENTATION_VERTICAL, SPACING);
  gtk_label_set_xalign (GTK_LABEL (heading), 0);
  gtk_widget_add_css_class (heading, "sl-section");
  gtk_box_append (GTK_BOX (box), heading);
  gtk_box_append (GTK_BOX (box), list->rows);
  g_object_set_data_full (G_OBJECT (box), "list", list, list_free);
  gtk_widget_add_css_class (box, "sl-dense");
  sl_follow_while_seen (box, bench, update);
  return box;
}

/* ---- checks ---- */

static const SlCheckState states[] = { SL_CHECK_OPEN, SL_CHECK_SOUND, SL_CHECK_ATTEND, SL_CHECK_MENDED,
                                       SL_CHECK_NOT_APPLICABLE };

static void
on_state (GtkDropDown *chooser)
{
  List *list = list_of (GTK_WIDGET (chooser));

  if (!list->updating)
    sl_visit_set_check_state (list->bench, index_of (GTK_WIDGET (chooser)),
                              states[gtk_drop_down_get_selected (chooser)]);
}

static void
on_remove_check (GtkWidget *button)
{
  sl_visit_remove_check (list_of (button)->bench, index_of (button));
}

static GtkWidget *
check_row (List *list, guint index)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, SPACING), *name = gtk_label_new (NULL), *chooser;
  const char *texts[G_N_ELEMENTS (states) + 1] = { NULL };

  for (guint i = 0; i < G_N_ELEMENTS (states); i++)
    texts[i] = sl_check_state_text (states[i]);
  gtk_label_set_xalign (GTK_LABEL (name), 0);
  gtk_label_set_wrap (GTK_LABEL (name), TRUE);
  gtk_widget_set_hexpand (name, TRUE);
  chooser = control (list, gtk_drop_down_new_from_strings (texts), index, NULL); /* named in fill_check_row() */
  sl_guard_wheel (chooser);
  gtk_size_group_add_widget (list->column, chooser);
  g_signal_connect (chooser, "notify::selected", G_CALLBACK (on_state), NULL);
  gtk_box_append (GTK_BOX (row), name);
  gtk_box_append (GTK_BOX (row), chooser);
  gtk_box_append (GTK_BOX (row), text_entry (list, index, NULL, NOTE_CHARS, sl_visit_set_check_note));
  gtk_box_append (GTK_BOX (row), remove_button (list, index, NULL, G_CALLBACK (on_remove_check)));
  return row;
}

static void
fill_check_row (GtkWidget *row, const SlCheck *check)
{
  GtkWidget *name = gtk_widget_get_first_child (row), *chooser = gtk_widget_get_next_sibling (name),
            *note = gtk_widget_get_next_sibling (chooser);
  GtkWidget *removing = gtk_widget_get_next_sibling (note);
  g_autofree char *state_name = g_strdup_printf (_ ("State of: %s"), check->name),
                  *note_name = g_strdup_printf (_ ("Note on: %s"), check->name);
  g_autofree char *remove_name = g_strdup_printf (_ ("Take “%s” off the list"), check->name);

  gtk_label_set_text (GTK_LABEL (name), check->name);
  sl_set_accessible_label (chooser, state_name);
  sl_set_accessible_label (note, note_name);
  gtk_widget_set_tooltip_text (removing, remove_name);
  sl_set_accessible_label (removing, remove_name);
  for (guint i = 0; i < G_N_ELEMENTS (states); i++)
    if (states[i] == MAX (check->state, SL_CHECK_OPEN))
      gtk_drop_down_set_selected (GTK_DROP_DOWN (chooser), i);
  if (check->state == SL_CHECK_ATTEND)
    gtk_widget_add_css_class (name, "sl-wrong");
  else
    gtk_widget_remove_css_class (name, "sl-wrong");
  set_entry (note, check->note);
}

static void
update_checks (GtkWidget *box)
{
  List *list = list_of (box);
  const SlVisit *visit = sl_bench_get_visit (list->bench);
  const guint n = visit == NULL ? 0 : visit->checks->len;
  GtkWidget *row;

  list->updating = TRUE;
  if (n != list->n_rows)
    {
      drop_rows (list);
      for (guint i = 0; i < n; i++)
        gtk_box_append (GTK_BOX (list->rows), check_row (list, i));
      list->n_rows = n;
    }
  row = gtk_widget_get_first_child (list->rows);
  for (guint i = 0; i < n; i++, row = gtk_widget_get_next_sibling (row))
    fill_check_row (row, &g_array_index (visit->checks, SlCheck, i));
  gtk_widget_set_visible (list->start, n == 0);
  list->updating = FALSE;
}

static void
on_start_checks (GtkWidget *button)
{
  sl_visit_start_checks (list_of (button)->bench);
}

static void
on_add_check (GtkWidget *entry)
{
  g_autofree char *name = g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry)));

  gtk_editable_set_text (GTK_EDITABLE (entry), "");
  sl_visit_add_check (list_of (entry)->bench, name);
}

GtkWidget *
sl_visit_checks_new (SlBench *bench)
{
  GtkWidget *box = list_new (bench, _ ("Checks"), update_checks);
  List *list = list_of (box);

  list->start = control (list, gtk_button_new_with_label (_ ("Start the usual list")), 0, _ ("Start the usual list"));
  gtk_widget_set_halign (list->start, GTK_ALIGN_START);
  g_signal_connect (list->start, "clicked", G_CALLBACK (on_start_checks), NULL);
  list->more = control (list, gtk_entry_new (), 0, _ ("Another check")); /* named by control() */
  gtk_entry_set_placeholder_text (GTK_ENTRY (list->more), _ ("Another check, then Enter"));
  g_signal_connect (list->more, "activate", G_CALLBACK (on_add_check), NULL);
  gtk_box_append (GTK_BOX (box), list->start);
  gtk_box_append (GTK_BOX (box), list->more);
  return box;
}

/* ---- charges ---- */

static void
on_minutes (SlLengthEntry *entry, double value)
{
  sl_visit_set_charge_minutes (list_of (GTK_WIDGET (entry))->bench, index_of (GTK_WIDGET (entry)), value);
}

static void
on_amount (SlLengthEntry *entry, double value)
{
  sl_visit_set_charge_amount (list_of (GTK_WIDGET (entry))->bench, index_of (GTK_WIDGET (entry)), value);
}

static void
on_remove_charge (GtkWidget *button)
{
  sl_visit_remove_charge (list_of (button)->bench, index_of (button));
}

static GtkWidget *
number_entry (List *list, guint index, const char *name, const char *attribute, int places, GCallback committed)
{
  GtkWidget *entry = control (list, sl_length_entry_new (), index, name); /* named by control() */

  sl_length_entry_set_plain (SL_LENGTH_ENTRY (entry), g_str_equal (attribute, "minutes")
                                                          ? _ ("min")
                                                          : ""); /* an amount: its currency, in fill_charge_row() */
  sl_length_entry_set_places (SL_LENGTH_ENTRY (entry), places);
  sl_length_entry_set_step (SL_LENGTH_ENTRY (entry), 1);
  sl_length_entry_set_allow_empty (SL_LENGTH_ENTRY (entry), TRUE);
  sl_length_entry_set_value (SL_LENGTH_ENTRY (entry), NAN);
  sl_length_entry_set_bound (SL_LENGTH_ENTRY (entry), sl_bound_find ("charge", attribute));
  sl_length_entry_join_steps (SL_LENGTH_ENTRY (entry), list->bench, C_ ("undo step", "charge"));
  gtk_editable_set_width_chars (GTK_EDITABLE (entry), NUMBER_CHARS);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (entry), NUMBER_CHARS);
  g_signal_connect (entry, "committed", committed, NULL);
  return entry;
}

static GtkWidget *
charge_row (List *list, guint index)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, SPACING),
            *minutes, *amount;
  g_autofree char *what_name = g_strdup_printf (_ ("Charge %u, what for"), index + 1),
                  *minutes_name = g_strdup_printf (_ ("Charge %u, minutes"), index + 1);
  g_autofree char *amount_name = g_strdup_printf (_ ("Charge %u, amount"), index + 1),
                  *remove_name = g_strdup_printf (_ ("Remove charge %u"), index + 1);

  minutes = number_entry (list, index, minutes_name, "minutes", 0, G_CALLBACK (on_minutes));
  amount = number_entry (list, index, amount_name, "amount", sl_money_places (), G_CALLBACK (on_amount));
  gtk_box_append (GTK_BOX (line), text_entry (list, index, what_name, WHAT_CHARS, sl_visit_set_charge_what));
  gtk_box_append (GTK_BOX (line), minutes);
  gtk_box_append (GTK_BOX (line), amount);
  gtk_box_append (GTK_BOX (line), remove_button (list, index, remove_name, G_CALLBACK (on_remove_charge)));
  gtk_box_append (GTK_BOX (row), line);
  gtk_box_append (GTK_BOX (row), sl_length_entry_new_message (SL_LENGTH_ENTRY (minutes)));
  gtk_box_append (GTK_BOX (row), sl_length_entry_new_message (SL_LENGTH_ENTRY (amount)));
  return row;
}

static void
fill_charge_row (GtkWidget *row, const SlCharge *charge)
{
  GtkWidget *what = gtk_widget_get_first_child (gtk_widget_get_first_child (row)),
            *minutes = gtk_widget_get_next_sibling (what), *amount = gtk_widget_get_next_sibling (minutes);

  set_entry (what, charge->what);
  sl_length_entry_set_value (SL_LENGTH_ENTRY (minutes), charge->minutes.v);
  sl_length_entry_set_plain (SL_LENGTH_ENTRY (amount), charge->currency == NULL ? "" : charge->currency);
  sl_length_entry_set_value (SL_LENGTH_ENTRY (amount), charge->amount.v);
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
  GtkWidget *row;

  if (n != list->n_rows)
    {
      drop_rows (list);
      for (guint i = 0; i < n; i++)
        gtk_box_append (GTK_BOX (list->rows), charge_row (list, i));
      list->n_rows = n;
    }
  row = gtk_widget_get_first_child (list->rows);
  for (guint i = 0; i < n; i++, row = gtk_widget_get_next_sibling (row))
    fill_charge_row (row, &g_array_index (visit->charges, SlCharge, i));
  /* Translators: the sum of a visit's charges, and of their minutes */
  total = g_strdup_printf (_ ("Total %s · %s min"), money, time);
  gtk_label_set_text (GTK_LABEL (list->total), total);
  gtk_widget_set_visible (list->total, n > 0);
}

static void
on_add_charge (GtkWidget *button)
{
  sl_visit_add_charge (list_of (button)->bench, NULL);
}

/* ---- usual charges ---- */

static void
on_usual_charge (GtkWidget *button)
{
  g_autoptr (GArray) charges = sl_usual_charges ();
  const guint place = index_of (button);

  gtk_popover_popdown (GTK_POPOVER (gtk_widget_get_ancestor (button, GTK_TYPE_POPOVER)));
  if (place < charges->len)
    sl_visit_add_charge (list_of (button)->bench, &g_array_index (charges, SlUsualCharge, place));
}

/* Made again each time it is opened: the preferences may have changed the list. */
static void
create_usual (GtkMenuButton *button, gpointer data)
{
  g_autoptr (GArray) charges = sl_usual_charges ();
  GtkWidget *popover = gtk_popover_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);

  for (guint i = 0; i < charges->len; i++)
    {
      g_autofree char *text = sl_usual_charge_text (&g_array_index (charges, SlUsualCharge, i));
      GtkWidget *choice = control (list_of (GTK_WIDGET (button)), gtk_button_new_with_label (text), i, text);

      gtk_widget_add_css_class (choice, "flat");
      gtk_widget_set_halign (gtk_button_get_child (GTK_BUTTON (choice)), GTK_ALIGN_START);
      g_signal_connect (choice, "clicked", G_CALLBACK (on_usual_charge), NULL);
      gtk_box_append (GTK_BOX (box), choice);
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
  GtkWidget *box = list_new (bench, _ ("Charges"), update_charges),
            *buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, SPACING), *usual;
  List *list = list_of (box);

  list->total = gtk_label_new (NULL);
  gtk_label_set_xalign (GTK_LABEL (list->total), 0);
  gtk_widget_add_css_class (list->total, "sl-figure");
  list->more = control (list, gtk_button_new_with_label (_ ("Add a charge")), 0, _ ("Add a charge"));
  g_signal_connect (list->more, "clicked", G_CALLBACK (on_add_charge), NULL);
  usual = control (list, gtk_menu_button_new (), 0, _ ("Add a usual charge")); /* named by control() */
  gtk_menu_button_set_label (GTK_MENU_BUTTON (usual), _ ("Add a usual charge"));
  gtk_menu_button_set_create_popup_func (GTK_MENU_BUTTON (usual), create_usual, NULL, NULL);
  gtk_box_append (GTK_BOX (buttons), list->more);
  gtk_box_append (GTK_BOX (buttons), usual);
  gtk_box_append (GTK_BOX (box), list->total);
  gtk_box_append (GTK_BOX (box), buttons);
  return box;
}

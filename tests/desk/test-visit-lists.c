/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The lists of checks, charges and tools: what a row's controls are called follows what the row shows, whichever check,
 * charge or tool that is now; a row that goes leaves the others and the keyboard as they are. Skipped where there is no
 * display. */
#include "desk/kit/length-entry.h"
#include "desk/kit/kit.h"
#include "desk/preferences/preferences.h"
#include "bench/visit-edit.h"
#include "desk/visit/visit-sheet.h"
#include "bench/profiles.h"

#include <locale.h>

#define SKIPPED 77

static void
settle (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static GtkWidget *
show (GtkWidget *list)
{
  GtkWidget *window = gtk_window_new ();

  gtk_window_set_child (GTK_WINDOW (window), list);
  gtk_window_present (GTK_WINDOW (window));
  while (!gtk_widget_get_mapped (list))
    g_main_context_iteration (NULL, TRUE);
  settle ();
  return window;
}

static gboolean
is_called (GtkWidget *widget, GType type, const char *name)
{
  g_autofree char *wrong = NULL;

  if (!g_type_is_a (G_OBJECT_TYPE (widget), type))
    return FALSE;
  wrong = gtk_test_accessible_check_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_LABEL, name);
  return wrong == NULL;
}

/* The widget of @type called @name under @root, or NULL. */
static GtkWidget *
called (GtkWidget *root, GType type, const char *name)
{
  GtkWidget *found = is_called (root, type, name) ? root : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = called (child, type, name);
  return found;
}

static void
test_checks (void)
{
  g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile ("flat-top"));
  GtkWidget *list = sl_visit_checks_new (bench), *window;

  sl_visit_add_check (bench, "Braces");
  window = show (list);
  g_assert_nonnull (called (list, GTK_TYPE_DROP_DOWN, "State of: Braces"));
  sl_visit_begin (bench);
  sl_visit_add_check (bench, "Output jack");
  g_assert_nonnull (called (list, GTK_TYPE_DROP_DOWN, "State of: Output jack"));
  g_assert_nonnull (called (list, GTK_TYPE_ENTRY, "Note on: Output jack"));
  GtkWidget *removing = called (list, GTK_TYPE_BUTTON, "Take “Output jack” off the list");

  g_assert_nonnull (removing);
  g_assert_cmpstr (gtk_widget_get_tooltip_text (removing), ==, "Take “Output jack” off the list");
  /* two steps back at once, as when the list is not seen: the row is the first visit's again */
  gtk_widget_set_visible (list, FALSE);
  sl_bench_undo (bench);
  sl_bench_undo (bench);
  gtk_widget_set_visible (list, TRUE);
  settle ();
  g_assert_nonnull (called (list, GTK_TYPE_DROP_DOWN, "State of: Braces"));
  g_assert_null (called (list, GTK_TYPE_DROP_DOWN, "State of: Output jack"));
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
}

/* The row of a charge that is removed goes alone: what waits to be corrected in the others stays, and the
 * keyboard goes to the same button of the next row. */
static void
test_removed (void)
{
  g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile ("flat-top"));
  GtkWidget *list = sl_visit_charges_new (bench), *window, *amount, *button;

  for (int i = 0; i < 3; i++)
    sl_visit_add_charge (bench, NULL);
  window = show (list);
  amount = called (list, SL_TYPE_LENGTH_ENTRY, "Charge 3, amount");
  gtk_editable_set_text (GTK_EDITABLE (amount), "ninety");
  g_assert_false (sl_length_entry_commit (SL_LENGTH_ENTRY (amount)));
  button = called (list, GTK_TYPE_BUTTON, "Remove charge 2");
  gtk_widget_grab_focus (button);
  g_signal_emit_by_name (button, "clicked");
  settle ();
  g_assert_cmpuint (sl_bench_get_visit (bench)->charges->len, ==, 2);
  g_assert_true (called (list, SL_TYPE_LENGTH_ENTRY, "Charge 2, amount") == amount);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (amount)), ==, "ninety");
  g_assert_true (gtk_window_get_focus (GTK_WINDOW (window)) == called (list, GTK_TYPE_BUTTON, "Remove charge 2"));
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
}

static void
change_currency (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  SlCharge *charge = &g_array_index (visit->charges, SlCharge, 0);

  g_free (charge->currency);
  charge->currency = g_strdup (data);
}

static guint
count_of (GtkWidget *root, GType type)
{
  guint n = g_type_is_a (G_OBJECT_TYPE (root), type);

  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL; child = gtk_widget_get_next_sibling (child))
    n += count_of (child, type);
  return n;
}

static SlCheck *
check_at (SlBench *bench, guint place)
{
  return &g_array_index (sl_bench_get_visit (bench)->checks, SlCheck, place);
}

/* The button that shows other rows, or NULL. */
static GtkWidget *
rest_button (GtkWidget *root)
{
  const char *label = GTK_IS_BUTTON (root) ? gtk_button_get_label (GTK_BUTTON (root)) : NULL;
  GtkWidget *found = gtk_widget_get_mapped (root) && label != NULL && g_str_has_prefix (label, "Show ") ? root : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = rest_button (child);
  return found;
}

/* A hundred of many checks are shown at once, the next ones with a press, and after the last the first again. What is
 * done in a row is done to the check it shows, and what is typed belongs to the one it was typed for. */
static void
test_many (void)
{
  g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile ("flat-top"));
  GtkWidget *list = sl_visit_checks_new (bench), *window, *rest, *note;

  for (int i = 0; i < 120; i++)
    {
      g_autofree char *name = g_strdup_printf ("Brace %d", i);

      sl_visit_add_check (bench, name);
    }
  window = show (list);
  rest = rest_button (list);
  g_assert_cmpuint (count_of (list, GTK_TYPE_DROP_DOWN), ==, 100);
  g_assert_cmpstr (gtk_button_get_label (GTK_BUTTON (rest)), ==, "Show 101 to 120 of 120");
  note = called (list, GTK_TYPE_ENTRY, "Note on: Brace 0");
  gtk_widget_grab_focus (note);
  gtk_editable_set_text (GTK_EDITABLE (note), "loose");
  g_signal_emit_by_name (rest, "clicked");
  settle ();
  g_assert_cmpstr (check_at (bench, 0)->note, ==, "loose");
  g_assert_null (check_at (bench, 100)->note);
  g_assert_cmpuint (count_of (list, GTK_TYPE_DROP_DOWN), ==, 20);
  g_assert_cmpstr (gtk_button_get_label (GTK_BUTTON (rest)), ==, "Show 1 to 100 of 120");
  gtk_drop_down_set_selected (GTK_DROP_DOWN (called (list, GTK_TYPE_DROP_DOWN, "State of: Brace 100")), 1);
  g_assert_cmpint (check_at (bench, 100)->state, ==, SL_CHECK_SOUND);
  g_assert_true (gtk_widget_is_ancestor (gtk_window_get_focus (GTK_WINDOW (window)),
                                         called (list, GTK_TYPE_DROP_DOWN, "State of: Brace 100")));
  g_signal_emit_by_name (called (list, GTK_TYPE_BUTTON, "Take “Brace 101” off the list"), "clicked");
  settle ();
  g_assert_cmpstr (check_at (bench, 101)->name, ==, "Brace 102");
  g_signal_emit_by_name (rest, "clicked");
  g_assert_nonnull (called (list, GTK_TYPE_ENTRY, "Note on: Brace 0"));
  g_assert_cmpuint (count_of (list, GTK_TYPE_DROP_DOWN), ==, 100);
  gtk_window_destroy (GTK_WINDOW (window));
}

/* A check that is added is shown, however many there are; with the last of a hundred gone, others are. */
static void
test_added (void)
{
  g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile ("flat-top"));
  GtkWidget *list = sl_visit_checks_new (bench), *window, *more;

  for (int i = 0; i < 100; i++)
    sl_visit_add_check (bench, "Brace");
  window = show (list);
  g_assert_null (rest_button (list));
  more = called (list, GTK_TYPE_ENTRY, "Another check");
  gtk_widget_grab_focus (more);
  gtk_editable_set_text (GTK_EDITABLE (more), "Output jack");
  g_signal_emit_by_name (more, "activate");
  settle ();
  g_assert_nonnull (called (list, GTK_TYPE_ENTRY, "Note on: Output jack"));
  g_assert_nonnull (rest_button (list));
  sl_bench_undo (bench);
  settle ();
  g_assert_cmpuint (count_of (list, GTK_TYPE_DROP_DOWN), ==, 100);
  g_assert_null (rest_button (list));
  gtk_window_destroy (GTK_WINDOW (window));
}

/* As many checks as a visit may have, the last of them with as much written on them as all of a visit's may have. */
static void
fill_checks (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const guint most = sl_amount_most ("visit", "check"), n_long = 15; /* of 4096 characters, of 65,536 in all */

  for (guint i = 0; i < most; i++)
    {
      SlCheck check = { g_strdup ("Brace"), SL_CHECK_OPEN, i < most - n_long ? NULL : g_strdup (data) };

      g_array_append_val (visit->checks, check);
    }
}

/* What a visit has no room for stays where it was typed, and is no part of it. */
static void
test_refused (void)
{
  g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile ("flat-top"));
  GtkWidget *list = sl_visit_checks_new (bench), *scrolled = gtk_scrolled_window_new (), *window, *more, *note;
  g_autofree char *long_note = g_strnfill (sl_amount_most ("check", "note"), 'n');
  const guint most = sl_amount_most ("visit", "check");

  sl_bench_edit (bench, "checks", SL_CHANGED_VISIT, TRUE, fill_checks, long_note);
  g_assert_cmpuint (sl_bench_get_visit (bench)->checks->len, ==, most);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), list);
  window = show (scrolled);
  more = called (list, GTK_TYPE_ENTRY, "Another check");
  gtk_editable_set_text (GTK_EDITABLE (more), "Output jack");
  g_assert_false (sl_typed_take (NULL));
  settle ();
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (more)), ==, "Output jack");
  g_assert_true (gtk_widget_has_css_class (more, "error"));
  g_assert_cmpuint (sl_bench_get_visit (bench)->checks->len, ==, most);
  sl_visit_remove_nth (bench, FALSE, most - 1);
  g_assert_true (sl_typed_take (NULL));
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (more)), ==, "");
  g_assert_cmpstr (check_at (bench, most - 1)->name, ==, "Output jack");
  sl_visit_set_check_note (bench, most - 1, long_note);
  settle ();
  note = called (list, GTK_TYPE_ENTRY, "Note on: Brace");
  gtk_editable_set_text (GTK_EDITABLE (note), long_note);
  g_assert_false (sl_typed_take (NULL));
  settle ();
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (note)), ==, long_note);
  g_assert_null (check_at (bench, 0)->note);
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
}

static void
test_charges (void)
{
  g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile ("flat-top"));
  GtkWidget *list = sl_visit_charges_new (bench), *window, *amount;

  sl_visit_add_charge (bench, NULL);
  sl_bench_edit (bench, "euros", SL_CHANGED_VISIT, FALSE, change_currency, (gpointer) "EUR");
  window = show (list);
  amount = called (list, SL_TYPE_LENGTH_ENTRY, "Charge 1, amount");
  g_assert_nonnull (amount);
  sl_bench_edit (bench, "francs", SL_CHANGED_VISIT, FALSE, change_currency, (gpointer) "CHF");
  gtk_editable_set_text (GTK_EDITABLE (amount), "70 CHF");
  g_assert_true (sl_length_entry_commit (SL_LENGTH_ENTRY (amount)));
  g_assert_cmpfloat (g_array_index (sl_bench_get_visit (bench)->charges, SlCharge, 0).amount.v, ==, 70);
  gtk_editable_set_text (GTK_EDITABLE (amount), "80 EUR");
  g_assert_false (sl_length_entry_commit (SL_LENGTH_ENTRY (amount)));
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
}

static void
test_tools (void)
{
  GtkWidget *editor = sl_tools_editor_new (), *window = show (editor),
            *name = called (editor, GTK_TYPE_ENTRY, "Name of tool 1");

  g_assert_nonnull (name);
  gtk_editable_set_text (GTK_EDITABLE (name), "Dial under the string");
  g_assert_nonnull (called (editor, GTK_TYPE_BUTTON, "Remove Dial under the string"));
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
}

/* The text view under @root. */
static GtkWidget *
view_under (GtkWidget *root)
{
  GtkWidget *found = GTK_IS_TEXT_VIEW (root) ? root : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = view_under (child);
  return found;
}

/* A note is shown whole, at its words, as long as that can be done at once. The longest that may be, of one word, of
 * words that no line may end after (Unicode Standard Annex #14, LB13), of nothing but short lines, is broken where that
 * is quick and scrolls in itself, and nothing of it is lost. */
static void
test_notes (void)
{
  static const struct
  {
    const char *part;
    int times;
    gboolean words, whole;
  } notes[] = { { "high action ", 80, TRUE, TRUE }, { "x", 200, TRUE, TRUE },      { "x", 300, FALSE, TRUE },
                { "x\n", 100, TRUE, TRUE },         { "x\n", 2001, TRUE, FALSE },  { "x\n", 32768, TRUE, FALSE },
                { "! ", 300, FALSE, TRUE },         { "! ", 32768, FALSE, FALSE }, { "x", 65536, FALSE, FALSE } };
  g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile ("flat-top"));
  GtkWidget *sheet = sl_visit_sheet_new (bench), *page = gtk_scrolled_window_new (), *note = view_under (sheet),
            *window;

  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (page), sheet);
  window = show (page);
  for (gsize i = 0; i < G_N_ELEMENTS (notes); i++)
    {
      g_autofree char **parts = g_new0 (char *, (gsize) notes[i].times + 1), *text = NULL, *shown = NULL;
      GtkPolicyType bar;

      for (int j = 0; j < notes[i].times; j++)
        parts[j] = (char *) notes[i].part;
      text = g_strjoinv ("", parts);
      sl_visit_set_note (bench, text);
      settle ();
      g_object_get (gtk_text_view_get_buffer (GTK_TEXT_VIEW (note)), "text", &shown, NULL);
      g_assert_cmpstr (shown, ==, text);
      g_assert_cmpint (gtk_text_view_get_wrap_mode (GTK_TEXT_VIEW (note)), ==,
                       notes[i].words ? GTK_WRAP_WORD_CHAR : GTK_WRAP_CHAR);
      g_object_get (gtk_widget_get_parent (note), "vscrollbar-policy", &bar, NULL);
      g_assert_cmpint (bar, ==, notes[i].whole ? GTK_POLICY_EXTERNAL : GTK_POLICY_ALWAYS);
    }
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  if (!gtk_init_check ())
    return SKIPPED;
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/visit-lists/checks", test_checks);
  g_test_add_func ("/visit-lists/many", test_many);
  g_test_add_func ("/visit-lists/added", test_added);
  g_test_add_func ("/visit-lists/refused", test_refused);
  g_test_add_func ("/visit-lists/charges", test_charges);
  g_test_add_func ("/visit-lists/removed", test_removed);
  g_test_add_func ("/visit-lists/tools", test_tools);
  g_test_add_func ("/visit-lists/notes", test_notes);
  return g_test_run ();
}

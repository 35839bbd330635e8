/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The length entry in a real window: what it takes in, what it refuses and in which words, and which keys do what.
 * Conversions: 1 in = 25.4 mm exactly (NIST SP 811). Skipped where there is no display. */
#include "desk/kit/length-entry.h"

#include <locale.h>
#include <stdlib.h>

#define SKIPPED 77

typedef struct
{
  GtkWidget *window, *other;
  SlLengthEntry *entry;
  int committed, next, previous, begun, ended;
  double last;
} Fixture;

static void
on_committed (SlLengthEntry *entry, double value, Fixture *f)
{
  f->committed++;
  f->last = value;
}

static void
count (int *counter)
{
  (*counter)++;
}

static void
on_step (SlLengthEntry *entry, int by, Fixture *f)
{
  count (by > 0 ? &f->next : &f->previous);
}

static void
settle (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static void
use (Fixture *f, SlLengthUse what)
{
  what.places = what.plain != NULL ? 1 : 2;
  sl_length_entry_set_up (GTK_WIDGET (f->entry), what);
}

static void
set_up (Fixture *f, gconstpointer data)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  f->window = gtk_window_new ();
  f->entry = SL_LENGTH_ENTRY (sl_length_entry_new ());
  f->other = gtk_button_new_with_label ("other");
  f->last = NAN;
  gtk_accessible_update_property (GTK_ACCESSIBLE (f->entry), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  "Action at fret 12, string 6", -1);
  gtk_box_append (GTK_BOX (box), GTK_WIDGET (f->entry));
  gtk_box_append (GTK_BOX (box), f->other);
  gtk_window_set_child (GTK_WINDOW (f->window), box);
  g_signal_connect (f->entry, "committed", G_CALLBACK (on_committed), f);
  g_signal_connect (f->entry, "step", G_CALLBACK (on_step), f);
  g_signal_connect_swapped (f->entry, "steps-begin", G_CALLBACK (count), &f->begun);
  g_signal_connect_swapped (f->entry, "steps-end", G_CALLBACK (count), &f->ended);
  gtk_window_present (GTK_WINDOW (f->window));
  use (f, (SlLengthUse){ &sl_readings[SL_READ_ACTION].bound, .coarse = TRUE, .required = TRUE });
  sl_length_entry_set_value (f->entry, 2.5);
  gtk_widget_grab_focus (GTK_WIDGET (f->entry));
  settle ();
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  gtk_window_destroy (GTK_WINDOW (f->window));
  settle ();
}

static const char *
text_of (Fixture *f)
{
  return gtk_editable_get_text (GTK_EDITABLE (f->entry));
}

static void
type (Fixture *f, const char *text)
{
  gtk_editable_set_text (GTK_EDITABLE (f->entry), text);
}

/* A key as the entry's key controller gets it. */
static gboolean
press (Fixture *f, guint keyval, GdkModifierType state, const char *signal)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (GTK_WIDGET (f->entry));
  gboolean handled = FALSE;
  for (guint i = 0; i < g_list_model_get_n_items (controllers); i++)
    {
      g_autoptr (GObject) controller = g_list_model_get_item (controllers, i);
      if (!GTK_IS_EVENT_CONTROLLER_KEY (controller) || handled)
        continue;
      if (g_str_equal (signal, "key-pressed"))
        g_signal_emit_by_name (controller, signal, keyval, 0, state, &handled);
      else
        g_signal_emit_by_name (controller, signal, keyval, 0, state);
    }
  return handled;
}

static void
enter (Fixture *f)
{
  g_signal_emit_by_name (f->entry, "activate");
}

/* What an entry holds it shows: 0 when 0 was read, nothing when nothing was or it is new. */
static void
test_zero (Fixture *f, gconstpointer data)
{
  GtkWidget *fresh = g_object_ref_sink (sl_length_entry_new ());

  g_assert_true (isnan (sl_length_entry_get_value (SL_LENGTH_ENTRY (fresh))));
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (fresh)), ==, "");
  sl_length_entry_set_value (SL_LENGTH_ENTRY (fresh), 0);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (fresh)), ==, "0.00");
  sl_length_entry_set_lengths (SL_LENGTH_ENTRY (fresh), SL_LENGTHS_INCH);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (fresh)), ==, "0.000");
  g_object_unref (fresh);
}

static void
test_notations (Fixture *f, gconstpointer data)
{
  static const struct
  {
    SlLengths lengths;
    const char *text;
    double mm;
  } cases[] = {
    { SL_LENGTHS_MM, "2.3", 2.3 },
    { SL_LENGTHS_MM, "2,3", 2.3 },
    { SL_LENGTHS_MM, " 2.3 mm ", 2.3 },
    { SL_LENGTHS_MM, "0.09 in", 2.286 },
    { SL_LENGTHS_MM, "0,09 in", 2.286 },
    { SL_LENGTHS_MM, "5/64", 1.984375 },
    { SL_LENGTHS_MM, "1 3/64\"", 26.590625 },
    { SL_LENGTHS_MM, "90 thou", 2.286 },
    { SL_LENGTHS_MM, "0.091 in", 2.3114 },
    { SL_LENGTHS_INCH, "0.1", 2.54 },
    { SL_LENGTHS_64THS, "5", 1.984375 },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      sl_length_entry_set_lengths (f->entry, cases[i].lengths);
      sl_length_entry_set_value (f->entry, 0);
      type (f, cases[i].text);
      f->committed = 0;
      g_assert_true (sl_length_entry_commit (f->entry));
      g_assert_cmpint (f->committed, ==, 1);
      /* kept to a nanometre: figures of a few digits come back as they are written */
      g_assert_cmpfloat_with_epsilon (f->last, cases[i].mm, 0.5e-6);
      g_assert_true (sl_length_entry_get_value (f->entry) == f->last);
    }
  g_assert_cmpfloat (f->last, ==, 1.984375);
}

/* What is kept goes into the document: 0.091 in is 2.3114 mm, not its binary neighbour. */
static void
test_kept_as_written (Fixture *f, gconstpointer data)
{
  type (f, "0.091 in");
  enter (f);
  g_assert_cmpfloat (f->last, ==, 2.3114);
}

static void
test_bad_text (Fixture *f, gconstpointer data)
{
  type (f, "12,5x");
  enter (f);
  g_assert_cmpint (f->committed, ==, 0);
  g_assert_cmpint (f->next, ==, 0);
  g_assert_cmpfloat (sl_length_entry_get_value (f->entry), ==, 2.5);
  g_assert_cmpstr (text_of (f), ==, "12,5x");
  g_assert_nonnull (strstr (sl_length_entry_get_message (f->entry), "12,5x"));
  g_assert_nonnull (strstr (sl_length_entry_get_message (f->entry), "5/64"));
  gtk_test_accessible_assert_state (f->entry, GTK_ACCESSIBLE_STATE_INVALID, GTK_ACCESSIBLE_INVALID_TRUE);
  gtk_test_accessible_assert_property (f->entry, GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                       sl_length_entry_get_message (f->entry));

  /* leaving keeps the text for correction */
  gtk_widget_grab_focus (f->other);
  settle ();
  g_assert_cmpstr (text_of (f), ==, "12,5x");
  /* and so does being told the same value again */
  sl_length_entry_set_value (f->entry, 2.5);
  g_assert_cmpstr (text_of (f), ==, "12,5x");

  gtk_widget_grab_focus (GTK_WIDGET (f->entry));
  g_assert_true (press (f, GDK_KEY_Escape, 0, "key-pressed"));
  g_assert_cmpstr (text_of (f), ==, "2.50");
  g_assert_null (sl_length_entry_get_message (f->entry));
  gtk_test_accessible_assert_state (f->entry, GTK_ACCESSIBLE_STATE_INVALID, GTK_ACCESSIBLE_INVALID_FALSE);
  /* with nothing to restore, Escape belongs to the window */
  g_assert_false (press (f, GDK_KEY_Escape, 0, "key-pressed"));
}

/* The value selected whole is typed over, also after somebody else has taken the display's selection meanwhile; where
 * the caret was moved, what is typed goes in there. */
static void
test_selection_taken (Fixture *f, gconstpointer data)
{
  GdkClipboard *primary = gtk_widget_get_primary_clipboard (GTK_WIDGET (f->entry));
  GtkEditable *editable = GTK_EDITABLE (f->entry);
  int start, end;

  sl_length_entry_set_value (f->entry, 2.5);
  gtk_widget_grab_focus (GTK_WIDGET (f->entry));
  g_assert_true (gtk_editable_get_selection_bounds (editable, &start, &end));
  gdk_clipboard_set_text (primary, "from elsewhere");
  g_assert_false (gtk_editable_get_selection_bounds (editable, &start, &end));
  g_assert_false (press (f, GDK_KEY_3, 0, "key-pressed"));
  g_assert_true (gtk_editable_get_selection_bounds (editable, &start, &end));
  g_assert_cmpint (start, ==, 0);
  g_assert_cmpint (end, ==, 4);
  gtk_editable_set_position (editable, 1);
  g_assert_false (press (f, GDK_KEY_3, 0, "key-pressed"));
  g_assert_false (gtk_editable_get_selection_bounds (editable, &start, &end));
}

static void
test_correction (Fixture *f, gconstpointer data)
{
  type (f, "2.3.");
  g_assert_false (sl_length_entry_commit (f->entry));
  type (f, "2.3");
  enter (f);
  g_assert_cmpfloat (f->last, ==, 2.3);
  g_assert_cmpint (f->next, ==, 1);
  g_assert_null (sl_length_entry_get_message (f->entry));
}

static void
test_range (Fixture *f, gconstpointer data)
{
  const SlBound *bound = &sl_readings[SL_READ_ACTION].bound;
  g_autofree char *most = g_strdup_printf ("%g", bound->most);
  g_autofree char *beyond = g_strdup_printf ("%g", bound->most * 10);
  type (f, beyond);
  enter (f);
  g_assert_cmpint (f->committed, ==, 0);
  g_assert_cmpfloat (sl_length_entry_get_value (f->entry), ==, 2.5);
  g_assert_nonnull (strstr (sl_length_entry_get_message (f->entry), beyond));
  g_assert_nonnull (strstr (sl_length_entry_get_message (f->entry), most));
  /* the range itself is inside */
  type (f, most);
  enter (f);
  g_assert_cmpfloat (f->last, ==, bound->most);
}

/* Where inches are typed they are what is refused, with what a bare number may have been. */
static void
test_range_inches (Fixture *f, gconstpointer data)
{
  use (f, (SlLengthUse){ &sl_readings[SL_READ_RELIEF].bound, .required = TRUE });
  sl_length_entry_set_value (f->entry, 0.2);
  sl_length_entry_set_lengths (f->entry, SL_LENGTHS_64THS);
  type (f, "5");
  enter (f);
  /* relief: −5 to 10 mm; 5/64 in is 1.98 mm, 0.005 in is 0.13 mm (25.4 mm an inch, exactly: NIST SP 811) */
  g_assert_cmpstr (sl_length_entry_get_message (f->entry), ==,
                   "5.000 in is outside −0.197 to 0.394 in. Was 5/64 in or 0.005 in meant?");
  type (f, "0.5 in");
  enter (f);
  g_assert_cmpstr (sl_length_entry_get_message (f->entry), ==, "0.500 in is outside −0.197 to 0.394 in.");
  type (f, "5/64");
  enter (f);
  g_assert_cmpfloat (f->last, ==, 1.984375);
}

static void
refuse (SlLengthEntry *entry)
{
  sl_length_entry_refuse (entry, "not there");
}

/* What lies beyond the entry can refuse a value it takes for good. */
static void
test_refused (Fixture *f, gconstpointer data)
{
  gulong handler = g_signal_connect (f->entry, "committed", G_CALLBACK (refuse), NULL);

  type (f, "2.3");
  g_assert_false (sl_length_entry_commit (f->entry));
  g_assert_cmpstr (text_of (f), ==, "2.3");
  g_assert_cmpstr (sl_length_entry_get_message (f->entry), ==, "not there");
  g_assert_cmpfloat (sl_length_entry_get_value (f->entry), ==, 2.5);
  g_signal_handler_disconnect (f->entry, handler);
  g_assert_true (sl_length_entry_commit (f->entry));
  g_assert_cmpfloat (sl_length_entry_get_value (f->entry), ==, 2.3);
}

static void
test_empty (Fixture *f, gconstpointer data)
{
  type (f, "");
  enter (f);
  g_assert_cmpint (f->committed, ==, 0);
  g_assert_nonnull (sl_length_entry_get_message (f->entry));
  press (f, GDK_KEY_Escape, 0, "key-pressed");
  g_assert_cmpstr (text_of (f), ==, "2.50");

  use (f, (SlLengthUse){ &sl_readings[SL_READ_ACTION].bound, .coarse = TRUE });
  type (f, "  ");
  enter (f);
  g_assert_cmpint (f->committed, ==, 1);
  g_assert_true (isnan (f->last));
  g_assert_true (isnan (sl_length_entry_get_value (f->entry)));
  /* an empty entry passed by is no change */
  enter (f);
  g_assert_cmpint (f->committed, ==, 1);
  g_assert_cmpint (f->next, ==, 2);
}

/* More digits than are shown are not lost by passing through. */
static void
test_unedited (Fixture *f, gconstpointer data)
{
  sl_length_entry_set_value (f->entry, 2.51234);
  g_assert_cmpstr (text_of (f), ==, "2.51");
  enter (f);
  sl_length_entry_set_lengths (f->entry, SL_LENGTHS_64THS);
  enter (f);
  g_assert_cmpint (f->committed, ==, 0);
  g_assert_cmpint (f->next, ==, 2);
  g_assert_cmpfloat (sl_length_entry_get_value (f->entry), ==, 2.51234);
}

static void
test_keys (Fixture *f, gconstpointer data)
{
  type (f, "2.3");
  g_assert_true (press (f, GDK_KEY_Return, GDK_SHIFT_MASK, "key-pressed"));
  g_assert_cmpint (f->previous, ==, 1);
  g_assert_cmpint (f->next, ==, 0);
  g_assert_cmpfloat (f->last, ==, 2.3);

  /* a run of presses is begun and ended once */
  g_assert_true (press (f, GDK_KEY_Up, 0, "key-pressed"));
  g_assert_true (press (f, GDK_KEY_Up, 0, "key-pressed"));
  g_assert_cmpfloat (f->last, ==, 2.32);
  g_assert_true (press (f, GDK_KEY_Down, GDK_SHIFT_MASK, "key-pressed"));
  g_assert_cmpfloat (f->last, ==, 2.22);
  g_assert_cmpint (f->begun, ==, 1);
  g_assert_cmpint (f->ended, ==, 0);
  press (f, GDK_KEY_Down, 0, "key-released");
  g_assert_cmpint (f->ended, ==, 1);

  /* in 64ths from one division to the next: 2.22 mm lies nearest to 6/64 in */
  sl_length_entry_set_lengths (f->entry, SL_LENGTHS_64THS);
  press (f, GDK_KEY_Up, 0, "key-pressed");
  g_assert_cmpfloat_with_epsilon (f->last, 7 * 25.4 / 64, 0.5e-6);
  press (f, GDK_KEY_Up, 0, "key-released");

  /* never beyond the range */
  sl_length_entry_set_lengths (f->entry, SL_LENGTHS_MM);
  sl_length_entry_set_value (f->entry, sl_readings[SL_READ_ACTION].bound.most);
  press (f, GDK_KEY_Up, GDK_SHIFT_MASK, "key-pressed");
  g_assert_cmpfloat (sl_length_entry_get_value (f->entry), ==, sl_readings[SL_READ_ACTION].bound.most);
}

static void
test_typing_stays (Fixture *f, gconstpointer data)
{
  if (!(gtk_widget_get_state_flags (GTK_WIDGET (f->entry)) & GTK_STATE_FLAG_FOCUS_WITHIN))
    {
      g_test_skip ("the display gives the window no focus");
      return;
    }
  type (f, "2.");
  sl_length_entry_set_value (f->entry, 1.75);
  sl_length_entry_set_lengths (f->entry, SL_LENGTHS_INCH);
  sl_length_entry_set_lengths (f->entry, SL_LENGTHS_MM);
  g_assert_cmpstr (text_of (f), ==, "2.");
  press (f, GDK_KEY_Escape, 0, "key-pressed");
  g_assert_cmpstr (text_of (f), ==, "1.75");
}

static void
test_leaving_commits (Fixture *f, gconstpointer data)
{
  type (f, "2.3");
  gtk_widget_grab_focus (f->other);
  settle ();
  g_assert_cmpint (f->committed, ==, 1);
  g_assert_cmpfloat (f->last, ==, 2.3);
  g_assert_cmpint (f->next, ==, 0);
}

/* What the entry is described as is said again after a message, and in other units. */
static void
test_description (Fixture *f, gconstpointer data)
{
  sl_length_entry_set_description (f->entry, "± 0.06 mm");
  type (f, "x");
  enter (f);
  gtk_test_accessible_assert_property (f->entry, GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                       sl_length_entry_get_message (f->entry));
  type (f, "2.3");
  enter (f);
  gtk_test_accessible_assert_property (f->entry, GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, "± 0.06 mm");
  sl_length_entry_set_lengths (f->entry, SL_LENGTHS_INCH);
  sl_length_entry_set_value (f->entry, 1.2);
  gtk_test_accessible_assert_property (f->entry, GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, "± 0.06 mm");
}

static void
test_plain (Fixture *f, gconstpointer data)
{
  use (f, (SlLengthUse){ sl_bound_find ("readings", "temperature"), "°C", .required = TRUE });
  type (f, "21,5 °C");
  enter (f);
  g_assert_cmpfloat (f->last, ==, 21.5);
  g_assert_cmpstr (text_of (f), ==, "21.5");
  type (f, "5/64");
  enter (f);
  g_assert_cmpint (f->committed, ==, 1);
  g_assert_nonnull (sl_length_entry_get_message (f->entry));
}

static void
test_message_label (Fixture *f, gconstpointer data)
{
  GtkWidget *label = g_object_ref_sink (sl_length_entry_new_message (f->entry));
  g_assert_false (gtk_widget_get_visible (label));
  type (f, "twelve");
  enter (f);
  g_assert_true (gtk_widget_get_visible (label));
  g_assert_cmpstr (gtk_label_get_text (GTK_LABEL (label)), ==, sl_length_entry_get_message (f->entry));
  type (f, "12");
  enter (f);
  g_assert_false (gtk_widget_get_visible (label));
  g_assert_finalize_object (label);
}

/* A comma is a decimal sign everywhere; but where an entry can hold thousands, what may group them is refused. */
static void
test_thousands (Fixture *f, gconstpointer data)
{
  type (f, "1,234");
  enter (f);
  g_assert_cmpfloat (f->last, ==, 1.234);
  use (f, (SlLengthUse){ sl_bound_find ("charge", "amount"), "" });
  type (f, "1,200");
  enter (f);
  g_assert_cmpfloat (f->last, ==, 1.234);
  g_assert_cmpstr (text_of (f), ==, "1,200");
  g_assert_nonnull (strstr (sl_length_entry_get_message (f->entry), "“1,200” could mean thousands"));
  type (f, "0,125");
  enter (f);
  g_assert_cmpfloat (f->last, ==, 0.125);
  type (f, "12,50");
  enter (f);
  g_assert_cmpfloat (f->last, ==, 12.5);
  type (f, "1.200");
  enter (f);
  g_assert_cmpfloat (f->last, ==, 1.2);
}

/* Under a comma locale a spin button makes 125 of "12.5" and 0 of "abc". */
static void
test_comma_locale (Fixture *f, gconstpointer data)
{
  g_autofree char *before = g_strdup (setlocale (LC_NUMERIC, NULL));
  if (setlocale (LC_NUMERIC, "de_DE.UTF-8") == NULL)
    {
      g_test_skip ("there is no de_DE.UTF-8");
      return;
    }
  sl_length_entry_set_value (f->entry, 3.25);
  g_assert_cmpstr (text_of (f), ==, "3,25");
  type (f, "12.5");
  enter (f);
  g_assert_cmpfloat (f->last, ==, 12.5);
  g_assert_cmpstr (text_of (f), ==, "12,50");
  type (f, "2,3");
  enter (f);
  g_assert_cmpfloat (f->last, ==, 2.3);
  type (f, "abc");
  enter (f);
  g_assert_cmpfloat (sl_length_entry_get_value (f->entry), ==, 2.3);
  type (f, "12,5x");
  enter (f);
  g_assert_cmpfloat (sl_length_entry_get_value (f->entry), ==, 2.3);
  g_assert_nonnull (strstr (sl_length_entry_get_message (f->entry), "2,3"));
  setlocale (LC_NUMERIC, before);
}

#define ADD(path, function) g_test_add ("/desk/length-entry/" path, Fixture, NULL, set_up, function, tear_down)

int
main (int argc, char **argv)
{
  g_setenv ("GTK_A11Y", "test", TRUE); /* states are asked of GTK itself */
  if (!gtk_init_check ())
    return SKIPPED;
  g_test_init (&argc, &argv, NULL);
  ADD ("zero", test_zero);
  ADD ("notations", test_notations);
  ADD ("kept-as-written", test_kept_as_written);
  ADD ("bad-text", test_bad_text);
  ADD ("correction", test_correction);
  ADD ("selection-taken", test_selection_taken);
  ADD ("range", test_range);
  ADD ("range-inches", test_range_inches);
  ADD ("refused", test_refused);
  ADD ("empty", test_empty);
  ADD ("unedited", test_unedited);
  ADD ("keys", test_keys);
  ADD ("typing-stays", test_typing_stays);
  ADD ("leaving-commits", test_leaving_commits);
  ADD ("description", test_description);
  ADD ("plain", test_plain);
  ADD ("message-label", test_message_label);
  ADD ("thousands", test_thousands);
  ADD ("comma-locale", test_comma_locale);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * When settings are written, as another program that looks at them sees it: GSettings keeps the backend's values apart
 * from those not applied yet (GIO reference, g_settings_delay()). Skipped where there is no display. */
#include "desk/app.h"
#include "bench/settings.h"
#include "bench/shop-lists.h"
#include "desk/preferences/preferences.h"

#include <gtk/gtk.h>
#include <locale.h>
#include <math.h>

#define SKIPPED 77
#define MOVES 200
#define LONGEST_WAIT_US (60 * G_USEC_PER_SEC) /* only a fault takes so long */

static void
count (guint *n)
{
  ++*n;
}

static GSettings *
others_view (guint *writes)
{
  GSettings *settings = g_settings_new (SL_APP_ID);

  *writes = 0;
  g_signal_connect_swapped (settings, "changed::" SL_SETTING_HEIGHT_FACTOR, G_CALLBACK (count), writes);
  return settings;
}

static void
move_slider (void)
{
  for (int i = 1; i <= MOVES; i++)
    sl_settings_set (SL_SETTING_HEIGHT_FACTOR, g_variant_new_double (i * 0.1));
}

/* A slider's whole way is one write; what it stands at is in force before. */
static void
test_moved (void)
{
  guint writes;
  g_autoptr (GSettings) settings = others_view (&writes);
  const gint64 end = g_get_monotonic_time () + LONGEST_WAIT_US;

  move_slider ();
  g_assert_cmpfloat (sl_settings_get_double (SL_SETTING_HEIGHT_FACTOR, 0), ==, MOVES * 0.1);
  while (g_main_context_iteration (NULL, FALSE))
    ;
  g_assert_cmpuint (writes, <=, 1);
  while (writes == 0 && g_get_monotonic_time () < end)
    g_main_context_iteration (NULL, FALSE);
  g_assert_cmpuint (writes, ==, 1);
  g_assert_cmpfloat (g_settings_get_double (settings, SL_SETTING_HEIGHT_FACTOR), ==, MOVES * 0.1);
}

static gboolean
set_and_quit (gpointer data)
{
  sl_settings_set (SL_SETTING_HEIGHT_FACTOR, g_variant_new_double (7));
  g_application_quit (data);
  return G_SOURCE_REMOVE;
}

/* What was set just before the program ended is written. */
static void
test_quit (void)
{
  guint writes;
  g_autoptr (GSettings) settings = others_view (&writes);
  g_autoptr (GtkApplication) app = sl_app_new ();

  g_application_set_flags (G_APPLICATION (app),
                           g_application_get_flags (G_APPLICATION (app)) | G_APPLICATION_NON_UNIQUE);
  g_idle_add (set_and_quit, app);
  g_application_run (G_APPLICATION (app), 0, NULL);
  g_assert_cmpfloat (g_settings_get_double (settings, SL_SETTING_HEIGHT_FACTOR), ==, 7);
}

static GtkWidget *
labelled (GtkWidget *root, const char *label)
{
  GtkWidget *found =
      GTK_IS_BUTTON (root) && g_strcmp0 (gtk_button_get_label (GTK_BUTTON (root)), label) == 0 ? root : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = labelled (child, label);
  return found;
}

/* What is left open of a usual charge is kept as a number that any file of settings can hold, and comes back as left
 * open. */
static void
test_left_open (void)
{
  g_autoptr (GtkWidget) editor = g_object_ref_sink (sl_usual_charges_editor_new ());
  g_autoptr (GArray) charges = NULL;
  g_autoptr (GVariant) kept = NULL;
  GVariantIter iter;
  double minutes, amount;

  g_signal_emit_by_name (labelled (editor, "Add a usual charge"), "clicked");
  kept = sl_settings_get_value (SL_SETTING_USUAL_CHARGES, "a(sdd)");
  g_assert_cmpuint (g_variant_iter_init (&iter, kept), ==, 1);
  g_variant_iter_next (&iter, "(&sdd)", NULL, &minutes, &amount);
  g_assert_true (isfinite (minutes));
  g_assert_true (isfinite (amount));
  charges = sl_usual_charges ();
  g_assert_true (isnan (g_array_index (charges, SlUsualCharge, 0).minutes));
  g_assert_true (isnan (g_array_index (charges, SlUsualCharge, 0).amount));
}

/* The object of a template or builder file, by its id. */
static GtkWidget *
identified (GtkWidget *root, const char *id)
{
  GtkWidget *found = g_strcmp0 (gtk_buildable_get_buildable_id (GTK_BUILDABLE (root)), id) == 0 ? root : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = identified (child, id);
  return found;
}

/* What is chosen and typed in the preferences is in force at once, and shown when they are opened again; a unit chosen
 * in a window's menu is shown in them. */
static void
test_preferences (void)
{
  GtkWidget *window = sl_preferences_new (NULL);
  GtkDropDown *lengths = GTK_DROP_DOWN (identified (window, "lengths_chooser"));
  GtkTextView *address = GTK_TEXT_VIEW (identified (window, "address_view"));
  g_autofree char *kept = NULL, *shown = NULL;

  gtk_drop_down_set_selected (lengths, SL_LENGTHS_64THS);
  g_assert_cmpint (sl_settings_get_lengths (), ==, SL_LENGTHS_64THS);
  sl_settings_set (SL_SETTING_LENGTHS, g_variant_new_string ("inch"));
  g_assert_cmpuint (gtk_drop_down_get_selected (lengths), ==, SL_LENGTHS_INCH);
  gtk_text_buffer_set_text (gtk_text_view_get_buffer (address), "Mill Lane 3", -1);
  kept = sl_settings_get_string (SL_SETTING_SHOP_ADDRESS, "");
  g_assert_cmpstr (kept, ==, "Mill Lane 3");
  gtk_window_destroy (GTK_WINDOW (window));
  window = sl_preferences_new (NULL);
  g_object_get (gtk_text_view_get_buffer (GTK_TEXT_VIEW (identified (window, "address_view"))), "text", &shown, NULL);
  g_assert_cmpstr (shown, ==, "Mill Lane 3");
  gtk_window_destroy (GTK_WINDOW (window));
}

static void
type_in (GtkWidget *entry, const char *text)
{
  gtk_editable_set_text (GTK_EDITABLE (entry), text);
  g_signal_emit_by_name (entry, "activate");
}

static void
assert_temperament (const char *text)
{
  g_autoptr (GVariant) kept = sl_settings_get_value (SL_SETTING_TEMPERAMENT, "ad");
  g_autofree char *printed = g_variant_print (kept, FALSE);

  g_assert_cmpstr (printed, ==, text);
}

/* What is listened with, and to which pitches: A4 within what instruments are tuned to, own cents note by note, a
 * device that is not there now until another is chosen. */
static void
test_listening (void)
{
  g_autofree char *device = NULL;
  GtkWidget *window, *reference, *temperament, *notes, *devices;

  sl_settings_set (SL_SETTING_LISTEN_DEVICE, g_variant_new_string ("pickup"));
  window = sl_preferences_new (NULL);
  reference = identified (window, "reference");
  temperament = identified (window, "temperament");
  notes = identified (window, "notes");
  devices = identified (window, "device");
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (reference)), ==, "440.0"); /* ISO 16 */
  type_in (reference, "442.5");
  g_assert_cmpfloat (sl_settings_get_double (SL_SETTING_REFERENCE_PITCH, 0), ==, 442.5);
  type_in (reference, "470");
  g_assert_cmpfloat (sl_settings_get_double (SL_SETTING_REFERENCE_PITCH, 0), ==, 442.5);
  g_assert_false (gtk_widget_get_visible (notes));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (temperament), 1);
  g_assert_true (gtk_widget_get_visible (notes));
  type_in (gtk_grid_get_child_at (GTK_GRID (notes), 3, 0), "-13.5"); /* C♯ */
  assert_temperament ("[0.0, -13.5, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0]");
  g_assert_cmpuint (gtk_drop_down_get_selected (GTK_DROP_DOWN (devices)), ==, 1); /* "pickup (not there)" */
  gtk_drop_down_set_selected (GTK_DROP_DOWN (devices), 0);
  device = sl_settings_get_string (SL_SETTING_LISTEN_DEVICE, "pickup");
  g_assert_cmpstr (device, ==, "");
  gtk_window_destroy (GTK_WINDOW (window));
  window = sl_preferences_new (NULL);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (identified (window, "reference"))), ==, "442.5");
  temperament = identified (window, "temperament");
  g_assert_cmpuint (gtk_drop_down_get_selected (GTK_DROP_DOWN (temperament)), ==, 1);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (temperament), 0);
  assert_temperament ("[]");
  gtk_window_destroy (GTK_WINDOW (window));
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  if (!gtk_init_check ())
    return SKIPPED;
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/settings/moved", test_moved);
  g_test_add_func ("/settings/left-open", test_left_open);
  g_test_add_func ("/settings/preferences", test_preferences);
  g_test_add_func ("/settings/listening", test_listening);
  g_test_add_func ("/settings/quit", test_quit);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The climate sheet as something to type in: air, band, wood and hygrometers. Expected figures: Wood Handbook
 * (FPL-GTR-282) table 4-2 (published) and equation 13-2, Greenspan's salts (J. Res. NBS 81A, 1977; published), Magnus
 * (WMO-No. 8). Skipped where there is no display. */
#include "desk/sheets/parts.h"
#include "desk/sheets/sheets.h"
#include "desk/kit/length-entry.h"
#include "bench/profiles.h"
#include "bench/settings.h"

#include <math.h>
#include <string.h>

#define SKIPPED 77

static void
settle (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static void
add_visit (SlProfile *profile, const char *day, double humidity, double relief, double action)
{
  SlVisit visit = sl_visit_init ();
  SlReadingSet set = sl_reading_set_init ();

  visit.id = g_strdup_printf ("v%u", profile->visits->len + 1);
  visit.opened = g_strdup (day);
  set.id = g_strdup_printf ("r%u", profile->visits->len + 1);
  set.taken = g_strdup_printf ("%sT10:00:00Z", day);
  set.temperature = sl_number (20);
  set.humidity = sl_number (humidity);
  for (int kind = SL_READ_RELIEF; kind <= SL_READ_ACTION; kind++)
    {
      SlReading reading = sl_reading_init ((SlReadingKind) kind);

      if (kind == SL_READ_TONGUE)
        continue;
      reading.string = 1;
      reading.fret = kind == SL_READ_RELIEF ? 7 : kind == SL_READ_ACTION ? 12 : 1;
      reading.value = sl_number (kind == SL_READ_RELIEF ? relief : kind == SL_READ_ACTION ? action : 0.45);
      sl_reading_set_put (&set, reading);
    }
  g_array_append_val (visit.sets, set);
  g_array_append_val (profile->visits, visit);
}

/* One string, read in three seasons. */
static SlBench *
make_bench (void)
{
  SlProfile *profile = sl_profile_new ();

  profile->id = g_strdup ("5f0c2f6e-6a57-4f3e-8a0e-6b8f3f1f0a12");
  profile->identity.label = g_strdup ("Sluice house mandola");
  profile->neck.scale_length = sl_number (500);
  profile->neck.frets = 20;
  profile->neck.joint_fret = 14;
  profile->n_strings = 1;
  profile->strings[0] = (SlString){ .axial_stiffness = SL_NUMBER_ABSENT,
                                    .bending_stiffness = SL_NUMBER_ABSENT,
                                    .note = g_strdup ("A4"),
                                    .frequency = SL_NUMBER_ABSENT,
                                    .core = SL_CORE_STEEL,
                                    .core_diameter = sl_number (0.3),
                                    .wrap_diameter = SL_NUMBER_ABSENT,
                                    .unit_mass = SL_NUMBER_ABSENT };
  add_visit (profile, "2025-01-01", 40, 0.10, 1.60);
  add_visit (profile, "2025-05-01", 50, 0.15, 1.70);
  add_visit (profile, "2025-09-01", 60, 0.20, 1.81);
  return sl_bench_new (profile);
}

typedef struct
{
  GtkWidget *window, *sheet;
  SlBench *bench;
} Fixture;

static void
set_up (Fixture *f, gconstpointer data)
{
  g_settings_reset (sl_settings (), SL_SETTING_HYGROMETER_CHECKS);
  g_settings_reset (sl_settings (), SL_SETTING_KEEPING);
  f->bench = make_bench ();
  f->sheet = sl_climate_sheet_new (f->bench);
  f->window = gtk_window_new ();
  gtk_window_set_default_size (GTK_WINDOW (f->window), 720, 400);
  gtk_window_set_child (GTK_WINDOW (f->window), f->sheet);
  gtk_window_present (GTK_WINDOW (f->window));
  settle ();
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  gtk_window_destroy (GTK_WINDOW (f->window));
  settle ();
  g_assert_finalize_object (f->bench);
}

/* The control of this accessible name; parts that are not shown count too. */
static GtkWidget *
named (GtkWidget *widget, const char *name)
{
  g_autofree char *differs = NULL;

  if (GTK_IS_EDITABLE (widget) || GTK_IS_DROP_DOWN (widget))
    {
      differs = gtk_test_accessible_check_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_LABEL, name);
      if (differs == NULL)
        return widget;
    }
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child; child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = named (child, name);
      if (found)
        return found;
    }
  return NULL;
}

static void
type (Fixture *f, const char *name, const char *text)
{
  GtkWidget *entry = named (f->sheet, name);

  if (entry == NULL)
    g_error ("there is no entry “%s”", name);
  gtk_editable_set_text (GTK_EDITABLE (entry), text);
  if (SL_IS_LENGTH_ENTRY (entry))
    g_signal_emit_by_name (entry, "activate");
  settle ();
}

static gboolean
is_wrong (Fixture *f, const char *name)
{
  return gtk_widget_has_css_class (named (f->sheet, name), "error");
}

/* Whether a label, also of a part not shown, says this. */
static gboolean
says (GtkWidget *widget, const char *words)
{
  if (GTK_IS_LABEL (widget) && strstr (gtk_label_get_text (GTK_LABEL (widget)), words) != NULL)
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child; child = gtk_widget_get_next_sibling (child))
    if (says (child, words))
      return TRUE;
  return FALSE;
}

static GtkWidget *
button (GtkWidget *widget, const char *label)
{
  if (GTK_IS_BUTTON (widget) && g_strcmp0 (gtk_button_get_label (GTK_BUTTON (widget)), label) == 0)
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child; child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = button (child, label);
      if (found)
        return found;
    }
  return NULL;
}

/* What is typed is told; what can't be is marked and nothing told of it. */
static void
test_air (Fixture *f, gconstpointer data)
{
  /* the last readings' air to begin with; table 4-2 has 11.0 % for 60 % RH at 21.1 °C, Magnus 12.0 °C for its dew point
   * at 20 °C (derived) */
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (named (f->sheet, "Temperature"))), ==, "20.0");
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (named (f->sheet, "Humidity"))), ==, "60");
  g_assert_true (says (f->sheet, "dew point 12.0 °C"));
  type (f, "Temperature", "21.1");
  g_assert_true (says (f->sheet, "Wood comes to 11.0 % moisture content"));
  type (f, "Temperature", "20,0");
  g_assert_false (is_wrong (f, "Temperature"));
  type (f, "Temperature", "21,1"); /* a keypad has a comma in any language */
  g_assert_true (says (f->sheet, "Wood comes to 11.0 % moisture content"));
  type (f, "Humidity", "30");
  g_assert_true (says (f->sheet, "Wood comes to 6.2 % moisture content"));
  g_assert_true (says (f->sheet, "too dry for the instrument"));
  type (f, "Humidity", "damp");
  g_assert_true (is_wrong (f, "Humidity"));
  g_assert_false (is_wrong (f, "Temperature"));
  g_assert_true (says (f->sheet, "a humidity from 1 to 100 %"));
  g_assert_false (says (f->sheet, "moisture content;"));
  type (f, "Humidity", "101");
  g_assert_true (is_wrong (f, "Humidity"));
  type (f, "Humidity", "50");
  g_assert_false (is_wrong (f, "Humidity"));
}

/* Action and relief are foretold inside what they were read in, by the line through the seasons, and refused outside
 * with the bounds. */
static void
test_range (Fixture *f, gconstpointer data)
{
  type (f, "Temperature", "20");
  type (f, "Humidity", "50");
  g_assert_true (says (f->sheet, "Action, treble: 1.70 ±0."));
  g_assert_true (says (f->sheet, "Relief, treble: 0.15 ±0."));
  type (f, "Humidity", "39");
  /* table 4-2 at 21.1 °C: 7.7 % for 40 % RH, 11.0 % for 60 % (published) */
  g_assert_true (says (f->sheet, "Action, treble: no prediction; it was only read between 7.7 and 11.0 % of moisture"));
  g_assert_true (says (f->sheet, "Relief, treble: no prediction; it was only read between"));
  type (f, "Humidity", "61");
  g_assert_true (says (f->sheet, "Action, treble: no prediction"));
  sl_bench_set_lengths (f->bench, SL_LENGTHS_64THS);
  type (f, "Humidity", "50");
  g_assert_true (
      says (f->sheet, "Action, treble: 0.067 ±0.")); /* 1.70 mm; a 64th is too coarse for what is uncertain by less */
  g_assert_false (says (f->sheet, "±0.000 in"));
}

/* The band is the shop's; out of order it is marked and the last one in order holds. */
static void
test_band (Fixture *f, gconstpointer data)
{
  SlKeeping keeping;

  type (f, "Temperature", "20");
  type (f, "Humidity", "58");
  g_assert_true (says (f->sheet, "damper than the instrument likes"));
  type (f, "Good up to", "60");
  g_assert_true (says (f->sheet, "good for the instrument"));
  keeping = sl_settings_get_keeping ();
  g_assert_cmpfloat (keeping.most, ==, 60);
  g_assert_cmpfloat (keeping.least, ==, SL_KEEPING_DEFAULT.least);
  type (f, "Good up to", "44");
  g_assert_true (is_wrong (f, "Good up to"));
  g_assert_cmpfloat (sl_settings_get_keeping ().most, ==, 60);
  {
    /* the next sheet has what was remembered */
    GtkWidget *other = g_object_ref_sink (sl_climate_sheet_new (f->bench));

    g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (named (other, "Good up to"))), ==, "60");
    g_object_unref (other);
  }
}

/* The band is kept between runs as it was set, and what is not in order is not taken. */
static void
test_band_kept (void)
{
  /* from, up to, harm below, harm above */
  const SlKeeping kept = { 42, 57.25, 38.5, 66 }, bad[] = {
    { 42, 57, 50, 66 }, { 58, 57, 38, 66 }, { 42, 57, 38, 101 }, { 42, 57, -1, 66 }, { 42, 57, NAN, 66 }
  };
  SlKeeping found;

  sl_settings_set_keeping (kept);
  found = sl_settings_get_keeping ();
  g_assert_true (found.dry == kept.dry && found.least == kept.least && found.most == kept.most &&
                 found.wet == kept.wet);
  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      const SlKeeping usual = SL_KEEPING_DEFAULT;

      sl_settings_set_keeping (bad[i]);
      found = sl_settings_get_keeping ();
      g_assert_true (found.dry == usual.dry && found.least == usual.least && found.most == usual.most &&
                     found.wet == usual.wet);
    }
  g_settings_reset (sl_settings (), SL_SETTING_KEEPING);
}

/* A hygrometer is checked over a salt, what comes of it is kept with the day, and corrects what is read with it. */
static void
test_check (Fixture *f, gconstpointer data)
{
  GtkWidget *keep = button (f->sheet, "Keep");
  g_autoptr (GDateTime) now = g_date_time_new_now_local ();
  g_autofree char *today = g_date_time_format (now, "%-d %b %Y"), *kept = NULL;
  g_auto (GStrv) none = sl_hygrometers (), names = NULL;

  g_assert_null (none[0]);
  g_assert_false (gtk_widget_get_sensitive (keep));
  type (f, "Temperature at the check", "20");
  type (f, "Shown by the hygrometer", "80");
  /* over common salt at 20 °C the air has 75.479 % (published) */
  g_assert_true (says (f->sheet, "Over this salt the air has 75.5 %: add −4.5 %"));
  g_assert_false (gtk_widget_get_sensitive (keep)); /* of no hygrometer */
  type (f, "Which hygrometer", "window sill");
  g_assert_true (gtk_widget_get_sensitive (keep));
  type (f, "Temperature at the check", "45");
  g_assert_false (gtk_widget_get_sensitive (keep));
  g_assert_true (is_wrong (f, "Temperature at the check"));
  type (f, "Temperature at the check", "20");
  g_signal_emit_by_name (keep, "clicked");
  settle ();
  names = sl_hygrometers ();
  g_assert_cmpstr (names[0], ==, "window sill");
  g_assert_null (names[1]);
  g_assert_cmpfloat_with_epsilon (sl_hygrometer_kept_correction ("window sill", 55), 75.479 - 80, 5e-4);
  g_assert_cmpfloat (sl_hygrometer_kept_correction ("another", 55), ==, 0);
  kept = g_strdup_printf ("%s, sodium chloride", today);
  g_assert_true (says (f->sheet, today));
  g_assert_true (says (f->sheet, "at 80.0 % add −4.5 %"));

  /* again over the same salt: in place of the first check */
  type (f, "Shown by the hygrometer", "78");
  g_signal_emit_by_name (keep, "clicked");
  settle ();
  g_assert_cmpfloat_with_epsilon (sl_hygrometer_kept_correction ("window sill", 55), 75.479 - 78, 5e-4);

  /* chosen, it corrects the humidity typed */
  type (f, "Humidity", "60");
  gtk_drop_down_set_selected (GTK_DROP_DOWN (named (f->sheet, "Hygrometer it was read with")), 1);
  settle ();
  g_assert_true (says (f->sheet, "Corrected: 57.5 %."));
}

/* Wood across the grain, in whatever units are chosen. */
static void
test_wood (Fixture *f, gconstpointer data)
{
  GtkWidget *wood = named (f->sheet, "Wood"), *width = named (f->sheet, "Width across the grain");

  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button (f->sheet, "Wood")), TRUE);
  settle ();
  /* Wood Handbook, chapter 13: 232 mm, C 0.00245, from 8 to 11 %: 1.7052 mm (worked example, from memory) */
  gtk_drop_down_set_selected (GTK_DROP_DOWN (wood),
                              g_list_model_get_n_items (gtk_drop_down_get_model (GTK_DROP_DOWN (wood))) - 1);
  type (f, "Change of width for each %\302\240of moisture content", "0.00245");
  type (f, "Moisture content at first", "8");
  type (f, "Moisture content later", "11");
  g_assert_true (says (f->sheet, "Give a width, 1 to 1000 mm")); /* none is given yet */
  type (f, "Width across the grain", "232");
  g_assert_true (says (f->sheet, "It swells by 1.71 mm (0.74 %)."));
  sl_bench_set_lengths (f->bench, SL_LENGTHS_INCH);
  settle ();
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (width)), ==, "9.13"); /* 232 / 25.4 */
  g_assert_true (says (f->sheet, "It swells by 0.067 in (0.74 %)."));
  sl_bench_set_lengths (f->bench, SL_LENGTHS_64THS);
  type (f, "Width across the grain", "9 1/8\"");
  g_assert_cmpfloat_with_epsilon (sl_length_entry_get_value (SL_LENGTH_ENTRY (width)), 9.125 * 25.4, 1e-6);
  g_assert_true (says (f->sheet, "It swells by 0.067 in (0.73 %).")); /* 0.00245 × 3 × 9.125 in */
  type (f, "Moisture content later", "6");
  g_assert_true (says (f->sheet, "It shrinks by 0.045 in (0.49 %)."));
  /* outside 6 to 14 % the coefficients say nothing */
  type (f, "Moisture content later", "5.5");
  g_assert_true (is_wrong (f, "Moisture content later"));
  g_assert_true (says (f->sheet, "two moisture contents from 6 to 14 %"));
  type (f, "Moisture content later", "6");
  /* too wide for any wood: refused with the range, 1 to 1000 mm, in the unit shown, and what was in force stays */
  type (f, "Width across the grain", "50 in");
  g_assert_nonnull (sl_length_entry_get_message (SL_LENGTH_ENTRY (width)));
  g_assert_nonnull (
      strstr (sl_length_entry_get_message (SL_LENGTH_ENTRY (width)), "50 in is outside 3/64− to 39 3/8− in."));
  g_assert_cmpfloat_with_epsilon (sl_length_entry_get_value (SL_LENGTH_ENTRY (width)), 9.125 * 25.4, 1e-6);
}

/* The first mapped widget of @type whose text, if it is asked for, is @text; NULL: none. */
static GtkWidget *
shown (GtkWidget *widget, GType type, const char *text)
{
  GtkWidget *found = NULL;

  if (gtk_widget_get_mapped (widget) && G_TYPE_CHECK_INSTANCE_TYPE (widget, type) &&
      (text == NULL || g_strcmp0 (gtk_button_get_label (GTK_BUTTON (widget)), text) == 0))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = shown (child, type, text);
  return found;
}

/* Under the pointer a mark says what was read and when: three seasons' action and relief of one string, which is the
 * outer one of both sides. */
static void
test_marks (Fixture *f, gconstpointer data)
{
  const gint64 end = g_get_monotonic_time () + 60 * G_USEC_PER_SEC;
  GtkWidget *area = NULL;
  const GArray *marks = NULL;
  guint n = 0;

  while ((marks == NULL || marks->len == 0) && g_get_monotonic_time () < end)
    {
      g_main_context_iteration (NULL, FALSE);
      area = shown (f->sheet, GTK_TYPE_DRAWING_AREA, NULL);
      marks = area == NULL ? NULL : sl_picture_area_map (area)->marks;
    }
  g_assert_cmpuint (marks->len, ==, 2 * 2 * 3);
  for (guint i = 0; i < marks->len; i++)
    {
      const SlPictureLabel *mark = &g_array_index (marks, SlPictureLabel, i);

      n += g_str_has_prefix (mark->text, "1 Sep 2025, bass: 1.81 ±") && g_str_has_suffix (mark->text, " mm");
      g_assert_nonnull (sl_picture_area_mark (area, mark->rect.x + mark->rect.width / 2, mark->rect.y + 1));
    }
  g_assert_cmpuint (n, ==, 1);
  g_assert_null (sl_picture_area_mark (area, -100, -100));
  g_assert_null (shown (f->sheet, GTK_TYPE_BUTTON, "Start a reading run"));
}

/* Without readings it says what will be there, and how they are come by. */
static void
test_nothing (void)
{
  g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile ("flat-top"));
  GtkWidget *(*const sheets[]) (SlBench *) = { sl_climate_sheet_new, sl_history_sheet_new };

  for (gsize i = 0; i < G_N_ELEMENTS (sheets); i++)
    {
      GtkWidget *window = gtk_window_new ();

      gtk_window_set_child (GTK_WINDOW (window), sheets[i](bench));
      gtk_window_present (GTK_WINDOW (window));
      settle ();
      g_assert_nonnull (shown (window, GTK_TYPE_BUTTON, "Start a reading run"));
      gtk_window_destroy (GTK_WINDOW (window));
    }
}

#define ADD(path, function) g_test_add ("/desk/climate/" path, Fixture, NULL, set_up, function, tear_down)

int
main (int argc, char **argv)
{
  g_setenv ("GTK_A11Y", "test", TRUE); /* names are asked of GTK itself */
  if (!gtk_init_check () || sl_settings () == NULL)
    return SKIPPED;
  g_test_init (&argc, &argv, NULL);
  ADD ("air", test_air);
  ADD ("range", test_range);
  ADD ("band", test_band);
  g_test_add_func ("/desk/climate/band-kept", test_band_kept);
  ADD ("check", test_check);
  ADD ("wood", test_wood);
  ADD ("marks", test_marks);
  g_test_add_func ("/desk/climate/nothing", test_nothing);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The readings form on a bench: which rows an instrument is asked, the order Enter takes, what becomes of what is
 * typed, and undo. The order of measuring (relief, first gap, action, saddle, air, pitch) is that of the form's own
 * header. Skipped where there is no display. */
#include "desk/readings/readings.h"

#include "desk/readings/parts.h"

#define SKIPPED 77

typedef struct
{
  GtkWidget *window, *form;
  SlBench *bench;
} Fixture;

static void
settle (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static SlProfile *
six_strings (void)
{
  static const char *const notes[] = { "E4", "B3", "G3", "D3", "A2", "E2" };
  SlProfile *profile = sl_profile_new ();
  profile->id = g_strdup ("5f0c2f6e-6a57-4f3e-8a0e-6b8f3f1f0a11");
  profile->identity.label = g_strdup ("Jetty six");
  profile->neck.scale_length = sl_number (640);
  profile->neck.frets = 20;
  profile->neck.joint_fret = 14;
  profile->n_strings = G_N_ELEMENTS (notes);
  for (int i = 0; i < profile->n_strings; i++)
    {
      SlString *string = &profile->strings[i];
      string->note = g_strdup (notes[i]);
      string->core = SL_CORE_STEEL;
      string->core_diameter = sl_number (0.3 + 0.05 * i);
      string->frequency = string->unit_mass = string->wrap_diameter = SL_NUMBER_ABSENT;
    }
  return profile;
}

static void
set_up (Fixture *f, gconstpointer data)
{
  f->bench = sl_bench_new (six_strings ());
  f->form = sl_readings_form_new (f->bench);
  f->window = gtk_window_new ();
  gtk_window_set_default_size (GTK_WINDOW (f->window), 300, 700);
  gtk_window_set_child (GTK_WINDOW (f->window), f->form);
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

/* Rows in the order they stand in, those of closed expanders left out. */
static void
collect_rows (GtkWidget *widget, GPtrArray *rows)
{
  if (SL_IS_READING_ROW (widget) && gtk_widget_get_mapped (widget))
    g_ptr_array_add (rows, widget);
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child; child = gtk_widget_get_next_sibling (child))
    collect_rows (child, rows);
}

static SlReadingRow *
find_row (Fixture *f, const char *name)
{
  g_autoptr (GPtrArray) rows = g_ptr_array_new ();
  collect_rows (f->form, rows);
  for (guint i = 0; i < rows->len; i++)
    {
      g_autofree char *full = sl_question_full_name (&SL_READING_ROW (rows->pdata[i])->question);
      if (g_str_equal (full, name))
        return rows->pdata[i];
    }
  return NULL;
}

static SlLengthEntry *
entry_of (Fixture *f, const char *name)
{
  SlReadingRow *row = find_row (f, name);
  if (row == NULL)
    g_error ("there is no row “%s”", name);
  return SL_LENGTH_ENTRY (row->entry);
}

/* The row the keyboard is in, by its full name; free with g_free(). */
static char *
focused_row (Fixture *f)
{
  GtkWidget *focus = gtk_root_get_focus (GTK_ROOT (f->window));
  GtkWidget *row = focus ? gtk_widget_get_ancestor (focus, SL_TYPE_READING_ROW) : NULL;
  return row ? sl_question_full_name (&SL_READING_ROW (row)->question) : NULL;
}

static void
type_and_enter (SlLengthEntry *entry, const char *text)
{
  gtk_editable_set_text (GTK_EDITABLE (entry), text);
  g_signal_emit_by_name (entry, "activate");
}

/* A gauge types a value and Enter into whatever has the keyboard. */
static void
gauge (Fixture *f, const char *text)
{
  GtkWidget *focus = gtk_root_get_focus (GTK_ROOT (f->window));
  type_and_enter (SL_LENGTH_ENTRY (gtk_widget_get_ancestor (focus, SL_TYPE_LENGTH_ENTRY)), text);
}

static double
reading (Fixture *f, SlReadingKind kind, int string, int fret)
{
  const SlReadingSet *set = sl_bench_get_set (f->bench);
  const SlReading *found = set ? sl_reading_set_find (set, kind, string, fret, SL_HELD_DEFAULT) : NULL;
  return found ? found->value.v : NAN;
}

static void
test_gauge_fills_form (Fixture *f, gconstpointer data)
{
  static const struct
  {
    const char *name, *text;
  } rows[] = {
    { "Relief at fret 7, string 6", "0.30" },
    { "Relief at fret 7, string 1", "0.24" },
    { "Fall-away of the fingerboard extension at the last fret", "0.1" },
    { "Height at fret 1, string 6", "0.68" },
    { "Height at fret 1, string 1", "0.5" },
    { "Action at fret 12, string 6", "3.1" },
    { "Action at fret 12, string 1", "2.4" },
    { "Exposure, string 6", "3.9" },
    { "Exposure, string 1", "3.0" },
    { "Compensation, string 6", "4" },
    { "Compensation, string 1", "1.4" },
    { "Temperature", "22" },
    { "Relative humidity", "63" },
    { "Pitch at fret 12, string 6", "2" },
    { "Pitch at fret 12, string 1", "-1.5" },
  };
  g_autofree char *past = NULL;
  gtk_widget_grab_focus (f->form);
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autofree char *name = focused_row (f);
      g_assert_cmpstr (name, ==, rows[i].name);
      gauge (f, rows[i].text);
    }
  past = focused_row (f);
  g_assert_null (past); /* past the last row a gauge meets no entry */
  g_assert_cmpfloat (reading (f, SL_READ_RELIEF, 6, 7), ==, 0.3);
  g_assert_cmpfloat (reading (f, SL_READ_TONGUE, 0, 0), ==, 0.1);
  g_assert_cmpfloat (reading (f, SL_READ_FIRST_GAP, 1, 1), ==, 0.5);
  g_assert_cmpfloat (reading (f, SL_READ_ACTION, 6, 12), ==, 3.1);
  g_assert_cmpfloat (reading (f, SL_READ_SETBACK, 1, 0), ==, 1.4);
  g_assert_cmpfloat (reading (f, SL_READ_PITCH, 1, 12), ==, -1.5);
  g_assert_cmpfloat (sl_bench_get_set (f->bench)->temperature.v, ==, 22);
  g_assert_cmpfloat (sl_bench_get_set (f->bench)->humidity.v, ==, 63);
}

static void
test_bad_text (Fixture *f, gconstpointer data)
{
  SlLengthEntry *entry = entry_of (f, "Action at fret 12, string 6");
  gtk_widget_grab_focus (GTK_WIDGET (entry));
  gauge (f, "2.5");
  gtk_widget_grab_focus (GTK_WIDGET (entry));
  gauge (f, "12,5x");
  {
    g_autofree char *name = focused_row (f);
    g_assert_cmpstr (name, ==, "Action at fret 12, string 6");
  }
  g_assert_cmpfloat (reading (f, SL_READ_ACTION, 6, 12), ==, 2.5);
  g_assert_nonnull (sl_length_entry_get_message (entry));
  /* a change elsewhere leaves the text for correction */
  type_and_enter (entry_of (f, "Temperature"), "20");
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, "12,5x");
  g_assert_nonnull (sl_length_entry_get_message (entry));
}

static void
test_undo (Fixture *f, gconstpointer data)
{
  SlLengthEntry *entry = entry_of (f, "Action at fret 12, string 6");
  type_and_enter (entry, "2.5");
  g_assert_cmpstr (sl_bench_get_undo_name (f->bench), ==, "reading: action, string 6");
  type_and_enter (entry, "2.3");
  sl_bench_undo (f->bench);
  g_assert_cmpfloat (sl_length_entry_get_value (entry), ==, 2.5);
  sl_bench_undo (f->bench);
  g_assert_true (isnan (sl_length_entry_get_value (entry)));
  sl_bench_redo (f->bench);
  sl_bench_redo (f->bench);
  g_assert_cmpfloat (sl_length_entry_get_value (entry), ==, 2.3);
  /* emptied: not read any more, and the row stays */
  type_and_enter (entry, "");
  g_assert_true (isnan (reading (f, SL_READ_ACTION, 6, 12)));
  g_assert_true (entry_of (f, "Action at fret 12, string 6") == entry);
}

static SlReading
make_reading (SlReadingKind kind, int string, int fret, SlHeld held, double value)
{
  SlReading made = sl_reading_init (kind);
  made.string = string;
  made.fret = fret;
  made.held = held;
  made.value = sl_number (value);
  return made;
}

/* Readings beyond the usual have rows of their own, and the row keeps its place when it is emptied. */
static void
test_other_readings (Fixture *f, gconstpointer data)
{
  g_assert_null (find_row (f, "Action at fret 5, string 6"));
  sl_bench_put_reading (f->bench, "test", make_reading (SL_READ_ACTION, 6, 5, SL_HELD_DEFAULT, 1.6));
  sl_bench_put_reading (f->bench, "test", make_reading (SL_READ_FIRST_GAP, 1, 1, SL_HELD_3, 0.1));
  settle ();
  g_assert_cmpfloat (sl_length_entry_get_value (entry_of (f, "Action at fret 5, string 6")), ==, 1.6);
  g_assert_cmpfloat (sl_length_entry_get_value (entry_of (f, "String height at fret 1 held at fret 3, string 1")), ==,
                     0.1);
  g_assert_null (find_row (f, "Height at fret 1, string 1")); /* the held one stands for it */
  type_and_enter (entry_of (f, "Action at fret 5, string 6"), "");
  settle ();
  g_assert_nonnull (find_row (f, "Action at fret 5, string 6"));
  g_assert_true (isnan (reading (f, SL_READ_ACTION, 6, 5)));
}

static gboolean
offers (GtkWidget *widget, const char *label)
{
  if (GTK_IS_BUTTON (widget) && gtk_widget_get_mapped (widget) &&
      g_strcmp0 (gtk_button_get_label (GTK_BUTTON (widget)), label) == 0)
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (offers (child, label))
      return TRUE;
  return FALSE;
}

/* A reading 0.9 mm off the line that the others draw is named, and what is chosen for it is kept. */
static void
test_suspect (Fixture *f, gconstpointer data)
{
  GtkWidget *row;
  static const struct
  {
    SlReadingKind kind;
    int string, fret;
    double value;
  } readings[] = {
    { SL_READ_RELIEF, 6, 7, 0.30 }, { SL_READ_RELIEF, 1, 7, 0.24 }, { SL_READ_FIRST_GAP, 6, 1, 0.68 },
    { SL_READ_ACTION, 6, 12, 3.1 }, { SL_READ_ACTION, 1, 12, 2.4 }, { SL_READ_ACTION, 6, 5, 2.9 },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (readings); i++)
    sl_bench_put_reading (
        f->bench, "test",
        make_reading (readings[i].kind, readings[i].string, readings[i].fret, SL_HELD_DEFAULT, readings[i].value));
  settle ();
  row = GTK_WIDGET (find_row (f, "Action at fret 5, string 6"));
  g_assert_nonnull (row);
  g_assert_true (gtk_widget_has_css_class (row, "suspect"));
  g_assert_false (gtk_widget_has_css_class (GTK_WIDGET (find_row (f, "Action at fret 12, string 6")), "suspect"));
  g_assert_true (offers (row, "Always keep"));
  g_assert_false (offers (row, "Exclude")); /* it is excluded already */

  g_assert_true (gtk_widget_activate_action (row, "reading.use", "s", "always"));
  g_assert_cmpint (sl_reading_set_find (sl_bench_get_set (f->bench), SL_READ_ACTION, 6, 5, SL_HELD_DEFAULT)->use, ==,
                   SL_USE_ALWAYS);
  g_assert_false (gtk_widget_has_css_class (row, "suspect"));
  g_assert_true (gtk_widget_activate_action (row, "reading.use", "s", "never"));
  g_assert_true (gtk_widget_has_css_class (row, "left-out"));
  g_assert_true (offers (row, "Let the fit decide"));
  g_assert_true (gtk_widget_activate_action (row, "reading.remove", NULL));
  settle ();
  g_assert_true (isnan (reading (f, SL_READ_ACTION, 6, 5)));
  g_assert_null (find_row (f, "Action at fret 5, string 6"));
}

/* The air is asked in a run as the readings are, and is never taken for another unit. */
static void
test_slip_of_air (Fixture *f, gconstpointer data)
{
  static const int asks[] = { SL_ASK_TEMPERATURE, SL_ASK_HUMIDITY };
  GtkWidget *offer = g_object_ref_sink (sl_slip_offer_new (f->bench, NULL, NULL));

  for (gsize i = 0; i < G_N_ELEMENTS (asks); i++)
    g_assert_false (sl_slip_offer_ask (offer, &(SlQuestion){ .ask = asks[i] }, 20));
  g_object_unref (offer);
}

/* What is typed outlives a change that makes and drops rows around it. */
static void
test_typing_stays (Fixture *f, gconstpointer data)
{
  SlLengthEntry *entry = entry_of (f, "Action at fret 12, string 1");
  gtk_widget_grab_focus (GTK_WIDGET (entry));
  gtk_editable_set_text (GTK_EDITABLE (entry), "2.");
  sl_bench_put_reading (f->bench, "test", make_reading (SL_READ_ACTION, 6, 5, SL_HELD_DEFAULT, 1.6));
  sl_bench_put_reading (f->bench, "test", make_reading (SL_READ_RELIEF, 6, 8, SL_HELD_DEFAULT, 0.2));
  settle ();
  g_assert_true (entry_of (f, "Action at fret 12, string 1") == entry);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, "2.");
  g_assert_nonnull (find_row (f, "Relief at fret 8, string 6"));
  g_assert_null (find_row (f, "Relief at fret 7, string 6")); /* another fret's relief stands for it */
}

/* Reading again keeps what was read and asks everything anew, with the tools that were stated. */
static void
test_read_again (Fixture *f, gconstpointer data)
{
  SlLengthEntry *entry = entry_of (f, "Action at fret 12, string 6");
  GtkWidget *header = gtk_widget_get_first_child (gtk_widget_get_first_child (f->form));
  type_and_enter (entry, "2.5");
  g_assert_true (gtk_widget_activate_action (header, "readings.again", NULL));
  g_assert_cmpint (sl_bench_get_visit (f->bench)->sets->len, ==, 2);
  g_assert_cmpint (sl_bench_get_set (f->bench)->stage, ==, SL_STAGE_DURING);
  g_assert_cmpint (sl_bench_get_set (f->bench)->readings->len, ==, 0);
  g_assert_true (isnan (sl_length_entry_get_value (entry)));
  sl_bench_undo (f->bench);
  g_assert_cmpfloat (sl_length_entry_get_value (entry), ==, 2.5);
}

/* The text of a row's label of this style class, NULL where it is not shown. */
static const char *
label_text (GtkWidget *widget, const char *class)
{
  if (GTK_IS_LABEL (widget) && gtk_widget_get_mapped (widget))
    for (GtkWidget *at = widget; at && !SL_IS_READING_ROW (at); at = gtk_widget_get_parent (at))
      if (gtk_widget_has_css_class (at, class))
        return gtk_label_get_text (GTK_LABEL (widget));
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child; child = gtk_widget_get_next_sibling (child))
    {
      const char *text = label_text (child, class);
      if (text)
        return text;
    }
  return NULL;
}

static void
edit_earlier (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  g_autoptr (GDateTime) now = g_date_time_new_now_utc (), then = g_date_time_add_hours (now, -2),
                        cut = g_date_time_add_hours (now, -1);
  SlReadingSet *first = &g_array_index (visit->sets, SlReadingSet, 0);
  SlOperation operation = sl_operation_init (SL_OP_CUT_SADDLE_BASE);

  g_free (first->taken);
  first->taken = g_date_time_format (then, "%Y-%m-%dT%H:%M:%SZ");
  operation.amount = operation.amount_treble = sl_number (0.5);
  operation.done = g_date_time_format (cut, "%Y-%m-%dT%H:%M:%SZ");
  g_array_append_val (visit->plan, operation);
}

/* A reading not repeated carries over as what the work made of it, with its U, and says from where and how old; what
 * was read stays as a trace. Lowering the saddle by 0.5 mm takes about half of that off the action at 12 (common
 * practice); relief it leaves alone. */
static void
test_carried (Fixture *f, gconstpointer data)
{
  GtkWidget *header = gtk_widget_get_first_child (gtk_widget_get_first_child (f->form)), *row;
  const char *note;
  int least = 0;

  type_and_enter (entry_of (f, "Action at fret 12, string 6"), "2.5");
  type_and_enter (entry_of (f, "Action at fret 12, string 1"), "2.1");
  type_and_enter (entry_of (f, "Relief at fret 7, string 6"), "0.2");
  type_and_enter (entry_of (f, "Exposure, string 6"), "3.4");
  type_and_enter (entry_of (f, "Temperature"), "20");
  sl_bench_put_reading (f->bench, "test", make_reading (SL_READ_ACTION, 6, 5, SL_HELD_DEFAULT, 1.35));
  settle ();
  g_assert_null (label_text (GTK_WIDGET (find_row (f, "Action at fret 12, string 6")), "trace"));
  g_assert_true (gtk_widget_activate_action (header, "readings.again", NULL));
  sl_bench_edit (f->bench, "test", SL_CHANGED_READINGS, TRUE, edit_earlier, NULL);
  settle ();

  row = GTK_WIDGET (find_row (f, "Action at fret 12, string 6"));
  note = label_text (row, "note");
  g_assert_true (gtk_widget_has_css_class (row, "carried"));
  g_assert_true (g_str_has_prefix (note, "carried from Received, 2 h ago, ± 0."));
  g_assert_true (g_str_has_suffix (note, " mm"));
  g_assert_cmpstr (label_text (row, "trace"), ==, "before: 2.50");
  {
    const char *shown = gtk_entry_get_placeholder_text (GTK_ENTRY (SL_READING_ROW (row)->entry));
    g_autofree char *description = NULL;

    g_assert_cmpfloat_with_epsilon (g_ascii_strtod (shown, NULL), 2.25, 0.03);
    description = g_strdup_printf ("mm. %s. Read before: 2.50 mm, Received, 2 h ago", note);
    gtk_test_accessible_assert_property (GTK_ACCESSIBLE (SL_READING_ROW (row)->entry),
                                         GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, description);
  }
  row = GTK_WIDGET (find_row (f, "Relief at fret 7, string 6"));
  g_assert_cmpstr (gtk_entry_get_placeholder_text (GTK_ENTRY (SL_READING_ROW (row)->entry)), ==, "0.20");
  /* what comes off the base comes off the exposure; no tool is stated, so no ± */
  row = GTK_WIDGET (find_row (f, "Exposure, string 6"));
  g_assert_cmpstr (gtk_entry_get_placeholder_text (GTK_ENTRY (SL_READING_ROW (row)->entry)), ==, "2.90");
  g_assert_true (g_str_has_prefix (label_text (row, "note"), "carried from Received, 2 h ago"));
  /* asked before beyond the usual: asked again */
  row = GTK_WIDGET (find_row (f, "Action at fret 5, string 6"));
  g_assert_cmpstr (label_text (row, "trace"), ==, "before: 1.35");
  /* air does not carry over, but what it was stays to be seen */
  row = GTK_WIDGET (find_row (f, "Temperature"));
  g_assert_false (gtk_widget_has_css_class (row, "carried"));
  g_assert_cmpstr (label_text (row, "trace"), ==, "before: 20");
  /* never read: assumed, not carried */
  row = GTK_WIDGET (find_row (f, "Height at fret 1, string 6"));
  g_assert_false (gtk_widget_has_css_class (row, "carried"));
  g_assert_null (label_text (row, "trace"));

  /* read again: a reading like any other, with its trace */
  type_and_enter (entry_of (f, "Action at fret 12, string 6"), "2.3");
  row = GTK_WIDGET (find_row (f, "Action at fret 12, string 6"));
  g_assert_false (gtk_widget_has_css_class (row, "carried"));
  g_assert_null (label_text (row, "note"));
  g_assert_cmpstr (label_text (row, "trace"), ==, "before: 2.50");
  for (int lengths = SL_LENGTHS_MM; lengths <= SL_LENGTHS_64THS; lengths++)
    {
      sl_bench_set_lengths (f->bench, (SlLengths) lengths);
      gtk_widget_measure (f->form, GTK_ORIENTATION_HORIZONTAL, -1, &least, NULL, NULL, NULL);
      g_assert_cmpint (least, <=, 280);
    }
  settle ();
  g_assert_cmpstr (label_text (row, "trace"), ==, "before: 3/32+"); /* 2.5 mm is 6.3 64ths */
}

static void
test_names (Fixture *f, gconstpointer data)
{
  g_autoptr (GPtrArray) rows = g_ptr_array_new ();
  collect_rows (f->form, rows);
  g_assert_cmpint (rows->len, >, 0);
  for (guint i = 0; i < rows->len; i++)
    {
      g_autofree char *full = sl_question_full_name (&SL_READING_ROW (rows->pdata[i])->question);
      gtk_test_accessible_assert_property (GTK_ACCESSIBLE (SL_READING_ROW (rows->pdata[i])->entry),
                                           GTK_ACCESSIBLE_PROPERTY_LABEL, full);
    }
}

/* The column of ± has its room before there is one: no box moves aside with the first reading. */
static void
test_keeps_place (Fixture *f, gconstpointer data)
{
  GtkWidget *tolerance = find_row (f, "Action at fret 12, string 6")->tolerance;
  int before, after;

  gtk_widget_measure (tolerance, GTK_ORIENTATION_HORIZONTAL, -1, NULL, &before, NULL, NULL);
  type_and_enter (entry_of (f, "Relief at fret 7, string 6"), "0.3");
  type_and_enter (entry_of (f, "Action at fret 12, string 6"), "2.3");
  settle ();
  gtk_widget_measure (tolerance, GTK_ORIENTATION_HORIZONTAL, -1, NULL, &after, NULL, NULL);
  g_assert_cmpint (after, ==, before);
}

/* The form asks for no more than the width of its column. */
static void
test_width (Fixture *f, gconstpointer data)
{
  int least = 0;
  sl_bench_put_reading (f->bench, "test", make_reading (SL_READ_FIRST_GAP, 1, 1, SL_HELD_3, 0.1));
  for (int lengths = SL_LENGTHS_MM; lengths <= SL_LENGTHS_64THS; lengths++)
    {
      sl_bench_set_lengths (f->bench, (SlLengths) lengths);
      gtk_widget_measure (f->form, GTK_ORIENTATION_HORIZONTAL, -1, &least, NULL, NULL, NULL);
      g_assert_cmpint (least, <=, 280);
    }
}

static GtkWidget *
find_type (GtkWidget *widget, GType type)
{
  GtkWidget *found = g_type_is_a (G_OBJECT_TYPE (widget), type) && gtk_widget_get_mapped (widget) ? widget : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = find_type (child, type);
  return found;
}

/* A set read with the strings slack is asked for relief and none of their heights; one that holds heights can't be made
 * such a set. */
static void
test_slack (Fixture *f, gconstpointer data)
{
  GtkWidget *strings = find_type (f->form, GTK_TYPE_DROP_DOWN), *settled = find_type (f->form, GTK_TYPE_SWITCH);

  g_assert_nonnull (find_row (f, "Action at fret 12, string 6"));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (strings), 1);
  settle ();
  g_assert_cmpint (sl_bench_get_set (f->bench)->strings, ==, SL_STRINGS_SLACK);
  g_assert_null (find_row (f, "Action at fret 12, string 6"));
  g_assert_null (find_row (f, "Height at fret 1, string 6"));
  g_assert_nonnull (find_row (f, "Relief at fret 7, string 6"));
  sl_bench_undo (f->bench);
  settle ();
  g_assert_cmpuint (gtk_drop_down_get_selected (GTK_DROP_DOWN (strings)), ==, 0);

  type_and_enter (entry_of (f, "Action at fret 12, string 6"), "2.3");
  gtk_drop_down_set_selected (GTK_DROP_DOWN (strings), 1);
  settle ();
  g_assert_cmpint (sl_bench_get_set (f->bench)->strings, ==, SL_STRINGS_DEFAULT);
  g_assert_cmpuint (gtk_drop_down_get_selected (GTK_DROP_DOWN (strings)), ==, 0);

  gtk_switch_set_active (GTK_SWITCH (settled), FALSE);
  g_assert_cmpint (sl_bench_get_set (f->bench)->settled, ==, SL_SETTLED_NO);
  g_assert_cmpstr (sl_bench_get_undo_name (f->bench), ==, "settled in the air");
}

#define ADD(path, function) g_test_add ("/desk/readings-form/" path, Fixture, NULL, set_up, function, tear_down)

int
main (int argc, char **argv)
{
  g_setenv ("GTK_A11Y", "test", TRUE); /* names are asked of GTK itself */
  if (!gtk_init_check ())
    return SKIPPED;
  g_test_init (&argc, &argv, NULL);
  ADD ("gauge-fills-form", test_gauge_fills_form);
  ADD ("bad-text", test_bad_text);
  ADD ("undo", test_undo);
  ADD ("other-readings", test_other_readings);
  ADD ("slip-of-air", test_slip_of_air);
  ADD ("suspect", test_suspect);
  ADD ("typing-stays", test_typing_stays);
  ADD ("read-again", test_read_again);
  ADD ("carried", test_carried);
  ADD ("slack", test_slack);
  ADD ("names", test_names);
  ADD ("keeps-place", test_keeps_place);
  ADD ("width", test_width);
  return g_test_run ();
}

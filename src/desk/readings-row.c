/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings-row.h"

#include <glib/gi18n-lib.h>

/* Decimals shown of a length: hundredths, as tools are read, and one more where a small uncertainty needs it. */
#define LENGTH_PLACES 2
#define SETBACK_PLACES 1
#define SMALL_PLACES 3
#define SMALL_MM 0.005
#define SMALL_INCH_MM (0.001 * SL_MM_PER_INCH)

/* Room for "12.34" or "27/64": no reading is an inch long. */
#define ENTRY_CHARS 5

/* A reported uncertainty is U = 2u (design 3.3). */
#define COVERAGE 2.0

struct _SlReadingRow
{
  GtkWidget parent_instance;

  /* owned */
  SlBench *bench;
  SlQuestion question;
  char *step_name;
  SlBound bound;
  GSimpleAction *use_action, *remove_action;
  gboolean extra;

  /* children */
  GtkWidget *box, *name, *entry, *tolerance, *tolerance_label;
  GtkWidget *note, *note_icon, *note_label, *leave_out, *keep;
};

G_DEFINE_FINAL_TYPE (SlReadingRow, sl_reading_row, GTK_TYPE_WIDGET)

enum
{
  REMOVED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

/* What the bench knows of the row's question at present. */
typedef struct
{
  const SlReading *reading; /* NULL while not read */
  const SlReadingFit *fit;  /* NULL where the kind is not fitted */
  double value;
  double expected, expected_u; /* of an unread question, NAN where nothing is to be expected */
  gboolean assumed;            /* something assumed stands behind the expectation */
} Known;

char *
sl_reading_small_length (SlBench *bench, double mm)
{
  gboolean metric = sl_bench_get_lengths (bench) == SL_LENGTHS_MM;
  int places = fabs (mm) < (metric ? SMALL_MM : SMALL_INCH_MM) ? SMALL_PLACES : LENGTH_PLACES;
  return sl_length_format (mm, metric ? SL_LENGTHS_MM : SL_LENGTHS_INCH, places, sl_decimal_sign (), TRUE);
}

static gboolean
is_length (int ask)
{
  return ask < SL_N_READINGS && ask != SL_READ_PITCH;
}

static const char *
plain_unit (int ask)
{
  switch (ask)
    {
    case SL_ASK_TEMPERATURE:
      return "°C";
    case SL_ASK_HUMIDITY:
      return "%";
    default:
      return _("cents");
    }
}

static gboolean
is_assumed (const SlReading *reading, const SlFit *fit)
{
  int i = reading->string - 1;
  switch (reading->kind)
    {
    case SL_READ_RELIEF:
      return fit->relief_assumed_treble || fit->relief_assumed_bass;
    case SL_READ_TONGUE:
      return fit->tongue_assumed;
    case SL_READ_FIRST_GAP:
      return fit->first_gap_assumed[i];
    default:
      return fit->action_assumed[i] || (reading->held != SL_HELD_1 && fit->first_gap_assumed[i]);
    }
}

/* What the state as measured would have an unread question be, from the same row a reading of it would be (design 3.2). */
static void
expect_from_fit (const SlAnalysis *analysis, const SlReading *reading, Known *known)
{
  const SlState *state = &analysis->measured;
  double row[SL_MAX_UNKNOWNS] = { 0 }, constant = 0, sum = 0;
  int n = state->n_unknowns;

  sl_reading_row (&analysis->instrument, state, reading, row, &constant);
  known->expected = constant;
  for (int i = 0; i < n; i++)
    {
      known->expected += row[i] * state->u[i];
      for (int j = 0; j < n; j++)
        sum += row[i] * state->cov[i * n + j] * row[j];
    }
  known->expected_u = sqrt (MAX (sum, 0));
  known->assumed = is_assumed (reading, &analysis->fit);
}

static void
expect (SlReadingRow *self, const SlAnalysis *analysis, Known *known)
{
  const SlQuestion *q = &self->question;
  SlReading reading = sl_reading_init ((SlReadingKind) MIN (q->ask, SL_N_READINGS - 1));

  reading.string = q->string;
  reading.fret = q->ask == SL_READ_FIRST_GAP ? 1 : q->fret;
  reading.held = q->held;
  if (q->string > analysis->instrument.n_strings || q->fret > analysis->instrument.frets)
    return;
  switch (q->ask)
    {
    case SL_READ_RELIEF:
    case SL_READ_TONGUE:
    case SL_READ_FIRST_GAP:
    case SL_READ_ACTION:
      expect_from_fit (analysis, &reading, known);
      break;
    case SL_READ_EXPOSURE:
      if (analysis->measured.exposure_read)
        known->expected = analysis->measured.exposure[q->string - 1];
      break;
    case SL_READ_SETBACK:
      if (analysis->measured.setback_read)
        known->expected = analysis->measured.setback[q->string - 1];
      break;
    default:
      break;
    }
}

static Known
look_up (SlReadingRow *self)
{
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  int index = sl_question_find (set, &self->question);
  Known known = { NULL, NULL, sl_question_value (set, &self->question), NAN, NAN, FALSE };

  if (index >= 0)
    {
      known.reading = &g_array_index (set->readings, SlReading, index);
      if ((guint) index < analysis->fit.n_readings && analysis->fit.readings[index].in_fit)
        known.fit = &analysis->fit.readings[index];
    }
  else
    expect (self, analysis, &known);
  return known;
}

static char *
tolerance_text (SlReadingRow *self, const Known *known)
{
  double u = known->reading && is_length (self->question.ask) ? sl_reading_u (sl_bench_get_set (self->bench), known->reading->kind) : NAN;

  if (!is_length (self->question.ask))
    return g_strdup (plain_unit (self->question.ask));
  if (isfinite (u) && u > 0)
    {
      g_autofree char *range = sl_reading_small_length (self->bench, COVERAGE * u);
      return g_strdup_printf ("± %s", range);
    }
  return g_strdup (sl_bench_get_lengths (self->bench) == SL_LENGTHS_MM ? _("mm") : _("in"));
}

/* "2.31 ± 0.12 mm" */
static char *
with_range (SlReadingRow *self, double value, double u)
{
  g_autofree char *range = sl_reading_small_length (self->bench, COVERAGE * u);
  SlLengths lengths = sl_bench_get_lengths (self->bench);
  g_autofree char *text = sl_length_format (value, lengths == SL_LENGTHS_64THS ? SL_LENGTHS_INCH : lengths, LENGTH_PLACES, sl_decimal_sign (), FALSE);
  return g_strdup_printf ("%s ± %s", text, range);
}

/* What stands beneath the row, or NULL. */
static char *
note_text (SlReadingRow *self, const Known *known)
{
  if (known->fit && known->fit->suspect)
    {
      g_autofree char *others = with_range (self, known->fit->predicted, known->fit->predicted_u);
      return g_strdup_printf (_("Disagrees, left out: the others would have it be %s."), others);
    }
  if (known->fit && known->reading->use == SL_USE_NEVER)
    {
      g_autofree char *others = with_range (self, known->fit->predicted, known->fit->predicted_u);
      return g_strdup_printf (_("Left out by choice; the others say %s."), others);
    }
  if (known->fit && known->reading->use == SL_USE_ALWAYS)
    return g_strdup (_("Always kept, even where it disagrees."));
  if (!isnan (known->value) || isnan (known->expected))
    return NULL;
  if (!isfinite (known->expected_u))
    return g_strdup (_("taken from the strings that were read"));
  {
    g_autofree char *range = sl_reading_small_length (self->bench, COVERAGE * known->expected_u);
    return g_strdup_printf (known->assumed ? _("assumed, ± %s") : _("expected from other readings, ± %s"), range);
  }
}

static void
set_class (GtkWidget *widget, const char *class, gboolean on)
{
  if (on)
    gtk_widget_add_css_class (widget, class);
  else
    gtk_widget_remove_css_class (widget, class);
}

static void
update_note (SlReadingRow *self, const Known *known, const char *text)
{
  gboolean suspect = known->fit && known->fit->suspect;
  gboolean chosen = known->fit && !suspect && (known->reading->use == SL_USE_NEVER || known->reading->use == SL_USE_ALWAYS);

  gtk_widget_set_visible (self->note, text != NULL);
  gtk_widget_set_visible (self->note_icon, suspect);
  gtk_label_set_text (GTK_LABEL (self->note_label), text ? text : "");
  gtk_widget_set_visible (self->leave_out, suspect);
  gtk_widget_set_visible (self->keep, suspect || chosen);
  gtk_button_set_label (GTK_BUTTON (self->keep), chosen ? _("Let the fit decide") : _("Always keep"));
  gtk_actionable_set_action_target (GTK_ACTIONABLE (self->keep), "s", sl_use_names[chosen ? SL_USE_AUTO : SL_USE_ALWAYS]);
  set_class (GTK_WIDGET (self), "suspect", suspect);
  set_class (GTK_WIDGET (self), "left-out", known->fit && !known->fit->used);
}

static void
update_entry (SlReadingRow *self, const Known *known, const char *description)
{
  SlLengthEntry *entry = SL_LENGTH_ENTRY (self->entry);
  int least = !is_length (self->question.ask) ? 0 : self->question.ask == SL_READ_SETBACK ? SETBACK_PLACES : LENGTH_PLACES;

  sl_length_entry_set_lengths (entry, sl_bench_get_lengths (self->bench));
  sl_length_entry_set_places (entry, sl_places_for (known->value, least));
  sl_length_entry_set_assumed (entry, known->expected);
  sl_length_entry_set_value (entry, known->value);
  sl_length_entry_set_description (entry, description);
}

static SlBound
question_bound (const SlProfile *profile, int ask)
{
  switch (ask)
    {
    case SL_ASK_TEMPERATURE:
      return *sl_bound_find ("readings", "temperature");
    case SL_ASK_HUMIDITY:
      return *sl_bound_find ("readings", "humidity");
    default:
      return sl_reading_bound_for (profile, (SlReadingKind) ask);
    }
}

void
sl_reading_row_update (SlReadingRow *self)
{
  Known known = look_up (self);
  g_autofree char *name = sl_question_row_name (&self->question, sl_bench_get_profile (self->bench)->n_strings);
  g_autofree char *tolerance = tolerance_text (self, &known);
  g_autofree char *note = note_text (self, &known);
  g_autofree char *description = note ? g_strdup_printf ("%s. %s", tolerance, note) : g_strdup (tolerance);
  SlUse use = known.reading == NULL || known.reading->use == SL_USE_DEFAULT ? SL_USE_AUTO : known.reading->use;

  self->bound = question_bound (sl_bench_get_profile (self->bench), self->question.ask);
  gtk_label_set_text (GTK_LABEL (self->name), name);
  gtk_label_set_text (GTK_LABEL (self->tolerance_label), tolerance);
  set_class (GTK_WIDGET (self), "unread", isnan (known.value));
  update_entry (self, &known, description);
  update_note (self, &known, note);
  g_simple_action_set_state (self->use_action, g_variant_new_string (sl_use_names[use]));
  g_simple_action_set_enabled (self->use_action, known.fit != NULL);
  g_simple_action_set_enabled (self->remove_action, self->extra || !isnan (known.value));
  gtk_widget_set_sensitive (self->tolerance, self->extra || !isnan (known.value));
}

static void
on_committed (SlReadingRow *self, double value)
{
  sl_question_put (self->bench, &self->question, value);
}

static void
on_steps_begin (SlReadingRow *self)
{
  sl_bench_begin_gesture (self->bench, self->step_name);
}

static void
on_steps_end (SlReadingRow *self)
{
  sl_bench_end_gesture (self->bench);
}

static void
on_use (GSimpleAction *action, GVariant *state, gpointer data)
{
  SlReadingRow *self = data;
  for (int use = SL_USE_AUTO; use <= SL_USE_NEVER; use++)
    if (g_str_equal (sl_use_names[use], g_variant_get_string (state, NULL)))
      sl_question_put_use (self->bench, &self->question, (SlUse) use);
}

static void
on_remove (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  g_autoptr (SlReadingRow) self = g_object_ref (data);
  sl_question_put (self->bench, &self->question, NAN);
  g_signal_emit (self, signals[REMOVED], 0);
}

/* The menu is made when it is first opened: a form has dozens of rows. */
static void
create_menu (GtkMenuButton *button, gpointer data)
{
  g_autoptr (GMenu) menu = g_menu_new (), use = g_menu_new (), remove = g_menu_new ();

  if (gtk_menu_button_get_menu_model (button) != NULL)
    return;
  g_menu_append (use, _("Let the fit decide"), "reading.use::auto");
  g_menu_append (use, _("Always keep"), "reading.use::always");
  g_menu_append (use, _("Leave out"), "reading.use::never");
  g_menu_append_section (menu, _("This reading"), G_MENU_MODEL (use));
  g_menu_append (remove, _("Remove"), "reading.remove");
  g_menu_append_section (menu, NULL, G_MENU_MODEL (remove));
  gtk_menu_button_set_menu_model (button, G_MENU_MODEL (menu));
}

static void
sl_reading_row_dispose (GObject *object)
{
  SlReadingRow *self = SL_READING_ROW (object);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->bench);
  g_clear_object (&self->use_action);
  g_clear_object (&self->remove_action);
  g_clear_pointer (&self->step_name, g_free);
  G_OBJECT_CLASS (sl_reading_row_parent_class)->dispose (object);
}

static void
sl_reading_row_class_init (SlReadingRowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);
  G_OBJECT_CLASS (class)->dispose = sl_reading_row_dispose;
  signals[REMOVED] = g_signal_new ("removed", SL_TYPE_READING_ROW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "reading");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static GtkWidget *
label_new (const char *class)
{
  GtkWidget *label = gtk_label_new (NULL);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_widget_add_css_class (label, class);
  return label;
}

static void
build_note (SlReadingRow *self)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 4), *actions = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 4);

  self->note = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  self->note_icon = gtk_image_new_from_icon_name ("dialog-warning-symbolic");
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->note_icon), GTK_ACCESSIBLE_PROPERTY_LABEL, _("Disagrees"), -1);
  gtk_widget_set_valign (self->note_icon, GTK_ALIGN_START);
  self->note_label = label_new ("note");
  gtk_box_append (GTK_BOX (line), self->note_icon);
  gtk_box_append (GTK_BOX (line), self->note_label);

  self->leave_out = gtk_button_new_with_label (_("Leave out"));
  self->keep = gtk_button_new_with_label (_("Always keep"));
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self->leave_out), "reading.use");
  gtk_actionable_set_action_target (GTK_ACTIONABLE (self->leave_out), "s", sl_use_names[SL_USE_NEVER]);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self->keep), "reading.use");
  gtk_widget_add_css_class (self->leave_out, "small");
  gtk_widget_add_css_class (self->keep, "small");
  gtk_box_append (GTK_BOX (actions), self->leave_out);
  gtk_box_append (GTK_BOX (actions), self->keep);

  gtk_box_append (GTK_BOX (self->note), line);
  gtk_box_append (GTK_BOX (self->note), actions);
}

static void
sl_reading_row_init (SlReadingRow *self)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 4);

  self->name = label_new ("name");
  self->entry = sl_length_entry_new ();
  gtk_editable_set_width_chars (GTK_EDITABLE (self->entry), ENTRY_CHARS);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (self->entry), ENTRY_CHARS);
  gtk_widget_set_valign (self->entry, GTK_ALIGN_CENTER);
  self->tolerance_label = gtk_label_new (NULL);
  gtk_widget_set_halign (self->tolerance_label, GTK_ALIGN_START);
  gtk_widget_set_hexpand (self->tolerance_label, TRUE);
  self->tolerance = gtk_menu_button_new ();
  gtk_menu_button_set_child (GTK_MENU_BUTTON (self->tolerance), self->tolerance_label);
  /* The button centres its child in a box of its own; a column of ± reads better from the left. */
  gtk_widget_set_halign (gtk_widget_get_parent (self->tolerance_label), GTK_ALIGN_FILL);
  gtk_menu_button_set_has_frame (GTK_MENU_BUTTON (self->tolerance), FALSE);
  gtk_menu_button_set_create_popup_func (GTK_MENU_BUTTON (self->tolerance), create_menu, NULL, NULL);
  gtk_widget_add_css_class (self->tolerance, "tolerance");
  gtk_widget_set_valign (self->tolerance, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (line), self->name);
  gtk_box_append (GTK_BOX (line), self->entry);
  gtk_box_append (GTK_BOX (line), self->tolerance);

  build_note (self);
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_box_append (GTK_BOX (self->box), line);
  gtk_box_append (GTK_BOX (self->box), sl_length_entry_new_message (SL_LENGTH_ENTRY (self->entry)));
  gtk_box_append (GTK_BOX (self->box), self->note);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));

  g_signal_connect_swapped (self->entry, "committed", G_CALLBACK (on_committed), self);
  g_signal_connect_swapped (self->entry, "steps-begin", G_CALLBACK (on_steps_begin), self);
  g_signal_connect_swapped (self->entry, "steps-end", G_CALLBACK (on_steps_end), self);
}

static void
add_actions (SlReadingRow *self)
{
  g_autoptr (GSimpleActionGroup) group = g_simple_action_group_new ();

  self->use_action = g_simple_action_new_stateful ("use", G_VARIANT_TYPE_STRING, g_variant_new_string (sl_use_names[SL_USE_AUTO]));
  self->remove_action = g_simple_action_new ("remove", NULL);
  g_signal_connect (self->use_action, "change-state", G_CALLBACK (on_use), self);
  g_signal_connect (self->remove_action, "activate", G_CALLBACK (on_remove), self);
  g_action_map_add_action (G_ACTION_MAP (group), G_ACTION (self->use_action));
  g_action_map_add_action (G_ACTION_MAP (group), G_ACTION (self->remove_action));
  gtk_widget_insert_action_group (GTK_WIDGET (self), "reading", G_ACTION_GROUP (group));
}

/* Steps of the Up and Down keys that suit what is read: a setback is read with a rule to 0.1 mm, air and pitch to a whole unit (common practice). */
static double
question_step (int ask)
{
  if (!is_length (ask))
    return 1.0;
  return ask == SL_READ_SETBACK ? 0.1 : 0.01;
}

GtkWidget *
sl_reading_row_new (SlBench *bench, const SlQuestion *question)
{
  SlReadingRow *self = g_object_new (SL_TYPE_READING_ROW, NULL);
  SlLengthEntry *entry = SL_LENGTH_ENTRY (self->entry);
  g_autofree char *full = sl_question_full_name (question);
  g_autofree char *more = g_strdup_printf (_("What to do with: %s"), full);

  self->bench = g_object_ref (bench);
  self->question = *question;
  self->step_name = sl_question_step_name (question);
  add_actions (self);
  if (!is_length (question->ask))
    sl_length_entry_set_plain (entry, plain_unit (question->ask));
  sl_length_entry_set_fine (entry, question->ask != SL_READ_ACTION && question->ask != SL_READ_EXPOSURE && question->ask != SL_READ_SETBACK);
  sl_length_entry_set_bound (entry, &self->bound);
  sl_length_entry_set_step (entry, question_step (question->ask));
  sl_length_entry_set_allow_empty (entry, TRUE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, full, -1);
  gtk_accessible_update_property (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_PROPERTY_LABEL, full, -1);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->tolerance), GTK_ACCESSIBLE_PROPERTY_LABEL, more, -1);
  sl_reading_row_update (self);
  return GTK_WIDGET (self);
}

const SlQuestion *
sl_reading_row_get_question (SlReadingRow *self)
{
  return &self->question;
}

SlLengthEntry *
sl_reading_row_get_entry (SlReadingRow *self)
{
  return SL_LENGTH_ENTRY (self->entry);
}

GtkWidget *
sl_reading_row_get_tolerance (SlReadingRow *self)
{
  return self->tolerance;
}

void
sl_reading_row_set_extra (SlReadingRow *self, gboolean extra)
{
  self->extra = extra;
}

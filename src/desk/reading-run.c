/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/reading-run.h"

#include "desk/figure-text.h"
#include "desk/length-entry.h"
#include "desk/readings-question.h"
#include "desk/settings.h"
#include "desk/util.h"
#include "desk/visit-edit.h"
#include "draw/tool-place.h"
#include "setup/slip.h"
#include "setup/stages.h"

#include <glib/gi18n-lib.h>

#include <math.h>

#define WIDTH 860
#define HEIGHT 640
#define SPACING 10
#define MARGIN 18
#define PICTURE_LEAST_HEIGHT 250
#define ENTRY_CHARS 9
#define TICK_MS 900 /* long enough to be seen from the corner of an eye */

#define SL_TYPE_READING_RUN (sl_reading_run_get_type ())
G_DECLARE_FINAL_TYPE (SlReadingRun, sl_reading_run, SL, READING_RUN, GtkWindow)

struct _SlReadingRun
{
  GtkWindow parent_instance;

  /* owned widgets */
  GtkWidget *progress, *title, *hint, *picture, *entry, *message, *tick, *spread, *slip, *slip_text, *slip_yes, *slip_no;
  GtkWidget *back, *skip, *repeat, *kinds;

  SlBench *bench;    /* owned */
  GArray *questions; /* of SlQuestion, in the order of measuring */
  guint at;          /* questions->len: at the end */
  int last;          /* the place of what was taken last; −1: nothing yet */
  int nth;           /* of the repeats of this question */
  SlBound bound;
  double meant;      /* while a slip is asked about */
  guint tick_id;
};

G_DEFINE_FINAL_TYPE (SlReadingRun, sl_reading_run, GTK_TYPE_WINDOW)

static void show_question (SlReadingRun *self);

/* ---- what is asked ---- */

static gboolean
in_list (const char *key, const char *text, const char *const *fallback)
{
  g_auto (GStrv) list = sl_settings_get_strings (key, fallback);

  return g_strv_contains ((const char *const *) list, text);
}

static const char *
ask_name (int ask)
{
  return ask == SL_ASK_TEMPERATURE ? "temperature" : ask == SL_ASK_HUMIDITY ? "humidity" : sl_reading_names[ask];
}

/* What is usual but read seldom is left out until the shop asks for it. */
static const char *const seldom[] = { "setback", "crown-gap", "pitch", NULL };

static gboolean
is_asked (int ask)
{
  return !in_list (SL_SETTING_RUN_LEAVES_OUT, ask_name (ask), seldom);
}

static void
collect_usual (SlReadingRun *self)
{
  g_autoptr (GArray) usual = sl_questions_usual (sl_bench_get_profile (self->bench));

  g_array_set_size (self->questions, 0);
  for (guint i = 0; i < usual->len; i++)
    if (is_asked (g_array_index (usual, SlQuestion, i).ask))
      g_array_append_vals (self->questions, &g_array_index (usual, SlQuestion, i), 1);
}

/* After work: a new set, and what the work changes most. FALSE where nothing was done. */
static gboolean
collect_after_work (SlReadingRun *self)
{
  const SlVisit *visit = sl_bench_get_visit (self->bench);
  const SlReadingSet *set = visit == NULL ? NULL : sl_visit_last_set (visit);
  g_autoptr (GArray) since = set == NULL ? NULL : sl_questions_since (sl_bench_get_analysis (self->bench), visit, set->taken);

  if (since == NULL || since->len == 0)
    return FALSE;
  for (guint i = 0; i < since->len; i++)
    {
      const SlReading *reading = &g_array_index (since, SlReading, i);
      SlQuestion question = { reading->kind, reading->string, reading->kind == SL_READ_FIRST_GAP ? 0 : reading->fret, reading->held, 0 };

      g_array_append_val (self->questions, question);
    }
  sl_visit_add_set (self->bench, SL_STAGE_DURING);
  return TRUE;
}

static SlQuestion
question_at (SlReadingRun *self)
{
  SlQuestion question = g_array_index (self->questions, SlQuestion, MIN (self->at, self->questions->len - 1));

  question.nth = self->nth;
  return question;
}

static gboolean
at_end (SlReadingRun *self)
{
  return self->at >= self->questions->len;
}

/* The question as a reading, for what the model says of it. */
static SlReading
reading_of (const SlQuestion *question)
{
  SlReading reading = sl_reading_init (question->ask < SL_N_READINGS ? (SlReadingKind) question->ask : SL_READ_PITCH);

  reading.string = question->string;
  reading.fret = question->ask == SL_READ_FIRST_GAP ? 1 : question->fret;
  reading.held = question->held;
  return reading;
}

/* ---- taking a value in ---- */

static gboolean
on_tick_over (gpointer data)
{
  SlReadingRun *self = data;

  self->tick_id = 0;
  gtk_widget_set_opacity (self->tick, 0);
  return G_SOURCE_REMOVE;
}

static void
say_taken (SlReadingRun *self, const char *what)
{
  g_autofree char *text = g_strdup_printf ("✓ %s", what);
  GdkSurface *surface = gtk_native_get_surface (GTK_NATIVE (self));

  gtk_label_set_text (GTK_LABEL (self->tick), text);
  gtk_widget_set_opacity (self->tick, 1);
  g_clear_handle_id (&self->tick_id, g_source_remove);
  self->tick_id = g_timeout_add (TICK_MS, on_tick_over, self);
  if (surface != NULL)
    gdk_display_beep (gdk_surface_get_display (surface));
}

static void
move (SlReadingRun *self, int by)
{
  self->nth = 0;
  if (by < 0)
    self->at = self->at > 0 ? self->at - 1 : 0;
  else
    self->at = MIN (self->at + 1, self->questions->len);
  show_question (self);
}

static void
take (SlReadingRun *self, double value)
{
  SlQuestion question = question_at (self);
  g_autofree char *name = sl_question_full_name (&question), *text = NULL, *said = NULL;

  if (sl_question_value (sl_bench_get_set (self->bench), &question) != value)
    sl_question_put (self->bench, &question, value);
  text = g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->entry)));
  said = g_strdup_printf ("%s: %s", name, text);
  say_taken (self, said);
  self->last = (int) self->at;
  move (self, 1);
}

static void
ask_slip (SlReadingRun *self, double value)
{
  const SlLengths lengths = sl_bench_get_lengths (self->bench);
  const SlLengths other = lengths == SL_LENGTHS_MM ? SL_LENGTHS_INCH : SL_LENGTHS_MM;
  g_autofree char *meant = sl_length_format (self->meant, lengths, 2, sl_decimal_sign (), TRUE);
  g_autofree char *meant_other = sl_length_format (self->meant, other, 2, sl_decimal_sign (), TRUE);
  g_autofree char *typed = sl_length_format (value, lengths, sl_places_for (value, 2), sl_decimal_sign (), TRUE);
  g_autofree char *text = g_strdup_printf (_ ("Did you mean %s (%s)? %s is far from what is expected here."), meant, meant_other, typed);
  g_autofree char *yes = g_strdup_printf (_ ("Take %s"), meant), *no = g_strdup_printf (_ ("Keep %s"), typed);

  gtk_label_set_text (GTK_LABEL (self->slip_text), text);
  gtk_button_set_label (GTK_BUTTON (self->slip_yes), yes);
  gtk_button_set_label (GTK_BUTTON (self->slip_no), no);
  gtk_widget_set_visible (self->slip, TRUE);
  gtk_widget_grab_focus (self->slip_yes);
}

static void
on_step_next (SlLengthEntry *entry, SlReadingRun *self)
{
  const double value = sl_length_entry_get_value (entry);
  const SlQuestion question = question_at (self);
  const SlReading reading = reading_of (&question);
  double expected, u;

  if (at_end (self))
    return;
  if (isnan (value))
    {
      move (self, 1);
      return;
    }
  if (question.ask < SL_N_READINGS && sl_expected_reading (sl_bench_get_analysis (self->bench), &reading, &expected, &u)
      && sl_unit_slip (value, expected, u, &self->meant))
    {
      ask_slip (self, value);
      return;
    }
  take (self, value);
}

static void
on_step_previous (SlReadingRun *self)
{
  move (self, -1);
}

static void
on_slip_yes (SlReadingRun *self)
{
  sl_length_entry_set_value (SL_LENGTH_ENTRY (self->entry), self->meant);
  take (self, self->meant);
}

static void
on_slip_no (SlReadingRun *self)
{
  take (self, sl_length_entry_get_value (SL_LENGTH_ENTRY (self->entry)));
}

/* The next free place among the repeats of what was read last. */
static void
on_repeat (SlReadingRun *self)
{
  SlQuestion question;

  if (self->last >= 0)
    self->at = MIN ((guint) self->last, self->questions->len - 1);
  self->nth = 0;
  for (question = question_at (self); sl_question_find (sl_bench_get_set (self->bench), &question) >= 0; question.nth++)
    ;
  self->nth = question.nth;
  show_question (self);
}

/* ---- what is shown ---- */

static char *
hint_of (const SlQuestion *question, const SlProfile *profile)
{
  switch (question->ask)
    {
    case SL_READ_RELIEF:
      return g_strdup_printf (_ ("Strings in tune. Straightedge on frets 1 and %d beneath string %d; the gap over fret %d."), profile->neck.joint_fret, question->string, question->fret);
    case SL_READ_TONGUE:
      return g_strdup (_ ("The straightedge carried on to the last fret: how far the tongue falls away. A tongue that rises is negative."));
    case SL_READ_FIRST_GAP:
      return question->held == SL_HELD_3 ? g_strdup (_ ("String stopped behind fret 3; its underside over fret 1.")) : g_strdup (_ ("String open, neck as it is played; its underside over fret 1."));
    case SL_READ_ACTION:
      return g_strdup_printf (question->held == SL_HELD_1 ? _ ("Capo at fret 1; the string's underside over fret %d.") : _ ("String open, neck as it is played; its underside over fret %d."),
                              question->fret);
    case SL_READ_EXPOSURE:
      return g_strdup_printf (_ ("From the bridge's top to the crest, at string %d."), question->string);
    case SL_READ_SETBACK:
      return g_strdup_printf (_ ("How far the crest lies behind the scale length, at string %d."), question->string);
    case SL_READ_CROWN_GAP:
      return g_strdup_printf (_ ("Board set flat; the straightedge over fret %d."), question->fret);
    case SL_READ_PITCH:
      return g_strdup_printf (_ ("Tuned open; cents at fret %d."), question->fret);
    default:
      return g_strdup (_ ("The air the instrument lies in."));
    }
}

/* Mean and spread of what was read of this question, where it was read more than once. */
static void
show_spread (SlReadingRun *self, SlQuestion question)
{
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  const SlTextStyle style = { sl_bench_get_lengths (self->bench), sl_decimal_sign () };
  double sum = 0, squares = 0;
  int n = 0;

  for (question.nth = 0; sl_question_find (set, &question) >= 0; question.nth++, n++)
    {
      double value = sl_question_value (set, &question);

      sum += value;
      squares += value * value;
    }
  gtk_widget_set_visible (self->spread, n >= 2 && question.ask < SL_READ_PITCH);
  if (n < 2 || question.ask >= SL_READ_PITCH)
    {
      gtk_label_set_text (GTK_LABEL (self->spread), "");
      return;
    }
  g_autofree char *mean = sl_text_fine (&style, sum / n), *s = sl_text_fine (&style, sqrt (MAX (0, squares - sum * sum / n) / (n - 1)));
  g_autofree char *text = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%d reading, mean %s, spread %s (standard deviation)",
                                                       "%d readings, mean %s, spread %s (standard deviation)", (gulong) n), n, mean, s);

  gtk_label_set_text (GTK_LABEL (self->spread), text);
}

static void
show_entry (SlReadingRun *self, const SlQuestion *question)
{
  SlLengthEntry *entry = SL_LENGTH_ENTRY (self->entry);
  const gboolean length = question->ask < SL_N_READINGS && question->ask != SL_READ_PITCH;
  g_autofree char *name = sl_question_full_name (question);

  if (question->ask < SL_N_READINGS)
    self->bound = sl_reading_bound_for (sl_bench_get_profile (self->bench), (SlReadingKind) question->ask);
  else
    self->bound = *sl_bound_find ("readings", question->ask == SL_ASK_TEMPERATURE ? "temperature" : "humidity");
  sl_length_entry_set_plain (entry, length ? NULL : question->ask == SL_READ_PITCH ? _ ("cents") : question->ask == SL_ASK_TEMPERATURE ? "°C" : "%");
  sl_length_entry_set_fine (entry, question->ask != SL_READ_ACTION && question->ask != SL_READ_EXPOSURE && question->ask != SL_READ_SETBACK);
  sl_length_entry_set_lengths (entry, sl_bench_get_lengths (self->bench));
  sl_length_entry_set_bound (entry, &self->bound);
  /* what is no number does not follow to the next question */
  if (!sl_length_entry_commit (entry))
    {
      gtk_editable_set_text (GTK_EDITABLE (entry), "");
      sl_length_entry_commit (entry);
    }
  sl_length_entry_set_value (entry, sl_question_value (sl_bench_get_set (self->bench), question));
  sl_set_accessible_label (self->entry, name);
}

static void
show_question (SlReadingRun *self)
{
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  const gboolean end = at_end (self);
  g_autofree char *name = NULL, *hint = NULL, *progress = NULL;
  SlQuestion question = question_at (self);

  gtk_widget_set_visible (self->slip, FALSE);
  gtk_widget_set_sensitive (self->back, self->at > 0);
  if (end) /* the keyboard leaves the entry before it is closed to it */
    gtk_widget_grab_focus (self->back);
  gtk_widget_set_sensitive (self->entry, !end);
  gtk_widget_set_sensitive (self->skip, !end);
  gtk_widget_set_visible (self->picture, !end && question.ask < SL_N_READINGS);
  if (end)
    {
      gtk_label_set_text (GTK_LABEL (self->progress), "");
      gtk_label_set_text (GTK_LABEL (self->title), _ ("That was the last one"));
      gtk_label_set_text (GTK_LABEL (self->hint), _ ("Close the window, go back, or repeat the last reading."));
      gtk_widget_set_visible (self->spread, FALSE);
      return;
    }
  name = sl_question_full_name (&question);
  hint = hint_of (&question, profile);
  progress = self->nth > 0 ? g_strdup_printf (_ ("%u of %u, reading %d of the same"), self->at + 1, self->questions->len, self->nth + 1)
                           : g_strdup_printf (_ ("%u of %u"), self->at + 1, self->questions->len);
  gtk_label_set_text (GTK_LABEL (self->progress), progress);
  gtk_label_set_text (GTK_LABEL (self->title), name);
  gtk_label_set_text (GTK_LABEL (self->hint), hint);
  sl_set_accessible_label (self->picture, hint);
  show_entry (self, &question);
  show_spread (self, question);
  gtk_widget_queue_draw (self->picture);
  gtk_widget_grab_focus (self->entry);
}

static void
draw_picture (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  SlReadingRun *self = data;
  const SlQuestion question = question_at (self);
  const SlReading reading = reading_of (&question);
  const SlToolPlace place = { sl_bench_get_profile (self->bench), reading.kind, reading.string, reading.fret, reading.held, sl_is_dark (GTK_WIDGET (area)) };

  sl_tool_place_draw (cr, &place, width, height);
}

/* ---- keys ---- */

static const char *const next_keys[] = { "Page_Down", NULL };
static const char *const back_keys[] = { "Page_Up", NULL };

/* A pedal sends a key: it takes in what is typed, as Enter does. */
static gboolean
on_key (GtkEventControllerKey *keys, guint value, guint code, GdkModifierType state, SlReadingRun *self)
{
  const char *name = gdk_keyval_name (value);

  if (name == NULL || at_end (self) || gtk_widget_get_visible (self->slip))
    return FALSE;
  if (in_list (SL_SETTING_RUN_NEXT_KEYS, name, next_keys))
    {
      if (sl_length_entry_commit (SL_LENGTH_ENTRY (self->entry)))
        on_step_next (SL_LENGTH_ENTRY (self->entry), self);
      return TRUE;
    }
  if (in_list (SL_SETTING_RUN_BACK_KEYS, name, back_keys))
    {
      move (self, -1);
      return TRUE;
    }
  return FALSE;
}

static gboolean
on_escape (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  gtk_window_close (GTK_WINDOW (widget));
  return TRUE;
}

/* ---- the shop's choice of kinds ---- */

static void
on_kind (GtkCheckButton *check, SlReadingRun *self)
{
  g_auto (GStrv) old = sl_settings_get_strings (SL_SETTING_RUN_LEAVES_OUT, seldom);
  g_autoptr (GStrvBuilder) fresh = g_strv_builder_new ();
  const char *name = g_object_get_data (G_OBJECT (check), "kind");

  for (guint i = 0; old[i] != NULL; i++)
    if (!g_str_equal (old[i], name))
      g_strv_builder_add (fresh, old[i]);
  if (!gtk_check_button_get_active (check))
    g_strv_builder_add (fresh, name);
  g_auto (GStrv) list = g_strv_builder_end (fresh);

  sl_settings_set (SL_SETTING_RUN_LEAVES_OUT, g_variant_new_strv ((const char *const *) list, -1));
  collect_usual (self);
  self->at = MIN (self->at, self->questions->len);
  self->last = -1;
  if (self->questions->len > 0)
    show_question (self);
}

static GtkWidget *
build_kinds (SlReadingRun *self)
{
  static const struct
  {
    int ask;
    const char *title;
  } kinds[] = {
    { SL_READ_RELIEF, N_ ("Relief") },           { SL_READ_TONGUE, N_ ("Tongue") },     { SL_READ_CROWN_GAP, N_ ("Crowns") },
    { SL_READ_FIRST_GAP, N_ ("First gaps") },    { SL_READ_ACTION, N_ ("Action") },     { SL_READ_EXPOSURE, N_ ("Exposure") },
    { SL_READ_SETBACK, N_ ("Setback") },         { SL_ASK_TEMPERATURE, N_ ("Temperature") }, { SL_ASK_HUMIDITY, N_ ("Relative humidity") },
    { SL_READ_PITCH, N_ ("Pitch") },
  };
  GtkWidget *button = gtk_menu_button_new (), *popover = gtk_popover_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);

  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      GtkWidget *check = gtk_check_button_new_with_label (_ (kinds[i].title));

      gtk_check_button_set_active (GTK_CHECK_BUTTON (check), is_asked (kinds[i].ask));
      /* at least one is asked for, or there would be no run */
      gtk_widget_set_sensitive (check, kinds[i].ask != SL_READ_ACTION);
      g_object_set_data (G_OBJECT (check), "kind", (gpointer) ask_name (kinds[i].ask));
      g_signal_connect (check, "toggled", G_CALLBACK (on_kind), self);
      gtk_box_append (GTK_BOX (box), check);
    }
  gtk_popover_set_child (GTK_POPOVER (popover), box);
  sl_set_accessible_label (popover, _ ("What is asked"));
  gtk_menu_button_set_popover (GTK_MENU_BUTTON (button), popover);
  gtk_menu_button_set_label (GTK_MENU_BUTTON (button), _ ("What is asked"));
  sl_set_accessible_label (button, _ ("What is asked"));
  return button;
}

/* ---- building ---- */

static GtkWidget *
add_label (GtkWidget *box, const char *css_class)
{
  GtkWidget *label = gtk_label_new (NULL);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_widget_add_css_class (label, css_class);
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

static GtkWidget *
add_button (SlReadingRun *self, GtkWidget *box, const char *label, const char *tip, GCallback clicked)
{
  GtkWidget *button = gtk_button_new_with_label (label);

  gtk_widget_set_tooltip_text (button, tip);
  g_signal_connect_swapped (button, "clicked", clicked, self);
  gtk_box_append (GTK_BOX (box), button);
  return button;
}

static void
on_back (SlReadingRun *self)
{
  move (self, -1);
}

static void
on_skip (SlReadingRun *self)
{
  move (self, 1);
}

static void
build_entry (SlReadingRun *self, GtkWidget *box)
{
  GtkWidget *buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, SPACING);

  self->entry = sl_length_entry_new ();
  sl_length_entry_set_allow_empty (SL_LENGTH_ENTRY (self->entry), TRUE);
  gtk_editable_set_width_chars (GTK_EDITABLE (self->entry), ENTRY_CHARS);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (self->entry), ENTRY_CHARS);
  gtk_editable_set_alignment (GTK_EDITABLE (self->entry), 0.5);
  gtk_widget_set_halign (self->entry, GTK_ALIGN_CENTER);
  gtk_widget_add_css_class (self->entry, "sl-run-entry");
  g_signal_connect (self->entry, "step-next", G_CALLBACK (on_step_next), self);
  g_signal_connect_swapped (self->entry, "step-previous", G_CALLBACK (on_step_previous), self);
  gtk_box_append (GTK_BOX (box), self->entry);
  self->message = sl_length_entry_new_message (SL_LENGTH_ENTRY (self->entry));
  gtk_widget_set_halign (self->message, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (box), self->message);
  self->spread = add_label (box, "sl-dim");
  self->slip = gtk_box_new (GTK_ORIENTATION_VERTICAL, SPACING / 2);
  gtk_widget_add_css_class (self->slip, "sl-notice");
  gtk_widget_set_halign (self->slip, GTK_ALIGN_CENTER);
  self->slip_text = add_label (self->slip, "sl-more");
  self->slip_yes = add_button (self, buttons, "", _ ("Takes it in the other unit"), G_CALLBACK (on_slip_yes));
  self->slip_no = add_button (self, buttons, "", _ ("Takes it as it was typed"), G_CALLBACK (on_slip_no));
  gtk_widget_set_halign (buttons, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (self->slip), buttons);
  gtk_box_append (GTK_BOX (box), self->slip);
}

static void
sl_reading_run_dispose (GObject *object)
{
  SlReadingRun *self = SL_READING_RUN (object);

  g_clear_handle_id (&self->tick_id, g_source_remove);
  G_OBJECT_CLASS (sl_reading_run_parent_class)->dispose (object);
}

static void
sl_reading_run_finalize (GObject *object)
{
  SlReadingRun *self = SL_READING_RUN (object);

  g_clear_object (&self->bench);
  g_clear_pointer (&self->questions, g_array_unref);
  G_OBJECT_CLASS (sl_reading_run_parent_class)->finalize (object);
}

static void
sl_reading_run_class_init (SlReadingRunClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = sl_reading_run_dispose;
  G_OBJECT_CLASS (class)->finalize = sl_reading_run_finalize;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_DIALOG);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_Escape, 0, on_escape, NULL);
}

static void
sl_reading_run_init (SlReadingRun *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, SPACING), *buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, SPACING);
  GtkEventController *keys = gtk_event_controller_key_new ();

  self->questions = g_array_new (FALSE, FALSE, sizeof (SlQuestion));
  self->last = -1;
  gtk_window_set_title (GTK_WINDOW (self), _ ("Reading run"));
  gtk_window_set_default_size (GTK_WINDOW (self), WIDTH, HEIGHT);
  gtk_widget_add_css_class (GTK_WIDGET (self), "sidelong");
  g_object_set (box, "margin-top", MARGIN, "margin-bottom", MARGIN, "margin-start", MARGIN, "margin-end", MARGIN, NULL);
  self->progress = add_label (box, "sl-dim");
  self->title = add_label (box, "sl-run-title");
  self->hint = add_label (box, "sl-dim");
  self->picture = g_object_new (GTK_TYPE_DRAWING_AREA, "accessible-role", GTK_ACCESSIBLE_ROLE_IMG, NULL);
  gtk_widget_set_size_request (self->picture, -1, PICTURE_LEAST_HEIGHT);
  gtk_widget_set_vexpand (self->picture, TRUE);
  gtk_widget_add_css_class (self->picture, "sl-card");
  gtk_widget_add_css_class (self->picture, "sl-paper");
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (self->picture), draw_picture, self, NULL);
  gtk_box_append (GTK_BOX (box), self->picture);
  build_entry (self, box);
  self->tick = add_label (box, "sl-good");
  gtk_widget_set_opacity (self->tick, 0);
  self->back = add_button (self, buttons, _ ("Back"), _ ("To the reading before (Shift+Enter)"), G_CALLBACK (on_back));
  self->repeat = add_button (self, buttons, _ ("Repeat"), _ ("Reads the last one once more; repeats are averaged"), G_CALLBACK (on_repeat));
  self->skip = add_button (self, buttons, _ ("Skip"), _ ("Leaves this one unread"), G_CALLBACK (on_skip));
  self->kinds = build_kinds (self);
  gtk_box_append (GTK_BOX (buttons), self->kinds);
  gtk_widget_set_halign (buttons, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (box), buttons);
  gtk_window_set_child (GTK_WINDOW (self), box);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (on_key), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
}

void
sl_reading_run_present (GtkWindow *parent, SlBench *bench)
{
  SlReadingRun *self = g_object_new (SL_TYPE_READING_RUN, "transient-for", parent, "modal", TRUE, "destroy-with-parent", TRUE, NULL);

  self->bench = g_object_ref (bench);
  if (!collect_after_work (self))
    collect_usual (self);
  if (sl_is_dark (GTK_WIDGET (parent)))
    gtk_widget_add_css_class (GTK_WIDGET (self), "dark");
  show_question (self);
  gtk_window_present (GTK_WINDOW (self));
}

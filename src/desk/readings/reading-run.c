/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/readings.h"

#include "desk/photos/photos.h"
#include "desk/readings/parts.h"
#include "draw/draw.h"

#define TICK_MS 900 /* long enough to be noticed */
#define TICK_KEY "sl-tick"

#define SL_TYPE_READING_RUN (sl_reading_run_get_type ())
G_DECLARE_FINAL_TYPE (SlReadingRun, sl_reading_run, SL, READING_RUN, GtkWindow)

struct _SlReadingRun
{
  GtkWindow parent_instance;

  /* of the template, in the order they are bound in */
  GtkWidget *progress, *title, *hint, *picture, *entry_line, *entry, *unit, *hears, *spread, *tool_line, *tool_figures,
      *tick, *back, *next, *kinds, *done;
  GtkWidget *tool, *slip, *photos;

  SlBench *bench;    /* owned */
  SlListen *listen;  /* owned; NULL until it is first wanted */
  GArray *questions; /* of SlQuestion, in the order of measuring */
  guint at;          /* questions->len: at the end */
  int last;          /* the place of what was taken last; −1: nothing yet */
  int nth;           /* of the repeats of this question */
  SlBound bound;
};

G_DEFINE_FINAL_TYPE (SlReadingRun, sl_reading_run, GTK_TYPE_WINDOW)

static void show_question (SlReadingRun *self);

/* ---- what is asked ---- */

/* All that is usual, or after work what it changes most, in the order of measuring; before it the air, where it is to
 * be read again. */
static void
collect (SlReadingRun *self, const GArray *asked)
{
  static const SlQuestion air[] = { { .ask = SL_ASK_TEMPERATURE }, { .ask = SL_ASK_HUMIDITY } };
  const SlAirFound *found = &sl_bench_get_analysis (self->bench)->air;
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  const gboolean usual = asked == NULL || asked->len == 0;

  g_clear_pointer (&self->questions, g_array_unref);
  self->questions = usual ? sl_run_questions (sl_bench_get_profile (self->bench), set)
                          : g_array_new (FALSE, FALSE, sizeof (SlQuestion));
  SL_EACH (const SlReading, reading, asked)
    {
      const SlQuestion question = sl_question_from_reading (reading);

      g_array_append_val (self->questions, question);
    }
  if (!usual)
    g_array_sort (self->questions, sl_question_compare);
  if (usual ? found->read == set || found->state == SL_AIR_SETTLED : !found->settling)
    return;
  for (guint i = self->questions->len; i-- > 0;)
    if (g_array_index (self->questions, SlQuestion, i).ask >= SL_N_READINGS)
      g_array_remove_index (self->questions, i);
  g_array_prepend_vals (self->questions, air, G_N_ELEMENTS (air));
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

/* ---- accepting a value ---- */

static void
on_tick_over (GtkWidget *tick)
{
  g_object_steal_data (G_OBJECT (tick), TICK_KEY);
  gtk_widget_set_opacity (tick, 0);
}

static void
stop_tick (gpointer source)
{
  g_source_remove (GPOINTER_TO_UINT (source));
}

void
sl_tick (GtkWidget *tick, const char *text, gboolean stays)
{
  GdkSurface *surface = gtk_native_get_surface (gtk_widget_get_native (tick));

  sl_label_say (tick, "✓ %s", text);
  gtk_widget_set_opacity (tick, 1);
  if (!stays)
    g_object_set_data_full (G_OBJECT (tick), TICK_KEY,
                            GUINT_TO_POINTER (g_timeout_add_once (TICK_MS, (GSourceOnceFunc) on_tick_over, tick)),
                            stop_tick);
  if (surface != NULL)
    gdk_display_beep (gdk_surface_get_display (surface));
}

/* FALSE where what is typed is refused: the run stays where it is. */
static gboolean
take_entry (SlReadingRun *self)
{
  const gboolean taken = sl_length_entry_commit (SL_LENGTH_ENTRY (self->entry));

  if (!taken)
    gtk_widget_grab_focus (self->entry);
  return taken;
}

static void
move (SlReadingRun *self, int by)
{
  if (!take_entry (self))
    return;
  self->nth = 0;
  self->at = (guint) CLAMP ((int) self->at + by, 0, (int) self->questions->len);
  show_question (self);
}

static void
put (SlReadingRun *self, double value)
{
  const SlQuestion question = question_at (self);

  if (sl_question_value (sl_bench_get_set (self->bench), &question) != value)
    sl_question_put (self->bench, &question, value);
}

/* What is typed and left stands, as in the form, whether or not the run goes on. */
static void
on_committed (SlLengthEntry *entry, double value, SlReadingRun *self)
{
  if (!at_end (self))
    put (self, value);
}

/* Goes on from what was read. */
static void
tick_off (SlReadingRun *self)
{
  const SlQuestion question = question_at (self);
  g_autofree char *name = sl_question_full_name (&question), *text = NULL;

  text = g_strdup_printf ("%s: %s", name, gtk_editable_get_text (GTK_EDITABLE (self->entry)));
  sl_tick (self->tick, text, FALSE);
  self->last = (int) self->at;
  move (self, 1);
}

static void
accept (SlReadingRun *self, double value)
{
  put (self, value);
  tick_off (self);
}

static void
on_step (SlLengthEntry *entry, int by, SlReadingRun *self)
{
  const double value = sl_length_entry_get_value (entry);
  const SlQuestion question = question_at (self);

  if (at_end (self) && by > 0)
    return;
  if (by < 0 || isnan (value))
    move (self, by);
  else if (sl_slip_offer_ask (self->slip, &question, value))
    sl_slip_offer_focus (self->slip);
  else
    accept (self, value);
}

static void
on_back (SlReadingRun *self)
{
  move (self, -1);
}

/* As Enter; past a question whether that was meant, what was typed is kept. */
static void
on_next (SlReadingRun *self)
{
  if (gtk_widget_get_visible (self->slip))
    move (self, 1);
  else if (take_entry (self))
    on_step (SL_LENGTH_ENTRY (self->entry), 1, self);
}

static void
on_answered (gpointer run, double value)
{
  SlReadingRun *self = run;

  sl_length_entry_set_value (SL_LENGTH_ENTRY (self->entry), value);
  accept (self, value);
}

/* ---- listening ---- */

static gboolean
hears (SlReadingRun *self)
{
  return gtk_widget_get_visible (self->hears) && sl_is_on (self->hears) && !at_end (self);
}

/* A heard pitch comes as from a gauge: it is a reading already, with what it is uncertain by. */
static void
on_heard (SlReadingRun *self, int string, int fret)
{
  const SlQuestion question = question_at (self);

  if (!hears (self) || fret != question.fret) /* its open string comes first */
    return;
  sl_length_entry_set_value (SL_LENGTH_ENTRY (self->entry),
                             sl_question_value (sl_bench_get_set (self->bench), &question));
  tick_off (self);
}

static void
on_listen_changed (SlReadingRun *self)
{
  const char *trouble = self->listen->trouble;

  if (!hears (self))
    return;
  sl_label_set (self->hint, trouble != NULL ? trouble : sl_listen_sentence (self->listen));
  if (!self->listen->same)
    gtk_widget_queue_draw (self->picture);
}

/* Listens for the question that is shown, or no longer. */
static void
follow_sound (SlReadingRun *self)
{
  const SlQuestion question = question_at (self);

  if (!hears (self))
    {
      if (self->listen != NULL)
        sl_listen_stop (self->listen);
      return;
    }
  if (self->listen == NULL)
    {
      self->listen = sl_listen_new (self->bench);
      g_signal_connect_object (self->listen, "taken", G_CALLBACK (on_heard), self, G_CONNECT_SWAPPED);
      g_signal_connect_object (self->listen, "changed", G_CALLBACK (on_listen_changed), self, G_CONNECT_SWAPPED);
    }
  sl_listen_ask (self->listen, &question);
  sl_listen_start (self->listen);
}

/* The next free place among the repeats of what was read last. */
static void
on_repeat (SlReadingRun *self)
{
  SlQuestion question;

  if (!take_entry (self))
    return;
  if (self->last >= 0)
    self->at = MIN ((guint) self->last, self->questions->len - 1);
  self->nth = 0;
  for (question = question_at (self); sl_question_find (sl_bench_get_set (self->bench), &question) >= 0; question.nth++)
    ;
  self->nth = question.nth;
  show_question (self);
}

/* ---- what is shown ---- */

/* Mean and spread of what was read of this question, where it was read more than once. */
static void
show_spread (SlReadingRun *self, SlQuestion question)
{
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  const SlTextStyle style = sl_bench_text_style (self->bench);
  double sum = 0, squares = 0;
  int n = 0;

  for (question.nth = 0; sl_question_find (set, &question) >= 0; question.nth++, n++)
    {
      double value = sl_question_value (set, &question);

      sum += value;
      squares += value * value;
    }
  gtk_widget_set_visible (self->spread, n >= 2 && question.ask < SL_READ_PITCH);
  if (!gtk_widget_get_visible (self->spread))
    return;
  g_autofree char *mean = sl_text_fine (&style, sum / n),
                  *s = sl_text_fine (&style, sqrt (MAX (0, squares - sum * sum / n) / (n - 1)));

  sl_label_say (self->spread,
                g_dngettext (GETTEXT_PACKAGE, "%d reading, mean %s, spread %s (standard deviation)",
                             "%d readings, mean %s, spread %s (standard deviation)", (gulong) n),
                n, mean, s);
}

static void
show_entry (SlReadingRun *self, const SlQuestion *question)
{
  SlLengthEntry *entry = SL_LENGTH_ENTRY (self->entry);
  g_autofree char *name = sl_question_full_name (question);

  self->bound = sl_ask_bound (sl_bench_get_profile (self->bench), question->ask);
  sl_length_entry_set_up (self->entry,
                          (SlLengthUse){ &self->bound,
                                         sl_ask_is_length (question->ask) ? NULL : sl_ask_plain_unit (question->ask), 2,
                                         .coarse = sl_readings[question->ask].coarse });
  sl_length_entry_set_lengths (entry, sl_bench_get_lengths (self->bench));
  sl_label_set (self->unit, sl_ask_is_length (question->ask) ? sl_lengths_unit (sl_bench_get_lengths (self->bench),
                                                                                !sl_readings[question->ask].coarse)
                                                             : sl_ask_plain_unit (question->ask));
  sl_length_entry_set_value (entry, sl_question_value (sl_bench_get_set (self->bench), question));
  sl_set_accessible_label (self->entry, name);
}

static void
show_tool (SlReadingRun *self)
{
  const SlQuestion question = question_at (self);
  const int kind = at_end (self) ? -1 : sl_readings[question.ask].tool;
  g_autofree char *figures = NULL;

  sl_tool_chooser_set_kind (self->tool, kind);
  figures = sl_tool_chooser_figures (self->tool);
  sl_label_set (self->tool_figures, figures);
  gtk_widget_set_opacity (self->tool_line, kind >= 0 ? 1 : 0); /* it keeps its room, so that nothing jumps */
  gtk_widget_set_sensitive (self->tool_line, kind >= 0);
}

static void
show_question (SlReadingRun *self)
{
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  const gboolean end = at_end (self);
  g_autofree char *name = NULL, *hint = NULL, *progress = NULL;
  SlQuestion question = question_at (self);

  sl_slip_offer_withdraw (self->slip);
  gtk_widget_set_sensitive (self->back, self->at > 0);
  gtk_button_set_label (GTK_BUTTON (self->done), end ? _ ("Done") : _ ("Close"));
  sl_set_class (self->done, "suggested-action", end);
  if (end) /* the focus leaves the entry before it goes */
    gtk_widget_grab_focus (self->done);
  gtk_widget_set_visible (self->entry_line, !end);
  gtk_widget_set_visible (self->next, !end);
  gtk_widget_set_visible (self->picture, !end && question.ask < SL_N_READINGS);
  gtk_widget_set_visible (self->hears, question.ask == SL_READ_PITCH);
  follow_sound (self);
  show_tool (self);
  gtk_widget_set_visible (self->photos, end);
  if (end)
    {
      sl_label_set (self->progress, "");
      sl_label_set (self->title, _ ("That was the last one"));
      sl_label_set (self->hint, _ ("Press Done, go back, or repeat the last reading."));
      gtk_widget_set_visible (self->spread, FALSE);
      return;
    }
  name = sl_question_full_name (&question);
  hint = sl_reading_hint (&question, profile);
  progress = self->nth > 0 ? g_strdup_printf (_ ("%u of %u, reading %d of the same"), self->at + 1,
                                              self->questions->len, self->nth + 1)
                           : g_strdup_printf (_ ("%u of %u"), self->at + 1, self->questions->len);
  sl_label_set (self->progress, progress);
  sl_label_set (self->title, name);
  sl_label_set (self->hint, hint);
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
  const SlReading reading = sl_question_reading (&question);
  const SlInstrument *instrument = &sl_bench_get_analysis (self->bench)->instrument;
  const SlToolPlace place = { instrument, reading.kind, reading.string, reading.fret, reading.held, sl_look () };

  if (hears (self) && self->listen != NULL)
    sl_listen_draw (area, cr, width, height, self->listen);
  else
    sl_tool_place_draw (cr, &place, width, height);
}

/* ---- keys ---- */

/* A pedal sends a key: it accepts what is typed, as Enter does. */
static gboolean
on_key (GtkEventControllerKey *keys, guint value, guint code, GdkModifierType state, SlReadingRun *self)
{
  const int step = at_end (self) || gtk_widget_get_visible (self->slip) ? 0 : sl_run_key_step (value);

  if (step > 0)
    on_next (self);
  if (step < 0)
    on_back (self);
  return step != 0;
}

/* ---- the shop's choice of kinds ---- */

static void
on_order_changed (gpointer run)
{
  SlReadingRun *self = run;

  if (!take_entry (self))
    return; /* the next run asks in the other order */
  collect (self, NULL);
  self->at = MIN (self->at, self->questions->len);
  self->last = -1;
  show_question (self);
}

/* Made when it is first opened. */
static void
create_kinds (GtkMenuButton *button, gpointer data)
{
  SlReadingRun *self = data;
  GtkWidget *popover, *editor;

  if (gtk_menu_button_get_popover (button) != NULL)
    return;
  editor = sl_run_order_editor_new (sl_family_of (sl_bench_get_profile (self->bench)), on_order_changed, self);
  popover = g_object_new (GTK_TYPE_POPOVER, "child", editor, NULL);
  sl_set_accessible_label (popover, _ ("What is asked"));
  gtk_menu_button_set_popover (button, popover);
}

/* ---- building ---- */

static void
on_tool_chosen (gpointer owner)
{
  SlReadingRun *self = owner;

  show_tool (self);
  gtk_widget_grab_focus (self->entry); /* the gauge keeps typing */
}

static void
sl_reading_run_dispose (GObject *object)
{
  SlReadingRun *self = SL_READING_RUN (object);

  if (self->listen != NULL)
    sl_listen_stop (self->listen);
  g_clear_object (&self->listen);
  G_OBJECT_CLASS (sl_reading_run_parent_class)->dispose (object);
  g_clear_pointer (&self->questions, g_array_unref);
}

static void
sl_reading_run_class_init (SlReadingRunClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = sl_reading_run_dispose;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_DIALOG);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
  sl_template_bind (class, "reading-run", SL_MEMBERS (SlReadingRun, progress, done),
                    "progress title hint picture entry_line entry unit hears spread tool_line tool_figures tick back "
                    "next kinds done",
                    SL_CALL (on_key), SL_CALL (on_back), SL_CALL (on_next), SL_CALL (on_repeat),
                    SL_CALL (show_question), SL_CALL (gtk_window_close), NULL);
}

static void
sl_reading_run_init (SlReadingRun *self)
{
  self->last = -1;
  gtk_widget_init_template (GTK_WIDGET (self));
  sl_picture_area_init (self->picture, draw_picture, self);
  g_signal_connect (self->entry, "committed", G_CALLBACK (on_committed), self);
  g_signal_connect (self->entry, "step", G_CALLBACK (on_step), self);
  gtk_menu_button_set_create_popup_func (GTK_MENU_BUTTON (self->kinds), create_kinds, self, NULL);
}

void
sl_reading_run_present_asking (GtkWindow *parent, SlBench *bench, const GArray *asked)
{
  const gboolean usual = asked == NULL || asked->len == 0;
  SlReadingRun *self;

  if (!sl_bench_settle (bench))
    return;
  self = g_object_new (SL_TYPE_READING_RUN, "application", gtk_window_get_application (parent), "transient-for", parent,
                       "modal", TRUE, "destroy-with-parent", TRUE, NULL);
  sl_typed_guard (GTK_WINDOW (self), parent);
  self->bench = sl_keep (self, bench);
  collect (self, asked);
  if (!usual)
    sl_bench_read_again (bench, FALSE);
  /* the parts that the template can't have: they need the bench, or the entry */
  GtkWidget *message = sl_length_entry_new_message (SL_LENGTH_ENTRY (self->entry)),
            *box = gtk_window_get_child (GTK_WINDOW (self));

  gtk_widget_set_halign (message, GTK_ALIGN_CENTER);
  gtk_box_insert_child_after (GTK_BOX (box), message, self->entry_line);
  self->slip = sl_slip_offer_new (self->bench, on_answered, self);
  gtk_widget_set_halign (self->slip, GTK_ALIGN_CENTER);
  gtk_box_insert_child_after (GTK_BOX (box), self->slip, self->spread);
  self->photos = sl_box_add (gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), sl_photo_steps_new (self->bench), NULL);
  gtk_box_insert_child_after (GTK_BOX (box), self->photos, self->picture);
  self->tool = sl_tool_chooser_new (self->bench, -1, on_tool_chosen, self);
  gtk_box_insert_child_after (GTK_BOX (self->tool_line), self->tool, gtk_widget_get_first_child (self->tool_line));
  gtk_widget_set_visible (self->kinds, usual); /* after work only what it changes is asked, whatever is usual */
  sl_colour_scheme_mark (GTK_WIDGET (self));
  show_question (self);
  gtk_window_present (GTK_WINDOW (self));
}

void
sl_reading_run_present (GtkWindow *parent, SlBench *bench)
{
  g_autoptr (GArray) asked = sl_questions_after_work (bench);

  sl_reading_run_present_asking (parent, bench, asked);
}

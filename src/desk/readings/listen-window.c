/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/readings.h"

#include "desk/readings/parts.h"
#include "draw/draw.h"
#include "setup/physics/forces.h"
#include "setup/physics/intonation.h"
#include "words/said.h"

#define QUIETEST_DB 60.0 /* under full scale: where the bar of the level begins */
#define MM2_PER_M2 1e6
#define KEPT_U_SHARE 0.25 /* of a stiffness: less sure, it is not offered to be kept (own choice) */
#define LEVEL_STEP 0.02   /* smaller changes of the bar are not shown, nor told to assistive technology */
#define HZ_PLACES 2
#define WINDOW_KEY "sl-window"

G_STATIC_ASSERT (SL_FAN_MOST_LINES == SL_MAX_PARTIALS);

#define SL_TYPE_LISTEN_WINDOW (sl_listen_window_get_type ())
G_DECLARE_FINAL_TYPE (SlListenWindow, sl_listen_window, SL, LISTEN_WINDOW, GtkWindow)

struct _SlListenWindow
{
  GtkWindow parent_instance;

  /* of the template, in the order they are bound in */
  GtkWidget *trouble, *chooser, *progress, *level, *title, *detail, *picture, *sentence, *tick, *outcome, *told, *keep,
      *gaps, *back, *again, *next, *done;

  SlBench *bench;   /* kept */
  SlListen *listen; /* owned */
  SlQuestion asked, last;

  SlHeardBending bending; /* what the last's string told, where it … */
  SlHeardStretch stretch;
  gboolean bends, stretches, bending_kept; /* the last: it may be kept with the string */
  SlEarlyFret early;
};

G_DEFINE_FINAL_TYPE (SlListenWindow, sl_listen_window, GTK_TYPE_WINDOW)

/* ---- in words ---- */

static char *
question_name (const SlQuestion *question)
{
  return question->fret == 0 ? g_strdup_printf (_ ("String %d, open"), question->string)
                             : g_strdup_printf (_ ("String %d, fret %d"), question->string, question->fret);
}

const char *
sl_listen_sentence (SlListen *listen)
{
  if (listen->advice != NULL)
    return listen->advice;
  switch (listen->state)
    {
    case SL_LISTEN_WAITING: return _ ("Damp the other strings, pluck once and let it ring.");
    case SL_LISTEN_SOUNDING:
      return listen->programme == SL_LISTEN_TUNE ? _ ("Tune until the lines run level.") : _ ("Let it ring.");
    case SL_LISTEN_TAKEN:
      return listen->programme == SL_LISTEN_TUNE ? _ ("In tune. Pluck the next one.")
                                                 : _ ("Heard. Pluck the next one, or Again for a mean.");
    case SL_LISTEN_DONE: return _ ("That was all. Go back, or close.");
    default: return _ ("Nothing is listened to. Readings can be typed in.");
    }
}

/* "+3.2 ± 0.2 cents", and of how many where it is more than one. */
static char *
heard_text (SlListenWindow *self, const SlQuestion *question)
{
  const SlTextStyle style = sl_bench_text_style (self->bench);
  double cents, range;
  int n;

  if (!sl_plucks_mean (self->listen->plucks, self->bench, question, &cents, &range, &n))
    {
      cents = self->listen->note.cents; /* tuning reads nothing */
      range = SL_COVERAGE * self->listen->note.cents_u;
      n = 1;
    }
  g_autofree char *spread = NULL, *value = sl_text_heard (&style, cents, range, &spread),
                  *one = g_strdup_printf (_ ("%s ± %s cents"), value, spread);

  return n < 2 ? g_steal_pointer (&one) : g_strdup_printf (_ ("%s, mean of %d"), one, n);
}

/* ---- the picture ---- */

void
sl_listen_draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  SlListen *listen = data;
  const SlPictureOptions options =
      sl_picture_options_for (listen->bench, GTK_WIDGET (area), SL_PICTURE_PITCH, width, height);
  const gboolean heard = listen->has_note && listen->note.word != SL_HEARD_TWO_NOTES; /* whose figure would it be? */
  SlFanPicture picture = { .step_s = SL_FAN_STEP_S,
                           .expected_hz = sl_listen_get_expected (listen),
                           .tolerance = sl_bench_get_analysis (listen->bench)->instrument.pitch_tolerance,
                           .cents = heard ? listen->note.cents : NAN,
                           .range = heard ? SL_COVERAGE * listen->note.cents_u : NAN };
  SlFan fan = { 0 };

  if (heard && fabs (listen->note.cents) < SL_FAR_CENTS) /* else its lines are those of another note */
    sl_listen_get_fan (listen, &fan);
  picture.n = fan.n;
  picture.n_lines = fan.n_partials;
  memcpy (picture.turns, fan.turns, sizeof picture.turns);
  memcpy (picture.level, fan.level, sizeof picture.level);
  sl_fan_draw (cr, &picture, &options, NULL);
}

/* ---- what is shown ---- */

void
sl_listen_show_level (GtkWidget *bar, double db)
{
  const double level = isfinite (db) ? CLAMP (1 + db / QUIETEST_DB, 0, 1) : 0;

  if (fabs (level - gtk_level_bar_get_value (GTK_LEVEL_BAR (bar))) >= LEVEL_STEP)
    gtk_level_bar_set_value (GTK_LEVEL_BAR (bar), level);
}

static void
update (SlListenWindow *self)
{
  sl_set_remark (self->trouble, self->listen->trouble);
  sl_listen_show_level (self->level, sl_listen_get_level (self->listen));
  sl_label_set (self->sentence, sl_listen_sentence (self->listen));
  if (self->listen->same) /* many times a second: only what sounds is drawn anew */
    return;
  /* large, whatever comes next; and its frequency, which the picture's 0 stands for */
  const SlTextStyle style = sl_bench_text_style (self->bench);
  const gboolean asked = sl_listen_get_question (self->listen, &self->asked);
  g_autofree char *name = asked ? question_name (&self->asked) : g_strdup (_ ("That was the last one")),
                  *hz = sl_text_plain (&style, sl_listen_get_expected (self->listen), HZ_PLACES, FALSE),
                  *detail = g_strdup_printf (_ ("%s Hz expected"), hz),
                  *progress = g_strdup_printf (_ ("%u of %u"), self->listen->at + 1, self->listen->places->len);

  sl_label_set (self->title, name);
  sl_label_set (self->progress, asked ? progress : "");
  sl_label_set (self->detail, asked ? detail : "");
  gtk_widget_set_sensitive (self->back, self->listen->at > 0);
  gtk_widget_set_sensitive (self->next, asked);
  sl_set_class (self->done, "suggested-action", !asked);
  sl_chooser_fill (self->chooser, NULL, MIN (self->listen->programme, SL_LISTEN_FRETS));
  gtk_widget_queue_draw (self->picture);
}

static char *
move_text (const SlTextStyle *style, double back_mm)
{
  g_autofree char *length = sl_text_length_unit (style, fabs (back_mm));

  return g_strdup_printf (back_mm >= 0 ? _ ("%s back") : _ ("%s forward"), length);
}

/* Where a string's pitch at the octave puts its break point, as the instrument is and with what is planned. */
static void
show_outcome (SlListenWindow *self, int string)
{
  const SlTextStyle style = sl_bench_text_style (self->bench);
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlQuestion octave = sl_pitch_question (string, SL_OCTAVE_FRET);
  SlCrestPlace place;
  SlStringState state;

  sl_crest_place (analysis, string, &place);
  if (isnan (place.read))
    return;
  sl_state_string (&analysis->instrument, &analysis->measured, string, &state);
  g_autofree char *heard = heard_text (self, &octave),
                  *move = move_text (&style, sl_crest_move (sl_open_length (&state), place.read)),
                  *then = move_text (&style, place.tuner - place.before);

  if (analysis->has_plan)
    sl_label_say (self->outcome, _ ("String %d: %s at fret 12: break point %s; with the planned work %s"), string,
                  heard, move, then);
  else
    sl_label_say (self->outcome, _ ("String %d: %s at fret 12: break point %s"), string, heard, move);
}

/* ---- what else is heard ---- */

static gboolean
find_early (SlListenWindow *self, const SlStringState *state)
{
  double t60[SL_MAX_FRETS + 1] = { 0 };

  for (int fret = 1; fret <= sl_bench_get_analysis (self->bench)->instrument.frets; fret++)
    {
      const SlNote *note = sl_plucks_heard (self->listen->plucks, self->last.string, fret);

      t60[fret] = note == NULL ? 0 : note->decay;
    }
  return sl_find_early_fret (state, t60, &self->early);
}

/* An early end is pointed at before a stiffness is offered. */
static void
show_told (SlListenWindow *self)
{
  const SlTextStyle style = sl_bench_text_style (self->bench);
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  SlStringState state;

  sl_state_string (&analysis->instrument, &analysis->measured, self->last.string, &state);
  /* of the string heard last: how stiff it is, by its open note and by its frets */
  const SlNote *open = sl_plucks_heard (self->listen->plucks, self->last.string, 0);

  self->bends = open != NULL &&
                sl_heard_bending (&state, open->inharmonicity, open->inharmonicity_u, open->frequency, &self->bending);
  self->bending_kept = self->bends && (!self->bending.judged || self->bending.agrees) &&
                       SL_COVERAGE * self->bending.ei_u <= KEPT_U_SHARE * self->bending.ei_nm2;
  sl_heard_stretch (&state, sl_bench_get_set (self->bench), self->bends ? &self->bending : NULL, &self->stretch);
  self->stretches = self->stretch.word == SL_STRETCH_TOLD;
  const gboolean dies = find_early (self, &state), stiff = !dies && (self->bending_kept || self->stretches);
  g_autofree char *early = dies ? sl_early_fret_text (&self->early, &style) : NULL,
                  *bending = self->bends ? sl_bending_text (&self->bending, &style) : NULL,
                  *stretch = self->stretches ? sl_stretch_text (&self->stretch, &style) : NULL,
                  *both = bending != NULL ? g_strjoin (" ", bending, stretch, NULL) : g_strdup (stretch);

  sl_set_remark (self->told, dies ? early : both);
  gtk_widget_set_visible (self->keep, stiff);
  gtk_widget_set_visible (self->gaps, dies);
}

static void
on_keep (SlListenWindow *self)
{
  const double bends = self->bending_kept ? MM2_PER_M2 : NAN, stretches = self->stretches ? 1 : NAN;
  g_autofree char *refused = NULL;

  if (!sl_bench_settle (self->bench))
    return;
  refused = sl_edit_keep_stiffness (self->bench, self->last.string, bends * self->bending.ei_nm2,
                                    SL_COVERAGE * bends * self->bending.ei_u, stretches * self->stretch.ea_n,
                                    SL_COVERAGE * stretches * self->stretch.ea_u);
  sl_label_set (self->told, refused != NULL ? refused : _ ("✓ The stiffness is kept with the string."));
  gtk_widget_hide (self->keep);
}

static void
on_gaps (SlListenWindow *self)
{
  GtkWidget *bench = GTK_WIDGET (gtk_window_get_transient_for (GTK_WINDOW (self)));

  sl_bench_set_string (self->bench, self->last.string);
  sl_bench_set_held (self->bench, self->early.fret);
  gtk_widget_activate_action (bench, "win.focus-region", "s", "gaps");
  gtk_window_present (GTK_WINDOW (bench));
}

static void
on_taken (SlListenWindow *self, int string, int fret)
{
  self->last = sl_pitch_question (string, fret);
  g_autofree char *name = question_name (&self->last), *heard = heard_text (self, &self->last),
                  *text = g_strdup_printf ("%s: %s", name, heard);

  sl_tick (self->tick, text, TRUE);
  sl_set_accessible_description (self->picture, text);
  sl_tell_reader (GTK_WINDOW (self), text);
  gtk_widget_set_sensitive (self->again, TRUE);
  show_told (self);
  if (fret == SL_OCTAVE_FRET)
    show_outcome (self, string);
}

/* ---- what is asked ---- */

static void
on_programme (SlListenWindow *self)
{
  sl_listen_set_programme (self->listen, sl_chosen (self->chooser));
}

static void
on_step (GtkWidget *button, SlListenWindow *self)
{
  sl_listen_step (self->listen, button == self->back ? -1 : 1);
}

static void
on_again (SlListenWindow *self)
{
  sl_listen_go_to (self->listen, self->last.string, self->last.fret);
}

/* A pedal sends a key; a digit asks for that string. */
static gboolean
on_key (GtkEventControllerKey *keys, guint value, guint code, GdkModifierType state, SlListenWindow *self)
{
  const gboolean back = sl_plain_key (value) == GDK_KEY_Return && (state & GDK_SHIFT_MASK) != 0;
  const int string = g_unichar_digit_value (gdk_keyval_to_unicode (value)), step = back ? -1 : sl_run_key_step (value);

  if (string > 0 && string <= sl_bench_get_profile (self->bench)->n_strings)
    sl_listen_go_to (self->listen, string, self->asked.fret);
  else if (step == 0)
    return GDK_EVENT_PROPAGATE;
  else
    sl_listen_step (self->listen, step);
  return GDK_EVENT_STOP;
}

/* ---- building ---- */

static void
sl_listen_window_dispose (GObject *object)
{
  SlListenWindow *self = SL_LISTEN_WINDOW (object);

  if (self->listen != NULL)
    {
      sl_listen_stop (self->listen);
      g_object_set_data (G_OBJECT (self->listen), WINDOW_KEY, NULL);
    }
  g_clear_object (&self->listen);
  G_OBJECT_CLASS (sl_listen_window_parent_class)->dispose (object);
}

static void
sl_listen_window_class_init (SlListenWindowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = sl_listen_window_dispose;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_DIALOG);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
  sl_template_bind (class, "listen-window", SL_MEMBERS (SlListenWindow, trouble, done),
                    "trouble chooser progress level title detail picture sentence tick outcome told keep gaps back "
                    "again next done",
                    SL_CALL (on_key), SL_CALL (on_step), SL_CALL (on_again), SL_CALL (on_keep), SL_CALL (on_gaps),
                    SL_CALL (gtk_window_close), NULL);
}

static void
sl_listen_window_init (SlListenWindow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

void
sl_listen_window_present (GtkWindow *parent, SlListen *listen)
{
  SlListenWindow *self = g_object_get_data (G_OBJECT (listen), WINDOW_KEY);

  if (self != NULL)
    {
      gtk_window_present (GTK_WINDOW (self));
      return;
    }
  self = g_object_new (SL_TYPE_LISTEN_WINDOW, "application", gtk_window_get_application (parent), "transient-for",
                       parent, "destroy-with-parent", TRUE, NULL);
  g_object_set_data (G_OBJECT (listen), WINDOW_KEY, self);
  sl_typed_guard (GTK_WINDOW (self), parent);
  self->bench = sl_keep (self, listen->bench);
  self->listen = g_object_ref (listen);
  sl_chooser_init (self->chooser, _ ("What is listened to"), G_CALLBACK (on_programme), self);
  sl_picture_area_init (self->picture, sl_listen_draw, listen);
  g_signal_connect_object (listen, "changed", G_CALLBACK (update), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (listen, "taken", G_CALLBACK (on_taken), self, G_CONNECT_SWAPPED);
  sl_colour_scheme_mark (GTK_WIDGET (self));
  if (listen->at >= listen->places->len) /* it was gone through: once more */
    sl_listen_set_programme (listen, SL_LISTEN_OCTAVES);
  sl_listen_start (listen);
  gtk_widget_grab_focus (self->next);
  gtk_window_present (GTK_WINDOW (self));
}

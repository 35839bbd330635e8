/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window that listens, fed with made strings (tests/sound): what is asked stands large, what is heard becomes a
 * reading with its ± and a tick, and the next is asked; what the octave says of the break point; keys; what is wrong is
 * said. Recordings: listed note by note, accepted as one step. With --pictures FOLDER what it looks like meanwhile.
 * Skipped where there is no display. */
#include "live-window.h"
#include "seen.h"

#include "../sound/made-partials.h"
#include "../sound/made-wav.h"
#include "bench/listen.h"
#include "bench/settings.h"
#include "desk/readings/readings.h"

#include <locale.h>

#define SKIPPED 77
#define RATE 44100.0
#define PIECE 2205 /* samples: 50 ms, as an input brings them */
#define PLUCKED_S 0.3
#define HEARD_S 3.2
#define REST_S 1.2
#define PEAK 0.3

typedef struct
{
  SlWindow *window;
  SlBench *bench;
  SlListen *listen;
  GtkWidget *child;
} Fixture;

static GtkApplication *app;
static double t60 = 5; /* s */
static char *pictures, *scheme;

static GtkWidget *
part (const Fixture *f, const char *name)
{
  GtkWidget *found = GTK_WIDGET (gtk_widget_get_template_child (f->child, G_OBJECT_TYPE (f->child), name));

  g_assert_nonnull (found);
  return found;
}

static const char *
says (const Fixture *f, const char *name)
{
  return gtk_label_get_text (GTK_LABEL (part (f, name)));
}

static void
save (const Fixture *f, const char *name)
{
  g_autofree char *base = g_strconcat (name, ".png", NULL), *path = NULL;

  if (pictures == NULL)
    return;
  path = g_build_filename (pictures, base, NULL);
  gtk_widget_queue_draw (part (f, "picture"));
  live_settle (f->window);
  seen_save (f->child, path);
}

static GtkWidget *
newest_over (SlWindow *parent)
{
  g_autoptr (GList) windows = gtk_window_list_toplevels ();

  for (GList *l = windows; l != NULL; l = l->next)
    if (gtk_window_get_transient_for (l->data) == GTK_WINDOW (parent))
      return l->data;
  return NULL;
}

static void
set_up (Fixture *f, gconstpointer data)
{
  f->window = live_window_new (app);
  f->bench = f->window->bench;
  f->listen = sl_listen_new (f->bench);
  sl_listen_set_programme (f->listen, SL_LISTEN_OCTAVES);
  sl_listen_window_present (GTK_WINDOW (f->window), f->listen);
  f->child = newest_over (f->window);
  g_assert_nonnull (f->child);
  live_settle (f->window);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  if (newest_over (f->window) == f->child)
    gtk_window_destroy (GTK_WINDOW (f->child));
  g_assert_finalize_object (f->listen);
  gtk_window_destroy (GTK_WINDOW (f->window));
}

/* Plucks a string @cents off what is expected now, at that peak, and listens for @seconds, or until it is taken. */
static void
pluck (const Fixture *f, double cents, double peak, double seconds)
{
  const double f1 = sl_listen_get_expected (f->listen) * exp2 (cents / 1200);
  const MadeString string = {
    .f1 = f1, .b = 5e-5, .start = PLUCKED_S, .peak = peak, .t60 = t60, .t60_high = 2, .pluck = 0.21
  };
  const MadeRoom room = { .noise_db = 45, .hum_db = G_MAXDOUBLE, .hum_hz = 50, .body_db = G_MAXDOUBLE };
  const gsize n = (gsize) (seconds * RATE);
  g_autofree double *sound = made_sound (n, RATE, &string, 1, &room, 7, NULL);
  float piece[PIECE];

  for (gsize from = 0; from + PIECE <= n && f->listen->state != SL_LISTEN_TAKEN; from += PIECE)
    {
      for (gsize i = 0; i < PIECE; i++)
        piece[i] = (float) CLAMP (sound[from + i], -1, 1);
      sl_listen_hear (f->listen, piece, PIECE, RATE);
    }
  live_settle (f->window);
}

/* Silence until the next is asked. */
static void
rest (const Fixture *f)
{
  float piece[PIECE] = { 0 };

  for (int i = 0; i < (int) (REST_S * RATE / PIECE); i++)
    sl_listen_hear (f->listen, piece, PIECE, RATE);
  live_settle (f->window);
}

static const SlReading *
reading_of (const Fixture *f, int string, int fret)
{
  const SlReadingSet *set = sl_bench_get_set (f->bench);

  SL_EACH (const SlReading, r, set != NULL ? set->readings : NULL)
    if (r->kind == SL_READ_PITCH && r->string == string && r->fret == fret && sl_number_is_set (r->uncertainty))
      return r;
  return NULL;
}

/* Open, then the octave 4 cents sharp against it: a reading with its U, and what it asks of the break point. */
static void
test_octave (Fixture *f, gconstpointer data)
{
  const SlReading *read;

  g_assert_cmpstr (says (f, "title"), ==, "String 6, open");
  g_assert_cmpstr (says (f, "progress"), ==, "1 of 12");
  save (f, "1-waiting");
  pluck (f, 2, PEAK, 0.9);
  g_assert_cmpint (f->listen->state, ==, SL_LISTEN_SOUNDING);
  g_assert_cmpfloat (gtk_level_bar_get_value (GTK_LEVEL_BAR (part (f, "level"))), >, 0.5);
  save (f, "2-sounding");
  rest (f);
  sl_listen_step (f->listen, 0);
  pluck (f, 2, PEAK, HEARD_S);
  g_assert_nonnull (strstr (says (f, "tick"), "✓ String 6, open: +2.0"));
  g_assert_cmpfloat (gtk_widget_get_opacity (part (f, "tick")), ==, 1);
  save (f, "3-taken");
  rest (f);
  g_assert_cmpstr (says (f, "title"), ==, "String 6, fret 12");
  g_assert_cmpstr (says (f, "progress"), ==, "2 of 12");
  pluck (f, 4, PEAK, HEARD_S);
  save (f, "4-octave");
  read = reading_of (f, 6, 12);
  g_assert_nonnull (read);
  g_assert_cmpfloat_with_epsilon (read->value.v, 4, 0.15);
  g_assert_cmpfloat (read->uncertainty.v, <, 0.5);
  g_assert_cmpstr (says (f, "title"), ==, "String 6, fret 12");
  g_assert_true (g_str_has_prefix (says (f, "outcome"), "String 6: +4.0"));
  /* model 9.1: one cent is about L ln 2/1200, so 4 cents of 645 mm some 1.5 mm */
  g_assert_nonnull (strstr (says (f, "outcome"), "at fret 12: break point 1.5"));
  g_assert_nonnull (strstr (says (f, "outcome"), " mm back; with the planned work "));
  rest (f);
  g_assert_cmpstr (says (f, "title"), ==, "String 5, open");
}

static gboolean
press (const Fixture *f, guint key, GdkModifierType state)
{
  g_autoptr (GListModel) all = gtk_widget_observe_controllers (f->child);
  gboolean stopped = FALSE;

  for (guint i = 0; i < g_list_model_get_n_items (all) && !stopped; i++)
    {
      g_autoptr (GtkEventController) controller = g_list_model_get_item (all, i);

      if (GTK_IS_EVENT_CONTROLLER_KEY (controller))
        g_signal_emit_by_name (controller, "key-pressed", key, 0, state, &stopped);
    }
  live_settle (f->window);
  return stopped;
}

/* On and back by buttons and by the keys of the run, to a string by its number; past the end it says so. */
static void
test_keys (Fixture *f, gconstpointer data)
{
  g_assert_false (gtk_widget_get_sensitive (part (f, "back")));
  g_assert_true (gtk_widget_has_focus (part (f, "next")));
  g_signal_emit_by_name (part (f, "next"), "clicked");
  g_assert_cmpstr (says (f, "title"), ==, "String 6, fret 12");
  g_assert_true (press (f, GDK_KEY_Page_Down, 0));
  g_assert_cmpstr (says (f, "title"), ==, "String 5, open");
  g_assert_true (press (f, GDK_KEY_Return, GDK_SHIFT_MASK));
  g_assert_cmpstr (says (f, "title"), ==, "String 6, fret 12");
  g_assert_true (press (f, GDK_KEY_KP_2, 0));
  g_assert_cmpstr (says (f, "title"), ==, "String 2, fret 12");
  g_assert_false (press (f, GDK_KEY_9, 0)); /* there is no ninth */
  g_assert_false (press (f, GDK_KEY_Return, 0));
  while (gtk_widget_get_sensitive (part (f, "next")))
    g_signal_emit_by_name (part (f, "next"), "clicked");
  g_assert_cmpstr (says (f, "title"), ==, "That was the last one");
  gtk_drop_down_set_selected (GTK_DROP_DOWN (part (f, "chooser")), SL_LISTEN_TUNE);
  g_assert_cmpstr (says (f, "title"), ==, "String 6, open");
  g_assert_cmpstr (says (f, "progress"), ==, "1 of 6");
}

/* Heard and not taken: why stands there, and the same is asked. */
static void
test_refused (Fixture *f, gconstpointer data)
{
  pluck (f, 500, PEAK, HEARD_S); /* a fourth up: the next string */
  g_assert_nonnull (strstr (says (f, "sentence"), "string 5"));
  save (f, "5-other-string");
  pluck (f, 0, 3, HEARD_S); /* cut off at full scale */
  g_assert_nonnull (strstr (says (f, "sentence"), "Too loud"));
  save (f, "6-clipped");
  g_assert_cmpstr (says (f, "title"), ==, "String 6, open");
  g_assert_null (reading_of (f, 6, 12));
}

/* An open string's stiffness is offered, and kept with the string as one step. */
static void
test_stiffness (Fixture *f, gconstpointer data)
{
  const SlProfile *profile = sl_bench_get_profile (f->bench);

  g_assert_false (gtk_widget_get_visible (part (f, "told")));
  pluck (f, 2, PEAK, HEARD_S);
  g_assert_true (g_str_has_prefix (says (f, "told"), "Bending stiffness "));
  g_assert_false (gtk_widget_get_visible (part (f, "gaps")));
  g_assert_false (sl_number_is_set (profile->strings[5].bending_stiffness));
  g_signal_emit_by_name (part (f, "keep"), "clicked");
  profile = sl_bench_get_profile (f->bench);
  g_assert_true (profile->strings[5].bending_stiffness.v > 0);
  g_assert_false (gtk_widget_get_visible (part (f, "keep")));
  sl_bench_undo (f->bench);
  profile = sl_bench_get_profile (f->bench);
  g_assert_false (sl_number_is_set (profile->strings[5].bending_stiffness));
}

/* Stopped at frets as the model has it, the string's stretching is told too, and kept by the same button and step. */
static void
test_stretch (Fixture *f, gconstpointer data)
{
  static const int frets[] = { 0, 1, 3, 7, 12 };
  const SlAnalysis *analysis = sl_bench_get_analysis (f->bench);
  const SlProfile *profile;
  double cents[SL_MAX_FRETS + 1] = { 0 }, ea = analysis->instrument.strings[5].ea_n;

  for (guint i = 1; i < G_N_ELEMENTS (frets); i++)
    cents[frets[i]] = analysis->measured_figures.pitch_error[5][frets[i]].value;
  sl_listen_set_programme (f->listen, SL_LISTEN_FRETS);
  for (guint i = 0; i < G_N_ELEMENTS (frets); i++)
    {
      sl_listen_go_to (f->listen, 6, frets[i]);
      pluck (f, cents[frets[i]], PEAK, HEARD_S);
      rest (f);
    }
  g_assert_true (g_str_has_prefix (says (f, "told"), "Bending stiffness "));
  g_assert_nonnull (strstr (says (f, "told"), ". Stretch stiffness "));
  save (f, "12-stretch");
  g_signal_emit_by_name (part (f, "keep"), "clicked");
  profile = sl_bench_get_profile (f->bench);
  g_assert_true (profile->strings[5].bending_stiffness.v > 0);
  g_assert_cmpfloat_with_epsilon (profile->strings[5].axial_stiffness.v, ea, 0.3 * ea);
  sl_bench_undo (f->bench);
  profile = sl_bench_get_profile (f->bench);
  g_assert_false (sl_number_is_set (profile->strings[5].bending_stiffness));
  g_assert_false (sl_number_is_set (profile->strings[5].axial_stiffness));
}

/* Played through, the fret whose note dies early is pointed at, and its gaps are a button away. */
static void
test_early_fret (Fixture *f, gconstpointer data)
{
  sl_listen_set_programme (f->listen, SL_LISTEN_FRETS);
  for (int fret = 0; fret <= 6; fret++)
    {
      g_assert_cmpint (f->listen->at, ==, fret);
      t60 = fret == 4 ? 2 : 9;
      pluck (f, 0, PEAK, HEARD_S);
      rest (f);
    }
  t60 = 5;
  g_assert_true (g_str_has_prefix (says (f, "told"), "Fret 4 dies in 2.0 s, its neighbours in "));
  save (f, "11-early-fret");
  g_signal_emit_by_name (part (f, "gaps"), "clicked");
  g_assert_cmpint (sl_bench_get_string (f->bench), ==, 6);
  g_assert_cmpint (sl_bench_get_held (f->bench), ==, 4);
}

/* In tuning the fan follows the peg; within the tolerance it is ticked off, and is no reading. */
static void
test_tuning (Fixture *f, gconstpointer data)
{
  sl_listen_set_programme (f->listen, SL_LISTEN_TUNE);
  pluck (f, -30, PEAK, HEARD_S);
  save (f, "7-flat");
  g_assert_cmpstr (says (f, "title"), ==, "String 6, open");
  rest (f);
  pluck (f, 0.3, PEAK, HEARD_S);
  save (f, "8-in-tune");
  g_assert_cmpstr (says (f, "sentence"), ==, "In tune. Pluck the next one.");
  g_assert_nonnull (strstr (says (f, "tick"), "String 6, open"));
  g_assert_null (reading_of (f, 6, 0));
  rest (f);
  g_assert_cmpstr (says (f, "title"), ==, "String 5, open");
}

static gboolean
has_text (GtkWidget *from, const char *text)
{
  if (GTK_IS_LABEL (from) && strstr (gtk_label_get_text (GTK_LABEL (from)), text) != NULL)
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (from); child != NULL; child = gtk_widget_get_next_sibling (child))
    if (has_text (child, text))
      return TRUE;
  return FALSE;
}

static GtkWidget *
find_button (GtkWidget *from, const char *label)
{
  GtkWidget *found = NULL;

  if (GTK_IS_BUTTON (from) && g_strcmp0 (gtk_button_get_label (GTK_BUTTON (from)), label) == 0)
    return from;
  for (GtkWidget *child = gtk_widget_get_first_child (from); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = find_button (child, label);
  return found;
}

/* No module that listens: said, with what to do; the window still works. */
static void
test_trouble (Fixture *f, gconstpointer data)
{
  g_assert_true (gtk_widget_get_mapped (part (f, "trouble")));
  g_assert_cmpstr (says (f, "trouble"), ==, f->listen->trouble);
  g_assert_true (gtk_widget_get_mapped (find_button (f->child, "Choose a device")));
  save (f, "9-trouble");
  g_signal_emit_by_name (part (f, "next"), "clicked");
  g_assert_cmpstr (says (f, "title"), ==, "String 6, fret 12");
  sl_listen_stop (f->listen);
  live_settle (f->window);
  g_assert_false (gtk_widget_get_mapped (find_button (f->child, "Choose a device")));
}

/* Assistive technology has a name for the level and for what is chosen, and the picture says what was heard. */
static void
test_names (Fixture *f, gconstpointer data)
{
  gtk_test_accessible_assert_property (part (f, "level"), GTK_ACCESSIBLE_PROPERTY_LABEL, "Level");
  gtk_test_accessible_assert_property (part (f, "chooser"), GTK_ACCESSIBLE_PROPERTY_LABEL, "What is listened to");
  pluck (f, 2, PEAK, HEARD_S);
  gtk_test_accessible_assert_property (part (f, "picture"), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                       says (f, "tick") + strlen ("✓ "));
}

/* ---- recordings ---- */

static GtkWidget *
open_recording (const Fixture *f, const char *path, const char *until)
{
  g_autoptr (GFile) file = g_file_new_for_path (path);
  GtkWidget *window;

  gtk_window_destroy (GTK_WINDOW (f->child));
  g_unsetenv ("SIDELONG_MODULE_DIR"); /* recordings are really read */
  sl_recording_window_present (GTK_WINDOW (f->window), f->bench, file);
  window = newest_over (f->window);
  g_assert_nonnull (window);
  while (!has_text (window, until))
    g_main_context_iteration (NULL, TRUE);
  live_settle (f->window);
  return window;
}

/* Open and 12th fret of string 6, the fret 4 cents sharp: both known for what they are; Accept is one step. */
static void
test_recording (Fixture *f, gconstpointer data)
{
  const double e2 = 82.4069, one = 1; /* Hz, equal temperament over A4 = 440 Hz */
  MadeString strings[] = { MADE_PLAIN_STRING, MADE_PLAIN_STRING };
  const MadeRoom room = { .noise_db = 45, .hum_db = G_MAXDOUBLE, .hum_hz = 50, .body_db = G_MAXDOUBLE };
  const gsize n = (gsize) (6 * RATE);
  g_autofree char *path = g_build_filename (g_getenv ("XDG_DATA_HOME"), "strings.wav", NULL);
  g_autofree double *sound = NULL;
  GtkWidget *window, *accept;

  strings[0].f1 = e2;
  strings[0].start = PLUCKED_S;
  strings[0].stop = strings[1].start = 3;
  strings[1].f1 = 2 * e2 * exp2 (4 / 1200.0);
  sound = made_sound (n, RATE, strings, 2, &room, 7, NULL);
  g_assert_true (made_wav_write (path, sound, n, (int) RATE, 16, &one, 1, NULL));
  window = open_recording (f, path, "2 notes.");
  accept = find_button (window, "Accept");
  g_assert_true (has_text (window, "at 0.3 s") && has_text (window, "at 3.0 s"));
  g_assert_true (has_text (window, "+4.0") && has_text (window, "settled"));
  if (pictures != NULL)
    {
      g_autofree char *picture = g_build_filename (pictures, "10-recording.png", NULL);

      seen_save (window, picture);
    }
  g_assert_true (gtk_widget_is_sensitive (accept));
  g_signal_emit_by_name (accept, "clicked");
  g_assert_nonnull (reading_of (f, 6, 12));
  g_assert_cmpfloat_with_epsilon (reading_of (f, 6, 12)->value.v, 4, 0.15);
  g_assert_false (gtk_widget_is_sensitive (accept));
  sl_bench_undo (f->bench);
  g_assert_null (reading_of (f, 6, 12));
  g_assert_null (reading_of (f, 6, 0));
  gtk_window_destroy (GTK_WINDOW (window));
}

/* What is no recording is said in a sentence, and there is nothing to accept. */
static void
test_no_recording (Fixture *f, gconstpointer data)
{
  g_autofree char *path = g_build_filename (g_getenv ("XDG_DATA_HOME"), "letter.wav", NULL);
  GtkWidget *window;

  g_assert_true (g_file_set_contents (path, "Dear customer, your strings are in.\n", -1, NULL));
  window = open_recording (f, path, ".");
  g_assert_false (has_text (window, "0 notes"));
  g_assert_false (gtk_widget_is_sensitive (find_button (window, "Accept")));
  gtk_window_destroy (GTK_WINDOW (window));
}

int
main (int argc, char **argv)
{
  const GOptionEntry options[] = {
    { "pictures", 0, 0, G_OPTION_ARG_FILENAME, &pictures, "draw the window into FOLDER", "FOLDER" },
    { "scheme", 0, 0, G_OPTION_ARG_STRING, &scheme, "light or dark", "SCHEME" },
    { NULL, 0, 0, 0, NULL, NULL, NULL },
  };
  static const struct
  {
    const char *path;
    void (*run) (Fixture *f, gconstpointer data);
  } tests[] = { { "/listen/octave", test_octave },
                { "/listen/keys", test_keys },
                { "/listen/refused", test_refused },
                { "/listen/tuning", test_tuning },
                { "/listen/trouble", test_trouble },
                { "/listen/names", test_names },
                { "/listen/stiffness", test_stiffness },
                { "/listen/stretch", test_stretch },
                { "/listen/early-fret", test_early_fret },
                { "/listen/recording", test_recording },
                { "/listen/no-recording", test_no_recording } };
  g_autofree char *folder = g_dir_make_tmp ("sidelong-listen-XXXXXX", NULL);
  g_autoptr (GOptionContext) context = g_option_context_new (NULL);
  int status;

  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, g_getenv ("SIDELONG_LOCALE_DIR"));
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
  g_test_init (&argc, &argv, NULL);
  g_log_set_always_fatal (G_LOG_FATAL_MASK | G_LOG_LEVEL_CRITICAL); /* no warning of GStreamer: see tests/meson.build */
  g_option_context_add_main_entries (context, options, NULL);
  g_assert_true (g_option_context_parse (context, &argc, &argv, NULL));
  if (pictures != NULL) /* in any language */
    g_test_set_nonfatal_assertions ();
  g_setenv ("XDG_DATA_HOME", folder, TRUE);
  g_setenv ("SIDELONG_MODULE_DIR", folder, TRUE); /* nothing is in it */
  if (!gtk_init_check ())
    return SKIPPED;
  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", FALSE, NULL);
  app = live_app_new ();
  if (scheme != NULL)
    sl_settings_set (SL_SETTING_COLOUR_SCHEME, g_variant_new_string (scheme));
  for (gsize i = 0; i < G_N_ELEMENTS (tests); i++)
    g_test_add (tests[i].path, Fixture, NULL, set_up, tests[i].run, tear_down);
  status = g_test_run ();
  g_object_unref (app);
  return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a recording of plucked strings sounds: its notes, each for the string and fret whose pitch is nearest. */
#include <gio/gio.h>

#include "calc.h"
#include "capture/capture.h"
#include "sound/listener.h"

#define LEAST_EXPECTED_HZ 8.0
#define MOST_EXPECTED_HZ 5000.0
#define USUAL_A4_HZ 440.0 /* ISO 16 */
#define LEAST_A4_HZ 415.0
#define MOST_A4_HZ 466.0
#define SEMITONES 12
#define SAME_HZ 0.01

/* The options as typed; NULL where not given. */
static char *expect, *string, *fret, *reference;
const GOptionEntry sl_pitch_entries[] = {
  { "expect", 0, 0, G_OPTION_ARG_STRING, &expect, N_ ("The frequency each note should have; then no profile is named"),
    N_ ("HZ") },
  { "string", 0, 0, G_OPTION_ARG_STRING, &string,
    N_ ("The string that is plucked, open or at any fret; without it, the open strings"), "N" },
  { "fret", 0, 0, G_OPTION_ARG_STRING, &fret, N_ ("The one fret it is stopped at, 0 for open"), "N" },
  { "reference", 0, 0, G_OPTION_ARG_STRING, &reference,
    N_ ("The frequency of A4 that strings are tuned by, 440 unless given"), N_ ("HZ") },
  { NULL },
};

/* ---- what is expected ---- */

/* What lies too high to be heard is left out; a note that another string of a course has too is asked once. */
static void
ask (GArray *asked, double open, int of_string, int at_fret)
{
  const SlAsked place = { open * exp2 ((double) at_fret / SEMITONES), of_string, at_fret };
  SL_EACH (SlAsked, one, asked)
    if (one->string != of_string && fabs (one->frequency - place.frequency) < SAME_HZ)
      {
        one->twin = of_string;
        return;
      }
  if (place.frequency <= MOST_EXPECTED_HZ)
    g_array_append_val (asked, place);
}

static SlExit
ask_of_profile (const SlProfile *profile, double a4, GArray *asked)
{
  int one = 0, at = string != NULL ? -1 : 0;
  if (sl_parse_count ("string", string, 1, profile->n_strings, &one) ||
      sl_parse_count ("fret", fret, 0, profile->neck.frets, &at))
    return SL_EXIT_USAGE;
  for (int s = one > 0 ? one : 1; s <= (one > 0 ? one : profile->n_strings); s++)
    {
      const SlString *of = &profile->strings[s - 1];
      const double open =
          sl_number_is_set (of->frequency) ? of->frequency.v : sl_note_frequency (of->note) * a4 / USUAL_A4_HZ;
      for (int n = MAX (at, 0); n <= (at < 0 ? profile->neck.frets : at); n++)
        ask (asked, open, s, n);
    }
  if (asked->len == 0)
    return sl_usage_error (_ ("what is expected lies over %g Hz, the highest that can be heard"), MOST_EXPECTED_HZ);
  return SL_EXIT_DONE;
}

/* What can be told without the profile. */
static SlExit
parse_call (int n_files, double *expected, double *a4)
{
  if (expect != NULL && (string != NULL || fret != NULL || reference != NULL))
    return sl_usage_error (
        "%s", _ ("--expect names the frequency itself; --string, --fret and --reference go with a profile"));
  if ((expect != NULL) != (n_files == 1))
    return sl_usage_error (
        "%s", _ ("what is expected is told either by --expect=HZ or by a profile, named before the recording"));
  if (sl_parse_number ("expect", expect, LEAST_EXPECTED_HZ, MOST_EXPECTED_HZ, expected))
    return SL_EXIT_USAGE;
  return sl_parse_number ("reference", reference, LEAST_A4_HZ, MOST_A4_HZ, a4);
}

/* ---- what is heard ---- */

typedef struct
{
  const GArray *asked;
  SlListener *listener; /* NULL before the first sound */
  gboolean ended;
  GError *error; /* why it is heard in part, or not at all */
} Recording;

static void
hear (gpointer owner, const float *samples, gsize n, double rate)
{
  Recording *recording = owner;
  const guint n_asked = recording->asked->len;
  if (recording->listener == NULL)
    {
      g_autofree double *candidates = g_new (double, n_asked);
      for (guint i = 0; i < n_asked; i++)
        candidates[i] = g_array_index (recording->asked, SlAsked, i).frequency;
      recording->listener = sl_listener_new (rate, candidates[0]);
      if (n_asked > 1)
        sl_listener_expect_any (recording->listener, candidates, n_asked);
    }
  sl_listener_hear (recording->listener, samples, n);
}

static void
end (gpointer owner, const GError *error)
{
  Recording *recording = owner;
  recording->ended = TRUE;
  recording->error = error != NULL ? g_error_copy (error) : NULL;
}

/* Hears a sound file to its end, or to where it breaks off; FALSE where nothing of it can be heard. */
static gboolean
play (const char *name, Recording *recording)
{
  static const SlCaptureHandlers handlers = { hear, end };
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (name);
  g_autoptr (SlCapture) capture = sl_capture_open_file (file, &handlers, recording, &recording->error);
  while (capture != NULL && !recording->ended)
    g_main_context_iteration (NULL, TRUE);
  if (recording->listener != NULL)
    sl_listener_end (recording->listener);
  return recording->error == NULL || g_error_matches (recording->error, SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_TRUNCATED);
}

/* ---- rows ---- */

static void
put_notes (SlAnswer *answer, const GArray *notes)
{
  SL_EACH (const SlNote, note, notes)
    {
      const double figures[] = { note->onset,         note->expected,
                                 note->frequency,     SL_COVERAGE * note->u,
                                 note->cents,         SL_COVERAGE * note->cents_u,
                                 note->inharmonicity, SL_COVERAGE * note->inharmonicity_u };
      for (gsize i = 0; i < G_N_ELEMENTS (figures); i++)
        sl_put_number (answer, figures[i]);
      sl_put_count (answer, note->n_partials);
      sl_put_word (answer, sl_heard_word_names[note->word]);
    }
}

static void
tell_notes (SlAnswer *answer, const SlProfile *profile, const GArray *asked, const GArray *notes)
{
  sl_rows_begin (answer, NULL,
                 "onset,expected,frequency,uncertainty,cents,cents-uncertainty,inharmonicity,"
                 "inharmonicity-uncertainty,partials,word");
  if (answer->form != SL_FORM_TEXT)
    put_notes (answer, notes);
  else if (notes != NULL && notes->len > 0)
    sl_text_pitch (answer->out, answer->name, profile, asked, notes);
}

void
sl_pitch (SlAnswer *answer, const SlShop *shop)
{
  double expected = 0, a4 = USUAL_A4_HZ;
  g_autoptr (SlProfile) profile = NULL;
  g_autoptr (GArray) asked = g_array_new (FALSE, FALSE, sizeof (SlAsked));
  if ((answer->status = parse_call (*answer->rest != NULL ? 2 : 1, &expected, &a4)) != SL_EXIT_DONE)
    return;
  if (expect != NULL)
    ask (asked, expected, 0, 0);
  else if ((profile = sl_load_profile (answer, NULL)) == NULL ||
           (answer->status = ask_of_profile (profile, a4, asked)) != SL_EXIT_DONE)
    return;
  else
    answer->name = *answer->rest; /* from here on it is of the recording */

  Recording recording = { .asked = asked };
  const gboolean played = play (answer->name, &recording);
  g_autoptr (SlListener) listener = recording.listener;
  g_autoptr (GError) error = recording.error;
  const GArray *notes = listener != NULL ? sl_listener_notes (listener) : NULL;
  if (played)
    tell_notes (answer, profile, asked, notes);
  if (error != NULL)
    sl_answer_fault (answer, SL_EXIT_FILE, 0, error->message);
  else if (notes == NULL || notes->len == 0)
    sl_answer_note (answer, SL_EXIT_DONE, answer->name,
                    _ ("no note was heard: plucked strings stand out from silence or from what rang before"));
}

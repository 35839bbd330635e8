/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/listen.h"

#include "bench/settings.h"
#include "capture/capture.h"
#include "words/figures.h"

/* Own choices. A hard pluck starts sharp by the square of its amplitude (Fletcher and Rossing, 5.1), of which after a
 * third of its t60 a hundredth is left: a settled pitch is taken after that or two seconds, when its U is small, or it
 * ends. */
#define ENOUGH_CENTS 0.1
#define LEAST_S 2.0
#define MOST_S 2.5
#define LEAST_PARTIALS 2  /* one alone may be anything */
#define HOLD_S 1.0        /* what was taken stays shown */
#define PIECE_S 0.05      /* sound is heard in pieces, so that no state is passed over */
#define TOLD_EVERY_S 0.04 /* of the sound: no oftener is it drawn */
#define SILENT_DB -90.0
#define AGAIN_S 2 /* a device that went is looked for */

G_DEFINE_FINAL_TYPE (SlListen, sl_listen, G_TYPE_OBJECT)

static guint changed_signal, taken_signal;
static const char muted_text[] = N_ ("The input is muted: turn it on in the settings of the sound.");

static void
advise (SlListen *self, char *advice)
{
  g_free (self->advice);
  self->advice = advice;
}

/* ---- what is asked ---- */

static const SlQuestion *
asked (SlListen *self)
{
  return self->at < self->places->len ? &g_array_index (self->places, SlQuestion, self->at) : NULL;
}

static int
place_of (SlListen *self, int string, int fret)
{
  const SlQuestion wanted = sl_pitch_question (string, fret);

  for (guint i = 0; i < self->places->len; i++)
    if (sl_question_equal (&g_array_index (self->places, SlQuestion, i), &wanted))
      return (int) i;
  return -1;
}

/* String by string from the bass side, each open first. */
static void
list_places (SlListen *self)
{
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  const int alone = self->programme == SL_LISTEN_ASKED ? self->alone.string : 0;
  const int lasts[] = { [SL_LISTEN_TUNE] = 0,
                        [SL_LISTEN_OCTAVES] = SL_OCTAVE_FRET,
                        [SL_LISTEN_FRETS] = profile->neck.frets,
                        [SL_LISTEN_ASKED] = self->alone.fret };
  const int last = lasts[self->programme], step = self->programme == SL_LISTEN_FRETS ? 1 : MAX (1, last);

  g_array_set_size (self->places, 0);
  for (int string = alone > 0 ? alone : profile->n_strings; string >= MAX (1, alone); string--)
    for (int fret = 0; fret <= last; fret += step)
      {
        const SlQuestion question = sl_pitch_question (string, fret);

        g_array_append_val (self->places, question);
      }
}

static gboolean
open_is_heard (SlListen *self, int string)
{
  const SlQuestion open = sl_pitch_question (string, 0);
  double cents, uncertainty;
  int n;

  return sl_plucks_mean (self->plucks, self->bench, &open, &cents, &uncertainty, &n);
}

static double
expected_at (SlListen *self, guint place)
{
  return place < self->places->len
             ? sl_plucks_expected (self->plucks, self->bench, &g_array_index (self->places, SlQuestion, place))
             : NAN;
}

/* Hears what is asked at @place next, in tuning one of the open strings: it may be far off. */
static void
expect (SlListen *self, guint place)
{
  const double wanted = expected_at (self, place);

  if (self->listener != NULL && !isnan (wanted))
    sl_expect_notes (self->listener, sl_bench_get_profile (self->bench), wanted, self->programme == SL_LISTEN_TUNE);
}

/* Waits for a pluck of what is asked from now on. */
static void
await (SlListen *self)
{
  self->has_note = self->same = FALSE;
  self->over = TRUE;
  g_clear_pointer (&self->advice, g_free);
  if (self->trouble != NULL)
    self->state = SL_LISTEN_TROUBLE;
  else if (asked (self) == NULL)
    self->state = SL_LISTEN_DONE;
  else
    self->state = self->on || self->listener != NULL ? SL_LISTEN_WAITING : SL_LISTEN_OFF;
}

static void
advance_to (SlListen *self, int place)
{
  self->at = (guint) CLAMP (place, 0, (int) self->places->len);
  self->then = -1;
  await (self);
}

static void
go_to_place (SlListen *self, int place)
{
  advance_to (self, place);
  expect (self, self->at);
  g_signal_emit (self, changed_signal, 0);
}

static int
next_place (SlListen *self)
{
  return self->then >= 0 ? self->then : (int) self->at + 1;
}

/* ---- what is heard ---- */

/* What keeps a note from being taken, as a sentence for people; NULL: nothing. */
static char *
objection (SlListen *self, const SlNote *note, const SlQuestion *question)
{
  static const char *const words[SL_N_HEARD_WORDS] = {
    [SL_HEARD_GLIDING] = N_ ("The pitch does not settle: pluck softer, and let it ring without turning the peg."),
    [SL_HEARD_SOFT] = N_ ("Too soft: pluck harder, or nearer to the microphone."),
    [SL_HEARD_CLIPPED] = N_ ("Too loud for the input: pluck softer, or turn the input down."),
    [SL_HEARD_TWO_NOTES] = N_ ("More than one string sounds: damp the others and pluck again."),
  };
  const gboolean tuning = self->programme == SL_LISTEN_TUNE, moves = note->word == SL_HEARD_GLIDING;
  int string = question->string, fret = question->fret;

  if (note->word == SL_HEARD_TWO_NOTES)
    return g_strdup (_ (words[note->word]));
  if (note->n_partials < LEAST_PARTIALS || !(note->u > 0))
    return g_strdup (_ (words[SL_HEARD_SOFT]));
  if (tuning || fabs (note->cents) > SL_FAR_CENTS)
    sl_sounds_like (sl_bench_get_profile (self->bench), note->frequency, tuning, &string, &fret);
  const gboolean same = string == question->string && fret == question->fret;
  g_autofree char *off = sl_text_plain (&(SlTextStyle){ SL_LENGTHS_MM, "." }, note->cents, 0, TRUE);

  if (same && (tuning || fabs (note->cents) <= SL_FAR_CENTS))
    return note->word == SL_HEARD_SETTLED || (tuning && moves) ? NULL : g_strdup (_ (words[note->word]));
  return same || string == 0 ? g_strdup_printf (_ ("This sounds %s cents off: not the note that is asked."), off)
         : fret == 0         ? g_strdup_printf (_ ("This sounds like string %d open."), string)
                             : g_strdup_printf (_ ("This sounds like string %d at fret %d."), string, fret);
}

/* What was taken stays shown. */
static void
keep_fan (SlListen *self)
{
  SlFan *fan = &self->fan;

  sl_listener_fan (self->listener, fan);
  g_free (self->columns);
  self->columns = g_new (float, 2 * SL_MAX_PARTIALS * fan->n + 1);
  for (guint k = 0; k < (guint) fan->n_partials; k++)
    {
      fan->turns[k] = memcpy (self->columns + 2 * k * fan->n, fan->turns[k], fan->n * sizeof (float));
      fan->level[k] = memcpy (self->columns + (2 * k + 1) * fan->n, fan->level[k], fan->n * sizeof (float));
    }
}

/* While strings are tuned it has to be in tune, and is no reading. A fret whose open string was not heard waits for it.
 */
static void
take (SlListen *self, gboolean ended)
{
  const SlQuestion question = *asked (self);
  const gboolean tuning = self->programme == SL_LISTEN_TUNE;

  if (tuning && (self->note.word != SL_HEARD_SETTLED ||
                 fabs (self->note.cents) > sl_bench_get_analysis (self->bench)->instrument.pitch_tolerance))
    return;
  self->over = TRUE;
  advise (self, tuning ? NULL : sl_plucks_put (self->plucks, self->bench, &question, &self->note));
  if (self->advice == NULL)
    {
      self->state = SL_LISTEN_TAKEN;
      self->taken_at = self->clock;
      self->untold = TRUE;
      keep_fan (self);
      if (!ended) /* else another may have begun, which would be forgotten */
        expect (self, (guint) next_place (self));
    }
  else if (question.fret > 0 && !open_is_heard (self, question.string))
    {
      self->then = (int) self->at;
      self->at = (guint) place_of (self, question.string, 0);
      self->has_note = FALSE;
      expect (self, self->at);
    }
}

/* A note, of which as much was heard as it tells; @ended: no more comes. */
static void
judge (SlListen *self, const SlNote *note, gboolean ended)
{
  self->note = *note;
  self->has_note = TRUE;
  self->same = FALSE;
  self->note.expected = sl_listen_get_expected (self);
  self->note.cents = sl_cents (note->frequency, self->note.expected);
  if (self->over)
    return;
  self->state = ended ? SL_LISTEN_WAITING : SL_LISTEN_SOUNDING;
  if (note->length < fmin (LEAST_S, note->decay / 3) && note->word != SL_HEARD_CLIPPED)
    return;
  advise (self, objection (self, &self->note, asked (self)));
  if (self->advice == NULL && (ended || note->length >= MOST_S || SL_COVERAGE * note->cents_u <= ENOUGH_CENTS))
    take (self, ended);
}

/* What sounds, or ended in the last piece of sound. A pluck after one that was taken is for the next question. */
static void
follow (SlListen *self, const SlNote *note, gboolean ended)
{
  if (note->onset > self->onset)
    {
      self->onset = note->onset;
      if (self->state == SL_LISTEN_TAKEN)
        advance_to (self, next_place (self));
      g_clear_pointer (&self->advice, g_free);
      self->over = asked (self) == NULL;
    }
  if (note->onset == self->onset && asked (self) != NULL)
    judge (self, note, ended);
}

static void
hear_piece (SlListen *self, const float *samples, gsize n)
{
  SlNote note;
  const guint ended = sl_listener_hear (self->listener, samples, n);
  const GArray *notes = sl_listener_notes (self->listener);

  self->clock += (double) n / self->rate;
  for (guint i = 0; ended > 0 && i < notes->len; i++)
    follow (self, &g_array_index (notes, SlNote, i), TRUE);
  if (ended > 0)
    sl_listener_clear (self->listener);
  if (sl_listener_sounding (self->listener, &note))
    follow (self, &note, FALSE);
  else if (self->state == SL_LISTEN_SOUNDING)
    self->state = SL_LISTEN_WAITING;
  if (self->state == SL_LISTEN_TAKEN && self->clock >= self->taken_at + HOLD_S)
    advance_to (self, next_place (self));
}

void
sl_listen_hear (SlListen *self, const float *samples, gsize n, double rate)
{
  const gsize piece = MAX (1, (gsize) (PIECE_S * rate));
  g_autoptr (SlListen) held = g_object_ref (self);

  if (self->listener == NULL || rate != self->rate)
    {
      g_clear_pointer (&self->listener, sl_listener_free);
      self->listener = sl_listener_new (rate, sl_listen_get_expected (self));
      self->rate = rate;
      self->clock = 0;
      self->told_at = -TOLD_EVERY_S;
      self->onset = -1;
      expect (self, self->at);
      await (self);
    }
  if (self->trouble != NULL)
    {
      g_clear_pointer (&self->trouble, g_free);
      await (self);
    }
  for (gsize i = 0; i < n && self->listener != NULL; i += piece) /* who is told of a reading may stop it */
    {
      hear_piece (self, samples + i, MIN (piece, n - i));
      if (self->untold)
        {
          self->untold = FALSE;
          g_signal_emit (self, taken_signal, 0, asked (self)->string, asked (self)->fret);
        }
    }
  const gboolean muted =
      self->capture != NULL && sl_listen_get_level (self) < SILENT_DB && sl_capture_is_muted (self->capture);

  if (muted ? self->advice == NULL && self->state == SL_LISTEN_WAITING : g_strcmp0 (self->advice, _ (muted_text)) == 0)
    advise (self, muted ? g_strdup (_ (muted_text)) : NULL);
  if (self->clock < self->told_at + TOLD_EVERY_S)
    return;
  g_signal_emit (self, changed_signal, 0);
  self->told_at = self->clock;
  self->same = TRUE;
}

/* ---- where it comes from ---- */

static gboolean open_device (gpointer data);

static void
on_heard (gpointer owner, const float *samples, gsize n, double rate)
{
  sl_listen_hear (owner, samples, n, rate);
}

/* What can come back is looked for; the sentence stands until there is sound. */
static void
on_ended (gpointer owner, const GError *error)
{
  SlListen *self = owner;

  g_clear_pointer (&self->capture, sl_capture_close);
  g_free (self->trouble);
  self->trouble = g_strdup (error == NULL ? _ ("The input has ended.") : error->message);
  if (error == NULL || !g_error_matches (error, SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_NO_MODULE))
    self->again_id = g_timeout_add_seconds (AGAIN_S, open_device, self);
  await (self);
  g_signal_emit (self, changed_signal, 0);
}

static gboolean
open_device (gpointer data)
{
  static const SlCaptureHandlers handlers = { on_heard, on_ended };
  SlListen *self = data;
  g_autofree char *device = sl_settings_get_string (SL_SETTING_LISTEN_DEVICE, "");
  g_autoptr (GError) error = NULL;

  self->again_id = 0;
  self->capture = sl_capture_open_device (device, &handlers, self, &error);
  if (self->capture == NULL)
    on_ended (self, error);
  return G_SOURCE_REMOVE;
}

void
sl_listen_stop (SlListen *self)
{
  self->on = FALSE;
  g_clear_handle_id (&self->again_id, g_source_remove);
  g_clear_pointer (&self->capture, sl_capture_close);
  g_clear_pointer (&self->listener, sl_listener_free);
  g_clear_pointer (&self->trouble, g_free);
  await (self);
  g_signal_emit (self, changed_signal, 0);
}

void
sl_listen_start (SlListen *self)
{
  if (self->on && self->trouble == NULL)
    return;
  sl_listen_stop (self);
  self->on = TRUE;
  await (self);
  open_device (self);
  g_signal_emit (self, changed_signal, 0);
}

static void
on_device (SlListen *self)
{
  if (!self->on)
    return;
  self->on = FALSE;
  sl_listen_start (self);
}

/* ---- asking ---- */

void
sl_listen_set_programme (SlListen *self, SlListenProgramme programme)
{
  self->programme = programme;
  list_places (self);
  go_to_place (self, 0);
}

void
sl_listen_ask (SlListen *self, const SlQuestion *question)
{
  self->alone = *question;
  sl_listen_set_programme (self, SL_LISTEN_ASKED);
  if (open_is_heard (self, question->string))
    go_to_place (self, (int) self->places->len - 1);
}

void
sl_listen_step (SlListen *self, int by)
{
  go_to_place (self, (int) self->at + by);
}

void
sl_listen_go_to (SlListen *self, int string, int fret)
{
  const SlQuestion question = sl_pitch_question (string, fret);
  const int place = place_of (self, string, fret);

  if (place >= 0)
    go_to_place (self, place);
  else
    sl_listen_ask (self, &question);
}

/* ---- what there is to show ---- */

gboolean
sl_listen_get_question (SlListen *self, SlQuestion *out)
{
  if (asked (self) != NULL)
    *out = *asked (self);
  return asked (self) != NULL;
}

double
sl_listen_get_expected (SlListen *self)
{
  return expected_at (self, self->at);
}

void
sl_listen_get_fan (SlListen *self, SlFan *out)
{
  *out = self->state == SL_LISTEN_TAKEN ? self->fan : (SlFan){ 0 };
  if (self->state != SL_LISTEN_TAKEN && self->listener != NULL && self->has_note)
    sl_listener_fan (self->listener, out);
}

double
sl_listen_get_level (SlListen *self)
{
  return self->listener == NULL ? -G_MAXDOUBLE : sl_listener_level (self->listener);
}

/* ---- life ---- */

/* Strings or frets, pitches, or readings are others. */
static void
on_bench (SlListen *self)
{
  list_places (self);
  self->at = MIN (self->at, self->places->len);
  self->same = FALSE;
  g_signal_emit (self, changed_signal, 0);
}

static void
on_notes (SlListen *self)
{
  expect (self, self->at);
  self->same = FALSE;
  g_signal_emit (self, changed_signal, 0);
}

static void
sl_listen_finalize (GObject *object)
{
  SlListen *self = SL_LISTEN (object);

  g_clear_handle_id (&self->again_id, g_source_remove);
  g_clear_pointer (&self->capture, sl_capture_close);
  g_clear_pointer (&self->listener, sl_listener_free);
  g_array_unref (self->plucks);
  g_array_unref (self->places);
  g_free (self->trouble);
  g_free (self->advice);
  g_free (self->columns);
  g_object_unref (self->bench);
  G_OBJECT_CLASS (sl_listen_parent_class)->finalize (object);
}

static void
sl_listen_class_init (SlListenClass *class)
{
  G_OBJECT_CLASS (class)->finalize = sl_listen_finalize;
  changed_signal = g_signal_new ("changed", SL_TYPE_LISTEN, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  taken_signal = g_signal_new ("taken", SL_TYPE_LISTEN, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2,
                               G_TYPE_INT, G_TYPE_INT);
}

static void
sl_listen_init (SlListen *self)
{
  self->places = g_array_new (FALSE, FALSE, sizeof (SlQuestion));
  self->then = -1;
}

SlListen *
sl_listen_new (SlBench *bench)
{
  SlListen *self = g_object_new (SL_TYPE_LISTEN, NULL);

  self->bench = g_object_ref (bench);
  self->plucks = sl_plucks_new ();
  sl_bench_follow (bench, SL_CHANGED_INSTRUMENT | SL_CHANGED_READINGS, G_CALLBACK (on_bench), self);
  sl_settings_follow (SL_SETTING_LISTEN_DEVICE, self, G_CALLBACK (on_device));
  sl_settings_follow (SL_SETTING_REFERENCE_PITCH, self, G_CALLBACK (on_notes));
  sl_settings_follow (SL_SETTING_TEMPERAMENT, self, G_CALLBACK (on_notes));
  sl_listen_set_programme (self, SL_LISTEN_OCTAVES);
  return self;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/listen.h"

#include "bench/plucks.h"
#include "bench/settings.h"
#include "capture/capture.h"

/* Own choices. A settled pitch is taken when its U is this small, or after so long, or when it ends. */
#define ENOUGH_CENTS 0.1
#define LEAST_S 1.0
#define MOST_S 2.5
#define LEAST_PARTIALS 2 /* one alone may be anything */
#define HOLD_S 1.0       /* what was taken stays shown */
#define PIECE_S 0.05     /* sound is heard in pieces, so that no state is passed over */
#define AGAIN_S 2        /* a device that went is looked for */

struct _SlListen
{
  GObject parent_instance;

  SlBench *bench; /* owned, as what follows */
  SlCapture *capture;
  SlListener *listener; /* NULL before the first sound */
  char *trouble, *advice;
  GArray *plucks;
  GArray *places; /* of SlQuestion */

  gboolean on;
  guint again_id;
  double rate, clock; /* s heard since the listener began */
  SlListenProgramme programme;
  SlQuestion alone; /* of SL_LISTEN_ASKED */
  guint at;
  int then; /* the place to go on at when the open string was heard; −1: the next */
  SlListenState state;
  SlNote note;
  gboolean has_note;
  double onset;  /* of the pluck heard last; −1: none */
  gboolean over; /* it was taken, or is not for what is asked */
  double taken_at;
};

G_DEFINE_FINAL_TYPE (SlListen, sl_listen, G_TYPE_OBJECT)

static guint changed_signal, taken_signal;

static void
changed (SlListen *self)
{
  g_signal_emit (self, changed_signal, 0);
}

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

static void
add_place (SlListen *self, int string, int fret)
{
  const SlQuestion question = { .ask = SL_READ_PITCH, .string = string, .fret = fret, .held = SL_HELD_DEFAULT };

  g_array_append_val (self->places, question);
}

static int
place_of (SlListen *self, int string, int fret)
{
  for (guint i = 0; i < self->places->len; i++)
    if (g_array_index (self->places, SlQuestion, i).string == string &&
        g_array_index (self->places, SlQuestion, i).fret == fret)
      return (int) i;
  return -1;
}

/* String by string from the bass side, each open first. */
static void
list_places (SlListen *self)
{
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  const int frets = profile->neck.frets, step = self->programme == SL_LISTEN_FRETS ? 1 : SL_OCTAVE_FRET,
            last = self->programme == SL_LISTEN_TUNE    ? 0
                   : self->programme == SL_LISTEN_FRETS ? frets
                                                        : MIN (step, frets);

  g_array_set_size (self->places, 0);
  if (self->programme == SL_LISTEN_ASKED)
    {
      if (self->alone.fret > 0)
        add_place (self, self->alone.string, 0);
      g_array_append_val (self->places, self->alone);
      return;
    }
  for (int string = profile->n_strings; string >= 1; string--)
    for (int fret = 0; fret <= last; fret += step)
      add_place (self, string, fret);
}

static gboolean
open_is_heard (SlListen *self, int string)
{
  const SlQuestion open = { .ask = SL_READ_PITCH, .string = string, .held = SL_HELD_DEFAULT };
  double cents, uncertainty;
  int n;

  return sl_listen_get_mean (self, &open, &cents, &uncertainty, &n);
}

/* What may sound: what is asked, and the other notes of the instrument, so that a wrong string or octave is known for
 * what it is. In tuning the other open strings alone: a string may be far off. */
static void
expect (SlListen *self)
{
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  g_autoptr (GArray) notes = g_array_new (FALSE, FALSE, sizeof (double));
  const double wanted = sl_listen_get_expected (self);

  if (self->listener == NULL || isnan (wanted))
    return;
  g_array_append_val (notes, wanted);
  for (int string = 1; string <= profile->n_strings; string++)
    for (int fret = 0; fret <= (self->programme == SL_LISTEN_TUNE ? 0 : profile->neck.frets); fret++)
      {
        const double note = sl_raised (sl_listen_open_frequency (profile, string), SL_FRET_CENTS * fret);
        gboolean new = !isnan (note) && fabs (sl_cents (note, wanted)) > 2 * SL_FAR_CENTS;

        for (guint i = 1; i < notes->len && new; i++)
          new = fabs (sl_cents (note, g_array_index (notes, double, i))) > SL_FRET_CENTS / 2;
        if (new)
          g_array_append_val (notes, note);
      }
  sl_listener_expect_any (self->listener, (const double *) notes->data, notes->len);
}

/* Waits for a pluck of what is asked from now on. */
static void
await (SlListen *self)
{
  self->has_note = FALSE;
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
go_to_place (SlListen *self, int place)
{
  self->at = (guint) CLAMP (place, 0, (int) self->places->len);
  self->then = -1;
  await (self);
  expect (self);
  changed (self);
}

static void
advance (SlListen *self)
{
  self->at = self->then >= 0 ? (guint) self->then : self->at + 1;
  self->then = -1;
  await (self);
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
  const gboolean tuning = self->programme == SL_LISTEN_TUNE;
  int string = question->string, fret = question->fret;

  if (note->word == SL_HEARD_TWO_NOTES)
    return g_strdup (_ (words[note->word]));
  if (note->n_partials < LEAST_PARTIALS || isnan (note->frequency))
    return g_strdup (_ (words[SL_HEARD_SOFT]));
  if (tuning || fabs (note->cents) > SL_FAR_CENTS)
    sl_sounds_like (sl_bench_get_profile (self->bench), note->frequency, tuning, &string, &fret);
  const gboolean same = string == question->string && fret == question->fret;

  if (same && (tuning || fabs (note->cents) <= SL_FAR_CENTS))
    return note->word == SL_HEARD_SETTLED ? NULL : g_strdup (_ (words[note->word]));
  return same || string == 0
             ? g_strdup_printf (_ ("This sounds %+.0f cents off: not the note that is asked."), note->cents)
         : fret == 0 ? g_strdup_printf (_ ("This sounds like string %d open."), string)
                     : g_strdup_printf (_ ("This sounds like string %d at fret %d."), string, fret);
}

/* In tuning it has to be in tune, and is no reading. A fret whose open string was not heard waits for that. */
static void
take (SlListen *self)
{
  const SlQuestion question = *asked (self);
  const int open = place_of (self, question.string, 0);
  const gboolean tuning = self->programme == SL_LISTEN_TUNE;

  if (tuning && fabs (self->note.cents) > sl_bench_get_analysis (self->bench)->instrument.pitch_tolerance)
    return;
  self->over = TRUE;
  if (tuning)
    sl_plucks_keep (self->plucks, &question, &self->note);
  else
    advise (self, sl_plucks_put (self->plucks, self->bench, &question, &self->note));
  if (self->advice == NULL)
    {
      self->state = SL_LISTEN_TAKEN;
      self->taken_at = self->clock;
      g_signal_emit (self, taken_signal, 0, question.string, question.fret);
    }
  else if (open >= 0 && open != (int) self->at && !open_is_heard (self, question.string))
    {
      self->then = (int) self->at;
      self->at = (guint) open;
    }
}

/* A note of which as much was heard as @note tells; @ended: no more comes. */
static void
judge (SlListen *self, const SlNote *note, gboolean ended)
{
  const gboolean sure = ended || note->length >= LEAST_S;
  char *objects;

  self->note = *note;
  self->has_note = TRUE;
  self->note.expected = sl_listen_get_expected (self);
  self->note.cents = sl_cents (note->frequency, self->note.expected);
  if (self->over)
    return;
  self->state = ended ? SL_LISTEN_WAITING : SL_LISTEN_SOUNDING;
  objects = objection (self, &self->note, asked (self));
  advise (self, sure || note->word == SL_HEARD_CLIPPED ? g_strdup (objects) : NULL);
  if (objects == NULL && sure && (ended || note->length >= MOST_S || SL_COVERAGE * note->cents_u <= ENOUGH_CENTS))
    take (self);
  g_free (objects);
}

/* What sounds, or ended in the last piece of sound. A pluck after one that was taken is for the next question. */
static void
follow (SlListen *self, const SlNote *note, gboolean ended)
{
  if (note->onset > self->onset)
    {
      self->onset = note->onset;
      if (self->state == SL_LISTEN_TAKEN)
        advance (self);
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
    {
      advance (self);
      expect (self);
    }
}

void
sl_listen_hear (SlListen *self, const float *samples, gsize n, double rate)
{
  const gsize piece = MAX (1, (gsize) (PIECE_S * rate));

  if (self->listener == NULL || rate != self->rate)
    {
      g_clear_pointer (&self->listener, sl_listener_free);
      self->listener = sl_listener_new (rate, sl_listen_get_expected (self));
      self->rate = rate;
      self->clock = 0;
      self->onset = -1;
      expect (self);
      await (self);
    }
  if (self->trouble != NULL)
    {
      g_clear_pointer (&self->trouble, g_free);
      await (self);
    }
  for (gsize i = 0; i < n; i += piece)
    hear_piece (self, samples + i, MIN (piece, n - i));
  if (self->capture != NULL && sl_listener_level (self->listener) < -90 && sl_capture_is_muted (self->capture))
    advise (self, g_strdup (_ ("The input is muted: turn it on in the settings of the sound.")));
  changed (self);
}

/* ---- where it comes from ---- */

static void open_device (SlListen *self);

static gboolean
on_again (gpointer data)
{
  SlListen *self = data;

  self->again_id = 0;
  open_device (self);
  return G_SOURCE_REMOVE;
}

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
    self->again_id = g_timeout_add_seconds (AGAIN_S, on_again, self);
  await (self);
  changed (self);
}

static void
open_device (SlListen *self)
{
  static const SlCaptureHandlers handlers = { on_heard, on_ended };
  g_autofree char *device = sl_settings_get_string (SL_SETTING_LISTEN_DEVICE, "");
  g_autoptr (GError) error = NULL;

  self->capture = sl_capture_open_device (device, &handlers, self, &error);
  if (self->capture == NULL)
    on_ended (self, error);
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
  changed (self);
}

void
sl_listen_start (SlListen *self)
{
  sl_listen_stop (self);
  self->on = TRUE;
  await (self);
  open_device (self);
  changed (self);
}

static void
on_device (SlListen *self)
{
  if (self->on)
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
  const SlQuestion question = { .ask = SL_READ_PITCH, .string = string, .fret = fret, .held = SL_HELD_DEFAULT };
  const int place = place_of (self, string, fret);

  if (place >= 0)
    go_to_place (self, place);
  else
    sl_listen_ask (self, &question);
}

/* ---- what there is to show ---- */

SlListenProgramme
sl_listen_get_programme (SlListen *self)
{
  return self->programme;
}

guint
sl_listen_get_place (SlListen *self, guint *n)
{
  if (n != NULL)
    *n = self->places->len;
  return self->at;
}

SlListenState
sl_listen_get_state (SlListen *self)
{
  return self->state;
}

const char *
sl_listen_get_trouble (SlListen *self)
{
  return self->trouble;
}

const char *
sl_listen_get_advice (SlListen *self)
{
  return self->advice;
}

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
  return asked (self) == NULL ? NAN : sl_plucks_expected (self->plucks, self->bench, asked (self));
}

gboolean
sl_listen_get_note (SlListen *self, SlNote *out)
{
  if (self->has_note)
    *out = self->note;
  return self->has_note;
}

void
sl_listen_get_fan (SlListen *self, SlFan *out)
{
  *out = (SlFan){ 0 };
  if (self->listener != NULL && self->has_note)
    sl_listener_fan (self->listener, out);
}

double
sl_listen_get_level (SlListen *self)
{
  return self->listener == NULL ? -G_MAXDOUBLE : sl_listener_level (self->listener);
}

gboolean
sl_listen_get_mean (SlListen *self, const SlQuestion *question, double *cents, double *uncertainty, int *n)
{
  return sl_plucks_mean (self->plucks, self->bench, question, cents, uncertainty, n);
}

const SlNote *
sl_listen_heard (SlListen *self, int string, int fret)
{
  return sl_plucks_heard (self->plucks, string, fret);
}

char *
sl_listen_put (SlListen *self, const SlQuestion *question, const SlNote *note)
{
  return sl_plucks_put (self->plucks, self->bench, question, note);
}

SlBench *
sl_listen_get_bench (SlListen *self)
{
  return self->bench;
}

/* ---- life ---- */

/* Strings or frets, pitches, or readings are others. */
static void
on_bench (SlListen *self)
{
  list_places (self);
  self->at = MIN (self->at, self->places->len);
  changed (self);
}

static void
on_notes (SlListen *self)
{
  expect (self);
  changed (self);
}

static void
sl_listen_dispose (GObject *object)
{
  SlListen *self = SL_LISTEN (object);

  g_clear_handle_id (&self->again_id, g_source_remove);
  g_clear_pointer (&self->capture, sl_capture_close);
  G_OBJECT_CLASS (sl_listen_parent_class)->dispose (object);
}

static void
sl_listen_finalize (GObject *object)
{
  SlListen *self = SL_LISTEN (object);

  g_clear_pointer (&self->listener, sl_listener_free);
  g_array_unref (self->plucks);
  g_array_unref (self->places);
  g_free (self->trouble);
  g_free (self->advice);
  g_object_unref (self->bench);
  G_OBJECT_CLASS (sl_listen_parent_class)->finalize (object);
}

static void
sl_listen_class_init (SlListenClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_listen_dispose;
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

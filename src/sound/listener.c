/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sound/listener.h"

#include <math.h>
#include <string.h>

#include "sound/listener-onset.h"
#include "sound/partials.h"
#include "sound/series.h"

#define KEPT_S 4.0         /* of sound, until it is known to be a note's */
#define STEADY_HZ 5.0      /* what is slower is no sound but an offset */
#define MOST_SAMPLE 4.0f   /* beyond is a fault of the source */
#define FULL_SCALE_DB 3.01 /* of a sine (AES17), against samples of 1 */
#define CLIPS_S 0.5        /* how long it is told */
#define LEVEL_FRAMES 10
#define FIRST_S 0.4 /* after the onset: the first figure; less is no note */
#define REFRESH_S 0.2
#define REFRESH_SHARE 0.1 /* of what was heard: so much more before it is measured again */
#define LATE_S 0.6        /* until then a figure that is still missing is looked for more often */
#define CHOICE_S 0.6      /* of a note, by which it is chosen among candidates */
#define EARLY_FRAMES 20   /* what a note's level is taken over */
#define STEADY_FRAMES 600 /* a string does not sound on for 3 s … */
#define STEADY_DB 1.0     /* … without dying by so much */
#define PLUCKED_DB 3.0    /* by which what sounds from the first sample on has to die to be a note */
#define STARTS_DB 10.0
#define QUIET_POWER 1e-7
#define HIGHEST_HZ 2500.0 /* and … */
#define LOWEST_HZ 15.0    /* … of what can be expected */

typedef enum
{
  QUIET,
  UNSURE, /* it sounded from the first sample on: a pluck, or what is there anyway */
  SOUNDING
} State;

struct _SlListener
{
  double rate, offset;
  float *kept; /* twice, one behind the other: any stretch is in one piece */
  gsize n_kept;
  guint64 n;                           /* samples that came */
  guint64 clipped[SL_CLIPPED_SAMPLES]; /* the last at full scale */
  guint n_clipped;
  SlOnsets onsets;
  double expected;
  GArray *candidates; /* of double; empty: only @expected */
  State state;
  guint64 onset;        /* frame */
  SlPartials *partials; /* from FIRST_S after the onset on, and when the note has ended */
  GArray *notes;
  SlNote live;
  guint64 live_at; /* sample */
};

SlListener *
sl_listener_new (double rate, double expected)
{
  SlListener *self = g_new0 (SlListener, 1);

  self->rate = rate;
  self->n_kept = (gsize) (KEPT_S * rate);
  self->kept = g_new0 (float, 2 * self->n_kept);
  sl_onsets_init (&self->onsets, rate);
  self->expected = expected;
  self->candidates = g_array_new (FALSE, FALSE, sizeof (double));
  self->notes = g_array_new (FALSE, FALSE, sizeof (SlNote));
  return self;
}

void
sl_listener_free (SlListener *self)
{
  g_free (self->kept);
  g_array_unref (self->candidates);
  g_array_unref (self->notes);
  g_clear_pointer (&self->partials, sl_partials_free);
  g_free (self);
}

void
sl_listener_expect (SlListener *self, double expected)
{
  self->expected = expected;
  g_array_set_size (self->candidates, 0);
  self->state = QUIET;
  self->onsets.held = FALSE;
  g_clear_pointer (&self->partials, sl_partials_free);
}

void
sl_listener_expect_any (SlListener *self, const double *candidates, guint n)
{
  sl_listener_expect (self, n > 0 ? candidates[0] : self->expected);
  g_array_append_vals (self->candidates, candidates, n);
}

static guint64
sample_of (SlListener *self, guint64 frame)
{
  return frame * self->onsets.frame_samples;
}

/* What was kept from sample @from on; @from must be among them. */
static const float *
kept_from (SlListener *self, guint64 from)
{
  return self->kept + from % self->n_kept;
}

static double
nearest (SlListener *self, double frequency)
{
  double found = self->expected, least = INFINITY;

  for (guint i = 0; i < self->candidates->len; i++)
    {
      const double candidate = g_array_index (self->candidates, double, i), off = fabs (log (frequency / candidate));

      if (off < least)
        {
          least = off;
          found = candidate;
        }
    }
  return found;
}

/* Which of the candidates sounds in @n samples from @from on. */
static double
choose (SlListener *self, guint64 from, gsize n)
{
  const gsize skipped = (gsize) (SL_ATTACK_S / 2 * self->rate);
  g_autofree double *sound = g_new (double, n);
  SlSeries series;

  if (self->candidates->len < 2)
    return self->expected;
  n = MIN (n, (gsize) (CHOICE_S * self->rate)) - skipped;
  for (gsize i = 0; i < n; i++)
    sound[i] = kept_from (self, from + skipped)[i];
  return sl_series_find (sound, n, self->rate, (const double *) (void *) self->candidates->data, self->candidates->len,
                         &series)
             ? nearest (self, sl_series_frequency (&series, 1))
             : self->expected;
}

/* From now on the note's partials are followed. */
static void
follow (SlListener *self)
{
  const guint64 from = sample_of (self, self->onset);
  const gsize n = self->n - from;

  self->partials = sl_partials_new (self->rate, choose (self, from, n));
  sl_partials_hear (self->partials, kept_from (self, from), n);
}

/* The note up to sample @to. */
static void
measure (SlListener *self, guint64 to, gboolean ended)
{
  const guint64 onset = sample_of (self, self->onset);
  SlNote *note = &self->live;

  if (sl_partials_note (self->partials, (double) (to - onset) / self->rate, ended, note))
    {
      note->expected = nearest (self, note->frequency);
      note->cents = 1200 * log2 (note->frequency / note->expected);
    }
  note->onset = (double) onset / self->rate;
  self->live_at = self->n;
}

static double
decibels (double power)
{
  return 10 * log10 (power + 1e-12);
}

/* Level of frames @from to @to, dB. */
static double
level (SlListener *self, guint64 from, guint64 to)
{
  return decibels (sl_onsets_power (&self->onsets, SL_BAND_ALL, from, to));
}

static void
begin_note (SlListener *self, guint64 frame, State state)
{
  self->state = state;
  self->onset = frame;
  self->onsets.held = state == SOUNDING;
  self->live_at = 0;
  self->live.frequency = NAN;
  g_clear_pointer (&self->partials, sl_partials_free);
}

/* What sounds ended before @frame. What is too short, or does not die, is no plucked string. */
static void
end_note (SlListener *self, guint64 frame)
{
  const gboolean sounded = self->state == SOUNDING && self->partials != NULL;

  self->state = QUIET;
  self->onsets.held = FALSE;
  if (!sounded || (double) (frame - self->onset) * SL_FRAME_S < FIRST_S)
    return;
  measure (self, sample_of (self, frame), TRUE);
  g_array_append_val (self->notes, self->live);
}

/* Whether it has sounded on as loud as it was for so long that it can't be a string. */
static gboolean
is_steady (SlListener *self)
{
  const guint64 n = self->onsets.n, then = n - MIN (n, STEADY_FRAMES);

  return then > self->onset + EARLY_FRAMES &&
         level (self, n - 2 * EARLY_FRAMES, n) > level (self, then, then + 2 * EARLY_FRAMES) - STEADY_DB;
}

/* Where what sounds soon after the first sample begins: there, unless it is quiet before. */
static guint64
first_onset (SlListener *self)
{
  const guint64 at = sl_onsets_refine (&self->onsets, EARLY_FRAMES);

  return level (self, 0, at) < level (self, at, at + EARLY_FRAMES) - STARTS_DB ? at : 0;
}

static void
step_unsure (SlListener *self)
{
  const guint64 n = self->onsets.n;

  if (level (self, n - EARLY_FRAMES, n) < level (self, self->onset, self->onset + EARLY_FRAMES) - PLUCKED_DB)
    {
      self->state = SOUNDING;
      self->onsets.held = TRUE;
      memset (self->onsets.floor, 0, sizeof self->onsets.floor); /* there was no quiet to learn it from */
    }
  else if (n > STEADY_FRAMES)
    self->state = QUIET;
}

static void
step_frame (SlListener *self)
{
  const guint64 n = self->onsets.n;
  guint64 found;

  if (self->state == SOUNDING && self->partials != NULL)
    sl_partials_hear (self->partials, kept_from (self, self->n - self->onsets.frame_samples),
                      self->onsets.frame_samples);
  if (sl_onsets_find (&self->onsets, &found))
    {
      end_note (self, found);
      begin_note (self, found, SOUNDING);
    }
  else if (n == 2 * EARLY_FRAMES && self->state == QUIET &&
           sl_onsets_power (&self->onsets, SL_BAND_ALL, 0, n) > QUIET_POWER)
    begin_note (self, first_onset (self), UNSURE);
  else if (self->state == UNSURE && n > 3 * EARLY_FRAMES)
    step_unsure (self);
  else if (self->state == SOUNDING && sl_onsets_sunk (&self->onsets))
    end_note (self, n - SL_SUNK_FRAMES);
  else if (self->state == SOUNDING && is_steady (self))
    {
      end_note (self, n - STEADY_FRAMES);
      sl_onsets_learn (&self->onsets);
    }
  if (self->state == SOUNDING && self->partials == NULL &&
      self->n - sample_of (self, self->onset) >= (guint64) (FIRST_S * self->rate))
    follow (self);
}

guint
sl_listener_hear (SlListener *self, const float *samples, gsize n)
{
  const guint before = self->notes->len;

  for (gsize i = 0; i < n; i++)
    {
      const float sample = isfinite (samples[i]) ? CLAMP (samples[i], -MOST_SAMPLE, MOST_SAMPLE) : 0;

      if (fabsf (sample) >= SL_FULL_SCALE)
        self->clipped[self->n_clipped++ % SL_CLIPPED_SAMPLES] = self->n;
      self->kept[self->n % self->n_kept] = self->kept[self->n % self->n_kept + self->n_kept] = sample;
      self->n++;
      self->offset += (sample - self->offset) * 2 * G_PI * STEADY_HZ / self->rate;
      if (sl_onsets_add (&self->onsets, sample - self->offset))
        step_frame (self);
    }
  return self->notes->len - before;
}

void
sl_listener_end (SlListener *self)
{
  if (self->state != QUIET)
    end_note (self, self->onsets.n);
}

double
sl_listener_level (SlListener *self)
{
  const guint64 n = self->onsets.n;

  return level (self, n - MIN (n, LEVEL_FRAMES), n) + FULL_SCALE_DB;
}

gboolean
sl_listener_clips (SlListener *self)
{
  return self->n_clipped >= SL_CLIPPED_SAMPLES &&
         (double) (self->n - self->clipped[self->n_clipped % SL_CLIPPED_SAMPLES]) < CLIPS_S * self->rate;
}

gboolean
sl_listener_sounding (SlListener *self, SlNote *out)
{
  const double since = (double) (self->n - self->live_at) / self->rate;
  const gboolean soon =
      self->live.word == SL_HEARD_GLIDING || (!isfinite (self->live.frequency) && self->live.length < LATE_S);

  if (self->state != SOUNDING || self->partials == NULL)
    return FALSE;
  if (self->live_at == 0 || since >= (soon ? REFRESH_S / 2 : MAX (REFRESH_S, REFRESH_SHARE * self->live.length)))
    measure (self, self->n, FALSE);
  *out = self->live;
  return TRUE;
}

void
sl_listener_fan (SlListener *self, SlFan *out)
{
  SlNote note;

  *out = (SlFan){ 0 };
  if (!sl_listener_sounding (self, &note))
    note = self->live;
  else
    note.length = (double) (self->n - sample_of (self, self->onset)) / self->rate;
  if (self->partials != NULL && self->live_at > 0)
    sl_partials_fan (self->partials, &note, out);
}

const GArray *
sl_listener_notes (SlListener *self)
{
  return self->notes;
}

void
sl_listener_clear (SlListener *self)
{
  g_array_set_size (self->notes, 0);
}

gboolean
sl_note_estimate (const float *samples, gsize n, double rate, double expected, SlNote *out)
{
  g_autoptr (SlListener) listener = NULL;

  *out = (SlNote){ .expected = expected, .frequency = NAN, .u = NAN, .word = SL_HEARD_SOFT };
  if (!(rate >= SL_LEAST_RATE_HZ * 0.99) || !(expected > LOWEST_HZ && expected < HIGHEST_HZ))
    return FALSE;
  listener = sl_listener_new (rate, expected);
  sl_listener_hear (listener, samples, n);
  sl_listener_end (listener);
  if (listener->notes->len > 0)
    *out = g_array_index (listener->notes, SlNote, 0);
  return isfinite (out->frequency);
}

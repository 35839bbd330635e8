/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sound/listener.h"

#include <math.h>
#include <string.h>

#include "sound/listener-onset.h"

#define KEPT_S 10.0        /* of sound */
#define TAPS_A_STEP 16     /* of the low-pass before samples are left out: flat to 7 kHz, blind from 15 kHz on */
#define STEADY_HZ 5.0      /* what is slower is no sound but an offset */
#define MOST_SAMPLE 4.0f   /* beyond is a fault of the source */
#define FULL_SCALE 0.9999  /* 32,767 of 32,768 and more */
#define FULL_SCALE_DB 3.01 /* of a sine (AES17), against samples of 1 */
#define CLIPPED_SAMPLES 3
#define CLIPS_FRAMES 100 /* how long it is told */
#define LEVEL_FRAMES 10
#define FIRST_S 0.4 /* after the onset: the first figure */
#define REFRESH_S 0.2
#define STAYS_CENTS 1.0   /* a settled figure that the fan does not leave by so much */
#define LATE_S 0.6        /* until then a figure that is still missing is looked for more often */
#define LIVE_S 1.5        /* the longest and … */
#define FOLLOW_S 0.8      /* … the shortest window of a figure */
#define CHOICE_FROM_S 0.1 /* where in a note its coarse pitch is looked for */
#define CHOICE_S 0.15
#define CHOICE_RANGE 1.19 /* three semitones */
#define CHOICE_NEAR 0.1   /* a shorter period that fits as well but for so much is the period */
#define SHORTEST_S 0.3    /* less is no note */
#define EARLY_FRAMES 20   /* what a note's level is taken over */
#define STEADY_FRAMES 600 /* a string does not sound on for 3 s … */
#define STEADY_DB 1.0     /* … without dying by so much */
#define PLUCKED_DB 3.0    /* by which what sounds from the first sample on has to die to be a note */
#define STARTS_DB 10.0
#define QUIET_POWER 1e-7

typedef enum
{
  QUIET,
  UNSURE, /* it sounded from the first sample on: a pluck, or what is there anyway */
  SOUNDING
} State;

struct _SlListener
{
  double rate, low_rate; /* as it comes; as it is kept */
  guint step, n_taps, place;
  float *taps, *incoming; /* @incoming and @kept lie twice, one behind the other: any stretch is in one piece */
  double offset;
  float *kept;
  gsize n_kept;
  guint64 n_heard; /* samples that came */
  guint64 n;       /* samples that were kept */
  guint clipped[SL_FRAMES_KEPT];
  SlOnsets onsets;
  double expected, chosen;
  GArray *candidates; /* of double; empty: only @expected */
  State state;
  guint64 onset; /* frame */
  guint note_clipped;
  GArray *notes;
  SlNote live;
  guint64 live_at, fan_to; /* kept samples; the end of what the fan is of */
  SlFanColumns *fan;
};

/* A windowed sinc (Blackman's window) that leaves half of the lower rate. */
static void
make_taps (SlListener *self)
{
  const double middle = (self->n_taps - 1) / 2.0;
  double sum = 0;

  for (guint i = 0; i < self->n_taps; i++)
    {
      const double x = (i - middle) / self->step, turn = 2 * G_PI * (i + 1) / (self->n_taps + 1);

      self->taps[i] =
          (float) ((x == 0 ? 1 : sin (G_PI * x) / (G_PI * x)) * (0.42 - 0.5 * cos (turn) + 0.08 * cos (2 * turn)));
      sum += self->taps[i];
    }
  for (guint i = 0; i < self->n_taps; i++)
    self->taps[i] /= (float) sum;
}

SlListener *
sl_listener_new (double rate, double expected)
{
  SlListener *self = g_new0 (SlListener, 1);

  self->rate = rate;
  self->step = MAX (1, (guint) (rate / SL_LEAST_RATE_HZ));
  self->low_rate = rate / self->step;
  self->n_taps = self->step > 1 ? TAPS_A_STEP * self->step + 1 : 1;
  self->taps = g_new (float, self->n_taps);
  make_taps (self);
  self->incoming = g_new0 (float, 2 * self->n_taps);
  self->n_kept = (gsize) (KEPT_S * self->low_rate);
  self->kept = g_new0 (float, 2 * self->n_kept);
  sl_onsets_init (&self->onsets, self->low_rate);
  self->expected = expected;
  self->candidates = g_array_new (FALSE, FALSE, sizeof (double));
  self->notes = g_array_new (FALSE, FALSE, sizeof (SlNote));
  self->fan = g_new0 (SlFanColumns, 1);
  return self;
}

void
sl_listener_free (SlListener *self)
{
  g_free (self->taps);
  g_free (self->incoming);
  g_free (self->kept);
  g_array_unref (self->candidates);
  g_array_unref (self->notes);
  g_free (self->fan);
  g_free (self);
}

void
sl_listener_expect (SlListener *self, double expected)
{
  self->expected = expected;
  g_array_set_size (self->candidates, 0);
  self->state = QUIET;
  self->onsets.held = FALSE;
  self->live_at = 0;
  sl_fan_clear (self->fan);
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

static guint64
oldest (SlListener *self)
{
  return self->n - MIN (self->n, self->n_kept);
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

/* How far @sound is from repeating itself after @lag samples: 0 … 2 (McLeod and Wyvill, Proc. ICMC 2005). */
static double
unlike (const float *sound, gsize n, guint lag)
{
  double product = 0, power = 1e-12;

  for (gsize i = 0; i < n; i++)
    {
      product += sound[i] * sound[i + lag];
      power += sound[i] * sound[i] + sound[i + lag] * sound[i + lag];
    }
  return 1 - 2 * product / power;
}

/* Which candidate the note is, by the shortest period with which it repeats itself. */
static void
choose (SlListener *self, guint64 to)
{
  double least = INFINITY, lowest = INFINITY, highest = 0;
  const guint64 from = MAX (oldest (self), sample_of (self, self->onset) + (guint64) (CHOICE_FROM_S * self->low_rate));
  const gsize n = (gsize) (CHOICE_S * self->low_rate);
  g_autofree double *off = NULL;
  guint shortest, longest;

  self->chosen = self->expected;
  for (guint i = 0; i < self->candidates->len; i++)
    {
      lowest = fmin (lowest, g_array_index (self->candidates, double, i));
      highest = fmax (highest, g_array_index (self->candidates, double, i));
    }
  shortest = (guint) (self->low_rate / (highest * CHOICE_RANGE));
  longest = (guint) (self->low_rate / lowest * CHOICE_RANGE) + 1;
  if (self->candidates->len < 2 || shortest < 2 || from + n + longest + 1 > to)
    return;
  off = g_new (double, longest + 2);
  for (guint lag = shortest - 1; lag <= longest + 1; lag++)
    off[lag] = unlike (kept_from (self, from), n, lag);
  for (guint lag = shortest; lag <= longest; lag++)
    if (off[lag] <= off[lag - 1] && off[lag] <= off[lag + 1])
      least = fmin (least, off[lag]);
  for (guint lag = shortest; lag <= longest; lag++)
    if (off[lag] <= off[lag - 1] && off[lag] <= off[lag + 1] && off[lag] <= least + CHOICE_NEAR)
      {
        const double bend = off[lag - 1] - 2 * off[lag] + off[lag + 1];
        const double beside = bend > 0 ? 0.5 * (off[lag - 1] - off[lag + 1]) / bend : 0;

        self->chosen = nearest (self, self->low_rate / (lag + beside));
        return;
      }
}

static void
set_expected (SlNote *note, double expected)
{
  note->expected = expected;
  note->cents = 1200 * log2 (note->frequency / expected);
}

/* What is kept from sample @from to @to, of the note that sounds. */
static gboolean
estimate (SlListener *self, guint64 from, guint64 to, SlNote *out)
{
  const guint64 onset = sample_of (self, self->onset);
  const double later = (double) (from - onset) / self->low_rate;
  const gboolean found = sl_note_estimate (kept_from (self, from), to - from, self->low_rate, self->chosen, out);

  out->onset = (double) onset / self->low_rate;
  out->length = (double) (to - onset) / self->low_rate;
  out->settled_from += later;
  for (int i = 0; i < SL_MAX_PARTIALS; i++)
    out->partials[i].end += later;
  if (found && self->candidates->len > 0)
    set_expected (out, nearest (self, out->frequency));
  if (self->note_clipped >= CLIPPED_SAMPLES) /* the low-pass has rounded them */
    out->word = SL_HEARD_CLIPPED;
  return found;
}

/* The same, or of its last part alone where that has settled after the whole has not: the peg was turned. */
static void
estimate_settled (SlListener *self, guint64 from, guint64 to, SlNote *out)
{
  const guint64 follow = (guint64) (FOLLOW_S * self->low_rate);
  SlNote last;

  estimate (self, from, to, out);
  if (out->word == SL_HEARD_GLIDING && to > from + follow && estimate (self, to - follow, to, &last) &&
      last.word == SL_HEARD_SETTLED)
    *out = last;
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
  self->chosen = 0;
  self->live_at = 0;
  self->note_clipped = 0;
  for (guint64 i = frame; i < self->onsets.n; i++)
    self->note_clipped += self->clipped[i % SL_FRAMES_KEPT];
  self->live.frequency = NAN;
  sl_fan_clear (self->fan);
}

/* What sounds ended before @frame. What is too short, or does not die, is no plucked string. */
static void
end_note (SlListener *self, guint64 frame)
{
  const guint64 onset = sample_of (self, self->onset), to = sample_of (self, frame);
  const gboolean sounded = self->state == SOUNDING;

  self->state = QUIET;
  self->onsets.held = FALSE;
  self->fan_to = to;
  if (!sounded || to < onset + (guint64) (SHORTEST_S * self->low_rate))
    return;
  if (self->chosen == 0)
    choose (self, to);
  estimate_settled (self, MAX (onset, oldest (self)), to, &self->live);
  self->live_at = self->n;
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

  if (self->state == SOUNDING)
    self->note_clipped += self->clipped[(n - 1) % SL_FRAMES_KEPT];
  self->clipped[n % SL_FRAMES_KEPT] = 0;
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
  if (self->state == SOUNDING && self->chosen == 0 && n - self->onset >= (guint64) (FIRST_S / SL_FRAME_S))
    choose (self, self->n);
}

static void
keep (SlListener *self, float sample)
{
  self->offset += (sample - self->offset) * 2 * G_PI * STEADY_HZ / self->low_rate;
  sample -= (float) self->offset;
  self->kept[self->n % self->n_kept] = self->kept[self->n % self->n_kept + self->n_kept] = sample;
  self->n++;
  if (sl_onsets_add (&self->onsets, sample))
    step_frame (self);
}

guint
sl_listener_hear (SlListener *self, const float *samples, gsize n)
{
  const guint before = self->notes->len;

  for (gsize i = 0; i < n; i++)
    {
      const float sample = isfinite (samples[i]) ? CLAMP (samples[i], -MOST_SAMPLE, MOST_SAMPLE) : 0;
      float sum = 0;

      if (fabsf (sample) >= FULL_SCALE)
        self->clipped[self->onsets.n % SL_FRAMES_KEPT]++;
      self->incoming[self->place] = self->incoming[self->place + self->n_taps] = sample;
      self->place = (self->place + 1) % self->n_taps;
      if (++self->n_heard % self->step != 0)
        continue;
      for (guint j = 0; j < self->n_taps; j++)
        sum += self->taps[j] * self->incoming[self->place + j];
      keep (self, sum);
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
  guint sum = self->clipped[self->onsets.n % SL_FRAMES_KEPT];

  for (guint i = 1; i <= MIN (self->onsets.n, CLIPS_FRAMES); i++)
    sum += self->clipped[(self->onsets.n - i) % SL_FRAMES_KEPT];
  return sum >= CLIPPED_SAMPLES;
}

/* Columns of the fan up to sample @end; @note tells where its partials are. */
static void
extend_fan (SlListener *self, const SlNote *note, guint64 end)
{
  const guint64 onset = sample_of (self, self->onset);
  guint64 middle;

  if (!isfinite (note->frequency)) /* nobody knows where to look */
    return;
  const gsize reach = sl_fan_reach (note->frequency, self->low_rate);
  while (self->fan->n < SL_FAN_COLUMNS &&
         (middle = onset + (guint64) lround (self->fan->n * SL_FAN_STEP_S * self->low_rate)) + reach < end)
    sl_fan_add (self->fan,
                middle >= MAX (onset, oldest (self)) + reach ? kept_from (self, middle - reach) + reach : NULL,
                self->low_rate, note);
}

/* The figure of all that was heard of the note; while the string is being turned, what the fan's last columns say. */
static void
refresh (SlListener *self)
{
  const guint64 onset = sample_of (self, self->onset);
  const guint64 from = MAX (onset, self->n - MIN (self->n, (guint64) (LIVE_S * self->low_rate)));
  const gboolean early = !isfinite (self->live.frequency) && self->live.length < LATE_S;
  const double wait = early ? REFRESH_S / 4 : REFRESH_S, since = (double) (self->n - self->live_at) / self->low_rate;
  SlNote now, followed;

  if (self->live_at > 0 && since < wait)
    return;
  if (self->live_at > 0 && self->live.word == SL_HEARD_SETTLED && since < 2 * REFRESH_S)
    { /* no need to measure again what stays */
      now = self->live;
      extend_fan (self, &now, self->n);
      sl_fan_follow (self->fan, &now);
      if (fabs (now.cents - self->live.cents) < STAYS_CENTS)
        return;
    }
  estimate_settled (self, from, self->n, &now);
  if (self->live_at > 0)
    {
      followed = isfinite (self->live.frequency) ? self->live : now; /* its B stays */
      followed.length = now.length;
      extend_fan (self, &self->live, self->n);
      sl_fan_follow (self->fan, &followed);
      followed.word = SL_HEARD_GLIDING;
      if (now.word == SL_HEARD_GLIDING ||
          (now.word == SL_HEARD_SETTLED && fabs (followed.cents - now.cents) > STAYS_CENTS + 3 * followed.cents_u))
        now = followed;
    }
  self->live_at = self->n;
  self->live = now;
}

gboolean
sl_listener_sounding (SlListener *self, SlNote *out)
{
  if (self->state != SOUNDING || self->n < sample_of (self, self->onset) + (guint64) (FIRST_S * self->low_rate))
    return FALSE;
  refresh (self);
  *out = self->live;
  return TRUE;
}

void
sl_listener_fan (SlListener *self, SlFan *out)
{
  SlNote note;
  const guint64 end = sl_listener_sounding (self, &note) ? self->n : self->fan_to;

  if (self->live_at > 0)
    extend_fan (self, &self->live, end);
  sl_fan_give (self->fan, &self->live, out);
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

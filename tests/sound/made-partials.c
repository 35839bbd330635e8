/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "made-partials.h"

#include <complex.h>
#include <math.h>

#define NEPERS_60_DB 6.907755278982137 /* ln 1000 */
#define HIGH_HZ 5000.0
#define HIGHEST_HZ 12000.0 /* nothing that a pickup or a body gives lies over it */
#define MOST_PARTIALS 200
#define DEAD 1e-7 /* of a partial's amplitude: 100 dB below any noise */
#define PLUCK_RISE_S 0.002
#define STOPPED_T60_S 0.06 /* under a hand */
#define PINK_FROM_HZ 10.0
#define HUM_HARMONICS 12

double
made_pink_pole (int octave, double rate)
{
  return exp (-2 * G_PI * MIN (PINK_FROM_HZ * exp2 (octave), 0.4 * rate) / rate);
}

double
made_partial (const MadeString *string, int k)
{
  return k * string->f1 * sqrt ((1 + string->b * k * k) / (1 + string->b));
}

double
made_decay (const MadeString *string, int k)
{
  const double low = NEPERS_60_DB / string->t60, high = NEPERS_60_DB / string->t60_high;
  const double f = made_partial (string, k), f1 = string->f1;

  return low + (high - low) * (f * f - f1 * f1) / (HIGH_HZ * HIGH_HZ - f1 * f1);
}

static double
amplitude_of (const MadeString *string, int k)
{
  const double pluck = sin (k * G_PI * string->pluck) / k;

  return string->pickup > 0 ? pluck * sin (k * G_PI * string->pickup) : pluck;
}

/* How many seconds of steady sound at f_1 pass in @t seconds of this one: its phase is 2 π f_1 times that. Glide:
 * the integral of 1 + g e^(−2 decay t); a turned peg: of a ramp, then of what it came to. */
static double
stretched (const MadeString *string, double t)
{
  const double glide = exp2 (string->glide / 1200) - 1, fall = 2 * made_decay (string, 1);
  const double turned = exp2 (string->turn_cents / 1200) - 1, since = t + string->start - string->turn_at;
  double s = t + glide * (1 - exp (-fall * t)) / fall;

  if (since > 0 && string->turn_cents != 0)
    s += since < string->turn_for ? turned * since * since / (2 * string->turn_for)
                                  : turned * (since - string->turn_for / 2);
  return s;
}

/* How loud it is @t after its pluck, beside its decay. */
static double
touch (const MadeString *string, double t)
{
  const double rise = t < PLUCK_RISE_S ? 0.5 - 0.5 * cos (G_PI * t / PLUCK_RISE_S) : 1;
  const double stopped = string->stop > 0 ? MAX (0, t + string->start - string->stop) : 0;

  return rise * exp (-NEPERS_60_DB / STOPPED_T60_S * stopped);
}

/* @phase_s: where the phase of a bent note is, in seconds of steady sound, for each sample; NULL where it isn't bent.
 */
static void
add_partial (double *out, gsize first, gsize n, double rate, const MadeString *string, const double *phase_s, int k,
             double phase)
{
  const double w = 2 * G_PI * made_partial (string, k), decay = made_decay (string, k);
  const double t0 = (double) first / rate - string->start, fall = exp (-decay / rate);
  const double complex turn = cexp ((-decay + I * w) / rate);
  double complex z = amplitude_of (string, k) * cexp (-decay * t0 + I * (w * t0 + phase));
  double a = amplitude_of (string, k) * exp (-decay * t0);

  for (gsize i = first; i < n && phase_s == NULL; i++, z *= turn)
    out[i] += creal (z);
  for (gsize i = first; i < n && phase_s != NULL && fabs (a) > DEAD; i++, a *= fall)
    out[i] += a * cos (w * phase_s[i] + phase);
}

static void
note_part (GArray *parts, int of, int k, double f, double decay, double amplitude, double start)
{
  const MadePart part = { of, k, f, decay, amplitude, start };

  if (parts != NULL)
    g_array_append_val (parts, part);
}

static void
add_string (double *out, gsize n, double rate, const MadeString *string, GRand *rand, GArray *parts)
{
  g_autofree double *own = g_new0 (double, n), *phase_s = NULL;
  const double top = MIN (HIGHEST_HZ, 0.45 * rate);
  const gsize first = MIN (n, (gsize) ceil (MAX (0, string->start) * rate));
  const gsize end = string->stop > 0 ? MIN (n, (gsize) ((string->stop + 5 * STOPPED_T60_S) * rate)) : n;
  double peak = 0;

  if (string->glide != 0 || string->turn_cents != 0)
    {
      phase_s = g_new (double, n);
      for (gsize i = first; i < end; i++)
        phase_s[i] = stretched (string, (double) i / rate - string->start);
    }
  for (int k = 1; k <= MOST_PARTIALS && made_partial (string, k) < top; k++)
    add_partial (own, first, end, rate, string, phase_s, k, g_rand_double_range (rand, -G_PI, G_PI));
  for (gsize i = first; i < end; i++)
    {
      own[i] *= touch (string, (double) i / rate - string->start);
      peak = MAX (peak, fabs (own[i]));
    }
  for (gsize i = first; i < end && peak > 0; i++)
    out[i] += own[i] * string->peak / peak;
  for (int k = 1; k <= MOST_PARTIALS && made_partial (string, k) < top; k++)
    note_part (parts, MADE_PARTIAL, k, made_partial (string, k), made_decay (string, k),
               fabs (amplitude_of (string, k)) * string->peak / peak, string->start);
}

/* Two standard normals: Box and Muller, Ann. Math. Stat. 29, 610 (1958). */
static void
normals (GRand *rand, double out[2])
{
  const double r = sqrt (-2 * log (1 - g_rand_double (rand))), a = 2 * G_PI * g_rand_double (rand);

  out[0] = r * cos (a);
  out[1] = r * sin (a);
}

/* Pink: low passes of first order, an octave from each other and of equal power, of one coin's toss each, added up
 * (after Voss and Clarke, J. Acoust. Soc. Am. 63, 258 (1978)); from 10 Hz up, rms 1. */
typedef struct
{
  double pole[MADE_PINK_OCTAVES], share[MADE_PINK_OCTAVES], state[MADE_PINK_OCTAVES];
} Pink;

static double
pink (Pink *pink, GRand *rand)
{
  guint32 coins = g_rand_int (rand);
  double sum = 0;

  for (int o = 0; o < MADE_PINK_OCTAVES; o++, coins >>= 1)
    {
      pink->state[o] = pink->pole[o] * pink->state[o] + (coins & 1 ? pink->share[o] : -pink->share[o]);
      sum += pink->state[o];
    }
  return sum / sqrt (MADE_PINK_OCTAVES);
}

static void
add_noise (double *out, gsize n, double rate, double rms, double share, GRand *rand)
{
  const double white = rms * sqrt (1 - share);
  Pink octaves = { 0 };

  for (int o = 0; o < MADE_PINK_OCTAVES; o++)
    {
      octaves.pole[o] = made_pink_pole (o, rate);
      octaves.share[o] = sqrt (1 - octaves.pole[o] * octaves.pole[o]);
    }
  for (gsize i = 0; i < n; i += 2)
    {
      double two[2];

      normals (rand, two);
      out[i] += white * two[0];
      if (i + 1 < n)
        out[i + 1] += white * two[1];
    }
  for (gsize i = 0; i < n && share > 0; i++)
    out[i] += rms * sqrt (share) * pink (&octaves, rand);
}

/* Mains hum: strongest where a rectifier leaves it, at its base and even multiples; off its nominal frequency by what
 * a grid allows itself. */
static void
add_hum (double *out, gsize n, double rate, double rms, double hz, GRand *rand, GArray *parts)
{
  const double f = hz + g_rand_double_range (rand, -0.03, 0.03);
  double a[HUM_HARMONICS], phase[HUM_HARMONICS], power = 0;

  for (int h = 0; h < HUM_HARMONICS; h++)
    {
      a[h] = g_rand_double_range (rand, 0.3, 1) / (h + 1) * (h == 0 || h % 2 == 1 ? 1 : 0.4);
      phase[h] = g_rand_double_range (rand, -G_PI, G_PI);
      power += a[h] * a[h] / 2;
    }
  for (int h = 0; h < HUM_HARMONICS; h++)
    {
      const double complex turn = cexp (I * 2 * G_PI * f * (h + 1) / rate);
      double complex z = rms * a[h] / sqrt (power) * cexp (I * phase[h]);

      note_part (parts, MADE_HUM, h + 1, f * (h + 1), 0, cabs (z), 0);
      for (gsize i = 0; i < n; i++, z *= turn)
        out[i] += creal (z);
    }
}

/* The lowest resonances of a body, air and plates; they die in 0.1 to 0.5 s (Fletcher and Rossing, 9.5 and 9.6, for
 * where they lie, from memory). @rms: of all of them together at the pluck. */
static void
add_body (double *out, gsize n, double rate, double start, double rms, GRand *rand, GArray *parts)
{
  static const double from[] = { 85, 170, 260, 360, 480, 700 }, to[] = { 125, 235, 340, 460, 640, 1000 };

  for (guint m = 0; m < G_N_ELEMENTS (from); m++)
    {
      const double f = g_rand_double_range (rand, from[m], to[m]),
                   decay = NEPERS_60_DB / g_rand_double_range (rand, 0.1, 0.5);
      const double a = rms * sqrt (2.0 / G_N_ELEMENTS (from)) * g_rand_double_range (rand, 0.3, 1.4);
      const gsize first = (gsize) ceil (MAX (0, start) * rate);
      const double complex turn = cexp ((-decay + I * 2 * G_PI * f) / rate);
      double complex z = a * cexp (I * g_rand_double_range (rand, -G_PI, G_PI));

      note_part (parts, MADE_BODY, (int) m, f, decay, a, start);
      for (gsize i = first; i < n; i++, z *= turn)
        out[i] += creal (z);
    }
}

/* What levels are measured against. */
static double
reference (const double *sound, gsize n, double rate, const MadeString *string, gboolean peak)
{
  const gsize first = (gsize) (MAX (0, string->start) * rate), end = MIN (n, first + (gsize) rate);
  double power = 0;

  if (peak)
    return string->peak;
  for (gsize i = first; i < end; i++)
    power += sound[i] * sound[i];
  return end > first ? sqrt (power / (double) (end - first)) : 0;
}

double
made_room_add (double *out, gsize n, double rate, const MadeRoom *room, const MadeString *strings, guint n_strings,
               GRand *rand, GArray *parts)
{
  const double level = n_strings > 0 ? reference (out, n, rate, &strings[0], room->against_peak) : 1;
  const double noise = room->noise_db < G_MAXDOUBLE ? level * pow (10, -room->noise_db / 20) : 0;

  for (guint s = 0; s < n_strings && room->body_db < G_MAXDOUBLE; s++)
    add_body (out, n, rate, strings[s].start, level * strings[s].peak / strings[0].peak * pow (10, -room->body_db / 20),
              rand, parts);
  if (room->hum_db < G_MAXDOUBLE)
    add_hum (out, n, rate, level * pow (10, -room->hum_db / 20), room->hum_hz, rand, parts);
  if (noise > 0)
    add_noise (out, n, rate, noise, room->pink, rand);
  return noise;
}

double *
made_sound (gsize n, double rate, const MadeString *strings, guint n_strings, const MadeRoom *room, guint32 seed,
            GArray *parts)
{
  GRand *rand = g_rand_new_with_seed (seed);
  double *sound = g_new0 (double, n);

  for (guint s = 0; s < n_strings; s++)
    add_string (sound, n, rate, &strings[s], rand, parts);
  made_room_add (sound, n, rate, room, strings, n_strings, rand, parts);
  g_rand_free (rand);
  return sound;
}

float *
made_converted (const double *sound, gsize n, double gain)
{
  float *out = g_new (float, n);

  for (gsize i = 0; i < n; i++)
    out[i] = (float) CLAMP (sound[i] * gain, -1, 1);
  return out;
}

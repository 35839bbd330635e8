/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Sounds of plucked strings of which everything is known, as sums of partials: what listening is judged by. Shares no
 * code with what it judges. Times in s, frequencies in Hz, levels in dB, positions as a share of the string's length.
 *
 * A partial's frequency is f_k = k f_0 sqrt (1 + B k²) (Fletcher, J. Acoust. Soc. Am. 36, 203 (1964)), f_0 = f_1 /
 * sqrt (1 + B). Its rate of decay rises with the square of its frequency (Chaigne and Askenfelt, J. Acoust. Soc. Am.
 * 95, 1112 (1994), equation 4, from memory). A pluck at p gives it the share sin (k π p) / k of the force on the
 * bridge; a pickup at q sees sin (k π q) of that (Fletcher and Rossing, The Physics of Musical Instruments, 2.7). Its
 * tension, and so its pitch, is raised by the square of its amplitude (ibid., 5.1). */
#pragma once

#include <glib.h>

typedef struct
{
  double f1, b;
  double start;                         /* of the pluck */
  double stop;                          /* a hand laid on it; 0: it rings on */
  double peak;                          /* the loudest sample, 1 is full scale */
  double t60, t60_high;                 /* to fall by 60 dB: of the lowest partial, and at 5 kHz */
  double pluck, pickup;                 /* where; pickup 0: force on the bridge */
  double glide;                         /* how far it starts over f_1, cents; falls with the square of the amplitude */
  double turn_at, turn_for, turn_cents; /* the peg is turned while it sounds: from when, how long, by how much */
} MadeString;

/* What is heard beside the string. Levels are rms against the rms of the first string's first second, or against its
 * peak; G_MAXDOUBLE leaves a thing out. */
typedef struct
{
  double noise_db; /* below; 30 is 30 dB below */
  double pink;     /* share of the noise's power that falls by 3 dB an octave; the rest is white */
  double hum_db, hum_hz;
  double body_db; /* damped resonances of the body that each pluck excites: at the pluck */
  gboolean against_peak;
} MadeRoom;

#define MADE_PLAIN_STRING                                                                                              \
  {                                                                                                                    \
    .f1 = 110, .b = 1e-4, .peak = 0.5, .t60 = 4, .t60_high = 1.5, .pluck = 0.21                                        \
  }
#define MADE_SILENT_ROOM                                                                                               \
  {                                                                                                                    \
    .noise_db = G_MAXDOUBLE, .hum_db = G_MAXDOUBLE, .hum_hz = 50, .body_db = G_MAXDOUBLE                               \
  }

#define MADE_PINK_OCTAVES 11
double made_pink_pole (int octave, double rate); /* of the low passes that pink noise is added up from */

double made_partial (const MadeString *string, int k); /* f_k */
double made_decay (const MadeString *string, int k);   /* in nepers a second: amplitude falls as e^−decay·t */

/* One of what a sound is added up of: amplitude e^(−decay t) cos (2 π f t + phase), t from @start. */
typedef struct
{
  enum
  {
    MADE_PARTIAL,
    MADE_HUM,
    MADE_BODY
  } of;
  int k; /* which partial, which multiple of the mains */
  double f, decay, amplitude, start;
} MadePart;

/* All of it: a fresh sound of @n samples, free with g_free(). The same @seed gives the same sound: phases of partials,
 * which resonances the body has and what the noise is come from it. @parts, if given, gets what it is added up of,
 * noise left out, bent notes as if they were steady. */
double *made_sound (gsize n, double rate, const MadeString *strings, guint n_strings, const MadeRoom *room,
                    guint32 seed, GArray *parts);

/* Adds what is beside @n_strings of @strings to @out, which holds them already: for strings made otherwise. Returns
 * the rms of the noise. */
double made_room_add (double *out, gsize n, double rate, const MadeRoom *room, const MadeString *strings,
                      guint n_strings, GRand *rand, GArray *parts);

/* As it comes from a converter: times @gain, cut at full scale. */
float *made_converted (const double *sound, gsize n, double gain);

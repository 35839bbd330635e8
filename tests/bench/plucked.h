/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A bench that listens to made sounds of plucked strings (tests/sound), and what they become in its document. */
#pragma once

#include "bench/listen.h"

#include "made-partials.h"

#define RATE 22050
#define QUIET_S 0.3 /* before a pluck */
#define RINGS_S 3.2 /* with a hand on the string at the end */
#define N_STRINGS 6

/* E2 A2 D3 G3 B3 E4 in equal temperament on A4 = 440 Hz (ISO 16), string 1 first. */
extern const double open_hz[N_STRINGS];

typedef struct
{
  SlBench *bench;
  SlListen *listen;
  guint32 seed;
  int n_taken, string, fret; /* the last */
  double gain, noise_db;
} Case;

void set_up (Case *c, gconstpointer data);
void tear_down (Case *c, gconstpointer data);

double raised (double hz, double cents);
MadeRoom room_with (double noise_db);

/* Strings that are plucked in a room with noise and hum, and one alone. */
void hear_strings (Case *c, const MadeString *strings, guint n_strings, double seconds);
void pluck (Case *c, double hz);

/* The reading of a pitch, or NULL; and that it is what was made. */
const SlReading *reading_of (Case *c, int string, int fret);
void check_reading (Case *c, int string, int fret, double cents);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Sound fed to a listener as a sound card would, and what it said meanwhile. */
#pragma once

#include "sound/listener.h"

typedef struct
{
  double first;  /* when it first gave a figure, s from the first sample; NAN: never */
  GArray *when;  /* of double: each time it was asked, s */
  GArray *said;  /* of double: the figure then, Hz; NAN where there was none */
  GArray *words; /* of SlHeardWord, then */
} Fed;

/* Feeds @n samples, a block at a time; asks after each. */
Fed *fed_new (SlListener *listener, const float *sound, gsize n, double rate);
void fed_free (Fed *fed);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (Fed, fed_free)

/* What it said last before @at; NAN where nothing. */
double fed_said (const Fed *fed, double at);

/* The same of samples as they are made: converted at full scale, ended. */
Fed *fed_sound (SlListener *listener, const double *sound, gsize n, double rate);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lengths as the sentences for the person who plays the instrument carry them. */
#pragma once

#include "setup/profile/units.h"
#include "setup/wood/climate.h"

/* How figures are written. */
typedef struct
{
  SlLengths lengths;
  const char *decimal;
  SlKeeping keeping; /* the band for keeping an instrument; all 0: the default */
} SlSpeech;

/* A length as a sentence carries it, with its unit. Below a millimetre 64ths give way to decimal inches: a 64th is 0.4
 * mm. Free with g_free(). */
char *sl_speech_length (const SlSpeech *speech, double mm);

/* The same without its unit, and " ± 0.06" (U = 2u), or "" where the uncertainty isn't known or would not show. Free
 * with g_free(). */
char *sl_speech_number (const SlSpeech *speech, double mm);
char *sl_speech_spread (const SlSpeech *speech, double u_mm);

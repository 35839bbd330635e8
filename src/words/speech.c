/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/speech.h"

#include <math.h>
#include <string.h>

#define PLACES 2

char *
sl_speech_length (const SlSpeech *speech, double mm)
{
  return sl_length_format (mm, sl_lengths_for (speech->lengths, mm), PLACES, speech->decimal, TRUE);
}

char *
sl_speech_number (const SlSpeech *speech, double mm)
{
  return sl_length_format (mm, sl_lengths_for (speech->lengths, mm), PLACES, speech->decimal, FALSE);
}

char *
sl_speech_spread (const SlSpeech *speech, double u_mm)
{
  g_autofree char *text = NULL;

  if (!isfinite (u_mm) || u_mm <= 0)
    return g_strdup ("");
  text = sl_length_format (2 * u_mm, speech->lengths == SL_LENGTHS_MM ? SL_LENGTHS_MM : SL_LENGTHS_INCH, PLACES,
                           speech->decimal, FALSE);
  if (strspn (text, "0.,") == strlen (text))
    return g_strdup ("");
  return g_strconcat (" ± ", text, NULL);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sound/note.h"

#include <math.h>

const char *const sl_heard_word_names[] = { "settled", "gliding", "soft", "clipped", "two-notes", NULL };

gboolean
sl_note_estimate (const float *samples, gsize n, double rate, double expected, SlNote *out)
{
  *out = (SlNote){ .expected = expected, .frequency = NAN, .word = SL_HEARD_SOFT };
  return FALSE;
}

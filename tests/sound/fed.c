/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fed.h"

#include "made-partials.h"

#include <math.h>

#define BLOCK_S 0.01 /* as often as a screen might ask, and not a whole number of anything */

Fed *
fed_new (SlListener *listener, const float *sound, gsize n, double rate)
{
  const gsize block = (gsize) (BLOCK_S * rate) + 1;
  Fed *fed = g_new0 (Fed, 1);

  fed->first = NAN;
  fed->when = g_array_new (FALSE, FALSE, sizeof (double));
  fed->said = g_array_new (FALSE, FALSE, sizeof (double));
  fed->words = g_array_new (FALSE, FALSE, sizeof (SlHeardWord));
  for (gsize at = 0; at < n; at += block)
    {
      const gsize now = MIN (block, n - at);
      const double when = (double) (at + now) / rate;
      SlNote note = { .frequency = NAN };
      const gboolean sounding = (sl_listener_hear (listener, sound + at, now), sl_listener_sounding (listener, &note));
      const double said = sounding ? note.frequency : NAN;

      if (isnan (fed->first) && !isnan (said))
        fed->first = when;
      g_array_append_val (fed->when, when);
      g_array_append_val (fed->said, said);
      g_array_append_val (fed->words, note.word);
    }
  return fed;
}

void
fed_free (Fed *fed)
{
  g_array_unref (fed->when);
  g_array_unref (fed->said);
  g_array_unref (fed->words);
  g_free (fed);
}

double
fed_said (const Fed *fed, double at)
{
  double said = NAN;

  for (guint i = 0; i < fed->when->len && g_array_index (fed->when, double, i) <= at; i++)
    said = g_array_index (fed->said, double, i);
  return said;
}

Fed *
fed_sound (SlListener *listener, const double *sound, gsize n, double rate)
{
  g_autofree float *converted = made_converted (sound, n, 1);
  Fed *fed = fed_new (listener, converted, n, rate);

  sl_listener_end (listener);
  return fed;
}

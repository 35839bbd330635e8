/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "made-wav.h"

#include <math.h>
#include <string.h>

#define WAV_PCM 1
#define WAV_FLOAT 3
#define WAV_EXTENSIBLE 0xfffe

static void
put (GByteArray *to, guint32 value, guint bytes)
{
  for (guint i = 0; i < bytes; i++, value >>= 8)
    {
      const guint8 byte = value & 0xff;

      g_byte_array_append (to, &byte, 1);
    }
}

static void
put_sample (GByteArray *to, double x, int bits)
{
  const double scale = bits == 16 ? 32768 : 8388608;
  const float f = (float) x;
  guint32 raw;

  if (bits == 32)
    memcpy (&raw, &f, sizeof raw);
  else
    raw = (guint32) (gint32) CLAMP (round (x * scale), -scale, scale - 1);
  put (to, raw, (guint) bits / 8);
}

gboolean
made_wav_write (const char *path, const double *sound, gsize n, int rate, int bits, const double *channels,
                guint n_channels, GError **error)
{
  g_autoptr (GByteArray) to = g_byte_array_new ();
  const guint frame = n_channels * (guint) bits / 8;

  g_byte_array_append (to, (const guint8 *) "RIFF", 4);
  put (to, (guint32) (36 + n * frame), 4);
  g_byte_array_append (to, (const guint8 *) "WAVEfmt ", 8);
  put (to, 16, 4);
  put (to, bits == 32 ? WAV_FLOAT : WAV_PCM, 2);
  put (to, n_channels, 2);
  put (to, (guint32) rate, 4);
  put (to, (guint32) rate * frame, 4);
  put (to, frame, 2);
  put (to, (guint32) bits, 2);
  g_byte_array_append (to, (const guint8 *) "data", 4);
  put (to, (guint32) (n * frame), 4);
  for (gsize i = 0; i < n; i++)
    for (guint c = 0; c < n_channels; c++)
      put_sample (to, sound[i] * channels[c], bits);
  return g_file_set_contents (path, (const char *) to->data, (gssize) to->len, error);
}

static guint32
get (const guint8 *from, guint bytes)
{
  guint32 value = 0;

  for (guint i = bytes; i-- > 0;)
    value = value << 8 | from[i];
  return value;
}

static float
sample (const guint8 *from, guint bits, guint format)
{
  const guint32 raw = get (from, bits / 8);
  float f;

  if (format == WAV_FLOAT)
    {
      memcpy (&f, &raw, sizeof f);
      return f;
    }
  return (float) ((gint32) (raw << (32 - bits)) / 2147483648.0);
}

float *
made_wav_read (const char *path, gsize *n, int *rate, GError **error)
{
  g_autofree char *text = NULL;
  gsize length;
  guint format = 0, channels = 0, bits = 0;

  if (!g_file_get_contents (path, &text, &length, error))
    return NULL;
  for (gsize at = 12; at + 8 <= length;)
    {
      const guint8 *chunk = (const guint8 *) text + at;
      const gsize size = MIN (get (chunk + 4, 4), length - at - 8);

      if (memcmp (chunk, "fmt ", 4) == 0 && size >= 16)
        {
          format = get (chunk + 8, 2);
          if (format == WAV_EXTENSIBLE && size >= 26)
            format = get (chunk + 32, 2);
          channels = get (chunk + 10, 2);
          *rate = (int) get (chunk + 12, 4);
          bits = get (chunk + 22, 2);
        }
      if (memcmp (chunk, "data", 4) == 0 && channels > 0 && bits >= 16)
        {
          float *out;

          *n = size / (channels * bits / 8);
          out = g_new (float, *n + 1);
          for (gsize i = 0; i < *n; i++)
            out[i] = sample (chunk + 8 + i * channels * bits / 8, bits, format);
          return out;
        }
      at += 8 + size + size % 2;
    }
  g_set_error (error, G_FILE_ERROR, G_FILE_ERROR_INVAL, "%s is no WAV of 16 bits or more", path);
  return NULL;
}

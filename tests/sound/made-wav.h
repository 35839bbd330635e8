/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Recordings written and read without the program's own decoder: WAV, PCM of 16 or 24 bits and float of 32. */
#pragma once

#include <glib.h>

/* @bits: 16, 24, or 32 for float; each channel holds @sound times the share that @channels gives, one a channel. */
gboolean made_wav_write (const char *path, const double *sound, gsize n, int rate, int bits, const double *channels,
                         guint n_channels, GError **error);

/* The first channel, −1…1; free with g_free(). NULL where it can't be read. */
float *made_wav_read (const char *path, gsize *n, int *rate, GError **error);

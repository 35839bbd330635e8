/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the tests of the capture share: all that comes, kept; sounds written without the layer; a tone measured. */
#pragma once

#include "capture/capture.h"

typedef struct
{
  GArray *samples; /* of float */
  double rate;
  guint blocks, ends;
  GError *error; /* at the end */
} Heard;

extern const SlCaptureHandlers test_heard_handlers; /* their owner is a Heard */
void test_heard_init (Heard *heard);
void test_heard_clear (Heard *heard);

/* Runs the main context until @done (@data) says TRUE; fails the test where it never does. */
void test_wait (gboolean (*done) (gpointer data), gpointer data, const char *what);
void test_wait_for_end (Heard *heard);

/* Everything in a file. */
void test_hear_file (const char *path, Heard *heard);

/* The head of a WAV file of whole numbers, with the number of bytes that it says follow. */
#define TEST_WAV_HEAD 44
void test_wav_head (guint8 head[TEST_WAV_HEAD], int channels, int rate, int bits, guint32 bytes);

/* A WAV file of 16 bits with a tone, twice as loud in the first of its channels as in the others. */
void test_write_tone (const char *path, int channels, int rate, double seconds, double hz, double level);

/* Removes a folder with all that is in it. */
void test_remove (const char *folder);

/* Frequency and amplitude of a tone near @hz in @n samples, by the phases of its Fourier component in two halves. */
void test_measure_tone (const float *samples, gsize n, double rate, double hz, double *frequency, double *level);

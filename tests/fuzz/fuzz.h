/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a target is: two functions by the names libFuzzer calls. A target fails by aborting, or by what a sanitizer
 * finds. Without libFuzzer driver.c calls it. */
#pragma once

#include <glib.h>

/* Prepares the process; called once. Always 0. */
int LLVMFuzzerInitialize (int *argc, char ***argv);

/* Tries one input. Always 0. */
int LLVMFuzzerTestOneInput (const guint8 *data, gsize size);

/* For people to read: UTF-8, and where it is free of what a person entered, no number that could not be worked out.
 * Takes @text; NULL passes. */
void fuzz_check_text (char *text);

/* A folder of its own, removed when the process ends. Free with g_free(). */
char *fuzz_folder (void);

/* What a file holds becomes @data. Not cut to nothing first, which file systems take for a reason to write it out. */
void fuzz_write (const char *path, gconstpointer data, gsize size);

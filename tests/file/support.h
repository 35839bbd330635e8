/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the tests of the document share. */
#pragma once

#include "file/document.h"

/* The example document beside the tests, its text. */
char *test_example (gsize *length);

/* @text with every @from replaced by @to, which must stand in it. */
char *test_replace (const char *text, const char *from, const char *to);

/* A profile drawn at random within what a document may say: every optional part sometimes there, sometimes not, texts
 * with everything that needs escaping. */
SlProfile *test_random_profile (GRand *rand);

/* Printed and as a string. */
char *test_print (const SlProfile *profile);

/* Parses a text that must be sound. */
SlProfile *test_parse (const char *text);

/* Parses a text that must not be: its faults. */
GPtrArray *test_faults (const char *text, gssize length);

/* An empty folder of its own, removed with what is in it by test_folder_free(). */
char *test_folder (void);
void test_folder_free (char *folder);

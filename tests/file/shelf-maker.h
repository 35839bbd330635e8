/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Folders of invented profiles, for tests and benchmark of the shelf. */
#pragma once

#include "file/shelf.h"

/* The @i-th invented instrument: label, owner, model and readings of its own; every 50th is a baseline, every 7th has
 * its last visit closed. */
SlProfile *maker_profile (guint i);

/* Writes @profile as @name into @folder, straight, without the program's own saving, and dates the file an hour back.
 * Free the path with g_free(). */
char *maker_write (const char *folder, const char *name, const SlProfile *profile);

/* Writes a text as a file, dated likewise. */
char *maker_write_text (const char *folder, const char *name, const char *text);

/* @n profiles, named instrument-00000 and so on. */
void maker_fill (const char *folder, guint n);

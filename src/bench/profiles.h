/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Profiles that come with the program, and one read from a file. */
#pragma once

#include "file/document.h"

/* ---- starting ----
 *
 * Starting profiles: what a new instrument begins from. They lie in the program's resources as documents like any
 * other; their values are common practice, for nobody's model in particular. */

typedef struct
{
  const char *name;          /* "flat-top"; NULL ends the list */
  const char *title, *words; /* what it is called on screen, and how it is built in a line; untranslated */
  const char *also;          /* what else it is searched by; NULL: nothing; untranslated */
} SlStarting;

extern const SlStarting sl_startings[];

/* A profile to start with, with a new id, or NULL where there is none of this name. */
SlProfile *sl_starting_profile (const char *name);

/* Demonstration profiles: their names, ended by NULL, to be freed with g_strfreev(); and one of them as a profile of
 * its own, with a new id, or NULL where there is none of this name. */
char **sl_demo_names (void);
SlProfile *sl_demo_profile (const char *name);

/* The folder of its photographs, in the program's resources; there or not. */
GFile *sl_demo_photos (const char *name);

/* ---- read-profile ----
 *
 * Reads a profile in a thread: a share may be slow, the window is not. */

void sl_read_profile_async (gpointer source, GFile *file, GCancellable *cancellable, GAsyncReadyCallback done);

/* Free with sl_profile_free(). NULL with @error where it can't be read. */
SlProfile *sl_read_profile_finish (GAsyncResult *result, GError **error);

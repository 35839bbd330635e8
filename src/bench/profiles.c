/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/profiles.h"

#include "bench-resources.h"
#include "file/document.h"

#include <glib/gi18n-lib.h>

#define STARTING "/org/sidelong/bench/starting/"
#define DEMO "/org/sidelong/bench/demo/"

const SlStarting sl_startings[] = {
  { "flat-top", N_ ("Steel-string flat-top"), N_ ("pinned bridge, 14 frets to the body, a saddle that is cut") },
  { "flat-top-12", N_ ("Flat-top, 12 frets to the body"), N_ ("pinned bridge, slotted head, a saddle that is cut") },
  { "twelve-string", N_ ("Twelve-string"), N_ ("six courses, pinned bridge, a saddle that is cut"), N_ ("12-string") },
  { "nylon", N_ ("Nylon-string"), N_ ("no truss rod, tie block, flat fingerboard") },
  { "solid-body", N_ ("Bolt-on solid body"), N_ ("single saddles, strings through the body, 22 frets") },
  { "two-post", N_ ("Bolt-on with two posts"), N_ ("bridge on two posts, tailpiece, 22 frets") },
  { "tremolo", N_ ("Bolt-on with tremolo"), N_ ("tremolo on a knife edge, three springs, 22 frets") },
  { "zero-fret", N_ ("Electric with zero fret"), N_ ("zero fret, single saddles, tailpiece, 22 frets") },
  { "seven-string", N_ ("Seven-string"), N_ ("single saddles, strings through the body, 24 frets"), N_ ("7-string") },
  { "eight-string", N_ ("Eight-string, two scale lengths"), N_ ("slanting frets, single saddles, 24 frets"),
    N_ ("8-string") },
  { "carved-top", N_ ("Carved top"), N_ ("floating bridge on wheels, tailpiece, 20 frets") },
  { "resonator", N_ ("Resonator"), N_ ("saddle on a cone, tailpiece, 12 frets to the body") },
  { "bass", N_ ("Four-string bass"), N_ ("single saddles, long scale, 20 frets"), N_ ("4-string") },
  { "bass-five", N_ ("Five-string bass"), N_ ("single saddles, low B, 22 frets"), N_ ("5-string") },
  { "acoustic-bass", N_ ("Acoustic bass"), N_ ("pinned bridge, long scale, a saddle that is cut") },
  { "mandolin", N_ ("Mandolin"), N_ ("four courses, floating bridge on wheels, tailpiece") },
  { "ukulele-soprano", N_ ("Soprano ukulele"), N_ ("no truss rod, tie block, 15 frets") },
  { "ukulele-concert", N_ ("Concert ukulele"), N_ ("no truss rod, tie block, 18 frets") },
  { "ukulele-tenor", N_ ("Tenor ukulele"), N_ ("no truss rod, tie block, 19 frets") },
  { "ukulele-baritone", N_ ("Baritone ukulele"), N_ ("no truss rod, tie block, two wound strings") },
  { NULL, NULL, NULL },
};

static SlProfile *
load (const char *folder, const char *name)
{
  g_autofree char *path = g_strconcat (folder, name, SL_DOCUMENT_EXTENSION, NULL);
  /* Named here, so that linking the static library keeps the resource. */
  g_autoptr (GBytes) bytes =
      g_resource_lookup_data (sl_bench_get_resource (), path, G_RESOURCE_LOOKUP_FLAGS_NONE, NULL);
  g_autoptr (GPtrArray) faults = sl_document_faults_new ();
  SlProfile *profile;

  if (bytes == NULL)
    return NULL;
  profile = sl_document_parse (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes), faults);
  g_return_val_if_fail (profile != NULL, NULL); /* tests read every one of them */
  g_free (profile->id);
  profile->id = g_uuid_string_random ();
  return profile;
}

SlProfile *
sl_starting_profile (const char *name)
{
  return load (STARTING, name);
}

SlProfile *
sl_demo_profile (const char *name)
{
  return load (DEMO, name);
}

char **
sl_demo_names (void)
{
  char **names = g_resource_enumerate_children (sl_bench_get_resource (), DEMO, G_RESOURCE_LOOKUP_FLAGS_NONE, NULL);

  for (guint i = 0; names != NULL && names[i] != NULL; i++)
    *g_strrstr (names[i], SL_DOCUMENT_EXTENSION) = '\0';
  return names;
}

/* ---- read from a file ---- */

static void
read_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  GError *error = NULL;
  SlProfile *profile = sl_document_read (data, NULL, NULL, cancellable, &error);

  if (profile != NULL)
    g_task_return_pointer (task, profile, (GDestroyNotify) sl_profile_free);
  else
    g_task_return_error (task, error);
}

void
sl_read_profile_async (gpointer source, GFile *file, GCancellable *cancellable, GAsyncReadyCallback done)
{
  sl_run_in_thread (source, cancellable, read_in_thread, g_object_ref (file), g_object_unref, done, NULL);
}

SlProfile *
sl_read_profile_finish (GAsyncResult *result, GError **error)
{
  return g_task_propagate_pointer (G_TASK (result), error);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shelf-maker.h"

#include <glib/gstdio.h>
#include <string.h>
#include <utime.h>

#define HOUR 3600

static const char *const owners[] = { "Wenna Trask",    "Joss Carne", "Ebbe Lund",     "Marit Sande",
                                      "Perran Hocking", "Tilde Ravn", "Old Quay Band", "Ine Brekke" };
static const char *const models[] = { "Gullwing", "Lantern", "Breakwater", "Spindrift", "Tiller", "Kelp" };
static const char *const makers[] = { "Harbour Bench", "Pilot Row" };

static void
put (SlReadingSet *set, SlReadingKind kind, int string, int fret, double value)
{
  SlReading reading = sl_reading_init (kind);

  reading.string = string;
  reading.fret = fret;
  reading.value = sl_number (value);
  sl_reading_set_put (set, reading);
}

static void
add_strings (SlProfile *profile)
{
  static const char *const notes[] = { "E4", "B3", "G3", "D3", "A2", "E2" };

  profile->n_strings = 6;
  for (int i = 0; i < 6; i++)
    {
      SlString *string = &profile->strings[i];

      string->note = g_strdup (notes[i]);
      string->build = i < 2 ? SL_BUILD_PLAIN : SL_BUILD_WOUND;
      string->core = SL_CORE_STEEL;
      string->core_diameter = sl_number (0.30 + 0.02 * i);
      string->wrap = i < 2 ? SL_WRAP_NONE : SL_WRAP_PHOSPHOR_BRONZE;
      string->wrap_diameter = i < 2 ? SL_NUMBER_ABSENT : sl_number (0.1 * i);
    }
}

static void
add_visit (SlProfile *profile, guint i, guint n)
{
  SlVisit visit = sl_visit_init ();
  SlReadingSet set = sl_reading_set_init ();
  double step = (i % 9) * 0.1;

  visit.id = g_strdup_printf ("v%u", n);
  visit.opened = g_strdup_printf ("20%02u-%02u-%02u", 20 + n, 1 + i % 12, 1 + i % 28);
  visit.note = g_strdup_printf ("buzz at fret %u, action %s", 1 + i % 20, i % 2 ? "too high" : "as it should be");
  if (i % 7 == 0)
    visit.closed = g_strdup (visit.opened);
  set.id = g_strdup_printf ("r%u", n);
  set.taken = g_strdup_printf ("%sT10:00:00Z", visit.opened);
  set.temperature = sl_number (20);
  set.humidity = sl_number (40 + i % 20);
  for (int string = 1; string <= 6; string += 5)
    {
      put (&set, SL_READ_RELIEF, string, 7, 0.1 + step / 10);
      put (&set, SL_READ_FIRST_GAP, string, 1, 0.5);
      put (&set, SL_READ_ACTION, string, 12, (string == 1 ? 1.6 : 2.1) + step);
      put (&set, SL_READ_EXPOSURE, string, 0, 3.5);
    }
  g_array_append_val (visit.sets, set);
  g_array_append_val (profile->visits, visit);
}

SlProfile *
maker_profile (guint i)
{
  SlProfile *profile = sl_profile_new ();
  SlIdentity *who = &profile->identity;

  profile->id = g_strdup_printf ("%08x-1111-4111-8111-%012x", i, i);
  profile->kind = i % 50 == 0 ? SL_KIND_BASELINE : SL_KIND_INSTRUMENT;
  who->label = g_strdup_printf ("%s no. %u", models[i % G_N_ELEMENTS (models)], i);
  who->owner = g_strdup (owners[(i * 7) % G_N_ELEMENTS (owners)]);
  who->contact = g_strdup_printf ("berth %u, Netloft Row", i % 400);
  who->maker = g_strdup (makers[i % G_N_ELEMENTS (makers)]);
  who->model = g_strdup (models[i % G_N_ELEMENTS (models)]);
  who->serial = g_strdup_printf ("K%05u", i);
  profile->neck.scale_length = sl_number (628 + i % 20);
  profile->neck.frets = 20;
  profile->neck.joint_fret = 14;
  add_strings (profile);
  for (guint n = 0; n < 1 + i % 3; n++)
    add_visit (profile, i, n);
  return profile;
}

char *
maker_write_text (const char *folder, const char *name, const char *text)
{
  char *path = g_build_filename (folder, name, NULL);
  struct utimbuf times;
  g_autoptr (GError) error = NULL;

  /* written anew: with these flags GLib 2.74 leaves the end of a longer file behind; not synchronised to disk, which
   * for thousands of files takes longer than what is measured */
  g_remove (path);
  g_file_set_contents_full (path, text, -1, G_FILE_SET_CONTENTS_NONE, 0644, &error);
  g_assert_no_error (error);
  times.actime = times.modtime = g_get_real_time () / G_USEC_PER_SEC - HOUR;
  g_assert_cmpint (g_utime (path, &times), ==, 0);
  return path;
}

char *
maker_write (const char *folder, const char *name, const SlProfile *profile)
{
  g_autoptr (GBytes) bytes = sl_document_print (profile);
  g_autofree char *text = g_strndup (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes));

  return maker_write_text (folder, name, text);
}

void
maker_fill (const char *folder, guint n)
{
  for (guint i = 0; i < n; i++)
    {
      g_autoptr (SlProfile) profile = maker_profile (i);
      g_autofree char *name = g_strdup_printf ("instrument-%05u" SL_DOCUMENT_EXTENSION, i);
      g_autofree char *path = maker_write (folder, name, profile);
    }
}

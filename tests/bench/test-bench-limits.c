/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A bench takes no more than a document may hold, and keeps no more of the past than it has room for. */
#include <string.h>

#include "bench/bench.h"
#include "bench/profiles.h"
#include "bench/visit-edit.h"

#include "file/document.h"
#include "setup/profile/bounds.h"

static char *
print_bench (SlBench *bench)
{
  g_autoptr (GBytes) bytes = sl_document_print (sl_bench_get_profile (bench));

  return g_strndup (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes));
}

static void
on_refused (SlBench *bench, const char *why, char **heard)
{
  g_free (*heard);
  *heard = g_strdup (why);
}

static void
set_note (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer note)
{
  g_free (visit->note);
  visit->note = g_strdup (note);
}

/* What would make a document that can't be read again is taken back, said, and leaves no step. */
static void
test_overfull_is_refused (void)
{
  g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile ("flat-top"));
  g_autofree char *note = g_strnfill (sl_amount_most ("visit", "note"), 'x'), *longer = g_strconcat (note, "y", NULL),
                  *before = NULL, *after = NULL, *heard = NULL;

  g_signal_connect (bench, "refused", G_CALLBACK (on_refused), &heard);
  sl_bench_edit (bench, "note", SL_CHANGED_VISIT, TRUE, set_note, note);
  g_assert_null (heard);
  sl_visit_set_note (bench, longer);
  g_assert_nonnull (strstr (heard, "visit note is 65537 characters long; at most 65536"));
  g_assert_cmpstr (sl_bench_get_visit (bench)->note, ==, note);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "note");
  g_clear_pointer (&heard, g_free);

  for (guint i = 0; i < sl_amount_most ("visit", "charge"); i++)
    sl_visit_add_charge (bench, NULL);
  g_assert_null (heard);
  before = print_bench (bench);
  sl_visit_add_charge (bench, NULL);
  g_assert_nonnull (strstr (heard, "of “charge”; at most 200"));
  after = print_bench (bench);
  g_assert_cmpstr (after, ==, before);
  g_clear_pointer (&heard, g_free);

  sl_visit_set_note (bench, "");
  for (guint i = 1; i < sl_amount_most ("profile", "visit"); i++)
    sl_visit_begin (bench);
  g_assert_null (heard);
  sl_visit_begin (bench);
  g_assert_nonnull (strstr (heard, "151 of “visit”; at most 150"));
  g_autoptr (GPtrArray) faults = sl_profile_check (sl_bench_get_profile (bench));
  g_assert_cmpuint (faults->len, ==, 0);
}

/* However much text a profile has, its history stays within 32 MiB, and what was done last can be undone. */
static void
test_history_is_bounded_in_bytes (void)
{
  g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile ("flat-top"));
  const gsize most = 32 * 1024 * 1024;
  g_autofree char *note = g_strnfill (sl_amount_most ("visit", "note"), 'x');
  guint steps = 0;

  for (int i = 0; i < 10; i++)
    {
      sl_visit_begin (bench);
      sl_visit_set_note (bench, note);
    }
  for (int i = 0; i < 60; i++)
    {
      note[0] = (char) ('a' + i % 20);
      sl_visit_set_note (bench, note);
    }
  g_autofree char *text = print_bench (bench);
  while (sl_bench_get_undo_name (bench) != NULL)
    {
      sl_bench_undo (bench);
      steps++;
    }
  g_assert_cmpuint (steps * strlen (text), <=, most + 10 * strlen (text)); /* the first ones were shorter */
  g_assert_cmpuint (steps, <, 70);
  g_assert_cmpuint (steps, >=, 20);
  while (sl_bench_get_redo_name (bench) != NULL)
    sl_bench_redo (bench);
  g_autofree char *again = print_bench (bench);
  g_assert_cmpstr (again, ==, text);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/bench-limits/overfull", test_overfull_is_refused);
  g_test_add_func ("/bench-limits/history-in-bytes", test_history_is_bounded_in_bytes);
  return g_test_run ();
}

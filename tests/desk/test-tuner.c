/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The tuner's table: what is typed is kept against the open string, and stays, refused with its reason, where that
 * can't be kept. Skipped where there is no display. */
#include "bench/profiles.h"
#include "bench/readings-question.h"
#include "desk/kit/length-entry.h"
#include "desk/kit/kit.h"
#include "desk/kit/util.h"
#include "desk/sheets/parts.h"

#define SKIPPED 77
#define OPEN "Tuner, string 1, open"
#define OCTAVE "Tuner, string 1, fret 12"

static SlLengthEntry *
find (GtkWidget *from, const char *name)
{
  SlLengthEntry *found =
      SL_IS_LENGTH_ENTRY (from) && g_strcmp0 (sl_entry_name (from), name) == 0 ? SL_LENGTH_ENTRY (from) : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (from); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = find (child, name);
  return found;
}

static gboolean
type (GtkWidget *page, const char *name, const char *text)
{
  SlLengthEntry *entry = find (page, name);

  g_assert_nonnull (entry);
  gtk_editable_set_text (GTK_EDITABLE (entry), text);
  return sl_length_entry_commit (entry);
}

static double
kept (SlBench *bench)
{
  const SlQuestion question = { .ask = SL_READ_PITCH, .string = 1, .fret = SL_OCTAVE_FRET, .held = SL_HELD_DEFAULT };

  return sl_question_value (sl_bench_get_set (bench), &question);
}

/* Refused: it stays, says why, keeps whoever asks from going on, and changed nothing. */
static void
assert_refused (GtkWidget *page, const char *name, const char *text, SlBench *bench, double value)
{
  SlLengthEntry *entry = find (page, name);

  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, text);
  g_assert_nonnull (strstr (sl_length_entry_get_message (entry), "against its open string"));
  g_assert_false (sl_typed_take (GTK_WINDOW (gtk_widget_get_root (page))));
  g_assert_cmpfloat (kept (bench), ==, value);
}

static void
test_refused (void)
{
  SlBench *bench = sl_bench_new (sl_starting_profile ("flat-top"));
  GtkWidget *page = sl_pitch_tuner_new (bench), *window = g_object_new (GTK_TYPE_WINDOW, "child", page, NULL);

  gtk_window_present (GTK_WINDOW (window));
  while (!gtk_widget_get_mapped (page))
    g_main_context_iteration (NULL, TRUE);
  g_assert_true (type (page, OPEN, "60"));
  g_assert_true (type (page, OCTAVE, "-30"));
  g_assert_cmpfloat (kept (bench), ==, -90);
  g_assert_false (type (page, OCTAVE, "-60"));
  assert_refused (page, OCTAVE, "-60", bench, -90);
  g_assert_true (type (page, OCTAVE, "-30"));
  g_assert_false (type (page, OPEN, "80")); /* against which the other would be 110 flat */
  assert_refused (page, OPEN, "80", bench, -90);
  gtk_window_destroy (GTK_WINDOW (window));
  while (g_main_context_iteration (NULL, FALSE))
    ;
  g_assert_finalize_object (bench);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  if (!gtk_init_check ())
    return SKIPPED;
  g_test_add_func ("/tuner/refused", test_refused);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The photographs of an open document: added, changed, taken away and brought back, each a step; their ids are not used
 * again; what is measured becomes the reading it is for, with its U, and what can't become one is refused in a
 * sentence. */
#include "../file/support.h"
#include "bench/photo-edit.h"
#include "bench/readings-question.h"
#include "bench/visit-edit.h"

#define PX_PER_MM 40.0 /* of the pictures here: 10 mm marked over 400 px */

static SlBench *
open_example (void)
{
  g_autofree char *text = test_example (NULL);

  return sl_bench_new (test_parse (text));
}

static const SlPhoto *
photo_of (SlBench *bench, const char *id)
{
  return sl_photo_find (sl_bench_get_profile (bench), id, NULL);
}

/* A photograph with a rule in it, and a length of @mm marked upright. */
static char *
add_measured (SlBench *bench, SlMark mark, double mm)
{
  SlPhoto photo = sl_photo_init ();
  SlKnownLength known = sl_known_length_init ();
  char *id;

  photo.file = g_strdup ("fret-12.jpg");
  known.x[0] = known.y[0] = known.y[1] = sl_number (100);
  known.x[1] = sl_number (100 + 10 * PX_PER_MM);
  known.length = sl_number (10);
  g_array_append_val (photo.known, known);
  mark.x[0] = mark.x[1] = mark.y[0] = sl_number (200);
  mark.y[1] = sl_number (200 + mm * PX_PER_MM);
  g_array_append_val (photo.marks, mark);
  id = sl_photo_add (bench, &photo);
  sl_photo_clear (&photo);
  return id;
}

static SlMark
mark_of (SlMeasure of, int string, int fret)
{
  SlMark mark = sl_mark_init (of);

  mark.string = string;
  mark.fret = fret;
  return mark;
}

static void
test_add (void)
{
  g_autoptr (SlBench) bench = open_example ();
  g_autofree char *first = add_measured (bench, mark_of (SL_MEASURE_CROWN_LAND, 0, 3), 1), *second = NULL;
  SlPhoto changed = sl_photo_copy (photo_of (bench, first));

  changed.fret = 3;
  sl_photo_replace (bench, "set the fret", &changed);
  g_assert_cmpint (photo_of (bench, first)->fret, ==, 3);
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "set the fret");
  sl_bench_undo (bench);
  g_assert_cmpint (photo_of (bench, first)->fret, ==, 0);
  sl_photo_remove (bench, first);
  g_assert_null (photo_of (bench, first));
  sl_photo_replace (bench, "nothing", &changed); /* there is none: no step */
  g_assert_cmpstr (sl_bench_get_undo_name (bench), ==, "remove a photograph");
  sl_photo_clear (&changed);
  second = add_measured (bench, mark_of (SL_MEASURE_CROWN_LAND, 0, 3), 1);
  g_assert_cmpstr (first, !=, second);
  sl_bench_undo (bench);
  sl_bench_undo (bench);
  g_assert_nonnull (photo_of (bench, first));
}

/* Every measure that is a reading becomes one, with the U that the marks have. */
static void
test_take (void)
{
  static const struct
  {
    SlMeasure of;
    SlReadingKind kind;
    int string, fret;
    double mm;
  } cases[] = { { SL_MEASURE_ACTION, SL_READ_ACTION, 6, 12, 1.8 },
                { SL_MEASURE_FIRST_GAP, SL_READ_FIRST_GAP, 6, 1, 0.5 },
                { SL_MEASURE_EXPOSURE, SL_READ_EXPOSURE, 6, 0, 3.5 },
                { SL_MEASURE_CROWN_HEIGHT, SL_READ_CROWN_HEIGHT, 0, 3, 1.1 } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (SlBench) bench = open_example ();
      g_autofree char *id = add_measured (bench, mark_of (cases[i].of, cases[i].string, cases[i].fret), cases[i].mm),
                      *refused = sl_photo_take_reading (bench, id, 0);
      const SlReadingSet *into = NULL, *set = sl_bench_get_set (bench);
      const SlPhoto *photo = photo_of (bench, id);
      const SlMark *mark = &g_array_index (photo->marks, SlMark, 0);
      const SlReading *read = sl_mark_reading (sl_bench_get_visit (bench), photo, mark, &into);

      g_assert_cmpstr (refused, ==, NULL);
      g_assert_cmpstr (mark->readings, ==, set->id);
      g_assert_true (into == set);
      g_assert_nonnull (read);
      g_assert_cmpint (read->kind, ==, cases[i].kind);
      g_assert_cmpint (read->string, ==, cases[i].string);
      g_assert_cmpint (read->fret, ==, cases[i].fret);
      g_assert_cmpfloat_with_epsilon (read->value.v, cases[i].mm, 0.006); /* to hundredths */
      g_assert_cmpfloat (read->uncertainty.v, >, 0.005);
      g_assert_cmpfloat (read->uncertainty.v, <, 0.2);
      sl_bench_undo (bench);
      g_assert_null (g_array_index (photo_of (bench, id)->marks, SlMark, 0).readings);
    }
}

/* Taken again it replaces what was taken; a reading that was there stays beside it. */
static void
test_again (void)
{
  g_autoptr (SlBench) bench = open_example ();
  const SlQuestion question = { SL_READ_ACTION, 6, 12, SL_HELD_OPEN, 0 };
  g_autofree char *id = NULL, *refused = NULL, *again = NULL;
  SlQuestion second = question;
  SlPhoto moved;
  guint n;

  sl_question_put (bench, &question, 2.4);
  n = sl_bench_get_set (bench)->readings->len;
  id = add_measured (bench, mark_of (SL_MEASURE_ACTION, 6, 12), 1.8);
  refused = sl_photo_take_reading (bench, id, 0);
  g_assert_cmpstr (refused, ==, NULL);
  g_assert_cmpuint (sl_bench_get_set (bench)->readings->len, ==, n + 1);
  g_assert_cmpfloat (sl_question_value (sl_bench_get_set (bench), &question), ==, 2.4);
  moved = sl_photo_copy (photo_of (bench, id));
  g_array_index (moved.marks, SlMark, 0).y[1] = sl_number (200 + 2 * PX_PER_MM);
  sl_photo_replace (bench, "move", &moved);
  sl_photo_clear (&moved);
  again = sl_photo_take_reading (bench, id, 0);
  g_assert_cmpstr (again, ==, NULL);
  g_assert_cmpuint (sl_bench_get_set (bench)->readings->len, ==, n + 1);
  second.nth = 1;
  g_assert_cmpfloat_with_epsilon (sl_question_value (sl_bench_get_set (bench), &second), 2, 0.006);
  /* a figure typed over has the tool's u again */
  sl_question_put (bench, &second, 2.1);
  g_assert_false (sl_number_is_set (g_array_index (sl_bench_get_set (bench)->readings, SlReading,
                                                   sl_question_find (sl_bench_get_set (bench), &second))
                                        .uncertainty));
}

static void
assert_refused (SlBench *bench, SlMark mark, double mm, const char *why)
{
  g_autofree char *id = add_measured (bench, mark, mm), *refused = sl_photo_take_reading (bench, id, 0);

  g_assert_nonnull (refused);
  if (strstr (refused, why) == NULL)
    g_error ("“%s” has no “%s”", refused, why);
  g_assert_null (g_array_index (photo_of (bench, id)->marks, SlMark, 0).readings);
}

static void
test_refused (void)
{
  g_autoptr (SlBench) bench = open_example ();
  g_autofree char *id = NULL, *refused = NULL, *none = NULL, *over = NULL;
  SlPhoto bare;

  assert_refused (bench, mark_of (SL_MEASURE_CROWN_LAND, 0, 3), 0.5, "stays with the picture");
  assert_refused (bench, mark_of (SL_MEASURE_SLOT_DEPTH, 6, 0), 0.5, "stays with the picture");
  assert_refused (bench, mark_of (SL_MEASURE_ACTION, 0, 12), 1.8, "Which string");
  assert_refused (bench, mark_of (SL_MEASURE_ACTION, 6, 0), 1.8, "Which fret");
  assert_refused (bench, mark_of (SL_MEASURE_ACTION, 6, 12), 31, "30 mm");
  assert_refused (bench, mark_of (SL_MEASURE_CROWN_HEIGHT, 0, 3), 3.5, "3 mm");
  id = add_measured (bench, mark_of (SL_MEASURE_ACTION, 6, 12), 1.8);
  none = sl_photo_take_reading (bench, id, 1);
  g_assert_nonnull (none);
  bare = sl_photo_copy (photo_of (bench, id));
  g_array_set_size (bare.known, 0);
  sl_photo_replace (bench, "no scale", &bare);
  sl_photo_clear (&bare);
  refused = sl_photo_take_reading (bench, id, 0);
  g_assert_nonnull (refused);
  sl_bench_undo (bench);
  sl_visit_set_closed (bench, TRUE);
  over = sl_photo_take_reading (bench, id, 0);
  g_assert_nonnull (strstr (over, "over"));
}

/* So many decimals as U leaves sense in: our own choice. */
static void
test_places (void)
{
  g_assert_cmpint (sl_measured_places (0.2), ==, 1);
  g_assert_cmpint (sl_measured_places (0.06), ==, 2);
  g_assert_cmpint (sl_measured_places (0.008), ==, 3);
  g_assert_cmpint (sl_measured_places (0), ==, 3);
  g_assert_cmpint (sl_measured_places (30), ==, 1);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/photo-edit/add", test_add);
  g_test_add_func ("/photo-edit/take", test_take);
  g_test_add_func ("/photo-edit/again", test_again);
  g_test_add_func ("/photo-edit/refused", test_refused);
  g_test_add_func ("/photo-edit/places", test_places);
  return g_test_run ();
}

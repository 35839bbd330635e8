/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which photographs belong together and which go onto the hand-over sheet, worked out by hand from the rules of
 * setup/record/photos.h. A photograph is called by its file. */
#include "setup/record/photos.h"

#include <string.h>

typedef struct
{
  const char *file;
  SlStage stage;
  SlAbout about;
  int fret, string;
  SlOnSheet on_sheet;
  const char *note;
} Row;

#define RECEIVED SL_STAGE_RECEIVED
#define DURING SL_STAGE_DURING
#define FINAL SL_STAGE_FINAL

static void
add (SlVisit *visit, const Row *row)
{
  SlPhoto photo = sl_photo_init ();

  photo.file = g_strdup (row->file);
  photo.stage = row->stage;
  photo.about = row->about;
  photo.fret = row->fret;
  photo.string = row->string;
  photo.on_sheet = row->on_sheet;
  photo.note = g_strdup (row->note);
  g_array_append_val (visit->photos, photo);
}

/* A profile of a visit; @rows end with one without a file. */
static SlProfile *
profile_of (const Row *rows)
{
  SlProfile *profile = sl_profile_new ();
  SlVisit visit = sl_visit_init ();

  for (; rows->file != NULL; rows++)
    add (&visit, rows);
  g_array_append_val (profile->visits, visit);
  return profile;
}

static void
check_sheet (const Row *rows, const char *wanted)
{
  g_autoptr (SlProfile) profile = profile_of (rows);
  g_autoptr (GPtrArray) photos = sl_photos_on_sheet (sl_profile_last_visit (profile));
  g_autoptr (GString) names = g_string_new (NULL);

  SL_EACH_OF (const SlPhoto, photo, photos)
    g_string_append_printf (names, "%s%s", names->len > 0 ? " " : "", photo->file);
  g_assert_cmpstr (names->str, ==, wanted);
}

static void
check_same (const Row *rows, gboolean wanted)
{
  g_autoptr (SlProfile) profile = profile_of (rows);
  const SlPhoto *photos = (const SlPhoto *) sl_profile_last_visit (profile)->photos->data;

  g_assert_cmpint (sl_photo_same_subject (&photos[0], &photos[1]), ==, wanted);
  g_assert_cmpint (sl_photo_same_subject (&photos[1], &photos[0]), ==, wanted);
  g_assert_true (sl_photo_same_subject (&photos[0], &photos[0]));
}

static void
test_same_subject (void)
{
  check_same ((const Row[]){ { "a", RECEIVED, SL_ABOUT_FRET, 3 }, { "b", FINAL, SL_ABOUT_FRET, 3 }, {} }, TRUE);
  check_same ((const Row[]){ { "a", RECEIVED, SL_ABOUT_FRET, 3 }, { "b", FINAL, SL_ABOUT_FRET, 4 }, {} }, FALSE);
  check_same ((const Row[]){ { "a", RECEIVED, SL_ABOUT_FRET, 3, 2 }, { "b", FINAL, SL_ABOUT_FRET, 3 }, {} }, FALSE);
  check_same ((const Row[]){ { "a", RECEIVED, SL_ABOUT_NUT }, { "b", RECEIVED, SL_ABOUT_SADDLE }, {} }, FALSE);
  check_same ((const Row[]){ { "a", 0, SL_ABOUT_NUT, 0, 0, 0, "chipped" }, { "b", 0, SL_ABOUT_NUT }, {} }, TRUE);

  /* what names no single thing is told apart by the note's first line, and is nothing without one */
  check_same ((const Row[]){ { "a", 0, SL_ABOUT_FRET }, { "b", 0, SL_ABOUT_FRET }, {} }, FALSE);
  check_same ((const Row[]){ { "a", 0, SL_ABOUT_OTHER }, { "b", 0, SL_ABOUT_OTHER }, {} }, FALSE);
  check_same (
      (const Row[]){ { "a", 0, SL_ABOUT_BODY, 0, 0, 0, "Front" }, { "b", 0, SL_ABOUT_BODY, 0, 0, 0, "Back" }, {} },
      FALSE);
  check_same ((const Row[]){ { "a", 0, SL_ABOUT_BODY, 0, 0, 0, "Front" },
                             { "b", 0, SL_ABOUT_BODY, 0, 0, 0, "Front\nwashed" },
                             {} },
              TRUE);
  check_same (
      (const Row[]){ { "a", 0, SL_ABOUT_OTHER, 0, 0, 0, "Fron" }, { "b", 0, SL_ABOUT_OTHER, 0, 0, 0, "Front" }, {} },
      FALSE);
}

static void
test_pairs (void)
{
  const Row rows[] = { { "body", RECEIVED, SL_ABOUT_BODY },
                       { "during-3", DURING, SL_ABOUT_FRET, 3 },
                       { "nut", RECEIVED, SL_ABOUT_NUT },
                       { "first-3", RECEIVED, SL_ABOUT_FRET, 3 },
                       { "second-3", RECEIVED, SL_ABOUT_FRET, 3 },
                       { "saddle-early", FINAL, SL_ABOUT_SADDLE },
                       { "saddle-last", FINAL, SL_ABOUT_SADDLE },
                       { "ready-3", FINAL, SL_ABOUT_FRET, 3, 0, SL_ON_SHEET_NO },
                       { "nut-glued", DURING, SL_ABOUT_NUT },
                       { "body-after", FINAL, SL_ABOUT_BODY },
                       {} };
  g_autoptr (SlProfile) profile = profile_of (rows);
  g_autoptr (GArray) pairs = sl_photo_pairs (sl_profile_last_visit (profile));
  const SlPhotoPair *pair = (const SlPhotoPair *) pairs->data;

  g_assert_cmpuint (pairs->len, ==, 2);
  g_assert_cmpstr (pair[0].before->file, ==, "first-3"); /* the first received, though one was taken during before it */
  g_assert_cmpstr (pair[0].after->file, ==, "ready-3");  /* off the sheet is not out of the pair */
  g_assert_cmpstr (pair[1].before->file, ==, "nut");
  g_assert_cmpstr (pair[1].after->file, ==, "nut-glued"); /* no final one: the later stage there is */
}

static void
test_over_visits (void)
{
  g_autoptr (SlProfile) profile = profile_of ((const Row[]){ { "nut-1", RECEIVED, SL_ABOUT_NUT },
                                                             { "fret-1", RECEIVED, SL_ABOUT_FRET, 3 },
                                                             { "nut-2", FINAL, SL_ABOUT_NUT },
                                                             {} });
  SlVisit visit = sl_visit_init ();
  g_autoptr (GPtrArray) subjects = NULL;
  g_autoptr (GString) told = g_string_new (NULL);

  add (&visit, &(const Row){ "saddle", RECEIVED, SL_ABOUT_SADDLE });
  add (&visit, &(const Row){ "fret-2", RECEIVED, SL_ABOUT_FRET, 3 });
  g_array_append_val (profile->visits, visit);
  subjects = sl_photo_subjects (profile);
  for (guint i = 0; i < subjects->len; i++)
    {
      SL_EACH (const SlPhotoDated, dated, (GArray *) subjects->pdata[i])
        {
          g_string_append_printf (told, "%s ", dated->photo->file);
          g_assert_true (dated->photo >= (SlPhoto *) dated->visit->photos->data &&
                         dated->photo < (SlPhoto *) dated->visit->photos->data + dated->visit->photos->len);
        }
      g_string_append (told, "| ");
    }
  g_assert_cmpstr (told->str, ==, "fret-1 fret-2 | saddle | nut-1 nut-2 | ");
}

static void
test_chosen (void)
{
  check_sheet ((const Row[]){ {} }, "");
  g_autoptr (GPtrArray) none = sl_photos_on_sheet (NULL);
  g_assert_cmpuint (none->len, ==, 0);

  /* pairs, then final, then received; taken during the work only where a person says so */
  check_sheet ((const Row[]){ { "nut", RECEIVED, SL_ABOUT_NUT },
                              { "before", RECEIVED, SL_ABOUT_FRET, 3 },
                              { "work", DURING, SL_ABOUT_SADDLE },
                              { "bridge", FINAL, SL_ABOUT_BRIDGE },
                              { "after", FINAL, SL_ABOUT_FRET, 3 },
                              { "more", RECEIVED, SL_ABOUT_BINDING },
                              {} },
               "before after bridge nut");

  /* a pair goes whole or not at all: with one wanted there is room for one pair, and one picture that is in none */
  check_sheet ((const Row[]){ { "a1", RECEIVED, SL_ABOUT_FRET, 1 },
                              { "a2", FINAL, SL_ABOUT_FRET, 1 },
                              { "b1", RECEIVED, SL_ABOUT_FRET, 2 },
                              { "b2", DURING, SL_ABOUT_FRET, 2 },
                              { "top", DURING, SL_ABOUT_BODY, 0, 0, SL_ON_SHEET_YES },
                              { "nut", RECEIVED, SL_ABOUT_NUT },
                              {} },
               "a1 a2 top nut");

  /* what is not to go takes its pair apart; an earlier picture of the subject may stand in */
  check_sheet ((const Row[]){ { "a1", RECEIVED, SL_ABOUT_NUT, 0, 0, SL_ON_SHEET_NO },
                              { "a2", FINAL, SL_ABOUT_NUT },
                              { "b0", RECEIVED, SL_ABOUT_SADDLE, 0, 0, SL_ON_SHEET_NO },
                              { "b1", RECEIVED, SL_ABOUT_SADDLE },
                              { "b2", FINAL, SL_ABOUT_SADDLE },
                              {} },
               "b1 b2 a2");
}

static void
test_wanted (void)
{
  /* more than fit: all of them, and nothing besides */
  check_sheet ((const Row[]){ { "1", RECEIVED, SL_ABOUT_BODY, 0, 0, SL_ON_SHEET_YES },
                              { "2", DURING, SL_ABOUT_BODY, 0, 0, SL_ON_SHEET_YES },
                              { "a", RECEIVED, SL_ABOUT_NUT, 0, 0, SL_ON_SHEET_YES },
                              { "no", RECEIVED, SL_ABOUT_BRIDGE },
                              { "yes", FINAL, SL_ABOUT_BRIDGE },
                              { "4", FINAL, SL_ABOUT_BODY, 0, 0, SL_ON_SHEET_YES },
                              { "b", DURING, SL_ABOUT_NUT, 0, 0, SL_ON_SHEET_YES },
                              {} },
               "a b 4 2 1");

  /* one that is wanted brings the other of its pair along */
  check_sheet ((const Row[]){ { "a1", RECEIVED, SL_ABOUT_NUT },
                              { "x", FINAL, SL_ABOUT_BODY },
                              { "a2", FINAL, SL_ABOUT_NUT, 0, 0, SL_ON_SHEET_YES },
                              {} },
               "a1 a2 x");

  /* no two that stand side by side look like a pair without being one */
  check_sheet ((const Row[]){ { "1", RECEIVED, SL_ABOUT_NUT, 0, 0, SL_ON_SHEET_YES },
                              { "2", RECEIVED, SL_ABOUT_NUT, 0, 0, SL_ON_SHEET_YES },
                              { "3", DURING, SL_ABOUT_NUT, 0, 0, SL_ON_SHEET_YES },
                              { "4", FINAL, SL_ABOUT_NUT, 0, 0, SL_ON_SHEET_YES },
                              {} },
               "1 4 3 2");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/photos/same-subject", test_same_subject);
  g_test_add_func ("/photos/pairs", test_pairs);
  g_test_add_func ("/photos/over-visits", test_over_visits);
  g_test_add_func ("/photos/chosen", test_chosen);
  g_test_add_func ("/photos/wanted", test_wanted);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shelf: what is listed, what the index remembers and when it is not believed, and what happens to files while the
 * shelf is open. */
#include "../rounds.h"
#include "file/shelf.h"
#include "remote-file.h"
#include "shelf-maker.h"
#include "support.h"

#include <glib/gstdio.h>
#include <math.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#define SMALL_FILE 4096 /* bytes: the most a file may have where there is no room */

typedef struct
{
  char *folder, *index;
  GFile *file, *index_file;
} Fixture;

static void
set_up (Fixture *f, gconstpointer data)
{
  f->folder = test_folder ();
  f->index = test_folder ();
  f->file = g_file_new_for_path (f->folder);
  f->index_file = g_file_new_for_path (f->index);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  g_clear_object (&f->file);
  g_clear_object (&f->index_file);
  test_folder_free (f->folder);
  test_folder_free (f->index);
}

static GPtrArray *
list (Fixture *f)
{
  g_autoptr (GError) error = NULL;
  GPtrArray *entries = sl_shelf_read (f->file, f->index_file, &SL_SHOP_DEFAULT, NULL, NULL, NULL, &error);

  g_assert_no_error (error);
  return entries;
}

static const SlShelfEntry *
find (const GPtrArray *entries, const char *name)
{
  for (guint i = 0; i < entries->len; i++)
    {
      const SlShelfEntry *entry = g_ptr_array_index (entries, i);

      if (g_str_equal (entry->name, name))
        return entry;
    }
  return NULL;
}

static void
assert_same (const SlShelfEntry *a, const SlShelfEntry *b)
{
  g_assert_cmpstr (a->name, ==, b->name);
  g_assert_cmpstr (a->fault, ==, b->fault);
  g_assert_cmpstr (a->id, ==, b->id);
  g_assert_cmpstr (a->baseline, ==, b->baseline);
  g_assert_cmpint (a->kind, ==, b->kind);
  g_assert_cmpstr (a->label, ==, b->label);
  g_assert_cmpstr (a->owner, ==, b->owner);
  g_assert_cmpstr (a->contact, ==, b->contact);
  g_assert_cmpstr (a->maker, ==, b->maker);
  g_assert_cmpstr (a->model, ==, b->model);
  g_assert_cmpstr (a->serial, ==, b->serial);
  g_assert_cmpstr (a->year, ==, b->year);
  g_assert_cmpstr (a->fitted, ==, b->fitted);
  g_assert_cmpstr (a->last_visit, ==, b->last_visit);
  g_assert_cmpint (a->visit, ==, b->visit);
  g_assert_cmpuint (a->n_visits, ==, b->n_visits);
  g_assert_cmpstr (a->search, ==, b->search);
  g_assert_true (memcmp (&a->action_treble, &b->action_treble, sizeof (double)) == 0 ||
                 (isnan (a->action_treble) && isnan (b->action_treble)));
  g_assert_true (a->action_bass == b->action_bass || (isnan (a->action_bass) && isnan (b->action_bass)));
  g_assert_true (a->relief == b->relief || (isnan (a->relief) && isnan (b->relief)));
}

/* ---- what is listed ---- */

/* Since when strings are on is what the description says, unless others, or new ones, went on in a visit since; where
 * nobody said it they are of no age. */
static void
test_strings_age (Fixture *f, gconstpointer data)
{
  static const struct
  {
    const char *fitted, *done, *since;
    SlOperationKind kind;
  } rows[] = {
    { NULL, NULL, "", SL_OP_FIT_STRINGS },
    { "2022-01-05", NULL, "2022-01-05", SL_OP_FIT_STRINGS },
    { "2022-01-05", "2022-06-01T10:00:00Z", "2022-06-01T10:00:00Z", SL_OP_BENCH_STEP },
    { "2022-07-05", "2022-06-01T10:00:00Z", "2022-07-05", SL_OP_BENCH_STEP },
    { NULL, "2022-06-01T10:00:00Z", "2022-06-01T10:00:00Z", SL_OP_FIT_STRINGS },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (SlProfile) profile = maker_profile (8);
      SlOperation on = sl_operation_init (rows[i].kind);

      on.step = SL_BENCH_NEW_STRINGS;
      on.set = rows[i].kind == SL_OP_FIT_STRINGS ? g_strdup ("10 13 17 26w 36w 46w") : NULL;
      on.done = g_strdup (rows[i].done);
      profile->fitted = g_strdup (rows[i].fitted);
      g_array_append_val (sl_profile_last_visit (profile)->plan, on);
      sl_profile_last_visit (profile)->plan_given = TRUE;
      g_autofree char *path = maker_write (f->folder, "a.sidelong", profile);
      g_autoptr (GPtrArray) entries = list (f);
      const SlShelfEntry *e = g_ptr_array_index (entries, 0);

      g_assert_cmpstr (e->fault, ==, NULL);
      g_assert_cmpstr (e->fitted, ==, rows[i].since);
      g_assert_cmpint (sl_shelf_entry_has_strings_before (e, "2022-06-01"), ==, g_str_equal (e->fitted, "2022-01-05"));
    }
}

static void
test_contents (Fixture *f, gconstpointer data)
{
  g_autoptr (SlProfile) profile = maker_profile (8);
  g_autofree char *path = maker_write (f->folder, "a.sidelong", profile);
  g_autoptr (GPtrArray) entries = list (f);

  g_assert_cmpuint (entries->len, ==, 1);
  const SlShelfEntry *e = g_ptr_array_index (entries, 0);
  g_assert_cmpstr (e->fault, ==, NULL);
  g_assert_cmpstr (e->label, ==, "Breakwater no. 8");
  g_assert_cmpstr (e->owner, ==, "Wenna Trask");
  g_assert_cmpuint (e->n_visits, ==, 3);
  g_assert_cmpstr (e->last_visit, ==, "2022-09-09");
  g_assert_cmpint (e->visit, ==, SL_SHELF_VISIT_OPEN);
  /* what was read, 1.6 + 0.8 and 2.1 + 0.8, relief 0.18: three readings for three unknowns come back as they are */
  g_assert_cmpfloat_with_epsilon (e->action_treble, 2.4, 1e-6);
  g_assert_cmpfloat_with_epsilon (e->action_bass, 2.9, 1e-6);
  g_assert_cmpfloat_with_epsilon (e->relief, 0.18, 0.02);
}

static void
test_work_done (Fixture *f, gconstpointer data)
{
  /* a base cut of 1 mm on both sides since the last readings: the action at 12 falls by x_12/x_s of it, about half
   * (model 5) */
  g_autoptr (SlProfile) profile = maker_profile (8);
  SlOperation cut = sl_operation_init (SL_OP_CUT_SADDLE_BASE), planned = sl_operation_init (SL_OP_CUT_SADDLE_BASE);

  cut.amount = cut.amount_treble = sl_number (1);
  cut.done = g_strdup ("2022-09-10T09:00:00Z");
  planned.amount = planned.amount_treble = sl_number (2); /* not done: no part of how it is now */
  SlVisit *visit = sl_profile_last_visit (profile);
  g_array_append_val (visit->plan, cut);
  g_array_append_val (visit->plan, planned);
  visit->plan_given = TRUE;
  g_autofree char *path = maker_write (f->folder, "a.sidelong", profile);
  g_autoptr (GPtrArray) entries = list (f);
  const SlShelfEntry *e = g_ptr_array_index (entries, 0);
  g_assert_cmpfloat_with_epsilon (e->action_treble, 2.4 - 0.5, 0.01);
}

/* A visit's second readings weigh against the first, carried through the work between: the surer the shop is of that
 * work, the more the first count. A shelf read for one shop, and its index, are not another's. */
static void
test_shop (Fixture *f, gconstpointer data)
{
  g_autoptr (SlProfile) profile = maker_profile (8);
  SlVisit *visit = sl_profile_last_visit (profile);
  SlReadingSet again = sl_reading_set_init ();
  SlReading action = sl_reading_init (SL_READ_ACTION);
  SlOperation cut = sl_operation_init (SL_OP_CUT_SADDLE_BASE);
  const SlShop usual = SL_SHOP_DEFAULT;
  SlShop sure = SL_SHOP_DEFAULT;
  double actions[4];

  cut.amount = cut.amount_treble = sl_number (0.4);
  cut.done = g_strdup ("2022-09-10T09:00:00Z");
  g_array_append_val (visit->plan, cut);
  visit->plan_given = TRUE;
  again.id = g_strdup ("again");
  again.stage = SL_STAGE_DURING;
  again.taken = g_strdup ("2022-09-11T10:00:00Z");
  action.string = 1;
  action.fret = 12;
  action.value = sl_number (2.4 - 0.2 - 0.05); /* a little lower than predicted */
  sl_reading_set_put (&again, action);
  g_array_append_vals (again.tools, &(SlTool){ SL_TOOL_ACTION, sl_number (0.2), sl_number (0.1) },
                       1); /* another than before: what one tool read twice is taken from its last */
  g_array_append_val (visit->sets, again);
  g_autofree char *path = maker_write (f->folder, "a.sidelong", profile);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  /* long enough ago for the index to remember it */
  g_assert_true (g_file_set_attribute_uint64 (file, G_FILE_ATTRIBUTE_TIME_MODIFIED,
                                              (guint64) (g_get_real_time () / G_USEC_PER_SEC - 60),
                                              G_FILE_QUERY_INFO_NONE, NULL, NULL));

  sure.work.base_mm = 0;
  for (int i = 0; i < 4; i++)
    {
      g_autoptr (GPtrArray) entries =
          sl_shelf_read (f->file, f->index_file, i % 2 == 0 ? &usual : &sure, NULL, NULL, NULL, NULL);

      actions[i] = ((const SlShelfEntry *) g_ptr_array_index (entries, 0))->action_treble;
    }
  g_assert_cmpfloat (actions[1], >, actions[0] + 1e-4);
  g_assert_cmpfloat_with_epsilon (actions[2], actions[0], 1e-12);
  g_assert_cmpfloat_with_epsilon (actions[3], actions[1], 1e-12);
}

static void
test_nothing_read (Fixture *f, gconstpointer data)
{
  g_autoptr (SlProfile) profile = maker_profile (1);

  g_array_set_size (profile->visits, 0);
  g_autofree char *path = maker_write (f->folder, "a.sidelong", profile);
  g_autoptr (GPtrArray) entries = list (f);
  const SlShelfEntry *e = g_ptr_array_index (entries, 0);
  /* what would be assumed is no figure of this instrument */
  g_assert_true (isnan (e->action_treble) && isnan (e->action_bass) && isnan (e->relief));
  g_assert_cmpint (e->visit, ==, SL_SHELF_NO_VISIT);
  g_assert_cmpstr (e->last_visit, ==, "");
}

typedef struct
{
  const char *name, *text;
} NamedText;

static void
write_all (Fixture *f, const NamedText *files)
{
  for (; files->name != NULL; files++)
    g_free (maker_write_text (f->folder, files->name, files->text));
}

static void
test_broken (Fixture *f, gconstpointer data)
{
  g_autoptr (SlProfile) profile = maker_profile (3);
  g_autofree char *text = test_print (profile);
  g_autofree char *newer = test_replace (text, "urn:sidelong:profile:1", "urn:sidelong:profile:2");
  g_autofree char *other = test_replace (text, "urn:sidelong:profile:1", "urn:sidelong:profile:x");
  g_autofree char *cut = g_strndup (text, strlen (text) / 2);
  write_all (f, (const NamedText[]){ { "whole.sidelong", text },
                                     { "newer.sidelong", newer },
                                     { "other.sidelong", other },
                                     { "cut.sidelong", cut },
                                     { "empty.sidelong", "" },
                                     { "no-profile.txt", "left out" },
                                     { NULL } });
  g_autofree char *folder = g_build_filename (f->folder, "folder.sidelong", NULL);
  g_autofree char *newer_path = g_build_filename (f->folder, "newer.sidelong", NULL);

  g_assert_cmpint (g_mkdir (folder, 0700), ==, 0);
  g_autoptr (GPtrArray) entries = list (f);
  g_assert_cmpuint (entries->len, ==, 6);
  g_assert_null (find (entries, "whole.sidelong")->fault);
  g_assert_nonnull (strstr (find (entries, "newer.sidelong")->fault, "made by a newer Sidelong"));
  g_assert_nonnull (strstr (find (entries, "newer.sidelong")->fault, "urn:sidelong:profile:2"));
  g_assert_nonnull (strstr (find (entries, "other.sidelong")->fault, "is not known"));
  g_assert_nonnull (find (entries, "cut.sidelong")->fault);
  g_assert_nonnull (find (entries, "empty.sidelong")->fault);
  g_assert_nonnull (strstr (find (entries, "folder.sidelong")->fault, "it is a folder"));
  /* and found by name, each with texts that are safe to show */
  g_auto (GStrv) words = sl_shelf_words ("NEWER sidelong");
  g_assert_true (sl_shelf_entry_matches (find (entries, "newer.sidelong"), words));
  for (guint i = 0; i < entries->len; i++)
    g_assert_nonnull (((SlShelfEntry *) g_ptr_array_index (entries, i))->label);
  /* nothing was touched */
  g_autofree char *after = NULL;
  g_assert_true (g_file_get_contents (newer_path, &after, NULL, NULL));
  g_assert_cmpstr (after, ==, newer);
  test_folder_free (g_steal_pointer (&folder));
}

static void
test_permission (Fixture *f, gconstpointer data)
{
  g_autoptr (SlProfile) profile = maker_profile (3);
  g_autofree char *path = maker_write (f->folder, "a.sidelong", profile);
  g_autoptr (GError) error = NULL;

  if (geteuid () == 0)
    {
      g_test_skip ("permissions don't hold for the superuser");
      return;
    }
  g_assert_cmpint (g_chmod (path, 0), ==, 0);
  g_autoptr (GPtrArray) entries = list (f);
  g_assert_nonnull (((SlShelfEntry *) g_ptr_array_index (entries, 0))->fault);
  g_assert_cmpint (g_chmod (path, 0600), ==, 0); /* mends without a change of the file: seen all the same */
  g_autoptr (GPtrArray) again = list (f);
  g_assert_null (((SlShelfEntry *) g_ptr_array_index (again, 0))->fault);
  g_assert_cmpint (g_chmod (f->folder, 0), ==, 0);
  g_assert_null (sl_shelf_read (f->file, f->index_file, &SL_SHOP_DEFAULT, NULL, NULL, NULL, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_PERMISSION_DENIED);
  g_assert_cmpint (g_chmod (f->folder, 0700), ==, 0);
}

static void
test_no_folder (Fixture *f, gconstpointer data)
{
  g_autoptr (GFile) none = g_file_get_child (f->file, "not-there");
  g_autoptr (GError) error = NULL;

  g_assert_null (sl_shelf_read (none, f->index_file, &SL_SHOP_DEFAULT, NULL, NULL, NULL, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_NOT_FOUND);
}

static void
test_twins (Fixture *f, gconstpointer data)
{
  g_autoptr (SlProfile) one = maker_profile (1), two = maker_profile (2);
  g_autofree char *a = test_print (one), *b = test_print (two);

  write_all (f, (const NamedText[]){ { "a.sidelong", a },
                                     { "b.sidelong", b },
                                     { "copy of a.sidelong", a },
                                     { "x.sidelong", "?" },
                                     { "y.sidelong", "?" },
                                     { NULL } });
  g_autoptr (GPtrArray) entries = list (f);
  g_autoptr (GHashTable) twins = sl_shelf_twins (entries);

  g_assert_cmpuint (entries->len, ==, 5);
  g_assert_cmpuint (g_hash_table_size (twins), ==, 2);
  g_assert_cmpstr (g_hash_table_lookup (twins, find (entries, "a.sidelong")), ==, "copy of a.sidelong");
  g_assert_cmpstr (g_hash_table_lookup (twins, find (entries, "copy of a.sidelong")), ==, "a.sidelong");
}

static void
test_search (Fixture *f, gconstpointer data)
{
  g_autoptr (SlProfile) profile = maker_profile (5);
  static const struct
  {
    const char *typed;
    gboolean found;
  } rows[] = { { "", TRUE },
               { "kelp", TRUE },
               { "KELP", TRUE },
               { "kel", TRUE },
               { "no. 5 kelp", TRUE },
               { "kelp lantern", FALSE },
               { "berth 5", TRUE },
               { "K00005", TRUE },
               { "fret 6", TRUE },
               { "åse", TRUE },
               { "ÅSE", TRUE },
               { "A\u030aSE", TRUE },
               { "  kelp   5 ", TRUE },
               { "zzz", FALSE },
               { "a-name", TRUE },
               { "straße", TRUE },
               { "STRASSE", TRUE },
               { ".sidelong", FALSE } };

  g_free (profile->identity.note);
  profile->identity.note = g_strdup ("lent by Åse, Hafenstraße");
  g_autofree char *path = maker_write (f->folder, "a-name.sidelong", profile);
  g_autoptr (GPtrArray) entries = list (f);
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_auto (GStrv) words = sl_shelf_words (rows[i].typed);

      g_test_message ("%s", rows[i].typed);
      g_assert_cmpint (sl_shelf_entry_matches (g_ptr_array_index (entries, 0), words), ==, rows[i].found);
    }
}

/* ---- the index ---- */

static void
test_index (Fixture *f, gconstpointer data)
{
  maker_fill (f->folder, 120);
  g_autoptr (GPtrArray) first = list (f);
  g_autoptr (GFile) index = sl_shelf_index_file (f->file, f->index_file);
  g_autofree char *index_path = g_file_get_path (index);

  g_assert_cmpuint (first->len, ==, 120);
  g_assert_true (g_file_test (index_path, G_FILE_TEST_IS_REGULAR));
  g_autoptr (GPtrArray) second = list (f);
  g_assert_cmpuint (second->len, ==, 120);
  for (guint i = 0; i < first->len; i++)
    {
      const SlShelfEntry *a = g_ptr_array_index (first, i), *b = g_ptr_array_index (second, i);

      assert_same (a, b);
      g_assert_cmpint (a->read_us, ==, b->read_us); /* remembered, not read again */
    }
  /* deleted: nothing is lost */
  g_assert_cmpint (g_remove (index_path), ==, 0);
  g_autoptr (GPtrArray) third = list (f);
  g_assert_cmpuint (third->len, ==, 120);
  for (guint i = 0; i < first->len; i++)
    assert_same (g_ptr_array_index (first, i), g_ptr_array_index (third, i));
  g_assert_true (g_file_test (index_path, G_FILE_TEST_IS_REGULAR));
}

static void
test_index_damaged (Fixture *f, gconstpointer data)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (20260302);
  g_autoptr (GFile) index = sl_shelf_index_file (f->file, f->index_file);
  g_autofree char *path = g_file_get_path (index), *whole = NULL;
  gsize length;

  maker_fill (f->folder, 12);
  g_autoptr (GPtrArray) first = list (f);
  g_assert_true (g_file_get_contents (path, &whole, &length, NULL));
  for (int run = 0; run < test_rounds (60); run++)
    {
      g_autofree char *damaged = g_memdup2 (whole, length);
      gsize kept = length;

      if (run % 3 == 0)
        kept = (gsize) g_rand_int_range (rand, 0, (gint32) length);
      else
        for (int k = 0; k < 1 + run % 5; k++)
          damaged[g_rand_int_range (rand, 0, (gint32) length)] ^= (char) (1 << g_rand_int_range (rand, 0, 8));
      g_assert_true (g_file_set_contents_full (path, damaged, (gssize) kept, G_FILE_SET_CONTENTS_NONE, 0600, NULL));
      g_autoptr (GPtrArray) again = list (f);
      g_assert_cmpuint (again->len, ==, first->len);
      for (guint i = 0; i < first->len; i++)
        assert_same (g_ptr_array_index (first, i), g_ptr_array_index (again, i));
    }
}

static void
test_index_unwritable (Fixture *f, gconstpointer data)
{
  /* the index folder's name is taken by a file: the shelf is read all the same */
  g_autofree char *taken = g_build_filename (f->index, "taken", NULL);
  g_autoptr (GFile) not_a_folder = g_file_new_for_path (taken);

  maker_fill (f->folder, 5);
  g_assert_true (g_file_set_contents (taken, "x", 1, NULL));
  g_autoptr (GPtrArray) entries = sl_shelf_read (f->file, not_a_folder, &SL_SHOP_DEFAULT, NULL, NULL, NULL, NULL);
  g_assert_cmpuint (entries->len, ==, 5);
}

static void
test_just_written (Fixture *f, gconstpointer data)
{
  /* a file written within the clock tick it was read in is read again: its time would not tell a second change */
  g_autoptr (SlProfile) profile = maker_profile (4);
  g_autoptr (GFile) file = g_file_get_child (f->file, "a.sidelong");

  g_assert_true (sl_document_save (file, profile, NULL, FALSE, NULL, NULL));
  g_autoptr (GPtrArray) first = list (f);
  g_autoptr (GPtrArray) second = list (f);
  g_assert_cmpint (((SlShelfEntry *) g_ptr_array_index (first, 0))->read_us, !=,
                   ((SlShelfEntry *) g_ptr_array_index (second, 0))->read_us);
}

/* ---- while the shelf is open ---- */

static void
test_changes (Fixture *f, gconstpointer data)
{
  g_autoptr (SlProfile) changed = maker_profile (2);

  maker_fill (f->folder, 6);
  g_autoptr (GPtrArray) before = list (f);
  g_autofree char *zero = g_build_filename (f->folder, "instrument-00000.sidelong", NULL),
                  *one = g_build_filename (f->folder, "instrument-00001.sidelong", NULL);
  g_autofree char *moved = g_build_filename (f->folder, "moved.sidelong", NULL);

  /* deleted, renamed, replaced by another profile, damaged in place with size and date kept up, and one that is new */
  g_assert_cmpint (g_remove (zero), ==, 0);
  g_assert_cmpint (g_rename (one, moved), ==, 0);
  g_free (changed->identity.label);
  changed->identity.label = g_strdup ("Another one");
  g_autofree char *two = maker_write (f->folder, "instrument-00002.sidelong", changed);
  g_autofree char *three = maker_write_text (f->folder, "instrument-00003.sidelong", "<profile");
  g_autoptr (SlProfile) added = maker_profile (77);
  g_autofree char *new_one = maker_write (f->folder, "new.sidelong", added);
  g_autoptr (GPtrArray) after = list (f);

  g_assert_cmpuint (after->len, ==, 6);
  g_assert_null (find (after, "instrument-00000.sidelong"));
  g_assert_null (find (after, "instrument-00001.sidelong"));
  g_assert_cmpstr (find (after, "moved.sidelong")->label, ==, find (before, "instrument-00001.sidelong")->label);
  g_assert_cmpstr (find (after, "instrument-00002.sidelong")->label, ==, "Another one");
  g_assert_nonnull (find (after, "instrument-00003.sidelong")->fault);
  g_assert_nonnull (find (after, "new.sidelong"));

  /* what was taken from the shelf before stays whole while it is held */
  g_assert_cmpstr (find (before, "instrument-00000.sidelong")->label, ==, "Gullwing no. 0");
}

static void
test_same_size_and_date (Fixture *f, gconstpointer data)
{
  /* replaced by a rename, as saving does: another file of the same size and date is told all the same */
  g_autoptr (SlProfile) profile = maker_profile (101);
  g_autofree char *path = maker_write (f->folder, "a.sidelong", profile);
  g_autoptr (GPtrArray) before = list (f);
  g_autoptr (SlProfile) other_profile = sl_profile_copy (profile);
  GStatBuf old, new;

  /* another number of the same length */
  other_profile->identity.serial[0] = 'Q';
  g_autofree char *other = maker_write (f->index, "other", other_profile);
  g_autoptr (GFile) file = g_file_new_for_path (other);
  g_assert_cmpint (g_stat (path, &old), ==, 0);
  g_assert_true (g_file_set_attribute_uint64 (file, G_FILE_ATTRIBUTE_TIME_MODIFIED, (guint64) old.st_mtime,
                                              G_FILE_QUERY_INFO_NONE, NULL, NULL));
  g_assert_cmpint (g_stat (other, &new), ==, 0);
  g_assert_cmpint (old.st_size, ==, new.st_size);
  g_assert_cmpint (old.st_mtime, ==, new.st_mtime);
  g_assert_cmpint (g_rename (other, path), ==, 0);
  g_autoptr (GPtrArray) after = list (f);
  g_assert_cmpstr (((SlShelfEntry *) g_ptr_array_index (before, 0))->search, !=,
                   ((SlShelfEntry *) g_ptr_array_index (after, 0))->search);
}

static void
test_one_entry (Fixture *f, gconstpointer data)
{
  g_autoptr (SlProfile) profile = maker_profile (4);
  g_autofree char *path = maker_write (f->folder, "a.sidelong", profile);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (SlShelfEntry) entry = sl_shelf_entry_read (file, &SL_SHOP_DEFAULT, NULL);
  g_autoptr (GPtrArray) entries = list (f);

  assert_same (entry, g_ptr_array_index (entries, 0));
  g_assert_cmpint (g_remove (path), ==, 0);
  g_assert_null (sl_shelf_entry_read (file, &SL_SHOP_DEFAULT, NULL));
}

/* ---- work on files ---- */

static char *
contents (GFile *file)
{
  char *text = NULL;
  g_autoptr (GError) error = NULL;

  g_file_load_contents (file, NULL, &text, NULL, NULL, &error);
  g_assert_no_error (error);
  return text;
}

static char *
name_of (GFile *file)
{
  return g_file_get_basename (file);
}

static void
test_stems (Fixture *f, gconstpointer data)
{
  static const char *const rows[][2] = { { "Gullwing no. 4", "Gullwing no. 4" },
                                         { "a/b\\c:d", "a-b-c-d" },
                                         { "..", "-." },
                                         { "  ", "instrument" },
                                         { "", "instrument" },
                                         { "Hafenstraße 3", "Hafenstraße 3" },
                                         { "\x01x", "-x" } };
  g_autofree char *endless = g_strnfill (5000, 'a');
  g_autofree char *cut = sl_shelf_stem (endless);

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autofree char *stem = sl_shelf_stem (rows[i][0]);

      g_assert_cmpstr (stem, ==, rows[i][1]);
    }
  g_assert_cmpuint (strlen (cut), <, 200);
}

static void
test_add_and_duplicate (Fixture *f, gconstpointer data)
{
  g_autoptr (SlProfile) profile = maker_profile (4);
  g_autoptr (GError) error = NULL;
  g_autoptr (GFile) one = sl_shelf_add (f->file, profile, "Pier/4", NULL, &error),
                    two = sl_shelf_add (f->file, profile, "Pier/4", NULL, &error);
  g_assert_no_error (error);
  g_autoptr (GFile) copy = sl_shelf_duplicate (one, NULL, &error);
  g_assert_no_error (error);
  g_autofree char *first = name_of (one), *second = name_of (two), *third = name_of (copy);

  g_assert_cmpstr (first, ==, "Pier-4.sidelong");
  g_assert_cmpstr (second, ==, "Pier-4 2.sidelong");
  g_assert_cmpstr (third, ==, "Pier-4 3.sidelong");
  g_autoptr (SlProfile) copied = sl_document_read (copy, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (copied->id, !=, profile->id);
  g_assert_cmpstr (copied->identity.label, ==, "Tiller no. 4 (copy)");
  g_assert_cmpuint (copied->visits->len, ==, profile->visits->len);
  g_autoptr (GFile) broken = g_file_get_child (f->file, "broken.sidelong");
  g_autofree char *path = maker_write_text (f->folder, "broken.sidelong", "<x");
  g_assert_null (sl_shelf_duplicate (broken, NULL, &error));
  g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_FAULT);
}

static void
test_rename (Fixture *f, gconstpointer data)
{
  g_autoptr (SlProfile) profile = maker_profile (4);
  g_autoptr (GError) error = NULL;
  g_autoptr (GFile) one = sl_shelf_add (f->file, profile, "one", NULL, NULL),
                    two = sl_shelf_add (f->file, profile, "two", NULL, NULL);
  g_autofree char *before = contents (one), *before_two = contents (two);

  /* another's name: nothing happens to either */
  g_assert_null (sl_shelf_rename (one, "New label", "two", NULL, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_EXISTS);
  g_clear_error (&error);
  g_autofree char *same = contents (one), *same_two = contents (two);
  g_assert_cmpstr (same, ==, before);
  g_assert_cmpstr (same_two, ==, before_two);

  g_autoptr (GFile) three = sl_shelf_rename (one, "New label", "three", NULL, &error);
  g_assert_no_error (error);
  g_assert_false (g_file_query_exists (one, NULL));
  g_autoptr (SlProfile) renamed = sl_document_read (three, NULL, NULL, NULL, NULL);
  g_assert_cmpstr (renamed->identity.label, ==, "New label");
  g_assert_cmpstr (renamed->id, ==, profile->id);

  /* a broken file takes another name, but no label; refused, it keeps its name */
  g_autofree char *path = maker_write_text (f->folder, "broken.sidelong", "<x");
  g_autoptr (GFile) broken = g_file_new_for_path (path);
  g_assert_null (sl_shelf_rename (broken, "Label", "mended", NULL, &error));
  g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_FAULT);
  g_assert_true (g_file_query_exists (broken, NULL));
  g_clear_error (&error);
  g_autoptr (GFile) aside = sl_shelf_rename (broken, NULL, "aside", NULL, &error);
  g_assert_no_error (error);
  g_autofree char *kept = contents (aside);
  g_assert_cmpstr (kept, ==, "<x");
}

static void
test_restore (Fixture *f, gconstpointer data)
{
  g_autofree char *path = maker_write_text (f->folder, "a.sidelong", "<whatever was in it"), *pictures = NULL;
  g_autoptr (GFile) file = g_file_new_for_path (path), folder = sl_document_photos (file);
  g_autofree char *picture = g_build_filename (g_file_peek_path (folder), "nut.jpg", NULL);
  g_autoptr (GBytes) kept = NULL;
  g_autoptr (GError) error = NULL;
  gboolean trashed;

  g_mkdir_with_parents (g_file_peek_path (folder), 0755);
  g_assert_true (g_file_set_contents (picture, "nut", -1, NULL));
  g_mkdir_with_parents (g_get_home_dir (), 0700); /* of this test: GIO asks which disk it lies on */
  trashed = sl_shelf_trash (file, &kept, &pictures, NULL, &error);
  if (!trashed)
    {
      /* where there is no trash, both stay */
      g_assert_error (error, G_IO_ERROR, G_IO_ERROR_NOT_SUPPORTED);
      g_assert_true (g_file_query_exists (file, NULL));
      g_assert_true (g_file_test (picture, G_FILE_TEST_EXISTS));
      g_clear_error (&error);
      kept = g_bytes_new_static ("<whatever was in it", strlen ("<whatever was in it"));
      g_assert_true (g_file_delete (file, NULL, NULL));
    }
  g_assert_false (g_file_query_exists (file, NULL));
  g_assert_cmpint (trashed, ==, !g_file_test (picture, G_FILE_TEST_EXISTS));
  g_assert_cmpint (trashed, ==, pictures != NULL);
  g_assert_nonnull (kept);
  if (trashed) /* meanwhile something else took a name: neither comes, and both can come later */
    {
      g_autofree char *mine = maker_write_text (f->folder, "a.sidelong", "another");

      g_assert_false (sl_shelf_restore (file, kept, pictures, NULL, &error));
      g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_CHANGED);
      g_assert_false (g_file_query_exists (folder, NULL));
      g_clear_error (&error);
      g_assert_cmpint (g_unlink (mine), ==, 0);
      g_mkdir_with_parents (g_file_peek_path (folder), 0755);
      g_assert_false (sl_shelf_restore (file, kept, pictures, NULL, &error));
      g_assert_error (error, G_IO_ERROR, G_IO_ERROR_EXISTS);
      g_assert_false (g_file_query_exists (file, NULL));
      g_clear_error (&error);
      g_assert_true (g_file_delete (folder, NULL, NULL));
    }
  g_assert_true (sl_shelf_restore (file, kept, pictures, NULL, &error));
  g_assert_no_error (error);
  g_autofree char *back = contents (file);
  g_assert_cmpstr (back, ==, "<whatever was in it");
  g_assert_true (g_file_test (picture, G_FILE_TEST_EXISTS));
  /* the name is taken: left alone */
  g_autoptr (GBytes) other = g_bytes_new_static ("other", 5);
  g_assert_false (sl_shelf_restore (file, other, NULL, NULL, &error));
  g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_CHANGED);
  g_autofree char *still = contents (file);
  g_assert_cmpstr (still, ==, "<whatever was in it");
  /* out of an emptied trash the profile comes alone */
  g_clear_error (&error);
  g_assert_true (g_file_delete (file, NULL, NULL));
  g_assert_true (sl_shelf_restore (file, kept, "l1:1", NULL, &error));
  g_assert_no_error (error);
}

/* The folder of photographs goes with a name, and a name is taken where there is such a folder. */
static void
test_rename_photos (Fixture *f, gconstpointer data)
{
  g_autoptr (SlProfile) profile = maker_profile (4);
  g_autoptr (GFile) one = sl_shelf_add (f->file, profile, "one", NULL, NULL), photos = sl_document_photos (one),
                    orphan = g_file_get_child (f->file, "two.photos"), moved = NULL, now = NULL, added = NULL;
  g_autofree char *picture = g_build_filename (g_file_peek_path (photos), "nut.jpg", NULL), *label = NULL;
  g_autoptr (GError) error = NULL;

  g_mkdir_with_parents (g_file_peek_path (photos), 0755);
  g_mkdir_with_parents (g_file_peek_path (orphan), 0755);
  g_assert_true (g_file_set_contents (picture, "nut", -1, NULL));
  g_assert_null (sl_shelf_rename (one, "New label", "two", NULL, &error));
  g_assert_error (error, G_IO_ERROR, G_IO_ERROR_EXISTS);
  g_clear_error (&error);
  /* both come back where the label can't be given */
  label = g_strnfill (100000, 'x');
  g_assert_null (sl_shelf_rename (one, label, "three", NULL, &error));
  g_assert_nonnull (error);
  g_clear_error (&error);
  g_assert_true (g_file_query_exists (one, NULL));
  g_assert_true (g_file_test (picture, G_FILE_TEST_EXISTS));
  moved = sl_shelf_rename (one, "New label", "three", NULL, &error);
  g_assert_no_error (error);
  now = g_file_get_child (f->file, "three.photos");
  g_assert_true (g_file_query_exists (now, NULL));
  g_assert_false (g_file_query_exists (photos, NULL));
  g_assert_true (g_file_query_exists (orphan, NULL));
  added = sl_shelf_add (f->file, profile, "two", NULL, NULL);
  g_autofree char *name = g_file_get_basename (added);
  g_assert_cmpstr (name, ==, "two 2.sidelong");
}

/* What can't be written whole leaves no part, which would block the next try. */
static void
test_restore_without_room (Fixture *f, gconstpointer data)
{
  g_autofree char *path = g_build_filename (f->folder, "b.sidelong", NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GBytes) kept = g_bytes_new_take (g_malloc0 (4 * SMALL_FILE), 4 * SMALL_FILE);
  g_autoptr (GError) error = NULL;
  struct rlimit whole, small;

  g_assert_cmpint (getrlimit (RLIMIT_FSIZE, &whole), ==, 0);
  small = (struct rlimit){ .rlim_cur = SMALL_FILE, .rlim_max = whole.rlim_max };
  signal (SIGXFSZ, SIG_IGN);
  g_assert_cmpint (setrlimit (RLIMIT_FSIZE, &small), ==, 0);
  g_assert_false (sl_shelf_restore (file, kept, NULL, NULL, &error));
  g_assert_cmpint (setrlimit (RLIMIT_FSIZE, &whole), ==, 0);
  g_assert_nonnull (error);
  g_assert_false (g_file_query_exists (file, NULL));
  g_clear_error (&error);
  g_assert_true (sl_shelf_restore (file, kept, NULL, NULL, &error));
  g_assert_no_error (error);
}

/* ---- in the background ---- */

typedef struct
{
  GMainLoop *loop;
  GPtrArray *entries;
  GError *error;
  GCancellable *cancellable;
  guint told, last_done, stop_at;
} Watch;

static void
on_lot (const GPtrArray *lot, guint done, guint total, gpointer data)
{
  Watch *watch = data;

  g_assert_cmpuint (done, <=, total);
  g_assert_cmpuint (done, >=, watch->last_done);
  watch->last_done = done;
  watch->told += lot->len;
  if (watch->stop_at > 0 && watch->told >= watch->stop_at)
    g_cancellable_cancel (watch->cancellable);
}

static void
on_done (GObject *source, GAsyncResult *result, gpointer data)
{
  Watch *watch = data;

  watch->entries = sl_shelf_read_finish (result, &watch->error);
  g_main_loop_quit (watch->loop);
}

static void
watch_reading (Fixture *f, Watch *watch)
{
  watch->loop = g_main_loop_new (NULL, FALSE);
  watch->cancellable = g_cancellable_new ();
  sl_shelf_read_async (f->file, f->index_file, &SL_SHOP_DEFAULT, on_lot, watch, watch->cancellable, on_done, watch);
  g_main_loop_run (watch->loop);
  g_clear_object (&watch->cancellable);
  g_clear_pointer (&watch->loop, g_main_loop_unref);
}

static void
test_background (Fixture *f, gconstpointer data)
{
  Watch watch = { NULL };

  maker_fill (f->folder, 700);
  watch_reading (f, &watch);
  g_assert_no_error (watch.error);
  g_assert_cmpuint (watch.entries->len, ==, 700);
  g_assert_cmpuint (watch.told, ==, 700); /* every entry once */
  g_assert_cmpuint (watch.last_done, ==, 700);
  g_ptr_array_unref (watch.entries);
}

static void
test_stop (Fixture *f, gconstpointer data)
{
  Watch watch = { .stop_at = 1 };

  maker_fill (f->folder, 3000);
  watch_reading (f, &watch);
  g_assert_error (watch.error, G_IO_ERROR, G_IO_ERROR_CANCELLED);
  g_assert_null (watch.entries);
  g_assert_cmpuint (watch.told, >, 0);
  g_clear_error (&watch.error);
  /* what was read by then is remembered, the rest is read now */
  g_autoptr (GPtrArray) entries = list (f);
  g_assert_cmpuint (entries->len, ==, 3000);
}

static void
stop_at_once (const GPtrArray *lot, guint done, guint total, gpointer cancellable)
{
  g_cancellable_cancel (cancellable);
}

/* Of a reading that was stopped, nothing is lost that was remembered before. */
static void
test_stop_keeps_index (Fixture *f, gconstpointer data)
{
  g_autoptr (GCancellable) stopped = g_cancellable_new ();

  maker_fill (f->folder, 50);
  g_autoptr (GPtrArray) first = list (f);
  g_autofree char *added = maker_write_text (f->folder, "new.sidelong", "<profile");
  g_assert_null (sl_shelf_read (f->file, f->index_file, &SL_SHOP_DEFAULT, stop_at_once, stopped, stopped, NULL));
  g_assert_cmpint (g_remove (added), ==, 0);
  g_autoptr (GPtrArray) again = list (f);
  for (guint i = 0; i < first->len; i++)
    g_assert_cmpint (((SlShelfEntry *) first->pdata[i])->read_us, ==, ((SlShelfEntry *) again->pdata[i])->read_us);
}

/* On a share that takes its time, several files are asked for at once: when they are read first, and when the index is
 * held against them. */
static void
test_slow_share (Fixture *f, gconstpointer data)
{
  static const guint together = 8;
  g_autoptr (GFile) share = test_remote_file_new (f->file);

  maker_fill (f->folder, 40);
  for (int mount = 0; mount < 2; mount++)
    {
      test_remote_file_slow (mount, together, 0);
      g_autoptr (GPtrArray) entries = sl_shelf_read (share, NULL, &SL_SHOP_DEFAULT, NULL, NULL, NULL, NULL);
      g_assert_cmpuint (entries->len, ==, 40);
      g_assert_cmpuint (test_remote_file_slow (FALSE, 0, 0), >=, together);
    }
  g_ptr_array_unref (sl_shelf_read (share, f->index_file, &SL_SHOP_DEFAULT, NULL, NULL, NULL, NULL));
  test_remote_file_slow (TRUE, together, 0);
  g_autoptr (GPtrArray) remembered = sl_shelf_read (share, f->index_file, &SL_SHOP_DEFAULT, NULL, NULL, NULL, NULL);
  g_assert_cmpuint (remembered->len, ==, 40);
  g_assert_cmpuint (test_remote_file_slow (FALSE, 0, 0), >=, together);
}

/* A profile is one by its ending, however that is written; and the ending is no part of its name. */
static void
test_endings (Fixture *f, gconstpointer data)
{
  static const char *const names[] = { "Mr. Smith, no. 5.sidelong", "b.SIDELONG", "c.Sidelong", ".sidelong",
                                       "d.sidelong.bak" };
  g_autoptr (SlProfile) profile = maker_profile (3);
  g_autofree char *shown = sl_shelf_display_name (names[0]), *loud = sl_shelf_display_name (names[1]);

  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    g_free (maker_write (f->folder, names[i], profile));
  g_autoptr (GPtrArray) entries = list (f);
  g_assert_cmpuint (entries->len, ==, 3);
  g_assert_nonnull (find (entries, "b.SIDELONG"));
  g_assert_cmpstr (shown, ==, "Mr. Smith, no. 5");
  g_assert_cmpstr (loud, ==, "b");
}

/* ---- two people ---- */

static void
test_two_processes (Fixture *f, gconstpointer data)
{
  /* two processes, each of which read the same profile, both save: one is told, and neither version is lost */
  g_autoptr (GFile) file = g_file_get_child (f->file, "a.sidelong");
  g_autoptr (SlProfile) profile = maker_profile (4);
  g_autofree char *none = NULL;

  g_assert_true (sl_document_save (file, profile, &none, FALSE, NULL, NULL));
  g_autofree char *folder = g_strdup (f->folder);
  int saved = 0, told = 0;
  GSubprocess *children[2] = { NULL, NULL };
  g_autofree char *self = g_file_read_link ("/proc/self/exe", NULL);
  g_autofree char *go = g_build_filename (f->index, "go", NULL);

  for (int i = 0; i < 2; i++)
    {
      g_autofree char *label = g_strdup_printf ("saved by %d", i);
      g_autofree char *path = g_file_get_path (file);
      g_autoptr (GError) error = NULL;

      children[i] = g_subprocess_new (G_SUBPROCESS_FLAGS_NONE, &error, self, "--save-as-child", path, label, go, NULL);
      g_assert_no_error (error);
    }
  /* both wait for this file once they have read theirs */
  for (int i = 0; i < 2; i++)
    {
      g_autofree char *ready = g_strdup_printf ("%s.saved by %d", go, i);

      for (int tries = 0; tries < 3000 && !g_file_test (ready, G_FILE_TEST_EXISTS); tries++)
        g_usleep (10000);
      g_assert_true (g_file_test (ready, G_FILE_TEST_EXISTS));
    }
  g_assert_true (g_file_set_contents (go, "", 0, NULL));
  for (int i = 0; i < 2; i++)
    {
      g_assert_true (g_subprocess_wait (children[i], NULL, NULL));
      g_assert_true (g_subprocess_get_if_exited (children[i]));
      saved += g_subprocess_get_exit_status (children[i]) == 10;
      told += g_subprocess_get_exit_status (children[i]) == 11;
      g_object_unref (children[i]);
    }
  g_assert_cmpint (saved, ==, 1);
  g_assert_cmpint (told, ==, 1);
  g_autoptr (GPtrArray) entries = list (f);
  const SlShelfEntry *entry = find (entries, "a.sidelong");
  g_assert_null (entry->fault);
  g_assert_true (g_str_has_prefix (entry->label, "saved by "));
}

/* The other side of it: 10 saved, 11 told that someone else has saved, anything else is wrong. */
static int
save_as_child (const char *path, const char *label, const char *go)
{
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GError) error = NULL;
  g_autofree char *stamp = NULL;
  g_autoptr (SlProfile) profile = sl_document_read (file, &stamp, NULL, NULL, &error);
  g_autofree char *ready = g_strconcat (go, ".", label, NULL);
  int status = 12;

  if (profile == NULL)
    return 13;
  g_free (profile->identity.label);
  profile->identity.label = g_strdup (label);
  g_file_set_contents (ready, "", 0, NULL);
  for (int tries = 0; tries < 3000 && !g_file_test (go, G_FILE_TEST_EXISTS); tries++)
    g_usleep (1000);
  if (sl_document_save (file, profile, &stamp, FALSE, NULL, &error))
    status = 10;
  else if (g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_CHANGED))
    status = 11;
  return status;
}

int
main (int argc, char **argv)
{
  if (argc == 5 && g_str_equal (argv[1], "--save-as-child"))
    return save_as_child (argv[2], argv[3], argv[4]);
  char *trash = test_folder ();
  int result;

  g_setenv ("XDG_DATA_HOME", trash, TRUE);
  g_test_init (&argc, &argv, NULL);
#define ADD(path, function) g_test_add ("/shelf/" path, Fixture, NULL, set_up, function, tear_down)
  ADD ("contents", test_contents);
  ADD ("strings-age", test_strings_age);
  ADD ("work-done", test_work_done);
  ADD ("shop", test_shop);
  ADD ("nothing-read", test_nothing_read);
  ADD ("broken", test_broken);
  ADD ("permission", test_permission);
  ADD ("no-folder", test_no_folder);
  ADD ("twins", test_twins);
  ADD ("search", test_search);
  ADD ("index", test_index);
  ADD ("index-damaged", test_index_damaged);
  ADD ("index-unwritable", test_index_unwritable);
  ADD ("just-written", test_just_written);
  ADD ("changes", test_changes);
  ADD ("same-size-and-date", test_same_size_and_date);
  ADD ("one-entry", test_one_entry);
  ADD ("stems", test_stems);
  ADD ("add-and-duplicate", test_add_and_duplicate);
  ADD ("rename", test_rename);
  ADD ("rename-photos", test_rename_photos);
  ADD ("restore", test_restore);
  ADD ("restore-without-room", test_restore_without_room);
  ADD ("background", test_background);
  ADD ("stop", test_stop);
  ADD ("stop-keeps-index", test_stop_keeps_index);
  ADD ("slow-share", test_slow_share);
  ADD ("endings", test_endings);
  ADD ("two-processes", test_two_processes);
  result = g_test_run ();
  test_folder_free (trash);
  return result;
}

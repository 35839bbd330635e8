/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shelf as a list that follows its folder, and the baselines on it: files come, change, go, and are copied; the
 * folder is missing, is made, is another. Waits for what is told, never for a time. */
#include <locale.h>
#include <math.h>
#include <string.h>

#include <glib/gstdio.h>

#include "../file/remote-file.h"
#include "../file/support.h"
#include "bench/baseline-watch.h"
#include "bench/profiles.h"
#include "bench/settings.h"
#include "bench/shelf-model.h"

#define LONGEST_WAIT_US (60 * G_USEC_PER_SEC) /* only a fault takes so long */

/* Runs the main loop until @condition holds. */
#define wait_for(condition)                                                                                            \
  G_STMT_START                                                                                                         \
  {                                                                                                                    \
    const gint64 end = g_get_monotonic_time () + LONGEST_WAIT_US;                                                      \
    while (!(condition))                                                                                               \
      {                                                                                                                \
        g_assert_cmpint (g_get_monotonic_time (), <, end);                                                             \
        if (!g_main_context_iteration (NULL, FALSE))                                                                   \
          g_usleep (500);                                                                                              \
      }                                                                                                                \
  }                                                                                                                    \
  G_STMT_END

static char *own; /* the program's folders lie below it */

static GFile *
new_folder (void)
{
  g_autofree char *path = g_build_filename (own, "shelf-XXXXXX", NULL);

  return g_file_new_for_path (g_mkdtemp (path));
}

static SlProfile *
labelled (const char *label, SlKind kind)
{
  SlProfile *profile = sl_starting_profile ("flat-top");

  g_free (profile->identity.label);
  profile->identity.label = g_strdup (label);
  profile->kind = kind;
  return profile;
}

static GFile *
save (GFile *folder, const char *name, const SlProfile *profile)
{
  GFile *file = g_file_get_child (folder, name);
  g_autoptr (GError) error = NULL;

  sl_document_save (file, profile, NULL, TRUE, NULL, &error);
  g_assert_no_error (error);
  return file;
}

static void
put (GFile *folder, const char *name, const char *label, SlKind kind)
{
  g_autoptr (SlProfile) profile = labelled (label, kind);
  g_autoptr (GFile) file = save (folder, name, profile);
}

static SlShelfModel *
open_shelf (GFile *folder, gboolean make)
{
  SlShelfModel *model = sl_shelf_model_new ();

  g_assert_null (model->folder);
  sl_shelf_model_open (model, folder, make);
  g_assert_true (model->reading);
  return model;
}

/* The item of a file name; borrowed, NULL where there is none. */
static SlShelfItem *
find_item (SlShelfModel *model, const char *name)
{
  GListModel *list = G_LIST_MODEL (model->items);

  for (guint i = 0; i < g_list_model_get_n_items (list); i++)
    {
      g_autoptr (SlShelfItem) item = g_list_model_get_item (list, i);

      if (g_str_equal (item->entry->name, name))
        return item; /* the list keeps it */
    }
  return NULL;
}

static const char *
title_of (SlShelfModel *model, const char *name)
{
  SlShelfItem *item = find_item (model, name);

  return item != NULL ? item->title : NULL;
}

static const char *
note_of (SlShelfModel *model, const char *name)
{
  SlShelfItem *item = find_item (model, name);

  return item != NULL ? item->note : NULL;
}

static guint
size_of (SlShelfModel *model)
{
  return g_list_model_get_n_items (G_LIST_MODEL (model->items));
}

static void
test_read (void)
{
  g_autoptr (GFile) folder = new_folder (), bad = g_file_get_child (folder, "bad.sidelong");
  g_autoptr (SlShelfModel) model = NULL;

  put (folder, "one.sidelong", "Harbour no. 9", SL_KIND_INSTRUMENT);
  put (folder, "two.sidelong", "", SL_KIND_BASELINE);
  g_assert_true (g_file_replace_contents (bad, "<profile/>", 10, NULL, FALSE, 0, NULL, NULL, NULL));
  put (folder, "one.txt", "no profile by its name", SL_KIND_INSTRUMENT);
  model = open_shelf (folder, FALSE);
  wait_for (!model->reading);
  g_assert_true (model->folder == folder);
  g_assert_cmpuint (size_of (model), ==, 3);
  g_assert_cmpuint (model->done, ==, 3);
  g_assert_cmpuint (model->total, ==, 3);
  g_assert_null (model->failure);
  g_assert_false (model->stopped);
  g_assert_cmpstr (title_of (model, "one.sidelong"), ==, "Harbour no. 9");
  g_assert_cmpstr (title_of (model, "two.sidelong"), ==, "two"); /* without a label by its file */
  g_assert_null (note_of (model, "one.sidelong"));
  g_assert_true (g_str_has_prefix (note_of (model, "bad.sidelong"), "Line 1: "));
  g_assert_null (find_item (model, "one.txt"));
}

static void
set_text (char **field, const char *text)
{
  g_free (*field);
  *field = g_strdup (text);
}

/* What a search found is said where a row doesn't show it anyway: by its field, or the words around it. */
static void
test_found (void)
{
  static const struct
  {
    const char *typed, *says; /* NULL: nothing */
  } rows[] = { { "harbour", NULL },
               { "trask", NULL },
               { "", NULL },
               { "nowhere", NULL },
               { "LANE", "Contact: Tide Lane 4" },
               { "ropery", "Maker: Ropery works" },
               { "0815", "Serial number: S-0815" },
               { "1931", "Year: 1931" },
               { "harbour oily", "Visits and notes: …when the oily fog came in and stayed for …" },
               { "quayside", "File: …quayside…" } };
  g_autoptr (GFile) folder = new_folder (), file = NULL;
  g_autoptr (SlProfile) profile = labelled ("Harbour no. 9", SL_KIND_INSTRUMENT);
  g_autoptr (SlShelfModel) model = NULL;
  SlIdentity *identity = &profile->identity;

  set_text (&identity->owner, "Wenna Trask");
  set_text (&identity->contact, "Tide Lane 4");
  set_text (&identity->maker, "Ropery works");
  set_text (&identity->serial, "S-0815");
  set_text (&identity->year, "1931");
  set_text (&identity->note,
            "It rattles when the oily fog came in and stayed for a week or more than that.\nSecond line.");
  file = save (folder, "quayside.sidelong", profile);
  model = open_shelf (folder, FALSE);
  wait_for (!model->reading);
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_auto (GStrv) words = sl_shelf_words (rows[i].typed);
      g_autofree char *says = sl_shelf_item_find (find_item (model, "quayside.sidelong"), words);

      g_assert_cmpstr (says, ==, rows[i].says);
    }
}

/* The folder is followed while it is open: by its monitor, or told of a file. */
static void
test_followed (void)
{
  g_autoptr (GFile) folder = new_folder (), gone = g_file_get_child (folder, "one.sidelong");
  g_autoptr (SlShelfModel) model = NULL;

  put (folder, "one.sidelong", "First", SL_KIND_INSTRUMENT);
  model = open_shelf (folder, FALSE);
  wait_for (!model->reading);
  put (folder, "new.sidelong", "New", SL_KIND_INSTRUMENT);
  wait_for (title_of (model, "new.sidelong") != NULL);
  put (folder, "new.sidelong", "Renamed", SL_KIND_INSTRUMENT);
  wait_for (g_strcmp0 (title_of (model, "new.sidelong"), "Renamed") == 0);
  g_assert_true (g_file_delete (gone, NULL, NULL));
  sl_shelf_model_look_at (model, gone);
  wait_for (find_item (model, "one.sidelong") == NULL);
  g_assert_cmpuint (size_of (model), ==, 1);
}

static const char *
use_of (SlShelfModel *model, const char *name)
{
  SlShelfItem *item = find_item (model, name);

  return item != NULL ? item->in_use : NULL;
}

/* Who has a profile open stands on its row, from the beginning and while the shelf is open; so does who left it. */
static void
test_in_use (void)
{
  g_autoptr (GFile) folder = new_folder (), note = g_file_get_child (folder, ".one.sidelong.open"),
                    other = g_file_get_child (folder, ".two.sidelong.open-2");
  const char *const text = "[open]\nversion=1\nperson=Ada Plank\nmachine=bench-two\n"
                           "since=2026-02-09T10:04:00+01:00\nprocess=b 1 2\nid=7d1c\n";
  g_autoptr (SlShelfModel) model = NULL;

  put (folder, "one.sidelong", "First", SL_KIND_INSTRUMENT);
  put (folder, "two.sidelong", "Second", SL_KIND_INSTRUMENT);
  g_assert_true (g_file_replace_contents (note, text, strlen (text), NULL, FALSE, 0, NULL, NULL, NULL));
  model = open_shelf (folder, FALSE);
  wait_for (use_of (model, "one.sidelong") != NULL);
  g_assert_cmpstr (use_of (model, "one.sidelong"), ==, "open: Ada Plank on bench-two, since 9 Feb 10:04");
  g_assert_null (use_of (model, "two.sidelong"));
  g_assert_true (g_file_replace_contents (other, text, strlen (text), NULL, FALSE, 0, NULL, NULL, NULL));
  wait_for (use_of (model, "two.sidelong") != NULL);
  g_assert_false (find_item (model, "two.sidelong")->left_open);
  g_assert_true (g_file_delete (note, NULL, NULL));
  wait_for (use_of (model, "one.sidelong") == NULL);
  put (folder, "two.sidelong", "Renamed", SL_KIND_INSTRUMENT); /* its row is another, and still says so */
  wait_for (g_strcmp0 (title_of (model, "two.sidelong"), "Renamed") == 0);
  g_assert_nonnull (use_of (model, "two.sidelong"));
  g_file_set_attribute_uint64 (other, G_FILE_ATTRIBUTE_TIME_MODIFIED, 1000000000, 0, NULL, NULL);
  wait_for (find_item (model, "two.sidelong")->left_open);
}

/* A share of which no monitor tells is looked at, and so is what is changed on it. */
static void
test_share (void)
{
  g_autoptr (GFile) folder = new_folder (), share = test_remote_file_new (folder),
                    gone = g_file_get_child (folder, "one.sidelong");
  g_autoptr (SlShelfModel) model = NULL;

  put (folder, "one.sidelong", "First", SL_KIND_INSTRUMENT);
  model = open_shelf (share, FALSE);
  wait_for (!model->reading);
  put (folder, "new.sidelong", "New", SL_KIND_INSTRUMENT);
  wait_for (title_of (model, "new.sidelong") != NULL);
  put (folder, "new.sidelong", "Renamed", SL_KIND_INSTRUMENT);
  wait_for (g_strcmp0 (title_of (model, "new.sidelong"), "Renamed") == 0);
  g_assert_true (g_file_delete (gone, NULL, NULL));
  wait_for (find_item (model, "one.sidelong") == NULL);
  g_assert_false (model->silent);
}

static void
set_true (gboolean *flag)
{
  *flag = TRUE;
}

/* ---- one look overtakes another ---- */

/* The next file that is read for the model is held, once it is read, until this is let go. */
typedef enum
{
  HOLD_NONE,
  HOLD_NEXT,
  HOLD_HELD,
  HOLD_OVER
} Hold;

static int hold_entry_read, hold_entry_load; /* Hold; atomic */

static SlShelfEntry *
held (SlShelfEntry *entry, int *hold)
{
  if (g_atomic_int_compare_and_exchange (hold, HOLD_NEXT, HOLD_HELD))
    {
      while (g_atomic_int_get (hold) == HOLD_HELD)
        g_usleep (500);
      g_atomic_int_set (hold, HOLD_NONE);
    }
  return entry;
}

SlShelfEntry *__real_sl_shelf_entry_read (GFile *file, const SlShop *shop, GCancellable *cancellable);
SlShelfEntry *__wrap_sl_shelf_entry_read (GFile *file, const SlShop *shop, GCancellable *cancellable);
SlShelfEntry *
__wrap_sl_shelf_entry_read (GFile *file, const SlShop *shop, GCancellable *cancellable)
{
  return held (__real_sl_shelf_entry_read (file, shop, cancellable), &hold_entry_read);
}

SlShelfEntry *__real_sl_shelf_entry_load (GFile *file, GFileInfo *info, const SlShop *shop, GCancellable *cancellable);
SlShelfEntry *__wrap_sl_shelf_entry_load (GFile *file, GFileInfo *info, const SlShop *shop, GCancellable *cancellable);
SlShelfEntry *
__wrap_sl_shelf_entry_load (GFile *file, GFileInfo *info, const SlShop *shop, GCancellable *cancellable)
{
  return held (__real_sl_shelf_entry_load (file, info, shop, cancellable), &hold_entry_load);
}

static void
let_go (int *hold)
{
  g_atomic_int_set (hold, HOLD_OVER);
  wait_for (g_atomic_int_get (hold) == HOLD_NONE);
}

static void
note_first (SlShelfModel *model, gboolean *went_back)
{
  *went_back |= g_strcmp0 (title_of (model, "one.sidelong"), "First") == 0;
}

/* What an earlier look brings late is older than what a later one brought. */
static void
test_looks_overtaken (void)
{
  g_autoptr (GFile) folder = new_folder (), file = g_file_get_child (folder, "one.sidelong"),
                    other = g_file_get_child (folder, "two.sidelong");
  g_autoptr (SlShelfModel) model = NULL;
  gboolean went_back = FALSE;

  put (folder, "one.sidelong", "First", SL_KIND_INSTRUMENT);
  model = open_shelf (folder, FALSE);
  wait_for (!model->reading);
  hold_entry_read = HOLD_NEXT;
  sl_shelf_model_look_at (model, file);
  wait_for (g_atomic_int_get (&hold_entry_read) == HOLD_HELD);
  put (folder, "one.sidelong", "Second", SL_KIND_INSTRUMENT);
  sl_shelf_model_look_at (model, file);
  wait_for (g_strcmp0 (title_of (model, "one.sidelong"), "Second") == 0);
  g_signal_connect (model, "changed", G_CALLBACK (note_first), &went_back); /* the monitor would make up for it */
  let_go (&hold_entry_read);
  put (folder, "two.sidelong", "Other", SL_KIND_INSTRUMENT);
  sl_shelf_model_look_at (model, other);
  wait_for (title_of (model, "two.sidelong") != NULL);
  g_assert_false (went_back);
  g_signal_handlers_disconnect_by_data (model, &went_back); /* a look under way keeps the model */
}

/* A file that goes while the folder is read doesn't come back with what was read of it. */
static void
test_reading_overtaken (void)
{
  g_autoptr (GFile) folder = new_folder (), file = g_file_get_child (folder, "one.sidelong");
  g_autoptr (SlShelfModel) model = NULL;
  gboolean changed = FALSE;

  put (folder, "one.sidelong", "First", SL_KIND_INSTRUMENT);
  hold_entry_load = HOLD_NEXT;
  model = open_shelf (folder, FALSE);
  wait_for (g_atomic_int_get (&hold_entry_load) == HOLD_HELD);
  g_signal_connect_swapped (model, "changed", G_CALLBACK (set_true), &changed);
  g_assert_true (g_file_delete (file, NULL, NULL));
  sl_shelf_model_look_at (model, file);
  wait_for (changed);
  let_go (&hold_entry_load);
  wait_for (!model->reading);
  g_assert_cmpuint (size_of (model), ==, 0);
  g_signal_handlers_disconnect_by_data (model, &changed);
}

/* A copy made in a file manager has the id of what it was copied from: both say so, until one is gone. */
static void
test_twins (void)
{
  g_autoptr (GFile) folder = new_folder (), copy = NULL;
  g_autoptr (SlProfile) profile = labelled ("Quay", SL_KIND_INSTRUMENT);
  g_autoptr (GFile) first = save (folder, "a.sidelong", profile);
  g_autoptr (SlShelfModel) model = open_shelf (folder, FALSE);

  wait_for (!model->reading);
  g_assert_null (note_of (model, "a.sidelong"));
  copy = save (folder, "b.sidelong", profile);
  sl_shelf_model_look_at (model, copy);
  wait_for (note_of (model, "a.sidelong") != NULL);
  g_assert_cmpstr (note_of (model, "a.sidelong"), ==, "has the same id as “b.sidelong”: one is a copy of the other");
  g_assert_cmpstr (find_item (model, "b.sidelong")->twin, ==, "a.sidelong");
  g_assert_true (g_file_delete (copy, NULL, NULL));
  wait_for (note_of (model, "a.sidelong") == NULL);
  g_assert_null (find_item (model, "b.sidelong"));
}

static void
test_folders (void)
{
  g_autoptr (GFile) folder = new_folder (), missing = g_file_get_child (folder, "missing"), other = new_folder (),
                    last = g_file_get_child (other, "x.sidelong");
  g_autoptr (SlShelfModel) model = open_shelf (missing, FALSE);

  wait_for (!model->reading);
  g_assert_nonnull (model->failure);
  sl_shelf_model_open (model, missing, TRUE);
  g_assert_null (model->failure);
  wait_for (!model->reading);
  g_assert_null (model->failure);
  g_assert_true (g_file_query_exists (missing, NULL));
  put (other, "x.sidelong", "Elsewhere", SL_KIND_INSTRUMENT);
  sl_shelf_model_open (model, missing, FALSE);
  sl_shelf_model_open (model, other, FALSE); /* the one under way is given up */
  wait_for (!model->reading);
  g_assert_cmpstr (title_of (model, "x.sidelong"), ==, "Elsewhere");
  g_assert_cmpuint (size_of (model), ==, 1);
  /* the folder itself goes: nothing known of it holds */
  g_assert_true (g_file_delete (last, NULL, NULL));
  g_assert_true (g_file_delete (other, NULL, NULL));
  wait_for (model->failure != NULL && size_of (model) == 0);
}

static void
test_stopped (void)
{
  g_autoptr (GFile) folder = new_folder ();
  g_autoptr (SlShelfModel) model = NULL;

  put (folder, "one.sidelong", "First", SL_KIND_INSTRUMENT);
  model = open_shelf (folder, FALSE);
  sl_shelf_model_stop (model);
  g_assert_false (model->reading);
  g_assert_true (model->stopped);
  g_assert_cmpuint (size_of (model), ==, 0);
  sl_shelf_model_stop (model); /* nothing to end */
  sl_shelf_model_open (model, folder, FALSE);
  g_assert_false (model->stopped);
  wait_for (!model->reading);
  g_assert_cmpuint (size_of (model), ==, 1);
}

/* Another way of working is another state now, so the folder is read again. */
static void
test_shop (void)
{
  g_autoptr (GFile) folder = new_folder ();
  g_autoptr (SlShelfModel) model = open_shelf (folder, FALSE);

  wait_for (!model->reading);
  sl_settings_set ("work-rod", g_variant_new_double (0.5));
  g_assert_true (model->reading);
  wait_for (!model->reading);
  sl_settings_set ("work-rod", g_variant_new_double (0.2));
  wait_for (!model->reading);
}

/* ---- rows ---- */

static SlShelfItem *
item (const char *label, const char *owner, SlShelfVisit visit, double action, double relief)
{
  g_autoptr (SlShelfEntry) entry = sl_shelf_entry_new ("file.sidelong");
  char **const texts[] = { &entry->id,    &entry->baseline, &entry->contact, &entry->maker,
                           &entry->model, &entry->serial,   &entry->year,    &entry->search };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    *texts[i] = g_strdup ("");
  entry->label = g_strdup (label);
  entry->owner = g_strdup (owner);
  entry->last_visit = g_strdup (visit == SL_SHELF_NO_VISIT ? "" : "2026-03-02");
  entry->visit = visit;
  entry->action_treble = action;
  entry->action_bass = action + 0.5;
  entry->relief = relief;
  return sl_shelf_item_new (entry, NULL, NULL);
}

/* Takes @text. */
static void
assert_says (char *text, const char *expected)
{
  g_assert_cmpstr (text, ==, expected);
  g_free (text);
}

static void
test_columns (void)
{
  g_autoptr (SlShelfItem) open = item ("No. 10", "", SL_SHELF_VISIT_OPEN, 2.0, 0.15),
                          closed = item ("No. 9", "A. Quay", SL_SHELF_VISIT_CLOSED, 1.8, NAN),
                          never = item ("No. 11", "B. Pier", SL_SHELF_NO_VISIT, NAN, 0.2);
  g_autoptr (SlShelfEntry) broken = sl_shelf_entry_ref (never->entry);
  const struct
  {
    SlShelfColumn column;
    SlShelfItem *first, *second;
  } orders[] = {
    { SL_SHELF_COLUMN_LABEL, closed, open }, /* 9 before 10 */
    { SL_SHELF_COLUMN_OWNER, closed, never },
    { SL_SHELF_COLUMN_OWNER, never, open }, /* what is empty comes last */
    { SL_SHELF_COLUMN_STATE, open, closed },
    { SL_SHELF_COLUMN_STATE, closed, never },
    { SL_SHELF_COLUMN_ACTION, closed, open },
    { SL_SHELF_COLUMN_ACTION, open, never },
    { SL_SHELF_COLUMN_RELIEF, open, never },
    { SL_SHELF_COLUMN_RELIEF, never, closed },
    { SL_SHELF_COLUMN_LAST_VISIT, never, closed },
    { SL_SHELF_COLUMN_LAST_VISIT, closed, open }, /* one day: by label */
    { SL_SHELF_COLUMN_MODEL, closed, never },     /* none has one */
  };

  for (gsize i = 0; i < G_N_ELEMENTS (orders); i++)
    {
      g_test_message ("%d", (int) orders[i].column);
      g_assert_cmpint (sl_shelf_item_compare (orders[i].first, orders[i].second, orders[i].column), <, 0);
      g_assert_cmpint (sl_shelf_item_compare (orders[i].second, orders[i].first, orders[i].column), >, 0);
    }
  assert_says (sl_shelf_item_text (open, SL_SHELF_COLUMN_LABEL, SL_LENGTHS_MM), "No. 10");
  assert_says (sl_shelf_item_text (closed, SL_SHELF_COLUMN_OWNER, SL_LENGTHS_MM), "A. Quay");
  assert_says (sl_shelf_item_text (closed, SL_SHELF_COLUMN_MODEL, SL_LENGTHS_MM), "");
  assert_says (sl_shelf_item_text (closed, SL_SHELF_COLUMN_STATE, SL_LENGTHS_MM), "closed");
  assert_says (sl_shelf_item_text (open, SL_SHELF_COLUMN_STATE, SL_LENGTHS_MM), "open");
  assert_says (sl_shelf_item_text (never, SL_SHELF_COLUMN_STATE, SL_LENGTHS_MM), "no visit yet");
  assert_says (sl_shelf_item_text (open, SL_SHELF_COLUMN_ACTION, SL_LENGTHS_MM), "2.00 – 2.50");
  /* 2 mm are 5.04 of 64, 2.5 mm 6.3: a little more than 3/32 */
  assert_says (sl_shelf_item_text (open, SL_SHELF_COLUMN_ACTION, SL_LENGTHS_64THS), "5/64 – 3/32+");
  assert_says (sl_shelf_item_text (never, SL_SHELF_COLUMN_ACTION, SL_LENGTHS_MM), "–");
  assert_says (sl_shelf_item_text (open, SL_SHELF_COLUMN_RELIEF, SL_LENGTHS_INCH), "0.006");
  assert_says (sl_shelf_item_text (never, SL_SHELF_COLUMN_LAST_VISIT, SL_LENGTHS_MM), "");
}

static void
test_fault_row (void)
{
  g_autoptr (GFile) folder = new_folder (), file = g_file_get_child (folder, "bad.sidelong"),
                    dir = g_file_get_child (folder, "dir.sidelong");
  const SlShop shop = SL_SHOP_DEFAULT;
  g_autoptr (SlShelfEntry) entry = NULL, unreadable = NULL;
  g_autoptr (SlShelfItem) row = NULL, other = NULL, sound = item ("Z", "", SL_SHELF_NO_VISIT, NAN, NAN);

  g_assert_true (g_file_replace_contents (file, "x", 1, NULL, FALSE, 0, NULL, NULL, NULL));
  g_assert_true (g_file_make_directory (dir, NULL, NULL));
  entry = sl_shelf_entry_read (file, &shop, NULL);
  unreadable = sl_shelf_entry_read (dir, &shop, NULL);
  row = sl_shelf_item_new (entry, "twin", NULL);
  other = sl_shelf_item_new (unreadable, NULL, NULL);
  assert_says (sl_shelf_item_text (row, SL_SHELF_COLUMN_STATE, SL_LENGTHS_MM), "at fault");
  assert_says (sl_shelf_item_text (row, SL_SHELF_COLUMN_ACTION, SL_LENGTHS_MM), "");
  assert_says (sl_shelf_item_text (row, SL_SHELF_COLUMN_RELIEF, SL_LENGTHS_MM), "");
  g_assert_true (g_str_has_prefix (row->note, "Line 1: "));
  g_assert_false (g_str_has_prefix (other->note, "Line "));
  g_assert_cmpint (sl_shelf_item_compare (sound, row, SL_SHELF_COLUMN_STATE), <, 0);
}

/* ---- baselines ---- */

/* A baseline whose one visit is of an instrument read with this action at fret 12. */
static SlProfile *
baseline (double action)
{
  SlProfile *profile = labelled ("Model", SL_KIND_BASELINE);
  SlVisit visit = sl_visit_init ();
  SlReadingSet set = sl_reading_set_init ();

  visit.id = g_strdup ("v1");
  visit.opened = g_strdup ("2026-03-02");
  set.id = g_strdup ("r1");
  set.stage = SL_STAGE_FINAL;
  set.taken = g_strdup ("2026-03-02T10:00:00Z");
  for (int string = 1; string <= profile->n_strings; string++)
    {
      SlReading reading = sl_reading_init (SL_READ_ACTION);

      reading.string = string;
      reading.fret = 12;
      reading.value = sl_number (action);
      g_array_append_val (set.readings, reading);
    }
  g_array_append_val (visit.sets, set);
  g_array_set_size (profile->visits, 0);
  g_array_append_val (profile->visits, visit);
  return profile;
}

static void
test_baselines (void)
{
  g_autoptr (GFile) folder = new_folder (), file = NULL;
  g_autofree char *uri = g_file_get_uri (folder), *id = NULL;
  g_autoptr (SlProfile) profile = baseline (2.2);
  g_autoptr (SlBaselineWatch) watch = NULL, same = NULL;
  const SlNorms *norms;
  gboolean changed = FALSE;

  put (folder, "other.sidelong", "No baseline", SL_KIND_INSTRUMENT);
  file = save (folder, "model.sidelong", profile);
  id = g_strdup (profile->id);
  sl_settings_set (SL_SETTING_SHELF_FOLDER, g_variant_new_string (uri));
  watch = sl_baseline_watch_get ();
  same = sl_baseline_watch_get ();
  g_assert_true (same == watch);
  g_signal_connect_swapped (watch, "changed", G_CALLBACK (set_true), &changed);
  g_assert_null (sl_baseline_watch_norms (watch, NULL));
  g_assert_null (sl_baseline_watch_norms (watch, ""));
  g_assert_null (sl_baseline_watch_norms (watch, id)); /* not read yet */
  g_assert_null (sl_baseline_watch_norms (watch, "none"));
  g_assert_false (sl_baseline_watch_is_missing (watch, "none"));
  wait_for (changed && (norms = sl_baseline_watch_norms (watch, id)) != NULL &&
            sl_baseline_watch_is_missing (watch, "none"));
  g_assert_cmpint (norms->n_strings, ==, 6);
  g_assert_cmpint (norms->norm[SL_NORM_ACTION][5].n, ==, 1);
  g_assert_cmpfloat_with_epsilon (norms->norm[SL_NORM_ACTION][5].median, 2.2, 0.05);
  g_assert_false (sl_baseline_watch_is_missing (watch, id));
  g_assert_null (sl_baseline_watch_get_failure (watch));
  /* it changes on the shelf */
  g_autoptr (SlProfile) higher = baseline (2.9);
  g_free (higher->id);
  higher->id = g_strdup (id);
  g_object_unref (save (folder, "model.sidelong", higher));
  wait_for ((norms = sl_baseline_watch_norms (watch, id)) != NULL && norms->norm[SL_NORM_ACTION][5].median > 2.6);
  /* it is gone */
  g_assert_true (g_file_delete (file, NULL, NULL));
  wait_for (sl_baseline_watch_is_missing (watch, id));
  /* another shelf, which is not there */
  g_autofree char *nowhere = g_strconcat (uri, "/none", NULL);
  sl_settings_set (SL_SETTING_SHELF_FOLDER, g_variant_new_string (nowhere));
  wait_for (sl_baseline_watch_get_failure (watch) != NULL);
  g_signal_handlers_disconnect_by_data (watch, &changed);
}

/* ---- one profile, in a thread ---- */

static void
keep_result (GObject *source, GAsyncResult *result, gpointer data)
{
  g_object_set_data_full (source, "result", g_object_ref (result), g_object_unref);
}

/* Read for @file, which has the result until it is taken. */
static SlProfile *
read_for (GFile *file, GError **error)
{
  g_autoptr (GAsyncResult) result = NULL;

  sl_read_profile_async (file, file, NULL, keep_result);
  /* taken from the file: the result holds the file, too */
  wait_for ((result = g_object_steal_data (G_OBJECT (file), "result")) != NULL);
  return sl_read_profile_finish (result, error);
}

static void
test_read_profile (void)
{
  g_autoptr (GFile) folder = new_folder (), missing = g_file_get_child (folder, "none.sidelong"), file = NULL;
  g_autoptr (SlProfile) profile = labelled ("Ferry", SL_KIND_INSTRUMENT), back = NULL, none = NULL;
  g_autoptr (GError) error = NULL;

  file = save (folder, "f.sidelong", profile);
  back = read_for (file, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (back->identity.label, ==, "Ferry");
  none = read_for (missing, &error);
  g_assert_null (none);
  g_assert_error (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_READ);
}

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;

  setlocale (LC_ALL, "");
  own = g_dir_make_tmp ("sidelong-shelf-XXXXXX", &error);
  g_assert_no_error (error);
  g_setenv ("XDG_CACHE_HOME", own, TRUE);
  g_setenv ("XDG_DATA_HOME", own, TRUE);
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/shelf/read", test_read);
  g_test_add_func ("/shelf/found", test_found);
  g_test_add_func ("/shelf/followed", test_followed);
  g_test_add_func ("/shelf/in-use", test_in_use);
  g_test_add_func ("/shelf/share", test_share);
  g_test_add_func ("/shelf/looks-overtaken", test_looks_overtaken);
  g_test_add_func ("/shelf/reading-overtaken", test_reading_overtaken);
  g_test_add_func ("/shelf/twins", test_twins);
  g_test_add_func ("/shelf/folders", test_folders);
  g_test_add_func ("/shelf/stopped", test_stopped);
  g_test_add_func ("/shelf/shop", test_shop);
  g_test_add_func ("/shelf/columns", test_columns);
  g_test_add_func ("/shelf/fault-row", test_fault_row);
  g_test_add_func ("/shelf/baselines", test_baselines);
  g_test_add_func ("/shelf/read-profile", test_read_profile);
  const int status = g_test_run ();
  test_folder_free (own);
  return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shelf in a real window: sorted by each column, searched, changed by others while a profile is chosen, stopped
 * while it is read for the first time; and what the bench says of a baseline that isn't on the shelf. Skipped where
 * there is no display. */
#include "../file/shelf-maker.h"

#include "desk/work/parts.h"
#include "bench/baseline-watch.h"
#include "bench/shelf-model.h"
#include "desk/shelf/parts.h"

#include <glib/gstdio.h>
#include <locale.h>
#include <string.h>
#include <sys/stat.h>

#define SKIPPED 77
#define MANY 300
#define READ 100      /* of them, before reading is held up to be stopped */
#define PATIENCE_S 60 /* what takes longer never comes */

static char *data_folder; /* stands for the person's */
static GtkApplication *app;

static void
settle (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static gboolean
wake (gpointer data)
{
  return G_SOURCE_CONTINUE;
}

/* Runs the main loop until @condition holds. */
#define wait_for(condition)                                                                                            \
  G_STMT_START                                                                                                         \
  {                                                                                                                    \
    const gint64 end = g_get_monotonic_time () + PATIENCE_S * G_USEC_PER_SEC;                                          \
    const guint clock = g_timeout_add (10, wake, NULL);                                                                \
    while (!(condition))                                                                                               \
      {                                                                                                                \
        g_assert_cmpint (g_get_monotonic_time (), <, end);                                                             \
        g_main_context_iteration (NULL, TRUE);                                                                         \
      }                                                                                                                \
    g_source_remove (clock);                                                                                           \
  }                                                                                                                    \
  G_STMT_END

static void
remove_folder (const char *path)
{
  g_autoptr (GDir) dir = g_dir_open (path, 0, NULL);
  const char *name;

  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *child = g_build_filename (path, name, NULL);

      if (g_file_test (child, G_FILE_TEST_IS_DIR))
        remove_folder (child);
      else
        g_unlink (child);
    }
  g_rmdir (path);
}

/* ---- the table ---- */

/* Profiles, and where each stands when sorted by a column, from 0. By common practice: letters whatever their case,
 * numbers within a text by their value, days in their order, lengths by size; what isn't there comes last. */
typedef struct
{
  const char *file, *label, *owner, *model, *opened;
  gboolean closed;
  double action, relief; /* 0: not read */
  int place[SL_SHELF_N_COLUMNS];
} Given;

static const Given given[] = {
  { "a", "Kelp no. 10", "Wenna Trask", "spindrift", "2024-03-01", FALSE, 2.1, 0.30, { 2, 3, 2, 2, 3, 2, 0 } },
  { "b", "Kelp no. 9", "ebbe lund", "Breakwater", "2023-12-31", TRUE, 1.6, 0.25, { 1, 0, 0, 0, 2, 1, 2 } },
  { "c", "breakwater", "Joss Carne", "Lantern", "2024-11-02", TRUE, 1.9, 0.10, { 0, 2, 1, 1, 0, 3, 1 } },
  { "d", "Tiller", "Ine Brekke", "", "2022-05-05", TRUE, 0, 0.20, { 3, 1, 3, 3, 1, 0, 3 } },
};

#define N_GIVEN G_N_ELEMENTS (given)

static void
set_text (char **field, const char *text)
{
  g_free (*field);
  *field = *text != '\0' ? g_strdup (text) : NULL;
}

/* One visit with one set, the readings of both outer strings as given. */
static void
write_given (const char *folder, const Given *one, guint i)
{
  g_autoptr (SlProfile) profile = maker_profile (6 * i + 3); /* these have one visit and are instruments */
  SlVisit *visit = &g_array_index (profile->visits, SlVisit, 0);
  SlReadingSet *set = &g_array_index (visit->sets, SlReadingSet, 0);
  g_autofree char *name = g_strconcat (one->file, SL_DOCUMENT_EXTENSION, NULL), *path = NULL;

  g_assert_cmpuint (profile->visits->len, ==, 1);
  set_text (&profile->identity.label, one->label);
  set_text (&profile->identity.owner, one->owner);
  set_text (&profile->identity.model, one->model);
  set_text (&visit->opened, one->opened);
  set_text (&visit->closed, one->closed ? one->opened : "");
  for (guint r = set->readings->len; r > 0; r--)
    {
      SlReading *reading = &g_array_index (set->readings, SlReading, r - 1);

      if (reading->kind == SL_READ_RELIEF)
        reading->value = sl_number (one->relief);
      else if (reading->kind == SL_READ_ACTION && one->action > 0)
        reading->value = sl_number (one->action);
      else if (reading->kind == SL_READ_ACTION)
        g_array_remove_index (set->readings, r - 1);
    }
  path = maker_write (folder, name, profile);
}

typedef struct
{
  char *folder;
  GListStore *store;
  SlShelfTable *table;
  GtkWidget *window;
} Fixture;

static SlShelfItem *
read_item (Fixture *f, const char *name)
{
  g_autofree char *path = g_build_filename (f->folder, name, NULL);
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (SlShelfEntry) entry = sl_shelf_entry_read (file, &SL_SHOP_DEFAULT, NULL);

  g_assert_nonnull (entry);
  g_assert_cmpstr (entry->fault, ==, NULL);
  return sl_shelf_item_new (entry, NULL, NULL);
}

static void
take_folder (Fixture *f)
{
  g_autoptr (GFile) folder = g_file_new_for_path (f->folder);
  g_autoptr (GPtrArray) entries = sl_shelf_read (folder, NULL, &SL_SHOP_DEFAULT, NULL, NULL, NULL, NULL),
                        items = g_ptr_array_new_with_free_func (g_object_unref);

  g_assert_nonnull (entries);
  for (guint i = 0; i < entries->len; i++)
    g_ptr_array_add (items, sl_shelf_item_new (g_ptr_array_index (entries, i), NULL, NULL));
  g_list_store_splice (f->store, 0, 0, items->pdata, items->len);
}

static void
set_up (Fixture *f, gconstpointer data)
{
  GtkWidget *scroller = gtk_scrolled_window_new ();

  f->folder = g_dir_make_tmp ("sidelong-shelf-XXXXXX", NULL);
  g_assert_nonnull (f->folder);
  f->store = g_list_store_new (SL_TYPE_SHELF_ITEM);
  f->table = sl_shelf_table_new (G_LIST_MODEL (f->store));
  f->window = gtk_window_new ();
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), f->table->view);
  gtk_window_set_child (GTK_WINDOW (f->window), scroller);
  gtk_window_set_default_size (GTK_WINDOW (f->window), 1000, 600);
  gtk_window_present (GTK_WINDOW (f->window));
  settle ();
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  gtk_window_destroy (GTK_WINDOW (f->window));
  g_assert_finalize_object (f->table);
  g_object_unref (f->store);
  settle ();
  remove_folder (f->folder);
  g_free (f->folder);
}

/* The widgets of the list's rows, in their order; what each shows first. */
static GtkWidget *
find_label (GtkWidget *widget)
{
  if (GTK_IS_LABEL (widget))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *label = find_label (child);

      if (label != NULL)
        return label;
    }
  return NULL;
}

static const char *
shown (Fixture *f, guint place)
{
  GtkWidget *row = gtk_widget_get_first_child (gtk_widget_get_last_child (f->table->view));

  for (guint i = 0; row != NULL && i < place; i++)
    row = gtk_widget_get_next_sibling (row);
  return row != NULL ? gtk_label_get_label (GTK_LABEL (find_label (row))) : NULL;
}

static void
sort_by (Fixture *f, SlShelfColumn column, GtkSortType direction)
{
  GtkColumnView *view = GTK_COLUMN_VIEW (f->table->view);
  g_autoptr (GtkColumnViewColumn) made = g_list_model_get_item (gtk_column_view_get_columns (view), column);

  gtk_column_view_sort_by_column (view, NULL, GTK_SORT_ASCENDING);
  gtk_column_view_sort_by_column (view, made, direction);
}

static void
test_sort (Fixture *f, gconstpointer data)
{
  for (guint i = 0; i < N_GIVEN; i++)
    write_given (f->folder, &given[i], i);
  take_folder (f);
  for (int column = 0; column < SL_SHELF_N_COLUMNS; column++)
    for (int direction = GTK_SORT_ASCENDING; direction <= GTK_SORT_DESCENDING; direction++)
      {
        sort_by (f, (SlShelfColumn) column, (GtkSortType) direction);
        for (guint i = 0; i < N_GIVEN; i++)
          {
            const int place = given[i].place[column];

            g_assert_cmpstr (
                shown (f, direction == GTK_SORT_ASCENDING ? (guint) place : (guint) (N_GIVEN - 1) - (guint) place), ==,
                given[i].label);
          }
        settle ();
      }
}

/* The chosen profile stays chosen, and its row selected, wherever sorting and searching put it. */
/* The shelf tells what an instrument is like as it lies there, without what is only planned, which the bench shows
 * beside it: its columns say so. */
static void
test_titles (Fixture *f, gconstpointer data)
{
  GtkColumnView *view = GTK_COLUMN_VIEW (f->table->view);

  for (int column = SL_SHELF_COLUMN_ACTION; column <= SL_SHELF_COLUMN_RELIEF; column++)
    {
      g_autoptr (GtkColumnViewColumn) made = g_list_model_get_item (gtk_column_view_get_columns (view), (guint) column);

      g_assert_nonnull (strstr (gtk_column_view_column_get_title (made), "now, "));
    }
}

/* The child of a type that is shown and whose text begins so. */
static GtkWidget *
find_shown (GtkWidget *widget, GType type, const char *starts)
{
  if (!gtk_widget_get_visible (widget))
    return NULL;
  if (G_TYPE_CHECK_INSTANCE_TYPE (widget, type))
    {
      const char *text = type == GTK_TYPE_BUTTON ? gtk_button_get_label (GTK_BUTTON (widget))
                                                 : gtk_label_get_label (GTK_LABEL (widget));

      if (text != NULL && g_str_has_prefix (text, starts))
        return widget;
    }
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_shown (child, type, starts);

      if (found != NULL)
        return found;
    }
  return NULL;
}

/* A row says what it was found by, where it doesn't show that anyway. */
static void
test_found (Fixture *f, gconstpointer data)
{
  static const struct
  {
    const char *typed, *says; /* NULL: nothing */
  } rows[] = { { "trask", NULL },
               { "kelp spindrift", NULL },
               { "", NULL },
               { "tide LANE", "Contact: Tide Lane 4" },
               { "trask 0815", "Serial number: S-0815" },
               { "oily", "Visits and notes: …when the oily fog…" },
               { "kelp oily", "Visits and notes: …when the oily fog…" } };
  g_autoptr (SlProfile) profile = maker_profile (3);
  g_autofree char *path = NULL;

  set_text (&profile->identity.label, "Kelp no. 10");
  set_text (&profile->identity.owner, "Wenna Trask");
  set_text (&profile->identity.model, "Spindrift");
  set_text (&profile->identity.contact, "Tide Lane 4");
  set_text (&profile->identity.serial, "S-0815");
  set_text (&g_array_index (profile->visits, SlVisit, 0).note, "It rattles when the oily fog\nSecond line.");
  path = maker_write (f->folder, "a.sidelong", profile);
  g_autoptr (SlShelfItem) item = read_item (f, "a.sidelong");
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_auto (GStrv) words = sl_shelf_words (rows[i].typed);
      g_autofree char *says = sl_shelf_item_find (item, words);

      g_assert_true (sl_shelf_entry_matches (item->entry, words));
      g_assert_cmpstr (says, ==, rows[i].says);
    }
  /* on the screen it follows what is typed */
  g_list_store_append (f->store, item);
  sl_shelf_table_search (f->table, "oily");
  wait_for (find_shown (f->window, GTK_TYPE_LABEL, "Visits and notes") != NULL);
  sl_shelf_table_search (f->table, "kelp");
  wait_for (find_shown (f->window, GTK_TYPE_LABEL, "Visits and notes") == NULL);
}

static void
test_search (Fixture *f, gconstpointer data)
{
  GtkSelectionModel *selection = gtk_column_view_get_model (GTK_COLUMN_VIEW (f->table->view));
  g_autoptr (GtkBitset) selected = NULL, none = NULL, again = NULL;

  maker_fill (f->folder, 400);
  take_folder (f);
  settle ();
  g_assert_cmpuint (g_list_model_get_n_items (G_LIST_MODEL (selection)), ==, 400);
  sl_shelf_table_choose (f->table, "instrument-00399" SL_DOCUMENT_EXTENSION);
  selected = gtk_selection_model_get_selection (selection);
  g_assert_cmpuint (gtk_bitset_get_size (selected), ==, 1);
  sl_shelf_table_search (f->table, "kelp no. 11");
  /* of the 400 every sixth is a Kelp, and "11" stands in the number, the serial number or the day of some */
  for (guint i = 0; i < f->table->rows->wanted->len; i++)
    if (shown (f, i) != NULL && *shown (f, i) != '\0')
      g_assert_true (g_str_has_prefix (shown (f, i), "Kelp no. "));
  g_assert_null (f->table->chosen);
  none = gtk_selection_model_get_selection (selection);
  g_assert_true (gtk_bitset_is_empty (none));
  settle ();
  g_assert_cmpuint (g_list_model_get_n_items (G_LIST_MODEL (selection)), ==, f->table->rows->wanted->len);
  sl_shelf_table_search (f->table, "no such thing");
  g_assert_cmpuint (f->table->rows->wanted->len, ==, 0);
  settle ();
  g_assert_cmpuint (g_list_model_get_n_items (G_LIST_MODEL (selection)), ==, 0);
  sl_shelf_table_search (f->table, "");
  settle ();
  g_assert_cmpuint (g_list_model_get_n_items (G_LIST_MODEL (selection)), ==, 400);
  g_assert_cmpstr (f->table->chosen->entry->name, ==, "instrument-00399" SL_DOCUMENT_EXTENSION);
  again = gtk_selection_model_get_selection (selection);
  g_assert_true (gtk_bitset_equals (selected, again));
}

/* A list scrolled to its end is searched from its beginning, and loses its rows when there is nothing more to show. */
static void
test_scrolled (Fixture *f, gconstpointer data)
{
  GtkAdjustment *scroll = gtk_scrollable_get_vadjustment (GTK_SCROLLABLE (f->table->view));
  GtkSelectionModel *selection = gtk_column_view_get_model (GTK_COLUMN_VIEW (f->table->view));

  maker_fill (f->folder, 600);
  take_folder (f);
  wait_for (g_list_model_get_n_items (G_LIST_MODEL (selection)) == 600 &&
            gtk_adjustment_get_upper (scroll) > 2 * gtk_adjustment_get_page_size (scroll));
  gtk_adjustment_set_value (scroll, gtk_adjustment_get_upper (scroll));
  settle ();
  g_assert_cmpfloat (gtk_adjustment_get_value (scroll), >, 0);
  sl_shelf_table_search (f->table, "k0011"); /* serial numbers of 110 to 119 */
  g_assert_cmpfloat (gtk_adjustment_get_value (scroll), ==, 0);
  g_assert_cmpuint (f->table->rows->wanted->len, ==, 10);
  for (guint i = 0; i < 10; i++)
    g_assert_nonnull (strstr (shown (f, i), "no. 11"));
  settle ();
  g_assert_cmpuint (g_list_model_get_n_items (G_LIST_MODEL (selection)), ==, 10);
  sl_shelf_table_search (f->table, "");
  wait_for (g_list_model_get_n_items (G_LIST_MODEL (selection)) == 600 &&
            gtk_adjustment_get_upper (scroll) > 2 * gtk_adjustment_get_page_size (scroll));
  gtk_adjustment_set_value (scroll, gtk_adjustment_get_upper (scroll));
  settle ();
  g_list_store_remove_all (f->store);
  settle ();
  g_assert_cmpuint (g_list_model_get_n_items (G_LIST_MODEL (selection)), ==, 0);
}

/* What others do to single files comes to its place, and the chosen one stays so. */
static void
test_changes (Fixture *f, gconstpointer data)
{
  g_autoptr (SlShelfItem) renamed = NULL, added = NULL;
  guint position = 0;
  Given changed = given[1];

  for (guint i = 0; i < N_GIVEN; i++)
    write_given (f->folder, &given[i], i);
  take_folder (f);
  settle ();
  sl_shelf_table_choose (f->table, "b" SL_DOCUMENT_EXTENSION);
  changed.label = "Zenith";
  write_given (f->folder, &changed, 1);
  renamed = read_item (f, "b" SL_DOCUMENT_EXTENSION);
  for (guint i = 0; i < N_GIVEN; i++)
    {
      g_autoptr (SlShelfItem) item = g_list_model_get_item (G_LIST_MODEL (f->store), i);

      if (g_str_equal (item->title, "Kelp no. 9"))
        position = i;
    }
  g_list_store_splice (f->store, position, 1, (gpointer[]){ renamed }, 1);
  g_assert_cmpstr (shown (f, 3), ==, "Zenith");
  g_assert_cmpstr (shown (f, 1), ==, "Kelp no. 10");
  g_assert_true (f->table->chosen == renamed);
  changed.file = "e";
  changed.label = "Anemone";
  write_given (f->folder, &changed, 5);
  added = read_item (f, "e" SL_DOCUMENT_EXTENSION);
  g_list_store_append (f->store, added);
  g_assert_cmpstr (shown (f, 0), ==, "Anemone");
  g_assert_true (f->table->chosen == renamed);
  g_list_store_remove (f->store, position);
  g_assert_null (f->table->chosen);
  g_assert_cmpuint (f->table->rows->wanted->len, ==, N_GIVEN);
  g_assert_cmpstr (shown (f, 3), ==, "Tiller");
}

/* ---- twins ---- */

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
twin_of (SlShelfModel *model, const char *name)
{
  return find_item (model, name)->twin;
}

static void
look_at (SlShelfModel *model, const char *path)
{
  g_autoptr (GFile) file = g_file_new_for_path (path);

  sl_shelf_model_look_at (model, file);
}

/* Rows say of each other that they have one id, and no longer once one of them is another's or gone, whichever of them
 * changed. */
static void
test_twins (Fixture *f, gconstpointer data)
{
  g_autoptr (SlShelfModel) model = sl_shelf_model_new ();
  g_autoptr (SlProfile) one = maker_profile (1), two = maker_profile (2);
  g_autofree char *a = maker_write (f->folder, "a" SL_DOCUMENT_EXTENSION, one),
                  *b = maker_write (f->folder, "b" SL_DOCUMENT_EXTENSION, one);
  g_autofree char *c = maker_write (f->folder, "c" SL_DOCUMENT_EXTENSION, two);
  g_autoptr (GFile) folder = g_file_new_for_path (f->folder);

  sl_shelf_model_open (model, folder, FALSE);
  wait_for (!model->reading);
  g_assert_cmpstr (twin_of (model, "a" SL_DOCUMENT_EXTENSION), ==, "b" SL_DOCUMENT_EXTENSION);
  g_assert_cmpstr (twin_of (model, "b" SL_DOCUMENT_EXTENSION), ==, "a" SL_DOCUMENT_EXTENSION);
  g_assert_null (twin_of (model, "c" SL_DOCUMENT_EXTENSION));
  g_free (maker_write (f->folder, "b" SL_DOCUMENT_EXTENSION, two));
  look_at (model, b);
  wait_for (twin_of (model, "a" SL_DOCUMENT_EXTENSION) == NULL);
  g_assert_cmpstr (twin_of (model, "c" SL_DOCUMENT_EXTENSION), ==, "b" SL_DOCUMENT_EXTENSION);
  g_assert_cmpint (g_unlink (b), ==, 0);
  look_at (model, b);
  wait_for (twin_of (model, "c" SL_DOCUMENT_EXTENSION) == NULL);
  g_free (maker_write (f->folder, "b" SL_DOCUMENT_EXTENSION, one));
  look_at (model, b);
  wait_for (g_strcmp0 (twin_of (model, "a" SL_DOCUMENT_EXTENSION), "b" SL_DOCUMENT_EXTENSION) == 0);
}

/* ---- the window ---- */

static char *
own_shelf (void)
{
  char *path = g_build_filename (data_folder, "sidelong", "shelf", NULL);

  g_assert_cmpint (g_mkdir_with_parents (path, 0700), ==, 0);
  return path;
}

/* The program's own shelf is made for its owner alone, whatever the umask. */
static void
test_own_folder (void)
{
  g_autofree char *path = g_build_filename (data_folder, "sidelong", "shelf", NULL);
  const mode_t mask = umask (022);
  GtkWidget *window;
  GStatBuf made;

  g_assert_false (g_file_test (path, G_FILE_TEST_EXISTS));
  window = sl_shelf_window_get (app);
  wait_for (g_file_test (path, G_FILE_TEST_EXISTS));
  g_assert_cmpint (g_stat (path, &made), ==, 0);
  g_assert_cmpint (made.st_mode & 0777, ==, 0700);
  umask (mask);
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
}

static int is_held, n_loaded; /* atomic */

SlShelfEntry *__real_sl_shelf_entry_load (GFile *file, GFileInfo *info, const SlShop *shop, GCancellable *cancellable);
SlShelfEntry *__wrap_sl_shelf_entry_load (GFile *file, GFileInfo *info, const SlShop *shop, GCancellable *cancellable);
SlShelfEntry *
__wrap_sl_shelf_entry_load (GFile *file, GFileInfo *info, const SlShop *shop, GCancellable *cancellable)
{
  if (g_atomic_int_add (&n_loaded, 1) >= READ)
    while (g_atomic_int_get (&is_held))
      g_usleep (500);
  return __real_sl_shelf_entry_load (file, info, shop, cancellable);
}

/* Reading a large folder for the first time is stopped, what was read stays, and the same button goes on. */
static void
test_stop (void)
{
  g_autofree char *shelf = own_shelf (), *all = g_strdup_printf ("%d profiles", MANY);
  GtkWidget *window, *said;
  unsigned read = 0, total = 0;

  maker_fill (shelf, MANY);
  g_atomic_int_set (&n_loaded, 0);
  g_atomic_int_set (&is_held, TRUE);
  window = sl_shelf_window_get (app);
  gtk_window_present (GTK_WINDOW (window));
  wait_for ((said = find_shown (window, GTK_TYPE_LABEL, "Reading: ")) != NULL &&
            !g_str_has_prefix (gtk_label_get_label (GTK_LABEL (said)), "Reading: 0 of 0"));
  g_signal_emit_by_name (find_shown (window, GTK_TYPE_BUTTON, "Stop"), "clicked");
  g_atomic_int_set (&is_held, FALSE);
  wait_for ((said = find_shown (window, GTK_TYPE_LABEL, "Stopped: ")) != NULL);
  g_assert_cmpint (sscanf (gtk_label_get_label (GTK_LABEL (said)), "Stopped: %u of %u read", &read, &total), ==, 2);
  g_assert_cmpuint (total, ==, MANY);
  g_assert_cmpuint (read, <, MANY);
  g_assert_null (find_shown (window, GTK_TYPE_BUTTON, "Stop"));
  g_signal_emit_by_name (find_shown (window, GTK_TYPE_BUTTON, "Read on"), "clicked");
  wait_for (find_shown (window, GTK_TYPE_LABEL, all) != NULL);
  g_assert_null (find_shown (window, GTK_TYPE_BUTTON, "Read on"));
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
  remove_folder (shelf);
}

/* A folder that goes while it is shown says so, and is read again once it is back. */
static void
test_folder_gone (void)
{
  g_autofree char *shelf = own_shelf (), *path = NULL;
  g_autoptr (SlProfile) profile = maker_profile (1);
  GtkWidget *window;

  path = maker_write (shelf, "one" SL_DOCUMENT_EXTENSION, profile);
  window = sl_shelf_window_get (app);
  gtk_window_present (GTK_WINDOW (window));
  wait_for (find_shown (window, GTK_TYPE_LABEL, "1 profile") != NULL);
  remove_folder (shelf);
  wait_for (find_shown (window, GTK_TYPE_LABEL, "This folder can't be read") != NULL);
  g_assert_cmpint (g_mkdir_with_parents (shelf, 0700), ==, 0);
  g_free (path);
  path = maker_write (shelf, "two" SL_DOCUMENT_EXTENSION, profile);
  gtk_widget_activate_action (window, "win.reload", NULL);
  wait_for (find_shown (window, GTK_TYPE_LABEL, "1 profile") != NULL);
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
  remove_folder (shelf);
}

static GtkWidget *
entry_named (GtkWidget *widget, const char *name)
{
  g_autofree char *differs =
      GTK_IS_ENTRY (widget)
          ? gtk_test_accessible_check_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_LABEL, name)
          : g_strdup ("");
  GtkWidget *found = differs == NULL ? widget : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = entry_named (child, name);
  return found;
}

/* Another name that is typed is lost by nothing but by giving it up: neither by closing nor by reading again. */
static void
test_name_typed (void)
{
  g_autofree char *shelf = own_shelf (), *path = NULL;
  g_autoptr (SlProfile) profile = maker_profile (1);
  GtkWidget *window, *entry;

  path = maker_write (shelf, "one" SL_DOCUMENT_EXTENSION, profile);
  window = sl_shelf_window_get (app);
  gtk_window_present (GTK_WINDOW (window));
  wait_for (find_shown (window, GTK_TYPE_LABEL, "1 profile") != NULL);
  sl_shelf_table_choose (((SlShelfWindow *) window)->table, "one" SL_DOCUMENT_EXTENSION);
  gtk_widget_activate_action (window, "win.rename", NULL);
  entry = entry_named (window, "File name");
  wait_for (gtk_widget_get_mapped (entry));
  gtk_window_close (GTK_WINDOW (window)); /* nothing typed yet: it may go, and comes back */
  settle ();
  window = sl_shelf_window_get (app);
  gtk_window_present (GTK_WINDOW (window));
  wait_for (find_shown (window, GTK_TYPE_LABEL, "1 profile") != NULL);
  sl_shelf_table_choose (((SlShelfWindow *) window)->table, "one" SL_DOCUMENT_EXTENSION);
  gtk_widget_activate_action (window, "win.rename", NULL);
  entry = entry_named (window, "File name");
  wait_for (gtk_widget_get_mapped (entry));
  gtk_editable_set_text (GTK_EDITABLE (entry), "another");
  gtk_window_close (GTK_WINDOW (window));
  gtk_widget_activate_action (window, "win.reload", NULL);
  gtk_widget_activate_action (window, "win.rename", NULL);
  settle ();
  g_assert_true (sl_shelf_window_get (app) == window && gtk_widget_get_mapped (entry));
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, "another");
  g_assert_false (gtk_widget_is_sensitive (((SlShelfWindow *) window)->table->view));
  gtk_widget_activate_action (window, "win.keep-name", NULL);
  g_assert_true (gtk_widget_is_sensitive (((SlShelfWindow *) window)->table->view));
  gtk_window_close (GTK_WINDOW (window));
  settle ();
  g_assert_null (gtk_application_get_windows (app));
  remove_folder (shelf);
}

/* ---- who has it open ---- */

/* However long the name is, it takes one line of the row; the whole is in the tooltip. */
static void
test_long_person (void)
{
  g_autofree char *shelf = own_shelf (), *path = NULL, *name = g_strnfill (70, 'n'), *note = NULL,
                  *place = g_build_filename (shelf, ".one" SL_DOCUMENT_EXTENSION ".open", NULL);
  g_autoptr (SlProfile) profile = maker_profile (1);
  GtkWidget *window, *shown, *box;

  path = maker_write (shelf, "one" SL_DOCUMENT_EXTENSION, profile);
  note = g_strdup_printf ("[open]\nversion=1\nperson=Ada %s\nmachine=bench-two\nsince=2026-02-09T10:04:00+01:00\n"
                          "process=b 1 2\nid=7d1c\n",
                          name);
  g_assert_true (g_file_set_contents (place, note, -1, NULL));
  window = sl_shelf_window_get (app);
  gtk_window_present (GTK_WINDOW (window));
  wait_for ((shown = find_shown (((SlShelfWindow *) window)->table->view, GTK_TYPE_LABEL, "open: Ada n")) != NULL &&
            gtk_widget_get_height (shown) > 0);
  g_assert_cmpint (pango_layout_get_line_count (gtk_label_get_layout (GTK_LABEL (shown))), ==, 1);
  g_assert_true (pango_layout_is_ellipsized (gtk_label_get_layout (GTK_LABEL (shown))));
  box = gtk_widget_get_parent (shown);
  g_assert_nonnull (strstr (gtk_widget_get_tooltip_text (box), name));
  g_assert_nonnull (strstr (gtk_widget_get_tooltip_text (box), "on bench-two, since 9 Feb 10:04"));
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
  remove_folder (shelf);
}

/* ---- a baseline that isn't there ---- */

#define MISSING "Its baseline isn't on the shelf"

static void
test_baseline_missing (void)
{
  g_autofree char *shelf = own_shelf (), *path = NULL;
  g_autoptr (SlProfile) baseline = maker_profile (50); /* every 50th is one */
  g_autoptr (SlBaselineWatch) baselines = sl_baseline_watch_get ();
  SlProfile *profile = maker_profile (1);
  GtkWidget *window = gtk_window_new (), *table;
  SlBench *bench;

  g_assert_cmpint (baseline->kind, ==, SL_KIND_BASELINE);
  g_free (profile->baseline);
  profile->baseline = g_strdup (baseline->id);
  bench = sl_bench_new (profile);
  table = sl_results_table_new (bench);
  gtk_window_set_child (GTK_WINDOW (window), table);
  gtk_window_present (GTK_WINDOW (window));
  g_assert_null (find_shown (table, GTK_TYPE_LABEL, MISSING)); /* not before it was looked for */
  wait_for (find_shown (table, GTK_TYPE_LABEL, MISSING) != NULL);
  /* once it is put there the note goes by itself */
  path = maker_write (shelf, "baseline" SL_DOCUMENT_EXTENSION, baseline);
  wait_for (find_shown (table, GTK_TYPE_LABEL, MISSING) == NULL);
  g_assert_nonnull (sl_baseline_watch_norms (baselines, baseline->id));
  g_assert_cmpint (g_unlink (path), ==, 0);
  wait_for (find_shown (table, GTK_TYPE_LABEL, MISSING) != NULL);
  gtk_window_destroy (GTK_WINDOW (window));
  g_object_unref (bench);
  settle ();
  remove_folder (shelf);
}

int
main (int argc, char **argv)
{
  int status;
  g_autofree char *cache = NULL;

  setlocale (LC_ALL, "");
  g_test_init (&argc, &argv, NULL);
  data_folder = g_dir_make_tmp ("sidelong-data-XXXXXX", NULL);
  cache = g_build_filename (data_folder, "cache", NULL);
  g_setenv ("XDG_DATA_HOME", data_folder, TRUE);
  g_setenv ("XDG_CACHE_HOME", cache, TRUE);
  if (!gtk_init_check ())
    return SKIPPED;
  app = gtk_application_new ("org.sidelong.Sidelong.Test", G_APPLICATION_NON_UNIQUE);
  g_assert_true (g_application_register (G_APPLICATION (app), NULL, NULL));
  g_test_add ("/shelf-window/sort", Fixture, NULL, set_up, test_sort, tear_down);
  g_test_add ("/shelf-window/titles", Fixture, NULL, set_up, test_titles, tear_down);
  g_test_add ("/shelf-window/found", Fixture, NULL, set_up, test_found, tear_down);
  g_test_add ("/shelf-window/search", Fixture, NULL, set_up, test_search, tear_down);
  g_test_add ("/shelf-window/scrolled", Fixture, NULL, set_up, test_scrolled, tear_down);
  g_test_add ("/shelf-window/changes", Fixture, NULL, set_up, test_changes, tear_down);
  g_test_add ("/shelf-window/twins", Fixture, NULL, set_up, test_twins, tear_down);
  g_test_add_func ("/shelf-window/own-folder", test_own_folder);
  g_test_add_func ("/shelf-window/stop", test_stop);
  g_test_add_func ("/shelf-window/folder-gone", test_folder_gone);
  g_test_add_func ("/shelf-window/name-typed", test_name_typed);
  g_test_add_func ("/shelf-window/long-person", test_long_person);
  g_test_add_func ("/shelf-window/baseline-missing", test_baseline_missing);
  status = g_test_run ();
  g_object_unref (app);
  remove_folder (data_folder);
  g_free (data_folder);
  return status;
}

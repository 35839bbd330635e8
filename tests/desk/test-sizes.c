/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Every page of the program in windows of several sizes, with larger text too: no text is cut, nothing lies outside
 * what holds it, no column is out of sight without a bar (seen.h); all frets asked for are not fewer, and a larger
 * sheet of gaps has them. Sizes are arguments: test-sizes [--pictures FOLDER]
 * [--part PART] [--look LOOK] [--profile NAME] WIDTHxHEIGHT@PERCENT[/UNIT]… With a folder each page is drawn into it as
 * well. The language is that of the environment; in the long one of tests/pseudo.py every text is looked at
 * (words-seen.h). Skipped where there is no display. */
#include "live-window.h"
#include "seen.h"
#include "words-seen.h"

#include "bench/profiles.h"
#include "bench/settings.h"
#include "desk/customer/customer-view.h"
#include "desk/help/help-window.h"
#include "desk/instrument/instrument-window.h"
#include "desk/instrument/profile-changes.h"
#include "desk/kit/figure-table.h"
#include "desk/photos/photo-pair.h"
#include "desk/preferences/preferences.h"
#include "desk/readings/readings.h"
#include "desk/shelf/parts.h"
#include "desk/window/parts.h"
#include "file/document.h"

#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <locale.h>
#include <stdlib.h>

#define SKIPPED 77
#define FRAMES 4 /* until what a page shows is laid out and drawn */
#define WAIT_FRAMES 60
#define LARGE_TEXT 150 /* % */

static GtkApplication *app;
static char *pictures, *part, *profile_name, *wanted_look, **sizes;
static gboolean is_pseudo;

static const GOptionEntry options[] = {
  { "pictures", 0, 0, G_OPTION_ARG_FILENAME, &pictures, "draw each page into FOLDER", "FOLDER" },
  { "part", 0, 0, G_OPTION_ARG_STRING, &part, "only bench, windows, start, customer, shelf, words or empty", "PART" },
  { "profile", 0, 0, G_OPTION_ARG_STRING, &profile_name, "one of the demo instruments", "NAME" },
  { "look", 0, 0, G_OPTION_ARG_STRING, &wanted_look, "light, dark, contrast-light or contrast-dark", "LOOK" },
  { G_OPTION_REMAINING, 0, 0, G_OPTION_ARG_STRING_ARRAY, &sizes, NULL, NULL },
  { NULL, 0, 0, 0, NULL, NULL, NULL },
};

typedef struct
{
  int width, height, percent;
  char *unit;
  const char *page;
  guint n_pages;
  GHashTable *said; /* faults by what they are: on how many pages each */
} Walk;

/* ---- a page ---- */

static void
wait_frames (GtkWidget *window, int n)
{
  GdkFrameClock *clock = gtk_widget_get_frame_clock (window);

  for (int i = 0; i < n; i++)
    {
      const gint64 frame = gdk_frame_clock_get_frame_counter (clock);

      while (gdk_frame_clock_get_frame_counter (clock) == frame)
        {
          gdk_frame_clock_request_phase (clock, GDK_FRAME_CLOCK_PHASE_PAINT);
          g_main_context_iteration (NULL, TRUE);
        }
    }
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static void
on_fault (const char *what, gpointer data)
{
  Walk *walk = data;

  if (g_hash_table_add (walk->said, g_strdup (what)))
    g_test_message ("%d × %d, %d %%, %s: %s", walk->width, walk->height, walk->percent, walk->page, what);
}

static G_GNUC_PRINTF (3, 4) void look (Walk *walk, GtkWidget *window, const char *format, ...)
{
  g_autofree char *page = NULL, *path = NULL, *name = NULL;
  va_list args;

  va_start (args, format);
  page = g_strdup_vprintf (format, args);
  va_end (args);
  wait_frames (window, FRAMES);
  walk->page = g_intern_string (page);
  walk->n_pages++;
  if (gtk_widget_get_width (window) > walk->width || gtk_widget_get_height (window) > walk->height)
    {
      g_autofree char *what = g_strdup_printf ("is larger than the screen: %d × %d", gtk_widget_get_width (window),
                                               gtk_widget_get_height (window));

      on_fault (what, walk);
    }
  seen_check (window, on_fault, walk);
  if (is_pseudo)
    words_seen_check (window, on_fault, walk);
  if (pictures == NULL)
    return;
  name = g_strdup_printf ("%dx%d@%d-%s-%s.png", walk->width, walk->height, walk->percent, walk->unit, page);
  path = g_build_filename (pictures, g_strdelimit (name, " /", '-'), NULL);
  seen_save (window, path);
}

/* ---- finding one's way ---- */

static GtkWidget *
find_named (GtkWidget *from, const char *id)
{
  GtkWidget *found = NULL;

  if (g_strcmp0 (gtk_buildable_get_buildable_id (GTK_BUILDABLE (from)), id) == 0)
    return from;
  for (GtkWidget *child = gtk_widget_get_first_child (from); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = find_named (child, id);
  return found;
}

static void
collect (GtkWidget *from, GType type, GPtrArray *into)
{
  if (!gtk_widget_get_mapped (from))
    return;
  if (G_TYPE_CHECK_INSTANCE_TYPE (from, type))
    g_ptr_array_add (into, g_object_ref (from));
  for (GtkWidget *child = gtk_widget_get_first_child (from); child != NULL; child = gtk_widget_get_next_sibling (child))
    collect (child, type, into);
}

static void
present (Walk *walk, GtkWidget *window)
{
  int width, height;

  gtk_window_get_default_size (GTK_WINDOW (window), &width, &height);
  if (width <= 0)
    gtk_widget_measure (window, GTK_ORIENTATION_HORIZONTAL, -1, NULL, &width, NULL, NULL);
  gtk_window_set_default_size (GTK_WINDOW (window), MIN (width, walk->width),
                               height > 0 ? MIN (height, walk->height) : -1);
  gtk_window_present (GTK_WINDOW (window));
  while (!gtk_widget_get_mapped (window))
    g_main_context_iteration (NULL, TRUE);
  wait_frames (window, FRAMES);
}

/* A page has nothing beyond its right edge, up to text of that percentage of the usual size. */
static void
check_across (Walk *walk, GtkWidget *page, int most)
{
  GtkWidget *scrolled = live_find (page, GTK_TYPE_SCROLLED_WINDOW);
  GtkAdjustment *across =
      scrolled == NULL ? NULL : gtk_scrolled_window_get_hadjustment (GTK_SCROLLED_WINDOW (scrolled));

  if (across != NULL && walk->percent <= most &&
      gtk_adjustment_get_upper (across) > gtk_adjustment_get_page_size (across) + 1)
    on_fault ("the page has to be scrolled sideways", walk);
}

/* The model keeps it. */
static GtkStackPage *
page_at (GListModel *pages, guint i)
{
  GtkStackPage *page = g_list_model_get_item (pages, i);

  g_object_unref (page);
  return page;
}

static void
look_at_stack (Walk *walk, GtkWidget *window, const char *name)
{
  GtkWidget *stack = live_find (window, GTK_TYPE_STACK);
  g_autoptr (GListModel) pages = NULL;

  g_assert_nonnull (stack);
  pages = G_LIST_MODEL (gtk_stack_get_pages (GTK_STACK (stack)));
  for (guint i = 0; i < g_list_model_get_n_items (pages); i++)
    {
      GtkStackPage *page = page_at (pages, i);

      gtk_stack_set_visible_child (GTK_STACK (stack), gtk_stack_page_get_child (page));
      look (walk, window, "%s %s", name, gtk_stack_page_get_title (page));
      if (g_str_equal (name, "preferences"))
        check_across (walk, gtk_stack_page_get_child (page), LARGE_TEXT);
    }
}

/* ---- the bench ---- */

static GFile *
demo_file (const char *name)
{
  g_autofree char *base = g_strconcat (name, ".sidelong", NULL);

  return g_file_new_build_filename (g_getenv ("SL_SOURCE_ROOT"), "data", "demo", base, NULL);
}

static SlProfile *
read_demo (const char *name)
{
  g_autoptr (GFile) file = demo_file (name);
  g_autoptr (GError) error = NULL;
  SlProfile *profile = sl_document_read (file, NULL, NULL, NULL, &error);

  g_assert_no_error (error);
  return profile;
}

static SlWindow *
new_bench (Walk *walk)
{
  const char *name = profile_name != NULL ? profile_name : "anchor-street-flat-top";
  g_autoptr (GFile) file = demo_file (name);
  SlWindow *window = sl_window_new (app);

  sl_window_put_on_bench (window, read_demo (name));
  sl_photos_set_file (window->bench, file);
  gtk_widget_activate_action (GTK_WIDGET (window), "win.lengths", "s", walk->unit);
  gtk_window_set_default_size (GTK_WINDOW (window), walk->width, walk->height);
  gtk_window_present (GTK_WINDOW (window));
  while (!gtk_widget_get_mapped (GTK_WIDGET (window)))
    g_main_context_iteration (NULL, TRUE);
  wait_frames (GTK_WIDGET (window), 4 * FRAMES);
  return window;
}

/* Each part of a sheet, and each thing that it shows on demand. */
static void
look_at_sheet (Walk *walk, GtkWidget *window, GtkWidget *sheet, const char *name, int most)
{
  g_autoptr (GPtrArray) buttons = g_ptr_array_new_with_free_func (g_object_unref);

  look (walk, window, "%s", name);
  check_across (walk, sheet, most);
  collect (sheet, GTK_TYPE_TOGGLE_BUTTON, buttons);
  for (guint i = 0; i < buttons->len; i++)
    {
      GtkToggleButton *button = buttons->pdata[i];
      const char *label = gtk_button_get_label (GTK_BUTTON (button));

      if (label == NULL || gtk_toggle_button_get_active (button) || !gtk_widget_get_mapped (GTK_WIDGET (button)) ||
          !gtk_widget_is_sensitive (GTK_WIDGET (button)) ||
          gtk_widget_get_ancestor (GTK_WIDGET (button), GTK_TYPE_MENU_BUTTON) != NULL)
        continue;
      gtk_toggle_button_set_active (button, TRUE);
      look (walk, window, "%s %s", name, label);
      check_across (walk, sheet, most);
    }
}

static void
look_at_sheets (Walk *walk, GtkWidget *window, const char *how)
{
  static const char *const fold[] = { "pitch", "visit", NULL };
  GtkWidget *stack = find_named (window, "sheets");
  g_autoptr (GListModel) pages = G_LIST_MODEL (gtk_stack_get_pages (GTK_STACK (stack)));

  for (guint i = 0; i < g_list_model_get_n_items (pages); i++)
    {
      GtkStackPage *page = page_at (pages, i);
      g_autofree char *name = g_strdup_printf ("%s %u %s", how, i + 1, gtk_stack_page_get_title (page));

      gtk_stack_set_visible_child (GTK_STACK (stack), gtk_stack_page_get_child (page));
      wait_frames (window, FRAMES);
      look_at_sheet (walk, window, gtk_stack_page_get_child (page), name,
                     g_strv_contains (fold, gtk_stack_page_get_name (page))    ? LARGE_TEXT
                     : g_str_equal (gtk_stack_page_get_name (page), "history") ? 100
                                                                               : 0);
    }
}

/* ---- the gaps ---- */

/* How many frets of the table of gaps are in sight, each with its number over it; the 12th is to be one of them. */
static guint
frets_in_sight (Walk *walk, GtkWidget *window)
{
  GtkWidget *table, *head;
  gboolean has_12 = FALSE;
  guint n = 0;

  wait_frames (window, FRAMES);
  table = live_find (window, SL_TYPE_FIGURE_TABLE);
  head = gtk_widget_get_first_child (table);
  for (GtkWidget *cell = gtk_widget_get_first_child (head); cell != NULL; cell = gtk_widget_get_next_sibling (cell))
    {
      const int fret = GTK_IS_LABEL (cell) ? atoi (gtk_label_get_text (GTK_LABEL (cell))) : 0;
      graphene_rect_t is;

      if (fret == 0 || !gtk_widget_get_mapped (cell) || !gtk_widget_compute_bounds (cell, head, &is) ||
          is.origin.x < 0 || is.origin.x + is.size.width > gtk_widget_get_width (head))
        continue;
      n++;
      has_12 = has_12 || fret == 12;
    }
  if (!has_12)
    on_fault ("gaps: fret 12 is not in sight", walk);
  return n;
}

/* The lowest row is to be in sight where the sheet does not scroll for large text or many strings; long words fold the
 * bar above it. */
static void
check_strings (Walk *walk, GtkWidget *window)
{
  GtkWidget *table = live_find (window, SL_TYPE_FIGURE_TABLE),
            *sight = gtk_widget_get_ancestor (table, GTK_TYPE_SCROLLED_WINDOW), *last = NULL;
  graphene_rect_t is;

  for (GtkWidget *row = gtk_widget_get_first_child (table); row != NULL; row = gtk_widget_get_next_sibling (row))
    last = gtk_widget_has_css_class (row, "sl-table-row") ? row : last;
  g_assert_true (gtk_widget_compute_bounds (last, sight, &is));
  if (walk->percent == 100 && !is_pseudo && is.origin.y + is.size.height > gtk_widget_get_height (sight))
    on_fault ("gaps: the lowest string is out of sight", walk);
}

/* All frets are not fewer than the default's, from 1440 on all there are; shown larger they all are there by
 * themselves, and as before when it is made small again. */
static void
check_gaps (Walk *walk, GtkWidget *window, guint n_frets)
{
  GtkToggleButton *all = GTK_TOGGLE_BUTTON (find_named (window, "all_frets")),
                  *margins = GTK_TOGGLE_BUTTON (find_named (window, "margins")),
                  *larger = GTK_TOGGLE_BUTTON (find_named (window, "larger_button"));
  const guint key = frets_in_sight (walk, window);
  guint seen;

  walk->page = "gaps";
  for (int with_margins = 0; with_margins <= 1; with_margins++)
    {
      gtk_toggle_button_set_active (margins, with_margins);
      gtk_toggle_button_set_active (all, TRUE);
      seen = frets_in_sight (walk, window);
      if (seen < key ||
          (walk->percent == 100 && walk->width >= 1440 && g_str_equal (walk->unit, "mm") && seen < n_frets))
        {
          g_autofree char *what = g_strdup_printf ("gaps: all frets show %u of %u, the default %u", seen, n_frets, key);

          on_fault (what, walk);
        }
      check_strings (walk, window);
    }
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (find_named (window, "gaps")), TRUE);
  gtk_toggle_button_set_active (all, FALSE);
  gtk_toggle_button_set_active (larger, TRUE);
  seen = frets_in_sight (walk, window);
  if (walk->percent == 100 && seen < n_frets)
    on_fault ("gaps: shown larger they are not all frets", walk);
  check_strings (walk, window);
  gtk_toggle_button_set_active (larger, FALSE);
  if (frets_in_sight (walk, window) != key && walk->percent == 100) /* else it scrolls, and not to where it was */
    on_fault ("gaps: made small again other frets are shown than before", walk);
}

static void
look_at_bench (Walk *walk)
{
  SlWindow *window = new_bench (walk);
  GtkWidget *widget = GTK_WIDGET (window), *drawer;

  check_gaps (walk, widget, (guint) sl_bench_get_profile (window->bench)->neck.frets);
  look_at_sheets (walk, widget, "bench");
  drawer = find_named (widget, "drawer_button");
  if (drawer != NULL && gtk_widget_get_mapped (drawer))
    {
      gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (drawer), TRUE);
      look (walk, widget, "drawer");
    }
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (find_named (widget, "larger_button")), TRUE);
  look_at_sheets (walk, widget, "larger");
  gtk_window_destroy (GTK_WINDOW (window));
}

/* ---- the other windows ---- */

static void
look_at_start (Walk *walk)
{
  SlWindow *window = sl_window_new (app);

  gtk_window_set_default_size (GTK_WINDOW (window), walk->width, walk->height);
  gtk_window_present (GTK_WINDOW (window));
  while (!gtk_widget_get_mapped (GTK_WIDGET (window)))
    g_main_context_iteration (NULL, TRUE);
  wait_frames (GTK_WIDGET (window), FRAMES);
  look (walk, GTK_WIDGET (window), "start");
  gtk_window_destroy (GTK_WINDOW (window));
}

static GtkWidget *
newest_over (SlWindow *parent)
{
  g_autoptr (GList) windows = gtk_window_list_toplevels ();
  GtkWidget *found = NULL;

  for (GList *l = windows; l != NULL && found == NULL; l = l->next)
    if (gtk_window_get_transient_for (l->data) == GTK_WINDOW (parent))
      found = l->data;
  g_assert_nonnull (found);
  return found;
}

/* The demo instruments, one with long names and one at fault. */
static void
fill_shelf (const char *folder)
{
  static const struct
  {
    const char *file, *id, *label, *owner, *model;
  } others[] = {
    { "long", "10000000-8c55-4c7d-b0a5-6f1d2f7a9c22",
      "Practice flat-top of the lower harbour's evening class, the one with the mended heel",
      "Evening class of the seamen's mission, Skarrow Haven", "Fourteen-fret flat-top with a cutaway, short scale" },
    { "fault", "no id at all", "Nobody's bolt-on", "Nobody", "None" },
  };
  g_autofree char *demos = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "data", "demo", NULL);
  g_autoptr (GDir) dir = g_dir_open (demos, 0, NULL);
  g_autoptr (GString) text = NULL;

  for (const char *name; (name = g_dir_read_name (dir)) != NULL;)
    {
      g_autofree char *from = g_build_filename (demos, name, NULL), *to = g_build_filename (folder, name, NULL),
                      *read = NULL;
      gsize length;

      if (!g_str_has_suffix (name, ".sidelong")) /* a folder of photographs */
        continue;
      g_assert_true (g_file_get_contents (from, &read, &length, NULL));
      g_assert_true (g_file_set_contents (to, read, (gssize) length, NULL));
      if (g_str_equal (name, "boathouse-bolt-on.sidelong"))
        text = g_string_new (read);
    }
  for (gsize i = 0; i < G_N_ELEMENTS (others); i++)
    {
      g_autoptr (GString) other = g_string_new (text->str);
      g_autofree char *to = g_strdup_printf ("%s/%s.sidelong", folder, others[i].file);

      g_assert_cmpuint (g_string_replace (other, "c2d1f6f0-8c55-4c7d-b0a5-6f1d2f7a9c22", others[i].id, 1), ==, 1);
      g_assert_cmpuint (g_string_replace (other, "Boathouse bolt-on", others[i].label, 1), ==, 1);
      g_assert_cmpuint (g_string_replace (other, "Bram Oskerry", others[i].owner, 1), ==, 1);
      g_assert_cmpuint (g_string_replace (other, "Two-pickup solid body", others[i].model, 1), ==, 1);
      g_assert_true (g_file_set_contents (to, other->str, -1, NULL));
      if (is_pseudo)
        {
          words_seen_allow (other->str);
          words_seen_allow (others[i].file);
        }
    }
}

static void
wait_for_rows (GtkWidget *shelf)
{
  for (int i = 0; i < WAIT_FRAMES; i++)
    {
      wait_frames (shelf, 1);
      g_usleep (2000);
    }
}

/* All columns are in sight, as far as the text goes; a profile chosen takes none of them away. */
static void
look_at_columns (Walk *walk, GtkWidget *shelf)
{
  GtkWidget *table = live_find (shelf, GTK_TYPE_COLUMN_VIEW);
  GtkAdjustment *across = gtk_scrollable_get_hadjustment (GTK_SCROLLABLE (table));

  if (walk->percent <= LARGE_TEXT && gtk_adjustment_get_upper (across) > gtk_adjustment_get_page_size (across))
    {
      g_autofree char *what = g_strdup_printf ("the shelf shows %.0f of %.0f", gtk_adjustment_get_page_size (across),
                                               gtk_adjustment_get_upper (across));

      on_fault (what, walk);
    }
}

static void
look_at_shelf (Walk *walk)
{
  GtkWidget *shelf = sl_shelf_window_get (app);

  present (walk, shelf);
  wait_for_rows (shelf);
  look (walk, shelf, "shelf");
  look_at_columns (walk, shelf);
  gtk_selection_model_select_item (
      gtk_column_view_get_model (GTK_COLUMN_VIEW (live_find (shelf, GTK_TYPE_COLUMN_VIEW))), 0, TRUE);
  wait_for_rows (shelf);
  look (walk, shelf, "shelf chosen");
  look_at_columns (walk, shelf);
  gtk_editable_set_text (GTK_EDITABLE (find_named (shelf, "search")), "nobody");
  wait_for_rows (shelf);
  look (walk, shelf, "shelf without result");
  gtk_editable_set_text (GTK_EDITABLE (find_named (shelf, "search")), "");
  for (int missing = 0; missing <= 1; missing++)
    {
      g_autofree char *path = missing ? g_strdup ("/nowhere") : g_dir_make_tmp ("sidelong-empty-XXXXXX", NULL);
      g_autoptr (GFile) folder = g_file_new_for_path (path);

      if (is_pseudo)
        words_seen_allow (path);
      sl_shelf_window_open_folder (SL_SHELF_WINDOW (shelf), folder, FALSE);
      wait_for_rows (shelf);
      look (walk, shelf, missing ? "shelf missing" : "shelf empty");
      g_file_delete (folder, NULL, NULL);
    }
  gtk_window_destroy (GTK_WINDOW (shelf));
}

/* ---- windows that say something ---- */

static GtkWidget *
newest_beside (SlWindow *window)
{
  g_autoptr (GList) windows = gtk_window_list_toplevels ();
  GtkWidget *found = NULL;

  for (GList *l = windows; l != NULL && found == NULL; l = l->next)
    if (l->data != window && gtk_widget_get_mapped (l->data))
      found = l->data;
  return found;
}

/* What an action of the program or of the window opens. */
static void
look_at_action (Walk *walk, SlWindow *window, const char *action, const char *name)
{
  GtkWidget *child = NULL;

  gtk_widget_activate_action (GTK_WIDGET (window), action, NULL);
  while ((child = newest_beside (window)) == NULL)
    g_main_context_iteration (NULL, TRUE);
  present (walk, child);
  look (walk, child, "%s", name);
  gtk_window_destroy (GTK_WINDOW (child));
  while (newest_beside (window) != NULL)
    g_main_context_iteration (NULL, FALSE);
}

static SlJournal *
made_journal (void)
{
  SlJournal *journal = g_new0 (SlJournal, 1);

  journal->path = sl_journal_new_path ();
  journal->file = demo_file ("anchor-street-flat-top");
  journal->profile = read_demo ("anchor-street-flat-top");
  journal->written = g_strdup ("2026-03-05T10:00:00Z");
  return journal;
}

/* Work that was left unsaved, told and drawn. */
static void
look_at_left (Walk *walk, SlWindow *window)
{
  const SlTextStyle style = { SL_LENGTHS_MM, "." };
  SlLeftWork left = { made_journal (), read_demo ("anchor-street-flat-top"), NULL, FALSE, NULL };
  GtkWidget *child;

  g_free (left.journal->profile->identity.label);
  left.journal->profile->identity.label = g_strdup ("Anchor Street flat-top, with the new saddle");
  left.changes = sl_profile_changes (left.now, left.journal->profile, &style);
  child = sl_left_window_new (GTK_WINDOW (window), &left);
  present (walk, child);
  look (walk, child, "left work");
  gtk_window_destroy (GTK_WINDOW (child));
  sl_journal_free (left.journal);
  sl_profile_free (left.now);
  g_clear_pointer (&left.changes, g_ptr_array_unref);
}

static void
look_at_photo (Walk *walk, SlWindow *window)
{
  const GArray *visits = sl_bench_get_profile (window->bench)->visits, *photos = NULL;
  GtkWidget *child;

  for (guint i = 0; i < visits->len && (photos == NULL || photos->len == 0); i++)
    photos = g_array_index (visits, SlVisit, i).photos;
  if (photos == NULL || photos->len == 0)
    return;
  sl_photo_window_present (GTK_WINDOW (window), window->bench, g_array_index (photos, SlPhoto, 0).id);
  child = newest_over (window);
  present (walk, child);
  wait_for_rows (child);
  look (walk, child, "photograph");
  gtk_window_destroy (GTK_WINDOW (child));
}

static void
look_at_message (Walk *walk, SlWindow *window, const char *name)
{
  GtkWidget *row;

  while (gtk_widget_get_first_child (window->messages) == NULL)
    g_main_context_iteration (NULL, TRUE);
  look (walk, GTK_WIDGET (window), "message %s", name);
  while ((row = gtk_widget_get_first_child (window->messages)) != NULL)
    sl_message_withdraw (window->messages, gtk_widget_get_name (row));
}

/* What the window says of files it can't read or write, and of others' work on them. */
static void
look_at_messages (Walk *walk)
{
  g_autofree char *place = g_dir_make_tmp ("sidelong-sizes-XXXXXX", NULL),
                  *path = g_build_filename (place, "anchor-street-flat-top.sidelong", NULL),
                  *away = g_strconcat (place, "-away", NULL), *text = NULL;
  g_autoptr (GFile) demo = demo_file ("anchor-street-flat-top"), stranger = demo_file ("driftnet-bass"),
                    file = g_file_new_for_path (path), none = g_file_new_for_path ("/nowhere/strings.wav");
  g_autoptr (GString) changed = NULL;
  SlWindow *window = sl_window_new (app);

  if (is_pseudo)
    words_seen_allow (place);
  g_assert_true (g_file_load_contents (demo, NULL, &text, NULL, NULL, NULL));
  g_assert_true (g_file_set_contents (path, text, -1, NULL));
  sl_window_show_file (app, file, GTK_WINDOW (window));
  while (window->bench == NULL)
    g_main_context_iteration (NULL, TRUE);
  present (walk, GTK_WIDGET (window));
  sl_window_show_file (app, none, GTK_WINDOW (window));
  look_at_message (walk, window, "no such file");
  changed = g_string_new (text);
  g_string_replace (changed, "<profile ", "<profil ", 1);
  g_assert_true (g_file_set_contents (path, changed->str, -1, NULL));
  sl_window_merge_files (app, file, file);
  look_at_message (walk, window, "broken");
  g_string_assign (changed, text);
  g_assert_cmpuint (g_string_replace (changed, "label=\"", "label=\"A. ", 1), ==, 1);
  g_assert_true (g_file_set_contents (path, changed->str, -1, NULL));
  look_at_message (walk, window, "changed");
  sl_window_save (window);
  look_at_message (walk, window, "not saved");
  sl_window_merge_files (app, file, stranger);
  look_at_message (walk, window, "two instruments");
  g_assert_cmpint (g_rename (place, away), ==, 0);
  sl_window_save (window);
  look_at_message (walk, window, "no folder");
  gtk_window_destroy (GTK_WINDOW (window));
}

/* The guide in English, which is in files of its own in each language. */
static char *
guide_text (void)
{
  g_autofree char *place = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "docs", "guide", NULL);
  g_autoptr (GDir) folder = g_dir_open (place, 0, NULL);
  GString *text = g_string_new (NULL);

  for (const char *name; (name = g_dir_read_name (folder)) != NULL;)
    {
      g_autofree char *path = g_build_filename (place, name, NULL), *page = NULL;

      if (g_str_has_suffix (name, ".md") && g_file_get_contents (path, &page, NULL, NULL))
        g_string_append (text, page);
    }
  return g_string_free (text, FALSE);
}

static void
look_at_words (Walk *walk)
{
  g_autofree char *guide = guide_text ();
  const struct
  {
    const char *action, *name, *foreign; /* in English: of the toolkit, which is left in it */
  } actions[] = {
    { "app.help", "help", guide },
    { "app.about", "about",
      "System. This program comes with absolutely no warranty. See the GNU General Public License, version 3 or later "
      "for details." },
    { "win.shortcuts", "shortcuts",
      "Search Shortcuts. No Results Found. Try a different search. Ctrl Shift Tab Delete" },
    { "win.export-templates", "export templates", "" },
  };
  SlWindow *window = new_bench (walk);

  look_at_photo (walk, window);
  look_at_left (walk, window);
  for (gsize i = 0; i < G_N_ELEMENTS (actions); i++)
    {
      if (is_pseudo)
        words_seen_allow_for_now (actions[i].foreign);
      look_at_action (walk, window, actions[i].action, actions[i].name);
    }
  gtk_window_destroy (GTK_WINDOW (window));
  if (is_pseudo) /* GLib and the XML library */
    words_seen_allow_for_now (
        "Error when getting information for file nowhere. Opening and ending tag mismatch: profil line");
  look_at_messages (walk);
  if (is_pseudo)
    words_seen_allow_for_now ("");
}

/* A new instrument, of which nothing was read: what each sheet says will be there. */
static void
look_at_empty (Walk *walk)
{
  SlWindow *window = sl_window_new (app);

  sl_window_put_on_bench (window, sl_starting_profile ("flat-top"));
  gtk_window_set_default_size (GTK_WINDOW (window), walk->width, walk->height);
  gtk_window_present (GTK_WINDOW (window));
  while (!gtk_widget_get_mapped (GTK_WIDGET (window)))
    g_main_context_iteration (NULL, TRUE);
  wait_frames (GTK_WIDGET (window), 4 * FRAMES);
  look_at_sheets (walk, GTK_WIDGET (window), "empty");
  gtk_window_destroy (GTK_WINDOW (window));
}

static void
look_at_windows (Walk *walk)
{
  g_autoptr (SlListen) listen = NULL;
  g_autoptr (GFile) file = NULL;
  SlWindow *window = new_bench (walk);
  GtkWidget *child = sl_instrument_window_new (GTK_WINDOW (window), window->bench);

  present (walk, child);
  look_at_stack (walk, child, "instrument");
  gtk_window_destroy (GTK_WINDOW (child));
  child = sl_preferences_new (GTK_WINDOW (window));
  present (walk, child);
  look_at_stack (walk, child, "preferences");
  gtk_window_destroy (GTK_WINDOW (child));
  sl_reading_run_present (GTK_WINDOW (window), window->bench);
  child = newest_over (window);
  present (walk, child);
  look (walk, child, "run");
  gtk_window_destroy (GTK_WINDOW (child));
  listen = sl_listen_new (window->bench);
  sl_listen_window_present (GTK_WINDOW (window), listen);
  child = newest_over (window);
  present (walk, child);
  look (walk, child, "listen");
  gtk_window_destroy (GTK_WINDOW (child));
  file = g_file_new_for_path ("/nowhere/strings.wav");
  sl_recording_window_present (GTK_WINDOW (window), window->bench, file);
  child = newest_over (window);
  present (walk, child);
  look (walk, child, "recording");
  gtk_window_destroy (GTK_WINDOW (child));
  gtk_window_destroy (GTK_WINDOW (window));
}

static gboolean
is_shown (GtkWidget *view, const char *id)
{
  GtkWidget *label = find_named (view, id);

  return gtk_widget_get_visible (label) && gtk_widget_get_width (label) > 0;
}

/* Whether the one picture is there, or both of two. */
static gboolean
is_loaded (GtkWidget *view)
{
  const int wanted = is_shown (view, "slider") ? 2 : 1;

  return is_shown (view, "before") + is_shown (view, "after") == wanted || is_shown (view, "faults");
}

/* One after the other, each once it is loaded or said not to be there. */
static void
look_at_photos (Walk *walk, GtkWidget *child)
{
  GtkWidget *view, *page, *on;

  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (find_named (child, "photos_button")), TRUE);
  wait_frames (child, FRAMES);
  view = live_find (child, SL_TYPE_PHOTO_PAIR_VIEW);
  page = gtk_widget_get_parent (view);
  on = find_named (page, "on");
  for (gboolean more = TRUE; more;)
    {
      while (!is_loaded (view))
        g_main_context_iteration (NULL, TRUE);
      wait_frames (child, WAIT_FRAMES); /* its labels come with the second of two */
      look (walk, child, "customer photographs %s", gtk_label_get_text (GTK_LABEL (find_named (page, "number"))));
      more = gtk_widget_get_mapped (on) && gtk_widget_is_sensitive (on);
      if (more)
        gtk_widget_activate (on);
      wait_frames (child, FRAMES);
    }
}

static void
look_at_customer (Walk *walk)
{
  SlWindow *window = new_bench (walk);
  GtkWidget *child = sl_customer_view_new (GTK_WINDOW (window), window->bench);

  gtk_window_unfullscreen (GTK_WINDOW (child)); /* as large as the screen is meant to be */
  gtk_window_set_default_size (GTK_WINDOW (child), walk->width, walk->height);
  present (walk, child);
  look (walk, child, "customer");
  if (gtk_widget_get_mapped (find_named (child, "photos_button")))
    look_at_photos (walk, child);
  gtk_window_destroy (GTK_WINDOW (child));
  gtk_window_destroy (GTK_WINDOW (window));
}

static const struct
{
  const char *name;
  void (*look_at) (Walk *walk);
} parts[] = { { "bench", look_at_bench },       { "windows", look_at_windows }, { "start", look_at_start },
              { "customer", look_at_customer }, { "shelf", look_at_shelf },     { "words", look_at_words },
              { "empty", look_at_empty } };

/* ---- sizes ---- */

static void
test_size (gconstpointer data)
{
  g_auto (GStrv) words = g_strsplit_set (data, "x@/", -1);
  Walk walk = { atoi (words[0]), atoi (words[1]), atoi (words[2]), words[3] == NULL ? (char *) "mm" : words[3] };

  walk.said = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_object_set (gtk_settings_get_default (), "gtk-xft-dpi", walk.percent * 96 * PANGO_SCALE / 100, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (parts); i++)
    if (part == NULL || g_str_equal (part, parts[i].name))
      parts[i].look_at (&walk);
  g_test_message ("%u pages, %u faults", walk.n_pages, g_hash_table_size (walk.said));
  if (g_hash_table_size (walk.said) > 0)
    g_test_fail_printf ("%u faults at %s", g_hash_table_size (walk.said), (const char *) data);
  g_hash_table_unref (walk.said);
}

/* Messages in the language of the environment; the toolkit is left in English. */
static void
bind_language (void)
{
  const char *folder = g_getenv ("SIDELONG_LOCALE_DIR");

  bindtextdomain (GETTEXT_PACKAGE, folder);
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
}

int
main (int argc, char **argv)
{
  g_autofree char *folder = g_dir_make_tmp ("sidelong-sizes-XXXXXX", NULL),
                  *instruments = g_build_filename (folder, "instruments", NULL), *shelf = NULL;
  g_autoptr (GOptionContext) context = g_option_context_new (NULL);
  g_autoptr (GError) error = NULL;
  int status;

  setlocale (LC_ALL, "");
  bind_language ();
  g_test_init (&argc, &argv, NULL);
  g_option_context_add_main_entries (context, options, NULL);
  g_option_context_parse (context, &argc, &argv, &error);
  g_assert_no_error (error);
  g_setenv ("XDG_DATA_HOME", folder, TRUE);
  if (!gtk_init_check ())
    return SKIPPED;
  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", FALSE, NULL);
  is_pseudo = g_strcmp0 (g_getenv ("LANGUAGE"), "qal") == 0;
  if (is_pseudo)
    {
      words_seen_init ();
      words_seen_allow (folder); /* the shelf shows where it is */
      words_seen_allow ("instruments strings.wav");
    }
  app = live_app_new ();
  g_mkdir (instruments, 0700);
  fill_shelf (instruments);
  shelf = g_filename_to_uri (instruments, NULL, NULL);
  sl_settings_set (SL_SETTING_SHELF_FOLDER, g_variant_new_string (shelf));
  sl_settings_set (
      SL_SETTING_COLOUR_SCHEME,
      g_variant_new_string (wanted_look != NULL && g_str_has_suffix (wanted_look, "dark") ? "dark" : "light"));
  if (wanted_look != NULL && g_str_has_prefix (wanted_look, "contrast"))
    g_object_set (gtk_settings_get_default (), "gtk-theme-name", "HighContrast", NULL);
  for (char **size = sizes; size != NULL && *size != NULL; size++)
    {
      g_autofree char *path = g_strdup_printf ("/sizes/%s", *size);

      g_test_add_data_func (g_strdelimit (path, "/", '/'), *size, test_size);
    }
  status = g_test_run ();
  g_object_unref (app);
  return status;
}

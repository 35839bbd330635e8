/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is typed and not entered, in the whole window: an entry of each kind, and everything that is to take it in first
 * or to be stopped by it. Nothing is typed by keys: an entry can't tell. Skipped where there is no display. */
#include "live-window.h"

#include "desk/customer/parts.h"
#include "desk/instrument/instrument-window.h"
#include "desk/kit/length-entry.h"
#include "desk/kit/kit.h"
#include "desk/kit/util.h"
#include "desk/readings/readings.h"
#include "desk/window/parts.h"
#include "file/document.h"

#include <glib/gstdio.h>
#include <unistd.h>

#define SKIPPED 77
#define FRAMES 4

static GtkApplication *app;

/* ---- the kinds of entries ---- */

typedef enum
{
  IN_WINDOW,
  IN_INSTRUMENT,
  IN_RUN,
  IN_CUSTOMER,
  IN_PREFERENCES
} Where;

/* @good stands in the saved document as @kept, which is not there before; NULL: it belongs to no document. @bad is
 * refused; NULL: any text is good. */
typedef struct
{
  const char *path, *name;
  Where where;
  const char *sheet, *good, *kept, *bad;
} Kind;

static const Kind kinds[] = {
  { "reading", "Action at fret 12, string 6", IN_WINDOW, NULL, "2.77", "gap=\"2.77\"", "2,7x" },
  { "air", "Temperature", IN_WINDOW, NULL, "19", "temperature=\"19\"", "warm" },
  { "amount", "Saddle underside, bass side", IN_WINDOW, NULL, "0.77", "bass=\"0.77\"", "2,7x" },
  { "turns", "Turns of the rod’s nut, plus tightens", IN_WINDOW, NULL, "0.25", "turns=\"0.25\"", "half" },
  { "other-strings", "Gauges of the set, from the treble up", IN_WINDOW, NULL, "11 14 18 27w 35w 45w",
    "11 14 18 27w 35w 45w", "10 thick 17" },
  { "crown", "Crown gap, fret 3", IN_WINDOW, "frets", "0.07", "gap=\"0.07\"", "2,7x" },
  { "string", "Core diameter, string 1", IN_WINDOW, "strings", "0.297", "core-diameter=\"0.297\"", "2,7x" },
  { "post", "Wrap above the face", IN_WINDOW, "strings", "3.7", NULL, "2,7x" },
  { "compared", "Gauges of another set, from the treble up", IN_WINDOW, "strings", "10 13 17 26w 36w 46w", NULL,
    "10 13 17 26 36 46" },
  { "tuner", "Tuner, string 1, fret 12", IN_WINDOW, "pitch", "4.5", "cents=\"4.5\"", "2,7x" },
  { "calculator", "Width across the grain", IN_WINDOW, "climate", "378", NULL, "2,7x" },
  { "climate", "Humidity", IN_WINDOW, "climate", "61", NULL, "damp" },
  { "band", "Good from", IN_WINDOW, "climate", "46", NULL, "damp" },
  { "note", "What the player asked for", IN_WINDOW, "visit", "Nightjar asked for it", "Nightjar asked", NULL },
  { "opened", "Day the visit was opened: year, month, day", IN_WINDOW, "visit", "2026-02-08", "opened=\"2026-02-08\"",
    "2026-02-30" },
  { "check-note", "Note on: Braces", IN_WINDOW, "visit", "Nightjar holds", "Nightjar holds", NULL },
  { "check", "Another check", IN_WINDOW, "visit", "Nightjar rail", "check name=\"Nightjar rail\"", NULL },
  { "charge", "Charge 1, what for", IN_WINDOW, "visit", "Nightjar work", "Nightjar work", NULL },
  { "minutes", "Charge 1, minutes", IN_WINDOW, "visit", "77", "minutes=\"77\"", "an hour" },
  { "label", "Name", IN_INSTRUMENT, NULL, "Nightjar", "label=\"Nightjar\"", "" },
  { "text", "Note", IN_INSTRUMENT, NULL, "Nightjar on a stand", "Nightjar on a stand", NULL },
  { "fitted", "Fitted on: year, month, day", IN_INSTRUMENT, NULL, "2026-02-08", "fitted=\"2026-02-08\"", "2026-02-30" },
  { "description", "Scale length", IN_INSTRUMENT, NULL, "647.5", "scale-length=\"647.5\"", "2,7x" },
  { "count", "Joint fret", IN_INSTRUMENT, NULL, "13", "joint-fret=\"13\"", "13.5" },
  { "sense", "Joint fret", IN_INSTRUMENT, NULL, "13", "joint-fret=\"13\"", "30" },
  { "run", "Relief at fret 7, string 6", IN_RUN, NULL, "0.37", "gap=\"0.37\"", "2,7x" },
  { "sentence", "Sentence 1", IN_CUSTOMER, NULL, "Nightjar told it", NULL, NULL },
  { "habit", "A slot", IN_PREFERENCES, NULL, "0.025", NULL, "2,7x" },
  { "tool", "Name of tool 1", IN_PREFERENCES, NULL, "Nightjar feelers", NULL, "Dial gauge on a beam" },
  { "tool-figure", "Error limit of Dial gauge on a beam", IN_PREFERENCES, NULL, "0.03", NULL, "2,7x" },
};

/* ---- a window, and one entry in it ---- */

typedef struct
{
  const Kind *kind;
  char *folder, *path;
  SlWindow *window;
  GtkWidget *entry;
  char *before; /* its text */
} Fixture;

typedef gboolean (*Wanted) (GtkWidget *widget, gconstpointer data);

static GtkWidget *
find (GtkWidget *from, Wanted wanted, gconstpointer data)
{
  GtkWidget *found = wanted (from, data) ? from : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (from); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = find (child, wanted, data);
  return found;
}

static gboolean
is_named (GtkWidget *widget, gconstpointer name)
{
  return (GTK_IS_ENTRY (widget) || GTK_IS_TEXT_VIEW (widget)) && g_strcmp0 (sl_entry_name (widget), name) == 0;
}

static gboolean
has_page (GtkWidget *widget, gconstpointer page)
{
  return GTK_IS_STACK (widget) && gtk_stack_get_child_by_name (GTK_STACK (widget), page) != NULL;
}

static gboolean
is_words (GtkWidget *widget, gconstpointer data)
{
  return SL_IS_CUSTOMER_WORDS (widget);
}

/* Until all is made and laid out: the columns beside the drawing come with the second frame. */
static void
await (Fixture *f)
{
  for (int i = 0; i < FRAMES; i++)
    live_wait_frame (f->window);
}

/* The window that is not among these: what was opened last. NULL: none. */
static GtkWidget *
window_beside (Fixture *f, const char *title)
{
  g_autoptr (GList) windows = gtk_window_list_toplevels ();

  for (GList *l = windows; l != NULL; l = l->next)
    if (l->data != f->window && g_strcmp0 (gtk_window_get_title (l->data), title) == 0)
      return l->data;
  return NULL;
}

static void
settle (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static void
act (Fixture *f, const char *name)
{
  g_action_group_activate_action (G_ACTION_GROUP (f->window), name, NULL);
  settle ();
}

static GtkWidget *
find_entry (Fixture *f)
{
  GtkWidget *from = GTK_WIDGET (f->window);

  switch (f->kind->where)
    {
    case IN_WINDOW:
      if (f->kind->sheet != NULL)
        gtk_stack_set_visible_child_name (GTK_STACK (find (from, has_page, f->kind->sheet)), f->kind->sheet);
      if (g_str_equal (f->kind->path, "climate")) /* two entries have its kind of name */
        from = gtk_stack_get_visible_child (GTK_STACK (find (from, has_page, f->kind->sheet)));
      break;
    case IN_INSTRUMENT:
      act (f, "instrument");
      from = f->window->instrument;
      break;
    case IN_RUN:
      sl_reading_run_present (GTK_WINDOW (f->window), f->window->bench);
      from = window_beside (f, "Reading run");
      break;
    case IN_CUSTOMER:
      act (f, "show-customer");
      sl_customer_words_set_editing (SL_CUSTOMER_WORDS (find (f->window->customer, is_words, NULL)), TRUE);
      from = f->window->customer;
      break;
    case IN_PREFERENCES:
      g_action_group_activate_action (G_ACTION_GROUP (app), "preferences", NULL);
      from = window_beside (f, "Preferences");
      break;
    default: g_assert_not_reached ();
    }
  g_assert_nonnull (from);
  await (f);
  from = find (from, is_named, f->kind->name);
  g_assert_nonnull (from);
  for (GtkWidget *at = from; at != NULL; at = gtk_widget_get_parent (at))
    if (GTK_IS_STACK (gtk_widget_get_parent (at)))
      gtk_stack_set_visible_child (GTK_STACK (gtk_widget_get_parent (at)), at);
  await (f);
  return from;
}

static char *
text_of (GtkWidget *entry)
{
  char *text;

  g_object_get (GTK_IS_TEXT_VIEW (entry) ? G_OBJECT (gtk_text_view_get_buffer (GTK_TEXT_VIEW (entry)))
                                         : G_OBJECT (entry),
                "text", &text, NULL);
  return text;
}

static void
type (Fixture *f, const char *text)
{
  if (GTK_IS_TEXT_VIEW (f->entry))
    gtk_text_buffer_set_text (gtk_text_view_get_buffer (GTK_TEXT_VIEW (f->entry)), text, -1);
  else
    gtk_editable_set_text (GTK_EDITABLE (f->entry), text);
}

static void
set_up (Fixture *f, gconstpointer data)
{
  g_autofree char *demo =
      g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "data", "demo", "anchor-street-flat-top.sidelong", NULL);
  g_autofree char *text = NULL;
  g_autoptr (GFile) file = NULL;
  gsize length;

  f->kind = data;
  f->folder = g_dir_make_tmp ("sidelong-typed-XXXXXX", NULL);
  f->path = g_build_filename (f->folder, "anchor.sidelong", NULL);
  g_assert_true (g_file_get_contents (demo, &text, &length, NULL));
  g_assert_true (g_file_set_contents (f->path, text, (gssize) length, NULL));
  file = g_file_new_for_path (f->path);
  f->window = sl_window_new (app);
  gtk_window_set_default_size (GTK_WINDOW (f->window), LIVE_WIDTH, LIVE_HEIGHT);
  sl_window_show_file (app, file, GTK_WINDOW (f->window));
  while (f->window->bench == NULL || !gtk_widget_get_mapped (GTK_WIDGET (f->window)))
    g_main_context_iteration (NULL, TRUE);
  if (g_str_equal (f->kind->path, "other-strings")) /* its card comes with its step, which is saved */
    {
      sl_edit_begin_work (f->window->bench, SL_OP_FIT_STRINGS);
      sl_bench_mark_saved (f->window->bench, sl_bench_get_revision (f->window->bench));
    }
  await (f);
  f->entry = find_entry (f);
  f->before = text_of (f->entry);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  g_autoptr (GList) windows = gtk_window_list_toplevels ();

  for (GList *l = windows; l != NULL; l = l->next)
    if (l->data != f->window && gtk_window_get_transient_for (l->data) != GTK_WINDOW (f->window))
      gtk_window_destroy (l->data);
  if (f->window != NULL)
    gtk_window_destroy (GTK_WINDOW (f->window));
  while (g_main_context_iteration (NULL, FALSE))
    ;
  g_assert_true (sl_typed_take (NULL)); /* nothing is left of what is gone */
  g_remove (f->path);
  g_rmdir (f->folder);
  g_free (f->path);
  g_free (f->folder);
  g_free (f->before);
}

/* ---- what is done ---- */

static gboolean
can_save (Fixture *f)
{
  return g_action_group_get_action_enabled (G_ACTION_GROUP (f->window), "save");
}

static gboolean
is_marked_unsaved (Fixture *f)
{
  return g_str_has_prefix (gtk_window_get_title (GTK_WINDOW (f->window)), "•");
}

static gboolean
profile_has (Fixture *f, const char *kept)
{
  g_autoptr (GBytes) bytes = sl_document_print (sl_bench_get_profile (f->window->bench));

  return g_strstr_len (g_bytes_get_data (bytes, NULL), (gssize) g_bytes_get_size (bytes), kept) != NULL;
}

static gboolean
file_has (Fixture *f, const char *kept)
{
  g_autofree char *text = NULL;

  g_assert_true (g_file_get_contents (f->path, &text, NULL, NULL));
  return strstr (text, kept) != NULL;
}

/* What the entry belongs to: the window with the document, or one apart. */
static GtkWindow *
owner (Fixture *f)
{
  return f->kind->where == IN_PREFERENCES ? GTK_WINDOW (gtk_widget_get_root (f->entry)) : GTK_WINDOW (f->window);
}

static gboolean
is_pending (Fixture *f)
{
  g_auto (GStrv) typed = sl_typed_list (owner (f));

  for (guint i = 0; typed != NULL && typed[i] != NULL; i += 2)
    if (g_str_equal (typed[i], f->kind->name))
      return TRUE;
  return FALSE;
}

static guint
count_windows (void)
{
  return g_list_model_get_n_items (gtk_window_get_toplevels ());
}

static void
finish_save (Fixture *f)
{
  while (f->window->saving)
    g_main_context_iteration (NULL, TRUE);
}

/* Whatever came up because of what was done goes again. */
static void
clear_away (Fixture *f)
{
  GtkWidget *const windows[] = { f->window->question, f->window->export_options,
                                 f->kind->where == IN_CUSTOMER ? NULL : f->window->customer,
                                 f->kind->where == IN_INSTRUMENT ? NULL : f->window->instrument };

  for (gsize i = 0; i < G_N_ELEMENTS (windows); i++)
    if (windows[i] != NULL)
      gtk_window_destroy (GTK_WINDOW (windows[i]));
  g_clear_object (&f->window->chooser);
  settle ();
}

static void
close_window (Fixture *f)
{
  gtk_window_close (GTK_WINDOW (f->window));
}

static void
close_own (Fixture *f)
{
  gtk_window_close (GTK_WINDOW (gtk_widget_get_root (f->entry)));
}

static void
quit (Fixture *f)
{
  g_action_group_activate_action (G_ACTION_GROUP (app), "quit", NULL);
}

static void
read_again (Fixture *f)
{
  sl_bench_read_again (f->window->bench, FALSE);
}

static gboolean
writes_habits (GtkWidget *widget, gconstpointer data)
{
  return GTK_IS_BUTTON (widget) && g_strcmp0 (gtk_button_get_label (GTK_BUTTON (widget)), "Write as a file…") == 0;
}

static void
write_habits (Fixture *f)
{
  g_signal_emit_by_name (find (GTK_WIDGET (gtk_widget_get_root (f->entry)), writes_habits, NULL), "clicked");
}

/* Of all windows: of the one with the document only where that has the entry. */
static const struct
{
  const char *action; /* of the window */
  void (*run) (Fixture *f);
} actions[] = {
  { "save" },
  { "save-as" },
  { "export" },
  { "export-sheet" },
  { "export-table" },
  { "print-templates" },
  { "copy-table" },
  { "show-customer" },
  { "instrument" },
  { "open" },
  { "undo" },
  { NULL, read_again },
  { NULL, close_window },
  { NULL, write_habits },
  { NULL, quit },
  { NULL, close_own },
};

static void
run (Fixture *f, guint i)
{
  if (actions[i].action != NULL)
    g_action_group_activate_action (G_ACTION_GROUP (f->window), actions[i].action, NULL);
  else
    actions[i].run (f);
  settle ();
}

static gboolean
concerns (Fixture *f, guint i)
{
  if (f->kind->where == IN_PREFERENCES)
    return actions[i].run == quit || actions[i].run == close_own ||
           (actions[i].run == write_habits && g_str_equal (f->kind->path, "habit"));
  if (actions[i].run == write_habits)
    return FALSE;
  return f->kind->where != IN_CUSTOMER || /* what changes there what was done has it told anew */
         (actions[i].run != read_again && g_strcmp0 (actions[i].action, "undo") != 0);
}

/* ---- the tests ---- */

/* The title says so, and what can be saved, from the first key to the last that puts the old text back. */
static void
test_title (Fixture *f)
{
  const gboolean is_live = f->kind->kept == NULL; /* in force with each key, or of no document */

  g_assert_false (is_marked_unsaved (f));
  g_assert_false (can_save (f));
  type (f, f->kind->good);
  if (!is_live)
    {
      const char *const *typed = sl_bench_get_typed (f->window->bench);

      g_assert_true (is_marked_unsaved (f));
      g_assert_true (can_save (f));
      g_assert_nonnull (typed);
      g_assert_cmpstr (typed[0], ==, f->kind->name);
      g_assert_cmpstr (typed[1], ==, f->kind->good);
      g_assert_null (typed[2]);
    }
  type (f, f->before);
  g_assert_false (is_marked_unsaved (f));
  g_assert_false (can_save (f));
  g_assert_null (sl_bench_get_typed (f->window->bench));
}

/* Refused, it stops each of them, stays, and has the keyboard. */
static void
test_refused (Fixture *f)
{
  g_autofree char *document = NULL, *after = NULL;
  g_autoptr (GBytes) profile = sl_document_print (sl_bench_get_profile (f->window->bench));

  g_assert_true (g_file_get_contents (f->path, &document, NULL, NULL));
  if (f->kind->bad == NULL)
    return;
  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    {
      const guint n_windows = count_windows ();
      const SlReadingSet *set = sl_bench_get_set (f->window->bench);
      g_autofree char *text = NULL;
      g_autoptr (GBytes) now = NULL;

      if (!concerns (f, i))
        continue;
      g_test_message ("%s: action %u", f->kind->path, i);
      type (f, f->kind->bad);
      gtk_window_set_focus (GTK_WINDOW (f->window), NULL);
      run (f, i);
      g_assert_cmpuint (count_windows (), ==, n_windows);
      g_assert_null (f->window->chooser);
      g_assert_false (f->window->saving);
      g_assert_true (sl_bench_get_set (f->window->bench) == set);
      text = text_of (f->entry);
      g_assert_cmpstr (text, ==, f->kind->bad);
      g_assert_true (is_pending (f));
      g_assert_true (gtk_widget_get_mapped (f->entry));
      g_assert_true (gtk_widget_is_ancestor (gtk_root_get_focus (gtk_widget_get_root (f->entry)), f->entry));
      now = sl_document_print (sl_bench_get_profile (f->window->bench));
      g_assert_true (g_bytes_equal (now, profile));
    }
  g_assert_true (g_file_get_contents (f->path, &after, NULL, NULL));
  g_assert_cmpstr (after, ==, document);
}

/* Good, it is in force before each of them is done. */
static void
test_taken (Fixture *f)
{
  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    {
      if (!concerns (f, i) || actions[i].run == close_own || actions[i].run == quit || actions[i].run == close_window ||
          actions[i].run == write_habits)
        continue;
      if (f->kind->where == IN_RUN && i > 0)
        continue; /* it does not follow what is undone beneath it: nobody can */
      if (f->kind != kinds && actions[i].run == NULL && !g_str_equal (actions[i].action, "save") &&
          !g_str_equal (actions[i].action, "undo"))
        continue; /* all go the same way */
      g_test_message ("%s: action %u", f->kind->path, i);
      g_assert_true (f->kind->kept == NULL || !profile_has (f, f->kind->kept));
      type (f, f->kind->good);
      run (f, i);
      g_assert_false (is_pending (f));
      if (g_strcmp0 (actions[i].action, "undo") == 0 && f->kind->kept != NULL)
        {
          g_assert_false (profile_has (f, f->kind->kept));
          act (f, "redo"); /* it was a step, which is not lost */
        }
      g_assert_true (f->kind->kept == NULL || profile_has (f, f->kind->kept));
      clear_away (f);
      finish_save (f);
      if (actions[i].run == read_again && f->kind->kept != NULL)
        act (f, "undo");
      while (f->kind->kept != NULL && profile_has (f, f->kind->kept))
        act (f, "undo");
      if (f->kind->kept == NULL)
        type (f, f->before);
    }
}

static void
test_saved (Fixture *f)
{
  if (f->kind->kept == NULL)
    return;
  type (f, f->before);
  act (f, "save"); /* as it was */
  finish_save (f);
  g_assert_false (file_has (f, f->kind->kept));
  type (f, f->kind->good);
  act (f, "save");
  finish_save (f);
  g_assert_true (file_has (f, f->kind->kept));
  g_assert_false (is_marked_unsaved (f));
  g_assert_false (can_save (f));
}

/* Closed, quit: in force, and so there is something to ask about. The window it lies in alone: in force, and gone. */
static void
test_closed (Fixture *f)
{
  static void (*const ways[]) (Fixture * f) = { close_window, quit };

  while (f->kind->kept != NULL && profile_has (f, f->kind->kept))
    act (f, "undo");
  type (f, f->before);
  act (f, "save");
  finish_save (f);

  if (f->kind->where == IN_RUN || f->kind->where == IN_INSTRUMENT)
    {
      type (f, f->kind->good);
      close_own (f);
      g_assert_true (profile_has (f, f->kind->kept));
      return;
    }
  for (gsize i = 0; i < G_N_ELEMENTS (ways) && f->kind->kept != NULL; i++)
    {
      type (f, f->kind->good);
      ways[i](f);
      g_assert_true (profile_has (f, f->kind->kept));
      g_assert_nonnull (f->window->question);
      clear_away (f);
      act (f, "undo");
    }
}

/* One window for all of it. */
static void
test_kind (Fixture *f, gconstpointer data)
{
  const SlReading first = { .kind = SL_READ_CROWN_GAP, .fret = 1, .value = sl_number (0.02) };

  test_title (f);
  if (f->kind->where != IN_CUSTOMER)
    sl_bench_put_reading (f->window->bench, "first", first); /* there is something to undo */
  settle ();
  test_refused (f);
  type (f, f->before);
  test_taken (f);
  test_saved (f);
  type (f, f->kind->good);
  if (f->kind->where != IN_PREFERENCES) /* the keys of the document work in every window of it */
    g_assert_true (gtk_widget_activate_action (f->entry, "win.save", NULL));
  finish_save (f);
  test_closed (f);
}

/* A new instrument that has a name is put on the bench, and asked about. */
static void
test_start_page (void)
{
  SlWindow *window = sl_window_new (app);
  GtkWidget *label;

  gtk_window_present (GTK_WINDOW (window));
  settle ();
  label = GTK_WIDGET (gtk_widget_get_template_child (window->start_page, SL_TYPE_START_PAGE, "label_entry"));
  gtk_editable_set_text (GTK_EDITABLE (label), "Nightjar");
  gtk_window_close (GTK_WINDOW (window));
  settle ();
  g_assert_nonnull (window->bench);
  g_assert_cmpstr (sl_bench_get_profile (window->bench)->identity.label, ==, "Nightjar");
  g_assert_nonnull (window->question);
  gtk_window_destroy (GTK_WINDOW (window->question));
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
}

int
main (int argc, char **argv)
{
  int status;

  if (!gtk_init_check ())
    return SKIPPED;
  g_test_init (&argc, &argv, NULL);
  app = live_app_new ();
  g_application_hold (G_APPLICATION (app));
  for (gsize i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      g_autofree char *path = g_strdup_printf ("/desk/typed/%s", kinds[i].path);

      g_test_add (path, Fixture, &kinds[i], set_up, test_kind, tear_down);
    }
  g_test_add_func ("/desk/typed/start-page", test_start_page);
  status = g_test_run ();
  g_object_unref (app);
  return status;
}

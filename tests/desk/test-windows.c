/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The program's windows among each other: which one an example opens in, in which order they may go, and
 * when. Skipped where there is no display. */
#include "live-window.h"

#include "bench/settings.h"
#include "desk/kit/kit.h"
#include "desk/shelf/parts.h"
#include "desk/window/parts.h"

#define SKIPPED 77
#define EXAMPLE "anchor-street-flat-top"
#define NAMED "A name just typed"

static GtkApplication *app;

static void
act (const char *name, const char *parameter)
{
  g_action_group_activate_action (G_ACTION_GROUP (app), name,
                                  parameter != NULL ? g_variant_new_string (parameter) : NULL);
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

/* The window with an instrument of this name; NULL: none. */
static SlWindow *
showing (const char *label)
{
  for (GList *l = gtk_application_get_windows (app); l != NULL; l = l->next)
    if (SL_IS_WINDOW (l->data) && SL_WINDOW (l->data)->bench != NULL &&
        g_str_equal (sl_bench_get_profile (SL_WINDOW (l->data)->bench)->identity.label, label))
      return l->data;
  return NULL;
}

static SlWindow *
new_window (void)
{
  SlWindow *window = sl_window_new (app);

  gtk_window_present (GTK_WINDOW (window));
  return window;
}

static void
destroy_all (void)
{
  while (gtk_application_get_windows (app) != NULL)
    gtk_window_destroy (gtk_application_get_windows (app)->data);
}

static GFile *
demo_file (void)
{
  return g_file_new_build_filename (g_getenv ("SL_SOURCE_ROOT"), "data", "demo", EXAMPLE ".sidelong", NULL);
}

/* Closes the window, and goes on until what still holds it has let go of it: no other has come up by then. */
static void
await_end (gpointer window)
{
  gpointer left = window;

  g_object_add_weak_pointer (window, &left);
  gtk_window_close (window);
  while (left != NULL)
    g_main_context_iteration (NULL, TRUE);
  g_assert_cmpuint (g_list_model_get_n_items (gtk_window_get_toplevels ()), ==, 0);
}

/* The start page's first entry is the instrument's name. */
static void
test_example_beside_a_name (void)
{
  SlWindow *window = new_window (), *named;

  live_settle (window);
  gtk_editable_set_text (GTK_EDITABLE (live_find (window->start_page, GTK_TYPE_ENTRY)), NAMED);
  act ("open-example", EXAMPLE);
  named = showing (NAMED);
  g_assert_true (named == window);
  g_assert_cmpuint (g_list_length (gtk_application_get_windows (app)), ==, 2);
  g_assert_null (window->file);
  destroy_all ();
}

/* The visible entries of the start page: its name, its owner. */
static GtkWidget *
start_entry (SlWindow *window, gboolean owner)
{
  GtkWidget *name = live_find (window->start_page, GTK_TYPE_ENTRY), *next = gtk_widget_get_next_sibling (name);

  while (owner && !GTK_IS_ENTRY (next))
    next = gtk_widget_get_next_sibling (next);
  return owner ? next : name;
}

/* An owner without a name is asked for the name, whatever would make the page go; Escape gives it up. */
static void
test_owner_without_a_name (void)
{
  g_autoptr (GFile) file = demo_file ();
  SlWindow *window = new_window ();
  gpointer left = window;
  GtkWidget *name, *owner;

  g_object_add_weak_pointer (G_OBJECT (window), &left);
  live_settle (window);
  name = start_entry (window, FALSE);
  owner = start_entry (window, TRUE);
  gtk_editable_set_text (GTK_EDITABLE (owner), "Wenna Trask");
  gtk_widget_grab_focus (owner);
  gtk_window_close (GTK_WINDOW (window));
  live_settle (window);
  g_assert_true (left == window && window->bench == NULL);
  g_assert_true (gtk_widget_has_css_class (name, "error"));
  g_assert_true (gtk_widget_is_ancestor (gtk_window_get_focus (GTK_WINDOW (window)), name));
  sl_window_show_file (app, file, GTK_WINDOW (window));
  while (g_list_length (gtk_application_get_windows (app)) < 2)
    g_main_context_iteration (NULL, TRUE);
  g_assert_null (window->bench);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (owner)), ==, "Wenna Trask");
  /* with a name it goes on the bench */
  gtk_editable_set_text (GTK_EDITABLE (name), NAMED);
  g_assert_true (sl_typed_take (GTK_WINDOW (window)));
  g_assert_true (showing (NAMED) == window);
  g_assert_cmpstr (sl_bench_get_profile (window->bench)->identity.owner, ==, "Wenna Trask");
  destroy_all ();
  window = new_window ();
  live_settle (window);
  gtk_editable_set_text (GTK_EDITABLE (start_entry (window, TRUE)), "Wenna Trask");
  gtk_widget_activate_action (window->start_page, "start.give-up", NULL);
  await_end (window);
}

/* Nothing is typed: the example takes the place of the start page. */
static void
test_example (void)
{
  SlWindow *window = new_window ();

  act ("open-example", EXAMPLE);
  g_assert_nonnull (window->bench);
  g_assert_cmpuint (g_list_length (gtk_application_get_windows (app)), ==, 1);
  destroy_all ();
}

/* The window beneath closes first, and takes the one over it along. */
static void
test_quit (void)
{
  SlWindow *window = new_window ();

  act ("open-example", EXAMPLE);
  live_settle (window);
  g_action_group_activate_action (G_ACTION_GROUP (window), "instrument", NULL);
  live_settle (window);
  g_assert_nonnull (window->instrument);
  /* as if it had been looked at last */
  gtk_window_set_application (GTK_WINDOW (window), NULL);
  gtk_window_set_application (GTK_WINDOW (window), app);
  g_assert_true (gtk_application_get_windows (app)->data == window);
  act ("quit", NULL);
  g_assert_null (gtk_application_get_windows (app));
}

/* On a share that hangs reading takes long: nobody waits for it to close the window. */
static void
test_closed_while_opening (void)
{
  g_autoptr (GFile) file = demo_file ();
  SlWindow *window = new_window ();

  sl_window_show_file (app, file, GTK_WINDOW (window));
  await_end (window);
}

static void
test_closed_while_taking (void)
{
  g_autoptr (GFile) file = demo_file ();
  SlWindow *window = new_window ();

  sl_window_show_file (app, file, GTK_WINDOW (window));
  while (window->bench == NULL)
    g_main_context_iteration (NULL, TRUE);
  live_settle (window);
  g_action_group_activate_action (G_ACTION_GROUP (window), "take-theirs", NULL);
  await_end (window);
}

static void
test_shelf_closed_while_beginning (void)
{
  g_autoptr (GFile) file = demo_file (), folder = g_file_get_parent (file);
  g_autofree char *uri = g_file_get_uri (folder);
  GtkWidget *shelf;

  sl_settings_set (SL_SETTING_SHELF_FOLDER, g_variant_new_string (uri));
  shelf = sl_shelf_window_get (app);
  gtk_window_present (GTK_WINDOW (shelf));
  gtk_widget_activate_action (shelf, "win.begin-from-named", "^ay", EXAMPLE ".sidelong");
  await_end (shelf);
}

int
main (int argc, char **argv)
{
  int status;

  g_test_init (&argc, &argv, NULL);
  if (!gtk_init_check ())
    return SKIPPED;
  app = live_app_new ();
  g_test_add_func ("/windows/example-beside-a-name", test_example_beside_a_name);
  g_test_add_func ("/windows/owner-without-a-name", test_owner_without_a_name);
  g_test_add_func ("/windows/example", test_example);
  g_test_add_func ("/windows/quit", test_quit);
  g_test_add_func ("/windows/closed-while-opening", test_closed_while_opening);
  g_test_add_func ("/windows/closed-while-taking", test_closed_while_taking);
  g_test_add_func ("/windows/shelf-closed-while-beginning", test_shelf_closed_while_beginning);
  status = g_test_run ();
  g_object_unref (app);
  return status;
}

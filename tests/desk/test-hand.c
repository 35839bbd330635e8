/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The player's hand in the window: a rattle that was heard gives the force and stands behind it, a hand that is chosen
 * does not; what stands in where the profile is silent is shown as it is. Skipped where there is no display. */
#include "bench/profiles.h"
#include "desk/instrument/description-field.h"
#include "desk/instrument/description-fields.h"
#include "desk/sheets/sheets.h"

#include <locale.h>

#define SKIPPED 77

static void
settle (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

/* The button with this text in the tree below @widget. */
static GtkWidget *
find_button (GtkWidget *widget, const char *text)
{
  if (GTK_IS_BUTTON (widget) && gtk_button_get_label (GTK_BUTTON (widget)) != NULL &&
      g_str_has_prefix (gtk_button_get_label (GTK_BUTTON (widget)), text))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_button (child, text);

      if (found != NULL)
        return found;
    }
  return NULL;
}

static const SlDescriptionField *
find_field (const char *page, const char *title)
{
  for (guint p = 0; p < sl_n_description_pages; p++)
    for (guint i = 0; g_str_equal (sl_description_pages[p].name, page) && i < sl_description_pages[p].n_fields; i++)
      if (g_str_equal (sl_description_pages[p].fields[i].title, title))
        return &sl_description_pages[p].fields[i];
  g_assert_not_reached ();
}

static GtkWidget *
show_in_window (GtkWidget *child)
{
  GtkWidget *window = gtk_window_new ();

  gtk_window_set_child (GTK_WINDOW (window), child);
  gtk_window_present (GTK_WINDOW (window));
  while (!gtk_widget_get_mapped (child))
    g_main_context_iteration (NULL, TRUE);
  settle ();
  return window;
}

static void
press (GtkWidget *root, const char *text)
{
  GtkWidget *button = find_button (root, text);

  g_assert_nonnull (button);
  if (GTK_IS_TOGGLE_BUTTON (button))
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button), TRUE);
  else
    g_signal_emit_by_name (button, "clicked");
  settle ();
}

static void
test_heard (void)
{
  g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile ("flat-top"));
  const SlProfile *profile = sl_bench_get_profile (bench);
  GtkWidget *button = sl_hand_button_new (bench), *window = show_in_window (button);

  g_assert_cmpfloat (sl_bench_get_analysis (bench)->instrument.pluck_force_share, ==, SL_FORCE_SHARE_ASSUMED);
  gtk_menu_button_popup (GTK_MENU_BUTTON (button));
  settle ();
  press (button, "This is the player");
  profile = sl_bench_get_profile (bench);
  g_assert_cmpint (profile->player.force_basis, ==, SL_FORCE_HEARD);
  g_assert_cmpfloat (sl_bench_get_analysis (bench)->instrument.pluck_force_share, ==, SL_FORCE_SHARE_HEARD);
  /* the same rattle again changes nothing; it was one step */
  const char *step = sl_bench_get_undo_name (bench);
  g_assert_nonnull (step);
  sl_bench_undo (bench);
  g_assert_null (sl_bench_get_undo_name (bench));
  g_assert_cmpint (sl_bench_get_profile (bench)->player.force_basis, ==, SL_FORCE_DEFAULT);

  press (button, "This is the player");
  press (button, "Heavy");
  profile = sl_bench_get_profile (bench);
  g_assert_cmpfloat (profile->player.pluck_force.v, ==, 3.0);
  g_assert_cmpint (profile->player.force_basis, ==, SL_FORCE_DEFAULT);
  gtk_menu_button_popdown (GTK_MENU_BUTTON (button));
  settle ();
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
}

/* Nylon strings are plucked toward the board where nothing is said, steel either way. */
static void
test_stands_in (void)
{
  static const struct
  {
    const char *name;
    guint direction; /* place among the choices */
  } rows[] = { { "nylon", SL_PLUCK_TOWARD - SL_PLUCK_TOWARD }, { "flat-top", SL_PLUCK_EITHER - SL_PLUCK_TOWARD } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (SlProfile) silent = sl_starting_profile (rows[i].name);
      silent->player.pluck_direction = SL_PLUCK_DEFAULT;
      g_autoptr (SlBench) bench = sl_bench_new (g_steal_pointer (&silent));
      GtkWidget *control = sl_field_new (bench, find_field ("player", "Plucked"), 0),
                *window = show_in_window (control);

      g_assert_cmpuint (gtk_drop_down_get_selected (GTK_DROP_DOWN (control)), ==, rows[i].direction);
      g_assert_null (sl_bench_get_undo_name (bench));
      gtk_window_destroy (GTK_WINDOW (window));
      settle ();
    }
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  if (!gtk_init_check ())
    return SKIPPED;
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/hand/heard", test_heard);
  g_test_add_func ("/hand/stands-in", test_stands_in);
  return g_test_run ();
}

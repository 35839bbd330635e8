/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The description of an instrument in a real window: what is asked of which construction, what a change of it does to
 * the plan, and what is refused. Skipped where there is no display. */
#include "desk/instrument/instrument-window.h"

#include "bench/profiles.h"
#include "desk/kit/length-entry.h"
#include "desk/kit/kit.h"
#include "desk/kit/util.h"
#include "desk/work/work-card.h"
#include "file/document.h"

#include <locale.h>

#define SKIPPED 77

typedef struct
{
  SlBench *bench;
  GtkWidget *parent, *window;
  char *told; /* last, by the bench */
} Fixture;

static void
settle (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static void
on_told (SlBench *bench, const char *text, Fixture *f)
{
  g_free (f->told);
  f->told = g_strdup (text);
}

static void
set_up (Fixture *f, gconstpointer data)
{
  f->bench = sl_bench_new (sl_starting_profile ("flat-top"));
  g_signal_connect (f->bench, "told", G_CALLBACK (on_told), f);
  f->parent = gtk_window_new ();
  f->window = sl_instrument_window_new (GTK_WINDOW (f->parent), f->bench);
  gtk_window_present (GTK_WINDOW (f->parent));
  gtk_window_present (GTK_WINDOW (f->window));
  while (!gtk_widget_get_mapped (f->window))
    g_main_context_iteration (NULL, TRUE);
  settle ();
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  gtk_window_destroy (GTK_WINDOW (f->window));
  gtk_window_destroy (GTK_WINDOW (f->parent));
  settle ();
  g_free (f->told);
  g_assert_finalize_object (f->bench);
}

/* The control beside the label @title, on whichever page; its page is shown. */
static GtkWidget *
find_field (GtkWidget *from, const char *title)
{
  if (GTK_IS_LABEL (from) && GTK_IS_GRID (gtk_widget_get_parent (from)) &&
      g_str_equal (gtk_label_get_text (GTK_LABEL (from)), title))
    {
      GtkWidget *control = gtk_widget_get_next_sibling (from);

      for (GtkWidget *at = control; at != NULL; at = gtk_widget_get_parent (at))
        if (GTK_IS_STACK (gtk_widget_get_parent (at)))
          gtk_stack_set_visible_child (GTK_STACK (gtk_widget_get_parent (at)), at);
      return control;
    }
  for (GtkWidget *child = gtk_widget_get_first_child (from); child != NULL; child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_field (child, title);

      if (found != NULL)
        return found;
    }
  return NULL;
}

static GtkWidget *
field (Fixture *f, const char *title)
{
  GtkWidget *found = find_field (f->window, title);

  g_assert_nonnull (found);
  settle ();
  return found;
}

static void
choose (Fixture *f, const char *title, guint place)
{
  gtk_drop_down_set_selected (GTK_DROP_DOWN (field (f, title)), place);
  settle ();
}

static void
type (Fixture *f, const char *title, const char *text)
{
  gtk_editable_set_text (GTK_EDITABLE (field (f, title)), text);
  sl_typed_take (GTK_WINDOW (f->window));
  settle ();
}

static guint
count_faults (Fixture *f)
{
  g_autoptr (GPtrArray) faults = sl_profile_check (sl_bench_get_profile (f->bench));

  SL_EACH_OF (const SlFault, fault, faults)
    g_test_message ("%s", fault->message);
  return faults->len;
}

static char *
printed (Fixture *f)
{
  g_autoptr (GBytes) bytes = sl_document_print (sl_bench_get_profile (f->bench));

  return g_strndup (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes));
}

/* A rod that isn't there can't be turned: the planned turn goes with it in one step of undo, what was done stays, and
 * that is said. */
static void
test_rod_taken_out (Fixture *f, gconstpointer data)
{
  g_autofree char *before = NULL, *after = NULL;

  sl_edit_amount (f->bench, SL_OP_TURN_ROD, 0, FALSE, -0.1);
  sl_edit_set_done (f->bench, SL_OP_TURN_ROD, TRUE);
  sl_edit_amount (f->bench, SL_OP_TURN_ROD, 0, FALSE, -0.05);
  sl_edit_amount (f->bench, SL_OP_CUT_SADDLE_BASE, 0, FALSE, 0.3);
  before = printed (f);
  choose (f, "Truss rod", SL_ROD_NONE - SL_ROD_SINGLE);
  g_assert_cmpint (sl_bench_get_profile (f->bench)->neck.rod, ==, SL_ROD_NONE);
  g_assert_null (sl_bench_find_operation (f->bench, SL_OP_TURN_ROD, 0));
  g_assert_nonnull (sl_last_done (sl_bench_get_visit (f->bench)->plan, SL_OP_TURN_ROD));
  g_assert_nonnull (sl_bench_find_operation (f->bench, SL_OP_CUT_SADDLE_BASE, 0));
  g_assert_nonnull (strstr (f->told, "Truss rod"));
  g_assert_null (strstr (f->told, "Saddle underside"));
  g_assert_cmpuint (count_faults (f), ==, 0);
  sl_bench_undo (f->bench);
  after = printed (f);
  g_assert_cmpstr (after, ==, before);
}

/* Some of a kind, where there is such work. */
static void
plan (Fixture *f, SlOperationKind kind)
{
  if ((sl_bench_get_analysis (f->bench)->instrument.work >> kind & 1) == 0)
    return;
  if (sl_work_card_is_seldom (kind))
    sl_edit_begin_work (f->bench, kind);
  else if (kind == SL_OP_BENCH_STEP)
    sl_edit_bench_step (f->bench,
                        sl_bench_get_analysis (f->bench)->instrument.bridge == SL_BRIDGE_TREMOLO ? SL_BENCH_REBALANCE
                                                                                                 : SL_BENCH_POLISH,
                        TRUE);
  else
    sl_edit_amount (f->bench, kind, 1, FALSE, 0.1);
}

/* Whatever is chosen after whatever was planned, the document stays one that its own check takes. */
static void
test_any_construction (Fixture *f, gconstpointer data)
{
  static const char *const fields[] = { "Nut", "Bridge", "Height is set by", "Truss rod" };

  for (gsize i = 0; i < G_N_ELEMENTS (fields); i++)
    {
      const guint n = g_list_model_get_n_items (gtk_drop_down_get_model (GTK_DROP_DOWN (field (f, fields[i]))));

      for (guint choice = 0; choice < n; choice++)
        {
          for (int kind = 0; kind < SL_N_OPS; kind++)
            plan (f, (SlOperationKind) kind);
          choose (f, fields[i], choice);
          g_assert_cmpuint (gtk_drop_down_get_selected (GTK_DROP_DOWN (field (f, fields[i]))), ==, choice);
          g_assert_cmpuint (count_faults (f), ==, 0);
        }
    }
}

/* Springs are asked of a tremolo alone, and go with it; a square fret of two scale lengths. */
static void
test_fields_shown (Fixture *f, gconstpointer data)
{
  g_assert_false (gtk_widget_get_mapped (field (f, "Springs")));
  g_assert_false (gtk_widget_get_mapped (field (f, "Height screw pitch")));
  choose (f, "Bridge", SL_BRIDGE_TREMOLO - SL_BRIDGE_PINNED);
  g_assert_true (gtk_widget_get_mapped (field (f, "Springs")));
  type (f, "Springs", "3");
  g_assert_cmpint (sl_bench_get_profile (f->bench)->bridge.spring_count, ==, 3);
  choose (f, "Height is set by", SL_ADJUST_POSTS - SL_ADJUST_BASE);
  g_assert_true (gtk_widget_get_mapped (field (f, "Height screw pitch")));
  choose (f, "Bridge", 0);
  g_assert_false (gtk_widget_get_mapped (field (f, "Springs")));
  g_assert_cmpint (sl_bench_get_profile (f->bench)->bridge.spring_count, ==, 0);

  g_assert_false (gtk_widget_get_mapped (field (f, "Fret that lies square")));
  type (f, "Scale length, bass (slanting frets)", "670");
  g_assert_true (gtk_widget_get_mapped (field (f, "Fret that lies square")));
  type (f, "Fret that lies square", "9");
  g_assert_cmpint (sl_bench_get_profile (f->bench)->neck.square_fret, ==, 9);
  type (f, "Fret that lies square", "");
  g_assert_cmpint (sl_bench_get_profile (f->bench)->neck.square_fret, ==, 0);
}

/* What can't be is refused where it stands, and stays there for correction. */
static void
test_refused (Fixture *f, gconstpointer data)
{
  GtkWidget *courses = field (f, "Courses"), *fitted = field (f, "Fitted on: year, month, day");

  type (f, "Courses", "9");
  g_assert_cmpint (sl_bench_get_profile (f->bench)->courses, ==, 0);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (courses)), ==, "9");
  g_assert_nonnull (strstr (sl_length_entry_get_message (SL_LENGTH_ENTRY (courses)), "9"));
  type (f, "Courses", "3");
  g_assert_cmpint (sl_bench_get_profile (f->bench)->courses, ==, 3);
  type (f, "Fitted on: year, month, day", "2026-02-30");
  g_assert_null (sl_bench_get_profile (f->bench)->fitted);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (fitted)), ==, "2026-02-30");
  type (f, "Fitted on: year, month, day", "2026-02-20");
  g_assert_cmpstr (sl_bench_get_profile (f->bench)->fitted, ==, "2026-02-20");
}

/* Thumbwheels stand on a bridge that stands on its feet; another bridge has none. */
static void
test_wheels (Fixture *f, gconstpointer data)
{
  choose (f, "Bridge", SL_BRIDGE_TAILPIECE - SL_BRIDGE_PINNED);
  choose (f, "Height is set by", SL_ADJUST_WHEELS - SL_ADJUST_BASE);
  g_assert_cmpuint (gtk_drop_down_get_selected (GTK_DROP_DOWN (field (f, "Bridge"))), ==,
                    SL_BRIDGE_FLOATING - SL_BRIDGE_PINNED);
  choose (f, "Bridge", SL_BRIDGE_TIE_BLOCK - SL_BRIDGE_PINNED);
  g_assert_cmpuint (gtk_drop_down_get_selected (GTK_DROP_DOWN (field (f, "Height is set by"))), ==, 0);
  g_assert_cmpuint (count_faults (f), ==, 0);
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  g_test_init (&argc, &argv, NULL);
  if (!gtk_init_check ())
    return SKIPPED;
  g_test_add ("/description/rod-taken-out", Fixture, NULL, set_up, test_rod_taken_out, tear_down);
  g_test_add ("/description/any-construction", Fixture, NULL, set_up, test_any_construction, tear_down);
  g_test_add ("/description/fields-shown", Fixture, NULL, set_up, test_fields_shown, tear_down);
  g_test_add ("/description/refused", Fixture, NULL, set_up, test_refused, tear_down);
  g_test_add ("/description/wheels", Fixture, NULL, set_up, test_wheels, tear_down);
  return g_test_run ();
}

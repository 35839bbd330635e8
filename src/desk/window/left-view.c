/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/window/left-view.h"

#include "bench/bench.h"
#include "desk/instrument/profile-changes.h"
#include "desk/kit/colour-scheme.h"
#include "desk/kit/sheet-frame.h"
#include "desk/kit/util.h"
#include "desk/sheets/parts.h"
#include "draw/draw.h"

#include <glib/gi18n-lib.h>

#define WIDTH 1000
#define HEIGHT 760
#define MARGIN 16
#define LINE_CHARS 70 /* as wide as the page is without it, at most */
#define PICTURE_HEIGHT 330
#define MOST_IN_ROW 3 /* differences */
#define MOST_IN_WINDOW 500

/* ---- the side view, of what was left over what is in the file ---- */

typedef struct
{
  SlBench *bench;
  SlAnalysis *shown; /* of the bench, but for the state it starts from */
} Picture;

static void
picture_free (gpointer data)
{
  g_object_unref (((Picture *) data)->bench);
  g_free (((Picture *) data)->shown);
  g_free (data);
}

/* Puts how @from stands after its work into @state and @figures. */
static void
take_state (const SlAnalysis *from, SlState *state, SlFigures *figures)
{
  *state = *sl_state_ahead (from);
  *figures = from->has_plan ? from->planned_figures : from->measured_figures;
}

static Picture *
picture_new (const SlLeftWork *left)
{
  Picture *picture = g_new (Picture, 1);
  g_autoptr (SlBench) file = left->now != NULL ? sl_bench_new (sl_profile_copy (left->now)) : NULL;
  const SlAnalysis *was = file != NULL ? sl_bench_get_analysis (file) : NULL, *is;
  SlAnalysis *shown;

  picture->bench = sl_bench_new (sl_profile_copy (left->journal->profile));
  is = sl_bench_get_analysis (picture->bench);
  shown = picture->shown = g_memdup2 (is, sizeof *is);
  shown->earlier = NULL;
  shown->has_plan = was != NULL && was->instrument.n_strings == is->instrument.n_strings &&
                    was->instrument.frets == is->instrument.frets;
  take_state (shown->has_plan ? was : is, &shown->measured, &shown->measured_figures);
  take_state (is, &shown->planned, &shown->planned_figures);
  return picture;
}

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  const Picture *picture = data;
  SlPictureOptions options = sl_picture_options_for (picture->bench, GTK_WIDGET (area), SL_PICTURE_SIDE, width, height);

  options.still = TRUE;
  options.legend = picture->shown->has_plan ? _ ("dashed: as in the file") : NULL;
  sl_picture_draw (cr, picture->shown, &options, NULL);
}

/* ---- what is said, and what can be done ---- */

static void
add_button (GtkWidget *box, const char *label, const char *action, const SlLeftWork *left, GCallback then, gpointer of)
{
  g_autofree char *title = sl_left_work_title (left), *name = g_strdup_printf ("%s: %s", label, title);
  GtkWidget *button = gtk_button_new_with_label (label);

  g_object_set (button, "action-name", action, "action-target", g_variant_new_string (left->journal->path), NULL);
  sl_set_accessible_label (button, name);
  if (then != NULL)
    g_signal_connect_object (button, "clicked", then, of, G_CONNECT_SWAPPED | G_CONNECT_AFTER);
  gtk_box_append (GTK_BOX (box), button);
}

static void
add_line (GtkWidget *box, const char *text, const char *css_class)
{
  if (*text != '\0')
    g_object_set (sl_text_add (box, text, css_class), "max-width-chars", LINE_CHARS, NULL);
}

static void
remove_row (GtkWidget *row)
{
  GtkWidget *box = gtk_widget_get_parent (row);

  gtk_box_remove (GTK_BOX (box), row);
  gtk_widget_set_visible (box, gtk_widget_get_first_child (box) != gtk_widget_get_last_child (box)); /* the heading */
}

static void
on_loaded (GObject *source, GAsyncResult *result, gpointer data)
{
  GtkWidget *box = GTK_WIDGET (source), *row, *buttons;
  g_autoptr (SlLeftWork) left = sl_left_work_finish (result);
  g_autofree char *title = NULL, *text = NULL;

  if (left == NULL || gtk_widget_get_root (box) == NULL) /* closed meanwhile */
    return;
  title = sl_left_work_title (left);
  text = sl_left_work_text (left, MOST_IN_ROW);
  row = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  sl_add_classes (row, "sl-card", "sl-left");
  add_line (row, title, "sl-heading");
  add_line (row, text, NULL);
  add_button (buttons, _ ("Keep"), "win.keep-left", left, NULL, NULL);
  add_button (buttons, _ ("Compare…"), "win.compare-left", left, NULL, NULL);
  add_button (buttons, _ ("Discard"), "win.discard-left", left, G_CALLBACK (remove_row), row);
  gtk_box_append (GTK_BOX (row), buttons);
  gtk_box_append (GTK_BOX (box), row);
  gtk_widget_set_visible (box, TRUE);
}

void
sl_left_rows_fill (GtkWidget *box)
{
  sl_left_work_load_all (box, on_loaded);
}

GtkWidget *
sl_left_window_new (GtkWindow *parent, SlLeftWork *left)
{
  g_autoptr (SlLeftWork) owned = left;
  g_autofree char *title = sl_left_work_title (left), *text = sl_left_work_text (left, MOST_IN_WINDOW);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 12), *buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *window =
      g_object_new (GTK_TYPE_WINDOW, "title", title, "transient-for", parent, "child", box, "default-width", WIDTH,
                    "default-height", HEIGHT, "destroy-with-parent", TRUE, NULL);
  Picture *picture = picture_new (left);
  GtkWidget *area = sl_picture_area_new (_ ("Side view: what was left unsaved, over the file"), draw, picture);

  gtk_widget_add_css_class (window, "sidelong");
  sl_colour_scheme_mark (window);
  gtk_widget_insert_action_group (window, "win", G_ACTION_GROUP (parent));
  g_object_set_data_full (G_OBJECT (window), "picture", picture, picture_free);
  sl_set_margin (box, MARGIN);
  sl_set_accessible_description (area, text);
  gtk_widget_set_size_request (area, -1, PICTURE_HEIGHT);
  gtk_box_append (GTK_BOX (box), area);
  gtk_box_append (GTK_BOX (box), sl_scrolled_new (sl_text_new (text), _ ("Differences")));
  gtk_widget_set_halign (buttons, GTK_ALIGN_END);
  add_button (buttons, _ ("Discard"), "win.discard-left", left, G_CALLBACK (gtk_window_destroy), window);
  add_button (buttons, _ ("Keep"), "win.keep-left", left, G_CALLBACK (gtk_window_destroy), window);
  gtk_box_append (GTK_BOX (box), buttons);
  return window;
}

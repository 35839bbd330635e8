/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/history-sheet.h"

#include "words/figures.h"
#include "desk/kit/sheet-frame.h"
#include "desk/kit/util.h"
#include "draw/draw.h"
#include "draw/sheets/history.h"
#include "words/dates.h"

#include <glib/gi18n-lib.h>

#define PICTURE_HEIGHT 190

#define SL_TYPE_HISTORY_SHEET (sl_history_sheet_get_type ())
G_DECLARE_FINAL_TYPE (SlHistorySheet, sl_history_sheet, SL, HISTORY_SHEET, GtkBox)

struct _SlHistorySheet
{
  GtkBox parent_instance;

  GtkWidget *stack, *picture, *overlaid, *first, *second, *table; /* children, borrowed */

  SlBench *bench;       /* owned */
  GArray *history;      /* owned; of the bench's profile as it is now, and good until it changes */
  SlAnalysis *compared; /* owned; the two sets to draw over each other, NULL where there are none. Borrows from the
                           profile, too */
  gboolean filling;
};

G_DEFINE_FINAL_TYPE (SlHistorySheet, sl_history_sheet, GTK_TYPE_BOX)

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  SlHistorySheet *self = data;
  const SlChartOptions options = {
    width, height, sl_bench_get_lengths (self->bench), sl_decimal_sign (), sl_is_dark (GTK_WIDGET (area)), 1
  };

  if (self->history != NULL)
    sl_history_draw (cr, self->history, &options);
}

/* ---- two sets side by side ---- */

static char *set_title (const SlHistoryPoint *point);
static const SlHistoryPoint *point_of (SlHistorySheet *self, GtkWidget *chooser);

static char *
legend_of (SlHistorySheet *self)
{
  g_autofree char *first = set_title (point_of (self, self->first)),
                  *second = set_title (point_of (self, self->second));

  /* Translators: below two states of an instrument drawn over each other; each %s a day and a stage */
  return g_strdup_printf (_ ("dashed %1$s · solid %2$s"), first, second);
}

static void
draw_overlaid (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  SlHistorySheet *self = data;
  SlPictureOptions options;
  g_autofree char *legend = NULL, *first = NULL, *second = NULL;

  if (self->compared == NULL)
    return;
  /* the days alone: the sets stand whole in the choosers, and the picture has little room */
  first = sl_date_short (point_of (self, self->first)->set->taken);
  second = sl_date_short (point_of (self, self->second)->set->taken);
  legend = g_strdup_printf (_ ("dashed %1$s · solid %2$s"), first, second);
  sl_picture_options_init (&options);
  options.kind = SL_PICTURE_SIDE;
  options.width = width;
  options.height = height;
  options.string = sl_bench_get_string (self->bench);
  options.lengths = sl_bench_get_lengths (self->bench);
  options.decimal = sl_decimal_sign ();
  options.dark = sl_is_dark (GTK_WIDGET (area));
  options.still = TRUE;
  options.legend = legend;
  sl_picture_draw (cr, self->compared, &options, NULL);
}

static void
forget_compared (SlHistorySheet *self)
{
  if (self->compared != NULL)
    sl_analysis_clear (self->compared);
  g_clear_pointer (&self->compared, g_free);
}

static void
overlay (SlHistorySheet *self)
{
  g_autofree char *legend = NULL;

  forget_compared (self);
  gtk_widget_queue_draw (self->overlaid);
  if (self->history->len < 2)
    {
      sl_set_accessible_description (self->overlaid, _ ("Shown from two sets of readings on."));
      return;
    }
  self->compared = g_new0 (SlAnalysis, 1);
  sl_history_compare (sl_bench_get_profile (self->bench), point_of (self, self->first), point_of (self, self->second),
                      &sl_bench_get_analysis (self->bench)->shop, self->compared);
  legend = legend_of (self);
  sl_set_accessible_description (self->overlaid, legend);
}

static const SlHistoryPoint *
point_of (SlHistorySheet *self, GtkWidget *chooser)
{
  guint i = gtk_drop_down_get_selected (GTK_DROP_DOWN (chooser));

  return self->history != NULL && i < self->history->len ? &g_array_index (self->history, SlHistoryPoint, i) : NULL;
}

static void
put_cell (SlHistorySheet *self, const char *text, int column, int row, gboolean dim)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), column == 0 ? 0 : 1);
  gtk_widget_add_css_class (label, dim ? "sl-dim" : "sl-numbers");
  gtk_grid_attach (GTK_GRID (self->table), label, column, row, 1, 1);
}

static char *
figure_text (SlHistorySheet *self, const SlFigure *figure, SlHistoryKind kind)
{
  if (!isfinite (figure->value) || figure->basis == SL_BASIS_ASSUMED)
    return g_strdup ("–");
  const SlTextStyle style = sl_bench_text_style (self->bench);

  if (kind == SL_HISTORY_MOISTURE)
    return sl_plain_format (figure->value, 1, sl_decimal_sign ());
  return kind == SL_HISTORY_RELIEF || kind == SL_HISTORY_FIRST_GAP ? sl_text_fine (&style, figure->value)
                                                                   : sl_text_length (&style, figure->value);
}

static char *
difference_text (SlHistorySheet *self, const SlFigure *a, const SlFigure *b, SlHistoryKind kind)
{
  const SlTextStyle style = sl_bench_text_style (self->bench);
  double change = b->value - a->value;

  if (!isfinite (change) || a->basis == SL_BASIS_ASSUMED || b->basis == SL_BASIS_ASSUMED)
    return g_strdup ("–");
  return kind == SL_HISTORY_MOISTURE ? sl_text_plain (&style, change, 1, TRUE) : sl_text_change (&style, change);
}

static void
put_row (SlHistorySheet *self, int row, const char *name, SlHistoryKind kind, gboolean bass)
{
  const SlHistoryPoint *a = point_of (self, self->first), *b = point_of (self, self->second);
  const SlFigure *before = sl_history_figure (a, kind, bass ? a->n_strings : 1),
                 *after = sl_history_figure (b, kind, bass ? b->n_strings : 1);
  g_autofree char *one = figure_text (self, before, kind), *two = figure_text (self, after, kind),
                  *change = difference_text (self, before, after, kind);

  put_cell (self, name, 0, row, TRUE);
  put_cell (self, one, 1, row, FALSE);
  put_cell (self, two, 2, row, FALSE);
  put_cell (self, change, 3, row, FALSE);
}

static void
compare (SlHistorySheet *self)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (self->table)) != NULL)
    gtk_grid_remove (GTK_GRID (self->table), child);
  if (self->filling || point_of (self, self->first) == NULL || point_of (self, self->second) == NULL)
    return;
  overlay (self);
  put_cell (self, C_ ("column", "change"), 3, 0, TRUE);
  put_row (self, 1, _ ("Action at 12, treble"), SL_HISTORY_ACTION, FALSE);
  put_row (self, 2, _ ("Action at 12, bass"), SL_HISTORY_ACTION, TRUE);
  put_row (self, 3, _ ("Relief, treble"), SL_HISTORY_RELIEF, FALSE);
  put_row (self, 4, _ ("Relief, bass"), SL_HISTORY_RELIEF, TRUE);
  put_row (self, 5, _ ("Height at fret 1, treble"), SL_HISTORY_FIRST_GAP, FALSE);
  put_row (self, 6, _ ("Height at fret 1, bass"), SL_HISTORY_FIRST_GAP, TRUE);
  put_row (self, 7, _ ("Exposure, treble"), SL_HISTORY_EXPOSURE, FALSE);
  put_row (self, 8, _ ("Exposure, bass"), SL_HISTORY_EXPOSURE, TRUE);
  put_row (self, 9, _ ("Moisture content, %"), SL_HISTORY_MOISTURE, FALSE);
}

static char *
set_title (const SlHistoryPoint *point)
{
  const char *const stages[] = { C_ ("stage", "received"), C_ ("stage", "during the work"), C_ ("stage", "final") };
  g_autofree char *day = sl_date_short (point->set->taken);

  return g_strdup_printf ("%s, %s", day, stages[point->set->stage]);
}

/* The two last sets are compared until others are chosen. */
static void
fill_choosers (SlHistorySheet *self)
{
  g_autoptr (GtkStringList) titles = gtk_string_list_new (NULL);
  guint n = self->history->len, first = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->first)),
        second = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->second));
  GListModel *old = gtk_drop_down_get_model (GTK_DROP_DOWN (self->first));

  if (old == NULL || g_list_model_get_n_items (old) != n)
    {
      first = n >= 2 ? n - 2 : 0;
      second = n >= 1 ? n - 1 : 0;
    }
  for (guint i = 0; i < n; i++)
    gtk_string_list_take (titles, set_title (&g_array_index (self->history, SlHistoryPoint, i)));
  self->filling = TRUE;
  gtk_drop_down_set_model (GTK_DROP_DOWN (self->first), G_LIST_MODEL (titles));
  gtk_drop_down_set_model (GTK_DROP_DOWN (self->second), G_LIST_MODEL (titles));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->first), first);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->second), second);
  self->filling = FALSE;
}

static void
update (GtkWidget *widget)
{
  SlHistorySheet *self = SL_HISTORY_SHEET (widget);
  g_autofree char *words = NULL;

  forget_compared (self);
  g_clear_pointer (&self->history, g_array_unref);
  self->history = sl_history_new (sl_bench_get_profile (self->bench), &sl_bench_get_analysis (self->bench)->shop);
  fill_choosers (self);
  compare (self);
  words = g_strdup_printf (ngettext ("%u set of readings over time; the table beside compares two of them.",
                                     "%u sets of readings over time; the table beside compares two of them.",
                                     self->history->len),
                           self->history->len);
  sl_set_accessible_description (self->picture, words);
  gtk_widget_queue_draw (self->picture);
  gtk_widget_queue_draw (self->overlaid);
}

/* ---- building ---- */

static GtkWidget *
make_chooser (SlHistorySheet *self, const char *name)
{
  GtkWidget *chooser = gtk_drop_down_new (NULL, NULL);

  sl_set_accessible_label (chooser, name);
  sl_guard_wheel (chooser);
  g_signal_connect_object (chooser, "notify::selected", G_CALLBACK (compare), self, G_CONNECT_SWAPPED);
  return chooser;
}

static GtkWidget *
make_picture (SlHistorySheet *self, const char *name, GtkDrawingAreaDrawFunc draw_it)
{
  GtkWidget *picture = g_object_new (GTK_TYPE_DRAWING_AREA, "accessible-role", GTK_ACCESSIBLE_ROLE_IMG,
                                     "content-height", PICTURE_HEIGHT, "hexpand", TRUE, "vexpand", TRUE, NULL);

  gtk_widget_set_size_request (picture, 320, -1);
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (picture), draw_it, self, NULL);
  sl_set_accessible_label (picture, name);
  return picture;
}

static void
on_shown (GtkToggleButton *button, SlHistorySheet *self)
{
  if (gtk_toggle_button_get_active (button))
    gtk_stack_set_visible_child (GTK_STACK (self->stack), g_object_get_data (G_OBJECT (button), "picture"));
}

static GtkWidget *
add_picture (SlHistorySheet *self, GtkWidget *segments, const char *title, GtkWidget *picture)
{
  GtkWidget *button = gtk_toggle_button_new_with_label (title), *first = gtk_widget_get_first_child (segments);

  gtk_stack_add_child (GTK_STACK (self->stack), picture);
  g_object_set_data (G_OBJECT (button), "picture", picture);
  if (first != NULL)
    gtk_toggle_button_set_group (GTK_TOGGLE_BUTTON (button), GTK_TOGGLE_BUTTON (first));
  g_signal_connect_object (button, "toggled", G_CALLBACK (on_shown), self, 0);
  gtk_box_append (GTK_BOX (segments), button);
  if (first == NULL)
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button), TRUE);
  return picture;
}

/* The charts, and the two sets chosen over each other; returns the buttons that choose between them. */
static GtkWidget *
build_pictures (SlHistorySheet *self)
{
  GtkWidget *segments = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  gtk_widget_add_css_class (segments, "linked");
  gtk_widget_add_css_class (segments, "sl-segments");
  gtk_widget_set_halign (segments, GTK_ALIGN_START);
  self->stack = gtk_stack_new ();
  self->picture = add_picture (self, segments, _ ("Over time"), make_picture (self, _ ("Figures over time"), draw));
  self->overlaid = add_picture (self, segments, _ ("Two sets"),
                                make_picture (self, _ ("Two sets of readings in the side view"), draw_overlaid));
  return segments;
}

static void
sl_history_sheet_dispose (GObject *object)
{
  SlHistorySheet *self = SL_HISTORY_SHEET (object);

  forget_compared (self);
  g_clear_pointer (&self->history, g_array_unref);
  g_clear_object (&self->bench);
  G_OBJECT_CLASS (sl_history_sheet_parent_class)->dispose (object);
}

static void
sl_history_sheet_class_init (SlHistorySheetClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_history_sheet_dispose;
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (class), GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
sl_history_sheet_init (SlHistorySheet *self)
{
  GtkWidget *side = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4), *choosers = gtk_box_new (GTK_ORIENTATION_VERTICAL, 3),
            *scroller = gtk_scrolled_window_new ();

  gtk_box_set_spacing (GTK_BOX (self), 10);
  sl_set_accessible_label (GTK_WIDGET (self), _ ("History"));
  self->first = make_chooser (self, _ ("First set of readings"));
  self->second = make_chooser (self, _ ("Second set of readings"));
  gtk_box_append (GTK_BOX (choosers), self->first);
  gtk_box_append (GTK_BOX (choosers), self->second);
  self->table = gtk_grid_new ();
  gtk_grid_set_column_spacing (GTK_GRID (self->table), 14);
  sl_set_accessible_label (self->table, _ ("Two sets of readings side by side"));
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scroller), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), self->table);
  sl_name_scrolled (scroller, _ ("Two sets of readings side by side"));
  gtk_widget_set_vexpand (scroller, TRUE);
  gtk_box_append (GTK_BOX (side), choosers);
  gtk_box_append (GTK_BOX (side), scroller);
  gtk_box_prepend (GTK_BOX (side), build_pictures (self));
  gtk_box_append (GTK_BOX (self), self->stack);
  gtk_box_append (GTK_BOX (self), side);
}

GtkWidget *
sl_history_sheet_new (SlBench *bench)
{
  SlHistorySheet *self = g_object_new (SL_TYPE_HISTORY_SHEET, NULL);

  self->bench = g_object_ref (bench);
  sl_bench_follow (bench, SL_CHANGED_STRING, G_CALLBACK (gtk_widget_queue_draw), self->overlaid);
  sl_follow_while_seen (GTK_WIDGET (self), bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS, update);
  return GTK_WIDGET (self);
}

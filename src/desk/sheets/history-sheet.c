/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/history-sheet.h"

#include "words/figures.h"
#include "desk/kit/figure-table.h"
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

  GtkWidget *stack, *picture, *overlaid, *first, *second; /* children, borrowed */
  SlFigureTable *table;

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
    width, height, sl_bench_get_lengths (self->bench), sl_decimal_sign (), sl_is_dark (GTK_WIDGET (area)), 1, FALSE
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

/* What the two sets are compared in, for the bass side after the treble where it is read at both. */
static const struct
{
  const char *treble, *bass; /* untranslated; NULL where there is one figure for the whole */
  SlHistoryKind kind;
} compared[] = {
  { N_ ("Action at 12, treble"), N_ ("Action at 12, bass"), SL_HISTORY_ACTION },
  { N_ ("Relief, treble"), N_ ("Relief, bass"), SL_HISTORY_RELIEF },
  { N_ ("Height at fret 1, treble"), N_ ("Height at fret 1, bass"), SL_HISTORY_FIRST_GAP },
  { N_ ("Exposure, treble"), N_ ("Exposure, bass"), SL_HISTORY_EXPOSURE },
  { N_ ("Moisture content, %"), NULL, SL_HISTORY_MOISTURE },
};
#define N_COMPARED (2 * G_N_ELEMENTS (compared) - 1)

static const SlColumn columns[] = {
  { NULL, NULL, 0, SL_COLUMN_WORDS, "sl-dim" },
  { NULL, NULL, 0, SL_COLUMN_FIXED, NULL },
  { NULL, NULL, 0, SL_COLUMN_FIXED, NULL },
  { NC_ ("column", "change"), NULL, 0, SL_COLUMN_FIXED, NULL },
};

static void
compare (SlHistorySheet *self)
{
  const SlHistoryPoint *a = point_of (self, self->first), *b = point_of (self, self->second);

  if (self->filling || a == NULL || b == NULL)
    {
      sl_figure_table_set_rows (self->table, 0);
      return;
    }
  overlay (self);
  sl_figure_table_set_rows (self->table, N_COMPARED);
  for (guint row = 0; row < N_COMPARED; row++)
    {
      const gboolean bass = row % 2 == 1;
      const SlHistoryKind kind = compared[row / 2].kind;
      const SlFigure *before = sl_history_figure (a, kind, bass ? a->n_strings : 1),
                     *after = sl_history_figure (b, kind, bass ? b->n_strings : 1);

      sl_figure_table_fill (self->table, row, g_strdup (_ (bass ? compared[row / 2].bass : compared[row / 2].treble)),
                            figure_text (self, before, kind), figure_text (self, after, kind),
                            difference_text (self, before, after, kind), NULL);
    }
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
  GtkWidget *chooser = sl_chooser_new (name);

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
on_shown (GtkToggleButton *two_sets, SlHistorySheet *self)
{
  gtk_stack_set_visible_child (GTK_STACK (self->stack),
                               gtk_toggle_button_get_active (two_sets) ? self->overlaid : self->picture);
}

/* The charts, and the two sets chosen over each other; returns the buttons that choose between them. */
static GtkWidget *
build_pictures (SlHistorySheet *self)
{
  GtkWidget *over_time, *two_sets,
      *segments = sl_segments_new (_ ("History"), &over_time, _ ("Over time"), &two_sets, _ ("Two sets"));

  gtk_widget_set_halign (segments, GTK_ALIGN_START);
  self->stack = gtk_stack_new ();
  self->picture = make_picture (self, _ ("Figures over time"), draw);
  self->overlaid = make_picture (self, _ ("Two sets of readings in the side view"), draw_overlaid);
  gtk_stack_add_child (GTK_STACK (self->stack), self->picture);
  gtk_stack_add_child (GTK_STACK (self->stack), self->overlaid);
  g_signal_connect_object (two_sets, "toggled", G_CALLBACK (on_shown), self, 0);
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
  GtkWidget *side = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4), *choosers = gtk_box_new (GTK_ORIENTATION_VERTICAL, 3);

  gtk_box_set_spacing (GTK_BOX (self), 10);
  sl_set_accessible_label (GTK_WIDGET (self), _ ("History"));
  self->first = make_chooser (self, _ ("First set of readings"));
  self->second = make_chooser (self, _ ("Second set of readings"));
  gtk_box_append (GTK_BOX (choosers), self->first);
  gtk_box_append (GTK_BOX (choosers), self->second);
  self->table = sl_figure_table_new (columns, G_N_ELEMENTS (columns), _ ("Two sets of readings side by side"));
  gtk_widget_add_css_class (GTK_WIDGET (self->table), "sl-plain");
  gtk_box_append (GTK_BOX (side), choosers);
  gtk_box_append (GTK_BOX (side), sl_scrolled_new (GTK_WIDGET (self->table), _ ("Two sets of readings side by side")));
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

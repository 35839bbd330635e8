/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/sheets.h"

#include "desk/sheets/parts.h"
#include "desk/readings/readings.h"
#include "draw/draw.h"
#include "words/dates.h"

typedef struct
{
  SlBench *bench;

  /* bound in this order */
  GtkWidget *sheet, *stack, *charts, *picture, *nothing, *overlaid, *side, *over_time, *two_sets, *photos_button;
  SlFigureTable *table;
  GtkWidget *first, *second;

  GtkWidget *photos;    /* in @stack */
  GArray *history;      /* owned; of the bench's profile as it is now, and good until it changes */
  SlAnalysis *compared; /* owned; the two sets to draw over each other, NULL where there are none. Borrows from the
                           profile, too */
} History;

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  History *self = data;
  const SlPictureOptions options =
      sl_picture_options_for (self->bench, GTK_WIDGET (area), SL_PICTURE_SIDE, width, height);

  if (self->history != NULL)
    sl_history_draw (cr, self->history, &options, FALSE, sl_picture_area_map (GTK_WIDGET (area)));
}

/* ---- two sets side by side ---- */

static const SlHistoryPoint *
point_of (History *self, GtkWidget *chooser)
{
  guint i = sl_chosen (chooser);

  return self->history != NULL && i < self->history->len ? &g_array_index (self->history, SlHistoryPoint, i) : NULL;
}

const char *
sl_stage_word (SlStage stage)
{
  const char *const words[] = { C_ ("stage", "received"), C_ ("stage", "during the work"), C_ ("stage", "final") };

  return words[stage];
}

static char *
set_title (const SlHistoryPoint *point)
{
  g_autofree char *day = sl_date_short (point->set->taken);

  return g_strdup_printf ("%s, %s", day, sl_stage_word (point->set->stage));
}

static void
draw_overlaid (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  History *self = data;
  SlPictureOptions options = sl_picture_options_for (self->bench, GTK_WIDGET (area), SL_PICTURE_SIDE, width, height);
  g_autofree char *legend = NULL, *first = NULL, *second = NULL;

  if (self->compared == NULL)
    return;
  /* the days alone: the sets stand whole in the choosers, and the picture has little room */
  first = sl_date_short (point_of (self, self->first)->set->taken);
  second = sl_date_short (point_of (self, self->second)->set->taken);
  legend = g_strdup_printf (_ ("dashed %1$s · solid %2$s"), first, second);
  options.still = TRUE;
  options.legend = legend;
  sl_picture_draw (cr, self->compared, &options, NULL);
}

static void
overlay (History *self)
{
  g_autofree char *first = NULL, *second = NULL, *legend = NULL;

  g_clear_pointer (&self->compared, sl_analysis_free);
  gtk_widget_queue_draw (self->overlaid);
  if (self->history->len < 2)
    {
      sl_set_accessible_description (self->overlaid, _ ("Shown from two sets of readings on."));
      return;
    }
  self->compared = g_new0 (SlAnalysis, 1);
  sl_history_compare (sl_bench_get_profile (self->bench), point_of (self, self->first), point_of (self, self->second),
                      &sl_bench_get_analysis (self->bench)->shop, self->compared);
  first = set_title (point_of (self, self->first));
  second = set_title (point_of (self, self->second));
  /* Translators: below two states of an instrument drawn over each other; each %s a day and a stage */
  legend = g_strdup_printf (_ ("dashed %1$s · solid %2$s"), first, second);
  sl_set_accessible_description (self->overlaid, legend);
}

static char *
figure_text (History *self, const SlFigure *figure, SlHistoryKind kind)
{
  if (!isfinite (figure->value) || figure->basis == SL_BASIS_ASSUMED)
    return g_strdup ("–");
  const SlTextStyle style = sl_bench_text_style (self->bench);

  if (kind == SL_HISTORY_MOISTURE)
    return sl_plain_format (figure->value, 1, sl_decimal_sign ());
  return sl_text_fine (&style, figure->value);
}

static char *
difference_text (History *self, const SlFigure *a, const SlFigure *b, SlHistoryKind kind)
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

static void
compare (History *self)
{
  const SlHistoryPoint *a = point_of (self, self->first), *b = point_of (self, self->second);

  if (a == NULL || b == NULL)
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

static void
update (History *self)
{
  g_autofree char *words = NULL;

  g_clear_pointer (&self->compared, sl_analysis_free);
  g_clear_pointer (&self->history, g_array_unref);
  self->history = sl_history_new (sl_bench_get_profile (self->bench), &sl_bench_get_analysis (self->bench)->shop);
  gtk_widget_set_visible (self->photos_button, sl_history_has_photos (self->bench));
  if (!gtk_widget_get_visible (self->photos_button) && sl_is_on (self->photos_button))
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->over_time), TRUE);
  /* the two last sets are compared until others are chosen */
  g_autoptr (GtkStringList) titles = gtk_string_list_new (NULL);
  guint n = self->history->len, first = sl_chosen (self->first), second = sl_chosen (self->second);
  GListModel *old = gtk_drop_down_get_model (GTK_DROP_DOWN (self->first));

  if (old == NULL || g_list_model_get_n_items (old) != n)
    {
      first = n >= 2 ? n - 2 : 0;
      second = n >= 1 ? n - 1 : 0;
    }
  for (guint i = 0; i < n; i++)
    gtk_string_list_take (titles, set_title (&g_array_index (self->history, SlHistoryPoint, i)));
  sl_chooser_fill (self->first, titles, first);
  sl_chooser_fill (self->second, titles, second);
  compare (self);
  words = g_strdup_printf (ngettext ("%u set of readings over time; the table beside compares two of them.",
                                     "%u sets of readings over time; the table beside compares two of them.",
                                     self->history->len),
                           self->history->len);
  sl_set_accessible_description (self->picture, words);
  gtk_widget_set_visible (self->nothing, self->history->len == 0);
  gtk_widget_set_visible (self->side, self->history->len > 0);
  gtk_widget_set_visible (gtk_widget_get_parent (self->over_time), self->history->len > 0);
  gtk_widget_queue_draw (self->picture);
  gtk_widget_queue_draw (self->overlaid);
}

/* ---- building ---- */

static void
on_shown (History *self)
{
  gtk_stack_set_visible_child (GTK_STACK (self->stack), sl_is_on (self->photos_button) ? self->photos
                                                        : sl_is_on (self->two_sets)    ? self->overlaid
                                                                                       : self->charts);
}

static void
start_run (History *self)
{
  sl_reading_run_present (GTK_WINDOW (gtk_widget_get_root (self->sheet)), self->bench);
}

static void
history_free (History *self)
{
  g_clear_pointer (&self->compared, sl_analysis_free);
  g_clear_pointer (&self->history, g_array_unref);
  g_free (self);
}

GtkWidget *
sl_history_sheet_new (SlBench *bench)
{
  History *self = sl_part_new (
      bench, SL_PART (History, sheet, second), (GDestroyNotify) history_free, "history",
      "sheet stack charts picture nothing overlaid side over_time two_sets photos_button table first second",
      SL_CALL (on_shown), SL_CALL (start_run), NULL);

  sl_follow_while_seen (self->sheet, bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS | SL_CHANGED_PHOTOS,
                        G_CALLBACK (update), self);
  self->photos = sl_history_photos_new (bench);
  gtk_stack_add_child (GTK_STACK (self->stack), self->photos);
  sl_picture_area_init (self->picture, draw, self);
  sl_picture_area_init (self->overlaid, draw_overlaid, self);
  sl_chooser_init (self->first, _ ("First set of readings"), G_CALLBACK (compare), self);
  sl_chooser_init (self->second, _ ("Second set of readings"), G_CALLBACK (compare), self);
  gtk_box_append (GTK_BOX (self->side),
                  sl_scrolled_new (GTK_WIDGET (self->table), _ ("Two sets of readings side by side")));
  sl_bench_follow (bench, SL_CHANGED_STRING, G_CALLBACK (gtk_widget_queue_draw), self->overlaid);
  return self->sheet;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sheet of pitch, with two of its parts: where crests are and should be, and the model's cents for every string and
 * fret. */
#include "desk/sheets/sheets.h"

#include "desk/sheets/parts.h"
#include "draw/draw.h"
#include "setup/physics/intonation.h"
#include "words/sheet-text.h"

/* ---- crests ---- */

#define KEPT_PER_MM 100.0 /* a crest is placed to a hundredth at best */

#define COLUMN_TURNS 5

typedef struct
{
  SlBench *bench; /* borrowed */
  /* bound in this order */
  GtkWidget *page, *tools, *room, *remark, *put;
  SlFigureTable *table;
} Crests;

/* The move that the tuner still asks for, rounded as it is planned; 0 where there is none. */
static double
move_wanted (const SlAnalysis *analysis, int string)
{
  SlCrestPlace place;

  sl_crest_place (analysis, string, &place);
  return isnan (place.tuner) ? 0 : round ((place.tuner - place.now) * KEPT_PER_MM) / KEPT_PER_MM;
}

/* The moves that the tuner's readings ask for, on top of those planned already, go into the plan as one step. */
static void
on_put (Crests *self)
{
  const int n = sl_bench_get_profile (self->bench)->n_strings;
  double by[SL_MAX_STRINGS];

  /* all of them first: each change makes the analysis again */
  for (int s = 1; s <= n; s++)
    by[s - 1] = move_wanted (sl_bench_get_analysis (self->bench), s);
  sl_bench_begin_gesture (self->bench, sl_operation_undo_name (SL_OP_MOVE_CREST));
  for (int s = 1; s <= n; s++)
    {
      const SlOperation *planned = sl_bench_find_operation (self->bench, SL_OP_MOVE_CREST, s);
      double sum = (planned == NULL ? 0 : sl_number_or (planned->amount, 0)) + by[s - 1];

      if (by[s - 1] != 0)
        sl_edit_amount (self->bench, SL_OP_MOVE_CREST, s, FALSE, round (sum * KEPT_PER_MM) / KEPT_PER_MM);
    }
  sl_bench_end_gesture (self->bench);
}

static char *
with_range (const SlTextStyle *style, double value, double u)
{
  g_autofree char *text = sl_text_fine (style, value), *range = isnan (value) ? NULL : sl_text_uncertainty (style, u);

  return g_strjoin (" ", text, range, NULL);
}

static void
show_string (Crests *self, const SlAnalysis *analysis, const SlTextStyle *style, int string)
{
  const SlInstrument *in = &analysis->instrument;
  SlCrestPlace place;
  SlNutAndSetback both;
  double move;

  sl_crest_place (analysis, string, &place);
  sl_fit_nut_and_setback (in, sl_state_ahead (analysis), string, &both);
  move = place.tuner - place.now; /* no plan moves a crest by the model alone */
  sl_figure_table_fill (self->table, (guint) string - 1, sl_text_string (sl_bench_get_profile (self->bench), string),
                        sl_fine_change (style, place.before, place.now), with_range (style, place.model, place.model_u),
                        sl_text_fine (style, place.tuner), sl_text_change (style, move),
                        sl_text_plain (style, move / in->length_screw_pitch, 2, TRUE),
                        sl_text_fine (style, both.setback), sl_text_change (style, both.nut_offset),
                        sl_plain_change (style, both.rms_now, both.rms, 1), NULL);
}

static void
update_crests (Crests *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlTextStyle style = sl_bench_text_style (self->bench);
  g_autofree char *room = NULL;
  gboolean fits, wants = FALSE;

  sl_figure_table_set_rows (self->table, (guint) analysis->instrument.n_strings);
  sl_figure_table_set_unit (self->table, sl_text_unit (&style));
  sl_figure_table_show_column (self->table, COLUMN_TURNS, !isnan (analysis->instrument.length_screw_pitch));
  for (int s = 1; s <= analysis->instrument.n_strings; s++)
    {
      show_string (self, analysis, &style, s);
      wants = wants || move_wanted (analysis, s) != 0;
    }
  room = sl_crests_sentence (&style, analysis, &fits);
  sl_set_remark (self->room, room);
  sl_set_class (self->room, "sl-wrong", !fits);
  sl_set_remark (self->remark, analysis->measured.setback_read
                                   ? NULL
                                   : _ ("Compensation was not read: break points are assumed to be at the scale "
                                        "length. The moves the tuner asks for hold anyway."));
  gtk_widget_set_sensitive (self->put, wants);
}

static GtkWidget *
new_crests (SlBench *bench)
{
  Crests *self = sl_part_new (bench, SL_PART (Crests, page, table), g_free, "pitch-crests",
                              "page tools room remark put table", SL_CALL (on_put), NULL);

  sl_follow_while_seen (self->page, bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS, G_CALLBACK (update_crests), self);
  sl_part_set_tools (self->page, self->tools);
  return self->page;
}

/* ---- every fret ---- */

typedef struct
{
  SlBench *bench; /* borrowed */
  /* bound in this order */
  GtkWidget *page, *tools, *planned;
  SlFigureTable *table;
  int n_frets;
} Table;

static void
update_table (Table *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlInstrument *in = &analysis->instrument;
  const SlTextStyle style = sl_bench_text_style (self->bench);
  const SlFigures *figures = sl_is_on (self->planned) ? &analysis->planned_figures : &analysis->measured_figures;

  if (self->n_frets != in->frets)
    {
      sl_figure_table_cut_columns (self->table, 1);
      sl_figure_table_add_frets (self->table, in->frets, 0, SL_COLUMN_SNUG);
      self->n_frets = in->frets;
    }
  sl_figure_table_set_rows (self->table, (guint) in->n_strings);
  for (int s = 1; s <= in->n_strings; s++)
    {
      sl_figure_table_take (self->table, (guint) s - 1, 0, sl_text_string (sl_bench_get_profile (self->bench), s));
      for (int n = 1; n <= in->frets; n++)
        sl_figure_table_take (self->table, (guint) s - 1, (guint) n,
                              sl_text_plain (&style, figures->pitch_error[s - 1][n].value, 1, TRUE));
    }
}

static GtkWidget *
new_table (SlBench *bench)
{
  Table *self = sl_part_new (bench, SL_PART (Table, page, table), g_free, "pitch-frets", "page tools planned table",
                             SL_CALL (sl_update_seen), NULL);

  sl_follow_while_seen (self->page, bench, SL_CHANGED_FIGURES, G_CALLBACK (update_table), self);
  sl_part_set_tools (self->page, self->tools);
  return self->page;
}

/* ---- the sheet ---- */

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer bench)
{
  const SlPictureOptions options = sl_picture_options_for (bench, GTK_WIDGET (area), SL_PICTURE_PITCH, width, height);

  sl_picture_draw (cr, sl_bench_get_analysis (bench), &options, sl_picture_area_map (GTK_WIDGET (area)));
}

GtkWidget *
sl_pitch_sheet_new (SlBench *bench)
{
  GtkWidget *picture, *sheet;

  sl_build ("pitch", &picture, 0, 0, "picture", NULL);
  sheet = sl_sheet_frame_new (_ ("Pitch"), picture, 0);
  sl_picture_area_init (picture, draw, bench);
  sl_bench_follow (bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS | SL_CHANGED_STRING,
                   G_CALLBACK (gtk_widget_queue_draw), picture);
  sl_sheet_frame_add (sheet, C_ ("part of a sheet", "Tuner"), sl_pitch_tuner_new (bench));
  sl_sheet_frame_add (sheet, C_ ("part of a sheet", "Break points"), new_crests (bench));
  sl_sheet_frame_add (sheet, C_ ("part of a sheet", "Every fret"), new_table (bench));
  return sheet;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/pitch-sheet.h"

#include "desk/kit/util.h"
#include "desk/sheets/pitch-parts.h"
#include "draw/draw.h"

#include <glib/gi18n-lib.h>

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer bench)
{
  const SlPictureOptions options = sl_picture_options_for (bench, GTK_WIDGET (area), SL_PICTURE_PITCH, width, height);

  sl_picture_draw (cr, sl_bench_get_analysis (bench), &options, NULL);
}

GtkWidget *
sl_pitch_sheet_new (SlBench *bench)
{
  GtkWidget *picture =
      sl_picture_area_new (_ ("Pitch: cents over the frets, and the break points from above"), draw, bench);
  GtkWidget *sheet = sl_sheet_frame_new (_ ("Pitch"), picture);
  SlSheetFrame *frame = SL_SHEET_FRAME (sheet);

  sl_add_classes (picture, "sl-card", "sl-paper");
  sl_set_accessible_description (picture, _ ("Everything it shows is also in this sheet’s tables."));
  sl_bench_follow (bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS | SL_CHANGED_STRING,
                   G_CALLBACK (gtk_widget_queue_draw), picture);
  sl_sheet_frame_add (frame, C_ ("part of a sheet", "Tuner"), sl_pitch_tuner_new (bench));
  sl_sheet_frame_add (frame, C_ ("part of a sheet", "Break points"), sl_pitch_crests_new (bench));
  sl_sheet_frame_add (frame, C_ ("part of a sheet", "Every fret"), sl_pitch_table_new (bench));
  return sheet;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/pitch-sheet.h"

#include "desk/sheets/pitch-parts.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

GtkWidget *
sl_pitch_sheet_new (SlBench *bench)
{
  const char *name = _ ("Pitch: cents over the frets, and the break points from above");
  GtkWidget *picture = sl_sheet_picture_new (bench, SL_PICTURE_PITCH, name); /* named by its last argument */
  GtkWidget *sheet = sl_sheet_frame_new (_ ("Pitch"), picture), *page, *tools = NULL;
  SlSheetFrame *frame = SL_SHEET_FRAME (sheet);

  sl_set_accessible_description (picture, _ ("Everything it shows is also in this sheet’s tables."));
  page = sl_pitch_tuner_new (bench, &tools);
  sl_sheet_frame_add (frame, C_ ("part of a sheet", "Tuner"), page, tools);
  page = sl_pitch_crests_new (bench, &tools);
  sl_sheet_frame_add (frame, C_ ("part of a sheet", "Break points"), page, tools);
  page = sl_pitch_table_new (bench, &tools);
  sl_sheet_frame_add (frame, C_ ("part of a sheet", "Every fret"), page, tools);
  return sheet;
}

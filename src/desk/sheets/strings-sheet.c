/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/strings-sheet.h"

#include "desk/sheets/strings-parts.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

const SlState *
sl_state_ahead (const SlAnalysis *analysis)
{
  return analysis->has_plan ? &analysis->planned : &analysis->measured;
}

char *
sl_take_change (char *before, char *after)
{
  g_autofree char *own_before = before, *own_after = after;

  return g_str_equal (own_before, own_after) ? g_steal_pointer (&own_after)
                                             : g_strdup_printf ("%s → %s", own_before, own_after);
}

GtkWidget *
sl_strings_sheet_new (SlBench *bench)
{
  GtkWidget *picture, *compare = sl_strings_compare_new (bench, &picture);
  GtkWidget *sheet = sl_sheet_frame_new (_ ("Strings"), picture);
  SlSheetFrame *frame = SL_SHEET_FRAME (sheet);

  sl_add_classes (picture, "sl-card", "sl-paper");
  sl_set_accessible_description (picture, _ ("Everything it shows is also in this sheet’s tables."));
  sl_sheet_frame_add (frame, C_ ("part of a sheet", "Set"), sl_strings_set_new (bench));
  sl_sheet_frame_add (frame, C_ ("part of a sheet", "Compare"), compare);
  sl_sheet_frame_add (frame, C_ ("part of a sheet", "Nut"), sl_strings_nut_new (bench));
  sl_sheet_frame_add (frame, C_ ("part of a sheet", "Saddle"), sl_strings_saddle_new (bench));
  sl_sheet_frame_add (frame, C_ ("part of a sheet", "Tuner posts"), sl_strings_posts_new (bench));
  return sheet;
}

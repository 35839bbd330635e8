/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/strings-sheet.h"

#include "desk/sheets/strings-parts.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

/* A remark asks for no more width than this; it takes what its table leaves it. */
#define REMARK_CHARS 50

const SlState *
sl_state_ahead (const SlAnalysis *analysis)
{
  return analysis->has_plan ? &analysis->planned : &analysis->measured;
}

GtkWidget *
sl_new_remark (void)
{
  GtkWidget *remark = sl_text_new (NULL);

  gtk_label_set_max_width_chars (GTK_LABEL (remark), REMARK_CHARS);
  gtk_widget_add_css_class (remark, "sl-remark");
  gtk_widget_set_visible (remark, FALSE);
  return remark;
}

void
sl_set_remark (GtkWidget *remark, const char *text)
{
  const char *now = text == NULL ? "" : text;

  if (g_strcmp0 (gtk_label_get_text (GTK_LABEL (remark)), now) != 0)
    gtk_label_set_text (GTK_LABEL (remark), now);
  if (gtk_widget_get_visible (remark) != (*now != '\0'))
    gtk_widget_set_visible (remark, *now != '\0');
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
  /* named by its last argument */
  GtkWidget *picture = sl_sheet_picture_new (bench, SL_PICTURE_STRINGS, _ ("Strings: forces, slots and saddle top"));
  GtkWidget *sheet = sl_sheet_frame_new (_ ("Strings"), picture), *page, *tools = NULL;
  SlSheetFrame *frame = SL_SHEET_FRAME (sheet);

  sl_set_accessible_description (picture, _ ("Everything it shows is also in this sheet’s tables."));
  page = sl_strings_set_new (bench, &tools);
  sl_sheet_frame_add (frame, C_ ("part of a sheet", "Set"), page, tools);
  page = sl_strings_compare_new (bench, sheet, picture, &tools);
  sl_sheet_frame_add (frame, C_ ("part of a sheet", "Compare"), page, tools);
  sl_sheet_frame_add (frame, C_ ("part of a sheet", "Nut"), sl_strings_nut_new (bench), NULL);
  sl_sheet_frame_add (frame, C_ ("part of a sheet", "Saddle"), sl_strings_saddle_new (bench), NULL);
  page = sl_strings_posts_new (bench, &tools);
  sl_sheet_frame_add (frame, C_ ("part of a sheet", "Tuner posts"), page, tools);
  return sheet;
}

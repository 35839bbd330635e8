/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the sheets of strings and of pitch are built from: a frame with a row of parts (one shown at a time, each with
 * its tools beside the row) and the sheet's picture, beside the part where there is room and below it where there is
 * not; the picture itself; and a way to follow the bench only while seen. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"
#include "draw/base/picture.h"

/* Calls @update for @widget when something of @which changed on the bench while the widget is mapped, and when it comes
 * to be mapped after such a change. */
typedef void (*SlSeenUpdate) (GtkWidget *widget);
void sl_follow_while_seen (GtkWidget *widget, SlBench *bench, SlChanges which, SlSeenUpdate update);

/* Updates as the next change would: at once if seen. */
void sl_update_seen (GtkWidget *widget);

#define SL_TYPE_SHEET_PICTURE (sl_sheet_picture_get_type ())
G_DECLARE_FINAL_TYPE (SlSheetPicture, sl_sheet_picture, SL, SHEET_PICTURE, GtkDrawingArea)

/* A picture to look at of what is on the bench. @name and what sl_set_accessible_description() gives it stand for it in
 * words. */
GtkWidget *sl_sheet_picture_new (SlBench *bench, SlPictureKind kind, const char *name);

/* Another set of strings to draw beside; @other and @name stay the caller's and must outlive the picture or be taken
 * back with NULL. */
void sl_sheet_picture_set_other (SlSheetPicture *self, const SlComparison *other, const char *name);

/* The line over a sheet: two groups of controls side by side, or one beneath the other where that is too narrow. @name
 * is what assistive technology calls it. */
GtkWidget *sl_sheet_head_new (GtkWidget *first, GtkWidget *second, const char *name);

#define SL_TYPE_SHEET_FRAME (sl_sheet_frame_get_type ())
G_DECLARE_FINAL_TYPE (SlSheetFrame, sl_sheet_frame, SL, SHEET_FRAME, GtkBox)

/* @name is what assistive technology calls the sheet. */
GtkWidget *sl_sheet_frame_new (const char *name, GtkWidget *picture);

/* The width below which the picture stands below the parts, where its labels need less room than most. */
void sl_sheet_frame_set_picture_least (SlSheetFrame *self, int width);

/* One part more; @tools (may be NULL) stand beside the row of parts while it is shown. The first one added is shown
 * first. */
void sl_sheet_frame_add (SlSheetFrame *self, const char *title, GtkWidget *page, GtkWidget *tools);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the sheets of strings and of pitch are built from: a frame with a row of parts (one shown at a time, each with
 * its tools beside the row) and the sheet's picture, beside the part where there is room and below it where there is
 * not; parts, pictures and remarks; and a way to follow the bench only while seen. */
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

/* Makes a sheet, or a part of one, of @page: it follows the bench while it is seen, keeps it, and has @own as its data
 * "part", which it frees with @free_own. */
void sl_part_init (GtkWidget *page, gpointer own, GDestroyNotify free_own, SlBench *bench, SlChanges which,
                   SlSeenUpdate update);

/* What the part that @widget is, or lies in, has as its own. */
gpointer sl_part_of (GtkWidget *widget);

/* The box of a part's tools: they stand beside the row of parts while it is shown. */
void sl_part_set_tools (GtkWidget *page, GtkWidget *tools);

/* How the window draws a picture of what is on a bench: in the units, with the decimal sign and in the palette that are
 * in use. For a picture in @widget, of the string the bench shows; all else as sl_picture_options_init() has it. */
SlPictureOptions sl_picture_options_for (SlBench *bench, GtkWidget *widget, SlPictureKind kind, double width,
                                         double height);

/* Has an area show a picture, drawn again where the palette changes. Its name and what sl_set_accessible_description()
 * gives it stand for it in words. */
void sl_picture_area_init (GtkWidget *area, GtkDrawingAreaDrawFunc draw, gpointer data);

/* A frame for parts, with the sheet's picture beside them, or below them where that would leave it less than
 * @picture_least; 0: what most need for their labels. @name is what assistive technology calls the sheet. */
GtkWidget *sl_sheet_frame_new (const char *name, GtkWidget *picture, int picture_least);

/* One part more. The first one added is shown first. */
void sl_sheet_frame_add (GtkWidget *frame, const char *title, GtkWidget *page);

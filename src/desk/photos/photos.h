/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Photographs on screen: tiles on the visit sheet, the window that measures in one, pairs before and after, the years.
 */
#pragma once

#include <gtk/gtk.h>

#include "bench/photo-take.h"

/* Reads and decodes a photograph's file in a thread, no side longer than @most_side px (0: as it is), and calls @loaded
 * with @object (a GObject), in the main loop, unless that has gone: the picture, or NULL and why. */
typedef void (*SlPhotoLoaded) (gpointer object, GdkPixbuf *picture, const GError *error);
void sl_photo_load (SlBench *bench, const char *file, int most_side, gpointer object, SlPhotoLoaded loaded);

/* The window that shows one photograph large, with its marks, and measures in it. */
void sl_photo_window_present (GtkWindow *parent, SlBench *bench, const char *id);

/* The photographs of the last visit by stage, and how more are taken in. */
GtkWidget *sl_photo_tiles_new (SlBench *bench);

/* Asks for pictures to take in, for part @from of the bench; with @line one, as sl_photo_guess() has it. Takes what is
 * on the clipboard, files or a picture. */
void sl_photos_choose (GtkWidget *from, const char *line);
void sl_photos_paste (GtkWidget *from, SlBench *bench);

/* A button that takes in the newest picture of a folder, which it follows, and one that chooses the folder; with the
 * line that it is taken for. */
GtkWidget *sl_latest_picture_new (SlBench *bench);
void sl_latest_picture_set_line (GtkWidget *newest, const char *line);

/* The shop's usual pictures at the stage that is read, asked for one by one. */
GtkWidget *sl_photo_steps_new (SlBench *bench);

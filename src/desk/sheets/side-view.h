/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A picture of what is on the bench, drawn again at every change. The side view can be worked on: handles dragged by
 * mouse or finger, a fret clicked to hold the string there; with the keyboard, left and right choose a handle, up and
 * down move it by a hundredth of a millimetre (with Shift by a tenth), Page Up and Page Down hold the string a fret
 * higher or lower, Home opens it, End holds it at the last fret that leaves another. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"
#include "draw/base/picture.h"

#define SL_TYPE_SIDE_VIEW (sl_side_view_get_type ())
G_DECLARE_FINAL_TYPE (SlSideView, sl_side_view, SL, SIDE_VIEW, GtkDrawingArea)

GtkWidget *sl_side_view_new (SlBench *bench, SlPictureKind kind);

/* Where things came to lie when it was last drawn. Borrowed. */
const SlPictureMap *sl_side_view_get_map (SlSideView *self);

/* What a picture shows, in words: string, action before and after, relief, break angles, what comes off, and with a
 * held string what it leaves over the closest crown. Free with g_free(). */
char *sl_picture_describe (SlBench *bench, SlPictureKind kind);

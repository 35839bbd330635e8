/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How the window draws a picture of what is on a bench: in the units, with the decimal sign and in the palette that
 * are in use. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"
#include "draw/base/picture.h"

/* For a picture in @widget, of the string the bench shows; all else as sl_picture_options_init() has it. */
SlPictureOptions sl_picture_options_for (SlBench *bench, GtkWidget *widget, SlPictureKind kind, double width,
                                         double height);

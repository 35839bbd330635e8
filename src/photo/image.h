/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pictures: a camera's file in, an upright picture of bounded size out. Nothing is decoded before its kind, its bytes
 * and its pixels are known to be within bounds. */
#pragma once

#include <cairo.h>
#include <gdk-pixbuf/gdk-pixbuf.h>
#include <gio/gio.h>

#define SL_IMAGE_MOST_BYTES (64 * 1024 * 1024)
#define SL_IMAGE_MOST_SIDE 32767 /* px: Cairo's largest */
#define SL_IMAGE_MOST_PIXELS 64000000
#define SL_IMAGE_MOST_S 20 /* of a thread's time for one picture */

#define SL_IMAGE_ERROR (sl_image_error_quark ())
GQuark sl_image_error_quark (void);

/* Why a picture isn't shown; the message is a sentence for its tile. */
typedef enum
{
  SL_IMAGE_MISSING,  /* no such file in the folder */
  SL_IMAGE_FOREIGN,  /* the name leads out of the folder, or it is a link or no ordinary file */
  SL_IMAGE_NO_KIND,  /* neither JPEG nor PNG */
  SL_IMAGE_BROKEN,   /* cut short or damaged */
  SL_IMAGE_TOO_LARGE /* more bytes, pixels or time than above */
} SlImageFault;

/* Sets @error, in place of what it may hold already; FALSE. */
gboolean sl_image_refuse (GError **error, SlImageFault fault, const char *format, ...) G_GNUC_PRINTF (3, 4);

/* What a picture's bytes say of it, without decoding it. */
typedef struct
{
  const char *ending; /* "jpg" or "png" */
  int width, height;  /* px, upright */
  char taken[32];     /* ISO 8601, from EXIF; empty where it doesn't say */
} SlImageFacts;
gboolean sl_image_facts (GBytes *bytes, SlImageFacts *facts, GError **error);

/* The upright picture, no side longer than @most_side px (0: as it is). NULL with SL_IMAGE_ERROR. May take seconds.
 */
GdkPixbuf *sl_image_decode (GBytes *bytes, int most_side, GCancellable *cancellable, GError **error);

/* The same for Cairo; with @jpeg_quality above 0 it also carries a JPEG of itself, which PDF takes in place of the
 * pixels. */
cairo_surface_t *sl_image_surface (GdkPixbuf *picture, int jpeg_quality);

/* A copy that may leave the shop: the upright picture encoded anew, and nothing of what the camera wrote beside it
 * (place, names, times, thumbnails). Of the kind it was. */
GBytes *sl_image_stripped (GBytes *bytes, GCancellable *cancellable, GError **error);

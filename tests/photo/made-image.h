/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pictures made for tests, part by part. JPEG: ITU-T T.81, annex B; PNG: W3C, section 5; Exif: CIPA DC-008 (2.31). */
#pragma once

#include <gdk-pixbuf/gdk-pixbuf.h>

/* A picture of four fields (red, green, blue and grey, by rows), none like another, and its file. */
GdkPixbuf *made_fields (int width, int height);
GBytes *made_file (GdkPixbuf *picture, const char *kind); /* "jpeg", "png", "gif", … */

/* A marker segment behind the start of a JPEG; @length of what follows its length. */
GBytes *made_with_segment (GBytes *jpeg, guint8 mark, gconstpointer data, gsize length);

/* An APP1 segment's data: Exif with whatever is given (0, NULL: not there), an owner's name, a position and a thumbnail
 * of @secret. */
GByteArray *made_exif (int orientation, const char *taken, const char *offset, const char *secret);

/* A JPEG's head of the given size in so many scans without data: @progressive, or sequential. */
GBytes *made_scans (guint width, guint height, gboolean progressive, int scans);

/* A chunk, its check sum with it; and a PNG of grey made of them, its rows @rows bytes of nothing, with @extra (may be
 * NULL) before those. */
void made_chunk (GByteArray *png, const char *type, gconstpointer data, gsize length);
GBytes *made_png (guint width, guint height, gsize rows, const GByteArray *extra);

/* @length bytes of nothing, by zlib. */
GByteArray *made_deflated (gsize length);

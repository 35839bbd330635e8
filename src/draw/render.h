/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pictures as files. */
#pragma once

#include "draw/base/picture.h"

/* The picture as a file's bytes; the same analysis and options give the same bytes. PNG: @scale pixels a unit. PDF: a
 * unit is a point. NULL with @error if cairo fails. */
GBytes *sl_picture_render (const SlAnalysis *analysis, const SlPictureOptions *options, SlFormat format, double scale,
                           GError **error);

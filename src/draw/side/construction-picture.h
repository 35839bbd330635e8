/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How an instrument is built as a small picture: nut end and bridge end in true proportion, the neck between them
 * shortened; no text, no dimensions. */
#pragma once

#include <cairo.h>

#include "draw/base/style.h"
#include "setup/profile/profile.h"

/* Fills @width by @height units from the current origin, from about 160 by 72 on: less than that is drawn, but hardly
 * to be made out. A left-handed instrument has its head at the right. */
void sl_draw_construction (cairo_t *cr, const SlProfile *profile, SlLook look, double width, double height);

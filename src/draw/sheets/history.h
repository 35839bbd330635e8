/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An instrument's history and what the seasons do, as small charts: figures over time with their expanded uncertainty
 * as bars, and figures against moisture content with the straight line through them. Treble and bass differ by their
 * marks, not by colour alone. */
#pragma once

#include "draw/base/picture.h"
#include "setup/record/history.h"

/* Charts beside each other or in rows, each with the lines there are and bands of what they leave uncertain: with
 * @moisture action and relief against moisture content, else all figures over time. Of @options size, look, lengths,
 * decimal sign and text scale count; @map (may be NULL) gets the texts. */
void sl_history_draw (cairo_t *cr, const GArray *history, const SlPictureOptions *options, gboolean moisture,
                      SlPictureMap *map);

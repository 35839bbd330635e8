/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Full-size templates: nut, saddle and a rule of the frets at 1:1, to be printed at 100 % and glued or traced. Every
 * page carries a bar of 100 mm and one of 4 in to measure, and takes a factor for a printer that is off. */
#pragma once

#include "draw/paper/paper-options.h"

/* Of the instrument as the plan of @visit (one of @profile's; NULL: the last) leaves it. Copies what it needs. NULL
 * with @error (SL_PICTURE_ERROR_SIZE) where nothing of what is wanted can be drawn. Free with sl_template_free(). */
SlTemplate *sl_template_new (const SlProfile *profile, const SlVisit *visit, const SlTemplateOptions *options,
                             GError **error);
void sl_template_free (SlTemplate *template);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlTemplate, sl_template_free)

/* What of it is wanted and can't be drawn, and why, as a sentence; NULL: nothing. */
const char *sl_template_left_out (const SlTemplate *template);

const SlPages *sl_template_pages (const SlTemplate *template);

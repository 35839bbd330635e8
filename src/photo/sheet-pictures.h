/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The photographs of the hand-over sheet, loaded for whoever draws it. */
#pragma once

#include "photo/folder.h"
#include "words/figures.h"

/* Of @profile's last visit, from the folder of its photographs, as SlHandoverOptions has them: tables by SlPhoto.id of
 * @pictures that can be shown (cairo_surface_t *: bounded, each with a JPEG of itself) and of what was @measured in
 * them (char *: as their owner understands it, a line each). Decodes: for a thread. Returns what can't be shown, and
 * why, a sentence each, for the technician (free with g_free()); NULL: nothing, and not what @cancellable stopped. */
char *sl_sheet_pictures_load (const SlProfile *profile, GFile *folder, const SlTextStyle *style,
                              GCancellable *cancellable, GHashTable **pictures, GHashTable **measured);

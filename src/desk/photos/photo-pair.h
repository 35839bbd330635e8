/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two photographs of one subject laid over each other: a line that is dragged uncovers the later one from left to
 * right. Both are equally high and have the same middle, and are zoomed and moved together: by pinch, wheel, drag and
 * key; a double click or Ctrl+0 shows all again. Where one of them is missing the other is shown alone. */
#pragma once

#include "desk/photos/photos.h"

#define SL_TYPE_PHOTO_PAIR_VIEW (sl_photo_pair_view_get_type ())
G_DECLARE_FINAL_TYPE (SlPhotoPairView, sl_photo_pair_view, SL, PHOTO_PAIR_VIEW, GtkBox)

/* @share goes from 0, the earlier one alone, to 1, the later one alone. @slider: what moves it, visible while there are
 * two; it tells of each change by a person through "change-value". */
SlPhotoPairView *sl_photo_pair_view_new (SlBench *bench, GtkAdjustment *share, GtkWidget **slider);

/* Shows two, either of which may be NULL, with what stands beside each ("Before, 2 March 2026"). What is shown already
 * stays as it is. */
void sl_photo_pair_view_show (SlPhotoPairView *self, const SlPhoto *before, const SlPhoto *after,
                              const char *before_label, const char *after_label);

/* Whether it does what a key is for: zooming and moving, whichever control has the keyboard. */
gboolean sl_photo_pair_view_key (SlPhotoPairView *self, guint key, GdkModifierType modifiers);

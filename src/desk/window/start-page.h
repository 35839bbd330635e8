/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The page of a window with an empty bench: a new instrument from a starting profile, or a file. Emits "start" when an
 * instrument was chosen and named. */
#pragma once

#include "setup/profile/profile.h"

#include <gtk/gtk.h>

#define SL_TYPE_START_PAGE (sl_start_page_get_type ())
G_DECLARE_FINAL_TYPE (SlStartPage, sl_start_page, SL, START_PAGE, GtkBox)

/* Chooses a starting profile by its name. */
void sl_start_page_choose (SlStartPage *self, const char *name);

/* The profile that was chosen, with the name and owner typed in. */
SlProfile *sl_start_page_make_profile (SlStartPage *self);

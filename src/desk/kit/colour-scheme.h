/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Light or dark: as the user prefers, or as the desktop does. Loads the palette the style sheet's colours come from,
 * and keeps every window of class "sidelong" marked "light" or "dark". */
#pragma once

#include <gtk/gtk.h>

/* Applies the preference and follows it, and the desktop's. Call once, before the first window. */
void sl_colour_scheme_start (void);

/* Marks a new window. */
void sl_colour_scheme_mark (GtkWidget *window);

/* Takes another preference for now (with no settings installed it lasts until the program ends): "system", "light",
 * "dark". */
void sl_colour_scheme_prefer (const char *preference);
const char *sl_colour_scheme_get (void);

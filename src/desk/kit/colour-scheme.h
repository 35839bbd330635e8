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

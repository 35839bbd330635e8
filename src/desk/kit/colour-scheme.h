/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Light or dark: as the user prefers, or as the desktop does; in high contrast where the desktop asks for it. Loads the
 * palette the style sheet's colours come from, and keeps every window of class "sidelong" marked "light" or "dark", and
 * "contrast". */
#pragma once

#include <gtk/gtk.h>

#include "draw/base/style.h"

/* Applies the preference and follows it, and the desktop's. Call once, before the first window. */
void sl_colour_scheme_start (void);

/* Marks a new window. */
void sl_colour_scheme_mark (GtkWidget *window);

/* What pictures are drawn with. */
SlLook sl_look (void);

/* How large @widget's text is, 1 as the toolkit has it by default: what a picture in it scales its texts by. */
double sl_text_scale (GtkWidget *widget);

/* Draws @area again where its colours or the size of texts change. */
void sl_follow_look (GtkWidget *area);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The user guide, in a window of its own: contents at the side, a page beside them, a search through all of them. Its
 * pages are made from docs/guide when the program is built, and shown in the reader's language where there is one. */
#pragma once

#include <gtk/gtk.h>

/* Shows the guide at what the keyboard is at in @app's active window, else at its beginning. */
void sl_help_show (GtkApplication *app);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Recently opened profiles, shared with the desktop's list of recent files. */
#pragma once

#include <gtk/gtk.h>

/* A menu of the latest profiles, each activating app.open-recent with its URI; it follows the list. Filled when the program is idle. */
GMenu *sl_recent_menu_new (void);

void sl_recent_add (GFile *file);

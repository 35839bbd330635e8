/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The application: its windows (one a profile), documents from the command line and the file manager, and what all
 * windows share. */
#pragma once

#include <gtk/gtk.h>

GtkApplication *sl_app_new (void);

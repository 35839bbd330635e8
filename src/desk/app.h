/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The application: its windows (one a profile), documents from the command line and the file manager, and what all
 * windows share. */
#pragma once

#include <gtk/gtk.h>

#define SL_TYPE_APP (sl_app_get_type ())
G_DECLARE_FINAL_TYPE (SlApp, sl_app, SL, APP, GtkApplication)

SlApp *sl_app_new (void);

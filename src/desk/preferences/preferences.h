/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The few things that are a matter of taste: light or dark, and the units new windows start with. Applied at once. */
#pragma once

#include <gtk/gtk.h>

/* The window of preferences above @parent (may be NULL). */
GtkWidget *sl_preferences_new (GtkWindow *parent);

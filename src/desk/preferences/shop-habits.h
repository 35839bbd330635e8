/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How the shop works: the step it cuts in and what its work is uncertain by (setup/shop.h). */
#pragma once

#include <gtk/gtk.h>

/* The entries for the preferences; what is entered is remembered, and what is open follows. A button writes it as a
 * file for the command line. */
GtkWidget *sl_shop_habits_new (void);

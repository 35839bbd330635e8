/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How the shop works, remembered: the step it cuts in and what its work is uncertain by (setup/shop.h). */
#pragma once

#include <gtk/gtk.h>

/* Hands what is remembered to the model. */
void sl_shop_habits_apply (void);

/* The entries for the preferences; what is entered is remembered and holds from the next change on a bench. */
GtkWidget *sl_shop_habits_new (void);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The check lists of the shop, one for each kind of instrument, as lines to edit: each line a check. Saved at once. */
#pragma once

#include <gtk/gtk.h>

GtkWidget *sl_check_lists_new (void);

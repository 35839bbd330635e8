/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a reading run goes in this shop: what it asks of which kind of instrument in which order, and the keys that a
 * pedal sends. */
#pragma once

#include <gtk/gtk.h>

GtkWidget *sl_run_options_new (void);

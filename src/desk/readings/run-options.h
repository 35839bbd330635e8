/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a reading run goes in this shop: what it asks of which kind of instrument in which order, and the keys that a
 * pedal sends. Saved at once. */
#pragma once

#include <gtk/gtk.h>

#include "bench/shop-lists.h"

/* What a run does on a key beside Enter: 1 accepts a reading and goes on, −1 goes back, 0 nothing. */
int sl_run_key_step (const char *name);

/* A drop-down of the kinds of instrument that lists are kept for, the first one chosen, named @name for assistive
 * technology. */
GtkWidget *sl_kind_chooser_new (const char *name);
SlFamily sl_kind_chooser_get (GtkWidget *chooser);

/* The list of what a run asks of a kind of instrument: what is ticked is asked, in the order in which it stands.
 * @changed, which may be NULL, is called with @owner after the person changed it. */
GtkWidget *sl_run_order_editor_new (SlFamily family, void (*changed) (gpointer owner), gpointer owner);

/* All of it, for the preferences. */
GtkWidget *sl_run_options_new (void);

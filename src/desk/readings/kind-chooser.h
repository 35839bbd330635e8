/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A drop-down of the kinds of instrument that lists are kept for. */
#pragma once

#include <gtk/gtk.h>

#include "bench/kind-lists.h"

/* A drop-down of the kinds, the first one chosen, named @name for assistive technology. */
GtkWidget *sl_kind_chooser_new (const char *name);
SlBridgeKind sl_kind_chooser_get (GtkWidget *chooser);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The list of what a reading run asks of a kind of instrument: what is ticked is asked, in the order in which it
 * stands. Saved at once. */
#pragma once

#include <gtk/gtk.h>

#include "bench/kind-lists.h"
#include "bench/readings-question.h"

#define SL_TYPE_RUN_ORDER_EDITOR (sl_run_order_editor_get_type ())
G_DECLARE_FINAL_TYPE (SlRunOrderEditor, sl_run_order_editor, SL, RUN_ORDER_EDITOR, GtkBox)

/* Signal: "order-changed", after the person changed it. */
GtkWidget *sl_run_order_editor_new (SlBridgeKind kind);
void sl_run_order_editor_set_kind (SlRunOrderEditor *self, SlBridgeKind kind);

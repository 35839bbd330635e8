/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the customer is shown across the counter: the whole screen, or a second one, with one large drawing that changes
 * from before to after, four figures in plain words, and page by page what was done and why, and how to look after it.
 * Nothing of prices or notes. Space, or a tap on the drawing, changes between before and after, Left and Right move
 * between them, Page Up and Page Down, or a swipe over the words, turn their pages, Escape leaves. The sentences on the
 * work can be edited; Escape then ends that first. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

#define SL_TYPE_CUSTOMER_VIEW (sl_customer_view_get_type ())
G_DECLARE_FINAL_TYPE (SlCustomerView, sl_customer_view, SL, CUSTOMER_VIEW, GtkWindow)

/* The monitor to fill, of GdkMonitors: one that isn't @own (@other becomes TRUE), else @own; with NULL the first. NULL
 * where there is none. New reference. */
GdkMonitor *sl_customer_choose_monitor (GListModel *monitors, GdkMonitor *own, gboolean *other);

/* On a monitor that @parent is not on, where there is one. Follows the bench. */
GtkWidget *sl_customer_view_new (GtkWindow *parent, SlBench *bench);

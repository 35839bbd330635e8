/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is still to be done in a visit, in its order, with buttons that change the order where it makes sense and say
 * why not where it does not. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

GtkWidget *sl_visit_plan_new (SlBench *bench);

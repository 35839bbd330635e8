/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The tools of a reading set: a small button at a group's heading whose popover holds each tool's resolution and error
 * limit. */
#pragma once

#include <gtk/gtk.h>

#include "bench/readings-question.h"

/* A button for the tools that measure @group's readings, or NULL where the group has none. It follows the bench while
 * it is open. */
GtkWidget *sl_readings_tools_new (SlBench *bench, SlQuestionGroup group);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Controls in a line, or in as many lines as they need. */
#pragma once

#include <gtk/gtk.h>

/* Lays out the children of @box so, @spacing apart. What a line has left goes to those of its children that expand. */
void sl_flow (GtkWidget *box, int spacing);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shop's tools as a list to edit: name, resolution, error limit and what each serves to read. What is entered is
 * remembered at once; what is not valid is refused below its row, with what is. */
#pragma once

#include <gtk/gtk.h>

GtkWidget *sl_tools_editor_new (void);

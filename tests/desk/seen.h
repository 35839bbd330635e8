/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What of a window can't be seen whole. */
#pragma once

#include <gtk/gtk.h>

/* A sentence for each fault among the mapped widgets of @window: a text that ends in an ellipsis, is cut or broken
 * within a word, a child allocated outside its parent or over another, columns out of sight where no bar says so. */
typedef void (*SeenFault) (const char *what, gpointer data);
void seen_check (GtkWidget *window, SeenFault fault, gpointer data);

/* What is seen of @window, as a picture. */
void seen_save (GtkWidget *window, const char *path);

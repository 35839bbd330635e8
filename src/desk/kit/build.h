/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the files of ui/ describe, put into a struct: its pointers to what is described follow each other in the order
 * of @names, which are apart by spaces, from the one at @first to the one at @last. */
#pragma once

#include <gtk/gtk.h>

/* For @first and @last. */
#define SL_MEMBERS(type, first, last) G_STRUCT_OFFSET (type, first), G_STRUCT_OFFSET (type, last)

/* A handler of signals by its own name. */
#define SL_CALL(handler) #handler, G_CALLBACK(handler)

/* Makes ui/@file.ui (NULL: it is set) the template of a class of widgets, its children bound into the widget's own
 * struct. Signals in the file call what follows @names: each an SL_CALL(), up to NULL. */
void sl_template_bind (gpointer class, const char *file, gsize first, gsize last, const char *names,
                       ...) G_GNUC_NULL_TERMINATED;

/* The widgets of ui/@file.ui into @own; an entry is named by its tooltip. The first one is returned. Those without
 * a parent are floating, unless they are windows. Signals in the file call what follows @names, as above. */
GtkWidget *sl_build (const char *file, gpointer own, gsize first, gsize last, const char *names,
                     ...) G_GNUC_NULL_TERMINATED;

/* The widget @root of ui/@file, one of several there, floating as new ones are. Names of widgets within it follow, each
 * with where to put it (GtkWidget **); NULL ends them. */
GtkWidget *sl_built_new (const char *file, const char *root, ...) G_GNUC_NULL_TERMINATED;

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is asked before a file or a printer is chosen: how wide a picture is in pixels, how templates are corrected and
 * their fret rule is tiled. */
#pragma once

#include <gtk/gtk.h>

/* The choices, kept for the next time. */
typedef struct
{
  int png_width;       /* 0: as proposed */
  gboolean half_tiles; /* two strips of the fret rule on a page */
} SlExportChoices;

typedef struct
{
  const char *title, *go; /* of the dialog and of the button that goes on, translated, with a mnemonic */
  int proposed_width;     /* pixels; 0: no width is asked */
  int least_width, most_width;
  gboolean template; /* the templates' options are asked */
} SlExportQuestion;

/* A dialog over @parent that collects choices and then calls @go_on with @parent; @choices must live as long as
 * @parent, whose child the dialog is. An invalid choice is reported, with what is valid, and @go_on is not called. */
GtkWidget *sl_export_options_new (GtkWindow *parent, const SlExportQuestion *question, SlExportChoices *choices,
                                  void (*go_on) (GtkWindow *parent, int what), int what);

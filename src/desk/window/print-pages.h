/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pages on a printer: each lying its own way, at full size, margins left to the pages themselves. */
#pragma once

#include <gtk/gtk.h>

#include "draw/paper/documents.h"

/* An operation that prints @pages, which must outlive it. The caller runs it. */
GtkPrintOperation *sl_print_pages (const SlPages *pages, SlPaper paper);

/* A template that a printer would cut off is no template. What is wrong with a printer whose own margins are these (in
 * any order), translated; NULL: nothing. Free with g_free(). */
char *sl_template_margin_complaint (const double margins_mm[4]);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A short caution with its icon that opens into the whole sentence. */
#pragma once

#include <gtk/gtk.h>

GtkWidget *sl_caution_line_new (const char *brief, const char *whole);

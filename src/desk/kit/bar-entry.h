/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An entry for what the 100 mm bar of a printed template really measures. What is kept is the factor that templates are
 * corrected by. */
#pragma once

#include <gtk/gtk.h>

/* Makes @entry such an entry for the setting @key; @note says what it is for, or what is accepted. Both are the
 * caller's. */
void sl_bar_entry_bind (GtkEditable *entry, GtkWidget *note, const char *key);

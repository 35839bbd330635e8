/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the climate sheet is built from: small columns of entries and words, each a concern of its own. */
#pragma once

#include "bench/bench.h"

#include <gtk/gtk.h>

/* A column, its heading, a label for sentences, and an entry of a few characters with its unit behind it on @line. */
GtkWidget *sl_climate_column (const char *title);
GtkWidget *sl_climate_words (GtkWidget *column);
GtkWidget *sl_climate_line (GtkWidget *column);
GtkWidget *sl_climate_entry (GtkWidget *line, const char *name, const char *unit, GCallback changed, gpointer data);

/* A number as people type it, with the locale's decimal sign or a point, from @least to @most; else FALSE, and the
 * entry is marked unless it is empty. */
gboolean sl_climate_read (GtkWidget *entry, double least, double most, double *value);
char *sl_climate_number (double value, int places);

/* ---- hygrometers (climate-check.c) ---- */

/* The names of hygrometers that checks are kept of, in order; free with g_strfreev(). */
char **sl_hygrometers (void);

/* What to add to what a hygrometer shows, by all its kept checks; 0 where it has none. */
double sl_hygrometer_kept_correction (const char *name, double shown);

/* The column that checks a hygrometer over salts and keeps what comes of it. */
GtkWidget *sl_climate_check_new (void);

/* ---- movement across the grain (climate-wood.c) ---- */
GtkWidget *sl_climate_wood_new (SlBench *bench);

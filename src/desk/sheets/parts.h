/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Parts of the sheets of strings, pitch and climate; each follows the bench while it is seen. */
#pragma once

#include "desk/kit/kit.h"

/* The strings as a table to edit, with the tuning to choose. */
GtkWidget *sl_strings_set_new (SlBench *bench);

/* Another set beside the present one, and the button that fits it; in @picture that of the sheet, which shows both. */
GtkWidget *sl_strings_compare_new (SlBench *bench, GtkWidget **picture);

/* Puts @set on the instrument, tuned as it is, as one step; @notice, a remark, says what that changes (relief will
 * move, and should be read again). Checked, it says so no longer where the fitting was undone or strings changed since.
 */
void sl_strings_fit (SlBench *bench, const SlStringSet *set, GtkWidget *notice);
void sl_strings_fit_check (SlBench *bench, GtkWidget *notice);

/* Shows in a remark which strings' cores are stressed too far, by the shares of their strength. */
void sl_strings_warn (GtkWidget *remark, const double *shares, int n_strings);

/* Slots and the break over the nut; the saddle's top and the break over it. */
GtkWidget *sl_strings_nut_new (SlBench *bench);
GtkWidget *sl_strings_saddle_new (SlBench *bench);

/* Posts, head tilt and rise moved to see the effect, and kept where wanted. */
GtkWidget *sl_strings_posts_new (SlBench *bench);

/* The tuner's readings, and which end condition of the string they speak for. */
GtkWidget *sl_pitch_tuner_new (SlBench *bench);

/* The state the sheets speak of: as planned, or as measured where nothing is planned. */
const SlState *sl_state_ahead (const SlAnalysis *analysis);

/* "24.1", or "24.1 → 22.8" where the work changes what is written. Frees both; the same of plain numbers and of fine
 * lengths. */
char *sl_take_change (char *before, char *after);
char *sl_plain_change (const SlTextStyle *style, double before, double after, int places);
char *sl_fine_change (const SlTextStyle *style, double before, double after);

/* ---- climate ---- */

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

/* ---- photographs over the years (history-photos.c) ---- */

/* Whether anything was photographed on two days or more, or in two visits. */
gboolean sl_history_has_photos (SlBench *bench);

/* A row for each such subject, its photographs in order of time. */
GtkWidget *sl_history_photos_new (SlBench *bench);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The parts of the sheet of strings. Each gives a page, and some of them the tools that stand beside the row of parts.
 * Parts follow the bench while they are seen. */
#pragma once

#include "desk/kit/figure-table.h"
#include "words/figures.h"
#include "desk/kit/sheet-frame.h"
#include "setup/profile/sets.h"

/* The strings as a table to edit, with the tuning to choose. */
GtkWidget *sl_strings_set_new (SlBench *bench, GtkWidget **tools);

/* Another set beside the present one, and the button that fits it. @sheet is the widget in which @picture is seen. */
GtkWidget *sl_strings_compare_new (SlBench *bench, GtkWidget *sheet, GtkWidget *picture, GtkWidget **tools);

/* Puts @set on the instrument, tuned as it is, as one step; returns what that changes as a sentence (relief will move,
 * and should be read again). Free with g_free(). */
char *sl_strings_fit (SlBench *bench, const SlStringSet *set);

/* The menu of the sets there are for so many strings; @notice, a remark, tells what the one that was chosen changes. */
GtkWidget *sl_strings_fit_button_new (SlBench *bench, GtkWidget *notice);

/* Slots and the break over the nut; the saddle's top and the break over it. */
GtkWidget *sl_strings_nut_new (SlBench *bench);
GtkWidget *sl_strings_saddle_new (SlBench *bench);

/* Posts, head tilt and rise moved to see the effect, and kept where wanted. */
GtkWidget *sl_strings_posts_new (SlBench *bench, GtkWidget **tools);

/* The state the sheets speak of: as planned, or as measured where nothing is planned. */
const SlState *sl_state_ahead (const SlAnalysis *analysis);

/* A sentence under a table: wraps, is dim, hidden while empty. */
GtkWidget *sl_new_remark (void);
void sl_set_remark (GtkWidget *remark, const char *text);

/* "24.1", or "24.1 → 22.8" where the work changes what is written. Frees both. */
char *sl_take_change (char *before, char *after);

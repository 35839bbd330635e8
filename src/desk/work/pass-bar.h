/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A thin bar that shows a cut: solid what is safe to take first, hatched what is left for after the next reading, and
 * the cut's U as a whisker about its end. */
#pragma once

#include <gtk/gtk.h>

#define SL_TYPE_PASS_BAR (sl_pass_bar_get_type ())
G_DECLARE_FINAL_TYPE (SlPassBar, sl_pass_bar, SL, PASS_BAR, GtkWidget)

GtkWidget *sl_pass_bar_new (void);

/* All mm; @span_mm is the whole width. @description says it in words. */
void sl_pass_bar_set (SlPassBar *self, double span_mm, double cut_mm, double u_mm, double first_pass_mm,
                      const char *description);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is normal by the baseline an instrument names: looked up on the shelf in the background, remembered, and looked
 * up again when the shelf changes. One for the whole program; each window that shows normals holds a reference. */
#pragma once

#include <gio/gio.h>

#include "setup/record/baseline.h"

#define SL_TYPE_BASELINE_WATCH (sl_baseline_watch_get_type ())
G_DECLARE_FINAL_TYPE (SlBaselineWatch, sl_baseline_watch, SL, BASELINE_WATCH, GObject)

/* A reference to the program's one, made if there is none. Signal: "changed" (a baseline was found, changed, or is
 * gone). */
SlBaselineWatch *sl_baseline_watch_get (void);

/* The normals of the baseline whose id is @id, borrowed until the next "changed"; NULL where there is none on the
 * shelf, or it is not read yet: then "changed" follows once it is. @id may be NULL. */
const SlNorms *sl_baseline_watch_norms (SlBaselineWatch *self, const char *id);

/* Whether @id was looked for on the shelf and not found; and why the shelf can't be read, NULL if it can. */
gboolean sl_baseline_watch_is_missing (SlBaselineWatch *self, const char *id);
const char *sl_baseline_watch_get_failure (SlBaselineWatch *self);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The bench: one open profile with its analysis, its undo history and what is being looked at. Every part of a window
 * watches one bench and changes the profile only through it; each change recomputes at once and emits "changed". */
#pragma once

#include <gio/gio.h>

#include "setup/physics/figures.h"
#include "setup/profile/units.h"

#define SL_TYPE_BENCH (sl_bench_get_type ())
G_DECLARE_FINAL_TYPE (SlBench, sl_bench, SL, BENCH, GObject)

/* Signals: "changed" (the profile, or how the shop works, changed and the analysis with it, or the units changed),
 * "view-changed" (string, held fret, or height factor chosen for the drawing changed), "history-changed" (what can be
 * undone, or whether it is saved, changed). Takes @profile; a profile without a visit or reading set gets one at the
 * first reading entered. */
SlBench *sl_bench_new (SlProfile *profile);

/* Borrowed: these pointers, and every pointer inside them, hold until the next change, undo or redo. Ask again in a
 * "changed" handler; keep none. */
const SlProfile *sl_bench_get_profile (SlBench *self);
const SlAnalysis *sl_bench_get_analysis (SlBench *self); /* of the last visit's set that is shown */
const SlVisit *sl_bench_get_visit (SlBench *self);       /* NULL while there is none */
const SlReadingSet *sl_bench_get_set (SlBench *self);

/* The set of the last visit that is shown and edited, by its id; NULL, and whenever a set or a visit is added: the
 * last. Emits "changed". */
void sl_bench_show_set (SlBench *self, const char *id);

/* The work goes on with a set of readings beside the earlier ones, taken now with the tools used last, and that set is
 * shown. What was received is read during the work next; once there are final readings, those that follow are final,
 * too, as they are where @final. A last set without a reading yet is the one to fill: it is brought to now, so that the
 * work done in the meantime lies behind it. */
void sl_bench_read_again (SlBench *self, gboolean final);

/* A gesture is one undo step: all changes between begin and end (a drag, a slider's move) are undone together under
 * @name (translated, such as "lower slot"). A change outside a gesture is a step of its own. Nested calls count. A
 * gesture without a change leaves no step. */
void sl_bench_begin_gesture (SlBench *self, const char *name);
void sl_bench_end_gesture (SlBench *self);

/* Changes. Each is a step (or joins the gesture) named @name. Values are checked by the caller against bounds.h. */
void sl_bench_put_reading (SlBench *self, const char *name, SlReading reading);
void sl_bench_remove_reading (SlBench *self, const char *name, SlReadingKind kind, int string, int fret, SlHeld held);
void sl_bench_put_operation (
    SlBench *self, const char *name,
    SlOperation operation); /* in place of the not-done one of its kind and string, else in order of kind */
void sl_bench_remove_operation (SlBench *self, const char *name, SlOperationKind kind, int string);
const SlOperation *sl_bench_find_operation (SlBench *self, SlOperationKind kind, int string); /* not done */
void sl_bench_propose_plan (SlBench *self); /* in place of the operations not yet done */

/* Any other change: @edit gets a mutable profile (the visit and set exist if @need_set). */
typedef void (*SlBenchEdit) (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data);
void sl_bench_edit (SlBench *self, const char *name, gboolean need_set, SlBenchEdit edit, gpointer data);

/* A fresh id, "v" (of a visit) or "r" (of a reading set) and a number: above all that the profile on a bench has had
 * since it came there, also in steps that were undone, as what refers to an id may outlive what had it. Only inside an
 * edit of a bench. Free with g_free(). */
char *sl_unused_id (SlProfile *profile, const char *prefix);

/* The last visit of a profile that is being edited, begun today where there is none. */
SlVisit *sl_profile_need_visit (SlProfile *profile);

/* Undo history. Names are NULL where nothing can be undone or redone. */
const char *sl_bench_get_undo_name (SlBench *self);
const char *sl_bench_get_redo_name (SlBench *self);
void sl_bench_undo (SlBench *self);
void sl_bench_redo (SlBench *self);
void sl_bench_mark_saved (SlBench *self);

/* For saving while work goes on: the revision that is being written, and later that it was. Asking for it ends the step
 * of a gesture under way. */
guint64 sl_bench_get_revision (SlBench *self);
void sl_bench_mark_revision_saved (SlBench *self, guint64 revision);
gboolean sl_bench_is_modified (SlBench *self);

/* What is looked at. */
SlLengths sl_bench_get_lengths (SlBench *self);
void sl_bench_set_lengths (SlBench *self, SlLengths lengths);
int sl_bench_get_string (SlBench *self); /* 1…n, or 0 for all */
void sl_bench_set_string (SlBench *self, int string);
int sl_bench_get_held (SlBench *self);
void sl_bench_set_held (SlBench *self, int held);
double sl_bench_get_height_factor (SlBench *self); /* 0: chosen to fill the stage */
void sl_bench_set_height_factor (SlBench *self, double factor);

/* A length for people in the chosen units and the locale's decimal sign; free with g_free(). */
char *sl_bench_length (SlBench *self, double mm, int places, gboolean unit);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The bench: one open profile with its analysis, its undo history and what is being looked at. Every part of a window
 * watches one bench and changes the profile only through it; each change is told with what it changed, and the analysis
 * is made again when it is next asked for. */
#pragma once

#include <gio/gio.h>

#include "draw/base/picture.h"
#include "setup/work/propose.h"
#include "words/figures.h"
#include "words/kinds.h"

#define SL_TYPE_BENCH (sl_bench_get_type ())
G_DECLARE_FINAL_TYPE (SlBench, sl_bench, SL, BENCH, GObject)

/* What changed, flags. */
typedef enum
{
  SL_CHANGED_TEXT = 1 << 0,       /* names and notes of the description, which no figure rests on */
  SL_CHANGED_INSTRUMENT = 1 << 1, /* the rest of the description */
  SL_CHANGED_TARGETS = 1 << 2,
  SL_CHANGED_READINGS = 1 << 3, /* reading sets, their tools and air, or which of them is shown */
  SL_CHANGED_PLAN = 1 << 4,     /* work still to do */
  SL_CHANGED_DONE = 1 << 5,     /* work done */
  SL_CHANGED_VISIT = 1 << 6,    /* visits begun and ended; note, checks, charges */
  SL_CHANGED_SHOP = 1 << 7,
  SL_CHANGED_LENGTHS = 1 << 8, /* the unit lengths are shown in */
  SL_CHANGED_STRING = 1 << 9,  /* what is looked at */
  SL_CHANGED_HELD = 1 << 10,
  SL_CHANGED_HEIGHT_FACTOR = 1 << 11,
  SL_CHANGED_HISTORY = 1 << 12, /* what can be undone, or whether it is saved */
  SL_CHANGED_TYPED = 1 << 13,   /* what stands in entries and is not in force yet */
  SL_CHANGED_PHOTOS = 1 << 14,

  SL_CHANGED_DESCRIPTION = SL_CHANGED_TEXT | SL_CHANGED_INSTRUMENT | SL_CHANGED_TARGETS,
  SL_CHANGED_WORK = SL_CHANGED_PLAN | SL_CHANGED_DONE,
  SL_CHANGED_PROFILE =
      SL_CHANGED_DESCRIPTION | SL_CHANGED_READINGS | SL_CHANGED_WORK | SL_CHANGED_VISIT | SL_CHANGED_PHOTOS,
  /* what the analysis is made from */
  SL_CHANGED_FIGURES =
      SL_CHANGED_INSTRUMENT | SL_CHANGED_TARGETS | SL_CHANGED_READINGS | SL_CHANGED_WORK | SL_CHANGED_SHOP,
} SlChanges;

/* Signals: "changed", with the SlChanges as a guint; "refused", with a sentence: an edit made the profile more than a
 * document takes (sl_profile_overfull()) and was taken back with the gesture it was part of; "told", with a sentence:
 * what an edit changed besides. Takes @profile; a profile without a visit or reading set gets one at the first reading
 * entered. */
SlBench *sl_bench_new (SlProfile *profile);

/* Calls @update with @object alone whenever something of @which changed, as long as @object lives. */
void sl_bench_follow (SlBench *self, SlChanges which, GCallback update, gpointer object);

/* What is drawn frame by frame need not follow a gesture more often: with @wanted set, changes during a gesture are
 * collected, and @wanted is called with the first of them. It sees to it that sl_bench_announce() is called before the
 * next frame is drawn. The end of a gesture, undo and redo announce at once, as does every change outside a gesture;
 * profile, analysis and proposal are always up to date. NULL: every change is announced at once. */
typedef void (*SlBenchWanted) (SlBench *self, gpointer data);
void sl_bench_set_wanted (SlBench *self, SlBenchWanted wanted, gpointer data);
void sl_bench_announce (SlBench *self);

/* Nobody is told of a change any more: what watches the bench is going, which may end a gesture. */
void sl_bench_silence (SlBench *self);

/* Borrowed: these pointers, and every pointer inside them, hold until the next change, undo or redo. Ask again when
 * told of a change; keep none. */
const SlProfile *sl_bench_get_profile (SlBench *self);
const SlAnalysis *sl_bench_get_analysis (SlBench *self); /* of the last visit's set that is shown */
/* What would be proposed from that analysis, its lengths in the units chosen. Proposed once for an analysis, when first
 * asked for. */
const SlProposal *sl_bench_get_proposal (SlBench *self);
/* What may be done at once of the operations of the visit's plan, one for each (sl_plan_passes()); NULL without a
 * visit. Worked out once for an analysis, when first asked for. */
const SlPass *sl_bench_get_passes (SlBench *self);
const SlVisit *sl_bench_get_visit (SlBench *self); /* NULL while there is none */
const SlReadingSet *sl_bench_get_set (SlBench *self);

/* The set of the last visit that is shown and edited, by its id; NULL, and whenever a set or a visit is added: the
 * last. */
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
void sl_bench_put_operation (
    SlBench *self, const char *name,
    SlOperation operation); /* in place of the not-done one of its kind, string and bench step, else in order of work */
void sl_bench_remove_operation (SlBench *self, const char *name, SlOperationKind kind, int string);
const SlOperation *sl_bench_find_operation (SlBench *self, SlOperationKind kind, int string); /* not done */
void sl_bench_propose_plan (SlBench *self); /* in place of the operations not yet done */

/* One of the two amounts of the operation of @kind (and @string) not yet done; with every amount 0 the operation leaves
 * the plan. Levelling is there or not whatever its fall-away: see sl_edit_level(). */
void sl_edit_amount (SlBench *bench, SlOperationKind kind, int string, gboolean treble, double mm);
void sl_edit_level (SlBench *bench, gboolean level);

/* The amount that is for @string, or the second one; absent where none is given. To be written, its place, which there
 * is from then on. */
SlNumber *sl_operation_amount_place (SlOperation *operation, int string, gboolean treble);
SlNumber sl_operation_amount_at (const SlOperation *operation, int string, gboolean treble);

/* Puts work into the plan that is there or not, with what a finding offers of it, else as the instrument is. Nothing
 * where it is planned already. */
void sl_edit_begin_work (SlBench *bench, SlOperationKind kind);

/* Takes all of a kind that is not done out of the plan. */
void sl_edit_clear (SlBench *bench, SlOperationKind kind);

/* Ticks off all of a kind that is not done, now; takes back what was ticked off last, adding it to what is planned
 * since. */
void sl_edit_set_done (SlBench *bench, SlOperationKind kind, gboolean done);

/* Ticks off the first pass of what is planned of a kind and leaves the rest of it planned, string by string. */
void sl_edit_first_pass_done (SlBench *bench, SlOperationKind kind);

/* How far the nut of the rod is turned for the change of relief that is planned, + tightens; NAN: not said. */
void sl_edit_turns (SlBench *bench, double turns);

/* Plans a bench step or takes it out of the plan; ticks it off, or takes the tick back. */
void sl_edit_bench_step (SlBench *bench, SlBenchStep step, gboolean planned);
void sl_edit_bench_step_done (SlBench *bench, SlBenchStep step, gboolean done);

/* Passes a gate of the visit on purpose, or heeds it again. */
void sl_edit_pass_gate (SlBench *bench, SlGate gate, gboolean passed);

/* Keeps with a string what was heard of it, EI in N mm² and EA in N, rounded to two digits of their U: from then on it
 * stands for core and modulus. NAN leaves alone what there is; U NAN: three digits. One step. Where work fitted the
 * strings that are on, its set gets it. Returns NULL, or why the document can't hold it; free with g_free(). */
char *sl_edit_keep_stiffness (SlBench *bench, int string, double ei_nmm2, double ei_U, double ea_n, double ea_U);

/* The moment of the last of a kind that was ticked off, or NULL. */
const char *sl_last_done (const GArray *plan, SlOperationKind kind);

/* Any other change is made between begin and end, in what @changes tells; the visit and set exist if @need_set. That a
 * visit or set comes to be need not be told. */
typedef struct
{
  SlProfile *profile;
  SlVisit *visit;    /* the last */
  SlReadingSet *set; /* the one shown */

  /* for the end */
  SlBench *bench;
  SlChanges changes;
  guint n_visits, n_sets;
  SlIdNumbers id_numbers;
} SlEdit;
SlEdit sl_bench_begin_edit (SlBench *self, const char *name, SlChanges changes, gboolean need_set);
void sl_bench_end_edit (const SlEdit *edit);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (SlEdit, sl_bench_end_edit) /* g_auto (SlEdit): ends with its block */

/* The same with a function in between. */
typedef void (*SlBenchEdit) (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data);
void sl_bench_edit (SlBench *self, const char *name, SlChanges changes, gboolean need_set, SlBenchEdit edit,
                    gpointer data);

/* The change @edit, which may make no sense together with the rest of the profile (a joint fret beyond the last one, a
 * string that readings name taken away), is tried on a copy first. Where the profile would have a fault it has not now,
 * nothing changes and the fault is returned, in words; free with g_free(). NULL: done. @edit is called twice. */
char *sl_checked_edit (SlBench *bench, const char *name, SlChanges changes, SlBenchEdit edit, gconstpointer data);

/* The last visit of a profile that is being edited, begun today where there is none. */
SlVisit *sl_profile_need_visit (SlProfile *profile);

/* What stands in entries on this profile and is not in force yet, as whoever shows them keeps it up to date: names of
 * entries and their texts in turn. NULL: nothing. Takes @typed. */
void sl_bench_set_typed (SlBench *self, char **typed);
const char *const *sl_bench_get_typed (SlBench *self);

/* Before another set is shown or read and before undo and redo, which bring other values into the entries, @settle is
 * asked with @data whether all that is typed was taken in; where it says FALSE nothing happens. NULL: nobody is asked.
 */
typedef gboolean (*SlBenchSettle) (gpointer data);
void sl_bench_set_settle (SlBench *self, SlBenchSettle settle, gpointer data);
gboolean sl_bench_settle (SlBench *self); /* asks it */

/* Undo history. Names are NULL where nothing can be undone or redone. */
const char *sl_bench_get_undo_name (SlBench *self);
const char *sl_bench_get_redo_name (SlBench *self);
void sl_bench_undo (SlBench *self);
void sl_bench_redo (SlBench *self);

/* For saving while work goes on: the revision that is being written, and later that it was. Asking for it ends the step
 * of a gesture under way. */
guint64 sl_bench_get_revision (SlBench *self);
void sl_bench_mark_saved (SlBench *self, guint64 revision);
gboolean sl_bench_is_modified (SlBench *self); /* whatever is typed and not in force */

/* What is looked at. */
SlLengths sl_bench_get_lengths (SlBench *self);
void sl_bench_set_lengths (SlBench *self, SlLengths lengths);
int sl_bench_get_string (SlBench *self); /* 1…n, or 0 for all */
void sl_bench_set_string (SlBench *self, int string);
int sl_bench_get_held (SlBench *self);
void sl_bench_set_held (SlBench *self, int held);
double sl_bench_get_height_factor (SlBench *self); /* 0: chosen to fill the stage */
void sl_bench_set_height_factor (SlBench *self, double factor);

/* How figures are to be written: in the chosen units, with the locale's decimal sign. */
SlTextStyle sl_bench_text_style (SlBench *self);

/* A length for people in the same; free with g_free(). */
char *sl_bench_length (SlBench *self, double mm, int places, gboolean unit);

/* ---- handles ----
 *
 * What moving a handle of the side view does to the plan: the crest does what sets this saddle's height, such as
 * cutting its base, turning height screws or posts; the neck's middle turns the rod; the slot is lowered. Amounts are
 * kept inside their bounds and in hundredths of a millimetre. */

#define SL_HANDLE_STEP_MM 0.01

/* A handle being dragged: what was planned when the drag began. */
typedef struct
{
  SlOperationKind operation;
  int string;                    /* shown, 0 for all */
  double amount[SL_MAX_STRINGS]; /* by string where the operation is one for a string, else in the first */
  double treble;
  double lean_rad; /* of the saddle */
} SlGrip;

/* Which operation a handle changes on this instrument; SL_N_OPS: none. Whether there is such a handle: not where the
 * instrument is built so that nothing can be done there. */
SlOperationKind sl_handle_operation (SlBench *bench, SlHandleKind handle);
gboolean sl_handle_is_there (SlBench *bench, SlHandleKind handle);

/* Begins a drag; the undo step's name is sl_operation_undo_name() of its operation. */
void sl_handle_begin (SlBench *bench, SlHandleKind handle, SlGrip *grip);

/* Sets the plan so that the handle is @up_mm above where the drag began. */
void sl_handle_move (SlBench *bench, const SlGrip *grip, double up_mm);

/* What is planned at a handle: "saddle: 0.70 mm bass, 0.50 mm treble off the underside". Free with g_free(). */
char *sl_handle_describe (SlBench *bench, SlHandleKind handle);

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/bench.h"

#include "bench/settings.h"
#include "file/document.h"
#include "words/dates.h"

/* The history is bounded in steps and in bytes, of which the oldest steps go first. A profile is a few kilobytes, so a
 * long day at the bench stays below a few megabytes: the bytes are for a document with a lot of text. */
#define MOST_STEPS 500
#define MOST_BYTES (32 * 1024 * 1024)

/* A whole profile, as it was before a step or is after it. */
typedef struct
{
  char *name;
  SlProfile *profile; /* what undoing (or redoing) goes back to */
  guint64 serial;     /* which state that was, to know the saved one again */
  SlChanges changes;  /* between the two */
  gsize bytes;        /* of the profile as a document, which is about what it takes in memory */
} Step;

struct _SlBench
{
  GObject parent_instance;

  /* owned */
  SlProfile *profile;
  SlAnalysis *analysis;   /* up to date unless stale */
  SlProposal proposal;    /* from the analysis; without steps and findings until it is asked for */
  SlPass *passes;         /* of the visit's plan; NULL until asked for */
  GPtrArray *undo, *redo; /* of Step */
  Step *open_step;        /* the gesture's state before its first change; NULL while nothing has changed */
  char *gesture_name;
  char *shown_set; /* id, NULL: the last */

  gboolean stale;
  SlChanges collected; /* and not yet announced */
  SlBenchWanted wanted;
  gpointer wanted_data;

  guint gesture_depth;
  guint64 serial, saved_serial, last_serial;
  SlShop shop;
  SlLengths lengths;
  int string, held;
  double height_factor;
};

G_DEFINE_FINAL_TYPE (SlBench, sl_bench, G_TYPE_OBJECT)

static void
step_free (Step *step)
{
  g_free (step->name);
  g_clear_pointer (&step->profile, sl_profile_free);
  g_free (step);
}

static void
forget_proposal (SlBench *self)
{
  sl_proposal_clear (&self->proposal);
  g_clear_pointer (&self->passes, g_free);
}

static void
sl_bench_finalize (GObject *object)
{
  SlBench *self = SL_BENCH (object);

  g_clear_pointer (&self->open_step, step_free);
  g_clear_pointer (&self->undo, g_ptr_array_unref);
  g_clear_pointer (&self->redo, g_ptr_array_unref);
  g_clear_pointer (&self->gesture_name, g_free);
  g_clear_pointer (&self->shown_set, g_free);
  forget_proposal (self);
  g_clear_pointer (&self->analysis, sl_analysis_free);
  g_clear_pointer (&self->profile, sl_profile_free);
  G_OBJECT_CLASS (sl_bench_parent_class)->finalize (object);
}

static void
sl_bench_class_init (SlBenchClass *class)
{
  G_OBJECT_CLASS (class)->finalize = sl_bench_finalize;
  g_signal_new ("changed", SL_TYPE_BENCH, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
  g_signal_new ("refused", SL_TYPE_BENCH, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
  g_signal_new ("told", SL_TYPE_BENCH, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
}

/* ---- what changed ---- */

void
sl_bench_announce (SlBench *self)
{
  const SlChanges changes = self->collected;

  self->collected = 0;
  if (changes != 0)
    g_signal_emit_by_name (self, "changed", (guint) changes);
}

static void
note_changes (SlBench *self, SlChanges changes)
{
  const SlChanges before = self->collected;

  if ((changes & SL_CHANGED_FIGURES) != 0)
    {
      self->stale = TRUE;
      forget_proposal (self);
    }
  /* a change may have taken away the string or the fret that was looked at */
  const int string = MIN (self->string, self->profile->n_strings),
            held = CLAMP (self->held, 0, MAX (0, self->profile->neck.frets - 1));
  self->collected |=
      changes | (string != self->string ? SL_CHANGED_STRING : 0) | (held != self->held ? SL_CHANGED_HELD : 0);
  self->string = string;
  self->held = held;
  if (self->gesture_depth == 0 || self->wanted == NULL)
    sl_bench_announce (self);
  else if (before == 0 && self->collected != 0)
    self->wanted (self, self->wanted_data);
}

void
sl_bench_set_wanted (SlBench *self, SlBenchWanted wanted, gpointer data)
{
  self->wanted = wanted;
  self->wanted_data = data;
}

void
sl_bench_silence (SlBench *self)
{
  sl_bench_set_wanted (self, NULL, NULL);
  sl_bench_set_settle (self, NULL, NULL);
  g_signal_handlers_destroy (self);
}

/* Calls the closure's function with its data alone, if something changed that is among @which. */
static void
call_follower (GClosure *closure, GValue *result, guint n_values, const GValue *values, gpointer hint, gpointer which)
{
  void (*update) (gpointer object) = (void (*) (gpointer)) ((GCClosure *) closure)->callback;

  if ((g_value_get_uint (&values[1]) & GPOINTER_TO_UINT (which)) != 0)
    update (closure->data);
}

void
sl_bench_follow (SlBench *self, SlChanges which, GCallback update, gpointer object)
{
  GClosure *closure = g_cclosure_new_object (update, object);

  g_closure_set_meta_marshal (closure, GUINT_TO_POINTER (which), call_follower);
  g_signal_connect_closure (self, "changed", closure, FALSE);
}

static void
on_shop_changed (SlBench *self)
{
  const SlShop shop = sl_settings_get_shop ();

  if (sl_shop_equal (&shop, &self->shop))
    return;
  self->shop = shop;
  note_changes (self, SL_CHANGED_SHOP);
}

static void
sl_bench_init (SlBench *self)
{
  self->shop = sl_settings_get_shop ();
  sl_settings_follow_shop (self, G_CALLBACK (on_shop_changed));
  self->undo = g_ptr_array_new_with_free_func ((GDestroyNotify) step_free);
  self->redo = g_ptr_array_new_with_free_func ((GDestroyNotify) step_free);
  self->analysis = g_new0 (SlAnalysis, 1);
}

SlBench *
sl_bench_new (SlProfile *profile)
{
  SlBench *self = g_object_new (SL_TYPE_BENCH, NULL);

  sl_profile_keep_ids (profile, profile->id_numbers);
  self->profile = profile;
  self->string = profile->n_strings;
  self->stale = TRUE;
  return self;
}

const SlProfile *
sl_bench_get_profile (SlBench *self)
{
  return self->profile;
}

const SlAnalysis *
sl_bench_get_analysis (SlBench *self)
{
  if (self->stale)
    {
      sl_analysis_clear (self->analysis);
      memset (self->analysis, 0, sizeof *self->analysis);
      sl_analyse (self->profile, sl_bench_get_visit (self), sl_bench_get_set (self), &self->shop, self->analysis);
      self->stale = FALSE;
    }
  return self->analysis;
}

const SlProposal *
sl_bench_get_proposal (SlBench *self)
{
  const SlAnalysis *a = sl_bench_get_analysis (self);

  if (self->proposal.steps == NULL)
    sl_propose (a, &self->proposal);
  return &self->proposal;
}

const SlPass *
sl_bench_get_passes (SlBench *self)
{
  const SlVisit *visit = sl_bench_get_visit (self);
  const SlAnalysis *a = sl_bench_get_analysis (self);

  if (self->passes == NULL && visit != NULL)
    {
      self->passes = g_new (SlPass, MAX (1, visit->plan->len));
      sl_plan_passes (a, visit->plan, self->passes);
    }
  return self->passes;
}

const SlVisit *
sl_bench_get_visit (SlBench *self)
{
  return sl_profile_last_visit (self->profile);
}

/* The set of @visit that is shown: the last where none was chosen, or what was chosen is gone. */
static SlReadingSet *
shown_set (SlBench *self, const SlVisit *visit)
{
  for (guint i = 0; visit != NULL && self->shown_set != NULL && i < visit->sets->len; i++)
    if (g_strcmp0 (g_array_index (visit->sets, SlReadingSet, i).id, self->shown_set) == 0)
      return &g_array_index (visit->sets, SlReadingSet, i);
  return visit == NULL ? NULL : sl_visit_last_set (visit);
}

const SlReadingSet *
sl_bench_get_set (SlBench *self)
{
  return shown_set (self, sl_bench_get_visit (self));
}

void
sl_bench_show_set (SlBench *self, const char *id)
{
  const SlReadingSet *before;
  g_autofree char *old = NULL;

  if (!sl_bench_settle (self))
    {
      note_changes (self, SL_CHANGED_READINGS); /* whoever shows which set it is shows the old one again */
      return;
    }
  before = sl_bench_get_set (self);
  old = g_steal_pointer (&self->shown_set);
  self->shown_set = g_strdup (id);
  if (sl_bench_get_set (self) != before)
    note_changes (self, SL_CHANGED_READINGS);
}

/* Takes @step as the last, and forgets as many of the oldest as there are too many. The last one stays whatever it
 * takes. */
static void
push_step (GPtrArray *steps, Step *step)
{
  gsize bytes = step->bytes;
  guint kept = 1;

  g_ptr_array_add (steps, step);
  for (; kept < MIN (steps->len, MOST_STEPS); kept++)
    {
      bytes += ((const Step *) g_ptr_array_index (steps, steps->len - 1 - kept))->bytes;
      if (bytes > MOST_BYTES)
        break;
    }
  g_ptr_array_remove_range (steps, 0, steps->len - kept);
}

/* Makes what changed since the gesture began a step of the history; a gesture that ended where it began leaves none.
 * Returns what that changed. */
static SlChanges
close_step (SlBench *self)
{
  Step *step = g_steal_pointer (&self->open_step);

  if (step == NULL)
    return 0;
  g_autoptr (GBytes) before = sl_document_print (step->profile), now = sl_document_print (self->profile);
  step->bytes = g_bytes_get_size (before);
  if (g_bytes_equal (before, now))
    {
      self->serial = step->serial;
      step_free (step);
    }
  else
    {
      g_ptr_array_set_size (self->redo, 0);
      push_step (self->undo, step);
    }
  return SL_CHANGED_HISTORY;
}

/* Keeps the profile as it is before the first change of a step. Returns what that changes. */
static SlChanges
open_step (SlBench *self, const char *name)
{
  if (self->open_step != NULL)
    return 0;
  if (self->gesture_name != NULL)
    name = self->gesture_name;
  self->open_step = g_new (Step, 1);
  *self->open_step = (Step){ g_strdup (name), sl_profile_copy (self->profile), self->serial, 0, 0 };
  self->serial = ++self->last_serial;
  return SL_CHANGED_HISTORY;
}

void
sl_bench_begin_gesture (SlBench *self, const char *name)
{
  if (self->gesture_depth++ == 0)
    self->gesture_name = g_strdup (name);
}

void
sl_bench_end_gesture (SlBench *self)
{
  g_return_if_fail (self->gesture_depth > 0);

  if (--self->gesture_depth > 0)
    return;
  g_clear_pointer (&self->gesture_name, g_free);
  note_changes (self, close_step (self));
}

static SlReadingSet *
need_reading_set (SlBench *self, SlProfile *profile, SlVisit *visit)
{
  if (sl_visit_last_set (visit) == NULL)
    {
      SlReadingSet set = sl_reading_set_init ();

      set.id = sl_unused_id (profile, "r");
      set.stage = SL_STAGE_RECEIVED;
      set.taken = sl_now_iso ();
      g_array_append_val (visit->sets, set);
    }
  return shown_set (self, visit);
}

static guint
count_sets (const SlProfile *profile)
{
  guint n = 0;

  SL_EACH (const SlVisit, visit, profile->visits)
    n += visit->sets->len;
  return n;
}

SlEdit
sl_bench_begin_edit (SlBench *self, const char *name, SlChanges changes, gboolean need_set)
{
  SlEdit edit = { .bench = self, .n_visits = self->profile->visits->len, .n_sets = count_sets (self->profile) };

  edit.changes = changes | open_step (self, name);
  edit.profile = self->profile;
  edit.visit = need_set ? sl_profile_need_visit (self->profile) : sl_profile_last_visit (self->profile);
  edit.set = need_set ? need_reading_set (self, self->profile, edit.visit) : shown_set (self, edit.visit);
  edit.id_numbers = self->profile->id_numbers;
  return edit;
}

/* Goes back to where the step under way began, if the profile has become more than a document takes. */
static gboolean
refuse_overfull (SlBench *self, SlChanges changes)
{
  g_autoptr (GPtrArray) overfull = sl_profile_overfull (self->profile);
  Step *step;

  if (overfull->len == 0)
    return FALSE;
  step = g_steal_pointer (&self->open_step);
  g_autofree char *why = g_strdup (((const SlFault *) overfull->pdata[0])->message);
  sl_profile_free (self->profile);
  self->profile = g_steal_pointer (&step->profile);
  self->serial = step->serial;
  self->stale = TRUE;
  note_changes (self, changes | step->changes | SL_CHANGED_HISTORY);
  step_free (step);
  g_signal_emit_by_name (self, "refused", why);
  return TRUE;
}

void
sl_bench_end_edit (const SlEdit *edit)
{
  SlBench *self = edit->bench;
  const gboolean new_visit = self->profile->visits->len > edit->n_visits;
  const gboolean new_set = count_sets (self->profile) > edit->n_sets;
  SlChanges changes = edit->changes | (new_visit ? SL_CHANGED_VISIT : 0) | (new_set ? SL_CHANGED_READINGS : 0);

  if (refuse_overfull (self, changes))
    return;
  sl_profile_keep_ids (self->profile, edit->id_numbers);
  if (new_visit || new_set)
    g_clear_pointer (&self->shown_set, g_free); /* the new one is looked at */
  self->open_step->changes |= changes;
  if (self->gesture_depth == 0)
    changes |= close_step (self);
  note_changes (self, changes);
}

static const char *
last_name (const GPtrArray *steps)
{
  return steps->len == 0 ? NULL : ((const Step *) g_ptr_array_index (steps, steps->len - 1))->name;
}

const char *
sl_bench_get_undo_name (SlBench *self)
{
  return self->open_step != NULL ? self->open_step->name : last_name (self->undo);
}

const char *
sl_bench_get_redo_name (SlBench *self)
{
  return self->open_step != NULL ? NULL : last_name (self->redo);
}

/* Goes back to the last of @from and keeps what was in @to: undo and redo are the same step in two directions. */
static void
step_through_history (SlBench *self, GPtrArray *from, GPtrArray *to)
{
  SlChanges changes = close_step (self); /* a gesture under way is undone as far as it has come */

  if (from->len > 0)
    {
      Step *step = g_ptr_array_steal_index (from, from->len - 1);
      const Step there = *step;

      step->profile = self->profile;
      step->serial = self->serial;
      push_step (to, step);
      sl_profile_keep_ids (there.profile, self->profile->id_numbers);
      self->profile = there.profile;
      self->serial = there.serial;
      self->stale = TRUE; /* the analysis borrows from the profile, whatever changed in it */
      changes |= there.changes;
    }
  note_changes (self, changes);
  sl_bench_announce (self);
}

void
sl_bench_undo (SlBench *self)
{
  if (sl_bench_settle (self))
    step_through_history (self, self->undo, self->redo);
}

void
sl_bench_redo (SlBench *self)
{
  if (sl_bench_settle (self))
    step_through_history (self, self->redo, self->undo);
}

guint64
sl_bench_get_revision (SlBench *self)
{
  note_changes (self, close_step (self)); /* what a gesture under way changes from here on is another revision */
  return self->serial;
}

void
sl_bench_mark_saved (SlBench *self, guint64 revision)
{
  self->saved_serial = revision;
  note_changes (self, SL_CHANGED_HISTORY);
}

gboolean
sl_bench_is_modified (SlBench *self)
{
  return self->serial != self->saved_serial;
}

SlLengths
sl_bench_get_lengths (SlBench *self)
{
  return self->lengths;
}

void
sl_bench_set_lengths (SlBench *self, SlLengths lengths)
{
  if (self->lengths == lengths)
    return;
  self->lengths = lengths;
  note_changes (self, SL_CHANGED_LENGTHS);
}

int
sl_bench_get_string (SlBench *self)
{
  return self->string;
}

void
sl_bench_set_string (SlBench *self, int string)
{
  string = CLAMP (string, 0, self->profile->n_strings);
  if (self->string == string)
    return;
  self->string = string;
  note_changes (self, SL_CHANGED_STRING);
}

int
sl_bench_get_held (SlBench *self)
{
  return self->held;
}

void
sl_bench_set_held (SlBench *self, int held)
{
  held = CLAMP (held, 0, MAX (0, self->profile->neck.frets - 1));
  if (self->held == held)
    return;
  self->held = held;
  note_changes (self, SL_CHANGED_HELD);
}

double
sl_bench_get_height_factor (SlBench *self)
{
  return self->height_factor;
}

void
sl_bench_set_height_factor (SlBench *self, double factor)
{
  factor = MAX (0.0, factor);
  if (self->height_factor == factor)
    return;
  self->height_factor = factor;
  note_changes (self, SL_CHANGED_HEIGHT_FACTOR);
}

SlTextStyle
sl_bench_text_style (SlBench *self)
{
  return (SlTextStyle){ self->lengths, sl_decimal_sign () };
}

char *
sl_bench_length (SlBench *self, double mm, int places, gboolean unit)
{
  return sl_length_format (mm, self->lengths, places, sl_decimal_sign (), unit);
}

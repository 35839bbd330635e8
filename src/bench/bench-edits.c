/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is changed of readings and plan on a bench, and changes that are tried first. */
#include "bench/bench.h"

#include "setup/profile/bounds.h"
#include "setup/profile/moment.h"
#include "words/dates.h"

#include <glib/gi18n-lib.h>

#include <math.h>

/* What is left of a cut below this is no cut: a tenth of what a file takes in a stroke. */
#define NO_CUT_MM 0.001
#define KEPT_PER_MM 1e6 /* sums are rounded to a nanometre, so that no rounding noise is written */

/* ---- changes that are tried first ---- */

static gboolean
is_same_fault (gconstpointer a, gconstpointer b)
{
  return g_strcmp0 (((const SlFault *) a)->message, ((const SlFault *) b)->message) == 0;
}

char *
sl_checked_edit (SlBench *bench, const char *name, SlChanges changes, SlBenchEdit edit, gconstpointer data)
{
  const SlProfile *profile = sl_bench_get_profile (bench);
  g_autoptr (SlProfile) trial = sl_profile_copy (profile);
  g_autoptr (GPtrArray) known = sl_profile_check (profile), faults = NULL;
  SlVisit *visit = sl_profile_last_visit (trial);

  edit (trial, visit, visit == NULL ? NULL : sl_visit_last_set (visit), (gpointer) data);
  faults = sl_profile_check (trial);
  for (guint i = 0; i < faults->len; i++)
    {
      const SlFault *fault = g_ptr_array_index (faults, i);

      if (!g_ptr_array_find_with_equal_func (known, fault, is_same_fault, NULL))
        return g_strdup (fault->message);
    }
  sl_bench_edit (bench, name, changes, FALSE, edit, (gpointer) data);
  return NULL;
}

/* ---- readings ---- */

void
sl_bench_put_reading (SlBench *self, const char *name, SlReading reading)
{
  const SlEdit edit = sl_bench_begin_edit (self, name, SL_CHANGED_READINGS, TRUE);

  sl_reading_set_put (edit.set, reading);
  sl_bench_end_edit (&edit);
}

void
sl_bench_read_again (SlBench *self, gboolean final)
{
  SlReadingSet *last, fresh;
  SlEdit edit;

  sl_bench_show_set (self, NULL);
  edit = sl_bench_begin_edit (self, C_ ("undo step", "read again"), SL_CHANGED_READINGS, TRUE);
  last = edit.set;
  if (last->readings->len == 0)
    {
      g_free (last->taken);
      last->taken = sl_now_iso ();
      last->stage = final ? SL_STAGE_FINAL : last->stage;
    }
  else
    {
      fresh = sl_reading_set_init ();
      fresh.id = sl_unused_id (edit.profile, "r");
      fresh.stage = final || last->stage == SL_STAGE_FINAL ? SL_STAGE_FINAL : SL_STAGE_DURING;
      fresh.taken = sl_now_iso ();
      g_array_append_vals (fresh.tools, last->tools->data, last->tools->len);
      g_array_append_val (edit.visit->sets, fresh);
    }
  sl_bench_end_edit (&edit);
}

/* ---- the plan ---- */

/* Place in the order of work: by kind, then by string. */
static int
order_of (SlOperationKind kind, int string)
{
  return (int) kind * (SL_MAX_STRINGS + 1) + (sl_operations[kind].per_string ? string : 0);
}

/* Index of the operation that is not done yet, or −1. */
static int
find_operation (const SlVisit *visit, SlOperationKind kind, int string)
{
  if (visit == NULL)
    return -1;
  for (guint i = 0; i < visit->plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (visit->plan, SlOperation, i);

      if (operation->done == NULL && order_of (operation->kind, operation->string) == order_of (kind, string))
        return (int) i;
    }
  return -1;
}

const SlOperation *
sl_bench_find_operation (SlBench *self, SlOperationKind kind, int string)
{
  const SlVisit *visit = sl_bench_get_visit (self);
  int i = find_operation (visit, kind, string);

  return i < 0 ? NULL : &g_array_index (visit->plan, SlOperation, i);
}

/* Begins a change of the plan, which there is from now on. */
static SlEdit
begin_plan (SlBench *self, const char *name)
{
  SlEdit edit = sl_bench_begin_edit (self, name, SL_CHANGED_PLAN, FALSE);

  edit.visit = sl_profile_need_visit (edit.profile);
  edit.visit->plan_given = TRUE;
  return edit;
}

void
sl_bench_put_operation (SlBench *self, const char *name, SlOperation operation)
{
  const SlEdit edit = begin_plan (self, name);
  GArray *plan = edit.visit->plan;
  int place = find_operation (edit.visit, operation.kind, operation.string);

  operation.done = g_strdup (operation.done);
  if (!sl_operations[operation.kind].per_string)
    operation.string = 0;
  if (place >= 0)
    g_array_remove_index (plan, (guint) place);
  else
    for (place = 0; place < (int) plan->len; place++)
      {
        const SlOperation *other = &g_array_index (plan, SlOperation, place);

        if (other->done == NULL && order_of (other->kind, other->string) > order_of (operation.kind, operation.string))
          break;
      }
  g_array_insert_val (plan, (guint) place, operation);
  sl_bench_end_edit (&edit);
}

void
sl_bench_remove_operation (SlBench *self, const char *name, SlOperationKind kind, int string)
{
  const int place = find_operation (sl_bench_get_visit (self), kind, string);
  SlEdit edit;

  if (place < 0)
    return;
  edit = sl_bench_begin_edit (self, name, SL_CHANGED_PLAN, FALSE);
  g_array_remove_index (edit.visit->plan, (guint) place);
  sl_bench_end_edit (&edit);
}

void
sl_bench_propose_plan (SlBench *self)
{
  const SlProposal *proposal = sl_bench_get_proposal (self);
  const SlEdit edit = begin_plan (self, C_ ("undo step", "propose a plan"));
  GArray *plan = edit.visit->plan;

  for (guint i = plan->len; i-- > 0;)
    if (g_array_index (plan, SlOperation, i).done == NULL)
      g_array_remove_index (plan, i);
  for (guint i = 0; i < proposal->steps->len; i++)
    {
      SlOperation operation = g_array_index (proposal->steps, SlStep, i).operation;

      operation.done = NULL;
      g_array_append_val (plan, operation);
    }
  sl_bench_end_edit (&edit);
}

void
sl_edit_amount (SlBench *bench, SlOperationKind kind, int string, gboolean treble, double mm)
{
  const SlOperation *old = sl_bench_find_operation (bench, kind, string);
  SlOperation operation = old != NULL ? *old : sl_operation_init (kind);

  if (old == NULL && mm == 0)
    return;
  operation.string = string;
  *(treble ? &operation.amount_treble : &operation.amount) = sl_number (mm);
  if (kind == SL_OP_LEVEL_FRETS)
    operation.amount = mm == 0 ? SL_NUMBER_ABSENT : sl_number (mm);
  if (kind == SL_OP_CUT_SADDLE_BASE)
    {
      operation.amount = sl_number (sl_number_or (operation.amount, 0));
      operation.amount_treble = sl_number (sl_number_or (operation.amount_treble, 0));
    }
  if (kind != SL_OP_LEVEL_FRETS && sl_number_or (operation.amount, 0) == 0 &&
      sl_number_or (operation.amount_treble, 0) == 0)
    sl_bench_remove_operation (bench, sl_operation_undo_name (kind), kind, string);
  else
    sl_bench_put_operation (bench, sl_operation_undo_name (kind), operation);
}

void
sl_edit_level (SlBench *bench, gboolean level)
{
  const char *name = sl_operation_undo_name (SL_OP_LEVEL_FRETS);

  if (level == (sl_bench_find_operation (bench, SL_OP_LEVEL_FRETS, 0) != NULL))
    return;
  if (level)
    sl_bench_put_operation (bench, name, sl_operation_init (SL_OP_LEVEL_FRETS));
  else
    sl_bench_remove_operation (bench, name, SL_OP_LEVEL_FRETS, 0);
}

/* Whether it is of a kind, and still to do. */
static gboolean
is_pending (const SlOperation *operation, SlOperationKind kind)
{
  return operation->kind == kind && operation->done == NULL;
}

void
sl_edit_clear (SlBench *bench, SlOperationKind kind)
{
  SlEdit edit;

  if (sl_bench_get_visit (bench) == NULL)
    return;
  edit = sl_bench_begin_edit (bench, sl_operation_undo_name (kind), SL_CHANGED_PLAN, FALSE);
  for (guint i = edit.visit->plan->len; i-- > 0;)
    if (is_pending (&g_array_index (edit.visit->plan, SlOperation, i), kind))
      g_array_remove_index (edit.visit->plan, i);
  sl_bench_end_edit (&edit);
}

const char *
sl_last_done (const GArray *plan, SlOperationKind kind)
{
  const char *last = NULL;
  int order;

  for (guint i = 0; plan != NULL && i < plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (plan, SlOperation, i);

      if (operation->kind == kind && operation->done != NULL &&
          (!sl_moment_compare (operation->done, last, &order) || order > 0))
        last = operation->done;
    }
  return last;
}

static void
tick_kind (GArray *plan, SlOperationKind kind)
{
  g_autofree char *now = sl_now_iso ();

  for (guint i = 0; i < plan->len; i++)
    if (is_pending (&g_array_index (plan, SlOperation, i), kind))
      g_array_index (plan, SlOperation, i).done = g_strdup (now);
}

static SlNumber
sum (SlNumber a, SlNumber b)
{
  if (!sl_number_is_set (a) && !sl_number_is_set (b))
    return SL_NUMBER_ABSENT;
  return sl_number (round ((sl_number_or (a, 0) + sl_number_or (b, 0)) * KEPT_PER_MM) / KEPT_PER_MM);
}

static void
untick_kind (const SlVisit *visit, SlOperationKind kind)
{
  GArray *plan = visit->plan;
  g_autofree char *last = g_strdup (sl_last_done (plan, kind));

  for (guint i = plan->len; i-- > 0;)
    {
      SlOperation *operation = &g_array_index (plan, SlOperation, i), *pending;
      int order, place;

      if (operation->kind != kind || !sl_moment_compare (operation->done, last, &order) || order != 0)
        continue;
      place = find_operation (visit, kind, operation->string);
      if (place < 0)
        {
          g_clear_pointer (&operation->done, g_free);
          continue;
        }
      pending = &g_array_index (plan, SlOperation, place);
      pending->amount = sum (pending->amount, operation->amount);
      pending->amount_treble = sum (pending->amount_treble, operation->amount_treble);
      g_array_remove_index (plan, i);
    }
}

void
sl_edit_set_done (SlBench *bench, SlOperationKind kind, gboolean done)
{
  const SlVisit *visit = sl_bench_get_visit (bench);
  SlEdit edit;

  if (visit == NULL || (!done && sl_last_done (visit->plan, kind) == NULL))
    return;
  edit = sl_bench_begin_edit (bench, done ? C_ ("undo step", "mark done") : C_ ("undo step", "mark not done"),
                              SL_CHANGED_WORK, FALSE);
  if (done)
    tick_kind (edit.visit->plan, kind);
  else
    untick_kind (edit.visit, kind);
  sl_bench_end_edit (&edit);
}

void
sl_edit_first_pass_done (SlBench *bench, double bass_mm, double treble_mm)
{
  SlOperation *cut, rest = sl_operation_init (SL_OP_CUT_SADDLE_BASE);
  const int place = find_operation (sl_bench_get_visit (bench), SL_OP_CUT_SADDLE_BASE, 0);
  SlEdit edit;

  if (place < 0)
    return;
  edit = sl_bench_begin_edit (bench, C_ ("undo step", "first pass done"), SL_CHANGED_WORK, FALSE);
  cut = &g_array_index (edit.visit->plan, SlOperation, place);
  rest.amount = sum (cut->amount, sl_number (-bass_mm));
  rest.amount_treble = sum (cut->amount_treble, sl_number (-treble_mm));
  cut->amount = sum (sl_number (bass_mm), sl_number (0));
  cut->amount_treble = sum (sl_number (treble_mm), sl_number (0));
  cut->done = sl_now_iso ();
  if (rest.amount.v > NO_CUT_MM || rest.amount_treble.v > NO_CUT_MM)
    g_array_insert_val (edit.visit->plan, (guint) place + 1, rest);
  sl_bench_end_edit (&edit);
}

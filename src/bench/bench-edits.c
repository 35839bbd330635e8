/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is changed of readings and plan on a bench, and changes that are tried first. */
#include "bench/bench.h"

#include "setup/profile/moment.h"
#include "words/dates.h"

/* What is left of a cut below this is no cut: a tenth of what a file takes in a stroke. */
#define NO_CUT_MM 0.001
#define KEPT_PER_MM 1e6 /* sums are rounded to a nanometre, so that no rounding noise is written */

/* ---- changes in a function, and changes that are tried first ---- */

void
sl_bench_edit (SlBench *self, const char *name, SlChanges changes, gboolean need_set, SlBenchEdit edit, gpointer data)
{
  g_auto (SlEdit) begun = sl_bench_begin_edit (self, name, changes, need_set);

  edit (begun.profile, begun.visit, begun.set, data);
}

SlVisit *
sl_profile_need_visit (SlProfile *profile)
{
  if (sl_profile_last_visit (profile) == NULL)
    {
      SlVisit visit = sl_visit_init ();

      visit.id = sl_unused_id (profile, "v");
      visit.opened = sl_today_iso ();
      g_array_append_val (profile->visits, visit);
    }
  return sl_profile_last_visit (profile);
}

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
  SL_EACH_OF (const SlFault, fault, faults)
    if (!g_ptr_array_find_with_equal_func (known, fault, is_same_fault, NULL))
      return g_strdup (fault->message);
  sl_bench_edit (bench, name, changes, FALSE, edit, (gpointer) data);
  return NULL;
}

/* ---- what is typed ---- */

#define TYPED "typed"
#define SETTLE "settle"
#define SETTLE_DATA "settle-data"

void
sl_bench_set_typed (SlBench *self, char **typed)
{
  const char *const *before = sl_bench_get_typed (self);
  const gboolean same = typed != NULL && before != NULL ? g_strv_equal ((const char *const *) typed, before)
                                                        : typed == NULL && before == NULL;

  g_object_set_data_full (G_OBJECT (self), TYPED, typed, (GDestroyNotify) g_strfreev);
  if (!same)
    g_signal_emit_by_name (self, "changed", (guint) SL_CHANGED_TYPED);
}

const char *const *
sl_bench_get_typed (SlBench *self)
{
  return g_object_get_data (G_OBJECT (self), TYPED);
}

void
sl_bench_set_settle (SlBench *self, SlBenchSettle settle, gpointer data)
{
  g_object_set_data (G_OBJECT (self), SETTLE, (gpointer) settle);
  g_object_set_data (G_OBJECT (self), SETTLE_DATA, data);
}

gboolean
sl_bench_settle (SlBench *self)
{
  SlBenchSettle settle = (SlBenchSettle) g_object_get_data (G_OBJECT (self), SETTLE);

  return settle == NULL || settle (g_object_get_data (G_OBJECT (self), SETTLE_DATA));
}

/* ---- readings ---- */

void
sl_bench_put_reading (SlBench *self, const char *name, SlReading reading)
{
  g_auto (SlEdit) edit = sl_bench_begin_edit (self, name, SL_CHANGED_READINGS, TRUE);

  sl_reading_set_put (edit.set, reading);
}

void
sl_bench_read_again (SlBench *self, gboolean final)
{
  SlReadingSet *last, fresh;

  if (!sl_bench_settle (self))
    return;
  sl_bench_show_set (self, NULL);
  g_auto (SlEdit) edit = sl_bench_begin_edit (self, C_ ("undo step", "read again"), SL_CHANGED_READINGS, TRUE);
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
}

/* ---- the plan ---- */

/* Place in the order of work, then by string: common practice. */
static int
order_of (const SlOperation *operation)
{
  static const int steps[SL_N_BENCH_STEPS] = {
    [SL_BENCH_SETTLE] = 0, [SL_BENCH_SEAT] = 1,   [SL_BENCH_RECROWN] = 4,      [SL_BENCH_POLISH] = 4,
    [SL_BENCH_ENDS] = 4,   [SL_BENCH_CLEAN] = 14, [SL_BENCH_NEW_STRINGS] = 15, [SL_BENCH_REBALANCE] = 16,
  };
  const int rank = operation->kind == SL_OP_BENCH_STEP ? steps[operation->step] : sl_operations[operation->kind].place;

  return rank * (SL_MAX_STRINGS + 1) + (sl_operations[operation->kind].per_string ? operation->string : 0);
}

/* Whether two operations do the same work, of which a plan has one to do. */
static gboolean
is_like (const SlOperation *a, const SlOperation *b)
{
  return a->kind == b->kind && (!sl_operations[a->kind].per_string || a->string == b->string) &&
         (a->kind != SL_OP_BENCH_STEP || a->step == b->step);
}

/* Index of the first operation like it that is not done yet, or of the last that is @done; −1: there is none. */
static int
find_like (const SlVisit *visit, const SlOperation *wanted, gboolean done)
{
  int found = -1;

  for (guint i = 0; visit != NULL && i < visit->plan->len && (done || found < 0); i++)
    {
      const SlOperation *operation = &g_array_index (visit->plan, SlOperation, i);

      if ((operation->done != NULL) == done && is_like (operation, wanted))
        found = (int) i;
    }
  return found;
}

const SlOperation *
sl_bench_find_operation (SlBench *self, SlOperationKind kind, int string)
{
  const SlVisit *visit = sl_bench_get_visit (self);
  int i = find_like (visit, &(SlOperation){ .kind = kind, .string = string }, FALSE);

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
  g_auto (SlEdit) edit = begin_plan (self, name);
  GArray *plan = edit.visit->plan;
  int place = find_like (edit.visit, &operation, FALSE);

  sl_operation_own (&operation);
  if (!sl_operations[operation.kind].per_string)
    operation.string = 0;
  if (place >= 0)
    g_array_remove_index (plan, (guint) place);
  else
    for (place = 0; place < (int) plan->len; place++)
      {
        const SlOperation *other = &g_array_index (plan, SlOperation, place);

        if (other->done == NULL && order_of (other) > order_of (&operation))
          break;
      }
  g_array_insert_val (plan, (guint) place, operation);
}

static void
remove_like (SlBench *self, const char *name, const SlOperation *wanted)
{
  const int place = find_like (sl_bench_get_visit (self), wanted, FALSE);

  if (place < 0)
    return;
  g_auto (SlEdit) edit = sl_bench_begin_edit (self, name, SL_CHANGED_PLAN, FALSE);
  g_array_remove_index (edit.visit->plan, (guint) place);
}

void
sl_bench_remove_operation (SlBench *self, const char *name, SlOperationKind kind, int string)
{
  remove_like (self, name, &(SlOperation){ .kind = kind, .string = string });
}

void
sl_bench_propose_plan (SlBench *self)
{
  const SlProposal *proposal = sl_bench_get_proposal (self);

  if (proposal->steps->len == 0 && sl_bench_get_visit (self) == NULL)
    return; /* nothing read, nothing to take away */
  g_auto (SlEdit) edit = begin_plan (self, C_ ("undo step", "propose a plan"));

  sl_proposal_enter (proposal, edit.visit->plan);
}

/* Work that is in the plan or not, whatever its amounts are; and what of it sets a figure rather than changing it. */
#define SETS (1u << SL_OP_MAKE_NUT | 1u << SL_OP_MAKE_SADDLE | 1u << SL_OP_FIT_STRINGS)
#define WHOLE (1u << SL_OP_LEVEL_FRETS | 1u << SL_OP_REPLACE_FRETS | 1u << SL_OP_SET_NECK_ANGLE | SETS)

void
sl_edit_amount (SlBench *bench, SlOperationKind kind, int string, gboolean treble, double mm)
{
  const SlOperation *old = sl_bench_find_operation (bench, kind, string);
  SlOperation operation = old != NULL ? *old : sl_operation_init (kind);

  if (old == NULL && mm == 0)
    return;
  operation.string = string;
  *sl_operation_amount_place (&operation, string, treble) = sl_number (mm);
  if (kind == SL_OP_LEVEL_FRETS)
    operation.amount = mm == 0 ? SL_NUMBER_ABSENT : sl_number (mm);
  if (sl_operations[kind].treble.element != NULL)
    {
      operation.amount = sl_number (sl_number_or (operation.amount, 0));
      operation.amount_treble = sl_number (sl_number_or (operation.amount_treble, 0));
    }
  if ((WHOLE >> kind & 1) == 0 && sl_number_or (operation.amount, 0) == 0 &&
      sl_number_or (operation.amount_treble, 0) == 0)
    sl_bench_remove_operation (bench, sl_operation_undo_name (kind), kind, string);
  else
    sl_bench_put_operation (bench, sl_operation_undo_name (kind), operation);
}

void
sl_edit_level (SlBench *bench, gboolean level)
{
  const char *name = sl_operation_undo_name (SL_OP_LEVEL_FRETS);

  if (!level)
    sl_bench_remove_operation (bench, name, SL_OP_LEVEL_FRETS, 0);
  else if (sl_bench_find_operation (bench, SL_OP_LEVEL_FRETS, 0) == NULL)
    sl_bench_put_operation (bench, name, sl_operation_init (SL_OP_LEVEL_FRETS));
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
  if (sl_bench_get_visit (bench) == NULL)
    return;
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, sl_operation_undo_name (kind), SL_CHANGED_PLAN, FALSE);
  for (guint i = edit.visit->plan->len; i-- > 0;)
    if (is_pending (&g_array_index (edit.visit->plan, SlOperation, i), kind))
      g_array_remove_index (edit.visit->plan, i);
}

const char *
sl_last_done (const GArray *plan, SlOperationKind kind)
{
  const char *last = NULL;
  int order;

  SL_EACH (const SlOperation, operation, plan)
    if (operation->kind == kind && operation->done != NULL &&
        (!sl_moment_compare (operation->done, last, &order) || order > 0))
      last = operation->done;
  return last;
}

/* No more than a document takes. */
static SlNumber
sum (SlNumber a, SlNumber b, const SlBound *bound)
{
  const double both = round ((sl_number_or (a, 0) + sl_number_or (b, 0)) * KEPT_PER_MM) / KEPT_PER_MM;

  if (!sl_number_is_set (a) && !sl_number_is_set (b))
    return SL_NUMBER_ABSENT;
  return sl_number (CLAMP (both, bound->least, bound->most));
}

static void
sum_up (SlOperation *pending, const SlOperation *done)
{
  const SlOperationTraits *traits = &sl_operations[pending->kind];

  pending->amount = sum (pending->amount, done->amount, &traits->bound);
  pending->amount_treble = sum (pending->amount_treble, done->amount_treble, &traits->treble);
  pending->turns = sum (pending->turns, done->turns, sl_bound_find ("turn-rod", "turns"));
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
      place = find_like (visit, operation, FALSE);
      if (place < 0)
        {
          g_clear_pointer (&operation->done, g_free);
          continue;
        }
      pending = &g_array_index (plan, SlOperation, place);
      if ((SETS >> kind & 1) == 0)
        sum_up (pending, operation);
      g_array_remove_index (plan, i);
    }
}

void
sl_edit_set_done (SlBench *bench, SlOperationKind kind, gboolean done)
{
  const SlVisit *visit = sl_bench_get_visit (bench);

  if (visit == NULL || (!done && sl_last_done (visit->plan, kind) == NULL))
    return;
  g_auto (SlEdit) edit = sl_bench_begin_edit (
      bench, done ? C_ ("undo step", "mark done") : C_ ("undo step", "mark not done"), SL_CHANGED_WORK, FALSE);
  if (done)
    {
      g_autofree char *now = sl_now_iso ();

      for (guint i = 0; i < edit.visit->plan->len; i++)
        if (is_pending (&g_array_index (edit.visit->plan, SlOperation, i), kind))
          g_array_index (edit.visit->plan, SlOperation, i).done = g_strdup (now);
    }
  else
    untick_kind (edit.visit, kind);
}

/* Of the operation at @place the first pass is done; what is left of it comes behind it. */
static void
take_pass (GArray *plan, guint place, const SlPass *pass)
{
  SlOperation *operation = &g_array_index (plan, SlOperation, place), rest = *operation;
  const SlOperationTraits *kind = &sl_operations[operation->kind];
  const SlNumber treble = isnan (pass->pass_treble) ? SL_NUMBER_ABSENT : sl_number (pass->pass_treble);

  rest.amount = sum (operation->amount, sl_number (-pass->pass), &kind->bound);
  rest.amount_treble = isnan (treble.v) ? treble : sum (operation->amount_treble, sl_number (-treble.v), &kind->treble);
  operation->amount = sum (sl_number (pass->pass), sl_number (0), &kind->bound);
  operation->amount_treble = treble;
  operation->done = sl_now_iso ();
  if (rest.amount.v > NO_CUT_MM || rest.amount_treble.v > NO_CUT_MM)
    g_array_insert_val (plan, place + 1, rest);
}

void
sl_edit_first_pass_done (SlBench *bench, SlOperationKind kind)
{
  const SlPass *passes = sl_bench_get_passes (bench);

  if (passes == NULL)
    return;
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, C_ ("undo step", "first pass done"), SL_CHANGED_WORK, FALSE);
  for (guint i = edit.visit->plan->len; i-- > 0;)
    if (is_pending (&g_array_index (edit.visit->plan, SlOperation, i), kind) &&
        (passes[i].pass > 0 || passes[i].pass_treble > 0))
      take_pass (edit.visit->plan, i, &passes[i]);
}

void
sl_edit_turns (SlBench *bench, double turns)
{
  const SlOperation *old = sl_bench_find_operation (bench, SL_OP_TURN_ROD, 0);
  SlOperation operation;

  if (old == NULL)
    return;
  operation = *old;
  operation.turns = isnan (turns) ? SL_NUMBER_ABSENT : sl_number (turns);
  sl_bench_put_operation (bench, sl_operation_undo_name (SL_OP_TURN_ROD), operation);
}

/* ---- bench steps, gates ---- */

void
sl_edit_bench_step (SlBench *bench, SlBenchStep step, gboolean planned)
{
  SlOperation operation = sl_operation_init (SL_OP_BENCH_STEP);
  const char *name = sl_operation_undo_name (SL_OP_BENCH_STEP);

  operation.step = step;
  if (!planned)
    remove_like (bench, name, &operation);
  else if (find_like (sl_bench_get_visit (bench), &operation, FALSE) < 0)
    sl_bench_put_operation (bench, name, operation);
}

void
sl_edit_bench_step_done (SlBench *bench, SlBenchStep step, gboolean done)
{
  const SlVisit *visit = sl_bench_get_visit (bench);
  const int place = find_like (visit, &(SlOperation){ .kind = SL_OP_BENCH_STEP, .step = step }, !done);
  SlOperation *operation;

  if (place < 0)
    return;
  g_auto (SlEdit) edit = sl_bench_begin_edit (
      bench, done ? C_ ("undo step", "mark done") : C_ ("undo step", "mark not done"), SL_CHANGED_WORK, FALSE);
  operation = &g_array_index (edit.visit->plan, SlOperation, place);
  g_clear_pointer (&operation->done, g_free);
  operation->done = done ? sl_now_iso () : NULL;
}

void
sl_edit_pass_gate (SlBench *bench, SlGate gate, gboolean passed)
{
  g_auto (SlEdit) edit =
      begin_plan (bench, passed ? C_ ("undo step", "pass a gate") : C_ ("undo step", "heed a gate again"));

  edit.visit->passed = (edit.visit->passed & ~(1u << gate)) | (passed ? 1u << gate : 0);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/operation-edit.h"

#include "setup/profile/moment.h"
#include "words/dates.h"

#include <glib/gi18n-lib.h>

#include <math.h>

/* What is left of a cut below this is no cut: a tenth of what a file takes in a stroke. */
#define NO_CUT_MM 0.001
#define KEPT_PER_MM 1e6 /* sums are rounded to a nanometre, so that no rounding noise is written */

void
sl_edit_amount (SlBench *bench, SlOperationKind kind, int string, gboolean treble, double mm)
{
  const SlOperation *old = sl_bench_find_operation (bench, kind, string);
  SlOperation operation = sl_operation_init (kind);

  if (old == NULL && mm == 0)
    return;
  if (old != NULL)
    operation = *old;
  operation.string = string;
  if (treble)
    operation.amount_treble = sl_number (mm);
  else
    operation.amount = sl_number (mm);
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

static SlOperation *
find_pending (GArray *plan, SlOperationKind kind, int string)
{
  for (guint i = 0; i < plan->len; i++)
    {
      SlOperation *operation = &g_array_index (plan, SlOperation, i);

      if (is_pending (operation, kind) && operation->string == string)
        return operation;
    }
  return NULL;
}

static SlNumber
sum (SlNumber a, SlNumber b)
{
  if (!sl_number_is_set (a) && !sl_number_is_set (b))
    return SL_NUMBER_ABSENT;
  return sl_number (round ((sl_number_or (a, 0) + sl_number_or (b, 0)) * KEPT_PER_MM) / KEPT_PER_MM);
}

static void
untick_kind (GArray *plan, SlOperationKind kind)
{
  g_autofree char *last = g_strdup (sl_last_done (plan, kind));

  for (guint i = plan->len; i-- > 0;)
    {
      SlOperation *operation = &g_array_index (plan, SlOperation, i), *pending;
      int order;

      if (operation->kind != kind || !sl_moment_compare (operation->done, last, &order) || order != 0)
        continue;
      pending = find_pending (plan, kind, operation->string);
      if (pending == NULL)
        {
          g_clear_pointer (&operation->done, g_free);
          continue;
        }
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
    untick_kind (edit.visit->plan, kind);
  sl_bench_end_edit (&edit);
}

void
sl_edit_first_pass_done (SlBench *bench, double bass_mm, double treble_mm)
{
  SlOperation *cut, rest = sl_operation_init (SL_OP_CUT_SADDLE_BASE);
  SlEdit edit;
  guint place;

  if (sl_bench_find_operation (bench, SL_OP_CUT_SADDLE_BASE, 0) == NULL)
    return;
  edit = sl_bench_begin_edit (bench, C_ ("undo step", "first pass done"), SL_CHANGED_WORK, FALSE);
  cut = find_pending (edit.visit->plan, SL_OP_CUT_SADDLE_BASE, 0);
  place = (guint) (cut - &g_array_index (edit.visit->plan, SlOperation, 0));
  rest.amount = sum (cut->amount, sl_number (-bass_mm));
  rest.amount_treble = sum (cut->amount_treble, sl_number (-treble_mm));
  cut->amount = sum (sl_number (bass_mm), sl_number (0));
  cut->amount_treble = sum (sl_number (treble_mm), sl_number (0));
  cut->done = sl_now_iso ();
  if (rest.amount.v > NO_CUT_MM || rest.amount_treble.v > NO_CUT_MM)
    g_array_insert_val (edit.visit->plan, place + 1, rest);
  sl_bench_end_edit (&edit);
}

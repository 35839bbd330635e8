/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The bench's plan: operations put, taken away and proposed. */
#include "bench/bench.h"

#include <glib/gi18n-lib.h>

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

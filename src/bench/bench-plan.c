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

static void
edit_put_operation (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  SlOperation operation = *(const SlOperation *) data;
  int place;

  visit = sl_profile_need_visit (profile);
  visit->plan_given = TRUE;
  operation.done = g_strdup (operation.done);
  if (!sl_operations[operation.kind].per_string)
    operation.string = 0;
  place = find_operation (visit, operation.kind, operation.string);
  if (place >= 0)
    {
      SlOperation *old = &g_array_index (visit->plan, SlOperation, place);

      g_free (old->done);
      *old = operation;
      return;
    }
  for (place = 0; place < (int) visit->plan->len; place++)
    {
      const SlOperation *other = &g_array_index (visit->plan, SlOperation, place);

      if (other->done == NULL && order_of (other->kind, other->string) > order_of (operation.kind, operation.string))
        break;
    }
  g_array_insert_val (visit->plan, (guint) place, operation);
}

void
sl_bench_put_operation (SlBench *self, const char *name, SlOperation operation)
{
  sl_bench_edit (self, name, SL_CHANGED_PLAN, FALSE, edit_put_operation, &operation);
}

static void
edit_remove_operation (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  g_array_remove_index (visit->plan, *(const guint *) data);
}

void
sl_bench_remove_operation (SlBench *self, const char *name, SlOperationKind kind, int string)
{
  int place = find_operation (sl_bench_get_visit (self), kind, string);
  guint index = (guint) place;

  if (place >= 0)
    sl_bench_edit (self, name, SL_CHANGED_PLAN, FALSE, edit_remove_operation, &index);
}

/* What is not done gives way to @data, an SlProposal. */
static void
edit_take_proposal (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const SlProposal *proposal = data;

  visit = sl_profile_need_visit (profile);
  visit->plan_given = TRUE;
  for (guint i = visit->plan->len; i-- > 0;)
    if (g_array_index (visit->plan, SlOperation, i).done == NULL)
      g_array_remove_index (visit->plan, i);
  for (guint i = 0; i < proposal->steps->len; i++)
    {
      SlOperation operation = g_array_index (proposal->steps, SlStep, i).operation;

      operation.done = NULL;
      g_array_append_val (visit->plan, operation);
    }
}

void
sl_bench_propose_plan (SlBench *self)
{
  sl_bench_edit (self, C_ ("undo step", "propose a plan"), SL_CHANGED_PLAN, FALSE, edit_take_proposal,
                 (gpointer) sl_bench_get_proposal (self));
}

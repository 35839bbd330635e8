/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/work/reorder.h"

#include "setup/profile/kinds.h"

#include <glib/gi18n-lib.h>

static gboolean
moves_heights (SlOperationKind kind)
{
  return sl_operations[kind].cuts || kind == SL_OP_TURN_ROD || kind == SL_OP_LEVEL_FRETS;
}

/* Why @first can't be done before @second: a whole sentence, translated; NULL where it can. */
static const char *
order_objection (const SlOperation *first, const SlOperation *second)
{
  if (sl_operations[first->kind].cuts && second->kind == SL_OP_LEVEL_FRETS)
    return _ ("Frets are levelled before slots and saddle are cut: levelling lowers the crowns, and with them every "
              "gap that a cut would be made for.");
  if (sl_operations[first->kind].cuts && second->kind == SL_OP_TURN_ROD)
    return _ ("The rod is adjusted before slots and saddle are cut: it changes the action they would be cut for, and "
              "what is cut can't be put back.");
  if (first->kind == SL_OP_SHAPE_CREST && second->kind == SL_OP_CUT_SADDLE_BASE)
    return _ (
        "The saddle's underside is cut before its top is dressed: dressing takes what the straight cut leaves over.");
  if (first->kind == SL_OP_MOVE_CREST && moves_heights (second->kind))
    return _ ("Break points are moved last: every change of height changes the pitch they would be moved for.");
  return NULL;
}

const char *
sl_plan_move_objection (const GArray *plan, guint from, guint to)
{
  const SlOperation *moved = &g_array_index (plan, SlOperation, from);

  g_return_val_if_fail (from < plan->len && to < plan->len, NULL);
  if (from == to)
    return NULL;
  if (moved->done != NULL)
    return _ ("This is done already: it stays where it was done.");
  for (guint i = MIN (from, to); i <= MAX (from, to); i++)
    {
      const SlOperation *other = &g_array_index (plan, SlOperation, i);
      const char *objection;

      if (i == from)
        continue;
      if (to < from && other->done != NULL)
        return _ ("What it would go before is done already.");
      objection = to < from ? order_objection (moved, other) : order_objection (other, moved);
      if (objection != NULL)
        return objection;
    }
  return NULL;
}

const char *
sl_plan_move (GArray *plan, guint from, guint to)
{
  const char *objection = sl_plan_move_objection (plan, from, to);
  SlOperation moved;

  if (objection != NULL || from == to)
    return objection;
  moved = g_array_index (plan, SlOperation, from);
  /* taken out without freeing what it holds: the array's own removal would */
  for (guint i = from; i < to; i++)
    g_array_index (plan, SlOperation, i) = g_array_index (plan, SlOperation, i + 1);
  for (guint i = from; i > to; i--)
    g_array_index (plan, SlOperation, i) = g_array_index (plan, SlOperation, i - 1);
  g_array_index (plan, SlOperation, to) = moved;
  return NULL;
}

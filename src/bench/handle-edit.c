/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What moving a handle of the side view does to the plan. */
#include "bench/bench.h"

#include "setup/profile/construction.h"

static double
planned (SlBench *bench, SlOperationKind kind, int string, gboolean treble)
{
  const SlOperation *operation = sl_bench_find_operation (bench, kind, string);

  return operation == NULL ? 0 : sl_number_or (treble ? operation->amount_treble : operation->amount, 0);
}

/* Plans @mm within the bounds, not below @least, in hundredths. */
static void
plan (SlBench *bench, SlOperationKind kind, int string, gboolean treble, double least, double mm)
{
  const SlBound *bound = treble ? &sl_operations[kind].treble : &sl_operations[kind].bound;
  const double inside = CLAMP (mm, MAX (least, bound->least), bound->most);
  const double settled = round (inside / SL_HANDLE_STEP_MM) * SL_HANDLE_STEP_MM;

  sl_edit_amount (bench, kind, string, treble, round (settled * 1e6) / 1e6); /* no binary dust */
}

SlOperationKind
sl_handle_operation (SlBench *bench, SlHandleKind handle)
{
  switch (handle)
    {
    case SL_HANDLE_NECK: return SL_OP_TURN_ROD;
    case SL_HANDLE_SLOT: return SL_OP_LOWER_SLOT;
    case SL_HANDLE_CREST:
    case SL_N_HANDLES:
    default: return sl_saddles[sl_bench_get_analysis (bench)->instrument.adjust].work;
    }
}

gboolean
sl_handle_is_there (SlBench *bench, SlHandleKind handle)
{
  const SlOperationKind kind = sl_handle_operation (bench, handle);

  return kind != SL_N_OPS && sl_bench_get_analysis (bench)->instrument.work >> kind & 1;
}

void
sl_handle_begin (SlBench *bench, SlHandleKind handle, SlGrip *grip)
{
  SlOperationKind kind = sl_handle_operation (bench, handle);
  int n = sl_bench_get_profile (bench)->n_strings;

  *grip = (SlGrip){ .operation = kind,
                    .string = sl_bench_get_string (bench),
                    .lean_rad = sl_bench_get_analysis (bench)->instrument.saddle_lean_rad };
  if (kind == SL_OP_LOWER_SLOT || kind == SL_OP_SHAPE_CREST)
    for (int s = 1; s <= n; s++)
      grip->amount[s - 1] = planned (bench, kind, s, FALSE);
  else
    grip->amount[0] = planned (bench, kind, 0, FALSE);
  if (kind == SL_OP_CUT_SADDLE_BASE || kind == SL_OP_MOVE_SADDLE)
    grip->treble = planned (bench, kind, 0, TRUE);
}

/* An outer string moves its own end of the cut, or its own post; any other string, and all together, both. */
static void
move_ends (SlBench *bench, const SlGrip *grip, double least, double by)
{
  int n = sl_bench_get_profile (bench)->n_strings;

  if (n == 1 || grip->string != 1)
    plan (bench, grip->operation, 0, FALSE, least, grip->amount[0] + by);
  if (n == 1 || grip->string != n)
    plan (bench, grip->operation, 0, TRUE, least, grip->treble + by);
}

void
sl_handle_move (SlBench *bench, const SlGrip *grip, double up_mm)
{
  const SlOperationKind kind = grip->operation;
  const SlSaddleTraits *saddle = &sl_saddles[sl_saddle_adjust (sl_bench_get_profile (bench))];
  const gboolean only_off = kind == SL_OP_LOWER_SLOT || (kind == SL_OP_SHAPE_CREST && !saddle->goes_up);
  const double least = only_off ? 0 : -INFINITY;

  if (kind == SL_OP_CUT_SADDLE_BASE)
    move_ends (bench, grip, 0, -up_mm / cos (grip->lean_rad));
  else if (kind == SL_OP_MOVE_SADDLE)
    move_ends (bench, grip, least, up_mm);
  else if (kind == SL_OP_TURN_ROD)
    plan (bench, kind, 0, FALSE, least, grip->amount[0] - up_mm);
  else
    for (int s = 1; s <= sl_bench_get_profile (bench)->n_strings; s++)
      if (grip->string == s || (grip->string == 0 && kind == SL_OP_SHAPE_CREST))
        plan (bench, kind, s, FALSE, least, grip->amount[s - 1] - up_mm);
}

char *
sl_handle_describe (SlBench *bench, SlHandleKind handle)
{
  const SlOperationKind kind = sl_handle_operation (bench, handle);
  const int string = kind == SL_OP_LOWER_SLOT    ? sl_bench_get_string (bench)
                     : kind == SL_OP_SHAPE_CREST ? MAX (1, sl_bench_get_string (bench))
                                                 : 0;
  g_autofree char *first = sl_bench_length (bench, planned (bench, kind, string, FALSE), 2, TRUE),
                  *second = sl_bench_length (bench, planned (bench, kind, string, TRUE), 2, TRUE);

  switch (kind)
    {
    case SL_OP_TURN_ROD: return g_strdup_printf (_ ("neck’s middle: relief changes by %s"), first);
    case SL_OP_LOWER_SLOT: return g_strdup_printf (_ ("nut slot: lowered by %s"), first);
    case SL_OP_SHAPE_CREST: return g_strdup_printf (_ ("saddle top: lowered by %s"), first);
    case SL_OP_MOVE_SADDLE: return g_strdup_printf (_ ("bridge: raised by %s bass, %s treble"), first, second);
    default: return g_strdup_printf (_ ("saddle: %s bass, %s treble off the underside"), first, second);
    }
}

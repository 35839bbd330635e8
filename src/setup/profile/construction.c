/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/construction.h"

#include "setup/profile/units.h"

const SlSaddleTraits sl_saddles[SL_N_ADJUSTS] = {
  [SL_ADJUST_BASE] = { SL_OP_CUT_SADDLE_BASE, .single = TRUE },
  [SL_ADJUST_SCREWS] = { SL_OP_SHAPE_CREST, .goes_up = TRUE, .single = TRUE, .has_screws = TRUE },
  [SL_ADJUST_POSTS] = { SL_OP_MOVE_SADDLE, .goes_up = TRUE, .has_screws = TRUE },
  [SL_ADJUST_WHEELS] = { SL_OP_MOVE_SADDLE, .goes_up = TRUE, .has_screws = TRUE },
  [SL_ADJUST_TOP] = { SL_OP_SHAPE_CREST, .single = TRUE },
  [SL_ADJUST_FIXED] = { SL_N_OPS },
};

SlSaddleAdjust
sl_saddle_adjust (const SlProfile *profile)
{
  const SlSaddle *saddle = &profile->saddle;

  if (saddle->adjust != SL_ADJUST_DEFAULT)
    return saddle->adjust;
  return sl_number_is_set (saddle->height_screw_pitch) ? SL_ADJUST_SCREWS : SL_ADJUST_BASE;
}

SlBridgeKind
sl_bridge_kind (const SlProfile *profile)
{
  if (profile->bridge.kind != SL_BRIDGE_DEFAULT)
    return profile->bridge.kind;
  return profile->saddle.adjust == SL_ADJUST_WHEELS ? SL_BRIDGE_FLOATING : SL_BRIDGE_PINNED;
}

/* What each way of building has not: bits of operations. */
#define BIT(kind) (1u << (kind))
#define HEIGHT                                                                                                         \
  (BIT (SL_OP_CUT_SADDLE_BASE) | BIT (SL_OP_SHAPE_CREST) | BIT (SL_OP_MOVE_SADDLE) | BIT (SL_OP_MAKE_SADDLE))

static const guint by_rod[] = { [SL_ROD_NONE] = BIT (SL_OP_TURN_ROD) };
static const guint by_nut[] = { [SL_NUT_ZERO_FRET] = BIT (SL_OP_LOWER_SLOT) | BIT (SL_OP_MAKE_NUT) };
static const guint by_adjust[SL_N_ADJUSTS] = {
  [SL_ADJUST_BASE] = BIT (SL_OP_MOVE_SADDLE),
  [SL_ADJUST_SCREWS] = HEIGHT & ~BIT (SL_OP_SHAPE_CREST),
  [SL_ADJUST_POSTS] = HEIGHT & ~BIT (SL_OP_MOVE_SADDLE),
  [SL_ADJUST_WHEELS] = HEIGHT & ~BIT (SL_OP_MOVE_SADDLE),
  [SL_ADJUST_TOP] = BIT (SL_OP_CUT_SADDLE_BASE) | BIT (SL_OP_MOVE_SADDLE),
  [SL_ADJUST_FIXED] = HEIGHT,
};
static const guint by_bridge[] = {
  [SL_BRIDGE_PINNED] = BIT (SL_OP_SHIFT_BRIDGE),       [SL_BRIDGE_TAILPIECE] = BIT (SL_OP_SHIFT_BRIDGE),
  [SL_BRIDGE_THROUGH_BODY] = BIT (SL_OP_SHIFT_BRIDGE), [SL_BRIDGE_TIE_BLOCK] = BIT (SL_OP_SHIFT_BRIDGE),
  [SL_BRIDGE_TREMOLO] = BIT (SL_OP_SHIFT_BRIDGE),      [SL_BRIDGE_CONE] = BIT (SL_OP_SHIFT_BRIDGE),
};

/* The parts that are built in ways, as the document says them. */
static const struct
{
  const char *element, *attribute, *const *names;
  const guint *missing;
} parts[] = { { "neck", "rod", sl_rod_names, by_rod },
              { "nut", "kind", sl_nut_kind_names, by_nut },
              { "saddle", "adjust", sl_saddle_adjust_names, by_adjust },
              { "bridge", "kind", sl_bridge_kind_names, by_bridge } };

/* How a part is built. */
static int
built (const SlProfile *profile, gsize part)
{
  const int ways[] = { (int) profile->neck.rod, (int) profile->nut.kind, (int) sl_saddle_adjust (profile),
                       (int) sl_bridge_kind (profile) };

  return ways[part];
}

/* Whether it is of a tremolo's springs, on another bridge. */
static gboolean
is_without_springs (const SlProfile *profile, const SlOperation *operation)
{
  return operation->kind == SL_OP_BENCH_STEP && operation->step == SL_BENCH_REBALANCE &&
         sl_bridge_kind (profile) != SL_BRIDGE_TREMOLO;
}

guint
sl_work_there_is (const SlProfile *profile)
{
  guint work = BIT (SL_N_OPS) - 1;

  for (gsize i = 0; i < G_N_ELEMENTS (parts); i++)
    work &= ~parts[i].missing[built (profile, i)];
  return work;
}

guint
sl_settle_construction (SlProfile *profile, guint work, const void *changed)
{
  SlBridge *bridge = &profile->bridge;
  guint dropped = 0;

  if (profile->saddle.adjust == SL_ADJUST_WHEELS && sl_bridge_kind (profile) != SL_BRIDGE_FLOATING)
    *(changed == &profile->saddle.adjust ? (int *) &bridge->kind : (int *) &profile->saddle.adjust) = 0;
  if (sl_bridge_kind (profile) != SL_BRIDGE_TREMOLO)
    {
      bridge->spring_count = 0;
      bridge->balance = SL_BALANCE_DEFAULT;
    }
  const guint gone = work & ~sl_work_there_is (profile);
  SL_EACH (const SlVisit, visit, profile->visits)
    for (guint i = visit->plan->len; i-- > 0;)
      {
        const SlOperation *operation = &g_array_index (visit->plan, SlOperation, i);

        if (operation->done != NULL || (!is_without_springs (profile, operation) && (gone >> operation->kind & 1) == 0))
          continue;
        dropped |= BIT (operation->kind);
        g_array_remove_index (visit->plan, i);
      }
  return dropped;
}

/* The operations there are, as the document spells them. */
static char *
work_accepted (const SlProfile *profile)
{
  const guint work = sl_work_there_is (profile);
  g_autoptr (GString) text = g_string_new (NULL);

  for (int kind = 0; kind < SL_N_OPS; kind++)
    if (work >> kind & 1)
      g_string_append_printf (text, "%s%s", text->len > 0 ? ", " : "", sl_operations[kind].bound.element);
  return g_string_free (g_steal_pointer (&text), FALSE);
}

void
sl_check_work_there_is (GPtrArray *faults, const SlProfile *profile, const SlOperation *operation)
{
  /* written before a saddle could say how it is set */
  const gboolean older = operation->kind == SL_OP_CUT_SADDLE_BASE && profile->saddle.adjust == SL_ADJUST_DEFAULT;

  if (operation->done != NULL || older)
    return;
  for (gsize i = 0; i < G_N_ELEMENTS (parts); i++)
    if (parts[i].missing[built (profile, i)] & BIT (operation->kind))
      {
        g_autofree char *accepted = work_accepted (profile);

        /* Translators: an operation of the document, and an element, its attribute and value that rule it out:
         * "turn-rod can't be done with neck rod “none”; accepted are level-frets, lower-slot" */
        sl_fault_say (faults, operation, _ ("%s can't be done with %s %s “%s”; accepted are %s"),
                      sl_operations[operation->kind].bound.element, parts[i].element, parts[i].attribute,
                      parts[i].names[built (profile, i)], accepted);
        return;
      }
  if (is_without_springs (profile, operation))
    sl_fault_say (faults, operation, _ ("bench-step “%s” is for bridge kind “%s” alone"),
                  sl_bench_step_names[operation->step], sl_bridge_kind_names[SL_BRIDGE_TREMOLO]);
}

static void
check_bridge (GPtrArray *faults, const SlProfile *profile)
{
  const SlBridge *bridge = &profile->bridge;
  const SlBridgeKind kind = sl_bridge_kind (profile);

  if (profile->saddle.adjust == SL_ADJUST_WHEELS && kind != SL_BRIDGE_FLOATING)
    sl_fault_say (
        faults, &profile->saddle,
        _ ("saddle adjust “%s” stands on bridge kind “%s”, not “%s”; accepted with it are base, screws, posts, "
           "top and fixed"),
        sl_saddle_adjust_names[SL_ADJUST_WHEELS], sl_bridge_kind_names[SL_BRIDGE_FLOATING], sl_bridge_kind_names[kind]);
  if ((bridge->spring_count != 0 || bridge->balance != SL_BALANCE_DEFAULT) && kind != SL_BRIDGE_TREMOLO)
    sl_fault_say (faults, bridge, _ ("bridge spring-count and balance are of kind “%s”, not of “%s”"),
                  sl_bridge_kind_names[SL_BRIDGE_TREMOLO], sl_bridge_kind_names[kind]);
  if (bridge->spring_count != 0)
    sl_fault_add (faults, bridge, sl_bound_complaint (sl_bound_find ("bridge", "spring-count"), bridge->spring_count));
  if (sl_number_is_set (bridge->thickness) && sl_number_or (bridge->least_thickness, 0) > bridge->thickness.v)
    {
      g_autofree char *least = sl_plain_shortest (bridge->least_thickness.v);
      g_autofree char *thickness = sl_plain_shortest (bridge->thickness.v);

      sl_fault_say (faults, bridge, _ ("bridge least-thickness %s mm is more than its thickness, %s mm"), least,
                    thickness);
    }
}

void
sl_check_construction (GPtrArray *faults, const SlProfile *profile)
{
  const SlNeck *neck = &profile->neck;

  check_bridge (faults, profile);
  if (neck->square_fret != 0 && (neck->square_fret < 1 || neck->square_fret > neck->frets))
    sl_fault_say (faults, neck, _ ("neck square-fret %d is outside 1 to %d, the last fret"), neck->square_fret,
                  neck->frets);
  if (profile->courses != 0 && (profile->courses < 1 || profile->courses > profile->n_strings))
    sl_fault_say (faults, &profile->courses, _ ("strings courses %d is outside 1 to %d, the number of strings"),
                  profile->courses, profile->n_strings);
}

int
sl_course_of (const SlProfile *profile, int string)
{
  const int courses = profile->courses > 0 ? profile->courses : profile->n_strings;
  const int each = profile->n_strings / courses, more = profile->n_strings % courses,
            even = (courses - more) * each; /* strings in courses that have none more */

  return string <= even ? (string - 1) / each + 1 : courses - more + (string - even - 1) / (each + 1) + 1;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/profile.h"

#include <string.h>

#include "setup/profile/moment.h"
#include "setup/profile/schema.h"

const char *const sl_kind_names[] = { "instrument", "baseline", NULL };
const char *const sl_bridge_kind_names[] = { "", "pinned", "tailpiece", "through-body", "tie-block", "floating", NULL };
const char *const sl_build_names[] = { "plain", "wound", NULL };
const char *const sl_core_names[] = { "steel", "stainless-steel", "nylon", "fluorocarbon", "gut", NULL };
const char *const sl_wrap_names[] = {
  "", "phosphor-bronze", "brass", "nickel", "nickel-plated-steel", "stainless-steel", "silver-plated-copper", NULL
};
const char *const sl_pluck_direction_names[] = { "", "toward", "away", "either", NULL };
const char *const sl_stiff_ends_names[] = { "", "one", "both", NULL };
const char *const sl_held_names[] = { "", "open", "1", "3", NULL };
const char *const sl_use_names[] = { "", "auto", "always", "never", NULL };
const char *const sl_tool_names[] = { "relief", "tongue", "first-gap", "action", "exposure", "crown", "pitch", NULL };
const char *const sl_stage_names[] = { "received", "during", "final", NULL };
const char *const sl_check_state_names[] = { "", "open", "sound", "attend", "mended", "not-applicable", NULL };
const char *const sl_force_basis_names[] = { "", "assumed", "heard", NULL };
const char *const sl_strings_state_names[] = { "", "at-pitch", "slack", "off", NULL };
const char *const sl_settled_names[] = { "", "yes", "no", NULL };
const char *const sl_bench_step_names[] = {
  "recrown", "polish", "ends", "seat", "new-strings", "settle", "clean", NULL
};
const char *const sl_gate_names[] = { "", "reading", "rod", "air", "neck-angle", "frets", NULL };

GArray *
sl_plan_new (void)
{
  SlVisit visit = { NULL };

  sl_element_init (&sl_element_plan, &visit);
  return visit.plan;
}

SlVisit
sl_visit_init (void)
{
  SlVisit visit = { NULL };

  sl_element_init (&sl_element_visit, &visit);
  return visit;
}

SlReadingSet
sl_reading_set_init (void)
{
  SlReadingSet set = { NULL };

  sl_element_init (&sl_element_readings, &set);
  return set;
}

SlReading
sl_reading_init (SlReadingKind kind)
{
  return (SlReading){ .kind = kind, .fret = kind == SL_READ_FIRST_GAP ? 1 : 0, .value = SL_NUMBER_ABSENT };
}

SlOperation
sl_operation_init (SlOperationKind kind)
{
  return (SlOperation){
    .kind = kind, .amount = SL_NUMBER_ABSENT, .amount_treble = SL_NUMBER_ABSENT, .turns = SL_NUMBER_ABSENT
  };
}

SlProfile *
sl_profile_new (void)
{
  SlProfile *profile = g_new0 (SlProfile, 1);

  sl_element_init (&sl_element_profile, profile);
  return profile;
}

SlProfile *
sl_profile_copy (const SlProfile *profile)
{
  SlProfile *copy = g_memdup2 (profile, sizeof *profile);

  sl_element_own (&sl_element_profile, copy);
  return copy;
}

void
sl_profile_free (SlProfile *profile)
{
  if (profile == NULL)
    return;
  sl_element_clear (&sl_element_profile, profile);
  g_free (profile);
}

SlVisit *
sl_profile_last_visit (const SlProfile *profile)
{
  GArray *visits = profile->visits;
  return visits->len > 0 ? &g_array_index (visits, SlVisit, visits->len - 1) : NULL;
}

const SlVisit *
sl_profile_same_visit (const SlProfile *profile, const SlVisit *visit, const SlProfile *copy)
{
  for (guint i = 0; visit != NULL && i < profile->visits->len; i++)
    if (&g_array_index (profile->visits, SlVisit, i) == visit)
      return &g_array_index (copy->visits, SlVisit, i);
  return sl_profile_last_visit (copy);
}

SlReadingSet *
sl_visit_last_set (const SlVisit *visit)
{
  if (visit == NULL || visit->sets->len == 0)
    return NULL;
  return &g_array_index (visit->sets, SlReadingSet, visit->sets->len - 1);
}

/* Open is open, said or not. */
static SlHeld
held_meaning (SlHeld held)
{
  return held == SL_HELD_DEFAULT ? SL_HELD_OPEN : held;
}

gboolean
sl_reading_same_question (const SlReading *a, const SlReading *b)
{
  return a->kind == b->kind && a->string == b->string && (a->kind == SL_READ_FIRST_GAP || a->fret == b->fret) &&
         held_meaning (a->held) == held_meaning (b->held);
}

SlReading *
sl_reading_set_find (const SlReadingSet *set, SlReadingKind kind, int string, int fret, SlHeld held)
{
  const SlReading question = { .kind = kind, .string = string, .fret = fret, .held = held };

  for (guint i = 0; set != NULL && i < set->readings->len; i++)
    if (sl_reading_same_question (&g_array_index (set->readings, SlReading, i), &question))
      return &g_array_index (set->readings, SlReading, i);
  return NULL;
}

gboolean
sl_set_at_pitch (const SlReadingSet *set)
{
  return set == NULL || set->strings <= SL_STRINGS_AT_PITCH;
}

gboolean
sl_read_at_pitch (const SlReadingSet *set, SlReadingKind kind, int string)
{
  for (guint i = 0; sl_set_at_pitch (set) && i < set->readings->len; i++)
    {
      const SlReading *r = &g_array_index (set->readings, SlReading, i);

      if (r->kind == kind && (string == 0 || r->string == string) && r->use != SL_USE_NEVER)
        return TRUE;
    }
  return FALSE;
}

int
sl_reading_set_mean (const SlReadingSet *set, SlReadingKind kind, int string, int fret, double *mean)
{
  double sum = 0;
  int n = 0;

  for (guint i = 0; set != NULL && i < set->readings->len; i++)
    {
      const SlReading *r = &g_array_index (set->readings, SlReading, i);

      if (r->kind != kind || r->string != string || r->fret != fret || r->use == SL_USE_NEVER)
        continue;
      sum += r->value.v;
      n++;
    }
  if (n > 0)
    *mean = sum / n;
  return n;
}

SlReading *
sl_reading_set_put (SlReadingSet *set, SlReading reading)
{
  SlReading *found = sl_reading_set_find (set, reading.kind, reading.string, reading.fret, reading.held);
  if (found != NULL)
    {
      *found = reading;
      return found;
    }
  guint place = set->readings->len;
  while (place > 0 && g_array_index (set->readings, SlReading, place - 1).kind > reading.kind)
    place--;
  g_array_insert_val (set->readings, place, reading);
  return &g_array_index (set->readings, SlReading, place);
}

gboolean
sl_operation_is_past (const SlOperation *operation, const char *taken)
{
  int order;

  return sl_moment_compare (operation->done, taken, &order) && order <= 0;
}

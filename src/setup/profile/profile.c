/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/profile.h"

#include <string.h>

#include "setup/profile/moment.h"

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

/* What an array frees of an element that leaves it. */
static void
reading_set_clear (gpointer data)
{
  SlReadingSet *set = data;
  g_clear_pointer (&set->id, g_free);
  g_clear_pointer (&set->taken, g_free);
  g_clear_pointer (&set->tools, g_array_unref);
  g_clear_pointer (&set->readings, g_array_unref);
}

static void
operation_clear (gpointer data)
{
  SlOperation *operation = data;
  g_clear_pointer (&operation->done, g_free);
}

static void
check_clear (gpointer data)
{
  SlCheck *check = data;
  g_clear_pointer (&check->name, g_free);
  g_clear_pointer (&check->note, g_free);
}

static void
charge_clear (gpointer data)
{
  SlCharge *charge = data;
  g_clear_pointer (&charge->what, g_free);
  g_clear_pointer (&charge->currency, g_free);
}

static void
visit_clear (gpointer data)
{
  SlVisit *visit = data;
  g_clear_pointer (&visit->id, g_free);
  g_clear_pointer (&visit->opened, g_free);
  g_clear_pointer (&visit->closed, g_free);
  g_clear_pointer (&visit->note, g_free);
  g_clear_pointer (&visit->sets, g_array_unref);
  g_clear_pointer (&visit->plan, g_array_unref);
  g_clear_pointer (&visit->checks, g_array_unref);
  g_clear_pointer (&visit->charges, g_array_unref);
}

static GArray *
array_new (gsize element_size, GDestroyNotify clear)
{
  GArray *array = g_array_new (FALSE, FALSE, (guint) element_size);
  if (clear != NULL)
    g_array_set_clear_func (array, clear);
  return array;
}

GArray *
sl_plan_new (void)
{
  return array_new (sizeof (SlOperation), operation_clear);
}

SlVisit
sl_visit_init (void)
{
  return (SlVisit){
    .sets = array_new (sizeof (SlReadingSet), reading_set_clear),
    .plan = sl_plan_new (),
    .checks = array_new (sizeof (SlCheck), check_clear),
    .charges = array_new (sizeof (SlCharge), charge_clear),
  };
}

SlReadingSet
sl_reading_set_init (void)
{
  return (SlReadingSet){
    .temperature = SL_NUMBER_ABSENT,
    .humidity = SL_NUMBER_ABSENT,
    .tools = array_new (sizeof (SlTool), NULL),
    .readings = array_new (sizeof (SlReading), NULL),
  };
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

/* Makes the numbers that follow each other from @first to @last absent. */
#define ABSENT(first, last) absent_between (&(first), &(last))
static void
absent_between (SlNumber *first, SlNumber *last)
{
  for (SlNumber *n = first; n <= last; n++)
    *n = SL_NUMBER_ABSENT;
}

SlProfile *
sl_profile_new (void)
{
  SlProfile *profile = g_new0 (SlProfile, 1);
  profile->neck.scale_length = SL_NUMBER_ABSENT;
  ABSENT (profile->neck.nut_width, profile->neck.board_radius_end);
  ABSENT (profile->fretwire.width, profile->fretwire.least_height);
  ABSENT (profile->headstock.tilt, profile->headstock.string_rise);
  ABSENT (profile->nut.edge_margin_bass, profile->nut.friction);
  profile->bridge.spread = SL_NUMBER_ABSENT;
  ABSENT (profile->saddle.thickness, profile->saddle.length_screw_pitch);
  ABSENT (profile->player.pluck_force, profile->player.pluck_distance);
  ABSENT (profile->player.upright_share, profile->player.finger_distance);
  ABSENT (profile->targets.relief, profile->targets.fall_away_tolerance);
  for (int i = 0; i < SL_MAX_STRINGS; i++)
    {
      SlString *string = &profile->strings[i];
      ABSENT (string->axial_stiffness, string->bending_stiffness);
      string->frequency = string->core_diameter = string->wrap_diameter = string->unit_mass = SL_NUMBER_ABSENT;
      ABSENT (profile->headstock.posts[i].distance, profile->headstock.posts[i].wrap_height);
      ABSENT (profile->bridge.anchors[i].distance, profile->bridge.anchors[i].drop);
    }
  profile->visits = array_new (sizeof (SlVisit), visit_clear);
  return profile;
}

static SlReadingSet
reading_set_copy (const SlReadingSet *set)
{
  SlReadingSet copy = *set;
  copy.id = g_strdup (set->id);
  copy.taken = g_strdup (set->taken);
  copy.tools = g_array_copy (set->tools);
  copy.readings = g_array_copy (set->readings);
  return copy;
}

static GArray *
plan_copy (const GArray *plan)
{
  GArray *copy = sl_plan_new ();
  for (guint i = 0; i < plan->len; i++)
    {
      SlOperation operation = g_array_index (plan, SlOperation, i);
      operation.done = g_strdup (operation.done);
      g_array_append_val (copy, operation);
    }
  return copy;
}

static SlVisit
visit_copy (const SlVisit *visit)
{
  SlVisit copy = sl_visit_init ();
  copy.id = g_strdup (visit->id);
  copy.opened = g_strdup (visit->opened);
  copy.closed = g_strdup (visit->closed);
  copy.note = g_strdup (visit->note);
  copy.plan_given = visit->plan_given;
  copy.passed = visit->passed;
  g_array_unref (copy.plan);
  copy.plan = plan_copy (visit->plan);
  for (guint i = 0; i < visit->sets->len; i++)
    {
      SlReadingSet set = reading_set_copy (&g_array_index (visit->sets, SlReadingSet, i));
      g_array_append_val (copy.sets, set);
    }
  for (guint i = 0; i < visit->checks->len; i++)
    {
      SlCheck check = g_array_index (visit->checks, SlCheck, i);
      check.name = g_strdup (check.name);
      check.note = g_strdup (check.note);
      g_array_append_val (copy.checks, check);
    }
  for (guint i = 0; i < visit->charges->len; i++)
    {
      SlCharge charge = g_array_index (visit->charges, SlCharge, i);
      charge.what = g_strdup (charge.what);
      charge.currency = g_strdup (charge.currency);
      g_array_append_val (copy.charges, charge);
    }
  return copy;
}

SlProfile *
sl_profile_copy (const SlProfile *profile)
{
  SlProfile *copy = g_memdup2 (profile, sizeof *profile);
  copy->id = g_strdup (profile->id);
  copy->baseline = g_strdup (profile->baseline);
  for (char **text = &copy->identity.label; text <= &copy->identity.note; text++)
    *text = g_strdup (*text);
  for (int i = 0; i < profile->n_strings; i++)
    copy->strings[i].note = g_strdup (profile->strings[i].note);
  copy->visits = array_new (sizeof (SlVisit), visit_clear);
  for (guint i = 0; i < profile->visits->len; i++)
    {
      SlVisit visit = visit_copy (&g_array_index (profile->visits, SlVisit, i));
      g_array_append_val (copy->visits, visit);
    }
  return copy;
}

void
sl_profile_free (SlProfile *profile)
{
  if (profile == NULL)
    return;
  g_free (profile->id);
  g_free (profile->baseline);
  for (char **text = &profile->identity.label; text <= &profile->identity.note; text++)
    g_free (*text);
  for (int i = 0; i < profile->n_strings; i++)
    g_free (profile->strings[i].note);
  g_array_unref (profile->visits);
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

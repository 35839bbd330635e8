/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/profile.h"

#include "setup/profile/moment.h"

const char *const sl_kind_names[] = { "instrument", "baseline", NULL };
const char *const sl_bridge_kind_names[] = { "",        "pinned", "tailpiece", "through-body", "tie-block", "floating",
                                             "tremolo", "cone",   NULL };
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
const char *const sl_bench_step_names[] = { "recrown", "polish", "ends",      "seat", "new-strings",
                                            "settle",  "clean",  "rebalance", NULL };
const char *const sl_rod_names[] = { "", "single", "double", "none", NULL };
const char *const sl_heel_adjust_names[] = { "", "none", "shim", "tilt-screw", NULL };
const char *const sl_nut_kind_names[] = { "", "slotted", "zero-fret", NULL };
const char *const sl_balance_names[] = { "", "floating", "decked", "blocked", NULL };
const char *const sl_saddle_adjust_names[] = { "", "base", "screws", "posts", "wheels", "top", "fixed", NULL };
const char *const sl_hand_names[] = { "", "right", "left", NULL };
const char *const sl_about_names[] = { "fret", "nut", "saddle", "bridge", "binding", "body", "other", NULL };
const char *const sl_on_sheet_names[] = { "", "yes", "no", NULL };
const char *const sl_measure_names[] = { "action",     "first-gap",  "exposure",    "crown-height",
                                         "crown-land", "slot-depth", "break-angle", NULL };
const char *const sl_gate_names[] = { "", "reading", "rod", "air", "neck-angle", "frets", NULL };

SlReading
sl_reading_init (SlReadingKind kind)
{
  return (SlReading){
    .kind = kind, .fret = kind == SL_READ_FIRST_GAP ? 1 : 0, .value = SL_NUMBER_ABSENT, .uncertainty = SL_NUMBER_ABSENT
  };
}

SlOperation
sl_operation_init (SlOperationKind kind)
{
  return (SlOperation){
    .kind = kind, .amount = SL_NUMBER_ABSENT, .amount_treble = SL_NUMBER_ABSENT, .turns = SL_NUMBER_ABSENT
  };
}

SlVisit *
sl_profile_last_visit (const SlProfile *profile)
{
  GArray *visits = profile->visits;
  return visits->len > 0 ? &g_array_index (visits, SlVisit, visits->len - 1) : NULL;
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

  SL_EACH (SlReading, r, set != NULL ? set->readings : NULL)
    if (sl_reading_same_question (r, &question))
      return r;
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
  SL_EACH (const SlReading, r, sl_set_at_pitch (set) ? set->readings : NULL)
    if (r->kind == kind && (string == 0 || r->string == string) && r->use != SL_USE_NEVER)
      return TRUE;
  return FALSE;
}

int
sl_reading_set_mean (const SlReadingSet *set, SlReadingKind kind, int string, int fret, double *mean)
{
  double sum = 0;
  int n = 0;

  SL_EACH (const SlReading, r, set != NULL ? set->readings : NULL)
    {
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

#define MOST_ID_NUMBER 1000000000 /* ids above are from elsewhere, and far from those given here */

/* Raises @last to the number of @id, if that is @prefix and a number. */
static void
note_id (const char *id, char prefix, guint *last)
{
  guint64 number;

  if (id != NULL && *id == prefix && g_ascii_string_to_unsigned (id + 1, 10, *last, MOST_ID_NUMBER, &number, NULL))
    *last = (guint) number;
}

void
sl_profile_keep_ids (SlProfile *profile, SlIdNumbers so_far)
{
  SlIdNumbers *last = &profile->id_numbers;

  *last =
      (SlIdNumbers){ MAX (last->visit, so_far.visit), MAX (last->set, so_far.set), MAX (last->photo, so_far.photo) };
  SL_EACH (const SlVisit, visit, profile->visits)
    {
      note_id (visit->id, 'v', &last->visit);
      SL_EACH (const SlReadingSet, set, visit->sets)
        note_id (set->id, 'r', &last->set);
      SL_EACH (const SlPhoto, photo, visit->photos)
        note_id (photo->id, 'p', &last->photo);
    }
}

char *
sl_unused_id (SlProfile *profile, const char *prefix)
{
  SlIdNumbers *last = &profile->id_numbers;

  return g_strdup_printf ("%s%u", prefix,
                          ++*(*prefix == 'v'   ? &last->visit
                              : *prefix == 'p' ? &last->photo
                                               : &last->set));
}

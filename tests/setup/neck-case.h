/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An instrument whose rod is turned and read, again and again: what the tests of a learned neck share. */
#pragma once

#include "setup/record/neck.h"
#include "support.h"

/* An instrument that is read, its rod turned, read again … */
typedef struct
{
  SlProfile *profile;
  SlInstrument in, real; /* as the profile says it, and as it bends in truth */
  SlState truth;
  int hour; /* of 2 March 2026 */
} Case;

static inline char *
next_hour (Case *c)
{
  const int hour = c->hour++;

  return g_strdup_printf ("2026-03-%02dT%02d:00:00Z", 2 + hour / 24, hour % 24);
}

static inline void
begin_visit (Case *c)
{
  SlVisit visit = sl_visit_init ();

  g_array_append_val (c->profile->visits, visit);
}

static inline void
case_of (SlProfile *profile, Case *c)
{
  *c = (Case){ .profile = profile };
  sl_instrument_from_profile (profile, &c->in);
  c->real = c->in;
  begin_visit (c);
}

static inline void
case_begin (GRand *rand, Case *c)
{
  case_of (test_profile (rand, 6, 20, 14), c);
  test_state (rand, &c->in, &c->truth);
}

static inline void
case_clear (Case *c)
{
  sl_profile_free (c->profile);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Case, case_clear)

static inline SlReadingSet *
add_set (Case *c)
{
  SlVisit *visit = sl_profile_last_visit (c->profile);
  SlReadingSet set = sl_reading_set_init ();

  set.taken = next_hour (c);
  g_array_append_val (visit->sets, set);
  return &g_array_index (visit->sets, SlReadingSet, visit->sets->len - 1);
}

/* What a turn of the rod by as much as @change does, noted as one by @meant. */
static inline SlOperation *
turn (Case *c, double change, double meant)
{
  SlVisit *visit = sl_profile_last_visit (c->profile);
  SlOperation op = sl_operation_init (SL_OP_TURN_ROD);

  op.amount = sl_number (change);
  sl_operation_apply (&c->real, &op, &c->truth);
  op.amount = sl_number (meant);
  op.done = next_hour (c);
  g_array_append_val (visit->plan, op);
  return &g_array_index (visit->plan, SlOperation, visit->plan->len - 1);
}

/* A set: relief of the outer strings at fret 7, first gaps, actions at fret 12, all by the ruler; with @rand every
 * reading off by what its tool is uncertain by. */
static inline SlReadingSet *
read_plainly (Case *c, GRand *rand)
{
  SlReadingSet *set = add_set (c);

  test_read (&c->in, &c->truth, set, SL_READ_RELIEF, 1, 7, SL_HELD_DEFAULT);
  test_read (&c->in, &c->truth, set, SL_READ_RELIEF, c->in.n_strings, 7, SL_HELD_DEFAULT);
  for (int s = 1; s <= c->in.n_strings; s++)
    {
      test_read (&c->in, &c->truth, set, SL_READ_FIRST_GAP, s, 1, SL_HELD_OPEN);
      test_read (&c->in, &c->truth, set, SL_READ_ACTION, s, 12, SL_HELD_OPEN);
    }
  for (guint i = 0; rand != NULL && i < set->readings->len; i++)
    {
      SlReading *reading = &g_array_index (set->readings, SlReading, i);

      reading->value.v += sl_reading_u (set, reading->kind) * test_normal (rand);
    }
  return set;
}

static inline const SlNeckBending *
learn (Case *c)
{
  const SlVisit *visit = sl_profile_last_visit (c->profile);
  g_autoptr (GArray) read =
      sl_learn_neck (&c->in, c->profile, visit, sl_visit_last_set (visit), &SL_WORK_UNCERTAINTY_DEFAULT, NULL);

  return &c->in.neck;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sample.h"

#include "setup/profile/construction.h"

static void
put (SlReadingSet *set, SlReadingKind kind, int string, int fret, double value)
{
  SlReading r = sl_reading_init (kind);

  r.string = string;
  r.fret = fret;
  r.value = sl_number (value);
  sl_reading_set_put (set, r);
}

static void
plan (SlVisit *visit, SlOperationKind kind, int string, double amount, double treble)
{
  SlOperation o = sl_operation_init (kind);

  o.string = string;
  o.amount = sl_number (amount);
  o.amount_treble = sl_number (treble);
  g_array_append_val (visit->plan, o);
}

/* The same by chance, and only where the construction has such work. */
static void
plan_perhaps (SlProfile *p, GRand *rand, SlOperationKind kind, int string, double amount, double treble)
{
  if (g_rand_boolean (rand) && sl_work_there_is (p) >> kind & 1)
    plan (sl_profile_last_visit (p), kind, string, amount, treble);
}

/* A visit with a set, both owned by the profile. */
static SlVisit *
add_visit (SlProfile *profile)
{
  SlVisit visit = sl_visit_init ();
  SlReadingSet set = sl_reading_set_init ();

  visit.id = g_strdup ("v1");
  visit.opened = g_strdup ("2026-03-02");
  set.id = g_strdup ("r1");
  set.taken = g_strdup ("2026-03-02T10:00:00Z");
  g_array_append_val (visit.sets, set);
  g_array_append_val (profile->visits, visit);
  return sl_profile_last_visit (profile);
}

static void
set_strings (SlProfile *profile, int n)
{
  static const double hertz[] = { 329.63, 246.94, 196.00, 146.83, 110.00, 82.41,
                                  164.81, 123.47, 98.00,  73.42,  55.00,  41.20 };

  profile->n_strings = n;
  for (int i = 0; i < n; i++)
    {
      gboolean wound = i % 6 >= 2;

      profile->strings[i].frequency = sl_number (hertz[i]);
      profile->strings[i].build = wound ? SL_BUILD_WOUND : SL_BUILD_PLAIN;
      profile->strings[i].core = SL_CORE_STEEL;
      profile->strings[i].core_diameter = sl_number (0.30 + 0.03 * (i % 6));
      profile->strings[i].wrap = wound ? SL_WRAP_PHOSPHOR_BRONZE : SL_WRAP_NONE;
      profile->strings[i].wrap_diameter = wound ? sl_number (0.17 + 0.08 * (i % 6 - 2)) : SL_NUMBER_ABSENT;
    }
}

SlProfile *
sample_usual (void)
{
  SlProfile *p = sl_profile_new ();
  SlVisit *visit;
  SlReadingSet *set;

  p->id = g_strdup ("e2f2b9f4-0a43-4e0c-8d53-94a0f5f9a1b7");
  p->identity.label = g_strdup ("Harbour parlour No. 12");
  p->neck.scale_length = sl_number (632);
  p->neck.frets = 20;
  p->neck.joint_fret = 14;
  p->headstock.given = TRUE;
  p->headstock.tilt = sl_number (16);
  p->headstock.string_rise = sl_number (4.2);
  for (int i = 0; i < 6; i++)
    p->headstock.posts[i] =
        (SlPost){ i + 1, sl_number (60 + 38 * (i < 3 ? i : 5 - i)), sl_number (i < 3 ? 10 : -10), sl_number (3) };
  p->headstock.n_posts = 6;
  p->bridge.given = TRUE;
  p->bridge.kind = SL_BRIDGE_PINNED;
  p->bridge.anchors[0] = (SlAnchor){ 1, sl_number (6.5), sl_number (1.0) };
  p->bridge.anchors[1] = (SlAnchor){ 6, sl_number (9.0), sl_number (1.4) };
  p->bridge.n_anchors = 2;
  p->saddle.given = TRUE;
  p->saddle.thickness = sl_number (2.4);
  p->saddle.lean = sl_number (3);
  p->saddle.least_exposure = sl_number (1.6);
  set_strings (p, 6);
  visit = add_visit (p);
  set = sl_visit_last_set (visit);
  put (set, SL_READ_RELIEF, 1, 7, 0.24);
  put (set, SL_READ_RELIEF, 6, 7, 0.30);
  put (set, SL_READ_TONGUE, 0, 0, 0.10);
  put (set, SL_READ_FIRST_GAP, 1, 1, 0.55);
  put (set, SL_READ_FIRST_GAP, 6, 1, 0.68);
  put (set, SL_READ_ACTION, 1, 12, 2.4);
  put (set, SL_READ_ACTION, 6, 12, 3.1);
  put (set, SL_READ_EXPOSURE, 1, 0, 3.0);
  put (set, SL_READ_EXPOSURE, 6, 0, 3.9);
  put (set, SL_READ_SETBACK, 1, 0, 1.4);
  put (set, SL_READ_SETBACK, 6, 0, 4.0);
  put (set, SL_READ_CROWN_GAP, 0, 2, 0.06);
  put (set, SL_READ_CROWN_GAP, 0, 8, 0.0);
  plan (visit, SL_OP_LEVEL_FRETS, 0, 0.05, NAN);
  plan (visit, SL_OP_TURN_ROD, 0, -0.12, NAN);
  plan (visit, SL_OP_LOWER_SLOT, 6, 0.08, NAN);
  plan (visit, SL_OP_CUT_SADDLE_BASE, 0, 0.7, 0.5);
  plan (visit, SL_OP_SHAPE_CREST, 5, 0.1, NAN);
  plan (visit, SL_OP_MOVE_CREST, 2, 1.1, NAN);
  return p;
}

static double
between (GRand *rand, double least, double most)
{
  return g_rand_double_range (rand, least, most);
}

static void
random_hardware (SlProfile *p, GRand *rand)
{
  p->headstock.given = TRUE;
  p->headstock.tilt = sl_number (between (rand, 0, 22));
  p->headstock.string_rise = sl_number (between (rand, 0, 8));
  for (int i = 0; i < p->n_strings; i++)
    if (g_rand_int_range (rand, 0, 3) > 0)
      p->headstock.posts[p->headstock.n_posts++] =
          (SlPost){ i + 1, sl_number (between (rand, 20, 160)), sl_number (between (rand, -20, 20)),
                    sl_number (between (rand, 1, 6)) };
  p->bridge.given = TRUE;
  p->bridge.kind = (SlBridgeKind) g_rand_int_range (rand, SL_BRIDGE_DEFAULT, SL_BRIDGE_CONE + 1);
  if (g_rand_boolean (rand))
    p->bridge.anchors[p->bridge.n_anchors++] = (SlAnchor){
      1,
      sl_number (
          between (rand, 4, p->bridge.kind == SL_BRIDGE_TAILPIECE || p->bridge.kind == SL_BRIDGE_FLOATING ? 140 : 16)),
      sl_number (between (rand, -2, 8))
    };
  p->saddle.given = TRUE;
  p->saddle.thickness = sl_number (between (rand, 1.5, 6));
  p->saddle.lean = sl_number (between (rand, -5, 12));
  if (g_rand_int_range (rand, 0, 4) == 0)
    p->saddle.height_screw_pitch = sl_number (0.5);
  p->saddle.adjust = (SlSaddleAdjust) g_rand_int_range (rand, SL_ADJUST_DEFAULT, SL_N_ADJUSTS);
  if (p->saddle.adjust == SL_ADJUST_WHEELS)
    p->bridge.kind = SL_BRIDGE_FLOATING;
  if (p->bridge.kind == SL_BRIDGE_TREMOLO)
    p->bridge.balance = (SlBalance) g_rand_int_range (rand, SL_BALANCE_DEFAULT, SL_BALANCE_BLOCKED + 1);
  p->nut.kind = (SlNutKind) g_rand_int_range (rand, SL_NUT_DEFAULT, SL_NUT_ZERO_FRET + 1);
  p->neck.rod = (SlRod) g_rand_int_range (rand, SL_ROD_DEFAULT, SL_ROD_NONE + 1);
}

static void
random_readings (SlReadingSet *set, int n, GRand *rand)
{
  put (set, SL_READ_RELIEF, 1, 7, between (rand, -0.1, 0.6));
  put (set, SL_READ_FIRST_GAP, n, 1, between (rand, 0.2, 1.2));
  put (set, SL_READ_ACTION, 1, 12, between (rand, 0.8, 5));
  if (n > 1)
    put (set, SL_READ_ACTION, n, 12, between (rand, 0.8, 6));
  if (g_rand_boolean (rand))
    put (set, SL_READ_EXPOSURE, n, 0, between (rand, 1, 9));
  if (g_rand_boolean (rand))
    put (set, SL_READ_SETBACK, n, 0, between (rand, -2, 6));
  if (g_rand_boolean (rand))
    put (set, SL_READ_CROWN_GAP, 0, g_rand_int_range (rand, 1, 12), between (rand, 0, 0.2));
}

SlProfile *
sample_random (GRand *rand)
{
  SlProfile *p = sl_profile_new ();

  p->id = g_strdup ("e2f2b9f4-0a43-4e0c-8d53-94a0f5f9a1b8");
  p->identity.label = g_strdup ("Random");
  p->neck.scale_length = sl_number (between (rand, 330, 864));
  p->neck.frets = g_rand_int_range (rand, 12, 27);
  p->neck.joint_fret = g_rand_int_range (rand, 12, MIN (p->neck.frets, 20) + 1);
  set_strings (p, g_rand_int_range (rand, 1, 13));
  p->hand = g_rand_int_range (rand, 0, 4) == 0 ? SL_HAND_LEFT : SL_HAND_DEFAULT;
  if (g_rand_int_range (rand, 0, 4) > 0)
    random_hardware (p, rand);
  if (g_rand_int_range (rand, 0, 8) == 0)
    return p;
  random_readings (sl_visit_last_set (add_visit (p)), p->n_strings, rand);
  if (g_rand_int_range (rand, 0, 4) == 0)
    return p;
  plan_perhaps (p, rand, SL_OP_LEVEL_FRETS, 0, between (rand, 0, 0.2), NAN);
  plan_perhaps (p, rand, SL_OP_TURN_ROD, 0, between (rand, -0.4, 0.3), NAN);
  plan_perhaps (p, rand, SL_OP_LOWER_SLOT, p->n_strings, between (rand, 0, 0.5), NAN);
  plan_perhaps (p, rand, SL_OP_CUT_SADDLE_BASE, 0, between (rand, 0, 2.5), between (rand, 0, 2.5));
  plan_perhaps (p, rand, SL_OP_MOVE_SADDLE, 0, between (rand, -2, 2), between (rand, -2, 2));
  plan_perhaps (p, rand, SL_OP_SHIFT_BRIDGE, 0, between (rand, -2, 2), between (rand, -2, 2));
  plan_perhaps (p, rand, SL_OP_SET_NECK_ANGLE, 0, between (rand, 0, 2), NAN);
  plan_perhaps (p, rand, SL_OP_SHAPE_CREST, g_rand_int_range (rand, 1, p->n_strings + 1), between (rand, 0, 0.5), NAN);
  plan_perhaps (p, rand, SL_OP_MOVE_CREST, p->n_strings, between (rand, -2, 2), NAN);
  return p;
}

SlAnalysis *
sample_analyse (const SlProfile *profile)
{
  SlAnalysis *analysis = g_new0 (SlAnalysis, 1);

  sl_analyse_last (profile, &SL_SHOP_DEFAULT, analysis);
  return analysis;
}

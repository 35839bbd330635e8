/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ranges and sense: what a profile may not say, and that real instruments of every sort are let in. */
#include <math.h>
#include <string.h>

#include "setup/profile/bounds.h"
#include "setup/profile/moment.h"
#include "support.h"

static void
test_complaint (void)
{
  const SlBound *action = sl_bound_find ("action", "gap");
  g_assert_nonnull (action);
  g_assert_null (sl_bound_complaint (action, action->least));
  g_assert_null (sl_bound_complaint (action, action->most));
  g_autofree char *large = sl_bound_complaint (action, 250);
  g_assert_cmpstr (large, ==, "action gap 250 mm is outside −5 to 30 mm");
  g_autofree char *none = sl_bound_complaint (action, NAN);
  g_assert_nonnull (strstr (none, "−5 to 30 mm"));
  g_autofree char *infinite = sl_bound_complaint (action, INFINITY);
  g_assert_nonnull (strstr (infinite, "INF"));
  g_assert_null (sl_bound_find ("action", "colour"));
  g_autofree char *range = sl_bound_range (action);
  g_assert_cmpstr (range, ==, "−5 to 30 mm");
}

/* Each unit as it is told behind a range; numbers without one. */
static void
test_units (void)
{
  static const struct
  {
    const char *element, *attribute, *range;
  } rows[] = { { "neck", "frets", "12 to 36" },
               { "headstock", "tilt", "−10 to 45°" },
               { "string", "frequency", "8 to 5000 Hz" },
               { "string", "unit-mass", "0.01 to 500 g/m" },
               { "string", "axial-stiffness", "10 to 1000000 N" },
               { "string", "bending-stiffness", "0 to 1000000 N mm²" },
               { "readings", "temperature", "−40 to 60 °C" },
               { "readings", "humidity", "0 to 100 % RH" },
               { "pitch", "cents", "−100 to 100 cents" },
               { "turn-rod", "turns", "−20 to 20 turns" },
               { "charge", "minutes", "0 to 100000 minutes" } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autofree char *range = sl_bound_range (sl_bound_find (rows[i].element, rows[i].attribute));

      g_assert_cmpstr (range, ==, rows[i].range);
    }
}

static void
test_table_is_sound (void)
{
  for (const SlBound *bound = sl_bounds; bound->element != NULL; bound++)
    {
      g_assert_true (isfinite (bound->least) && isfinite (bound->most));
      g_assert_cmpfloat (bound->least, <, bound->most);
      g_assert_true (sl_bound_find (bound->element, bound->attribute) == bound);
    }
  for (int kind = 0; kind < SL_N_READINGS; kind++)
    {
      const SlBound *bound = &sl_readings[kind].bound;

      g_assert_cmpfloat (bound->least, <, bound->most);
      g_assert_true (sl_bound_find (bound->element, bound->attribute) == bound);
    }
  for (int kind = 0; kind < SL_N_OPS; kind++)
    {
      const SlBound *bound = &sl_operations[kind].bound;

      if (kind == SL_OP_BENCH_STEP || kind == SL_OP_MAKE_NUT || kind == SL_OP_FIT_STRINGS) /* these have no amount */
        continue;
      g_assert_cmpfloat (bound->least, <, bound->most);
      g_assert_true (sl_bound_find (bound->element, bound->attribute) == bound);
    }
  g_assert_cmpstr (sl_bound_find ("cut-saddle-base", "treble")->attribute, ==, "treble");
  g_assert_null (sl_operations[SL_OP_MOVE_CREST].treble.element);
}

/* Dates as ISO 8601 writes them in full. */
static void
test_dates (void)
{
  static const char *const good[] = {
    "2026-03-02",
    "2024-02-29",
    "2026-03-02T10:00",
    "2026-03-02T10:00:00",
    "2026-03-02T10:00:00Z",
    "2026-03-02T10:00:00.25+01:00",
    "2026-03-02T10:00:00,5Z",
    "2026-03-02T23:59:60Z",
    "2026-03-02T24:00:00Z",
    "2026-03-02T10:00-05",
  };
  static const char *const bad[] = {
    "",
    "2026",
    "2026-03",
    "2026-13-01",
    "2026-02-29",
    "2026-03-00",
    "2026-03-32",
    "20260302",
    "2026-3-2",
    "02.03.2026",
    "2026-03-02 10:00",
    "2026-03-02T",
    "2026-03-02T25:00",
    "2026-03-02T10",
    "2026-03-02T10:60",
    "2026-03-02T10:00:61",
    "2026-03-02T10:00:00.Z",
    "2026-03-02T24:00:01Z",
    "2026-03-02T10:00:00+25:00",
    "2026-03-02T10:00:00Zx",
    "2026-03-02x",
    "0000-01-01",
    "yesterday",
  };
  for (gsize i = 0; i < G_N_ELEMENTS (good); i++)
    {
      g_test_message ("%s", good[i]);
      g_assert_true (sl_is_iso8601 (good[i]));
    }
  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      g_test_message ("%s", bad[i]);
      g_assert_false (sl_is_iso8601 (bad[i]));
    }
}

/* One sound profile with a visit, a reading set and a plan to spoil. */
static SlProfile *
sound_profile (void)
{
  SlProfile *profile = test_plain_profile ();
  if (profile->id == NULL)
    profile->id = g_strdup ("11111111-2222-4333-8444-555555555555");
  if (profile->identity.label == NULL)
    profile->identity.label = g_strdup ("Slipway parlour");
  SlVisit visit = sl_visit_init ();
  visit.id = g_strdup ("v1");
  visit.opened = g_strdup ("2026-03-02");
  SlReadingSet set = sl_reading_set_init ();
  set.id = g_strdup ("r1");
  set.taken = g_strdup ("2026-03-02T10:00:00Z");
  g_array_append_val (visit.sets, set);
  g_array_set_size (profile->visits, 0);
  g_array_append_val (profile->visits, visit);
  return profile;
}

static SlReadingSet *
set_of (SlProfile *profile)
{
  return sl_visit_last_set (sl_profile_last_visit (profile));
}

/* Exactly one fault, with @part in its words, pinned to @where. */
static void
assert_fault (const SlProfile *profile, const void *where, const char *part)
{
  g_autoptr (GPtrArray) faults = sl_profile_check (profile);
  for (guint i = 0; i < faults->len; i++)
    g_test_message ("%s", ((SlFault *) faults->pdata[i])->message);
  g_assert_cmpuint (faults->len, ==, 1);
  const SlFault *fault = faults->pdata[0];
  g_assert_nonnull (strstr (fault->message, part));
  g_assert_true (fault->where == where);
}

static void
assert_sound (const SlProfile *profile)
{
  g_autoptr (GPtrArray) faults = sl_profile_check (profile);
  for (guint i = 0; i < faults->len; i++)
    g_test_message ("%s", ((SlFault *) faults->pdata[i])->message);
  g_assert_cmpuint (faults->len, ==, 0);
}

static SlReading *
add_reading (SlProfile *profile, SlReadingKind kind, int string, int fret, SlHeld held, double value)
{
  SlReading r = sl_reading_init (kind);
  r.string = string;
  r.fret = fret;
  r.held = held;
  r.value = sl_number (value);
  g_array_append_val (set_of (profile)->readings, r);
  return &g_array_index (set_of (profile)->readings, SlReading, set_of (profile)->readings->len - 1);
}

static void
test_reading_places (void)
{
  static const struct
  {
    SlReadingKind kind;
    int string, fret;
    SlHeld held;
    double value;
    const char *fault; /* NULL: sound. The plain profile has 6 strings, 20 frets, joined at 14. */
  } cases[] = {
    { SL_READ_RELIEF, 1, 2, SL_HELD_DEFAULT, 0.2, NULL },
    { SL_READ_RELIEF, 1, 13, SL_HELD_DEFAULT, 0.2, NULL },
    { SL_READ_RELIEF, 1, 1, SL_HELD_DEFAULT, 0.2, "fret 1" },
    { SL_READ_RELIEF, 1, 14, SL_HELD_DEFAULT, 0.2, "2 to 13" },
    { SL_READ_RELIEF, 7, 7, SL_HELD_DEFAULT, 0.2, "1 to 6" },
    { SL_READ_RELIEF, 1, 7, SL_HELD_1, 0.2, "held" },
    { SL_READ_RELIEF, 1, 7, SL_HELD_DEFAULT, 11, "−5 to 10 mm" },
    { SL_READ_FIRST_GAP, 1, 1, SL_HELD_3, 0.2, NULL },
    { SL_READ_FIRST_GAP, 1, 1, SL_HELD_1, 0.2, "held" },
    { SL_READ_FIRST_GAP, 0, 1, SL_HELD_DEFAULT, 0.2, "1 to 6" },
    { SL_READ_ACTION, 1, 1, SL_HELD_DEFAULT, 0.4, NULL },
    { SL_READ_ACTION, 1, 20, SL_HELD_1, 3, NULL },
    { SL_READ_ACTION, 1, 1, SL_HELD_1, 0.4, "2 to 20" },
    { SL_READ_ACTION, 1, 21, SL_HELD_DEFAULT, 3, "1 to 20" },
    { SL_READ_ACTION, 1, 12, SL_HELD_3, 3, "held" },
    { SL_READ_ACTION, 1, 12, SL_HELD_DEFAULT, 250, "250 mm is outside −5 to 30 mm" },
    { SL_READ_PITCH, 1, 0, SL_HELD_DEFAULT, 3.5, NULL }, /* the open string */
    { SL_READ_PITCH, 1, 20, SL_HELD_DEFAULT, -3.5, NULL },
    { SL_READ_PITCH, 1, -1, SL_HELD_DEFAULT, 3.5, "0 to 20" },
    { SL_READ_PITCH, 1, 21, SL_HELD_DEFAULT, 3.5, "0 to 20" },
    { SL_READ_PITCH, 1, 0, SL_HELD_DEFAULT, 101, "100 to 100 cents" },
    { SL_READ_CROWN_GAP, 0, 20, SL_HELD_DEFAULT, 1.0, NULL },
    { SL_READ_CROWN_GAP, 0, 0, SL_HELD_DEFAULT, 0.1, "1 to 20" },
    { SL_READ_CROWN_GAP, 0, 3, SL_HELD_DEFAULT, 1.2, "larger than the crown" }, /* crowns are 1.10 by default */
    { SL_READ_CROWN_GAP, 0, 3, SL_HELD_DEFAULT, 3.5, "0 to 3 mm" },
    { SL_READ_CROWN_HEIGHT, 0, 3, SL_HELD_DEFAULT, 0.9, NULL },
    { SL_READ_PITCH, 2, 12, SL_HELD_DEFAULT, -7, NULL },
    { SL_READ_TONGUE, 0, 0, SL_HELD_DEFAULT, 0.1, NULL },
    { SL_READ_EXPOSURE, 6, 0, SL_HELD_DEFAULT, -0.1, "0 to 60 mm" },
    { SL_READ_SETBACK, 6, 0, SL_HELD_DEFAULT, 41, "−40 to 40 mm" },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (SlProfile) profile = sound_profile ();
      const SlReading *r =
          add_reading (profile, cases[i].kind, cases[i].string, cases[i].fret, cases[i].held, cases[i].value);
      g_test_message ("case %" G_GSIZE_FORMAT, i);
      if (cases[i].fault == NULL)
        assert_sound (profile);
      else
        assert_fault (profile, r, cases[i].fault);
    }
}

/* Reading the same place twice is how a careful person finds a slip. */
static void
test_repeats_are_allowed (void)
{
  g_autoptr (SlProfile) profile = sound_profile ();
  for (int i = 0; i < 3; i++)
    add_reading (profile, SL_READ_ACTION, 1, 12, SL_HELD_DEFAULT, 2.4);
  assert_sound (profile);
}

static void
test_strings (void)
{
  g_autoptr (SlProfile) profile = sound_profile ();
  SlString *string = &profile->strings[2];
  string->build = SL_BUILD_WOUND;
  string->wrap = SL_WRAP_NONE;
  string->wrap_diameter = sl_number (0.2);
  assert_fault (profile, string, "no wrap");
  string->wrap = SL_WRAP_BRASS;
  string->wrap_diameter = SL_NUMBER_ABSENT;
  assert_fault (profile, string, "no wrap-diameter");
  string->wrap_diameter = sl_number (0.2);
  assert_sound (profile);
  g_free (string->note);
  string->note = g_strdup ("H9");
  assert_fault (profile, string, "H9");
  g_clear_pointer (&string->note, g_free);
  string->frequency = SL_NUMBER_ABSENT;
  assert_fault (profile, string, "neither a note nor a frequency");
  string->frequency = sl_number (196);
  assert_sound (profile);
  string->core_diameter = sl_number (11);
  assert_fault (profile, string, "0.05 to 10 mm");
}

static void
test_neck (void)
{
  g_autoptr (SlProfile) profile = sound_profile ();
  SlNeck *neck = &profile->neck;
  neck->joint_fret = 21;
  assert_fault (profile, neck, "5 to 20");
  neck->joint_fret = 20;
  assert_sound (profile);
  neck->frets = 37;
  assert_fault (profile, neck, "12 to 36");
  neck->frets = 20;
  neck->scale_length = sl_number (99);
  assert_fault (profile, neck, "99 mm is outside 100 to 2000 mm");
  neck->scale_length = sl_number (632);
  /* An arc narrower than the strings on it has no height to compute with. */
  profile->bridge.spread = sl_number (120);
  neck->board_radius_end = sl_number (60);
  assert_fault (profile, neck, "half the width");
}

static void
test_posts_and_anchors (void)
{
  g_autoptr (SlProfile) profile = sound_profile ();
  profile->headstock.n_posts = 2;
  profile->headstock.posts[0] = (SlPost){ 1, sl_number (60), sl_number (0), sl_number (3) };
  profile->headstock.posts[1] = (SlPost){ 1, sl_number (60), sl_number (0), sl_number (3) };
  assert_fault (profile, &profile->headstock.posts[1], "more than one post");
  profile->headstock.posts[1].string = 9;
  assert_fault (profile, &profile->headstock.posts[1], "1 to 6");
  profile->headstock.n_posts = 0;
  profile->bridge.n_anchors = 2;
  profile->bridge.anchors[0] = (SlAnchor){ 6, sl_number (9), sl_number (1) };
  profile->bridge.anchors[1] = (SlAnchor){ 6, sl_number (9), sl_number (1) };
  assert_fault (profile, &profile->bridge.anchors[1], "more than one anchor");
}

static void
add_tool (SlProfile *profile, SlToolKind measures, SlNumber resolution, SlNumber error_limit)
{
  SlTool tool = { measures, resolution, error_limit };
  g_array_append_val (set_of (profile)->tools, tool);
}

static void
test_tools (void)
{
  g_autoptr (SlProfile) profile = sound_profile ();
  add_tool (profile, SL_TOOL_ACTION, sl_number (0), sl_number (0.05));
  add_tool (profile, SL_TOOL_RELIEF, sl_number (0.02), SL_NUMBER_ABSENT);
  assert_sound (profile);
  add_tool (profile, SL_TOOL_ACTION, sl_number (0.1), SL_NUMBER_ABSENT);
  assert_fault (profile, &g_array_index (set_of (profile)->tools, SlTool, 2), "more than one tool");
  g_array_set_size (set_of (profile)->tools, 0);
  /* Nothing reads exactly: such a reading would outweigh all others without limit. */
  add_tool (profile, SL_TOOL_ACTION, sl_number (0), SL_NUMBER_ABSENT);
  assert_fault (profile, &g_array_index (set_of (profile)->tools, SlTool, 0), "no tool reads exactly");
  g_array_index (set_of (profile)->tools, SlTool, 0).resolution = sl_number (1e-300);
  assert_fault (profile, &g_array_index (set_of (profile)->tools, SlTool, 0), "no tool reads exactly");
}

static void
test_plan (void)
{
  g_autoptr (SlProfile) profile = sound_profile ();
  SlVisit *visit = sl_profile_last_visit (profile);
  SlOperation shape = sl_operation_init (SL_OP_SHAPE_CREST);
  shape.string = 1;
  shape.amount = sl_number (-0.2);
  g_array_append_val (visit->plan, shape);
  SlOperation *operation = &g_array_index (visit->plan, SlOperation, 0);
  /* Material does not go back on; a height screw turns both ways. */
  assert_fault (profile, operation, "height-screw-pitch");
  profile->saddle.height_screw_pitch = sl_number (0.5);
  assert_sound (profile);
  operation->string = 7;
  assert_fault (profile, operation, "1 to 6");
  operation->string = 1;
  operation->amount = SL_NUMBER_ABSENT;
  assert_fault (profile, operation, "no by");
  operation->amount = sl_number (0.2);
  operation->done = g_strdup ("soon");
  assert_fault (profile, operation, "soon");
}

static void
test_ids_and_dates (void)
{
  g_autoptr (SlProfile) profile = sound_profile ();
  SlVisit again = sl_visit_init ();
  again.id = g_strdup ("v1");
  again.opened = g_strdup ("2026-04-01");
  g_array_append_val (profile->visits, again);
  SlVisit *second = sl_profile_last_visit (profile);
  assert_fault (profile, second, "more than once");
  second->id[1] = '2';
  assert_sound (profile);
  second->closed = g_strdup ("2026-03-31");
  assert_fault (profile, second, "before");
  second->closed[6] = '5';
  assert_sound (profile);
  /* one moment in two zones lies on two days: 01:00 in +11:00 is 14:00 UTC of the day before */
  g_free (second->opened);
  g_free (second->closed);
  second->opened = g_strdup ("2026-03-03T01:00:00+11:00");
  second->closed = g_strdup ("2026-03-02T23:00:00Z");
  assert_sound (profile);
  g_free (second->closed);
  second->closed = g_strdup ("2026-03-02T13:00:00Z");
  assert_fault (profile, second, "before");
  g_clear_pointer (&second->closed, g_free);
  g_free (profile->id);
  profile->id = g_strdup ("no uuid");
  assert_fault (profile, profile, "UUID");
}

/* Instruments people play, sizes by common practice. */
static void
test_real_instruments (void)
{
  static const struct
  {
    const char *what;
    double scale, first_core, last_core, spread;
    int frets, joint, strings;
    const char *low, *high;
  } cases[] = {
    { "soprano ukulele", 345, 0.6, 0.8, 40, 12, 12, 4, "C4", "A4" },
    { "mandolin", 352, 0.25, 0.6, 38, 20, 15, 8, "G3", "E5" },
    { "baritone", 760, 0.35, 1.0, 55, 22, 14, 6, "B1", "B3" },
    { "five-string bass", 889, 0.4, 1.2, 76, 24, 17, 5, "B0", "G2" },
    { "twelve-string", 645, 0.25, 0.6, 58, 20, 14, 12, "E2", "E4" },
    { "lute", 600, 0.4, 1.4, 120, 12, 8, 11, "C2", "G4" },
    { "long-necked saz", 880, 0.2, 0.5, 30, 23, 17, 7, "A2", "A3" },
    { "extended board", 686, 0.23, 0.6, 80, 36, 24, 8, "F#1", "E4" },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (SlProfile) profile = sound_profile ();
      g_test_message ("%s", cases[i].what);
      profile->neck = (SlNeck){ sl_number (cases[i].scale), SL_NUMBER_ABSENT, cases[i].frets,  cases[i].joint, 0,
                                SL_NUMBER_ABSENT,           SL_NUMBER_ABSENT, SL_NUMBER_ABSENT };
      profile->bridge.spread = sl_number (cases[i].spread);
      for (int s = 0; s < SL_MAX_STRINGS; s++)
        {
          g_free (profile->strings[s].note);
          profile->strings[s] = (SlString){ .axial_stiffness = SL_NUMBER_ABSENT,
                                            .bending_stiffness = SL_NUMBER_ABSENT,
                                            .frequency = SL_NUMBER_ABSENT,
                                            .wrap_diameter = SL_NUMBER_ABSENT,
                                            .unit_mass = SL_NUMBER_ABSENT };
        }
      profile->n_strings = cases[i].strings;
      for (int s = 0; s < cases[i].strings; s++)
        {
          profile->strings[s].note = g_strdup (s == cases[i].strings - 1 ? cases[i].low : cases[i].high);
          profile->strings[s].core_diameter =
              sl_number (s == cases[i].strings - 1 ? cases[i].last_core : cases[i].first_core);
        }
      assert_sound (profile);
    }
}

/* A set that would keep the search for disagreeing readings busy for minutes is refused; one far larger than an
 * instrument needs is not. */
static void
test_amounts (void)
{
  g_autoptr (SlProfile) profile = sound_profile ();
  SlReadingSet *set = set_of (profile);

  while (set->readings->len < 1000)
    add_reading (profile, SL_READ_ACTION, 1, 12, SL_HELD_OPEN, 2);
  assert_sound (profile);
  add_reading (profile, SL_READ_ACTION, 1, 12, SL_HELD_OPEN, 2);
  assert_fault (profile, set, "readings: 1001 of “reading”; at most 1000");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/bounds/complaint", test_complaint);
  g_test_add_func ("/bounds/units", test_units);
  g_test_add_func ("/bounds/table-is-sound", test_table_is_sound);
  g_test_add_func ("/bounds/dates", test_dates);
  g_test_add_func ("/bounds/reading-places", test_reading_places);
  g_test_add_func ("/bounds/repeats-are-allowed", test_repeats_are_allowed);
  g_test_add_func ("/bounds/strings", test_strings);
  g_test_add_func ("/bounds/neck", test_neck);
  g_test_add_func ("/bounds/posts-and-anchors", test_posts_and_anchors);
  g_test_add_func ("/bounds/tools", test_tools);
  g_test_add_func ("/bounds/plan", test_plan);
  g_test_add_func ("/bounds/ids-and-dates", test_ids_and_dates);
  g_test_add_func ("/bounds/real-instruments", test_real_instruments);
  g_test_add_func ("/bounds/amounts", test_amounts);
  return g_test_run ();
}

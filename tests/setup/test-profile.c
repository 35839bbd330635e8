/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The profile as plain structs: copies that share nothing, readings put in their place. */
#include <string.h>

#include "setup/profile/profile.h"

static void
test_new_is_absent (void)
{
  g_autoptr (SlProfile) profile = sl_profile_new ();
  g_assert_false (sl_number_is_set (profile->neck.scale_length));
  g_assert_false (sl_number_is_set (profile->neck.board_radius_end));
  g_assert_false (sl_number_is_set (profile->fretwire.least_height));
  g_assert_false (sl_number_is_set (profile->headstock.string_rise));
  g_assert_false (sl_number_is_set (profile->headstock.posts[11].wrap_height));
  g_assert_false (sl_number_is_set (profile->nut.friction));
  g_assert_false (sl_number_is_set (profile->bridge.anchors[11].drop));
  g_assert_false (sl_number_is_set (profile->saddle.length_screw_pitch));
  g_assert_false (sl_number_is_set (profile->strings[11].unit_mass));
  g_assert_false (sl_number_is_set (profile->player.upright_share));
  g_assert_false (sl_number_is_set (profile->targets.first_gap_tolerance));
  g_assert_null (sl_profile_last_visit (profile));
  g_assert_null (sl_visit_last_set (NULL));
}

static SlProfile *
full_profile (void)
{
  SlProfile *profile = sl_profile_new ();
  profile->id = g_strdup ("an id");
  profile->baseline = g_strdup ("a baseline");
  profile->identity.label = g_strdup ("Slipway parlour");
  profile->identity.note = g_strdup ("a note");
  profile->n_strings = 2;
  profile->strings[0].note = g_strdup ("E4");
  profile->strings[1].note = g_strdup ("B3");
  SlVisit visit = sl_visit_init ();
  visit.id = g_strdup ("v1");
  visit.opened = g_strdup ("2026-03-02");
  visit.closed = g_strdup ("2026-03-09");
  visit.note = g_strdup ("buzzes");
  SlReadingSet set = sl_reading_set_init ();
  set.id = g_strdup ("r1");
  set.taken = g_strdup ("2026-03-02");
  SlTool tool = { SL_TOOL_ACTION, sl_number (0.1), SL_NUMBER_ABSENT };
  g_array_append_val (set.tools, tool);
  SlReading reading = sl_reading_init (SL_READ_ACTION);
  reading.value = sl_number (2.4);
  g_array_append_val (set.readings, reading);
  g_array_append_val (visit.sets, set);
  SlOperation operation = sl_operation_init (SL_OP_TURN_ROD);
  operation.done = g_strdup ("2026-03-03");
  g_array_append_val (visit.plan, operation);
  SlCheck check = { g_strdup ("Frets"), SL_CHECK_SOUND, g_strdup ("level") };
  g_array_append_val (visit.checks, check);
  SlCharge charge = { g_strdup ("Set-up"), sl_number (60), sl_number (45), g_strdup ("EUR") };
  g_array_append_val (visit.charges, charge);
  g_array_append_val (profile->visits, visit);
  return profile;
}

/* Under the address sanitizer this also shows that nothing is freed twice or leaked. */
static void
test_copy_shares_nothing (void)
{
  SlProfile *profile = full_profile ();
  g_autoptr (SlProfile) copy = sl_profile_copy (profile);
  g_autoptr (SlProfile) second = sl_profile_copy (copy);
  profile->identity.label[0] = 'X';
  profile->strings[1].note[0] = 'X';
  sl_profile_last_visit (profile)->note[0] = 'X';
  g_array_index (sl_visit_last_set (sl_profile_last_visit (profile))->readings, SlReading, 0).value.v = 9;
  sl_profile_free (profile);
  g_assert_cmpstr (copy->identity.label, ==, "Slipway parlour");
  g_assert_cmpstr (copy->strings[1].note, ==, "B3");
  const SlVisit *visit = sl_profile_last_visit (copy);
  g_assert_cmpstr (visit->note, ==, "buzzes");
  g_assert_cmpstr (g_array_index (visit->plan, SlOperation, 0).done, ==, "2026-03-03");
  g_assert_cmpstr (g_array_index (visit->checks, SlCheck, 0).note, ==, "level");
  g_assert_cmpstr (g_array_index (visit->charges, SlCharge, 0).currency, ==, "EUR");
  const SlReadingSet *set = sl_visit_last_set (visit);
  g_assert_cmpstr (set->taken, ==, "2026-03-02");
  g_assert_cmpfloat (g_array_index (set->readings, SlReading, 0).value.v, ==, 2.4);
  g_assert_cmpuint (set->tools->len, ==, 1);
}

static SlReading
reading (SlReadingKind kind, int string, int fret, SlHeld held, double value)
{
  SlReading r = sl_reading_init (kind);
  r.string = string;
  r.fret = fret;
  r.held = held;
  r.value = sl_number (value);
  return r;
}

static void
test_put (void)
{
  SlReadingSet set = sl_reading_set_init ();
  sl_reading_set_put (&set, reading (SL_READ_ACTION, 1, 12, SL_HELD_DEFAULT, 2.4));
  sl_reading_set_put (&set, reading (SL_READ_RELIEF, 1, 7, SL_HELD_DEFAULT, 0.2));
  sl_reading_set_put (&set, reading (SL_READ_PITCH, 1, 12, SL_HELD_DEFAULT, 3));
  sl_reading_set_put (&set, reading (SL_READ_ACTION, 6, 12, SL_HELD_DEFAULT, 2.8));
  sl_reading_set_put (&set, reading (SL_READ_RELIEF, 6, 7, SL_HELD_DEFAULT, 0.3));
  static const SlReadingKind kinds[] = { SL_READ_RELIEF, SL_READ_RELIEF, SL_READ_ACTION, SL_READ_ACTION,
                                         SL_READ_PITCH };
  static const int strings[] = { 1, 6, 1, 6, 1 };
  g_assert_cmpuint (set.readings->len, ==, G_N_ELEMENTS (kinds));
  for (guint i = 0; i < set.readings->len; i++)
    {
      g_assert_cmpint (g_array_index (set.readings, SlReading, i).kind, ==, kinds[i]);
      g_assert_cmpint (g_array_index (set.readings, SlReading, i).string, ==, strings[i]);
    }
  /* The same question, open said or not, is answered anew; held at 1 is another question. */
  sl_reading_set_put (&set, reading (SL_READ_ACTION, 1, 12, SL_HELD_OPEN, 2.2));
  g_assert_cmpuint (set.readings->len, ==, 5);
  g_assert_cmpfloat (sl_reading_set_find (&set, SL_READ_ACTION, 1, 12, SL_HELD_DEFAULT)->value.v, ==, 2.2);
  g_assert_null (sl_reading_set_find (&set, SL_READ_ACTION, 1, 12, SL_HELD_1));
  sl_reading_set_put (&set, reading (SL_READ_ACTION, 1, 12, SL_HELD_1, 2.0));
  g_assert_cmpuint (set.readings->len, ==, 6);
  g_assert_cmpint (g_array_index (set.readings, SlReading, 4).held, ==, SL_HELD_1);
  g_clear_pointer (&set.tools, g_array_unref);
  g_clear_pointer (&set.readings, g_array_unref);
}

/* Every enum value has its spelling: a value added without one would be written as nothing. */
static void
test_names (void)
{
  g_assert_cmpuint (g_strv_length ((GStrv) sl_core_names), ==, SL_N_CORES);
  g_assert_cmpuint (g_strv_length ((GStrv) sl_wrap_names), ==, SL_N_WRAPS);
  g_assert_cmpuint (g_strv_length ((GStrv) sl_tool_names), ==, SL_N_TOOLS);
  g_assert_cmpstr (sl_bridge_kind_names[SL_BRIDGE_FLOATING], ==, "floating");
  g_assert_cmpstr (sl_held_names[SL_HELD_3], ==, "3");
  g_assert_cmpstr (sl_use_names[SL_USE_NEVER], ==, "never");
  g_assert_cmpstr (sl_stage_names[SL_STAGE_FINAL], ==, "final");
  g_assert_cmpstr (sl_check_state_names[SL_CHECK_NOT_APPLICABLE], ==, "not-applicable");
  g_assert_cmpstr (sl_pluck_direction_names[SL_PLUCK_EITHER], ==, "either");
  g_assert_cmpstr (sl_stiff_ends_names[SL_STIFF_ENDS_BOTH], ==, "both");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/profile/new-is-absent", test_new_is_absent);
  g_test_add_func ("/profile/copy-shares-nothing", test_copy_shares_nothing);
  g_test_add_func ("/profile/put", test_put);
  g_test_add_func ("/profile/names", test_names);
  return g_test_run ();
}

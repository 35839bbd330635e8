/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A visit's two ends, what lies between them, and thicknesses in words. A bank card is 0.76 mm thick: ISO/IEC 7810. */
#include "words/explain.h"

#include <locale.h>
#include <math.h>
#include <string.h>

static void
check_words (double before, double after, const char *wanted)
{
  g_autofree char *words = sl_thickness_words (before, after);

  g_assert_cmpstr (words, ==, wanted);
}

static void
test_thickness (void)
{
  check_words (3.2, 2.3, "from about four bank cards to three"); /* 4.2 and 3.0 cards */
  check_words (NAN, 2.3, "about three bank cards");
  check_words (2.3, 2.3, "still about three bank cards");
  check_words (0.549, 0.551, "still about six sheets of paper");
  check_words (1.5, 0.8, "from about two bank cards to one");
  check_words (0.74, 0.5, "from about seven sheets of paper to five");
  check_words (0.3, 0.0, "from about three sheets of paper to next to nothing");
  check_words (0.0, 0.2, "from next to nothing to about two sheets of paper");
  check_words (0.3, -0.2, NULL); /* nothing is that thick */
}

static SlProfile *
sample (gboolean final)
{
  SlProfile *profile = sl_profile_new ();
  SlVisit visit = sl_visit_init ();

  profile->identity.label = g_strdup ("Slip parlour");
  profile->neck.scale_length = sl_number (640);
  profile->neck.frets = 20;
  profile->neck.joint_fret = 14;
  profile->n_strings = 1;
  profile->strings[0] = (SlString){ .axial_stiffness = SL_NUMBER_ABSENT,
                                    .bending_stiffness = SL_NUMBER_ABSENT,
                                    .frequency = sl_number (110),
                                    .core = SL_CORE_STEEL,
                                    .core_diameter = sl_number (0.4),
                                    .wrap_diameter = SL_NUMBER_ABSENT,
                                    .unit_mass = SL_NUMBER_ABSENT };
  visit.id = g_strdup ("v1");
  visit.opened = g_strdup ("2026-03-02");
  for (int i = 0; i <= final; i++)
    {
      SlReadingSet set = sl_reading_set_init ();
      SlReading action = sl_reading_init (SL_READ_ACTION);

      set.id = g_strdup_printf ("r%d", i);
      set.stage = i ? SL_STAGE_FINAL : SL_STAGE_RECEIVED;
      set.taken = g_strdup (i ? "2026-03-03T10:00:00Z" : "2026-03-02T10:00:00Z");
      action.string = 1;
      action.fret = 12;
      action.value = sl_number (i ? 2.0 : 3.0);
      sl_reading_set_put (&set, action);
      g_array_append_val (visit.sets, set);
    }
  g_array_append_val (profile->visits, visit);
  return profile;
}

static void
test_ends (void)
{
  for (int final = 0; final <= 1; final++)
    {
      g_autoptr (SlProfile) profile = sample (final);
      SlOutcome outcome;

      sl_outcome_init (&outcome, profile, NULL, &SL_SHOP_DEFAULT);
      g_assert_cmpint (outcome.as_planned, ==, !final);
      g_assert_nonnull (outcome.first);
      g_assert_cmpstr (sl_outcome_date (&outcome), ==, final ? "2026-03-03T10:00:00Z" : "2026-03-02T10:00:00Z");
      g_assert_cmpfloat_with_epsilon (outcome.before_figures->action[0][12].value, 3.0, 0.02);
      g_assert_cmpfloat_with_epsilon (outcome.after_figures->action[0][12].value, final ? 2.0 : 3.0, 0.02);
      sl_outcome_clear (&outcome);
    }
}

/* The way from before to after is straight: at its middle every height is the mean of its ends. */
static void
test_blend (void)
{
  g_autoptr (SlProfile) profile = sample (TRUE);
  g_autofree SlAnalysis *between = g_new0 (SlAnalysis, 1);
  SlOutcome outcome;

  sl_outcome_init (&outcome, profile, NULL, &SL_SHOP_DEFAULT);
  sl_outcome_blend (&outcome, 0.5, between);
  g_assert_false (between->has_plan);
  g_assert_cmpfloat_with_epsilon (
      sl_state_crest_height (&between->measured, 1),
      (sl_state_crest_height (outcome.before_state, 1) + sl_state_crest_height (outcome.after_state, 1)) / 2, 1e-12);
  for (int end = 0; end <= 1; end++)
    {
      sl_outcome_blend (&outcome, end, between);
      g_assert_cmpfloat (sl_state_crest_height (&between->measured, 1), ==,
                         sl_state_crest_height (end ? outcome.after_state : outcome.before_state, 1));
    }
  sl_outcome_clear (&outcome);
}

/* The row of the table that begins so, or NULL; free with g_free(). */
static char *
row_of (const char *table, const char *start)
{
  g_auto (GStrv) lines = g_strsplit (table, "\n", -1);

  for (char **line = lines; *line != NULL; line++)
    if (g_str_has_prefix (*line, start))
      return g_strdup (*line);
  return NULL;
}

/* A string of an instrument whose action alone was read, before and after: received, final, target (the format's 1.8 ±
 * 0.15), and nothing where nothing was read that it would follow from. */
static void
test_table (void)
{
  g_autoptr (SlProfile) profile = sample (TRUE), planned = sample (FALSE), none = sample (FALSE);
  SlOutcome outcome;

  sl_outcome_init (&outcome, profile, NULL, &SL_SHOP_DEFAULT);
  g_autofree char *table = sl_outcome_table (&outcome, ';'), *action = row_of (table, "action;1;12;");
  g_auto (GStrv) cells = g_strsplit (action, ";", -1);
  g_assert_true (g_str_has_prefix (table, "quantity;string;fret;received;received-uncertainty;received-basis;final;"
                                          "final-uncertainty;final-basis;target;tolerance;unit\n"));
  g_assert_cmpuint (g_strv_length (cells), ==, 12);
  g_assert_cmpfloat_with_epsilon (g_ascii_strtod (cells[3], NULL), 3.0, 0.02);
  g_assert_cmpstr (cells[5], ==, "measured");
  g_assert_cmpfloat_with_epsilon (g_ascii_strtod (cells[6], NULL), 2.0, 0.02);
  g_assert_cmpstr (cells[9], ==, "1.8");
  g_assert_cmpstr (cells[10], ==, "0.15");
  g_assert_cmpstr (cells[11], ==, "mm");
  g_autofree char *exposure = row_of (table, "exposure;1;;");
  g_assert_true (g_str_has_suffix (exposure, ";assumed;;;mm")); /* it has no target */
  sl_outcome_clear (&outcome);
  sl_outcome_init (&outcome, planned, NULL, &SL_SHOP_DEFAULT);
  g_autofree char *tabbed = sl_outcome_table (&outcome, '\t');
  g_assert_nonnull (strstr (tabbed, "\tplanned\tplanned-uncertainty\t"));
  sl_outcome_clear (&outcome);
  /* nobody was here yet: nothing was received */
  g_array_set_size (none->visits, 0);
  sl_outcome_init (&outcome, none, NULL, &SL_SHOP_DEFAULT);
  g_autofree char *empty = sl_outcome_table (&outcome, ','), *received = row_of (empty, "action,1,12,,,,");
  g_assert_nonnull (received);
  g_assert_null (sl_outcome_date (&outcome));
  sl_outcome_clear (&outcome);
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/outcome/thickness", test_thickness);
  g_test_add_func ("/outcome/ends", test_ends);
  g_test_add_func ("/outcome/blend", test_blend);
  g_test_add_func ("/outcome/table", test_table);
  return g_test_run ();
}

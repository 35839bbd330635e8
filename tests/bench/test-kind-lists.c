/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Families of instruments, told by how they are built, and what is looked at on each. What a family needs looked at is
 * common practice. */
#include "bench/profiles.h"
#include "bench/shop-lists.h"

#define NAME "Tuners run and hold"

static gboolean
asks (const SlProfile *profile, const char *check)
{
  g_auto (GStrv) names = sl_checklist_usual (profile);

  return g_strv_contains ((const char *const *) names, check);
}

/* Each starting profile's family, and something that only such an instrument is asked. */
static void
test_families (void)
{
  static const struct
  {
    const char *name;
    SlFamily family;
    const char *asked, *not_asked;
  } rows[] = {
    { "flat-top", SL_FAMILY_FLAT_TOP, "Pins free, ball ends on the plate", "Saddle screws run and hold" },
    { "flat-top-12", SL_FAMILY_FLAT_TOP, "Bridge and braces tight", "Screws of the neck tight, heel seated" },
    { "twelve-string", SL_FAMILY_FLAT_TOP, "Both tuners of each course run alike", "Posts stand firm in the body" },
    { "nylon", SL_FAMILY_NYLON, "Knots hold, tie block intact", "Pins free, ball ends on the plate" },
    { "solid-body", SL_FAMILY_THROUGH_BODY, "Ferrules seated, screws of the bridge tight", "Binding tight all round" },
    { "two-post", SL_FAMILY_TAILPIECE, "Posts stand firm in the body", "Braces and seams tight" },
    { "tremolo", SL_FAMILY_TREMOLO, "Knife edges and pivots clean, without notches", "Posts stand firm in the body" },
    { "zero-fret", SL_FAMILY_TAILPIECE, "Zero fret without grooves, strings rest on it", "Binding tight all round" },
    { "seven-string", SL_FAMILY_THROUGH_BODY, "Screws of the neck tight, heel seated",
      "Tailpiece and its hanger hold" },
    { "eight-string", SL_FAMILY_THROUGH_BODY, "Saddle screws run and hold", "Both tuners of each course run alike" },
    { "carved-top", SL_FAMILY_CARVED_TOP, "Bridge feet flat and in place", "Saddle screws run and hold" },
    { "resonator", SL_FAMILY_RESONATOR, "Cone without dents, seated all round", "Bridge feet flat and in place" },
    { "bass", SL_FAMILY_BASS, "Bridge and tailpiece screwed down firmly", "Tailpiece and its hanger hold" },
    { "bass-five", SL_FAMILY_BASS, "Saddle screws run and hold", "Braces and seams tight" },
    { "acoustic-bass", SL_FAMILY_BASS, "Pins free, ball ends on the plate",
      "Bridge and tailpiece screwed down firmly" },
    { "mandolin", SL_FAMILY_MANDOLIN, "Tailpiece and its hanger hold", "Pins free, ball ends on the plate" },
    { "ukulele-soprano", SL_FAMILY_UKULELE, "Tuners or friction pegs hold, their screws tight", NAME },
    { "ukulele-concert", SL_FAMILY_UKULELE, "Knots hold, tie block intact", NAME },
    { "ukulele-tenor", SL_FAMILY_UKULELE, "Bridge and braces tight", NAME },
    { "ukulele-baritone", SL_FAMILY_UKULELE, "Nut slots free", NAME },
  };
  int i = 0;

  for (const SlStarting *one = sl_startings; one->name != NULL; one++, i++)
    {
      g_autoptr (SlProfile) profile = sl_starting_profile (one->name);

      g_assert_cmpstr (rows[i].name, ==, one->name);
      g_test_message ("%s", one->name);
      g_assert_cmpint (sl_family_of (profile), ==, rows[i].family);
      g_assert_true (asks (profile, rows[i].asked));
      g_assert_false (asks (profile, rows[i].not_asked));
      g_assert_true (asks (profile, "Climate: case, humidity, cracks"));
      profile->hand = SL_HAND_LEFT;
      g_assert_cmpint (sl_family_of (profile), ==, rows[i].family);
    }
  g_assert_cmpint (i, ==, G_N_ELEMENTS (rows));
}

/* What lists are kept under is what they always were kept under, where there was such a list before; each family has a
 * name, a title and a starting profile of its own. */
static void
test_names (void)
{
  static const char *const before[] = { "pinned", "tailpiece", "through-body", "tie-block", "floating" };
  g_autoptr (GHashTable) names = g_hash_table_new (g_str_hash, g_str_equal);

  for (SlFamily family = 0; family < SL_N_FAMILIES; family++)
    {
      g_autoptr (SlProfile) profile = sl_starting_profile (sl_families[family].starting);

      g_assert_nonnull (profile);
      g_assert_cmpint (sl_family_of (profile), ==, family);
      g_assert_true (g_hash_table_add (names, (char *) sl_families[family].name));
      g_assert_nonnull (sl_families[family].title);
    }
  for (gsize i = 0; i < G_N_ELEMENTS (before); i++)
    g_assert_true (g_hash_table_contains (names, before[i]));
}

/* A list of one family is no other's, and forgotten leaves the rest. */
static void
test_kept (void)
{
  const char *const pegs[] = { "Pegs", NULL }, *const cone[] = { "Cone", "Cover", NULL };

  sl_kind_list_keep (SL_SETTING_CHECK_LISTS, SL_FAMILY_UKULELE, pegs);
  sl_kind_list_keep (SL_SETTING_CHECK_LISTS, SL_FAMILY_RESONATOR, cone);
  for (SlFamily family = 0; family < SL_N_FAMILIES; family++)
    {
      g_auto (GStrv) list = sl_kind_list (SL_SETTING_CHECK_LISTS, family);

      g_assert_true ((list != NULL) == (family == SL_FAMILY_UKULELE || family == SL_FAMILY_RESONATOR));
    }
  sl_kind_list_keep (SL_SETTING_CHECK_LISTS, SL_FAMILY_UKULELE, NULL);
  g_auto (GStrv) forgotten = sl_kind_list (SL_SETTING_CHECK_LISTS, SL_FAMILY_UKULELE),
                 left = sl_kind_list (SL_SETTING_CHECK_LISTS, SL_FAMILY_RESONATOR);
  g_assert_null (forgotten);
  g_assert_true (g_strv_equal ((const char *const *) left, cone));
}

/* What glue holds asks for a caution, whichever family it is of (words/caution.c). */
static void
test_topics (void)
{
  g_assert_cmpint (sl_check_topic ("Binding tight all round"), ==, SL_TOPIC_GLUED);
  g_assert_cmpint (sl_check_topic ("Knots hold, tie block intact"), ==, SL_TOPIC_GLUED);
  g_assert_cmpint (sl_check_topic ("Electronics, where fitted"), ==, SL_TOPIC_ELECTRONICS);
  g_assert_cmpint (sl_check_topic ("Springs and claw hold, the block runs free"), ==, SL_TOPIC_NONE);
  g_assert_cmpint (sl_check_topic ("Somebody’s own"), ==, SL_TOPIC_NONE);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/kind-lists/families", test_families);
  g_test_add_func ("/kind-lists/names", test_names);
  g_test_add_func ("/kind-lists/kept", test_kept);
  g_test_add_func ("/kind-lists/topics", test_topics);
  return g_test_run ();
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The starting profiles, each of them: sound, written as the program writes, with figures that such an instrument has;
 * nothing to do where it is read at its targets, and elsewhere no work that its construction has not. */
#include "bench/bench.h"
#include "bench/profiles.h"
#include "file/document.h"
#include "setup/profile/construction.h"
#include "setup/work/propose.h"

#include <math.h>
#include <stdlib.h>

#define OFF_MM 0.4 /* far out of range */

static char *
folder_of_starting (void)
{
  return g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "data", "starting", NULL);
}

/* Every one is there, without a fault, in the bytes the program would save it in, but for the id, which is new each
 * time; titles and lines are told apart; there is none of another name, and the folder has no more. */
static void
test_sound (void)
{
  g_autofree char *path = folder_of_starting ();
  g_autoptr (GDir) folder = g_dir_open (path, 0, NULL);
  g_autoptr (GHashTable) names = g_hash_table_new (g_str_hash, g_str_equal),
                         seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);

  for (const SlStarting *one = sl_startings; one->name != NULL; one++)
    {
      g_autoptr (SlProfile) profile = sl_starting_profile (one->name), other = sl_starting_profile (one->name);
      g_autoptr (GPtrArray) faults = sl_profile_check (profile), found = sl_document_faults_new ();
      g_autofree char *file = g_strconcat (path, "/", one->name, SL_DOCUMENT_EXTENSION, NULL), *text = NULL;
      g_autoptr (SlProfile) read = NULL;
      g_autoptr (GBytes) bytes = NULL;
      gsize length;

      g_assert_cmpuint (faults->len, ==, 0);
      g_assert_cmpstr (profile->id, !=, other->id);
      g_assert_true (g_file_get_contents (file, &text, &length, NULL));
      read = sl_document_parse (text, length, found);
      g_assert_nonnull (read);
      bytes = sl_document_print (read);
      g_assert_cmpmem (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes), text, length);
      g_assert_true (g_hash_table_add (seen, g_strdup (read->id)));
      g_assert_true (g_hash_table_add (seen, g_strdup (one->title)));
      g_assert_cmpint (g_utf8_strlen (one->words, -1), >, 0);
      g_hash_table_add (names, (char *) one->name);
    }
  g_assert_null (sl_starting_profile ("harp"));
  for (const char *file; (file = g_dir_read_name (folder)) != NULL;)
    {
      g_autofree char *name = g_strndup (file, strcspn (file, "."));

      g_assert_true (g_hash_table_contains (names, name));
    }
}

/* Pulls and angles of such instruments: common practice, generous. */
static void
test_figures (void)
{
  static const struct
  {
    const char *begins;
    double least, most; /* pull of a string, N */
  } pulls[] = { { "ukulele", 25, 65 }, { "nylon", 45, 80 },           { "mandolin", 75, 125 },
                { "bass", 130, 250 },  { "acoustic-bass", 130, 260 }, { "", 45, 165 } };

  for (const SlStarting *one = sl_startings; one->name != NULL; one++)
    {
      g_autoptr (SlBench) bench = sl_bench_new (sl_starting_profile (one->name));
      const SlAnalysis *analysis = sl_bench_get_analysis (bench);
      const SlFigures *figures = &analysis->measured_figures;
      int row = 0;

      while (!g_str_has_prefix (one->name, pulls[row].begins))
        row++;
      for (int s = 0; s < analysis->instrument.n_strings; s++)
        {
          g_test_message ("%s, string %d: %.1f N, %.1f° at the nut, %.1f° at the saddle", one->name, s + 1,
                          figures->tension[s].value, figures->nut_break[s].value, figures->saddle_break[s].value);
          g_assert_cmpfloat (figures->tension[s].value, >, pulls[row].least);
          g_assert_cmpfloat (figures->tension[s].value, <, pulls[row].most);
          g_assert_cmpfloat (figures->nut_break[s].value, >, 1);
          g_assert_cmpfloat (figures->nut_break[s].value, <, 30);
          g_assert_cmpfloat (figures->saddle_break[s].value, >, 5);
          g_assert_cmpfloat (figures->saddle_break[s].value, <, 45);
        }
    }
}

static void
put (SlReadingSet *set, SlReadingKind kind, int string, int fret, double value)
{
  SlReading reading = sl_reading_init (kind);

  reading.string = string;
  reading.fret = fret;
  reading.value = sl_number (value);
  g_array_append_val (set->readings, reading);
}

/* Read at its targets, but for so much of relief, gaps at fret 1 and actions; all at once, for the bench reckons anew
 * at each change. */
static SlBench *
bench_read (SlProfile *profile, double relief, double gap, double action)
{
  SlVisit visit = sl_visit_init ();
  SlReadingSet set = sl_reading_set_init ();
  SlInstrument in;

  sl_instrument_from_profile (profile, &in);
  for (int s = 1; s <= in.n_strings; s++)
    {
      if (s == 1 || s == in.n_strings)
        put (&set, SL_READ_RELIEF, s, (1 + in.joint) / 2, in.target_relief + relief);
      put (&set, SL_READ_EXPOSURE, s, 0, in.least_exposure + 3);
      put (&set, SL_READ_FIRST_GAP, s, 1, in.target_first_gap[s - 1] + gap);
      put (&set, SL_READ_ACTION, s, 12, in.target_action[s - 1] + action);
    }
  set.id = g_strdup ("r1");
  set.taken = g_strdup ("2026-03-02");
  visit.id = g_strdup ("v1");
  visit.opened = g_strdup ("2026-03-02");
  g_array_append_val (visit.sets, set);
  g_array_append_val (profile->visits, visit);
  return sl_bench_new (profile);
}

static SlProfile *
handed (const char *name, SlHand hand)
{
  SlProfile *profile = sl_starting_profile (name);

  profile->hand = hand;
  return profile;
}

static void
test_at_target (void)
{
  for (const SlStarting *one = sl_startings; one->name != NULL; one++)
    for (SlHand hand = SL_HAND_DEFAULT; hand <= SL_HAND_LEFT; hand++)
      {
        g_autoptr (SlBench) bench = bench_read (handed (one->name, hand), 0, 0, 0);
        g_auto (SlProposal) proposal = { 0 };

        sl_propose (sl_bench_get_analysis (bench), &proposal);
        g_test_message ("%s: %u steps, %u findings", one->name, proposal.steps->len, proposal.findings->len);
        g_assert_cmpuint (proposal.steps->len, ==, 0);
        g_assert_cmpuint (proposal.findings->len, ==, 0);
      }
}

/* Whichever way it is off, each step is one its construction has, the plan can be kept in a document, and a neck with a
 * rod and a slotted nut that is high gets its turn and its slots. */
static void
test_only_what_it_has (void)
{
  for (const SlStarting *one = sl_startings; one->name != NULL; one++)
    for (int off = 0; off < 27; off++)
      {
        g_autoptr (SlBench) bench = bench_read (sl_starting_profile (one->name), (off % 3 - 1) * OFF_MM / 2,
                                                (off / 3 % 3 - 1) * OFF_MM, (off / 9 - 1) * OFF_MM * 2);
        g_autoptr (SlProfile) profile = sl_profile_copy (sl_bench_get_profile (bench));
        const guint has = sl_work_there_is (profile);
        g_autoptr (GPtrArray) faults = NULL;
        g_auto (SlProposal) proposal = { 0 };
        guint proposed = 0;

        sl_propose (sl_bench_get_analysis (bench), &proposal);
        SL_EACH (const SlStep, step, proposal.steps)
          proposed |= 1u << step->operation.kind;
        g_test_message ("%s, %d: %#x of %#x", one->name, off, proposed, has);
        g_assert_cmphex (proposed & ~has, ==, 0);
        sl_proposal_enter (&proposal, sl_profile_last_visit (profile)->plan);
        faults = sl_profile_check (profile);
        g_assert_cmpuint (faults->len, ==, 0);
        if (off == 26)
          for (SlOperationKind kind = SL_OP_TURN_ROD; kind <= SL_OP_LOWER_SLOT; kind++)
            g_assert_cmpint (proposed >> kind & 1, ==, has >> kind & 1);
      }
}

static int n_read; /* demo instruments, atomically */

static void
read_for_ever (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  g_auto (GStrv) names = sl_demo_names ();

  for (guint i = 0;; i = names[i + 1] != NULL ? i + 1 : 0)
    {
      g_autoptr (SlProfile) profile = sl_demo_profile (names[i]);

      g_atomic_int_inc (&n_read);
    }
}

/* A program that ends while a thread of its own still reads what is built in does so with its status, every time. */
static void
test_ended_before (void)
{
  if (g_test_subprocess ())
    {
      sl_run_in_thread (NULL, NULL, read_for_ever, NULL, NULL, NULL, NULL);
      while (g_atomic_int_get (&n_read) < 2)
        g_usleep (1000);
      exit (0);
    }
  for (int i = 0; i < 5; i++)
    {
      g_test_trap_subprocess (NULL, 0, G_TEST_SUBPROCESS_DEFAULT);
      g_test_trap_assert_passed ();
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/starting/sound", test_sound);
  g_test_add_func ("/starting/figures", test_figures);
  g_test_add_func ("/starting/at-target", test_at_target);
  g_test_add_func ("/starting/only-what-it-has", test_only_what_it_has);
  g_test_add_func ("/starting/ended-before-a-thread", test_ended_before);
  return g_test_run ();
}

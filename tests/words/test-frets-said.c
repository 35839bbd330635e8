/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is said of work on the frets: to whoever does it and to whoever plays the instrument. */
#include "words/effect.h"
#include "words/explain.h"
#include "words/proposal.h"
#include "words/sheet-text.h"

#include <locale.h>
#include <math.h>

#define BIT(n) (G_GUINT64_CONSTANT (1) << (n))

static const SlTextStyle style = { SL_LENGTHS_MM, "." };

static void
test_names (void)
{
  static const struct
  {
    guint64 frets;
    const char *said;
    gulong n;
  } rows[] = { { 0, "", 0 },
               { BIT (9), "9", 1 },
               { BIT (9) | BIT (10), "9 and 10", 2 },
               { BIT (1) | BIT (9) | BIT (36), "1, 9 and 36", 3 } };
  gulong n;

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autofree char *said = sl_frets_text (rows[i].frets, &n);

      g_assert_cmpstr (said, ==, rows[i].said);
      g_assert_cmpuint (n, ==, rows[i].n);
    }
}

static char *
reason (guint64 frets, double off, double board)
{
  g_autofree SlAnalysis *a = g_new0 (SlAnalysis, 1);
  SlStep step = { .operation = sl_operation_init (SL_OP_LEVEL_FRETS), .values = { 0.12, 7, off, board } };

  a->instrument.joint = 14;
  a->instrument.frets = 20;
  step.operation.frets = frets;
  return sl_step_cause (a, &step, &style);
}

/* How it is done stands in the step: a straight neck, strings slack, and crown gaps read so. */
static void
test_reasons (void)
{
  g_autofree char *board = reason (0, 1.5, NAN), *one = reason (BIT (9), 0.08, 1.04),
                  *two = reason (BIT (9) | BIT (10), 0.08, 0.082);

  g_assert_true (g_str_has_prefix (board, "crowns are off by up to 0.12 mm; fret 7 is the lowest. Slacken the strings, "
                                          "straighten the neck to within 0.05 mm, mask the board"));
  g_assert_nonnull (strstr (board, "crown gaps"));
  g_assert_true (g_str_has_prefix (one, "fret 9 stands higher than the rest (0.08 mm off in all; levelling the board "
                                        "would take 1.04 mm). Slacken"));
  /* a difference nobody sees is not told */
  g_assert_true (g_str_has_prefix (two, "frets 9 and 10 stand higher than the rest. Slacken"));
}

static void
test_amounts (void)
{
  SlInstrument in = { .joint = 14, .frets = 20 };
  SlOperation level = sl_operation_init (SL_OP_LEVEL_FRETS), new = sl_operation_init (SL_OP_REPLACE_FRETS),
              strings = sl_operation_init (SL_OP_BENCH_STEP);

  level.frets = BIT (9);
  new.from = 1;
  new.to = 5;
  strings.step = SL_BENCH_NEW_STRINGS;
  g_autofree char *spot = sl_operation_amount (&in, &level, &style), *five = sl_operation_amount (&in, &new, &style),
                  *put_on = sl_operation_amount (&in, &strings, &style);
  new.to = 1;
  g_autofree char *one = sl_operation_amount (&in, &new, &style);

  g_assert_cmpstr (spot, ==, "level 9 to the rest");
  g_assert_cmpstr (five, ==, "frets 1 to 5");
  g_assert_cmpstr (one, ==, "fret 1");
  g_assert_cmpstr (put_on, ==, "new strings");
}

/* The summary says what life the crowns have left, and which marks stay. */
static void
test_summary (void)
{
  const SlInstrument in = { .crown_least = 0.60 };
  SlLevelling work = { .n = 12, .read = TRUE, .most_off = 0.12, .least_left = 0.98, .deepest = 0.04 };
  g_autofree char *spot = sl_levelling_summary (&style, &in, &work), *board = NULL;

  g_assert_cmpstr (spot, ==,
                   "Single crowns to the rest, at most 0.12 off · 0.38 left to be dressed away · marks of 0.04 stay");
  work.lowest = 7;
  work.deepest = 0;
  board = sl_levelling_summary (&style, &in, &work);
  g_assert_cmpstr (board, ==, "Down to fret 7, at most 0.12 off · 0.38 left to be dressed away");
}

/* ---- to the player ---- */

static void
add (GArray *plan, SlOperationKind kind, int from, int to, SlBenchStep step, const char *done)
{
  SlOperation operation = sl_operation_init (kind);

  operation.from = from;
  operation.to = to;
  operation.step = step;
  operation.done = g_strdup (done);
  g_array_append_val (plan, operation);
}

static const SlSentence *
sentence (const GPtrArray *sentences, guint i)
{
  g_assert_cmpuint (sentences->len, >, i);
  return sentences->pdata[i];
}

static void
test_told (void)
{
  const SlSpeech speech = { .style = { SL_LENGTHS_MM, "." } };
  SlVisit visit = sl_visit_init ();
  SlOutcome outcome = { .visit = &visit };

  add (visit.plan, SL_OP_REPLACE_FRETS, 1, 5, 0, "2026-03-02");
  add (visit.plan, SL_OP_BENCH_STEP, 0, 0, SL_BENCH_NEW_STRINGS, "2026-03-03");
  add (visit.plan, SL_OP_REPLACE_FRETS, 9, 9, 0, NULL);
  for (int step = 0; step < SL_N_BENCH_STEPS; step++)
    add (visit.plan, SL_OP_BENCH_STEP, 0, 0, (SlBenchStep) step, NULL);
  g_autoptr (GPtrArray) done = sl_explain_work (&outcome, &speech, FALSE),
                        planned = sl_explain_work (&outcome, &speech, TRUE);

  g_assert_cmpuint (done->len, ==, 2);
  g_assert_true (g_str_has_prefix (sentence (done, 0)->text, "Frets 1 to 5 were replaced by new ones, because"));
  g_assert_cmpstr (sentence (done, 0)->id, ==, "replace-frets-1");
  g_assert_cmpstr (sentence (done, 1)->text, ==, "New strings were put on.");
  g_assert_cmpstr (sentence (done, 1)->id, ==, "bench-step-new-strings-1");
  g_assert_cmpuint (planned->len, ==, 1 + SL_N_BENCH_STEPS);
  g_assert_true (g_str_has_prefix (sentence (planned, 0)->text, "Fret 9 is to be replaced by a new one, because"));
  /* each bench step has its own words, and its own basis */
  for (guint i = 1; i < planned->len; i++)
    for (guint k = i + 1; k < planned->len; k++)
      {
        g_assert_cmpstr (sentence (planned, i)->text, !=, sentence (planned, k)->text);
        g_assert_cmpstr (sentence (planned, i)->basis, !=, sentence (planned, k)->basis);
      }
  /* metal is filed: the caution against its dust belongs to it while it is planned */
  g_autoptr (GPtrArray) cautions = sl_explain_cautions (&outcome);
  g_assert_true (g_str_has_prefix (cautions->pdata[0], "Dust of metal"));
  g_array_unref (visit.sets);
  g_array_unref (visit.plan);
  g_array_unref (visit.checks);
  g_array_unref (visit.charges);
  g_array_unref (visit.photos);
}

int
main (int argc, char **argv)
{
  setlocale (LC_ALL, "");
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/frets-said/names", test_names);
  g_test_add_func ("/frets-said/reasons", test_reasons);
  g_test_add_func ("/frets-said/amounts", test_amounts);
  g_test_add_func ("/frets-said/summary", test_summary);
  g_test_add_func ("/frets-said/told", test_told);
  return g_test_run ();
}

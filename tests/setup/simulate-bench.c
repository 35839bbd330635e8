/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a bench fares that follows the program's plan and first passes, reading again after each, against one cut by the
 * rule of two at the saddle for one at the twelfth fret, the rod turned last. As a program it prints a table for
 * docs/model.md:
 *
 *   simulate-bench [--runs N] [--seed N]
 *
 * as a test (--test) it runs fewer and holds the program's way to what is promised: in no more than 5 % of runs does
 * any string whose crest was lowered end below its target by more than the uncertainty stated of it. */
#include <locale.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "../rounds.h"
#include "simulated-bench.h"

#define DEFAULT_RUNS 1000
#define TEST_RUNS test_rounds (200)
#define DEFAULT_SEED 20260302
#define MOST_SHARE_BELOW 0.05
#define SIGMAS 3
#define COVERAGE 2

typedef void (*Way) (guint32 seed, SimResult *out);

typedef struct
{
  int runs, below, strings, strings_below, unfinished, gap_below;
  double sum, squares, gap_sum, gap_squares;
  double *worst;  /* of each run: the largest distance from target, of strings cut */
  double *lowest; /* of each run: how far the lowest string ended below */
  int gaps, passes, most_passes, sets, read_again;
} Tally;

static int
by_size (const void *a, const void *b)
{
  return (*(const double *) a > *(const double *) b) - (*(const double *) a < *(const double *) b);
}

static void
count_string (Tally *t, int run, const SimString *s, gboolean *below, gboolean *gap_below)
{
  if (s->cut)
    {
      t->strings++;
      t->sum += s->off;
      t->squares += s->off * s->off;
      t->worst[run] = MAX (t->worst[run], fabs (s->off));
      t->lowest[run] = MIN (t->lowest[run], s->off);
      if (s->off < -COVERAGE * s->u)
        {
          t->strings_below++;
          *below = TRUE;
        }
    }
  if (s->slot_cut)
    {
      t->gaps++;
      t->gap_sum += s->gap_off;
      t->gap_squares += s->gap_off * s->gap_off;
      *gap_below = *gap_below || s->gap_off < -COVERAGE * s->gap_u;
    }
}

static void
tally (Way way, int runs, guint32 seed, Tally *t)
{
  *t = (Tally){ .runs = runs, .worst = g_new0 (double, runs), .lowest = g_new0 (double, runs) };
  for (int run = 0; run < runs; run++)
    {
      SimResult result;
      gboolean below = FALSE, gap_below = FALSE;

      way (seed + (guint32) run, &result);
      for (int s = 0; s < result.n_strings; s++)
        count_string (t, run, &result.strings[s], &below, &gap_below);
      t->below += below;
      t->gap_below += gap_below;
      t->unfinished += result.unfinished;
      t->passes += result.passes;
      t->most_passes = MAX (t->most_passes, result.passes);
      t->sets += result.sets;
      t->read_again += result.read_again;
    }
  qsort (t->worst, (gsize) runs, sizeof *t->worst, by_size);
  qsort (t->lowest, (gsize) runs, sizeof *t->lowest, by_size);
}

static void
tally_clear (Tally *t)
{
  g_free (t->worst);
  g_free (t->lowest);
}

static void
print_row (const char *what, const char *format, double plan, double rule)
{
  g_autofree char *a = g_strdup_printf (format, plan), *b = g_strdup_printf (format, rule);

  g_print ("| %s | %s | %s |\n", what, a, b);
}

static void
print_table (const Tally *plan, const Tally *rule)
{
  const int last = plan->runs - 1, at = (int) floor (0.95 * last);

  g_print ("%d runs\n\n| | plan, first passes, reading again | one cut, two to one, rod last |\n| --- | --- | --- |\n",
           plan->runs);
  print_row ("runs in which a string ends below its target by more than U", "%.1f %%", 100.0 * plan->below / plan->runs,
             100.0 * rule->below / rule->runs);
  print_row ("strings that do", "%.1f %%", 100.0 * plan->strings_below / plan->strings,
             100.0 * rule->strings_below / rule->strings);
  print_row ("action at 12 less target, mean, mm", "%+.3f", plan->sum / plan->strings, rule->sum / rule->strings);
  print_row ("its rms, mm", "%.3f", sqrt (plan->squares / plan->strings), sqrt (rule->squares / rule->strings));
  print_row ("the worst string of a run, 95 % within, mm", "%.3f", plan->worst[at], rule->worst[at]);
  print_row ("the lowest string of a run, 5 % below, mm", "%+.3f", plan->lowest[(int) (0.05 * last)],
             rule->lowest[(int) (0.05 * last)]);
  print_row ("first gap less target where a slot was cut, mean, mm", "%+.3f", plan->gap_sum / plan->gaps,
             rule->gap_sum / rule->gaps);
  print_row ("its rms, mm", "%.3f", sqrt (plan->gap_squares / plan->gaps), sqrt (rule->gap_squares / rule->gaps));
  print_row ("cuts of the saddle's base, mean", "%.1f", 1.0 * plan->passes / plan->runs,
             1.0 * rule->passes / rule->runs);
  print_row ("most", "%.0f", plan->most_passes, rule->most_passes);
  print_row ("reading sets, mean", "%.1f", 1.0 * plan->sets / plan->runs, 1.0 * rule->sets / rule->runs);
  print_row ("readings taken again a run", "%.2f", 1.0 * plan->read_again / plan->runs,
             1.0 * rule->read_again / rule->runs);
}

/* ---- as a test ---- */

static void
test_promise (void)
{
  const double share_u = sqrt (MOST_SHARE_BELOW * (1 - MOST_SHARE_BELOW) / TEST_RUNS);
  Tally plan, rule;

  tally (sim_by_plan, TEST_RUNS, DEFAULT_SEED, &plan);
  tally (sim_by_rule, TEST_RUNS, DEFAULT_SEED, &rule);
  g_assert_cmpint (plan.unfinished, ==, 0);
  g_assert_cmpint (plan.strings, >, TEST_RUNS);
  g_assert_cmpfloat ((double) plan.below / TEST_RUNS, <=, MOST_SHARE_BELOW + SIGMAS * share_u);
  /* and that is worth the readings: nearer than the rule on the whole, and in the worst string of a run */
  g_assert_cmpfloat (plan.squares / plan.strings, <, rule.squares / rule.strings);
  g_assert_cmpfloat (plan.worst[TEST_RUNS * 95 / 100], <, rule.worst[TEST_RUNS * 95 / 100]);
  g_assert_cmpint (rule.below, >, plan.below);
  tally_clear (&plan);
  tally_clear (&rule);
}

static int
simulate (int runs, guint32 seed)
{
  Tally plan, rule;

  tally (sim_by_plan, runs, seed, &plan);
  tally (sim_by_rule, runs, seed, &rule);
  print_table (&plan, &rule);
  g_print ("\nseed %u; runs not at their end: %d\n", seed, plan.unfinished);
  tally_clear (&plan);
  tally_clear (&rule);
  return 0;
}

int
main (int argc, char **argv)
{
  int runs = DEFAULT_RUNS, seed = DEFAULT_SEED;
  gboolean test = FALSE;
  const GOptionEntry entries[] = {
    { "runs", 0, 0, G_OPTION_ARG_INT, &runs, "How many instruments", "N" },
    { "seed", 0, 0, G_OPTION_ARG_INT, &seed, "Where chance begins", "N" },
    { "test", 0, 0, G_OPTION_ARG_NONE, &test, "Run as a test", NULL },
    { NULL },
  };
  g_autoptr (GOptionContext) context = g_option_context_new (NULL);
  g_autoptr (GError) error = NULL;

  setlocale (LC_ALL, "");
  g_option_context_add_main_entries (context, entries, NULL);
  g_option_context_set_ignore_unknown_options (context, TRUE);
  if (!g_option_context_parse (context, &argc, &argv, &error) || runs < 20)
    {
      g_printerr ("%s\n", error != NULL ? error->message : "--runs takes 20 or more");
      return 2;
    }
  if (!test)
    return simulate (runs, (guint32) seed);
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/bench/promise", test_promise);
  return g_test_run ();
}

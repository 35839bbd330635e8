/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "judge.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>

#define MANY 1000
#define ONE_IN 1e-3
#define NEAR_CENTS 0.05
#define NEAR_SHARE 0.95
#define WORST_CENTS 0.15
#define IN_BOUNDS 3.3 /* a thousandth of what scatters by the bound lies farther off */
#define SETTLED_SHARE 0.95
#define COVERED 0.95
#define COVERED_WITHIN 0.02
#define WORST_SHOWN 12
#define B_WITHIN 0.05
#define B_SHARE 0.9
#define B_PARTIALS 5

Verdict
judge_note (const MadeCase *c, guint round, const SlNote *note, double f1_bound, double b_bound)
{
  const double cent = c->string.f1 * G_LN2 / 1200;

  return (Verdict){ .index = c->index,
                    .round = round,
                    .error = (note->frequency - c->string.f1) / cent,
                    .u = note->u / cent,
                    .bound = f1_bound / cent,
                    .b_error = note->inharmonicity / c->string.b - 1,
                    .b_u = note->inharmonicity_u / c->string.b,
                    .b_bound = b_bound / c->string.b,
                    .b = c->string.b,
                    .n_partials = note->n_partials,
                    .word = note->word };
}

static int
by_size (const void *a, const void *b)
{
  const double x = *(const double *) a, y = *(const double *) b;

  return (x > y) - (x < y);
}

typedef double (*Figure) (const Verdict *);

static double
error_of (const Verdict *v)
{
  return isnan (v->error) ? INFINITY : fabs (v->error);
}

static double
share_of_u (const Verdict *v)
{
  return isnan (v->error) ? INFINITY : fabs (v->error) / v->u;
}

static double
share_of_bound (const Verdict *v)
{
  return isnan (v->error) ? INFINITY : fabs (v->error) / v->bound;
}

static double
bound_of (const Verdict *v)
{
  return v->bound;
}

static double
b_error_of (const Verdict *v)
{
  return isnan (v->b_error) ? INFINITY : fabs (v->b_error);
}

static double
b_share_of_u (const Verdict *v)
{
  return isnan (v->b_error) ? INFINITY : fabs (v->b_error) / v->b_u;
}

static double
b_bound_of (const Verdict *v)
{
  return v->b_bound;
}

/* Of the verdicts on case @index, or on all where it is −1. */
static GArray *
figures (const GArray *verdicts, Figure figure, int index)
{
  GArray *out = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint i = 0; i < verdicts->len; i++)
    {
      const Verdict *v = &g_array_index (verdicts, Verdict, i);
      const double x = figure (v);

      if (index < 0 || v->index == index)
        g_array_append_val (out, x);
    }
  if (out->len > 0)
    qsort (out->data, out->len, sizeof (double), by_size);
  return out;
}

static double
percentile (const GArray *verdicts, Figure figure, int index, double percent)
{
  g_autoptr (GArray) sorted = figures (verdicts, figure, index);

  return sorted->len == 0 ? NAN : g_array_index (sorted, double, (guint) round (percent / 100 * (sorted->len - 1)));
}

/* How many of them are at most @most. */
static guint
within (const GArray *verdicts, Figure figure, int index, double most)
{
  g_autoptr (GArray) sorted = figures (verdicts, figure, index);
  guint n = 0;

  while (n < sorted->len && g_array_index (sorted, double, n) <= most)
    n++;
  return n;
}

static void
print_figure (const char *what, const GArray *verdicts, Figure figure)
{
  static const double percents[] = { 50, 68, 90, 95, 99, 100 };
  GString *row = g_string_new (NULL);

  for (guint i = 0; i < G_N_ELEMENTS (percents); i++)
    g_string_append_printf (row, " %9.4f", percentile (verdicts, figure, -1, percents[i]));
  g_test_message ("%-28s%s", what, row->str);
  g_string_free (row, TRUE);
}

static guint
count_of (const GArray *verdicts, int index, SlHeardWord word)
{
  guint n = 0;

  for (guint i = 0; i < verdicts->len; i++)
    {
      const Verdict *v = &g_array_index (verdicts, Verdict, i);

      n += (index < 0 || v->index == index) && v->word == word;
    }
  return n;
}

static void
print_case (const GArray *verdicts, int index)
{
  g_autofree char *name = made_case_name (index);
  g_autoptr (GArray) all = figures (verdicts, error_of, index);
  const double n = all->len;

  if (n > 0)
    g_test_message ("%-9s %5.0f %9.4f %9.4f %9.4f %6.1f %9.4f %9.4f %6.1f %6.1f", name, n,
                    percentile (verdicts, error_of, index, 50), percentile (verdicts, error_of, index, 95),
                    percentile (verdicts, bound_of, index, 95), 100 * within (verdicts, share_of_u, index, 2) / n,
                    percentile (verdicts, b_error_of, index, 50), percentile (verdicts, b_error_of, index, 90),
                    100 * within (verdicts, b_share_of_u, index, 2) / n,
                    100 * count_of (verdicts, index, SL_HEARD_SETTLED) / n);
}

/* The ones to look at. */
static void
print_worst (const GArray *verdicts)
{
  const double from = percentile (verdicts, error_of, -1, MAX (0, 100 * (1 - (WORST_SHOWN - 1.0) / verdicts->len)));

  for (guint i = 0, shown = 0; i < verdicts->len && shown < WORST_SHOWN; i++)
    {
      const Verdict *v = &g_array_index (verdicts, Verdict, i);
      g_autofree char *name = made_case_name (v->index);

      if (error_of (v) >= from && ++shown)
        g_test_message ("worst: %s, round %u: error %.4f, u %.4f, bound %.4f cent; B %.3g off %.1f %%; %d partials, %s",
                        name, v->round, v->error, v->u, v->bound, v->b, 100 * v->b_error, v->n_partials,
                        sl_heard_word_names[v->word]);
    }
}

void
judge_print (const char *what, const GArray *verdicts)
{
  g_test_message ("%s: %u sounds; percentiles       50        68        90        95        99       100", what,
                  verdicts->len);
  print_figure ("|error|, cent", verdicts, error_of);
  print_figure ("|error| / u", verdicts, share_of_u);
  print_figure ("bound, cent", verdicts, bound_of);
  print_figure ("|error| / bound", verdicts, share_of_bound);
  print_figure ("B, |error| / B", verdicts, b_error_of);
  print_figure ("B, |error| / u", verdicts, b_share_of_u);
  print_figure ("B, bound / B", verdicts, b_bound_of);
  for (int w = 0; w < SL_N_HEARD_WORDS; w++)
    g_test_message ("%-10s %u", sl_heard_word_names[w], count_of (verdicts, -1, (SlHeardWord) w));
  g_test_message ("case          n |error| 50   95 %%  bound 95  U %%   B error 50     90 %%   U %%  settled");
  for (int i = 0; i < MADE_N_CASES; i++)
    print_case (verdicts, i);
  print_worst (verdicts);
}

static void
report (const char *what, guint held, guint n, gboolean kept)
{
  g_test_message ("%s: %u of %u, %.1f %%%s", what, held, n, 100.0 * held / n, kept ? "" : ": MISSED");
  if (!kept)
    g_test_fail_printf ("%s: %u of %u, %.1f %%", what, held, n, 100.0 * held / n);
}

/* At least @share of @n do: exactly of many, of few unless chance would do it. */
static void
hold_share (const char *what, guint held, guint n, double share)
{
  const gboolean kept = n >= MANY ? held >= share * n : gsl_cdf_binomial_P (held, share, n) > ONE_IN;

  report (what, held, n, kept);
}

/* Stated uncertainties cover neither too little nor too much. */
static void
hold_coverage (const char *what, guint held, guint n)
{
  const double few = gsl_cdf_binomial_P (held, COVERED - COVERED_WITHIN, n);
  const double many = held == 0 ? 1 : gsl_cdf_binomial_Q (held - 1, COVERED + COVERED_WITHIN, n);

  report (what, held, n,
          n >= MANY ? fabs ((double) held / n - COVERED) <= COVERED_WITHIN : few > ONE_IN && many > ONE_IN);
}

void
judge_promises (const GArray *verdicts)
{
  const guint n = verdicts->len;
  g_autoptr (GArray) five = g_array_new (FALSE, FALSE, sizeof (Verdict));

  for (guint i = 0; i < n; i++)
    if (g_array_index (verdicts, Verdict, i).n_partials >= B_PARTIALS)
      g_array_append_val (five, g_array_index (verdicts, Verdict, i));
  hold_share ("within 0.05 cent", within (verdicts, error_of, -1, NEAR_CENTS), n, NEAR_SHARE);
  hold_coverage ("within U", within (verdicts, share_of_u, -1, 2), n);
  g_test_message ("five partials heard in %u of %u", five->len, n);
  hold_share ("B within 5 % of five partials", within (five, b_error_of, -1, B_WITHIN), five->len, B_SHARE);
  hold_share ("settled", count_of (verdicts, -1, SL_HEARD_SETTLED), n, SETTLED_SHARE);
  for (guint i = 0; i < n; i++)
    {
      const Verdict *v = &g_array_index (verdicts, Verdict, i);

      if (!(error_of (v) <= (isnan (v->bound) ? WORST_CENTS : MAX (WORST_CENTS, IN_BOUNDS * v->bound))))
        g_test_fail_printf ("case %d, round %u: %.3f cent off", v->index, v->round, v->error);
    }
}

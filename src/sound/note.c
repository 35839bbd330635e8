/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sound/note.h"

#include "sound/heard.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_math.h>

#define LEAST_HEARD_S 0.4
#define STANDS_DB 20.0
#define SURE 0.999 /* what is less likely than 1 − this is taken for a disagreement */
#define CLIPPED_SAMPLES 3
#define DB_A_NEPER 8.685889638

const char *const sl_heard_word_names[] = { "settled", "gliding", "soft", "clipped", "two-notes", NULL };

typedef struct
{
  int n, k[SL_MAX_PARTIALS];
  double f[SL_MAX_PARTIALS], u[SL_MAX_PARTIALS];
  double big_f, big_fb, cov[3], chi2;
} Fit;

static void
fit_all (const SlNote *note, Fit *fit)
{
  fit->n = 0;
  for (int i = 0; i < SL_MAX_PARTIALS; i++)
    if (isfinite (note->partials[i].u) && !note->partials[i].disagrees)
      {
        fit->k[fit->n] = i + 1;
        fit->f[fit->n] = note->partials[i].frequency;
        fit->u[fit->n++] = note->partials[i].u;
      }
  if (fit->n > 0)
    fit->chi2 = sl_series_fit (fit->k, fit->f, fit->u, fit->n, &fit->big_f, &fit->big_fb, fit->cov);
}

/* Leaves out, one after another, the partial without which the others agree best, while they don't. */
static void
leave_out (SlNote *note, Fit *fit)
{
  int most_out = 0;

  fit_all (note, fit);
  most_out = fit->n / 3;
  while (most_out-- > 0 && fit->n > 3 && fit->chi2 > gsl_cdf_chisq_Pinv (SURE, fit->n - 2))
    {
      double best = fit->chi2;
      int worst = -1;

      for (int i = 0; i < fit->n; i++)
        {
          Fit without;
          SlPartial *p = &note->partials[fit->k[i] - 1];

          p->disagrees = TRUE;
          fit_all (note, &without);
          p->disagrees = FALSE;
          if (without.chi2 < best)
            {
              best = without.chi2;
              worst = fit->k[i];
            }
        }
      if (worst < 0)
        break;
      note->partials[worst - 1].disagrees = TRUE;
      fit_all (note, fit);
    }
}

static void
say_pitch (SlNote *note, const Fit *fit)
{
  double f2 = fit->big_f + fit->big_fb, b = fit->big_fb / fit->big_f, var = fit->cov[0] + 2 * fit->cov[1] + fit->cov[2],
         b_var = fit->cov[2] - 2 * b * fit->cov[1] + b * b * fit->cov[0], wide = 1;

  if (fit->n > 2 && fit->chi2 > gsl_cdf_chisq_Pinv (SURE, fit->n - 2))
    wide = fit->chi2 / (fit->n - 2);
  note->n_partials = fit->n;
  note->frequency = sqrt (f2);
  note->u = sqrt (wide * var) / (2 * note->frequency);
  note->cents = 1200 * log2 (note->frequency / note->expected);
  note->cents_u = 1200 / M_LN2 * note->u / note->frequency;
  note->inharmonicity = fit->n > 1 ? b : NAN;
  note->inharmonicity_u = fit->n > 1 ? sqrt (wide * b_var) / fit->big_f : NAN;
}

static void
measure_partial (const SlHeard *heard, int k, SlPartial *out)
{
  const SlBand *band = &heard->bands[k - 1];
  SlTone tone;

  *out = (SlPartial){ .k = k, .frequency = NAN, .u = NAN, .slope = NAN, .end = NAN };
  if (band->z == NULL || heard->series->level[k - 1] < STANDS_DB)
    return;
  int from = (int) ceil ((heard->onset + SL_ATTACK_S) / band->filter.step) - (int) band->first;
  int to = (int) floor ((heard->end - band->filter.length / 2) / band->filter.step) - (int) band->first;
  from = MAX (from, 0);
  to = MIN (to, (int) band->z->len);
  if (to <= from || !sl_tone_fit (&g_array_index (band->z, double complex, from), (guint) (to - from), &band->filter,
                                  M_PI / band->filter.length, &tone))
    return;
  out->frequency = band->centre + tone.lines[0].turn / (2 * M_PI);
  out->u = tone.turn_u / (2 * M_PI);
  out->level = heard->series->level[k - 1];
  out->slope = -DB_A_NEPER * tone.lines[0].decay;
}

gboolean
sl_note_from_bands (const SlHeard *heard, SlNote *out)
{
  Fit fit;

  *out = (SlNote){ .onset = heard->onset,
                   .length = heard->end - heard->onset,
                   .expected = heard->expected,
                   .frequency = NAN,
                   .u = NAN,
                   .cents = NAN,
                   .cents_u = NAN,
                   .inharmonicity = NAN,
                   .inharmonicity_u = NAN,
                   .decay = NAN,
                   .word = heard->clipped >= CLIPPED_SAMPLES ? SL_HEARD_CLIPPED : SL_HEARD_SOFT };
  if (heard->series == NULL || out->length < LEAST_HEARD_S)
    return FALSE;
  double loudest = -INFINITY;
  for (int k = 1; k <= SL_MAX_PARTIALS; k++)
    {
      SlPartial *p = &out->partials[k - 1];

      measure_partial (heard, k, p);
      if (isfinite (p->u) && p->level > loudest)
        {
          loudest = p->level;
          out->decay = -60 / p->slope;
        }
    }
  leave_out (out, &fit);
  if (fit.n == 0 || !(fit.big_f + fit.big_fb > 0))
    return FALSE;
  say_pitch (out, &fit);
  out->settled_from = SL_ATTACK_S;
  if (out->word != SL_HEARD_CLIPPED)
    out->word = SL_HEARD_SETTLED;
  return TRUE;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */

#include "sound/heard.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_statistics.h>

#define HOP_S 0.25
#define MAX_WINDOWS 64
#define LOUD 0.025      /* of the power at its loudest */
#define ROUGH_CENTS 2.5 /* windows that agree differ by less */
#define OVER 10.0       /* or, while it sounds and that is known, over the noise */
#define ENOUGH 3        /* partials while it sounds, or else half of them */
#define NOW_S 0.2       /* of the last of them: where the string stands now */
#define WINDOW_S 0.5
#define LEAST_HEARD_S 0.4
#define LEAST_U 2e-8 /* relative: what neighbours, 90 dB down, and arithmetic leave */
#define STANDS_DB 20.0
#define SURE 0.999    /* what is less likely than 1 − this is taken for a disagreement */
#define SUNK 9.0      /* times the power at the end, until where a partial is worth a fit */
#define LONGER_S 0.6  /* and so much longer, which shows what stands beside it */
#define STEADY_DB 3.0 /* a second: what dies more slowly, and lies where the mains are, is hum */
#define MAINS 0.0015  /* of their frequency: the mains keep to it better */
#define OFF_CENTS 1.0 /* a partial so far off belongs to something else */
#define MANY_STRAYS 2
#define LOUD_STRAY_DB 12.0     /* a single one counts from here under the loudest partial on */
#define BESIDE_DB 12.0         /* so far under a partial at most lies another string's beside it */
#define BESIDE_CENTS 3.0       /* further off than one string's two ways of swinging */
#define BODY_TIMES 5.0         /* what dies so many times faster is the body's */
#define MANY_DOUBLED 3         /* one of so many partials used */
#define LEAST_B -1e-4          /* no string compresses its partials */
#define SURE_GLIDE 3.5         /* a glide is one where it is more than so many u */
#define LEAST_GLIDE_CENTS 0.01 /* and more than this */
#define FIRST_REACH 0.25       /* of the logarithm of a glide's rate, while it is sought */
#define LAST_REACH 0.05
#define MAX_ROUNDS 12
#define SLOWEST 0.2 /* 1/s */
#define FASTEST 100.0
#define FALL_CENTS 0.05 /* what still falls by this in a window is not settled, if that can be told */
#define ALIVE 1.5       /* times the noise a partial is at first; what is made of noise alone is half of it */
#define MOST_U 1.0      /* cents, of what has settled */
#define SURE_U 3.0
#define NOW_CENTS 2.0 /* what stands so far from it at the end has not settled */
#define DB_A_NEPER 8.685889638

const char *const sl_heard_word_names[] = { "settled", "gliding", "soft", "clipped", "two-notes", NULL };

/* What of a band sounds from @from to @to s after the onset; NULL where nothing does. */
static const double complex *
band_stretch (const SlBand *self, double from, double to, guint *n)
{
  double step = self->filter.step;
  double first_at = ceil (from / step) - self->first, end_at = floor (to / step) - self->first;
  int first = (int) MAX (0, first_at), end = (int) CLAMP (end_at, 0, self->z->len);

  if (end <= first)
    return NULL;
  *n = (guint) (end - first);
  return &g_array_index (self->z, double complex, first);
}

/* Least squares' slope of phase over time, weighted with the power; rad/s. @power: the mean. */
static double
turn_of (const double complex *z, const double *turned, guint n, double step, double *power)
{
  double weight = 0, t1 = 0, p1 = 0, t2 = 0, tp = 0;

  for (guint i = 0; i < n; i++)
    {
      double w = gsl_pow_2 (cabs (z[i])), t = i * step;

      weight += w;
      t1 += w * t;
      p1 += w * turned[i];
      t2 += w * t * t;
      tp += w * t * turned[i];
    }
  *power = weight / n;
  return (tp - t1 * p1 / weight) / (t2 - t1 * t1 / weight + 1e-300);
}

/* Cents of the partials from @from to @to against the middle of their bands or, @found, where they were found: the
 * median of those that are loud then. @u: its own. */
static double
window_cents (const SlHeard *heard, double from, double to, gboolean found, double *u)
{
  double cents[SL_MAX_PARTIALS];
  int n = 0, bands = 0;

  for (int k = 0; k < SL_MAX_PARTIALS; k++)
    {
      SlBand *band = &heard->bands[k];
      guint m = 0;
      const double complex *z = band->z != NULL ? band_stretch (band, from, to, &m) : NULL;
      double power;

      if (z == NULL || m < 4)
        continue;
      double turn = turn_of (z, (const double *) band->turned->data + (z - (const double complex *) band->z->data), m,
                             band->filter.step, &power);
      band->loudest = MAX (band->loudest, power);
      bands++;
      if (power >= (heard->ended || !(band->noise > 0) ? LOUD * band->loudest : gsl_pow_2 (OVER * band->noise)))
        cents[n++] = 1200 / M_LN2 * log1p ((turn - (found ? band->turn : 0)) / (2 * M_PI * band->centre));
    }
  if (n == 0 || (2 * n < bands && (heard->ended || n < ENOUGH)))
    return NAN;
  double median = gsl_stats_median (cents, 1, (size_t) n);
  *u = gsl_stats_absdev_m (cents, 1, (size_t) n, median) / sqrt (n);
  return median;
}

/* From when on, s after the onset, windows of WINDOW_S agree with the last one in which the string is still loud; to
 * some cents, since what stands beside the partials is in it. @last: where that one begins, NAN where none is loud. */
static double
settle_roughly (const SlHeard *heard, double *last)
{
  double settled = NAN, at = NAN, u, late = heard->end - WINDOW_S - heard->bands[0].filter.length / 2;
  int n = CLAMP ((int) floor ((late - SL_ATTACK_S) / HOP_S) + 1, 0, MAX_WINDOWS);

  *last = NAN;
  for (int w = n - 1; w > 0; w--) /* how loud each gets */
    window_cents (heard, late - w * HOP_S, late - w * HOP_S + WINDOW_S, FALSE, &u);
  for (int w = 0; w < n; w++)
    {
      double from = late - w * HOP_S, cents = window_cents (heard, from, from + WINDOW_S, FALSE, &u);

      if (isnan (*last) && isnan (cents))
        continue;
      if (isnan (*last))
        {
          *last = from;
          at = cents;
        }
      if (!(fabs (cents - at) < ROUGH_CENTS))
        return settled;
      settled = from;
    }
  return SL_ATTACK_S;
}

/* Cents at the end of that window over where the partials were found. */
static double
settle_now (const SlHeard *heard, double last, double *u)
{
  double to = isfinite (last) ? last + WINDOW_S : heard->end;

  return window_cents (heard, MAX (to - NOW_S, SL_ATTACK_S), to, TRUE, u);
}

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

/* @u: in cents */
static void
say_frequency (SlNote *note, double frequency, double u)
{
  note->frequency = frequency;
  note->u = u * frequency * M_LN2 / 1200;
  note->cents = 1200 * log2 (frequency / note->expected);
  note->cents_u = u;
}

static void
say_pitch (SlNote *note, const Fit *fit, double common_u)
{
  double f2 = fit->big_f + fit->big_fb, b = fit->big_fb / fit->big_f, var = fit->cov[0] + 2 * fit->cov[1] + fit->cov[2],
         b_var = fit->cov[2] - 2 * b * fit->cov[1] + b * b * fit->cov[0], wide = 1;

  if (fit->n > 2 && fit->chi2 > gsl_cdf_chisq_Pinv (SURE, fit->n - 2))
    wide = fit->chi2 / (fit->n - 2);
  note->n_partials = fit->n;
  say_frequency (note, sqrt (f2), 1200 / M_LN2 * hypot (sqrt (wide * var) / (2 * f2), common_u));
  note->inharmonicity = fit->n > 1 ? b : NAN;
  note->inharmonicity_u = fit->n > 1 ? sqrt (wide * b_var) / fit->big_f : NAN;
}

/* The partials from @from to @to s after the onset, and how a hard pluck's sharpness dies there: at @rate, from @cents
 * at @from; rate 0: not looked for. */
typedef struct
{
  const SlHeard *heard;
  double from, to, rate;
  double cents, u, misfit;
  SlTone tones[SL_MAX_PARTIALS];
  gboolean stands[SL_MAX_PARTIALS];
} Stretch;

/* How many of @n samples are worth a fit: those until it sinks into what is there at the end, and some more of that. */
static guint
worth (const double complex *z, guint n, double step)
{
  guint rest = n / 4, more = (guint) (LONGER_S / step), last = 0;
  double power = 0;

  if (rest < 2 * more)
    return n;
  for (guint i = n - rest; i < n; i++)
    power += (creal (z[i]) * creal (z[i]) + cimag (z[i]) * cimag (z[i])) / rest;
  for (guint i = 0; i < n; i++)
    if (creal (z[i]) * creal (z[i]) + cimag (z[i]) * cimag (z[i]) > SUNK * power)
      last = i;
  return last < more ? n : MIN (n, last + more);
}

static const double complex *
samples_of (const Stretch *self, int k, guint *n)
{
  const SlBand *band = &self->heard->bands[k - 1];
  double to = MIN (self->to, self->heard->end) - band->filter.length / 2;

  *n = 0;
  if (band->z == NULL || self->heard->series->level[k - 1] < STANDS_DB)
    return NULL;
  const double complex *z = band_stretch (band, self->from, to, n);
  *n = worth (z, *n, band->filter.step);
  return z;
}

/* All partials, lowest first; what those before say of the glide is where the next one's fit begins. @again: from where
 * they are. */
static void
measure (Stretch *self, gboolean again)
{
  double weights = 0, sum = 0;

  self->misfit = 0;
  for (int k = 1; k <= SL_MAX_PARTIALS; k++)
    {
      SlTone *tone = &self->tones[k - 1];
      guint n = 0;
      const double complex *z = samples_of (self, k, &n);
      const SlBand *band = &self->heard->bands[k - 1];
      double density = tone->density, a_cent = 2 * M_PI * band->centre * M_LN2 / 1200;

      if (again && self->stands[k - 1])
        self->stands[k - 1] = sl_tone_again (z, n, &band->filter, self->rate, tone);
      else if (!again)
        self->stands[k - 1] =
            z != NULL &&
            sl_tone_fit (z, n, &band->filter, M_PI / band->filter.length, a_cent * self->cents, self->rate, tone) &&
            exp (tone->lines[0].log_level) > ALIVE * tone->noise;
      if (!self->stands[k - 1])
        continue;
      self->misfit += tone->misfit / gsl_pow_2 (again ? density : tone->density);
      if (!(self->rate > 0))
        continue;
      weights += gsl_pow_2 (a_cent / tone->bend_u);
      sum += tone->bend / a_cent * gsl_pow_2 (a_cent / tone->bend_u);
      self->cents = sum / weights;
      self->u = 1 / sqrt (weights);
    }
}

/* At what rate tension's rise by amplitude dies: twice as fast as the loudest partial, 1/s (Fletcher and Rossing, The
 * Physics of Musical Instruments, 5.1). */
static double
bend_rate (const Stretch *self)
{
  double most = -INFINITY, decay = 0;

  for (int k = 0; k < SL_MAX_PARTIALS; k++)
    if (self->stands[k] && self->tones[k].lines[0].log_level > most)
      {
        most = self->tones[k].lines[0].log_level;
        decay = self->tones[k].lines[0].decay;
      }
  return CLAMP (2 * decay, 0.5, 60);
}

/* Relative change of the partials' frequencies from @a to @b, as they weigh. */
static double
change (const Stretch *a, const Stretch *b)
{
  double sum = 0, weights = 0;

  for (int k = 0; k < SL_MAX_PARTIALS; k++)
    if (a->stands[k] && b->stands[k])
      {
        double f = 2 * M_PI * a->heard->bands[k].centre, w = gsl_pow_2 (f / a->tones[k].turn_u);

        weights += w;
        sum += w * (b->tones[k].lines[0].turn - a->tones[k].lines[0].turn) / f;
      }
  return weights > 0 ? sum / weights : 0;
}

/* At what rate the glide is best fitted: close to there the misfit is a parabola over the rate's logarithm. Returns
 * what u of that logarithm makes of the frequencies, relative. */
static double
find_rate (Stretch *self)
{
  double h = FIRST_REACH;

  for (int round = 0; round < MAX_ROUNDS && self->rate > SLOWEST && self->rate < FASTEST; round++)
    {
      Stretch slow = *self, fast = *self;

      slow.rate *= exp (-h);
      fast.rate *= exp (h);
      measure (self, TRUE);
      measure (&slow, TRUE);
      measure (&fast, TRUE);
      double down = (slow.misfit - fast.misfit) / (2 * h),
             bend = (slow.misfit - 2 * self->misfit + fast.misfit) / (h * h),
             off = bend > 0 ? down / bend : 2 * h * (down > 0 ? 1 : -1);
      self->rate *= exp (CLAMP (off, -2 * h, 2 * h));
      if (fabs (off) < h && h < LAST_REACH)
        {
          measure (self, TRUE);
          return fabs (change (&slow, &fast)) / (2 * h) * sqrt (2 / bend);
        }
      if (fabs (off) < h)
        h /= 4;
    }
  measure (self, TRUE);
  return 0;
}

/* Mains hum, taken for a partial: it doesn't die, and lies on a multiple of 50 or 60 Hz. */
static gboolean
is_hum (const SlPartial *p)
{
  double f = p->frequency, off = MIN (fabs (f - 50 * rint (f / 50)), fabs (f - 60 * rint (f / 60)));

  return p->slope > -STEADY_DB && off < MAINS * f;
}

/* Whether another string's partial lies beside: about as loud, dying, and further off than one string beats. */
static gboolean
is_doubled (const SlTone *tone, double centre)
{
  const SlLine *own = tone->lines;
  for (int i = 1; i < tone->n_lines; i++)
    {
      const SlLine *line = &tone->lines[i];
      if (1200 / M_LN2 * fabs (line->turn - own->turn) > BESIDE_CENTS * 2 * M_PI * centre &&
          DB_A_NEPER * (line->log_level - own->log_level) > -BESIDE_DB && line->decay > STEADY_DB / DB_A_NEPER / 2 &&
          line->decay < BODY_TIMES * own->decay)
        return TRUE;
    }
  return FALSE;
}

static void
fill_in (const Stretch *self, SlNote *out)
{
  double most = -INFINITY;

  for (int k = 1; k <= SL_MAX_PARTIALS; k++)
    {
      SlPartial *p = &out->partials[k - 1];
      const SlTone *tone = &self->tones[k - 1];

      *p = (SlPartial){ .k = k, .frequency = NAN, .u = NAN, .slope = NAN };
      if (!self->stands[k - 1])
        continue;
      p->frequency = self->heard->bands[k - 1].centre + tone->lines[0].turn / (2 * M_PI);
      p->u = hypot (tone->turn_u / (2 * M_PI), LEAST_U * p->frequency);
      p->level = self->heard->series->level[k - 1];
      p->slope = -DB_A_NEPER * tone->lines[0].decay;
      SlBand *band = &self->heard->bands[k - 1];
      band->noise = band->noise > 0 ? MIN (band->noise, tone->noise) : tone->noise;
      band->turn = tone->lines[0].turn;
      p->doubled = is_doubled (tone, self->heard->bands[k - 1].centre);
      p->disagrees = is_hum (p) || p->slope > STEADY_DB;
      if (!p->disagrees && p->level > most)
        {
          most = p->level;
          out->decay = p->slope < 0 ? -60 / p->slope : NAN;
        }
    }
}

/* Where the pitch no longer falls by more than can be told in a window, and the partials as they are from there on.
 * @common_u: relative, of all of them together. */
static SlHeardWord
settle (const SlHeard *heard, SlNote *out, double *common_u, double *last)
{
  Stretch all = { .heard = heard, .to = INFINITY };

  all.from = settle_roughly (heard, last);
  out->settled_from = all.from;
  if (all.from >= *last)
    {
      all.to = all.from + WINDOW_S;
      measure (&all, FALSE);
      fill_in (&all, out);
      return SL_HEARD_GLIDING;
    }
  measure (&all, FALSE);
  all.rate = bend_rate (&all);
  measure (&all, TRUE);
  if (fabs (all.cents) < MAX (SURE_GLIDE * all.u, LEAST_GLIDE_CENTS))
    {
      all.rate = 0;
      measure (&all, TRUE);
      fill_in (&all, out);
      return SL_HEARD_SETTLED;
    }
  *common_u = find_rate (&all);
  fill_in (&all, out);
  double over = fabs (all.cents) * -expm1 (-all.rate * WINDOW_S) / MAX (FALL_CENTS, 2 * all.u);
  out->settled_from += over > 1 ? log (over) / all.rate : 0;
  return out->settled_from > heard->end - WINDOW_S ? SL_HEARD_GLIDING : SL_HEARD_SETTLED;
}

/* Peaks aside of the series, partials of it that aren't where the others have them, or that lie two together. */
static gboolean
two_notes (const SlSeries *series, const SlNote *note, const Fit *fit)
{
  int out = 0, doubled = 0, surest = 0;

  for (int i = 0; i < SL_MAX_PARTIALS; i++)
    {
      const SlPartial *p = &note->partials[i];
      doubled += p->doubled;
      double f = p->k * sqrt (fit->big_f + fit->big_fb * p->k * p->k);

      out += p->disagrees && !is_hum (p) && fabs (1200 * log2 (p->frequency / f)) > OFF_CENTS;
    }
  for (int i = 1; i < fit->n; i++)
    if (fit->u[i] / fit->f[i] < fit->u[surest] / fit->f[surest])
      surest = i;
  return series->n_strays >= MANY_STRAYS || (series->n_strays > 0 && series->stray > series->loudest - LOUD_STRAY_DB) ||
         out >= MANY_STRAYS || note->partials[fit->k[surest] - 1].doubled ||
         (doubled > 0 && MANY_DOUBLED * doubled >= fit->n) ||
         note->inharmonicity < MIN (LEAST_B, -SURE_GLIDE * note->inharmonicity_u);
}

/* 1 where U is a hundredth of a cent, ½ at a tenth, 0 from a cent on; halved where something stands against it. */
static double
quality_of (const SlNote *note)
{
  double quality = CLAMP (-0.5 * log10 (2 * note->cents_u), 0, 1);

  return note->word == SL_HEARD_SETTLED ? quality : quality / 2;
}

gboolean
sl_note_from_bands (const SlHeard *heard, SlNote *out)
{
  Fit fit;

  *out = (SlNote){ .length = heard->end,
                   .expected = heard->expected,
                   .frequency = NAN,
                   .u = NAN,
                   .cents = NAN,
                   .cents_u = NAN,
                   .inharmonicity = NAN,
                   .inharmonicity_u = NAN,
                   .decay = NAN,
                   .word = heard->clipped ? SL_HEARD_CLIPPED : SL_HEARD_SOFT };
  if (heard->series == NULL || out->length < LEAST_HEARD_S)
    return FALSE;
  double common_u = 0, last, u;
  SlHeardWord word = settle (heard, out, &common_u, &last);
  leave_out (out, &fit);
  if (fit.n == 0 || !(fit.big_f + fit.big_fb > 0))
    return FALSE;
  say_pitch (out, &fit, common_u);
  double now = settle_now (heard, last, &u);
  if (fabs (now) > NOW_CENTS + SURE_U * u || !(out->cents_u < MOST_U))
    word = SL_HEARD_GLIDING;
  if (word == SL_HEARD_GLIDING && isfinite (now))
    say_frequency (out, out->frequency * exp2 (now / 1200), hypot (hypot (u, now / SURE_U), out->cents_u));
  if (out->word != SL_HEARD_CLIPPED)
    out->word = word != SL_HEARD_GLIDING && two_notes (heard->series, out, &fit) ? SL_HEARD_TWO_NOTES : word;
  out->quality = quality_of (out);
  return TRUE;
}

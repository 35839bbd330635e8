/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/fit/fit-parts.h"

#include <math.h>
#include <string.h>

/* What stands in for an exposure where none was read, and its standard uncertainty: our own choice. Saddles stand
 * some 1.5 to 4.5 mm out of their bridge (common practice), so that is one u to either side. */
#define ASSUMED_EXPOSURE_MM 3.0
#define ASSUMED_EXPOSURE_U_MM 1.5

/* Corrects values[1…last], which hold what is known so far, by what a set reads: at read places they become the
 * reading, in between the correction is interpolated in number, outside the nearest one is taken. Returns whether any
 * was read; @u_factor (may be NULL) gets what interpolation makes of one reading's uncertainty. */
static gboolean
correct_known (const SlReadingSet *set, SlReadingKind kind, int last, double sign, double *values, double *u_factor)
{
  gboolean read[SL_MAX_FRETS + 1] = { FALSE };
  double correction[SL_MAX_FRETS + 1] = { 0 };
  int count[SL_MAX_FRETS + 1] = { 0 };
  gboolean any = FALSE;

  for (int i = 1; i <= last; i++)
    {
      const gboolean crown = kind == SL_READ_CROWN_GAP;
      double mean = 0;

      count[i] = sl_reading_set_mean (set, kind, crown ? 0 : i, crown ? i : 0, &mean);
      read[i] = count[i] > 0;
      correction[i] = sign * mean - values[i];
      any = any || read[i];
    }
  for (int i = 1; any && i <= last; i++)
    {
      int below, above;
      double t;

      sl_bracket (read, last, i, &below, &above, &t);
      values[i] += (1 - t) * correction[below] + t * correction[above];
      if (u_factor != NULL)
        u_factor[i] = sqrt ((1 - t) * (1 - t) / count[below] + t * t / count[above]);
    }
  return any;
}

/* A straightedge says nothing of where the crowns lie as a whole: where crowns are known already, new gaps are laid
 * onto their mean level, so that what was read over them before keeps its meaning. */
static void
keep_crown_level (const SlReadingSet *set, int frets, const double *before, double *crown)
{
  double sum = 0;
  int n = 0;

  for (int i = 1; i <= frets; i++)
    {
      double mean;

      if (sl_reading_set_mean (set, SL_READ_CROWN_GAP, 0, i, &mean) == 0)
        continue;
      sum += before[i] + mean;
      n++;
    }
  for (int i = 1; i <= frets && n > 0; i++)
    crown[i] += sum / n;
}

void
sl_fill_known (const SlInstrument *instrument, const SlReadingSet *set, const SlState *carried, SlState *state)
{
  const double u = sl_reading_u (set, SL_READ_EXPOSURE);
  double values[SL_MAX_FRETS + 1] = { 0 }, factor[SL_MAX_FRETS + 1] = { 0 };

  if (carried != NULL)
    *state = *carried; /* the unknowns are fitted anew */
  for (int s = 0; s < instrument->n_strings && carried == NULL; s++)
    {
      state->exposure[s] = ASSUMED_EXPOSURE_MM;
      state->exposure_u[s] = ASSUMED_EXPOSURE_U_MM;
    }
  /* arrays per fret count from 1, arrays per string from 0 */
  if (correct_known (set, SL_READ_CROWN_GAP, instrument->frets, -1, state->crown, NULL))
    {
      if (state->crowns_read)
        keep_crown_level (set, instrument->frets, carried->crown, state->crown);
      state->crowns_read = TRUE;
    }
  memcpy (values + 1, state->setback, sizeof state->setback);
  if (correct_known (set, SL_READ_SETBACK, instrument->n_strings, 1, values, NULL))
    state->setback_read = TRUE;
  memcpy (state->setback, values + 1, sizeof state->setback);
  memcpy (values + 1, state->exposure, sizeof state->exposure);
  if (correct_known (set, SL_READ_EXPOSURE, instrument->n_strings, 1, values, factor))
    {
      for (int s = 1; s <= instrument->n_strings; s++)
        state->exposure_u[s - 1] = u * factor[s];
      state->exposure_read = TRUE;
    }
  memcpy (state->exposure, values + 1, sizeof state->exposure);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/frets.h"

#include <math.h>
#include <string.h>

double
sl_crown_radius (double width_mm, double height_mm)
{
  return (width_mm * width_mm / 4 + height_mm * height_mm) / (2 * height_mm);
}

double
sl_crown_land (double radius_mm, double depth_mm)
{
  double depth = CLAMP (depth_mm, 0, radius_mm);

  return 2 * sqrt (2 * radius_mm * depth - depth * depth);
}

/* Mean crown height read at a fret; NAN where none was. */
static double
height_read (const SlReadingSet *set, int fret)
{
  double sum = 0;
  int n = 0;

  for (guint i = 0; set != NULL && i < set->readings->len; i++)
    {
      const SlReading *r = &g_array_index (set->readings, SlReading, i);

      if (r->kind != SL_READ_CROWN_HEIGHT || r->fret != fret || r->use == SL_USE_NEVER)
        continue;
      sum += r->value.v;
      n++;
    }
  return n > 0 ? sum / n : NAN;
}

/* Heights of all crowns before: between read ones interpolated in fret number, outside the nearest; where none is read the wire's own. */
static void
fill_heights (const SlInstrument *instrument, const SlReadingSet *set, double heights[SL_MAX_FRETS + 1])
{
  int below = 0;

  for (int n = 1; n <= instrument->frets; n++)
    heights[n] = height_read (set, n);
  for (int n = 1; n <= instrument->frets; n++)
    {
      int above = 0;

      if (!isnan (heights[n]))
        {
          below = n;
          continue;
        }
      for (int m = n + 1; m <= instrument->frets && above == 0; m++)
        if (!isnan (heights[m]))
          above = m;
      if (below == 0 && above == 0)
        heights[n] = instrument->crown_height;
      else if (below == 0)
        heights[n] = heights[above];
      else if (above == 0)
        heights[n] = heights[below];
      else
        heights[n] = heights[below] + (heights[above] - heights[below]) / (above - below);
      below = n; /* filled: the next one carries on from here */
    }
}

/* The line through the crowns of the two neighbours, at fret n, in what the crowns depart from the smooth board. */
static double
neighbours_line (const SlInstrument *in, const SlState *state, int n)
{
  double t = (in->x[n] - in->x[n - 1]) / (in->x[n + 1] - in->x[n - 1]);

  return (1 - t) * state->crown[n - 1] + t * state->crown[n + 1];
}

/* How far below the level line the tongue's fall-away puts the crown of fret n. */
static double
fall_at (const SlInstrument *in, double fall_away_mm, int n)
{
  if (n <= in->joint)
    return 0;
  return fall_away_mm * (in->x[n] - in->x[in->joint]) / (in->x[in->frets] - in->x[in->joint]);
}

static void
level_to (const SlInstrument *in, double level, double fall_away_mm, const double *crowns, SlLevelling *out)
{
  out->most_off = 0;
  out->n_lost = 0;
  for (int n = 1; n <= out->n; n++)
    {
      SlFretWork *f = &out->frets[n];
      double radius = sl_crown_radius (in->crown_width, f->height);

      f->off = MAX (0, crowns[n] - (level - fall_at (in, fall_away_mm, n)));
      f->land = sl_crown_land (radius, f->off);
      f->left = f->height - f->off;
      f->saved = f->left >= in->crown_least - 1e-9;
      out->n_lost += !f->saved;
      out->most_off = MAX (out->most_off, f->off);
    }
}

static void
fill_before (const SlInstrument *in, const SlState *state, const SlReadingSet *set, SlLevelling *out)
{
  double heights[SL_MAX_FRETS + 1];

  memset (out, 0, sizeof *out);
  out->n = in->frets;
  out->read = state->crowns_read;
  fill_heights (in, set, heights);
  for (int n = 1; n <= out->n; n++)
    {
      SlFretWork *f = &out->frets[n];

      f->height = heights[n];
      f->rocking = n > 1 && n < out->n ? state->crown[n] - neighbours_line (in, state, n) : NAN;
      f->rocks = f->rocking > SL_ROCKING_TOLERANCE_MM;
    }
}

/* The lowest crown that is not replaced. */
static int
lowest_kept (const SlState *state, const SlLevelling *work)
{
  int lowest = 0;

  for (int n = 1; n <= work->n; n++)
    if (!work->frets[n].replaced && (lowest == 0 || state->crown[n] < state->crown[lowest]))
      lowest = n;
  return lowest;
}

void
sl_level (const SlInstrument *instrument, const SlState *state, const SlReadingSet *set, double fall_away_mm, SlLevelling *out)
{
  int lowest;

  fill_before (instrument, state, set, out);
  lowest = lowest_kept (state, out);
  out->frets[lowest].lowest = TRUE;
  level_to (instrument, state->crown[lowest], fall_away_mm, state->crown, out);
}

void
sl_level_replacing (const SlInstrument *instrument, const SlState *state, const SlReadingSet *set, double fall_away_mm, SlLevelling *out)
{
  double crowns[SL_MAX_FRETS + 1];

  sl_level (instrument, state, set, fall_away_mm, out);
  memcpy (crowns, state->crown, sizeof crowns);
  for (int n = 1; n <= out->n; n++)
    {
      /* a crown too low even before anything comes off is past saving whatever the level is */
      if (out->frets[n].height >= instrument->crown_least)
        continue;
      out->frets[n].replaced = TRUE;
      out->n_replaced++;
    }
  for (;;)
    {
      int lowest = lowest_kept (state, out);

      if (lowest == 0)
        break;
      level_to (instrument, state->crown[lowest], fall_away_mm, crowns, out);
      gboolean lost = FALSE;

      for (int n = 1; n <= out->n; n++)
        lost = lost || (!out->frets[n].replaced && !out->frets[n].saved);
      if (!lost)
        break;
      out->frets[lowest].replaced = TRUE;
      out->n_replaced++;
    }

  /* new crowns: seated where the board has the old one's foot, so they stand higher by what the old one had lost */
  int lowest = lowest_kept (state, out);
  double level = 0;

  for (int n = 1; n <= out->n; n++)
    {
      SlFretWork *f = &out->frets[n];

      f->lowest = n == lowest;
      if (!f->replaced)
        continue;
      crowns[n] = state->crown[n] + instrument->crown_height - f->height;
      f->height = instrument->crown_height;
    }
  if (lowest > 0)
    level = state->crown[lowest];
  else
    {
      level = crowns[1];
      for (int n = 2; n <= out->n; n++)
        level = MIN (level, crowns[n]);
    }
  /* a new crown may still lie lower than the old ones if its slot is deep: the level follows the lowest of all */
  for (int n = 1; n <= out->n; n++)
    level = MIN (level, crowns[n]);
  level_to (instrument, level, fall_away_mm, crowns, out);
}

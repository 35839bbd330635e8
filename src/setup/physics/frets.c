/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/physics/frets.h"

#include <math.h>
#include <string.h>

#include "setup/work/work.h"

#define SLACK_MM 1e-9 /* so that a crown brought exactly to its least height is saved */

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

/* How deep the board lies below the smooth line of the crowns. */
static void
fill_feet (const SlInstrument *instrument, const SlState *state, const SlReadingSet *set, double feet[SL_MAX_FRETS + 1])
{
  gboolean read[SL_MAX_FRETS + 1] = { FALSE };
  double foot[SL_MAX_FRETS + 1] = { 0 }, highest = -INFINITY;

  for (int n = 1; n <= instrument->frets; n++)
    {
      double height = 0;

      read[n] = sl_reading_set_mean (set, SL_READ_CROWN_HEIGHT, 0, n, &height) > 0;
      foot[n] = height - state->crown[n];
      highest = MAX (highest, state->crown[n]);
    }
  for (int n = 1; n <= instrument->frets; n++)
    {
      int below, above;
      double t;

      if (sl_bracket (read, instrument->frets, n, &below, &above, &t))
        feet[n] = (1 - t) * foot[below] + t * foot[above];
      else
        feet[n] = instrument->crown_height - highest;
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

/* Takes all crowns down to @level; those on the tongue further. */
static void
level_to (const SlInstrument *in, double level, double fall_away_mm, SlLevelling *out)
{
  out->level = level;
  out->most_off = 0;
  out->n_lost = 0;
  for (int n = 1; n <= out->n; n++)
    {
      SlFretWork *f = &out->frets[n];
      double radius = sl_crown_radius (in->crown_width, f->height);

      f->off = MAX (0, f->before - (level - fall_at (in, fall_away_mm, n)));
      f->after = f->before - f->off;
      f->land = MIN (sl_crown_land (radius, f->off), in->crown_width);
      f->left = f->height - f->off;
      f->saved = f->left >= in->crown_least - SLACK_MM;
      out->n_lost += !f->saved;
      out->most_off = MAX (out->most_off, f->off);
    }
}

static void
fill_before (const SlInstrument *in, const SlState *state, const SlReadingSet *set, SlLevelling *out)
{
  double feet[SL_MAX_FRETS + 1];

  memset (out, 0, sizeof *out);
  out->n = in->frets;
  out->read = state->crowns_read;
  fill_feet (in, state, set, feet);
  for (int n = 1; n <= out->n; n++)
    {
      SlFretWork *f = &out->frets[n];

      f->before = state->crown[n];
      /* a crown can't reach below its own board, whatever was read of its neighbours */
      f->height = MAX (feet[n] + state->crown[n], SLACK_MM);
      f->rocking = n > 1 && n < out->n ? state->crown[n] - neighbours_line (in, state, n) : NAN;
      f->rocks = f->rocking > SL_ROCKING_TOLERANCE_MM;
    }
}

/* The fret all others come down to. */
static int
lowest_fret (const SlLevelling *work)
{
  int lowest = 1;

  for (int n = 2; n <= work->n; n++)
    if (work->frets[n].before < work->frets[lowest].before)
      lowest = n;
  return lowest;
}

static double
lowest_crown (const SlLevelling *work)
{
  return work->frets[lowest_fret (work)].before;
}

void
sl_level (const SlInstrument *instrument, const SlState *state, const SlReadingSet *set, double fall_away_mm,
          SlLevelling *out)
{
  fill_before (instrument, state, set, out);
  out->frets[lowest_fret (out)].lowest = TRUE;
  level_to (instrument, lowest_crown (out), fall_away_mm, out);
}

/* A new fret in place of the old one: it sits on the same board, so it stands higher by what the old crown had lost. */
static void
replace (const SlInstrument *in, SlFretWork *f)
{
  f->before += in->crown_height - f->height;
  f->height = in->crown_height;
  f->replaced = TRUE;
}

/* Replaces what doesn't reach @level, or would be lost by coming down to it. FALSE where that still leaves a fret lost.
 */
static gboolean
replace_for (const SlInstrument *in, double level, double fall_away_mm, SlLevelling *work)
{
  level_to (in, level, fall_away_mm, work);
  for (int n = 1; n <= work->n; n++)
    {
      SlFretWork *f = &work->frets[n];

      if (f->saved && f->before >= level - fall_at (in, fall_away_mm, n) - SLACK_MM)
        continue;
      replace (in, f);
      work->n_replaced++;
    }
  /* a new crown may still lie low, if the board below it does: the level follows */
  level_to (in, MIN (level, lowest_crown (work)), fall_away_mm, work);
  return work->n_lost == 0;
}

void
sl_level_replacing (const SlInstrument *instrument, const SlState *state, const SlReadingSet *set, double fall_away_mm,
                    SlLevelling *out)
{
  SlLevelling before, best;
  gboolean found = FALSE;

  fill_before (instrument, state, set, &before);
  for (int n = 1; n <= before.n; n++)
    {
      SlLevelling work = before;

      if (!replace_for (instrument, before.frets[n].before, fall_away_mm, &work))
        continue;
      if (!found || work.n_replaced < best.n_replaced ||
          (work.n_replaced == best.n_replaced && work.level > best.level))
        best = work;
      found = TRUE;
    }
  if (!found)
    {
      /* not even that saves the rest: all of them new */
      best = before;
      for (int n = 1; n <= best.n; n++)
        replace (instrument, &best.frets[n]);
      best.n_replaced = best.n;
      level_to (instrument, lowest_crown (&best), fall_away_mm, &best);
    }
  *out = best;
  out->frets[lowest_fret (out)].lowest = TRUE;
}

void
sl_levelling_apply (const SlLevelling *work, SlState *state)
{
  for (int n = 1; n <= work->n; n++)
    state->crown[n] = work->frets[n].after;
}

gboolean
sl_planned_levelling (const GArray *plan, const char *taken, double *fall_away_mm)
{
  *fall_away_mm = 0;
  for (guint i = 0; plan != NULL && i < plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (plan, SlOperation, i);

      if (operation->kind != SL_OP_LEVEL_FRETS || sl_operation_is_past (operation, taken))
        continue;
      *fall_away_mm = sl_number_or (operation->amount, 0);
      return TRUE;
    }
  return FALSE;
}

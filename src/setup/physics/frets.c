/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/physics/frets.h"

#include <gsl/gsl_statistics_double.h>

#include "setup/profile/bounds.h"

#define SLACK_MM 1e-9           /* so that a crown brought exactly to its least height is saved */
#define RISING_MM 0.05          /* a tongue that rises by less is straight: our own choice */
#define FEW_NEW_FRETS 5         /* as many are replaced in a row without a refret: common practice */
#define WORTH_REPLACING_MM 0.05 /* of crown life: our own choice */
#define BIT(n) (G_GUINT64_CONSTANT (1) << (n))

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

/* ---- where crowns are ---- */

/* Where the crowns up to the joint lie as a whole, over the smooth line, mm: their median. The chord carried on over
 * the tongue starts from there. */
static double
board_level (const SlInstrument *instrument, const SlState *state)
{
  double crowns[SL_MAX_FRETS];

  memcpy (crowns, state->crown + 1, (gsize) instrument->joint * sizeof *crowns);
  return gsl_stats_median (crowns, 1, (size_t) instrument->joint);
}

double
sl_tongue_share (const SlInstrument *in, int n)
{
  if (n <= in->joint)
    return 0;
  const double *x = in->x[0]; /* the same share of every string */

  return (x[n] - x[in->joint]) / (x[in->frets] - x[in->joint]);
}

double
sl_played_fall (const SlInstrument *in, const SlState *state)
{
  const double above = sl_state_mean_relief (state) - in->target_relief, fall = state->u[SL_FALL_AWAY];

  if (in->frets <= in->joint || above <= in->relief_tolerance + SLACK_MM)
    return fall;
  return fall + sl_rod_lift (in, 1, above, in->x[0][in->frets]);
}

double
sl_height_over_chord (const SlInstrument *in, const SlState *state, int n)
{
  return state->crown[n] - board_level (in, state) - sl_played_fall (in, state) * sl_tongue_share (in, n);
}

double
sl_tongue_fall (const SlInstrument *in, const SlState *state)
{
  double down = 0, along = 0;

  for (int n = in->joint + 1; n <= in->frets; n++)
    {
      const double share = sl_tongue_share (in, n);

      down -= share * sl_height_over_chord (in, state, n);
      along += share * share;
    }
  return along > 0 ? down / along : 0;
}

static double
fall_u (const SlState *state)
{
  return sqrt (MAX (0, state->cov[SL_FALL_AWAY * state->n_unknowns + SL_FALL_AWAY]));
}

gboolean
sl_tongue_rises (const SlInstrument *in, const SlState *state, double *u)
{
  if (u != NULL)
    *u = fall_u (state);
  return sl_tongue_fall (in, state) + SL_COVERAGE * fall_u (state) < -RISING_MM;
}

gboolean
sl_tongue_crown_high (const SlInstrument *in, const SlState *state, int n)
{
  const double unsure = sl_tongue_rises (in, state, NULL) ? 0 : MAX (0, -sl_played_fall (in, state));

  return sl_height_over_chord (in, state, n) - unsure * sl_tongue_share (in, n) > SL_CROWN_TOLERANCE_MM + SLACK_MM;
}

double
sl_crown_low_point (const SlState *state, int n)
{
  const double mark = sl_state_mark (state, n);

  return mark > SL_MARK_LEFT_MM + SLACK_MM ? state->crown[n] - mark : state->crown[n];
}

static int
lowest_fret (const SlInstrument *in, const SlState *state)
{
  int lowest = 1;

  for (int n = 2; n <= in->joint; n++)
    if (sl_crown_low_point (state, n) < sl_crown_low_point (state, lowest))
      lowest = n;
  return lowest;
}

double
sl_lowest_crown (const SlInstrument *in, const SlState *state)
{
  return sl_crown_low_point (state, lowest_fret (in, state));
}

double
sl_crown_spread (const SlInstrument *in, const SlState *state)
{
  double highest = -INFINITY;

  for (int n = 1; n <= in->joint; n++)
    highest = MAX (highest, state->crown[n]);
  return highest - sl_lowest_crown (in, state);
}

/* ---- what work makes of them ---- */

/* The line through the crowns of the nearest frets up to the joint that are not in @named, at fret @n; at an end that
 * of the nearest one. FALSE where none is left. */
static gboolean
kept_line (const SlInstrument *in, const SlState *state, guint64 named, int n, double *line)
{
  gboolean kept[SL_MAX_FRETS + 1] = { FALSE };
  int below, above;
  double t;

  for (int i = 1; i <= in->joint; i++)
    kept[i] = (named & BIT (i)) == 0;
  if (!sl_bracket (kept, in->joint, n, &below, &above, &t))
    return FALSE;
  t = above == below ? 0 : (in->x[0][n] - in->x[0][below]) / (in->x[0][above] - in->x[0][below]);
  *line = (1 - t) * state->crown[below] + t * state->crown[above];
  return TRUE;
}

/* The line that crowns beyond the joint come down to where they stand above it, as a deviation d_n: the fall-away
 * below the chord carried on from @level. */
static double
tongue_line (const SlInstrument *in, const SlState *state, double level, double fall_away, int n)
{
  return level + (sl_played_fall (in, state) - fall_away) * sl_tongue_share (in, n);
}

guint64
sl_fret_bits (int from, int to)
{
  guint64 bits = 0;

  for (int n = MAX (from, 1); n <= MIN (to, SL_MAX_FRETS); n++)
    bits |= BIT (n);
  return bits;
}

gboolean
sl_levels_board (const SlInstrument *in, const SlOperation *level)
{
  const guint64 board = sl_fret_bits (1, in->joint);

  return level->frets == 0 || (level->frets & board) == board;
}

/* Where the board lies when it is levelled: what the crowns beyond the joint are taken from, and with it those up to
 * there where they all come down. */
static double
board_after (const SlInstrument *in, const SlState *state, const SlOperation *level)
{
  SlState after = *state;
  double line;

  if (sl_levels_board (in, level))
    return sl_lowest_crown (in, state);
  for (int n = 1; n <= in->joint; n++)
    if ((level->frets & BIT (n)) != 0 && kept_line (in, state, level->frets, n, &line))
      after.crown[n] = MIN (after.crown[n], line);
  return board_level (in, &after);
}

/* Where levelling takes the crown of fret @n, if it stands above that. */
static double
levelled (const SlInstrument *in, const SlState *state, const SlOperation *level, double board, int n)
{
  double line;

  if (level->frets != 0 && (level->frets & BIT (n)) == 0)
    return INFINITY;
  if (n > in->joint)
    return tongue_line (in, state, board, sl_number_or (level->amount, 0), n);
  return !sl_levels_board (in, level) && kept_line (in, state, level->frets, n, &line) ? line : board;
}

gboolean
sl_moves_zero_fret (const SlOperation *work)
{
  return work->kind == SL_OP_REPLACE_FRETS ? work->from < 1 : (work->frets & 1) != 0;
}

/* The zero fret stands @over the smooth line below every string, or where it is only levelled, no lower than that. */
static void
put_zero_fret (const SlInstrument *in, double over, gboolean new, SlState *state)
{
  for (int s = 1; s <= state->n_strings; s++)
    {
      double *rest = &state->u[SL_NUT_HEIGHT + s - 1],
             top = over - sl_state_relief (state, s) * sl_bow_shape (in, s, 0);

      *rest = new ? top : MIN (*rest, top);
    }
}

static void
level_crowns (const SlInstrument *in, const SlOperation *level, SlState *state)
{
  const SlState before = *state;
  const double board = board_after (in, &before, level);

  for (int n = 1; n <= in->frets; n++)
    {
      const double off = MAX (0, before.crown[n] - levelled (in, &before, level, board, n));

      state->crown[n] = before.crown[n] - off;
      for (int s = 1; s <= state->n_strings && off > 0; s++)
        sl_state_set_wear (state, s, n, sl_state_wear (&before, s, n) - off);
    }
  if (sl_moves_zero_fret (level))
    put_zero_fret (in, levelled (in, &before, level, board, 0), FALSE, state);
}

/* How high a new crown of the wire stands over the smooth line before anything comes off it. */
static double
full_crown (const SlInstrument *in, const SlState *state, double wire_mm, int n)
{
  return state->board[n] + wire_mm - in->crown_height;
}

static void
put_crown (SlState *state, int n, double top)
{
  state->crown[n] = top;
  for (int s = 1; s <= state->n_strings; s++)
    sl_state_set_wear (state, s, n, 0);
}

/* New crowns come down to the rest: up to the joint to the line of those that stay, beyond it to the smooth tongue, or
 * where that stands above it to the fall-away. */
static void
replace_crowns (const SlInstrument *in, const SlOperation *new, SlState *state)
{
  const double wire = sl_number_or (new->amount_treble, in->crown_height);
  const guint64 named = sl_fret_bits (new->from, MIN (new->to, in->frets));
  const SlState before = *state;
  double level = INFINITY, line;

  /* with none left to go by they are levelled among themselves */
  for (int n = 1; n <= in->joint; n++)
    level = MIN (level, full_crown (in, &before, wire, n));
  for (int n = new->from; n <= MIN (new->to, in->frets); n++)
    {
      if (n > in->joint)
        line =
            MIN (board_level (in, state), tongue_line (in, &before, board_level (in, state), in->target_fall_away, n));
      else if (!kept_line (in, &before, named, n, &line))
        line = level;
      if (n > 0 || new->to > 0 || !sl_number_is_set (new->amount_treble)) /* a zero fret of a given height has it */
        line = MIN (line, full_crown (in, &before, wire, n));
      else
        line = full_crown (in, &before, wire, n);
      if (n == 0)
        put_zero_fret (in, line, TRUE, state);
      else
        put_crown (state, n, line);
    }
}

void
sl_work_crowns (const SlInstrument *instrument, const SlOperation *operation, SlState *state)
{
  if (operation->kind == SL_OP_REPLACE_FRETS)
    replace_crowns (instrument, operation, state);
  else
    level_crowns (instrument, operation, state);
}

/* ---- fret by fret ---- */

/* The line through the crowns of the two neighbours, at fret n, in what the crowns depart from the smooth board. */
static double
neighbours_line (const SlInstrument *in, const SlState *state, int n)
{
  const double *x = in->x[0];
  double t = (x[n] - x[n - 1]) / (x[n + 1] - x[n - 1]);

  return (1 - t) * state->crown[n - 1] + t * state->crown[n + 1];
}

static void
find_rocking (const SlInstrument *in, const SlState *state, SlLevelling *out)
{
  for (int n = 1; n <= out->n; n++)
    {
      SlFretWork *f = &out->frets[n];

      f->rocking = n > 1 && n < out->n ? state->crown[n] - neighbours_line (in, state, n) : NAN;
      f->rocks = f->rocking > SL_ROCKING_TOLERANCE_MM;
    }
}

static void
fill_before (const SlInstrument *in, const SlState *state, SlLevelling *out)
{
  memset (out, 0, sizeof *out);
  out->n = in->frets;
  out->read = state->crowns_read;
  for (int n = 1; n <= out->n; n++)
    {
      SlFretWork *f = &out->frets[n];

      f->before = state->crown[n];
      f->mark = sl_state_mark (state, n);
      f->width = in->crown_width;
      /* a crown can't reach below its own board, whatever was read of its neighbours */
      f->height = MAX (sl_state_crown_over_board (in, state, n), SLACK_MM);
    }
  find_rocking (in, state, out);
}

static void
take_off (const SlInstrument *in, SlFretWork *f, double off)
{
  f->off = off;
  f->after = f->before - off;
  f->land = MIN (sl_crown_land (sl_crown_radius (f->width, f->height), off), f->width);
  f->left = f->height - off;
  f->saved = f->left >= in->crown_least - SLACK_MM;
}

void
sl_level (const SlInstrument *instrument, const SlState *state, const SlOperation *level, SlLevelling *out)
{
  fill_before (instrument, state, out);
  out->level = board_after (instrument, state, level);
  out->fall_away = sl_number_or (level->amount, 0);
  out->named = level->frets;
  out->lowest = sl_levels_board (instrument, level) ? lowest_fret (instrument, state) : 0;
  out->frets[out->lowest].lowest = out->read && out->lowest > 0; /* unread, all are taken as level */
  out->least_left = INFINITY;
  for (int n = 1; n <= out->n; n++)
    {
      SlFretWork *f = &out->frets[n];

      take_off (instrument, f, MAX (0, f->before - levelled (instrument, state, level, out->level, n)));
      out->n_lost += !f->saved;
      out->most_off = MAX (out->most_off, f->off);
      out->sum_off += f->off;
      out->least_left = MIN (out->least_left, f->left);
      out->deepest = MAX (out->deepest, f->mark - f->off);
    }
}

/* ---- new frets ---- */

/* Levels the board with new frets in place of some. They sit on the same board, so they stand higher by what the old
 * crowns had lost. */
static void
level_with_new (const SlInstrument *in, const SlState *state, guint64 replaced, double fall_away, SlLevelling *out)
{
  SlOperation level = sl_operation_init (SL_OP_LEVEL_FRETS);
  SlState renewed = *state;

  level.amount = sl_number (fall_away);
  for (int n = 1; n <= in->frets; n++)
    if ((replaced & BIT (n)) != 0)
      put_crown (&renewed, n, full_crown (in, state, in->crown_height, n));
  sl_level (in, &renewed, &level, out);
  find_rocking (in, state, out);
  for (int n = 1; n <= in->frets; n++)
    {
      out->frets[n].replaced = (replaced & BIT (n)) != 0;
      out->n_replaced += out->frets[n].replaced;
    }
}

/* The frets that don't reach @level, or would be lost by coming down to it. */
static guint64
lost_at (const SlInstrument *in, const SlState *state, double level, double fall_away)
{
  guint64 lost = 0;

  for (int n = 1; n <= in->frets; n++)
    {
      const double line = n > in->joint ? tongue_line (in, state, level, fall_away, n) : level,
                   left = sl_state_crown_over_board (in, state, n) - MAX (0, state->crown[n] - line);

      if (left < in->crown_least - SLACK_MM || (n <= in->joint && sl_crown_low_point (state, n) < level - SLACK_MM))
        lost |= BIT (n);
    }
  return lost;
}

/* A new crown may itself lie low, if the board below it does: then the others come down to that. */
static void
replace_fewest (const SlInstrument *in, const SlState *state, double fall_away, SlLevelling *best)
{
  gboolean found = FALSE;

  for (int n = 1; n <= in->joint; n++)
    {
      SlLevelling work;

      level_with_new (in, state, lost_at (in, state, sl_crown_low_point (state, n), fall_away), fall_away, &work);
      if (work.n_lost > 0)
        continue;
      if (!found || work.n_replaced < best->n_replaced ||
          (work.n_replaced == best->n_replaced && work.level > best->level))
        *best = work;
      found = TRUE;
    }
  /* not even that saves the rest: all of them new */
  if (!found)
    level_with_new (in, state, sl_fret_bits (1, in->frets), fall_away, best);
}

/* @best is what levelling alone leaves. */
static void
replace_in_a_row (const SlInstrument *in, const SlState *state, double fall_away, SlLevelling *best)
{
  const double worth = best->least_left + WORTH_REPLACING_MM;

  for (int most = 1; most <= FEW_NEW_FRETS; most++)
    for (int from = 1; from + most - 1 <= in->joint; from++)
      {
        SlLevelling work;

        level_with_new (in, state, sl_fret_bits (from, from + most - 1), fall_away, &work);
        if (work.least_left >= worth - SLACK_MM && work.least_left > best->least_left + SLACK_MM)
          *best = work;
      }
}

void
sl_level_replacing (const SlInstrument *instrument, const SlState *state, double fall_away_mm, SlLevelling *out)
{
  level_with_new (instrument, state, 0, fall_away_mm, out);
  if (out->n_lost > 0)
    replace_fewest (instrument, state, fall_away_mm, out);
  else
    replace_in_a_row (instrument, state, fall_away_mm, out);
}

/* ---- what is planned ---- */

gboolean
sl_level_planned (const SlInstrument *instrument, const SlState *state, const GArray *plan, const char *taken,
                  SlLevelling *out)
{
  SlOperation level = sl_operation_init (SL_OP_LEVEL_FRETS);
  double width[SL_MAX_FRETS + 1] = { 0 }; /* of new crowns */
  SlState renewed = *state;
  gboolean planned = FALSE;

  SL_EACH (const SlOperation, operation, plan)
    {
      if (sl_operation_is_past (operation, taken))
        continue;
      if (operation->kind == SL_OP_REPLACE_FRETS)
        {
          sl_work_crowns (instrument, operation, &renewed);
          for (int n = operation->from; n <= MIN (operation->to, instrument->frets); n++)
            width[n] = sl_number_or (operation->amount, instrument->crown_width);
        }
      if (operation->kind != SL_OP_LEVEL_FRETS || planned)
        continue;
      level = *operation;
      planned = TRUE;
    }
  sl_level (instrument, &renewed, &level, out);
  for (int n = 1; n <= out->n; n++)
    {
      SlFretWork *f = &out->frets[n];

      f->replaced = width[n] > 0;
      out->n_replaced += f->replaced;
      f->width = f->replaced ? width[n] : f->width;
      take_off (instrument, f, f->off);
    }
  return planned;
}

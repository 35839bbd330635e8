/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/fit/reading-row.h"

#include "setup/profile/shop.h"

#define TUNER_ERROR_LIMIT_CENTS 0.5 /* our own choice */

/* Adds @weight × (top of crown n below string s) to a row. */
static void
add_crown (const SlInstrument *instrument, const SlState *known, int string, int n, double weight, double *row,
           double *constant)
{
  double relief, fall;
  const double b = sl_bass_share (string, instrument->n_strings);

  sl_crown_weights (instrument, n, &relief, &fall);
  row[SL_RELIEF_TREBLE] += weight * relief * (1 - b);
  row[SL_RELIEF_BASS] += weight * relief * b;
  row[SL_FALL_AWAY] += weight * fall;
  *constant += weight * known->crown[n];
}

/* The same where the string lies on the crown or hangs over it, which is in the mark it has worn there; a straightedge
 * spans the marks. */
static void
add_played_crown (const SlInstrument *instrument, const SlState *known, int string, int n, double weight, double *row,
                  double *constant)
{
  add_crown (instrument, known, string, n, weight, row, constant);
  *constant -= weight * sl_state_wear (known, string, n);
}

void
sl_add_gap (const SlInstrument *instrument, const SlState *known, int string, int held, int n, double weight,
            double *row, double *constant)
{
  const int nut = SL_NUT_HEIGHT + string - 1, crest = nut + instrument->n_strings;
  const double *x = instrument->x[string - 1], x_s = instrument->scale[string - 1] + known->setback[string - 1];
  double t = (x[n] - x[held]) / (x_s - x[held]);

  row[crest] += weight * t;
  if (held == 0)
    row[nut] += weight * (1 - t);
  else
    add_played_crown (instrument, known, string, held, weight * (1 - t), row, constant);
  add_played_crown (instrument, known, string, n, -weight, row, constant);
}

/* The chord through the actual crowns of fret 1 and the joint, at fret n, less the crown there. */
static void
add_chord (const SlInstrument *instrument, const SlState *known, int string, int n, double *row, double *constant)
{
  const double *x = instrument->x[string - 1];
  double t = (x[n] - x[1]) / (x[instrument->joint] - x[1]);

  add_crown (instrument, known, string, 1, 1 - t, row, constant);
  add_crown (instrument, known, string, instrument->joint, t, row, constant);
  add_crown (instrument, known, string, n, -1, row, constant);
}

void
sl_reading_row (const SlInstrument *instrument, const SlState *known, const SlReading *reading,
                double row[SL_MAX_UNKNOWNS], double *constant)
{
  const int s = reading->string;

  memset (row, 0, SL_MAX_UNKNOWNS * sizeof *row);
  *constant = 0;
  switch (reading->kind)
    {
    case SL_READ_RELIEF: add_chord (instrument, known, s, reading->fret, row, constant); break;
    case SL_READ_TONGUE: add_chord (instrument, known, 1, instrument->frets, row, constant); break;
    case SL_READ_FIRST_GAP:
      if (reading->held == SL_HELD_3)
        {
          double t = instrument->x[s - 1][1] / instrument->x[s - 1][3];

          row[SL_NUT_HEIGHT + s - 1] += 1 - t;
          add_played_crown (instrument, known, s, 3, t, row, constant);
          add_played_crown (instrument, known, s, 1, -1, row, constant);
        }
      else
        sl_add_gap (instrument, known, s, 0, 1, 1, row, constant);
      break;
    case SL_READ_ACTION:
      sl_add_gap (instrument, known, s, reading->held == SL_HELD_1 ? 1 : 0, reading->fret, 1, row, constant);
      break;
    default: break;
    }
}

double
sl_row_value (const SlState *state, const double *row)
{
  double sum = 0;

  for (int i = 0; i < state->n_unknowns; i++)
    sum += row[i] * state->u[i];
  return sum;
}

double
sl_row_variance (const SlState *state, const double *row)
{
  const int p = state->n_unknowns;
  double sum = 0;

  for (int i = 0; i < p; i++)
    if (row[i] != 0)
      for (int j = 0; j < p; j++)
        sum += row[i] * state->cov[i * p + j] * row[j];
  return MAX (sum, 0);
}

double
sl_predict_reading (const SlInstrument *instrument, const SlState *state, const SlReading *reading, double *u)
{
  double row[SL_MAX_UNKNOWNS], constant;

  sl_reading_row (instrument, state, reading, row, &constant);
  if (u != NULL)
    *u = sqrt (sl_row_variance (state, row));
  return sl_row_value (state, row) + constant;
}

SlTool
sl_reading_tool (const SlReadingSet *set, SlReadingKind kind)
{
  SlTool tool = sl_reading_set_tool (set, (SlToolKind) sl_readings[kind].tool);

  tool.resolution = sl_number (sl_number_or (tool.resolution, sl_readings[kind].resolution));
  tool.error_limit = sl_number (sl_number_or (tool.error_limit, kind == SL_READ_PITCH ? TUNER_ERROR_LIMIT_CENTS : 0));
  return tool;
}

double
sl_reading_u (const SlReadingSet *set, SlReadingKind kind)
{
  const SlTool tool = sl_reading_tool (set, kind);
  const double r = tool.resolution.v, a = tool.error_limit.v;

  /* a rectangle r wide has variance r²/12 (GUM F.2.2.1), one of half-width a has a²/3 (GUM 4.3.7) */
  return sqrt (r * r / 12 + a * a / 3);
}

double
sl_reading_own_u (const SlReadingSet *set, const SlReading *reading)
{
  return sl_number_is_set (reading->uncertainty) ? reading->uncertainty.v / SL_COVERAGE
                                                 : sl_reading_u (set, reading->kind);
}

double
sl_reading_mean_u (const SlReadingSet *set, SlReadingKind kind, int string, int fret)
{
  double mean = NAN, own = 0, spread = 0;
  const int k = sl_reading_set_mean (set, kind, string, fret, &mean);

  if (k == 0)
    return sl_reading_u (set, kind);
  SL_EACH (const SlReading, r, set->readings)
    {
      if (r->kind != kind || r->string != string || r->fret != fret || r->use == SL_USE_NEVER)
        continue;
      const double u = sl_reading_own_u (set, r), off = r->value.v - mean;

      own += u * u / k;
      spread += off * off / k;
    }
  return sqrt (own + (k > 1 ? spread / (k - 1) : 0)); /* u² + s²/k */
}

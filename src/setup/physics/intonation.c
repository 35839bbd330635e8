/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/physics/intonation.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_multifit.h>

#include "setup/physics/forces.h"
#include "setup/physics/pitch.h"

#define STEP_MM 1e-3 /* for slopes: the cents are straight over far more */

void
sl_fit_nut_and_setback (const SlInstrument *instrument, const SlState *state, int string, SlNutAndSetback *out)
{
  double slopes[SL_OCTAVE_FRET][2], left[SL_OCTAVE_FRET], moves[2], ignored[2 * 2], chisq, now = 0;
  gsl_matrix_view a = gsl_matrix_view_array (slopes[0], SL_OCTAVE_FRET, 2), cov = gsl_matrix_view_array (ignored, 2, 2);
  gsl_vector_view b = gsl_vector_view_array (left, SL_OCTAVE_FRET), x = gsl_vector_view_array (moves, 2);
  gsl_multifit_linear_workspace *work = gsl_multifit_linear_alloc (SL_OCTAVE_FRET, 2);
  SlStringState s;

  gsl_set_error_handler_off ();
  sl_state_string (instrument, state, string, &s);
  for (int n = 1; n <= SL_OCTAVE_FRET; n++)
    {
      SlPitchCase now_case, longer, behind;

      sl_pitch_case (&s, n, &now_case);
      longer = behind = now_case;
      longer.crest_x += STEP_MM;
      behind.nut_x -= STEP_MM;
      const double cents = sl_pitch_cents (&now_case);

      slopes[n - 1][0] = (sl_pitch_cents (&longer) - cents) / STEP_MM;
      slopes[n - 1][1] = (sl_pitch_cents (&behind) - cents) / STEP_MM;
      left[n - 1] = -cents;
      now += cents * cents / SL_OCTAVE_FRET;
    }
  gsl_multifit_linear (&a.matrix, &b.vector, &x.vector, &cov.matrix, &chisq, work);
  gsl_multifit_linear_free (work);
  *out = (SlNutAndSetback){ s.x_s - s.scale + moves[0], moves[1], sqrt (chisq / SL_OCTAVE_FRET), sqrt (now) };
}

static double
rms_against (const SlInstrument *instrument, const SlState *state, const SlReadingSet *set, int *n)
{
  double sum = 0;

  *n = 0;
  SL_EACH (const SlReading, r, set != NULL ? set->readings : NULL)
    {
      SlStringState s;

      if (r->kind != SL_READ_PITCH || r->use == SL_USE_NEVER || r->fret < 1)
        continue;
      sl_state_string (instrument, state, r->string, &s);
      double off = r->value.v - sl_pitch_error (&s, r->fret, NULL);

      sum += off * off;
      (*n)++;
    }
  return *n > 0 ? sqrt (sum / *n) : NAN;
}

void
sl_fit_ends (const SlInstrument *instrument, const SlState *state, const SlReadingSet *set, SlEndsFit *out)
{
  SlInstrument trial = *instrument;

  trial.stiff_ends = SL_STIFF_ENDS_ONE;
  out->rms_one = rms_against (&trial, state, set, &out->n);
  trial.stiff_ends = SL_STIFF_ENDS_BOTH;
  out->rms_both = rms_against (&trial, state, set, &out->n);
  out->better = out->n > 0 && out->rms_both < out->rms_one ? SL_STIFF_ENDS_BOTH : SL_STIFF_ENDS_ONE;
}

void
sl_crest_place (const SlAnalysis *analysis, int string, SlCrestPlace *out)
{
  const SlInstrument *in = &analysis->instrument;
  const SlState *after = analysis->has_plan ? &analysis->planned : &analysis->measured;
  const SlFigures *figures = analysis->has_plan ? &analysis->planned_figures : &analysis->measured_figures;
  const int i = string - 1;
  SlStringState s;

  *out = (SlCrestPlace){ .before = analysis->measured.setback[i],
                         .now = after->setback[i],
                         .model = figures->setback_needed[i].value,
                         .model_u = figures->setback_needed[i].u,
                         .read = NAN,
                         .left = NAN,
                         .tuner = NAN };
  out->wanted = out->model;
  if (!sl_tuner_cents (analysis->set, string, &out->read))
    return;
  sl_state_string (in, after, string, &s);
  out->left = out->read + figures->pitch_error[i][SL_OCTAVE_FRET].value -
              analysis->measured_figures.pitch_error[i][SL_OCTAVE_FRET].value;
  out->tuner = out->wanted = out->now + sl_crest_move (sl_open_length (&s), out->left);
}

gboolean
sl_crests_fit (const SlInstrument *instrument, const double *setbacks, double *spread)
{
  const int n = instrument->n_strings;
  double ahead = 0, behind = 0;

  for (int s = 1; s <= n; s++)
    {
      double off = setbacks[s - 1] - sl_between_strings (setbacks[0], setbacks[n - 1], s, n);

      ahead = MIN (ahead, off);
      behind = MAX (behind, off);
    }
  if (spread != NULL)
    *spread = behind - ahead;
  return !isnan (instrument->length_screw_pitch) || behind - ahead <= instrument->saddle_thickness;
}

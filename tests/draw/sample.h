/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Instruments for the tests of the drawing: one of invented but plausible figures, and any number of seeded random
 * ones. */
#pragma once

#include "setup/physics/figures.h"

/* A small jumbo with readings and a plan that uses every operation. */
SlProfile *sample_usual (void);

/* Anything a document can hold: 1–12 strings, 330–864 mm, either hand, all bridges, saddles and nuts, with and without
 * posts, anchors, exposure, plan. */
SlProfile *sample_random (GRand *rand);

/* Its analysis; free with sl_analysis_free(). */
SlAnalysis *sample_analyse (const SlProfile *profile);

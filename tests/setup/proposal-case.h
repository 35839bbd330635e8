/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An instrument read and proposed for, and what its plan leaves. Starts as { 0 }. */
#pragma once

#include "setup/work/work.h"
#include "support.h"

#define LEAST_CUT_MM 0.05 /* what a hand can do (model 6.1) */
#define ROUNDING_MM 0.002 /* amounts are rounded down to 0.001 mm; a crest that stands higher for it lifts the gap */

typedef struct
{
  SlInstrument in;
  SlReadingSet set;
  SlFit fit;
  SlState after; /* with every step done to the letter */
  SlProposal proposal;
} Case;

void case_clear (Case *c);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Case, case_clear)

/* Proposes for the fit that is there; fits the readings and proposes, with a shop or the default one. */
void case_propose_fitted (Case *c, const SlShop *shop);
void case_propose_for (Case *c, const SlShop *shop);
void case_propose (Case *c);

/* The first finding of a kind (string 0: any), the step of a kind for a string (0: none), the operation of a step. */
const SlFinding *case_find (const Case *c, SlFindingKind kind, int string);
const SlStep *case_step (const Case *c, SlOperationKind kind, int string);
const SlOperation *case_operation (const Case *c, guint i);

/* How far an open gap at fret 1 or 12 lies above its target, by the ruler. */
double case_off (const Case *c, const SlState *state, int string, int fret);

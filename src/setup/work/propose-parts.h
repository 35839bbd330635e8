/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the parts of the plan proposal share: propose.c finds the steps, findings.c what no step can mend. */
#pragma once

#include "setup/physics/figures.h"
#include "setup/work/work.h"

#define SL_LEAST_SHORTFALL_MM 0.005

typedef struct
{
  const SlInstrument *in;
  const SlFit *fit;
  const SlReadingSet *set;
  const SlShop *shop;
  SlLengths lengths;
  const char *decimal;
  SlState state; /* as the steps so far leave it */
  SlProposal *out;
} SlProposing;

/* A length with its unit, for reasons and messages. */
char *sl_proposal_length (const SlProposing *p, double mm, int places);

/* The gap of the open string over a fret in a state, mm. */
double sl_proposal_gap (const SlProposing *p, const SlState *state, int string, int fret);

/* How far string @string's crest may come down for the saddle to keep its least exposure. One nobody read holds nothing
 * back: its reading is asked for. */
double sl_crest_room (const SlProposing *p, int string);

/* How far down the slot goes for the first gap to meet its target with the crest where @state has it. */
double sl_slot_cut (const SlProposing *p, const SlState *state, int string);

static inline double
sl_round_down (double mm, double step)
{
  return floor (mm / step + 1e-6) * step;
}

/* Readings that disagree, a cut that did what was not predicted, a set that stands by itself. */
void sl_find_suspects (SlProposing *p);
void sl_find_doubt (SlProposing *p);
void sl_find_apart (SlProposing *p);

/* What can't be met: crowns that levelling to fret @lowest would leave too low, slots that are too low already, crests
 * that can't come down or up as far as their targets ask. */
void sl_find_lost_frets (SlProposing *p, int lowest);
void sl_find_low_slots (SlProposing *p);
void sl_find_crest_limits (SlProposing *p);
void sl_add_finding (SlProposing *p, SlFindingKind kind, int string, int fret, double amount, char *message);

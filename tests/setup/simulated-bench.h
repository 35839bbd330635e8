/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A bench to practise on: a true instrument drawn at random, tools that read it with their own errors, hands that do
 * not cut quite what was meant, a rod that does not bend the neck as the model has it. What is known of the truth stays
 * in here; who works on it sees readings. */
#pragma once

#include "setup/physics/figures.h"

/* One string as it ends. */
typedef struct
{
  gboolean cut;   /* its crest was lowered */
  double off;     /* true action at fret 12 less its target, mm */
  double u;       /* standard uncertainty stated of that action */
  double gap_off; /* true first gap less its target */
  gboolean slot_cut;
  double gap_u;
} SimString;

typedef struct
{
  SimString strings[SL_MAX_STRINGS];
  int n_strings;
  int passes;          /* times the saddle or its top was cut */
  int sets;            /* reading sets taken */
  int read_again;      /* readings taken again because they disagreed */
  gboolean unfinished; /* the loop ran out of patience */
} SimResult;

/* Follows the program: reads, does the first step of its plan, no more of a cut than its first pass, reads what that
 * changed, and so on until nothing safe is left to take. */
void sim_by_plan (guint32 seed, SimResult *out);

/* The same instrument, tools and hands by rule of thumb: slots to their targets, twice what the action is too high off
 * the saddle in one cut, the rod last. */
void sim_by_rule (guint32 seed, SimResult *out);

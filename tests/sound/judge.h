/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What listening made of sounds of which all is known: how far off, whether it said so, and what a sound allows. */
#pragma once

#include "made-instruments.h"
#include "sound/note.h"

typedef struct
{
  int index; /* of the case */
  guint round;
  double error, u, bound;       /* of f_1, cents; NAN where none was heard */
  double b_error, b_u, b_bound; /* of B, as a share of it */
  double b;
  int n_partials;
  SlHeardWord word;
} Verdict;

/* @note of @c, of whose f_1 and B @c says what they are. @bound may be NULL. */
Verdict judge_note (const MadeCase *c, guint round, const SlNote *note, double f1_bound, double b_bound);

/* Prints percentiles, and a row for each string, as comments of a test. */
void judge_print (const char *what, const GArray *verdicts);

/* The promises of model 15: fail the test where they aren't kept. Shares are held to exactly from 1000 sounds on, and
 * within what chance does to fewer of them (one time in a thousand). The farthest off may be
 * 0.15 cent off, or what a thousandth of the sounds are off at best where the sound allows no better. */
void judge_promises (const GArray *verdicts);

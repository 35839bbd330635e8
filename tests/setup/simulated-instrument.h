/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An instrument to practise on, drawn at random with errors that go both ways: its true state, the air that moved it, a
 * rod that bends it in its own way or not at all, tools that read it with their own errors, hands that do not cut quite
 * what was meant. What is known of the truth stays in here; who works on it sees readings (docs/simulation.md). */
#pragma once

#include "neck-beams.h"
#include "setup/physics/figures.h"

#define SIM_STRINGS 6
#define SIM_ACTION_FRET 12

/* One string as it ends, in the air it is kept in. */
typedef struct
{
  double action, gap;             /* true action at fret 12 and first gap less their targets, mm */
  double action_uncut, gap_uncut; /* the same had nothing been taken off, but all else been done */
  double crest_off, slot_off;     /* what came off below it, mm */
} SimString;

typedef struct
{
  SimString strings[SIM_STRINGS];
  double action_tolerance, gap_tolerance;
  double per_action;    /* mm at the crest for one of action */
  int sets, readings;   /* reading sets taken, and readings in them and taken again */
  int read_again;       /* readings taken again because they looked wrong */
  int strings_off;      /* times the strings came off for work on the saddle */
  gboolean saddle_left; /* the saddle was left alone for want of exposure */
  gboolean moved, dead; /* it came in moved by the air; without a usable rod */
  gboolean unfinished;  /* the work ran out of patience */
} SimResult;

typedef struct
{
  GRand *rand;
  SlProfile *profile;    /* what is known of it; its visit has what was read and done */
  SlInstrument in, real; /* as told, and with the rod's levers as they are */
  NeckBeam beam;
  gboolean rod_works;
  SlState truth, uncut;                   /* settled; and as it were had nothing been taken off */
  double air_relief, air_crest;           /* by how much the air has moved relief and crests, mm */
  double temperature, humidity;           /* of the air it is in */
  double bias[SL_N_TOOLS], humidity_bias; /* each tool's own error, the same in all it reads */
  int minutes;                            /* since the visit began */
  SimResult *out;
} SimBench;

void sim_bench_init (SimBench *bench, guint32 seed, SimResult *out);
void sim_bench_clear (SimBench *bench);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (SimBench, sim_bench_clear)

/* What to read: a bit for each. */
enum
{
  SIM_READ_NECK = 1,
  SIM_READ_GAPS = 2,
  SIM_READ_ACTIONS = 4,
  SIM_READ_ALL = 7
};

/* Adds a reading set to the visit; the first one has setbacks and exposures, too. */
SlReadingSet *sim_read (SimBench *bench, int what);

/* Reads one again and puts it in the place of what was read, to be kept. */
void sim_read_again (SimBench *bench, SlReading *reading);

/* What the visit's last set with such a reading says; NAN where none does. */
double sim_last (const SimBench *bench, SlReadingKind kind, int string);

/* Mean of the reliefs of the last set with any. */
double sim_last_relief (const SimBench *bench);

/* Does one piece of work and notes it as meant. */
void sim_work (SimBench *bench, SlOperation operation);

/* Leaves it in the air it is kept in until it has settled there. */
void sim_settle (SimBench *bench);

/* Takes the relief as it is for the one that is wanted, as a rod that does nothing leaves it. */
void sim_accept_relief (SimBench *bench);

/* Fills the result with what has become of it. */
void sim_finish (SimBench *bench);

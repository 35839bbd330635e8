/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The history of a bench: whole profiles, as each was before a step or is after it. It is bounded in steps and in
 * bytes, of which the oldest steps go first. */
#pragma once

#include "setup/profile/profile.h"

typedef struct
{
  char *name;
  SlProfile *profile; /* what undoing (or redoing) goes back to */
  guint64 serial;     /* which state that was, to know the saved one again */
  guint changes;      /* between the two, of SlChanges */
  gsize bytes;        /* of the profile as a document, which is about what it takes in memory */
} SlUndoStep;

/* Takes @profile. */
SlUndoStep *sl_undo_step_new (const char *name, SlProfile *profile, guint64 serial, guint changes);
void sl_undo_step_free (gpointer step);

/* A history without a step: a GPtrArray of SlUndoStep. */
GPtrArray *sl_undo_steps_new (void);

/* Takes @step as the last of the history, and forgets as many of the oldest as there are too many. The last one stays
 * whatever it takes. */
void sl_undo_steps_push (GPtrArray *steps, SlUndoStep *step);

/* The name of the last step; NULL where there is none. */
const char *sl_undo_steps_name (const GPtrArray *steps);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Keeps the note that a profile is open here (file/in-use.h), and looks who else has it open: all in a thread, as a
 * share may be slow or gone. What can't be noted or seen is not told: nothing depends on it. */
#pragma once

#include "file/in-use.h"

typedef struct _SlInUseKeeper SlInUseKeeper;

/* @others (of SlInUse), those that were left among them, which goes with this look. */
typedef void (*SlInUseTold) (const GPtrArray *others, gpointer data);

SlInUseKeeper *sl_in_use_keeper_new (GFile *file, SlInUseTold told, gpointer data);

/* Takes the note away. */
void sl_in_use_keeper_free (SlInUseKeeper *keeper);

/* Looks now; the keeper does by itself whenever it renews its note. */
void sl_in_use_keeper_look (SlInUseKeeper *keeper);

/* Takes all notes away, and waits for that, but not for a share that doesn't answer: the program ends. */
void sl_in_use_finish (void);

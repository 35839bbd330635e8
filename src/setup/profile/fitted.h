/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which strings are on an instrument: those of its document, until work fits others. */
#pragma once

#include "setup/profile/sets.h"

/* Puts other strings on, each tuned as the one in its place is; of a course's two each takes the place of the one it
 * sounds like (sl_match_courses()). Returns how many; those beyond stay. */
int sl_instrument_restring (SlInstrument *instrument, const SlString *strings, int n_strings);

/* Puts on what an operation fits; FALSE where it fits none, or none that the instrument can have. */
gboolean sl_instrument_fit (SlInstrument *instrument, const SlOperation *operation);

/* Puts on the strings that were on at @moment (NULL: as the visit began): those of the last operation done by then that
 * fitted any, other than @but, unless those of the document were fitted since; else the document's. Of a baseline,
 * whose visits are of several instruments, only @visit counts (it may be NULL). */
void sl_instrument_strings_at (SlInstrument *instrument, const SlProfile *profile, const SlVisit *visit,
                               const char *moment, const SlOperation *but);

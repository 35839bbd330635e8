/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a tool's resolution and error limit make of a reading's uncertainty. */
#pragma once

#include "setup/profile/profile.h"

/* Standard uncertainty of one reading of this kind in this set, from its tool or the default resolution (relief 0.02,
 * tongue 0.05, first gap 0.05, action 0.1 mm). */
double sl_reading_u (const SlReadingSet *set, SlReadingKind kind);

/* The tool of a set (may be NULL) for a kind of reading, with defaults filled in. */
SlTool sl_reading_tool (const SlReadingSet *set, SlReadingKind kind);

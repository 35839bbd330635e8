/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "words/explain.h"

/* How to look after an instrument, one sentence each: humidity by the instrument's own readings and the band for
 * keeping, what the seasons did to its action, cleaning, strings, when to come back. Translated, each char *; free with
 * g_ptr_array_unref(). */
GPtrArray *sl_explain_care (const SlOutcome *outcome, const SlSpeech *speech);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where the tool goes for a reading and how the neck is held, in a sentence. No widgets here. */
#pragma once

#include "bench/readings-question.h"

/* Translated; free with g_free(). */
char *sl_reading_hint (const SlQuestion *question, const SlProfile *profile);

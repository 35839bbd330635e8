/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How often a test draws by chance. SL_TEST_ROUNDS is what the number of rounds is multiplied by: 1 where it isn't set,
 * less where time is short, more in tests/all.sh --full. */
#pragma once

#include <glib.h>

static inline int
test_rounds (int rounds)
{
  const char *factor = g_getenv ("SL_TEST_ROUNDS");

  return factor == NULL ? rounds : MAX (1, (int) (rounds * g_ascii_strtod (factor, NULL)));
}

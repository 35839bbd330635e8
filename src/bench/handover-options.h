/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The hand-over sheet and the templates of what is on a bench, on the paper and with the shop's details that are set.
 */
#pragma once

#include "bench/bench.h"
#include "draw/paper/documents.h"

SlPaper sl_handover_paper (void);

/* How the sheet is to be drawn, with all it needs of the settings and of words of one's own: to hand to a thread. */
SlHandoverOptions *sl_handover_options_of_bench (SlBench *bench);
void sl_handover_options_free (SlHandoverOptions *options);

void sl_template_options_of_bench (SlBench *bench, gboolean half_tiles, SlTemplateOptions *options);

/* The documents themselves. */
SlPages *sl_handover_of_bench (SlBench *bench);
SlPages *sl_template_of_bench (SlBench *bench, gboolean half_tiles, GError **error);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The hand-over sheet and the templates of what lies on a bench, on the paper and with the shop's details that are set. */
#pragma once

#include "bench/bench.h"
#include "draw/paper/handover.h"
#include "draw/paper/template.h"

SlPaper sl_handover_paper (void);
SlHandover *sl_handover_of_bench (SlBench *bench);
SlTemplate *sl_template_of_bench (SlBench *bench, gboolean half_tiles, GError **error);

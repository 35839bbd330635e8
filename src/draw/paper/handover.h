/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The hand-over sheet: what a visit did to an instrument, for the person who takes it home. Where a visit has no final
 * readings it speaks of what is planned, and says so. */
#pragma once

#include "draw/paper/paper-options.h"

/* Of @visit, one of @profile's (NULL: the last). Copies what it needs. Free with sl_handover_free(). */
SlHandover *sl_handover_new (const SlProfile *profile, const SlVisit *visit, const SlHandoverOptions *options);
void sl_handover_free (SlHandover *handover);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlHandover, sl_handover_free)

/* Its pages, to be written with page.h or drawn by a printer; theirs while @handover lives. */
const SlPages *sl_handover_pages (const SlHandover *handover);

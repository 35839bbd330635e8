/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The pitch sheet's parts: cents over frets, and the crests seen from above. */
#pragma once

#include "setup/physics/intonation.h"
#include "draw/sheets/sheet.h"

void sl_pitch_draw_cents (const SlSheet *sheet, SlRect part);
void sl_pitch_draw_crests (const SlSheet *sheet, SlRect part);

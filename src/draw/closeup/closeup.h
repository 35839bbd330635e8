/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The close-ups: nut end, 12th fret, saddle with bridge, in true proportions with a stated magnification. Where all
 * strings are shown they are of the bass string. */
#pragma once

#include "draw/base/scene.h"

void sl_closeup_draw (SlScene *scene, SlPictureKind kind);

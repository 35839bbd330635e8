/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The side view as a whole. */
#pragma once

#include "draw/base/scene.h"

/* The whole picture into scene->stage. */
void sl_side_draw (SlScene *scene);

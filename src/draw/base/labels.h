/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The placing of labels: the best of many places round what each speaks of. */
#pragma once

#include "draw/base/scene.h"

/* Places and draws all that were asked for. */
void sl_scene_place (SlScene *scene);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The kit: what windows, columns and sheets are built from. */
#pragma once

#include "desk/kit/bar-entry.h"
#include "desk/kit/build.h"
#include "desk/kit/colour-scheme.h"
#include "desk/kit/figure-table.h"
#include "desk/kit/flow.h"
#include "desk/kit/length-entry.h"
#include "desk/kit/message-bar.h"
#include "desk/kit/row-list.h"
#include "desk/kit/sheet-frame.h"
#include "desk/kit/typed.h"
#include "desk/kit/util.h"

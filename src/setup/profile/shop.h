/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a shop works, whatever the instrument: what its hands are uncertain by and the step it cuts in. One for the whole program, set by who holds the
 * preferences before anything is analysed and read by the model; without that the defaults stand. */
#pragma once

#include <glib.h>

/* Standard uncertainties of work done: of a rod turn a share of the change, of the others mm. */
typedef struct
{
  double rod_share, slot_mm, base_mm, shape_mm, level_mm;
} SlWorkUncertainty;

/* Our own choice, adjustable: rod turn 20 % of the change, cuts and slots 0.05 mm, levelling 0.02 mm. */
#define SL_WORK_UNCERTAINTY_DEFAULT ((SlWorkUncertainty){ 0.20, 0.05, 0.05, 0.05, 0.02 })

typedef struct
{
  SlWorkUncertainty work;
  double cut_step_mm; /* cuts of saddle and crest are proposed in whole steps, rounded so that never more comes off; 0: as fine as they are worked out */
} SlShop;

#define SL_SHOP_DEFAULT ((SlShop){ SL_WORK_UNCERTAINTY_DEFAULT, 0 })

/* Borrowed. Not for use from several threads while it is being set. */
const SlShop *sl_shop (void);
void sl_shop_set (const SlShop *shop);

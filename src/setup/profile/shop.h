/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a shop works, whatever the instrument: what its hands are uncertain by and the step it cuts in. A plain value
 * that is handed to whatever analyses or proposes; and the file that carries it to another program (docs/format.md). */
#pragma once

#include "setup/profile/bounds.h"

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
  double cut_step_mm; /* cuts of saddle and crest are proposed in whole steps, rounded so that never more comes off; 0:
                         as fine as they are worked out */
} SlShop;

#define SL_SHOP_DEFAULT ((SlShop){ SL_WORK_UNCERTAINTY_DEFAULT, 0 })

/* Its values, each under the name that settings and files know it by (the bound's attribute), with its range; the end
 * is marked by a NULL element. */
extern const SlBound sl_shop_bounds[];

/* The place of one of them in @shop. */
double *sl_shop_value (SlShop *shop, const SlBound *bound);

gboolean sl_shop_equal (const SlShop *a, const SlShop *b);

/* Reads the text of a shop's file; what it does not give is the default. FALSE with @error (G_KEY_FILE_ERROR), which
 * names what can't be and what is accepted, and
 * @out as it was. */
gboolean sl_shop_parse (const char *text, gsize length, SlShop *out, GError **error);

/* The text of a shop's file. Free with g_free(). */
char *sl_shop_print (const SlShop *shop);

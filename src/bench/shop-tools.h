/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shop's tools (setup/profile/shop.h), remembered between runs. */
#pragma once

#include "setup/profile/shop.h"

#define SL_SETTING_TOOLS "tools"

/* The list as it is remembered, the usual one where none was kept yet; what is not in order is left out. Free with
 * g_ptr_array_unref(). */
GPtrArray *sl_shop_tools (void);

void sl_shop_tools_keep (const GPtrArray *tools);

/* Forgets the list, so that the usual one stands again. */
void sl_shop_tools_forget (void);

/* What a kind of tool is used for, translated: "Relief", "Crowns". */
const char *sl_tool_title (SlToolKind kind);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lists that a shop keeps for each kind of instrument, told apart by the bridge: what a reading run asks in which
 * order, and what is looked at besides measuring. Where none is kept the usual one stands. */
#pragma once

#include <glib.h>

#include "setup/profile/profile.h"

#define SL_SETTING_RUN_ORDERS "run-orders"
#define SL_SETTING_CHECK_LISTS "check-lists"

#define SL_FIRST_KIND SL_BRIDGE_PINNED
#define SL_LAST_KIND SL_BRIDGE_FLOATING

SlBridgeKind sl_kind_of (const SlProfile *profile);
const char *sl_kind_title (SlBridgeKind kind); /* "Pinned bridge", translated */

/* The list kept under @key, or NULL where none is. Free with g_strfreev(). */
char **sl_kind_list (const char *key, SlBridgeKind kind);

/* Keeps a list; NULL forgets it. */
void sl_kind_list_keep (const char *key, SlBridgeKind kind, const char *const *list);

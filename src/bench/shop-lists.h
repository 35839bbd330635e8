/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a shop keeps for all of its instruments: usual charges, lists by kind, tools, how it hands over. */
#pragma once

#include "setup/record/checklist.h"
#include "bench/bench.h"
#include "draw/paper/documents.h"

/* ---- usual-charges ----
 *
 * What the shop usually charges, and in which currency, remembered between runs. */

#define SL_SETTING_USUAL_CHARGES "usual-charges"
#define SL_SETTING_CURRENCY "currency"

typedef struct
{
  char *what;
  double minutes, amount; /* NAN: left open */
} SlUsualCharge;

/* An array of SlUsualCharge; free with g_array_unref(). */
GArray *sl_usual_charges (void);

/* Remembers them. */
void sl_usual_charges_keep (const GArray *charges);

/* "Full setup · 90 min · 85.00 €"; free with g_free(). */
char *sl_usual_charge_text (const SlUsualCharge *charge);

/* Three letters, or "" where neither the shop nor the locale has one; free with g_free(). */
char *sl_shop_currency (void);

/* ---- kind-lists ----
 *
 * Lists that a shop keeps for each family of instruments: what a reading run asks in which order, and what is looked at
 * besides measuring. Where none is kept the usual one stands. */

#define SL_SETTING_RUN_ORDERS "run-orders"
#define SL_SETTING_CHECK_LISTS "check-lists"

typedef struct
{
  const char *name;         /* as the lists are kept; of older ones its bridge's */
  const char *title;        /* "Nylon-string, tie block"; untranslated, context "kind of instrument" */
  const char *starting;     /* the starting profile that stands for it */
  gboolean placed_by_pitch; /* the bridge has no place of its own: a run asks for pitch */
} SlFamilyTraits;

extern const SlFamilyTraits sl_families[SL_N_FAMILIES];

/* The list kept under @key, or NULL where none is. Free with g_strfreev(). */
char **sl_kind_list (const char *key, SlFamily family);

/* Keeps a list; NULL forgets it. */
void sl_kind_list_keep (const char *key, SlFamily family, const char *const *list);

/* ---- shop-tools ----
 *
 * The shop's tools (setup/profile/shop.h), remembered between runs. */

#define SL_SETTING_TOOLS "tools"

/* The list as it is remembered, the usual one where none was kept yet; what is not in order is left out. Free with
 * g_ptr_array_unref(). */
GPtrArray *sl_shop_tools (void);

void sl_shop_tools_keep (const GPtrArray *tools);

/* Forgets the list, so that the usual one stands again. */
void sl_shop_tools_forget (void);

/* What a kind of tool is used for, translated: "Relief", "Crowns". */
const char *sl_tool_title (SlToolKind kind);

/* ---- handover-options ----
 *
 * The hand-over sheet and the templates of what is on a bench, on the paper and with the shop's details that are set.
 */

SlPaper sl_handover_paper (void);

/* How the sheet is to be drawn, with all it needs of the settings and of words of one's own: to hand to a thread. */
SlHandoverOptions *sl_handover_options_of_bench (SlBench *bench);
void sl_handover_options_free (SlHandoverOptions *options);

/* Whether the shop wants photographs on it. */
gboolean sl_handover_shows_photos (void);

/* Loads them from their folder (NULL: none), in a thread. Returns what is left out, as sl_sheet_pictures_load() says
 * it; NULL: nothing. */
char *sl_handover_load_photos (SlHandoverOptions *options, const SlProfile *profile, GFile *folder,
                               GCancellable *cancellable);

void sl_template_options_of_bench (SlBench *bench, gboolean half_tiles, SlTemplateOptions *options);

SlPages *sl_template_of_bench (SlBench *bench, gboolean half_tiles, GError **error);

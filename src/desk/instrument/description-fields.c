/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/instrument/description-fields.h"

#include "setup/profile/construction.h"

static const SlDescriptionField identity_fields[] = {
#include "identity-field-rows.h"
};

/* ---- what only some constructions have; what is given is shown in any case ---- */

static gboolean
has_two_scales (const SlProfile *profile)
{
  return sl_number_is_set (profile->neck.scale_length_bass);
}

static gboolean
is_tremolo (const SlProfile *profile)
{
  return sl_bridge_kind (profile) == SL_BRIDGE_TREMOLO;
}

/* Of wood, and glued on or loose: it can be planed down. */
static gboolean
is_wooden (const SlProfile *profile)
{
  const SlBridgeKind kind = sl_bridge_kind (profile);

  return kind == SL_BRIDGE_PINNED || kind == SL_BRIDGE_TIE_BLOCK || kind == SL_BRIDGE_FLOATING ||
         sl_number_is_set (profile->bridge.thickness) || sl_number_is_set (profile->bridge.least_thickness);
}

static gboolean
has_screws (const SlProfile *profile)
{
  return sl_saddles[sl_saddle_adjust (profile)].has_screws || sl_number_is_set (profile->saddle.height_screw_pitch);
}

static gboolean
has_length_screws (const SlProfile *profile)
{
  const SlSaddleAdjust adjust = sl_saddle_adjust (profile);

  return (adjust != SL_ADJUST_BASE && adjust != SL_ADJUST_TOP) || sl_number_is_set (profile->saddle.length_screw_pitch);
}

static const SlDescriptionField neck_fields[] = {
#include "neck-field-rows.h"
};
static const SlDescriptionField head_fields[] = {
#include "head-field-rows.h"
};
static const SlDescriptionField post_columns[] = {
#include "post-column-rows.h"
};
static const SlDescriptionField bridge_fields[] = {
#include "bridge-field-rows.h"
};
static const SlDescriptionField anchor_columns[] = {
#include "anchor-column-rows.h"
};
static const SlDescriptionField string_fields[] = {
#include "strings-field-rows.h"
};
static const SlDescriptionField string_columns[] = {
#include "string-column-rows.h"
};
static const SlDescriptionField target_fields[] = {
#include "target-field-rows.h"
};
static const SlDescriptionField player_fields[] = {
#include "player-field-rows.h"
};

#define FIELDS(name) .fields = name, .n_fields = G_N_ELEMENTS (name)
#define COLUMNS(name) .columns = name, .n_columns = G_N_ELEMENTS (name)

const SlDescriptionPage sl_description_pages[] = {
  { .name = "identity", .title = NC_ ("page", "Whose it is"), FIELDS (identity_fields) },
  { .name = "neck", .title = NC_ ("page", "Neck and frets"), FIELDS (neck_fields) },
  { .name = "head",
    .title = NC_ ("page", "Head and nut"),
    FIELDS (head_fields),
    COLUMNS (post_columns),
    .table_title = NC_ ("page", "Tuner posts") },
  { .name = "bridge",
    .title = NC_ ("page", "Bridge and saddle"),
    FIELDS (bridge_fields),
    COLUMNS (anchor_columns),
    .table_title = NC_ ("page", "Pin holes or ball ends") },
  { .name = "strings", .title = NC_ ("page", "Strings"), FIELDS (string_fields), COLUMNS (string_columns) },
  { .name = "targets", .title = NC_ ("page", "Targets"), FIELDS (target_fields) },
  { .name = "player", .title = NC_ ("page", "Player"), FIELDS (player_fields) },
};
const guint sl_n_description_pages = G_N_ELEMENTS (sl_description_pages);

const SlDescriptionPage *
sl_description_page (const char *name)
{
  const SlDescriptionPage *page = sl_description_pages;

  while (!g_str_equal (page->name, name))
    page++;
  return page;
}

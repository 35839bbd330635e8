/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/instrument/description-fields.h"

#include <glib/gi18n-lib.h>
#include <string.h>

/* Where the structs of a profile lie. */
#define FIND(name, member)                                                                                             \
  static void *name (SlProfile *profile, int index, gboolean create)                                                   \
  {                                                                                                                    \
    return &profile->member;                                                                                           \
  }
FIND (find_identity, identity)
FIND (find_neck, neck)
FIND (find_fretwire, fretwire)
FIND (find_headstock, headstock)
FIND (find_nut, nut)
FIND (find_bridge, bridge)
FIND (find_saddle, saddle)
FIND (find_player, player)
FIND (find_targets, targets)
FIND (find_string, strings[index - 1])

/* The post of a string; kept in order of string. */
static void *
find_post (SlProfile *profile, int string, gboolean create)
{
  SlHeadstock *head = &profile->headstock;
  int i = 0;

  while (i < head->n_posts && head->posts[i].string < string)
    i++;
  if (i < head->n_posts && head->posts[i].string == string)
    return &head->posts[i];
  if (!create || head->n_posts == SL_MAX_STRINGS)
    return NULL;
  memmove (&head->posts[i + 1], &head->posts[i], sizeof head->posts[0] * (gsize) (head->n_posts - i));
  head->posts[i] = (SlPost){ string, SL_NUMBER_ABSENT, SL_NUMBER_ABSENT, SL_NUMBER_ABSENT };
  head->n_posts++;
  return &head->posts[i];
}

static void *
find_anchor (SlProfile *profile, int string, gboolean create)
{
  SlBridge *bridge = &profile->bridge;
  int i = 0;

  while (i < bridge->n_anchors && bridge->anchors[i].string < string)
    i++;
  if (i < bridge->n_anchors && bridge->anchors[i].string == string)
    return &bridge->anchors[i];
  if (!create || bridge->n_anchors == SL_MAX_STRINGS)
    return NULL;
  memmove (&bridge->anchors[i + 1], &bridge->anchors[i], sizeof bridge->anchors[0] * (gsize) (bridge->n_anchors - i));
  bridge->anchors[i] = (SlAnchor){ string, SL_NUMBER_ABSENT, SL_NUMBER_ABSENT };
  bridge->n_anchors++;
  return &bridge->anchors[i];
}

static const char *const bridge_choices[] = { NC_ ("choice", "pinned"),           NC_ ("choice", "tailpiece"),
                                              NC_ ("choice", "through the body"), NC_ ("choice", "tie block"),
                                              NC_ ("choice", "floating"),         NULL };
static const char *const core_choices[] = { NC_ ("choice", "steel"), NC_ ("choice", "stainless steel"),
                                            NC_ ("choice", "nylon"), NC_ ("choice", "fluorocarbon"),
                                            NC_ ("choice", "gut"),   NULL };
static const char *const wrap_choices[] = { NC_ ("choice", "plain"),
                                            NC_ ("choice", "phosphor bronze"),
                                            NC_ ("choice", "brass"),
                                            NC_ ("choice", "nickel"),
                                            NC_ ("choice", "nickel-plated steel"),
                                            NC_ ("choice", "stainless steel"),
                                            NC_ ("choice", "silver-plated copper"),
                                            NULL };
static const char *const direction_choices[] = { NC_ ("choice", "toward the board"),
                                                 NC_ ("choice", "away from the board"), NC_ ("choice", "either way"),
                                                 NULL };
static const char *const ends_choices[] = { NC_ ("choice", "one end clamped"), NC_ ("choice", "both ends clamped"),
                                            NULL };

/* Titles are marked for translation where the fields are listed: the extracting tool does not look into macros. */
#define TEXT(member, name, must)                                                                                       \
  {                                                                                                                    \
    .kind = SL_FIELD_TEXT, .title = name, .find = find_identity, .offset = G_STRUCT_OFFSET (SlIdentity, member),       \
    .required = must                                                                                                   \
  }
#define NUMBER(finder, elem, attr, name, decimals, stand_in)                                                           \
  {                                                                                                                    \
    .kind = SL_FIELD_NUMBER, .title = name, .find = finder, .element = elem, .attribute = attr, .places = decimals,    \
    .filled = stand_in                                                                                                 \
  }
#define FINE(finder, elem, attr, name, stand_in)                                                                       \
  {                                                                                                                    \
    .kind = SL_FIELD_NUMBER, .title = name, .find = finder, .element = elem, .attribute = attr, .places = 2,           \
    .fine = TRUE, .filled = stand_in                                                                                   \
  }
#define FILLED(member) G_STRUCT_OFFSET (SlInstrument, member)

static const SlField identity_fields[] = {
  TEXT (label, NC_ ("field", "Name"), TRUE),       TEXT (owner, NC_ ("field", "Owner"), FALSE),
  TEXT (contact, NC_ ("field", "Contact"), FALSE), TEXT (maker, NC_ ("field", "Maker"), FALSE),
  TEXT (model, NC_ ("field", "Model"), FALSE),     TEXT (serial, NC_ ("field", "Serial number"), FALSE),
  TEXT (year, NC_ ("field", "Year"), FALSE),       TEXT (note, NC_ ("field", "Note"), FALSE),
};

static const SlField neck_fields[] = {
  { .kind = SL_FIELD_NUMBER,
    .title = NC_ ("field", "Scale length"),
    .find = find_neck,
    .element = "neck",
    .attribute = "scale-length",
    .places = 1,
    .required = TRUE },
  { .kind = SL_FIELD_COUNT,
    .title = NC_ ("field", "Frets"),
    .find = find_neck,
    .element = "neck",
    .attribute = "frets",
    .offset = G_STRUCT_OFFSET (SlNeck, frets),
    .required = TRUE },
  { .kind = SL_FIELD_COUNT,
    .title = NC_ ("field", "Joint fret"),
    .find = find_neck,
    .element = "neck",
    .attribute = "joint-fret",
    .offset = G_STRUCT_OFFSET (SlNeck, joint_fret),
    .required = TRUE },
  NUMBER (find_neck, "neck", "nut-width", NC_ ("field", "Nut width"), 1, 0),
  NUMBER (find_neck, "neck", "board-radius-nut", NC_ ("field", "Board radius at the nut"), 0, 0),
  NUMBER (find_neck, "neck", "board-radius-end", NC_ ("field", "Board radius at the last fret"), 0, 0),
  NUMBER (find_fretwire, "fretwire", "width", NC_ ("field", "Fret crown width"), 2, FILLED (crown_width)),
  NUMBER (find_fretwire, "fretwire", "height", NC_ ("field", "Fret crown height"), 2, FILLED (crown_height)),
  NUMBER (find_fretwire, "fretwire", "least-height", NC_ ("field", "Least crown height"), 2, FILLED (crown_least)),
};

static const SlField head_fields[] = {
  NUMBER (find_headstock, "headstock", "tilt", NC_ ("field", "Headstock tilt"), 1, 0),
  NUMBER (find_headstock, "headstock", "string-rise", NC_ ("field", "String above the head's face at the nut"), 1,
          FILLED (string_rise)),
  NUMBER (find_nut, "nut", "edge-margin-bass", NC_ ("field", "Nut edge margin, bass"), 1, FILLED (edge_margin_bass)),
  NUMBER (find_nut, "nut", "edge-margin-treble", NC_ ("field", "Nut edge margin, treble"), 1,
          FILLED (edge_margin_treble)),
  FINE (find_nut, "nut", "slot-allowance", NC_ ("field", "Slot wider than the string by"), FILLED (slot_allowance)),
  NUMBER (find_nut, "nut", "friction", NC_ ("field", "Friction at the nut"), 2, FILLED (friction)),
};
static const SlField post_columns[] = {
  NUMBER (find_post, "post", "distance", NC_ ("field", "Post distance"), 1, 0),
  NUMBER (find_post, "post", "side", NC_ ("field", "Post to the side"), 1, 0),
  NUMBER (find_post, "post", "wrap-height", NC_ ("field", "Wrap height"), 1, 0),
};

static const SlField bridge_fields[] = {
  { .kind = SL_FIELD_CHOICE,
    .title = NC_ ("field", "Bridge"),
    .find = find_bridge,
    .offset = G_STRUCT_OFFSET (SlBridge, kind),
    .choices = bridge_choices,
    .first = SL_BRIDGE_PINNED },
  NUMBER (find_bridge, "bridge", "spread", NC_ ("field", "String spread"), 1, FILLED (spread)),
  NUMBER (find_saddle, "saddle", "thickness", NC_ ("field", "Saddle thickness"), 1, FILLED (saddle_thickness)),
  NUMBER (find_saddle, "saddle", "lean", NC_ ("field", "Saddle lean"), 1, 0),
  NUMBER (find_saddle, "saddle", "least-exposure", NC_ ("field", "Least exposure"), 1, FILLED (least_exposure)),
  NUMBER (find_saddle, "saddle", "radius", NC_ ("field", "Saddle top radius"), 0, 0),
  FINE (find_saddle, "saddle", "height-screw-pitch", NC_ ("field", "Height screw pitch"), 0),
  FINE (find_saddle, "saddle", "length-screw-pitch", NC_ ("field", "Length screw pitch"), 0),
};
static const SlField anchor_columns[] = {
  NUMBER (find_anchor, "anchor", "distance", NC_ ("field", "Pin hole or ball end behind the saddle"), 1, 0),
  NUMBER (find_anchor, "anchor", "drop", NC_ ("field", "Pin hole or ball end below the bridge top"), 1, 0),
};

static const SlField string_columns[] = {
  { .kind = SL_FIELD_TEXT,
    .title = NC_ ("field", "Tuned to"),
    .find = find_string,
    .offset = G_STRUCT_OFFSET (SlString, note) },
  NUMBER (find_string, "string", "frequency", NC_ ("field", "Frequency"), 1, 0),
  { .kind = SL_FIELD_CHOICE,
    .title = NC_ ("field", "Core"),
    .find = find_string,
    .offset = G_STRUCT_OFFSET (SlString, core),
    .choices = core_choices },
  { .kind = SL_FIELD_NUMBER,
    .title = NC_ ("field", "Core diameter"),
    .find = find_string,
    .element = "string",
    .attribute = "core-diameter",
    .places = 3,
    .fine = TRUE,
    .required = TRUE },
  { .kind = SL_FIELD_WRAP, .title = NC_ ("field", "Wrap"), .find = find_string, .choices = wrap_choices },
  { .kind = SL_FIELD_NUMBER,
    .title = NC_ ("field", "Wrap diameter"),
    .find = find_string,
    .element = "string",
    .attribute = "wrap-diameter",
    .places = 3,
    .fine = TRUE },
  NUMBER (find_string, "string", "unit-mass", NC_ ("field", "Unit mass"), 3, 0),
};

static const SlField target_fields[] = {
  FINE (find_targets, "targets", "relief", NC_ ("field", "Relief"), FILLED (target_relief)),
  FINE (find_targets, "targets", "relief-tolerance", NC_ ("field", "Relief tolerance"), FILLED (relief_tolerance)),
  NUMBER (find_targets, "targets", "action-treble", NC_ ("field", "Action at 12, treble"), 2,
          FILLED (target_action[0])),
  NUMBER (find_targets, "targets", "action-bass", NC_ ("field", "Action at 12, bass"), 2, 0),
  NUMBER (find_targets, "targets", "action-tolerance", NC_ ("field", "Action tolerance"), 2, FILLED (action_tolerance)),
  FINE (find_targets, "targets", "first-gap-treble", NC_ ("field", "Height at fret 1, treble"),
        FILLED (target_first_gap[0])),
  FINE (find_targets, "targets", "first-gap-bass", NC_ ("field", "Height at fret 1, bass"), 0),
  FINE (find_targets, "targets", "first-gap-tolerance", NC_ ("field", "Height at fret 1, tolerance"),
        FILLED (first_gap_tolerance)),
};

static const SlField player_fields[] = {
  NUMBER (find_player, "player", "pluck-force", NC_ ("field", "Pluck force"), 1, FILLED (pluck_force_n)),
  NUMBER (find_player, "player", "pluck-distance", NC_ ("field", "Plucked in front of the saddle"), 0,
          FILLED (pluck_distance)),
  { .kind = SL_FIELD_CHOICE,
    .title = NC_ ("field", "Plucked"),
    .find = find_player,
    .offset = G_STRUCT_OFFSET (SlPlayer, pluck_direction),
    .choices = direction_choices,
    .first = SL_PLUCK_TOWARD },
  NUMBER (find_player, "player", "upright-share", NC_ ("field", "Share of the pluck that is upright"), 2,
          FILLED (upright_share)),
  NUMBER (find_player, "player", "finger-distance", NC_ ("field", "Finger behind the fret"), 1,
          FILLED (finger_distance)),
  { .kind = SL_FIELD_CHOICE,
    .title = NC_ ("field", "String ends"),
    .find = find_player,
    .offset = G_STRUCT_OFFSET (SlPlayer, stiff_ends),
    .choices = ends_choices,
    .first = SL_STIFF_ENDS_ONE },
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
  { .name = "strings", .title = NC_ ("page", "Strings"), COLUMNS (string_columns) },
  { .name = "targets", .title = NC_ ("page", "Targets"), FIELDS (target_fields) },
  { .name = "player", .title = NC_ ("page", "Player"), FIELDS (player_fields) },
};
const guint sl_n_description_pages = G_N_ELEMENTS (sl_description_pages);

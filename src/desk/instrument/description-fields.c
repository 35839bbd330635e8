/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/instrument/description-fields.h"

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
static const char *const basis_choices[] = { NC_ ("choice", "assumed"),
                                             NC_ ("choice", "told by a rattle that was heard"), NULL };
static const char *const direction_choices[] = { NC_ ("choice", "toward the board"),
                                                 NC_ ("choice", "away from the board"), NC_ ("choice", "either way"),
                                                 NULL };
static const char *const ends_choices[] = { NC_ ("choice", "one end clamped"), NC_ ("choice", "both ends clamped"),
                                            NULL };

/* Titles are marked for translation where the fields are listed: the extracting tool does not look into macros. */
#define TEXT(elem, type, member, name, must)                                                                           \
  {                                                                                                                    \
    .kind = SL_FIELD_TEXT, .title = name, .element = elem, .attribute = #member,                                       \
    .offset = G_STRUCT_OFFSET (type, member), .required = must                                                         \
  }
#define CHOICE_FILLED(elem, type, member, name, titles, least, stand_in)                                               \
  {                                                                                                                    \
    .kind = SL_FIELD_CHOICE, .title = name, .element = elem, .offset = G_STRUCT_OFFSET (type, member),                 \
    .choices = titles, .first = least, .filled = stand_in                                                              \
  }
#define CHOICE(elem, type, member, name, titles, least) CHOICE_FILLED (elem, type, member, name, titles, least, 0)
#define COUNT(attr, member, name)                                                                                      \
  {                                                                                                                    \
    .kind = SL_FIELD_COUNT, .title = name, .element = "neck", .attribute = attr,                                       \
    .offset = G_STRUCT_OFFSET (SlNeck, member), .required = TRUE                                                       \
  }
#define LENGTH(elem, attr, name, decimals, small, must, stand_in)                                                      \
  {                                                                                                                    \
    .kind = SL_FIELD_NUMBER, .title = name, .element = elem, .attribute = attr, .places = decimals, .fine = small,     \
    .required = must, .filled = stand_in                                                                               \
  }
#define NUMBER(elem, attr, name, decimals, stand_in) LENGTH (elem, attr, name, decimals, FALSE, FALSE, stand_in)
#define FINE(elem, attr, name, stand_in) LENGTH (elem, attr, name, 2, TRUE, FALSE, stand_in)
#define FILLED(member) G_STRUCT_OFFSET (SlInstrument, member)

static const SlField identity_fields[] = {
  TEXT ("identity", SlIdentity, label, NC_ ("field", "Name"), TRUE),
  TEXT ("identity", SlIdentity, owner, NC_ ("field", "Owner"), FALSE),
  TEXT ("identity", SlIdentity, contact, NC_ ("field", "Contact"), FALSE),
  TEXT ("identity", SlIdentity, maker, NC_ ("field", "Maker"), FALSE),
  TEXT ("identity", SlIdentity, model, NC_ ("field", "Model"), FALSE),
  TEXT ("identity", SlIdentity, serial, NC_ ("field", "Serial number"), FALSE),
  TEXT ("identity", SlIdentity, year, NC_ ("field", "Year"), FALSE),
  TEXT ("identity", SlIdentity, note, NC_ ("field", "Note"), FALSE),
};

static const SlField neck_fields[] = {
  LENGTH ("neck", "scale-length", NC_ ("field", "Scale length"), 1, FALSE, TRUE, 0),
  COUNT ("frets", frets, NC_ ("field", "Frets")),
  COUNT ("joint-fret", joint_fret, NC_ ("field", "Joint fret")),
  NUMBER ("neck", "nut-width", NC_ ("field", "Nut width"), 1, 0),
  NUMBER ("neck", "board-radius-nut", NC_ ("field", "Board radius at the nut"), 0, 0),
  NUMBER ("neck", "board-radius-end", NC_ ("field", "Board radius at the last fret"), 0, 0),
  NUMBER ("fretwire", "width", NC_ ("field", "Fret crown width"), 2, FILLED (crown_width)),
  NUMBER ("fretwire", "height", NC_ ("field", "Fret crown height"), 2, FILLED (crown_height)),
  NUMBER ("fretwire", "least-height", NC_ ("field", "Least crown height"), 2, FILLED (crown_least)),
};

static const SlField head_fields[] = {
  NUMBER ("headstock", "tilt", NC_ ("field", "Headstock tilt"), 1, 0),
  NUMBER ("headstock", "string-rise", NC_ ("field", "String above the head's face at the nut"), 1,
          FILLED (string_rise)),
  NUMBER ("nut", "edge-margin-bass", NC_ ("field", "Nut edge margin, bass"), 1, FILLED (edge_margin_bass)),
  NUMBER ("nut", "edge-margin-treble", NC_ ("field", "Nut edge margin, treble"), 1, FILLED (edge_margin_treble)),
  FINE ("nut", "slot-allowance", NC_ ("field", "Slot wider than the string by"), FILLED (slot_allowance)),
  NUMBER ("nut", "friction", NC_ ("field", "Friction at the nut"), 2, FILLED (friction)),
};
static const SlField post_columns[] = {
  NUMBER ("post", "distance", NC_ ("field", "Post distance"), 1, 0),
  NUMBER ("post", "side", NC_ ("field", "Post to the side"), 1, 0),
  NUMBER ("post", "wrap-height", NC_ ("field", "Wrap height"), 1, 0),
};

static const SlField bridge_fields[] = {
  CHOICE ("bridge", SlBridge, kind, NC_ ("field", "Bridge"), bridge_choices, SL_BRIDGE_PINNED),
  NUMBER ("bridge", "spread", NC_ ("field", "String spread"), 1, FILLED (spread)),
  NUMBER ("saddle", "thickness", NC_ ("field", "Saddle thickness"), 1, FILLED (saddle_thickness)),
  NUMBER ("saddle", "lean", NC_ ("field", "Saddle lean"), 1, 0),
  NUMBER ("saddle", "least-exposure", NC_ ("field", "Least exposure"), 1, FILLED (least_exposure)),
  NUMBER ("saddle", "radius", NC_ ("field", "Saddle top radius"), 0, 0),
  FINE ("saddle", "height-screw-pitch", NC_ ("field", "Height screw pitch"), 0),
  FINE ("saddle", "length-screw-pitch", NC_ ("field", "Length screw pitch"), 0),
};
static const SlField anchor_columns[] = {
  NUMBER ("anchor", "distance", NC_ ("field", "Pin hole or ball end behind the saddle"), 1, 0),
  NUMBER ("anchor", "drop", NC_ ("field", "Pin hole or ball end below the bridge top"), 1, 0),
};

static const SlField string_columns[] = {
  TEXT ("string", SlString, note, NC_ ("field", "Tuned to"), FALSE),
  NUMBER ("string", "frequency", NC_ ("field", "Frequency"), 1, 0),
  CHOICE ("string", SlString, core, NC_ ("field", "Core"), core_choices, 0),
  LENGTH ("string", "core-diameter", NC_ ("field", "Core diameter"), 3, TRUE, TRUE, 0),
  { .kind = SL_FIELD_WRAP, .title = NC_ ("field", "Wrap"), .element = "string", .choices = wrap_choices },
  LENGTH ("string", "wrap-diameter", NC_ ("field", "Wrap diameter"), 3, TRUE, FALSE, 0),
  NUMBER ("string", "unit-mass", NC_ ("field", "Unit mass"), 3, 0),
  NUMBER ("string", "axial-stiffness", NC_ ("field", "Stretch stiffness EA"), 0, 0),
  NUMBER ("string", "bending-stiffness", NC_ ("field", "Bending stiffness EI"), 1, 0),
};

static const SlField target_fields[] = {
  FINE ("targets", "relief", NC_ ("field", "Relief"), FILLED (target_relief)),
  FINE ("targets", "relief-tolerance", NC_ ("field", "Relief tolerance"), FILLED (relief_tolerance)),
  NUMBER ("targets", "action-treble", NC_ ("field", "Action at 12, treble"), 2, FILLED (target_action[0])),
  NUMBER ("targets", "action-bass", NC_ ("field", "Action at 12, bass"), 2, 0),
  NUMBER ("targets", "action-tolerance", NC_ ("field", "Action tolerance"), 2, FILLED (action_tolerance)),
  FINE ("targets", "first-gap-treble", NC_ ("field", "Height at fret 1, treble"), FILLED (target_first_gap[0])),
  FINE ("targets", "first-gap-bass", NC_ ("field", "Height at fret 1, bass"), 0),
  FINE ("targets", "first-gap-tolerance", NC_ ("field", "Height at fret 1, tolerance"), FILLED (first_gap_tolerance)),
  FINE ("targets", "fall-away", NC_ ("field", "Fall-away at the last fret"), FILLED (target_fall_away)),
  FINE ("targets", "fall-away-tolerance", NC_ ("field", "Fall-away tolerance"), FILLED (fall_away_tolerance)),
  NUMBER ("targets", "pitch-tolerance", NC_ ("field", "Pitch tolerance"), 1, FILLED (pitch_tolerance)),
};

static const SlField player_fields[] = {
  NUMBER ("player", "pluck-force", NC_ ("field", "Pluck force"), 1, FILLED (pluck_force_n)),
  CHOICE ("player", SlPlayer, force_basis, NC_ ("field", "Pluck force is"), basis_choices, SL_FORCE_ASSUMED),
  NUMBER ("player", "pluck-distance", NC_ ("field", "Plucked in front of the saddle"), 0, FILLED (pluck_distance)),
  CHOICE_FILLED ("player", SlPlayer, pluck_direction, NC_ ("field", "Plucked"), direction_choices, SL_PLUCK_TOWARD,
                 FILLED (pluck_direction)),
  NUMBER ("player", "upright-share", NC_ ("field", "Share of the pluck that is upright"), 2, FILLED (upright_share)),
  NUMBER ("player", "finger-distance", NC_ ("field", "Finger behind the fret"), 1, FILLED (finger_distance)),
  CHOICE ("player", SlPlayer, stiff_ends, NC_ ("field", "String ends"), ends_choices, SL_STIFF_ENDS_ONE),
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

const SlDescriptionPage *
sl_description_page (const char *name)
{
  const SlDescriptionPage *page = sl_description_pages;

  while (!g_str_equal (page->name, name))
    page++;
  return page;
}

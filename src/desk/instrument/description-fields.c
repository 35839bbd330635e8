/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/instrument/description-fields.h"

#include "setup/profile/construction.h"

static const char *const bridge_choices[] = { NC_ ("choice", "pinned"),           NC_ ("choice", "tailpiece"),
                                              NC_ ("choice", "through the body"), NC_ ("choice", "tie block"),
                                              NC_ ("choice", "on loose feet"),    NC_ ("choice", "tremolo"),
                                              NC_ ("choice", "resonator cone"),   NULL };
static const char *const rod_choices[] = { NC_ ("choice", "single-acting"), NC_ ("choice", "double-acting"),
                                           NC_ ("choice", "no rod"), NULL };
static const char *const heel_choices[] = { NC_ ("choice", "a reset alone"), NC_ ("choice", "a shim in the pocket"),
                                            NC_ ("choice", "a tilt screw"), NULL };
static const char *const nut_choices[] = { NC_ ("choice", "slotted"), NC_ ("choice", "zero fret"), NULL };
static const char *const adjust_choices[] = { NC_ ("choice", "off the saddle’s underside"),
                                              NC_ ("choice", "a screw for each string"),
                                              NC_ ("choice", "two posts"),
                                              NC_ ("choice", "two thumbwheels"),
                                              NC_ ("choice", "off the saddle’s top"),
                                              NC_ ("choice", "not at all"),
                                              NULL };
static const char *const balance_choices[] = { NC_ ("choice", "fully floating"), NC_ ("choice", "decked"),
                                               NC_ ("choice", "blocked"), NULL };
static const char *const hand_choices[] = { NC_ ("choice", "right-handed"), NC_ ("choice", "left-handed"), NULL };
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
#define CHOICE_WHERE(elem, type, member, name, titles, least, stand_in, test)                                          \
  {                                                                                                                    \
    .kind = SL_FIELD_CHOICE, .title = name, .element = elem, .offset = G_STRUCT_OFFSET (type, member),                 \
    .choices = titles, .first = least, .filled = stand_in, .applies = test                                             \
  }
#define CHOICE_FILLED(elem, type, member, name, titles, least, stand_in)                                               \
  CHOICE_WHERE (elem, type, member, name, titles, least, stand_in, NULL)
#define CHOICE(elem, type, member, name, titles, least) CHOICE_FILLED (elem, type, member, name, titles, least, 0)
#define COUNT_WHERE(elem, type, attr, member, name, must, test)                                                        \
  {                                                                                                                    \
    .kind = SL_FIELD_COUNT, .title = name, .element = elem, .attribute = attr,                                         \
    .offset = G_STRUCT_OFFSET (type, member), .required = must, .applies = test                                        \
  }
#define COUNT(attr, member, name) COUNT_WHERE ("neck", SlNeck, attr, member, name, TRUE, NULL)
#define LENGTH_WHERE(elem, attr, name, decimals, small, must, stand_in, test)                                          \
  {                                                                                                                    \
    .kind = SL_FIELD_NUMBER, .title = name, .element = elem, .attribute = attr, .places = decimals, .fine = small,     \
    .required = must, .filled = stand_in, .applies = test                                                              \
  }
#define LENGTH(elem, attr, name, decimals, small, must, stand_in)                                                      \
  LENGTH_WHERE (elem, attr, name, decimals, small, must, stand_in, NULL)
#define NUMBER_WHERE(elem, attr, name, decimals, test) LENGTH_WHERE (elem, attr, name, decimals, FALSE, FALSE, 0, test)
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

static const SlField neck_fields[] = {
  LENGTH ("neck", "scale-length", NC_ ("field", "Scale length"), 1, FALSE, TRUE, 0),
  NUMBER ("neck", "scale-length-bass", NC_ ("field", "Scale length, bass (slanting frets)"), 1, 0),
  COUNT_WHERE ("neck", SlNeck, "square-fret", square_fret, NC_ ("field", "Fret that lies square"), FALSE,
               has_two_scales),
  COUNT ("frets", frets, NC_ ("field", "Frets")),
  COUNT ("joint-fret", joint_fret, NC_ ("field", "Joint fret")),
  NUMBER ("neck", "nut-width", NC_ ("field", "Nut width"), 1, 0),
  NUMBER ("neck", "board-radius-nut", NC_ ("field", "Board radius at the nut"), 0, 0),
  NUMBER ("neck", "board-radius-end", NC_ ("field", "Board radius at the last fret"), 0, 0),
  NUMBER ("fretwire", "width", NC_ ("field", "Fret crown width"), 2, FILLED (crown_width)),
  NUMBER ("fretwire", "height", NC_ ("field", "Fret crown height"), 2, FILLED (crown_height)),
  NUMBER ("fretwire", "least-height", NC_ ("field", "Least crown height"), 2, FILLED (crown_least)),
  CHOICE_FILLED ("neck", SlNeck, rod, NC_ ("field", "Truss rod"), rod_choices, SL_ROD_SINGLE, FILLED (rod)),
  CHOICE_FILLED ("neck", SlNeck, heel_adjust, NC_ ("field", "The neck’s angle is set by"), heel_choices, SL_HEEL_NONE,
                 FILLED (heel_adjust)),
  CHOICE ("profile", SlProfile, hand, NC_ ("field", "Built"), hand_choices, SL_HAND_RIGHT),
};

static const SlField head_fields[] = {
  NUMBER ("headstock", "tilt", NC_ ("field", "Headstock tilt"), 1, 0),
  NUMBER ("headstock", "string-rise", NC_ ("field", "String above the head's face at the nut"), 1,
          FILLED (string_rise)),
  CHOICE_FILLED ("nut", SlNut, kind, NC_ ("field", "Nut"), nut_choices, SL_NUT_SLOTTED, FILLED (nut_kind)),
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
  CHOICE_FILLED ("bridge", SlBridge, kind, NC_ ("field", "Bridge"), bridge_choices, SL_BRIDGE_PINNED, FILLED (bridge)),
  COUNT_WHERE ("bridge", SlBridge, "spring-count", spring_count, NC_ ("field", "Springs"), FALSE, is_tremolo),
  CHOICE_WHERE ("bridge", SlBridge, balance, NC_ ("field", "The tremolo stands"), balance_choices, SL_BALANCE_FLOATING,
                FILLED (balance), is_tremolo),
  NUMBER_WHERE ("bridge", "thickness", NC_ ("field", "Bridge thickness"), 1, is_wooden),
  NUMBER_WHERE ("bridge", "least-thickness", NC_ ("field", "Least bridge thickness"), 1, is_wooden),
  CHOICE_FILLED ("saddle", SlSaddle, adjust, NC_ ("field", "Height is set by"), adjust_choices, SL_ADJUST_BASE,
                 FILLED (adjust)),
  NUMBER ("bridge", "spread", NC_ ("field", "String spread"), 1, FILLED (spread)),
  NUMBER ("saddle", "thickness", NC_ ("field", "Saddle thickness"), 1, FILLED (saddle_thickness)),
  NUMBER ("saddle", "lean", NC_ ("field", "Saddle lean"), 1, 0),
  NUMBER ("saddle", "least-exposure", NC_ ("field", "Least exposure"), 1, FILLED (least_exposure)),
  NUMBER ("saddle", "radius", NC_ ("field", "Saddle top radius"), 0, 0),
  LENGTH_WHERE ("saddle", "height-screw-pitch", NC_ ("field", "Height screw pitch"), 2, TRUE, FALSE, 0, has_screws),
  LENGTH_WHERE ("saddle", "length-screw-pitch", NC_ ("field", "Length screw pitch"), 2, TRUE, FALSE, 0,
                has_length_screws),
};
static const SlField anchor_columns[] = {
  NUMBER ("anchor", "distance", NC_ ("field", "Pin hole or ball end behind the saddle"), 1, 0),
  NUMBER ("anchor", "drop", NC_ ("field", "Pin hole or ball end below the bridge top"), 1, 0),
};

static const SlField string_fields[] = {
  COUNT_WHERE ("strings", SlProfile, "courses", courses, NC_ ("field", "Courses"), FALSE, NULL),
  TEXT ("strings", SlProfile, set_name, NC_ ("field", "Set"), FALSE),
  TEXT ("strings", SlProfile, fitted, NC_ ("field", "Fitted on: year, month, day"), FALSE),
  TEXT ("strings", SlProfile, chosen_by, NC_ ("field", "Chosen by"), FALSE),
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

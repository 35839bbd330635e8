/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/instrument/description-fields.h"

#include "setup/profile/construction.h"

#define FILLED(member) .filled = G_STRUCT_OFFSET (SlInstrument, member)

static const SlDescriptionField identity_fields[] = {
  { "identity", "label", NC_ ("field", "Name") },      { "identity", "owner", NC_ ("field", "Owner") },
  { "identity", "contact", NC_ ("field", "Contact") }, { "identity", "maker", NC_ ("field", "Maker") },
  { "identity", "model", NC_ ("field", "Model") },     { "identity", "serial", NC_ ("field", "Serial number") },
  { "identity", "year", NC_ ("field", "Year") },       { "identity", "note", NC_ ("field", "Note") },
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
  { "neck", "scale-length", NC_ ("field", "Scale length"), 1 },
  { "neck", "scale-length-bass", NC_ ("field", "Scale length, bass (slanting frets)"), 1 },
  { "neck", "square-fret", NC_ ("field", "Fret that lies square"), .applies = has_two_scales },
  { "neck", "frets", NC_ ("field", "Frets") },
  { "neck", "joint-fret", NC_ ("field", "Joint fret") },
  { "neck", "nut-width", NC_ ("field", "Nut width"), 1 },
  { "neck", "board-radius-nut", NC_ ("field", "Board radius at the nut"), 0 },
  { "neck", "board-radius-end", NC_ ("field", "Board radius at the last fret"), 0 },
  { "fretwire", "width", NC_ ("field", "Fret crown width"), 2, FILLED (crown_width) },
  { "fretwire", "height", NC_ ("field", "Fret crown height"), 2, FILLED (crown_height) },
  { "fretwire", "least-height", NC_ ("field", "Least crown height"), 2, FILLED (crown_least) },
  { "neck", "rod", NC_ ("field", "Truss rod"), FILLED (rod) },
  { "neck", "heel-adjust", NC_ ("field", "The neck’s angle is set by"), FILLED (heel_adjust) },
  { "profile", "hand", NC_ ("field", "Built") },
};

static const SlDescriptionField head_fields[] = {
  { "headstock", "tilt", NC_ ("field", "Headstock tilt"), 1 },
  { "headstock", "string-rise", NC_ ("field", "String above the head's face at the nut"), 1, FILLED (string_rise) },
  { "nut", "kind", NC_ ("field", "Nut"), FILLED (nut_kind) },
  { "nut", "edge-margin-bass", NC_ ("field", "Nut edge margin, bass"), 1, FILLED (edge_margin_bass) },
  { "nut", "edge-margin-treble", NC_ ("field", "Nut edge margin, treble"), 1, FILLED (edge_margin_treble) },
  { "nut", "slot-allowance", NC_ ("field", "Slot wider than the string by"), 2, .fine = TRUE, FILLED (slot_allowance) },
  { "nut", "friction", NC_ ("field", "Friction at the nut"), 2, FILLED (friction) },
};
static const SlDescriptionField post_columns[] = {
  { "post", "distance", NC_ ("field", "Post distance"), 1 },
  { "post", "side", NC_ ("field", "Post to the side"), 1 },
  { "post", "wrap-height", NC_ ("field", "Wrap height"), 1 },
};

static const SlDescriptionField bridge_fields[] = {
  { "bridge", "kind", NC_ ("field", "Bridge"), FILLED (bridge) },
  { "bridge", "spring-count", NC_ ("field", "Springs"), .applies = is_tremolo },
  { "bridge", "balance", NC_ ("field", "The tremolo stands"), FILLED (balance), .applies = is_tremolo },
  { "bridge", "thickness", NC_ ("field", "Bridge thickness"), 1, .applies = is_wooden },
  { "bridge", "least-thickness", NC_ ("field", "Least bridge thickness"), 1, .applies = is_wooden },
  { "saddle", "adjust", NC_ ("field", "Height is set by"), FILLED (adjust) },
  { "bridge", "spread", NC_ ("field", "String spread"), 1, FILLED (spread) },
  { "saddle", "thickness", NC_ ("field", "Saddle thickness"), 1, FILLED (saddle_thickness) },
  { "saddle", "lean", NC_ ("field", "Saddle lean"), 1 },
  { "saddle", "least-exposure", NC_ ("field", "Least exposure"), 1, FILLED (least_exposure) },
  { "saddle", "radius", NC_ ("field", "Saddle top radius"), 0 },
  { "saddle", "height-screw-pitch", NC_ ("field", "Height screw pitch"), 2, .fine = TRUE, .applies = has_screws },
  { "saddle", "length-screw-pitch", NC_ ("field", "Length screw pitch"), 2, .fine = TRUE,
    .applies = has_length_screws },
};
static const SlDescriptionField anchor_columns[] = {
  { "anchor", "distance", NC_ ("field", "Pin hole or ball end behind the saddle"), 1 },
  { "anchor", "drop", NC_ ("field", "Pin hole or ball end below the bridge top"), 1 },
};

static const SlDescriptionField string_fields[] = {
  { "strings", "courses", NC_ ("field", "Courses") },
  { "strings", "name", NC_ ("field", "Set") },
  { "strings", "fitted", NC_ ("field", "Fitted on: year, month, day") },
  { "strings", "chosen-by", NC_ ("field", "Chosen by") },
};
static const SlDescriptionField string_columns[] = {
  { "string", "note", NC_ ("field", "Tuned to") },
  { "string", "frequency", NC_ ("field", "Frequency"), 1 },
  { "string", "core", NC_ ("field", "Core") },
  { "string", "core-diameter", NC_ ("field", "Core diameter"), 3, .fine = TRUE },
  { "string", "wrap", NC_ ("field", "Wrap") },
  { "string", "wrap-diameter", NC_ ("field", "Wrap diameter"), 3, .fine = TRUE },
  { "string", "unit-mass", NC_ ("field", "Unit mass"), 3 },
  { "string", "axial-stiffness", NC_ ("field", "Stretch stiffness EA"), 0 },
  { "string", "bending-stiffness", NC_ ("field", "Bending stiffness EI"), 1 },
};

static const SlDescriptionField target_fields[] = {
  { "targets", "relief", NC_ ("field", "Relief"), 2, .fine = TRUE, FILLED (target_relief) },
  { "targets", "relief-tolerance", NC_ ("field", "Relief tolerance"), 2, .fine = TRUE, FILLED (relief_tolerance) },
  { "targets", "action-treble", NC_ ("field", "Action at 12, treble"), 2, FILLED (target_action[0]) },
  { "targets", "action-bass", NC_ ("field", "Action at 12, bass"), 2 },
  { "targets", "action-tolerance", NC_ ("field", "Action tolerance"), 2, FILLED (action_tolerance) },
  { "targets", "first-gap-treble", NC_ ("field", "Height at fret 1, treble"), 2, .fine = TRUE,
    FILLED (target_first_gap[0]) },
  { "targets", "first-gap-bass", NC_ ("field", "Height at fret 1, bass"), 2, .fine = TRUE },
  { "targets", "first-gap-tolerance", NC_ ("field", "Height at fret 1, tolerance"), 2, .fine = TRUE,
    FILLED (first_gap_tolerance) },
  { "targets", "fall-away", NC_ ("field", "Fall-away at the last fret"), 2, .fine = TRUE, FILLED (target_fall_away) },
  { "targets", "fall-away-tolerance", NC_ ("field", "Fall-away tolerance"), 2, .fine = TRUE,
    FILLED (fall_away_tolerance) },
  { "targets", "pitch-tolerance", NC_ ("field", "Pitch tolerance"), 1, FILLED (pitch_tolerance) },
};

static const SlDescriptionField player_fields[] = {
  { "player", "pluck-force", NC_ ("field", "Pluck force"), 1, FILLED (pluck_force_n) },
  { "player", "force-basis", NC_ ("field", "Pluck force is") },
  { "player", "pluck-distance", NC_ ("field", "Plucked in front of the saddle"), 0, FILLED (pluck_distance) },
  { "player", "pluck-direction", NC_ ("field", "Plucked"), FILLED (pluck_direction) },
  { "player", "upright-share", NC_ ("field", "Share of the pluck that is upright"), 2, FILLED (upright_share) },
  { "player", "finger-distance", NC_ ("field", "Finger behind the fret"), 1, FILLED (finger_distance) },
  { "player", "stiff-ends", NC_ ("field", "String ends") },
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

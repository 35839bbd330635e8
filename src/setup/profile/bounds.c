/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The ranges are generous on purpose: they keep out slips of the finger and broken files, never an instrument somebody
 * plays. All of them are common practice with room around it; docs/format.md lists them. */
#include "setup/profile/bounds.h"

#include <stddef.h>

#include "setup/profile/units.h"

#define AT(type, member) ((int) offsetof (type, member))
#define COUNTED -1 /* a whole number or part of a reading or operation: no SlNumber of its own */

const SlBound sl_bounds[] = {
  { "neck", "scale-length", 100, 2000, SL_UNIT_MM, AT (SlNeck, scale_length) },
  { "neck", "scale-length-bass", 100, 2000, SL_UNIT_MM, AT (SlNeck, scale_length_bass) },
  { "neck", "square-fret", 1, SL_MAX_FRETS, SL_UNIT_NONE, COUNTED },
  { "neck", "frets", SL_MIN_FRETS, SL_MAX_FRETS, SL_UNIT_NONE, COUNTED },
  { "neck", "joint-fret", 5, SL_MAX_FRETS, SL_UNIT_NONE, COUNTED },
  { "neck", "nut-width", 5, 200, SL_UNIT_MM, AT (SlNeck, nut_width) },
  { "neck", "board-radius-nut", 50, 5000, SL_UNIT_MM, AT (SlNeck, board_radius_nut) },
  { "neck", "board-radius-end", 50, 5000, SL_UNIT_MM, AT (SlNeck, board_radius_end) },
  { "fretwire", "width", 0.5, 6, SL_UNIT_MM, AT (SlFretwire, width) },
  { "fretwire", "height", 0.1, 3, SL_UNIT_MM, AT (SlFretwire, height) },
  { "fretwire", "least-height", 0, 3, SL_UNIT_MM, AT (SlFretwire, least_height) },
  { "headstock", "tilt", -10, 45, SL_UNIT_DEGREE, AT (SlHeadstock, tilt) },
  { "headstock", "string-rise", -20, 60, SL_UNIT_MM, AT (SlHeadstock, string_rise) },
  { "post", "string", 1, SL_MAX_STRINGS, SL_UNIT_NONE, COUNTED },
  { "post", "distance", 1, 2000, SL_UNIT_MM, AT (SlPost, distance) },
  { "post", "side", -200, 200, SL_UNIT_MM, AT (SlPost, side) },
  { "post", "wrap-height", -20, 60, SL_UNIT_MM, AT (SlPost, wrap_height) },
  { "nut", "edge-margin-bass", 0, 30, SL_UNIT_MM, AT (SlNut, edge_margin_bass) },
  { "nut", "edge-margin-treble", 0, 30, SL_UNIT_MM, AT (SlNut, edge_margin_treble) },
  { "nut", "slot-allowance", 0, 2, SL_UNIT_MM, AT (SlNut, slot_allowance) },
  { "nut", "friction", 0, 2, SL_UNIT_NONE, AT (SlNut, friction) },
  { "bridge", "spread", 0, 300, SL_UNIT_MM, AT (SlBridge, spread) },
  { "bridge", "thickness", 0.5, 200, SL_UNIT_MM, AT (SlBridge, thickness) },
  { "bridge", "least-thickness", 0.5, 200, SL_UNIT_MM, AT (SlBridge, least_thickness) },
  { "bridge", "spring-count", 1, 10, SL_UNIT_NONE, COUNTED },
  { "anchor", "string", 1, SL_MAX_STRINGS, SL_UNIT_NONE, COUNTED },
  { "anchor", "distance", 0.1, 500, SL_UNIT_MM, AT (SlAnchor, distance) },
  { "anchor", "drop", -60, 100, SL_UNIT_MM, AT (SlAnchor, drop) },
  { "saddle", "thickness", 0.2, 40, SL_UNIT_MM, AT (SlSaddle, thickness) },
  { "saddle", "lean", -20, 45, SL_UNIT_DEGREE, AT (SlSaddle, lean) },
  { "saddle", "least-exposure", 0, 60, SL_UNIT_MM, AT (SlSaddle, least_exposure) },
  { "saddle", "radius", 50, 5000, SL_UNIT_MM, AT (SlSaddle, radius) },
  { "saddle", "height-screw-pitch", 0.1, 3, SL_UNIT_MM, AT (SlSaddle, height_screw_pitch) },
  { "saddle", "length-screw-pitch", 0.1, 3, SL_UNIT_MM, AT (SlSaddle, length_screw_pitch) },
  { "strings", "courses", 1, SL_MAX_STRINGS, SL_UNIT_NONE, COUNTED },
  { "string", "number", 1, SL_MAX_STRINGS, SL_UNIT_NONE, COUNTED },
  { "string", "frequency", 8, 5000, SL_UNIT_HERTZ, AT (SlString, frequency) },
  { "string", "core-diameter", 0.05, 10, SL_UNIT_MM, AT (SlString, core_diameter) },
  { "string", "wrap-diameter", 0.01, 10, SL_UNIT_MM, AT (SlString, wrap_diameter) },
  { "string", "unit-mass", 0.01, 500, SL_UNIT_GRAM_PER_METRE, AT (SlString, unit_mass) },
  { "string", "axial-stiffness", 10, 1000000, SL_UNIT_NEWTON, AT (SlString, axial_stiffness) },
  { "string", "bending-stiffness", 0, 1000000, SL_UNIT_NEWTON_MM2, AT (SlString, bending_stiffness) },
  { "player", "pluck-force", 0.01, 50, SL_UNIT_NEWTON, AT (SlPlayer, pluck_force) },
  { "player", "pluck-distance", 1, 1000, SL_UNIT_MM, AT (SlPlayer, pluck_distance) },
  { "player", "upright-share", 0, 1, SL_UNIT_NONE, AT (SlPlayer, upright_share) },
  { "player", "finger-distance", 0, 50, SL_UNIT_MM, AT (SlPlayer, finger_distance) },
  { "targets", "relief", -1, 5, SL_UNIT_MM, AT (SlTargets, relief) },
  { "targets", "relief-tolerance", SL_LEAST_TOLERANCE_MM, 5, SL_UNIT_MM, AT (SlTargets, relief_tolerance) },
  { "targets", "action-treble", 0, 30, SL_UNIT_MM, AT (SlTargets, action_treble) },
  { "targets", "action-bass", 0, 30, SL_UNIT_MM, AT (SlTargets, action_bass) },
  { "targets", "action-tolerance", SL_LEAST_TOLERANCE_MM, 5, SL_UNIT_MM, AT (SlTargets, action_tolerance) },
  { "targets", "first-gap-treble", 0, 10, SL_UNIT_MM, AT (SlTargets, first_gap_treble) },
  { "targets", "first-gap-bass", 0, 10, SL_UNIT_MM, AT (SlTargets, first_gap_bass) },
  { "targets", "first-gap-tolerance", SL_LEAST_TOLERANCE_MM, 5, SL_UNIT_MM, AT (SlTargets, first_gap_tolerance) },
  { "targets", "pitch-tolerance", 0.1, 100, SL_UNIT_CENT, AT (SlTargets, pitch_tolerance) },
  { "targets", "fall-away", 0, 3, SL_UNIT_MM, AT (SlTargets, fall_away) },
  { "targets", "fall-away-tolerance", SL_LEAST_TOLERANCE_MM, 3, SL_UNIT_MM, AT (SlTargets, fall_away_tolerance) },
  { "readings", "temperature", -40, 60, SL_UNIT_CELSIUS, AT (SlReadingSet, temperature) },
  { "readings", "humidity", 0, 100, SL_UNIT_PERCENT_RH, AT (SlReadingSet, humidity) },
  { "pitch", "uncertainty", 0.001, 100, SL_UNIT_CENT, AT (SlReading, uncertainty) },
  { "tool", "resolution", 0, 5, SL_UNIT_MM, AT (SlTool, resolution) },
  { "tool", "error-limit", 0, 5, SL_UNIT_MM, AT (SlTool, error_limit) },
  { "turn-rod", "turns", -20, 20, SL_UNIT_TURN, AT (SlOperation, turns) },
  { "slot", "string", 1, SL_MAX_STRINGS, SL_UNIT_NONE, COUNTED },
  { "slot", "height", -5, 30, SL_UNIT_MM, AT (SlStringEnd, value) },
  { "charge", "minutes", 0, 100000, SL_UNIT_MINUTE, AT (SlCharge, minutes) },
  { "charge", "amount", -10000000, 10000000, SL_UNIT_NONE, AT (SlCharge, amount) },
  { NULL, NULL, 0, 0, SL_UNIT_NONE, COUNTED },
};

#define LENGTH(element, attribute, least, most)                                                                        \
  {                                                                                                                    \
    element, attribute, least, most, SL_UNIT_MM, COUNTED                                                               \
  }

/* Of work at both ends. */
#define ENDS(element, least, most) LENGTH (element, "bass", least, most), LENGTH (element, "treble", least, most)

const SlReadingTraits sl_readings[SL_N_ASKS] = {
  [SL_READ_RELIEF] = { LENGTH ("relief", "gap", -5, 10), SL_GROUP_NECK, TRUE, TRUE, SL_HELD_DEFAULT, SL_TOOL_RELIEF,
                       0.02, FALSE, 2 },
  [SL_READ_TONGUE] = { LENGTH ("tongue", "gap", -5, 10), SL_GROUP_NECK, FALSE, FALSE, SL_HELD_DEFAULT, SL_TOOL_TONGUE,
                       0.05, FALSE, 2 },
  [SL_READ_FIRST_GAP] = { LENGTH ("first-gap", "gap", -2, 10), SL_GROUP_NUT, TRUE, FALSE, SL_HELD_3, SL_TOOL_FIRST_GAP,
                          0.05, FALSE, 2 },
  [SL_READ_ACTION] = { LENGTH ("action", "gap", -5, 30), SL_GROUP_ACTION, TRUE, TRUE, SL_HELD_1, SL_TOOL_ACTION, 0.1,
                       TRUE, 2 },
  [SL_READ_EXPOSURE] = { LENGTH ("exposure", "height", 0, 60), SL_GROUP_SADDLE, TRUE, FALSE, SL_HELD_DEFAULT,
                         SL_TOOL_EXPOSURE, 0, TRUE, 2 },
  [SL_READ_SETBACK] = { LENGTH ("setback", "distance", -40, 40), SL_GROUP_SADDLE, TRUE, FALSE, SL_HELD_DEFAULT, -1, 0,
                        TRUE, 1 },
  [SL_READ_CROWN_GAP] = { LENGTH ("crown-gap", "gap", 0, 3), SL_GROUP_NECK, FALSE, TRUE, SL_HELD_DEFAULT, SL_TOOL_CROWN,
                          0, FALSE, 2 },
  [SL_READ_CROWN_HEIGHT] = { LENGTH ("crown-height", "height", 0.1, 3), SL_GROUP_NECK, FALSE, TRUE, SL_HELD_DEFAULT,
                             SL_TOOL_CROWN, 0, FALSE, 2 },
  [SL_READ_CROWN_WEAR] = { LENGTH ("crown-wear", "depth", 0, 3), SL_GROUP_NECK, TRUE, TRUE, SL_HELD_DEFAULT,
                           SL_TOOL_CROWN, 0, FALSE, 2 },
  [SL_READ_PITCH] = { { "pitch", "cents", -100, 100, SL_UNIT_CENT, -1 },
                      SL_GROUP_PITCH,
                      TRUE,
                      TRUE,
                      .tool = SL_TOOL_PITCH,
                      .resolution = 0.1 },
  [SL_ASK_TEMPERATURE] = { { .attribute = "temperature", .unit = SL_UNIT_CELSIUS }, .group = SL_GROUP_AIR, .tool = -1 },
  [SL_ASK_HUMIDITY] = { { .attribute = "humidity", .unit = SL_UNIT_PERCENT_RH }, .group = SL_GROUP_AIR, .tool = -1 },
};

SlReadingKind
sl_reading_of_tool (SlToolKind tool)
{
  int kind = 0;

  while (sl_readings[kind].tool != (int) tool)
    kind++;
  return (SlReadingKind) kind;
}

gboolean
sl_ask_is_length (int ask)
{
  return sl_readings[ask].bound.unit == SL_UNIT_MM;
}

const SlOperationTraits sl_operations[SL_N_OPS] = {
  [SL_OP_LEVEL_FRETS] = { .bound = LENGTH ("level-frets", "fall-away", 0, 3), .place = 3 },
  [SL_OP_TURN_ROD] = { .bound = LENGTH ("turn-rod", "change", -5, 5), .needs_amount = TRUE, .place = 6 },
  [SL_OP_LOWER_SLOT] = { .bound = LENGTH ("lower-slot", "by", 0, 5),
                         .per_string = TRUE,
                         .cuts = TRUE,
                         .needs_amount = TRUE,
                         .place = 10 },
  [SL_OP_CUT_SADDLE_BASE] = { ENDS ("cut-saddle-base", 0, 20), .cuts = TRUE, .place = 12 },
  /* below 0 only on height screws: see check_operation() */
  [SL_OP_SHAPE_CREST] = { .bound = LENGTH ("shape-crest", "by", -20, 20),
                          .per_string = TRUE,
                          .cuts = TRUE,
                          .needs_amount = TRUE,
                          .place = 13 },
  [SL_OP_MOVE_CREST] = { .bound = LENGTH ("move-crest", "by", -40, 40),
                         .per_string = TRUE,
                         .needs_amount = TRUE,
                         .place = 18 },
  [SL_OP_REPLACE_FRETS] = { LENGTH ("replace-frets", "width", 0.5, 6), LENGTH ("replace-frets", "height", 0.1, 3),
                            .place = 2 },
  [SL_OP_BENCH_STEP] = { .bound = { "bench-step", "name", .offset = COUNTED } },
  [SL_OP_MOVE_SADDLE] = { ENDS ("move-saddle", -20, 20), .place = 8 },
  [SL_OP_SHIFT_BRIDGE] = { ENDS ("shift-bridge", -40, 40), .place = 17 },
  [SL_OP_SET_NECK_ANGLE] = { .bound = LENGTH ("set-neck-angle", "by", -20, 20), .needs_amount = TRUE, .place = 7 },
  [SL_OP_MAKE_NUT] = { .bound = { "make-nut", "slot", .offset = COUNTED }, .makes = TRUE, .place = 9 },
  [SL_OP_MAKE_SADDLE] = { ENDS ("make-saddle", 0, 60), .makes = TRUE, .place = 11 },
  [SL_OP_FIT_STRINGS] = { .bound = { "fit-strings", "set", .offset = COUNTED }, .place = 5 },
};

static gboolean
is_meant (const SlBound *bound, const char *element, const char *attribute)
{
  return bound->element != NULL && strcmp (bound->element, element) == 0 &&
         (attribute == NULL || strcmp (bound->attribute, attribute) == 0);
}

const SlBound *
sl_bound_find (const char *element, const char *attribute)
{
  for (const SlBound *bound = sl_bounds; bound->element != NULL; bound++)
    if (is_meant (bound, element, attribute))
      return bound;
  for (int i = 0; i < SL_N_READINGS; i++)
    if (is_meant (&sl_readings[i].bound, element, attribute))
      return &sl_readings[i].bound;
  for (int i = 0; i < SL_N_OPS; i++)
    if (is_meant (&sl_operations[i].bound, element, attribute))
      return &sl_operations[i].bound;
    else if (is_meant (&sl_operations[i].treble, element, attribute))
      return &sl_operations[i].treble;
  return NULL;
}

SlBound
sl_ask_bound (const SlProfile *profile, int ask)
{
  SlBound bound =
      ask < SL_N_READINGS ? sl_readings[ask].bound : *sl_bound_find ("readings", sl_readings[ask].bound.attribute);

  if (ask == SL_READ_CROWN_GAP || ask == SL_READ_CROWN_WEAR)
    bound.most = MIN (bound.most, sl_number_or (profile->fretwire.height, SL_DEFAULT_CROWN_HEIGHT_MM));
  return bound;
}

static const char *
unit_suffix (SlUnit unit)
{
  static const char *const suffixes[] = {
    [SL_UNIT_MM] = N_ (" mm"),
    [SL_UNIT_DEGREE] = N_ ("°"),
    [SL_UNIT_NEWTON] = N_ (" N"),
    [SL_UNIT_HERTZ] = N_ (" Hz"),
    [SL_UNIT_GRAM_PER_METRE] = N_ (" g/m"),
    [SL_UNIT_CELSIUS] = N_ (" °C"),
    [SL_UNIT_PERCENT_RH] = N_ (" % RH"),
    [SL_UNIT_CENT] = N_ (" cents"),
    [SL_UNIT_MINUTE] = N_ (" minutes"),
    [SL_UNIT_NEWTON_MM2] = N_ (" N mm²"),
    [SL_UNIT_TURN] = N_ (" turns"),
  };

  return unit == SL_UNIT_NONE ? "" : _ (suffixes[unit]);
}

char *
sl_bound_complaint (const SlBound *bound, double value)
{
  if (isfinite (value) && value >= bound->least && value <= bound->most)
    return NULL;
  g_autofree char *given = sl_plain_shortest (value);
  g_autofree char *least = sl_plain_shortest (bound->least);
  g_autofree char *most = sl_plain_shortest (bound->most);
  const char *unit = unit_suffix (bound->unit);
  /* Translators: element and attribute of the document, the value with its unit, least, most with its unit: "action gap
   * 250 mm is outside 0 to 30 mm" */
  return g_strdup_printf (_ ("%s %s %s%s is outside %s to %s%s"), bound->element, bound->attribute, given, unit, least,
                          most, unit);
}

char *
sl_bound_range (const SlBound *bound)
{
  g_autofree char *least = sl_plain_shortest (bound->least);
  g_autofree char *most = sl_plain_shortest (bound->most);
  /* Translators: least and most of a range, with the unit: "0 to 30 mm" */
  return g_strdup_printf (_ ("%s to %s%s"), least, most, unit_suffix (bound->unit));
}

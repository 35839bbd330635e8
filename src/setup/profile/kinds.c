/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/kinds.h"

#include <glib/gi18n-lib.h>

#define LENGTH(element, attribute, least, most)                                                                        \
  {                                                                                                                    \
    element, attribute, least, most, SL_UNIT_MM, -1                                                                    \
  }

const SlReadingTraits sl_readings[SL_N_ASKS] = {
  [SL_READ_RELIEF] = { LENGTH ("relief", "gap", -5, 10), N_ ("relief"), SL_GROUP_NECK, TRUE, TRUE, SL_HELD_DEFAULT,
                       SL_TOOL_RELIEF, 0.02, FALSE, 2 },
  [SL_READ_TONGUE] = { LENGTH ("tongue", "gap", -5, 10), N_ ("fingerboard extension"), SL_GROUP_NECK, FALSE, FALSE,
                       SL_HELD_DEFAULT, SL_TOOL_TONGUE, 0.05, FALSE, 2 },
  [SL_READ_FIRST_GAP] = { LENGTH ("first-gap", "gap", -2, 10), N_ ("string height at fret 1"), SL_GROUP_NUT, TRUE,
                          FALSE, SL_HELD_3, SL_TOOL_FIRST_GAP, 0.05, FALSE, 2 },
  [SL_READ_ACTION] = { LENGTH ("action", "gap", -5, 30), N_ ("action"), SL_GROUP_ACTION, TRUE, TRUE, SL_HELD_1,
                       SL_TOOL_ACTION, 0.1, TRUE, 2 },
  [SL_READ_EXPOSURE] = { LENGTH ("exposure", "height", 0, 60), N_ ("exposure"), SL_GROUP_SADDLE, TRUE, FALSE,
                         SL_HELD_DEFAULT, SL_TOOL_EXPOSURE, 0, TRUE, 2 },
  [SL_READ_SETBACK] = { LENGTH ("setback", "distance", -40, 40), N_ ("compensation"), SL_GROUP_SADDLE, TRUE, FALSE,
                        SL_HELD_DEFAULT, -1, 0, TRUE, 1 },
  [SL_READ_CROWN_GAP] = { LENGTH ("crown-gap", "gap", 0, 3), N_ ("crown gap"), SL_GROUP_NECK, FALSE, TRUE,
                          SL_HELD_DEFAULT, SL_TOOL_CROWN, 0, FALSE, 2 },
  [SL_READ_CROWN_HEIGHT] = { LENGTH ("crown-height", "height", 0.1, 3), N_ ("crown height"), SL_GROUP_NECK, FALSE, TRUE,
                             SL_HELD_DEFAULT, SL_TOOL_CROWN, 0, FALSE, 2 },
  [SL_READ_PITCH] = { { "pitch", "cents", -100, 100, SL_UNIT_CENT, -1 },
                      N_ ("pitch"),
                      SL_GROUP_PITCH,
                      TRUE,
                      TRUE,
                      .tool = -1 },
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
  [SL_OP_LEVEL_FRETS] = { .bound = LENGTH ("level-frets", "fall-away", 0, 3) },
  [SL_OP_TURN_ROD] = { .bound = LENGTH ("turn-rod", "change", -5, 5), .needs_amount = TRUE },
  [SL_OP_LOWER_SLOT] = { .bound = LENGTH ("lower-slot", "by", 0, 5),
                         .per_string = TRUE,
                         .cuts = TRUE,
                         .needs_amount = TRUE },
  [SL_OP_CUT_SADDLE_BASE] = { LENGTH ("cut-saddle-base", "bass", 0, 20), LENGTH ("cut-saddle-base", "treble", 0, 20),
                              .cuts = TRUE },
  /* below 0 only on height screws: see check_operation() */
  [SL_OP_SHAPE_CREST] = { .bound = LENGTH ("shape-crest", "by", -20, 20),
                          .per_string = TRUE,
                          .cuts = TRUE,
                          .needs_amount = TRUE },
  [SL_OP_MOVE_CREST] = { .bound = LENGTH ("move-crest", "by", -40, 40), .per_string = TRUE, .needs_amount = TRUE },
};

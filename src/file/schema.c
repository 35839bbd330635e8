/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file/schema.h"

#include <gio/gio.h>
#include <stddef.h>
#include <string.h>

#include "file-resources.h"

G_STATIC_ASSERT (sizeof (SlReadingKind) == sizeof (int));
G_STATIC_ASSERT (offsetof (SlReading, kind) == 0);
G_STATIC_ASSERT (offsetof (SlOperation, kind) == 0);

/* The formatter takes these braces for blocks. */
/* clang-format off */
#define TEXT(type, member, name) { name, SL_FIELD_TEXT, (int) offsetof (type, member), FALSE, NULL, 0 }
#define TEXT_NEEDED(type, member, name) { name, SL_FIELD_TEXT, (int) offsetof (type, member), TRUE, NULL, 0 }
#define NUMBER(type, member, name) { name, SL_FIELD_NUMBER, (int) offsetof (type, member), FALSE, NULL, 0 }
#define NUMBER_NEEDED(type, member, name) { name, SL_FIELD_NUMBER, (int) offsetof (type, member), TRUE, NULL, 0 }
#define WHOLE(type, member, name) { name, SL_FIELD_WHOLE, (int) offsetof (type, member), TRUE, NULL, 0 }
#define CHOICE(type, member, name, names) { name, SL_FIELD_CHOICE, (int) offsetof (type, member), FALSE, names, 0 }
#define CHOICE_NEEDED(type, member, name, names) { name, SL_FIELD_CHOICE, (int) offsetof (type, member), TRUE, names, 0 }
#define CHOICE_BUT(type, member, name, names, refused) { name, SL_FIELD_CHOICE, (int) offsetof (type, member), FALSE, names, 1u << (refused) }
#define END_FIELDS { NULL, SL_FIELD_TEXT, 0, FALSE, NULL, 0 }

#define INSIDE(type, member, element, least) \
  { &element, SL_STORE_INSIDE, (int) offsetof (type, member), -1, -1, 0, NULL, -1, least, 1 }
#define INSIDE_GIVEN(type, member, element) \
  { &element, SL_STORE_INSIDE, (int) offsetof (type, member), (int) offsetof (type, member.given), -1, 0, NULL, -1, 0, 1 }
#define NOTE(type) { &element_note, SL_STORE_TEXT, (int) offsetof (type, note), -1, -1, 0, NULL, -1, 0, 1 }
#define ARRAY(type, member, item, element, init, kind) \
  { &element, SL_STORE_ARRAY, (int) offsetof (type, member), -1, -1, sizeof (item), init, kind, 0, SL_ANY_NUMBER }
#define FIXED(type, member, item, counter, element) \
  { &element, SL_STORE_FIXED, (int) offsetof (type, member), -1, (int) offsetof (type, counter), sizeof (item), NULL, -1, 0, SL_MAX_STRINGS }
#define END_CHILDREN { NULL, SL_STORE_INSIDE, 0, -1, -1, 0, NULL, -1, 0, 0 }
/* clang-format on */

static void
init_visit (gpointer item, int kind)
{
  *(SlVisit *) item = sl_visit_init ();
}

static void
init_set (gpointer item, int kind)
{
  *(SlReadingSet *) item = sl_reading_set_init ();
}

static void
init_reading (gpointer item, int kind)
{
  *(SlReading *) item = sl_reading_init ((SlReadingKind) kind);
}

static void
init_operation (gpointer item, int kind)
{
  *(SlOperation *) item = sl_operation_init ((SlOperationKind) kind);
}

static void
init_tool (gpointer item, int kind)
{
  *(SlTool *) item = (SlTool){ .resolution = SL_NUMBER_ABSENT, .error_limit = SL_NUMBER_ABSENT };
}

static void
init_check (gpointer item, int kind)
{
  *(SlCheck *) item = (SlCheck){ NULL };
}

static void
init_charge (gpointer item, int kind)
{
  *(SlCharge *) item = (SlCharge){ .minutes = SL_NUMBER_ABSENT, .amount = SL_NUMBER_ABSENT };
}

static const SlElement element_note = { "note", NULL, NULL, FALSE };

static const SlField identity_fields[] = {
  TEXT_NEEDED (SlIdentity, label, "label"), TEXT (SlIdentity, owner, "owner"),
  TEXT (SlIdentity, contact, "contact"),    TEXT (SlIdentity, maker, "maker"),
  TEXT (SlIdentity, model, "model"),        TEXT (SlIdentity, serial, "serial"),
  TEXT (SlIdentity, year, "year"),          END_FIELDS
};
static const SlChild identity_children[] = { NOTE (SlIdentity), END_CHILDREN };
static const SlElement element_identity = { "identity", identity_fields, identity_children, FALSE };

static const SlField neck_fields[] = { NUMBER_NEEDED (SlNeck, scale_length, "scale-length"),
                                       WHOLE (SlNeck, frets, "frets"),
                                       WHOLE (SlNeck, joint_fret, "joint-fret"),
                                       NUMBER (SlNeck, nut_width, "nut-width"),
                                       NUMBER (SlNeck, board_radius_nut, "board-radius-nut"),
                                       NUMBER (SlNeck, board_radius_end, "board-radius-end"),
                                       END_FIELDS };
static const SlElement element_neck = { "neck", neck_fields, NULL, FALSE };

static const SlField fretwire_fields[] = { NUMBER (SlFretwire, width, "width"), NUMBER (SlFretwire, height, "height"),
                                           NUMBER (SlFretwire, least_height, "least-height"), END_FIELDS };
static const SlElement element_fretwire = { "fretwire", fretwire_fields, NULL, FALSE };

static const SlField post_fields[] = { WHOLE (SlPost, string, "string"), NUMBER (SlPost, distance, "distance"),
                                       NUMBER (SlPost, side, "side"), NUMBER (SlPost, wrap_height, "wrap-height"),
                                       END_FIELDS };
static const SlElement element_post = { "post", post_fields, NULL, FALSE };
static const SlField headstock_fields[] = { NUMBER (SlHeadstock, tilt, "tilt"),
                                            NUMBER (SlHeadstock, string_rise, "string-rise"), END_FIELDS };
static const SlChild headstock_children[] = { FIXED (SlHeadstock, posts, SlPost, n_posts, element_post), END_CHILDREN };
static const SlElement element_headstock = { "headstock", headstock_fields, headstock_children, FALSE };

static const SlField nut_fields[] = { NUMBER (SlNut, edge_margin_bass, "edge-margin-bass"),
                                      NUMBER (SlNut, edge_margin_treble, "edge-margin-treble"),
                                      NUMBER (SlNut, slot_allowance, "slot-allowance"),
                                      NUMBER (SlNut, friction, "friction"), END_FIELDS };
static const SlElement element_nut = { "nut", nut_fields, NULL, FALSE };

static const SlField anchor_fields[] = { WHOLE (SlAnchor, string, "string"), NUMBER (SlAnchor, distance, "distance"),
                                         NUMBER (SlAnchor, drop, "drop"), END_FIELDS };
static const SlElement element_anchor = { "anchor", anchor_fields, NULL, FALSE };
static const SlField bridge_fields[] = { CHOICE (SlBridge, kind, "kind", sl_bridge_kind_names),
                                         NUMBER (SlBridge, spread, "spread"), END_FIELDS };
static const SlChild bridge_children[] = { FIXED (SlBridge, anchors, SlAnchor, n_anchors, element_anchor),
                                           END_CHILDREN };
static const SlElement element_bridge = { "bridge", bridge_fields, bridge_children, FALSE };

static const SlField saddle_fields[] = { NUMBER (SlSaddle, thickness, "thickness"),
                                         NUMBER (SlSaddle, lean, "lean"),
                                         NUMBER (SlSaddle, least_exposure, "least-exposure"),
                                         NUMBER (SlSaddle, radius, "radius"),
                                         NUMBER (SlSaddle, height_screw_pitch, "height-screw-pitch"),
                                         NUMBER (SlSaddle, length_screw_pitch, "length-screw-pitch"),
                                         END_FIELDS };
static const SlElement element_saddle = { "saddle", saddle_fields, NULL, FALSE };

static const SlField string_fields[] = { { "number", SL_FIELD_STRING_NUMBER, 0, TRUE, NULL, 0 },
                                         TEXT (SlString, note, "note"),
                                         NUMBER (SlString, frequency, "frequency"),
                                         CHOICE_NEEDED (SlString, build, "build", sl_build_names),
                                         CHOICE_NEEDED (SlString, core, "core", sl_core_names),
                                         NUMBER_NEEDED (SlString, core_diameter, "core-diameter"),
                                         CHOICE (SlString, wrap, "wrap", sl_wrap_names),
                                         NUMBER (SlString, wrap_diameter, "wrap-diameter"),
                                         NUMBER (SlString, unit_mass, "unit-mass"),
                                         END_FIELDS };
static const SlElement element_string = { "string", string_fields, NULL, FALSE };
static const SlChild strings_children[] = {
  { &element_string, SL_STORE_STRINGS, 0, -1, -1, 0, NULL, -1, 1, SL_MAX_STRINGS }, END_CHILDREN
};
static const SlElement element_strings = { "strings", NULL, strings_children, FALSE };

static const SlField player_fields[] = { NUMBER (SlPlayer, pluck_force, "pluck-force"),
                                         NUMBER (SlPlayer, pluck_distance, "pluck-distance"),
                                         CHOICE (SlPlayer, pluck_direction, "pluck-direction",
                                                 sl_pluck_direction_names),
                                         NUMBER (SlPlayer, upright_share, "upright-share"),
                                         NUMBER (SlPlayer, finger_distance, "finger-distance"),
                                         CHOICE (SlPlayer, stiff_ends, "stiff-ends", sl_stiff_ends_names),
                                         END_FIELDS };
static const SlElement element_player = { "player", player_fields, NULL, FALSE };

static const SlField targets_fields[] = { NUMBER (SlTargets, relief, "relief"),
                                          NUMBER (SlTargets, relief_tolerance, "relief-tolerance"),
                                          NUMBER (SlTargets, action_treble, "action-treble"),
                                          NUMBER (SlTargets, action_bass, "action-bass"),
                                          NUMBER (SlTargets, action_tolerance, "action-tolerance"),
                                          NUMBER (SlTargets, first_gap_treble, "first-gap-treble"),
                                          NUMBER (SlTargets, first_gap_bass, "first-gap-bass"),
                                          NUMBER (SlTargets, first_gap_tolerance, "first-gap-tolerance"),
                                          END_FIELDS };
static const SlElement element_targets = { "targets", targets_fields, NULL, FALSE };

static const SlField tool_fields[] = { CHOICE_NEEDED (SlTool, measures, "measures", sl_tool_names),
                                       NUMBER (SlTool, resolution, "resolution"),
                                       NUMBER (SlTool, error_limit, "error-limit"), END_FIELDS };
static const SlElement element_tool = { "tool", tool_fields, NULL, FALSE };

#define READ_STRING WHOLE (SlReading, string, "string")
#define READ_FRET WHOLE (SlReading, fret, "fret")
#define READ_VALUE(name) NUMBER_NEEDED (SlReading, value, name)
#define READ_USE CHOICE (SlReading, use, "use", sl_use_names)

static const SlField relief_fields[] = { READ_STRING, READ_FRET, READ_VALUE ("gap"), READ_USE, END_FIELDS };
static const SlElement element_relief = { "relief", relief_fields, NULL, FALSE };
static const SlField tongue_fields[] = { READ_VALUE ("gap"), READ_USE, END_FIELDS };
static const SlElement element_tongue = { "tongue", tongue_fields, NULL, FALSE };
static const SlField first_gap_fields[] = { READ_STRING, READ_VALUE ("gap"),
                                            CHOICE_BUT (SlReading, held, "held", sl_held_names, SL_HELD_1), READ_USE,
                                            END_FIELDS };
static const SlElement element_first_gap = { "first-gap", first_gap_fields, NULL, FALSE };
static const SlField action_fields[] = {
  READ_STRING, READ_FRET, READ_VALUE ("gap"), CHOICE_BUT (SlReading, held, "held", sl_held_names, SL_HELD_3),
  READ_USE,    END_FIELDS
};
static const SlElement element_action = { "action", action_fields, NULL, FALSE };
static const SlField exposure_fields[] = { READ_STRING, READ_VALUE ("height"), READ_USE, END_FIELDS };
static const SlElement element_exposure = { "exposure", exposure_fields, NULL, FALSE };
static const SlField setback_fields[] = { READ_STRING, READ_VALUE ("distance"), READ_USE, END_FIELDS };
static const SlElement element_setback = { "setback", setback_fields, NULL, FALSE };
static const SlField crown_gap_fields[] = { READ_FRET, READ_VALUE ("gap"), READ_USE, END_FIELDS };
static const SlElement element_crown_gap = { "crown-gap", crown_gap_fields, NULL, FALSE };
static const SlField crown_height_fields[] = { READ_FRET, READ_VALUE ("height"), READ_USE, END_FIELDS };
static const SlElement element_crown_height = { "crown-height", crown_height_fields, NULL, FALSE };
static const SlField pitch_fields[] = { READ_STRING, READ_FRET, READ_VALUE ("cents"), READ_USE, END_FIELDS };
static const SlElement element_pitch = { "pitch", pitch_fields, NULL, FALSE };

static const SlField readings_fields[] = {
  TEXT_NEEDED (SlReadingSet, id, "id"),        CHOICE_NEEDED (SlReadingSet, stage, "stage", sl_stage_names),
  TEXT_NEEDED (SlReadingSet, taken, "taken"),  NUMBER (SlReadingSet, temperature, "temperature"),
  NUMBER (SlReadingSet, humidity, "humidity"), END_FIELDS
};
#define READING(element, kind) ARRAY (SlReadingSet, readings, SlReading, element, init_reading, kind)
static const SlChild readings_children[] = { ARRAY (SlReadingSet, tools, SlTool, element_tool, init_tool, -1),
                                             READING (element_relief, SL_READ_RELIEF),
                                             READING (element_tongue, SL_READ_TONGUE),
                                             READING (element_first_gap, SL_READ_FIRST_GAP),
                                             READING (element_action, SL_READ_ACTION),
                                             READING (element_exposure, SL_READ_EXPOSURE),
                                             READING (element_setback, SL_READ_SETBACK),
                                             READING (element_crown_gap, SL_READ_CROWN_GAP),
                                             READING (element_crown_height, SL_READ_CROWN_HEIGHT),
                                             READING (element_pitch, SL_READ_PITCH),
                                             END_CHILDREN };
static const SlElement element_readings = { "readings", readings_fields, readings_children, FALSE };

#define WORK_DONE TEXT (SlOperation, done, "done")
#define WORK_STRING WHOLE (SlOperation, string, "string")
#define WORK_BY NUMBER_NEEDED (SlOperation, amount, "by")

static const SlField level_frets_fields[] = { NUMBER (SlOperation, amount, "fall-away"), WORK_DONE, END_FIELDS };
static const SlElement element_level_frets = { "level-frets", level_frets_fields, NULL, FALSE };
static const SlField turn_rod_fields[] = { NUMBER_NEEDED (SlOperation, amount, "change"), WORK_DONE, END_FIELDS };
static const SlElement element_turn_rod = { "turn-rod", turn_rod_fields, NULL, FALSE };
static const SlField string_work_fields[] = { WORK_STRING, WORK_BY, WORK_DONE, END_FIELDS };
static const SlElement element_lower_slot = { "lower-slot", string_work_fields, NULL, FALSE };
static const SlField cut_fields[] = { NUMBER (SlOperation, amount, "bass"),
                                      NUMBER (SlOperation, amount_treble, "treble"), WORK_DONE, END_FIELDS };
static const SlElement element_cut = { "cut-saddle-base", cut_fields, NULL, FALSE };
static const SlElement element_shape_crest = { "shape-crest", string_work_fields, NULL, FALSE };
static const SlElement element_move_crest = { "move-crest", string_work_fields, NULL, FALSE };
#define WORK(element, kind) ARRAY (SlVisit, plan, SlOperation, element, init_operation, kind)
static const SlChild plan_children[] = { WORK (element_level_frets, SL_OP_LEVEL_FRETS),
                                         WORK (element_turn_rod, SL_OP_TURN_ROD),
                                         WORK (element_lower_slot, SL_OP_LOWER_SLOT),
                                         WORK (element_cut, SL_OP_CUT_SADDLE_BASE),
                                         WORK (element_shape_crest, SL_OP_SHAPE_CREST),
                                         WORK (element_move_crest, SL_OP_MOVE_CREST),
                                         END_CHILDREN };
static const SlElement element_plan = { "plan", NULL, plan_children, TRUE };

static const SlField check_fields[] = { TEXT (SlCheck, name, "name"),
                                        CHOICE (SlCheck, state, "state", sl_check_state_names), END_FIELDS };
static const SlChild check_children[] = { NOTE (SlCheck), END_CHILDREN };
static const SlElement element_check = { "check", check_fields, check_children, FALSE };

static const SlField charge_fields[] = { TEXT (SlCharge, what, "what"), NUMBER (SlCharge, minutes, "minutes"),
                                         NUMBER (SlCharge, amount, "amount"), TEXT (SlCharge, currency, "currency"),
                                         END_FIELDS };
static const SlElement element_charge = { "charge", charge_fields, NULL, FALSE };

static const SlField visit_fields[] = { TEXT_NEEDED (SlVisit, id, "id"), TEXT_NEEDED (SlVisit, opened, "opened"),
                                        TEXT (SlVisit, closed, "closed"), END_FIELDS };
static const SlChild visit_children[] = { NOTE (SlVisit),
                                          ARRAY (SlVisit, sets, SlReadingSet, element_readings, init_set, -1),
                                          { &element_plan, SL_STORE_PARENT, 0, (int) offsetof (SlVisit, plan_given), -1,
                                            0, NULL, -1, 0, 1 },
                                          ARRAY (SlVisit, checks, SlCheck, element_check, init_check, -1),
                                          ARRAY (SlVisit, charges, SlCharge, element_charge, init_charge, -1),
                                          END_CHILDREN };
static const SlElement element_visit = { "visit", visit_fields, visit_children, FALSE };

static const SlField profile_fields[] = { TEXT_NEEDED (SlProfile, id, "id"),
                                          CHOICE_NEEDED (SlProfile, kind, "kind", sl_kind_names),
                                          TEXT (SlProfile, baseline, "baseline"), END_FIELDS };
static const SlChild profile_children[] = { INSIDE (SlProfile, identity, element_identity, 1),
                                            INSIDE (SlProfile, neck, element_neck, 1),
                                            INSIDE_GIVEN (SlProfile, fretwire, element_fretwire),
                                            INSIDE_GIVEN (SlProfile, headstock, element_headstock),
                                            INSIDE_GIVEN (SlProfile, nut, element_nut),
                                            INSIDE_GIVEN (SlProfile, bridge, element_bridge),
                                            INSIDE_GIVEN (SlProfile, saddle, element_saddle),
                                            { &element_strings, SL_STORE_PARENT, 0, -1, -1, 0, NULL, -1, 1, 1 },
                                            INSIDE_GIVEN (SlProfile, player, element_player),
                                            INSIDE_GIVEN (SlProfile, targets, element_targets),
                                            ARRAY (SlProfile, visits, SlVisit, element_visit, init_visit, -1),
                                            END_CHILDREN };
const SlElement sl_element_profile = { "profile", profile_fields, profile_children, FALSE };

int
sl_element_field (const SlElement *element, const char *name, int hint)
{
  if (element->fields == NULL)
    return -1;
  if (element->fields[hint].name != NULL && strcmp (element->fields[hint].name, name) == 0)
    return hint;
  for (int i = 0; element->fields[i].name != NULL; i++)
    if (strcmp (element->fields[i].name, name) == 0)
      return i;
  return -1;
}

int
sl_element_child (const SlElement *element, const char *name, int hint)
{
  if (element->children == NULL)
    return -1;
  if (element->children[hint].element != NULL && strcmp (element->children[hint].element->name, name) == 0)
    return hint;
  for (int i = 0; element->children[i].element != NULL; i++)
    if (strcmp (element->children[i].element->name, name) == 0)
      return i;
  return -1;
}

GBytes *
sl_schema_bytes (void)
{
  /* Named here, so that linking the static library keeps the resource. */
  GBytes *bytes = g_resource_lookup_data (sl_file_get_resource (), "/org/sidelong/file/profile.xsd",
                                          G_RESOURCE_LOOKUP_FLAGS_NONE, NULL);
  g_assert (bytes != NULL);
  return bytes;
}

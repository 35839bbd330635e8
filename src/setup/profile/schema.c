/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/schema.h"

#include <stddef.h>
#include <string.h>

G_STATIC_ASSERT (sizeof (SlReadingKind) == sizeof (int));
G_STATIC_ASSERT (offsetof (SlReading, kind) == 0);
G_STATIC_ASSERT (offsetof (SlOperation, kind) == 0);

/* The formatter takes these braces for blocks. */
/* clang-format off */
#define FIELDS(...) (const SlField[]) { __VA_ARGS__, { NULL } }
#define CHILDREN(...) (const SlChild[]) { __VA_ARGS__, { NULL } }
#define NO_FIELDS (const SlField[]) { { NULL } }

#define TEXT(type, member, name) { name, SL_FIELD_TEXT, offsetof (type, member), FALSE }
#define TEXT_NEEDED(type, member, name) { name, SL_FIELD_TEXT, offsetof (type, member), TRUE }
#define NUMBER(type, member, name) { name, SL_FIELD_NUMBER, offsetof (type, member), FALSE }
#define NUMBER_NEEDED(type, member, name) { name, SL_FIELD_NUMBER, offsetof (type, member), TRUE }
#define WHOLE(type, member, name) { name, SL_FIELD_WHOLE, offsetof (type, member), TRUE }
#define WHOLE_OR_NONE(type, member, name) { name, SL_FIELD_WHOLE, offsetof (type, member), FALSE } /* 0: not given */
#define CHOICE(type, member, name, names) { name, SL_FIELD_CHOICE, offsetof (type, member), FALSE, names }
#define CHOICE_NEEDED(type, member, name, names) { name, SL_FIELD_CHOICE, offsetof (type, member), TRUE, names }
#define FLAGS(type, member, name, names) { name, SL_FIELD_FLAGS, offsetof (type, member), FALSE, names }
#define FRETS(type, member, name) { name, SL_FIELD_FLAGS, offsetof (type, member), FALSE }
#define CHOICE_BUT(type, member, name, names, refused) { name, SL_FIELD_CHOICE, offsetof (type, member), FALSE, names, 1u << (refused) }

#define INSIDE(type, member, element) { &element, SL_STORE_INSIDE, offsetof (type, member), .least = 1, .most = 1 }
#define INSIDE_GIVEN(type, member, element) \
  { &element, SL_STORE_INSIDE, offsetof (type, member), .given = offsetof (type, member.given), .most = 1 }
#define NOTE(type) { &element_note, SL_STORE_TEXT, offsetof (type, note), .most = 1 }
#define FIXED(store, type, member, counter, of, element, needed) \
  { &element, store, offsetof (type, member), .count = offsetof (type, counter), .size = sizeof (of), .least = needed, .most = SL_MAX_STRINGS }
#define ARRAY(type, member, of, element, frees, ...) \
  { &element, SL_STORE_ARRAY, offsetof (type, member), .size = sizeof (of), .clear = frees, .most = SL_ANY_NUMBER, __VA_ARGS__ }
/* clang-format on */

/* What is made, copied and freed by the tables: a struct that holds nothing gets what stands for nothing given; a copy
 * made byte by byte gets texts and arrays of its own; or all that it holds is freed. */
typedef enum
{
  ACT_INIT,
  ACT_OWN,
  ACT_CLEAR
} Act;
static void act_on (Act act, const SlElement *element, gpointer data);

/* What an array frees of an item that leaves it. The texts of one kind lie where those of the others do. */
#define CLEAR(item, element)                                                                                           \
  static void item##_clear (gpointer data)                                                                             \
  {                                                                                                                    \
    act_on (ACT_CLEAR, &(element), data);                                                                              \
  }
static const SlElement element_fit_strings, element_check, element_charge, element_mark, element_photo;
CLEAR (readings, sl_element_readings)
CLEAR (check, element_check)
CLEAR (charge, element_charge)
CLEAR (mark, element_mark)
CLEAR (photo, element_photo)
CLEAR (visit, sl_element_visit)

static const SlElement element_note = { "note", NO_FIELDS };

static const SlElement element_identity = {
  "identity",
  FIELDS (TEXT_NEEDED (SlIdentity, label, "label"), TEXT (SlIdentity, owner, "owner"),
          TEXT (SlIdentity, contact, "contact"), TEXT (SlIdentity, maker, "maker"), TEXT (SlIdentity, model, "model"),
          TEXT (SlIdentity, serial, "serial"), TEXT (SlIdentity, year, "year")),
  CHILDREN (NOTE (SlIdentity)),
};

static const SlElement element_neck = {
  "neck",
  FIELDS (NUMBER_NEEDED (SlNeck, scale_length, "scale-length"), NUMBER (SlNeck, scale_length_bass, "scale-length-bass"),
          WHOLE (SlNeck, frets, "frets"), WHOLE (SlNeck, joint_fret, "joint-fret"),
          WHOLE_OR_NONE (SlNeck, square_fret, "square-fret"), NUMBER (SlNeck, nut_width, "nut-width"),
          NUMBER (SlNeck, board_radius_nut, "board-radius-nut"), NUMBER (SlNeck, board_radius_end, "board-radius-end"),
          CHOICE (SlNeck, rod, "rod", sl_rod_names), CHOICE (SlNeck, heel_adjust, "heel-adjust", sl_heel_adjust_names)),
};

static const SlElement element_fretwire = {
  "fretwire",
  FIELDS (NUMBER (SlFretwire, width, "width"), NUMBER (SlFretwire, height, "height"),
          NUMBER (SlFretwire, least_height, "least-height")),
};

static const SlElement element_post = {
  "post",
  FIELDS (WHOLE (SlPost, string, "string"), NUMBER (SlPost, distance, "distance"), NUMBER (SlPost, side, "side"),
          NUMBER (SlPost, wrap_height, "wrap-height")),
};
static const SlElement element_headstock = {
  "headstock",
  FIELDS (NUMBER (SlHeadstock, tilt, "tilt"), NUMBER (SlHeadstock, string_rise, "string-rise")),
  CHILDREN (FIXED (SL_STORE_FIXED, SlHeadstock, posts, n_posts, SlPost, element_post, 0)),
};

static const SlElement element_nut = {
  "nut",
  FIELDS (CHOICE (SlNut, kind, "kind", sl_nut_kind_names), NUMBER (SlNut, edge_margin_bass, "edge-margin-bass"),
          NUMBER (SlNut, edge_margin_treble, "edge-margin-treble"), NUMBER (SlNut, slot_allowance, "slot-allowance"),
          NUMBER (SlNut, friction, "friction")),
};

static const SlElement element_anchor = {
  "anchor",
  FIELDS (WHOLE (SlAnchor, string, "string"), NUMBER (SlAnchor, distance, "distance"), NUMBER (SlAnchor, drop, "drop")),
};
static const SlElement element_bridge = {
  "bridge",
  FIELDS (CHOICE (SlBridge, kind, "kind", sl_bridge_kind_names), NUMBER (SlBridge, spread, "spread"),
          NUMBER (SlBridge, thickness, "thickness"), NUMBER (SlBridge, least_thickness, "least-thickness"),
          WHOLE_OR_NONE (SlBridge, spring_count, "spring-count"),
          CHOICE (SlBridge, balance, "balance", sl_balance_names)),
  CHILDREN (FIXED (SL_STORE_FIXED, SlBridge, anchors, n_anchors, SlAnchor, element_anchor, 0)),
};

static const SlElement element_saddle = {
  "saddle",
  FIELDS (CHOICE (SlSaddle, adjust, "adjust", sl_saddle_adjust_names), NUMBER (SlSaddle, thickness, "thickness"),
          NUMBER (SlSaddle, lean, "lean"), NUMBER (SlSaddle, least_exposure, "least-exposure"),
          NUMBER (SlSaddle, radius, "radius"), NUMBER (SlSaddle, height_screw_pitch, "height-screw-pitch"),
          NUMBER (SlSaddle, length_screw_pitch, "length-screw-pitch")),
};

static const SlElement element_string = {
  "string",
  FIELDS ({ "number", SL_FIELD_STRING_NUMBER, 0, TRUE }, TEXT (SlString, note, "note"),
          NUMBER (SlString, frequency, "frequency"), CHOICE_NEEDED (SlString, build, "build", sl_build_names),
          CHOICE_NEEDED (SlString, core, "core", sl_core_names),
          NUMBER_NEEDED (SlString, core_diameter, "core-diameter"), CHOICE (SlString, wrap, "wrap", sl_wrap_names),
          NUMBER (SlString, wrap_diameter, "wrap-diameter"), NUMBER (SlString, unit_mass, "unit-mass"),
          NUMBER (SlString, axial_stiffness, "axial-stiffness"),
          NUMBER (SlString, bending_stiffness, "bending-stiffness")),
};
static const SlElement element_strings = {
  "strings",
  FIELDS (WHOLE_OR_NONE (SlProfile, courses, "courses"), TEXT (SlProfile, set_name, "name"),
          TEXT (SlProfile, fitted, "fitted"), TEXT (SlProfile, chosen_by, "chosen-by")),
  CHILDREN (FIXED (SL_STORE_STRINGS, SlProfile, strings, n_strings, SlString, element_string, 1)),
};

static const SlElement element_player = {
  "player",
  FIELDS (NUMBER (SlPlayer, pluck_force, "pluck-force"), NUMBER (SlPlayer, pluck_distance, "pluck-distance"),
          CHOICE (SlPlayer, pluck_direction, "pluck-direction", sl_pluck_direction_names),
          NUMBER (SlPlayer, upright_share, "upright-share"), NUMBER (SlPlayer, finger_distance, "finger-distance"),
          CHOICE (SlPlayer, stiff_ends, "stiff-ends", sl_stiff_ends_names),
          CHOICE (SlPlayer, force_basis, "force-basis", sl_force_basis_names)),
};

static const SlElement element_targets = {
  "targets",
  FIELDS (NUMBER (SlTargets, relief, "relief"), NUMBER (SlTargets, relief_tolerance, "relief-tolerance"),
          NUMBER (SlTargets, action_treble, "action-treble"), NUMBER (SlTargets, action_bass, "action-bass"),
          NUMBER (SlTargets, action_tolerance, "action-tolerance"),
          NUMBER (SlTargets, first_gap_treble, "first-gap-treble"),
          NUMBER (SlTargets, first_gap_bass, "first-gap-bass"),
          NUMBER (SlTargets, first_gap_tolerance, "first-gap-tolerance"),
          NUMBER (SlTargets, pitch_tolerance, "pitch-tolerance"), NUMBER (SlTargets, fall_away, "fall-away"),
          NUMBER (SlTargets, fall_away_tolerance, "fall-away-tolerance")),
};

static const SlElement element_tool = {
  "tool",
  FIELDS (CHOICE_NEEDED (SlTool, measures, "measures", sl_tool_names), NUMBER (SlTool, resolution, "resolution"),
          NUMBER (SlTool, error_limit, "error-limit")),
};

#define READ_STRING WHOLE (SlReading, string, "string")
#define READ_FRET WHOLE (SlReading, fret, "fret")
#define READ_VALUE(name) NUMBER_NEEDED (SlReading, value, name)
#define READ_HELD_BUT(refused) CHOICE_BUT (SlReading, held, "held", sl_held_names, refused)
#define READ_U NUMBER (SlReading, uncertainty, "uncertainty")
#define READ_USE CHOICE (SlReading, use, "use", sl_use_names)

/* clang-format off */
#define READ(which, name, ...) \
  ARRAY (SlReadingSet, readings, SlReading, ((const SlElement) { name, FIELDS (__VA_ARGS__, READ_USE) }), NULL, .item = SL_ITEM_READING, .kind = which)
/* clang-format on */
const SlElement sl_element_readings = {
  "readings",
  FIELDS (TEXT_NEEDED (SlReadingSet, id, "id"), CHOICE_NEEDED (SlReadingSet, stage, "stage", sl_stage_names),
          TEXT_NEEDED (SlReadingSet, taken, "taken"), NUMBER (SlReadingSet, temperature, "temperature"),
          NUMBER (SlReadingSet, humidity, "humidity"),
          CHOICE (SlReadingSet, strings, "strings", sl_strings_state_names),
          CHOICE (SlReadingSet, settled, "settled", sl_settled_names)),
  CHILDREN (
      ARRAY (SlReadingSet, tools, SlTool, element_tool, NULL),
      READ (SL_READ_RELIEF, "relief", READ_STRING, READ_FRET, READ_VALUE ("gap")),
      READ (SL_READ_TONGUE, "tongue", READ_VALUE ("gap")),
      READ (SL_READ_FIRST_GAP, "first-gap", READ_STRING, READ_VALUE ("gap"), READ_HELD_BUT (SL_HELD_1), READ_U),
      READ (SL_READ_ACTION, "action", READ_STRING, READ_FRET, READ_VALUE ("gap"), READ_HELD_BUT (SL_HELD_3), READ_U),
      READ (SL_READ_EXPOSURE, "exposure", READ_STRING, READ_VALUE ("height"), READ_U),
      READ (SL_READ_SETBACK, "setback", READ_STRING, READ_VALUE ("distance")),
      READ (SL_READ_CROWN_GAP, "crown-gap", READ_FRET, READ_VALUE ("gap")),
      READ (SL_READ_CROWN_HEIGHT, "crown-height", READ_FRET, READ_VALUE ("height"), READ_U),
      READ (SL_READ_CROWN_WEAR, "crown-wear", READ_FRET, READ_STRING, READ_VALUE ("depth")),
      READ (SL_READ_PITCH, "pitch", READ_STRING, READ_FRET, READ_VALUE ("cents"), READ_U)),
};

#define WORK_STRING WHOLE (SlOperation, string, "string")
#define WORK_BY NUMBER_NEEDED (SlOperation, amount, "by")
#define WORK_BASS(name) NUMBER (SlOperation, amount, name)
#define WORK_TREBLE(name) NUMBER (SlOperation, amount_treble, name)
#define WORK_DONE TEXT (SlOperation, done, "done")
#define WORK_ENDS WORK_BASS ("bass"), WORK_TREBLE ("treble")

/* clang-format off */
#define PLAN(which, element) \
  ARRAY (SlVisit, plan, SlOperation, element, (GDestroyNotify) sl_operation_clear, .item = SL_ITEM_OPERATION, .kind = which)
#define WORK(which, name, ...) PLAN (which, ((const SlElement) { name, FIELDS (__VA_ARGS__, WORK_DONE) }))
#define END(name, attribute) \
  ((const SlElement) { name, FIELDS (WHOLE (SlStringEnd, string, "string"), NUMBER_NEEDED (SlStringEnd, value, attribute)) })
#define ENDS(end) CHILDREN (FIXED (SL_STORE_FIXED, SlOperation, ends, n_ends, SlStringEnd, end, 0))
/* clang-format on */
static const SlElement element_fit_strings = {
  "fit-strings",
  FIELDS (TEXT_NEEDED (SlOperation, set, "set"), TEXT (SlOperation, set_name, "name"),
          TEXT (SlOperation, chosen_by, "chosen-by"), WORK_DONE),
};
static const SlElement element_make_nut = { "make-nut", FIELDS (WORK_DONE), ENDS (END ("slot", "height")) };
static const SlElement element_make_saddle = { "make-saddle", FIELDS (WORK_ENDS, WORK_DONE),
                                               ENDS (END ("setback", "distance")) };
const SlElement sl_element_plan = {
  "plan",
  FIELDS (FLAGS (SlVisit, passed, "pass", sl_gate_names)),
  /* first the kind that has every text of an operation: it stands for all where they are copied and freed */
  CHILDREN (PLAN (SL_OP_FIT_STRINGS, element_fit_strings),
            WORK (SL_OP_LEVEL_FRETS, "level-frets", WORK_BASS ("fall-away"), FRETS (SlOperation, frets, "frets")),
            WORK (SL_OP_TURN_ROD, "turn-rod", NUMBER_NEEDED (SlOperation, amount, "change"),
                  NUMBER (SlOperation, turns, "turns")),
            WORK (SL_OP_LOWER_SLOT, "lower-slot", WORK_STRING, WORK_BY),
            WORK (SL_OP_CUT_SADDLE_BASE, "cut-saddle-base", WORK_ENDS),
            WORK (SL_OP_SHAPE_CREST, "shape-crest", WORK_STRING, WORK_BY),
            WORK (SL_OP_MOVE_CREST, "move-crest", WORK_STRING, WORK_BY),
            WORK (SL_OP_REPLACE_FRETS, "replace-frets", WHOLE (SlOperation, from, "from"),
                  WHOLE (SlOperation, to, "to"), WORK_BASS ("width"), WORK_TREBLE ("height")),
            WORK (SL_OP_BENCH_STEP, "bench-step", CHOICE_NEEDED (SlOperation, step, "name", sl_bench_step_names)),
            WORK (SL_OP_MOVE_SADDLE, "move-saddle", WORK_ENDS), WORK (SL_OP_SHIFT_BRIDGE, "shift-bridge", WORK_ENDS),
            WORK (SL_OP_SET_NECK_ANGLE, "set-neck-angle", WORK_BY), PLAN (SL_OP_MAKE_NUT, element_make_nut),
            PLAN (SL_OP_MAKE_SADDLE, element_make_saddle)),
  .any_order = TRUE,
};

static const SlElement element_check = {
  "check",
  FIELDS (TEXT (SlCheck, name, "name"), CHOICE (SlCheck, state, "state", sl_check_state_names)),
  CHILDREN (NOTE (SlCheck)),
};

static const SlElement element_charge = {
  "charge",
  FIELDS (TEXT (SlCharge, what, "what"), NUMBER (SlCharge, minutes, "minutes"), NUMBER (SlCharge, amount, "amount"),
          TEXT (SlCharge, currency, "currency")),
};

#define PLACE(type, n) NUMBER (type, x[n - 1], "x" #n), NUMBER (type, y[n - 1], "y" #n)
#define MARKED(type, n)                                                                                                \
  NUMBER_NEEDED (type, x[n - 1], "x" #n), NUMBER_NEEDED (type, y[n - 1], "y" #n), NUMBER (type, u[n - 1], "u" #n)
#define CORNER(n) NUMBER_NEEDED (SlFlat, x[n - 1], "x" #n), NUMBER_NEEDED (SlFlat, y[n - 1], "y" #n)
static const SlElement element_flat = {
  "flat",
  FIELDS (CORNER (1), CORNER (2), CORNER (3), CORNER (4), NUMBER_NEEDED (SlFlat, width, "width"),
          NUMBER_NEEDED (SlFlat, height, "height")),
};
static const SlElement element_known = {
  "known",
  FIELDS (MARKED (SlKnownLength, 1), MARKED (SlKnownLength, 2), NUMBER (SlKnownLength, blur, "blur"),
          NUMBER_NEEDED (SlKnownLength, length, "length"), NUMBER (SlKnownLength, uncertainty, "uncertainty")),
};
static const SlElement element_mark = {
  "mark",
  FIELDS (CHOICE_NEEDED (SlMark, of, "of", sl_measure_names), WHOLE_OR_NONE (SlMark, string, "string"),
          WHOLE_OR_NONE (SlMark, fret, "fret"), CHOICE (SlMark, held, "held", sl_held_names), MARKED (SlMark, 1),
          MARKED (SlMark, 2), PLACE (SlMark, 3), NUMBER (SlMark, u[2], "u3"), NUMBER (SlMark, blur, "blur"),
          TEXT (SlMark, readings, "readings")),
};
static const SlElement element_photo = {
  "photo",
  FIELDS (TEXT_NEEDED (SlPhoto, id, "id"), TEXT_NEEDED (SlPhoto, file, "file"), TEXT (SlPhoto, taken, "taken"),
          CHOICE_NEEDED (SlPhoto, stage, "stage", sl_stage_names),
          CHOICE_NEEDED (SlPhoto, about, "about", sl_about_names), WHOLE_OR_NONE (SlPhoto, fret, "fret"),
          WHOLE_OR_NONE (SlPhoto, string, "string"), CHOICE (SlPhoto, on_sheet, "on-sheet", sl_on_sheet_names),
          NUMBER (SlPhoto, out_of_plane, "out-of-plane")),
  CHILDREN (NOTE (SlPhoto), INSIDE_GIVEN (SlPhoto, flat, element_flat),
            ARRAY (SlPhoto, known, SlKnownLength, element_known, NULL),
            ARRAY (SlPhoto, marks, SlMark, element_mark, mark_clear)),
};

const SlElement sl_element_visit = {
  "visit",
  FIELDS (TEXT_NEEDED (SlVisit, id, "id"), TEXT_NEEDED (SlVisit, opened, "opened"), TEXT (SlVisit, closed, "closed")),
  CHILDREN (NOTE (SlVisit), ARRAY (SlVisit, sets, SlReadingSet, sl_element_readings, readings_clear),
            { &sl_element_plan, SL_STORE_PARENT, .given = offsetof (SlVisit, plan_given), .most = 1 },
            ARRAY (SlVisit, checks, SlCheck, element_check, check_clear),
            ARRAY (SlVisit, charges, SlCharge, element_charge, charge_clear),
            ARRAY (SlVisit, photos, SlPhoto, element_photo, photo_clear)),
};

const SlElement sl_element_profile = {
  "profile",
  FIELDS (TEXT_NEEDED (SlProfile, id, "id"), CHOICE_NEEDED (SlProfile, kind, "kind", sl_kind_names),
          TEXT (SlProfile, baseline, "baseline"), CHOICE (SlProfile, hand, "hand", sl_hand_names)),
  CHILDREN (INSIDE (SlProfile, identity, element_identity), INSIDE (SlProfile, neck, element_neck),
            INSIDE_GIVEN (SlProfile, fretwire, element_fretwire),
            INSIDE_GIVEN (SlProfile, headstock, element_headstock), INSIDE_GIVEN (SlProfile, nut, element_nut),
            INSIDE_GIVEN (SlProfile, bridge, element_bridge), INSIDE_GIVEN (SlProfile, saddle, element_saddle),
            { &element_strings, SL_STORE_PARENT, .least = 1, .most = 1 },
            INSIDE_GIVEN (SlProfile, player, element_player), INSIDE_GIVEN (SlProfile, targets, element_targets),
            ARRAY (SlProfile, visits, SlVisit, sl_element_visit, visit_clear)),
};

gboolean
sl_child_is_shared (const SlElement *element, const SlChild *child)
{
  return child > element->children && child->store == SL_STORE_ARRAY && child[-1].offset == child->offset;
}

const char *
sl_child_counted (const SlChild *child)
{
  return child->item == SL_ITEM_READING     ? SL_ANY_READING
         : child->item == SL_ITEM_OPERATION ? SL_ANY_OPERATION
                                            : child->element->name;
}

static GArray *
array_of (const SlChild *child)
{
  GArray *array = g_array_new (FALSE, FALSE, (guint) child->size);

  g_array_set_clear_func (array, child->clear);
  return array;
}

static void
own_array (const SlChild *child, GArray **at)
{
  const GArray *from = *at;

  *at = array_of (child);
  g_array_append_vals (*at, from->data, from->len);
  for (guint i = 0; child->clear != NULL && i < from->len; i++)
    act_on (ACT_OWN, child->element, (*at)->data + i * child->size);
}

static void
act_on_text (Act act, char **text)
{
  if (act == ACT_OWN)
    *text = g_strdup (*text);
  else if (act == ACT_CLEAR)
    g_clear_pointer (text, g_free);
}

static void
act_on_array (Act act, const SlChild *child, GArray **array)
{
  if (act == ACT_INIT)
    *array = array_of (child);
  else if (act == ACT_OWN)
    own_array (child, array);
  else
    g_clear_pointer (array, g_array_unref);
}

static void
act_on (Act act, const SlElement *element, gpointer whole)
{
  char *data = whole;

  for (const SlField *field = element->fields; field->name != NULL; field++)
    if (field->type == SL_FIELD_TEXT)
      act_on_text (act, (char **) (data + field->offset));
    else if (field->type == SL_FIELD_NUMBER && act == ACT_INIT)
      *(SlNumber *) (data + field->offset) = SL_NUMBER_ABSENT;
  for (const SlChild *child = element->children; child != NULL && child->element != NULL; child++)
    switch (child->store)
      {
      case SL_STORE_INSIDE: act_on (act, child->element, data + child->offset); break;
      case SL_STORE_PARENT: act_on (act, child->element, data); break;
      case SL_STORE_TEXT: act_on_text (act, (char **) (data + child->offset)); break;
      case SL_STORE_ARRAY:
        if (!sl_child_is_shared (element, child))
          act_on_array (act, child, (GArray **) (data + child->offset));
        break;
      case SL_STORE_FIXED:
      case SL_STORE_STRINGS:
      default:
        for (int i = 0; i < child->most; i++)
          act_on (act, child->element, data + child->offset + (gsize) i * child->size);
      }
}

void
sl_element_own (const SlElement *element, gpointer data)
{
  act_on (ACT_OWN, element, data);
}

void
sl_element_clear (const SlElement *element, gpointer data)
{
  act_on (ACT_CLEAR, element, data);
}

void
sl_field_take (const SlField *field, gpointer to, gconstpointer from)
{
  static const gsize sizes[] = { sizeof (char *), sizeof (SlNumber), sizeof (int), sizeof (int), sizeof (guint64), 0 };
  char *at = (char *) to + field->offset;

  if (field->type == SL_FIELD_TEXT)
    g_free (*(char **) (gpointer) at);
  memcpy (at, (const char *) from + field->offset, sizes[field->type]);
  if (field->type == SL_FIELD_TEXT)
    act_on_text (ACT_OWN, (gpointer) at);
}

/* All of a struct but what tables don't know of. */
static void
take_element (const SlElement *element, gpointer to, gconstpointer from)
{
  for (const SlField *field = element->fields; field->name != NULL; field++)
    sl_field_take (field, to, from);
  for (const SlChild *child = element->children; child != NULL && child->element != NULL; child++)
    if (!sl_child_is_shared (element, child))
      sl_child_take (child, to, from);
}

void
sl_child_take (const SlChild *child, gpointer to, gconstpointer from)
{
  const SlField text = { .type = SL_FIELD_TEXT, .offset = child->offset };
  char *at = (char *) to + child->offset;
  const char *other = (const char *) from + child->offset;

  if (child->given > 0)
    G_STRUCT_MEMBER (gboolean, to, child->given) = G_STRUCT_MEMBER (gboolean, from, child->given);
  switch (child->store)
    {
    case SL_STORE_INSIDE: take_element (child->element, at, other); break;
    case SL_STORE_PARENT: take_element (child->element, to, from); break;
    case SL_STORE_TEXT: sl_field_take (&text, to, from); break;
    case SL_STORE_ARRAY:
      g_array_unref (*(GArray **) (gpointer) at);
      *(GArray **) (gpointer) at = *(GArray *const *) (gconstpointer) other;
      own_array (child, (gpointer) at);
      break;
    case SL_STORE_FIXED:
    case SL_STORE_STRINGS:
    default:
      G_STRUCT_MEMBER (int, to, child->count) = G_STRUCT_MEMBER (int, from, child->count);
      for (int i = 0; i < child->most; i++)
        {
          const gsize place = (gsize) i * child->size;

          act_on (ACT_CLEAR, child->element, at + place);
          memcpy (at + place, other + place, child->size);
          act_on (ACT_OWN, child->element, at + place);
        }
    }
}

void
sl_operation_own (SlOperation *operation)
{
  act_on (ACT_OWN, &element_fit_strings, operation);
}

void
sl_operation_clear (SlOperation *operation)
{
  act_on (ACT_CLEAR, &element_fit_strings, operation);
}

void
sl_element_init (const SlElement *element, gpointer data)
{
  act_on (ACT_INIT, element, data);
}

GArray *
sl_plan_new (void)
{
  SlVisit visit = { NULL };

  sl_element_init (&sl_element_plan, &visit);
  return visit.plan;
}

#define INIT(type, name, element)                                                                                      \
  type name (void)                                                                                                     \
  {                                                                                                                    \
    type made = { 0 };                                                                                                 \
                                                                                                                       \
    sl_element_init (&(element), &made);                                                                               \
    return made;                                                                                                       \
  }
INIT (SlVisit, sl_visit_init, sl_element_visit)
INIT (SlReadingSet, sl_reading_set_init, sl_element_readings)
INIT (SlPhoto, sl_photo_init, element_photo)
INIT (SlKnownLength, sl_known_length_init, element_known)

SlPhoto
sl_photo_copy (const SlPhoto *photo)
{
  SlPhoto copy = *photo;

  act_on (ACT_OWN, &element_photo, &copy);
  return copy;
}

void
sl_photo_clear (SlPhoto *photo)
{
  act_on (ACT_CLEAR, &element_photo, photo);
}

SlMark
sl_mark_init (SlMeasure of)
{
  SlMark mark = { .of = of };

  sl_element_init (&element_mark, &mark);
  return mark;
}

SlProfile *
sl_profile_new (void)
{
  SlProfile *profile = g_new0 (SlProfile, 1);

  sl_element_init (&sl_element_profile, profile);
  return profile;
}

SlProfile *
sl_profile_copy (const SlProfile *profile)
{
  SlProfile *copy = g_memdup2 (profile, sizeof *profile);

  act_on (ACT_OWN, &sl_element_profile, copy);
  return copy;
}

void
sl_profile_free (SlProfile *profile)
{
  if (profile == NULL)
    return;
  act_on (ACT_CLEAR, &sl_element_profile, profile);
  g_free (profile);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The profile: everything a document holds about one instrument (or one model, for a baseline), as plain structs that
 * are copied whole. Numbers stay as they were given; defaults are filled in by instrument.h. Lengths mm, angles
 * degrees, forces N, frequencies Hz, masses per length g/m, temperature °C, humidity % RH. Text fields are owned, NULL
 * where the document has none. */
#pragma once

#include "setup/profile/photo.h"

#define SL_MAX_STRINGS 12
#define SL_MIN_FRETS 12
#define SL_MAX_FRETS 36
#define SL_SQUARE_FRET 7  /* of slanting frets, where none is given */
#define SL_OCTAVE_FRET 12 /* where action and pitch are judged */
#define SL_COVERAGE 2.0   /* U = 2u, about 95 %: GUM (JCGM 100:2008) 6.2.1 */

/* Goes through the structs of a GArray, or what the pointers of a GPtrArray point at; of NULL there are none. Neither
 * may grow or shrink meanwhile. */
#define SL_EACH(type, item, array)                                                                                     \
  for (type *item = sl_array_place (array, FALSE, sizeof *item),                                                       \
            *item##_end = sl_array_place (array, TRUE, sizeof *item);                                                  \
       item < item##_end; item++)
#define SL_EACH_OF(type, item, array)                                                                                  \
  for (type *item = NULL, **item##_at = sl_pointer_place (array, FALSE),                                               \
            **item##_end = sl_pointer_place (array, TRUE);                                                             \
       item##_at < item##_end && (item = *item##_at, TRUE); item##_at++)
static inline gpointer
sl_array_place (const GArray *array, gboolean end, gsize size)
{
  return array == NULL || array->len == 0 ? NULL : array->data + (end ? array->len * size : 0);
}
static inline gpointer
sl_pointer_place (const GPtrArray *array, gboolean end)
{
  return array == NULL || array->len == 0 ? NULL : array->pdata + (end ? array->len : 0);
}

typedef enum
{
  SL_KIND_INSTRUMENT,
  SL_KIND_BASELINE
} SlKind;

typedef struct
{
  char *label, *owner, *contact, *maker, *model, *serial, *year, *note; /* texts only: copied and freed in a row */
} SlIdentity;

typedef enum
{
  SL_ROD_DEFAULT, /* not given: single */
  SL_ROD_SINGLE,  /* can't force the neck forward */
  SL_ROD_DOUBLE,
  SL_ROD_NONE
} SlRod;

/* What can set the neck's angle at its heel. */
typedef enum
{
  SL_HEEL_DEFAULT, /* not given: none */
  SL_HEEL_NONE,
  SL_HEEL_SHIM,
  SL_HEEL_TILT_SCREW
} SlHeelAdjust;

typedef struct
{
  SlNumber scale_length, scale_length_bass; /* of the outer strings; one scale where the bass has none given */
  int frets, joint_fret, square_fret;       /* square_fret 0: not given */
  SlNumber nut_width, board_radius_nut, board_radius_end;
  SlRod rod;
  SlHeelAdjust heel_adjust;
} SlNeck;

/* For each optional element, `given` tells that it stood in the document even if it carried no attribute. */
typedef struct
{
  gboolean given;
  SlNumber width, height, least_height;
} SlFretwire;

typedef struct
{
  int string;
  SlNumber distance, side, wrap_height;
} SlPost;

typedef struct
{
  gboolean given;
  SlNumber tilt, string_rise;
  SlPost posts[SL_MAX_STRINGS];
  int n_posts;
} SlHeadstock;

typedef enum
{
  SL_NUT_DEFAULT, /* not given: slotted */
  SL_NUT_SLOTTED,
  SL_NUT_ZERO_FRET /* the strings rest on a crown at x = 0, and the slots only guide */
} SlNutKind;

typedef struct
{
  gboolean given;
  SlNutKind kind;
  SlNumber edge_margin_bass, edge_margin_treble, slot_allowance, friction;
} SlNut;

typedef enum
{
  SL_BRIDGE_DEFAULT, /* not given: pinned */
  SL_BRIDGE_PINNED,
  SL_BRIDGE_TAILPIECE,
  SL_BRIDGE_THROUGH_BODY,
  SL_BRIDGE_TIE_BLOCK,
  SL_BRIDGE_FLOATING, /* on feet that the strings hold */
  SL_BRIDGE_TREMOLO,  /* turns on an edge, held by springs */
  SL_BRIDGE_CONE      /* a saddle on a resonator's cone, the strings held behind it */
} SlBridgeKind;

/* How a tremolo stands. */
typedef enum
{
  SL_BALANCE_DEFAULT, /* not given: floating */
  SL_BALANCE_FLOATING,
  SL_BALANCE_DECKED,
  SL_BALANCE_BLOCKED
} SlBalance;

typedef struct
{
  int string;
  SlNumber distance, drop;
} SlAnchor;

typedef struct
{
  gboolean given;
  SlBridgeKind kind;
  SlNumber spread, thickness, least_thickness;
  int spring_count; /* of a tremolo; 0: not given */
  SlBalance balance;
  SlAnchor anchors[SL_MAX_STRINGS];
  int n_anchors;
} SlBridge;

/* How the saddle's height is set (setup/profile/construction.h). */
typedef enum
{
  SL_ADJUST_DEFAULT, /* not given: screws where a height screw's pitch is, else base */
  SL_ADJUST_BASE,    /* material off its underside, in a straight line */
  SL_ADJUST_SCREWS,  /* each string, both ways */
  SL_ADJUST_POSTS,   /* two ends, both ways, straight between */
  SL_ADJUST_WHEELS,  /* the same, on a floating bridge */
  SL_ADJUST_TOP,     /* only from above, string by string */
  SL_ADJUST_FIXED,
  SL_N_ADJUSTS
} SlSaddleAdjust;

typedef struct
{
  gboolean given;
  SlSaddleAdjust adjust;
  SlNumber thickness, lean, least_exposure, radius, height_screw_pitch, length_screw_pitch;
} SlSaddle;

typedef enum
{
  SL_BUILD_PLAIN,
  SL_BUILD_WOUND
} SlBuild;

typedef enum
{
  SL_CORE_STEEL,
  SL_CORE_STAINLESS_STEEL,
  SL_CORE_NYLON,
  SL_CORE_FLUOROCARBON,
  SL_CORE_GUT,
  SL_N_CORES
} SlCore;

typedef enum
{
  SL_WRAP_NONE, /* not given */
  SL_WRAP_PHOSPHOR_BRONZE,
  SL_WRAP_BRASS,
  SL_WRAP_NICKEL,
  SL_WRAP_NICKEL_PLATED_STEEL,
  SL_WRAP_STAINLESS_STEEL,
  SL_WRAP_SILVER_PLATED_COPPER,
  SL_N_WRAPS
} SlWrap;

/* One string; the profile keeps them in order of number, strings[0] being string 1. */
typedef struct
{
  char *note;         /* "E4", "F#3", "Bb2"; NULL where only a frequency is given */
  SlNumber frequency; /* Hz; wins over the note */
  SlBuild build;
  SlCore core;
  SlNumber core_diameter;
  SlWrap wrap;
  SlNumber wrap_diameter;
  SlNumber unit_mass;                          /* g/m; wins over what the diameters give */
  SlNumber axial_stiffness, bending_stiffness; /* EA, N, and EI, N mm²; they win over core and modulus */
} SlString;

typedef enum
{
  SL_PLUCK_DEFAULT, /* not given: either */
  SL_PLUCK_TOWARD,
  SL_PLUCK_AWAY,
  SL_PLUCK_EITHER
} SlPluckDirection;

typedef enum
{
  SL_STIFF_ENDS_DEFAULT, /* not given: one */
  SL_STIFF_ENDS_ONE,
  SL_STIFF_ENDS_BOTH
} SlStiffEnds;

/* What stands behind the force of plucking. */
typedef enum
{
  SL_FORCE_DEFAULT, /* not given: assumed */
  SL_FORCE_ASSUMED,
  SL_FORCE_HEARD /* a buzz was heard */
} SlForceBasis;

typedef struct
{
  gboolean given;
  SlNumber pluck_force, pluck_distance;
  SlPluckDirection pluck_direction;
  SlNumber upright_share, finger_distance;
  SlStiffEnds stiff_ends;
  SlForceBasis force_basis;
} SlPlayer;

typedef struct
{
  gboolean given;
  SlNumber relief, relief_tolerance, action_treble, action_bass, action_tolerance, first_gap_treble, first_gap_bass,
      first_gap_tolerance;
  SlNumber pitch_tolerance;                /* cents */
  SlNumber fall_away, fall_away_tolerance; /* of the last fret, mm */
} SlTargets;

typedef enum
{
  SL_OP_LEVEL_FRETS,     /* amount: fall-away at the last fret (may be absent) */
  SL_OP_TURN_ROD,        /* amount: change of relief, signed */
  SL_OP_LOWER_SLOT,      /* string, amount */
  SL_OP_CUT_SADDLE_BASE, /* amount: bass, amount_treble */
  SL_OP_SHAPE_CREST,     /* string, amount; negative (raised) only on height screws */
  SL_OP_MOVE_CREST,      /* string, amount; positive away from the nut */
  SL_OP_REPLACE_FRETS,   /* from, to; amount: width, amount_treble: height of the new wire (may be absent) */
  SL_OP_BENCH_STEP,      /* work that moves nothing the model knows of */
  SL_OP_MOVE_SADDLE,     /* amount: bass, amount_treble; signed, up is positive */
  SL_OP_SHIFT_BRIDGE,    /* amount: bass, amount_treble: setback of all strings; away from the nut is positive */
  SL_OP_SET_NECK_ANGLE, /* amount: what the board line at the crest gains, signed: every crest is so much lower over the
                           crown chord */
  SL_OP_MAKE_NUT,       /* ends: the height of the string's rest over the crown chord, which is set */
  SL_OP_MAKE_SADDLE,    /* amount: bass, amount_treble: exposure, which is set; ends: setbacks where they change */
  SL_OP_FIT_STRINGS,    /* set */
  SL_N_OPS
} SlOperationKind;

/* Work that is ticked off and changes no figure. */
typedef enum
{
  SL_BENCH_RECROWN,
  SL_BENCH_POLISH,
  SL_BENCH_ENDS,
  SL_BENCH_SEAT,
  SL_BENCH_NEW_STRINGS,
  SL_BENCH_SETTLE,
  SL_BENCH_CLEAN,
  SL_BENCH_REBALANCE, /* a tremolo's springs */
  SL_N_BENCH_STEPS
} SlBenchStep;

/* What new work gives one string. */
typedef struct
{
  int string;
  SlNumber value; /* mm */
} SlStringEnd;

typedef struct
{
  SlOperationKind kind;
  int string;
  SlNumber amount, amount_treble;
  SlNumber turns;                   /* of the rod's nut, + tightens */
  guint64 frets;                    /* bits of the frets that come down, 1 << fret; 0: the whole board */
  int from, to;                     /* first and last fret to be replaced */
  SlBenchStep step;                 /* of SL_OP_BENCH_STEP */
  SlStringEnd ends[SL_MAX_STRINGS]; /* slots of a new nut, setbacks of a new saddle */
  int n_ends;
  char *set, *set_name, *chosen_by; /* of SL_OP_FIT_STRINGS: id or gauges (sets.h), what it is called, who chose it */
  char *done;                       /* ISO 8601, NULL while not done */
} SlOperation;

/* What can keep anything from being cut; a technician can pass each on purpose. */
typedef enum
{
  SL_GATE_NONE,
  SL_GATE_READING,    /* a reading is doubted */
  SL_GATE_ROD,        /* the rod's turn was not checked */
  SL_GATE_AIR,        /* the instrument is not in the air it is kept in */
  SL_GATE_NECK_ANGLE, /* the saddle would be spent for a neck that wants its angle set */
  SL_GATE_FRETS,      /* the crowns come first */
  SL_N_GATES
} SlGate;

typedef enum
{
  SL_CHECK_DEFAULT, /* not given: open */
  SL_CHECK_OPEN,
  SL_CHECK_SOUND,
  SL_CHECK_ATTEND,
  SL_CHECK_MENDED,
  SL_CHECK_NOT_APPLICABLE
} SlCheckState;

typedef struct
{
  char *name;
  SlCheckState state;
  char *note;
} SlCheck;

typedef struct
{
  char *what;
  SlNumber minutes, amount;
  char *currency;
} SlCharge;

typedef struct
{
  char *id, *opened, *closed;
  char *note;
  GArray *sets; /* of SlReadingSet */
  gboolean plan_given;
  guint64 passed;  /* bits of the gates passed on purpose, 1 << SlGate */
  GArray *plan;    /* of SlOperation */
  GArray *checks;  /* of SlCheck */
  GArray *charges; /* of SlCharge */
  GArray *photos;  /* of SlPhoto */
} SlVisit;

typedef enum
{
  SL_HAND_DEFAULT, /* not given: right */
  SL_HAND_RIGHT,
  SL_HAND_LEFT
} SlHand;

/* The highest that ids had while a profile was worked on, those of what is gone too. */
typedef struct
{
  guint visit, set, photo;
} SlIdNumbers;

typedef struct
{
  char *id; /* UUID */
  SlKind kind;
  SlHand hand;
  char *baseline; /* UUID of the baseline, or NULL */
  SlIdentity identity;
  SlNeck neck;
  SlFretwire fretwire;
  SlHeadstock headstock;
  SlNut nut;
  SlBridge bridge;
  SlSaddle saddle;
  SlString strings[SL_MAX_STRINGS];
  int n_strings;
  int courses;                         /* the strings lie in so many courses; 0: not given, each by itself */
  char *set_name, *fitted, *chosen_by; /* of the strings: what they are called, since when (ISO 8601), who chose them */
  SlPlayer player;
  SlTargets targets;
  GArray *visits;         /* of SlVisit */
  SlIdNumbers id_numbers; /* no part of the document */
} SlProfile;

/* A profile with nothing in it but empty arrays and absent numbers. Free with sl_profile_free(). */
SlProfile *sl_profile_new (void);

/* A deep copy. */
SlProfile *sl_profile_copy (const SlProfile *profile);
void sl_profile_free (SlProfile *profile);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlProfile, sl_profile_free)

/* Element constructors with every number absent and empty arrays; appended structs are owned by the array, which frees
 * what they hold. */
SlVisit sl_visit_init (void);
SlReadingSet sl_reading_set_init (void);
SlReading sl_reading_init (SlReadingKind kind);
SlPhoto sl_photo_init (void);
SlPhoto sl_photo_copy (const SlPhoto *photo); /* to be freed with sl_photo_clear() */
void sl_photo_clear (SlPhoto *photo);         /* frees what it holds */
SlKnownLength sl_known_length_init (void);
SlMark sl_mark_init (SlMeasure of);
SlOperation sl_operation_init (SlOperationKind kind);
void sl_operation_own (SlOperation *operation);   /* gives one copied byte by byte texts of its own */
void sl_operation_clear (SlOperation *operation); /* frees the texts it holds */
GArray *sl_plan_new (void);

/* Whether readings taken at @taken already show this operation. */
gboolean sl_operation_is_past (const SlOperation *operation, const char *taken);

/* The last visit and its last reading set, or NULL. */
SlVisit *sl_profile_last_visit (const SlProfile *profile);
SlReadingSet *sl_visit_last_set (const SlVisit *visit);

/* Whether two readings answer the same question: kind, string, held, and fret but for a first gap. */
gboolean sl_reading_same_question (const SlReading *a, const SlReading *b);

/* The reading of a set that answers the same question, or NULL. */
SlReading *sl_reading_set_find (const SlReadingSet *set, SlReadingKind kind, int string, int fret, SlHeld held);

/* Whether the strings were at pitch when a set was read (NULL: to be read); and whether a set says something at pitch
 * of a kind below @string (0: of any). */
gboolean sl_set_at_pitch (const SlReadingSet *set);
gboolean sl_read_at_pitch (const SlReadingSet *set, SlReadingKind kind, int string);

/* How many readings of a set that are not left out say this (@string, @fret 0 where the kind has none), and into @mean
 * their mean where there are any. @set NULL: none. */
int sl_reading_set_mean (const SlReadingSet *set, SlReadingKind kind, int string, int fret, double *mean);

/* Puts a reading in, in document order (by kind; within a kind where the same question stands, else at its end);
 * returns its place. */
SlReading *sl_reading_set_put (SlReadingSet *set, SlReading reading);

/* A fresh id, "v" (of a visit), "r" (of a reading set) or "p" (of a photograph) and a number: above all that the
 * profile has had while it was worked on, also in what was undone, as what refers to an id may outlive what had it.
 * Free with g_free(). */
char *sl_unused_id (SlProfile *profile, const char *prefix);

/* To be called when a profile comes to be worked on, or was exchanged or edited; so far ids went up to @so_far. */
void sl_profile_keep_ids (SlProfile *profile, SlIdNumbers so_far);

/* Spellings of the document: "phosphor-bronze", "cut-saddle-base", "held" "3"… Each array ends with NULL and is indexed
 * by the enum; entries for "not given" are "". */
extern const char *const sl_kind_names[];
extern const char *const sl_bridge_kind_names[];
extern const char *const sl_build_names[];
extern const char *const sl_core_names[];
extern const char *const sl_wrap_names[];
extern const char *const sl_pluck_direction_names[];
extern const char *const sl_stiff_ends_names[];
extern const char *const sl_held_names[];
extern const char *const sl_use_names[];
extern const char *const sl_tool_names[];
extern const char *const sl_stage_names[];
extern const char *const sl_check_state_names[];
extern const char *const sl_force_basis_names[];
extern const char *const sl_strings_state_names[];
extern const char *const sl_settled_names[];
extern const char *const sl_bench_step_names[];
extern const char *const sl_rod_names[];
extern const char *const sl_heel_adjust_names[];
extern const char *const sl_nut_kind_names[];
extern const char *const sl_balance_names[];
extern const char *const sl_saddle_adjust_names[];
extern const char *const sl_hand_names[];
extern const char *const sl_gate_names[];
extern const char *const sl_about_names[];
extern const char *const sl_on_sheet_names[];
extern const char *const sl_measure_names[];

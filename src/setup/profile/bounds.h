/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What can be read and what can be done, a row each of data/built-in.ui: adding one is a row there with its words, its
 * equation (setup/fit/reading-row.c, setup/work/work.c) and its test. And the physical range of every number a profile
 * can hold, in one table, so that the document, the command line and the window refuse the same things in the same
 * words; and the sense checks between numbers. */
#pragma once

#include <glib/gi18n-lib.h>

#include "setup/profile/profile.h"

typedef enum
{
  SL_UNIT_NONE,
  SL_UNIT_MM,
  SL_UNIT_DEGREE,
  SL_UNIT_NEWTON,
  SL_UNIT_HERTZ,
  SL_UNIT_GRAM_PER_METRE,
  SL_UNIT_CELSIUS,
  SL_UNIT_PERCENT_RH,
  SL_UNIT_CENT,
  SL_UNIT_MINUTE,
  SL_UNIT_NEWTON_MM2,
  SL_UNIT_TURN
} SlUnit;

typedef struct
{
  const char *element, *attribute; /* as the document spells them */
  double least, most;
  SlUnit unit;
  int offset; /* of the SlNumber in the struct that stands for the element; −1 where it is no SlNumber of its own */
} SlBound;

/* Beside the kinds of reading the air of the room is asked for. */
enum
{
  SL_ASK_TEMPERATURE = SL_N_READINGS,
  SL_ASK_HUMIDITY,
  SL_N_ASKS
};

/* Where on an instrument something is read. */
typedef enum
{
  SL_GROUP_NECK,
  SL_GROUP_NUT,
  SL_GROUP_ACTION,
  SL_GROUP_SADDLE,
  SL_GROUP_AIR,
  SL_GROUP_PITCH,
  SL_N_GROUPS
} SlQuestionGroup;

/* What is asked: SlReadingKind or SL_ASK_…, with 0 for a string or fret the kind does not have; SL_HELD_DEFAULT is
 * never used where a kind can be held.
 * @nth tells repeated readings of one question apart, from 0. */
typedef struct
{
  int ask;
  int string, fret;
  SlHeld held;
  int nth;
} SlQuestion;

typedef struct
{
  SlBound bound; /* element, attribute and range of its value; of the air, the unit alone */
  SlQuestionGroup group;
  gboolean has_string, has_fret;
  SlHeld held;       /* what it can be held at beside open; SL_HELD_DEFAULT where it can't be held */
  int tool;          /* SlToolKind, or −1 */
  double resolution; /* of a tool nobody stated (model 3), in the unit; 0: its readings are taken as they are */
  gboolean coarse;   /* a 64th of an inch is fine enough */
  int places;        /* decimals of a millimetre; of the others, of their unit */
} SlReadingTraits;

extern const SlReadingTraits sl_readings[SL_N_ASKS];

/* The first kind of reading that is taken with such a tool. */
SlReadingKind sl_reading_of_tool (SlToolKind tool);

/* Whether it is a length rather than cents, °C or % RH. */
gboolean sl_ask_is_length (int ask);

typedef struct
{
  SlBound bound, treble; /* of its amount, and of its second one; no element where it has none */
  gboolean per_string;   /* one for each string, rather than one of its kind */
  gboolean cuts;         /* takes nut or saddle down */
  gboolean makes;        /* makes one anew */
  gboolean needs_amount;
  int place; /* in the order of work, with bench steps between: common practice */
} SlOperationTraits;

extern const SlOperationTraits sl_operations[SL_N_OPS];

#define SL_LEAST_TOLERANCE_MM 0.01      /* nothing is read to less */
#define SL_DEFAULT_CROWN_HEIGHT_MM 1.10 /* the format's default for fretwire height */

/* The range of one attribute of one element ("action", "gap"), or NULL where the number is not bounded. @attribute
 * NULL: the first attribute of the element, which of a reading or an operation is its value. */
const SlBound *sl_bound_find (const char *element, const char *attribute);

/* The table of all but readings and operations, which have theirs above; its end marked by a NULL element. */
extern const SlBound sl_bounds[];

/* A sentence naming the value and the range ("action gap 250 mm is outside 0 to 30 mm"), translated, or NULL where
 * @value is inside. */
char *sl_bound_complaint (const SlBound *bound, double value);

/* The range in words: "0 to 30 mm". Free with g_free(). */
char *sl_bound_range (const SlBound *bound);

/* The bound for the value of a reading, or of what is asked of the air (SL_ASK_…), of this instrument: a crown gap is
 * no larger than its crown is high. */
SlBound sl_ask_bound (const SlProfile *profile, int ask);

/* How often something may stand in an element, or how many characters a text of it may have. NULL: any other. */
typedef struct
{
  const char *element, *of; /* the element within, or what is counted; the attribute, or "note" */
  guint most;
} SlAmount;

/* All of them, the first that fits being the one that holds; ended by one for any element and any text. */
extern const SlAmount sl_amounts[];
guint sl_amount_most (const char *element, const char *of);

/* One thing in a profile that can't be. @where points at the struct inside the profile that holds it (SlReading,
 * SlOperation, SlString …). */
typedef struct
{
  const void *where;
  char *message;
} SlFault;

/* Takes @complaint, which is no fault where it is NULL. */
void sl_fault_add (GPtrArray *faults, const void *where, char *complaint);
void sl_fault_say (GPtrArray *faults, const void *where, const char *format, ...) G_GNUC_PRINTF (3, 4);

/* Checks ranges and sense of a whole profile: joint fret within the frets, string numbers that exist, frets a reading
 * can be taken at, wound strings with a wrap, dates that are dates, ids used once. Returns a GPtrArray of SlFault,
 * empty where nothing is wrong; free with g_ptr_array_unref(). */
GPtrArray *sl_profile_check (const SlProfile *profile);

/* The part of it that an edit can bring about by adding: more of something, or a longer text, than is accepted. */
GPtrArray *sl_profile_overfull (const SlProfile *profile);

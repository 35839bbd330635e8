/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Readings as a document holds them, part of the profile (setup/profile/profile.h). */
#pragma once

#include "setup/profile/number.h"

/* The kinds of reading, in the order in which a document lists them. */
typedef enum
{
  SL_READ_RELIEF,
  SL_READ_TONGUE,
  SL_READ_FIRST_GAP,
  SL_READ_ACTION,
  SL_READ_EXPOSURE,
  SL_READ_SETBACK,
  SL_READ_CROWN_GAP,
  SL_READ_CROWN_HEIGHT,
  SL_READ_CROWN_WEAR, /* how deep a fret is worn under one string */
  SL_READ_PITCH,
  SL_N_READINGS
} SlReadingKind;

typedef enum
{
  SL_HELD_DEFAULT, /* not given: open */
  SL_HELD_OPEN,
  SL_HELD_1,
  SL_HELD_3
} SlHeld;

typedef enum
{
  SL_USE_DEFAULT, /* not given: auto */
  SL_USE_AUTO,
  SL_USE_ALWAYS,
  SL_USE_NEVER
} SlUse;

typedef struct
{
  SlReadingKind kind;
  int string; /* 0 where the kind has none */
  int fret;   /* 0 where the kind has none; a first gap is read at fret 1 */
  SlHeld held;
  SlUse use;
  SlNumber value;       /* mm; cents for pitch */
  SlNumber uncertainty; /* U of what was heard or measured in a photograph; it stands for the tool's figures */
} SlReading;

/* What a tool can measure; the order in which a document spells them. */
typedef enum
{
  SL_TOOL_RELIEF,
  SL_TOOL_TONGUE,
  SL_TOOL_FIRST_GAP,
  SL_TOOL_ACTION,
  SL_TOOL_EXPOSURE,
  SL_TOOL_CROWN,
  SL_TOOL_PITCH, /* a tuner; its figures are cents */
  SL_N_TOOLS
} SlToolKind;

typedef struct
{
  SlToolKind measures;
  SlNumber resolution, error_limit;
} SlTool;

typedef enum
{
  SL_STAGE_RECEIVED,
  SL_STAGE_DURING,
  SL_STAGE_FINAL
} SlStage;

/* How the strings were while a set was read. */
typedef enum
{
  SL_STRINGS_DEFAULT, /* not given: at pitch */
  SL_STRINGS_AT_PITCH,
  SL_STRINGS_SLACK,
  SL_STRINGS_OFF
} SlStringsState;

/* Whether the instrument had settled in the air it was read in. */
typedef enum
{
  SL_SETTLED_DEFAULT, /* not given: yes */
  SL_SETTLED_YES,
  SL_SETTLED_NO
} SlSettled;

typedef struct
{
  char *id;
  SlStage stage;
  char *taken; /* ISO 8601 */
  SlStringsState strings;
  SlSettled settled;
  SlNumber temperature, humidity;
  GArray *tools;    /* of SlTool */
  GArray *readings; /* of SlReading, in document order */
} SlReadingSet;

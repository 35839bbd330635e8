/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What kind of instrument it is to whoever looks after it, and what is looked at besides measuring: the list a visit
 * starts from, by how the instrument is built (common practice). */
#pragma once

#include "setup/profile/profile.h"

/* Told by the bridge, and by strings and scale where a family wants other work than its bridge alone would say. */
typedef enum
{
  SL_FAMILY_FLAT_TOP,     /* pinned bridge */
  SL_FAMILY_NYLON,        /* tie block */
  SL_FAMILY_CARVED_TOP,   /* floating bridge */
  SL_FAMILY_RESONATOR,    /* cone */
  SL_FAMILY_TAILPIECE,    /* and a bridge before it */
  SL_FAMILY_THROUGH_BODY, /* solid, strings through the body */
  SL_FAMILY_TREMOLO,
  SL_FAMILY_BASS,
  SL_FAMILY_MANDOLIN,
  SL_FAMILY_UKULELE,
  SL_N_FAMILIES
} SlFamily;

SlFamily sl_family_of (const SlProfile *profile);

/* The names, translated, of the checks an instrument like this starts with; NULL-terminated, free with g_strfreev(). */
char **sl_checklist_usual (const SlProfile *profile);

/* What a check is about, told by its name: one of the usual names, in English or in the program's language, or none of
 * them. */
typedef enum
{
  SL_TOPIC_NONE,
  SL_TOPIC_ELECTRONICS,
  SL_TOPIC_GLUED /* what is held by glue: bridge, braces, binding, tie block */
} SlCheckTopic;
SlCheckTopic sl_check_topic (const char *name);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is looked at besides measuring: the list a visit starts from, by the kind of instrument (common practice). */
#pragma once

#include "setup/profile/profile.h"

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

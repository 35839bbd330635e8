/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is looked at besides measuring: the list a visit starts from, by the kind of instrument (common practice). */
#pragma once

#include "setup/profile.h"

/* The names, translated, of the checks an instrument like this starts with; NULL-terminated, free with g_strfreev(). */
char **sl_checklist_usual (const SlProfile *profile);

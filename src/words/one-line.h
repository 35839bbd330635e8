/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Names and texts from elsewhere, as they may stand in a message or a report. */
#pragma once

#include <glib.h>

/* Whether a terminal would act on a character, or it would make the text around it look like another: control
 * characters with line breaks and tabs, direction marks. */
gboolean sl_acts (gunichar c);

/* @text, of any bytes, on one line and with nothing in it that a terminal would act on or that would make it look like
 * another text: control characters, line breaks and direction marks become "\n", "\x1b", "\u202e". Free with g_free().
 */
char *sl_one_line (const char *text);

/* The same of a file's name. */
char *sl_shown_name (const char *name);

/* Files' names (of char *) as a list of the first few: "fret-3.jpg, nut.jpg". NULL where there are none. Free with
 * g_free(). */
char *sl_shown_names (const GPtrArray *names);

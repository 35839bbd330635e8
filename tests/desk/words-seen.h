/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What of a window is left in English in the language of tests/pseudo.py, which has no letter of it but a few. */
#pragma once

#include "seen.h"

/* Reads tests/pseudo-allowed.txt and the words of the demo profiles, which may stand anywhere. */
void words_seen_init (void);

/* Whatever else is data: names that a test gives. */
void words_seen_allow (const char *text);

/* The same until the next call. */
void words_seen_allow_for_now (const char *text);

/* A sentence for each text among the mapped widgets of @window, its title, menus and popovers closed or not: what is
 * shown, its tooltip, its hint, the name and the description that assistive technology reads. Untranslated is a word of
 * more than one letter that is neither allowed nor of a profile; put together of pieces is a text with two messages of
 * which the first is no whole sentence; cut is one whose brackets don't match. */
void words_seen_check (GtkWidget *window, SeenFault fault, gpointer data);

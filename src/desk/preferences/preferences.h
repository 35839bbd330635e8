/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The few things that are a matter of taste: light or dark, and the units new windows start with. Applied at once. */
#pragma once

#include "desk/kit/kit.h"

/* The window of preferences above @parent (may be NULL). */
GtkWidget *sl_preferences_new (GtkWindow *parent);

/* Turns to one of its pages. */
#define SL_PREFERENCES_LISTENING "listening"
void sl_preferences_show (GtkWidget *window, const char *page);

/* ---- pages ----
 *
 * The longer pages of the preferences. What is entered is remembered at once; what is not valid is refused beside where
 * it is entered, with what is. */

/* How the shop works (setup/shop.h): the step it cuts in and what its work is uncertain by. A button writes it as a
 * file for the command line. */
GtkWidget *sl_shop_habits_new (void);

/* The shop's tools: name, resolution, error limit and what each serves to read. */
GtkWidget *sl_tools_editor_new (void);

/* What strings are heard with, tried with its level; the reference pitch and the temperament. */
GtkWidget *sl_listening_new (void);

/* The check lists of the shop, one for each kind of instrument, each line a check. */
GtkWidget *sl_check_lists_new (void);

/* What the shop usually charges. */
GtkWidget *sl_usual_charges_editor_new (void);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The program's whole window in a test's own process, to be driven frame by frame. */
#pragma once

#include "desk/sheets/sheets.h"
#include "desk/window/window-private.h"

#define LIVE_WIDTH 1600
#define LIVE_HEIGHT 1000

/* A window with the demo instrument "anchor-street-flat-top" on its bench, drawn whole: the Gaps sheet is open. */
SlWindow *live_window_new (GtkApplication *app);

/* The program, registered and without a bus name. Free with g_object_unref(). */
GtkApplication *live_app_new (void);

/* The first mapped widget of @type inside @from, in the order of the tree; NULL: none. */
GtkWidget *live_find (GtkWidget *from, GType type);

/* Until the frame that @window draws next is done. */
void live_wait_frame (SlWindow *window);

/* Until nothing is left to do: what is drawn late is drawn, what is told late is told. */
void live_settle (SlWindow *window);

/* Takes the side view's crest handle with the pointer, moves it by @down pixels from where it was taken, lets go. */
void live_press (SlSideView *view);
void live_move (SlSideView *view, double down);
void live_release (SlSideView *view, double down);

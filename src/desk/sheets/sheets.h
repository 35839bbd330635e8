/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sheets under the side view; each follows the bench while it is seen. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

/* Every string over every fret, open or held where the bench holds it, as measured or as planned, its gap or its
 * margin; the least margin of each string with its place, and its lowest clean action. The arrow keys move a cell
 * cursor; a line below says that cell's gap, swing and margin. */
GtkWidget *sl_gaps_sheet_new (SlBench *bench);

/* In it, the player's hand: a button that says the force strings are plucked with, and in its popover three hands to
 * choose from, the force itself, and a rattle that was heard ("string 6 held at 2 rattles on 3"), which tells the force
 * of the hand that made it. Each choice is a step of the profile's history. */
GtkWidget *sl_hand_button_new (SlBench *bench);

/* Crown gaps and crown heights entered in one row of frets each (Enter goes on, blank is not read), the crowns as they
 * are and as levelled above, and below each fret what comes off, the land to re-crown, what is left and a word.
 * Levelling is put into the plan here; where frets would be past saving, what new ones in their place would do instead.
 */
GtkWidget *sl_frets_sheet_new (SlBench *bench);

/* The set on the instrument to edit and tune, another set compared with it and fitted, nut and saddle as the strings
 * want them, and posts moved to see what that does; beside it the picture of all that. */
GtkWidget *sl_strings_sheet_new (SlBench *bench);

/* What the tuner reads, typed string by string; where each crest stands and should stand; the cents the model expects
 * of every fret; beside them the picture of all that. */
GtkWidget *sl_pitch_sheet_new (SlBench *bench);

/* The air an instrument is in and what it does to the wood, what action and relief become in other air by what was read
 * over the seasons, and the hygrometer checked over a salt. */
GtkWidget *sl_climate_sheet_new (SlBench *bench);

/* Every reading set of every visit as charts over time, and two of them compared: in the side view, one drawn over the
 * other, and in a table beside it. */
GtkWidget *sl_history_sheet_new (SlBench *bench);
const char *sl_stage_word (SlStage stage); /* "during the work" */

/* ---- side-view ----
 *
 * A picture of what is on the bench, drawn again at every change. The side view can be worked on: handles dragged by
 * mouse or finger, a fret clicked to hold the string there; with the keyboard, left and right choose a handle, up and
 * down move it by a hundredth of a millimetre (with Shift by a tenth), Page Up and Page Down hold the string a fret
 * higher or lower, Home opens it, End holds it at the last fret that leaves another. */

#define SL_TYPE_SIDE_VIEW (sl_side_view_get_type ())
G_DECLARE_FINAL_TYPE (SlSideView, sl_side_view, SL, SIDE_VIEW, GtkDrawingArea)

GtkWidget *sl_side_view_new (SlBench *bench, SlPictureKind kind);

/* Where things came to lie when it was last drawn. Borrowed. */
const SlPictureMap *sl_side_view_get_map (SlSideView *self);

/* What a picture shows, in words: string, action before and after, relief, break angles, what comes off, and with a
 * held string what it leaves over the closest crown. Free with g_free(). */
char *sl_picture_describe (SlBench *bench, SlPictureKind kind);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Readings: the form, the run, and what is asked for in them. */
#pragma once

#include <gtk/gtk.h>

#include "bench/listen.h"
#include "bench/shop-lists.h"

/* ---- readings-form ----
 *
 * The readings of a bench as one form in the order of measuring. Enter moves to the next row and Shift+Enter to the one
 * before, so that a gauge that types a reading and Enter fills the form hands-free. Rows are asked of every instrument
 * by its shape (the outer strings always, the others behind "other strings"); readings at other frets or of held
 * strings have rows of their own, and any reading of the model can be added. The form scrolls by itself and follows the
 * bench; while a person types in a row, changes from elsewhere leave that text alone. */

#define SL_TYPE_READINGS_FORM (sl_readings_form_get_type ())
G_DECLARE_FINAL_TYPE (SlReadingsForm, sl_readings_form, SL, READINGS_FORM, GtkBox)

GtkWidget *sl_readings_form_new (SlBench *bench);

/* ---- reading-run ----
 *
 * A reading run: one reading at a time, large, with where the tool goes. Enter, a gauge that types its reading and
 * Enter, or a pedal that sends a key take it in and move on; a reading can be skipped, gone back to, and repeated.
 * Order and contents follow the kind of instrument as the shop keeps them (readings-question.h). A value that looks
 * like inches typed as millimetres, or the other way round, is asked about before it is taken. */

/* A window over @parent. Where work was done since the readings that are shown, a new set is begun and only what the
 * work changes most is asked; else all that is usual for the instrument. */
void sl_reading_run_present (GtkWindow *parent, SlBench *bench);

/* The same for the questions in @asked, an array of SlReading: a new set is begun for them. NULL or empty: all that is
 * usual. */
void sl_reading_run_present_asking (GtkWindow *parent, SlBench *bench, const GArray *asked);

/* ---- listen-window ----
 *
 * Listening: what is asked next stands large, the string is plucked, its fan opens and the cents settle; a tick, and
 * the next is asked. Keys and pedal are the reading run's. */

/* A window beside @parent, which stays in use. It listens while it is open; what was heard stays with @listen. */
void sl_listen_window_present (GtkWindow *parent, SlListen *listen);

/* Shows how loud it is, dB under full scale. */
void sl_listen_show_level (GtkWidget *bar, double db);

/* ---- recording-window ----
 *
 * A recording's notes as a list: when each was plucked, its string and fret as guessed and to be set right, its cents;
 * what is ticked becomes readings, as one step. */
void sl_recording_window_present (GtkWindow *parent, SlBench *bench, GFile *file);

/* ---- again-line ----
 *
 * After work is done: the readings it changes most, the most changed first, and a button that reads just those. */

/* For the work of one kind, or of all (SL_N_OPS). Hidden while there is nothing to read. */
GtkWidget *sl_again_line_new (SlBench *bench, SlOperationKind kind);

/* Shows the bench as it is now. */
void sl_again_line_update (GtkWidget *line);

/* ---- run-options ----
 *
 * How a reading run goes in this shop: what it asks of which kind of instrument in which order, and the keys that a
 * pedal sends. Saved at once. */

/* What a run does on a key beside Enter: 1 accepts a reading and goes on, −1 goes back, 0 nothing. */
int sl_run_key_step (guint key);

/* A drop-down of the kinds of instrument that lists are kept for, the first one chosen, named @name for assistive
 * technology. */
GtkWidget *sl_kind_chooser_new (const char *name);

/* The list of what a run asks of a kind of instrument: what is ticked is asked, in the order in which it stands.
 * @changed, which may be NULL, is called with @owner after the person changed it. */
GtkWidget *sl_run_order_editor_new (SlFamily family, void (*changed) (gpointer owner), gpointer owner);

/* All of it, for the preferences. */
GtkWidget *sl_run_options_new (void);

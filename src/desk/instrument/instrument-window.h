/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The description of an instrument: owner, neck and frets, head and nut, bridge and saddle, strings, player,
 * targets. Beside the bench, not in front of it: every change applies at once, shows in the drawing, and is a step
 * that can be undone. */
#pragma once

#include "bench/bench.h"

#include <gtk/gtk.h>

#define SL_TYPE_INSTRUMENT_WINDOW (sl_instrument_window_get_type ())
G_DECLARE_FINAL_TYPE (SlInstrumentWindow, sl_instrument_window, SL, INSTRUMENT_WINDOW, GtkWindow)

GtkWidget *sl_instrument_window_new (GtkWindow *parent, SlBench *bench);

/* Turns to the field of an attribute of the document, "action-bass", and gives it the keyboard. */
void sl_instrument_window_show_field (SlInstrumentWindow *self, const char *attribute);

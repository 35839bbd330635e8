/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An entry for one number: a length in any of the notations of setup/units.h, or a plain number with a fixed unit
 * (cents, °C, % RH, degrees). It never guesses: text that is not wholly a number, or a number outside its physical
 * range, leaves the old value in force, keeps the typed text for correction, says what is accepted and marks the entry
 * invalid for assistive technology. Escape brings the old value back.
 *
 * Text is taken in by Enter, by leaving the entry, and by the Up and Down keys (one step each, ten with Shift). Enter
 * then asks for the next entry and Shift+Enter for the one before, so that a gauge that types a value and Enter fills a
 * form. The mouse wheel never changes a value. While a person is typing, setting the value from outside does not touch
 * the text.
 *
 * It is named as any widget is; its description belongs to the entry. Signals:
 *   committed (double value)   a new value was entered (NAN: emptied); not emitted by set_value, nor where the value
 * stays the same
 *   step (int by)              Enter (1) or Shift+Enter (−1) on text that is in order; the default does nothing
 *   steps-begin, steps-end     around a run of Up or Down presses, which ends when the key is let go or the entry is
 * left or hidden Property: message (string, read-only): what is wrong, or NULL. */
#pragma once

#include <gtk/gtk.h>

#include "bench/bench.h"

#define SL_TYPE_LENGTH_ENTRY (sl_length_entry_get_type ())
G_DECLARE_FINAL_TYPE (SlLengthEntry, sl_length_entry, SL, LENGTH_ENTRY, GtkEntry)

/* What it is for. */
typedef struct
{
  const SlBound *bound; /* the physical range, which must outlive the entry (those of bounds.h do); NULL: any number */
  const char *plain;    /* as sl_length_entry_set_plain() has it */
  int places;           /* shown, of millimetres or of a plain number */
  double step;          /* what Up or Down adds, mm or plain; 0: one in the last place. Inches step by 0.001, 64ths by
                           1/64, whatever is set here */
  gboolean coarse;   /* shown and typed in 64ths where those are chosen: others (relief, first gap) in decimal inches */
  gboolean required; /* may not be left empty, which stands for: not read */
  int chars;         /* its width; 0: room for any length */
  SlBench *bench;    /* with @step_name as in sl_length_entry_join_steps(); NULL: no undo */
  const char *step_name;
} SlLengthUse;

/* Empty, for lengths of two decimals. */
GtkWidget *sl_length_entry_new (void);

/* Returns @entry, its value kept. */
GtkWidget *sl_length_entry_set_up (GtkWidget *entry, SlLengthUse use);

/* For the "minutes" or the "amount" of a charge, in steps of one; may be left empty. The currency is its unit, to be
 * set. */
void sl_charge_entry_set_up (GtkWidget *entry, const char *attribute);

/* A label that shows its message and is hidden while there is none: the form gives it a row's full width. It lives with
 * the entry. */
GtkWidget *sl_length_entry_new_message (SlLengthEntry *self);

/* The value in force: mm or the plain unit; NAN where empty. */
double sl_length_entry_get_value (SlLengthEntry *self);
void sl_length_entry_set_value (SlLengthEntry *self, double value);

/* The units a bare number is read in and the value is shown in; or a plain number, after which @unit ("°C") may be
 * typed and is not required (NULL: a length again); and the decimals shown of millimetres or of a plain number. */
void sl_length_entry_set_lengths (SlLengthEntry *self, SlLengths lengths);
void sl_length_entry_set_plain (SlLengthEntry *self, const char *unit);
void sl_length_entry_set_places (SlLengthEntry *self, int places);

/* A value shown greyed while it is empty (what is assumed instead), or NAN for none; Up and Down start from it. */
void sl_length_entry_set_assumed (SlLengthEntry *self, double value);

/* What assistive technology reads of it when nothing is wrong ("assumed, ± 0.50 mm"); NULL for nothing. */
void sl_length_entry_set_description (SlLengthEntry *self, const char *description);

/* A run of Up or Down presses is one undo step of @bench, named @name. Called again, another name. */
void sl_length_entry_join_steps (SlLengthEntry *self, SlBench *bench, const char *name);

/* What is wrong with the text, or NULL. */
const char *sl_length_entry_get_message (SlLengthEntry *self);

/* For "committed": what lies beyond the entry refuses the value after all, and @message says why. The old value stays
 * in force, the text stays for correction. */
void sl_length_entry_refuse (SlLengthEntry *self, const char *message);

/* For "step", where its entries are gone through in the order of Tab. */
void sl_length_entry_move_on (GtkWidget *entry, int by);

/* Accepts the text as Enter does. Returns FALSE where it is not valid: the message says why. */
gboolean sl_length_entry_commit (SlLengthEntry *self);

/* ---- length-text ----
 *
 * How the text of an entry for one number is read, and in which words it is refused. */

typedef struct
{
  SlLengths lengths;    /* in which a bare number is read */
  const char *unit;     /* of a plain number; NULL: a length */
  int places;           /* shown */
  const SlBound *bound; /* NULL: any number */
} SlLengthText;

/* The value of @text, as it is kept; or what is wrong with it, to be freed with g_free(). */
char *sl_length_text_read (const SlLengthText *how, const char *text, double *value);

/* The text of @value, "" for NAN: without the marks of a language from right to left, which one would meet while
 * typing, for an entry for a number goes from left to right in every language. Free with g_free(). */
char *sl_length_text_write (const SlLengthText *how, double value);

/* Rounded to what is kept. */
double sl_length_kept (double value);

/* The decimals that show @value as it was entered: at least @least, up to three where it has them. */
int sl_places_for (double value, int least);

/* The unit of @lengths, as it stands beside an entry: "mm"; @fine: of what 64ths are too coarse for. */
const char *sl_lengths_unit (SlLengths lengths, gboolean fine);

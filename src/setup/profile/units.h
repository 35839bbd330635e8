/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lengths as people write and read them: millimetres, decimal inches, 64ths, thousandths; with the locale's decimal
 * sign. */
#pragma once

#include <glib.h>

#define SL_MM_PER_INCH 25.4 /* exactly: NIST SP 811 */

typedef enum
{
  SL_LENGTHS_MM,
  SL_LENGTHS_INCH,
  SL_LENGTHS_64THS
} SlLengths;

/* Reads a length: "2.3", "2,3", "2.3 mm", "0.09 in", "0.09\"", "5/64", "1 3/64\"", "90 thou", "0.23 cm"; a leading − or
 * + is allowed. A bare number is in
 * @lengths (for 64ths a bare number counts 64ths); a bare fraction is inches. ".", "," and the locale's decimal sign
 * @decimal (usually sl_decimal_sign(); pass "." for none) are decimal signs, of which there is one at most. Returns
 * FALSE, with @error saying what is accepted, where the text is not wholly a length.
 */
gboolean sl_length_parse (const char *text, SlLengths lengths, const char *decimal, double *mm, GError **error);

/* Reads a plain number (cents, degrees, °C …) with any of these decimal signs. */
gboolean sl_plain_parse (const char *text, const char *decimal, double *value, GError **error);

#define SL_UNITS_ERROR (sl_units_error_quark ())
GQuark sl_units_error_quark (void);

/* Writes a length for people. mm: @places decimals. Inches: @places + 1, for an inch is the larger. 64ths:
 * the nearest one, reduced ("5/64", "1/8"), with + or − behind it where the length is a third of a 64th more or less
 * ("1/8+"), and so read. The sign used for minus is U+2212. With @unit, the unit is appended ("2.30 mm", "0.091 in",
 * "5/64 in"). Free with g_free(). */
char *sl_length_format (double mm, SlLengths lengths, int places, const char *decimal, gboolean unit);

/* The units a length is told in where it stands in a sentence or a table: for less than a millimetre a 64th is too
 * coarse, and it is told in decimal inches instead. */
SlLengths sl_lengths_for (SlLengths lengths, double mm);

/* A plain number for people, @places decimals, U+2212 for minus, the given decimal sign. Never writes "−0.00". */
char *sl_plain_format (double value, int places, const char *decimal);

/* A number for people with as many decimals as it needs, U+2212 for minus, in the locale's decimal sign: for messages.
 * Free with g_free(). */
char *sl_plain_shortest (double value);

/* What stands before a number so that its sign, its fraction and its unit keep their order in writing from right to
 * left (UAX #9, W7: after it digits count as letters from left to right): U+200E where the language of the messages is
 * so written, else "". All of the above but messages begin with it. */
const char *sl_number_mark (void);

/* The locale's decimal sign. */
const char *sl_decimal_sign (void);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How the text of an entry for one number is read, and in which words it is refused. */
#pragma once

#include "setup/profile/bounds.h"
#include "setup/profile/units.h"

typedef struct
{
  SlLengths lengths;    /* in which a bare number is read */
  const char *unit;     /* of a plain number; NULL: a length */
  int places;           /* shown */
  const SlBound *bound; /* NULL: any number */
} SlLengthText;

/* The value of @text, as it is kept; or what is wrong with it, to be freed with g_free(). */
char *sl_length_text_read (const SlLengthText *how, const char *text, double *value);

/* Rounded to what is kept. */
double sl_length_kept (double value);

/* The decimals that show @value as it was entered: at least @least, up to three where it has them. */
int sl_places_for (double value, int least);

/* The unit of @lengths, as it stands beside an entry: "mm"; @fine: of what 64ths are too coarse for. */
const char *sl_lengths_unit (SlLengths lengths, gboolean fine);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Controls of an instrument's description, each bound to one number, text or choice of the profile: it follows the
 * bench and changes it through sl_checked_edit(). The reason a change was refused goes to the action
 * SL_COMPLAIN_ACTION of the window around it, as a string. */
#pragma once

#include "bench/bench.h"
#include "setup/profile/schema.h"

#include <gtk/gtk.h>

#define SL_COMPLAIN_ACTION "description.complain"

/* What it is and where it lies is told by the format's own tables (schema.h), and what can be chosen by
 * ui/description.ui. */
typedef struct
{
  const char *element, *attribute; /* as a document spells them: "neck"; of a string: "string", "post", "anchor". A note
                                      is an element, and named like an attribute */
  const char *title;               /* untranslated, with context "field"; names the control and the step */
  int places;                      /* of a number */
  gboolean fine;                   /* too small for 64ths */
  int filled; /* place in SlInstrument of the value that stands in where none is given: a number in its unit (mm), a
                 choice as itself; -1: none is shown */
  gboolean (*applies) (const SlProfile *profile); /* NULL: to every instrument */
} SlDescriptionField;

/* A text, a number with the bound of its element and attribute, a whole number with one, or a choice. */
SlFieldType sl_description_field_type (const SlDescriptionField *field);

/* Whether the instrument, as it is built, has it. */
gboolean sl_field_applies (const SlDescriptionField *field, const SlProfile *profile);

/* The control. @index: of the string, from 1, which goes into the accessible name; 0: of none. */
GtkWidget *sl_field_new (SlBench *bench, const SlDescriptionField *field, int index);

/* The unit its number is shown in, in a label that follows with the control and lives as long; NULL where the control
 * is no number or has no unit. */
GtkWidget *sl_field_new_unit (GtkWidget *control);

/* What its entry says, in a label to pack near it; NULL where the control is no number. */
GtkWidget *sl_field_new_message (GtkWidget *control);

/* A field without a control: its name, of string @index (0: of none), and its value in @profile in words, NULL where
 * none is given. Free with g_free(). */
char *sl_field_name (const SlDescriptionField *field, int index);
char *sl_field_text (const SlProfile *profile, const SlDescriptionField *field, int index, const SlTextStyle *style);

/* A number put into @profile, by its attribute, with the post or anchor of @string where it has none yet. */
void sl_field_put_number (SlProfile *profile, const char *element, const char *attribute, int string, double value);

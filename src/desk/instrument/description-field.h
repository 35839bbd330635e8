/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Controls of an instrument's description, each bound to one number, text or choice of the profile: it follows the
 * bench and changes it through sl_checked_edit(). The reason a change was refused goes to the action
 * SL_COMPLAIN_ACTION of the window around it, as a string. */
#pragma once

#include "bench/bench.h"

#include <gtk/gtk.h>

#define SL_COMPLAIN_ACTION "description.complain"

typedef enum
{
  SL_FIELD_NUMBER, /* an SlNumber with the bound of element and attribute, which also tells where in its struct it lies
                    */
  SL_FIELD_COUNT,  /* an int with the bound of element and attribute, at `offset` */
  SL_FIELD_TEXT,   /* a char * at `offset` */
  SL_FIELD_CHOICE, /* an enum at `offset`, by its values from `first` on */
  SL_FIELD_WRAP    /* a string's wrap, with its build: "plain" where there is none */
} SlFieldKind;

typedef struct
{
  SlFieldKind kind;
  const char *title; /* untranslated, with context "field"; names the control and the step */
  const char
      *element; /* the struct it lies in, by its name in a file: "neck"; of a string: "string", "post", "anchor" */
  const char *attribute; /* of a number or a text */
  gsize offset;
  gboolean required;
  int places;
  gboolean fine;              /* too small for 64ths */
  const char *const *choices; /* untranslated, with context "choice"; ended by NULL */
  int first;
  gboolean (*applies) (const SlProfile *profile); /* NULL: to every instrument */
  gsize filled; /* place in SlInstrument of the value that stands in where none is given: a number in its unit (mm), a
                   choice as itself; 0: none is shown */
} SlField;

/* Whether the instrument, as it is built, has it. */
gboolean sl_field_applies (const SlField *field, const SlProfile *profile);

/* The control. @index: of the string, from 1, which goes into the accessible name; 0: of none. */
GtkWidget *sl_field_new (SlBench *bench, const SlField *field, int index);

/* The unit its number is shown in, in a label that follows with the control and lives as long; NULL where the control
 * is no number or has no unit. */
GtkWidget *sl_field_new_unit (GtkWidget *control);

/* What its entry says, in a label to pack near it; NULL where the control is no number. */
GtkWidget *sl_field_new_message (GtkWidget *control);

/* A field without a control: its name, of string @index (0: of none), and its value in @profile in words, NULL where
 * none is given. Free with g_free(). */
char *sl_field_name (const SlField *field, int index);
char *sl_field_text (const SlProfile *profile, const SlField *field, int index, const SlTextStyle *style);

/* A number put into @profile, by its attribute, with the post or anchor of @string where it has none yet. */
void sl_field_put_number (SlProfile *profile, const char *element, const char *attribute, int string, double value);

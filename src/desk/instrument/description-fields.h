/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which fields an instrument's description has, page by page; and the columns of its tables of strings. */
#pragma once

#include "desk/instrument/description-field.h"

typedef struct
{
  const char *name;  /* of the page, for the stack */
  const char *title; /* untranslated, with context "page" */
  const SlDescriptionField *fields;
  guint n_fields;
  const SlDescriptionField *columns; /* of a table with a row for each string; NULL where the page has none */
  guint n_columns;
  const char *table_title; /* untranslated, with context "page" */
} SlDescriptionPage;

extern const SlDescriptionPage sl_description_pages[];
extern const guint sl_n_description_pages;

/* The one called @name, which there has to be. */
const SlDescriptionPage *sl_description_page (const char *name);

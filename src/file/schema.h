/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The format as tables: which attributes and elements stand in an element, in which order, and where in the profile's
 * structs each is kept. Reading and writing both walk these tables, so that they cannot differ. Private to the file
 * layer. */
#pragma once

#include "setup/profile/bounds.h"

typedef enum
{
  SL_FIELD_TEXT,         /* char * */
  SL_FIELD_NUMBER,       /* SlNumber */
  SL_FIELD_WHOLE,        /* int */
  SL_FIELD_CHOICE,       /* an enum, spelled by a table of names; "" is "not given" */
  SL_FIELD_STRING_NUMBER /* the place of an SlString in the profile */
} SlFieldType;

typedef struct
{
  const char *name;
  SlFieldType type;
  int offset;
  gboolean required;
  const char *const *names; /* of a choice */
  guint refused;            /* bits of choices this element does not take */
} SlField;

typedef enum
{
  SL_STORE_INSIDE,  /* a struct inside its parent's */
  SL_STORE_PARENT,  /* no struct of its own: what it holds is in its parent's */
  SL_STORE_TEXT,    /* a char * in its parent's struct: the element is prose */
  SL_STORE_FIXED,   /* one of a C array in its parent's struct, counted by an int */
  SL_STORE_STRINGS, /* a string, by its number */
  SL_STORE_ARRAY    /* one of a GArray in its parent's struct */
} SlStore;

typedef struct _SlElement SlElement;

typedef struct
{
  const SlElement *element;
  SlStore store;
  int offset;
  int given;  /* offset of a gboolean that tells that the element stood there, or −1 */
  int count;  /* SL_STORE_FIXED: offset of the int that counts */
  gsize size; /* of one of an array */
  void (*init) (gpointer item, int kind);
  int kind; /* what init() makes; the items of one GArray are told apart by it; −1 where all are alike */
  int least, most;
} SlChild;

struct _SlElement
{
  const char *name;
  const SlField *fields;   /* in canonical order, ended by a NULL name */
  const SlChild *children; /* in canonical order, ended by a NULL element */
  gboolean any_order;      /* children stand as the array has them, not grouped by kind */
};

#define SL_ANY_NUMBER G_MAXINT

extern const SlElement sl_element_profile;

/* The field of @element called @name, first looked for at @hint; its place, or −1. */
int sl_element_field (const SlElement *element, const char *name, int hint);

/* The child of @element called @name, first looked for at @hint; its place, or −1. */
int sl_element_child (const SlElement *element, const char *name, int hint);

/* The kind of an item of a GArray of readings or operations (its first member). */
#define SL_ITEM_KIND(item) (*(const int *) (item))

/* The compiled XSD's bytes. */
GBytes *sl_schema_bytes (void);

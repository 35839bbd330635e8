/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The format as tables: which attributes and elements stand in an element, in which order, and where in the profile's
 * structs each is kept. Reading, writing, copying, freeing and the checks of lengths walk these tables, so that they
 * cannot differ. */
#pragma once

#include "setup/profile/profile.h"

typedef enum
{
  SL_FIELD_TEXT,         /* char * */
  SL_FIELD_NUMBER,       /* SlNumber */
  SL_FIELD_WHOLE,        /* int */
  SL_FIELD_CHOICE,       /* an enum, spelled by a table of names; "" is "not given" */
  SL_FIELD_FLAGS,        /* a guint64, the bits of names, or else of fret numbers, with spaces between */
  SL_FIELD_STRING_NUMBER /* the place of an SlString in the profile */
} SlFieldType;

typedef struct
{
  const char *name;
  SlFieldType type;
  gsize offset;
  gboolean required;
  const char *const *names; /* of a choice, of flags */
  guint refused;            /* bits of choices this element does not take */
} SlField;

typedef enum
{
  SL_STORE_INSIDE,  /* a struct inside its parent's */
  SL_STORE_PARENT,  /* no struct of its own: what it holds is in its parent's */
  SL_STORE_TEXT,    /* a char * in its parent's struct: the element is prose */
  SL_STORE_FIXED,   /* one of a C array in its parent's struct, counted by an int */
  SL_STORE_STRINGS, /* the same, placed by its number */
  SL_STORE_ARRAY    /* one of a GArray in its parent's struct */
} SlStore;

/* What the structs of an array are. */
typedef enum
{
  SL_ITEM_PLAIN,
  SL_ITEM_READING,  /* several kinds in one array, told apart by their first member */
  SL_ITEM_OPERATION /* the same */
} SlItem;

typedef struct _SlElement SlElement;

typedef struct
{
  const SlElement *element;
  SlStore store;
  gsize offset;
  gsize given; /* offset of a gboolean that tells that the element stood there, or 0 */
  gsize count; /* offset of the int that counts a C array */
  gsize size;  /* of one of an array */
  SlItem item;
  int kind;             /* of a reading or an operation */
  GDestroyNotify clear; /* frees what an item of a GArray holds; NULL where that is nothing */
  int least, most;
} SlChild;

struct _SlElement
{
  const char *name;
  const SlField *fields;   /* in canonical order, ended by a NULL name */
  const SlChild *children; /* in canonical order, ended by a NULL element; or NULL */
  gboolean any_order;      /* children, all of one array, stand as it has them, not grouped by kind */
};

#define SL_ANY_NUMBER G_MAXINT
#define SL_MOST_CHILDREN 16 /* kinds of children of any element */

/* What is counted of all kinds together, where the document has no element of the name. */
#define SL_ANY_READING "reading"
#define SL_ANY_OPERATION "operation"

extern const SlElement sl_element_profile, sl_element_visit, sl_element_readings, sl_element_plan;

/* Whether the child's array is that of the one before it, of another kind; and what it is counted as in sl_amounts. */
gboolean sl_child_is_shared (const SlElement *element, const SlChild *child);
const char *sl_child_counted (const SlChild *child);

/* Makes a struct that holds nothing what stands for the element with nothing given in it: numbers absent, arrays empty.
 */
void sl_element_init (const SlElement *element, gpointer data);

/* Gives a struct that was copied byte by byte texts and arrays of its own; frees what it holds. */
void sl_element_own (const SlElement *element, gpointer data);
void sl_element_clear (const SlElement *element, gpointer data);

/* Makes one attribute of @to, or all that stands in one child, what it is in @from, a struct of the same element. */
void sl_field_take (const SlField *field, gpointer to, gconstpointer from);
void sl_child_take (const SlChild *child, gpointer to, gconstpointer from);

/* What an item of a GArray is: of readings and operations each kind is an element of its own. */
const SlElement *sl_item_element (const SlChild *child, gconstpointer item);

/* Whether one attribute, what stands in one child, or all of two structs of one element is the same; @loosely: however
 * a number is written. */
gboolean sl_field_same (const SlField *field, gconstpointer a, gconstpointer b, gboolean loosely);
gboolean sl_child_same (const SlChild *child, gconstpointer a, gconstpointer b, gboolean loosely);
gboolean sl_element_same (const SlElement *element, gconstpointer a, gconstpointer b, gboolean loosely);

/* The kind of an item of a GArray of readings or operations. */
#define SL_ITEM_KIND(item) (*(const int *) (item))

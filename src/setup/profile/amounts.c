/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/bounds.h"
#include "setup/profile/schema.h"

#define CHECK_TEXT "character of its checks"

const SlAmount sl_amounts[] = {
#include "amount-rows.h"
};

guint
sl_amount_most (const char *element, const char *of)
{
  const SlAmount *amount = sl_amounts;

  while ((amount->element != NULL && strcmp (amount->element, element) != 0) ||
         (amount->of != NULL && strcmp (amount->of, of) != 0))
    amount++;
  return amount->most;
}

/* ---- whether a profile keeps to them ---- */

static void
fault_free (gpointer data)
{
  SlFault *fault = data;

  g_free (fault->message);
  g_free (fault);
}

void
sl_fault_add (GPtrArray *faults, const void *where, char *complaint)
{
  const SlFault fault = { where, complaint };

  if (complaint != NULL)
    g_ptr_array_add (faults, g_memdup2 (&fault, sizeof fault));
}

void
sl_fault_say (GPtrArray *faults, const void *where, const char *format, ...)
{
  va_list args;

  va_start (args, format);
  sl_fault_add (faults, where, g_strdup_vprintf (format, args));
  va_end (args);
}

static void
check_count (GPtrArray *faults, const void *where, const char *element, const char *of, guint n)
{
  const guint most = sl_amount_most (element, of);

  if (n > most)
    /* Translators: element of the document, how often it has something, and how often it may: "visit: 501 of “check”;
     * at most 500 are accepted" */
    sl_fault_say (faults, where, _ ("%s: %u of “%s”; at most %u are accepted"), element, n, of, most);
}

/* A sentence naming the text, its length and the most, or NULL where it is not longer. */
static char *
text_complaint (const char *element, const char *name, const char *text)
{
  const gulong most = sl_amount_most (element, name), n = text != NULL ? (gulong) g_utf8_strlen (text, -1) : 0;

  if (n <= most)
    return NULL;
  return g_strdup_printf (_ ("%s %s is %lu characters long; at most %lu are accepted"), element, name, n, most);
}

/* What a profile is held to in all its visits together. */
static const char *const in_all[] = { SL_ANY_READING, SL_ANY_OPERATION, "readings", "check", "charge", "photo" };

typedef struct
{
  GPtrArray *faults;
  guint counts[G_N_ELEMENTS (in_all)]; /* so far */
  gulong checked;                      /* characters of the visit's checks */
} Sums;

static void
count (Sums *sums, const char *of, guint n)
{
  for (gsize i = 0; i < G_N_ELEMENTS (in_all); i++)
    sums->counts[i] += g_str_equal (in_all[i], of) ? n : 0;
}

static void
check_text (Sums *sums, const void *where, const char *element, const char *name, const char *text)
{
  sl_fault_add (sums->faults, where, text_complaint (element, name, text));
  sums->checked += g_str_equal (element, "check") && text != NULL ? (gulong) g_utf8_strlen (text, -1) : 0;
}

static void check_element (Sums *sums, const SlElement *element, const char *data);

/* What stands in an array, of one kind: each by itself. */
static void
check_items (Sums *sums, const SlChild *child, const GArray *array)
{
  for (guint i = 0; i < array->len; i++)
    {
      const char *item = array->data + i * child->size;

      if (child->item == SL_ITEM_PLAIN || SL_ITEM_KIND (item) == child->kind)
        check_element (sums, child->element, item);
    }
}

static void
check_child (Sums *sums, const SlElement *element, const SlChild *child, const char *data)
{
  const GArray *array = child->store == SL_STORE_ARRAY ? *(GArray *const *) (data + child->offset) : NULL;

  if (child->store == SL_STORE_TEXT)
    check_text (sums, data, element->name, child->element->name, *(char *const *) (data + child->offset));
  else if (array == NULL)
    check_element (sums, child->element, child->store == SL_STORE_PARENT ? data : data + child->offset);
  else
    {
      if (!sl_child_is_shared (element, child))
        {
          check_count (sums->faults, data, element->name, sl_child_counted (child), array->len);
          count (sums, sl_child_counted (child), array->len);
        }
      check_items (sums, child, array);
    }
}

static void
check_element (Sums *sums, const SlElement *element, const char *data)
{
  const guint before = sums->counts[0];

  /* strings stand in the profile, and are placed by what they have first */
  const char *where =
      element->children != NULL && element->children->store == SL_STORE_STRINGS ? data + element->fields->offset : data;

  for (const SlField *field = element->fields; field->name != NULL; field++)
    if (field->type == SL_FIELD_TEXT)
      check_text (sums, where, element->name, field->name, *(char *const *) (data + field->offset));
  for (const SlChild *child = element->children; child != NULL && child->element != NULL; child++)
    if (child->store != SL_STORE_FIXED && child->store != SL_STORE_STRINGS)
      check_child (sums, element, child, data);
  if (element == &sl_element_visit)
    {
      check_count (sums->faults, data, element->name, SL_ANY_READING, sums->counts[0] - before);
      check_count (sums->faults, data, element->name, CHECK_TEXT, (guint) MIN (sums->checked, G_MAXUINT));
      sums->checked = 0;
    }
}

GPtrArray *
sl_profile_overfull (const SlProfile *profile)
{
  Sums sums = { .faults = g_ptr_array_new_with_free_func (fault_free) };

  check_element (&sums, &sl_element_profile, (const char *) profile);
  for (int i = 0; i < profile->n_strings; i++)
    check_text (&sums, &profile->strings[i], "string", "note", profile->strings[i].note);
  for (gsize i = 0; i < G_N_ELEMENTS (in_all); i++)
    check_count (sums.faults, profile, "profile", in_all[i], sums.counts[i]);
  return sums.faults;
}

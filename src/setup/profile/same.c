/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Whether two structs of the format say the same. */
#include <string.h>

#include "setup/profile/schema.h"

gboolean
sl_field_same (const SlField *field, gconstpointer a, gconstpointer b, gboolean loosely)
{
  const void *const x = (const char *) a + field->offset, *const y = (const char *) b + field->offset;
  const SlNumber *n = x, *m = y;
  char first[SL_NUMBER_CHARS], second[SL_NUMBER_CHARS];

  switch (field->type)
    {
    case SL_FIELD_TEXT: return g_strcmp0 (*(char *const *) x, *(char *const *) y) == 0;
    case SL_FIELD_FLAGS: return *(const guint64 *) x == *(const guint64 *) y;
    case SL_FIELD_STRING_NUMBER: return TRUE;
    case SL_FIELD_NUMBER:
      if (!sl_number_is_set (*n) || !sl_number_is_set (*m))
        return sl_number_is_set (*n) == sl_number_is_set (*m);
      return n->v == m->v && (loosely || g_str_equal (sl_number_format (*n, first), sl_number_format (*m, second)));
    case SL_FIELD_WHOLE:
    case SL_FIELD_CHOICE:
    default: return *(const int *) x == *(const int *) y;
    }
}

const SlElement *
sl_item_element (const SlChild *child, gconstpointer item)
{
  while (child->item != SL_ITEM_PLAIN && SL_ITEM_KIND (item) != child->kind)
    child++;
  return child->element;
}

static gboolean
same_items (const SlChild *child, const char *a, const char *b, guint n, gboolean loosely)
{
  for (; n > 0; n--, a += child->size, b += child->size)
    if ((child->item != SL_ITEM_PLAIN && SL_ITEM_KIND (a) != SL_ITEM_KIND (b)) ||
        !sl_element_same (sl_item_element (child, a), a, b, loosely))
      return FALSE;
  return TRUE;
}

gboolean
sl_child_same (const SlChild *child, gconstpointer a, gconstpointer b, gboolean loosely)
{
  const char *x = (const char *) a + child->offset, *y = (const char *) b + child->offset;
  const GArray *const *first = (gconstpointer) x, *const *second = (gconstpointer) y;

  if (child->given > 0 && !G_STRUCT_MEMBER (gboolean, a, child->given) != !G_STRUCT_MEMBER (gboolean, b, child->given))
    return FALSE;
  switch (child->store)
    {
    case SL_STORE_INSIDE: return sl_element_same (child->element, x, y, loosely);
    case SL_STORE_PARENT: return sl_element_same (child->element, a, b, loosely);
    case SL_STORE_TEXT: return g_strcmp0 (*(char *const *) (gconstpointer) x, *(char *const *) (gconstpointer) y) == 0;
    case SL_STORE_ARRAY:
      return (*first)->len == (*second)->len &&
             same_items (child, (*first)->data, (*second)->data, (*first)->len, loosely);
    case SL_STORE_FIXED:
    case SL_STORE_STRINGS:
    default:
      return G_STRUCT_MEMBER (int, a, child->count) == G_STRUCT_MEMBER (int, b, child->count) &&
             same_items (child, x, y, (guint) G_STRUCT_MEMBER (int, a, child->count), loosely);
    }
}

gboolean
sl_element_same (const SlElement *element, gconstpointer a, gconstpointer b, gboolean loosely)
{
  for (const SlField *field = element->fields; field->name != NULL; field++)
    if (!sl_field_same (field, a, b, loosely))
      return FALSE;
  for (const SlChild *child = element->children; child != NULL && child->element != NULL; child++)
    if (!sl_child_is_shared (element, child) && !sl_child_same (child, a, b, loosely))
      return FALSE;
  return TRUE;
}

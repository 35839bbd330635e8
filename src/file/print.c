/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The canonical bytes of a profile: attributes and elements in the order of the tables, two spaces a level, one element
 * a line. */
#include "file/document.h"
#include "setup/profile/schema.h"

#include <libxml/parserInternals.h>
#include <libxml/tree.h>

#define REPLACEMENT 0xFFFD /* for what XML 1.0 can't hold at all */

static char *
fit_for_xml (const char *text)
{
  g_autofree char *valid = g_utf8_make_valid (text, -1);
  GString *fit = g_string_new (NULL);
  for (const char *p = valid; *p != '\0'; p = g_utf8_next_char (p))
    {
      gunichar c = g_utf8_get_char (p);
      g_string_append_unichar (fit, IS_CHAR (c) ? c : REPLACEMENT);
    }
  return g_string_free (fit, FALSE);
}

/* The names of bits that are set, or fret numbers; NULL where none is. */
static char *
flags_text (const SlField *field, guint64 bits)
{
  GString *text = g_string_new (NULL);
  for (int i = 0; bits >> i != 0; i++)
    if (bits >> i & 1)
      {
        g_string_append (text, text->len > 0 ? " " : "");
        if (field->names != NULL)
          g_string_append (text, field->names[i]);
        else
          g_string_append_printf (text, "%d", i);
      }
  return g_string_free (text, text->len == 0);
}

/* The text of a field as the document spells it, NULL where it was not given; free with g_free(). */
static char *
field_text (const SlField *field, const char *data, int place)
{
  const void *at = data + field->offset;
  const char *text;
  char buffer[SL_NUMBER_CHARS];
  switch (field->type)
    {
    case SL_FIELD_TEXT:
      text = *(char *const *) at;
      return text != NULL ? fit_for_xml (text) : field->required ? g_strdup ("") : NULL;
    case SL_FIELD_NUMBER:
      return sl_number_is_set (*(const SlNumber *) at) ? g_strdup (sl_number_format (*(const SlNumber *) at, buffer))
                                                       : NULL;
    case SL_FIELD_WHOLE:
      return *(const int *) at != 0 || field->required ? g_strdup_printf ("%d", *(const int *) at) : NULL;
    case SL_FIELD_CHOICE: text = field->names[*(const int *) at]; return *text != '\0' ? g_strdup (text) : NULL;
    case SL_FIELD_FLAGS: return flags_text (field, *(const guint64 *) at);
    case SL_FIELD_STRING_NUMBER:
    default: return g_strdup_printf ("%d", place + 1);
    }
}

/* How many of a child stand in @parent; @items: the first. */
static int
count_items (const SlChild *child, const char *parent, const char **items)
{
  *items = child->store == SL_STORE_PARENT ? parent : parent + child->offset;
  switch (child->store)
    {
    case SL_STORE_FIXED:
    case SL_STORE_STRINGS: return *(const int *) (parent + child->count);
    case SL_STORE_ARRAY:
      {
        const GArray *array = *(GArray *const *) *items;
        *items = array->data;
        return (int) array->len;
      }
    default: return 1;
    }
}

static xmlNode *make_element (const SlElement *element, const char *data, int place);

/* Adds the element of @item, the @place-th of its kind in @parent. One that need not stand is left out where it did not
 * stand before and has nothing to say. */
static void
add_item (xmlNode *node, const SlChild *child, const char *parent, const char *item, int place)
{
  xmlNode *made = make_element (child->element, item, place);
  gboolean optional = child->size == 0 && child->least == 0;
  gboolean given = child->given > 0 && *(const gboolean *) (parent + child->given);
  if (optional && !given && made->properties == NULL && made->children == NULL)
    xmlFreeNode (made);
  else
    xmlAddChild (node, made);
}

static void
add_prose (xmlNode *node, const char *name, const char *text)
{
  g_autofree char *fit = text != NULL ? fit_for_xml (text) : NULL;
  if (fit != NULL)
    xmlNewTextChild (node, NULL, BAD_CAST name, *fit != '\0' ? BAD_CAST fit : NULL);
}

static void
add_children (xmlNode *node, const SlElement *element, const char *data)
{
  for (const SlChild *child = element->children; child != NULL && child->element != NULL; child++)
    {
      const char *items;
      int n = count_items (child, data, &items);
      if (child->store == SL_STORE_TEXT)
        add_prose (node, child->element->name, *(char *const *) items);
      else
        for (int i = 0; i < n; i++, items += child->size)
          {
            const SlChild *one = child;
            while (element->any_order && SL_ITEM_KIND (items) != one->kind)
              one++;
            if (one->item < SL_ITEM_READING || SL_ITEM_KIND (items) == one->kind)
              add_item (node, one, data, items, i);
          }
      if (element->any_order)
        break; /* the first child's array was that of all */
    }
}

static xmlNode *
make_element (const SlElement *element, const char *data, int place)
{
  xmlNode *node = xmlNewNode (NULL, BAD_CAST element->name);
  for (const SlField *field = element->fields; field->name != NULL; field++)
    {
      g_autofree char *text = field_text (field, data, place);
      if (text != NULL)
        xmlNewProp (node, BAD_CAST field->name, BAD_CAST text);
    }
  add_children (node, element, data);
  return node;
}

GBytes *
sl_document_print (const SlProfile *profile)
{
  xmlDoc *doc = xmlNewDoc (BAD_CAST "1.0");
  xmlNode *root = make_element (&sl_element_profile, (const char *) profile, 0);
  xmlChar *text;
  int length;
  xmlNewNs (root, BAD_CAST SL_DOCUMENT_NAMESPACE, NULL);
  xmlDocSetRootElement (doc, root);
  xmlDocDumpFormatMemoryEnc (doc, &text, &length, "UTF-8", 1);
  xmlFreeDoc (doc);
  return g_bytes_new_with_free_func (text, (gsize) length, (GDestroyNotify) xmlFree, text);
}

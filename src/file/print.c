/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The canonical bytes of a profile: attributes and elements in the order of the tables, two spaces a level, one element
 * a line. */
#include "file/document.h"
#include "file/schema.h"

#include <string.h>

#define INDENT 2
#define REPLACEMENT "\xef\xbf\xbd" /* U+FFFD, for what XML 1.0 can't hold at all */

/* What one character must be written as: "" as it is, NULL not at all. */
static const char *
escape (gunichar c, gboolean attribute)
{
  switch (c)
    {
    case '&': return "&amp;";
    case '<': return "&lt;";
    case '>': return "&gt;";
    case '\r': return "&#13;";
    case '"': return attribute ? "&quot;" : "";
    case '\t': return attribute ? "&#9;" : "";
    case '\n': return attribute ? "&#10;" : "";
    default: return c < ' ' || c == 0xFFFE || c == 0xFFFF ? REPLACEMENT : "";
    }
}

static void
append_text (GString *out, const char *text, gboolean attribute)
{
  g_autofree char *valid = g_utf8_validate (text, -1, NULL) ? NULL : g_utf8_make_valid (text, -1);
  for (const char *p = valid != NULL ? valid : text; *p != '\0'; p = g_utf8_next_char (p))
    {
      const char *written = escape (g_utf8_get_char (p), attribute);
      if (*written != '\0')
        g_string_append (out, written);
      else
        g_string_append_len (out, p, g_utf8_next_char (p) - p);
    }
}

/* The text of a field as the document spells it, NULL where it was not given. @buffer takes SL_NUMBER_CHARS. */
static const char *
field_text (const SlField *field, const char *data, int place, char *buffer)
{
  const void *at = data + field->offset;
  switch (field->type)
    {
    case SL_FIELD_TEXT: return *(char *const *) at;
    case SL_FIELD_NUMBER:
      return sl_number_is_set (*(const SlNumber *) at) ? sl_number_format (*(const SlNumber *) at, buffer) : NULL;
    case SL_FIELD_WHOLE: g_snprintf (buffer, SL_NUMBER_CHARS, "%d", *(const int *) at); return buffer;
    case SL_FIELD_CHOICE:
      {
        const char *name = field->names[*(const int *) at];
        return *name != '\0' ? name : NULL;
      }
    case SL_FIELD_STRING_NUMBER:
    default: g_snprintf (buffer, SL_NUMBER_CHARS, "%d", place + 1); return buffer;
    }
}

static void
append_attribute (GString *out, const char *name, const char *text)
{
  g_string_append_c (out, ' ');
  g_string_append (out, name);
  g_string_append (out, "=\"");
  append_text (out, text, TRUE);
  g_string_append_c (out, '"');
}

static void
append_indent (GString *out, int depth)
{
  for (int i = 0; i < depth * INDENT; i++)
    g_string_append_c (out, ' ');
}

static void print_element (GString *out, const SlElement *element, const char *data, int place, int depth);

static void
print_prose (GString *out, const char *name, const char *text, int depth)
{
  append_indent (out, depth);
  if (*text == '\0')
    {
      g_string_append_printf (out, "<%s/>\n", name);
      return;
    }
  g_string_append_printf (out, "<%s>", name);
  append_text (out, text, FALSE);
  g_string_append_printf (out, "</%s>\n", name);
}

/* Whether an optional element has anything to say although nobody marked it as given. */
static gboolean
has_content (const SlChild *child, const char *data)
{
  char buffer[SL_NUMBER_CHARS];
  for (const SlField *field = child->element->fields; field != NULL && field->name != NULL; field++)
    if (field_text (field, data, 0, buffer) != NULL)
      return TRUE;
  for (const SlChild *inner = child->element->children; inner != NULL && inner->element != NULL; inner++)
    {
      if (inner->store == SL_STORE_FIXED && *(const int *) (data + inner->count) > 0)
        return TRUE;
      if (inner->store == SL_STORE_ARRAY && (*(GArray *const *) (data + inner->offset))->len > 0)
        return TRUE;
    }
  return FALSE;
}

static gboolean
stands (const SlChild *child, const char *parent, const char *data)
{
  return child->least > 0 || (child->given >= 0 && *(const gboolean *) (parent + child->given)) ||
         has_content (child, data);
}

static void
print_array (GString *out, const SlChild *child, const char *parent, int depth)
{
  const GArray *array = *(GArray *const *) (parent + child->offset);
  for (guint i = 0; i < array->len; i++)
    {
      const char *item = array->data + i * child->size;
      if (child->kind < 0 || SL_ITEM_KIND (item) == child->kind)
        print_element (out, child->element, item, (int) i, depth);
    }
}

static void
print_child (GString *out, const SlChild *child, const char *parent, int depth)
{
  const char *at = parent + child->offset;
  switch (child->store)
    {
    case SL_STORE_INSIDE:
      if (stands (child, parent, at))
        print_element (out, child->element, at, 0, depth);
      break;
    case SL_STORE_PARENT:
      if (stands (child, parent, parent))
        print_element (out, child->element, parent, 0, depth);
      break;
    case SL_STORE_TEXT:
      if (*(char *const *) at != NULL)
        print_prose (out, child->element->name, *(char *const *) at, depth);
      break;
    case SL_STORE_FIXED:
      for (int i = 0; i < *(const int *) (parent + child->count); i++)
        print_element (out, child->element, at + (gsize) i * child->size, i, depth);
      break;
    case SL_STORE_STRINGS:
      for (int i = 0; i < ((const SlProfile *) parent)->n_strings; i++)
        print_element (out, child->element, (const char *) &((const SlProfile *) parent)->strings[i], i, depth);
      break;
    case SL_STORE_ARRAY:
    default: print_array (out, child, parent, depth); break;
    }
}

/* Children of one array in the array's own order, whatever their kinds. */
static void
print_mixed (GString *out, const SlElement *element, const char *data, int depth)
{
  const SlChild *children = element->children;
  const GArray *array = *(GArray *const *) (data + children->offset);
  for (guint i = 0; i < array->len; i++)
    {
      const char *item = array->data + i * children->size;
      for (const SlChild *child = children; child->element != NULL; child++)
        if (SL_ITEM_KIND (item) == child->kind)
          print_element (out, child->element, item, (int) i, depth);
    }
}

static void
print_element (GString *out, const SlElement *element, const char *data, int place, int depth)
{
  char buffer[SL_NUMBER_CHARS];
  append_indent (out, depth);
  g_string_append_c (out, '<');
  g_string_append (out, element->name);
  if (depth == 0)
    append_attribute (out, "xmlns", SL_DOCUMENT_NAMESPACE);
  for (const SlField *field = element->fields; field != NULL && field->name != NULL; field++)
    {
      const char *text = field_text (field, data, place, buffer);
      if (text == NULL && field->required && field->type == SL_FIELD_TEXT)
        text = "";
      if (text != NULL)
        append_attribute (out, field->name, text);
    }
  gsize head = out->len;
  g_string_append (out, ">\n");
  gsize body = out->len;
  if (element->any_order)
    print_mixed (out, element, data, depth + 1);
  else
    for (const SlChild *child = element->children; child != NULL && child->element != NULL; child++)
      print_child (out, child, data, depth + 1);
  if (out->len == body)
    {
      g_string_truncate (out, head);
      g_string_append (out, "/>\n");
      return;
    }
  append_indent (out, depth);
  g_string_append_printf (out, "</%s>\n", element->name);
}

GBytes *
sl_document_print (const SlProfile *profile)
{
  GString *out = g_string_sized_new (4096);
  g_string_append (out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
  print_element (out, &sl_element_profile, (const char *) profile, 0, 0);
  return g_string_free_to_bytes (out);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From the tree to the profile, by the tables of schema.h. The XSD says whether a document is valid; this says in plain
 * words what is wrong, and refuses what an XSD lets pass (attributes of other namespaces, numbers that are none). */
#include "file/reader.h"
#include "file/schema.h"

#include <glib/gi18n-lib.h>
#include <string.h>

typedef struct
{
  GPtrArray *faults;
  SlProfile *profile;
  gboolean whole;
  guint strings_seen; /* bits of string numbers */
  int n_strings;      /* string elements */
} Converter;

static void read_element (Converter *c, const xmlNode *node, const SlElement *element, char *data);

static const char *
node_name (const xmlNode *node)
{
  return (const char *) node->name;
}

/* A value, without a copy where the tree has it in one piece. */
static const char *
attribute_value (const xmlAttr *attribute, char **owned)
{
  const xmlNode *text = attribute->children;
  *owned = NULL;
  if (text == NULL)
    return "";
  if (text->type == XML_TEXT_NODE && text->next == NULL)
    return (const char *) text->content;
  xmlChar *joined = xmlNodeListGetString (attribute->doc, attribute->children, 1);
  *owned = g_strdup (joined != NULL ? (const char *) joined : "");
  xmlFree (joined);
  return *owned;
}

/* "plain, wound" */
static char *
choices (const SlField *field)
{
  g_autoptr (GString) text = g_string_new (NULL);
  for (int i = 0; field->names[i] != NULL; i++)
    {
      if (*field->names[i] == '\0' || (field->refused & (1u << i)))
        continue;
      if (text->len > 0)
        g_string_append (text, ", ");
      g_string_append (text, field->names[i]);
    }
  return g_string_free (g_steal_pointer (&text), FALSE);
}

static void
refuse_value (Converter *c, const xmlNode *node, const SlField *field, const char *value)
{
  g_autofree char *shown = sl_shown (value);
  int line = sl_node_line (node);
  c->whole = FALSE;
  if (field->type == SL_FIELD_CHOICE)
    {
      g_autofree char *accepted = choices (field);
      sl_faults_add (c->faults, line, _ ("%s %s “%s” is not known; accepted are %s"), node_name (node), field->name,
                     shown, accepted);
      return;
    }
  const SlBound *bound = sl_bound_find (node_name (node), field->name);
  g_autofree char *range = bound != NULL ? sl_bound_range (bound) : NULL;
  if (field->type == SL_FIELD_NUMBER && range != NULL)
    sl_faults_add (c->faults, line, _ ("%s %s “%s” is not a number from %s"), node_name (node), field->name, shown,
                   range);
  else if (range != NULL)
    sl_faults_add (c->faults, line, _ ("%s %s “%s” is not a whole number from %s"), node_name (node), field->name,
                   shown, range);
  else
    sl_faults_add (c->faults, line, _ ("%s %s “%s” is not a whole number"), node_name (node), field->name, shown);
}

static gboolean
read_whole (const char *value, int *out)
{
  const char *digits = *value == '-' ? value + 1 : value;
  gsize n = strspn (digits, "0123456789");
  if (n == 0 || n > 9 || digits[n] != '\0')
    return FALSE;
  *out = (int) g_ascii_strtoll (value, NULL, 10);
  return TRUE;
}

static gboolean
read_choice (const SlField *field, const char *value, int *out)
{
  for (int i = 0; field->names[i] != NULL; i++)
    if (*value != '\0' && strcmp (value, field->names[i]) == 0 && !(field->refused & (1u << i)))
      {
        *out = i;
        return TRUE;
      }
  return FALSE;
}

static void
read_field (Converter *c, const xmlNode *node, const SlField *field, const char *value, char *data)
{
  void *at = data + field->offset;
  int number;
  gboolean read = TRUE;
  switch (field->type)
    {
    case SL_FIELD_TEXT:
      g_free (*(char **) at);
      *(char **) at = g_strdup (value);
      break;
    case SL_FIELD_NUMBER: read = sl_number_parse (value, at); break;
    case SL_FIELD_WHOLE: read = read_whole (value, at); break;
    case SL_FIELD_CHOICE: read = read_choice (field, value, at); break;
    case SL_FIELD_STRING_NUMBER: /* read before, to find the struct */
    default: read = read_whole (value, &number); break;
    }
  if (!read)
    refuse_value (c, node, field, value);
}

static void
read_attributes (Converter *c, const xmlNode *node, const SlElement *element, char *data)
{
  guint seen = 0;
  int hint = 0;
  for (const xmlAttr *attribute = node->properties; attribute != NULL; attribute = attribute->next)
    {
      const char *name = (const char *) attribute->name;
      int place = attribute->ns == NULL ? sl_element_field (element, name, hint) : -1;
      if (place < 0)
        {
          const char *prefix = attribute->ns != NULL ? (const char *) attribute->ns->prefix : NULL;
          g_autofree char *full = g_strconcat (prefix != NULL ? prefix : "", prefix != NULL ? ":" : "", name, NULL);
          g_autofree char *shown = sl_shown (full);
          sl_faults_add (c->faults, sl_node_line (node), _ ("<%s> has no attribute “%s”"), element->name, shown);
          continue;
        }
      g_autofree char *owned = NULL;
      const char *value = attribute_value (attribute, &owned);
      read_field (c, node, &element->fields[place], value, data);
      seen |= 1u << place;
      hint = place + 1;
    }
  for (int i = 0; element->fields != NULL && element->fields[i].name != NULL; i++)
    if (element->fields[i].required && !(seen & (1u << i)))
      {
        sl_faults_add (c->faults, sl_node_line (node), _ ("<%s> must have the attribute “%s”"), element->name,
                       element->fields[i].name);
        c->whole = FALSE;
      }
}

/* Prose: exactly as it is. */
static void
read_prose (Converter *c, const xmlNode *node, const SlElement *element, char **text)
{
  read_attributes (c, node, element, NULL);
  g_autoptr (GString) prose = g_string_new (NULL);
  for (const xmlNode *child = node->children; child != NULL; child = child->next)
    {
      if (child->type != XML_ELEMENT_NODE)
        {
          g_string_append (prose, child->content != NULL ? (const char *) child->content : "");
          continue;
        }
      g_autofree char *shown = sl_shown (node_name (child));
      sl_faults_add (c->faults, sl_node_line (child), _ ("<%s> is not known in <%s>, which holds text only"), shown,
                     element->name);
    }
  g_free (*text);
  *text = g_string_free (g_steal_pointer (&prose), FALSE);
}

/* The struct of the string a node numbers; @spare where the number leads nowhere. */
static SlString *
string_of (Converter *c, const xmlNode *node, SlString *spare)
{
  int number;
  xmlChar *value = xmlGetNoNsProp ((xmlNode *) node, (const xmlChar *) "number");
  gboolean read = value != NULL && read_whole ((const char *) value, &number);
  xmlFree (value);
  c->n_strings++;
  if (!read) /* said where the attributes are read */
    return spare;
  if (number < 1 || number > SL_MAX_STRINGS)
    {
      g_autofree char *complaint = sl_bound_complaint (sl_bound_find ("string", "number"), number);
      sl_faults_add (c->faults, sl_node_line (node), "%s", complaint);
      c->whole = FALSE;
      return spare;
    }
  if (c->strings_seen & (1u << number))
    {
      sl_faults_add (c->faults, sl_node_line (node), _ ("string number %d appears more than once"), number);
      c->whole = FALSE;
      return spare;
    }
  c->strings_seen |= 1u << number;
  c->profile->n_strings = MAX (c->profile->n_strings, number);
  return &c->profile->strings[number - 1];
}

static void
read_string (Converter *c, const xmlNode *node, const SlElement *element)
{
  SlString spare = { .frequency = SL_NUMBER_ABSENT,
                     .core_diameter = SL_NUMBER_ABSENT,
                     .wrap_diameter = SL_NUMBER_ABSENT,
                     .unit_mass = SL_NUMBER_ABSENT };
  SlString *string = string_of (c, node, &spare);
  read_element (c, node, element, (char *) string);
  g_free (spare.note);
}

static void
check_string_numbers (Converter *c, const xmlNode *strings)
{
  for (int number = 1; number <= c->profile->n_strings; number++)
    if (!(c->strings_seen & (1u << number)))
      {
        sl_faults_add (c->faults, sl_node_line (strings),
                       _ ("string number %d is missing: strings are numbered from 1 without a gap"), number);
        c->whole = FALSE;
      }
}

static void
read_child (Converter *c, const xmlNode *node, const SlChild *child, char *parent)
{
  char *at = parent + child->offset;
  if (child->given >= 0)
    *(gboolean *) (parent + child->given) = TRUE;
  switch (child->store)
    {
    case SL_STORE_INSIDE: read_element (c, node, child->element, at); break;
    case SL_STORE_PARENT:
      read_element (c, node, child->element, parent);
      if (child->element->children->store == SL_STORE_STRINGS)
        check_string_numbers (c, node);
      break;
    case SL_STORE_TEXT: read_prose (c, node, child->element, (char **) at); break;
    case SL_STORE_FIXED:
      read_element (c, node, child->element, at + child->size * (gsize) (*(int *) (parent + child->count))++);
      break;
    case SL_STORE_STRINGS: read_string (c, node, child->element); break;
    case SL_STORE_ARRAY:
    default:
      {
        GArray *array = *(GArray **) at;
        guint place = array->len;
        g_array_set_size (array, place + 1);
        child->init (array->data + place * child->size, child->kind);
        read_element (c, node, child->element, array->data + place * child->size);
        break;
      }
    }
}

/* Whether a child may stand where it does; says so where not. @last is the place of the child before it, @times how
 * often this one has stood. */
static gboolean
check_place (Converter *c, const xmlNode *node, const SlElement *element, int place, int last, int times)
{
  const SlChild *child = &element->children[place];
  if (times >= child->most)
    {
      sl_faults_add (c->faults, sl_node_line (node),
                     child->most == 1 ? _ ("<%s> appears more than once in <%s>") : _ ("too many <%s> in <%s>"),
                     child->element->name, element->name);
      c->whole = FALSE;
      return FALSE;
    }
  if (!element->any_order && place < last)
    sl_faults_add (c->faults, sl_node_line (node), _ ("<%s> must come before <%s>"), child->element->name,
                   element->children[last].element->name);
  return TRUE;
}

#define MOST_CHILDREN 16 /* kinds of children of any element */

static void
read_children (Converter *c, const xmlNode *node, const SlElement *element, char *data)
{
  int times[MOST_CHILDREN] = { 0 }, last = 0;
  for (const xmlNode *child = node->children; child != NULL; child = child->next)
    {
      if (child->type != XML_ELEMENT_NODE)
        continue;
      gboolean ours = child->ns != NULL && g_strcmp0 ((const char *) child->ns->href, SL_DOCUMENT_NAMESPACE) == 0;
      int place = ours ? sl_element_child (element, node_name (child), last) : -1;
      if (place < 0)
        {
          g_autofree char *shown = sl_shown (node_name (child));
          sl_faults_add (c->faults, sl_node_line (child), _ ("<%s> is not known in <%s>"), shown, element->name);
          continue;
        }
      if (!check_place (c, child, element, place, last, times[place]))
        continue;
      times[place]++;
      last = MAX (last, place);
      read_child (c, child, &element->children[place], data);
    }
  for (int i = 0; element->children != NULL && element->children[i].element != NULL; i++)
    if (times[i] < element->children[i].least)
      {
        sl_faults_add (c->faults, sl_node_line (node), _ ("<%s> must have <%s>"), element->name,
                       element->children[i].element->name);
        c->whole = FALSE;
      }
}

static void
read_element (Converter *c, const xmlNode *node, const SlElement *element, char *data)
{
  read_attributes (c, node, element, data);
  read_children (c, node, element, data);
}

SlProfile *
sl_convert (const xmlNode *root, GPtrArray *faults, gboolean *whole)
{
  Converter c = { faults, sl_profile_new (), TRUE, 0, 0 };
  const char *space = root->ns != NULL ? (const char *) root->ns->href : "";
  if (strcmp (node_name (root), sl_element_profile.name) != 0 || strcmp (space, SL_DOCUMENT_NAMESPACE) != 0)
    {
      g_autofree char *name = sl_shown (node_name (root));
      g_autofree char *shown = sl_shown (space);
      sl_faults_add (faults, sl_node_line (root), _ ("the document is <%s> of the namespace “%s”, not <profile> of %s"),
                     name, shown, SL_DOCUMENT_NAMESPACE);
      c.whole = FALSE;
    }
  else
    read_element (&c, root, &sl_element_profile, (char *) c.profile);
  *whole = c.whole;
  return c.profile;
}

/* The struct inside @data that the child element @node was read into; @counts holds how many of each array came before
 * it. */
static const char *
struct_of (const xmlNode *node, const SlElement *element, int place, const char *data, guint *counts)
{
  const SlChild *child = &element->children[place];
  const char *at = data + child->offset;
  int first = place; /* the kinds that share an array are counted together */
  while (first > 0 && element->children[first - 1].store == child->store &&
         element->children[first - 1].offset == child->offset)
    first--;
  switch (child->store)
    {
    case SL_STORE_INSIDE:
    case SL_STORE_PARENT: return at;
    case SL_STORE_FIXED: return at + counts[first]++ * child->size;
    case SL_STORE_ARRAY: return (*(GArray *const *) at)->data + counts[first]++ * child->size;
    case SL_STORE_STRINGS:
      {
        xmlChar *value = xmlGetNoNsProp ((xmlNode *) node, (const xmlChar *) "number");
        int number = 0;
        gboolean read =
            value != NULL && read_whole ((const char *) value, &number) && number >= 1 && number <= SL_MAX_STRINGS;
        xmlFree (value);
        return read ? (const char *) &((const SlProfile *) data)->strings[number - 1] : NULL;
      }
    case SL_STORE_TEXT:
    default: return NULL;
    }
}

/* The element behind @where, which lies in @data or below it; NULL where it does not. */
static const xmlNode *
find_where (const xmlNode *node, const SlElement *element, const char *data, const void *where)
{
  guint counts[MOST_CHILDREN] = { 0 };
  if ((const void *) data == where)
    return node;
  for (const xmlNode *child = node->children; child != NULL && element->children != NULL; child = child->next)
    {
      int place = child->type == XML_ELEMENT_NODE ? sl_element_child (element, node_name (child), 0) : -1;
      if (place < 0)
        continue;
      const char *below = struct_of (child, element, place, data, counts);
      const xmlNode *found = below != NULL ? find_where (child, element->children[place].element, below, where) : NULL;
      if (found != NULL)
        return found;
    }
  return NULL;
}

int
sl_where_line (const xmlNode *root, const SlProfile *profile, const void *where)
{
  const xmlNode *node = find_where (root, &sl_element_profile, (const char *) profile, where);
  return node != NULL ? sl_node_line (node) : sl_node_line (root);
}

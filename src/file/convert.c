/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From the tree to the profile, by the tables of schema.h. The XSD says whether a document is valid; this says in plain
 * words what is wrong, and refuses what an XSD lets pass (attributes of other namespaces, numbers that are none). */
#include "file/document-private.h"
#include "setup/profile/schema.h"

#include "setup/profile/bounds.h"

typedef struct
{
  GPtrArray *faults;
  SlProfile *profile;
  gboolean whole;
  int string_number;  /* of the string read last, or NO_NUMBER */
  guint strings_seen; /* bits of string numbers */
  GArray *places;     /* of Place */
} Converter;

/* Where an element's struct lies. Arrays move while they grow. */
typedef struct
{
  const GArray *array; /* NULL: @at is its address */
  gsize at;            /* in the array */
  int line;
} Place;

#define NO_NUMBER G_MININT

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
  const SlBound *bound = sl_bound_find (node_name (node), field->name);
  g_autofree char *shown = sl_shown (value);
  const gboolean flags = field->type == SL_FIELD_FLAGS;
  g_autofree char *accepted = field->names != NULL ? choices (field)
                              : flags              ? sl_bound_range (&(SlBound){ .least = 1, .most = SL_MAX_FRETS })
                              : bound != NULL      ? sl_bound_range (bound)
                                                   : NULL;
  const char *format = field->type == SL_FIELD_CHOICE  ? _ ("%s %s “%s” is not known; accepted are %s")
                       : flags && field->names != NULL ? _ ("%s %s “%s” is not a list, each name once, of %s")
                       : flags ? _ ("%s %s “%s” is not a list of fret numbers from %s, each once, such as 9 10")
                       : accepted == NULL               ? _ ("%s %s “%s” is not a whole number")
                       : field->type == SL_FIELD_NUMBER ? _ ("%s %s “%s” is not a number from %s")
                                                        : _ ("%s %s “%s” is not a whole number from %s");
  c->whole = FALSE;
  sl_faults_add (c->faults, sl_node_line (node), format, node_name (node), field->name, shown, accepted);
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

/* Names, or fret numbers, with spaces between, each once. */
static gboolean
read_flags (const SlField *field, const char *value, guint64 *bits)
{
  g_auto (GStrv) words = g_strsplit (value, " ", -1);
  *bits = 0;
  for (char **word = words; *word != NULL; word++)
    {
      int i;
      gboolean known =
          field->names != NULL ? read_choice (field, *word, &i) : read_whole (*word, &i) && i >= 0 && i <= SL_MAX_FRETS;
      if (!known || *bits >> i & 1)
        return FALSE;
      *bits |= G_GUINT64_CONSTANT (1) << i;
    }
  return *bits != 0;
}

static void
read_field (Converter *c, const xmlNode *node, const SlField *field, const char *value, char *data)
{
  void *at = data + field->offset;
  gboolean read = TRUE;
  switch (field->type)
    {
    case SL_FIELD_TEXT:
      g_free (*(char **) at);
      *(char **) at = g_strdup (value);
      break;
    case SL_FIELD_NUMBER: read = sl_number_parse (value, at); break;
    /* 0 stands for not given where nothing need be */
    case SL_FIELD_WHOLE: read = read_whole (value, at) && (field->required || *(int *) at != 0); break;
    case SL_FIELD_CHOICE: read = read_choice (field, value, at); break;
    case SL_FIELD_FLAGS: read = read_flags (field, value, at); break;
    case SL_FIELD_STRING_NUMBER:
    default: read = read_whole (value, &c->string_number); break;
    }
  if (!read)
    refuse_value (c, node, field, value);
}

/* The place of the field called @name, or −1. */
static int
find_field (const SlElement *element, const char *name)
{
  for (int i = 0; element->fields[i].name != NULL; i++)
    if (strcmp (element->fields[i].name, name) == 0)
      return i;
  return -1;
}

static void
read_attributes (Converter *c, const xmlNode *node, const SlElement *element, char *data)
{
  guint seen = 0;
  for (const xmlAttr *attribute = node->properties; attribute != NULL; attribute = attribute->next)
    {
      const char *name = (const char *) attribute->name;
      int place = attribute->ns == NULL ? find_field (element, name) : -1;
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
    }
  for (int i = 0; element->fields[i].name != NULL; i++)
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

/* Makes the struct of an element with nothing given in it. */
static void
init_item (const SlChild *child, void *item)
{
  switch (child->item)
    {
    case SL_ITEM_READING: *(SlReading *) item = sl_reading_init ((SlReadingKind) child->kind); break;
    case SL_ITEM_OPERATION: *(SlOperation *) item = sl_operation_init ((SlOperationKind) child->kind); break;
    case SL_ITEM_PLAIN:
    default: memset (item, 0, child->size); sl_element_init (child->element, item);
    }
}

static void
note_place (Converter *c, const xmlNode *node, const GArray *array, gsize at)
{
  Place place = { array, at, sl_node_line (node) };
  g_array_append_val (c->places, place);
}

/* Of what lies inside @parent, which may be an item of an array that still grows. */
static void
note_inside (Converter *c, const xmlNode *node, const char *parent, const char *at)
{
  for (guint i = c->places->len; i-- > 0;)
    {
      const Place *around = &g_array_index (c->places, Place, i);

      if (around->array != NULL && around->array->data + around->at == parent)
        {
          note_place (c, node, around->array, around->at + (gsize) (at - parent));
          return;
        }
    }
  note_place (c, node, NULL, (gsize) at);
}

/* Reads a string and puts it where its number says. */
static void
read_string (Converter *c, const xmlNode *node, const SlChild *child)
{
  SlString string;
  init_item (child, &string);
  c->string_number = NO_NUMBER;
  read_element (c, node, child->element, (char *) &string);
  int number = c->string_number;
  gboolean known = number >= 1 && number <= SL_MAX_STRINGS;
  if (known && !(c->strings_seen & (1u << number)))
    {
      c->strings_seen |= 1u << number;
      c->profile->n_strings = MAX (c->profile->n_strings, number);
      c->profile->strings[number - 1] = string;
      note_place (c, node, NULL, (gsize) &c->profile->strings[number - 1]);
      return;
    }
  g_autofree char *complaint = known ? g_strdup_printf (_ ("string number %d appears more than once"), number)
                                     : sl_bound_complaint (sl_bound_find ("string", "number"), number);
  if (number != NO_NUMBER) /* else said where the attributes are read */
    sl_faults_add (c->faults, sl_node_line (node), "%s", complaint);
  c->whole = FALSE;
  g_free (string.note);
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
  if (child->given > 0)
    *(gboolean *) (parent + child->given) = TRUE;
  switch (child->store)
    {
    case SL_STORE_PARENT:
      read_element (c, node, child->element, parent);
      if (child->element->children->store == SL_STORE_STRINGS)
        {
          note_place (c, node, NULL, (gsize) &c->profile->courses);
          check_string_numbers (c, node);
        }
      break;
    case SL_STORE_TEXT: read_prose (c, node, child->element, (char **) at); break;
    case SL_STORE_STRINGS: read_string (c, node, child); break;
    case SL_STORE_ARRAY:
      {
        GArray *array = *(GArray **) at;
        gsize offset = array->len * child->size;
        note_place (c, node, array, offset);
        g_array_set_size (array, array->len + 1);
        init_item (child, array->data + offset);
        read_element (c, node, child->element, array->data + offset);
        break;
      }
    case SL_STORE_FIXED: at += child->size * (gsize) (*(int *) (parent + child->count))++; /* fall through */
    case SL_STORE_INSIDE:
    default: note_inside (c, node, parent, at); read_element (c, node, child->element, at);
    }
}

/* The place of the child called @name, or −1. */
static int
find_child (const SlElement *element, const char *name)
{
  for (int i = 0; element->children != NULL && element->children[i].element != NULL; i++)
    if (strcmp (element->children[i].element->name, name) == 0)
      return i;
  return -1;
}

static int
most_children (const SlElement *element, const SlChild *child)
{
  if (child->most != SL_ANY_NUMBER)
    return child->most;
  return (int) sl_amount_most (element->name, sl_child_counted (child));
}

/* Whether a child may stand where it does; says so where not, of one kind once. @last is the place of the child before
 * it, @times how often this one has stood. */
static gboolean
check_place (Converter *c, const xmlNode *node, const SlElement *element, int place, int last, int times)
{
  const SlChild *child = &element->children[place];
  const int most = most_children (element, child);
  if (times >= most)
    {
      if (most == 1)
        sl_faults_add (c->faults, sl_node_line (node), _ ("<%s> appears more than once in <%s>"), child->element->name,
                       element->name);
      else if (times == most)
        sl_faults_add (c->faults, sl_node_line (node), _ ("too many <%s> in <%s>: at most %d are accepted"),
                       child->element->name, element->name, most);
      c->whole = FALSE;
      return FALSE;
    }
  if (!element->any_order && place < last)
    sl_faults_add (c->faults, sl_node_line (node), _ ("<%s> must come before <%s>"), child->element->name,
                   element->children[last].element->name);
  return TRUE;
}

static void
read_children (Converter *c, const xmlNode *node, const SlElement *element, char *data)
{
  int times[SL_MOST_CHILDREN] = { 0 }, last = 0;
  for (const xmlNode *child = node->children; child != NULL; child = child->next)
    {
      if (child->type != XML_ELEMENT_NODE)
        continue;
      gboolean ours = child->ns != NULL && g_strcmp0 ((const char *) child->ns->href, SL_DOCUMENT_NAMESPACE) == 0;
      int place = ours ? find_child (element, node_name (child)) : -1;
      if (place < 0)
        {
          g_autofree char *shown = sl_shown (node_name (child));
          sl_faults_add (c->faults, sl_node_line (child), _ ("<%s> is not known in <%s>"), shown, element->name);
          continue;
        }
      if (!check_place (c, child, element, place, last, times[place]++))
        continue;
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
sl_convert (const xmlNode *root, GPtrArray *faults, GArray **places)
{
  g_autoptr (GArray) found = g_array_new (FALSE, FALSE, sizeof (Place));
  Converter c = { faults, sl_profile_new (), TRUE, NO_NUMBER, 0, found };
  const char *space = root->ns != NULL ? (const char *) root->ns->href : "";
  note_place (&c, root, NULL, (gsize) c.profile);
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
  *places = c.whole ? g_steal_pointer (&found) : NULL;
  return c.profile;
}

int
sl_place_line (const GArray *places, const void *where)
{
  SL_EACH (const Place, place, places)
    if ((place->array != NULL ? (gsize) place->array->data : 0) + place->at == (gsize) where)
      return place->line;
  return g_array_index (places, Place, 0).line;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file/document-private.h"

#include <glib/gi18n-lib.h>
#include <libxml/xmlschemas.h>
#include <string.h>

#include "file-resources.h"

/* A compiled schema is only read while it validates, so that threads share it; it lives as long as the program. */
static xmlSchema *
shared_schema (void)
{
  static xmlSchema *schema;
  static gsize ready;
  if (g_once_init_enter (&ready))
    {
      /* Named here, so that linking the static library keeps the resource. */
      g_autoptr (GBytes) bytes = g_resource_lookup_data (sl_file_get_resource (), "/org/sidelong/file/profile.xsd",
                                                         G_RESOURCE_LOOKUP_FLAGS_NONE, NULL);
      gsize size;
      const char *data = g_bytes_get_data (bytes, &size);
      xmlSchemaParserCtxt *parser = xmlSchemaNewMemParserCtxt (data, (int) size);
      schema = xmlSchemaParse (parser);
      xmlSchemaFreeParserCtxt (parser);
      if (schema == NULL)
        g_error ("the XSD compiled into this program can't be read");
      g_once_init_leave (&ready, 1);
    }
  return schema;
}

/* "Element '{urn:…}neck': …" becomes "<neck>: …": the namespace is the same everywhere and says nothing. */
static char *
tidy (const char *message)
{
  g_autoptr (GString) text = g_string_new (message);
  g_string_replace (text, "{" SL_DOCUMENT_NAMESPACE "}", "", 0);
  g_string_replace (text, "p:", "", 0);
  if (g_str_has_prefix (text->str, "Element '"))
    {
      g_string_erase (text, 0, (gssize) strlen ("Element '"));
      g_string_prepend_c (text, '<');
      char *quote = strchr (text->str, '\'');
      if (quote != NULL)
        *quote = '>';
    }
  return g_strchomp (g_string_free (g_steal_pointer (&text), FALSE));
}

static void
on_complaint (void *data, xmlError *error)
{
  const xmlNode *node = error->node;
  while (node != NULL && node->type != XML_ELEMENT_NODE)
    node = node->parent;
  g_autofree char *message = tidy (error->message != NULL ? error->message : "");
  g_autofree char *shown = sl_shown_within (message, SL_MOST_SENTENCE);
  sl_faults_add (data, sl_node_line (node), "%s", shown);
}

gboolean
sl_validate (xmlDoc *doc, GPtrArray *complaints)
{
  xmlSchemaValidCtxt *context = xmlSchemaNewValidCtxt (shared_schema ());
  xmlSchemaSetValidStructuredErrors (context, on_complaint, complaints);
  /* Beside faults (> 0) there is −1, an error inside libxml2: that is no valid document either. */
  int result = xmlSchemaValidateDoc (context, doc);
  xmlSchemaFreeValidCtxt (context);
  if (result != 0 && complaints->len == 0)
    sl_faults_add (complaints, sl_node_line (xmlDocGetRootElement (doc)),
                   _ ("the document does not have the form of a profile"));
  return result == 0;
}

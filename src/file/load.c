/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * libxml2's tree, built by its own SAX handlers behind ours, which refuse early what a profile never holds. */
#include "file/document-private.h"

#include <glib/gi18n-lib.h>
#include <libxml/SAX2.h>
#include <libxml/parser.h>
#include <libxml/parserInternals.h>
#include <string.h>

/* ---- the bytes ---- */

/* libxml2 2.9 compares each attribute of a tag with each: a document made of one tag full of attributes would keep it
 * busy for hours. No tag of this format has more than ten. */
#define MOST_ATTRIBUTES 512

#define DECLARATION_CHARS 256 /* an XML declaration is no longer than this */

static const char byte_order_mark[] = "\xef\xbb\xbf";

static int
line_at (const char *text, const char *place)
{
  int line = 1;
  for (const char *p = text; (p = memchr (p, '\n', place - p)) != NULL; p++)
    line++;
  return line;
}

/* The first byte that is not UTF-8 or not a character of XML 1.0, or NULL. */
static const char *
find_bad_character (const char *text, gsize length)
{
  const char *bad;
  if (!g_utf8_validate_len (text, length, &bad))
    return bad;
  for (const unsigned char *p = (const unsigned char *) text, *end = p + length; p < end; p++)
    if (*p < ' ' && *p != '\t' && *p != '\n' && *p != '\r')
      return (const char *) p;
  return NULL;
}

/* The encoding an XML declaration names, or NULL. */
static char *
declared_encoding (const char *text, gsize length)
{
  if (length < 5 || strncmp (text, "<?xml", 5) != 0)
    return NULL;
  g_autofree char *declaration = g_strndup (text, MIN (length, DECLARATION_CHARS));
  char *end = strstr (declaration, "?>");
  if (end == NULL)
    return NULL;
  *end = '\0';
  char *p = strstr (declaration, "encoding");
  if (p == NULL)
    return NULL;
  p += strlen ("encoding");
  p += strspn (p, " \t\r\n=");
  if (*p != '"' && *p != '\'')
    return NULL;
  char *close = strchr (p + 1, *p);
  return close != NULL ? g_strndup (p + 1, close - (p + 1)) : NULL;
}

static gboolean
scan_encoding (const char *text, gsize length, GPtrArray *faults)
{
  g_autofree char *encoding = declared_encoding (text, length);
  if (encoding == NULL || g_ascii_strcasecmp (encoding, "UTF-8") == 0 ||
      g_ascii_strcasecmp (encoding, "US-ASCII") == 0 || g_ascii_strcasecmp (encoding, "ASCII") == 0)
    return TRUE;
  g_autofree char *shown = sl_shown (encoding);
  sl_faults_add (faults, 1, _ ("the document says it is encoded in “%s”; only UTF-8 is read"), shown);
  return FALSE;
}

/* Attributes of a tag stand between a "<" and the next ">" outside quotes. In what is no sound tag the parser gives up
 * at the first mistake, up to which this reads it alike: counting each equals sign with a quote behind it can count too
 * many but never too few. */
static gboolean
scan_attributes (const char *text, gsize length, GPtrArray *faults)
{
  const char *end = text + length;
  gboolean in_tag = FALSE;
  char quote = '\0', last = '\0'; /* the one that is open; the last that was no white space */
  int count = 0;
  for (const char *p = text; p < end; last = g_ascii_isspace (*p) ? last : *p, p++)
    if (*p == '<')
      {
        in_tag = TRUE;
        quote = '\0';
        count = 0;
      }
    else if (!in_tag)
      continue;
    else if (*p == '>' && quote == '\0')
      in_tag = FALSE;
    else if (quote != '\0' ? *p == quote : *p == '"' || *p == '\'')
      {
        quote = quote == '\0' ? *p : '\0';
        if (quote != '\0' && last == '=' && ++count > MOST_ATTRIBUTES)
          {
            sl_faults_add (faults, line_at (text, p),
                           _ ("more than %d attributes in one place; no document of this format has that many"),
                           MOST_ATTRIBUTES);
            return FALSE;
          }
      }
  return TRUE;
}

/* Looks through the bytes before libxml2 does: size, UTF-8, characters XML can't hold, the declared encoding, and start
 * tags with so many attributes that comparing each with each would take minutes. FALSE with a fault where something is
 * wrong. */
static gboolean
scan (const char *text, gsize length, GPtrArray *faults)
{
  if (length == 0)
    {
      sl_faults_add (faults, 1, _ ("the document is empty"));
      return FALSE;
    }
  if (length > SL_DOCUMENT_MOST_BYTES)
    {
      sl_faults_add (faults, 0, _ ("the document is larger than %d MiB, the most a profile may take"),
                     SL_DOCUMENT_MOST_BYTES / (1024 * 1024));
      return FALSE;
    }
  const char *bad = find_bad_character (text, length);
  if (bad != NULL)
    {
      sl_faults_add (faults, line_at (text, bad), _ ("byte 0x%02X is not text; a profile is an XML document in UTF-8"),
                     (guint) (guchar) *bad);
      return FALSE;
    }
  /* The text need not end in a NUL: no string function may look beyond @length. */
  gsize mark = strlen (byte_order_mark);
  if (length >= mark && memcmp (text, byte_order_mark, mark) == 0)
    {
      text += mark;
      length -= mark;
    }
  return scan_encoding (text, length, faults) && scan_attributes (text, length, faults);
}

/* ---- the tree ---- */

#define MOST_DEPTH 16 /* a profile is five elements deep */
/* of the tree: with the text, libxml2's copy of it and the profile this stays within 64 MiB */
#define MOST_NODE_BYTES (20 * 1024 * 1024)
#define ELEMENT_BYTES 160   /* libxml2's node, rounded up */
#define ATTRIBUTE_BYTES 264 /* its attribute and the text node below it */

/* What our handlers add to a parser, hung on its _private. */
typedef struct
{
  GPtrArray *faults;
  gsize node_bytes;
  gboolean stopped; /* by one of our handlers: its fault says why, libxml2's own would not */
} Loader;

static Loader *
loader_of (void *context)
{
  return ((xmlParserCtxt *) context)->_private;
}

static int
line_of (void *context)
{
  xmlParserInput *input = ((xmlParserCtxt *) context)->input;
  return input != NULL ? input->line : 0;
}

static void G_GNUC_PRINTF (2, 3) stop (void *context, const char *format, ...)
{
  Loader *loader = loader_of (context);
  if (loader->stopped)
    return;
  va_list args;
  va_start (args, format);
  g_autofree char *message = g_strdup_vprintf (format, args);
  va_end (args);
  sl_faults_add (loader->faults, line_of (context), "%s", message);
  loader->stopped = TRUE;
  xmlStopParser (context);
}

/* The document would go on to declare entities, or name a DTD to fetch: it goes no further. (libxml2 would still call
 * the rest well-formed.) */
static void
on_doctype (void *context, const xmlChar *name, const xmlChar *external_id, const xmlChar *system_id)
{
  stop (context, _ ("a DOCTYPE is not accepted in a profile"));
}

/* A namespace of ours with a higher number than this program knows. */
static gboolean
is_newer (const char *uri)
{
  gsize family = strlen (SL_DOCUMENT_NAMESPACE) - strlen (SL_DOCUMENT_VERSION);
  guint64 version;
  if (uri == NULL || strncmp (uri, SL_DOCUMENT_NAMESPACE, family) != 0 ||
      !g_ascii_string_to_unsigned (uri + family, 10, 0, G_MAXUINT32, &version, NULL))
    return FALSE;
  return version > g_ascii_strtoull (SL_DOCUMENT_VERSION, NULL, 10);
}

static gboolean
namespaces_fit (void *context, int n, const xmlChar **namespaces)
{
  for (int i = 0; i < n; i++)
    {
      const char *uri = (const char *) namespaces[2 * i + 1];
      if (g_strcmp0 (uri, SL_DOCUMENT_NAMESPACE) == 0)
        continue;
      g_autofree char *shown = sl_shown (uri != NULL ? uri : "");
      if (is_newer (uri))
        stop (context, _ ("made by a newer Sidelong (%s); this one reads %s. The file was not changed"), shown,
              SL_DOCUMENT_NAMESPACE);
      else
        stop (context, _ ("the namespace “%s” is not known; a profile holds only %s"), shown, SL_DOCUMENT_NAMESPACE);
      return FALSE;
    }
  return TRUE;
}

static void
on_start (void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *uri, int n_namespaces,
          const xmlChar **namespaces, int n_attributes, int n_defaulted, const xmlChar **attributes)
{
  xmlParserCtxt *parser = context;
  Loader *loader = loader_of (context);
  if (loader->stopped || !namespaces_fit (context, n_namespaces, namespaces))
    return;
  loader->node_bytes += ELEMENT_BYTES + (gsize) n_attributes * ATTRIBUTE_BYTES;
  if (parser->nodeNr >= MOST_DEPTH)
    stop (context, _ ("elements are nested more than %d deep"), MOST_DEPTH);
  else if (loader->node_bytes > MOST_NODE_BYTES)
    stop (context, _ ("the document has more elements and attributes than a profile can have"));
  else
    xmlSAX2StartElementNs (context, name, prefix, uri, n_namespaces, namespaces, n_attributes, n_defaulted, attributes);
  /* libxml2 keeps lines in 16 bits and guesses beyond them. */
  if (!loader->stopped && parser->node != NULL)
    parser->node->_private = GINT_TO_POINTER (line_of (context));
}

static gboolean
is_prose (const xmlNode *node)
{
  return node != NULL && strcmp ((const char *) node->name, "note") == 0;
}

static gsize
skip_blank (const xmlChar *text, int length)
{
  gsize i = 0;
  while (i < (gsize) length && g_ascii_isspace ((char) text[i]))
    i++;
  return i;
}

/* Text belongs in notes only; white space elsewhere is layout. */
static void
on_text (void *context, const xmlChar *text, int length)
{
  xmlParserCtxt *parser = context;
  Loader *loader = loader_of (context);
  if (loader->stopped)
    return;
  if (is_prose (parser->node))
    {
      xmlSAX2Characters (context, text, length);
      return;
    }
  gsize blank = skip_blank (text, length);
  if (blank == (gsize) length || parser->node == NULL)
    return;
  int line = line_of (context);
  for (gsize i = blank; i < (gsize) length; i++)
    line -= text[i] == '\n';
  line =
      MAX (line, sl_node_line (parser->node)); /* a lone carriage return has become a line end, but counts for none */
  g_autofree char *stray = g_strndup ((const char *) text + blank, length - blank);
  g_strchomp (stray);
  g_autofree char *shown = sl_shown (stray);
  g_autofree char *element = sl_shown ((const char *) parser->node->name);
  sl_faults_add (loader->faults, line, _ ("text “%s” does not belong in <%s>"), shown, element);
}

static void
on_error (void *context, xmlError *error)
{
  Loader *loader = loader_of (context);
  if (loader->stopped || error->level < XML_ERR_ERROR)
    return;
  g_autofree char *message = g_strchomp (g_strdup (error->message != NULL ? error->message : ""));
  g_autofree char *shown = sl_shown_within (message, SL_MOST_SENTENCE);
  /* Translators: what follows is the XML parser's own sentence, in English */
  sl_faults_add (loader->faults, error->line, _ ("not well-formed XML: %s"), shown);
}

xmlDoc *
sl_load (const char *text, gsize length, GPtrArray *faults)
{
  if (!scan (text, length, faults))
    return NULL;
  Loader loader = { faults, 0, FALSE };
  xmlParserCtxt *parser = xmlNewParserCtxt ();
  parser->sax->internalSubset = on_doctype;
  parser->sax->startElementNs = on_start;
  parser->sax->characters = parser->sax->ignorableWhitespace = on_text;
  parser->sax->comment = NULL;
  parser->sax->processingInstruction = NULL;
  parser->sax->serror = on_error;
  parser->_private = &loader;
  guint before = faults->len;
  /* Never NOENT (it fetches external entities) or HUGE (it takes the guards off). */
  int options = XML_PARSE_NONET | XML_PARSE_NOCDATA | XML_PARSE_BIG_LINES | XML_PARSE_COMPACT;
  xmlDoc *doc = xmlCtxtReadMemory (parser, text, (int) length, NULL, "UTF-8", options);
  gboolean sound = parser->wellFormed && parser->nsWellFormed && !loader.stopped;
  if (doc == NULL && parser->myDoc != NULL)
    xmlFreeDoc (parser->myDoc);
  parser->myDoc = NULL;
  xmlFreeParserCtxt (parser);
  if (doc != NULL && (!sound || xmlDocGetRootElement (doc) == NULL))
    g_clear_pointer (&doc, xmlFreeDoc);
  if (doc == NULL && faults->len == before)
    sl_faults_add (faults, 1, _ ("not well-formed XML"));
  return doc;
}

int
sl_node_line (const xmlNode *node)
{
  return node != NULL ? GPOINTER_TO_INT (node->_private) : 0;
}

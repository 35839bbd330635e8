/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file/document-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

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

gboolean
sl_scan (const char *text, gsize length, GPtrArray *faults)
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

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/one-line.h"

#define MOST_NAMES 5 /* of a list in one message */

gboolean
sl_acts (gunichar c)
{
  /* marks, embeddings, overrides and isolates of Unicode's bidirectional algorithm (UAX #9, table 4) */
  const gboolean turns =
      c == 0x61c || c == 0x200e || c == 0x200f || (c >= 0x202a && c <= 0x202e) || (c >= 0x2066 && c <= 0x2069);

  return turns || g_unichar_iscntrl (c) || c == 0x2028 || c == 0x2029; /* line and paragraph separator */
}

char *
sl_one_line (const char *text)
{
  g_autofree char *valid = g_utf8_make_valid (text, -1);
  GString *line = g_string_sized_new (64);

  for (const char *at = valid; *at != '\0'; at = g_utf8_next_char (at))
    {
      const gunichar c = g_utf8_get_char (at);

      if (c == '\n' || c == '\r' || c == '\t')
        g_string_append_printf (line, "\\%c", c == '\n' ? 'n' : c == '\r' ? 'r' : 't');
      else if (sl_acts (c))
        g_string_append_printf (line, g_unichar_iscntrl (c) ? "\\x%02x" : "\\u%04x", c);
      else
        g_string_append_len (line, at, g_utf8_next_char (at) - at);
    }
  return g_string_free (line, FALSE);
}

char *
sl_shown_name (const char *name)
{
  g_autofree char *shown = g_filename_display_name (name);

  return sl_one_line (shown);
}

char *
sl_shown_names (const GPtrArray *names)
{
  g_autoptr (GString) list = g_string_new (NULL);

  for (guint i = 0; i < MIN (names->len, MOST_NAMES); i++)
    g_string_append_printf (list, "%s%s", i > 0 ? ", " : "", (const char *) names->pdata[i]);
  return names->len > 0 ? sl_shown_name (g_string_append (list, names->len > MOST_NAMES ? ", …" : "")->str) : NULL;
}

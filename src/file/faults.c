/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file/faults.h"

G_DEFINE_QUARK (sl_document_error_quark, sl_document_error)

static void
fault_free (gpointer data)
{
  SlDocumentFault *fault = data;
  g_free (fault->message);
  g_free (fault);
}

GPtrArray *
sl_document_faults_new (void)
{
  return g_ptr_array_new_with_free_func (fault_free);
}

void
sl_faults_take (GPtrArray *faults, int line, char *message)
{
  SlDocumentFault *fault = g_new (SlDocumentFault, 1);
  *fault = (SlDocumentFault){ line, message };
  g_ptr_array_add (faults, fault);
}

void
sl_faults_add (GPtrArray *faults, int line, const char *format, ...)
{
  if (faults->len >= SL_MOST_FAULTS)
    return;
  va_list args;
  va_start (args, format);
  sl_faults_take (faults, line, g_strdup_vprintf (format, args));
  va_end (args);
}

char *
sl_shown_within (const char *text, int most)
{
  const char *end = text;
  for (int i = 0; i < most && *end != '\0'; i++)
    end = g_utf8_next_char (end);
  char *shown = g_strndup (text, end - text);
  for (char *p = shown; *p != '\0'; p++)
    if (g_ascii_iscntrl (*p))
      *p = ' ';
  if (*end == '\0')
    return shown;
  char *cut = g_strconcat (shown, "…", NULL);
  g_free (shown);
  return cut;
}

char *
sl_shown (const char *text)
{
  return sl_shown_within (text, SL_MOST_SHOWN);
}

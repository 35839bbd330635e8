/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/paper/handover-parts.h"

#include <glib/gi18n-lib.h>

guint
sl_handover_rows (const SlHandover *h, guint n)
{
  const guint most = (guint) h->tight.most_rows;

  return most > 0 && n > most ? most : n;
}

char *
sl_handover_rest (guint n)
{
  /* Translators: in the last row of a table, for the rows there is no room for */
  return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "and %u more", "and %u more", n), n);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/kit.h"

#include "bench/settings.h"
#include "draw/paper/documents.h"

#define BAR_MM 100.0
#define BAR_PLACES 2
#define LEAST_MM ceil (BAR_MM / SL_CORRECTION_MOST)
#define MOST_MM floor (BAR_MM / SL_CORRECTION_LEAST)

/* The setting is a factor; what a person has is a length. What can't be one leaves the setting as it was, and says what
 * can. */
static void
on_changed (GtkEditable *entry, gpointer key)
{
  GtkWidget *note = g_object_get_data (G_OBJECT (entry), "note");
  double mm;
  gboolean good =
      sl_plain_parse (gtk_editable_get_text (entry), sl_decimal_sign (), &mm, NULL) && mm >= LEAST_MM && mm <= MOST_MM;
  g_autofree char *from = sl_plain_format (LEAST_MM, 0, sl_decimal_sign ()),
                  *to = sl_plain_format (MOST_MM, 0, sl_decimal_sign ());
  g_autofree char *wrong = g_strdup_printf (_ ("“%1$s” is not the length of the bar: %2$s to %3$s mm."),
                                            gtk_editable_get_text (entry), from, to);

  sl_label_set (note, good ? _ ("What the bar on a printed template measures, in mm. Templates are corrected by it.")
                           : wrong);
  sl_set_class (note, "sl-wrong", !good);
  sl_typed_judge (GTK_WIDGET (entry), !good);
  if (good)
    sl_settings_set (key, g_variant_new_double (BAR_MM / mm));
}

void
sl_bar_entry_bind (GtkEditable *entry, GtkWidget *note, const char *key)
{
  g_autofree char *text = sl_plain_format (BAR_MM / sl_settings_get_double (key, 1), BAR_PLACES, sl_decimal_sign ());

  gtk_editable_set_text (entry, text);
  g_object_set_data (G_OBJECT (entry), "note", note);
  g_signal_connect (entry, "changed", G_CALLBACK (on_changed), (gpointer) key);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/climate-parts.h"

#include "desk/kit/util.h"
#include "setup/profile/units.h"

#include <math.h>

GtkWidget *
sl_climate_column (const char *title)
{
  GtkWidget *column = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4), *label = sl_label_new (title);

  gtk_widget_add_css_class (label, "sl-section");
  gtk_box_append (GTK_BOX (column), label);
  return column;
}

GtkWidget *
sl_climate_words (GtkWidget *column)
{
  GtkWidget *label = sl_text_new (NULL);

  gtk_label_set_width_chars (GTK_LABEL (label), 24);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 30);
  gtk_box_append (GTK_BOX (column), label);
  return label;
}

GtkWidget *
sl_climate_line (GtkWidget *column)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);

  gtk_box_append (GTK_BOX (column), line);
  return line;
}

GtkWidget *
sl_climate_entry (GtkWidget *line, const char *name, const char *unit, GCallback changed, gpointer data)
{
  GtkWidget *entry = gtk_entry_new ();

  gtk_editable_set_width_chars (GTK_EDITABLE (entry), 4);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (entry), 6);
  sl_name_with_tip (entry, name);
  g_signal_connect_object (entry, "changed", changed, data, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (line), entry);
  if (unit != NULL)
    {
      GtkWidget *label = gtk_label_new (unit);

      gtk_widget_add_css_class (label, "sl-dim");
      gtk_box_append (GTK_BOX (line), label);
    }
  return entry;
}

gboolean
sl_climate_read (GtkWidget *entry, double least, double most, double *value)
{
  g_autofree char *text = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry))));
  double number = NAN;
  gboolean good = sl_plain_parse (text, sl_decimal_sign (), &number, NULL) && number >= least && number <= most;

  sl_set_class (entry, "error", !good && *text != '\0');
  gtk_accessible_update_state (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_STATE_INVALID,
                               good || *text == '\0' ? GTK_ACCESSIBLE_INVALID_FALSE : GTK_ACCESSIBLE_INVALID_TRUE, -1);
  if (good)
    *value = number;
  return good;
}

char *
sl_climate_number (double value, int places)
{
  return sl_plain_format (value, places, sl_decimal_sign ());
}

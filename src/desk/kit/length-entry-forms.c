/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What forms put around length entries. */
#include "desk/kit/length-entry.h"

#include "setup/profile/money.h"

#include <glib/gi18n-lib.h>
#include <math.h>

/* Nobody reads a length or an angle to more decimals than this on a screen. */
#define MOST_PLACES 3
#define PLACES_TOLERANCE 1e-6

int
sl_places_for (double value, int least)
{
  double scale = pow (10, least);
  for (int places = least; places <= MOST_PLACES && isfinite (value); places++, scale *= 10)
    if (fabs (value * scale - round (value * scale)) < PLACES_TOLERANCE)
      return places;
  return least;
}

GtkWidget *
sl_charge_entry_new (const char *attribute)
{
  SlLengthEntry *self = SL_LENGTH_ENTRY (sl_length_entry_new ()); /* named by who wants it */
  const gboolean minutes = g_str_equal (attribute, "minutes");

  sl_length_entry_set_plain (self, minutes ? _ ("min") : "");
  sl_length_entry_set_places (self, minutes ? 0 : sl_money_places ());
  sl_length_entry_set_step (self, 1);
  sl_length_entry_set_allow_empty (self, TRUE);
  sl_length_entry_set_bound (self, sl_bound_find ("charge", attribute));
  sl_length_entry_set_value (self, NAN);
  return GTK_WIDGET (self);
}

static gboolean
is_text (GBinding *binding, const GValue *from, GValue *to, gpointer data)
{
  g_value_set_boolean (to, g_value_get_string (from) != NULL);
  return TRUE;
}

GtkWidget *
sl_length_entry_new_message (SlLengthEntry *self)
{
  GtkWidget *label = g_object_new (GTK_TYPE_LABEL, "accessible-role", GTK_ACCESSIBLE_ROLE_ALERT, "wrap", TRUE, "xalign",
                                   0.0f, "visible", FALSE, NULL);
  gtk_widget_add_css_class (label, "entry-message");
  g_object_bind_property (self, "message", label, "label", G_BINDING_SYNC_CREATE);
  g_object_bind_property_full (self, "message", label, "visible", G_BINDING_SYNC_CREATE, is_text, NULL, NULL, NULL);
  return label;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/preferences/charges-editor.h"

#include "desk/kit/length-entry.h"
#include "bench/settings.h"
#include "desk/kit/util.h"
#include "setup/profile/money.h"

#include <glib/gi18n-lib.h>

#include <math.h>

#define GAP 6
#define WHAT_CHARS 26
#define NUMBER_CHARS 9
#define CURRENCY_CHARS 5

#define SL_TYPE_CHARGES_EDITOR (sl_charges_editor_get_type ())
G_DECLARE_FINAL_TYPE (SlChargesEditor, sl_charges_editor, SL, CHARGES_EDITOR, GtkBox)

struct _SlChargesEditor
{
  GtkBox parent_instance;

  GtkWidget *list, *currency, *currency_note; /* children */
  GArray *charges;                            /* owned */
  gboolean building;                          /* a control that is being removed no longer belongs to a charge */
};

G_DEFINE_FINAL_TYPE (SlChargesEditor, sl_charges_editor, GTK_TYPE_BOX)

static void build_list (SlChargesEditor *self);

/* The charge a control belongs to; NULL while the list is built. */
static SlUsualCharge *
charge_of (SlChargesEditor *self, GtkWidget *control)
{
  const guint place = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (control), "place"));

  return self->building || place >= self->charges->len ? NULL : &g_array_index (self->charges, SlUsualCharge, place);
}

static void
on_what (GtkEditable *entry, SlChargesEditor *self)
{
  SlUsualCharge *charge = charge_of (self, GTK_WIDGET (entry));

  if (charge == NULL)
    return;
  g_free (charge->what);
  charge->what = g_strdup (gtk_editable_get_text (entry));
  sl_usual_charges_keep (self->charges);
}

static void
on_minutes (SlLengthEntry *entry, double value, SlChargesEditor *self)
{
  SlUsualCharge *charge = charge_of (self, GTK_WIDGET (entry));

  if (charge == NULL)
    return;
  charge->minutes = value;
  sl_usual_charges_keep (self->charges);
}

static void
on_amount (SlLengthEntry *entry, double value, SlChargesEditor *self)
{
  SlUsualCharge *charge = charge_of (self, GTK_WIDGET (entry));

  if (charge == NULL)
    return;
  charge->amount = value;
  sl_usual_charges_keep (self->charges);
}

static gboolean
rebuild (gpointer data)
{
  build_list (data);
  return G_SOURCE_REMOVE;
}

/* The row is removed once its button is released. */
static void
on_remove (GtkWidget *button, SlChargesEditor *self)
{
  gtk_widget_set_sensitive (self->list, FALSE); /* and what is being typed in it is accepted before the places change */
  if (charge_of (self, button) == NULL)
    return;
  g_array_remove_index (self->charges, GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "place")));
  self->building = TRUE;
  sl_usual_charges_keep (self->charges);
  g_idle_add_full (G_PRIORITY_HIGH_IDLE, rebuild, g_object_ref (self), g_object_unref);
}

static GtkWidget *
control (GtkWidget *widget, guint place, const char *name)
{
  g_object_set_data (G_OBJECT (widget), "place", GUINT_TO_POINTER (place));
  sl_set_accessible_label (widget, name);
  return widget;
}

static GtkWidget *
number_new (SlChargesEditor *self, guint place, const char *name, const char *attribute, int places, double value,
            GCallback committed)
{
  GtkWidget *entry = control (sl_length_entry_new (), place, name); /* named by control() */
  g_autofree char *currency = sl_shop_currency ();

  sl_length_entry_set_plain (SL_LENGTH_ENTRY (entry), g_str_equal (attribute, "minutes") ? _ ("min") : currency);
  sl_length_entry_set_places (SL_LENGTH_ENTRY (entry), places);
  sl_length_entry_set_step (SL_LENGTH_ENTRY (entry), 1);
  sl_length_entry_set_allow_empty (SL_LENGTH_ENTRY (entry), TRUE);
  sl_length_entry_set_bound (SL_LENGTH_ENTRY (entry), sl_bound_find ("charge", attribute));
  sl_length_entry_set_value (SL_LENGTH_ENTRY (entry), value);
  gtk_editable_set_width_chars (GTK_EDITABLE (entry), NUMBER_CHARS);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (entry), NUMBER_CHARS);
  g_signal_connect (entry, "committed", committed, self);
  return entry;
}

static void
add_row (SlChargesEditor *self, guint place, int *line)
{
  const SlUsualCharge *charge = &g_array_index (self->charges, SlUsualCharge, place);
  g_autofree char *what_name = g_strdup_printf (_ ("Usual charge %u, what for"), place + 1),
                  *minutes_name = g_strdup_printf (_ ("Usual charge %u, minutes"), place + 1);
  g_autofree char *amount_name = g_strdup_printf (_ ("Usual charge %u, amount"), place + 1),
                  *remove_name = g_strdup_printf (_ ("Remove usual charge %u"), place + 1);
  GtkWidget *what = control (gtk_entry_new (), place, what_name); /* named by control() */
  GtkWidget *minutes = number_new (self, place, minutes_name, "minutes", 0, charge->minutes, G_CALLBACK (on_minutes));
  GtkWidget *amount =
      number_new (self, place, amount_name, "amount", sl_money_places (), charge->amount, G_CALLBACK (on_amount));
  GtkWidget *removing =
      control (gtk_button_new_from_icon_name ("edit-clear-symbolic"), place, remove_name); /* named by control() */
  GtkGrid *grid = GTK_GRID (self->list);

  gtk_editable_set_text (GTK_EDITABLE (what), charge->what);
  gtk_editable_set_width_chars (GTK_EDITABLE (what), WHAT_CHARS);
  gtk_widget_set_hexpand (what, TRUE);
  gtk_widget_add_css_class (removing, "flat");
  gtk_widget_set_tooltip_text (removing, remove_name);
  g_signal_connect (what, "changed", G_CALLBACK (on_what), self);
  g_signal_connect (removing, "clicked", G_CALLBACK (on_remove), self);
  gtk_grid_attach (grid, what, 0, *line, 1, 1);
  gtk_grid_attach (grid, minutes, 1, *line, 1, 1);
  gtk_grid_attach (grid, amount, 2, *line, 1, 1);
  gtk_grid_attach (grid, removing, 3, (*line)++, 1, 1);
  gtk_grid_attach (grid, sl_length_entry_new_message (SL_LENGTH_ENTRY (minutes)), 0, (*line)++, 4, 1);
  gtk_grid_attach (grid, sl_length_entry_new_message (SL_LENGTH_ENTRY (amount)), 0, (*line)++, 4, 1);
}

static void
build_list (SlChargesEditor *self)
{
  g_autofree char *currency = sl_shop_currency (),
                  *amount = *currency == '\0' ? g_strdup (_ ("Amount")) : g_strdup_printf (_ ("Amount, %s"), currency);
  GtkWidget *child;
  int line = 1;

  self->building = TRUE;
  while ((child = gtk_widget_get_first_child (self->list)) != NULL)
    gtk_grid_remove (GTK_GRID (self->list), child);
  if (self->charges->len > 0)
    {
      sl_add_column_head (self->list, _ ("What for"), 0);
      sl_add_column_head (self->list, _ ("Minutes"), 1);
      sl_add_column_head (self->list, amount, 2);
    }
  for (guint i = 0; i < self->charges->len; i++)
    add_row (self, i, &line);
  gtk_widget_set_sensitive (self->list, TRUE);
  self->building = FALSE;
}

static void
on_add (SlChargesEditor *self)
{
  SlUsualCharge charge = { g_strdup (_ ("Setup")), NAN, NAN };

  g_array_append_val (self->charges, charge);
  sl_usual_charges_keep (self->charges);
  build_list (self);
}

/* ---- the currency ---- */

static void
show_currency (SlChargesEditor *self)
{
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->currency));
  const gboolean good = *text == '\0' || sl_is_currency (text);
  g_autofree char *note = NULL;

  if (!good)
    note = g_strdup_printf (_ ("“%s” is not a currency: three capital letters are accepted, as in ISO 4217, or nothing "
                               "for that of the locale."),
                            text);
  else if (*sl_locale_currency () != '\0')
    note = g_strdup_printf (_ ("Three letters. Empty: the locale’s, %s. Charges already made keep theirs."),
                            sl_locale_currency ());
  else
    note = g_strdup (_ ("Three letters. Empty: none, as the locale has none. Charges already made keep theirs."));
  gtk_label_set_text (GTK_LABEL (self->currency_note), note);
  gtk_widget_remove_css_class (self->currency_note, good ? "sl-wrong" : "sl-dim");
  gtk_widget_add_css_class (self->currency_note, good ? "sl-dim" : "sl-wrong");
  gtk_accessible_update_state (GTK_ACCESSIBLE (self->currency), GTK_ACCESSIBLE_STATE_INVALID,
                               good ? GTK_ACCESSIBLE_INVALID_FALSE : GTK_ACCESSIBLE_INVALID_TRUE, -1);
}

static void
on_currency (SlChargesEditor *self)
{
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->currency));

  show_currency (self);
  if (*text != '\0' && !sl_is_currency (text))
    return;
  sl_settings_set (SL_SETTING_CURRENCY, g_variant_new_string (text));
  build_list (self);
}

static GtkWidget *
build_currency (SlChargesEditor *self)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 2 * GAP),
            *label = gtk_label_new_with_mnemonic (_ ("C_urrency"));
  g_autofree char *kept = sl_settings_get_string (SL_SETTING_CURRENCY, "");

  self->currency = gtk_entry_new (); /* named by its label */
  gtk_editable_set_text (GTK_EDITABLE (self->currency), kept);
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->currency), sl_locale_currency ());
  gtk_editable_set_width_chars (GTK_EDITABLE (self->currency), CURRENCY_CHARS);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (self->currency), CURRENCY_CHARS);
  gtk_label_set_mnemonic_widget (GTK_LABEL (label), self->currency);
  gtk_box_append (GTK_BOX (line), label);
  gtk_box_append (GTK_BOX (line), self->currency);
  g_signal_connect_swapped (self->currency, "changed", G_CALLBACK (on_currency), self);
  return line;
}

static void
sl_charges_editor_finalize (GObject *object)
{
  g_array_unref (SL_CHARGES_EDITOR (object)->charges);
  G_OBJECT_CLASS (sl_charges_editor_parent_class)->finalize (object);
}

static void
sl_charges_editor_class_init (SlChargesEditorClass *class)
{
  G_OBJECT_CLASS (class)->finalize = sl_charges_editor_finalize;
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (class), GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
sl_charges_editor_init (SlChargesEditor *self)
{
  GtkWidget *add = gtk_button_new_with_label (_ ("Add a usual charge"));

  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  gtk_box_set_spacing (GTK_BOX (self), 2 * GAP);
  sl_set_accessible_label (GTK_WIDGET (self), _ ("Charges"));
  self->charges = sl_usual_charges ();
  self->list = gtk_grid_new ();
  gtk_grid_set_row_spacing (GTK_GRID (self->list), 2);
  gtk_grid_set_column_spacing (GTK_GRID (self->list), GAP);
  gtk_widget_set_halign (add, GTK_ALIGN_START);
  g_signal_connect_swapped (add, "clicked", G_CALLBACK (on_add), self);
  gtk_box_append (GTK_BOX (self), build_currency (self));
  self->currency_note = sl_note_new (NULL);
  gtk_box_append (GTK_BOX (self), self->currency_note);
  show_currency (self);
  gtk_box_append (GTK_BOX (self), sl_note_new (_ ("What a visit can take over with one press. Minutes and amount may "
                                                  "be left open; a negative amount is deducted.")));
  gtk_box_append (GTK_BOX (self), self->list);
  gtk_box_append (GTK_BOX (self), add);
}

GtkWidget *
sl_usual_charges_editor_new (void)
{
  SlChargesEditor *self = g_object_new (SL_TYPE_CHARGES_EDITOR, NULL);

  build_list (self);
  return GTK_WIDGET (self);
}

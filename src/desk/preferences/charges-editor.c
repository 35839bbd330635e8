/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/preferences/preferences.h"

#include "bench/settings.h"
#include "bench/shop-lists.h"
#include "setup/profile/money.h"

typedef struct
{
  GtkWidget *line, *what, *minutes, *amount, *removing; /* bound in this order */
} ChargeRow;

static SlUsualCharge *
charge_of (SlRow *row)
{
  return &g_array_index ((GArray *) row->owner, SlUsualCharge, sl_row_get_place (row));
}

static void
on_what (SlRow *row)
{
  ChargeRow *controls = row->controls;

  if (!sl_row_listens (row))
    return;
  g_free (charge_of (row)->what);
  charge_of (row)->what = g_strdup (gtk_editable_get_text (GTK_EDITABLE (controls->what)));
  sl_usual_charges_keep (row->owner);
}

static void
on_number (SlRow *row, double value, GtkWidget *entry)
{
  ChargeRow *controls = row->controls;

  if (!sl_row_listens (row))
    return;
  if (entry == controls->minutes)
    charge_of (row)->minutes = value;
  else
    charge_of (row)->amount = value;
  sl_usual_charges_keep (row->owner);
}

static void
on_remove (SlRow *row)
{
  GtkWidget *list = gtk_widget_get_ancestor (GTK_WIDGET (row), SL_TYPE_ROW_LIST);
  GArray *charges = row->owner;

  g_array_remove_index (charges, sl_row_get_place (row));
  sl_usual_charges_keep (row->owner);
  sl_row_list_remove (row);
  sl_row_list_update (SL_ROW_LIST (list), charges->len);
}

static void
make_row (SlRow *row)
{
  ChargeRow *controls = row->controls;

  sl_row_build (row, "usual-charge-row", SL_MEMBERS (ChargeRow, line, removing), "line what minutes amount removing",
                SL_CALL (on_what), SL_CALL (on_number), SL_CALL (on_remove), NULL);
  sl_charge_entry_set_up (controls->minutes, "minutes");
  sl_charge_entry_set_up (controls->amount, "amount");
}

static void
fill_row (SlRow *row)
{
  ChargeRow *controls = row->controls;
  const SlUsualCharge *charge = charge_of (row);
  const guint number = sl_row_get_place (row) + 1;
  g_autofree char *currency = sl_shop_currency ();

  sl_name_as (GTK_WIDGET (row), _ ("Usual charge %u, what for"), number);
  sl_name_as (controls->what, _ ("Usual charge %u, what for"), number);
  sl_name_as (controls->minutes, _ ("Usual charge %u, minutes"), number);
  sl_name_as (controls->amount, _ ("Usual charge %u, amount"), number);
  sl_name_with_tip (controls->removing, _ ("Remove usual charge %u"), number);
  if (!g_str_equal (gtk_editable_get_text (GTK_EDITABLE (controls->what)), charge->what))
    gtk_editable_set_text (GTK_EDITABLE (controls->what), charge->what);
  sl_length_entry_set_value (SL_LENGTH_ENTRY (controls->minutes), charge->minutes);
  sl_length_entry_set_plain (SL_LENGTH_ENTRY (controls->amount), currency);
  sl_length_entry_set_value (SL_LENGTH_ENTRY (controls->amount), charge->amount);
}

/* The heads name the currency. */
static void
show_charges (SlRowList *list)
{
  const GArray *charges = g_object_get_data (G_OBJECT (list), "charges");
  g_autofree char *currency = sl_shop_currency (),
                  *amount = *currency == '\0' ? g_strdup (_ ("Amount")) : g_strdup_printf (_ ("Amount, %s"), currency);
  const char *const heads[] = { _ ("What for"), _ ("Minutes"), amount, "", NULL };

  sl_row_list_set_heads (list, heads);
  sl_row_list_update (list, charges->len);
}

static void
on_add (SlRowList *list)
{
  GArray *charges = g_object_get_data (G_OBJECT (list), "charges");
  SlUsualCharge charge = { g_strdup (_ ("Setup")), NAN, NAN };

  g_array_append_val (charges, charge);
  sl_usual_charges_keep (charges);
  show_charges (list);
}

/* ---- the currency ---- */

static gboolean
is_good (const char *currency)
{
  return *currency == '\0' || sl_is_currency (currency);
}

/* What can be entered, or what is wrong with what was. */
static void
show_note (GtkLabel *label, GtkEditable *entry)
{
  const char *text = gtk_editable_get_text (entry);
  const gboolean good = is_good (text);
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
  gtk_label_set_text (label, note);
  sl_set_class (GTK_WIDGET (label), "sl-dim", good);
  sl_set_class (GTK_WIDGET (label), "sl-wrong", !good);
  sl_typed_judge (GTK_WIDGET (entry), !good);
}

static void
on_currency (SlRowList *list, GtkEditable *entry)
{
  const char *text = gtk_editable_get_text (entry);

  if (!is_good (text))
    return;
  sl_settings_set (SL_SETTING_CURRENCY, g_variant_new_string (text));
  show_charges (list);
}

GtkWidget *
sl_usual_charges_editor_new (void)
{
  g_autofree char *kept = sl_settings_get_string (SL_SETTING_CURRENCY, "");
  GArray *charges = sl_usual_charges ();
  GtkWidget *list = sl_row_list_new (_ ("Usual charges"), SL_SPACE, sizeof (ChargeRow), make_row, fill_row, charges);
  GtkWidget *currency, *note, *about, *add;
  GtkWidget *page =
      sl_built_new ("pages.ui", "charges", "currency", &currency, "note", &note, "about", &about, "add", &add, NULL);

  g_object_set_data_full (G_OBJECT (list), "charges", charges, (GDestroyNotify) g_array_unref);
  gtk_box_insert_child_after (GTK_BOX (page), list, about);
  gtk_editable_set_text (GTK_EDITABLE (currency), kept);
  gtk_entry_set_placeholder_text (GTK_ENTRY (currency), sl_locale_currency ());
  g_signal_connect_object (currency, "changed", G_CALLBACK (show_note), note, G_CONNECT_SWAPPED);
  g_signal_connect_object (currency, "changed", G_CALLBACK (on_currency), list, G_CONNECT_SWAPPED);
  show_note (GTK_LABEL (note), GTK_EDITABLE (currency));
  g_signal_connect_object (add, "clicked", G_CALLBACK (on_add), list, G_CONNECT_SWAPPED);
  show_charges (SL_ROW_LIST (list));
  return page;
}

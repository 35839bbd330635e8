/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/shop-habits.h"

#include "desk/length-entry.h"
#include "desk/settings.h"
#include "desk/util.h"
#include "setup/shop.h"

#include <glib/gi18n-lib.h>

#define PERCENT 100.0
#define ENTRY_CHARS 7
#define ROW_SPACING 6
#define COLUMN_SPACING 16

/* One number of the shop, where it is kept, and how it is asked for. */
typedef struct
{
  const char *key, *title;
  gsize offset; /* in SlShop */
  double factor; /* shown = kept times this */
  SlBound bound;
} Habit;

#define AT(member) G_STRUCT_OFFSET (SlShop, member)
#define LENGTH(name, most) { "shop", name, 0, most, SL_UNIT_MM, -1 }

static const Habit habits[] = {
  { "cut-step", N_ ("Cuts in steps of"), AT (cut_step_mm), 1, LENGTH ("step", 1) },
  { "work-rod", N_ ("A rod turn is uncertain by"), AT (work.rod_share), PERCENT, { "shop", "rod", 0, 100, SL_UNIT_NONE, -1 } },
  { "work-slot", N_ ("A slot"), AT (work.slot_mm), 1, LENGTH ("slot", 1) },
  { "work-base", N_ ("An end of a base cut"), AT (work.base_mm), 1, LENGTH ("base", 1) },
  { "work-shape", N_ ("A shaped crest"), AT (work.shape_mm), 1, LENGTH ("crest", 1) },
  { "work-level", N_ ("Levelled frets"), AT (work.level_mm), 1, LENGTH ("levelling", 1) },
};

static double *
place_of (SlShop *shop, const Habit *habit)
{
  return G_STRUCT_MEMBER_P (shop, habit->offset);
}

void
sl_shop_habits_apply (void)
{
  SlShop shop = SL_SHOP_DEFAULT;

  for (guint i = 0; i < G_N_ELEMENTS (habits); i++)
    *place_of (&shop, &habits[i]) = sl_settings_get_double (habits[i].key, *place_of (&shop, &habits[i]));
  sl_shop_set (&shop);
}

static void
on_committed (SlLengthEntry *entry, double value, gpointer data)
{
  const Habit *habit = data;
  SlShop shop = *sl_shop ();

  *place_of (&shop, habit) = value / habit->factor;
  sl_shop_set (&shop);
  sl_settings_set (habit->key, g_variant_new_double (value / habit->factor));
}

static GtkWidget *
entry_new (const Habit *habit)
{
  GtkWidget *entry = sl_length_entry_new ();
  SlShop shop = *sl_shop ();

  if (habit->factor == PERCENT)
    sl_length_entry_set_plain (SL_LENGTH_ENTRY (entry), "%");
  sl_length_entry_set_places (SL_LENGTH_ENTRY (entry), habit->factor == PERCENT ? 0 : 2);
  sl_length_entry_set_bound (SL_LENGTH_ENTRY (entry), &habit->bound);
  sl_length_entry_set_value (SL_LENGTH_ENTRY (entry), *place_of (&shop, habit) * habit->factor);
  gtk_editable_set_width_chars (GTK_EDITABLE (entry), ENTRY_CHARS);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (entry), ENTRY_CHARS);
  gtk_widget_set_halign (entry, GTK_ALIGN_START);
  sl_set_accessible_label (entry, _ (habit->title));
  g_signal_connect (entry, "committed", G_CALLBACK (on_committed), (gpointer) habit);
  return entry;
}

static GtkWidget *
label_new (const char *text, const char *css_class)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_widget_add_css_class (label, css_class);
  return label;
}

GtkWidget *
sl_shop_habits_new (void)
{
  GtkWidget *grid = gtk_grid_new ();
  int row = 0;

  gtk_grid_set_row_spacing (GTK_GRID (grid), ROW_SPACING);
  gtk_grid_set_column_spacing (GTK_GRID (grid), COLUMN_SPACING);
  gtk_grid_attach (GTK_GRID (grid), label_new (_ ("How this shop works (standard uncertainties)"), "sl-section"), 0, row++, 3, 1);
  for (guint i = 0; i < G_N_ELEMENTS (habits); i++)
    {
      GtkWidget *entry = entry_new (&habits[i]), *name = label_new (_ (habits[i].title), "sl-name");

      gtk_widget_set_hexpand (name, TRUE);
      gtk_grid_attach (GTK_GRID (grid), name, 0, row, 1, 1);
      gtk_grid_attach (GTK_GRID (grid), entry, 1, row, 1, 1);
      gtk_grid_attach (GTK_GRID (grid), label_new (habits[i].factor == PERCENT ? "%" : "mm", "sl-dim"), 2, row++, 1, 1);
      gtk_grid_attach (GTK_GRID (grid), sl_length_entry_new_message (SL_LENGTH_ENTRY (entry)), 0, row++, 3, 1);
    }
  return grid;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/preferences/shop-habits.h"

#include "desk/kit/length-entry.h"
#include "bench/settings.h"
#include "desk/kit/util.h"
#include "setup/profile/shop.h"

#include <glib/gi18n-lib.h>

#define PERCENT 100.0
#define ENTRY_CHARS 7
#define FIGURE_PLACES 2 /* of millimetres */
#define INCH_PLACES 3   /* one more, so that a hundredth of a millimetre shows */
#define ROW_SPACING 6
#define COLUMN_SPACING 16

/* One number of the shop, where it is kept, and how it is asked for. */
typedef struct
{
  const char *key, *title;
  const char *heading, *note; /* above it; NULL for none */
  gsize offset; /* in SlShop */
  double factor; /* shown = kept times this */
  SlBound bound;
} Habit;

#define AT(member) G_STRUCT_OFFSET (SlShop, member)
#define LENGTH(name, most) { "shop", name, 0, most, SL_UNIT_MM, -1 }

#define UNCERTAIN_NOTE \
  N_ ("What a piece of work done may be off by, as a standard uncertainty: about two times in three it is nearer. What is carried from one reading to the next is " \
      "widened by it.")

static const Habit habits[] = {
  { "cut-step", N_ ("Cuts in steps of"), N_ ("Cuts"), N_ ("Cuts of saddle and crest are proposed in whole steps, never deeper than worked out; 0: as fine as they are worked out."),
    AT (cut_step_mm), 1, LENGTH ("step", 1) },
  { "work-rod", N_ ("A rod turn, of its change of relief"), N_ ("How sure the work is"), UNCERTAIN_NOTE, AT (work.rod_share), PERCENT,
    { "shop", "rod", 0, 100, SL_UNIT_NONE, -1 } },
  { "work-slot", N_ ("A slot"), NULL, NULL, AT (work.slot_mm), 1, LENGTH ("slot", 1) },
  { "work-base", N_ ("An end of a base cut"), NULL, NULL, AT (work.base_mm), 1, LENGTH ("base", 1) },
  { "work-shape", N_ ("A shaped crest"), NULL, NULL, AT (work.shape_mm), 1, LENGTH ("crest", 1) },
  { "work-level", N_ ("Levelled frets"), NULL, NULL, AT (work.level_mm), 1, LENGTH ("levelling", 1) },
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

  sl_length_entry_set_fine (SL_LENGTH_ENTRY (entry), TRUE);
  if (habit->factor == PERCENT)
    sl_length_entry_set_plain (SL_LENGTH_ENTRY (entry), "%");
  sl_length_entry_set_places (SL_LENGTH_ENTRY (entry), habit->factor == PERCENT ? 0 : FIGURE_PLACES);
  sl_length_entry_set_bound (SL_LENGTH_ENTRY (entry), &habit->bound);
  sl_length_entry_set_value (SL_LENGTH_ENTRY (entry), *place_of (&shop, habit) * habit->factor);
  gtk_editable_set_width_chars (GTK_EDITABLE (entry), ENTRY_CHARS);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (entry), ENTRY_CHARS);
  gtk_widget_set_halign (entry, GTK_ALIGN_START);
  sl_set_accessible_label (entry, _ (habit->title));
  g_signal_connect (entry, "committed", G_CALLBACK (on_committed), (gpointer) habit);
  return entry;
}

static SlLengths
lengths_set (void)
{
  g_autofree char *name = sl_settings_get_string (SL_SETTING_LENGTHS, "");

  return sl_lengths_from_name (name);
}

/* Lengths follow the unit that is chosen for new windows; so fine ones are written in decimal inches where 64ths are. */
static void
show_lengths (GtkWidget *grid)
{
  const SlLengths lengths = lengths_set ();

  for (GtkWidget *child = gtk_widget_get_first_child (grid); child != NULL; child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *unit = g_object_get_data (G_OBJECT (child), "unit");

      if (unit == NULL)
        continue;
      sl_length_entry_set_lengths (SL_LENGTH_ENTRY (child), lengths);
      sl_length_entry_set_places (SL_LENGTH_ENTRY (child), lengths == SL_LENGTHS_MM ? FIGURE_PLACES : INCH_PLACES);
      gtk_label_set_text (GTK_LABEL (unit), lengths == SL_LENGTHS_MM ? _ ("mm") : _ ("in"));
    }
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
  for (guint i = 0; i < G_N_ELEMENTS (habits); i++)
    {
      GtkWidget *entry = entry_new (&habits[i]), *name = label_new (_ (habits[i].title), "sl-name"), *unit = label_new ("%", "sl-dim");

      if (habits[i].heading != NULL)
        gtk_grid_attach (GTK_GRID (grid), label_new (_ (habits[i].heading), "sl-section"), 0, row++, 3, 1);
      if (habits[i].note != NULL)
        gtk_grid_attach (GTK_GRID (grid), sl_note_new (_ (habits[i].note)), 0, row++, 3, 1);
      if (habits[i].factor != PERCENT)
        g_object_set_data (G_OBJECT (entry), "unit", unit);
      gtk_widget_set_hexpand (unit, TRUE);
      gtk_grid_attach (GTK_GRID (grid), name, 0, row, 1, 1);
      gtk_grid_attach (GTK_GRID (grid), entry, 1, row, 1, 1);
      gtk_grid_attach (GTK_GRID (grid), unit, 2, row++, 1, 1);
      gtk_grid_attach (GTK_GRID (grid), sl_length_entry_new_message (SL_LENGTH_ENTRY (entry)), 0, row++, 3, 1);
    }
  show_lengths (grid);
  if (sl_settings () != NULL)
    g_signal_connect_object (sl_settings (), "changed::" SL_SETTING_LENGTHS, G_CALLBACK (show_lengths), grid, G_CONNECT_SWAPPED);
  return grid;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How much a width of wood swells or shrinks across the grain. */
#include "desk/climate-parts.h"

#include "desk/util.h"
#include "setup/climate.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define LEAST_WIDTH_MM 1.0
#define MOST_WIDTH_MM 1000.0 /* wider than any instrument's wood */
#define COEFFICIENT_PLACES 5
#define PERCENT 100

enum
{
  QUARTERED, /* growth rings stand upright: the width moves by the radial coefficient */
  FLAT
};

typedef struct
{
  GtkWidget *wood, *cut, *coefficient, *width, *from, *to, *result; /* borrowed */
  SlBench *bench; /* owned */
  gboolean filling;
} Wood;

static void
wood_free (gpointer data)
{
  Wood *self = data;

  g_object_unref (self->bench);
  g_free (self);
}

/* The wood chosen; NULL where its coefficient is the person's to give. */
static const SlWood *
known_wood (Wood *self)
{
  int n;
  const SlWood *woods = sl_woods (&n);
  guint chosen = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->wood));

  return chosen < (guint) n ? &woods[chosen] : NULL;
}

static void
show (GtkWidget *column)
{
  Wood *self = g_object_get_data (G_OBJECT (column), "wood");
  double coefficient, width, from, to, change;
  gboolean good;

  if (self->filling)
    return;
  /* each is read, so that each is marked */
  good = sl_climate_read (self->coefficient, SL_MOVEMENT_LEAST_COEFFICIENT, SL_MOVEMENT_MOST_COEFFICIENT, &coefficient);
  good = sl_climate_read (self->width, LEAST_WIDTH_MM, MOST_WIDTH_MM, &width) && good;
  good = sl_climate_read (self->from, SL_MOVEMENT_LEAST, SL_MOVEMENT_MOST, &from) && good;
  good = sl_climate_read (self->to, SL_MOVEMENT_LEAST, SL_MOVEMENT_MOST, &to) && good;
  if (!good || !sl_wood_movement (width, coefficient, from, to, &change))
    {
      gtk_label_set_label (GTK_LABEL (self->result), _ ("Give a width from 1 to 1000 mm, two moisture contents from 6 to 14 % (the coefficients hold there only), "
                                                        "and a coefficient from 0.0001 to 0.01."));
      return;
    }
  g_autofree char *length = sl_bench_length (self->bench, fabs (change), 2, TRUE), *share = sl_climate_number (fabs (change) / width * PERCENT, 2);
  g_autofree char *text = change >= 0 ? g_strdup_printf (_ ("It swells by %1$s (%2$s %%)."), length, share) : g_strdup_printf (_ ("It shrinks by %1$s (%2$s %%)."), length, share);
  gtk_label_set_label (GTK_LABEL (self->result), text);
}

/* The coefficient follows the wood and its cut where they are known; else it is left to be typed. */
static void
choose (GtkWidget *column)
{
  Wood *self = g_object_get_data (G_OBJECT (column), "wood");
  const SlWood *wood = known_wood (self);

  if (self->filling)
    return;
  gtk_widget_set_sensitive (self->cut, wood != NULL);
  gtk_editable_set_editable (GTK_EDITABLE (self->coefficient), wood == NULL);
  if (wood != NULL)
    {
      gboolean flat = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->cut)) == FLAT;
      g_autofree char *text = sl_climate_number (flat ? wood->tangential : wood->radial, COEFFICIENT_PLACES);

      gtk_editable_set_text (GTK_EDITABLE (self->coefficient), text);
    }
  show (column);
}

static GtkWidget *
make_chooser (GtkWidget *column, const char *name, GtkStringList *titles)
{
  GtkWidget *chooser = gtk_drop_down_new (G_LIST_MODEL (titles), NULL);

  sl_set_accessible_label (chooser, name);
  sl_guard_wheel (chooser);
  g_signal_connect_object (chooser, "notify::selected", G_CALLBACK (choose), column, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (column), chooser);
  return chooser;
}

GtkWidget *
sl_climate_wood_new (SlBench *bench)
{
  GtkWidget *column = sl_climate_column (_ ("Wood across the grain")), *line;
  GtkStringList *titles = gtk_string_list_new (NULL), *cuts = gtk_string_list_new (NULL);
  Wood *self = g_new0 (Wood, 1);
  int n;
  const SlWood *woods = sl_woods (&n);

  self->bench = g_object_ref (bench);
  self->filling = TRUE;
  g_object_set_data_full (G_OBJECT (column), "wood", self, wood_free);
  for (int i = 0; i < n; i++)
    gtk_string_list_append (titles, _ (woods[i].name));
  gtk_string_list_append (titles, _ ("mahogany: sources disagree, give it"));
  gtk_string_list_append (titles, _ ("another wood: give its coefficient"));
  gtk_string_list_append (cuts, _ ("quarter-sawn (radial)"));
  gtk_string_list_append (cuts, _ ("flat-sawn (tangential)"));
  self->wood = make_chooser (column, _ ("Wood"), titles);
  self->cut = make_chooser (column, _ ("How it is sawn"), cuts);
  line = sl_climate_line (column);
  self->coefficient = sl_climate_entry (line, _ (/* xgettext:no-c-format */ "Change of width for each % of moisture content"), _ (/* xgettext:no-c-format */ "per %"), G_CALLBACK (show), column);
  self->width = sl_climate_entry (line, _ ("Width across the grain"), _ ("mm"), G_CALLBACK (show), column);
  gtk_editable_set_width_chars (GTK_EDITABLE (self->coefficient), COEFFICIENT_PLACES + 2);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (self->coefficient), COEFFICIENT_PLACES + 2);
  line = sl_climate_line (column);
  self->from = sl_climate_entry (line, _ ("Moisture content at first"), _ ("to"), G_CALLBACK (show), column);
  self->to = sl_climate_entry (line, _ ("Moisture content later"), _ (/* xgettext:no-c-format */ "% moisture"), G_CALLBACK (show), column);
  self->result = sl_climate_words (column);
  self->filling = FALSE;
  choose (column);
  return column;
}

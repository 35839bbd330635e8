/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How much a width of wood swells or shrinks across the grain. */
#include "desk/sheets/parts.h"

#include "setup/wood/climate.h"

#define COEFFICIENT_PLACES 5
#define PERCENT 100
#define WIDTH_PLACES 1 /* of a millimetre, as a rule is read */
#define WIDTH_CHARS 7  /* "15 63/64" */
#define WIDTH_STEP_MM 1.0

static const SlBound width_bound = {
  "wood", "width", 1, 1000, SL_UNIT_MM, -1
}; /* the most is wider than any instrument's wood */

#define FLAT                                                                                                           \
  1 /* of the two cuts; in the other growth rings stand upright: the width moves by the radial coefficient             \
     */

typedef struct
{
  SlBench *bench;
  GtkWidget *column, *wood, *cut, *coefficient, *width, *unit, *from, *to, *result; /* borrowed; bound in this order */
} Wood;

static void
show (Wood *self)
{
  double coefficient, width, from, to, change;
  gboolean good;

  /* each is read, so that each is marked */
  good = sl_climate_read (self->coefficient, SL_MOVEMENT_LEAST_COEFFICIENT, SL_MOVEMENT_MOST_COEFFICIENT, &coefficient);
  width = sl_length_entry_get_value (SL_LENGTH_ENTRY (self->width));
  good = sl_climate_read (self->from, SL_MOVEMENT_LEAST, SL_MOVEMENT_MOST, &from) && good;
  good = sl_climate_read (self->to, SL_MOVEMENT_LEAST, SL_MOVEMENT_MOST, &to) && good;
  if (!good || isnan (width) || !sl_wood_movement (width, coefficient, from, to, &change))
    {
      g_autofree char *range = sl_bound_range (&width_bound);
      g_autofree char *text = g_strdup_printf (
          _ ("Give a width, %s, two moisture contents from 6 to 14 %% (the coefficients hold there only), "
             "and a coefficient from 0.0001 to 0.01."),
          range);

      sl_label_set (self->result, text);
      return;
    }
  const SlTextStyle style = sl_bench_text_style (self->bench);
  g_autofree char *number = sl_text_fine (&style, fabs (change)),
                  *length = g_strdup_printf ("%s %s", number, sl_text_unit (&style));
  g_autofree char *share = sl_climate_number (fabs (change) / width * PERCENT, 2);
  g_autofree char *text = change >= 0 ? g_strdup_printf (_ ("It swells by %1$s (%2$s %%)."), length, share)
                                      : g_strdup_printf (_ ("It shrinks by %1$s (%2$s %%)."), length, share);
  sl_label_set (self->result, text);
}

/* The coefficient follows the wood and its cut where they are known; else it is left to be typed. */
static void
choose (Wood *self)
{
  int n;
  const SlWood *woods = sl_woods (&n);
  const guint chosen = sl_chosen (self->wood);
  const SlWood *wood = chosen < (guint) n ? &woods[chosen] : NULL; /* NULL: its coefficient is the person's to give */

  gtk_widget_set_sensitive (self->cut, wood != NULL);
  gtk_editable_set_editable (GTK_EDITABLE (self->coefficient), wood == NULL);
  if (wood != NULL)
    {
      gboolean flat = sl_chosen (self->cut) == FLAT;
      g_autofree char *text = sl_climate_number (flat ? wood->tangential : wood->radial, COEFFICIENT_PLACES);

      gtk_editable_set_text (GTK_EDITABLE (self->coefficient), text);
    }
  show (self);
}

/* The width stays what it is and is shown, and typed, in the units chosen. */
static void
update (Wood *self)
{
  SlLengths lengths = sl_bench_get_lengths (self->bench);

  sl_length_entry_set_lengths (SL_LENGTH_ENTRY (self->width), lengths);
  sl_label_set (self->unit, lengths == SL_LENGTHS_MM ? _ ("mm") : _ ("in"));
  show (self);
}

GtkWidget *
sl_climate_wood_new (SlBench *bench)
{
  g_autoptr (GtkStringList) titles = gtk_string_list_new (NULL);
  Wood *self = sl_part_new (bench, SL_PART (Wood, column, result), g_free, "climate-wood",
                            "column wood cut coefficient width unit from to result", SL_CALL (show), NULL);
  int n;
  const SlWood *woods = sl_woods (&n);

  sl_follow_while_seen (self->column, bench, SL_CHANGED_LENGTHS, G_CALLBACK (update), self);
  for (int i = 0; i < n; i++)
    gtk_string_list_append (titles, _ (woods[i].name));
  gtk_string_list_append (titles, _ ("mahogany: sources disagree, give it"));
  gtk_string_list_append (titles, _ ("another wood: give its coefficient"));
  sl_chooser_init (self->wood, _ ("Wood"), G_CALLBACK (choose), self);
  sl_chooser_init (self->cut, _ ("How it is sawn"), G_CALLBACK (choose), self);
  sl_chooser_fill (self->wood, titles, 0);
  sl_length_entry_set_up (self->width, (SlLengthUse){ &width_bound, NULL, WIDTH_PLACES, WIDTH_STEP_MM, .coarse = TRUE,
                                                      .chars = WIDTH_CHARS });
  sl_set_accessible_label (self->width, _ ("Width across the grain"));
  gtk_box_insert_child_after (GTK_BOX (self->column), sl_length_entry_new_message (SL_LENGTH_ENTRY (self->width)),
                              gtk_widget_get_parent (self->width));
  choose (self);
  return self->column;
}

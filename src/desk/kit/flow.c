/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/flow.h"

#include "desk/kit/util.h"

#define LINE_SPACING 4

static int
spacing_of (GtkWidget *box)
{
  return GPOINTER_TO_INT (g_object_get_data (G_OBJECT (box), "flow-spacing"));
}

/* @child or the first one after it that is seen; NULL: none. */
static GtkWidget *
seen_from (GtkWidget *child)
{
  while (child != NULL && !gtk_widget_should_layout (child))
    child = gtk_widget_get_next_sibling (child);
  return child;
}

/* What of a line is its children's, from @first to before @end, is theirs; @left is shared by those that expand. */
static void
place_line (GtkWidget *first, const GtkWidget *end, const GtkAllocation *line, int spacing, int left)
{
  int x = 0, n_wide = 0;

  for (GtkWidget *child = first; child != end; child = seen_from (gtk_widget_get_next_sibling (child)))
    n_wide += gtk_widget_compute_expand (child, GTK_ORIENTATION_HORIZONTAL);
  for (GtkWidget *child = first; child != end; child = seen_from (gtk_widget_get_next_sibling (child)))
    {
      const int more = gtk_widget_compute_expand (child, GTK_ORIENTATION_HORIZONTAL) ? MAX (left, 0) / n_wide-- : 0,
                width = MIN (sl_natural_width (child), line->width) + more;

      gtk_widget_size_allocate (child, &(GtkAllocation){ x, line->y, width, line->height }, -1);
      x += width + spacing;
      left -= more;
    }
}

/* The height of all lines, which are placed where that is asked for. */
static int
flow (GtkWidget *box, int room, gboolean place)
{
  const int spacing = spacing_of (box);
  int y = 0;

  for (GtkWidget *first = seen_from (gtk_widget_get_first_child (box)), *end; first != NULL; first = end)
    {
      int used = -spacing, height = 0;

      for (end = first; end != NULL && (end == first || used + spacing + sl_natural_width (end) <= room);
           end = seen_from (gtk_widget_get_next_sibling (end)))
        {
          const int width = MIN (sl_natural_width (end), room);

          used += spacing + width;
          height = MAX (height, sl_least (end, GTK_ORIENTATION_VERTICAL, width));
        }
      if (place)
        place_line (first, end, &(GtkAllocation){ 0, y, room, height }, spacing, room - used);
      y += height + (end != NULL ? LINE_SPACING : 0);
    }
  return y;
}

/* Without a width to go by it is one line: what asks so does not know yet how much room there will be, and most have
 * enough. */
static void
measure (GtkWidget *box, GtkOrientation orientation, int for_size, int *minimum, int *natural, int *minimum_baseline,
         int *natural_baseline)
{
  *natural = -spacing_of (box);
  for (GtkWidget *child = seen_from (gtk_widget_get_first_child (box)); child != NULL;
       child = seen_from (gtk_widget_get_next_sibling (child)))
    {
      *minimum = MAX (*minimum, sl_least (child, GTK_ORIENTATION_HORIZONTAL, -1));
      *natural += spacing_of (box) + sl_natural_width (child);
    }
  *natural = MAX (*natural, *minimum);
  if (orientation == GTK_ORIENTATION_VERTICAL)
    *minimum = *natural = flow (box, for_size < 0 ? *natural : for_size, FALSE);
}

static void
allocate (GtkWidget *box, int width, int height, int baseline)
{
  flow (box, width, TRUE);
}

void
sl_flow (GtkWidget *box, int spacing)
{
  g_object_set_data (G_OBJECT (box), "flow-spacing", GINT_TO_POINTER (spacing));
  sl_lay_out (box, measure, allocate);
}

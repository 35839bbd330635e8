/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/kit.h"

#define LINE_SPACING SL_SPACE_CLOSE

/* What a child takes of a line at least: where that is one of two columns it is at its narrowest, so that they stand
 * beside each other as long as they can. */
static int
width_of (GtkWidget *child)
{
  return gtk_widget_has_css_class (child, "sl-column") ? sl_least (child, GTK_ORIENTATION_HORIZONTAL, -1)
                                                       : sl_natural_width (child);
}

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

/* The height of a line of its children, from @first to before @end; @left is shared by those that expand. Where the
 * line has a height already they are placed in it. */
static int
lay_line (GtkWidget *first, const GtkWidget *end, const GtkAllocation *line, int spacing, int left)
{
  int x = 0, n_wide = 0, height = 0;

  for (GtkWidget *child = first; child != end; child = seen_from (gtk_widget_get_next_sibling (child)))
    n_wide += gtk_widget_compute_expand (child, GTK_ORIENTATION_HORIZONTAL);
  for (GtkWidget *child = first; child != end; child = seen_from (gtk_widget_get_next_sibling (child)))
    {
      const int more = gtk_widget_compute_expand (child, GTK_ORIENTATION_HORIZONTAL) ? MAX (left, 0) / n_wide-- : 0,
                width = MIN (width_of (child), line->width) + more;

      height = MAX (height, sl_least (child, GTK_ORIENTATION_VERTICAL, width));
      if (line->height > 0)
        gtk_widget_size_allocate (child, &(GtkAllocation){ x, line->y, width, line->height }, -1);
      x += width + spacing;
      left -= more;
    }
  return height;
}

/* The height of all lines, which are placed where that is asked for. */
static int
flow (GtkWidget *box, int room, gboolean place)
{
  const int spacing = spacing_of (box);
  int y = 0;

  for (GtkWidget *first = seen_from (gtk_widget_get_first_child (box)), *end; first != NULL; first = end)
    {
      GtkAllocation line = { 0, y, room, 0 };
      int used = -spacing;

      for (end = first; end != NULL && (end == first || used + spacing + width_of (end) <= room);
           end = seen_from (gtk_widget_get_next_sibling (end)))
        used += spacing + MIN (width_of (end), room);
      line.height = lay_line (first, end, &line, spacing, room - used);
      if (place)
        lay_line (first, end, &line, spacing, room - used);
      y += line.height + (end != NULL ? LINE_SPACING : 0);
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
      *natural += spacing_of (box) + width_of (child);
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

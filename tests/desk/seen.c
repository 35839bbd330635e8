/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "seen.h"

#include "desk/kit/length-entry.h"

#include <string.h>

/* Fractions of a pixel are rounded at several places. */
#define SLACK 1.5f
#define SHOWN_CHARS 60
#define LONG_WORD 15  /* letters */
#define NAME_CHARS 40 /* what is longer is a sentence */
#define LEAST_APART 6 /* of the figures of a row */

typedef struct
{
  SeenFault fault;
  gpointer data;
} Check;

static G_GNUC_PRINTF (3, 4) void complain (const Check *check, GtkWidget *widget, const char *format, ...)
{
  g_autofree char *what = NULL, *all = NULL;
  va_list args;

  va_start (args, format);
  what = g_strdup_vprintf (format, args);
  va_end (args);
  all = g_strdup_printf ("%s %s", gtk_widget_get_css_name (widget), what);
  check->fault (all, check->data);
}

/* The words of a widget for a sentence about it: its own, else those of the first label in it. */
static char *
words_of (GtkWidget *widget)
{
  const char *text = GTK_IS_LABEL (widget)         ? gtk_label_get_text (GTK_LABEL (widget))
                     : GTK_IS_INSCRIPTION (widget) ? gtk_inscription_get_text (GTK_INSCRIPTION (widget))
                     : GTK_IS_TEXT (widget)        ? gtk_editable_get_text (GTK_EDITABLE (widget))
                                                   : NULL;
  char *words = NULL;

  if (text != NULL)
    return g_strndup (text,
                      (gsize) (g_utf8_offset_to_pointer (text, MIN (SHOWN_CHARS, g_utf8_strlen (text, -1))) - text));
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL && words == NULL;
       child = gtk_widget_get_next_sibling (child))
    words = words_of (child);
  return words;
}

/* ---- texts ---- */

/* The title of a window may be longer than any screen; its tooltip and the page of the instrument have it whole. */
static gboolean
may_be_cut (GtkWidget *label)
{
  if (GTK_IS_TEXT (gtk_widget_get_parent (label))) /* a hint; a length entry's figure is looked at below */
    return TRUE;
  return gtk_widget_get_ancestor (label, GTK_TYPE_HEADER_BAR) != NULL &&
         (gtk_widget_has_css_class (label, "sl-heading") || gtk_widget_has_css_class (label, "title") ||
          gtk_widget_has_css_class (label, "sl-small"));
}

/* The letters of the word that a place is in. */
static int
word_length (const char *text, const char *at)
{
  const char *from = at, *to = at;

  while (from > text && g_unichar_isalnum (g_utf8_get_char (g_utf8_prev_char (from))))
    from = g_utf8_prev_char (from);
  while (g_unichar_isalnum (g_utf8_get_char (to)))
    to = g_utf8_next_char (to);
  return (int) g_utf8_strlen (from, to - from);
}

/* Whether a line ends within a word, where neither a space nor a mark allows it, and the word is no longer than a
 * narrow column. */
static gboolean
breaks_a_word (PangoLayout *layout)
{
  const char *text = pango_layout_get_text (layout);

  for (GSList *l = pango_layout_get_lines_readonly (layout); l != NULL; l = l->next)
    {
      const PangoLayoutLine *line = l->data;
      const char *start = text + line->start_index;

      if (line->start_index > 0 && g_unichar_isalnum (g_utf8_get_char (start)) &&
          g_unichar_isalnum (g_utf8_get_char (g_utf8_prev_char (start))) && word_length (text, start) < LONG_WORD)
        return TRUE;
    }
  return FALSE;
}

/* Whether the last line of a name is the number at its end, parted from its word. */
static gboolean
parts_a_number (PangoLayout *layout)
{
  const char *text = pango_layout_get_text (layout);
  const int n = pango_layout_get_line_count (layout);
  const PangoLayoutLine *last = pango_layout_get_line_readonly (layout, n - 1);

  /* a date, which begins with one, may have its year there */
  return n > 1 && g_utf8_strlen (text, -1) <= NAME_CHARS && last->length > 0 && !g_ascii_isdigit (*text) &&
         strspn (text + last->start_index, "0123456789") == (gsize) last->length;
}

static void
check_label (const Check *check, GtkWidget *widget)
{
  PangoLayout *layout = gtk_label_get_layout (GTK_LABEL (widget));
  g_autofree char *words = words_of (widget);
  int width, height;

  if (*words == '\0' || may_be_cut (widget))
    return;
  pango_layout_get_pixel_size (layout, &width, &height);
  if (pango_layout_is_ellipsized (layout))
    complain (check, widget, "“%s” is ellipsized", words);
  else if (breaks_a_word (layout))
    complain (check, widget, "“%s” is broken within a word", words);
  else if (parts_a_number (layout))
    complain (check, widget, "“%s” has its number alone on a line", words);
  else if (width > gtk_widget_get_width (widget) + SLACK || height > gtk_widget_get_height (widget) + SLACK)
    complain (check, widget, "“%s” has %d × %d and wants %d × %d", words, gtk_widget_get_width (widget),
              gtk_widget_get_height (widget), width, height);
}

static void
check_line (const Check *check, GtkWidget *widget, const char *text, PangoAttrList *attributes)
{
  g_autoptr (PangoLayout) layout = NULL;
  int width;

  if (text == NULL || *text == '\0')
    return;
  layout = gtk_widget_create_pango_layout (widget, text);
  pango_layout_set_attributes (layout, attributes);
  pango_layout_get_pixel_size (layout, &width, NULL);
  if (width > gtk_widget_get_width (widget) + SLACK)
    complain (check, widget, "“%s” has a width of %d and wants %d", text, gtk_widget_get_width (widget), width);
}

/* Figures are set to the right: what is left of a cell is between its figure and the one before. */
static void
check_apart (const Check *check, GtkWidget *widget)
{
  GtkInscription *cell = GTK_INSCRIPTION (widget);
  const char *text = gtk_inscription_get_text (cell);
  g_autoptr (PangoLayout) layout = gtk_widget_create_pango_layout (widget, text);
  graphene_rect_t is;
  int width;

  pango_layout_set_attributes (layout, gtk_inscription_get_attributes (cell));
  pango_layout_get_pixel_size (layout, &width, NULL);
  if (text != NULL && gtk_inscription_get_xalign (cell) > 0.5f &&
      gtk_widget_compute_bounds (widget, gtk_widget_get_parent (widget), &is) && is.size.width < width + LEAST_APART)
    complain (check, widget, "“%s” is %.0f from the figure before", text, is.size.width - width);
}

/* What is typed may be longer than its box; a figure that is shown may not. */
static void
check_entry (const Check *check, GtkWidget *entry)
{
  for (GtkWidget *child = gtk_widget_get_first_child (entry); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (GTK_IS_TEXT (child))
      {
        check_line (check, child, gtk_editable_get_text (GTK_EDITABLE (entry)), NULL);
        if (*gtk_editable_get_text (GTK_EDITABLE (entry)) == '\0')
          check_line (check, child, gtk_entry_get_placeholder_text (GTK_ENTRY (entry)), NULL);
      }
}

/* ---- places ---- */

static gboolean
is_row (GtkWidget *widget)
{
  return gtk_widget_has_css_class (widget, "sl-table-row");
}

/* Things beside each other, of which neither is meant to lie over the other. */
static void
check_neighbours (const Check *check, GtkWidget *box)
{
  graphene_rect_t is, next, both;

  for (GtkWidget *child = gtk_widget_get_first_child (box), *other; child != NULL;
       child = gtk_widget_get_next_sibling (child))
    for (other = gtk_widget_get_next_sibling (child); other != NULL; other = gtk_widget_get_next_sibling (other))
      if (gtk_widget_get_mapped (child) && gtk_widget_get_mapped (other) && !GTK_IS_NATIVE (child) &&
          !GTK_IS_NATIVE (other) && gtk_widget_compute_bounds (child, box, &is) &&
          gtk_widget_compute_bounds (other, box, &next) && graphene_rect_intersection (&is, &next, &both) &&
          both.size.width > SLACK && both.size.height > SLACK)
        {
          g_autofree char *words = words_of (child), *other_words = words_of (other);

          complain (check, child, "“%s” and “%s” lie over each other by %.0f × %.0f", words == NULL ? "" : words,
                    other_words == NULL ? "" : other_words, both.size.width, both.size.height);
        }
}

/* Columns of a table that scrolls are laid out beside it, whole, while its bar is there; the verdict on a result is
 * always in sight. */
static gboolean
has_scrolled_away (GtkWidget *row, GtkWidget *child, const graphene_rect_t *cell)
{
  GtkWidget *table = gtk_widget_get_parent (row), *bar = gtk_widget_get_last_child (table);

  if (gtk_widget_has_css_class (table, "sl-results") && child == gtk_widget_get_last_child (row))
    return FALSE;

  while (bar != NULL && !GTK_IS_SCROLLBAR (bar))
    bar = gtk_widget_get_prev_sibling (bar);
  return (cell->origin.x + cell->size.width <= 0 || cell->origin.x >= (float) gtk_widget_get_width (row)) &&
         bar != NULL && gtk_widget_get_child_visible (bar);
}

static void
check_place (const Check *check, GtkWidget *child, GtkWidget *parent)
{
  graphene_rect_t is, room;
  g_autofree char *words = NULL;

  if (!gtk_widget_compute_bounds (child, parent, &is) || !gtk_widget_compute_bounds (parent, parent, &room) ||
      is.size.width <= 0 || is.size.height <= 0 || (is_row (parent) && has_scrolled_away (parent, child, &is)))
    return;
  if (is.origin.x >= room.origin.x - SLACK && is.origin.y >= room.origin.y - SLACK &&
      is.origin.x + is.size.width <= room.origin.x + room.size.width + SLACK &&
      is.origin.y + is.size.height <= room.origin.y + room.size.height + SLACK)
    return;
  words = words_of (child);
  complain (check, child, "“%s” at %.0f, %.0f with %.0f × %.0f lies outside its %s of %.0f × %.0f",
            words == NULL ? "" : words, is.origin.x, is.origin.y, is.size.width, is.size.height,
            gtk_widget_get_css_name (parent), room.size.width, room.size.height);
}

static void
check_bar (const Check *check, GtkWidget *widget)
{
  GtkScrolledWindow *scrolled = GTK_SCROLLED_WINDOW (widget);
  GtkAdjustment *across = gtk_scrolled_window_get_hadjustment (scrolled);
  GtkWidget *bar = gtk_scrolled_window_get_hscrollbar (scrolled);
  g_autofree char *words = NULL;

  if (gtk_adjustment_get_upper (across) <= gtk_adjustment_get_page_size (across) + SLACK ||
      (gtk_widget_get_mapped (bar) && !gtk_scrolled_window_get_overlay_scrolling (scrolled)))
    return;
  words = words_of (widget);
  complain (check, widget, "of “%s” shows no bar though it has %.0f of %.0f", words == NULL ? "" : words,
            gtk_adjustment_get_page_size (across), gtk_adjustment_get_upper (across));
}

static void
check_widget (const Check *check, GtkWidget *widget)
{
  GtkWidget *parent = gtk_widget_get_parent (widget);

  if (!gtk_widget_get_mapped (widget) || GTK_IS_RANGE (widget) || GTK_IS_SCROLLBAR (widget) || GTK_IS_SWITCH (widget))
    return;
  if (parent != NULL && !GTK_IS_VIEWPORT (parent) && !GTK_IS_SCROLLABLE (parent) && !GTK_IS_SCROLLABLE (widget))
    check_place (check, widget, parent);
  if (GTK_IS_LABEL (widget))
    check_label (check, widget);
  else if (GTK_IS_INSCRIPTION (widget))
    {
      check_line (check, widget, gtk_inscription_get_text (GTK_INSCRIPTION (widget)),
                  gtk_inscription_get_attributes (GTK_INSCRIPTION (widget)));
      if (is_row (parent))
        check_apart (check, widget);
    }
  else if (SL_IS_LENGTH_ENTRY (widget))
    check_entry (check, widget);
  else if (GTK_IS_SCROLLED_WINDOW (widget))
    check_bar (check, widget);
  else if ((GTK_IS_BOX (widget) || GTK_IS_GRID (widget)) && !is_row (widget))
    check_neighbours (check, widget);
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL && !GTK_IS_LABEL (widget);
       child = gtk_widget_get_next_sibling (child))
    if (!GTK_IS_NATIVE (child))
      check_widget (check, child);
}

void
seen_check (GtkWidget *window, SeenFault fault, gpointer data)
{
  const Check check = { fault, data };

  check_widget (&check, window);
}

void
seen_save (GtkWidget *window, const char *path)
{
  g_autoptr (GdkPaintable) paintable = gtk_widget_paintable_new (window);
  const int width = gdk_paintable_get_intrinsic_width (paintable),
            height = gdk_paintable_get_intrinsic_height (paintable);
  GtkSnapshot *snapshot = gtk_snapshot_new ();
  g_autoptr (GdkTexture) texture = NULL;
  GskRenderNode *node;

  gdk_paintable_snapshot (paintable, GDK_SNAPSHOT (snapshot), width, height);
  node = gtk_snapshot_free_to_node (snapshot);
  if (node == NULL)
    return;
  texture = gsk_renderer_render_texture (gtk_native_get_renderer (GTK_NATIVE (window)), node, NULL);
  gsk_render_node_unref (node);
  g_assert_true (gdk_texture_save_to_png (texture, path));
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/figure-table-private.h"

#include "desk/kit/util.h"

/* Names for assistive technology follow when the figures have stood still this long. */
#define NAME_MS 250

static void sl_figure_table_buildable_init (GtkBuildableIface *iface);

G_DEFINE_FINAL_TYPE_WITH_CODE (SlFigureTable, sl_figure_table, GTK_TYPE_BOX,
                               G_IMPLEMENT_INTERFACE (GTK_TYPE_BUILDABLE, sl_figure_table_buildable_init))

/* ---- names for assistive technology ---- */

static void
name_row (SlFigureTable *self, guint r)
{
  SlFigureRow *row = sl_figure_row (self, r);
  const char *first = sl_figure_text (row, 0), *text;
  g_autoptr (GString) all = g_string_new (first);

  for (guint c = 1; c < self->columns->len; c++)
    if ((text = sl_figure_text (row, c)) != NULL)
      {
        const char *said = g_str_equal (text, "≈") ? _ ("assumed") : text;
        /* Translators: row of a table, column, figure */
        g_autofree char *name = g_strdup_printf (_ ("%s, %s: %s"), first, sl_figure_column (self, c)->spoken, said),
                        *sentence = self->sentence == NULL ? NULL : self->sentence (self->owner, r, c);

        sl_set_accessible_label (row->cells[c], g_strdelimit (name, "\n", ' '));
        if (sentence != NULL)
          sl_set_accessible_description (row->cells[c], sentence);
        if (text[0] != '\0' && (sl_figure_column (self, c)->seen || !sl_figure_column (self, c)->spare) &&
            !sl_figure_column (self, c)->hidden)
          /* Translators: a column of a table and the figure in it, in a sentence that reads all of a row */
          g_string_append_printf (all, _ ("; %s: %s"), sl_figure_column (self, c)->spoken, said);
      }
  sl_set_accessible_label (row->box, row->sentence != NULL ? row->sentence : g_strdelimit (all->str, "\n", ' '));
}

static gboolean
name_rows (gpointer data)
{
  SlFigureTable *self = data;

  self->name_id = 0;
  for (guint r = 0; r < self->rows->len; r++)
    name_row (self, r);
  if (self->cursor_row < 0 && !self->has_controls)
    sl_figure_seek (self, 0, 1, 0, 1, FALSE);
  return G_SOURCE_REMOVE;
}

static void
name_soon (SlFigureTable *self)
{
  g_clear_handle_id (&self->name_id, g_source_remove);
  self->name_id = g_timeout_add_full (G_PRIORITY_LOW, NAME_MS, name_rows, self, NULL);
}

/* ---- cells ---- */

/* Puts @cell where the cells of the column stand, so that they are read in order. */
static void
attach (SlFigureTable *self, SlFigureRow *row, guint c, GtkWidget *cell)
{
  GtkWidget *before = NULL;

  for (guint i = c; i > 0 && before == NULL; i--)
    before = row->cells[i - 1];
  g_clear_pointer (&row->cells[c], gtk_widget_unparent);
  row->cells[c] = cell;
  gtk_widget_insert_after (cell, row->box, before);
  gtk_widget_set_visible (cell, !sl_figure_column (self, c)->hidden);
}

/* A column with a given room has inscriptions: they take new text without asking for a new size, which is what keeps a
 * drag smooth. A heading is a label, so that its column is at least as wide as its title in any language. */
static GtkWidget *
add_cell (SlFigureTable *self, SlFigureRow *row, guint c)
{
  const SlColumn *is = &sl_figure_column (self, c)->is;
  const gboolean inscribed = (is->chars > 0 || (is->flags & SL_COLUMN_SNUG) != 0) && row != self->head;
  const GtkAccessibleRole role = row == self->head ? GTK_ACCESSIBLE_ROLE_COLUMN_HEADER
                                 : c == 0          ? GTK_ACCESSIBLE_ROLE_ROW_HEADER
                                                   : GTK_ACCESSIBLE_ROLE_CELL;
  const float xalign = c == 0 || (is->flags & SL_COLUMN_WORDS) != 0 ? 0.0f
                       : (is->flags & SL_COLUMN_CENTRED) != 0       ? 0.5f
                                                                    : 1.0f;
  g_auto (GStrv) classes = g_strsplit (row == self->head ? "sl-dim" : is->classes == NULL ? "" : is->classes, " ", -1);
  GtkWidget *cell = g_object_new (inscribed ? GTK_TYPE_INSCRIPTION : GTK_TYPE_LABEL, "accessible-role", role, "xalign",
                                  xalign, "valign", row == self->head ? GTK_ALIGN_END : GTK_ALIGN_CENTER, NULL);

  if (inscribed)
    g_object_set (cell, "min-chars", is->chars, "nat-chars", is->chars, NULL);
  else
    g_object_set (cell, "justify", xalign > 0.5f ? GTK_JUSTIFY_RIGHT : GTK_JUSTIFY_LEFT, "wrap",
                  sl_figure_wraps (self, c), NULL);
  if (xalign > 0.5f) /* figures end below each other, whichever way the table goes */
    gtk_widget_set_direction (cell, GTK_TEXT_DIR_LTR);
  gtk_widget_add_css_class (cell, "sl-cell");
  for (char **class = classes; *class != NULL; class ++)
    gtk_widget_add_css_class (cell, *class);
  attach (self, row, c, cell);
  return cell;
}

void
sl_figure_table_set (SlFigureTable *self, guint row, guint column, const char *text)
{
  SlFigureRow *is = sl_figure_row (self, row);
  GtkWidget *cell = is->cells[column] != NULL ? is->cells[column] : add_cell (self, is, column);

  if (text == NULL)
    text = "";
  if (g_strcmp0 (sl_figure_text (is, column), text) == 0 && self->sentence == NULL)
    return;
  if (GTK_IS_LABEL (cell))
    (sl_figure_wraps (self, column) ? sl_label_set_name : sl_label_set) (cell, text);
  else if (GTK_IS_INSCRIPTION (cell) && g_strcmp0 (sl_figure_text (is, column), text) != 0)
    {
      gtk_inscription_set_text (GTK_INSCRIPTION (cell), text);
      if (strlen (text) > sl_figure_column (self, column)->longest)
        gtk_widget_queue_resize (cell);
    }
  name_soon (self);
}

void
sl_figure_table_take (SlFigureTable *self, guint row, guint column, char *text)
{
  sl_figure_table_set (self, row, column, text);
  g_free (text);
}

void
sl_figure_table_fill (SlFigureTable *self, guint row, char *first, ...)
{
  va_list texts;
  guint column = 0;

  va_start (texts, first);
  for (char *text = first; text != NULL; text = va_arg (texts, char *))
    sl_figure_table_take (self, row, column++, text);
  va_end (texts);
}

static void
on_control_focus (SlFigureTable *self, GtkEventController *focus)
{
  guint r, c;

  if (sl_figure_find (self, gtk_event_controller_get_widget (focus), &r, &c))
    sl_figure_scroll_to (self, c);
}

void
sl_figure_table_put (SlFigureTable *self, guint row, guint column, GtkWidget *control)
{
  GtkEventController *focus = gtk_event_controller_focus_new ();

  attach (self, sl_figure_row (self, row), column, control);
  self->has_controls = TRUE;
  g_signal_connect_object (focus, "enter", G_CALLBACK (on_control_focus), self, G_CONNECT_SWAPPED);
  gtk_widget_add_controller (control, focus);
}

const char *
sl_word_mark (SlWord word)
{
  static const char *const marks[] = {
    [SL_WORD_NONE] = "", [SL_WORD_IN_RANGE] = "●", [SL_WORD_CLOSE] = "◐", [SL_WORD_OUT] = "○"
  };

  return marks[word];
}

void
sl_figure_table_set_word (SlFigureTable *self, guint row, guint column, SlWord word)
{
  sl_figure_table_set_class (self, row, column, "sl-good", word == SL_WORD_IN_RANGE);
  sl_figure_table_set_class (self, row, column, "sl-close", word == SL_WORD_CLOSE);
  sl_figure_table_set_class (self, row, column, "sl-wrong", word == SL_WORD_OUT);
}

void
sl_figure_table_set_class (SlFigureTable *self, guint row, guint column, const char *css_class, gboolean on)
{
  GtkWidget *cell = sl_figure_row (self, row)->cells[column];

  if (cell != NULL)
    sl_set_class (cell, css_class, on);
}

/* ---- rows ---- */

static void
row_free (SlFigureRow *row)
{
  gtk_widget_unparent (row->box);
  g_clear_pointer (&row->beneath, gtk_widget_unparent);
  g_free (row->cells);
  g_free (row->sentence);
  g_free (row);
}

gboolean
sl_figure_table_set_rows (SlFigureTable *self, guint n_rows)
{
  g_autoptr (GPtrArray) old = NULL;

  if (self->rows->len == n_rows)
    return FALSE;
  old = g_steal_pointer (&self->rows);
  self->rows = g_ptr_array_new_with_free_func ((GDestroyNotify) row_free);
  g_clear_pointer (&old, g_ptr_array_unref); /* entries that go may change what is shown: there is nothing by then */
  self->cursor_row = self->cursor_column = -1;
  self->has_controls = FALSE;
  while (self->rows->len < n_rows)
    g_ptr_array_add (self->rows, sl_figure_row_new (self));
  return TRUE;
}

void
sl_figure_table_set_row_class (SlFigureTable *self, guint row, const char *css_class, gboolean on)
{
  sl_set_class (sl_figure_row (self, row)->box, css_class, on);
}

gboolean
sl_figure_table_set_sentence (SlFigureTable *self, guint row, const char *sentence)
{
  SlFigureRow *is = sl_figure_row (self, row);

  if (g_strcmp0 (is->sentence, sentence) == 0)
    return FALSE;
  g_free (is->sentence);
  is->sentence = g_strdup (sentence);
  sl_set_accessible_label (is->box, sentence);
  return TRUE;
}

void
sl_figure_table_set_beneath (SlFigureTable *self, guint row, const char *text)
{
  SlFigureRow *is = sl_figure_row (self, row);

  if (text != NULL && is->beneath == NULL)
    {
      is->beneath = sl_text_new (NULL, "sl-tiny sl-dim");
      gtk_widget_insert_after (is->beneath, GTK_WIDGET (self), is->box);
    }
  if (is->beneath != NULL)
    {
      sl_label_set (is->beneath, text == NULL ? "" : text);
      gtk_widget_set_visible (is->beneath, text != NULL);
    }
}

void
sl_figure_table_set_sentences (SlFigureTable *self, SlCellSentence sentence, gpointer owner)
{
  self->sentence = sentence;
  self->owner = owner;
}

/* ---- columns ---- */

static void
column_clear (gpointer data)
{
  g_free (((SlFigureColumn *) data)->spoken);
}

/* @is is translated, @spoken what assistive technology calls it. */
static void
add_column (SlFigureTable *self, const SlColumn *is, const char *title, const char *spoken)
{
  const SlFigureColumn column = { .is = *is,
                                  .spoken = g_strdelimit (g_strdup (spoken), "\n", ' '),
                                  .longest = is->chars > 0 ? G_MAXSIZE : 0 };
  const guint c = self->columns->len;
  GtkWidget *head;

  g_array_append_val (self->columns, column);
  self->wraps = self->wraps || sl_figure_wraps (self, c);
  self->head->cells = g_renew (GtkWidget *, self->head->cells, c + 1);
  self->head->cells[c] = NULL;
  head = add_cell (self, self->head, c);
  sl_label_set (head, title);
  sl_set_accessible_label (head, column.spoken);
  gtk_widget_set_tooltip_text (head, is->help);
}

void
sl_figure_table_add_frets (SlFigureTable *self, int n_frets, guint chars, SlColumnFlags flags)
{
  for (int n = 1; n <= n_frets; n++)
    {
      g_autofree char *number = g_strdup_printf ("%d", n), *spoken = g_strdup_printf (_ ("fret %d"), n);

      add_column (self, &(SlColumn){ NULL, NULL, chars, flags, NULL }, number, spoken);
    }
  SL_EACH (const SlColumn, is, self->after)
    add_column (self, is, is->title, is->title);
}

void
sl_figure_table_cut_columns (SlFigureTable *self, guint first)
{
  sl_figure_table_set_rows (self, 0);
  for (guint c = first; c < self->columns->len; c++)
    gtk_widget_unparent (self->head->cells[c]);
  g_array_set_size (self->columns, first);
}

void
sl_figure_table_show_column (SlFigureTable *self, guint column, gboolean shown)
{
  if (sl_figure_column (self, column)->hidden == !shown)
    return;
  sl_figure_column (self, column)->hidden = !shown;
  for (guint r = 0; r <= self->rows->len; r++)
    if (sl_figure_row (self, r)->cells[column] != NULL)
      gtk_widget_set_visible (sl_figure_row (self, r)->cells[column], shown);
  for (int by = 1; by >= -1 && !shown && self->cursor_column == (int) column; by -= 2)
    sl_figure_seek (self, self->cursor_row, (int) column + by, 0, by, FALSE);
}

void
sl_figure_table_set_spare (SlFigureTable *self, guint column, gboolean spare)
{
  if (sl_figure_column (self, column)->spare == spare)
    return;
  sl_figure_column (self, column)->spare = spare;
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

void
sl_figure_table_set_title (SlFigureTable *self, guint column, const char *title)
{
  SlFigureColumn *is = sl_figure_column (self, column);

  if (g_strcmp0 (gtk_label_get_text (GTK_LABEL (self->head->cells[column])), title) == 0)
    return;
  sl_label_set (self->head->cells[column], title);
  g_free (is->spoken);
  is->spoken = g_strdelimit (g_strdup (title), "\n", ' ');
  name_soon (self);
}

void
sl_figure_table_set_unit (SlFigureTable *self, const char *unit)
{
  for (guint c = 0; c < self->columns->len; c++)
    if ((sl_figure_column (self, c)->is.flags & SL_COLUMN_LENGTHS) != 0)
      {
        g_autofree char *title =
            g_strdup_printf (C_ ("column title and unit", "%s, %s"), sl_figure_column (self, c)->is.title, unit);

        sl_figure_table_set_title (self, c, title);
      }
}

/* ---- the whole ---- */

static void
sl_figure_table_dispose (GObject *object)
{
  SlFigureTable *self = SL_FIGURE_TABLE (object);

  g_clear_handle_id (&self->name_id, g_source_remove);
  g_ptr_array_set_size (self->rows, 0);
  g_clear_pointer (&self->head, row_free);
  G_OBJECT_CLASS (sl_figure_table_parent_class)->dispose (object);
}

static void
sl_figure_table_finalize (GObject *object)
{
  SlFigureTable *self = SL_FIGURE_TABLE (object);

  pango_attr_list_unref (self->small);
  g_array_unref (self->columns);
  g_array_unref (self->after);
  g_ptr_array_unref (self->rows);
  G_OBJECT_CLASS (sl_figure_table_parent_class)->finalize (object);
}

/* Its labels are columns, those of class "after" behind the frets, and it is called what its tooltip says. */
static void
sl_figure_table_parser_finished (GtkBuildable *buildable, GtkBuilder *builder)
{
  static const char *const flags[] = { "words", "centred", "fixed", "wide", "lengths", "snug" };
  SlFigureTable *self = SL_FIGURE_TABLE (buildable);

  for (GtkWidget *label; (label = gtk_widget_get_next_sibling (self->bar)) != NULL;)
    {
      g_auto (GStrv) classes = gtk_widget_get_css_classes (label);
      g_autoptr (GString) own = g_string_new (NULL);
      SlColumn is = { .title = g_intern_string (gtk_label_get_text (GTK_LABEL (label))),
                      .help = g_intern_string (gtk_widget_get_tooltip_text (label)),
                      .chars = (guint) MAX (gtk_label_get_width_chars (GTK_LABEL (label)), 0) };

      for (guint f = 0; f < G_N_ELEMENTS (flags); f++)
        if (gtk_widget_has_css_class (label, flags[f]))
          is.flags |= 1 << f;
      for (char **class = classes; *class != NULL; class ++)
        if (g_str_has_prefix (*class, "sl-"))
          g_string_append_printf (own, "%s%s", own->len > 0 ? " " : "", *class);
      is.classes = g_intern_string (own->str);
      if (gtk_widget_has_css_class (label, "after"))
        g_array_append_val (self->after, is);
      else
        add_column (self, &is, is.title, is.title);
      gtk_box_remove (GTK_BOX (self), label);
    }
  sl_set_accessible_label (GTK_WIDGET (self), gtk_widget_get_tooltip_text (GTK_WIDGET (self)));
  sl_set_accessible_label (self->head->box, _ ("Column headings"));
  sl_name_scroll_bar (self->bar, sl_entry_name (GTK_WIDGET (self)));
  g_object_set (self, "tooltip-text", NULL, "has-tooltip", TRUE, NULL);
}

static void
sl_figure_table_buildable_init (GtkBuildableIface *iface)
{
  iface->parser_finished = sl_figure_table_parser_finished;
}

static void
sl_figure_table_class_init (SlFigureTableClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_figure_table_dispose;
  G_OBJECT_CLASS (class)->finalize = sl_figure_table_finalize;
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (class), GTK_ACCESSIBLE_ROLE_TABLE);
  g_signal_new ("cursor-moved", SL_TYPE_FIGURE_TABLE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  g_signal_new ("row-activated", SL_TYPE_FIGURE_TABLE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                G_TYPE_UINT);
}

static void
sl_figure_table_init (SlFigureTable *self)
{
  self->cursor_row = self->cursor_column = -1;
  self->columns = g_array_new (FALSE, FALSE, sizeof (SlFigureColumn));
  g_array_set_clear_func (self->columns, column_clear);
  self->after = g_array_new (FALSE, FALSE, sizeof (SlColumn));
  self->rows = g_ptr_array_new_with_free_func ((GDestroyNotify) row_free);
  self->head = sl_figure_row_new (self);
  gtk_widget_set_valign (GTK_WIDGET (self), GTK_ALIGN_START);
  sl_figure_place (self);
}

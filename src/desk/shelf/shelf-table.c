/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/shelf/parts.h"

#define FIRST_SCREEN 32 /* rows while there is no screen yet */
#define LEAST_ROW_PX 16 /* no row is lower, whatever the letters */

G_DEFINE_FINAL_TYPE (SlShelfTable, sl_shelf_table, G_TYPE_OBJECT)

/* ---- which rows ---- */

static gboolean
is_of_kind (const SlShelfItem *item, SlShelfKinds kinds)
{
  const SlShelfEntry *entry = item->entry;

  switch (kinds)
    {
    case SL_SHELF_INSTRUMENTS: return entry->fault == NULL && entry->kind == SL_KIND_INSTRUMENT;
    case SL_SHELF_BASELINES: return entry->fault == NULL && entry->kind == SL_KIND_BASELINE;
    /* two files with one id are a fault of the shelf, not of either */
    case SL_SHELF_AT_FAULT: return entry->fault != NULL || item->twin != NULL;
    case SL_SHELF_IN_USE: return item->in_use != NULL && !item->left_open;
    default: return TRUE;
    }
}

static gboolean
has_visit (const SlShelfEntry *entry, SlShelfVisits visits)
{
  static const SlShelfVisit wanted[] = { [SL_SHELF_OPEN_VISITS] = SL_SHELF_VISIT_OPEN,
                                         [SL_SHELF_CLOSED_VISITS] = SL_SHELF_VISIT_CLOSED,
                                         [SL_SHELF_WITHOUT_VISIT] = SL_SHELF_NO_VISIT };

  return visits == SL_SHELF_ANY_VISIT || (entry->fault == NULL && entry->visit == wanted[visits]);
}

static gboolean
is_shown (SlShelfItem *item, gpointer data)
{
  SlShelfTable *self = data;
  const SlShelfEntry *entry = item->entry;

  return is_of_kind (item, self->kinds) && has_visit (entry, self->visits) &&
         (self->fitted_before == NULL || sl_shelf_entry_has_strings_before (entry, self->fitted_before)) &&
         (self->words == NULL || sl_shelf_entry_matches (entry, self->words));
}

static void
find_screen (guint *first, guint *n, gpointer data)
{
  SlShelfTable *self = data;
  GtkAdjustment *scroll = gtk_scrollable_get_vadjustment (GTK_SCROLLABLE (self->view));
  GtkWidget *list = gtk_widget_get_last_child (self->view), *row = gtk_widget_get_first_child (list);
  const double upper = scroll != NULL ? gtk_adjustment_get_upper (scroll) : 0;
  const int height = gtk_widget_get_height (list), row_height = row != NULL ? gtk_widget_get_height (row) : 0;

  *first =
      upper > 0
          ? (guint) (gtk_adjustment_get_value (scroll) / upper * g_list_model_get_n_items (G_LIST_MODEL (self->rows)))
          : 0;
  *n = height > 0 ? (guint) (height / MAX (row_height, LEAST_ROW_PX) + 2) : FIRST_SCREEN; /* cut ones at both ends */
}

/* What is found is shown from its beginning. */
static void
show_from_top (SlShelfTable *self)
{
  GtkAdjustment *scroll = gtk_scrollable_get_vadjustment (GTK_SCROLLABLE (self->view));

  if (scroll != NULL)
    gtk_adjustment_set_value (scroll, 0);
}

void
sl_shelf_table_search (SlShelfTable *self, const char *typed)
{
  char **words = sl_shelf_words (typed);
  g_auto (GStrv) before = g_steal_pointer (&self->words);
  g_autofree char *now = g_strjoinv (" ", words), *then = before != NULL ? g_strjoinv (" ", before) : g_strdup ("");

  self->words = words;
  if (g_str_equal (now, then))
    return;
  show_from_top (self);
  sl_shelf_rows_refilter (self->rows, g_str_has_prefix (now, then));
}

void
sl_shelf_table_filter (SlShelfTable *self, SlShelfKinds kinds, SlShelfVisits visits, int months)
{
  g_autoptr (GDateTime) now = g_date_time_new_now_local (), then = g_date_time_add_months (now, -months);

  self->kinds = kinds;
  self->visits = visits;
  g_free (self->fitted_before);
  self->fitted_before = months > 0 ? g_date_time_format (then, "%Y-%m-%d") : NULL;
  show_from_top (self);
  sl_shelf_rows_refilter (self->rows, FALSE);
}

gboolean
sl_shelf_table_is_narrowed (SlShelfTable *self)
{
  return self->kinds != SL_SHELF_ALL || self->visits != SL_SHELF_ANY_VISIT || self->fitted_before != NULL ||
         (self->words != NULL && self->words[0] != NULL);
}

/* ---- which is chosen ---- */

/* The row of the chosen item is selected, wherever it went; an item that was replaced stays chosen under its name. */
static void
follow_chosen (SlShelfTable *self)
{
  const GPtrArray *wanted = self->rows->wanted;
  guint position = GTK_INVALID_LIST_POSITION;
  SlShelfItem *item = NULL;
  gboolean changed;

  for (guint i = 0; self->chosen_name != NULL && item == NULL && i < wanted->len; i++)
    if (g_str_equal (SL_SHELF_ITEM (wanted->pdata[i])->entry->name, self->chosen_name))
      {
        item = wanted->pdata[i];
        position = i;
      }
  changed = g_set_object (&self->chosen, item);
  if (position >= g_list_model_get_n_items (G_LIST_MODEL (self->rows)))
    position = GTK_INVALID_LIST_POSITION; /* until it has a row */
  if (gtk_single_selection_get_selected (self->selection) != position)
    gtk_single_selection_set_selected (self->selection, position);
  if (changed)
    g_signal_emit_by_name (self, "chosen");
}

void
sl_shelf_table_choose_at (SlShelfTable *self, double x, double y)
{
  GtkWidget *list = gtk_widget_get_last_child (self->view), *row = gtk_widget_pick (self->view, x, y, GTK_PICK_DEFAULT);

  while (row != NULL && gtk_widget_get_parent (row) != list)
    row = gtk_widget_get_parent (row);
  if (row != NULL) /* down to the first cell's child */
    {
      GtkWidget *child = gtk_widget_get_first_child (gtk_widget_get_first_child (row));
      const SlShelfRow *shown = gtk_list_item_get_item (g_object_get_data (G_OBJECT (child), "list-item"));

      if (shown->item != NULL)
        sl_shelf_table_choose (self, shown->item->entry->name);
    }
}

void
sl_shelf_table_choose (SlShelfTable *self, const char *name)
{
  g_free (self->chosen_name);
  self->chosen_name = g_strdup (name);
  follow_chosen (self);
}

/* A row other than the chosen one was selected by a person. */
static void
on_selected (SlShelfTable *self)
{
  SlShelfRow *row = gtk_single_selection_get_selected_item (self->selection);

  if (row != NULL && row->item != NULL && row->item != self->chosen)
    sl_shelf_table_choose (self, row->item->entry->name);
}

static void
on_arranged (gpointer data)
{
  SlShelfTable *self = data;

  if (self->selection == NULL) /* this is being made */
    return;
  follow_chosen (self);
  g_signal_emit_by_name (self, "shown");
}

/* What is chosen stays in sight, and the keyboard goes on from there. */
static void
on_sorted (SlShelfTable *self)
{
  const guint position = gtk_single_selection_get_selected (self->selection);

  if (position != GTK_INVALID_LIST_POSITION)
    gtk_widget_activate_action (gtk_widget_get_last_child (self->view), "list.scroll-to-item", "u", position);
}

static void
on_activate (SlShelfTable *self, guint position)
{
  g_autoptr (SlShelfRow) row = g_list_model_get_item (G_LIST_MODEL (self->rows), position);

  if (row == NULL || row->item == NULL)
    return;
  gtk_single_selection_set_selected (self->selection, position);
  g_signal_emit_by_name (self, "activated");
}

/* ---- columns ---- */

static const struct
{
  const char *title;
  int chars;     /* wide, at least: what is longer goes on in another line. 0: as wide as its longest word */
  gboolean wide; /* takes of what is left of the table's width */
  gboolean figures;
  gboolean length; /* its title names the unit */
} columns[SL_SHELF_N_COLUMNS] = {
  [SL_SHELF_COLUMN_LABEL] = { NC_ ("column", "Instrument"), 10, TRUE, FALSE, FALSE },
  [SL_SHELF_COLUMN_OWNER] = { NC_ ("column", "Owner"), 9, TRUE, FALSE, FALSE },
  [SL_SHELF_COLUMN_MODEL] = { NC_ ("column", "Model"), 9, TRUE, FALSE, FALSE },
  [SL_SHELF_COLUMN_ACTION] = { NC_ ("column", "Action now"), 7, FALSE, TRUE, TRUE },
  [SL_SHELF_COLUMN_RELIEF] = { NC_ ("column", "Relief now"), 5, FALSE, TRUE, TRUE },
  [SL_SHELF_COLUMN_LAST_VISIT] = { NC_ ("column", "Last visit"), 7, FALSE, TRUE, FALSE },
  [SL_SHELF_COLUMN_STATE] = { NC_ ("column", "State"), 0, FALSE, FALSE, FALSE },
};

static SlShelfColumn
column_of (gpointer object)
{
  return (SlShelfColumn) GPOINTER_TO_INT (g_object_get_data (object, "column"));
}

/* It wraps; a word too wide for the columns of names is broken, a figure never. */
static GtkWidget *
make_label (SlShelfColumn column)
{
  GtkWidget *label = sl_label_new (NULL, columns[column].figures ? "sl-numbers" : NULL);
  const int chars = columns[column].chars;

  g_object_set (label, "wrap", TRUE, "wrap-mode", columns[column].wide ? PANGO_WRAP_WORD_CHAR : PANGO_WRAP_WORD,
                "width-chars", chars, "max-width-chars", columns[column].wide ? chars : -1, NULL);
  return label;
}

/* The row as it is spoken: title, what is wrong, and the cells that are not empty. */
static char *
speak_row (SlShelfTable *self, SlShelfItem *item)
{
  GString *spoken = g_string_new (item->title);
  g_autofree char *found = sl_shelf_item_find (item, self->words);
  const char *note = item->note;

  for (int column = SL_SHELF_COLUMN_OWNER; column < SL_SHELF_N_COLUMNS; column++)
    {
      g_autofree char *text = sl_shelf_item_text (item, (SlShelfColumn) column, self->lengths);

      if (*text == '\0')
        continue;
      if (columns[column].figures)
        g_string_append_printf (spoken, ", %s %s", g_dpgettext2 (GETTEXT_PACKAGE, "column", columns[column].title),
                                text);
      else
        g_string_append_printf (spoken, ", %s", text);
    }
  if (note != NULL)
    g_string_append_printf (spoken, ", %s", note);
  if (item->in_use != NULL)
    g_string_append_printf (spoken, ", %s", item->in_use);
  if (found != NULL)
    g_string_append_printf (spoken, ", %s", found);
  return g_string_free (spoken, FALSE);
}

/* Its own child, or in the first column, where a note may stand below, the first in that. */
static GtkLabel *
label_of (GtkWidget *child)
{
  return GTK_LABEL (GTK_IS_LABEL (child) ? child : gtk_widget_get_first_child (child));
}

/* The toolkit leaves cells and rows without names. The row is there only once its cells are shown. */
static void
name_cell (GtkWidget *child, SlShelfTable *self)
{
  GtkWidget *around = gtk_widget_get_parent (child), *row = around != NULL ? gtk_widget_get_parent (around) : NULL;
  SlShelfRow *shown = gtk_list_item_get_item (g_object_get_data (G_OBJECT (child), "list-item"));
  g_autofree char *spoken = NULL;

  if (row == NULL || shown == NULL)
    return;
  sl_set_accessible_label (around, gtk_label_get_label (label_of (child)));
  if (column_of (child) != SL_SHELF_COLUMN_LABEL)
    return;
  spoken = shown->item != NULL ? speak_row (self, shown->item) : g_strdup ("");
  sl_set_accessible_label (row, spoken);
}

static void
on_setup (GtkSignalListItemFactory *factory, GtkListItem *cell, SlShelfTable *self)
{
  SlShelfColumn column = column_of (factory);
  GtkWidget *label = make_label (column), *child = label;

  if (column == SL_SHELF_COLUMN_LABEL)
    {
      child = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
      gtk_widget_set_valign (child, GTK_ALIGN_CENTER);
      gtk_box_append (GTK_BOX (child), label);
    }
  g_object_set_data (G_OBJECT (child), "list-item", cell);
  g_object_set_data (G_OBJECT (child), "column", GINT_TO_POINTER (column));
  g_signal_connect_object (child, "map", G_CALLBACK (name_cell), self, 0);
  gtk_list_item_set_child (cell, child);
}

static GtkWidget *
show_below (GtkWidget *line, const char *text)
{
  GtkWidget *label = gtk_widget_get_next_sibling (line);

  if (label == NULL)
    {
      label = make_label (SL_SHELF_COLUMN_LABEL);
      gtk_widget_add_css_class (label, "sl-small");
      gtk_box_append (GTK_BOX (gtk_widget_get_parent (line)), label);
    }
  sl_label_set (label, text != NULL ? text : "");
  gtk_widget_set_visible (label, text != NULL);
  return label;
}

/* Few rows have something wrong with them, are open elsewhere, or were found by what they don't show: the lines below
 * the label are made when they are first needed. However long a person is called, that is one line. */
static void
show_note (SlShelfTable *self, GtkWidget *box, SlShelfItem *item)
{
  const char *wrong = item != NULL ? item->note : NULL;
  g_autofree char *found = item != NULL ? sl_shelf_item_find (item, self->words) : NULL;
  const char *open = item != NULL ? item->in_use : NULL, *other = wrong != NULL ? wrong : found;
  g_autofree char *both = open != NULL && other != NULL ? g_strdup_printf ("%s\n%s", other, open) : NULL;
  const char *text = both != NULL ? both : other != NULL ? other : open;
  GtkWidget *note;

  if (g_strcmp0 (text, gtk_widget_get_tooltip_text (box)) == 0)
    return;
  note = show_below (gtk_widget_get_first_child (box), other);
  sl_set_class (note, "sl-wrong", wrong != NULL);
  g_object_set (show_below (note, open), "wrap", FALSE, "ellipsize", PANGO_ELLIPSIZE_END, NULL);
  gtk_widget_set_tooltip_text (box, text);
}

/* @item may be NULL: the row is empty. */
static void
fill_cell (SlShelfTable *self, GtkListItem *cell, SlShelfItem *item)
{
  GtkWidget *child = gtk_list_item_get_child (cell);
  SlShelfColumn column = column_of (child);
  g_autofree char *text = item != NULL ? sl_shelf_item_text (item, column, self->lengths) : g_strdup ("");
  const gboolean changed = !g_str_equal (gtk_label_get_label (label_of (child)), text);

  if (changed)
    gtk_label_set_label (label_of (child), text);
  if (column == SL_SHELF_COLUMN_LABEL)
    show_note (self, child, item);
  if (changed || column == SL_SHELF_COLUMN_LABEL)
    name_cell (child, self);
  if (column == SL_SHELF_COLUMN_STATE)
    sl_set_class (child, "sl-wrong", item != NULL && item->entry->fault != NULL);
}

static void
fill_row (SlShelfRow *row, gpointer data)
{
  for (int column = 0; column < SL_SHELF_N_COLUMNS; column++)
    if (row->cells[column] != NULL)
      fill_cell (data, row->cells[column], row->item);
}

static void
on_bind (GtkSignalListItemFactory *factory, GtkListItem *cell, SlShelfTable *self)
{
  SlShelfRow *row = gtk_list_item_get_item (cell);

  row->cells[column_of (factory)] = cell;
  fill_cell (self, cell, row->item);
}

static void
on_unbind (GtkSignalListItemFactory *factory, GtkListItem *cell, SlShelfTable *self)
{
  SlShelfRow *row = gtk_list_item_get_item (cell);

  if (row != NULL && row->cells[column_of (factory)] == cell)
    row->cells[column_of (factory)] = NULL;
}

static int
compare (gconstpointer a, gconstpointer b, gpointer data)
{
  return sl_shelf_item_compare ((SlShelfItem *) a, (SlShelfItem *) b, (SlShelfColumn) GPOINTER_TO_INT (data));
}

static GtkColumnViewColumn *
column_at (SlShelfTable *self, int column)
{
  g_autoptr (GtkColumnViewColumn) made =
      g_list_model_get_item (gtk_column_view_get_columns (GTK_COLUMN_VIEW (self->view)), (guint) column);

  return made; /* the view keeps it */
}

/* Heads of columns, and the list below them, have no names of their own either. */
static void
name_parts (SlShelfTable *self)
{
  const SlTextStyle style = { self->lengths, sl_decimal_sign () };
  GtkWidget *header = gtk_widget_get_first_child (self->view), *head = gtk_widget_get_first_child (header);

  sl_set_accessible_label (header, _ ("Columns"));
  sl_set_accessible_label (gtk_widget_get_last_child (self->view), _ ("Profiles"));
  for (int column = 0; column < SL_SHELF_N_COLUMNS && head != NULL; column++, head = gtk_widget_get_next_sibling (head))
    {
      const char *name = g_dpgettext2 (GETTEXT_PACKAGE, "column", columns[column].title);
      /* Translators: title of a column, and the unit of what stands in it */
      g_autofree char *title =
          columns[column].length ? g_strdup_printf (_ ("%1$s, %2$s"), name, sl_text_unit (&style)) : g_strdup (name);
      char *space = columns[column].figures ? strchr (title, ' ') : NULL;

      sl_set_accessible_label (head, title);
      if (space != NULL) /* the figures below are narrower than the title in one line */
        *space = '\n';
      gtk_column_view_column_set_title (column_at (self, column), title);
    }
}

void
sl_shelf_table_set_lengths (SlShelfTable *self, SlLengths lengths)
{
  if (self->lengths == lengths)
    return;
  self->lengths = lengths;
  name_parts (self);
  sl_shelf_rows_refill (self->rows);
}

/* ---- the object ---- */

static void
sl_shelf_table_dispose (GObject *object)
{
  SlShelfTable *self = SL_SHELF_TABLE (object);

  /* the view, its sorter and the rows may outlive this by a little */
  G_OBJECT_CLASS (sl_shelf_table_parent_class)->dispose (object);
  if (self->view != NULL)
    gtk_column_view_set_model (GTK_COLUMN_VIEW (self->view), NULL);
  if (self->rows != NULL)
    g_object_run_dispose (G_OBJECT (self->rows));
  g_clear_object (&self->selection);
  g_clear_object (&self->rows);
  g_clear_object (&self->chosen);
  g_clear_object (&self->view);
  g_clear_pointer (&self->words, g_strfreev);
  g_clear_pointer (&self->fitted_before, g_free);
  g_clear_pointer (&self->chosen_name, g_free);
}

static void
sl_shelf_table_class_init (SlShelfTableClass *class)
{
  static const char *const signals[] = { "chosen", "activated", "shown" };

  G_OBJECT_CLASS (class)->dispose = sl_shelf_table_dispose;
  for (gsize i = 0; i < G_N_ELEMENTS (signals); i++)
    g_signal_new (signals[i], SL_TYPE_SHELF_TABLE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
sl_shelf_table_init (SlShelfTable *self)
{
}

SlShelfTable *
sl_shelf_table_new (GListModel *list)
{
  static const SlShelfRowsUser user = { is_shown, fill_row, find_screen, on_arranged };
  SlShelfTable *self = g_object_new (SL_TYPE_SHELF_TABLE, NULL);
  GtkWidget *view = gtk_column_view_new (NULL);
  GtkSorter *sorter = gtk_column_view_get_sorter (GTK_COLUMN_VIEW (view));

  sl_set_accessible_label (view, _ ("Profiles"));
  self->view = g_object_ref_sink (view);
  self->rows = sl_shelf_rows_new (list, sorter, &user, self);
  self->selection = gtk_single_selection_new (G_LIST_MODEL (g_object_ref (self->rows)));
  gtk_single_selection_set_autoselect (self->selection, FALSE);
  for (int column = 0; column < SL_SHELF_N_COLUMNS; column++)
    {
      GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
      g_autoptr (GtkCustomSorter) order = gtk_custom_sorter_new (compare, GINT_TO_POINTER (column), NULL);
      g_autoptr (GtkColumnViewColumn) made = gtk_column_view_column_new (NULL, factory);

      g_object_set_data (G_OBJECT (factory), "column", GINT_TO_POINTER (column));
      g_signal_connect_object (factory, "setup", G_CALLBACK (on_setup), self, 0);
      g_signal_connect_object (factory, "bind", G_CALLBACK (on_bind), self, 0);
      g_signal_connect_object (factory, "unbind", G_CALLBACK (on_unbind), self, 0);
      g_object_set (made, "sorter", order, "resizable", TRUE, "expand", columns[column].wide, NULL);
      gtk_column_view_append_column (GTK_COLUMN_VIEW (self->view), made);
    }
  name_parts (self);
  gtk_widget_add_css_class (self->view, "sl-shelf");
  gtk_column_view_set_model (GTK_COLUMN_VIEW (view), GTK_SELECTION_MODEL (self->selection));
  gtk_column_view_sort_by_column (GTK_COLUMN_VIEW (view), column_at (self, SL_SHELF_COLUMN_LABEL), GTK_SORT_ASCENDING);
  g_signal_connect_object (self->selection, "notify::selected-item", G_CALLBACK (on_selected), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (view, "activate", G_CALLBACK (on_activate), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (sorter, "changed", G_CALLBACK (on_sorted), self, G_CONNECT_SWAPPED | G_CONNECT_AFTER);
  return self;
}

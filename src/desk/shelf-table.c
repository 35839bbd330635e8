/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/shelf-table.h"

#include "desk/util.h"

#include <glib/gi18n-lib.h>

struct _SlShelfTable
{
  GObject parent_instance;

  /* owned */
  GtkWidget *view;
  GtkSortListModel *sorted; /* sorting comes first, so that a keystroke of the search only filters */
  GtkCustomFilter *filter;
  GtkFilterListModel *filtered;
  GtkSingleSelection *selection;
  char **words;
  char *chosen_name; /* of the chosen item, which may be replaced while it is chosen */

  SlShelfKinds kinds;
  SlShelfVisits visits;
  SlLengths lengths;
};

G_DEFINE_FINAL_TYPE (SlShelfTable, sl_shelf_table, G_TYPE_OBJECT)

enum
{
  SIGNAL_CHOSEN,
  SIGNAL_ACTIVATED,
  SIGNAL_SHOWN,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

/* ---- which rows ---- */

static gboolean
is_of_kind (const SlShelfEntry *entry, SlShelfKinds kinds)
{
  switch (kinds)
    {
    case SL_SHELF_INSTRUMENTS:
      return entry->fault == NULL && entry->kind == SL_KIND_INSTRUMENT;
    case SL_SHELF_BASELINES:
      return entry->fault == NULL && entry->kind == SL_KIND_BASELINE;
    case SL_SHELF_AT_FAULT:
      return entry->fault != NULL;
    default:
      return TRUE;
    }
}

static gboolean
has_visit (const SlShelfEntry *entry, SlShelfVisits visits)
{
  static const SlShelfVisit wanted[] = { [SL_SHELF_OPEN_VISITS] = SL_SHELF_VISIT_OPEN, [SL_SHELF_CLOSED_VISITS] = SL_SHELF_VISIT_CLOSED,
                                         [SL_SHELF_WITHOUT_VISIT] = SL_SHELF_NO_VISIT };

  return visits == SL_SHELF_ANY_VISIT || (entry->fault == NULL && entry->visit == wanted[visits]);
}

static gboolean
is_shown (gpointer item, gpointer data)
{
  SlShelfTable *self = data;
  const SlShelfEntry *entry = sl_shelf_item_get_entry (item);
  const char *twin = sl_shelf_item_get_twin (item);
  /* two files with one id are a fault of the shelf, not of either */
  gboolean kind = is_of_kind (entry, self->kinds) || (self->kinds == SL_SHELF_AT_FAULT && twin != NULL);

  return kind && has_visit (entry, self->visits) && (self->words == NULL || sl_shelf_entry_matches (entry, self->words));
}

void
sl_shelf_table_search (SlShelfTable *self, const char *typed)
{
  char **words = sl_shelf_words (typed);
  g_auto (GStrv) before = g_steal_pointer (&self->words);
  g_autofree char *now = g_strjoinv (" ", words), *then = before != NULL ? g_strjoinv (" ", before) : g_strdup ("");
  GtkFilterChange change = g_str_has_prefix (now, then) ? GTK_FILTER_CHANGE_MORE_STRICT
                           : g_str_has_prefix (then, now) ? GTK_FILTER_CHANGE_LESS_STRICT
                                                          : GTK_FILTER_CHANGE_DIFFERENT;

  self->words = words;
  if (!g_str_equal (now, then))
    gtk_filter_changed (GTK_FILTER (self->filter), change);
}

void
sl_shelf_table_filter (SlShelfTable *self, SlShelfKinds kinds, SlShelfVisits visits)
{
  self->kinds = kinds;
  self->visits = visits;
  gtk_filter_changed (GTK_FILTER (self->filter), GTK_FILTER_CHANGE_DIFFERENT);
}

guint
sl_shelf_table_get_n_shown (SlShelfTable *self)
{
  return g_list_model_get_n_items (G_LIST_MODEL (self->filtered));
}

gboolean
sl_shelf_table_is_narrowed (SlShelfTable *self)
{
  return self->kinds != SL_SHELF_ALL || self->visits != SL_SHELF_ANY_VISIT || (self->words != NULL && self->words[0] != NULL);
}

/* ---- which is chosen ---- */

SlShelfItem *
sl_shelf_table_get_chosen (SlShelfTable *self)
{
  return gtk_single_selection_get_selected_item (self->selection);
}

static void
on_selected (SlShelfTable *self)
{
  SlShelfItem *item = sl_shelf_table_get_chosen (self);

  if (item != NULL)
    {
      g_free (self->chosen_name);
      self->chosen_name = g_strdup (sl_shelf_item_get_entry (item)->name);
    }
  g_signal_emit (self, signals[SIGNAL_CHOSEN], 0);
}

void
sl_shelf_table_choose (SlShelfTable *self, const char *name)
{
  guint n = sl_shelf_table_get_n_shown (self);

  g_free (self->chosen_name);
  self->chosen_name = g_strdup (name);
  for (guint i = 0; i < n; i++)
    {
      g_autoptr (SlShelfItem) item = g_list_model_get_item (G_LIST_MODEL (self->filtered), i);

      if (g_str_equal (sl_shelf_item_get_entry (item)->name, name))
        {
          gtk_single_selection_set_selected (self->selection, i);
          return;
        }
    }
}

/* An item that was replaced stays chosen under its name. */
static void
on_shown_changed (SlShelfTable *self)
{
  if (sl_shelf_table_get_chosen (self) == NULL && self->chosen_name != NULL)
    {
      g_autofree char *name = g_strdup (self->chosen_name);

      sl_shelf_table_choose (self, name);
    }
  g_signal_emit (self, signals[SIGNAL_SHOWN], 0);
}

static void
on_activate (SlShelfTable *self, guint position)
{
  gtk_single_selection_set_selected (self->selection, position);
  g_signal_emit (self, signals[SIGNAL_ACTIVATED], 0);
}

/* ---- columns ---- */

static const struct
{
  const char *title;
  int width; /* 0: what is left */
  gboolean figures;
} columns[SL_SHELF_N_COLUMNS] = {
  [SL_SHELF_COLUMN_LABEL] = { NC_ ("column", "Instrument"), 0, FALSE },
  [SL_SHELF_COLUMN_OWNER] = { NC_ ("column", "Owner"), 132, FALSE },
  [SL_SHELF_COLUMN_MODEL] = { NC_ ("column", "Model"), 124, FALSE },
  [SL_SHELF_COLUMN_LAST_VISIT] = { NC_ ("column", "Last visit"), 92, TRUE },
  [SL_SHELF_COLUMN_STATE] = { NC_ ("column", "State"), 84, FALSE },
  [SL_SHELF_COLUMN_ACTION] = { NC_ ("column", "Action at 12"), 104, TRUE },
  [SL_SHELF_COLUMN_RELIEF] = { NC_ ("column", "Relief"), 64, TRUE },
};

static SlShelfColumn
column_of (gpointer object)
{
  return (SlShelfColumn) GPOINTER_TO_INT (g_object_get_data (object, "column"));
}

static GtkWidget *
make_label (const char *css_class)
{
  GtkWidget *label = gtk_label_new (NULL);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  if (css_class != NULL)
    gtk_widget_add_css_class (label, css_class);
  return label;
}

/* The row as it is spoken: title, what is wrong, and the cells that have something to say. */
static char *
speak_row (SlShelfTable *self, SlShelfItem *item)
{
  GString *spoken = g_string_new (sl_shelf_item_get_title (item));
  const char *note = sl_shelf_item_get_note (item);

  for (int column = SL_SHELF_COLUMN_OWNER; column < SL_SHELF_N_COLUMNS; column++)
    {
      g_autofree char *text = sl_shelf_item_text (item, (SlShelfColumn) column, self->lengths);

      if (*text == '\0')
        continue;
      if (columns[column].figures)
        g_string_append_printf (spoken, ", %s %s", g_dpgettext2 (GETTEXT_PACKAGE, "column", columns[column].title), text);
      else
        g_string_append_printf (spoken, ", %s", text);
    }
  if (note != NULL)
    g_string_append_printf (spoken, ", %s", note);
  return g_string_free (spoken, FALSE);
}

/* The toolkit leaves cells and rows without names. The row is there only once its cells are shown. */
static void
name_cell (GtkWidget *child, SlShelfTable *self)
{
  GtkListItem *list_item = g_object_get_data (G_OBJECT (child), "list-item");
  SlShelfItem *item = gtk_list_item_get_item (list_item);
  SlShelfColumn column = column_of (child);
  GtkWidget *cell = gtk_widget_get_parent (child), *row = cell != NULL ? gtk_widget_get_parent (cell) : NULL;
  g_autofree char *text = NULL, *spoken = NULL;

  if (item == NULL || row == NULL)
    return;
  text = sl_shelf_item_text (item, column, self->lengths);
  sl_set_accessible_label (cell, text);
  if (column != SL_SHELF_COLUMN_LABEL)
    return;
  spoken = speak_row (self, item);
  sl_set_accessible_label (row, spoken);
}

static void
prepare (SlShelfTable *self, GtkListItem *list_item, GtkWidget *child, SlShelfColumn column)
{
  g_object_set_data (G_OBJECT (child), "list-item", list_item);
  g_object_set_data (G_OBJECT (child), "column", GINT_TO_POINTER (column));
  g_signal_connect_object (child, "map", G_CALLBACK (name_cell), self, 0);
  gtk_list_item_set_child (list_item, child);
}

static void
on_setup (GtkSignalListItemFactory *factory, GtkListItem *list_item, SlShelfTable *self)
{
  SlShelfColumn column = column_of (factory);
  GtkWidget *label = make_label (columns[column].figures ? "sl-numbers" : NULL);

  if (column != SL_SHELF_COLUMN_LABEL)
    {
      prepare (self, list_item, label, column);
      return;
    }
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), *note = make_label ("sl-small");

  gtk_widget_add_css_class (note, "sl-wrong");
  gtk_box_append (GTK_BOX (box), label);
  gtk_box_append (GTK_BOX (box), note);
  prepare (self, list_item, box, column);
}

static void
on_bind (GtkSignalListItemFactory *factory, GtkListItem *list_item, SlShelfTable *self)
{
  SlShelfColumn column = column_of (factory);
  SlShelfItem *item = gtk_list_item_get_item (list_item);
  GtkWidget *child = gtk_list_item_get_child (list_item);
  g_autofree char *text = sl_shelf_item_text (item, column, self->lengths);

  name_cell (child, self);
  if (column == SL_SHELF_COLUMN_LABEL)
    {
      GtkWidget *label = gtk_widget_get_first_child (child), *note = gtk_widget_get_last_child (child);
      const char *shown = sl_shelf_item_get_note (item);

      gtk_label_set_label (GTK_LABEL (label), text);
      gtk_label_set_label (GTK_LABEL (note), shown != NULL ? shown : "");
      gtk_widget_set_visible (note, shown != NULL);
      gtk_widget_set_tooltip_text (child, shown);
      return;
    }
  gtk_label_set_label (GTK_LABEL (child), text);
  if (column == SL_SHELF_COLUMN_STATE && sl_shelf_item_get_entry (item)->fault != NULL)
    gtk_widget_add_css_class (child, "sl-wrong");
  else
    gtk_widget_remove_css_class (child, "sl-wrong");
}

static int
compare (gconstpointer a, gconstpointer b, gpointer data)
{
  return sl_shelf_item_compare ((SlShelfItem *) a, (SlShelfItem *) b, (SlShelfColumn) GPOINTER_TO_INT (data));
}

static GtkColumnViewColumn *
add_column (SlShelfTable *self, SlShelfColumn column)
{
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  g_autoptr (GtkSorter) sorter = GTK_SORTER (gtk_custom_sorter_new (compare, GINT_TO_POINTER (column), NULL));
  g_autoptr (GtkColumnViewColumn) made = NULL;

  g_object_set_data (G_OBJECT (factory), "column", GINT_TO_POINTER (column));
  g_signal_connect_object (factory, "setup", G_CALLBACK (on_setup), self, 0);
  g_signal_connect_object (factory, "bind", G_CALLBACK (on_bind), self, 0);
  made = gtk_column_view_column_new (g_dpgettext2 (GETTEXT_PACKAGE, "column", columns[column].title), factory);
  gtk_column_view_column_set_sorter (made, sorter);
  gtk_column_view_column_set_resizable (made, TRUE);
  if (columns[column].width > 0)
    gtk_column_view_column_set_fixed_width (made, columns[column].width);
  else
    gtk_column_view_column_set_expand (made, TRUE);
  gtk_column_view_append_column (GTK_COLUMN_VIEW (self->view), made);
  return made;
}

/* Heads of columns, and the list below them, have no names of their own either. */
static void
name_parts (SlShelfTable *self)
{
  GtkWidget *header = gtk_widget_get_first_child (self->view);
  int column = 0;

  sl_set_accessible_label (header, _ ("Columns"));
  sl_set_accessible_label (gtk_widget_get_last_child (self->view), _ ("Profiles"));
  for (GtkWidget *title = gtk_widget_get_first_child (header); title != NULL && column < SL_SHELF_N_COLUMNS; title = gtk_widget_get_next_sibling (title))
    sl_set_accessible_label (title, g_dpgettext2 (GETTEXT_PACKAGE, "column", columns[column++].title));
}

/* Rows are made anew with texts in the new units. */
void
sl_shelf_table_set_lengths (SlShelfTable *self, SlLengths lengths)
{
  if (self->lengths == lengths)
    return;
  self->lengths = lengths;
  gtk_column_view_set_model (GTK_COLUMN_VIEW (self->view), NULL);
  gtk_column_view_set_model (GTK_COLUMN_VIEW (self->view), GTK_SELECTION_MODEL (self->selection));
}

/* ---- the object ---- */

static void
sl_shelf_table_dispose (GObject *object)
{
  SlShelfTable *self = SL_SHELF_TABLE (object);

  /* the view may outlive this by a little, and must not ask the filter then, whose words go here */
  if (self->view != NULL)
    gtk_column_view_set_model (GTK_COLUMN_VIEW (self->view), NULL);
  if (self->filtered != NULL)
    gtk_filter_list_model_set_model (self->filtered, NULL);
  if (self->filtered != NULL)
    gtk_filter_list_model_set_filter (self->filtered, NULL);
  g_clear_object (&self->selection);
  g_clear_object (&self->filtered);
  g_clear_object (&self->filter);
  g_clear_object (&self->sorted);
  g_clear_object (&self->view);
  g_clear_pointer (&self->words, g_strfreev);
  g_clear_pointer (&self->chosen_name, g_free);
  G_OBJECT_CLASS (sl_shelf_table_parent_class)->dispose (object);
}

static void
sl_shelf_table_class_init (SlShelfTableClass *class)
{
  static const char *const names[N_SIGNALS] = { "chosen", "activated", "shown" };

  G_OBJECT_CLASS (class)->dispose = sl_shelf_table_dispose;
  for (int i = 0; i < N_SIGNALS; i++)
    signals[i] = g_signal_new (names[i], SL_TYPE_SHELF_TABLE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
sl_shelf_table_init (SlShelfTable *self)
{
}

SlShelfTable *
sl_shelf_table_new (GListModel *list)
{
  SlShelfTable *self = g_object_new (SL_TYPE_SHELF_TABLE, NULL);
  GtkColumnViewColumn *first = NULL;

  GtkWidget *view = gtk_column_view_new (NULL);

  sl_set_accessible_label (view, _ ("Profiles"));
  self->view = g_object_ref_sink (view);
  self->sorted = gtk_sort_list_model_new (g_object_ref (list), g_object_ref (gtk_column_view_get_sorter (GTK_COLUMN_VIEW (self->view))));
  self->filter = gtk_custom_filter_new (is_shown, self, NULL);
  self->filtered = gtk_filter_list_model_new (G_LIST_MODEL (g_object_ref (self->sorted)), GTK_FILTER (g_object_ref (self->filter)));
  self->selection = gtk_single_selection_new (G_LIST_MODEL (g_object_ref (self->filtered)));
  gtk_single_selection_set_autoselect (self->selection, FALSE);
  for (int column = 0; column < SL_SHELF_N_COLUMNS; column++)
    {
      GtkColumnViewColumn *made = add_column (self, (SlShelfColumn) column);

      if (column == SL_SHELF_COLUMN_LABEL)
        first = made;
    }
  name_parts (self);
  gtk_widget_add_css_class (self->view, "sl-shelf");
  gtk_column_view_set_model (GTK_COLUMN_VIEW (self->view), GTK_SELECTION_MODEL (self->selection));
  gtk_column_view_sort_by_column (GTK_COLUMN_VIEW (self->view), first, GTK_SORT_ASCENDING);
  g_signal_connect_object (self->selection, "notify::selected-item", G_CALLBACK (on_selected), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->view, "activate", G_CALLBACK (on_activate), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->filtered, "items-changed", G_CALLBACK (on_shown_changed), self, G_CONNECT_SWAPPED | G_CONNECT_AFTER);
  return self;
}

GtkWidget *
sl_shelf_table_get_view (SlShelfTable *self)
{
  return self->view;
}

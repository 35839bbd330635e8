/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/shelf/parts.h"

#define STEP 16 /* rows in one step: a few milliseconds of making or taking down their widgets */
/* So many changed items are put in or taken out one by one, and the rows around them stay as they are. */
#define FEW 16

G_DEFINE_FINAL_TYPE (SlShelfRow, sl_shelf_row, G_TYPE_OBJECT)

static void sl_shelf_rows_list_model_init (GListModelInterface *iface);

G_DEFINE_FINAL_TYPE_WITH_CODE (SlShelfRows, sl_shelf_rows, G_TYPE_OBJECT,
                               G_IMPLEMENT_INTERFACE (G_TYPE_LIST_MODEL, sl_shelf_rows_list_model_init))

/* ---- a row ---- */

static void
sl_shelf_row_finalize (GObject *object)
{
  g_clear_object (&SL_SHELF_ROW (object)->item);
  G_OBJECT_CLASS (sl_shelf_row_parent_class)->finalize (object);
}

static void
sl_shelf_row_class_init (SlShelfRowClass *class)
{
  G_OBJECT_CLASS (class)->finalize = sl_shelf_row_finalize;
}

static void
sl_shelf_row_init (SlShelfRow *self)
{
}

static gboolean
is_bound (const SlShelfRow *row)
{
  for (int column = 0; column < SL_SHELF_N_COLUMNS; column++)
    if (row->cells[column] != NULL)
      return TRUE;
  return FALSE;
}

static SlShelfRow *
new_row (SlShelfItem *item)
{
  SlShelfRow *row = g_object_new (SL_TYPE_SHELF_ROW, NULL);

  row->item = g_object_ref (item);
  return row;
}

static void
give (SlShelfRow *row, SlShelfItem *item)
{
  if (g_set_object (&row->item, item))
    row->stale = is_bound (row);
}

/* ---- rows come and go ---- */

static void
fill_row (SlShelfRows *self, SlShelfRow *row)
{
  if (row->stale)
    self->user->fill (row, self->data);
  row->stale = FALSE;
}

static void
append_rows (SlShelfRows *self, guint n)
{
  const guint before = self->rows->len;

  for (guint i = 0; i < n; i++)
    g_ptr_array_add (self->rows, new_row (g_ptr_array_index (self->wanted, before + i)));
  if (n > 0)
    g_list_model_items_changed (G_LIST_MODEL (self), before, 0, n);
}

static void
remove_last_rows (SlShelfRows *self, guint n)
{
  if (n == 0)
    return;
  g_ptr_array_set_size (self->rows, (int) (self->rows->len - n));
  g_list_model_items_changed (G_LIST_MODEL (self), self->rows->len, n, 0);
}

/* Fills the next few stale rows; FALSE where there are none. */
static gboolean
fill_some (SlShelfRows *self)
{
  guint filled = 0;

  for (guint i = 0; i < self->rows->len && filled < STEP; i++)
    {
      SlShelfRow *row = g_ptr_array_index (self->rows, i);

      filled += row->stale;
      fill_row (self, row);
    }
  return filled > 0;
}

static gboolean
on_step (gpointer data)
{
  SlShelfRows *self = data;
  const guint n = self->wanted->len, len = self->rows->len;

  if (fill_some (self))
    return G_SOURCE_CONTINUE;
  if (len > n)
    remove_last_rows (self, MIN (STEP, len - n));
  else if (len < n)
    /* beyond the last row that the view made widgets for, rows cost nothing */
    append_rows (self, len > 0 && !is_bound (g_ptr_array_index (self->rows, len - 1)) ? n - len : MIN (STEP, n - len));
  if (self->rows->len != n)
    return G_SOURCE_CONTINUE;
  self->step_source = 0;
  self->user->arranged (self->data);
  return G_SOURCE_REMOVE;
}

/* Brings the rows to the items wanted: on the screen now, elsewhere in steps. */
static void
publish (SlShelfRows *self)
{
  const guint n = self->wanted->len;
  guint kept = self->rows->len, first, n_screen;

  for (guint i = 0; i < self->rows->len; i++)
    give (g_ptr_array_index (self->rows, i), i < n ? g_ptr_array_index (self->wanted, i) : NULL);
  while (kept > n && !is_bound (g_ptr_array_index (self->rows, kept - 1)))
    kept--;
  if (kept > n && !is_bound (g_ptr_array_index (self->rows, n)))
    kept = n; /* the list was scrolled far below what there is now, and finds itself a new place */
  remove_last_rows (self, self->rows->len - kept);
  self->user->screen (&first, &n_screen, self->data);
  for (guint i = first; i < MIN (self->rows->len, first + n_screen); i++)
    fill_row (self, g_ptr_array_index (self->rows, i));
  if (self->rows->len < MIN (n, first + n_screen))
    append_rows (self, MIN (n, first + n_screen) - self->rows->len);
  if (self->step_source == 0)
    self->step_source = g_idle_add (on_step, self);
  self->user->arranged (self->data);
}

/* ---- sorting and filtering ---- */

static int
compare (gconstpointer a, gconstpointer b, gpointer data)
{
  return gtk_sorter_compare (data, *(SlShelfItem *const *) a, *(SlShelfItem *const *) b);
}

static void
filter (SlShelfRows *self, const GPtrArray *among)
{
  GPtrArray *wanted = g_ptr_array_sized_new (among->len);

  for (guint i = 0; i < among->len; i++)
    if (self->user->wants (g_ptr_array_index (among, i), self->data))
      g_ptr_array_add (wanted, g_ptr_array_index (among, i));
  g_ptr_array_unref (self->wanted);
  self->wanted = wanted;
  publish (self);
}

static void
arrange (SlShelfRows *self)
{
  g_ptr_array_set_size (self->sorted, 0);
  g_ptr_array_extend (self->sorted, self->mirror, NULL, NULL);
  g_ptr_array_sort_with_data (self->sorted, compare, self->sorter);
  filter (self, self->sorted);
}

void
sl_shelf_rows_refilter (SlShelfRows *self, gboolean narrower)
{
  SL_EACH_OF (SlShelfRow, row, self->rows)
    row->stale = is_bound (row); /* those that stay say what was found in them now */
  filter (self, narrower ? self->wanted : self->sorted);
}

/* ---- a few items changed ---- */

/* Where @item belongs in a sorted array. */
static guint
place_for (SlShelfRows *self, const GPtrArray *array, SlShelfItem *item)
{
  guint low = 0, high = array->len;

  while (low < high)
    {
      const guint middle = (low + high) / 2;

      if (gtk_sorter_compare (self->sorter, g_ptr_array_index (array, middle), item) <= 0)
        low = middle + 1;
      else
        high = middle;
    }
  return low;
}

static void
remove_item (SlShelfRows *self, SlShelfItem *item)
{
  guint position;

  g_ptr_array_remove (self->sorted, item);
  if (!g_ptr_array_find (self->wanted, item, &position))
    return;
  g_ptr_array_remove_index (self->wanted, position);
  g_ptr_array_remove_index (self->rows, position);
  g_list_model_items_changed (G_LIST_MODEL (self), position, 1, 0);
}

static void
put_in (SlShelfRows *self, SlShelfItem *item)
{
  guint position;

  g_ptr_array_insert (self->sorted, (int) place_for (self, self->sorted, item), item);
  if (!self->user->wants (item, self->data))
    return;
  position = place_for (self, self->wanted, item);
  g_ptr_array_insert (self->wanted, (int) position, item);
  g_ptr_array_insert (self->rows, (int) position, new_row (item));
  g_list_model_items_changed (G_LIST_MODEL (self), position, 0, 1);
}

/* An item in the place of another: where it is shown in the same row, only that row's cells change. */
static gboolean
replace (SlShelfRows *self, SlShelfItem *old, SlShelfItem *item)
{
  guint in_sorted, in_wanted;

  if (!self->user->wants (item, self->data) || !g_ptr_array_find (self->sorted, old, &in_sorted) ||
      !g_ptr_array_find (self->wanted, old, &in_wanted) || gtk_sorter_compare (self->sorter, old, item) != 0)
    return FALSE;
  self->sorted->pdata[in_sorted] = item;
  self->wanted->pdata[in_wanted] = item;
  give (g_ptr_array_index (self->rows, in_wanted), item);
  fill_row (self, g_ptr_array_index (self->rows, in_wanted));
  return TRUE;
}

static void
on_items_changed (GListModel *items, guint position, guint n_removed, guint n_added, gpointer data)
{
  SlShelfRows *self = data;
  g_autoptr (GPtrArray) removed = g_ptr_array_new_with_free_func (g_object_unref);

  for (guint i = 0; i < n_removed; i++)
    g_ptr_array_add (removed, g_object_ref (g_ptr_array_index (self->mirror, position + i)));
  if (n_removed > 0)
    g_ptr_array_remove_range (self->mirror, position, n_removed);
  for (guint i = 0; i < n_added; i++)
    g_ptr_array_insert (self->mirror, (int) (position + i), g_list_model_get_item (items, position + i));
  if (self->step_source != 0 || self->rows->len != self->wanted->len || n_removed + n_added > FEW)
    {
      arrange (self);
      return;
    }
  if (n_removed != 1 || n_added != 1 ||
      !replace (self, g_ptr_array_index (removed, 0), g_ptr_array_index (self->mirror, position)))
    {
      for (guint i = 0; i < n_removed; i++)
        remove_item (self, g_ptr_array_index (removed, i));
      for (guint i = 0; i < n_added; i++)
        put_in (self, g_ptr_array_index (self->mirror, position + i));
    }
  self->user->arranged (self->data);
}

/* ---- the list model ---- */

static GType
get_item_type (GListModel *list)
{
  return SL_TYPE_SHELF_ROW;
}

static guint
get_n_items (GListModel *list)
{
  return SL_SHELF_ROWS (list)->rows->len;
}

static gpointer
get_item (GListModel *list, guint position)
{
  SlShelfRows *self = SL_SHELF_ROWS (list);

  return position < self->rows->len ? g_object_ref (g_ptr_array_index (self->rows, position)) : NULL;
}

static void
sl_shelf_rows_list_model_init (GListModelInterface *iface)
{
  iface->get_item_type = get_item_type;
  iface->get_n_items = get_n_items;
  iface->get_item = get_item;
}

/* ---- the object ---- */

/* The view may keep the rows for a little longer. */
static void
sl_shelf_rows_dispose (GObject *object)
{
  g_clear_handle_id (&SL_SHELF_ROWS (object)->step_source, g_source_remove);
  G_OBJECT_CLASS (sl_shelf_rows_parent_class)->dispose (object);
}

static void
sl_shelf_rows_finalize (GObject *object)
{
  SlShelfRows *self = SL_SHELF_ROWS (object);

  g_object_unref (self->items);
  g_object_unref (self->sorter);
  g_ptr_array_unref (self->rows);
  g_ptr_array_unref (self->wanted);
  g_ptr_array_unref (self->sorted);
  g_ptr_array_unref (self->mirror);
  G_OBJECT_CLASS (sl_shelf_rows_parent_class)->finalize (object);
}

static void
sl_shelf_rows_class_init (SlShelfRowsClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_shelf_rows_dispose;
  G_OBJECT_CLASS (class)->finalize = sl_shelf_rows_finalize;
}

static void
sl_shelf_rows_init (SlShelfRows *self)
{
  self->mirror = g_ptr_array_new_with_free_func (g_object_unref);
  self->sorted = g_ptr_array_new ();
  self->wanted = g_ptr_array_new ();
  self->rows = g_ptr_array_new_with_free_func (g_object_unref);
}

SlShelfRows *
sl_shelf_rows_new (GListModel *items, GtkSorter *sorter, const SlShelfRowsUser *user, gpointer data)
{
  SlShelfRows *self = g_object_new (SL_TYPE_SHELF_ROWS, NULL);

  self->items = g_object_ref (items);
  self->sorter = g_object_ref (sorter);
  self->user = user;
  self->data = data;
  g_signal_connect_object (items, "items-changed", G_CALLBACK (on_items_changed), self, 0);
  g_signal_connect_object (sorter, "changed", G_CALLBACK (arrange), self, G_CONNECT_SWAPPED);
  on_items_changed (items, 0, 0, g_list_model_get_n_items (items), self);
  return self;
}

void
sl_shelf_rows_refill (SlShelfRows *self)
{
  SL_EACH_OF (SlShelfRow, row, self->rows)
    {
      row->stale = is_bound (row);
      fill_row (self, row);
    }
}

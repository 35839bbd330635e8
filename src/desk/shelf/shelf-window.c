/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/shelf/shelf-window-private.h"

#include "desk/kit/build.h"
#include "desk/kit/colour-scheme.h"
#include "bench/settings.h"
#include "desk/kit/typed.h"
#include "desk/kit/util.h"

#define BELOW_UNDER 1264 /* px, at plain text: a screen of 1280 less the window's own frame */

G_DEFINE_FINAL_TYPE (SlShelfWindow, sl_shelf_window, GTK_TYPE_APPLICATION_WINDOW)

GFile *
sl_shelf_window_dup_chosen_file (SlShelfWindow *self)
{
  return self->item != NULL ? g_file_get_child (self->model->folder, self->item->entry->name) : NULL;
}

/* ---- what is shown ---- */

static char *
describe_count (SlShelfWindow *self)
{
  guint n = g_list_model_get_n_items (G_LIST_MODEL (self->model->items)),
        shown = sl_shelf_table_get_n_shown (self->table);

  if (self->model->failure != NULL)
    return g_strdup ("");
  if (self->model->reading != NULL)
    return g_strdup_printf (_ ("Reading: %u of %u"), self->model->done, self->model->total);
  if (self->model->stopped)
    return g_strdup_printf (_ ("Stopped: %u of %u read"), self->model->done, self->model->total);
  if (sl_shelf_table_is_narrowed (self->table))
    return g_strdup_printf (ngettext ("%u of %u profile", "%u of %u profiles", n), shown, n);
  return g_strdup_printf (ngettext ("%u profile", "%u profiles", n), n);
}

/* The table; or @text in its place, with what can be done about it. What the other page says goes with it: assistive
 * technology sees hidden pages too. */
static void
show_page (SlShelfWindow *self, const char *text, const char *button, const char *action)
{
  gtk_label_set_label (GTK_LABEL (self->empty_label), text != NULL ? text : "");
  gtk_widget_set_visible (self->empty_button, button != NULL);
  if (button != NULL)
    {
      gtk_button_set_label (GTK_BUTTON (self->empty_button), button);
      gtk_actionable_set_action_name (GTK_ACTIONABLE (self->empty_button), action);
    }
  /* nothing to choose, nothing beside it; but a search that finds nothing is on its way to one that does */
  gtk_widget_set_visible (self->side, text == NULL || sl_shelf_table_is_narrowed (self->table));
  gtk_stack_set_visible_child_name (GTK_STACK (self->pages), text == NULL ? "table" : "empty");
}

/* One button stops reading and goes on with it: what was read is remembered. */
static void
show_stop (SlShelfWindow *self, gboolean reading)
{
  gtk_button_set_label (GTK_BUTTON (self->stop_button), reading ? _ ("Stop") : _ ("Read on"));
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self->stop_button), reading ? "win.stop" : "win.reload");
  gtk_widget_set_visible (self->stop_button, reading || self->model->stopped);
}

static void
refresh (SlShelfWindow *self)
{
  const SlShelfModel *model = self->model;
  const gboolean reading = model->reading != NULL;
  g_autofree char *count = describe_count (self);

  gtk_label_set_label (GTK_LABEL (self->count_label), count);
  gtk_widget_set_visible (self->progress, reading);
  show_stop (self, reading);
  gtk_progress_bar_set_fraction (GTK_PROGRESS_BAR (self->progress),
                                 model->total > 0 ? (double) model->done / model->total : 0);
  if (model->failure != NULL)
    {
      g_autofree char *text = g_strdup_printf (_ ("This folder can't be read: %s"), model->failure);

      show_page (self, text, _ ("Choose another folder"), "win.choose-folder");
    }
  else if (sl_shelf_table_get_n_shown (self->table) > 0 || reading)
    show_page (self, NULL, NULL, NULL);
  else if (sl_shelf_table_is_narrowed (self->table))
    show_page (self, _ ("No profile has all these words and fits the filters."), _ ("Show all"), "win.show-all");
  else
    show_page (self, _ ("This shelf is empty. Profiles saved into its folder appear here."), _ ("New instrument"),
               "app.new");
}

static void
on_chosen (SlShelfWindow *self)
{
  sl_shelf_side_show (self);
  sl_shelf_window_refresh_actions (self);
}

static void
on_activated (SlShelfWindow *self)
{
  gtk_widget_activate_action (GTK_WIDGET (self), "win.open-chosen", NULL);
}

static void
show_menu (SlShelfWindow *self, double x, double y)
{
  const GdkRectangle at = { (int) x, (int) y, 1, 1 };

  if (self->item == NULL)
    return;
  gtk_popover_set_pointing_to (GTK_POPOVER (self->menu), &at);
  gtk_popover_popup (GTK_POPOVER (self->menu));
}

static void
on_menu_click (SlShelfWindow *self, int n, double x, double y)
{
  GtkWidget *view = sl_shelf_table_get_view (self->table);
  double view_x, view_y;

  if (gtk_widget_translate_coordinates (self->scroller, view, x, y, &view_x, &view_y))
    sl_shelf_table_choose_at (self->table, view_x, view_y);
  show_menu (self, x, y);
}

/* By the keyboard: below the chosen row. */
static void
on_show_menu (GtkWidget *widget, const char *action, GVariant *parameter)
{
  SlShelfWindow *self = SL_SHELF_WINDOW (widget);
  GtkWidget *row = gtk_widget_get_first_child (gtk_widget_get_last_child (sl_shelf_table_get_view (self->table)));
  double x = 0, y = 0;

  while (row != NULL && (gtk_widget_get_state_flags (row) & GTK_STATE_FLAG_SELECTED) == 0)
    row = gtk_widget_get_next_sibling (row);
  if (row != NULL)
    gtk_widget_translate_coordinates (row, self->scroller, 0, gtk_widget_get_height (row), &x, &y);
  show_menu (self, MAX (x, 0), y);
}

static void
on_search (SlShelfWindow *self)
{
  sl_shelf_table_search (self->table, gtk_editable_get_text (GTK_EDITABLE (self->search)));
}

/* Enter in the search opens what is chosen, or chooses the first found. */
static void
on_search_activate (SlShelfWindow *self)
{
  if (sl_shelf_table_get_chosen (self->table) != NULL)
    on_activated (self);
  else
    gtk_widget_child_focus (sl_shelf_table_get_view (self->table), GTK_DIR_TAB_FORWARD);
}

static void
on_filter (SlShelfWindow *self)
{
  static const int months[] = { 0, 3, 6, 12 }; /* as they are listed */

  sl_shelf_table_filter (self->table, (SlShelfKinds) gtk_drop_down_get_selected (GTK_DROP_DOWN (self->kinds)),
                         (SlShelfVisits) gtk_drop_down_get_selected (GTK_DROP_DOWN (self->visits)),
                         months[gtk_drop_down_get_selected (GTK_DROP_DOWN (self->ages))]);
}

static void
apply_lengths (SlShelfWindow *self)
{
  sl_shelf_table_set_lengths (self->table, sl_settings_get_lengths ());
  sl_shelf_side_refill (self);
}

/* Where there is too little room for both side by side, the chosen one lies below the table. */
static void
arrange (SlShelfWindow *self)
{
  const gboolean below = gtk_widget_get_width (GTK_WIDGET (self)) < BELOW_UNDER * sl_text_scale (GTK_WIDGET (self));
  const GtkOrientation split = below ? GTK_ORIENTATION_VERTICAL : GTK_ORIENTATION_HORIZONTAL;

  if (gtk_orientable_get_orientation (GTK_ORIENTABLE (self->split)) == split)
    return;
  g_object_set (self->split, "orientation", split, "position-set", FALSE, NULL);
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self->chosen), (GtkOrientation) !split);
}

static void
on_realize (SlShelfWindow *self)
{
  g_signal_connect_object (gtk_native_get_surface (GTK_NATIVE (self)), "layout", G_CALLBACK (arrange), self,
                           G_CONNECT_SWAPPED | G_CONNECT_AFTER);
}

/* ---- the folder ---- */

void
sl_shelf_window_open_folder (SlShelfWindow *self, GFile *folder, gboolean remember)
{
  g_autoptr (GFile) own = sl_own_shelf_folder ();
  g_autofree char *shown = g_file_get_parse_name (folder), *uri = g_file_get_uri (folder);

  if (!sl_typed_take (GTK_WINDOW (self)))
    return;
  if (remember)
    sl_settings_set (SL_SETTING_SHELF_FOLDER, g_variant_new_string (g_file_equal (folder, own) ? "" : uri));
  gtk_label_set_label (GTK_LABEL (self->folder_label), shown);
  sl_shelf_model_open (self->model, folder, g_file_equal (folder, own)); /* any other folder is somebody's to make */
}

/* ---- the window ---- */

static void
sl_shelf_window_dispose (GObject *object)
{
  SlShelfWindow *self = SL_SHELF_WINDOW (object);

  /* parts being disposed emit changes when there is nothing left to refresh */
  if (self->table != NULL)
    {
      gpointer const told_by[] = { self->model, self->table, self->search, self->kinds, self->visits, self->ages };

      for (guint i = 0; i < G_N_ELEMENTS (told_by); i++)
        g_signal_handlers_disconnect_by_data (told_by[i], self);
      g_clear_pointer (&self->menu, gtk_widget_unparent);
      gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scroller), NULL);
      sl_shelf_model_stop (self->model);
    }
  g_cancellable_cancel (self->cancellable);
  g_clear_object (&self->cancellable);
  g_clear_object (&self->chooser);
  g_clear_object (&self->table);
  g_clear_object (&self->model);
  sl_shelf_side_clear (self);
  G_OBJECT_CLASS (sl_shelf_window_parent_class)->dispose (object);
}

static void
sl_shelf_window_class_init (SlShelfWindowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = sl_shelf_window_dispose;
  sl_template_bind (class, "shelf-window", SL_MEMBERS (SlShelfWindow, folder_label, profile_menu),
                    "folder_label search kinds visits ages split pages scroller empty_label empty_button count_label "
                    "progress stop_button messages shop_baselines profile_menu",
                    SL_CALL (on_search), SL_CALL (on_search_activate), SL_CALL (on_filter), SL_CALL (on_menu_click),
                    NULL);
  gtk_widget_class_install_action (widget_class, "win.show-menu", NULL, on_show_menu);
  sl_shelf_side_class_init (widget_class);
  sl_shelf_window_class_add_actions (widget_class);
}

static void
sl_shelf_window_init (SlShelfWindow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  self->cancellable = g_cancellable_new ();
  g_signal_connect_object (self, "unrealize", G_CALLBACK (g_cancellable_cancel), self->cancellable, G_CONNECT_SWAPPED);
  self->model = sl_shelf_model_new ();
  self->table = sl_shelf_table_new (G_LIST_MODEL (self->model->items));
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scroller), sl_shelf_table_get_view (self->table));
  sl_name_paned (self->split, _ ("Profiles and the chosen one"));
  sl_set_accessible_label (self->kinds, _ ("Which profiles are shown"));
  sl_set_accessible_label (self->visits, _ ("By their last visit"));
  sl_set_accessible_label (self->ages, _ ("By how long their strings have been on"));
  sl_guard_wheel (self->kinds);
  sl_guard_wheel (self->visits);
  sl_guard_wheel (self->ages);
  sl_shelf_side_init (self);
  sl_shelf_window_add_baselines (self);
  /* made before it is needed: made while it comes up, it would be a line too short */
  self->menu = gtk_popover_menu_new_from_model (G_MENU_MODEL (self->profile_menu));
  g_object_set (self->menu, "has-arrow", FALSE, "halign", GTK_ALIGN_START, NULL);
  gtk_widget_set_parent (self->menu, self->scroller);
  sl_set_accessible_label (self->menu, _ ("Chosen profile"));
  g_signal_connect (self, "realize", G_CALLBACK (on_realize), NULL);
  g_signal_connect_object (self->model, "progress", G_CALLBACK (refresh), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->model, "changed", G_CALLBACK (refresh), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->table, "shown", G_CALLBACK (refresh), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->table, "chosen", G_CALLBACK (on_chosen), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->table, "activated", G_CALLBACK (on_activated), self, G_CONNECT_SWAPPED);
  sl_settings_follow (SL_SETTING_LENGTHS, self, G_CALLBACK (apply_lengths));
  apply_lengths (self);
  sl_shelf_window_refresh_actions (self);
  sl_colour_scheme_mark (GTK_WIDGET (self));
  sl_typed_guard (GTK_WINDOW (self), NULL);
}

GtkWidget *
sl_shelf_window_get (GtkApplication *app)
{
  SlShelfWindow *self;
  g_autoptr (GFile) folder = sl_shelf_folder ();

  for (GList *l = gtk_application_get_windows (app); l != NULL; l = l->next)
    if (SL_IS_SHELF_WINDOW (l->data))
      return l->data;
  self = g_object_new (SL_TYPE_SHELF_WINDOW, "accessible-role", GTK_ACCESSIBLE_ROLE_WINDOW, "application", app, NULL);
  sl_shelf_window_open_folder (self, folder, FALSE);
  gtk_widget_grab_focus (self->search);
  return GTK_WIDGET (self);
}

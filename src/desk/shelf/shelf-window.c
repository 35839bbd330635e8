/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/shelf/parts.h"

#include "bench/profiles.h"
#include "bench/settings.h"
#include "draw/draw.h"
#include "words/dates.h"

#define BELOW_UNDER 1264 /* px, at plain text: a screen of 1280 less the window's own frame */

G_DEFINE_FINAL_TYPE (SlShelfWindow, sl_shelf_window, GTK_TYPE_APPLICATION_WINDOW)

GFile *
sl_shelf_window_dup_chosen_file (SlShelfWindow *self)
{
  return self->item != NULL ? g_file_get_child (self->model->folder, self->item->entry->name) : NULL;
}

/* ---- beside the table: the chosen profile ---- */

#define TEXT_SCALE 0.9

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  SlShelfWindow *self = data;
  SlPictureOptions options;

  if (self->profile == NULL)
    return;
  sl_picture_options_init (&options);
  options.kind = SL_PICTURE_SIDE;
  options.still = TRUE;
  options.width = width;
  options.height = height;
  options.lengths = sl_settings_get_lengths ();
  options.decimal = sl_decimal_sign ();
  options.look = sl_look ();
  options.text_scale = TEXT_SCALE * sl_text_scale (GTK_WIDGET (area));
  sl_picture_draw (cr, self->analysis, &options, NULL);
}

static void
analyse (SlShelfWindow *self)
{
  const SlShop shop = sl_settings_get_shop ();

  g_clear_pointer (&self->analysis, sl_analysis_free);
  if (self->profile == NULL)
    return;
  self->analysis = g_new0 (SlAnalysis, 1);
  sl_analyse_last (self->profile, &shop, self->analysis);
  gtk_widget_queue_draw (self->picture);
}

/* Takes @profile, which may be NULL. */
static void
show_profile (SlShelfWindow *self, SlProfile *profile)
{
  g_clear_pointer (&self->profile, sl_profile_free);
  self->profile = profile;
  analyse (self);
  gtk_widget_set_visible (self->picture, profile != NULL);
}

static void
on_loaded (GObject *source, GAsyncResult *result, gpointer data)
{
  SlShelfWindow *self = SL_SHELF_WINDOW (source);
  SlProfile *profile = sl_read_profile_finish (result, NULL);

  if (self->loading == g_task_get_cancellable (G_TASK (result)))
    show_profile (self, profile);
  else
    g_clear_pointer (&profile, sl_profile_free);
}

/* A figure of the row, with its unit; NULL where it wasn't read. */
static char *
with_unit (SlShelfWindow *self, SlShelfColumn column, double mm)
{
  const SlTextStyle style = { sl_settings_get_lengths (), sl_decimal_sign () };
  g_autofree char *text = sl_shelf_item_text (self->item, column, style.lengths);

  return isnan (mm) ? NULL : g_strdup_printf ("%s %s", text, sl_text_unit (&style));
}

static void
fill_facts (SlShelfWindow *self)
{
  const SlShelfEntry *entry = self->item->entry;
  const gboolean sound = entry->fault == NULL;
  g_autofree char *file = g_filename_display_name (entry->name), *last = sl_date_short (entry->last_visit);
  g_autofree char *visits =
      g_strdup_printf (ngettext ("%u, the last %s", "%u, the last %s", entry->n_visits), entry->n_visits, last);
  g_autofree char *action = with_unit (self, SL_SHELF_COLUMN_ACTION,
                                       isnan (entry->action_treble) ? entry->action_bass : entry->action_treble);
  g_autofree char *relief = with_unit (self, SL_SHELF_COLUMN_RELIEF, entry->relief);
  g_autofree char *state = sl_shelf_item_text (self->item, SL_SHELF_COLUMN_STATE, sl_settings_get_lengths ());
  /* in the order of the grid's names, each before its value */
  const char *const values[] = { entry->owner,
                                 entry->contact,
                                 entry->maker,
                                 entry->model,
                                 entry->serial,
                                 entry->year,
                                 sound ? state : NULL,
                                 sound && entry->n_visits > 0 ? visits : NULL,
                                 sound ? action : NULL,
                                 sound ? relief : NULL,
                                 file };
  GtkWidget *name = gtk_widget_get_first_child (self->facts);

  for (guint i = 0; i < G_N_ELEMENTS (values); i++)
    {
      GtkWidget *value = gtk_widget_get_next_sibling (name);

      sl_set_remark (value, values[i]);
      gtk_widget_set_visible (name, gtk_widget_get_visible (value));
      name = gtk_widget_get_next_sibling (value);
    }
}

/* Files are renamed only when asked to: until then the window stays. */
static void
note_names (SlShelfWindow *self)
{
  const SlShelfEntry *entry = self->item->entry;
  g_autofree char *file = sl_shelf_display_name (entry->name);

  sl_typed_note (self->label_entry, g_strcmp0 (gtk_editable_get_text (GTK_EDITABLE (self->label_entry)), entry->label),
                 NULL);
  sl_typed_note (self->file_entry, g_strcmp0 (gtk_editable_get_text (GTK_EDITABLE (self->file_entry)), file), NULL);
}

static void
close_names (SlShelfWindow *self)
{
  gtk_widget_set_visible (self->names, FALSE);
  sl_typed_note (self->label_entry, FALSE, NULL);
  sl_typed_note (self->file_entry, FALSE, NULL);
  gtk_widget_set_visible (self->side_buttons, TRUE);
}

static void
show_chosen (SlShelfWindow *self)
{
  SlShelfItem *item = self->table->chosen;
  const char *note = item == NULL ? NULL : item->note != NULL ? item->note : item->in_use;
  g_autoptr (GFile) file = NULL;

  if (item == NULL || self->item == NULL || !g_str_equal (item->entry->name, self->item->entry->name))
    close_names (self);
  g_set_object (&self->item, item);
  gtk_widget_set_visible (self->nothing, item == NULL);
  gtk_widget_set_visible (self->chosen, item != NULL);
  g_cancellable_cancel (self->loading);
  g_clear_object (&self->loading);
  if (item == NULL)
    {
      show_profile (self, NULL);
      return;
    }
  sl_label_set (self->title_label, item->title);
  sl_set_remark (self->note_label, note);
  sl_set_class (self->note_label, "sl-wrong", item->note != NULL);
  fill_facts (self);
  file = sl_shelf_window_dup_chosen_file (self);
  self->loading = g_cancellable_new ();
  sl_read_profile_async (self, file, self->loading, on_loaded);
}

void
sl_shelf_side_ask_name (SlShelfWindow *self)
{
  const SlShelfEntry *entry = self->item->entry;
  g_autofree char *file = sl_shelf_display_name (entry->name);

  if (gtk_widget_get_visible (self->names)) /* asked for already */
    return;
  gtk_editable_set_text (GTK_EDITABLE (self->label_entry), entry->label);
  gtk_editable_set_text (GTK_EDITABLE (self->file_entry), file);
  gtk_widget_set_sensitive (self->label_entry, entry->fault == NULL);
  gtk_widget_set_visible (self->names, TRUE);
  gtk_widget_grab_focus (entry->fault == NULL ? self->label_entry : self->file_entry);
  gtk_widget_set_visible (self->side_buttons, FALSE); /* and nothing else can be chosen */
}

static void
on_rename (SlShelfWindow *self)
{
  g_autofree char *label = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->label_entry))));
  g_autofree char *file = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->file_entry))));
  gboolean has_label = gtk_widget_get_sensitive (self->label_entry);
  GtkWidget *empty = has_label && *label == '\0' ? self->label_entry : *file == '\0' ? self->file_entry : NULL;

  if (empty != NULL)
    {
      gtk_widget_error_bell (empty);
      gtk_widget_grab_focus (empty);
      return;
    }
  close_names (self);
  sl_shelf_window_rename (self, has_label ? label : NULL, file);
}

static void
on_keep_name (GtkWidget *widget, const char *action, GVariant *parameter)
{
  close_names (SL_SHELF_WINDOW (widget));
}

/* ---- what is shown ---- */

char *
sl_shelf_window_count (SlShelfWindow *self)
{
  guint n = g_list_model_get_n_items (G_LIST_MODEL (self->model->items)), shown = self->table->rows->wanted->len;

  return sl_shelf_table_is_narrowed (self->table)
             ? g_strdup_printf (ngettext ("%u of %u profile", "%u of %u profiles", n), shown, n)
             : g_strdup_printf (ngettext ("%u profile", "%u profiles", n), n);
}

static char *
describe_count (SlShelfWindow *self)
{
  if (self->model->failure != NULL)
    return g_strdup ("");
  if (self->model->silent)
    return g_strdup (_ ("The folder does not answer"));
  if (self->model->reading != NULL)
    return g_strdup_printf (_ ("Reading: %u of %u"), self->model->done, self->model->total);
  if (self->model->stopped)
    return g_strdup_printf (_ ("Stopped: %u of %u read"), self->model->done, self->model->total);
  return sl_shelf_window_count (self);
}

/* The table; or @text in its place, with what can be done about it. What the other page says goes with it: assistive
 * technology sees hidden pages too. */
static void
show_page (SlShelfWindow *self, const char *text, const char *button, const char *action)
{
  sl_label_set (self->empty_label, text != NULL ? text : "");
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

static void
refresh (SlShelfWindow *self)
{
  const SlShelfModel *model = self->model;
  const gboolean reading = model->reading != NULL;
  g_autofree char *count = describe_count (self);

  sl_label_set (self->count_label, count);
  gtk_widget_set_visible (self->progress, reading);
  sl_set_accessible_label (self->progress, _ ("Reading the shelf"));
  /* one button stops reading and goes on with it: what was read is remembered */
  gtk_button_set_label (GTK_BUTTON (self->stop_button), reading ? _ ("Stop") : _ ("Read on"));
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self->stop_button), reading ? "win.stop" : "win.reload");
  gtk_widget_set_visible (self->stop_button, reading || self->model->stopped);
  gtk_progress_bar_set_fraction (GTK_PROGRESS_BAR (self->progress),
                                 model->total > 0 ? (double) model->done / model->total : 0);
  if (model->failure != NULL)
    {
      g_autofree char *text = g_strdup_printf (_ ("This folder can't be read: %s"), model->failure);

      show_page (self, text, _ ("Choose another folder"), "win.choose-folder");
    }
  else if (self->table->rows->wanted->len > 0 || reading)
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
  show_chosen (self);
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
  GtkWidget *view = self->table->view;
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
  GtkWidget *row = gtk_widget_get_first_child (gtk_widget_get_last_child (self->table->view));
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
  if (self->table->chosen != NULL)
    on_activated (self);
  else
    gtk_widget_child_focus (self->table->view, GTK_DIR_TAB_FORWARD);
}

static void
on_filter (SlShelfWindow *self)
{
  static const int months[] = { 0, 3, 6, 12 }; /* as they are listed */

  sl_shelf_table_filter (self->table, (SlShelfKinds) sl_chosen (self->kinds), (SlShelfVisits) sl_chosen (self->visits),
                         months[sl_chosen (self->ages)]);
}

static void
apply_lengths (SlShelfWindow *self)
{
  sl_shelf_table_set_lengths (self->table, sl_settings_get_lengths ());
  if (self->item != NULL)
    fill_facts (self);
  gtk_widget_queue_draw (self->picture);
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
  sl_label_set (self->folder_label, shown);
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
  g_cancellable_cancel (self->loading);
  g_clear_object (&self->loading);
  g_clear_object (&self->item);
  g_clear_pointer (&self->profile, sl_profile_free);
  analyse (self);
  G_OBJECT_CLASS (sl_shelf_window_parent_class)->dispose (object);
}

static void
sl_shelf_window_class_init (SlShelfWindowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = sl_shelf_window_dispose;
  sl_template_bind (class, "shelf-window", SL_MEMBERS (SlShelfWindow, folder_label, facts),
                    "folder_label search kinds visits ages split pages scroller empty_label empty_button count_label "
                    "progress stop_button messages shop_baselines profile_menu side nothing chosen "
                    "picture title_label note_label side_buttons names label_entry file_entry facts",
                    SL_CALL (on_search), SL_CALL (on_search_activate), SL_CALL (on_filter), SL_CALL (on_menu_click),
                    SL_CALL (on_rename), SL_CALL (note_names), NULL);
  gtk_widget_class_install_action (widget_class, "win.show-menu", NULL, on_show_menu);
  gtk_widget_class_install_action (widget_class, "win.keep-name", NULL, on_keep_name);
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
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scroller), self->table->view);
  sl_name_paned (self->split, _ ("Profiles and the chosen one"));
  sl_set_accessible_label (self->kinds, _ ("Which profiles are shown"));
  sl_set_accessible_label (self->visits, _ ("By their last visit"));
  sl_set_accessible_label (self->ages, _ ("By how long their strings have been on"));
  sl_guard_wheel (self->kinds);
  sl_guard_wheel (self->visits);
  sl_guard_wheel (self->ages);
  sl_picture_area_init (self->picture, draw, self);
  sl_settings_follow_shop (self, G_CALLBACK (analyse));
  g_signal_connect_object (self->model, "changed", G_CALLBACK (sl_shelf_window_list_baselines), self,
                           G_CONNECT_SWAPPED);
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
  sl_shelf_window_take_drops (self);
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

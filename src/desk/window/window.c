/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/explanations.h"
#include "desk/photos/photos.h"
#include "desk/readings/readings.h"
#include "bench/settings.h"
#include "desk/sheets/sheets.h"
#include "bench/profiles.h"
#include "desk/window/window-private.h"
#include "desk/work/work-column.h"
#include "words/dates.h"

/* The window's size at first. */
#define FIRST_WIDTH 1440
#define FIRST_HEIGHT 900

#define MESSAGE_REFUSED "refused"
#define MESSAGE_TOLD "told"

G_DEFINE_FINAL_TYPE (SlWindow, sl_window, GTK_TYPE_APPLICATION_WINDOW)

static gboolean
is_unsaved (SlWindow *self)
{
  return self->bench != NULL && ((self->file == NULL && !self->is_example) || sl_bench_is_modified (self->bench) ||
                                 sl_bench_get_typed (self->bench) != NULL);
}

gboolean
sl_window_is_empty (SlWindow *self)
{
  return self->bench == NULL && self->opening == 0;
}

SlWindow *
sl_window_showing (GtkApplication *app, GFile *file, const char *id)
{
  for (GList *l = gtk_application_get_windows (app); l != NULL; l = l->next)
    {
      SlWindow *self = SL_IS_WINDOW (l->data) ? l->data : NULL;

      if (self != NULL && self->file != NULL &&
          (g_file_equal (self->file, file) || (id != NULL && g_strcmp0 (id, self->file_id) == 0)))
        return self;
    }
  return NULL;
}

static const char *
saved_word (SlWindow *self)
{
  if (self->saving)
    return _ ("saving…");
  if (self->file == NULL)
    return self->is_example ? _ ("a copy of an example, not saved") : _ ("not saved yet");
  return is_unsaved (self) ? _ ("changes not saved") : _ ("saved");
}

/* Of the instrument: its owner, the stage of the readings and their day ("received · 2 March 2026"), whether it is
 * saved.
 */
static char *
describe (SlWindow *self)
{
  const char *owner = sl_bench_get_profile (self->bench)->identity.owner;
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  g_autofree char *day = set != NULL ? sl_date_text (set->taken) : NULL;
  g_autoptr (GString) text = g_string_new (NULL);

  if (owner != NULL && *owner != '\0')
    g_string_append_printf (text, "%s · ", owner);
  g_string_append (text, set == NULL ? _ ("nothing read yet") : sl_stage_word (set->stage));
  if (day != NULL)
    g_string_append_printf (text, " · %s", day);
  g_string_append_printf (text, " · %s", saved_word (self));
  return g_strdup (text->str);
}

static void
refresh_title (SlWindow *self)
{
  const char *label;
  g_autofree char *subtitle = NULL, *title = NULL, *name = NULL;

  gtk_widget_set_visible (self->subtitle_label, self->bench != NULL);
  gtk_widget_set_sensitive (self->title_button, self->bench != NULL);
  if (self->bench == NULL)
    {
      sl_label_set (self->title_label, _ ("Sidelong"));
      sl_set_accessible_label (self->title_button, _ ("Nothing on the bench"));
      gtk_window_set_title (GTK_WINDOW (self), _ ("Sidelong"));
      return;
    }
  label = sl_bench_get_profile (self->bench)->identity.label;
  subtitle = describe (self);
  title = g_strconcat (is_unsaved (self) ? "• " : "", label, NULL);
  /* Translators: name of the title's button for assistive technology; label of the instrument, then owner, stage and
   * whether it is saved. */
  name = g_strdup_printf (_ ("Instrument: %s, %s"), label, subtitle);
  sl_label_set (self->title_label, label);
  sl_label_set (self->subtitle_label, subtitle);
  gtk_window_set_title (GTK_WINDOW (self), title);
  sl_set_accessible_label (self->title_button, name);
}

static void
refresh_step_button (GtkWidget *button, const char *step, const char *named, const char *none)
{
  sl_name_with_tip (button, step == NULL ? none : named, step);
}

void
sl_window_refresh_history (SlWindow *self)
{
  const char *undo = self->bench == NULL ? NULL : sl_bench_get_undo_name (self->bench);
  const char *redo = self->bench == NULL ? NULL : sl_bench_get_redo_name (self->bench);
  static const char *const exports[] = { "export", "export-sheet", "export-templates", "export-table",
                                         "copy-picture" }; /* one at a time */
  static const char *const of_profile[] = { "print-sheet", "print-templates", "copy-table",    "show-customer",
                                            "save-as",     "instrument",      "open-recording" };

  /* Translators: %s is the name of a step, such as "cut saddle base". */
  refresh_step_button (self->undo_button, undo, _ ("Undo: %s"), _ ("Undo"));
  refresh_step_button (self->redo_button, redo, _ ("Redo: %s"), _ ("Redo"));
  sl_window_set_action_enabled (self, "undo", undo != NULL);
  sl_window_set_action_enabled (self, "redo", redo != NULL);
  sl_window_set_action_enabled (self, "save", is_unsaved (self) && !self->saving);
  for (gsize i = 0; i < G_N_ELEMENTS (exports); i++)
    sl_window_set_action_enabled (self, exports[i], self->bench != NULL && self->exporting == NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (of_profile); i++)
    sl_window_set_action_enabled (self, of_profile[i], self->bench != NULL);
  refresh_title (self);
  sl_window_inhibit_end (self, is_unsaved (self));
}

static void
keep_height_factor (SlWindow *self)
{
  sl_settings_set (SL_SETTING_HEIGHT_FACTOR, g_variant_new_double (sl_bench_get_height_factor (self->bench)));
}

/* The tick comes before the frame is laid out and drawn, so what it announces is in that frame. */
static gboolean
announce (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  sl_bench_announce (SL_WINDOW (widget)->bench);
  return G_SOURCE_REMOVE;
}

static void
on_typed (GtkWindow *window)
{
  sl_bench_set_typed (SL_WINDOW (window)->bench, sl_typed_list (window));
}

static void
on_announcement_wanted (SlBench *bench, gpointer data)
{
  gtk_widget_add_tick_callback (data, announce, NULL, NULL);
}

/* The columns beside the drawing have some hundreds of controls, which would hold up the first frame: they come with
 * the next one. */
static gboolean
fill_columns (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  SlWindow *self = SL_WINDOW (widget);
  gboolean *drawn = data;

  if (!*drawn) /* told before the frame is drawn */
    {
      *drawn = TRUE;
      return G_SOURCE_CONTINUE;
    }
  self->form = sl_readings_form_new (self->bench);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->readings), self->form);
  self->column = sl_work_column_new (self->bench);
  gtk_widget_set_hexpand (self->column, TRUE);
  gtk_box_append (GTK_BOX (self->work), self->column);
  gtk_widget_grab_focus (self->form);
  return G_SOURCE_REMOVE;
}

static void
show_regions (SlWindow *self)
{
  self->centre = sl_centre_new (self->bench);
  g_signal_connect_object (sl_centre_get_larger (SL_CENTRE (self->centre)), "toggled", G_CALLBACK (sl_window_arrange),
                           self, G_CONNECT_SWAPPED);
  gtk_paned_set_start_child (GTK_PANED (self->inner), self->centre);
  sl_name_scrolled (self->readings, _ ("Readings"));
  sl_name_paned (self->inner, _ ("Side view and work"));
  sl_name_paned (self->regions, _ ("Readings and side view"));
  gtk_widget_set_visible (self->regions, TRUE);
  sl_window_arrange (self);
  gtk_widget_add_tick_callback (GTK_WIDGET (self), fill_columns, g_new0 (gboolean, 1), g_free);
}

/* An edit was taken back: it would have made more than a document takes. */
static void
on_refused (SlBench *bench, const char *why, SlWindow *self)
{
  g_autofree char *sentence = sl_capital (why);

  sl_message_show (self->messages, MESSAGE_REFUSED, SL_MESSAGE_ERROR, NULL, "%s", sentence);
}

static void
on_told (SlBench *bench, const char *what, SlWindow *self)
{
  sl_message_show (self->messages, MESSAGE_TOLD, SL_MESSAGE_NOTICE, NULL, "%s", what);
}

void
sl_window_put_on_bench (SlWindow *self, SlProfile *profile)
{
  SlBench *bench = sl_bench_new (profile);

  g_return_if_fail (self->bench == NULL);
  self->bench = bench;
  g_action_group_change_action_state (G_ACTION_GROUP (self), "lengths",
                                      g_variant_new_string (sl_lengths_names[sl_settings_get_lengths ()]));
  sl_bench_set_height_factor (bench, sl_settings_get_double (SL_SETTING_HEIGHT_FACTOR, 0.0));
  sl_bench_set_wanted (bench, on_announcement_wanted, self);
  g_signal_connect_object (bench, "refused", G_CALLBACK (on_refused), self, 0);
  g_signal_connect_object (bench, "told", G_CALLBACK (on_told), self, 0);
  sl_bench_follow (bench, SL_CHANGED_HEIGHT_FACTOR, G_CALLBACK (keep_height_factor), self);
  sl_bench_follow (bench, SL_CHANGED_TEXT | SL_CHANGED_READINGS, G_CALLBACK (refresh_title), self);
  sl_bench_follow (bench, SL_CHANGED_HISTORY | SL_CHANGED_TYPED, G_CALLBACK (sl_window_refresh_history), self);
  sl_bench_follow (bench, SL_CHANGED_FIGURES, G_CALLBACK (sl_window_refresh_drawer), self);
  sl_bench_set_settle (bench, (SlBenchSettle) sl_typed_take, self);
  sl_typed_follow (GTK_WINDOW (self), on_typed);
  sl_window_begin_journal (self);
  sl_explanations_give (bench, sl_explanations_new (profile->id, FALSE)); /* those of a file are given later */
  if (self->start_page != NULL)
    {
      gtk_box_remove (GTK_BOX (self->content_slot), self->start_page);
      self->start_page = NULL;
    }
  sl_window_refresh_drawer (self);
  show_regions (self);
  sl_window_refresh_history (self);
}

void
sl_window_show_example (SlWindow *self, const char *name)
{
  SlProfile *profile = sl_demo_profile (name);
  g_autoptr (GFile) photos = NULL;

  if (profile == NULL)
    return;
  self->is_example = TRUE;
  sl_window_put_on_bench (self, profile);
  photos = sl_demo_photos (name);
  sl_window_fetch_photos (self, photos);
}

static void
on_start (SlStartPage *page, gpointer data)
{
  sl_window_put_on_bench (data, sl_start_page_make_profile (page));
}

void
sl_window_show_start_page (SlWindow *self)
{
  if (self->start_page != NULL || self->bench != NULL)
    return;
  self->start_page = g_object_new (SL_TYPE_START_PAGE, NULL);
  sl_window_offer_left (self);
  g_signal_connect_object (self->start_page, "start", G_CALLBACK (on_start), self, 0);
  gtk_box_append (GTK_BOX (self->content_slot), self->start_page);
}

/* The last window's size, as far as some monitor has room for it; remembered from now on. */
static void
bind_size (SlWindow *self)
{
  GListModel *monitors = gdk_display_get_monitors (gtk_widget_get_display (GTK_WIDGET (self)));
  int width, height;
  GdkRectangle most = { 0 };

  for (guint i = 0; i < g_list_model_get_n_items (monitors); i++)
    {
      g_autoptr (GdkMonitor) monitor = g_list_model_get_item (monitors, i);
      GdkRectangle area;

      gdk_monitor_get_geometry (monitor, &area);
      most.width = MAX (most.width, area.width);
      most.height = MAX (most.height, area.height);
    }
  gtk_window_set_default_size (GTK_WINDOW (self), FIRST_WIDTH, FIRST_HEIGHT);
  sl_settings_bind (SL_SETTING_WIDTH, self, "default-width", G_VARIANT_TYPE_INT32);
  sl_settings_bind (SL_SETTING_HEIGHT, self, "default-height", G_VARIANT_TYPE_INT32);
  gtk_window_get_default_size (GTK_WINDOW (self), &width, &height);
  if (most.width > 0)
    gtk_window_set_default_size (GTK_WINDOW (self), MIN (width, most.width), MIN (height, most.height));
  sl_settings_bind (SL_SETTING_MAXIMIZED, self, "maximized", G_VARIANT_TYPE_BOOLEAN);
}

static void
on_question_answered (GtkDialog *dialog, int response, SlWindow *self)
{
  /* it lives until its answer is delivered, perhaps longer than the window */
  gtk_window_set_transient_for (GTK_WINDOW (dialog), NULL);
  gtk_window_destroy (GTK_WINDOW (dialog));
  if (response == GTK_RESPONSE_REJECT)
    {
      sl_journal_stop (self->bench, TRUE);
      gtk_window_destroy (GTK_WINDOW (self));
    }
  else if (response == GTK_RESPONSE_ACCEPT)
    {
      self->close_when_saved = TRUE;
      sl_window_save (self);
    }
}

/* Asked before a window with unsaved work closes: closing is the one thing that can't be undone. */
static void
ask_before_closing (SlWindow *self)
{
  GtkWidget *parts[4];

  if (self->question == NULL)
    {
      g_autofree char *text = g_strdup_printf (_ ("Save the changes to “%s” before closing?"),
                                               sl_bench_get_profile (self->bench)->identity.label);

      g_set_weak_pointer (&self->question, sl_build ("close-question", parts, 0, sizeof parts - sizeof parts[0],
                                                     "question close keep save", NULL));
      g_object_set (self->question, "text", text, "transient-for", self, NULL);
      for (gsize i = 1; i < G_N_ELEMENTS (parts); i++)
        sl_name_mnemonic_button (parts[i]);
      sl_colour_scheme_mark (self->question);
      g_signal_connect_object (self->question, "response", G_CALLBACK (on_question_answered), self, 0);
    }
  gtk_window_present (GTK_WINDOW (self->question));
}

static gboolean
sl_window_close_request (GtkWindow *window)
{
  SlWindow *self = SL_WINDOW (window);

  if (!sl_typed_take (window))
    return TRUE;
  if (self->saving) /* a moment, and it is known whether anything would be lost */
    {
      self->close_when_saved = TRUE;
      return TRUE;
    }
  if (self->bench == NULL || !sl_photos_being_taken (self->bench))
    self->told_taking = FALSE;
  else if (!self->told_taking) /* a share that no longer answers holds nobody: once is enough */
    {
      self->told_taking = TRUE;
      sl_message_show (self->messages, "taking", SL_MESSAGE_WARNING, NULL,
                       _ ("Pictures are still being taken in. To close without them, close again."));
      return TRUE;
    }
  if (!is_unsaved (self))
    {
      if (self->bench != NULL)
        sl_journal_stop (self->bench, TRUE);
      return GTK_WINDOW_CLASS (sl_window_parent_class)->close_request (window);
    }
  ask_before_closing (self);
  return TRUE;
}

static gboolean
on_drop (GtkDropTarget *target, const GValue *value, double x, double y, gpointer data)
{
  SlWindow *self = data;
  g_autoptr (GSList) files = gdk_file_list_get_files (g_value_get_boxed (value));
  g_autoptr (GListStore) list = g_list_store_new (G_TYPE_FILE);

  for (GSList *l = files; l != NULL; l = l->next)
    g_list_store_append (list, l->data);
  sl_window_show_all (self, G_LIST_MODEL (list));
  return files != NULL;
}

/* Made when it is first opened: it has as many widgets as a sheet. */
static void
create_menu (GtkMenuButton *button, gpointer data)
{
  SlWindow *self = SL_WINDOW (gtk_widget_get_root (GTK_WIDGET (button)));
  GtkApplication *app = gtk_window_get_application (GTK_WINDOW (self));
  g_autoptr (GtkBuilder) builder = NULL;
  g_autoptr (GMenu) recent = NULL;

  if (app == NULL || gtk_menu_button_get_menu_model (button) != NULL) /* closed, or made already */
    return;
  builder = gtk_builder_new_from_resource ("/org/sidelong/Sidelong/menus.ui");
  recent = sl_recent_menu_new ();
  g_menu_append_section (G_MENU (gtk_builder_get_object (builder, "recent_submenu")), NULL, G_MENU_MODEL (recent));
  gtk_menu_button_set_menu_model (GTK_MENU_BUTTON (self->menu_button),
                                  G_MENU_MODEL (gtk_builder_get_object (builder, "main_menu")));
}

static void
sl_window_realize (GtkWidget *widget)
{
  GTK_WIDGET_CLASS (sl_window_parent_class)->realize (widget);
  if (SL_WINDOW (widget)->opening == 0)
    sl_window_show_start_page (SL_WINDOW (widget));
}

static void
close_child_window (GtkWidget **place)
{
  GtkWidget *window = *place;

  g_clear_weak_pointer (place);
  if (window != NULL)
    gtk_window_destroy (GTK_WINDOW (window));
}

static void
sl_window_dispose (GObject *object)
{
  SlWindow *self = SL_WINDOW (object);

  sl_typed_follow (GTK_WINDOW (self), NULL);
  if (self->bench != NULL)
    {
      sl_bench_silence (self->bench);
      sl_journal_stop (self->bench, FALSE);
    }
  sl_window_forget_files (self);
  sl_window_inhibit_end (self, FALSE);
  g_clear_pointer (&self->left, sl_journal_free);
  g_clear_weak_pointer (&self->question);
  close_child_window (&self->instrument);
  close_child_window (&self->shortcuts);
  close_child_window (&self->customer);
  close_child_window (&self->export_options);
  G_OBJECT_CLASS (sl_window_parent_class)->dispose (object);
  g_clear_object (&self->bench);
  g_clear_object (&self->export_file);
}

static void
sl_window_class_init (SlWindowClass *class)
{
  g_type_ensure (GDK_TYPE_FILE_LIST);
  /* where no entry takes it for itself */
  gtk_widget_class_add_binding_action (GTK_WIDGET_CLASS (class), GDK_KEY_v, GDK_CONTROL_MASK, "win.paste-photos", NULL);
  G_OBJECT_CLASS (class)->dispose = sl_window_dispose;
  GTK_WIDGET_CLASS (class)->realize = sl_window_realize;
  GTK_WINDOW_CLASS (class)->close_request = sl_window_close_request;
  sl_template_bind (class, "window", SL_MEMBERS (SlWindow, title_button, work),
                    "title_button title_label subtitle_label undo_button redo_button menu_button content_slot messages "
                    "passing file_buttons drawer_button units columns regions readings inner work",
                    SL_CALL (on_drop), NULL);
}

static void
sl_window_init (SlWindow *self)
{
  self->cancellable = g_cancellable_new ();
  /* whatever reads holds the window, so that it is disposed of only afterwards */
  g_signal_connect_object (self, "unrealize", G_CALLBACK (g_cancellable_cancel), self->cancellable, G_CONNECT_SWAPPED);
  sl_window_add_actions (self);
  gtk_widget_init_template (GTK_WIDGET (self));
  sl_colour_scheme_mark (GTK_WIDGET (self));
  gtk_menu_button_set_create_popup_func (GTK_MENU_BUTTON (self->menu_button), create_menu, NULL, NULL);
  sl_window_manage_columns (self);
  bind_size (self);
  sl_window_refresh_history (self);
}

SlWindow *
sl_window_new (GtkApplication *app)
{
  /* said outright: GTK gives it to the first window of a type only */
  return g_object_new (SL_TYPE_WINDOW, "application", app, "accessible-role", GTK_ACCESSIBLE_ROLE_WINDOW, NULL);
}

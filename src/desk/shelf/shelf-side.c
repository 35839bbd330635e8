/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/shelf/shelf-side.h"

#include "words/figures.h"
#include "bench/read-profile.h"
#include "bench/settings.h"
#include "desk/kit/util.h"
#include "draw/draw.h"
#include "draw/base/picture.h"
#include "words/dates.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define PICTURE_HEIGHT 220
#define TEXT_SCALE 0.9
#define SPACING 8

struct _SlShelfSide
{
  GtkBox parent_instance;

  /* children, borrowed */
  GtkWidget *picture, *title, *note, *facts, *buttons, *nothing, *body;
  GtkWidget *names, *label_entry, *file_entry;

  /* owned */
  SlShelfItem *item;
  GCancellable *loading;
  SlProfile *profile; /* what the picture shows; NULL while there is none */
  SlAnalysis *analysis;
  SlLengths lengths;
};

G_DEFINE_FINAL_TYPE (SlShelfSide, sl_shelf_side, GTK_TYPE_BOX)

static guint rename_signal;

/* ---- the picture ---- */

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  SlShelfSide *self = data;
  SlPictureOptions options;

  if (self->analysis == NULL)
    return;
  sl_picture_options_init (&options);
  options.kind = SL_PICTURE_SIDE;
  options.width = width;
  options.height = height;
  options.lengths = self->lengths;
  options.decimal = sl_decimal_sign ();
  options.dark = sl_is_dark (GTK_WIDGET (area));
  options.text_scale = TEXT_SCALE;
  sl_picture_draw (cr, self->analysis, &options, NULL);
}

static void
drop_profile (SlShelfSide *self)
{
  if (self->analysis != NULL)
    sl_analysis_clear (self->analysis);
  g_clear_pointer (&self->analysis, g_free);
  g_clear_pointer (&self->profile, sl_profile_free);
}

static void
analyse (SlShelfSide *self)
{
  const SlShop shop = sl_settings_get_shop ();

  if (self->analysis != NULL)
    sl_analysis_clear (self->analysis);
  else
    self->analysis = g_new0 (SlAnalysis, 1);
  sl_analyse_last (self->profile, &shop, self->analysis);
}

static void
on_shop_changed (SlShelfSide *self)
{
  if (self->profile == NULL)
    return;
  analyse (self);
  gtk_widget_queue_draw (self->picture);
}

static void
on_loaded (GObject *source, GAsyncResult *result, gpointer data)
{
  SlShelfSide *self = SL_SHELF_SIDE (source);
  SlProfile *profile = sl_read_profile_finish (result, NULL);

  if (self->loading != g_task_get_cancellable (G_TASK (result)))
    {
      g_clear_pointer (&profile, sl_profile_free);
      return;
    }
  drop_profile (self);
  self->profile = profile;
  if (profile != NULL)
    analyse (self);
  gtk_widget_set_visible (self->picture, profile != NULL);
  gtk_widget_queue_draw (self->picture);
}

static void
load (SlShelfSide *self, GFile *file)
{
  g_cancellable_cancel (self->loading);
  g_clear_object (&self->loading);
  self->loading = g_cancellable_new ();
  sl_read_profile_async (self, file, self->loading, on_loaded);
}

/* ---- what is known ---- */

static void
add_fact (SlShelfSide *self, const char *name, const char *value)
{
  GtkWidget *head, *text;
  int row;

  if (value == NULL || *value == '\0')
    return;
  row = GPOINTER_TO_INT (g_object_get_data (G_OBJECT (self->facts), "rows"));
  head = sl_label_new (name);
  text = sl_text_new (value);
  gtk_label_set_wrap_mode (GTK_LABEL (text), PANGO_WRAP_WORD_CHAR);
  gtk_widget_set_valign (head, GTK_ALIGN_START);
  gtk_widget_set_hexpand (text, TRUE);
  gtk_widget_add_css_class (head, "sl-dim");
  gtk_grid_attach (GTK_GRID (self->facts), head, 0, row, 1, 1);
  gtk_grid_attach (GTK_GRID (self->facts), text, 1, row, 1, 1);
  g_object_set_data (G_OBJECT (self->facts), "rows", GINT_TO_POINTER (row + 1));
}

/* A figure of the row, with its unit; NULL where it wasn't read. */
static char *
with_unit (SlShelfSide *self, SlShelfColumn column, double mm)
{
  const SlTextStyle style = { self->lengths, sl_decimal_sign () };
  g_autofree char *text = sl_shelf_item_text (self->item, column, self->lengths);

  return isnan (mm) ? NULL : g_strdup_printf ("%s %s", text, sl_text_unit (&style));
}

static void
fill_facts (SlShelfSide *self)
{
  const SlShelfEntry *entry = sl_shelf_item_get_entry (self->item);
  g_autofree char *file = g_filename_display_name (entry->name), *last = sl_date_short (entry->last_visit);
  g_autofree char *visits =
      g_strdup_printf (ngettext ("%u, the last %s", "%u, the last %s", entry->n_visits), entry->n_visits, last);
  g_autofree char *action = with_unit (self, SL_SHELF_COLUMN_ACTION,
                                       isnan (entry->action_treble) ? entry->action_bass : entry->action_treble);
  g_autofree char *relief = with_unit (self, SL_SHELF_COLUMN_RELIEF, entry->relief);
  g_autofree char *state = sl_shelf_item_text (self->item, SL_SHELF_COLUMN_STATE, self->lengths);
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (self->facts)) != NULL)
    gtk_grid_remove (GTK_GRID (self->facts), child);
  g_object_set_data (G_OBJECT (self->facts), "rows", NULL);
  add_fact (self, _ ("Owner"), entry->owner);
  add_fact (self, _ ("Contact"), entry->contact);
  add_fact (self, _ ("Maker"), entry->maker);
  add_fact (self, _ ("Model"), entry->model);
  add_fact (self, _ ("Serial number"), entry->serial);
  add_fact (self, _ ("Year"), entry->year);
  if (entry->fault == NULL)
    {
      add_fact (self, C_ ("column", "State"), state);
      add_fact (self, _ ("Visits"), entry->n_visits > 0 ? visits : NULL);
      add_fact (self, _ ("Action now, treble – bass"), action);
      add_fact (self, _ ("Relief now"), relief);
    }
  add_fact (self, _ ("File"), file);
}

static void
close_names (SlShelfSide *self)
{
  gtk_widget_set_visible (self->names, FALSE);
  gtk_widget_set_visible (self->buttons, TRUE);
}

void
sl_shelf_side_show (SlShelfSide *self, SlShelfItem *item, GFile *file)
{
  const char *note = item != NULL ? sl_shelf_item_get_note (item) : NULL;
  gboolean same = item != NULL && self->item != NULL &&
                  g_strcmp0 (sl_shelf_item_get_entry (item)->name, sl_shelf_item_get_entry (self->item)->name) == 0;

  g_set_object (&self->item, item);
  if (!same)
    close_names (self);
  gtk_widget_set_visible (self->nothing, item == NULL);
  gtk_widget_set_visible (self->body, item != NULL);
  if (item == NULL)
    {
      g_clear_object (&self->loading);
      drop_profile (self);
      return;
    }
  gtk_label_set_label (GTK_LABEL (self->title), sl_shelf_item_get_title (item));
  gtk_label_set_label (GTK_LABEL (self->note), note != NULL ? note : "");
  gtk_widget_set_visible (self->note, note != NULL);
  fill_facts (self);
  load (self, file);
}

void
sl_shelf_side_set_lengths (SlShelfSide *self, SlLengths lengths)
{
  self->lengths = lengths;
  if (self->item != NULL)
    fill_facts (self);
  gtk_widget_queue_draw (self->picture);
}

/* ---- another name ---- */

void
sl_shelf_side_ask_name (SlShelfSide *self)
{
  g_autofree char *file = NULL;
  const SlShelfEntry *entry;

  if (self->item == NULL)
    return;
  entry = sl_shelf_item_get_entry (self->item);
  file = sl_shelf_display_name (entry->name);
  gtk_editable_set_text (GTK_EDITABLE (self->label_entry), entry->label);
  gtk_editable_set_text (GTK_EDITABLE (self->file_entry), file);
  gtk_widget_set_sensitive (self->label_entry, entry->fault == NULL);
  gtk_widget_set_visible (self->names, TRUE);
  gtk_widget_set_visible (self->buttons, FALSE);
  gtk_widget_grab_focus (entry->fault == NULL ? self->label_entry : self->file_entry);
}

static void
on_rename (SlShelfSide *self)
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
  g_signal_emit (self, rename_signal, 0, has_label ? label : NULL, file);
}

static gboolean
on_escape (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  close_names (data);
  return TRUE;
}

/* ---- building ---- */

static GtkWidget *
make_name_entry (SlShelfSide *self, const char *name)
{
  GtkWidget *label = sl_label_new (name), *entry = gtk_entry_new ();

  gtk_widget_add_css_class (label, "sl-section");
  sl_set_accessible_label (entry, name);
  g_signal_connect_swapped (entry, "activate", G_CALLBACK (on_rename), self);
  gtk_box_append (GTK_BOX (self->names), label);
  gtk_box_append (GTK_BOX (self->names), entry);
  return entry;
}

static void
build_names (SlShelfSide *self)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, SPACING);
  GtkWidget *rename = sl_button_add (line, _ ("Rename"), NULL, G_CALLBACK (on_rename), self);
  GtkEventController *shortcuts = gtk_shortcut_controller_new ();

  self->names = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  self->label_entry = make_name_entry (self, _ ("Label"));
  self->file_entry = make_name_entry (self, _ ("File name"));
  gtk_widget_add_css_class (rename, "suggested-action");
  sl_button_add (line, _ ("Cancel"), NULL, G_CALLBACK (close_names), self);
  gtk_box_append (GTK_BOX (self->names), line);
  gtk_shortcut_controller_add_shortcut (
      GTK_SHORTCUT_CONTROLLER (shortcuts),
      gtk_shortcut_new (gtk_keyval_trigger_new (GDK_KEY_Escape, 0), gtk_callback_action_new (on_escape, self, NULL)));
  gtk_widget_add_controller (self->names, shortcuts);
  gtk_widget_set_visible (self->names, FALSE);
}

static void
build_buttons (SlShelfSide *self, GMenuModel *menu)
{
  GtkWidget *open = gtk_button_new_with_label (_ ("Open")), *more = gtk_menu_button_new ();

  self->buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, SPACING);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (open), "win.open-chosen");
  gtk_widget_add_css_class (open, "suggested-action");
  gtk_widget_set_hexpand (open, TRUE);
  gtk_menu_button_set_label (GTK_MENU_BUTTON (more), _ ("More"));
  gtk_menu_button_set_menu_model (GTK_MENU_BUTTON (more), menu);
  gtk_box_append (GTK_BOX (self->buttons), open);
  gtk_box_append (GTK_BOX (self->buttons), more);
}

static void
build_texts (SlShelfSide *self)
{
  self->title = sl_text_new (NULL);
  gtk_label_set_wrap_mode (GTK_LABEL (self->title), PANGO_WRAP_WORD_CHAR);
  gtk_widget_add_css_class (self->title, "sl-title");
  self->note = sl_text_new (NULL);
  gtk_label_set_wrap_mode (GTK_LABEL (self->note), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_selectable (GTK_LABEL (self->note), TRUE);
  gtk_widget_set_can_focus (self->note, FALSE);
  gtk_widget_add_css_class (self->note, "sl-wrong");
  self->facts = gtk_grid_new ();
  gtk_grid_set_column_spacing (GTK_GRID (self->facts), 12);
  gtk_grid_set_row_spacing (GTK_GRID (self->facts), 3);
  self->nothing = gtk_label_new (_ ("Choose a profile to see it here."));
  gtk_widget_add_css_class (self->nothing, "sl-dim");
  gtk_widget_set_vexpand (self->nothing, TRUE);
}

static void
sl_shelf_side_dispose (GObject *object)
{
  SlShelfSide *self = SL_SHELF_SIDE (object);

  g_cancellable_cancel (self->loading);
  g_clear_object (&self->loading);
  g_clear_object (&self->item);
  drop_profile (self);
  G_OBJECT_CLASS (sl_shelf_side_parent_class)->dispose (object);
}

static void
sl_shelf_side_class_init (SlShelfSideClass *class)
{
  G_OBJECT_CLASS (class)->dispose = sl_shelf_side_dispose;
  rename_signal = g_signal_new ("rename", SL_TYPE_SHELF_SIDE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2,
                                G_TYPE_STRING, G_TYPE_STRING);
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (class), GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
sl_shelf_side_init (SlShelfSide *self)
{
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  gtk_widget_add_css_class (GTK_WIDGET (self), "sl-card");
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  gtk_widget_set_vexpand (GTK_WIDGET (self), TRUE);
  sl_set_accessible_label (GTK_WIDGET (self), _ ("Chosen profile"));
  self->picture = g_object_new (GTK_TYPE_DRAWING_AREA, "accessible-role", GTK_ACCESSIBLE_ROLE_IMG, "content-height",
                                PICTURE_HEIGHT, "visible", FALSE, NULL);
  sl_set_accessible_label (self->picture, _ ("Side view"));
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (self->picture), draw, self, NULL);
  sl_settings_follow_shop (self, G_CALLBACK (on_shop_changed));
}

GtkWidget *
sl_shelf_side_new (GMenuModel *menu)
{
  SlShelfSide *self = g_object_new (SL_TYPE_SHELF_SIDE, NULL);
  GtkWidget *inner = gtk_box_new (GTK_ORIENTATION_VERTICAL, SPACING), *scroller = gtk_scrolled_window_new ();

  build_texts (self);
  build_buttons (self, menu);
  build_names (self);
  gtk_widget_set_margin_start (inner, 12);
  gtk_widget_set_margin_end (inner, 12);
  gtk_widget_set_margin_top (inner, 10);
  gtk_widget_set_margin_bottom (inner, 12);
  gtk_box_append (GTK_BOX (inner), self->title);
  gtk_box_append (GTK_BOX (inner), self->note);
  gtk_box_append (GTK_BOX (inner), self->buttons);
  gtk_box_append (GTK_BOX (inner), self->names);
  gtk_box_append (GTK_BOX (inner), self->facts);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scroller), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), inner);
  gtk_widget_set_vexpand (scroller, TRUE);
  self->body = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_box_append (GTK_BOX (self->body), self->picture);
  gtk_box_append (GTK_BOX (self->body), scroller);
  gtk_box_append (GTK_BOX (self), self->nothing);
  gtk_box_append (GTK_BOX (self), self->body);
  sl_shelf_side_show (self, NULL, NULL);
  return GTK_WIDGET (self);
}

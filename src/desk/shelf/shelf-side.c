/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Beside the shelf's table: the chosen profile's side view, what is known of it, and the entries that rename it. */
#include "desk/shelf/shelf-window-private.h"

#include "words/figures.h"
#include "bench/profiles.h"
#include "bench/settings.h"
#include "desk/kit/build.h"
#include "desk/kit/colour-scheme.h"
#include "desk/kit/typed.h"
#include "desk/kit/util.h"
#include "draw/draw.h"
#include "draw/base/picture.h"
#include "words/dates.h"

#define TEXT_SCALE 0.9
#define HEAD_CHARS 14

/* ---- the picture ---- */

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  SlShelfWindow *self = data;
  SlPictureOptions options;

  if (self->profile == NULL)
    return;
  sl_picture_options_init (&options);
  options.kind = SL_PICTURE_SIDE;
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

/* ---- what is known ---- */

/* A figure of the row, with its unit; NULL where it wasn't read. */
static char *
with_unit (SlShelfWindow *self, SlShelfColumn column, double mm)
{
  const SlTextStyle style = { sl_settings_get_lengths (), sl_decimal_sign () };
  g_autofree char *text = sl_shelf_item_text (self->item, column, style.lengths);

  return isnan (mm) ? NULL : g_strdup_printf ("%s %s", text, sl_text_unit (&style));
}

static void
add_fact (SlShelfWindow *self, int row, const char *name, const char *value)
{
  GtkWidget *head = sl_text_new (name, "sl-dim"), *text = sl_text_new (value, NULL);

  g_object_set (head, "max-width-chars", HEAD_CHARS, "valign", GTK_ALIGN_START, NULL);
  g_object_set (text, "wrap-mode", PANGO_WRAP_WORD_CHAR, "hexpand", TRUE, NULL);
  gtk_grid_attach (GTK_GRID (self->facts), head, 0, row, 1, 1);
  gtk_grid_attach (GTK_GRID (self->facts), text, 1, row, 1, 1);
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
  const struct
  {
    const char *name, *value;
  } facts[] = {
    { _ ("Owner"), entry->owner },
    { _ ("Contact"), entry->contact },
    { _ ("Maker"), entry->maker },
    { _ ("Model"), entry->model },
    { _ ("Serial number"), entry->serial },
    { _ ("Year"), entry->year },
    { C_ ("column", "State"), sound ? state : NULL },
    { _ ("Visits"), sound && entry->n_visits > 0 ? visits : NULL },
    { _ ("Action now, treble – bass"), sound ? action : NULL },
    { _ ("Relief now"), sound ? relief : NULL },
    { _ ("File"), file },
  };
  GtkWidget *child;
  int row = 0;

  while ((child = gtk_widget_get_first_child (self->facts)) != NULL)
    gtk_grid_remove (GTK_GRID (self->facts), child);
  for (guint i = 0; i < G_N_ELEMENTS (facts); i++)
    if (facts[i].value != NULL && *facts[i].value != '\0')
      add_fact (self, row++, facts[i].name, facts[i].value);
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

void
sl_shelf_side_show (SlShelfWindow *self)
{
  SlShelfItem *item = sl_shelf_table_get_chosen (self->table);
  const char *note = item != NULL ? item->note : NULL;
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
  gtk_label_set_label (GTK_LABEL (self->title_label), item->title);
  sl_set_remark (self->note_label, note);
  fill_facts (self);
  file = sl_shelf_window_dup_chosen_file (self);
  self->loading = g_cancellable_new ();
  sl_read_profile_async (self, file, self->loading, on_loaded);
}

void
sl_shelf_side_refill (SlShelfWindow *self)
{
  if (self->item != NULL)
    fill_facts (self);
  gtk_widget_queue_draw (self->picture);
}

/* ---- another name ---- */

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

/* ---- in the window ---- */

void
sl_shelf_side_class_init (GtkWidgetClass *class)
{
  sl_template_bind (
      class, NULL, SL_MEMBERS (SlShelfWindow, side, facts),
      "side nothing chosen picture title_label note_label side_buttons names label_entry file_entry facts",
      SL_CALL (on_rename), SL_CALL (note_names), NULL);
  gtk_widget_class_install_action (class, "win.keep-name", NULL, on_keep_name);
}

void
sl_shelf_side_init (SlShelfWindow *self)
{
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (self->picture), draw, self, NULL);
  sl_follow_look (self->picture);
  sl_settings_follow_shop (self, G_CALLBACK (analyse));
}

void
sl_shelf_side_clear (SlShelfWindow *self)
{
  g_cancellable_cancel (self->loading);
  g_clear_object (&self->loading);
  g_clear_object (&self->item);
  g_clear_pointer (&self->profile, sl_profile_free);
  analyse (self);
}

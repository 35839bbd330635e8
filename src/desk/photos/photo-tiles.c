/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/photos/photos.h"

#include "bench/visit-edit.h"
#include "desk/kit/kit.h"
#include "file/document.h"
#include "words/dates.h"
#include "words/photos.h"

#define N_STAGES (SL_STAGE_FINAL + 1)
#define TILE_PX 320 /* of the longer side, decoded: twice as large as it is shown, for fine screens */
#define N_CHOICES 5

typedef struct
{
  SlBench *bench;

  /* bound in this order */
  GtkWidget *part, *tools, *add, *none, *heads[N_STAGES], *boxes[N_STAGES], *unnamed, *unnamed_text;

  GPtrArray *tiles;  /* children, in the order of the document */
  GListModel *found; /* files that no photograph names; NULL: not looked for yet */
} Tiles;

/* A child of a flow box, and what is in it; it lives as long as that. */
typedef struct
{
  SlBench *bench;
  GtkWidget *child, *frame, *picture, *fault, *sentence, *find, *caption, *facts, *more; /* bound in this order */
  char *id, *file;
  SlStage stage;
  gboolean faulty;

  /* of its menu, bound in this order; NULL until it is first opened. Choices: about, fret, string, stage, sheet */
  GtkWidget *menu, *note, *choices[N_CHOICES];
} Tile;

/* ---- a tile's menu ---- */

static const SlPhoto *
photo_of (const Tile *self)
{
  return sl_photo_find (sl_bench_get_profile (self->bench), self->id, NULL);
}

/* The neck may have become another one, so the lists are made anew. */
static void
fill_menu (Tile *self, const SlPhoto *photo)
{
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  const guint chosen[] = { photo->about, (guint) photo->fret, (guint) photo->string, photo->stage, photo->on_sheet };
  const int most[] = { SL_N_ABOUTS - 1, MAX (profile->neck.frets, photo->fret), MAX (profile->n_strings, photo->string),
                       N_STAGES - 1, SL_ON_SHEET_NO };
  const char *const sheet[] = { _ ("As the program chooses"), C_ ("on the hand-over sheet", "Yes"),
                                C_ ("on the hand-over sheet", "No") };

  sl_typed_show (self->note, photo->note);
  for (int i = 0; i < N_CHOICES; i++)
    {
      g_autoptr (GtkStringList) titles = gtk_string_list_new (NULL);

      for (int k = 0; k <= most[i]; k++)
        gtk_string_list_take (titles, i == 0   ? g_strdup (sl_about_title (k))
                                      : i == 3 ? g_strdup (sl_stage_title (k))
                                      : i == 4 ? g_strdup (sheet[k])
                                      : k == 0 ? g_strdup (C_ ("fret or string", "none"))
                                               : g_strdup_printf ("%d", k));
      sl_chooser_fill (self->choices[i], titles, chosen[i]);
    }
}

static void
on_chosen (GtkWidget *child)
{
  Tile *self = sl_part_of (child);
  SlPhoto photo = *photo_of (self); /* what it holds is copied */

  photo.about = sl_chosen (self->choices[0]);
  photo.fret = (int) sl_chosen (self->choices[1]);
  photo.string = (int) sl_chosen (self->choices[2]);
  photo.stage = sl_chosen (self->choices[3]);
  photo.on_sheet = sl_chosen (self->choices[4]);
  sl_photo_replace (self->bench, C_ ("undo step", "change what a photograph shows"), &photo);
}

static gboolean
take_note (gpointer tile, const char *text, GtkWidget *entry)
{
  Tile *self = tile;
  const guint64 before = sl_bench_get_revision (self->bench);
  SlPhoto photo;

  if (photo_of (self) == NULL)
    return TRUE;
  photo = *photo_of (self);
  photo.note = *text != '\0' ? (char *) text : NULL;
  sl_photo_replace (self->bench, C_ ("undo step", "caption of a photograph"), &photo);
  return sl_bench_get_revision (self->bench) != before; /* else it was refused: too long */
}

static void
on_remove (Tile *self)
{
  g_autofree char *told =
      g_strdup_printf (_ ("The photograph was removed. Its file “%s” stays in the folder."), self->file);
  g_autoptr (SlBench) bench = g_object_ref (self->bench);

  gtk_menu_button_popdown (GTK_MENU_BUTTON (self->more));
  sl_photo_remove (bench, self->id); /* the tile goes with it */
  g_signal_emit_by_name (bench, "told", told);
}

static void
copy_in_thread (GTask *task, gpointer from, gpointer to, GCancellable *cancellable)
{
  g_autoptr (GFile) folder = g_file_get_parent (from);
  g_autofree char *name = g_file_get_basename (from);
  GError *error = NULL;
  g_autoptr (GBytes) bytes = sl_photo_bytes (folder, name, cancellable, &error),
                     stripped = bytes != NULL ? sl_image_stripped (bytes, cancellable, &error) : NULL;

  if (stripped != NULL)
    sl_file_replace (to, stripped, NULL, TRUE, cancellable, &error);
  sl_thread_return (task, error);
}

static void
on_copied (GObject *from, GAsyncResult *result, gpointer data)
{
  g_autoptr (SlBench) bench = data;
  g_autoptr (GError) error = NULL;

  if (g_task_propagate_boolean (G_TASK (result), &error))
    g_signal_emit_by_name (bench, "told", _ ("The copy is saved, without what the camera wrote beside the picture."));
  else
    g_signal_emit_by_name (bench, "refused", error->message);
}

static void
on_copy_named (gpointer child, GListModel *files)
{
  Tile *self = sl_part_of (child);
  g_autoptr (GFile) folder = sl_photos_folder (self->bench), from = g_file_get_child (folder, self->file);

  sl_run_in_thread (from, NULL, copy_in_thread, g_list_model_get_item (files, 0), g_object_unref, on_copied,
                    g_object_ref (self->bench));
}

static void
on_save_copy (Tile *self)
{
  gtk_menu_button_popdown (GTK_MENU_BUTTON (self->more));
  gtk_file_chooser_set_current_name (sl_choose_files (self->child, _ ("Save a copy without place and names"),
                                                      GTK_FILE_CHOOSER_ACTION_SAVE, _ ("_Save"), NULL, on_copy_named),
                                     self->file);
}

/* Made when it is first opened. */
static void
open_menu (GtkMenuButton *button, gpointer data)
{
  Tile *self = data;
  const char *const names[] = { _ ("What the photograph shows"), _ ("Fret it shows"), _ ("String it shows"),
                                _ ("Stage it was taken at"), _ ("On the hand-over sheet") };

  if (self->menu == NULL)
    {
      sl_build ("photo-menu", self, SL_MEMBERS (Tile, menu, choices[N_CHOICES - 1]),
                "menu note about fret string stage on_sheet", SL_CALL (on_save_copy), SL_CALL (on_remove), NULL);
      for (int i = 0; i < N_CHOICES; i++)
        sl_chooser_init (self->choices[i], names[i], G_CALLBACK (on_chosen), self->child);
      sl_set_accessible_label (self->menu, names[0]);
      sl_set_accessible_label (self->note, _ ("Caption of the photograph"));
      sl_name_scrolled (gtk_widget_get_parent (self->note), _ ("Caption of the photograph"));
      sl_typed_bind (self->note, take_note, self);
      gtk_menu_button_set_popover (button, self->menu);
    }
  fill_menu (self, photo_of (self));
}

/* ---- a tile ---- */

static gboolean
on_key (Tile *self, guint value, guint code, GdkModifierType state)
{
  const gboolean opens = value == GDK_KEY_Menu || (value == GDK_KEY_F10 && (state & GDK_SHIFT_MASK) != 0);

  if (!gtk_widget_has_focus (self->child) || !(opens || sl_plain_key (value) == GDK_KEY_Delete))
    return FALSE;
  if (opens)
    gtk_menu_button_popup (GTK_MENU_BUTTON (self->more));
  else
    on_remove (self);
  return TRUE;
}

static void
on_folder (gpointer child, GListModel *files)
{
  Tile *self = sl_part_of (child);
  g_autoptr (GListStore) list = g_list_store_new (G_TYPE_FILE);
  g_autofree char *name = g_path_get_basename (self->file);
  g_autoptr (GFile) folder = g_list_model_get_item (files, 0), file = g_file_get_child (folder, name);

  g_list_store_append (list, file);
  sl_photos_take (self->bench, G_LIST_MODEL (list), NULL, photo_of (self));
}

static void
on_find (Tile *self)
{
  g_autofree char *title = g_strdup_printf (_ ("Folder that has “%s”"), self->file);

  sl_choose_files (self->child, title, GTK_FILE_CHOOSER_ACTION_SELECT_FOLDER, _ ("_Find"), NULL, on_folder);
}

static void
tile_free (Tile *self)
{
  g_free (self->id);
  g_free (self->file);
  g_free (self);
}

static Tile *
make_tile (SlBench *bench, const char *id)
{
  Tile *self = sl_part_new (bench, SL_PART (Tile, child, more), (GDestroyNotify) tile_free, "photo-tile",
                            "child frame picture fault sentence find caption facts more", SL_CALL (on_find),
                            SL_CALL (on_key), SL_CALL (gtk_menu_button_popup), NULL);

  self->id = g_strdup (id);
  gtk_menu_button_set_create_popup_func (GTK_MENU_BUTTON (self->more), open_menu, self, NULL);
  return self;
}

static void
on_loaded (gpointer child, GdkPixbuf *pixbuf, const GError *error)
{
  Tile *self = sl_part_of (child);
  g_autoptr (GdkTexture) picture = pixbuf != NULL ? gdk_texture_new_for_pixbuf (pixbuf) : NULL;
  const char *why = error != NULL ? error->message : "";

  self->faulty = picture == NULL;
  gtk_picture_set_paintable (GTK_PICTURE (self->picture), GDK_PAINTABLE (picture));
  gtk_widget_set_visible (self->frame, !self->faulty);
  gtk_widget_set_visible (self->fault, self->faulty);
  sl_label_set (self->sentence, why);
  gtk_widget_set_tooltip_text (self->sentence, why);
  sl_set_accessible_description (self->child, why);
}

/* Its picture is loaded once, or again while there is something wrong with it. */
static void
fill (Tile *self, const SlPhoto *photo)
{
  const gulong n = photo->marks->len;
  g_autofree char *caption = sl_photo_caption (photo), *title = sl_photo_title (photo),
                  *taken = photo->taken != NULL ? sl_date_and_time (photo->taken) : g_strdup (title),
                  *marks = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%lu mark", "%lu marks", n), n),
                  *facts = g_strjoin (" · ", taken, n > 0 ? marks : NULL, NULL);
  const gboolean load = g_strcmp0 (self->file, photo->file) != 0 || self->faulty;

  self->stage = photo->stage;
  sl_label_set (self->caption, caption);
  sl_label_set (self->facts, facts);
  gtk_widget_set_tooltip_text (self->child, photo->note != NULL ? photo->note : title);
  sl_name_as (self->child, "%s, %s", caption, facts);
  sl_name_with_tip (self->more, _ ("What “%s” shows"), caption);
  sl_name_as (self->find, _ ("Find the file of “%s”"), caption);
  if (self->menu != NULL)
    fill_menu (self, photo);
  g_free (self->file);
  self->file = g_strdup (photo->file);
  if (load)
    sl_photo_load (self->bench, self->file, TILE_PX, self->child, on_loaded);
}

/* ---- files that belong to no visit ---- */

static void
on_looked (GObject *folder, GAsyncResult *result, gpointer data)
{
  g_autoptr (GtkWidget) part = data;
  Tiles *self = sl_part_of (part);
  guint n;

  g_clear_object (&self->found);
  self->found = g_task_propagate_pointer (G_TASK (result), NULL);
  n = g_list_model_get_n_items (self->found);
  gtk_widget_set_visible (self->unnamed, n > 0);
  sl_label_say (self->unnamed_text,
                g_dngettext (GETTEXT_PACKAGE, "%u picture in the folder belongs to no visit.",
                             "%u pictures in the folder belong to no visit.", n),
                n);
}

static void
on_take_unnamed (Tiles *self)
{
  gtk_widget_set_visible (self->unnamed, FALSE);
  sl_photos_take (self->bench, self->found, NULL, NULL);
}

/* ---- all tiles ---- */

/* Each into the box of its stage. */
static void
place (Tiles *self)
{
  for (SlStage stage = 0; stage < N_STAGES; stage++)
    {
      for (GtkWidget *child; (child = gtk_widget_get_first_child (self->boxes[stage])) != NULL;)
        gtk_flow_box_remove (GTK_FLOW_BOX (self->boxes[stage]), child);
      SL_EACH_OF (GtkWidget, child, self->tiles)
        if (((Tile *) sl_part_of (child))->stage == stage)
          gtk_flow_box_append (GTK_FLOW_BOX (self->boxes[stage]), child);
      gtk_widget_set_visible (gtk_widget_get_parent (self->boxes[stage]),
                              gtk_widget_get_first_child (self->boxes[stage]) != NULL);
    }
}

static GtkWidget *
child_of (const GPtrArray *tiles, const char *id)
{
  SL_EACH_OF (GtkWidget, child, tiles)
    if (g_str_equal (((Tile *) sl_part_of (child))->id, id))
      return child;
  return NULL;
}

/* Tiles stay as long as their photographs. The keyboard stays with its tile, or goes to the one in its place. */
static void
update (Tiles *self)
{
  const SlVisit *visit = sl_bench_get_visit (self->bench);
  g_autoptr (GPtrArray) before = g_steal_pointer (&self->tiles);
  g_autoptr (GFile) folder = sl_photos_folder (self->bench);
  GtkWidget *focused = gtk_root_get_focus (gtk_widget_get_root (self->part));
  gboolean moved = visit == NULL || visit->photos->len != before->len;
  guint at = 0;

  focused = focused != NULL ? gtk_widget_get_ancestor (focused, GTK_TYPE_FLOW_BOX_CHILD) : NULL;
  focused = focused != NULL && g_ptr_array_find (before, focused, &at) ? focused : NULL;
  self->tiles = g_ptr_array_new_with_free_func (g_object_unref);
  if (visit != NULL)
    SL_EACH (const SlPhoto, photo, visit->photos)
      {
        GtkWidget *child = child_of (before, photo->id);

        child = child != NULL ? child : make_tile (self->bench, photo->id)->child;
        moved |= gtk_widget_get_parent (child) != self->boxes[photo->stage];
        g_ptr_array_add (self->tiles, g_object_ref_sink (child));
        fill (sl_part_of (child), photo);
      }
  gtk_widget_set_visible (self->none, self->tiles->len == 0);
  if (moved)
    {
      place (self);
      if (focused != NULL)
        gtk_widget_grab_focus (g_ptr_array_find (self->tiles, focused, NULL) ? focused
                               : self->tiles->len > 0 ? self->tiles->pdata[MIN (at, self->tiles->len - 1)]
                                                      : self->add);
    }
  sl_photos_look (folder, sl_bench_get_profile (self->bench), on_looked, g_object_ref (self->part));
}

/* ---- building ---- */

static void
on_activated (GtkFlowBox *box, GtkWidget *child)
{
  const Tile *tile = sl_part_of (child);

  sl_photo_window_present (GTK_WINDOW (gtk_widget_get_root (child)), tile->bench, tile->id);
}

static void
on_add (Tiles *self)
{
  sl_photos_choose (self->part, NULL);
}

static void
tiles_free (Tiles *self)
{
  g_ptr_array_unref (self->tiles);
  g_clear_object (&self->found);
  g_free (self);
}

GtkWidget *
sl_photo_tiles_new (SlBench *bench)
{
  Tiles *self = sl_part_new (bench, SL_PART (Tiles, part, unnamed_text), (GDestroyNotify) tiles_free, "photo-tiles",
                             "part tools add none received during final received_box during_box final_box "
                             "unnamed unnamed_text",
                             SL_CALL (on_activated), SL_CALL (on_add), SL_CALL (on_take_unnamed), NULL);

  self->tiles = g_ptr_array_new_with_free_func (g_object_unref);
  sl_flow (self->tools, SL_SPACE);
  gtk_box_append (GTK_BOX (self->tools), sl_latest_picture_new (bench));
  for (SlStage stage = 0; stage < N_STAGES; stage++)
    {
      sl_label_set (self->heads[stage], sl_stage_title (stage));
      sl_name_as (self->boxes[stage], _ ("Photographs: %s"), sl_stage_title (stage));
    }
  place (self);
  sl_follow_while_seen (self->part, bench, SL_CHANGED_PHOTOS | SL_CHANGED_VISIT, G_CALLBACK (update), self);
  return self->part;
}

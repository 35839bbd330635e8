/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/photos/parts.h"

#include "words/photos.h"

G_DEFINE_FINAL_TYPE (SlPhotoWindow, sl_photo_window, GTK_TYPE_WINDOW)

/* ---- keeping up ---- */

void
sl_photo_window_moved (SlPhotoWindow *self)
{
  g_autofree char *said = sl_photo_end_said (self);
  const char *const hints[] = {
    said,
    _ ("Press at one end and let go at the other, or Enter: across the middle. Shift: not onto edges. Escape: not at "
       "all."),
    _ ("Press on one corner and let go on the opposite one, or Enter; then pull each corner to its place."),
  };

  sl_set_accessible_description (self->view, said);
  sl_label_set (self->hint, hints[self->drawing == SL_SHAPE_NONE ? 0 : self->drawing == SL_SHAPE_FLAT ? 2 : 1]);
  gtk_widget_queue_draw (self->view);
  sl_photo_panel_update (self);
}

static void
update (SlPhotoWindow *self)
{
  const SlPhoto *photo = sl_photo_find (sl_bench_get_profile (self->bench), self->id, NULL);

  if (photo == NULL) /* taken away, or its adding taken back */
    {
      gtk_window_destroy (GTK_WINDOW (self));
      return;
    }
  if (!self->editing)
    {
      SlPhoto fresh = sl_photo_copy (photo);
      SlShape s;

      sl_photo_clear (&self->photo);
      self->photo = fresh;
      if (!sl_photo_shape (&self->photo, self->chosen, &s) || self->end >= s.n)
        self->chosen = -1;
    }
  g_autofree char *title = sl_photo_title (photo);

  gtk_window_set_title (GTK_WINDOW (self), title);
  sl_set_remark (self->about, photo->note);
  sl_photo_window_moved (self);
}

void
sl_photo_window_keep (SlPhotoWindow *self, const char *step)
{
  self->editing = FALSE;
  if (step != NULL)
    sl_photo_replace (self->bench, step, &self->photo);
  else
    update (self);
}

/* ---- the picture ---- */

static gboolean
fits (SlPhotoWindow *self, GdkPixbuf *picture)
{
  SlShape s;

  for (int i = 0; sl_photo_shape (&self->photo, i, &s); i++)
    for (int end = 0; end < s.n; end++)
      if (s.x[end].v > gdk_pixbuf_get_width (picture) || s.y[end].v > gdk_pixbuf_get_height (picture))
        return FALSE;
  return TRUE;
}

static void
on_loaded (gpointer window, GdkPixbuf *picture, const GError *error)
{
  SlPhotoWindow *self = window;

  gtk_widget_hide (self->waiting);
  if (picture == NULL)
    sl_set_remark (self->trouble, error->message);
  else
    sl_photo_view_set_picture (self, picture);
  if (picture != NULL && !fits (self, picture))
    sl_set_remark (self->trouble, _ ("Some marks lie outside of this picture: the file is another one than they were "
                                     "made in. What they say may be wrong."));
}

/* ---- actions ---- */

static void
on_draw (GtkWidget *widget, const char *action, GVariant *kind)
{
  SlPhotoWindow *self = SL_PHOTO_WINDOW (widget);

  if (!sl_typed_take (GTK_WINDOW (self)))
    return;
  self->drawing = (SlShapeKind) g_variant_get_int32 (kind);
  gtk_widget_grab_focus (self->view);
  sl_photo_window_moved (self);
}

static void
on_zoom (GtkWidget *widget, const char *action, GVariant *by)
{
  SlPhotoWindow *self = SL_PHOTO_WINDOW (widget);

  sl_photo_view_zoom (self, g_variant_get_double (by), gtk_widget_get_width (self->view) / 2.0,
                      gtk_widget_get_height (self->view) / 2.0);
}

static void
on_take (GtkWidget *widget, const char *action, GVariant *nothing)
{
  SlPhotoWindow *self = SL_PHOTO_WINDOW (widget);
  g_autofree char *complaint = NULL;
  SlShape s;

  if (!sl_bench_settle (self->bench) || !sl_typed_take (GTK_WINDOW (self)) ||
      !sl_photo_shape (&self->photo, self->chosen, &s) || s.kind != SL_SHAPE_MARK)
    return;
  complaint = sl_photo_take_reading (self->bench, self->id, s.nth);
  if (complaint != NULL)
    sl_set_remark (self->told, complaint);
  sl_tell_reader (GTK_WINDOW (self), gtk_label_get_text (GTK_LABEL (self->told)));
}

/* ---- building ---- */

static void
sl_photo_window_finalize (GObject *object)
{
  SlPhotoWindow *self = SL_PHOTO_WINDOW (object);

  g_clear_pointer (&self->grey, sl_grey_free);
  for (int n = 0; n < SL_PHOTO_LEVELS; n++)
    g_clear_pointer (&self->levels[n], cairo_surface_destroy);
  sl_photo_clear (&self->photo);
  g_array_unref (self->presets);
  g_free (self->id);
  G_OBJECT_CLASS (sl_photo_window_parent_class)->finalize (object);
}

static void
sl_photo_window_class_init (SlPhotoWindowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->finalize = sl_photo_window_finalize;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_DIALOG);
  gtk_widget_class_install_action (widget_class, "photo.draw", "i", on_draw);
  gtk_widget_class_install_action (widget_class, "photo.zoom", "d", on_zoom);
  gtk_widget_class_install_action (widget_class, "photo.take", NULL, on_take);
  sl_photo_view_bind (class);
  sl_photo_panel_bind (class);
}

static void
sl_photo_window_init (SlPhotoWindow *self)
{
  self->photo = sl_photo_init ();
  self->presets = g_array_new (FALSE, FALSE, 2 * sizeof (double));
  self->fits = TRUE;
  self->zoom = 1;
  self->chosen = -1;
  gtk_widget_init_template (GTK_WIDGET (self));
}

void
sl_photo_window_present (GtkWindow *parent, SlBench *bench, const char *id)
{
  const SlPhoto *photo = sl_photo_find (sl_bench_get_profile (bench), id, NULL);
  SlPhotoWindow *self;

  if (photo == NULL)
    return;
  self = g_object_new (SL_TYPE_PHOTO_WINDOW, "application", gtk_window_get_application (parent), "transient-for",
                       parent, "destroy-with-parent", TRUE, NULL);
  self->bench = sl_keep (self, bench);
  self->id = g_strdup (id);
  sl_photo_clear (&self->photo);
  self->photo = sl_photo_copy (photo);
  sl_typed_guard (GTK_WINDOW (self), parent);
  sl_picture_area_init (self->view, sl_photo_draw, self);
  sl_photo_panel_init (self);
  sl_bench_follow (bench, SL_CHANGED_FIGURES | SL_CHANGED_PHOTOS | SL_CHANGED_VISIT | SL_CHANGED_LENGTHS,
                   G_CALLBACK (update), self);
  update (self);
  sl_colour_scheme_mark (GTK_WIDGET (self));
  sl_photo_load (bench, self->photo.file, 0, self, on_loaded);
  gtk_widget_grab_focus (self->view);
  gtk_window_present (GTK_WINDOW (self));
}

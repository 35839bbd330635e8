/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/photos/photos.h"
#include "desk/sheets/parts.h"
#include "desk/sheets/sheets.h"
#include "setup/record/photos.h"
#include "words/dates.h"
#include "words/photos.h"

#define THUMB_PX 96

static const char *
day_of (const SlPhotoDated *dated)
{
  return dated->photo->taken != NULL ? dated->photo->taken : dated->visit->opened;
}

/* Whether it was photographed on two days or in two visits. */
static gboolean
is_history (const GArray *subject)
{
  const SlPhotoDated *first = (const SlPhotoDated *) subject->data, *last = first + subject->len - 1;

  return first->visit != last->visit || strncmp (day_of (first), day_of (last), strlen ("2026-03-02")) != 0;
}

static void
on_loaded (gpointer image, GdkPixbuf *picture, const GError *error)
{
  g_autoptr (GdkTexture) texture = picture != NULL ? gdk_texture_new_for_pixbuf (picture) : NULL;

  gtk_image_set_pixel_size (image, picture != NULL ? THUMB_PX : -1);
  if (picture != NULL)
    gtk_image_set_from_paintable (image, GDK_PAINTABLE (texture));
  else
    sl_set_accessible_description (gtk_widget_get_parent (image), error->message);
  gtk_widget_set_tooltip_text (image, error != NULL ? error->message : NULL);
}

static void
on_open (GtkWidget *button, const char *id)
{
  sl_photo_window_present (GTK_WINDOW (gtk_widget_get_root (button)), g_object_get_data (G_OBJECT (button), "bench"),
                           id);
}

static void
add_thumb (SlBench *bench, GtkWidget *line, const SlPhotoDated *dated, const char *title)
{
  GtkWidget *button = gtk_button_new (), *image = gtk_image_new_from_icon_name ("image-missing-symbolic");
  g_autofree char *day = sl_date_short (day_of (dated));

  gtk_widget_add_css_class (button, "flat");
  gtk_widget_set_size_request (image, THUMB_PX, THUMB_PX);
  sl_photo_load (bench, dated->photo->file, THUMB_PX * gtk_widget_get_scale_factor (line), image, on_loaded);
  gtk_button_set_child (GTK_BUTTON (button), sl_box_add (gtk_box_new (GTK_ORIENTATION_VERTICAL, SL_SPACE_CLOSE), image,
                                                         gtk_label_new (day), NULL));
  sl_name_as (button, "%s, %s, %s", title, day, sl_stage_word (dated->photo->stage));
  g_object_set_data (G_OBJECT (button), "bench", bench);
  g_signal_connect_data (button, "clicked", G_CALLBACK (on_open), g_strdup (dated->photo->id),
                         (GClosureNotify) (GCallback) g_free, 0);
  gtk_box_append (GTK_BOX (line), button);
}

static gboolean
fill (SlBench *bench, GtkWidget *rows)
{
  g_autoptr (GPtrArray) subjects = sl_photo_subjects (sl_bench_get_profile (bench));
  gboolean any = FALSE;

  SL_EACH_OF (const GArray, subject, subjects)
    {
      g_autofree char *title = sl_photo_title (((const SlPhotoDated *) subject->data)->photo);
      GtkWidget *line;

      any = any || is_history (subject);
      if (rows == NULL || !is_history (subject))
        continue;
      sl_text_add (rows, title, "sl-section");
      line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, SL_SPACE);
      sl_flow (line, SL_SPACE);
      SL_EACH (const SlPhotoDated, dated, subject)
        add_thumb (bench, line, dated, title);
      gtk_box_append (GTK_BOX (rows), line);
    }
  return any;
}

static void
update (GtkWidget *rows)
{
  sl_empty_box (rows);
  fill (g_object_get_data (G_OBJECT (rows), "bench"), rows);
}

gboolean
sl_history_has_photos (SlBench *bench)
{
  return fill (bench, NULL);
}

GtkWidget *
sl_history_photos_new (SlBench *bench)
{
  GtkWidget *rows = gtk_box_new (GTK_ORIENTATION_VERTICAL, SL_SPACE);

  g_object_set_data (G_OBJECT (rows), "bench", sl_keep (rows, bench));
  sl_follow_while_seen (rows, bench, SL_CHANGED_PHOTOS | SL_CHANGED_VISIT, G_CALLBACK (update), rows);
  return sl_scrolled_new (rows, _ ("Photographs over the years"));
}

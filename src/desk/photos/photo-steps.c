/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/photos/photos.h"

#include "desk/kit/kit.h"

/* The usual pictures, asked for one by one. */
typedef struct
{
  SlBench *bench;
  GtkWidget *steps, *list, *title, *line, *wrong; /* bound in this order */
  GtkWidget *newest;
  guint at; /* those before it were skipped or are there */
} Steps;

/* All of them, ticked where the visit has them, and the next one missing. */
static void
update (GtkWidget *steps)
{
  Steps *self = sl_part_of (steps);
  const SlReadingSet *set = sl_bench_get_set (self->bench);
  g_auto (GStrv) lines = sl_usual_pictures ();
  g_autoptr (GString) list = g_string_new (NULL);
  gboolean asks = FALSE;

  for (guint i = 0; lines[i] != NULL; i++)
    {
      SlPhoto like = sl_photo_guess (self->bench, lines[i]);
      const gboolean there = sl_photo_is_there (self->bench, &like);

      sl_photo_clear (&like);
      if (*lines[i] == '\0')
        continue;
      g_string_append_printf (list, "%s%s%s", list->len > 0 ? " · " : "", there ? "✓ " : "", lines[i]);
      if (there || asks || i < self->at)
        continue;
      asks = TRUE;
      self->at = i;
      sl_label_set (self->title, lines[i]);
      sl_latest_picture_set_line (self->newest, lines[i]);
    }
  sl_label_set (self->list, list->str);
  gtk_widget_set_visible (self->title, asks);
  gtk_widget_set_visible (self->line, asks);
  gtk_widget_set_visible (steps, list->len > 0 && (set == NULL || set->stage != SL_STAGE_DURING));
}

static void
on_choose (Steps *self)
{
  sl_photos_choose (self->steps, gtk_label_get_text (GTK_LABEL (self->title)));
}

static void
on_skip (Steps *self)
{
  self->at++;
  update (self->steps);
}

GtkWidget *
sl_photo_steps_new (SlBench *bench)
{
  Steps *self = sl_part_new (bench, SL_PART (Steps, steps, wrong), g_free, "photo-steps", "steps list title line wrong",
                             SL_CALL (on_choose), SL_CALL (on_skip), NULL);

  self->newest = sl_latest_picture_new (bench);
  gtk_box_prepend (GTK_BOX (self->line), self->newest);
  /* the window beneath says it, too, but is not looked at */
  g_signal_connect_object (bench, "refused", G_CALLBACK (sl_set_remark), self->wrong, G_CONNECT_SWAPPED);
  sl_bench_follow (bench, SL_CHANGED_PHOTOS | SL_CHANGED_READINGS, G_CALLBACK (update), self->steps);
  update (self->steps);
  return self->steps;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/window/start-tiles.h"

#include "bench/settings.h"
#include "bench/starting.h"
#include "desk/kit/colour-scheme.h"
#include "desk/kit/util.h"
#include "draw/draw.h"
#include "file/document.h"

#include <glib/gi18n-lib.h>

#define N_COLUMNS 3
#define PICTURE_WIDTH 280 /* its text would be too small to read, and is left out by its scale */
#define PICTURE_HEIGHT 88
#define NO_TEXT 0.01

typedef struct
{
  char *name, *uri;
  GtkWidget *picture, *title, *place;
} Tile;

static void
tile_free (gpointer data)
{
  Tile *tile = data;

  g_free (tile->name);
  g_free (tile->uri);
  g_free (tile);
}

/* What a thread draws, and what it finds. */
typedef struct
{
  char *name, *uri;
  SlShop shop;
  SlPictureOptions options;
  double scale;
  char *label;
  gboolean gone;
  GdkTexture *texture;
} Job;

static void
job_free (gpointer data)
{
  Job *job = data;

  g_free (job->name);
  g_free (job->uri);
  g_free (job->label);
  g_clear_object (&job->texture);
  g_free (job);
}

static void
draw_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Job *job = data;
  g_autoptr (GFile) file = job->uri == NULL ? NULL : g_file_new_for_uri (job->uri);
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  g_autoptr (GBytes) bytes = NULL;
  GError *error = NULL;
  SlProfile *profile =
      file == NULL ? sl_demo_profile (job->name) : sl_document_read (file, NULL, NULL, cancellable, &error);

  if (profile == NULL)
    {
      job->gone = file != NULL && !g_file_query_exists (file, NULL);
      g_task_return_error (task, error);
      return;
    }
  job->label = g_strdup (profile->identity.label);
  sl_analyse_last (profile, &job->shop, analysis);
  bytes = sl_picture_render (analysis, &job->options, SL_FORMAT_PNG, job->scale, NULL);
  if (bytes != NULL)
    job->texture = gdk_texture_new_from_bytes (bytes, NULL);
  sl_analysis_clear (analysis);
  sl_profile_free (profile);
  g_task_return_boolean (task, TRUE);
}

static void draw_from (GtkWidget *button);

static void
name_tile (GtkWidget *button, const Tile *tile, const char *name, const char *remark)
{
  g_autofree char *spoken = NULL;

  if (tile->uri == NULL)
    spoken = g_strdup_printf (_ ("Open a copy of the example %s"), name);
  else /* Translators: an instrument, and its folder or why it can't be opened */
    spoken = g_strdup_printf (_ ("Open %s, %s"), name, remark);
  gtk_label_set_label (GTK_LABEL (tile->title), name);
  gtk_label_set_label (GTK_LABEL (tile->place), remark);
  sl_set_accessible_label (button, spoken);
}

static void
on_drawn (GObject *source, GAsyncResult *result, gpointer data)
{
  GtkWidget *button = GTK_WIDGET (source);
  Tile *tile = g_object_get_data (source, "tile");
  const Job *job = g_task_get_task_data (G_TASK (result));
  g_autoptr (GError) error = NULL;

  if (gtk_widget_get_root (button) == NULL) /* gone meanwhile */
    return;
  if (!g_task_propagate_boolean (G_TASK (result), &error))
    name_tile (button, tile, tile->name, job->gone ? _ ("no longer where it was") : _ ("can’t be read"));
  else
    {
      g_autofree char *place = g_strdup (gtk_label_get_label (GTK_LABEL (tile->place)));

      gtk_picture_set_paintable (GTK_PICTURE (tile->picture), GDK_PAINTABLE (job->texture));
      name_tile (button, tile, job->label, place);
    }
  if (gtk_widget_get_next_sibling (button) != NULL)
    draw_from (gtk_widget_get_next_sibling (button));
}

static void
draw_from (GtkWidget *button)
{
  const Tile *tile = g_object_get_data (G_OBJECT (button), "tile");
  g_autoptr (GTask) task = g_task_new (button, NULL, on_drawn, NULL);
  Job *job = g_new0 (Job, 1);

  job->name = g_strdup (tile->name);
  job->uri = g_strdup (tile->uri);
  job->shop = sl_settings_get_shop ();
  job->scale = gtk_widget_get_scale_factor (button);
  sl_picture_options_init (&job->options);
  job->options.kind = SL_PICTURE_SIDE;
  job->options.width = PICTURE_WIDTH;
  job->options.height = PICTURE_HEIGHT;
  job->options.still = job->options.plain = TRUE;
  job->options.legend = "";
  job->options.text_scale = NO_TEXT;
  job->options.decimal = sl_decimal_sign ();
  job->options.look = sl_look ();
  g_task_set_task_data (task, job, job_free);
  g_task_run_in_thread (task, draw_in_thread);
}

void
sl_start_tiles_draw (GtkWidget *grid)
{
  if (gtk_widget_get_first_child (grid) != NULL)
    draw_from (gtk_widget_get_first_child (grid));
}

/* The folder a file is in, as people write it. */
static char *
place_of (const char *uri)
{
  g_autoptr (GFile) file = g_file_new_for_uri (uri), folder = g_file_get_parent (file);

  return folder == NULL ? g_strdup ("") : g_file_get_parse_name (folder);
}

void
sl_start_tile_add (GtkWidget *grid, const char *name, const char *uri)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 3), *last = gtk_widget_get_last_child (grid);
  g_autofree char *place = uri == NULL ? g_strdup ("") : place_of (uri);
  Tile *tile = g_new0 (Tile, 1);
  int column = -1, row = 0;
  GtkWidget *button =
      g_object_new (GTK_TYPE_BUTTON, "child", box, "action-name", uri == NULL ? "app.open-example" : "app.open-recent",
                    "action-target", g_variant_new_string (uri == NULL ? name : uri), NULL);

  tile->name = g_strdup (name);
  tile->uri = g_strdup (uri);
  tile->picture = g_object_new (GTK_TYPE_PICTURE, "height-request", PICTURE_HEIGHT, "can-shrink", TRUE,
                                "accessible-role", GTK_ACCESSIBLE_ROLE_PRESENTATION, NULL);
  gtk_box_append (GTK_BOX (box), tile->picture);
  tile->title = sl_text_add (box, NULL, "sl-heading");
  tile->place = sl_text_add (box, NULL, "sl-dim");
  gtk_widget_add_css_class (tile->place, "sl-small");
  gtk_widget_set_visible (tile->place, uri != NULL);
  gtk_widget_add_css_class (button, "sl-start-card");
  g_object_set_data_full (G_OBJECT (button), "tile", tile, tile_free);
  name_tile (button, tile, name, place);
  if (last != NULL)
    gtk_grid_query_child (GTK_GRID (grid), last, &column, &row, NULL, NULL);
  if (column == N_COLUMNS - 1)
    gtk_grid_attach (GTK_GRID (grid), button, 0, row + 1, 1, 1);
  else
    gtk_grid_attach (GTK_GRID (grid), button, column + 1, row, 1, 1);
}

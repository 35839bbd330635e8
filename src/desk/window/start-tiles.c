/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/window/parts.h"

#include "bench/settings.h"
#include "bench/profiles.h"
#include "desk/kit/kit.h"
#include "draw/draw.h"

#define N_COLUMNS 3
#define PICTURE_WIDTH 280 /* its text would be too small to read, and is left out by its scale */
#define PICTURE_HEIGHT 88
#define NO_TEXT 0.01

/* Shared with the thread that draws it. */
typedef struct
{
  char *name, *uri; /* @uri NULL: the demonstration profile called @name */
  GtkWidget *picture, *title, *place;

  /* found by the thread */
  char *label; /* NULL where it can't be read */
  gboolean gone;
  GdkTexture *texture;
} Tile;

static void
tile_clear (Tile *tile)
{
  g_free (tile->name);
  g_free (tile->uri);
  g_free (tile->label);
  g_clear_object (&tile->texture);
}

static void
tile_unref (gpointer tile)
{
  g_atomic_rc_box_release_full (tile, (GDestroyNotify) tile_clear);
}

typedef struct
{
  GPtrArray *tiles;
  SlShop shop;
  SlPictureOptions options;
  double scale;
} Job;

static void
job_free (Job *job)
{
  g_ptr_array_unref (job->tiles);
  g_free (job);
}

static void
draw_tile (const Job *job, Tile *tile)
{
  g_autoptr (GFile) file = tile->uri == NULL ? NULL : g_file_new_for_uri (tile->uri);
  g_autoptr (SlAnalysis) analysis = g_new0 (SlAnalysis, 1);
  g_autoptr (GBytes) bytes = NULL;
  g_autoptr (SlProfile) profile =
      file == NULL ? sl_demo_profile (tile->name) : sl_document_read (file, NULL, NULL, NULL, NULL);

  tile->gone = profile == NULL && !g_file_query_exists (file, NULL);
  if (profile == NULL)
    return;
  tile->label = g_strdup (profile->identity.label);
  sl_analyse_last (profile, &job->shop, analysis);
  bytes = sl_picture_render (analysis, &job->options, SL_FORMAT_PNG, job->scale, NULL);
  if (bytes != NULL)
    tile->texture = gdk_texture_new_from_bytes (bytes, NULL);
}

static void
draw_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  const Job *job = data;

  for (guint i = 0; i < job->tiles->len; i++)
    draw_tile (job, job->tiles->pdata[i]);
  g_task_return_boolean (task, TRUE);
}

/* @remark: its folder, or why it can't be opened. */
static void
name_tile (GtkWidget *button, const Tile *tile, const char *name, const char *remark)
{
  g_autofree char *spoken = NULL;

  if (tile->uri == NULL)
    spoken = g_strdup_printf (_ ("Open a copy of the example %s"), name);
  else /* Translators: an instrument, and its folder or why it can't be opened */
    spoken = g_strdup_printf (_ ("Open %s, %s"), name, remark);
  sl_label_set (tile->title, name);
  sl_label_set (tile->place, remark);
  sl_set_accessible_label (button, spoken);
}

static void
on_drawn (GObject *grid, GAsyncResult *result, gpointer data)
{
  if (gtk_widget_get_root (GTK_WIDGET (grid)) == NULL) /* gone meanwhile */
    return;
  for (GtkWidget *button = gtk_widget_get_first_child (GTK_WIDGET (grid)); button != NULL;
       button = gtk_widget_get_next_sibling (button))
    {
      const Tile *tile = g_object_get_data (G_OBJECT (button), "tile");
      g_autofree char *place = g_strdup (gtk_label_get_label (GTK_LABEL (tile->place)));

      gtk_picture_set_paintable (GTK_PICTURE (tile->picture), GDK_PAINTABLE (tile->texture));
      name_tile (button, tile, tile->label != NULL ? tile->label : tile->name,
                 tile->gone            ? _ ("no longer where it was")
                 : tile->label == NULL ? _ ("can’t be read")
                                       : place);
    }
}

void
sl_start_tiles_draw (GtkWidget *grid)
{
  Job *job = g_new0 (Job, 1);

  job->tiles = g_ptr_array_new_with_free_func (tile_unref);
  for (GtkWidget *button = gtk_widget_get_first_child (grid); button != NULL;
       button = gtk_widget_get_next_sibling (button))
    g_ptr_array_add (job->tiles, g_atomic_rc_box_acquire (g_object_get_data (G_OBJECT (button), "tile")));
  job->shop = sl_settings_get_shop ();
  job->scale = gtk_widget_get_scale_factor (grid);
  sl_picture_options_init (&job->options);
  job->options.kind = SL_PICTURE_SIDE;
  job->options.width = PICTURE_WIDTH;
  job->options.height = PICTURE_HEIGHT;
  job->options.still = job->options.plain = TRUE;
  job->options.legend = "";
  job->options.text_scale = NO_TEXT;
  job->options.decimal = sl_decimal_sign ();
  job->options.look = sl_look ();
  sl_run_in_thread (grid, NULL, draw_in_thread, job, (GDestroyNotify) job_free, on_drawn, NULL);
}

void
sl_start_tile_add (GtkWidget *grid, const char *name, const char *uri)
{
  g_autoptr (GFile) file = uri == NULL ? NULL : g_file_new_for_uri (uri),
                    folder = file == NULL ? NULL : g_file_get_parent (file);
  g_autofree char *place = folder == NULL ? g_strdup ("") : g_file_get_parse_name (folder);
  Tile *tile = g_atomic_rc_box_new0 (Tile);
  GtkWidget *button = sl_built_new ("start-tile.ui", "tile", "picture", &tile->picture, "title", &tile->title, "place",
                                    &tile->place, NULL);
  int n = 0;

  tile->name = g_strdup (name);
  tile->uri = g_strdup (uri);
  gtk_widget_set_visible (tile->place, uri != NULL);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), uri == NULL ? "app.open-example" : "app.open-recent");
  gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", uri == NULL ? name : uri);
  g_object_set_data_full (G_OBJECT (button), "tile", tile, tile_unref);
  name_tile (button, tile, name, place);
  for (GtkWidget *one = gtk_widget_get_first_child (grid); one != NULL; one = gtk_widget_get_next_sibling (one))
    n++;
  gtk_grid_attach (GTK_GRID (grid), button, n % N_COLUMNS, n / N_COLUMNS, 1, 1);
}

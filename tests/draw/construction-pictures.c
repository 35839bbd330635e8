/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Draws contact sheets to be looked at: of each profile named, the small picture of its construction and the side view
 * with its close-ups, light and dark.
 *
 *   construction-pictures FOLDER PROFILE… */
#include "draw/draw.h"
#include "file/document.h"

#define GAP 12.0
#define LARGE_WIDTH 400.0
#define LARGE_HEIGHT 150.0
#define SMALL_WIDTH 160.0
#define SMALL_HEIGHT 72.0
#define VIEW_WIDTH 1240.0
#define VIEW_HEIGHT 760.0
#define ROWS 4 /* profiles a sheet of side views */

static const SlLook looks[] = { SL_LOOK_LIGHT, SL_LOOK_DARK };

static void
paper (cairo_t *cr, SlLook look, double x, double y, double width, double height)
{
  cairo_rectangle (cr, x, y, width, height);
  sl_fill (cr, sl_palette (look), SL_INK_PAPER);
}

static void
small (cairo_t *cr, const SlProfile *profile, SlLook look, double x, double y, double width, double height)
{
  paper (cr, look, x, y, width, height);
  cairo_save (cr);
  cairo_translate (cr, x, y);
  sl_draw_construction (cr, profile, look, width, height);
  cairo_restore (cr);
}

static void
name (cairo_t *cr, const SlProfile *profile, double x, double y)
{
  const SlText text = sl_text (profile->identity.label != NULL ? profile->identity.label : "", SL_TEXT_SIZE, TRUE);

  sl_set_ink (cr, sl_palette (SL_LOOK_LIGHT), SL_INK_TEXT);
  sl_text_show (cr, &text, x, y);
}

static void
save (cairo_surface_t *surface, const char *folder, const char *file)
{
  g_autofree char *path = g_build_filename (folder, file, NULL);

  if (cairo_surface_write_to_png (surface, path) != CAIRO_STATUS_SUCCESS)
    g_error ("%s can't be written", path);
  cairo_surface_destroy (surface);
}

static void
draw_small (GPtrArray *profiles, const char *folder)
{
  const double row = LARGE_HEIGHT + GAP + 18, width = 2 * LARGE_WIDTH + 2 * SMALL_WIDTH + 5 * GAP;
  cairo_surface_t *surface =
      cairo_image_surface_create (CAIRO_FORMAT_RGB24, (int) width, (int) (row * profiles->len + GAP));
  cairo_t *cr = cairo_create (surface);

  cairo_set_source_rgb (cr, 0.85, 0.85, 0.83);
  cairo_paint (cr);
  for (guint i = 0; i < profiles->len; i++)
    {
      const SlProfile *profile = g_ptr_array_index (profiles, i);
      double y = GAP + i * row;

      name (cr, profile, GAP, y);
      for (guint l = 0; l < G_N_ELEMENTS (looks); l++)
        {
          small (cr, profile, looks[l], GAP + l * (LARGE_WIDTH + GAP), y + 18, LARGE_WIDTH, LARGE_HEIGHT);
          small (cr, profile, looks[l], 3 * GAP + 2 * LARGE_WIDTH + l * (SMALL_WIDTH + GAP), y + 18, SMALL_WIDTH,
                 SMALL_HEIGHT);
        }
    }
  cairo_destroy (cr);
  save (surface, folder, "constructions.png");
}

static void
draw_views (GPtrArray *profiles, guint first, const char *folder)
{
  const guint n = MIN (ROWS, profiles->len - first);
  g_autofree char *file = g_strdup_printf ("views-%02u.png", first / ROWS + 1);
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, (int) (2 * VIEW_WIDTH + 3 * GAP),
                                                         (int) (n * (VIEW_HEIGHT + GAP) + GAP));
  cairo_t *cr = cairo_create (surface);

  for (guint i = 0; i < n; i++)
    for (guint l = 0; l < G_N_ELEMENTS (looks); l++)
      {
        const SlProfile *profile = g_ptr_array_index (profiles, first + i);
        g_autoptr (SlAnalysis) analysis = g_new0 (SlAnalysis, 1);
        SlPictureOptions o;

        sl_analyse_last (profile, &SL_SHOP_DEFAULT, analysis);
        sl_picture_options_init (&o);
        o.width = VIEW_WIDTH;
        o.height = VIEW_HEIGHT;
        o.look = looks[l];
        o.string = profile->n_strings;
        o.title = profile->identity.label;
        cairo_save (cr);
        cairo_translate (cr, GAP + l * (VIEW_WIDTH + GAP), GAP + i * (VIEW_HEIGHT + GAP));
        sl_picture_draw (cr, analysis, &o, NULL);
        cairo_restore (cr);
      }
  cairo_destroy (cr);
  save (surface, folder, file);
}

int
main (int argc, char **argv)
{
  g_autoptr (GPtrArray) profiles = g_ptr_array_new_with_free_func ((GDestroyNotify) sl_profile_free);

  if (argc < 3)
    {
      g_printerr ("usage: %s FOLDER PROFILE…\n", argv[0]);
      return 2;
    }
  for (int i = 2; i < argc; i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (GFile) file = g_file_new_for_commandline_arg (argv[i]);
      SlProfile *profile = sl_document_read (file, NULL, NULL, NULL, &error);

      if (profile == NULL)
        g_error ("%s: %s", argv[i], error->message);
      g_ptr_array_add (profiles, profile);
    }
  draw_small (profiles, argv[1]);
  for (guint first = 0; first < profiles->len; first += ROWS)
    draw_views (profiles, first, argv[1]);
  return 0;
}

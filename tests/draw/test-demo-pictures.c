/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Every picture of every demonstration instrument, at the sizes windows give it, with texts of usual and of twice the
 * size, in both languages and with every choice of strings that differs: no text lies on another, leaves its stage, or
 * is struck through by a string, by the straightedge's line or by a fret's crown. */
#include <glib/gi18n-lib.h>
#include <locale.h>

#include "../rounds.h"
#include "draw/draw.h"
#include "file/document.h"
#include "sample.h"
#include "shown.h"

static const ShownSize sides[] = { { 470, 300 }, { 660, 330 }, { 740, 400 }, { 1280, 640 }, { 1900, 1000 } };
static const ShownSize closeups[] = { { 180, 120 }, { 240, 150 }, { 320, 200 }, { 480, 300 }, { 900, 600 } };
static const ShownSize sheets[] = { { 330, 200 }, { 470, 310 }, { 700, 380 }, { 1100, 700 }, { 1900, 1000 } };
static const double text_scales[] = { 1, 2 };

#define N_SIZES 5

typedef struct
{
  char *name;
  SlProfile *profile;
  SlAnalysis *analysis;
} Demo;

static void
demo_free (gpointer data)
{
  Demo *demo = data;

  sl_analysis_free (demo->analysis);
  sl_profile_free (demo->profile);
  g_free (demo->name);
  g_free (demo);
}

static GPtrArray *
read_demos (void)
{
  GPtrArray *demos = g_ptr_array_new_with_free_func (demo_free);
  g_autofree char *folder = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "data", "demo", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (GDir) dir = g_dir_open (folder, 0, &error);
  const char *name;

  g_assert_no_error (error);
  while ((name = g_dir_read_name (dir)) != NULL)
    {
      if (!g_str_has_suffix (name, SL_DOCUMENT_EXTENSION)) /* folders of photographs */
        continue;
      g_autofree char *path = g_build_filename (folder, name, NULL);
      g_autoptr (GFile) file = g_file_new_for_path (path);
      Demo *demo = g_new0 (Demo, 1);

      demo->name = g_strdup (name);
      demo->profile = sl_document_read (file, NULL, NULL, NULL, &error);
      g_assert_no_error (error);
      demo->analysis = sample_analyse (demo->profile);
      g_ptr_array_add (demos, demo);
    }
  g_assert_cmpuint (demos->len, >=, 9);
  return demos;
}

static void
complain (const Demo *demo, const SlPictureOptions *o, const char *fault)
{
  g_error ("%s, picture %d, string %d, %g × %g, text × %g: %s", demo->name, o->kind, o->string, o->width, o->height,
           o->text_scale, fault);
}

static void
check_texts (const Demo *demo, const SlPictureMap *map, const SlPictureOptions *o)
{
  g_autoptr (GPtrArray) faults = shown_faults (map, o->width, o->height);

  if (faults->len > 0)
    complain (demo, o, g_ptr_array_index (faults, 0));
}

/* The line of the straightedge, from fret 1 to the bridge, and the crowns it lies over. */
static void
check_side (const Demo *demo, const SlPictureMap *map, const SlPictureOptions *o)
{
  const SlAnalysis *a = demo->analysis;
  const SlState *state = a->has_plan ? &a->planned : &a->measured;
  const int lead = o->string > 0 ? o->string : a->instrument.n_strings;
  SlStringState s;

  sl_state_string (&a->instrument, state, lead, &s);
  for (guint i = 0; i < map->labels->len; i++)
    {
      const SlPictureLabel *l = &g_array_index (map->labels, SlPictureLabel, i);
      g_autofree char *fault = NULL;
      const double crest = map->origin_x + s.x_s * map->units_per_mm_along;

      if (shown_runs_through (&l->rect, map->fret_x[1], map->origin_y, crest - 10, map->origin_y))
        fault = g_strdup_printf ("“%s” is struck through by the straightedge’s line", l->text);
      for (int n = 1; n <= a->instrument.frets && fault == NULL; n++)
        {
          const double top = map->origin_y - sl_crown_height (&s, n) * map->units_per_mm_up;

          if (shown_runs_through (&l->rect, map->fret_x[n], top, map->fret_x[n], top + 2))
            fault = g_strdup_printf ("“%s” lies on fret %d", l->text, n);
        }
      if (fault != NULL)
        complain (demo, o, fault);
    }
}

static void
try_picture (const Demo *demo, SlPictureKind kind, const ShownSize *sizes, SlPictureMap *map)
{
  const int n = demo->profile->n_strings, strings[] = { SL_ALL_STRINGS, n, 1 };
  /* only of the side view does the treble differ from the bass in more than figures */
  const guint n_choices = kind == SL_PICTURE_SIDE ? G_N_ELEMENTS (strings) : 2;
  const int every = 4 / CLAMP ((int) test_rounds (4), 1, 4); /* under sanitizers a part of them */
  static int tried;
  SlPictureOptions o;

  sl_picture_options_init (&o);
  o.kind = kind;
  for (int size = 0; size < N_SIZES; size++)
    for (guint scale = 0; scale < G_N_ELEMENTS (text_scales); scale++)
      for (guint i = 0; i < n_choices; i++)
        {
          if (tried++ % every != 0)
            continue;
          o.width = sizes[size].width;
          o.height = sizes[size].height;
          o.text_scale = text_scales[scale];
          o.string = strings[i];
          shown_draw (demo->analysis, &o, map);
          check_texts (demo, map, &o);
          if (kind == SL_PICTURE_SIDE)
            check_side (demo, map, &o);
        }
}

static void
try_charts (const Demo *demo, gboolean moisture, SlPictureMap *map)
{
  g_autoptr (GArray) history = sl_history_new (demo->profile, &SL_SHOP_DEFAULT);
  cairo_surface_t *surface = cairo_recording_surface_create (CAIRO_CONTENT_COLOR_ALPHA, NULL);
  cairo_t *cr = cairo_create (surface);
  SlPictureOptions o;

  sl_picture_options_init (&o);
  for (int size = 0; size < N_SIZES; size++)
    for (guint scale = 0; scale < G_N_ELEMENTS (text_scales); scale++)
      for (int lengths = 0; lengths <= SL_LENGTHS_64THS; lengths++)
        {
          o.width = sheets[size].width;
          o.height = sheets[size].height;
          o.text_scale = text_scales[scale];
          o.lengths = (SlLengths) lengths;
          g_array_set_size (map->labels, 0);
          sl_history_draw (cr, history, &o, moisture, map);
          check_texts (demo, map, &o);
          g_assert_true (history->len == 0 || map->labels->len > 0);
        }
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
}

static void
test_language (gconstpointer language)
{
  g_autoptr (GPtrArray) demos = NULL;
  SlPictureMap map;

  g_setenv ("LANGUAGE", language, TRUE);
  setlocale (LC_ALL, "C.UTF-8"); /* has the catalogues looked for anew */
  if (*(const char *) language != '\0' && g_str_equal (_ ("relief"), "relief"))
    {
      g_test_skip ("the catalogue is not built");
      return;
    }
  demos = read_demos ();
  sl_picture_map_init (&map);
  for (guint i = 0; i < demos->len; i++)
    {
      const Demo *demo = g_ptr_array_index (demos, i);

      for (int kind = SL_PICTURE_SIDE; kind < SL_N_PICTURES; kind++)
        if (kind != SL_PICTURE_ALL)
          try_picture (demo, (SlPictureKind) kind,
                       kind == SL_PICTURE_SIDE     ? sides
                       : kind < SL_PICTURE_STRINGS ? closeups
                                                   : sheets,
                       &map);
      try_charts (demo, FALSE, &map);
      try_charts (demo, TRUE, &map);
    }
  sl_picture_map_clear (&map);
}

/* Over time a chart says in what its figures are, and when they were read; both say which mark is which string. */
static void
test_charts_told (void)
{
  g_autoptr (GPtrArray) demos = read_demos ();
  SlPictureMap map;

  sl_picture_map_init (&map);
  for (guint i = 0; i < demos->len; i++)
    {
      const Demo *demo = g_ptr_array_index (demos, i);
      g_autoptr (GArray) history = sl_history_new (demo->profile, &SL_SHOP_DEFAULT);
      cairo_surface_t *surface = cairo_recording_surface_create (CAIRO_CONTENT_COLOR_ALPHA, NULL);
      cairo_t *cr = cairo_create (surface);
      SlPictureOptions o;

      sl_picture_options_init (&o);
      o.width = 700;
      o.height = 400;
      sl_history_draw (cr, history, &o, FALSE, &map);
      g_assert_true (shown_says (&map, "Action at 12, mm"));
      g_assert_true (shown_says (&map, "Moisture, %"));
      g_assert_true (shown_says (&map, "treble") && shown_says (&map, "bass"));
      g_assert_true (shown_says (&map, "2026") || shown_says (&map, "2025"));
      g_array_set_size (map.labels, 0);
      sl_history_draw (cr, history, &o, TRUE, &map);
      g_assert_true (shown_says (&map, "treble") && shown_says (&map, "bass"));
      g_assert_true (shown_says (&map, "Relief, mm"));
      g_array_set_size (map.labels, 0);
      /* with little room for large texts: fewer charts, not none */
      o.width = 300;
      o.height = 200;
      o.text_scale = 1.5;
      sl_history_draw (cr, history, &o, FALSE, &map);
      g_assert_true (shown_says (&map, "Action at 12"));
      g_array_set_size (map.labels, 0);
      cairo_destroy (cr);
      cairo_surface_destroy (surface);
    }
  sl_picture_map_clear (&map);
}

int
main (int argc, char **argv)
{
  g_autofree char *catalogues = g_build_filename (g_getenv ("SL_BUILD_ROOT"), "po", NULL);

  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, catalogues);
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  g_test_init (&argc, &argv, NULL);
  g_test_add_data_func ("/draw/demos/english", "", test_language);
  g_test_add_func ("/draw/demos/charts-told", test_charts_told);
  g_test_add_data_func ("/draw/demos/german", "de", test_language);
  g_test_add_data_func ("/draw/demos/spanish", "es", test_language);
  return g_test_run ();
}

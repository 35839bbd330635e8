/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Instruments as they are built: every construction has its own picture, which keeps to its bounds; its labels find
 * their places; it has the handles of what can be done to it; and left is right, mirrored, but for what is read. */
#include "draw/draw.h"
#include "sample.h"
#include "shown.h"

#define WIDTH 400
#define HEIGHT 150
#define ROUND 20 /* of what must stay untouched about a picture */

/* Builds that differ to the eye. */
static const struct
{
  const char *name;
  SlBridgeKind bridge;
  SlSaddleAdjust adjust;
  SlNutKind nut;
  SlBalance balance;
} builds[] = {
  { "pinned", SL_BRIDGE_PINNED, SL_ADJUST_BASE },
  { "pinned, zero fret", SL_BRIDGE_PINNED, SL_ADJUST_BASE, SL_NUT_ZERO_FRET },
  { "tie block", SL_BRIDGE_TIE_BLOCK, SL_ADJUST_BASE },
  { "through body, screws", SL_BRIDGE_THROUGH_BODY, SL_ADJUST_SCREWS },
  { "tailpiece, screws", SL_BRIDGE_TAILPIECE, SL_ADJUST_SCREWS },
  { "tailpiece, posts", SL_BRIDGE_TAILPIECE, SL_ADJUST_POSTS },
  { "tailpiece, glued", SL_BRIDGE_TAILPIECE, SL_ADJUST_BASE },
  { "cone", SL_BRIDGE_CONE, SL_ADJUST_TOP },
  { "floating, wheels", SL_BRIDGE_FLOATING, SL_ADJUST_WHEELS },
  { "floating, fixed", SL_BRIDGE_FLOATING, SL_ADJUST_FIXED },
  { "tremolo", SL_BRIDGE_TREMOLO, SL_ADJUST_SCREWS },
  { "tremolo, decked", SL_BRIDGE_TREMOLO, SL_ADJUST_SCREWS, SL_NUT_DEFAULT, SL_BALANCE_DECKED },
  { "tremolo, blocked", SL_BRIDGE_TREMOLO, SL_ADJUST_SCREWS, SL_NUT_DEFAULT, SL_BALANCE_BLOCKED },
};

static SlProfile *
built (gsize i, SlHand hand)
{
  SlProfile *profile = sample_usual ();

  profile->hand = hand;
  profile->bridge.kind = builds[i].bridge;
  profile->bridge.balance = builds[i].balance;
  profile->saddle.adjust = builds[i].adjust;
  profile->nut.kind = builds[i].nut;
  g_array_set_size (sl_profile_last_visit (profile)->plan, 0);
  return profile;
}

static guint32
pixel (cairo_surface_t *surface, int x, int y)
{
  const unsigned char *row =
      cairo_image_surface_get_data (surface) + (gsize) y * (gsize) cairo_image_surface_get_stride (surface);

  return ((const guint32 *) (gconstpointer) row)[x];
}

static gboolean
alike (guint32 a, guint32 b)
{
  for (int shift = 0; shift < 32; shift += 8)
    if (ABS ((int) (a >> shift & 255) - (int) (b >> shift & 255)) > 24)
      return FALSE;
  return TRUE;
}

/* With room about it that nothing may be drawn in. */
static cairo_surface_t *
picture_of (const SlProfile *profile, SlLook look)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, WIDTH + 2 * ROUND, HEIGHT + 2 * ROUND);
  cairo_t *cr = cairo_create (surface);

  cairo_translate (cr, ROUND, ROUND);
  sl_draw_construction (cr, profile, look, WIDTH, HEIGHT);
  g_assert_cmpint (cairo_status (cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  return surface;
}

static void
test_bounds (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (builds); i++)
    {
      g_autoptr (SlProfile) profile = built (i, i % 2 ? SL_HAND_LEFT : SL_HAND_RIGHT);
      cairo_surface_t *surface = picture_of (profile, SL_LOOK_LIGHT);
      int drawn = 0;

      for (int y = 0; y < HEIGHT + 2 * ROUND; y++)
        for (int x = 0; x < WIDTH + 2 * ROUND; x++)
          {
            const gboolean inside = x >= ROUND && x < WIDTH + ROUND && y >= ROUND && y < HEIGHT + ROUND;

            if (!inside && pixel (surface, x, y) != 0)
              g_error ("%s: drawn outside its bounds at %d, %d", builds[i].name, x - ROUND, y - ROUND);
            drawn += inside && pixel (surface, x, y) != 0;
          }
      g_assert_cmpint (drawn, >, WIDTH * HEIGHT / 4);
      cairo_surface_destroy (surface);
    }
}

static int
differing (cairo_surface_t *a, cairo_surface_t *b, gboolean mirrored)
{
  const int width = WIDTH + 2 * ROUND;
  int n = 0;

  for (int y = 0; y < HEIGHT + 2 * ROUND; y++)
    for (int x = 0; x < width; x++)
      n += !alike (pixel (a, x, y), pixel (b, mirrored ? width - 1 - x : x, y));
  return n;
}

static void
test_differ (void)
{
  cairo_surface_t *pictures[G_N_ELEMENTS (builds)];

  for (gsize i = 0; i < G_N_ELEMENTS (builds); i++)
    {
      g_autoptr (SlProfile) profile = built (i, SL_HAND_RIGHT);

      pictures[i] = picture_of (profile, SL_LOOK_LIGHT);
      for (gsize k = 0; k < i; k++)
        if (differing (pictures[i], pictures[k], FALSE) < 60)
          g_error ("“%s” looks like “%s”", builds[i].name, builds[k].name);
    }
  for (gsize i = 0; i < G_N_ELEMENTS (builds); i++)
    cairo_surface_destroy (pictures[i]);
}

static void
test_looks (void)
{
  g_autoptr (SlProfile) profile = built (0, SL_HAND_RIGHT);
  cairo_surface_t *light = picture_of (profile, SL_LOOK_LIGHT), *dark = picture_of (profile, SL_LOOK_DARK);

  g_assert_cmpint (differing (light, dark, FALSE), >, WIDTH * HEIGHT / 4);
  cairo_surface_destroy (light);
  cairo_surface_destroy (dark);
}

static void
test_left (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (builds); i++)
    {
      g_autoptr (SlProfile) right_hand = built (i, SL_HAND_RIGHT), left_hand = built (i, SL_HAND_LEFT);
      cairo_surface_t *right = picture_of (right_hand, SL_LOOK_LIGHT), *left = picture_of (left_hand, SL_LOOK_LIGHT);

      if (differing (right, left, TRUE) > 40) /* where an edge is smoothed */
        g_error ("%s: left is not right mirrored, %d pixels", builds[i].name, differing (right, left, TRUE));
      g_assert_cmpint (differing (right, left, FALSE), >, WIDTH * HEIGHT / 8);
      cairo_surface_destroy (right);
      cairo_surface_destroy (left);
    }
}

static void
draw_kind (SlAnalysis *analysis, SlPictureKind kind, int string, SlPictureMap *map)
{
  SlPictureOptions o;

  sl_picture_options_init (&o);
  o.kind = kind;
  o.width = 1280;
  o.height = 640;
  o.string = string;
  shown_draw (analysis, &o, map);
  shown_check (map, &o, (guint) string);
}

/* In the side view what is on the instrument is mirrored, labels about it too; headings are not. */
static void
test_left_view (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (builds); i++)
    {
      g_autoptr (SlProfile) right_hand = built (i, SL_HAND_RIGHT), left_hand = built (i, SL_HAND_LEFT);
      g_autoptr (SlAnalysis) a = sample_analyse (right_hand), b = sample_analyse (left_hand);
      SlPictureMap right, left;

      sl_picture_map_init (&right);
      sl_picture_map_init (&left);
      draw_kind (a, SL_PICTURE_SIDE, 6, &right);
      draw_kind (b, SL_PICTURE_SIDE, 6, &left);
      for (int n = 0; n <= a->instrument.frets; n++)
        g_assert_cmpfloat_with_epsilon (right.fret_x[n] + left.fret_x[n], 1280, 1e-6);
      g_assert_cmpfloat (left.fret_x[12], <, left.fret_x[1]);
      g_assert_cmpfloat_with_epsilon (left.board.x + left.board.width, 1280 - right.board.x, 1e-6);
      for (int h = 0; h < SL_N_HANDLES; h++)
        {
          g_assert_cmpint (left.handles[h].shown, ==, right.handles[h].shown);
          if (right.handles[h].shown)
            g_assert_cmpfloat_with_epsilon (left.handles[h].x + right.handles[h].x, 1280, 1e-6);
        }
      g_assert_cmpuint (left.labels->len, ==, right.labels->len);
      for (guint l = 0; l < left.labels->len; l++)
        {
          const SlPictureLabel *of_left = &g_array_index (left.labels, SlPictureLabel, l),
                               *of_right = &g_array_index (right.labels, SlPictureLabel, l);
          const gboolean heading = of_left->rect.x == of_right->rect.x;

          g_assert_cmpstr (of_left->text, ==, of_right->text);
          g_assert_true (heading == (strstr (of_left->text, "String 6") || strstr (of_left->text, "100 mm along") ||
                                     strstr (of_left->text, "as measured")));
          if (!heading)
            g_assert_cmpfloat_with_epsilon (of_left->rect.x + of_left->rect.width, 1280 - of_right->rect.x, 1e-6);
        }
      sl_picture_map_clear (&right);
      sl_picture_map_clear (&left);
    }
}

/* How far two regions of the same size are from each other, as they are or one mirrored: glyphs lie on whole pixels,
 * regions between them, so one is tried a pixel to either side. */
static double
apart (cairo_surface_t *a, const SlRect *ra, cairo_surface_t *b, const SlRect *rb, gboolean mirrored)
{
  const int width = (int) ra->width, height = (int) ra->height;
  double least = INFINITY;

  for (int by = -1; by <= 1; by++)
    {
      double sum = 0;

      for (int y = 0; y < height; y++)
        for (int x = 0; x < width; x++)
          sum += ABS ((int) (pixel (a, (int) ra->x + x, (int) ra->y + y) >> 8 & 255) -
                      (int) (pixel (b, (int) rb->x + by + (mirrored ? width - 1 - x : x), (int) rb->y + y) >> 8 & 255));
      least = MIN (least, sum / (width * height));
    }
  return least;
}

/* Text is never mirrored: a label's ink on the left-handed picture is that of the right-handed one. */
static void
test_text_upright (void)
{
  cairo_surface_t *surfaces[2];
  SlRect rects[2] = { 0 };

  for (int left = 0; left < 2; left++)
    {
      g_autoptr (SlProfile) profile = built (0, left ? SL_HAND_LEFT : SL_HAND_RIGHT);
      g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
      SlPictureOptions o;
      SlPictureMap map;
      cairo_t *cr;

      sl_picture_options_init (&o);
      sl_picture_map_init (&map);
      o.kind = SL_PICTURE_SIDE;
      o.width = 1280;
      o.height = 640;
      o.string = 6;
      surfaces[left] = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, 1280, 640);
      cr = cairo_create (surfaces[left]);
      sl_picture_draw (cr, analysis, &o, &map);
      cairo_destroy (cr);
      cairo_surface_flush (surfaces[left]);
      for (guint l = 0; l < map.labels->len; l++)
        if (strstr (g_array_index (map.labels, SlPictureLabel, l).text, "action at 12"))
          rects[left] = g_array_index (map.labels, SlPictureLabel, l).rect;
      g_assert_cmpfloat (rects[left].width, >, 0);
      sl_picture_map_clear (&map);
    }
  g_assert_cmpfloat (apart (surfaces[0], &rects[0], surfaces[1], &rects[1], FALSE), <,
                     0.1 * apart (surfaces[0], &rects[0], surfaces[1], &rects[1], TRUE));
  cairo_surface_destroy (surfaces[0]);
  cairo_surface_destroy (surfaces[1]);
}

/* Labels of every construction, at every string, in all views. */
static void
test_labels (void)
{
  static const SlPictureKind kinds[] = { SL_PICTURE_SIDE, SL_PICTURE_NUT, SL_PICTURE_BRIDGE, SL_PICTURE_ALL };

  for (gsize i = 0; i < G_N_ELEMENTS (builds); i++)
    {
      g_autoptr (SlProfile) profile = built (i, i % 2 ? SL_HAND_LEFT : SL_HAND_RIGHT);
      g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
      SlPictureMap map;

      sl_picture_map_init (&map);
      for (gsize k = 0; k < G_N_ELEMENTS (kinds); k++)
        for (int s = 0; s <= profile->n_strings; s++)
          draw_kind (analysis, kinds[k], s, &map);
      g_assert_true (shown_says (&map, "exposure"));
      sl_picture_map_clear (&map);
    }
}

/* A handle is where its work can be done. */
static void
test_handles (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (builds); i++)
    for (int rod = SL_ROD_SINGLE; rod <= SL_ROD_NONE; rod++)
      {
        g_autoptr (SlProfile) profile = built (i, SL_HAND_RIGHT);
        g_autoptr (SlAnalysis) analysis = NULL;
        SlPictureMap map;

        profile->neck.rod = (SlRod) rod;
        analysis = sample_analyse (profile);
        sl_picture_map_init (&map);
        draw_kind (analysis, SL_PICTURE_SIDE, 6, &map);
        g_assert_cmpint (map.handles[SL_HANDLE_NECK].shown, ==, rod != SL_ROD_NONE);
        g_assert_cmpint (map.handles[SL_HANDLE_SLOT].shown, ==, builds[i].nut != SL_NUT_ZERO_FRET);
        g_assert_cmpint (map.handles[SL_HANDLE_CREST].shown, ==, builds[i].adjust != SL_ADJUST_FIXED);
        sl_picture_map_clear (&map);
      }
}

/* What new work comes to is said and told apart: what it adds from what it takes off. */
static void
test_work (void)
{
  static const struct
  {
    gsize build;
    SlOperationKind kind;
    int string;
    double bass, treble;
    gboolean adds;
    const char *says;
  } work[] = {
    { 0, SL_OP_MAKE_NUT, 6, 2.5, NAN, TRUE, " higher" },
    { 0, SL_OP_MAKE_NUT, 6, -0.5, NAN, FALSE, " lower" },
    { 0, SL_OP_MAKE_SADDLE, 6, 5.4, 5.4, TRUE, "new saddle 1.50 mm higher" },
    { 0, SL_OP_MAKE_SADDLE, 6, 2.9, 2.9, FALSE, "new saddle 1.00 mm lower" },
    { 0, SL_OP_SET_NECK_ANGLE, 6, 0.8, NAN, FALSE, "neck set, crest 0.80 mm lower" },
    { 5, SL_OP_MOVE_SADDLE, 6, 0.8, 0.5, FALSE, "bridge 0.80 mm up" },
    { 5, SL_OP_MOVE_SADDLE, 1, 0.8, -0.5, FALSE, "bridge 0.50 mm down" },
    { 5, SL_OP_MOVE_SADDLE, 0, 0.8, 0.5, FALSE, "bridge 0.80 | 0.50 mm up" },
    { 5, SL_OP_MOVE_SADDLE, 0, 0.8, -0.5, FALSE, "bridge height +0.80 | −0.50" },
    { 8, SL_OP_SHIFT_BRIDGE, 6, 1.2, 0.4, FALSE, "bridge 1.20 mm back" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (work); i++)
    {
      g_autoptr (SlProfile) profile = built (work[i].build, i % 2 ? SL_HAND_LEFT : SL_HAND_RIGHT);
      g_autoptr (SlAnalysis) analysis = NULL;
      SlOperation operation = sl_operation_init (work[i].kind);
      SlPictureMap map;

      if (work[i].kind == SL_OP_MAKE_NUT)
        operation.ends[operation.n_ends++] = (SlStringEnd){ 6, sl_number (work[i].bass) };
      else
        operation.amount = sl_number (work[i].bass);
      operation.amount_treble = sl_number (work[i].treble);
      g_array_append_val (sl_profile_last_visit (profile)->plan, operation);
      analysis = sample_analyse (profile);
      sl_picture_map_init (&map);
      draw_kind (analysis, SL_PICTURE_SIDE, work[i].string, &map);
      if (!shown_says (&map, work[i].says))
        g_error ("“%s” is missing", work[i].says);
      g_assert_cmpint (shown_says (&map, "dotted is added"), ==, work[i].adds);
      sl_picture_map_clear (&map);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/construction/bounds", test_bounds);
  g_test_add_func ("/draw/construction/differ", test_differ);
  g_test_add_func ("/draw/construction/looks", test_looks);
  g_test_add_func ("/draw/construction/left", test_left);
  g_test_add_func ("/draw/construction/left-view", test_left_view);
  g_test_add_func ("/draw/construction/text-upright", test_text_upright);
  g_test_add_func ("/draw/construction/labels", test_labels);
  g_test_add_func ("/draw/construction/handles", test_handles);
  g_test_add_func ("/draw/construction/work", test_work);
  return g_test_run ();
}

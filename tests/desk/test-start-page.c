/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The page a new instrument starts from: each kind with its picture, name and line, for the eye and for assistive
 * technology; the search among them; left-handed; and what comes of what is chosen. Skipped where there is no display.
 */
#include "live-window.h"

#include "bench/profiles.h"
#include "desk/window/parts.h"

#define SKIPPED 77
#define LEAST_COLOURS 4    /* wood, fingerboard, bridge, string; a bare card has one */
#define LEAST_MIRRORED 0.9 /* of the pixels: what is smoothed at an edge may fall another way */

static GtkApplication *app;

static GtkWidget *
part (SlWindow *window, const char *id)
{
  GObject *child = gtk_widget_get_template_child (window->start_page, SL_TYPE_START_PAGE, id);

  g_assert_nonnull (child);
  return GTK_WIDGET (child);
}

static SlWindow *
page_new (void)
{
  SlWindow *window = sl_window_new (app);

  gtk_window_set_default_size (GTK_WINDOW (window), 1024, 768);
  gtk_window_present (GTK_WINDOW (window));
  live_settle (window);
  return window;
}

static GtkWidget *
card_button (GtkWidget *child)
{
  return gtk_flow_box_child_get_child (GTK_FLOW_BOX_CHILD (child));
}

/* What is chosen; NULL: nothing. */
static GtkWidget *
chosen (SlWindow *window)
{
  GtkWidget *found = NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (part (window, "kinds")); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (card_button (child))))
      {
        g_assert_null (found);
        found = card_button (child);
      }
  return found;
}

static gboolean
is_called (GtkWidget *button, const char *title, const char *words)
{
  g_autofree char *wrong =
      gtk_test_accessible_check_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, title);
  g_autofree char *other =
      words == NULL
          ? NULL
          : gtk_test_accessible_check_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, words);

  return wrong == NULL && other == NULL;
}

/* What is seen of a widget, 4 bytes a pixel; free with g_free(). */
static guint32 *
pixels_of (GtkWidget *widget, int *width, int *height)
{
  g_autoptr (GdkPaintable) paintable = gtk_widget_paintable_new (widget);
  GtkSnapshot *snapshot = gtk_snapshot_new ();
  g_autoptr (GdkTexture) texture = NULL;
  GskRenderNode *node;
  guint32 *pixels;

  *width = gdk_paintable_get_intrinsic_width (paintable);
  *height = gdk_paintable_get_intrinsic_height (paintable);
  gdk_paintable_snapshot (paintable, GDK_SNAPSHOT (snapshot), *width, *height);
  node = gtk_snapshot_free_to_node (snapshot);
  g_assert_nonnull (node);
  texture = gsk_renderer_render_texture (gtk_native_get_renderer (gtk_widget_get_native (widget)), node,
                                         &GRAPHENE_RECT_INIT (0, 0, (float) *width, (float) *height));
  gsk_render_node_unref (node);
  pixels = g_new0 (guint32, (gsize) *width * (gsize) *height);
  gdk_texture_download (texture, (guchar *) pixels, (gsize) *width * 4);
  return pixels;
}

/* Every kind there is has a card that is called what it is, says how it is built, and shows a picture of it. */
static void
test_cards (void)
{
  SlWindow *window = page_new ();
  GtkWidget *child = gtk_widget_get_first_child (part (window, "kinds"));

  for (const SlStarting *kind = sl_startings; kind->name != NULL; kind++)
    {
      g_autoptr (GHashTable) colours = g_hash_table_new (NULL, NULL);
      g_autofree guint32 *pixels = NULL;
      int width, height;

      g_assert_nonnull (child);
      g_assert_true (is_called (card_button (child), kind->title, kind->words));
      g_assert_true (gtk_widget_get_can_focus (card_button (child)));
      pixels = pixels_of (live_find (child, GTK_TYPE_DRAWING_AREA), &width, &height);
      for (int i = 0; i < width * height; i++)
        g_hash_table_add (colours, GUINT_TO_POINTER (pixels[i]));
      g_test_message ("%s: %u colours", kind->name, g_hash_table_size (colours));
      g_assert_cmpuint (g_hash_table_size (colours), >=, LEAST_COLOURS);
      child = gtk_widget_get_next_sibling (child);
    }
  g_assert_null (child);
  gtk_window_destroy (GTK_WINDOW (window));
}

/* Enters a search and waits for what is told a moment later. */
static void
search (SlWindow *window, const char *text)
{
  gtk_editable_set_text (GTK_EDITABLE (part (window, "search")), text);
  live_settle (window);
}

static guint
n_shown (SlWindow *window)
{
  guint n = 0;

  for (GtkWidget *child = gtk_widget_get_first_child (part (window, "kinds")); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    n += gtk_widget_get_child_visible (child);
  return n;
}

/* The beginnings of words of a name or a line are found, all of them; what is chosen is seen. */
static void
test_search (void)
{
  static const struct
  {
    const char *text;
    guint n;
    const char *chosen;
  } rows[] = {
    { "ukulele", 4, "Soprano ukulele" },      { "UKU bari", 1, "Baritone ukulele" },
    { "tremolo", 1, "Bolt-on with tremolo" }, { "wheels", 2, "Carved top" },
    { "12 string", 1, "Twelve-string" },      { "8-string", 1, "Eight-string, two scale lengths" },
    { "bass", 3, "Four-string bass" },        { "harp", 0, "Four-string bass" },
    { "  ", 0, "Four-string bass" },
  };
  SlWindow *window = page_new ();
  const guint all = n_shown (window);
  GtkAdjustment *scrolled;

  g_assert_cmpuint (all, >=, 20);
  g_assert_true (is_called (chosen (window), "Steel-string flat-top", NULL));
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      const gboolean blank = rows[i].text[0] == ' ';

      search (window, rows[i].text);
      g_test_message ("“%s”: %u", rows[i].text, n_shown (window));
      g_assert_cmpuint (n_shown (window), ==, blank ? all : rows[i].n);
      g_assert_true (gtk_widget_get_visible (part (window, "none")) == (!blank && rows[i].n == 0));
      g_assert_true (is_called (chosen (window), rows[i].chosen, NULL));
    }
  /* scrolled down, what is found is seen all the same */
  scrolled = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (part (window, "scrolled")));
  gtk_adjustment_set_value (scrolled, gtk_adjustment_get_upper (scrolled));
  g_assert_cmpfloat (gtk_adjustment_get_value (scrolled), >, 0);
  search (window, "mandolin");
  g_assert_cmpfloat (gtk_adjustment_get_value (scrolled), ==, 0);
  g_signal_emit_by_name (part (window, "search"), "stop-search");
  search (window, gtk_editable_get_text (GTK_EDITABLE (part (window, "search"))));
  g_assert_cmpuint (n_shown (window), ==, all);
  gtk_window_destroy (GTK_WINDOW (window));
}

/* Left-handed, the pictures are mirrored, and so is what is put on the bench. */
static void
test_left_handed (void)
{
  SlWindow *window = page_new ();
  GtkWidget *area = live_find (gtk_widget_get_first_child (part (window, "kinds")), GTK_TYPE_DRAWING_AREA);
  int width, height, same = 0, kept = 0;
  g_autofree guint32 *right = pixels_of (area, &width, &height), *left = NULL;

  gtk_check_button_set_active (GTK_CHECK_BUTTON (part (window, "left")), TRUE);
  live_settle (window);
  left = pixels_of (area, &width, &height);
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++)
      {
        same += left[y * width + x] == right[y * width + width - 1 - x];
        kept += left[y * width + x] == right[y * width + x];
      }
  g_test_message ("%.3f of the picture is mirrored", same / (double) (width * height));
  g_assert_cmpfloat (same, >=, LEAST_MIRRORED * width * height);
  g_assert_cmpint (kept, <, same);
  gtk_window_destroy (GTK_WINDOW (window));
}

/* What is chosen is what is begun, of either hand; choosing gives the keyboard to the name. */
static void
test_begins (void)
{
  SlWindow *window = page_new ();

  for (int i = 0; sl_startings[i].name != NULL; i++)
    {
      g_autoptr (SlProfile) wanted = sl_starting_profile (sl_startings[i].name), made = NULL;
      GtkFlowBoxChild *child = gtk_flow_box_get_child_at_index (GTK_FLOW_BOX (part (window, "kinds")), i);

      gtk_check_button_set_active (GTK_CHECK_BUTTON (part (window, "left")), i % 2 == 1);
      g_signal_emit_by_name (gtk_flow_box_child_get_child (child), "clicked");
      g_assert_true (gtk_widget_is_ancestor (gtk_window_get_focus (GTK_WINDOW (window)), part (window, "label_entry")));
      made = sl_start_page_make_profile (SL_START_PAGE (window->start_page));
      g_assert_cmpint (made->n_strings, ==, wanted->n_strings);
      g_assert_cmpfloat (made->neck.scale_length.v, ==, wanted->neck.scale_length.v);
      g_assert_cmpint (made->bridge.kind, ==, wanted->bridge.kind);
      g_assert_cmpint (made->hand, ==, i % 2 == 1 ? SL_HAND_LEFT : SL_HAND_DEFAULT);
      gtk_widget_grab_focus (part (window, "search"));
    }
  gtk_window_destroy (GTK_WINDOW (window));
}

int
main (int argc, char **argv)
{
  int status;

  g_test_init (&argc, &argv, NULL);
  if (!gtk_init_check ())
    return SKIPPED;
  app = live_app_new ();
  g_test_add_func ("/start-page/cards", test_cards);
  g_test_add_func ("/start-page/search", test_search);
  g_test_add_func ("/start-page/left-handed", test_left_handed);
  g_test_add_func ("/start-page/begins", test_begins);
  status = g_test_run ();
  g_object_unref (app);
  return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pictures: what is let in is as large as was said before it was decoded, and so is its copy, which says nothing else.
 */
#include <string.h>

#include "fuzz.h"
#include "photo/image.h"
#include "setup/profile/moment.h"

#define MOST_PIXELS 1000000 /* what is larger is only looked at: to decode it takes time, no other code */
#define SMALL 20            /* px: decoded at that too */

int
LLVMFuzzerInitialize (int *argc, char ***argv)
{
  g_log_set_always_fatal (G_LOG_FATAL_MASK | G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING);
  return 0;
}

static void
check_error (const GError *error)
{
  g_assert_true (error != NULL && error->domain == SL_IMAGE_ERROR && g_utf8_validate (error->message, -1, NULL));
}

static void
check_copy (GBytes *bytes, const SlImageFacts *facts)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) copy = sl_image_stripped (bytes, NULL, &error);
  SlImageFacts now;

  g_assert_no_error (error);
  g_assert_true (sl_image_facts (copy, &now, NULL));
  g_assert_cmpstr (now.ending, ==, facts->ending);
  g_assert_cmpstr (now.taken, ==, "");
  g_assert_true (now.width == facts->width && now.height == facts->height);
}

int
LLVMFuzzerTestOneInput (const guint8 *data, gsize size)
{
  g_autoptr (GBytes) bytes = g_bytes_new_static (data, size);
  g_autoptr (GError) error = NULL;
  g_autoptr (GdkPixbuf) whole = NULL, small = NULL;
  SlImageFacts facts;

  if (!sl_image_facts (bytes, &facts, &error))
    {
      check_error (error);
      return 0;
    }
  g_assert_true (facts.taken[0] == '\0' || sl_is_iso8601 (facts.taken));
  g_assert_true (facts.width > 0 && facts.height > 0 && (gint64) facts.width * facts.height <= SL_IMAGE_MOST_PIXELS);
  if ((gint64) facts.width * facts.height > MOST_PIXELS)
    return 0;
  small = sl_image_decode (bytes, SMALL, NULL, NULL);
  whole = sl_image_decode (bytes, 0, NULL, &error);
  g_assert_true ((small != NULL) == (whole != NULL));
  if (whole == NULL)
    {
      check_error (error);
      return 0;
    }
  g_assert_true (gdk_pixbuf_get_width (whole) == facts.width && gdk_pixbuf_get_height (whole) == facts.height);
  g_assert_cmpint (MAX (gdk_pixbuf_get_width (small), gdk_pixbuf_get_height (small)), <=, SMALL);
  cairo_surface_destroy (sl_image_surface (whole, 80));
  check_copy (bytes, &facts);
  return 0;
}

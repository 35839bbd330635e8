/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Archives taken into an empty shelf: whatever they hold, it ends, nothing but sound profiles and their pictures is in
 * the folder then, and nothing outside it. */
#include <glib/gstdio.h>

#include "file/shelf.h"
#include "fuzz.h"
#include "photo/shelf-archive.h"

int
LLVMFuzzerInitialize (int *argc, char ***argv)
{
  g_log_set_always_fatal (G_LOG_FATAL_MASK | G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING);
  return 0;
}

/* Removes a folder of this test, all files in it, and the files in its folders. */
static void
check_and_remove (const char *folder, gboolean pictures)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);

  for (const char *name; (name = g_dir_read_name (dir)) != NULL;)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);

      g_assert_false (g_file_test (path, G_FILE_TEST_IS_SYMLINK));
      if (g_file_test (path, G_FILE_TEST_IS_DIR))
        {
          g_assert_true (!pictures && g_str_has_suffix (name, SL_DOCUMENT_PHOTOS));
          check_and_remove (path, TRUE);
        }
      else
        {
          g_assert_true (pictures || sl_document_has_name (name));
          g_remove (path);
        }
    }
  g_rmdir (folder);
}

int
LLVMFuzzerTestOneInput (const guint8 *data, gsize size)
{
  g_autofree char *place = g_dir_make_tmp ("sidelong-fuzz-XXXXXX", NULL),
                  *path = g_build_filename (place, "archive", NULL), *inside = g_build_filename (place, "in", NULL);
  g_autoptr (GFile) archive = g_file_new_for_path (path), folder = g_file_new_for_path (inside);
  g_autoptr (GPtrArray) fates = sl_fates_new (), entries = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;
  const SlShop shop = SL_SHOP_DEFAULT;
  SlHowFar how_far = { 0, 0 };

  g_assert_true (g_mkdir (inside, 0700) == 0 && g_file_set_contents (path, (const char *) data, (gssize) size, NULL));
  g_assert_true (sl_shelf_unpack (archive, folder, NULL, &shop, fates, &how_far, NULL, &error) == (error == NULL));
  entries = sl_shelf_read (folder, NULL, &shop, NULL, NULL, NULL, NULL);
  SL_EACH_OF (const SlShelfEntry, entry, entries)
    g_assert_null (entry->fault);
  text = sl_fates_text (fates);
  check_and_remove (inside, FALSE);
  g_remove (path);
  g_assert_true (g_rmdir (place) == 0); /* nothing came out of it */
  return 0;
}

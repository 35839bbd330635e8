/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fuzz.h"

#include <fcntl.h>
#include <stdlib.h>
#include <unistd.h>

#include <glib/gstdio.h>

static GPtrArray *folders; /* their paths */

/* In place of the system's, also for the libraries: nothing that a target writes has to outlast the process, and to
 * wait for a disk is most of what it would do. */
int
fsync (int file)
{
  return 0;
}

void
fuzz_check_text (char *text)
{
  if (text == NULL)
    return;
  if (!g_utf8_validate (text, -1, NULL) || g_regex_match_simple ("\\b(nan|inf)\\b", text, G_REGEX_CASELESS, 0))
    g_error ("This is nothing to read: %s", text);
  g_free (text);
}

static void
remove_folders (void)
{
  for (guint i = 0; i < folders->len; i++)
    {
      g_autoptr (GDir) dir = g_dir_open (folders->pdata[i], 0, NULL);

      for (const char *name; dir != NULL && (name = g_dir_read_name (dir)) != NULL;)
        {
          g_autofree char *path = g_build_filename (folders->pdata[i], name, NULL);

          g_remove (path);
        }
      g_rmdir (folders->pdata[i]);
    }
  g_clear_pointer (&folders, g_ptr_array_unref);
}

char *
fuzz_folder (void)
{
  g_autoptr (GError) error = NULL;
  char *path = g_dir_make_tmp ("sidelong-fuzz-XXXXXX", &error);

  g_assert_no_error (error);
  if (folders == NULL)
    {
      folders = g_ptr_array_new_with_free_func (g_free);
      atexit (remove_folders);
    }
  g_ptr_array_add (folders, g_strdup (path));
  return path;
}

void
fuzz_write (const char *path, gconstpointer data, gsize size)
{
  const int file = g_open (path, O_WRONLY | O_CREAT, 0600);

  g_assert_cmpint (file, >=, 0);
  g_assert_cmpint (write (file, data, size), ==, size);
  g_assert_cmpint (ftruncate (file, (off_t) size), ==, 0);
  close (file);
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Runs a target without libFuzzer, as an ordinary test: over its corpus, then over inputs made of it by chance, from
 * SL_TEST_SEED or a fixed seed. Speaks TAP. Each input is kept in a file while it is tried, so that one that ends the
 * process can be tried again: it is left there, and named.
 *   TARGET ROUNDS FILE-OR-FOLDER... */
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <glib/gstdio.h>

#include "../rounds.h"
#include "fuzz.h"

#define USUAL_SEED 12
#define MOST_CHANGES 8
#define MOST_PIECE 64 /* bytes of a piece that is moved about */

static FILE *tap; /* the target may send standard output elsewhere */
static char *kept_path;
static int kept;

static int
by_name (gconstpointer a, gconstpointer b)
{
  return strcmp (*(char *const *) a, *(char *const *) b);
}

/* The files that were named, and those of folders that were named, in order of name. */
static GPtrArray *
find_files (char **names, int n)
{
  GPtrArray *files = g_ptr_array_new_with_free_func (g_free);

  for (int i = 0; i < n; i++)
    {
      g_autoptr (GDir) dir = g_dir_open (names[i], 0, NULL);

      if (dir == NULL)
        g_ptr_array_add (files, g_strdup (names[i]));
      for (const char *name; dir != NULL && (name = g_dir_read_name (dir)) != NULL;)
        {
          g_autofree char *path = g_build_filename (names[i], name, NULL);

          if (!g_file_test (path, G_FILE_TEST_IS_DIR)) /* of photographs */
            g_ptr_array_add (files, g_steal_pointer (&path));
        }
    }
  g_ptr_array_sort (files, by_name);
  return files;
}

static GPtrArray *
load (const GPtrArray *files)
{
  GPtrArray *corpus = g_ptr_array_new_with_free_func ((GDestroyNotify) g_byte_array_unref);

  for (guint i = 0; i < files->len; i++)
    {
      char *data;
      gsize length;
      g_autoptr (GError) error = NULL;

      g_file_get_contents (files->pdata[i], &data, &length, &error);
      g_assert_no_error (error);
      g_ptr_array_add (corpus, g_byte_array_new_take ((guint8 *) data, length));
    }
  return corpus;
}

static void
try_input (const guint8 *data, gsize size)
{
  /* nothing behind it, so that a sanitizer sees a read beyond its end */
  g_autofree guint8 *own = g_memdup2 (data, size);

  g_assert_cmpint (pwrite (kept, data, size, 0), ==, size);
  g_assert_cmpint (ftruncate (kept, (off_t) size), ==, 0);
  LLVMFuzzerTestOneInput (own, size);
}

/* Changes @input in one place: a bit, a byte, a piece left out, doubled, or brought from @other. */
static void
change (GRand *rand, GByteArray *input, const GByteArray *other)
{
  const GByteArray *from = g_rand_boolean (rand) ? input : other;
  const guint at = input->len > 0 ? (guint) g_rand_int_range (rand, 0, (gint32) input->len) : 0,
              piece_at = from->len > 0 ? (guint) g_rand_int_range (rand, 0, (gint32) from->len) : 0,
              wanted = (guint) g_rand_int_range (rand, 1, MOST_PIECE), length = MIN (wanted, from->len - piece_at);
  g_autofree guint8 *piece = g_memdup2 (from->data + piece_at, length), *rest = NULL;
  guint n_rest;

  switch (input->len > 0 ? g_rand_int_range (rand, 0, 4) : 3)
    {
    case 0: input->data[at] ^= (guint8) (1 << g_rand_int_range (rand, 0, 8)); break;
    case 1: input->data[at] = (guint8) g_rand_int_range (rand, 0, 256); break;
    case 2: g_byte_array_remove_range (input, at, MIN (length, input->len - at)); break;
    default:
      n_rest = input->len - at;
      rest = g_memdup2 (input->data + at, n_rest);
      g_byte_array_set_size (input, at);
      g_byte_array_append (input, piece, length);
      g_byte_array_append (input, rest, n_rest);
    }
}

static void
try_changed (GPtrArray *corpus, int rounds)
{
  const char *wanted = g_getenv ("SL_TEST_SEED");
  const guint32 seed = wanted != NULL ? (guint32) g_ascii_strtoull (wanted, NULL, 10) : USUAL_SEED;
  g_autoptr (GRand) rand = g_rand_new_with_seed (seed);

  for (int i = 0; i < rounds; i++)
    {
      const GByteArray *one = corpus->pdata[g_rand_int_range (rand, 0, (gint32) corpus->len)],
                       *other = corpus->pdata[g_rand_int_range (rand, 0, (gint32) corpus->len)];
      g_autoptr (GByteArray) input = g_byte_array_new ();

      g_byte_array_append (input, one->data, one->len);
      for (int n = g_rand_int_range (rand, 1, MOST_CHANGES + 1); n > 0; n--)
        change (rand, input, other);
      try_input (input->data, input->len);
    }
  fprintf (tap, "# %d changed inputs, seed %u\n", rounds, seed);
}

int
main (int argc, char **argv)
{
  g_autofree char *own_name = g_path_get_basename (argv[0]);

  if (argc < 3)
    {
      fprintf (stderr, "%s ROUNDS FILE-OR-FOLDER...\n", argv[0]);
      return 2;
    }
  tap = fdopen (dup (STDOUT_FILENO), "w");
  setvbuf (tap, NULL, _IOLBF, 0);
  kept_path = g_strdup_printf ("%s/%s-input-%d", g_get_tmp_dir (), own_name, (int) getpid ());
  fprintf (tap, "# an input that ends the test stays in %s\n", kept_path);
  kept = g_open (kept_path, O_WRONLY | O_CREAT | O_TRUNC, 0600);
  g_assert_cmpint (kept, >=, 0);
  g_autoptr (GPtrArray) files = find_files (argv + 2, argc - 2), corpus = load (files);
  LLVMFuzzerInitialize (&argc, &argv);
  for (guint i = 0; i < files->len; i++)
    {
      const GByteArray *input = corpus->pdata[i];

      try_input (input->data, input->len);
      fprintf (tap, "ok %u - %s\n", i + 1, (const char *) files->pdata[i]);
    }
  g_assert_cmpuint (corpus->len, >, 0);
  try_changed (corpus, test_rounds (atoi (argv[1])));
  fprintf (tap, "ok %u - inputs changed by chance\n1..%u\n", files->len + 1, files->len + 1);
  g_remove (kept_path);
  g_clear_pointer (&kept_path, g_free);
  fclose (tap);
  return 0;
}

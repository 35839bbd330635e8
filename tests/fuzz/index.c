/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shelf's index, as it may lie in the cache after a fault of the disk or a hand on it. The first byte chooses how
 * far the rest is let in: as the whole file; below a checksum that fits; as the list of entries below a head that fits;
 * as that list with each entry given the name of the file that lies in the folder and looking current, where the others
 * are of an empty one. Whatever it holds, the shelf lists the files of the folder, with texts that can be shown and
 * kinds that exist. */
#include <string.h>

#include <glib/gstdio.h>

#include "file/shelf.h"
#include "fuzz.h"

#define ENTRIES "a(ayttxxxsssssssssssyyuddd)"
#define FILE_NAME "flat-top" SL_DOCUMENT_EXTENSION

#define CURRENT 3 /* the depth at which entries are of a file there is */

static GFile *empty, *filled, *index_folder, *document;
static SlShop shop;

/* The shelf's readers run one after the other, in the thread there is: to start threads and to wait for them took most
 * of the time. */
GThread *__wrap_g_thread_new (const char *name, GThreadFunc function, gpointer data);
GThread *
__wrap_g_thread_new (const char *name, GThreadFunc function, gpointer data)
{
  function (data);
  return g_thread_ref (g_thread_self ());
}

gpointer __wrap_g_thread_join (GThread *thread);
gpointer
__wrap_g_thread_join (GThread *thread)
{
  g_thread_unref (thread);
  return NULL;
}

static GPtrArray *
read_shelf (GFile *folder)
{
  g_autoptr (GError) error = NULL;
  GPtrArray *entries = sl_shelf_read (folder, index_folder, &shop, NULL, NULL, NULL, &error);

  g_assert_no_error (error);
  return entries;
}

int
LLVMFuzzerInitialize (int *argc, char ***argv)
{
  g_autofree char *first = fuzz_folder (), *second = fuzz_folder (), *third = fuzz_folder ();

  g_log_set_always_fatal (G_LOG_FATAL_MASK | G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING);
  shop = SL_SHOP_DEFAULT;
  empty = g_file_new_for_path (first);
  filled = g_file_new_for_path (second);
  index_folder = g_file_new_for_path (third);
  document = g_file_get_child (filled, FILE_NAME);
  /* no profile: listed with its fault, which is quick */
  g_assert_true (g_file_set_contents (g_file_peek_path (document), "no profile", -1, NULL));
  return 0;
}

/* The entries of a variant that isn't trusted, under the name of the file there is, as it is. */
static GVariant *
make_current (GVariant *entries)
{
  g_autoptr (GFileInfo) info = g_file_query_info (document, SL_SHELF_ATTRIBUTES, G_FILE_QUERY_INFO_NONE, NULL, NULL);
  g_autoptr (SlShelfEntry) now = sl_shelf_entry_load (document, info, &shop, NULL);
  GVariantBuilder list;

  g_variant_builder_init (&list, G_VARIANT_TYPE (ENTRIES));
  for (gsize i = 0; i < MIN (g_variant_n_children (entries), 64); i++)
    {
      g_autoptr (GVariant) entry = g_variant_get_child_value (entries, i);
      GVariantBuilder one;

      g_variant_builder_init (&one, g_variant_get_type (entry));
      g_variant_builder_add (&one, "^ay", now->name);
      g_variant_builder_add (&one, "t", now->size);
      g_variant_builder_add (&one, "t", now->inode);
      g_variant_builder_add (&one, "x", now->modified_us);
      g_variant_builder_add (&one, "x", now->changed_us);
      for (gsize part = 5; part < g_variant_n_children (entry); part++)
        {
          g_autoptr (GVariant) value = g_variant_get_child_value (entry, part);

          g_variant_builder_add_value (&one, value);
        }
      g_variant_builder_add_value (&list, g_variant_builder_end (&one));
    }
  return g_variant_builder_end (&list);
}

/* The list under a head like that of an index of this folder (shelf.c). */
static GVariant *
with_head (GFile *folder, GVariant *entries)
{
  const SlWorkUncertainty *w = &shop.work;
  g_autofree char *uri = g_file_get_uri (folder);

  return g_variant_new ("(usus(dddddddd)@" ENTRIES ")", 3, SL_VERSION, 0x01020304, uri, w->rod_share, w->slot_mm,
                        w->base_mm, w->shape_mm, w->level_mm, w->slot_share, w->base_share, w->shape_share, entries);
}

static void
write_index (GFile *folder, int depth, const guint8 *data, gsize size)
{
  g_autoptr (GBytes) bytes = g_bytes_new (data, size), body = NULL;
  g_autoptr (GByteArray) whole = g_byte_array_new ();
  g_autoptr (GFile) index = sl_shelf_index_file (folder, index_folder);

  body = g_bytes_ref (bytes);
  if (depth >= 2)
    {
      g_autoptr (GVariant) given =
          g_variant_ref_sink (g_variant_new_from_bytes (G_VARIANT_TYPE (ENTRIES), bytes, FALSE));
      g_autoptr (GVariant) head =
          g_variant_ref_sink (with_head (folder, depth == CURRENT ? make_current (given) : given));

      g_bytes_unref (body);
      body = g_variant_get_data_as_bytes (head);
    }
  if (depth >= 1)
    {
      g_autofree char *checksum = g_compute_checksum_for_bytes (G_CHECKSUM_SHA256, body);

      g_byte_array_append (whole, (const guint8 *) checksum, (guint) strlen (checksum));
    }
  g_byte_array_append (whole, g_bytes_get_data (body, NULL), (guint) g_bytes_get_size (body));
  fuzz_write (g_file_peek_path (index), whole->data, whole->len);
}

static void
check_entry (const SlShelfEntry *entry)
{
  const char *const texts[] = { entry->id,      entry->baseline,   entry->label, entry->owner,
                                entry->contact, entry->maker,      entry->model, entry->serial,
                                entry->year,    entry->last_visit, entry->search };
  g_auto (GStrv) words = sl_shelf_words ("harbour");

  g_assert_cmpstr (entry->name, ==, FILE_NAME);
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    g_assert_true (texts[i] != NULL && g_utf8_validate (texts[i], -1, NULL));
  g_assert_cmpuint (entry->kind, <=, SL_KIND_BASELINE);
  g_assert_cmpuint (entry->visit, <=, SL_SHELF_VISIT_CLOSED);
  sl_shelf_entry_matches (entry, words);
}

int
LLVMFuzzerTestOneInput (const guint8 *data, gsize size)
{
  if (size == 0)
    return 0;
  const int depth = data[0] % (CURRENT + 1);
  GFile *folder = depth == CURRENT ? filled : empty;
  write_index (folder, depth, data + 1, size - 1);
  g_autoptr (GPtrArray) entries = read_shelf (folder);
  g_assert_cmpuint (entries->len, ==, depth == CURRENT);
  if (entries->len > 0)
    check_entry (entries->pdata[0]);
  return 0;
}

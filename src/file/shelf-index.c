/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The index of one folder: a checksum of 64 hexadecimal characters, then a GVariant of INDEX_TYPE in this machine's
 * byte order. */
#include "file/shelf-index.h"

#include <string.h>

/* Format, program version, byte order mark, folder, what the shop's work is uncertain by (the figures rest on it),
 * entries: name, size, inode, modified, changed, read; id, baseline, label, owner, contact, maker, model, serial, year,
 * last visit, search; kind, visit, number of visits; action treble, bass, relief. */
#define ENTRY_TYPE "(ayttxxxsssssssssssyyuddd)"
#define WORK_TYPE "(ddddd)"
#define INDEX_TYPE "(usus" WORK_TYPE "a" ENTRY_TYPE ")"
#define INDEX_FORMAT 2
#define BYTE_ORDER_MARK 0x01020304
#define CHECKSUM_CHARS 64
#define MOST_INDEX_BYTES ((gsize) 512 * 1024 * 1024) /* what is larger was not written by us */

/* A file that was changed less than this before it was read could have been changed again within the same tick of its
 * file system's clock (2 s on FAT), so what was read of it is not remembered. */
#define SETTLED_US (3 * G_USEC_PER_SEC)

static gboolean
is_settled (const SlShelfEntry *entry)
{
  return entry->read_us - entry->modified_us > SETTLED_US;
}

static GVariant *
entry_to_variant (const SlShelfEntry *e)
{
  return g_variant_new ("(^ayttxxxsssssssssssyyuddd)", e->name, e->size, e->inode, e->modified_us, e->changed_us,
                        e->read_us, e->id, e->baseline, e->label, e->owner, e->contact, e->maker, e->model, e->serial,
                        e->year, e->last_visit, e->search, (guchar) e->kind, (guchar) e->visit, e->n_visits,
                        e->action_treble, e->action_bass, e->relief);
}

static GVariant *
work_to_variant (const SlWorkUncertainty *work)
{
  return g_variant_new (WORK_TYPE, work->rod_share, work->slot_mm, work->base_mm, work->shape_mm, work->level_mm);
}

void
sl_shelf_index_save (GFile *index, GFile *folder, const SlShop *shop, const GPtrArray *entries)
{
  GVariantBuilder list;
  g_autoptr (GVariant) whole = NULL;
  g_autofree char *uri = g_file_get_uri (folder), *path = g_file_get_path (index), *checksum = NULL;
  g_autoptr (GFile) parent = g_file_get_parent (index);
  g_autofree char *parent_path = parent != NULL ? g_file_get_path (parent) : NULL;
  g_autoptr (GByteArray) bytes = g_byte_array_new ();

  if (path == NULL || parent_path == NULL || g_mkdir_with_parents (parent_path, 0700) != 0)
    return;
  g_variant_builder_init (&list, G_VARIANT_TYPE ("a" ENTRY_TYPE));
  for (guint i = 0; i < entries->len; i++)
    {
      const SlShelfEntry *entry = g_ptr_array_index (entries, i);

      /* Faults are looked at again each time: a permission mends itself without the file changing, and their words are
       * of one language. */
      if (entry->fault == NULL && is_settled (entry))
        g_variant_builder_add_value (&list, entry_to_variant (entry));
    }
  whole = g_variant_ref_sink (g_variant_new ("(usus@" WORK_TYPE "@a" ENTRY_TYPE ")", INDEX_FORMAT, SL_VERSION,
                                             BYTE_ORDER_MARK, uri, work_to_variant (&shop->work),
                                             g_variant_builder_end (&list)));
  checksum = g_compute_checksum_for_data (G_CHECKSUM_SHA256, g_variant_get_data (whole), g_variant_get_size (whole));
  g_byte_array_append (bytes, (const guint8 *) checksum, CHECKSUM_CHARS);
  g_byte_array_append (bytes, g_variant_get_data (whole), (guint) g_variant_get_size (whole));
  g_file_set_contents_full (path, (const char *) bytes->data, bytes->len, G_FILE_SET_CONTENTS_CONSISTENT, 0600, NULL);
}

/* The list in the file, or NULL. */
static GVariant *
read_list (GFile *index, GFile *folder, const SlShop *shop)
{
  g_autofree char *path = g_file_get_path (index), *uri = g_file_get_uri (folder), *checksum = NULL;
  g_autoptr (GMappedFile) mapped = path != NULL ? g_mapped_file_new (path, FALSE, NULL) : NULL;
  g_autoptr (GBytes) bytes = NULL, body = NULL;
  g_autoptr (GVariant) whole = NULL, list = NULL, work = NULL,
                       own_work = g_variant_ref_sink (work_to_variant (&shop->work));
  const char *version, *of;
  guint32 format, mark;

  if (mapped == NULL || g_mapped_file_get_length (mapped) <= CHECKSUM_CHARS ||
      g_mapped_file_get_length (mapped) > MOST_INDEX_BYTES)
    return NULL;
  bytes = g_mapped_file_get_bytes (mapped);
  body = g_bytes_new_from_bytes (bytes, CHECKSUM_CHARS, g_bytes_get_size (bytes) - CHECKSUM_CHARS);
  checksum = g_compute_checksum_for_bytes (G_CHECKSUM_SHA256, body);
  if (memcmp (checksum, g_bytes_get_data (bytes, NULL), CHECKSUM_CHARS) != 0)
    return NULL;
  whole = g_variant_ref_sink (g_variant_new_from_bytes (G_VARIANT_TYPE (INDEX_TYPE), body, FALSE));
  g_variant_get (whole, "(u&su&s@" WORK_TYPE "@a" ENTRY_TYPE ")", &format, &version, &mark, &of, &work, &list);
  if (format != INDEX_FORMAT || mark != BYTE_ORDER_MARK || strcmp (version, SL_VERSION) != 0 || strcmp (of, uri) != 0 ||
      !g_variant_equal (work, own_work))
    return NULL;
  return g_steal_pointer (&list);
}

static SlShelfEntry *
entry_from_variant (GVariant *variant)
{
  SlShelfEntry *e = sl_shelf_entry_new (NULL);
  guchar kind, visit;

  g_variant_get (variant, "(^ayttxxxsssssssssssyyuddd)", &e->name, &e->size, &e->inode, &e->modified_us, &e->changed_us,
                 &e->read_us, &e->id, &e->baseline, &e->label, &e->owner, &e->contact, &e->maker, &e->model, &e->serial,
                 &e->year, &e->last_visit, &e->search, &kind, &visit, &e->n_visits, &e->action_treble, &e->action_bass,
                 &e->relief);
  e->kind = kind;
  e->visit = visit;
  return e;
}

GHashTable *
sl_shelf_index_load (GFile *index, GFile *folder, const SlShop *shop)
{
  GHashTable *known = g_hash_table_new_full (g_str_hash, g_str_equal, NULL, (GDestroyNotify) sl_shelf_entry_unref);
  g_autoptr (GVariant) list = read_list (index, folder, shop);
  gsize n = list != NULL ? g_variant_n_children (list) : 0;

  for (gsize i = 0; i < n; i++)
    {
      g_autoptr (GVariant) child = g_variant_get_child_value (list, i);
      SlShelfEntry *entry = entry_from_variant (child);

      g_hash_table_replace (known, entry->name, entry);
    }
  return known;
}

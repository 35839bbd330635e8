/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A shelf as one archive (docs/format.md, "Archives"): profiles and baselines as their files are, each with its folder
 * of photographs, in a ZIP. Taken in are ZIP and tar, packed or not; nothing in them is trusted, no name leads
 * anywhere, and nothing on the shelf is ever replaced. All of this waits for the disk. */
#pragma once

#include "photo/folder.h"
#include "setup/profile/shop.h"

typedef enum
{
  SL_FATE_TAKEN,   /* it is on the shelf now, as @now */
  SL_FATE_THERE,   /* it was there already, as @now */
  SL_FATE_BESIDE,  /* the shelf has another version of it, @other; this one is beside it, as @now */
  SL_FATE_REFUSED, /* @why */
} SlFate;

/* What became of one file. */
typedef struct
{
  SlFate fate;
  char *name;              /* in the archive, or on the shelf where it did not come into the archive */
  char *now, *other, *why; /* names on the shelf; a sentence without its full stop */
} SlFateOf;

/* An array of SlFateOf that owns them. */
GPtrArray *sl_fates_new (void);

/* "3 new, 1 there already", translated. Free with g_free(). */
char *sl_fates_text (const GPtrArray *fates);

/* How far it is, in profiles or bytes; written in the thread that works, read by g_atomic_int_get() in any. */
typedef struct
{
  gint done, total;
} SlHowFar;

/* Packs the profiles of @folder (@names: of these files alone, which it sorts; NULL: all) and the photographs beside
 * them into @archive, whole or not at all, in place of what is there. The same files, with the same times, give the
 * same bytes. What can't be read is among @fates, and hinders nothing. */
gboolean sl_shelf_pack (GFile *folder, GPtrArray *names, GFile *archive, GPtrArray *fates, SlHowFar *how_far,
                        GCancellable *cancellable, GError **error);

/* Takes an archive's profiles, with their photographs, into @folder. Each file is there whole or not at all, so that
 * what was stopped, at whatever place, is gone on with by another call. @index_folder as of sl_shelf_read(). FALSE
 * where the archive can't be read to its end; @fates has what became of what came before. */
gboolean sl_shelf_unpack (GFile *archive, GFile *folder, GFile *index_folder, const SlShop *shop, GPtrArray *fates,
                          SlHowFar *how_far, GCancellable *cancellable, GError **error);

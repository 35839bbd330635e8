/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/record/photos.h"

#include <string.h>

static gsize
first_line (const char *note)
{
  return note != NULL ? strcspn (note, "\n") : 0;
}

gboolean
sl_photo_same_subject (const SlPhoto *a, const SlPhoto *b)
{
  const gboolean named =
      a->about == SL_ABOUT_FRET ? a->fret > 0 : a->about != SL_ABOUT_BODY && a->about != SL_ABOUT_OTHER;
  const gsize length = first_line (a->note);

  if (a->about != b->about || a->fret != b->fret || a->string != b->string)
    return FALSE;
  return named || a == b || (length > 0 && length == first_line (b->note) && strncmp (a->note, b->note, length) == 0);
}

gboolean
sl_photo_is_before (const SlPhoto *before, const SlPhoto *after)
{
  return before->stage < after->stage && sl_photo_same_subject (before, after);
}

/* The pairs among @photos (of SlPhoto *). */
static GArray *
pairs_among (const GPtrArray *photos)
{
  GArray *pairs = g_array_new (FALSE, FALSE, sizeof (SlPhotoPair));

  for (guint i = 0; i < photos->len; i++)
    {
      const SlPhoto *subject = photos->pdata[i];
      SlPhotoPair pair = { subject, subject };
      gboolean told = FALSE;

      for (guint k = 0; k < photos->len; k++)
        {
          const SlPhoto *other = photos->pdata[k];

          if (!sl_photo_same_subject (subject, other))
            continue;
          told = told || k < i;
          if (other->stage < pair.before->stage)
            pair.before = other;
          if (other->stage >= pair.after->stage)
            pair.after = other;
        }
      if (!told && sl_photo_is_before (pair.before, pair.after))
        g_array_append_val (pairs, pair);
    }
  return pairs;
}

/* Those of a visit that @on_sheet lets through (a bit for each SlOnSheet). */
static GPtrArray *
photos_of (const SlVisit *visit, guint on_sheet)
{
  GPtrArray *photos = g_ptr_array_new ();

  if (visit != NULL)
    SL_EACH (SlPhoto, photo, visit->photos)
      if (on_sheet >> photo->on_sheet & 1)
        g_ptr_array_add (photos, photo);
  return photos;
}

GArray *
sl_photo_pairs (const SlVisit *visit)
{
  g_autoptr (GPtrArray) photos = photos_of (visit, ~0u);

  return pairs_among (photos);
}

GPtrArray *
sl_photo_subjects (const SlProfile *profile)
{
  GPtrArray *subjects = g_ptr_array_new_with_free_func ((GDestroyNotify) g_array_unref);

  SL_EACH (const SlVisit, visit, profile->visits)
    SL_EACH (const SlPhoto, photo, visit->photos)
      {
        const SlPhotoDated dated = { visit, photo };
        GArray *subject = NULL;

        for (guint i = 0; i < subjects->len && subject == NULL; i++)
          if (sl_photo_same_subject (g_array_index ((GArray *) subjects->pdata[i], SlPhotoDated, 0).photo, photo))
            subject = g_ptr_array_steal_index (subjects, i);
        if (subject == NULL)
          subject = g_array_new (FALSE, FALSE, sizeof (SlPhotoDated));
        g_array_append_val (subject, dated);
        g_ptr_array_insert (subjects, 0, subject);
      }
  return subjects;
}

static gboolean
has (GPtrArray *photos, const SlPhoto *photo)
{
  return g_ptr_array_find (photos, photo, NULL);
}

static void
choose (GPtrArray *chosen, const SlPhoto *photo)
{
  if (!has (chosen, photo))
    g_ptr_array_add (chosen, (gpointer) photo);
}

/* Pairs side by side, then the others, the latest stage first: among these none stands before its after. */
static GPtrArray *
in_order (GPtrArray *chosen)
{
  g_autoptr (GArray) pairs = pairs_among (chosen);
  GPtrArray *ordered = g_ptr_array_new ();

  SL_EACH (const SlPhotoPair, pair, pairs)
    {
      choose (ordered, pair->before);
      choose (ordered, pair->after);
    }
  for (int stage = SL_STAGE_FINAL; stage >= SL_STAGE_RECEIVED; stage--)
    SL_EACH_OF (const SlPhoto, photo, chosen)
      if ((int) photo->stage == stage)
        choose (ordered, photo);
  return ordered;
}

GPtrArray *
sl_photos_on_sheet (const SlVisit *visit)
{
  g_autoptr (GPtrArray) chosen = photos_of (visit, 1u << SL_ON_SHEET_YES),
                        open = photos_of (visit, 1u << SL_ON_SHEET_YES | 1u << SL_ON_SHEET_DEFAULT);
  g_autoptr (GArray) pairs = pairs_among (open);

  SL_EACH (const SlPhotoPair, pair, pairs)
    {
      if (chosen->len + !has (chosen, pair->before) + !has (chosen, pair->after) <= SL_SHEET_PHOTOS)
        {
          choose (chosen, pair->before);
          choose (chosen, pair->after);
        }
      g_ptr_array_remove (open, (gpointer) pair->before);
      g_ptr_array_remove (open, (gpointer) pair->after);
    }
  for (int stage = SL_STAGE_FINAL; stage >= SL_STAGE_RECEIVED; stage--)
    SL_EACH_OF (const SlPhoto, photo, open)
      if ((int) photo->stage == stage && stage != SL_STAGE_DURING && chosen->len < SL_SHEET_PHOTOS)
        choose (chosen, photo);
  return in_order (chosen);
}

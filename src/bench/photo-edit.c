/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/photo-edit.h"

#include "bench/readings-question.h"
#include "file/document.h"

#define FOLDER "sl-photo-folder"

void
sl_photos_set_file (SlBench *bench, GFile *file)
{
  g_autoptr (GFile) before = sl_photos_folder (bench), now = NULL;

  g_object_set_data_full (G_OBJECT (bench), FOLDER, file != NULL ? sl_document_photos (file) : NULL, g_object_unref);
  now = sl_photos_folder (bench);
  if (!g_file_equal (before, now))
    g_signal_emit_by_name (bench, "changed", (guint) SL_CHANGED_PHOTOS); /* whoever shows one looks there again */
}

GFile *
sl_photos_state_folder (const char *id)
{
  g_autofree char *path = g_build_filename (g_get_user_state_dir (), "sidelong", "photos", id, NULL);

  return g_file_new_for_path (path);
}

GFile *
sl_photos_folder (SlBench *bench)
{
  GFile *folder = g_object_get_data (G_OBJECT (bench), FOLDER);

  return folder != NULL ? g_object_ref (folder) : sl_photos_state_folder (sl_bench_get_profile (bench)->id);
}

SlPhoto *
sl_photo_find (const SlProfile *profile, const char *id, const SlVisit **visit)
{
  for (guint i = profile->visits->len; i > 0; i--)
    {
      const SlVisit *v = &g_array_index (profile->visits, SlVisit, i - 1);

      SL_EACH (SlPhoto, photo, v->photos)
        if (g_str_equal (photo->id, id))
          {
            if (visit != NULL)
              *visit = v;
            return photo;
          }
    }
  return NULL;
}

char *
sl_photo_add (SlBench *bench, const SlPhoto *photo)
{
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, C_ ("undo step", "add a photograph"), SL_CHANGED_PHOTOS, FALSE);
  SlVisit *visit = sl_profile_need_visit (edit.profile);
  SlPhoto added = sl_photo_copy (photo);

  g_free (added.id);
  added.id = sl_unused_id (edit.profile, "p");
  g_array_append_val (visit->photos, added);
  return g_strdup (added.id);
}

void
sl_photo_replace (SlBench *bench, const char *name, const SlPhoto *photo)
{
  if (sl_photo_find (sl_bench_get_profile (bench), photo->id, NULL) == NULL)
    return;
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, name, SL_CHANGED_PHOTOS, FALSE);
  SlPhoto *at = sl_photo_find (edit.profile, photo->id, NULL), fresh = sl_photo_copy (photo);

  sl_photo_clear (at);
  *at = fresh;
}

void
sl_photo_remove (SlBench *bench, const char *id)
{
  const SlVisit *visit = NULL;

  if (sl_photo_find (sl_bench_get_profile (bench), id, NULL) == NULL)
    return;
  g_auto (SlEdit) edit = sl_bench_begin_edit (bench, C_ ("undo step", "remove a photograph"), SL_CHANGED_PHOTOS, FALSE);
  const SlPhoto *photo = sl_photo_find (edit.profile, id, &visit);

  g_array_remove_index (visit->photos, (guint) (photo - (SlPhoto *) (gpointer) visit->photos->data));
}

gboolean
sl_mark_question (const SlMark *mark, SlQuestion *question)
{
  int ask = 0;

  while (ask < SL_N_READINGS && !g_str_equal (sl_readings[ask].bound.element, sl_measure_names[mark->of]))
    ask++;
  if (ask == SL_N_READINGS)
    return FALSE;
  *question = (SlQuestion){
    .ask = ask,
    .string = sl_readings[ask].has_string ? mark->string : 0,
    .fret = ask == SL_READ_FIRST_GAP    ? 1
            : sl_readings[ask].has_fret ? mark->fret
                                        : 0,
    .held = sl_readings[ask].held == SL_HELD_DEFAULT ? SL_HELD_DEFAULT : MAX (mark->held, SL_HELD_OPEN),
  };
  return TRUE;
}

/* ---- readings out of photographs ---- */

#define MOST_PLACES 3 /* of a length as it is kept */

int
sl_measured_places (double U)
{
  return U > 0 ? CLAMP ((int) ceil (-log10 (U / 2)), 1, MOST_PLACES) : MOST_PLACES;
}

char *
sl_mark_figures (const SlPhoto *photo, const SlMark *mark, double *value, double *U)
{
  SlMeasured measured;
  char *complaint = sl_photo_measure (photo, mark, &measured);

  if (complaint == NULL)
    {
      const double steps = pow (10, sl_measured_places (measured.U));

      *value = round (measured.value * steps) / steps;
      *U = MAX (1, round (measured.U * steps)) / steps;
    }
  return complaint;
}

static gboolean
is_of (const SlPhoto *photo, const SlMark *mark, const SlReading *reading)
{
  double value, U;
  g_autofree char *complaint = sl_mark_figures (photo, mark, &value, &U);

  return complaint == NULL && value == reading->value.v && U == reading->uncertainty.v;
}

/* Whether some mark of the visit that was taken into the set has the figures of @reading. */
static gboolean
is_someones (const SlVisit *visit, const SlReadingSet *set, const SlReading *reading)
{
  SL_EACH (const SlPhoto, photo, visit->photos)
    SL_EACH (const SlMark, mark, photo->marks)
      if (g_strcmp0 (mark->readings, set->id) == 0 && is_of (photo, mark, reading))
        return TRUE;
  return FALSE;
}

SlReading *
sl_mark_reading (const SlVisit *visit, const SlPhoto *photo, const SlMark *mark, const SlReadingSet **set)
{
  SlReading *left = NULL;
  SlQuestion question;

  *set = NULL;
  SL_EACH (const SlReadingSet, s, visit->sets)
    if (g_strcmp0 (s->id, mark->readings) == 0)
      *set = s;
  if (*set == NULL || !sl_mark_question (mark, &question))
    return NULL;
  const SlReading asked = sl_question_reading (&question);

  SL_EACH (SlReading, reading, (*set)->readings)
    {
      if (!sl_number_is_set (reading->uncertainty) || !sl_reading_same_question (reading, &asked))
        continue;
      if (is_of (photo, mark, reading))
        return reading;
      if (left == NULL && !is_someones (visit, *set, reading))
        left = reading;
    }
  return left;
}

typedef struct
{
  const char *id, *set;
  guint nth;
  SlReading reading;
} Taken;

static void
take (SlProfile *profile, SlVisit *visit, SlReadingSet *last, gpointer data)
{
  const Taken *taken = data;
  SlPhoto *photo = sl_photo_find (profile, taken->id, NULL);
  SlMark *mark = &g_array_index (photo->marks, SlMark, taken->nth);
  const SlReadingSet *set = NULL;
  SlReading *before = g_strcmp0 (mark->readings, taken->set) == 0 ? sl_mark_reading (visit, photo, mark, &set) : NULL;

  g_free (mark->readings);
  mark->readings = g_strdup (taken->set);
  if (before != NULL)
    {
      before->value = taken->reading.value;
      before->uncertainty = taken->reading.uncertainty;
      return;
    }
  SL_EACH (const SlReadingSet, s, visit->sets)
    if (g_str_equal (s->id, taken->set))
      {
        guint place = s->readings->len;

        while (place > 0 && g_array_index (s->readings, SlReading, place - 1).kind > taken->reading.kind)
          place--;
        g_array_insert_val (s->readings, place, taken->reading);
      }
}

char *
sl_photo_take_reading (SlBench *bench, const char *id, guint nth)
{
  const SlVisit *visit = NULL, *last = sl_bench_get_visit (bench);
  const SlPhoto *photo = sl_photo_find (sl_bench_get_profile (bench), id, &visit);
  Taken taken = { .id = id, .nth = nth };
  SlQuestion question;
  double value, U;

  if (photo == NULL || nth >= photo->marks->len)
    return g_strdup (_ ("There is no such mark."));
  const SlMark *mark = &g_array_index (photo->marks, SlMark, nth);

  if (!sl_mark_question (mark, &question))
    return g_strdup (_ ("This is no reading: it stays with the picture."));
  if (visit != last || visit->closed != NULL)
    return g_strdup (_ ("The photograph is of a visit that is over: what is measured in it stays with the picture."));
  if (sl_readings[question.ask].has_string && question.string == 0)
    return g_strdup (_ ("Which string was it? It has to be chosen first."));
  if (sl_readings[question.ask].has_fret && question.fret == 0)
    return g_strdup (_ ("Which fret was it? It has to be chosen first."));
  char *complaint = sl_mark_figures (photo, mark, &value, &U);

  if (complaint != NULL)
    return complaint;
  taken.reading = sl_question_reading (&question);
  taken.reading.held = question.held == SL_HELD_OPEN ? SL_HELD_DEFAULT : question.held;
  taken.reading.value = sl_number (value);
  taken.reading.uncertainty = sl_number (U);
  g_autofree char *step = sl_question_step_name (&question), *set = NULL;
  const gboolean fresh = sl_bench_get_set (bench) == NULL;

  sl_bench_begin_gesture (bench, step);
  if (fresh)
    {
      const SlEdit begun = sl_bench_begin_edit (bench, step, SL_CHANGED_READINGS, TRUE);

      sl_bench_end_edit (&begun);
    }
  set = g_strdup (sl_bench_get_set (bench)->id);
  taken.set = set;
  complaint = sl_checked_edit (bench, step, SL_CHANGED_READINGS | SL_CHANGED_PHOTOS, take, &taken);
  sl_bench_end_gesture (bench);
  if (complaint != NULL && fresh)
    sl_bench_undo (bench);
  return complaint;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/photo-take.h"

#include <errno.h>

#include "bench/settings.h"
#include "file/document.h"
#include "setup/record/photos.h"
#include "words/dates.h"
#include "words/one-line.h"
#include "words/photos.h"

#define MANY 4                    /* pictures: with so many it is said that they are on their way */
#define MOST_REASONS 5            /* of refused files that are told together */
#define TAKING "sl-photos-taking" /* of the bench: how often it takes pictures in just now */
#define LOOKED_AT "standard::name,standard::type,standard::size,time::modified,time::modified-usec"

SlPhoto
sl_photo_guess (SlBench *bench, const char *line)
{
  const SlReadingSet *set = sl_bench_get_set (bench);
  SlPhoto photo = sl_photo_init ();

  photo.stage = set != NULL ? set->stage : SL_STAGE_RECEIVED;
  for (photo.about = 0; line != NULL && photo.about < SL_ABOUT_OTHER; photo.about++)
    for (photo.fret = 0; photo.fret <= (photo.about == SL_ABOUT_FRET ? SL_MAX_FRETS : 0); photo.fret++)
      {
        g_autofree char *title = sl_photo_title (&photo);

        if (g_utf8_collate (title, line) == 0)
          return photo;
      }
  photo.note = g_strdup (line);
  photo.fret = line == NULL ? sl_bench_get_held (bench) : 0;
  photo.string = photo.fret > 0 ? sl_bench_get_string (bench) : 0; /* some string always is shown */
  photo.about = photo.fret > 0 ? SL_ABOUT_FRET : SL_ABOUT_OTHER;
  return photo;
}

/* ---- one picture ---- */

typedef struct
{
  GFile *file; /* or bytes that have none */
  GBytes *bytes;
  char *kept, *taken, *why; /* its name in the folder; when, ISO 8601; a sentence if it was refused */
} Taking;

static void
taking_clear (Taking *taking)
{
  g_clear_object (&taking->file);
  g_clear_pointer (&taking->bytes, g_bytes_unref);
  g_free (taking->kept);
  g_free (taking->taken);
  g_free (taking->why);
}

/* When the file was written goes into @taking, too. */
static GBytes *
read_file (Taking *taking, GError **error)
{
  g_autoptr (GFileInfo) info = g_file_query_info (taking->file, LOOKED_AT, G_FILE_QUERY_INFO_NONE, NULL, NULL);
  g_autoptr (GDateTime) time = info != NULL ? g_file_info_get_modification_date_time (info) : NULL,
                        here = time != NULL ? g_date_time_to_local (time) : NULL;
  g_autoptr (GFile) folder = g_file_get_parent (taking->file);
  g_autofree char *name = g_file_get_basename (taking->file);

  g_clear_pointer (&taking->taken, g_free);
  if (here != NULL)
    taking->taken = g_date_time_format (here, "%Y-%m-%dT%H:%M:%S%:z");
  if (folder != NULL && name != NULL)
    return sl_photo_bytes (folder, name, NULL, error);
  g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_NOT_SUPPORTED, g_strerror (ENOTSUP)); /* a place of no folder */
  return NULL;
}

/* The name of the file of @folder that has just these bytes; NULL: none. */
static char *
find_same (GFile *folder, GBytes *bytes)
{
  g_autoptr (GListModel) files = sl_photos_of_folder (folder, NULL);

  for (guint i = 0; i < g_list_model_get_n_items (files); i++)
    {
      g_autoptr (GFile) file = g_list_model_get_item (files, i);
      g_autoptr (GFileInfo) info = g_file_query_info (file, LOOKED_AT, G_FILE_QUERY_INFO_NOFOLLOW_SYMLINKS, NULL, NULL);
      g_autoptr (GBytes) others = info != NULL && g_file_info_get_size (info) == (goffset) g_bytes_get_size (bytes)
                                      ? g_file_load_bytes (file, NULL, NULL, NULL)
                                      : NULL;

      if (others != NULL && g_bytes_equal (bytes, others))
        return g_file_get_basename (file);
    }
  return NULL;
}

/* What a photograph's file is called, without its ending: "fret-3-string-2". */
static char *
stem_of (const SlPhoto *photo)
{
  GString *stem = g_string_new (photo->about == SL_ABOUT_OTHER ? "picture" : sl_about_names[photo->about]);

  if (photo->fret > 0)
    g_string_append_printf (stem, photo->about == SL_ABOUT_FRET ? "-%d" : "-fret-%d", photo->fret);
  if (photo->string > 0)
    g_string_append_printf (stem, "-string-%d", photo->string);
  return g_string_free (stem, FALSE);
}

/* Keeps its bytes in @folder, unless they are there already, under a name made of what @like shows. It was taken when
 * the camera says so, else when the file was last written. */
static void
keep (Taking *taking, GFile *folder, const SlPhoto *like)
{
  g_autofree char *stem = stem_of (like);
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = taking->bytes != NULL ? g_bytes_ref (taking->bytes) : read_file (taking, &error);
  SlImageFacts facts = { 0 };

  g_clear_pointer (&taking->kept, g_free); /* of another folder */
  g_clear_pointer (&taking->why, g_free);
  if (bytes != NULL && sl_image_facts (bytes, &facts, &error))
    {
      taking->kept = find_same (folder, bytes);
      if (taking->kept == NULL)
        taking->kept = sl_photo_keep (folder, stem, bytes, NULL, &error);
    }
  if (taking->taken == NULL || *facts.taken != '\0')
    {
      g_free (taking->taken);
      taking->taken = *facts.taken != '\0' ? g_strdup (facts.taken) : sl_now_iso ();
    }
  if (error != NULL)
    taking->why = sl_one_line (error->message);
}

/* ---- all of them ---- */

/* The photograph of whichever visit that names a file; NULL: none. */
static const SlPhoto *
find_named (const SlProfile *profile, const char *file)
{
  SL_EACH (const SlVisit, visit, profile->visits)
    SL_EACH (const SlPhoto, photo, visit->photos)
      if (g_str_equal (photo->file, file))
        return photo;
  return NULL;
}

/* What was refused, each by its name; NULL: nothing. */
static char *
reasons (const GArray *takings)
{
  g_autoptr (GPtrArray) lines = g_ptr_array_new_with_free_func (g_free);

  SL_EACH (const Taking, taking, takings)
    if (taking->why != NULL)
      {
        g_autofree char *name = taking->file != NULL ? g_file_get_basename (taking->file) : NULL,
                        *shown = name != NULL ? sl_shown_name (name) : g_strdup (_ ("What was pasted"));

        /* Translators: a file's name and, as a sentence, why its picture was not taken in */
        g_ptr_array_add (lines, g_strdup_printf (_ ("“%s” was not taken in: %s"), shown, taking->why));
      }
  const int more = (int) lines->len - MOST_REASONS;

  if (more > 0)
    {
      g_ptr_array_set_size (lines, MOST_REASONS);
      g_ptr_array_add (lines, g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "Neither was %d more.",
                                                            "Neither were %d more.", (gulong) more),
                                               more));
    }
  g_ptr_array_add (lines, NULL);
  return lines->len > 1 ? g_strjoinv ("\n", (char **) lines->pdata) : NULL;
}

typedef struct
{
  GFile *folder;
  GArray *takings; /* of Taking */
  SlPhoto like;
} Job;

static void
job_free (Job *job)
{
  g_object_unref (job->folder);
  g_array_unref (job->takings);
  sl_photo_clear (&job->like);
  g_free (job);
}

static void
keep_in_thread (GTask *task, gpointer bench, gpointer data, GCancellable *cancellable)
{
  const Job *job = data;

  SL_EACH (Taking, taking, job->takings)
    keep (taking, job->folder, &job->like);
  g_task_return_boolean (task, TRUE);
}

gboolean
sl_photos_being_taken (SlBench *bench)
{
  return g_object_get_data (G_OBJECT (bench), TAKING) != NULL;
}

static void
count_jobs (SlBench *bench, int more)
{
  const int n = GPOINTER_TO_INT (g_object_get_data (G_OBJECT (bench), TAKING)) + more;

  g_object_set_data (G_OBJECT (bench), TAKING, GINT_TO_POINTER (n));
}

static void on_kept (GObject *object, GAsyncResult *result, gpointer data);

static void
start (SlBench *bench, GArray *takings, SlPhoto like)
{
  const Job job = { sl_photos_folder (bench), takings, like };

  count_jobs (bench, 1);
  sl_run_in_thread (bench, NULL, keep_in_thread, g_memdup2 (&job, sizeof job), (GDestroyNotify) job_free, on_kept,
                    NULL);
}

/* What was kept goes into the document as one step. Where the profile was saved meanwhile, and its folder is another
 * one, it is kept there first. */
static void
on_kept (GObject *object, GAsyncResult *result, gpointer data)
{
  SlBench *bench = SL_BENCH (object);
  const Job *job = g_task_get_task_data (G_TASK (result));
  const SlPhoto *like = &job->like;
  g_autoptr (GFile) folder = sl_photos_folder (bench);
  int n = 0;

  count_jobs (bench, -1);
  if (!g_file_equal (folder, job->folder))
    {
      start (bench, g_array_ref (job->takings), sl_photo_copy (like));
      return;
    }
  sl_bench_begin_gesture (bench, C_ ("undo step", "add photographs"));
  SL_EACH (Taking, taking, job->takings)
    {
      const SlProfile *profile = sl_bench_get_profile (bench);
      const SlPhoto *there = taking->kept != NULL ? find_named (profile, taking->kept) : NULL,
                    *found = like->id != NULL ? sl_photo_find (profile, like->id, NULL) : NULL;
      SlPhoto photo = found != NULL ? *found : *like; /* what it holds is copied */

      if (there != NULL && there != found)
        {
          g_autofree char *caption = sl_photo_caption (there);

          taking->why = g_strdup_printf (_ ("The same picture is here already: %s."), caption);
        }
      if (taking->kept == NULL || taking->why != NULL)
        continue;
      photo.file = taking->kept;
      if (found == NULL)
        {
          photo.taken = taking->taken;
          g_free (sl_photo_add (bench, &photo));
        }
      else
        sl_photo_replace (bench, C_ ("undo step", "find a photograph’s file"), &photo);
    }
  sl_bench_end_gesture (bench);
  SL_EACH (const Taking, taking, job->takings) /* all but what would be too many, which was told */
    n += taking->why == NULL && taking->kept != NULL && find_named (sl_bench_get_profile (bench), taking->kept) != NULL;
  g_autofree char *why = reasons (job->takings),
                  *told = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%d picture was taken into the visit.",
                                                        "%d pictures were taken into the visit.", (gulong) n),
                                           n);

  if (n > 0)
    g_signal_emit_by_name (bench, "told", told);
  if (why != NULL)
    g_signal_emit_by_name (bench, "refused", why);
}

void
sl_photos_take (SlBench *bench, GListModel *files, GBytes *bytes, const SlPhoto *like)
{
  const guint n = files != NULL ? g_list_model_get_n_items (files) : 1;
  GArray *takings = g_array_new (FALSE, FALSE, sizeof (Taking));

  g_array_set_clear_func (takings, (GDestroyNotify) taking_clear);
  for (guint i = 0; i < n; i++)
    {
      const Taking taking = { files != NULL ? g_list_model_get_item (files, i) : NULL,
                              bytes != NULL ? g_bytes_ref (bytes) : NULL };

      g_array_append_val (takings, taking);
    }
  if (n >= MANY)
    {
      g_autofree char *told = g_strdup_printf (_ ("Taking in %u pictures…"), n);

      g_signal_emit_by_name (bench, "told", told);
    }
  start (bench, takings, like != NULL ? sl_photo_copy (like) : sl_photo_guess (bench, NULL));
}

/* ---- folders ---- */

gboolean
sl_photo_has_ending (const char *name)
{
  const char *dot = strrchr (name, '.');

  return dot != NULL && *name != '.' &&
         (g_ascii_strcasecmp (dot, ".jpg") == 0 || g_ascii_strcasecmp (dot, ".jpeg") == 0 ||
          g_ascii_strcasecmp (dot, ".png") == 0);
}

static int
compare_written (gconstpointer a, gconstpointer b, gpointer data)
{
  const gint64 *when = g_object_get_data (G_OBJECT (a), "written"), *then = g_object_get_data (G_OBJECT (b), "written");

  return (*then > *when) - (*then < *when);
}

GListModel *
sl_photos_of_folder (GFile *folder, const SlProfile *profile)
{
  g_autoptr (GFileEnumerator) files =
      g_file_enumerate_children (folder, LOOKED_AT, G_FILE_QUERY_INFO_NOFOLLOW_SYMLINKS, NULL, NULL);
  GListStore *found = g_list_store_new (G_TYPE_FILE);
  GFileInfo *info;
  GFile *file;

  while (files != NULL && g_file_enumerator_iterate (files, &info, &file, NULL, NULL) && info != NULL)
    if (g_file_info_get_file_type (info) == G_FILE_TYPE_REGULAR && sl_photo_has_ending (g_file_info_get_name (info)) &&
        (profile == NULL || find_named (profile, g_file_info_get_name (info)) == NULL))
      {
        g_autoptr (GDateTime) time = g_file_info_get_modification_date_time (info);
        const gint64 written =
            time != NULL ? g_date_time_to_unix (time) * G_USEC_PER_SEC + g_date_time_get_microsecond (time) : 0;

        g_object_set_data_full (G_OBJECT (file), "written", g_memdup2 (&written, sizeof written), g_free);
        g_list_store_insert_sorted (found, file, compare_written, NULL);
      }
  return G_LIST_MODEL (found);
}

static void
look_in_thread (GTask *task, gpointer folder, gpointer profile, GCancellable *cancellable)
{
  g_task_return_pointer (task, sl_photos_of_folder (folder, profile), g_object_unref);
}

void
sl_photos_look (GFile *folder, const SlProfile *profile, GAsyncReadyCallback done, gpointer data)
{
  sl_run_in_thread (folder, NULL, look_in_thread, profile != NULL ? sl_profile_copy (profile) : NULL,
                    (GDestroyNotify) sl_profile_free, done, data);
}

/* ---- the usual pictures ---- */

char **
sl_usual_pictures (void)
{
  const char *const usual[] = { _ ("Front"),
                                _ ("Back"),
                                _ ("Headstock"),
                                _ ("Frets 1–5"),
                                sl_about_title (SL_ABOUT_NUT),
                                sl_about_title (SL_ABOUT_SADDLE),
                                sl_about_title (SL_ABOUT_BRIDGE),
                                NULL };
  char **kept = sl_settings_get_strings (SL_SETTING_USUAL_PICTURES, usual);

  if (kept[0] != NULL)
    return kept;
  g_strfreev (kept);
  return g_strdupv ((char **) usual);
}

gboolean
sl_photo_is_there (SlBench *bench, const SlPhoto *photo)
{
  const SlVisit *visit = sl_bench_get_visit (bench);

  if (visit != NULL)
    SL_EACH (const SlPhoto, other, visit->photos)
      if (other->stage == photo->stage && sl_photo_same_subject (other, photo))
        return TRUE;
  return FALSE;
}

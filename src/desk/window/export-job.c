/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/window/parts.h"

#include "bench/photo-edit.h"
#include "bench/shop-lists.h"
#include "draw/draw.h"
#include "file/document.h"
#include "setup/record/outcome.h"

/* All a thread needs, copied from the bench, and what it made of it. */
typedef struct
{
  SlProfile *profile;
  int set; /* of the last visit's, the one that is shown; −1: none */
  SlShop shop;
  SlExportKind kind;
  SlExportTarget target;
  SlExportChoices choices;
  SlPictureOptions picture;
  SlHandoverOptions *sheet; /* NULL for the others */
  GFile *photos;            /* of the sheet; NULL: none are wanted */
  SlTemplateOptions templates;
  SlExportOutcome outcome;
} Job;

static void
job_free (Job *job)
{
  sl_profile_free (job->profile);
  g_clear_object (&job->target.file);
  g_clear_object (&job->target.profile);
  g_clear_pointer (&job->sheet, sl_handover_options_free);
  g_clear_object (&job->photos);
  g_ptr_array_unref (job->outcome.files);
  g_clear_pointer (&job->outcome.bytes, g_bytes_unref);
  g_free (job->outcome.left_out);
  g_free (job);
}

char *
sl_export_table (const SlProfile *profile, const SlShop *shop, char separator)
{
  SlOutcome outcome;
  char *table;

  sl_outcome_init (&outcome, profile, NULL, shop);
  table = sl_outcome_table (&outcome, separator);
  sl_outcome_clear (&outcome);
  return table;
}

/* ---- in the thread ---- */

/* Pixels a unit for what is @width units wide. */
static double
chosen_scale (const Job *job, double width, double proposed)
{
  return job->choices.png_width > 0 ? job->choices.png_width / width : proposed;
}

static gboolean
put (Job *job, GFile *file, GBytes *bytes, GCancellable *cancellable, GError **error)
{
  const gboolean chosen = job->outcome.n_pages == 1; /* by a person, who was asked about what is there */

  if (bytes == NULL)
    return FALSE; /* with its error */
  if (file == NULL)
    job->outcome.bytes = g_bytes_ref (bytes);
  else if (job->target.profile != NULL && sl_file_is (file, job->target.profile))
    {
      g_autofree char *shown = g_file_get_parse_name (file);

      g_set_error (error, G_IO_ERROR, G_IO_ERROR_FAILED,
                   _ ("“%s” is the profile itself, which would be lost; write to another file"), shown);
      return FALSE;
    }
  else if (!sl_file_replace (file, bytes, NULL, chosen || job->target.replaces_pages, cancellable, error))
    return FALSE;
  else
    g_ptr_array_add (job->outcome.files, g_object_ref (file));
  return TRUE;
}

static gboolean
put_picture (Job *job, GCancellable *cancellable, GError **error)
{
  const SlVisit *visit = sl_profile_last_visit (job->profile);
  const SlReadingSet *set = job->set < 0 ? NULL : &g_array_index (visit->sets, SlReadingSet, job->set);
  g_autoptr (SlAnalysis) analysis = g_new0 (SlAnalysis, 1);
  g_autoptr (GBytes) bytes = NULL;

  sl_analyse (job->profile, visit, set, &job->shop, analysis);
  bytes = sl_picture_render (analysis, &job->picture, job->target.format,
                             chosen_scale (job, job->picture.width, SL_EXPORT_PNG_SCALE), error);
  return put (job, job->target.file, bytes, cancellable, error);
}

/* "sheet.svg" becomes "sheet-2.svg" for the second page of several. */
static GFile *
page_file (GFile *file, int page, int n_pages)
{
  g_autofree char *name = g_file_get_basename (file), *numbered = NULL;
  g_autoptr (GFile) folder = g_file_get_parent (file);
  char *dot = strrchr (name, '.');

  if (n_pages == 1 || dot == NULL || folder == NULL)
    return g_object_ref (file);
  numbered = g_strdup_printf ("%.*s-%d%s", (int) (dot - name), name, page + 1, dot);
  return g_file_get_child (folder, numbered);
}

/* Whether no page's file is there yet: a person chose a name that none of them has. */
static gboolean
pages_are_free (Job *job, GError **error)
{
  g_autoptr (GString) there = g_string_new (NULL);

  for (int page = 0; page < job->outcome.n_pages; page++)
    {
      g_autoptr (GFile) file = page_file (job->target.file, page, job->outcome.n_pages);
      g_autofree char *name = g_file_get_basename (file), *shown = g_filename_display_name (name);

      if (g_file_query_exists (file, NULL))
        g_string_append_printf (there, "%s“%s”", there->len > 0 ? ", " : "", shown);
    }
  if (there->len > 0)
    /* Translators: %s are files, of which some are there */
    g_set_error (error, G_IO_ERROR, G_IO_ERROR_EXISTS,
                 _ ("Each page is a file, and there is one already: %s. Nothing was written."), there->str);
  return there->len == 0;
}

static gboolean
put_pages (Job *job, const SlPages *pages, double png_scale, GCancellable *cancellable, GError **error)
{
  const gboolean pdf = job->target.format == SL_FORMAT_PDF;

  job->outcome.n_pages = pdf ? 1 : pages->n_pages;
  if (job->outcome.n_pages > 1 && !job->target.replaces_pages && !pages_are_free (job, error))
    return FALSE;
  for (int page = 0; page < job->outcome.n_pages; page++)
    {
      g_autoptr (GBytes) bytes = NULL;
      g_autoptr (GFile) file = page_file (job->target.file, page, job->outcome.n_pages);

      if (g_cancellable_set_error_if_cancelled (cancellable, error))
        return FALSE;
      bytes = pdf ? sl_pages_pdf (pages, error) : sl_pages_picture (pages, page, job->target.format, png_scale, error);
      if (!put (job, file, bytes, cancellable, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
put_sheet (Job *job, GCancellable *cancellable, GError **error)
{
  g_autoptr (SlPages) pages = NULL;
  double width, height;

  job->outcome.left_out = sl_handover_load_photos (job->sheet, job->profile, job->photos, cancellable);
  if (g_cancellable_set_error_if_cancelled (cancellable, error))
    return FALSE;
  pages = sl_handover_new (job->profile, job->sheet);
  if (job->target.as_pages)
    {
      job->outcome.pages = g_steal_pointer (&pages);
      return TRUE;
    }
  sl_pages_size (pages, 0, &width, &height);
  return put_pages (job, pages, chosen_scale (job, width, SL_EXPORT_PAGE_PNG_SCALE), cancellable, error);
}

static gboolean
put_templates (Job *job, GCancellable *cancellable, GError **error)
{
  g_autoptr (SlPages) pages = sl_template_new (job->profile, &job->templates, error);

  if (pages == NULL)
    return FALSE;
  job->outcome.left_out = g_strdup (pages->left_out);
  return put_pages (job, pages, SL_EXPORT_PAGE_PNG_SCALE, cancellable, error);
}

static gboolean
put_table (Job *job, GCancellable *cancellable, GError **error)
{
  char *table = sl_export_table (job->profile, &job->shop, ',');
  g_autoptr (GBytes) bytes = g_bytes_new_take (table, strlen (table));

  return put (job, job->target.file, bytes, cancellable, error);
}

static void
export_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  static gboolean (*const puts[]) (Job * job, GCancellable * cancellable,
                                   GError * *error) = { [SL_EXPORT_PICTURE] = put_picture,
                                                        [SL_EXPORT_SHEET] = put_sheet,
                                                        [SL_EXPORT_TEMPLATES] = put_templates,
                                                        [SL_EXPORT_TABLE] = put_table };
  Job *job = data;
  GError *error = NULL;

  if (puts[job->kind](job, cancellable, &error))
    g_task_return_boolean (task, TRUE);
  else
    g_task_return_error (task, error);
}

/* ---- around it ---- */

void
sl_export_async (gpointer source, SlBench *bench, SlExportKind kind, const SlExportTarget *target,
                 const SlExportChoices *choices, GCancellable *cancellable, GAsyncReadyCallback done, gpointer data)
{
  g_autoptr (GTask) task = g_task_new (source, cancellable, done, data);
  const SlReadingSet *set = sl_bench_get_set (bench);
  Job *job = g_new0 (Job, 1);

  job->profile = sl_profile_copy (sl_bench_get_profile (bench));
  job->set = set == NULL ? -1 : (int) (set - &g_array_index (sl_bench_get_visit (bench)->sets, SlReadingSet, 0));
  job->shop = sl_bench_get_analysis (bench)->shop;
  job->kind = kind;
  job->target = *target;
  job->target.file = target->file != NULL ? g_object_ref (target->file) : NULL;
  job->target.profile = target->profile != NULL ? g_object_ref (target->profile) : NULL;
  job->choices = *choices;
  job->outcome.n_pages = 1;
  job->outcome.files = g_ptr_array_new_with_free_func (g_object_unref);
  sl_picture_options_init (&job->picture);
  job->picture.kind = SL_PICTURE_ALL;
  job->picture.width = SL_EXPORT_SHEET_WIDTH;
  job->picture.height = SL_EXPORT_SHEET_HEIGHT;
  job->picture.string = sl_bench_get_string (bench);
  job->picture.held = sl_bench_get_held (bench);
  job->picture.height_factor = sl_bench_get_height_factor (bench);
  job->picture.lengths = sl_bench_get_lengths (bench);
  job->picture.decimal = sl_decimal_sign ();
  if (kind == SL_EXPORT_SHEET)
    job->sheet = sl_handover_options_of_bench (bench);
  if (job->sheet != NULL && sl_handover_shows_photos ())
    job->photos = sl_photos_folder (bench);
  sl_template_options_of_bench (bench, choices->half_tiles, &job->templates);
  g_task_set_task_data (task, job, (GDestroyNotify) job_free);
  g_task_set_check_cancellable (task, FALSE); /* what was written is told, also where it was the last */
  sl_run_task (task, export_in_thread);
}

gboolean
sl_export_finish (GAsyncResult *result, const SlExportOutcome **outcome, GError **error)
{
  *outcome = &((Job *) g_task_get_task_data (G_TASK (result)))->outcome;
  return g_task_propagate_boolean (G_TASK (result), error);
}

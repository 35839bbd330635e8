/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The photographs of profiles: which there are, how their files are, what was measured in them; copies of them that may
 * leave the shop; and a whole profile copied with them. */
#include "calc.h"
#include "photo/folder.h"
#include "photo/measure.h"
#include "words/dates.h"
#include "words/one-line.h"
#include "words/photos.h"

#define LOOK_SIDE 256 /* px: a picture that can be decoded so small is whole */
#define PLACES 3
#define PERCENT 100.0

static char *output;
static gboolean detail;
const GOptionEntry sl_photos_entries[] = {
  { "output", 'o', 0, G_OPTION_ARG_FILENAME, &output,
    N_ ("Write copies of one profile's photographs into this folder, without place and names"), N_ ("FOLDER") },
  { "detail", 'd', 0, G_OPTION_ARG_NONE, &detail, N_ ("With csv, what was measured, in place of the photographs"),
    NULL },
  { NULL },
};
const GOptionEntry sl_copy_entries[] = {
  { "output", 'o', 0, G_OPTION_ARG_FILENAME, &output, N_ ("The profile to write; none is replaced"),
    N_ ("NEW.sidelong") },
  { NULL },
};

/* What CSV says of a file that isn't sound, in the order of SlImageFault. */
static const char *const fault_names[] = { "missing", "foreign", "broken", "broken", "too-large" };

/* ---- CSV ---- */

static void
append_count (GString *out, int n)
{
  if (n > 0)
    g_string_append_printf (out, "%d", n);
  g_string_append_c (out, ',');
}

static void
append_photo_csv (GString *out, const SlVisit *visit, const SlPhoto *photo, const SlImageFacts *facts,
                  const GError *fault)
{
  const char *const texts[] = { visit->id, photo->id, photo->file, photo->taken != NULL ? photo->taken : "" };
  const int counts[] = { photo->fret, photo->string, facts->width, facts->height };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    sl_csv_field (out, texts[i], ',');
  g_string_append_printf (out, "%s,%s,", sl_stage_names[photo->stage], sl_about_names[photo->about]);
  for (gsize i = 0; i < G_N_ELEMENTS (counts); i++)
    append_count (out, counts[i]);
  g_string_append_printf (out, "%s,%u,", fault == NULL ? "sound" : fault_names[fault->code], photo->marks->len);
  sl_csv_field (out, photo->note != NULL ? photo->note : "", '\n');
}

static void
append_mark_csv (GString *out, const SlPhoto *photo, const SlMark *mark)
{
  SlMeasured m = { NAN, NAN, NAN, NAN, NAN, NAN };
  g_autofree char *fault = sl_photo_measure (photo, mark, &m);
  const double figures[] = { m.value, m.U, m.u_scale, m.u_edges, m.u_blur, m.u_plane };

  sl_csv_field (out, photo->id, ',');
  g_string_append_printf (out, "%s,", sl_measure_names[mark->of]);
  append_count (out, mark->string);
  append_count (out, mark->fret);
  g_string_append_printf (out, "%s,", sl_held_names[mark->held]);
  for (gsize i = 0; i < G_N_ELEMENTS (figures); i++)
    sl_csv_value (out, fault == NULL ? figures[i] : NAN, ',');
  g_string_append (out, mark->of == SL_MEASURE_BREAK_ANGLE ? "deg," : "mm,");
  sl_csv_field (out, mark->readings != NULL ? mark->readings : "", ',');
  sl_csv_field (out, fault != NULL ? fault : "", '\n');
}

/* ---- text ---- */

static double
share (const SlMeasured *measured, double u)
{
  return PERCENT * pow (SL_COVERAGE * u / measured->U, 2);
}

static void
append_mark_text (GString *out, const SlPhoto *photo, const SlMark *mark)
{
  g_autofree char *title = sl_mark_title (mark);
  SlMeasured m = { NAN, NAN };
  g_autofree char *fault = sl_photo_measure (photo, mark, &m), *value = sl_plain (m.value, PLACES),
                  *spread = sl_plain (m.U, PLACES);

  g_string_append_printf (out, "    %s  ", title);
  if (fault != NULL)
    sl_append_text (out, "%s\n", fault);
  else
    /* Translators: a figure, its U and unit; then what share of U², in percent, comes of the known length, of where
     * edges were found, of their blur, and of what does not lie in the plane of the known length */
    g_string_append_printf (out, _ ("%s ± %s %s (scale %.0f %%, edges %.0f %%, blur %.0f %%, out of plane %.0f %%)\n"),
                            value, spread, mark->of == SL_MEASURE_BREAK_ANGLE ? "°" : "mm", share (&m, m.u_scale),
                            share (&m, m.u_edges), share (&m, m.u_blur), share (&m, m.u_plane));
}

static void
append_photo_text (GString *out, const SlPhoto *photo, const SlImageFacts *facts, const GError *fault)
{
  const char *const stages[] = { C_ ("stage", "received"), C_ ("stage", "during"), C_ ("stage", "final") };
  g_autofree char *name = sl_shown_name (photo->file), *title = sl_photo_title (photo),
                  *day = photo->taken != NULL ? sl_date_short (photo->taken) : NULL;

  g_string_append_printf (out, "  %s  %s  %s", name, title, stages[photo->stage]);
  sl_append_text (out, "  %s", day);
  if (facts->width > 0)
    g_string_append_printf (out, "  %d × %d", facts->width, facts->height);
  g_string_append_c (out, '\n');
  sl_append_text (out, "    %s\n", fault != NULL ? fault->message : NULL);
  sl_append_text (out, "    %s\n", g_strcmp0 (photo->note, title) != 0 ? photo->note : NULL);
  SL_EACH (const SlMark, mark, photo->marks)
    append_mark_text (out, photo, mark);
}

/* ---- the commands ---- */

static gboolean
write_copy (const SlPhoto *photo, GBytes *bytes)
{
  g_autoptr (GFile) folder = g_file_new_for_commandline_arg (output), file = g_file_get_child (folder, photo->file);
  g_autofree char *path = g_build_filename (output, photo->file, NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) stripped = NULL;

  if (sl_photo_need_folder (folder, NULL, &error) && (stripped = sl_image_stripped (bytes, NULL, &error)) != NULL &&
      sl_file_replace (file, stripped, NULL, FALSE, NULL, &error))
    return TRUE;
  sl_file_message (path, error->message);
  return FALSE;
}

/* One photograph, with its row or rows begun by @prefix. FALSE: its file isn't sound, or can't be copied. */
static gboolean
put_photo (GString *out, const char *name, const SlVisit *visit, const SlPhoto *photo, gboolean csv, const char *prefix)
{
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (name), folder = sl_document_photos (file);
  g_autoptr (GError) fault = NULL;
  g_autoptr (GBytes) bytes = sl_photo_bytes (folder, photo->file, NULL, &fault);
  SlImageFacts facts = { 0 };
  g_autoptr (GdkPixbuf) picture =
      bytes != NULL && sl_image_facts (bytes, &facts, &fault) ? sl_image_decode (bytes, LOOK_SIDE, NULL, &fault) : NULL;

  if (picture == NULL)
    sl_file_message (name, fault->message);
  if (!csv)
    append_photo_text (out, photo, &facts, fault);
  else if (!detail)
    append_photo_csv (g_string_append (out, prefix), visit, photo, &facts, fault);
  else
    SL_EACH (const SlMark, mark, photo->marks)
      append_mark_csv (g_string_append (out, prefix), photo, mark);
  return picture != NULL && (output == NULL || write_copy (photo, bytes));
}

SlExit
sl_photos (char **files, const SlShop *shop)
{
  const gboolean several = files[1] != NULL;
  g_autoptr (GString) out = g_string_new (NULL);
  SlExit status = SL_EXIT_DONE;
  gboolean csv;

  if (sl_parse_format (&csv))
    return SL_EXIT_USAGE;
  if (output != NULL && several)
    return sl_usage_error ("%s", _ ("--output takes the photographs of one profile"));
  if (csv)
    g_string_append_printf (out, "%s%s\n", several ? "profile," : "",
                            detail ? "photo,of,string,fret,held,value,uncertainty,u-scale,u-edges,u-blur,u-plane,unit,"
                                     "readings,fault"
                                   : "visit,id,file,taken,stage,about,fret,string,width,height,state,marks,note");
  for (char **name = files; *name != NULL; name++)
    {
      g_autoptr (GString) prefix = g_string_new (NULL);
      SlExit one;
      g_autoptr (SlProfile) profile = sl_load_profile (*name, NULL, &one);

      status = MAX (status, one);
      if (several)
        sl_csv_field (prefix, *name, ',');
      if (profile == NULL)
        continue;
      sl_append_text (out, "%s\n", csv ? NULL : profile->identity.label);
      SL_EACH (const SlVisit, visit, profile->visits)
        SL_EACH (const SlPhoto, photo, visit->photos)
          if (!put_photo (out, *name, visit, photo, csv, prefix->str))
            status = SL_EXIT_FILE;
    }
  sl_put (out, csv);
  return status;
}

SlExit
sl_copy (char **files, const SlShop *shop)
{
  if (output == NULL)
    return sl_usage_error ("%s", _ ("name the profile to write: -o NEW.sidelong"));
  g_autofree char *shown = sl_shown_name (output);
  if (!sl_document_has_name (output))
    return sl_usage_error (_ ("“%s” must end in .sidelong"), shown);
  SlExit status;
  g_autoptr (SlProfile) profile = sl_load_profile (files[0], NULL, &status);
  if (profile == NULL)
    return status;
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (files[0]), from = sl_document_photos (file),
                    copy = g_file_new_for_commandline_arg (output), to = sl_document_photos (copy);
  g_autoptr (GPtrArray) left = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GError) error = NULL;
  /* nothing goes beside what is there already: saving says so */
  if ((!g_file_query_exists (copy, NULL) && !sl_photos_carry (profile, from, to, left, NULL, &error)) ||
      !sl_document_save (copy, profile, NULL, FALSE, NULL, &error))
    {
      sl_file_message (output, error->message);
      return SL_EXIT_FILE;
    }
  SL_EACH_OF (char, name, left)
    {
      sl_file_message (name, _ ("this photograph is not in the folder, or can't be read; the copy is without it"));
      status = SL_EXIT_FILE;
    }
  return status;
}

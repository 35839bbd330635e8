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

/* ---- rows ---- */

static int
count_or_none (int n)
{
  return n > 0 ? n : SL_NONE;
}

static void
put_photo_row (SlAnswer *answer, const SlVisit *visit, const SlPhoto *photo, const SlImageFacts *facts,
               const GError *fault)
{
  const char *const texts[] = { visit->id, photo->id, photo->file, photo->taken };
  const int counts[] = { photo->fret, photo->string, facts->width, facts->height };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    sl_put_text (answer, texts[i]);
  sl_put_word (answer, sl_stage_names[photo->stage]);
  sl_put_word (answer, sl_about_names[photo->about]);
  for (gsize i = 0; i < G_N_ELEMENTS (counts); i++)
    sl_put_count (answer, count_or_none (counts[i]));
  sl_put_word (answer, fault == NULL ? "sound" : fault_names[fault->code]);
  sl_put_count (answer, (int) photo->marks->len);
  sl_put_text (answer, photo->note);
}

static void
put_mark_row (SlAnswer *answer, const SlPhoto *photo, const SlMark *mark)
{
  SlMeasured m = { NAN, NAN, NAN, NAN, NAN, NAN };
  g_autofree char *fault = sl_photo_measure (photo, mark, &m);
  const double figures[] = { m.value, m.U, m.u_scale, m.u_edges, m.u_blur, m.u_plane };

  sl_put_text (answer, photo->id);
  sl_put_word (answer, sl_measure_names[mark->of]);
  sl_put_count (answer, count_or_none (mark->string));
  sl_put_count (answer, count_or_none (mark->fret));
  sl_put_word (answer, sl_held_names[mark->held]);
  for (gsize i = 0; i < G_N_ELEMENTS (figures); i++)
    sl_put_number (answer, fault == NULL ? figures[i] : NAN);
  sl_put_word (answer, mark->of == SL_MEASURE_BREAK_ANGLE ? "deg" : "mm");
  sl_put_text (answer, mark->readings);
  sl_put_text (answer, fault);
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

gboolean
sl_photos_writes (void)
{
  return output != NULL;
}

static void
write_copy (SlAnswer *answer, const SlPhoto *photo, GBytes *bytes)
{
  g_autoptr (GFile) folder = g_file_new_for_commandline_arg (output), file = g_file_get_child (folder, photo->file);
  g_autofree char *path = g_build_filename (output, photo->file, NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) stripped = NULL;

  if (!sl_photo_need_folder (folder, NULL, &error) || (stripped = sl_image_stripped (bytes, NULL, &error)) == NULL ||
      !sl_file_replace (file, stripped, NULL, FALSE, NULL, &error))
    sl_answer_note (answer, SL_EXIT_FILE, path, error->message);
}

static void
tell_photo (SlAnswer *answer, const SlVisit *visit, const SlPhoto *photo)
{
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (answer->name), folder = sl_document_photos (file);
  g_autoptr (GError) fault = NULL;
  g_autoptr (GBytes) bytes = sl_photo_bytes (folder, photo->file, NULL, &fault);
  SlImageFacts facts = { 0 };
  g_autoptr (GdkPixbuf) picture =
      bytes != NULL && sl_image_facts (bytes, &facts, &fault) ? sl_image_decode (bytes, LOOK_SIDE, NULL, &fault) : NULL;

  if (picture == NULL)
    sl_answer_fault (answer, SL_EXIT_FILE, 0, fault->message);
  if (answer->form == SL_FORM_TEXT)
    append_photo_text (answer->out, photo, &facts, fault);
  else if (!detail)
    put_photo_row (answer, visit, photo, &facts, fault);
  else
    SL_EACH (const SlMark, mark, photo->marks)
      put_mark_row (answer, photo, mark);
  if (picture != NULL && output != NULL)
    write_copy (answer, photo, bytes);
}

void
sl_photos (SlAnswer *answer, const SlShop *shop)
{
  if (output != NULL && answer->several)
    {
      answer->status = sl_usage_error ("%s", _ ("--output takes the photographs of one profile"));
      return;
    }
  sl_rows_begin (answer, "profile",
                 detail ? "photo,of,string,fret,held,value,uncertainty,u-scale,u-edges,u-blur,u-plane,unit,"
                          "readings,fault"
                        : "visit,id,file,taken,stage,about,fret,string,width,height,state,marks,note");
  g_autoptr (SlProfile) profile = sl_load_profile (answer, NULL);
  if (profile == NULL)
    return;
  if (answer->form == SL_FORM_TEXT)
    sl_append_text (answer->out, "%s\n", profile->identity.label);
  SL_EACH (const SlVisit, visit, profile->visits)
    SL_EACH (const SlPhoto, photo, visit->photos)
      tell_photo (answer, visit, photo);
}

void
sl_save_copy (SlAnswer *answer, const char *name, const SlProfile *profile, GFile *photos, GPtrArray *made,
              char **stamp)
{
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (name), to = sl_document_photos (file);
  g_autoptr (GPtrArray) left = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GError) error = NULL;
  /* nothing goes beside what is there already: saving says so */
  const gboolean goes = stamp != NULL || !g_file_query_exists (file, NULL);

  if ((goes && !sl_photos_carry (profile, photos, to, left, made, NULL, &error)) ||
      !sl_document_save (file, profile, stamp, FALSE, NULL, &error))
    {
      if (!g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_UNCERTAIN))
        sl_photos_take_back (made);
      sl_answer_note (answer, SL_EXIT_FILE, name, error->message);
    }
  else
    SL_EACH_OF (const char, picture, left)
      sl_answer_note (answer, SL_EXIT_FILE, picture,
                      _ ("this photograph is not in the folder, or can't be read; the copy is without it"));
}

void
sl_copy (SlAnswer *answer, const SlShop *shop)
{
  g_autofree char *shown = output != NULL ? sl_shown_name (output) : NULL;
  if (output == NULL)
    answer->status = sl_usage_error ("%s", _ ("name the profile to write: -o NEW.sidelong"));
  else if (!sl_document_has_name (output))
    answer->status = sl_usage_error (_ ("“%s” must end in .sidelong"), shown);
  if (answer->status != SL_EXIT_DONE)
    return;
  g_autoptr (SlProfile) profile = sl_load_profile (answer, NULL);
  if (profile == NULL)
    return;
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (answer->name), from = sl_document_photos (file);
  g_autoptr (GPtrArray) made = g_ptr_array_new_with_free_func (g_object_unref);
  sl_save_copy (answer, output, profile, from, made, NULL);
}

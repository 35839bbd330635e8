/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two versions of one profile as one; a whole shelf as one archive, and out of it again. */
#include "calc.h"
#include "photo/folder.h"
#include "photo/shelf-archive.h"
#include "words/merge.h"
#include "words/one-line.h"

static char *output, *base_file, *prefer;
const GOptionEntry sl_merge_entries[] = {
  { "output", 'o', 0, G_OPTION_ARG_FILENAME, &output, N_ ("The profile to write"), N_ ("OUT.sidelong") },
  { "base", 0, 0, G_OPTION_ARG_FILENAME, &base_file, N_ ("What both versions come from"), N_ ("FILE") },
  { "prefer", 0, 0, G_OPTION_ARG_STRING, &prefer, N_ ("Whose is taken where both changed one thing"), "mine|theirs" },
  { NULL },
};
const GOptionEntry sl_pack_entries[] = {
  { "output", 'o', 0, G_OPTION_ARG_FILENAME, &output, N_ ("The archive to write"), N_ ("OUT.zip") },
  { NULL },
};
const GOptionEntry sl_unpack_entries[] = {
  { "output", 'o', 0, G_OPTION_ARG_FILENAME, &output, N_ ("The folder to take them into"), N_ ("FOLDER") },
  { NULL },
};

/* ---- merging ---- */

static void
tell_asked (SlAnswer *answer, const SlMerge *merge)
{
  const SlTextStyle style = { SL_LENGTHS_MM, sl_decimal_sign () };

  SL_EACH (const SlMergeItem, item, merge->items)
    {
      g_autofree char *title = sl_merge_title (item, NULL), *mine = sl_merge_value (merge, item, item->mine, &style),
                      *theirs = sl_merge_value (merge, item, item->theirs, &style),
                      *base = item->base != NULL ? sl_merge_value (merge, item, item->base, &style) : NULL;
      g_autofree char *text =
          /* Translators: what was changed, how it is in the first file, in the second, and before */
          base != NULL ? g_strdup_printf (_ ("%s: mine %s, theirs %s, before %s"), title, mine, theirs, base)
                       : g_strdup_printf (_ ("%s: mine %s, theirs %s"), title, mine, theirs);

      if (item->asked && item->side == SL_SIDE_NONE)
        sl_answer_note (answer, SL_EXIT_FAULT, output, text);
    }
}

/* Writes a merge that is whole, over @stamp's version of the profile alone. */
static void
write_merged (SlAnswer *answer, const SlMerge *merge, GHashTable *names, GFile *mine, GFile *theirs, char **stamp)
{
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (output), to = sl_document_photos (file);
  g_autoptr (GPtrArray) made = g_ptr_array_new_with_free_func (g_object_unref);
  const char *const doubt = sl_merge_doubt (merge);
  g_autoptr (GError) error = NULL;

  if (!sl_photos_bring (merge->merged, names, theirs, to, made, &error))
    {
      sl_photos_take_back (made);
      sl_answer_note (answer, SL_EXIT_FILE, output, error->message);
    }
  else
    {
      sl_save_copy (answer, output, merge->merged, mine, made, stamp);
      if (doubt != NULL)
        sl_answer_note (answer, SL_EXIT_DONE, output, doubt);
    }
}

/* Another profile than the answer's. */
static SlProfile *
load_other (SlAnswer *answer, const char *name, char **stamp)
{
  const char *own = answer->name;

  answer->name = name;
  SlProfile *profile = sl_load_profile (answer, stamp);
  answer->name = own;
  return profile;
}

void
sl_merge_files (SlAnswer *answer, const SlShop *shop)
{
  static const char *const sides[] = { "", "mine", "theirs", NULL };
  g_autofree char *stamp = NULL;
  int side = SL_SIDE_NONE;

  answer->status =
      output == NULL || *answer->rest == NULL || !sl_document_has_name (output)
          ? sl_usage_error ("%s", _ ("name two profiles, and the one to write: MINE THEIRS -o OUT.sidelong"))
          : sl_choose ("prefer", prefer, sides, &side);
  if (answer->status != SL_EXIT_DONE)
    return;
  g_autoptr (GFile) file = g_file_new_for_commandline_arg (output);
  /* what is there is read before the others: it may be one of them, and be saved meanwhile */
  g_autoptr (SlProfile) there = g_file_query_exists (file, NULL) ? load_other (answer, output, &stamp) : NULL,
                        mine = sl_load_profile (answer, NULL), theirs = load_other (answer, *answer->rest, NULL),
                        base = base_file != NULL ? load_other (answer, base_file, NULL) : NULL;
  if (answer->status != SL_EXIT_DONE)
    return;
  g_autoptr (GFile) first = g_file_new_for_commandline_arg (answer->name), from = sl_document_photos (first),
                    second = g_file_new_for_commandline_arg (*answer->rest), other = sl_document_photos (second);
  g_autoptr (GHashTable) names = sl_photos_name_apart (theirs, other, from);
  g_autoptr (SlMerge) merge = sl_merge (base, mine, theirs, NULL, (SlSide) side),
                      over = there != NULL ? sl_merge (NULL, mine, there, NULL, SL_SIDE_NONE) : NULL;
  tell_asked (answer, merge);
  if (merge->fault != NULL)
    sl_answer_note (answer, SL_EXIT_FAULT, output, merge->fault);
  else if (over != NULL && over->merged == NULL) /* another instrument, which would be lost */
    sl_answer_note (answer, SL_EXIT_FAULT, output, over->fault);
  if (answer->status == SL_EXIT_DONE)
    write_merged (answer, merge, names, from, other, &stamp);
}

/* ---- archives ---- */

/* One line a file; what was refused is among the messages. */
static void
tell_fates (SlAnswer *answer, const GPtrArray *fates)
{
  static const char *const words[] = { "new", "there", "beside" };

  SL_EACH_OF (const SlFateOf, fate, fates)
    {
      g_autofree char *name = sl_shown_name (fate->name), *now = fate->now != NULL ? sl_shown_name (fate->now) : NULL,
                      *other = fate->other != NULL ? sl_shown_name (fate->other) : NULL;

      if (fate->fate == SL_FATE_REFUSED)
        sl_answer_note (answer, SL_EXIT_FAULT, fate->name, fate->why);
      else
        g_string_append_printf (answer->out, "%s\t%s\t%s\t%s\n", words[fate->fate], name, now,
                                fate->fate == SL_FATE_BESIDE ? other : "");
    }
}

/* The names of the profiles to pack, and @folder becomes the one they lie in; NULL: all that are in it. */
static GPtrArray *
names_of (SlAnswer *answer, GFile **folder)
{
  g_autoptr (GFile) above = g_file_get_parent (*folder);
  GPtrArray *names = NULL;

  if (above == NULL || (*answer->rest == NULL &&
                        (!sl_document_has_name (answer->name) || g_file_test (answer->name, G_FILE_TEST_IS_DIR))))
    return NULL;
  names = g_ptr_array_new_with_free_func (g_free);
  g_set_object (folder, above);
  for (char *const *at = answer->rest - 1; *at != NULL; at++)
    {
      g_autoptr (GFile) file = g_file_new_for_commandline_arg (*at), parent = g_file_get_parent (file);

      if (parent != NULL && sl_document_has_name (*at) && sl_file_is (parent, above))
        g_ptr_array_add (names, g_file_get_basename (file));
      else
        sl_answer_note (answer, SL_EXIT_FAULT, *at, _ ("not a profile in the same folder as the first"));
    }
  return names;
}

void
sl_archive (SlAnswer *answer, const SlShop *shop)
{
  const gboolean pack = g_str_equal (answer->command->name, "pack");

  /* an archive under a profile's name would be taken for one that is broken */
  if (output == NULL || (pack && (sl_is_standard (output) || sl_document_has_name (output))))
    {
      answer->status = sl_usage_error ("%s", pack ? _ ("name the archive to write: -o OUT.zip")
                                                  : _ ("name the folder to take them into: -o FOLDER"));
      return;
    }
  g_autoptr (GFile) from = g_file_new_for_commandline_arg (answer->name), to = g_file_new_for_commandline_arg (output);
  g_autoptr (GPtrArray) fates = sl_fates_new (), names = pack ? names_of (answer, &from) : NULL;
  g_autoptr (GError) error = NULL;
  SlHowFar how_far = { 0, 0 };
  const gboolean done = pack ? sl_shelf_pack (from, names, to, fates, &how_far, NULL, &error)
                             : sl_shelf_unpack (from, to, NULL, shop, fates, &how_far, NULL, &error);

  tell_fates (answer, fates);
  if (!done)
    sl_answer_note (answer, SL_EXIT_FILE, pack ? output : answer->name, error->message);
}

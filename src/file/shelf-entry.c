/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file/shelf-entry.h"

#include <math.h>
#include <string.h>

#include "setup/record/visit.h"

static void
entry_clear (gpointer data)
{
  SlShelfEntry *e = data;
  char *const texts[] = { e->name,  e->fault, e->id,     e->baseline, e->label,      e->owner, e->contact,
                          e->maker, e->model, e->serial, e->year,     e->last_visit, e->search };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    g_free (texts[i]);
}

SlShelfEntry *
sl_shelf_entry_new (const char *name)
{
  SlShelfEntry *entry = g_atomic_rc_box_new0 (SlShelfEntry);

  entry->name = g_strdup (name);
  entry->action_treble = entry->action_bass = entry->relief = NAN;
  return entry;
}

SlShelfEntry *
sl_shelf_entry_ref (const SlShelfEntry *entry)
{
  return g_atomic_rc_box_acquire ((SlShelfEntry *) entry);
}

void
sl_shelf_entry_unref (SlShelfEntry *entry)
{
  g_atomic_rc_box_release_full (entry, entry_clear);
}

char *
sl_shelf_entry_display_name (const SlShelfEntry *entry)
{
  char *shown = g_filename_display_name (entry->name);

  if (g_str_has_suffix (shown, SL_DOCUMENT_EXTENSION))
    shown[strlen (shown) - strlen (SL_DOCUMENT_EXTENSION)] = '\0';
  return shown;
}

/* ---- what the file was ---- */

static gint64
time_us (GFileInfo *info, const char *seconds, const char *us)
{
  return (gint64) g_file_info_get_attribute_uint64 (info, seconds) * G_USEC_PER_SEC +
         g_file_info_get_attribute_uint32 (info, us);
}

/* Fills in what the file is. */
static void
stamp (SlShelfEntry *entry, GFileInfo *info)
{
  entry->size = (guint64) g_file_info_get_size (info);
  entry->inode = g_file_info_get_attribute_uint64 (info, G_FILE_ATTRIBUTE_UNIX_INODE);
  entry->modified_us = time_us (info, G_FILE_ATTRIBUTE_TIME_MODIFIED, G_FILE_ATTRIBUTE_TIME_MODIFIED_USEC);
  entry->changed_us = time_us (info, G_FILE_ATTRIBUTE_TIME_CHANGED, G_FILE_ATTRIBUTE_TIME_CHANGED_USEC);
}

gboolean
sl_shelf_entry_is_current (const SlShelfEntry *entry, GFileInfo *info)
{
  SlShelfEntry now;

  stamp (&now, info);
  return entry->size == now.size && entry->inode == now.inode && entry->modified_us == now.modified_us &&
         entry->changed_us == now.changed_us;
}

/* ---- searching ---- */

/* Text as the search compares it: compatibility forms and case are no difference. */
static char *
fold (const char *text)
{
  g_autofree char *plain = g_utf8_normalize (text, -1, G_NORMALIZE_ALL_COMPOSE);

  return plain != NULL ? g_utf8_casefold (plain, -1) : g_strdup ("");
}

static void
append_text (GString *out, const char *text)
{
  if (text == NULL || *text == '\0' || out->len >= SL_SHELF_SEARCH_BYTES)
    return;
  g_string_append (out, text);
  g_string_append_c (out, '\n');
}

static void
append_visit_texts (GString *out, const SlVisit *visit)
{
  append_text (out, visit->opened);
  append_text (out, visit->note);
  for (guint i = 0; visit->checks != NULL && i < visit->checks->len; i++)
    {
      append_text (out, g_array_index (visit->checks, SlCheck, i).name);
      append_text (out, g_array_index (visit->checks, SlCheck, i).note);
    }
  for (guint i = 0; visit->charges != NULL && i < visit->charges->len; i++)
    append_text (out, g_array_index (visit->charges, SlCharge, i).what);
}

static char *
search_text (const SlProfile *profile)
{
  const SlIdentity *who = &profile->identity;
  const char *const texts[] = { who->label, who->owner,  who->contact, who->maker,
                                who->model, who->serial, who->year,    who->note };
  g_autoptr (GString) out = g_string_new (NULL);

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    append_text (out, texts[i]);
  for (guint v = profile->visits->len; v > 0; v--) /* the latest words first, should there be too many */
    append_visit_texts (out, &g_array_index (profile->visits, SlVisit, v - 1));
  if (out->len > SL_SHELF_SEARCH_BYTES)
    g_string_truncate (out, (gsize) (g_utf8_find_prev_char (out->str, out->str + SL_SHELF_SEARCH_BYTES) - out->str));
  return fold (out->str);
}

char **
sl_shelf_words (const char *typed)
{
  g_autofree char *folded = fold (typed);
  g_auto (GStrv) parts = g_strsplit_set (folded, " \t\n", -1);
  g_autoptr (GStrvBuilder) words = g_strv_builder_new ();

  for (char **part = parts; *part != NULL; part++)
    if (**part != '\0')
      g_strv_builder_add (words, *part);
  return g_strv_builder_end (words);
}

gboolean
sl_shelf_entry_matches (const SlShelfEntry *entry, char **words)
{
  for (; *words != NULL; words++)
    if (strstr (entry->search, *words) == NULL)
      return FALSE;
  return TRUE;
}

/* ---- contents ---- */

/* The last readings with the work done since they were taken: the instrument as it is now. What is
 * only planned is no part of it. */
static void
fill_state (SlShelfEntry *entry, const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set,
            const SlShop *shop)
{
  SlInstrument instrument;
  SlFit fit;
  SlState state;
  SlStringState treble, bass;
  const int n = profile->n_strings;

  sl_instrument_from_profile (profile, &instrument);
  sl_fit_visit (&instrument, visit, set, &shop->work, NULL, NULL, &fit);
  state = fit.state;
  sl_plan_apply (&instrument, visit->plan, set->taken, TRUE, &state);
  sl_state_string (&instrument, &state, 1, &treble);
  sl_state_string (&instrument, &state, n, &bass);
  if (!fit.action_assumed[0])
    entry->action_treble = sl_gap (&treble, 0, SL_OCTAVE_FRET);
  if (!fit.action_assumed[n - 1])
    entry->action_bass = sl_gap (&bass, 0, SL_OCTAVE_FRET);
  if (!fit.relief_assumed_treble || !fit.relief_assumed_bass)
    entry->relief = sl_state_mean_relief (&state);
  sl_fit_clear (&fit);
}

static void
fill_visit (SlShelfEntry *entry, const SlProfile *profile, const SlShop *shop)
{
  const SlVisit *visit = sl_profile_last_visit (profile);
  const SlReadingSet *set = visit != NULL ? sl_visit_last_set (visit) : NULL;

  entry->n_visits = profile->visits->len;
  entry->last_visit = g_strdup (visit != NULL && visit->opened != NULL ? visit->opened : "");
  if (visit != NULL)
    entry->visit = visit->closed != NULL ? SL_SHELF_VISIT_CLOSED : SL_SHELF_VISIT_OPEN;
  /* while nothing was read in this visit yet, the one before it says how the instrument was left */
  for (guint v = profile->visits->len; v > 0 && (set == NULL || set->readings->len == 0); v--)
    {
      visit = &g_array_index (profile->visits, SlVisit, v - 1);
      set = sl_visit_last_set (visit);
    }
  if (set != NULL && set->readings->len > 0)
    fill_state (entry, profile, visit, set, shop);
}

static void
fill_profile (SlShelfEntry *entry, const SlProfile *profile, const SlShop *shop)
{
  const SlIdentity *who = &profile->identity;
  const struct
  {
    char **to;
    const char *from;
  } texts[] = { { &entry->id, profile->id },   { &entry->baseline, profile->baseline }, { &entry->label, who->label },
                { &entry->owner, who->owner }, { &entry->contact, who->contact },       { &entry->maker, who->maker },
                { &entry->model, who->model }, { &entry->serial, who->serial },         { &entry->year, who->year } };

  entry->kind = profile->kind;
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    *texts[i].to = g_strdup (texts[i].from != NULL ? texts[i].from : "");
  entry->search = search_text (profile);
  fill_visit (entry, profile, shop);
}

/* A file that is no profile is found by its name and by what is wrong with it. */
static void
fill_fault (SlShelfEntry *entry, const GError *error)
{
  char **const empty[] = { &entry->id,    &entry->baseline, &entry->label,  &entry->owner, &entry->contact,
                           &entry->maker, &entry->model,    &entry->serial, &entry->year,  &entry->last_visit };
  g_autofree char *shown = g_filename_display_name (entry->name);
  g_autofree char *both = NULL;

  for (gsize i = 0; i < G_N_ELEMENTS (empty); i++)
    *empty[i] = g_strdup ("");
  entry->fault = g_strdup (error->message);
  entry->fault_has_line = g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_FAULT);
  both = g_strconcat (shown, "\n", entry->fault, NULL);
  entry->search = fold (both);
}

static void
append_name_to_search (SlShelfEntry *entry)
{
  g_autofree char *shown = sl_shelf_entry_display_name (entry);
  g_autofree char *folded = fold (shown);
  char *both = g_strconcat (entry->search, folded, NULL);

  g_free (entry->search);
  entry->search = both;
}

SlShelfEntry *
sl_shelf_entry_load (GFile *file, GFileInfo *info, const SlShop *shop, GCancellable *cancellable)
{
  g_autoptr (SlShelfEntry) entry = sl_shelf_entry_new (g_file_info_get_name (info));
  g_autoptr (GError) error = NULL;
  g_autoptr (SlProfile) profile = NULL;

  stamp (entry, info);
  entry->read_us = g_get_real_time ();
  profile = sl_document_read (file, NULL, NULL, cancellable, &error);
  if (profile != NULL)
    {
      fill_profile (entry, profile, shop);
      append_name_to_search (entry);
    }
  else if (g_cancellable_is_cancelled (cancellable) || !g_file_query_exists (file, NULL))
    return NULL;
  else
    fill_fault (entry, error);
  return g_steal_pointer (&entry);
}

SlShelfEntry *
sl_shelf_entry_read (GFile *file, const SlShop *shop, GCancellable *cancellable)
{
  g_autoptr (GFileInfo) info = g_file_query_info (file, SL_SHELF_ATTRIBUTES, G_FILE_QUERY_INFO_NONE, cancellable, NULL);

  return info != NULL ? sl_shelf_entry_load (file, info, shop, cancellable) : NULL;
}

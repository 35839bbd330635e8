/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file/shelf.h"

#include "setup/record/visit.h"

/* The texts an entry has of a profile, and where each has them; entries own theirs. */
#define TEXT(member, from) G_STRUCT_OFFSET (SlShelfEntry, member), G_STRUCT_OFFSET (SlProfile, from)
static const struct
{
  glong entry, profile;
} texts[] = {
  { TEXT (id, id) },
  { TEXT (baseline, baseline) },
  { TEXT (label, identity.label) },
  { TEXT (owner, identity.owner) },
  { TEXT (contact, identity.contact) },
  { TEXT (maker, identity.maker) },
  { TEXT (model, identity.model) },
  { TEXT (serial, identity.serial) },
  { TEXT (year, identity.year) },
  { TEXT (fitted, fitted) },
};

static void
entry_clear (gpointer data)
{
  SlShelfEntry *e = data;

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    g_free (G_STRUCT_MEMBER (char *, e, texts[i].entry));
  g_free (e->name);
  g_free (e->fault);
  g_free (e->last_visit);
  g_free (e->search);
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
  if (entry != NULL)
    g_atomic_rc_box_release_full (entry, entry_clear);
}

char *
sl_shelf_display_name (const char *name)
{
  char *shown = g_filename_display_name (name);

  if (sl_document_has_name (shown))
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

/* What a profile is found by, its file's name too. */
static char *
search_text (const SlProfile *profile, const char *name)
{
  const char *const *who = (const char *const *) &profile->identity;
  g_autoptr (GString) out = g_string_new (NULL);
  g_autofree char *shown = sl_shelf_display_name (name), *folded = NULL, *folded_name = fold (shown);

  for (gsize i = 0; i < sizeof (SlIdentity) / sizeof (char *); i++)
    append_text (out, who[i]);
  for (guint v = profile->visits->len; v > 0; v--) /* the latest words first, should there be too many */
    append_visit_texts (out, &g_array_index (profile->visits, SlVisit, v - 1));
  if (out->len > SL_SHELF_SEARCH_BYTES)
    g_string_truncate (out, (gsize) (g_utf8_find_prev_char (out->str, out->str + SL_SHELF_SEARCH_BYTES) - out->str));
  folded = fold (out->str);
  return g_strconcat (folded, folded_name, NULL);
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

gboolean
sl_shelf_entry_has_strings_before (const SlShelfEntry *entry, const char *day)
{
  return *entry->fitted != '\0' && strncmp (entry->fitted, day, strlen (day)) < 0;
}

/* ---- contents ---- */

/* Strings that were put on in a visit since what the description says. */
static void
fill_fitted (SlShelfEntry *entry, const SlProfile *profile)
{
  SL_EACH (const SlVisit, visit, profile->visits)
    SL_EACH (const SlOperation, op, visit->plan)
      if (op->done != NULL && strcmp (op->done, entry->fitted) > 0 &&
          (op->kind == SL_OP_FIT_STRINGS || (op->kind == SL_OP_BENCH_STEP && op->step == SL_BENCH_NEW_STRINGS)))
        {
          g_free (entry->fitted);
          entry->fitted = g_strdup (op->done);
        }
}

/* The last readings with the work done since they were taken: the instrument as it is now. What is
 * only planned is no part of it. */
static void
fill_state (SlShelfEntry *entry, const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set,
            const SlShop *shop)
{
  SlInstrument instrument;
  SlFit fit;
  SlState state;
  const int n = profile->n_strings;

  sl_instrument_from_profile (profile, &instrument);
  sl_fit_visit (&instrument, profile, visit, set, &shop->work, NULL, NULL, &fit);
  state = fit.state;
  sl_plan_apply (&instrument, visit->plan, set->taken, TRUE, &shop->work, &state);
  if (!fit.action_assumed[0])
    entry->action_treble = sl_state_gap (&instrument, &state, 1, SL_OCTAVE_FRET);
  if (!fit.action_assumed[n - 1])
    entry->action_bass = sl_state_gap (&instrument, &state, n, SL_OCTAVE_FRET);
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

/* A file that is no profile is found by its name and by what is wrong with it. */
static void
fill_fault (SlShelfEntry *entry, const GError *error)
{
  g_autofree char *shown = g_filename_display_name (entry->name);
  g_autofree char *both = g_strconcat (shown, "\n", error->message, NULL);

  entry->fault = g_strdup (error->message);
  entry->fault_has_line = g_error_matches (error, SL_DOCUMENT_ERROR, SL_DOCUMENT_ERROR_FAULT);
  entry->last_visit = g_strdup ("");
  entry->search = fold (both);
}

SlShelfEntry *
sl_shelf_entry_load (GFile *file, GFileInfo *info, const SlShop *shop, GCancellable *cancellable)
{
  static const SlProfile nothing;
  g_autoptr (SlShelfEntry) entry = sl_shelf_entry_new (g_file_info_get_name (info));
  g_autoptr (GError) error = NULL;
  g_autoptr (SlProfile) profile = NULL;

  stamp (entry, info);
  entry->read_us = g_get_real_time ();
  profile = sl_document_read (file, NULL, NULL, cancellable, &error);
  if (profile == NULL && (g_cancellable_is_cancelled (cancellable) || !g_file_query_exists (file, NULL)))
    return NULL;
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      const char *text = G_STRUCT_MEMBER (char *, profile != NULL ? profile : &nothing, texts[i].profile);

      G_STRUCT_MEMBER (char *, entry, texts[i].entry) = g_strdup (text != NULL ? text : "");
    }
  if (profile == NULL)
    fill_fault (entry, error);
  else
    {
      entry->kind = profile->kind;
      entry->search = search_text (profile, entry->name);
      fill_visit (entry, profile, shop);
      fill_fitted (entry, profile);
    }
  return g_steal_pointer (&entry);
}

SlShelfEntry *
sl_shelf_entry_read (GFile *file, const SlShop *shop, GCancellable *cancellable)
{
  g_autoptr (GFileInfo) info = g_file_query_info (file, SL_SHELF_ATTRIBUTES, G_FILE_QUERY_INFO_NONE, cancellable, NULL);

  return info != NULL ? sl_shelf_entry_load (file, info, shop, cancellable) : NULL;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gi18n.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "calc.h"
#include "file/shelf.h"
#include "setup/profile/units.h"
#include "words/dates.h"

#define FIGURE_COLUMN 7 /* characters */
/* a longer text pushes the rest of its line along rather than being cut: lists are searched with other tools */
#define MOST_COLUMN 32
#define PLACES 2

static const char *const visit_names[] = { "none", "open", "closed" };

static const char *
visit_word (SlShelfVisit visit)
{
  const char *const words[] = { C_ ("visit", "no visit"), C_ ("visit", "open"), C_ ("visit", "closed") };

  return words[visit];
}

/* ---- CSV ---- */

static void
append_csv (GString *out, const char *path, const SlShelfEntry *entry)
{
  const char *const kind = entry->fault == NULL ? sl_kind_names[entry->kind] : "",
                    *const visit = entry->fault == NULL ? visit_names[entry->visit] : "",
                    *const texts[] = { path, entry->label, entry->owner, entry->model, kind, entry->last_visit, visit };
  const double figures[] = { entry->action_treble, entry->action_bass, entry->relief };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    sl_csv_field (out, texts[i], ',');
  for (gsize i = 0; i < G_N_ELEMENTS (figures); i++)
    sl_csv_value (out, figures[i], ',');
  sl_csv_field (out, entry->fault != NULL ? entry->fault : "", '\n');
}

/* ---- text ---- */

enum
{
  COLUMN_LABEL,
  COLUMN_OWNER,
  COLUMN_MODEL,
  COLUMN_DAY,
  COLUMN_STATE,
  N_COLUMNS
};

/* The texts of a sound entry, in order of columns; borrowed, and that of the day also in @day. */
static void
texts_of (const SlShelfEntry *entry, char **day, const char *texts[N_COLUMNS])
{
  *day = sl_date_short (entry->last_visit);
  texts[COLUMN_LABEL] = entry->label;
  texts[COLUMN_OWNER] = entry->kind == SL_KIND_BASELINE ? C_ ("kind of profile", "baseline") : entry->owner;
  texts[COLUMN_MODEL] = entry->model;
  texts[COLUMN_DAY] = *day;
  texts[COLUMN_STATE] = visit_word (entry->visit);
  for (int c = 0; c < N_COLUMNS; c++)
    if (*texts[c] == '\0')
      texts[c] = "–";
}

static void
heads (const char *texts[N_COLUMNS])
{
  texts[COLUMN_LABEL] = C_ ("column", "label");
  texts[COLUMN_OWNER] = C_ ("column", "owner");
  texts[COLUMN_MODEL] = C_ ("column", "model");
  texts[COLUMN_DAY] = C_ ("column", "last visit");
  texts[COLUMN_STATE] = C_ ("column", "state");
}

static void
widen (int widths[N_COLUMNS], const char *const texts[N_COLUMNS])
{
  for (int c = 0; c < N_COLUMNS; c++)
    widths[c] = CLAMP ((int) g_utf8_strlen (texts[c], -1), widths[c], MOST_COLUMN);
}

static void
append_texts (GString *out, const int widths[N_COLUMNS], const char *const texts[N_COLUMNS])
{
  for (int c = 0; c < N_COLUMNS; c++)
    {
      sl_append_padded (out, texts[c], widths[c]);
      g_string_append (out, "  ");
    }
}

static void
append_text (GString *out, const int widths[N_COLUMNS], const char *path, const SlShelfEntry *entry)
{
  g_autofree char *shown = g_filename_display_name (path), *day = NULL;
  const char *texts[N_COLUMNS];

  if (entry->fault != NULL)
    {
      g_string_append_printf (out, "%s: %s\n", shown, entry->fault);
      return;
    }
  texts_of (entry, &day, texts);
  append_texts (out, widths, texts);
  sl_append_value (out, entry->action_treble, PLACES, -FIGURE_COLUMN);
  sl_append_value (out, entry->action_bass, PLACES, -FIGURE_COLUMN);
  sl_append_value (out, entry->relief, PLACES, -FIGURE_COLUMN);
  g_string_append_printf (out, "  %s\n", shown);
}

static void
append_head (GString *out, const int widths[N_COLUMNS])
{
  const char *texts[N_COLUMNS];

  heads (texts);
  append_texts (out, widths, texts);
  /* Translators: heads of columns seven characters wide: 12th-fret action of the treble and the bass string, and
   * relief, in mm */
  sl_append_padded (out, C_ ("column", "treble"), -FIGURE_COLUMN);
  sl_append_padded (out, C_ ("column", "bass"), -FIGURE_COLUMN);
  sl_append_padded (out, C_ ("column", "relief"), -FIGURE_COLUMN);
  g_string_append_printf (out, "  %s\n", C_ ("column", "file"));
}

static void
measure (const GPtrArray *entries, int widths[N_COLUMNS])
{
  const char *texts[N_COLUMNS];

  for (int c = 0; c < N_COLUMNS; c++)
    widths[c] = 0;
  heads (texts);
  widen (widths, texts);
  for (guint i = 0; i < entries->len; i++)
    {
      const SlShelfEntry *entry = g_ptr_array_index (entries, i);
      g_autofree char *day = NULL;

      if (entry->fault != NULL)
        continue;
      texts_of (entry, &day, texts);
      widen (widths, texts);
    }
}

/* ---- both ---- */

/* Faults go to standard error too, so that a redirected list hides nothing. */
static SlExit
print_faults (const char *folder, const GPtrArray *entries)
{
  g_autoptr (GHashTable) twins = sl_shelf_twins (entries);
  SlExit status = SL_EXIT_DONE;

  for (guint i = 0; i < entries->len; i++)
    {
      SlShelfEntry *entry = g_ptr_array_index (entries, i);
      g_autofree char *path = g_build_filename (folder, entry->name, NULL);
      const char *twin = g_hash_table_lookup (twins, entry);

      if (entry->fault != NULL)
        {
          sl_file_message (path, entry->fault);
          status = SL_EXIT_FAULT;
        }
      else if (twin != NULL)
        {
          g_autofree char *shown = g_filename_display_name (twin);
          g_autofree char *message = g_strdup_printf (_ ("note: “%s” has the same id"), shown);

          sl_file_message (path, message);
        }
    }
  return status;
}

static SlExit
run (char **files, const SlShop *shop)
{
  g_autoptr (GFile) folder = g_file_new_for_commandline_arg (files[0]);
  g_autoptr (GError) error = NULL;
  g_autoptr (GString) out = g_string_new (NULL);
  gboolean csv;

  if (!sl_parse_format (&csv))
    return SL_EXIT_USAGE;
  g_autoptr (GPtrArray) entries = sl_shelf_read (folder, NULL, shop, NULL, NULL, NULL, &error);
  if (entries == NULL)
    {
      sl_file_message (files[0], error->message);
      return SL_EXIT_FILE;
    }
  int widths[N_COLUMNS];
  measure (entries, widths);
  if (csv)
    g_string_append (out, "file,label,owner,model,kind,last-visit,state,action-treble,action-bass,relief,fault\n");
  else
    append_head (out, widths);
  for (guint i = 0; i < entries->len; i++)
    {
      const SlShelfEntry *entry = g_ptr_array_index (entries, i);
      g_autofree char *path = g_build_filename (files[0], entry->name, NULL);

      if (csv)
        append_csv (out, path, entry);
      else
        append_text (out, widths, path, entry);
    }
  sl_print (out, csv);
  if (!csv)
    sl_print_shop ();
  return print_faults (files[0], entries);
}

const SlCommand sl_list_command = { "list",
                                    N_ ("FOLDER"),
                                    N_ ("Lists the profiles of a folder, broken ones with their fault."),
                                    sl_format_entries,
                                    NULL,
                                    1,
                                    TRUE,
                                    run };

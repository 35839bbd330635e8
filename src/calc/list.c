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
append_field (GString *out, const char *text)
{
  g_autofree char *quoted = sl_csv_quote (text);

  g_string_append (out, quoted);
  g_string_append_c (out, ',');
}

static void
append_number (GString *out, double value)
{
  char number[SL_CSV_NUMBER_CHARS];

  if (isfinite (value))
    g_string_append_len (out, number, sl_csv_number (number, value) - number);
  g_string_append_c (out, ',');
}

static void
append_csv (GString *out, const char *path, const SlShelfEntry *entry)
{
  gboolean sound = entry->fault == NULL;
  g_autofree char *fault = sl_csv_quote (sound ? "" : entry->fault);

  append_field (out, path);
  append_field (out, entry->label);
  append_field (out, entry->owner);
  append_field (out, entry->model);
  append_field (out, sound ? sl_kind_names[entry->kind] : "");
  append_field (out, entry->last_visit);
  append_field (out, sound ? visit_names[entry->visit] : "");
  append_number (out, entry->action_treble);
  append_number (out, entry->action_bass);
  append_number (out, entry->relief);
  g_string_append (out, fault);
  g_string_append_c (out, '\n');
}

/* ---- text ---- */

static void
append_figure (GString *out, double value)
{
  g_autofree char *text = isfinite (value) ? sl_plain_format (value, PLACES, sl_decimal_sign ()) : g_strdup ("–");

  sl_append_padded (out, text, -FIGURE_COLUMN);
}

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
  append_figure (out, entry->action_treble);
  append_figure (out, entry->action_bass);
  append_figure (out, entry->relief);
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

static char *
path_in (const char *folder, const SlShelfEntry *entry)
{
  return g_build_filename (folder, entry->name, NULL);
}

/* Faults go to standard error too, so that a redirected list hides nothing. */
static SlExit
print_faults (const char *folder, const GPtrArray *entries)
{
  g_autoptr (GHashTable) twins = sl_shelf_twins (entries);
  SlExit status = SL_EXIT_DONE;

  for (guint i = 0; i < entries->len; i++)
    {
      SlShelfEntry *entry = g_ptr_array_index (entries, i);
      g_autofree char *path = path_in (folder, entry);
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
list_folder (const char *name, const SlShopArgument *shop, gboolean csv)
{
  g_autoptr (GFile) folder = g_file_new_for_commandline_arg (name);
  g_autoptr (GError) error = NULL;
  g_autoptr (GString) out = g_string_new (NULL);
  g_autoptr (GPtrArray) entries = sl_shelf_read (folder, NULL, &shop->values, NULL, NULL, NULL, &error);

  if (entries == NULL)
    {
      sl_file_message (name, error->message);
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
      g_autofree char *path = path_in (name, entry);

      if (csv)
        append_csv (out, path, entry);
      else
        append_text (out, widths, path, entry);
    }
  sl_print (out, csv);
  if (!csv)
    sl_print_shop (shop);
  return print_faults (name, entries);
}

static SlExit
run (int argc, char **argv)
{
  g_autofree char *format = NULL;
  const GOptionEntry entries[] = {
    { "format", 'f', 0, G_OPTION_ARG_STRING, &format, N_ ("How to print: “text” (the default) for people, or “csv”"),
      "text|csv" },
    { NULL },
  };
  g_auto (GStrv) folders = NULL;
  g_auto (SlShopArgument) shop = { 0 };
  gboolean csv;
  SlExit status = sl_command_parse (&sl_list_command, entries, 1, argc, argv, &shop, &folders);

  if (status != SL_EXIT_DONE)
    return status;
  csv = g_strcmp0 (format, "csv") == 0;
  if (format != NULL && !csv && !g_str_equal (format, "text"))
    return sl_usage_error (&sl_list_command, _ ("--format is “%s”; it can be “text” or “csv”"), format);
  return list_folder (folders[0], &shop, csv);
}

const SlCommand sl_list_command = { "list", N_ ("FOLDER"),
                                    N_ ("Lists the profiles of a folder, broken ones with their fault."), run };

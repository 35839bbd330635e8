/* SPDX-License-Identifier: GPL-3.0-or-later */

#include "calc.h"
#include "file/shelf.h"
#include "words/dates.h"
#include "words/one-line.h"

#define FIGURE_COLUMN 7 /* characters */
/* a longer text pushes the rest of its line along rather than being cut: lists are searched with other tools */
#define MOST_COLUMN 32
#define PLACES 2

static const char *const visit_names[] = { "none", "open", "closed" };

/* ---- rows ---- */

static void
put_entry (SlAnswer *answer, const char *path, const SlShelfEntry *entry)
{
  const gboolean sound = entry->fault == NULL;
  const char *const texts[] = { path, entry->label, entry->owner, entry->model };
  const double figures[] = { entry->action_treble, entry->action_bass, entry->relief };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    sl_put_text (answer, texts[i]);
  sl_put_word (answer, sound ? sl_kind_names[entry->kind] : NULL);
  sl_put_text (answer, entry->last_visit);
  sl_put_word (answer, sound ? visit_names[entry->visit] : NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (figures); i++)
    sl_put_number (answer, figures[i]);
  sl_put_text (answer, entry->fault);
}

/* ---- text ---- */

#define N_TEXTS 5 /* columns of text; those of figures and the file come after them */
#define N_COLUMNS 9

/* A line as the texts of its columns, free with g_strfreev(). */
static char **
head_line (void)
{
  /* Translators: heads of columns; “treble”, “bass” and “relief” are seven characters wide: 12th-fret action of the
   * treble and the bass string, and relief, in mm */
  const char *const texts[] = { C_ ("column", "label"), C_ ("column", "owner"),
                                C_ ("column", "model"), C_ ("column", "last visit"),
                                C_ ("column", "state"), C_ ("column", "treble"),
                                C_ ("column", "bass"),  C_ ("column", "relief"),
                                C_ ("column", "file"),  NULL };

  return g_strdupv ((char **) texts);
}

/* The same of an entry; of one at fault it is a single text. */
static char **
entry_line (const char *path, const SlShelfEntry *entry)
{
  const char *const visits[] = { C_ ("visit", "no visit"), C_ ("visit", "open"), C_ ("visit", "closed") };
  g_autofree char *shown = sl_shown_name (path), *day = sl_date_short (entry->last_visit);
  g_autofree char *treble = sl_plain (entry->action_treble, PLACES), *bass = sl_plain (entry->action_bass, PLACES),
                  *relief = sl_plain (entry->relief, PLACES), *fault = g_strdup_printf ("%s: %s", shown, entry->fault);
  const char *const owner = entry->kind == SL_KIND_BASELINE ? C_ ("kind of profile", "baseline") : entry->owner;
  const char *const texts[] = { entry->label, owner, entry->model, day,   visits[entry->visit],
                                treble,       bass,  relief,       shown, NULL };
  const char *const at_fault[] = { fault, NULL }, *const *cells = entry->fault != NULL ? at_fault : texts;
  g_autoptr (GPtrArray) line = g_ptr_array_new ();

  for (; *cells != NULL; cells++)
    g_ptr_array_add (line, sl_one_line (*cells));
  g_ptr_array_add (line, NULL);
  return (char **) g_ptr_array_steal (line, NULL);
}

static const char *
text_or_dash (const char *text)
{
  return *text != '\0' ? text : "–";
}

static void
append_lines (GString *out, const GPtrArray *lines)
{
  int widths[N_TEXTS] = { 0 };

  for (guint i = 0; i < lines->len; i++)
    {
      char **line = g_ptr_array_index (lines, i);

      for (int c = 0; c < N_TEXTS && line[1] != NULL; c++)
        widths[c] = CLAMP ((int) g_utf8_strlen (text_or_dash (line[c]), -1), widths[c], MOST_COLUMN);
    }
  for (guint i = 0; i < lines->len; i++)
    {
      char **line = g_ptr_array_index (lines, i);

      for (int c = 0; c < N_COLUMNS - 1 && line[1] != NULL; c++)
        {
          sl_append_padded (out, text_or_dash (line[c]), c < N_TEXTS ? widths[c] : -FIGURE_COLUMN);
          g_string_append (out, c < N_TEXTS ? "  " : "");
        }
      if (line[1] != NULL)
        g_string_append_printf (out, "  %s\n", line[N_COLUMNS - 1]);
      else
        g_string_append_printf (out, "%s\n", line[0]);
    }
}

/* ---- both ---- */

/* Faults go to standard error too, so that a redirected list hides nothing. */
static void
tell_faults (SlAnswer *answer, const GPtrArray *entries)
{
  g_autoptr (GHashTable) twins = sl_shelf_twins (entries);

  SL_EACH_OF (SlShelfEntry, entry, entries)
    {
      g_autofree char *path = g_build_filename (answer->name, entry->name, NULL);
      const char *twin = g_hash_table_lookup (twins, entry);

      if (entry->fault != NULL)
        sl_answer_note (answer, SL_EXIT_FAULT, path, entry->fault);
      else if (twin != NULL)
        {
          g_autofree char *shown = sl_shown_name (twin);
          g_autofree char *message = g_strdup_printf (_ ("note: “%s” has the same id"), shown);

          sl_answer_note (answer, SL_EXIT_DONE, path, message);
        }
    }
}

void
sl_list (SlAnswer *answer, const SlShop *shop)
{
  g_autoptr (GFile) folder = g_file_new_for_commandline_arg (answer->name);
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) entries = sl_shelf_read (folder, NULL, shop, NULL, NULL, NULL, &error);

  if (entries == NULL)
    {
      sl_answer_fault (answer, SL_EXIT_FILE, 0, error->message);
      return;
    }
  g_autoptr (GPtrArray) lines = g_ptr_array_new_with_free_func ((GDestroyNotify) g_strfreev);
  g_ptr_array_add (lines, head_line ());
  sl_rows_begin (answer, NULL, "file,label,owner,model,kind,last-visit,state,action-treble,action-bass,relief,fault");
  SL_EACH_OF (const SlShelfEntry, entry, entries)
    {
      g_autofree char *path = g_build_filename (answer->name, entry->name, NULL);

      if (answer->form != SL_FORM_TEXT)
        put_entry (answer, path, entry);
      else
        g_ptr_array_add (lines, entry_line (path, entry));
    }
  if (answer->form == SL_FORM_TEXT)
    append_lines (answer->out, lines);
  if (answer->form == SL_FORM_TEXT && answer->several)
    g_string_append_c (answer->out, '\n');
  tell_faults (answer, entries);
}

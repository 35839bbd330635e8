/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/preferences/preferences.h"

#include "desk/readings/readings.h"
#include "bench/profiles.h"

/* The page's parts; kept with it. */
typedef struct
{
  GtkWidget *kind, *note;
  GtkTextBuffer *lines;
  gboolean updating;
} CheckLists;

static char **
usual_list (SlFamily family)
{
  g_autoptr (SlProfile) profile = sl_starting_profile (sl_families[family].starting);

  return sl_checklist_usual (profile);
}

/* The lines that name a check, each once. @twice: a line that stands there before, or NULL. */
static char **
read_lines (CheckLists *self, char **twice)
{
  GPtrArray *names = g_ptr_array_new ();
  g_autofree char *text = NULL;
  g_auto (GStrv) lines = NULL;

  *twice = NULL;
  g_object_get (self->lines, "text", &text, NULL);
  lines = g_strsplit (text, "\n", -1);
  for (guint i = 0; lines[i] != NULL; i++)
    {
      const char *line = g_strstrip (lines[i]);

      if (*line == '\0')
        continue;
      if (!g_ptr_array_find_with_equal_func (names, line, g_str_equal, NULL))
        g_ptr_array_add (names, g_strdup (line));
      else if (*twice == NULL)
        *twice = g_strdup (line);
    }
  g_ptr_array_add (names, NULL);
  return (char **) g_ptr_array_free (names, FALSE);
}

static void
show_note (CheckLists *self, char **names, const char *twice, gboolean usual)
{
  g_autofree char *text = NULL;

  if (twice != NULL)
    text = g_strdup_printf (_ ("“%s” is listed twice; a visit asks it once."), twice);
  else if (names[0] == NULL)
    text = g_strdup (_ ("Nothing is listed: a visit starts from the usual list."));
  else
    text = g_strdup (usual ? _ ("The usual list.") : _ ("This shop's own list."));
  sl_label_set (self->note, text);
}

static void
on_changed (CheckLists *self)
{
  const SlFamily family = sl_chosen (self->kind);
  g_autofree char *twice = NULL;
  g_auto (GStrv) names = NULL, usual = usual_list (family);
  gboolean own;

  if (self->updating)
    return;
  names = read_lines (self, &twice);
  own = names[0] != NULL && !g_strv_equal ((const char *const *) names, (const char *const *) usual);
  sl_kind_list_keep (SL_SETTING_CHECK_LISTS, family, own ? (const char *const *) names : NULL);
  show_note (self, names, twice, !own);
}

static void
show (CheckLists *self)
{
  const SlFamily family = sl_chosen (self->kind);
  g_auto (GStrv) kept = sl_kind_list (SL_SETTING_CHECK_LISTS, family), usual = usual_list (family);
  char **names = kept != NULL ? kept : usual;
  g_autofree char *text = g_strjoinv ("\n", names);

  self->updating = TRUE;
  gtk_text_buffer_set_text (self->lines, text, -1);
  self->updating = FALSE;
  show_note (self, names, NULL, kept == NULL);
}

static void
on_usual (CheckLists *self)
{
  sl_kind_list_keep (SL_SETTING_CHECK_LISTS, sl_chosen (self->kind), NULL);
  show (self);
}

GtkWidget *
sl_check_lists_new (void)
{
  CheckLists *self = g_new0 (CheckLists, 1);
  GtkWidget *above, *lines, *scrolled, *usual;
  GtkWidget *page = sl_built_new ("pages.ui", "checks", "above", &above, "lines", &lines, "scrolled", &scrolled, "note",
                                  &self->note, "usual", &usual, NULL);

  g_object_set_data_full (G_OBJECT (page), "check-lists", self, g_free);
  self->kind = sl_kind_chooser_new (_ ("Check list of"));
  self->lines = gtk_text_view_get_buffer (GTK_TEXT_VIEW (lines));
  sl_name_scrolled (scrolled, _ ("Checks"));
  gtk_box_insert_child_after (GTK_BOX (page), self->kind, above);
  g_signal_connect_swapped (self->kind, "notify::selected", G_CALLBACK (show), self);
  g_signal_connect_swapped (self->lines, "changed", G_CALLBACK (on_changed), self);
  g_signal_connect_swapped (usual, "clicked", G_CALLBACK (on_usual), self);
  show (self);
  return page;
}

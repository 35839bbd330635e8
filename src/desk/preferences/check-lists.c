/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/preferences/pages.h"

#include "desk/readings/run-options.h"
#include "desk/kit/util.h"
#include "setup/record/checklist.h"

#include <glib/gi18n-lib.h>

#define GAP 6
#define LIST_HEIGHT 230
#define MARGIN 8

/* The page's parts; kept with it. */
typedef struct
{
  GtkWidget *kind, *note;
  GtkTextBuffer *lines;
  gboolean updating;
} CheckLists;

static char **
usual_list (SlBridgeKind kind)
{
  g_autoptr (SlProfile) profile = sl_profile_new ();

  profile->bridge.kind = kind;
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
  gtk_label_set_text (GTK_LABEL (self->note), text);
}

static void
on_changed (CheckLists *self)
{
  const SlBridgeKind kind = sl_kind_chooser_get (self->kind);
  g_autofree char *twice = NULL;
  g_auto (GStrv) names = NULL, usual = usual_list (kind);
  gboolean own;

  if (self->updating)
    return;
  names = read_lines (self, &twice);
  own = names[0] != NULL && !g_strv_equal ((const char *const *) names, (const char *const *) usual);
  sl_kind_list_keep (SL_SETTING_CHECK_LISTS, kind, own ? (const char *const *) names : NULL);
  show_note (self, names, twice, !own);
}

static void
show (CheckLists *self)
{
  const SlBridgeKind kind = sl_kind_chooser_get (self->kind);
  g_auto (GStrv) kept = sl_kind_list (SL_SETTING_CHECK_LISTS, kind), usual = usual_list (kind);
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
  sl_kind_list_keep (SL_SETTING_CHECK_LISTS, sl_kind_chooser_get (self->kind), NULL);
  show (self);
}

GtkWidget *
sl_check_lists_new (void)
{
  CheckLists *self = g_new0 (CheckLists, 1);
  GtkWidget *page = g_object_new (GTK_TYPE_BOX, "orientation", GTK_ORIENTATION_VERTICAL, "spacing", GAP,
                                  "accessible-role", GTK_ACCESSIBLE_ROLE_GROUP, NULL);
  GtkWidget *lines = gtk_text_view_new (), *scrolled = gtk_scrolled_window_new (),
            *usual = gtk_button_new_with_label (_ ("Back to the usual list"));

  g_object_set_data_full (G_OBJECT (page), "check-lists", self, g_free);
  sl_set_accessible_label (page, _ ("Check lists"));
  self->kind = sl_kind_chooser_new (_ ("Check list for instruments with"));
  self->lines = gtk_text_view_get_buffer (GTK_TEXT_VIEW (lines));
  self->note = sl_note_new (NULL);
  g_object_set (lines, "accepts-tab", FALSE, "top-margin", MARGIN, "bottom-margin", MARGIN, "left-margin", MARGIN,
                "right-margin", MARGIN, NULL);
  sl_set_accessible_label (lines, _ ("Checks, a line each"));
  g_object_set (scrolled, "child", lines, "overlay-scrolling", FALSE, "min-content-height", LIST_HEIGHT, "vexpand",
                TRUE, NULL);
  sl_name_scrolled (scrolled, _ ("Checks"));
  gtk_widget_set_halign (usual, GTK_ALIGN_START);
  gtk_box_append (GTK_BOX (page), sl_note_new (_ ("What a visit's check list starts from, a line each, for instruments "
                                                  "of a kind. A visit that has its list keeps it.")));
  gtk_box_append (GTK_BOX (page), self->kind);
  gtk_box_append (GTK_BOX (page), scrolled);
  gtk_box_append (GTK_BOX (page), self->note);
  gtk_box_append (GTK_BOX (page), usual);
  g_signal_connect_swapped (self->kind, "notify::selected", G_CALLBACK (show), self);
  g_signal_connect_swapped (self->lines, "changed", G_CALLBACK (on_changed), self);
  g_signal_connect_swapped (usual, "clicked", G_CALLBACK (on_usual), self);
  show (self);
  return page;
}

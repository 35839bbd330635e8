/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/preferences/pages.h"

#include "desk/readings/kind-chooser.h"
#include "desk/kit/util.h"
#include "setup/record/checklist.h"

#include <glib/gi18n-lib.h>

#define GAP 6
#define LIST_HEIGHT 230
#define MARGIN 8

#define SL_TYPE_CHECK_LISTS (sl_check_lists_get_type ())
G_DECLARE_FINAL_TYPE (SlCheckLists, sl_check_lists, SL, CHECK_LISTS, GtkBox)

struct _SlCheckLists
{
  GtkBox parent_instance;

  GtkWidget *kind, *lines, *note; /* children */
  gboolean updating;
};

G_DEFINE_FINAL_TYPE (SlCheckLists, sl_check_lists, GTK_TYPE_BOX)

static char **
usual_list (SlBridgeKind kind)
{
  g_autoptr (SlProfile) profile = sl_profile_new ();

  profile->bridge.kind = kind;
  return sl_checklist_usual (profile);
}

/* The lines that name a check, each once. @twice: a line that stands there before, or NULL. */
static char **
read_lines (SlCheckLists *self, char **twice)
{
  GtkTextBuffer *buffer = gtk_text_view_get_buffer (GTK_TEXT_VIEW (self->lines));
  GPtrArray *names = g_ptr_array_new ();
  g_autofree char *text = NULL;
  g_auto (GStrv) lines = NULL;

  *twice = NULL;
  g_object_get (buffer, "text", &text, NULL);
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
show_note (SlCheckLists *self, char **names, const char *twice, gboolean usual)
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
on_changed (SlCheckLists *self)
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
show (SlCheckLists *self)
{
  const SlBridgeKind kind = sl_kind_chooser_get (self->kind);
  g_auto (GStrv) kept = sl_kind_list (SL_SETTING_CHECK_LISTS, kind), usual = usual_list (kind);
  char **names = kept != NULL ? kept : usual;
  g_autofree char *text = g_strjoinv ("\n", names);

  self->updating = TRUE;
  gtk_text_buffer_set_text (gtk_text_view_get_buffer (GTK_TEXT_VIEW (self->lines)), text, -1);
  self->updating = FALSE;
  show_note (self, names, NULL, kept == NULL);
}

static void
on_usual (SlCheckLists *self)
{
  sl_kind_list_keep (SL_SETTING_CHECK_LISTS, sl_kind_chooser_get (self->kind), NULL);
  show (self);
}

static void
sl_check_lists_class_init (SlCheckListsClass *class)
{
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (class), GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
sl_check_lists_init (SlCheckLists *self)
{
  GtkWidget *scrolled = gtk_scrolled_window_new ();

  g_object_set (self, "orientation", GTK_ORIENTATION_VERTICAL, "spacing", GAP, NULL);
  sl_set_accessible_label (GTK_WIDGET (self), _ ("Check lists"));
  self->kind = sl_kind_chooser_new (_ ("Check list for instruments with"));
  self->lines = gtk_text_view_new ();
  g_object_set (self->lines, "accepts-tab", FALSE, "top-margin", MARGIN, "bottom-margin", MARGIN, "left-margin", MARGIN,
                "right-margin", MARGIN, NULL);
  sl_set_accessible_label (self->lines, _ ("Checks, a line each"));
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), self->lines);
  gtk_scrolled_window_set_min_content_height (GTK_SCROLLED_WINDOW (scrolled), LIST_HEIGHT);
  gtk_widget_set_vexpand (scrolled, TRUE);
  sl_name_scrolled (scrolled, _ ("Checks"));
  self->note = sl_note_new (NULL);
  gtk_box_append (GTK_BOX (self), sl_note_new (_ ("What a visit's check list starts from, a line each, for instruments "
                                                  "of a kind. A visit that has its list keeps it.")));
  gtk_box_append (GTK_BOX (self), self->kind);
  gtk_box_append (GTK_BOX (self), scrolled);
  gtk_box_append (GTK_BOX (self), self->note);
  gtk_widget_set_halign (
      sl_button_add (GTK_WIDGET (self), _ ("Back to the usual list"), NULL, G_CALLBACK (on_usual), self),
      GTK_ALIGN_START);
  g_signal_connect_swapped (self->kind, "notify::selected", G_CALLBACK (show), self);
  g_signal_connect_swapped (gtk_text_view_get_buffer (GTK_TEXT_VIEW (self->lines)), "changed", G_CALLBACK (on_changed),
                            self);
  show (self);
}

GtkWidget *
sl_check_lists_new (void)
{
  return g_object_new (SL_TYPE_CHECK_LISTS, NULL);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/help/help-window.h"

#include "desk/kit/kit.h"

#define GUIDE "/org/sidelong/guide/"

typedef struct
{
  GtkWidget *window, *list, *page, *search; /* bound in this order; rows of the list have the names of pages */
} Help;

/* Where a file of the guide lies, in the first of the reader's languages that it is there in. */
static char *
guide_path (const char *name, const char *suffix)
{
  for (const char *const *language = g_get_language_names (); *language != NULL; language++)
    {
      g_autofree char *path = g_strconcat (GUIDE, *language, "/", name, suffix, NULL);

      if (g_resources_get_info (path, G_RESOURCE_LOOKUP_FLAGS_NONE, NULL, NULL, NULL))
        return g_steal_pointer (&path);
    }
  return g_strconcat (GUIDE "en/", name, suffix, NULL);
}

/* Marks what is searched for wherever the page has it; scrolls there if @seek. */
static void
mark (GtkWidget *widget, const char *wanted, gboolean *seek)
{
  if (GTK_IS_LABEL (widget) && gtk_label_get_selectable (GTK_LABEL (widget)))
    {
      const char *text = gtk_label_get_text (GTK_LABEL (widget));
      g_autoptr (GRegex) regex = g_regex_new (wanted, G_REGEX_CASELESS, 0, NULL);
      g_autoptr (GMatchInfo) match = NULL;
      int start = 0, finish = 0;

      if (*wanted != '\0' && g_regex_match (regex, text, 0, &match))
        g_match_info_fetch_pos (match, 0, &start, &finish);
      gtk_label_select_region (GTK_LABEL (widget), (int) g_utf8_strlen (text, start),
                               (int) g_utf8_strlen (text, finish));
      if (finish > 0 && *seek)
        sl_scroll_to (widget, TRUE);
      *seek = *seek && finish == 0;
    }
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    mark (child, wanted, seek);
}

/* Pages that don't say it leave the list. */
static void
on_search (Help *self)
{
  g_autofree char *wanted = g_regex_escape_string (gtk_editable_get_text (GTK_EDITABLE (self->search)), -1);
  gboolean seek = TRUE;

  for (GtkWidget *row = gtk_widget_get_first_child (self->list); row != NULL; row = gtk_widget_get_next_sibling (row))
    gtk_widget_set_visible (
        row, g_regex_match_simple (wanted, g_object_get_data (G_OBJECT (row), "text"), G_REGEX_CASELESS, 0));
  mark (self->page, wanted, &seek);
}

static GtkWidget *
first_listed (GtkWidget *row)
{
  while (row != NULL && !gtk_widget_get_visible (row))
    row = gtk_widget_get_next_sibling (row);
  return row;
}

/* The next page that says it. */
static void
on_next (Help *self)
{
  GtkWidget *row = GTK_WIDGET (gtk_list_box_get_selected_row (GTK_LIST_BOX (self->list)));

  on_search (self); /* which the entry tells of a little late */
  row = first_listed (gtk_widget_get_next_sibling (row));
  row = row != NULL ? row : first_listed (gtk_widget_get_first_child (self->list));
  if (row != NULL)
    gtk_list_box_select_row (GTK_LIST_BOX (self->list), GTK_LIST_BOX_ROW (row));
}

/* @topic: a page, or a place on it: "work#turn-rod". */
static void
show_topic (Help *self, const char *topic)
{
  g_auto (GStrv) parts = g_strsplit (topic, "#", 2);
  GtkWidget *row = sl_find_named (self->list, parts[0]), *place;

  gtk_list_box_select_row (GTK_LIST_BOX (self->list), GTK_LIST_BOX_ROW (row));
  place = parts[1] == NULL ? NULL : sl_find_named (self->page, parts[1]);
  if (place != NULL)
    sl_scroll_to (place, TRUE);
}

static gboolean
on_link (GtkLabel *label, const char *topic, Help *self)
{
  show_topic (self, topic);
  return TRUE;
}

static void
connect_links (Help *self, GtkWidget *widget)
{
  if (GTK_IS_LABEL (widget))
    g_signal_connect (widget, "activate-link", G_CALLBACK (on_link), self);
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    connect_links (self, child);
}

static void
on_row (Help *self, GtkListBoxRow *row)
{
  g_autofree char *path = NULL;
  g_autoptr (GtkBuilder) builder = NULL;

  if (row == NULL) /* the window goes */
    return;
  path = guide_path (gtk_widget_get_name (GTK_WIDGET (row)), ".ui");
  builder = gtk_builder_new_from_resource (path);
  gtk_viewport_set_child (GTK_VIEWPORT (gtk_scrolled_window_get_child (GTK_SCROLLED_WINDOW (self->page))),
                          GTK_WIDGET (gtk_builder_get_object (builder, "page")));
  gtk_adjustment_set_value (gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->page)), 0);
  connect_links (self, self->page);
  on_search (self);
}

static GtkWidget *
help_new (GtkApplication *app)
{
  Help *self = g_new0 (Help, 1);

  sl_build ("help", self, SL_MEMBERS (Help, window, search), "help list page search", SL_CALL (sl_list_key), NULL);
  g_object_set_data_full (G_OBJECT (self->window), "own", self, g_free);
  /* the index has a line a page: name, title, text */
  g_autofree char *path = guide_path ("index", "");
  g_autoptr (GBytes) bytes = g_resources_lookup_data (path, G_RESOURCE_LOOKUP_FLAGS_NONE, NULL);
  g_auto (GStrv) lines = g_strsplit (g_bytes_get_data (bytes, NULL), "\n", -1);

  for (guint i = 0; *lines[i] != '\0'; i++)
    {
      g_auto (GStrv) parts = g_strsplit (lines[i], "\t", 3);
      GtkWidget *row =
          g_object_new (GTK_TYPE_LIST_BOX_ROW, "child", sl_label_new (parts[1], NULL), "name", parts[0], NULL);

      sl_set_accessible_label (row, parts[1]);
      g_object_set_data_full (G_OBJECT (row), "text", g_strdup (parts[2]), g_free);
      gtk_list_box_append (GTK_LIST_BOX (self->list), row);
    }
  sl_name_scrolled (self->page, gtk_window_get_title (GTK_WINDOW (self->window)));
  g_signal_connect_swapped (self->list, "row-selected", G_CALLBACK (on_row), self);
  g_signal_connect_swapped (self->search, "search-changed", G_CALLBACK (on_search), self);
  g_signal_connect_swapped (self->search, "activate", G_CALLBACK (on_next), self);
  gtk_window_set_application (GTK_WINDOW (self->window), app);
  sl_colour_scheme_mark (self->window);
  return self->window;
}

void
sl_help_show (GtkApplication *app)
{
  static GtkWidget *window; /* while it is open */
  GtkWindow *active = gtk_application_get_active_window (app);
  const char *topic = SL_HELP_NAME "first";

  for (GtkWidget *at = active == NULL ? NULL : gtk_window_get_focus (active); at != NULL;
       at = gtk_widget_get_parent (at))
    if (g_str_has_prefix (gtk_widget_get_name (at), SL_HELP_NAME))
      {
        topic = gtk_widget_get_name (at);
        break;
      }
  if (window == NULL)
    g_set_weak_pointer (&window, help_new (app));
  if (GTK_WIDGET (active) != window)
    show_topic (g_object_get_data (G_OBJECT (window), "own"), topic + strlen (SL_HELP_NAME));
  gtk_window_present (GTK_WINDOW (window));
}

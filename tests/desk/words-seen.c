/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words-seen.h"

#include <string.h>

#define KEPT_LETTERS "bfmpqvxBFMPQVX" /* which the language shares with English */
#define OPEN 0x27e6                   /* ⟦ */
#define CLOSE 0x27e7
#define OPEN_BYTES 3

static GHashTable *allowed, *passing; /* words */

static void
add_words (GHashTable *words, const char *text)
{
  g_autoptr (GRegex) regex = g_regex_new ("\\p{L}+", G_REGEX_OPTIMIZE, 0, NULL);
  g_autoptr (GMatchInfo) match = NULL;

  for (g_regex_match (regex, text, 0, &match); g_match_info_matches (match); g_match_info_next (match, NULL))
    g_hash_table_add (words, g_match_info_fetch (match, 0));
}

void
words_seen_allow (const char *text)
{
  add_words (allowed, text);
}

void
words_seen_allow_for_now (const char *text)
{
  g_clear_pointer (&passing, g_hash_table_unref);
  passing = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  add_words (passing, text);
}

void
words_seen_init (void)
{
  g_autofree char *list = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "tests", "pseudo-allowed.txt", NULL),
                  *demos = g_build_filename (g_getenv ("SL_SOURCE_ROOT"), "data", "demo", NULL), *text = NULL;
  g_autoptr (GDir) folder = g_dir_open (demos, 0, NULL);
  g_auto (GStrv) lines = NULL;

  allowed = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_assert_true (g_file_get_contents (list, &text, NULL, NULL));
  lines = g_strsplit (text, "\n", -1);
  for (char **line = lines; *line != NULL; line++)
    if (**line != '#')
      {
        char *reason = strstr (*line, "  ");

        if (reason != NULL)
          *reason = '\0';
        words_seen_allow (*line);
      }
  for (const char *name; (name = g_dir_read_name (folder)) != NULL;)
    {
      g_autofree char *path = g_build_filename (demos, name, NULL), *profile = NULL;

      words_seen_allow (name);
      if (g_str_has_suffix (name, ".sidelong") && g_file_get_contents (path, &profile, NULL, NULL))
        words_seen_allow (profile);
    }
}

/* ---- a text ---- */

static char *
english_word (const char *text)
{
  g_autoptr (GRegex) regex = g_regex_new ("\\p{L}{2,}", G_REGEX_OPTIMIZE, 0, NULL);
  g_autoptr (GMatchInfo) match = NULL;

  for (g_regex_match (regex, text, 0, &match); g_match_info_matches (match); g_match_info_next (match, NULL))
    {
      g_autofree char *word = g_match_info_fetch (match, 0);

      for (const char *letter = word; *letter != '\0'; letter++)
        if (g_ascii_isalpha (*letter) && strchr (KEPT_LETTERS, *letter) == NULL &&
            !g_hash_table_contains (allowed, word) && (passing == NULL || !g_hash_table_contains (passing, word)))
          return g_steal_pointer (&word);
    }
  return NULL;
}

static gboolean
is_mark (gunichar c)
{
  return c < 0x80 && strchr (",.!?:;)(0123456789", (int) c) != NULL;
}

/* Whether the brackets match, and no message follows another that is no whole sentence with nothing but a blank
 * between. */
static const char *
bracket_fault (const char *text)
{
  gunichar last = 0,
           before = 0; /* of the letters, blanks left out: the last one, and the one before the last bracket */
  int depth = 0;

  for (const char *at = text; *at != '\0'; at = g_utf8_next_char (at))
    {
      const gunichar c = g_utf8_get_char (at);

      depth += c == OPEN ? 1 : c == CLOSE ? -1 : 0;
      if (depth < 0)
        return "is cut";
      if (c == OPEN && last == CLOSE && depth == 1 && !is_mark (before) && !is_mark (g_utf8_get_char (at + OPEN_BYTES)))
        return "is put together of pieces";
      if (c == CLOSE && last != CLOSE)
        before = last;
      last = c == ' ' || c == 0xa0 ? last : c;
    }
  return depth != 0 ? "is cut" : NULL;
}

typedef struct
{
  SeenFault fault;
  gpointer data;
  GtkWidget *widget;
} Judge;

static void
judge (const Judge *j, const char *what, const char *text)
{
  g_autofree char *word = text == NULL ? NULL : english_word (text);
  const char *wrong = text == NULL ? NULL : word != NULL ? "is left in English" : bracket_fault (text);

  if (wrong != NULL)
    {
      g_autofree char *said = g_strdup_printf ("%s of a %s “%s” %s%s%s", what, gtk_widget_get_css_name (j->widget),
                                               text, wrong, word == NULL ? "" : ": ", word == NULL ? "" : word);

      j->fault (said, j->data);
    }
}

/* ---- a window ---- */

static void
judge_menu (const Judge *j, GMenuModel *menu)
{
  for (int i = 0; i < g_menu_model_get_n_items (menu); i++)
    {
      g_autofree char *label = NULL;

      if (g_menu_model_get_item_attribute (menu, i, G_MENU_ATTRIBUTE_LABEL, "s", &label))
        judge (j, "an item", label);
      for (int link = 0; link < 2; link++)
        {
          g_autoptr (GMenuModel) below =
              g_menu_model_get_item_link (menu, i, link == 0 ? G_MENU_LINK_SECTION : G_MENU_LINK_SUBMENU);

          if (below != NULL)
            judge_menu (j, below);
        }
    }
}

static void
judge_accessible (const Judge *j)
{
  static const GtkAccessibleProperty properties[] = { GTK_ACCESSIBLE_PROPERTY_LABEL,
                                                      GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                                      GTK_ACCESSIBLE_PROPERTY_VALUE_TEXT };

  for (gsize i = 0; i < G_N_ELEMENTS (properties); i++)
    {
      g_autofree char *text = gtk_test_accessible_check_property (GTK_ACCESSIBLE (j->widget), properties[i], "");

      if (g_strcmp0 (text, "undefined") != 0)
        judge (j, "an accessible text", text);
    }
}

static void
judge_widget (GtkWidget *widget, SeenFault fault, gpointer data)
{
  const Judge j = { fault, data, widget };
  GMenuModel *menu = GTK_IS_MENU_BUTTON (widget) ? gtk_menu_button_get_menu_model (GTK_MENU_BUTTON (widget)) : NULL;

  /* the toolkit spells the buttons of a window and the names of keys, in its own translation */
  if ((!gtk_widget_get_visible (widget) && !GTK_IS_POPOVER (widget)) || GTK_IS_WINDOW_CONTROLS (widget) ||
      g_str_equal (gtk_widget_get_css_name (widget), "accelerator"))
    return;
  judge (&j, "the tooltip", gtk_widget_get_tooltip_text (widget));
  judge_accessible (&j);
  if (GTK_IS_LABEL (widget))
    judge (&j, "the text", gtk_label_get_text (GTK_LABEL (widget)));
  else if (GTK_IS_INSCRIPTION (widget))
    judge (&j, "the text", gtk_inscription_get_text (GTK_INSCRIPTION (widget)));
  else if (GTK_IS_ENTRY (widget))
    judge (&j, "the hint", gtk_entry_get_placeholder_text (GTK_ENTRY (widget)));
  else if (GTK_IS_WINDOW (widget))
    judge (&j, "the title", gtk_window_get_title (GTK_WINDOW (widget)));
  if (menu != NULL)
    judge_menu (&j, menu);
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    judge_widget (child, fault, data);
}

void
words_seen_check (GtkWidget *window, SeenFault fault, gpointer data)
{
  judge_widget (window, fault, data);
}

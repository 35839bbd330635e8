/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/readings.h"

#include "desk/kit/kit.h"
#include "bench/photo-take.h"
#include "bench/settings.h"

#define UP_COLUMN 1
#define DOWN_COLUMN 2

/* ---- kinds of instrument ---- */

GtkWidget *
sl_kind_chooser_new (const char *name)
{
  GtkStringList *titles = gtk_string_list_new (NULL);
  GtkWidget *chooser = gtk_drop_down_new (G_LIST_MODEL (titles), NULL);

  for (SlFamily family = 0; family < SL_N_FAMILIES; family++)
    gtk_string_list_append (titles, g_dpgettext2 (GETTEXT_PACKAGE, "kind of instrument", sl_families[family].title));
  sl_guard_wheel (chooser);
  sl_set_accessible_label (chooser, name);
  gtk_widget_set_halign (chooser, GTK_ALIGN_START);
  return chooser;
}

/* ---- the order ---- */

typedef struct
{
  GtkWidget *list;
  int asks[SL_N_RUN_ASKS]; /* in their order */
  gboolean asked[SL_N_RUN_ASKS];
  SlFamily family;
  void (*changed) (gpointer owner);
  gpointer owner;
} OrderEditor;

typedef struct
{
  GtkWidget *line, *check, *up, *down; /* bound in this order */
} AskRow;

static void
fill_row (SlRow *row)
{
  AskRow *controls = row->controls;
  OrderEditor *self = row->owner;
  const guint place = sl_row_get_place (row);
  const char *title = sl_run_ask_title (self->asks[place]);
  int n = 0;

  for (int i = 0; i < SL_N_RUN_ASKS; i++)
    n += self->asked[i];

  gtk_check_button_set_label (GTK_CHECK_BUTTON (controls->check), title);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (controls->check), self->asked[place]);
  /* at least one is asked for, or there would be no run */
  gtk_widget_set_sensitive (controls->check, !(n == 1 && self->asked[place]));
  gtk_widget_set_sensitive (controls->up, place > 0);
  gtk_widget_set_sensitive (controls->down, place + 1 < SL_N_RUN_ASKS);
  sl_set_accessible_label (GTK_WIDGET (row), title);
  sl_name_with_tip (controls->up, _ ("Ask earlier: %s"), title);
  sl_name_with_tip (controls->down, _ ("Ask later: %s"), title);
}

static void
show (OrderEditor *self)
{
  sl_row_list_update (SL_ROW_LIST (self->list), SL_N_RUN_ASKS);
}

/* As kept: what is asked in its order, then the rest in the order of measuring. */
static void
read_order (OrderEditor *self)
{
  g_autoptr (GArray) order = sl_run_order (self->family);
  const guint n_asked = order->len;

  for (guint i = 0; i < SL_N_RUN_ASKS; i++)
    {
      gboolean there = FALSE;

      for (guint k = 0; k < n_asked; k++)
        there |= g_array_index (order, int, k) == sl_run_asks[i];
      if (!there)
        g_array_append_val (order, sl_run_asks[i]);
    }
  for (guint i = 0; i < SL_N_RUN_ASKS; i++)
    {
      self->asks[i] = g_array_index (order, int, i);
      self->asked[i] = i < n_asked;
    }
  show (self);
}

static void
tell (const OrderEditor *self)
{
  if (self->changed != NULL)
    self->changed (self->owner);
}

static void
keep (OrderEditor *self)
{
  g_autoptr (GArray) order = g_array_new (FALSE, FALSE, sizeof (int));

  for (int i = 0; i < SL_N_RUN_ASKS; i++)
    if (self->asked[i])
      g_array_append_val (order, self->asks[i]);
  sl_run_order_keep (self->family, order);
  show (self);
  tell (self);
}

static void
on_check (SlRow *row)
{
  AskRow *controls = row->controls;
  OrderEditor *self = row->owner;

  if (!sl_row_listens (row))
    return;
  self->asked[sl_row_get_place (row)] = sl_is_on (controls->check);
  keep (self);
}

/* The keyboard goes along with what it moves. */
static void
on_move (SlRow *row, GtkWidget *button)
{
  OrderEditor *self = row->owner;
  const gboolean down = button == ((AskRow *) row->controls)->down;
  const guint from = sl_row_get_place (row), to = down ? from + 1 : from - 1;
  const int ask = self->asks[from];
  const gboolean asked = self->asked[from];

  self->asks[from] = self->asks[to];
  self->asked[from] = self->asked[to];
  self->asks[to] = ask;
  self->asked[to] = asked;
  keep (self);
  sl_row_list_focus (SL_ROW_LIST (self->list), to, down ? DOWN_COLUMN : UP_COLUMN);
}

static void
make_row (SlRow *row)
{
  sl_row_build (row, "ask-row", SL_MEMBERS (AskRow, line, down), "line check up down", SL_CALL (on_check),
                SL_CALL (on_move), NULL);
}

static void
on_usual (OrderEditor *self)
{
  sl_run_order_keep (self->family, NULL);
  read_order (self);
  tell (self);
}

GtkWidget *
sl_run_order_editor_new (SlFamily family, void (*changed) (gpointer owner), gpointer owner)
{
  OrderEditor *self = g_new0 (OrderEditor, 1);
  GtkWidget *usual, *editor = sl_built_new ("pages.ui", "order", "usual", &usual, NULL);

  *self = (OrderEditor){ .family = family, .changed = changed, .owner = owner };
  g_object_set_data_full (G_OBJECT (editor), "own", self, g_free);
  sl_set_accessible_label (editor, _ ("What is asked"));
  self->list = sl_row_list_new (_ ("What is asked"), SL_SPACE_CLOSE, sizeof (AskRow), make_row, fill_row, self);
  gtk_box_prepend (GTK_BOX (editor), self->list);
  g_signal_connect_swapped (usual, "clicked", G_CALLBACK (on_usual), self);
  read_order (self);
  return editor;
}

/* ---- keys ---- */

/* A button that shows the keys of an action and, pressed, waits for the next key to be the one. */
typedef struct
{
  const char *setting, *title; /* the setting holds names of keys */
  const char *fallback[2];
} KeyChoice;

static const KeyChoice choices[] = {
  { "run-next-keys", N_ ("Key that accepts a reading"), { "Page_Down", NULL } },
  { "run-back-keys", N_ ("Key that goes back"), { "Page_Up", NULL } },
};

static gboolean
is_key_of (const KeyChoice *choice, const char *name)
{
  g_auto (GStrv) names = sl_settings_get_strings (choice->setting, choice->fallback);

  return g_strv_contains ((const char *const *) names, name);
}

int
sl_run_key_step (guint key)
{
  const char *name = gdk_keyval_name (key);

  return name == NULL ? 0 : is_key_of (&choices[0], name) ? 1 : is_key_of (&choices[1], name) ? -1 : 0;
}

/* What a pedal's key may not be: the run itself needs it, or it types and so is part of a number, or of a mistake in
 * one. */
static gboolean
is_taken (guint value)
{
  return value == GDK_KEY_Return || value == GDK_KEY_KP_Enter || value == GDK_KEY_Tab || value == GDK_KEY_BackSpace ||
         value == GDK_KEY_Delete || gdk_keyval_to_unicode (value) >= ' ';
}

/* The keys as people know them: "Page Down, F8". */
static char *
keys_text (char **names)
{
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint i = 0; names[i] != NULL; i++)
    {
      g_autofree char *label = gtk_accelerator_get_label (gdk_keyval_from_name (names[i]), 0);

      g_string_append_printf (text, "%s%s", i > 0 ? ", " : "", label);
    }
  return g_strdup (names[0] == NULL ? _ ("none") : text->str);
}

static void
show_keys (GtkToggleButton *button)
{
  const KeyChoice *choice = g_object_get_data (G_OBJECT (button), "choice");
  g_auto (GStrv) names = sl_settings_get_strings (choice->setting, choice->fallback);
  g_autofree char *text = NULL, *whole = NULL;

  if (gtk_toggle_button_get_active (button))
    text = g_strdup (_ ("Press the key or the pedal…"));
  else
    text = keys_text (names);
  whole = g_strdup_printf ("%s: %s", _ (choice->title), text);
  gtk_button_set_label (GTK_BUTTON (button), text);
  sl_set_accessible_label (GTK_WIDGET (button), whole);
}

static gboolean
on_key (GtkEventControllerKey *keys, guint value, guint code, GdkModifierType state, GtkToggleButton *button)
{
  const KeyChoice *choice = g_object_get_data (G_OBJECT (button), "choice");
  const KeyChoice *other = choice == &choices[0] ? &choices[1] : &choices[0];
  const char *name = gdk_keyval_name (value);
  g_autofree char *wrong = NULL;

  if (!gtk_toggle_button_get_active (button) || name == NULL)
    return FALSE;
  if (value == GDK_KEY_Escape)
    {
      gtk_toggle_button_set_active (button, FALSE);
      return TRUE;
    }
  if (is_taken (value))
    wrong = g_strdup_printf (
        _ ("“%s” is needed to type a reading. Accepted is a key that types nothing, such as Page Down or F8."), name);
  else if (is_key_of (other, name)) /* one key can't do both */
    wrong = g_strdup_printf (_ ("“%s” already does the other; one key can't do both."), name);
  else
    sl_settings_set (choice->setting, g_variant_new_strv (&name, 1));
  sl_set_remark (g_object_get_data (G_OBJECT (button), "note"), wrong);
  gtk_toggle_button_set_active (button, FALSE);
  return TRUE;
}

static void
on_left (GtkEventControllerFocus *focus, GtkToggleButton *button)
{
  gtk_toggle_button_set_active (button, FALSE);
}

static void
follow_choice (GtkWidget *button, GtkWidget *note, const KeyChoice *choice)
{
  GtkEventController *keys = gtk_event_controller_key_new (), *focus = gtk_event_controller_focus_new ();

  g_object_set_data (G_OBJECT (button), "choice", (gpointer) choice);
  g_object_set_data (G_OBJECT (button), "note", note);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (on_key), button);
  g_signal_connect (focus, "leave", G_CALLBACK (on_left), button);
  gtk_widget_add_controller (button, keys);
  gtk_widget_add_controller (button, focus);
  g_signal_connect (button, "toggled", G_CALLBACK (show_keys), NULL);
  show_keys (GTK_TOGGLE_BUTTON (button));
}

/* ---- both ---- */

static void
on_kind (GtkWidget *chooser, GParamSpec *pspec, GtkWidget *editor)
{
  OrderEditor *self = g_object_get_data (G_OBJECT (editor), "own");

  self->family = sl_chosen (chooser);
  read_order (self);
}

/* ---- the usual pictures ---- */

/* A line each; that nothing is asked for is kept as one that is empty. */
static void
on_pictures (GtkTextBuffer *buffer)
{
  g_autofree char *text = NULL;
  g_auto (GStrv) lines = NULL;

  g_object_get (buffer, "text", &text, NULL);
  lines = g_strsplit (*text != '\0' ? text : "\n", "\n", -1);
  sl_settings_set (SL_SETTING_USUAL_PICTURES, g_variant_new_strv ((const char *const *) lines, -1));
}

GtkWidget *
sl_run_options_new (void)
{
  GtkWidget *next, *next_note, *back, *back_note;
  GtkWidget *box = sl_built_new ("pages.ui", "run", "next", &next, "next_note", &next_note, "back", &back, "back_note",
                                 &back_note, NULL);
  GtkWidget *kind = sl_kind_chooser_new (_ ("Reading run of")), *editor = sl_run_order_editor_new (0, NULL, NULL);
  GtkWidget *view, *pictures = sl_built_new ("usual-pictures.ui", "pictures", "view", &view, NULL);
  GtkTextBuffer *buffer = gtk_text_view_get_buffer (GTK_TEXT_VIEW (view));
  g_auto (GStrv) lines = sl_usual_pictures ();
  g_autofree char *text = g_strjoinv ("\n", lines);

  follow_choice (next, next_note, &choices[0]);
  follow_choice (back, back_note, &choices[1]);
  gtk_widget_set_halign (editor, GTK_ALIGN_START);
  sl_box_add (box, kind, editor, pictures, NULL);
  gtk_text_buffer_set_text (buffer, text, -1);
  g_signal_connect (buffer, "changed", G_CALLBACK (on_pictures), NULL);
  sl_name_scrolled (gtk_widget_get_parent (view), _ ("Usual pictures, a line each"));
  g_signal_connect_object (kind, "notify::selected", G_CALLBACK (on_kind), editor, 0);
  return box;
}

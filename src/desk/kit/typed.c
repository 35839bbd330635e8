/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/util.h"

#define TAKE "sl-typed-take"
#define FOLLOWER "sl-typed-follower"
#define BENEATH "sl-typed-beneath"
#define TEXT "sl-typed-text"

/* The entries in which something stands that is not in force, borrowed: a handful at most. */
static GPtrArray *
pending (void)
{
  static GPtrArray *entries;

  return entries != NULL ? entries : (entries = g_ptr_array_new ());
}

static gboolean
is_pending (GtkWidget *entry)
{
  return g_ptr_array_find (pending (), entry, NULL);
}

/* What has the text of an entry or a text view as its property. */
static gpointer
holder (GtkWidget *entry)
{
  return GTK_IS_TEXT_VIEW (entry) ? (gpointer) gtk_text_view_get_buffer (GTK_TEXT_VIEW (entry)) : entry;
}

static char *
text_in (GtkWidget *entry)
{
  char *text;

  g_object_get (holder (entry), "text", &text, NULL);
  return text;
}

static void
tell (void)
{
  g_autoptr (GList) windows = gtk_window_list_toplevels ();

  for (GList *l = windows; l != NULL; l = l->next)
    {
      void (*changed) (GtkWindow * window) = (void (*) (GtkWindow *)) g_object_get_data (l->data, FOLLOWER);

      if (changed != NULL)
        changed (l->data);
    }
}

static void
forget (GtkWidget *entry)
{
  g_signal_handlers_disconnect_by_func (entry, forget, NULL);
  g_ptr_array_remove (pending (), entry);
  tell ();
}

void
sl_typed_note (GtkWidget *entry, gboolean differs, SlTypedTake take)
{
  if (!differs && is_pending (entry))
    forget (entry);
  if (!differs)
    return;
  g_object_set_data (G_OBJECT (entry), TAKE, (gpointer) take);
  if (!is_pending (entry))
    {
      g_ptr_array_add (pending (), entry);
      g_signal_connect (entry, "destroy", G_CALLBACK (forget), NULL);
    }
  tell ();
}

void
sl_typed_mark (GtkWidget *entry, gboolean wrong)
{
  sl_set_class (entry, "error", wrong);
  gtk_accessible_update_state (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_STATE_INVALID,
                               wrong ? GTK_ACCESSIBLE_INVALID_TRUE : GTK_ACCESSIBLE_INVALID_FALSE, -1);
}

void
sl_typed_judge (GtkWidget *entry, gboolean wrong)
{
  sl_typed_mark (entry, wrong);
  sl_typed_note (entry, wrong, NULL);
}

/* Those of @window, with a reference each: taking one in may make others go. */
static GPtrArray *
entries_of (GtkWindow *window)
{
  GPtrArray *entries = g_ptr_array_new_with_free_func (g_object_unref);

  for (guint i = 0; i < pending ()->len; i++)
    {
      GtkWidget *entry = pending ()->pdata[i];
      gpointer at = gtk_widget_get_root (entry);

      while (window != NULL && at != NULL && at != window)
        at = g_object_get_data (at, BENEATH);
      if (window == NULL || at != NULL)
        g_ptr_array_add (entries, g_object_ref (entry));
    }
  return entries;
}

gboolean
sl_typed_take (GtkWindow *window)
{
  g_autoptr (GPtrArray) entries = entries_of (window);
  GtkWidget *refused = NULL;

  for (guint i = 0; i < entries->len; i++)
    {
      SlTypedTake take = (SlTypedTake) g_object_get_data (entries->pdata[i], TAKE);

      if (is_pending (entries->pdata[i]) && (take == NULL || !take (entries->pdata[i])) && refused == NULL)
        refused = entries->pdata[i];
    }
  if (refused != NULL)
    {
      /* brought to light, wherever it lies, and given the keyboard */
      for (GtkWidget *at = refused, *around; (around = gtk_widget_get_parent (at)) != NULL; at = around)
        if (GTK_IS_STACK (around))
          gtk_stack_set_visible_child (GTK_STACK (around), at);
        else if (GTK_IS_EXPANDER (around))
          gtk_expander_set_expanded (GTK_EXPANDER (around), TRUE);
        else if (GTK_IS_POPOVER (around))
          gtk_popover_popup (GTK_POPOVER (around));
      gtk_window_present (GTK_WINDOW (gtk_widget_get_root (refused)));
      gtk_widget_grab_focus (refused);
    }
  return refused == NULL;
}

char **
sl_typed_list (GtkWindow *window)
{
  g_autoptr (GPtrArray) entries = entries_of (window), texts = g_ptr_array_new ();

  for (guint i = 0; i < entries->len; i++)
    {
      const char *name = sl_entry_name (entries->pdata[i]);

      g_ptr_array_add (texts, g_strdup (name != NULL ? name : ""));
      g_ptr_array_add (texts, text_in (entries->pdata[i]));
    }
  if (texts->len == 0)
    return NULL;
  g_ptr_array_add (texts, NULL);
  return (char **) g_ptr_array_free (g_steal_pointer (&texts), FALSE);
}

void
sl_typed_follow (GtkWindow *window, void (*changed) (GtkWindow *window))
{
  g_object_set_data (G_OBJECT (window), FOLLOWER, (gpointer) changed);
}

static gboolean
on_close_request (GtkWindow *window)
{
  return !sl_typed_take (window);
}

void
sl_typed_guard (GtkWindow *window, GtkWindow *beneath)
{
  if (beneath != NULL)
    g_object_set_data_full (G_OBJECT (window), BENEATH, g_object_ref (beneath), g_object_unref);
  if (G_IS_ACTION_GROUP (beneath)) /* its keys work here too */
    gtk_widget_insert_action_group (GTK_WIDGET (window), "win", G_ACTION_GROUP (beneath));
  g_signal_connect (window, "close-request", G_CALLBACK (on_close_request), NULL);
}

/* ---- entries of text ---- */

typedef struct
{
  SlTypedTakeText take;
  gpointer owner;
  char *shown; /* in force */
  gboolean showing;
} Text;

static void
free_text (gpointer data)
{
  g_free (((Text *) data)->shown);
  g_free (data);
}

static void
on_text_changed (GtkWidget *entry)
{
  Text *text = g_object_get_data (G_OBJECT (entry), TEXT);
  g_autofree char *typed = text_in (entry);

  if (!text->showing)
    sl_typed_note (entry, !g_str_equal (typed, text->shown), sl_typed_take_one);
}

/* What @take puts into the entry instead counts as put there by the program. */
gboolean
sl_typed_take_one (GtkWidget *entry)
{
  g_autoptr (GtkWidget) alive = g_object_ref (entry);
  Text *text = g_object_get_data (G_OBJECT (entry), TEXT);
  g_autofree char *typed = text_in (entry), *before = NULL, *after = NULL;
  gboolean taken;

  if (g_str_equal (typed, text->shown))
    return TRUE;
  before = g_steal_pointer (&text->shown);
  text->shown = g_strdup (typed);
  taken = text->take (text->owner, typed, entry);
  if (!taken)
    {
      g_free (text->shown);
      text->shown = g_steal_pointer (&before);
      after = text_in (entry);
      if (!g_str_equal (after, typed)) /* what was done and taken back showed the old one */
        g_object_set (holder (entry), "text", typed, NULL);
    }
  sl_typed_mark (entry, !taken);
  on_text_changed (entry);
  return taken;
}

void
sl_typed_show (GtkWidget *entry, const char *shown)
{
  Text *text = g_object_get_data (G_OBJECT (entry), TEXT);
  g_autofree char *typed = text_in (entry);
  const gboolean stays = !g_str_equal (typed, text->shown);

  g_free (text->shown);
  text->shown = g_strdup (shown != NULL ? shown : "");
  text->showing = TRUE; /* a text is exchanged in two changes */
  if (!stays && !g_str_equal (typed, text->shown))
    g_object_set (holder (entry), "text", text->shown, NULL);
  text->showing = FALSE;
  on_text_changed (entry);
}

static gboolean
on_key (GtkWidget *entry, guint keyval)
{
  Text *text = g_object_get_data (G_OBJECT (entry), TEXT);

  if (keyval != GDK_KEY_Escape || !is_pending (entry))
    return GDK_EVENT_PROPAGATE;
  g_object_set (holder (entry), "text", text->shown, NULL);
  sl_typed_mark (entry, FALSE);
  text->take (text->owner, text->shown, entry);
  return GDK_EVENT_STOP;
}

void
sl_typed_bind (GtkWidget *entry, SlTypedTakeText take, gpointer owner)
{
  GtkEventController *focus = gtk_event_controller_focus_new (), *keys = gtk_event_controller_key_new ();
  Text *text = g_new0 (Text, 1);

  text->take = take;
  text->owner = owner;
  text->shown = text_in (entry);
  g_object_set_data_full (G_OBJECT (entry), TEXT, text, free_text);
  g_signal_connect_object (holder (entry), "changed", G_CALLBACK (on_text_changed), entry, G_CONNECT_SWAPPED);
  if (GTK_IS_ENTRY (entry))
    g_signal_connect (entry, "activate", G_CALLBACK (sl_typed_take_one), NULL);
  g_signal_connect_swapped (focus, "leave", G_CALLBACK (sl_typed_take_one), entry);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect_swapped (keys, "key-pressed", G_CALLBACK (on_key), entry);
  gtk_widget_add_controller (entry, focus);
  gtk_widget_add_controller (entry, keys);
}

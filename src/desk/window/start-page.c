/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/window/parts.h"

#include "bench/profiles.h"
#include "desk/kit/build.h"
#include "desk/kit/typed.h"
#include "desk/kit/util.h"

#define N_CARDS 4
#define MOST_RECENT 6

struct _SlStartPage
{
  GtkBox parent_instance;

  /* template widgets, in the order they are bound in */
  GtkWidget *cards[N_CARDS];
  GtkWidget *scrolled, *label_entry, *owner_entry, *complaint;
  GtkWidget *recent, *recent_grid, *examples;
};

G_DEFINE_FINAL_TYPE (SlStartPage, sl_start_page, GTK_TYPE_BOX)

static guint start_signal;

static const char *const card_names[N_CARDS] = { "flat-top", "solid-body", "nylon", "bass" };

static char *
text_of (GtkWidget *entry)
{
  return g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry))));
}

/* Puts the instrument on the bench, also before its window closes or shows another. One that has no name yet is asked
 * for it. */
static gboolean
on_begin (GtkWidget *part)
{
  SlStartPage *self = SL_START_PAGE (gtk_widget_get_ancestor (part, SL_TYPE_START_PAGE));
  g_autofree char *label = text_of (self->label_entry);

  if (*label != '\0')
    {
      g_signal_emit (self, start_signal, 0);
      return TRUE;
    }
  gtk_widget_set_visible (self->complaint, TRUE);
  sl_typed_mark (self->label_entry, TRUE);
  gtk_widget_grab_focus (self->label_entry);
  return FALSE;
}

static void
on_text_changed (SlStartPage *self)
{
  g_autofree char *label = text_of (self->label_entry), *owner = text_of (self->owner_entry);

  sl_typed_note (self->label_entry, *label != '\0' || *owner != '\0', on_begin);
  gtk_widget_set_visible (self->complaint, FALSE);
  sl_typed_mark (self->label_entry, FALSE);
}

static void
on_give_up (GtkWidget *page, const char *action, GVariant *parameter)
{
  gtk_editable_set_text (GTK_EDITABLE (SL_START_PAGE (page)->label_entry), "");
  gtk_editable_set_text (GTK_EDITABLE (SL_START_PAGE (page)->owner_entry), "");
}

static void
on_recent_found (GObject *source, GAsyncResult *result, gpointer data)
{
  SlStartPage *self = SL_START_PAGE (source);
  g_autoptr (GPtrArray) profiles = sl_recent_profiles_finish (result);

  if (profiles == NULL || gtk_widget_get_root (GTK_WIDGET (self)) == NULL) /* gone meanwhile */
    return;
  for (guint i = 0; i < profiles->len; i++)
    {
      g_autofree char *name = sl_recent_name (g_ptr_array_index (profiles, i));

      sl_start_tile_add (self->recent_grid, name, gtk_recent_info_get_uri (g_ptr_array_index (profiles, i)));
    }
  gtk_widget_set_visible (self->recent, profiles->len > 0);
  sl_start_tiles_draw (self->recent_grid);
  sl_start_tiles_draw (self->examples);
}

/* Once the page has been seen: the list is read from a file. */
static gboolean
fill_recent (gpointer data)
{
  if (gtk_widget_get_root (GTK_WIDGET (data)) != NULL) /* else gone already */
    sl_recent_profiles_async (data, MOST_RECENT, TRUE, on_recent_found);
  return G_SOURCE_REMOVE;
}

static void
sl_start_page_class_init (SlStartPageClass *class)
{
  start_signal = g_signal_new ("start", SL_TYPE_START_PAGE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  sl_template_bind (
      class, "start-page", SL_MEMBERS (SlStartPage, cards, examples),
      "card_0 card_1 card_2 card_3 scrolled label_entry owner_entry complaint recent recent_grid examples",
      SL_CALL (on_begin), SL_CALL (on_text_changed), SL_CALL (gtk_widget_grab_focus), NULL);
  gtk_widget_class_install_action (GTK_WIDGET_CLASS (class), "start.give-up", NULL, on_give_up);
}

static void
sl_start_page_init (SlStartPage *self)
{
  g_auto (GStrv) demos = sl_demo_names ();

  gtk_widget_init_template (GTK_WIDGET (self));
  sl_name_scrolled (self->scrolled, _ ("What is on the bench?"));
  for (guint i = 0; demos[i] != NULL; i++)
    sl_start_tile_add (self->examples, demos[i], NULL);
  g_idle_add_full (G_PRIORITY_LOW, fill_recent, g_object_ref (self), g_object_unref);
}

void
sl_start_page_choose (SlStartPage *self, const char *name)
{
  for (guint i = 0; i < N_CARDS; i++)
    if (g_strcmp0 (card_names[i], name) == 0)
      gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->cards[i]), TRUE);
  gtk_widget_grab_focus (self->label_entry);
}

SlProfile *
sl_start_page_make_profile (SlStartPage *self)
{
  const char *name = card_names[0];
  g_autofree char *owner = text_of (self->owner_entry);
  SlProfile *profile;

  for (guint i = 0; i < N_CARDS; i++)
    if (gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->cards[i])))
      name = card_names[i];
  profile = sl_starting_profile (name);
  g_free (profile->identity.label);
  profile->identity.label = text_of (self->label_entry);
  if (*owner != '\0')
    {
      g_free (profile->identity.owner);
      profile->identity.owner = g_steal_pointer (&owner);
    }
  return profile;
}

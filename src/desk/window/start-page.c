/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/window/parts.h"

#include "bench/profiles.h"
#include "desk/kit/kit.h"
#include "draw/draw.h"

#define MOST_RECENT 6

struct _SlStartPage
{
  GtkBox parent_instance;

  /* template widgets, in the order they are bound in */
  GtkWidget *search, *left, *none, *kinds;
  GtkWidget *scrolled, *label_entry, *owner_entry, *complaint;
  GtkWidget *recent, *recent_grid, *examples;
};

G_DEFINE_FINAL_TYPE (SlStartPage, sl_start_page, GTK_TYPE_BOX)

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
      g_signal_emit_by_name (self, "start");
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

/* ---- kinds of instrument ---- */

/* A kind to begin from, on its card. */
typedef struct
{
  const SlStarting *kind;
  SlProfile *profile; /* drawn; NULL until the page has been seen */
  GtkWidget *button, *picture;
} Card;

static void
card_free (Card *card)
{
  sl_profile_free (card->profile);
  g_free (card);
}

/* Of a child of the box of kinds. */
static Card *
card_of (GtkWidget *child)
{
  return g_object_get_data (G_OBJECT (child), "card");
}

#define EACH_KIND(self, child)                                                                                         \
  for (GtkWidget *child = gtk_widget_get_first_child ((self)->kinds); child != NULL;                                   \
       child = gtk_widget_get_next_sibling (child))

static void
draw_card (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  const Card *card = data;

  if (card->profile != NULL)
    sl_draw_construction (cr, card->profile, sl_look (), width, height);
}

static void
add_kind (SlStartPage *self, const SlStarting *kind)
{
  Card *card = g_new0 (Card, 1);
  GtkWidget *name, *words, *first = gtk_widget_get_first_child (self->kinds);
  GtkWidget *child = sl_built_new ("start-tile.ui", "kind", "button", &card->button, "drawing", &card->picture, "name",
                                   &name, "words", &words, NULL);

  card->kind = kind;
  sl_label_set (name, _ (kind->title));
  sl_label_set (words, _ (kind->words));
  sl_set_accessible_label (card->button, _ (kind->title));
  sl_set_accessible_description (card->button, _ (kind->words));
  gtk_toggle_button_set_group (GTK_TOGGLE_BUTTON (card->button),
                               first == NULL ? NULL : GTK_TOGGLE_BUTTON (card_of (first)->button));
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (card->button), first == NULL);
  /* what is chosen wants a name next */
  g_signal_connect_object (card->button, "clicked", G_CALLBACK (gtk_widget_grab_focus), self->label_entry,
                           G_CONNECT_SWAPPED);
  sl_picture_area_init (card->picture, draw_card, card);
  g_object_set_data_full (G_OBJECT (child), "card", card, (GDestroyNotify) card_free);
  gtk_flow_box_append (GTK_FLOW_BOX (self->kinds), child);
}

static void
on_left (SlStartPage *self)
{
  EACH_KIND (self, child)
    {
      Card *card = card_of (child);

      if (card->profile == NULL)
        card->profile = sl_starting_profile (card->kind->name);
      card->profile->hand = sl_is_on (self->left) ? SL_HAND_LEFT : SL_HAND_DEFAULT;
      gtk_widget_queue_draw (card->picture);
    }
}

static gboolean
is_wanted (GtkFlowBoxChild *child, gpointer data)
{
  const SlStarting *kind = card_of (GTK_WIDGET (child))->kind;
  g_autofree char *wanted = text_of (SL_START_PAGE (data)->search),
                  *words = g_strjoin (" ", _ (kind->title), _ (kind->words), kind->name,
                                      kind->also == NULL ? NULL : _ (kind->also), NULL);

  return *wanted == '\0' || g_str_match_string (wanted, words, TRUE);
}

/* What is chosen is among what is shown: else the first of that is. */
static void
on_search (SlStartPage *self)
{
  Card *first = NULL;
  gboolean chosen = FALSE;

  EACH_KIND (self, child)
    if (is_wanted (GTK_FLOW_BOX_CHILD (child), self))
      {
        first = first == NULL ? card_of (child) : first;
        chosen |= sl_is_on (card_of (child)->button);
      }
  if (first != NULL && !chosen)
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (first->button), TRUE);
  gtk_widget_set_visible (self->none, first == NULL);
  gtk_adjustment_set_value (gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scrolled)), 0);
  gtk_flow_box_invalidate_filter (GTK_FLOW_BOX (self->kinds));
}

static void
on_stop_search (SlStartPage *self)
{
  gtk_editable_set_text (GTK_EDITABLE (self->search), "");
}

/* ---- instruments there are ---- */

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

/* Once the page has been seen: both are read from files. */
static gboolean
fill_recent (gpointer data)
{
  if (gtk_widget_get_root (GTK_WIDGET (data)) == NULL) /* gone already */
    return G_SOURCE_REMOVE;
  on_left (data);
  sl_recent_profiles_async (data, MOST_RECENT, TRUE, on_recent_found);
  return G_SOURCE_REMOVE;
}

static void
sl_start_page_class_init (SlStartPageClass *class)
{
  g_signal_new ("start", SL_TYPE_START_PAGE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  sl_template_bind (class, "start-page", SL_MEMBERS (SlStartPage, search, examples),
                    "search left none kinds scrolled label_entry owner_entry complaint recent recent_grid examples",
                    SL_CALL (on_begin), SL_CALL (on_text_changed), SL_CALL (on_search), SL_CALL (on_stop_search),
                    SL_CALL (on_left), SL_CALL (gtk_widget_grab_focus), NULL);
  gtk_widget_class_install_action (GTK_WIDGET_CLASS (class), "start.give-up", NULL, on_give_up);
}

static void
sl_start_page_init (SlStartPage *self)
{
  g_auto (GStrv) demos = sl_demo_names ();

  gtk_widget_init_template (GTK_WIDGET (self));
  sl_name_scrolled (self->scrolled, _ ("What is on the bench?"));
  for (const SlStarting *kind = sl_startings; kind->name != NULL; kind++)
    add_kind (self, kind);
  gtk_flow_box_set_filter_func (GTK_FLOW_BOX (self->kinds), is_wanted, self, NULL);
  for (guint i = 0; demos[i] != NULL; i++)
    sl_start_tile_add (self->examples, demos[i], NULL);
  g_idle_add_full (G_PRIORITY_LOW, fill_recent, g_object_ref (self), g_object_unref);
}

SlProfile *
sl_start_page_make_profile (SlStartPage *self)
{
  g_autofree char *owner = text_of (self->owner_entry);
  SlProfile *profile = NULL;

  EACH_KIND (self, child)
    if (sl_is_on (card_of (child)->button))
      profile = sl_starting_profile (card_of (child)->kind->name);
  if (sl_is_on (self->left))
    profile->hand = SL_HAND_LEFT;
  g_free (profile->identity.label);
  profile->identity.label = text_of (self->label_entry);
  if (*owner != '\0')
    {
      g_free (profile->identity.owner);
      profile->identity.owner = g_steal_pointer (&owner);
    }
  return profile;
}

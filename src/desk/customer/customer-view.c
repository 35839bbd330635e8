/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/customer/customer-view.h"

#include "desk/customer/parts.h"
#include "bench/settings.h"
#include "draw/draw.h"
#include "words/dates.h"

#define CHANGE_SECONDS 0.6 /* from before to after: short, and slow enough to follow */
#define KEY_STEP 0.05
/* Sizes as shares of the screen's height. Two metres from a screen 300 mm high, a capital letter of the sentences (1.2
 * times the text, 0.73 of that: the measure of the usual sans serif) is seen at 10 minutes of arc or more; normal sight
 * tells letters of 5 apart (ISO 8596). */
#define LINES_A_SCREEN 40.0
/* of the screen's width, where it is narrow for its height: four figures stand side by side */
#define TEXTS_ACROSS 68.0
#define WORDS_SHARE 0.27 /* for the sentences */
#define LEAST_TEXT_PX 14.0
#define MOST_TEXT_PX 60.0
#define PICTURE_TEXT 0.80 /* of the page's text */
/* of the page's text in the picture's units: its lines are as bold against its text as on the bench */
#define PICTURE_UNIT 14.0

struct _SlCustomerView
{
  GtkWindow parent_instance;

  /* template widgets, in the order they are bound in */
  GtkWidget *title_label, *state_label, *switch_box, *before_button, *after_button, *photos_button, *edit_button,
      *leave_button, *parts, *drawing, *picture, *scrub, *figures, *words_place, *words_scroll;
  GtkAdjustment *share;
  SlCustomerPages *pages;
  SlCustomerWords *words;

  GtkWidget *photos, *photos_slider; /* in @parts */
  SlPhotoPairView *pair;             /* in @photos */

  /* owned */
  SlBench *bench;
  SlProfile *profile; /* what the outcome lies in */
  SlOutcome outcome;
  gboolean has_change; /* there is a before and an after */
  SlAnalysis *shown;
  GtkCssProvider *size;
  GPtrArray *care; /* of char *: sentences on how to look after it */

  double height_factor; /* of both pictures, for the size below */
  int factor_width, factor_height;
  double text_px;

  guint tick;
  gint64 change_start;
  double change_from, change_to;
  gboolean switching; /* the buttons are following the handle */
};

G_DEFINE_FINAL_TYPE (SlCustomerView, sl_customer_view, GTK_TYPE_WINDOW)

/* ---- picture ---- */

static double
picture_scale (SlCustomerView *self)
{
  return self->text_px / PICTURE_UNIT;
}

static SlPictureOptions
picture_options (SlCustomerView *self, int width, int height)
{
  SlPictureOptions options = sl_picture_options_for (self->bench, GTK_WIDGET (self), SL_PICTURE_SIDE,
                                                     width / picture_scale (self), height / picture_scale (self));

  options.string = SL_ALL_STRINGS;
  options.text_scale = PICTURE_TEXT * PICTURE_UNIT / 11; /* 11 units is text scale 1 */
  options.still = TRUE;
  options.plain = TRUE; /* the four large figures say what a customer needs; forces and angles are the shop's */
  options.legend = self->has_change ? _ ("dashed: as it was before") : NULL;
  return options;
}

/* One magnification for all of the change: the smaller of those that before and after would choose. */
static void
choose_factor (SlCustomerView *self, int width, int height)
{
  cairo_surface_t *nowhere;
  cairo_t *cr;

  if (self->height_factor > 0 && width == self->factor_width && height == self->factor_height)
    return;
  nowhere = cairo_recording_surface_create (CAIRO_CONTENT_COLOR_ALPHA, NULL);
  cr = cairo_create (nowhere);
  self->height_factor = INFINITY;
  self->factor_width = width;
  self->factor_height = height;
  for (int end = 0; end < 2; end++)
    {
      SlPictureOptions options = picture_options (self, width, height);
      g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
      SlPictureMap map;

      sl_picture_map_init (&map);
      sl_outcome_change (&self->outcome, self->has_change ? end : 1, analysis);
      sl_picture_draw (cr, analysis, &options, &map);
      self->height_factor = MIN (self->height_factor, map.height_factor);
      sl_picture_map_clear (&map);
    }
  cairo_destroy (cr);
  cairo_surface_destroy (nowhere);
}

static double
get_share (SlCustomerView *self)
{
  return self->has_change ? gtk_adjustment_get_value (self->share) : 1;
}

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  SlCustomerView *self = data;
  double share = get_share (self);
  SlPictureOptions options;

  if (self->profile == NULL || width < 1 || height < 1)
    return;
  choose_factor (self, width, height);
  options = picture_options (self, width, height);
  options.height_factor = self->height_factor;
  cairo_scale (cr, picture_scale (self), picture_scale (self));
  if (share <= 0 && self->has_change)
    options.legend = ""; /* nothing is dashed, but the room for it stays: the drawing mustn't jump */
  sl_outcome_change (&self->outcome, share, self->shown);
  sl_picture_draw (cr, self->shown, &options, NULL);
}

/* ---- the words ---- */

static void
add_figure (SlCustomerView *self, const SlPlainFigure *figure, GString *described)
{
  GtkWidget *card = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  g_autofree char *value =
      figure->before != NULL ? g_strdup_printf ("%s → %s", figure->before, figure->after) : g_strdup (figure->after);

  sl_add_classes (card, "sl-card", "sl-customer-figure");
  sl_text_add (card, figure->name, "sl-customer-name");
  sl_text_add (card, value, "sl-customer-value");
  if (figure->words != NULL)
    sl_text_add (card, figure->words, NULL);
  gtk_box_append (GTK_BOX (self->figures), card);
  g_string_append_printf (described, "%s%s: %s", described->len > 0 ? "; " : "", figure->name, value);
}

static void
show_figures (SlCustomerView *self, const SlSpeech *speech)
{
  SlPlainFigure figures[SL_PLAIN_FIGURES];
  g_autoptr (GString) described = g_string_new (NULL);
  int n = sl_plain_figures (&self->outcome, speech, figures);

  sl_empty_box (self->figures);
  for (int i = 0; i < n; i++)
    {
      add_figure (self, &figures[i], described);
      sl_plain_figure_clear (&figures[i]);
    }
  sl_set_accessible_description (self->picture, described->str);
}

/* Either the pages or, while editing, the entries. */
static void
show_pages (SlCustomerView *self)
{
  const gboolean editing = sl_customer_words_get_editing (self->words);

  gtk_widget_set_visible (GTK_WIDGET (self->pages), !editing);
  gtk_widget_set_visible (self->words_scroll, editing);
  sl_customer_pages_clear (self->pages);
  sl_customer_words_add_to (self->words, self->pages);
  for (guint i = 0; i < self->care->len; i++)
    sl_customer_pages_add (self->pages, _ ("Looking after it"), g_ptr_array_index (self->care, i));
}

static gboolean
shows_photos (SlCustomerView *self)
{
  return gtk_stack_get_visible_child (GTK_STACK (self->parts)) == self->photos;
}

/* Notes to the technician are placed where they don't disturb a customer. */
static void
show_edit_button (SlCustomerView *self)
{
  gtk_button_set_label (GTK_BUTTON (self->edit_button),
                        sl_explanations_outdated (self->bench) ? _ ("Edit text (plan changed)") : _ ("Edit text"));
  gtk_widget_set_visible (self->edit_button, !shows_photos (self) && (sl_customer_words_can_edit (self->words) ||
                                                                      sl_customer_words_get_editing (self->words)));
}

static void
on_edit_toggled (SlCustomerView *self, GtkToggleButton *button)
{
  sl_customer_words_set_editing (self->words, gtk_toggle_button_get_active (button));
  show_pages (self);
  show_edit_button (self);
}

/* What the drawing shows just now. */
static void
show_state (SlCustomerView *self)
{
  const SlOutcome *o = &self->outcome;
  double share = get_share (self);
  g_autofree char *first = o->first != NULL ? sl_date_text (o->first->taken) : NULL;
  g_autofree char *final = o->final != NULL ? sl_date_text (o->final->taken) : NULL;
  g_autofree char *text = NULL;

  if (shows_photos (self))
    text = g_strdup (_ ("Photographs"));
  else if (share > 0 && share < 1)
    text = g_strdup (_ ("Between before and after"));
  else if (share <= 0)
    text = g_strdup_printf (_ ("Before: as read on %s"), first);
  else if (final != NULL)
    text = g_strdup_printf (_ ("After: as read on %s"), final);
  else if (o->has_plan)
    text = g_strdup (_ ("After: as planned, not measured"));
  else
    text = first != NULL ? g_strdup_printf (_ ("As read on %s"), first) : g_strdup (_ ("Nothing has been read yet"));
  sl_label_set (self->state_label, text);
  sl_set_accessible_label (self->picture, text);
}

/* Where what is shown has a before and an after. */
static void
show_switch (SlCustomerView *self)
{
  const gboolean photos = shows_photos (self);

  gtk_button_set_label (GTK_BUTTON (self->after_button),
                        self->outcome.as_planned && !photos ? _ ("As planned") : _ ("After"));
  gtk_widget_set_visible (self->switch_box, photos ? gtk_widget_get_visible (self->photos_slider) : self->has_change);
}

static void
refresh (SlCustomerView *self)
{
  SlSpeech speech = { sl_bench_text_style (self->bench), sl_settings_get_keeping () };
  g_autofree char *title = NULL;

  sl_outcome_clear (&self->outcome);
  g_clear_pointer (&self->profile, sl_profile_free);
  self->profile = sl_profile_copy (sl_bench_get_profile (self->bench));
  sl_outcome_init (&self->outcome, self->profile, NULL, &sl_bench_get_analysis (self->bench)->shop);
  self->has_change = sl_outcome_has_change (&self->outcome);
  self->height_factor = 0;
  title = g_strdup_printf (_ ("For the customer: %s"), self->profile->identity.label);
  gtk_window_set_title (GTK_WINDOW (self), title);
  sl_label_set (self->title_label, self->profile->identity.label);
  gtk_widget_set_visible (self->photos_button,
                          sl_customer_photos_show (self->photos, self->outcome.visit, &speech.style));
  if (!gtk_widget_get_visible (self->photos_button))
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->photos_button), FALSE);
  show_switch (self);
  gtk_widget_set_visible (self->scrub, self->has_change);
  show_figures (self, &speech);
  g_clear_pointer (&self->care, g_ptr_array_unref);
  self->care = sl_explain_care (&self->outcome, &speech);
  sl_customer_words_show (self->words, self->bench, &self->outcome, &speech);
  show_pages (self);
  show_edit_button (self);
  show_state (self);
  gtk_widget_queue_draw (self->picture);
}

/* ---- from before to after ---- */

static void
on_share_changed (SlCustomerView *self)
{
  double share = gtk_adjustment_get_value (self->share);

  self->switching = TRUE; /* on the way neither is lit */
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->before_button), share <= 0);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->after_button), share >= 1);
  self->switching = FALSE;
  if (self->profile == NULL)
    return;
  show_state (self);
  gtk_widget_queue_draw (self->picture);
}

static void
stop_change (SlCustomerView *self)
{
  if (self->tick != 0)
    gtk_widget_remove_tick_callback (GTK_WIDGET (self), self->tick);
  self->tick = 0;
}

static gboolean
on_tick (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  SlCustomerView *self = SL_CUSTOMER_VIEW (widget);
  double t = (double) (gdk_frame_clock_get_frame_time (clock) - self->change_start) / G_USEC_PER_SEC / CHANGE_SECONDS;
  gboolean over = t >= 1;

  if (over)
    self->tick = 0;
  t = CLAMP (t, 0, 1);
  t = t * t * (3 - 2 * t); /* begins and ends gently */
  gtk_adjustment_set_value (self->share, self->change_from + t * (self->change_to - self->change_from));
  return over ? G_SOURCE_REMOVE : G_SOURCE_CONTINUE;
}

static void
change_to (SlCustomerView *self, double share)
{
  gboolean animated = TRUE;

  stop_change (self);
  g_object_get (gtk_widget_get_settings (GTK_WIDGET (self)), "gtk-enable-animations", &animated, NULL);
  if (!animated || !gtk_widget_get_mapped (GTK_WIDGET (self)))
    {
      gtk_adjustment_set_value (self->share, share);
      return;
    }
  self->change_from = gtk_adjustment_get_value (self->share);
  self->change_to = share;
  self->change_start = gdk_frame_clock_get_frame_time (gtk_widget_get_frame_clock (GTK_WIDGET (self)));
  self->tick = gtk_widget_add_tick_callback (GTK_WIDGET (self), on_tick, NULL, NULL);
}

/* From the end it is at, or on the way to, to the other. */
static void
change_over (SlCustomerView *self)
{
  if (gtk_widget_get_visible (self->switch_box))
    change_to (self, (self->tick != 0 ? self->change_to : gtk_adjustment_get_value (self->share)) < 0.5 ? 1 : 0);
}

static void
on_toggled (SlCustomerView *self, GtkToggleButton *button)
{
  if (!self->switching && gtk_toggle_button_get_active (button))
    change_to (self, GTK_WIDGET (button) == self->after_button ? 1 : 0);
}

/* Dragging the handle ends a change that runs by itself. */
static gboolean
on_scrubbed (SlCustomerView *self)
{
  stop_change (self);
  return FALSE;
}

static void
step (SlCustomerView *self, double by)
{
  stop_change (self);
  gtk_adjustment_set_value (self->share, gtk_adjustment_get_value (self->share) + by);
}

/* Half of each is seen first: so it is seen that there are two. */
static void
on_photos_toggled (SlCustomerView *self, GtkToggleButton *button)
{
  const gboolean photos = gtk_toggle_button_get_active (button);

  stop_change (self);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->edit_button), FALSE);
  gtk_stack_set_visible_child (GTK_STACK (self->parts), photos ? self->photos : self->drawing);
  gtk_adjustment_set_value (self->share, photos ? 0.5 : 1);
  show_switch (self);
  show_edit_button (self);
  show_state (self);
}

static void
turn (SlCustomerView *self, int by)
{
  if (!shows_photos (self))
    sl_customer_pages_turn (self->pages, by);
  else
    sl_customer_photos_turn (self->photos, by);
}

static gboolean
on_key (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType modifiers, SlCustomerView *self)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (self));

  if (sl_customer_words_get_editing (self->words)) /* the keys are for typing */
    {
      if (key != GDK_KEY_Escape)
        return GDK_EVENT_PROPAGATE;
      gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->edit_button), FALSE);
      gtk_widget_grab_focus (self->edit_button);
      return GDK_EVENT_STOP;
    }
  if (shows_photos (self) && sl_photo_pair_view_key (self->pair, key, modifiers))
    return GDK_EVENT_STOP;
  switch (key)
    {
    case GDK_KEY_Escape: gtk_window_close (GTK_WINDOW (self)); return GDK_EVENT_STOP;
    case GDK_KEY_space:
    case GDK_KEY_KP_Space:
      if (GTK_IS_BUTTON (focus) && focus != self->before_button &&
          focus != self->after_button) /* there it presses the button */
        return GDK_EVENT_PROPAGATE;
      change_over (self);
      return GDK_EVENT_STOP;
    case GDK_KEY_Page_Up:
    case GDK_KEY_KP_Page_Up: turn (self, -1); return GDK_EVENT_STOP;
    case GDK_KEY_Page_Down:
    case GDK_KEY_KP_Page_Down: turn (self, 1); return GDK_EVENT_STOP;
    case GDK_KEY_Left: step (self, -KEY_STEP); return GDK_EVENT_STOP;
    case GDK_KEY_Right: step (self, KEY_STEP); return GDK_EVENT_STOP;
    default: return GDK_EVENT_PROPAGATE;
    }
}

/* ---- the window ---- */

/* Not before: a focus set earlier makes the toolkit tell assistive technology that this is no window. */
static void
on_map (SlCustomerView *self)
{
  gtk_window_set_focus (GTK_WINDOW (self), self->has_change ? self->scrub : self->leave_button);
}

GdkMonitor *
sl_customer_choose_monitor (GListModel *monitors, GdkMonitor *own, gboolean *other)
{
  *other = FALSE;
  for (guint i = 0; own != NULL && i < g_list_model_get_n_items (monitors); i++)
    {
      g_autoptr (GdkMonitor) monitor = g_list_model_get_item (monitors, i);

      if (monitor != own)
        {
          *other = TRUE;
          return g_steal_pointer (&monitor);
        }
    }
  return own != NULL ? g_object_ref (own) : g_list_model_get_item (monitors, 0);
}

static void
choose_screen (SlCustomerView *self, GtkWindow *parent)
{
  gboolean other;
  GdkDisplay *display = gtk_widget_get_display (GTK_WIDGET (parent));
  GdkSurface *surface = gtk_native_get_surface (GTK_NATIVE (parent));
  g_autoptr (GdkMonitor) monitor = sl_customer_choose_monitor (
      gdk_display_get_monitors (display),
      surface != NULL ? gdk_display_get_monitor_at_surface (display, surface) : NULL, &other);
  GdkRectangle area = { 0, 0, 1280, 800 };

  if (monitor != NULL)
    gdk_monitor_get_geometry (monitor, &area);
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *css = NULL;

  self->text_px = CLAMP (MIN (area.height / LINES_A_SCREEN, area.width / TEXTS_ACROSS), LEAST_TEXT_PX, MOST_TEXT_PX);
  css = g_strdup_printf ("window.sl-customer { font-size: %spx; }",
                         g_ascii_formatd (number, sizeof number, "%.1f", self->text_px));
  gtk_css_provider_load_from_data (self->size, css, -1);
  gtk_widget_set_size_request (self->words_place, -1, (int) (WORDS_SHARE * area.height));
  gtk_window_set_default_size (GTK_WINDOW (self), area.width, area.height);
  if (other)
    gtk_window_fullscreen_on_monitor (GTK_WINDOW (self), monitor);
  else
    gtk_window_fullscreen (GTK_WINDOW (self));
}

static void
sl_customer_view_dispose (GObject *object)
{
  SlCustomerView *self = SL_CUSTOMER_VIEW (object);

  stop_change (self);
  if (self->size != NULL)
    gtk_style_context_remove_provider_for_display (gtk_widget_get_display (GTK_WIDGET (self)),
                                                   GTK_STYLE_PROVIDER (self->size));
  g_clear_object (&self->size);
  sl_outcome_clear (&self->outcome);
  g_clear_pointer (&self->care, g_ptr_array_unref);
  g_clear_pointer (&self->profile, sl_profile_free);
  g_clear_pointer (&self->shown, g_free);
  g_clear_object (&self->bench);
  G_OBJECT_CLASS (sl_customer_view_parent_class)->dispose (object);
}

static void
sl_customer_view_class_init (SlCustomerViewClass *class)
{
  g_autoptr (GtkCssProvider) look = gtk_css_provider_new ();

  gtk_css_provider_load_from_resource (look, "/org/sidelong/Sidelong/customer-view.css");
  gtk_style_context_add_provider_for_display (gdk_display_get_default (), GTK_STYLE_PROVIDER (look),
                                              GTK_STYLE_PROVIDER_PRIORITY_APPLICATION);
  G_OBJECT_CLASS (class)->dispose = sl_customer_view_dispose;
  g_type_ensure (SL_TYPE_CUSTOMER_PAGES);
  g_type_ensure (SL_TYPE_CUSTOMER_WORDS);
  sl_template_bind (class, "customer-view", SL_MEMBERS (SlCustomerView, title_label, words),
                    "title_label state_label switch_box before_button after_button photos_button edit_button "
                    "leave_button parts drawing picture scrub figures words_place words_scroll share pages words",
                    SL_CALL (change_over), SL_CALL (on_edit_toggled), SL_CALL (on_key), SL_CALL (on_map),
                    SL_CALL (on_photos_toggled), SL_CALL (on_scrubbed), SL_CALL (on_share_changed),
                    SL_CALL (on_toggled), NULL);
}

static void
sl_customer_view_init (SlCustomerView *self)
{
  self->shown = g_new0 (SlAnalysis, 1);
  self->size = gtk_css_provider_new ();
  gtk_style_context_add_provider_for_display (gtk_widget_get_display (GTK_WIDGET (self)),
                                              GTK_STYLE_PROVIDER (self->size),
                                              GTK_STYLE_PROVIDER_PRIORITY_APPLICATION + 1);
  gtk_widget_init_template (GTK_WIDGET (self));
  sl_colour_scheme_mark (GTK_WIDGET (self));
  sl_picture_area_init (self->picture, draw, self);
}

GtkWidget *
sl_customer_view_new (GtkWindow *parent, SlBench *bench)
{
  SlCustomerView *self = g_object_new (SL_TYPE_CUSTOMER_VIEW, NULL);

  self->bench = g_object_ref (bench);
  self->photos = sl_customer_photos_new (bench, self->share, &self->pair, &self->photos_slider);
  gtk_stack_add_child (GTK_STACK (self->parts), self->photos);
  g_signal_connect_object (self->photos_slider, "change-value", G_CALLBACK (on_scrubbed), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->photos_slider, "notify::visible", G_CALLBACK (show_switch), self, G_CONNECT_SWAPPED);
  sl_typed_guard (GTK_WINDOW (self), parent);
  choose_screen (self, parent);
  refresh (self);
  gtk_adjustment_set_value (self->share, 1);
  sl_bench_follow (bench, SL_CHANGED_PROFILE | SL_CHANGED_SHOP | SL_CHANGED_LENGTHS, G_CALLBACK (refresh), self);
  return GTK_WIDGET (self);
}

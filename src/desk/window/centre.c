/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/window/parts.h"

#include "desk/sheets/sheets.h"
#include "desk/kit/kit.h"
#include "desk/visit/visit-sheet.h"

/* The sheets' share of the height at most, until the divider is moved. */
#define SHEETS_MOST_SHARE 0.41
#define BAR_HEIGHT 16 /* of a table that comes to scroll */

/* Where a larger sheet would leave the side view less, it takes that as well. */
#define SIDE_LEAST_HEIGHT 240

/* Columns are hidden and laid out again before it is known how much room a larger sheet has. */
#define FRAMES_TO_LAY_OUT 3

/* The close-ups' share of the height that side view and close-ups have together, within limits. */
#define CLOSE_UP_SHARE 0.27
#define CLOSE_UP_LEAST_HEIGHT 110
#define CLOSE_UP_MOST_HEIGHT 260

struct _SlCentre
{
  GtkBox parent_instance;

  /* template widgets, in the order they are bound in */
  GtkWidget *bass_button, *treble_button, *all_button;
  GtkWidget *string_chooser, *held_chooser;
  GtkWidget *factor_scale, *factor_label, *automatic_button;
  GtkAdjustment *factor_adjustment;
  GtkWidget *split, *pictures, *toolbar, *side_slot, *close_ups, *sheets_box, *tabs, *larger_button, *sheets;

  GtkWidget *side;
  SlBench *bench;      /* owned */
  double factor_shown; /* 0: none yet */
  gboolean refreshing; /* the controls follow the bench, not the other way round */
};

G_DEFINE_FINAL_TYPE (SlCentre, sl_centre, GTK_TYPE_BOX)

static void
fill_choosers (SlCentre *self)
{
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  g_autoptr (GtkStringList) strings = gtk_string_list_new (NULL), frets = gtk_string_list_new (NULL);

  gtk_string_list_append (strings, _ ("All strings"));
  for (int s = 1; s <= profile->n_strings; s++)
    {
      const char *note = profile->strings[s - 1].note; /* "6 · E2": a string as people speak of it */

      gtk_string_list_take (strings, note == NULL
                                         ? g_strdup_printf (_ ("String %d"), s)
                                         : g_strdup_printf (C_ ("string number and note", "%d · %s"), s, note));
    }
  gtk_string_list_append (frets, C_ ("string held at no fret", "open"));
  for (int n = 1; n < profile->neck.frets; n++)
    gtk_string_list_take (frets, g_strdup_printf (_ ("held at %d"), n));
  sl_chooser_fill (self->string_chooser, strings, 0);
  sl_chooser_fill (self->held_chooser, frets, 0);
}

static void
show_factor (SlCentre *self)
{
  double chosen = sl_bench_get_height_factor (self->bench);
  double factor = chosen > 0.0 ? chosen : sl_side_view_get_map (SL_SIDE_VIEW (self->side))->height_factor;
  g_autofree char *text = factor > 0.0 ? g_strdup_printf ("%s× %.0f", sl_number_mark (), factor) : g_strdup ("");

  self->refreshing = TRUE;
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->automatic_button), chosen <= 0.0);
  sl_set_class (self->factor_scale, "automatic", chosen <= 0.0);
  if (factor > 0.0)
    gtk_adjustment_set_value (self->factor_adjustment, factor);
  sl_label_set (self->factor_label, text);
  self->factor_shown = factor;
  self->refreshing = FALSE;
}

static void
show_choices (SlCentre *self)
{
  int string = sl_bench_get_string (self->bench);

  sl_chooser_fill (self->string_chooser, NULL, (guint) string);
  sl_chooser_fill (self->held_chooser, NULL, (guint) sl_bench_get_held (self->bench));
  self->refreshing = TRUE;
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->treble_button), string == 1);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->bass_button),
                                string == sl_bench_get_profile (self->bench)->n_strings);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->all_button), string == 0);
  self->refreshing = FALSE;
}

static void
on_quick_choice (SlCentre *self, GtkWidget *button)
{
  if (self->refreshing || !sl_is_on (button))
    return;
  sl_bench_set_string (self->bench, button == self->all_button      ? 0
                                    : button == self->treble_button ? 1
                                                                    : sl_bench_get_profile (self->bench)->n_strings);
}

static void
on_chosen (SlCentre *self)
{
  const guint string = sl_chosen (self->string_chooser), held = sl_chosen (self->held_chooser);

  sl_bench_set_string (self->bench, (int) string);
  sl_bench_set_held (self->bench, (int) held);
}

static void
on_factor_moved (SlCentre *self, GtkAdjustment *adjustment)
{
  if (!self->refreshing)
    sl_bench_set_height_factor (self->bench, gtk_adjustment_get_value (adjustment));
}

static void
on_automatic_toggled (SlCentre *self, GtkToggleButton *button)
{
  if (!self->refreshing)
    sl_bench_set_height_factor (
        self->bench, gtk_toggle_button_get_active (button) ? 0.0 : gtk_adjustment_get_value (self->factor_adjustment));
}

/* Left to itself the drawing chooses its factor while it is drawn. */
static void
after_paint (SlCentre *self)
{
  if (self->bench == NULL || sl_bench_get_height_factor (self->bench) > 0.0 ||
      sl_side_view_get_map (SL_SIDE_VIEW (self->side))->height_factor == self->factor_shown)
    return;
  show_factor (self);
}

static void
on_side_realized (GtkWidget *side, gpointer data)
{
  g_signal_connect_object (gtk_widget_get_frame_clock (side), "after-paint", G_CALLBACK (after_paint), data,
                           G_CONNECT_SWAPPED);
}

static void
add_close_up (SlCentre *self, SlPictureKind kind)
{
  GtkWidget *view = sl_side_view_new (self->bench, kind); /* named by itself, after what it shows */

  sl_add_classes (view, "sl-card", "sl-paper");
  gtk_widget_set_overflow (view, GTK_OVERFLOW_HIDDEN);
  gtk_box_append (GTK_BOX (self->close_ups), view);
}

typedef GtkWidget *(*NewSheet) (SlBench *bench);

/* A sheet is made when it is first looked at: six of them would hold up the first frame and take memory for nothing. */
static void
make_shown_sheet (SlCentre *self)
{
  GtkWidget *page = gtk_stack_get_visible_child (GTK_STACK (self->sheets)), *scrolled;
  NewSheet new_sheet;

  if (page == NULL || self->bench == NULL)
    return;
  gtk_widget_set_name (self->sheets_box, gtk_widget_get_name (page)); /* its tab is told of as it is itself */
  if (gtk_widget_get_first_child (page) != NULL)
    return;
  new_sheet = (NewSheet) g_object_get_data (G_OBJECT (page), "new-sheet");
  /* no sheet widens the window: where there is too little room it scrolls both ways; the sheet shown at the start sets
   * the room for all sheets, taller ones scroll */
  scrolled = g_object_new (GTK_TYPE_SCROLLED_WINDOW, "child", new_sheet (self->bench), "hexpand", TRUE,
                           "propagate-natural-height", page == gtk_widget_get_first_child (self->sheets),
                           "overlay-scrolling", FALSE, NULL);
  sl_name_scrolled (scrolled, gtk_stack_page_get_title (gtk_stack_get_page (GTK_STACK (self->sheets), page)));
  gtk_box_append (GTK_BOX (page), scrolled);
}

static void
add_sheet (SlCentre *self, NewSheet new_sheet, const char *name, const char *title)
{
  GtkWidget *page = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  g_autofree char *topic = g_strconcat (SL_HELP_NAME, name, NULL);

  gtk_widget_set_name (page, topic);
  g_object_set_data (G_OBJECT (page), "new-sheet", (gpointer) new_sheet);
  gtk_stack_add_titled (GTK_STACK (self->sheets), page, name, title);
}

/* The sheet that is shown; NULL: none is yet. */
static GtkWidget *
sheet_of (SlCentre *self)
{
  GtkWidget *page = gtk_stack_get_visible_child (GTK_STACK (self->sheets)),
            *scrolled = page == NULL ? NULL : gtk_widget_get_first_child (page),
            *viewport = scrolled == NULL ? NULL : gtk_scrolled_window_get_child (GTK_SCROLLED_WINDOW (scrolled));

  return viewport == NULL ? NULL : gtk_viewport_get_child (GTK_VIEWPORT (viewport));
}

/* The sheets get what they ask for, up to their share; a larger one gets all that the side view can spare. */
static void
place_divider (SlCentre *self)
{
  const gboolean larger = sl_is_on (self->larger_button);
  const int height = gtk_widget_get_height (self->split);
  const int width = gtk_widget_get_width (self->split);
  GtkWidget *sheet = sheet_of (self);
  int least, most, wanted = sl_natural_height (self->sheets_box, width);

  g_object_get (self->split, "min-position", &least, "max-position", &most, NULL);
  if (sheet != NULL) /* a scrolled panel asks without saying how wide it is */
    wanted += sl_natural_height (sheet, width) - sl_natural_height (sheet, -1);
  if (larger && height - wanted < SIDE_LEAST_HEIGHT)
    gtk_widget_set_visible (self->pictures, FALSE);
  wanted = larger ? wanted : MIN (wanted + BAR_HEIGHT, (int) (SHEETS_MOST_SHARE * height));
  gtk_paned_set_position (GTK_PANED (self->split), CLAMP (height - wanted - SL_SPACE_WIDE, least, most));
  sl_clear_handle (self->split);
}

/* Once it is known how much room there is. */
static void
on_room_known (GtkPaned *split, GParamSpec *pspec, gpointer data)
{
  int least, most;

  g_object_get (split, "min-position", &least, "max-position", &most, NULL);
  if (most <= least || most == G_MAXINT || gtk_widget_get_height (GTK_WIDGET (split)) <= 0)
    return;
  g_signal_handlers_disconnect_by_func (split, on_room_known, data);
  place_divider (data);
}

static gboolean
place_late (GtkWidget *widget, GdkFrameClock *clock, gpointer frames)
{
  if (--*(int *) frames > 0)
    return G_SOURCE_CONTINUE;
  place_divider (SL_CENTRE (widget));
  return G_SOURCE_REMOVE;
}

/* A sheet that can use any height gets all of it; others leave the rest to the side view. Its class tells the sheet. */
static void
show_larger (SlCentre *self)
{
  const gboolean larger = sl_is_on (self->larger_button);
  GtkWidget *page = gtk_stack_get_visible_child (GTK_STACK (self->sheets)), *sheet = sheet_of (self);
  const gboolean fills = sheet != NULL && gtk_widget_compute_expand (sheet, GTK_ORIENTATION_VERTICAL);
  int *frames = g_new (int, 1);

  gtk_button_set_label (GTK_BUTTON (self->larger_button), larger ? _ ("Show smaller") : _ ("Show larger"));
  gtk_widget_set_tooltip_text (self->larger_button, larger ? _ ("The side view and the columns come back")
                                                           : _ ("Let the sheet use the whole window"));
  gtk_stack_set_vhomogeneous (GTK_STACK (self->sheets), !larger);
  if (sheet != NULL)
    {
      sl_set_class (sheet, "sl-larger", larger);
      g_object_set (gtk_widget_get_first_child (page), "propagate-natural-height",
                    larger || page == gtk_widget_get_first_child (self->sheets), NULL);
    }
  gtk_widget_set_visible (self->close_ups, !larger);
  gtk_widget_set_visible (self->pictures, !larger || !fills);
  *frames = FRAMES_TO_LAY_OUT;
  gtk_widget_add_tick_callback (GTK_WIDGET (self), place_late, frames, g_free);
}

static void
on_sheet (SlCentre *self)
{
  make_shown_sheet (self);
  if (sl_is_on (self->larger_button))
    show_larger (self);
  else if (sheet_of (self) != NULL)
    gtk_widget_remove_css_class (sheet_of (self), "sl-larger");
}

GtkToggleButton *
sl_centre_get_larger (SlCentre *self)
{
  return GTK_TOGGLE_BUTTON (self->larger_button);
}

/* Side view above, close-ups below: both grow with the window, the side view most. */
static void
measure_pictures (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                  int *minimum_baseline, int *natural_baseline)
{
  GtkWidget *side = gtk_widget_get_first_child (widget);
  GtkWidget *close_ups = gtk_widget_get_next_sibling (side);
  int side_least, side_natural, close_ups_least = sl_least (close_ups, orientation, for_size);

  gtk_widget_measure (side, orientation, for_size, &side_least, &side_natural, NULL, NULL);
  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    {
      *minimum = MAX (side_least, close_ups_least);
      *natural = MAX (*minimum, side_natural);
      return;
    }
  close_ups_least =
      gtk_widget_get_visible (close_ups) ? SL_SPACE_WIDE + MAX (close_ups_least, CLOSE_UP_LEAST_HEIGHT) : 0;
  *minimum = side_least + close_ups_least;
  *natural = MAX (*minimum, side_natural + close_ups_least);
}

static void
allocate_pictures (GtkWidget *widget, int width, int height, int baseline)
{
  GtkWidget *side = gtk_widget_get_first_child (widget);
  GtkWidget *close_ups = gtk_widget_get_next_sibling (side);
  int least, share;

  if (!gtk_widget_get_visible (close_ups))
    {
      gtk_widget_size_allocate (side, &(GtkAllocation){ 0, 0, width, height }, -1);
      return;
    }
  least = MAX (sl_least (close_ups, GTK_ORIENTATION_VERTICAL, width), CLOSE_UP_LEAST_HEIGHT);
  share = CLAMP ((int) (CLOSE_UP_SHARE * height), least, MAX (least, CLOSE_UP_MOST_HEIGHT));
  share = CLAMP (height - SL_SPACE_WIDE - sl_least (side, GTK_ORIENTATION_VERTICAL, width), least, share);
  gtk_widget_size_allocate (side, &(GtkAllocation){ 0, 0, width, height - SL_SPACE_WIDE - share }, -1);
  gtk_widget_size_allocate (close_ups, &(GtkAllocation){ 0, height - share, width, share }, -1);
}

static void
sl_centre_class_init (SlCentreClass *class)
{
  sl_template_bind (
      class, "centre", SL_MEMBERS (SlCentre, bass_button, sheets),
      "bass_button treble_button all_button string_chooser held_chooser factor_scale factor_label automatic_button "
      "factor_adjustment split pictures toolbar side_slot close_ups sheets_box tabs larger_button sheets",
      SL_CALL (on_quick_choice), SL_CALL (on_factor_moved), SL_CALL (on_automatic_toggled), NULL);
}

static void
sl_centre_init (SlCentre *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  sl_chooser_init (self->string_chooser, _ ("String shown"), G_CALLBACK (on_chosen), self);
  sl_chooser_init (self->held_chooser, _ ("Fret the string is held at"), G_CALLBACK (on_chosen), self);
  sl_guard_wheel (self->factor_scale);
  sl_list_late (self->string_chooser);
  sl_list_late (self->held_chooser);
  sl_lay_out (self->pictures, measure_pictures, allocate_pictures);
  g_signal_connect (self->split, "notify::max-position", G_CALLBACK (on_room_known), self);
  sl_name_paned (self->split, _ ("Drawing and sheets"));
  sl_flow (self->toolbar, SL_SPACE);
  sl_flow (self->tabs, 0);
}

GtkWidget *
sl_centre_new (SlBench *bench)
{
  SlCentre *self = g_object_new (SL_TYPE_CENTRE, NULL);

  self->bench = sl_keep (self, bench);
  self->side = sl_side_view_new (bench, SL_PICTURE_SIDE); /* named by itself, after what it shows */
  gtk_widget_set_hexpand (self->side, TRUE);
  gtk_widget_set_vexpand (self->side, TRUE);
  gtk_box_append (GTK_BOX (self->side_slot), self->side);
  g_signal_connect_object (self->side, "realize", G_CALLBACK (on_side_realized), self, 0);
  add_close_up (self, SL_PICTURE_NUT);
  add_close_up (self, SL_PICTURE_FRET_12);
  add_close_up (self, SL_PICTURE_BRIDGE);
  add_sheet (self, sl_gaps_sheet_new, "gaps", _ ("Gaps"));
  add_sheet (self, sl_frets_sheet_new, "frets", _ ("Frets"));
  add_sheet (self, sl_strings_sheet_new, "strings", _ ("Strings"));
  add_sheet (self, sl_pitch_sheet_new, "pitch", _ ("Pitch"));
  add_sheet (self, sl_climate_sheet_new, "climate", _ ("Climate"));
  add_sheet (self, sl_history_sheet_new, "history", _ ("History"));
  add_sheet (self, sl_visit_sheet_new, "visit", _ ("Visit"));
  sl_bench_follow (bench, SL_CHANGED_INSTRUMENT, G_CALLBACK (fill_choosers), self);
  sl_bench_follow (bench, SL_CHANGED_INSTRUMENT | SL_CHANGED_STRING | SL_CHANGED_HELD, G_CALLBACK (show_choices), self);
  sl_bench_follow (bench, SL_CHANGED_HEIGHT_FACTOR, G_CALLBACK (show_factor), self);
  g_signal_connect_object (self->sheets, "notify::visible-child", G_CALLBACK (on_sheet), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->larger_button, "toggled", G_CALLBACK (show_larger), self, G_CONNECT_SWAPPED);
  gtk_button_set_label (GTK_BUTTON (self->larger_button), _ ("Show larger"));
  make_shown_sheet (self);
  fill_choosers (self);
  show_choices (self);
  show_factor (self);
  return GTK_WIDGET (self);
}

GtkWidget *
sl_centre_show_sheet (GtkWidget *centre, const char *name)
{
  SlCentre *self = SL_CENTRE (centre);
  GtkWidget *page = gtk_stack_get_child_by_name (GTK_STACK (self->sheets), name);

  if (page != NULL)
    gtk_stack_set_visible_child (GTK_STACK (self->sheets), page);
  if (page != NULL || !g_str_equal (name, "side-view"))
    return page;
  if (!gtk_widget_get_mapped (self->side))
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->larger_button), FALSE);
  return self->side;
}

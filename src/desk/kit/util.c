/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/util.h"

/* GtkScrolledWindow's own step for one click of a wheel is page size to this power. */
#define WHEEL_STEP_POWER (2.0 / 3.0)

#define SEEN_ABOVE 40 /* what is seen above a place that is scrolled to */

#define HANDLE_AWAY 100

#define NAME "sl-name"

/* Whether @text is another than the widget had as @key: the toolkit tells of every one it is given, new or not, and a
 * screen reader says that of what has the keyboard. */
static gboolean
keep_text (GtkWidget *widget, const char *key, const char *text)
{
  if (g_strcmp0 (g_object_get_data (G_OBJECT (widget), key), text) == 0)
    return FALSE;
  g_object_set_data_full (G_OBJECT (widget), key, g_strdup (text), g_free);
  return TRUE;
}

void
sl_set_accessible_label (GtkWidget *widget, const char *label)
{
  if (!keep_text (widget, NAME, label))
    return;
  gtk_accessible_update_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  if (GTK_IS_DROP_DOWN (widget) && GTK_IS_TOGGLE_BUTTON (gtk_widget_get_first_child (widget)))
    sl_set_accessible_label (gtk_widget_get_first_child (widget), label);
}

const char *
sl_entry_name (GtkWidget *entry)
{
  return g_object_get_data (G_OBJECT (entry), NAME);
}

void
sl_name_as (GtkWidget *widget, const char *format, ...)
{
  g_autofree char *name = NULL;
  va_list values;

  va_start (values, format);
  name = g_strdup_vprintf (format, values);
  va_end (values);
  sl_set_accessible_label (widget, name);
}

void
sl_name_with_tip (GtkWidget *button, const char *format, ...)
{
  g_autofree char *name = NULL;
  va_list values;

  va_start (values, format);
  name = g_strdup_vprintf (format, values);
  va_end (values);
  sl_set_accessible_label (button, name);
  gtk_widget_set_tooltip_text (button, name);
}

void
sl_name_paned (GtkWidget *paned, const char *name)
{
  GtkWidget *start = gtk_paned_get_start_child (GTK_PANED (paned));
  GtkWidget *end = gtk_paned_get_end_child (GTK_PANED (paned));

  sl_set_accessible_label (paned, name);
  for (GtkWidget *child = gtk_widget_get_first_child (paned); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (child != start && child != end)
      sl_set_accessible_label (child, name);
}

void
sl_clear_handle (GtkWidget *paned)
{
  GtkWidget *start = gtk_paned_get_start_child (GTK_PANED (paned)),
            *handle = start == NULL ? NULL : gtk_widget_get_next_sibling (start);

  if (handle != NULL && !gtk_widget_get_child_visible (handle))
    gtk_widget_size_allocate (handle, &(GtkAllocation){ -HANDLE_AWAY, -HANDLE_AWAY, HANDLE_AWAY / 2, HANDLE_AWAY / 2 },
                              -1);
}

void
sl_name_scroll_bar (GtkWidget *bar, const char *scrolled)
{
  /* Translators: a scroll bar; %s is what is scrolled, "Readings". */
  sl_name_as (bar, _ ("Scroll: %s"), scrolled);
  sl_set_accessible_label (gtk_widget_get_first_child (bar), sl_entry_name (bar)); /* the range, which has the value */
}

void
sl_name_scrolled (GtkWidget *scrolled, const char *name)
{
  sl_set_accessible_label (scrolled, name);
  sl_name_scroll_bar (gtk_scrolled_window_get_hscrollbar (GTK_SCROLLED_WINDOW (scrolled)), name);
  sl_name_scroll_bar (gtk_scrolled_window_get_vscrollbar (GTK_SCROLLED_WINDOW (scrolled)), name);
}

GtkWidget *
sl_scrolled_new (GtkWidget *child, const char *name)
{
  GtkWidget *scrolled = g_object_new (GTK_TYPE_SCROLLED_WINDOW, "hscrollbar-policy", GTK_POLICY_NEVER, "child", child,
                                      "vexpand", TRUE, NULL);

  sl_name_scrolled (scrolled, name);
  return scrolled;
}

void
sl_name_mnemonic_button (GtkWidget *button)
{
  g_auto (GStrv) parts = g_strsplit (gtk_button_get_label (GTK_BUTTON (button)), "_", 2);
  g_autofree char *name = g_strjoinv (NULL, parts);

  gtk_accessible_reset_relation (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_RELATION_LABELLED_BY);
  sl_set_accessible_label (button, name);
}

static void
describe (GtkWidget *widget, const char *description)
{
  if (description != NULL)
    gtk_accessible_update_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, description, -1);
  else
    gtk_accessible_reset_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION);
}

void
sl_set_accessible_description (GtkWidget *widget, const char *description)
{
  if (keep_text (widget, "accessible-description", description))
    describe (widget, description);
}

/* Once it has lost the keyboard, it is described as before. */
static void
on_told (GtkWidget *focus, GParamSpec *pspec, GtkWidget *described)
{
  if (gtk_widget_has_focus (focus))
    return;
  g_signal_handlers_disconnect_by_func (focus, on_told, described);
  describe (described, g_object_get_data (G_OBJECT (described), "accessible-description"));
}

void
sl_tell_reader (GtkWindow *window, const char *sentence)
{
  GtkApplication *app = gtk_window_get_application (window);
  GtkWindow *active = app == NULL ? NULL : gtk_application_get_active_window (app);
  GtkWidget *focus = gtk_window_get_focus (active != NULL ? active : window), *described = focus;

  /* what changes something; pictures and tables describe themselves */
  if (!GTK_IS_TEXT (focus) && !GTK_IS_RANGE (focus) && !GTK_IS_BUTTON (focus) && !GTK_IS_CHECK_BUTTON (focus) &&
      !GTK_IS_SWITCH (focus))
    return;
  if (GTK_IS_EDITABLE (gtk_widget_get_parent (focus))) /* which has the name, too */
    described = gtk_widget_get_parent (focus);
  g_signal_handlers_disconnect_by_func (focus, on_told, described);
  g_signal_connect (focus, "notify::has-focus", G_CALLBACK (on_told), described);
  describe (described, sentence);
}

static gboolean
scroll_now (GtkWidget *widget, GdkFrameClock *clock, gpointer top)
{
  GtkWidget *panel = gtk_widget_get_ancestor (widget, GTK_TYPE_SCROLLED_WINDOW);
  graphene_rect_t bounds;

  if (panel != NULL &&
      gtk_widget_compute_bounds (widget, gtk_widget_get_first_child (gtk_widget_get_first_child (panel)), &bounds))
    gtk_adjustment_clamp_page (gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (panel)),
                               bounds.origin.y - SEEN_ABOVE,
                               top != NULL ? G_MAXDOUBLE : bounds.origin.y + bounds.size.height);
  return G_SOURCE_REMOVE;
}

/* What was shown or made just now is laid out later in the frame: the next one knows its place. */
static gboolean
scroll_next (GtkWidget *widget, GdkFrameClock *clock, gpointer top)
{
  gtk_widget_add_tick_callback (widget, scroll_now, top, NULL);
  return G_SOURCE_REMOVE;
}

void
sl_scroll_to (GtkWidget *widget, gboolean top)
{
  gtk_widget_add_tick_callback (widget, scroll_next, GINT_TO_POINTER (top), NULL);
}

guint
sl_plain_key (guint key)
{
  if (key >= GDK_KEY_KP_Home && key <= GDK_KEY_KP_End) /* in the same order */
    return key - GDK_KEY_KP_Home + GDK_KEY_Home;
  return key == GDK_KEY_KP_Enter || key == GDK_KEY_ISO_Enter ? GDK_KEY_Return : key;
}

static gboolean
on_scroll (GtkEventControllerScroll *controller, double dx, double dy, gpointer data)
{
  GtkWidget *widget = gtk_event_controller_get_widget (GTK_EVENT_CONTROLLER (controller));
  GtkWidget *panel = gtk_widget_get_ancestor (widget, GTK_TYPE_SCROLLED_WINDOW);
  GtkAdjustment *adjustment;
  double step = 1.0;

  if (panel == NULL)
    return GDK_EVENT_STOP;
  adjustment = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (panel));
  if (gtk_event_controller_scroll_get_unit (controller) == GDK_SCROLL_UNIT_WHEEL)
    step = pow (gtk_adjustment_get_page_size (adjustment), WHEEL_STEP_POWER);
  gtk_adjustment_set_value (adjustment, gtk_adjustment_get_value (adjustment) + dy * step);
  return GDK_EVENT_STOP;
}

void
sl_guard_wheel (GtkWidget *widget)
{
  GtkEventController *controller = gtk_event_controller_scroll_new (GTK_EVENT_CONTROLLER_SCROLL_BOTH_AXES);

  gtk_event_controller_set_propagation_phase (controller, GTK_PHASE_CAPTURE);
  g_signal_connect (controller, "scroll", G_CALLBACK (on_scroll), NULL);
  gtk_widget_add_controller (widget, controller);
}

static void
on_list_realized (GtkWidget *popover)
{
  gtk_drop_down_set_list_factory (GTK_DROP_DOWN (gtk_widget_get_parent (popover)), NULL);
}

void
sl_list_late (GtkWidget *drop_down)
{
  g_autoptr (GtkListItemFactory) empty = gtk_signal_list_item_factory_new ();
  GtkWidget *popover = gtk_widget_get_last_child (drop_down);

  g_return_if_fail (GTK_IS_POPOVER (popover));
  gtk_drop_down_set_list_factory (GTK_DROP_DOWN (drop_down), empty);
  g_signal_connect (popover, "realize", G_CALLBACK (on_list_realized), NULL);
}

void
sl_empty_box (GtkWidget *box)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (box)) != NULL)
    gtk_box_remove (GTK_BOX (box), child);
}

GtkWidget *
sl_label_new (const char *text, const char *css_classes)
{
  g_auto (GStrv) classes = g_strsplit (css_classes != NULL ? css_classes : "", " ", -1);

  return g_object_new (GTK_TYPE_LABEL, "label", text, "xalign", 0.0f, "css-classes", classes, NULL);
}

GtkWidget *
sl_text_new (const char *text, const char *css_classes)
{
  GtkWidget *label = sl_label_new (text, css_classes);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  return label;
}

GtkWidget *
sl_text_add (GtkWidget *box, const char *text, const char *css_classes)
{
  GtkWidget *label = sl_text_new (text, css_classes);

  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

GtkWidget *
sl_box_add (GtkWidget *box, ...)
{
  GtkWidget *child;
  va_list children;

  va_start (children, box);
  while ((child = va_arg (children, GtkWidget *)) != NULL)
    gtk_box_append (GTK_BOX (box), child);
  va_end (children);
  return box;
}

char *
sl_capital (const char *text)
{
  char first[7] = "";

  g_unichar_to_utf8 (g_unichar_toupper (g_utf8_get_char (text)), first);
  return *text == '\0' ? g_strdup ("") : g_strconcat (first, g_utf8_next_char (text), NULL);
}

void
sl_label_set (GtkWidget *label, const char *text)
{
  if (g_strcmp0 (gtk_label_get_text (GTK_LABEL (label)), text) != 0)
    gtk_label_set_text (GTK_LABEL (label), text);
}

void
sl_label_set_name (GtkWidget *label, const char *name)
{
  g_autoptr (PangoAttrList) attributes = pango_attr_list_new ();
  PangoAttribute *whole = pango_attr_allow_breaks_new (FALSE);
  const char *last = strrchr (name, ' ');

  whole->end_index = (guint) strlen (name);
  whole->start_index = last != NULL && g_ascii_isdigit (last[1]) ? (guint) (last - name) : whole->end_index;
  pango_attr_list_insert (attributes, whole);
  gtk_label_set_attributes (GTK_LABEL (label), attributes);
  sl_label_set (label, name);
}

void
sl_set_remark (GtkWidget *remark, const char *text)
{
  const char *now = text == NULL ? "" : text;

  sl_label_set (remark, now);
  gtk_widget_set_visible (remark, *now != '\0');
}

void
sl_label_say (GtkWidget *label, const char *format, ...)
{
  g_autofree char *text = NULL;
  va_list values;

  va_start (values, format);
  text = g_strdup_vprintf (format, values);
  va_end (values);
  sl_label_set (label, text);
}

void
sl_set_class (GtkWidget *widget, const char *css_class, gboolean on)
{
  if (on)
    gtk_widget_add_css_class (widget, css_class);
  else
    gtk_widget_remove_css_class (widget, css_class);
}

GActionMap *
sl_add_actions (GtkWidget *widget, const char *name, const GActionEntry *entries, int n, gpointer data)
{
  GSimpleActionGroup *group = g_simple_action_group_new ();

  g_action_map_add_action_entries (G_ACTION_MAP (group), entries, n, data);
  gtk_widget_insert_action_group (widget, name, G_ACTION_GROUP (group));
  g_object_unref (group);
  return G_ACTION_MAP (group); /* the widget keeps it */
}

gpointer
sl_keep (gpointer keeper, gpointer kept)
{
  g_object_set_data_full (keeper, G_OBJECT_TYPE_NAME (kept), g_object_ref (kept), g_object_unref);
  return kept;
}

void
sl_add_classes (GtkWidget *widget, const char *first, const char *second)
{
  gtk_widget_add_css_class (widget, first);
  if (second != NULL)
    gtk_widget_add_css_class (widget, second);
}

void
sl_set_chars (GtkWidget *entry, int chars)
{
  gtk_editable_set_width_chars (GTK_EDITABLE (entry), chars);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (entry), chars);
}

void
sl_chooser_init (GtkWidget *chooser, const char *name, GCallback chosen, gpointer data)
{
  sl_set_accessible_label (chooser, name);
  sl_guard_wheel (chooser);
  g_object_set_data (G_OBJECT (chooser), "chosen",
                     GSIZE_TO_POINTER (g_signal_connect_swapped (chooser, "notify::selected", chosen, data)));
}

static gboolean
same_titles (GListModel *there, GListModel *titles)
{
  const guint n = there != NULL ? g_list_model_get_n_items (there) : 0;
  gboolean same = n == g_list_model_get_n_items (titles) && GTK_IS_STRING_LIST (there);

  for (guint i = 0; i < n && same; i++)
    same = g_str_equal (gtk_string_list_get_string (GTK_STRING_LIST (there), i),
                        gtk_string_list_get_string (GTK_STRING_LIST (titles), i));
  return same;
}

/* A list that is exchanged while something of it is being chosen is freed under GTK's hands. */
void
sl_chooser_fill (GtkWidget *chooser, GtkStringList *titles, guint selected)
{
  const gulong chosen = GPOINTER_TO_SIZE (g_object_get_data (G_OBJECT (chooser), "chosen"));

  g_signal_handler_block (chooser, chosen);
  if (titles != NULL && !same_titles (gtk_drop_down_get_model (GTK_DROP_DOWN (chooser)), G_LIST_MODEL (titles)))
    gtk_drop_down_set_model (GTK_DROP_DOWN (chooser), G_LIST_MODEL (titles));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (chooser), selected);
  g_signal_handler_unblock (chooser, chosen);
}

guint
sl_chosen (gpointer drop_down)
{
  return gtk_drop_down_get_selected (drop_down);
}

gboolean
sl_is_on (gpointer control)
{
  return GTK_IS_TOGGLE_BUTTON (control)  ? gtk_toggle_button_get_active (control)
         : GTK_IS_CHECK_BUTTON (control) ? gtk_check_button_get_active (control)
                                         : gtk_switch_get_active (control);
}

static void
on_response (GtkNativeDialog *dialog, int response, gpointer object)
{
  SlFilesChosen chosen = (SlFilesChosen) g_object_get_data (G_OBJECT (dialog), "chosen");
  g_autoptr (GListModel) files = gtk_file_chooser_get_files (GTK_FILE_CHOOSER (dialog));

  if (response == GTK_RESPONSE_ACCEPT && g_list_model_get_n_items (files) > 0)
    chosen (object, files);
  g_object_set_data (object, "chooser", NULL);
}

GtkFileChooser *
sl_choose_files (GtkWidget *from, const char *title, GtkFileChooserAction action, const char *accept, GFile *at,
                 SlFilesChosen chosen)
{
  GtkFileChooserNative *chooser =
      gtk_file_chooser_native_new (title, GTK_WINDOW (gtk_widget_get_root (from)), action, accept, _ ("_Cancel"));

  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (chooser), TRUE);
  if (at != NULL)
    gtk_file_chooser_set_file (GTK_FILE_CHOOSER (chooser), at, NULL);
  g_object_set_data (G_OBJECT (chooser), "chosen", (gpointer) chosen);
  g_object_set_data_full (G_OBJECT (from), "chooser", chooser, g_object_unref); /* it is no widget: kept until then */
  g_signal_connect_object (chooser, "response", G_CALLBACK (on_response), from, 0);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (chooser));
  return GTK_FILE_CHOOSER (chooser);
}

GtkWidget *
sl_segment_add (GtkWidget *segments, const char *label)
{
  GtkWidget *first = gtk_widget_get_first_child (segments), *button = gtk_toggle_button_new_with_label (label);

  if (first == NULL)
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button), TRUE);
  else
    gtk_toggle_button_set_group (GTK_TOGGLE_BUTTON (button), GTK_TOGGLE_BUTTON (first));
  gtk_box_append (GTK_BOX (segments), button);
  return button;
}

static GtkSizeRequestMode
height_for_width (GtkWidget *widget)
{
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

void
sl_lay_out (GtkWidget *box, GtkCustomMeasureFunc measure, GtkCustomAllocateFunc allocate)
{
  gtk_widget_set_layout_manager (box, gtk_custom_layout_new (height_for_width, measure, allocate));
}

int
sl_least (GtkWidget *widget, GtkOrientation orientation, int for_size)
{
  int minimum;

  gtk_widget_measure (widget, orientation, for_size, &minimum, NULL, NULL, NULL);
  return minimum;
}

int
sl_natural_width (GtkWidget *widget)
{
  int natural;

  gtk_widget_measure (widget, GTK_ORIENTATION_HORIZONTAL, -1, NULL, &natural, NULL, NULL);
  return natural;
}

int
sl_natural_height (GtkWidget *widget, int width)
{
  int natural;

  gtk_widget_measure (widget, GTK_ORIENTATION_VERTICAL, width, NULL, &natural, NULL, NULL);
  return natural;
}

GtkWidget *
sl_find_named (GtkWidget *root, const char *name)
{
  GtkWidget *found = g_str_equal (gtk_widget_get_name (root), name) ? root : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = sl_find_named (child, name);
  return found;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/length-entry.h"

#include "desk/kit/util.h"

/* Shown decimals of a length: a feeler gauge's hundredth of a millimetre (common practice). */
#define DEFAULT_PLACES 2
#define DEFAULT_STEP 0.01

/* Steps of the Up and Down keys in inches: a thousandth, as dial gauges are divided (common practice), and a 64th. */
#define INCH_STEP (0.001 * SL_MM_PER_INCH)
#define STEP_64TH (SL_MM_PER_INCH / 64.0)
#define SHIFT_STEPS 10.0

/* Room for "27/64+" or "−12.34". */
#define WIDTH_CHARS 6

struct _SlLengthEntry
{
  GtkEntry parent_instance;

  /* what it is for */
  SlLengths lengths;
  char *unit;      /* of a plain number; NULL: a length */
  SlLengthUse use; /* its texts are not kept */
  double assumed;
  char *description;

  /* what stands in it */
  double value;
  char *shown; /* the text last put in by the program: other text is a person's */
  char *message;
  gboolean whole; /* all of it is selected, or was until the selection went to somebody else */
  gboolean stepping, first_click;
  gboolean showing, accepting; /* its text is on its way */
  char *refusal;               /* of what is being accepted */
  char *step_name;             /* of the undo step a run of Up or Down presses is; NULL: none */
};

enum
{
  MESSAGE = 1,
  VALUE
};

G_DEFINE_FINAL_TYPE (SlLengthEntry, sl_length_entry, GTK_TYPE_ENTRY)

static gboolean
same (double a, double b)
{
  return (isnan (a) && isnan (b)) || a == b;
}

/* The units a bare number is read in and the value is shown in. */
static SlLengths
units_in_force (SlLengthEntry *self)
{
  return self->lengths == SL_LENGTHS_64THS && !self->use.coarse ? SL_LENGTHS_INCH : self->lengths;
}

static char *
text_for (SlLengthEntry *self, double value)
{
  const SlLengthText how = { units_in_force (self), self->unit, self->use.places, NULL };

  return sl_length_text_write (&how, value);
}

static gboolean
has_persons_text (SlLengthEntry *self)
{
  return !g_str_equal (gtk_editable_get_text (GTK_EDITABLE (self)), self->shown);
}

static void
update_description (SlLengthEntry *self)
{
  sl_set_accessible_description (GTK_WIDGET (self), self->message ? self->message : self->description);
}

static void
set_message (SlLengthEntry *self, const char *message)
{
  if (g_strcmp0 (self->message, message) == 0)
    return;
  g_free (self->message);
  self->message = g_strdup (message);
  sl_typed_mark (GTK_WIDGET (self), message != NULL);
  update_description (self);
  g_object_notify (G_OBJECT (self), "message");
}

/* In inches the tooltip keeps the millimetres: a 64th is too coarse to show what was read. */
static void
update_tooltip (SlLengthEntry *self)
{
  g_autofree char *text = NULL;
  if (!self->unit && self->lengths != SL_LENGTHS_MM && !isnan (self->value))
    text = sl_length_format (self->value, SL_LENGTHS_MM, self->use.places, sl_decimal_sign (), TRUE);
  if (g_strcmp0 (gtk_widget_get_tooltip_text (GTK_WIDGET (self)), text) == 0) /* setting it asks the display */
    return;
  gtk_widget_set_tooltip_text (GTK_WIDGET (self), text);
  sl_set_accessible_description (GTK_WIDGET (self), ""); /* GTK made the tooltip the description */
  update_description (self);
}

static void
on_changed (SlLengthEntry *self)
{
  if (!self->showing && !self->accepting)
    sl_typed_note (GTK_WIDGET (self), has_persons_text (self), (SlTypedTake) sl_length_entry_commit);
}

static void
show_value (SlLengthEntry *self)
{
  GtkEditable *editable = GTK_EDITABLE (self);
  g_free (self->shown);
  self->shown = text_for (self, self->value);
  /* Switching text undo off forgets its history: Ctrl+Z now belongs to the window, whose undo knows the value. */
  gtk_editable_set_enable_undo (editable, FALSE);
  if (!g_str_equal (gtk_editable_get_text (editable), self->shown))
    {
      self->showing = TRUE; /* a text is exchanged in two changes */
      gtk_editable_set_text (editable, self->shown);
      gtk_editable_set_position (editable, -1);
      self->showing = FALSE;
    }
  gtk_editable_set_enable_undo (editable, TRUE);
  on_changed (self);
  update_tooltip (self);
  set_message (self, NULL);
}

static void
show_assumed (SlLengthEntry *self)
{
  g_autofree char *text = text_for (self, self->assumed);
  /* replacing none by none would still make a widget */
  if (*text || gtk_entry_get_placeholder_text (GTK_ENTRY (self)) != NULL)
    gtk_entry_set_placeholder_text (GTK_ENTRY (self), *text ? text : NULL);
}

/* The value is shown in another way; a person's text stays. */
static void
show_again (SlLengthEntry *self)
{
  show_assumed (self);
  if (has_persons_text (self))
    update_tooltip (self);
  else
    show_value (self);
}

/* The value of the text, or what is wrong with it (free with g_free()). */
static char *
read_text (SlLengthEntry *self, double *value)
{
  const SlLengthText how = { units_in_force (self), self->unit, self->use.places, self->use.bound };
  g_autofree char *text = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self))));

  if (!*text)
    {
      *value = NAN;
      return !self->use.required ? NULL : g_strdup (_ ("A value is needed here. Press Escape to restore the old one."));
    }
  return sl_length_text_read (&how, text, value);
}

void
sl_length_entry_refuse (SlLengthEntry *self, const char *message)
{
  g_free (self->refusal);
  self->refusal = g_strdup (message);
}

/* FALSE: it was refused by whoever was told. */
static gboolean
accept (SlLengthEntry *self, double value)
{
  g_autoptr (SlLengthEntry) alive = g_object_ref (self);
  g_autofree char *typed = g_strdup (gtk_editable_get_text (GTK_EDITABLE (self))), *refusal = NULL;
  const double before = self->value;
  gboolean changed = !same (value, before);

  self->accepting = TRUE; /* until it is in force */
  self->value = value;
  show_value (self);
  if (changed)
    g_signal_emit_by_name (self, "committed", value);
  refusal = g_steal_pointer (&self->refusal);
  if (refusal != NULL)
    {
      self->value = before;
      show_value (self);
      gtk_editable_set_text (GTK_EDITABLE (self), typed);
      set_message (self, refusal);
    }
  else if (changed)
    g_object_notify (G_OBJECT (self), "value");
  self->accepting = FALSE;
  on_changed (self);
  return refusal == NULL;
}

gboolean
sl_length_entry_commit (SlLengthEntry *self)
{
  double value = NAN;
  g_autofree char *wrong = NULL;

  if (!has_persons_text (self))
    return TRUE; /* the value may have more digits than its text */
  wrong = read_text (self, &value);
  if (wrong)
    {
      set_message (self, wrong);
      return FALSE;
    }
  return accept (self, value);
}

static void
end_steps (SlLengthEntry *self)
{
  if (!self->stepping)
    return;
  self->stepping = FALSE;
  g_signal_emit_by_name (self, "steps-end");
}

static void
begin_gesture (SlLengthEntry *self, SlBench *bench)
{
  sl_bench_begin_gesture (bench, self->step_name);
}

void
sl_length_entry_join_steps (SlLengthEntry *self, SlBench *bench, const char *name)
{
  if (self->step_name == NULL)
    {
      g_signal_connect_object (self, "steps-begin", G_CALLBACK (begin_gesture), bench, 0);
      g_signal_connect_object (self, "steps-end", G_CALLBACK (sl_bench_end_gesture), bench, G_CONNECT_SWAPPED);
    }
  g_free (self->step_name);
  self->step_name = g_strdup (name);
}

/* Up and Down go to the next whole step, as a divided scale would. */
static void
step_by (SlLengthEntry *self, double steps)
{
  const SlLengths units = units_in_force (self);
  const double size = self->unit != NULL || units == SL_LENGTHS_MM ? self->use.step
                      : units == SL_LENGTHS_64THS                  ? STEP_64TH
                                                                   : INCH_STEP;
  double from, to;

  if (!sl_length_entry_commit (self))
    return;
  from = isnan (self->value) ? self->assumed : self->value;
  if (isnan (from))
    return;
  to = (round (from / size) + steps) * size;
  to = sl_length_kept (to);
  if (self->use.bound)
    to = CLAMP (to, self->use.bound->least, self->use.bound->most);
  if (!self->stepping)
    {
      self->stepping = TRUE;
      g_signal_emit_by_name (self, "steps-begin");
    }
  accept (self, to);
}

/* Leaving or confirming: an invalid text is selected, so that the next reading of a gauge replaces it. */
static void
confirm (SlLengthEntry *self, int by)
{
  end_steps (self);
  if (sl_length_entry_commit (self))
    g_signal_emit_by_name (self, "step", by);
  else
    gtk_editable_select_region (GTK_EDITABLE (self), 0, -1);
}

static void
on_activate (SlLengthEntry *self)
{
  confirm (self, 1);
}

void
sl_length_entry_move_on (GtkWidget *entry, int by)
{
  gtk_widget_child_focus (GTK_WIDGET (gtk_widget_get_root (entry)),
                          by > 0 ? GTK_DIR_TAB_FORWARD : GTK_DIR_TAB_BACKWARD);
}

static void
on_selection (SlLengthEntry *self)
{
  int start, end;

  if (gtk_editable_get_selection_bounds (GTK_EDITABLE (self), &start, &end))
    self->whole = start == 0 && end == (int) gtk_entry_get_text_length (GTK_ENTRY (self));
}

/* What is typed takes the place of a value that was selected whole. What is selected is the display's primary
 * selection, and is unselected when somebody else takes that; on a busy display even by a late word of its holder
 * before. Where the caret was moved instead nobody has it. */
static void
select_again (SlLengthEntry *self, guint keyval)
{
  GdkClipboard *primary = gtk_widget_get_primary_clipboard (GTK_WIDGET (self));
  const gboolean taken = !gdk_clipboard_is_local (primary) || gdk_clipboard_get_content (primary) != NULL;

  if (self->whole && taken && !has_persons_text (self) && gdk_keyval_to_unicode (keyval) != 0)
    gtk_editable_select_region (GTK_EDITABLE (self), 0, -1);
}

static gboolean
on_key_pressed (SlLengthEntry *self, guint keyval, guint keycode, GdkModifierType state,
                GtkEventControllerKey *controller)
{
  gboolean shift = (state & GDK_SHIFT_MASK) != 0;
  if (state & (GDK_CONTROL_MASK | GDK_ALT_MASK))
    return GDK_EVENT_PROPAGATE;

  switch (sl_plain_key (keyval))
    {
    case GDK_KEY_Escape:
      if (!has_persons_text (self) && !self->message)
        return GDK_EVENT_PROPAGATE;
      show_value (self);
      gtk_editable_select_region (GTK_EDITABLE (self), 0, -1);
      return GDK_EVENT_STOP;
    case GDK_KEY_Return:
      if (!shift)
        return GDK_EVENT_PROPAGATE; /* comes back as "activate" */
      confirm (self, -1);
      return GDK_EVENT_STOP;
    case GDK_KEY_Up: step_by (self, shift ? SHIFT_STEPS : 1); return GDK_EVENT_STOP;
    case GDK_KEY_Down: step_by (self, shift ? -SHIFT_STEPS : -1); return GDK_EVENT_STOP;
    default: select_again (self, keyval); return GDK_EVENT_PROPAGATE;
    }
}

static void
on_key_released (SlLengthEntry *self, guint keyval, guint keycode, GdkModifierType state,
                 GtkEventControllerKey *controller)
{
  const guint key = sl_plain_key (keyval);

  if (key == GDK_KEY_Up || key == GDK_KEY_Down)
    end_steps (self);
}

/* The first click selects the figure, as Tab does, so that what is typed takes its place; another one sets the caret,
 * and a drag selects what it passes over. */
static gboolean
on_event (SlLengthEntry *self, GdkEvent *event)
{
  const GdkEventType type = gdk_event_get_event_type (event);

  if (type == GDK_BUTTON_PRESS)
    self->first_click = (gtk_widget_get_state_flags (GTK_WIDGET (self)) & GTK_STATE_FLAG_FOCUS_WITHIN) == 0;
  else if (type == GDK_BUTTON_RELEASE && self->first_click &&
           !gtk_editable_get_selection_bounds (GTK_EDITABLE (self), NULL, NULL))
    gtk_editable_select_region (GTK_EDITABLE (self), 0, -1);
  return GDK_EVENT_PROPAGATE;
}

static void
on_focus_leave (SlLengthEntry *self)
{
  end_steps (self);
  sl_length_entry_commit (self);
  if (gtk_widget_is_focus (GTK_WIDGET (gtk_editable_get_delegate (GTK_EDITABLE (self)))))
    return; /* another window has the keyboard for a while: what is typed on coming back replaces the value still */
  gtk_editable_set_position (GTK_EDITABLE (self), -1); /* what was selected would stay marked in an entry left behind */
  self->whole = FALSE;
}

static void
sl_length_entry_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == MESSAGE)
    g_value_set_string (value, SL_LENGTH_ENTRY (object)->message);
  else
    g_value_set_double (value, SL_LENGTH_ENTRY (object)->value);
}

static void
sl_length_entry_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  sl_length_entry_set_value (SL_LENGTH_ENTRY (object), g_value_get_double (value));
}

static void
sl_length_entry_finalize (GObject *object)
{
  SlLengthEntry *self = SL_LENGTH_ENTRY (object);
  g_free (self->unit);
  g_free (self->description);
  g_free (self->shown);
  g_free (self->message);
  g_free (self->step_name);
  g_free (self->refusal);
  G_OBJECT_CLASS (sl_length_entry_parent_class)->finalize (object);
}

static void
sl_length_entry_class_init (SlLengthEntryClass *class)
{
  static const char *const plain_signals[] = { "steps-begin", "steps-end" };
  GObjectClass *object_class = G_OBJECT_CLASS (class);

  object_class->get_property = sl_length_entry_get_property;
  object_class->set_property = sl_length_entry_set_property;
  object_class->finalize = sl_length_entry_finalize;
  g_object_class_install_property (
      object_class, MESSAGE,
      g_param_spec_string ("message", NULL, NULL, NULL, G_PARAM_READABLE | G_PARAM_STATIC_STRINGS));
  g_object_class_install_property (
      object_class, VALUE,
      g_param_spec_double ("value", NULL, NULL, -G_MAXDOUBLE, G_MAXDOUBLE, 0,
                           G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS));
  g_signal_new ("committed", SL_TYPE_LENGTH_ENTRY, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                G_TYPE_DOUBLE);
  g_signal_new ("step", SL_TYPE_LENGTH_ENTRY, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_INT);
  for (gsize i = 0; i < G_N_ELEMENTS (plain_signals); i++)
    g_signal_new (plain_signals[i], SL_TYPE_LENGTH_ENTRY, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
sl_length_entry_init (SlLengthEntry *self)
{
  GtkEventController *keys = gtk_event_controller_key_new (), *focus = gtk_event_controller_focus_new (),
                     *clicks = gtk_event_controller_legacy_new ();

  self->use = (SlLengthUse){ .places = DEFAULT_PLACES, .step = DEFAULT_STEP };
  self->value = self->assumed = NAN;
  self->shown = g_strdup ("");

  gtk_widget_add_css_class (GTK_WIDGET (self), "length");
  gtk_editable_set_alignment (GTK_EDITABLE (self), 1.0f);
  gtk_widget_set_direction (GTK_WIDGET (gtk_editable_get_delegate (GTK_EDITABLE (self))), GTK_TEXT_DIR_LTR);
  sl_set_chars (GTK_WIDGET (self), WIDTH_CHARS);
  /* Not GTK_INPUT_PURPOSE_NUMBER: "5/64" and "90 thou" are numbers too. */
  gtk_entry_set_input_hints (GTK_ENTRY (self), GTK_INPUT_HINT_NO_SPELLCHECK | GTK_INPUT_HINT_NO_EMOJI);

  /* Before the text inside sees the key. */
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect_swapped (keys, "key-pressed", G_CALLBACK (on_key_pressed), self);
  g_signal_connect_swapped (keys, "key-released", G_CALLBACK (on_key_released), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  gtk_event_controller_set_propagation_phase (clicks, GTK_PHASE_CAPTURE);
  g_signal_connect_swapped (clicks, "event", G_CALLBACK (on_event), self);
  gtk_widget_add_controller (GTK_WIDGET (self), clicks);
  g_signal_connect_swapped (focus, "leave", G_CALLBACK (on_focus_leave), self);
  gtk_widget_add_controller (GTK_WIDGET (self), focus);
  g_signal_connect (self, "changed", G_CALLBACK (on_changed), NULL);
  g_signal_connect (self, "notify::selection-bound", G_CALLBACK (on_selection), NULL);
  g_signal_connect (self, "activate", G_CALLBACK (on_activate), NULL);
  g_signal_connect (self, "unmap", G_CALLBACK (end_steps), NULL); /* the key is let go elsewhere */
}

GtkWidget *
sl_length_entry_new (void)
{
  return g_object_new (SL_TYPE_LENGTH_ENTRY, NULL); /* named by who wants it */
}

GtkWidget *
sl_length_entry_set_up (GtkWidget *entry, SlLengthUse use)
{
  SlLengthEntry *self = SL_LENGTH_ENTRY (entry);

  self->use = use;
  if (use.step == 0)
    self->use.step = pow (10, -use.places);
  if (use.chars > 0)
    sl_set_chars (entry, use.chars);
  if (use.bench != NULL)
    sl_length_entry_join_steps (self, use.bench, use.step_name);
  sl_length_entry_set_plain (self, use.plain);
  return entry;
}

double
sl_length_entry_get_value (SlLengthEntry *self)
{
  return self->value;
}

void
sl_length_entry_set_value (SlLengthEntry *self, double value)
{
  const gboolean changed = !same (value, self->value);

  if (!changed && !has_persons_text (self))
    {
      g_autofree char *text = text_for (self, value);

      /* a form sets all its entries at each change, while a slider moves: what is shown already costs nothing */
      if (g_str_equal (text, self->shown))
        return;
    }
  self->value = value;
  /* Text that is being typed stays, and so does text that waits for correction, unless the value below it became
   * another one meanwhile. */
  if (has_persons_text (self) &&
      (!changed || (gtk_widget_get_state_flags (GTK_WIDGET (self)) & GTK_STATE_FLAG_FOCUS_WITHIN)))
    update_tooltip (self);
  else
    show_value (self);
}

void
sl_length_entry_set_lengths (SlLengthEntry *self, SlLengths lengths)
{
  if (self->lengths == lengths)
    return;
  self->lengths = lengths;
  show_again (self);
}

void
sl_length_entry_set_plain (SlLengthEntry *self, const char *unit)
{
  g_free (self->unit);
  self->unit = g_strdup (unit);
  show_again (self);
}

void
sl_length_entry_set_places (SlLengthEntry *self, int places)
{
  if (self->use.places == places)
    return;
  self->use.places = places;
  show_again (self);
}

void
sl_length_entry_set_assumed (SlLengthEntry *self, double value)
{
  if (same (value, self->assumed))
    return;
  self->assumed = value;
  show_assumed (self);
}

void
sl_length_entry_set_description (SlLengthEntry *self, const char *description)
{
  if (g_strcmp0 (self->description, description) == 0)
    return;
  g_free (self->description);
  self->description = g_strdup (description);
  update_description (self);
}

const char *
sl_length_entry_get_message (SlLengthEntry *self)
{
  return self->message;
}

/* ---- what forms put around entries ---- */

static gboolean
is_text (GBinding *binding, const GValue *from, GValue *to, gpointer data)
{
  g_value_set_boolean (to, g_value_get_string (from) != NULL);
  return TRUE;
}

GtkWidget *
sl_length_entry_new_message (SlLengthEntry *self)
{
  GtkWidget *label = g_object_new (GTK_TYPE_LABEL, "accessible-role", GTK_ACCESSIBLE_ROLE_ALERT, "wrap", TRUE, "xalign",
                                   0.0f, "visible", FALSE, NULL);
  gtk_widget_add_css_class (label, "entry-message");
  g_object_bind_property (self, "message", label, "label", G_BINDING_SYNC_CREATE);
  g_object_bind_property_full (self, "message", label, "visible", G_BINDING_SYNC_CREATE, is_text, NULL, NULL, NULL);
  return label;
}

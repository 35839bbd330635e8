/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/work/parts.h"

#include "desk/kit/kit.h"

#define ROUND_DIGITS 2
#define STEPS_PER_MM 100.0

struct _SlAmountRow
{
  GtkBox parent_instance;

  GtkWidget *line, *scale, *entry; /* of the template, in the order they are bound in */
  SlBench *bench;                  /* owned */
  const char *undo_name;           /* static */

  double value;
  double least, most; /* the span asked for */
  SlLengths lengths;
  gboolean updating, pressed;
};

G_DEFINE_FINAL_TYPE (SlAmountRow, sl_amount_row, GTK_TYPE_BOX)

static void
set_pressed (SlAmountRow *self, gboolean pressed)
{
  if (self->pressed == pressed)
    return;
  self->pressed = pressed;
  if (pressed)
    sl_bench_begin_gesture (self->bench, self->undo_name);
  else
    sl_bench_end_gesture (self->bench);
}

/* The range's own gestures claim the pointer, so the press is watched for before they see it. */
static gboolean
on_event (GtkEventControllerLegacy *controller, GdkEvent *event, SlAmountRow *self)
{
  switch (gdk_event_get_event_type (event))
    {
    case GDK_BUTTON_PRESS:
    case GDK_TOUCH_BEGIN: set_pressed (self, TRUE); break;
    case GDK_BUTTON_RELEASE:
    case GDK_TOUCH_END:
    case GDK_TOUCH_CANCEL:
    case GDK_GRAB_BROKEN: set_pressed (self, FALSE); break;
    default: break;
    }
  return GDK_EVENT_PROPAGATE;
}

/* The spoken value: the adjustment's bare number has no unit. */
static void
describe_value (SlAmountRow *self)
{
  SlLengths lengths = self->lengths == SL_LENGTHS_64THS ? SL_LENGTHS_INCH : self->lengths;
  g_autofree char *text = sl_length_format (self->value, lengths, ROUND_DIGITS, sl_decimal_sign (), TRUE);

  gtk_accessible_update_property (GTK_ACCESSIBLE (self->scale), GTK_ACCESSIBLE_PROPERTY_VALUE_TEXT, text, -1);
}

/* Shows the value in slider and entry without anybody hearing of it. The span stays while the pointer holds the slider,
 * or it would run away. */
static void
show_value (SlAmountRow *self)
{
  GtkAdjustment *adjustment = gtk_range_get_adjustment (GTK_RANGE (self->scale));

  self->updating = TRUE;
  if (!self->pressed)
    {
      gtk_adjustment_set_lower (adjustment, MIN (self->least, self->value));
      gtk_adjustment_set_upper (adjustment, MAX (self->most, self->value));
    }
  gtk_adjustment_set_value (adjustment, self->value);
  sl_length_entry_set_value (SL_LENGTH_ENTRY (self->entry), self->value);
  describe_value (self);
  self->updating = FALSE;
}

static void
on_slider (GtkRange *range, SlAmountRow *self)
{
  double value = round (gtk_range_get_value (range) * STEPS_PER_MM) / STEPS_PER_MM;

  if (self->updating || value == self->value)
    return;
  self->value = value;
  g_signal_emit_by_name (self, "moved", value);
}

static void
on_entry (SlLengthEntry *entry, double value, SlAmountRow *self)
{
  if (self->updating)
    return;
  self->value = isnan (value) ? 0 : value; /* emptied: nothing is to be done */
  g_signal_emit_by_name (self, "moved", self->value);
}

static void
on_unmap (SlAmountRow *self)
{
  set_pressed (self, FALSE);
}

/* The keyboard given to the row goes to its entry. */
static gboolean
sl_amount_row_grab_focus (GtkWidget *widget)
{
  return gtk_widget_grab_focus (SL_AMOUNT_ROW (widget)->entry);
}

static void
sl_amount_row_class_init (SlAmountRowClass *class)
{
  GTK_WIDGET_CLASS (class)->grab_focus = sl_amount_row_grab_focus;
  g_signal_new ("moved", SL_TYPE_AMOUNT_ROW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_DOUBLE);
  g_type_ensure (SL_TYPE_LENGTH_ENTRY);
  sl_template_bind (class, "amount-row", SL_MEMBERS (SlAmountRow, line, entry), "line scale entry", SL_CALL (on_event),
                    SL_CALL (on_slider), SL_CALL (on_entry), NULL);
}

static void
sl_amount_row_init (SlAmountRow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  sl_guard_wheel (self->scale);
  gtk_box_append (GTK_BOX (self), sl_length_entry_new_message (SL_LENGTH_ENTRY (self->entry)));
  g_signal_connect (self, "unmap", G_CALLBACK (on_unmap), NULL);
}

GtkWidget *
sl_amount_row_new (SlBench *bench, const char *undo_name, const char *letter, const SlBound *bound)
{
  SlAmountRow *self = g_object_new (SL_TYPE_AMOUNT_ROW, NULL);

  self->bench = sl_keep (self, bench);
  self->undo_name = undo_name;
  sl_length_entry_set_up (self->entry, (SlLengthUse){ bound, NULL, 2, .bench = bench, .step_name = undo_name });
  if (letter != NULL)
    {
      GtkWidget *label = gtk_label_new (letter);

      sl_add_classes (label, "sl-more", "sl-dim");
      gtk_box_prepend (GTK_BOX (self->line), label);
    }
  return GTK_WIDGET (self);
}

void
sl_amount_row_set_name (SlAmountRow *self, const char *name)
{
  sl_name_as (self->scale, _ ("%s, slider"), name);
  sl_set_accessible_label (self->entry, name);
}

void
sl_amount_row_set_span (SlAmountRow *self, double least_mm, double most_mm)
{
  if (self->least == least_mm && self->most == most_mm)
    return;
  self->least = least_mm;
  self->most = most_mm;
  /* a fill from the left end would be meaningless where the middle means no change */
  gtk_scale_set_has_origin (GTK_SCALE (self->scale), least_mm >= 0);
  gtk_scale_clear_marks (GTK_SCALE (self->scale));
  if (least_mm < 0)
    gtk_scale_add_mark (GTK_SCALE (self->scale), 0, GTK_POS_BOTTOM, NULL);
  show_value (self);
}

void
sl_amount_row_set_value (SlAmountRow *self, double mm)
{
  const SlLengths lengths = sl_bench_get_lengths (self->bench);

  if (self->lengths != lengths)
    {
      self->lengths = lengths;
      sl_length_entry_set_lengths (SL_LENGTH_ENTRY (self->entry), lengths);
      describe_value (self);
    }
  if (self->value == mm && gtk_range_get_value (GTK_RANGE (self->scale)) == mm)
    {
      sl_length_entry_set_value (SL_LENGTH_ENTRY (self->entry), mm);
      return;
    }
  self->value = mm;
  show_value (self);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/instrument/description-field.h"

#include "desk/kit/length-entry.h"
#include "desk/kit/util.h"

#include <glib/gi18n-lib.h>

/* Wire commonly wound on a core is about this much of its diameter (common practice); a start to be corrected by the
 * packet. */
#define WRAP_SHARE_OF_CORE 0.7

#define ENTRY_CHARS 10

/* What a control is bound to. */
typedef struct
{
  SlBench *bench; /* borrowed: the control's window does not outlive it */
  const SlField *field;
  int index;
  gboolean refreshing;
} Binding;

/* A change on its way through sl_checked_edit(). */
typedef struct
{
  const Binding *binding;
  double number;
  const char *text;
  int choice;
} Change;

static Binding *
binding_of (GtkWidget *control)
{
  return g_object_get_data (G_OBJECT (control), "binding");
}

static const char *
title_of (const SlField *field)
{
  return g_dpgettext2 (GETTEXT_PACKAGE, "field", field->title);
}

static gsize
offset_of (const SlField *field)
{
  return field->kind == SL_FIELD_NUMBER ? (gsize) sl_bound_find (field->element, field->attribute)->offset
                                        : field->offset;
}

/* The field's place in the profile on the bench, only to be read; NULL where its struct is not there. */
static const void *
look (const Binding *binding)
{
  const char *base = binding->field->find ((SlProfile *) sl_bench_get_profile (binding->bench), binding->index, FALSE);

  return base == NULL ? NULL : base + offset_of (binding->field);
}

static void
put_wrap (SlString *string, SlWrap wrap)
{
  string->wrap = wrap;
  string->build = wrap == SL_WRAP_NONE ? SL_BUILD_PLAIN : SL_BUILD_WOUND;
  if (wrap == SL_WRAP_NONE)
    string->wrap_diameter = SL_NUMBER_ABSENT;
  else if (!sl_number_is_set (string->wrap_diameter))
    string->wrap_diameter = (SlNumber){ WRAP_SHARE_OF_CORE * sl_number_or (string->core_diameter, 0.0), 3 };
}

static void
edit_field (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const Change *change = data;
  const SlField *field = change->binding->field;
  char *base = field->find (profile, change->binding->index, TRUE);
  void *place = base + offset_of (field);
  char **text = place;

  switch (field->kind)
    {
    case SL_FIELD_NUMBER:
      *(SlNumber *) place = isnan (change->number) ? SL_NUMBER_ABSENT : sl_number (change->number);
      break;
    case SL_FIELD_COUNT: *(int *) place = (int) lround (change->number); break;
    case SL_FIELD_TEXT:
      g_free (*text);
      *text = *change->text == '\0' ? NULL : g_strdup (change->text);
      break;
    case SL_FIELD_CHOICE: *(int *) place = change->choice; break;
    case SL_FIELD_WRAP: put_wrap (place, (SlWrap) change->choice); break;
    default: g_assert_not_reached ();
    }
}

static SlChanges
changed_by (const Binding *binding)
{
  if (binding->field->kind == SL_FIELD_TEXT && binding->index == 0)
    return SL_CHANGED_TEXT;
  return g_strcmp0 (binding->field->element, "targets") == 0 ? SL_CHANGED_TARGETS : SL_CHANGED_INSTRUMENT;
}

static void refresh (GtkWidget *control);

static void
make_change (GtkWidget *control, Change change)
{
  Binding *binding = binding_of (control);
  g_autofree char *complaint = NULL;

  change.binding = binding;
  complaint = sl_checked_edit (binding->bench, title_of (binding->field), changed_by (binding), edit_field, &change);
  gtk_widget_activate_action (control, SL_COMPLAIN_ACTION, "s", complaint == NULL ? "" : complaint);
  if (complaint != NULL)
    refresh (control);
}

static void
on_number_committed (GtkWidget *control, double value, gpointer data)
{
  if (binding_of (control)->field->kind == SL_FIELD_COUNT && value != floor (value))
    {
      g_autofree char *text = g_strdup_printf (_ ("%s is a whole number."), title_of (binding_of (control)->field));

      gtk_widget_activate_action (control, SL_COMPLAIN_ACTION, "s", text);
      refresh (control);
      return;
    }
  make_change (control, (Change){ .number = value });
}

static void
refresh_number (SlLengthEntry *entry, const Binding *binding)
{
  const void *place = look (binding);
  const SlInstrument *instrument = &sl_bench_get_analysis (binding->bench)->instrument;

  sl_length_entry_set_lengths (entry, sl_bench_get_lengths (binding->bench));
  if (binding->field->kind == SL_FIELD_COUNT)
    sl_length_entry_set_value (entry, *(const int *) place);
  else
    sl_length_entry_set_value (entry, place == NULL ? NAN : ((const SlNumber *) place)->v);
  if (binding->field->filled != 0)
    {
      double filled = *(const double *) (const void *) ((const char *) instrument + binding->field->filled);

      sl_length_entry_set_assumed (entry, isfinite (filled) ? filled : NAN);
    }
}

static void
commit_text (GtkWidget *control)
{
  Binding *binding = binding_of (control);
  g_autofree char *text = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (control))));
  char *const *place = (char *const *) look (binding);
  const char *old = place == NULL || *place == NULL ? "" : *place;

  if (g_strcmp0 (text, old) == 0)
    return;
  if (binding->field->required && *text == '\0')
    {
      g_autofree char *complaint = g_strdup_printf (_ ("%s can't be empty."), title_of (binding->field));

      gtk_widget_activate_action (control, SL_COMPLAIN_ACTION, "s", complaint);
      refresh (control);
      return;
    }
  make_change (control, (Change){ .text = text });
}

static void
on_focus_left (GtkEventControllerFocus *controller, gpointer data)
{
  commit_text (gtk_event_controller_get_widget (GTK_EVENT_CONTROLLER (controller)));
}

static void
on_chosen (GtkWidget *control, GParamSpec *pspec, gpointer data)
{
  Binding *binding = binding_of (control);
  guint selected = gtk_drop_down_get_selected (GTK_DROP_DOWN (control));

  if (!binding->refreshing && selected != GTK_INVALID_LIST_POSITION)
    make_change (control, (Change){ .choice = binding->field->first + (int) selected });
}

static void
refresh_choice (GtkWidget *control, const Binding *binding)
{
  const void *place = look (binding);
  int value = binding->field->kind == SL_FIELD_WRAP ? (int) ((const SlString *) place)->wrap : *(const int *) place;

  gtk_drop_down_set_selected (GTK_DROP_DOWN (control), (guint) MAX (0, value - binding->field->first));
}

static void
refresh (GtkWidget *control)
{
  Binding *binding = binding_of (control);

  if (binding->index > sl_bench_get_profile (binding->bench)->n_strings)
    return; /* its string was taken away; its table is about to be built again */
  binding->refreshing = TRUE;
  if (SL_IS_LENGTH_ENTRY (control))
    refresh_number (SL_LENGTH_ENTRY (control), binding);
  else if (GTK_IS_DROP_DOWN (control))
    refresh_choice (control, binding);
  else
    {
      char *const *place = (char *const *) look (binding);
      const char *text = place == NULL || *place == NULL ? "" : *place;

      if (g_strcmp0 (gtk_editable_get_text (GTK_EDITABLE (control)), text) != 0)
        gtk_editable_set_text (GTK_EDITABLE (control), text);
    }
  binding->refreshing = FALSE;
}

/* A control that can't be seen waits until it can. */
static void
refresh_if_seen (GtkWidget *control)
{
  if (gtk_widget_get_mapped (control))
    refresh (control);
}

static const char *
plain_unit (SlUnit unit)
{
  switch (unit)
    {
    case SL_UNIT_MM: return NULL;
    case SL_UNIT_DEGREE: return "°";
    case SL_UNIT_NEWTON: return "N";
    case SL_UNIT_HERTZ: return "Hz";
    case SL_UNIT_GRAM_PER_METRE: return "g/m";
    default: return "";
    }
}

/* Enter moves on, as in the readings. */
static void
on_step (GtkWidget *control, gpointer data)
{
  gtk_widget_child_focus (GTK_WIDGET (gtk_widget_get_root (control)), (GtkDirectionType) GPOINTER_TO_INT (data));
}

static GtkWidget *
make_number (SlBench *bench, const SlField *field)
{
  const SlBound *bound = sl_bound_find (field->element, field->attribute);
  GtkWidget *control = sl_length_entry_new (); /* named in sl_field_new() */
  SlLengthEntry *entry = SL_LENGTH_ENTRY (control);

  sl_length_entry_set_plain (entry, plain_unit (bound->unit));
  sl_length_entry_set_bound (entry, bound);
  sl_length_entry_set_places (entry, field->places);
  sl_length_entry_set_fine (entry, field->fine);
  sl_length_entry_set_allow_empty (entry, !field->required);
  sl_length_entry_set_step (entry, pow (10, -field->places));
  sl_length_entry_join_steps (entry, bench, title_of (field));
  sl_set_chars (control, ENTRY_CHARS);
  g_signal_connect (control, "committed", G_CALLBACK (on_number_committed), NULL);
  g_signal_connect (control, "step-next", G_CALLBACK (on_step), GINT_TO_POINTER (GTK_DIR_TAB_FORWARD));
  g_signal_connect (control, "step-previous", G_CALLBACK (on_step), GINT_TO_POINTER (GTK_DIR_TAB_BACKWARD));
  return control;
}

static GtkWidget *
make_choice (const SlField *field)
{
  g_autoptr (GtkStringList) list = gtk_string_list_new (NULL);
  GtkWidget *control;

  for (int i = 0; field->choices[i] != NULL; i++)
    gtk_string_list_append (list, g_dpgettext2 (GETTEXT_PACKAGE, "choice", field->choices[i]));
  control = gtk_drop_down_new (G_LIST_MODEL (g_steal_pointer (&list)), NULL); /* named in sl_field_new() */
  sl_guard_wheel (control);
  return control;
}

static GtkWidget *
make_text (void)
{
  GtkWidget *control = gtk_entry_new (); /* named in sl_field_new() */
  GtkEventController *focus = gtk_event_controller_focus_new ();

  gtk_editable_set_width_chars (GTK_EDITABLE (control), ENTRY_CHARS);
  g_signal_connect (control, "activate", G_CALLBACK (commit_text), NULL);
  g_signal_connect (focus, "leave", G_CALLBACK (on_focus_left), NULL);
  gtk_widget_add_controller (control, focus);
  return control;
}

GtkWidget *
sl_field_new (SlBench *bench, const SlField *field, int index)
{
  Binding *binding = g_new0 (Binding, 1);
  GtkWidget *control;
  g_autofree char *name = NULL;

  *binding = (Binding){ .bench = bench, .field = field, .index = index };
  if (field->kind == SL_FIELD_TEXT)
    control = make_text ();
  else
    control = field->choices != NULL ? make_choice (field) : make_number (bench, field);
  g_object_set_data_full (G_OBJECT (control), "binding", binding, g_free);
  /* Translators: what a control of a table sets, and for which string. */
  name = index > 0 ? g_strdup_printf (_ ("%s, string %d"), title_of (field), index) : g_strdup (title_of (field));
  sl_set_accessible_label (control, name);
  refresh (control);
  if (GTK_IS_DROP_DOWN (control))
    g_signal_connect (control, "notify::selected", G_CALLBACK (on_chosen), NULL);
  sl_bench_follow (bench, SL_CHANGED_DESCRIPTION | SL_CHANGED_LENGTHS, G_CALLBACK (refresh_if_seen), control);
  g_signal_connect (control, "map", G_CALLBACK (refresh), NULL);
  return control;
}

static void
refresh_unit (GtkLabel *label)
{
  SlBench *bench = g_object_get_data (G_OBJECT (label), "bench");
  SlLengths lengths = sl_bench_get_lengths (bench);
  gboolean fine = g_object_get_data (G_OBJECT (label), "fine") != NULL;

  gtk_label_set_label (label, lengths == SL_LENGTHS_MM               ? C_ ("unit", "mm")
                              : lengths == SL_LENGTHS_64THS && !fine ? C_ ("unit", "64ths")
                                                                     : C_ ("unit", "in"));
}

GtkWidget *
sl_field_new_unit (SlBench *bench, const SlField *field)
{
  const char *unit =
      field->kind == SL_FIELD_NUMBER ? plain_unit (sl_bound_find (field->element, field->attribute)->unit) : "";
  GtkWidget *label;

  if (unit != NULL && *unit == '\0')
    return NULL;
  label = gtk_label_new (unit);
  gtk_widget_add_css_class (label, "sl-dim");
  if (unit != NULL)
    return label;
  g_object_set_data (G_OBJECT (label), "bench", bench);
  g_object_set_data (G_OBJECT (label), "fine", GINT_TO_POINTER (field->fine));
  refresh_unit (GTK_LABEL (label));
  sl_bench_follow (bench, SL_CHANGED_LENGTHS, G_CALLBACK (refresh_unit), label);
  return label;
}

GtkWidget *
sl_field_new_message (GtkWidget *control)
{
  return SL_IS_LENGTH_ENTRY (control) ? sl_length_entry_new_message (SL_LENGTH_ENTRY (control)) : NULL;
}

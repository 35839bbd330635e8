/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/readings/parts.h"

typedef struct
{
  SlBench *bench; /* kept by the button */
  SlQuestionChosen chosen;
  gpointer owner;
  GtkWidget *button, *add;
  GtkWidget *kind, *string, *fret, *held; /* drop-downs, inside the popover, each after its label in the grid */
} Adder;

static void
set_numbers (GtkWidget *drop_down, int least, int most, int chosen)
{
  g_autoptr (GtkStringList) list = gtk_string_list_new (NULL);
  for (int i = least; i <= most; i++)
    gtk_string_list_take (list, g_strdup_printf ("%d", i));
  gtk_drop_down_set_model (GTK_DROP_DOWN (drop_down), G_LIST_MODEL (list));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (drop_down), (guint) (CLAMP (chosen, least, most) - least));
}

static int
chosen_number (GtkWidget *drop_down)
{
  GtkStringObject *item = gtk_drop_down_get_selected_item (GTK_DROP_DOWN (drop_down));
  return item ? (int) g_ascii_strtoll (gtk_string_object_get_string (item), NULL, 10) : 0;
}

static void
show_row (GtkWidget *control, gboolean show)
{
  gtk_widget_set_visible (gtk_widget_get_prev_sibling (control), show);
  gtk_widget_set_visible (control, show);
}

/* The other choices follow the kind. */
static void
on_kind (Adder *self)
{
  const SlProfile *profile = sl_bench_get_profile (self->bench);
  const int kind = (int) sl_chosen (self->kind);
  gboolean asked;
  int string = chosen_number (self->string), fret = chosen_number (self->fret);
  SlHeld held = sl_readings[kind].held;
  const char *holds[] = { _ ("open"), held == SL_HELD_3 ? _ ("held at 3") : _ ("held at 1"), NULL };
  g_autoptr (GtkStringList) list = gtk_string_list_new (holds);

  show_row (self->string, sl_readings[kind].has_string);
  show_row (self->fret, sl_readings[kind].has_fret);
  show_row (self->held, held != SL_HELD_DEFAULT);
  set_numbers (self->string, 1, profile->n_strings, string ? string : profile->n_strings);
  if (kind == SL_READ_RELIEF) /* between the two crowns its chord rests on */
    set_numbers (self->fret, 2, profile->neck.joint_fret - 1, sl_relief_fret (profile));
  else if (sl_readings[kind].has_fret)
    set_numbers (self->fret, 1, profile->neck.frets, fret ? fret : SL_OCTAVE_FRET);
  gtk_drop_down_set_model (GTK_DROP_DOWN (self->held), G_LIST_MODEL (list));
  asked = sl_question_is_asked (sl_bench_get_set (self->bench), &(SlQuestion){ .ask = kind });
  gtk_widget_set_sensitive (self->add, asked);
  gtk_widget_set_tooltip_text (self->add, asked ? NULL : _ ("Not read with the strings slack or off"));
}

static void
on_add (Adder *self)
{
  const int kind = (int) sl_chosen (self->kind);
  SlHeld held = sl_readings[kind].held;
  SlQuestion question = { kind, 0, 0, SL_HELD_DEFAULT, 0 };

  if (sl_readings[kind].has_string)
    question.string = chosen_number (self->string);
  if (sl_readings[kind].has_fret)
    question.fret = chosen_number (self->fret);
  if (held != SL_HELD_DEFAULT)
    question.held = sl_chosen (self->held) == 0 ? SL_HELD_OPEN : held;
  gtk_menu_button_popdown (GTK_MENU_BUTTON (self->button));
  self->chosen (self->owner, &question);
}

static GtkWidget *
build (Adder *self)
{
  GtkWidget *popover = sl_built_new ("readings.ui", "adding", "kind", &self->kind, "string", &self->string, "fret",
                                     &self->fret, "held", &self->held, "add", &self->add, NULL);
  GtkWidget *const choosers[] = { self->kind, self->string, self->fret, self->held };
  g_autoptr (GtkStringList) kinds = gtk_string_list_new (NULL);

  for (guint i = 0; i < G_N_ELEMENTS (choosers); i++)
    {
      sl_set_accessible_label (choosers[i], gtk_label_get_text (GTK_LABEL (gtk_widget_get_prev_sibling (choosers[i]))));
      sl_guard_wheel (choosers[i]);
    }
  for (int kind = 0; kind < SL_N_READINGS; kind++)
    gtk_string_list_append (kinds, sl_reading_title ((SlReadingKind) kind));
  gtk_drop_down_set_model (GTK_DROP_DOWN (self->kind), G_LIST_MODEL (kinds));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->kind), SL_READ_ACTION);
  g_signal_connect_swapped (self->kind, "notify::selected", G_CALLBACK (on_kind), self);
  g_signal_connect_swapped (self->add, "clicked", G_CALLBACK (on_add), self);
  return popover;
}

/* Made when it is first opened; the choices follow the instrument each time. */
static void
create_popover (GtkMenuButton *button, gpointer data)
{
  if (gtk_menu_button_get_popover (button) == NULL)
    gtk_menu_button_set_popover (button, build (data));
  on_kind (data);
}

void
sl_readings_add_init (GtkWidget *button, SlBench *bench, SlQuestionChosen chosen, gpointer owner)
{
  Adder *self = g_new0 (Adder, 1);

  *self = (Adder){ .bench = sl_keep (button, bench), .chosen = chosen, .owner = owner, .button = button };
  g_object_set_data_full (G_OBJECT (button), "adder", self, g_free);
  gtk_menu_button_set_create_popup_func (GTK_MENU_BUTTON (button), create_popover, self, NULL);
}

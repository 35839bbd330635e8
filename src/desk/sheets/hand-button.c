/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/sheets/sheets.h"

#include "desk/kit/kit.h"
#include "setup/physics/clearance.h"

#define FORCE_PLACES 2
#define KEPT_PER_NEWTON 1e3 /* a force is kept to a thousandth of a newton */
#define SAME_N 0.0005

#define N_HANDS 3

static const double hand_forces[N_HANDS] = { SL_HAND_LIGHT_N, SL_HAND_MEDIUM_N, SL_HAND_HEAVY_N };

typedef struct
{
  GtkWidget *button;
  /* made when it is first opened, and bound in this order */
  GtkWidget *popover, *hands[N_HANDS], *force, *string, *held, *fret, *heard, *take;

  SlBench *bench;         /* borrowed */
  int n_strings, n_frets; /* what the choices list */
  gboolean updating;
} Hand;

static char *
force_text (double newtons, int places)
{
  g_autofree char *text = sl_plain_format (newtons, places, sl_decimal_sign ());

  /* Translators: newtons */
  return g_strdup_printf (_ ("%s N"), text);
}

/* What is chosen or typed in is assumed; a rattle that was heard is known better. */
static void
set_force (Hand *self, double newtons, SlForceBasis basis)
{
  const SlInstrument *in = &sl_bench_get_analysis (self->bench)->instrument;

  newtons = round (newtons * KEPT_PER_NEWTON) / KEPT_PER_NEWTON;
  if (fabs (newtons - in->pluck_force_n) < SAME_N && in->pluck_force_heard == (basis == SL_FORCE_HEARD))
    return;
  g_auto (SlEdit) edit = sl_bench_begin_edit (self->bench, _ ("player's hand"), SL_CHANGED_INSTRUMENT, FALSE);
  edit.profile->player.given = TRUE;
  edit.profile->player.pluck_force = sl_number (newtons);
  edit.profile->player.force_basis = basis;
}

/* ---- a rattle that was heard ---- */

/* The force that the rattle chosen tells, from the readings as they are; NAN where it can tell none. */
static double
heard_force (Hand *self)
{
  const SlAnalysis *a = sl_bench_get_analysis (self->bench);
  const int string = (int) sl_chosen (self->string) + 1, held = (int) sl_chosen (self->held),
            fret = (int) sl_chosen (self->fret) + 1;
  SlStringState s;

  if (string > a->instrument.n_strings || fret > a->instrument.frets || fret <= held)
    return NAN;
  sl_state_string (&a->instrument, &a->measured, string, &s);
  return sl_force_from_buzz (&s, a->measured_figures.tension[string - 1].value, held, fret);
}

static void
show_heard (Hand *self)
{
  const int held = (int) sl_chosen (self->held), fret = (int) sl_chosen (self->fret) + 1;
  const double force = heard_force (self);
  g_autofree char *text = NULL, *shown = isnan (force) ? NULL : force_text (force, FORCE_PLACES),
                  *complaint =
                      isnan (force) ? NULL : sl_bound_complaint (sl_bound_find ("player", "pluck-force"), force);

  if (fret <= held)
    text = g_strdup_printf (_ ("A string held at %d can rattle on frets %d to %d only"), held, held + 1, self->n_frets);
  else if (isnan (force))
    text = g_strdup (_ ("By the readings it touches that crown already: read the gap again"));
  else if (complaint != NULL)
    text = g_strdup (complaint);
  else
    text = g_strdup_printf (_ ("By the readings a hand of %s just touches there"), shown);
  sl_label_set (self->heard, text);
  gtk_widget_set_sensitive (self->take, !isnan (force) && complaint == NULL);
}

static void
on_take (Hand *self)
{
  double force = heard_force (self);

  if (!isnan (force))
    set_force (self, force, SL_FORCE_HEARD);
}

static void
fill_list (GtkWidget *drop_down, int first, int last, const char *zero)
{
  g_autoptr (GtkStringList) list = gtk_string_list_new (NULL);

  for (int i = first; i <= last; i++)
    gtk_string_list_take (list, i == 0 ? g_strdup (zero) : g_strdup_printf ("%d", i));
  sl_chooser_fill (drop_down, list, 0);
}

/* The choices start with what is looked at: the chosen string, where it is held, and the crown it comes closest to. */
static void
begin_choices (Hand *self)
{
  const SlAnalysis *a = sl_bench_get_analysis (self->bench);
  int string = MAX (1, sl_bench_get_string (self->bench)),
      held = MIN (sl_bench_get_held (self->bench), a->instrument.frets - 1), closest = held + 1;
  double least = INFINITY;
  SlStringState s;

  if (self->n_strings != a->instrument.n_strings || self->n_frets != a->instrument.frets)
    {
      self->n_strings = a->instrument.n_strings;
      self->n_frets = a->instrument.frets;
      fill_list (self->string, 1, self->n_strings, NULL);
      fill_list (self->held, 0, self->n_frets - 1, C_ ("string held at no fret", "open"));
      fill_list (self->fret, 1, self->n_frets, NULL);
    }
  sl_state_string (&a->instrument, &a->measured, string, &s);
  for (int n = held + 1; n <= a->instrument.frets; n++)
    {
      SlClearance c;

      sl_clearance (&s, a->measured_figures.tension[string - 1].value, held, n, &c);
      if (c.margin < least)
        {
          least = c.margin;
          closest = n;
        }
    }
  sl_chooser_fill (self->string, NULL, (guint) string - 1);
  sl_chooser_fill (self->held, NULL, (guint) held);
  sl_chooser_fill (self->fret, NULL, (guint) closest - 1);
  show_heard (self);
}

/* ---- the hand ---- */

static void
update (GtkWidget *button)
{
  Hand *self = sl_part_of (button);
  double force = sl_bench_get_analysis (self->bench)->instrument.pluck_force_n;
  g_autofree char *text = force_text (force, FORCE_PLACES), *label = g_strdup_printf (_ ("Hand %s"), text);

  gtk_menu_button_set_label (GTK_MENU_BUTTON (button), label);
  sl_name_as (button, _ ("Player's hand: plucks with %s"), text);
  if (self->popover == NULL)
    return;
  self->updating = TRUE;
  sl_length_entry_set_value (SL_LENGTH_ENTRY (self->force), force);
  for (int h = 0; h < N_HANDS; h++)
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->hands[h]), fabs (force - hand_forces[h]) < SAME_N);
  self->updating = FALSE;
  if (gtk_widget_get_mapped (self->popover))
    show_heard (self);
}

static void
on_hand (GtkToggleButton *button, Hand *self)
{
  if (self->updating)
    return;
  for (int h = 0; h < N_HANDS; h++)
    if (self->hands[h] == GTK_WIDGET (button))
      set_force (self, hand_forces[h], SL_FORCE_DEFAULT);
  update (self->button); /* a hand pressed again stays chosen */
}

static void
on_force (SlLengthEntry *entry, double value, Hand *self)
{
  if (!self->updating && !isnan (value))
    set_force (self, value, SL_FORCE_DEFAULT);
}

/* ---- building ---- */

/* Most never open it, and its choices of frets have a hundred widgets. */
static void
create_popover (GtkMenuButton *button, gpointer data)
{
  Hand *self = data;

  if (self->popover != NULL)
    return;
  sl_build ("hand", self, SL_MEMBERS (Hand, popover, take),
            "popover light medium heavy force string held fret heard take", SL_CALL (on_hand), SL_CALL (on_force),
            SL_CALL (on_take), NULL);
  for (int h = 0; h < N_HANDS; h++)
    {
      g_autofree char *force = force_text (hand_forces[h], 1), *label = NULL;

      label = g_strdup_printf ("%s %s", gtk_button_get_label (GTK_BUTTON (self->hands[h])), force);
      gtk_button_set_label (GTK_BUTTON (self->hands[h]), label);
    }
  GtkWidget *message = sl_length_entry_new_message (SL_LENGTH_ENTRY (self->force)),
            *row = gtk_widget_get_parent (self->force);

  sl_length_entry_set_up (self->force,
                          (SlLengthUse){ sl_bound_find ("player", "pluck-force"), "N", FORCE_PLACES, 0.1,
                                         .required = TRUE, .bench = self->bench, .step_name = _ ("player's hand") });
  sl_set_accessible_label (self->force, _ ("Pluck force in newtons"));
  gtk_box_insert_child_after (GTK_BOX (gtk_widget_get_parent (row)), message, row);
  sl_chooser_init (self->string, _ ("String that rattles"), G_CALLBACK (show_heard), self);
  sl_chooser_init (self->held, _ ("Fret the rattling string is held at"), G_CALLBACK (show_heard), self);
  sl_chooser_init (self->fret, _ ("Fret it rattles on"), G_CALLBACK (show_heard), self);
  gtk_menu_button_set_popover (button, self->popover);
  g_signal_connect_swapped (self->popover, "map", G_CALLBACK (begin_choices), self);
  update (self->button);
}

GtkWidget *
sl_hand_button_new (SlBench *bench)
{
  Hand *self = g_new0 (Hand, 1);

  self->bench = bench;
  self->button = gtk_menu_button_new ();
  g_object_set_data_full (G_OBJECT (self->button), "part", self, g_free);
  sl_keep (self->button, bench);
  gtk_menu_button_set_has_frame (GTK_MENU_BUTTON (self->button), FALSE);
  gtk_menu_button_set_create_popup_func (GTK_MENU_BUTTON (self->button), create_popover, self, NULL);
  gtk_widget_set_tooltip_text (
      self->button,
      _ ("How hard the strings are plucked: margins are worked out for it. A rattle that was heard gives the force"));
  sl_bench_follow (bench, SL_CHANGED_FIGURES & ~SL_CHANGED_PLAN, G_CALLBACK (update), self->button);
  update (self->button);
  return self->button;
}

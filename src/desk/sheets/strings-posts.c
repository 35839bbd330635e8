/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Posts are moved on trial: nothing of it is in the profile until it is kept. A string tree is a post nearer the nut.
 */
#include "desk/sheets/parts.h"

#include "desk/instrument/description-field.h"
#include "desk/kit/build.h"
#include "desk/kit/length-entry.h"
#include "desk/kit/util.h"
#include "setup/physics/forces.h"
#include "setup/physics/nut.h"

#define DEGREES (180 / G_PI)
#define KEPT_PER_MM 100.0 /* a post is placed to a hundredth at best */
#define SLIDER_WIDTH 110
#define UNTRIED NAN

/* What can be moved; the first two belong to the head, the others to a string. */
enum
{
  MOVE_TILT,
  MOVE_RISE,
  MOVE_DISTANCE,
  MOVE_SIDE,
  MOVE_WRAP,
  N_MOVES
};

typedef struct
{
  const char *title; /* untranslated, with context "post" */
  const char *element, *attribute;
  double least, most; /* what the slider spans: heads as they are built (common practice) */
  double unit;        /* of what the instrument has, in that of the profile */
  gsize instrument;   /* where it is in SlInstrument, there by string where it is a string's */
} Move;

static const Move moves[N_MOVES] = {
  [MOVE_TILT] = { NC_ ("post", "Head tilt, °"), "headstock", "tilt", 0, 20, DEGREES,
                  G_STRUCT_OFFSET (SlInstrument, tilt_rad) },
  [MOVE_RISE] = { NC_ ("post", "String over the face"), "headstock", "string-rise", 0, 20, 1,
                  G_STRUCT_OFFSET (SlInstrument, string_rise) },
  [MOVE_DISTANCE] = { NC_ ("post", "Post or tree at"), "post", "distance", 10, 220, 1,
                      G_STRUCT_OFFSET (SlInstrument, post_distance) },
  [MOVE_SIDE] = { NC_ ("post", "To the side"), "post", "side", -40, 40, 1, G_STRUCT_OFFSET (SlInstrument, post_side) },
  [MOVE_WRAP] = { NC_ ("post", "Wrap above the face"), "post", "wrap-height", 0, 25, 1,
                  G_STRUCT_OFFSET (SlInstrument, post_wrap) },
};

typedef struct
{
  SlBench *bench; /* borrowed */
  /* bound in this order */
  GtkWidget *page, *tools, *complaint, *messages, *controls, *chooser, *reset, *keep;
  SlFigureTable *table;
  GtkWidget *slider[N_MOVES], *entry[N_MOVES], *title[N_MOVES];
  double tried[N_MOVES][SL_MAX_STRINGS]; /* UNTRIED where as it is; of the head in place 0 */
  int n_strings;
  gboolean trying, refreshing;
} Posts;

/* ---- what is tried ---- */

static gboolean
is_of_head (int move)
{
  return move == MOVE_TILT || move == MOVE_RISE;
}

static void
forget (Posts *self)
{
  for (int m = 0; m < N_MOVES; m++)
    for (int s = 0; s < SL_MAX_STRINGS; s++)
      self->tried[m][s] = UNTRIED;
  self->trying = FALSE;
}

/* The string chosen, or 0 for all. */
static int
chosen (const Posts *self)
{
  return (int) gtk_drop_down_get_selected (GTK_DROP_DOWN (self->chooser));
}

/* As tried, or as it is: NAN where the string has no post. */
static double
value_now (const Posts *self, const SlInstrument *in, int move)
{
  const int i = is_of_head (move) ? 0 : MAX (chosen (self), 1) - 1;
  const double *present = G_STRUCT_MEMBER_P (in, moves[move].instrument);

  if (!isnan (self->tried[move][i]))
    return self->tried[move][i];
  return is_of_head (move) || in->has_post[i] ? present[i] * moves[move].unit : NAN;
}

static void
apply (const Posts *self, SlInstrument *in)
{
  for (int m = 0; m < N_MOVES; m++)
    for (int i = 0; i < (is_of_head (m) ? 1 : in->n_strings); i++)
      if (!isnan (self->tried[m][i]))
        ((double *) G_STRUCT_MEMBER_P (in, moves[m].instrument))[i] = self->tried[m][i] / moves[m].unit;
  for (int i = 0; i < in->n_strings; i++)
    in->has_post[i] = in->has_post[i] || !isnan (self->tried[MOVE_DISTANCE][i]);
}

/* ---- what it does ---- */

typedef struct
{
  double angle, upright, across, force, stick;
} Effect;

static Effect
effect_of (const SlInstrument *in, const SlState *state, int string)
{
  Effect e = { NAN, NAN, NAN, NAN, NAN };
  SlStringState s;

  sl_state_string (in, state, string, &s);
  if (!sl_nut_break_parts (&s, &e.upright, &e.across))
    return e;
  e.angle = sl_nut_break (&s);
  e.force = sl_resultant_force (sl_tension (&in->strings[string - 1], sl_open_length (&s)), e.angle);
  e.stick = sl_stick_cents (in->friction, e.angle);
  return e;
}

static void
show_effects (Posts *self, const SlAnalysis *analysis, const SlTextStyle *style)
{
  g_autofree SlInstrument *trial = g_memdup2 (&analysis->instrument, sizeof *trial);

  apply (self, trial);
  sl_figure_table_set_rows (self->table, (guint) trial->n_strings);
  for (int s = 1; s <= trial->n_strings; s++)
    {
      const Effect was = effect_of (&analysis->instrument, sl_state_ahead (analysis), s),
                   is = effect_of (trial, sl_state_ahead (analysis), s);

      sl_figure_table_fill (self->table, (guint) s - 1, sl_text_string (sl_bench_get_profile (self->bench), s),
                            sl_plain_change (style, was.angle * DEGREES, is.angle * DEGREES, 1),
                            sl_plain_change (style, was.upright * DEGREES, is.upright * DEGREES, 1),
                            sl_plain_change (style, was.across * DEGREES, is.across * DEGREES, 1),
                            sl_plain_change (style, was.force, is.force, 0),
                            sl_plain_change (style, was.stick, is.stick, 0), NULL);
    }
}

/* ---- the controls ---- */

static void
list_strings (Posts *self, const SlProfile *profile)
{
  g_autoptr (GtkStringList) list = gtk_string_list_new (NULL);

  gtk_string_list_append (list, _ ("All strings"));
  for (int s = 1; s <= profile->n_strings; s++)
    gtk_string_list_take (list, sl_text_string (profile, s));
  self->n_strings = profile->n_strings;
  forget (self);
  sl_chooser_fill (self->chooser, list, 0);
}

static void
show_control (Posts *self, const SlInstrument *in, const SlTextStyle *style, int move)
{
  const double value = value_now (self, in, move);
  const char *title = g_dpgettext2 (GETTEXT_PACKAGE, "post", moves[move].title);
  g_autofree char *text = move == MOVE_TILT
                              ? g_strdup (title)
                              : g_strdup_printf (C_ ("column title and unit", "%s, %s"), title, sl_text_unit (style));

  sl_label_set (self->title[move], text);
  sl_length_entry_set_lengths (SL_LENGTH_ENTRY (self->entry[move]), style->lengths);
  sl_length_entry_set_value (SL_LENGTH_ENTRY (self->entry[move]), value);
  gtk_range_set_value (GTK_RANGE (self->slider[move]), isnan (value) ? moves[move].least : value);
}

static void
update (GtkWidget *page)
{
  Posts *self = sl_part_of (page);
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlTextStyle style = sl_bench_text_style (self->bench);

  self->refreshing = TRUE;
  if (self->n_strings != analysis->instrument.n_strings)
    list_strings (self, sl_bench_get_profile (self->bench));
  for (int m = 0; m < N_MOVES; m++)
    show_control (self, &analysis->instrument, &style, m);
  self->refreshing = FALSE;
  show_effects (self, analysis, &style);
  gtk_widget_set_sensitive (self->keep, self->trying);
  gtk_widget_set_sensitive (self->reset, self->trying);
}

static void
try_value (Posts *self, int move, double value)
{
  const int string = chosen (self);

  value = round (value * KEPT_PER_MM) / KEPT_PER_MM;
  for (int s = 1; s <= self->n_strings; s++)
    if (is_of_head (move) ? s == 1 : string == 0 || s == string)
      self->tried[move][s - 1] = value;
  self->trying = TRUE;
  sl_update_seen (self->page);
}

static int
move_of (gpointer control)
{
  return GPOINTER_TO_INT (g_object_get_data (G_OBJECT (control), "move"));
}

static void
on_slider (GtkRange *slider, gpointer data)
{
  Posts *self = data;

  if (!self->refreshing)
    try_value (self, move_of (slider), gtk_range_get_value (slider));
}

static void
on_entry (SlLengthEntry *entry, double value, gpointer data)
{
  try_value (data, move_of (entry), value);
}

/* ---- keeping ---- */

static void
edit_keep (SlProfile *profile, SlVisit *visit, SlReadingSet *set, gpointer data)
{
  const Posts *self = data;

  profile->headstock.given = TRUE;
  for (int m = 0; m < N_MOVES; m++)
    for (int i = 0; i < profile->n_strings; i++)
      if (!isnan (self->tried[m][i]))
        sl_field_put_number (profile, moves[m].element, moves[m].attribute, i + 1, self->tried[m][i]);
}

static void
on_keep (GtkWidget *page)
{
  Posts *self = sl_part_of (page);
  g_autofree char *complaint =
      sl_checked_edit (self->bench, C_ ("undo step", "move posts"), SL_CHANGED_INSTRUMENT, edit_keep, self);

  sl_set_remark (self->complaint, complaint);
  if (complaint == NULL)
    forget (self);
  sl_update_seen (page);
}

static void
on_reset (GtkWidget *page)
{
  Posts *self = sl_part_of (page);

  forget (self);
  sl_set_remark (self->complaint, NULL);
  sl_update_seen (page);
}

/* ---- building ---- */

static void
build_control (Posts *self, int move)
{
  const Move *range = &moves[move];
  const char *name = g_dpgettext2 (GETTEXT_PACKAGE, "post", range->title);
  const gboolean tilt = move == MOVE_TILT;
  const SlLengthUse use = { sl_bound_find (range->element, range->attribute), tilt ? "°" : NULL, 1, tilt ? 0.1 : 0.5,
                            .required = TRUE };
  GtkWidget *slider = gtk_scale_new_with_range (GTK_ORIENTATION_HORIZONTAL, range->least, range->most, 1),
            *control = sl_length_entry_set_up (sl_length_entry_new (), use), *title = sl_label_new (name, NULL);
  SlLengthEntry *entry = SL_LENGTH_ENTRY (control);

  g_object_set (slider, "draw-value", FALSE, "width-request", SLIDER_WIDTH, "valign", GTK_ALIGN_CENTER, NULL);
  gtk_range_set_increments (GTK_RANGE (slider), use.step, tilt ? 1 : 5);
  sl_guard_wheel (slider);
  sl_name_as (slider, _ ("%s, slider"), name);
  sl_set_accessible_label (control, name);
  gtk_widget_set_valign (control, GTK_ALIGN_CENTER);
  g_object_set_data (G_OBJECT (slider), "move", GINT_TO_POINTER (move));
  g_object_set_data (G_OBJECT (entry), "move", GINT_TO_POINTER (move));
  g_signal_connect (slider, "value-changed", G_CALLBACK (on_slider), self);
  g_signal_connect (entry, "committed", G_CALLBACK (on_entry), self);
  g_signal_connect (entry, "step", G_CALLBACK (sl_length_entry_move_on), NULL);
  gtk_grid_attach (GTK_GRID (self->controls), title, 0, move, 1, 1);
  gtk_grid_attach (GTK_GRID (self->controls), slider, 1, move, 1, 1);
  gtk_grid_attach (GTK_GRID (self->controls), control, 2, move, 1, 1);
  gtk_box_append (GTK_BOX (self->messages), sl_length_entry_new_message (entry));
  self->slider[move] = slider;
  self->entry[move] = control;
  self->title[move] = title;
}

GtkWidget *
sl_strings_posts_new (SlBench *bench)
{
  Posts *self = g_new0 (Posts, 1);
  GtkWidget *page = sl_build ("strings-posts", self, SL_MEMBERS (Posts, page, table),
                              "page tools complaint messages controls chooser reset keep table", SL_CALL (on_reset),
                              SL_CALL (on_keep), NULL);

  self->bench = bench;
  sl_part_init (page, self, g_free, bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS, update);
  sl_part_set_tools (page, self->tools);
  sl_chooser_init (self->chooser, _ ("Strings whose posts are moved"), G_CALLBACK (sl_update_seen), page);
  for (int m = 0; m < N_MOVES; m++)
    build_control (self, m);
  return page;
}

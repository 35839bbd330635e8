/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Three pages: slots with the break over the nut, the saddle's top with the break over it, and tuner posts. */
#include "desk/sheets/parts.h"

#include "desk/instrument/description-field.h"
#include "setup/physics/forces.h"
#include "setup/physics/nut.h"

#define DEGREES (180 / G_PI)

typedef struct
{
  SlBench *bench;
  /* bound in this order */
  GtkWidget *page;
  SlFigureTable *table;
  GtkWidget *remark, *more;
} Part;

/* ---- nut ---- */

static void
show_nut_string (Part *self, const SlAnalysis *analysis, const SlTextStyle *style, int string, double centre)
{
  const SlInstrument *in = &analysis->instrument;
  const SlFigures *before = &analysis->measured_figures,
                  *after = analysis->has_plan ? &analysis->planned_figures : before;
  const int i = string - 1;
  SlStringState string_was, string_is;
  SlSlot was, is;
  double upright_was = NAN, upright = NAN, across_was = NAN, across = NAN;

  sl_slot (in, &analysis->measured, string, &was);
  sl_slot (in, sl_state_ahead (analysis), string, &is);
  sl_state_string (in, &analysis->measured, string, &string_was);
  sl_state_string (in, sl_state_ahead (analysis), string, &string_is);
  if (!sl_nut_break_parts (&string_was, &upright_was, &across_was) ||
      !sl_nut_break_parts (&string_is, &upright, &across))
    upright_was = upright = across_was = across = NAN;
  sl_figure_table_fill (self->table, (guint) i, sl_text_string (sl_bench_get_profile (self->bench), string),
                        isnan (centre) ? g_strdup ("–") : sl_text_change (style, centre),
                        sl_text_fine (style, is.width), sl_fine_change (style, was.floor, is.floor),
                        sl_text_plain (style, is.has_angle ? is.floor_angle * DEGREES : NAN, 1, FALSE),
                        sl_text_plain (style, is.has_angle ? is.string_angle * DEGREES : NAN, 1, FALSE),
                        sl_plain_change (style, before->nut_break[i].value, after->nut_break[i].value, 1),
                        sl_plain_change (style, upright_was * DEGREES, upright * DEGREES, 1),
                        sl_plain_change (style, across_was * DEGREES, across * DEGREES, 1),
                        sl_plain_change (style, before->nut_force[i].value, after->nut_force[i].value, 0),
                        sl_text_plain (style, after->nut_stick[i].value, 0, FALSE), NULL);
}

static void
update_nut (Part *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlInstrument *in = &analysis->instrument;
  const SlTextStyle style = sl_bench_text_style (self->bench);
  double centres[SL_MAX_STRINGS];
  gboolean has_centres = sl_slot_centres (in, centres);

  sl_figure_table_set_rows (self->table, (guint) in->n_strings);
  sl_figure_table_set_unit (self->table, sl_text_unit (&style));
  for (int s = 1; s <= in->n_strings; s++)
    show_nut_string (self, analysis, &style, s, has_centres ? centres[s - 1] : NAN);
  sl_set_remark (self->remark,
                 has_centres ? NULL
                 : isnan (in->nut_width)
                     ? _ ("Slot centres need the nut’s width: it is entered in the instrument’s description, page "
                          "“Neck and frets”.")
                     : _ ("The nut is too narrow for these strings inside its edge margins: no slot centres."));
}

/* ---- saddle ---- */

static char *
radius_sentence (const SlTextStyle *style, const SlInstrument *in, const double *y, const double *top)
{
  /* the board's radius carried on to the saddle, from its arc at the outer strings; INFINITY where it is flat */
  const double edge = in->spread / 2, arc = sl_board_arc (in, 1, in->scale[0], edge),
               carried = arc < 0 ? -(arc * arc + edge * edge) / (2 * arc) : INFINITY;
  double rms, fitted = sl_fit_radius (y, top, in->n_strings, &rms);
  g_autofree char *radius = NULL, *off = NULL, *board = sl_text_radius (style, carried),
                  *own = sl_text_radius (style, in->saddle_radius);

  if (isnan (fitted))
    return NULL;
  radius = sl_text_radius (style, fitted);
  off = sl_text_measure (style, rms, 2, TRUE);
  if (isfinite (in->saddle_radius))
    return g_strdup_printf (_ ("The saddle top fits a radius: %s (off it by %s). The board’s, carried on to the "
                               "saddle: %s. The saddle’s own: %s."),
                            radius, off, board, own);
  return g_strdup_printf (
      _ ("The saddle top fits a radius: %s (off it by %s). The board’s, carried on to the saddle: %s."), radius, off,
      board);
}

static void
show_saddle_string (Part *self, const SlAnalysis *analysis, const SlTextStyle *style, int string, const double *y,
                    const double *before_y, const double *after_y)
{
  const SlFigures *before = &analysis->measured_figures,
                  *after = analysis->has_plan ? &analysis->planned_figures : before;
  const int i = string - 1;

  sl_figure_table_fill (
      self->table, (guint) i, sl_text_string (sl_bench_get_profile (self->bench), string), sl_text_change (style, y[i]),
      sl_fine_change (style, before_y[i], after_y[i]),
      sl_marked (&after->saddle_break[i],
                 sl_plain_change (style, before->saddle_break[i].value, after->saddle_break[i].value, 1)),
      sl_marked (&after->saddle_force[i],
                 sl_plain_change (style, before->saddle_force[i].value, after->saddle_force[i].value, 0)),
      sl_marked (&after->saddle_resultant[i],
                 sl_plain_change (style, before->saddle_resultant[i].value, after->saddle_resultant[i].value, 0)),
      sl_marked (&after->saddle_push[i],
                 sl_plain_change (style, before->saddle_push[i].value, after->saddle_push[i].value, 0)),
      sl_marked (&after->exposure[i], sl_fine_change (style, before->exposure[i].value, after->exposure[i].value)),
      sl_marked (&after->board_line[i], sl_take_change (sl_text_change (style, before->board_line[i].value),
                                                        sl_text_change (style, after->board_line[i].value))),
      NULL);
}

static void
update_saddle (Part *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlInstrument *in = &analysis->instrument;
  const SlTextStyle style = sl_bench_text_style (self->bench);
  double y[SL_MAX_STRINGS], before_y[SL_MAX_STRINGS], after_y[SL_MAX_STRINGS];
  g_autofree char *radius = NULL;

  sl_saddle_top (in, &analysis->measured, y, before_y);
  sl_saddle_top (in, sl_state_ahead (analysis), y, after_y);
  sl_figure_table_set_rows (self->table, (guint) in->n_strings);
  sl_figure_table_set_unit (self->table, sl_text_unit (&style));
  for (int s = 1; s <= in->n_strings; s++)
    show_saddle_string (self, analysis, &style, s, y, before_y, after_y);
  radius = radius_sentence (&style, in, y, after_y);
  sl_set_remark (self->remark, radius);
  sl_set_remark (self->more,
                 analysis->measured.exposure_read
                     ? _ ("A straightedge on the frets should about meet the bridge top. Well below it the neck’s "
                          "angle is at fault, and no cut at the saddle cures that.")
                     : _ ("Exposure was not read: what follows from it (≈) is assumed. Read it at the outer strings."));
}

/* ---- both ---- */

static GtkWidget *
new_page (SlBench *bench, const char *file, GCallback update)
{
  Part *self = sl_part_new (bench, SL_PART (Part, page, more), g_free, file, "page table remark more", NULL);

  sl_follow_while_seen (self->page, bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS, update, self);
  return self->page;
}

GtkWidget *
sl_strings_nut_new (SlBench *bench)
{
  return new_page (bench, "strings-nut", G_CALLBACK (update_nut));
}

GtkWidget *
sl_strings_saddle_new (SlBench *bench)
{
  return new_page (bench, "strings-saddle", G_CALLBACK (update_saddle));
}

/* ---- posts ----
 *
 * They are moved on trial: nothing of it is in the profile until it is kept. A string tree is a post nearer the nut. */

#define KEPT_PER_MM 100.0 /* a post is placed to a hundredth at best */
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
  double unit;      /* of what the instrument has, in that of the profile */
  gsize instrument; /* where it is in SlInstrument, there by string where it is a string's */
} Move;

static const Move moves[N_MOVES] = {
  [MOVE_TILT] = { NC_ ("post", "Head tilt, °"), "headstock", "tilt", DEGREES,
                  G_STRUCT_OFFSET (SlInstrument, tilt_rad) },
  [MOVE_RISE] = { NC_ ("post", "String over the face"), "headstock", "string-rise", 1,
                  G_STRUCT_OFFSET (SlInstrument, string_rise) },
  [MOVE_DISTANCE] = { NC_ ("post", "Post or tree at"), "post", "distance", 1,
                      G_STRUCT_OFFSET (SlInstrument, post_distance) },
  [MOVE_SIDE] = { NC_ ("post", "To the side"), "post", "side", 1, G_STRUCT_OFFSET (SlInstrument, post_side) },
  [MOVE_WRAP] = { NC_ ("post", "Wrap above the face"), "post", "wrap-height", 1,
                  G_STRUCT_OFFSET (SlInstrument, post_wrap) },
};

typedef struct
{
  SlBench *bench;
  /* bound in this order */
  GtkWidget *page, *tools, *complaint, *messages, *chooser, *reset, *keep;
  SlFigureTable *table;
  GtkWidget *title[N_MOVES], *slider[N_MOVES], *entry[N_MOVES];
  double tried[N_MOVES][SL_MAX_STRINGS]; /* UNTRIED where as it is; of the head in place 0 */
  int n_strings;
  gboolean trying, refreshing;
} Posts;

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

/* As tried, or as it is: NAN where the string has no post. */
static double
value_now (const Posts *self, const SlInstrument *in, int move)
{
  const int i = is_of_head (move) ? 0 : MAX ((int) sl_chosen (self->chooser), 1) - 1;
  const double *present = G_STRUCT_MEMBER_P (in, moves[move].instrument);

  if (!isnan (self->tried[move][i]))
    return self->tried[move][i];
  return is_of_head (move) || in->has_post[i] ? present[i] * moves[move].unit : NAN;
}

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

  for (int m = 0; m < N_MOVES; m++)
    for (int i = 0; i < (is_of_head (m) ? 1 : trial->n_strings); i++)
      if (!isnan (self->tried[m][i]))
        ((double *) G_STRUCT_MEMBER_P (trial, moves[m].instrument))[i] = self->tried[m][i] / moves[m].unit;
  for (int i = 0; i < trial->n_strings; i++)
    trial->has_post[i] = trial->has_post[i] || !isnan (self->tried[MOVE_DISTANCE][i]);
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

static void
update (Posts *self)
{
  const SlAnalysis *analysis = sl_bench_get_analysis (self->bench);
  const SlTextStyle style = sl_bench_text_style (self->bench);

  self->refreshing = TRUE;
  if (self->n_strings != analysis->instrument.n_strings)
    {
      g_autoptr (GtkStringList) list = gtk_string_list_new (NULL);

      self->n_strings = analysis->instrument.n_strings;
      gtk_string_list_append (list, _ ("All strings"));
      for (int s = 1; s <= self->n_strings; s++)
        gtk_string_list_take (list, sl_text_string_course (sl_bench_get_profile (self->bench), s));
      forget (self);
      sl_chooser_fill (self->chooser, list, 0);
    }
  for (int m = 0; m < N_MOVES; m++)
    {
      const double value = value_now (self, &analysis->instrument, m);
      const char *title = g_dpgettext2 (GETTEXT_PACKAGE, "post", moves[m].title);
      g_autofree char *text =
          m == MOVE_TILT ? g_strdup (title)
                         : g_strdup_printf (C_ ("column title and unit", "%s, %s"), title, sl_text_unit (&style));

      sl_label_set (self->title[m], text);
      sl_length_entry_set_lengths (SL_LENGTH_ENTRY (self->entry[m]), style.lengths);
      sl_length_entry_set_value (SL_LENGTH_ENTRY (self->entry[m]), value);
      gtk_range_set_value (GTK_RANGE (self->slider[m]), isnan (value) ? -INFINITY : value);
    }
  self->refreshing = FALSE;
  show_effects (self, analysis, &style);
  gtk_widget_set_sensitive (self->keep, self->trying);
  gtk_widget_set_sensitive (self->reset, self->trying);
}

static void
try_value (Posts *self, int move, double value)
{
  const int string = (int) sl_chosen (self->chooser); /* 0: all */

  value = round (value * KEPT_PER_MM) / KEPT_PER_MM;
  for (int s = 1; s <= self->n_strings; s++)
    if (is_of_head (move) ? s == 1 : string == 0 || s == string)
      self->tried[move][s - 1] = value;
  self->trying = TRUE;
  sl_update_seen (self->page);
}

static int
move_of (const Posts *self, gpointer control)
{
  int move = 0;

  while (self->slider[move] != control && self->entry[move] != control)
    move++;
  return move;
}

static void
on_slider (GtkRange *slider, Posts *self)
{
  if (!self->refreshing)
    try_value (self, move_of (self, slider), gtk_range_get_value (slider));
}

static void
on_entry (SlLengthEntry *entry, double value, Posts *self)
{
  try_value (self, move_of (self, entry), value);
}

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
on_keep (Posts *self)
{
  g_autofree char *complaint =
      sl_checked_edit (self->bench, C_ ("undo step", "move posts"), SL_CHANGED_INSTRUMENT, edit_keep, self);

  sl_set_remark (self->complaint, complaint);
  if (complaint == NULL)
    forget (self);
  sl_update_seen (self->page);
}

static void
on_reset (Posts *self)
{
  forget (self);
  sl_set_remark (self->complaint, NULL);
  sl_update_seen (self->page);
}

GtkWidget *
sl_strings_posts_new (SlBench *bench)
{
  Posts *self = sl_part_new (bench, SL_PART (Posts, page, entry[N_MOVES - 1]), g_free, "strings-posts",
                             "page tools complaint messages chooser reset keep table tilt_title rise_title "
                             "distance_title side_title wrap_title tilt rise distance side wrap tilt_entry rise_entry "
                             "distance_entry side_entry wrap_entry",
                             SL_CALL (on_reset), SL_CALL (on_keep), SL_CALL (on_slider), SL_CALL (on_entry),
                             SL_CALL (sl_length_entry_move_on), NULL);

  sl_follow_while_seen (self->page, bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS, G_CALLBACK (update), self);
  sl_part_set_tools (self->page, self->tools);
  sl_chooser_init (self->chooser, _ ("Strings whose posts are moved"), G_CALLBACK (sl_update_seen), self->page);
  for (int m = 0; m < N_MOVES; m++)
    {
      const Move *range = &moves[m];
      const char *name = g_dpgettext2 (GETTEXT_PACKAGE, "post", range->title);
      const gboolean tilt = m == MOVE_TILT;

      sl_length_entry_set_up (self->entry[m],
                              (SlLengthUse){ sl_bound_find (range->element, range->attribute), tilt ? "°" : NULL, 1,
                                             tilt ? 0.1 : 0.5, .required = TRUE });
      sl_guard_wheel (self->slider[m]);
      sl_name_as (self->slider[m], _ ("%s, slider"), name);
      sl_set_accessible_label (self->entry[m], name);
      gtk_box_append (GTK_BOX (self->messages), sl_length_entry_new_message (SL_LENGTH_ENTRY (self->entry[m])));
    }
  return self->page;
}

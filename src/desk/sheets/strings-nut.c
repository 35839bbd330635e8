/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two pages: slots with the break over the nut, and the saddle's top with the break over it. */
#include "desk/sheets/parts.h"

#include "desk/kit/build.h"
#include "desk/kit/util.h"
#include "setup/physics/nut.h"

#define DEGREES (180 / G_PI)

static const SlColumn nut_columns[] = {
  { NC_ ("column", "string"), NULL, 5 },
  { NC_ ("column", "centre"), NC_ ("column", "From the board’s middle, positive toward the treble side"), 6,
    SL_COLUMN_LENGTHS /* good for the two beside it as well */ },
  { NC_ ("column", "width"), NC_ ("column", "Of the slot: the string and the allowance"), 5 },
  { NC_ ("column", "floor"), NC_ ("column", "Height of the slot’s floor over the board at the nut’s front edge"), 13 },
  { NC_ ("column", "floor °"),
    NC_ ("column",
         "How far the slot’s floor should fall back: less than the string, so that the string leaves the front edge"),
    5 },
  { NC_ ("column", "string °"), NC_ ("column", "How far the string falls behind the nut"), 5 },
  { NC_ ("column", "break °"),
    NC_ ("column", "The string’s change of direction over the nut, before and after the work"), 10 },
  { NC_ ("column", "upright °"), NC_ ("column", "The part of the break in the upright plane"), 10 },
  { NC_ ("column", "side °"), NC_ ("column", "The part of the break across the board"), 4 },
  { NC_ ("column", "force, N"), NC_ ("column", "Resultant of the string’s pulls before and behind the nut"), 7 },
  { NC_ ("column", "sticks, ¢"), NC_ ("column", "The most the string can hang in its slot, in cents"), 4 },
};

static const SlColumn saddle_columns[] = {
  { NC_ ("column", "string"), NULL, 5 },
  { NC_ ("column", "across"),
    NC_ ("column", "Place across the bridge from the middle, positive toward the treble side"), 7, SL_COLUMN_LENGTHS },
  { NC_ ("column", "top"),
    NC_ ("column", "Height of the saddle’s top over the plane of the board’s middle, before and after the work"), 13,
    SL_COLUMN_LENGTHS },
  { NC_ ("column", "break °"),
    NC_ ("column", "The string’s change of direction over the saddle, before and after the work"), 11 },
  { NC_ ("column", "down, N"), NC_ ("column", "What presses on the top"), 9 },
  { NC_ ("column", "resultant, N"), NC_ ("column", "Of the string’s pulls before and behind the saddle together"), 9 },
  { NC_ ("column", "push, N"), NC_ ("column", "Along the string toward the nut: what tips the saddle forward"), 7 },
  { NC_ ("column", "exposure"), NC_ ("column", "Height of the saddle top over the bridge top"), 13, SL_COLUMN_LENGTHS },
  { NC_ ("column", "straightedge"),
    NC_ ("column", "Straightedge to the bridge: how far the line over the crowns, carried on to the saddle, passes "
                   "above the bridge top"),
    15, SL_COLUMN_LENGTHS },
};

typedef struct
{
  SlBench *bench; /* borrowed */
  SlFigureTable *table;
  GtkWidget *page, *remark, *more; /* bound in this order */
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
update_nut (GtkWidget *page)
{
  Part *self = sl_part_of (page);
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
    return g_strdup_printf (_ ("The saddle top fits a radius of %s (off it by %s). The board’s, carried on to the "
                               "saddle: %s. The saddle’s own: %s."),
                            radius, off, board, own);
  return g_strdup_printf (
      _ ("The saddle top fits a radius of %s (off it by %s). The board’s, carried on to the saddle: %s."), radius, off,
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
update_saddle (GtkWidget *page)
{
  Part *self = sl_part_of (page);
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
new_page (SlBench *bench, const SlColumn *columns, guint n_columns, const char *name, SlSeenUpdate update)
{
  Part *self = g_new0 (Part, 1);
  GtkWidget *page = sl_build ("strings-nut", self, SL_MEMBERS (Part, page, more), "page remark more", NULL);

  self->bench = bench;
  sl_part_init (page, self, g_free, bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS, update);
  self->table = sl_figure_table_new (columns, n_columns, name);
  gtk_box_prepend (GTK_BOX (page), GTK_WIDGET (self->table));
  return page;
}

GtkWidget *
sl_strings_nut_new (SlBench *bench)
{
  return new_page (bench, nut_columns, G_N_ELEMENTS (nut_columns), _ ("Slots and the break over the nut"), update_nut);
}

GtkWidget *
sl_strings_saddle_new (SlBench *bench)
{
  return new_page (bench, saddle_columns, G_N_ELEMENTS (saddle_columns), _ ("The saddle’s top and the break over it"),
                   update_saddle);
}

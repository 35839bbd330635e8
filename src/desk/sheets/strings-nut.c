/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two pages: slots with the break over the nut, and the saddle's top with the break over it. */
#include "desk/sheets/parts.h"

#include "desk/kit/build.h"
#include "desk/kit/util.h"
#include "setup/physics/nut.h"

#define DEGREES (180 / G_PI)

typedef struct
{
  SlBench *bench; /* borrowed */
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
new_page (SlBench *bench, const char *file, SlSeenUpdate update)
{
  Part *self = g_new0 (Part, 1);
  GtkWidget *page = sl_build (file, self, SL_MEMBERS (Part, page, more), "page table remark more", NULL);

  self->bench = bench;
  sl_part_init (page, self, g_free, bench, SL_CHANGED_FIGURES | SL_CHANGED_LENGTHS, update);
  return page;
}

GtkWidget *
sl_strings_nut_new (SlBench *bench)
{
  return new_page (bench, "strings-nut", update_nut);
}

GtkWidget *
sl_strings_saddle_new (SlBench *bench)
{
  return new_page (bench, "strings-saddle", update_saddle);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */

#include "calc.h"
#include "setup/physics/clearance.h"
#include "setup/physics/intonation.h"
#include "setup/physics/nut.h"
#include "setup/profile/construction.h"
#include "words/said.h"
#include "words/dates.h"
#include "words/one-line.h"

#define GRAMS_PER_KILOGRAM 1000.0
#define DEGREE (180 / G_PI)

/* Decimals a figure is worth in a report: gauges resolve 0.01 mm, protractors and tuners about 0.1. */
#define LENGTH_PLACES 2
#define OTHER_PLACES 1
#define MASS_PLACES 3

/* Widths in characters. */
#define LABEL_COLUMN 24
#define FIGURE_COLUMN (-16)
#define TARGET_COLUMN (-9)
#define MATRIX_COLUMN (-6)
#define VALUE_COLUMN (-11)

/* clang-format off */
#define WHOLE(member) { G_STRUCT_OFFSET (SlFigures, member), 0 }
/* clang-format on */

typedef struct
{
  GString *out;
  const SlAnalysis *analysis;
  const SlInstrument *in;
  const SlState *goal; /* that is to be reached */
} Report;

/* Figures of one kind, one line a string; or a figure of the whole instrument. */
typedef struct
{
  const char *title; /* translated, with the unit */
  int places;
  SlPlaceOfFigure place;
  const double *targets; /* by string; NULL for none */
  double tolerance;      /* NAN: the target is a least value */
  gboolean measured_only;
} Block;

/* A number of the report: what lies between two of its last digits becomes the even one. */
static char *
number_text (double value, int places)
{
  const double one = pow (10, places);
  return sl_plain (rint (value * one) / one, places);
}

/* "1.84 ± 0.06". An uncertainty too small for the digits shown is still one: "< 0.1", never "0.0". */
static void
append_figure (const Report *r, const SlFigure *figure, int places)
{
  const double U = SL_COVERAGE * figure->u, step = pow (10, -places);
  const gboolean known = isfinite (figure->value) && isfinite (U), small = U < step / 2;
  g_autofree char *value = number_text (figure->value, places), *spread = number_text (small ? step : U, places);
  g_autofree char *text = g_strconcat (value, small ? " ± <" : " ± ", spread, NULL);
  sl_append_padded (r->out, known ? text : value, FIGURE_COLUMN);
}

static void
append_note (const Report *r, const char *note)
{
  g_string_append (r->out, "  ");
  g_string_append (r->out, note);
}

static void
append_target (const Report *r, double target, double tolerance, const SlFigure *shown, int places)
{
  gboolean least = isnan (tolerance);
  g_autofree char *number = number_text (target, places), *text = g_strconcat (least ? "≥ " : "", number, NULL);
  sl_append_padded (r->out, text, TARGET_COLUMN);
  if (!least)
    append_note (r, sl_word_text (sl_word (shown, target, tolerance)));
  else if (shown->value < target && shown->basis != SL_BASIS_ASSUMED)
    append_note (r, C_ ("a saddle's exposure", "too low"));
}

/* One line: label, before, after, target and word, notes. */
static void
append_line (const Report *r, const char *label, const SlFigure *before, const SlFigure *after, double target,
             double tolerance, int places)
{
  const SlFigure *shown = after != NULL ? after : before;
  g_string_append (r->out, "  ");
  sl_append_padded (r->out, label, LABEL_COLUMN - 2);
  append_figure (r, before, places);
  if (after != NULL)
    {
      g_string_append (r->out, "  →");
      append_figure (r, after, places);
    }
  if (!isnan (target) && isfinite (shown->value))
    append_target (r, target, tolerance, shown, places);
  if (before->basis == SL_BASIS_ASSUMED)
    append_note (r, C_ ("where a figure comes from", "(assumed)"));
}

static char *
string_text (int string)
{
  return g_strdup_printf (_ ("string %d"), string);
}

static void
append_block (const Report *r, const Block *b)
{
  const SlFigures *shown = r->analysis->has_plan ? &r->analysis->planned_figures : &r->analysis->measured_figures;
  gboolean whole = b->place.stride == 0, titled = whole;
  for (int i = 0; i < (whole ? 1 : r->in->n_strings); i++)
    {
      const SlFigure *before = sl_figure_at (&r->analysis->measured_figures, b->place, i + 1), *after = NULL;
      if (r->analysis->has_plan && !b->measured_only)
        after = sl_figure_at (&r->analysis->planned_figures, b->place, i + 1);
      if (!isfinite (before->value) && (after == NULL || !isfinite (after->value)))
        continue;
      if (!titled)
        g_string_append_printf (r->out, "%s\n", b->title);
      titled = TRUE;
      g_autofree char *label = string_text (i + 1);
      append_line (r, whole ? b->title : label, before, after, b->targets != NULL ? b->targets[i] : NAN, b->tolerance,
                   b->places);
      /* the place of the least margin differs from state to state */
      if (b->place.offset == G_STRUCT_OFFSET (SlFigures, least_margin) && isfinite (shown->least_margin[i].value))
        g_string_append_printf (r->out, _ ("  held at %d, over fret %d"), shown->least_margin_held[i],
                                shown->least_margin_fret[i]);
      g_string_append_c (r->out, '\n');
    }
}

static void
append_identity (const Report *r, const char *name, const SlIdentity *identity)
{
  g_autofree char *shown = sl_shown_name (name);
  sl_append_text (r->out, "%s", identity->label);
  g_string_append (r->out, "\n ");
  sl_append_text (r->out, " %s", identity->maker);
  sl_append_text (r->out, " %s", identity->model);
  sl_append_text (r->out, " %s", identity->serial);
  sl_append_text (r->out, " %s", identity->year);
  sl_append_text (r->out, _ ("  (owner: %s)"), identity->owner);
  g_string_append_printf (r->out, "\n  %s\n", shown);
}

/* Appends a number as @format says it. */
static void
append_number (const Report *r, const char *format, double value, int places)
{
  g_autofree char *text = sl_plain (value, places);
  if (isfinite (value))
    g_string_append_printf (r->out, format, text);
}

static void
append_set (const Report *r)
{
  const char *const stages[] = { C_ ("stage of readings", "received"), C_ ("stage of readings", "during"),
                                 C_ ("stage of readings", "final") };
  const SlReadingSet *set = r->analysis->set;
  if (set == NULL)
    {
      g_string_append_printf (r->out, "%s\n", _ ("Nothing has been read yet: every figure rests on assumed values."));
      return;
    }
  g_autofree char *day = sl_date_text (set->taken);
  g_string_append_printf (r->out, _ ("Readings of %s (%s)"), day, stages[set->stage]);
  append_number (r, ", %s °C", sl_number_or (set->temperature, NAN), 0);
  append_number (r, _ (", %s %% RH"), sl_number_or (set->humidity, NAN), 0);
  append_number (r, _ (", wood settles at %s %% moisture"), r->analysis->measured_figures.moisture_content.value,
                 OTHER_PLACES);
  g_string_append_c (r->out, '\n');
}

/* What the air speaks against, before any figure is believed. */
static void
append_air (const Report *r)
{
  const SlTextStyle style = { SL_LENGTHS_MM, sl_decimal_sign () };
  g_autofree char *text = sl_air_finding_text (r->analysis, &style);

  if (text != NULL)
    g_string_append_printf (r->out, "%s\n", text);
}

static void
append_suspects (const Report *r)
{
  const SlAnalysis *a = r->analysis;
  if (a->fit.singular)
    g_string_append_printf (
        r->out, "\n%s\n", _ ("These readings leave something undetermined; figures that rest on it can't be trusted."));
  if (a->fit.apart)
    g_string_append_printf (r->out, "\n%s\n",
                            _ ("These readings agree with each other, but not with those before and the work noted "
                               "since: they stand by themselves, and what was not read again is assumed."));
  if (a->fit.n_suspects == 0 || a->set == NULL)
    return;
  g_string_append_printf (r->out, "\n%s\n", _ ("Excluded because it disagrees with the others; read it again:"));
  for (guint i = 0; i < a->fit.n_readings; i++)
    {
      const SlReading *reading = &g_array_index (a->set->readings, SlReading, i);
      const SlReadingFit *fit = &a->fit.readings[i];
      if (!fit->suspect)
        continue;
      g_autofree char *what = sl_reading_text (reading);
      g_autofree char *read = sl_plain (reading->value.v, LENGTH_PLACES);
      g_autofree char *predicted = sl_plain (fit->predicted, LENGTH_PLACES);
      g_autofree char *u = sl_plain (SL_COVERAGE * fit->predicted_u, LENGTH_PLACES);
      g_autofree char *normalised = sl_plain (fit->normalised, OTHER_PLACES);
      g_string_append_printf (r->out,
                              _ ("  %s: %s mm was read, the others expect %s ± %s mm (%s standard deviations away)\n"),
                              what, read, predicted, u, normalised);
    }
}

/* How this neck was seen to bend. */
static void
append_neck (const Report *r)
{
  const SlNeckBending *neck = &r->in->neck;
  if (neck->turns == 0)
    return;
  g_autofree char *crest = sl_plain (neck->crest, LENGTH_PLACES), *nut = sl_plain (neck->nut, LENGTH_PLACES);
  g_autofree char *crest_u = sl_plain (SL_COVERAGE * neck->crest_u, LENGTH_PLACES),
                  *nut_u = sl_plain (SL_COVERAGE * neck->nut_u, LENGTH_PLACES);
  g_string_append_printf (r->out,
                          g_dngettext (GETTEXT_PACKAGE,
                                       "\nThis neck, from %d turn of its rod that was read on both sides: the saddle "
                                       "moves by %s ± %s of what even curvature would make it, the nut by %s ± %s.\n",
                                       "\nThis neck, from %d turns of its rod that were read on both sides: the saddle "
                                       "moves by %s ± %s of what even curvature would make it, the nut by %s ± %s.\n",
                                       (gulong) neck->turns),
                          neck->turns, crest, crest_u, nut, nut_u);
}

/* A cut that did not do what was noted. */
static void
append_doubt (const Report *r)
{
  const SlWorkDoubt *doubt = &r->analysis->fit.doubt;

  if (doubt->found)
    {
      g_autofree char *moved = sl_plain (doubt->moved, LENGTH_PLACES),
                      *predicted = sl_plain (doubt->predicted, LENGTH_PLACES);
      g_autofree char *u = sl_plain (SL_COVERAGE * doubt->u, LENGTH_PLACES);
      g_string_append_printf (
          r->out, _ ("\nAfter the cut the action of string %d at fret %d moved by %s mm; %s ± %s mm was predicted.\n"),
          doubt->string, doubt->fret, moved, predicted, u);
    }
}

static void
append_strings (const Report *r)
{
  double relief[SL_MAX_STRINGS], exposure[SL_MAX_STRINGS];
  for (int i = 0; i < SL_MAX_STRINGS; i++)
    {
      relief[i] = r->in->target_relief;
      exposure[i] = r->in->least_exposure > 0 ? r->in->least_exposure : NAN;
    }
  g_autofree char *hand = sl_text_hand (r->in->pluck_force_n, sl_decimal_sign ());
  /* Translators: "by a hand of 1.6 N" */
  g_autofree char *clean = g_strdup_printf (_ ("Lowest clean action at fret 12, %s, mm"), hand);
  const Block blocks[] = {
    { _ ("Relief, mm"), LENGTH_PLACES, SL_BY_STRING (relief), relief, r->in->relief_tolerance, FALSE },
    { _ ("String height at fret 1, mm"), LENGTH_PLACES, SL_BY_STRING (first_gap), r->in->target_first_gap,
      r->in->first_gap_tolerance, FALSE },
    { _ ("Action at fret 12, mm"), LENGTH_PLACES, SL_BY_FRET (action, SL_OCTAVE_FRET), r->in->target_action,
      r->in->action_tolerance, FALSE },
    { _ ("Saddle top to come down for the target action, mm"), LENGTH_PLACES, SL_BY_STRING (need) },
    { _ ("Saddle exposure, mm"), LENGTH_PLACES, SL_BY_STRING (exposure), exposure, NAN, FALSE },
    { _ ("Straightedge over the bridge top, mm"), LENGTH_PLACES, SL_BY_STRING (board_line) },
    { _ ("Nut height over the crown chord, mm"), LENGTH_PLACES, SL_BY_STRING (nut_height) },
    { _ ("Saddle height over the crown chord, mm"), LENGTH_PLACES, SL_BY_STRING (crest_height) },
    { _ ("Tension, N"), OTHER_PLACES, SL_BY_STRING (tension) },
    { _ ("Break angle at the nut, °"), OTHER_PLACES, SL_BY_STRING (nut_break) },
    { _ ("Force on the nut, N"), OTHER_PLACES, SL_BY_STRING (nut_force) },
    { _ ("Break angle at the saddle, °"), OTHER_PLACES, SL_BY_STRING (saddle_break) },
    { _ ("Down force on the top at the saddle, N"), OTHER_PLACES, SL_BY_STRING (saddle_force) },
    { _ ("Resultant at the saddle, N"), OTHER_PLACES, SL_BY_STRING (saddle_resultant) },
    { _ ("Push on the saddle toward the nut, N"), OTHER_PLACES, SL_BY_STRING (saddle_push) },
    { clean, LENGTH_PLACES, SL_BY_STRING (lowest_clean_action) },
    { _ ("Pitch error at fret 1, cents"), OTHER_PLACES, SL_BY_FRET (pitch_error, 1) },
    { _ ("Pitch error at fret 5, cents"), OTHER_PLACES, SL_BY_FRET (pitch_error, 5) },
    { _ ("Pitch error at fret 12, cents"), OTHER_PLACES, SL_BY_FRET (pitch_error, SL_OCTAVE_FRET) },
    { _ ("Compensation needed, mm"), LENGTH_PLACES, SL_BY_STRING (setback_needed) },
    { _ ("Break point move the tuner asks for, mm"), LENGTH_PLACES, SL_BY_STRING (crest_move), NULL, NAN, TRUE },
    { _ ("Least margin over a crown when plucked, mm"), LENGTH_PLACES, SL_BY_STRING (least_margin) },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (blocks); i++)
    {
      append_block (r, &blocks[i]);
      if (!r->analysis->measured.exposure_read && blocks[i].place.offset == G_STRUCT_OFFSET (SlFigures, exposure))
        g_string_append_printf (r->out, "  %s\n",
                                _ ("No exposure was read, so straightedge to the bridge, break and force at the saddle "
                                   "are assumed: read it."));
    }
}

static void
append_instrument (const Report *r)
{
  const Block blocks[] = {
    { _ ("fingerboard extension, mm"), LENGTH_PLACES, WHOLE (tongue) },
    { _ ("best relief, mm"), LENGTH_PLACES, WHOLE (best_relief) },
    { _ ("force of the pluck, N"), OTHER_PLACES, WHOLE (pluck_force), .measured_only = TRUE },
    { _ ("total tension, N"), 0, WHOLE (tension_total) },
    { _ ("all springs of the tremolo, N"), 0, WHOLE (spring_force) },
    { _ ("off the saddle's underside, bass, mm"), LENGTH_PLACES, WHOLE (base_cut_bass) },
    { _ ("  its first pass"), LENGTH_PLACES, WHOLE (first_pass_bass) },
    { _ ("off the saddle's underside, treble, mm"), LENGTH_PLACES, WHOLE (base_cut_treble) },
    { _ ("  its first pass"), LENGTH_PLACES, WHOLE (first_pass_treble) },
    { _ ("saddle's share of a rod turn, of even"), LENGTH_PLACES, WHOLE (rod_crest_factor), NULL, NAN, TRUE },
    { _ ("nut's share of a rod turn, of even"), LENGTH_PLACES, WHOLE (rod_nut_factor), NULL, NAN, TRUE },
    { _ ("relief for a whole turn of the rod, mm"), LENGTH_PLACES, WHOLE (rod_per_turn), NULL, NAN, TRUE },
  };
  g_string_append_printf (r->out, "%s\n", _ ("The whole instrument"));
  for (gsize i = 0; i < G_N_ELEMENTS (blocks); i++)
    append_block (r, &blocks[i]);
}

/* A column of figures by string: its head and decimals. */
typedef struct
{
  const char *head; /* translated */
  int places;
} Column;

static void
append_columns (const Report *r, const char *title, const Column *columns, int n)
{
  sl_append_padded (r->out, title, LABEL_COLUMN);
  for (int i = 0; i < n; i++)
    sl_append_padded (r->out, columns[i].head, VALUE_COLUMN);
  g_string_append_c (r->out, '\n');
}

static void
append_row (const Report *r, int string, const Column *columns, const double *values, int n)
{
  g_autofree char *label = string_text (string);
  g_string_append (r->out, "  ");
  sl_append_padded (r->out, label, LABEL_COLUMN - 2);
  for (int i = 0; i < n; i++)
    sl_append_value (r->out, values[i], columns[i].places, VALUE_COLUMN);
  g_string_append_c (r->out, '\n');
}

static void
append_slots (const Report *r)
{
  const Column columns[] = { { _ ("width"), LENGTH_PLACES },
                             { _ ("from bass"), LENGTH_PLACES },
                             { _ ("floor"), LENGTH_PLACES },
                             { _ ("falls back"), OTHER_PLACES },
                             { _ ("string"), OTHER_PLACES } };
  double centres[SL_MAX_STRINGS];
  gboolean placed = sl_slot_centres (r->in, centres);
  append_columns (r, _ ("Nut slots, mm and °"), columns, G_N_ELEMENTS (columns));
  for (int s = 1; s <= r->in->n_strings; s++)
    {
      SlSlot slot;
      sl_slot (r->in, r->goal, s, &slot);
      const double values[] = { slot.width, placed ? r->in->nut_width / 2 + slot.centre : NAN,
                                r->in->nut_kind == SL_NUT_ZERO_FRET ? NAN : slot.floor, /* it only guides */
                                slot.has_angle ? slot.floor_angle * DEGREE : NAN,
                                slot.has_angle ? slot.string_angle * DEGREE : NAN };
      append_row (r, s, columns, values, G_N_ELEMENTS (values));
    }
  if (!placed && isfinite (r->in->nut_width))
    g_string_append_printf (r->out, "  %s\n", _ ("The strings and the edge margins don't fit into the nut's width."));
}

static void
append_saddle (const Report *r)
{
  double y[SL_MAX_STRINGS], height[SL_MAX_STRINGS], rms;
  sl_saddle_top (r->in, r->goal, y, height);
  double radius = sl_fit_radius (y, height, r->in->n_strings, &rms);
  if (isnan (radius))
    return;
  const SlTextStyle style = { SL_LENGTHS_MM, sl_decimal_sign () };
  g_autofree char *fitted = sl_text_radius (&style, radius);
  g_autofree char *off = sl_plain (rms, LENGTH_PLACES);
  g_autofree char *saddle = sl_text_radius (&style, r->in->saddle_radius);
  g_autofree char *board =
      sl_text_radius (&style, isfinite (r->in->board_radius_end) ? r->in->board_radius_end : r->in->board_radius_nut);
  g_string_append_printf (r->out,
                          _ ("The saddle top fits a radius: %s (%s mm off it in the mean). The saddle's own: %s. The "
                             "board's at its end: %s.\n"),
                          fitted, off, saddle, board);
}

static void
append_nut_and_setback (const Report *r)
{
  const Column columns[] = { { _ ("compensation"), LENGTH_PLACES },
                             { _ ("nut"), LENGTH_PLACES },
                             { _ ("cents left"), OTHER_PLACES },
                             { _ ("cents now"), OTHER_PLACES } };
  append_columns (r, _ ("Best over frets 1 to 12"), columns, G_N_ELEMENTS (columns));
  for (int s = 1; s <= r->in->n_strings; s++)
    {
      SlNutAndSetback best;
      sl_fit_nut_and_setback (r->in, r->goal, s, &best);
      const double values[] = { best.setback, best.nut_offset, best.rms, best.rms_now };
      append_row (r, s, columns, values, G_N_ELEMENTS (values));
    }
}

/* Which end condition the tuner's readings speak for. */
static void
append_ends (const Report *r)
{
  SlEndsFit ends;
  sl_fit_ends (r->in, &r->analysis->measured, r->analysis->set, &ends);
  if (ends.n == 0)
    return;
  g_autofree char *one = sl_plain (ends.rms_one, OTHER_PLACES);
  g_autofree char *both = sl_plain (ends.rms_both, OTHER_PLACES);
  g_string_append_printf (r->out,
                          _ ("%d tuner readings differ from the prediction by %s cents (root mean square) with one end "
                             "of the strings clamped, by %s with both.\n"),
                          ends.n, one, both);
}

/* Strings whose core carries too much. */
static void
append_stress (const Report *r)
{
  for (int i = 0; i < r->in->n_strings; i++)
    {
      g_autofree char *warning =
          sl_stress_warning (i + 1, r->analysis->planned_figures.core_stress_share[i], sl_decimal_sign ());
      if (warning != NULL)
        g_string_append_printf (r->out, "%s\n", warning);
    }
}

static void
append_plan (const Report *r, const SlVisit *visit)
{
  if (visit == NULL || visit->plan->len == 0)
    return;
  g_string_append_printf (r->out, "\n%s\n", _ ("Plan"));
  for (guint i = 0; i < visit->plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (visit->plan, SlOperation, i);
      g_autofree char *text = sl_operation_text (r->in, operation);
      g_string_append_printf (r->out, "  %u. %s", i + 1, text);
      g_autofree char *done = sl_date_short (operation->done);
      if (done != NULL)
        g_string_append_printf (r->out, _ (", done %s"), done);
      g_string_append_c (r->out, '\n');
    }
}

/* A row of a matrix by fret: its label, then a figure for each fret from @first on. */
static void
append_matrix_row (const Report *r, int held, int first, const double *values)
{
  g_autofree char *label = held > 0 ? g_strdup_printf (_ ("held at %d"), held) : g_strdup (_ ("open"));
  g_string_append (r->out, "    ");
  sl_append_padded (r->out, label, LABEL_COLUMN / 2);
  for (int n = 1; n <= r->in->frets; n++)
    {
      g_autofree char *text =
          n >= first && isfinite (values[n]) ? number_text (values[n], LENGTH_PLACES) : g_strdup ("");
      sl_append_padded (r->out, text, MATRIX_COLUMN);
    }
  g_string_append_c (r->out, '\n');
}

static void
append_matrices (const Report *r, const SlState *state, const SlFigures *figures, int string)
{
  const char *const titles[] = { _ ("gap, mm"), _ ("swing, mm"), _ ("margin, mm") };
  SlStringState s;
  sl_state_string (r->in, state, string, &s);
  for (int part = 0; part < 3; part++)
    {
      g_string_append_printf (r->out, "  %s\n", titles[part]);
      for (int held = 0; held < r->in->frets; held++)
        {
          double values[SL_MAX_FRETS + 1];
          for (int n = held + 1; n <= r->in->frets; n++)
            {
              SlClearance c;
              sl_clearance (&s, figures->tension[string - 1].value, held, n, &c);
              values[n] = part == 0 ? c.gap : part == 1 ? c.swing : c.margin;
            }
          append_matrix_row (r, held, held + 1, values);
        }
    }
}

static void
append_detail (const Report *r, const char *title, const SlState *state, const SlFigures *figures)
{
  for (int string = 1; string <= r->in->n_strings; string++)
    {
      g_autofree char *mass = sl_plain (r->in->strings[string - 1].unit_mass_kg_m * GRAMS_PER_KILOGRAM, MASS_PLACES);
      g_string_append_printf (r->out, _ ("\n%s, string %d (%s g/m), by fret from 1 on\n"), title, string, mass);
      if (r->analysis->fit.first_gap_assumed[string - 1] || r->analysis->fit.action_assumed[string - 1])
        g_string_append_printf (r->out, "  %s\n",
                                _ ("Not read: its height at fret 1 or its action is assumed from the other strings or "
                                   "the target"));
      append_matrices (r, state, figures, string);
    }
}

static void
append_head (const Report *r)
{
  g_string_append_c (r->out, '\n');
  sl_append_padded (r->out, "", LABEL_COLUMN);
  sl_append_padded (r->out, _ ("as measured"), FIGURE_COLUMN);
  if (r->analysis->has_plan)
    {
      g_string_append (r->out, "   ");
      sl_append_padded (r->out, _ ("as planned"), FIGURE_COLUMN);
    }
  sl_append_padded (r->out, _ ("target"), TARGET_COLUMN);
  g_string_append_c (r->out, '\n');
}

void
sl_text_report (GString *out, const char *name, const SlProfile *profile, const SlAnalysis *analysis, gboolean detail)
{
  const Report r = { out, analysis, &analysis->instrument,
                     analysis->has_plan ? &analysis->planned : &analysis->measured };
  Report goal = r; /* with the strings that are to be on */
  goal.in = &analysis->planned_instrument;
  append_identity (&r, name, &profile->identity);
  append_set (&r);
  append_air (&r);
  append_suspects (&r);
  append_neck (&r);
  append_doubt (&r);
  append_head (&r);
  append_strings (&r);
  append_instrument (&r);
  sl_text_frets (out, analysis);
  append_slots (&goal);
  append_saddle (&goal);
  append_nut_and_setback (&goal);
  append_ends (&r);
  append_stress (&goal);
  append_plan (&r, sl_profile_last_visit (profile));
  if (detail)
    append_detail (&r, _ ("As measured"), &analysis->measured, &analysis->measured_figures);
  if (detail && analysis->has_plan)
    append_detail (&goal, _ ("As planned"), &analysis->planned, &analysis->planned_figures);
}

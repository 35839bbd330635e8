/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the report says of slots, the saddle's top and the least-squares places of crest and nut, in the state that is
 * to be reached. */
#include <glib/gi18n.h>

#include "calc.h"
#include "setup/record/compare.h"
#include "setup/physics/intonation.h"
#include "setup/physics/nut.h"
#include "setup/profile/units.h"

#define DEGREE (180 / G_PI)
#define LENGTH_PLACES 2
#define ANGLE_PLACES 1
#define CENTS_PLACES 1
#define LABEL_COLUMN 24
#define VALUE_COLUMN (-11)

typedef struct
{
  GString *out;
  const SlInstrument *in;
  const SlState *state;
} Text;

static void
append_value (const Text *t, double value, int places)
{
  sl_append_value (t->out, value, places, VALUE_COLUMN);
}

static void
append_name (const Text *t, int string)
{
  g_autofree char *name = g_strdup_printf (_ ("string %d"), string);
  g_string_append (t->out, "  ");
  sl_append_padded (t->out, name, LABEL_COLUMN - 2);
}

static void
append_columns (const Text *t, const char *title, const char *const *columns, int n)
{
  sl_append_padded (t->out, title, LABEL_COLUMN);
  for (int i = 0; i < n; i++)
    sl_append_padded (t->out, columns[i], VALUE_COLUMN);
  g_string_append_c (t->out, '\n');
}

static void
append_slots (const Text *t)
{
  const char *const columns[] = { _ ("width"), _ ("from bass"), _ ("floor"), _ ("falls back"), _ ("string") };
  double centres[SL_MAX_STRINGS];
  gboolean placed = sl_slot_centres (t->in, centres);
  append_columns (t, _ ("Nut slots, mm and °"), columns, G_N_ELEMENTS (columns));
  for (int s = 1; s <= t->in->n_strings; s++)
    {
      SlSlot slot;
      sl_slot (t->in, t->state, s, &slot);
      append_name (t, s);
      append_value (t, slot.width, LENGTH_PLACES);
      append_value (t, placed ? t->in->nut_width / 2 + slot.centre : NAN, LENGTH_PLACES);
      append_value (t, slot.floor, LENGTH_PLACES);
      append_value (t, slot.has_angle ? slot.floor_angle * DEGREE : NAN, ANGLE_PLACES);
      append_value (t, slot.has_angle ? slot.string_angle * DEGREE : NAN, ANGLE_PLACES);
      g_string_append_c (t->out, '\n');
    }
  if (!placed && isfinite (t->in->nut_width))
    g_string_append_printf (t->out, "  %s\n", _ ("The strings and the edge margins don't fit into the nut's width."));
}

/* A radius in words. */
static char *
radius_text (const Text *t, double radius)
{
  if (!isfinite (radius))
    return g_strdup (_ ("flat"));
  g_autofree char *text = sl_plain (fabs (radius), 0);
  return radius < 0 ? g_strdup_printf (_ ("%s mm, hollow"), text) : g_strdup_printf (_ ("%s mm"), text);
}

static void
append_saddle (const Text *t)
{
  double y[SL_MAX_STRINGS], height[SL_MAX_STRINGS], rms;
  sl_saddle_top (t->in, t->state, y, height);
  double radius = sl_fit_radius (y, height, t->in->n_strings, &rms);
  if (isnan (radius))
    return;
  g_autofree char *fitted = radius_text (t, radius);
  g_autofree char *off = sl_plain (rms, LENGTH_PLACES);
  g_autofree char *saddle = radius_text (t, t->in->saddle_radius);
  g_autofree char *board =
      radius_text (t, isfinite (t->in->board_radius_end) ? t->in->board_radius_end : t->in->board_radius_nut);
  g_string_append_printf (t->out,
                          _ ("The saddle top has a radius of %s (%s mm off it in the mean). The saddle's own: %s. The "
                             "board's at its end: %s.\n"),
                          fitted, off, saddle, board);
}

static void
append_nut_and_setback (const Text *t)
{
  const char *const columns[] = { _ ("compensation"), _ ("nut"), _ ("cents left"), _ ("cents now") };
  append_columns (t, _ ("Best over frets 1 to 12"), columns, G_N_ELEMENTS (columns));
  for (int s = 1; s <= t->in->n_strings; s++)
    {
      SlNutAndSetback best;
      sl_fit_nut_and_setback (t->in, t->state, s, &best);
      append_name (t, s);
      append_value (t, best.setback, LENGTH_PLACES);
      append_value (t, best.nut_offset, LENGTH_PLACES);
      append_value (t, best.rms, CENTS_PLACES);
      append_value (t, best.rms_now, CENTS_PLACES);
      g_string_append_c (t->out, '\n');
    }
}

/* Which end condition the tuner's readings speak for. */
static void
append_ends (const Text *t, const SlAnalysis *analysis)
{
  SlEndsFit ends;
  sl_fit_ends (t->in, &analysis->measured, analysis->set, &ends);
  if (ends.n == 0)
    return;
  g_autofree char *one = sl_plain (ends.rms_one, CENTS_PLACES);
  g_autofree char *both = sl_plain (ends.rms_both, CENTS_PLACES);
  g_string_append_printf (t->out,
                          _ ("%d tuner readings differ from the prediction by %s cents (root mean square) with one end "
                             "of the strings clamped, by %s with both.\n"),
                          ends.n, one, both);
}

void
sl_text_nut_and_saddle (GString *out, const SlAnalysis *analysis)
{
  const Text t = { out, &analysis->instrument, analysis->has_plan ? &analysis->planned : &analysis->measured };
  append_slots (&t);
  append_saddle (&t);
  append_nut_and_setback (&t);
  append_ends (&t, analysis);
}

void
sl_text_stress (GString *out, const SlAnalysis *analysis)
{
  const char *decimal = sl_decimal_sign ();
  for (int i = 0; i < analysis->instrument.n_strings; i++)
    {
      g_autofree char *warning = sl_stress_warning (i + 1, analysis->measured_figures.core_stress_share[i], decimal);
      if (warning != NULL)
        g_string_append_printf (out, "%s\n", warning);
    }
}

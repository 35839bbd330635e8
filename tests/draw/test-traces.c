/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What was read earlier in a visit, as thin lines of the side view. What a bench does is the reference (model 4.1):
 * the rod moves the neck and leaves body and saddle where they are, a base cut brings the crest down by its amount
 * times the cosine of the saddle's lean. */
#include <math.h>
#include <string.h>

#include "draw/draw.h"
#include "draw/base/picture.h"
#include "draw/base/style.h"
#include "sample.h"
#include "setup/fit/reading-row.h"
#include "shown.h"

#define LEAN_RAD (3 * G_PI / 180) /* of sample_usual()'s saddle */
#define CUT_MM 0.6
#define TURN_MM -0.15

typedef struct
{
  double x0, y0, x1, y1;
} Line;

/* A set whose readings are what @state has them be. */
static void
add_set (SlProfile *profile, const SlAnalysis *like, const SlState *state, const char *id, const char *taken)
{
  SlVisit *visit = sl_profile_last_visit (profile);
  const SlReadingSet *first = &g_array_index (visit->sets, SlReadingSet, 0);
  SlReadingSet set = sl_reading_set_init ();

  set.id = g_strdup (id);
  set.stage = SL_STAGE_DURING;
  set.taken = g_strdup (taken);
  for (guint i = 0; i < first->readings->len; i++)
    {
      SlReading reading = g_array_index (first->readings, SlReading, i);
      double row[SL_MAX_UNKNOWNS] = { 0 }, value = 0;

      if (reading.kind == SL_READ_SETBACK || reading.kind == SL_READ_CROWN_GAP)
        g_array_append_val (set.readings, reading);
      if (reading.kind > SL_READ_ACTION)
        continue;
      sl_reading_row (&like->instrument, state, &reading, row, &value);
      for (int k = 0; k < state->n_unknowns; k++)
        value += row[k] * state->u[k];
      reading.value = sl_number (value);
      g_array_append_val (set.readings, reading);
    }
  g_array_append_val (visit->sets, set);
}

static void
do_work (SlProfile *profile, SlOperationKind kind, double amount, const char *done, const SlAnalysis *like,
         SlState *state)
{
  SlOperation operation = sl_operation_init (kind);

  operation.amount = operation.amount_treble = sl_number (amount);
  if (kind == SL_OP_TURN_ROD)
    operation.amount_treble = SL_NUMBER_ABSENT;
  operation.done = g_strdup (done);
  sl_operation_apply (&like->instrument, &operation, state);
  g_array_append_val (sl_profile_last_visit (profile)->plan, operation);
}

/* Read, rod turned, read, base cut, read: each reading what the work makes of the first, the rod moving the crests by
 * @factor of what even curvature would. */
static SlProfile *
three_sets_of (double factor)
{
  SlProfile *profile = sample_usual ();
  g_autoptr (SlAnalysis) first = NULL;
  SlState state;

  g_array_set_size (sl_profile_last_visit (profile)->plan, 0);
  first = sample_analyse (profile);
  first->instrument.neck.crest = factor;
  state = first->measured;
  do_work (profile, SL_OP_TURN_ROD, TURN_MM, "2026-03-02T11:00:00Z", first, &state);
  add_set (profile, first, &state, "r2", "2026-03-02T12:00:00Z");
  do_work (profile, SL_OP_CUT_SADDLE_BASE, CUT_MM, "2026-03-02T13:00:00Z", first, &state);
  add_set (profile, first, &state, "r3", "2026-03-02T14:00:00Z");
  return profile;
}

static SlProfile *
three_sets (void)
{
  return three_sets_of (SL_NECK_BENDING_ASSUMED.crest);
}

static void
options_for (SlPictureOptions *o, int string)
{
  sl_picture_options_init (o);
  o->kind = SL_PICTURE_SIDE;
  o->string = string;
  o->width = 1200;
  o->height = 500; /* lower than what has a title block: a file is as what is shown */
}

/* Whether the SVG strokes anything in an ink. */
static gboolean
has_ink (const SlAnalysis *analysis, const SlPictureOptions *o, SlInk ink)
{
  const SlColour *colour = &sl_palette (o->look)[ink];
  g_autoptr (GBytes) bytes = sl_picture_render (analysis, o, SL_FORMAT_SVG, 1, NULL);
  g_autofree char *svg = g_strndup (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes));
  g_autofree char *stroke =
      g_strdup_printf ("stroke:rgb(%f%%,%f%%,%f%%)", 100 * colour->r, 100 * colour->g, 100 * colour->b);
  g_autofree char *attribute =
      g_strdup_printf ("stroke=\"rgb(%f%%,%f%%,%f%%)\"", 100 * colour->r, 100 * colour->g, 100 * colour->b);

  return strstr (svg, stroke) != NULL || strstr (svg, attribute) != NULL;
}

/* The straight thin lines in the trace's ink, as the SVG has them. */
static GArray *
trace_lines (const SlAnalysis *analysis, const SlPictureOptions *o)
{
  const SlColour *ink = &sl_palette (o->look)[SL_INK_TRACE];
  g_autoptr (GBytes) bytes = sl_picture_render (analysis, o, SL_FORMAT_SVG, 1, NULL);
  g_autofree char *svg = g_strndup (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes));
  g_autofree char *stroke = g_strdup_printf ("rgb(%f%%,%f%%,%f%%)", 100 * ink->r, 100 * ink->g, 100 * ink->b);
  GArray *lines = g_array_new (FALSE, FALSE, sizeof (Line));

  for (char *at = strstr (svg, stroke); at != NULL; at = strstr (at + 1, stroke))
    {
      char *path = strstr (at, "d=\"M "), *end = NULL;
      Line line;

      g_assert_nonnull (path);
      line.x0 = g_ascii_strtod (path + strlen ("d=\"M "), &end);
      line.y0 = g_ascii_strtod (end, &end);
      g_assert_true (g_str_has_prefix (end, " L "));
      line.x1 = g_ascii_strtod (end + strlen (" L "), &end);
      line.y1 = g_ascii_strtod (end, &end);
      if (g_str_has_prefix (end, " \"")) /* more points: the crowns */
        g_array_append_val (lines, line);
    }
  return lines;
}

static void
test_crests (void)
{
  g_autoptr (SlProfile) profile = three_sets ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  g_autoptr (GArray) lines = NULL;
  SlPictureOptions o;
  SlPictureMap map;
  const double within = 0.02; /* mm: what the fit leaves of readings that agree */

  options_for (&o, 6);
  sl_picture_map_init (&map);
  shown_draw (analysis, &o, &map);
  lines = trace_lines (analysis, &o);
  g_assert_cmpuint (lines->len, ==, 2);
  {
    const Line *received = &g_array_index (lines, Line, 0), *turned = &g_array_index (lines, Line, 1);
    double up = map.units_per_mm_up, crest = map.handles[SL_HANDLE_CREST].y, nut = map.handles[SL_HANDLE_SLOT].y;

    g_assert_cmpfloat_with_epsilon (received->x0, map.origin_x, 0.1);
    g_assert_cmpfloat_with_epsilon (received->x1, map.handles[SL_HANDLE_CREST].x, 0.1);
    /* the crest stays where it is while the rod is turned; then it comes down by the cut */
    g_assert_cmpfloat_with_epsilon ((received->y1 - turned->y1) / up, 0, within);
    g_assert_cmpfloat_with_epsilon ((crest - turned->y1) / up, CUT_MM * cos (LEAN_RAD), within);
    /* even curvature turns the neck's tangent at the nut against the joint's, which stays, by 4 ΔR / (x_J − x_1): what
     * the nut moves by is that over x_J and the curve's own share beyond fret 1, each by this neck's factor */
    double x1 = analysis->instrument.x[0][1], xj = analysis->instrument.x[0][analysis->instrument.joint];
    const SlNeckBending *neck = &analysis->instrument.neck;
    double moved = -TURN_MM * (neck->crest * 4 * xj / (xj - x1) + neck->nut * 4 * x1 * xj / ((xj - x1) * (xj - x1)));

    g_assert_cmpfloat_with_epsilon ((turned->y0 - nut) / up, 0, within);
    g_assert_cmpfloat_with_epsilon (fabs (received->y0 - turned->y0) / up, moved, 2 * within);
  }
  g_assert_true (shown_says (&map, "thin as read before"));
  sl_picture_map_clear (&map);
}

/* On a neck that bends otherwise than was believed the body is drawn to stay as far as one turn has taught: the crests
 * before and after it lie apart by what is left between factor and belief, times the lever. */
static void
test_learned_factor (void)
{
  const double truth = 0.6;
  g_autoptr (SlProfile) profile = three_sets_of (truth);
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  g_autoptr (GArray) lines = NULL;
  SlPictureOptions o;
  SlPictureMap map;
  const double belief = analysis->instrument.neck.crest;

  g_assert_cmpfloat (belief, >, truth);
  g_assert_cmpfloat (belief, <, SL_NECK_BENDING_ASSUMED.crest - 0.05);
  options_for (&o, 6);
  sl_picture_map_init (&map);
  shown_draw (analysis, &o, &map);
  lines = trace_lines (analysis, &o);
  g_assert_cmpuint (lines->len, ==, 2);
  double x1 = analysis->instrument.x[0][1], xj = analysis->instrument.x[0][analysis->instrument.joint];
  double apart =
      (truth - belief) * TURN_MM * 4 * (analysis->instrument.scale[0] + analysis->measured.setback[5] - xj) / (xj - x1);

  g_assert_cmpfloat_with_epsilon (fabs (g_array_index (lines, Line, 0).y1 - g_array_index (lines, Line, 1).y1) /
                                      map.units_per_mm_up,
                                  fabs (apart), 0.02);
  sl_picture_map_clear (&map);
}

/* A turn that is only planned leaves saddle and string over the bridge where they were: the close-up draws no ghost. */
static void
test_closeup_of_turn (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = NULL;
  SlPictureOptions o;
  SlOperation turn = sl_operation_init (SL_OP_TURN_ROD);
  GArray *work = sl_profile_last_visit (profile)->plan;

  turn.amount = sl_number (-0.3);
  g_array_set_size (work, 0);
  g_array_append_val (work, turn);
  for (int learned = 0; learned < 2; learned++)
    {
      g_clear_pointer (&analysis, sl_analysis_free);
      analysis = sample_analyse (profile);
      analysis->instrument.neck.crest = learned ? 0.6 : 1;
      analysis->planned = analysis->measured;
      sl_plan_apply (&analysis->instrument, work, NULL, FALSE, &analysis->shop.work, &analysis->planned);
      options_for (&o, 6);
      o.kind = SL_PICTURE_BRIDGE;
      g_assert_false (has_ink (analysis, &o, SL_INK_GHOST));
    }
}

/* The legend names them only where there are any; a picture for the customer has none. */
static void
test_only_where_read (void)
{
  g_autoptr (SlProfile) profile = three_sets (), single = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile), one = sample_analyse (single);
  SlPictureOptions o;

  for (int c = 0; c < 4; c++)
    {
      g_autoptr (GArray) lines = NULL;
      SlPictureMap map;

      options_for (&o, c == 3 ? SL_ALL_STRINGS : 6);
      o.still = c == 1;
      sl_picture_map_init (&map);
      shown_draw (c == 2 ? one : analysis, &o, &map);
      lines = trace_lines (c == 2 ? one : analysis, &o);
      /* of all strings the outer two */
      g_assert_cmpuint (lines->len, ==, c == 0 ? 2 : c == 3 ? 4 : 0);
      g_assert_cmpint (shown_says (&map, "thin as read before"), ==, c == 0 || c == 3);
      sl_picture_map_clear (&map);
    }
}

/* Every trace lies on the stage, also where the strings were much higher before. */
static void
test_on_stage (void)
{
  g_autoptr (SlProfile) profile = three_sets ();
  g_autoptr (SlAnalysis) analysis = NULL;
  SlReadingSet *first = &g_array_index (sl_profile_last_visit (profile)->sets, SlReadingSet, 0);
  const double sizes[][2] = { { 700, 330 }, { 1200, 520 }, { 1900, 900 } };

  sl_reading_set_find (first, SL_READ_ACTION, 6, 12, SL_HELD_DEFAULT)->value = sl_number (7);
  analysis = sample_analyse (profile);
  for (gsize i = 0; i < G_N_ELEMENTS (sizes); i++)
    {
      g_autoptr (GArray) lines = NULL;
      SlPictureOptions o;

      options_for (&o, 6);
      o.width = sizes[i][0];
      o.height = sizes[i][1];
      lines = trace_lines (analysis, &o);
      g_assert_cmpuint (lines->len, ==, 2);
      for (guint k = 0; k < lines->len; k++)
        {
          const Line *line = &g_array_index (lines, Line, k);

          g_assert_cmpfloat (MIN (line->y0, line->y1), >, 0);
          g_assert_cmpfloat (MAX (line->y0, line->y1), <, o.height);
        }
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/traces/crests", test_crests);
  g_test_add_func ("/draw/traces/learned-factor", test_learned_factor);
  g_test_add_func ("/draw/traces/closeup-of-turn", test_closeup_of_turn);
  g_test_add_func ("/draw/traces/only-where-read", test_only_where_read);
  g_test_add_func ("/draw/traces/on-stage", test_on_stage);
  return g_test_run ();
}

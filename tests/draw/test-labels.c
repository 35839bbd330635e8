/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What holds for every text of every picture: none lies on another, none leaves the stage, none lies on the string, and
 * none shows what is no number. Tried on seeded random instruments, so that a failure can be had again. */
#include "../rounds.h"
#include "sample.h"
#include "shown.h"
#include "draw/draw.h"
#include "draw/side/hardware.h"

#define SEEDS (guint) test_rounds (60)
#define TRIES 6

static const ShownSize sizes[] = SHOWN_SIZES;

static void
choose_options (GRand *rand, const SlProfile *profile, SlPictureOptions *o)
{
  shown_choose (rand, profile, sizes, G_N_ELEMENTS (sizes), o);
  o->kind = (SlPictureKind) g_rand_int_range (rand, SL_PICTURE_SIDE, SL_PICTURE_ALL + 1);
  o->held = g_rand_boolean (rand) ? 0 : g_rand_int_range (rand, 0, profile->neck.frets);
  o->focus = g_rand_int_range (rand, -1, SL_N_HANDLES);
  o->height_factor = g_rand_int_range (rand, 0, 3) == 0 ? g_rand_double_range (rand, 1, 60) : 0;
  o->plain = g_rand_int_range (rand, 0, 4) == 0;
  o->title = o->held % 2 == 0 ? "A title" : NULL;
}

static void
try_picture (const SlAnalysis *analysis, const SlProfile *profile, GRand *rand, guint seed)
{
  SlPictureOptions o;
  SlPictureMap map;

  choose_options (rand, profile, &o);
  sl_picture_map_init (&map);
  shown_draw (analysis, &o, &map);
  g_assert_cmpuint (map.labels->len, >=, 2);
  shown_check (&map, &o, seed);
  sl_picture_map_clear (&map);
}

static void
test_random (void)
{
  for (guint seed = 1; seed <= SEEDS; seed++)
    {
      GRand *rand = g_rand_new_with_seed (seed);
      g_autoptr (SlProfile) profile = sample_random (rand);
      g_autoptr (SlAnalysis) analysis = sample_analyse (profile);

      for (int i = 0; i < TRIES; i++)
        try_picture (analysis, profile, rand, seed);
      g_rand_free (rand);
    }
}

/* The planned string, open, from nut to crest: its ends follow from the map and the state. */
static void
check_string (const SlPictureMap *map, const SlAnalysis *analysis, int string, guint seed)
{
  const SlState *state = analysis->has_plan ? &analysis->planned : &analysis->measured;
  SlStringState s;
  double x0, y0, x1, y1;

  sl_state_string (&analysis->instrument, state, string, &s);
  x0 = map->origin_x;
  y0 = map->origin_y - s.p[SL_P_NUT] * map->units_per_mm_up;
  x1 = map->origin_x + s.x_s * map->units_per_mm_along;
  y1 = map->origin_y - s.p[SL_P_CREST] * map->units_per_mm_up;
  for (guint i = 0; i < map->labels->len; i++)
    {
      const SlPictureLabel *label = &g_array_index (map->labels, SlPictureLabel, i);

      if (shown_runs_through (&label->rect, x0, y0, x1, y1))
        g_error ("seed %u: “%s” lies on string %d", seed, label->text, string);
    }
}

static void
test_strings_free (void)
{
  for (guint seed = 1; seed <= SEEDS; seed++)
    {
      GRand *rand = g_rand_new_with_seed (seed + 1000);
      g_autoptr (SlProfile) profile = sample_random (rand);
      g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
      SlPictureOptions o;
      SlPictureMap map;

      sl_picture_map_init (&map);
      choose_options (rand, profile, &o);
      o.kind = SL_PICTURE_SIDE;
      o.held = 0;
      o.string = profile->n_strings;
      shown_draw (analysis, &o, &map);
      check_string (&map, analysis, o.string, seed);
      o.string = SL_ALL_STRINGS;
      shown_draw (analysis, &o, &map);
      for (int n = 1; n <= profile->n_strings; n++)
        check_string (&map, analysis, n, seed);
      sl_picture_map_clear (&map);
      g_rand_free (rand);
    }
}

/* No label comes nearer than this to a line, which is upright or level. */
#define CLEAR 1.0

static void
keep_off (const SlPictureMap *map, const char *line, double x0, double y0, double x1, double y1, const char *where)
{
  const double left = MIN (x0, x1), right = MAX (x0, x1);

  for (guint i = 0; i < map->labels->len; i++)
    {
      const SlPictureLabel *label = &g_array_index (map->labels, SlPictureLabel, i);
      const SlRect *r = &label->rect;

      if (right > r->x - CLEAR && left < r->x + r->width + CLEAR && y1 > r->y - CLEAR && y0 < r->y + r->height + CLEAR)
        g_error ("%s: “%s” (%g %g %g %g) touches %s (%g %g %g %g)", where, label->text, r->x, r->y, r->width, r->height,
                 line, x0, y0, x1, y1);
    }
}

/* Frets and board, the board line carried on to the saddle, the body's outline and its plates: where they lie follows
 * from the map and the state of the string the picture goes by. */
static void
check_lines (const SlPictureMap *map, const SlAnalysis *analysis, const SlPictureOptions *o, const char *where)
{
  const SlInstrument *in = &analysis->instrument;
  const double joint = map->fret_x[in->joint], along = map->units_per_mm_along, plate = MAX (3, 3 * fabs (along));
  const SlBridgeBuild *build = sl_bridge_build (in);
  const double end = along < 0 ? 12 : o->width - 12; /* where the body is cut off */
  SlStringState s;

  sl_state_string (in, analysis->has_plan ? &analysis->planned : &analysis->measured,
                   o->string == SL_ALL_STRINGS ? in->n_strings : o->string, &s);
  for (int n = 1; n <= in->frets; n++)
    {
      const double crown = sl_crown_height (&s, n), x = map->fret_x[n];

      keep_off (map, "a fret", x - 1, map->origin_y - crown * map->units_per_mm_up, x + 1,
                MIN (map->body_top, map->origin_y - (crown - in->crown_height) * map->units_per_mm_up), where);
    }
  keep_off (map, "the board", map->fret_x[0], map->body_top - 1, map->fret_x[in->frets], map->body_top, where);
  if (!o->plain)
    keep_off (map, "the board line", map->fret_x[1], map->origin_y, map->origin_x + s.x_s * along - copysign (9, along),
              map->origin_y, where);
  keep_off (map, "the body's back", joint, map->body_bottom, end, map->body_bottom, where);
  keep_off (map, "the body's end", joint, map->body_bottom - 20, joint, map->body_bottom - 12, where);
  if (build->arched) /* its top is no level line */
    return;
  keep_off (map, "the body's top", joint, map->body_top, end, map->body_top, where);
  keep_off (map, "the body's end", joint, map->body_top, joint, map->body_bottom - 12, where);
  if (!build->solid)
    {
      keep_off (map, "the top plate", joint + copysign (6, along), map->body_top + plate, end, map->body_top + plate,
                where);
      keep_off (map, "the back plate", joint + copysign (12, along), map->body_bottom - plate, end,
                map->body_bottom - plate, where);
    }
}

/* From the room beside a list of instruments to the largest a window leaves the picture. */
static void
test_lines (void)
{
  static const ShownSize rooms[] = { { 300, 220 }, { 380, 220 },  { 560, 240 },   { 640, 300 },  { 820, 420 },
                                     { 900, 480 }, { 1280, 640 }, { 1900, 1000 }, { 2900, 1500 } };

  for (guint seed = 1; seed <= SEEDS; seed++)
    {
      GRand *rand = g_rand_new_with_seed (seed + 2000);
      g_autoptr (SlProfile) profile = seed % 10 == 0 ? sample_usual () : sample_random (rand);
      g_autoptr (SlAnalysis) analysis = sample_analyse (profile);

      for (guint i = 0; i < G_N_ELEMENTS (rooms); i++)
        {
          g_autofree char *where = NULL;
          SlPictureOptions o;
          SlPictureMap map;

          choose_options (rand, profile, &o);
          o.kind = SL_PICTURE_SIDE;
          o.width = rooms[i].width;
          o.height = rooms[i].height;
          sl_picture_map_init (&map);
          shown_draw (analysis, &o, &map);
          where = g_strdup_printf ("seed %u, %g × %g, text × %g, string %d, held at %d", seed, o.width, o.height,
                                   o.text_scale, o.string, o.held);
          check_lines (&map, analysis, &o, where);
          sl_picture_map_clear (&map);
        }
      g_rand_free (rand);
    }
}

/* On an ordinary instrument at the sizes a window gives, nothing is left out. */
static void
test_complete (void)
{
  static const char *const wanted[] = { "action at 12",
                                        "height at fret 1",
                                        "relief",
                                        "exposure",
                                        "over the nut",
                                        "over the saddle",
                                        "off the underside",
                                        "none of it yet",
                                        "heights ×",
                                        "100 mm along the neck",
                                        "dashed as measured · solid as planned · hatched comes off",
                                        "String 6",
                                        "open" };
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);

  for (guint s = 1; s < G_N_ELEMENTS (sizes); s++)
    {
      SlPictureOptions o;
      SlPictureMap map;

      sl_picture_options_init (&o);
      sl_picture_map_init (&map);
      o.kind = SL_PICTURE_SIDE;
      o.string = 6;
      o.width = sizes[s].width;
      o.height = sizes[s].height;
      shown_draw (analysis, &o, &map);
      for (guint i = 0; i < G_N_ELEMENTS (wanted); i++)
        if (!shown_says (&map, wanted[i]))
          g_error ("“%s” is missing at %g × %g", wanted[i], o.width, o.height);
      sl_picture_map_clear (&map);
    }
}

/* The figures shown are those of the analysis, in the units asked for. */
static void
test_units (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  const SlLengths lengths[] = { SL_LENGTHS_MM, SL_LENGTHS_INCH, SL_LENGTHS_64THS };

  for (guint i = 0; i < G_N_ELEMENTS (lengths); i++)
    {
      g_autofree char *action =
          sl_length_format (analysis->planned_figures.action[5][12].value, lengths[i], 2, ",", TRUE);
      SlPictureOptions o;
      SlPictureMap map;

      sl_picture_options_init (&o);
      sl_picture_map_init (&map);
      o.kind = SL_PICTURE_SIDE;
      o.string = 6;
      o.lengths = lengths[i];
      o.decimal = ",";
      shown_draw (analysis, &o, &map);
      g_assert_true (shown_says (&map, action));
      g_assert_true (shown_says (&map, lengths[i] == SL_LENGTHS_MM ? "100 mm" : "4 in along"));
      sl_picture_map_clear (&map);
    }
}

/* For a customer: one figure in plain words, and none of the shop's. */
static void
test_plain (void)
{
  static const char *const shops[] = { "relief", "exposure", "height at fret 1",  "over the",
                                       "°",      " N",       "off the underside", "along the neck" };
  g_autoptr (SlProfile) profile = sample_usual ();
  g_autoptr (SlAnalysis) analysis = sample_analyse (profile);
  g_autofree char *action =
                      sl_length_format (analysis->planned_figures.action[5][12].value, SL_LENGTHS_MM, 2, ".", TRUE),
                  *said = g_strconcat (action, " at the 12th fret", NULL);

  for (guint s = 0; s < G_N_ELEMENTS (sizes); s++)
    {
      SlPictureOptions o;
      SlPictureMap map;

      sl_picture_options_init (&o);
      sl_picture_map_init (&map);
      o.kind = SL_PICTURE_SIDE;
      o.width = sizes[s].width;
      o.height = sizes[s].height;
      o.plain = o.still = TRUE;
      o.legend = "dashed: as it was before";
      shown_draw (analysis, &o, &map);
      if (!shown_says (&map, said))
        g_error ("“%s” is missing at %g × %g", said, o.width, o.height);
      g_assert_true (shown_says (&map, "times as large"));
      g_assert_true (shown_says (&map, o.legend));
      for (guint i = 0; i < G_N_ELEMENTS (shops); i++)
        if (shown_says (&map, shops[i]))
          g_error ("“%s” is shown to a customer", shops[i]);
      sl_picture_map_clear (&map);
    }
}

/* What is ticked off is ordered no more, before anything is read again too; what it did is in the picture all the same.
 */
static void
test_done (void)
{
  static const struct
  {
    SlPictureKind kind;
    int string;
    const char *order;
  } views[] = { { SL_PICTURE_SIDE, 6, "off the underside" },
                { SL_PICTURE_SIDE, SL_ALL_STRINGS, "off the underside" },
                { SL_PICTURE_SIDE, SL_ALL_STRINGS, "none of it yet" },
                { SL_PICTURE_SIDE, SL_ALL_STRINGS, "level frets" },
                { SL_PICTURE_SIDE, 6, " lower" },
                { SL_PICTURE_SIDE, 5, " lower" },
                { SL_PICTURE_SIDE, 2, " back" },
                { SL_PICTURE_BRIDGE, 6, "off the underside" },
                { SL_PICTURE_BRIDGE, 5, " lower" },
                { SL_PICTURE_NUT, 6, " lower" } };
  g_autoptr (SlProfile) profile = sample_usual ();
  GArray *plan = sl_profile_last_visit (profile)->plan;

  for (int done = 0; done < 2; done++)
    {
      g_autoptr (SlAnalysis) analysis = NULL;
      g_autofree char *action = NULL;

      for (guint i = 0; done && i < plan->len; i++)
        g_array_index (plan, SlOperation, i).done = g_strdup ("2026-03-02T11:30:00Z"); /* the readings are of 10:00 */
      analysis = sample_analyse (profile);
      action = sl_length_format (analysis->planned_figures.action[5][12].value, SL_LENGTHS_MM, 2, ".", TRUE);
      for (guint i = 0; i < G_N_ELEMENTS (views); i++)
        {
          SlPictureOptions o;
          SlPictureMap map;

          sl_picture_options_init (&o);
          sl_picture_map_init (&map);
          o.kind = views[i].kind;
          o.string = views[i].string;
          o.width = 1600;
          o.height = 900;
          shown_draw (analysis, &o, &map);
          if (shown_says (&map, views[i].order) == done)
            g_error ("“%s” is %s", views[i].order, done ? "ordered again" : "missing");
          if (o.kind == SL_PICTURE_SIDE && o.string == 6)
            {
              g_assert_true (shown_says (&map, action));
              g_assert_true (shown_says (&map, "done, not read again") == done);
            }
          sl_picture_map_clear (&map);
        }
    }
}

/* Behind a gate nothing of the base cut may come off yet; past it there is a first pass. */
static void
test_first_pass (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();

  for (int passed = 0; passed < 2; passed++)
    {
      g_autoptr (SlAnalysis) analysis = NULL;
      SlPictureOptions o;
      SlPictureMap map;

      sl_profile_last_visit (profile)->passed = passed ? ~0u : 0;
      analysis = sample_analyse (profile);
      sl_picture_options_init (&o);
      sl_picture_map_init (&map);
      o.kind = SL_PICTURE_SIDE;
      o.string = 6;
      o.width = 1600;
      o.height = 900;
      shown_draw (analysis, &o, &map);
      g_assert_true (shown_says (&map, "first pass ") == passed);
      g_assert_true (shown_says (&map, "none of it yet") == !passed);
      sl_picture_map_clear (&map);
    }
}

/* A gap that there is none of has the mark and the ink of what is wrong, and is said in words. */
static void
test_touches (void)
{
  g_autoptr (SlProfile) profile = sample_usual ();
  GArray *plan = sl_profile_last_visit (profile)->plan;

  for (int deep = 0; deep < 2; deep++)
    {
      g_autoptr (SlAnalysis) analysis = NULL;
      SlPictureOptions o;
      SlPictureMap map;

      for (guint i = 0; deep && i < plan->len; i++)
        if (g_array_index (plan, SlOperation, i).kind == SL_OP_LOWER_SLOT)
          g_array_index (plan, SlOperation, i).amount = sl_number (1.2);
      analysis = sample_analyse (profile);
      g_assert_true ((analysis->planned_figures.first_gap[5].value < 0) == deep);
      sl_picture_options_init (&o);
      sl_picture_map_init (&map);
      o.kind = SL_PICTURE_SIDE;
      o.string = 6;
      o.width = 1600;
      o.height = 900;
      shown_draw (analysis, &o, &map);
      g_assert_true (shown_says (&map, "height at fret 1 ○ −") == deep);
      g_assert_true (shown_says (&map, "touches the fret") == deep);
      g_assert_false (shown_says (&map, "action at 12 ○"));
      sl_picture_map_clear (&map);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/labels/random", test_random);
  g_test_add_func ("/draw/labels/strings-free", test_strings_free);
  g_test_add_func ("/draw/labels/lines", test_lines);
  g_test_add_func ("/draw/labels/complete", test_complete);
  g_test_add_func ("/draw/labels/units", test_units);
  g_test_add_func ("/draw/labels/plain", test_plain);
  g_test_add_func ("/draw/labels/done", test_done);
  g_test_add_func ("/draw/labels/first-pass", test_first_pass);
  g_test_add_func ("/draw/labels/touches", test_touches);
  return g_test_run ();
}

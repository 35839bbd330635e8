/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support.h"

#include "setup/profile/construction.h"

#include <glib/gstdio.h>
#include <string.h>

char *
test_example (gsize *length)
{
  const char *root = g_getenv ("SL_SOURCE_ROOT");
  g_assert_nonnull (root);
  g_autofree char *path = g_build_filename (root, "tests", "example.sidelong", NULL);
  char *text = NULL;
  g_autoptr (GError) error = NULL;
  g_file_get_contents (path, &text, length, &error);
  g_assert_no_error (error);
  return text;
}

char *
test_replace (const char *text, const char *from, const char *to)
{
  g_autoptr (GString) out = g_string_new (text);
  g_assert_cmpuint (g_string_replace (out, from, to, 0), >, 0);
  return g_string_free (g_steal_pointer (&out), FALSE);
}

char *
test_print (const SlProfile *profile)
{
  g_autoptr (GBytes) bytes = sl_document_print (profile);
  gsize length;
  const char *data = g_bytes_get_data (bytes, &length);
  return g_strndup (data, length);
}

static void
report (GPtrArray *faults)
{
  for (guint i = 0; i < faults->len; i++)
    {
      const SlDocumentFault *fault = faults->pdata[i];
      g_test_message ("%d: %s", fault->line, fault->message);
    }
}

SlProfile *
test_parse (const char *text)
{
  g_autoptr (GPtrArray) faults = sl_document_faults_new ();
  SlProfile *profile = sl_document_parse (text, strlen (text), faults);
  report (faults);
  g_assert_cmpuint (faults->len, ==, 0);
  g_assert_nonnull (profile);
  return profile;
}

GPtrArray *
test_faults (const char *text, gssize length)
{
  GPtrArray *faults = sl_document_faults_new ();
  SlProfile *profile = sl_document_parse (text, length < 0 ? strlen (text) : (gsize) length, faults);
  g_assert_null (profile);
  g_assert_cmpuint (faults->len, >, 0);
  report (faults);
  int line = 0;
  for (guint i = 0; i < faults->len; i++)
    {
      const SlDocumentFault *fault = faults->pdata[i];
      g_assert_true (g_utf8_validate (fault->message, -1, NULL));
      g_assert_null (strchr (fault->message, '\n'));
      g_assert_cmpint (fault->line, >=, line);
      line = fault->line;
    }
  return faults;
}

static gboolean
chance (GRand *rand, double share)
{
  return g_rand_double (rand) < share;
}

static int
pick (GRand *rand, int from, int to)
{
  return g_rand_int_range (rand, from, to + 1);
}

/* A text, or none: plain words, nothing, white space that must survive, everything XML escapes, other scripts. */
static char *
random_text (GRand *rand, double share)
{
  static const char *const texts[] = {
    "",
    " ",
    "Harbour Row",
    "  two  spaces  ",
    "a & b < c > d \"e\" 'f'",
    "line one\nline two\n",
    "tab\tand\rreturn\r\n",
    "]]>",
    "<!-- no comment -->",
    "Ærø – “Sturm” ½ ♯ 漢字 \xf0\x9f\x8e\xb8",
    "x=\"1\" y='2'",
    "&#10;&amp;",
    "\n",
    "\xef\xbf\xbd",
  };
  return chance (rand, share) ? g_strdup (texts[pick (rand, 0, G_N_ELEMENTS (texts) - 1)]) : NULL;
}

static SlNumber
number_between (GRand *rand, double least, double most, double share)
{
  if (!chance (rand, share))
    return SL_NUMBER_ABSENT;
  double v = g_rand_double_range (rand, least, most);
  int places = pick (rand, -1, 6);
  if (places < 0)
    return sl_number (v);
  /* As somebody types it: a few decimals, zeros at the end kept. */
  char text[G_ASCII_DTOSTR_BUF_SIZE], pattern[8];
  SlNumber n;
  g_snprintf (pattern, sizeof pattern, "%%.%df", places);
  g_ascii_formatd (text, sizeof text, pattern, v);
  g_assert_true (sl_number_parse (text, &n));
  return n.v < least || n.v > most ? sl_number (v) : n;
}

static void
fill_body (GRand *rand, SlProfile *p)
{
  double share = g_rand_double (rand);
  p->identity = (SlIdentity){ g_strdup ("Label"),        random_text (rand, share), random_text (rand, share),
                              random_text (rand, share), random_text (rand, share), random_text (rand, share),
                              random_text (rand, share), random_text (rand, share) };
  p->neck.scale_length = number_between (rand, 300, 900, 1);
  p->neck.frets = pick (rand, SL_MIN_FRETS, SL_MAX_FRETS);
  p->neck.joint_fret = pick (rand, 7, p->neck.frets);
  p->hand = pick (rand, SL_HAND_DEFAULT, SL_HAND_LEFT);
  p->neck.scale_length_bass = number_between (rand, 300, 900, share);
  p->neck.square_fret = chance (rand, share) ? pick (rand, 1, p->neck.frets) : 0;
  p->neck.rod = pick (rand, SL_ROD_DEFAULT, SL_ROD_NONE);
  p->neck.heel_adjust = pick (rand, SL_HEEL_DEFAULT, SL_HEEL_TILT_SCREW);
  p->neck.nut_width = number_between (rand, 30, 60, share);
  p->neck.board_radius_nut = number_between (rand, 100, 500, share);
  p->fretwire = (SlFretwire){ chance (rand, share), number_between (rand, 1, 3, share),
                              number_between (rand, 1, 1.5, share), number_between (rand, 0, 1, share) };
  p->headstock.given = chance (rand, share);
  p->headstock.tilt = number_between (rand, 0, 20, share);
  p->nut = (SlNut){ chance (rand, share),
                    pick (rand, SL_NUT_DEFAULT, SL_NUT_ZERO_FRET),
                    number_between (rand, 1, 4, share),
                    number_between (rand, 1, 4, share),
                    number_between (rand, 0, 1, share),
                    number_between (rand, 0, 1, share) };
  p->bridge.given = chance (rand, share);
  p->bridge.kind = pick (rand, SL_BRIDGE_DEFAULT, SL_BRIDGE_CONE);
  if (p->bridge.kind == SL_BRIDGE_TREMOLO)
    {
      p->bridge.spring_count = pick (rand, 0, 5);
      p->bridge.balance = pick (rand, SL_BALANCE_DEFAULT, SL_BALANCE_BLOCKED);
    }
  p->bridge.thickness = number_between (rand, 5, 12, share);
  p->bridge.least_thickness = number_between (rand, 2, 5, share);
  p->bridge.spread = number_between (rand, 20, 90, share);
  p->saddle.given = chance (rand, share);
  p->saddle.adjust =
      pick (rand, SL_ADJUST_DEFAULT, sl_bridge_kind (p) == SL_BRIDGE_FLOATING ? SL_ADJUST_FIXED : SL_ADJUST_POSTS);
  p->saddle.lean = number_between (rand, -10, 20, share);
  p->saddle.height_screw_pitch = number_between (rand, 0.2, 1, share);
  p->player.given = chance (rand, share);
  p->player.pluck_force = number_between (rand, 0.5, 3, share);
  p->player.pluck_direction = pick (rand, SL_PLUCK_DEFAULT, SL_PLUCK_EITHER);
  p->player.stiff_ends = pick (rand, SL_STIFF_ENDS_DEFAULT, SL_STIFF_ENDS_BOTH);
  p->targets.given = chance (rand, share);
  p->targets.relief = number_between (rand, 0, 0.5, share);
  p->targets.first_gap_tolerance = number_between (rand, 0.01, 0.2, share);
  p->targets.pitch_tolerance = number_between (rand, 0.5, 5, share);
  p->targets.fall_away = number_between (rand, 0, 0.3, share);
  p->targets.fall_away_tolerance = number_between (rand, 0.02, 0.3, share);
  p->player.force_basis = pick (rand, SL_FORCE_DEFAULT, SL_FORCE_HEARD);
}

static void
fill_strings (GRand *rand, SlProfile *p)
{
  static const char *const notes[] = { "E4", "F#3", "Bb2", "C0", "B8" };
  p->n_strings = pick (rand, 1, SL_MAX_STRINGS);
  p->courses = pick (rand, 0, p->n_strings);
  p->set_name = random_text (rand, 0.3);
  p->fitted = chance (rand, 0.3) ? g_strdup ("2026-01-17") : NULL;
  p->chosen_by = random_text (rand, 0.3);
  for (int i = 0; i < p->n_strings; i++)
    {
      SlString *s = &p->strings[i];
      s->note = chance (rand, 0.7) ? g_strdup (notes[pick (rand, 0, G_N_ELEMENTS (notes) - 1)]) : NULL;
      s->frequency = number_between (rand, 20, 2000, s->note == NULL ? 1 : 0.2);
      s->build = pick (rand, SL_BUILD_PLAIN, SL_BUILD_WOUND);
      s->core = pick (rand, 0, SL_N_CORES - 1);
      s->core_diameter = number_between (rand, 0.2, 1.5, 1);
      s->wrap = s->build == SL_BUILD_WOUND ? pick (rand, SL_WRAP_NONE + 1, SL_N_WRAPS - 1) : SL_WRAP_NONE;
      s->wrap_diameter = number_between (rand, 0.1, 1, s->build == SL_BUILD_WOUND);
      s->unit_mass = number_between (rand, 0.1, 20, 0.2);
      s->axial_stiffness = number_between (rand, 100, 90000, 0.2);
      s->bending_stiffness = number_between (rand, 1, 900, 0.2);
      if (chance (rand, 0.5))
        p->headstock.posts[p->headstock.n_posts++] =
            (SlPost){ i + 1, number_between (rand, 20, 200, 0.9), number_between (rand, -30, 30, 0.5),
                      number_between (rand, 0, 9, 0.5) };
      if (chance (rand, 0.5))
        p->bridge.anchors[p->bridge.n_anchors++] =
            (SlAnchor){ i + 1, number_between (rand, 2, 50, 0.9), number_between (rand, -5, 20, 0.5) };
    }
}

static SlReading
random_reading (GRand *rand, const SlProfile *p)
{
  SlReading r = sl_reading_init (pick (rand, 0, SL_N_READINGS - 1));
  gboolean stringless = r.kind == SL_READ_TONGUE || r.kind == SL_READ_CROWN_GAP || r.kind == SL_READ_CROWN_HEIGHT;
  r.string = stringless ? 0 : pick (rand, 1, p->n_strings);
  r.use = pick (rand, SL_USE_DEFAULT, SL_USE_NEVER);
  r.value = r.kind == SL_READ_CROWN_WEAR ? number_between (rand, 0, 0.1, 1) : number_between (rand, 0.1, 1, 1);
  if (r.kind == SL_READ_RELIEF)
    r.fret = pick (rand, 2, p->neck.joint_fret - 1);
  else if (r.kind == SL_READ_ACTION || r.kind == SL_READ_CROWN_GAP || r.kind == SL_READ_CROWN_HEIGHT ||
           r.kind == SL_READ_CROWN_WEAR || r.kind == SL_READ_PITCH)
    r.fret = pick (rand, 2, p->neck.frets);
  if (r.kind == SL_READ_FIRST_GAP && chance (rand, 0.5))
    r.held = chance (rand, 0.5) ? SL_HELD_3 : SL_HELD_OPEN;
  if (r.kind == SL_READ_ACTION && chance (rand, 0.5))
    r.held = chance (rand, 0.5) ? SL_HELD_1 : SL_HELD_OPEN;
  if (r.kind == SL_READ_PITCH)
    r.uncertainty = number_between (rand, 0.01, 2, 0.5);
  return r;
}

static SlOperation
random_operation (GRand *rand, const SlProfile *p)
{
  int kind = pick (rand, 0, SL_N_OPS - 1);
  while (!(sl_work_there_is (p) >> kind & 1))
    kind = pick (rand, 0, SL_N_OPS - 1);
  SlOperation o = sl_operation_init ((SlOperationKind) kind);
  gboolean ends = o.kind == SL_OP_MOVE_SADDLE || o.kind == SL_OP_SHIFT_BRIDGE || o.kind == SL_OP_MAKE_SADDLE;
  gboolean optional = ends || o.kind == SL_OP_LEVEL_FRETS || o.kind == SL_OP_CUT_SADDLE_BASE;
  if (o.kind == SL_OP_LOWER_SLOT || o.kind == SL_OP_SHAPE_CREST || o.kind == SL_OP_MOVE_CREST)
    o.string = pick (rand, 1, p->n_strings);
  o.amount = number_between (rand, 0, 2, optional ? 0.6 : 1);
  if (o.kind == SL_OP_LEVEL_FRETS && chance (rand, 0.5))
    o.frets = (guint64) pick (rand, 1, (1 << SL_MIN_FRETS) - 1) << 1;
  if (o.kind == SL_OP_TURN_ROD)
    o.turns = number_between (rand, -2, 2, 0.5);
  if (o.kind == SL_OP_REPLACE_FRETS)
    {
      o.from = pick (rand, 1, p->neck.frets);
      o.to = pick (rand, o.from, p->neck.frets);
      o.amount = number_between (rand, 1, 3, 0.5);
      o.amount_treble = number_between (rand, 0.5, 1.5, 0.5);
    }
  if (o.kind == SL_OP_BENCH_STEP)
    {
      o.step = pick (rand, 0, sl_bridge_kind (p) == SL_BRIDGE_TREMOLO ? SL_BENCH_REBALANCE : SL_BENCH_CLEAN);
      o.amount = SL_NUMBER_ABSENT;
    }
  for (int s = 1; s <= p->n_strings && (o.kind == SL_OP_MAKE_NUT || o.kind == SL_OP_MAKE_SADDLE); s++)
    if ((s == 1 && o.kind == SL_OP_MAKE_NUT) || chance (rand, 0.5))
      o.ends[o.n_ends++] = (SlStringEnd){ s, number_between (rand, 0.1, 1, 1) };
  if (o.kind == SL_OP_FIT_STRINGS)
    {
      GString *gauges = g_string_new ("nickel");
      for (int s = 1; s <= p->n_strings; s++)
        g_string_append_printf (gauges, " %d", 8 + s);
      o.set = g_string_free (gauges, FALSE);
      o.set_name = random_text (rand, 0.5);
      o.chosen_by = random_text (rand, 0.5);
    }
  if (o.kind == SL_OP_MAKE_NUT || o.kind == SL_OP_FIT_STRINGS)
    o.amount = SL_NUMBER_ABSENT;
  if (o.kind == SL_OP_CUT_SADDLE_BASE || ends)
    o.amount_treble = number_between (rand, 0, 2, 0.6);
  o.done = chance (rand, 0.3) ? g_strdup ("2026-03-04T09:30:00+01:00") : NULL;
  return o;
}

static void
fill_set (GRand *rand, const SlProfile *p, SlReadingSet *set)
{
  set->taken = g_strdup ("2026-03-02T10:00:00Z");
  set->stage = pick (rand, SL_STAGE_RECEIVED, SL_STAGE_FINAL);
  set->temperature = number_between (rand, 5, 35, 0.5);
  set->humidity = number_between (rand, 20, 90, 0.5);
  set->settled = pick (rand, SL_SETTLED_DEFAULT, SL_SETTLED_NO);
  set->strings = pick (rand, SL_STRINGS_DEFAULT, SL_STRINGS_AT_PITCH);
  for (int kind = 0; kind < SL_N_TOOLS; kind++)
    if (chance (rand, 0.4))
      {
        SlTool tool = { kind, number_between (rand, 0.01, 0.2, 0.7), number_between (rand, 0.01, 0.2, 0.7) };
        g_array_append_val (set->tools, tool);
      }
  for (int i = pick (rand, 0, 30); i > 0; i--)
    {
      SlReading reading = random_reading (rand, p);
      g_array_append_val (set->readings, reading);
    }
}

static void
fill_visit (GRand *rand, const SlProfile *p, SlVisit *visit, int *sets)
{
  visit->opened = g_strdup ("2026-03-02");
  visit->closed = chance (rand, 0.5) ? g_strdup ("2026-03-09") : NULL;
  visit->note = random_text (rand, 0.5);
  for (int i = pick (rand, 0, 2); i > 0; i--)
    {
      SlReadingSet set = sl_reading_set_init ();
      set.id = g_strdup_printf ("r%d", ++*sets);
      fill_set (rand, p, &set);
      g_array_append_val (visit->sets, set);
    }
  visit->plan_given = chance (rand, 0.5);
  visit->passed = chance (rand, 0.5) ? (guint) pick (rand, 1, 31) << SL_GATE_READING : 0;
  for (int i = pick (rand, -2, 6); i > 0; i--)
    {
      SlOperation operation = random_operation (rand, p);
      g_array_append_val (visit->plan, operation);
    }
  for (int i = pick (rand, 0, 2); i > 0; i--)
    {
      SlCheck check = { random_text (rand, 0.7), pick (rand, SL_CHECK_DEFAULT, SL_CHECK_NOT_APPLICABLE),
                        random_text (rand, 0.5) };
      SlCharge charge = { random_text (rand, 0.7), number_between (rand, 0, 300, 0.5),
                          number_between (rand, -50, 900, 0.5), random_text (rand, 0.5) };
      g_array_append_val (visit->checks, check);
      g_array_append_val (visit->charges, charge);
    }
}

SlProfile *
test_random_profile (GRand *rand)
{
  SlProfile *p = sl_profile_new ();
  int sets = 0;
  p->id = g_strdup_printf ("%08x-0000-4000-8000-000000000000", g_rand_int (rand));
  p->kind = pick (rand, SL_KIND_INSTRUMENT, SL_KIND_BASELINE);
  p->baseline = chance (rand, 0.3) ? g_strdup ("11111111-2222-4333-8444-555555555555") : NULL;
  fill_body (rand, p);
  fill_strings (rand, p);
  for (int i = pick (rand, 0, 3); i > 0; i--)
    {
      SlVisit visit = sl_visit_init ();
      visit.id = g_strdup_printf ("v%d", i);
      fill_visit (rand, p, &visit, &sets);
      g_array_append_val (p->visits, visit);
    }
  return p;
}

char *
test_folder (void)
{
  g_autoptr (GError) error = NULL;
  char *folder = g_dir_make_tmp ("sidelong-test-XXXXXX", &error);
  g_assert_no_error (error);
  return folder;
}

void
test_folder_free (char *folder)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  for (const char *name; dir != NULL && (name = g_dir_read_name (dir)) != NULL;)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);
      if (g_file_test (path, G_FILE_TEST_IS_DIR) && !g_file_test (path, G_FILE_TEST_IS_SYMLINK))
        test_folder_free (g_steal_pointer (&path));
      else
        g_remove (path);
    }
  g_rmdir (folder);
  g_free (folder);
}

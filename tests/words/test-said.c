/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Figures, names and sentences that the sheets and the cards share: each kind once in each of its forms. Amounts are
 * worked by hand beside the checks. */
#include <math.h>
#include <string.h>

#include "../setup/support.h"
#include "setup/profile/sets.h"
#include "words/caution.h"
#include "words/effect.h"
#include "words/kinds.h"
#include "words/proposal.h"
#include "words/said.h"
#include "words/sheet-text.h"

static const SlTextStyle mm = { SL_LENGTHS_MM, "." }, inch = { SL_LENGTHS_INCH, "." },
                         parts = { SL_LENGTHS_64THS, "," };

/* Takes @text. */
static void
assert_says (char *text, const char *expected)
{
  g_assert_cmpstr (text, ==, expected);
  g_free (text);
}

/* 2.3 mm are 0.0906 in and 5.8 of 64, a little less than 3/32; 0.06 mm are 0.0024 in and too little for 64ths. */
static void
test_figures (void)
{
  SlProfile *profile = test_plain_profile ();
  const SlFigure assumed = { 2, 0.1, SL_BASIS_ASSUMED }, read = { 2, 0.1, SL_BASIS_MEASURED };

  assert_says (sl_text_length_unit (&mm, 2.3), "2.30 mm");
  assert_says (sl_text_length_unit (&inch, 2.3), "0.091 in");
  assert_says (sl_text_length_unit (&parts, 2.3), "3/32− in");
  assert_says (sl_text_length_unit (&parts, 0.06), "0,002 in");
  assert_says (sl_text_radius (&mm, 400), "400 mm");
  assert_says (sl_text_radius (&mm, -400), "400 mm, hollow");
  assert_says (sl_text_radius (&mm, 5000), "flat");
  assert_says (sl_text_radius (&mm, INFINITY), "flat");
  assert_says (sl_text_change (&mm, 0.05), "+0.05");
  assert_says (sl_text_change (&mm, -0.05), "−0.05");
  assert_says (sl_text_change (&mm, 0.004), "0.00");
  g_assert_null (sl_text_uncertainty (&mm, NAN));
  assert_says (sl_text_uncertainty (&mm, 0.08), "±0.16");
  assert_says (sl_text_uncertainty (&mm, 0.002), "±0.004"); /* two decimals would say nothing */
  assert_says (sl_text_spread (&mm, 0.08), " ± 0.16");
  assert_says (sl_text_spread (&mm, 0.002), "");
  assert_says (sl_text_spread (&mm, NAN), "");
  assert_says (sl_text_plain_spread (&parts, 1.25, 1), " ± 2,5");
  assert_says (sl_text_plain (&mm, 1.26, 1, TRUE), "+1.3");
  assert_says (sl_text_plain (&mm, 1.26, 1, FALSE), "1.3");
  assert_says (sl_text_hand (1.62, ","), "by a hand of 1,6 N");
  assert_says (sl_marked (&assumed, g_strdup ("2.00")), "≈ 2.00");
  assert_says (sl_marked (&read, g_strdup ("2.00")), "2.00");
  g_assert_cmpstr (sl_text_unit (&mm), ==, "mm");
  g_assert_cmpstr (sl_text_unit (&parts), ==, "in");
  g_free (profile->strings[5].note);
  profile->strings[5].note = g_strdup ("F#2");
  assert_says (sl_text_string (profile, 6), "6 F#");
  assert_says (sl_text_string (profile, 7), "7");
  sl_profile_free (profile);
}

/* A twelve-string: octave strings from the third course on. */
static void
test_courses (void)
{
  g_autoptr (SlProfile) profile = test_plain_profile ();
  SlQuestion q = { .ask = SL_READ_EXPOSURE, .string = 6 };
  g_autofree char *before = sl_reading_hint (&q, profile), *after = NULL;

  profile->n_strings = 12;
  sl_profile_fit_strings (profile, sl_string_set_find ("twelve-string"), FALSE);
  g_assert_null (sl_text_course (profile, 6));
  assert_says (sl_text_string (profile, 6), "6 G");
  profile->courses = 6;
  assert_says (sl_text_string (profile, 6), "6 G");
  assert_says (sl_text_string_course (profile, 6), "6 G, course 3, octave");
  assert_says (sl_text_string_course (profile, 5), "5 G, course 3");
  assert_says (sl_text_course (profile, 6), "course 3, octave");
  assert_says (sl_text_course (profile, 1), "course 1"); /* two of one note */
  assert_says (sl_text_course (profile, 2), "course 1");
  after = sl_reading_hint (&q, profile);
  g_assert_true (g_str_has_prefix (after, before));
  g_assert_true (g_str_has_suffix (after, " String 6: course 3, octave."));
  profile->courses = 5; /* two and two and two and three and three */
  assert_says (sl_text_course (profile, 7), "course 4");
  assert_says (sl_text_course (profile, 11), "course 5");
}

static SlQuestion
question (int ask, int string, int fret, SlHeld held, int nth)
{
  return (SlQuestion){ ask, string, fret, held, nth };
}

/* What each is called as a row, in full and as an undo step. */
static void
test_questions (void)
{
  static const struct
  {
    SlQuestion question;
    const char *row, *full, *step;
  } rows[] = {
    { { SL_READ_RELIEF, 6, 7, SL_HELD_DEFAULT, 0 },
      "Relief, bass, fret 7",
      "Relief at fret 7, string 6",
      "reading: relief, string 6" },
    { { SL_READ_RELIEF, 1, 7, SL_HELD_DEFAULT, 1 },
      "Relief, treble, fret 7, reading 2",
      "Relief at fret 7, string 1, reading 2",
      "reading: relief, string 1" },
    { { SL_READ_RELIEF, 3, 8, SL_HELD_DEFAULT, 0 },
      "Relief, string 3, fret 8",
      "Relief at fret 8, string 3",
      "reading: relief, string 3" },
    { { SL_READ_TONGUE, 0, 0, SL_HELD_DEFAULT, 0 },
      "Extension falls away",
      "Fall-away of the fingerboard extension at the last fret",
      "reading: fingerboard extension" },
    { { SL_READ_FIRST_GAP, 6, 0, SL_HELD_3, 0 },
      "Fret 1, string 6, held at 3",
      "String height at fret 1 held at fret 3, string 6",
      "reading: height at fret 1, string 6" },
    { { SL_READ_ACTION, 2, 12, SL_HELD_OPEN, 0 },
      "String 2",
      "Action at fret 12, string 2",
      "reading: action, string 2" },
    { { SL_READ_ACTION, 2, 5, SL_HELD_1, 0 },
      "String 2, fret 5, held at 1",
      "Action at fret 5 held at fret 1, string 2",
      "reading: action, string 2" },
    { { SL_READ_CROWN_WEAR, 2, 3, SL_HELD_DEFAULT, 0 },
      "Wear, string 2, fret 3",
      "Wear of fret 3 under string 2",
      "reading: crown wear, string 2" },
    { { SL_READ_CROWN_GAP, 0, 9, SL_HELD_DEFAULT, 0 },
      "Crown gap, fret 9",
      "Crown gap, fret 9",
      "reading: crown gap, fret 9" },
    { { SL_READ_PITCH, 4, 0, SL_HELD_DEFAULT, 0 },
      "String 4, open",
      "Pitch of the open string 4",
      "reading: pitch, string 4" },
    { { SL_READ_PITCH, 4, 12, SL_HELD_DEFAULT, 0 },
      "String 4",
      "Pitch at fret 12, string 4",
      "reading: pitch, string 4" },
    { { SL_ASK_HUMIDITY, 0, 0, SL_HELD_DEFAULT, 0 }, "Relative humidity", "Relative humidity", "reading: humidity" },
  };
  const SlQuestion only = question (SL_READ_RELIEF, 1, 7, SL_HELD_DEFAULT, 0);

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      assert_says (sl_question_row_name (&rows[i].question, 6), rows[i].row);
      assert_says (sl_question_full_name (&rows[i].question), rows[i].full);
      assert_says (sl_question_step_name (&rows[i].question), rows[i].step);
    }
  assert_says (sl_question_row_name (&only, 1), "Relief, fret 7");
}

static void
test_hints (void)
{
  SlProfile *profile = test_plain_profile (); /* joined at fret 14 */
  const SlQuestion relief = question (SL_READ_RELIEF, 6, 7, SL_HELD_DEFAULT, 0),
                   action = question (SL_READ_ACTION, 1, 12, SL_HELD_1, 0),
                   height = question (SL_READ_CROWN_HEIGHT, 0, 3, SL_HELD_DEFAULT, 0);

  assert_says (sl_reading_hint (&relief, profile),
               "Strings in tune. Straightedge on frets 1 and 14 beneath string 6; the gap over fret 7.");
  assert_says (sl_reading_hint (&action, profile), "Capo at fret 1; the string's underside over fret 12.");
  assert_says (sl_reading_hint (&height, profile), "");
  g_assert_cmpstr (sl_question_group_title (SL_GROUP_AIR, profile), ==, "Air");
  g_assert_cmpstr (sl_question_group_title (SL_GROUP_NUT, profile), ==, "Nut");
  profile->nut.kind = SL_NUT_ZERO_FRET;
  g_assert_cmpstr (sl_question_group_title (SL_GROUP_NUT, profile), ==, "Zero fret");
  g_assert_cmpstr (sl_reading_title (SL_READ_SETBACK), ==, "Compensation");
  g_assert_cmpstr (sl_run_ask_title (SL_READ_CROWN_GAP), ==, "Crowns");
  g_assert_cmpstr (sl_operation_title (SL_OP_SHAPE_CREST), ==, "Saddle top");
  g_assert_cmpstr (sl_operation_undo_name (SL_OP_LOWER_SLOT), ==, "lower slot");
  sl_profile_free (profile);
}

static void
test_read_again (void)
{
  g_autoptr (GArray) readings = g_array_new (FALSE, FALSE, sizeof (SlReading));
  static const struct
  {
    SlReadingKind kind;
    int string;
  } asked[] = {
    { SL_READ_RELIEF, 6 }, { SL_READ_ACTION, 6 }, { SL_READ_RELIEF, 1 }, { SL_READ_TONGUE, 0 }, { SL_READ_EXPOSURE, 2 }
  };

  for (gsize i = 0; i < G_N_ELEMENTS (asked); i++)
    {
      SlReading reading = sl_reading_init (asked[i].kind);

      reading.string = asked[i].string;
      g_array_append_val (readings, reading);
    }
  assert_says (sl_questions_text (readings, FALSE),
               "relief (strings 6, 1), action at 12 (string 6), fingerboard extension, exposure (string 2)");
  g_array_set_size (readings, 1);
  assert_says (sl_questions_text (readings, TRUE), "temperature and humidity, relief (string 6)");
}

static void
test_fret (void)
{
  const SlFretWork lost = { .off = 0.3, .land = 1.2, .left = 0.5, .lowest = TRUE },
                   high = { .off = 0.05, .land = 0.4, .left = 0.9, .saved = TRUE, .rocks = TRUE, .rocking = 0.06 },
                   new = { .off = 0, .land = 0, .left = 1.1, .saved = TRUE, .rocks = TRUE, .replaced = TRUE },
                   plain = { .saved = TRUE, .left = 1 }, low = { .saved = TRUE, .left = 1, .lowest = TRUE };

  g_assert_cmpstr (sl_fret_word (&new), ==, "new");
  g_assert_cmpstr (sl_fret_word (&lost), ==, "lost");
  g_assert_cmpstr (sl_fret_word (&high), ==, "high");
  g_assert_cmpstr (sl_fret_word (&low), ==, "low");
  g_assert_cmpstr (sl_fret_word (&plain), ==, "");
  assert_says (sl_fret_sentence (&mm, &lost, 7), "Fret 7: 0.30 off, land 1.20, 0.50 left, past saving, the lowest");
  assert_says (sl_fret_sentence (&mm, &high, 9),
               "Fret 9: 0.05 off, land 0.40, 0.90 left, high by 0.06 against its neighbours");
  assert_says (sl_fret_sentence (&mm, &new, 2), "Fret 2: 0.00 off, land 0.00, 1.10 left, a new fret");
}

/* What stands over the picture of the frets, for each way of levelling. */
static void
test_levelling (void)
{
  const SlInstrument in = { .crown_least = 0.6, .frets = 20 };
  SlLevelling work = { .n = 20, .least_left = 1.1, .lowest = 7, .most_off = 0 };

  assert_says (sl_levelling_summary (&mm, &in, &work), "Crown gaps not read: assumed level");
  work.read = TRUE;
  assert_says (sl_levelling_summary (&mm, &in, &work), "Crowns level · 0.50 left to be dressed away");
  work.most_off = 0.12;
  work.deepest = 0.08;
  work.frets[3].rocks = work.frets[9].rocks = TRUE;
  assert_says (sl_levelling_summary (&mm, &in, &work),
               "Down to fret 7, at most 0.12 off · 0.50 left to be dressed away · marks of 0.08 stay · high: 3, 9");
  work.deepest = 0;
  work.frets[3].rocks = work.frets[9].rocks = FALSE;
  work.frets[1].replaced = TRUE;
  work.n_replaced = 1;
  assert_says (sl_levelling_summary (&mm, &in, &work),
               "New at 1, the others down to fret 7, at most 0.12 off · 0.50 left to be dressed away");
  work.n_lost = 2;
  work.n_replaced = 20;
  assert_says (sl_levelling_summary (&mm, &in, &work),
               "Only new frets throughout would save it · 2 frets past saving: less than 0.60 left");
}

/* A crown that comes down by 0.10 at fret 1 opens both gaps there by as much, and leaves those at 12 as they are but
 * for the chord, which it carries: at fret 12 of a scale with the joint at 14 it is (x14 − x12) / (x14 − x1) of it. */
static void
test_levelling_effect (void)
{
  SlProfile *profile = test_plain_profile ();
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  SlLevelling work = { .n = 20, .read = TRUE, .most_off = 0.001 };
  const SlShop shop = SL_SHOP_DEFAULT;

  sl_analyse_last (profile, &shop, analysis);
  assert_says (sl_levelling_effect (&mm, analysis, profile, &work), "");
  work.read = FALSE;
  work.most_off = 0.1;
  assert_says (sl_levelling_effect (&mm, analysis, profile, &work), "");
  work.read = TRUE;
  for (int n = 1; n <= work.n; n++)
    work.frets[n].after = -0.1;
  /* all crowns by the same: every gap grows by it (model 1: gaps are over the crowns) */
  SlStringState s;
  sl_state_string (&analysis->instrument, &analysis->measured, 6, &s);
  const double first = sl_gap (&s, 0, 1), action = sl_gap (&s, 0, 12);
  sl_state_string (&analysis->instrument, &analysis->measured, 1, &s);
  g_autofree char *bass = g_strdup_printf ("This alone, string 6 E: height at fret 1 %.2f → %.2f, action %.2f → %.2f;",
                                           first, first + 0.1, action, action + 0.1);
  g_autofree char *said = sl_levelling_effect (&mm, analysis, profile, &work);
  g_assert_true (g_str_has_prefix (said, bass));
  g_assert_true (g_str_has_suffix (said, ". Slots and saddle follow."));
  g_assert_nonnull (strstr (said, "; string 1 E: "));
  sl_analysis_clear (analysis);
  sl_profile_free (profile);
}

static void
test_clearance (void)
{
  SlClearance clean = { 1.2, 0.5, 0.7, 0.05, 0.02, 0.05 }, close = { 0.55, 0.5, -0.05, 0.05, 0.02, 0.05 },
              touching = { 0.3, 0.5, -0.2, 0.05, 0.02, 0.05 };

  assert_says (sl_clearance_sentence (&mm, &clean, 6, 0, 12, FALSE),
               "String 6, open, fret 12: gap 1.20 ±0.10, swing 0.50, margin 0.70 ±0.10");
  assert_says (sl_clearance_sentence (&mm, &close, 6, 3, 7, TRUE),
               "String 6, held at 3, fret 7: gap 0.55 ±0.10, swing 0.50, margin −0.05 ±0.10: close (assumed)");
  assert_says (sl_clearance_sentence (&mm, &touching, 6, 3, 7, FALSE),
               "String 6, held at 3, fret 7: gap 0.30 ±0.10, swing 0.50, margin −0.20 ±0.10: touches");
  assert_says (sl_clearance_sentence (&mm, &clean, 6, 7, 7, FALSE),
               "String 6, held at 7, fret 7: the string is held here or beyond");
}

/* Files and saws raise dust; a screw does not. */
static void
test_cautions (void)
{
  const SlInstrument plain = { .height_screw_pitch = NAN, .length_screw_pitch = NAN },
                     screws = { .adjust = SL_ADJUST_SCREWS, .height_screw_pitch = 0.5, .length_screw_pitch = 0.5 };
  const guint dust = 1u << SL_CAUTION_DUST, regulated = 1u << SL_CAUTION_REGULATED;

  g_assert_cmpuint (sl_operation_cautions (&plain, SL_OP_TURN_ROD), ==, 1u << SL_CAUTION_ROD);
  g_assert_cmpuint (sl_operation_cautions (&plain, SL_OP_LEVEL_FRETS) & (dust | regulated), ==, dust);
  g_assert_cmpuint (sl_operation_cautions (&plain, SL_OP_REPLACE_FRETS) & (dust | regulated), ==, dust);
  g_assert_cmpuint (sl_operation_cautions (&plain, SL_OP_LOWER_SLOT) & (dust | regulated), ==, dust | regulated);
  g_assert_cmpuint (sl_operation_cautions (&plain, SL_OP_SHAPE_CREST), !=, 0);
  g_assert_cmpuint (sl_operation_cautions (&screws, SL_OP_SHAPE_CREST), ==, 0);
  g_assert_cmpuint (sl_operation_cautions (&plain, SL_OP_MOVE_CREST), !=, 0);
  g_assert_cmpuint (sl_operation_cautions (&screws, SL_OP_MOVE_CREST), ==, 0);
  g_assert_cmpuint (sl_operation_cautions (&plain, SL_OP_BENCH_STEP), ==, 0);
  g_assert_cmpuint (sl_operation_cautions (&plain, SL_OP_MAKE_NUT) & (dust | regulated), ==, dust | regulated);
  g_assert_cmpuint (sl_operation_cautions (&plain, SL_OP_MAKE_SADDLE) & dust, ==, dust);
  g_assert_cmpuint (sl_operation_cautions (&plain, SL_OP_SET_NECK_ANGLE), ==,
                    1u << SL_CAUTION_EYES | 1u << SL_CAUTION_FINISHES);
  g_assert_cmpuint (sl_operation_cautions (&plain, SL_OP_MOVE_SADDLE), ==, 0);
  g_assert_cmpuint (sl_visit_cautions (&plain, NULL, NULL), ==, 0);
}

static void
test_objections (void)
{
  static const char *const starts[] = {
    [SL_OBJECTION_FRETS_FIRST] = "New frets come first",
    [SL_OBJECTION_ROD_FIRST] = "The rod is adjusted before",
    [SL_OBJECTION_BASE_FIRST] = "The saddle's underside",
    [SL_OBJECTION_CRESTS_LAST] = "Break points are moved last",
    [SL_OBJECTION_DONE] = "This is done already",
    [SL_OBJECTION_BEFORE_DONE] = "What it would go before is done",
  };

  for (gsize i = 0; i < G_N_ELEMENTS (starts); i++)
    if (starts[i] != NULL)
      g_assert_true (g_str_has_prefix (sl_objection_text ((SlObjection) i), starts[i]));
  g_assert_null (sl_objection_text (SL_OBJECTION_NONE));
}

/* What a card says of an amount, and of a saddle on screws: 0.35 mm of a pitch of 0.5 are 0.70 turns. */
static void
test_amounts (void)
{
  const SlInstrument plain = { .height_screw_pitch = NAN, .length_screw_pitch = NAN },
                     screws = { .height_screw_pitch = 0.5, .length_screw_pitch = 0.7 };
  SlOperation shape = sl_operation_init (SL_OP_SHAPE_CREST), move = sl_operation_init (SL_OP_MOVE_CREST),
              rod = sl_operation_init (SL_OP_TURN_ROD), level = sl_operation_init (SL_OP_LEVEL_FRETS),
              angle = sl_operation_init (SL_OP_SET_NECK_ANGLE), nut = sl_operation_init (SL_OP_MAKE_NUT);

  shape.string = move.string = 2;
  shape.amount = sl_number (0.35);
  move.amount = sl_number (0.4);
  rod.amount = sl_number (0.1);
  level.amount = sl_number (0.1);
  assert_says (sl_operation_amount (&plain, &shape, &mm), "string 2 −0.35");
  assert_says (sl_operation_amount (&screws, &shape, &mm), "string 2 down 0.70 turns (−0.35)");
  shape.amount = sl_number (-0.35);
  assert_says (sl_operation_amount (&screws, &shape, &mm), "string 2 up 0.70 turns (+0.35)");
  assert_says (sl_operation_amount (&plain, &move, &mm), "string 2 back 0.40");
  assert_says (sl_operation_amount (&screws, &move, &mm), "string 2 back 0.40, 0.57 turns");
  move.amount = sl_number (-0.4);
  assert_says (sl_operation_amount (&plain, &move, &mm), "string 2 forward 0.40");
  assert_says (sl_operation_amount (&plain, &rod, &mm), "loosen, relief +0.10");
  assert_says (sl_operation_amount (&plain, &level, &mm), "level, fall-away 0.10");
  level.amount = SL_NUMBER_ABSENT;
  assert_says (sl_operation_amount (&plain, &level, &mm), "level to the lowest");
  angle.amount = sl_number (1.5);
  assert_says (sl_operation_amount (&plain, &angle, &mm), "straightedge 1.50 mm higher at the bridge");
  angle.amount = sl_number (-0.5);
  assert_says (sl_operation_amount (&plain, &angle, &mm), "straightedge 0.50 mm lower at the bridge");
  nut.ends[0] = (SlStringEnd){ 1, sl_number (0.42) };
  nut.ends[1] = (SlStringEnd){ 6, sl_number (0.52) };
  nut.n_ends = 2;
  assert_says (sl_operation_amount (&plain, &nut, &mm), "heights 0.52 to 0.42 mm");
}

/* What is set at its two ends: 0.4 mm of a pitch of 0.5 are 0.80 turns. An end that isn't given of a new saddle is none
 * that ends at 0. */
static void
test_ends (void)
{
  const SlInstrument plain = { .height_screw_pitch = NAN }, posts = { .height_screw_pitch = 0.5 };
  static const struct
  {
    SlOperationKind kind;
    gboolean turns;
    double bass, treble;
    const char *says;
  } rows[] = {
    { SL_OP_MOVE_SADDLE, TRUE, 0, 0.4, "treble end up 0.40 mm, 0.80 turns; the bass end stays" },
    { SL_OP_MOVE_SADDLE, FALSE, -0.4, 0, "bass end down 0.40 mm; the treble end stays" },
    { SL_OP_MOVE_SADDLE, TRUE, -0.4, 0.2, "bass end down 0.40 mm, 0.80 turns; treble end up 0.20 mm, 0.40 turns" },
    { SL_OP_MOVE_SADDLE, TRUE, 0, 0, "both ends stay" },
    { SL_OP_SHIFT_BRIDGE, TRUE, 1, 1, "both ends back 1.00 mm" },
    { SL_OP_SHIFT_BRIDGE, TRUE, 1.2, -0.3, "bass end back 1.20 mm; treble end forward 0.30 mm" },
    { SL_OP_MAKE_SADDLE, TRUE, 5.2, 4.1, "bass end 5.20 mm; treble end 4.10 mm" },
    { SL_OP_MAKE_SADDLE, TRUE, NAN, 4.1, "treble end 4.10 mm; the bass end stays" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      SlOperation op = sl_operation_init (rows[i].kind);

      op.amount = isnan (rows[i].bass) ? SL_NUMBER_ABSENT : sl_number (rows[i].bass);
      op.amount_treble = sl_number (rows[i].treble);
      assert_says (sl_operation_amount (rows[i].turns ? &posts : &plain, &op, &mm), rows[i].says);
    }
}

static void
add (GArray *plan, SlOperationKind kind, int string, double amount)
{
  SlOperation operation = sl_operation_init (kind);

  operation.string = string;
  operation.amount = sl_number (amount);
  g_array_append_val (plan, operation);
}

/* The effect of each kind while nothing of it is planned, and as planned. */
static void
test_effects (void)
{
  SlProfile *profile = test_plain_profile ();
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  g_autoptr (GArray) plan = g_array_new (FALSE, FALSE, sizeof (SlOperation));
  const SlShop shop = SL_SHOP_DEFAULT;

  profile->saddle.length_screw_pitch = sl_number (0.5);
  profile->saddle.height_screw_pitch = sl_number (0.5);
  sl_analyse_last (profile, &shop, analysis);
  assert_says (sl_effect_text (analysis, NULL, SL_OP_LEVEL_FRETS, 6, &mm), "crowns not read: assumed level");
  assert_says (sl_effect_text (analysis, NULL, SL_OP_BENCH_STEP, 6, &mm), "");
  g_autofree char *rod = sl_effect_text (analysis, NULL, SL_OP_TURN_ROD, 0, &mm);
  g_assert_true (g_str_has_prefix (rod, "0.10 less relief would take 0."));
  g_autofree char *pitch = sl_effect_text (analysis, NULL, SL_OP_MOVE_CREST, 2, &mm);
  g_assert_true (g_str_has_prefix (pitch, "string 2 at fret 12: ") && g_str_has_suffix (pitch, " cents"));
  add (plan, SL_OP_SHAPE_CREST, 6, 0.25);
  add (plan, SL_OP_MOVE_CREST, 2, 0.4);
  /* half a turn down; 0.8 of a turn back */
  g_autofree char *shape = sl_effect_text (analysis, plan, SL_OP_SHAPE_CREST, 6, &mm);
  g_assert_true (g_str_has_suffix (shape, ", target 2.30; −0.50 turns"));
  g_autofree char *move = sl_effect_text (analysis, plan, SL_OP_MOVE_CREST, 2, &mm);
  g_assert_true (strstr (move, " → ") != NULL && g_str_has_suffix (move, "; +0.80 turns"));
  /* a crest that is lower by h lowers the string over fret 12 by x12 / (S + setback), near one half */
  analysis->plan = plan;
  g_assert_cmpfloat (sl_planned_amount (analysis, SL_OP_SHAPE_CREST, 6), ==, 0.25);
  g_assert_cmpfloat (sl_planned_amount (analysis, SL_OP_SHAPE_CREST, 5), ==, 0);
  g_assert_cmpfloat (sl_planned_first_pass (analysis, 6), ==, 0); /* none of the underside is planned */
  add (plan, SL_OP_CUT_SADDLE_BASE, 0, 0.6);
  g_array_index (plan, SlOperation, 2).amount_treble = sl_number (0.1);
  /* straight from treble to bass: the third string of six is two fifths of the way */
  g_assert_cmpfloat_with_epsilon (sl_planned_amount (analysis, SL_OP_CUT_SADDLE_BASE, 3), 0.1 + 0.5 * 2 / 5, 1e-12);
  /* nothing was read, so nothing may come off */
  g_assert_cmpfloat (sl_planned_first_pass (analysis, 6), ==, 0);
  g_autofree char *cut = sl_effect_text (analysis, plan, SL_OP_CUT_SADDLE_BASE, 3, &mm);
  g_assert_true (g_str_has_prefix (cut, "action ") && strstr (cut, " at string 3, ") != NULL);
  g_assert_null (strstr (cut, "exposure")); /* not read */
  sl_analysis_clear (analysis);
  sl_profile_free (profile);
}

/* New crowns stand as high as the wire, 1.30 where they were 1.10 by default; the last one lower by the fall-away that
 * is wanted by default, 0.10 (docs/format.md). */
static void
test_new_frets (void)
{
  SlProfile *profile = test_plain_profile ();
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  g_autoptr (GArray) plan = g_array_new (FALSE, FALSE, sizeof (SlOperation));
  const SlShop shop = SL_SHOP_DEFAULT;
  SlOperation fresh = sl_operation_init (SL_OP_REPLACE_FRETS);

  fresh.from = 1;
  fresh.to = 20;
  fresh.amount_treble = sl_number (1.3);
  g_array_append_val (plan, fresh);
  sl_analyse_last (profile, &shop, analysis);
  g_autofree char *said = sl_effect_text (analysis, plan, SL_OP_REPLACE_FRETS, 6, &mm);
  g_assert_cmpstr (said, ==, "the lowest crown 1.20 high, action −0.20 at string 6");
  sl_analysis_clear (analysis);
  sl_profile_free (profile);
}

static void
test_heard (void)
{
  SlHeardBending bending = { 40.86e-6, 1.74e-6, 40.88e-6, 199.9e9, 8.4e9, TRUE, TRUE };
  SlHeardStretch stretch = { SL_STRETCH_TOLD, 12, 3307.2, 65.4, 48.2, 0.8, 1.47, 0.02, 0.6 };
  SlEarlyFret early = { 7, 0.63, 2.08, 8, 0.12, 0.04 };

  assert_says (sl_bending_text (&bending, &mm),
               "Bending stiffness 40.9 ± 3.5 N mm², by core and modulus 40.9: 200 ± 17 GPa, as of its material.");
  bending.agrees = FALSE;
  assert_says (
      sl_bending_text (&bending, &parts),
      "Bending stiffness 40,9 ± 3,5 N mm², by core and modulus 40,9: 200 ± 17 GPa, not as of its material; check "
      "gauge and note.");
  bending.judged = FALSE;
  assert_says (sl_bending_text (&bending, &mm), "Bending stiffness 40.9 ± 3.5 N mm², by core and modulus 40.9.");
  assert_says (sl_stretch_text (&stretch, &mm), "Stretch stiffness 3307 ± 131 N, by the pitch at 12 frets.");
  stretch.word = SL_STRETCH_NOT_TOLD;
  stretch.n_frets = 4;
  assert_says (sl_stretch_text (&stretch, &mm),
               "Stretch stiffness 3307 ± 131 N: the pitch at these 4 frets doesn't tell "
               "it; more frets from the nut to the 12th, pressed alike, do.");
  stretch.word = SL_STRETCH_TOO_FEW;
  assert_says (sl_stretch_text (&stretch, &mm), "Stretch stiffness is told by the pitch at three frets or more.");
  assert_says (sl_early_fret_text (&early, &mm),
               "Fret 7 dies in 0.6 s, its neighbours in 2.1 s. Held there, the string "
               "comes closest to fret 8: margin 0.12 ± 0.08 mm.");
  early.margin = -0.05;
  assert_says (sl_early_fret_text (&early, &inch), "Fret 7 dies in 0.6 s, its neighbours in 2.1 s. Held there, the "
                                                   "string comes closest to fret 8: margin −0.002 ± 0.003 in.");
  early.closest = 0;
  assert_says (sl_early_fret_text (&early, &parts), "Fret 7 dies in 0,6 s, its neighbours in 2,1 s.");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/said/figures", test_figures);
  g_test_add_func ("/said/heard", test_heard);
  g_test_add_func ("/said/courses", test_courses);
  g_test_add_func ("/said/questions", test_questions);
  g_test_add_func ("/said/hints", test_hints);
  g_test_add_func ("/said/read-again", test_read_again);
  g_test_add_func ("/said/fret", test_fret);
  g_test_add_func ("/said/levelling", test_levelling);
  g_test_add_func ("/said/levelling-effect", test_levelling_effect);
  g_test_add_func ("/said/clearance", test_clearance);
  g_test_add_func ("/said/cautions", test_cautions);
  g_test_add_func ("/said/objections", test_objections);
  g_test_add_func ("/said/amounts", test_amounts);
  g_test_add_func ("/said/ends", test_ends);
  g_test_add_func ("/said/effects", test_effects);
  g_test_add_func ("/said/new-frets", test_new_frets);
  return g_test_run ();
}

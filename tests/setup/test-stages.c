/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What each piece of work asks to be read again, and what it wants minded. What an operation does to a reading is
 * worked out here a second time, from the straight string and the even bow alone. */
#include <string.h>

#include "words/caution.h"
#include "setup/record/checklist.h"
#include "setup/record/stages.h"
#include "support.h"

#define SCALE_MM 632.0 /* of test_plain_profile(): joined at 14, 20 frets, 6 strings */

typedef struct
{
  SlProfile *profile;
  SlInstrument in;
  SlState state;
} Case;

static void
case_begin (Case *c)
{
  c->profile = test_plain_profile ();
  sl_instrument_from_profile (c->profile, &c->in);
  test_straight_state (&c->in, &c->state);
}

static void
case_clear (Case *c)
{
  sl_profile_free (c->profile);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Case, case_clear)

static void
visit_clear (SlVisit *visit)
{
  g_array_unref (visit->sets);
  g_array_unref (visit->plan);
  g_array_unref (visit->checks);
  g_array_unref (visit->charges);
  g_array_unref (visit->photos);
}

static SlOperation
operation (SlOperationKind kind, int string, double amount, double treble)
{
  SlOperation op = sl_operation_init (kind);

  op.string = string;
  op.amount = sl_number (amount);
  op.amount_treble = sl_number (treble);
  return op;
}

/* The questions as one text: "relief 6, action 1, tongue". */
static char *
asked (const Case *c, SlOperation op, const SlWorkUncertainty *uncertainty)
{
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  SlVisit visit = sl_visit_init ();

  analysis->instrument = c->in;
  analysis->measured = c->state;
  analysis->shop.work = *uncertainty;
  op.done = g_strdup ("2026-03-02T12:00:00Z");
  g_array_append_val (visit.plan, op);
  g_autoptr (GArray) questions = sl_questions_since (analysis, &visit, SL_N_OPS, "2026-03-02T10:00:00Z");
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint i = 0; i < questions->len; i++)
    {
      const SlReading *question = &g_array_index (questions, SlReading, i);

      g_string_append_printf (text, "%s%s", i > 0 ? ", " : "", sl_readings[question->kind].bound.element);
      if (question->string > 0)
        g_string_append_printf (text, " %d", question->string);
      g_assert_false (sl_number_is_set (question->value));
    }
  visit_clear (&visit);
  return g_strdup (text->str);
}

#define assert_asked(c, op, wanted)                                                                                    \
  G_STMT_START                                                                                                         \
  {                                                                                                                    \
    g_autofree char *text_ = asked (c, op, &SL_WORK_UNCERTAINTY_DEFAULT);                                              \
    g_assert_cmpstr (text_, ==, wanted);                                                                               \
  }                                                                                                                    \
  G_STMT_END

static double
fret_mm (int n)
{
  return SCALE_MM * (1 - pow (2, -n / 12.0));
}

static void
test_rod (void)
{
  g_auto (Case) c = { 0 };

  case_begin (&c);
  /* By the even bow: on a neck joined at 14 the action goes 2.4 times as far as the relief, the tongue as far as the
   * relief, the first gap 0.7 of it. Read to 0.02, 0.1, 0.05 and 0.05 mm they go 1/0.02 = 50, 2.4/0.1 = 24, 1/0.05 = 20
   * and 0.7/0.05 = 14 steps: the first gap goes least far and is asked all the same, as slots are cut for it only once
   * it is read (model 4.4). */
  assert_asked (&c, operation (SL_OP_TURN_ROD, 0, -0.12, NAN),
                "relief 6, relief 1, action 6, action 1, tongue, first-gap 6, first-gap 1");
  assert_asked (&c, operation (SL_OP_TURN_ROD, 0, 0.12, NAN),
                "relief 6, relief 1, action 6, action 1, tongue, first-gap 6, first-gap 1");
  /* a tongue that ends at the joint is not read */
  c.in.frets = c.in.joint;
  assert_asked (&c, operation (SL_OP_TURN_ROD, 0, -0.12, NAN),
                "relief 6, relief 1, action 6, action 1, first-gap 6, first-gap 1");
  /* nothing turned, nothing to read */
  assert_asked (&c, operation (SL_OP_TURN_ROD, 0, 0, NAN), "");
}

static void
test_cuts (void)
{
  g_auto (Case) c = { 0 };

  case_begin (&c);
  /* by similar triangles a crest's cut takes half of itself off the action at 12, and x_1/x_s = 0.056 of itself off the
   * first gap */
  g_assert_cmpfloat (fret_mm (1) / SCALE_MM / 0.05, <, 0.35 * 0.5 / 0.1);
  assert_asked (&c, operation (SL_OP_CUT_SADDLE_BASE, 0, 0.8, 0.3), "action 6, action 1");
  assert_asked (&c, operation (SL_OP_CUT_SADDLE_BASE, 0, 0.3, 0.8), "action 1, action 6");
  assert_asked (&c, operation (SL_OP_CUT_SADDLE_BASE, 0, 0.5, 0.5), "action 6, action 1");
  assert_asked (&c, operation (SL_OP_SHAPE_CREST, 3, 0.2, NAN), "action 3");
  /* a slot's cut takes 0.94 of itself off the first gap and half off the action: 19 steps of 0.05 and 5 of 0.1 for a
   * millimetre */
  assert_asked (&c, operation (SL_OP_LOWER_SLOT, 5, 0.15, NAN), "first-gap 5");
  assert_asked (&c, operation (SL_OP_MOVE_CREST, 2, 0.6, NAN), "pitch 2");
}

static void
test_level (void)
{
  g_auto (Case) c = { 0 };
  SlShop shop = SL_SHOP_DEFAULT;

  case_begin (&c);
  /* Crowns that were level already: what is left is how far they came down as a whole, which the gaps show and relief
   * does not. */
  assert_asked (&c, operation (SL_OP_LEVEL_FRETS, 0, 0, NAN), "first-gap 6, first-gap 1, action 6, action 1");
  /* a fall-away shows on the tongue before all else */
  assert_asked (&c, operation (SL_OP_LEVEL_FRETS, 0, 0.3, NAN), "tongue, first-gap 6, first-gap 1, action 6, action 1");
  /* a shop that levels without fail has nothing to ask of level crowns */
  shop.work.level_mm = 0;
  g_autofree char *nothing = asked (&c, operation (SL_OP_LEVEL_FRETS, 0, 0, NAN), &shop.work);
  g_assert_cmpstr (nothing, ==, "");
  /* high crowns at 1 and 14 and nowhere else lift the chord of the relief: it goes down with them */
  for (int n = 1; n <= c.in.frets; n++)
    c.state.crown[n] = n == 1 || n == c.in.joint ? 0.1 : 0;
  g_autofree char *text = asked (&c, operation (SL_OP_LEVEL_FRETS, 0, 0, NAN), &shop.work);
  g_assert_true (g_str_has_prefix (text, "relief 6, relief 1"));
}

static void
test_since (void)
{
  g_auto (Case) c = { 0 };
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  SlVisit visit = sl_visit_init ();
  SlOperation ops[] = { operation (SL_OP_LOWER_SLOT, 4, 0.1, NAN), operation (SL_OP_CUT_SADDLE_BASE, 0, 0.5, 0.5),
                        operation (SL_OP_CUT_SADDLE_BASE, 0, 0.3, 0.3), operation (SL_OP_SHAPE_CREST, 2, 0.1, NAN) };
  static const char *const when[] = { "2026-03-02T12:00:00Z", "2026-03-02T12:10:00Z", "2026-03-02T12:20:00Z", NULL };

  case_begin (&c);
  sl_analyse (c.profile, NULL, NULL, &SL_SHOP_DEFAULT, analysis);
  for (guint i = 0; i < G_N_ELEMENTS (ops); i++)
    {
      ops[i].done = g_strdup (when[i]);
      g_array_append_val (visit.plan, ops[i]);
    }
  /* two passes of a cut ask once; what is not done, nothing */
  g_autoptr (GArray) all = sl_questions_since (analysis, &visit, SL_N_OPS, "2026-03-02T10:00:00Z");
  g_assert_cmpuint (all->len, ==, 3);
  g_autoptr (GArray) later = sl_questions_since (analysis, &visit, SL_N_OPS, "2026-03-02T12:05:00Z");
  g_assert_cmpuint (later->len, ==, 2);
  g_autoptr (GArray) slots = sl_questions_since (analysis, &visit, SL_OP_LOWER_SLOT, "2026-03-02T10:00:00Z");
  g_assert_cmpuint (slots->len, ==, 1);
  g_assert_cmpint (g_array_index (slots, SlReading, 0).kind, ==, SL_READ_FIRST_GAP);
  g_autoptr (GArray) none = sl_questions_since (analysis, &visit, SL_N_OPS, "2026-03-02T13:00:00Z");
  g_assert_cmpuint (none->len, ==, 0);
  sl_analysis_clear (analysis);
  visit_clear (&visit);
}

#define HAS(cautions, one) (((cautions) >> (one) &1) != 0)

/* Common practice: what is filed makes dust, the rod is turned with slack strings, what is not filed wants neither. */
static void
test_cautions (void)
{
  g_auto (Case) c = { 0 };
  SlVisit visit = sl_visit_init ();
  SlOperation rod = operation (SL_OP_TURN_ROD, 0, -0.1, NAN), slot = operation (SL_OP_LOWER_SLOT, 2, 0.1, NAN),
              shape = operation (SL_OP_SHAPE_CREST, 2, 0.1, NAN);
  guint cautions;

  case_begin (&c);
  g_assert_cmpuint (sl_visit_cautions (&c.in, NULL, NULL), ==, 0);
  g_assert_cmpuint (sl_visit_cautions (&c.in, &visit, NULL), ==, 0);
  g_array_append_val (visit.plan, rod);
  cautions = sl_visit_cautions (&c.in, &visit, NULL);
  g_assert_true (HAS (cautions, SL_CAUTION_ROD));
  g_assert_false (HAS (cautions, SL_CAUTION_DUST) || HAS (cautions, SL_CAUTION_JUDGEMENT) ||
                  HAS (cautions, SL_CAUTION_REGULATED));
  g_array_append_val (visit.plan, slot);
  cautions = sl_visit_cautions (&c.in, &visit, NULL);
  g_assert_true (HAS (cautions, SL_CAUTION_DUST) && HAS (cautions, SL_CAUTION_EYES) &&
                 HAS (cautions, SL_CAUTION_JUDGEMENT) && HAS (cautions, SL_CAUTION_REGULATED));
  g_assert_false (HAS (cautions, SL_CAUTION_FINISHES) || HAS (cautions, SL_CAUTION_ELECTRICS));
  /* done, it is over */
  g_array_index (visit.plan, SlOperation, 0).done = g_strdup ("2026-03-02T12:00:00Z");
  g_array_index (visit.plan, SlOperation, 1).done = g_strdup ("2026-03-02T12:00:00Z");
  g_assert_cmpuint (sl_visit_cautions (&c.in, &visit, NULL), ==, 0);
  /* a crest on a screw is turned */
  g_array_append_val (visit.plan, shape);
  g_assert_true (HAS (sl_visit_cautions (&c.in, &visit, NULL), SL_CAUTION_DUST));
  c.in.height_screw_pitch = 0.5;
  c.in.adjust = SL_ADJUST_SCREWS;
  g_assert_cmpuint (sl_visit_cautions (&c.in, &visit, NULL), ==, 0);
  visit_clear (&visit);
  for (int caution = 0; caution < SL_N_CAUTIONS; caution++)
    {
      g_autofree char *text = sl_cautions_text (1u << caution, " ");

      g_assert_true (g_str_has_suffix (text, "."));
    }
}

static void
test_cautions_of_checks (void)
{
  g_auto (Case) c = { 0 };
  g_auto (GStrv) names = NULL;
  SlVisit visit = sl_visit_init ();
  g_autoptr (GArray) findings = g_array_new (FALSE, TRUE, sizeof (SlFinding));
  SlFinding low = { .kind = SL_FINDING_SLOT_LOW, .string = 2, .amount = 0.1 };
  guint cautions = 0;

  case_begin (&c);
  names = sl_checklist_usual (c.profile);
  for (guint i = 0; names[i] != NULL; i++)
    {
      SlCheck check = { g_strdup (names[i]), SL_CHECK_SOUND, NULL };
      g_array_append_val (visit.checks, check);
    }
  g_assert_cmpuint (sl_visit_cautions (&c.in, &visit, NULL), ==, 0);
  for (guint i = 0; i < visit.checks->len; i++)
    g_array_index (visit.checks, SlCheck, i).state = SL_CHECK_ATTEND;
  cautions = sl_visit_cautions (&c.in, &visit, NULL);
  g_assert_true (HAS (cautions, SL_CAUTION_ELECTRICS) && HAS (cautions, SL_CAUTION_FINISHES));
  g_assert_false (HAS (cautions, SL_CAUTION_DUST));
  g_array_set_size (visit.checks, 0);
  /* a slot that is to be filled */
  g_array_append_val (findings, low);
  g_assert_true (HAS (sl_visit_cautions (&c.in, &visit, findings), SL_CAUTION_FINISHES));
  visit.closed = (char *) "2026-03-02";
  g_assert_cmpuint (sl_visit_cautions (&c.in, &visit, findings), ==, 0);
  visit_clear (&visit);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/stages/rod", test_rod);
  g_test_add_func ("/stages/cuts", test_cuts);
  g_test_add_func ("/stages/level", test_level);
  g_test_add_func ("/stages/since", test_since);
  g_test_add_func ("/stages/cautions", test_cautions);
  g_test_add_func ("/stages/cautions-of-checks", test_cautions_of_checks);
  return g_test_run ();
}

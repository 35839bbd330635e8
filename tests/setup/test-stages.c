/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What each piece of work asks to be read again. What an operation does to a reading is worked out here a second time, from the straight string and the even bow
 * alone. */
#include <string.h>

#include "setup/stages.h"
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
asked (const Case *c, SlOperation op)
{
  g_autoptr (GArray) questions = sl_operation_questions (&c->in, &c->state, &op);
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint i = 0; i < questions->len; i++)
    {
      const SlReading *question = &g_array_index (questions, SlReading, i);

      g_string_append_printf (text, "%s%s", i > 0 ? ", " : "", sl_reading_names[question->kind]);
      if (question->string > 0)
        g_string_append_printf (text, " %d", question->string);
      g_assert_false (sl_number_is_set (question->value));
    }
  return g_strdup (text->str);
}

#define assert_asked(c, op, wanted)                                                                                                                            \
  G_STMT_START                                                                                                                                                 \
  {                                                                                                                                                            \
    g_autofree char *text_ = asked (c, op);                                                                                                                    \
    g_assert_cmpstr (text_, ==, wanted);                                                                                                                       \
  }                                                                                                                                                            \
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
  /* By the even bow: on a neck joined at 14 the action goes 2.4 times as far as the relief, the tongue as far as the relief, the first gap 0.7 of it. Read
   * to 0.02, 0.1, 0.05 and 0.05 mm they go 1/0.02 = 50, 2.4/0.1 = 24, 1/0.05 = 20 and 0.7/0.05 = 14 steps: the first gap is left. */
  assert_asked (&c, operation (SL_OP_TURN_ROD, 0, -0.12, NAN), "relief 6, relief 1, action 6, action 1, tongue");
  assert_asked (&c, operation (SL_OP_TURN_ROD, 0, 0.12, NAN), "relief 6, relief 1, action 6, action 1, tongue");
  /* a tongue that ends at the joint is not read */
  c.in.frets = c.in.joint;
  assert_asked (&c, operation (SL_OP_TURN_ROD, 0, -0.12, NAN), "relief 6, relief 1, action 6, action 1");
  /* nothing turned, nothing to read */
  assert_asked (&c, operation (SL_OP_TURN_ROD, 0, 0, NAN), "");
}

static void
test_cuts (void)
{
  g_auto (Case) c = { 0 };

  case_begin (&c);
  /* by similar triangles a crest's cut takes half of itself off the action at 12, and x_1/x_s = 0.056 of itself off the first gap */
  g_assert_cmpfloat (fret_mm (1) / SCALE_MM / 0.05, <, 0.35 * 0.5 / 0.1);
  assert_asked (&c, operation (SL_OP_CUT_SADDLE_BASE, 0, 0.8, 0.3), "action 6, action 1");
  assert_asked (&c, operation (SL_OP_CUT_SADDLE_BASE, 0, 0.3, 0.8), "action 1, action 6");
  assert_asked (&c, operation (SL_OP_CUT_SADDLE_BASE, 0, 0.5, 0.5), "action 6, action 1");
  assert_asked (&c, operation (SL_OP_SHAPE_CREST, 3, 0.2, NAN), "action 3");
  /* a slot's cut takes 0.94 of itself off the first gap and half off the action: 19 steps of 0.05 and 5 of 0.1 for a millimetre */
  assert_asked (&c, operation (SL_OP_LOWER_SLOT, 5, 0.15, NAN), "first-gap 5");
  assert_asked (&c, operation (SL_OP_MOVE_CREST, 2, 0.6, NAN), "pitch 2");
}

static void
test_level (void)
{
  g_auto (Case) c = { 0 };
  SlShop shop = SL_SHOP_DEFAULT;

  case_begin (&c);
  /* Crowns that were level already: what is left is how far they came down as a whole, which the gaps show and relief does not. */
  assert_asked (&c, operation (SL_OP_LEVEL_FRETS, 0, 0, NAN), "first-gap 6, first-gap 1, action 6, action 1");
  /* a fall-away shows on the tongue before all else */
  assert_asked (&c, operation (SL_OP_LEVEL_FRETS, 0, 0.3, NAN), "tongue, first-gap 6, first-gap 1, action 6, action 1");
  /* a shop that levels without fail has nothing to ask of level crowns */
  shop.work.level_mm = 0;
  sl_shop_set (&shop);
  assert_asked (&c, operation (SL_OP_LEVEL_FRETS, 0, 0, NAN), "");
  /* high crowns at 1 and 14 and nowhere else lift the chord of the relief: it goes down with them */
  for (int n = 1; n <= c.in.frets; n++)
    c.state.crown[n] = n == 1 || n == c.in.joint ? 0.1 : 0;
  g_autofree char *text = asked (&c, operation (SL_OP_LEVEL_FRETS, 0, 0, NAN));
  g_assert_true (g_str_has_prefix (text, "relief 6, relief 1"));
  sl_shop_set (&SL_SHOP_DEFAULT);
}

static void
test_since (void)
{
  g_auto (Case) c = { 0 };
  g_autofree SlAnalysis *analysis = g_new0 (SlAnalysis, 1);
  SlVisit visit = sl_visit_init ();
  SlOperation ops[] = { operation (SL_OP_LOWER_SLOT, 4, 0.1, NAN), operation (SL_OP_CUT_SADDLE_BASE, 0, 0.5, 0.5), operation (SL_OP_CUT_SADDLE_BASE, 0, 0.3, 0.3),
                        operation (SL_OP_SHAPE_CREST, 2, 0.1, NAN) };
  static const char *const when[] = { "2026-03-02T12:00:00Z", "2026-03-02T12:10:00Z", "2026-03-02T12:20:00Z", NULL };

  case_begin (&c);
  sl_analyse (c.profile, NULL, NULL, analysis);
  for (guint i = 0; i < G_N_ELEMENTS (ops); i++)
    {
      ops[i].done = g_strdup (when[i]);
      g_array_append_val (visit.plan, ops[i]);
    }
  /* two passes of a cut ask once; what is not done, nothing */
  g_autoptr (GArray) all = sl_questions_since (analysis, &visit, "2026-03-02T10:00:00Z");
  g_assert_cmpuint (all->len, ==, 3);
  g_autoptr (GArray) later = sl_questions_since (analysis, &visit, "2026-03-02T12:05:00Z");
  g_assert_cmpuint (later->len, ==, 2);
  g_autoptr (GArray) slots = sl_questions_since_kind (analysis, &visit, SL_OP_LOWER_SLOT, "2026-03-02T10:00:00Z");
  g_assert_cmpuint (slots->len, ==, 1);
  g_assert_cmpint (g_array_index (slots, SlReading, 0).kind, ==, SL_READ_FIRST_GAP);
  g_autoptr (GArray) none = sl_questions_since (analysis, &visit, "2026-03-02T13:00:00Z");
  g_assert_cmpuint (none->len, ==, 0);
  sl_analysis_clear (analysis);
  g_array_unref (visit.sets);
  g_array_unref (visit.plan);
  g_array_unref (visit.checks);
  g_array_unref (visit.charges);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/stages/rod", test_rod);
  g_test_add_func ("/stages/cuts", test_cuts);
  g_test_add_func ("/stages/level", test_level);
  g_test_add_func ("/stages/since", test_since);
  return g_test_run ();
}

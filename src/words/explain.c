/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What was done and why. */
#include "words/explain.h"

#include "setup/profile/construction.h"
#include "words/effect.h"
#include "words/proposal.h"
#include "words/saying.h"

#define SAME_MM 0.005 /* two amounts that are written alike */

/* Operations of one kind done one after another: one step in the telling. */
typedef struct
{
  SlOperationKind kind;
  gboolean planned, up;
  gboolean still; /* a turn of the rod that the neck did not follow */
  gboolean strings[SL_MAX_STRINGS + 1];
  int n_strings;
  double least, most;           /* mm, of the strings' amounts */
  double amount, amount_treble; /* of operations without a string */
  const SlOperation *first;     /* of the plan's */
} Step;

static gboolean
belongs (const Step *step, const SlOperation *operation, gboolean up)
{
  return step->n_strings > 0 && operation->string > 0 && operation->kind == step->kind &&
         (operation->kind != SL_OP_SHAPE_CREST || up == step->up);
}

/* Enters an operation, in the last step or a new one. */
static void
add_operation (GArray *steps, const SlOperation *operation, gboolean planned)
{
  const double amount = sl_number_or (operation->amount, 0), size = fabs (amount);
  Step *step = steps->len > 0 ? &g_array_index (steps, Step, steps->len - 1) : NULL;

  if (step == NULL || !belongs (step, operation, amount < 0))
    {
      const Step new = { .kind = operation->kind,
                         .planned = planned,
                         .up = amount < 0,
                         .least = INFINITY,
                         .amount = amount,
                         .amount_treble = sl_number_or (operation->amount_treble, amount),
                         .first = operation };

      g_array_append_val (steps, new);
      step = &g_array_index (steps, Step, steps->len - 1);
    }
  if (operation->string < 1 || operation->string > SL_MAX_STRINGS)
    return;
  step->n_strings += !step->strings[operation->string];
  step->strings[operation->string] = TRUE;
  step->least = MIN (step->least, size);
  step->most = MAX (step->most, size);
}

/* "string 3", "strings 1, 2 and 6", "all strings" */
static char *
strings_text (const Step *step, int n_strings)
{
  g_autoptr (GString) list = g_string_new (NULL);
  int last = SL_MAX_STRINGS;

  if (step->n_strings == n_strings && n_strings > 1)
    return g_strdup (C_ ("work done on", "all strings"));
  while (last > 1 && !step->strings[last])
    last--;
  for (int s = 1; s < last; s++)
    if (step->strings[s])
      g_string_append_printf (list, "%s%d", list->len > 0 ? ", " : "", s);
  if (list->len == 0)
    return g_strdup_printf (C_ ("work done on", "string %d"), last);
  /* Translators: the strings a step was done on: "strings 1, 2 and 6" */
  return g_strdup_printf (C_ ("work done on", "strings %s and %d"), list->str, last);
}

/* "0.05 mm", "0.03 to 0.06 mm" */
static char *
amounts_text (const Saying *say, double least, double most)
{
  const char *to = length (say, most);

  if (g_str_equal (length (say, least), to)) /* as they are written, not as they are */
    return g_strdup (to);
  /* Translators: a range of lengths: "0.03 to 0.06 mm" */
  return g_strdup_printf (C_ ("range", "%s to %s"), bare (say, least), to);
}

/* What a step is told by, as done and as planned. */
static const char *const told_work[SL_N_OPS][2] = {
#include "operation-told-rows.h"
};
static const char *const told_bench[SL_N_BENCH_STEPS][2] = {
#include "step-told-rows.h"
};
enum
{
  TIGHTEN,
  LOOSEN,
  BASE,
  BASE_SLOPING,
  SCREWS_DOWN,
  RAISE,
  SHAPE,
  REPLACE,
  REPLACE_ONE,
  ZERO_FRET,
  BRIDGE_UP,
  BRIDGE_DOWN,
  BRIDGE_TILTED
};
static const char *const told[][2] = {
#include "told-rows.h"
};

static const char *const *
told_by (const Step *step, const SlInstrument *instrument)
{
  switch (step->kind)
    {
    case SL_OP_TURN_ROD: return step->amount < 0 ? told[TIGHTEN] : told[LOOSEN];
    case SL_OP_CUT_SADDLE_BASE:
      return fabs (step->amount - step->amount_treble) < SAME_MM ? told[BASE] : told[BASE_SLOPING];
    case SL_OP_SHAPE_CREST:
      return step->up ? told[RAISE] : sl_saddles[instrument->adjust].goes_up ? told[SCREWS_DOWN] : told[SHAPE];
    case SL_OP_REPLACE_FRETS:
      if (step->first->to == 0)
        return told[ZERO_FRET];
      return step->first->from == step->first->to ? told[REPLACE_ONE] : told[REPLACE];
    case SL_OP_BENCH_STEP: return told_bench[step->first->step];
    case SL_OP_MOVE_SADDLE:
      return step->amount * step->amount_treble < 0   ? told[BRIDGE_TILTED]
             : step->amount + step->amount_treble < 0 ? told[BRIDGE_DOWN]
                                                      : told[BRIDGE_UP];
    default: return told_work[step->kind];
    }
}

static char *
step_text (const Step *step, const SlSpeech *speech, const SlInstrument *instrument)
{
  const char *text = _ (told_by (step, instrument)[step->planned]);
  g_auto (Saying) say = saying (&speech->style, NULL);

  if (step->still)
    return g_strdup (_ ("Adjusting the rod inside the neck was tried, but the neck hardly followed."));
  if (step->kind == SL_OP_REPLACE_FRETS)
    return g_strdup_printf (text, step->first->from, step->first->to);
  if (step->kind == SL_OP_FIT_STRINGS)
    return g_strdup_printf (text, own (&say, sl_fitted_name (step->first)));
  if (sl_operations[step->kind].per_string)
    return g_strdup_printf (text, own (&say, strings_text (step, instrument->n_strings)),
                            own (&say, amounts_text (&say, step->least, step->most)));
  return g_strdup_printf (text, length (&say, fabs (step->amount)), length (&say, fabs (step->amount_treble)));
}

static void
append_number (GString *out, double mm)
{
  char number[G_ASCII_DTOSTR_BUF_SIZE];

  g_string_append_printf (out, " %s", g_ascii_formatd (number, sizeof number, "%.4f", mm));
}

static char *
basis_text (const Step *step)
{
  const gboolean strings = step->n_strings > 0;
  g_autoptr (GString) out = g_string_new (step->planned ? "planned" : "done");

  if (step->kind == SL_OP_BENCH_STEP)
    g_string_append_printf (out, " %s", sl_bench_step_names[step->first->step]);
  if (step->kind == SL_OP_REPLACE_FRETS)
    g_string_append_printf (out, " %d %d", step->first->from, step->first->to);
  if (step->first->set != NULL)
    g_string_append_printf (out, " %s", step->first->set);
  for (int i = 0; i < step->first->n_ends; i++)
    append_number (out, step->first->ends[i].value.v);
  append_number (out, strings ? step->least : step->amount);
  append_number (out, strings ? step->most : step->amount_treble);
  g_string_append (out, strings && step->up ? " up" : step->still ? " still" : "");
  for (int s = 1; s <= SL_MAX_STRINGS; s++)
    if (step->strings[s])
      g_string_append_printf (out, " s%d", s);
  return g_string_free (g_steal_pointer (&out), FALSE);
}

static void
sentence_free (gpointer data)
{
  SlSentence *sentence = data;

  g_free (sentence->id);
  g_free (sentence->basis);
  g_free (sentence->text);
  g_free (sentence);
}

/* The steps of the plan, done or planned, in order. */
static GArray *
find_steps (const SlOutcome *outcome, gboolean planned)
{
  GArray *steps = g_array_new (FALSE, FALSE, sizeof (Step));
  const GArray *plan = outcome->visit != NULL ? outcome->visit->plan : NULL;
  double wanted, moved;

  SL_EACH (const SlOperation, operation, plan)
    if ((operation->done == NULL) == planned)
      add_operation (steps, operation, planned);
  SL_EACH (Step, step, steps)
    step->still =
        step->kind == SL_OP_TURN_ROD && !planned && sl_rod_still (outcome->after, step->first, &wanted, &moved);
  return steps;
}

/* What a step is counted as: bench steps each by themselves. */
static int
sort_of (const Step *step)
{
  return step->kind == SL_OP_BENCH_STEP ? SL_N_OPS + (int) step->first->step : (int) step->kind;
}

static char *
id_of (const Step *step, int number)
{
  const char *element = sl_operations[step->kind].bound.element;

  return step->kind == SL_OP_BENCH_STEP
             ? g_strdup_printf ("%s-%s-%d", element, sl_bench_step_names[step->first->step], number)
             : g_strdup_printf ("%s-%d", element, number);
}

static void
add_sentence (GPtrArray *sentences, SlSentence sentence)
{
  g_ptr_array_add (sentences, g_memdup2 (&sentence, sizeof sentence));
}

/* Nothing was planned or done, because nothing had to be: good news. */
static gboolean
nothing_needed (const SlOutcome *outcome)
{
  g_auto (SlProposal) proposal = { NULL };

  if (outcome->visit == NULL || outcome->visit->plan->len > 0)
    return FALSE;
  sl_propose (outcome->after, &proposal);
  return sl_nothing_to_do_text (outcome->after, &proposal) != NULL;
}

/* A nut that is too low and not yet planned to be made good: what the work begins with. */
static void
add_low_nut (GPtrArray *sentences, const SlOutcome *outcome)
{
  const SlOperation nut = sl_operation_init (SL_OP_MAKE_NUT);
  Step low = { .kind = nut.kind, .planned = TRUE, .first = &nut };
  g_auto (SlProposal) proposal = { NULL };

  sl_propose (outcome->after, &proposal);
  SL_EACH (const SlFinding, finding, proposal.findings)
    if (finding->kind == SL_FINDING_SLOT_LOW && !finding->predicted)
      {
        low.n_strings++;
        low.strings[finding->string] = TRUE;
      }
  if (low.n_strings == 0)
    return;
  g_autofree char *strings = strings_text (&low, outcome->instrument.n_strings);

  add_sentence (sentences, (SlSentence){ g_strdup ("nut-low"), basis_text (&low),
                                         g_strdup_printf (_ ("The nut is too low under %s, which lets open strings "
                                                             "rattle: filling its slots, or a new nut, comes first."),
                                                          strings) });
}

GPtrArray *
sl_explain_work (const SlOutcome *outcome, const SlSpeech *speech, gboolean planned)
{
  GPtrArray *sentences = g_ptr_array_new_with_free_func (sentence_free);
  g_autoptr (GArray) done = find_steps (outcome, FALSE), steps = find_steps (outcome, planned);
  int of_sort[SL_N_OPS + SL_N_BENCH_STEPS] = { 0 };

  if (planned && outcome->as_planned && outcome->has_plan)
    add_low_nut (sentences, outcome);
  /* what is done comes first in the count, so that a step keeps its name when it is done */
  for (guint i = 0; planned && i < done->len; i++)
    of_sort[sort_of (&g_array_index (done, Step, i))]++;
  SL_EACH (const Step, step, steps)
    add_sentence (sentences, (SlSentence){ id_of (step, ++of_sort[sort_of (step)]), basis_text (step),
                                           step_text (step, speech, &outcome->instrument) });
  if (!planned && nothing_needed (outcome))
    add_sentence (sentences,
                  (SlSentence){ g_strdup ("nothing-to-do"), g_strdup ("done"),
                                g_strdup (_ ("Good news: nothing had to be done. Everything that was read is as it "
                                             "should be, and nothing was taken off the instrument.")) });
  return sentences;
}

#define CUTS                                                                                                           \
  (1u << SL_OP_LEVEL_FRETS | 1u << SL_OP_REPLACE_FRETS | 1u << SL_OP_LOWER_SLOT | 1u << SL_OP_CUT_SADDLE_BASE |        \
   1u << SL_OP_SHAPE_CREST | 1u << SL_OP_MAKE_NUT | 1u << SL_OP_MAKE_SADDLE)

GPtrArray *
sl_explain_cautions (const SlOutcome *outcome)
{
  static const struct
  {
    guint kinds; /* a bit each for the operations it belongs to, 0: always */
    gboolean planned_only;
    const char *text;
  } rows[] = {
    { 1u << SL_OP_TURN_ROD, FALSE, N_ ("Slacken the strings before adjusting the rod far, and stop when it resists.") },
    { CUTS, TRUE, N_ ("Dust of metal, bone, shell and some timbers is harmful: use extraction and a respirator.") },
    { CUTS, TRUE, N_ ("Some materials (ivory, certain rosewoods, shell) are regulated in trade.") },
    { 0, FALSE,
      N_ ("Strings under tension can whip when they break: keep your face away from them, and protect your eyes when "
          "you change them.") },
    { 0, FALSE, N_ ("Figures worked out here are guidance for a trained technician.") },
  };
  GPtrArray *cautions = g_ptr_array_new_with_free_func (g_free);
  const GArray *plan = outcome->visit != NULL ? outcome->visit->plan : NULL;
  guint all = 0, planned = 0; /* kinds of the visit's operations, and of those not done */

  SL_EACH (const SlOperation, operation, plan)
    {
      all |= 1u << operation->kind;
      planned |= operation->done == NULL ? 1u << operation->kind : 0;
    }
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    if (rows[i].kinds == 0 || (rows[i].kinds & (rows[i].planned_only ? planned : all)) != 0)
      g_ptr_array_add (cautions, g_strdup (_ (rows[i].text)));
  return cautions;
}

char *
sl_explain_passed (const SlOutcome *outcome)
{
  const SlVisit *visit = outcome->visit;
  const gboolean air = outcome->before->air.state != SL_AIR_SETTLED || outcome->after->air.state != SL_AIR_SETTLED;
  const char *texts[3] = { NULL };
  gboolean cut = FALSE;
  int n = 0;

  SL_EACH (const SlOperation, operation, visit != NULL ? visit->plan : NULL)
    cut = cut || (operation->done != NULL && (CUTS >> operation->kind & 1) != 0);
  if (!cut)
    return NULL;
  if (visit->passed >> SL_GATE_AIR & 1 && air)
    texts[n++] = _ ("This was done before the instrument had settled in the air it is kept in: the strings may still "
                    "rise or sink a little, and should be looked at again when it has.");
  if (visit->passed >> SL_GATE_READING & 1)
    texts[n++] = _ ("This was done although one reading disagreed with the others.");
  return n == 0 ? NULL : g_strjoinv (" ", (char **) texts);
}

const char *
sl_check_state_text (SlCheckState state)
{
  switch (state)
    {
    case SL_CHECK_SOUND: return C_ ("state of a check", "sound");
    case SL_CHECK_ATTEND: return C_ ("state of a check", "needs attention");
    case SL_CHECK_MENDED: return C_ ("state of a check", "mended");
    case SL_CHECK_NOT_APPLICABLE: return C_ ("state of a check", "does not apply");
    default: return C_ ("state of a check", "not looked at yet");
    }
}

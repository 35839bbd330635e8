/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A proposed plan as text, a kind of work a step, and as rows for other programs (sidelong-calc(1)). */

#include "calc.h"
#include "setup/profile/construction.h"
#include "setup/record/stages.h"
#include "words/dates.h"
#include "words/effect.h"
#include "words/kinds.h"
#include "words/proposal.h"

#define MM "mm"

static const SlStep *
step_at (const SlProposal *proposal, guint i)
{
  return &g_array_index (proposal->steps, SlStep, i);
}

/* Where the kind of work that begins at step @first ends. */
static guint
end_of_work (const SlProposal *proposal, guint first)
{
  const SlOperationKind kind = step_at (proposal, first)->operation.kind;
  guint end = first + 1;

  while (sl_operations[kind].per_string && end < proposal->steps->len &&
         step_at (proposal, end)->operation.kind == kind)
    end++;
  return end;
}

/* ---- rows ---- */

typedef struct
{
  const char *operation;
  int string, fret; /* 0: none; frets are counted from the nut's, 1, as a zero fret has a row */
  const char *end;
  double amount, pass, u;
  const char *gate;
} Row;

static void
put_row (SlAnswer *answer, guint step, const Row *row, const char *note)
{
  sl_put_count (answer, step > 0 ? (int) step : SL_NONE);
  sl_put_word (answer, row->operation);
  sl_put_count (answer, row->string > 0 ? row->string : SL_NONE);
  sl_put_count (answer, row->fret > 0 ? row->fret - 1 : SL_NONE);
  sl_put_word (answer, row->end);
  sl_put_number (answer, row->amount);
  sl_put_number (answer, row->pass);
  sl_put_number (answer, SL_COVERAGE * row->u);
  sl_put_word (answer, isnan (row->amount) ? NULL : MM);
  sl_put_word (answer, row->gate);
  sl_put_text (answer, note);
}

/* What comes off each crown. */
static void
put_level (SlAnswer *answer, guint number, Row row, const SlProposal *proposal, const char *note)
{
  for (int fret = 0; fret <= SL_MAX_FRETS; fret++)
    {
      if (proposal->level_off[fret] <= 0)
        continue;
      row.fret = fret + 1;
      row.amount = proposal->level_off[fret];
      put_row (answer, number, &row, note);
    }
}

static void
put_new (SlAnswer *answer, guint number, Row row, const SlOperation *op, const char *note)
{
  for (row.fret = op->from + 1; row.fret <= op->to + 1; row.fret++)
    put_row (answer, number, &row, note);
}

/* What is set at its ends, or moved there up or down, back or forward. */
static void
put_ends (SlAnswer *answer, guint number, Row row, const SlStep *step, const char *note)
{
  const gboolean sets = step->operation.kind == SL_OP_MAKE_SADDLE;

  row.end = "bass";
  if (!isnan (row.amount) && (sets || row.amount != 0))
    put_row (answer, number, &row, note);
  row.end = "treble";
  row.amount = sl_number_or (step->operation.amount_treble, NAN);
  row.pass = step->pass.pass_treble;
  row.u = step->pass.u_treble;
  if (!isnan (row.amount) && (sets || row.amount != 0))
    put_row (answer, number, &row, note);
}

static void
put_slots (SlAnswer *answer, guint number, Row row, const SlOperation *op, const char *note)
{
  for (int i = 0; i < op->n_ends; i++)
    {
      row.string = op->ends[i].string;
      row.amount = op->ends[i].value.v;
      put_row (answer, number, &row, note);
    }
}

static void
put_step (SlAnswer *answer, guint number, const SlAnalysis *analysis, const SlProposal *proposal, const SlStep *step,
          const char *note)
{
  const SlOperation *op = &step->operation;
  /* the amount of a height screw is positive for up; a document's is positive for down */
  const gboolean screw = op->kind == SL_OP_SHAPE_CREST && sl_saddles[analysis->instrument.adjust].goes_up;
  const Row row = { .operation = sl_operations[op->kind].bound.element,
                    .string = op->string,
                    .amount = screw ? -op->amount.v : sl_number_or (op->amount, NAN),
                    .pass = step->pass.pass,
                    .u = step->pass.u,
                    .gate = sl_gate_names[step->pass.gate] };
  const Row bare = { .operation = row.operation, .amount = NAN, .pass = NAN, .u = NAN, .gate = row.gate };

  switch (op->kind)
    {
    case SL_OP_LEVEL_FRETS: put_level (answer, number, row, proposal, note); break;
    case SL_OP_CUT_SADDLE_BASE:
    case SL_OP_MOVE_SADDLE:
    case SL_OP_SHIFT_BRIDGE:
    case SL_OP_MAKE_SADDLE: put_ends (answer, number, row, step, note); break;
    case SL_OP_MAKE_NUT: put_slots (answer, number, row, op, note); break;
    case SL_OP_FIT_STRINGS: put_row (answer, number, &bare, op->set); break;
    case SL_OP_BENCH_STEP: put_row (answer, number, &bare, sl_bench_step_names[op->step]); break;
    case SL_OP_REPLACE_FRETS: put_new (answer, number, bare, op, note); break;
    default: put_row (answer, number, &row, note); break;
    }
}

static void
put_finding (SlAnswer *answer, const SlAnalysis *analysis, const SlFinding *finding, const SlTextStyle *style)
{
  static const char *const topics[SL_N_FINDINGS] = {
    [SL_FINDING_SLOT_LOW] = "slot-low", [SL_FINDING_CREST_LOW] = "crest-low", [SL_FINDING_NECK_ANGLE] = "neck-angle",
    [SL_FINDING_EXPOSURE] = "exposure", [SL_FINDING_RELIEF] = "relief",       [SL_FINDING_RELIEF_UNREAD] = "relief",
    [SL_FINDING_ROD_STILL] = "relief",  [SL_FINDING_CREST_MOVE] = "strings",  [SL_FINDING_SUSPECT] = "reading",
    [SL_FINDING_FRET_HEIGHT] = "frets", [SL_FINDING_TONGUE] = "tongue",       [SL_FINDING_WORK_SHORT] = "reading",
    [SL_FINDING_WORK_FAR] = "reading",  [SL_FINDING_APART] = "reading",       [SL_FINDING_AIR] = "air",
    [SL_FINDING_LIMIT] = "reading",     [SL_FINDING_LEFT] = "balance",        [SL_FINDING_TOUCHES] = "strings",
    [SL_FINDING_CURVE] = "balance",     [SL_FINDING_RODLESS] = "relief",      [SL_FINDING_ZERO_FRET] = "frets",
    [SL_FINDING_BALANCE] = "balance",
  };
  g_autofree char *text = sl_finding_text (analysis, finding, style);
  const Row row = { "finding", finding->string,      finding->fret > 0 ? finding->fret + 1 : 0, NULL, NAN, NAN,
                    NAN,       topics[finding->kind] };

  put_row (answer, 0, &row, text);
}

static void
put_plan (SlAnswer *answer, const SlAnalysis *analysis, const SlProposal *proposal, const SlTextStyle *style)
{
  guint number = 0, end = 0, found = 0;

  for (guint i = 0; i <= proposal->steps->len; i++)
    {
      for (; found < proposal->findings->len; found++)
        {
          const SlFinding *finding = &g_array_index (proposal->findings, SlFinding, found);

          if (finding->before > i)
            break;
          put_finding (answer, analysis, finding, style);
        }
      if (i == proposal->steps->len)
        break;
      if (i == end)
        {
          number++;
          end = end_of_work (proposal, i);
        }
      g_autofree char *note = sl_step_reason (analysis, step_at (proposal, i), style);

      put_step (answer, number, analysis, proposal, step_at (proposal, i), note);
    }
}

/* ---- text ---- */

static void
append_indented (GString *out, const char *text)
{
  if (text != NULL && *text != '\0')
    g_string_append_printf (out, "     %s\n", text);
}

/* "6 by 0.07 mm, 5 by 0.05 mm", from the bass; of first passes those there are; of what goes both ways which way each
 * goes. */
static char *
amounts_text (const SlAnalysis *analysis, const SlProposal *proposal, guint first, guint end, gboolean passes,
              const char *more, const char *less)
{
  GString *text = g_string_new (NULL);

  for (guint i = end; i-- > first;)
    {
      const SlStep *step = step_at (proposal, i);
      const double mm = passes ? step->pass.pass : step->operation.amount.v;
      if (passes && !(mm > 0))
        continue;
      g_autofree char *amount = sl_millimetres (fabs (mm)),
                      *name = sl_string_named (analysis->profile, step->operation.string);

      g_string_append (text, text->len > 0 ? ", " : "");
      g_string_append_printf (text, mm < 0 ? less : more, name, amount);
    }
  return g_string_free (text, FALSE);
}

/* Whether the strings of one kind of work go both ways. */
static gboolean
goes_both_ways (const SlProposal *proposal, guint first, guint end)
{
  gboolean up = FALSE, down = FALSE;

  for (guint i = first; i < end; i++)
    {
      up = up || step_at (proposal, i)->operation.amount.v < 0;
      down = down || step_at (proposal, i)->operation.amount.v > 0;
    }
  return up && down;
}

static char *
work_text (const SlAnalysis *analysis, const SlProposal *proposal, guint first, guint end)
{
  const SlOperation *op = &step_at (proposal, first)->operation;
  const gboolean screws = sl_saddles[analysis->instrument.adjust].goes_up;
  g_autofree char *amounts = NULL;

  if (!sl_operations[op->kind].per_string)
    return sl_operation_text (&analysis->instrument, op);
  if (goes_both_ways (proposal, first, end))
    {
      /* Translators: a string's number and how far its saddle or break point goes: "6 up 0.60 mm, 4 down 0.20 mm" */
      amounts = op->kind == SL_OP_SHAPE_CREST
                    ? amounts_text (analysis, proposal, first, end, FALSE, _ ("%s down %s"), _ ("%s up %s"))
                    : amounts_text (analysis, proposal, first, end, FALSE, _ ("%s back %s"), _ ("%s forward %s"));
      return g_strdup_printf (op->kind == SL_OP_SHAPE_CREST ? _ ("set the saddle heights: string %s")
                                                            : _ ("move the break points: string %s"),
                              amounts);
    }
  /* Translators: a string's number and what comes off there: "6 by 0.07 mm, 5 by 0.05 mm" */
  amounts = amounts_text (analysis, proposal, first, end, FALSE, _ ("%s by %s"), _ ("%s by %s"));
  if (op->kind == SL_OP_LOWER_SLOT)
    return g_strdup_printf (_ ("lower the slots: string %s"), amounts);
  if (op->kind == SL_OP_SHAPE_CREST)
    return g_strdup_printf (op->amount.v < 0 ? _ ("saddle up: string %s")
                            : screws         ? _ ("saddle down: string %s")
                                             : _ ("dress the saddle top: string %s"),
                            amounts);
  return g_strdup_printf (op->amount.v < 0 ? _ ("break point forward: string %s") : _ ("break point back: string %s"),
                          amounts);
}

/* Whether the first pass of every step is all of it, or none has one. */
static gboolean
is_whole (const SlProposal *proposal, guint first, guint end)
{
  for (guint i = first; i < end; i++)
    {
      const SlStep *step = step_at (proposal, i);
      const double treble = step->operation.kind == SL_OP_CUT_SADDLE_BASE ? step->operation.amount_treble.v : 0;

      if (step->pass.pass < step->operation.amount.v - SL_LEAST_STEP_MM / 2 ||
          step->pass.pass_treble < treble - SL_LEAST_STEP_MM / 2)
        return FALSE;
    }
  return TRUE;
}

/* What may come off at once: nothing where that is all of it, none, or nothing at all. */
static char *
pass_amounts (const SlAnalysis *analysis, const SlProposal *proposal, guint first, guint end)
{
  const SlStep *step = step_at (proposal, first);
  double most = 0;

  for (guint i = first; i < end; i++)
    most = fmax (most, fmax (step_at (proposal, i)->pass.pass, step_at (proposal, i)->pass.pass_treble));
  if (is_whole (proposal, first, end) || !(most > 0))
    return NULL;
  if (step->operation.kind == SL_OP_CUT_SADDLE_BASE)
    {
      g_autofree char *bass = sl_millimetres (step->pass.pass), *treble = sl_millimetres (step->pass.pass_treble);
      const char *no_bass = sl_no_pass_text (step->pass.pass, step->operation.amount.v),
                 *no_treble = sl_no_pass_text (step->pass.pass_treble, step->operation.amount_treble.v);

      return g_strdup_printf (sl_any_assumed (analysis->fit.action_assumed, analysis->instrument.n_strings)
                                  ? _ ("first pass: bass %s, treble %s, because the action of some strings is only "
                                       "assumed: read it for more")
                                  : _ ("first pass: bass %s, treble %s; then read the action again"),
                              no_bass != NULL ? no_bass : bass, no_treble != NULL ? no_treble : treble);
    }
  g_autofree char *amounts = amounts_text (analysis, proposal, first, end, TRUE, _ ("%s by %s"), _ ("%s by %s"));

  return g_strdup_printf (_ ("first pass: string %s; then read again"), amounts);
}

static char *
string_line (const SlAnalysis *analysis, int string, const char *text)
{
  g_autofree char *name = sl_string_named (analysis->profile, string);

  return g_strdup_printf (_ ("string %s: %s"), name, text);
}

static const char *
opens_text (const SlAnalysis *analysis, const SlProposal *proposal, guint at)
{
  return sl_pass_text (analysis, &step_at (proposal, at)->operation, &step_at (proposal, at)->pass);
}

/* Why nothing is to be done yet: each reason once, with the strings it holds for unless it holds for all, and what was
 * said of the work above by its name alone. */
static void
append_gates (GString *out, const SlAnalysis *analysis, const SlProposal *proposal, guint first, guint end,
              const char **said)
{
  guint same = 0;

  for (guint i = end; i-- > first; same = 0)
    {
      const char *opens = opens_text (analysis, proposal, i);
      g_autoptr (GString) names = g_string_new (NULL);
      g_autofree char *line = NULL;
      gboolean told = opens == NULL;

      for (guint other = i + 1; other < end; other++)
        told = told || g_strcmp0 (opens, opens_text (analysis, proposal, other)) == 0;
      for (guint other = i + 1; other-- > first && !told;)
        if (g_strcmp0 (opens, opens_text (analysis, proposal, other)) == 0)
          {
            g_autofree char *name = sl_string_named (analysis->profile, step_at (proposal, other)->operation.string);

            g_string_append_printf (names, "%s%s", names->len > 0 ? ", " : "", name);
            same++;
          }
      if (told)
        continue;
      if (same < end - first)
        line = g_strdup_printf (_ ("string %s: %s"), names->str, opens);
      else if (step_at (proposal, i)->pass.gate != SL_GATE_NONE && g_strcmp0 (*said, opens) == 0)
        /* Translators: %s is what keeps the step from being done: "the air", "a doubted reading" */
        line = g_strdup_printf (_ ("Not yet: %s."), sl_gate_title (step_at (proposal, i)->pass.gate));
      append_indented (out, line != NULL ? line : opens);
      *said = same == end - first ? opens : *said;
    }
}

static void
append_reasons (GString *out, const SlAnalysis *analysis, const SlProposal *proposal, guint first, guint end,
                const SlTextStyle *style)
{
  for (guint i = end; i-- > first;)
    {
      g_autofree char *reason = sl_step_cause (analysis, step_at (proposal, i), style), *line = NULL;

      if (sl_operations[step_at (proposal, i)->operation.kind].per_string)
        line = string_line (analysis, step_at (proposal, i)->operation.string, reason);
      append_indented (out, line != NULL ? line : reason);
    }
}

static void
append_findings (GString *out, const SlAnalysis *analysis, const SlProposal *proposal, guint until, guint *found,
                 const SlTextStyle *style)
{
  while (*found < proposal->findings->len)
    {
      const SlFinding *finding = &g_array_index (proposal->findings, SlFinding, *found);

      if (finding->before > until)
        return;
      const guint n = sl_findings_alike (proposal, *found);
      g_autofree char *text = sl_findings_text (analysis, proposal, *found, n, style);

      g_string_append_printf (out, "%s %s\n", C_ ("plan: begins a line that tells what no work can reach", "Finding:"),
                              text);
      *found += n;
    }
}

/* Nothing to do, as far as is known: what was not read is never said to be in range. */
static void
append_nothing (GString *out, const SlAnalysis *analysis, gboolean predicted)
{
  const SlFit *fit = &analysis->fit;
  const gboolean relief = fit->relief_assumed_treble || fit->relief_assumed_bass,
                 first = sl_any_assumed (fit->first_gap_assumed, analysis->instrument.n_strings),
                 action = sl_any_assumed (fit->action_assumed, analysis->instrument.n_strings);
  g_autoptr (GPtrArray) unread = g_ptr_array_new ();

  if (relief)
    g_ptr_array_add (unread, (char *) sl_reading_said (SL_READ_RELIEF));
  if (first)
    g_ptr_array_add (unread, (char *) sl_reading_said (SL_READ_FIRST_GAP));
  if (action)
    g_ptr_array_add (unread, (char *) sl_reading_said (SL_READ_ACTION));
  if (unread->len == 0)
    {
      g_string_append_printf (out, "%s\n",
                              predicted ? _ ("Nothing to do, going by what is predicted.") : _ ("Nothing to do."));
      return;
    }
  g_ptr_array_add (unread, NULL);
  g_autofree char *list = g_strjoinv (", ", (char **) unread->pdata);

  /* Translators: a list of what was not read at some strings or at all: "relief, action" */
  g_string_append_printf (out, _ ("Nothing to do as far as was read; not read everywhere: %s."), list);
  g_string_append_c (out, '\n');
}

static void
plan_text (GString *out, const SlAnalysis *analysis, const SlProposal *proposal, const SlTextStyle *style)
{
  const gboolean open = analysis->set != NULL && analysis->visit != NULL && analysis->visit->closed == NULL;
  /* what the work done since the readings moved, and nobody has read */
  g_autoptr (GArray) again = open ? sl_questions_since (analysis, analysis->visit, SL_N_OPS, analysis->set->taken)
                                  : g_array_new (FALSE, FALSE, sizeof (SlReading));
  g_autofree char *questions = sl_questions_text (again, analysis->air.settling);
  guint number = 0, found = 0;
  const char *said = NULL;

  for (guint first = 0, end; first < proposal->steps->len; first = end)
    {
      end = end_of_work (proposal, first);
      append_findings (out, analysis, proposal, first, &found, style);
      g_autofree char *what = work_text (analysis, proposal, first, end);

      g_string_append_printf (out, "%u. %s\n", ++number, what);
      append_reasons (out, analysis, proposal, first, end, style);
      g_autofree char *passes = pass_amounts (analysis, proposal, first, end);
      append_indented (out, passes);
      append_gates (out, analysis, proposal, first, end, &said);
      if ((SL_ALONG >> step_at (proposal, first)->operation.kind & 1) != 0 && first > 0 &&
          step_at (proposal, first)->pass.gate == SL_GATE_NONE)
        append_indented (out, _ ("Read the pitch again before anything is moved."));
      /* the rod's own step said what to read */
      if (step_at (proposal, first)->operation.kind == SL_OP_TURN_ROD &&
          step_at (proposal, first)->pass.gate == SL_GATE_NONE)
        said = sl_pass_text (analysis, &step_at (proposal, first)->operation, &(SlPass){ .gate = SL_GATE_ROD });
    }
  if (proposal->steps->len == 0 && proposal->findings->len == 0)
    append_nothing (out, analysis, again->len > 0);
  append_findings (out, analysis, proposal, G_MAXUINT, &found, style);
  if (again->len > 0)
    {
      g_string_append_printf (out, _ ("Read again, most changed first: %s."), questions);
      g_string_append_c (out, '\n');
    }
}

/* ---- the command ---- */

static gboolean write_plan;
const GOptionEntry sl_plan_entries[] = {
  { "write", 'w', 0, G_OPTION_ARG_NONE, &write_plan,
    N_ ("Store the plan in the last visit, in place of the operations not yet done"), NULL },
  { NULL },
};

gboolean
sl_plan_writes (void)
{
  return write_plan;
}

static void
store (SlAnswer *answer, SlProfile *profile, const SlProposal *proposal, char **stamp)
{
  SlVisit *visit = sl_profile_last_visit (profile);
  sl_proposal_enter (proposal, visit->plan);
  visit->plan_given = visit->plan_given || visit->plan->len > 0;

  g_autoptr (GFile) file = g_file_new_for_commandline_arg (answer->name);
  g_autoptr (GError) error = NULL;
  if (!sl_document_save (file, profile, stamp, FALSE, NULL, &error))
    {
      sl_answer_fault (answer, SL_EXIT_FILE, 0, error->message);
      return;
    }
  g_autofree char *day = sl_date_text (visit->opened),
                  *stored = g_strdup_printf (_ ("Stored in the visit of %s."), day);
  if (answer->form == SL_FORM_TEXT && answer->several)
    g_string_append_printf (answer->out, "%s\n", stored);
  else if (answer->form == SL_FORM_TEXT)
    answer->last = g_strconcat (stored, "\n", NULL);
}

void
sl_plan (SlAnswer *answer, const SlShop *shop)
{
  const SlTextStyle style = { SL_LENGTHS_MM, sl_decimal_sign () };
  g_autofree char *stamp = NULL;
  g_autoptr (SlProfile) profile = sl_load_profile (answer, &stamp);
  if (profile == NULL)
    return;
  if (write_plan && sl_profile_last_visit (profile) == NULL)
    {
      sl_answer_fault (answer, SL_EXIT_FAULT, 0, _ ("the profile has no visit, so there is none to store a plan in"));
      return;
    }
  g_autoptr (SlAnalysis) analysis = g_new0 (SlAnalysis, 1);
  g_auto (SlProposal) proposal;
  sl_analyse_last (profile, shop, analysis);
  sl_propose (analysis, &proposal);
  sl_rows_begin (answer, "file", "step,operation,string,fret,end,amount,first-pass,uncertainty,unit,gate,note");
  if (answer->form != SL_FORM_TEXT)
    put_plan (answer, analysis, &proposal, &style);
  else
    {
      sl_answer_title (answer);
      plan_text (answer->out, analysis, &proposal, &style);
    }
  if (write_plan)
    store (answer, profile, &proposal, &stamp);
  if (answer->form == SL_FORM_TEXT && answer->several)
    g_string_append_c (answer->out, '\n');
}

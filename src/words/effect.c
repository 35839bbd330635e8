/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/effect.h"

#include "setup/physics/intonation.h"
#include "setup/physics/pitch.h"
#include "setup/profile/sets.h"
#include "setup/work/propose.h"
#include "words/said.h"
#include "words/proposal.h"

/* The turn of the rod that the card explains while none is planned, mm less relief. */
#define EXAMPLE_ROD_CHANGE 0.10
#define TURN_PLACES 2
#define MM_PLACES 2
#define CENT_PLACES 1
#define WEDGE_MM 100.0 /* of heel or pocket that a wedge's growth is told over */

static const SlOperation *
operation_at (const GArray *plan, guint i)
{
  return &g_array_index (plan, SlOperation, i);
}

static gboolean
is_past (const SlAnalysis *analysis, const SlOperation *operation)
{
  return analysis->set != NULL && sl_operation_is_past (operation, analysis->set->taken);
}

SlOpCount
sl_count_operations (const GArray *plan, SlOperationKind kind)
{
  SlOpCount count = { 0 };

  for (guint i = 0; plan != NULL && i < plan->len; i++)
    if (operation_at (plan, i)->kind == kind)
      *(operation_at (plan, i)->done == NULL ? &count.n_pending : &count.n_done) += 1;
  return count;
}

double
sl_planned_amount (const SlAnalysis *analysis, SlOperationKind kind, int string)
{
  double sum = 0;

  for (guint i = 0; analysis->plan && i < analysis->plan->len; i++)
    {
      const SlOperation *operation = operation_at (analysis->plan, i);
      double amount = sl_number_or (operation->amount, 0);

      if (operation->kind != kind || operation->done != NULL)
        continue;
      if (kind == SL_OP_CUT_SADDLE_BASE || kind == SL_OP_MOVE_SADDLE || kind == SL_OP_SHIFT_BRIDGE)
        sum += sl_between_strings (sl_number_or (operation->amount_treble, amount), amount, string,
                                   analysis->instrument.n_strings);
      else if (operation->string == string)
        sum += amount;
    }
  return sum;
}

double
sl_planned_first_pass (const SlAnalysis *analysis, int string)
{
  const guint n = sl_count_operations (analysis->plan, SL_OP_CUT_SADDLE_BASE).n_pending == 0 ? 0 : analysis->plan->len;
  g_autofree SlPass *passes = g_new (SlPass, MAX (1, n));
  double sum = 0;

  if (n > 0)
    sl_plan_passes (analysis, analysis->plan, passes);
  for (guint i = 0; i < n; i++)
    if (operation_at (analysis->plan, i)->kind == SL_OP_CUT_SADDLE_BASE &&
        operation_at (analysis->plan, i)->done == NULL)
      sum += sl_between_strings (passes[i].pass_treble, passes[i].pass, string, analysis->instrument.n_strings);
  return sum;
}

void
sl_effect_states (const SlAnalysis *analysis, const GArray *plan, SlOperationKind kind, SlState *before, SlState *after)
{
  const SlInstrument *instrument = &analysis->instrument;
  const guint n = plan != NULL ? plan->len : 0;
  guint first = 0;

  while (first < n && (operation_at (plan, first)->kind != kind || is_past (analysis, operation_at (plan, first))))
    first++;
  *before = analysis->measured;
  for (guint i = 0; i < first; i++) /* with none of the kind, those of earlier kinds */
    if ((first < n || sl_operations[operation_at (plan, i)->kind].place < sl_operations[kind].place) &&
        !is_past (analysis, operation_at (plan, i)))
      sl_operation_carry (instrument, operation_at (plan, i), &analysis->shop.work, before);
  *after = *before;
  for (guint i = first; i < n; i++)
    if (operation_at (plan, i)->kind == kind && !is_past (analysis, operation_at (plan, i)))
      sl_operation_carry (instrument, operation_at (plan, i), &analysis->shop.work, after);
}

/* What @after changes of the action at @string. */
static double
action_change (const SlAnalysis *analysis, const SlState *before, const SlState *after, int string)
{
  return sl_state_gap (&analysis->instrument, after, string, SL_OCTAVE_FRET) -
         sl_state_gap (&analysis->instrument, before, string, SL_OCTAVE_FRET);
}

static char *
level_text (const SlAnalysis *analysis, const SlState *before, const SlState *after, int string,
            const SlTextStyle *style)
{
  double most = before->crown[1], least = most, drop = 0;
  g_autofree char *amount = NULL, *change = NULL;

  for (int n = 1; n <= analysis->instrument.frets; n++)
    {
      most = MAX (most, before->crown[n]);
      least = MIN (least, before->crown[n]);
      drop = MAX (drop, before->crown[n] - after->crown[n]);
    }
  if (drop == 0)
    {
      amount = sl_text_fine (style, most - least);
      return before->crowns_read ? g_strdup_printf (_ ("largest crown error %s"), amount)
                                 : g_strdup (_ ("crowns not read: assumed level"));
    }
  amount = sl_text_fine (style, drop);
  change = sl_text_change (style, action_change (analysis, before, after, string));
  return g_strdup_printf (_ ("up to %s off the crowns, action %s at string %d"), amount, change, string);
}

/* @text, with another part (may be NULL) after it; takes both. */
static char *
with_part (char *text, char *part)
{
  g_autofree char *first = text, *second = part;

  return second == NULL ? g_steal_pointer (&first) : g_strdup_printf ("%s; %s", first, second);
}

static char *
replace_text (const SlAnalysis *analysis, const SlState *before, const SlState *after, int string,
              const SlTextStyle *style)
{
  double least = INFINITY;
  g_autofree char *left = NULL, *change = sl_text_change (style, action_change (analysis, before, after, string));

  for (int n = 1; n <= analysis->instrument.frets; n++)
    least = MIN (least, sl_state_crown_over_board (&analysis->instrument, after, n));
  left = sl_text_fine (style, least);
  return g_strdup_printf (_ ("the lowest crown %s high, action %s at string %d"), left, change, string);
}

static char *
rod_text (const SlAnalysis *analysis, const SlState *before, const SlState *after, int string, const SlTextStyle *style)
{
  double change = sl_state_mean_relief (after) - sl_state_mean_relief (before);
  g_autofree char *relief_text = NULL, *action_text = NULL;

  if (change == 0)
    {
      SlOperation example = sl_operation_init (SL_OP_TURN_ROD);
      SlState state = *before;

      example.amount = sl_number (-EXAMPLE_ROD_CHANGE);
      sl_operation_apply (&analysis->instrument, &example, &state);
      relief_text = sl_text_fine (style, EXAMPLE_ROD_CHANGE);
      action_text = sl_text_fine (style, action_change (analysis, &state, before, string));
      return with_part (g_strdup_printf (_ ("%s less relief would take %s off the action"), relief_text, action_text),
                        sl_neck_text (&analysis->instrument.neck, style));
    }
  action_text = sl_text_change (style, action_change (analysis, before, after, string));
  relief_text = sl_text_fine (style, sl_state_mean_relief (after));
  return with_part (
      with_part (g_strdup_printf (_ ("relief %s, action %s before the saddle is touched"), relief_text, action_text),
                 sl_rod_turns_text (&analysis->instrument, change, style)),
      sl_neck_text (&analysis->instrument.neck, style));
}

/* "first gap 0.50 at string 6, 0.40 at string 1": the outer strings and the chosen one. */
static char *
gaps_text (const SlAnalysis *analysis, const SlState *after, int string, int fret, const char *first,
           const SlTextStyle *style)
{
  int strings[3];
  const int n = sl_told_strings (analysis->instrument.n_strings, string, strings);
  GString *text = g_string_new (NULL);

  for (int i = 0; i < n; i++)
    {
      double gap = sl_state_gap (&analysis->instrument, after, strings[i], fret);
      g_autofree char *length = fret == 1 ? sl_text_fine (style, gap) : sl_text_length (style, gap);

      g_string_append_printf (text, i == 0 ? first : _ (", %s at string %d"), length, strings[i]);
    }
  return g_string_free (text, FALSE);
}

static char *
cut_text (const SlAnalysis *analysis, const SlState *after, int string, const SlTextStyle *style)
{
  const int n = analysis->instrument.n_strings;
  g_autofree char *gaps = gaps_text (analysis, after, string, SL_OCTAVE_FRET, _ ("action %s at string %d"), style);
  g_autofree char *bass = sl_text_length (style, after->exposure[n - 1]);
  g_autofree char *treble = sl_text_length (style, after->exposure[0]);

  if (!after->exposure_read)
    return g_steal_pointer (&gaps);
  return g_strdup_printf (_ ("%s; exposure %s / %s"), gaps, bass, treble);
}

/* Of the screw that does this operation, NAN where there is none. */
static double
screw_pitch (const SlInstrument *instrument, SlOperationKind kind)
{
  return kind == SL_OP_MOVE_CREST                                 ? instrument->length_screw_pitch
         : kind == SL_OP_SHAPE_CREST || kind == SL_OP_MOVE_SADDLE ? instrument->height_screw_pitch
                                                                  : NAN;
}

/* @text, with the turns of a screw of @pitch that make @mm after it; takes @text. */
static char *
with_turns (char *text, double mm, double pitch, const SlTextStyle *style)
{
  g_autofree char *plain = text;
  g_autofree char *turns = NULL;

  if (isnan (pitch) || mm == 0)
    return g_steal_pointer (&plain);
  turns = sl_text_plain (style, mm / pitch, TURN_PLACES, TRUE);
  return g_strdup_printf (_ ("%s; %s turns"), plain, turns);
}

static char *
shape_text (const SlAnalysis *analysis, const SlState *before, const SlState *after, int string,
            const SlTextStyle *style)
{
  double rise = sl_state_crest_height (after, string) - sl_state_crest_height (before, string);
  g_autofree char *action = sl_text_length (style, sl_state_gap (&analysis->instrument, after, string, SL_OCTAVE_FRET));
  g_autofree char *target = sl_text_length (style, analysis->instrument.target_action[string - 1]);

  return with_turns (g_strdup_printf (_ ("action %s at string %d, target %s"), action, string, target), rise,
                     screw_pitch (&analysis->instrument, SL_OP_SHAPE_CREST), style);
}

static double
pitch_at (const SlAnalysis *analysis, const SlState *state, int string)
{
  SlStringState s;

  sl_state_string (&analysis->instrument, state, string, &s);
  return sl_pitch_error (&s, SL_OCTAVE_FRET, NULL);
}

/* "string 6 at fret 12: −3.0 → +0.2 cents" */
static char *
cents_text (const SlAnalysis *analysis, const SlState *before, const SlState *after, int string,
            const SlTextStyle *style)
{
  double cents, first = pitch_at (analysis, before, string), second = pitch_at (analysis, after, string);
  g_autofree char *from = NULL, *to = NULL;

  if (sl_tuner_cents (analysis->set, string, &cents)) /* the tuner's word, and what the work up to here changes of it */
    {
      cents -= pitch_at (analysis, &analysis->measured, string);
      first += cents;
      second += cents;
    }
  from = sl_text_plain (style, first, CENT_PLACES, TRUE);
  to = sl_text_plain (style, second, CENT_PLACES, TRUE);
  return after->setback[string - 1] == before->setback[string - 1]
             ? g_strdup_printf (_ ("string %d at fret 12: %s cents"), string, from)
             : g_strdup_printf (_ ("string %d at fret 12: %s → %s cents"), string, from, to);
}

static char *
move_text (const SlAnalysis *analysis, const SlState *before, const SlState *after, int string,
           const SlTextStyle *style)
{
  const SlInstrument *instrument = &analysis->instrument;
  const double move = after->setback[string - 1] - before->setback[string - 1];
  g_autofree char *cents = cents_text (analysis, before, after, string, style),
                  *thickness = sl_text_length (style, instrument->saddle_thickness);

  if (move == 0)
    return g_steal_pointer (&cents);
  if (!isnan (instrument->length_screw_pitch))
    return with_turns (g_steal_pointer (&cents), move, instrument->length_screw_pitch, style);
  return g_strdup_printf (sl_crests_fit (instrument, after->setback, NULL) ? _ ("%s, within the saddle's %s")
                                                                           : _ ("%s, but beyond the saddle's %s"),
                          cents, thickness);
}

/* Of a bridge that goes up and down at its two ends, and how far its screws are turned there. */
static char *
raise_text (const SlAnalysis *analysis, const SlState *before, const SlState *after, int string,
            const SlTextStyle *style)
{
  const int ends[] = { analysis->instrument.n_strings, 1 };
  const double pitch = analysis->instrument.height_screw_pitch;
  g_autofree char *gaps = gaps_text (analysis, after, string, SL_OCTAVE_FRET, _ ("action %s at string %d"), style);
  char *turns[2] = { NULL };

  if (isnan (pitch) || memcmp (before->u, after->u, sizeof before->u) == 0)
    return g_steal_pointer (&gaps);
  for (int i = 0; i < 2; i++)
    turns[i] = sl_text_plain (
        style, (sl_state_crest_height (after, ends[i]) - sl_state_crest_height (before, ends[i])) / pitch, TURN_PLACES,
        TRUE);
  g_autofree char *bass = turns[0], *treble = turns[1];
  /* Translators: what it does; turns of the two screws or wheels of a bridge, bass and treble side, + up */
  return g_strdup_printf (_ ("%s; turns %s / %s"), gaps, bass, treble);
}

/* And what gives the neck its angle: of a wedge or shim how much thicker it is at one end than at the other. */
static char *
angle_text (const SlAnalysis *analysis, const SlState *before, const SlState *after, int string,
            const SlTextStyle *style)
{
  static const char *const means[] = {
    [SL_HEEL_NONE] = N_ ("a reset, or a wedge under the board that grows by %s over each 100 mm"),
    [SL_HEEL_SHIM] = N_ ("a shim in the pocket that grows by %s over each 100 mm"),
    [SL_HEEL_TILT_SCREW] = N_ ("by the tilt screw: as a shim that grows by %s over each 100 mm"),
  };
  const double drop = sl_state_crest_height (before, string) - sl_state_crest_height (after, string);
  g_autofree char *gaps = gaps_text (analysis, after, string, SL_OCTAVE_FRET, _ ("action %s at string %d"), style),
                  *wedge = sl_text_length_unit (
                      style, fabs (sl_heel_wedge (&analysis->instrument, before, string, drop, WEDGE_MM))),
                  *how = g_strdup_printf (_ (means[analysis->instrument.heel_adjust]), wedge);

  return drop == 0 ? g_steal_pointer (&gaps) : g_strdup_printf ("%s; %s", gaps, how);
}

/* Other strings pull otherwise: relief goes with it, and the action with that. */
static char *
fitted_text (const SlAnalysis *analysis, const SlState *before, const SlState *after, int string,
             const SlTextStyle *style)
{
  g_autofree char *from = sl_text_fine (style, sl_state_mean_relief (before)),
                  *to = sl_text_fine (style, sl_state_mean_relief (after)),
                  *gaps = gaps_text (analysis, after, string, SL_OCTAVE_FRET, _ ("action %s at string %d"), style);

  return g_strdup_printf (_ ("relief %s → %s, %s"), from, to, gaps);
}

char *
sl_effect_text (const SlAnalysis *analysis, const GArray *plan, SlOperationKind kind, int string,
                const SlTextStyle *style)
{
  SlState before, after;

  if (string < 1 || string > analysis->instrument.n_strings)
    string = analysis->instrument.n_strings;
  sl_effect_states (analysis, plan, kind, &before, &after);
  switch (kind)
    {
    case SL_OP_LEVEL_FRETS: return level_text (analysis, &before, &after, string, style);
    case SL_OP_TURN_ROD: return rod_text (analysis, &before, &after, string, style);
    case SL_OP_LOWER_SLOT:
      return gaps_text (analysis, &after, string, 1, _ ("height at fret 1 %s at string %d"), style);
    case SL_OP_CUT_SADDLE_BASE: return cut_text (analysis, &after, string, style);
    case SL_OP_SHAPE_CREST: return shape_text (analysis, &before, &after, string, style);
    case SL_OP_MOVE_CREST: return move_text (analysis, &before, &after, string, style);
    case SL_OP_REPLACE_FRETS: return replace_text (analysis, &before, &after, string, style);
    case SL_OP_MOVE_SADDLE: return raise_text (analysis, &before, &after, string, style);
    case SL_OP_SHIFT_BRIDGE: return cents_text (analysis, &before, &after, string, style);
    case SL_OP_SET_NECK_ANGLE: return angle_text (analysis, &before, &after, string, style);
    case SL_OP_MAKE_NUT: return gaps_text (analysis, &after, string, 1, _ ("height at fret 1 %s at string %d"), style);
    case SL_OP_MAKE_SADDLE: return cut_text (analysis, &after, string, style);
    case SL_OP_FIT_STRINGS: return fitted_text (analysis, &before, &after, string, style);
    case SL_OP_BENCH_STEP: return g_strdup ("");
    case SL_N_OPS:
    default: g_assert_not_reached ();
    }
}

/* An end of what is set at its two ends: up or down, with the turns of what it stands on, back or forward; of a new
 * saddle how far it stands out of the bridge. NULL where it stays. */
static char *
end_amount (const SlInstrument *instrument, SlOperationKind kind, SlNumber end, const SlTextStyle *style)
{
  const double mm = sl_number_or (end, 0), pitch = instrument != NULL ? screw_pitch (instrument, kind) : NAN;
  g_autofree char *size = sl_text_measure (style, fabs (mm), MM_PLACES, TRUE), *turns = NULL;

  if (kind == SL_OP_MAKE_SADDLE)
    return sl_number_is_set (end) ? g_steal_pointer (&size) : NULL;
  if (mm == 0)
    return NULL;
  if (kind == SL_OP_SHIFT_BRIDGE)
    return g_strdup_printf (mm < 0 ? _ ("forward %s") : _ ("back %s"), size);
  if (isnan (pitch))
    return g_strdup_printf (mm < 0 ? _ ("down %s") : _ ("up %s"), size);
  turns = sl_text_plain (style, fabs (mm) / pitch, TURN_PLACES, FALSE);
  /* Translators: an end of a bridge on posts or wheels: "up 0.50 mm, 0.63 turns" */
  return g_strdup_printf (mm < 0 ? _ ("down %s, %s turns") : _ ("up %s, %s turns"), size, turns);
}

static char *
ends_amount (const SlInstrument *instrument, const SlOperation *operation, const SlTextStyle *style)
{
  g_autofree char *bass = end_amount (instrument, operation->kind, operation->amount, style),
                  *treble = end_amount (instrument, operation->kind, operation->amount_treble, style);

  if (bass == NULL && treble == NULL)
    return g_strdup (_ ("both ends stay"));
  if (bass == NULL)
    /* Translators: "treble end up 0.50 mm, 0.63 turns; the bass end stays" */
    return g_strdup_printf (_ ("treble end %s; the bass end stays"), treble);
  if (treble == NULL)
    return g_strdup_printf (_ ("bass end %s; the treble end stays"), bass);
  return g_str_equal (bass, treble) ? g_strdup_printf (_ ("both ends %s"), bass)
                                    : g_strdup_printf (_ ("bass end %s; treble end %s"), bass, treble);
}

/* Of a new nut: "heights 0.52 to 0.38 mm", from the bass. */
static char *
nut_amount (const SlOperation *operation, const SlTextStyle *style)
{
  const int last = operation->n_ends - 1;
  g_autofree char *treble = last < 0 ? NULL : sl_text_measure (style, operation->ends[0].value.v, MM_PLACES, TRUE),
                  *bass = last < 0 ? NULL : sl_text_fine (style, operation->ends[last].value.v);

  /* Translators: heights of the slots of a new nut, from the bass to the treble string: "heights 0.52 to 0.42 mm" */
  return last < 0 ? g_strdup ("") : g_strdup_printf (_ ("heights %s to %s"), bass, treble);
}

/* The amount of one string: what lowers has a minus, a break point goes back or forward; with @turns, a saddle on a
 * screw goes up or down by turns. */
static char *
string_amount (const SlInstrument *instrument, const SlOperation *operation, gboolean turns, const SlTextStyle *style)
{
  double mm = operation->amount.v, pitch = screw_pitch (instrument, operation->kind);
  g_autofree char *length = sl_text_change (style, -mm), *turn_text = NULL;

  if (operation->kind == SL_OP_MOVE_CREST)
    {
      g_autofree char *size = sl_text_fine (style, fabs (mm));

      g_free (length);
      /* Translators: a break point moves away from the nut or toward it by %s */
      length = g_strdup_printf (mm < 0 ? _ ("forward %s") : _ ("back %s"), size);
    }
  if (!turns || isnan (pitch))
    return g_steal_pointer (&length);
  turn_text = sl_text_plain (style, fabs (mm) / pitch, TURN_PLACES, FALSE);
  if (operation->kind == SL_OP_MOVE_CREST)
    /* Translators: "back 0.40, 0.57 turns" of a length screw */
    return g_strdup_printf (_ ("%s, %s turns"), length, turn_text);
  /* Translators: a saddle on a height screw: "down 0.70 turns (−0.35)" */
  return g_strdup_printf (mm < 0 ? _ ("up %s turns (%s)") : _ ("down %s turns (%s)"), turn_text, length);
}

char *
sl_fitted_name (const SlOperation *operation)
{
  SlStringSet set;

  if (operation->set_name != NULL)
    return g_strdup (operation->set_name);
  if (operation->set != NULL && sl_string_set_parse (operation->set, NULL, &set, NULL))
    return sl_string_set_name (&set);
  return g_strdup (operation->set != NULL ? operation->set : "");
}

char *
sl_operation_amount (const SlInstrument *instrument, const SlOperation *operation, const SlTextStyle *style)
{
  const double amount = sl_number_or (operation->amount, 0);
  g_autofree char *bass = sl_text_fine (style, amount), *change = sl_text_change (style, amount), *treble = NULL;

  switch (operation->kind)
    {
    case SL_OP_REPLACE_FRETS:
      if (operation->to == 0)
        return g_strdup (_ ("the zero fret"));
      if (operation->from == operation->to)
        return g_strdup_printf (_ ("fret %d"), operation->from);
      return g_strdup_printf (_ ("frets %d to %d"), operation->from, operation->to);
    case SL_OP_BENCH_STEP: return g_strdup (sl_bench_step_title (operation->step));
    case SL_OP_LEVEL_FRETS:
      if (operation->frets == 1)
        return g_strdup (_ ("level the zero fret to its neighbours"));
      if (operation->frets != 0)
        {
          g_autofree char *frets = sl_frets_text (operation->frets, NULL);

          return g_strdup_printf (_ ("level %s to the rest"), frets);
        }
      return amount > 0 ? g_strdup_printf (_ ("level, fall-away %s"), bass) : g_strdup (_ ("level to the lowest"));
    case SL_OP_TURN_ROD:
      return g_strdup_printf (amount < 0 ? _ ("tighten, relief %s") : _ ("loosen, relief %s"), change);
    case SL_OP_CUT_SADDLE_BASE:
      treble = sl_text_fine (style, sl_number_or (operation->amount_treble, 0));
      /* Translators: what comes off the saddle's base, bass side / treble side */
      return g_strdup_printf (_ ("%s / %s off"), bass, treble);
    case SL_OP_MOVE_SADDLE:
    case SL_OP_SHIFT_BRIDGE:
    case SL_OP_MAKE_SADDLE: return ends_amount (instrument, operation, style);
    case SL_OP_SET_NECK_ANGLE:
      treble = sl_text_measure (style, fabs (amount), MM_PLACES, TRUE);
      return g_strdup_printf (
          amount < 0 ? _ ("straightedge %s lower at the bridge") : _ ("straightedge %s higher at the bridge"), treble);
    case SL_OP_MAKE_NUT: return nut_amount (operation, style);
    case SL_OP_FIT_STRINGS: return sl_fitted_name (operation);
    default:
      treble = string_amount (instrument, operation, TRUE, style);
      return g_strdup_printf (_ ("string %d %s"), operation->string, treble);
    }
}

char *
sl_operation_summary (const SlAnalysis *analysis, const GArray *plan, SlOperationKind kind, const SlTextStyle *style)
{
  SlOpCount count = sl_count_operations (plan, kind);
  GString *text;

  if (count.n_pending == 0)
    return g_strdup (count.n_done > 0 ? C_ ("operation", "done") : C_ ("operation", "none planned"));
  if (count.n_pending > 2 && sl_operations[kind].per_string)
    return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%d string", "%d strings", (gulong) count.n_pending),
                            count.n_pending);
  text = g_string_new (NULL);
  for (guint i = plan->len; i-- > 0;)
    {
      const SlOperation *operation = operation_at (plan, i);
      g_autofree char *amount = NULL;

      if (operation->kind != kind || operation->done != NULL)
        continue;
      if (operation->string == 0)
        amount = sl_operation_amount (&analysis->instrument, operation, style);
      else
        {
          g_autofree char *change = string_amount (&analysis->instrument, operation, FALSE, style);

          amount = g_strdup_printf (count.n_pending == 1 ? _ ("string %d %s") : "%d %s", operation->string, change);
        }
      g_string_append_printf (text, "%s%s", text->len > 0 ? " · " : "", amount);
    }
  return g_string_free (text, FALSE);
}

/* Whether more than the first pass would come off. */
static gboolean
exceeds_pass (const SlOperation *operation, const SlPass *pass)
{
  return !isnan (pass->pass) && (sl_number_or (operation->amount, 0) > pass->pass + SL_LEAST_STEP_MM / 2 ||
                                 sl_number_or (operation->amount_treble, 0) > pass->pass_treble + SL_LEAST_STEP_MM / 2);
}

char *
sl_tick_text (const GArray *plan, const SlPass *passes, SlOperationKind kind)
{
  g_autoptr (GString) text = g_string_new (NULL), before = g_string_new (NULL);
  gboolean reached = FALSE, exceeds = FALSE;
  guint named = 0;

  for (guint i = 0; i < plan->len; i++)
    {
      const SlOperation *operation = &g_array_index (plan, SlOperation, i);

      if (operation->done != NULL)
        continue;
      reached = reached || operation->kind == kind;
      exceeds = exceeds || (operation->kind == kind && exceeds_pass (operation, &passes[i]));
      if (reached || (named >> operation->kind & 1) != 0)
        continue;
      named |= 1u << operation->kind;
      g_string_append_printf (before, "%s%s", before->len > 0 ? ", " : "", sl_operation_title (operation->kind));
    }
  if (before->len > 0)
    /* Translators: a list of steps of work, as their cards are headed */
    g_string_append_printf (text, _ ("The plan has these before it: %s."), before->str);
  if (exceeds)
    g_string_append_printf (text, "%s%s", text->len > 0 ? " " : "",
                            _ ("All of it is ticked off; the rest was to wait until the first pass is read."));
  return text->len > 0 ? g_strdup (text->str) : NULL;
}

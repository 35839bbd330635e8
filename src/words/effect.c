/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/effect.h"

#include "setup/physics/intonation.h"
#include "setup/physics/pitch.h"
#include "setup/profile/sets.h"
#include "words/proposal.h"
#include "words/said.h"
#include "words/saying.h"

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

/* What one kind of work does to the states before and after it, told at a string. */
typedef struct
{
  Saying say;
  const SlAnalysis *analysis;
  const SlInstrument *in;
  SlOperationKind kind;
  SlState before, after;
  int string;
} Effect;

static double
action_change (const Effect *e, const SlState *before, const SlState *after)
{
  return sl_state_gap (e->in, after, e->string, SL_OCTAVE_FRET) -
         sl_state_gap (e->in, before, e->string, SL_OCTAVE_FRET);
}

static const char *
action_change_text (const Effect *e)
{
  return change (&e->say, action_change (e, &e->before, &e->after));
}

/* How much higher the crest stands after. */
static double
rise (const Effect *e, int string)
{
  return sl_state_crest_height (&e->after, string) - sl_state_crest_height (&e->before, string);
}

static char *
level_text (const Effect *e)
{
  double most = e->before.crown[1], least = most, drop = 0;

  for (int n = 1; n <= e->in->frets; n++)
    {
      most = MAX (most, e->before.crown[n]);
      least = MIN (least, e->before.crown[n]);
      drop = MAX (drop, e->before.crown[n] - e->after.crown[n]);
    }
  if (drop == 0)
    return e->before.crowns_read ? g_strdup_printf (_ ("largest crown error %s"), fine (&e->say, most - least))
                                 : g_strdup (_ ("crowns not read: assumed level"));
  return g_strdup_printf (_ ("up to %s off the crowns, action %s at string %d"), fine (&e->say, drop),
                          action_change_text (e), e->string);
}

static char *
replace_text (const Effect *e)
{
  double least = INFINITY;

  for (int n = 1; n <= e->in->frets; n++)
    least = MIN (least, sl_state_crown_over_board (e->in, &e->after, n));
  return g_strdup_printf (_ ("the lowest crown %s high, action %s at string %d"), fine (&e->say, least),
                          action_change_text (e), e->string);
}

/* A part that follows others, which is taken; NULL: nothing does. */
static const char *
further (const Effect *e, char *part)
{
  return part == NULL ? "" : own (&e->say, g_strconcat ("; ", own (&e->say, part), NULL));
}

static char *
rod_text (const Effect *e)
{
  const double turned = sl_state_mean_relief (&e->after) - sl_state_mean_relief (&e->before);
  const char *neck = further (e, sl_neck_text (&e->in->neck, e->say.style)), *what;

  if (turned == 0)
    {
      SlOperation example = sl_operation_init (SL_OP_TURN_ROD);
      SlState state = e->before;

      example.amount = sl_number (-EXAMPLE_ROD_CHANGE);
      sl_operation_apply (e->in, &example, &state);
      what = said (&e->say, _ ("%s less relief would take %s off the action"), fine (&e->say, EXAMPLE_ROD_CHANGE),
                   fine (&e->say, action_change (e, &state, &e->before)));
      return g_strconcat (what, neck, NULL);
    }
  what = said (&e->say, _ ("relief %s, action %s before the saddle is touched"),
               fine (&e->say, sl_state_mean_relief (&e->after)), action_change_text (e));
  return g_strconcat (what, further (e, sl_rod_turns_text (e->in, turned, e->say.style)), neck, NULL);
}

/* "first gap 0.50 at string 6, 0.40 at string 1": the outer strings and the chosen one. */
static char *
gaps_text (const Effect *e)
{
  const gboolean nut = e->kind == SL_OP_LOWER_SLOT || e->kind == SL_OP_MAKE_NUT;
  const char *first = nut ? _ ("height at fret 1 %s at string %d") : _ ("action %s at string %d");
  int strings[3];
  const int n = sl_told_strings (e->in->n_strings, e->string, strings);
  GString *text = g_string_new (NULL);

  for (int i = 0; i < n; i++)
    {
      const double gap = sl_state_gap (e->in, &e->after, strings[i], nut ? 1 : SL_OCTAVE_FRET);

      g_string_append_printf (text, i == 0 ? first : _ (", %s at string %d"),
                              nut ? fine (&e->say, gap) : bare (&e->say, gap), strings[i]);
    }
  return g_string_free (text, FALSE);
}

static char *
cut_text (const Effect *e)
{
  if (!e->after.exposure_read)
    return gaps_text (e);
  return g_strdup_printf (_ ("%s; exposure %s / %s"), own (&e->say, gaps_text (e)),
                          bare (&e->say, e->after.exposure[e->in->n_strings - 1]),
                          bare (&e->say, e->after.exposure[0]));
}

/* Of the screw that does this operation, NAN where there is none. */
static double
screw_pitch (const SlInstrument *instrument, SlOperationKind kind)
{
  return kind == SL_OP_MOVE_CREST                                 ? instrument->length_screw_pitch
         : kind == SL_OP_SHAPE_CREST || kind == SL_OP_MOVE_SADDLE ? instrument->height_screw_pitch
                                                                  : NAN;
}

/* @text, with the turns of the screw that make @mm after it; takes @text. */
static char *
with_turns (const Effect *e, char *text, double mm)
{
  const double pitch = screw_pitch (e->in, e->kind);

  if (isnan (pitch) || mm == 0)
    return text;
  return g_strdup_printf (_ ("%s; %s turns"), own (&e->say, text), signed_number (&e->say, mm / pitch, TURN_PLACES));
}

static char *
shape_text (const Effect *e)
{
  return with_turns (e,
                     g_strdup_printf (_ ("action %s at string %d, target %s"),
                                      bare (&e->say, sl_state_gap (e->in, &e->after, e->string, SL_OCTAVE_FRET)),
                                      e->string, bare (&e->say, e->in->target_action[e->string - 1])),
                     rise (e, e->string));
}

static double
pitch_at (const Effect *e, const SlState *state)
{
  SlStringState s;

  sl_state_string (e->in, state, e->string, &s);
  return sl_pitch_error (&s, SL_OCTAVE_FRET, NULL);
}

/* How far its break point goes back. */
static double
moved_back (const Effect *e)
{
  return e->after.setback[e->string - 1] - e->before.setback[e->string - 1];
}

/* "string 6 at fret 12: −3.0 → +0.2 cents" */
static char *
cents_text (const Effect *e)
{
  double cents = 0;

  if (sl_tuner_cents (e->analysis->set, e->string, &cents)) /* its word, and what the work up to here changes of it */
    cents -= pitch_at (e, &e->analysis->measured);
  const char *from = signed_number (&e->say, pitch_at (e, &e->before) + cents, CENT_PLACES),
             *to = signed_number (&e->say, pitch_at (e, &e->after) + cents, CENT_PLACES);
  return moved_back (e) == 0 ? g_strdup_printf (_ ("string %d at fret 12: %s cents"), e->string, from)
                             : g_strdup_printf (_ ("string %d at fret 12: %s → %s cents"), e->string, from, to);
}

static char *
move_text (const Effect *e)
{
  if (moved_back (e) == 0 || !isnan (e->in->length_screw_pitch))
    return with_turns (e, cents_text (e), moved_back (e));
  return g_strdup_printf (sl_crests_fit (e->in, e->after.setback, NULL) ? _ ("%s, within the saddle's %s")
                                                                        : _ ("%s, but beyond the saddle's %s"),
                          own (&e->say, cents_text (e)), bare (&e->say, e->in->saddle_thickness));
}

/* Of a bridge that goes up and down at its two ends, and how far its screws are turned there. */
static char *
raise_text (const Effect *e)
{
  const double pitch = e->in->height_screw_pitch;

  if (isnan (pitch) || memcmp (e->before.u, e->after.u, sizeof e->before.u) == 0)
    return gaps_text (e);
  /* Translators: what it does; turns of the two screws or wheels of a bridge, bass and treble side, + up */
  return g_strdup_printf (_ ("%s; turns %s / %s"), own (&e->say, gaps_text (e)),
                          signed_number (&e->say, rise (e, e->in->n_strings) / pitch, TURN_PLACES),
                          signed_number (&e->say, rise (e, 1) / pitch, TURN_PLACES));
}

/* And what gives the neck its angle: of a wedge or shim how much thicker it is at one end than at the other. */
static char *
angle_text (const Effect *e)
{
  static const char *const means[] = {
    [SL_HEEL_NONE] = N_ ("a reset, or a wedge under the board that grows by %s over each 100 mm"),
    [SL_HEEL_SHIM] = N_ ("a shim in the pocket that grows by %s over each 100 mm"),
    [SL_HEEL_TILT_SCREW] = N_ ("by the tilt screw: as a shim that grows by %s over each 100 mm"),
  };
  const double drop = -rise (e, e->string), wedge = sl_heel_wedge (e->in, &e->before, e->string, drop, WEDGE_MM);

  if (drop == 0)
    return gaps_text (e);
  return g_strconcat (own (&e->say, gaps_text (e)),
                      further (e, g_strdup_printf (_ (means[e->in->heel_adjust]), length (&e->say, fabs (wedge)))),
                      NULL);
}

/* Other strings pull otherwise: relief goes with it, and the action with that. */
static char *
fitted_text (const Effect *e)
{
  return g_strdup_printf (_ ("relief %s → %s, %s"), fine (&e->say, sl_state_mean_relief (&e->before)),
                          fine (&e->say, sl_state_mean_relief (&e->after)), own (&e->say, gaps_text (e)));
}

static char *(*const effects[SL_N_OPS]) (const Effect *e) = {
  [SL_OP_LEVEL_FRETS] = level_text,     [SL_OP_TURN_ROD] = rod_text,      [SL_OP_LOWER_SLOT] = gaps_text,
  [SL_OP_CUT_SADDLE_BASE] = cut_text,   [SL_OP_SHAPE_CREST] = shape_text, [SL_OP_MOVE_CREST] = move_text,
  [SL_OP_REPLACE_FRETS] = replace_text, [SL_OP_MOVE_SADDLE] = raise_text, [SL_OP_SHIFT_BRIDGE] = cents_text,
  [SL_OP_SET_NECK_ANGLE] = angle_text,  [SL_OP_MAKE_NUT] = gaps_text,     [SL_OP_MAKE_SADDLE] = cut_text,
  [SL_OP_FIT_STRINGS] = fitted_text,
};

char *
sl_effect_text (const SlAnalysis *analysis, const GArray *plan, SlOperationKind kind, int string,
                const SlTextStyle *style)
{
  g_auto (Saying) say = saying (style, NULL);
  Effect e = { .say = say, .analysis = analysis, .in = &analysis->instrument, .kind = kind };

  e.string = string < 1 || string > e.in->n_strings ? e.in->n_strings : string;
  sl_effect_states (analysis, plan, kind, &e.before, &e.after);
  return effects[kind] == NULL ? g_strdup ("") : effects[kind](&e);
}

/* Up or down, or along the string back or forward, by a length. */
static const char *
toward (const Saying *say, gboolean along, double mm, const char *size)
{
  /* Translators: a break point or a bridge moves away from the nut or toward it by %s */
  const char *back = _ ("back %s"), *forward = _ ("forward %s");

  return said (say, along ? (mm < 0 ? forward : back) : mm < 0 ? _ ("down %s") : _ ("up %s"), size);
}

/* An end of what is set at its two ends, with the turns of what it stands on; of a new saddle how far it stands out of
 * the bridge. NULL where it stays. */
static const char *
end_amount (const Saying *say, const SlInstrument *instrument, SlOperationKind kind, SlNumber end)
{
  const double mm = sl_number_or (end, 0), pitch = instrument != NULL ? screw_pitch (instrument, kind) : NAN;
  const char *size = own (say, sl_text_measure (say->style, fabs (mm), MM_PLACES, TRUE)),
             *text = toward (say, kind == SL_OP_SHIFT_BRIDGE, mm, size);

  if (kind == SL_OP_MAKE_SADDLE)
    return sl_number_is_set (end) ? size : NULL;
  if (mm == 0)
    return NULL;
  return isnan (pitch) ? text : said (say, _ ("%s, %s turns"), text, number (say, fabs (mm) / pitch, TURN_PLACES));
}

static char *
ends_amount (const Saying *say, const SlInstrument *instrument, const SlOperation *operation)
{
  const char *bass = end_amount (say, instrument, operation->kind, operation->amount),
             *treble = end_amount (say, instrument, operation->kind, operation->amount_treble);

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

/* The amount of one string: what lowers has a minus, a break point goes back or forward; with @turns, a saddle on a
 * screw goes up or down by turns. */
static const char *
string_amount (const Saying *say, const SlInstrument *instrument, const SlOperation *operation, gboolean turns)
{
  const double mm = operation->amount.v, pitch = turns ? screw_pitch (instrument, operation->kind) : NAN;
  const gboolean moves = operation->kind == SL_OP_MOVE_CREST;
  const char *by = moves ? toward (say, TRUE, mm, fine (say, fabs (mm))) : change (say, -mm), *turned;

  if (isnan (pitch))
    return by;
  turned = number (say, fabs (mm) / pitch, TURN_PLACES);
  if (moves)
    /* Translators: "back 0.40, 0.57 turns" of a length screw */
    return said (say, _ ("%s, %s turns"), by, turned);
  /* Translators: a saddle on a height screw: "down 0.70 turns (−0.35)" */
  return said (say, mm < 0 ? _ ("up %s turns (%s)") : _ ("down %s turns (%s)"), turned, by);
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
  const int last = operation->n_ends - 1;
  g_auto (Saying) say = saying (style, NULL);

  switch (operation->kind)
    {
    case SL_OP_REPLACE_FRETS:
      if (operation->to == 0)
        return g_strdup (_ ("the zero fret"));
      return operation->from == operation->to ? g_strdup_printf (_ ("fret %d"), operation->from)
                                              : g_strdup_printf (_ ("frets %d to %d"), operation->from, operation->to);
    case SL_OP_BENCH_STEP: return g_strdup (sl_bench_step_title (operation->step));
    case SL_OP_LEVEL_FRETS:
      if (operation->frets == 1)
        return g_strdup (_ ("level the zero fret to its neighbours"));
      if (operation->frets != 0)
        return g_strdup_printf (_ ("level %s to the rest"), own (&say, sl_frets_text (operation->frets, NULL)));
      return amount > 0 ? g_strdup_printf (_ ("level, fall-away %s"), fine (&say, amount))
                        : g_strdup (_ ("level to the lowest"));
    case SL_OP_TURN_ROD:
      return g_strdup_printf (amount < 0 ? _ ("tighten, relief %s") : _ ("loosen, relief %s"), change (&say, amount));
    case SL_OP_CUT_SADDLE_BASE:
      /* Translators: what comes off the saddle's base, bass side / treble side */
      return g_strdup_printf (_ ("%s / %s off"), fine (&say, amount),
                              fine (&say, sl_number_or (operation->amount_treble, 0)));
    case SL_OP_MOVE_SADDLE:
    case SL_OP_SHIFT_BRIDGE:
    case SL_OP_MAKE_SADDLE: return ends_amount (&say, instrument, operation);
    case SL_OP_SET_NECK_ANGLE:
      return g_strdup_printf (amount < 0 ? _ ("straightedge %s lower at the bridge")
                                         : _ ("straightedge %s higher at the bridge"),
                              own (&say, sl_text_measure (style, fabs (amount), MM_PLACES, TRUE)));
    case SL_OP_MAKE_NUT:
      /* Translators: heights of the slots of a new nut, from the bass to the treble string: "heights 0.52 to 0.42 mm"
       */
      return last < 0
                 ? g_strdup ("")
                 : g_strdup_printf (_ ("heights %s to %s"), fine (&say, operation->ends[last].value.v),
                                    own (&say, sl_text_measure (style, operation->ends[0].value.v, MM_PLACES, TRUE)));
    case SL_OP_FIT_STRINGS: return sl_fitted_name (operation);
    default:
      return g_strdup_printf (_ ("string %d %s"), operation->string, string_amount (&say, instrument, operation, TRUE));
    }
}

char *
sl_operation_summary (const SlAnalysis *analysis, const GArray *plan, SlOperationKind kind, const SlTextStyle *style)
{
  SlOpCount count = sl_count_operations (plan, kind);
  g_auto (Saying) say = saying (style, NULL);
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

      if (operation->kind != kind || operation->done != NULL)
        continue;
      g_string_append (text, text->len > 0 ? " · " : "");
      if (operation->string == 0)
        g_string_append (text, own (&say, sl_operation_amount (&analysis->instrument, operation, style)));
      else
        g_string_append_printf (text, count.n_pending == 1 ? _ ("string %d %s") : "%d %s", operation->string,
                                string_amount (&say, &analysis->instrument, operation, FALSE));
    }
  return g_string_free (text, FALSE);
}

const char *
sl_no_pass_text (double pass, double cut)
{
  if (pass >= SL_LEAST_STEP_MM / 2)
    return NULL;
  /* Translators: in place of a length: what a first pass takes off one end of the saddle: "bass nothing yet, treble
   * 0.35 mm" */
  return cut >= SL_LEAST_STEP_MM / 2 ? C_ ("first pass", "nothing yet") : C_ ("first pass", "nothing");
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

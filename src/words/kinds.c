/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words/kinds.h"

#include "setup/profile/construction.h"
#include "words/figures.h"

#define N_WAYS 2 /* with the string open, and held */

/* What the texts are filled with: @row, @usual and @step with string and fret, @full and @hint with fret and string, of
 * which each kind has one, both or none. Where @full is missing @row serves. */
static const struct
{
  const char *title, *run, *again;
  const char *said; /* in a sentence */
  const char *row[N_WAYS];
  const char *usual[N_WAYS]; /* the row of the fret that is usually read at */
  const char *full[N_WAYS];
  const char *step;
  const char *hint[N_WAYS];
} readings[SL_N_ASKS] = {
  [SL_READ_RELIEF] = { N_ ("Relief"), N_ ("Relief"), NC_ ("to be read again", "relief"), .said = N_ ("relief"),
                       .row = { N_ ("Relief, string %d, fret %d") }, .full = { N_ ("Relief at fret %d, string %d") },
                       .step = N_ ("reading: relief, string %d") },
  [SL_READ_TONGUE] = { N_ ("Fingerboard extension"), N_ ("Fingerboard extension"),
                       NC_ ("to be read again", "fingerboard extension"), .said = N_ ("fingerboard extension"),
                       .row = { N_ ("Extension falls away") },
                       .full = { N_ ("Fall-away of the fingerboard extension at the last fret") },
                       .step = N_ ("reading: fingerboard extension"),
                       .hint = { N_ ("Straightedge carried on to the last fret: how far the fingerboard extension "
                                     "falls away. One that rises is negative.") } },
  [SL_READ_FIRST_GAP] = { N_ ("String height at fret 1"), N_ ("String height at fret 1"),
                          NC_ ("to be read again", "string height at fret 1"), .said = N_ ("string height at fret 1"),
                          .row = { N_ ("Fret 1, string %d"), N_ ("Fret 1, string %d, held at 3") },
                          .full = { N_ ("Height at fret 1, string %d"),
                                    N_ ("String height at fret 1 held at fret 3, string %d") },
                          .step = N_ ("reading: height at fret 1, string %d"),
                          .hint = { N_ ("String open, neck as it is played; its underside over fret 1."),
                                    N_ ("String stopped behind fret 3; its underside over fret 1.") } },
  [SL_READ_ACTION] = { N_ ("Action"), N_ ("Action"), NC_ ("to be read again", "action at 12"), .said = N_ ("action"),
                       .row = { N_ ("String %d, fret %d"), N_ ("String %d, fret %d, held at 1") },
                       .usual = { N_ ("String %d"), N_ ("String %d, held at 1") },
                       .full = { N_ ("Action at fret %d, string %d"),
                                 N_ ("Action at fret %d held at fret 1, string %d") },
                       .step = N_ ("reading: action, string %d"),
                       .hint = { N_ ("String open, neck as it is played; its underside over fret %d."),
                                 N_ ("Capo at fret 1; the string's underside over fret %d.") } },
  [SL_READ_EXPOSURE] = { N_ ("Exposure"), N_ ("Exposure"), .said = N_ ("exposure"),
                         .row = { N_ ("Exposure, string %d") }, .step = N_ ("reading: exposure, string %d"),
                         .hint = { N_ ("From the bridge top to the top of the saddle, at string %d.") } },
  [SL_READ_SETBACK] = { N_ ("Compensation"), N_ ("Compensation"), .said = N_ ("compensation"),
                        .row = { N_ ("Compensation, string %d") }, .step = N_ ("reading: compensation, string %d"),
                        .hint = { N_ ("How far the break point lies beyond the scale length, at string %d.") } },
  [SL_READ_CROWN_GAP] = { N_ ("Crown gap"), N_ ("Crowns"), .said = N_ ("crown gap"),
                          .row = { N_ ("Crown gap, fret %d") }, .step = N_ ("reading: crown gap, fret %d"),
                          .hint = { N_ ("Board set flat; the straightedge over fret %d.") } },
  [SL_READ_CROWN_HEIGHT] = { N_ ("Crown height"), .said = N_ ("crown height"), .row = { N_ ("Crown height, fret %d") },
                             .step = N_ ("reading: crown height, fret %d") },
  [SL_READ_CROWN_WEAR] = { N_ ("Crown wear"), N_ ("Crown wear"), .said = N_ ("crown wear"),
                           .row = { N_ ("Wear, string %d, fret %d") },
                           .full = { N_ ("Wear of fret %d under string %d") },
                           .step = N_ ("reading: crown wear, string %d"),
                           .hint = { N_ ("How deep the mark is in fret %d under string %d.") } },
  [SL_READ_PITCH] = { N_ ("Pitch"), N_ ("Pitch"), NC_ ("to be read again", "pitch at 12"), .said = N_ ("pitch"),
                      .row = { N_ ("String %d, fret %d") }, .usual = { N_ ("String %d") },
                      .full = { N_ ("Pitch at fret %d, string %d") }, .step = N_ ("reading: pitch, string %d"),
                      .hint = { N_ ("Tuned open; cents at fret %d.") } },
  [SL_ASK_TEMPERATURE] = { .run = N_ ("Temperature"),
                           .row = { N_ ("Temperature") },
                           .step = N_ ("reading: temperature"),
                           .hint = { N_ ("The air around the instrument.") } },
  [SL_ASK_HUMIDITY] = { .run = N_ ("Relative humidity"),
                        .row = { N_ ("Relative humidity") },
                        .step = N_ ("reading: humidity"),
                        .hint = { N_ ("The air around the instrument.") } },
};

/* Of a text for a string of a fret; of a kind that has no string, for a fret. */
static char *
by_string (const char *text, const SlQuestion *q)
{
  return sl_readings[q->ask].has_string ? g_strdup_printf (_ (text), q->string, q->fret)
                                        : g_strdup_printf (_ (text), q->fret);
}

/* Of a text for a fret of a string; of a kind that has no fret, for a string. */
static char *
by_fret (const char *text, const SlQuestion *q)
{
  return sl_readings[q->ask].has_fret ? g_strdup_printf (_ (text), q->fret, q->string)
                                      : g_strdup_printf (_ (text), q->string);
}

static int
way_of (const SlQuestion *q)
{
  return q->held == SL_HELD_1 || q->held == SL_HELD_3;
}

static char *
row_name (const SlQuestion *q, int n_strings)
{
  const char *usual = q->fret == SL_OCTAVE_FRET ? readings[q->ask].usual[way_of (q)] : NULL;

  if (q->ask == SL_READ_RELIEF && n_strings == 1)
    return g_strdup_printf (_ ("Relief, fret %d"), q->fret);
  if (q->ask == SL_READ_RELIEF && (q->string == n_strings || q->string == 1))
    return g_strdup_printf (q->string == 1 ? _ ("Relief, treble, fret %d") : _ ("Relief, bass, fret %d"), q->fret);
  if (q->ask == SL_READ_PITCH && q->fret == 0)
    return g_strdup_printf (_ ("String %d, open"), q->string);
  return by_string (usual != NULL ? usual : readings[q->ask].row[way_of (q)], q);
}

static char *
full_name (const SlQuestion *q)
{
  const char *text = readings[q->ask].full[way_of (q)];

  if (q->ask == SL_READ_PITCH && q->fret == 0)
    return g_strdup_printf (_ ("Pitch of the open string %d"), q->string);
  return text == NULL ? row_name (q, 0) : by_fret (text, q);
}

static char *
with_nth (char *name, int nth)
{
  g_autofree char *first = name;

  /* Translators: a reading taken again of the same thing, such as "Height at fret 1, string 6, reading 2" */
  return nth == 0 ? g_steal_pointer (&first) : g_strdup_printf (_ ("%s, reading %d"), first, nth + 1);
}

char *
sl_question_row_name (const SlQuestion *question, int n_strings)
{
  return with_nth (row_name (question, n_strings), question->nth);
}

char *
sl_question_full_name (const SlQuestion *question)
{
  return with_nth (full_name (question), question->nth);
}

char *
sl_question_step_name (const SlQuestion *question)
{
  return by_string (readings[question->ask].step, question);
}

static char *
hint (const SlQuestion *question, const SlProfile *profile)
{
  const char *text = readings[question->ask].hint[way_of (question)];

  if (question->ask == SL_READ_RELIEF)
    return g_strdup_printf (
        _ ("Strings in tune. Straightedge on frets 1 and %d beneath string %d; the gap over fret %d."),
        profile->neck.joint_fret, question->string, question->fret);
  if (question->ask == SL_READ_FIRST_GAP && question->held != SL_HELD_3 && profile->nut.kind == SL_NUT_ZERO_FRET)
    text = N_ ("String open on the zero fret, neck as it is played; its underside over fret 1.");
  if (question->ask == SL_READ_EXPOSURE && sl_saddles[sl_saddle_adjust (profile)].goes_up)
    text = N_ ("From what the saddle would stand on, turned all the way down, to its top, at string %d.");
  return text != NULL ? by_fret (text, question) : g_strdup ("");
}

char *
sl_reading_hint (const SlQuestion *question, const SlProfile *profile)
{
  g_autofree char *course = sl_text_course (profile, question->string), *plain = hint (question, profile);

  /* Translators: after what to do, which course's string it is */
  return course != NULL ? g_strdup_printf (_ ("%s String %d: %s."), plain, question->string, course)
                        : g_steal_pointer (&plain);
}

const char *
sl_question_group_title (SlQuestionGroup group, const SlProfile *profile)
{
  static const char *const titles[] = { N_ ("Neck"),   N_ ("Nut"), N_ ("Action at 12"),
                                        N_ ("Saddle"), N_ ("Air"), N_ ("Pitch at 12") };

  return group == SL_GROUP_NUT && profile->nut.kind == SL_NUT_ZERO_FRET ? _ ("Zero fret") : _ (titles[group]);
}

const char *
sl_reading_title (SlReadingKind kind)
{
  return _ (readings[kind].title);
}

const char *
sl_reading_said (SlReadingKind kind)
{
  return _ (readings[kind].said);
}

/* In a list of what is to be read again. */
static const char *
reading_again (SlReadingKind kind)
{
  const char *again = readings[kind].again;

  return again != NULL ? g_dpgettext2 (GETTEXT_PACKAGE, "to be read again", again) : sl_reading_said (kind);
}

char *
sl_questions_text (const GArray *questions, gboolean air)
{
  /* Translators: first in a list of what is to be read again */
  g_autoptr (GString) text = g_string_new (air ? _ ("temperature and humidity") : NULL);
  guint said = 0;

  for (guint i = 0; i < questions->len; i++)
    {
      const SlReadingKind kind = g_array_index (questions, SlReading, i).kind;
      g_autoptr (GString) strings = g_string_new (NULL);
      int n = 0;

      if ((said >> kind & 1) != 0)
        continue;
      said |= 1u << kind;
      for (guint k = i; k < questions->len; k++)
        {
          const SlReading *question = &g_array_index (questions, SlReading, k);

          if (question->kind == kind && question->string > 0)
            g_string_append_printf (strings, "%s%d", n++ > 0 ? ", " : "", question->string);
        }
      g_string_append_printf (text, "%s%s", text->len > 0 ? ", " : "", reading_again (kind));
      if (n > 0) /* Translators: which strings are meant, such as "(strings 6, 1)" */
        g_string_append_printf (text, g_dngettext (GETTEXT_PACKAGE, " (string %s)", " (strings %s)", (gulong) n),
                                strings->str);
    }
  return g_strdup (text->str);
}

const char *
sl_run_ask_title (int ask)
{
  return _ (readings[ask].run);
}

static const struct
{
  const char *title, *undo;
} operations[SL_N_OPS] = {
  [SL_OP_LEVEL_FRETS] = { N_ ("Level frets"), NC_ ("undo step", "level frets") },
  [SL_OP_TURN_ROD] = { N_ ("Truss rod"), NC_ ("undo step", "tighten or loosen the rod") },
  [SL_OP_LOWER_SLOT] = { N_ ("Lower slots"), NC_ ("undo step", "lower slot") },
  [SL_OP_CUT_SADDLE_BASE] = { N_ ("Saddle underside"), NC_ ("undo step", "take off the saddle’s underside") },
  [SL_OP_SHAPE_CREST] = { N_ ("Saddle top"), NC_ ("undo step", "change the saddle top") },
  [SL_OP_MOVE_CREST] = { N_ ("Break point"), NC_ ("undo step", "move the break point") },
  [SL_OP_REPLACE_FRETS] = { N_ ("Replace frets"), NC_ ("undo step", "replace frets") },
  [SL_OP_BENCH_STEP] = { N_ ("Bench work"), NC_ ("undo step", "bench work") },
  [SL_OP_MOVE_SADDLE] = { N_ ("Bridge height"), NC_ ("undo step", "set the bridge height") },
  [SL_OP_SHIFT_BRIDGE] = { N_ ("Bridge position"), NC_ ("undo step", "shift the bridge") },
  [SL_OP_SET_NECK_ANGLE] = { N_ ("Neck angle"), NC_ ("undo step", "set the neck angle") },
  [SL_OP_MAKE_NUT] = { N_ ("New nut"), NC_ ("undo step", "make a nut") },
  [SL_OP_MAKE_SADDLE] = { N_ ("New saddle"), NC_ ("undo step", "make a saddle") },
  [SL_OP_FIT_STRINGS] = { N_ ("Other strings"), NC_ ("undo step", "fit other strings") },
};

const char *
sl_operation_title (SlOperationKind kind)
{
  return _ (operations[kind].title);
}

const char *
sl_operation_undo_name (SlOperationKind kind)
{
  return g_dpgettext2 (GETTEXT_PACKAGE, "undo step", operations[kind].undo);
}

char *
sl_frets_text (guint64 frets, gulong *n)
{
  GString *text = g_string_new (NULL);
  gulong count = 0;

  for (int fret = 0; frets >> fret != 0; fret++)
    if (frets >> fret & 1)
      {
        /* Translators: the last of several fret numbers, such as "7, 8 and 9" */
        g_string_append_printf (text, text->len == 0 ? "%d" : frets >> fret == 1 ? _ (" and %d") : ", %d", fret);
        count++;
      }
  if (n != NULL)
    *n = count;
  return g_string_free (text, FALSE);
}

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
#include "reading-words-rows.h"
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
#include "operation-words-rows.h"
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

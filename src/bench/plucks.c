/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/plucks.h"

#define RETUNED_CENTS 2.0   /* an open string so far from where it was is no repeat: it was tuned (own choice) */
#define KEPT_PER_CENT 100.0 /* as what is typed; what the rounding takes is in U */

typedef struct
{
  SlQuestion question;
  SlNote note;
  double cents;                /* over 1 Hz, or of a fret against its open string */
  SlNumber value, uncertainty; /* as the reading was put with it; absent: none was */
  int before;                  /* the place of the pluck it is averaged with, and so on; −1: none */
} Pluck;

GArray *
sl_plucks_new (void)
{
  return g_array_new (FALSE, FALSE, sizeof (Pluck));
}

static Pluck *
pluck_at (const GArray *plucks, int place)
{
  return &g_array_index (plucks, Pluck, (guint) place);
}

/* The last pluck whose reading still stands in the set; −1: none. */
static int
standing (const GArray *plucks, SlBench *bench, const SlQuestion *question)
{
  const SlReadingSet *set = sl_bench_get_set (bench);
  const int at = sl_question_find (set, question);
  const SlReading *kept = at < 0 ? NULL : &g_array_index (set->readings, SlReading, (guint) at);

  for (int place = (int) plucks->len - 1; kept != NULL && place >= 0; place--)
    if (sl_question_equal (&pluck_at (plucks, place)->question, question) &&
        pluck_at (plucks, place)->value.v == kept->value.v &&
        pluck_at (plucks, place)->uncertainty.v == kept->uncertainty.v)
      return place;
  return -1;
}

/* Mean of a pluck and those before it, and its standard uncertainty: that of each, and their spread (GUM 4.2.3). How
 * many they are. */
static int
mean_of (const GArray *plucks, int last, double *cents, double *u)
{
  const double near = pluck_at (plucks, last)->cents;
  double sum = 0, squares = 0, own = 0;
  int n = 0;

  for (int place = last; place >= 0; place = pluck_at (plucks, place)->before, n++)
    {
      const double off = pluck_at (plucks, place)->cents - near, own_u = pluck_at (plucks, place)->note.cents_u;

      sum += off;
      squares += off * off;
      own += own_u * own_u;
    }
  *cents = near + sum / n;
  *u = sqrt ((own / n + MAX (0, squares - sum * sum / n) / MAX (1, n - 1)) / n);
  return n;
}

/* The open string as it was heard for this set, cents over 1 Hz; else, and then FALSE, as it should be. */
static gboolean
find_open (const GArray *plucks, SlBench *bench, int string, double *cents, double *u)
{
  const SlQuestion question = sl_pitch_question (string, 0);
  const int open = standing (plucks, bench, &question);

  if (open >= 0)
    mean_of (plucks, open, cents, u);
  else
    *cents = sl_cents (sl_listen_open_frequency (sl_bench_get_profile (bench), string), 1);
  return open >= 0;
}

double
sl_plucks_expected (const GArray *plucks, SlBench *bench, const SlQuestion *question)
{
  double cents, u;

  if (question->fret == 0)
    return sl_listen_open_frequency (sl_bench_get_profile (bench), question->string);
  find_open (plucks, bench, question->string, &cents, &u);
  return sl_raised (1, cents + SL_FRET_CENTS * question->fret);
}

gboolean
sl_plucks_mean (const GArray *plucks, SlBench *bench, const SlQuestion *question, double *cents, double *uncertainty,
                int *n)
{
  const int last = standing (plucks, bench, question);

  if (last < 0)
    return FALSE;
  *n = mean_of (plucks, last, cents, uncertainty);
  *cents = pluck_at (plucks, last)->value.v;
  *uncertainty = pluck_at (plucks, last)->uncertainty.v;
  return TRUE;
}

const SlNote *
sl_plucks_heard (const GArray *plucks, int string, int fret)
{
  for (int place = (int) plucks->len - 1; place >= 0; place--)
    if (pluck_at (plucks, place)->question.string == string && pluck_at (plucks, place)->question.fret == fret)
      return &pluck_at (plucks, place)->note;
  return NULL;
}

/* U to two significant digits, upwards, within what a document takes. */
static double
rounded_up (double uncertainty)
{
  const SlBound *bound = sl_bound_find ("pitch", "uncertainty");
  const double scale = pow (10, 1 - floor (log10 (fmax (uncertainty, bound->least))));

  return CLAMP (ceil (uncertainty * scale) / scale, bound->least, bound->most);
}

/* Puts the mean of @pluck and those it is averaged with; a sentence where the set can't hold it. */
static char *
put_mean (GArray *plucks, SlBench *bench, Pluck pluck)
{
  const SlQuestion *question = &pluck.question;
  double mean, u, against, against_u = 0;
  char *complaint;

  if (!sl_question_is_asked (sl_bench_get_set (bench), question))
    return g_strdup (_ ("These readings are taken with the strings slack or off: begin a set with them at pitch."));
  if (!find_open (plucks, bench, question->string, &against, &against_u) && question->fret > 0)
    return g_strdup_printf (_ ("Pluck string %d open first: its frets are held against it."), question->string);
  if (question->fret > 0)
    pluck.cents -= against + SL_FRET_CENTS * question->fret;
  pluck.before = standing (plucks, bench, question);
  if (pluck.before >= 0 && question->fret == 0 && fabs (pluck.cents - against) > RETUNED_CENTS)
    pluck.before = -1;
  g_array_append_val (plucks, pluck);
  mean_of (plucks, (int) plucks->len - 1, &mean, &u);
  if (question->fret == 0)
    {
      mean -= sl_cents (sl_listen_open_frequency (sl_bench_get_profile (bench), question->string), 1);
      against_u = 0;
    }
  complaint = sl_bound_complaint (&sl_readings[SL_READ_PITCH].bound, mean);
  if (complaint == NULL)
    {
      const SlNumber value = sl_number (round (mean * KEPT_PER_CENT) / KEPT_PER_CENT + 0.0),
                     uncertainty = sl_number (
                         rounded_up (SL_COVERAGE * hypot (hypot (u, against_u), 1 / KEPT_PER_CENT / sqrt (12))));

      pluck_at (plucks, (int) plucks->len - 1)->value = value;
      pluck_at (plucks, (int) plucks->len - 1)->uncertainty = uncertainty;
      sl_question_put_heard (bench, question, value.v, uncertainty.v);
    }
  return complaint;
}

char *
sl_plucks_put (GArray *plucks, SlBench *bench, const SlQuestion *question, const SlNote *note)
{
  g_autofree char *step = sl_question_step_name (question);
  const Pluck pluck = { *question, *note, sl_cents (note->frequency, 1), SL_NUMBER_ABSENT, SL_NUMBER_ABSENT, -1 };
  char *fault;

  sl_bench_begin_gesture (bench, step);
  /* after work the readings go into a set of their own */
  g_autoptr (GArray) asked = sl_questions_after_work (bench);

  if (asked != NULL && asked->len > 0 && sl_bench_get_set (bench) == sl_visit_last_set (sl_bench_get_visit (bench)))
    sl_bench_read_again (bench, FALSE);
  fault = put_mean (plucks, bench, pluck);
  sl_bench_end_gesture (bench);
  return fault;
}

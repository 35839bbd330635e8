/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/sets.h"

#include "setup/profile/bounds.h"
#include "setup/profile/moment.h"
#include "setup/profile/units.h"

#define SAME_MASS 1e-6 /* of a mass: the same string */

static const SlTuning tunings[] = {
#include "tunings.h"
};

static SlStringSet sets[] = {
#include "string-sets.h"
};

/* Makes the strings of a built-in set, tuned, with the stiffness that nylon has so. */
static void
build (SlStringSet *set)
{
  SlInstrument on = { .n_strings = 0 };
  const SlTuning *tuning = tunings;

  while (!g_str_equal (tuning->id, set->tuning))
    tuning++;
  sl_gauges_read (set->gauges, NULL, set);
  for (on.n_strings = 0; on.n_strings < tuning->n_strings; on.n_strings++)
    {
      set->strings[on.n_strings].note = (char *) tuning->notes[on.n_strings];
      on.strings[on.n_strings].frequency_hz = sl_note_frequency (tuning->notes[on.n_strings]);
      on.scale[on.n_strings] = set->scale_mm;
    }
  sl_gauges_suit (set, &on);
}

const SlStringSet *
sl_string_sets (int *n)
{
  static gsize built;

  if (g_once_init_enter (&built))
    {
      for (gsize i = 0; i < G_N_ELEMENTS (sets); i++)
        build (&sets[i]);
      g_once_init_leave (&built, 1);
    }
  *n = G_N_ELEMENTS (sets);
  return sets;
}

const SlStringSet *
sl_string_set_find (const char *id)
{
  int n;

  sl_string_sets (&n);
  for (int i = 0; i < n; i++)
    if (g_strcmp0 (sets[i].id, id) == 0)
      return &sets[i];
  return NULL;
}

gboolean
sl_string_set_parse (const char *text, const SlInstrument *on, SlStringSet *set, GError **error)
{
  const SlStringSet *built_in = sl_string_set_find (text);
  g_autofree char *why = NULL;

  *set = built_in != NULL ? *built_in : (SlStringSet){ 0 };
  if (built_in == NULL)
    why = sl_gauges_read (text != NULL ? text : "", on, set);
  if (why == NULL && on != NULL)
    why = sl_gauges_suit (set, on);
  if (why != NULL)
    g_set_error_literal (error, SL_UNITS_ERROR, 0, why);
  return why == NULL;
}

char *
sl_string_set_name (const SlStringSet *set)
{
  SlStringData strings[SL_MAX_STRINGS];

  for (int i = 0; i < set->n_strings; i++)
    sl_string_data (&set->strings[i], &strings[i]);
  return set->name != NULL ? g_strdup (_ (set->name)) : sl_gauges_text (strings, set->n_strings);
}

const SlTuning *
sl_tunings (int *n)
{
  *n = G_N_ELEMENTS (tunings);
  return tunings;
}

/* How far the set's string @string is from sounding @frequency_hz, as the size of a logarithm; 0 where either is not
 * known. */
static double
apart (const SlString *string, double frequency_hz)
{
  double own = sl_number_is_set (string->frequency) ? string->frequency.v : sl_note_frequency (string->note);

  return own > 0 && frequency_hz > 0 ? fabs (log (own / frequency_hz)) : 0;
}

void
sl_match_courses (const SlString *strings, int n_strings, const double *frequencies_hz, int n_places,
                  int order[SL_MAX_STRINGS])
{
  for (int i = 0; i < SL_MAX_STRINGS; i++)
    order[i] = i;
  if (n_strings != SL_MAX_STRINGS || n_places != SL_MAX_STRINGS)
    return;
  for (int i = 0; i < SL_MAX_STRINGS; i += 2)
    if (apart (&strings[i + 1], frequencies_hz[i]) + apart (&strings[i], frequencies_hz[i + 1]) <
        apart (&strings[i], frequencies_hz[i]) + apart (&strings[i + 1], frequencies_hz[i + 1]))
      {
        order[i] = i + 1;
        order[i + 1] = i;
      }
}

void
sl_profile_fit_strings (SlProfile *profile, const SlStringSet *set, gboolean keep_notes)
{
  double tuned[SL_MAX_STRINGS];
  int order[SL_MAX_STRINGS];

  for (int s = 0; s < SL_MAX_STRINGS; s++)
    {
      const SlString *now = &profile->strings[s];

      tuned[s] = !keep_notes || s >= profile->n_strings ? NAN
                 : sl_number_is_set (now->frequency)    ? now->frequency.v
                                                        : sl_note_frequency (now->note);
    }
  sl_match_courses (set->strings, set->n_strings, tuned, profile->n_strings, order);
  for (int s = 0; s < MIN (profile->n_strings, set->n_strings); s++)
    {
      const SlString *from = &set->strings[order[s]];
      SlString *to = &profile->strings[s];
      char *note = to->note;
      SlNumber frequency = to->frequency;

      *to = *from;
      if (keep_notes && (note != NULL || sl_number_is_set (frequency)))
        {
          to->note = note;
          to->frequency = frequency;
          continue;
        }
      to->note = g_strdup (from->note);
      g_free (note);
    }
}

static gboolean
same_string (const SlStringData *present, const SlString *string)
{
  SlStringData data;

  sl_string_data (string, &data);
  return fabs (data.unit_mass_kg_m - present->unit_mass_kg_m) <= SAME_MASS * data.unit_mass_kg_m &&
         fabs (data.ea_n - present->ea_n) <= SAME_MASS * data.ea_n;
}

gboolean
sl_string_set_is_on (const SlStringSet *set, const SlInstrument *instrument)
{
  const int course = set->n_strings == SL_MAX_STRINGS ? 1 : 0;

  if (set->n_strings != instrument->n_strings)
    return FALSE;
  for (int i = 0; i < set->n_strings; i++)
    if (!same_string (&instrument->strings[i], &set->strings[i]) &&
        !same_string (&instrument->strings[i], &set->strings[i ^ course]))
      return FALSE;
  return TRUE;
}

void
sl_profile_tune (SlProfile *profile, const SlTuning *tuning)
{
  for (int s = 0; s < MIN (profile->n_strings, tuning->n_strings); s++)
    {
      g_free (profile->strings[s].note);
      profile->strings[s].note = g_strdup (tuning->notes[s]);
      profile->strings[s].frequency = SL_NUMBER_ABSENT;
    }
}

double
sl_slot_width (const SlInstrument *instrument, int string)
{
  return instrument->strings[string - 1].outside_mm + instrument->slot_allowance;
}

/* ---- strings that were fitted ---- */

int
sl_instrument_restring (SlInstrument *instrument, const SlString *strings, int n_strings)
{
  const int n = MIN (n_strings, instrument->n_strings);
  double tuned[SL_MAX_STRINGS];
  int order[SL_MAX_STRINGS];

  for (int i = 0; i < instrument->n_strings; i++)
    tuned[i] = instrument->strings[i].frequency_hz;
  sl_match_courses (strings, n_strings, tuned, instrument->n_strings, order);
  for (int i = 0; i < n; i++)
    {
      sl_string_data (&strings[order[i]], &instrument->strings[i]);
      instrument->strings[i].frequency_hz = tuned[i];
    }
  return n;
}

gboolean
sl_instrument_fit (SlInstrument *instrument, const SlOperation *operation)
{
  SlStringSet set;

  if (operation->kind != SL_OP_FIT_STRINGS || !sl_string_set_parse (operation->set, instrument, &set, NULL))
    return FALSE;
  return sl_instrument_restring (instrument, set.strings, set.n_strings) > 0;
}

static gboolean
no_later (const char *a, const char *b)
{
  int order;

  return sl_moment_compare (a, b, &order) && order <= 0;
}

void
sl_instrument_strings_at (SlInstrument *instrument, const SlProfile *profile, const SlVisit *visit, const char *moment,
                          const SlOperation *but)
{
  const char *by = moment != NULL || visit == NULL ? moment : visit->opened;
  const SlOperation *last = NULL;
  gboolean any = FALSE;

  SL_EACH (const SlVisit, other, profile != NULL ? profile->visits : NULL)
    SL_EACH (const SlOperation, op, profile->kind == SL_KIND_INSTRUMENT || other == visit ? other->plan : NULL)
      {
        if (op->kind != SL_OP_FIT_STRINGS || op->done == NULL)
          continue;
        any = TRUE;
        if (op != but && (by == NULL || no_later (op->done, by)) && (last == NULL || no_later (last->done, op->done)))
          last = op;
      }
  if (!any)
    return;
  for (int s = 0; s < profile->n_strings; s++)
    sl_string_data (&profile->strings[s], &instrument->strings[s]);
  if (last != NULL && !(no_later (last->done, profile->fitted) && (by == NULL || no_later (profile->fitted, by))))
    sl_instrument_fit (instrument, last);
}

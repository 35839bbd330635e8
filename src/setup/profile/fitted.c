/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/fitted.h"

#include "setup/profile/moment.h"

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

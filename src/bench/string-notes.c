/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "bench/string-notes.h"

#include "bench/settings.h"
#include "setup/profile/instrument.h"

#define CENTS_PER_OCTAVE 1200
#define A4_HZ 440.0 /* ISO 16, which sl_note_frequency() goes by */
#define A4_OVER_C4 9
#define NOTES_PER_OCTAVE 12

double
sl_cents (double frequency, double over)
{
  return CENTS_PER_OCTAVE * log2 (frequency / over);
}

double
sl_raised (double frequency, double cents)
{
  return frequency * exp2 (cents / CENTS_PER_OCTAVE);
}

double
sl_listen_open_frequency (const SlProfile *profile, int string)
{
  const SlString *of = &profile->strings[string - 1];
  const double equal = sl_note_frequency (of->note);

  if (sl_number_is_set (of->frequency) || isnan (equal))
    return of->frequency.v;
  const int over_a4 = (int) lround (sl_cents (equal, A4_HZ) / SL_FRET_CENTS);
  const int note = ((over_a4 + A4_OVER_C4) % NOTES_PER_OCTAVE + NOTES_PER_OCTAVE) % NOTES_PER_OCTAVE;

  /* cents of each note, from C on, against equal temperament */
  g_autoptr (GVariant) kept = sl_settings_get_value (SL_SETTING_TEMPERAMENT, "ad");
  gsize n = 0;
  const double *cents = kept == NULL ? NULL : g_variant_get_fixed_array (kept, &n, sizeof (double));

  return sl_raised (equal * sl_settings_get_double (SL_SETTING_REFERENCE_PITCH, A4_HZ) / A4_HZ,
                    n == NOTES_PER_OCTAVE && isfinite (cents[note]) ? cents[note] : 0);
}

/* How likely a string and fret is after another: less is likelier. */
static int
rank (int string, int fret, int last_string, int last_fret)
{
  const gboolean same = string == last_string;

  if (same && (fret == last_fret || fret == last_fret + 1))
    return fret - last_fret;
  if (same && fret == SL_OCTAVE_FRET)
    return 2;
  if (fret == 0)
    return 3;
  return same ? 4 : fret == SL_OCTAVE_FRET ? 5 : 5 + fret;
}

void
sl_sounds_like (const SlProfile *profile, double frequency, gboolean open, int *string, int *fret)
{
  const int last_string = *string, last_fret = *fret;
  double least = G_MAXDOUBLE;

  *string = 0;
  for (int s = 1; s <= profile->n_strings; s++)
    {
      const double cents = sl_cents (frequency, sl_listen_open_frequency (profile, s)); /* NAN: of no note */

      for (int f = 0; f <= (open ? 0 : profile->neck.frets); f++)
        {
          const double off = fabs (cents - SL_FRET_CENTS * f);
          /* whole ranks first, then how far, which here is less than one */
          const double score = open ? off : rank (s, f, last_string, last_fret) + off / SL_FRET_CENTS;

          if (score < least && (open || off <= SL_FRET_CENTS / 2))
            {
              least = score;
              *string = s;
              *fret = f;
            }
        }
    }
}

void
sl_expect_notes (SlListener *listener, const SlProfile *profile, double wanted, gboolean open)
{
  double notes[1 + SL_MAX_STRINGS * (SL_MAX_FRETS + 1)] = { wanted };
  guint n = isnan (wanted) ? 0 : 1;

  for (int string = 1; string <= profile->n_strings; string++)
    for (int fret = 0; fret <= (open ? 0 : profile->neck.frets); fret++)
      {
        const double note = sl_raised (sl_listen_open_frequency (profile, string), SL_FRET_CENTS * fret);
        gboolean new = !isnan (note) && !(fabs (sl_cents (note, wanted)) <= 2 * SL_FAR_CENTS);

        for (guint i = 0; i < n && new; i++)
          new = fabs (sl_cents (note, notes[i])) > SL_FRET_CENTS / 2;
        if (new)
          notes[n++] = note;
      }
  sl_listener_expect_any (listener, notes, n);
}

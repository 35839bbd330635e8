/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The report on a recording: its notes in a table, what each was taken for and how far it is to be trusted; and what
 * they say of the strings. */

#include "calc.h"
#include "sound/note.h"
#include "words/one-line.h"
#include "words/said.h"

#define TIME_COLUMN 9 /* characters */
#define PLACE_COLUMN 8
#define FIGURE_COLUMN 18
#define COUNT_COLUMN 10
#define TIME_PLACES 2
#define HZ_PLACES 3
#define CENTS_PLACES 2
#define MOST_CENTS 100 /* of a reading (setup/profile/bounds) */
#define STYLE ((SlTextStyle){ SL_LENGTHS_MM, sl_decimal_sign () })

static const char *const words[SL_N_HEARD_WORDS] = {
  [SL_HEARD_SETTLED] = NC_ ("heard", "settled"),
  [SL_HEARD_GLIDING] = NC_ ("heard", "still falling as it ended: pluck softer, or let it ring"),
  [SL_HEARD_SOFT] = NC_ ("heard", "too soft to tell"),
  [SL_HEARD_CLIPPED] = NC_ ("heard", "clipped: record it with less level"),
  [SL_HEARD_TWO_NOTES] = NC_ ("heard", "two notes at once: damp the other strings"),
};

/* What a note was taken for. */
static const SlAsked *
taken_for (const GArray *asked, const SlNote *note)
{
  const SlAsked *nearest = &g_array_index (asked, SlAsked, 0);
  SL_EACH (const SlAsked, one, asked)
    if (fabs (one->frequency - note->expected) < fabs (nearest->frequency - note->expected))
      nearest = one;
  return nearest;
}

static void
append_heads (GString *out, gboolean strings)
{
  const char *const heads[] = { C_ ("column of notes", "at, s"),     C_ ("column of notes", "string"),
                                C_ ("column of notes", "fret"),      C_ ("column of notes", "expected, Hz"),
                                C_ ("column of notes", "heard, Hz"), C_ ("column of notes", "cents"),
                                C_ ("column of notes", "partials") };
  static const int widths[] = { TIME_COLUMN,   PLACE_COLUMN,  PLACE_COLUMN, FIGURE_COLUMN,
                                FIGURE_COLUMN, FIGURE_COLUMN, COUNT_COLUMN };
  for (gsize i = 0; i < G_N_ELEMENTS (heads); i++)
    if (strings || widths[i] != PLACE_COLUMN)
      sl_append_padded (out, heads[i], -widths[i]);
  g_string_append_c (out, '\n');
}

/* "82.411 ± 0.003"; an uncertainty below the last digit is one of it. */
static char *
figure_text (double value, double u, int places, gboolean sign)
{
  const double shown_u = isnan (u) ? NAN : MAX (u, pow (10, -places) / SL_COVERAGE);
  g_autofree char *figure = sl_text_plain (&STYLE, value, places, sign),
                  *spread = sl_text_plain_spread (&STYLE, shown_u, places);
  return g_strconcat (figure, spread, NULL);
}

static void
append_figure (GString *out, double value, double u, int places, gboolean sign)
{
  g_autofree char *text = figure_text (value, u, places, sign);
  sl_append_padded (out, text, -FIGURE_COLUMN);
}

/* "; left out: 3, 5" */
static void
append_left_out (GString *out, const SlNote *note)
{
  const char *separator = C_ ("heard", "; partials that disagree, left out: ");
  for (int i = 0; i < SL_MAX_PARTIALS; i++)
    if (note->partials[i].disagrees)
      {
        g_string_append_printf (out, "%s%d", separator, note->partials[i].k);
        separator = ", ";
      }
}

static void
append_note (GString *out, const SlNote *note, const GArray *asked)
{
  const SlAsked *place = taken_for (asked, note);
  sl_append_value (out, note->onset, TIME_PLACES, -TIME_COLUMN);
  if (place->string > 0)
    {
      g_autofree char *strings = g_strdup_printf (place->twin > 0 ? "%d, %d" : "%d", place->string, place->twin);
      sl_append_padded (out, strings, -PLACE_COLUMN);
      if (place->fret == 0)
        sl_append_padded (out, C_ ("column of notes", "open"), -PLACE_COLUMN);
      else
        sl_append_value (out, place->fret, 0, -PLACE_COLUMN);
    }
  append_figure (out, place->frequency, NAN, HZ_PLACES, FALSE);
  append_figure (out, note->frequency, note->u, HZ_PLACES, FALSE);
  append_figure (out, note->cents, note->cents_u, CENTS_PLACES, TRUE);
  sl_append_value (out, note->n_partials, 0, -COUNT_COLUMN);
  g_string_append_printf (out, "  %s", g_dpgettext2 (GETTEXT_PACKAGE, "heard", words[note->word]));
  append_left_out (out, note);
  g_string_append_c (out, '\n');
}

/* ---- what a string's notes say of it ---- */

static void
add_reading (GArray *readings, int string, int fret, double cents, double u)
{
  SlReading reading = sl_reading_init (SL_READ_PITCH);
  reading.string = string;
  reading.fret = fret;
  reading.value = sl_number (cents);
  reading.uncertainty = sl_number (SL_COVERAGE * u);
  g_array_append_val (readings, reading);
}

/* The frets of @heard against the open string, as a tuner's readings; appends them as text. */
static void
append_frets (GString *out, const SlReadingSet *heard, int string, int frets, GArray *against)
{
  double open, cents;
  if (sl_reading_set_mean (heard, SL_READ_PITCH, string, 0, &open) == 0)
    return;
  const double open_u = sl_reading_mean_u (heard, SL_READ_PITCH, string, 0);
  for (int n = 1; n <= frets; n++)
    if (sl_reading_set_mean (heard, SL_READ_PITCH, string, n, &cents) > 0)
      {
        const double u = hypot (open_u, sl_reading_mean_u (heard, SL_READ_PITCH, string, n));
        add_reading (against, string, n, cents - open, u);
        g_autofree char *figure = figure_text (cents - open, u, CENTS_PLACES, TRUE);
        g_string_append_printf (out, _ ("  Fret %d sounds %s cents over the open string.\n"), n, figure);
      }
}

/* Takes @sentence. */
static void
append_sentence (GString *out, char *sentence)
{
  g_autofree char *own = sentence;
  g_string_append_printf (out, "  %s\n", own);
}

/* Whether @note says something of its string: a place told amiss sounds semitones off, and no document takes that. */
static gboolean
is_used (const SlNote *note)
{
  return note->word == SL_HEARD_SETTLED && fabs (note->cents) <= MOST_CENTS;
}

/* Gathers a string's settled notes: @readings are cents over what is expected, of the open string at fret 0; @t60 gets
 * each fret's longest decay. Returns the open one whose B is known best; NULL: none. */
static const SlNote *
gather (GArray *readings, double *t60, const GArray *asked, const GArray *notes, int string)
{
  const SlNote *open = NULL;
  SL_EACH (const SlNote, note, notes)
    {
      const SlAsked *place = taken_for (asked, note);
      if (place->string != string || place->twin > 0)
        continue;
      if (note->word == SL_HEARD_SETTLED || note->word == SL_HEARD_GLIDING) /* it may have no time to settle */
        t60[place->fret] = fmax (t60[place->fret], note->decay);
      if (!is_used (note))
        continue;
      add_reading (readings, string, place->fret, note->cents, note->cents_u);
      if (place->fret == 0 && (open == NULL || !(note->inharmonicity_u >= open->inharmonicity_u)))
        open = note;
    }
  return open;
}

static void
append_string (GString *out, const SlAnalysis *a, const GArray *asked, const GArray *notes, int string)
{
  g_autoptr (GArray) readings = g_array_new (FALSE, FALSE, sizeof (SlReading)),
                     against = g_array_new (FALSE, FALSE, sizeof (SlReading));
  g_autoptr (GString) told = g_string_new (NULL);
  double t60[SL_MAX_FRETS + 1] = { 0 };
  const SlNote *open = gather (readings, t60, asked, notes, string);
  SlHeardBending bending;
  SlHeardStretch stretch;
  SlEarlyFret early;
  SlStringState s;
  sl_state_string (&a->instrument, &a->measured, string, &s);
  append_frets (told, &(SlReadingSet){ .readings = readings }, string, a->instrument.frets, against);
  const gboolean bends =
      open != NULL && sl_heard_bending (&s, open->inharmonicity, open->inharmonicity_u, open->frequency, &bending);
  if (bends)
    append_sentence (told, sl_bending_text (&bending, &STYLE));
  if (against->len > 0)
    {
      sl_heard_stretch (&s, &(SlReadingSet){ .readings = against }, bends ? &bending : NULL, &stretch);
      append_sentence (told, sl_stretch_text (&stretch, &STYLE));
    }
  if (sl_find_early_fret (&s, t60, &early))
    append_sentence (told, sl_early_fret_text (&early, &STYLE));
  if (told->len > 0)
    g_string_append_printf (out, _ ("\nString %d\n%s"), string, told->str);
}

/* How many notes stand in the table only. */
static void
append_unused (GString *out, const GArray *notes)
{
  guint n = 0;
  SL_EACH (const SlNote, note, notes)
    n += !is_used (note);
  if (n > 0)
    g_string_append_printf (
        out,
        g_dngettext (GETTEXT_PACKAGE, "\n%u note that did not settle, or is over 100 cents off, is not used.\n",
                     "\n%u notes that did not settle, or are over 100 cents off, are not used.\n", (gulong) n),
        n);
}

void
sl_text_pitch (GString *out, const char *sound, const SlProfile *profile, const GArray *asked, const GArray *notes)
{
  g_autofree char *shown = sl_shown_name (sound);
  g_string_append_printf (out,
                          g_dngettext (GETTEXT_PACKAGE, "%s: %u note\n\n", "%s: %u notes\n\n", (gulong) notes->len),
                          shown, notes->len);
  append_heads (out, profile != NULL);
  SL_EACH (const SlNote, note, notes)
    append_note (out, note, asked);
  if (profile == NULL)
    return;
  g_autoptr (SlAnalysis) analysis = g_new0 (SlAnalysis, 1);
  sl_analyse_last (profile, &SL_SHOP_DEFAULT, analysis);
  for (int string = 1; string <= profile->n_strings; string++)
    append_string (out, analysis, asked, notes, string);
  append_unused (out, notes);
}

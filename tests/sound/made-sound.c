/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Writes made sounds of plucked strings as WAV, for tests that take a recording. */
#include "made-partials.h"
#include "made-wav.h"

#include <locale.h>
#include <stdlib.h>

static MadeString string = MADE_PLAIN_STRING;
static MadeRoom room = MADE_SILENT_ROOM;
static double seconds = 0, every = 2.5, gain = 1;
static int rate = 44100, bits = 16, n_channels = 1, seed = 1;
static gboolean ring = FALSE, left_only = FALSE;
static char *list = NULL, *output = NULL;

static const GOptionEntry entries[] = {
  { "f", 'f', 0, G_OPTION_ARG_DOUBLE, &string.f1, "Frequency of the lowest partial (110)", "HZ" },
  { "b", 'b', 0, G_OPTION_ARG_DOUBLE, &string.b, "Inharmonicity B (1e-4)", "B" },
  { "list", 'l', 0, G_OPTION_ARG_STRING, &list, "Several notes one after another, in place of --f: HZ[:B[:T60]]",
    "NOTE,NOTE…" },
  { "start", 0, 0, G_OPTION_ARG_DOUBLE, &string.start, "When the first is plucked (0.3)", "S" },
  { "every", 0, 0, G_OPTION_ARG_DOUBLE, &every, "Time from pluck to pluck (2.5)", "S" },
  { "ring", 0, 0, G_OPTION_ARG_NONE, &ring, "Let notes of a list ring on; otherwise the next pluck stops the last",
    NULL },
  { "seconds", 's', 0, G_OPTION_ARG_DOUBLE, &seconds, "Length (until 2.5 after the last pluck)", "S" },
  { "peak", 0, 0, G_OPTION_ARG_DOUBLE, &string.peak, "Loudest sample of each, of full scale (0.5)", "SHARE" },
  { "gain", 0, 0, G_OPTION_ARG_DOUBLE, &gain, "Times this at the end; what goes over full scale is clipped (1)",
    "FACTOR" },
  { "t60", 't', 0, G_OPTION_ARG_DOUBLE, &string.t60, "Time to fall by 60 dB, lowest partial (4)", "S" },
  { "t60-high", 0, 0, G_OPTION_ARG_DOUBLE, &string.t60_high, "The same at 5 kHz (1.5)", "S" },
  { "pluck", 0, 0, G_OPTION_ARG_DOUBLE, &string.pluck, "Where it is plucked (0.21)", "SHARE" },
  { "pickup", 0, 0, G_OPTION_ARG_DOUBLE, &string.pickup, "Where it is heard (0: force on the bridge)", "SHARE" },
  { "glide", 'g', 0, G_OPTION_ARG_DOUBLE, &string.glide, "How far it starts sharp (0)", "CENTS" },
  { "turn", 0, 0, G_OPTION_ARG_DOUBLE, &string.turn_cents, "The peg is turned while it sounds, by this much (0)",
    "CENTS" },
  { "turn-at", 0, 0, G_OPTION_ARG_DOUBLE, &string.turn_at, "When that begins, from the start of the file", "S" },
  { "turn-for", 0, 0, G_OPTION_ARG_DOUBLE, &string.turn_for, "How long it takes", "S" },
  { "noise", 'n', 0, G_OPTION_ARG_DOUBLE, &room.noise_db,
    "Noise, this far below the rms of the first note's first second (none)", "DB" },
  { "pink", 0, 0, G_OPTION_ARG_DOUBLE, &room.pink, "Share of its power that is pink; the rest is white (0)", "SHARE" },
  { "hum", 0, 0, G_OPTION_ARG_DOUBLE, &room.hum_db, "Mains hum and its multiples, as far below (none)", "DB" },
  { "mains", 0, 0, G_OPTION_ARG_DOUBLE, &room.hum_hz, "Mains frequency (50)", "HZ" },
  { "body", 0, 0, G_OPTION_ARG_DOUBLE, &room.body_db, "Resonances of a body at each pluck, as far below (none)", "DB" },
  { "against-peak", 0, 0, G_OPTION_ARG_NONE, &room.against_peak, "Noise, hum and body below the note's peak instead",
    NULL },
  { "rate", 'r', 0, G_OPTION_ARG_INT, &rate, "Samples a second (44100)", "HZ" },
  { "bits", 0, 0, G_OPTION_ARG_INT, &bits, "16, 24, or 32 for float (16)", "BITS" },
  { "channels", 'c', 0, G_OPTION_ARG_INT, &n_channels, "How many, all alike (1)", "N" },
  { "left", 0, 0, G_OPTION_ARG_NONE, &left_only, "All channels but the first silent", NULL },
  { "seed", 0, 0, G_OPTION_ARG_INT, &seed, "What chance begins with (1)", "N" },
  { "output", 'o', 0, G_OPTION_ARG_FILENAME, &output, "Where to", "FILE" },
  G_OPTION_ENTRY_NULL,
};

static void
give_up (const char *message)
{
  g_printerr ("made-sound: %s\n", message);
  exit (2);
}

static GArray *
notes (void)
{
  GArray *all = g_array_new (FALSE, FALSE, sizeof (MadeString));
  g_auto (GStrv) parts = list == NULL ? NULL : g_strsplit (list, ",", -1);
  const guint n = parts == NULL ? 1 : g_strv_length (parts);

  for (guint i = 0; i < n; i++)
    {
      MadeString note = string;
      g_auto (GStrv) fields = parts == NULL ? NULL : g_strsplit (parts[i], ":", 3);
      const guint n_fields = fields == NULL ? 0 : g_strv_length (fields);
      double *const into[] = { &note.f1, &note.b, &note.t60 };

      for (guint f = 0; f < n_fields; f++)
        *into[f] = g_ascii_strtod (fields[f], NULL);
      note.start = string.start + every * i;
      note.stop = ring || i + 1 == n ? 0 : note.start + every;
      note.t60_high = MIN (note.t60_high, note.t60);
      if (!(note.f1 > 0 && note.f1 < rate / 2.0) || !(note.b >= 0) || !(note.t60 > 0))
        give_up ("a note is HZ[:B[:T60]], below half the rate");
      g_array_append_val (all, note);
    }
  return all;
}

int
main (int argc, char **argv)
{
  g_autoptr (GOptionContext) context = g_option_context_new ("-o FILE — made sounds of plucked strings as WAV");
  g_autoptr (GError) error = NULL;
  g_autoptr (GArray) all = NULL;
  g_autofree double *sound = NULL, *channels = NULL;
  gsize n;

  setlocale (LC_ALL, "");
  string.start = 0.3;
  g_option_context_add_main_entries (context, entries, NULL);
  if (!g_option_context_parse (context, &argc, &argv, &error))
    give_up (error->message);
  if (output == NULL || argc > 1)
    give_up ("say where to: -o FILE, and nothing else without an option");
  if ((bits != 16 && bits != 24 && bits != 32) || rate < 1000 || n_channels < 1 || n_channels > 16)
    give_up ("bits are 16, 24 or 32, the rate 1000 or more, channels 1 to 16");
  all = notes ();
  if (seconds <= 0)
    seconds = g_array_index (all, MadeString, all->len - 1).start + 2.5;
  n = (gsize) (seconds * rate);
  sound = made_sound (n, rate, (const MadeString *) (void *) all->data, all->len, &room, (guint32) seed, NULL);
  for (gsize i = 0; i < n; i++)
    sound[i] = CLAMP (sound[i] * gain, -1, 1);
  channels = g_new (double, n_channels);
  for (int c = 0; c < n_channels; c++)
    channels[c] = left_only && c > 0 ? 0 : 1;
  if (!made_wav_write (output, sound, n, rate, bits, channels, (guint) n_channels, &error))
    give_up (error->message);
  return 0;
}

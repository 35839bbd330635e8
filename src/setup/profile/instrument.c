/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "setup/profile/instrument.h"

#include "setup/profile/construction.h"

#define MM_PER_M 1000.0
#define G_PER_KG 1000.0
#define PA_PER_GPA 1e9
#define MM2_PER_M2 1e6

/* Textbook values. Nylon at pitch is stiffer, 3.9 to 8.4 GPa over the areas as sold of the trebles in the table of
 * Anderson and Beausoleil (2024): built-in sets carry their strings' own stiffness. */
static const struct
{
  double density_kg_m3, modulus_gpa;
} cores[SL_N_CORES] = {
  [SL_CORE_STEEL] = { 7850, 200 }, [SL_CORE_STAINLESS_STEEL] = { 7900, 190 },
  [SL_CORE_NYLON] = { 1140, 3 },   [SL_CORE_FLUOROCARBON] = { 1780, 3 },
  [SL_CORE_GUT] = { 1300, 6 },
};

static const double wraps_kg_m3[SL_N_WRAPS] = {
  [SL_WRAP_NONE] = 0,
  [SL_WRAP_PHOSPHOR_BRONZE] = 8800,
  [SL_WRAP_BRASS] = 8530,
  [SL_WRAP_NICKEL] = 8900,
  [SL_WRAP_NICKEL_PLATED_STEEL] = 7850,
  [SL_WRAP_STAINLESS_STEEL] = 7900,
  [SL_WRAP_SILVER_PLATED_COPPER] = 8960,
};

double
sl_core_modulus (SlCore core)
{
  return cores[core].modulus_gpa * PA_PER_GPA;
}

gboolean
sl_core_is_metal (SlCore core)
{
  return core == SL_CORE_STEEL || core == SL_CORE_STAINLESS_STEEL;
}

double
sl_unit_mass (SlBuild build, SlCore core, double core_mm, SlWrap wrap, double wrap_mm)
{
  const double dc = core_mm / MM_PER_M, dw = wrap_mm / MM_PER_M;
  double mass = cores[core].density_kg_m3 * G_PI * dc * dc / 4;

  if (build == SL_BUILD_WOUND && dw > 0)
    {
      /* one turn of the helix is sqrt((π (d_c + d_w))² + d_w²) long and advances by d_w */
      double turn = hypot (G_PI * (dc + dw), dw);

      mass += wraps_kg_m3[wrap] * G_PI * dw * dw / 4 * turn / dw;
    }
  return mass;
}

double
sl_music_wire_strength (double diameter_mm)
{
  return 2187.7e6 / pow (diameter_mm, 0.1439);
}

double
sl_fret_place (double scale_mm, int fret)
{
  return scale_mm * (1 - exp2 (-fret / 12.0));
}

gboolean
sl_frets_slant (const SlInstrument *in)
{
  return in->scale[in->n_strings - 1] != in->scale[0];
}

double
sl_nut_offset (const SlInstrument *in, int string)
{
  const double longest = MAX (in->scale[0], in->scale[in->n_strings - 1]);

  return sl_fret_place (longest - in->scale[string - 1], in->square_fret);
}

/* How many strings toward the treble from its course's middle a string lies, counted from 0. */
static double
from_middle (const SlInstrument *in, int string)
{
  double sum = 0;
  int n = 0;

  for (int s = 0; s < in->n_strings; s++)
    if (in->course[s] == in->course[string])
      {
        sum += s;
        n++;
      }
  return sum / n - string;
}

gboolean
sl_slot_centres (const SlInstrument *in, double y[SL_MAX_STRINGS])
{
  const int n = in->n_strings;
  double room = in->nut_width - in->edge_margin_bass - in->edge_margin_treble, edge;

  memset (y, 0, SL_MAX_STRINGS * sizeof *y);
  for (int s = 0; s < n; s++)
    room -= in->strings[s].outside_mm;
  room -= (n - in->courses) * SL_COURSE_GAP_MM;
  if (!(room >= 0))
    return FALSE;
  const double gap = in->courses > 1 ? room / (in->courses - 1) : 0;

  edge = in->nut_width / 2 - in->edge_margin_treble - (in->courses > 1 ? 0 : room / 2);
  for (int s = 0; s < n; s++)
    {
      double d = in->strings[s].outside_mm;

      y[s] = edge - d / 2;
      edge -= d + (s + 1 < n && in->course[s + 1] == in->course[s] ? SL_COURSE_GAP_MM : gap);
    }
  return TRUE;
}

void
sl_bridge_places (const SlInstrument *in, double y[SL_MAX_STRINGS])
{
  const int n = in->n_strings;
  const double even = n > 1 ? in->spread / (n - 1) : 0,
               apart = in->courses > 1 ? MIN (SL_COURSE_BRIDGE_MM, even) : even,
               treble = in->spread / 2 - apart * from_middle (in, 0),
               bass = -in->spread / 2 - apart * from_middle (in, n - 1);

  memset (y, 0, SL_MAX_STRINGS * sizeof *y);
  for (int s = 0; s < n && n > 1; s++)
    y[s] = sl_between_strings (treble, bass, in->course[s], in->courses) + apart * from_middle (in, s);
}

double
sl_bass_share (int string, int n_strings)
{
  return n_strings < 2 ? 0 : (double) (string - 1) / (n_strings - 1);
}

double
sl_between_strings (double treble, double bass, int string, int n_strings)
{
  if (n_strings < 2)
    return treble;
  return treble + (bass - treble) * (string - 1) / (n_strings - 1);
}

double
sl_note_frequency (const char *note)
{
  static const int steps[] = { 9, 11, 0, 2, 4, 5, 7 }; /* A B C D E F G over C */
  const char *p = note;
  int semitone;

  if (p == NULL || g_ascii_toupper (*p) < 'A' || g_ascii_toupper (*p) > 'G')
    return NAN;
  semitone = steps[g_ascii_toupper (*p++) - 'A'];
  for (;;)
    {
      if (*p == '#')
        semitone++, p++;
      else if (*p == 'b')
        semitone--, p++;
      else if (g_str_has_prefix (p, "♯"))
        semitone++, p += strlen ("♯");
      else if (g_str_has_prefix (p, "♭"))
        semitone--, p += strlen ("♭");
      else
        break;
      if (p - note > 8)
        return NAN;
    }
  if (*p < '0' || *p > '8' || p[1] != '\0')
    return NAN;
  /* C4 is MIDI note 60, A4 is 69 and 440 Hz (ISO 16) */
  return 440.0 * exp2 ((12 * (*p - '0' + 1) + semitone - 69) / 12.0);
}

void
sl_note_near (double frequency_hz, char name[SL_NOTE_CHARS])
{
  static const char *const names[] = { "C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B" };
  int m;

  name[0] = '\0';
  if (!(frequency_hz > 0) || isinf (frequency_hz))
    return;
  m = (int) lround (69 + 12 * log2 (frequency_hz / 440));
  if (m >= 0 && m < 128)
    g_snprintf (name, SL_NOTE_CHARS, "%s%d", names[m % 12], m / 12 - 1);
}

void
sl_string_data (const SlString *string, SlStringData *out)
{
  double core_mm = sl_number_or (string->core_diameter, 0);
  double wrap_mm = string->build == SL_BUILD_WOUND ? sl_number_or (string->wrap_diameter, 0) : 0;
  double radius_m = core_mm / 2 / MM_PER_M;

  out->frequency_hz = sl_number_is_set (string->frequency) ? string->frequency.v : sl_note_frequency (string->note);
  out->mass_given = sl_number_is_set (string->unit_mass);
  if (out->mass_given)
    out->unit_mass_kg_m = string->unit_mass.v / G_PER_KG;
  else
    out->unit_mass_kg_m = sl_unit_mass (string->build, string->core, core_mm, string->wrap, wrap_mm);
  out->outside_mm = core_mm + 2 * wrap_mm;
  out->core_area_m2 = G_PI * radius_m * radius_m;
  out->ea_n = sl_number_or (string->axial_stiffness, sl_core_modulus (string->core) * out->core_area_m2);
  out->ei_nm2 = sl_number_is_set (string->bending_stiffness)
                    ? string->bending_stiffness.v / MM2_PER_M2
                    : sl_core_modulus (string->core) * G_PI * pow (radius_m, 4) / 4;
  out->core = string->core;
  out->wrap = string->build == SL_BUILD_WOUND ? string->wrap : SL_WRAP_NONE;
  out->strength_pa = string->core == SL_CORE_STEEL ? sl_music_wire_strength (core_mm) : NAN;
}

gboolean
sl_bracket (const gboolean *given, int last, int place, int *below, int *above, double *t)
{
  *below = *above = place;
  while (*below >= 1 && !given[*below])
    --*below;
  while (*above <= last && !given[*above])
    ++*above;
  if (*below < 1)
    *below = *above;
  if (*above > last)
    *above = *below;
  if (*below > last)
    return FALSE;
  *t = *above == *below ? 0 : (double) (place - *below) / (*above - *below);
  return TRUE;
}

/* Values given for some strings, in between linear in string number, beyond the outermost given ones the nearest. */
static void
spread_anchors (const SlBridge *bridge, SlInstrument *out)
{
  gboolean given[SL_MAX_STRINGS + 1] = { FALSE };
  double distance[SL_MAX_STRINGS + 1], drop[SL_MAX_STRINGS + 1], t;
  int below, above;

  for (int i = 0; i < bridge->n_anchors; i++)
    {
      const SlAnchor *a = &bridge->anchors[i];

      if (a->string < 1 || a->string > out->n_strings || !sl_number_is_set (a->distance))
        continue;
      given[a->string] = TRUE;
      distance[a->string] = a->distance.v;
      drop[a->string] = sl_number_or (a->drop, 0);
    }
  for (int s = 1; s <= out->n_strings && sl_bracket (given, out->n_strings, s, &below, &above, &t); s++)
    {
      out->has_anchor[s - 1] = TRUE;
      out->anchor_distance[s - 1] = distance[below] + t * (distance[above] - distance[below]);
      out->anchor_drop[s - 1] = drop[below] + t * (drop[above] - drop[below]);
    }
}

/* What a profile gives as it is, and what stands in for it where it doesn't (docs/format.md). */
static const struct
{
  gsize given, filled; /* an SlNumber of SlProfile, a double of SlInstrument */
  double usual;
} plain_numbers[] = {
#include "usual-rows.h"
};

static void
fill_posts (const SlHeadstock *headstock, SlInstrument *out)
{
  for (int i = 0; i < headstock->n_posts; i++)
    {
      const SlPost *post = &headstock->posts[i];
      int s = post->string - 1;

      if (s < 0 || s >= out->n_strings || !sl_number_is_set (post->distance))
        continue;
      out->has_post[s] = TRUE;
      out->post_distance[s] = post->distance.v;
      out->post_side[s] = sl_number_or (post->side, 0);
      out->post_wrap[s] = sl_number_or (post->wrap_height, 0);
    }
}

static void
fill_targets (const SlTargets *targets, SlInstrument *out)
{
  const double treble = sl_number_or (targets->action_treble, 1.8), bass = sl_number_or (targets->action_bass, 2.3),
               gap_treble = sl_number_or (targets->first_gap_treble, 0.40),
               gap_bass = sl_number_or (targets->first_gap_bass, 0.50);

  for (int s = 1; s <= out->n_strings; s++)
    {
      out->target_action[s - 1] = sl_between_strings (treble, bass, s, out->n_strings);
      out->target_first_gap[s - 1] = sl_between_strings (gap_treble, gap_bass, s, out->n_strings);
    }
}

/* The hands one starts from (our own choice): a medium pick on steel strings, and a finger's stroke on nylon, gut or
 * fluorocarbon, which leaves the string toward the board. The highest string tells which they are. */
static const struct
{
  double force_n, distance_mm, upright;
  SlPluckDirection direction;
} hands[] = { { 1.6, 130, 0.5, SL_PLUCK_EITHER }, { 2.2, 110, 0.5, SL_PLUCK_TOWARD } };

static void
fill_hand (const SlProfile *profile, SlInstrument *out)
{
  const SlPlayer *player = &profile->player;
  const SlCore core = profile->strings[0].core;
  const int hand = !sl_core_is_metal (core);

  out->pluck_force_n = sl_number_or (player->pluck_force, hands[hand].force_n);
  out->pluck_distance = sl_number_or (player->pluck_distance, hands[hand].distance_mm);
  out->upright_share = sl_number_or (player->upright_share, hands[hand].upright);
  out->pluck_direction = player->pluck_direction == SL_PLUCK_DEFAULT ? hands[hand].direction : player->pluck_direction;
  out->pluck_force_heard = player->force_basis == SL_FORCE_HEARD;
  out->pluck_force_share = out->pluck_force_heard ? SL_FORCE_SHARE_HEARD : SL_FORCE_SHARE_ASSUMED;
}

double
sl_gap_target (const SlInstrument *in, int string, int fret, double *tolerance)
{
  *tolerance = fret == 1 ? in->first_gap_tolerance : in->action_tolerance;
  return fret == 1 ? in->target_first_gap[string - 1] : in->target_action[string - 1];
}

static void
fill_construction (const SlProfile *profile, SlInstrument *out)
{
  out->rod = MAX (profile->neck.rod, SL_ROD_SINGLE);
  out->heel_adjust = MAX (profile->neck.heel_adjust, SL_HEEL_NONE);
  out->nut_kind = MAX (profile->nut.kind, SL_NUT_SLOTTED);
  out->adjust = sl_saddle_adjust (profile);
  out->bridge = sl_bridge_kind (profile);
  out->balance = MAX (profile->bridge.balance, SL_BALANCE_FLOATING);
  out->spring_count = profile->bridge.spring_count;
  out->left_handed = profile->hand == SL_HAND_LEFT;
  out->courses = profile->courses > 0 ? profile->courses : profile->n_strings;
  for (int s = 0; s < out->n_strings; s++)
    out->course[s] = sl_course_of (profile, s + 1);
  out->work = sl_work_there_is (profile);
  out->square_fret = profile->neck.square_fret > 0 ? profile->neck.square_fret : MIN (SL_SQUARE_FRET, out->frets);
}

/* Each string's scale, linear across the bridge between the outer strings', and its fret places. */
static void
fill_places (const SlProfile *profile, SlInstrument *out)
{
  const double treble = out->scale[0], bass = sl_number_or (profile->neck.scale_length_bass, treble);
  double y[SL_MAX_STRINGS];

  sl_bridge_places (out, y);
  const double wide = y[0] - y[out->n_strings - 1];

  for (int s = 0; s < out->n_strings; s++)
    {
      const double share = wide > 0 ? (y[0] - y[s]) / wide : sl_bass_share (s + 1, out->n_strings);

      out->scale[s] = treble + share * (bass - treble);
      for (int n = 0; n <= out->frets; n++)
        out->x[s][n] = sl_fret_place (out->scale[s], n);
    }
}

void
sl_instrument_from_profile (const SlProfile *profile, SlInstrument *out)
{
  const SlPlayer *player = &profile->player;
  const double rad = G_PI / 180;

  memset (out, 0, sizeof *out);
  for (gsize i = 0; i < G_N_ELEMENTS (plain_numbers); i++)
    G_STRUCT_MEMBER (double, out, plain_numbers[i].filled) =
        sl_number_or (G_STRUCT_MEMBER (SlNumber, profile, plain_numbers[i].given), plain_numbers[i].usual);
  out->n_strings = profile->n_strings;
  out->frets = profile->neck.frets;
  out->joint = profile->neck.joint_fret;
  out->tilt_rad = sl_number_or (profile->headstock.tilt, 0) * rad;
  out->saddle_lean_rad = sl_number_or (profile->saddle.lean, 0) * rad;
  fill_construction (profile, out);
  fill_places (profile, out);
  fill_hand (profile, out);
  out->stiff_ends = player->stiff_ends == SL_STIFF_ENDS_DEFAULT ? SL_STIFF_ENDS_ONE : player->stiff_ends;
  out->neck = SL_NECK_BENDING_ASSUMED;
  fill_posts (&profile->headstock, out);
  spread_anchors (&profile->bridge, out);
  fill_targets (&profile->targets, out);
  for (int s = 0; s < out->n_strings; s++)
    sl_string_data (&profile->strings[s], &out->strings[s]);
}

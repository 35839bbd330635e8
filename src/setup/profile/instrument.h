/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An instrument ready to compute with: a profile's numbers with every default of the format filled in, fret places, and
 * what can be said of each string before any reading. Arrays per string are indexed from 0 (string 1, the treble).
 * Lengths mm unless the name says otherwise. */
#pragma once

#include "setup/profile/profile.h"

typedef struct
{
  double frequency_hz;
  double unit_mass_kg_m;
  gboolean mass_given; /* else it is by the diameters */
  double outside_mm;   /* diameter over the wrap */
  double core_area_m2;
  double ea_n;        /* axial stiffness: given, or core modulus × core area */
  double ei_nm2;      /* bending stiffness: given, or core modulus × the core's second moment */
  double strength_pa; /* ASTM A228 minimum tensile for steel cores; NAN for others */
  SlCore core;
  SlWrap wrap; /* SL_WRAP_NONE of a plain one */
} SlStringData;

/* What is known of how a neck bends (model 5): a turn of the rod that changes relief by ΔR moves the crests by @crest
 * times, and the nut by @nut times, what even curvature would. */
typedef struct
{
  double crest, crest_u, nut, nut_u; /* factors and their standard uncertainties */
  int turns;                         /* of this neck that were read on both sides and stand behind them; 0: assumed */
  double per_turn, per_turn_u;       /* relief that a turn of the rod's nut takes away as it is tightened, mm; NAN where
                                        not known */
  int n_per_turn;                    /* turns of the nut that were counted and read behind it */
  double per_newton, per_newton_u;   /* relief for a newton of the strings' tension, mm/N */
  gboolean per_newton_read;          /* relief was read slack and at pitch */
} SlNeckBending;

/* Before a neck is read: from the beams of tests/setup/neck-beams.c, and what strings do to relief from memory. */
#define SL_NECK_BENDING_ASSUMED                                                                                        \
  ((SlNeckBending){ 0.83, 0.10, 0.98, 0.17, .per_turn = NAN, .per_turn_u = NAN, .per_newton = 0.0004,                  \
                    .per_newton_u = 0.0003 })

typedef struct
{
  int n_strings, frets, joint;
  double scale[SL_MAX_STRINGS];               /* each string's own */
  double x[SL_MAX_STRINGS][SL_MAX_FRETS + 1]; /* fret places from that string's place at the nut's front edge, x[s][0] =
                                                 0; in equal shares of each string's scale */
  SlRod rod;
  SlHeelAdjust heel_adjust;
  SlNutKind nut_kind;
  SlSaddleAdjust adjust;
  SlBalance balance; /* of a tremolo */
  int spring_count;  /* 0: not given */
  gboolean left_handed;
  int courses;                /* as many as strings where they are not in courses */
  int course[SL_MAX_STRINGS]; /* which of them, from 1 */
  guint work;                 /* bits of the operations there are (construction.h) */
  int square_fret;
  double bridge_thickness, bridge_least_thickness; /* NAN where not given */
  double crown_width, crown_height, crown_least;
  double tilt_rad, string_rise;
  gboolean has_post[SL_MAX_STRINGS];
  double post_distance[SL_MAX_STRINGS], post_side[SL_MAX_STRINGS], post_wrap[SL_MAX_STRINGS];
  double nut_width; /* NAN where not given */
  double edge_margin_bass, edge_margin_treble, slot_allowance, friction;
  SlBridgeKind bridge;
  double spread;
  gboolean has_anchor[SL_MAX_STRINGS]; /* given, or interpolated between given ones */
  double anchor_distance[SL_MAX_STRINGS], anchor_drop[SL_MAX_STRINGS];
  double saddle_thickness, saddle_lean_rad, least_exposure;
  double saddle_radius, board_radius_nut, board_radius_end; /* INFINITY where flat or not given */
  double height_screw_pitch, length_screw_pitch;            /* NAN where the saddle has none */
  SlStringData strings[SL_MAX_STRINGS];
  double pluck_force_n, pluck_distance, upright_share, finger_distance;
  double pluck_force_share;   /* standard uncertainty of the force as a share of it */
  gboolean pluck_force_heard; /* a buzz tells it; else it is assumed */
  SlPluckDirection pluck_direction;
  SlStiffEnds stiff_ends;
  SlNeckBending neck; /* assumed until readings say how this neck bends (record/neck.h) */
  double target_relief, relief_tolerance;
  double target_action[SL_MAX_STRINGS], action_tolerance; /* at fret 12, interpolated in string number */
  double target_first_gap[SL_MAX_STRINGS], first_gap_tolerance;
  double pitch_tolerance;                       /* cents */
  double target_fall_away, fall_away_tolerance; /* of the last fret below the crown chord carried on */
} SlInstrument;

/* How far off a hand's force may be, as a share of it (standard uncertainty, our own choice): as it is guessed, and as
 * a buzz that was heard tells it, from one gap and where the ear places the rattle. */
#define SL_FORCE_SHARE_ASSUMED 0.25
#define SL_FORCE_SHARE_HEARD 0.10

/* Fills @out from a profile that sl_profile_check() finds no fault in. */
void sl_instrument_from_profile (const SlProfile *profile, SlInstrument *out);

/* What can be said of one string before any reading; a note that can't be read leaves its frequency NAN. */
void sl_string_data (const SlString *string, SlStringData *out);

/* x_n = S (1 − 2^(−n/12)): twelve-tone equal temperament. */
double sl_fret_place (double scale_mm, int fret);

/* Whether the outer strings have different scales. */
gboolean sl_frets_slant (const SlInstrument *instrument);

/* How far toward the bridge, along the centre line, the nut of string @string (from 1) lies from that of the longest
 * string, mm: as the square fret lies square across. 0 where frets don't slant (model 1.4). */
double sl_nut_offset (const SlInstrument *instrument, int string);

/* Slot centres across the board, y 0 in the middle and positive to the treble, for equal gaps between the edges of
 * neighbouring courses inside the nut's edge margins, and of a course's strings SL_COURSE_GAP_MM apart. FALSE where the
 * nut's width is not given or too narrow for the strings; then all are 0. */
gboolean sl_slot_centres (const SlInstrument *instrument, double y[SL_MAX_STRINGS]);
#define SL_COURSE_GAP_MM 1.2 /* between the edges of a course's strings at the nut: common practice, from memory */

/* Places across the bridge: the courses' middles spread evenly so that the outer strings lie the bridge's spread apart,
 * a course's strings SL_COURSE_BRIDGE_MM from each other. */
void sl_bridge_places (const SlInstrument *instrument, double y[SL_MAX_STRINGS]);
#define SL_COURSE_BRIDGE_MM 2.5 /* common practice, from memory */

/* What the open gap over fret 1 or 12 is to be, and how far it may be off, mm. */
double sl_gap_target (const SlInstrument *instrument, int string, int fret, double *tolerance);

/* How near a string (from 1) is to the last one, 0…1; with one string 0. */
double sl_bass_share (int string, int n_strings);

/* A value between treble (string 1) and bass (last string), linear in string number; @string counts from 1. With one
 * string: the treble's. */
double sl_between_strings (double treble, double bass, int string, int n_strings);

/* The two given places (1…@last) between which @place lies, nearest one twice outside; FALSE where none is given. @t is
 * the share of the upper one. */
gboolean sl_bracket (const gboolean *given, int last, int place, int *below, int *above, double *t);

/* f = 440 · 2^((m − 69)/12), ISO 16, from a note name ("E4", "F#3", "Bb2", "C♯4"). Returns NAN where @note is not a
 * note between C0 and B8. */
double sl_note_frequency (const char *note);

/* Textbook modulus of what a core is of, Pa; and whether that is a metal. */
double sl_core_modulus (SlCore core);
gboolean sl_core_is_metal (SlCore core);

/* Mass per length, kg/m, of a plain or wound string from diameters in mm (wound: close-wound round wire on a helix). */
double sl_unit_mass (SlBuild build, SlCore core, double core_mm, SlWrap wrap, double wrap_mm);

/* ASTM A228 minimum tensile strength, Pa, of music wire of @diameter_mm: 2187.7/d^0.1439 MPa, a fit within 0.5 % of a
 * wire merchant's table of the standard. */
double sl_music_wire_strength (double diameter_mm);

/* The name of the note nearest to a frequency ("E4", "Bb2"; flats and sharps as they are usually written), for pictures
 * that know only the sound. */
#define SL_NOTE_CHARS 8
void sl_note_near (double frequency_hz, char name[SL_NOTE_CHARS]);

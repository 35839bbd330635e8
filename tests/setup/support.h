/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the tests of the model share: seeded chance, invented instruments and states, and a ruler, which reads gaps off
 * a state by plain geometry (points and straight lines, as model 1 and 2 put them in words) without using the code
 * under test. */
#pragma once

#include "setup/fit/fit.h"
#include "setup/physics/pitch.h"
#include "setup/profile/sets.h"
#include "setup/work/propose.h"

/* Chance, from a fixed seed, or from SL_TEST_SEED where that is set; the seed is printed. Free with g_rand_free(). */
GRand *test_rand (void);
double test_between (GRand *rand, double least, double most);
double test_normal (GRand *rand); /* mean 0, standard deviation 1 */
double test_rectangular (GRand *rand,
                         double u); /* mean 0, standard deviation @u: a rectangle of half-width √3 u (GUM 4.3.7) */

#define assert_near(a, b, tolerance) g_assert_cmpfloat_with_epsilon ((a), (b), (tolerance))

/* An invented instrument: everything the model uses is given and drawn at random. */
SlProfile *test_profile (GRand *rand, int n_strings, int frets, int joint);

/* Any number of strings 1–12, frets 12–36, joint from 5 to the last fret. */
SlProfile *test_any_profile (GRand *rand);

/* A fixed, plain instrument: 6 steel strings, 632 mm, 20 frets joined at 14, everything else by default. */
SlProfile *test_plain_profile (void);

/* A state that such an instrument could come in with: crowns, setbacks, exposures, reliefs and open gaps at random,
 * none of them beyond belief (gaps at fret 1 within 0.35 mm and at fret 12 within 1.5 mm of their targets); no
 * covariance. */
void test_state (GRand *rand, const SlInstrument *instrument, SlState *state);

/* A state of zeros for a straight neck. */
void test_straight_state (const SlInstrument *instrument, SlState *state);
void test_set_string (SlState *state, int string, double nut_mm, double crest_mm);

/* What a perfect tool would read off the state. */
double test_ruler (const SlInstrument *instrument, const SlState *state, SlReadingKind kind, int string, int fret,
                   SlHeld held);
double test_ruler_crown (const SlInstrument *instrument, const SlState *state, int string, int n);
double test_ruler_gap (const SlInstrument *instrument, const SlState *state, int string, int held, int n);

/* Appends a reading; the value by the ruler where @state is given. */
SlReading *test_add (SlReadingSet *set, SlReadingKind kind, int string, int fret, SlHeld held, double value);
void test_read (const SlInstrument *instrument, const SlState *state, SlReadingSet *set, SlReadingKind kind, int string,
                int fret, SlHeld held);
void test_add_tool (SlReadingSet *set, SlToolKind measures, double resolution, double error_limit);

/* The known data of a state as readings: every crown, setback and exposure. */
void test_read_known (const SlInstrument *instrument, const SlState *state, SlReadingSet *set);

/* One of each that a state needs: relief of the outer strings, tongue, first gap and action of every string, open or
 * held by chance. */
void test_read_all (GRand *rand, const SlInstrument *instrument, const SlState *state, SlReadingSet *set);

/* A reading set, and clearing it. */
SlReadingSet test_set (void);
void test_set_clear (SlReadingSet *set);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (SlReadingSet, test_set_clear)

/* Readings of an instrument and what is made of them; starts as { 0 }. */
typedef struct
{
  SlInstrument in;
  SlState truth;
  SlReadingSet set;
  SlFit fit;
} TestCase;

void test_case_clear (TestCase *c);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (TestCase, test_case_clear)

/* A state by chance of @profile's instrument, with no reading yet. */
void test_case_begin (TestCase *c, GRand *rand, const SlProfile *profile);

/* What an analysis holds of one fit: enough to propose for. Borrows all it is given; on the heap, free with g_free().
 */
SlAnalysis *test_analysis (const SlInstrument *instrument, const SlFit *fit, const SlReadingSet *set,
                           const GArray *plan, const SlShop *shop);

/* Proposes for such a one. */
void test_propose (const SlInstrument *instrument, const SlFit *fit, const SlReadingSet *set, const GArray *plan,
                   const SlShop *shop, SlProposal *out);

/* A tuning by its name. */
const SlTuning *test_tuning (const char *id);

/* The cents of a case term by term: what stiffness and stretching add to them, and what is left without either, its
 * share of the lengths worked out from the places of nut, crest and crown. */
typedef struct
{
  double length, mass, tension, stiffness;
} TestPitchTerms;

TestPitchTerms test_pitch_terms (const SlPitchCase *c);

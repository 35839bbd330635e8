/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Everything the model says of one state, each figure with its uncertainty (model 7–12); and the analysis of
 * one reading set: instrument, fit, the state as measured and as planned, and both states' figures. Indexed by string
 * from 0, by fret from 1. */
#pragma once

#include "setup/record/air.h"
#include "setup/record/visit.h"

typedef struct
{
  double value; /* NAN where the figure can't be given */
  double u;     /* standard uncertainty; the reported U is 2u. NAN where none applies */
  SlBasis basis;
} SlFigure;

typedef struct
{
  SlFigure relief[SL_MAX_STRINGS], tongue;
  SlFigure nut_height[SL_MAX_STRINGS], crest_height[SL_MAX_STRINGS];
  SlFigure first_gap[SL_MAX_STRINGS];
  SlFigure action[SL_MAX_STRINGS][SL_MAX_FRETS + 1];
  SlFigure exposure[SL_MAX_STRINGS], board_line[SL_MAX_STRINGS];
  SlFigure tension[SL_MAX_STRINGS], tension_total;
  SlFigure spring_force;                                                  /* of a tremolo, all its springs, N */
  SlFigure nut_break[SL_MAX_STRINGS], nut_force[SL_MAX_STRINGS];          /* degrees, N */
  SlFigure nut_stick[SL_MAX_STRINGS];                                     /* capstan bound, cents */
  SlFigure saddle_break[SL_MAX_STRINGS];                                  /* degrees */
  SlFigure saddle_force[SL_MAX_STRINGS];                                  /* down on the top, N */
  SlFigure saddle_resultant[SL_MAX_STRINGS], saddle_push[SL_MAX_STRINGS]; /* N: of both pulls; toward the nut */
  SlFigure need[SL_MAX_STRINGS];
  SlFigure base_cut_bass, base_cut_treble, first_pass_bass, first_pass_treble; /* where the underside can be cut */
  SlFigure least_margin[SL_MAX_STRINGS];
  SlFigure lowest_clean_action[SL_MAX_STRINGS];
  SlFigure best_relief;
  SlFigure pluck_force; /* the hand that margins are worked out for, N; measured where a buzz was heard */
  SlFigure pitch_error[SL_MAX_STRINGS][SL_MAX_FRETS + 1]; /* cents */
  SlFigure setback_needed[SL_MAX_STRINGS];
  SlFigure crest_move[SL_MAX_STRINGS];       /* from tuner readings at the 12th fret; measured state only */
  SlFigure moisture_content;                 /* %, from the set's temperature and humidity */
  SlFigure rod_crest_factor, rod_nut_factor; /* how this neck bends, of even curvature (model 5) */
  SlFigure rod_per_turn;                     /* mm of relief that a turn of the rod's nut takes away */
  double core_stress_share[SL_MAX_STRINGS];  /* of the core's minimum tensile strength; NAN where unknown */
  int least_margin_held[SL_MAX_STRINGS], least_margin_fret[SL_MAX_STRINGS];
} SlFigures;

/* Standard uncertainty of a crest's place at the scale length where no setback was read: our own choice. */
#define SL_ASSUMED_SETBACK_U_MM 2.0

/* Where the figures of the strings stand in SlFigures: string 1's, and how far from string to string. */
typedef struct
{
  gsize offset, stride;
} SlPlaceOfFigure;

#define SL_BY_STRING(member)                                                                                           \
  {                                                                                                                    \
    G_STRUCT_OFFSET (SlFigures, member[0]), sizeof (SlFigure)                                                          \
  }
#define SL_BY_FRET(member, fret)                                                                                       \
  {                                                                                                                    \
    G_STRUCT_OFFSET (SlFigures, member[0][fret]), (SL_MAX_FRETS + 1) * sizeof (SlFigure)                               \
  }

static inline const SlFigure *
sl_figure_at (const SlFigures *figures, SlPlaceOfFigure place, int string)
{
  return (const SlFigure *) (gconstpointer) ((const char *) figures + place.offset +
                                             (gsize) (string - 1) * place.stride);
}

typedef struct
{
  SlInstrument instrument;
  SlShop shop; /* what its work was taken to be uncertain by, and its proposal is cut in */
  SlFit fit;
  const SlReadingSet *set;  /* borrowed from the profile; NULL where nothing was read */
  const SlProfile *profile; /* borrowed */
  const SlVisit *visit;     /* borrowed; NULL: none */
  const GArray *plan;       /* of SlOperation, borrowed from the profile; NULL where there is no visit */
  GArray *earlier;   /* of SlEarlier: the states after the visit's sets before this one, oldest first; owned, NULL where
                        there are none */
  SlAirFound air;    /* whether it has settled in the air it is kept in */
  gboolean has_plan; /* the visit's plan has at least one operation */
  SlState measured, planned;
  SlInstrument planned_instrument; /* with the strings that the plan fits */
  SlFigures measured_figures, planned_figures;
} SlAnalysis;

/* Fills @out with the figures of @state. @fit tells the basis of what was measured (NULL: all computed). */
void sl_figures (const SlInstrument *instrument, const SlState *state, const SlFit *fit, const SlReadingSet *set,
                 const SlShop *shop, SlFigures *out);

/* Whether a gap over fret @n of string @s held at @held, and its margin, rest on what was assumed. */
SlBasis sl_gap_basis (const SlFit *fit, const SlStringState *s, int held, int n);

/* Analyses a reading set of a visit (both may be NULL) with that visit's plan, for @shop, which is kept in @out. @out
 * is large: keep it on the heap. The profile must outlive it. Clear with sl_analysis_clear(). */
void sl_analyse (const SlProfile *profile, const SlVisit *visit, const SlReadingSet *set, const SlShop *shop,
                 SlAnalysis *out);
void sl_analysis_clear (SlAnalysis *analysis);
void sl_analysis_free (SlAnalysis *analysis); /* one of g_new0(), filled in or not */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlAnalysis, sl_analysis_free)

/* The last readings of the last visit: what the command line and a newly opened window show. */
void sl_analyse_last (const SlProfile *profile, const SlShop *shop, SlAnalysis *out);

/* The string whose least margin is the least; 0 where none can be given. */
int sl_least_margin_string (const SlFigures *figures, int n_strings);

/* Mean of a set's tuner readings of a string at the 12th fret, cents; FALSE where there is none. */
gboolean sl_tuner_cents (const SlReadingSet *set, int string, double *cents);

/* A word for a figure against its target: in range, close (within its own U of the range), out. What is assumed gets
 * none. */
typedef enum
{
  SL_WORD_NONE,
  SL_WORD_IN_RANGE,
  SL_WORD_CLOSE,
  SL_WORD_OUT
} SlWord;
SlWord sl_word (const SlFigure *figure, double target, double tolerance);
SlWord sl_word_at_least (const SlFigure *figure, double least); /* of one that only must not fall below @least */
const char *sl_word_text (SlWord word);                         /* translated */

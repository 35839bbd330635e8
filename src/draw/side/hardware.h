/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The bridge end of an instrument from the side as it is built: bridge, saddle and what holds the string behind it.
 * Side view, close-up and the small picture of a construction draw it with the same functions, each to its own scale.
 */
#pragma once

#include "draw/base/dimension.h"

#define SL_HOLLOW_BODY_MM 100.0 /* deep: common practice */
#define SL_SOLID_BODY_MM 45.0
#define SL_NUT_MM 6.0        /* thickness of a nut: common practice; the document has none */
#define SL_NUT_BEHIND_MM 4.0 /* a zero fret: common practice */
#define SL_POST_MM 60.0      /* from the nut, and how high a string lies on it, where none is given: common practice */
#define SL_POST_WRAP_MM 3.0

/* Where it goes, in the surface's units. */
typedef struct
{
  SlScene *scene;
  const SlInstrument *in;
  double unit;       /* units per mm, of its own measures */
  double least;      /* a saddle is drawn at least so wide */
  double string;     /* and a string so thick, where it is wound round something */
  SlPoint crest;     /* where the string lies on the saddle */
  double top;        /* y of what the saddle stands out of, and its exposure is read from */
  double body, back; /* y of the body's top below it, and of the body's back */
  SlPoint anchor;
  double end; /* x at which the body is cut off */
} SlHardware;

/* How the bridge end is built. */
typedef struct
{
  void (*bridge) (const SlHardware *h);
  void (*anchor) (const SlHardware *h);
  gboolean solid, arched; /* the body: no plates; its top carved to an arch */
  gboolean wood;          /* a block of it about the saddle, dark enough for light words */
  gboolean over;          /* the strings are held over the body, not in it */
  double front, depth;    /* mm that a close-up shows before the crest, and of bridge over the body: common practice */
  double anchor_at, before; /* mm behind the crest, where the document has none: common practice; and before it, what
                       shows the construction in the small picture */
} SlBridgeBuild;

const SlBridgeBuild *sl_bridge_build (const SlInstrument *in);

/* As the functions of a build draw, over the body: first the bridge, which carries the saddle; the saddle; the string;
 * the anchor, which holds it. Each enters what labels must keep clear of. */
void sl_hardware_draw_saddle (const SlHardware *h);

/* Its top where its crest was before, if that is elsewhere. */
void sl_hardware_draw_ghost (const SlHardware *h, SlPoint before);

/* The saddle drawn there: left, top, right and foot. */
SlRect sl_hardware_saddle (const SlHardware *h);

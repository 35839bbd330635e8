/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The bridge end of an instrument from the side as it is built: bridge, saddle and what holds the string behind it.
 * Side view, close-up and the small picture of a construction draw it with the same functions, each to its own scale.
 */
#pragma once

#include "draw/base/dimension.h"

/* Where it goes, in the surface's units. */
typedef struct
{
  SlScene *scene;
  const SlInstrument *in;
  double unit;       /* units per mm, of its own measures */
  double least;      /* a saddle is drawn at least so wide */
  SlPoint crest;     /* where the string lies on the saddle */
  double top;        /* y of what the saddle stands out of, and its exposure is read from */
  double body, back; /* y of the body's top below it, and of the body's back */
  SlPoint anchor;
  double end; /* x at which the body is cut off */
} SlHardware;

/* A solid body, not one of plates; its top carved to an arch. */
gboolean sl_hardware_is_solid (const SlInstrument *in);
gboolean sl_hardware_is_arched (const SlInstrument *in);

/* Whether the saddle hangs on threads: what is below its crest goes up and down with it. */
gboolean sl_hardware_on_threads (const SlInstrument *in);

/* Each draws, and enters what labels must keep clear of. The bridge is what carries the saddle; it is drawn over the
 * body, the saddle over it, the anchor over the string. */
void sl_hardware_draw_bridge (const SlHardware *h);
void sl_hardware_draw_saddle (const SlHardware *h);
void sl_hardware_draw_anchor (const SlHardware *h);

/* The saddle drawn there: left, top, right and foot. */
SlRect sl_hardware_saddle (const SlHardware *h);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A scene is one picture being drawn: where to draw, what in it must stay free of text, and the texts themselves. Texts
 * are asked for while the shapes are drawn, and placed when all shapes are known: each takes the best of many places
 * round the point it speaks of, on no other text, no string and no handle, and inside its stage; where none is free it
 * is shortened, moved further, and in the last resort left out.
 */
#pragma once

#include <glib/gi18n-lib.h>

#include "draw/base/picture.h"

/* One piece of a line of text. */
typedef struct
{
  SlInk ink;
  gboolean bold, small;
  char text[96];
} SlRun;

#define SL_MAX_RUNS 6
typedef struct
{
  SlRun runs[SL_MAX_RUNS];
  int n;
  int n_above; /* of the n, how many stand above the reference line; the rest stand below it */
} SlWording;

/* How a leader ends (ISO 128-22): in nothing on a dimension line, in an arrowhead on an outline, in a dot inside one.
 */
typedef enum
{
  SL_LEADER_NONE, /* no leader: the text stands close by */
  SL_LEADER_PLAIN,
  SL_LEADER_ARROW,
  SL_LEADER_DOT
} SlLeaderEnd;

typedef struct _SlScene SlScene;
typedef struct _SlRequest SlRequest;

#define SL_MAX_WORDINGS 4
struct _SlRequest
{
  double x, y;   /* what it speaks of */
  double dx, dy; /* the side it would like to be on */
  double clear;  /* least distance from there */
  double reach;  /* farthest, where there is no room the text is left out; 0: anywhere on the stage */
  SlLeaderEnd end;
  SlInk leader_ink;
  SlWording wordings[SL_MAX_WORDINGS]; /* longest first */
  int n_wordings;
  void (*draw) (SlScene *scene, const SlRequest *request); /* NULL, or what says nothing where the text has no place */
  double parts[6];                                         /* for that one, as it likes them */
};

/* What a label keeps clear of, at a cost: a line, or a leader drawn before; an area, or a handle. */
typedef struct
{
  double x0, y0, x1, y1, cost;
  gboolean leader;
} SlSceneLine;

typedef struct
{
  SlRect rect;
  double cost;
  gboolean handle;
} SlSceneBlock;

struct _SlScene
{
  cairo_t *cr;
  const SlAnalysis *analysis;
  const SlInstrument *instrument;
  const SlState *before_state, *after_state; /* as measured; as planned where something is */
  const SlFigures *before_figures, *after_figures;
  gboolean ghost; /* something is planned: the measured state is shown behind */
  const SlPictureOptions *options;
  int chosen;    /* string, or SL_ALL_STRINGS */
  int spoken[2]; /* the strings it speaks of: the chosen one, or both outer ones, bass first */
  int n_spoken;
  const SlColour *palette;
  SlPictureMap *map; /* may be NULL */
  SlRect stage;      /* what labels must stay inside */
  gboolean turned;   /* drawn left for right (sl_scene_turn) */
  GArray *texts;     /* of SlRect: texts already placed */
  GArray *lines;     /* of SlSceneLine */
  GArray *blocks;    /* of SlSceneBlock */
  GArray *requests;  /* of SlRequest */
  GPtrArray *kept;   /* what sl_kept() keeps */
};

/* @analysis NULL: of no instrument. */
void sl_scene_init (SlScene *scene, cairo_t *cr, const SlAnalysis *analysis, const SlPictureOptions *options,
                    SlPictureMap *map, SlRect stage);
void sl_scene_clear (SlScene *scene);

/* Takes a text, or makes one, that is there until the scene is cleared. */
const char *sl_kept (const SlScene *scene, char *text);
const char *sl_print (const SlScene *scene, const char *format, ...) G_GNUC_PRINTF (2, 3);

/* Left-handed: from here on all is drawn left for right about the stage's middle, and what was entered so far lies
 * where it did; texts read as ever. Once more turns back. Of a right-handed instrument nothing is turned. */
void sl_scene_turn (SlScene *scene);

/* Where what is drawn at @x is seen: what a map holds. */
double sl_scene_seen_x (const SlScene *scene, double x);

#define SL_NEVER INFINITY /* cost of lying on something a label must not lie on */
void sl_scene_block (SlScene *scene, double x, double y, double width, double height, double cost);

/* What is drawn round (x, y) says @text once the pointer rests on it. */
void sl_scene_mark (SlScene *scene, double x, double y, const char *text);
void sl_scene_line (SlScene *scene, double x0, double y0, double x1, double y1, double cost);

/* A text at a fixed place, as a label among the others: returns FALSE, and shows nothing, where it would leave the
 * stage or lie on another. (x, y) is its top left; @align 0, 0.5 or 1 tells which part of its width lies at x. */
gboolean sl_scene_fixed (SlScene *scene, const SlWording *wording, double x, double y, double align);
gboolean sl_scene_text (SlScene *scene, SlInk ink, gboolean bold, gboolean small, const char *text, double x, double y,
                        double align);
double sl_scene_text_height (const SlScene *scene);

/* A wording's heights are those above and below the reference line. */
typedef struct
{
  double width, above, below;
} SlWordingSize;
SlWordingSize sl_wording_size (const SlScene *scene, const SlWording *wording);

/* Whether two rectangles come nearer than @clearance. */
gboolean sl_rects_meet (const SlRect *a, const SlRect *b, double clearance);

/* Whether @box is on the stage and keeps clear of every text. */
gboolean sl_scene_is_free (const SlScene *scene, const SlRect *box);

/* Draws a wording in @box, its second line @between below the first, and enters it among the texts and into the map. */
void sl_scene_show (SlScene *scene, const SlWording *wording, SlRect box, double above, double between, double align);

/* Building a wording. sl_wording_add() appends to the last line; after sl_wording_break() lines stand below the
 * reference line. */
void sl_wording_add (SlWording *wording, SlInk ink, gboolean bold, gboolean small, const char *text);
void sl_wording_printf (SlWording *wording, SlInk ink, gboolean bold, gboolean small, const char *format, ...)
    G_GNUC_PRINTF (5, 6);
void sl_wording_break (SlWording *wording);

/* A request without words: of what lies at (x, y), to stand on the side (dx, dy) and at least @clear away. */
SlRequest sl_request (double x, double y, double dx, double dy, double clear, SlLeaderEnd end, SlInk leader_ink);

/* Asks for a label; earlier ones get the better places. The second asks for one of a plain text and, below it, a quiet
 * one (NULL: none). */
void sl_scene_request (SlScene *scene, const SlRequest *request);
void sl_scene_note (SlScene *scene, SlRequest request, SlInk ink, gboolean bold, const char *text, const char *beneath);

/* Places and draws all labels that were asked for, each at the best of many places round what it speaks of. */
void sl_scene_place (SlScene *scene);

#define SL_HANDLE_RADIUS 6.5
#define SL_LANDING_GAP 1.0 /* between text and reference line */

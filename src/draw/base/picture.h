/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which pictures there are, how one is asked for, and where things on it were drawn. */
#pragma once

#include <cairo.h>

#include "draw/base/style.h"
#include "setup/record/compare.h"
#include "setup/physics/figures.h"

typedef enum
{
  SL_PICTURE_SIDE, /* head to bridge, heights magnified by a stated factor */
  SL_PICTURE_NUT,  /* close-ups, true proportions */
  SL_PICTURE_FRET_12,
  SL_PICTURE_BRIDGE,
  SL_PICTURE_ALL,     /* side view with the three close-ups below, as one sheet: what the command line writes */
  SL_PICTURE_STRINGS, /* tension and forces, slots, saddle top; another set beside */
  SL_PICTURE_PITCH,   /* cents over frets, and the crests seen from above */
  SL_PICTURE_FRETS,   /* crowns along the neck as they are and as levelled */
  SL_PICTURE_GAPS,    /* margins, string by fret */
  SL_N_PICTURES
} SlPictureKind;

#define SL_ALL_STRINGS 0

typedef struct
{
  SlPictureKind kind;
  double width, height; /* of the stage, in the surface's units */
  int string;           /* 1…n, or SL_ALL_STRINGS */
  int held;             /* fret the shown string is held at, 0 open */
  double height_factor; /* 0: chosen to fill the stage */
  SlLengths lengths;
  const char *decimal; /* decimal sign for figures */
  SlLook look;
  double text_scale;         /* 1: 11-unit text */
  int focus;                 /* handle to show with a focus ring, −1 none (see SlPictureMap) */
  const char *title;         /* of the sheet and the file, borrowed; NULL: none */
  const SlComparison *other; /* strings picture: another set to show beside, borrowed; NULL: none */
  const char *other_name;    /* its name, translated, borrowed */
  gboolean still;            /* to look at, not to work with: no handles, and nothing of what to take off */
  gboolean plain;     /* side view: for whoever isn't of the trade: one figure in plain words, none of the shop's */
  const char *legend; /* of the side view, in place of the key to measured and planned, borrowed; NULL: that key */
  gboolean replacing; /* frets picture: new frets in place of those past saving */
  gboolean measured;  /* gaps picture: as measured rather than as planned */
  double unit_mm; /* what one unit measures where the picture is looked at: 1/96 in unless set. Close-ups state their
                     magnification by it */
} SlPictureOptions;

void sl_picture_options_init (SlPictureOptions *options);

typedef enum
{
  SL_HANDLE_CREST, /* drag up or down: the saddle's base cut (or the crest of the chosen string) */
  SL_HANDLE_NECK,  /* drag the neck's middle: relief */
  SL_HANDLE_SLOT,  /* drag the nut slot */
  SL_N_HANDLES
} SlHandleKind;

typedef struct
{
  double x, y, width, height;
} SlRect;

typedef struct
{
  double x, y;
} SlPoint;

typedef struct
{
  gboolean shown;
  double x, y;
} SlPictureHandle;

/* Where things came to lie, for pointer, keyboard and tests. */
typedef struct
{
  SlPictureHandle handles[SL_N_HANDLES];
  double units_per_mm_along, units_per_mm_up; /* scale along the neck, negative where that runs to the left, and of
                                                 heights (their ratio is the height factor) */
  double origin_x, origin_y;                  /* where x = 0, z = 0 lies */
  double height_factor;
  double fret_x[SL_MAX_FRETS + 1]; /* where frets lie, for clicking one */
  SlRect board;                    /* where a click chooses a fret */
  double body_top, body_bottom;    /* of the side view: the body's outline, from the joint's fret to the right */
  GArray *labels;                  /* of SlPictureLabel; every text drawn */
  GArray *marks;                   /* the same of what says what it stands for once the pointer rests on it */
} SlPictureMap;

typedef struct
{
  SlRect rect;
  char text[120];
} SlPictureLabel;

void sl_picture_map_init (SlPictureMap *map);
void sl_picture_map_empty (SlPictureMap *map); /* as before a picture is drawn */
void sl_picture_map_clear (SlPictureMap *map);

#define SL_PICTURE_ERROR (sl_picture_error_quark ())
GQuark sl_picture_error_quark (void);

typedef enum
{
  SL_PICTURE_ERROR_SIZE, /* larger than cairo can draw */
  SL_PICTURE_ERROR_CAIRO /* cairo failed */
} SlPictureError;

/* The files a picture can become. */
typedef enum
{
  SL_FORMAT_SVG,
  SL_FORMAT_PNG,
  SL_FORMAT_PDF
} SlFormat;

/* From a file name's ending; FALSE where it is none of the three. */
gboolean sl_format_from_name (const char *name, SlFormat *format);

/* To draw a file with: of @width by @height, in a PNG @scale pixels a unit. NULL with @error where it would be too
 * large. */
cairo_t *sl_picture_begin (SlFormat format, double width, double height, double scale, GError **error);

/* What a PDF says of itself; @date is a whole ISO 8601 date and time. */
void sl_picture_set_pdf (cairo_t *cr, const char *title, const char *date);

/* Ends the drawing and frees @cr; the file. NULL with @error, worded by @fault round cairo's reason, where cairo
 * failed.
 */
GByteArray *sl_picture_end (cairo_t *cr, SlFormat format, const char *fault, GError **error);

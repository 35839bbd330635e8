/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window that shows one photograph large and measures in it: the picture with its marks (photo-view.c, drawn by
 * photo-draw.c), the panel beside it (photo-measure.c), and what brings both together (photo-window.c). It works on a
 * copy of what the document says of the photograph; each change is kept as a step of the bench once it is whole. */
#pragma once

#include "desk/kit/kit.h"
#include "desk/photos/photos.h"

typedef enum
{
  SL_SHAPE_NONE,
  SL_SHAPE_KNOWN, /* a known length */
  SL_SHAPE_FLAT,  /* four corners */
  SL_SHAPE_MARK   /* what is measured */
} SlShapeKind;

/* What is marked, with its ends; corners have neither u nor blur. */
typedef struct
{
  SlShapeKind kind;
  guint nth; /* of its kind */
  int n;     /* ends */
  SlNumber *x, *y, *u, *blur;
} SlShape;

/* All that is marked, from 0: known lengths, corners, what is measured. FALSE: there are not so many. */
gboolean sl_photo_shape (const SlPhoto *photo, int nth, SlShape *out);
char *sl_photo_shape_name (const SlPhoto *photo, const SlShape *shape); /* free with g_free() */

#define SL_PHOTO_LEVELS 7 /* the picture, and halves of it, so that little is drawn small */

#define SL_TYPE_PHOTO_WINDOW (sl_photo_window_get_type ())
G_DECLARE_FINAL_TYPE (SlPhotoWindow, sl_photo_window, SL, PHOTO_WINDOW, GtkWindow)

struct _SlPhotoWindow
{
  GtkWindow parent_instance;

  /* of the template, in the order they are bound in */
  GtkWidget *trouble, *view, *waiting, *hint, *snaps, *about, *known_as, *entries[5], *scale, *of, *string, *fret,
      *held, *result, *parts, *model, *take, *told, *lists;

  SlBench *bench; /* kept */
  char *id;
  SlPhoto photo;       /* the copy */
  gboolean editing;    /* it differs from the document */
  int chosen, end;     /* what is chosen, −1: nothing, and which end of it */
  SlShapeKind drawing; /* what the next press in the picture begins */
  SlKnownLength known; /* what the next one is like, and so for the others */
  SlFlat flat;
  SlMark mark;
  GtkWidget *rows;
  GArray *presets; /* lengths that are known */
  SlBound percent;

  SlGrey *grey; /* NULL while there is no picture */
  cairo_surface_t *levels[SL_PHOTO_LEVELS];
  gboolean fits, pans, space;
  double zoom, x, y;            /* units a px of the picture, and where its corner is */
  double at_x, at_y;            /* the pointer */
  double began_x, began_y, was; /* where a drag began in the view; how large a pinch found it */
  SlSpot origin;                /* what is drawn begins there; of a pan the picture's corner */
};

/* ---- photo-view ---- */

void sl_photo_view_choose (SlPhotoWindow *self, int shape, int end);
void sl_photo_view_remove (SlPhotoWindow *self, int shape);
void sl_photo_view_zoom (SlPhotoWindow *self, double by, double x, double y); /* 0: all of the picture */
void sl_photo_view_set_picture (SlPhotoWindow *self, GdkPixbuf *picture);     /* halved and made grey in a thread */

/* "Known length, end 1 at 512.3; 80.1, on an edge"; free with g_free(). */
char *sl_photo_end_said (SlPhotoWindow *self);

/* Has the window's template call the handlers of the picture. */
void sl_photo_view_bind (gpointer class);

/* ---- photo-draw ---- */

/* "1.83 ± 0.06 mm", "12.4 ± 0.5°"; U NAN: none. Free with g_free(). */
char *sl_measured_text (SlBench *bench, SlMeasure of, double value, double U);
char *sl_photo_shape_text (SlPhotoWindow *self, const SlShape *shape);           /* its figure; NULL: none */
SlSpot sl_photo_seen (const SlPhotoWindow *self, const SlShape *shape, int end); /* where an end is in the view */
void sl_photo_draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer window);

/* ---- photo-measure ---- */

void sl_photo_panel_bind (gpointer class);
void sl_photo_panel_init (SlPhotoWindow *self);
void sl_photo_fit_mark (SlMark *mark); /* of string and fret what its measure has */
void sl_photo_panel_update (SlPhotoWindow *self);

/* ---- photo-window ---- */

/* The copy or the choice changed. */
void sl_photo_window_moved (SlPhotoWindow *self);

/* Keeps the copy as a step of this name. */
void sl_photo_window_keep (SlPhotoWindow *self, const char *step);

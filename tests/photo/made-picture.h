/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pictures of which everything is known: light falls through a pinhole onto a sensor, blurred, coded, with noise, and
 * kept as JPEG. It shares no code with the program. */
#pragma once

#include <gdk-pixbuf/gdk-pixbuf.h>

/* A camera that looks along its axis at the origin of a plane: x = f X/Z (Hartley and Zisserman, Multiple View Geometry
 * in Computer Vision, 2nd ed., 6.1). The plane is turned by @roll about the axis, then tilted by @tilt about the
 * picture's x and by @swing about its y, degrees. */
typedef struct
{
  double px_per_mm; /* where the axis meets the plane */
  double distance;  /* mm from there */
  double roll, tilt, swing;
  double x, y; /* px, of the axis in the picture */
} MadeCamera;

/* Where a place X, Y, @above the plane towards the camera, mm, is seen. */
void made_seen (const MadeCamera *camera, double X, double Y, double above, double *x, double *y);

/* Linear light, oversampled. */
typedef struct
{
  int width, height; /* px of the picture */
  gpointer surface;
} MadePicture;
MadePicture *made_new (int width, int height, double light);
void made_free (MadePicture *picture);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (MadePicture, made_free)

/* A polygon of @n corners in px of the picture, x and y in turn. */
void made_polygon (MadePicture *picture, const double *corners, int n, double light);

/* What the camera makes of it. */
typedef struct
{
  double blur;  /* standard deviation of a Gaussian, px */
  double noise; /* standard deviation in the coded picture, of full scale */
  double power; /* 0: coded by IEC 61966-2-1; else light to this power */
  double tint;  /* by which blue is darker than red, of the light */
  int quality;  /* of JPEG; 0: none */
} MadeCoding;
GdkPixbuf *made_pixbuf (MadePicture *picture, const MadeCoding *coding, GRand *chance);

/* A standard normal deviate (Box and Muller). */
double made_normal (GRand *chance);

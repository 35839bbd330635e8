/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Sound from files and from what is plugged in, as mono samples. What decodes and captures is a module that is loaded
 * with the first call, so that a program needs its libraries only when it listens. Nothing is kept or sent anywhere. */
#pragma once

#include <gio/gio.h>

#define SL_CAPTURE_MOST_S 3600.0   /* of a recording */
#define SL_CAPTURE_MOST_CHANNELS 2 /* which are mixed */

#define SL_CAPTURE_ERROR (sl_capture_error_quark ())
GQuark sl_capture_error_quark (void);
typedef enum
{
  SL_CAPTURE_ERROR_NO_MODULE, /* what listens is not installed */
  SL_CAPTURE_ERROR_NO_DEVICE,
  SL_CAPTURE_ERROR_BUSY,
  SL_CAPTURE_ERROR_DENIED,
  SL_CAPTURE_ERROR_LOST,     /* unplugged while it was listened to, or the sound server went */
  SL_CAPTURE_ERROR_NO_SOUND, /* a file that can't be decoded or holds no sound */
  SL_CAPTURE_ERROR_REFUSED,  /* a rate too low, too many channels, too long */
  SL_CAPTURE_ERROR_TRUNCATED /* ended in the middle; what came before was heard */
} SlCaptureError;

typedef struct _SlCapture SlCapture;

/* Called in the thread-default main context of whoever opened it, who also closes it: in a handler, or after the end.
 */
typedef struct
{
  void (*heard) (gpointer owner, const float *samples, gsize n, double rate);
  void (*ended) (gpointer owner, const GError *error); /* NULL at the end of a file; the last call there is */
} SlCaptureHandlers;

/* Begins to decode a file, as fast as it is taken, or to capture from a device (an id of sl_capture_devices(); NULL or
 * empty: the system's). What fails later comes to @ended; errors are sentences for people. */
SlCapture *sl_capture_open_file (GFile *file, const SlCaptureHandlers *handlers, gpointer owner, GError **error);
SlCapture *sl_capture_open_device (const char *id, const SlCaptureHandlers *handlers, gpointer owner, GError **error);
void sl_capture_close (SlCapture *self); /* no handler is called from then on */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (SlCapture, sl_capture_close)

/* Whether nothing but zeros has come of a device for two seconds, as when it is muted, there or at the server. */
gboolean sl_capture_is_muted (SlCapture *self);

/* What can be listened to. May wait for the sound server: for a thread. */
typedef struct
{
  char *id, *name;
} SlCaptureDevice;
GPtrArray *sl_capture_devices (GError **error); /* of SlCaptureDevice, free with g_ptr_array_unref() */

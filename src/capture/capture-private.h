/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What capture.c finds in the module, and what the module's files share. Only the module sees GStreamer. */
#pragma once

#include "capture/capture.h"

#define SL_CAPTURE_MODULE_FILE "sidelong-capture.so"
#define SL_CAPTURE_MODULE_SYMBOL "sl_capture_module"

typedef struct
{
  /* @file, or NULL for the device @id. */
  SlCapture *(*open) (GFile *file, const char *id, const SlCaptureHandlers *handlers, gpointer owner);
  void (*close) (SlCapture *self);
  gboolean (*is_muted) (SlCapture *self);
  GPtrArray *(*devices) (GError **error); /* which frees nothing yet */
} SlCaptureModule;

/* That listening needs more than is installed. */
#define SL_CAPTURE_NOT_INSTALLED                                                                                       \
  N_ ("What Sidelong listens with isn't installed. On Debian: apt install gstreamer1.0-plugins-base "                  \
      "gstreamer1.0-plugins-good gstreamer1.0-libav gstreamer1.0-pulseaudio.")

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
  GPtrArray *(*devices) (GError **error);
  int *at_work; /* threads that listen, atomically */
} SlCaptureModule;

/* That listening needs more than is installed. */
#define SL_CAPTURE_NOT_INSTALLED                                                                                       \
  N_ ("What Sidelong listens with isn't installed. On Debian: apt install gstreamer1.0-plugins-base "                  \
      "gstreamer1.0-plugins-good gstreamer1.0-libav gstreamer1.0-pulseaudio.")

/* ---- in the module ---- */

typedef struct _GstElement GstElement;

/* Readies GStreamer, the first time; may take seconds where it looks for its parts anew. */
gboolean sl_capture_ready (GError **error);

/* From a file or device to an appsink named "sink" that gives 32-bit floats in one channel or two. That a file has
 * more, or a rate that can't be heard, comes as an error message with an error of SL_CAPTURE_ERROR. @promised_s: how
 * long the file says it is; 0 where it doesn't, INFINITY where its end is missing. */
GstElement *sl_capture_file_pipeline (GFile *file, double *promised_s, GError **error);
GstElement *sl_capture_device_pipeline (const char *id, GError **error);
GPtrArray *sl_capture_list_devices (GError **error);

/* What to tell people. @fault is GStreamer's, NULL where nothing comes. */
char *sl_capture_shown_name (GFile *file); /* in quotes */
GError *sl_capture_file_fault (GFile *file, double heard_s, double promised_s);
GError *sl_capture_device_fault (const GError *fault, gboolean heard);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What GStreamer is asked to do, and what it says when it fails, as sentences for people. In the module only. */
#pragma once

#include <gst/gst.h>

#include "capture/capture-private.h"

/* What a file says of itself. */
typedef struct
{
  double promised_s;   /* how long it says it is; 0 where it doesn't */
  gboolean breaks_off; /* without its end */
  gboolean is_wav;
} SlCaptureHead;
SlCaptureHead sl_capture_read_head (const char *path);

/* Readies GStreamer, the first time; may take seconds where it looks for its parts anew. */
gboolean sl_capture_ready (GError **error);

/* From a file or device to an appsink named "sink" that gives 32-bit floats in one channel or two. That a file has
 * more, or a rate that can't be heard, comes as an error message with an error of SL_CAPTURE_ERROR. */
GstElement *sl_capture_file_pipeline (GFile *file, SlCaptureHead *head, GError **error);
GstElement *sl_capture_device_pipeline (const char *id, GError **error);
GPtrArray *sl_capture_list_devices (GError **error);

/* What to tell people. @fault is GStreamer's, NULL where nothing comes. */
char *sl_capture_shown_name (GFile *file); /* in quotes */
GError *sl_capture_file_fault (GFile *file, double heard_s, double promised_s);
GError *sl_capture_device_fault (const GError *fault, gboolean heard);

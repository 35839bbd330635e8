/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One capture: a thread of its own opens what is listened to, since that may wait for a server or a slow disk, takes
 * the samples and posts them to the owner's main context; never more than a few blocks ahead of it. */
#include <glib/gi18n.h>
#include <gmodule.h>
#include <gst/app/gstappsink.h>
#include <math.h>

#include "capture/capture-private.h"

#define LOOK_MS 20           /* between two looks at whether it was closed or something failed */
#define WATCHDOG_S 5         /* from one look to the next without anything: what is listened to hangs */
#define MOST_PENDING 64      /* blocks that wait for the owner */
#define MUTED_S 2.0          /* of nothing but zeros, which no open input gives */
#define PROMISE_MARGIN_S 0.1 /* by which a file may be shorter than it says: encoders pad */

/* the module's own; a quark is the same by its name */
G_DEFINE_QUARK (sl_capture_error_quark, sl_capture_error)

static int at_work;

struct _SlCapture
{
  SlCaptureHandlers handlers;
  gpointer owner;
  GMainContext *context; /* of the owner */
  GFile *file;           /* NULL: a device */
  char *id;
  GSource *watch;         /* by which the owner looks whether anything comes */
  gint beats, beats_seen; /* 1: it is ready; counts what came from then on */
  gint pending;           /* deliveries under way */
  gint muted, closed;
  /* only the thread's: */
  double rate; /* 0 before the first block */
  guint64 frames, zeros;
  double promised_s; /* how long the file says it is */
};

/* What is posted: a block of samples or, with none, the end. */
typedef struct
{
  SlCapture *capture;
  float *samples;
  gsize n;
  double rate;
  GError *error;
} Delivery;

static void
clear_capture (gpointer data)
{
  SlCapture *self = data;
  g_main_context_unref (self->context);
  g_source_unref (self->watch);
  g_clear_object (&self->file);
  g_free (self->id);
}

static void
unref_capture (SlCapture *self)
{
  g_atomic_rc_box_release_full (self, clear_capture);
}

static void
free_delivery (gpointer data)
{
  Delivery *delivery = data;
  unref_capture (delivery->capture);
  g_free (delivery->samples);
  g_clear_error (&delivery->error);
  g_free (delivery);
}

/* By the owner: nothing reaches it from now on, and the thread ends as soon as it can. */
static void
shut (SlCapture *self)
{
  g_atomic_int_set (&self->closed, TRUE);
  g_source_destroy (self->watch);
}

static gboolean
deliver (gpointer data)
{
  Delivery *delivery = data;
  SlCapture *self = delivery->capture;

  g_atomic_int_add (&self->pending, -1);
  if (g_atomic_int_get (&self->closed))
    return G_SOURCE_REMOVE;
  if (delivery->samples != NULL)
    self->handlers.heard (self->owner, delivery->samples, delivery->n, delivery->rate);
  else
    {
      shut (self);
      self->handlers.ended (self->owner, delivery->error);
    }
  return G_SOURCE_REMOVE;
}

/* The thread may wait without end for a server or a disk, so the owner looks itself. */
static gboolean
look (gpointer data)
{
  SlCapture *self = data;
  const gint beats = g_atomic_int_get (&self->beats);
  const gboolean goes_on = beats == 0 || beats != self->beats_seen || g_atomic_int_get (&self->pending) > 0;

  self->beats_seen = beats;
  if (goes_on)
    return G_SOURCE_CONTINUE;
  g_autoptr (GError) error =
      self->file != NULL ? sl_capture_file_fault (self->file, 0.0, 0.0) : sl_capture_device_fault (NULL, beats > 1);
  shut (self);
  self->handlers.ended (self->owner, error);
  return G_SOURCE_REMOVE;
}

/* Takes over @samples and @error. Waits while the owner is behind. */
static void
post (SlCapture *self, float *samples, gsize n, GError *error)
{
  Delivery *delivery = g_new (Delivery, 1);
  *delivery = (Delivery){ g_atomic_rc_box_acquire (self), samples, n, self->rate, error };
  g_autoptr (GSource) source = g_idle_source_new ();

  /* what comes in now goes first; a file waits for what a window has to do */
  g_source_set_priority (source, self->file == NULL ? G_PRIORITY_DEFAULT : G_PRIORITY_DEFAULT_IDLE);
  g_source_set_callback (source, deliver, delivery, free_delivery);
  while (g_atomic_int_get (&self->pending) >= MOST_PENDING && !g_atomic_int_get (&self->closed))
    g_usleep (LOOK_MS * 1000 / 4);
  g_atomic_int_inc (&self->pending);
  g_source_attach (source, self->context);
}

/* The channels' mean. A file may hold figures that are none, or beyond full scale. */
static float *
mix (SlCapture *self, const float *samples, gsize n, int channels)
{
  float *mono = g_new (float, n + 1); /* NULL would be the end */
  for (gsize i = 0; i < n; i++)
    {
      float sum = 0.0f;
      for (int c = 0; c < channels; c++)
        sum += *samples++;
      mono[i] = isfinite (sum) ? CLAMP (sum / (float) channels, -1.0f, 1.0f) : 0.0f;
      self->zeros = fpclassify (mono[i]) == FP_ZERO ? self->zeros + 1 : 0;
    }
  return mono;
}

/* Why a file is not heard further: longer than is heard, by what it says with its first block or by what was heard; or
 * of another rate, as pieces of OGG files may be, one after another. */
static GError *
objection (SlCapture *self, GstElement *pipeline, int rate)
{
  g_autofree char *name = sl_capture_shown_name (self->file);
  gint64 duration = 0;

  if (self->frames == 0 && gst_element_query_duration (pipeline, GST_FORMAT_TIME, &duration))
    self->promised_s = MAX (self->promised_s, (double) duration / GST_SECOND);
  if ((double) duration > SL_CAPTURE_MOST_S * GST_SECOND || (double) self->frames > SL_CAPTURE_MOST_S * self->rate)
    return g_error_new (SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_REFUSED,
                        _ ("%s is over %.0f minutes long. Cut out the part with the notes."), name,
                        SL_CAPTURE_MOST_S / 60.0);
  return fabs (self->rate - rate) > 0.5 ? sl_capture_file_fault (self->file, (double) self->frames / self->rate, 0.0)
                                        : NULL;
}

/* One block of what came. Returns FALSE with @error set where nothing more is to come. */
static gboolean
hear (SlCapture *self, GstElement *pipeline, GstSample *sample, GError **error)
{
  const GstStructure *form = gst_caps_get_structure (gst_sample_get_caps (sample), 0);
  GstBuffer *buffer = gst_sample_get_buffer (sample);
  GError *why = NULL;
  GstMapInfo map;
  int rate = 0, channels = 0;

  gst_structure_get (form, "rate", G_TYPE_INT, &rate, "channels", G_TYPE_INT, &channels, NULL);
  if (self->frames == 0)
    self->rate = rate;
  if (self->file != NULL && (why = objection (self, pipeline, rate)) != NULL)
    g_propagate_error (error, why);
  else if (gst_buffer_map (buffer, &map, GST_MAP_READ))
    {
      const gsize n = map.size / (sizeof (float) * (gsize) channels);
      float *mono = mix (self, (const float *) map.data, n, channels);
      gst_buffer_unmap (buffer, &map);
      g_atomic_int_set (&self->muted, self->file == NULL && (double) self->zeros >= MUTED_S * rate);
      self->frames += n;
      post (self, mono, n, NULL);
    }
  return why == NULL;
}

/* Whether @message ends the capture; with @error set unless a file ended as it should. That no device can be opened is
 * a warning, and silence would follow. */
static gboolean
ends_with (SlCapture *self, GstMessage *message, GError **error)
{
  g_autoptr (GError) fault = NULL;
  g_autofree char *debug = NULL;
  const GstMessageType type = GST_MESSAGE_TYPE (message);
  const double heard_s = self->rate > 0.0 ? (double) self->frames / self->rate : 0.0;

  if (type == GST_MESSAGE_ERROR)
    gst_message_parse_error (message, &fault, &debug);
  else if (type == GST_MESSAGE_WARNING)
    gst_message_parse_warning (message, &fault, &debug);
  if (fault != NULL)
    g_debug ("%s: %s", fault->message, debug);
  if (type == GST_MESSAGE_WARNING && (self->file != NULL || fault->domain != GST_RESOURCE_ERROR))
    return FALSE;
  if (type == GST_MESSAGE_EOS && self->frames > 0 && heard_s >= self->promised_s - PROMISE_MARGIN_S)
    return TRUE;
  if (fault != NULL && fault->domain == SL_CAPTURE_ERROR)
    g_propagate_error (error, g_steal_pointer (&fault));
  else
    g_propagate_error (error, self->file != NULL ? sl_capture_file_fault (self->file, heard_s, self->promised_s)
                                                 : sl_capture_device_fault (fault, self->frames > 0));
  return TRUE;
}

/* Until it ends or is closed. Of a file, all that was decoded goes before what failed; for a device that isn't there
 * silence comes. */
static void
listen (SlCapture *self, GstElement *pipeline, GError **error)
{
  g_autoptr (GstElement) sink = gst_bin_get_by_name (GST_BIN (pipeline), "sink");
  g_autoptr (GstBus) bus = gst_element_get_bus (pipeline);
  const GstMessageType ends = GST_MESSAGE_ERROR | GST_MESSAGE_WARNING | GST_MESSAGE_EOS;
  gboolean goes_on = TRUE;

  gst_element_set_state (pipeline, GST_STATE_PLAYING);
  while (goes_on && !g_atomic_int_get (&self->closed))
    {
      g_autoptr (GstMessage) message = self->file == NULL ? gst_bus_pop_filtered (bus, ends) : NULL;
      g_autoptr (GstSample) sample =
          message == NULL ? gst_app_sink_try_pull_sample (GST_APP_SINK (sink), LOOK_MS * GST_MSECOND) : NULL;

      if (sample != NULL)
        {
          g_atomic_int_inc (&self->beats);
          goes_on = hear (self, pipeline, sample, error);
          continue;
        }
      if (message == NULL)
        message = gst_bus_timed_pop_filtered (bus, LOOK_MS * GST_MSECOND, ends);
      goes_on = message == NULL || !ends_with (self, message, error);
    }
}

static gpointer
run (gpointer data)
{
  SlCapture *self = data;
  GstElement *pipeline = NULL;
  GError *error = NULL;

  if (sl_capture_ready (&error))
    {
      g_atomic_int_inc (&self->beats);
      pipeline = self->file != NULL ? sl_capture_file_pipeline (self->file, &self->promised_s, &error)
                                    : sl_capture_device_pipeline (self->id, &error);
    }
  if (pipeline != NULL)
    listen (self, pipeline, &error);
  post (self, NULL, 0, error);
  if (pipeline != NULL)
    {
      gst_element_set_state (pipeline, GST_STATE_NULL);
      gst_object_unref (pipeline);
    }
  unref_capture (self);
  g_atomic_int_add (&at_work, -1);
  return NULL;
}

static SlCapture *
open_capture (GFile *file, const char *id, const SlCaptureHandlers *handlers, gpointer owner)
{
  SlCapture *self = g_atomic_rc_box_new0 (SlCapture);

  self->handlers = *handlers;
  self->owner = owner;
  self->context = g_main_context_ref_thread_default ();
  self->file = file != NULL ? g_object_ref (file) : NULL;
  self->id = g_strdup (id);
  self->watch = g_timeout_source_new_seconds (WATCHDOG_S);
  g_source_set_callback (self->watch, look, self, NULL);
  g_source_attach (self->watch, self->context);
  g_atomic_int_inc (&at_work);
  g_thread_unref (g_thread_new ("listen", run, g_atomic_rc_box_acquire (self)));
  return self;
}

static void
close_capture (SlCapture *self)
{
  shut (self);
  unref_capture (self);
}

static gboolean
is_muted (SlCapture *self)
{
  return g_atomic_int_get (&self->muted);
}

G_MODULE_EXPORT const SlCaptureModule sl_capture_module = { open_capture, close_capture, is_muted,
                                                            sl_capture_list_devices, &at_work };

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What GStreamer is asked to do: decode a file of this computer, or capture from a device; and what it and the sound
 * server say when they fail, as sentences for people that say what to do. */
#include <glib/gi18n.h>
#include <gst/gst.h>
#include <math.h>
#include <stdio.h>

#include "capture/capture-private.h"

#define SINK                                                                                                           \
  "audioconvert name=convert ! audio/x-raw,format=F32LE,layout=interleaved%s ! "                                       \
  "appsink name=sink sync=false max-buffers=64"
/* Asked of a device; most run at this rate, and for the others a sound server converts. */
#define DEVICE_FORM ",rate=48000,channels=[1,2]"
#define LEAST_RATE_HZ 22050 /* of sound/note.h, which this layer doesn't see */
#define MOST_RATE_HZ 384000

/* The only ones that are given a file: for WAV, FLAC, OGG, MP3 and M4A. None of them follows an address. */
static const char *const decoders[] = { "wavparse",  "flacparse",      "flacdec",        "oggdemux",
                                        "vorbisdec", "opusparse",      "opusdec",        "id3demux",
                                        "apedemux",  "mpegaudioparse", "mpg123audiodec", "qtdemux",
                                        "aacparse",  "avdec_aac",      "avdec_alac",     NULL };

/* ---- what to tell people ---- */

char *
sl_capture_shown_name (GFile *file)
{
  g_autofree char *base = g_file_get_basename (file), *shown = g_filename_display_name (base);
  return g_strdup_printf (_ ("“%s”"), shown);
}

/* Whether all packages are there that recordings are decoded with, by a part of each. */
static gboolean
has_decoders (void)
{
  GstRegistry *parts = gst_registry_get ();

  return gst_registry_check_feature_version (parts, "wavparse", 1, 0, 0) &&
         gst_registry_check_feature_version (parts, "mpg123audiodec", 1, 0, 0) &&
         gst_registry_check_feature_version (parts, "avdec_aac", 1, 0, 0);
}

GError *
sl_capture_file_fault (GFile *file, double heard_s, double promised_s)
{
  g_autofree char *name = sl_capture_shown_name (file);

  if (heard_s > 0.0 && promised_s > heard_s && isfinite (promised_s))
    return g_error_new (SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_TRUNCATED,
                        _ ("%s breaks off after %.1f of %.1f seconds; what came before was heard."), name, heard_s,
                        promised_s);
  if (heard_s > 0.0)
    return g_error_new (SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_TRUNCATED,
                        _ ("%s breaks off after %.1f seconds; what came before was heard."), name, heard_s);
  if (!has_decoders ())
    return g_error_new_literal (SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_NO_MODULE, _ (SL_CAPTURE_NOT_INSTALLED));
  return g_error_new (SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_NO_SOUND,
                      _ ("%s holds no sound that can be decoded; a WAV, FLAC, OGG, MP3 or M4A file would do."), name);
}

/* The sound server gives its reason in the language of its library; there is no code for it. */
GError *
sl_capture_device_fault (const GError *fault, gboolean heard)
{
  static const struct
  {
    SlCaptureError code;
    int resource; /* GStreamer's; −1: none says it */
    const char *reason, *text;
  } rows[] = {
    { SL_CAPTURE_ERROR_LOST, -1, "Disconnected",
      N_ ("The microphone or pickup is gone: unplugged, or the sound server ended. Plug it in and listen again; "
          "readings can be typed in meanwhile.") },
    { SL_CAPTURE_ERROR_BUSY, GST_RESOURCE_ERROR_BUSY, "Device or resource busy",
      N_ ("Another program has the microphone or pickup for itself. Close it there and listen again, or choose another "
          "in Preferences.") },
    { SL_CAPTURE_ERROR_DENIED, GST_RESOURCE_ERROR_NOT_AUTHORIZED, "Access denied",
      N_ ("Sidelong may not use the microphone. Allow it in the system's privacy or sound settings and listen "
          "again.") },
    { SL_CAPTURE_ERROR_NO_DEVICE, -1, NULL,
      N_ ("No microphone or pickup can be listened to. Plug one in, see that the system's sound settings show it, and "
          "listen again.") },
  };
  gsize i = heard ? 0 : G_N_ELEMENTS (rows) - 1;

  for (gsize row = 0; row < i && fault != NULL; row++)
    if (g_error_matches (fault, GST_RESOURCE_ERROR, rows[row].resource) ||
        strstr (fault->message, rows[row].reason) != NULL ||
        strstr (fault->message, g_dgettext ("pulseaudio", rows[row].reason)) != NULL)
      i = row;
  return g_error_new_literal (SL_CAPTURE_ERROR, (int) rows[i].code, _ (rows[i].text));
}

/* ---- how long a file says it is ---- */

#define MOST_PARTS 4096 /* of a file: what has more is let through */

static gboolean
read_at (FILE *file, goffset place, guint8 *to, gsize n)
{
  return fseeko (file, place, SEEK_SET) == 0 && fread (to, 1, n, file) == n;
}

/* Of a WAV file, s; 0 where that wasn't known yet when its head was written. (IBM and Microsoft, "Multimedia
 * Programming Interface and Data Specifications 1.0", 1991: a RIFF file is chunks of a name, a length and that many
 * bytes, to an even place.) */
static double
promised_by_wav (FILE *file)
{
  const guint32 unknown = 0x7ffff000; /* or more: what programs say that write into a pipe */
  guint8 chunk[20];
  guint32 bytes_a_second = 0;
  goffset place = 12;

  for (int i = 0; i < MOST_PARTS && read_at (file, place, chunk, 8); i++)
    {
      const guint32 size = GST_READ_UINT32_LE (chunk + 4);
      if (memcmp (chunk, "data", 4) == 0)
        return bytes_a_second > 0 && size < unknown ? (double) size / bytes_a_second : 0.0;
      if (memcmp (chunk, "fmt ", 4) == 0 && read_at (file, place, chunk, sizeof chunk))
        bytes_a_second = GST_READ_UINT32_LE (chunk + 16);
      place += 8 + (goffset) size + size % 2;
    }
  return 0.0;
}

/* Whether the last page of an OGG file says that it is the last. (RFC 3533, section 6: a page begins with "OggS", has
 * its flags in the sixth byte, and is 65307 bytes long at most.) */
static gboolean
has_last_page (FILE *file)
{
  enum
  {
    FLAGS = 5,
    LAST = 4,
    MOST = 65307
  };
  g_autofree guint8 *tail = g_malloc (MOST);

  if (fseeko (file, 0, SEEK_END) != 0)
    return FALSE;
  const goffset size = ftello (file), n = MIN (size, MOST);
  for (goffset i = read_at (file, size - n, tail, (gsize) n) ? n - FLAGS : 0; i-- > 0;)
    if (memcmp (tail + i, "OggS", 4) == 0)
      return (tail[i + FLAGS] & LAST) != 0;
  return FALSE;
}

/* What decodes WAV and OGG goes by the bytes that are there, and doesn't tell that more were promised. */
static double
promised (const char *path, gboolean *is_wav)
{
  guint8 name[12] = { 0 };
  double s = 0.0;
  FILE *file = fopen (path, "rbe");

  *is_wav = FALSE;
  if (file == NULL)
    return s;
  *is_wav = read_at (file, 0, name, sizeof name) && memcmp (name, "RIFF", 4) == 0 && memcmp (name + 8, "WAVE", 4) == 0;
  if (*is_wav)
    s = promised_by_wav (file);
  else if (memcmp (name, "OggS", 4) == 0 && !has_last_page (file))
    s = INFINITY;
  fclose (file);
  return s;
}

/* ---- what GStreamer is asked to do ---- */

gboolean
sl_capture_ready (GError **error)
{
  g_autoptr (GstElementFactory) decode = NULL;

  if (gst_init_check (NULL, NULL, NULL))
    decode = gst_element_factory_find ("decodebin");
  if (decode == NULL)
    g_set_error_literal (error, SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_NO_MODULE, _ (SL_CAPTURE_NOT_INSTALLED));
  return decode != NULL;
}

static GstElement *
build (const char *source, const char *form, GError **error)
{
  g_autofree char *sink = g_strdup_printf (SINK, form), *text = g_strconcat (source, " ", sink, NULL);
  GstElement *pipeline = gst_parse_launch_full (text, NULL, GST_PARSE_FLAG_FATAL_ERRORS, NULL);

  if (pipeline == NULL)
    g_set_error_literal (error, SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_NO_MODULE, _ (SL_CAPTURE_NOT_INSTALLED));
  return pipeline != NULL ? gst_object_ref_sink (pipeline) : NULL;
}

/* GstAutoplugSelectResult, which has no header. */
enum
{
  TRY = 0,
  SKIP = 2
};

static int
select_decoder (GstElement *decodebin, GstPad *pad, GstCaps *caps, GstElementFactory *factory, gpointer unused)
{
  return g_strv_contains (decoders, GST_OBJECT_NAME (factory)) ? TRY : SKIP;
}

/* What fails while it is still being added would be dropped by decodebin, and nothing more would come. */
static void
on_added (GstElement *decodebin, GstElement *element, GstBus *bus)
{
  gst_element_set_bus (element, bus);
}

/* Ends the capture with a sentence of our own. */
static void
refuse (GstElement *element, GError *fault)
{
  gst_element_post_message (element, gst_message_new_error (GST_OBJECT (element), fault, NULL));
  g_error_free (fault);
}

/* What is decoded passes here: whether it can be heard, before a converter warns of it. */
static GstPadProbeReturn
on_form (GstPad *pad, GstPadProbeInfo *info, gpointer file)
{
  g_autoptr (GstElement) convert = gst_pad_get_parent_element (pad);
  g_autofree char *name = sl_capture_shown_name (file);
  GstEvent *event = gst_pad_probe_info_get_event (info);
  GstCaps *caps = NULL;
  int rate = 0, channels = 0;

  if (GST_EVENT_TYPE (event) != GST_EVENT_CAPS)
    return GST_PAD_PROBE_OK;
  gst_event_parse_caps (event, &caps);
  gst_structure_get_int (gst_caps_get_structure (caps, 0), "rate", &rate);
  gst_structure_get_int (gst_caps_get_structure (caps, 0), "channels", &channels);
  if (rate < LEAST_RATE_HZ || rate > MOST_RATE_HZ)
    refuse (convert,
            g_error_new (SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_REFUSED,
                         _ ("%s has a sample rate of %d Hz; %d to %d Hz can be listened to, 44100 or 48000 do well."),
                         name, rate, LEAST_RATE_HZ, MOST_RATE_HZ));
  else if (channels > SL_CAPTURE_MOST_CHANNELS)
    refuse (convert, g_error_new (SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_REFUSED,
                                  _ ("%s has %d channels; one or two can be listened to."), name, channels));
  else
    return GST_PAD_PROBE_OK;
  return GST_PAD_PROBE_DROP;
}

/* What keeps @file from being opened, with its name to come; NULL: nothing. */
static const char *
obstacle (GFile *file, const char *path)
{
  g_autoptr (GFileInfo) info =
      g_file_query_info (file, "standard::type,standard::size,access::can-read", G_FILE_QUERY_INFO_NONE, NULL, NULL);

  if (info == NULL)
    return _ ("There is no file %s.");
  if (g_file_info_get_file_type (info) != G_FILE_TYPE_REGULAR) /* a pipe would be waited for without end */
    return _ ("%s is no recording: a WAV, FLAC, OGG, MP3 or M4A file would do.");
  if (path == NULL)
    return _ ("%s is not on this computer; copy it here first.");
  if (!g_file_info_get_attribute_boolean (info, G_FILE_ATTRIBUTE_ACCESS_CAN_READ))
    return _ ("%s may not be read: its permissions don't allow it.");
  if (g_file_info_get_size (info) == 0)
    return _ ("%s is empty.");
  return NULL;
}

GstElement *
sl_capture_file_pipeline (GFile *file, double *promised_s, GError **error)
{
  g_autofree char *path = g_file_get_path (file), *name = sl_capture_shown_name (file);
  const char *why = obstacle (file, path);
  gboolean is_wav;

  if (why != NULL)
    {
      g_set_error (error, SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_NO_SOUND, why, name);
      return NULL;
    }
  *promised_s = promised (path, &is_wav);
  /* wavparse 1.22, left to read a file itself, goes on beyond the sound and gives it up over a last byte or seven of
   * filling; given it piece by piece, through a valve, it
   * doesn't. (A queue does so too, and now and then waits without end as it begins.) */
  g_autofree char *from = g_strdup_printf ("filesrc name=file ! %sdecodebin name=decode caps=audio/x-raw "
                                           "expose-all-streams=false !",
                                           is_wav ? "valve ! " : "");
  GstElement *pipeline = build (from, "", error);
  if (pipeline == NULL)
    return NULL;
  g_autoptr (GstElement) source = gst_bin_get_by_name (GST_BIN (pipeline), "file");
  g_autoptr (GstElement) decode = gst_bin_get_by_name (GST_BIN (pipeline), "decode");
  g_autoptr (GstElement) convert = gst_bin_get_by_name (GST_BIN (pipeline), "convert");
  g_autoptr (GstPad) sink = gst_element_get_static_pad (convert, "sink");
  g_autoptr (GstBus) bus = gst_element_get_bus (pipeline);
  g_object_set (source, "location", path, NULL);
  g_signal_connect (decode, "autoplug-select", G_CALLBACK (select_decoder), NULL);
  g_signal_connect_object (decode, "element-added", G_CALLBACK (on_added), bus, 0);
  gst_pad_add_probe (sink, GST_PAD_PROBE_TYPE_EVENT_DOWNSTREAM, on_form, g_object_ref (file), g_object_unref);
  return pipeline;
}

/* What the server knows the device by from one run to the next. */
static char *
device_id (GstDevice *device)
{
  char *name = NULL;
  if (g_object_class_find_property (G_OBJECT_GET_CLASS (device), "internal-name") != NULL)
    g_object_get (device, "internal-name", &name, NULL);
  return name != NULL ? name : gst_device_get_display_name (device);
}

static GList *
find_devices (void)
{
  g_autoptr (GstDeviceMonitor) monitor = gst_device_monitor_new ();

  gst_device_monitor_add_filter (monitor, "Audio/Source", NULL);
  if (!gst_device_monitor_start (monitor))
    return NULL;
  GList *found = gst_device_monitor_get_devices (monitor);
  gst_device_monitor_stop (monitor);
  return found;
}

static void
free_device (gpointer data)
{
  SlCaptureDevice *device = data;

  g_free (device->id);
  g_free (device->name);
  g_free (device);
}

GPtrArray *
sl_capture_list_devices (GError **error)
{
  if (!sl_capture_ready (error))
    return NULL;
  GPtrArray *list = g_ptr_array_new_with_free_func (free_device);
  GList *found = find_devices ();
  for (GList *l = found; l != NULL; l = l->next)
    {
      SlCaptureDevice *device = g_new (SlCaptureDevice, 1);
      *device = (SlCaptureDevice){ device_id (l->data), gst_device_get_display_name (l->data) };
      g_ptr_array_add (list, device);
    }
  g_list_free_full (found, gst_object_unref);
  return list;
}

/* The server may go on with another device's sound where what was chosen is unplugged. */
static void
on_moved (GstElement *source, GParamSpec *spec, const char *id)
{
  g_autofree char *now = NULL;
  g_object_get (source, "current-device", &now, NULL);
  if (now != NULL && *now != '\0' && !g_str_equal (now, id))
    refuse (source, sl_capture_device_fault (NULL, TRUE));
}

GstElement *
sl_capture_device_pipeline (const char *id, GError **error)
{
  GstElement *pipeline = NULL, *source = NULL;

  if (id == NULL || *id == '\0')
    return build ("autoaudiosrc !", DEVICE_FORM, error);
  GList *found = find_devices ();
  for (GList *l = found; l != NULL && source == NULL; l = l->next)
    {
      g_autofree char *its = device_id (l->data);
      if (g_str_equal (its, id))
        source = gst_device_create_element (l->data, NULL);
    }
  g_list_free_full (found, gst_object_unref);
  if (source == NULL)
    g_set_error_literal (error, SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_NO_DEVICE,
                         _ ("The microphone or pickup chosen in Preferences isn't there. Plug it in, or choose "
                            "another."));
  else if ((pipeline = build ("", DEVICE_FORM, error)) != NULL)
    {
      g_autoptr (GstElement) convert = gst_bin_get_by_name (GST_BIN (pipeline), "convert");
      gst_bin_add (GST_BIN (pipeline), source);
      gst_element_link (source, convert);
      g_signal_connect_data (source, "notify::current-device", G_CALLBACK (on_moved), g_strdup (id),
                             (GClosureNotify) (void (*) (void)) g_free, 0);
    }
  else
    gst_object_unref (gst_object_ref_sink (source));
  return pipeline;
}

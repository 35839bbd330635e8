/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Listening at a real sound server, which this test has for itself (tests/sound-server.sh): tones are played into a
 * sink that no one hears, and its monitor is listened to. */
#include <gst/base/gstpushsrc.h>
#include <gst/gst.h>
#include <math.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "heard.h"

#define RATE 48000
#define HZ 196.0
#define LEVEL 0.5
#define MEAN (0.75 * LEVEL)

static char *folder, *tone;

/* A program with one argument or two, such as pactl; what it says isn't of interest. */
static void
call (const char *program, const char *first, const char *second, const char *third)
{
  const char *const command[] = { program, first, second, third, NULL };
  g_autoptr (GError) error = NULL;
  int status = 0;
  g_spawn_sync (NULL, (char **) command, NULL, G_SPAWN_SEARCH_PATH | G_SPAWN_STDOUT_TO_DEV_NULL, NULL, NULL, NULL, NULL,
                &status, &error);
  g_assert_no_error (error);
  g_assert_true (g_spawn_check_wait_status (status, NULL));
}

static GSubprocess *
play_tone (const char *sink)
{
  g_autofree char *device = g_strconcat ("--device=", sink, NULL);
  g_autoptr (GError) error = NULL;
  GSubprocess *player = g_subprocess_new (G_SUBPROCESS_FLAGS_STDERR_SILENCE, &error, "paplay", device, tone, NULL);
  g_assert_no_error (error);
  return player;
}

static void
end_player (GSubprocess *player)
{
  g_subprocess_force_exit (player);
  g_subprocess_wait (player, NULL, NULL);
  g_object_unref (player);
}

static SlCapture *
listen_to (const char *id, Heard *heard)
{
  g_autoptr (GError) error = NULL;
  test_heard_init (heard);
  SlCapture *capture = sl_capture_open_device (id, &test_heard_handlers, heard, &error);
  g_assert_no_error (error);
  return capture;
}

/* How much of the tone there is in the last second; @data: a Heard. */
static double
tone_level (const Heard *heard, double *frequency)
{
  double level = 0.0;
  if (heard->samples->len >= RATE)
    test_measure_tone ((const float *) heard->samples->data + heard->samples->len - RATE, RATE, heard->rate, HZ,
                       frequency, &level);
  return level;
}

/* A second of it came as it was played: past a busy machine it may come with gaps. */
static gboolean
is_sounding (gpointer data)
{
  Heard *heard = data;
  double frequency = 0.0;
  g_assert_cmpuint (heard->ends, ==, 0);
  return fabs (tone_level (heard, &frequency) - MEAN) < 0.01 && fabs (frequency - HZ) < HZ * 1e-4;
}

static gboolean
has_come (gpointer data)
{
  return ((Heard *) data)->blocks > 0;
}

/* What is played comes as it was played, from the system's device and from one that is chosen. */
static void
test_monitor (void)
{
  const char *const ids[] = { NULL, "", "bench.monitor" };
  g_autoptr (GSubprocess) player = play_tone ("bench");

  for (gsize i = 0; i < G_N_ELEMENTS (ids); i++)
    {
      Heard heard;
      g_autoptr (SlCapture) capture = listen_to (ids[i], &heard);
      test_wait (is_sounding, &heard, "the tone");
      g_assert_cmpfloat (heard.rate, >=, 22050.0);
      g_assert_false (sl_capture_is_muted (capture));
      test_heard_clear (&heard);
      g_clear_pointer (&capture, sl_capture_close);
    }
  end_player (g_steal_pointer (&player));
}

/* What there is, by names that another program of the server agrees with, the same each time. */
static void
test_devices (void)
{
  g_autofree char *listed = NULL;

  call ("pactl", "load-module", "module-null-sink", "sink_name=other");
  g_assert_true (g_spawn_command_line_sync ("pactl list short sources", &listed, NULL, NULL, NULL));
  for (int again = 0; again < 2; again++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (GPtrArray) devices = sl_capture_devices (&error);
      g_assert_no_error (error);
      g_assert_cmpuint (devices->len, ==, 2);
      for (guint i = 0; i < devices->len; i++)
        {
          const SlCaptureDevice *device = devices->pdata[i];
          g_autofree char *column = g_strdup_printf ("\t%s\t", device->id);
          g_assert_nonnull (strstr (listed, column));
          g_assert_cmpstr (device->name, !=, "");
        }
    }
  Heard heard;
  g_autoptr (SlCapture) capture = listen_to ("other.monitor", &heard);
  GSubprocess *player = play_tone ("other");
  test_wait (is_sounding, &heard, "the tone from the other device");
  end_player (player);
  test_heard_clear (&heard);
}

static gboolean
is_muted (gpointer data)
{
  return sl_capture_is_muted (data);
}

static gboolean
is_heard_again (gpointer data)
{
  return !sl_capture_is_muted (data);
}

static void
test_muted (void)
{
  Heard heard;
  GSubprocess *player = play_tone ("bench");
  g_autoptr (SlCapture) capture = listen_to ("bench.monitor", &heard);

  test_wait (is_sounding, &heard, "the tone");
  g_assert_false (sl_capture_is_muted (capture));
  call ("pactl", "set-source-mute", "bench.monitor", "1");
  test_wait (is_muted, capture, "the mute");
  call ("pactl", "set-source-mute", "bench.monitor", "0");
  test_wait (is_heard_again, capture, "its end");
  end_player (player);
  test_heard_clear (&heard);
}

static void
assert_ends (Heard *heard, SlCaptureError code, const char *word)
{
  test_wait_for_end (heard);
  g_assert_error (heard->error, SL_CAPTURE_ERROR, (int) code);
  g_assert_nonnull (strstr (heard->error->message, word));
  test_heard_clear (heard);
}

/* Unplugged while it is listened to; afterwards it can't be chosen, and another can. */
static void
test_unplugged (void)
{
  Heard heard;
  call ("pactl", "load-module", "module-null-sink", "sink_name=plugged");
  g_autoptr (SlCapture) capture = listen_to ("plugged.monitor", &heard);
  test_wait (has_come, &heard, "sound");
  g_autofree char *listed = NULL;
  g_assert_true (g_spawn_command_line_sync ("pactl list short modules", &listed, NULL, NULL, NULL));
  g_auto (GStrv) lines = g_strsplit (listed, "\n", -1);
  for (char **line = lines; *line != NULL; line++)
    if (strstr (*line, "sink_name=plugged") != NULL)
      {
        g_auto (GStrv) columns = g_strsplit (*line, "\t", 2);
        call ("pactl", "unload-module", columns[0], NULL);
      }
  assert_ends (&heard, SL_CAPTURE_ERROR_LOST, "unplugged");
  g_clear_pointer (&capture, sl_capture_close);
  capture = listen_to ("plugged.monitor", &heard);
  assert_ends (&heard, SL_CAPTURE_ERROR_NO_DEVICE, "Preferences");
  g_clear_pointer (&capture, sl_capture_close);
  capture = listen_to ("bench.monitor", &heard);
  test_wait (has_come, &heard, "sound of another");
  test_heard_clear (&heard);
}

/* A server may go on with another device's sound in the place of what was unplugged: that isn't what was chosen. */
static void
test_moved (void)
{
  Heard heard;
  call ("pactl", "load-module", "module-null-sink", "sink_name=aside");
  g_autoptr (SlCapture) capture = listen_to ("aside.monitor", &heard);
  test_wait (has_come, &heard, "sound");
  g_autofree char *listed = NULL;
  g_assert_true (g_spawn_command_line_sync ("pactl list short source-outputs", &listed, NULL, NULL, NULL));
  const char *last = strrchr (g_strchomp (listed), '\n'); /* ours came last */
  g_auto (GStrv) columns = g_strsplit (last != NULL ? last + 1 : listed, "\t", 2);
  call ("pactl", "move-source-output", columns[0], "bench.monitor");
  assert_ends (&heard, SL_CAPTURE_ERROR_LOST, "gone");
}

/* The server lets no one in who hasn't its key, for which it has a second door. */
static void
test_denied (void)
{
  g_autofree char *key = g_build_filename (folder, "key", NULL), *wrong = g_build_filename (folder, "wrong", NULL);
  g_autofree char *server = g_strdup (g_getenv ("PULSE_SERVER")), *cookie = g_strdup (g_getenv ("PULSE_COOKIE"));
  char bytes[256];
  Heard heard;

  memset (bytes, 'a', sizeof bytes);
  g_assert_true (g_file_set_contents (key, bytes, sizeof bytes, NULL));
  memset (bytes, 'b', sizeof bytes);
  g_assert_true (g_file_set_contents (wrong, bytes, sizeof bytes, NULL));
  g_autoptr (GSocketListener) listener = g_socket_listener_new ();
  guint16 port = g_socket_listener_add_any_inet_port (listener, NULL, NULL);
  g_socket_listener_close (listener);
  g_autofree char *arguments = g_strdup_printf ("listen=127.0.0.1 port=%u auth-cookie=%s", port, key);
  g_autofree char *door = g_strdup_printf ("tcp:127.0.0.1:%u", port);
  call ("pactl", "load-module", "module-native-protocol-tcp", arguments);
  g_setenv ("PULSE_SERVER", door, TRUE);
  g_setenv ("PULSE_COOKIE", wrong, TRUE);
  g_autoptr (SlCapture) capture = listen_to (NULL, &heard);
  assert_ends (&heard, SL_CAPTURE_ERROR_DENIED, "Allow it");
  g_setenv ("PULSE_SERVER", server, TRUE);
  g_setenv ("PULSE_COOKIE", cookie, TRUE);
}

/* A stand-in for a card that another program has: this server shares all it has. */
typedef GstPushSrc BusySource;
typedef GstPushSrcClass BusySourceClass;
GType busy_source_get_type (void);
G_DEFINE_TYPE (BusySource, busy_source, GST_TYPE_PUSH_SRC)

static GstStateChangeReturn
busy_source_change_state (GstElement *element, GstStateChange transition)
{
  if (transition == GST_STATE_CHANGE_NULL_TO_READY)
    {
      GST_ELEMENT_ERROR (element, RESOURCE, BUSY, (NULL), ("as alsasrc says it"));
      return GST_STATE_CHANGE_FAILURE;
    }
  return GST_ELEMENT_CLASS (busy_source_parent_class)->change_state (element, transition);
}

static void
busy_source_class_init (BusySourceClass *class)
{
  static GstStaticPadTemplate pad =
      GST_STATIC_PAD_TEMPLATE ("src", GST_PAD_SRC, GST_PAD_ALWAYS, GST_STATIC_CAPS ("audio/x-raw"));
  GstElementClass *element = GST_ELEMENT_CLASS (class);
  gst_element_class_add_static_pad_template (element, &pad);
  gst_element_class_set_static_metadata (element, "Busy card", "Source/Audio", "Can't be opened", "Sidelong");
  element->change_state = busy_source_change_state;
}

static void
busy_source_init (BusySource *self)
{
}

static void
test_busy (void)
{
  g_autofree char *server = g_strdup (g_getenv ("PULSE_SERVER"));
  Heard heard;

  gst_init (NULL, NULL);
  g_assert_true (gst_element_register (NULL, "busysrc", GST_RANK_PRIMARY + 100, busy_source_get_type ()));
  g_setenv ("PULSE_SERVER", "unix:/nonexistent", TRUE); /* else that is fallen back to */
  g_autoptr (SlCapture) capture = listen_to (NULL, &heard);
  assert_ends (&heard, SL_CAPTURE_ERROR_BUSY, "Another program");
  g_autoptr (GstPluginFeature) factory = GST_PLUGIN_FEATURE (gst_element_factory_find ("busysrc"));
  gst_registry_remove_feature (gst_registry_get (), factory);
  g_setenv ("PULSE_SERVER", server, TRUE);
}

static void
test_no_server (void)
{
  g_autofree char *server = g_strdup (g_getenv ("PULSE_SERVER"));
  g_autoptr (GError) error = NULL;
  Heard heard;

  g_setenv ("PULSE_SERVER", "unix:/nonexistent", TRUE);
  g_autoptr (GPtrArray) devices = sl_capture_devices (&error);
  g_assert_no_error (error);
  g_assert_cmpuint (devices->len, ==, 0);
  g_autoptr (SlCapture) capture = listen_to (NULL, &heard);
  assert_ends (&heard, SL_CAPTURE_ERROR_NO_DEVICE, "Plug one in");
  g_setenv ("PULSE_SERVER", server, TRUE);
}

/* A server that hangs: what is listened to is given up, so is what was to be, and the main context is never held up. */
static void
test_hanging (void)
{
  int server = atoi (g_getenv ("SL_SOUND_SERVER"));
  Heard before, after;
  g_autoptr (SlCapture) capture = listen_to (NULL, &before);
  test_wait (has_come, &before, "sound");
  g_assert_cmpint (kill (server, SIGSTOP), ==, 0);
  g_autoptr (SlCapture) second = listen_to (NULL, &after);
  assert_ends (&before, SL_CAPTURE_ERROR_LOST, "gone");
  assert_ends (&after, SL_CAPTURE_ERROR_NO_DEVICE, "Plug one in");
  g_assert_cmpint (kill (server, SIGCONT), ==, 0);
}

/* The last: the server ends. */
static void
test_server_ends (void)
{
  Heard heard;
  g_autoptr (SlCapture) capture = listen_to (NULL, &heard);
  test_wait (has_come, &heard, "sound");
  g_assert_cmpint (kill (atoi (g_getenv ("SL_SOUND_SERVER")), SIGKILL), ==, 0);
  assert_ends (&heard, SL_CAPTURE_ERROR_LOST, "sound server");
}

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;

  g_test_init (&argc, &argv, NULL);
  g_log_set_always_fatal (G_LOG_FATAL_MASK | G_LOG_LEVEL_CRITICAL); /* no warning of GStreamer: see tests/meson.build */
  folder = g_dir_make_tmp ("capture-XXXXXX", &error);
  g_assert_no_error (error);
  tone = g_build_filename (folder, "tone.wav", NULL);
  test_write_tone (tone, 2, RATE, 60.0, HZ, LEVEL);
  g_test_add_func ("/capture/monitor", test_monitor);
  g_test_add_func ("/capture/devices", test_devices);
  g_test_add_func ("/capture/muted", test_muted);
  g_test_add_func ("/capture/unplugged", test_unplugged);
  g_test_add_func ("/capture/moved", test_moved);
  g_test_add_func ("/capture/denied", test_denied);
  g_test_add_func ("/capture/busy", test_busy);
  g_test_add_func ("/capture/no-server", test_no_server);
  g_test_add_func ("/capture/hanging", test_hanging);
  g_test_add_func ("/capture/server-ends", test_server_ends);
  int status = g_test_run ();
  test_remove (folder);
  return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Recordings: every form is heard as it was written, and what can't be heard is told in a sentence, never waited for.
 * The files are written by this test and by encoders of GStreamer's, which share nothing with what decodes. */
#include <fcntl.h>
#include <glib/gstdio.h>
#include <gst/gst.h>
#include <locale.h>
#include <math.h>
#include <signal.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "heard.h"
#include "../rounds.h"

#define RATE 44100
#define HZ 329.63
#define LEVEL 0.5
#define MEAN (0.75 * LEVEL) /* of a channel and one half as loud */
#define SECONDS 3.0

static char *folder;

static char *
path_of (const char *name)
{
  return g_build_filename (folder, name, NULL);
}

/* Makes @to of the WAV file @from with an encoder, as gst-launch-1.0 would. */
static void
encode (const char *from, const char *encoder, const char *to)
{
  g_autofree char *source = path_of (from), *target = path_of (to);
  g_autofree char *text = g_strdup_printf ("filesrc location=%s ! wavparse ! audioconvert ! audioresample ! %s ! "
                                           "filesink location=%s",
                                           source, encoder, target);
  g_autoptr (GError) error = NULL;
  g_autoptr (GstElement) pipeline = gst_parse_launch (text, &error);
  g_assert_no_error (error);
  g_autoptr (GstBus) bus = gst_element_get_bus (pipeline);
  gst_element_set_state (pipeline, GST_STATE_PLAYING);
  g_autoptr (GstMessage) message =
      gst_bus_timed_pop_filtered (bus, GST_CLOCK_TIME_NONE, GST_MESSAGE_EOS | GST_MESSAGE_ERROR);
  g_assert_cmpint (GST_MESSAGE_TYPE (message), ==, GST_MESSAGE_EOS);
  gst_element_set_state (pipeline, GST_STATE_NULL);
}

/* Ways to write a recording, and how near a lossy one comes: its level within @level, its length within @s. */
static const struct
{
  const char *name, *encoder;
  double level, s;
} forms[] = {
  { "sixteen.wav", "audio/x-raw,format=S16LE ! wavenc", 1e-4, 1e-9 },
  { "float.wav", "audio/x-raw,format=F32LE ! wavenc", 1e-4, 1e-9 },
  { "eight.wav", "audio/x-raw,format=U8 ! wavenc", 0.01, 1e-9 },
  { "plain.flac", "flacenc", 1e-4, 1e-9 },
  { "plain.ogg", "vorbisenc ! oggmux", 0.01, 0.1 },
  { "opus.ogg", "opusenc ! oggmux", 0.01, 0.1 },
  { "plain.mp3", "lamemp3enc", 0.01, 0.1 },
  { "indexed.mp3", "lamemp3enc target=quality ! xingmux", 0.01, 0.1 },
  { "plain.m4a", "avenc_aac ! mp4mux", 0.01, 0.1 },
  { "first.m4a", "avenc_aac ! mp4mux faststart=true", 0.01, 0.1 },
  { "lossless.m4a", "avenc_alac ! mp4mux", 1e-4, 1e-9 },
};

static void
make_forms (void)
{
  static gboolean made;
  g_autofree char *path = path_of ("tone.wav");

  if (made)
    return;
  made = TRUE;
  gst_init (NULL, NULL);
  test_write_tone (path, 2, RATE, SECONDS, HZ, LEVEL);
  for (gsize i = 0; i < G_N_ELEMENTS (forms); i++)
    encode ("tone.wav", forms[i].encoder, forms[i].name);
}

static void
test_forms (void)
{
  make_forms ();
  for (gsize i = 0; i < G_N_ELEMENTS (forms); i++)
    {
      g_autofree char *path = path_of (forms[i].name);
      double frequency, level;
      Heard heard;

      g_test_message ("%s", forms[i].name);
      test_hear_file (path, &heard);
      g_assert_no_error (heard.error);
      g_assert_cmpfloat_with_epsilon (heard.samples->len / heard.rate, SECONDS, forms[i].s);
      test_measure_tone ((const float *) heard.samples->data + RATE / 2, 2 * RATE, heard.rate, HZ, &frequency, &level);
      g_assert_cmpfloat_with_epsilon (frequency, HZ, HZ * 1e-5);
      g_assert_cmpfloat_with_epsilon (level, MEAN, forms[i].level);
      test_heard_clear (&heard);
    }
}

/* Mono as it is, and rates as they are. */
static void
test_rates (void)
{
  const int rates[] = { 22050, 48000, 96000, 192000 };
  g_autofree char *path = path_of ("rate.wav");

  for (gsize i = 0; i < G_N_ELEMENTS (rates); i++)
    {
      double frequency, level;
      Heard heard;
      test_write_tone (path, 1, rates[i], 1.0, HZ, LEVEL);
      test_hear_file (path, &heard);
      g_assert_no_error (heard.error);
      g_assert_cmpuint (heard.samples->len, ==, (guint) rates[i]);
      g_assert_cmpfloat_with_epsilon (heard.rate, rates[i], 1e-9);
      test_measure_tone ((const float *) heard.samples->data, heard.samples->len, heard.rate, HZ, &frequency, &level);
      g_assert_cmpfloat_with_epsilon (frequency, HZ, HZ * 1e-4);
      g_assert_cmpfloat_with_epsilon (level, LEVEL, 1e-3);
      test_heard_clear (&heard);
    }
}

/* A WAV file of an odd number of bytes ends with one of filling ("Multimedia Programming Interface and Data
 * Specifications 1.0", 1991), some with more, or with what is said of the sound. */
static void
test_filling (void)
{
  const struct
  {
    const char *text;
    gsize n;
  } tails[] = { { "", 0 }, { "\0", 1 }, { "\0\0\0\0\0\0\0", 7 }, { "\0LIST\4\0\0\0INFO", 13 } };
  const gsize n = 3 * (RATE / 2 * 2 + 1); /* of 24 bits, an odd number */
  g_autofree char *path = path_of ("odd.wav");

  for (gsize i = 0; i < G_N_ELEMENTS (tails); i++)
    {
      g_autoptr (GByteArray) bytes = g_byte_array_new ();
      Heard heard;
      g_byte_array_set_size (bytes, TEST_WAV_HEAD + (guint) n);
      memset (bytes->data, 0x11, bytes->len);
      test_wav_head (bytes->data, 1, RATE, 24, (guint32) n);
      g_byte_array_append (bytes, (const guint8 *) tails[i].text, (guint) tails[i].n);
      g_assert_true (g_file_set_contents (path, (const char *) bytes->data, bytes->len, NULL));
      test_hear_file (path, &heard);
      g_assert_no_error (heard.error);
      g_assert_cmpuint (heard.samples->len, ==, n / 3);
      test_heard_clear (&heard);
    }
}

/* What begins to be heard goes on, every time. */
static void
test_again_and_again (void)
{
  g_autofree char *path = path_of ("again.wav");

  test_write_tone (path, 1, RATE, 0.5, HZ, LEVEL);
  for (int i = 0; i < 150; i++)
    {
      Heard heard;
      test_hear_file (path, &heard);
      g_assert_no_error (heard.error);
      g_assert_cmpuint (heard.samples->len, ==, RATE / 2);
      test_heard_clear (&heard);
    }
}

/* Hears @name and wants @code, a sentence with the file's name and @word, and @seconds of sound or (NAN) any. */
static void
assert_fault (const char *name, SlCaptureError code, const char *word, double seconds)
{
  g_autofree char *path = path_of (name);
  Heard heard;

  test_hear_file (path, &heard);
  g_assert_error (heard.error, SL_CAPTURE_ERROR, (int) code);
  g_assert_nonnull (strstr (heard.error->message, name));
  g_assert_nonnull (strstr (heard.error->message, word));
  if (!isnan (seconds))
    g_assert_cmpfloat_with_epsilon (heard.samples->len > 0 ? heard.samples->len / heard.rate : 0.0, seconds, 0.1);
  test_heard_clear (&heard);
}

static void
write_head (const char *name, int channels, int rate, int bits, guint32 promised, goffset bytes)
{
  g_autofree char *path = path_of (name);
  guint8 head[TEST_WAV_HEAD];
  test_wav_head (head, channels, rate, bits, promised);
  g_assert_true (g_file_set_contents (path, (const char *) head, sizeof head, NULL));
  g_assert_cmpint (truncate (path, TEST_WAV_HEAD + bytes), ==, 0); /* sparse: zeros that take no room */
}

static void
test_refused (void)
{
  const guint32 hour = 3600 * 22050;
  write_head ("channels.wav", 8, RATE, 16, 1600000, 1600000);
  assert_fault ("channels.wav", SL_CAPTURE_ERROR_REFUSED, "8 channels", 0.0);
  write_head ("three.wav", 3, RATE, 16, 600000, 600000);
  assert_fault ("three.wav", SL_CAPTURE_ERROR_REFUSED, "3 channels", 0.0);
  write_head ("slow.wav", 1, 2000, 16, 40000, 40000);
  assert_fault ("slow.wav", SL_CAPTURE_ERROR_REFUSED, "2000 Hz; 22050 to", 0.0);
  write_head ("nearly.wav", 1, 22049, 16, 40000, 40000);
  assert_fault ("nearly.wav", SL_CAPTURE_ERROR_REFUSED, "22049 Hz", 0.0);
  write_head ("fast.wav", 1, 1000000, 16, 4000000, 4000000);
  assert_fault ("fast.wav", SL_CAPTURE_ERROR_REFUSED, "1000000 Hz", 0.0);
  write_head ("six.wav", 1, 22050, 16, 2 * 6 * hour, (goffset) 2 * 6 * hour);
  assert_fault ("six.wav", SL_CAPTURE_ERROR_REFUSED, "over 60 minutes", 0.0);
  write_head ("hour.wav", 1, 22050, 8, hour + 22050, hour + 22050);
  assert_fault ("hour.wav", SL_CAPTURE_ERROR_REFUSED, "over 60 minutes", 0.0);
}

typedef struct
{
  Heard heard;
  SlCapture *capture; /* closed with the first block */
} Closer;

static void
on_heard_close (gpointer owner, const float *samples, gsize n, double rate)
{
  Closer *closer = owner;
  test_heard_handlers.heard (&closer->heard, samples, n, rate);
  g_clear_pointer (&closer->capture, sl_capture_close);
}

static void
on_ended_close (gpointer owner, const GError *error)
{
  test_heard_handlers.ended (&((Closer *) owner)->heard, error);
}

static gboolean
is_closed (gpointer data)
{
  return ((Closer *) data)->capture == NULL;
}

/* Just under an hour is heard; what is closed while it is heard, or before, says nothing more. */
static void
test_closing (void)
{
  const SlCaptureHandlers handlers = { on_heard_close, on_ended_close };
  g_autofree char *path = path_of ("long.wav");
  g_autoptr (GFile) file = g_file_new_for_path (path);
  Closer closer;

  write_head ("long.wav", 1, 22050, 8, 3599 * 22050, 3599 * 22050);
  test_heard_init (&closer.heard);
  closer.capture = sl_capture_open_file (file, &handlers, &closer, NULL);
  test_wait (is_closed, &closer, "the first block");
  for (int i = 0; i < 20; i++) /* at once */
    sl_capture_close (sl_capture_open_file (file, &handlers, &closer, NULL));
  for (int i = 0; i < 200; i++)
    {
      g_main_context_iteration (NULL, FALSE);
      g_usleep (1000);
    }
  g_assert_cmpuint (closer.heard.blocks, ==, 1);
  g_assert_cmpuint (closer.heard.ends, ==, 0);
  test_heard_clear (&closer.heard);
}

static gsize
memory_kb (void)
{
  g_autofree char *text = NULL;
  g_assert_true (g_file_get_contents ("/proc/self/status", &text, NULL, NULL));
  return (gsize) g_ascii_strtoull (strstr (text, "VmRSS:") + strlen ("VmRSS:"), NULL, 10);
}

/* Of an hour, 300 MB as floats, no more is decoded than is taken. */
static void
test_memory (void)
{
  g_autofree char *path = path_of ("long.wav");
  g_autoptr (GFile) file = g_file_new_for_path (path);
  Heard heard;

  write_head ("long.wav", 1, 22050, 8, 3599 * 22050, 3599 * 22050);
  test_heard_init (&heard);
  gsize before = memory_kb ();
  g_autoptr (SlCapture) capture = sl_capture_open_file (file, &test_heard_handlers, &heard, NULL);
  g_usleep (G_USEC_PER_SEC);
  g_assert_cmpuint (memory_kb (), <, before + 60000);
  g_assert_cmpuint (heard.blocks, ==, 0);
  test_heard_clear (&heard);
}

/* The first half of each form. An MP3 file doesn't say how long it is: what there is of it is all there is. */
static void
test_truncated (void)
{
  make_forms ();
  for (gsize i = 0; i < G_N_ELEMENTS (forms); i++)
    {
      g_autofree char *path = path_of (forms[i].name), *name = g_strconcat ("cut-", forms[i].name, NULL);
      g_autofree char *cut = path_of (name), *bytes = NULL;
      gsize n;

      g_assert_true (g_file_get_contents (path, &bytes, &n, NULL));
      g_assert_true (g_file_set_contents (cut, bytes, (gssize) (n / 2), NULL));
      if (g_str_has_suffix (name, ".mp3"))
        {
          Heard heard;
          test_hear_file (cut, &heard);
          g_assert_cmpfloat (heard.samples->len / heard.rate, >, 0.4 * SECONDS);
          test_heard_clear (&heard);
        }
      else if (g_str_has_suffix (name, ".m4a") && !g_str_has_prefix (forms[i].name, "first"))
        assert_fault (name, SL_CAPTURE_ERROR_NO_SOUND, "no sound", 0.0);
      else
        assert_fault (name, SL_CAPTURE_ERROR_TRUNCATED, "breaks off",
                      g_str_has_suffix (name, ".ogg") ? NAN : SECONDS / 2);
    }
  /* what a program writes that doesn't know the length yet is no promise */
  write_head ("pipe.wav", 1, RATE, 16, 0xffffffff, RATE);
  g_autofree char *pipe = path_of ("pipe.wav");
  Heard heard;
  test_hear_file (pipe, &heard);
  g_assert_no_error (heard.error);
  g_assert_cmpuint (heard.samples->len, ==, RATE / 2);
  test_heard_clear (&heard);
}

static void
test_no_sound (void)
{
  const char *const texts[][2] = {
    { "text.wav", "Nothing to be heard here.\n" },
    { "list.m3u", "#EXTM3U\n#EXTINF:-1,Note\nhttp://127.0.0.1:9/note.mp3\n" },
    { "stream.m3u8", "#EXTM3U\n#EXT-X-TARGETDURATION:4\n#EXTINF:4,\nhttp://127.0.0.1:9/note.ts\n" },
    { "list.pls", "[playlist]\nFile1=http://127.0.0.1:9/note.mp3\n" },
    { "page.html", "<html><body>rtsp://127.0.0.1:9/note</body></html>\n" },
    { "session.sdp", "v=0\no=- 0 0 IN IP4 127.0.0.1\ns=Note\nc=IN IP4 127.0.0.1\nm=audio 9 RTP/AVP 0\n" },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      g_autofree char *path = path_of (texts[i][0]);
      g_assert_true (g_file_set_contents (path, texts[i][1], -1, NULL));
      assert_fault (texts[i][0], SL_CAPTURE_ERROR_NO_SOUND, "no sound", 0.0);
    }
  g_autofree char *empty = path_of ("empty.wav"), *below = path_of ("folder.wav"), *fifo = path_of ("fifo.wav");
  g_assert_true (g_file_set_contents (empty, "", 0, NULL));
  assert_fault ("empty.wav", SL_CAPTURE_ERROR_NO_SOUND, "empty", 0.0);
  g_assert_cmpint (g_mkdir (below, 0700), ==, 0);
  assert_fault ("folder.wav", SL_CAPTURE_ERROR_NO_SOUND, "no recording", 0.0);
  g_assert_cmpint (mkfifo (fifo, 0600), ==, 0);
  assert_fault ("fifo.wav", SL_CAPTURE_ERROR_NO_SOUND, "no recording", 0.0);
  assert_fault ("missing.wav", SL_CAPTURE_ERROR_NO_SOUND, "There is no file", 0.0);
  write_head ("head.wav", 1, RATE, 16, 0, 0);
  assert_fault ("head.wav", SL_CAPTURE_ERROR_NO_SOUND, "no sound", 0.0);
  write_head ("none.wav", 0, RATE, 16, 4000, 4000);
  assert_fault ("none.wav", SL_CAPTURE_ERROR_NO_SOUND, "no sound", 0.0);
  write_head ("bits.wav", 1, RATE, 13, 4000, 4000);
  assert_fault ("bits.wav", SL_CAPTURE_ERROR_NO_SOUND, "no sound", 0.0);
  if (geteuid () == 0)
    return; /* who may read everything */
  write_head ("locked.wav", 1, RATE, 16, 4000, 4000);
  g_autofree char *locked = path_of ("locked.wav");
  g_assert_cmpint (g_chmod (locked, 0), ==, 0);
  assert_fault ("locked.wav", SL_CAPTURE_ERROR_NO_SOUND, "permissions", 0.0);
}

/* What a file of floats may hold that is no sound is none (checked with each block, heard.c). */
static void
test_wild_figures (void)
{
  g_autofree char *from = path_of ("float.wav"), *path = path_of ("wild.wav"), *bytes = NULL;
  const float wild[] = { NAN, INFINITY, -INFINITY, 1e30f, -3.0f };
  gsize n;
  Heard heard;

  make_forms ();
  g_assert_true (g_file_get_contents (from, &bytes, &n, NULL));
  for (gsize i = 0; i < 100; i++)
    memcpy (bytes + 4000 + 4 * i, &wild[i % G_N_ELEMENTS (wild)], 4);
  g_assert_true (g_file_set_contents (path, bytes, (gssize) n, NULL));
  test_hear_file (path, &heard);
  g_assert_no_error (heard.error);
  g_assert_cmpfloat_with_epsilon (heard.samples->len / heard.rate, SECONDS, 1e-9);
  test_heard_clear (&heard);
}

/* What libraries say of such a file is theirs. */
static gboolean
is_ours (const char *domain, GLogLevelFlags level, const char *message, gpointer unused)
{
  return g_strcmp0 (domain, G_LOG_DOMAIN) == 0;
}

static void
on_log (const char *domain, GLogLevelFlags level, const char *message, gpointer unused)
{
  if (is_ours (domain, level, message, NULL))
    g_log_default_handler (domain, level, message, NULL);
}

/* Files with bytes changed by chance end like any other, with what was heard or a sentence. */
static void
test_hostile (void)
{
  make_forms ();
  g_test_log_set_fatal_handler (is_ours, NULL);
  GLogFunc usual = g_log_set_default_handler (on_log, NULL);
  for (int round = 0; round < test_rounds (4); round++)
    for (gsize i = 0; i < G_N_ELEMENTS (forms); i++)
      {
        g_autofree char *from = path_of (forms[i].name), *name = g_strconcat ("hostile-", forms[i].name, NULL);
        g_autofree char *path = path_of (name), *bytes = NULL;
        int changes = g_test_rand_int_range (1, 40);
        gsize n;
        Heard heard;

        g_assert_true (g_file_get_contents (from, &bytes, &n, NULL));
        for (int c = 0; c < changes; c++) /* the heads more than the rest */
          bytes[g_test_rand_int_range (0, c % 2 == 0 ? MIN ((int) n, 200) : (int) n)] = (char) g_test_rand_int ();
        g_assert_true (g_file_set_contents (path, bytes, (gssize) n, NULL));
        test_hear_file (path, &heard);
        test_heard_clear (&heard);
      }
  g_log_set_default_handler (usual, NULL);
}

/* Without the module there is a sentence, and what is installed meanwhile is found. */
static void
test_no_module (void)
{
  g_autoptr (GFile) file = g_file_new_for_path (folder);
  g_autoptr (GError) error = NULL;

  g_setenv ("SIDELONG_MODULE_DIR", folder, TRUE);
  g_assert_null (sl_capture_open_file (file, &test_heard_handlers, NULL, &error));
  g_assert_error (error, SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_NO_MODULE);
  g_assert_nonnull (strstr (error->message, "gstreamer1.0-plugins-good"));
  g_clear_error (&error);
  g_assert_null (sl_capture_open_device (NULL, &test_heard_handlers, NULL, &error));
  g_assert_error (error, SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_NO_MODULE);
  g_clear_error (&error);
  g_assert_null (sl_capture_devices (&error));
  g_assert_error (error, SL_CAPTURE_ERROR, SL_CAPTURE_ERROR_NO_MODULE);
  g_unsetenv ("SIDELONG_MODULE_DIR");
}

static void
say_apart (void)
{
  g_print ("taken apart\n");
}

/* A program that ends while it listens, which may load parts of GStreamer, takes nothing apart under that. */
static void
test_ended_before (void)
{
  if (g_test_subprocess ())
    {
      g_autofree char *path = path_of ("long.wav");
      g_autoptr (GFile) file = g_file_new_for_path (path);
      Heard heard;

      write_head ("long.wav", 1, 22050, 8, 3599 * 22050, 3599 * 22050);
      atexit (say_apart);
      test_heard_init (&heard);
      g_assert_nonnull (sl_capture_open_file (file, &test_heard_handlers, &heard, NULL));
      while (heard.blocks == 0)
        g_main_context_iteration (NULL, TRUE);
      test_remove (folder);
      exit (0);
    }
  g_test_trap_subprocess (NULL, 0, G_TEST_SUBPROCESS_DEFAULT);
  g_test_trap_assert_passed ();
  g_test_trap_assert_stdout_unmatched ("*taken apart*");
}

/* The program keeps its language and what it does on signals. */
static void
test_program_kept (void)
{
  struct sigaction before[32], after;
  g_autofree char *locale = g_strdup (setlocale (LC_ALL, NULL));
  Heard heard;

  for (int i = 1; i < 32; i++)
    sigaction (i, NULL, &before[i]);
  test_hear_file (folder, &heard);
  g_autofree char *path = path_of ("early.wav");
  test_heard_clear (&heard);
  test_write_tone (path, 1, RATE, 0.5, HZ, LEVEL);
  test_hear_file (path, &heard);
  g_assert_no_error (heard.error);
  test_heard_clear (&heard);
  g_assert_cmpstr (setlocale (LC_ALL, NULL), ==, locale);
  for (int i = 1; i < 32; i++)
    if (i != SIGKILL && i != SIGSTOP)
      {
        sigaction (i, NULL, &after);
        g_assert_true (after.sa_handler == before[i].sa_handler);
      }
}

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;

  setlocale (LC_ALL, "");
  g_test_init (&argc, &argv, NULL);
  g_log_set_always_fatal (G_LOG_FATAL_MASK | G_LOG_LEVEL_CRITICAL); /* no warning of GStreamer: see tests/meson.build */
  folder = g_dir_make_tmp ("capture-XXXXXX", &error);
  g_assert_no_error (error);
  /* these first: before anything here has GStreamer up */
  g_test_add_func ("/capture/no-module", test_no_module);
  g_test_add_func ("/capture/ended-before", test_ended_before);
  g_test_add_func ("/capture/program-kept", test_program_kept);
  g_test_add_func ("/capture/forms", test_forms);
  g_test_add_func ("/capture/rates", test_rates);
  g_test_add_func ("/capture/refused", test_refused);
  g_test_add_func ("/capture/closing", test_closing);
  g_test_add_func ("/capture/memory", test_memory);
  g_test_add_func ("/capture/filling", test_filling);
  g_test_add_func ("/capture/again-and-again", test_again_and_again);
  g_test_add_func ("/capture/truncated", test_truncated);
  g_test_add_func ("/capture/no-sound", test_no_sound);
  g_test_add_func ("/capture/wild-figures", test_wild_figures);
  g_test_add_func ("/capture/hostile", test_hostile);
  int status = g_test_run ();
  test_remove (folder);
  return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "remote-file.h"

#include <unistd.h>

#define TEST_TYPE_REMOTE_FILE (test_remote_file_get_type ())
G_DECLARE_FINAL_TYPE (TestRemoteFile, test_remote_file, TEST, REMOTE_FILE, GObject)

struct _TestRemoteFile
{
  GObject parent_instance;
  GFile *local;
};

static void test_remote_file_iface_init (GFileIface *iface);
G_DEFINE_FINAL_TYPE_WITH_CODE (TestRemoteFile, test_remote_file, G_TYPE_OBJECT,
                               G_IMPLEMENT_INTERFACE (G_TYPE_FILE, test_remote_file_iface_init))

static GThread *watched;
static guint calls; /* by the watched thread, which alone writes it */
static GCancellable *at_write;
static gboolean ends_at_write;

#define LONGEST_WAIT_US (60 * G_USEC_PER_SEC) /* only a fault takes so long */

static gboolean mounted;
static GMutex in_flight_lock;
static GCond in_flight_changed;
static guint in_flight, most_in_flight, wait_for, delay;

static GFile *
local (GFile *file)
{
  return TEST_REMOTE_FILE (file)->local;
}

/* Under way together with others, as many as are waited for; once they don't come, nobody waits any more. */
static void
take_time (void)
{
  const gint64 end = g_get_monotonic_time () + LONGEST_WAIT_US;

  g_mutex_lock (&in_flight_lock);
  most_in_flight = MAX (most_in_flight, ++in_flight);
  g_cond_broadcast (&in_flight_changed);
  while (most_in_flight < wait_for)
    if (!g_cond_wait_until (&in_flight_changed, &in_flight_lock, end))
      wait_for = 0;
  g_mutex_unlock (&in_flight_lock);
  if (delay > 0)
    g_usleep (delay);
  g_mutex_lock (&in_flight_lock);
  in_flight--;
  g_mutex_unlock (&in_flight_lock);
}

/* For what asks the file system. */
static GFile *
asked (GFile *file)
{
  if (g_thread_self () == watched)
    calls++;
  take_time ();
  return local (file);
}

guint
test_remote_file_slow (gboolean mount, guint together, guint delay_us)
{
  const guint most = most_in_flight;

  mounted = mount;
  most_in_flight = 0;
  wait_for = together;
  delay = delay_us;
  return most;
}

guint
test_remote_file_calls (GThread *thread)
{
  const guint before = calls;

  watched = thread;
  calls = 0;
  return before;
}

void
test_remote_file_cancel_at_write (GCancellable *cancellable)
{
  at_write = cancellable;
}

void
test_remote_file_end_at_write (void)
{
  ends_at_write = TRUE;
}

static GFileOutputStream *
written_to (GFileOutputStream *stream)
{
  if (ends_at_write)
    {
      g_output_stream_close (G_OUTPUT_STREAM (stream), NULL, NULL);
      _exit (0);
    }
  return stream;
}

static GFile *
dup_file (GFile *file)
{
  return test_remote_file_new (local (file));
}

static gboolean
is_native (GFile *file)
{
  return mounted;
}

static char *
get_path (GFile *file)
{
  return NULL;
}

static char *
get_uri (GFile *file)
{
  return g_strdup ("test-remote:///");
}

static char *
get_parse_name (GFile *file)
{
  return g_file_get_parse_name (local (file));
}

static char *
get_basename (GFile *file)
{
  return g_file_get_basename (local (file));
}

static gboolean
equal (GFile *a, GFile *b)
{
  return g_file_equal (local (a), local (b));
}

static GFile *
get_parent (GFile *file)
{
  g_autoptr (GFile) parent = g_file_get_parent (local (file));

  return parent == NULL ? NULL : test_remote_file_new (parent);
}

static GFile *
resolve_relative_path (GFile *file, const char *path)
{
  g_autoptr (GFile) child = g_file_resolve_relative_path (local (file), path);

  return test_remote_file_new (child);
}

static GFileEnumerator *
enumerate_children (GFile *file, const char *attributes, GFileQueryInfoFlags flags, GCancellable *cancellable,
                    GError **error)
{
  return g_file_enumerate_children (asked (file), attributes, flags, cancellable, error);
}

static GFileMonitor *
monitor_file (GFile *file, GFileMonitorFlags flags, GCancellable *cancellable, GError **error)
{
  return g_file_monitor_file (asked (file), flags, cancellable, error);
}

static GFileInfo *
query_info (GFile *file, const char *attributes, GFileQueryInfoFlags flags, GCancellable *cancellable, GError **error)
{
  return g_file_query_info (asked (file), attributes, flags, cancellable, error);
}

static GFileInputStream *
read_fn (GFile *file, GCancellable *cancellable, GError **error)
{
  return g_file_read (asked (file), cancellable, error);
}

static gboolean
delete_file (GFile *file, GCancellable *cancellable, GError **error)
{
  return g_file_delete (asked (file), cancellable, error);
}

static GFileOutputStream *
create (GFile *file, GFileCreateFlags flags, GCancellable *cancellable, GError **error)
{
  g_cancellable_cancel (at_write);
  return written_to (g_file_create (asked (file), flags, cancellable, error));
}

static GFileOutputStream *
replace (GFile *file, const char *etag, gboolean make_backup, GFileCreateFlags flags, GCancellable *cancellable,
         GError **error)
{
  g_cancellable_cancel (at_write);
  return written_to (g_file_replace (asked (file), etag, make_backup, flags, cancellable, error));
}

static gboolean
set_attribute (GFile *file, const char *name, GFileAttributeType type, gpointer value, GFileQueryInfoFlags flags,
               GCancellable *cancellable, GError **error)
{
  return g_file_set_attribute (asked (file), name, type, value, flags, cancellable, error);
}

static gboolean
move (GFile *from, GFile *to, GFileCopyFlags flags, GCancellable *cancellable, GFileProgressCallback progress,
      gpointer data, GError **error)
{
  return g_file_move (asked (from), local (to), flags, cancellable, progress, data, error);
}

static void
test_remote_file_iface_init (GFileIface *iface)
{
  iface->dup = dup_file;
  iface->is_native = is_native;
  iface->get_path = get_path;
  iface->get_uri = get_uri;
  iface->get_parse_name = get_parse_name;
  iface->get_basename = get_basename;
  iface->equal = equal;
  iface->get_parent = get_parent;
  iface->resolve_relative_path = resolve_relative_path;
  iface->enumerate_children = enumerate_children;
  iface->monitor_file = monitor_file;
  iface->query_info = query_info;
  iface->read_fn = read_fn;
  iface->create = create;
  iface->replace = replace;
  iface->delete_file = delete_file;
  iface->set_attribute = set_attribute;
  iface->move = move;
}

static void
test_remote_file_finalize (GObject *object)
{
  g_clear_object (&TEST_REMOTE_FILE (object)->local);
  G_OBJECT_CLASS (test_remote_file_parent_class)->finalize (object);
}

static void
test_remote_file_class_init (TestRemoteFileClass *class)
{
  G_OBJECT_CLASS (class)->finalize = test_remote_file_finalize;
}

static void
test_remote_file_init (TestRemoteFile *self)
{
}

GFile *
test_remote_file_new (GFile *file)
{
  TestRemoteFile *self = g_object_new (TEST_TYPE_REMOTE_FILE, NULL);
  self->local = g_object_ref (file);
  return G_FILE (self);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "remote-file.h"

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

static GFile *
local (GFile *file)
{
  return TEST_REMOTE_FILE (file)->local;
}

static GFile *
dup_file (GFile *file)
{
  return test_remote_file_new (local (file));
}

static gboolean
is_native (GFile *file)
{
  return FALSE;
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

static GFileInfo *
query_info (GFile *file, const char *attributes, GFileQueryInfoFlags flags, GCancellable *cancellable, GError **error)
{
  return g_file_query_info (local (file), attributes, flags, cancellable, error);
}

static GFileInputStream *
read_fn (GFile *file, GCancellable *cancellable, GError **error)
{
  return g_file_read (local (file), cancellable, error);
}

static GFileOutputStream *
create (GFile *file, GFileCreateFlags flags, GCancellable *cancellable, GError **error)
{
  return g_file_create (local (file), flags, cancellable, error);
}

static GFileOutputStream *
replace (GFile *file, const char *etag, gboolean make_backup, GFileCreateFlags flags, GCancellable *cancellable,
         GError **error)
{
  return g_file_replace (local (file), etag, make_backup, flags, cancellable, error);
}

static void
test_remote_file_iface_init (GFileIface *iface)
{
  iface->dup = dup_file;
  iface->is_native = is_native;
  iface->get_path = get_path;
  iface->get_uri = get_uri;
  iface->query_info = query_info;
  iface->read_fn = read_fn;
  iface->create = create;
  iface->replace = replace;
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

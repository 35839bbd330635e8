/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Notes of who has a profile open, the lock of a save, and a folder that is looked at for what others did: on a folder
 * of the disk, and on a stand-in for a share without a path. */
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <glib/gstdio.h>

#include "file/document.h"
#include "file/folder-poll.h"
#include "file/in-use-keeper.h"
#include "remote-file.h"
#include "support.h"

#define NAME "slipway.sidelong"
#define NOTE "." NAME ".open"
#define LONG_AGO_S 7200

static char *folder;

static char *
path_of (const char *name)
{
  return g_build_filename (folder, name, NULL);
}

static GFile *
file_of (const char *name)
{
  g_autofree char *path = path_of (name);

  return g_file_new_for_path (path);
}

static void
put (const char *name, const char *text)
{
  g_autofree char *path = path_of (name);

  g_assert_true (g_file_set_contents (path, text, -1, NULL));
}

static gboolean
is_there (const char *name)
{
  g_autofree char *path = path_of (name);

  return g_file_test (path, G_FILE_TEST_EXISTS);
}

/* A note, or a lock, as a program on @machine leaves it, last renewed @age_s ago. */
static void
put_note (const char *name, const char *person, const char *machine, const char *process, int age_s)
{
  g_autofree char *text = g_strdup_printf ("[open]\nversion=1\nperson=%s\nmachine=%s\nsince=2026-02-09T10:04:00+01:00\n"
                                           "process=%s\nid=7d1c\n",
                                           person, machine, process),
                  *path = path_of (name);
  const gint64 then = g_get_real_time () / G_USEC_PER_SEC - age_s;
  const struct timespec times[] = { { then, 0 }, { then, 0 } };

  put (name, text);
  g_assert_cmpint (utimensat (AT_FDCWD, path, times, 0), ==, 0);
}

static void
begin (void)
{
  folder = test_folder ();
  put (NAME, "x");
}

static void
end (void)
{
  test_folder_free (g_steal_pointer (&folder));
}

static guint
others (GFile *file, gint64 now_us, gboolean tidy, gboolean *left)
{
  g_autoptr (GPtrArray) found = sl_in_use_look (file, now_us, tidy);

  if (found->len > 0)
    *left = ((SlInUse *) found->pdata[0])->left;
  return found->len;
}

static void
test_names (void)
{
  static const struct
  {
    const char *name, *profile;
  } rows[] = { { ".a.sidelong.open", "a.sidelong" },
               { ".a.sidelong.open-2", "a.sidelong" },
               { ".a.sidelong.open-4", "a.sidelong" },
               { ".a.open.sidelong.open", "a.open.sidelong" },
               { ".a.sidelong.open-5", NULL },
               { ".a.sidelong.open-1", NULL },
               { ".a.sidelong.open-22", NULL },
               { "a.sidelong.open", NULL },
               { ".a.txt.open", NULL },
               { ".open", NULL },
               { "a.sidelong", NULL } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autofree char *profile = sl_in_use_profile (rows[i].name);

      g_assert_cmpstr (profile, ==, rows[i].profile);
    }
}

/* @data: on a share without a path. */
static void
test_own (gconstpointer data)
{
  gboolean left;

  begin ();
  g_autoptr (GFile) local = file_of (NAME), file = data != NULL ? test_remote_file_new (local) : g_object_ref (local);
  SlInUseNote *note = sl_in_use_take (file), *second;
  gint64 first_us, second_us;
  struct stat before, after;
  g_autofree char *path = path_of (NOTE);

  g_assert_nonnull (note);
  g_assert_true (is_there (NOTE));
  g_assert_cmpuint (others (file, 0, TRUE, &left), ==, 0); /* one's own is no other's, nor goes */
  g_assert_true (is_there (NOTE));
  first_us = sl_in_use_beat (note);
  g_assert_cmpint (stat (path, &before), ==, 0);
  g_usleep (20000); /* more than a tick of the file system's clock */
  second_us = sl_in_use_beat (note);
  g_assert_cmpint (stat (path, &after), ==, 0);
  g_assert_cmpint (first_us, >, 0);
  g_assert_cmpint (second_us, >, first_us);
  if (data == NULL)
    g_assert_cmpuint (before.st_ino, ==, after.st_ino); /* in its place: the folder is as it was */
  second = sl_in_use_take (file);                       /* another program of this person */
  g_assert_true (is_there (NOTE "-2"));
  sl_in_use_drop (second);
  g_assert_false (is_there (NOTE "-2"));
  put (NOTE, "somebody took it for left");
  g_assert_cmpint (sl_in_use_beat (note), ==, 0);
  sl_in_use_drop (note);
  g_assert_true (is_there (NOTE)); /* it is theirs now */
  end ();
}

static void
test_others (void)
{
  g_autofree char *mark = sl_process_mark (getpid ()), *here = g_strdup (g_get_host_name ());
  gboolean left = FALSE;

  begin ();
  g_autoptr (GFile) file = file_of (NAME), parent = g_file_get_parent (file);
  const gint64 now_us = sl_in_use_clock (parent);
  g_autoptr (GPtrArray) all = NULL;

  g_assert_cmpint (now_us, >, 0);
  put_note (NOTE, "Ada Plank", "bench-two", "b 1 2", 10);
  put_note (".sidelong-clock-00c0ffee", "", "", "", LONG_AGO_S); /* its program was killed as it asked for the time */
  put_note (".sidelong-clock-0000cafe", "", "", "", 1);
  all = sl_in_use_look_at_all (parent, now_us, NULL);
  g_assert_cmpuint (all->len, ==, 1);
  g_assert_false (is_there (".sidelong-clock-00c0ffee"));
  g_assert_true (is_there (".sidelong-clock-0000cafe")); /* may be asked of just now */
  g_assert_cmpstr (((SlInUse *) all->pdata[0])->file, ==, NAME);
  g_assert_cmpstr (((SlInUse *) all->pdata[0])->person, ==, "Ada Plank");
  g_assert_cmpstr (((SlInUse *) all->pdata[0])->machine, ==, "bench-two");
  g_assert_cmpuint (others (file, now_us, TRUE, &left), ==, 1);
  g_assert_false (left);
  g_assert_true (is_there (NOTE));

  put_note (NOTE, "Ada Plank", "bench-two", "b 1 2", LONG_AGO_S);
  g_assert_cmpuint (others (file, 0, TRUE, &left), ==, 1); /* what time it is there is not known */
  g_assert_false (left);
  g_assert_cmpuint (others (file, now_us, TRUE, &left), ==, 1);
  g_assert_true (left);
  g_assert_false (is_there (NOTE)); /* told once, and taken away */

  put_note (NOTE, "Ada Plank", "bench-two", "b 1 2", -LONG_AGO_S); /* the server's clock was put back */
  g_assert_cmpuint (others (file, now_us, TRUE, &left), ==, 1);
  g_assert_true (left);

  put_note (NOTE, "Ada Plank", here, "b 1 2", 1); /* its program is gone from this machine */
  g_assert_cmpuint (others (file, now_us, FALSE, &left), ==, 1);
  g_assert_true (left);
  put_note (NOTE, "Ada Plank", here, mark, 1);
  g_assert_cmpuint (others (file, now_us, FALSE, &left), ==, 1);
  g_assert_false (left);
  end ();
}

/* Whatever lies there in place of a note neither is one nor harms. */
static void
test_no_notes (void)
{
  g_autofree char *big = g_strnfill (10000, 'x'), *bad = NULL, *note = NULL;
  const char *const texts[] = { "", "[open]\n", "[open]\nversion=2\nperson=A\n", "\xff\xfe", big };
  gboolean left;

  begin ();
  g_autoptr (GFile) file = file_of (NAME);

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      put (NOTE, texts[i]);
      g_assert_cmpuint (others (file, G_MAXINT64 / 2, TRUE, &left), ==, 0);
    }
  note = path_of (NOTE);
  bad = path_of ("precious");
  g_assert_cmpint (g_unlink (note), ==, 0);
  put ("precious", "[open]\nversion=1\nperson=A\nmachine=B\n");
  g_assert_cmpint (symlink (bad, note), ==, 0);
  g_assert_cmpuint (others (file, G_MAXINT64 / 2, TRUE, &left), ==, 0); /* no link is followed */
  SlInUseNote *own = sl_in_use_take (file);
  g_assert_true (is_there (NOTE "-2")); /* and none written through */
  sl_in_use_drop (own);
  g_assert_true (is_there ("precious"));
  end ();
}

/* Where nothing can be noted, nothing is; what was left makes room. */
static void
test_room (void)
{
  begin ();
  g_autoptr (GFile) file = file_of (NAME), nowhere = file_of ("gone/" NAME);
  g_autofree char *mark = sl_process_mark (getpid ());

  g_assert_null (sl_in_use_take (nowhere));
  for (int i = 1; i <= SL_IN_USE_MOST; i++)
    {
      g_autofree char *name = sl_in_use_note_name (NAME, i);

      put_note (name, "Ada Plank", "bench-two", "b 1 2", 1);
    }
  g_assert_null (sl_in_use_take (file));
  put_note (NOTE "-3", "Ada Plank", "bench-two", "b 1 2", LONG_AGO_S);
  SlInUseNote *note = sl_in_use_take (file);
  g_assert_nonnull (note);
  sl_in_use_drop (note);
  g_assert_false (is_there (NOTE "-3"));
  end ();
}

/* @data: on a share without a path. */
static void
test_lock (gconstpointer data)
{
  gboolean busy;

  begin ();
  g_autoptr (GFile) local = file_of (NAME), file = data != NULL ? test_remote_file_new (local) : g_object_ref (local);
  const char *const lock_name = "." NAME ".sidelong-saving";
  SlInUseNote *lock = sl_save_lock_take (file, NULL, &busy);

  g_assert_nonnull (lock);
  g_assert_true (sl_save_lock_holds (lock));
  g_assert_null (sl_save_lock_take (file, NULL, &busy)); /* after some seconds */
  g_assert_true (busy);
  sl_in_use_drop (lock);
  g_assert_false (is_there (lock_name));
  put_note (lock_name, "Ada Plank", "bench-two", "b 1 2", LONG_AGO_S); /* its machine lost its power, say */
  lock = sl_save_lock_take (file, NULL, &busy);
  g_assert_nonnull (lock);
  put_note (lock_name, "Ada Plank", "bench-two", "b 1 2", 1); /* taken for left itself */
  g_assert_false (sl_save_lock_holds (lock));
  sl_in_use_drop (lock);
  g_assert_true (is_there (lock_name));
  end ();
}

static void
on_told (const GPtrArray *others, gpointer data)
{
  ++*(int *) data;
}

static void
await (const int *told, int n)
{
  while (*told < n)
    g_main_context_iteration (NULL, TRUE);
}

/* A folder that goes and comes back, as a share does, brings back the note that is kept: no second one beside it. */
static void
test_away (void)
{
  g_autofree char *away = NULL;
  int told = 0;

  begin ();
  away = g_strconcat (folder, "-away", NULL);
  g_autoptr (GFile) file = file_of (NAME);
  SlInUseKeeper *keeper = sl_in_use_keeper_new (file, on_told, &told);

  await (&told, 1);
  g_assert_true (is_there (NOTE));
  g_assert_cmpint (g_rename (folder, away), ==, 0);
  sl_in_use_keeper_look (keeper);
  await (&told, 2);
  g_assert_cmpint (g_mkdir (folder, 0700), ==, 0); /* where a share was that is not connected */
  sl_in_use_keeper_look (keeper);
  await (&told, 3);
  g_assert_cmpint (g_rmdir (folder), ==, 0); /* nothing was put there */
  g_assert_cmpint (g_rename (away, folder), ==, 0);
  sl_in_use_keeper_look (keeper);
  await (&told, 4);
  g_assert_true (is_there (NOTE));
  g_assert_false (is_there (NOTE "-2"));
  sl_in_use_keeper_free (keeper);
  sl_in_use_finish ();
  g_assert_false (is_there (NOTE));
  end ();
}

/* Locks that nobody comes back for, and which say nothing: none stands in the way of every save there. */
static void
test_odd_locks (void)
{
  const struct timespec times[] = { { 1, 0 }, { 1, 0 } };
  gboolean busy;

  begin ();
  g_autoptr (GFile) file = file_of (NAME);
  const char *const lock_name = "." NAME ".sidelong-saving";
  g_autofree char *path = path_of (lock_name);

  for (int i = 0; i < 4; i++)
    {
      if (i == 0)
        put_note (lock_name, "Ada Plank", "bench-two", "b 1 2", -LONG_AGO_S); /* the server's clock was put back */
      else if (i == 1)
        g_assert_cmpint (g_mkdir (path, 0700), ==, 0);
      else if (i == 2)
        g_assert_cmpint (symlink ("nowhere", path), ==, 0);
      else
        {
          put_note (lock_name, "Ada Plank", "bench-two", "b 1 2", 1);
          g_assert_cmpint (g_chmod (path, 0), ==, 0); /* of a person whose files are their own */
        }
      if (i > 0)
        g_assert_cmpint (utimensat (AT_FDCWD, path, times, AT_SYMLINK_NOFOLLOW), ==, 0);
      SlInUseNote *lock = sl_save_lock_take (file, NULL, &busy);
      g_assert_nonnull (lock);
      g_assert_true (sl_save_lock_holds (lock));
      sl_in_use_drop (lock);
      g_assert_false (is_there (lock_name));
    }
  end ();
}

/* ---- looking at a folder ---- */

static gboolean
any (const char *name)
{
  return sl_document_has_name (name);
}

/* The names a look finds changed, in order, with commas. */
static char *
looked (SlFolderPoll *poll)
{
  g_autoptr (GHashTable) changed = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_autoptr (GList) names = NULL;
  GString *text = g_string_new (NULL);

  if (sl_folder_poll_look (poll, changed))
    g_string_append (text, "whole");
  names = g_list_sort (g_hash_table_get_keys (changed), (GCompareFunc) strcmp);
  for (GList *l = names; l != NULL; l = l->next)
    g_string_append_printf (text, "%s%s", text->len > 0 ? "," : "", (char *) l->data);
  return g_string_free (text, FALSE);
}

static void
assert_looked (SlFolderPoll *poll, const char *expected)
{
  g_autofree char *found = looked (poll);

  g_assert_cmpstr (found, ==, expected);
}

static void
save (const char *name, const char *text)
{
  g_autoptr (GFile) file = file_of (name);
  g_autoptr (GBytes) bytes = g_bytes_new (text, strlen (text));

  g_assert_true (sl_file_replace (file, bytes, NULL, TRUE, NULL, NULL));
}

/* @data: on a share without a path. */
static void
test_folder_looked_at (gconstpointer data)
{
  begin ();
  g_autoptr (GFile) local = g_file_new_for_path (folder),
                    file = data != NULL ? test_remote_file_new (local) : g_object_ref (local);
  SlFolderPoll *poll = sl_folder_poll_new (file, any, NULL);
  g_autofree char *path = path_of (NAME), *away = g_strconcat (folder, "-away", NULL);

  assert_looked (poll, ""); /* what is there at first is nothing new */
  assert_looked (poll, "");
  save (NAME, "y");
  assert_looked (poll, NAME);
  assert_looked (poll, "");
  save ("b.sidelong", "y");
  save ("b.txt", "y");
  assert_looked (poll, "b.sidelong");
  g_assert_cmpint (g_unlink (path), ==, 0);
  assert_looked (poll, NAME);
  for (int i = 0; i < 5; i++)
    assert_looked (poll, "");
  g_assert_cmpint (g_rename (folder, away), ==, 0);
  assert_looked (poll, "whole");
  assert_looked (poll, "");
  g_assert_cmpint (g_rename (away, folder), ==, 0);
  assert_looked (poll, "whole");
  sl_folder_poll_free (poll);
  end ();
}

/* One file and its notes, whatever goes on beside them. */
static void
test_file_looked_at (gconstpointer data)
{
  begin ();
  g_autoptr (GFile) local = g_file_new_for_path (folder),
                    file = data != NULL ? test_remote_file_new (local) : g_object_ref (local);
  SlFolderPoll *poll = sl_folder_poll_new (file, any, NAME);
  g_autofree char *note = path_of (NOTE), *path = path_of (NAME);

  assert_looked (poll, "");
  save ("b.sidelong", "y");
  assert_looked (poll, "");
  save (NAME, "other");
  assert_looked (poll, NAME);
  put (NOTE, "x");
  assert_looked (poll, NOTE);
  g_assert_cmpint (g_unlink (note), ==, 0);
  assert_looked (poll, NOTE);
  for (int i = 0; i < 5; i++)
    assert_looked (poll, "");
  g_usleep (20000);      /* more than a tick of the file system's clock */
  put ("aside", "more"); /* no rename: changed in its place */
  FILE *f = fopen (path, "a");
  fputs ("more", f);
  fclose (f);
  assert_looked (poll, NAME);
  sl_folder_poll_free (poll);
  end ();
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/in-use/names", test_names);
  g_test_add_data_func ("/in-use/own", NULL, test_own);
  g_test_add_data_func ("/in-use/own-on-share", "share", test_own);
  g_test_add_func ("/in-use/others", test_others);
  g_test_add_func ("/in-use/no-notes", test_no_notes);
  g_test_add_func ("/in-use/room", test_room);
  g_test_add_data_func ("/in-use/lock", NULL, test_lock);
  g_test_add_data_func ("/in-use/lock-on-share", "share", test_lock);
  g_test_add_func ("/in-use/away", test_away);
  g_test_add_func ("/in-use/odd-locks", test_odd_locks);
  g_test_add_data_func ("/in-use/folder", NULL, test_folder_looked_at);
  g_test_add_data_func ("/in-use/folder-on-share", "share", test_folder_looked_at);
  g_test_add_data_func ("/in-use/file", NULL, test_file_looked_at);
  g_test_add_data_func ("/in-use/file-on-share", "share", test_file_looked_at);
  return g_test_run ();
}

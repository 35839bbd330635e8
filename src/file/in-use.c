/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file/in-use.h"

#include <fcntl.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "file/document-private.h"
#include "words/dates.h"

#define GROUP "open"
#define VERSION 1
#define ENDING ".open"
#define MOST_BYTES 4096
#define LOCK_STALE_US (30 * G_USEC_PER_SEC) /* a save takes milliseconds: it may hold its lock for half as long */
#define LOCK_NAME ".%s.sidelong" LOCK_ENDING
#define LOCK_ENDING "-saving"
#define WAIT_US 10000
#define MOST_WAITS 500
#define WAITS_A_LOOK 50 /* half a second */
#define CLOCK_PREFIX ".sidelong-clock-"
#define START_WORD 20 /* when a process started, behind its name in its stat: proc(5) */

struct _SlInUseNote
{
  GFile *file; /* the note's */
  char *text;
  gint64 taken_us; /* by the monotonic clock */
};

void
sl_in_use_free (gpointer data)
{
  SlInUse *in_use = data;

  g_free (in_use->file);
  g_free (in_use->person);
  g_free (in_use->machine);
  g_free (in_use->since);
  g_free (in_use);
}

/* ---- processes ---- */

char *
sl_process_mark (int pid)
{
  g_autofree char *boot = NULL, *path = g_strdup_printf ("/proc/%d/stat", pid), *stat = NULL;
  g_auto (GStrv) words = NULL;

  if (!g_file_get_contents ("/proc/sys/kernel/random/boot_id", &boot, NULL, NULL) ||
      !g_file_get_contents (path, &stat, NULL, NULL) || strrchr (stat, ')') == NULL)
    return NULL;
  words = g_strsplit (strrchr (stat, ')'), " ", START_WORD + 2);
  return g_strdup_printf ("%s %d %s", g_strstrip (boot), pid, words[START_WORD]);
}

gboolean
sl_process_runs (const char *mark)
{
  const char *pid = mark != NULL ? strchr (mark, ' ') : NULL;
  g_autofree char *now = pid != NULL ? sl_process_mark (atoi (pid)) : NULL;

  return g_strcmp0 (mark, now) == 0 && now != NULL;
}

/* ---- names ---- */

char *
sl_in_use_note_name (const char *profile, int number)
{
  return number == 1 ? g_strdup_printf (".%s" ENDING, profile) : g_strdup_printf (".%s" ENDING "-%d", profile, number);
}

static GFile *
note_file (GFile *profile, int number)
{
  g_autoptr (GFile) folder = g_file_get_parent (profile);
  g_autofree char *name = g_file_get_basename (profile), *note = sl_in_use_note_name (name, number);

  return g_file_get_child (folder, note);
}

char *
sl_in_use_profile (const char *name)
{
  const char *end = *name == '.' ? g_strrstr (name, ENDING) : NULL;
  g_autofree char *profile = end > name ? g_strndup (name + 1, (gsize) (end - name - 1)) : NULL;

  if (profile == NULL || !sl_document_has_name (profile))
    return NULL;
  end += strlen (ENDING);
  return *end == '\0' || (*end == '-' && strlen (end) == 2 && end[1] > '1' && end[1] <= '0' + SL_IN_USE_MOST)
             ? g_steal_pointer (&profile)
             : NULL;
}

/* The file itself, whichever links lead to it: all who have it open note that beside it. */
static GFile *
real_file (GFile *file)
{
  const char *path = g_file_is_native (file) ? g_file_peek_path (file) : NULL;
  char *real = path != NULL ? realpath (path, NULL) : NULL;
  GFile *found = real != NULL ? g_file_new_for_path (real) : g_object_ref (file);

  free (real);
  return found;
}

/* ---- one note ---- */

static const char *
person_name (void)
{
  const char *real = g_get_real_name ();

  return g_str_equal (real, "Unknown") ? g_get_user_name () : real; /* what GLib says where there is none */
}

static char *
own_text (void)
{
  g_autoptr (GKeyFile) keys = g_key_file_new ();
  g_autofree char *since = sl_now_iso (), *mark = sl_process_mark ((int) getpid ()), *id = g_uuid_string_random ();
  const char *const texts[][2] = { { "person", person_name () },
                                   { "machine", g_get_host_name () },
                                   { "since", since },
                                   { "process", mark != NULL ? mark : "" },
                                   { "id", id } };

  g_key_file_set_integer (keys, GROUP, "version", VERSION);
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    g_key_file_set_string (keys, GROUP, texts[i][0], texts[i][1]);
  return g_key_file_to_data (keys, NULL, NULL);
}

/* When the file was last written, by the file system's clock; 0: it is not there. */
static gint64
written_us (GFile *file)
{
  g_autoptr (GFileInfo) info =
      g_file_query_info (file, G_FILE_ATTRIBUTE_TIME_MODIFIED "," G_FILE_ATTRIBUTE_TIME_MODIFIED_USEC,
                         G_FILE_QUERY_INFO_NOFOLLOW_SYMLINKS, NULL, NULL);
  g_autoptr (GDateTime) written = info != NULL ? g_file_info_get_modification_date_time (info) : NULL;

  return written != NULL ? g_date_time_to_unix (written) * G_USEC_PER_SEC + g_date_time_get_microsecond (written) : 0;
}

/* Whether what was dated is older than that now; 0: not known. What will have been is, too: the clock was put back. */
static gboolean
is_older (gint64 dated_us, gint64 now_us, gint64 most_us)
{
  return dated_us != 0 && now_us != 0 && ABS (now_us - dated_us) > most_us;
}

static GBytes *
bytes_of (GFile *file)
{
  return g_file_query_file_type (file, G_FILE_QUERY_INFO_NOFOLLOW_SYMLINKS, NULL) == G_FILE_TYPE_REGULAR
             ? sl_file_bytes (file, NULL, NULL)
             : NULL;
}

static gboolean
is_own (SlInUseNote *note)
{
  g_autoptr (GBytes) bytes = bytes_of (note->file);

  return bytes != NULL && g_bytes_get_size (bytes) == strlen (note->text) &&
         memcmp (g_bytes_get_data (bytes, NULL), note->text, strlen (note->text)) == 0;
}

static char *
one_line (GKeyFile *keys, const char *key)
{
  g_autofree char *text = g_key_file_get_string (keys, GROUP, key, NULL);

  return sl_shown (text != NULL ? text : "");
}

/* What a file says, which is the whole of a note; NULL: it is gone, or is none. */
static GKeyFile *
read_note (GFile *file)
{
  g_autoptr (GKeyFile) keys = g_key_file_new ();
  g_autoptr (GBytes) bytes = bytes_of (file);

  if (bytes == NULL || g_bytes_get_size (bytes) > MOST_BYTES ||
      !g_key_file_load_from_bytes (keys, bytes, G_KEY_FILE_NONE, NULL) ||
      g_key_file_get_integer (keys, GROUP, "version", NULL) != VERSION)
    return NULL;
  return g_steal_pointer (&keys);
}

/* Whether a note was written on this machine, and its program has ended there. */
static gboolean
is_here (GKeyFile *keys, gboolean *ended)
{
  g_autofree char *mark = g_key_file_get_string (keys, GROUP, "process", NULL),
                  *machine = g_key_file_get_string (keys, GROUP, "machine", NULL);
  const gboolean here = g_strcmp0 (machine, g_get_host_name ()) == 0;

  *ended = here && !sl_process_runs (mark);
  return here;
}

/* Adds a note on @profile to those of @others, unless it is this person's on this machine. */
static void
look_at_note (GPtrArray *others, GFile *note, const char *profile, gint64 now_us, gboolean tidy)
{
  g_autoptr (GKeyFile) keys = read_note (note);
  g_autofree char *person = keys != NULL ? g_key_file_get_string (keys, GROUP, "person", NULL) : NULL;
  SlInUse other = { 0 };
  gboolean here;

  if (keys == NULL)
    return;
  here = is_here (keys, &other.left);
  other.beat_us = written_us (note);
  other.left |= is_older (other.beat_us, now_us, SL_IN_USE_STALE_S * G_USEC_PER_SEC);
  if (!here || g_strcmp0 (person, person_name ()) != 0)
    {
      other.file = g_strdup (profile);
      other.person = one_line (keys, "person");
      other.machine = one_line (keys, "machine");
      other.since = one_line (keys, "since");
      g_ptr_array_add (others, g_memdup2 (&other, sizeof other));
    }
  if (other.left && tidy)
    g_file_delete (note, NULL, NULL);
}

GPtrArray *
sl_in_use_look (GFile *file, gint64 now_us, gboolean tidy)
{
  g_autoptr (GFile) real = real_file (file);
  g_autofree char *name = g_file_get_basename (file);
  GPtrArray *others = g_ptr_array_new_with_free_func (sl_in_use_free);

  for (int i = 1; i <= SL_IN_USE_MOST; i++)
    {
      g_autoptr (GFile) note = note_file (real, i);

      look_at_note (others, note, name, now_us, tidy);
    }
  return others;
}

GPtrArray *
sl_in_use_look_at_all (GFile *folder, gint64 now_us, GCancellable *cancellable)
{
  g_autoptr (GFileEnumerator) files = g_file_enumerate_children (
      folder, G_FILE_ATTRIBUTE_STANDARD_NAME, G_FILE_QUERY_INFO_NOFOLLOW_SYMLINKS, cancellable, NULL);
  GPtrArray *others = g_ptr_array_new_with_free_func (sl_in_use_free);
  GFileInfo *info;
  GFile *note;

  while (files != NULL && g_file_enumerator_iterate (files, &info, &note, cancellable, NULL) && info != NULL)
    {
      const char *name = g_file_info_get_name (info);
      g_autofree char *profile = sl_in_use_profile (name);

      if (profile != NULL)
        look_at_note (others, note, profile, now_us, FALSE);
      else if (g_str_has_prefix (name, CLOCK_PREFIX) && is_older (written_us (note), now_us, LOCK_STALE_US))
        g_file_delete (note, NULL, NULL); /* of a program that was killed as it asked for the time */
    }
  return others;
}

/* ---- one's own ---- */

/* Writes a file that is not there yet; TRUE where it could be. */
static gboolean
create (GFile *file, const char *text, gboolean *exists)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GFileOutputStream) stream = g_file_create (file, G_FILE_CREATE_NONE, NULL, &error);

  *exists = g_error_matches (error, G_IO_ERROR, G_IO_ERROR_EXISTS);

  if (stream == NULL)
    return FALSE;
  if (g_output_stream_write_all (G_OUTPUT_STREAM (stream), text, strlen (text), NULL, NULL, NULL) &&
      g_output_stream_close (G_OUTPUT_STREAM (stream), NULL, NULL))
    return TRUE;
  g_output_stream_close (G_OUTPUT_STREAM (stream), NULL, NULL);
  g_file_delete (file, NULL, NULL); /* the disk is full: half a note is none */
  return FALSE;
}

static gboolean
put_note (SlInUseNote *note, GFile *real)
{
  gboolean exists = TRUE;

  for (int i = 1; i <= SL_IN_USE_MOST && exists; i++)
    {
      g_clear_object (&note->file);
      note->file = note_file (real, i);
      if (create (note->file, note->text, &exists))
        return TRUE;
    }
  return FALSE;
}

SlInUseNote *
sl_in_use_take (GFile *file)
{
  g_autoptr (GFile) real = real_file (file), folder = g_file_get_parent (real);
  g_autoptr (GFile) first = note_file (real, 1);
  SlInUseNote *note = g_new0 (SlInUseNote, 1);

  note->text = own_text ();
  if (put_note (note, real))
    return note;
  if (written_us (first) != 0) /* all are taken, perhaps by what was left */
    {
      g_ptr_array_unref (sl_in_use_look (real, sl_in_use_clock (folder), TRUE));
      if (put_note (note, real))
        return note;
    }
  g_clear_object (&note->file);
  sl_in_use_drop (note);
  return NULL;
}

void
sl_in_use_drop (SlInUseNote *note)
{
  if (note->file != NULL && is_own (note))
    g_file_delete (note->file, NULL, NULL);
  g_clear_object (&note->file);
  g_free (note->text);
  g_free (note);
}

/* The same bytes are written again, in their place where that can be: the file system dates them by its own clock, and
 * the folder does not change. */
gint64
sl_in_use_beat (SlInUseNote *note)
{
  const char *path = g_file_is_native (note->file) ? g_file_peek_path (note->file) : NULL;
  const size_t length = strlen (note->text);
  gboolean written = FALSE;

  if (!is_own (note))
    return 0;
  if (path != NULL)
    {
      const int fd = open (path, O_WRONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);

      written = fd >= 0 && write (fd, note->text, length) == (ssize_t) length;
      if (fd >= 0)
        close (fd);
    }
  else /* GVfs opens nothing to be written in its place */
    written =
        g_file_replace_contents (note->file, note->text, length, NULL, FALSE, G_FILE_CREATE_NONE, NULL, NULL, NULL);
  return written ? written_us (note->file) : 0;
}

gint64
sl_in_use_clock (GFile *folder)
{
  g_autofree char *name = g_strdup_printf (CLOCK_PREFIX "%08x", g_random_int ());
  g_autoptr (GFile) file = g_file_get_child (folder, name);
  gint64 now_us = 0;
  gboolean exists;

  if (create (file, "\n", &exists))
    {
      now_us = written_us (file);
      g_file_delete (file, NULL, NULL);
    }
  return now_us;
}

/* ---- one save at a time ---- */

/* A name beside it that goes as what killed saves leave does. */
static char *
name_aside (const char *lock)
{
  return g_strdup_printf ("%.*s-save-%08x", (int) (strlen (lock) - strlen (LOCK_ENDING)), lock, g_random_int ());
}

static gboolean
is_left (GFile *lock, GFile *folder)
{
  g_autoptr (GKeyFile) keys = read_note (lock);
  const gint64 since_us = written_us (lock);
  gboolean ended;

  if (keys != NULL && is_here (keys, &ended))
    return ended;
  return is_older (since_us, sl_in_use_clock (folder), LOCK_STALE_US);
}

/* Makes the lock with all it says at once, so that whoever finds it knows whose it is: another name for a file that is
 * whole already, which only one can give it. Over NFS the answer to that may get lost, and the number of names tells
 * (open(2), O_EXCL). FALSE where it can't, and @exists. */
static gboolean
make_lock (GFile *file, const char *text, gboolean *exists)
{
  const char *path = g_file_is_native (file) ? g_file_peek_path (file) : NULL;
  g_autofree char *own = path != NULL ? name_aside (path) : NULL;
  g_autoptr (GFile) whole = own != NULL ? g_file_new_for_path (own) : NULL;
  struct stat info;
  gboolean linked;

  *exists = path != NULL && lstat (path, &info) == 0;
  if (*exists)
    return FALSE;
  if (path == NULL || !create (whole, text, exists))
    return path == NULL && create (file, text, exists);
  linked = link (own, path) == 0 || (lstat (own, &info) == 0 && info.st_nlink == 2);
  unlink (own);
  return linked || create (file, text, exists); /* there may be no second names */
}

/* Moves it away first, so that of several that find it left one takes it; and looks whether it was that one. It need
 * be none that can be read, nor a file. */
static void
remove_left (GFile *lock, GFile *folder)
{
  g_autofree char *name = g_file_get_basename (lock), *own = name_aside (name);
  g_autoptr (GFile) aside = g_file_get_child (folder, own);
  const GFileCopyFlags flags = G_FILE_COPY_NOFOLLOW_SYMLINKS | G_FILE_COPY_NO_FALLBACK_FOR_MOVE;

  if (is_left (lock, folder) && g_file_move (lock, aside, flags, NULL, NULL, NULL, NULL) &&
      (is_left (aside, folder) || !g_file_move (aside, lock, flags, NULL, NULL, NULL, NULL)))
    g_file_delete (aside, NULL, NULL);
}

static GFile *
lock_of (GFile *file, GFile **folder)
{
  g_autoptr (GFile) real = real_file (file);
  g_autofree char *name = g_file_get_basename (real), *lock_name = g_strdup_printf (LOCK_NAME, name);

  *folder = g_file_get_parent (real);
  return g_file_get_child (*folder, lock_name);
}

void
sl_save_lock_tidy (GFile *file)
{
  g_autoptr (GFile) folder = NULL, lock = lock_of (file, &folder);

  if (written_us (lock) != 0)
    remove_left (lock, folder);
}

SlInUseNote *
sl_save_lock_take (GFile *file, GCancellable *cancellable, gboolean *busy)
{
  g_autoptr (GFile) folder = NULL;
  g_autoptr (SlInUseNote) lock = g_new0 (SlInUseNote, 1);

  lock->file = lock_of (file, &folder);
  lock->text = own_text ();
  *busy = TRUE;
  for (int i = 0; i < MOST_WAITS && *busy && !g_cancellable_is_cancelled (cancellable); i++)
    {
      lock->taken_us = g_get_monotonic_time ();
      if (make_lock (lock->file, lock->text, busy))
        return g_steal_pointer (&lock);
      if (*busy && i % WAITS_A_LOOK == 0)
        remove_left (lock->file, folder);
      if (*busy && i > 0) /* one that was left is gone now */
        g_usleep (WAIT_US);
    }
  return NULL;
}

gboolean
sl_save_lock_holds (SlInUseNote *lock)
{
  return is_own (lock) && g_get_monotonic_time () - lock->taken_us < LOCK_STALE_US / 2;
}

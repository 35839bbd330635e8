/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a file says of its own length: what decodes WAV and OGG goes by the bytes that are there, and doesn't tell that
 * more were promised. */
#include <stdio.h>
#include <string.h>

#include "capture/pipelines.h"

#define MOST_PARTS 4096 /* of a file: what has more is let through */

static gboolean
read_at (FILE *file, goffset place, guint8 *to, gsize n)
{
  return fseeko (file, place, SEEK_SET) == 0 && fread (to, 1, n, file) == n;
}

/* How long a WAV file says it is, s; 0 where that wasn't known yet when its head was written. (IBM and Microsoft,
 * "Multimedia Programming Interface and Data Specifications 1.0", 1991: a RIFF file is chunks of a name, a length and
 * that many bytes, to an even place.) */
static double
promised_by_wav (FILE *file)
{
  const guint32 unknown = 0x7ffff000; /* or more: what programs say that write into a pipe */
  guint8 chunk[20];
  guint32 bytes_a_second = 0;
  goffset place = 12;

  for (int i = 0; i < MOST_PARTS && read_at (file, place, chunk, 8); i++)
    {
      guint32 size = GST_READ_UINT32_LE (chunk + 4);
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
  g_autofree guint8 *tail = g_malloc0 (MOST);

  if (fseeko (file, 0, SEEK_END) != 0)
    return FALSE;
  goffset size = ftello (file), n = MIN (size, MOST);
  for (goffset i = read_at (file, size - n, tail, (gsize) n) ? n - FLAGS : 0; i-- > 0;)
    if (memcmp (tail + i, "OggS", 4) == 0)
      return (tail[i + FLAGS] & LAST) != 0;
  return FALSE;
}

SlCaptureHead
sl_capture_read_head (const char *path)
{
  SlCaptureHead head = { 0.0, FALSE, FALSE };
  guint8 name[12];
  FILE *file = fopen (path, "rbe");

  if (file == NULL)
    return head;
  if (read_at (file, 0, name, sizeof name))
    {
      head.is_wav = memcmp (name, "RIFF", 4) == 0 && memcmp (name + 8, "WAVE", 4) == 0;
      if (head.is_wav)
        head.promised_s = promised_by_wav (file);
      else if (memcmp (name, "OggS", 4) == 0)
        head.breaks_off = !has_last_page (file);
    }
  fclose (file);
  return head;
}

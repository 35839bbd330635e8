/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "file/store.h"

#include <errno.h>
#include <sys/file.h>

#define WAIT_MICROSECONDS 10000
#define MOST_WAITS 500 /* five seconds: a save takes milliseconds, so whoever still holds the lock is stuck */

SlLock
sl_lock_folder (int folder_fd, GCancellable *cancellable)
{
  for (int i = 0; i < MOST_WAITS; i++)
    {
      if (flock (folder_fd, LOCK_EX | LOCK_NB) == 0)
        return SL_LOCK_HELD;
      if (errno == EINTR)
        continue;
      if (errno != EWOULDBLOCK)
        return SL_LOCK_UNSUPPORTED;
      if (g_cancellable_is_cancelled (cancellable))
        return SL_LOCK_BUSY;
      g_usleep (WAIT_MICROSECONDS);
    }
  return SL_LOCK_BUSY;
}

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Reads a profile in a thread: a share may be slow, the window is not. */
#pragma once

#include "file/document.h"

void sl_read_profile_async (gpointer source, GFile *file, GCancellable *cancellable, GAsyncReadyCallback done);

/* Free with sl_profile_free(). NULL with @error where it can't be read. */
SlProfile *sl_read_profile_finish (GAsyncResult *result, GError **error);

/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A stand-in for a file on a mounted share: a GFile without a path that GIO does not call native and that passes
 * everything on to a local file. */
#pragma once

#include <gio/gio.h>

GFile *test_remote_file_new (GFile *local);

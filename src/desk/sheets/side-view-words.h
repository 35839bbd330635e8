/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a picture shows, in words, for those who can't see it. No GTK here. */
#pragma once

#include "bench/bench.h"
#include "draw/base/picture.h"

/* The picture's name: "Side view". */
const char *sl_picture_name (SlPictureKind kind);

/* String, action before and after, relief, break angles, what comes off, and with a held string what it leaves over the
 * closest crown. Free with g_free(). */
char *sl_picture_describe (SlBench *bench, SlPictureKind kind);

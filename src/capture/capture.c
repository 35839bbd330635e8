/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "capture/capture.h"

G_DEFINE_QUARK (sl_capture_error_quark, sl_capture_error)

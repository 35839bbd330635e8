/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "desk/kit/picture-options.h"

#include "desk/kit/util.h"

SlPictureOptions
sl_picture_options_for (SlBench *bench, GtkWidget *widget, SlPictureKind kind, double width, double height)
{
  SlPictureOptions options;

  sl_picture_options_init (&options);
  options.kind = kind;
  options.width = width;
  options.height = height;
  options.string = sl_bench_get_string (bench);
  options.lengths = sl_bench_get_lengths (bench);
  options.decimal = sl_decimal_sign ();
  options.dark = sl_is_dark (widget);
  return options;
}

#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Makes the PNG icons from the drawings, each size that has one of its own from that, the others from the scalable one:
#   sh data/icons/render.sh
# They are kept with the sources, so that a build needs no renderer and gives the same bytes wherever it is made.
set -eu
cd "$(dirname "$0")"
for kind in app profile; do
  name=org.sidelong.Sidelong
  [ $kind = app ] || name=$name.$kind
  for size in 16 24 32 48 64 128 256 512; do
    drawing=drawn/$kind-$size.svg
    [ -f $drawing ] || drawing=scalable/$name.svg
    mkdir -p ${size}x$size
    rsvg-convert --width $size --height $size $drawing | convert png:- -strip -define png:compression-level=9 -define png:exclude-chunks=date,time ${size}x$size/$name.png
  done
done

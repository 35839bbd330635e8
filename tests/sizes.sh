#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Draws every page of the program at several sizes of window and text, and puts those of a kind on one sheet each:
#   sh tests/sizes.sh FOLDER [LANGUAGE [--dark] [WIDTHxHEIGHT@PERCENT[/UNIT]…]]
# in the build folder that src/try.sh makes, with the program as tests/desk/test-sizes.c shows it. What is cut is said on the way. Needs the
# tools that tests/screenshots.sh needs.
set -eu
[ $# -ge 1 ] || { sed -n 's/^# \{0,1\}//p' "$0" | sed -n 3,7p >&2; exit 2; }
mkdir -p "$1"
out=$(cd "$1" && pwd)
language=${2:-}
[ $# -lt 2 ] || shift
shift
cd "$(dirname "$0")/.."
build=$PWD/build
walk=$build/tests/desk/test-sizes
[ -d "$build" ] || { echo "There is no folder build: sh src/try.sh makes it." >&2; exit 1; }
meson compile -C "$build" test-sizes >/dev/null || exit 1
dark=
[ "${1:-}" != --dark ] || { dark='--look dark'; shift; }
[ $# -gt 0 ] || set -- 1024x768@100 1280x720@100 1440x900@100 1440x900@150 1920x1080@100 1920x1080@150 2560x1440@100 3840x2160@100

# The customer's view goes by the size of the screen, so each size has a screen of its own.
for size in "$@"; do
  LANGUAGE=$language SIDELONG_LOCALE_DIR=$build/po GSETTINGS_SCHEMA_DIR=$build/data SL_SOURCE_ROOT=$PWD SL_BUILD_ROOT=$build \
    sh tests/display.sh --screen "${size%@*}" "$walk" -k $dark --pictures "$out" "$size" 2>/dev/null | sed -n 's/^# \([0-9]* × .*\)/\1/p'
done

# One sheet for each page: what follows the size and the unit in its name.
(cd "$out" && ls | sed -n 's/^[0-9x@]*-[a-z0-9]*-\(.*\.png\)$/\1/p' | sort -u) | while read -r page; do
  (cd "$out" && montage -label '%f' ./*@*-"$page" -geometry '900x700>+8+8' -tile 2x "sheet-$page")
  echo "$out/sheet-$page"
done

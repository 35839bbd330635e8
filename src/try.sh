#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Builds Sidelong in this checkout and opens a demonstration profile; without a display, draws it into a folder instead.
#   sh src/try.sh [PROFILE]
set -eu
profile=${1:-}
case $profile in
  '' | /*) ;;
  *) profile=$PWD/$profile ;;
esac
cd "$(dirname "$0")/.."
. src/packages.sh
need_packages $build_packages

build=build
if [ -f $build/build.ninja ]; then
  meson setup --reconfigure $build >/dev/null
else
  meson setup $build
fi
meson compile -C $build product

if [ -z "$profile" ]; then
  for profile in data/demo/*.sidelong; do break; done
fi

# Opening the display is the only sure test of it: the variables outlive the display they name.
display_opens ()
{
  [ -n "${DISPLAY:-}${WAYLAND_DISPLAY:-}" ] || return 1
  python3 - <<'PROBE'
import ctypes, sys
try:
    gtk = ctypes.CDLL("libgtk-4.so.1")
except OSError:
    sys.exit(1)
sys.exit(0 if gtk.gtk_init_check() else 1)
PROBE
}

if display_opens; then
  # What has been installed must not hide what was just built.
  exec env GSETTINGS_SCHEMA_DIR="$PWD/$build/data" SIDELONG_LOCALE_DIR="$PWD/$build/po" "$build/src/desk/sidelong" "$profile"
fi

calc=$build/src/calc/sidelong-calc
out=try-out
mkdir -p $out
name=$(basename "$profile" .sidelong)
echo "No display can be opened here, so the profile is drawn instead of shown:"
for ending in svg png pdf; do
  $calc draw "$profile" -o "$out/$name.$ending"
  echo "  $PWD/$out/$name.$ending (side view)"
done
$calc sheet "$profile" -o "$out/$name-sheet.pdf"
echo "  $PWD/$out/$name-sheet.pdf (hand-over sheet)"

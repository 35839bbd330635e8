#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Makes docs/screenshots/*.png from the program as built:
#   sh tests/screenshots.sh [BUILD [PROFILE]]
# Without a build folder, the one that src/try.sh makes. Each picture is a whole screen, of the bench light and dark, in two sizes, one of them in 64ths, or one of the other windows. The metainfo names some, with their sizes.
set -eu
cd "$(dirname "$0")/.."
build=${1:-build}
profile=${2:-}
if [ -z "$profile" ]; then
  for profile in data/demo/*.sidelong; do break; done
fi
case $build in
  /*) ;;
  *) build=$PWD/$build ;;
esac
program=$build/src/desk/sidelong
[ -x "$program" ] || { echo "$program isn't there; build first." >&2; exit 1; }
out=docs/screenshots
mkdir -p $out

work=$(mktemp -d)
mkdir -p "$work/srv/shelf"
trap 'rm -rf "$work"' EXIT
trap 'exit 130' INT TERM HUP

# One session: the program comes up, and the picture is taken when it has stopped changing.
cat >"$work/session" <<'SESSION'
program=$1 profile=$2 picture=$3 scratch=$4
"$program" "$profile" &
pid=$!
trap 'kill $pid 2>/dev/null' EXIT
tries=0
until xdotool search --onlyvisible --pid $pid >/dev/null 2>&1; do
  tries=$((tries + 1))
  kill -0 $pid 2>/dev/null && [ $tries -lt 100 ] || { echo "No window comes up." >&2; exit 1; }
  sleep 0.2
done
# The pointer out of the way, so that nothing is lit by it.
xdotool mousemove --sync 100000 100000 || :
: >"$scratch/before.rgb"
tries=0
while [ $tries -lt 50 ]; do
  tries=$((tries + 1))
  sleep 0.5
  import -silent -window root "$scratch/now.png"
  convert "$scratch/now.png" "$scratch/now.rgb"
  # A screen of one colour is one that nothing has been drawn on.
  if cmp -s "$scratch/now.rgb" "$scratch/before.rgb" && [ "$(identify -format %k "$scratch/now.png")" -gt 16 ]; then
    convert "$scratch/now.png" -dither None -colors 192 -strip -define png:compression-level=9 -define png:exclude-chunks=date,time "$picture"
    exit 0
  fi
  mv "$scratch/now.rgb" "$scratch/before.rgb"
done
echo "The window doesn't come to rest." >&2
exit 1
SESSION

# settings WIDTH HEIGHT SCHEME LENGTHS
settings ()
{
  config=$work/config
  rm -rf "$config"
  mkdir -p "$config/glib-2.0/settings"
  cat >"$config/glib-2.0/settings/keyfile" <<KEYS
[org/sidelong/Sidelong]
colour-scheme='$3'
lengths='$4'
window-width=$1
window-height=$2
shelf-folder='file:///srv/shelf'
KEYS
}

# on_screen WIDTH HEIGHT COMMAND...: with those settings, and with a folder for the shelf whose name is the same wherever the pictures are made.
on_screen ()
{
  screen=$1x$2
  shift 2
  SL_CONFIG_HOME=$config GSETTINGS_BACKEND=keyfile GSETTINGS_SCHEMA_DIR=$build/data SIDELONG_LOCALE_DIR=$build/po SL_SOURCE_ROOT=$PWD SL_BUILD_ROOT=$build \
    unshare --map-root-user --mount sh -c 'mount --bind "$0" /srv && exec "$@"' "$work/srv" sh tests/display.sh --screen "$screen" "$@"
}

# shot NAME WIDTH HEIGHT SCHEME LENGTHS
shot ()
{
  settings "$2" "$3" "$4" "$5"
  on_screen "$2" "$3" sh "$work/session" "$program" "$profile" "$out/$1.png" "$work"
  echo "$out/$1.png"
}

shot bench-light 1440 900 light mm
shot bench-dark 1440 900 dark mm
shot bench-light-large 1920 1080 light mm
shot bench-dark-large 1920 1080 dark mm
shot bench-64ths 1440 900 light 64ths

settings 1440 900 light mm
SL_GUIDE_LOCALE=C.UTF-8 on_screen 1440 900 /usr/bin/python3 tests/screenshots.py $out
# What is heard is made: the window is that of its test.
meson compile -C "$build" test-listen-window >/dev/null
on_screen 1440 900 "$build/tests/desk/test-listen-window" -p /listen/octave --pictures "$work" >/dev/null 2>&1
convert "$work/4-octave.png" -dither None -colors 192 -strip -define png:compression-level=9 -define png:exclude-chunks=date,time $out/listening.png

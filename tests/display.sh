#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Runs a command with a display, a session bus and settings of its own, all gone when it ends:
#   sh tests/display.sh [--screen WIDTHxHEIGHT] COMMAND...
set -u
screen=1600x1000
if [ "${1:-}" = --screen ]; then
  screen=$2
  shift 2
fi
own=$(mktemp -d) || exit 1
server=
clean ()
{
  trap - EXIT INT TERM HUP
  [ -z "$server" ] || { kill "$server"; wait "$server"; } 2>/dev/null
  rm -rf "$own"
}
trap clean EXIT
trap 'clean; exit 130' INT TERM HUP

mkdir -m 700 "$own/run" "$own/config" "$own/data" "$own/cache" "$own/state"
# Each frame of a transition is drawn by the processor: where SL_STILL is set, pages and messages come at once, and no cursor blinks.
if [ -n "${SL_STILL:-}" ]; then
  mkdir "$own/config/gtk-4.0"
  printf '[Settings]\ngtk-enable-animations=false\ngtk-cursor-blink=false\n' >"$own/config/gtk-4.0/settings.ini"
fi
# A server that is up writes its number; one that can't come up closes the pipe by going.
mkfifo "$own/number"
Xvfb -displayfd 3 -screen 0 "${screen}x24" -nolisten tcp -noreset 3>"$own/number" >"$own/log" 2>&1 &
server=$!
if ! read -r number <"$own/number"; then
  echo "Xvfb doesn't start:" >&2
  cat "$own/log" >&2
  exit 1
fi

DISPLAY=:$number
XDG_RUNTIME_DIR=$own/run
XDG_CONFIG_HOME=${SL_CONFIG_HOME:-$own/config}
XDG_DATA_HOME=$own/data
XDG_CACHE_HOME=$own/cache
XDG_STATE_HOME=$own/state
# No microphone of the person's is listened to; tests/sound-server.sh, called within, has a sound server of its own.
PULSE_SERVER=unix:$own/none
ALSA_CONFIG_PATH=/dev/null
export DISPLAY XDG_RUNTIME_DIR XDG_CONFIG_HOME XDG_DATA_HOME XDG_CACHE_HOME XDG_STATE_HOME PULSE_SERVER ALSA_CONFIG_PATH
unset WAYLAND_DISPLAY XAUTHORITY DBUS_SESSION_BUS_ADDRESS AT_SPI_BUS_ADDRESS
export GDK_BACKEND=x11 GSK_RENDERER=cairo GTK_A11Y=atspi NO_AT_BRIDGE=0 GIO_USE_VFS=local GIO_USE_VOLUME_MONITOR=unix
export GSETTINGS_BACKEND="${GSETTINGS_BACKEND:-memory}" LC_ALL="${LC_ALL:-C.UTF-8}"
# What the services on the bus say is none of the command's output.
exec 4>&1
dbus-run-session -- sh -c 'exec "$@" >&4 4>&-' sh "$@" >&2

#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Runs a command with a sound server of its own, gone when it ends; within tests/display.sh where it needs both:
#   sh tests/sound-server.sh COMMAND...
# What is played (paplay FILE) goes into a sink named "bench" that no one hears; its monitor is the only thing to listen to, and so the default.
set -u
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

# Nothing of the person's is read or written: neither settings, nor the key that clients show.
mkdir -m 700 "$own/home" "$own/run"
unset PULSE_SINK PULSE_SOURCE PULSE_PROP
export PULSE_SERVER="unix:$own/socket" PULSE_COOKIE="$own/cookie" PULSE_RUNTIME_PATH="$own/run" PULSE_STATE_PATH="$own/run" PULSE_CONFIG_PATH="$own/home"
# Nor is a microphone of this machine heard past the server.
export ALSA_CONFIG_PATH=/dev/null
env -u DISPLAY -u DBUS_SESSION_BUS_ADDRESS HOME="$own/home" XDG_RUNTIME_DIR="$own/run" \
  pulseaudio -n --daemonize=no --system=false --use-pid-file=no --exit-idle-time=-1 --disable-shm=yes --realtime=no --high-priority=no \
  --resample-method=speex-float-5 --log-target=stderr --load="module-native-protocol-unix auth-anonymous=1 socket=$own/socket" \
  --load="module-null-sink sink_name=bench rate=48000" >"$own/log" 2>&1 &
server=$!
until pactl info >/dev/null 2>&1; do
  if ! kill -0 "$server" 2>/dev/null; then
    echo "The sound server doesn't start:" >&2
    cat "$own/log" >&2
    exit 1
  fi
  sleep 0.05
done
# Left to itself, a sink without hardware hands sound on every two seconds; one who asks for it at once makes it hurry.
parec --device=bench.monitor --latency-msec=10 >/dev/null 2>&1 &
SL_SOUND_SERVER=$server
export SL_SOUND_SERVER
"$@"

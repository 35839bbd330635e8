#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Draws every starting profile from the program as built, to be looked at light and dark: the small pictures of their
# constructions, and side view with close-ups:
#   sh tests/construction-pictures.sh FOLDER [BUILD]
set -eu
folder=${1:?which folder?}
mkdir -p "$folder"
folder=$(cd "$folder" && pwd)
build=${2:-build}
cd "$(dirname "$0")/.."
ninja -C "$build" tests/draw/construction-pictures >/dev/null
"$build/tests/draw/construction-pictures" "$folder" data/starting/*.sidelong
ls "$folder"/constructions.png "$folder"/views-*.png

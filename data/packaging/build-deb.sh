#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Makes the release tarball of what is committed, and of it Debian's source and binary packages, held to Debian's rules by lintian:
#   sh data/packaging/build-deb.sh [--twice] [--quick] FOLDER
# --twice builds them again elsewhere, under another umask, time zone, language, day and hour, and compares every byte; --quick leaves out the tests that
# belong to the package. In FOLDER: the packages, and build.log, lintian.log, checksums.
set -eu
give_up ()
{
  echo "$1" >&2
  exit 1
}

twice=
options=
while [ $# -gt 1 ]; do
  case $1 in
    --twice) twice=1 ;;
    --quick) options=nocheck ;;
    *) give_up "“$1” is no option; --twice and --quick are." ;;
  esac
  shift
done
[ $# = 1 ] || give_up "Name a folder for the packages."
mkdir -p "$1"
out=$(cd "$1" && pwd)
cd "$(dirname "$0")/../.."
. src/packages.sh
need_packages $build_packages $packing_packages || give_up "The packages needed can't be installed."

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
trap 'exit 130' INT TERM HUP
[ -z "$(git status --porcelain 2>/dev/null)" ] || echo "What is not committed is left out." >&2
git clone -q . "$work/clone" || give_up "A release is made from a checkout."
version=$(sed -n "s/^  version: '\(.*\)',/\1/p" "$work/clone/meson.build")
tarball=sidelong_$version.orig.tar.xz

: >"$out/build.log"
if ! { meson setup "$work/clone/build" "$work/clone" && meson dist -C "$work/clone/build" --no-tests --formats xztar; } >>"$out/build.log" 2>&1; then
  tail -n 30 "$out/build.log" >&2
  give_up "The tarball can't be made."
fi
cp "$work/clone/build/meson-dist/sidelong-$version.tar.xz" "$out"
cp "$out/sidelong-$version.tar.xz" "$out/$tarball"

# build FOLDER OPTIONS [COMMAND...]: the packages of the tarball, in a folder of their own, COMMAND put before what builds them.
build ()
{
  at=$1
  export DEB_BUILD_OPTIONS="$2 parallel=$(nproc)"
  shift 2
  mkdir -p "$at"
  cp "$out/$tarball" "$at"
  tar -C "$at" -xf "$at/$tarball"
  cp -R "$at/sidelong-$version/data/packaging/debian" "$at/sidelong-$version/debian"
  if ! (cd "$at/sidelong-$version" && "$@" dpkg-buildpackage -us -uc) >>"$out/build.log" 2>&1; then
    tail -n 60 "$out/build.log" >&2
    give_up "The packages can't be built."
  fi
}

build "$work/here" "$options"
find "$work/here" -maxdepth 1 -type f -exec cp {} "$out" \;

echo "lintian:"
# As root, lintian warns of being run so; what it says goes by the package alone.
status=0
lintian --allow-root --tag-display-limit 0 --info --display-info --pedantic --fail-on error,warning "$out"/sidelong_"$version"-*.changes >"$out/lintian.log" 2>&1 || status=$?
grep -E '^[EWIPX]: ' "$out/lintian.log" || echo "nothing"
[ $status = 0 ] || give_up "lintian finds faults; see $out/lintian.log."

(cd "$out" && sha256sum -- *.deb >checksums)
if [ -n "$twice" ]; then
  # A language that is not there would quietly be none.
  mkdir "$work/locales"
  localedef -i de_DE -f UTF-8 "$work/locales/de_DE.UTF-8"
  (
    umask 0027
    # What a compiler cache kept of the first build would prove nothing.
    export TZ=Pacific/Kiritimati LOCPATH="$work/locales" LC_ALL=de_DE.UTF-8 LANGUAGE=de CCACHE_DISABLE=1
    build "$work/elsewhere/and/deeper" nocheck faketime -f +2407h
  )
  (cd "$work/elsewhere/and/deeper" && sha256sum --quiet -c "$out/checksums") || give_up "A second build gives other bytes."
  echo "A second build, elsewhere, gives the same bytes."
fi
(cd "$out" && sha256sum -- "sidelong-$version.tar.xz" >>checksums)
cat "$out/checksums"

#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Looks for inputs that break a reader, with libFuzzer and sanitizers (Debian: clang). What is found is written as crash-… into BUILD/tests/fuzz/TARGET;
# mended, it goes into corpus/TARGET under a name that says what it was.
#   sh tests/fuzz/fuzz.sh SECONDS [TARGET...]     profile, length, shop, index, journal, image, options; all, one after the other
set -eu
seconds=$1
shift
cd "$(dirname "$0")/../.."
build=${BUILD:-build-fuzz}
[ -f "$build/build.ninja" ] || CC=clang meson setup "$build" -Dbuildtype=debug -Doptimization=1 -Db_sanitize=address,undefined -Db_lundef=false \
  -Dc_args=-fsanitize=fuzzer-no-link
build=$(cd "$build" && pwd)
[ $# -gt 0 ] || set -- profile length shop index journal image options
export SL_SOURCE_ROOT="$PWD" GIO_USE_VFS=local G_SLICE=always-malloc LC_ALL=C.UTF-8 LANGUAGE=
export LSAN_OPTIONS="suppressions=$PWD/tests/lsan.supp:print_suppressions=0" UBSAN_OPTIONS=halt_on_error=1:print_stacktrace=1

broken=
for target in "$@"; do
  ninja -C "$build" "tests/fuzz/fuzz-$target" >/dev/null
  found=$build/tests/fuzz/$target
  mkdir -p "$found"
  more=
  [ "$target" != profile ] || more=$PWD/data/demo
  # Names and words that the readers know, for libFuzzer to try.
  { grep -o '\(name\|value\)="[^"]*"' data/profile.xsd | sed 's/^[a-z]*=//'
    grep -oh '{ "[a-z-]*"' src/calc/*.c | sed 's/^{ "/"--/'
    grep -oh 'VALUE ("[a-z-]*"' src/setup/profile/shop.c | sed 's/^VALUE (//'; } | sort -u >"$found.words"
  echo "== $target"
  "$build/tests/fuzz/fuzz-$target" -max_total_time="$seconds" -timeout=20 -rss_limit_mb=1024 -dict="$found.words" -print_final_stats=1 -verbosity=1 \
    -artifact_prefix="$found/" "$found" "$PWD/tests/fuzz/corpus/$target" $more || broken="$broken $target"
done
[ -z "$broken" ] || { echo "Broken:$broken"; exit 1; }
